"""Which boom to wind with: plain cases by hand, and the fleet, counted again from the plans as data.

Expected values are hand comparisons of the few numbers that stand in each case.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from conftest import DATA, DAY

from calc.data import look_up
from calc.winding import choose_boom, plan_data
from calc.winding.choose_boom import Choice, Option

ROOT = Path(__file__).resolve().parent.parent

TARGET = 0.75


def option(boom: float, minutes: float, firm: float, falls: int | None = 4, method: str = "luff-out") -> Option:
    return Option(f"{boom:g}m", boom, method, 2, minutes, firm, TARGET, falls)


def chosen(found: Choice) -> tuple[str | None, str | None]:
    boom = [way.boom if way else None for way in (found.quickest, found.firmest)]
    return boom[0], boom[1]


@pytest.mark.parametrize(
    ("among", "quickest", "firmest"),
    [
        # one boom reaches the target quickly, another winds more and takes longer
        ([option(30, 42, 0.76), option(36, 58, 0.90)], "30m", "36m"),
        # a quick boom under the target is no full effect
        ([option(30, 20, 0.74), option(36, 58, 0.76)], "36m", "36m"),
        # exactly the target is enough; just under is not
        ([option(30, 42, 0.75)], "30m", "30m"),
        ([option(30, 42, 0.7499)], None, "30m"),
        # none reaches: the nearest
        ([option(30, 42, 0.30), option(36, 58, 0.41), option(45, 40, 0.35)], None, "36m"),
        # 41 and 44 minutes are both published as 45: the shorter boom; 46 is published as 50
        ([option(36, 41, 0.90), option(30, 44, 0.76)], "30m", "36m"),
        ([option(36, 44, 0.90), option(30, 46, 0.76)], "36m", "36m"),
        # firm shares within half a per cent are equal: the quicker, then the shorter boom
        ([option(36, 58, 0.802), option(45, 42, 0.800)], "45m", "45m"),
        ([option(36, 42, 0.802), option(30, 42, 0.800)], "30m", "30m"),
        # two methods of one boom are two ways: the quicker reaches full effect, the firmer is named beside it
        (
            [option(30, 68, 0.85), option(30, 24, 0.80, method="telescope-in")],
            "30m",
            "30m",
        ),
        # much rope firm above a loose bed is never advised
        ([option(24, 20, 0.95, falls=None), option(30, 58, 0.40)], None, "30m"),
        ([option(24, 20, 0.95, falls=None)], None, None),
        ([], None, None),
    ],
)
def test_choice_in_plain_cases(among: list[Option], quickest: str | None, firmest: str | None) -> None:
    assert chosen(choose_boom.choose(among)) == (quickest, firmest)
    assert chosen(choose_boom.choose(among[::-1])) == (quickest, firmest), "the order of the options decides nothing"


def test_two_methods_of_one_boom_are_told_apart() -> None:
    found = choose_boom.choose([option(30, 68, 0.85), option(30, 24, 0.80, method="telescope-in")])
    assert found.quickest and found.firmest
    assert (found.quickest.method, found.firmest.method) == ("telescope-in", "luff-out")


def test_refused_plans_and_methods_are_no_options() -> None:
    a_pass = {"firm_share": 0.8, "full_pull_falls_min": 3}
    refused: dict[str, Any] = {"name": "telescope-in", "refused": {"code": "shortest-boom"}, "passes": []}
    plan: dict[str, Any] = {
        "boom": "30m",
        "boom_length_m": 30.0,
        "inputs": {"target_share": TARGET},
        "methods": [{"name": "luff-out", "refused": None, "passes": [a_pass, a_pass], "minutes": 42.0}, refused],
    }
    whole = plan | {"methods": [refused, None]}
    assert choose_boom.options([whole, plan]) == [option(30, 42, 0.8, falls=3)]


@pytest.mark.parametrize("machine", DATA.machines)
def test_nothing_in_the_fleet_beats_the_choice(machine: str) -> None:
    """Counted again from the plans as data: no way to full effect takes fewer published minutes, none that is enough
    for full line pull winds more than half a per cent of the rope more."""
    for configuration in DATA.machines[machine].configurations:
        plans = [
            plan_data.plan(look_up.case(DATA, machine, chart.slug, configuration.id, DAY))
            for chart in configuration.charts
        ]
        found = choose_boom.choose(choose_boom.options(plans))
        ways = [
            (m["minutes"], m["passes"][-1]["firm_rope_m"] / p["inputs"]["rope_length_m"], p["inputs"]["target_share"])
            for p in plans
            for m in p["methods"]
            if m and m["passes"] and m["passes"][-1]["full_pull_falls_min"]
        ]
        reaching = [minutes for minutes, share, target in ways if share >= target]
        assert (found.quickest is None) == (not reaching)
        if found.quickest:
            assert min(reaching) > found.quickest.minutes - 5
        assert (found.firmest is None) == (not ways)
        if found.firmest:
            assert max(share for _, share, _ in ways) <= found.firmest.firm_share + 0.005
