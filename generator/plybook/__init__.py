"""plybook: from a chess coach's Markdown to a site that students step through offline."""

__all__ = ["__version__"]

__version__ = "0.1.0"
