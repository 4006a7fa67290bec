"""What the log will say: the entries the work of a plan adds to it, wherever that work ends.

A plan says where the drum stands after every move.  The log takes counted wraps and what makes the tension: radius,
load, falls.  All is rounded to the cautious side: the drum before winding up and after landing down to whole wraps, so
that less rope counts as firm; radius and load down, so that it counts as laid with less tension.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from calc import rounding
from calc.data.model import Case
from calc.formulas import drum
from calc.winding.plan_data import hook_block
from calc.winding.rig import Crane

Place = tuple[int, int]  # layer, whole wraps in it
Entry = dict[str, Any]  # one entry of a log as its file has it, without day and note

# Moves in the middle of which a count says all that the log asks for: the boom length is a listed one, and the radius
# at the start of the move gives the least tension.
COUNTABLE = ("luff-out", "land")
# After the last of these under load winding begins; in a later pass on the count that the crew pays out to.  In the
# first pass no count says where firm rope begins: it lies some wraps above the one at the hanging radius.
BEGINNING = ("pick", "luff-in")


@dataclass(frozen=True)
class AfterMove:
    """One move: where the drum stands when the load is landed straight down after it, layer and wraps; the entry of the
    log if the pass ends so, None when the drum is as it was before the pass; the entry if the pass is broken off in the
    middle of this move, for the counted drum to be put in, None where a count does not say enough; whether the drum
    after this move is the drum before winding."""

    landed: tuple[int, float]
    entry: Entry | None
    begun: Entry | None
    before: bool


@dataclass(frozen=True)
class _Stand:
    """Where boom, hook and drum stand: boom length, radius, height of the hook with the load landed, rope [m]."""

    boom_length: float
    radius: float
    hook: float
    rope: float


def log_entries(case: Case, plan: Mapping[str, Any], method: Mapping[str, Any]) -> list[AfterMove]:
    """What the log gets after each move of a `method` of a `plan`, through all its passes: entries that
    rules/schema/upkeep.schema.json describes and `history` carries out as the plan does it."""
    writer = _Writer(case, plan)
    return [move for winding_pass in method["passes"] for move in writer.through(winding_pass)]


class _Writer:
    """Writes the entries of one plan."""

    def __init__(self, case: Case, plan: Mapping[str, Any]) -> None:
        block = hook_block(plan)
        assert block is not None, "a method that is not refused has a load, and with it a block"
        self._us = case.machine.units == "us"
        self._layers = Crane(case).layers
        self._falls: int = plan["falls"]["used"]
        self._slugs = {round(chart.boom_length, 6): chart.slug for chart in case.configuration.charts}
        self._rigged = {"configuration": case.configuration.id, "falls": self._falls, "block": block["id"]}

    def through(self, winding_pass: Mapping[str, Any]) -> list[AfterMove]:
        """All moves of one pass."""
        moves = winding_pass["moves"]
        ends = [self._end(move) for move in moves]
        begins = max(at for at, move in enumerate(moves) if move["load_kg"] and move["move"] in BEGINNING)
        start, first = ends[begins], winding_pass["load_return"] == "none"
        if first:
            start = replace(start, rope=self._firm_from(winding_pass))
        return [
            self._logged(moves[: at + 1], ends[at], start if at > begins else None, at == begins and not first)
            for at in range(len(moves))
        ]

    def _firm_from(self, winding_pass: Mapping[str, Any]) -> float:
        """Rope on the drum from which the first pass winds firm; what is wound while the load comes on is not."""
        end = drum.rope_at(self._layers, winding_pass["firm_to"]["layer"], winding_pass["firm_to"]["wrap"])
        return end - float(winding_pass["firm_rope_m"])

    def _end(self, move: Mapping[str, Any]) -> _Stand:
        under = move["load_height_m"][1] or 0.0
        boom_length, radius = move["boom_length_m"][1], move["radius_m"][1]
        return _Stand(boom_length, radius, move["hook_height_m"][1] - under, move["rope_on_drum_m"][1])

    def _logged(self, moves: list[Mapping[str, Any]], now: _Stand, start: _Stand | None, before: bool) -> AfterMove:
        """The last of these moves of a pass; `start` is where winding began, None as long as it has not."""
        move = moves[-1]
        landed = now.rope - self._falls * (move["load_height_m"][1] or 0.0)
        started = _Stand(now.boom_length, move["radius_m"][0], now.hook, now.rope)
        begun = self._winding(move["load_kg"], start, started) if start and move["move"] in COUNTABLE else None
        entry = None
        if start and (after := self._down(landed)) and after > self._up(start.rope):
            entry = self._winding(move["load_kg"], start, now)
            entry["pre_tensioning"]["drum_after"] = list(after)
        elif landed < moves[0]["rope_on_drum_m"][0] - rounding.LAST_DECIMAL:
            entry = self._unwound(now)
        return AfterMove(drum.position(self._layers, landed), entry, begun, before)

    def _winding(self, load: float, start: _Stand, end: _Stand) -> Entry:
        """Wound under load from one stand to another; the drum afterwards is put in by who knows it."""
        lengths = {"boom_length": self._boom(start)}
        if end.boom_length != start.boom_length:
            lengths["telescoped_to"] = self._boom(end)
        return {
            "pre_tensioning": {
                **lengths,
                **self._rigged,
                "load": self._mass(load),
                "radius": [self._length(start.radius), self._length(end.radius)],
                "drum_before": list(self._up(start.rope)),
            }
        }

    def _unwound(self, end: _Stand) -> Entry:
        """Nothing wound under load: the rope went out, and comes back with the empty hook."""
        hook = self._length(end.hook)
        return {
            "work": {
                "boom_length": self._boom(end),
                "radius": self._length(end.radius),
                **self._rigged,
                "load": self._mass(0.0),
                "hook": [hook, hook],
                "repeats": 1,
            }
        }

    def _up(self, rope: float) -> Place:
        """Whole wraps, counted up; a whole one that is printed a grain too long stays whole."""
        layer, wrap = drum.position(self._layers, rope - rounding.LAST_DECIMAL)
        return layer, round(rounding.step(wrap, 1, "up"))

    def _down(self, rope: float) -> Place | None:
        """Whole wraps, counted down; None where there is not one."""
        layer, wrap = drum.position(self._layers, min(rope + rounding.LAST_DECIMAL, self._layers[-1].rope_when_full))
        whole = round(rounding.step(wrap, 1, "down"))
        if whole or layer == 1:
            return (layer, whole) if whole else None
        return layer - 1, self._layers[layer - 2].wraps

    def _boom(self, stand: _Stand) -> str:
        return as_listed(self._slugs[round(stand.boom_length, 6)])

    def _length(self, metres: float) -> str:
        value = metres / rounding.METRES_PER_FOOT if self._us else metres
        return f"{rounding.step(value, 0.01, 'down'):.2f}".rstrip("0").rstrip(".") + (" ft" if self._us else " m")

    def _mass(self, kilograms: float) -> str:
        value = kilograms / rounding.KILOGRAMS_PER_POUND if self._us else kilograms
        return f"{rounding.step(value, 1, 'down'):.0f} " + ("lb" if self._us else "kg")


def as_listed(slug: str) -> str:
    """The boom length of an address as the data lists it; the inverse of `build.slug`.

    >>> as_listed("54m"), as_listed("24-5m"), as_listed("120ft")
    ('54 m', '24.5 m', '120 ft')
    """
    return re.sub(r"(?<=\d)(?=[a-z])", " ", slug).replace("-", ".")
