"""The second computation against numbers from outside, so that two equal mistakes do not pass for agreement."""

from __future__ import annotations

from math import inf, pi
from typing import Any

import numpy as np
import pytest

from independent import beds, count, limits, loads, reach, readings, start, times
from independent.charts import Charts
from independent.drum_wraps import Drum, Ledger
from independent.forces import HAULING, PAYING_OUT, STANDING, passed_on, pulls
from independent.landing import Landed
from independent.lift import Lift
from independent.passes import hang_longer
from independent.rig import GRAVITY, Rig
from independent.walk import walk

# Drum of 400 mm with 20 mm rope in rings on top of each other, 30 wraps: a drum-capacity worked example (second-hand).
DRUM: dict[str, Any] = {
    "groove_root_diameter_m": 0.4,
    "rope_diameter_m": 0.02,
    "rise_ratio": 1.0,
    "wraps_odd_layers": 30,
    "wraps_even_layers": 30,
    "rope_length_m": 235.6,
    "dead_wraps": 3,
    "drum_surface": "parallel-grooved",
}


def test_five_layers_hold_what_the_worked_example_says() -> None:
    drum = Drum(DRUM)
    assert drum.layer[-1] == 5 and drum.full[-1] == pytest.approx(235.619, abs=5e-4)


def test_a_full_layer_is_still_that_layer() -> None:
    """By hand: 30 wraps of pi*0.42 m fill layer 1, half a wrap more of pi*0.46 m lies in layer 2."""
    drum = Drum(DRUM)
    full = 30 * pi * 0.42
    assert drum.layer_at([full, full + pi * 0.23]).tolist() == [1, 2]
    assert drum.turns([full, full + pi * 0.23]) == pytest.approx([30, 30.5])
    assert drum.rope(30.5) == pytest.approx(full + pi * 0.23)


def test_the_first_layer_of_a_smooth_drum_is_dead() -> None:
    """Wire Rope Users Manual, 4th ed., p. 47: the first layer of a smooth drum is not unwound in use."""
    assert Drum(DRUM | {"drum_surface": "smooth"}).dead_rope == pytest.approx(30 * pi * 0.42)


def test_paying_out_takes_off_what_was_wound_last() -> None:
    """By hand: 20 m wound at 9 kN, 5 m off again, 8 m on at 4 kN: firm at 5 kN from 2 to 17 m."""
    ledger = Ledger(Drum(DRUM), 2.0, 2.0)
    ledger.wind(np.array([2.0, 22.0]), np.array([9e3, 9e3]))
    ledger.pay_out(17.0)
    ledger.wind(np.array([17.0, 25.0]), np.array([4e3, 4e3]))
    assert ledger.firm(5e3) == pytest.approx(17, abs=pi * 0.42)


# Four falls, 0.98 at every sheave, one sheave to the drum, 20 kN, 30 N/m, falls of 40 m, head 48 m above the winch.
# Standing by hand: (20,000 + 4*40*30)/4 - 48*30 = 4,760 N.  Hauling by hand, from the top of fall 1 (T):
# on the block T - 1,200; 0.98 T - 1,176; 0.9604 T - 1,176.48; 0.941192 T - 1,152.9504 -> 3.881592 T - 4,705.43 = 20,000
# T = 6,364.77; over the head sheave 6,494.66; less 1,440 down to the winch 5,054.66 N.
@pytest.mark.parametrize(("direction", "at_drum"), [(HAULING, 5054.66), (STANDING, 4760.0), (PAYING_OUT, 4476.8)])
def test_pull_at_the_drum(direction: str, at_drum: float) -> None:
    _, found = pulls(4, 40.0, 48.0, 20e3, 30.0, passed_on(0.98, direction), 1)
    assert float(found) == pytest.approx(at_drum, abs=0.1)


