"""Figures of the upkeep of one rope: how tight it goes on, what may be cut off, what was done with it since it was
fitted.

Numbers go to the cautious side: what may be cut, the tension a rope was wound with and its share of the breaking force
down, a force that is asked for up.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from math import ceil
from typing import Any

from markupsafe import Markup

from calc import rounding
from hooks.figures import WIDTH, Words, both, figure, named, number, prefix, say, swatch, text, units
from hooks.figures.bars import BAR, FULL, LEFT, ROW, bar

LANE = 30  # height of one line of marks
MARK = 3  # width of a mark
LANES = (  # what is marked on a line of its own: its name, the kinds of entries it holds
    ("firm", ("pre-tensioning",)),
    ("work", ("work",)),
    ("reeved", ("re-reeving", "unwinding")),
    ("inspected", ("inspection",)),
    ("other", ("jump", "shortening")),
)

Told = Mapping[str, Any]


def back_tension(order: Told, words: Words) -> str:
    """Shares of the breaking force on one scale: what rule and books ask for, what the log says, firm under load."""
    says, of = words["figures"]["back-tension"], order["back_tension"]
    force = order["order"]["minimum_breaking_force_n"]
    rows = [
        ("rule", "fig-firm", of["least_n"], of["most_n"]),
        ("published", "fig-flange", of["published_low_n"], of["published_high_n"]),
        ("firm", "fig-barrel", 0.0, of["firm_n"]),
    ]
    if of["used_n"] is not None:
        rows.append(("used", "fig-barrel", 0.0, of["used_n"]))
    whole = ceil(max(most for *_, most in rows) / force * 100) + 1
    scale = 100 / (whole * force)
    body: list[Markup] = []
    ends = {"least": of["least_n"], "most": of["most_n"], "low": of["published_low_n"], "high": of["published_high_n"]}
    shares = {name: rounding.tenth_share(newtons / force, "near") for name, newtons in ends.items()}
    spoken = [says["describe"].format(**shares)]
    for count, (name, kind, least, most) in enumerate(rows):
        said = {"most": rounding.tenth_share(most / force, "down")}
        forces = rounding.force(least, "up"), rounding.force(most, "up" if name == "firm" else "down")
        shown = say(says[name], **said, from_=units(forces[0]), to=units(forces[1]))
        body.append(bar(count * ROW, shown, [("fig-off", 1.0)]))
        body.append(
            Markup('<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>').format(
                kind, *map(number, (LEFT + least * scale * FULL, count * ROW + 19, (most - least) * scale * FULL, BAR))
            )
        )
        spoken.append(f"{says[name].format(**said, from_=both(forces[0]), to=both(forces[1]))}.")
    y = len(rows) * ROW
    for percent in range(whole + 1):
        anchor = "start" if percent == 0 else "end" if percent == whole else "middle"
        body.append(text(LEFT + FULL * percent / whole, y + 11, f"{percent} %", anchor))
    return figure(
        prefix("back-tension", order["machine"]),
        y + 16,
        say(says["title"], machine=named(order["machine"])),
        say(" ".join(spoken)),
        body,
    )


def rope_left(found: Told, words: Words) -> str:
    """Rope on the drum at the lowest hook of every rig the log holds: stop wraps, and what may be cut off."""
    says = words["figures"]["rope-left"]
    ids, title = prefix("rope-left", found["machine"]), say(says["title"], machine=named(found["machine"]))
    if not found["used"]:
        line = say(says["none"])
        return figure(ids, 40, title, line, [text(WIDTH / 2, 24, line, "middle", "fig-strong")])
    whole = max(found["stop_rope_m"], *(used["rope_on_drum_m"] for used in found["used"]))
    body: list[Markup] = []
    spoken = [says["describe"].format(stop=both(rounding.rope(found["stop_rope_m"], "up")))]
    for count, used in enumerate(found["used"]):
        stop = min(found["stop_rope_m"], used["rope_on_drum_m"])
        spare = max(0.0, used["spare_m"])
        parts = {"falls": used["falls"]}
        lengths = {"boom": rounding.boom_length(used["boom_length_m"]), "spare": rounding.length(spare, "down")}
        shown = say(says["row"], **parts, **{name: units(pair) for name, pair in lengths.items()})
        body.append(bar(count * ROW, shown, [("fig-dead", stop / whole), ("fig-barrel", spare / whole)]))
        said = says["row"].format(**parts, **{name: both(pair) for name, pair in lengths.items()})
        spoken.append(f"{said}.")
    key = [(swatch("fig-dead"), say(says["stop"])), (swatch("fig-barrel"), say(says["spare"]))]
    return figure(ids, len(found["used"]) * ROW, title, say(" ".join(spoken)), body, key=key)


def rope_line(log: Told, words: Words) -> str:
    """What was done with the rope on the drum, day by day, kind by kind, from the day it was fitted."""
    says = words["figures"]["rope-line"]
    first, last = (date.fromisoformat(log[name]) for name in ("fitted", "day"))
    days = max(1, (last - first).days)
    wide = FULL - 2 * MARK

    def place(day: str) -> float:
        return LEFT + MARK + (date.fromisoformat(day) - first).days / days * wide

    body: list[Markup] = []
    spoken = [says["describe"].format(fitted=log["fitted"], day=log["day"])]
    for count, (name, kinds) in enumerate(LANES):
        y = count * LANE
        marked = [day for day, kind in log["marks"] if kind in kinds]
        body.append(text(LEFT, y + 13, say(says[name])))
        body.append(
            Markup('<path class="fig-dim" d="M{} {}H{}"/>').format(number(LEFT), number(y + 27), number(LEFT + FULL))
        )
        body += [
            Markup('<rect class="fig-firm" x="{}" y="{}" width="{}" height="9"/>').format(
                number(place(day) - MARK / 2), number(y + 18), MARK
            )
            for day in marked
        ]
        spoken.append(f"{says[name]}: {', '.join(marked) or says['never']}.")
    y = len(LANES) * LANE + 16
    body += [text(LEFT, y, log["fitted"]), text(LEFT + FULL, y, log["day"], "end")]
    return figure(
        prefix("rope-line", log["machine"]),
        y + 6,
        say(says["title"], machine=named(log["machine"])),
        say(" ".join(spoken)),
        body,
    )
