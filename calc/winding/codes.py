"""The closed lists of codes a plan may carry; calc/words.yaml says each in words."""

from __future__ import annotations

from typing import Literal

RefusalCode = Literal[
    "over-capacity",
    "over-telescoping-load",
    "telescoping-not-listed",
    "telescoping-with-jib",
    "shortest-boom",
    "carrier-not-cleared",
    "working-area",
    "upper-stop",
    "stop-wraps",
    "below-stop-height",
    "block-capacity",
    "line-pull",
    "radius-not-listed",
    "boom-angle",
    "no-room-to-luff",
    "slings-not-at-hand",
    "weights-not-at-hand",
    "slings-out-of-reach",
    "tension-too-low",
    "too-little-gain",
]

WarningCode = Literal[
    "rope-by-log",
    "tension-below-aim",
    "bed-unreached",
    "falls-not-reeved",
    "target-not-reached",
    "tension-below-published",
    "tension-above-published",
    "block-may-not-overhaul",
    "one-pass-only",
    "load-just-under-rule",
    "rope-length-decides",
]

# Why the number of falls beside the chosen one lost.
LoserCode = Literal["odd-falls", "shortens-radius-range", "leaves-more-unreached"]
