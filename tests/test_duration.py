"""How long each move takes, on a rig whose rope, forces and heads are given; every value worked out by hand."""

from __future__ import annotations

from math import acos, pi
from types import SimpleNamespace
from typing import Any

import pytest

from calc.formulas import drum, reeving
from calc.winding import duration
from calc.winding.moves import Move
from calc.winding.plan_fields import MoveName
from calc.winding.rig import State

# Layers of 12.6*pi, 13.8*pi ... m: 0.42, 0.46 m to the middle of the rope.
LAYERS = drum.layers(0.4, 0.02, 1.0, 30, 30, 235.6)
FIRST = pi * 12.6


def timed(load_return: str = "helper-machine", **changed: float) -> Any:
    """Rope on the drum is the hook height; the head stands at 50 m less the radius; the boom turns 1 m forward
    of the slew axis; charts of 20, 25, 35 and 40 m."""
    given = {
        "pay_out_speed": 0.5,
        "pick_time": 300.0,
        "re_pick_time": 120.0,
        "check_time": 60.0,
        "winding_speed": 0.4,
        "change_time": 15.0,
        "section_time": 30.0,
        "travel_speed": 0.25,
        "winch_efficiency": 0.8,
        "band_top": 2.0,
        "clearance": 0.5,
        "setting_up_time": 900.0,
        "reeving_time": 60.0,
    }
    values = SimpleNamespace(**given | {name: value for name, value in changed.items() if name in given})
    winch = SimpleNamespace(power=changed.get("power", 1e9))
    at_boom = SimpleNamespace(telescoping=0.1, load_return=load_return)
    return SimpleNamespace(
        falls=4,
        rope_on_drum=lambda state: state.hook_height,
        lead_line=lambda state, direction: changed.get("lead", 20000.0) if direction == reeving.HAULING else 0.0,
        crane=SimpleNamespace(
            layers=LAYERS,
            head=lambda length, radius: 50.0 - radius,
            slope=lambda length, radius: acos((radius - 1.0) / length),
            charts=[SimpleNamespace(boom_length=length) for length in (20.0, 25.0, 35.0, 40.0)],
            line_speeds=tuple((0.42 + 0.04 * above) / 0.42 for above in range(len(LAYERS))),
            case=SimpleNamespace(values=values, machine=SimpleNamespace(winch=winch, boom=at_boom), luffing=0.01),
        ),
    )


def at(radius: float, rope: float = 3.0, load: float = 5000.0, length: float = 40.0) -> State:
    return State(length, radius, rope, 4, load)


def luffed(before: float, after: float, radii: tuple[float, float] = (21.0, 21.0), load: float = 5000.0) -> Move:
    """A move told by rope on the drum before and after."""
    return Move("luff-out", at(radii[0], before, load), at(radii[1], after, load))


TELESCOPED = Move("telescope-in", at(21.0), at(11.0, length=20.0))  # 60 degrees steep, from 40 to 20 m


def test_rope_time() -> None:
    """Layer by layer; the winch turns at 1 m/s on layer 1, 0.46/0.42 m/s on layer 2."""
    assert duration.rope_time(timed(), luffed(10, 30), 0.5) == pytest.approx(40.0)
    assert duration.rope_time(timed(), luffed(30, 10), 0.5) == pytest.approx(40.0)
    assert duration.rope_time(timed(), luffed(0.5, 0.8), 0.5) == pytest.approx(0.6)
    assert duration.rope_time(timed(), luffed(10, 30), 5.0) == pytest.approx(20.0)
    across = luffed(FIRST - 10, FIRST + 23)
    assert duration.rope_time(timed(), across, 5.0) == pytest.approx(10.0 + 23.0 * 0.42 / 0.46)
    assert duration.rope_time(timed(), across, 1.05) == pytest.approx(10.0 + 23.0 / 1.05)
    assert duration.rope_time(timed(), luffed(FIRST + 5, FIRST + 10), 0.5) == pytest.approx(10.0)


def test_boom_motion() -> None:
    """Reach 20 and 0 m of 40: from 60 to 90 degrees."""
    assert duration.boom_motion(timed(), luffed(3, 3, (21.0, 1.0))) == pytest.approx(pi / 6 / 0.01)
    assert duration.boom_motion(timed(), luffed(3, 3, (1.0, 21.0))) == pytest.approx(pi / 6 / 0.01)


