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
from typing import Any, Literal

import jsonschema
import pytest
from conftest import DATA, DAY, fleet_plans
from straight_arm import straight

from calc import rounding
from calc.data import look_up
from calc.winding import plan_data
from calc.winding.plan_fields import Block, Inputs, Method, Move, MoveName, Pass, Plan, Weights

ROOT = Path(__file__).resolve().parent.parent
G = 9.80665


PLANS = tuple(straight(plan) for plan in fleet_plans())
every_plan = pytest.mark.parametrize(
    "plan", PLANS, ids=[f"{p['machine']}-{p['boom']}-{p['configuration']}" for p in PLANS]
)

# -- plain formulas on the inputs of a plan ---------------------------------------------------------------------------


def methods(plan: Plan) -> list[Method]:
    return [m for m in plan["methods"] if m and not m["refused"]]


def passes(plan: Plan) -> Iterator[tuple[Pass, Pass | None]]:
    """Every pass with the one before it, None for the first."""
    for method in methods(plan):
        yield from zip(method["passes"], (None, *method["passes"]), strict=False)


def moves(plan: Plan) -> Iterator[tuple[Pass, Move]]:
    for one, _ in passes(plan):
        for move in one["moves"]:
            yield one, move


def winds(move: Move) -> bool:
    return bool(move["load_kg"]) and move["move"] in ("pick", "luff-out", "telescope-in")


def named(one: Pass, name: MoveName) -> Move:
    return next(move for move in one["moves"] if move["move"] == name)


def head(inputs: Inputs, boom_length: float, radius: float) -> float:
    reach = radius - inputs["pivot_forward_m"]
    return inputs["pivot_height_m"] + math.sqrt(max(0.0, boom_length**2 - reach**2))


def block(plan: Plan) -> Block:
    found = [b for b in plan["inputs"]["blocks"] if b["mass_kg"] == plan["load"]["hook_block_kg"]]
    return next(b for b in found if b["falls"][0] <= plan["falls"]["used"] <= b["falls"][1])


def fall(plan: Plan, boom_length: float, radius: float, hook: float) -> float:
    return head(plan["inputs"], boom_length, radius) - hook - block(plan)["height_m"]


def fall_at(plan: Plan, move: Move, at: int) -> float:
    return fall(plan, move["boom_length_m"][at], move["radius_m"][at], move["hook_height_m"][at])


def wrap_lengths(inputs: Inputs) -> Iterator[tuple[int, float]]:
    layer = 0
    while True:
        layer += 1
        wraps = inputs["wraps_odd_layers" if layer % 2 else "wraps_even_layers"]
        rise = 1 + 2 * inputs["rise_ratio"] * (layer - 1)
        yield wraps, math.pi * (inputs["groove_root_diameter_m"] + inputs["rope_diameter_m"] * rise)


def rope_to(inputs: Inputs, layer: int, wrap: float) -> float:
    total = 0.0
    for number, (wraps, length) in enumerate(wrap_lengths(inputs), start=1):
        if number == layer:
            return total + wrap * length
        total += wraps * length
    raise AssertionError


def rope_with(inputs: Inputs, wraps: float) -> float:
    """Rope on the drum at so many wraps; of a smooth drum the whole of layer 1 counts as the dead wraps."""
    left, total = wraps, 0.0
    for number, (held, length) in enumerate(wrap_lengths(inputs), start=1):
        if number == 1 and inputs["drum_surface"] == "smooth":
            left, total = wraps - inputs["dead_wraps"], held * length
            continue
        if left <= held:
            return max(dead_rope(inputs), total + max(0.0, left) * length)
        left, total = left - held, total + held * length
    raise AssertionError


def dead_rope(inputs: Inputs) -> float:
    wraps, length = next(wrap_lengths(inputs))
    return (wraps if inputs["drum_surface"] == "smooth" else inputs["dead_wraps"]) * length


def first_layer(inputs: Inputs) -> float:
    """Rope that the first layer to be unwound holds."""
    layers = wrap_lengths(inputs)
    if inputs["drum_surface"] == "smooth":
        next(layers)
    wraps, length = next(layers)
    return wraps * length


def layer_length(inputs: Inputs, layer: int) -> float:
    return next(length for number, (_, length) in enumerate(wrap_lengths(inputs), start=1) if number == layer)


def rows_of(plan: Plan, boom_length: float) -> list[list[float]]:
    return next(c["rows"] for c in plan["inputs"]["charts"] if abs(c["boom_length_m"] - boom_length) < 1e-6)


def capacity(rows: list[list[float]], radius: float, gross: float, growth: float) -> float:
    """Next larger listed radius, deflection counted, found by going outward from the grown radius itself."""
    for listed, carried in rows:
        if radius + growth * gross / carried <= listed + 1e-6:
            return carried
    return 0.0


def gross_at(plan: Plan, load: float, boom_length: float, radius: float, hook: float) -> float:
    inputs = plan["inputs"]
    rope = plan["falls"]["used"] * fall(plan, boom_length, radius, hook) * inputs["rope_mass_kg_per_m"]
    return load + rope


def growth_at(plan: Plan, load: float, boom_length: float, radius: float, hook: float) -> float:
    """Growth of the radius under a suspended load, that of full use where the chart does not carry it."""
    full = plan["inputs"]["deflection_share"] * boom_length
    gross = gross_at(plan, load, boom_length, radius, hook)
    carried = capacity(rows_of(plan, boom_length), radius, gross, full)
    return full * min(1.0, gross / carried if carried else 1.0)


def rebound(plan: Plan, load: float, boom_length: float, radius: float, hook: float) -> float:
    """How far the head rises when this load comes off."""
    grown = radius + growth_at(plan, load, boom_length, radius, hook)
    return head(plan["inputs"], boom_length, radius) - head(plan["inputs"], boom_length, grown)


def margin(plan: Plan, load: float) -> float:
    inputs = plan["inputs"]
    length = plan["boom_length_m"]
    least = max(rows_of(plan, length)[0][0], inputs["clear_radius_m"] or 0.0)
    springs = rebound(plan, load, length, least, plan["stops"]["start_hook_height_m"])
    share = inputs["stop_margin_share"] * inputs["rope_length_m"] / plan["falls"]["used"]
    return max(inputs["stop_margin_m"], share + springs)


