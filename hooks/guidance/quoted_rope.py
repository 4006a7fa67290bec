"""Numbers of the change of a rope that guidance may quote, by name, rounded as on the pages of that crane."""

from __future__ import annotations

from collections.abc import Callable

from markupsafe import Markup

from calc import rounding
from hooks.computed import Told
from hooks.pages.rope import new_rope, shortening
from hooks.text.environment import both, force, metres, rope
from hooks.text.words import Words

# A quote may fail with TypeError or ValueError where there is no such number: no work in the log, no tension on record.
OF_ROPE: dict[str, Callable[[Told, Words], Markup]] = {
    "may_be_cut": lambda told, words: metres(told.cut["may_be_cut_m"], "down"),
    "least_rig": lambda told, words: shortening.rig(words, _least(told), "of_rig"),
    "cut": lambda told, words: both(rounding.cut(told.cut["cut"]["length_m"], "near")),
    "stop_rope": lambda told, words: metres(told.cut["stop_rope_m"], "up"),
    "longest": lambda told, words: rope(told.order["drum"]["longest_rope_m"], "down"),
    "reel_distance": lambda told, words: metres(new_rope.reel_distance(told.machine.drum.width, told.order), "up"),
    "tension_from": lambda told, words: force(told.order["back_tension"]["least_n"], "up"),
    "tension_to": lambda told, words: force(told.order["back_tension"]["most_n"], "down"),
    "tension_used": lambda told, words: force(told.order["back_tension"]["used_n"], "down"),
}


def _least(told: Told) -> dict[str, object]:
    """The rig of the log from which least may be cut."""
    return dict(min(told.cut["used"], key=lambda used: used["spare_m"]))
