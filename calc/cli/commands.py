"""The commands, by the sections of the help: what each is given, and what it prints.

The docstring of a command is its text in the help.  A refused plan, a drum that is due and a lift that is not ready are
results: the exit status is 0.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any

import click

from calc import ROOT, fleet
from calc.changes import ahead, compare, record
from calc.checks import loader, overview, review
from calc.cli import rope_summary, shell, summary
from calc.data import files, look_up, units
from calc.data.entries import Shortening
from calc.data.files import Errors
from calc.data.model import Data
from calc.drum_log import readiness, state
from calc.fields import RopeEnd
from calc.inspection import fitness, new_rope, shortening
from calc.intake import chart_csv, duty_csv, new_machine, put, run_sheet
from calc.teaching import exercise_text, exercises
from calc.winding import plan_data


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command by its `arguments`, those of the process for None; the exit status."""
    return shell.run(_commands, arguments)


@click.group(cls=shell.Sections, epilog=shell.EPILOG)
@shell.version_option
@shell.completion_option
def _commands() -> None:
    """Check the data; compute a winding plan, the state of a drum, readiness for a heavy lift."""


def _command(
    section: str, name: str, *, computed: bool = False, dated: bool = False, taught: bool = False
) -> Callable[..., click.Command]:
    """Adds a command of a name to a section of the help; all take a data folder, one that is taught that of the
    teaching fleet; one that is dated takes a day, one that is computed a day and whether to print JSON."""

    def add(function: Callable[..., str]) -> click.Command:
        command = _commands.command(name, cls=shell.Command, section=section)(function)
        command.params += [shell.day_option()] if computed or dated else []
        command.params += [click.Option(["--json", "as_json"], is_flag=True, help="print all of it as JSON")] * computed
        command.params += [shell.data_option(taught=taught)]
        return command

    return add


_FILE: Any = click.Path(path_type=Path)
_MACHINE: Any = {"help": "machine id, for example bittern", "shell_complete": shell.machines}
_machine = click.argument("machine", **_MACHINE)
_of_machine = click.option("--machine", required=True, **_MACHINE)
_boom = click.argument("boom", help="boom length as in its address, for example 54m")
_configuration = click.option("--configuration", help="configuration id; the first-listed if left out")


def _read(folder: Path) -> Data:
    return loader.load(folder, shell.profile())


def _words(part: str) -> Any:
    """What the codes of an inspection ("fitness") or of a lift ("ready") mean."""
    return files.read(ROOT / "calc/words.yaml", "calc/words.yaml").data[part]


# Data


@_command("Data", "check", dated=True)
def _check(day: str, data: Path) -> str:
    """Read everything in the data folder and report every error at once; compute it for the day and for each later one
    on which something begins."""
    made: ahead.Made = {}
    read = _read(data)
    ahead.problems(read, day, data, made, shell.watch("checking"))
    now = read.at(day)
    odd = (*overview.left(data), *overview.unanswered(now), *overview.ropes_by_log(now, day), *review.overdue(now, day))
    return "\n".join([overview.counts(read), *odd, *ahead.told(read, day, made)])


@_command("Data", "new", dated=True)
@click.argument("what", type=click.Choice(["machine"]), help="what to begin")
@click.argument("id", help="its id, which becomes the file name and part of addresses: small letters, digits, hyphens")
def _new(what: str, id: str, day: str, data: Path) -> str:
    """Write an empty file for a machine, with a word on every field."""
    try:
        path = new_machine.write(data, id, day, loader.profile(data, shell.profile()))
    except new_machine.Exists as wrong:
        raise look_up.Unknown(str(wrong)) from wrong
    return f"{path} is written; fill it in, then add its charts by `python -m calc chart`"


@_command("Data", "chart")
@click.argument("table", type=_FILE, required=False, help=f"CSV file; {chart_csv.BEGIN}")
@_of_machine
@_configuration
def _chart(table: Path | None, machine: str, configuration: str | None, data: Path) -> str:
    """Turn a capacity table into charts of a machine; without a table, print the charts as one."""
    if table is None:
        return chart_csv.table(chart_csv.configuration(data, machine, configuration))
    found = chart_csv.read(table, chart_csv.facts(data, machine, configuration))
    for finding in found.findings:
        click.echo(finding, err=True)
    return chart_csv.printed(found.configuration)


# Plan


