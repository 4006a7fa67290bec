"""Results as a few lines of text for the command line.  Knows how numbers are rounded, nothing of how they are made."""
