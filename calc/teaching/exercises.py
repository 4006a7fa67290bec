"""Exercises for a training room: from the machines of the data, other numbers for every seed, worked step by step.

Every exercise stands in both unit systems.  It is kept only if somebody who does each step with the numbers shown comes
to what this calculation gives, in both: else another boom length, lift or reading is drawn.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from hashlib import sha256
from math import floor
from typing import Any

from calc import rounding
from calc.data import look_up
from calc.data.model import Case, Data, Inspection, Machine, Place, Upkeep
from calc.drum_log import duty, state
from calc.drum_log.drum_fields import BedOfFalls, DrumFound
from calc.formulas import capacity
from calc.inspection import fitness
from calc.inspection.fitness import UNITS as UNITS_OF_READINGS
from calc.inspection.rope_fields import Band, CriterionFound, PlaceFound
from calc.teaching.worked import METRIC, SYSTEMS, Sheet, Shown, Step, Table
from calc.winding import counting, makeup, moves, planner
from calc.winding.firm import firm_from, reaches
from calc.winding.rig import Crane, State

ATTEMPTS = 80  # draws for one exercise before it is left out; the rarest takes one draw in nine
DRAFT = "draft"  # machines of any other status may be drawn


@dataclass(frozen=True)
class Worked:
    """One exercise in one unit system: what is given, the steps, the numbers of the answer, its verdict by code."""

    given: tuple[Shown, ...]
    tables: tuple[Table, ...]
    steps: tuple[Step, ...]
    answers: tuple[Shown, ...]
    verdict: str


@dataclass(frozen=True)
class Exercise:
    """One exercise: topic, machine, what its question names, the rules it rests on, and both workings.

    `boom_length` [m] with its `case` where it is about one; `named` holds whole numbers and codes for the question.
    """

    topic: str
    machine: Machine
    case: Case | None
    named: tuple[tuple[str, int | str], ...]
    rules: tuple[str, ...]
    worked: tuple[Worked, Worked]  # metric, US

    @property
    def verdict(self) -> str:
        """Code of the verdict, the same in both unit systems."""
        return self.worked[0].verdict


@dataclass(frozen=True)
class Draw:
    """What chance gives for one attempt at one exercise: the same for the same seed, topic and attempt."""

    seed: int
    topic: str
    attempt: int

    def number(self, what: str, count: int) -> int:
        """A whole number from 0 to below `count` for `what` is drawn."""
        text = f"{self.seed}/{self.topic}/{self.attempt}/{what}"
        return int.from_bytes(sha256(text.encode()).digest()[:8], "big") % count

    def one(self, what: str, choices: Any) -> Any:
        """One of several `choices` for `what` is drawn."""
        return choices[self.number(what, len(choices))]


Made = Iterator[Exercise]


class Source:
    """The data as they count on a `day`, with what is computed from them kept: attempts come to the same boom again."""

    def __init__(self, data: Data, day: str) -> None:
        self.data, self.day = data, day
        self.case = cache(self._case)
        self.plan = cache(self._plan)
        self.drum = cache(self._drum)

    def _case(self, machine: str, boom: str, configuration: str) -> Case:
        return look_up.case(self.data, machine, boom, configuration, self.day)

    def _plan(self, machine: str, boom: str, configuration: str) -> planner.Plan | None:
        found = planner.plan(self.case(machine, boom, configuration))
        return None if isinstance(found, str) else found

    def _drum(self, machine: str, last: str) -> DrumFound:
        """The state of a drum after the entries of the day `last`, without the plan for it."""
        upkeep = self.data.upkeep[machine]
        until = replace(upkeep, log=tuple(entry for entry in upkeep.log if entry.day <= last))
        return state.without_plan(replace(self.data, upkeep={**self.data.upkeep, machine: until}), machine, self.day)


def exercises(data: Data, seed: int, day: str) -> tuple[Exercise, ...]:
    """One set: an exercise of each topic that the data can fill.

    Parameters
    ----------
    data : everything read; machines of status draft are left out
    seed : which set; the same seed, data and day give the same set
    day : whose rules count, YYYY-MM-DD

    Returns: exercises in the order of `TOPICS`, each from another machine as far as there are enough.
    Errors: check.Unknown when no rule is in force on that day.
    """
    machines = [machine for machine in data.machines.values() if machine.status != DRAFT]
    order = sorted(machines, key=lambda machine: sha256(f"{seed}/{machine.id}".encode()).digest())
    source = Source(data, day)
    found = []
    for number, (topic, make) in enumerate(TOPICS.items()):
        for attempt in range(ATTEMPTS if order else 0):
            machine = order[(number + attempt) % len(order)]
            made = next(make(source, machine, Draw(seed, topic, attempt)), None)
            if made is not None:
                found.append(made)
                break
    return tuple(found)


def _both(work: Callable[[Sheet], tuple[tuple[Shown, ...], str] | None]) -> tuple[Worked, Worked] | None:
    """The exercise in both unit systems; None where one of them does not come to the calculated answer."""
    done = []
    for units in SYSTEMS:
        sheet = Sheet(units)
        result = work(sheet)
        if result is None:
            return None
        done.append(Worked(tuple(sheet.given), tuple(sheet.tables), tuple(sheet.steps), *result))
    metric, us = done
    same = [step.key for step in metric.steps] == [step.key for step in us.steps]
    return (metric, us) if same and metric.verdict == us.verdict else None


def _exercise(
    data: Data,
    topic: str,
    machine: Machine,
    case: Case | None,
    work: Any,
    rules: tuple[str, ...] = (),
    **named: int | str,
) -> Made:
    both = _both(work)
    if both is not None:
        yield Exercise(topic, machine, case, tuple(named.items()), rules or _rules(data, topic, case), both)


def _rules(data: Data, topic: str, case: Case | None) -> tuple[str, ...]:
    """Ids of the rules whose values a topic takes from a case."""
    found = []
    for use in case.rules if case else ():
        version = data.rules[use.id].at(use.from_day)
        if version and not VALUES[topic].isdisjoint(version.values):
            found.append(use.id)
    return tuple(found)


def _case(source: Source, machine: Machine, draw: Draw) -> Case:
    configuration = draw.one("configuration", machine.configurations)
    chart = draw.one("boom", configuration.charts)
    return source.case(machine.id, chart.slug, configuration.id)


def _plan(source: Source, case: Case) -> planner.Plan | None:
    return source.plan(case.machine.id, case.chart.slug, case.configuration.id)


def _grooved(case: Case) -> bool:
    """On a smooth drum the whole first layer stays: another formula for the usable rope."""
    return case.machine.drum.surface != "smooth"


# -- parts of several exercises -------------------------------------------------------------------------------------


def _usable(sheet: Sheet, case: Case) -> Shown:
    """Rope without the dead wraps."""
    length = sheet.give("rope_length", case.machine.rope.length, "length")
    dead = sheet.give("dead_wraps", case.values.dead_wraps)
    root = sheet.give("groove_root", case.machine.drum.groove_root_diameter, "small")
    thick = sheet.give("rope_diameter", case.machine.rope.diameter, "small")
    wrap = sheet.work("first_wrap", f"pi*({root} + {thick})/{sheet.units.small_in_length}", "length", 0.001)
    return sheet.work("usable", f"{length} - {dead}*{wrap}", "length")


def _pivot(sheet: Sheet, case: Case) -> tuple[Shown, Shown, Shown]:
    boom = case.machine.boom
    return (
        sheet.give("boom_length", case.chart.boom_length, "length"),
        sheet.give("pivot_forward", boom.pivot_forward, "length"),
        sheet.give("pivot_height", boom.pivot_height, "length"),
    )


def _head(sheet: Sheet, pivot: tuple[Shown, Shown, Shown], radius: Shown, key: str = "head", part: str = "") -> Shown:
    length, forward, height = pivot
    return sheet.work(key, f"{height} + sqrt({length}^2 - ({radius} - {forward})^2)", "length", 0.001, part=part)


def _as_shown(sheet: Sheet, exact: float, kind: str, size: float, side: str) -> str:
    """A calculated value in SI as an answer of this sheet must read."""
    shown = Sheet(sheet.units).work("", repr(max(0.0, exact) / sheet.units.kinds[kind][1]), kind, size, side)
    return shown.text


def _coarse(sheet: Sheet, metric: float, us: float) -> float:
    return metric if sheet.units is METRIC else us


# -- falls ----------------------------------------------------------------------------------------------------------


def _falls(source: Source, machine: Machine, draw: Draw) -> Made:
    case = _case(source, machine, draw)
    plan = _plan(source, case)
    if plan and plan.exact is not None and _grooved(case):
        used = plan.attempt.rig.falls
        yield from _exercise(source.data, draw.topic, machine, case, partial(_falls_worked, plan), falls=used)


def _falls_worked(plan: planner.Plan, sheet: Sheet) -> tuple[tuple[Shown, ...], str] | None:
    case, rig, attempt = plan.crane.case, plan.attempt.rig, plan.attempt
    usable = _usable(sheet, case)
    pivot = _pivot(sheet, case)
    radius = sheet.give("least_radius", plan.crane.least_radius(case.chart.boom_length), "length")
    path = sheet.give("drum_to_head", rig.drum_to_head(case.chart.boom_length), "length")
    points = sheet.give("lifting_points", attempt.load.base.lifting_height, "length")
    diagonal = sheet.give("lifting_diagonal", attempt.load.base.lifting_diagonal, "length")
    sling = sheet.give("sling", attempt.load.sling_length, "length")
    extra = ""
    if attempt.slings.extensions:
        extra = f" + {sheet.give('extension', attempt.slings.length - attempt.load.sling_length, 'length')}"
    block = sheet.give("block_height", rig.block.height, "length")
    sheave = sheet.give("sheave_radius", case.machine.reeving.sheave_radius, "length", 3)
    length = sheet.given[0]
    part = sheet.work("estimate_part", f"({length} - {pivot[0]})/{pivot[0]}", "count")
    estimate = sheet.work("estimate", f"{part}", "count", 1, "up")
    head = _head(sheet, pivot, radius)
    hanging = sheet.work("hanging_height", f"sqrt({sling}^2 - ({diagonal}/2)^2)", "length", 0.001)
    hook = sheet.work("hook", f"{points} + {hanging}{extra}", "length")
    turn = f"pi*{sheave}"
    exact = sheet.work("exact", f"({usable} - {path} + {turn})/({head} - {hook} - {block} + {turn})", "count", 0.1)
    reaches_dead = sheet.compare("estimate_reaches", f"{estimate} >= {exact}")
    calculated = plan.exact or 0.0
    agreed = (estimate.text, exact.text, hook.text, reaches_dead) == (
        f"{plan.estimate}",
        _as_shown(sheet, calculated, "count", 0.1, "near"),
        _as_shown(sheet, attempt.start.hook_height, "length", 0.01, "near"),
        plan.estimate >= calculated,
    )
    verdict = "estimate-reaches" if reaches_dead else "estimate-falls-short"
    return ((estimate, hook, exact), verdict) if agreed else None


# -- load -----------------------------------------------------------------------------------------------------------


def _load(source: Source, machine: Machine, draw: Draw) -> Made:
    case = _case(source, machine, draw)
    plan = _plan(source, case)
    if plan:
        yield from _exercise(
            source.data, draw.topic, machine, case, partial(_load_worked, plan), falls=plan.attempt.rig.falls
        )


def _load_worked(plan: planner.Plan, sheet: Sheet) -> tuple[tuple[Shown, ...], str] | None:
    case, crane, attempt = plan.crane.case, plan.crane, plan.attempt
    size = _coarse(sheet, 0.01, 10)
    pull = sheet.give("rated_line_pull", case.machine.winch.rated_line_pull, "force")
    share = sheet.give("minimum_share", case.values.minimum_share, "share")
    just_under = sheet.give("accepted_share", case.values.accepted_share, "share")
    falls = sheet.give("falls", attempt.rig.falls)
    block = sheet.give("block_mass", attempt.rig.block.mass, "mass")
    slings = sheet.give("sling_mass", crane.slings[0].mass, "mass")
    extra = ""
    if attempt.slings.extensions:
        extra = f" + {sheet.give('extension_mass', attempt.slings.mass - crane.slings[0].mass, 'mass')}"
    rows = [
        (weight.name, sheet.shown("weight", weight.mass, "mass"), sheet.shown("count", weight.count, "count"))
        for weight in case.yard.weights
    ]
    sheet.tables.append(Table("weights", ("weight", "mass", "count"), tuple(rows)))
    gravity = sheet.units.force_in_mass
    least = sheet.work(
        "least", f"{share}/100*{pull}*{falls}" + ("" if gravity == "1" else f"/{gravity}"), "mass", size, "up"
    )
    accepted = sheet.work("accepted", f"{just_under}/100*{least}", "mass", size, "up")
    needed = sheet.work("needed", f"{accepted} - {block} - {slings}", "mass", size)
    chosen, lighter = attempt.load, _lighter(crane, attempt.load)
    if lighter is None or not _least_by_counting(case, chosen.mass, lighter.mass):
        return None
    below = sheet.work("lighter", _sum(sheet, lighter), "mass", size)
    if sheet.compare("lighter_is_enough", f"{below} >= {needed}"):
        return None
    weights = sheet.work("weights", _sum(sheet, chosen), "mass", size)
    if not sheet.compare("enough", f"{weights} >= {needed}"):
        return None
    total = sheet.work("total", f"{weights} + {block} + {slings}{extra}", "mass", size)
    agreed = least.text == _as_shown(sheet, attempt.rig.least_mass, "mass", size, "up")
    lightest = next(planner.enough_load(attempt.rig), None)
    return ((least, weights, total), "load") if agreed and lightest == chosen else None


def _sum(sheet: Sheet, load: makeup.Load) -> str:
    return " + ".join(f"{count}*{sheet.shown('weight', weight.mass, 'mass')}" for weight, count in load.parts)


def _lighter(crane: Crane, load: makeup.Load) -> makeup.Load | None:
    """The next lighter load that the yard can make up."""
    return next((one for one in reversed(crane.loads) if one.mass < load.mass), None)


def _least_by_counting(case: Case, mass: float, lighter: float) -> bool:
    """Whether no count of weights lies between two loads: then the height of the stack makes no difference."""
    sums = {0.0}
    for weight in case.yard.weights:
        sums = {total + weight.mass * count for total in sums for count in range(weight.count + 1)}
    return not any(lighter < total < mass for total in sums)


# -- warning height -------------------------------------------------------------------------------------------------


def _warning_height(plan: planner.Plan) -> float:
    rig, start = plan.attempt.rig, plan.attempt.start
    return rig.stop_height(start, rig.stop_margin(start))


def _stop(source: Source, machine: Machine, draw: Draw) -> Made:
    case = _case(source, machine, draw)
    plan = _plan(source, case)
    if plan and _grooved(case) and _warning_height(plan) > case.values.clearance:
        yield from _exercise(
            source.data, draw.topic, machine, case, partial(_stop_worked, plan), falls=plan.attempt.rig.falls
        )


def _stop_worked(plan: planner.Plan, sheet: Sheet) -> tuple[tuple[Shown, ...], str] | None:
    case, rig, start = plan.crane.case, plan.attempt.rig, plan.attempt.start
    usable = _usable(sheet, case)
    pivot = _pivot(sheet, case)
    radius = sheet.give("start_radius", start.radius, "length")
    path = sheet.give("drum_to_head", rig.drum_to_head(start.boom_length), "length")
    falls = sheet.give("falls", rig.falls)
    sheave = sheet.give("sheave_radius", case.machine.reeving.sheave_radius, "length", 3)
    block = sheet.give("block_height", rig.block.height, "length")
    least = sheet.give("stop_margin", case.values.stop_margin, "length")
    share = sheet.give("stop_margin_share", case.values.stop_margin_share, "share")
    steep = start.at_radius(plan.crane.least_radius(start.boom_length))
    rebound = sheet.give("rebound", rig.rebound(steep), "length")
    head = _head(sheet, pivot, radius)
    around = sheet.work("between_falls", f"({falls} - 1)*pi*{sheave}", "length")
    reach = sheet.work("reach", f"({usable} - {path} - {around})/{falls}", "length", 0.001)
    by_length = sheet.work("margin_by_length", f"{share}/100*{sheet.given[0]}/{falls} + {rebound}", "length")
    margin = sheet.work("margin", f"max({least}, {by_length})", "length")
    size = _coarse(sheet, 0.1, 0.5)
    stop = sheet.work("stop", f"{head} - {block} - {reach} + {margin}", "length", size, "up")
    agreed = stop.text == _as_shown(sheet, _warning_height(plan), "length", size, "up")
    return ((stop,), "stop") if agreed else None


# -- count ----------------------------------------------------------------------------------------------------------


def _count(source: Source, machine: Machine, draw: Draw) -> Made:
    case = _case(source, machine, draw)
    plan = _plan(source, case)
    if plan is None or not plan.attempt.methods or not _grooved(case):
        return
    whole = plan.crane.layers[0].wraps
    rows = [row for row in counting.count_table(plan.attempt) if case.values.stop_wraps <= row.wraps <= whole]
    if not rows:
        return
    do = draw.one("do", sorted({row.do for row in rows}))
    row = draw.one("row", [row for row in rows if row.do == do])
    work = partial(_count_worked, plan, row)
    yield from _exercise(source.data, draw.topic, machine, case, work, falls=plan.attempt.rig.falls)


def _count_worked(plan: planner.Plan, row: counting.Count, sheet: Sheet) -> tuple[tuple[Shown, ...], str] | None:
    case, rig, values = plan.crane.case, plan.attempt.rig, plan.crane.case.values
    hung = moves.hanging(rig, plan.attempt.start)
    planned = sheet.give("rope_length", case.machine.rope.length, "length")
    root = sheet.give("groove_root", case.machine.drum.groove_root_diameter, "small")
    thick = sheet.give("rope_diameter", case.machine.rope.diameter, "small")
    wraps = sheet.give("wraps_counted", row.wraps)
    pivot = _pivot(sheet, case)
    radius = sheet.give("hanging_radius", hung.radius, "length")
    hook = sheet.give("hook_counted", hung.hook_height, "length")
    path = sheet.give("drum_to_head", rig.drum_to_head(hung.boom_length), "length")
    falls = sheet.give("falls", rig.falls)
    sheave = sheet.give("sheave_radius", case.machine.reeving.sheave_radius, "length", 3)
    block = sheet.give("block_height", rig.block.height, "length")
    height = sheet.give("hook_height_error", values.hook_height_error, "length")
    more = sheet.give("rope_longer_share", values.rope_longer_share, "share")
    less = sheet.give("rope_shorter_share", values.rope_shorter_share, "share")
    wrap = sheet.work("first_wrap", f"pi*({root} + {thick})/{sheet.units.small_in_length}", "length", 0.001)
    around = sheet.work("between_falls", f"({falls} - 1)*pi*{sheave}", "length")
    head = _head(sheet, pivot, radius, "head_hanging")
    out = sheet.work("paid_out", f"{path} + {around} + {falls}*({head} - {hook} - {block})", "length")
    length = sheet.work("length_by_count", f"{out} + {wraps}*{wrap}", "length", 0.1)
    longer = sheet.compare("is_longer", f"{length} >= {planned}")
    off = sheet.work("length_off", f"{length} - {planned}" if longer else f"{planned} - {length}", "length", 0.1)
    near = sheet.work("counts_as_planned", f"max({wrap}, {falls}*{height})", "length")
    if sheet.compare("is_as_planned", f"{off} <= {near}"):
        do = counting.AS_PLANNED
    elif longer:
        most = sheet.work("longest", f"{more}/100*{planned}", "length")
        do = counting.LONGER if sheet.compare("is_near_enough", f"{off} <= {most}") else counting.NOT_THIS_ROPE
    else:
        most = sheet.work("shortest", f"max({less}/100*{planned}, {falls}*{height} + {wrap})", "length")
        do = counting.SHORTER if sheet.compare("is_near_enough", f"{off} <= {most}") else counting.NOT_THIS_ROPE
    close = abs(length.value * sheet.units.kinds["length"][1] - row.rope_length) <= CLOSE
    return ((length,), do) if close and do == row.do else None


CLOSE = 0.2  # m of rope: what radius and heights shown to the centimetre leave open on many falls


# -- passes ---------------------------------------------------------------------------------------------------------


def _passes(source: Source, machine: Machine, draw: Draw) -> Made:
    case = _case(source, machine, draw)
    plan = _plan(source, case)
    if plan is None or len(plan.attempt.luff_out.passes) < 2 or not plan.crane.beds:
        return
    first, *_, last = plan.attempt.luff_out.passes
    if not reaches(plan.crane, first.firm_from):
        return
    least = last.full_pull_falls
    beds = [bed for bed in plan.crane.beds if least and bed[0] >= least]
    if draw.number("enough", 4) == 0:
        beds = [bed for bed in plan.crane.beds if bed not in beds]
    if not beds:
        return
    falls, bed = draw.one("lift", beds)
    work = partial(_passes_worked, plan, falls, bed)
    yield from _exercise(source.data, draw.topic, machine, case, work, falls=plan.attempt.rig.falls, lift=falls)


def _passes_worked(plan: planner.Plan, lift: int, bed: float, sheet: Sheet) -> tuple[tuple[Shown, ...], str] | None:
    case, rig = plan.crane.case, plan.attempt.rig
    done = plan.attempt.luff_out.passes
    start = done[0].pick
    pivot = _pivot(sheet, case)
    radius = sheet.give("start_radius", start.radius, "length")
    falls = sheet.give("falls", rig.falls)
    on_drum = sheet.give("rope_at_pick", rig.rope_on_drum(start), "length", 1)
    begin = sheet.give("firm_from", firm_from(rig, start), "length", 1)
    needed = sheet.give("bed", rounding.step(bed, sheet.units.kinds["length"][1], "up"), "length", 0)
    rows = []
    for number, one in enumerate(done, 1):
        rows.append(
            (
                sheet.shown("pass", number, "count"),
                sheet.shown("sling", one.slings.length, "length"),
                sheet.shown("landing_radius", one.end.radius, "length"),
                sheet.shown("slip", rig.rope_on_drum(one.end) - one.firm_to, "length", 1),
            )
        )
    sheet.tables.append(Table("passes", ("pass", "sling", "landing_radius", "slip"), tuple(rows)))
    head = _head(sheet, pivot, radius, "head_start")
    ends: dict[str, Shown] = {}
    for row, one in zip(rows, done, strict=True):
        turn, sling, landing, slip = row
        if landing.text not in ends:
            ends[landing.text] = _head(sheet, pivot, landing, "head_end", turn.text)
        rise = f"{head} - {ends[landing.text]} + {sling} - {rows[0][1]}"
        landed = sheet.work("landed", f"{on_drum} + {falls}*({rise})", "length", 0.1, part=turn.text)
        end = sheet.work("firm_to", f"{landed} - {slip}", "length", 0.1, part=turn.text)
        firm = sheet.work("firm", f"{end} - {begin}", "length", 1, "down", turn.text)
        enough = sheet.compare("bed_is_firm", f"{end} >= {needed}", turn.text)
        calculated = one.full_pull_falls is not None and one.full_pull_falls <= lift
        if firm.text != _as_shown(sheet, one.firm_rope, "length", 1, "down") or enough != calculated:
            return None
        if enough:
            return (firm, replace(turn, key="passes")), "passes"
    return (firm,), "no-pass-is-enough"


# -- capacity -------------------------------------------------------------------------------------------------------

ROWS_SHOWN = 4


def _capacity(source: Source, machine: Machine, draw: Draw) -> Made:
    case = _case(source, machine, draw)
    crane, rows = Crane(case), case.chart.rows
    falls = draw.one("falls", list(crane.blocks))
    load = draw.one("load", crane.loads)
    if len(rows) < ROWS_SHOWN + 1 or crane.blocks[falls].capacity < load.mass + crane.slings[0].mass:
        return
    row = 1 + draw.number("row", len(rows) - ROWS_SHOWN)
    before, after = rows[row - 1][0], rows[row][0]
    read = floor(10 * (after - (after - before) * draw.number("between", 3) / 4)) / 10
    if read <= before or not 0.6 < load.mass / rows[row][1] < 1.1:
        return
    work = partial(_capacity_worked, crane, falls, read, load, row)
    yield from _exercise(source.data, draw.topic, machine, case, work, falls=falls)


def _capacity_worked(
    crane: Crane, lines: int, read: float, load: makeup.Load, row: int, sheet: Sheet
) -> tuple[tuple[Shown, ...], str] | None:
    case, block = crane.case, crane.blocks[lines]
    rig = crane.rig(lines, block)
    hanging = load.hook_height + case.values.clearance
    at = State(case.chart.boom_length, read, hanging, lines, load.mass + crane.slings[0].mass)
    size = _coarse(sheet, 0.01, 10)
    length = sheet.give("boom_length", at.boom_length, "length")
    radius = sheet.give("radius", read, "length")
    share = sheet.give("deflection_share", case.values.deflection_share, "share")
    weights = sheet.give("weights", load.mass, "mass")
    slings = sheet.give("sling_mass", crane.slings[0].mass, "mass")
    hook = sheet.give("block_mass", block.mass, "mass")
    falls = sheet.give("falls", lines)
    fall = sheet.give("fall_length", rig.fall_length(at), "length", 1)
    mass = sheet.give("rope_mass", case.machine.rope.mass_per_length, "mass per length")
    most = sheet.give("largest_capacity_use", case.values.largest_capacity_use, "share")
    listed = [
        (sheet.shown("radius", reach, "length"), sheet.shown("capacity", carried, "mass"))
        for reach, carried in case.chart.rows[row - 1 : row - 1 + ROWS_SHOWN]
    ]
    sheet.tables.append(Table("chart", ("radius", "capacity"), tuple(listed)))
    divided = "" if sheet.units.rope_in_mass == "1" else f"/{sheet.units.rope_in_mass}"
    rope = sheet.work("rope_in_falls", f"{falls}*{fall}*{mass}{divided}", "mass", size)
    gross = sheet.work("gross", f"{weights} + {slings} + {hook} + {rope}", "mass", size)
    reach, carried = next(one for one in listed if sheet.compare("row_reaches", f"{radius} <= {one[0]}", one[0].text))
    limit = sheet.work("planned_limit", f"{most}/100*{carried}", "mass", size, "down")
    use = sheet.work("use", f"100*{gross}/{carried}", "share", 1, "up")
    verdict = "not-carried"
    if sheet.compare("carried", f"{gross} <= {carried}", reach.text):
        verdict = "carried" if sheet.compare("planned", f"{gross} <= {limit}", reach.text) else "chart-alone"
    elif rig.gross(at) <= case.chart.rows[row][1]:
        return None
    if verdict == "not-carried":
        return (gross, carried, use), verdict
    growth = sheet.work("growth", f"{share}/100*{length}*{gross}/{carried}", "length")
    bare = sheet.work("bare_radius", f"{radius} - {growth}", "length")
    # the planner goes the other way: from the unloaded boom to the row that carries the grown radius
    out = read - crane.growth(at.boom_length) * rig.gross(at) / case.chart.rows[row][1]
    if out < crane.least_radius(at.boom_length):
        return None
    exact = capacity.read(case.chart.rows, out, rig.gross(at), crane.growth(at.boom_length))
    if exact is None or exact.row != row or use.text != f"{rounding.step(100 * exact.use, 1, 'up'):.0f}":
        return None
    inside = exact.use <= case.values.largest_capacity_use
    return ((gross, carried, use, bare), verdict) if inside == (verdict == "carried") else None


# -- due or not -----------------------------------------------------------------------------------------------------


def _due(source: Source, machine: Machine, draw: Draw) -> Made:
    data, day = source.data, source.day
    upkeep = data.upkeep.get(machine.id)
    days = sorted({entry.day for entry in upkeep.log if entry.day <= day}) if upkeep else []
    if not upkeep or not days:
        return
    last = draw.one("day", days)
    found = source.drum(machine.id, last)
    beds = [bed for bed in found["beds"] if bed["bed_m"] > 0]
    if not found["loose"] or not beds or state.all_due(found["reasons"]):
        return
    case = look_up.cases(data, machine, day)(found["boom_length_m"])
    crane = duty.crane(case, found["rope_length_m"])
    bed = draw.one("falls", beds)
    work = partial(_due_worked, crane, found, bed)
    yield from _exercise(data, draw.topic, machine, case, work, RULES_OF_DUE, lift=bed["falls"], day=last)


RULES_OF_DUE = ("firm-tension", "due-after-light-work", "rope-stretch")


def _due_worked(crane: Crane, found: DrumFound, bed: BedOfFalls, sheet: Sheet) -> tuple[tuple[Shown, ...], str] | None:
    case = crane.case
    rig, pick = crane.from_the_ground(bed["falls"])
    spans = [stretch["rope_m"] for stretch in found["loose"]]
    if any(abs(end - start) > 0.01 for (_, end), (start, _) in zip(spans, spans[1:], strict=False)):
        return None  # firm rope between: more to add up than the exercise asks for
    length = sheet.give("rope_length", found["rope_length_m"], "length")
    path = sheet.give("drum_to_head", rig.drum_to_head(pick.boom_length), "length")
    falls = sheet.give("lift_falls", bed["falls"])
    sheave = sheet.give("sheave_radius", case.machine.reeving.sheave_radius, "length", 3)
    pivot = _pivot(sheet, case)
    radius = sheet.give("lift_radius", pick.radius, "length")
    hook = sheet.give("hook_at_pick", pick.hook_height, "length")
    block = sheet.give("block_height", rig.block.height, "length")
    thick = sheet.give("rope_diameter", case.machine.rope.diameter, "small")
    metal = sheet.give("metal_factor", case.values.rope_metal_factor, "share")
    modulus = sheet.give("modulus", case.values.rope_modulus, "modulus")
    pull = sheet.give("rated_line_pull", case.machine.winch.rated_line_pull, "force")
    start = sheet.give("loose_from", spans[0][0], "length", 1)
    end = sheet.give("loose_to", spans[-1][1], "length", 1)
    head = _head(sheet, pivot, radius)
    around = sheet.work("between_falls", f"({falls} - 1)*pi*{sheave}", "length")
    out = sheet.work("paid_out", f"{path} + {around} + {falls}*({head} - {hook} - {block})", "length")
    area = sheet.work("metal_area", f"{metal}/100*{thick}^2", "area", sheet.units.fine_area)
    force = f"{pull}" if sheet.units.force_in_small == "1" else f"{sheet.units.force_in_small}*{pull}"
    stretch = sheet.work("stretch", f"{force}*{out}/({modulus}*{area})", "length")
    needed = sheet.work("bed_needed", f"{length} - {out} + {stretch}", "length", 0.1, "up")
    if not sheet.compare("loose_in_bed", f"{start} < {needed}"):
        return ((needed,), "not-due") if bed["firm"] else None
    loose = sheet.work("loose", f"min({needed}, {end}) - {start}", "length", 1, "up")
    agreed = not bed["firm"] and loose.text == _as_shown(sheet, bed["loose_m"], "length", 1, "up")
    return ((needed, loose), "due") if agreed else None


# -- discard or not -------------------------------------------------------------------------------------------------


def _discard(source: Source, machine: Machine, draw: Draw) -> Made:
    data, day = source.data, source.day
    thick = machine.rope.diameter
    reference = round(thick * (1 + draw.number("reference", 4) / 100), 4)
    lost = draw.number("decrease", 17) / 200  # up to 8 % of the nominal diameter
    measured = reference - lost * thick
    off = [draw.number(which, 3) / 10_000 for which in ("first", "second")]
    readings = (round(measured + off[0], 4), round(measured - off[1], 4))
    short = draw.number("short", 5)
    long = short + draw.number("long", 5)
    wires = {"in_6_diameters": short, "in_30_diameters": long}
    if machine.rulebook == "us" and not machine.rope.rotation_resistant:
        lay = short + draw.number("lay", long - short + 1)
        wires |= {"in_one_lay": lay, "in_one_strand": draw.number("strand", lay + 1)}
    # no crossover: the ISO limit of the diameter gives no verdict there
    place = Place(draw.one("place", ("flange", "sheaves")), None, wires, readings, None, ())
    inspection = Inspection(day, "-", "full", (place,), (reference, reference), "")
    log = data.upkeep[machine.id].log if machine.id in data.upkeep else ()
    read = replace(data, upkeep={**data.upkeep, machine.id: Upkeep(machine.id, log, (inspection,))})
    told = fitness.fitness(read, machine.id, day)
    own = next(one for one in told["regimes"] if one["regime"] == machine.rulebook)
    if not own["places"]:
        return
    judged = own["places"][0]
    bands = next(one["bands"] for one in told["limits"] if one["regime"] == machine.rulebook) or ()
    if judged["outcome"] not in ("none-met", "verify", "met"):
        return
    yield from _exercise(
        data,
        draw.topic,
        machine,
        None,
        partial(_discard_worked, machine, place, reference, judged, bands),
        RULES_OF_DISCARD[machine.rulebook],
        place=place.kind,
        regime=machine.rulebook,
    )


RULES_OF_DISCARD = {
    "iso": ("broken-wires-iso", "diameter-decrease-iso", "combined-severity", "rope-verdict"),
    "us": ("broken-wires-us", "diameter-decrease-us", "rope-verdict"),
}


def _discard_worked(
    machine: Machine, place: Place, reference: float, judged: PlaceFound, bands: Sequence[Band], sheet: Sheet
) -> tuple[tuple[Shown, ...], str] | None:
    assert place.diameter, "drawn with both readings"
    digits = int(_coarse(sheet, 1, 3))
    nominal = sheet.give("nominal_diameter", machine.rope.diameter, "small")
    before = sheet.give("reference_diameter", reference, "small", digits) if machine.rulebook == "iso" else nominal
    first, second = (sheet.give(f"reading_{at}", each, "small", digits) for at, each in enumerate(place.diameter, 1))
    criteria = {one["criterion"]: one for one in judged["criteria"] if one["criterion"] != "diameter-increase"}
    total = criteria.pop("combined-severity", None)
    rows = []
    for criterion, one in criteria.items():
        assert one["reading"] is not None and one["limit"] is not None, "everything is read, and has its limit"
        kind = "share" if UNITS_OF_READINGS.get(criterion) else "count"
        limit = sheet.shown("limit", one["limit"], kind)
        reading = sheet.shown("reading", one["reading"], kind) if kind == "count" else "to-be-found"
        rows.append((f"criterion:{criterion}", reading, limit, f"read:{one['read']}"))
    sheet.tables.append(Table("limits", ("criterion", "reading", "limit", "read"), tuple(rows)))
    from_band = [
        (sheet.shown("band_start", band["decrease"], "share"), sheet.shown("severity", band["share"], "share"))
        for band in bands
    ]
    if from_band:
        sheet.tables.append(Table("bands", ("band_start", "severity"), tuple(from_band)))
    mean = sheet.work("mean_diameter", f"({first} + {second})/2", "small", 10.0 ** -(digits + 1))
    decrease = sheet.work("decrease", f"100*({before} - {mean})/{nominal}", "share", 0.1)
    reached: list[str] = []
    severities: dict[str, list[Any]] = {}
    for (label, reading, limit, _), one in zip(rows, criteria.values(), strict=True):
        name = label.removeprefix("criterion:")
        is_count = not isinstance(reading, str)
        sign = ">" if one["criterion"] == "diameter-decrease" and machine.rulebook == "us" else ">="
        found = reading if is_count else decrease
        met = sheet.compare("limit_reached", f"{found} {sign} {limit}", name)
        if met:
            reached.append(one["read"])
        if total and one["severity"]:
            by_band = sheet.shown("severity", one["severity"], "share") if not is_count and not met else None
            severities.setdefault(one["group"], []).append((name, found, limit, by_band))
    verdict = "none-met"
    if reached:
        verdict = "verify" if all(read == "from-memory" for read in reached) else "met"
    if total:
        verdict = _summed(sheet, severities, total, verdict)
    return ((mean, decrease), verdict) if verdict == judged["outcome"] else None


def _summed(sheet: Sheet, severities: dict[str, list[Any]], total: CriterionFound, verdict: str) -> str:
    """The sum of severities at one place, the gravest of each kind of damage, written down; the verdict with it."""
    worst = []
    for entries in severities.values():
        shares = []
        for name, reading, limit, by_band in entries:
            if by_band:
                shares.append(sheet.work("severity_band", f"{by_band}", "share", 1, part=name))
            else:
                shares.append(sheet.work("severity", f"100*{reading}/{limit}", "share", 1, part=name))
        text = ", ".join(map(str, shares))
        worst.append(sheet.work("gravest", f"max({text})", "share", 1) if shares[1:] else shares[0])
    found = sheet.work("severity_sum", " + ".join(map(str, worst)), "share", 1)
    if not sheet.compare("sum_reached", f"{found} >= 100"):
        return verdict
    return "met" if total["read"] != "from-memory" or verdict == "met" else "verify"


TOPICS: dict[str, Callable[[Source, Machine, Draw], Made]] = {
    "falls": _falls,
    "load": _load,
    "stop": _stop,
    "count": _count,
    "passes": _passes,
    "capacity": _capacity,
    "due": _due,
    "discard": _discard,
}
VALUES = {
    "falls": frozenset({"dead_wraps", "unreached_limit"}),
    "load": frozenset({"minimum_share", "accepted_share"}),
    "stop": frozenset({"dead_wraps", "stop_margin"}),
    "count": frozenset({"stop_wraps", "count_tolerance", "hook_height_error", "reach_height"}),
    "passes": frozenset({"overlap_wraps", "firm_tension_share"}),
    "capacity": frozenset({"deflection_share", "largest_capacity_use"}),
}