@pytest.mark.parametrize(("falls", "ratio"), [(1, 0.98), (2, 1.94), (3, 2.88), (4, 3.804), (8, 7.313)])
def test_pull_without_rope_weight(falls: int, ratio: float) -> None:
    """By hand: load over lead line is e + e^2 + ... + e^n; 0.98 + 0.9604 = 1.94 for two falls,
    0.98*(1 - 0.98^8)/0.02 = 7.313 for eight."""
    lead, _ = pulls(falls, 10.0, 0.0, 1000.0, 0.0, passed_on(0.98, HAULING), 1)
    assert 1000.0 / float(lead) == pytest.approx(ratio, abs=0.005)


def test_the_boom_bends_until_chart_and_radius_agree() -> None:
    """By hand: 4 t at 9.9 m on a 50 m boom, growth 1 % of 50 m at full use.  Row 10 m lists 8 t: half in use, 0.25 m
    more is 10.15 m; so row 12 m counts with 5 t: 80 % in use, 10.3 m, still row 12 m.  At 13.9 m no row is left."""
    charts = Charts(
        {
            "charts": [{"boom_length_m": 50.0, "rows": [[10, 8000], [12, 5000], [14, 3000]], "telescoping_kg": None}],
            "deflection_share": 0.01,
        }
    )
    length, gross = np.array([50.0]), np.array([4000.0])
    rest = charts.rest(length, np.array([9.9]), gross)
    assert rest.capacity[0] == 5000 and rest.radius[0] == pytest.approx(10.3)
    assert charts.rest(length, np.array([13.9]), gross).capacity[0] == 0


def test_estimate_of_falls_counts_boom_lengths() -> None:
    """By hand: 290 m of rope on a 27 m boom leave 263 m, nine booms and a piece; 900 ft on 150 ft leave just five."""
    assert start.estimate_of_falls({"rope_length_m": 290.0}, 27.0) == 10
    assert start.estimate_of_falls({"rope_length_m": 274.32}, 45.72) == 5


# -- a crane worked by hand --------------------------------------------------------------------------------------

# Boom of 50 m about a pivot on the ground at the slew axis, so that radius and head height are the short sides of
# right-angled triangles: 14 and 48, 30 and 40, 40 and 30 m.  Rope without weight, sheaves without size or friction,
# four falls: the lead line carries a quarter of what hangs.  Slings of 3 m on lifting points 3.6 m apart: 1.8 to the
# side, 2.4 up; points 0.6 m high: the hook is 3 m high at the pick.
WRAP = pi * 0.42
CRANE: dict[str, Any] = DRUM | {
    "rope_length_m": 230.0,
    "rope_mass_kg_per_m": 0.0,
    "sheave_efficiency": 1.0,
    "sheave_efficiency_upper": 1.0,
    "sheaves_to_drum": 1,
    "sheave_radius_m": 0.0,
    "pivot_forward_m": 0.0,
    "pivot_height_m": 0.0,
    "rope_path_extra_m": 0.0,
    "winch_height_m": 0.0,
    "upper_stop_m": 2.0,
    "least_boom_angle_deg": 20.0,
    "clear_radius_m": None,
    "working_radius_m": None,
    "load_size_m": 4.0,
    "load_width_m": 4.0,
    "load_height_m": 1.5,
    "rated_line_pull_n": 10e3,
    "rated_layer": 1,
    "firm_tension_share": 0.1,
    "minimum_breaking_force_n": 200e3,
    "unreached_limit": 0.35,
    "firm_below_m": 0.0,
    "stop_wraps": 5,
    "count_tolerance": 3,
    "stop_margin_m": 0.5,
    "stop_margin_share": 0.005,
    "hook_height_error_m": 0.2,
    "rope_longer_share": 0.05,
    "rope_shorter_share": 0.01,
    "sling_slack_m": 0.2,
    "sling_angle_least_deg": 30.0,
    "reach_height_m": 2.0,
    "stack_room_m": 0.5,
    "clearance_m": 0.5,
    "band_top_m": 2.0,
    "overlap_wraps": 5,
    "rope_friction": 0.1,
    "rope_modulus_n_per_m2": 90e9,
    "rope_metal_factor": 0.4,
    "deflection_share": 0.0,
    "largest_capacity_use": 0.9,
    "largest_telescoping_use": 0.9,
    "most_passes": 3,
    "load_return": "crawler-travels",
    "blocks": [],
    "weights": [],
    "slings": [
        {"length_m": 3.0, "mass_kg": 0.0, "capacity_kg": 1e5},
        {"length_m": 5.0, "mass_kg": 0.0, "capacity_kg": 1e5},
    ],
    "charts": [
        {
            "boom_length_m": 50.0,
            "rows": [[14, 20000], [20, 10000], [30, 5000], [40, 2500], [45, 1000]],
            "telescoping_kg": None,
        }
    ],
}
SLINGS: list[dict[str, Any]] = CRANE["slings"]
BLOCK: dict[str, Any] = {"mass_kg": 0.0, "height_m": 1.0, "falls": [1, 8], "capacity_kg": 1e5}


