"""The pages of a course, from its model and a theme to bytes."""
