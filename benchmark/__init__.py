"""How fast and how large the site is, against the goals it is held to: `python -m benchmark`, or `make bench`.

May import: everything.  Nothing imports it, and nothing of it runs in the tests: a time is measured, never asserted.
"""
