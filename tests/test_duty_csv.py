"""A table of work: every message word for word, and what is printed is the same log again."""

from __future__ import annotations

import csv
import io
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import DATA, DAY, ROOT
from data_folder import copy_to
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.checks import loader
from calc.cli.commands import main
from calc.data import build, files, look_up
from calc.data.entries import Entry, Work
from calc.intake import duty_csv

BITTERN = DATA.machines["bittern"]
HEADER = "day,boom_length,radius,falls,block,load,hook_from,hook_to,repeats,note"
EVERY = f"{HEADER},until,configuration,radius_to,line_pull"
ROW = "2026-12-01,54 m,26 m,6,five-sheave,1.8 t,3 m,41 m,32,panels"


def read(tmp_path: Path, *lines: str, log: tuple[Entry, ...] | None = None) -> duty_csv.Entries:
    path = tmp_path / "lifts.csv"
    path.write_bytes("\n".join(lines).encode())
    known = DATA.upkeep["bittern"].log if log is None else log
    return duty_csv.read(path, BITTERN, known, look_up.cases(DATA, BITTERN, look_up.NEWEST))


def wrong(tmp_path: Path, *lines: str) -> list[str]:
    with pytest.raises(files.Errors) as caught:
        read(tmp_path, *lines)
    folder = f"{tmp_path}/"
    return [str(problem).removeprefix(folder) for problem in caught.value.problems]


def row(**changed: str) -> str:
    """A row of the columns that must be there; with one of the others, of every column."""
    cells = dict(zip(HEADER.split(","), ROW.split(","), strict=True))
    if set(changed) - set(cells):
        cells |= dict.fromkeys(EVERY.removeprefix(f"{HEADER},").split(","), "")
    cells |= changed
    out = io.StringIO()
    csv.writer(out).writerow(cells.values())
    return out.getvalue().removesuffix("\r\n")


