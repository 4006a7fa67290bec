"""The planner function by function, on a rig whose rope and tensions are given: every value worked out by hand.

That whole plans are right is checked in test_plans.py and tests/independent; here each step stands alone.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp, pi
from types import SimpleNamespace
from typing import Any

import pytest
from a_rig import END, LOAD, LOADED, at, moves, slings, straight

from calc import ROUNDING, drum, reeving, winding
from calc.rig import State
from calc.winding import Move


def rig(**tensions: float) -> Any:
    """A rig that keeps 100 N firm; `t120=90` is the tension at a radius of 120."""
    values = SimpleNamespace(firm_tension_share=0.1)
    machine = SimpleNamespace(winch=SimpleNamespace(rated_line_pull=1000.0))

    def tension(state: State, direction: int) -> float:
        assert direction == reeving.HAULING
        return tensions.get(f"t{state.radius:g}", 150.0)

    return SimpleNamespace(
        crane=SimpleNamespace(case=SimpleNamespace(values=values, machine=machine)),
        rope_on_drum=lambda state: state.radius,
        tension=tension,
    )


OUT = moves(("luff-out", 100, 120))


@pytest.mark.parametrize(
    ("tensions", "done", "firm_before", "firm_to"),
    [
        ({}, OUT, 100, 120),
        ({"t100": 100, "t120": 100}, OUT, 100, 120),  # firm at the limit itself
        ({"t100": 100 * (1 - ROUNDING), "t120": 120}, OUT, 100, 120),
        ({"t100": 99.99, "t120": 120}, OUT, 100, 100),  # loose from its beginning
        ({"t100": 120, "t120": 80}, OUT, 100, 110),  # half way the tension falls under the limit
        ({"t100": 130, "t120": 90}, OUT, 100, 115),
        ({}, moves(("pick", 100, 101), ("luff-out", 101, 120)), 100, 120),
        ({}, moves(("telescope-in", 100, 130)), 100, 130),
        ({}, moves(("luff-out", 105, 120)), 101, 101),  # loose rope between: what follows lies on it
        ({}, moves(("luff-out", 100, 120)), 90, 120),  # at the beginning of firm rope, wherever it ended
        ({}, OUT + moves(("land", 120, 115)), 100, 115),  # paid out again
        ({}, OUT + moves(("land", 120, 95)), 100, 100),
        ({}, OUT + moves(("luff-in", 120, 110), ("luff-out", 110, 140)), 100, 140),
        ({"t100": 120, "t110": 80}, moves(("luff-out", 100, 110)), 120, 105),  # laid anew, and loose from 105
        ({"t90": 80}, moves(("luff-out", 90, 95)), 100, 100),
    ],
)
def test_firm_end(tensions: dict[str, float], done: tuple[Move, ...], firm_before: float, firm_to: float) -> None:
    assert winding.firm_end(rig(**tensions), done, 100.0, firm_before) == pytest.approx(firm_to, rel=1e-12)


# -- what slips when the load is set down -----------------------------------------------------------------------------


def set_down(laid: float, empty: float, drag: float = 10.0, overlap: int = 1, slack: float = 0.1) -> float:
    """Rope that slips on four falls where a wrap of the second layer is 2 m long, mu so that e^N is the ratio."""
    values = SimpleNamespace(
        drum_drag=drag, sling_slack=slack, rope_friction=1 / (2 * pi), overlap_wraps=overlap
    )

    def tension(state: State, direction: int) -> float:
        assert direction == (reeving.HAULING if state.load else reeving.STANDING)
        return laid if state.load else empty

    one: Any = SimpleNamespace(
        falls=4,
        tension=tension,
        rebound=lambda state: 0.1,
        position=lambda state: (2, 5.0),
        rope_on_drum=lambda state: 100.0,
        crane=SimpleNamespace(
            case=SimpleNamespace(values=values),
            layers=(SimpleNamespace(wrap_length=1.0), SimpleNamespace(wrap_length=2.0)),
        ),
    )
    rope = winding.relaxed_rope(one, at(20.0))
    assert winding.bed_end(one, at(20.0), 99.5) == pytest.approx(min(99.5, 100 - rope))
    assert winding.bed_end(one, at(20.0), 80.0) == 80.0
    return rope


def test_rope_that_slips() -> None:
    """N = ln(laid/empty) + 4*(0.1 + 0.1)/2 wraps of 2 m, whole, and never fewer than the rule."""
    assert set_down(100 * exp(1.5), 100) == pytest.approx(4.0)  # 1.5 + 0.4 = 1.9: two wraps
    assert set_down(100 * exp(1.7), 100) == pytest.approx(6.0)  # 2.1
    assert set_down(100 * exp(1.5), 100, overlap=3) == pytest.approx(6.0)
    assert set_down(100 * exp(1.5), 100, slack=0.2) == pytest.approx(6.0)  # 1.5 + 0.6
    assert set_down(100 * exp(1.5), 10, drag=100) == pytest.approx(4.0)  # the drag of the drum holds as well
    assert set_down(50, 100) == pytest.approx(2.0)  # nothing slips, 0.4 of a wrap is slack
    assert set_down(50, 100, slack=-0.1, overlap=0) == pytest.approx(0.0)


# -- rope that may stay unreached, and the bed ------------------------------------------------------------------------


def crane(firm_below: float = 0.0, beds: tuple[tuple[int, float], ...] = ()) -> Any:
    """Layer 1 holds 40 m, 4 m of it dead; a quarter of it may stay unreached."""
    return SimpleNamespace(
        dead_rope=4.0,
        layers=(SimpleNamespace(rope_when_full=40.0),),
        case=SimpleNamespace(values=SimpleNamespace(unreached_limit=0.25), firm_below=firm_below),
        beds=beds,
    )


def test_unreached_limit() -> None:
    assert winding.unreached_limit(crane()) == pytest.approx(10.0, rel=1e-8)
    assert winding.unreached_limit(crane()) > 10.0  # met exactly is met
    assert winding.unreached_limit(crane(firm_below=14.0)) == pytest.approx(10.0, rel=1e-8)
    assert winding.unreached_limit(crane(firm_below=30.0)) == pytest.approx(26.0, rel=1e-8)


def test_firm_in_all() -> None:
    """With the rope that is known to lie firm beneath, without the dead wraps."""
    one: Any = SimpleNamespace(firm_from=20.0, firm_rope=50.0)
    assert winding.firm_in_all(crane(), one) == 50.0
    assert winding.firm_in_all(crane(firm_below=15.0), one) == 61.0
    assert winding.firm_in_all(crane(firm_below=30.0), one) == 66.0
    assert winding.firm_in_all(crane(firm_below=4.5), one) == 50.5


BEDS = ((2, 300.0), (4, 250.0), (6, 200.0))


@pytest.mark.parametrize(
    ("firm_from", "firm_to", "beds", "falls"),
    [
        (10.0, 260.0, BEDS, 4),
        (10.0, 250.0, BEDS, 4),
        (10.0, 249.9, BEDS, 6),
        (10.0, 300.0, BEDS, 2),
        (10.0, 199.0, BEDS, None),
        (10.0, 220.0, ((2, 100.0), (4, 250.0), (6, 200.0)), 6),  # every number of falls above it as well
        (14.0, 260.0, BEDS, 4),  # 10 m unreached: the limit itself
        (14.1, 260.0, BEDS, None),  # the bed may be loose
    ],
)
def test_full_pull_falls(
    firm_from: float, firm_to: float, beds: tuple[tuple[int, float], ...], falls: int | None
) -> None:
    assert winding.full_pull_falls(crane(beds=beds), firm_from, firm_to) == falls


# -- time -------------------------------------------------------------------------------------------------------------

# Layers of 12.6*pi, 13.8*pi ... m: 0.42, 0.46 m to the middle of the rope.
LAYERS = drum.layers(0.4, 0.02, 1.0, 30, 30, 235.6)
FIRST = pi * 12.6


def timed(**changed: Any) -> Any:
    values = SimpleNamespace(
        pay_out_speed=0.5, pick_time=300.0, re_pick_time=120.0, check_time=60.0, winding_speed=0.4, stop_time=30.0
    )
    winch = SimpleNamespace(power=changed.get("power", 1e9))
    at_boom = SimpleNamespace(telescoping=0.1, luffing=0.01, pivot_forward=1.0)
    return SimpleNamespace(
        rope_on_drum=lambda state: state.hook_height,
        lead_line=lambda state, direction: changed.get("lead", 20000.0) if direction == reeving.HAULING else 0.0,
        crane=SimpleNamespace(
            layers=LAYERS,
            line_speeds=tuple((0.42 + 0.04 * above) / 0.42 for above in range(len(LAYERS))),
            case=SimpleNamespace(values=values, machine=SimpleNamespace(winch=winch, boom=at_boom)),
        ),
    )


def lifting(before: float, after: float, load: float = LOAD, radii: tuple[float, float] = (21.0, 21.0)) -> Move:
    """A move told by rope on the drum before and after."""
    return Move("luff-out", at(radii[0], load, before), at(radii[1], load, after))


def test_rope_time() -> None:
    """Layer by layer; the winch turns at 1 m/s on layer 1, 0.46/0.42 m/s on layer 2."""
    assert winding.rope_time(timed(), lifting(10, 30), 0.5) == pytest.approx(40.0)
    assert winding.rope_time(timed(), lifting(30, 10), 0.5) == pytest.approx(40.0)
    assert winding.rope_time(timed(), lifting(0.5, 0.8), 0.5) == pytest.approx(0.6)
    assert winding.rope_time(timed(), lifting(10, 30), 5.0) == pytest.approx(20.0)
    across = lifting(FIRST - 10, FIRST + 23)
    assert winding.rope_time(timed(), across, 5.0) == pytest.approx(10.0 + 23.0 * 0.42 / 0.46)
    assert winding.rope_time(timed(), across, 1.05) == pytest.approx(10.0 + 23.0 / 1.05)
    assert winding.rope_time(timed(), lifting(FIRST + 5, FIRST + 10), 0.5) == pytest.approx(10.0)


def test_boom_motion() -> None:
    """Reach 20 and 0 m of 40: from 60 to 90 degrees; 10 m at 0.1 m/s."""
    steep = Move("luff-in", at(21.0), at(1.0))
    assert winding.boom_motion(timed(), steep) == pytest.approx(pi / 6 / 0.01)
    assert winding.boom_motion(timed(), Move("luff-out", steep.after, steep.before)) == pytest.approx(pi / 6 / 0.01)
    shorter = Move("telescope-in", at(21.0), at(16.0)._replace(boom_length=30.0))
    assert winding.boom_motion(timed(), shorter) == pytest.approx(100.0)


def test_duration() -> None:
    assert winding.duration(timed(), replace(lifting(30, 10), name="pay-out"), True) == pytest.approx(40.0)
    assert winding.duration(timed(), replace(lifting(10, 11), name="pick"), True) == 300.0
    assert winding.duration(timed(), replace(lifting(10, 11), name="pick"), False) == 120.0
    assert winding.duration(timed(), replace(lifting(11, 10), name="land"), True) == 60.0
    # loaded: the slower of boom and rope, and the stops; 20 m at 0.4 m/s, or 60 to 90 degrees at 0.01 rad/s
    assert winding.duration(timed(), lifting(10, 30), False) == pytest.approx(50.0 + 30.0)
    assert winding.duration(timed(), lifting(10, 30, radii=(21.0, 1.0)), False) == pytest.approx(pi / 0.06 + 30.0)
    # 4 kW at 20 kN is 0.2 m/s
    assert winding.duration(timed(power=4000.0), lifting(10, 30), False) == pytest.approx(100.0 + 30.0)
    assert winding.duration(timed(), lifting(10, 30, 0.0, (21.0, 1.0)), False) == pytest.approx(pi / 0.06)
    # a rope nearly slack is told as 1 N
    assert winding.duration(timed(power=0.2, lead=0.5), lifting(10, 30), False) == pytest.approx(100.0 + 30.0)


# -- single moves -----------------------------------------------------------------------------------------------------

ROWS = ((10.0, 9000.0), (20.0, 7000.0), (30.0, 5000.0))


@pytest.mark.parametrize(
    ("rope", "margins", "radius"),
    [
        (220.0, (1.0, 1.0), 10.0),  # (220 - 14 - 45 - 3)/4 = 39.5 m of fall: the least radius
        (140.0, (1.0, 1.0), 26.5),  # 19.5 m: head at 3 + 1 + 19.5
        (140.0, (1.0, 1.5), 27.0),  # further out the margin grows by half a metre
        (140.0, (1.5, 1.0), 27.0),  # and it never shrinks again
        (126.0, (1.0, 1.0), 30.0),  # the last row of the chart itself
        (125.9, (1.0, 1.0), None),
    ],
)
def test_start_state(rope: float, margins: tuple[float, float], radius: float | None) -> None:
    """10 m stay on the drum, 4 m more for each metre of margin; one margin at the least radius, another further out."""
    one = straight(
        (),
        stop_margin=lambda state: margins[state.radius > 10.0],
        rope_kept=lambda margin: 10.0 + 4 * margin,
        drum_to_head=lambda length: length + 5.0,
        between_falls=3.0,
    )
    one.crane.case.machine.rope.length = rope
    one.crane.case.chart.rows = ROWS
    if radius is None:
        with pytest.raises(winding.Refusal, match="^below-stop-height$"):
            winding.start_state(one, LOADED, slings(2.0))
    else:
        assert winding.start_state(one, LOADED, slings(2.0)) == State(40.0, radius, 3.0, 4, 5102.0, 2.0)


def test_check_asks_for_every_state_once() -> None:
    """An empty hook is asked about with the planned load beside it, for the boom's rebound."""
    high, low = at(20.0, 0.0, 9.0), at(20.0, 0.0)
    begin = (Move("pay-out", high, low), Move("pick", at(20.0), at(20.0, LOAD, 3.5)))
    done = (*begin, Move("luff-out", at(20.0, LOAD, 3.5), at(30.0)))
    asked: list[tuple[State, State]] = []
    limits: dict[State, str] = {}
    overloaded: set[str] = set()

    def refusal(state: State, loaded: State) -> str | None:
        asked.append((state, loaded))
        return limits.get(state)

    one: Any = SimpleNamespace(
        refusal=refusal, worst_reading=lambda before, after: None if (before, after) in overloaded else 0.5
    )
    winding.check(one, done)
    states = [high, low, at(20.0), at(20.0, LOAD, 3.5), at(30.0)]
    assert asked == [(state, state._replace(load=LOAD)) for state in states]
    overloaded.add((done[2].before, done[2].after))
    with pytest.raises(winding.Refusal, match="^over-capacity$"):
        winding.check(one, done)
    limits[at(20.0)] = "line-pull"
    with pytest.raises(winding.Refusal, match="^line-pull$"):
        winding.check(one, done)


