"""The addresses of the interface; handlers only translate between HTTP and operations."""
