"""What the planner chooses, step by step: slings, passes, load, falls; every case worked out by hand.

The steps themselves stand in test_winding.py.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from a_rig import END, LOADED, at, slings, straight

from calc import winding
from calc.rig import State
from calc.winding import Move

BEDS = ((2, 300.0), (4, 250.0), (6, 200.0))


# -- the pass after a pass --------------------------------------------------------------------------------------------


def test_moves_of_the_next_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    """Longer slings raise hook and head alike; 8 m of overlap on four falls are 2 m of head; none above 40 m."""
    out = Move("land", at(35.0), at(35.0))

    def further(rig: Any, low: State) -> tuple[Move, ...]:
        if low.sling_length == 2.5:
            raise winding.Refusal("no-room-to-luff")
        return (Move("luff-out", low, at(35.0)), out)

    monkeypatch.setattr(winding, "relaxed_rope", lambda rig, state: 8.0 if state == END else 0.0)
    monkeypatch.setattr(winding, "luff_out_and_land", further)
    hand = (*(slings(n) for n in (1.5, 2.0, 2.5)), slings(3.0, 5000.0), slings(4.0, 4999.0), slings(9.5), slings(9.6))
    before: Any = SimpleNamespace(moves=(out, out, Move("land", at(1.0), END)), slings=hand[1])
    found = list(winding.next_moves(straight(hand), LOADED, before))
    assert [one.length for one, _ in found] == [3.0, 9.5]  # what luffs no further is left out, too
    picked = State(40.0, 19.0, 4.0, 4, 5103.0, 3.0)
    restart = State(40.0, 16.5, 4.5, 4, 5103.0, 3.0)
    empty = {"load": 0.0, "sling_length": 0.0}
    assert found[0][1] == (
        Move("luff-in", END._replace(**empty), picked._replace(**empty)),
        Move("pick", picked, picked._replace(hook_height=4.5)),
        Move("luff-in", picked._replace(hook_height=4.5), restart),
        Move("luff-out", restart, at(35.0)),
        out,
    )
    close = list(winding.next_moves(straight((slings(2.75),)), LOADED, before))
    assert len(close) == 1  # any longer slings, however little


def test_next_pass_takes_most_rope_and_the_shortest_slings_of_equals(monkeypatch: pytest.MonkeyPatch) -> None:
    """A gain of 2 m of 100 is the least; 50 m were firm before, from 10 m on."""
    ends: dict[str, float] = {}
    refused: set[str] = set()

    def check(rig: Any, moves: Any) -> None:
        if moves in refused:
            raise winding.Refusal("line-pull")

    def firm_end(rig: Any, moves: Any, firm_from: float, firm_before: float) -> float:
        assert (firm_from, firm_before) == (10.0, 60.0)
        return ends[moves]

    monkeypatch.setattr(winding, "next_moves", lambda rig, load, before: iter([(key, key) for key in ends]))
    monkeypatch.setattr(winding, "firm_end", firm_end)
    monkeypatch.setattr(winding, "check", check)
    monkeypatch.setattr(winding, "finish", lambda rig, *given: given)
    before: Any = SimpleNamespace(firm_rope=50.0, firm_from=10.0, firm_to=60.0)

    def chosen(**found: float) -> Any:
        ends.clear()
        ends.update(found)
        return winding.next_pass(straight(), LOADED, before)

    assert chosen(a=70.0, b=70.0, c=69.0) == ("a", "a", before, "other-winch")
    assert chosen(a=70.0 * (1 - 1e-12), b=70.0)[0] == "a"
    assert chosen(a=70.0, b=71.0, c=69.0)[0] == "b"
    assert chosen(a=70.0, c=61.0)[0] == "a"
    assert chosen(a=62.0)[0] == "a"
    assert chosen(a=61.9, b=61.0) is None
    assert chosen() is None
    refused.add("b")
    assert chosen(a=65.0, b=71.0, c=64.0)[0] == "a"
    assert chosen(b=71.0) is None


def passes_of(monkeypatch: pytest.MonkeyPatch, firm: list[float], **boom: str) -> winding.Method:
    """The method where the passes leave so much firm; the last one ends at a boom of 30 m."""
    each: list[Any] = [
        SimpleNamespace(moves=(Move("land", END, END._replace(boom_length=30.0)),), firm=share, number=number)
        for number, share in enumerate(firm)
    ]

    def following(rig: Any, load: Any, before: Any) -> Any:
        assert load is LOADED
        return each[before.number + 1] if before.number + 1 < len(each) else None

    monkeypatch.setattr(winding, "next_pass", following)
    monkeypatch.setattr(winding, "firm_in_all", lambda crane, one: one.firm)
    one = straight(drum_to_head=lambda length: length + 5.0, between_falls=3.0)
    one.crane.case.machine.boom.__dict__.update(boom)
    return winding.with_passes(one, LOADED, each[0], "luff-out")


def test_passes_are_added_while_they_add_and_are_allowed(monkeypatch: pytest.MonkeyPatch) -> None:
    def count(firm: list[float], **boom: str) -> int:
        return len(passes_of(monkeypatch, firm, **boom).passes)

    assert count([40.0, 50.0]) == 2
    assert count([40.0, 50.0, 60.0, 70.0]) == 3  # the most of the rule
    assert count([40.0, 80.0, 90.0]) == 2  # the target is met
    assert count([40.0, 79.9, 90.0]) == 3
    assert count([40.0, 50.0], load_return="none") == 1
    method = passes_of(monkeypatch, [40.0])
    assert (method.name, method.refused) == ("luff-out", None)
    assert method.firm_share_limit == pytest.approx(1 - (35 + 3 + 4 * 2) / 100)


def method(firm: float, passes: int, duration: float, firm_from: float = 5.0) -> Any:
    each = tuple(SimpleNamespace(firm_from=firm_from) for _ in range(passes))
    return SimpleNamespace(firm_rope=firm, passes=each, duration=duration)


def test_the_better_method() -> None:
    """Most firm rope to half a per cent of 200 m, then fewest passes, then shortest."""
    assert winding.better([a := method(100.0, 3, 90.0), method(98.0, 1, 10.0)], 200.0) is a
    assert winding.better([method(100.4, 3, 10.0), a := method(100.0, 2, 90.0)], 200.0) is a
    assert winding.better([method(100.0, 2, 91.0), a := method(100.0, 2, 90.0)], 200.0) is a


def test_slings_that_reach_layer_1_come_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """More firm rope counts for nothing where more than the limit, here 10 m above 4 m dead, stays unreached."""
    monkeypatch.setattr(winding, "unreached_limit", lambda crane: 10.0)
    monkeypatch.setattr(winding, "with_passes", lambda rig, load, first, name: first if name == "luff-out" else None)
    found = [method(80.0, 1, 1.0, 15.0), method(60.0, 1, 1.0, 14.0)]
    monkeypatch.setattr(winding, "luffing_passes", lambda rig, load: found)
    assert winding.luff_out(straight(), LOADED) is found[1]
    found.pop()
    assert winding.luff_out(straight(), LOADED) is found[0]

    def none(rig: Any, load: Any) -> Any:
        raise winding.Refusal("line-pull")

    monkeypatch.setattr(winding, "luffing_passes", none)
    assert winding.luff_out(straight(), LOADED) == winding.Method("luff-out", "line-pull")


# -- where it starts --------------------------------------------------------------------------------------------------


def started(monkeypatch: pytest.MonkeyPatch, radii: list[float | str], *capacities: float) -> list[float]:
    """Lengths of the slings to start with, where each one, the shortest first, starts at a radius or is refused."""
    hand = tuple(slings(float(n), c) for n, c in enumerate(capacities or [5000.0] * len(radii)))

    def start(rig: Any, load: Any, used: Any) -> Any:
        found = radii[int(used.length)]
        if isinstance(found, str):
            raise winding.Refusal(found)
        return at(found)

    monkeypatch.setattr(winding, "start_state", start)
    found = list(winding.starts(straight(hand), LOADED))
    assert all(state == at(radii[int(used.length)]) for used, state in found)
    return [used.length for used, _ in found]


def test_slings_to_start_with(monkeypatch: pytest.MonkeyPatch) -> None:
    """The shortest that start at all, and the shortest that start at the least radius of 10 m."""
    assert started(monkeypatch, ["stop-wraps", 10.0, 10.0]) == [1.0]
    assert started(monkeypatch, [14.0, 12.0, 10.0, 10.0]) == [0.0, 2.0]
    assert started(monkeypatch, [14.0, "stop-wraps", 10.0, 10.0]) == [0.0, 2.0]
    assert started(monkeypatch, [14.0, 12.0]) == [0.0]
    assert started(monkeypatch, [10.0, 10.0], 4999.0, 5000.0) == [1.0]
    with pytest.raises(winding.Refusal, match="^slings-not-at-hand$"):
        started(monkeypatch, [10.0], 4999.0)
    with pytest.raises(winding.Refusal, match="^below-stop-height$"):
        started(monkeypatch, ["stop-wraps", "below-stop-height"])


def test_first_passes(monkeypatch: pytest.MonkeyPatch) -> None:
    """One for each start that luffs out and is admissible; the last refusal where there is none."""
    given = {"a": at(1.0), "b": at(2.0), "c": at(3.0)}
    refused: dict[Any, str] = {}

    def further(rig: Any, low: Any) -> Any:
        if low in refused:
            raise winding.Refusal(refused[low])
        return (f"out {low.radius:g}",)

    def check(rig: Any, moves: Any) -> None:
        if moves[-1] == "out 3":
            raise winding.Refusal("line-pull")

    monkeypatch.setattr(winding, "starts", lambda rig, load: iter(given.items()))
    begun = Move("pay-out", END, END)
    monkeypatch.setattr(winding, "first_moves", lambda rig, start: (begun, Move("pick", END, start)))
    monkeypatch.setattr(winding, "luff_out_and_land", further)
    monkeypatch.setattr(winding, "check", check)
    monkeypatch.setattr(winding, "finish", lambda rig, moves, *more: (len(moves), moves[-1], *more))
    assert list(winding.luffing_passes(straight(), LOADED)) == [
        (3, "out 1", "a", None, "none"),
        (3, "out 2", "b", None, "none"),
    ]
    refused[at(1.0)] = "stop-wraps"
    assert list(winding.luffing_passes(straight(), LOADED)) == [(3, "out 2", "b", None, "none")]
    refused[at(2.0)] = "upper-stop"
    with pytest.raises(winding.Refusal, match="line-pull"):
        list(winding.luffing_passes(straight(), LOADED))


# -- falls and load ---------------------------------------------------------------------------------------------------


def test_enough_load() -> None:
    """6,000 kg by the rule less a block of 400 kg and the first slings of 102 kg."""
    one = straight((slings(2.0), slings(3.0)), least_mass=6000.0)
    one.crane.loads = tuple(SimpleNamespace(mass=mass) for mass in (5000.0, 5497.9, 5498.0, 6000.0))
    assert [load.mass for load in winding.enough_load(one)] == [5498.0, 6000.0]


def tried(monkeypatch: pytest.MonkeyPatch, *found: Any) -> Any:
    """The attempt where the loads, the lightest first, lead to these."""
    given = dict(enumerate(found))
    monkeypatch.setattr(winding, "enough_load", lambda rig: iter(given))
    monkeypatch.setattr(winding, "_with_load", lambda rig, load: given[load] if rig == ("crane", 4, "block") else None)
    crane: Any = SimpleNamespace(blocks={4: "block"}, rig=lambda falls, block: ("crane", falls, block))
    assert winding.attempt(crane, 5) is None
    return winding.attempt(crane, 4)


def test_the_least_load_that_is_firm(monkeypatch: pytest.MonkeyPatch) -> None:
    firm, loose, refused = (
        SimpleNamespace(methods=methods, falls_short_of_firm=short)
        for methods, short in ((("m",), False), (("m",), True), ((), False))
    )
    more = SimpleNamespace(methods=("m",), falls_short_of_firm=True)
    assert tried(monkeypatch, firm, more) is firm
    assert tried(monkeypatch, loose, firm, more) is firm
    assert tried(monkeypatch, loose, more) is more  # none is: the largest
    assert tried(monkeypatch, loose, refused, firm) is loose  # no heavier one can be lifted
    assert tried(monkeypatch, loose, None, firm) is loose
    assert tried(monkeypatch, refused, firm) is refused
    assert tried(monkeypatch, None, firm) is None
    assert tried(monkeypatch) is None


def test_has_method(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether the lightest load has a first pass, luffing out or telescoping in."""
    loads: list[str] = ["light", "heavy"]
    luffs, telescopes = {"light"}, {"light"}

    def luffing(rig: Any, load: str) -> Any:
        assert rig == ("crane", 4, "block")
        if load not in luffs:
            raise winding.Refusal("line-pull")
        yield "pass"

    def telescope_in(rig: Any, load: str) -> winding.Method:
        assert rig == ("crane", 4, "block")
        return winding.Method("telescope-in", None if load in telescopes else "shortest-boom")

    monkeypatch.setattr(winding, "enough_load", lambda rig: iter(loads))
    monkeypatch.setattr(winding, "luffing_passes", luffing)
    monkeypatch.setattr(winding, "telescope_in", telescope_in)
    crane: Any = SimpleNamespace(blocks={4: "block"}, rig=lambda falls, block: ("crane", falls, block))
    assert winding.has_method(crane, 4)
    assert not winding.has_method(crane, 5)
    luffs.clear()
    assert winding.has_method(crane, 4)
    telescopes.clear()
    assert not winding.has_method(crane, 4)
    loads.clear()
    assert winding.has_method(crane, 4) is False