def luffed(start: State, least_angle: float = 0.0, room: float | None = None, carried: float = 99.0,
           on_the_way: float = 99.0) -> float:
    """How far it goes where the chart carries so far, standing or on the way there."""

    def reading(state: State) -> Any:
        assert state == start._replace(hook_height=start.hook_height - 0.5, radius=state.radius)
        return None if state.radius > carried else "read"

    def worst(before: State, after: State) -> Any:
        assert before == start
        return None if after.radius > on_the_way else "read"

    one = straight((), reading=reading, worst_reading=worst)
    one.crane.chart = lambda length: SimpleNamespace(rows=ROWS)
    one.crane.case.machine.boom.least_angle = least_angle
    one.crane.case.yard.working_radius = room
    one.crane.case.yard.load_length = 2.0
    out = winding.furthest(one, start)
    assert out == start._replace(radius=out.radius)
    return out.radius


def test_furthest() -> None:
    assert luffed(at(12.0)) == 30.0
    assert luffed(at(12.0), least_angle=pi / 3) == pytest.approx(21.0)  # 1 + 40*cos(60 degrees)
    assert luffed(at(12.0, hook_height=23.0)) == 24.0  # head at 23 + 1 + 2
    assert luffed(at(12.0), room=28.0) == 27.0  # less half of the load
    assert luffed(at(30.0)) == 30.0
    assert luffed(at(28.0), room=28.0) == 28.0
    assert luffed(at(12.0), carried=29.9) == 20.0
    assert luffed(at(12.0), carried=20.0, room=26.0) == 20.0
    assert luffed(at(12.0), carried=19.9) == 12.0
    assert luffed(at(12.0), on_the_way=29.9) == 20.0
    assert luffed(at(12.0), on_the_way=19.9) == 12.0
    assert luffed(at(20.0), carried=20.0) == 20.0


