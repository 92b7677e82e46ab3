"""Lengths of columns that are alike in all tables."""

UUID_LENGTH = 36
HASH_LENGTH = 64
NAME_LENGTH = 200
SIZE_LENGTH = 60
WORD_LENGTH = 20
