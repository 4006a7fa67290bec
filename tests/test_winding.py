"""The load for one number of falls, and the figures beside it, on the crane worked by hand.

Firm tension, methods and moves have tests of their own; here loads are tried one after the other.
"""

from __future__ import annotations

from dataclasses import replace
from math import pi
from types import SimpleNamespace
from typing import Any

import pytest
from a_rig import TELESCOPIC, case, light_rope, load_of, rig, rig_of

from calc.winding import planner
from calc.winding.makeup import Load
from calc.winding.rig import Crane, Refusal, Rig


def yard_of(*masses: float, of: Any = None, count: int = 1) -> Rig:
    """The crane with one weight of each of these masses instead, all of them too large in plan to stand on another."""
    found = of or case()
    (weight,) = found.yard.weights
    weights = tuple(replace(weight, id=f"w{mass:g}", mass=mass, count=count) for mass in masses)
    return rig_of(replace(found, yard=replace(found.yard, weights=weights, load_height=0.6)))


def masses(of: Rig) -> list[float]:
    return [load.mass for load in planner.enough_load(of)]


# -- loads that satisfy the rule of thumb -----------------------------------------------------------------------------


def test_enough_load() -> None:
    """98 % of 2*0.1*50,000/g = 1,019.72 kg are 999.32 kg; the block weighs 500 kg, the slings 100 kg."""
    assert masses(yard_of(399.0, 399.31, 399.33, 500.0)) == [399.33, 500.0]
    assert masses(yard_of(419.0, 420.0, of=case(values__accepted_share=1.0))) == [420.0]
    assert masses(yard_of(100.0)) == []


def test_no_falls_no_block_no_weights() -> None:
    crane = rig().crane
    with pytest.raises(Refusal, match=r"^weights-not-at-hand$"):
        planner.attempt(crane, 3)
    with pytest.raises(Refusal, match=r"^weights-not-at-hand$"):
        planner.attempt_with(yard_of(100.0))
    with pytest.raises(Refusal, match=r"^below-stop-height$"):
        planner.attempt_with(yard_of(1000.0, of=case(machine__rope__length=70.0)))


# -- the load that winds best -----------------------------------------------------------------------------------------


def test_the_lightest_load_that_keeps_the_tension() -> None:
    """7,500 N: 2*(7,500 + 19.6133*8.5)/g = 1,563.6 kg for both passes, 963.6 kg of weights; 936 kg for the first."""
    at = case(values__firm_tension_share=0.15)
    assert planner.attempt_with(yard_of(920.0, of=at)).methods == ()
    ((_, mass),) = planner.attempt_with(yard_of(940.0, of=at)).luff_out.wanted
    assert mass == pytest.approx(963.58, abs=0.01)
    one = planner.attempt_with(yard_of(920.0, 940.0, 970.0, 990.0, of=at))
    assert (one.load.mass, len(one.methods[0].passes)) == (970.0, 2)
    # where no heavier load does, the one that winds at all
    assert planner.attempt_with(yard_of(920.0, 940.0, 950.0, of=at)).load.mass == 940.0


def test_a_load_too_heavy_to_hang_ends_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[float] = []

    class Tried(planner.Prospect):
        def __init__(self, of: Rig, load: Load) -> None:
            tried.append(load.mass)
            if load.mass > 945.0:
                raise Refusal("slings-not-at-hand")
            super().__init__(of, load)

    monkeypatch.setattr(planner, "Prospect", Tried)
    at = case(values__firm_tension_share=0.15)
    assert planner.attempt_with(yard_of(920.0, 940.0, 970.0, 990.0, of=at)).load.mass == 940.0
    assert tried == [920.0, 940.0, 970.0]
    with pytest.raises(Refusal, match=r"^slings-not-at-hand$"):
        planner.attempt_with(yard_of(970.0, of=at))


