"""Inspection, shortening and change of ropes: what holds for every rope and every reading, and the five ropes of the
demonstration; the published numbers themselves stand in cases/fitness.yaml and cases/shortening.yaml.
"""

from __future__ import annotations

import itertools
import json
import math
from dataclasses import replace
from typing import Any, get_args

import pytest
from conftest import DATA, DAY, ROOT
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from calc.cli import commands as command
from calc.data import look_up, model, rope_log, rule_values, schema
from calc.data.entries import Entry, Inspection, NewRope, Place, Shortening, Upkeep
from calc.fields import RopeEnd, RopePlace, Rulebook, Seen
from calc.formulas import rope
from calc.inspection import discard, fitness, judging, new_rope, shortening
from calc.inspection.judging import OUTCOMES
from calc.inspection.rope_fields import Deviation

TABLES = fitness.tables(DATA, DAY)
SCHEMAS = {
    name: Draft202012Validator(json.loads((ROOT / f"rules/schema/{name}.schema.json").read_text(encoding="utf-8")))
    for name in ("fitness", "shortening", "new-rope")
}
VALUES = {name: fitness.values(DATA, "heron", name, DAY) for name in discard.REGIMES}


def regime(
    name: Rulebook, construction: str = "35(W)x7", reference: float | None = 0.0206, **more: Any
) -> discard.Regime:
    made = model.Rope(0.020, 300.0, 2.0, 282e3, construction, 1960e6, False, **more)
    return discard.Regime(name, discard.facts(made, TABLES.constructions), 5, VALUES[name], TABLES, reference)


def gravity(one: discard.Regime, place: Place) -> tuple[int, float]:
    """How grave a place is: outcome first, then the largest severity or share of a limit."""
    found = judging.judge(one, place)
    return OUTCOMES.index(judging.worst(f.outcome for f in found)), max((f.share or 0.0 for f in found), default=0.0)


# What holds for every rope and every reading

ROPES = st.sampled_from(sorted(TABLES.constructions))
REGIMES = st.sampled_from(discard.REGIMES)
KINDS = st.sampled_from(fitness.PLACES)
COUNTS = st.fixed_dictionaries(
    {"in_6_diameters": st.integers(0, 60), "in_30_diameters": st.integers(0, 120)},
    optional={"in_one_lay": st.integers(0, 60), "in_one_strand": st.integers(0, 20), "in_valleys": st.integers(0, 3)},
)
DIAMETERS = st.floats(0.016, 0.0206)


@settings(max_examples=120, deadline=None)
@given(REGIMES, ROPES, KINDS, COUNTS, st.data())
def test_more_broken_wires_never_lower_anything(
    name: Rulebook, construction: str, kind: RopePlace, counts: dict[str, int], data: st.DataObject
) -> None:
    which = data.draw(st.sampled_from(sorted(counts)))
    more = {**counts, which: counts[which] + data.draw(st.integers(1, 10))}
    one = regime(name, construction)
    fewer_found, more_found = (
        {f.criterion: f for f in judging.judge(one, Place(kind, None, each))} for each in (counts, more)
    )
    assert gravity(one, Place(kind, None, counts))[0] <= gravity(one, Place(kind, None, more))[0]
    for criterion, found in fewer_found.items():
        if found.severity is not None and criterion in more_found:
            assert found.severity <= (more_found[criterion].severity or 0.0)


@settings(max_examples=120, deadline=None)
@given(REGIMES, ROPES, KINDS, DIAMETERS, DIAMETERS, COUNTS)
def test_a_thinner_rope_is_never_better(
    name: Rulebook, construction: str, kind: RopePlace, one_diameter: float, other: float, counts: dict[str, int]
) -> None:
    thin, thick = sorted((one_diameter, other))
    asked = regime(name, construction)
    worse, better = (gravity(asked, Place(kind, None, counts, (d, d))) for d in (thin, thick))
    assert worse[0] >= better[0] and worse[1] >= better[1]


