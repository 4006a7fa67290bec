"""Which boom length to wind with, when several are possible: quickest to full effect, most rope firm.

Full effect is the target share of the rule, wound on a bed that is reached.  A boom whose rope is enough for full
line pull with no number of falls is never advised, however much of it lies firm: loose rope lies beneath.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from calc import rounding
from calc.winding.methods import firm_rank


@dataclass(frozen=True)
class Option:
    """One boom length [m] wound by one method: passes, planning time [min], firm share, target share, and the fewest
    falls its rope is enough for under full line pull from the ground (None: enough with no falls)."""

    boom: str
    boom_length: float
    method: str
    passes: int
    minutes: float
    firm_share: float
    target_share: float
    full_pull_falls: int | None

    @property
    def enough(self) -> bool:
        """Is its rope enough for full line pull with any falls?"""
        return self.full_pull_falls is not None

    @property
    def full_effect(self) -> bool:
        return self.enough and self.firm_share >= self.target_share


@dataclass(frozen=True)
class Choice:
    """What to choose.  `quickest`: full effect in the fewest minutes, None where no boom reaches it; `firmest`: most
    rope firm, so the one that comes nearest where none reaches it, None where no boom is enough for full line pull."""

    quickest: Option | None
    firmest: Option | None


def options(plans: Iterable[Mapping[str, Any]]) -> list[Option]:
    """Every method of every plan that is not refused, in the order of the `plans`: those of one configuration."""
    return [
        Option(
            boom=plan["boom"],
            boom_length=plan["boom_length_m"],
            method=method["name"],
            passes=len(method["passes"]),
            minutes=method["minutes"],
            firm_share=method["passes"][-1]["firm_share"],
            target_share=plan["inputs"]["target_share"],
            full_pull_falls=method["passes"][-1]["full_pull_falls_min"],
        )
        for plan in plans
        for method in plan["methods"]
        if method and method["passes"]
    ]


def choose(among: Iterable[Option]) -> Choice:
    """The quickest way to full effect and the way to most firm rope `among` the options, whatever their order.

    Minutes are compared as published, to the next five; of equals the shorter boom, then the firmer rope.  Firm shares
    are equal within half a per cent of the rope; of equals the quicker, then the shorter boom.
    Source: common practice, no source.

    >>> short = Option("30m", 30.0, "luff-out", 2, 57.0, 0.753, 0.75, 5)
    >>> longer = Option("36m", 36.0, "luff-out", 2, 59.0, 0.769, 0.75, 3)
    >>> found = choose([longer, short])
    >>> found.quickest.boom, found.firmest.boom
    ('30m', '36m')
    """
    sound = [o for o in among if o.enough]
    return Choice(
        quickest=min(
            (o for o in sound if o.full_effect),
            key=lambda o: (rounding.whole_minutes(o.minutes), o.boom_length, firm_rank(o.firm_share), o.minutes),
            default=None,
        ),
        firmest=min(
            sound,
            key=lambda o: (firm_rank(o.firm_share), rounding.whole_minutes(o.minutes), o.boom_length, o.minutes),
            default=None,
        ),
    )
