"""The plan of one case: which falls, load, slings and moves pre-tension the rope, and what comes of it.

A `rig.State` says where boom and hook are and what hangs there; a move is two states; `methods` makes passes of moves,
`planner` compares finished plans, `plan_data` publishes them with `inputs` and `warnings`.  `rig.Rig.refusal` holds
every limit.  Knows a `Case` and formulas; knows nothing of files, days, words or pages.
"""