@_command("Plan", "plan", computed=True)
@_machine
@_boom
@_configuration
def _plan(machine: str, boom: str, configuration: str | None, day: str, as_json: bool, data: Path) -> str:
    """Print the plan of one machine and boom length."""
    plan = plan_data.plan(look_up.case(_read(data), machine, boom, configuration, day))
    return json.dumps(plan, indent=2) if as_json else summary.plan(plan)


@_command("Plan", "fleet", computed=True)
def _fleet(day: str, as_json: bool, data: Path) -> str:
    """Print each crane as it is rigged, what is due on it and its weakest plan."""
    result = fleet.fleet(_read(data), day, shell.watch("planning"))
    return json.dumps(result, indent=2) if as_json else summary.fleet(result)


# Drum


@_command("Drum", "state", computed=True)
@_machine
def _state(machine: str, day: str, as_json: bool, data: Path) -> str:
    """Print what lies loose on the drum of a machine, by the log of its rope."""
    read = _read(data)
    result = state.state(read, machine, day)
    return json.dumps(result, indent=2, ensure_ascii=False) if as_json else summary.state(result, read.rules)


@_command("Drum", "ready", computed=True)
@_machine
@_boom
@click.argument("load", type=shell.Load(), help="load below the hook block with slings, for example '28 t'")
@click.option(
    "--radius",
    help="radius at the pick as the crew reads it, for example '20 m'; the largest that carries it if left out",
)
@click.option(
    "--hook-height",
    help="hook at the pick above the crane's ground, for example '3 m'; below it --hook-height='-3 m'; "
    "as the loads of the yard ask if left out",
)
@click.option("--falls", help="falls reeved now; those of the log if left out")
@_configuration
def _ready(
    machine: str,
    boom: str,
    load: float,
    radius: str | None,
    hook_height: str | None,
    falls: str | None,
    configuration: str | None,
    day: str,
    as_json: bool,
    data: Path,
) -> str:
    """Print which falls to lift a load on and whether the drum is ready for it."""
    read = _read(data)
    case = look_up.case(read, machine, boom, configuration, day)
    pick = _length("radius", radius), _length("hook height", hook_height)
    result = readiness.readiness(read, case, load, *pick, _count("falls", falls))
    return json.dumps(result, indent=2) if as_json else summary.ready(result, read.rules, _words("ready"))


def _length(name: str, text: str | None) -> float | None:
    """A length of the command line, a minus sign before it allowed for the hook [m]."""
    if text is None:
        return None
    below = name == "hook height" and text.startswith("-")
    try:
        length = units.read(text.removeprefix("-") if below else text, "length")
    except ValueError as error:
        raise look_up.Unknown(f"{name} {error}") from error
    return -length if below else length


def _count(name: str, text: str | None) -> int | None:
    if text is not None and not (text.isascii() and text.isdigit() and len(text) <= units.MOST_DIGITS):
        raise look_up.Unknown(f"{name} '{text}' is no number of {name}; write a whole number")
    return None if text is None else int(text)


@_command("Drum", "duty")
@click.argument("file", type=_FILE, help=f"CSV file with the columns {','.join(duty_csv.COLUMNS)}")
@_of_machine
def _duty(file: Path, machine: str, data: Path) -> str:
    """Check a table of work and print it as entries of a log."""
    read = _read(data)
    crane = look_up.machine_of(read, machine, look_up.NEWEST)
    upkeep = read.upkeep.get(crane.id)
    log = upkeep.log if upkeep else ()
    return duty_csv.printed(duty_csv.read(file, crane, log, look_up.cases(read, crane, look_up.NEWEST)))


@_command("Drum", "upkeep", dated=True)
@click.argument("add", type=click.Choice(["add"]), help="what to do")
@click.argument("file", metavar="RECORD", type=_FILE, help="JSON file that the phone exported")
def _upkeep(add: str, file: Path, day: str, data: Path) -> str:
    """Add the record of a run sheet to the log of its rope."""
    return run_sheet.add(file, partial(_read, data), data, day)


# Rope


@_command("Rope", "fitness", computed=True)
@_machine
def _fitness(machine: str, day: str, as_json: bool, data: Path) -> str:
    """Print the limits of a rope, what its readings come to and what is due."""
    result = fitness.fitness(_read(data), machine, day)
    return json.dumps(result, indent=2) if as_json else rope_summary.fitness(result, _words("fitness"))