def least_kept(plan: Plan, load: float) -> float:
    """Rope that the count and the margin keep on the drum when the slings are hooked on."""
    inputs = plan["inputs"]
    counted = rope_with(inputs, inputs["stop_wraps"] + inputs["count_tolerance"])
    reserve = plan["falls"]["used"] * margin(plan, load)
    if reserve > inputs["unreached_limit"] * first_layer(inputs):
        return counted
    return max(counted, dead_rope(inputs) + reserve)


def lead_line(plan: Plan, load: float, fall_length: float, direction: int) -> float:
    """Behind the head sheave, sheave by sheave with the lower efficiency: 1 hauling, -1 paying out, 0 standing."""
    inputs = plan["inputs"]
    f, falls = inputs["sheave_efficiency"] ** direction, range(1, plan["falls"]["used"] + 1)
    # the share of its own weight that each fall takes off the block, in units of the first one
    rope = sum((1 + f**j) / (1 + f) if j % 2 else f * (1 + f ** (j - 1)) / (1 + f) for j in falls)
    first = (load * G + inputs["rope_mass_kg_per_m"] * G * fall_length * rope) / sum(f ** (j - 1) for j in falls)
    return float(first * f ** -inputs["sheaves_to_drum"])


def free_tension(plan: Plan, load: float, hook: float) -> float:
    """Force with which the rope lies on the drum where every sheave runs freely."""
    inputs = plan["inputs"]
    high = hook + block(plan)["height_m"] - inputs["winch_height_m"]
    return float(load * G / plan["falls"]["used"] - inputs["rope_mass_kg_per_m"] * G * high)


def base_of(plan: Plan) -> Weights:
    stock = {w["item"]: w for w in plan["inputs"]["weights"]}
    parts = [stock[part["item"]] for part in plan["load"]["yard"]]
    return max(parts, key=lambda w: w["length_m"] * w["width_m"])


def spread(plan: Plan) -> float:
    return float(plan["inputs"]["slings"][0]["length_m"] - plan["load"]["hanging_height_m"])


def places(move: Move) -> Iterator[tuple[float, float, float, float]]:
    """A hundred and one places of a move: share of the way, boom length, radius, hook height."""
    for step in range(101):
        share = step / 100
        length, radius, hook = (
            move[name][0] + share * (move[name][1] - move[name][0])
            for name in ("boom_length_m", "radius_m", "hook_height_m")
        )
        yield share, length, radius, hook


# -- the contract itself ----------------------------------------------------------------------------------------------