@settings(max_examples=100, deadline=None)
@given(REGIMES, ROPES, st.permutations([
    Place("crossover", ("drum", 50.0), {"in_6_diameters": 3, "in_30_diameters": 4}, (0.0199, 0.0198)),
    Place("crossover", ("drum", 60.0), {"in_6_diameters": 1, "in_30_diameters": 1}, (0.0204, 0.0204), 0.0005),
    Place("sheaves", ("hook", 20.0), {"in_6_diameters": 0, "in_30_diameters": 2}, seen=("rust-rough", "kink")),
    Place("end-fitting", None, seen=()),
]), st.randoms())  # fmt: skip
def test_the_order_of_readings_says_nothing(
    name: Rulebook, construction: str, places: list[Place], chance: Any
) -> None:
    shuffled = [replace(p, seen=tuple(chance.sample(p.seen, len(p.seen)))) if p.seen else p for p in places]
    log = (Entry("2026-01-01", NewRope(300.0, 1e4), ""),)
    asked = regime(name, construction)
    outcomes = []
    for found in (places, shuffled, sorted(places, key=lambda place: place.kind)):
        kept = Upkeep("x", log, (Inspection("2026-02-01", "x", "full", tuple(found)),))
        last = rope_log.last_read(kept, DAY)
        outcomes.append(sorted((each.place.kind, judging.outcome_at(asked, each.place)) for each in last))
    assert outcomes[0] == outcomes[1] == outcomes[2]


@settings(max_examples=120, deadline=None)
@given(ROPES, KINDS, st.integers(1, 400), st.integers(1, 8))
def test_the_strictest_number_published_counts(construction: str, kind: str, wires: int, layers: int) -> None:
    made = model.Rope(0.020, 300.0, 2.0, 282e3, construction, 1960e6, False, outer_wires=wires)
    facts = discard.facts(made, TABLES.constructions)
    table = TABLES.rotation_resistant if facts.kind == discard.ROTATION_RESISTANT else TABLES.single_layer
    found = discard.broken_wires(table, discard.columns(facts, layers, kind), facts)
    if found is None:
        assert facts.kind == discard.ROTATION_RESISTANT and wires <= 70
        return
    assert found.short == min(each.short for each in found.published) >= 1
    assert found.long == min(each.long for each in found.published) >= found.short


def test_more_outer_wires_never_allow_fewer_broken_ones() -> None:
    """Row by row, in every column: the tables have no slip that turns them round."""
    for table, construction, least in ((TABLES.single_layer, "6x36 FC", 1), (TABLES.rotation_resistant, "35(W)x7", 71)):
        for kind, layers in itertools.product(fitness.PLACES, (1, 5)):
            before = (0, 0)
            for wires in range(least, 420):
                made = model.Rope(0.020, 300.0, 2.0, 282e3, construction, 1960e6, False, outer_wires=wires)
                facts = discard.facts(made, TABLES.constructions)
                found = discard.broken_wires(table, discard.columns(facts, layers, kind), facts)
                assert found is not None
                assert found.short >= before[0] and found.long >= before[1], (construction, kind, wires)
                before = found.short, found.long


def test_a_limit_from_memory_never_ends_the_use_by_itself() -> None:
    """Whatever is read: a criterion is met only where its limit was read, at least second-hand."""
    worst = Place(
        "crossover",
        None,
        {"in_6_diameters": 99, "in_30_diameters": 99, "in_one_lay": 99, "in_one_strand": 99, "in_valleys": 9},
        (0.017, 0.017),
        0.02,
        get_args(Seen),
    )
    for name, construction in itertools.product(discard.REGIMES, TABLES.constructions):
        for found in judging.judge(regime(name, construction), worst):
            assert found.outcome != judging.MET or found.read != "from-memory", found
    flange = replace(worst, kind="flange")
    iso = {found.criterion: found.outcome for found in judging.judge(regime("iso"), flange)}
    assert iso["diameter-decrease"] == iso["combined-severity"] == iso["kink"] == judging.VERIFY
    assert iso["broken-wires-6d"] == iso["broken-strand"] == judging.MET


def test_the_diameter_at_a_crossover_is_information_under_iso_alone() -> None:
    """R96, from memory: 20 mm rope, reference 20.6 mm, read 17 mm (18 % thinner); nothing of it enters the sum."""
    thin = Place("crossover", None, {"in_6_diameters": 2, "in_30_diameters": 2}, (0.017, 0.017))
    iso = {found.criterion: found for found in judging.judge(regime("iso"), thin)}
    decrease = iso["diameter-decrease"]
    assert (decrease.outcome, decrease.information, decrease.severity) == (judging.NONE_MET, True, None)
    assert judging.SUM not in iso and iso["broken-wires-6d"].severity == 0.4
    us = {found.criterion: found for found in judging.judge(regime("us"), thin)}
    assert (us["diameter-decrease"].outcome, us["diameter-decrease"].information) == (judging.MET, False)
    single = replace(regime("iso"), layers=1)
    assert judging.outcome_at(single, thin) == judging.VERIFY
    assert not list(judging.judge(regime("iso", reference=None), Place("crossover", None, None, (0.02, 0.02))))


