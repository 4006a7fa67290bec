"""Both methods on the cranes worked by hand: which passes are planned, which are dropped, what refuses the first.

The lattice crane by its working in cases/contract.yaml: pass 1 leaves 49.88 m firm, to 63.41 m, enough for two falls;
pass 2 on 9 m of slings 62.35 m, to 75.88 m, enough for one.
"""

from __future__ import annotations

from dataclasses import replace
from math import asin, sqrt
from types import SimpleNamespace
from typing import Any

import pytest
from a_rig import LATTICE, STEEP, TELESCOPIC, case, charts, load_of, rig, rig_of

from calc.data.model import Case, Chart
from calc.data.yard import Sling
from calc.winding import firm, methods, moves, planner
from calc.winding.methods import Begun, Method, Refused
from calc.winding.rig import Refusal, Rig

EIGHT_TONNES = {"chart__rows": ((14.0, 40e3), (30.0, 20e3), (40.0, 12e3), (48.0, 8e3))}  # one fall lies on 88 m


def begun(of: Rig) -> Refused | Begun:
    """With the shortest slings that start at all."""
    slings, start = next(methods.starts(of, load_of(of)))
    return methods.luff_out(methods.Reach(of, load_of(of)), slings, start)


def luffed(of: Rig) -> Method:
    return whole(begun(of))


def whole(one: Refused | Begun) -> Method:
    assert isinstance(one, Begun), one
    return one.method()


def code_of(one: Refused | Begun) -> str | None:
    return one.code if isinstance(one, Refused) else None


def passes(**changed: Any) -> int:
    return len(luffed(rig(**changed)).passes)


# -- the passes of one method -----------------------------------------------------------------------------------------


def test_passes_each_from_its_own_end() -> None:
    """The second begins where the first did and ends 12.466 m higher; nothing is added up."""
    found = luffed(rig())
    first, second = found.passes
    assert found.name == "luff-out"
    assert first.firm_from == second.firm_from == pytest.approx(13.5265, abs=1e-4)
    assert [one.firm_to for one in found.passes] == pytest.approx([63.4099, 75.8758], abs=1e-4)
    assert [one.firm_rope for one in found.passes] == pytest.approx([49.8834, 62.3492], abs=1e-4)
    assert found.firm_rope == second.firm_rope and found.full_pull_falls == second.full_pull_falls == 1
    assert (first.load_return, second.load_return) == ("none", "crawler-travels")
    assert (first.rope_lost, second.rope_lost) == (0.0, pytest.approx(0.622, abs=1e-4))
    assert (first.hung.extension, second.hung.extension) == (0.0, 6.0)
    assert first.slew is None and second.slew is None
    assert found.duration == first.duration + second.duration


def test_a_pass_that_gains_nothing_is_dropped() -> None:
    """With 8 t in the last row one fall lies on 88 m: pass 2, 41.6 % firm, takes no fewer falls than pass 1, 34.4 %."""
    assert passes() == 2
    assert passes(**EIGHT_TONNES) == 1


@pytest.mark.parametrize(("target", "count"), [(0.34, 1), (0.345, 2), (0.41, 2), (0.42, 1)])
def test_a_pass_that_newly_reaches_the_target_is_worth_it(target: float, count: int) -> None:
    assert passes(values__target_share=target, **EIGHT_TONNES) == count


def test_as_many_passes_as_are_allowed() -> None:
    assert passes(values__most_passes=1) == 1
    assert passes(machine__boom__load_return="none") == 1
    assert passes(machine__boom__load_return="helper-machine") == 2


def with_extensions(*lengths: float, of: Case | None = None) -> Rig:
    found = of or case()
    hung = tuple(Sling(f"e{n}", f"extension {n}", n, 40.0, 10e3) for n in lengths)
    return rig_of(replace(found, yard=replace(found.yard, extensions=hung)))


def test_of_all_rows_of_sling_lengths_the_best() -> None:
    """6 m reach one fall; 8 m as well, with more rope firm in as many passes."""
    assert [one.slings.length for one in luffed(with_extensions(6.0)).passes] == [3.0, 9.0]
    assert [one.slings.length for one in luffed(with_extensions(2.0, 6.0)).passes] == [3.0, 11.0]
    assert [one.slings.length for one in luffed(with_extensions(2.0)).passes] == [3.0]


