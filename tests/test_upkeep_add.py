"""Records that go into the log of a rope: what is added, what stays as it was, every error located."""

from __future__ import annotations

import json
import os
import shutil
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import data_folder
import pytest
from a_record import a_record
from conftest import DAY, ROOT

from calc.checks import loader
from calc.cli.commands import main
from calc.data.entries import PreTensioning
from calc.data.files import Errors
from calc.intake import put, run_sheet


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """The data of one crane."""
    return data_folder.only("bittern", tmp_path / "rules")


def add(rules: Path, record: Any, text: str | None = None, day: str = DAY) -> str:
    file = rules.parent / "record.json"
    file.write_text(json.dumps(record, indent=2) if text is None else text, encoding="utf-8")
    return run_sheet.add(file, lambda: loader.load(rules), rules, day)


def refused(rules: Path, record: Any, text: str | None = None) -> list[str]:
    """The problems, without the path of the file; nothing may have been written."""
    before = stands(rules)
    with pytest.raises(Errors) as caught:
        add(rules, record, text)
    assert stands(rules) == before
    return [str(problem).removeprefix(f"{rules.parent}/") for problem in caught.value.problems]


def stands(rules: Path) -> dict[Path, bytes]:
    """Every file of the data with its content; the place of a writer is none of them."""
    return {path: path.read_bytes() for path in rules.rglob("*") if path.is_file() and path.name != put.LOCK}


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
    assert text.endswith(f'    record: "{a_record()["started"]}"\n' + after) and text.count("- day:") == 2


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


# -- days and names nobody can mean -----------------------------------------------------------------------------------

CLOCK = "the clock of the phone was wrong: write the right time, and who changed it, in the note"


def on(day: str) -> dict[str, Any]:
    """The record, its one pass on another day."""
    record = a_record()
    record["log"][0]["day"] = day
    return record


def test_a_day_that_has_not_come(rules: Path) -> None:
    """The tests' day is 1 December; where it is 2 December already, the work may be done."""
    told = f"record.json:18: log[1].day: 2026-12-03 is after 2026-12-02, the day after this one; {CLOCK}"
    assert refused(rules, on("2026-12-03")) == [told]
    far = "record.json:18: log[1].day: '9999-12-31' is not in the years 1900 to 2199; check the year"
    assert refused(rules, on("9999-12-31")) == [far]
    add(rules, on("2026-12-02"))
    later = a_record(started="2026-12-02T07:10:00.000Z", ended="2026-12-02T08:05:00.000Z")
    later["log"][0] |= {"day": "2026-12-02", "note": "the next true one"}
    add(rules, later)
    assert [entry.day for entry in loader.load(rules).upkeep["bittern"].log[-2:]] == ["2026-12-02", "2026-12-02"]


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"ended": "2026-11-26T07:09:59.999Z"},
         f"15: ended: 2026-11-26T07:09:59.999Z is before 2026-11-26T07:10:00.000Z, when it was started; {CLOCK}"),
        ({"ended": "2026-12-03T00:00:00.000Z"},
         f"15: ended: 2026-12-03 is after 2026-12-02, the day after this one; {CLOCK}"),
        ({"ended": "yesterday"},
         "15: ended: 'yesterday' is no time; a phone writes it like 2026-11-26T07:10:00.000Z"),
        ({"started": "+275760-09-13T00:00:00.000Z"},
         "14: started: '+275760-09-13T00:00:00.000Z' is no time; a phone writes it like 2026-11-26T07:10:00.000Z"),
        ({"started": "1800-01-01T00:00:00.000Z"},
         "14: started: '1800-01-01T00:00:00.000Z' is no time; a phone writes it like 2026-11-26T07:10:00.000Z"),
        ({"started": "2026-11-26"},
         "14: started: '2026-11-26' is no time; a phone writes it like 2026-11-26T07:10:00.000Z"),
    ],
)  # fmt: skip
def test_times_that_cannot_be(rules: Path, changes: dict[str, Any], told: str) -> None:
    assert refused(rules, a_record(**changes)) == [f"record.json:{told}"]