CASES = {
    "a column left out": (
        [HEADER.replace("radius,", ""), ROW.replace("26 m,", "", 1)],
        ["lifts.csv:1: radius: is missing; add the column"],
    ),
    "an unknown column": (
        [HEADER + ",weather", ROW + ",rain"],
        [f"lifts.csv:1: weather: is no column here; known: {EVERY.replace(',', ' ')}"],
    ),
    "a column misspelt": (
        [HEADER.replace("repeats", "repeat"), ROW],
        [
            "lifts.csv:1: repeat: is no column here; did you mean repeats?",
            "lifts.csv:1: repeats: is missing; add the column",
        ],
    ),
    "a column twice": ([HEADER + ",note", ROW + ",x"], ["lifts.csv:1: note: is a column twice; keep one"]),
    "semicolons": (
        [HEADER.replace(",", ";"), ROW.replace(",", ";")],
        ["lifts.csv:1: parts its cells by semicolons; save the table with commas"],
    ),
    "no header": (
        [ROW],
        [f"lifts.csv:1: {cell}: is no column here; known: {EVERY.replace(',', ' ')}" for cell in ROW.split(",")]
        + [f"lifts.csv:1: {name}: is missing; add the column" for name in HEADER.split(",")],
    ),
    "nothing": ([""], [f"lifts.csv:1: is empty; begin with the columns {HEADER}"]),
    "a header alone": ([HEADER, ""], ["lifts.csv:2: holds no work; write a line for each kind of lift"]),
    "too few cells": (
        [HEADER, ROW.replace(",panels", "")],
        ["lifts.csv:2: has 9 cells, the header 10; put a cell that holds a comma in quotes"],
    ),
    "a comma in a cell": (
        [HEADER, ROW + ", pier 4"],
        ["lifts.csv:2: has 11 cells, the header 10; put a cell that holds a comma in quotes"],
    ),
    "an open quote": (
        [HEADER, ROW.replace("panels", '"panels')],
        ["lifts.csv:2: cannot be read as CSV: unexpected end of data; check the quotes"],
    ),
    "bad cells, all at once": (
        [HEADER, row(radius="26", load="1,8 t"), row(falls="six", repeats="2.5"), row(day="1.12.2026", block="Five")],
        [
            "lifts.csv:2: load: '1,8 t' is not a quantity; write a plain number like 24.5, a space and one of: kg t lb",
            "lifts.csv:2: radius: '26' has no unit; write a number, a space and one of: m mm ft in",
            "lifts.csv:3: falls: 'six' does not belong here; write a whole number without a unit",
            "lifts.csv:3: repeats: '2.5' does not belong here; write a whole number without a unit",
            "lifts.csv:4: block: 'Five' is not written as it must be; write small letters and digits, words joined by "
            "hyphens; it becomes part of addresses and never changes",
            "lifts.csv:4: day: '1.12.2026' is no calendar day; write year-month-day in quotes, like \"2026-11-02\"",
        ],
    ),
    "empty cells": (
        [HEADER, row(day="", boom_length="", hook_to="", repeats="")],
        [
            "lifts.csv:2: boom_length: is missing; add it: a number, a space and one of: m mm ft in",
            "lifts.csv:2: day: '' is no calendar day; write year-month-day in quotes, like \"2026-11-02\"",
            "lifts.csv:2: hook_to: '' is not a quantity; "
            "write a plain number like 24.5, a space and one of: m mm ft in",
            "lifts.csv:2: repeats: is missing; add it: a whole number without a unit",
        ],
    ),
    "counts out of range": (
        [HEADER, row(falls="0"), row(repeats="0"), row(repeats="10001"), row(repeats="010")],
        [
            "lifts.csv:2: falls: 0 is out of range; write a number not below 1",
            "lifts.csv:3: repeats: 0 is out of range; write a number not below 1",
            "lifts.csv:4: repeats: 10001 is out of range; write a number not above 10000",
            "lifts.csv:5: repeats: '010' does not belong here; write a whole number without a unit",
        ],
    ),
    "work that cannot be, beside a bad cell": (
        [HEADER, row(radius="26"), row(hook_to="45 m"), "", row(boom_length="55 m"), row(load="40 t")],
        [
            "lifts.csv:2: radius: '26' has no unit; write a number, a space and one of: m mm ft in",
            "lifts.csv:3: hook_to: is above the upper stop, which at this radius is at 44.7 m; check the hook height",
            "lifts.csv:5: boom_length: no chart lists this boom length; listed: 24m 30m 36m 45m 54m 63m 72m 84m",
            "lifts.csv:6: load: with the block is more than the 33.40 t the charts list there; check the load",
        ],
    ),
    "days that go back": (
        [HEADER, row(day="2026-11-22"), row(day="2026-12-02"), row(day="2026-12-01")],
        [
            "lifts.csv:2: day: 2026-11-22 is before 2026-11-23 above it; list oldest first",
            "lifts.csv:4: day: 2026-12-01 is before 2026-12-02 above it; list oldest first",
        ],
    ),
    "columns that may be left out": (
        [
            EVERY,
            row(until="2026-11-30", day="2026-12-01"),
            row(configuration="no-counterweight"),
            row(radius_to="34"),
            row(radius="34 m", radius_to="26 m"),
            row(radius="26 m", radius_to="50 m"),
            row(radius_to="34 m", hook_from="39.8 m"),
            row(line_pull="-5 kN"),
            row(line_pull="17 kN"),
        ],
        [
            "lifts.csv:2: until: 2026-11-30 is before 2026-12-01, the first day; write the last day of the work",
            "lifts.csv:3: configuration: there is no configuration 'no-counterweight'; "
            "known: reduced-counterweight full-counterweight",
            "lifts.csv:4: radius_to: '34' has no unit; write a number, a space and one of: m mm ft in",
            "lifts.csv:5: radius_to: is less than the first; write the smallest radius, then the largest",
            "lifts.csv:6: radius_to: the charts list 9.0 m to 48.0 m for this boom; write a radius between",
            "lifts.csv:7: hook_from: is above the upper stop, which at 34.0 m is at 39.6 m; check the hook height",
            "lifts.csv:8: line_pull: '-5 kN' is not a quantity; "
            "write a plain number like 24.5, a space and one of: N kN lbf kg t lb",
            "lifts.csv:9: line_pull: is 17.0 kN, more than twice the 8.0 kN that load and falls give at the drum; "
            "check the reading, load and falls",
        ],
    ),
    "a radius outside the charts beside a largest radius": (
        [EVERY, row(radius="8 m", radius_to="26 m")],
        ["lifts.csv:2: radius: the charts list 9.0 m to 48.0 m for this boom; write a radius between"],
    ),
    "what nobody sees": (
        [HEADER, ROW + "\u202e"],
        ["lifts.csv:2: holds U+202E (right-to-left override), which nobody sees; type the text again without it"],
    ),
    "a no-break space": (
        [HEADER, row(radius="26\u00a0m")],
        [
            "lifts.csv:2: radius: '26\u00a0m' with U+00A0 (no-break space) is not a quantity; "
            "write a plain number like 24.5, a space and one of: m mm ft in"
        ],
    ),
}


