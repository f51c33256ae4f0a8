"""The coach's own pictures, known by their content and without metadata."""