def lift(net: float, falls: int = 4, block: float = 0.0, **changed: Any) -> Lift:
    inputs = CRANE | changed
    return Lift(Rig(inputs, falls, BLOCK | {"mass_kg": block}), 50.0, net, 3.0, 0.6, inputs["slings"][0])


def test_slings_hang_as_high_as_pythagoras_says() -> None:
    """3 m legs to points 1.8 m to the side hang 2.4 m high.  Legs of 2 m to 1.8 m lie at 25.8 degrees: too flat."""
    points = {"lifting_points_diagonal_m": 3.6}
    assert loads.hanging_height(3.0, points, 30.0) == pytest.approx(2.4)
    assert loads.hanging_height(2.0, points, 30.0) is None
    assert loads.hanging_height(2.0, points, 25.0) == pytest.approx(0.8717798)


def weight(mass: float, length: float, width: float, height: float, count: int) -> dict[str, Any]:
    sizes = {"mass_kg": mass, "length_m": length, "width_m": width, "height_m": height, "count": count}
    diagonal = (length**2 + width**2) ** 0.5
    return sizes | {"item": f"{mass}", "lifting_points_height_m": height, "lifting_points_diagonal_m": diagonal}


SLAB, CUBE, BRICK = weight(10e3, 2.5, 1.7, 0.3, 2), weight(2e3, 1.2, 1.0, 0.7, 3), weight(1e3, 1.0, 0.7, 0.6, 2)


@pytest.mark.parametrize(
    ("counts", "tops"),
    [
        ((1, 2, 0), [1.0]),  # two cubes side by side fill a level
        ((2, 2, 0), [1.3]),  # the second slab is a level of its own
        ((1, 1, 1), [1.6, 1.0]),  # one of each left over: a level each, or side by side, 2.2 by 1.0 m
        ((1, 3, 1), [2.3, 1.7]),
        ((1, 0, 2), [0.9, 0.9]),  # two bricks of the four that fill a level
    ],
)
def test_stacks_stand_as_high_as_their_levels(counts: tuple[int, ...], tops: list[float]) -> None:
    found = list(loads.stack_tops({"weights": [SLAB, CUBE, BRICK]}, counts, SLAB))
    assert found == pytest.approx(tops)


def test_no_load_without_a_base_that_carries_the_rest() -> None:
    """A plank 3 m long has the larger plan of the two and does not lie inside the slab, nor the slab inside it."""
    plank = weight(500.0, 3.0, 1.5, 0.1, 1)
    assert loads.slung(CRANE | {"weights": [SLAB, plank]}, (1, 1)) is None
    assert loads.slung(CRANE | {"weights": [SLAB, plank]}, (1, 0)) is not None


