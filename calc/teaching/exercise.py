"""What an exercise is, what chance and data give for it, and the steps that several topics share."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache, partial
from hashlib import sha256
from typing import Any

from calc.data import look_up
from calc.data.model import Case, Data, Machine
from calc.drum_log import state
from calc.drum_log.drum_fields import DrumFound
from calc.teaching.worked import METRIC, SYSTEMS, ExerciseStep, ExerciseTable, Sheet, Shown
from calc.winding import planner


@dataclass(frozen=True)
class Worked:
    """One exercise in one unit system: what is given, the steps, the numbers of the answer, its verdict by code."""

    given: tuple[Shown, ...]
    tables: tuple[ExerciseTable, ...]
    steps: tuple[ExerciseStep, ...]
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
Answered = tuple[tuple[Shown, ...], str]  # the numbers of the answer, its verdict by code


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


def in_both_systems(work: Callable[[Sheet], Answered | None]) -> tuple[Worked, Worked] | None:
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


def exercise(
    topic: str,
    machine: Machine,
    case: Case | None,
    work: Callable[[Sheet], Answered | None],
    rules: tuple[str, ...],
    **named: int | str,
) -> Made:
    """The exercise of a `topic`, if `work` comes to the calculated answer in both unit systems."""
    both = in_both_systems(work)
    if both is not None:
        yield Exercise(topic, machine, case, tuple(named.items()), rules, both)


def rules_of(data: Data, case: Case, values: frozenset[str]) -> tuple[str, ...]:
    """Ids of the rules that give a `case` of the `data` one of these `values`."""
    found = []
    for use in case.rules:
        version = data.rules[use.id].at(use.from_day)
        if version and not values.isdisjoint(version.values):
            found.append(use.id)
    return tuple(found)


def draw_case(source: Source, machine: Machine, draw: Draw) -> Case:
    """A case of the `machine` by chance, without a jib: configuration and boom length."""
    configuration = draw.one("configuration", [one for one in machine.configurations if one.jib is None])
    chart = draw.one("boom", configuration.charts)
    return source.case(machine.id, chart.slug, configuration.id)


def draw_plan(source: Source, machine: Machine, draw: Draw) -> planner.Plan | None:
    """The plan of a case of the `machine` by chance; None where it is refused."""
    case = draw_case(source, machine, draw)
    return source.plan(case.machine.id, case.chart.slug, case.configuration.id)


def of_plan(
    source: Source,
    plan: planner.Plan,
    draw: Draw,
    work: Callable[[planner.Plan, Sheet], Answered | None],
    values: frozenset[str],
    **named: int | str,
) -> Made:
    """The exercise about a `plan`, whose question names the falls; the rules that give one of these `values`."""
    case = plan.crane.case
    rules, falls = rules_of(source.data, case, values), plan.attempt.rig.falls
    return exercise(draw.topic, case.machine, case, partial(work, plan), rules, falls=falls, **named)


def grooved(case: Case) -> bool:
    """On a smooth drum the whole first layer stays: another formula for the usable rope."""
    return case.machine.drum.surface != "smooth"


def usable_rope(sheet: Sheet, case: Case) -> Shown:
    """Rope without the dead wraps."""
    length = sheet.give("rope_length", case.machine.rope.length, "length")
    dead = sheet.give("dead_wraps", case.values.dead_wraps)
    root = sheet.give("groove_root", case.machine.drum.groove_root_diameter, "small")
    thick = sheet.give("rope_diameter", case.machine.rope.diameter, "small")
    wrap = sheet.work("first_wrap", f"pi*({root} + {thick})/{sheet.units.small_in_length}", "length", 0.001)
    return sheet.work("usable", f"{length} - {dead}*{wrap}", "length")


def boom_pivot(sheet: Sheet, case: Case) -> tuple[Shown, Shown, Shown]:
    """Boom length and pivot of the `case`, given on the `sheet`."""
    boom = case.machine.boom
    return (
        sheet.give("boom_length", case.chart.boom_length, "length"),
        sheet.give("pivot_forward", boom.pivot_forward, "length"),
        sheet.give("pivot_height", boom.pivot_height, "length"),
    )


def head_height(
    sheet: Sheet, pivot: tuple[Shown, Shown, Shown], radius: Shown, key: str = "head", part: str = ""
) -> Shown:
    """The head-sheave axis above ground, from the boom's `pivot` and the `radius`, as step `key` of a `sheet`."""
    length, forward, height = pivot
    return sheet.work(key, f"{height} + sqrt({length}^2 - ({radius} - {forward})^2)", "length", 0.001, part=part)


def as_shown(sheet: Sheet, exact: float, kind: str, size: float, side: str) -> str:
    """A calculated value in SI as an answer of this sheet must read."""
    shown = Sheet(sheet.units).work("", repr(max(0.0, exact) / sheet.units.kinds[kind][1]), kind, size, side)
    return shown.text


def coarse(sheet: Sheet, metric: float, us: float) -> float:
    """A step of rounding in the units of the `sheet`: `metric` or `us`."""
    return metric if sheet.units is METRIC else us
