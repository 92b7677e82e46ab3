"""The designer's pages: the desk with patterns and drafts, the draft being edited, its sizes, its cloth."""
