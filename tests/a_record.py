"""A record as a phone exports it, written by hand: one pass with bittern, boom 54 m."""

from __future__ import annotations

import copy
from typing import Any

RECORD: dict[str, Any] = {
    "format": 1,
    "plan": {
        "machine": "bittern",
        "boom": "54m",
        "configuration": "full-counterweight",
        "revision": "2026-11-02",
        "rules": "2026-11-25",
    },
    "method": {"id": "luff-out"},
    "state": "finished",
    "started": "2026-11-26T07:10:00.000Z",
    "ended": "2026-11-26T08:05:00.000Z",
    "log": [
        {
            "day": "2026-11-26",
            "pre_tensioning": {
                "boom_length": "54 m",
                "configuration": "full-counterweight",
                "falls": 10,
                "block": "five-sheave",
                "load": "14880 kg",
                "radius": ["9 m", "38 m"],
                "drum_before": [1, 7],
                "drum_after": [2, 36],
            },
            "note": "run sheet, pass 1",
        }
    ],
    "steps": [{"part": "work", "pass": 1, "number": 1, "title": "Pay out", "planned": [1, 6], "counted": [1, 7]}],
}


def a_record(**changes: Any) -> dict[str, Any]:
    """A copy, with other values at the top."""
    return copy.deepcopy(RECORD) | changes
