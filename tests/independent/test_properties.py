"""What must hold whatever the machine: more rope, heavier blocks, stronger charts, other units, other order, rounding.

Checked over seeded random machines and the fleet.  Reason of each property in its docstring.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from calc import rounding
from calc.checks import loader
from calc.data import look_up
from calc.data.model import Case, Chart, Data
from calc.winding import plan_data
from calc.winding.plan_fields import Plan
from hooks.computed import Planned
from hooks.pages.plan import plan as plan_page
from hooks.text import words
from hooks.text.environment import environment
from independent import jumps, machines, rewritten

DAY = "2026-11-30"
SEED, MACHINES = 2, int(os.environ.get("FIRMWRAP_MACHINES", "12"))
FLEET = loader.load(machines.RULES)


def cases(data: Data, seed: int) -> Iterator[Case]:
    """One case of every machine, configuration and boom length drawn from a seed."""
    rng = np.random.default_rng(seed)
    for machine in data.machines.values():
        configuration = machine.configurations[rng.integers(len(machine.configurations))]
        chart = configuration.charts[rng.integers(len(configuration.charts))]
        yield look_up.case(data, machine.id, chart.slug, configuration.id, DAY)


def loaded(folder: Path, made: list[tuple[machines.Document, machines.Document]]) -> Data:
    folder.mkdir()
    return loader.load(machines.write_folder(folder, made))


DRAWN = [machines.documents(SEED, number) for number in range(MACHINES)]


@pytest.fixture(scope="module")
def random_cases(tmp_path_factory: pytest.TempPathFactory) -> list[Case]:
    return list(cases(loaded(tmp_path_factory.mktemp("drawn") / "data", DRAWN), SEED))


@pytest.fixture(scope="module")
def random_plans(random_cases: list[Case]) -> list[Plan]:
    return [plan_data.plan(case) for case in random_cases]


def with_rope(case: Case, times: float) -> Case:
    rope = replace(case.machine.rope, length=case.machine.rope.length * times)
    return replace(case, machine=replace(case.machine, rope=rope))


def alike(one: Plan, other: Plan) -> bool:
    """Whether two plans hang the same block on the same falls, and pick up with the same slings as high."""
    if one["refused"] or other["refused"]:
        return False
    hung, hung_there = (
        (plan["falls"]["used"], plan["load"]["hook_block_kg"], plan["stops"]["start_hook_height_m"], slings_of(plan))
        for plan in (one, other)
    )
    return hung == hung_there


def slings_of(plan: Plan) -> list[list[float]]:
    return [[one["sling_length_m"] for one in method["passes"]] for method in plan["methods"] if method]


def test_longer_rope_never_lowers_the_exact_falls(random_cases: list[Case], random_plans: list[Plan]) -> None:
    """More rope over the same height makes more falls."""
    compared = 0
    for case, plan in zip(random_cases, random_plans, strict=True):
        for times in (1.01, 1.06):
            longer = plan_data.plan(with_rope(case, times))
            if alike(plan, longer):
                compared += 1
                assert longer["falls"]["exact"] >= plan["falls"]["exact"], case.machine.id
    assert compared > MACHINES / 4


def test_heavier_block_never_raises_the_least_weights(random_cases: list[Case], random_plans: list[Plan]) -> None:
    """The hook block is part of the load: a heavier one leaves less to be hung on it."""
    compared = 0
    for case, plan in zip(random_cases, random_plans, strict=True):
        blocks = tuple(replace(block, mass=block.mass * 1.15) for block in case.machine.blocks)
        heavier = plan_data.plan(replace(case, machine=replace(case.machine, blocks=blocks)))
        block = plan["load"] and plan["load"]["hook_block_kg"] * 1.15
        if not heavier["refused"] and math.isclose(block or 0, heavier["load"]["hook_block_kg"], rel_tol=1e-6):
            heavier["load"]["hook_block_kg"] = plan["load"]["hook_block_kg"]
        if alike(plan, heavier):
            compared += 1
            assert heavier["load"]["band_kg"][0] <= plan["load"]["band_kg"][0] + 1e-3, case.machine.id
    assert compared > MACHINES / 4


def stronger(case: Case, times: float) -> Case:
    def chart(one: Chart) -> Chart:
        rows = tuple((radius, carried * times) for radius, carried in one.rows)
        return replace(one, rows=rows, telescoping=one.telescoping and one.telescoping * times)

    charts = tuple(chart(one) for one in case.configuration.charts)
    return replace(case, configuration=replace(case.configuration, charts=charts), chart=chart(case.chart))


def test_more_capacity_never_shortens_the_reach(random_cases: list[Case], random_plans: list[Plan]) -> None:
    """The same load with the same falls and slings goes at least as far on a stronger chart, but for the bend of the
    boom: where not the chart ends the way, a stronger boom bends less."""
    compared = 0
    for case, plan in zip(random_cases, random_plans, strict=True):
        strong = plan_data.plan(stronger(case, 1.08))
        if not alike(plan, strong) or plan["load"]["planned_kg"] != strong["load"]["planned_kg"]:
            continue
        reach = {row["load_kg"]: row["furthest_radius_m"] for row in plan["heavier_loads"]}
        for row in strong["heavier_loads"]:
            if row["load_kg"] in reach:
                compared += 1
                bend = plan["inputs"]["deflection_share"] * plan["boom_length_m"]
                assert row["furthest_radius_m"] >= reach[row["load_kg"]] - bend * 0.08 - 1e-6, (case.machine.id, row)
    assert compared > MACHINES


def differences(one: Any, other: Any, where: str = "") -> list[str]:
    """Places where two plans are not the same: numbers to a millionth, or two units of their last printed digit."""
    if isinstance(one, dict) and isinstance(other, dict):
        keys = sorted(one.keys() | other.keys())
        return [d for key in keys for d in differences(one.get(key), other.get(key), f"{where}.{key}")]
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        return [d for i, pair in enumerate(zip(one, other, strict=True)) for d in differences(*pair, f"{where}[{i}]")]
    if isinstance(one, float) and isinstance(other, float) and math.isclose(one, other, rel_tol=1e-6, abs_tol=2e-6):
        return []
    return [] if one == other else [f"{where}: {one!r} and {other!r}"]


def plans_of(data: Data) -> list[Plan]:
    return [plan_data.plan(case) for case in cases(data, SEED)]


def test_other_units_give_the_same_plan(tmp_path: Path, random_plans: list[Plan]) -> None:
    """A foot is 0.3048 m, whoever writes it: every machine once more in the other unit system."""
    made = [tuple(rewritten.in_other_units(document) for document in pair) for pair in DRAWN]
    others = plans_of(loaded(tmp_path / "data", made))
    for plan, other in zip(random_plans, others, strict=True):
        assert other["boom"] != plan["boom"]
        assert not differences(unnamed(plan), unnamed(other)), plan["machine"]


def unnamed(plan: Plan) -> Plan:
    """A plan without the boom lengths in its addresses, which are in the unit of the data."""
    helping = [one | {"boom": ""} for one in plan["what_would_help"] or []]
    return plan | {"boom": "", "what_would_help": helping}


def test_order_changes_nothing(tmp_path: Path, random_plans: list[Plan]) -> None:
    """Keys of every object, weights, extensions and overrides in another order: the same plan, lists sorted."""
    rng = np.random.default_rng(SEED)
    made = [tuple(rewritten.shuffled(document, rng) for document in pair) for pair in DRAWN]
    others = plans_of(loaded(tmp_path / "data", made))
    for plan, other in zip(random_plans, others, strict=True):
        assert not differences(in_order(plan), in_order(other)), plan["machine"]


def in_order(plan: Plan) -> Plan:
    """A plan with the lists that follow the yard's own order sorted."""
    weights = sorted(plan["inputs"]["weights"], key=lambda weight: str(weight["item"]))
    slings = [sling | {"extensions": sorted(sling["extensions"])} for sling in plan["inputs"]["slings"]]
    load = plan["load"] and plan["load"] | {"yard": sorted(plan["load"]["yard"], key=lambda part: str(part["item"]))}
    return plan | {"load": load, "inputs": plan["inputs"] | {"weights": weights, "slings": slings}}