def test_a_pass_under_the_firm_tension_is_not_planned() -> None:
    """The 1,600 kg of pass 1 must do: on 9 m of slings 7,650 N take 2*(7,650 + 19.6133*8.5)/g = 1,594 kg, 7,750 N 1,614
    kg.
    """
    found = luffed(rig(values__firm_tension_share=0.155))
    assert len(found.passes) == 1
    # what it would take of weights, beside block and slings, and what they could do: one fall, 41.6 % of the rope
    ((at_best, mass),) = found.wanted
    assert mass == pytest.approx(2 * (7750 + 8.5 * 19.6133) / 9.80665 - 600)
    assert at_best[:3] == (False, 1, -83)
    enough = luffed(rig(values__firm_tension_share=0.153))
    assert len(enough.passes) == 2 and enough.wanted == ()


# -- a second load ----------------------------------------------------------------------------------------------------


def second_load(count: int, **changed: Any) -> Method:
    found = case(machine__boom__load_return="second-load", **changed)
    (weight,) = found.yard.weights
    return luffed(rig_of(replace(found, yard=replace(found.yard, weights=(replace(weight, count=count),)))))


def test_a_second_load_needs_its_own_weights_and_its_own_line() -> None:
    """3.72 m over the diagonal and 0.5 m of room at the pick radius of 45.376 m."""
    found = second_load(2)
    assert [one.load_return for one in found.passes] == ["none", "second-load"]
    assert found.passes[1].slew == pytest.approx(asin((sqrt(3**2 + 2.2**2) + 0.5) / 45.37621), abs=1e-6)
    assert len(second_load(1).passes) == 1


def test_a_second_load_makes_two_passes_at_most() -> None:
    """What three passes would reach is not planned: extensions of 2 and 6 m go in at once."""
    one = case(machine__boom__load_return="second-load")
    assert [p.slings.length for p in luffed(with_extensions(2.0, 6.0, of=one)).passes] == [3.0, 11.0]


def test_a_second_load_that_does_not_fit_beside_the_first() -> None:
    assert len(second_load(2, values__swing_room=41.7).passes) == 1  # more than 45.4 m in all
    assert len(second_load(2, values__swing_room=41.6).passes) == 2


# -- what refuses the first pass --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"values__least_gain_share": 0.332}, None),  # 49.883 of 150 m are 33.26 %
        ({"values__least_gain_share": 0.333}, "too-little-gain"),
        ({"values__firm_tension_share": 0.1559}, None),  # 7,796.3 N of 50 kN
        ({"values__firm_tension_share": 0.1560}, "tension-too-low"),
        ({"machine__winch__rated_line_pull": 8947.0, "values__firm_tension_share": 0.5}, "line-pull"),
        ({"machine__rope__length": 87.0}, "below-stop-height"),
    ],
)
def test_first_pass(changed: dict[str, Any], code: str | None) -> None:
    """On the slings of 3 m alone."""
    one = with_extensions(of=case(**changed))
    if code == "below-stop-height":
        with pytest.raises(Refusal, match=f"^{code}$"):
            list(methods.starts(one, load_of(one)))
        return
    found = begun(one)
    assert code_of(found) == code
    if code is None:
        assert whole(found).firm_rope == whole(found).passes[-1].firm_rope


def test_how_much_more_mass_would_keep_the_tension() -> None:
    """2*(8,000 N + 19.6133 N/m*2.5 m)/g less block and slings; nothing could be better than what that may do."""
    found = begun(with_extensions(of=case(values__firm_tension_share=0.16)))
    assert isinstance(found, Refused)
    assert found.wanted == ((methods.BEST, pytest.approx(2 * (8000 + 2.5 * 19.6133) / 9.80665 - 600)),)
    assert luffed(rig()).wanted == ()
    assert methods.rank(1, 1.0, 1) > methods.BEST


# -- where it starts --------------------------------------------------------------------------------------------------


