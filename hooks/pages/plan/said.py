"""How the numbers of a plan are said, on every page the same way: the drum, the count, the load, what a pass is enough
for, what would help.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.data.model import Case
from calc.winding.plan_fields import Inputs
from hooks.text.environment import NO_BREAK, both, mass, metres, rope, whole, whole_minutes
from hooks.text.words import Words

Plan = Mapping[str, Any]

NOT_THIS_ROPE = "not-this-rope"
ON_THE_ROW = 0.005  # [m], less than any radius is read to
_UNIT = re.compile(r"(?<=\d) (?=\w)")  # between a number and its unit


# -- the drum ---------------------------------------------------------------------------------------------------


def full(inputs: Inputs, layer: int) -> int:
    """Wraps of a full layer."""
    return int(inputs["wraps_odd_layers" if layer % 2 else "wraps_even_layers"])


def counted(inputs: Inputs, layer: int, wrap: float, side: str = "near") -> tuple[int, int]:
    """Layer and whole wraps in it as a crew counts them; a layer that has none yet is the one beneath it, full.

    >>> inputs = {"wraps_odd_layers": 36, "wraps_even_layers": 35}
    >>> counted(inputs, 3, 0.3), counted(inputs, 1, 8.54), counted(inputs, 2, 35.0)
    ((2, 35), (1, 9), (2, 35))
    """
    wraps = round(rounding.step(wrap, 1, side))
    return (layer - 1, full(inputs, layer - 1)) if wraps < 1 and layer > 1 else (layer, wraps)


def place(words: Words, inputs: Inputs, layer: int, wrap: float, side: str = "near") -> Markup:
    """A place on the drum: "layer 1, 9 wraps", "layer 2 full (36 wraps)"."""
    layer, wraps = counted(inputs, layer, wrap, side)
    name = "full" if wraps == full(inputs, layer) else "one" if wraps == 1 else "many"
    return words.say(f"plan.place.{name}", layer=layer, wraps=wraps)


def short(words: Words, inputs: Inputs, layer: int, wrap: float, side: str = "near") -> Markup:
    """A place on the drum for a column of layer and wraps."""
    layer, wraps = counted(inputs, layer, wrap, side)
    name = "full" if wraps == full(inputs, layer) else "many"
    return words.say(f"plan.place_short.{name}", layer=layer, wraps=wraps)


def firm_span(words: Words, inputs: Inputs, one: Mapping[str, Any]) -> dict[str, Markup]:
    """From where to where the drum is firm after a pass, in whole wraps inside it."""
    begin, end = one["firm_from"], one["firm_to"]
    return {
        "first": place(words, inputs, begin["layer"], begin["wrap"], "up"),
        "last": place(words, inputs, end["layer"], end["wrap"], "down"),
    }


# -- the count --------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Count:
    """What one count or a run of counts means: the first one as layer and wraps, the count in words, the rope, what to
    do, the hook height that then warns."""

    do: str
    first: tuple[int, int]
    count: Markup
    rope: Markup
    what: Markup
    height: Markup | None


def counts(words: Words, plan: Plan) -> list[Count]:
    """The count table of a plan, counts that ask for the same thing together; each shorter rope has a line of its own,
    for its own stop height."""
    stops = plan["stops"]
    rows = stops["count_table"] if stops else []
    groups = [
        list(group)
        for _, group in groupby(rows, key=lambda row: (row["do"], row["wraps"] if row["do"] == "rope-shorter" else 0))
    ]
    return [_count(words, plan, group, at == 0) for at, group in enumerate(groups)]


def _count(words: Words, plan: Plan, rows: list[Mapping[str, Any]], first: bool) -> Count:
    do, inputs = rows[0]["do"], plan["inputs"]
    off = max(abs(row["rope_length_m"] - inputs["rope_length_m"]) for row in rows)
    length = rope(off, "up")
    if do == NOT_THIS_ROPE:
        name, at = ("fewer", rows[-1]["wraps"] + 1) if first else ("more", rows[0]["wraps"])
        edge = _wraps(words, inputs, at)
        count = words.say(f"plan.counted.{name}", first=edge, last=edge)
    else:
        count = _run(words, inputs, rows[0]["wraps"], rows[-1]["wraps"])
    heights = [row["hook_height_m"] for row in rows if row["hook_height_m"] is not None]
    height = stop_height(words, max(heights)) if heights else None
    if do == "as-planned":
        height = stop_height(words, plan["stops"]["hook_height_m"])
    begin = (1, 0) if first else on_drum(inputs, rows[0]["wraps"])
    told, what = (words.say(f"plan.{kind}.{do}", length=length) for kind in ("count_rope", "count_do"))
    return Count(do, begin, count, told, what, height)


def _run(words: Words, inputs: Inputs, first: int, last: int) -> Markup:
    """A run of counts: "8 to 9 wraps", or the places where it passes from one layer to the next."""
    begin, end = on_drum(inputs, first), on_drum(inputs, last)
    if begin == end:
        return _wraps(words, inputs, first)
    if begin[0] == end[0] == 1:
        return words.say("plan.counted.span", first=begin[1], last=end[1])
    return words.say("plan.counted.places", first=_wraps(words, inputs, first), last=_wraps(words, inputs, last))


def _wraps(words: Words, inputs: Inputs, wraps: int) -> Markup:
    """A count: wraps alone in layer 1, with the layer above it."""
    layer, count = on_drum(inputs, wraps)
    if layer == 1 and count < full(inputs, 1):
        return words.say("plan.counted.wrap") if count == 1 else words.say("plan.counted.wraps", count=count)
    return place(words, inputs, layer, count)


def on_drum(inputs: Inputs, wraps: int) -> tuple[int, int]:
    """Layer and wraps in it of so many wraps on the drum; a smooth drum keeps the whole of layer 1, which counts as its
    dead wraps.

    >>> inputs = {"wraps_odd_layers": 22, "wraps_even_layers": 21, "drum_surface": "smooth", "dead_wraps": 3}
    >>> on_drum(inputs, 8), on_drum(inputs | {"drum_surface": "parallel-grooved"}, 25)
    ((2, 5), (2, 3))
    """
    layer = 1
    if inputs["drum_surface"] == "smooth" and wraps > inputs["dead_wraps"]:
        wraps, layer = wraps - inputs["dead_wraps"], 2
    while wraps > full(inputs, layer):
        wraps, layer = wraps - full(inputs, layer), layer + 1
    return layer, wraps


def stop_height(words: Words, height: float) -> Markup:
    """A stop height, or that the hook may go to the ground."""
    return metres(height, "up") if height > 0 else words.say("plan.by_radius_ground")


# -- radii ------------------------------------------------------------------------------------------------------


def radii(method: Mapping[str, Any] | None) -> list[tuple[Markup, Markup]]:
    """The radius before and after each move as the crew reads it, loaded where a load hangs, to the cautious side:
    reached outward down, inward up, and kept as it was reached.

    The load comes on at a pick: before it the boom is unloaded.  A radius where the load is landed next is that of the
    landing, a hair more for the rope in the falls.

    >>> loaded = ([6.0, 14.19], [14.19, 5.96], [5.96, 12.28], [12.28, 12.28])
    >>> moves = [{"move": "", "radius_m": ends, "loaded_radius_m": ends} for ends in loaded]
    >>> [after.striptags() for _, after in radii({"passes": [{"moves": moves}]})]
    ['14.1 m46.5 ft', '6.0 m20.0 ft', '12.2 m40.0 ft', '12.2 m40.0 ft']
    """
    found: list[tuple[Markup, Markup]] = []
    side = "up"
    moves = [m for p in method["passes"] for m in p["moves"]] if method else []
    for at, move in enumerate(moves):
        from_there = metres(move["radius_m"][0] if move["move"] == "pick" else move["loaded_radius_m"][0], side)
        before, after = move["radius_m"]
        side = "down" if after > before else "up" if after < before else side
        reached = move["loaded_radius_m"][1]
        if side == "down" and at + 1 < len(moves) and moves[at + 1]["move"] == "land":
            reached = max(reached, moves[at + 1]["loaded_radius_m"][1])
        found.append((from_there, metres(reached, side)))
    return found


def radius_span(words: Words, span: tuple[float, float]) -> Markup:
    """From which radius to which, the unit once: "9.0 to 38.0 m"."""
    start, end = rounding.length(span[0], "up"), rounding.length(span[1], "down")
    say = words.get("plan.number.radius_value")
    return both(
        rounding.Pair(*(say.format(start=a.rpartition(" ")[0], end=b) for a, b in zip(start, end, strict=True)))
    )


def listed(plan: Plan, radius: float) -> float:
    """A radius under load as the crew reads it: the plan puts the load, when it is landed, on a row of the chart; with
    less rope in the falls it hangs a hair inside [m].

    >>> charts = [{"rows": [[9.0, 20000.0], [10.0, 18000.0]]}]
    >>> listed({"inputs": {"charts": charts}}, 9.998), listed({"inputs": {"charts": charts}}, 9.7)
    (10.0, 9.7)
    """
    rows = (row[0] for chart in plan["inputs"]["charts"] for row in chart["rows"])
    return min((row for row in rows if 0 <= row - radius <= ON_THE_ROW), default=radius)


# -- the load ---------------------------------------------------------------------------------------------------


def hung(words: Words, case: Case, plan: Plan) -> Markup:
    """The weights of the load in words; empty without a load."""
    names = {weight.id: _UNIT.sub(NO_BREAK, weight.name) for weight in case.yard.weights}
    rows = plan["load"]["yard"] if plan["load"] else ()
    said = (
        words.say("briefing.weight", count=row["count"], weight=names[row["item"]])
        if row["count"] > 1
        else Markup("{}").format(names[row["item"]])
        for row in rows
    )
    return Markup(", ").join(said)


def base(plan: Plan) -> str:
    """The piece that carries the rest, by its id: the largest in plan of those used, as the planner takes it."""
    pieces = {weight["item"]: weight for weight in plan["inputs"]["weights"]}
    used = [pieces[row["item"]] for row in plan["load"]["yard"]]
    return str(max(used, key=lambda weight: weight["length_m"] * weight["width_m"])["item"])


def reading(words: Words, plan: Plan, texts: str = "plan.reading", **parts: Markup) -> Markup:
    """What the indicator may show at the first lift; where the two limits lie closer than it is read, the load has to
    be weighed.  `texts` names how it is said, with which `parts` besides."""
    load = plan["load"]
    least, most = load["reading_least_kg"], load["reading_most_kg"]
    name = "between" if _apart(least, most) else "weighed"
    return words.say(f"{texts}.{name}", least=mass(least, "up"), most=mass(most, "down"), **parts)


def band(words: Words, plan: Plan) -> Markup:
    """The masses of weights and slings for which the moves hold, the planned load among them."""
    load = plan["load"]
    planned = load["net_kg"] + load["slings_kg"]
    least, most = min(load["band_kg"][0], planned), max(load["band_kg"][1], planned)
    if not _apart(least, most):
        return words.say("plan.band_narrow")
    return words.say("plan.band", least=mass(least, "up"), most=mass(most, "down"))


def _apart(least: float, most: float) -> bool:
    """Whether two masses still stand apart when each is rounded inward, in both unit systems."""
    return all(
        rounding.step(least / unit, size, "up") < rounding.step(most / unit, size, "down")
        for unit, size in ((1.0, 50), (rounding.KILOGRAMS_PER_POUND, 100))
    )


# -- times and passes -------------------------------------------------------------------------------------------


def hours(words: Words, minutes: float) -> Markup:
    """Time of the whole work: "2 h 30 min"."""
    full_hours, rest = rounding.hours(minutes)
    name = "minutes" if not full_hours else "both" if rest else "hours"
    return whole(words.get(f"plan.hours.{name}").format(hours=full_hours, minutes=rest))


def whole_time(words: Words, method: Mapping[str, Any]) -> Markup:
    """Time of a method with setting up and reeving."""
    return hours(words, method["minutes"] + method["rigging_minutes"])


def passes(words: Words, count: int) -> Markup:
    """So many passes."""
    return words.say("plan.passes.one") if count == 1 else words.say("plan.passes.many", number=count)


def enough(words: Words, plan: Plan, one: Mapping[str, Any]) -> Sequence[Markup]:
    """What one pass is enough for, in words."""
    span = firm_span(words, plan["inputs"], one)
    falls = one["full_pull_falls_min"]
    if falls is None:
        pull = words.say("plan.enough_nothing")
        if any(warning["code"] == "bed-unreached" for warning in plan["warnings"]):
            pull = words.say("plan.enough_not_reached", **span)
    else:
        name = "plan.enough_any_falls" if falls == 1 else "plan.enough_falls"
        pull = words.say(name, falls=falls, height=metres(one["full_pull_hook_up_to_m"], "down"))
    firm = rope(one["firm_rope_m"], "down")
    return words.say("plan.enough", rope=firm, share=whole(rounding.share(one["firm_share"], "down")), **span), pull


def conditions(words: Words, plan: Plan, method: Mapping[str, Any]) -> list[Markup]:
    """The three conditions for a lift on firm rope after the last pass of a method."""
    span = firm_span(words, plan["inputs"], method["passes"][-1])
    return [words.say(f"plan.enough_conditions.{name}", **span) for name in words.get("plan.enough_conditions")]


# -- what would help --------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Help:
    """One thing that would help: what it is and what it does in words, the configuration and the boom of its plan."""

    what: Markup
    does: Markup
    configuration: str | None
    boom: str | None


def helps(words: Words, case: Case, plan: Plan) -> list[Help]:
    """What would help a plan, in the plan's own order."""
    return [_help(words, case, one) for one in plan["what_would_help"]]