@pytest.mark.parametrize(
    ("suspended", "short"), [(5000.0, False), (4999.999997, False), (4999.99, True), (5000.000003, False)]
)
def test_with_load(monkeypatch: pytest.MonkeyPatch, suspended: float, short: bool) -> None:
    """All methods start with the slings of the first; short of firm is what lies under the 5,000 kg it takes."""
    hand = (slings(2.0), slings(3.0))
    one = straight(hand, rope_on_drum=lambda state: 30.0, suspended=lambda state: suspended)
    luffed = winding.Method("luff-out", None, (SimpleNamespace(slings=hand[1]),))
    asked: list[Any] = []

    def telescope_in(rig: Any, load: Any, first: Any) -> winding.Method:
        asked.append(first)
        return winding.Method("telescope-in", None if first else "shortest-boom")

    starts: dict[Any, State] = {hand[0].length: at(12.0), hand[1].length: at(11.0)}

    def start_state(rig: Any, load: Any, used: Any) -> State:
        if used.length not in starts:
            raise winding.Refusal("below-stop-height")
        return starts[used.length]

    monkeypatch.setattr(winding, "luff_out", lambda rig, load: luffed)
    monkeypatch.setattr(winding, "telescope_in", telescope_in)
    monkeypatch.setattr(winding, "start_state", start_state)
    monkeypatch.setattr(winding, "firm_mass", lambda rig, methods: 5000.0 if len(methods) else 0.0)
    found: Any = winding._with_load(one, LOADED)
    assert (found.rig, found.load, found.slings, found.start) == (one, LOADED, hand[1], at(11.0))
    assert (found.unreached, found.firm_mass, found.falls_short_of_firm) == (26.0, 5000.0, short)
    assert found.methods == (luffed, found.telescope_in) and asked == [hand[1]]
    one.crane.case.machine.kind = "lattice"
    assert winding._with_load(one, LOADED).telescope_in is None
    # refused altogether: told with the slings used first
    luffed = winding.Method("luff-out", "line-pull")
    one.crane.case.machine.kind = "telescopic"
    found = winding._with_load(one, LOADED)
    assert (found.slings, found.start, found.methods, asked[-1]) == (hand[0], at(12.0), (), None)
    starts.clear()
    assert winding._with_load(one, LOADED) is None


