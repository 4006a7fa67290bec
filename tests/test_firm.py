"""Where firm rope begins and ends, and for which lifts it is enough; every value worked out by hand."""

from __future__ import annotations

from math import exp, pi, sinh, sqrt
from types import SimpleNamespace
from typing import Any

import pytest
from a_rig import MIDDLE, STEEP, case, hook, light_rope, rig, rig_of

from calc.formulas import drum, reeving, rope
from calc.winding import firm

# -- where it begins --------------------------------------------------------------------------------------------------

STIFF: dict[str, Any] = {"values__rope_modulus": 1e20}
PICK = hook(29.8, 3.0, 3500.0, 3.0)  # 4 t suspended, 0.2 m of growth; head at 2 + sqrt(50^2 - 29.8^2)


def test_slack_and_rebound_are_wound_first() -> None:
    """Two falls: 0.2 m of slack and the height the boom gives, on each."""
    one = light_rope(**STIFF)
    rebound = sqrt(2500 - 29.8**2) - 40
    assert firm.firm_from(one, PICK) - one.rope_on_drum(PICK) == pytest.approx(2 * (0.2 + rebound))
    none = light_rope(values__deflection_share=0.0, values__sling_slack=0.0, **STIFF)
    assert firm.firm_from(none, PICK) == pytest.approx(none.rope_on_drum(PICK))


def test_then_the_rope_stretches() -> None:
    """2 t each fall, 19,613.3 N, on all the rope off the drum; 14.4 MN for a stretch of its whole length."""
    plain, stiff = light_rope(), light_rope(**STIFF)
    out = 150 - plain.rope_on_drum(PICK)
    assert firm.firm_from(plain, PICK) - firm.firm_from(stiff, PICK) == pytest.approx(19613.3 * out / 14.4e6)


def test_then_the_sagging_lead_line_is_drawn_straight() -> None:
    """50 m at 2 kg/m, 14 m out on 50 m: across it 19.6133*0.28 N/m; held by the empty block and one fall of 46 m."""
    state = hook(STEEP, 3.0, 1100.0, 3.0)
    still = {**STIFF, "values__deflection_share": 0.0, "values__sling_slack": 0.0}
    held = 250 * 9.80665 + 46 * 19.6133
    sag = (19.6133 * 0.28) ** 2 * 50**3 / (24 * held**2)
    assert firm.firm_from(rig(**still), state) - rig(**still).rope_on_drum(state) == pytest.approx(sag)


@pytest.mark.parametrize(
    ("weight", "length", "tension"), [(8.0, 50.0, 3300.0), (20.0, 100.0, 8000.0), (30.0, 130.0, 9e3)]
)
def test_sag_against_the_catenary(weight: float, length: float, tension: float) -> None:
    """A level span with this tension in its middle: the arc is 2*T/w*sinh(w*l/(2*T)); the parabola is within 1 %."""
    arc = 2 * tension / weight * sinh(weight * length / (2 * tension))
    assert rope.sag(weight, length, tension) == pytest.approx(arc - length, rel=0.01)


# -- where it ends ----------------------------------------------------------------------------------------------------

# Two layers of 20 wraps, 1 m and 2 m long each.
LAYERS = (drum.Layer(1, 20, 0.3, 1.0, 20.0), drum.Layer(2, 20, 0.6, 2.0, 60.0))


def ended(
    held: float = 50.0,
    laid: float = 1000.0,
    empty: float = 1000.0,
    overlap: int = 1,
    slack: float = 0.0,
    rebound: float = 0.0,
) -> float:
    """Firm rope to, with so much on the drum, on four falls; mu = 1/(2*pi), so that N = ln(laid/empty)."""
    landed = hook(20.0, 3.0, 1100.0, 3.0)

    def tension(state: Any, direction: int) -> float:
        if state == landed:
            assert direction == reeving.HAULING
            return laid
        assert (state, direction) == (landed.empty, reeving.PAYING_OUT)
        return empty

    one: Any = SimpleNamespace(
        falls=4,
        tension=tension,
        rebound=lambda state: rebound,
        position=lambda state: drum.position(LAYERS, held),
        rope_on_drum=lambda state: held,
        crane=SimpleNamespace(
            layers=LAYERS,
            case=SimpleNamespace(values=SimpleNamespace(rope_friction=1 / (2 * pi), overlap_wraps=overlap)),
        ),
    )
    return firm.firm_to(one, landed, slack)


