"""Records and what moves between them: lines, causes, versions that never change, the report a reviewer reads."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import DATA, DAY, ROOT
from data_folder import WHOLE, edit

from calc.changes import ahead, compare, record
from calc.changes.compare import Comparison
from calc.changes.record import Line, Record
from calc.checks import loader
from calc.cli.commands import main
from calc.data import files, look_up
from calc.data.model import Data
from calc.winding import plan_data

HAND = loader.load(ROOT / "tests/cases/crane")


@pytest.fixture(scope="module")
def whole() -> Record:
    return record.record(HAND, DAY)


# Lines


def test_a_record_says_what_the_contract_says(whole: Record) -> None:
    """Every number of a plan stands there once, with the unit of its name."""
    case = look_up.case(HAND, "hand-lattice", "50m", None, DAY)
    made = plan_data.plan(case)
    at = "plan/hand-lattice/50m/full"
    assert whole[f"{at}/load/planned_kg"] == Line(f"{made['load']['planned_kg']:g}", "kg")
    assert whole[f"{at}/falls/used"] == Line("2") and whole[f"{at}/refused"] == Line("-")
    radius, height = made["stops"]["by_radius"][0]
    assert float(whole[f"{at}/stops/by_radius/{radius:.8g}"].value) == height
    numbers = json.dumps({name: part for name, part in made.items() if name not in ("inputs", "rules", "day")})
    assert len([path for path in whole if path.startswith(at)]) > 0.8 * len(re.findall(r"-?\d+\.\d+", numbers))


def test_every_kind_of_published_number_is_there(whole: Record) -> None:
    kinds = {path.partition("/")[0] for path in whole}
    assert kinds == {"day", "version", "input", *record.COMPUTED}


def test_text_and_back(whole: Record) -> None:
    text = record.text(whole)
    assert record.read(text, "base.txt") == whole
    assert all(line.count("\t") in (1, 2) for line in text.splitlines()[1:])


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("plan\t1\n", "base.txt:1: is no record of this form; write it with python -m calc record"),
        (f"{record.HEAD}\nday\n", "base.txt:2: is no line of a record; write it with python -m calc record"),
        (
            f"{record.HEAD}\nday\t{DAY}\ninput/a/b\t1\ninput/a/b\t2\n",
            "base.txt:4: is no line of a record; write it with python -m calc record",
        ),
    ],
)
def test_what_is_no_record(text: str, problem: str) -> None:
    with pytest.raises(files.Errors) as caught:
        record.read(text, "base.txt")
    assert str(caught.value) == problem


def test_days_on_which_something_begins() -> None:
    assert record.starts(DATA) == ("2026-10-05", "2026-11-02", "2026-11-23", "2026-11-30", "2027-03-01")
    assert record.ahead(DATA, DAY) == (DAY, "2027-03-01")
    assert record.ahead(DATA, "2027-03-01") == ("2027-03-01",)


def test_the_record_of_a_day_holds_the_revision_and_the_rules_of_that_day() -> None:
    before, after = (record.inputs(DATA, day) for day in ("2026-11-22", "2026-11-23"))
    moved = {path for path in before if before[path] != after.get(path) and "/log/" not in path}
    here = "input/machine/dunlin"
    assert moved == {
        f"{here}/revision",
        f"{here}/rope/mass_per_length",
        f"{here}/rope/minimum_breaking_force",
        f"{here}/rope/grade",
        f"{here}/blocks/six-sheave/mass",
    }
    assert record.inputs(DATA, "2027-03-01")["input/rule/R10/stop_margin"] == Line("1", "m")


# Versions


def digests(data: Data) -> Record:
    return record.versions(data)


def with_rule(id: str, **changed: object) -> Data:
    rule = HAND.rules[id]
    version = replace(rule.versions[0], **changed)  # type: ignore[arg-type]
    return replace(HAND, rules={**HAND.rules, id: replace(rule, versions=(version, *rule.versions[1:]))})


@pytest.mark.parametrize(
    "changed",
    [
        {"values": {"minimum_share": 0.11}},
        {"statement": "Other words that people cite."},
        {"applies": {"boom_kind": {"const": "lattice"}}},
        {"cautions": ("Another caution.",)},
        {"withdrawn": True},
    ],
)
def test_what_binds_in_a_version(changed: dict[str, object]) -> None:
    before, after = digests(HAND), digests(with_rule("minimum-load", **changed))
    assert [path for path in before if before[path] != after[path]] == ["version/rule/R01/2026-11-02"]


@pytest.mark.parametrize("changed", [{"reason": "Better words."}, {"change": "Better."}, {"sources": ()}])
def test_words_about_a_version_do_not_bind(changed: dict[str, object]) -> None:
    assert digests(HAND) == digests(with_rule("minimum-load", **changed))


def test_a_revision_of_a_machine_binds_its_numbers_not_its_words() -> None:
    machine = HAND.machines["hand-lattice"]

    def changed(**fields: object) -> Record:
        other = replace(machine, **fields)  # type: ignore[arg-type]
        return digests(replace(HAND, machines={**HAND.machines, "hand-lattice": other}))

    before = digests(HAND)
    assert changed(description="Other words.", source_title="The manual", status="approved") == before
    longer = changed(rope=replace(machine.rope, length=151.0))
    assert [path for path in before if before[path] != longer[path]] == ["version/machine/hand-lattice/2026-11-25"]


@pytest.mark.parametrize(
    ("old", "new"), [("150 m", "150.0 m"), ("20 mm", "0.02 m"), ("id: hand-lattice", "id: hand-lattice # a comment")]
)
def test_the_same_written_otherwise_is_the_same(tmp_path: Path, old: str, new: str) -> None:
    folder = tmp_path / "rules"
    (folder / "machines").mkdir(parents=True)
    for name in ("rulebook", "tables", "yards", "upkeep"):
        (folder / name).symlink_to((ROOT / "tests/cases/crane" / name).resolve())
    for path in (ROOT / "tests/cases/crane/machines").glob("*.yaml"):
        (folder / "machines" / path.name).write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    edit(folder, "machines/hand-lattice.yaml", old, new)
    assert digests(loader.load(folder)) == digests(HAND)


# Causes

VERSIONS = {"version/rule/R01/2026-11-02": Line("a"), "version/machine/heron/2026-11-02": Line("b")}
INPUTS = {
    "input/machine/heron/name": Line("Heron"),
    "input/machine/heron/yard": Line("quay"),
    "input/machine/heron/units": Line("metric"),
    "input/machine/heron/rope/length": Line("290", "m"),
    "input/rule/R01/title": Line("Least load"),
    "input/rule/R01/from": Line("2026-11-02"),
    "input/rule/R01/minimum_share": Line("10", "%"),
    "input/rule/R01/informative/wires": Line("3"),
    "input/yard/quay/weights/slab/mass": Line("5000", "kg"),
    "input/log/heron/entries": Line("4"),
    "input/log/heron/entries_digest": Line("c"),
    "input/log/robin/entries": Line("4"),
    "input/table/criteria/from": Line("2026-11-02"),
}
PLAN = "plan/heron/41m/full"
COMPUTED = {
    f"{PLAN}/falls/used": Line("8"),
    f"{PLAN}/load/planned_kg": Line("7360", "kg"),
    f"{PLAN}/stops/hook_height_m": Line("4.31", "m"),
    f"{PLAN}/methods/luff-out/minutes": Line("41", "min"),
    f"{PLAN}/methods/luff-out/passes/1/firm_share": Line("0.471"),
    f"{PLAN}/methods/luff-out/passes/1/minutes": Line("41", "min"),
    f"{PLAN}/refused": Line("-"),
    "drum/heron/due": Line("no"),
}
BASE: Record = {"day": Line(DAY), **VERSIONS, **INPUTS, **COMPUTED}


def head(changes: Mapping[str, Line | None]) -> Comparison:
    found = {path: line for path, line in {**BASE, **changes}.items() if line is not None}
    return Comparison(BASE, found)


LOAD = {f"{PLAN}/load/planned_kg": Line("8000", "kg")}
DUE = {"drum/heron/due": Line("yes")}


@pytest.mark.parametrize(
    ("cause", "plan", "drum"),
    [
        ({}, False, False),
        ({"input/rule/R01/minimum_share": Line("12", "%")}, True, True),
        ({"input/rule/R01/applies": Line("{}")}, True, True),
        ({"input/rule/R01/title": Line("Other words"), "input/rule/R01/from": Line("2026-11-20")}, False, False),
        ({"input/rule/R01/informative/wires": Line("4")}, False, False),
        ({"input/machine/heron/rope/length": Line("280", "m")}, True, True),
        ({"input/machine/heron/status": Line("approved")}, False, False),
        ({"input/yard/quay/weights/slab/mass": Line("5100", "kg")}, True, True),
        ({"input/yard/elsewhere/weights/slab/mass": Line("5100", "kg")}, False, False),
        ({"input/log/heron/entries_digest": Line("d")}, False, True),
        ({"input/log/robin/entries": Line("5")}, False, False),
        ({"input/table/criteria/from": Line("2026-11-20")}, False, True),
    ],
)
def test_what_may_move_a_plan_and_a_drum(cause: dict[str, Line], plan: bool, drum: bool) -> None:
    for moved, explained in ((LOAD, plan), (DUE, drum)):
        found = head({**cause, **moved})
        assert bool(found.unexplained) is not explained
        assert compare.report([found]).stop is not explained
        assert not compare.report([found], "the formula").stop


def test_a_step_of_the_last_decimal_is_no_difference() -> None:
    for value, moved in (("7360.000001", 0), ("7359.999999", 0), ("7360.000003", 1)):
        found = head({f"{PLAN}/load/planned_kg": Line(value, "kg")})
        assert len(found.moved) == moved
    assert head({f"{PLAN}/load/planned_kg": Line("7360", "lb")}).moved


def test_an_edited_version_stops_whatever_is_said_of_it() -> None:
    for line, what in ((Line("z"), "was edited"), (None, "was taken away")):
        found = compare.report([head({"version/machine/heron/2026-11-02": line})], "a formula")
        assert found.stop
        assert f"- Machine heron, version of 2026-11-02, {what}: keep it as `machines/earlier/" in found.text


def test_new_versions_are_no_edits_and_one_of_a_day_gone_by_is_told() -> None:
    coming = head({"version/rule/R01/2027-01-15": Line("z")})
    assert not compare.report([coming]).stop and coming.backdated == ()
    late = head({"version/rule/R01/2026-11-20": Line("z"), "input/rule/R01/minimum_share": Line("12", "%")})
    text = compare.report([late]).text
    assert "R01 begins on 2026-11-20, a day gone by: what was published for the days since then changes, too." in text


# The report


def test_nothing_moves() -> None:
    found = compare.report([head({})])
    assert found.text == (
        f"## What moves\n\n**Nothing moves**: as of {DAY}, all 8 published numbers stay as they are.\n\n"
        f"### As of {DAY}\n\nNothing moves.\n"
    )


def test_a_plan_by_its_headlines() -> None:
    """As pages say them, rounded to the cautious side; the share of change from the exact numbers."""
    changes = {
        "input/rule/R01/minimum_share": Line("12", "%"),
        f"{PLAN}/falls/used": Line("9"),
        f"{PLAN}/load/planned_kg": Line("8096", "kg"),
        f"{PLAN}/stops/hook_height_m": Line("4.39", "m"),
        f"{PLAN}/methods/luff-out/minutes": Line("46", "min"),
    }
    text = compare.report([head(changes)]).text
    assert "| R01 Least load: minimum share | 10 % | 12 % |" in text
    assert "**4 of 8 numbers moved**, in 1 of 1 plan." in text
    table = text.partition("#### Heron\n\n")[2].partition("\n\n")[0]
    assert table.splitlines()[2:] == [
        "| 41m full | falls | 8 | 9 | +12.5 % |",
        "|  | load | 7.40 t | 8.10 t | +10.0 % |",
        "|  | luff out, time | 45 min | 50 min | +12.2 % |",
    ], "4.31 and 4.39 m are both 4.4 m on a page"


def test_refused_possible_new_and_gone_plans() -> None:
    rule = {"input/rule/R01/minimum_share": Line("12", "%")}
    refused = {f"{PLAN}/refused": None, f"{PLAN}/refused/code": Line("weights-not-at-hand")}
    both = head({**rule, **refused})
    assert "- **Newly refused**: heron 41m full (weights-not-at-hand)" in compare.report([both]).text
    back = Comparison(head(refused).head, {**BASE, **rule})
    assert "- **Newly possible**: heron 41m full (weights-not-at-hand)" in compare.report([back]).text
    gone = head(rule | {path: None for path in COMPUTED if path.startswith(PLAN)})
    assert "- **Plans that are gone**: heron 41m full" in compare.report([gone]).text
    new = Comparison(gone.head, {**BASE, "input/rule/R01/minimum_share": Line("14", "%")})
    assert "- **New plans**: heron 41m full" in compare.report([new]).text


def test_what_data_says_stays_text() -> None:
    name = {"input/machine/heron/rope/construction": Line("<img src=x> | **b** [a](b) `c`\n# d")}
    text = compare.report([head(name)]).text
    assert r"&lt;img src=x&gt; \| \*\*b\*\* \[a\](b) \`c\` \# d" in text


# Days ahead


def test_what_begins_and_what_moves_then() -> None:
    """Of two cranes of the fleet, one with earlier revisions and one without; in `make long` of all."""
    made: ahead.Made = {}
    two = {id: DATA.machines[id] for id in ("dunlin", "heron")}
    fleet = DATA if WHOLE else replace(DATA, machines=two)
    days = ("2026-10-05", "2026-11-02", "2026-11-23", "2026-11-30", "2027-03-01")
    first, begin, dunlin, every, margin = (ahead.moves(fleet, day, made) for day in days)
    plans = len(list(record.cases(fleet, DAY)))
    assert (first.plan_count, first.moved) == (0, 0)
    assert len(begin.plans) == begin.plan_count == plans and {one.refused[0] for one in begin.plans} == {None}
    assert {one.machine for one in dunlin.plans} == {"dunlin"} and dunlin.plan_count == plans
    assert len(every.plans) == len(margin.plans) == plans
    assert max(len(kept) for kept in made.values()) == 4, "dunlin: three revisions, and a later margin"


def test_check_computes_the_days_ahead(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--day", DAY, "--data", str(ROOT / "tests/cases/crane")]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert re.fullmatch(r"2 machines, 3 boom lengths, .*: no errors, .*", lines[0])
    assert lines[-1] == "from 2027-03-01: R10; 3 of 3 plans move, 0 newly refused, 0 newly possible"


def test_what_cannot_be_computed_is_told_where_it_begins(monkeypatch: pytest.MonkeyPatch) -> None:
    made = plan_data.plan

    def fails(case: object) -> object:
        if getattr(case, "day", "") >= "2027-03-01":
            raise ValueError("stop_margin is 1.0; it lies below 1")
        return made(case)  # type: ignore[arg-type]

    monkeypatch.setattr(plan_data, "plan", fails)
    with pytest.raises(files.Errors) as caught:
        ahead.problems(HAND, DAY, ROOT / "tests/cases/crane", {})
    assert [str(problem) for problem in caught.value.problems] == [
        f"tests/cases/crane/rulebook/stop-margin.yaml:7: versions[2027-03-01]: from 2027-03-01 on {machine} cannot be "
        "computed: stop_margin is 1.0; it lies below 1; correct what begins that day"
        for machine in ("hand-lattice", "hand-telescopic")
    ]


# The command line


def test_record_and_compare_by_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = ["--data", str(ROOT / "tests/cases/crane")]
    assert main(["record", "2026-11-26", "--ahead", "--into", str(tmp_path / "base"), *data]) == 0
    assert capsys.readouterr().out == "2026-11-26 2026-11-30 2027-03-01\n"
    assert main(["record", "2026-11-26", *data]) == 0
    printed = capsys.readouterr().out
    assert printed == (tmp_path / "base/2026-11-26.txt").read_text(encoding="utf-8")
    assert main(["record", "2026-11-26", "2026-11-27", *data]) == 2
    assert "several days go into a folder; write --into" in capsys.readouterr().err
    base, other = tmp_path / "base/2026-11-26.txt", tmp_path / "head.txt"
    other.write_text(printed.replace("load/planned_kg\t", "load/planned_kg\t1"), encoding="utf-8")
    assert main(["compare", str(base), str(other)]) == 1
    assert "**Stop.**" in capsys.readouterr().out
    assert main(["compare", str(base), str(other), "--correction", "  "]) == 1
    assert main(["compare", str(base), str(other), "--correction", "why"]) == 0
    assert main(["compare", str(tmp_path / "base"), str(tmp_path)]) == 2
    assert main(["compare", str(base), str(tmp_path / "none.txt")]) == 1
    assert "none.txt:1: cannot be opened" in capsys.readouterr().err