# -- rounding ---------------------------------------------------------------------------------------------------

# What one unit of the text is in SI.
IN_SI = {
    "m": 1.0,
    "ft": 0.3048,
    "t": 1000.0,
    "kg": 1.0,
    "lb": 0.45359237,
    "kN": 1000.0,
    "lbf": 0.45359237 * 9.80665,
    "mm": 0.001,
    "in": 0.0254,
    "m/min": 1 / 60,
    "ft/min": 0.3048 / 60,
}
ROUNDED: dict[str, Callable[[float, str], rounding.Pair]] = {
    name: getattr(rounding, name) for name in ("length", "rope", "mass", "force", "diameter", "speed")
}
# Numbers people act on, by the place in the plan: the side that costs rope, reach or load and never the crew.
CAUTIOUS = {
    ("length", "up"): [".stops.hook_height_m", ".stops.by_radius[*][1]", ".stops.shorter_rope[*].hook_height_m"],
    ("rope", "up"): [".falls.unreached_rope_m", ".bed_needed[*].metres"],
    ("rope", "down"): [".methods[*].passes[*].firm_rope_m", ".heavier_loads[*].firm_rope_m"],
    ("mass", "up"): [".load.planned_kg", ".load.minimum_kg", ".load.for_drum_tension_kg"],
}