def test_a_diameter_read_only_at_crossovers_asks_for_one_beside_them() -> None:
    for machine, missing in (("avocet", True), ("bittern", False)):
        iso = fitness.fitness(DATA, machine, DAY)["regimes"][0]
        assert (fitness.BESIDE_CROSSOVERS in iso["not_read"]) is missing
        us = fitness.fitness(DATA, machine, DAY)["regimes"][1]
        assert fitness.BESIDE_CROSSOVERS not in us["not_read"]


@pytest.mark.parametrize(
    ("name", "place", "measured", "limit", "margin"),
    [
        ("iso", Place("drum", None, None, (0.0197, 0.0199)), 0.0198, 0.0196, 0.0002),  # 20.6 - 5 % of 20
        ("iso", Place("drum", None, None, (0.0195, 0.0195)), 0.0195, 0.0196, -0.0001),
        ("us", Place("drum", None, None, (0.0191, 0.0191)), 0.0191, 0.0190, 0.0001),  # 95 % of 20
        ("iso", Place("drum", None, waviness=0.0015), 0.0015, 0.0020, 0.0005),  # a tenth of 20
    ],
)
def test_what_is_left_up_to_the_limit(
    name: Rulebook, place: Place, measured: float, limit: float, margin: float
) -> None:
    found = next(one for one in judging.judge(regime(name), place) if one.measured is not None)
    assert (found.measured, found.measured_limit, found.margin) == pytest.approx((measured, limit, margin), abs=1e-9)
    reached = margin < 0
    assert (found.outcome in (judging.VERIFY, judging.MET)) is reached


def test_what_is_lacking_is_said() -> None:
    counts = {"in_6_diameters": 4, "in_30_diameters": 8}
    running = judging.judge(regime("us", "6x36WS-IWRC"), Place("crossover", None, counts))
    assert {f.criterion: f.lacking for f in running} == {
        "broken-wires-lay": "count-in-one-lay",
        "broken-wires-strand": "count-in-one-strand",
    }
    (unknown,) = judging.judge(regime("iso", reference=None), Place("drum", None, None, (0.02, 0.02)))
    assert (unknown.outcome, unknown.lacking) == (judging.UNDECIDED, "reference-diameter")
    few = judging.judge(regime("iso", outer_strands=8, outer_wires=56), Place("drum", None, counts))
    assert [f.lacking for f in few] == ["row-in-the-table"]


def test_the_certificate_comes_before_the_construction() -> None:
    """Outer wires, Seale type and lay as written in the data; a construction that is rotation-resistant stays so."""
    plain = regime("iso", "6x19 IWRC", seale=False, lay="ordinary", outer_wires=114).facts
    assert (plain.outer_wires[0].count, plain.seale, plain.lay, plain.kind) == (114, "no", "ordinary", "steel-core")
    assert regime("iso", "6x19 IWRC", seale=True).facts.seale == "yes"
    assert regime("iso", "6x19 IWRC").facts.seale == "either"
    assert regime("iso", "18x7 WSC").facts.kind == discard.ROTATION_RESISTANT
    with pytest.raises(ValueError, match="construction is '7x7'; known are 6x7 FC, "):
        regime("iso", "7x7")
    with pytest.raises(ValueError, match="layers is 0; it is 1 or more"):
        discard.columns(plain, 0, "drum")


@pytest.mark.parametrize(("severity", "name"), [(0.19, None), (0.2, "slight"), (0.8, "very_high"), (1.2, "discard")])
def test_grades(severity: float, name: str | None) -> None:
    assert judging.grade(severity, VALUES["iso"]) == name


# The tables


def test_every_construction_stands_in_both_tables() -> None:
    listed = schema.schema("machine")["properties"]["rope"]["properties"]["construction"]["enum"]
    assert set(listed) == set(rope.CONSTRUCTIONS) == set(TABLES.constructions)


