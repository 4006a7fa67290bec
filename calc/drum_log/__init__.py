"""What was done with the rope and what the drum is like since: its state, what is due, readiness for a heavy lift.

`history` carries a log out in the ledger, `beds` holds a lift against the drum it leaves, `lasting` ends its firmness,
`everyday` is light work by itself, `state` and `readiness` publish, `log_entries` is what a plan will add to the log.
Knows the winding room; knows nothing of files, ropes judged, words or pages.
"""