# -- choosing ---------------------------------------------------------------------------------------------------------


def candidate(falls: int, unreached: float, working: bool = True, firm: float = 100.0, passes: int = 2) -> Any:
    best = SimpleNamespace(firm_rope=firm, passes=(None,) * passes)
    return SimpleNamespace(
        rig=SimpleNamespace(falls=falls, crane=straight().crane),
        unreached=unreached,
        methods=("luff-out",) if working else (),
        best=best if working else None,
    )


def chosen(monkeypatch: pytest.MonkeyPatch, *found: Any, also: tuple[int, ...] = ()) -> Any:
    """The falls chosen of these attempts and the runner-up; 10 m may stay unreached."""
    attempts = {one.rig.falls: one for one in found}
    monkeypatch.setattr(winding, "attempt", lambda crane, falls: attempts.get(falls))
    monkeypatch.setattr(winding, "unreached_limit", lambda crane: 10.0)
    monkeypatch.setattr(winding, "least_unreached", lambda crane, falls: attempts[falls].unreached)
    working = {falls for falls, one in attempts.items() if one.methods}.union(also)
    monkeypatch.setattr(winding, "has_method", lambda crane, falls: falls in working)
    answer = winding.choose(SimpleNamespace(blocks=attempts))
    return answer and (answer[0].rig.falls, answer[1])


