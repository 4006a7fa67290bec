"""Bars, one number each, to one scale: rope on the drum after hoisting and landing, the bed a heavy lift needs, line
pull by falls.

Numbers go to the cautious side: rope that is firm down, rope that must be firm and forces up, speeds down.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.winding.plan_data import hook_block
from hooks.figures import (
    FONT,
    WIDTH,
    Words,
    both,
    chosen_method,
    figure,
    named,
    no_figure,
    number,
    plan_title,
    prefix,
    say,
    spread,
    stroke,
    swatch,
    text,
    units,
)
from hooks.figures.side import head_height

LEFT, FULL = 2, WIDTH - 4  # left edge of a bar and width of the whole scale
BAR, ROW = 12, 40  # height of a bar; from one bar to the next

Plan = Mapping[str, Any]
Piece = tuple[str, float]  # class and share of the scale, one after the other


def bar(y: float, words: Markup, pieces: Sequence[Piece]) -> Markup:
    """One line of words and the bar beneath it."""
    out, x = [text(LEFT, y + 13, words)], float(LEFT)
    for kind, share in pieces:
        out.append(
            Markup('<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>').format(
                kind, *map(number, (x, y + 19, share * FULL, BAR))
            )
        )
        x += share * FULL
    return Markup("").join(out)


def hoist_and_land(plan: Plan, words: Words) -> str:
    """Rope on the drum: at the start, hoisted to the upper stop, landed again, and luffed out and landed."""
    says, chosen, block = words["figures"]["hoist-and-land"], chosen_method(plan, "luff-out"), hook_block(plan)
    ids = prefix("hoist-and-land", plan["machine"], plan["boom"], plan["configuration"])
    if chosen is None or block is None:
        return no_figure(ids, says, plan)
    stops, inputs, falls = plan["stops"], plan["inputs"], plan["falls"]["used"]
    first = chosen["passes"][0]
    start = next(move for move in first["moves"] if move["move"] == "pick")["rope_on_drum_m"][0]
    head = head_height(inputs, plan["boom_length_m"], stops["start_radius_m"])
    hoisted = falls * (head - inputs["upper_stop_m"] - block["height_m"] - stops["start_hook_height_m"])
    firm = first["firm_rope_m"]
    scale = 1 / (start + max(hoisted, firm))
    rows = [
        ("start", 0.0, "fig-firm", "up"),
        ("hoisted", hoisted, "fig-off", "down"),
        ("landed", 0.0, "fig-firm", "up"),
        ("luffed", firm, "fig-firm", "down"),
    ]
    body: list[Markup] = []
    spoken = [says["describe"].format(start=both(rounding.rope(start, "up")))]
    for count, (name, wound, kind, side) in enumerate(rows):
        length = rounding.rope(wound or start, side)
        pieces = [("fig-barrel", start * scale)] + ([(kind, wound * scale)] if wound else [])
        body.append(bar(count * ROW, say(says[name], length=units(length)), pieces))
        spoken.append(f"{says[name].format(length=both(length))}.")
    key = [
        (swatch(kind), say(says[f"{name}_key"]))
        for kind, name in (("fig-barrel", "start"), ("fig-off", "hoisted"), ("fig-firm", "luffed"))
    ]
    return figure(ids, 4 * ROW, plan_title(says, plan), say(" ".join(spoken)), body, key=key)


def bed_needed(plan: Plan, words: Words) -> str:
    """Rope that must be firm for a heavy lift from the ground, by its falls, beside what each pass makes firm."""
    says, chosen = words["figures"]["bed"], chosen_method(plan, None)
    ids = prefix("bed", plan["machine"], plan["boom"], plan["configuration"])
    total = plan["inputs"]["rope_length_m"]
    body: list[Markup] = []
    spoken = [says["describe"].format(total=both(rounding.rope(total, "near")))]
    for count, row in enumerate(plan["bed_needed"]):
        needed, name = max(0.0, row["metres"]), "row" if row["falls"] > 1 else "row_one"
        length = rounding.rope(needed, "up")
        pieces = [("fig-firm", needed / total), ("fig-off", 1 - needed / total)]
        body.append(bar(count * ROW, say(says[name], falls=row["falls"], length=units(length)), pieces))
        spoken.append(f"{says[name].format(falls=row['falls'], length=both(length))}.")
    tops = _firm_up_to(plan, chosen)
    bottom = len(plan["bed_needed"]) * ROW
    places = spread([LEFT + top / total * FULL for top in tops], FONT)
    for number_, (top, place) in enumerate(zip(tops, places, strict=True), 1):
        x = number(LEFT + top / total * FULL)
        marks = "".join(f"M{x} {at * ROW + 15}v4m0 {BAR}v4" for at in range(len(plan["bed_needed"])))
        body.append(Markup('<path class="fig-pull" d="{}"/>').format(marks))
        body.append(text(place, bottom + 12, str(number_), "middle", "fig-strong"))
        spoken.append(f"{says['reached'].format(number=number_, length=both(rounding.rope(top, 'down')))}.")
    key = [(swatch("fig-firm"), say(says["must"])), (swatch("fig-off"), say(says["rest"]))]
    if tops:
        key.append((stroke("fig-pull", "M15 1v14"), say(says["passes"])))
    height = bottom + (16 if tops else 0)
    return figure(ids, height, plan_title(says, plan), say(" ".join(spoken)), body, key=key)


def _firm_up_to(plan: Plan, chosen: Mapping[str, Any] | None) -> list[float]:
    """Rope on the drum up to which it stays firm after each pass [m]; none where too much beneath stays unreached."""
    if chosen is None or any(warning["code"] == "bed-unreached" for warning in plan["warnings"]):
        return []
    return [one["moves"][-1]["rope_on_drum_m"][1] - one["overlap_m"] for one in chosen["passes"]]


def line_pull(lift: Mapping[str, Any], words: Words) -> str:
    """Line pull and hook speed of one heavy lift, by falls, and what limits the speed."""
    says, load = words["figures"]["line-pull"], rounding.mass(lift["load_kg"], "near")
    ids = prefix("line-pull", lift["machine"], lift["boom"], lift["configuration"], load.metric)
    length = both(rounding.boom_length(lift["boom_length_m"]))
    title = say(says["title"], machine=named(lift["machine"]), boom=length, load=both(load))
    body: list[Markup] = []
    spoken = [says["describe"]]
    rows = [option for option in lift["options"] if option["lift"]]
    for count, option in enumerate(rows):
        one = option["lift"]
        share, pace = one["line_pull_share"], rounding.hook_speed(one["hook_speed_m_per_s"], "down")
        parts = {"falls": option["falls"], "share": rounding.share(share, "up")}
        pieces = [(LIMITS[one["speed_limit"]], share), ("fig-off", 1 - share)]
        body.append(bar(count * ROW, say(says["row"], **parts, speed=units(pace)), pieces))
        limited = says[one["speed_limit"]]
        spoken.append(f"{says['row'].format(**parts, speed=both(pace))}. {limited}.")
    if not rows:
        body.append(text(LEFT, 24, say(says["none"]), classes="fig-strong"))
    limits = {option["lift"]["speed_limit"] for option in rows}
    key = [(swatch(kind), say(says[name])) for name, kind in LIMITS.items() if name in limits]
    key.append((swatch("fig-off"), say(says["rated"])))
    return figure(ids, max(1, len(rows)) * ROW, title, say(" ".join(spoken)), body, key=key)


LIMITS = {"power": "fig-firm", "drum": "fig-barrel"}  # what limits the hook speed -> class of the bar