def test_a_load_that_cannot_help_is_not_planned(monkeypatch: pytest.MonkeyPatch) -> None:
    """After 920 kg only loads that keep the tension with every extension hung, 936 - 40 kg on, are worth a plan."""
    tried: list[float] = []
    real = planner.Prospect

    def prospect(of: Any, load: Load) -> Any:
        tried.append(load.mass)
        return real(of, load)

    monkeypatch.setattr(planner, "Prospect", prospect)
    planner.attempt_with(yard_of(420.0, 600.0, 700.0, 1000.0, of=case(values__firm_tension_share=0.15)))
    assert tried == [420.0, 1000.0]


def test_a_heavier_load_that_is_there_twice_makes_a_second_pass() -> None:
    """A second load waits beside the first: of 1,000 kg there is one piece, of 1,100 kg there are two."""
    found = case(machine__boom__load_return="second-load")
    (weight,) = found.yard.weights
    weights = replace(weight, id="one", mass=1000.0, count=1), replace(weight, id="two", mass=1100.0, count=2)
    for given, mass, passes in ((weights, 1100.0, 2), (weights[:1], 1000.0, 1)):
        one = planner.attempt_with(rig_of(replace(found, yard=replace(found.yard, weights=given, load_height=0.6))))
        assert (one.load.mass, len(one.methods[0].passes)) == (mass, passes)


def test_where_the_lightest_block_leaves_the_rope_loose_a_heavier_one_is_hung() -> None:
    """The first pass takes 1,536 kg in all.  Slings and weights come to 800 kg: to 1,300 kg with the block of 500 kg,
    to 1,700 kg with the one of 900 kg.  With weights of 940 kg the light block does."""

    def block(mass: float, *heavier: float) -> str:
        of = yard_of(mass, of=case(values__firm_tension_share=0.15)).crane.case
        (light,) = of.machine.blocks
        blocks = (*(replace(light, id=f"{other:g}", mass=other) for other in heavier), light)
        crane = Crane(replace(of, machine=replace(of.machine, blocks=blocks)))
        found = planner.attempt(crane, 2)
        assert bool(found.methods) == (found.suspended > 1536)
        return found.rig.block.id

    assert block(700.0, 1000.0, 900.0) == "900"
    assert block(940.0, 900.0) == "block"
    assert block(700.0, 600.0) == "block"  # no block does: the lightest


# -- the second yardstick ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("aim", "chosen"),
    [
        (0.025, 1000.0),  # 7,796 N are 2.76 % of 282 kN
        (0.0277, 1100.0),  # 7,811 N: 1,000 kg miss it, 1,100 kg hold 8,287 N
        (0.0295, 1200.0),  # 8,319 N: 1,100 kg miss it, 1,200 kg hold 8,777 N
        (0.0312, 1300.0),  # 8,798 N
        (0.05, 1300.0),  # nothing at hand comes to 14,100 N: the nearest
    ],
)
def test_towards_the_tension_aimed_at(aim: float, chosen: float) -> None:
    """The next heavier load while nothing is lost by it."""
    one = planner.attempt_with(yard_of(1000.0, 1100.0, 1200.0, 1300.0, of=case(values__aimed_tension_share=aim)))
    assert one.load.mass == 1000.0
    assert planner.towards_aim(one).load.mass == chosen


def test_the_aim_costs_no_pass_no_falls_no_rope() -> None:
    """4,000 kg no longer stand on the last row (90 % of 4 t): they reach 40 m only."""
    one = planner.attempt_with(yard_of(1000.0, 1100.0, 4000.0, of=case(values__aimed_tension_share=0.05)))
    assert planner.towards_aim(one).load.mass == 1100.0


def test_the_aim_stops_at_the_next_heavier_load_that_winds_otherwise() -> None:
    """1,100 kg hang 3 m higher and leave 6 m more rope firm: another plan, and 1,200 kg beyond it are not tried."""
    found = yard_of(1000.0, 1100.0, 1200.0, of=case(values__aimed_tension_share=0.05)).crane.case
    light, middle, heavy = found.yard.weights
    high = replace(middle, lifting_points=(middle.lifting_height + 3.0, middle.lifting_diagonal))
    for given, chosen in (((light, high, heavy), 1000.0), ((light, middle, heavy), 1200.0)):
        of = rig_of(replace(found, yard=replace(found.yard, weights=given)))
        one = planner.with_load(of, of.crane.loads[0])
        assert planner.towards_aim(one).load.mass == chosen


