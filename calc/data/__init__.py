"""Data of machines, yards, rules, tables and logs: read with their lines, checked by schema, built and looked up.

Lowest first: `units` and `files` read, `schema` checks and converts to SI, `model` says what there is, `build` makes
it, `rulebook` says which rules count for a machine on a day, `look_up` ties machine, boom and day to a `Case`.  Knows
formulas; knows nothing of plans, logs carried out, ropes judged or pages.
"""