@_command("Rope", "shortening", computed=True)
@_machine
@click.option(
    "--cut", type=shell.Quantity("length"), help="rope cut off, for example '2 m'; the rule's cut if left out"
)
@click.option(
    "--end",
    type=click.Choice([shortening.DRUM_END, shortening.HOOK_END]),
    default=shortening.DRUM_END,
    help="end it is cut off at (drum)",
)
def _shortening(machine: str, cut: float | None, end: RopeEnd, day: str, as_json: bool, data: Path) -> str:
    """Print how much of a rope may be cut off and what a cut does."""
    asked = None if cut is None else Shortening(cut, end)
    result = shortening.shortening(_read(data), machine, day, asked)
    return json.dumps(result, indent=2) if as_json else rope_summary.shortening(result)


@_command("Rope", "new-rope", computed=True)
@_machine
def _new_rope(machine: str, day: str, as_json: bool, data: Path) -> str:
    """Print which rope to order, how it fills the drum, how tight it goes on."""
    result = new_rope.order(_read(data), machine, day)
    return json.dumps(result, indent=2) if as_json else rope_summary.new_rope(result, _words("fitness"))


# Change


@_command("Change", "record")
@click.argument(
    "days",
    metavar="[DAY]...",
    nargs=-1,
    type=shell.DAY,
    callback=lambda context, argument, days: days or (shell.today(),),
    help="YYYY-MM-DD (FIRMWRAP_DAY, else today in UTC)",
)
@click.option("--ahead", "and_ahead", is_flag=True, help="for each later day, too, on which something begins")
@click.option("--into", type=_FILE, help="folder to write into, one file <day>.txt for each day")
def _record(days: tuple[str, ...], and_ahead: bool, into: Path | None, data: Path) -> str:
    """Print everything published on a day, a line for each number."""
    read, every = _read(data), {*days}
    if and_ahead:
        every.update(record.ahead(read, min(every)))
    if into is None:
        if len(every) > 1:
            raise look_up.Unknown("several days go into a folder; write --into")
        return _recorded(read, every.pop()).rstrip("\n")
    into.mkdir(parents=True, exist_ok=True)
    for day in sorted(every):
        put.whole(into / f"{day}.txt", _recorded(read, day))
    return " ".join(sorted(every))


def _recorded(data: Data, day: str) -> str:
    return record.text(record.record(data, day, shell.watch(day)))


@_command("Change", "compare")
@click.argument("base", type=_FILE, help="record, or folder of records, before the change")
@click.argument("head", type=_FILE, help="the same after the change")
@click.option(
    "--correction", default="", metavar="WHY", help="which formula is corrected: numbers may move though no data did"
)
def _compare(base: Path, head: Path, correction: str, data: Path) -> str:
    """Print what moves from one record to another, or from a folder of records to another."""
    pairs = [compare.Comparison(*map(_read_record, pair)) for pair in _records(base, head)]
    report = compare.report(pairs, correction.strip())
    if report.stop:
        raise shell.Stop(report.text)
    return report.text


def _records(base: Path, head: Path) -> list[tuple[Path, Path]]:
    """Pairs of records of the same day."""
    if not base.is_dir() or not head.is_dir():
        return [(base, head)]
    names = [sorted(path.name for path in folder.glob("*.txt")) for folder in (base, head)]
    if names[0] != names[1] or not names[0]:
        text = f"{base} and {head} do not hold records of the same days; write them for every day of both"
        raise look_up.Unknown(text)
    return [(base / name, head / name) for name in names[0]]


def _read_record(path: Path) -> record.Record:
    document = files.Document(str(path))
    written = files.content(path, document, record.MOST_BYTES)
    if written is None:
        raise Errors(document.problems)
    return record.read(written, str(path))


# Teach


@_command("Teach", "exercises", computed=True, taught=True)
@click.option("--seed", type=int, default=1, help="which set: a whole number; the same one gives the same set (1)")
@click.option(
    "--units", "system", type=click.Choice(["metric", "us"]), default="metric", help="unit system of the text (metric)"
)
def _exercises(seed: int, system: str, day: str, as_json: bool, data: Path) -> str:
    """Print a set of exercises with answers worked step by step."""
    exercise_set = exercises.exercises(_read(data), seed, day)
    if as_json:
        return json.dumps(exercise_text.plain(exercise_set, seed, day), indent=2, ensure_ascii=False)
    words = files.read(ROOT / "calc/teaching/exercises.yaml", "calc/teaching/exercises.yaml").data["exercises"]
    return exercise_text.printed(exercise_set, words | {"fitness": _words("fitness")}, system, seed)