def test_a_plan_there_is_not(rules: Path) -> None:
    crane = loader.load(rules).machines["bittern"]
    chosen = crane.configuration("full-counterweight")
    assert chosen
    booms = [chart.slug for chart in chosen.charts]

    def planned(**changes: str) -> dict[str, Any]:
        record = a_record()
        record["plan"] |= changes
        return record

    known = " ".join(each.id for each in crane.configurations)
    assert refused(rules, planned(boom="55m")) == [
        f"record.json:5: plan.boom: no chart lists the boom length '55m'; listed: {' '.join(booms)}"
    ]
    assert refused(rules, planned(configuration="none"))[0] == (
        f"record.json:6: plan.configuration: there is no configuration 'none'; known: {known}"
    )
    assert refused(rules, planned(revision="2026-11-03")) == [
        f"record.json:7: plan.revision: there is no revision '2026-11-03'; known: {crane.revision} 2026-11-02"
    ]


def test_a_record_of_either_revision(rules: Path) -> None:
    """A record may lie about while the data are revised: this one is of the earlier revision."""
    earlier, newest = a_record(), a_record(started="2026-11-26T12:10:00.000Z", ended="2026-11-26T13:05:00.000Z")
    newest["plan"]["revision"] = loader.load(rules).machines["bittern"].revision
    assert earlier["plan"]["revision"] < newest["plan"]["revision"]
    add(rules, earlier)
    add(rules, newest)


# -- twice ------------------------------------------------------------------------------------------------------------


def test_the_same_pass_twice_in_one_record(rules: Path) -> None:
    record = a_record()
    record["log"].append({**record["log"][0], "note": "again"})
    told = "says the same as log[1]; a pass is logged once, take one of them out"
    assert refused(rules, record)[0].endswith(f": log[2]: {told}")


def test_a_record_whose_note_was_mended_is_the_same_record(rules: Path) -> None:
    add(rules, a_record())
    assert f'record: "{a_record()["started"]}"' in log(rules).read_text(encoding="utf-8")
    again = a_record()
    again["log"][0]["note"] = "run sheet, pass 1, by the second shift"
    assert refused(rules, again) == ["record.json:17: log[1]: stands in the log already; a record is added once"]
    other_count = entry(drum_after=[2, 35])
    told = "is of a record that stands in the log already; mend the log by hand"
    assert refused(rules, other_count) == [f"record.json:17: log[1]: {told}"]


def test_a_pass_that_was_typed_by_hand_is_not_added_again(rules: Path) -> None:
    add(rules, a_record())
    text = log(rules).read_text(encoding="utf-8")
    log(rules).write_text(text.replace(f'    record: "{a_record()["started"]}"\n', ""), encoding="utf-8")
    assert refused(rules, a_record()) == ["record.json:17: log[1]: stands in the log already; a record is added once"]


def test_the_same_work_done_again_the_same_day_is_another_record(rules: Path) -> None:
    add(rules, a_record())
    add(rules, a_record(started="2026-11-26T12:10:00.000Z", ended="2026-11-26T13:05:00.000Z"))
    assert len({entry.record for entry in loader.load(rules).upkeep["bittern"].log[-2:]}) == 2


def test_characters_that_json_writes_as_two_escapes(rules: Path) -> None:
    """U+1F600 is D83D DE00 in UTF-16; The Unicode Standard, table 3-5.  After a backslash they are letters."""
    record = a_record()
    record["log"][0]["note"] = "done \U0001f600, \\ud83d\\ude00 typed"
    assert "\\ud83d\\ude00" in json.dumps(record)
    add(rules, record)
    assert loader.load(rules).upkeep["bittern"].log[-1].note == "done \U0001f600, \\ud83d\\ude00 typed"
    half = json.dumps(a_record()).replace("run sheet", "\\ud83d run sheet")
    assert refused(rules, None, half)[0].startswith("record.json:1: cannot be read as YAML: ")


