"""Exercises worked step by step from the data, and values from outside the project that the calculation is held to.

Knows what is computed; knows nothing of pages.
"""
