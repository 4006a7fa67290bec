"""Exercises for a training room: from the machines of the data, other numbers for every seed, worked step by step.

May import: worked, model, check, contract's parts, rig, winding, duty, state, fitness, makeup, capacity, tables, drum.
Must not know: files, pages, words, chance beyond its seed.

Every exercise stands in both unit systems.  It is kept only if somebody who does each step with the numbers shown comes
to what this calculation gives, in both: else another boom length, lift or reading is drawn.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache, partial
from hashlib import sha256
from math import floor
from typing import Any

from calc import capacity, check, duty, fitness, makeup, reeving, state, tables, winding
from calc.fitness import UNITS as UNITS_OF_READINGS
from calc.model import Case, Data, Inspection, Machine, Place, Upkeep
from calc.rig import Crane, State
from calc.worked import METRIC, SYSTEMS, Sheet, Shown, Step, Table

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
        return check.case(self.data, machine, boom, configuration, self.day)

    def _plan(self, machine: str, boom: str, configuration: str) -> winding.Plan | None:
        return winding.plan(self.case(machine, boom, configuration))

    def _drum(self, machine: str, last: str) -> dict[str, Any]:
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


def _plan(source: Source, case: Case) -> winding.Plan | None:
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


def _falls_worked(plan: winding.Plan, sheet: Sheet) -> tuple[tuple[Shown, ...], str] | None:
    case, rig = plan.crane.case, plan.attempt.rig
    usable = _usable(sheet, case)
    pivot = _pivot(sheet, case)
    radius = sheet.give("least_radius", plan.crane.least_radius(case.chart.boom_length), "length")
    path = sheet.give("drum_to_head", rig.drum_to_head(case.chart.boom_length), "length")
    clearance = sheet.give("clearance", case.values.clearance, "length")
    load = sheet.give("load_height", case.yard.load_height, "length")
    sling = sheet.give("sling", case.yard.slings.length, "length")
    block = sheet.give("block_height", rig.block.height, "length")
    sheave = sheet.give("sheave_radius", case.machine.reeving.sheave_radius, "length", 3)
    length = sheet.given[0]
    part = sheet.work("estimate_part", f"({length} - {pivot[0]})/{pivot[0]}", "count")
    estimate = sheet.work("estimate", f"{part}", "count", 1, "up")
    head = _head(sheet, pivot, radius)
    low = sheet.work("low_hook", f"{clearance} + {load} + {sling}", "length")
    turn = f"pi*{sheave}"
    exact = sheet.work(
        "exact", f"({usable} - {path} + {turn})/({head} - {low} - {block} + {turn})", "count", 0.1
    )
    reaches = sheet.compare("estimate_reaches", f"{estimate} >= {exact}")
    calculated = plan.exact or 0.0
    agreed = (estimate.text, exact.text, reaches) == (
        f"{plan.estimate}", _as_shown(sheet, calculated, "count", 0.1, "near"), plan.estimate >= calculated
    )  # fmt: skip
    return ((estimate, exact), "estimate-reaches" if reaches else "estimate-falls-short") if agreed else None


# -- load -----------------------------------------------------------------------------------------------------------


def _load(source: Source, machine: Machine, draw: Draw) -> Made:
    case = _case(source, machine, draw)
    plan = _plan(source, case)
    if plan:
        yield from _exercise(
            source.data, draw.topic, machine, case, partial(_load_worked, plan), falls=plan.attempt.rig.falls
        )


def _load_worked(plan: winding.Plan, sheet: Sheet) -> tuple[tuple[Shown, ...], str] | None:
    case, attempt = plan.crane.case, plan.attempt
    size = _coarse(sheet, 0.01, 10)
    pull = sheet.give("rated_line_pull", case.machine.winch.rated_line_pull, "force")
    share = sheet.give("minimum_share", case.values.minimum_share, "share")
    falls = sheet.give("falls", attempt.rig.falls)
    block = sheet.give("block_mass", attempt.rig.block.mass, "mass")
    slings = sheet.give("sling_mass", attempt.slings.mass, "mass")
    rows = [
        (weight.name, sheet.shown("weight", weight.mass, "mass"), sheet.shown("count", weight.count, "count"))
        for weight in case.yard.weights
    ]
    sheet.tables.append(Table("weights", ("weight", "mass", "count"), tuple(rows)))
    gravity = sheet.units.force_in_mass
    least = sheet.work(
        "least", f"{share}/100*{pull}*{falls}" + ("" if gravity == "1" else f"/{gravity}"), "mass", size, "up"
    )
    needed = sheet.work("needed", f"{least} - {block} - {slings}", "mass", size)
    chosen, lighter = attempt.load, _lighter(case, attempt.load)
    if lighter is None or not _least_by_counting(case, attempt.load.mass, lighter.mass):
        return None
    below = sheet.work("lighter", _sum(sheet, lighter), "mass", size)
    if sheet.compare("lighter_is_enough", f"{below} >= {needed}"):
        return None
    weights = sheet.work("weights", _sum(sheet, chosen), "mass", size)
    if not sheet.compare("enough", f"{weights} >= {needed}"):
        return None
    total = sheet.work("total", f"{weights} + {block} + {slings}", "mass", size)
    exact = reeving.least_mass(case.values.minimum_share, case.machine.winch.rated_line_pull, attempt.rig.falls)
    rest = exact - attempt.rig.block.mass - attempt.slings.mass
    lightest = next((load for load in makeup.loads(case.yard) if load.mass >= rest), None)
    agreed = least.text == _as_shown(sheet, exact, "mass", size, "up") and lightest == chosen
    return ((least, weights, total), "load") if agreed else None


def _sum(sheet: Sheet, load: makeup.Load) -> str:
    return " + ".join(f"{count}*{sheet.shown('weight', weight.mass, 'mass')}" for weight, count in load.parts)


def _lighter(case: Case, load: makeup.Load) -> makeup.Load | None:
    """The next lighter load that the yard can make up."""
    return next((one for one in reversed(makeup.loads(case.yard)) if one.mass < load.mass), None)


def _least_by_counting(case: Case, mass: float, lighter: float) -> bool:
    """Whether no count of weights lies between two loads: then the height of the stack makes no difference."""
    sums = {0.0}
    for weight in case.yard.weights:
        sums = {total + weight.mass * count for total in sums for count in range(weight.count + 1)}
    return not any(lighter < total < mass for total in sums)


# -- stop height ----------------------------------------------------------------------------------------------------


def _stop(source: Source, machine: Machine, draw: Draw) -> Made:
    case = _case(source, machine, draw)
    plan = _plan(source, case)
    if plan and _grooved(case) and plan.attempt.rig.stop_height(plan.attempt.start) > case.values.clearance:
        yield from _exercise(
            source.data, draw.topic, machine, case, partial(_stop_worked, plan), falls=plan.attempt.rig.falls
        )


def _stop_worked(plan: winding.Plan, sheet: Sheet) -> tuple[tuple[Shown, ...], str] | None:
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
    rebound = sheet.give("rebound", rig.rebound(start), "length")
    head = _head(sheet, pivot, radius)
    around = sheet.work("between_falls", f"({falls} - 1)*pi*{sheave}", "length")
    reach = sheet.work("reach", f"({usable} - {path} - {around})/{falls}", "length", 0.001)
    by_length = sheet.work("margin_by_length", f"{share}/100*{sheet.given[0]}/{falls} + {rebound}", "length")
    margin = sheet.work("margin", f"max({least}, {by_length})", "length")
    size = _coarse(sheet, 0.1, 0.5)
    stop = sheet.work("stop", f"{head} - {block} - {reach} + {margin}", "length", size, "up")
    agreed = stop.text == _as_shown(sheet, rig.stop_height(start), "length", size, "up")
    return ((stop,), "stop") if agreed else None


# -- passes ---------------------------------------------------------------------------------------------------------


def _passes(source: Source, machine: Machine, draw: Draw) -> Made:
    case = _case(source, machine, draw)
    plan = _plan(source, case)
    if plan is None or len(plan.attempt.luff_out.passes) < 2 or not plan.crane.beds:
        return
    if plan.attempt.unreached > winding.unreached_limit(plan.crane):
        return
    least = plan.attempt.luff_out.passes[-1].full_pull_falls
    beds = [bed for bed in plan.crane.beds if least and bed[0] >= least]
    if draw.number("enough", 4) == 0:
        beds = [bed for bed in plan.crane.beds if bed not in beds]
    if not beds:
        return
    falls, bed = draw.one("lift", beds)
    work = partial(_passes_worked, plan, falls, bed)
    yield from _exercise(source.data, draw.topic, machine, case, work, falls=plan.attempt.rig.falls, lift=falls)


def _passes_worked(plan: winding.Plan, lift: int, bed: float, sheet: Sheet) -> tuple[tuple[Shown, ...], str] | None:
    case, rig, start = plan.crane.case, plan.attempt.rig, plan.attempt.start
    done = plan.attempt.luff_out.passes
    pivot = _pivot(sheet, case)
    radius = sheet.give("start_radius", start.radius, "length")
    falls = sheet.give("falls", rig.falls)
    on_drum = sheet.give("rope_at_start", rig.rope_on_drum(start), "length", 1)
    needed = sheet.give("bed", tables.step(bed, sheet.units.kinds["length"][1], "up"), "length", 0)
    rows = []
    for number, one in enumerate(done, 1):
        landed = one.moves[-1].after
        slack = rig.rope_on_drum(landed) - winding.bed_end(rig, landed, rig.rope_on_drum(landed))
        rows.append(
            (
                sheet.shown("pass", number, "count"),
                sheet.shown("sling", one.slings.length, "length"),
                sheet.shown("landing_radius", landed.radius, "length"),
                sheet.shown("slip", slack, "length", 1),
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
        firm = sheet.work("firm", f"{falls}*({rise})", "length", 1, "down", turn.text)
        top = sheet.work("bed_top", f"{on_drum} + {firm} - {slip}", "length", 0.1, part=turn.text)
        enough = sheet.compare("bed_is_firm", f"{top} >= {needed}", turn.text)
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
    radius = floor(10 * (after - (after - before) * draw.number("between", 3) / 4)) / 10
    hook = case.values.clearance + case.yard.load_height + crane.slings[0].length
    at = State(case.chart.boom_length, radius, hook, falls, load.mass + crane.slings[0].mass, crane.slings[0].length)
    if radius < crane.least_radius(case.chart.boom_length) or not 0.6 < load.mass / rows[row][1] < 1.1:
        return
    yield from _exercise(
        source.data, draw.topic, machine, case, partial(_capacity_worked, crane, at, load, row), falls=falls
    )


def _capacity_worked(
    crane: Crane, at: State, load: makeup.Load, row: int, sheet: Sheet
) -> tuple[tuple[Shown, ...], str] | None:
    case, block = crane.case, crane.blocks[at.falls]
    rig = crane.rig(at.falls, block)
    size = _coarse(sheet, 0.01, 10)
    length = sheet.give("boom_length", at.boom_length, "length")
    radius = sheet.give("radius", at.radius, "length")
    share = sheet.give("deflection_share", case.values.deflection_share, "share")
    weights = sheet.give("weights", load.mass, "mass")
    slings = sheet.give("sling_mass", crane.slings[0].mass, "mass")
    hook = sheet.give("block_mass", block.mass, "mass")
    falls = sheet.give("falls", at.falls)
    fall = sheet.give("fall_length", rig.fall_length(at), "length", 1)
    mass = sheet.give("rope_mass", case.machine.rope.mass_per_length, "mass per length")
    listed = [
        (sheet.shown("radius", reach, "length"), sheet.shown("capacity", carried, "mass"))
        for reach, carried in case.chart.rows[row - 1 : row - 1 + ROWS_SHOWN]
    ]
    sheet.tables.append(Table("chart", ("radius", "capacity"), tuple(listed)))
    divided = "" if sheet.units.rope_in_mass == "1" else f"/{sheet.units.rope_in_mass}"
    rope = sheet.work("rope_in_falls", f"{falls}*{fall}*{mass}{divided}", "mass", size)
    gross = sheet.work("gross", f"{weights} + {slings} + {hook} + {rope}", "mass", size)
    found: tuple[Shown, Shown] | None = None
    for reach, carried in listed:
        if reach.value < radius.value:
            continue
        grown = sheet.work(
            "grown_radius", f"{radius} + {share}/100*{length}*{gross}/{carried}", "length", part=reach.text
        )
        if sheet.compare("row_reaches", f"{grown} <= {reach}", reach.text):
            found = reach, carried
            break
    exact = capacity.read(case.chart.rows, at.radius, rig.gross(at), crane.growth(at.boom_length))
    if found is None:
        return None
    reach, carried = found
    carries = sheet.compare("carried", f"{gross} <= {carried}", reach.text)
    if carries != (exact is not None):
        return None
    if exact is None:
        return (gross, carried), "not-carried"
    use = sheet.work("use", f"100*{gross}/{carried}", "share", 1, "up")
    agreed = use.text == f"{tables.step(100 * exact.use, 1, 'up'):.0f}"
    return ((gross, carried, use), "carried") if agreed and carried == listed[exact.row - row + 1][1] else None


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
    case = check.cases(data, machine, day)(found["boom_length_m"])
    crane = duty.crane(case, found["rope_length_m"])
    bed = draw.one("falls", beds)
    work = partial(_due_worked, crane, found, bed)
    yield from _exercise(data, draw.topic, machine, case, work, RULES_OF_DUE, lift=bed["falls"], day=last)


RULES_OF_DUE = ("firm-tension", "due-after-light-work")


def _due_worked(
    crane: Crane, found: dict[str, Any], bed: dict[str, Any], sheet: Sheet
) -> tuple[tuple[Shown, ...], str] | None:
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
    start = sheet.give("loose_from", spans[0][0], "length", 1)
    end = sheet.give("loose_to", spans[-1][1], "length", 1)
    head = _head(sheet, pivot, radius)
    around = sheet.work("between_falls", f"({falls} - 1)*pi*{sheave}", "length")
    needed = sheet.work(
        "bed_needed", f"{length} - {path} - {around} - {falls}*({head} - {hook} - {block})", "length", 0.1, "up"
    )
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
    place = Place(draw.one("place", ("crossover", "sheaves")), None, wires, readings, None, ())
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
    machine: Machine, place: Place, reference: float, judged: dict[str, Any], bands: Any, sheet: Sheet
) -> tuple[tuple[Shown, ...], str] | None:
    assert place.diameter, "drawn with both readings"
    digits = int(_coarse(sheet, 1, 3))
    nominal = sheet.give("nominal_diameter", machine.rope.diameter, "small")
    before = sheet.give("reference_diameter", reference, "small", digits) if machine.rulebook == "iso" else nominal
    first, second = (sheet.give(f"reading_{at}", each, "small", digits) for at, each in enumerate(place.diameter, 1))
    criteria = {one["criterion"]: one for one in judged["criteria"] if one["criterion"] != "diameter-increase"}
    total = criteria.pop("combined-severity", None)
    rows = []
    for name, one in criteria.items():
        kind = "share" if UNITS_OF_READINGS.get(name) else "count"
        limit = sheet.shown("limit", one["limit"], kind)
        reading = sheet.shown("reading", one["reading"], kind) if kind == "count" else "to-be-found"
        rows.append((f"criterion:{name}", reading, limit, f"read:{one['read']}"))
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


def _summed(sheet: Sheet, severities: dict[str, list[Any]], total: dict[str, Any], verdict: str) -> str:
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
    "passes": _passes,
    "capacity": _capacity,
    "due": _due,
    "discard": _discard,
}
VALUES = {
    "falls": frozenset({"dead_wraps", "clearance", "unreached_limit"}),
    "load": frozenset({"minimum_share"}),
    "stop": frozenset({"dead_wraps", "stop_margin"}),
    "passes": frozenset({"overlap_wraps", "firm_tension_share"}),
    "capacity": frozenset({"deflection_share"}),
}