def test_the_fewest_falls_that_reach_layer_1(monkeypatch: pytest.MonkeyPatch) -> None:
    c = candidate
    fewer, more = "leaves-more-unreached", "shortens-radius-range"
    assert chosen(monkeypatch, c(2, 50), c(4, 8), c(5, 6)) == (4, (5, more))
    assert chosen(monkeypatch, c(2, 50), c(4, 10), c(5, 6)) == (4, (5, more))  # the limit itself
    assert chosen(monkeypatch, c(2, 50), c(4, 10.1), c(5, 6)) == (5, (4, fewer))
    assert chosen(monkeypatch, c(2, 50), c(4, 8, working=False), c(6, 6)) == (6, None)
    assert chosen(monkeypatch, c(4, 8)) == (4, None)
    assert chosen(monkeypatch) is None


def test_an_even_number_of_falls_is_taken_where_it_gives_as_much(monkeypatch: pytest.MonkeyPatch) -> None:
    """To half a per cent of 100 m, in as few passes, and reaching layer 1 as well."""
    c = candidate
    more = "shortens-radius-range"
    assert chosen(monkeypatch, c(3, 8), c(4, 6)) == (4, (3, "odd-falls"))
    assert chosen(monkeypatch, c(3, 8), c(4, 6, firm=99.5)) == (4, (3, "odd-falls"))
    assert chosen(monkeypatch, c(3, 8), c(4, 6, firm=99.4)) == (3, (4, more))
    assert chosen(monkeypatch, c(3, 8), c(4, 6, passes=3)) == (3, (4, more))
    assert chosen(monkeypatch, c(3, 8), c(4, 6, passes=1)) == (4, (3, "odd-falls"))
    assert chosen(monkeypatch, c(3, 8), c(4, 10)) == (4, (3, "odd-falls"))
    assert chosen(monkeypatch, c(3, 8), c(4, 10.1)) == (3, (4, more))
    assert chosen(monkeypatch, c(4, 8), c(5, 6)) == (4, (5, more))
    assert chosen(monkeypatch, c(3, 8), c(4, 6, working=False)) == (3, None)
    assert chosen(monkeypatch, c(2, 20), c(3, 8)) == (3, (2, "leaves-more-unreached"))


