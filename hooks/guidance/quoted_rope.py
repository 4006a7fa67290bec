"""Numbers of the change of a rope that guidance may quote, by name, rounded as on the pages of that crane."""

from __future__ import annotations

from typing import Any

from calc import rounding
from hooks.computed import Told
from hooks.guidance.quotes import Part, Quote, first
from hooks.pages.rope import new_rope, shortening
from hooks.text.environment import both, force, metres, rope

# A quote is Missing where there is no such number: no work in the log, no tension on record.
OF_ROPE: dict[str, Quote] = {
    "may_be_cut": lambda told, words: metres(_cut(told)["may_be_cut_m"], "down"),
    "least_rig": lambda told, words: shortening.rig(words, _least(told), "of_rig"),
    "cut": lambda told, words: both(rounding.cut(_cut(told)["cut"]["length_m"], "near")),
    "stop_rope": lambda told, words: metres(_cut(told)["stop_rope_m"], "up"),
    "longest": lambda told, words: rope(_order(told)["drum"]["longest_rope_m"], "down"),
    "reel_distance": lambda told, words: metres(new_rope.reel_distance(told.machine.drum.width, _order(told)), "up"),
    "tension_from": lambda told, words: force(_order(told)["back_tension"]["least_n"], "up"),
    "tension_to": lambda told, words: force(_order(told)["back_tension"]["most_n"], "down"),
    "tension_used": lambda told, words: force(_order(told)["back_tension"]["used_n"], "down"),
}


def _cut(told: Told) -> Any:
    return Part(told.cut)


def _order(told: Told) -> Any:
    return Part(told.order)


def _least(told: Told) -> Any:
    """The rig of the log from which least may be cut."""
    return first(iter(sorted(_cut(told)["used"], key=lambda used: used["spare_m"])))
