"""What can be done with patterns and grades, without a word of HTTP."""
