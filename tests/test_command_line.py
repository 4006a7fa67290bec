"""The command line as the shell sees it: sections of the help, wrong calls, environment, terminal, completion."""

from __future__ import annotations

import datetime
import json
import os
import pty
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from conftest import DAY, ROOT

from calc.checks import loader
from calc.cli.commands import main
from hooks.building import generated

CRANE = ROOT / "tests/cases/crane"
CALL = [sys.executable, "-m", "calc"]
ALONE = {
    name: value for name, value in os.environ.items() if name != "NO_COLOR" and not name.startswith("FIRMWRAP_")
} | {"FIRMWRAP_DAY": DAY, "TERM": "xterm"}
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def called(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """A real call whose output goes to pipes."""
    return subprocess.run([*CALL, *arguments], cwd=ROOT, env=ALONE | environment, capture_output=True, text=True)


def at_a_terminal(*arguments: str, **environment: str) -> tuple[int, str, str]:
    """A real call at a terminal, its stdout in a pipe: status, stdout, what the terminal shows."""
    screen, terminal = pty.openpty()
    shown = b""
    with subprocess.Popen(
        [*CALL, *arguments], cwd=ROOT, env=ALONE | environment, stdout=subprocess.PIPE, stderr=terminal, text=True
    ) as process:
        os.close(terminal)
        try:
            while piece := os.read(screen, 65536):
                shown += piece
        except OSError:  # Linux: the other end is closed
            pass
        out, _ = process.communicate()
    os.close(screen)
    return process.returncode, out, shown.decode()


# The help


def test_every_command_stands_in_its_section(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--help"]) == 0
    sections = re.findall(r"(?m)^(\w+):\n((?:  .*\n)+)", capsys.readouterr().out)
    assert {name: re.findall(r"(?m)^  (\S+) ", rows) for name, rows in sections if name != "Options"} == {
        "Data": ["check", "new", "chart"],
        "Plan": ["plan", "fleet"],
        "Drum": ["state", "ready", "duty", "upkeep"],
        "Rope": ["fitness", "shortening", "new-rope"],
        "Change": ["record", "compare"],
        "Teach": ["exercises"],
    }


@pytest.mark.parametrize("asked", ["-h", "--help"])
def test_a_command_tells_what_it_is_given(asked: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ready", asked]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Usage: python -m calc ready [OPTIONS] MACHINE BOOM LOAD\n")
    for word in ("'28 t'", "--radius", "--hook-height", "--falls", "--configuration", "--day", "--json", "--data"):
        assert word in text


def test_a_call_of_nothing_shows_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 2
    assert capsys.readouterr().err.startswith("Usage: python -m calc [OPTIONS] COMMAND")


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"firmwrap {PROJECT['version']}\n"


# Wrong calls


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["fleat"], "python -m calc: No such command 'fleat'. Did you mean 'fleet'?\n"
                    "Try 'python -m calc --help' for help.\n"),
        (["plan", "hand-lattice", "50m", "--configration", "x"],
         "python -m calc plan: No such option '--configration'. Did you mean '--configuration'?\n"
         "Try 'python -m calc plan --help' for help.\n"),
        (["plan"], "python -m calc plan: Missing argument 'MACHINE'.\nTry 'python -m calc plan --help' for help.\n"),
        (["state", "hand-latice"], "python -m calc: no machine 'hand-latice'; known: hand-lattice hand-telescopic; "
                                   "did you mean 'hand-lattice'?\n"),
        (["plan", "hand-lattice", "51m"], "python -m calc: no boom length '51m' for hand-lattice full; listed: 50m; "
                                          "did you mean '50m'?\n"),
        (["plan", "hand-lattice", "70m"], "python -m calc: no boom length '70m' for hand-lattice full; listed: 50m\n"),
        (["plan", "hand-lattice", "50m", "--configuration", "fu"],
         "python -m calc: no configuration 'fu' for hand-lattice; known: full; did you mean 'full'?\n"),
        (["chart", "--machine", "hand-latice"],
         "python -m calc: no machine 'hand-latice'; `python -m calc new machine hand-latice` begins its file; did you "
         "mean 'hand-lattice'?\n"),
        (["state", "wren"], "python -m calc: no machine 'wren'; known: hand-lattice hand-telescopic\n"),
        (["plan", "hand-lattice", "50m", "--day", "1.12.2026"],
         "python -m calc plan: Invalid value for '--day': '1.12.2026' is no day; write YYYY-MM-DD\n"
         "Try 'python -m calc plan --help' for help.\n"),
    ],
)  # fmt: skip
def test_a_wrong_call_is_told_in_words(arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*arguments, "--data", str(CRANE)] if len(arguments) > 1 else arguments) == 2
    assert capsys.readouterr() == ("", said)


