"""A few lines for a terminal about the fitness, the shortening or the change of a rope, rounded to the cautious side.

May import: tables.  Must not know: how anything is computed, files, pages.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from calc import tables
from calc.tables import Pair

Told = Mapping[str, Any]  # plain data as `--json` prints it
Words = Mapping[str, Any]  # the words of an inspection by code

DECIDE = "The machine's manual, the rope maker, local codes and a competent person decide."
NAMES = {"iso": "ISO", "us": "US"}


def fitness(found: Told, words: Words) -> str:
    """The fitness `found` of a rope, its codes said in `words`."""
    rope = found["rope"]
    fitted = found["fitted"] or "no day on record"
    lines = [
        f"{found['machine']} ({found['status']} data), {found['day']}: rope {rope['construction']}, "
        f"{_both(tables.rope_diameter(rope['diameter_m']))}, {_both(tables.rope(rope['length_m'], 'down'))}, "
        f"fitted {fitted}"
    ]
    for regime in found["regimes"]:
        own = "" if regime["regime"] == found["rulebook"] else ", not the rulebook of this machine"
        lines.append(f"{NAMES[regime['regime']]}{own}: {words['outcomes'][regime['outcome']]['text']}")
        if regime["category"]:
            category = words["categories"][str(regime["category"])]
            lines.append(f"  {category['title']}: {category['text']} {words['category_read']}")
        lines += [f"  {line}" for line in _criteria(regime, words)]
        if regime["not_read"]:
            lines.append(f"  not read anywhere: {', '.join(words['not_read'][name] for name in regime['not_read'])}")
    if found["regimes_differ"]:
        lines.append(words["strictest"])
    for due in found["due"]:
        said = words["overdue"] if due["overdue"] else "next"
        lines.append(f"{words['due'][due['kind']]}: {said} {due['next']}")
    for entry in found["look_again"]:
        lines.append(f"look again: wrap seen to jump on {entry['day']}, no inspection since")
    lines += list(_limits(found, words))
    return "\n".join([*lines, DECIDE])


def _criteria(regime: Told, words: Words) -> Iterator[str]:
    """What is grave, and the reading nearest to its limit."""
    for place in regime["places"]:
        for one in place["criteria"]:
            if one["outcome"] != "none-met":
                yield f"{words['criteria'][one['criterion']]} at {_place(place, words)}: {_against(one, words)}"
    nearest = regime["nearest"]
    if nearest:
        place = regime["places"][nearest["place"]]
        name = words["criteria"][nearest["criterion"]]
        yield f"nearest limit: {name} at {_place(place, words)}: {_against(nearest, words)}"


def _place(place: Told, words: Words) -> str:
    said = str(words["places"][place["place"]])
    position = place["position"]
    if position is None:
        return said
    return f"{said}, {_both(tables.rope(position['distance_m'], 'near'))} {words['ends'][position['from']]}"


def _against(one: Told, words: Words) -> str:
    read = words["read"][one["read"]]
    if one["lacking"]:
        return str(words["lacking"][one["lacking"]])
    if one["reading"] is None:
        return f"seen ({read})"
    return f"{_value(one['reading'], one['unit'], 'up')}, limit {_value(one['limit'], one['unit'], 'down')} ({read})"


def _value(value: float, unit: str, side: str) -> str:
    if unit == "share":
        return tables.tenth_share(value, side)
    return _both(tables.measured_diameter(value, side)) if unit == "m" else f"{value:g}"


def _limits(found: Told, words: Words) -> Iterator[str]:
    """The limits by place, broken wires and diameter; a limit of the diameter is rounded up, and so are the
    lengths over which wires are counted."""
    rope = found["rope"]
    for name in ("short", "long"):
        yield f"{name} length: {_both(tables.measured_diameter(rope[f'{name}_length_m'], 'up'))}"
    for regime in found["limits"]:
        for group in regime["measured"]:
            said = []
            for limit in group["limits"]:
                value = _value(limit["limit"], limit["unit"], "down")
                if limit["diameter_m"] is not None:
                    side = "up" if limit["criterion"] == "diameter-decrease" else "down"
                    value += f", {_both(tables.measured_diameter(limit['diameter_m'], side))}"
                over = "more than " if limit["beyond"] else ""
                note = ", sources differ: the smaller" if limit["sources_differ"] else ""
                memory = f", {words['read']['from-memory']}" if limit["read"] == "from-memory" else ""
                said.append(f"{words['criteria'][limit['criterion']]} {over}{value}{note}{memory}")
            places = " / ".join(words["places"][name] for name in group["places"])
            yield f"{NAMES[regime['regime']]} limits ({places}): {'; '.join(said)}"


def shortening(found: Told) -> str:
    """What may be cut off a rope, as `found`, and what the cut does."""
    cut = found["cut"]
    lines = [
        f"{found['machine']} ({found['status']} data), {found['day']}: "
        f"rope {_both(tables.rope(found['rope_length_m'], 'down'))}, "
        f"{found['stop_wraps']} stop wraps hold {_both(tables.rope(found['stop_rope_m'], 'up'))}"
    ]
    if found["may_be_cut_m"] is None:
        lines.append("the log holds no work: how much may be cut is not known")
    else:
        lines.append(f"may be cut: {_both(tables.length(found['may_be_cut_m'], 'down'))}")
    for used in found["used"]:
        before, after = (_both(tables.length(height, "up")) for height in used["stop_height_m"])
        lines.append(
            f"  {used['boom']}, {used['falls']} falls, hook {_both(tables.length(used['hook_height_m'], 'down'))}: "
            f"{_both(tables.length(used['spare_m'], 'down'))} above the stop wraps; stop height {before}, then {after}"
        )
    enough = {None: "not known whether enough is left", True: "enough is left", False: "too little is left"}
    lines.append(
        f"cut of {_both(tables.length(cut['length_m'], 'near'))} at the {cut['end']} end: {enough[cut['enough_left']]}"
    )
    for layer in cut["layers"]:
        lines.append(
            f"  layer {layer['layer']}: moves {layer['shift_turns']:.2f} of a turn, "
            f"{layer['off_turns']:.2f} of a turn off the nearer crossover"
        )
    return "\n".join([*lines, DECIDE])


def new_rope(found: Told, words: Words) -> str:
    """The rope to order and the checks of the one on the drum, as `found`, codes said in `words`."""
    order, drum, tension = found["order"], found["drum"], found["back_tension"]
    lay = f"{order['lay_direction']} lay" if order["lay_direction"] else "lay: hand of the drum not known"
    lines = [
        f"{found['machine']} ({found['status']} data), {found['day']}: order {order['construction']}, "
        f"{_both(tables.rope_diameter(order['diameter_m']))}, {_both(tables.rope(order['length_m'], 'near'))}, {lay}",
        f"measured when new: {_both(tables.measured_diameter(order['least_diameter_m'], 'up'))} to "
        f"{_both(tables.measured_diameter(order['most_diameter_m'], 'down'))}, below the pitch of "
        f"{_both(tables.measured_diameter(order['below_m'], 'down'))}",
        f"drum: {drum['layers']} layers, flange above them "
        f"{_both(tables.measured_diameter(drum['freeboard_m'], 'down'))}, "
        f"wanted {_both(tables.measured_diameter(drum['freeboard_wanted_m'], 'up'))}, "
        f"longest rope {_both(tables.rope(drum['longest_rope_m'], 'down'))}",
        f"back tension: {_both(tables.force(tension['least_n'], 'up'))} to "
        f"{_both(tables.force(tension['most_n'], 'down'))}",
    ]
    lines += [f"deviation: {words['deviations'][code]}" for code in found["deviations"]]
    return "\n".join([*lines, DECIDE])


def _both(pair: Pair) -> str:
    return f"{pair.metric} ({pair.us})"
