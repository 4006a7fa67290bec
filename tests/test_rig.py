"""What follows from a state of the crane worked by hand, and both sides of every limit of the work."""

from __future__ import annotations

from dataclasses import replace
from math import pi, radians, sqrt
from typing import Any

import pytest
from a_rig import FAR, LAST, MIDDLE, STEEP, TELESCOPIC, case, charts, hook, light_rope, rig, rig_of

from calc.data.look_up import with_machine
from calc.data.model import Chart
from calc.formulas import reeving
from calc.winding.rig import Crane, Rig, State, at_least

ROUND_LAYERS: dict[str, Any] = {"values__rise_ratio": 1.0}  # wraps of 0.50, 0.54, 0.58 m times pi

# -- rope on the drum by wraps, and what must stay --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wraps", "rope"),
    [(0, 1.5), (2, 1.5), (3, 1.5), (4, 2.0), (20, 10.0), (21, 10.54), (40, 20.8), (45, 20.8 + 5 * 0.58)],
)
def test_rope_with_wraps(wraps: int, rope: float) -> None:
    """Layer by layer, never less than the 3 dead wraps; in units of pi."""
    assert rig(**ROUND_LAYERS).crane.rope_with(wraps) == pytest.approx(rope * pi)


@pytest.mark.parametrize(("wraps", "rope"), [(0, 10.0), (3, 10.0), (5, 11.08), (23, 20.8), (25, 20.8 + 2 * 0.58)])
def test_rope_with_wraps_on_a_smooth_drum(wraps: int, rope: float) -> None:
    """All of layer 1 counts as the 3 dead wraps; the fourth is the first of layer 2."""
    crane = rig(machine__drum__surface="smooth", **ROUND_LAYERS).crane
    assert crane.rope_with(wraps) == pytest.approx(rope * pi)
    assert crane.first_unwound_rope == pytest.approx(10.8 * pi)


def test_rope_with_wraps_on_a_smooth_drum_of_one_layer() -> None:
    crane = Crane(case(machine__drum__surface="smooth", machine__rope__length=31.0))
    assert [crane.rope_with(wraps) for wraps in (0, 5, 25)] == pytest.approx([10 * pi] * 3)
    assert crane.first_unwound_rope == pytest.approx(10 * pi)


def test_more_wraps_than_the_drum_holds() -> None:
    """The rope needs 5 layers: the drum is full at 100 wraps."""
    crane = rig().crane
    assert crane.rope_with(100) == crane.rope_with(101) == pytest.approx(crane.layers[-1].rope_when_full)


@pytest.mark.parametrize(
    ("margin", "kept"),
    [
        (1.0, 4.0 * pi),  # 5 + 3 wraps of pi/2
        (3.9, 4.0 * pi),  # 3 wraps and 2*3.9 m are 12.51 m, 8 wraps 12.57 m
        (4.0, 1.5 * pi + 8.0),
        (5.0, 1.5 * pi + 10.0),
        (5.49, 1.5 * pi + 10.98),  # 35 % of layer 1 are 10.996 m
        (5.5, 4.0 * pi),  # more than may stay unreached: the count governs
    ],
)
def test_rope_kept(margin: float, kept: float) -> None:
    assert rig().rope_kept(margin) == pytest.approx(kept)


def test_rope_kept_follows_both_rules() -> None:
    assert rig(values__count_tolerance=0).rope_kept(1.0) == pytest.approx(2.5 * pi)
    assert rig(values__count_tolerance=0).rope_kept(2.0) == pytest.approx(1.5 * pi + 4.0)
    assert rig(values__stop_wraps=7).rope_kept(1.0) == pytest.approx(5.0 * pi)
    smooth = rig(machine__drum__surface="smooth", **ROUND_LAYERS)
    assert smooth.rope_kept(1.0) == pytest.approx((10 + 5 * 0.54) * pi)  # 8 wraps, 3 of them dead


# -- deflection: margin, loaded radius, rebound -----------------------------------------------------------------------


