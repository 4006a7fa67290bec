"""Readiness for a heavy lift: both sides of every limit, what more falls change, the verdicts, re-reeving by hand."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import pairwise
from typing import Any

import jsonschema
import pytest
from a_rig import case as hand_case
from conftest import DATA, DAY, ROOT

from calc.data import look_up
from calc.data.entries import Done, Entry, Jump, NewRope, PreTensioning, ReReeving, Upkeep, Work
from calc.data.model import Case, Data
from calc.drum_log import beds, history, readiness
from calc.formulas import drum, ledger, reeving
from calc.winding import firm
from calc.winding.rig import Crane, Rig

SCHEMA = json.loads((ROOT / "rules/schema/ready.schema.json").read_text(encoding="utf-8"))
CASES = [
    look_up.case(DATA, machine.id, chart.slug, configuration.id, DAY)
    for machine in DATA.machines.values()
    for configuration in machine.configurations
    for chart in configuration.charts
]
every_case = pytest.mark.parametrize(
    "case", CASES, ids=[f"{c.machine.id}-{c.chart.slug}-{c.configuration.id}" for c in CASES]
)
FIRST_EDITION = "2026-11-29"  # whose machines nobody changes any more


def first_edition(machine: str, boom: str, configuration: str | None) -> Case:
    """Over the yard worked by hand, where every load asks for a hook of 3 m."""
    return replace(look_up.case(DATA, machine, boom, configuration, FIRST_EDITION), yard=hand_case().yard)


BITTERN = first_edition("bittern", "54m", "full-counterweight")


def option(crane: Crane, load: float, falls: int) -> beds.Option:
    return next(found for found in beds.options(crane, load) if found.falls == falls)


def with_block(case: Case, id: str, **changed: Any) -> Case:
    blocks = tuple(replace(b, **changed) if b.id == id else b for b in case.machine.blocks)
    return replace(case, machine=replace(case.machine, blocks=blocks))


# -- limits, both sides -----------------------------------------------------------------------------------------------


def test_block_capacity() -> None:
    """six-sheave of dunlin carries 55 t, two-sheave 22 t: on 5 falls both fit, the lightest that carries is taken."""
    crane = Crane(first_edition("dunlin", "17m", None))
    assert option(crane, 22_000.0, 5).block.id == "two-sheave"
    assert option(crane, 22_000.1, 5).block.id == "six-sheave"
    weak = Crane(with_block(crane.case, "six-sheave", capacity=20_000.0))
    assert option(weak, 20_000.0, 6).refused != "block-capacity"
    assert (option(weak, 20_000.1, 6).refused, option(weak, 20_000.1, 6).lift) == ("block-capacity", None)


def test_rated_capacity() -> None:
    """bittern, 54 m, full counterweight: 102.3 t at the rows of 9 and 10 m, as read.  Block 2.8 t and rope in 9
    falls are in it: at 10 m head 1.8 + sqrt(54^2 - 8.8^2) = 55.0782 m, fall 49.8782 m: 1,436 kg."""
    crane = Crane(BITTERN)
    most = 102_300 - 2_800 - 9 * 3.2 * (55.0782 - 3.0 - 2.2)
    assert crane.usual_hook == pytest.approx(3.0)
    assert option(crane, most - 1, 9).lift is not None
    assert option(crane, most + 1, 9).refused == "over-capacity"


def test_line_pull() -> None:
    """As above on 6 falls, 61 t: the row of 16 m, 65.7 t, carries 63.8 t and rope; head 1.8 + sqrt(54^2 - 14.8^2) =
    53.7322 m, fall 48.5322 m; (63,800*g + 48.5322*31.381*5.82511)/5.70788/0.98 = 113,437 N: a winch of so much pulls
    it, one of less does not."""
    crane = Crane(BITTERN)
    lift = option(crane, 61_000.0, 6).lift
    assert lift is not None and lift.pick.radius == 16.0
    assert lift.lead_line == pytest.approx(113_437, abs=5)
    for pull, refused in ((lift.lead_line, None), (lift.lead_line * 0.9999, "line-pull")):
        winch = replace(BITTERN.machine.winch, rated_line_pull=pull)
        weaker = Crane(replace(BITTERN, machine=replace(BITTERN.machine, winch=winch)))
        assert option(weaker, 61_000.0, 6).refused == refused


def test_line_pull_of_the_outermost_layer() -> None:
    """Rated on layer 1, the winch pulls less on layer 6, where the lift ends: D_1/D_6 = 0.646/0.88."""
    crane = Crane(BITTERN)
    lift = option(crane, 61_000.0, 6).lift
    assert lift is not None and lift.rig.position(lift.top)[0] == 6
    for share, refused in ((1.0, None), (0.9999, "line-pull")):
        rated = lift.lead_line * 0.88 / 0.646 * share
        winch = replace(BITTERN.machine.winch, rated_line_pull=rated, rated_layer=1)
        weaker = Crane(replace(BITTERN, machine=replace(BITTERN.machine, winch=winch)))
        assert option(weaker, 61_000.0, 6).refused == refused


def test_stop_wraps() -> None:
    """10 falls, 61 t at 16 m: 560 - 53 - 9*pi*0.3 - 10*48.5322 = 13.196 m on the drum; the 546.80 m off it stretch
    under 63,800*g/10 + 48.5322*31.381 = 64,090 N by 64,090*546.80/(90,000*0.4*26^2) = 1.440 m; 4.489 m above the 5 stop
    wraps of pi*0.646 m: a rope shorter by just that still does it."""
    for less, refused in ((4.48, None), (4.50, "stop-wraps")):
        assert option(history.crane(BITTERN, 560.0 - less), 61_000.0, 10).refused == refused


def test_a_block_without_room_under_the_head_lifts_nothing() -> None:
    """dunlin 11 m at its steepest: where the hook with block and upper stop does not fit over the load, no lift."""
    case = first_edition("dunlin", "11m", None)
    radius = case.chart.rows[0][0]
    crane = Crane(case)
    room = crane.head(11.0, radius) - 3.0
    stop = case.machine.reeving.upper_stop
    for height, possible in ((room - stop - 0.01, True), (room - stop + 0.01, False)):
        tall = Crane(with_block(case, "six-sheave", height=height))
        assert (option(tall, 1_000.0, 13).lift is not None) is possible


# -- what more falls change -------------------------------------------------------------------------------------------


@every_case
def test_more_falls_pull_less_and_need_more_rope(case: Case) -> None:
    """With one block and one radius: the share of the line pull falls, the bed shrinks, the hook slows or holds."""
    crane = Crane(case)
    loads = beds.round_loads(crane)
    compared = 0
    for load in (loads[0], loads[len(loads) // 2], loads[-1]):
        found = beds.options(crane, load)
        assert [one.falls for one in found] == list(crane.blocks)
        assert all((one.lift is None) != (one.refused is None) for one in found)
        for fewer, more in pairwise(one for one in found if one.lift):
            assert fewer.lift and more.lift
            if fewer.block == more.block and fewer.lift.pick.radius == more.lift.pick.radius:
                compared += 1
                assert more.lift.pull_share < fewer.lift.pull_share <= 1 + 1e-9
                assert more.lift.bed < fewer.lift.bed
        best = beds.chosen(found)
        assert best is not None and best.falls == max(one.falls for one in found if one.lift)
        for one in found:
            if one.lift:
                state = one.lift.pick
                assert one.lift.rig.suspended(state) == one.block.mass + load
                assert one.block.capacity * (1 + 1e-9) >= load and one.lift.bed >= crane.stop_rope
                assert dict(case.chart.rows)[state.radius] >= one.lift.rig.gross(state) * (1 - 1e-9)
                for radius, carried in case.chart.rows:
                    if radius > state.radius and history.highest_hook(one.lift.rig, radius) > state.hook_height:
                        assert carried < one.lift.rig.gross(state.at_radius(radius)) * (1 + 1e-9)
    assert compared or len(crane.blocks) < 3 or case.machine.kind == "telescopic"


@every_case
def test_hook_speed_is_that_of_drum_or_power_whichever_is_less(case: Case) -> None:
    """Power: what the winch turns into pull, P*eta = T*v, however many falls; drum: rope speed of the layer over the
    falls."""
    crane, winch = Crane(case), case.machine.winch
    power = winch.power * case.values.winch_efficiency
    for load in beds.round_loads(crane)[-2:]:
        for one in beds.options(crane, load):
            if not one.lift:
                continue
            speed, limit = one.lift.hook_speed()
            layer = one.lift.rig.position(one.lift.pick)[0]
            rope = winch.line_speed * crane.layers[layer - 1].diameter / crane.layers[winch.rated_layer - 1].diameter
            pull = one.lift.rig.lead_line(one.lift.pick, reeving.HAULING)
            assert speed * one.falls == pytest.approx(min(rope, power / pull))
            assert limit == ("drum" if rope <= power / pull else "power")


def test_where_power_limits_more_falls_cost_hardly_any_time() -> None:
    """bittern, 55 t, half its power: on 5 falls of two and of five sheaves power limits; hook power T*v is the same, so
    speed only falls by the loss of one sheave more; where the drum limits, by the whole share of the falls."""
    winch = replace(BITTERN.machine.winch, power=60_000.0)
    crane = Crane(replace(BITTERN, machine=replace(BITTERN.machine, winch=winch)))
    lifts = {n: option(crane, 55_000.0, n).lift for n in (5, 6, 9, 10)}
    speeds = {n: lift.hook_speed() for n, lift in lifts.items() if lift}
    assert [speeds[n][1] for n in (5, 6)] == ["power", "power"]
    assert 0.95 < speeds[6][0] / speeds[5][0] < 1.0
    strong = replace(BITTERN, machine=replace(BITTERN.machine, winch=replace(winch, power=200_000.0)))
    full = {n: lift.hook_speed() for n in (9, 10) if (lift := option(Crane(strong), 55_000.0, n).lift)}
    assert [full[n][1] for n in (9, 10)] == ["drum", "drum"] and full[10][0] / full[9][0] <= 0.9 + 1e-9


def test_round_loads() -> None:
    for case in CASES:
        crane = Crane(case)
        loads = beds.round_loads(crane)
        assert 6 <= len(loads) <= 10
        unit = 0.45359237 if case.machine.units == "us" else 1.0  # pounds are round where the data are in pounds
        step = loads[1] - loads[0]
        assert str(round(step / unit)).rstrip("0") in ("1", "2", "5")
        assert all(b - a == pytest.approx(step) for a, b in pairwise(loads))
        assert loads[0] / step == pytest.approx(round(loads[0] / step))
        assert beds.chosen(beds.options(crane, loads[-1])) is not None
        assert beds.chosen(beds.options(crane, loads[-1] + step)) is None
        longer = step * (2.5 if str(round(step / unit)).startswith("2") else 2)
        assert beds.chosen(beds.options(crane, 6 * longer)) is None, "no longer step gives six loads"


def test_no_load_is_no_lift() -> None:
    with pytest.raises(ValueError, match=r"load is 0\.0; it lies above 0"):
        beds.options(Crane(BITTERN), 0.0)


# -- the bed ---------------------------------------------------------------------------------------------------------


def now(*runs: ledger.Run) -> history.After:
    return history.After(3, runs, 560.0, None, 0.0)


def test_bed_of_a_lift() -> None:
    """200 m needed, 6.088 m dead, 10 m may stay unreached.  100 m firm, 60 m loose, 40 m not wound yet."""
    crane = Crane(BITTERN)
    stack = ledger.Run(100.0, 20_000.0, 20_000.0, "0 new"), ledger.Run(60.0, 9_000.0, 3_000.0, "1 parked")
    bed = beds.bed(crane, now(*stack), 200.0, 10.0)
    assert (bed.least, bed.deepest, bed.length, bed.unreached_loose) == (0.0, 100.0, pytest.approx(100.0), 0.0)
    assert [history.caused_by(stretch.cause) for stretch in bed.loose] == [(1, "parked"), (3, "not-wound")]
    within = beds.bed(crane, now(*stack), 100.0, 10.0)
    assert (within.least, within.deepest, within.length) == (20_000.0, None, 0.0)
    just = beds.bed(crane, now(*stack), 100.5, 10.0)
    assert just.deepest == 100.0 and just.length == pytest.approx(0.5)


def test_what_may_stay_unreached_is_told_but_not_held_against_the_bed() -> None:
    crane = Crane(BITTERN)
    dead = 3 * 0.646 * 3.14159265
    stack = ledger.Run(16.0, 1_000.0, 1_000.0, "0 parked"), ledger.Run(300.0, 20_000.0, 20_000.0, "1 firm")
    bed = beds.bed(crane, now(*stack), 200.0, 10.0)
    assert bed.loose == () and bed.least == 20_000.0
    assert bed.unreached_loose == pytest.approx(16.0 - dead, abs=1e-3)
    deeper = beds.bed(crane, now(*stack), 200.0, 9.0)
    assert deeper.deepest == pytest.approx(dead + 9.0, abs=1e-3)
    shallow = beds.bed(crane, now(*stack), 12.0, 10.0)
    assert shallow.least is None and shallow.loose == ()
    assert shallow.unreached_loose == pytest.approx(12.0 - dead, abs=1e-3)


# -- verdicts --------------------------------------------------------------------------------------------------------


def logged(*done: Done) -> Data:
    log = tuple(Entry("2026-11-02", one, "") for one in done)
    return replace(DATA, upkeep={"bittern": Upkeep("bittern", log)})


FIRM_PASS = PreTensioning((54.0, 54.0), 10, "five-sheave", 16_000.0, (14.0, 38.0), (1, 7), (4, 15))
NEW = NewRope(560.0, 15_500.0)


def judged(load: float, *done: Done) -> dict[str, Any]:
    found = readiness.readiness(logged(*done) if done else replace(DATA, upkeep={}), BITTERN, load)
    jsonschema.Draft202012Validator(SCHEMA).validate(found)
    verdict = found["verdict"]
    assert DATA.rules[verdict["rule"]].code == verdict["rule_code"]
    return {**found, "said": (verdict["code"], verdict["rule"])}


def test_verdicts() -> None:
    deep = Work(54.0, 20.0, 10, "five-sheave", 0.0, (3.0, 40.0), 3)
    assert judged(900_000.0, NEW, FIRM_PASS)["said"] == ("not-liftable", "falls-for-lifting")
    assert judged(61_000.0)["said"] == ("no-log", "due-after-light-work")
    assert judged(61_000.0, NEW)["said"] == ("all-due", "due-new-rope")
    assert judged(61_000.0, NEW, FIRM_PASS, Jump(3))["said"] == ("all-due", "due-after-slack")
    assert judged(61_000.0, NEW, FIRM_PASS)["said"] == ("firm-bed", "firm-tension")
    assert judged(61_000.0, NewRope(560.0, 9_000.0), FIRM_PASS)["said"] == ("loose-bottom", "unreached-rope")
    # the empty hook on 10 falls went down to 26.3 m of rope on the drum; 30 t out to 24 m (34.3 t gross of 37.4 t)
    # lie on 560 - 53 - 8.482 - 10*45.551 = 43.0 m and 0.7 m of stretch, of which 31.7 m may be unreached; 61 t out to
    # 16 m lie on 14.6 m, firm as before
    assert judged(30_000.0, NEW, FIRM_PASS, deep)["said"] == ("loose-bed", "due-after-light-work")
    assert judged(61_000.0, NEW, FIRM_PASS, deep)["said"] == ("firm-bed", "firm-tension")


def test_a_loose_bed_is_told_with_depth_and_ratio() -> None:
    """curlew 87 m, all of it worked loose: 60 t on 10 falls lie on loose rope; the pull over the least tension is more
    than over a firm bed."""
    case = look_up.case(DATA, "curlew", "87m", None, DAY)
    found = readiness.readiness(DATA, case, 60_000.0)
    assert found["verdict"]["code"] == "loose-bed"
    lift = next(one for one in found["options"] if one["falls"] == found["falls"])["lift"]
    bed = lift["bed"]
    assert not bed["firm"] and 0 < bed["deepest_loose_m"] < lift["pick"]["rope_on_drum_m"]
    assert bed["pull_to_bed"] == pytest.approx(lift["lead_line_n"] / bed["least_tension_n"], rel=1e-4)
    assert lift["pull_to_firm_bed"] == pytest.approx(lift["lead_line_n"] / found["firm_tension_n"], rel=1e-4)
    assert bed["pull_to_bed"] > lift["pull_to_firm_bed"]


@every_case
def test_readiness_matches_its_schema_and_its_own_numbers(case: Case) -> None:
    found = readiness.lifts(DATA, case)
    machine = case.machine
    told = history.drums(DATA.upkeep[machine.id].log, look_up.cases(DATA, machine, DAY), DAY)[-1]
    crane = history.crane(case, told.rope_length)
    for lift in found["lifts"]:
        jsonschema.Draft202012Validator(SCHEMA).validate(lift)
        verdict = lift["verdict"]["code"]
        chosen = [one for one in lift["options"] if one["lift"]]
        lies = {one.falls: one for one in beds.options(crane, lift["load_kg"])}
        for one in chosen:
            at = one["lift"]["pick"]
            place = drum.position(crane.layers, at["rope_on_drum_m"])
            assert (at["layer"], at["wrap"]) == (place[0], pytest.approx(place[1], abs=1e-5))
            lies_on = lies[one["falls"]].lift
            assert lies_on and lies_on.bed > at["rope_on_drum_m"]  # the rope that stretches comes off the drum no more
            bed = beds.bed(crane, beds.re_reeved(told, lies_on.rig), lies_on.bed, firm.unreached_limit(crane))
            assert one["lift"]["bed"]["firm"] is not (bool(bed.length > 1e-5) or verdict == "all-due")
        rows = lift["rows"]
        passing = [one["falls"] for one in chosen if one["lift"]["bed"]["firm"]]
        assert (rows["fewest"] and rows["fewest"]["falls"]) == (passing[0] if passing else None)
        assert rows["most"]["falls"] == (passing or [one["falls"] for one in chosen])[-1]
        best = rows[lift["advised"]]
        assert (lift["falls"], lift["re_reeving"]) == (best["falls"], best["re_reeving"])
        bed_told = best["lift"]["bed"]
        assert bed_told["firm"] is (verdict in ("firm-bed", "loose-bottom"))
        assert (bed_told["unreached_loose_m"] > 0 and bed_told["firm"]) is (verdict == "loose-bottom")


# -- re-reeving ------------------------------------------------------------------------------------------------------


def test_re_reeving_by_hand() -> None:
    """bittern 54 m, firm up to 478.003 m, reeved for 8 falls, to 10 falls for 61 t (14 m, as above).  Boom lowered the
    drum keeps 560 - 53 - 2.7*pi - 10*2.8 = 470.518 m and 7.485 m come off.  Boom up, rope for 10 falls to the ground:
    560 - 53 - 8.482 - 10*(54.261 - 2.2) = -22.1 m, so all comes off down to the 3 dead wraps, 6.088 m."""
    firm = NewRope(560.0, 20_000.0)
    found = judged(61_000.0, firm, ReReeving(54.0, 8, "five-sheave"))["re_reeving"]
    assert (found["from_falls"], found["to_falls"]) == (8, 10)
    assert found["boom_lowered"]["rope_on_drum_m"] == pytest.approx(470.518, abs=1e-3)
    assert found["boom_lowered"]["firm_lost_m"] == pytest.approx(478.003 - 470.518, abs=2e-3)
    assert found["boom_up"]["rope_on_drum_m"] == pytest.approx(6.088, abs=1e-3)
    assert found["boom_up"]["firm_lost_m"] == pytest.approx(478.003 - 6.088, abs=2e-3)


def test_only_firm_rope_is_lost_by_re_reeving() -> None:
    """Of a run that was firm at its inner end and loose at its outer end only the firm part counts."""
    crane = Crane(BITTERN)
    half = ledger.Run(100.0, 14_850.0 * 2, 0.0, "1 parked")
    stack = ledger.Run(300.0, 20_000.0, 20_000.0, "0 new"), half
    assert readiness._kept(crane, stack, 290.0)["firm_lost_m"] == pytest.approx(10 + 50, abs=1e-6)
    assert readiness._kept(crane, stack, 320.0)["firm_lost_m"] == pytest.approx(30, abs=1e-6)
    assert readiness._kept(crane, stack, 500.0)["firm_lost_m"] == 0


def test_no_re_reeving_for_the_falls_that_are_reeved() -> None:
    assert judged(61_000.0, NEW, FIRM_PASS)["re_reeving"] is None
    assert judged(61_000.0)["re_reeving"] is None


def test_everyday_work_matches_its_schema() -> None:
    schema = json.loads((ROOT / "rules/schema/work.schema.json").read_text(encoding="utf-8"))
    for machine in DATA.machines.values():
        found = readiness.work(DATA, machine, DAY)
        jsonschema.Draft202012Validator(schema).validate(found)
        share = next(v for v in (DATA.rules["light-work"].at(DAY),) if v).values["light_load_share"]
        assert found["light_load_kg"] == pytest.approx(share * machine.capacity_class)
        values = look_up.case(DATA, machine.id, found["booms"][0]["boom"], None, DAY).values
        assert found["firm_tension_n"] == pytest.approx(values.firm_tension_share * machine.winch.rated_line_pull)
        assert found["drum_drag_n"] == values.drum_drag
        lengths = [one["boom_length_m"] for one in found["booms"]]
        assert lengths == sorted(lengths)
        for boom in found["booms"]:
            case = look_up.case(DATA, machine.id, boom["boom"], None, DAY)
            assert boom["radius_m"] == case.chart.rows[0][0]
            for row in boom["falls"]:
                rig = Rig(Crane(case), row["falls"], next(b for b in machine.blocks if b.id == row["block"]))
                top = case.machine.rope.length - rig.drum_to_head(case.chart.boom_length) - rig.between_falls
                high = top - row["falls"] * machine.reeving.upper_stop
                assert row["rope_on_drum_m"][1] == pytest.approx(high, abs=1e-5)
                assert 0 < row["layers"][0] <= row["layers"][1] <= len(Crane(case).layers)