def back(text: str) -> float:
    """A published number in SI."""
    number, unit = text.replace(",", "").split(" ")
    return float(number) * IN_SI[unit]


def assert_cautious(value: float, side: str, pair: rounding.Pair) -> None:
    for text in pair:
        slack = 2e-9 * max(1.0, abs(value))
        if side == "up":
            assert back(text) >= value - slack, (value, side, pair)
        elif side == "down":
            assert back(text) <= value + slack, (value, side, pair)


@pytest.mark.parametrize("name", ROUNDED)
def test_rounding_is_never_on_the_incautious_side(name: str) -> None:
    """Rounded once, each unit from the exact value: converted back it lies on the side asked for, by at most a step."""
    rng = np.random.default_rng(SEED)
    step = {"length": 0.16, "rope": 1.0, "mass": 50.0, "force": 225.0, "diameter": 0.0013, "speed": 1 / 60}[name]
    least = {"length": -20.0}.get(name, 0.0)
    for value in rng.uniform(least, 2000 * step, 500):
        for side in ("up", "down"):
            pair = ROUNDED[name](float(value), side)
            assert_cautious(float(value), side, pair)
            assert all(abs(back(text) - value) < step + 1e-6 for text in pair)


def values_at(plan: Any, path: str) -> Iterator[float]:
    """Numbers of a plan at a path; [*] is every item of a list."""
    first, _, rest = path.lstrip(".").partition(".")
    key, *indexes = first.replace("]", "").split("[")
    found = [plan[key]] if plan[key] is not None else []
    for index in indexes:
        found = [item for one in found for item in (one if index == "*" else [one[int(index)]]) if item is not None]
    for one in found:
        if rest:
            yield from values_at(one, rest)
        else:
            yield one


def test_every_published_number_of_the_fleet_is_on_the_cautious_side(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every number any plan page rounds, in both unit systems; and what people act on, to the side it has to be.  Of
    every third boom length, in `make long` of each."""
    written: list[tuple[str, float, str, rounding.Pair]] = []

    def watched(name: str) -> Callable[[float, str], rounding.Pair]:
        def write(value: float, side: str) -> rounding.Pair:
            pair = ROUNDED[name](value, side)
            written.append((name, value, side, pair))
            return pair

        return write

    for name in ROUNDED:
        monkeypatch.setattr(rounding, name, watched(name))
    said = words.load()
    env = environment(said)
    for machine in FLEET.machines.values():
        for chart in machine.configurations[0].charts[:: 1 if MACHINES >= 200 else 3]:
            case = look_up.case(FLEET, machine.id, chart.slug, None, DAY)
            plan = plan_data.plan(case)
            written.clear()
            plan_page.page(env, said, FLEET, Planned(case, plan))
            assert len(written) > 100
            for _, value, side, pair in written:
                assert_cautious(value, side, pair)
            sides = {(name, value, side) for name, value, side, _ in written}
            for (name, side), paths in CAUTIOUS.items():
                other = "down" if side == "up" else "up"
                for value in (value for path in paths for value in values_at(plan, path)):
                    assert (name, value, other) not in sides or (name, value, side) in sides, (name, value, side)


# -- jumps ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("machine", "boom"), [("bittern", "54m"), ("heron", "27m"), ("avocet", "120ft")])
def test_numbers_jump_only_where_something_whole_changes(machine: str, boom: str) -> None:
    """Rope longer by d: with the same falls, load, slings, layers, listed radii, capacities, overlap and passes the
    stop height rises by no more than d, rope on the drum and firm rope move by no more than a few d."""
    changes = 0
    for jump in jumps.sweep(look_up.case(FLEET, machine, boom, None, DAY)):
        if jump.changed:
            changes += 1
            continue
        longer = jump.after.rope - jump.before.rope
        allowed = {"stop height [m]": 1.0, "rope at start [m]": 1.01, "exact falls": 1.0, "planned load [kg]": 0.0}
        for name, step in jump.steps.items():
            assert abs(step) <= allowed.get(name, 4.0) * longer + 1e-5, (jump.before.rope, name, step)
    assert 0 < changes < jumps.STEPS
