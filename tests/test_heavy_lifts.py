"""Which falls for a heavy lift, out to which radius, hook how high: every claim against a reckoning of its own."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from math import pi, sqrt
from typing import Any

import jsonschema
import pytest
from conftest import DATA, DAY, ROOT
from test_ready import CASES, SCHEMA, every_case

from calc import rounding
from calc.cli import summary
from calc.cli.commands import main
from calc.data import look_up
from calc.data.entries import Entry, NewRope, PreTensioning, ReReeving, Upkeep, Work
from calc.data.model import Case, Data
from calc.drum_log import beds, readiness
from calc.formulas import ledger
from calc.winding.firm import unreached_limit
from calc.winding.rig import Crane
from hooks.text import words

G = 9.80665
# its log alone: the readings of the demonstration may end the firmness of its rope by rule
LOGGED = replace(DATA, upkeep={"bittern": Upkeep("bittern", DATA.upkeep["bittern"].log)})
BITTERN = look_up.case(DATA, "bittern", "54m", "full-counterweight", DAY)


# -- a reckoning of its own, from the text of the domain --------------------------------------------------------------


def hand_bed(
    rope: tuple[float, float, float],  # length, diameter [m], mass per length [kg/m]
    boom: tuple[float, float, float, float],  # length, x_p, z_p, a [m]
    block: tuple[float, float, float],  # mass [kg], height, R_s [m]
    falls: int,
    load: float,
    radius: float,
    hook: float,
) -> float:
    """B = L_rope - P - w - n*(H - h - b) + T*R/(E*A), H = z_p + sqrt(L^2 - (r - x_p)^2), P = L + a, w = (n - 1)*pi*R_s,
    T = W_b/n + m_r*g*s: standing, freely running; E = 90 GPa (steel core), A = 0.40*d^2 [m].

    Source: hand work, statics of the falls and Hooke's law.
    """
    length, diameter, per_metre = rope
    boom_length, forward, pivot, extra = boom
    mass, height, sheave = block
    fall = pivot + sqrt(boom_length**2 - (radius - forward) ** 2) - hook - height
    out = boom_length + extra + falls * fall + (falls - 1) * pi * sheave
    pull = (mass + load) * G / falls + per_metre * G * fall
    return length - out + pull * out / (90e9 * 0.40 * diameter**2)


BITTERN_ROPE, BITTERN_BOOM = (560.0, 0.026, 3.2), (54.0, 1.2, 1.8, -1.0)
FIVE_SHEAVE = (2_800.0, 2.2, 0.30)
# On 2026-10-28 the empty block of bittern came down to 5 m at 14 m on 8 falls, after the last rope was laid under load:
# 560 - 53 - 7*pi*0.3 - 8*(1.8 + sqrt(54^2 - 12.8^2) - 5 - 2.2) = 123.93 m.  Since then light work never went so deep.
FIRM_TO = 560 - 53 - 7 * pi * 0.3 - 8 * (1.8 + sqrt(54**2 - 12.8**2) - 5 - 2.2)


def asked(load: float, radius: float | None = None, hook: float | None = None, falls: int | None = None) -> Any:
    found = readiness.readiness(LOGGED, BITTERN, load, radius, hook, falls)
    jsonschema.Draft202012Validator(SCHEMA).validate(found)
    return found


def of_falls(found: Any, falls: int) -> Any:
    return next(one["lift"] for one in found["options"] if one["falls"] == falls)


@pytest.mark.parametrize(("falls", "hook"), [(8, 3.5), (9, 3.5), (8, -3.0), (10, 9.0)])
def test_bed_by_hand(falls: int, hook: float) -> None:
    """34.7 t at 20 m on bittern: length of the bed, loose metres, reserve of the hook height."""
    lift = of_falls(asked(34_700.0, 20.0, hook), falls)
    by_hand = hand_bed(BITTERN_ROPE, BITTERN_BOOM, FIVE_SHEAVE, falls, 34_700.0, 20.0, hook)
    assert lift["bed_m"] == pytest.approx(by_hand, abs=1e-3)
    assert lift["bed"]["loose_m"] == pytest.approx(max(0.0, by_hand - FIRM_TO), abs=2e-3)
    assert lift["bed"]["firm"] is (by_hand <= FIRM_TO)
    if lift["bed"]["firm"]:
        assert lift["bed"]["hook_reserve_m"] == pytest.approx((FIRM_TO - by_hand) / falls, abs=1e-3)


def test_bed_by_hand_of_other_cranes() -> None:
    """heron 41 m, 10 t at 20 m, hook 2 m, 4 falls; avocet 140 ft, 20,000 lb at 40 ft, hook 6 ft, 5 falls.  Pivots, a,
    R_s, blocks: as the demo fleet is invented (3.3 ft and the like in metres)."""
    heron = look_up.case(DATA, "heron", "41m", None, DAY)
    told = readiness.readiness(DATA, heron, 10_000.0, 20.0, 2.0)
    by_hand = hand_bed((290.0, 0.022, 2.3), (41.0, -1.8, 2.8, 3.2), (900.0, 1.5, 0.22), 4, 10_000.0, 20.0, 2.0)
    assert of_falls(told, 4)["bed_m"] == pytest.approx(by_hand, abs=2e-3)
    foot, pound = 0.3048, 0.45359237
    avocet = look_up.case(DATA, "avocet", "140ft", None, DAY)
    load, radius, hook = 20_000 * pound, 40 * foot, 6 * foot
    told = readiness.readiness(DATA, avocet, load, radius, hook)
    machine = avocet.machine
    block = next(b for b in machine.blocks if b.id == "four-sheave")
    rope = (1_150 * foot, 0.875 * 0.0254, 1.5 * pound / foot)
    boom = (140 * foot, 3.3 * foot, 5.5 * foot, -3 * foot)
    by_hand = hand_bed(rope, boom, (block.mass, block.height, machine.reeving.sheave_radius), 5, load, radius, hook)
    assert of_falls(told, 5)["bed_m"] == pytest.approx(by_hand, abs=2e-3)


# -- every claim of the fleet -----------------------------------------------------------------------------------------


def claims(lift: Any) -> Iterator[tuple[int, str, float, float]]:
    """(falls, block, radius, hook): "bears on firm rope out to this radius with the hook no higher than this", as it is
    printed: both rounded down."""
    for one in (*lift["options"], *filter(None, lift["rows"].values())):
        told = one["lift"]
        if not told or not told["bed"]:
            continue
        bed, hook = told["bed"], told["pick"]["hook_height_m"]
        if bed["firm"]:
            yield one["falls"], one["block"], told["radius_m"], hook + bed["hook_reserve_m"]
        if bed["firm_out_to_m"] is not None:
            yield one["falls"], one["block"], bed["firm_out_to_m"], hook


def grid(case: Case, radius: float, hook: float) -> Iterator[tuple[float, float]]:
    first = case.chart.rows[0][0]
    hook = rounding.step(hook, 0.1, "down")
    radius = max(first, rounding.step(radius, 0.1, "down"))
    for at in {first, (first + radius) / 2, radius}:
        for height in (-5.0, 0.0, hook / 2, hook):
            yield at, min(height, hook)


@every_case
def test_no_claim_of_firm_rope_lies_on_loose_rope(case: Case) -> None:
    """A reckoning of every claim's own bed, at radii up to the one claimed and hooks up to the one claimed."""
    now = readiness._drum(DATA, case, None)
    crane, machine = now.crane, case.machine
    assert now.last is not None
    made = 0
    for lift in readiness.lifts(DATA, case)["lifts"]:
        load = lift["load_kg"]
        for falls, block_id, radius, hook in claims(lift):
            assert lift["verdict"]["code"] not in ("all-due", "no-log", "not-liftable")
            block = next(b for b in machine.blocks if b.id == block_id)
            after = beds.re_reeved(now.last, crane.rig(falls, block))
            for at, height in grid(case, radius, hook):
                found = beds.option(crane, falls, load, at, height, block)
                if found.lift:
                    assert not beds.bed(crane, after, found.lift.bed, unreached_limit(crane)).loose, (load, falls, at)
                    made += 1
                else:  # closer in the hook may not reach, or the longer falls weigh more
                    assert found.refused in ("stop-wraps", "over-capacity", "line-pull")
    assert made or now.all_due or machine.id == "curlew"


