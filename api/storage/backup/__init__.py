"""Backups: a whole database in one file, made while it is used, and put back only where nothing is lost."""
