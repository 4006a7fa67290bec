"""The planner's short cuts against the long way: bounds, first passes and bisection leave no plan out.

What a plan must hold is walked in test_plans.py; here only that planning less finds the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import DATA

from calc import check, contract, winding
from calc.model import Case
from calc.rig import Crane, Rig

ROOT = Path(__file__).resolve().parent.parent
DAY = "2026-11-25"


def _cases() -> Iterator[Case]:
    """The shortest, the middle and the longest boom of every configuration."""
    for machine in DATA.machines.values():
        for configuration in machine.configurations:
            charts = configuration.charts
            for chart in (charts[0], charts[len(charts) // 2], charts[-1]):
                yield check.case(DATA, machine.id, chart.slug, configuration.id, DAY)


CASES = list(_cases())
every_case = pytest.mark.parametrize(
    "case", CASES, ids=[f"{case.machine.id}-{case.chart.slug}-{case.configuration.id}" for case in CASES]
)


@every_case
def test_falls_that_are_not_planned_cannot_win(case: Case) -> None:
    """Every number of falls planned in full: none is better than the chosen one, no bound lies above what it bounds."""
    crane = Crane(case)
    attempts = {falls: winding.attempt(crane, falls) for falls in crane.blocks}
    working = {falls: found for falls, found in attempts.items() if found is not None and found.methods}
    for falls, found in attempts.items():
        assert winding.has_method(crane, falls) == (falls in working)
        if found is not None:
            assert winding.least_unreached(crane, falls) <= found.unreached
    choice = winding.choose(crane)
    assert choice is not None
    chosen, runner_up = choice
    falls, limit = chosen.rig.falls, winding.unreached_limit(crane)
    assert chosen == working[falls]
    if chosen.unreached > limit:
        assert all((chosen.unreached, falls) <= (other.unreached, n) for n, other in working.items())
        return
    fewest = min(n for n, other in working.items() if other.unreached <= limit)
    assert falls == fewest or (runner_up == (fewest, "odd-falls") and falls == fewest + 1)


@every_case
def test_luffing_out_ends_where_step_by_step_it_ends(case: Case) -> None:
    """From one listed radius to the next as long as the chart carries the load all the way."""
    crane = Crane(case)
    for falls in (min(crane.blocks), max(crane.blocks)):
        rig = Rig(crane, falls, crane.blocks[falls])
        for load in crane.loads[:: max(1, len(crane.loads) // 5)]:
            try:
                _, start = next(winding.starts(rig, load))
            except winding.Refusal:
                continue
            low = winding.lifted(rig, start)
            out = winding.furthest(rig, low)
            radii = [radius for radius, _ in case.chart.rows if low.radius < radius < out.radius]
            path = [low, *(low._replace(radius=radius) for radius in radii), out]
            if out.radius > low.radius:
                assert all(rig.worst_reading(at, next_) for at, next_ in zip(path, path[1:], strict=False))
            further = [radius for radius, _ in case.chart.rows if radius > out.radius]
            beyond = winding.furthest(rig, low._replace(load=0.0))
            if further and further[0] <= beyond.radius:
                assert rig.worst_reading(out, out._replace(radius=further[0])) is None


def test_slings_too_long_for_the_boom_give_a_result() -> None:
    """A boom that lies low at its largest radius: the hook of a heavy lift does not fit under the head there."""
    case = check.case(DATA, "avocet", "60ft", "full-counterweight", DAY)
    yard = replace(case.yard, slings=replace(case.yard.slings, length=6.0))
    plan = contract.plan(replace(case, yard=yard))
    most = case.machine.rope.length - case.chart.boom_length - case.machine.boom.rope_path_extra
    assert plan["bed_needed"][0] == {"falls": 1, "metres": pytest.approx(most)}
