"""Pages: each one module with one template and one block of words.  Nothing here computes."""