def test_yard_loads_come_from_the_lightest_up() -> None:
    inputs = CRANE | {"weights": [SLAB, CUBE, BRICK]}
    assert [one.net for one in loads.of_yard(inputs, 10e3, 14e3)] == [10e3, 11e3, 12e3, 13e3, 14e3]


def test_eight_wraps_stay_on_the_drum() -> None:
    """Stop wraps 5 and 3 the count may be off: 8 wraps, more than 3 dead wraps and 4 falls times 0.5 m margin.  With a
    margin of 2 m: 3 wraps and 8 m.  With 4 m the margin is 16 m, over 35 % of a layer of 39.6 m: the count decides."""
    assert start.rope_to_stay(lift(4000)) == pytest.approx(8 * WRAP)
    assert start.rope_to_stay(lift(4000, stop_margin_m=2.0)) == pytest.approx(3 * WRAP + 8)
    assert start.rope_to_stay(lift(4000, stop_margin_m=4.0)) == pytest.approx(8 * WRAP)


def test_start_and_hanging_radius() -> None:
    """Hook at 2.8 m to hook on, block 1 m: the four falls take 230 - 50 - 8 wraps, a quarter is 42.3611 m, the head at
    46.1611 m, the radius sqrt(50^2 - 46.1611^2) = 19.213 m.  The head 0.8 m lower, hook at 2 m: 21.033 m."""
    head = 3.8 + (180 - 8 * WRAP) / 4
    assert start.start_radius(lift(4000)) == pytest.approx((2500 - head**2) ** 0.5)
    found = start.hanging_radius(lift(4000), start.start_radius(lift(4000)))
    assert found == pytest.approx((2500 - (head - 0.8) ** 2) ** 0.5) and found == pytest.approx(21.03, abs=0.01)


def test_slings_out_of_reach_beyond_the_chart() -> None:
    rows = [{"boom_length_m": 50.0, "rows": [[14, 20000], [20, 10000]], "telescoping_kg": None}]
    short = lift(4000, charts=rows)
    assert start.hanging_radius(short, start.start_radius(short)) == inf


def test_firm_from_after_slack_and_stretch() -> None:
    """40 kN on four falls: 10 kN in the lead line; metal 0.4*0.02^2 = 0.00016 m2, 90 kN/mm2: 0.694 mm a metre.  On the
    drum at the pick 8 wraps and 0.8 m, out 218.644 m: 0.1518 m; slack 0.8 m more."""
    heavy = lift(32e3 / GRAVITY, block=8e3 / GRAVITY)
    out = 230 - 8 * WRAP - 0.8
    found = start.firm_from(heavy, start.start_radius(heavy))
    assert found == pytest.approx(8 * WRAP + 0.8 + 0.8 + 10e3 / 14.4e6 * out)


def test_sag_of_the_lead_line() -> None:
    """20 N/m, boom 53.13 degrees up: 12 N/m across it.  Empty block 8 kN on four falls of 36 m: 2,720 N at the head.
    12^2*50^3/(24*2,720^2) = 0.10137 m."""
    rig = lift(0, block=8e3 / GRAVITY, rope_mass_kg_per_m=20 / GRAVITY).rig
    assert start.sag(rig, 50.0, 30.0, 3.0) == pytest.approx(0.10137, abs=1e-5)


@pytest.mark.parametrize(("room", "stop", "ends"), [(None, 2.0, 29.6), (31.0, 2.0, 28.6), (None, 36.0, 28.4744)])
def test_luffing_out_ends_where_a_limit_is(room: float | None, stop: float, ends: float) -> None:
    """4 t on a boom that bends 0.5 m at full use.  Row 30 m lists 5 t: 80 %, 0.4 m further out; row 40 m only 2.5 t: so
    the boom stops at 29.6 m.  Room for 31 m, half the load 2 m: the load at 29 m, the boom at 28.6 m.  Block kept 36 m
    under the head, slings straight 4.1 m high, block 1 m: head at 41.1 m, radius sqrt(50^2 - 41.1^2) = 28.474 m."""
    carried = lift(4000, deflection_share=0.01, working_radius_m=room, upper_stop_m=stop)
    assert reach.furthest(carried, 20.0, SLINGS[0]) == pytest.approx(ends, abs=1e-4)


