"""Notifications as they leave the server: signed, sent to public addresses alone, and tried again."""
