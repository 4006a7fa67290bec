"""What a change of data or code moves: every published number of a day as lines, two days or two folders compared.

Knows everything that is published; knows nothing of pages.
"""