def started(of: Rig) -> list[tuple[float, float]]:
    return [(slings.length, start.radius) for slings, start in methods.starts(of, load_of(of))]


def test_slings_to_start_with() -> None:
    """The shortest, and longer ones as long as they let the boom stand steeper: 1 m more raises the head by 1 m."""
    assert started(rig()) == [(3.0, pytest.approx(21.70014, abs=1e-5)), (9.0, STEEP)]
    one_metre = sqrt(2500 - (47.045576 - 2 + 1) ** 2)
    assert started(with_extensions(1.0, 6.0)) == [
        (3.0, pytest.approx(21.70014, abs=1e-5)),
        (4.0, pytest.approx(one_metre, abs=1e-5)),
        (9.0, STEEP),
    ]
    assert started(rig(machine__rope__length=160.0)) == [(3.0, STEEP)]


def test_slings_too_weak_or_out_of_reach_are_passed_over() -> None:
    one = case()
    weak = replace(one, yard=replace(one.yard, slings=replace(one.yard.slings, capacity=999.0)))
    with pytest.raises(Refusal, match=r"^slings-not-at-hand$"):
        started(rig_of(weak))
    exact = replace(one, yard=replace(one.yard, slings=replace(one.yard.slings, capacity=1000.0)))
    assert started(rig_of(exact))[0][0] == 3.0
    # the hook at 2 m with the hoist held would stand 24 m out: no further than 23.2 m here
    with pytest.raises(Refusal, match=r"^slings-out-of-reach$"):
        started(with_extensions(of=case(yard__working_radius=23.2)))
    assert started(with_extensions(of=case(yard__working_radius=23.3)))[0][0] == 3.0


def test_slings_that_leave_too_much_unreached_come_last() -> None:
    """On 9 m of slings 14.3 m stay unreached, on 3 m 8.3 m; 35 % of layer 1 are 11.0 m."""
    found = planner.with_load(rig(), load_of(rig()))
    assert found.slings.length == 3.0 and found.reaches
    assert 9.0 in [slings.length for slings, _ in methods.starts(rig(), load_of(rig()))]
    # where nothing reaches, the one that leaves least, though the other winds more rope firm
    strict = rig(values__unreached_limit=0.2)
    none = planner.with_load(strict, load_of(strict))
    assert none.methods and not none.reaches and none.methods[0].full_pull_falls is None
    assert none.slings.length == 3.0
    (_, other) = (firm.firm_from(strict, start) for _, start in methods.starts(strict, load_of(strict)))
    assert other > none.firm_from


def test_longer_slings_that_weigh_less_must_lay_firm_too() -> None:
    """An extension of 6 m and 200 kg hangs in the first pass, one of 9 m and 20 kg in the second: 180 kg less."""
    bare = with_extensions()
    hung = Sling("short", "heavy chain", 6.0, 200.0, 10e3), Sling("long", "light rope", 9.0, 20.0, 10e3)
    case_of = bare.crane.case
    one = rig_of(replace(case_of, yard=replace(case_of.yard, extensions=hung)))
    _, heavy, light, *_ = one.crane.slings
    assert heavy.mass - light.mass == 180.0 and heavy.length < light.length
    begun = methods.luff_out(methods.Reach(one, load_of(one)), heavy, moves.start_state(one, load_of(one), heavy))
    assert isinstance(begun, Begun)
    assert begun._needed(light) == begun.outcomes[light].mass + 180.0
    assert begun._needed(heavy) == begun.outcomes[heavy].mass


# -- telescoping ------------------------------------------------------------------------------------------------------

SHORT = Chart(25.0, "25m", 6e3, ((7.0, 40e3), (15.0, 20e3), (20.0, 12e3), (24.0, 8e3)))
LONG = Chart(50.0, "50m", 4e3, ((14.0, 30e3), (30.0, 15e3), (40.0, 10e3), (48.0, 6e3)))
SHORTEST = Chart(20.0, "20m", 6e3, ((7.0, 40e3), (12.0, 20e3), (19.0, 12e3)))


def begun_telescoping(*listed: Chart, **changed: Any) -> Refused | Begun:
    one = rig_of(charts(case(TELESCOPIC, **changed), *listed))
    slings, start = next(methods.starts(one, load_of(one)))
    return methods.telescope_in(methods.Reach(one, load_of(one)), slings, start)


