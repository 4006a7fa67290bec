"""What would help a plan of the crane worked by hand: each kind of thing, and which of them are told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from a_rig import case, rig_of

from calc.data.model import Block, Case, Chart, Configuration
from calc.winding import planner, what_would_help
from calc.winding.plan_fields import Changed, HelpKind
from calc.winding.rig import Refusal
from calc.winding.what_would_help import Help


def one_weight(**changed: Any) -> Case:
    """One weight of 1 t and no extensions: pass 1 alone, for two falls."""
    found = case(**changed)
    (weight,) = found.yard.weights
    return replace(found, yard=replace(found.yard, weights=(replace(weight, count=1),), extensions=()))


def helps(of: Case) -> dict[str, Help]:
    return {one.kind: one for one in what_would_help.what_would_help(planner.plan(of), of)}


# -- each kind, planned -----------------------------------------------------------------------------------------------


def test_longer_slings() -> None:
    """As above 9 m and more: one fall instead of two, in one pass more."""
    found = helps(one_weight())
    assert set(found) == {"slings"}
    assert found["slings"].method.full_pull_falls == 1
    length = found["slings"].what["length_m"]
    assert 9.0 <= length <= 24.0 and (length - 3.0) % 2.0 == 0.0
    assert helps(one_weight(values__help_sling_length=4.9)) == {}


def test_heavier_weights() -> None:
    """7,750 N on 9 m of slings need 1,614.5 kg; 1,600 kg hang.  The first step of 2 % that does it, with its band."""
    short = case(values__firm_tension_share=0.155, values__help_sling_length=3.0)
    (weight,) = short.yard.weights
    short = replace(short, yard=replace(short.yard, weights=(replace(weight, count=1),)))
    found = helps(short)["weight"]
    assert len(found.method.passes) == 2 and found.method.full_pull_falls == 1
    assert found.what["least_kg"] == pytest.approx(2 * (7750 + 8.5 * 19.6133) / 9.80665 - 500)
    assert found.what["most_kg"] == pytest.approx(3600 - 110.379 - 500, abs=0.01)  # rope beyond 40 m
    # a fifth of a per cent more is too little
    assert "weight" not in helps(replace(short, values=replace(short.values, help_mass_share=0.01)))
    # where the tension suffices no heavier weight is tried
    assert "weight" not in helps(one_weight())


def test_another_block() -> None:
    """200 kg more hang on it: 1,800 kg."""
    short = case(values__firm_tension_share=0.155, values__help_sling_length=3.0, values__help_mass_share=0.0)
    (weight,) = short.yard.weights
    heavy = Block("heavy", 700.0, 1.0, 1, 2, 40e3)
    short = replace(
        short,
        yard=replace(short.yard, weights=(replace(weight, count=1),)),
        machine=replace(short.machine, blocks=(*short.machine.blocks, heavy)),
    )
    found = helps(short)["block"]
    assert found.what == {"block": "heavy"} and len(found.method.passes) == 2


def test_more_room() -> None:
    """23.2 m leave no place to hang the slings; 5 m more leave too little gain, 20 m more do."""
    found = helps(one_weight(yard__working_radius=23.2, values__help_room=20.0))
    assert found["room"].what == {"working_radius_m": pytest.approx(43.2)}
    assert found["room"].method.passes
    assert "room" not in helps(one_weight())
    assert "room" not in helps(one_weight(yard__working_radius=23.2))


def test_another_configuration_and_another_boom(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same boom length in every other configuration, every other boom length in this one."""
    here = case()
    other = Chart(40.0, "40m", None, ((12.0, 1e3),))
    weak = Configuration("weak", "Weak", (here.chart,))
    without = Configuration("without", "Without", (other,))
    own = replace(here.configuration, charts=(other, here.chart))
    of = replace(here, configuration=own, machine=replace(here.machine, configurations=(own, weak, without)))
    asked: list[tuple[str, str]] = []

    def best_attempt(found: Case) -> Any:
        asked.append((found.configuration.id, found.chart.slug))
        if found.chart is not other:
            raise Refusal("line-pull")
        return SimpleNamespace(methods=(SimpleNamespace(duration=100.0),))

    monkeypatch.setattr(what_would_help, "crane_of", lambda found: found)
    monkeypatch.setattr(what_would_help, "best_attempt", best_attempt)
    (found,) = what_would_help.what_would_help("line-pull", of)
    assert asked == [("weak", "50m"), ("full", "40m")]
    assert (found.kind, found.what) == ("boom", {"boom": "40m", "boom_length_m": 40.0})


