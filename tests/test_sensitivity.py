"""What small errors of the data do: against hand calculation, and against planning again by other means."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from conftest import DATA, DAY

from calc.data import look_up
from calc.data.model import Case
from calc.winding import plan_data, sensitivity

PLANS = [("bittern", "54m"), ("curlew", "99m"), ("heron", "41m"), ("avocet", "100ft"), ("dunlin", "41m")]


def case(machine: str, boom: str) -> Case:
    return look_up.case(DATA, machine, boom, None, DAY)


def changes(one: Case) -> dict[tuple[str, bool], sensitivity.Change]:
    found = sensitivity.sensitivity(one)
    assert found is not None
    return {(change.name, change.more): change for change in found[1]}


def test_rise_of_touching_circles() -> None:
    """Two wraps a pitch apart and one lying on both: an equilateral triangle when they touch, height sqrt(3)/2."""
    assert sensitivity.rise_ratios(0.020, 0.020)[0] == pytest.approx(3**0.5 / 2)
    # 27.1 mm pitch, 26 mm rope: sqrt(26^2 - 13.55^2)/26 = sqrt(676 - 183.6025)/26 = 22.1900/26 = 0.85346 (by hand)
    assert sensitivity.rise_ratios(0.0271, 0.026) == (pytest.approx(0.85346, abs=1e-5), 1.0)


@pytest.mark.parametrize(("pitch", "rope"), [(0.0, 0.02), (0.04, 0.02), (-0.01, 0.02)])
def test_a_pitch_no_rope_lies_on_is_refused(pitch: float, rope: float) -> None:
    with pytest.raises(ValueError, match="groove_pitch is"):
        sensitivity.rise_ratios(pitch, rope)


@pytest.mark.parametrize(("machine", "boom"), PLANS)
def test_a_shorter_rope_raises_the_stop_height_by_its_loss_over_the_falls(machine: str, boom: str) -> None:
    """Rope 1 % shorter: the same hook height has L/100 less rope on the drum, so the stop is L/(100*n) higher.

    Of the margin only its share of the rope length over the falls changes, by 1 % of itself, and only where it decides.
    """
    one = case(machine, boom)
    found = sensitivity.sensitivity(one)
    assert found is not None
    own = found[0]
    falls, length = own.falls, one.machine.rope.length
    for (name, more), change in changes(one).items():
        if name != "rope-length":
            continue
        assert change.outcome and change.outcome.stop_height and own.stop_height
        rise = change.outcome.stop_height - own.stop_height
        by_rope = (-1 if more else 1) * 0.01 * length / falls
        margin = 0.01 * one.values.stop_margin_share * length / falls
        assert rise == pytest.approx(by_rope, abs=margin + 1e-9)


@pytest.mark.parametrize(("machine", "boom"), PLANS)
def test_every_change_is_the_plan_of_the_changed_data(machine: str, boom: str) -> None:
    """Planned again through the whole contract with the value changed here: the same falls, firm rope and load."""
    one = case(machine, boom)
    values, rope = one.values, one.machine.rope

    def with_rope(**new: Any) -> Case:
        return replace(one, machine=replace(one.machine, rope=replace(rope, **new)))

    lighter = tuple(replace(block, mass=block.mass * 0.9) for block in one.machine.blocks)
    heavier = tuple(replace(block, mass=block.mass * 1.1) for block in one.machine.blocks)
    wanted = {
        ("rope-length", True): with_rope(length=rope.length * 1.01),
        ("block-mass", False): replace(one, machine=replace(one.machine, blocks=lighter)),
        ("block-mass", True): replace(one, machine=replace(one.machine, blocks=heavier)),
        ("rise-ratio", True): replace(one, values=replace(values, rise_ratio=1.0)),
        ("sheave-efficiency", False): replace(one, values=replace(values, sheave_efficiency=0.96)),
    }
    found = changes(one)
    for key, varied in wanted.items():
        plan = plan_data.plan(varied)
        best = plan_data.best_method(plan)
        outcome = found[key].outcome
        assert outcome and best
        assert outcome.falls == plan["falls"]["used"]
        assert outcome.exact_falls == pytest.approx(plan["falls"]["exact"], abs=1e-6)
        assert outcome.firm_rope == pytest.approx(best["passes"][-1]["firm_rope_m"], abs=1e-6)
        needed = max(plan["load"]["minimum_kg"], plan["load"]["for_drum_tension_kg"])
        assert outcome.load == pytest.approx(needed, abs=1e-6)


def test_plainer_sheaves_and_thicker_rope_do_what_they_must() -> None:
    """Worse sheaves leave more tension at the drum while hauling: never more load.  Thicker rope fills the drum sooner:
    the dead wraps take more of it, so the stop height rises by pi*z*0.02*d over the falls (by hand, 3 dead wraps)."""
    one = case("bittern", "54m")
    found = sensitivity.sensitivity(one)
    assert found is not None
    own, table = found[0], changes(one)
    plain, rolling = (table["sheave-efficiency", more].outcome for more in (False, True))
    assert plain and rolling and plain.load <= rolling.load
    thick = table["rope-diameter", True].outcome
    assert thick and thick.stop_height and own.stop_height
    by_hand = 3.141592653589793 * 3 * 0.02 * 0.026 / own.falls
    assert thick.stop_height - own.stop_height == pytest.approx(by_hand, abs=1e-6)


def test_without_a_load_there_is_nothing_to_vary() -> None:
    one = case("bittern", "54m")
    assert sensitivity.sensitivity(replace(one, yard=replace(one.yard, weights=()))) is None


@pytest.mark.parametrize(("machine", "boom"), PLANS)
def test_the_page_names_the_largest_rise(built: Path, machine: str, boom: str) -> None:
    html = (built / f"machines/{machine}/{boom}/index.html").read_text(encoding="utf-8")
    shorter = html[html.index('id="shorter-rope"') : html.index('id="break"')]
    assert "rope 1 % shorter, stop height" in shorter
    heights = {
        key: change.outcome.stop_height
        for key, change in changes(case(machine, boom)).items()
        if change.outcome and change.outcome.stop_height
    }
    assert max(heights, key=lambda key: heights[key]) == ("rope-length", False)
