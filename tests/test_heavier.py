"""Loads other than planned on the crane worked by hand: the band, heavier loads, limited room."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt
from typing import Any

import pytest
from a_rig import TELESCOPIC, case, load_of, rig, rig_of

from calc.data.model import Case
from calc.winding import heavier, planner
from calc.winding.methods import Refused
from calc.winding.planner import Attempt

HEAD = 2.8 + 1 + (150 - 4 * pi - 50 - 0.3 * pi) / 2  # at the start: 47.0456 m


def planned(machine: str = "hand-lattice", *, of: Case | None = None, **changed: Any) -> Attempt:
    one = rig_of(of) if of else rig(machine, **changed)
    return planner.with_load(one, load_of(one))


def with_parts(block: float = 40e3, slings: float = 10e3, extension: float = 10e3) -> Case:
    """A block and slings that carry so much."""
    one = case()
    yard = replace(
        one.yard,
        slings=replace(one.yard.slings, capacity=slings),
        extensions=tuple(replace(e, capacity=extension) for e in one.yard.extensions),
    )
    machine = replace(one.machine, blocks=tuple(replace(b, capacity=block) for b in one.machine.blocks))
    return replace(one, yard=yard, machine=machine)


# -- the band ---------------------------------------------------------------------------------------------------------

FIRM = 2 * (5000 + 8.5 * 19.6133) / 9.80665  # 1,053.7 kg keep 5,000 N on 9 m of slings
ROPE = 4 * (HEAD - 4.5)  # kg in the falls as winding begins, hook at 3.5 m
BEYOND_40 = 110.379  # kg in the falls where the last row begins to count: 4*(32.0948 - 4.5)


def test_band() -> None:
    """90 % of 4 t in the last row, less the rope in the falls where it begins to count; firm at the least."""
    found = heavier.band(planned())
    assert found.least == pytest.approx(FIRM)
    assert found.most == pytest.approx(3600 - BEYOND_40, abs=0.01)
    assert found.rope == pytest.approx(ROPE + 4 * 0.2)  # at the first lift, 0.3 m
    assert heavier.band(planned(values__largest_capacity_use=0.95)).most == pytest.approx(3800 - BEYOND_40, abs=0.01)
    assert heavier.band(planned(values__first_lift=0.5)).rope == pytest.approx(ROPE)


def test_the_rule_of_thumb_may_be_the_least() -> None:
    """98 % of 2*12 %*50,000 N are 1,199.2 kg."""
    assert heavier.band(planned(values__minimum_share=0.12)).least == pytest.approx(0.98 * 12000 / 9.80665)


@pytest.mark.parametrize(
    ("of", "most"),
    [
        (with_parts(block=2000.0), 500 + 2000.0),
        (with_parts(slings=2000.0, extension=2000.0), 500 + 100 + 2000.0),
        (with_parts(extension=2000.0), 500 + 140 + 2000.0),  # hangs in pass 2 only
    ],
)
def test_block_and_slings_carry_the_most(of: Case, most: float) -> None:
    assert heavier.band(planned(of=of)).most == pytest.approx(most)


def test_the_line_pull_carries_the_most() -> None:
    """10 kN behind the head sheave at the pick, the longest falls: (0.98*10,000 - 43.0456*19.6133)*1.98/g."""
    one = planned(machine__winch__rated_line_pull=10e3, values__firm_tension_share=0.5, values__minimum_share=0.5)
    found = heavier.band(one)
    assert found.most == pytest.approx((9800 - (HEAD - 4) * 19.6133) * 1.98 / 9.80665)
    assert found.least == pytest.approx(FIRM)


def test_the_load_listed_for_telescoping_carries_the_most() -> None:
    """90 % of 4 t before the last row of the long boom, 90 % of 6 t, which luffing out alone meets: there, at 39.658 m
    with 0.342 m of growth, 4*(32.450 - 4.5) kg of rope hang."""
    found = planned(TELESCOPIC)
    assert heavier.band(found).most == pytest.approx(3600 - ROPE)
    alone = replace(found, telescope_in=None)
    assert heavier.band(alone).most == pytest.approx(5400 - 111.80, abs=0.05)


# 8 wraps less the 3 dead ones leave 3.927 m of margin on each of two falls; so much less leaves 50 mm for the rebound.
TIGHT: dict[str, Any] = {"values__stop_margin_share": (2.5 * pi / 2 - 0.05) * 2 / 150}
# the head rises 50 mm at 14 m for a growth of 0.1425 m: 28.5 % of 20 t, the rope in the falls with it
MOST = (sqrt(2500 - 47.95**2) - 14) / 0.5 * 20e3 - 4 * 46


def test_a_heavier_load_bends_the_boom_more_and_must_keep_the_count() -> None:
    one = planned(chart__rows=((14.0, 40e3), (30.0, 20e3), (40.0, 20e3), (48.0, 20e3)), **TIGHT)
    assert heavier.keeps_count(one, 1600.0) and heavier.keeps_count(one, MOST - 1)
    assert not heavier.keeps_count(one, MOST + 1)
    assert heavier.band(one).most == pytest.approx(MOST, abs=0.1)


def test_most_is_never_under_the_planned_load() -> None:
    assert heavier.band(replace(planned(), luff_out=Refused("luff-out", "line-pull"))).most == 1600.0


# -- heavier loads ----------------------------------------------------------------------------------------------------


def test_heavier_loads() -> None:
    """Up to 9,723 kg by the line pull; 3 t stand within 90 % of 4 t at 48 m, 4 to 9 t of 12 t at 40 m, as read."""
    rows = heavier.heavier_loads(planned())
    assert [row["load_kg"] for row in rows] == [1600.0, 3000.0, 4000.0, 5000.0, 6000.0, 7000.0, 8000.0, 9000.0]
    assert [row["furthest_radius_m"] for row in rows] == pytest.approx([48.0, 48.0, *[40.0] * 6], abs=0.01)
    assert [row["then_reduce_to_kg"] for row in rows] == [None, *[1600.0] * 7]
    firm = [row["firm_rope_m"] for row in rows]
    assert firm == sorted(firm, reverse=True)
    assert firm[0] == pytest.approx(49.8834, abs=1e-4)
    warning = HEAD - 1 - (150 - 1.5 * pi - 50 - 0.3 * pi) / 2 + 0.5  # the least margin counts
    assert [row["stop_height_m"] for row in rows] == pytest.approx([warning] * 8, abs=1e-4)


def test_heavier_loads_raise_their_own_stop_height() -> None:
    """With a least margin of 0.1 m: 0.375 m and the rebound of each load at 14 m."""
    rows = heavier.heavier_loads(planned(values__stop_margin=0.1))
    for row in (rows[0], rows[-1]):
        use = (row["load_kg"] + 4 * 46) / 20e3
        rebound = 48 - sqrt(2500 - (14 + 0.5 * use) ** 2)
        warning = HEAD - 1 - (150 - 1.5 * pi - 50 - 0.3 * pi) / 2 + 0.375 + rebound
        assert row["stop_height_m"] == pytest.approx(warning, abs=1e-4)


def test_a_load_whose_margin_asks_for_more_rope_is_left_out() -> None:
    assert 6000.0 < MOST < 7000.0
    assert heavier.heavier_loads(planned(**TIGHT))[-1]["load_kg"] == 6000.0


@pytest.mark.parametrize(
    ("of", "last"),
    [
        (with_parts(block=5500.0), 6000.0),  # the block of 500 kg besides
        (with_parts(block=5499.0), 5500.0),
        (with_parts(slings=3400.0), 4000.0),  # block and slings of 100 kg besides
        (with_parts(slings=3399.0), 3500.0),
    ],
)
def test_heaviest(of: Case, last: float) -> None:
    """Half a tonne apart up to 6 t."""
    assert heavier.heavier_loads(planned(of=of))[-1]["load_kg"] == last


def test_without_luffing_out_there_are_none() -> None:
    one = replace(planned(), luff_out=Refused("luff-out", "line-pull"))
    assert heavier.heavier_loads(one) == heavier.limited_room(one) == []


@pytest.mark.parametrize(
    ("at", "most", "rows"),
    [
        (1600.0, 9900.0, [3000, 4000, 5000, 6000, 7000, 8000, 9000]),
        (1500.0, 9900.0, [3000, 4000, 5000, 6000, 7000, 8000, 9000]),
        (1499.0, 9900.0, [2000, 3000, 4000, 5000, 6000, 7000, 8000, 9000]),
        (1400.0, 10000.0, [2000, 3000, 4000, 5000, 6000, 7000, 8000, 9000, 10000]),
        (1400.0, 11000.0, [4000, 6000, 8000, 10000]),
        (100.0, 104.0, [101, 102, 103, 104]),
        (100.0, 108.9, [101, 102, 103, 104, 105, 106, 107, 108]),
        (5000.0, 5000.0, []),
        (5000.0, 4000.0, []),
        (40000.0, 250000.0, [100000, 150000, 200000, 250000]),  # 20,000 apart would be eleven rows
        (1e6, 20e6, [4e6, 6e6, 8e6, 10e6, 12e6, 14e6, 16e6, 18e6, 20e6]),
        (1e6, 60e6, []),
    ],
)
def test_steps(at: float, most: float, rows: list[float]) -> None:
    """1, 2 or 5 times a power of ten apart, ten rows at most with the planned one, half a step above it at least."""
    assert heavier.steps(at, most) == rows


# -- limited room -----------------------------------------------------------------------------------------------------


def test_limited_room() -> None:
    """Between 21.74 m as read at the start and 48 m at the end: 30 and 40 m, by the working in contract.yaml."""
    near, far = heavier.limited_room(planned())
    assert (near["radius_m"], far["radius_m"]) == (30.0, 40.0)
    assert near["rope_wound_m"] == pytest.approx(10.0255, abs=1e-4)
    assert near["firm_rope_m"] == pytest.approx(14.1372 - 13.5265, abs=1e-4)
    assert far["rope_wound_m"] == pytest.approx(29.9014, abs=1e-4)
    assert far["firm_rope_m"] == pytest.approx(33.0998 - 13.5265, abs=1e-4)
    assert near["full_pull_falls_min"] is None and far["full_pull_falls_min"] is None  # two falls lie on 43.4 m
