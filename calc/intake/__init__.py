"""What people bring from elsewhere: charts and lists of lifts as tables, records of run sheets, a new machine.

Knows the checks, so that what comes in is held to the same errors; knows nothing of plans or pages.
"""
