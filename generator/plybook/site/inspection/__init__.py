"""The independent reader: it looks at published bytes and trusts nothing of how they were made."""
