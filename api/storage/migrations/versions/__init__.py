"""One module for each migration, numbered."""