def test_first_moves() -> None:
    """From the upper stop, 2 m and a block of 1 m under the head, down to the load; then 0.5 m up."""
    start = at(20.0)
    empty = start._replace(load=0.0, sling_length=0.0)
    pick = Move("pick", start, start._replace(hook_height=3.5))
    assert winding.first_moves(straight(), start) == (Move("pay-out", empty._replace(hook_height=27.0), empty), pick)
    low = at(45.0)  # head at 5 m: the hook is there already
    assert winding.first_moves(straight(), low)[0].before.hook_height == 3.0


def test_luff_out_and_land(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(winding, "furthest", lambda rig, low: low._replace(radius=25.0))
    low = at(20.0)
    out = low._replace(radius=25.0)
    assert winding.luff_out_and_land(straight(), low) == (
        Move("luff-out", low, out), Move("land", out, out._replace(hook_height=2.5)),
    )
    for reading, code in (("read", "no-room-to-luff"), (None, "over-capacity")):
        with pytest.raises(winding.Refusal, match=f"^{code}$"):
            winding.luff_out_and_land(straight((), reading=lambda state, r=reading: r), at(25.0))


def test_finish(monkeypatch: pytest.MonkeyPatch) -> None:
    """Firm rope begins where the first load was picked; rope lost is what the empty block takes in later passes."""
    done = moves(("pay-out", 70, 60), ("luff-out", 61, 62), ("pick", 50, 51), ("luff-out", 51, 90), ("land", 90, 88))
    one: Any = SimpleNamespace(crane="crane", rope_on_drum=lambda state: state.radius)
    monkeypatch.setattr(winding, "firm_end", lambda *of: 85.0 if of == (one, done, 50.0, 50.0) else of[2] + of[3])
    monkeypatch.setattr(winding, "bed_end", lambda rig, last, firm_to: (rig, last, firm_to))
    monkeypatch.setattr(winding, "full_pull_falls", lambda *of: of)
    monkeypatch.setattr(winding, "duration", lambda rig, move, first: (100.0 if first else 10.0) if rig is one else 0)
    found = winding.finish(one, done, slings(2.0), None, "none")
    bed = ("crane", 50.0, (one, at(88.0), 85.0))
    assert found == winding.Pass(done, "none", slings(2.0), 0.0, 50.0, 85.0, bed, 500.0)
    again = winding.finish(one, done, slings(3.0), replace(found, firm_from=20.0), "other-winch")
    assert (again.load_return, again.rope_lost, again.firm_from, again.firm_to) == ("other-winch", 10.0, 20.0, 105.0)
    assert again.duration == 50.0 and again.slings == slings(3.0)


def test_firm_mass() -> None:
    """The largest of both ends of the winding moves, and no others."""
    one: Any = SimpleNamespace(mass_for_firm=lambda state: state.radius)
    done: Any = SimpleNamespace(passes=(SimpleNamespace(moves=moves(("luff-in", 99, 98), ("luff-out", 5, 7))),
                                        SimpleNamespace(moves=moves(("pick", 8, 6), ("land", 50, 51)))))
    assert [state.radius for state in winding.winding_states((done,))] == [5.0, 7.0, 8.0, 6.0]
    assert winding.firm_mass(one, (done,)) == 8.0
    assert winding.firm_mass(one, ()) == 0.0


# -- telescoping ------------------------------------------------------------------------------------------------------


def chart(boom_length: float, telescoping: float | None = 6000.0) -> Any:
    return SimpleNamespace(boom_length=boom_length, telescoping=telescoping)


def telescoped(monkeypatch: pytest.MonkeyPatch, target: Any, charts: list[Any], radius: float = 12.0,
               further: float = 0.0) -> tuple[Move, ...]:
    """The moves after the first ones, from a load of 6,000 kg gross."""
    low = at(radius)
    monkeypatch.setattr(winding, "first_moves", lambda rig, start: (start, Move("pick", start, low)))
    monkeypatch.setattr(winding, "furthest", lambda rig, short: short._replace(radius=short.radius + further))
    one = straight((), gross=lambda state: 6000.0 if state.boom_length == 40.0 else 0.0)
    one.crane.charts = charts
    found = winding.telescoping_moves(one, END, target)
    assert found[:2] == (END, Move("pick", END, low))
    return found[2:]


def test_telescoping_moves(monkeypatch: pytest.MonkeyPatch) -> None:
    """Out until the boom shortened to 20 m stands at its least radius: cos = (10 - 1)/20, so 1 + 40*0.45 = 19 m."""
    both = [chart(20.0), chart(40.0)]
    flat, short = at(19.0), at(10.0)._replace(boom_length=20.0)
    down = short._replace(hook_height=2.5)
    assert telescoped(monkeypatch, both[0], both) == (
        Move("luff-out", at(12.0), flat), Move("telescope-in", flat, short), Move("land", short, down),
    )
    out = short._replace(radius=15.0)
    assert telescoped(monkeypatch, both[0], both, further=5.0)[2:] == (
        Move("luff-out", short, out), Move("land", out, out._replace(hook_height=2.5)),
    )
    assert [m.name for m in telescoped(monkeypatch, both[0], both, radius=19.0)] == ["telescope-in", "land"]
    flatter = telescoped(monkeypatch, both[0], both, radius=25.0)  # cos = 24/40: 1 + 20*0.6
    assert flatter[0].before == at(25.0) and flatter[0].after.radius == pytest.approx(13.0)


def test_where_telescoping_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """The load listed for telescoping counts at every length passed, not at shorter ones."""
    def refused(target: Any, *charts: Any) -> str:
        with pytest.raises(winding.Refusal) as caught:
            telescoped(monkeypatch, target, list(charts))
        return caught.value.code

    assert refused(chart(9.0), chart(9.0), chart(40.0)) == "carrier-not-cleared"  # cos = 1
    assert refused(short := chart(20.0, None), short, chart(40.0)) == "telescoping-not-listed"
    assert refused(chart(20.0), chart(20.0), chart(30.0, None), chart(40.0)) == "telescoping-not-listed"
    assert refused(chart(20.0), chart(20.0), chart(30.0, 5999.0), chart(40.0)) == "over-telescoping-load"
    assert telescoped(monkeypatch, chart(20.0), [chart(15.0, None), chart(20.0), chart(40.0)])


def test_telescoping_to_the_shortest_that_allows_it(monkeypatch: pytest.MonkeyPatch) -> None:
    refusals: dict[float, str] = {}

    def to(rig: Any, start: State, target: Any) -> Any:
        assert start in (at(12.0), at(11.0))
        if target.boom_length in refusals:
            raise winding.Refusal(refusals[target.boom_length])
        return (f"to {target.boom_length:g}",)

    def check(rig: Any, moves: Any) -> None:
        if moves == ("to 25",):
            raise winding.Refusal("upper-stop")

    monkeypatch.setattr(winding, "telescoping_moves", to)
    monkeypatch.setattr(winding, "check", check)
    monkeypatch.setattr(winding, "finish", lambda rig, *of: of)
    monkeypatch.setattr(winding, "starts", lambda rig, load: iter([("short", at(12.0)), ("long", at(11.0))]))
    monkeypatch.setattr(winding, "with_passes", lambda rig, load, first, name: (load, first, name))
    one = straight()

    def refused() -> str | None:
        return winding.telescope_in(one, LOADED).refused

    one.crane.charts = [chart(40.0)]
    assert refused() == "shortest-boom"
    one.crane.charts = [chart(20.0), chart(25.0), chart(30.0), chart(40.0)]
    assert winding.telescoping_pass(one, LOADED) == (("to 20",), "short", None, "none")
    assert winding.telescope_in(one, LOADED, "long") == (LOADED, (("to 20",), "long", None, "none"), "telescope-in")
    refusals[20.0] = "carrier-not-cleared"
    assert winding.telescoping_pass(one, LOADED) == (("to 30",), "short", None, "none")
    refusals[30.0] = "over-telescoping-load"
    assert refused() == "carrier-not-cleared"  # what stops it at the shortest
    assert winding.telescope_in(one, LOADED).name == "telescope-in"
    one.crane.case.machine.boom.telescoping = None
    assert refused() == "telescoping-not-listed"


# -- bounds, exact falls, heavier loads -------------------------------------------------------------------------------


def test_least_unreached() -> None:
    """The rope left at the least radius with the shortest slings, or what the stop keeps; without 4 m of dead wraps."""
    found = {"rope": 30.0, "kept": 20.0}

    def with_falls(falls: int, block: Any) -> Any:
        def rope_on_drum(state: State) -> float:
            assert state == State(40.0, 10.0, 3.0, 4, 0.0, 2.0)
            return found["rope"]

        assert (falls, block) == (4, "block")
        return SimpleNamespace(rope_on_drum=rope_on_drum, rope_kept=lambda m: found["kept"], least_stop_margin=1.0)

    one = straight((slings(2.0), slings(3.0))).crane
    one.blocks, one.rig = {4: "block"}, with_falls
    assert winding.least_unreached(one, 4) == pytest.approx(26.0) and winding.least_unreached(one, 4) < 26.0
    found["kept"] = 35.0
    assert winding.least_unreached(one, 4) == pytest.approx(31.0)


def exact(usable: float = 284.0, firm_below: float = 0.0, head: float = 30.0) -> float | None:
    at_hand: Any = SimpleNamespace(
        usable_rope=usable,
        least_radius=lambda length: 10.0,
        head=lambda length, radius: head if (length, radius) == (40.0, 10.0) else 0.0,
        case=SimpleNamespace(
            values=SimpleNamespace(clearance=0.5),
            yard=SimpleNamespace(load_height=1.0, slings=SimpleNamespace(length=2.5)),
            chart=SimpleNamespace(boom_length=40.0),
            machine=SimpleNamespace(
                rope=SimpleNamespace(length=290.0), reeving=SimpleNamespace(sheave_radius=1 / pi)
            ),
            firm_below=firm_below,
        ),
    )
    one: Any = SimpleNamespace(drum_to_head=lambda length: length + 5.0, block=SimpleNamespace(height=1.0))
    return winding.exact_falls(at_hand, one)


def test_exact_falls() -> None:
    """(284 - 45 + 1)/(30 - 0.5 - 1 - 2.5 - 1 + 1) = 240/26; with 106 m known to lie firm 184 m count."""
    assert exact() == pytest.approx(240 / 26)
    assert exact(firm_below=106.0) == pytest.approx(140 / 26)
    assert exact(firm_below=3.0) == pytest.approx(240 / 26)
    assert exact(head=5.0) is None  # the hook does not fit under the head
    assert exact(usable=44.0) is None  # no rope for a fall
    assert exact(usable=44.5) == pytest.approx(0.5 / 26)


@pytest.mark.parametrize(
    ("planned", "most", "rows"),
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
def test_steps(planned: float, most: float, rows: list[float]) -> None:
    """1, 2 or 5 times a power of ten apart, ten rows at most with the planned one, half a step above it at least."""
    assert winding.steps(planned, most) == rows


def heavy(**of: float) -> Any:
    """An attempt that carries so much by capacity (less 300 kg of rope), line pull and block."""
    case = SimpleNamespace(
        chart=SimpleNamespace(rows=((12.0, of.get("carried", 50000.0)),)),
        values=SimpleNamespace(sheave_efficiency=0.5),
        machine=SimpleNamespace(reeving=SimpleNamespace(sheaves_to_drum=1)),
    )
    one = SimpleNamespace(
        crane=SimpleNamespace(case=case, growth=lambda length: 0.0, rope_weight=of.get("rope_weight", 0.0)),
        falls=2,
        block=SimpleNamespace(mass=400.0, capacity=of.get("block", 60000.0)),
        gross=lambda state: 5700.0,
        suspended=lambda state: 5400.0,
        pull_limit=lambda state: of.get("pull", 980665.0),
        fall_length=lambda state: 10.0,
    )
    hung = SimpleNamespace(capacity=of.get("slings", 60000.0), mass=100.0)
    return SimpleNamespace(rig=one, slings=hung)


def test_heaviest() -> None:
    """Two falls and one sheave to the drum at e = 0.5: T = W/1.5/0.5, so 1,000 kg of pull hold 750 kg."""
    assert winding.heaviest(heavy(), at(12.0)) == pytest.approx(49700.0)
    assert winding.heaviest(heavy(pull=9806.65), at(12.0)) == pytest.approx(750.0)
    assert winding.heaviest(heavy(pull=9806.65, rope_weight=9.80665), at(12.0)) == pytest.approx(735.0)  # 1.5*10 kg
    assert winding.heaviest(heavy(block=5000.0), at(12.0)) == 5400.0
    assert winding.heaviest(heavy(slings=5000.0), at(12.0)) == 5500.0


def test_heavier_loads(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each goes as far as it goes from the start, 0.5 m clear; a heavier one than planned is reduced afterwards."""
    start = at(100.0)
    rig: Any = straight((), rope_on_drum=lambda state: state.radius)
    attempt: Any = SimpleNamespace(rig=rig, start=start, suspended=5400.0)
    monkeypatch.setattr(winding, "heaviest", lambda of, low: 8000.0 if (of, low) == (attempt, start) else 0.0)
    monkeypatch.setattr(winding, "furthest", lambda rig, low: low._replace(radius=130.0 - low.load / 1000))

    def firm_end(rig: Any, done: tuple[Move, ...], firm_from: float, firm_before: float) -> float:
        pick, out, land = done
        assert (pick.name, out.name, land.name) == ("pick", "luff-out", "land")
        assert (firm_from, firm_before) == (100.0, 100.0)
        assert pick.before == start._replace(load=pick.after.load)
        assert pick.after == pick.before._replace(hook_height=3.5) == out.before
        assert land.before == out.after and land.after == out.after._replace(hook_height=3.0)
        return out.after.radius

    monkeypatch.setattr(winding, "firm_end", firm_end)
    found = winding.heavier_loads(attempt)
    assert found[0] == winding.HeavierLoad(5400.0, 125.0, 25.0, None)
    assert [row.mass for row in found[1:]] == [6000.0, 6500.0, 7000.0, 7500.0, 8000.0]
    assert found[1] == winding.HeavierLoad(6000.0, pytest.approx(124.4), pytest.approx(24.4), 5400.0)
