"""State of a drum: what is due and why, both sides of every threshold, and whether its plan does what it promises."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import jsonschema
import pytest
from conftest import DATA, DAY, ROOT

from calc.data import look_up, rulebook
from calc.data.entries import Done, Entry, Jump, NewRope, PreTensioning, ReReeving, Shortening, Unwinding, Upkeep, Work
from calc.data.model import Data
from calc.drum_log import beds, history, readiness, state
from calc.drum_log.drum_fields import DrumState, PlanNamed
from calc.formulas import ledger
from calc.winding import plan_data, planner
from calc.winding.firm import unreached_limit
from calc.winding.rig import Crane

SCHEMA = json.loads((ROOT / "rules/schema/state.schema.json").read_text(encoding="utf-8"))
DAYS = ("2026-11-02", "2026-11-09", "2026-11-20", DAY)
KEYS = [(id, day) for id, upkeep in DATA.upkeep.items() for day in DAYS if upkeep.log[0].day <= day]
every_state = pytest.mark.parametrize("found", KEYS, ids=["-".join(key) for key in KEYS], indirect=True)


@cache
def state_of(machine: str, day: str) -> DrumState:
    return state.state(DATA, machine, day)


@pytest.fixture
def found(request: pytest.FixtureRequest) -> DrumState:
    return state_of(*request.param)


def logged(machine: str, *done: Done) -> Data:
    """The data with another log of one machine, all of it on one day."""
    log = tuple(Entry("2026-11-02", one, "") for one in done)
    return replace(DATA, upkeep={**DATA.upkeep, machine: Upkeep(machine, log)})


def told(machine: str, *done: Done) -> DrumState:
    return state.state(logged(machine, *done), machine, DAY)


def codes(found: DrumState) -> set[str]:
    return {reason["rule"] for reason in found["reasons"]}


# bittern, 54 m of boom: firm is 11 % of 135 kN (the override of its data), 14,850 N.
FIRM = NewRope(560.0, 14_850.0)
REEVED = ReReeving(54.0, 8, "five-sheave")


def pass_from(layer: int, wrap: int) -> PreTensioning:
    return PreTensioning((54.0, 54.0), 10, "five-sheave", 16_000.0, (14.0, 38.0), (layer, wrap), (4, 15))


# -- the fleet today --------------------------------------------------------------------------------------------------


def test_the_five_cranes_stand_as_their_logs_tell() -> None:
    """heron was wound firm yesterday by telescoping in; dunlin has a new rope never wound firm; curlew worked for weeks
    with nine falls down to the ground; bittern lifted a pier cap on eight falls and then worked lightly on six; avocet
    worked lightly on four falls only."""
    today = {id: state_of(id, DAY) for id in DATA.upkeep}
    rigged = {id: found["as_rigged"] for id, found in today.items()}
    assert not today["heron"]["due"] and today["heron"]["plan"] is None and today["heron"]["firm_from_falls"] == 1
    dunlin = today["dunlin"]
    assert dunlin["due"] and dunlin["reasons"][0]["rule"] == "due-new-rope" and dunlin["reasons"][0]["stretch"] is None
    assert not rigged["dunlin"]["ready"] and dunlin["firm"] is None and dunlin["plan"]["firm_below_m"] == 0
    bittern = today["bittern"]
    assert (rigged["bittern"]["falls"], rigged["bittern"]["ready"]) == (6, False) and bittern["due"]
    assert (bittern["firm"]["layer"][1], bittern["firm"]["wrap"][1]) == (2, 23)  # the pier cap was picked there
    assert bittern["firm_from_falls"] is None and bittern["depth"]["layer"] == 2
    assert bittern["plan"]["firm_below_m"] > 0 and bittern["plan"]["ready_for_falls"] <= 6
    curlew, avocet = today["curlew"], today["avocet"]
    assert (rigged["curlew"]["falls"], rigged["curlew"]["ready"], curlew["due"]) == (9, False, True)
    assert codes(curlew) == {DUE_LIGHT} and curlew["depth"]["layer"] == 1
    assert (rigged["avocet"]["falls"], rigged["avocet"]["ready"], avocet["due"]) == (4, True, False)
    assert codes(avocet) == {DUE_LIGHT} and avocet["depth"]["layer"] == 4, "but not for lifts from more rope"
    assert avocet["plan"]["ready_for_falls"] < avocet["firm_from_falls"] <= 4
    jumped = state.state(DATA, "heron", "2026-11-02")["log"]
    assert [entry["kind"] for entry in jumped].count("jump") == 1


DUE_LIGHT = "due-after-light-work"


@every_state
def test_a_state_matches_its_schema(found: DrumState) -> None:
    jsonschema.Draft202012Validator(SCHEMA).validate(found)


@every_state
def test_layers_hold_what_is_on_the_drum(found: DrumState) -> None:
    """Runs join, from the dead end to the end of the rope on the drum; what is loose and firm follows from them."""
    on_drum, ended = 0.0, False
    for layer in found["layers"]:
        length = (layer["rope_m"][1] - layer["rope_m"][0]) / layer["wraps"]
        at = 0.0
        for run in layer["runs"]:
            assert not ended and run["wraps"][0] == pytest.approx(at, abs=1e-5)
            assert 0 <= run["tension_n"][0] <= run["tension_n"][1]
            at = run["wraps"][1]
        assert at <= layer["wraps"] + 1e-5
        ended = at < layer["wraps"] - 1e-5
        on_drum += at * length
    assert on_drum == pytest.approx(found["rope_on_drum_m"], abs=1e-3)
    for stretch in found["loose"]:
        assert stretch["tension_n"][0] < found["firm_tension_n"]
        assert stretch["rope_m"][0] >= found["dead_rope_m"] - 1e-6
    starts = [stretch["rope_m"][0] for stretch in found["loose"]]
    assert starts == sorted(starts)


@every_state
def test_beds_due_and_depth_agree(found: DrumState) -> None:
    for bed in found["beds"]:
        within = (min(s["rope_m"][1], bed["bed_m"]) - s["rope_m"][0] for s in found["loose"])
        assert bed["loose_m"] == pytest.approx(sum(max(0.0, metres) for metres in within), abs=1e-4)
        assert bed["firm"] == (bed["loose_m"] == 0) == (bed["deepest_loose_m"] is None)
        if bed["least_tension_n"] is not None:
            assert bed["firm"] == (bed["least_tension_n"] >= found["firm_tension_n"] * (1 - 1e-6))
    deepest = [bed["deepest_loose_m"] for bed in found["beds"] if not bed["firm"]]
    assert (found["depth"] and found["depth"]["rope_m"]) == (min(deepest) if deepest else None)
    assert bool(found["depth"]) == any(reason["stretch"] for reason in found["reasons"])
    whole = any(reason["stretch"] is None for reason in found["reasons"])
    rigged = found["as_rigged"]
    if rigged is not None:
        # the most falls, no more than reeved, on which the hook comes down before the stop wraps
        bed = max((bed for bed in found["beds"] if bed["falls"] <= rigged["falls"]), key=lambda bed: int(bed["falls"]))
        assert all(rigged[name] == bed[name] for name in ("bed_m", "radius_m", "hook_height_m"))
        assert rigged["ready"] == (bed["firm"] and not whole)
        assert rigged["loose_m"] == pytest.approx(bed["loose_m"] + bed["unreached_loose_m"])
        assert found["due"] == (whole or not bed["firm"])
    fewest = found["firm_from_falls"]
    assert (fewest is None) == (rigged is None or not rigged["ready"])
    if fewest is not None:
        by_falls = {bed["falls"]: bed["firm"] for bed in found["beds"]}
        assert all(firm for falls, firm in by_falls.items() if fewest <= falls < rigged["falls"])
        assert fewest == min(by_falls) or not by_falls[fewest - 1]


@every_state
def test_firm_rope_ends_at_the_deepest_loose_wrap(found: DrumState) -> None:
    """To a whole wrap beneath it; a bed is firm while it ends there or deeper."""
    firm, loose = found["firm"], [stretch["rope_m"][0] for stretch in found["loose"]]
    if firm is None:
        assert any(reason["stretch"] is None for reason in found["reasons"]) or loose[0] < found["dead_rope_m"] + 15
        return
    begin, end = firm["rope_m"]
    assert begin == found["dead_rope_m"] and firm["wrap"][1] == pytest.approx(round(firm["wrap"][1]), abs=1e-5)
    layer = found["layers"][firm["layer"][1] - 1]
    one = (layer["rope_m"][1] - layer["rope_m"][0]) / layer["wraps"]
    assert end == pytest.approx(layer["rope_m"][0] + firm["wrap"][1] * one, abs=1e-4)
    first = min([*loose, found["rope_on_drum_m"]])
    assert first - one - 1e-4 < end <= first + 1e-4
    assert all(bed["firm"] for bed in found["beds"] if bed["bed_m"] <= end)


@every_state
def test_a_state_is_that_of_the_log_cut_at_the_day(found: DrumState) -> None:
    machine, day = found["machine"], found["day"]
    cut = tuple(entry for entry in DATA.upkeep[machine].log if entry.day <= day)
    data = replace(DATA, upkeep={machine: Upkeep(machine, cut)})
    assert state.state(data, machine, day) == found


def test_ready_as_rigged_is_what_ready_finds() -> None:
    """At every listed radius and hook height that the headline claims `ready` finds no loose rope on the falls reeved;
    where it says not ready, it finds some at the place it names, on the falls it judges."""
    seen = set()
    for machine, day in KEYS:
        found = state_of(machine, day)
        rigged = found["as_rigged"]
        if rigged is None or any(reason["stretch"] is None for reason in found["reasons"]):
            continue
        case = look_up.case(DATA, machine, found["boom"], found["configuration"], day)
        judged = max(bed["falls"] for bed in found["beds"] if bed["falls"] <= rigged["falls"])
        at = [radius for radius, _ in case.chart.rows if radius <= rigged["radius_m"] + 1e-6]
        low = rigged["hook_height_m"]
        for radius, hook in ((r, h) for r in at for h in (low, low / 2, 0.0)) if rigged["ready"] else ((at[-1], low),):
            falls = rigged["falls"] if rigged["ready"] else judged
            row = readiness.readiness(DATA, case, 1000.0, radius, hook, falls)["rows"]["reeved"]
            if row["lift"] is not None:
                assert row["lift"]["bed"]["firm"] is rigged["ready"], (machine, day, radius, hook)
                seen.add(rigged["ready"])
    assert seen == {True, False}


# -- the plan it names ------------------------------------------------------------------------------------------------


def test_states_with_a_plan_and_without_one_are_among_them() -> None:
    assert {state_of(*key)["plan"] is None for key in KEYS} == {True, False}


@every_state
def test_the_plan_of_a_state_is_the_plan_of_its_case(found: DrumState) -> None:
    case = state.plan_case(DATA, found)
    assert (case is None) == (found["plan"] is None)
    if case is None or found["plan"] is None:
        return
    plan, named = plan_data.plan(case), found["plan"]
    best = plan_data.best_method(plan)
    assert best is not None
    assert plan["inputs"]["firm_below_m"] == named["firm_below_m"]
    assert (plan["boom"], plan["configuration"], plan["falls"]["used"]) == (
        named["boom"], named["configuration"], named["falls"]
    )  # fmt: skip
    assert (best["name"], len(best["passes"])) == (named["method"], named["passes"])
    assert plan["load"]["planned_kg"] == pytest.approx(named["load_kg"])
    assert best["minutes"] == pytest.approx(named["minutes"])


@every_state
def test_after_its_plan_the_drum_is_as_ready_as_it_said(found: DrumState) -> None:
    """The plan carried out on the drum as its log left it, landed, unhooked: ready from just the falls it promised."""
    machine, case = DATA.machines[found["machine"]], state.plan_case(DATA, found)
    if case is None:
        return
    made = planner.plan(case)
    assert not isinstance(made, str) and made.attempt.best is not None
    now = history.drums(DATA.upkeep[machine.id].log, look_up.cases(DATA, machine, found["day"]), found["day"])[-1]
    rig, stack = made.attempt.rig, now.stack
    first = rig.rope_on_drum(made.attempt.best.passes[0].moves[0].before)
    stack = ledger.pay_out(stack, max(0.0, ledger.held(stack) - min(first, history.lowered_rope(rig))))
    stack = ledger.wind_in(stack, first - ledger.held(stack), 0.0, 0.0, history.cause(now.entry, history.UNDER_NO_LOAD))
    for one in made.attempt.best.passes:
        moves = [(move.before, move.after) for move in one.moves]
        *_, stack = history.carry_out(stack, rig, moves, history.cause(now.entry, history.FIRM))
        empty = history.empty_tension(rig, moves[-1][1])
        stack = ledger.set_down(stack, rig.crane.layers, empty, case.values.rope_friction)
    lift = look_up.case(DATA, machine.id, found["boom"], found["configuration"], found["day"])
    crane = history.crane(lift, now.rope_length)
    after = replace(now, stack=stack)
    firm = {n: not beds.bed(crane, after, bed, unreached_limit(crane)).loose for n, bed in crane.beds}
    promised = found["plan"]["ready_for_falls"]
    if promised is None:  # it reaches too little of the rope, and says so
        assert not any(firm.values())
        return
    assert all(firm[falls] for falls in firm if falls >= promised)
    assert promised == min(firm) or not firm[promised - 1], "it promises no less than it does"


def test_a_lattice_boom_stays_and_a_telescopic_one_is_set_as_it_does_best() -> None:
    """dunlin: of all boom lengths and configurations the one whose plan makes it ready as rigged in the fewest minutes,
    setting up and reeving counted."""
    for found in (state_of(*key) for key in KEYS):
        if not found["plan"]:
            continue
        machine = DATA.machines[found["machine"]]
        if machine.kind == "lattice":
            assert found["plan"]["boom"] == found["boom"]
            continue
        done = []
        rigged = found["as_rigged"]["falls"]
        for configuration, chart in ((c, chart) for c in machine.configurations for chart in c.charts):
            named: PlanNamed = {**found["plan"], "boom": chart.slug, "configuration": configuration.id}
            case = state.plan_case(DATA, {**found, "plan": named})
            made = planner.plan(case) if case else None
            if case and made and not isinstance(made, str) and made.attempt.best:
                last = made.attempt.best.passes[-1]
                ready_for = [bed["falls"] for bed in found["beds"] if bed["bed_m"] <= last.firm_to]
                begins = max(found["dead_rope_m"] + 0.35 * found["layers"][0]["rope_m"][1], case.firm_below)
                if last.firm_from <= begins and min(ready_for, default=rigged + 1) <= rigged:
                    values, falls = case.values, made.attempt.rig.falls
                    setting_up = values.setting_up_time + falls * values.reeving_time
                    done.append((made.attempt.best.duration + setting_up, configuration.id, chart.slug))
        assert min(done)[1:] == (found["plan"]["configuration"], found["plan"]["boom"])
        assert machine.boom.jibs or len({boom for *_, boom in done}) > 1  # with a jib few booms do


def test_where_nothing_can_be_planned_none_is_named() -> None:
    yards = {id: replace(yard, working_radius=6.0) for id, yard in DATA.yards.items()}
    found = state.state(replace(DATA, yards=yards), "bittern", DAY)
    assert found["due"] and found["plan"] is None
    empty = {id: replace(yard, weights=()) for id, yard in DATA.yards.items()}
    assert state.state(replace(DATA, yards=empty), "bittern", DAY)["plan"] is None


def test_no_plan_is_named_that_gains_nothing() -> None:
    """bittern, wound firm on 4 falls until the block stood near the upper stop: only a lift on one fall, from more rope
    than any plan of this boom winds, would lie on loose wraps; so none is named."""
    whole = PreTensioning((54.0, 54.0), 4, "two-sheave", 16_000.0, (14.0, 38.0), (1, 7), (6, 18))
    data = logged("bittern", NewRope(560.0, 15_500.0), whole)
    short = {id: replace(yard, extensions=()) for id, yard in data.yards.items()}  # nor do long slings wind more
    found = state.state(replace(data, yards=short), "bittern", DAY)
    assert found["as_rigged"]["ready"] and found["firm_from_falls"] == 2 and found["plan"] is None


def test_a_shortened_rope_is_planned_as_short_as_it_is() -> None:
    work = Work(54.0, 26.0, 6, "five-sheave", 900.0, (6.0, 40.0), 9)
    data = logged("bittern", FIRM, pass_from(1, 7), Shortening(30.0, "hook"), work)
    found = state.state(data, "bittern", DAY)
    case = state.plan_case(data, found)
    assert found["rope_length_m"] == 530.0 and found["plan"] and case is not None
    assert case.machine.rope.length == 530.0
    assert plan_data.plan(case)["inputs"]["rope_length_m"] == 530.0


# -- thresholds -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("tension", "firm"), [(14_850.0, True), (14_849.9, False)])
def test_a_wrap_is_firm_from_just_the_firm_tension(tension: float, firm: bool) -> None:
    found = told("bittern", NewRope(560.0, tension), REEVED)
    assert all(bed["firm"] is firm for bed in found["beds"] if bed["least_tension_n"] is not None and bed["falls"] > 3)
    assert (found["depth"] is None or found["depth"]["layer"] > 5) is firm


def bottom(wrap: int) -> DrumState:
    """bittern, wound firm from layer 1, the wrap given; beneath it the rope lies as it was fitted, with 9 kN."""
    return told("bittern", NewRope(560.0, 9_000.0), pass_from(1, wrap))


def test_the_part_of_layer_1_that_may_stay_unreached() -> None:
    """3 dead wraps and 35 % of 36: up to wrap 15.6 of layer 1 rope may stay unreached.  Wound firm from wrap 15 nothing
    beneath is held against it, from wrap 16 it is."""
    just, over = bottom(15), bottom(16)
    most = max(bed["falls"] for bed in just["beds"])
    shallow = next(bed for bed in just["beds"] if bed["falls"] == most - 2)
    assert shallow["firm"] and shallow["least_tension_n"] > 14_850
    assert shallow["unreached_loose_m"] == pytest.approx((15 - 3) * 2.0295, abs=0.01)
    deep = next(bed for bed in over["beds"] if bed["falls"] == most - 2)
    assert not deep["firm"] and deep["loose_m"] == pytest.approx((16 - 15.6) * 2.0295, abs=0.01)
    assert over["depth"]["layer"] == 1 and over["depth"]["wrap"] == pytest.approx(15.6, abs=1e-3)
    assert "due-new-rope" in codes(over) and "due-new-rope" not in codes(just)


# -- why it is due ----------------------------------------------------------------------------------------------------


def test_a_new_rope_is_due_until_it_is_wound_firm_whatever_its_back_tension() -> None:
    found = told("bittern", NewRope(560.0, 30_000.0), REEVED)
    assert found["due"] and found["reasons"][0] == {
        "rule": "due-new-rope", "code": DATA.rules["due-new-rope"].code, "entry": 0, "how": "new", "stretch": None,
    }  # fmt: skip
    assert found["firm"] is None and found["plan"]["firm_below_m"] == 0
    assert "due-new-rope" not in codes(told("bittern", NewRope(560.0, 30_000.0), pass_from(1, 7)))


@pytest.mark.parametrize(
    ("layer", "begun", "answered"),
    [
        (3, (3, 1), False),  # begun above the first wrap of the layer that jumped
        (3, (2, 36), True),  # begun just beneath it
        (2, (2, 1), False),
        (2, (1, 36), True),
        (1, (1, 15), True),  # beneath it is only what may stay unreached: wrap 15.6
        (1, (1, 16), False),
    ],
)
def test_a_jump_is_answered_from_beneath_its_layer(layer: int, begun: tuple[int, int], answered: bool) -> None:
    found = told("bittern", FIRM, pass_from(1, 7), Jump(layer), pass_from(*begun))
    assert ("due-after-slack" in codes(found)) is not answered
    if not answered:
        reason = next(reason for reason in found["reasons"] if reason["rule"] == "due-after-slack")
        assert (reason["entry"], reason["how"], reason["stretch"]) == (2, "jump", None)
        assert found["firm"] is None and found["plan"]["firm_below_m"] == 0


def test_passes_that_answer_a_jump_may_go_on_above_it() -> None:
    """Of several passes it is the deepest that counts."""
    passes = pass_from(2, 20), pass_from(3, 30)
    assert "due-after-slack" not in codes(told("bittern", FIRM, pass_from(1, 7), Jump(3), *passes))


def test_a_jump_is_answered_by_what_comes_after_it_only() -> None:
    assert "due-after-slack" in codes(told("bittern", FIRM, pass_from(1, 7), Jump(3)))
    assert "due-after-slack" not in codes(told("bittern", FIRM, Jump(3), NewRope(560.0, 15_500.0)))


def test_what_laid_the_rope_names_the_rule() -> None:
    """Work: after light work; rope that came in with no tension: after unwinding; rope not on the drum yet comes in
    with the empty block: after light work."""
    work = Work(54.0, 26.0, 6, "five-sheave", 0.0, (6.0, 40.0), 1)
    assert codes(told("bittern", FIRM, pass_from(1, 7), work)) == {DUE_LIGHT}
    assert codes(told("bittern", FIRM, pass_from(1, 7), work, Unwinding(150.0))) == {DUE_LIGHT, "due-after-unwinding"}
    landed = told("bittern", FIRM, pass_from(1, 7))
    # the wraps that slipped at that landing are loose, but no reason to pre-tension again
    assert {reason["how"] for reason in landed["reasons"]} == {"not-wound"}
    assert {stretch["how"] for stretch in landed["loose"]} == {"firm", "not-wound"} and not landed["due"]
    away = next(reason for reason in landed["reasons"] if reason["how"] == "not-wound")
    assert away["rule"] == DUE_LIGHT and away["stretch"]["rope_m"][0] == pytest.approx(landed["rope_on_drum_m"])
    assert away["stretch"]["rope_m"][1] == max(bed["bed_m"] for bed in landed["beds"])


def test_every_rule_a_state_may_name_must_be_there() -> None:
    named = {*state.RULES.values(), *beds.ALL_DUE.values(), "falls-for-lifting", "firm-tension", "unreached-rope"}
    named |= {"re-reeving-for-a-lift", "set-down-place"}  # of a heavy lift
    assert named == set(rulebook.NAMED) <= set(DATA.rules)


# -- what there is no state of ----------------------------------------------------------------------------------------


def test_no_such_machine_no_log_no_day() -> None:
    with pytest.raises(look_up.Unknown, match="no machine 'osprey'; known: avocet bittern curlew dunlin heron"):
        state.state(DATA, "osprey", DAY)
    with pytest.raises(
        look_up.Unknown, match=r"no log of the rope of heron; write one in upkeep/heron\.yaml of the data folder"
    ):
        state.state(replace(DATA, upkeep={}), "heron", DAY)
    revision = DATA.every_revision("heron")[-1].revision
    with pytest.raises(look_up.Unknown, match=f"the data of heron begins on {revision}; choose a later day"):
        state.state(DATA, "heron", "2026-08-30")
    old = replace(DATA, machines={"heron": replace(DATA.machines["heron"], revision="2026-08-01")})
    with pytest.raises(look_up.Unknown, match="the log of heron begins on 2026-08-31; choose a later day"):
        state.state(old, "heron", "2026-08-30")
    with pytest.raises(look_up.Unknown, match=r"no rule in force on 2026-08-31 gives .*; choose a later day"):
        state.state(old, "heron", "2026-08-31")


def test_before_any_work_the_first_boom_counts() -> None:
    found = told("bittern", FIRM)
    assert (found["boom"], found["falls"]) == ("24m", None)
    crane = Crane(look_up.case(DATA, "bittern", "24m", None, DAY))
    assert [(bed["falls"], bed["bed_m"]) for bed in found["beds"]] == [
        (falls, pytest.approx(bed, abs=1e-6)) for falls, bed in crane.beds
    ]
