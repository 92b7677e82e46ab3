"""The pattern document, read and refused part by part."""