def test_telescoping_goes_section_by_section() -> None:
    """20 m at 0.1 m/s, and half a minute for each of the three sections between listed lengths."""
    assert duration.boom_motion(timed(), TELESCOPED) == pytest.approx(200.0 + 3 * 30.0)
    shorter = Move("telescope-in", at(21.0), at(13.5, length=25.0))
    assert duration.boom_motion(timed(), shorter) == pytest.approx(150.0 + 2 * 30.0)


def test_short_moves() -> None:
    """1.5 m of band: each pair lets the load down by no more; while telescoping each section has its own."""
    assert duration.short_moves(timed(), luffed(3, 3, (21.0, 24.0))) == 2
    assert duration.short_moves(timed(), luffed(3, 3, (24.0, 21.0))) == 2
    assert duration.short_moves(timed(), luffed(3, 3, (21.0, 24.1))) == 3
    assert duration.short_moves(timed(), luffed(3, 3)) == 0
    # a section of 5, 10, 5 m lets the load down by sin(60) + 1/4 = 1.116 of itself: 5.58, 11.16 m
    assert duration.short_moves(timed(), TELESCOPED) == 4 + 8 + 4
    assert duration.short_moves(timed(band_top=6.0802), TELESCOPED) == 1 + 2 + 1
    # rules that leave no band still plan moves of 0.1 m
    assert duration.short_moves(timed(band_top=0.5), luffed(3, 3, (21.0, 22.0))) == 10


@pytest.mark.parametrize(
    ("name", "load", "again", "seconds"),
    [
        ("pay-out", 0.0, False, 40.0),  # 20 m at 0.5 m/s
        ("pick", 5000.0, False, 300.0),
        ("pick", 5000.0, True, 120.0),
        ("land", 5000.0, False, 60.0),
        ("land", 5000.0, True, 60.0),
        ("luff-in", 0.0, False, 0.0),
        ("luff-out", 5000.0, False, 50.0),  # 20 m at 0.4 m/s
    ],
)
def test_duration_by_kind(name: MoveName, load: float, again: bool, seconds: float) -> None:
    one = Move(name, at(21.0, 10.0, load), at(21.0, 30.0, load))
    assert duration.duration(timed(), one, luffed(3, 3) if again else None) == pytest.approx(seconds)


def test_one_motion_after_the_other() -> None:
    """Boom from 60 to 90 degrees, 20 m of rope at 0.4 m/s, 20 m of head in 14 pairs of 30 s."""
    under_load = luffed(10, 30, (21.0, 1.0))
    assert duration.duration(timed(), under_load, None) == pytest.approx(pi / 0.06 + 50.0 + 14 * 30.0)
    assert duration.duration(timed(change_time=1.0), under_load, None) == pytest.approx(pi / 0.06 + 50.0 + 28.0)
    empty = luffed(10, 30, (21.0, 1.0), load=0.0)
    assert duration.duration(timed(), empty, None) == pytest.approx(pi / 0.06)


def test_power_limits_the_rope() -> None:
    """80 % of 4 kW at 20 kN are 0.16 m/s; a rope nearly slack counts as 1 N."""
    assert duration.duration(timed(power=4000.0), luffed(10, 30), None) == pytest.approx(125.0)
    assert duration.duration(timed(power=4000.0, winch_efficiency=1.0), luffed(10, 30), None) == pytest.approx(100.0)
    assert duration.duration(timed(power=0.25, lead=0.5), luffed(10, 30), None) == pytest.approx(100.0)


def test_a_crawler_travels_to_the_load() -> None:
    """From 30 m to 21 m, at 0.25 m/s, besides the time to hang and lift again; only in a later pass."""
    pick = Move("pick", at(21.0, 10.0), at(21.0, 12.0))
    landed = luffed(3, 3, (21.0, 30.0))
    assert duration.duration(timed("crawler-travels"), pick, landed) == pytest.approx(120.0 + 36.0)
    nearer = luffed(3, 3, (21.0, 12.0))
    assert duration.duration(timed("crawler-travels"), pick, nearer) == pytest.approx(120.0 + 36.0)
    assert duration.duration(timed("crawler-travels"), pick, None) == 300.0
    for other in ("helper-machine", "helper-machine", "second-load"):
        assert duration.duration(timed(other), pick, landed) == 120.0


def test_rigging_stands_apart() -> None:
    assert duration.rigging(timed()) == 900.0 + 4 * 60.0