def test_where_none_reaches_layer_1(monkeypatch: pytest.MonkeyPatch) -> None:
    """The least unreached; beside it the next fewer falls that work."""
    c = candidate
    fewer = "leaves-more-unreached"
    assert chosen(monkeypatch, c(2, 50), c(3, 40), c(4, 30)) == (4, (3, fewer))
    assert chosen(monkeypatch, c(2, 50), c(3, 40, working=False), c(4, 30)) == (4, (2, fewer))
    assert chosen(monkeypatch, c(2, 20), c(3, 20), c(4, 30)) == (2, None)  # of equals the fewest falls
    assert chosen(monkeypatch, c(5, 20), c(4, 20)) == (4, None)


def test_a_refused_attempt_is_told_only_where_nothing_works(monkeypatch: pytest.MonkeyPatch) -> None:
    def c(falls: int, unreached: float) -> Any:
        return candidate(falls, unreached, working=False)

    assert chosen(monkeypatch, c(2, 50), c(4, 8)) == (4, None)
    assert chosen(monkeypatch, c(4, 8), c(5, 6)) == (4, (5, "shortens-radius-range"))
    assert chosen(monkeypatch, c(3, 8), c(4, 6)) == (3, (4, "shortens-radius-range"))  # neither has a method to compare
    assert chosen(monkeypatch, c(3, 20), c(4, 8)) == (4, (3, "leaves-more-unreached"))
    assert chosen(monkeypatch, c(3, 40), c(4, 20)) == (4, (3, "leaves-more-unreached"))