def test_what_may_be_seen_is_what_the_table_judges() -> None:
    place = schema.schema("upkeep")["properties"]["readings"]["items"]["properties"]["places"]["items"]
    seen = set(place["properties"]["seen"]["items"]["enum"])
    assert seen == set(TABLES.criteria) - {*judging.COUNTED, *fitness.UNITS}
    assert set(place["properties"]["place"]["enum"]) == set(fitness.PLACES)


def test_the_copies_differ_in_the_cells_the_sources_differ_in() -> None:
    """Eight rows of the numbers for several layers (a rope dealer's and a rope maker's copy)."""
    differ = []
    for wires in (50, 75, *range(100, 301, 20)):
        facts = regime("iso", "6x36 FC", outer_wires=wires).facts
        found = discard.broken_wires(TABLES.single_layer, ("multi_layer",), facts)
        assert found is not None
        differ += [wires] if found.differ else []
    assert differ == [120, 140, 160, 180, 220, 240, 260, 280]


def test_every_value_of_the_rules_is_there_under_both_regimes() -> None:
    for name, machine in itertools.product(discard.REGIMES, DATA.machines.values()):
        found = fitness.given(DATA, machine, name, DAY)
        assert set(found) == {*rule_values.FOR_INSPECTION, *rule_values.BY_REGIME[name]}


# Readings over time


def _upkeep(*entries: tuple[str, Any], places: tuple[tuple[str, Place], ...]) -> Upkeep:
    log = tuple(Entry(day, done, "") for day, done in entries)
    read = tuple(Inspection(day, "x", "monthly", (place,)) for day, place in places)
    return Upkeep("x", log, read)


NEW = ("2026-01-01", NewRope(300.0, 1e4))


def test_the_last_reading_of_each_item_counts() -> None:
    first = Place("crossover", ("drum", 50.0), {"in_6_diameters": 2, "in_30_diameters": 3}, (0.0204, 0.0204))
    later = Place("crossover", ("drum", 50.04), None, (0.0201, 0.0201))
    (found,) = rope_log.last_read(_upkeep(NEW, places=(("2026-02-01", first), ("2026-03-01", later))), DAY)
    assert found.place.broken_wires == first.broken_wires and found.place.diameter == later.diameter
    assert found.read_in == {"broken_wires": 0, "diameter": 1}
    assert len(rope_log.last_read(_upkeep(NEW, places=(("2026-02-01", first),)), "2026-01-31")) == 0


def test_a_new_rope_has_no_readings_yet() -> None:
    old = Place("drum", ("drum", 50.0), None, (0.0204, 0.0204))
    kept = _upkeep(NEW, ("2026-05-01", NewRope(300.0, 1e4)), places=(("2026-02-01", old), ("2026-05-02", old)))
    assert [n for n, _ in rope_log.counted(kept, DAY)] == [1]
    assert rope_log.counted(kept, "2026-04-30")[0][0] == 0
    assert rope_log.fitted(kept.log, DAY) == "2026-05-01"


@pytest.mark.parametrize(
    ("end", "distance", "cut_end", "left"),
    [
        ("drum", 50.0, "drum", 30.0),
        ("drum", 50.0, "hook", 50.0),
        ("hook", 50.0, "hook", 30.0),
        ("drum", 20.0, "drum", 0.0),
        ("drum", 19.9, "drum", None),
        ("drum", 280.0, "hook", 280.0),
        ("drum", 280.1, "hook", None),
    ],
)
def test_a_cut_moves_places_or_takes_them_away(
    end: RopeEnd, distance: float, cut_end: RopeEnd, left: float | None
) -> None:
    place = Place("drum", (end, distance), None, (0.0204, 0.0204))
    cut = ("2026-03-01", Shortening(20.0, cut_end))
    found = rope_log.last_read(_upkeep(NEW, cut, places=(("2026-02-01", place),)), DAY)
    assert [each.place.position for each in found] == ([] if left is None else [(end, pytest.approx(left))])
    assert rope_log.rope_length(_upkeep(NEW, cut, places=()).log, DAY) == 280.0


@pytest.mark.parametrize(("day", "overdue"), [("2026-11-13", False), ("2026-11-14", False), ("2026-11-15", True)])
def test_overdue_the_day_after_it_was_due(day: str, overdue: bool) -> None:
    """Avocet was last inspected on 14 October."""
    monthly, full = fitness.fitness(DATA, "avocet", day)["due"]
    assert (monthly["next"], monthly["overdue"]) == ("2026-11-14", overdue)
    assert (full["next"], full["overdue"]) == ("2027-08-26", False)