@pytest.mark.parametrize(
    ("given", "end"),
    [
        ({}, 48.0),  # one wrap of 2 m by the rule
        ({"overlap": 5}, 40.0),
        ({"overlap": 5, "held": 50.5}, 40.0),  # 40.5 m: 10.25 wraps, down to 10
        ({"laid": 1000 * exp(1.5)}, 46.0),  # 1.5 wraps of 2 m slip: 47 m, 13.5 wraps
        ({"laid": 1000 * exp(1.5), "overlap": 2}, 46.0),
        ({"laid": 1000 * exp(1.5), "slack": 0.2, "rebound": 0.1}, 44.0),  # and 4*(0.2 + 0.1) m: 45.8 m
        ({"slack": 0.4, "rebound": 0.1}, 48.0),  # 4*0.5 m is the rule's wrap
        ({"slack": 0.4, "rebound": 0.11}, 46.0),
        ({"laid": 500.0}, 48.0),  # nothing slips
        ({"laid": exp(2.0), "empty": -300.0}, 46.0),  # an empty block that hangs on nothing counts as 1 N
        ({"laid": -5.0, "empty": -300.0}, 48.0),
        ({"held": 22.0}, 20.0),  # layer 1 full
        ({"held": 22.5}, 20.0),  # a quarter of a wrap of layer 2
        ({"held": 21.0}, 19.0),  # a wrap of the layer it landed on
        ({"held": 20.0}, 19.0),
        ({"held": 10.6}, 9.0),
        ({"held": 2.0, "overlap": 2}, 0.0),  # nothing is left
        ({"held": 2.0, "overlap": 3}, 0.0),
    ],
)
def test_firm_to(given: dict[str, float], end: float) -> None:
    """What slips and slackens at the landing comes off, then down to a whole wrap of its own layer."""
    assert ended(**given) == pytest.approx(end)  # type: ignore[arg-type]


# -- rope that may stay unreached -------------------------------------------------------------------------------------


def crane(firm_below: float = 0.0, beds: tuple[tuple[int, float], ...] = ()) -> Any:
    """The first layer to be unwound holds 40 m, a quarter of which may stay unreached; 4 m are dead."""
    return SimpleNamespace(
        dead_rope=4.0,
        first_unwound_rope=40.0,
        case=SimpleNamespace(values=SimpleNamespace(unreached_limit=0.25), firm_below=firm_below),
        beds=beds,
        usual_hook=3.0,
    )


def test_unreached_limit() -> None:
    assert firm.unreached_limit(crane()) == pytest.approx(10.0, rel=1e-8)
    assert firm.unreached_limit(crane(firm_below=14.0)) == pytest.approx(10.0, rel=1e-8)
    assert firm.unreached_limit(crane(firm_below=30.0)) == pytest.approx(26.0, rel=1e-8)


def test_reaches() -> None:
    assert firm.reaches(crane(), 14.0) and not firm.reaches(crane(), 14.001)
    assert firm.reaches(crane(firm_below=30.0), 30.0) and not firm.reaches(crane(firm_below=30.0), 30.001)


def test_on_a_smooth_drum_layer_2_counts() -> None:
    """35 % of 20 wraps of 0.54*pi m above the whole of layer 1."""
    smooth = rig_of(case(machine__drum__surface="smooth", values__rise_ratio=1.0)).crane
    assert firm.unreached_limit(smooth) == pytest.approx(0.35 * 10.8 * pi)
    assert firm.reaches(smooth, 10 * pi + 0.35 * 10.8 * pi) and not firm.reaches(smooth, 10 * pi + 0.36 * 10.8 * pi)


# -- enough for which lifts -------------------------------------------------------------------------------------------

BEDS = ((2, 300.0), (4, 250.0), (6, 200.0))


@pytest.mark.parametrize(
    ("begin", "end", "beds", "found"),
    [
        (10.0, 260.0, BEDS, (4, 3 + 10 / 4)),  # on 6 falls 60 m more: 10 m of hook, on 4 falls 2.5 m
        (10.0, 250.0, BEDS, (4, 3.0)),
        (10.0, 249.9, BEDS, (6, 3 + 49.9 / 6)),
        (10.0, 300.0, BEDS, (2, 3.0)),
        (10.0, 400.0, BEDS, (2, 3 + 200 / 6)),  # the most falls draw most rope off
        (10.0, 199.0, BEDS, None),
        (10.0, 220.0, ((2, 100.0), (4, 250.0), (6, 200.0)), (6, 3 + 20 / 6)),  # every number of falls above it as well
        (10.0, 260.0, (), None),
        (14.0, 260.0, BEDS, (4, 5.5)),  # 10 m unreached: the limit itself
        (14.1, 260.0, BEDS, None),  # the bed itself may be loose
    ],
)
def test_full_pull(
    begin: float, end: float, beds: tuple[tuple[int, float], ...], found: tuple[int, float] | None
) -> None:
    assert firm.full_pull(crane(beds=beds), begin, end) == (found and (found[0], pytest.approx(found[1])))


def test_a_lift_from_the_ground_at_its_loaded_radius() -> None:
    """One fall of 5.1 t on the row of 30 m (10 t): head 42, no growth added; under pull the rope is longer."""
    one = light_rope()
    out = 50 + 42 - 3 - 1
    assert one.crane.bed_needed(1) == pytest.approx(150 - out + 50e3 * out / 14.4e6)
    assert one.crane.from_the_ground(1)[1].radius == MIDDLE
