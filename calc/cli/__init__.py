"""The command line: the commands, the shell they are called from, results as a few lines of text.

Knows how numbers are rounded, nothing of how they are made.
"""
