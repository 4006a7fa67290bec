"""The second computation against numbers from outside, so that two equal mistakes do not pass for agreement."""

from __future__ import annotations

from math import pi
from typing import Any

import numpy as np
import pytest

from independent import search
from independent.charts import Charts
from independent.drum_wraps import Drum, Ledger
from independent.forces import HAULING, PAYING_OUT, STANDING, passed_on, pulls

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
    """By hand: 20 m wound at 9 kN, 5 m off again, 8 m on at 4 kN: 15 m firm at 5 kN, in layer 1."""
    ledger = Ledger(Drum(DRUM), 2.0)
    ledger.wind(np.array([2.0, 22.0]), np.array([9e3, 9e3]))
    ledger.pay_out(17.0)
    ledger.wind(np.array([17.0, 25.0]), np.array([4e3, 4e3]))
    firm, first, last = ledger.firm(5e3)
    wrap = pi * 0.42
    assert firm == pytest.approx(15, abs=wrap) and (first, last) == (1, 1)


# Four falls, 0.98 at every sheave, one sheave to the drum, 20 kN, 30 N/m, falls of 40 m, head 48 m above the winch.
# Standing by hand: (20,000 + 4*40*30)/4 - 48*30 = 4,760 N.  Hauling by hand, from the top of fall 1 (T):
# on the block T - 1,200; 0.98 T - 1,176; 0.9604 T - 1,176.48; 0.941192 T - 1,152.9504 -> 3.881592 T - 4,705.43 = 20,000
# T = 6,364.77; over the head sheave 6,494.66; less 1,440 down to the winch 5,054.66 N.
@pytest.mark.parametrize(
    ("direction", "at_drum"), [(HAULING, 5054.66), (STANDING, 4760.0), (PAYING_OUT, 4476.8)]
)
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
    at = (np.array([50.0]), np.array([9.9]), np.array([4000.0]))
    assert charts.capacity(*at, False)[0] == 5000
    assert charts.capacity(at[0], np.array([13.9]), at[2], False)[0] == 0


def test_estimate_of_falls_counts_boom_lengths() -> None:
    """By hand: 290 m of rope on a 27 m boom leave 263 m, nine booms and a piece; 900 ft on 150 ft leave just five."""
    assert search.estimate_of_falls({"rope_length_m": 290.0}, 27.0) == 10
    assert search.estimate_of_falls({"rope_length_m": 274.32}, 45.72) == 5
