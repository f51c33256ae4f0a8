"""Paper: homework sheets with their keys, and recall cards to cut out."""