@every_case
def test_a_hook_higher_than_claimed_lies_on_loose_rope(case: Case) -> None:
    """The other side: 0.3 m more and the bed is loose, unless the block is at the upper stop there."""
    now = readiness._drum(DATA, case, None)
    crane = now.crane
    assert now.last is not None
    for lift in readiness.lifts(DATA, case)["lifts"]:
        for one in lift["options"]:
            told = one["lift"]
            if not (told and told["bed"]["firm"]):
                continue
            hook = told["pick"]["hook_height_m"] + told["bed"]["hook_reserve_m"] + 0.3
            if hook >= told["top"]["hook_height_m"]:
                continue
            found = beds.option(crane, one["falls"], lift["load_kg"], told["radius_m"], hook).lift
            assert found
            after = beds.re_reeved(now.last, found.rig)
            assert beds.bed(crane, after, found.bed, unreached_limit(crane)).loose


@every_case
def test_the_count_decides_as_the_hook_height_does(case: Case) -> None:
    """With the drum at the count that is told, the lift bears on firm rope; with two wraps more it does not."""
    now = readiness._drum(DATA, case, None)
    crane = now.crane
    for lift in readiness.lifts(DATA, case)["lifts"]:
        for one in lift["options"]:
            told = one["lift"]
            if not (told and told["bed"] and told["bed"]["most_on_drum"]):
                continue
            most, pick = told["bed"]["most_on_drum"], told["pick"]
            assert most["wrap"] == int(most["wrap"]) >= 1
            for more, loose in ((0.0, False), (2 * crane.layers[most["layer"] - 1].wrap_length, True)):
                hook = pick["hook_height_m"] + (most["rope_on_drum_m"] + more - pick["rope_on_drum_m"]) / one["falls"]
                if not -5 < hook < told["top"]["hook_height_m"]:
                    continue
                found = beds.option(crane, one["falls"], lift["load_kg"], told["radius_m"], hook).lift
                if found:
                    bed = now.bed(found)
                    assert bed is not None and bool(bed.loose) is loose