@pytest.mark.parametrize(("lines", "said"), CASES.values(), ids=CASES)
def test_message(tmp_path: Path, lines: list[str], said: list[str]) -> None:
    assert sorted(wrong(tmp_path, *lines)) == sorted(said)


def test_errors_come_in_the_order_of_the_lines(tmp_path: Path) -> None:
    told = wrong(tmp_path, *CASES["work that cannot be, beside a bad cell"][0])
    assert [line.split(":")[1] for line in told] == ["2", "3", "5", "6"]


def test_files_that_are_no_table(tmp_path: Path) -> None:
    case_for = look_up.cases(DATA, BITTERN, look_up.NEWEST)
    latin = tmp_path / "latin.csv"
    latin.write_bytes(f"{HEADER}\n{ROW}ä".encode("latin-1"))
    for path, said in (
        (latin, "latin.csv:2: is not UTF-8 text; save the file as UTF-8"),
        (tmp_path / "none.csv", "none.csv:1: cannot be opened: No such file or directory; put a file in its place"),
        (tmp_path, f"{tmp_path.name}:1: cannot be opened: it is a folder; put a file in its place"),
    ):
        with pytest.raises(files.Errors) as caught:
            duty_csv.read(path, BITTERN, (), case_for)
        assert str(caught.value) == f"{path.parent}/{said}"


def test_what_spreadsheets_write_is_read(tmp_path: Path) -> None:
    """A mark at the beginning, line ends of any kind, quotes, blank lines, blanks in cells, columns in any order."""
    plain = read(tmp_path, HEADER, ROW)
    for text in (
        f"\ufeff{HEADER}\r\n{ROW}\r\n",
        f"{HEADER}\r{ROW}\r",
        f"\n{HEADER}\n,,,,,,,,,\n{ROW}\n\n",
        "\n".join(",".join(f'"{cell}"' for cell in line.split(",")) for line in (HEADER, ROW)),
        "\n".join(",".join(f" {cell} " for cell in line.split(",")) for line in (HEADER, ROW)),
        "\n".join(",".join(reversed(line.split(","))) for line in (HEADER, ROW)),
    ):
        assert read(tmp_path, text) == plain
    assert plain == [
        {
            "day": "2026-12-01",
            "work": {
                "boom_length": "54 m", "radius": "26 m", "falls": 6, "block": "five-sheave", "load": "1.8 t",
                "hook": ["3 m", "41 m"], "repeats": 32,
            },
            "note": "panels",
        }
    ]  # fmt: skip


