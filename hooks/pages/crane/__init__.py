"""The page of one crane, and the list of them."""
