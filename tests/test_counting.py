"""What a count of the drum says of the rope, on the crane worked by hand: 8 wraps of pi/2 m at hooking on."""

from __future__ import annotations

from math import pi
from typing import Any

import pytest
from a_rig import case, load_of, rig, rig_of

from calc.winding import counting, planner
from calc.winding.counting import AS_PLANNED, LONGER, NOT_THIS_ROPE, SHORTER

L1 = pi / 2


@pytest.mark.parametrize(
    ("off", "verdict"),
    [
        (0.0, AS_PLANNED),
        (L1, AS_PLANNED),  # one wrap; two falls of 0.2 m are less
        (-L1, AS_PLANNED),
        (L1 + 0.001, LONGER),
        (-L1 - 0.001, SHORTER),
        (7.5, LONGER),  # 5 % of 150 m
        (7.501, NOT_THIS_ROPE),
        (-0.4 - L1, SHORTER),  # two falls of 0.2 m and one wrap are more than 1 % of 150 m
        (-0.401 - L1, NOT_THIS_ROPE),
    ],
)
def test_what_a_length_means(off: float, verdict: str) -> None:
    assert counting.says(rig(), 150.0 + off, 8) == verdict


@pytest.mark.parametrize(
    ("changed", "wraps", "off", "verdict"),
    [
        ({"values__hook_height_error": 1.0}, 8, 2.0, AS_PLANNED),  # 1 m on two falls
        ({"values__hook_height_error": 1.0}, 8, 2.001, LONGER),
        ({"values__hook_height_error": 1.0}, 8, -2.0 - L1, SHORTER),
        ({"values__hook_height_error": 1.0}, 8, -2.001 - L1, NOT_THIS_ROPE),
        ({"values__rope_shorter_share": 0.02}, 8, -3.0, SHORTER),  # 2 % of 150 m
        ({"values__rope_shorter_share": 0.02}, 8, -3.001, NOT_THIS_ROPE),
        ({"values__rope_longer_share": 0.01}, 8, 1.6, NOT_THIS_ROPE),
        # a wrap of the layer counted on: 0.54*pi m on layer 2, where 20 wraps fill layer 1
        ({"values__rise_ratio": 1.0}, 20, 0.54 * pi, LONGER),
        ({"values__rise_ratio": 1.0}, 21, 0.54 * pi, AS_PLANNED),
    ],
)
def test_by_rule_and_layer(changed: dict[str, Any], wraps: int, off: float, verdict: str) -> None:
    assert counting.says(rig(**changed), 150.0 + off, wraps) == verdict


def test_count_table() -> None:
    """4 wraps are fewer than the stop wraps; 7 to 9 are as planned, 10 to 12 longer, 13 another rope."""
    attempt = planner.with_load(rig(), load_of(rig()))
    warning = 2.8 + 1 + (150 - 4 * pi - 50 - 0.3 * pi) / 2 - 1 - (150 - 1.5 * pi - 50 - 0.3 * pi) / 2 + 0.5
    expected = [
        (4, NOT_THIS_ROPE),
        (5, NOT_THIS_ROPE),
        (6, NOT_THIS_ROPE),
        (7, AS_PLANNED),
        (8, AS_PLANNED),
        (9, AS_PLANNED),
        (10, LONGER),
        (11, LONGER),
        (12, LONGER),
        (13, NOT_THIS_ROPE),
    ]
    assert [tuple(row.values()) for row in counting.count_table(attempt)] == [
        (
            wraps,
            pytest.approx(150 + (wraps - 8) * L1),
            do,
            None if do == NOT_THIS_ROPE else pytest.approx(warning),
        )
        for wraps, do in expected
    ]


def test_a_shorter_rope_raises_the_warning_height() -> None:
    """Up to 3 % of 150 m may be missing: 6 wraps mean 3.14 m less, 5 wraps 4.71 m."""
    one = rig(values__rope_shorter_share=0.03)
    rows = {row["wraps"]: row for row in counting.count_table(planner.with_load(one, load_of(one)))}
    assert [rows[wraps]["do"] for wraps in (5, 6, 7)] == [NOT_THIS_ROPE, SHORTER, AS_PLANNED]
    planned = rows[8]["hook_height_m"] or 0.0
    assert rows[6]["hook_height_m"] == pytest.approx(planned + 2 * L1 / 2)  # two falls share 3.14 m
    assert rows[10]["hook_height_m"] == rows[8]["hook_height_m"]  # a longer one lowers nothing


def test_every_count_above_the_stop_wraps_is_looked_at() -> None:
    """A tolerance of no wraps: 5 are counted, fewer are never gone on with, however little is missing."""
    one = rig(values__count_tolerance=0)
    table = counting.count_table(planner.with_load(one, load_of(one)))
    assert [(row["wraps"], row["do"]) for row in table[:3]] == [(4, NOT_THIS_ROPE), (5, AS_PLANNED), (6, AS_PLANNED)]
    assert table[-1]["do"] == NOT_THIS_ROPE and [row["do"] for row in table].count(NOT_THIS_ROPE) == 2


def test_on_a_smooth_drum_wraps_count_on_from_layer_2() -> None:
    """8 wraps: all of layer 1 for the 3 dead ones, and 5 of 0.54*pi m."""
    one = rig_of(case(machine__drum__surface="smooth", values__rise_ratio=1.0))
    table = counting.count_table(planner.with_load(one, load_of(one)))
    rows = {row["wraps"]: row for row in table}
    assert rows[8]["rope_length_m"] == pytest.approx(150.0)
    assert rows[9]["rope_length_m"] == pytest.approx(150 + 0.54 * pi)
    assert rows[9]["do"] == rows[7]["do"] == AS_PLANNED
    assert rows[4]["do"] == NOT_THIS_ROPE
