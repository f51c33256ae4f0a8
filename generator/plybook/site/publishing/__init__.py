"""The folder on disk: written beside the target, swapped in whole, never over another's file."""