def _help(words: Words, case: Case, one: Mapping[str, Any]) -> Help:
    kind = one["kind"]
    parts: dict[str, Any] = {name: one[name] for name in ("falls", "block") if name in one}
    if kind == "weight":
        parts |= {"least": mass(one["least_kg"], "up"), "most": mass(one["most_kg"], "down")}
    elif kind == "slings":
        parts["length"] = metres(one["length_m"], "near")
    elif kind == "room":
        parts["radius"] = metres(one["working_radius_m"], "up")
    elif kind == "boom":
        parts["boom"] = both(rounding.boom_length(one["boom_length_m"]))
    elif kind == "configuration":
        parts["configuration"] = next(c.name for c in case.machine.configurations if c.id == one["configuration"])
    falls = one["full_pull_falls_min"]
    pull = "none" if falls is None else "any" if falls == 1 else "falls"
    does = words.say(
        "plan.help_does",
        method=words.get(f"methods.{one['method']}").lower(),
        passes=passes(words, one["passes"]),
        minutes=whole_minutes(one["minutes"]),
        rope=rope(one["firm_rope_m"], "down"),
        pull=words.say(f"plan.help_pull.{pull}", falls=falls),
    )
    return Help(words.say(f"plan.help_kind.{kind}", **parts), does, one.get("configuration"), one.get("boom"))
