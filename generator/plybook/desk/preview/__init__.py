"""The preview: the course on this machine alone, shown anew whenever a file of it is saved."""
