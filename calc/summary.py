"""A few lines for a terminal about a plan, a drum or a heavy lift: rounded as on the pages, in both units.

May import: model, tables.  Must not know: how anything is computed, files, pages.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from calc import tables
from calc.model import Rule

Told = Mapping[str, Any]  # plain data as `--json` prints it
Rules = Mapping[str, Rule]

DECIDE = "The machine's manual, local codes and licensed practice decide."


def plan(found: Told) -> str:
    """The plan `found` by the planner."""
    falls, load, stops = found["falls"], found["load"], found["stops"]
    lines = [f"{found['machine']} {found['boom']} {found['configuration']} ({found['status']} data), {found['day']}"]
    if found["refused"]:
        lines.append(f"no plan: {found['refused']['code']}")
    exact = "-" if falls["exact"] is None else f"{falls['exact']:.2f}"
    lines.append(
        f"falls: {falls['used']} (estimate {falls['estimate']}, exact {exact}, limit {falls['reeving_limit']})"
    )
    if load and stops:
        readings = _from_to(load["reading_least_kg"], load["reading_most_kg"])
        lines.append(
            f"load with hook block and slings: {_both(tables.mass(load['planned_kg'], 'up'))}; "
            f"reading at the first lift {readings}"
        )
        lines.append(
            f"count: layer {stops['layer_at_start']} wrap {tables.wraps(stops['wrap_at_start'], 'near')} "
            "at the hanging radius, before anything is hung"
        )
        lines.append(
            f"pick: radius {_both(tables.length(stops['start_radius_m'], 'up'))}, hook "
            f"{_both(tables.length(stops['start_hook_height_m'], 'near'))}; warning height "
            f"{_both(tables.length(stops['hook_height_m'], 'up'))}"
        )
    for method in filter(None, found["methods"]):
        if method["refused"]:
            lines.append(f"{method['name']}: refused, {method['refused']['code']}")
            continue
        shares = ", ".join(tables.share(p["firm_share"], "down") for p in method["passes"])
        lines.append(
            f"{method['name']}: {len(method['passes'])} pass(es), firm after each: {shares}; "
            f"{tables.whole_minutes(method['minutes'])} min, with setting up and reeving "
            f"{tables.whole_minutes(method['minutes'] + method['rigging_minutes'])} min"
        )
    lines += [f"warning: {warning['code']}" for warning in found["warnings"]]
    lines += [f"would help: {_help(one)}" for one in found["what_would_help"]]
    return "\n".join([*lines, DECIDE])


def _help(one: Told) -> str:
    """One thing that would help, and what the plan then comes to."""
    if one["kind"] == "weight":
        what = f"weights and slings of {_from_to(one['least_kg'], one['most_kg'])}"
    elif one["kind"] == "slings":
        what = f"slings up to {_both(tables.length(one['length_m'], 'up'))}"
    elif one["kind"] == "room":
        what = f"room out to {_both(tables.length(one['working_radius_m'], 'up'))}"
    elif one["kind"] == "falls":
        what = _falls(one["falls"])
    else:
        what = f"{one['kind']} {one[one['kind']]}"
    falls = one["full_pull_falls_min"]
    enough = f"full line pull from {_falls(falls)}" if falls else "no full line pull"
    return f"{what}: {one['method']}, {one['passes']} pass(es), {tables.whole_minutes(one['minutes'])} min, {enough}"


def _from_to(least: float, most: float) -> str:
    """Two masses between which something holds, each to its own side [kg]."""
    return f"{_both(tables.mass(least, 'up'))} to {_both(tables.mass(most, 'down'))}"


def state(found: Told, rules: Rules) -> str:
    """The state `found` of a drum; `rules` give the titles of what makes winding firm due."""
    falls = _falls(found["falls"]) if found["falls"] else "not reeved"
    lines = [
        f"{found['machine']} ({found['status']} data), {found['day']}: boom {found['boom']}, {falls}, "
        f"rope {_both(tables.rope(found['rope_length_m'], 'down'))}",
        f"a wrap is firm from {_both(tables.force(found['firm_tension_n'], 'up'))} at laying",
        f"winding firm is {'due' if found['due'] else 'not due'}",
    ]
    for reason in found["reasons"]:
        entry = found["log"][reason["entry"]]
        by = ", ".join(filter(None, (entry["day"], entry["kind"], entry["note"])))
        lines.append(f"  {_rule(rules, reason['rule'])}: {_where(reason['stretch'])}, {reason['how']} ({by})")
    if found["depth"]:
        at = found["depth"]
        lines.append(f"deepest loose wrap: layer {at['layer']}, above wrap {tables.wraps(at['wrap'], 'down')}")
    if found["firm_from_falls"]:
        lines.append(f"bed firm for full line pull with {_falls(found['firm_from_falls'])} or more")
    lines += _remedy(found["plan"])
    return "\n".join([*lines, DECIDE])


def _remedy(found: Told | None) -> Iterator[str]:
    if found is None:
        return
    reach = _both(tables.rope(found["firm_below_m"], "down"))
    depth = f"down to {reach} of rope on the drum" if found["firm_below_m"] else "all of the rope"
    after = f"with {_falls(found['ready_for_falls'])} or more" if found["ready_for_falls"] else "for none"
    yield (
        f"plan: {found['boom']} {found['configuration']}, {depth}; {_falls(found['falls'])}, "
        f"{_both(tables.mass(found['load_kg'], 'up'))}, {found['method']}, {found['passes']} pass(es), "
        f"{tables.whole_minutes(found['minutes'])} min; bed firm afterwards {after}"
    )


def _where(stretch: Told | None) -> str:
    if stretch is None:
        return "all of the rope"
    (first, last), (start, end) = stretch["layer"], stretch["wrap"]
    least, most = (tables.force(tension, "down") for tension in stretch["tension_n"])
    laid = _both(least) if least == most else f"{_both(least)} to {_both(most)}"
    return f"layer {first} wrap {tables.wraps(start, 'down')} to layer {last} wrap {tables.wraps(end, 'up')}, {laid}"


def ready(found: Told, rules: Rules) -> str:
    """The readiness `found` for a heavy lift; `rules` give the title of the one the verdict rests on."""
    lines = [
        f"{found['machine']} {found['boom']} {found['configuration']} ({found['status']} data), {found['day']}: "
        f"{_both(tables.mass(found['load_kg'], 'up'))} below the hook block"
    ]
    best = next((option for option in found["options"] if option["falls"] == found["falls"]), None)
    if best:
        lines += _lift(best)
    verdict = found["verdict"]
    lines.append(f"verdict: {verdict['code']}, {_rule(rules, verdict['rule'])}")
    if change := found["re_reeving"]:
        lowered, up = (_both(tables.rope(change[way]["firm_lost_m"], "up")) for way in ("boom_lowered", "boom_up"))
        lines.append(
            f"re-reeving from {change['from_falls']} to {_falls(change['to_falls'])} takes firm rope off the drum: "
            f"boom lowered {lowered}, boom up {up}"
        )
    return "\n".join([*lines, DECIDE])


def _lift(best: Told) -> Iterator[str]:
    """The lift on as many falls as practicable."""
    lift = best["lift"]
    pick, top, bed = lift["pick"], lift["top"], lift["bed"]
    radius = _both(tables.length(lift["radius_m"], "down"))
    yield (
        f"falls: {best['falls']}, block {best['block']}, out to radius {radius}; "
        f"line pull {tables.share(lift['line_pull_share'], 'up')} of the rated; "
        f"hook up to {_both(tables.speed(lift['hook_speed_m_per_s'], 'down'))}, limited by {lift['speed_limit']}"
    )
    yield (
        f"drum: layer {pick['layer']} wrap {tables.wraps(pick['wrap'], 'near')} at the pick, "
        f"layer {top['layer']} wrap {tables.wraps(top['wrap'], 'near')} at the upper stop"
    )
    if bed:
        loose = _both(tables.rope(bed["loose_m"] + bed["unreached_loose_m"], "up"))
        ratio = "" if bed["pull_to_bed"] is None else f", pull {bed['pull_to_bed']:.1f} times its least tension"
        yield f"bed: {loose} loose{ratio}; wound firm, at most {lift['pull_to_firm_bed']:.1f} times"


def _falls(count: int) -> str:
    return f"{count} fall" if count == 1 else f"{count} falls"


def _rule(rules: Rules, id: str) -> str:
    return f"{rules[id].code} {rules[id].title}"


def _both(pair: tables.Pair) -> str:
    return f"{pair.metric} ({pair.us})"
