"""A course in other forms: one HTML file, an e-book, an archive of the site, a PGN, a picture."""