def test_a_jump_asks_for_another_look_until_somebody_looked() -> None:
    """Heron's wrap climbed on 12 October; it was inspected before and after that day."""
    kept = DATA.upkeep["heron"]
    for days, again in ((("2026-09-30",), ["2026-10-12"]), (("2026-09-30", "2026-10-13"), []), ((), ["2026-10-12"])):
        looked = tuple(one for one in kept.readings if one.day in days)
        data = replace(DATA, upkeep={"heron": replace(kept, readings=looked)})
        assert [one["day"] for one in fitness.fitness(data, "heron", DAY)["look_again"]] == again


# The five ropes

TODAY = {machine: fitness.fitness(DATA, machine, DAY) for machine in DATA.machines}


@pytest.mark.parametrize("machine", DATA.machines)
def test_what_is_told_fits_its_schemas(machine: str) -> None:
    for day in (DAY, "2026-11-02", "2026-11-23"):
        if machine in ("plover", "whimbrel") and day < "2026-11-30":  # the first revision of their data
            for told in (fitness.fitness, shortening.shortening, new_rope.order):
                with pytest.raises(look_up.Unknown, match=f"the data of {machine} begins on 2026-11-30"):
                    told(DATA, machine, day)
            continue
        for name, found in (
            ("fitness", fitness.fitness(DATA, machine, day)),
            ("shortening", shortening.shortening(DATA, machine, day)),
            ("new-rope", new_rope.order(DATA, machine, day)),
        ):
            assert not [error.message for error in SCHEMAS[name].iter_errors(found)]
            assert json.loads(json.dumps(found, allow_nan=False)) == found


def test_the_five_ropes_show_what_can_be() -> None:
    """One fine, one worn a little, one near a limit of the diameter, one where the regimes differ, two overdue."""
    by_regime = {m: {r["regime"]: r for r in found["regimes"]} for m, found in TODAY.items()}
    assert all(found["outcome"] == judging.NONE_MET for found in TODAY.values())
    assert by_regime["dunlin"]["iso"]["nearest"] is None
    assert by_regime["heron"]["iso"]["nearest"]["grade"] == "slight"
    assert by_regime["bittern"]["iso"]["nearest"]["criterion"] == "diameter-decrease"
    assert 0.9 < by_regime["bittern"]["iso"]["nearest"]["share"] < 1.0
    assert by_regime["curlew"]["us"]["outcome"] == TODAY["curlew"]["strictest"] == judging.MET
    assert (by_regime["curlew"]["us"]["category"], TODAY["curlew"]["regimes_differ"]) == (2, True)
    assert [m for m, found in TODAY.items() if any(due["overdue"] for due in found["due"])] == ["avocet", "heron"]


@pytest.mark.parametrize("machine", DATA.machines)
def test_limits_say_how_they_were_read(machine: str) -> None:
    for one in TODAY[machine]["limits"]:
        for group in one["measured"]:
            for limit in group["limits"]:
                assert limit["rule"]["code"].startswith("R") and limit["read"] in discard.READ
                by_table = one["regime"] == "iso" and limit["criterion"] in ("broken-wires-6d", "broken-wires-30d")
                assert bool(limit["published"]) == by_table
    iso = {each["criterion"]: each for each in TODAY[machine]["limits"][0]["measured"][0]["limits"]}
    assert iso["diameter-decrease"]["read"] == iso["waviness"]["read"] == "from-memory"


@pytest.mark.parametrize("machine", DATA.machines)
def test_where_to_look_lies_on_the_rope(machine: str) -> None:
    found = TODAY[machine]
    length, where = found["rope"]["length_m"], found["where"]
    assert where["layers"][-1]["from_drum_m"][1] == pytest.approx(length, abs=1e-6)
    for before, after in itertools.pairwise(where["layers"]):
        assert before["from_drum_m"][1] == after["from_drum_m"][0]
        assert before["wraps"] * 2 * before["crossover_spacing_m"] == pytest.approx(
            before["from_drum_m"][1] - before["from_drum_m"][0], abs=1e-4
        )
    for work in where["usual"]:
        least, most = work["rope_on_drum_m"]
        assert 0 < least < most < length
        assert len(work["sheaves"]) == work["falls"]
        for sheave in work["sheaves"]:
            (near, far), on_drum = sheave["from_hook_m"], sheave["from_drum_m"]
            assert 0 <= near < far < length
            assert on_drum == [pytest.approx(length - far), pytest.approx(length - near)]
        assert [each["from_hook_m"][0] for each in work["sheaves"]] == sorted(
            (each["from_hook_m"][0] for each in work["sheaves"]), reverse=True
        )
        for pick in work["pick_ups"]:
            assert least - 1e-6 <= pick["rope_on_drum_m"] <= most + 1e-6