def test_stop_margin_at_the_least_radius() -> None:
    """4 t hang: at 14 m the row of 30 m with 10 t counts, 0.4*0.5 m of growth: 48 - sqrt(50^2 - 14.2^2) of rebound."""
    rebound = 48 - sqrt(2500 - 14.2**2)
    state = hook(FAR, 3.0, 3500.0)
    assert light_rope().stop_margin(state) == pytest.approx(0.5)
    assert light_rope(values__stop_margin=0.1).stop_margin(state) == pytest.approx(0.375 + rebound)  # 0.5 %
    assert light_rope(values__stop_margin=0.1).stop_margin(state.empty) == pytest.approx(0.375)
    assert light_rope(values__stop_margin=0.1, values__stop_margin_share=0.01).stop_margin(state.empty) == 0.75
    # what the chart does not carry there counts as full use
    most = light_rope(values__stop_margin=0.1).stop_margin(hook(FAR, 3.0, 39500.0))
    assert most == pytest.approx(0.375 + 48 - sqrt(2500 - 14.5**2))


@pytest.mark.parametrize(
    ("radius", "load", "loaded"),
    [
        (29.0, 3500.0, 29.2),  # 4 of 10 t, 0.5 m at full use
        (29.8, 3500.0, 30.0),
        (29.9, 3500.0, 30.3),  # beyond 30 m: 4 of 5 t
        (29.9, 0.0, 29.9),
        (FAR, 3500.0, 40.5),  # not carried there: as at full use
    ],
)
def test_loaded_radius(radius: float, load: float, loaded: float) -> None:
    assert light_rope().loaded_radius(hook(radius, 3.0, load)) == pytest.approx(loaded)


def test_unloaded_radius() -> None:
    """The radius without load at which 4 t stand on the row of 30 m, 10 t: 0.2 m inside it, or where it is."""
    one, at = light_rope(), hook(STEEP, 3.0, 3500.0)
    assert one.unloaded(at, MIDDLE, 10e3) == pytest.approx(29.8)
    assert one.unloaded(at, MIDDLE, 10e3) < 29.8
    assert one.unloaded(at.at_radius(29.9), MIDDLE, 10e3) == 29.9
    # the rope in the falls counts where the head then stands, 29.8 m: 4*(42.15 - 3 - 1) = 152.6 kg
    heavy = rig().unloaded(at, MIDDLE, 10e3)
    assert heavy == pytest.approx(30 - 0.5 * 0.41526, abs=1e-4)


def test_stop_height() -> None:
    """Head 42 - block 1 - (150 - 1.5*pi - 50 - 0.3*pi)/2 + margin; 4 m less rope are 2 m more."""
    one, state = rig(), hook(MIDDLE, 3.0)
    height = 41 - (100 - 1.8 * pi) / 2 + 0.5
    assert one.stop_height(state, 0.5) == pytest.approx(height)
    assert one.stop_height(state, 0.8) == pytest.approx(height + 0.3)
    assert one.stop_height(state, 0.5, 4.0) == pytest.approx(height + 2.0)


# -- tension ----------------------------------------------------------------------------------------------------------


def test_winding_tension_with_free_sheaves() -> None:
    """4 kN each fall less 19.6133 N/m on hook height, block and winch: 3 + 1 - 2 = 2 m; friction counts for nothing."""
    state = hook(FAR, 3.0, 8000 / 9.80665 - 500)
    assert rig().winding_tension(state) == pytest.approx(4000 - 2 * 19.6133)
    assert rig().free_lead_line(state) == pytest.approx(4000 + 28 * 19.6133)
    assert rig(values__sheave_efficiency=0.5).winding_tension(state) == pytest.approx(4000 - 2 * 19.6133)
    assert rig(values__sheave_efficiency_upper=0.5).winding_tension(state) == pytest.approx(
        (8000 / 1.5 + 28 * 19.6133) / 0.5 - 30 * 19.6133
    )
    assert rig().tension(state, reeving.HAULING) == pytest.approx((8000 / 1.98 + 28 * 19.6133) / 0.98 - 30 * 19.6133)


def test_mass_for_firm() -> None:
    """10 % of 50 kN, twice, with the rope that hangs 2 m more to the winch side."""
    assert rig().mass_for_firm(hook(FAR, 3.0)) == pytest.approx(2 * (5000 + 2 * 19.6133) / 9.80665)


# -- every limit of a state -------------------------------------------------------------------------------------------

AT_60_DEGREES = {"machine__boom__least_angle": radians(60.0)}