# -- how the file is written ------------------------------------------------------------------------------------------


def test_the_file_keeps_its_mode_its_line_ends_and_its_link(rules: Path) -> None:
    place, elsewhere = log(rules), rules.parent / "kept-elsewhere.yaml"
    text = place.read_bytes().replace(b"\n", b"\r\n")
    elsewhere.write_bytes(text)
    elsewhere.chmod(0o640)
    place.unlink()
    place.symlink_to("../../kept-elsewhere.yaml")
    add(rules, a_record())
    assert os.readlink(place) == "../../kept-elsewhere.yaml"
    assert elsewhere.stat().st_mode & 0o777 == 0o640
    after = elsewhere.read_bytes()
    assert len(after) > len(text) and after.count(b"\n") == after.count(b"\r\n")


def test_what_an_addition_left_that_was_cut_short(rules: Path) -> None:
    """The next addition takes no notice of it, and it is gone after that."""
    left = rules / "upkeep/bittern.yaml.new"
    left.write_text("id: bit", encoding="utf-8")
    add(rules, a_record())
    assert not left.exists() and loader.load(rules).upkeep["bittern"].log[-1].day == "2026-11-26"


def test_the_check_tells_what_was_left_and_is_not_stopped_by_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = Path(shutil.copytree(ROOT / "tests/cases/crane", tmp_path / "crane"))
    (folder / "upkeep/hand-lattice.yaml.new").write_text("id: hand", encoding="utf-8")
    assert main(["check", "--day", DAY, "--data", str(folder)]) == 0
    assert (
        f"\n{folder}/upkeep/hand-lattice.yaml.new: was left when writing was cut short; hand-lattice.yaml is as it was "
        "before: take this away, then add again\n" in capsys.readouterr().out
    )


AT_ONCE = int(os.environ.get("FIRMWRAP_AT_ONCE", "1"))


@pytest.mark.parametrize("number", range(AT_ONCE))
def test_two_additions_at_once(rules: Path, number: int) -> None:
    """The second comes while the first has read the log and not yet written it: it waits, and both are in the log."""
    reads, goes_on, second_reads = threading.Event(), threading.Event(), threading.Event()
    records = [
        a_record(started=f"2026-11-26T{hour}:00:00.000Z", ended=f"2026-11-26T{hour}:30:00.000Z")
        for hour in ("07", "12")
    ]
    for at, record in enumerate(records):
        (rules.parent / f"{at}.json").write_text(json.dumps(record), encoding="utf-8")

    def first() -> Any:
        data = loader.load(rules)
        reads.set()
        assert goes_on.wait(30)
        return data

    def second() -> Any:
        second_reads.set()
        return loader.load(rules)

    def adding(at: int, read: Callable[[], Any]) -> threading.Thread:
        thread = threading.Thread(target=run_sheet.add, args=(rules.parent / f"{at}.json", read, rules, DAY))
        thread.start()
        return thread

    threads = [adding(0, first)]
    assert reads.wait(30)
    threads.append(adding(1, second))
    assert not second_reads.wait(0.5), "the second read a log that the first was about to change"
    goes_on.set()
    for thread in threads:
        thread.join(60)
    started = {entry.record for entry in loader.load(rules).upkeep["bittern"].log}
    assert {record["started"] for record in records} <= started


def test_where_nothing_can_be_written(rules: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk, a disk that is only read: one located line, and the log is as it was."""
    for number, said in ((28, "No space left on device"), (30, "Read-only file system")):
        for step in ("fsync", "replace"):

            def fails(*_: Any, number: int = number) -> Any:
                raise OSError(number, os.strerror(number))

            with pytest.MonkeyPatch.context() as patch:
                patch.setattr(os, step, fails)
                told = refused(rules, a_record())
            assert len(told) == 1 and told[0].startswith("rules/") and f"cannot be written: {said}; " in told[0], told
    add(rules, a_record())
