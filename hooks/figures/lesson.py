"""Figures of the guidance pages, by the name a page asks for them with.

May import: the figures' common part and the figures themselves.  Must not know: pages, files, how a plan is computed.

`DRAWN` need no data.  `OF_PLAN` are drawn from one plan and name it after a colon: `{{ figure:drum:heron/41m }}`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from hooks.figures import Words, drum, procedure, side, wraps

Plan = Mapping[str, Any]

DRAWN: dict[str, Callable[[Words], str]] = {}
OF_PLAN: dict[str, Callable[[Plan, Words], str]] = {
    "drum": drum.svg,
    "layers": drum.machine_svg,
    "side": side.svg,
    "one-pass": procedure.one_pass,
    "luff-in": procedure.luff_in,
    "load-return": procedure.load_return,
    "working-circle": procedure.working_circle,
    "wrap-name": wraps.wrap_name,
    "signs": wraps.signs,
    "rope-off": wraps.rope_off,
}
