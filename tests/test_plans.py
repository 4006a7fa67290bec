"""Every plan of the fleet, walked from its contract alone: conservation, limits, geometry, the schema.

Nothing of calc's physics is used here: the plan's own `inputs` and plain formulas are enough to check every move.
"""

from __future__ import annotations

import json
import math
import subprocess
import sys
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from conftest import DATA

from calc import check, contract, tables

ROOT = Path(__file__).resolve().parent.parent
DAY = "2026-11-25"
G = 9.80665


def _plans() -> Iterator[dict[str, Any]]:
    for machine in DATA.machines.values():
        for configuration in machine.configurations:
            for chart in configuration.charts:
                yield contract.plan(check.case(DATA, machine.id, chart.slug, configuration.id, DAY))


PLANS = list(_plans())
every_plan = pytest.mark.parametrize(
    "plan", PLANS, ids=[f"{p['machine']}-{p['boom']}-{p['configuration']}" for p in PLANS]
)


def methods(plan: dict[str, Any]) -> list[dict[str, Any]]:
    return [m for m in plan["methods"] if m and not m["refused"]]


def moves(plan: dict[str, Any]) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    for method in methods(plan):
        for one in method["passes"]:
            for move in one["moves"]:
                yield one, move


def head(inputs: dict[str, Any], boom_length: float, radius: float) -> float:
    reach = radius - inputs["pivot_forward_m"]
    return inputs["pivot_height_m"] + math.sqrt(max(0.0, boom_length**2 - reach**2))


def block(plan: dict[str, Any]) -> dict[str, Any]:
    found = [b for b in plan["inputs"]["blocks"] if b["mass_kg"] == plan["load"]["hook_block_kg"]]
    return next(b for b in found if b["falls"][0] <= plan["falls"]["used"] <= b["falls"][1])


def falls_run(plan: dict[str, Any], move: dict[str, Any], at: int) -> float:
    top = head(plan["inputs"], move["boom_length_m"][at], move["radius_m"][at])
    return top - move["hook_height_m"][at] - block(plan)["height_m"]


def wrap_lengths(inputs: dict[str, Any]) -> Iterator[tuple[int, float]]:
    layer = 0
    while True:
        layer += 1
        wraps = inputs["wraps_odd_layers" if layer % 2 else "wraps_even_layers"]
        rise = 1 + 2 * inputs["rise_ratio"] * (layer - 1)
        yield wraps, math.pi * (inputs["groove_root_diameter_m"] + inputs["rope_diameter_m"] * rise)


def rope_to(inputs: dict[str, Any], layer: int, wrap: float) -> float:
    total = 0.0
    for number, (wraps, length) in enumerate(wrap_lengths(inputs), start=1):
        if number == layer:
            return total + wrap * length
        total += wraps * length
    raise AssertionError


def capacity(rows: list[list[float]], radius: float, gross: float, growth: float) -> float:
    """Next larger listed radius, deflection counted, found by going outward from the grown radius itself."""
    for listed, carried in rows:
        if radius + growth * gross / carried <= listed + 1e-6:
            return carried
    return 0.0


