"""What students see: pictures, pages, the stepping data, and the folder that holds them."""