@pytest.mark.parametrize(
    ("changed", "state", "code"),
    [
        ({}, hook(STEEP, 10.0), None),
        ({}, hook(STEEP - 0.001, 10.0), "radius-not-listed"),
        ({}, hook(LAST, 5.0), None),
        ({}, hook(LAST + 0.001, 5.0), "radius-not-listed"),
        (AT_60_DEGREES, hook(25.0, 10.0), None),
        (AT_60_DEGREES, hook(25.001, 10.0), "boom-angle"),
        ({"machine__boom__clear_radius": 20.0}, hook(20.0, 10.0, 1000.0), None),
        ({"machine__boom__clear_radius": 20.0}, hook(19.999, 10.0, 1000.0), "carrier-not-cleared"),
        ({"machine__boom__clear_radius": 20.0}, hook(19.0, 10.0), None),  # an empty hook need not clear it
        # 1.5 t of 10 t: 29 + 0.075 m and half of 3 m
        ({"yard__working_radius": 30.5751}, hook(29.0, 10.0, 1000.0), None),
        ({"yard__working_radius": 30.5749}, hook(29.0, 10.0, 1000.0), "working-area"),
        ({"yard__working_radius": 29.0}, hook(29.0, 10.0), None),
        ({"yard__working_radius": 28.999}, hook(29.0, 10.0), "working-area"),
        ({}, hook(MIDDLE, 39.0), None),  # head 42, block 1, upper stop 2
        ({}, hook(MIDDLE, 39.001), "upper-stop"),
        ({}, hook(29.0, 39.13, 1000.0, 3.0, 0.6), None),  # head 42.731; the legs may hang straight, 0.6 m higher
        ({}, hook(29.0, 39.132, 1000.0, 3.0, 0.6), "upper-stop"),
        # 150 - 50 - 0.3*pi - 2*(49 - h) = 2.5*pi
        ({}, hook(STEEP, 1.4 * pi - 1.0), None),
        ({}, hook(STEEP, 1.4 * pi - 1.001), "stop-wraps"),
        ({}, hook(STEEP, 10.0, 40000.0), "line-pull"),
        ({}, hook(STEEP, 10.0, 40001.0), "block-capacity"),
        # 50 kN behind the head sheave are 1.98*0.98*50,000 = 97,020 N on two falls: 9,893.3 kg
        ({"chart__rows": ((14.0, 99e3), (30.0, 99e3))}, hook(STEEP, 10.0, 9393.2), None),
        ({"chart__rows": ((14.0, 99e3), (30.0, 99e3))}, hook(STEEP, 10.0, 9393.4), "line-pull"),
        # 90 % of 5 t at 40 m: 39.55 m and 0.45 m of growth
        ({}, hook(39.55, 3.0, 4000.0), None),
        ({}, hook(39.55, 3.0, 4000.1), "over-capacity"),
        ({}, hook(39.5501, 3.0, 4000.0), "over-capacity"),
        ({"values__largest_capacity_use": 1.0}, hook(39.5, 3.0, 4500.0), None),
        ({"values__largest_capacity_use": 1.0}, hook(39.5, 3.0, 4500.1), "over-capacity"),
    ],
)
def test_limits(changed: dict[str, Any], state: State, code: str | None) -> None:
    assert light_rope(**changed).refusal(state) == code


def test_line_pull_falls_above_the_rated_layer() -> None:
    """Rated on layer 1, 0.500 m; with 57 m on the drum the rope lies on layer 2, 0.536 m."""
    one = rig(machine__winch__rated_layer=1)
    assert one.pull_limit(hook(STEEP, 10.0)) == 50e3
    assert one.pull_limit(hook(MIDDLE, 20.0)) == pytest.approx(50e3 * 0.500 / 0.536)
    assert rig().pull_limit(hook(MIDDLE, 20.0)) == 50e3


def test_a_limit_met_exactly_is_met() -> None:
    assert at_least(0.1 + 0.2, 0.3) and at_least(0.3, 0.1 + 0.2)
    assert at_least(1e6 - 1e-4, 1e6) and not at_least(1e6 - 2e-3, 1e6)
    assert at_least(-5e-10, 0.0) and not at_least(-2e-9, 0.0)


# -- limits on the way ------------------------------------------------------------------------------------------------


def test_on_the_way_out() -> None:
    one, low = light_rope(), hook(STEEP, 3.5, 4000.0)
    assert one.refusal_between(low, low.at_radius(39.55)) is None
    assert one.refusal_between(low, low.at_radius(39.5501)) == "over-capacity"
    assert one.refusal_between(low.at_radius(39.5501), low) == "over-capacity"
    assert one.most_suspended(low, low.at_radius(39.55)) == pytest.approx(4500.0)
    assert one.most_suspended(low, low.at_radius(39.9)) == 0.0  # carried nowhere there


def test_on_the_way_out_the_rope_in_the_falls_counts_where_a_row_begins() -> None:
    """Just before 30 m the head is higher than at the end: more rope hangs there than at 39 m."""
    one = rig(chart__rows=((14.0, 20e3), (30.0, 10e3), (40.0, 5e3)))
    low = hook(STEEP, 3.5, 3500.0)
    at_row = 30 - 0.5 * 0.41517  # 4,151.7 kg of 10 t
    gross = 4000 + 4 * (2 + sqrt(2500 - at_row**2) - 4.5)
    reading = one.worst_reading(low, low.at_radius(39.0))
    assert reading is not None
    assert (reading.capacity, reading.use) == (5e3, pytest.approx(gross / 5e3, rel=1e-5))
    # and so much less may hang there
    assert one.most_suspended(low, low.at_radius(39.0)) == pytest.approx(4500 - (gross - 4000), rel=1e-5)


def test_largest_gross() -> None:
    """90 % of 5 t; 40 m less the radius for the growth of 0.45 m that goes with it, else the next row."""
    one = light_rope()
    assert one.largest_gross(hook(39.55, 3.0)) == pytest.approx(4500.0)
    assert one.largest_gross(hook(39.73, 3.0)) == pytest.approx(2700.0)
    assert one.largest_gross(hook(39.82, 3.0)) == pytest.approx(2250.0)


def telescopic(load_short: float | None, load_long: float | None, carried: float = 15e3) -> Rig:
    """Booms of 25 and 50 m; with the long one 30 m out so much is carried; the boom does not bend."""
    short = Chart(25.0, "25m", load_short, ((7.0, 40e3), (24.0, 20e3)))
    long = Chart(50.0, "50m", load_long, ((14.0, carried), (30.0, carried), (48.0, 6e3)))
    return rig_of(
        charts(case(TELESCOPIC, machine__rope__mass_per_length=0.0, values__deflection_share=0.0), short, long)
    )


@pytest.mark.parametrize(
    ("listed", "carried", "load", "code"),
    [
        ((6e3, 4e3), 15e3, 3100.0, None),  # 90 % of the smaller one
        ((6e3, 4e3), 15e3, 3100.1, "over-telescoping-load"),
        ((4e3, 6e3), 15e3, 3100.1, "over-telescoping-load"),
        ((99e3, 99e3), 15e3, 13000.0, None),  # 90 % of the chart, apart from the load listed for telescoping
        ((99e3, 99e3), 15e3, 13000.1, "over-capacity"),
        ((99e3, 99e3), 30e3, 17500.0, None),  # the short boom's last row
        ((99e3, 99e3), 30e3, 17500.1, "over-capacity"),
        ((6e3, None), 15e3, 100.0, "telescoping-not-listed"),
        ((None, 6e3), 15e3, 100.0, "telescoping-not-listed"),
    ],
)
def test_while_telescoping(
    listed: tuple[float | None, float | None], carried: float, load: float, code: str | None
) -> None:
    one = telescopic(*listed, carried)
    long = State(50.0, 28.0, 3.5, 2, load)
    short = State(25.0, 14.0, 3.5, 2, load)
    assert one.refusal_between(long, short) == code


def test_the_share_of_telescoping_is_a_rule_of_its_own() -> None:
    one = telescopic(4e3, 6e3)
    long, short = State(50.0, 28.0, 3.5, 2, 1000.0), State(25.0, 14.0, 3.5, 2, 1000.0)
    assert one.most_suspended(long, short) == pytest.approx(3600.0)
    full = replace(one.crane.case, values=replace(one.crane.case.values, largest_telescoping_use=1.0))
    assert rig_of(full).most_suspended(long, short) == pytest.approx(4000.0)
    assert telescopic(99e3, 99e3).most_suspended(long, short) == pytest.approx(13500.0)
    assert telescopic(None, 99e3).most_suspended(long, short) == 0.0


@pytest.mark.parametrize(
    ("radius", "short_row", "outermost"),
    [
        (20.0, 20e3, 20.2),  # both charts carry ten times the load: 2 t of 20 t bend 50 m of boom by 0.2 m
        (20.0, 4e3, 21.0),  # half of the short boom's row bends it by 1 m as soon as the long boom is left
        (23.5, 4e3, 24.0),  # bent so, the load hangs outside the short boom's rows; from 23 m on inside
        (28.0, 4e3, 28.2),  # the long boom alone, before the short one lists the radius
    ],
)
def test_the_outermost_radius_while_telescoping(radius: float, short_row: float, outermost: float) -> None:
    """A weak row of the short boom bends the boom on the way more than at either end; half the load lies beyond."""
    short = Chart(25.0, "25m", 99e3, ((7.0, 40e3), (24.0, short_row)))
    long = Chart(50.0, "50m", 99e3, ((14.0, 20e3), (30.0, 20e3), (48.0, 6e3)))
    found = charts(case(TELESCOPIC, machine__rope__mass_per_length=0.0, values__deflection_share=0.04), short, long)
    before, after = State(50.0, radius, 3.5, 2, 1500.0), State(25.0, radius / 2, 3.5, 2, 1500.0)
    assert rig_of(found).outermost(before, after) == pytest.approx(outermost + 1.5)

    def refusal(room: float) -> str | None:
        return rig_of(replace(found, yard=replace(found.yard, working_radius=room))).refusal_between(before, after)

    assert refusal(outermost + 1.5 + 1e-6) is None
    assert refusal(outermost + 1.5 - 1e-6) == "working-area"


def test_the_outermost_radius_while_luffing() -> None:
    """4.5 t at 40 m on 5 t: 0.45 m."""
    one = light_rope()
    assert one.outermost(hook(MIDDLE, 3.5, 4000.0), hook(39.5, 3.5, 4000.0)) == pytest.approx(39.5 + 0.45 + 1.5)


# -- the next heavy lift, and other cranes ----------------------------------------------------------------------------


def test_a_heavy_lift_from_the_ground() -> None:
    """At the largest radius that lists the full line pull; 10.2 t on two falls nowhere but at 14 m."""
    crane = rig(chart__rows=((14.0, 20e3), (30.0, 10e3), (40.0, 5e3))).crane
    assert crane.from_the_ground(2)[1] == hook(STEEP, 3.0)
    assert crane.from_the_ground(1)[1] == State(50.0, MIDDLE, 3.0, 1)
    weak = rig(chart__rows=((14.0, 1e3), (30.0, 1e3))).crane
    assert weak.from_the_ground(2)[1].radius == STEEP  # nowhere: the first row


def test_the_usual_hook_is_the_highest_a_load_asks_for() -> None:
    assert rig().crane.usual_hook == pytest.approx(3.0)
    yard = case().yard
    flat = case(yard=replace(yard, slings=replace(yard.slings, length=2.0)))
    assert Crane(flat).usual_hook == pytest.approx(1.2 + 2.0)  # no load can be hung: height of a load and slings


def test_beds_the_hook_cannot_reach_are_left_out() -> None:
    """Two falls at 14 m: 150 - 50 - 0.3*pi - 2*46 m, under 5 wraps; at 30 m 16 m more."""
    rows: dict[str, Any] = {"chart__rows": ((14.0, 20e3), (30.0, 6e3)), "values__rope_modulus": 1e20}
    assert rig(**rows).crane.beds == ((1, pytest.approx(150 - 50 - 38)),)
    carried = {**rows, "chart__rows": ((14.0, 20e3), (30.0, 11e3))}
    assert rig(**carried).crane.beds[1] == (2, pytest.approx(150 - 50 - 0.3 * pi - 76))


def test_stretch() -> None:
    """90,000 N/mm2 on 0.4*20^2 = 160 mm2: 14.4 MN; a slack rope stretches nothing."""
    assert rig().crane.stretch(14400.0, 100.0) == pytest.approx(0.1)
    assert rig().crane.stretch(-5.0, 100.0) == 0.0


def test_a_winch_rated_at_a_layer_the_shortened_rope_lacks() -> None:
    """60 m make two layers: the pull of layer 5 is then that of layer 2."""
    short = replace(case().machine, rope=replace(case().machine.rope, length=60.0))
    assert with_machine(case(), short).machine.winch.rated_layer == 2
    assert Crane(with_machine(case(), short)).line_pulls == (50e3, 50e3)
    assert with_machine(case(), case().machine).machine.winch.rated_layer == 5