@pytest.mark.parametrize("case", CASES[::7], ids=[f"{c.machine.id}-{c.chart.slug}" for c in CASES[::7]])
def test_the_whole_way_through(case: Case) -> None:
    """As the command line asks: at each claim `readiness` itself finds the bed firm on these falls."""
    lift = readiness.lifts(DATA, case)["lifts"][-2]
    for falls, _, radius, hook in list(claims(lift))[:4]:
        for at, height in list(grid(case, radius, hook))[-4:]:
            told = readiness.readiness(DATA, case, lift["load_kg"], at, height)
            found = of_falls(told, falls)
            assert found is None or (found["bed"]["firm"] and not found["bed"]["loose_m"])


# -- radius and hook height -------------------------------------------------------------------------------------------


def test_capacity_is_that_of_the_next_larger_listed_radius() -> None:
    """bittern 54 m lists 18, 20 and 22 m: at 20.1 m the row of 22 m counts, at 20 m its own."""
    rows = dict(BITTERN.chart.rows)
    for radius, row in ((20.0, 20.0), (20.1, 22.0), (22.0, 22.0)):
        lift = of_falls(asked(30_000.0, radius, 3.5), 8)
        head = 1.8 + sqrt(54**2 - (radius - 1.2) ** 2)
        gross = 30_000 + 2_800 + 8 * 3.2 * (head - 3.5 - 2.2)
        assert lift["capacity_use"] == pytest.approx(gross / rows[row], abs=1e-5)
        assert lift["radius_m"] == radius


def test_a_lower_hook_leaves_less_on_the_drum() -> None:
    """A metre lower: n metres less, and a few millimetres of stretch."""
    high, low = (of_falls(asked(30_000.0, 20.0, hook), 8) for hook in (2.0, 1.0))
    assert high["pick"]["rope_on_drum_m"] - low["pick"]["rope_on_drum_m"] == pytest.approx(8.0, abs=1e-5)