def test_places_read_at_a_crossover_lie_in_a_layer_that_crosses() -> None:
    for found in TODAY.values():
        for place in found["regimes"][0]["places"]:
            if place["place"] == "crossover":
                at = place["position"]["distance_m"]
                crossing = [each["from_drum_m"] for each in found["where"]["layers"] if each["crosses"]]
                assert any(start <= at <= end for start, end in crossing)


def test_without_a_log_the_limits_stand_all_the_same() -> None:
    bare = replace(DATA, upkeep={})
    found = fitness.fitness(bare, "heron", DAY)
    assert found["outcome"] == found["strictest"] == "no-readings"
    assert (found["fitted"], found["due"]) == (None, [])
    assert found["limits"][0]["measured"] and found["where"]["usual"] == []
    assert shortening.shortening(bare, "heron", DAY)["may_be_cut_m"] is None
    for name, told in (("fitness", found), ("shortening", shortening.shortening(bare, "heron", DAY)),
                       ("new-rope", new_rope.order(bare, "heron", DAY))):  # fmt: skip
        assert not list(SCHEMAS[name].iter_errors(told))


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: fitness.fitness(DATA, "wren", DAY), "no machine 'wren'; known: "),
        (lambda: fitness.fitness(replace(DATA, tables={}), "heron", DAY), "no table "),
        (lambda: fitness.fitness(DATA, "heron", "2026-10-01"), "the data of heron begins on "),
        (lambda: shortening.shortening(DATA, "heron", "2026-10-01"), "the data of heron begins on "),
        (lambda: new_rope.order(DATA, "heron", "2026-10-01"), "the data of heron begins on "),
    ],
)
def test_what_is_not_known_is_said(call: Any, said: str) -> None:
    with pytest.raises(look_up.Unknown) as caught:
        call()
    assert str(caught.value).startswith(said)


# Shortening


@pytest.mark.parametrize("machine", DATA.machines)
def test_what_may_be_cut_leaves_the_stop_wraps(machine: str) -> None:
    """Both sides of the limit, and the hook stops higher by what was cut over the falls."""
    most = shortening.shortening(DATA, machine, DAY)["may_be_cut_m"]
    for length, enough in ((most, True), (most - 1e-3, True), (most + 1e-3, False)):
        found = shortening.shortening(DATA, machine, DAY, Shortening(length, "drum"))
        assert found["cut"]["enough_left"] is enough
        for used in found["used"]:
            assert used["rises_m"] == pytest.approx(length / used["falls"], abs=1e-5)
            assert used["rope_on_drum_m"] - used["spare_m"] == pytest.approx(found["stop_rope_m"], abs=1e-5)
    left = min(used["rope_on_drum_m"] for used in found["used"]) - most
    assert left == pytest.approx(found["stop_rope_m"], abs=1e-5)


@pytest.mark.parametrize("machine", DATA.machines)
def test_every_cut_that_is_shown_lets_the_hook_stop_higher(machine: str) -> None:
    found = shortening.shortening(DATA, machine, DAY)
    for cut in found["cuts"]:
        again = shortening.shortening(DATA, machine, DAY, Shortening(cut["length_m"], "drum"))
        crossing = [layer["off_turns"] if layer["crosses"] else None for layer in again["cut"]["layers"]]
        assert cut["off_turns"] == pytest.approx(crossing, abs=2e-6)
        for used, height in zip(found["used"], cut["stop_height_m"], strict=True):
            assert height - used["stop_height_m"][0] == pytest.approx(cut["length_m"] / used["falls"], abs=1e-5)


