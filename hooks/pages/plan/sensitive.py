"""What a plan would be if its data were a little off: differences from the plan, ready for its page.

A difference is rounded away from zero: a small error never reads as none.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from markupsafe import Markup

from calc import rounding
from calc.winding.sensitivity import Change, Outcome
from hooks.computed import Planned
from hooks.text.environment import both
from hooks.text.words import Words

SIGNS = {True: "+", False: "\u2212"}
NOTHING = 1e-6  # metres, kilograms: less is no difference
DASH = Markup("\u2013")


@dataclass(frozen=True)
class Off:
    """One input that is off: what is off, and the differences in stop height, falls, firm rope and load needed."""

    name: str
    stop: Markup
    falls: Markup
    firm: Markup
    load: Markup

    @property
    def nothing(self) -> bool:
        """Whether it changes none of the four."""
        return self.stop == self.falls == self.firm == self.load == DASH


def table(words: Words, planned: Planned) -> tuple[list[Off], Markup | None]:
    """A row for every input moved, and the one that raises the stop height most in words; nothing without a load."""
    if planned.small_errors is None:
        return [], None
    own, changes = planned.small_errors
    rows = [_row(words, own, change) for change in changes]
    rises = [(rise, row) for change, row in zip(changes, rows, strict=True) if (rise := _rise(own, change)) > NOTHING]
    if not rises:
        return rows, None
    _, worst = max(rises, key=lambda each: each[0])
    return rows, Markup(words.say("plan.little_off.worst", what=worst.name, stop=worst.stop))


def _rise(own: Outcome, change: Change) -> float:
    new = change.outcome
    return new.stop_height - own.stop_height if new and new.stop_height and own.stop_height else 0.0


def _row(words: Words, own: Outcome, change: Change) -> Off:
    name = words.get(f"plan.little_off.names.{change.name}")
    if isinstance(name, dict):
        name = name["more" if change.more else "less"]
    new = change.outcome
    if new is None:
        return Off(name, Markup(words.get("plan.little_off.no_load")), DASH, DASH, DASH)
    return Off(
        name,
        _difference(own.stop_height, new.stop_height, rounding.length),
        _falls(words, own, new),
        _difference(own.firm_rope, new.firm_rope, rounding.rope),
        _difference(own.load, new.load, rounding.mass),
    )


def _falls(words: Words, own: Outcome, new: Outcome) -> Markup:
    """Falls that just reach the dead wraps, with the falls used where they are others."""
    exact = f"{new.exact_falls:.2f}" if new.exact_falls is not None else str(DASH)
    if new.falls != own.falls:
        return words.say("plan.little_off.falls", exact=exact, used=new.falls)
    return DASH if own.exact_falls is not None and exact == f"{own.exact_falls:.2f}" else Markup(exact)


def _difference(before: float | None, after: float | None, written: Callable[[float, str], rounding.Pair]) -> Markup:
    if before is None or after is None or abs(after - before) < NOTHING:
        return DASH
    sign = SIGNS[after > before]
    pair = written(abs(after - before), "up")
    return both(rounding.Pair(*(sign + text for text in pair)))
