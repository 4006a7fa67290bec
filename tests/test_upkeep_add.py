"""Records that go into the log of a rope: what is added, what stays as it was, every error located."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from a_record import a_record
from conftest import ROOT

from calc.checks import loader
from calc.cli.commands import main
from calc.data.entries import PreTensioning
from calc.data.files import Errors
from calc.intake import run_sheet


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    return Path(shutil.copytree(ROOT / "rules", tmp_path / "rules"))


def add(rules: Path, record: Any, text: str | None = None) -> str:
    file = rules.parent / "record.json"
    file.write_text(json.dumps(record, indent=2) if text is None else text, encoding="utf-8")
    return run_sheet.add(file, loader.load(rules), rules)


def refused(rules: Path, record: Any, text: str | None = None) -> list[str]:
    """The problems, without the path of the file; nothing may have been written."""
    before = {path: path.read_bytes() for path in rules.rglob("*") if path.is_file()}
    with pytest.raises(Errors) as caught:
        add(rules, record, text)
    assert {path: path.read_bytes() for path in rules.rglob("*") if path.is_file()} == before
    return [str(problem).removeprefix(f"{rules.parent}/") for problem in caught.value.problems]


def log(rules: Path, machine: str = "bittern") -> Path:
    return rules / f"upkeep/{machine}.yaml"


def test_the_entries_stand_at_the_end_and_the_rest_as_it_was(rules: Path) -> None:
    before, known = log(rules).read_text(encoding="utf-8"), loader.load(rules).upkeep["bittern"].log
    head, mark, tail = before.partition("readings:")
    assert add(rules, a_record()) == f"1 entry added to {log(rules)}"
    after = log(rules).read_text(encoding="utf-8")
    assert after.startswith(head.rstrip("\n")) and after.endswith(mark + tail)
    entries = loader.load(rules).upkeep["bittern"].log
    assert entries[:-1] == known
    assert entries[-1].day == "2026-11-26" and entries[-1].note == "run sheet, pass 1"
    assert vars(entries[-1].done) == {
        "boom_length": (54.0, 54.0),
        "falls": 10,
        "block": "five-sheave",
        "load": 14880.0,
        "radius": (9.0, 38.0),
        "drum_before": (1, 7),
        "drum_after": (2, 36),
        "configuration": "full-counterweight",
        "line_pull": None,
    }


HEAD = "id: bittern\nformat: 1\n"
FIRST = '{indent}- day: "2026-08-17"\n{indent}  new_rope: {{length: 560 m, tension: 15.5 kN}}\n'


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("log:\n" + FIRST.format(indent=""), ""),
        ("log:\n" + FIRST.format(indent="    "), "\n\n"),
        ("log:\n" + FIRST.format(indent="  ").rstrip("\n"), ""),
        ("log: # oldest first\n" + FIRST.format(indent="  ") + "    note: reel to drum # brake on the flange\n", ""),
    ],
    ids=["no indent", "four blanks and empty lines", "no line end", "comments"],
)
def test_however_the_log_is_written(rules: Path, before: str, after: str) -> None:
    log(rules).write_text(HEAD + before + after, encoding="utf-8")
    add(rules, a_record())
    assert log(rules).read_text(encoding="utf-8").startswith(HEAD + before)
    assert [entry.day for entry in loader.load(rules).upkeep["bittern"].log] == ["2026-08-17", "2026-11-26"]


def test_what_follows_the_log_stays_behind_it(rules: Path) -> None:
    after = "\n# written last by habit\nformat: 1\n"
    log(rules).write_text("id: bittern\nlog:\n" + FIRST.format(indent="  ") + after, encoding="utf-8")
    add(rules, a_record())
    text = log(rules).read_text(encoding="utf-8")
    assert text.endswith('note: "run sheet, pass 1"\n' + after) and text.count("- day:") == 2


@pytest.mark.usefixtures("typed")
def test_a_log_in_brackets_is_left_alone(rules: Path) -> None:
    text = 'log: [{day: "2026-08-17", new_rope: {length: 560 m, tension: 15.5 kN}}]\n'
    log(rules).write_text(HEAD + text, encoding="utf-8")
    assert refused(rules, a_record()) == [
        "rules/upkeep/bittern.yaml:3: log: is written in a way that cannot be added to; add the entries by hand"
    ]


def entry(**changes: Any) -> dict[str, Any]:
    """The record with other values in its one pass."""
    record = a_record()
    record["log"][0]["pre_tensioning"] |= changes
    return record


def test_everything_wrong_is_told_where_it_stands(rules: Path) -> None:
    assert refused(rules, entry(drum_after=[2, 37], load="14880")) == [
        "record.json:24: log[1].pre_tensioning.load: '14880' has no unit; write a number, a space and one of: kg t lb"
    ]
    assert refused(rules, entry(drum_after=[2, 37], radius=["9 m", "100 m"])) == [
        "record.json:35: log[1].pre_tensioning.drum_after[2]: is 37; layer 2 holds 36",
    ]
    known = " ".join(block.id for block in loader.load(rules).machines["bittern"].blocks)
    assert refused(rules, entry(block="six-sheave")) == [
        f"record.json:23: log[1].pre_tensioning.block: there is no block 'six-sheave'; known: {known}"
    ]


def test_a_record_of_an_older_run_sheet_has_no_configuration(rules: Path) -> None:
    record = a_record()
    del record["log"][0]["pre_tensioning"]["configuration"]
    add(rules, record)
    done = loader.load(rules).upkeep["bittern"].log[-1].done
    assert isinstance(done, PreTensioning) and done.configuration is None


def test_a_measured_line_pull_goes_into_the_log(rules: Path) -> None:
    add(rules, entry(line_pull="14.2 kN"))
    assert "line_pull: 14.2 kN" in log(rules).read_text(encoding="utf-8")
    done = loader.load(rules).upkeep["bittern"].log[-1].done
    assert isinstance(done, PreTensioning) and done.line_pull == 14_200.0


def test_a_record_is_added_once(rules: Path) -> None:
    add(rules, a_record())
    assert refused(rules, a_record()) == ["record.json:17: log[1]: stands in the log already; a record is added once"]


def test_a_record_older_than_the_log(rules: Path) -> None:
    record = a_record()
    record["log"][0]["day"] = "2026-11-01"
    assert refused(rules, record) == [
        "record.json:18: log[1].day: 2026-11-01 is before 2026-11-23 above it; list oldest first"
    ]


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        ({"state": "unfinished"}, "state: 'unfinished' is not known; write one of: finished broken-off"),
        ({"log": []}, "log: "),
        ({"format": 2}, "format: "),
        ({"wound": True}, "wound: is not known here; known here: "),
        ({"plan": {"machine": "osprey"}}, "plan.boom: is missing; add it: "),
    ],
)
def test_what_is_no_record(rules: Path, changes: dict[str, Any], problem: str) -> None:
    problems = refused(rules, a_record(**changes))
    assert any(problem in one for one in problems), problems
    assert all(one.startswith("record.json:") and "; " in one for one in problems)


@pytest.mark.usefixtures("typed")
def test_a_machine_without_a_log(rules: Path) -> None:
    log(rules).unlink()
    assert refused(rules, a_record()) == [
        "record.json:4: plan.machine: there is no log of the rope of 'bittern'; "
        "begin rules/upkeep/bittern.yaml with new_rope"
    ]


def test_text_that_is_no_json_and_text_nobody_sees(rules: Path) -> None:
    assert refused(rules, None, '{"format": 1,\n "plan": {')[0].startswith("record.json:")
    record = a_record()
    record["log"][0]["note"] = "wet\u202e"
    assert "U+202E" in refused(rules, record)[0]
    assert refused(rules, None, "")[0] == "record.json:1: the file is empty; fill it in or take it away"


def test_the_command(rules: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = rules.parent / "record.json"
    file.write_text(json.dumps(a_record()), encoding="utf-8")
    assert main(["upkeep", "add", str(file), "--data", str(rules)]) == 0
    assert capsys.readouterr().out == f"1 entry added to {log(rules)}\n"
    assert main(["upkeep", "add", str(file), "--data", str(rules)]) == 1
    assert "stands in the log already" in capsys.readouterr().err
    assert main(["upkeep", "add", "nowhere.json", "--data", str(rules)]) == 1
    assert "cannot be opened" in capsys.readouterr().err