@pytest.mark.parametrize("machine", DATA.machines)
def test_one_fall_more_would_not_let_the_hook_down(machine: str) -> None:
    """From the formula of the rope path: L_rope - P - w - n*(H - h - b), least radius of the chart."""
    told = DATA.machines[machine]
    found = shortening.shortening(DATA, machine, DAY)
    charts = {chart.slug: chart for c in reversed(told.configurations) for chart in c.charts}
    assert [boom["boom"] for boom in found["booms"]] == sorted(charts, key=lambda slug: charts[slug].boom_length)
    for boom in found["booms"]:
        length, falls = boom["boom_length_m"], boom["falls"]
        head = told.boom.pivot_height + math.sqrt(length**2 - (boom["radius_m"] - told.boom.pivot_forward) ** 2)

        held = found["rope_length_m"] - length - told.boom.rope_path_extra - found["stop_rope_m"]

        def spare(n: int, of: Any, held: float = held, fall: float = head - boom["hook_height_m"]) -> float:
            return held - (n - 1) * math.pi * told.reeving.sheave_radius - n * (fall - of.height)

        block = next(block for block in told.blocks if block.id == boom["block"])
        assert boom["spare_m"] == pytest.approx(spare(falls, block), abs=1e-4) and boom["spare_m"] >= 0
        more = [block for block in told.blocks if block.least_falls <= falls + 1 <= block.most_falls]
        assert falls == told.reeving.most_falls or all(spare(falls + 1, block) < 0 for block in more)


@pytest.mark.parametrize("machine", DATA.machines)
def test_the_rules_cut_is_clear_of_both_crossovers_on_every_layer(machine: str) -> None:
    """R75: a quarter of a wrap of the middle layer shifts every layer by a fifth to a third of its turn."""
    found = shortening.shortening(DATA, machine, DAY)
    assert all(0.2 <= layer["shift_turns"] <= 1 / 3 for layer in found["cut"]["layers"])
    assert found["cuts"][0]["least_off_turns"] > 0.2
    assert shortening.shortening(DATA, machine, DAY, Shortening(3.0, "hook"))["cut"]["layers"][2]["shift_turns"] == 0


# A new rope


def _ordered(**changes: Any) -> list[Deviation]:
    """Deviations of heron with its data, its log or its readings changed."""
    heron, kept = DATA.machines["heron"], DATA.upkeep["heron"]
    fitted, drum = changes.pop("rope", {}), changes.pop("drum", {})
    machine = replace(heron, rope=replace(heron.rope, **fitted), drum=replace(heron.drum, **drum))
    if "length" in changes or "tension" in changes:
        first = replace(kept.log[0], done=replace(kept.log[0].done, **changes))
        kept = replace(kept, log=(first, *kept.log[1:]))
    if "reference" in changes:
        kept = replace(kept, readings=(replace(kept.readings[0], reference_diameter=(changes["reference"],) * 2),))
    data = replace(DATA, machines={**DATA.machines, "heron": machine}, upkeep={**DATA.upkeep, "heron": kept})
    return new_rope.order(data, "heron", DAY)["deviations"]


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        ({}, []),
        ({"length": 290.04}, []),
        ({"length": 290.1}, ["longer-than-listed"]),
        ({"length": 289.9}, ["shorter-than-listed"]),
        ({"reference": 0.0220}, []),
        ({"reference": 0.02199}, ["thinner-than-nominal"]),
        ({"reference": 0.02288}, []),
        ({"reference": 0.02289}, ["thicker-than-the-rule"]),
        ({"reference": 0.0229}, ["not-below-groove-pitch"]),
        ({"tension": 9750.0}, []),
        ({"tension": 9740.0}, ["back-tension-below"]),
        ({"tension": 19500.0}, []),
        ({"tension": 19510.0}, ["back-tension-above"]),
        ({"rope": {"lay_direction": "left"}, "drum": {"hand": "right"}}, []),
        ({"rope": {"lay_direction": "right"}, "drum": {"hand": "right"}}, ["lay-against-drum-hand"]),
        ({"rope": {"lay_direction": "right"}}, []),
        ({"drum": {"flange_diameter": 0.7876}}, []),
        ({"drum": {"flange_diameter": 0.7875}}, ["freeboard-too-small"]),
    ],
)
def test_both_sides_of_every_deviation(changes: dict[str, Any], found: list[str]) -> None:
    """Heron: 22 mm, pitch 22.9 mm, 4 % of 22 mm is 22.88 mm; 2.5 and 5 % of 390 kN; 721.6 + 2*1.5*22 = 787.6 mm."""
    assert _ordered(**changes) == found