def test_what_cannot_win_is_not_planned(monkeypatch: pytest.MonkeyPatch) -> None:
    bounds = {2: 30.0, 3: 12.0, 4: 9.0, 5: 5.0}
    planned: list[int] = []

    def possible(unreached: dict[int, float]) -> Any:
        def ask(falls: int) -> Any:
            planned.append(falls)
            return candidate(falls, unreached[falls]) if falls in unreached else None

        return ask

    def fewest(unreached: dict[int, float]) -> tuple[int | None, list[int]]:
        planned.clear()
        crane: Any = SimpleNamespace(blocks=bounds)
        found = winding.fewest_reaching(crane, possible(unreached))
        return found and found.rig.falls, planned

    monkeypatch.setattr(winding, "unreached_limit", lambda crane: 10.0)
    monkeypatch.setattr(winding, "least_unreached", lambda crane, falls: bounds[falls])
    assert fewest({4: 10.0, 5: 6.0}) == (4, [4])
    assert fewest({4: 10.1, 5: 6.0}) == (5, [4, 5])
    assert fewest({4: 11.0, 5: 15.0, 3: 13.0}) == (4, [4, 5, 5, 4])  # 12 m at best is more than 11
    assert fewest({4: 14.0, 5: 15.0, 3: 13.0}) == (3, [4, 5, 5, 4, 3])
    assert fewest({4: 12.0, 3: 12.0}) == (3, [4, 5, 5, 4, 3])
    assert fewest({}) == (None, [4, 5, 5, 4, 3, 2])


def test_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was chosen, what it was chosen against, and the refusal where no method is left."""
    case: Any = SimpleNamespace(
        machine=SimpleNamespace(rope=SimpleNamespace(length=290.0)), chart=SimpleNamespace(boom_length=27.0)
    )
    crane: Any = SimpleNamespace(beds=BEDS)
    working: Any = SimpleNamespace(rig="rig", methods=("m",), luff_out=winding.Method("luff-out", None))
    telescoped: Any = SimpleNamespace(rig="rig", methods=("m",), luff_out=winding.Method("luff-out", "line-pull"))
    refused: Any = SimpleNamespace(rig="rig", methods=(), luff_out=winding.Method("luff-out", "line-pull"))
    monkeypatch.setattr(winding, "Crane", lambda of: crane if of is case else None)
    monkeypatch.setattr(winding, "exact_falls", lambda *of: 10.5 if of == (crane, "rig") else None)
    monkeypatch.setattr(winding, "heavier_loads", lambda of: (of,))
    for attempt, heavier, said in (
        (working, (working,), None), (telescoped, (), None), (refused, (), "line-pull"),
    ):
        monkeypatch.setattr(winding, "choose", lambda of, attempt=attempt: (attempt, (9, "odd-falls")))
        found = winding.plan(case)
        assert found == winding.Plan(crane, attempt, 10, 10.5, (9, "odd-falls"), heavier, BEDS, said)
    monkeypatch.setattr(winding, "choose", lambda of: None if of is crane else 1)
    assert winding.plan(case) is None