def telescoped(*listed: Chart, **changed: Any) -> Method:
    return whole(begun_telescoping(*listed, **changed))


def test_telescoping_to_the_shortest_boom_that_allows_it() -> None:
    found = telescoped(SHORT, LONG)
    assert (found.name, found.passes[0].end.boom_length) == ("telescope-in", 25.0)
    assert found.firm_rope == pytest.approx(89.2307, abs=1e-3)
    assert telescoped(SHORTEST, SHORT, LONG).passes[0].end.boom_length == 20.0
    heavy = replace(SHORTEST, telescoping=1e3)
    assert telescoped(heavy, SHORT, LONG).passes[0].end.boom_length == 25.0


@pytest.mark.parametrize(
    ("listed", "changed", "code"),
    [
        ((LONG,), {}, "shortest-boom"),
        ((SHORT, LONG), {"machine__boom__telescoping": None}, "telescoping-not-listed"),
        ((replace(SHORT, telescoping=None), LONG), {}, "telescoping-not-listed"),
        ((replace(SHORT, telescoping=1.9e3), LONG), {}, "over-telescoping-load"),  # 1,772 kg of 1,710
        ((replace(SHORT, telescoping=2e3), LONG), {}, None),
        ((SHORT, LONG), {"machine__boom__clear_radius": 25.0}, "carrier-not-cleared"),
        # refused at the shortest for its load, at the next for its carrier: what stops it at the shortest
        (
            (replace(SHORTEST, telescoping=1e3), replace(SHORT, telescoping=None), LONG),
            {},
            "telescoping-not-listed",
        ),
        ((replace(SHORTEST, telescoping=1e3), replace(SHORT, telescoping=1.1e3), LONG), {}, "over-telescoping-load"),
    ],
)
def test_telescoping_refused(listed: tuple[Chart, ...], changed: dict[str, Any], code: str | None) -> None:
    assert code_of(begun_telescoping(*listed, **changed)) == code


def test_telescoping_starts_with_longer_slings() -> None:
    one = rig_of(charts(case(TELESCOPIC), SHORT, LONG))
    *_, (longer, start) = methods.starts(one, load_of(one))
    found = whole(methods.telescope_in(methods.Reach(one, load_of(one)), longer, start))
    assert found.passes[0].slings == longer == one.crane.slings[1] and found.passes[0].hung.extension == 6.0
    assert found.passes[0].pick == start


# -- comparing --------------------------------------------------------------------------------------------------------


def test_rank() -> None:
    """Fewest falls, then most firm rope in steps of half a per cent, then fewest passes."""
    best_first = [
        methods.rank(4, 0.30, 3),
        methods.rank(6, 0.50, 1),
        methods.rank(6, 0.495, 1),
        methods.rank(6, 0.494, 2),
        methods.rank(None, 0.90, 1),
    ]
    assert sorted(best_first, key=lambda place: place) == best_first
    assert methods.rank(6, 0.5024, 1) == methods.rank(6, 0.4976, 1) != methods.rank(6, 0.4974, 1)


def test_firm_in_all() -> None:
    """With the rope that is known to lie firm beneath, without the dead wraps."""

    def crane(firm_below: float) -> Any:
        return SimpleNamespace(dead_rope=4.0, case=SimpleNamespace(firm_below=firm_below))

    assert methods.firm_in_all(crane(0.0), 20.0, 50.0) == 50.0
    assert methods.firm_in_all(crane(15.0), 20.0, 50.0) == 61.0
    assert methods.firm_in_all(crane(30.0), 20.0, 50.0) == 66.0
    assert methods.firm_in_all(crane(4.5), 20.0, 50.0) == 50.5


def test_states_of_a_method() -> None:
    """Luffing in under load and landing wind nothing."""
    found = luffed(rig(LATTICE, values__most_passes=1))
    names = [move.name for move in found.passes[0].moves]
    assert names == ["pay-out", "luff-in", "pick", "luff-out", "land"]
    assert len(found.loaded_states) == 6 and len(found.winding_states) == 4