@every_plan
def test_validates(plan: Plan) -> None:
    schema = json.loads((ROOT / "rules/schema/plan.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(plan)


@every_plan
def test_rope_is_conserved(plan: Plan) -> None:
    """Drum, path, falls and sheaves hold the whole rope at both ends of every move; layer and wrap say the same."""
    inputs, falls = plan["inputs"], plan["falls"]["used"]
    for _, move in moves(plan):
        for at in (0, 1):
            path = move["boom_length_m"][at] + inputs["rope_path_extra_m"]
            out = path + falls * fall_at(plan, move, at) + (falls - 1) * math.pi * inputs["sheave_radius_m"]
            assert move["rope_on_drum_m"][at] + out == pytest.approx(inputs["rope_length_m"], abs=1e-4)
            drum = rope_to(inputs, move["layer"][at], move["wrap"][at])
            assert drum == pytest.approx(move["rope_on_drum_m"][at], abs=1e-4)
            wraps = inputs["wraps_odd_layers" if move["layer"][at] % 2 else "wraps_even_layers"]
            assert 0 < move["wrap"][at] <= wraps


@every_plan
def test_moves_join(plan: Plan) -> None:
    """A move begins where the one before ended; the only jump is the slack before the first pick."""
    slack = plan["inputs"]["sling_slack_m"]
    for method in methods(plan):
        chain = [move for one in method["passes"] for move in one["moves"]]
        first_pick = next(move for move in chain if move["move"] == "pick")
        for before, after in pairwise(chain):
            jump = slack if after is first_pick else 0.0
            jumps: dict[Literal["boom_length_m", "radius_m", "hook_height_m", "rope_on_drum_m"], float] = {
                "boom_length_m": 0.0,
                "radius_m": 0.0,
                "hook_height_m": jump,
                "rope_on_drum_m": plan["falls"]["used"] * jump,
            }
            for name, more in jumps.items():
                said = (before["move"], after["move"], name)
                assert after[name][0] - before[name][1] == pytest.approx(more, abs=1e-4), said


# -- the load and how it hangs ----------------------------------------------------------------------------------------


@every_plan
def test_load_from_the_yard(plan: Plan) -> None:
    """Made of what the yard has, not under the accepted least mass, within block, slings and line pull of the layer."""
    inputs, load, falls = plan["inputs"], plan["load"], plan["falls"]["used"]
    least = inputs["minimum_share"] * inputs["rated_line_pull_n"] * falls / G
    assert load["minimum_kg"] == pytest.approx(least, abs=1e-3)
    assert load["planned_kg"] >= inputs["accepted_share"] * least - 1e-3
    assert ({"code": "load-just-under-rule"} in plan["warnings"]) == (load["planned_kg"] < least - 1e-3)
    assert load["planned_kg"] >= load["for_drum_tension_kg"] - 1e-3
    stock = {w["item"]: w for w in inputs["weights"]}
    for part in load["yard"]:
        assert part["count"] <= stock[part["item"]]["count"]
        assert part["mass_kg"] == pytest.approx(part["count"] * stock[part["item"]]["mass_kg"])
    assert sum(part["mass_kg"] for part in load["yard"]) == pytest.approx(load["net_kg"])
    assert load["net_kg"] + load["slings_kg"] + load["hook_block_kg"] == pytest.approx(load["planned_kg"])
    at_hand = {s["length_m"]: s for s in inputs["slings"]}
    reference = layer_length(inputs, inputs["rated_layer"])
    for one, move in moves(plan):
        assert at_hand[one["sling_length_m"]]["capacity_kg"] >= load["net_kg"]
        assert block(plan)["capacity_kg"] >= move["load_kg"] - load["hook_block_kg"]
        for at in (0, 1):
            pull = inputs["rated_line_pull_n"] * min(1.0, reference / layer_length(inputs, move["layer"][at]))
            hanging, run = move["load_kg"] or load["hook_block_kg"], fall_at(plan, move, at)
            assert lead_line(plan, hanging, run, 1) <= pull + 1e-2
            wound = move["rope_on_drum_m"][1] - move["rope_on_drum_m"][0]
            direction = 0 if abs(wound) < 1e-5 else 1 if wound > 0 else -1
            assert move["lead_line_n"][at] == pytest.approx(lead_line(plan, hanging, run, direction), abs=1e-2)
        assert falls <= plan["falls"]["reeving_limit"]


@every_plan
def test_the_base_carries_the_rest_and_the_legs(plan: Plan) -> None:
    """Hook at every pick: lifting points of the base, hanging height of the slings, extensions; room over the stack."""
    if not plan["load"]:
        return
    inputs, load, base = plan["inputs"], plan["load"], base_of(plan)
    legs = inputs["slings"][0]["length_m"]
    height = math.sqrt(legs**2 - (base["lifting_points_diagonal_m"] / 2) ** 2)
    assert load["lifting_points_height_m"] == base["lifting_points_height_m"]
    assert load["hanging_height_m"] == pytest.approx(height, abs=1e-5)
    assert height >= legs * math.sin(math.radians(inputs["sling_angle_least_deg"])) - 1e-6
    over = base["lifting_points_height_m"] + height
    assert base["height_m"] - 1e-6 <= load["stack_height_m"] <= inputs["load_height_m"] + 1e-6
    assert load["stack_height_m"] <= over - inputs["stack_room_m"] + 1e-6
    stock = {w["item"]: w for w in inputs["weights"]}
    for piece in (stock[part["item"]] for part in load["yard"]):
        for side in (max, min):
            assert side(piece["length_m"], piece["width_m"]) <= side(base["length_m"], base["width_m"]) + 1e-6
    for one, _ in passes(plan):
        pick = named(one, "pick")
        hook = over + one["sling_length_m"] - legs
        assert one["hook_at_pick_m"] == pytest.approx(hook, abs=1e-5)
        assert pick["hook_height_m"] == pytest.approx([hook, hook + inputs["clearance_m"]], abs=1e-5)
        assert pick["load_height_m"] == pytest.approx([0.0, inputs["clearance_m"]], abs=1e-5)
        land = one["moves"][-1]
        assert land["move"] == "land" and land["load_height_m"][1] == pytest.approx(0.0, abs=1e-5)
        assert land["hook_height_m"][1] == pytest.approx(hook, abs=1e-5)


@every_plan
def test_load_kept_low(plan: Plan) -> None:
    for _, move in moves(plan):
        heights = [h for h in move["load_height_m"] if h is not None]
        assert all(-1e-6 <= h <= plan["inputs"]["band_top_m"] for h in heights)


# -- count, start, stops ----------------------------------------------------------------------------------------------


@every_plan
def test_the_count(plan: Plan) -> None:
    """At the hanging radius the drum shows what it shows when the slings are hooked on; nothing is ever less."""
    if not plan["load"]:
        return
    inputs, stops, falls = plan["inputs"], plan["stops"], plan["falls"]["used"]
    kept = least_kept(plan, plan["load"]["planned_kg"])
    counted = stops["rope_at_start_m"]
    assert counted >= kept - 1e-3
    assert counted >= rope_with(inputs, inputs["stop_wraps"] + inputs["count_tolerance"]) - 1e-4
    assert rope_to(inputs, stops["layer_at_start"], stops["wrap_at_start"]) == pytest.approx(counted, abs=1e-4)
    assert counted + falls * inputs["sling_slack_m"] - dead_rope(inputs) == pytest.approx(
        plan["falls"]["unreached_rope_m"], abs=1e-4
    )
    # as steep as the count allows: the least radius, or a drum that shows just so much
    least = max(rows_of(plan, plan["boom_length_m"])[0][0], inputs["clear_radius_m"] or 0.0)
    assert stops["start_radius_m"] >= least - 1e-6
    assert stops["start_radius_m"] == pytest.approx(least) or counted == pytest.approx(kept, abs=1e-3)
    for method in methods(plan):
        first = method["passes"][0]["moves"]
        assert first[0]["move"] == "pay-out"
        assert first[0]["rope_on_drum_m"][1] == pytest.approx(counted, abs=1e-4)
        assert named(method["passes"][0], "pick")["radius_m"][0] == pytest.approx(stops["start_radius_m"])
        assert fall_at(plan, first[0], 0) >= inputs["upper_stop_m"] - 1e-5
    for _, move in moves(plan):
        assert min(move["rope_on_drum_m"]) >= kept - 1e-3


@every_plan
def test_warning_heights(plan: Plan) -> None:
    """Where the dead wraps would be met, and the margin; per radius and for a shorter rope."""
    if not plan["load"]:
        return
    inputs, stops, falls = plan["inputs"], plan["stops"], plan["falls"]["used"]
    out = inputs["rope_length_m"] - dead_rope(inputs) - plan["boom_length_m"] - inputs["rope_path_extra_m"]
    runs = (out - (falls - 1) * math.pi * inputs["sheave_radius_m"]) / falls

    def warning(radius: float) -> float:
        return fall(plan, plan["boom_length_m"], radius, 0.0) - runs + margin(plan, plan["load"]["planned_kg"])

    assert stops["hook_height_m"] == pytest.approx(warning(stops["start_radius_m"]), abs=1e-4)
    for radius, height in stops["by_radius"]:
        assert height == pytest.approx(warning(radius), abs=1e-4)
    for row in stops["shorter_rope"]:
        raised = stops["hook_height_m"] + row["less_m"] / falls
        assert row["hook_height_m"] == pytest.approx(raised, abs=1e-5)


@every_plan
def test_count_table(plan: Plan) -> None:
    """Each whole count from one under the stop wraps up to the first that says it is another rope; the planned count
    goes on as planned."""
    if not plan["load"]:
        return
    inputs, stops, falls = plan["inputs"], plan["stops"], plan["falls"]["used"]
    table, rope = stops["count_table"], inputs["rope_length_m"]
    wraps = [row["wraps"] for row in table]
    assert wraps == list(range(inputs["stop_wraps"] - 1, wraps[-1] + 1))
    out = rope - stops["rope_at_start_m"]
    seen = []
    for row in table:
        length = out + rope_with(inputs, row["wraps"])
        assert row["rope_length_m"] == pytest.approx(length, abs=1e-4)
        off = row["rope_length_m"] - rope
        on_drum = rope_with(inputs, row["wraps"])
        wrap = next(
            length
            for number, (_, length) in enumerate(wrap_lengths(inputs), start=1)
            if on_drum <= rope_to(inputs, number + 1, 0.0) + 1e-9
        )
        taped = falls * inputs["hook_height_error_m"]
        near = max(wrap, taped)
        short = max(inputs["rope_shorter_share"] * rope, taped + wrap)
        if row["wraps"] < inputs["stop_wraps"]:
            do = "not-this-rope"
        elif abs(off) <= near + 1e-5:
            do = "as-planned"
        elif off > 0:
            do = "rope-longer" if off <= inputs["rope_longer_share"] * rope + 1e-5 else "not-this-rope"
        else:
            do = "rope-shorter" if -off <= short + 1e-5 else "not-this-rope"
        assert row["do"] == do, row
        if do == "not-this-rope":
            assert row["hook_height_m"] is None
        else:
            raised = -off / falls if do == "rope-shorter" else 0.0
            assert row["hook_height_m"] == pytest.approx(stops["hook_height_m"] + raised, abs=1e-4)
        seen.append(do)
    assert "as-planned" in seen and seen[-1] == "not-this-rope"
    runs = [do for do, before in zip(seen, ["", *seen], strict=False) if do != before]
    assert runs == [do for do in ("not-this-rope", "rope-shorter", "as-planned", "rope-longer") if do in runs] + [
        "not-this-rope"
    ]


# -- limits under load ------------------------------------------------------------------------------------------------


@every_plan
def test_capacity_at_the_loaded_radius(plan: Plan) -> None:
    """At a hundred places of every loaded move no more than the rule's share of chart and of telescoping load."""
    inputs = plan["inputs"]
    charts = {c["boom_length_m"]: c for c in inputs["charts"]}
    lengths = sorted(charts)
    for _, move in moves(plan):
        if not move["load_kg"]:
            assert move["loaded_radius_m"] == move["radius_m"]
            continue
        telescoped = move["boom_length_m"][0] != move["boom_length_m"][1]
        passed = [c for c in lengths if min(move["boom_length_m"]) - 1e-9 <= c <= max(move["boom_length_m"]) + 1e-9]
        listed = min((charts[length]["telescoping_kg"] for length in passed), default=0.0) if telescoped else math.inf
        worst, most = 0.0, 0.0
        for _, length, radius, hook in places(move):
            gross = gross_at(plan, move["load_kg"], length, radius, hook)
            longer = next(c for c in lengths if c >= length - 1e-9)
            growth = inputs["deflection_share"] * longer
            carried = capacity(charts[longer]["rows"], radius, gross, growth)
            assert carried, "not carried here"
            if telescoped:
                shorter = max((c for c in lengths if c <= length + 1e-9), default=longer)
                rows = charts[shorter]["rows"]
                if rows[0][0] <= radius:
                    also = capacity(rows, radius, gross, growth)
                    carried = min(carried, also) if also else carried
            worst = max(worst, gross / carried)
            most = max(most, gross)
        assert worst <= inputs["largest_capacity_use"] + 1e-6
        assert most <= inputs["largest_telescoping_use"] * listed + 1e-3
        assert max(worst, most / listed) <= move["capacity_use"] + 1e-6
        for at in (0, 1):
            length, radius, hook = (move[name][at] for name in ("boom_length_m", "radius_m", "hook_height_m"))
            grown = radius + growth_at(plan, move["load_kg"], length, radius, hook)
            assert move["loaded_radius_m"][at] == pytest.approx(grown, abs=1e-4)
    for method in methods(plan):
        uses = [move["capacity_use"] for one in method["passes"] for move in one["moves"] if move["load_kg"]]
        assert method["most_capacity_use"] == pytest.approx(max(uses), abs=1e-6)
        last = method["passes"][-1]["moves"][-1]
        assert method["chart_radius_m"] >= last["loaded_radius_m"][1] - 1e-2


@every_plan
def test_clear_of_the_head_the_carrier_and_the_area(plan: Plan) -> None:
    """The upper stop with the legs of the slings straight down; least angle, listed radii, working area."""
    inputs = plan["inputs"]
    for _, move in moves(plan):
        loaded = bool(move["load_kg"])
        for at in (0, 1):
            length, radius = move["boom_length_m"][at], move["radius_m"][at]
            rows = rows_of(plan, length)
            higher = spread(plan) if move["load_height_m"][at] is not None else 0.0
            assert fall_at(plan, move, at) - higher >= inputs["upper_stop_m"] - 1e-4
            assert rows[0][0] - 1e-6 <= radius <= rows[-1][0] + 1e-6
            assert move["loaded_radius_m"][at] <= rows[-1][0] + 1e-6
            angle = math.degrees(math.acos((radius - inputs["pivot_forward_m"]) / length))
            assert angle == pytest.approx(move["boom_angle_deg"][at], abs=1e-4)
            assert angle >= inputs["least_boom_angle_deg"] - 1e-5
            if loaded and inputs["clear_radius_m"]:
                assert radius >= inputs["clear_radius_m"] - 1e-6
            if inputs["working_radius_m"] is not None:
                outside = move["loaded_radius_m"][at] + inputs["load_size_m"] / 2 * loaded
                assert outside <= inputs["working_radius_m"] + 1e-6
    for method in methods(plan):
        loaded_radii = [
            r for one in method["passes"] for move in one["moves"] if move["load_kg"] for r in move["loaded_radius_m"]
        ]
        assert method["working_radius_m"] == pytest.approx(max(loaded_radii) + inputs["load_size_m"] / 2, abs=1e-5)


@every_plan
def test_winding_keeps_the_firm_tension(plan: Plan) -> None:
    """Every sheave running freely, wherever rope is wound under load; the least of it is what the load block says."""
    inputs, shares = plan["inputs"], []
    for _, move in moves(plan):
        if not move["load_kg"]:
            assert move["drum_tension_share"] is None
            continue
        for at in (0, 1):
            tension = free_tension(plan, move["load_kg"], move["hook_height_m"][at])
            assert move["drum_tension_share"][at] * inputs["rated_line_pull_n"] == pytest.approx(tension, abs=0.1)
        if winds(move):
            assert min(move["drum_tension_share"]) >= inputs["firm_tension_share"] - 1e-6
            shares += move["drum_tension_share"]
    if not shares:
        return
    of_breaking = min(shares) * inputs["rated_line_pull_n"] / inputs["minimum_breaking_force_n"]
    assert plan["load"]["share_of_breaking_force"] == pytest.approx(of_breaking, abs=1e-6)
    codes = {w["code"] for w in plan["warnings"]}
    low, aim = inputs["published_tension_low"], inputs["aimed_tension_share"]
    assert ("tension-below-published" in codes) == (of_breaking < low)
    assert ("tension-below-aim" in codes) == (low <= of_breaking < aim * (1 - 1e-9))
    assert ("tension-above-published" in codes) == (of_breaking > inputs["published_tension_high"])


@every_plan
def test_the_loads_for_which_the_moves_hold(plan: Plan) -> None:
    """The band: firm and by the rule of thumb at its least, inside every limit at its most, the radii as read."""
    if not methods(plan):
        return
    inputs, load, falls = plan["inputs"], plan["load"], plan["falls"]["used"]
    own = load["hook_block_kg"]
    least, most = (own + mass for mass in load["band_kg"])
    firm = max(
        falls
        / G
        * (
            inputs["firm_tension_share"] * inputs["rated_line_pull_n"]
            + inputs["rope_mass_kg_per_m"] * G * (hook + block(plan)["height_m"] - inputs["winch_height_m"])
        )
        for _, move in moves(plan)
        if winds(move)
        for hook in move["hook_height_m"]
    )
    assert load["for_drum_tension_kg"] == pytest.approx(firm, abs=1e-2)
    assert least == pytest.approx(max(firm, inputs["accepted_share"] * load["minimum_kg"]), abs=1e-2)
    assert least <= load["planned_kg"] + 1e-3 <= most + 2e-3
    pick = named(methods(plan)[0]["passes"][0], "pick")
    rope = falls * (fall_at(plan, pick, 0) - inputs["first_lift_m"]) * inputs["rope_mass_kg_per_m"]
    cautious = min(least * (1 + inputs["reading_tolerance"]), load["planned_kg"])  # never over what weighed loads read
    assert load["reading_least_kg"] == pytest.approx(cautious + rope, abs=1e-2)
    assert load["reading_most_kg"] == pytest.approx(most + rope, abs=1e-2)
    assert least_kept(plan, most) <= plan["stops"]["rope_at_start_m"] + 1e-3
    if most <= load["planned_kg"] + 1e-3:
        return
    slings = {s["length_m"]: s for s in inputs["slings"]}
    charts = {c["boom_length_m"]: c for c in inputs["charts"]}
    for one, move in moves(plan):
        hung = slings[one["sling_length_m"]]
        assert most - own <= min(block(plan)["capacity_kg"], hung["capacity_kg"] + hung["mass_kg"]) + 1e-2
        if not move["load_kg"]:
            continue
        for share, length, radius, hook in places(move):
            gross = gross_at(plan, most, length, radius, hook)
            if move["boom_length_m"][0] == move["boom_length_m"][1]:
                read = move["loaded_radius_m"][0] + share * (move["loaded_radius_m"][1] - move["loaded_radius_m"][0])
                rows = charts[length]["rows"]
                carried = next(c for r, c in rows if r >= min(read, rows[-1][0]) - 1e-4)
                # between the ends the radius as read is no straight line where the next row begins
                assert gross <= inputs["largest_capacity_use"] * carried * 1.0005 + 0.5
            else:
                least_length, most_length = sorted(move["boom_length_m"])
                ends = least_length - 1e-6, most_length + 1e-6
                passed = [c["telescoping_kg"] for n, c in charts.items() if ends[0] <= n <= ends[1]]
                assert gross <= inputs["largest_telescoping_use"] * min(passed) + 0.5


# -- passes -----------------------------------------------------------------------------------------------------------


@every_plan
def test_slings_are_hung_within_reach(plan: Plan) -> None:
    """Every set: the hook at reach height at a radius within list, angle and area; lowered only where the boom ends."""
    inputs, falls = plan["inputs"], plan["falls"]["used"]
    reach, slack = inputs["reach_height_m"], inputs["sling_slack_m"]
    for one, before in passes(plan):
        hung, moved = one["slings_hung"], one["moves"]
        length = moved[0]["boom_length_m"][0]
        last = rows_of(plan, length)[-1][0]
        lowest = inputs["pivot_forward_m"] + length * math.cos(math.radians(inputs["least_boom_angle_deg"]))
        furthest = min(last, lowest, inputs["working_radius_m"] or math.inf)
        assert hung["hook_height_m"] <= reach + 1e-5
        assert hung["radius_m"] <= furthest + 1e-5
        pick = named(one, "pick")
        if not before:
            on = pick["hook_height_m"][0] - slack
            assert hung["hook_height_m"] == pytest.approx(min(on, reach), abs=1e-5)
            assert (hung["lowered_m"], one["rope_lost_m"]) == (0.0, 0.0)
            assert hung["extension_m"] == pytest.approx(one["sling_length_m"] - inputs["slings"][0]["length_m"])
            down = head(inputs, length, pick["radius_m"][0]) - head(inputs, length, hung["radius_m"])
            assert down == pytest.approx(max(0.0, on - reach), abs=1e-5)
            assert hung["radius_m"] == pytest.approx(moved[0]["radius_m"][1], abs=1e-5)
            continue
        landed = before["moves"][-1]
        end, held = landed["hook_height_m"][1], landed["rope_on_drum_m"][1]
        down = head(inputs, length, landed["radius_m"][1]) - head(inputs, length, hung["radius_m"])
        wanted = max(0.0, end - slack - reach)
        assert down <= wanted + 1e-5
        assert (
            down == pytest.approx(wanted, abs=1e-5)
            or hung["radius_m"] == pytest.approx(furthest, abs=1e-5)
            or (hung["radius_m"] == pytest.approx(landed["radius_m"][1], abs=1e-5))
        )
        lowered = max(slack, end - reach - down)
        assert hung["lowered_m"] == pytest.approx(lowered, abs=1e-5)
        assert hung["hook_height_m"] == pytest.approx(end - down - lowered, abs=1e-5)
        assert one["rope_lost_m"] == pytest.approx(falls * lowered, abs=1e-4)
        assert hung["extension_m"] == pytest.approx(one["sling_length_m"] - before["sling_length_m"], abs=1e-6)
        assert hung["extension_m"] > 0
        # luffed in with the hoist held to the pick, then under load to the count that pays the overlap out again
        assert pick["rope_on_drum_m"][0] == pytest.approx(held - falls * lowered, abs=1e-4)
        raised = head(inputs, length, pick["radius_m"][0]) - head(inputs, length, landed["radius_m"][1])
        assert raised == pytest.approx(hung["extension_m"] + lowered, abs=1e-5)
        again = next(move for move in moved if move["move"] == "luff-in" and move["load_kg"])
        firm_to = rope_to(inputs, before["firm_to"]["layer"], before["firm_to"]["wrap"])
        assert again["rope_on_drum_m"][1] <= firm_to + 1e-4
        empties = [move for move in moved if move["move"] == "pay-out"]
        assert sum(m["rope_on_drum_m"][0] - m["rope_on_drum_m"][1] for m in empties) == pytest.approx(
            falls * lowered, abs=1e-4
        ), "never paid out with the empty block but to unhook and hang"


def overlap(plan: Plan, one: Pass, lowered: float) -> float:
    """Rope that slips or hangs slack once the load of a pass is landed."""
    inputs, load = plan["inputs"], plan["load"]
    landed = one["moves"][-1]
    length, radius, hook = (landed[name][1] for name in ("boom_length_m", "radius_m", "hook_height_m"))
    run, wrap = fall_at(plan, landed, 1), layer_length(inputs, landed["layer"][1])
    down = inputs["rope_mass_kg_per_m"] * G * (head(inputs, length, radius) - inputs["winch_height_m"])
    laid = lead_line(plan, landed["load_kg"], run, 1) - down
    empty = max(1.0, lead_line(plan, load["hook_block_kg"], run, -1) - down)
    slipped = max(0.0, math.log(max(laid, empty) / empty) / (2 * math.pi * inputs["rope_friction"])) * wrap
    slack = plan["falls"]["used"] * (lowered + rebound(plan, landed["load_kg"], length, radius, hook))
    return max(inputs["overlap_wraps"] * wrap, slack + slipped)


def firm_from(plan: Plan, method: Method) -> float:
    """Rope on the drum from which wraps lie firm: slack, rebound, stretch and sag are wound before."""
    inputs, falls = plan["inputs"], plan["falls"]["used"]
    pick = named(method["passes"][0], "pick")
    length, radius, hook = (pick[name][0] for name in ("boom_length_m", "radius_m", "hook_height_m"))
    run, weight = fall_at(plan, pick, 0), inputs["rope_mass_kg_per_m"] * G
    pull = pick["load_kg"] * G / falls + weight * run
    idle = plan["load"]["hook_block_kg"] * G / falls + weight * run
    area = inputs["rope_metal_factor"] * inputs["rope_diameter_m"] ** 2
    out = inputs["rope_length_m"] - pick["rope_on_drum_m"][0]
    across = weight * (radius - inputs["pivot_forward_m"]) / length
    path = length + inputs["rope_path_extra_m"]
    return float(
        pick["rope_on_drum_m"][0]
        + falls * (inputs["sling_slack_m"] + rebound(plan, pick["load_kg"], length, radius, hook))
        + pull * out / (inputs["rope_modulus_n_per_m2"] * area)
        + across**2 * path**3 / (24 * idle**2)
    )


@every_plan
def test_firm_rope_is_what_stays(plan: Plan) -> None:
    """From where the load is on to the last landing less what slips there, down to a whole wrap."""
    inputs = plan["inputs"]
    for method in methods(plan):
        begin = firm_from(plan, method)
        reached = begin - dead_rope(inputs) <= max(
            inputs["unreached_limit"] * first_layer(inputs), inputs["firm_below_m"] - dead_rope(inputs)
        ) * (1 + 1e-6)
        assert ({"code": "bed-unreached"} in plan["warnings"]) == (not reached) or method is not methods(plan)[0]
        for one in method["passes"]:
            held = one["moves"][-1]["rope_on_drum_m"][1]
            end = rope_to(inputs, one["firm_to"]["layer"], one["firm_to"]["wrap"])
            assert one["firm_to"]["wrap"] == pytest.approx(round(one["firm_to"]["wrap"]), abs=1e-4)
            most = held - overlap(plan, one, inputs["sling_slack_m"])
            assert most - 3 * layer_length(inputs, one["firm_to"]["layer"]) < end <= most + 1e-3
            assert end > most - layer_length(inputs, one["firm_to"]["layer"] + 1) - 1e-3
            assert one["overlap_m"] == pytest.approx(held - end, abs=1e-4)
            assert one["firm_rope_m"] == pytest.approx(end - begin, abs=2e-3)
            assert one["firm_share"] == pytest.approx(one["firm_rope_m"] / inputs["rope_length_m"], abs=1e-6)
            assert one["firm_share"] <= method["firm_share_limit"] + 1e-9
            known = rope_to(inputs, one["firm_from"]["layer"], one["firm_from"]["wrap"])
            assert known == pytest.approx(dead_rope(inputs) if reached else begin, abs=2e-3)


@every_plan
def test_firm_rope_lies_in_the_ledger_of_the_moves(plan: Plan) -> None:
    """What the plan's own moves wind under load and never unwind again covers all that is called firm."""
    inputs = plan["inputs"]
    for method in methods(plan):
        begin, stack = firm_from(plan, method), []  # (from, to, firm), the inner end first
        held = method["passes"][0]["moves"][0]["rope_on_drum_m"][1]
        for one in method["passes"]:
            for move in one["moves"]:
                start, end = move["rope_on_drum_m"]
                if start > held + 1e-4:  # the slack before the first pick
                    stack.append((held, start, False))
                if end < start:
                    stack = [(a, min(b, end), firm) for a, b, firm in stack if a < end - 1e-6]
                elif end > start + 1e-6:
                    stack.append((start, end, winds(move)))
                held = end
            top = rope_to(inputs, one["firm_to"]["layer"], one["firm_to"]["wrap"])
            firm = [(a, b) for a, b, wound in stack if wound]
            loose = [(a, b) for a, b, wound in stack if not wound and a < top - 1e-4 and b > begin + 1e-4]
            assert not loose
            assert min(a for a, _ in firm) <= begin + 1e-3 and max(b for _, b in firm) >= top - 1e-4
            assert all(after[0] <= before[1] + 1e-3 for before, after in pairwise(firm))


@every_plan
def test_no_pass_without_gain(plan: Plan) -> None:
    """The first winds the rule's least share; each later one lets fewer falls take full pull, or reaches the target."""
    inputs = plan["inputs"]
    for method in methods(plan):
        first = method["passes"][0]
        assert first["firm_share"] >= inputs["least_gain_share"] - 1e-6
        assert len(method["passes"]) <= inputs["most_passes"]
        for before, after in pairwise(method["passes"]):
            assert after["firm_rope_m"] > before["firm_rope_m"]
        if len(method["passes"]) == 1:
            continue
        *_, earlier, last = method["passes"]
        known = max(0.0, min(inputs["firm_below_m"], firm_from(plan, method)) - dead_rope(inputs))
        target = inputs["target_share"] * inputs["rope_length_m"]
        fewer = last["full_pull_falls_min"] is not None and (
            earlier["full_pull_falls_min"] is None or last["full_pull_falls_min"] < earlier["full_pull_falls_min"]
        )
        assert fewer or earlier["firm_rope_m"] + known < target <= last["firm_rope_m"] + known + 1e-6
    if plan["inputs"]["load_return"] == "none":
        assert all(len(method["passes"]) == 1 for method in methods(plan))


@every_plan
def test_second_load(plan: Plan) -> None:
    """A second load has its own weights and its own line beside the first; two passes at most."""
    inputs = plan["inputs"]
    stock = {w["item"]: w for w in inputs["weights"]}
    for one, before in passes(plan):
        assert one["load_return"] == (inputs["load_return"] if before else "none")
        if one["load_return"] != "second-load":
            assert one["slew_deg"] is None
            continue
        assert all(2 * part["count"] <= stock[part["item"]]["count"] for part in plan["load"]["yard"])
        base = base_of(plan)
        apart = math.hypot(base["length_m"], base["width_m"]) + inputs["swing_room_m"]
        near = min(named(one, "pick")["radius_m"][0], before["moves"][-1]["radius_m"][1])
        assert one["slew_deg"] == pytest.approx(math.degrees(math.asin(apart / near)), abs=1e-4)
    if inputs["load_return"] == "second-load":
        assert all(len(method["passes"]) <= 2 for method in methods(plan))


# -- what it is enough for --------------------------------------------------------------------------------------------


@every_plan
def test_bed_of_the_next_heavy_lift(plan: Plan) -> None:
    """At the largest radius that lists the full line pull, the rope stretched; the highest hook any load asks for."""
    if not plan["load"]:
        return
    inputs = plan["inputs"]
    legs = inputs["slings"][0]["length_m"]
    rows = rows_of(plan, plan["boom_length_m"])
    area = inputs["rope_metal_factor"] * inputs["rope_diameter_m"] ** 2
    hooks = []
    for base in inputs["weights"]:
        room = sorted((base["length_m"], base["width_m"])), sorted((inputs["load_size_m"], inputs["load_width_m"]))
        square = legs**2 - (base["lifting_points_diagonal_m"] / 2) ** 2
        flattest = legs * math.sin(math.radians(inputs["sling_angle_least_deg"]))
        if square <= 0 or math.sqrt(square) < flattest - 1e-9:
            continue
        over = base["lifting_points_height_m"] + math.sqrt(square)
        low = base["height_m"] <= min(inputs["load_height_m"], over - inputs["stack_room_m"]) + 1e-9
        if low and all(need <= have + 1e-9 for need, have in zip(*room, strict=True)):
            hooks.append(over)
    for row in plan["bed_needed"]:
        falls = row["falls"]
        high = max(b["height_m"] for b in inputs["blocks"] if b["falls"][0] <= falls <= b["falls"][1])
        full = falls * inputs["rated_line_pull_n"] / G
        radius = max([r for r, carried in rows if carried >= full * (1 - 1e-9)], default=rows[0][0])
        run = max(0.0, head(inputs, plan["boom_length_m"], radius) - max(hooks) - high)
        out = plan["boom_length_m"] + inputs["rope_path_extra_m"] + falls * run
        out += (falls - 1) * math.pi * inputs["sheave_radius_m"]
        bed = inputs["rope_length_m"] - out
        bed += inputs["rated_line_pull_n"] * out / (inputs["rope_modulus_n_per_m2"] * area)
        assert row["metres"] == pytest.approx(bed, abs=1e-4)
    beds = {row["falls"]: row["metres"] for row in plan["bed_needed"]}
    for one, _ in passes(plan):
        top = rope_to(inputs, one["firm_to"]["layer"], one["firm_to"]["wrap"])
        falls = one["full_pull_falls_min"]
        if falls is None:
            assert one["full_pull_hook_up_to_m"] is None
            unreached = {"code": "bed-unreached"} in plan["warnings"]
            assert unreached or not beds or beds[max(beds)] > top - 1e-4
            continue
        enough = {n: bed for n, bed in beds.items() if n >= falls}
        assert all(bed <= top + 1e-4 for bed in enough.values())
        assert beds.get(falls - 1, math.inf) > top - 1e-4
        up_to = min(max(hooks) + (top - bed) / n for n, bed in enough.items())
        assert one["full_pull_hook_up_to_m"] == pytest.approx(up_to, abs=1e-4)


# -- loads other than planned, less room, what would help -------------------------------------------------------------


@every_plan
def test_heavier_loads(plan: Plan) -> None:
    """Within the same limits and by their own stop heights; the heavier, the nearer."""
    rows, inputs = plan["heavier_loads"], plan["inputs"]
    if not rows:
        return
    load = plan["load"]
    assert rows[0]["load_kg"] == load["planned_kg"] and rows[0]["then_reduce_to_kg"] is None
    first = plan["methods"][0]["passes"][0]
    assert rows[0]["furthest_radius_m"] == pytest.approx(first["moves"][-1]["loaded_radius_m"][0], abs=1e-2)
    assert rows[0]["firm_rope_m"] == pytest.approx(first["firm_rope_m"], abs=1e-4)
    masses = [row["load_kg"] for row in rows]
    assert masses == sorted(set(masses))
    radii = [row["furthest_radius_m"] for row in rows]
    assert (
        radii == sorted(radii, reverse=True)
        or max(b - a for a, b in pairwise(radii)) <= inputs["deflection_share"] * plan["boom_length_m"]
    ), "a heavier load bends the boom further out by no more"
    assert all(row["then_reduce_to_kg"] == load["planned_kg"] for row in rows[1:])
    hung = next(s for s in inputs["slings"] if s["length_m"] == first["sling_length_m"])
    for row in rows:
        mass = row["load_kg"]
        below = min(block(plan)["capacity_kg"], hung["capacity_kg"] + hung["mass_kg"])
        assert mass - load["hook_block_kg"] <= below + 1e-3
        assert least_kept(plan, mass) <= plan["stops"]["rope_at_start_m"] + 1e-3
        own = plan["stops"]["hook_height_m"] - margin(plan, load["planned_kg"]) + margin(plan, mass)
        assert row["stop_height_m"] == pytest.approx(own, abs=1e-4)
        carried = next(c for r, c in rows_of(plan, plan["boom_length_m"]) if r >= row["furthest_radius_m"] - 1e-3)
        assert mass <= inputs["largest_capacity_use"] * carried + 1e-3


@every_plan
def test_limited_room(plan: Plan) -> None:
    """Each listed radius on the way out: rope wound by the drop of the head, firm rope rising to that of the pass."""
    rows, inputs = plan["limited_room"], plan["inputs"]
    if not rows:
        return
    first = plan["methods"][0]["passes"][0]
    pick, length = named(first, "pick"), plan["boom_length_m"]
    listed = {row[0]: row[1] for row in rows_of(plan, length)}
    assert [row["radius_m"] for row in rows] == [
        r for r in listed if pick["loaded_radius_m"][1] < r < first["moves"][-1]["loaded_radius_m"][1] - 1e-6
    ]
    for row in rows:
        radius = row["radius_m"]
        for _ in range(4):
            gross = gross_at(plan, pick["load_kg"], length, radius, pick["hook_height_m"][0])
            radius = row["radius_m"] - inputs["deflection_share"] * length * gross / listed[row["radius_m"]]
        drop = head(inputs, length, pick["radius_m"][0]) - head(inputs, length, radius)
        assert row["rope_wound_m"] == pytest.approx(plan["falls"]["used"] * drop, abs=1e-3)
    firm = [*(row["firm_rope_m"] for row in rows), first["firm_rope_m"]]
    assert firm == sorted(firm)
    falls = [row["full_pull_falls_min"] or 99 for row in rows]
    assert falls == sorted(falls, reverse=True)


@every_plan
def test_what_would_help(plan: Plan) -> None:
    """Five at most, one of a kind, the quickest first; none worse than the plan itself."""
    found = plan["what_would_help"]
    assert len(found) <= 5
    kinds = [one["kind"] for one in found]
    assert len(set(kinds)) == len(kinds)
    minutes = [one["minutes"] for one in found]
    assert minutes == sorted(minutes)
    best = plan_data.best_method(plan)
    if best is None:
        return
    own = best["passes"][-1]
    for one in found:
        fewer = (one["full_pull_falls_min"] or 99) < (own["full_pull_falls_min"] or 99)
        quicker = one["passes"] < len(best["passes"])
        telescoped = one["method"] == "telescope-in" != best["name"]
        assert fewer or quicker or telescoped
        assert (one["full_pull_falls_min"] or 99) <= (own["full_pull_falls_min"] or 99)


@every_plan
def test_minutes(plan: Plan) -> None:
    """Moves one after the other; every short move under load has its stops; rigging apart."""
    inputs = plan["inputs"]
    band = max(inputs["band_top_m"] - inputs["clearance_m"], 0.1)
    for method in methods(plan):
        assert method["minutes"] == pytest.approx(sum(one["minutes"] for one in method["passes"]), abs=1e-4)
        rigging = inputs["setting_up_time_s"] + plan["falls"]["used"] * inputs["reeving_time_s"]
        assert method["rigging_minutes"] == pytest.approx(rigging / 60, abs=1e-5)
        for one in method["passes"]:
            assert one["minutes"] == pytest.approx(sum(move["minutes"] for move in one["moves"]), abs=1e-4)
    for _, move in moves(plan):
        if not move["load_kg"] or move["move"] not in ("luff-out", "luff-in"):
            continue
        drop = abs(
            head(inputs, move["boom_length_m"][0], move["radius_m"][0])
            - head(inputs, move["boom_length_m"][1], move["radius_m"][1])
        )
        pairs = math.ceil(drop / band - 1e-6)
        luffing = abs(move["boom_angle_deg"][0] - move["boom_angle_deg"][1])
        least = math.radians(luffing) / inputs["luffing_rad_per_s"] + 2 * pairs * inputs["change_time_s"]
        rope = abs(move["rope_on_drum_m"][0] - move["rope_on_drum_m"][1])
        assert move["minutes"] * 60 >= least + rope / inputs["winding_speed_m_per_s"] - 1e-2


@every_plan
def test_published_numbers_are_never_on_the_incautious_side(plan: Plan) -> None:
    """Stop heights up, rope and shares down, masses to lift up: each unit converted back against the exact value."""
    stops = plan["stops"]

    def number(text: str) -> float:
        return float(text.split()[0].replace(",", ""))

    for value in [stops["hook_height_m"], *(h for _, h in stops["by_radius"])]:
        metric, us = rounding.length(value, "up")
        assert number(metric) >= value - 1e-6
        assert number(us) * 0.3048 >= value - 1e-6
    metric, us = rounding.mass(plan["load"]["planned_kg"], "up")
    assert number(metric) * 1000 >= plan["load"]["planned_kg"] - 1e-3
    assert number(us) * 0.45359237 >= plan["load"]["planned_kg"] - 1e-3
    for method in methods(plan):
        for one in method["passes"]:
            metric, us = rounding.rope(one["firm_rope_m"], "down")
            assert number(metric) <= one["firm_rope_m"] + 1e-6
            assert number(us) * 0.3048 <= one["firm_rope_m"] + 1e-6


def test_the_named_plans_exist() -> None:
    """Among the demonstration plans: three passes; exact and estimate differing; falls that cannot be reeved;
    telescoping refused; drum tension deciding the load."""

    def some(found: Any) -> bool:
        return any(found(plan) for plan in PLANS)

    assert some(lambda p: any(len(m["passes"]) == 3 for m in methods(p)))
    assert some(lambda p: p["falls"]["exact"] and math.ceil(p["falls"]["exact"]) != p["falls"]["estimate"])
    assert some(lambda p: {"code": "falls-not-reeved"} in p["warnings"])
    assert some(lambda p: p["methods"][1] and p["methods"][1]["refused"])
    assert some(lambda p: p["load"] and p["load"]["for_drum_tension_kg"] > p["load"]["minimum_kg"])
    assert some(lambda p: any(one["load_return"] == "second-load" for one, _ in passes(p)))


def test_command_line_prints_the_same_plan() -> None:
    call = [sys.executable, "-m", "calc", "plan", "bittern", "54m", "--json", "--day", DAY]
    done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == plan_data.plan(look_up.case(DATA, "bittern", "54m", None, DAY))


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
