"""The planner's short cuts against the long way: bounds and bisection leave no plan out.

What a plan must hold is walked in test_plans.py; here only that planning less finds the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from conftest import DATA, DAY

from calc.data import look_up
from calc.data.model import Case
from calc.winding import firm, methods, moves, plan_data, planner
from calc.winding.rig import Crane, Refusal, Rig


def _cases() -> Iterator[Case]:
    """The shortest, the middle and the longest boom of every configuration."""
    for machine in DATA.machines.values():
        for configuration in machine.configurations:
            charts = configuration.charts
            for chart in (charts[0], charts[len(charts) // 2], charts[-1]):
                yield look_up.case(DATA, machine.id, chart.slug, configuration.id, DAY)


CASES = list(_cases())
every_case = pytest.mark.parametrize(
    "case", CASES, ids=[f"{case.machine.id}-{case.chart.slug}-{case.configuration.id}" for case in CASES]
)


def _attempts(crane: Crane) -> Iterator[tuple[int, planner.Attempt]]:
    for falls in crane.blocks:
        try:
            yield falls, planner.attempt(crane, falls)
        except Refusal:
            continue


@every_case
def test_falls_that_are_not_planned_cannot_win(case: Case) -> None:
    """Every number of falls planned in full: none is better than the chosen one, no bound lies above what it bounds."""
    crane = Crane(case)
    attempts = dict(_attempts(crane))
    working = {falls: found for falls, found in attempts.items() if found.methods}
    for falls, found in attempts.items():
        assert planner.least_unreached(crane, falls) <= found.unreached
        assert found.unreached <= found.firm_from - crane.dead_rope
    if not working:
        return
    chosen = planner.best_attempt(crane)
    runner_up = planner._runner_up(crane, chosen)
    falls = chosen.rig.falls
    assert chosen.luff_out.name == "luff-out" and chosen.methods
    reaching = [n for n, other in working.items() if other.reaches]
    if not reaching:
        assert not chosen.reaches
        assert all((working[falls].firm_from, falls) <= (other.firm_from, n) for n, other in working.items())
        return
    assert falls == min(reaching) or (runner_up == (min(reaching), "odd-falls") and falls == min(reaching) + 1)


@every_case
def test_luffing_out_ends_where_step_by_step_it_ends(case: Case) -> None:
    """Out from one listed radius to the next as long as no more than the rule's share of the chart is used."""
    crane = Crane(case)
    use = case.values.largest_capacity_use
    for falls in (min(crane.blocks), max(crane.blocks)):
        rig = Rig(crane, falls, crane.blocks[falls])
        for load in crane.loads[:: max(1, len(crane.loads) // 5)]:
            try:
                _, start = next(methods.starts(rig, load))
            except Refusal:
                continue
            low = moves.lifted(rig, start)
            out = moves.furthest(rig, low, use)
            end = moves.landed(rig, out)
            if out.radius > low.radius:
                reading = rig.worst_reading(low, end)
                assert reading is not None and reading.use <= use * (1 + 1e-9)
            beyond = moves.furthest(rig, low._replace(load=0.0), use).radius
            for radius in (r for r, _ in case.chart.rows if out.radius + 0.01 < r):
                further = end.at_radius(min(radius, beyond))
                if further.radius <= out.radius + 0.01:
                    continue
                reading = rig.worst_reading(low, further)
                assert reading is None or reading.use > use


@every_case
def test_a_pass_in_outline_is_the_pass_itself(case: Case) -> None:
    """What a later pass leaves is known before its moves are: firm to, and the falls it is enough for."""
    found = planner.plan(case)
    if isinstance(found, str):
        return
    for method in found.attempt.methods:
        for one in method.passes:
            rig = found.attempt.rig
            assert one.firm_to == firm.firm_to(rig, one.end, case.values.sling_slack)
            assert one.full_pull == firm.full_pull(rig.crane, one.firm_from, one.firm_to)
        firm_rope = [one.firm_to for one in method.passes]
        assert firm_rope == sorted(set(firm_rope))


@pytest.mark.parametrize("length", [6.0, 9.0])
def test_long_slings_refuse_plans_and_nothing_else(length: float) -> None:
    """Under a short boom no load hangs on them; the plan says so and what would help stays within reach."""
    for slug in ("60ft", "80ft"):
        case = look_up.case(DATA, "avocet", slug, "full-counterweight", DAY)
        yard = replace(case.yard, slings=replace(case.yard.slings, length=length))
        plan = plan_data.plan(replace(case, yard=yard))
        assert plan["refused"] is None or plan["refused"]["code"]


@pytest.mark.parametrize("height", [0.1, 10.0])
def test_a_load_height_out_of_all_proportion_gives_a_result(height: float) -> None:
    """10 m: stacks end under the hook anyway; 0.1 m: the yard makes no load at all."""
    case = look_up.case(DATA, "heron", "27m", None, DAY)
    plan = plan_data.plan(replace(case, yard=replace(case.yard, load_height=height)))
    if height == 0.1:
        assert plan["refused"] == {"code": "weights-not-at-hand"} and plan["load"] is None
    else:
        assert plan["load"]["stack_height_m"] <= (
            plan["load"]["lifting_points_height_m"] + plan["load"]["hanging_height_m"] - 0.5 + 1e-6
        )