def test_a_refused_attempt_has_no_aim() -> None:
    refused = planner.attempt_with(yard_of(920.0, 990.0, of=case(values__firm_tension_share=0.5)))
    assert refused.methods == () and planner.towards_aim(refused) is refused


# -- one attempt ------------------------------------------------------------------------------------------------------


def test_with_load() -> None:
    """Both methods start alike; a lattice boom has one."""
    one = rig(TELESCOPIC)
    found = planner.with_load(one, load_of(one))
    assert found.telescope_in is not None
    assert found.methods == (found.luff_out, found.telescope_in)
    assert {method.passes[0].slings for method in found.methods} == {found.slings}
    assert found.start == found.methods[0].passes[0].pick
    assert found.best is found.telescope_in  # 89 m firm against 48
    assert found.rank == (False, 1, -119, 1)  # 59.5 % of the rope
    assert planner.with_load(rig(), load_of(rig())).telescope_in is None


def test_figures_of_an_attempt() -> None:
    """By the working in cases/contract.yaml."""
    found = planner.with_load(rig(), load_of(rig()))
    assert found.suspended == 1600.0
    assert found.unreached == pytest.approx(5 * pi / 2 + 0.4)
    assert found.firm_from == pytest.approx(13.52654, abs=1e-5)
    assert found.reaches
    assert found.counted.hook_height == pytest.approx(2.8) and not found.counted.load
    assert found.firm_mass == pytest.approx(2 * (5000 + 8.5 * 19.6133) / 9.80665)
    assert found.least_tension == pytest.approx(800 * 9.80665 - 2.5 * 19.6133)
    assert found.rank == (False, 1, -83, 2)


def test_figures_of_a_refused_attempt() -> None:
    """What can be said without a method: where the drum stands at the pick."""
    found = planner.with_load(one := rig(values__firm_tension_share=0.5), load_of(one))
    assert (found.methods, found.best, found.rank) == ((), None, planner.LAST)
    assert found.firm_from == pytest.approx(4 * pi + 0.4)
    assert found.firm_mass == 0.0
    assert found.least_tension == pytest.approx(800 * 9.80665 - 2 * 19.6133)


def test_any_method_ranks_before_none() -> None:
    assert planner.LAST > (True, 0, -1, 3)


# -- bounds and the exact falls ---------------------------------------------------------------------------------------


def test_least_unreached() -> None:
    """Two falls at 14 m, hook 3 m: 150 - 50 - 0.3*pi - 92 m, less than the 8 wraps that stay; 3 are dead."""
    assert planner.least_unreached(rig().crane, 2) == pytest.approx(2.5 * pi)
    assert planner.least_unreached(rig().crane, 2) < 2.5 * pi
    assert planner.least_unreached(rig().crane, 1) == pytest.approx(150 - 50 - 46 - 1.5 * pi)
    # the margin of the least height, or of the rope's length alone, whichever keeps less
    assert planner.least_unreached(light_rope(values__stop_margin=5.0).crane, 2) == pytest.approx(2.5 * pi)


def exact(**changed: Any) -> float | None:
    start = SimpleNamespace(hook_height=changed.pop("hook", 3.0))
    below = changed.pop("firm_below", 0.0)
    return planner.exact_falls(SimpleNamespace(rig=rig_of(replace(case(**changed), firm_below=below)), start=start))  # type: ignore[arg-type]


def test_exact_falls() -> None:
    """(150 - 1.5*pi - 50 + 0.3*pi)/(50 - 3 - 1 + 0.3*pi); what is known to lie firm need not be reached."""
    assert exact() == pytest.approx((100 - 1.2 * pi) / (46 + 0.3 * pi))
    assert exact(firm_below=30.0) == pytest.approx((70 + 0.3 * pi) / (46 + 0.3 * pi))
    assert exact(firm_below=2.0) == exact()
    assert exact(hook=49.5) is None  # the hook does not fit under the head
    assert exact(machine__rope__length=50.0) is None  # no rope for a fall
