"""A few lines for a terminal about a plan, a drum or a heavy lift: rounded as on the pages, in both units."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from calc import rounding
from calc.data.model import Rule
from calc.drum_log import drum_fields
from calc.fleet_fields import Fleet
from calc.winding import plan_fields

Rules = Mapping[str, Rule]

ROWS: tuple[drum_fields.Advised, ...] = ("reeved", "fewest", "enough", "most")  # as they are listed
DECIDE = "The machine's manual, local codes and licensed practice decide."


def plan(found: plan_fields.Plan) -> str:
    """A plan: falls, load, counts, methods, warnings, what would better it."""
    falls, load, stops = found["falls"], found["load"], found["stops"]
    lines = [f"{found['machine']} {found['boom']} {found['configuration']} ({found['status']} data), {found['day']}"]
    if found["refused"]:
        lines.append(f"no plan: {found['refused']['code']}")
    exact = "-" if falls["exact"] is None else f"{falls['exact']:.2f}"
    lines.append(
        f"falls: {falls['used']} (estimate {falls['estimate']}, exact {exact}, limit {falls['reeving_limit']})"
    )
    if found["listed_rope_length_m"] is not None:
        lengths = found["inputs"]["rope_length_m"], found["listed_rope_length_m"]
        told, listed = (_both(rounding.rope(length, "near")) for length in lengths)
        lines.append(f"rope: {told} by its log, which counts; {listed} by the data of the crane")
    if load and stops:
        readings = _from_to(load["reading_least_kg"], load["reading_most_kg"])
        lines.append(
            f"load with hook block and slings: {_both(rounding.mass(load['planned_kg'], 'up'))}; "
            f"reading at the first lift {readings}"
        )
        lines.append(
            f"count: layer {stops['layer_at_start']} wrap {rounding.wraps(stops['wrap_at_start'], 'near')} "
            "at the hanging radius, before anything is hung"
        )
        lines.append(
            f"pick: radius {_both(rounding.length(stops['start_radius_m'], 'up'))}, hook "
            f"{_both(rounding.length(stops['start_hook_height_m'], 'near'))}; warning height "
            f"{_both(rounding.length(stops['hook_height_m'], 'up'))}"
        )
    for method in filter(None, found["methods"]):
        if method["refused"]:
            lines.append(f"{method['name']}: refused, {method['refused']['code']}")
            continue
        minutes, rigging = method["minutes"], method["rigging_minutes"]
        assert minutes is not None and rigging is not None, "a method that is not refused has its times"
        shares = ", ".join(rounding.share(p["firm_share"], "down") for p in method["passes"])
        lines.append(
            f"{method['name']}: {len(method['passes'])} pass(es), firm after each: {shares}; "
            f"{rounding.whole_minutes(minutes)} min, with setting up and reeving "
            f"{rounding.whole_minutes(minutes + rigging)} min"
        )
    lines += [f"warning: {warning['code']}" for warning in found["warnings"]]
    lines += [f"would help: {_help(one)}" for one in found["what_would_help"]]
    return "\n".join([*lines, DECIDE])


def _help(one: plan_fields.Help) -> str:
    """One thing that would help, and what the plan then comes to."""
    if one["kind"] == "weight":
        what = f"weights and slings of {_from_to(one['least_kg'], one['most_kg'])}"
    elif one["kind"] == "slings":
        what = f"slings up to {_both(rounding.length(one['length_m'], 'up'))}"
    elif one["kind"] == "room":
        what = f"room out to {_both(rounding.length(one['working_radius_m'], 'up'))}"
    elif one["kind"] == "falls":
        what = _falls(one["falls"])
    else:
        what = f"{one['kind']} {one[one['kind']]}"
    falls = one["full_pull_falls_min"]
    enough = f"full line pull from {_falls(falls)}" if falls else "no full line pull"
    return f"{what}: {one['method']}, {one['passes']} pass(es), {rounding.whole_minutes(one['minutes'])} min, {enough}"


def _from_to(least: float, most: float) -> str:
    """Two masses between which something holds, each to its own side [kg]."""
    return f"{_both(rounding.mass(least, 'up'))} to {_both(rounding.mass(most, 'down'))}"


def state(found: drum_fields.DrumState, rules: Rules) -> str:
    """The state of a drum; what makes pre-tensioning due is named by the titles of the rules."""
    lines = [
        f"{found['machine']} ({found['status']} data), {found['day']}: "
        f"rope {_both(rounding.rope(found['rope_length_m'], 'down'))}",
        *_as_rigged(found),
        f"pre-tensioning is {'due' if found['due'] else 'not due'}; "
        f"a wrap is firm from {_both(rounding.force(found['firm_tension_n'], 'up'))} at laying",
    ]
    if found["reasons"] and not found["due"]:
        lines.append("loose under lifts that start with more rope on the drum:")
    for reason in found["reasons"]:
        entry = found["log"][reason["entry"]]
        by = ", ".join(filter(None, (entry["day"], entry["kind"], entry["note"])))
        lines.append(f"  {_rule(rules, reason['rule'])}: {_where(reason['stretch'])}, {reason['how']} ({by})")
    if found["depth"]:
        at = found["depth"]
        lines.append(f"deepest loose wrap: layer {at['layer']}, above wrap {rounding.wraps(at['wrap'], 'down')}")
    lines += _remedy(found["plan"])
    return "\n".join([*lines, DECIDE])


def _as_rigged(found: drum_fields.DrumState) -> Iterator[str]:
    """Ready or not as the crane stands, and the count that decides."""
    rigged, firm = found["as_rigged"], found["firm"]
    falls = "not reeved" if rigged is None else _falls(rigged["falls"])
    here = f"as rigged ({found['boom']}, {found['configuration']}, {falls})"
    if rigged is None:
        yield f"{here}: no lift"
    elif rigged["ready"]:
        radius, hook = (_both(rounding.length(rigged[name], "down")) for name in ("radius_m", "hook_height_m"))
        yield f"{here}: ready for full line pull out to radius {radius}, hook no higher than {hook} at the pick"
        if (fewest := found["firm_from_falls"]) and fewest < rigged["falls"]:
            yield f"re-reeved: ready down to {_falls(fewest)}"
    elif any(reason["stretch"] is None for reason in found["reasons"]):
        yield f"{here}: not ready; all of the rope is due"
    else:
        yield f"{here}: not ready; {_both(rounding.rope(rigged['loose_m'], 'up'))} of the bed is loose"
    if firm is None:
        yield "firm: nothing"
    else:
        wraps = [rounding.wraps(wrap, side) for wrap, side in zip(firm["wrap"], ("up", "down"), strict=True)]
        yield (
            f"firm: layer {firm['layer'][0]} wrap {wraps[0]} to layer {firm['layer'][1]} wrap {wraps[1]} "
            f"({_both(rounding.rope(firm['rope_m'][1], 'down'))}); no lift with more on the drum at the pick"
        )


def fleet(found: Fleet) -> str:
    """The fleet, a few lines for each crane."""
    lines = [f"fleet, {found['day']}; what needs doing first, first"]
    for row in found["cranes"]:
        ready = {None: "not known", True: "ready", False: "not ready"}[row["ready"]]
        rigged = ", ".join(str(one) for one in (row["boom"], row["configuration"]) if one)
        falls = f", {_falls(row['falls'])}" if row["falls"] else ""
        lines.append(f"{row['machine']} ({row['status']} data): {', '.join(row['to_do'])}")
        lines.append(f"  as rigged ({rigged}{falls}): {ready}; last entry {row['last_entry'] or 'none'}")
        if row["firm"]:
            layer, wrap = row["firm"]["layer"][1], rounding.wraps(row["firm"]["wrap"][1], "down")
            reach = _both(rounding.rope(row["firm"]["rope_m"][1], "down"))
            lines.append(f"  firm up to layer {layer} wrap {wrap} ({reach})")
        due = [f"{one['kind']} {_due(one['overdue'], one['next'])}" for one in row["inspections"]]
        lines.append(f"  rope: {row['rope']}; inspections: {', '.join(due) or 'none listed'}")
        if row["review"]:
            lines.append(f"  review {_due(row['review']['overdue'], row['review']['due'])}")
        if weak := row["weakest_plan"]:
            share = "no method" if weak["firm_share"] is None else f"{rounding.share(weak['firm_share'], 'down')} firm"
            helped = f"; would help: {_help(weak['help'])}" if weak["help"] else ""
            lines.append(f"  weakest plan: {weak['boom']} {weak['configuration']}, {share}{helped}")
    return "\n".join([*lines, DECIDE])


def _due(overdue: bool, day: str) -> str:
    return f"{'overdue since' if overdue else 'by'} {day}"


def _remedy(found: drum_fields.PlanNamed | None) -> Iterator[str]:
    if found is None:
        return
    reach = _both(rounding.rope(found["firm_below_m"], "down"))
    depth = f"down to {reach} of rope on the drum" if found["firm_below_m"] else "all of the rope"
    after = f"with {_falls(found['ready_for_falls'])} or more" if found["ready_for_falls"] else "for none"
    yield (
        f"plan: {found['boom']} {found['configuration']}, {depth}; {_falls(found['falls'])}, "
        f"{_both(rounding.mass(found['load_kg'], 'up'))}, {found['method']}, {found['passes']} pass(es), "
        f"{rounding.whole_minutes(found['minutes'])} min; bed firm afterwards {after}"
    )


def _where(stretch: drum_fields.LaidAlike | None) -> str:
    if stretch is None:
        return "all of the rope"
    (first, last), (start, end) = stretch["layer"], stretch["wrap"]
    least, most = (rounding.force(tension, "down") for tension in stretch["tension_n"])
    laid = _both(least) if least == most else f"{_both(least)} to {_both(most)}"
    from_wrap, to_wrap = rounding.wraps(start, "down"), rounding.wraps(end, "up")
    return f"layer {first} wrap {from_wrap} to layer {last} wrap {to_wrap}, {laid}"


def ready(found: drum_fields.Readiness, rules: Rules, words: Any) -> str:
    """Readiness for a heavy lift: which falls, how the drum lies under them, what the rules say."""
    radius, hook, verdict = found["radius_m"], found["hook_height_m"], found["verdict"]
    at = "the largest that carries it" if radius is None else _both(rounding.length(radius, "near"))
    side = "above" if hook >= 0 else "below"
    lines = [
        f"{found['machine']} {found['boom']} {found['configuration']} ({found['status']} data), {found['day']}: "
        f"{_both(rounding.mass(found['load_kg'], 'up'))} below the hook block",
        f"pick: radius {at}; hook {_both(rounding.length(abs(hook), 'near'))} {side} the crane's ground",
    ]
    if found["falls"]:
        little = rounding.share(found["little_line_pull"], "near")
        why = words["why"][found["why"]].format(little=little)
        lines.append(f"advised: {_falls(found['falls'])}, {words['rows'][found['advised']]}: {why}")
    lines.append(f"{words['verdict'][verdict['code']]} ({_rule(rules, verdict['rule'])})")
    for name in ROWS:
        if row := found["rows"][name]:
            lines += _row(words["rows"][name], row, words, due=verdict["code"] == "all-due")
    lines += _gain(found)
    lines += _landing(found["set_down"], rules, words["landing"])
    return "\n".join([*lines, words["published"], DECIDE])


def _row(name: str, row: drum_fields.Row, words: Any, due: bool) -> Iterator[str]:
    """One of the falls that are compared."""
    head = f"{name}: {_falls(row['falls'])}, block {row['block']}"
    lift = row["lift"]
    if lift is None:
        yield f"{head}: {words['against'][row['refused']]}"
        return
    yield (
        f"{head}: radius {_both(rounding.length(lift['radius_m'], 'down'))}, chart use "
        f"{rounding.share(lift['capacity_use'], 'up')}, line pull {rounding.share(lift['line_pull_share'], 'up')} of "
        f"the rated, hook {_both(rounding.hook_speed(lift['hook_speed_m_per_s'], 'down'))}"
    )
    yield f"  bed {_both(rounding.rope(lift['bed_m'], 'up'))}: {_bed(lift['bed'], words['bed'], due)}"
    if lift["bed"] and (count := lift["bed"]["most_on_drum"]):
        yield f"  count at the pick: no more than layer {count['layer']}, wrap {rounding.wraps(count['wrap'], 'down')}"
    if change := row["re_reeving"]:
        lowered, up = (_both(rounding.rope(change[way]["firm_lost_m"], "up")) for way in ("boom_lowered", "boom_up"))
        yield (
            f"  re-reeving from {_falls(change['from_falls'])}: {rounding.whole_minutes(change['minutes'])} min and "
            f"the boom lowered; firm rope off the drum {lowered}, with the boom up {up}"
        )


def _bed(bed: drum_fields.Bed | None, words: Any, due: bool) -> str:
    if bed is None:
        return str(words["unknown"])
    if due:
        return str(words["due"])
    bottom = ""
    if bed["unreached_loose_m"]:
        bottom = words["bottom"].format(loose=_both(rounding.rope(bed["unreached_loose_m"], "up")))
    if (reserve := bed["hook_reserve_m"]) is not None:  # the bed is firm
        return f"{words['firm'].format(reserve=_both(rounding.length(reserve, 'down')))}{bottom}"
    out_to = bed["firm_out_to_m"]
    reach = words["never"] if out_to is None else words["out_to"].format(radius=_both(rounding.length(out_to, "down")))
    return f"{words['loose'].format(loose=_both(rounding.rope(bed['loose_m'], 'up')))}{bottom}{reach}"


def _gain(found: drum_fields.Readiness) -> Iterator[str]:
    """What as many falls as practicable gain over the fewest that pass."""
    gain, most, fewest = found["gain"], found["rows"]["most"], found["rows"]["fewest"]
    if gain is None or most is None or fewest is None:
        return
    bed = _both(rounding.rope(abs(gain["bed_m"]), "down" if gain["bed_m"] >= 0 else "up"))
    time = rounding.whole_minutes(abs(gain["minutes"]))
    yield (
        f"{_falls(most['falls'])} against {fewest['falls']}: "
        f"line pull {rounding.share(gain['line_pull_share'], 'down')} of the rated less, "
        f"bed {bed} {'shorter' if gain['bed_m'] >= 0 else 'longer'}, "
        f"{time} min {'less' if gain['minutes'] > 0 else 'more'} to the upper stop, re-reeving counted"
    )


def _landing(found: drum_fields.SetDown | None, rules: Rules, words: Any) -> Iterator[str]:
    """Whether the boom can land the load, should the rope pull in."""
    if found is None:
        return
    out_to = found["room_out_to_m"]
    room = words["no_room"] if out_to is None else words["room"].format(radius=_both(rounding.length(out_to, "down")))
    down = words["boom_down"].format(height=_both(rounding.length(found["boom_down_m"], "down")))
    needed = [words["needed"]] if found["needed"] else []
    yield f"{_rule(rules, found['rule'])}: {' '.join([down, *needed, room])}"


def _falls(count: int) -> str:
    return f"{count} fall" if count == 1 else f"{count} falls"


def _rule(rules: Rules, id: str) -> str:
    return f"{rules[id].code} {rules[id].title}"


def _both(pair: rounding.Pair) -> str:
    return f"{pair.metric} ({pair.us})"
