"""Jibs: every rig by hand from the triangle of boom, jib and arm; what the check says of them; methods and log.

The hand work rests on geometry alone: law of cosines and of sines, and the two pieces placed one after the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml
from conftest import DATA, DAY

from calc.checks import jibs
from calc.data import files, look_up
from calc.data.entries import Entry, NewRope, PreTensioning, Work
from calc.data.model import Case, Jib
from calc.drum_log import history
from calc.formulas import ledger
from calc.winding import arms, plan_data
from calc.winding.rig import Crane, State

RULES = Path(__file__).resolve().parent.parent / "rules"
BOOM = DATA.machines["bittern"].boom  # pivot 1.2 m forward, 1.8 m up; rope 1 m shorter than the boom
HEAD = DATA.machines["bittern"].reeving


def jib(**given: Any) -> Jib:
    return Jib(**{"id": "one", "kind": "fixed", "length": 15.0, "rope_longer_than_jib": 0.5, "reeving": HEAD, **given})


# Boom 41 m, jib 15 m, all to a millimetre.
# 30 degrees: arm^2 = 1681 + 225 + 2*41*15*0.8660254 = 2971.2112, arm 54.5088 m; sin = 15*0.5/54.5088 = 0.137592,
# 7.9086 degrees.  P = 41 + 15 - 1 + 0.5 = 55.5 m, not 54.5088 - 1 + 0.5: 1.49 m short.
# 0 degrees: one straight boom of 56 m.  90 degrees: arm^2 = 1681 + 225 = 1906, arm 43.6578 m; tan = 15/41, 20.0952
# degrees.  Runner of 2 m at 20 degrees: arm^2 = 1681 + 4 + 164*0.9396926 = 1839.1096, arm 42.8848 m; sin =
# 2*0.3420201/42.8848 = 0.0159507, 0.91395 degrees; P = 41 + 2 - 1 + 0.5 = 42.5 m.
BY_HAND = [
    (jib(offset=math.radians(30)), 54.5088, 7.9086, 55.5, 56.0),
    (jib(offset=0.0), 56.0, 0.0, 55.5, 56.0),
    (jib(offset=math.radians(90)), 43.6578, 20.0952, 55.5, 56.0),
    (jib(kind="runner", length=2.0, offset=math.radians(20)), 42.8848, 0.91395, 42.5, 43.0),
]


@pytest.mark.parametrize(("rigged", "arm", "steeper", "path", "bending"), BY_HAND)
def test_a_fixed_jib_by_its_triangle(rigged: Jib, arm: float, steeper: float, path: float, bending: float) -> None:
    found = arms.made(BOOM, rigged, 41.0)
    assert found.length == pytest.approx(arm, abs=1e-3)
    assert math.degrees(found.steeper) == pytest.approx(steeper, abs=1e-3)
    assert (found.drum_to_head, found.bending) == pytest.approx((path, bending), abs=1e-9)
    assert (found.pivot_forward, found.pivot_height) == (1.2, 1.8)


def test_a_luffing_jib_by_its_boom_head() -> None:
    """Boom 42 m at 75 degrees: 42*0.2588190 = 10.8704 m forward, 42*0.9659258 = 40.5689 m up; pivot at 12.0704 and
    42.3689 m.  Jib 30 m: the arm itself.  P = 42 + 30 - 1 + 0.5 = 71.5 m; 72 m bend."""
    rigged = jib(kind="luffing", length=30.0, boom_angle=math.radians(75), luffing=0.003, least_angle=math.radians(15))
    found = arms.made(BOOM, rigged, 42.0)
    assert (found.length, found.steeper) == (30.0, 0.0)
    assert (found.pivot_forward, found.pivot_height) == pytest.approx((12.0704, 42.3689), abs=1e-3)
    assert (found.drum_to_head, found.bending) == pytest.approx((71.5, 72.0), abs=1e-9)
    # the other angle of the paper, 85 degrees: 42*0.0871557 = 3.6605 m forward, 42*0.9961947 = 41.8402 m up
    steep = arms.made(BOOM, replace(rigged, boom_angle=math.radians(85)), 42.0)
    assert (steep.pivot_forward, steep.pivot_height) == pytest.approx((4.8605, 43.6402), abs=1e-3)


def _case(machine: str, boom: str, configuration: str) -> Case:
    return look_up.case(DATA, machine, boom, configuration, DAY)


def _rigged() -> Iterator[Case]:
    for machine in DATA.machines.values():
        for configuration in machine.configurations:
            for chart in configuration.charts if configuration.jib else ():
                yield _case(machine.id, chart.slug, configuration.id)


RIGGED = list(_rigged())


@pytest.mark.parametrize("case", RIGGED, ids=lambda case: f"{case.machine.id}-{case.configuration.id}")
def test_the_jib_head_stands_where_its_two_pieces_end(case: Case) -> None:
    """Boom, then jib, each with its own angle: what the crane says of angle, head and back to the radius."""
    crane, length, rigged = Crane(case), case.chart.boom_length, case.jib
    assert rigged is not None
    for radius, _ in case.chart.rows:
        angle = crane.angle(length, radius)
        boom, piece = (
            (angle, angle - (rigged.offset or 0.0)) if rigged.boom_angle is None else (rigged.boom_angle, angle)
        )
        x = case.machine.boom.pivot_forward + length * math.cos(boom) + rigged.length * math.cos(piece)
        z = case.machine.boom.pivot_height + length * math.sin(boom) + rigged.length * math.sin(piece)
        assert x == pytest.approx(radius, abs=1e-9) and crane.head(length, radius) == pytest.approx(z, abs=1e-9)
        assert crane.radius_at_head(length, z) == pytest.approx(radius, abs=1e-6)
    flat = crane.radius_at_least_angle(length)
    assert crane.angle(length, flat) == pytest.approx(case.least_angle, abs=1e-9)


def test_plover_by_hand() -> None:
    """41 m and a jib of 9 m at 30 degrees: arm^2 = 1681 + 81 + 738*0.8660254 = 2401.1267, 49.0013 m.  At radius 20 m,
    pivot 1.2 m behind: 21.2 m forward, sqrt(2401.1267 - 449.44) = 44.1779 m up, head at 46.3779 m.  Rope to the head
    41 + 9 + 2.2 + 0.5 = 52.7 m.  Three falls to a hook at 3 m on a block of 1 m: 42.3779 m each; two half turns of
    0.16 m: 1.0053 m.  210 - 52.7 - 127.1337 - 1.0053 = 29.1610 m on the drum.  Boom angle: acos(21.2/49.0013) =
    64.3658, and asin(9*0.5/49.0013) = 5.2691 steeper: 69.635 degrees."""
    crane = Crane(_case("plover", "41m", "jib-9m-30deg"))
    rig = crane.rig(3, next(block for block in crane.case.machine.blocks if block.id == "two-sheave"))
    assert crane.head(41.0, 20.0) == pytest.approx(46.3779, abs=1e-3)
    assert rig.rope_on_drum(State(41.0, 20.0, 3.0, 3)) == pytest.approx(29.161, abs=2e-3)
    assert math.degrees(crane.angle(41.0, 20.0)) == pytest.approx(69.635, abs=2e-3)
    assert crane.growth(41.0) == pytest.approx(0.04 * 50)  # both bend, by the rule's share for telescopic booms


def test_whimbrel_by_hand() -> None:
    """36 m at 75 degrees: head 1.2 + 9.3175 = 10.5175 m forward, 1.8 + 34.7733 = 36.5733 m up.  Jib 30 m to radius
    28.5175 m: 18 m forward, so 24 m up (3-4-5): head at 60.5733 m, jib at acos(0.6) = 53.1301 degrees.  Rope to the
    head 36 + 30 - 1 + 1.2 = 66.2 m."""
    crane = Crane(_case("whimbrel", "36m", "luffing-jib-30m-75deg"))
    assert crane.head(36.0, 28.5175) == pytest.approx(60.5733, abs=1e-3)
    assert math.degrees(crane.angle(36.0, 28.5175)) == pytest.approx(53.1301, abs=1e-3)
    assert crane.arm(36.0).drum_to_head == pytest.approx(66.2)
    assert crane.case.luffing == pytest.approx(math.radians(10) / 60)
    assert crane.case.reeving.sheaves_to_drum == 2


def test_methods_with_a_jib() -> None:
    """No plan telescopes with a jib; none asks for the boom length of another rig; main-boom plans suggest no jib."""
    for case in RIGGED:
        plan = plan_data.plan(case)
        assert plan["inputs"]["jib"]["id"] == case.configuration.jib
        assert {length for m in plan["methods"] if m for p in m["passes"] for v in p["moves"] for length in
                v["boom_length_m"]} <= {case.chart.boom_length}  # fmt: skip
        if case.machine.kind == "telescopic":
            assert plan["methods"][1] and plan["methods"][1]["refused"] == {"code": "telescoping-with-jib"}
    with_jib = {case.configuration.id for case in RIGGED}
    bare = plan_data.plan(look_up.case(DATA, "plover", "41m", None, DAY))
    assert "jib" not in bare["inputs"] and bare["configuration"] == "full-outriggers"
    assert not with_jib & {one.get("configuration") for one in bare["what_would_help"]}


# -- what the check says ------------------------------------------------------------------------------------------


def _said(change: Any, folder: Path) -> list[str]:
    raw = yaml.safe_load((RULES / "machines/plover.yaml").read_text(encoding="utf-8"))
    change(raw)
    path = folder / "plover.yaml"
    path.write_text(yaml.safe_dump(raw, sort_keys=False), encoding="utf-8")
    document = files.read(path, "machines/plover.yaml")
    return [str(problem).partition(" ")[2] for problem in jibs.problems(document)]


def _jib_of(raw: Any) -> Any:
    return raw["boom"]["jibs"][0]


WRONG = [
    (lambda raw: _jib_of(raw).pop("offset"), "boom.jibs[jib-9m-0deg].offset: is missing; a fixed jib needs it"),
    (
        lambda raw: _jib_of(raw).update(boom_angle="75 deg"),
        "boom.jibs[jib-9m-0deg].boom_angle: a fixed jib has none; take it out",
    ),
    (
        lambda raw: _jib_of(raw).update(kind="luffing"),
        "boom.jibs[jib-9m-0deg].boom_angle: is missing; a luffing jib needs it",
    ),
    (
        lambda raw: raw["configurations"][1].update(jib="jib-9m"),
        "configurations[jib-9m-0deg].jib: there is no jib 'jib-9m' under boom; known: jib-9m-0deg jib-9m-30deg",
    ),
    (
        lambda raw: raw["configurations"][1]["charts"][0].update(telescoping="1 t"),
        "configurations[jib-9m-0deg].charts[41 m].telescoping: no plan telescopes with a jib; take it out",
    ),
    (
        lambda raw: raw["configurations"].reverse(),
        "configurations[full-outriggers].charts[41 m].boom_length: "
        "41m is listed with a jib before; list the charts of the main boom first",
    ),
    (
        lambda raw: raw["configurations"].pop(),
        "boom.jibs[jib-9m-30deg].id: no configuration names the jib 'jib-9m-30deg'; add its charts",
    ),
]


@pytest.mark.parametrize(("change", "said"), WRONG, ids=range(len(WRONG)))
def test_what_cannot_be_is_said_at_its_place(change: Any, said: str, tmp_path: Path) -> None:
    assert said in _said(change, tmp_path)


def test_nothing_is_wrong_with_the_jibs_of_the_yard(tmp_path: Path) -> None:
    assert not _said(lambda raw: None, tmp_path)


# -- the log ------------------------------------------------------------------------------------------------------


def test_the_log_follows_the_drum_over_the_jib_head() -> None:
    """The same hook on the jib leaves less rope on the drum than on the boom; taking the jib off winds all rope in."""
    machine = DATA.machines["plover"]
    case_for = look_up.cases(DATA, machine, DAY)
    work = Work(41.0, 20.0, 3, "two-sheave", 500.0, (4.0, 4.0), 1, configuration="jib-9m-30deg")
    log = [Entry("2026-11-30", NewRope(210.0, 4000.0)), Entry("2026-11-30", work)]
    on_jib = history.drums(log, case_for, DAY)[-1]
    assert on_jib.rig is not None and on_jib.rig.crane.case.configuration.id == "jib-9m-30deg"
    # the hook at 4 m: one metre less in each of three falls than by hand above, at 3 m
    assert on_jib.least_rope == pytest.approx(29.161 + 3.0, abs=5e-3)
    bare = replace(work, configuration="full-outriggers", falls=3)
    off = history.drums([*log, Entry("2026-11-30", bare)], case_for, DAY)[-1]
    assert off.rig is not None and off.rig.crane.case.jib is None
    assert ledger.held(off.stack) > ledger.held(on_jib.stack)
    counted = PreTensioning((41.0, 41.0), 3, "two-sheave", 1500.0, (12.0, 30.0), (1, 20), (2, 10))
    assert counted.configuration is None  # a log from before there were jibs reads as it did
