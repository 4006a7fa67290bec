"""What was done with the rope and what the drum is like since: its state, what is due, readiness for a heavy lift.

`duty` carries a log out in the ledger, `beds` holds a lift against the drum it leaves, `state` and `readiness` publish.
Knows the winding room; knows nothing of files, ropes judged, words or pages.
"""
