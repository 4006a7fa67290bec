"""Which number of falls is chosen, among attempts that are given: every case worked out by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from a_rig import case

from calc.winding import planner
from calc.winding.methods import Method, Refused
from calc.winding.rig import Refusal

DEAD = 4.0  # m; 10 m above may stay unreached
FEWER, MORE = "leaves-more-unreached", "shortens-radius-range"


def candidate(
    falls: int, unreached: float, working: bool = True, firm: float = 100.0, passes: int = 2, full_pull: int | None = 8
) -> Any:
    best = SimpleNamespace(firm_rope=firm, passes=(None,) * passes, full_pull_falls=full_pull)
    crane = SimpleNamespace(
        dead_rope=DEAD, case=SimpleNamespace(machine=SimpleNamespace(rope=SimpleNamespace(length=100.0)))
    )
    return SimpleNamespace(
        rig=SimpleNamespace(falls=falls, crane=crane),
        unreached=unreached,
        firm_from=DEAD + unreached,
        reaches=unreached <= 10.0,
        methods=("luff-out",) if working else (),
        best=best if working else None,
    )


def chosen(monkeypatch: pytest.MonkeyPatch, *found: Any, refused: tuple[str, ...] = ()) -> Any:
    """The falls chosen of these attempts and the runner-up; further falls that are refused."""
    attempts = {one.rig.falls: one for one in found}
    codes: dict[int, Any] = {100 + at: code for at, code in enumerate(refused)}

    def attempt(crane: Any, falls: int) -> Any:
        if falls not in attempts:
            raise Refusal(codes.get(falls, "weights-not-at-hand"))
        return attempts[falls]

    monkeypatch.setattr(planner, "attempt", attempt)
    monkeypatch.setattr(planner, "unreached_limit", lambda crane: 10.0)
    monkeypatch.setattr(
        planner, "least_unreached", lambda crane, falls: attempts[falls].unreached if falls in attempts else 0.0
    )
    crane: Any = SimpleNamespace(blocks=dict.fromkeys([*attempts, *codes]), dead_rope=DEAD)
    best = planner.best_attempt(crane)
    return best.rig.falls, planner._runner_up(crane, best)


def test_the_fewest_falls_that_reach_the_first_layer(monkeypatch: pytest.MonkeyPatch) -> None:
    c = candidate
    assert chosen(monkeypatch, c(2, 50), c(4, 8), c(5, 6)) == (4, (5, MORE))
    assert chosen(monkeypatch, c(2, 50), c(4, 10), c(5, 6)) == (4, (5, MORE))  # the limit itself
    assert chosen(monkeypatch, c(2, 50), c(4, 10.1), c(5, 6)) == (5, (4, FEWER))
    assert chosen(monkeypatch, c(2, 50), c(4, 8, working=False), c(6, 6)) == (6, None)
    assert chosen(monkeypatch, c(4, 8)) == (4, None)
    assert chosen(monkeypatch, c(3, 50), c(4, 8)) == (4, (3, FEWER))


def test_an_even_number_of_falls_is_taken_where_it_gives_as_much(monkeypatch: pytest.MonkeyPatch) -> None:
    """To half a per cent of 100 m, in as few passes, for as few falls, and reaching the first layer as well."""
    c = candidate
    odd = (4, (3, "odd-falls"))
    kept = (3, (4, MORE))
    assert chosen(monkeypatch, c(3, 8), c(4, 6)) == odd
    assert chosen(monkeypatch, c(3, 8), c(4, 6, firm=99.5)) == odd
    assert chosen(monkeypatch, c(3, 8), c(4, 6, firm=99.4)) == kept
    assert chosen(monkeypatch, c(3, 8), c(4, 6, passes=3)) == kept
    assert chosen(monkeypatch, c(3, 8), c(4, 6, passes=1)) == odd
    assert chosen(monkeypatch, c(3, 8), c(4, 6, full_pull=9)) == kept
    assert chosen(monkeypatch, c(3, 8), c(4, 6, full_pull=None)) == kept
    assert chosen(monkeypatch, c(3, 8), c(4, 6, full_pull=7)) == odd
    assert chosen(monkeypatch, c(3, 8, full_pull=None), c(4, 6)) == odd
    assert chosen(monkeypatch, c(3, 8), c(4, 10)) == odd
    assert chosen(monkeypatch, c(3, 8), c(4, 10.1)) == kept
    assert chosen(monkeypatch, c(4, 8), c(5, 6)) == (4, (5, MORE))
    assert chosen(monkeypatch, c(3, 8), c(4, 6, working=False)) == (3, None)
    assert chosen(monkeypatch, c(2, 20), c(3, 8)) == (3, (2, FEWER))


def test_where_none_reaches_the_first_layer(monkeypatch: pytest.MonkeyPatch) -> None:
    """The least unreached; beside it the next fewer falls that work; an even number is no better then."""
    c = candidate
    assert chosen(monkeypatch, c(2, 50), c(3, 40), c(4, 30)) == (4, (3, FEWER))
    assert chosen(monkeypatch, c(2, 50), c(3, 40, working=False), c(4, 30)) == (4, (2, FEWER))
    assert chosen(monkeypatch, c(2, 20), c(3, 20), c(4, 30)) == (2, None)  # of equals the fewest falls
    assert chosen(monkeypatch, c(5, 20), c(4, 20)) == (4, None)
    assert chosen(monkeypatch, c(3, 20), c(4, 30)) == (3, None)


def test_a_refused_attempt_is_told_only_where_nothing_works(monkeypatch: pytest.MonkeyPatch) -> None:
    def c(falls: int, unreached: float) -> Any:
        return candidate(falls, unreached, working=False)

    assert chosen(monkeypatch, c(2, 50), c(4, 8)) == (4, None)
    assert chosen(monkeypatch, c(4, 8), c(5, 6)) == (4, (5, MORE))
    assert chosen(monkeypatch, c(3, 8), c(4, 6)) == (3, (4, MORE))  # neither has a method to compare
    assert chosen(monkeypatch, c(3, 20), c(4, 8)) == (4, (3, FEWER))
    assert chosen(monkeypatch, c(3, 40), c(4, 20)) == (4, (3, FEWER))


def test_where_nothing_can_even_be_started(monkeypatch: pytest.MonkeyPatch) -> None:
    """What stops it, rather than that no weights are at hand for some of the falls."""
    for refused, code in (
        ((), "weights-not-at-hand"),
        (("weights-not-at-hand", "slings-out-of-reach", "line-pull"), "slings-out-of-reach"),
    ):
        with pytest.raises(Refusal, match=f"^{code}$"):
            chosen(monkeypatch, refused=refused)


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
        crane: Any = SimpleNamespace(blocks=bounds, dead_rope=DEAD)
        found = planner.fewest_reaching(crane, possible(unreached))
        return found.rig.falls if found else None, planned

    monkeypatch.setattr(planner, "unreached_limit", lambda crane: 10.0)
    monkeypatch.setattr(planner, "least_unreached", lambda crane, falls: bounds[falls])
    assert fewest({4: 10.0, 5: 6.0}) == (4, [4])
    assert fewest({4: 10.1, 5: 6.0}) == (5, [4, 5])
    assert fewest({4: 11.0, 5: 15.0, 3: 13.0}) == (4, [4, 5, 5, 4])  # 12 m at best is more than 11
    assert fewest({4: 14.0, 5: 15.0, 3: 13.0}) == (3, [4, 5, 5, 4, 3])
    assert fewest({4: 12.0, 3: 12.0}) == (3, [4, 5, 5, 4, 3])
    assert fewest({}) == (None, [4, 5, 5, 4, 3, 2])


def test_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """What was chosen, what it was chosen against, and the refusal where no method is left."""
    one = case()
    crane: Any = SimpleNamespace(beds=((2, 300.0),), bending=50.0)
    monkeypatch.setattr(planner, "exact_falls", lambda found: 10.5)
    monkeypatch.setattr(planner, "crane_of", lambda of: crane if of is one else None)
    monkeypatch.setattr(planner, "towards_aim", lambda found: found)
    monkeypatch.setattr(planner, "_runner_up", lambda of, best: (9, "odd-falls"))
    working: Any = SimpleNamespace(methods=("m",), luff_out=Method("luff-out", (), 0.5))
    telescoped: Any = SimpleNamespace(methods=("m",), luff_out=Refused("luff-out", "line-pull"))
    refused: Any = SimpleNamespace(methods=(), luff_out=Refused("luff-out", "line-pull"))
    expected: tuple[tuple[Any, Any], ...] = ((working, None), (telescoped, None), (refused, "line-pull"))
    for attempt, said in expected:
        monkeypatch.setattr(planner, "best_attempt", lambda of, attempt=attempt: attempt)
        found = planner.plan(one)
        # a rope of 150 m on a boom of 50 m: (150 - 50)/50
        assert found == planner.Plan(crane, attempt, 2, 10.5, (9, "odd-falls"), ((2, 300.0),), said)

    def none(of: Any) -> Any:
        raise Refusal("below-stop-height")

    monkeypatch.setattr(planner, "best_attempt", none)
    assert planner.plan(one) == "below-stop-height"


def test_what_refuses_every_number_of_falls_is_the_plan() -> None:
    assert planner.plan(case(machine__rope__length=60.0)) == "below-stop-height"
