"""What is computed of each crane beside its plans, once per build: the state of its drum with the plan that mends it,
its everyday work, its readiness for heavy lifts, the fitness of its rope, its change.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal, NamedTuple, TypedDict

from calc.data import rope_log
from calc.data.entries import Upkeep
from calc.data.model import Case, Data, Machine
from calc.drum_log import readiness, state
from calc.drum_log.drum_fields import DrumState, EverydayWork, Lifts
from calc.inspection import fitness, new_rope, shortening
from calc.inspection.rope_fields import Fitness
from calc.winding import plan_data
from calc.winding.plan_fields import Block, Inputs, Method, Plan
from calc.winding.rig import Crane, Rig
from calc.winding.sensitivity import Change, Outcome, sensitivity
from hooks.text import addresses

ASKED: tuple[Literal["load", "stops", "methods"], ...] = ("load", "stops", "methods")  # what a plan asks of the crew


class Line(TypedDict):
    """What was done with the rope on the drum: when it was fitted, and (day, kind) of every entry and inspection."""

    machine: str
    fitted: str
    day: str
    marks: list[tuple[str, str]]


class _Pair(NamedTuple):
    case: Case
    plan: Plan


class Planned(_Pair):
    """A case and its plan; with them what every page asks of both, found once."""

    def __reduce__(self) -> tuple[type, tuple[Case, Plan], Mapping[str, Any]]:
        """Small errors take as long as the plan; the rest is found again."""
        return type(self), (self.case, self.plan), {"small_errors": self.small_errors}

    @cached_property
    def small_errors(self) -> tuple[Outcome, tuple[Change, ...]] | None:
        """What small errors of the data do to the plan; None without a load."""
        return sensitivity(self.case)

    @cached_property
    def best(self) -> Method | None:
        """The method the plan puts first; None where all are refused."""
        return plan_data.best_method(self.plan)

    @cached_property
    def block(self) -> Block | None:
        """The hook block of the plan as its inputs list it; None where no load was found."""
        return plan_data.hook_block(self.plan)

    @cached_property
    def crane(self) -> Crane:
        return Crane(self.case)

    @cached_property
    def rig(self) -> Rig | None:
        """The crane on the falls and with the hook block of the plan; None where there is no load or no start."""
        falls = self.plan["falls"]["used"]
        if self.block is None or falls is None or not self.plan["stops"]:
            return None
        block = next(one for one in self.case.machine.blocks if one.id == self.block["id"])
        return self.crane.rig(falls, block)

    @cached_property
    def span(self) -> tuple[float, float] | None:
        """Radius read when the load of the first pass comes on, and the largest one read under load [m], in the best
        method."""
        if self.best is None:
            return None
        moves = [move for one in self.best["passes"] for move in one["moves"] if move["load_kg"]]
        return moves[0]["loaded_radius_m"][1], max(max(move["loaded_radius_m"]) for move in moves)

    @property
    def address(self) -> str:
        """Where the plan stands."""
        return addresses.plan(self.case.machine, self.case.configuration.id, self.case.chart.slug)


@dataclass(frozen=True)
class DrumPlan:
    """The plan that the state of a drum names; whether it is the standing plan of that boom length, which has its page
    already."""

    planned: Planned
    standing: bool

    @property
    def case(self) -> Case:
        return self.planned.case

    @property
    def plan(self) -> Plan:
        return self.planned.plan


@dataclass(frozen=True)
class Told:
    """One crane: the state of its drum or why there is none (no-log, later), the plan that the state names, everyday
    work, heavy lifts of every case, the fitness of its rope, the rope to order for it, what may be
    cut off the one it has."""

    machine: Machine
    state: DrumState | None
    without: str | None
    plan: DrumPlan | None
    work: EverydayWork
    lifts: tuple[tuple[Case, Plan, Lifts], ...]  # case, its plan, its lifts
    inputs: Inputs  # of a plan, with the rope length the log has come to
    fitness: Fitness
    order: Mapping[str, Any]
    cut: Mapping[str, Any]
    line: Line | None  # what was done with the rope on the drum, day by day; None without one

    @property
    def may_stay(self) -> float:
        """Rope from the dead end that the rules let lie unreached: the dead wraps and a share of layer 1 [m]."""
        assert self.state is not None, "without a log there is no drum to speak of"
        layer_1 = self.state["layers"][0]["rope_m"][1]
        return self.state["dead_rope_m"] + self.inputs["unreached_limit"] * layer_1


def told(data: Data, machine: Machine, made: Iterable[Planned], day: str) -> Told:
    """Everything about one machine on a day; `made` are its plans."""
    plans = list(made)
    found = None
    without = "no-log" if machine.id not in data.upkeep else None
    if without is None and data.upkeep[machine.id].log[0].day > day:
        without = "later"
    if without is None:
        found = state.state(data, machine.id, day)
    inputs = plans[0][1]["inputs"]
    return Told(
        machine,
        found,
        without,
        _plan(data, found, plans) if found else None,
        readiness.work(data, machine, day),
        tuple((case, plan, readiness.lifts(data, case)) for case, plan in plans),
        {**inputs, "rope_length_m": found["rope_length_m"]} if found else inputs,
        fitness.fitness(data, machine.id, day),
        new_rope.order(data, machine.id, day),
        shortening.shortening(data, machine.id, day),
        marked(data.upkeep[machine.id], day) if found else None,
    )


def marked(kept: Upkeep, day: str) -> Line:
    """What was done with the rope that is on the drum on a `day`, by its log and readings: machine, day it was fitted,
    the day, and (day, kind) of every entry and inspection."""
    fitted = rope_log.fitted(kept.log, day)
    assert fitted is not None, "a state of the drum is the state of a rope"
    found: list[tuple[str, str]] = [(entry.day, state.kind(entry.done)) for entry in kept.log]
    found += [(one.day, "inspection") for one in kept.readings]
    marks = sorted((on, kind) for on, kind in found if fitted <= on <= day)
    return {"machine": kept.id, "fitted": fitted, "day": day, "marks": marks}


def _plan(data: Data, found: DrumState, made: list[Planned]) -> DrumPlan | None:
    """The plan that a state names.  It is the standing one when it asks for the same: loose wraps as deep as the plan
    for all of the rope reaches."""
    case = state.plan_case(data, found)
    if case is None:
        return None
    plan = plan_data.plan(case)
    for one in made:
        standing, other = one
        set_up_alike = (standing.configuration.id, standing.chart.slug) == (case.configuration.id, case.chart.slug)
        if set_up_alike and all(plan[part] == other[part] for part in ASKED):
            return DrumPlan(one, True)
    return DrumPlan(Planned(case, plan), False)