def test_a_week_of_lifts_as_one_row(tmp_path: Path) -> None:
    """Columns that may be left out: alone, all, or in a row that leaves them empty."""
    cells = {"until": "2026-12-05", "configuration": "full-counterweight", "radius_to": "34 m", "line_pull": "8 kN"}
    week, plain = read(tmp_path, EVERY, row(**cells), row(day="2026-12-05", until=""))
    assert week == {
        "day": "2026-12-01",
        "work": {
            "boom_length": "54 m", "radius": ["26 m", "34 m"], "falls": 6, "block": "five-sheave", "load": "1.8 t",
            "hook": ["3 m", "41 m"], "repeats": 32, "configuration": "full-counterweight", "line_pull": "8 kN",
        },
        "until": "2026-12-05",
        "note": "panels",
    }  # fmt: skip
    assert plain == {**read(tmp_path, HEADER, ROW)[0], "day": "2026-12-05"}
    (added,) = build.upkeep({"id": "bittern", "format": 1, "log": [week]}).log
    assert added.last_day == "2026-12-05"
    assert added.done == Work(
        54.0,
        26.0,
        6,
        "five-sheave",
        1800.0,
        (3.0, 41.0),
        32,
        34.0,
        configuration="full-counterweight",
        line_pull=8000.0,
    )
    text = duty_csv.printed([week])
    assert text.splitlines()[1] == '    until: "2026-12-05"'
    assert files.read(written(tmp_path, f"log:\n{text}\n"), "log").data["log"] == [week]


def written(folder: Path, text: str) -> Path:
    path = folder / "log.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_lines_are_counted_through_cells_of_two_lines(tmp_path: Path) -> None:
    assert wrong(tmp_path, HEADER, row(note="panels\npier 4"), row(radius="26")) == [
        "lifts.csv:4: radius: '26' has no unit; write a number, a space and one of: m mm ft in"
    ]


def test_without_a_log_the_rope_of_the_data_counts(tmp_path: Path) -> None:
    """bittern, 11 falls at 26 m: 560 m of rope reach down to 2.887 m (tests/test_logbook.py)."""
    assert len(read(tmp_path, HEADER, row(falls="11", hook_from="2.89 m", day="2020-01-01"), log=())) == 1
    with pytest.raises(files.Errors, match="hook_from: with these falls the rope does not reach so low"):
        read(tmp_path, HEADER, row(falls="11", hook_from="2.88 m"), log=())


# -- round trip ------------------------------------------------------------------------------------------------------

SEEN = st.characters(codec="utf-8", exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp", "Co", "Cn"))
NOTES = st.text(SEEN, max_size=40)


def pasted(log: str, entries: str) -> str:
    """Entries at the end of `log:`; what else the file holds stands after it."""
    before, found, after = log.partition("\nreadings:")
    return f"{before.rstrip()}\n{entries.rstrip()}\n{found.lstrip()}{after}"


@st.composite
def rows(draw: st.DrawFn) -> str:
    many = draw(st.booleans())
    note = draw(st.sampled_from(["", "no", "~", "- day: x", "# pier", '"', "\\", "{}", "a: b", "12", "'"]) | NOTES)
    return row(
        radius=f"{draw(st.integers(9, 40))} m",
        falls=str(draw(st.integers(6, 8))),
        load=f"{draw(st.integers(0, 5000))} kg",
        hook_from="8 m" if many else f"{draw(st.integers(8, 20))} m",
        hook_to=f"{draw(st.integers(8, 25))}.5 m",
        repeats=str(draw(st.integers(1, 10000))),
        note=note,
        radius_to=f"{draw(st.integers(40, 44))} m" if many else "",
        configuration=draw(st.sampled_from(["", "full-counterweight"])),
        until=draw(st.sampled_from(["", "2026-12-01"])),
    )


@given(lines=st.lists(rows(), min_size=1, max_size=4))
@settings(max_examples=60, deadline=None)
def test_what_is_printed_is_the_same_log(lines: list[str], tmp_path_factory: pytest.TempPathFactory) -> None:
    """Pasted at the end of the log it is read, checked and built without a problem, and says what the table said."""
    folder = tmp_path_factory.mktemp("paste")
    entries = read(folder, EVERY, *lines)
    log = (ROOT / "rules/upkeep/bittern.yaml").read_text(encoding="utf-8")
    file = folder / "bittern.yaml"
    file.write_text(pasted(log, duty_csv.printed(entries)), encoding="utf-8")
    document = files.read(file, "bittern.yaml")
    assert not document.problems
    whole = build.upkeep(document.data)
    added = whole.log[len(DATA.upkeep["bittern"].log) :]
    assert document.data["log"][-len(entries) :] == entries
    for entry, line in zip(added, lines, strict=True):
        cells = dict(zip(EVERY.split(","), next(csv.reader([line])), strict=True))
        done = entry.done
        assert isinstance(done, Work)
        assert (entry.day, entry.note, str(done.falls)) == (cells["day"], cells["note"].strip(), cells["falls"])
        assert (f"{done.load:.0f} kg", str(done.repeats)) == (cells["load"], cells["repeats"])
        assert [f"{done.radius:g} m", *(f"{hook:g} m" for hook in done.hook)] == [
            cells["radius"], cells["hook_from"], cells["hook_to"].replace(".0 ", " ")
        ]  # fmt: skip
        largest = "" if done.largest_radius is None else f"{done.largest_radius:g} m"
        assert (largest, done.configuration or "", entry.until or "") == (
            cells["radius_to"], cells["configuration"], cells["until"]
        )  # fmt: skip


def test_the_command_prints_what_the_check_takes(tmp_path: Path) -> None:
    rules = copy_to(tmp_path)
    table = tmp_path / "lifts.csv"
    table.write_text(f"{HEADER}\n{ROW}\n{row(note='', load='0 kg')}\n", encoding="utf-8")
    call = [sys.executable, "-m", "calc", "duty", str(table), "--machine", "bittern", "--data", str(rules)]
    done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True, check=True)
    log = rules / "upkeep/bittern.yaml"
    log.write_text(pasted(log.read_text(encoding="utf-8"), done.stdout), encoding="utf-8")
    added = loader.load(rules).upkeep["bittern"].log[-2:]
    assert [entry.note for entry in added] == ["panels", ""]
    assert added[1].done == Work(54.0, 26.0, 6, "five-sheave", 0.0, (3.0, 41.0), 32)


