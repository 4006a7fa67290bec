"""The rope itself: criteria of discard and how readings are judged by them, shortening, a new rope.

`discard` makes the limits of one rope, `judging` holds one place against them, `fitness` puts it together.  Knows
data and the log; knows nothing of files, words or pages.
"""
