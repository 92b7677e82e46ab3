"""The HTTP interface: patterns in, grades, cut lists and proofs out."""

VERSION = "0.1.0"