def test_no_room_for_the_hook_under_the_head() -> None:
    """At 20 m the head stands at 52.42 m: block 2.2 m and upper stop 2.8 m leave 47.42 m."""
    head = 1.8 + sqrt(54**2 - 18.8**2)
    for hook, refused in ((head - 5.01, None), (head - 4.99, "upper-stop")):
        found = asked(10_000.0, 20.0, hook)
        assert next(one["refused"] for one in found["options"] if one["falls"] == 8) == refused


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--radius", "20"], "radius '20' has no unit; write a number, a space and one of: m mm ft in"),
        (["--radius", "far"], "radius 'far' is not a quantity; write a plain number like 24.5, a space and one of: "
                              "m mm ft in"),
        (["--radius", "-20 m"], "radius '-20 m' is not a quantity; write a plain number like 24.5, a space and one of: "
                                "m mm ft in"),
        (["--radius", "8.9 m"], "radius 8.9 m is outside the chart of bittern 54m full-counterweight; write one from "
                                "9.0 m to 48.0 m"),
        (["--radius", "48.1 m"], "radius 48.1 m is outside the chart of bittern 54m full-counterweight; write one from "
                                 "9.0 m to 48.0 m"),
        (["--hook-height", "3 t"], "hook height '3 t' has the unit 't', not used here; write a number, a space and one "
                                   "of: m mm ft in"),
        (["--falls", "0"], "0 falls cannot be reeved on bittern; write a whole number from 1 to 22"),
        (["--falls", "23"], "23 falls cannot be reeved on bittern; write a whole number from 1 to 22"),
        (["--falls", "six"], "falls 'six' is no number of falls; write a whole number"),
    ],
)  # fmt: skip
def test_bad_input(arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    call = ["ready", "bittern", "54m", "10 t", "--configuration", "full-counterweight", "--day", DAY, *arguments]
    assert main(call) == 2
    assert capsys.readouterr().err == f"python -m calc: {said}\n"


def test_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    call = ["ready", "bittern", "54m", "34.7 t", "--configuration", "full-counterweight", "--day", DAY]
    assert main([*call, "--radius", "20 m", "--hook-height", "-3 m", "--falls", "8", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(SCHEMA).validate(found)
    assert (found["radius_m"], found["hook_height_m"], found["rows"]["reeved"]["falls"]) == (20.0, -3.0, 8)
    assert main([*call, "--radius", "20 m", "--hook-height", "3.5 m", "--falls", "8"]) == 0
    assert "pick: radius 20.0 m (65.5 ft); hook 3.5 m (11.5 ft) above" in capsys.readouterr().out


def test_said_on_the_command_line() -> None:
    text = summary.ready(asked(34_700.0, 20.0, 3.5, 8), DATA.rules, words.load().get("ready"))
    for said in (
        "pick: radius 20.0 m (65.5 ft); hook 3.5 m (11.5 ft) above the crane's ground",
        "advised: 9 falls, fewest that pass",
        "as reeved now: 8 falls, block five-sheave: radius 20.0 m",
        "4 m (12 ft) loose; firm out to radius 18.0 m (59.0 ft)",
        "No limit is published for the ratio of line pull",
        "Rope is judged by the tension at which it was laid",
        "Before the lift plan a set-down place, cribbing or a second hoist.",
    ):
        assert said in text
    assert "safe" not in text.lower()


# -- which falls are advised ------------------------------------------------------------------------------------------


def logged(falls: int, block: str, day: str = "2026-11-02") -> Data:
    """bittern pre-tensioned from layer 1 on, then reeved for these falls, all on one day."""
    pass_ = PreTensioning((54.0, 54.0), 10, "five-sheave", 16_000.0, (14.0, 38.0), (1, 7), (4, 15))
    done = (NewRope(560.0, 15_500.0), pass_, ReReeving(54.0, falls, block))
    return replace(DATA, upkeep={"bittern": Upkeep("bittern", tuple(Entry(day, one, "") for one in done))})


def test_light_enough_stays_as_reeved_on_either_side_of_half_the_pull() -> None:
    """On 6 falls at 16 m: pull of the lead line while hauling (W_b + ...)/... rises with the load; where it is half of
    135 kN the advice turns from the falls as reeved to more."""
    data = logged(6, "five-sheave")
    half: dict[bool, float] = {}
    for load in range(20_000, 50_000, 500):
        found = readiness.readiness(data, BITTERN, float(load), 16.0, 3.0)
        row = found["rows"]["reeved"]
        assert row["passes"] and (found["advised"] == "reeved") is (row["lift"]["line_pull_share"] <= 0.5)
        half[found["advised"] == "reeved"] = row["lift"]["line_pull_share"]
        if found["advised"] != "reeved":
            assert found["why"] == "enough" and found["rows"][found["advised"]]["lift"]["line_pull_share"] <= 0.5
            fewer = of_falls(found, found["falls"] - 1)
            assert fewer["line_pull_share"] > 0.5, "the fewest that pull little"
    assert half[True] > 0.4 and half[False] > 0.5


def test_ten_tonnes_are_not_put_on_fourteen_falls() -> None:
    found = readiness.readiness(logged(6, "five-sheave"), BITTERN, 10_000.0, 20.0, 3.0)
    assert (found["advised"], found["falls"], found["why"]) == ("reeved", 6, "little-pull")
    assert found["rows"]["most"]["falls"] > 8


def test_as_many_as_practicable_where_no_falls_pull_little() -> None:
    """70 t at 14 m: 10 falls, the most that reach the ground, still pull (72,800*g + ...)/10/0.9 = 80 kN of 135 kN."""
    found = readiness.readiness(logged(8, "five-sheave"), BITTERN, 70_000.0, 14.0, 3.5)
    assert (found["advised"], found["falls"], found["why"]) == ("most", 10, "less-pull")
    found = readiness.readiness(logged(10, "five-sheave"), BITTERN, 70_000.0, 14.0, 3.5)
    assert (found["advised"], found["falls"], found["why"]) == ("reeved", 10, "most-already")
    assert found["re_reeving"] is None


def test_where_none_passes_the_advice_is_for_after_pre_tensioning() -> None:
    """Work with the empty hook on 16 falls, down to the ground at 9 m, left nothing firm."""
    done = (
        NewRope(560.0, 15_500.0),
        PreTensioning((54.0, 54.0), 10, "five-sheave", 16_000.0, (14.0, 38.0), (1, 7), (4, 15)),
        Work(54.0, 9.0, 10, "five-sheave", 0.0, (5.0, 40.0), 3),
        ReReeving(54.0, 6, "five-sheave"),
    )
    data = replace(DATA, upkeep={"bittern": Upkeep("bittern", tuple(Entry("2026-11-02", one, "") for one in done))})
    found = readiness.readiness(data, BITTERN, 20_000.0, 30.0, 3.0)
    rows = found["rows"]
    assert rows["fewest"] is None and found["verdict"]["code"] == "loose-bed" and found["gain"] is None
    assert (found["advised"], found["falls"]) == ("reeved", 6)
    assert not any(one["lift"]["bed"]["firm"] for one in found["options"] if one["lift"])


def test_rope_that_no_longer_counts_as_firm_is_no_bed() -> None:
    """Pre-tensioned rope counts as firm for 12 months: on the last day the lift passes, a day later nothing is firm."""
    for day, code, rule in (
        ("2025-12-01", "firm-bed", "firm-tension"),
        ("2025-11-30", "all-due", "how-long-firm-lasts"),
    ):
        found = readiness.readiness(logged(8, "five-sheave", day), BITTERN, 30_000.0, 16.0, 3.0)
        assert (found["verdict"]["code"], found["verdict"]["rule"]) == (code, rule)
        assert any(one["lift"]["bed"]["firm"] for one in found["options"] if one["lift"]) is (code == "firm-bed")
        assert (list(claims(found)) != []) is (code == "firm-bed")


def test_without_a_log_bed_and_reeving_are_not_known() -> None:
    found = readiness.readiness(replace(DATA, upkeep={}), BITTERN, 20_000.0, 20.0, 3.0)
    jsonschema.Draft202012Validator(SCHEMA).validate(found)
    assert found["rows"]["reeved"] is None and found["verdict"]["code"] == "no-log"
    assert found["rows"]["fewest"]["passes"] is None and found["rows"]["fewest"]["lift"]["bed"] is None
    named = readiness.readiness(replace(DATA, upkeep={}), BITTERN, 20_000.0, 20.0, 3.0, 8)
    assert named["rows"]["reeved"]["falls"] == 8


def test_the_block_that_is_reeved_counts() -> None:
    """5 falls on the two-sheave block, 60 t: as reeved 61 t are too heavy; re-reeved on the five-sheave block, 130 t,
    5 falls + 5 falls at 4 min."""
    found = readiness.readiness(logged(5, "two-sheave"), BITTERN, 61_000.0, 14.0, 3.5)
    assert found["rows"]["reeved"]["refused"] == "block-capacity"
    ten = readiness.readiness(logged(5, "two-sheave"), BITTERN, 61_000.0, 14.0, 3.5)["rows"]["most"]["re_reeving"]
    assert ten["minutes"] == pytest.approx((5 + ten["to_falls"]) * 4)
    same = readiness.readiness(logged(8, "five-sheave"), BITTERN, 70_000.0, 14.0, 3.5)["re_reeving"]
    assert (same["to_falls"], same["minutes"]) == (10, pytest.approx(2 * 4))


def test_gain_by_hand() -> None:
    """70 t at 14 m from 8 falls: the fewest against 10; hook path to the upper stop at the hook speeds that are told, 2
    falls to reeve at 4 min."""
    found = readiness.readiness(logged(8, "five-sheave"), BITTERN, 70_000.0, 14.0, 3.5)
    fewest, most = (found["rows"][name]["lift"] for name in ("fewest", "most"))
    falls = found["rows"]["fewest"]["falls"]
    beds = [hand_bed(BITTERN_ROPE, BITTERN_BOOM, FIVE_SHEAVE, n, 70_000.0, 14.0, 3.5) for n in (falls, 10)]
    assert found["gain"]["bed_m"] == pytest.approx(beds[0] - beds[1], abs=2e-3)
    path = 1.8 + sqrt(54**2 - 12.8**2) - 2.2 - 2.8 - 3.5
    minutes = [path / each["hook_speed_m_per_s"] / 60 for each in (fewest, most)]
    assert found["gain"]["minutes"] == pytest.approx(minutes[0] + (8 - falls) * 4 - minutes[1] - 2 * 4, abs=1e-3)
    assert found["gain"]["line_pull_share"] > 0


# -- re-reeving and the bed -------------------------------------------------------------------------------------------


def test_what_comes_off_for_re_reeving_goes_back_loose() -> None:
    """From 20 falls, boom lowered: 560 - 53 - 19*pi*0.3 - 20*2.8 = 433.1 m stay; a lift on 1 fall with the hook at 43 m
    starts with 560 - 53 - (52.4 - 43 - 1.9) = 499 m on the drum: what lies above 433.1 m is loose then."""
    data = logged(20, "eleven-sheave")
    now = readiness._drum(data, BITTERN, None)
    one = beds.option(now.crane, 1, 5_000.0, 20.0, 43.0).lift
    assert one and now.last
    stays = 560 - 53 - 19 * pi * 0.3 - 20 * 2.8
    after = beds.re_reeved(now.last, one.rig)
    assert ledger.held(after.stack) == pytest.approx(stays, abs=1e-6)
    bed = now.bed(one)
    assert bed and bed.deepest is not None and bed.deepest <= stays + 1e-6
    assert bed.length >= one.bed - stays - 1e-6


def test_falls_named_on_the_command_line_came_with_the_boom_lowered() -> None:
    data = logged(8, "five-sheave")
    by_log = readiness.readiness(data, BITTERN, 30_000.0, 20.0, 3.0)
    named = readiness.readiness(data, BITTERN, 30_000.0, 20.0, 3.0, 10)
    assert by_log["rows"]["reeved"]["falls"] == 8 and named["rows"]["reeved"]["falls"] == 10
    assert of_falls(by_log, 10)["bed"] == of_falls(named, 10)["bed"]


# -- landing by the boom ----------------------------------------------------------------------------------------------


def test_a_set_down_place_on_both_sides_of_the_limit() -> None:
    """bittern 54 m at 20 m: a load whose gross is 75 % of the row leaves room, one a kilogram heavier does not."""
    carried = dict(BITTERN.chart.rows)[20.0]
    falls_mass = 8 * 3.2 * (1.8 + sqrt(54**2 - 18.8**2) - 3.0 - 2.2)
    limit = 0.75 * carried - 2_800 - falls_mass
    crane = Crane(BITTERN)
    for load, needed in ((limit - 1, False), (limit + 1, True)):
        lift = beds.option(crane, 8, load, 20.0, 3.0).lift
        assert lift is not None
        found = readiness._set_down(readiness._drum(DATA, BITTERN, None), lift)
        assert found["needed"] is needed
        assert (found["room_out_to_m"] == 20.0) is not needed


def test_how_far_the_boom_lets_the_load_down() -> None:
    """From 20 m to the last listed radius that carries it, the head drops by sqrt(54^2 - 18.8^2) - sqrt(54^2 -
    (r - 1.2)^2); at the last radius itself by nothing, and then a set-down place is needed whatever the use."""
    found = asked(20_000.0, 20.0, 3.0)
    row = found["rows"][found["advised"]]["lift"]
    end = row["carried_to_m"]
    assert end > 20.0
    by_hand = sqrt(54**2 - 18.8**2) - sqrt(54**2 - (end - 1.2) ** 2)
    assert found["set_down"]["boom_down_m"] == pytest.approx(by_hand, abs=1e-5)
    last = asked(20_000.0, end, 3.0)
    assert last["set_down"]["boom_down_m"] == 0 and last["set_down"]["needed"]


def test_one_process() -> None:
    call = [sys.executable, "-m", "calc", "ready", "bittern", "54m", "10 t", "--day", DAY, "--hook-height=-3 m"]
    assert (
        "3.0 m (10.0 ft) below the crane's ground"
        in subprocess.run(call, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    )
