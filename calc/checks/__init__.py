"""Whether a data folder may be used: every error in it, each with file and line, all at once.

What the schemas cannot see is checked here, a module for each kind of file; `kinds` lists them, `loader` runs them and
hands out checked data.  Knows everything below; knows nothing of words or pages.
"""