WRONG_DAYS = {
    "tomorrow": "is no day; write YYYY-MM-DD",
    "20270115": "is no day; write YYYY-MM-DD",
    "2027-1-5": "is no day; write YYYY-MM-DD",
    "2027-02-30": "is no day; write YYYY-MM-DD",
    " 2027-01-15": "is no day; write YYYY-MM-DD",
    "2027-01-15 ": "is no day; write YYYY-MM-DD",
    "2027-W02-5": "is no day; write YYYY-MM-DD",
    "\u0968\u0966\u0968\u096d-01-15": "is no day; write YYYY-MM-DD",
    "1899-12-31": "is not in the years 1900 to 2199; check the year",
    "2200-01-01": "is not in the years 1900 to 2199; check the year",
    "9999-12-31": "is not in the years 1900 to 2199; check the year",
}
DATED = [
    "check", "new machine osprey", "plan hand-lattice 50m", "fleet", "state hand-lattice",
    "ready hand-lattice 50m '1 t'", "fitness hand-lattice", "shortening hand-lattice", "new-rope hand-lattice",
    "record", "exercises",
]  # fmt: skip


@pytest.mark.parametrize("command", DATED)
def test_a_wrong_day(command: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Every command that asks for a day refuses it, from the environment and from the call; the site does the same."""
    call = shlex.split(command)
    for day, said in WRONG_DAYS.items():
        monkeypatch.setenv("FIRMWRAP_DAY", day)
        with pytest.raises(ValueError, match=r"^FIRMWRAP_DAY: ") as refused:
            generated.day(os.environ)
        assert main([*call, "--data", str(CRANE)]) == 2
        out, told = capsys.readouterr()
        assert out == "" and told.splitlines()[0] == f"python -m calc {call[0]}: {refused.value}"
        assert str(refused.value) == f"FIRMWRAP_DAY: {day!r} {said}"
        monkeypatch.delenv("FIRMWRAP_DAY")
        assert main([*call, *(["--day"] if command != "record" else []), day, "--data", str(CRANE)]) == 2
        out, told = capsys.readouterr()
        assert out == "" and f"{day!r} {said}\n" in told


def test_an_empty_day_of_a_call_is_no_day(capsys: pytest.CaptureFixture[str]) -> None:
    """Of the environment it is none: today counts."""
    assert main(["fleet", "--day", "", "--data", str(CRANE)]) == 2
    assert "'' is no day; write YYYY-MM-DD" in capsys.readouterr().err


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Pacific/Pago_Pago"])
def test_without_a_day_it_is_the_day_in_utc(zone: str) -> None:
    """On the site and on the command line, though clocks in one of these zones always show another day."""
    code = (
        "import os; from calc.cli import shell; from hooks.building import generated; "
        "print(shell.today(), generated.day(os.environ))"
    )
    before = datetime.datetime.now(datetime.UTC).date().isoformat()
    environment = ALONE | {"FIRMWRAP_DAY": "", "TZ": zone}
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=environment, capture_output=True, text=True)
    after = datetime.datetime.now(datetime.UTC).date().isoformat()
    assert done.stdout.split() in ([before] * 2, [after] * 2), done.stderr


LONG = "x" * 300
MANY = "9" * 5_000


@pytest.mark.parametrize(
    ("call", "status"),
    [
        (["plan", LONG, "54m"], 2),
        (["plan", "hand-lattice", LONG], 2),
        (["plan", "hand-lattice", "50m", "--configuration", LONG], 2),
        (["chart", "--machine", LONG], 1),
        (["new", "machine", LONG], 1),
        (["duty", LONG, "--machine", "hand-lattice"], 1),
        (["duty", "/dev/zero", "--machine", "hand-lattice"], 1),
        (["chart", "/dev/zero", "--machine", "hand-lattice"], 1),
        (["upkeep", "add", "/dev/zero"], 1),
        (["compare", "/dev/zero", "/dev/zero"], 1),
        (["ready", "hand-lattice", "50m", f"{MANY} t"], 2),
        (["ready", "hand-lattice", "50m", "1 t", "--falls", MANY], 2),
        (["ready", "hand-lattice", "50m", "1 t", "--radius", f"{MANY} m"], 2),
        (["ready", "hand-lattice", "50m", "1 t", f"--hook-height=-{MANY} m"], 2),
        (["shortening", "hand-lattice", "--cut", f"{MANY} m"], 2),
        (["exercises", "--seed", MANY], 2),
        (["record", "--into", "/dev/null/x"], 1),
        (["check", "--data", "ROUND"], 2),
        (["check", "--data", LONG], 2),
        (["check", "--data", "/dev/null"], 1),
    ],
    ids=lambda given: " ".join(given)[:40] if isinstance(given, list) else "",
)  # fmt: skip
def test_what_no_file_and_no_number_can_be(
    call: list[str], status: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A line that says what and a status; no traceback, and it ends."""
    (tmp_path / "round").symlink_to("round")
    call = [str(tmp_path / "round") if part == "ROUND" else part for part in call]
    assert main(call if "--data" in call else [*call, "--data", str(CRANE)]) == status
    out, told = capsys.readouterr()
    lines = [line for line in told.splitlines() if not line.startswith("Try ")]
    assert out == "" and lines and all(re.search(r"[\w/]: ", line) for line in lines), told
    assert len(lines) == 1 or call[0] == "check", told


@pytest.mark.parametrize("number", [28, 30], ids=["full disk", "disk that is only read"])
@pytest.mark.parametrize("step", ["fsync", "link", "replace"])
def test_a_disk_that_refuses(
    number: int, step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing half written stays, neither of a machine nor of a record."""
    folder = Path(shutil.copytree(CRANE, tmp_path / "crane"))
    before = sorted(tmp_path.rglob("*"))

    def refuses(path: Any, *_: Any) -> None:
        raise OSError(number, os.strerror(number), str(path))

    into = tmp_path / "records"
    into.mkdir()
    monkeypatch.setattr(os, step, refuses)
    if step != "replace":
        assert main(["new", "machine", "osprey", "--data", str(folder)]) == 1
        assert f": {os.strerror(number)}; nothing more was done\n" in capsys.readouterr().err
    if step != "link":
        assert main(["record", DAY, "--into", str(into), "--data", str(folder)]) == 1
        assert f": {os.strerror(number)}; nothing more was done\n" in capsys.readouterr().err
    assert sorted(tmp_path.rglob("*")) == sorted([*before, into])


def test_nobody_reads_what_is_printed() -> None:
    """`| head -1`: quiet.  A full disk is told in one line."""
    call = [*CALL, "plan", "hand-lattice", "50m", "--json", "--data", str(CRANE)]
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(call, cwd=ROOT, env=ALONE, stdout=writing, stderr=subprocess.PIPE, text=True)
    os.close(writing)
    assert (done.returncode, done.stderr) == (1, "")
    with open("/dev/full", "w") as full:
        done = subprocess.run(call, cwd=ROOT, env=ALONE, stdout=full, stderr=subprocess.PIPE, text=True)
    told = "python -m calc: what is printed: No space left on device; nothing more was done\n"
    assert (done.returncode, done.stderr) == (1, told)


def test_an_interrupted_call(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(loader, "load", interrupted)
    assert main(["state", "heron"]) == 130  # 128 and the number of SIGINT, as shells count


def test_a_reader_that_has_enough_is_no_error() -> None:
    call = f"set -o pipefail; '{sys.executable}' -m calc record --data '{CRANE}' | head -1"
    done = subprocess.run(["bash", "-c", call], cwd=ROOT, env=ALONE, capture_output=True, text=True)
    assert (done.stdout, done.stderr) == ("# Firmwrap record 1: path, value, unit\n", "")


# The environment


def test_the_data_folder_of_the_environment() -> None:
    """The one the site is built from, hooks/publish.py; --data wins."""
    plan = ["plan", "hand-lattice", "50m", "--json"]
    given = called(*plan, "--data", str(CRANE), FIRMWRAP_DATA="/nowhere")
    assert json.loads(given.stdout)["machine"] == "hand-lattice"
    assert called(*plan, FIRMWRAP_DATA=str(CRANE)).stdout == given.stdout
    for path in ("calc/cli/shell.py", "hooks/publish.py", "hooks/building/archive.py"):
        assert "folders.chosen(os.environ)" in (ROOT / path).read_text(encoding="utf-8"), "one function finds the data"


@pytest.mark.usefixtures("typed")
@pytest.mark.parametrize("by_option", [True, False])
def test_a_data_folder_that_is_not_there(
    by_option: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = str(tmp_path / "none")
    monkeypatch.setenv("FIRMWRAP_DATA", str(CRANE) if by_option else folder)
    assert main(["check", *(["--data", folder] if by_option else [])]) == 1
    assert capsys.readouterr() == ("", "none:1: there is no such folder; see --data and FIRMWRAP_DATA\n")


def test_an_empty_variable_counts_as_none(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setenv("FIRMWRAP_DATA", "")
    assert main(["chart", "--machine", "heron"]) == 0
    assert capsys.readouterr().out


# The terminal


@pytest.mark.parametrize("arguments", [["fleat"], ["check", "--data", "nowhere"]])
def test_colour_is_for_terminals(arguments: list[str]) -> None:
    piped = called(*arguments)
    status, _, shown = at_a_terminal(*arguments)
    assert status == piped.returncode
    assert "\x1b[" not in piped.stderr and "\x1b[1m" in shown
    assert re.sub(r"\x1b\[\d*m", "", shown).replace("\r\n", "\n") == piped.stderr
    assert at_a_terminal(*arguments, NO_COLOR="1")[2].replace("\r\n", "\n") == piped.stderr


def test_long_work_shows_its_progress_at_a_terminal_only() -> None:
    call = ["check", "--data", str(CRANE)]
    piped = called(*call)
    status, out, shown = at_a_terminal(*call)
    assert (status, piped.returncode, piped.stderr) == (0, 0, "")
    assert out == piped.stdout
    assert "checking" in shown and "100%" in shown


# Completion


def test_bash_completes_commands_options_and_machines(tmp_path: Path) -> None:
    """By the script the help names, with the installed command: `make venv` writes what pyproject.toml says."""
    assert PROJECT["scripts"] == {"firmwrap": "calc.__main__:main"}
    command = tmp_path / "firmwrap"
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m calc "$@"\n', encoding="utf-8")
    command.chmod(0o755)
    script = called("--completion", "bash")
    assert script.returncode == 0 and script.stdout.endswith("_firmwrap_completion_setup;\n\n")

    def completed(*words: str) -> list[str]:
        asked = f"COMP_WORDS=({' '.join(words)}); COMP_CWORD={len(words) - 1}; _firmwrap_completion firmwrap"
        environment = ALONE | {"PATH": f"{tmp_path}:{os.environ['PATH']}", "FIRMWRAP_DATA": str(CRANE)}
        text = f'{script.stdout}\n{asked}; printf "%s\\n" "${{COMPREPLY[@]}}"'
        call = ["bash", "--norc", "-c", text]
        return subprocess.run(call, cwd=ROOT, env=environment, capture_output=True, text=True).stdout.split()

    assert completed("firmwrap", "re") == ["ready", "record"]
    assert completed("firmwrap", "state", "--j") == ["--json"]
    assert completed("firmwrap", "plan", "hand-l") == ["hand-lattice"]
    assert completed("firmwrap", "shortening", "heron", "--end", "h") == ["hook"]


@pytest.mark.parametrize("shell", ["fish", "zsh"])
def test_other_shells_have_a_script(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--completion", shell]) == 0
    assert "_FIRMWRAP_COMPLETE" in capsys.readouterr().out