def test_ten_percent_of_the_chart_stay_free() -> None:
    """4.6 t are 92 % of row 30 m; row 20 m carries them, the boom bent 0.23 m."""
    assert reach.furthest(lift(4600, deflection_share=0.01), 15.0, SLINGS[0]) == pytest.approx(19.77, abs=1e-5)
    whole = reach.furthest(lift(4600, deflection_share=0.01), 15.0, SLINGS[0], share=1.0)
    assert whole == pytest.approx(30 - 0.46, abs=1e-5)


def test_wraps_slip_until_friction_holds() -> None:
    """17 kN laid, 1.5 kN left, friction 0.10: ln(17/1.5)/(0.2*pi) = 3.864 wraps.  One fall: 0.2 m of slack besides, so
    5.30 m; the rule's five wraps are 6.60 m and more."""
    landed = Landed(lift(15.5e3 / GRAVITY, falls=1, block=1.5e3 / GRAVITY, rope_length_m=90.0), 30.0, SLINGS[0])
    assert landed.rope == pytest.approx(4.0) and landed.slipped_wraps() == pytest.approx(3.864, abs=1e-3)
    assert landed.relaxed(0.2) == pytest.approx(5 * WRAP)
    landed.lift.inputs["overlap_wraps"] = 3
    assert landed.relaxed(0.2) == pytest.approx(0.2 + 3.864 * WRAP, abs=1e-3)


def landed_at_thirty() -> Landed:
    """32 kN of load and 8 kN of block, landed at 30 m with the hook at 3 m: 230 - 50 - 4*36 = 36 m on the drum."""
    return Landed(lift(32e3 / GRAVITY, block=8e3 / GRAVITY), 30.0, SLINGS[0])


def test_whole_wraps_stay_firm() -> None:
    """ln(40/8)/(0.2*pi) = 2.56 wraps slip; with 0.8 m of slack that is less than five wraps: 36 m less 6.597 m are
    29.403 m, 22 whole wraps and a piece."""
    landed = landed_at_thirty()
    assert landed.rope == pytest.approx(36.0)
    assert landed.slipped_wraps() == pytest.approx(2.5615, abs=1e-4)
    assert landed.firm_to() == pytest.approx(22 * WRAP)


def test_slings_hung_for_the_next_pass() -> None:
    """From head 40 m: 0.2 m of slack paid out, the other 0.8 m to reach height by the boom, head 39.2 m.  Up again with
    2 m more sling: head 42.2 m.  Lowered under load to 22 wraps: 36 - 29.028 = 6.972 m, a quarter is 1.743 m; head
    42 + 0.5 + 1.743 m."""
    hung = hang_longer(landed_at_thirty(), SLINGS[1])
    assert hung is not None
    heads = {"hung_at": 39.2, "picked_at": 42.2, "wound_from": 42.5 + (36 - 22 * WRAP) / 4}
    for name, head in heads.items():
        assert getattr(hung, name) == pytest.approx((2500 - head**2) ** 0.5)
    assert (hung.hung_hook, hung.lowered, hung.rope_lost) == pytest.approx((2.0, 0.2, 0.8))


def test_slings_hung_short_of_the_chart_cost_rope() -> None:
    """No row beyond 30.5 m: the head comes down 40 - 39.6201 m only, the rest of 1 m is paid out on four falls."""
    rows = [{"boom_length_m": 50.0, "rows": [[14, 20000], [30.5, 5000]], "telescoping_kg": None}]
    landed = Landed(lift(32e3 / GRAVITY, block=8e3 / GRAVITY, charts=rows), 30.0, SLINGS[0])
    hung = hang_longer(landed, SLINGS[1])
    assert hung is not None
    lowered = 1.0 - (40 - (2500 - 30.5**2) ** 0.5)
    assert (hung.hung_at, hung.lowered, hung.rope_lost) == pytest.approx((30.5, lowered, 4 * lowered))