def test_other_falls(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two more and two fewer, as far as they can be reeved; the planned number is not asked for again."""
    asked: list[int] = []

    def attempt(crane: Any, falls: int) -> Any:
        asked.append(falls)
        if falls == 5:
            raise Refusal("line-pull")
        return SimpleNamespace(methods=(SimpleNamespace(duration=60.0 + falls),))

    monkeypatch.setattr(what_would_help, "attempt", attempt)
    crane: Any = SimpleNamespace(
        case=SimpleNamespace(values=SimpleNamespace(help_falls=2)), blocks=dict.fromkeys((1, 2, 3, 4, 5))
    )

    def tried(falls: int, reaches: bool = False, full_pull: int | None = None) -> list[Changed]:
        asked.clear()
        best = SimpleNamespace(full_pull_falls=full_pull)
        own: Any = SimpleNamespace(rig=SimpleNamespace(crane=crane, falls=falls), reaches=reaches, best=best)
        return [one.what for one in what_would_help._falls(own)]

    assert tried(4) == [{"falls": 2}, {"falls": 3}] and asked == [2, 3, 5]
    assert tried(1) == [{"falls": 2}, {"falls": 3}] and asked == [2, 3]
    # a plan that reaches has the fewest falls that do: fewer are asked for only where it is enough for none
    assert tried(2, reaches=True, full_pull=3) == [{"falls": 3}, {"falls": 4}] and asked == [3, 4]
    assert tried(2, reaches=True) == [{"falls": 1}, {"falls": 3}, {"falls": 4}]


# -- which are told ---------------------------------------------------------------------------------------------------


def method(minutes: float, falls: int | None = 4, firm: float = 60.0, passes: int = 2, name: str = "luff-out") -> Any:
    return SimpleNamespace(duration=minutes, full_pull_falls=falls, firm_rope=firm, passes=(None,) * passes, name=name)


def told(
    monkeypatch: pytest.MonkeyPatch, old: Any, *tried: tuple[HelpKind, Any], lines: int = 5
) -> list[tuple[str, float]]:
    def given(own: Any, of: Case) -> Iterator[Help]:
        return iter([Help(kind, {}, one) for kind, one in tried])

    monkeypatch.setattr(what_would_help, "_tried", given)
    plan: Any = SimpleNamespace(attempt=SimpleNamespace(best=old))
    found = what_would_help.what_would_help(plan, case(values__help_lines=lines))
    return [(one.kind, one.method.duration) for one in found]


@pytest.mark.parametrize(
    ("kind", "new", "better"),
    [
        ("slings", method(1), False),  # the same
        ("slings", method(1, falls=3), True),
        ("slings", method(1, falls=3, firm=50.0), True),  # fewer falls count before rope
        ("boom", method(1, falls=3, firm=50.0), False),  # on another boom falls stand for another bed
        ("boom", method(1, falls=3, firm=60.0), True),
        ("slings", method(1, falls=5, passes=1), False),
        ("slings", method(1, falls=None, passes=1), False),
        ("slings", method(1, passes=1), True),
        ("slings", method(1, passes=1, firm=59.0), False),  # 39.3 % of 150 m, not 40 %
        ("slings", method(1, passes=1, firm=59.7), True),  # 39.8 %: within half a per cent
        ("slings", method(1, passes=3, firm=90.0), False),  # more rope alone is no help
        ("slings", method(1, name="telescope-in"), True),
        ("slings", method(1, passes=3, name="telescope-in"), True),
    ],
)
def test_what_is_better(monkeypatch: pytest.MonkeyPatch, kind: HelpKind, new: Any, better: bool) -> None:
    """Method, passes or falls for full line pull improve, and nothing of them gets worse."""
    assert bool(told(monkeypatch, method(99), (kind, new))) == better


def test_anything_helps_where_nothing_works(monkeypatch: pytest.MonkeyPatch) -> None:
    assert told(monkeypatch, None, ("slings", method(40, falls=None, firm=1.0, passes=3))) == [("slings", 40)]


def test_from_telescoping_to_telescoping_is_no_gain(monkeypatch: pytest.MonkeyPatch) -> None:
    old = method(99, name="telescope-in")
    assert told(monkeypatch, old, ("slings", method(1, name="telescope-in"))) == []


def test_one_of_each_kind_the_quickest_first_and_no_more_than_the_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of rising weights the first that helps, of all else the quickest work."""
    tried: tuple[tuple[HelpKind, Any], ...] = (
        ("weight", method(90, falls=5)),  # no help
        ("weight", method(50, falls=3)),
        ("weight", method(20, falls=3)),  # heavier than needed
        ("slings", method(60, falls=3)),
        ("slings", method(40, falls=3)),
        ("block", method(30, falls=3)),
        ("room", method(30, falls=3)),
    )
    expected = [("block", 30), ("room", 30), ("slings", 40), ("weight", 50)]
    assert told(monkeypatch, method(99), *tried) == expected
    assert told(monkeypatch, method(99), *tried, lines=2) == expected[:2]
    assert told(monkeypatch, method(99), *tried, lines=0) == []


def test_the_crane_itself_stays_as_it_is() -> None:
    """Longer slings are tried on a crane of their own."""
    of = one_weight()
    plan = planner.plan(of)
    assert not isinstance(plan, str)
    what_would_help.what_would_help(plan, of)
    assert [one.length for one in plan.crane.slings] == [one.length for one in rig_of(of).crane.slings] == [3.0]
