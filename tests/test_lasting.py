"""How long pre-tensioned rope counts as firm: both sides of each limit of the rule, and that state and page follow.

Limits by hand from the rule: 12 months, 500 lifts with half the rated line pull or more, 1 % of the diameter.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from conftest import DATA

from calc.data import look_up
from calc.data.entries import Entry, Inspection, NewRope, Place, PreTensioning, Upkeep, Work
from calc.data.model import Data, Override
from calc.drum_log import lasting, state
from calc.drum_log.drum_fields import DrumFound
from calc.fields import RopePlace

PASS = PreTensioning((54.0, 54.0), 10, "five-sheave", 16_000.0, (14.0, 38.0), (1, 7), (4, 15))
# bittern, 135 kN: 4 falls, hook at 5 m and radius 14 m.  The head stands sqrt(54^2 - 12.8^2) above 1.8 m, at 54.26 m;
# 47.06 m of one fall of 3.2 kg/m weigh 1,477 N, the block of 2,800 kg 27,459 N.  Half the pull is 67,500 N.
HEAVY, LIGHT = 24_000.0, 20_000.0


def after(*entries: tuple[str, Any], day: str, read: tuple[Inspection, ...] = ()) -> tuple[Data, DrumFound]:
    begun = Entry("2026-11-02", NewRope(560.0, 15_500.0), ""), Entry("2026-11-02", PASS, "")
    log = (*begun, *(Entry(on, done, "") for on, done in entries))
    data = replace(DATA, upkeep={**DATA.upkeep, "bittern": Upkeep("bittern", log, read)})
    return data, state.without_plan(data, "bittern", day)


def whole(found: DrumFound) -> list[str]:
    return [reason["how"] for reason in found["reasons"] if reason["stretch"] is None]


@pytest.mark.parametrize(("day", "how"), [("2027-11-02", []), ("2027-11-03", ["time"])])
def test_a_year(day: str, how: list[str]) -> None:
    _, found = after(day=day)
    assert whole(found) == how
    if how:
        assert found["due"] and not found["as_rigged"]["ready"] and found["firm"] is None
        assert found["reasons"][0]["code"] == DATA.rules[lasting.RULE].code and found["reasons"][0]["entry"] == 1


def lifts(load: float, repeats: int) -> Work:
    return Work(54.0, 14.0, 4, "five-sheave", load, (5.0, 30.0), repeats)


@pytest.mark.parametrize(
    ("done", "how"),
    [
        ((lifts(HEAVY, 499),), []),
        ((lifts(HEAVY, 500),), ["heavy-lifts"]),
        ((lifts(HEAVY, 300), lifts(LIGHT, 300)), []),
        ((lifts(HEAVY, 300), lifts(LIGHT, 10), lifts(HEAVY, 200)), ["heavy-lifts"]),
        ((lifts(HEAVY, 400), PASS, lifts(HEAVY, 400)), []),  # pre-tensioned in between
    ],
)
def test_heavy_lifts(done: tuple[Any, ...], how: list[str]) -> None:
    """T_1 = (W + G*q)/S, T = T_1/0.98, S = 1 + 0.98 + 0.98^2 + 0.98^3; of the falls a little over half counts."""
    block, falls, total = 2_800.0, 47.06 * 3.2 * 9.80665, 1 + 0.98 + 0.98**2 + 0.98**3
    pulls = [((mass + block) * 9.80665 + falls * 2) / total / 0.98 for mass in (LIGHT, HEAVY)]
    assert pulls[0] < 67_500 < pulls[1]
    assert whole(after(*(("2026-11-03", one) for one in done), day="2026-12-01")[1]) == how


def test_a_measured_pull_decides() -> None:
    measured = replace(lifts(LIGHT, 500), line_pull=67_500.0)
    assert whole(after(("2026-11-03", measured), day="2026-12-01")[1]) == ["heavy-lifts"]


def reading(day: str, kind: RopePlace, diameter: float) -> Inspection:
    return Inspection(day, "somebody", "monthly", (Place(kind, ("drum", 50.0), None, (diameter, diameter)),))


@pytest.mark.parametrize(
    ("kind", "later", "how"),
    [("straight", 0.02575, []), ("straight", 0.02574, ["diameter"]), ("crossover", 0.0250, [])],
)
def test_one_per_cent_of_the_diameter(kind: RopePlace, later: float, how: list[str]) -> None:
    """Of 26.00 mm 0.26 mm; a crossover wears by itself."""
    read = reading("2026-11-02", kind, 0.026), reading("2026-11-20", kind, later)
    assert whole(after(day="2026-12-01", read=read)[1]) == how
    assert whole(after(("2026-11-21", PASS), day="2026-12-01", read=read)[1]) == [], "both before the last pass"


def test_the_manual_goes_before_the_rule() -> None:
    data, _ = after(day="2027-02-01")
    override = Override(lasting.RULE, "firm_months", "2", 2.0, "page 9", "interval of the manual")
    crane = replace(data.machines["bittern"], overrides=(*data.machines["bittern"].overrides, override))
    own = replace(data, machines={**data.machines, "bittern": crane})
    assert whole(state.without_plan(data, "bittern", "2027-02-01")) == []
    assert whole(state.without_plan(own, "bittern", "2027-02-01")) == ["time"]


def test_without_the_rule_or_a_pass_nothing_ends() -> None:
    data, _ = after(day="2026-12-01")
    rules = {id: rule for id, rule in data.rules.items() if id != lasting.RULE}
    assert whole(state.without_plan(replace(data, rules=rules), "bittern", "2027-12-01")) == []
    fresh = replace(data, upkeep={"bittern": Upkeep("bittern", data.upkeep["bittern"].log[:1])})
    case = look_up.case(fresh, "bittern", "54m", None, "2027-12-01")
    assert list(lasting.ended(fresh, case, fresh.upkeep["bittern"].log, ())) == []