@pytest.mark.parametrize(
    ("arguments", "status", "said"),
    [
        (["duty", "lifts.csv", "--machine", "bittern"], 1, "lifts.csv:2: radius: '26' has no unit"),
        (["duty", "lifts.csv", "--machine", "osprey"], 2, "no machine 'osprey'; known:"),
        (["duty", "lifts.csv"], 2, "--machine"),
        (["state", "osprey"], 2, "no machine 'osprey'; known:"),
        (["state", "bittern", "--day", "2026-01-01"], 2, "the data of bittern begins on 2026-11-02"),
        (["ready", "bittern", "54m", "60"], 2, "'60' has no unit; write a number, a space and one of: kg t lb"),
        (["ready", "bittern", "54m", "60,5 t"], 2, "'60,5 t' is not a quantity"),
        (["ready", "bittern", "54m", "0 t"], 2, "'0 t' is no load; write one above 0"),
        (["ready", "bittern", "55m", "60 t"], 2, "no boom length '55m'"),
        (["ready", "bittern", "54m", "60 t", "--configuration", "none"], 2, "no configuration 'none'"),
        (["ready", "bittern", "54m", "60 t", "--data", "nowhere"], 1, "there is no such folder"),
        (["ready", "bittern", "54m", "900 t"], 0, "no number of falls lifts this load"),
        (["ready", "bittern", "54m", "60 t"], 0, "60.00 t (132,300 lb) below the hook block"),
        (["ready", "avocet", "140ft", "60000 lb"], 0, "27.25 t (60,000 lb) below the hook block"),
        (["state", "dunlin"], 0, "pre-tensioning is due"),
        (["state", "heron"], 0, "pre-tensioning is not due"),
    ],
)
def test_calls_and_their_exit_status(
    arguments: list[str], status: int, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FIRMWRAP_DAY", DAY)
    Path("lifts.csv").write_text(f"{HEADER}\n{row(radius='26')}\n", encoding="utf-8")
    assert main(arguments) == status
    printed = capsys.readouterr()
    assert said in (printed.err if status else printed.out)
    if status == 0:
        assert printed.out.endswith("The machine's manual, local codes and licensed practice decide.\n")