@pytest.mark.parametrize("machine", DATA.machines)
def test_the_handbook_formula_holds_a_little_less(machine: str) -> None:
    """It knows no valleys: with a rise below the rope's diameter the same depth takes more rope, layer by layer."""
    drum = new_rope.order(DATA, machine, DAY)["drum"]
    assert 0.95 < drum["handbook_m"] / drum["rope_when_full_m"] < 1


@pytest.mark.parametrize("machine", DATA.machines)
def test_running_in_takes_what_lies_between_ground_and_upper_stop(machine: str) -> None:
    told, found = DATA.machines[machine], new_rope.order(DATA, machine, DAY)["run_in"]
    for boom in found["booms"]:
        head = told.boom.pivot_height + math.sqrt(
            boom["boom_length_m"] ** 2 - (boom["radius_m"] - told.boom.pivot_forward) ** 2
        )
        block = next(block for block in told.blocks if block.id == boom["block"])
        travel = head - block.height - told.reeving.upper_stop - 0.5  # the rule's clearance
        assert boom["run_m"] == pytest.approx(boom["falls"] * travel, abs=1e-4)
        assert boom["sinks"] is (block.mass + found["light_load_kg"] >= boom["least_mass_kg"])


def test_the_fleet_angle_needs_the_first_sheave() -> None:
    heron = DATA.machines["heron"]

    def angles(**changes: Any) -> list[Any]:
        machine = replace(heron, **changes)
        data = replace(DATA, machines={**DATA.machines, "heron": machine})
        return [each["outcome"] for each in new_rope.order(data, "heron", DAY)["fleet_angle"]]

    assert angles()[0] == "within" and angles()[-1] == "below"
    assert set(angles(reeving=replace(heron.reeving, sheaves_to_drum=2))) == {None}
    assert set(angles(drum=replace(heron.drum, first_sheave=10.0))) == {"above"}  # atan(0.2805/10) = 1.61 deg
    assert set(angles(drum=replace(heron.drum, first_sheave=10.8))) == {"within"}  # 1.49 deg


# The command line


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["fitness", "curlew"], "Below every limit by these readings. A competent person decides"),
        (["fitness", "bittern"], "25.55 mm (1.0059 in), limit 25.45 mm (1.0020 in): below the limit, 0.10 mm (0.0039 "),
        (["fitness", "bittern"], "limit 25.45 mm (1.0020 in): for information, no verdict (from memory, verify)"),
        (["fitness", "curlew"], "3, limit 2: limit reached (read in the document)"),
        (["fitness", "curlew"], "Category II: "),
        (["fitness", "avocet"], "inspection: overdue since 2026-11-14"),
        (["fitness", "bittern"], "from memory, verify"),
        (["shortening", "heron"], "cut 0.46 m (18.0 in) at the drum end: enough is left\nno cut longer than 2.0 m "),
        (["shortening", "heron"], "stop height 1.3 m (4.5 ft), then 1.4 m (4.5 ft)"),
        (["shortening", "bittern"], "above the stop wraps; the hook meets the ground before the stop wraps"),
        (["shortening", "heron", "--cut", "3 m"], "too little is left"),
        (["shortening", "heron", "--cut", "1 m", "--end", "hook"], "layer 2: moves 0.00 of a turn"),
        (["new-rope", "dunlin"], "deviation: The rope went on with less back tension"),
        (["new-rope", "curlew"], "right lay"),
    ],
)
def test_the_command_line_says_it(arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert command.main([*arguments, "--day", DAY]) == 0
    out = capsys.readouterr().out
    assert said in out and "a competent person decide" in out


@pytest.mark.parametrize(
    ("name", "run"),
    [("fitness", fitness.fitness), ("shortening", shortening.shortening), ("new-rope", new_rope.order)],
)
def test_the_command_line_prints_all_of_it(name: str, run: Any, capsys: pytest.CaptureFixture[str]) -> None:
    assert command.main([name, "bittern", "--day", DAY, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == run(DATA, "bittern", DAY)


def test_a_wrong_call(capsys: pytest.CaptureFixture[str]) -> None:
    assert command.main(["fitness", "wren", "--day", DAY]) == 2
    assert "no machine 'wren'" in capsys.readouterr().err
    assert command.main(["shortening", "heron", "--cut", "3"]) == 2
    assert "'3' has no unit" in capsys.readouterr().err
