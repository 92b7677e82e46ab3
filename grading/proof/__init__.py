"""The proof: every claim of a graded size, with what shows it."""

from grading.proof.claims import Claim
from grading.proof.prove import prove, write_proof

__all__ = ["Claim", "prove", "write_proof"]
