"""A few lines for a terminal about the fitness, the shortening or the change of a rope, to the cautious side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from calc import rounding
from calc.inspection import rope_fields
from calc.inspection.judging import limit_side, margin_side
from calc.rounding import Pair

Words = Mapping[str, Any]  # the words of an inspection by code

DECIDE = "The machine's manual, the rope maker, local codes and a competent person decide."
NAMES = {"iso": "ISO", "us": "US"}


def fitness(found: rope_fields.Fitness, words: Words) -> str:
    """The fitness of a rope: its limits, what the readings come to, what is due."""
    rope = found["rope"]
    fitted = found["fitted"] or "no day on record"
    lines = [
        f"{found['machine']} ({found['status']} data), {found['day']}: rope {rope['construction']}, "
        f"{_both(rounding.rope_diameter(rope['diameter_m']))}, {_both(rounding.rope(rope['length_m'], 'down'))}, "
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


def _criteria(regime: rope_fields.RegimeFound, words: Words) -> Iterator[str]:
    """What is grave, and the reading nearest to its limit."""
    for place in regime["places"]:
        for one in place["criteria"]:
            if one["outcome"] != "none-met" or one["information"]:
                yield f"{words['criteria'][one['criterion']]} at {_place(place, words)}: {_against(one, words)}"
    nearest = regime["nearest"]
    if nearest:
        place = regime["places"][nearest["place"]]
        name = words["criteria"][nearest["criterion"]]
        yield f"nearest limit: {name} at {_place(place, words)}: {_against(nearest, words)}"


def _place(place: rope_fields.PlaceFound, words: Words) -> str:
    said = str(words["places"][place["place"]])
    position = place["position"]
    if position is None:
        return said
    return f"{said}, {_both(rounding.rope(position['distance_m'], 'near'))} {words['ends'][position['from']]}"


def _against(one: rope_fields.CriterionFound, words: Words) -> str:
    read = words["read"][one["read"]]
    if one["lacking"]:
        return str(words["lacking"][one["lacking"]])
    reading, limit, measured, end = one["reading"], one["limit"], one["measured_m"], one["measured_limit_m"]
    if reading is None or limit is None:
        return f"seen ({read})"
    state = words["states"][state_of(one)]
    if measured is not None and end is not None:
        shown, against = rounding.against(measured, end, limit_side(one["criterion"]))
        left = "" if one["information"] else f", {_margin(one, words)}"
        return f"{_both(shown)}, limit {_both(against)}: {state}{left} ({read})"
    if one["unit"] == "share":
        return f"{rounding.used_up(reading)}, limit {rounding.used_up(limit)}: {state} ({read})"
    return f"{reading:g}, limit {limit:g}: {state} ({read})"


def state_of(one: rope_fields.CriterionFound) -> str:
    """What a reading comes to against its limit: below, reached or information."""
    return "information" if one["information"] else "below" if one["outcome"] == "none-met" else "reached"


def _margin(one: rope_fields.CriterionFound, words: Words) -> str:
    side, margin = margin_side(one), one["margin_m"]
    assert margin is not None, "what is measured has a margin"
    shown = rounding.margin(abs(margin), "up" if side == "past" else "down")
    return str(words["margins"][side]).format(margin=_both(shown))


def _limits(found: rope_fields.Fitness, words: Words) -> Iterator[str]:
    """The limits by place, broken wires and diameter; a limit of the diameter is rounded up, and so are the
    lengths over which wires are counted."""
    rope = found["rope"]
    for name, length in (("short", rope["short_length_m"]), ("long", rope["long_length_m"])):
        yield f"{name} length: {_both(rounding.measured_diameter(length, 'up'))}"
    for regime in found["limits"]:
        for group in regime["measured"]:
            said = []
            for limit in group["limits"]:
                value = f"{limit['limit']:g}"
                if limit["unit"] != "count":
                    share = limit["unit"] == "share"
                    value = (rounding.tenth_share if share else _caliper)(limit["limit"], "down")
                if limit["diameter_m"] is not None:
                    value += f", {_both(rounding.caliper(limit['diameter_m'], limit_side(limit['criterion'])))}"
                if limit["information"]:
                    value += f", {words['states']['information']}"
                over = "more than " if limit["beyond"] else ""
                note = ", sources differ: the smaller" if limit["sources_differ"] else ""
                memory = f", {words['read']['from-memory']}" if limit["read"] == "from-memory" else ""
                said.append(f"{words['criteria'][limit['criterion']]} {over}{value}{note}{memory}")
            places = " / ".join(words["places"][name] for name in group["places"])
            yield f"{NAMES[regime['regime']]} limits ({places}): {'; '.join(said)}"


def shortening(found: rope_fields.Shortening) -> str:
    """How much may be cut off a rope, and what the cut does."""
    cut = found["cut"]
    lines = [
        f"{found['machine']} ({found['status']} data), {found['day']}: "
        f"rope {_both(rounding.rope(found['rope_length_m'], 'down'))}, "
        f"{found['stop_wraps']} stop wraps hold {_both(rounding.rope(found['stop_rope_m'], 'up'))}"
    ]
    enough = {None: "not known whether enough is left", True: "enough is left", False: "too little is left"}
    lines.append(
        f"cut {_both(rounding.cut(cut['length_m'], 'near'))} at the {cut['end']} end: {enough[cut['enough_left']]}"
    )
    if found["may_be_cut_m"] is None:
        lines.append("the log holds no work: the longest cut is not known")
    else:
        lines.append(f"no cut longer than {_both(rounding.length(found['may_be_cut_m'], 'down'))}")
    for used in found["used"]:
        before, after = used["stop_height_m"]
        stop = "the hook meets the ground before the stop wraps"
        if after > 0:
            then = _both(rounding.length(after, "up"))
            stop = f"stop height {_both(rounding.length(before, 'up')) if before > 0 else 'none'}, then {then}"
        lines.append(
            f"  {used['boom']}, {used['falls']} falls, hook {_both(rounding.length(used['hook_height_m'], 'down'))}: "
            f"{_both(rounding.length(used['spare_m'], 'down'))} above the stop wraps; {stop}"
        )
    lines += [
        f"  layer {layer['layer']}: moves {layer['shift_turns']:.2f} of a turn, "
        f"{layer['off_turns']:.2f} of a turn off the nearer crossover"
        for layer in cut["layers"]
        if layer["crosses"]
    ]
    return "\n".join([*lines, DECIDE])


def new_rope(found: rope_fields.NewRope, words: Words) -> str:
    """The rope to order, and the checks of the one on the drum."""
    order, drum, tension = found["order"], found["drum"], found["back_tension"]
    flange, wanted = rounding.against(drum["freeboard_m"], drum["freeboard_wanted_m"], "up")
    lay = f"{order['lay_direction']} lay" if order["lay_direction"] else "lay: hand of the drum not known"
    lines = [
        f"{found['machine']} ({found['status']} data), {found['day']}: order {order['construction']}, "
        f"{_both(rounding.rope_diameter(order['diameter_m']))}, "
        f"{_both(rounding.rope(order['length_m'], 'near'))}, {lay}",
        f"measured when new: {_both(rounding.caliper(order['least_diameter_m'], 'up'))} to "
        f"{_both(rounding.caliper(order['most_diameter_m'], 'down'))}, below the pitch of "
        f"{_both(rounding.caliper(order['below_m'], 'down'))}",
        f"drum: {drum['layers']} layers, flange above them {_both(flange)}, wanted {_both(wanted)}, "
        f"longest rope {_both(rounding.rope(drum['longest_rope_m'], 'down'))}",
        f"back tension: {_both(rounding.force(tension['least_n'], 'up'))} to "
        f"{_both(rounding.force(tension['most_n'], 'down'))}",
    ]
    lines += [f"deviation: {words['deviations'][code]}" for code in found["deviations"]]
    return "\n".join([*lines, DECIDE])


def _caliper(metres: float, side: str) -> str:
    return _both(rounding.caliper(metres, side))


def _both(pair: Pair) -> str:
    return f"{pair.metric} ({pair.us})"