def test_clamp_lets_outer_wraps_go_slack() -> None:
    """20 wraps at 9 kN, 1 kN left at the drum: from outside 1.0, 1.9, 3.5, 6.6, then the 9 kN hold (12.3).  Firm at
    5 kN up to wrap 17."""
    ledger = Ledger(Drum(DRUM), 0.0, 0.0)
    ledger.wind(np.array([0.0, 20 * WRAP]), np.array([9e3, 9e3]))
    ledger.clamp(1e3, 0.1)
    assert ledger.laid[16:20] == pytest.approx([6586.1, 3513.6, 1874.5, 1000.0], abs=0.1)
    assert ledger.firm(5e3) == pytest.approx(17 * WRAP)


def test_bed_of_a_heavy_lift_and_what_it_is_enough_for() -> None:
    """Full pull of 10 kN on four falls is 4.08 t: row 30 m carries it, row 40 m does not.  Head 40 m, hook 3 m, block
    1 m: 230 - 50 - 4*36 = 36 m, and 194 m out stretch 0.1347 m.  On five falls 5.1 t: row 20 m."""
    base = weight(1e3, 3.0, 1.99, 0.6, 1) | {"lifting_points_diagonal_m": 3.6}
    rig = lift(0, weights=[base], blocks=[BLOCK | {"falls": [4, 5]}], deflection_share=0.0).rig
    found = beds.Beds(rig, 50.0, 0.0, 8)
    at_twenty = 180 - 5 * (2100**0.5 - 4)
    assert found.needed.keys() <= {4, 5} and found.needed[4] == pytest.approx(36 + 10e3 * 194 / 14.4e6)
    assert at_twenty < 0 and 5 not in found.needed
    assert found.full_pull(30.0).falls is None
    enough = found.full_pull(40.0)
    assert (enough.falls, enough.hook_up_to) == (4, pytest.approx(3 + (40 - found.needed[4]) / 4))


def test_what_a_count_says() -> None:
    """8.5 wraps were expected, one wrap 1.319 m, four falls 0.2 m off each 0.8 m.  8 and 9 are near enough; 7 is 1.98 m
    short, under 2.3 m (1 %): shorter; 17 is 11.2 m longer, under 5 %; 18 is another rope, and 6 too."""
    rig = lift(4000).rig
    rows = {row.wraps: row for row in count.table(rig, 8.5 * WRAP, 10.0)}
    said = {wraps: row.do for wraps, row in rows.items()}
    assert list(rows) == list(range(4, 19))
    assert [said[wraps] for wraps in (4, 5, 6, 18)] == [count.ANOTHER] * 4
    assert (said[7], said[8], said[9], said[10], said[17]) == (
        count.SHORTER,
        count.AS_PLANNED,
        count.AS_PLANNED,
        count.LONGER,
        count.LONGER,
    )
    assert rows[7].stop_height == pytest.approx(10 + 1.5 * WRAP / 4) and rows[8].stop_height == 10.0


def move(name: str, radii: list[float], hooks: list[float], load: float, lengths: float = 50.0) -> dict[str, Any]:
    return {
        "move": name,
        "boom_length_m": [50.0, lengths],
        "radius_m": radii,
        "hook_height_m": hooks,
        "load_kg": load,
    }