@every_plan
def test_validates(plan: dict[str, Any]) -> None:
    schema = json.loads((ROOT / "rules/schema/plan.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(plan)


@every_plan
def test_rope_is_conserved(plan: dict[str, Any]) -> None:
    """Drum, path, falls and sheaves hold the whole rope at both ends of every move; layer and wrap say the same."""
    inputs, falls = plan["inputs"], plan["falls"]["used"]
    for _, move in moves(plan):
        for at in (0, 1):
            path = move["boom_length_m"][at] + inputs["rope_path_extra_m"]
            out = path + falls * falls_run(plan, move, at) + (falls - 1) * math.pi * inputs["sheave_radius_m"]
            assert move["rope_on_drum_m"][at] + out == pytest.approx(inputs["rope_length_m"], abs=1e-4)
            drum = rope_to(inputs, move["layer"][at], move["wrap"][at])
            assert drum == pytest.approx(move["rope_on_drum_m"][at], abs=1e-4)
            wraps = inputs["wraps_odd_layers" if move["layer"][at] % 2 else "wraps_even_layers"]
            assert 0 < move["wrap"][at] <= wraps


@every_plan
def test_moves_join(plan: dict[str, Any]) -> None:
    """A move begins where the one before ended: boom, radius, hook, rope on the drum."""
    for method in methods(plan):
        chain = [move for one in method["passes"] for move in one["moves"]]
        for before, after in pairwise(chain):
            for name in ("boom_length_m", "radius_m", "hook_height_m", "rope_on_drum_m"):
                assert before[name][1] == pytest.approx(after[name][0], abs=1e-4), (before["move"], after["move"], name)


@every_plan
def test_stops_and_wraps(plan: dict[str, Any]) -> None:
    """Never below the stop wraps, never nearer the head than the upper stop, never below the stop height."""
    inputs, stops = plan["inputs"], plan["stops"]
    _, first_wrap = next(wrap_lengths(inputs))
    falls = plan["falls"]["used"]
    dead = inputs["dead_wraps"] * first_wrap
    for _, move in moves(plan):
        for at in (0, 1):
            assert move["rope_on_drum_m"][at] >= inputs["stop_wraps"] * first_wrap - 1e-4
            assert falls_run(plan, move, at) >= inputs["upper_stop_m"] - 1e-4
            # the stop margin is at least its rule value, so that much hook travel is left above the dead wraps
            assert move["rope_on_drum_m"][at] - dead >= falls * inputs["stop_margin_m"] - 1e-3
    start = next(moves(plan), None)
    if start is None:
        return
    assert stops["start_hook_height_m"] >= stops["hook_height_m"] - 1e-4
    least = min(move["rope_on_drum_m"][at] for _, move in moves(plan) for at in (0, 1))
    assert stops["rope_at_start_m"] == pytest.approx(least, abs=1e-4)
    assert stops["rope_at_start_m"] - dead == pytest.approx(plan["falls"]["unreached_rope_m"], abs=1e-4)
    for row in stops["shorter_rope"]:
        raised = stops["hook_height_m"] + row["less_m"] / falls
        assert row["hook_height_m"] == pytest.approx(raised, abs=1e-5)


@every_plan
def test_capacity_with_deflection(plan: dict[str, Any]) -> None:
    """At a hundred points of every loaded move the chart carries the gross load at the grown radius."""
    inputs, falls = plan["inputs"], plan["falls"]["used"]
    charts = {c["boom_length_m"]: c for c in inputs["charts"]}
    lengths = sorted(charts)
    for _, move in moves(plan):
        if not move["load_kg"]:
            continue
        assert move["capacity_use"] <= 1
        worst = 0.0
        for step in range(101):
            share = step / 100
            length, radius, hook = (
                move[name][0] + share * (move[name][1] - move[name][0])
                for name in ("boom_length_m", "radius_m", "hook_height_m")
            )
            run = head(inputs, length, radius) - hook - block(plan)["height_m"]
            gross = move["load_kg"] + falls * run * inputs["rope_mass_kg_per_m"]
            longer = next(c for c in lengths if c >= length - 1e-9)
            growth = inputs["deflection_share"] * longer
            carried = capacity(charts[longer]["rows"], radius, gross, growth)
            if move["boom_length_m"][0] != move["boom_length_m"][1]:
                carried = min(carried, charts[longer]["telescoping_kg"])
            worst = max(worst, gross / carried)
        assert worst <= move["capacity_use"] + 1e-6


@every_plan
def test_load_from_the_yard(plan: dict[str, Any]) -> None:
    """The load is made of what the yard has, not under the least mass, within block, slings and line pull."""
    inputs, load, falls = plan["inputs"], plan["load"], plan["falls"]["used"]
    least = inputs["minimum_share"] * inputs["rated_line_pull_n"] * falls / G
    assert load["minimum_kg"] == pytest.approx(least, abs=1e-3)
    assert load["planned_kg"] >= least - 1e-3
    codes = {w["code"] for w in plan["warnings"]}
    if "load-below-drum-tension" not in codes:
        assert load["planned_kg"] >= load["for_drum_tension_kg"] - 1e-3
    stock = {w["item"]: w for w in inputs["weights"]}
    for part in load["yard"]:
        assert part["count"] <= stock[part["item"]]["count"]
        assert part["mass_kg"] == pytest.approx(part["count"] * stock[part["item"]]["mass_kg"])
    assert sum(part["mass_kg"] for part in load["yard"]) == pytest.approx(load["net_kg"])
    assert load["net_kg"] + load["slings_kg"] + load["hook_block_kg"] == pytest.approx(load["planned_kg"])
    at_hand = {s["length_m"]: s for s in inputs["slings"]}
    for one, move in moves(plan):
        assert at_hand[one["sling_length_m"]]["capacity_kg"] >= load["net_kg"]
        assert block(plan)["capacity_kg"] >= move["load_kg"] - load["hook_block_kg"]
        assert max(move["lead_line_n"]) <= inputs["rated_line_pull_n"] + 1e-3
        assert falls <= plan["falls"]["reeving_limit"]


@every_plan
def test_only_rope_that_stays_counts(plan: dict[str, Any]) -> None:
    """Firm after a pass is what the drum holds after landing, less unreached and dead wraps, never over the limit."""
    inputs = plan["inputs"]
    for method in methods(plan):
        for one in method["passes"]:
            landed = one["moves"][-1]
            assert landed["move"] == "land"
            start = method["passes"][0]["moves"][0]["rope_on_drum_m"][1]
            assert one["firm_rope_m"] <= landed["rope_on_drum_m"][1] - start + 1e-4
            assert one["firm_share"] == pytest.approx(one["firm_rope_m"] / inputs["rope_length_m"], abs=1e-6)
            assert one["firm_share"] <= method["firm_share_limit"] + 1e-9
        shares = [one["firm_share"] for one in method["passes"]]
        assert shares == sorted(shares)
        assert len(shares) <= inputs["most_passes"]


@every_plan
def test_winding_keeps_the_firm_tension(plan: dict[str, Any]) -> None:
    codes = {w["code"] for w in plan["warnings"]}
    for _, move in moves(plan):
        if move["move"] in ("luff-out", "telescope-in") and "load-below-drum-tension" not in codes:
            assert min(move["drum_tension_share"]) >= plan["inputs"]["firm_tension_share"] - 1e-6


@every_plan
def test_load_kept_low(plan: dict[str, Any]) -> None:
    for _, move in moves(plan):
        heights = [h for h in move["load_height_m"] if h is not None]
        assert all(-1e-6 <= h <= plan["inputs"]["band_top_m"] for h in heights)


@every_plan
def test_heavier_loads_reach_less(plan: dict[str, Any]) -> None:
    rows = plan["heavier_loads"]
    if not rows:
        return
    assert rows[0]["load_kg"] == plan["load"]["planned_kg"] and rows[0]["then_reduce_to_kg"] is None
    first = plan["methods"][0]["passes"][0]
    assert rows[0]["furthest_radius_m"] == pytest.approx(first["moves"][-1]["radius_m"][1], abs=1e-5)
    assert rows[0]["firm_rope_m"] == pytest.approx(first["firm_rope_m"], abs=1e-5)
    assert [r["load_kg"] for r in rows] == sorted(r["load_kg"] for r in rows)
    radii = [r["furthest_radius_m"] for r in rows]
    assert radii == sorted(radii, reverse=True)
    assert all(r["then_reduce_to_kg"] == plan["load"]["planned_kg"] for r in rows[1:])


@every_plan
def test_published_numbers_are_never_on_the_incautious_side(plan: dict[str, Any]) -> None:
    """Stop heights up, rope and shares down, masses to lift up: each unit converted back against the exact value."""
    stops = plan["stops"]
    for value in [stops["hook_height_m"], *(h for _, h in stops["by_radius"])]:
        metric, us = tables.length(value, "up")
        assert float(metric.split()[0]) >= value - 1e-6
        assert float(us.split()[0]) * 0.3048 >= value - 1e-6
    metric, us = tables.mass(plan["load"]["planned_kg"], "up")
    assert float(metric.split()[0]) * 1000 >= plan["load"]["planned_kg"] - 1e-3
    assert float(us.split()[0].replace(",", "")) * 0.45359237 >= plan["load"]["planned_kg"] - 1e-3
    for method in methods(plan):
        for one in method["passes"]:
            metric, us = tables.rope(one["firm_rope_m"], "down")
            assert float(metric.split()[0]) <= one["firm_rope_m"] + 1e-6
            assert float(us.split()[0]) * 0.3048 <= one["firm_rope_m"] + 1e-6


@every_plan
def test_bed_for_the_next_heavy_lift(plan: dict[str, Any]) -> None:
    """Fewest falls for full line pull on firm rope: all the rope on the drum at its start is wound firm, and none of it
    slipped at the last set-down.

    How many wraps slip lies between the rule's overlap and what friction would need from full line pull down to the
    drag of the free drum, with slack slings and the boom springing back on top (Euler-Eytelwein equation).
    """
    inputs, falls_used = plan["inputs"], plan["falls"]["used"]
    beds = {row["falls"]: row["metres"] for row in plan["bed_needed"]}
    slip = math.log(inputs["rated_line_pull_n"] / inputs["drum_drag_n"]) / (2 * math.pi * inputs["rope_friction"])
    for method in methods(plan):
        for one in method["passes"]:
            if one["full_pull_falls_min"] is None:
                continue
            landed = one["moves"][-1]
            wrap = math.pi * (
                inputs["groove_root_diameter_m"]
                + inputs["rope_diameter_m"] * (1 + 2 * inputs["rise_ratio"] * (landed["layer"][1] - 1))
            )
            slack = inputs["sling_slack_m"] + 3 * inputs["deflection_share"] * landed["boom_length_m"][1]
            most = math.ceil(max(inputs["overlap_wraps"], slip + falls_used * slack / wrap)) * wrap
            firm = method["passes"][0]["moves"][0]["rope_on_drum_m"][1] + one["firm_rope_m"]
            held = landed["rope_on_drum_m"][1]
            top = min(firm, held - inputs["overlap_wraps"] * wrap)
            assert all(bed <= top + 1e-4 for falls, bed in beds.items() if falls >= one["full_pull_falls_min"])
            less = one["full_pull_falls_min"] - 1
            assert less not in beds or beds[less] > min(firm, held - most)


def test_the_named_plans_exist() -> None:
    """Among the demonstration plans: three passes; exact and estimate differing; falls that cannot be reeved;
    telescoping refused; drum tension deciding the load."""
    def some(found: Any) -> bool:
        return any(found(plan) for plan in PLANS)

    assert some(lambda p: any(len(m["passes"]) == 3 for m in methods(p)))
    assert some(lambda p: p["falls"]["exact"] and math.ceil(p["falls"]["exact"]) != p["falls"]["estimate"])
    assert some(lambda p: {"code": "falls-not-reeved"} in p["warnings"])
    assert some(lambda p: p["methods"][1] and p["methods"][1]["refused"] == {"code": "over-telescoping-load"})
    assert some(lambda p: p["load"]["for_drum_tension_kg"] > p["load"]["minimum_kg"])


def test_command_line_prints_the_same_plan() -> None:
    call = [sys.executable, "-m", "calc", "plan", "bittern", "54m", "--json", "--day", DAY]
    done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == contract.plan(check.case(DATA, "bittern", "54m", None, DAY))


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["plan", "osprey", "54m"], "osprey"),
        (["plan", "bittern", "55m"], "55m"),
        (["plan", "bittern", "54m", "--configuration", "none"], "none"),
        (["plan", "bittern", "54m", "--day", "25.11.2026"], "YYYY-MM-DD"),
    ],
)
def test_wrong_calls_exit_2(arguments: list[str], said: str) -> None:
    done = subprocess.run([sys.executable, "-m", "calc", *arguments], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr
