"""The moves of a plan on the crane worked by hand: heads at 50, 42, 32 and 16 m at radii of 14, 30, 40 and 48 m."""

from __future__ import annotations

from dataclasses import astuple
from itertools import pairwise
from math import pi, sqrt
from types import SimpleNamespace
from typing import Any

import pytest
from a_rig import (
    FAR,
    LAST,
    MIDDLE,
    STEEP,
    TELESCOPIC,
    hook,
    light_rope,
    load_of,
    move,
    rig,
    slings_of,
)

from calc.winding import moves
from calc.winding.makeup import Slings
from calc.winding.rig import Refusal, State

RIG = rig()
LOAD, SHORT, LONG = load_of(RIG), slings_of(RIG), slings_of(RIG, 1)
WRAPS_8 = 4 * pi  # 8 wraps of pi/2: stop wraps and count tolerance


def radius(head: float) -> float:
    return sqrt(2500 - (head - 2) ** 2)


def landed(at: float, hook_height: float, load: float = 1100.0) -> State:
    return hook(at, hook_height, load, hook_height, 0.6)


def left(end: State, overlap: float) -> moves.Left:
    return moves.Left(*moves.slack_needed(RIG, end), overlap)


# -- the start --------------------------------------------------------------------------------------------------------


def test_hook_over_the_load() -> None:
    """Lifting points 0.6 m and hanging height 2.4 m; extensions hang in line; legs straight down reach 0.6 m higher."""
    assert moves.pick_state(RIG, LOAD, SHORT, 50.0, MIDDLE) == pytest.approx(hook(MIDDLE, 3.0, 1100.0, 3.0, 0.6))
    assert moves.pick_state(RIG, LOAD, LONG, 50.0, MIDDLE) == pytest.approx(hook(MIDDLE, 9.0, 1140.0, 9.0, 0.6))


def test_just_clear_and_back() -> None:
    state = landed(FAR, 3.0)
    assert moves.lifted(RIG, state) == state.at_height(3.5)
    assert moves.landed(RIG, state.at_height(3.5)) == state


def test_hooking_on_needs_slack() -> None:
    assert moves.counted(RIG, landed(FAR, 3.0)) == hook(FAR, 2.8)


@pytest.mark.parametrize("rope", [150.0, 155.0, 156.0, 160.0])
def test_start(rope: float) -> None:
    """The head so high that 8 wraps stay when the hook hangs 0.2 m lower; 155.9 m of rope allow the least radius."""
    one = rig(machine__rope__length=rope)
    head = min(50.0, 2.8 + 1 + (rope - WRAPS_8 - 50 - 0.3 * pi) / 2)
    assert moves.start_state(one, LOAD, SHORT) == pytest.approx(landed(radius(head), 3.0))
    assert (head == 50.0) == (rope > 155.9)


def test_start_with_longer_slings_is_steeper() -> None:
    """6 m more: the head may stand as high as it can."""
    assert moves.start_state(RIG, LOAD, LONG) == pytest.approx(landed(STEEP, 9.0, 1140.0))


def test_start_keeps_the_margin_over_the_dead_wraps() -> None:
    """A margin of 5 m each fall is more than 8 wraps: 3 wraps and 10 m."""
    one = rig(values__stop_margin=5.0)
    head = 3.8 + (150 - 1.5 * pi - 10 - 50 - 0.3 * pi) / 2
    assert moves.start_state(one, LOAD, SHORT).radius == pytest.approx(radius(head))


def test_no_start_beyond_the_last_listed_radius() -> None:
    """87.9 m of rope put the head at 16 m, the last row."""
    last = WRAPS_8 + 50 + 0.3 * pi + 2 * (16 - 3.8)
    start = moves.start_state(rig(machine__rope__length=last + 0.01), LOAD, SHORT)
    assert start.radius == pytest.approx(LAST, abs=0.01)
    for rope in (last - 0.01, last - 24.0, last - 26.0):  # further out, down to the pivot, none for a fall
        with pytest.raises(Refusal, match=r"^below-stop-height$"):
            moves.start_state(rig(machine__rope__length=rope), LOAD, SHORT)


# -- hanging the slings -----------------------------------------------------------------------------------------------


def test_slings_are_hung_where_the_hook_is_in_reach() -> None:
    """From 26.2 m down to 2 m with the hoist held: the head 24 m lower, same drum."""
    start = landed(MIDDLE, 26.2)
    found = moves.hanging(RIG, start)
    assert found == pytest.approx(hook(radius(42 - 24), 2.0))
    assert RIG.rope_on_drum(found) == pytest.approx(RIG.rope_on_drum(hook(MIDDLE, 26.0)))


def test_a_hook_in_reach_stays_where_it_is() -> None:
    assert moves.hanging(RIG, landed(MIDDLE, 2.2)) == hook(MIDDLE, 2.0)
    assert moves.hanging(RIG, landed(MIDDLE, 2.0)) == hook(MIDDLE, 1.8)


@pytest.mark.parametrize(
    ("changed", "hook_height", "reached"),
    [
        ({}, 28.2, True),  # 26 m lower: the last row
        ({}, 28.21, False),
        ({}, 42.3, False),  # the boom would lie level
        ({"values__reach_height": 4.0}, 30.2, True),
        ({"yard__working_radius": FAR}, 12.2, True),  # 10 m lower: head at 32 m, without half of the load
        ({"yard__working_radius": FAR}, 12.21, False),
        ({"machine__boom__least_angle": pi / 4}, 2.2 + 40 - 25 * sqrt(2), True),  # head at 2 + 25*sqrt(2)
        ({"machine__boom__least_angle": pi / 4}, 2.21 + 40 - 25 * sqrt(2), False),
    ],
)
def test_out_of_reach(changed: dict[str, Any], hook_height: float, reached: bool) -> None:
    one = rig(**changed)
    if reached:
        moves.hanging(one, landed(MIDDLE, hook_height))
    else:
        with pytest.raises(Refusal, match=r"^slings-out-of-reach$"):
            moves.hanging(one, landed(MIDDLE, hook_height))


def test_furthest_empty() -> None:
    assert moves.furthest_empty(RIG.crane, 50.0) == LAST
    assert moves.furthest_empty(rig(yard__working_radius=44.0).crane, 50.0) == 44.0
    assert moves.furthest_empty(rig(machine__boom__least_angle=pi / 3).crane, 50.0) == pytest.approx(25.0)


@pytest.mark.parametrize(
    ("last", "furthest"),
    [
        (560.0, LAST),  # 90 % are 504 kg: block of 500 kg, and no rope to speak of
        (550.0, FAR),  # 495 kg
    ],
)
def test_the_chart_ends_the_way_of_the_empty_block(last: float, furthest: float) -> None:
    one = light_rope(chart__rows=((STEEP, 20e3), (MIDDLE, 10e3), (FAR, 5e3), (LAST, last)))
    assert moves.furthest_carried(one, 50.0, 2.0) == furthest


def test_the_rope_in_the_falls_hangs_on_the_empty_block_too() -> None:
    """At 48 m, head 16 m, hook at 2 m: 13 m of two falls of 2 kg/m, 552 kg with the block."""
    for last, furthest in ((552.1 / 0.9, LAST), (551.9 / 0.9, FAR)):
        one = rig(chart__rows=((STEEP, 20e3), (MIDDLE, 10e3), (FAR, 5e3), (LAST, last)))
        assert moves.furthest_carried(one, 50.0, 2.0) == furthest
    none = rig(chart__rows=((STEEP, 100.0), (MIDDLE, 100.0)))
    assert moves.furthest_carried(none, 50.0, 2.0) == STEEP


def test_first_moves() -> None:
    """From the upper stop down to the slings, over the load, then the slack: the only joint where rope jumps."""
    start = landed(MIDDLE, 12.2)
    hung = moves.hanging(RIG, start)
    assert moves.first_moves(RIG, start, hung) == (
        move("pay-out", hung.at_height(32 - 1 - 2), hung),
        move("luff-in", hung, hook(MIDDLE, 12.0)),
        move("pick", start, start.at_height(12.7)),
    )
    low = landed(MIDDLE, 2.0)
    assert moves.first_moves(RIG, low, hook(MIDDLE, 1.8)) == (
        move("pay-out", hook(MIDDLE, 39.0), hook(MIDDLE, 1.8)),
        move("pick", low, low.at_height(2.5)),
    )


# -- the next pass ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("end", "at", "lowered"),
    [
        (landed(FAR, 3.0), radius(31.2), 0.2),  # 2.8 m less 2 m: the head 0.8 m lower
        (landed(FAR, 2.2), FAR, 0.2),
        (landed(FAR, 2.1), FAR, 0.2),
        (landed(LAST, 3.0), LAST, 1.0),  # no further out: lowered all the way
        (landed(radius(16.5), 3.0), LAST, 0.5),  # half a metre by the boom
        (landed(radius(16.5), 30.0), LAST, 27.5),  # the boom would go below level
    ],
)
def test_how_far_the_hook_is_lowered_for_the_next_slings(end: State, at: float, lowered: float) -> None:
    assert moves.slack_needed(RIG, end) == pytest.approx((at, lowered))


def test_where_the_chart_carries_the_empty_block_no_further_the_rest_is_lowered() -> None:
    """14 m down by the boom would be 48 m, with a chart of 495 kg there: 10 m down to 40 m, 4 m by the hoist."""
    one = light_rope(chart__rows=((STEEP, 20e3), (MIDDLE, 10e3), (FAR, 5e3), (LAST, 550.0)))
    assert moves.slack_needed(one, landed(MIDDLE, 16.2)) == pytest.approx((FAR, 4.2))
    # landed beyond that, it stays there
    assert moves.slack_needed(one, landed(radius(30.0), 3.0)) == pytest.approx((radius(30.0), 1.0))


def test_moves_of_the_next_pass() -> None:
    """Head 32 m and 6 m of slings: over the load at 38.2 m, the slack in it; clear and 8 m of overlap at 42.5 m."""
    end = landed(FAR, 3.0)
    found, hung = moves.later_moves(RIG, LOAD, LONG, end, 6.0, left(end, 8.0))
    low = hook(radius(31.2), 2.0)
    pick = landed(radius(38.2), 9.0, 1140.0)
    clear = pick.at_height(9.5)
    assert [one.name for one in found] == ["pay-out", "luff-out", "luff-in", "pick", "luff-in"]
    for got, (before, after) in zip(
        found,
        [
            (end.empty, hook(FAR, 2.8)),
            (hook(FAR, 2.8), low),
            (low, pick.empty),
            (pick, clear),
            (clear, clear.at_radius(radius(42.5))),
        ],
        strict=True,
    ):
        assert (*got.before, *got.after) == pytest.approx((*before, *after))
    assert astuple(hung) == (pytest.approx(low.radius), pytest.approx(2.0), pytest.approx(0.2), 6.0)
    held = [RIG.rope_on_drum(state) for one in found for state in (one.before, one.after)]
    there = RIG.rope_on_drum(end)
    assert held == pytest.approx([there, *[there - 0.4] * 6, there + 0.6, there + 0.6, there - 8.0])


def test_where_the_boom_goes_no_further_the_hook_is_lowered_too() -> None:
    """At the last row: 1 m lower; the head as much higher over the load."""
    found, hung = moves.later_moves(RIG, LOAD, LONG, landed(LAST, 3.0), 6.0, left(landed(LAST, 3.0), 8.0))
    assert [one.name for one in found] == ["pay-out", "pay-out", "luff-in", "pick", "luff-in"]
    assert found[1].before == pytest.approx(hook(LAST, 2.8)) and found[1].after == pytest.approx(hook(LAST, 2.0))
    assert found[2].after == pytest.approx(hook(radius(16 + 7), 9.0))
    assert astuple(hung) == (LAST, pytest.approx(2.0), pytest.approx(1.0), 6.0)


@pytest.mark.parametrize(
    ("extension", "overlap", "room"),
    [(17.8, 0.1, False), (17.4, 0.1, True), (17.4, 0.3, False), (7.0, 20.9, True), (7.0, 21.1, False)],
)
def test_room_to_luff_in(extension: float, overlap: float, room: bool) -> None:
    """18 m above a head at 32 m: the extension with 0.2 m of slack, and with 0.5 m clear and half the overlap."""
    slings, end = Slings(3.0 + extension, 100.0, 9e3, ()), landed(FAR, 3.0)
    if room:
        moves.later_moves(RIG, LOAD, slings, end, extension, left(end, overlap))
    else:
        with pytest.raises(Refusal, match=r"^no-room-to-luff$"):
            moves.later_moves(RIG, LOAD, slings, end, extension, left(end, overlap))


def test_line_of_a_second_load() -> None:
    """3.72 m over the diagonal of 3 by 2.2 m and 1.28 m of room: 5 m at 10 m are 30 degrees."""
    one = rig(values__swing_room=5 - sqrt(3**2 + 2.2**2))
    assert moves.second_line(one, LOAD, landed(10.0, 3.0), landed(20.0, 3.0)) == pytest.approx(pi / 6)
    assert moves.second_line(one, LOAD, landed(20.0, 3.0), landed(10.0, 3.0)) == pytest.approx(pi / 6)
    assert moves.second_line(one, LOAD, landed(5.0, 3.0), landed(9.0, 3.0)) == pytest.approx(pi / 2, abs=1e-4)
    with pytest.raises(Refusal, match=r"^no-room-to-luff$"):
        moves.second_line(one, LOAD, landed(4.9, 3.0), landed(9.0, 3.0))


# -- limits of the moves ----------------------------------------------------------------------------------------------


def test_check_asks_for_every_state_once_and_for_every_loaded_way() -> None:
    high, low = hook(20.0, 9.0), hook(20.0, 3.0)
    up = landed(20.0, 3.0).at_height(3.5)
    done = (
        move("pay-out", high, low),
        move("pick", landed(20.0, 3.0), up),
        move("luff-out", up, up.at_radius(30.0)),
        move("land", up.at_radius(30.0), landed(30.0, 3.0)),
        move("luff-out", hook(30.0, 2.8), hook(31.0, 2.0)),
    )
    asked: list[State] = []
    ways: list[tuple[State, State]] = []
    limits: dict[Any, str] = {}

    def refusal(state: State) -> str | None:
        asked.append(state)
        return limits.get(state)

    def between(before: State, after: State) -> str | None:
        ways.append((before, after))
        return limits.get((before, after))

    one: Any = SimpleNamespace(refusal=refusal, refusal_between=between)
    moves.check(one, done)
    assert asked == [
        high,
        low,
        landed(20.0, 3.0),
        up,
        up.at_radius(30.0),
        landed(30.0, 3.0),
        *((done[4].before, done[4].after)),
    ]
    assert ways == [(one.before, one.after) for one in done[1:4]]
    limits[(done[2].before, done[2].after)] = "over-capacity"
    with pytest.raises(Refusal, match=r"^over-capacity$"):
        moves.check(one, done)
    limits[landed(20.0, 3.0)] = "line-pull"
    with pytest.raises(Refusal, match=r"^line-pull$"):
        moves.check(one, done)


# -- how far out ------------------------------------------------------------------------------------------------------

AT_60_DEGREES = {"machine__boom__least_angle": pi / 3}


@pytest.mark.parametrize(
    ("changed", "load", "out"),
    [
        ({}, 1500.0, 48 - 0.5 * 0.8),  # 2 of 2.5 t
        ({}, 1750.0, 48 - 0.5 * 0.9),
        ({}, 1751.0, 40 - 0.5 * 2251 / 5000),  # more than 90 % of 2.5 t
        ({}, 4000.0, 40 - 0.5 * 0.9),
        ({}, 4001.0, 30 - 0.5 * 0.4501),
        (AT_60_DEGREES, 1500.0, 25.0),
        ({"yard__working_radius": 41.0}, 1500.0, 39.5 - 0.5 * 0.4),  # less half of the load of 3 m; row of 5 t
        ({"machine__reeving__upper_stop": 20.0}, 1500.0, radius(3.5 + 0.6 + 1 + 20)),
    ],
)
def test_furthest(changed: dict[str, Any], load: float, out: float) -> None:
    """The loaded radius stands on a listed one within 90 % of its row, or another limit ends it."""
    one = light_rope(**changed)
    low = landed(STEEP, 3.0, load).at_height(3.5)
    found = moves.furthest(one, low, 0.9)
    assert found == low.at_radius(found.radius)
    assert found.radius == pytest.approx(out, abs=1e-6)


def test_furthest_with_the_whole_chart() -> None:
    low = landed(STEEP, 3.0, 4001.0).at_height(3.5)
    assert moves.furthest(light_rope(), low, 1.0).radius == pytest.approx(40 - 0.5 * 4501 / 5000, abs=1e-6)


def test_furthest_stays_where_it_goes_no_further() -> None:
    out = landed(39.7, 3.0, 4000.0).at_height(3.5)
    assert moves.furthest(light_rope(), out, 0.9) == out
    with pytest.raises(Refusal, match=r"^no-room-to-luff$"):
        moves.luff_out_and_land(light_rope(), moves.furthest(light_rope(), landed(STEEP, 3.0, 4000.0), 0.9))
    with pytest.raises(Refusal, match=r"^over-capacity$"):
        moves.luff_out_and_land(light_rope(), out)


def test_out_and_down() -> None:
    low = landed(STEEP, 3.0, 4000.0).at_height(3.5)
    out, land = moves.luff_out_and_land(light_rope(), low)
    assert (out.name, out.before, land.name, land.before) == ("luff-out", low, "land", out.after)
    assert out.after.radius == pytest.approx(39.55) and land.after == out.after.at_height(3.0)


# -- telescoping ------------------------------------------------------------------------------------------------------


def telescoped(clear: float, start: float) -> list[tuple[str, float, float, float]]:
    """Move, boom length after it, radius before and after, from 50 to 25 m of boom; the hook must clear the carrier."""
    one = light_rope(TELESCOPIC, machine__boom__clear_radius=clear)
    found = moves.telescoping_moves(one, landed(start, 3.0).at_height(3.5), 25.0)
    assert all(a.after == b.before for a, b in pairwise(found))
    return [(m.name, m.after.boom_length, m.before.radius, m.after.radius) for m in found]


def test_telescoping_moves() -> None:
    """1.6 t: 24 m on the short boom, 1 m of growth at full use of 8 t; 12 m clear on it are 24 m on the long one."""
    end = pytest.approx(24 - 0.2)
    assert telescoped(7.0, 20.0) == [
        ("telescope-in", 25.0, 20.0, pytest.approx(10.0)),
        ("luff-out", 25.0, pytest.approx(10.0), end),
        ("land", 25.0, end, end),
    ]
    assert telescoped(12.0, 20.0) == [
        ("luff-out", 50.0, 20.0, pytest.approx(24.0)),
        ("telescope-in", 25.0, pytest.approx(24.0), pytest.approx(12.0)),
        ("luff-out", 25.0, pytest.approx(12.0), end),
        ("land", 25.0, end, end),
    ]
    assert [step[0] for step in telescoped(12.0, 24.0)] == ["telescope-in", "luff-out", "land"]


def test_a_carrier_that_cannot_be_cleared() -> None:
    with pytest.raises(Refusal, match=r"^carrier-not-cleared$"):
        telescoped(25.0, 20.0)


def test_what_winds() -> None:
    """Under load: lifting, luffing out, telescoping in; nothing that is empty, pays out or lands."""
    empty, held = hook(20.0, 3.0), landed(20.0, 3.0)
    assert [
        name
        for name in ("pick", "luff-out", "telescope-in", "luff-in", "land", "pay-out")
        if move(name, held, held).winds
    ] == ["pick", "luff-out", "telescope-in"]
    assert not move("luff-out", empty, empty).winds
