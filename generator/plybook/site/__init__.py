"""What students see: pictures, pages, the stepping data, and the folder that holds them.

drawing, wording and pictures know nothing of one another; pages puts them together; inspection
and publishing see bytes alone.
"""