SPEEDS: dict[str, Any] = {
    "luffing_rad_per_s": 0.01,
    "telescoping_m_per_s": 0.1,
    "line_speed_m_per_s": 1.0,
    "winding_speed_m_per_s": 0.5,
    "pay_out_speed_m_per_s": 0.8,
    "power_w": 1e6,
    "winch_efficiency": 0.8,
    "change_time_s": 15.0,
    "section_time_s": 60.0,
    "re_pick_time_s": 480.0,
    "travel_speed_m_per_s": 0.25,
}


def test_short_moves_take_their_time() -> None:
    """The head comes down from 40 to 30 m: seven moves of up to 1.5 m, 14 changes of 15 s; 0.2838 rad at 0.01 rad/s;
    40 m of rope at 0.5 m/s.  By power, 1,000 W at 80 % against 10 kN, 0.08 m/s."""
    for power, speed in ((1e6, 0.5), (1e3, 0.08)):
        rig = lift(40e3 / GRAVITY, **SPEEDS | {"power_w": power}).rig
        luffed = move("luff-out", [30.0, 40.0], [3.0, 3.0], 40e3 / GRAVITY)
        track = walk(rig, luffed)
        found = times.seconds(rig, luffed, track, True, None)
        assert found == pytest.approx(28.3794 + 40 / speed + 210, abs=1e-3)


def test_telescoping_counts_its_sections() -> None:
    """From 50 over 45 to 40 m at 0.1 m/s, two sections of a minute: 220 s.  Head 0.8 up: five metres let the load down
    5*(0.8 + 1/4) = 5.25 m, four moves each section, 16 changes; rope 4*8 + 10 m at 0.5 m/s."""
    charts = [CRANE["charts"][0] | {"boom_length_m": length, "telescoping_kg": 9e3} for length in (40.0, 45.0, 50.0)]
    rig = lift(4000, charts=charts, **SPEEDS).rig
    into = move("telescope-in", [30.0, 24.0], [3.0, 3.0], 4000.0, 40.0)
    found = times.seconds(rig, into, walk(rig, into), True, None)
    assert found == pytest.approx(220 + 16 * 15 + 42 / 0.5, abs=1e-3)


def test_the_crane_travels_to_the_load() -> None:
    """8 min of handling and 10 m at 0.25 m/s."""
    rig = lift(4000, **SPEEDS).rig
    pick = move("pick", [20.0, 20.0], [3.0, 3.5], 4000.0)
    assert times.seconds(rig, pick, walk(rig, pick), False, 30.0) == pytest.approx(480 + 40)


def test_the_load_may_grow_to_the_limit_that_holds_it_first() -> None:
    """At 30 m the chart lists 5 t, 90 % are 4.5 t; the lead line of 10 kN holds 4.079 t on four falls."""
    rig = lift(4000).rig
    track = walk(rig, move("luff-out", [25.0, 30.0], [3.5, 3.5], 4000.0))
    assert readings.most_on(rig, track, SLINGS[0], False) == pytest.approx(40e3 / GRAVITY)
    strong = lift(4000, rated_line_pull_n=20e3).rig
    assert readings.most_on(strong, track, SLINGS[0], False) == pytest.approx(4500)


def test_every_limit_is_noticed() -> None:
    """A move that leaves its chart, its band, its stop and its tension: each by its name."""
    one = lift(3000, working_radius_m=31.0, band_top_m=1.0, upper_stop_m=27.0, firm_tension_share=0.8)
    track = walk(one.rig, move("luff-out", [30.0, 40.0], [6.0, 6.0], 3000.0))
    rooms = limits.of_any_move(one, track) | limits.under_load(one, track, "luff-out", SLINGS[0])
    rooms |= limits.of_winding(one, track)
    assert limits.broken(rooms) == {
        "over-capacity",
        "working-area",
        "load above its band",
        "upper-stop",
        "firm-tension",
    }
    empty = walk(one.rig, move("pay-out", [20.0, 20.0], [4.0, 1.0], 0.0))
    assert limits.broken(limits.of_empty_block(one, empty, 20.0, 2.0)) == {"empty block paid out", "empty hook too low"}
