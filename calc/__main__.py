"""The command line: `python -m calc COMMAND`; `python -m calc --help` lists the commands.

The only module of calc that reads the clock.
Exit: 0 done (a refused plan, a drum that is due, a lift that is not ready are results), 1 errors in the data, 2 wrong
call.
"""

from __future__ import annotations

import argparse
import datetime
import json
import os
import sys
from pathlib import Path
from typing import Any

from calc import ROOT, fleet
from calc.changes import ahead, compare, record
from calc.checks import loader, overview, review
from calc.cli import rope_summary, summary
from calc.data import files, look_up, units
from calc.data.files import Errors
from calc.data.model import Data, Shortening
from calc.drum_log import readiness, state
from calc.inspection import fitness, new_rope, shortening
from calc.intake import chart_csv, duty_csv, new_machine, run_sheet
from calc.teaching import exercise_text, exercises
from calc.winding import plan_data


class Stop(Exception):
    """What was found stands against the change; the text says what."""


def today() -> str:
    """The day to compute for: FIRMWRAP_DAY, or today."""
    return os.environ.get("FIRMWRAP_DAY") or datetime.date.today().isoformat()


def _profile() -> str | None:
    """The profile to follow instead of the one the data folder names: FIRMWRAP_PROFILE."""
    return os.environ.get("FIRMWRAP_PROFILE") or None


def main(arguments: list[str] | None = None) -> int:
    call = _parser().parse_args(arguments)
    try:
        print(call.run(loader.load(call.data, _profile()), call) if call.reads else call.run(call))
    except Errors as errors:
        print(errors, file=sys.stderr)
        return 1
    except Stop as stop:
        print(stop)
        return 1
    except look_up.Unknown as unknown:
        print(f"python -m calc: {unknown}", file=sys.stderr)
        return 2
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m calc",
        description="Check the data; compute a winding plan, the state of a drum, readiness for a heavy lift.",
    )
    commands = parser.add_subparsers(dest="command", required=True)

    def command(
        name: str, run: Any, text: str, *arguments: str, computed: bool = True, dated: bool = False, reads: bool = True
    ) -> None:
        added = commands.add_parser(name, help=text)
        for argument in arguments:
            added.add_argument(argument, **ARGUMENTS[argument])
        if computed or dated:
            added.add_argument("--day", default=today(), type=_day, help="day that counts, YYYY-MM-DD (today)")
        if computed:
            added.add_argument("--json", action="store_true", help="print all of it as JSON")
        added.add_argument("--data", type=Path, default=ROOT / "rules", help="data folder (rules)")
        added.set_defaults(run=run, reads=reads)

    command("check", _check, "read everything in the data folder and report every error at once; compute it for the "
            "day and for each later one on which something begins", computed=False, dated=True)  # fmt: skip
    command("plan", _plan, "print the plan of one machine and boom length", "machine", "boom", "--configuration")
    command("state", _state, "print what lies loose on the drum of a machine, by the log of its rope", "machine")
    command("ready", _ready, "print which falls to lift a load on and whether the drum is ready for it", "machine",
            "boom", "load", "--radius", "--hook-height", "--falls", "--configuration")  # fmt: skip
    command("fleet", _fleet, "print each crane as it is rigged, what is due on it and its weakest plan")
    command("duty", _duty, "check a table of work and print it as entries of a log", "file", "--machine",
            computed=False)  # fmt: skip
    command("new", _new, "write an empty file for a machine, with a word on every field", "what", "id",
            computed=False, dated=True, reads=False)  # fmt: skip
    command("chart", _chart, "turn a capacity table into charts of a machine; without a table, print the charts as one",
            "table", "--machine", "--configuration", computed=False, reads=False)  # fmt: skip
    command("fitness", _fitness, "print the limits of a rope, what its readings come to and what is due", "machine")
    command("shortening", _shortening, "print how much of a rope may be cut off and what a cut does", "machine",
            "--cut", "--end")  # fmt: skip
    command("new-rope", _new_rope, "print which rope to order, how it fills the drum, how tight it goes on", "machine")
    command("upkeep", _upkeep, "add the record of a run sheet to the log of its rope", "add", "record", computed=False)
    command("exercises", _exercises, "print a set of exercises with answers worked step by step", "--seed", "--units")
    command("record", _record, "print everything published on a day, a line for each number", "days", "--ahead",
            "--into", computed=False)  # fmt: skip
    command("compare", _compare, "print what moves from one record to another, or from a folder of records to another",
            "base", "head", "--correction", computed=False, reads=False)  # fmt: skip
    return parser


ARGUMENTS: dict[str, dict[str, Any]] = {
    "machine": {"help": "machine id, for example bittern"},
    "--machine": {"help": "machine id, for example bittern", "required": True},
    "boom": {"help": "boom length as in its address, for example 54m"},
    "load": {"type": lambda text: _load(text), "help": "load below the hook block with slings, for example '28 t'"},
    "file": {"type": Path, "help": f"CSV file with the columns {','.join(duty_csv.COLUMNS)}"},
    "what": {"choices": ("machine",), "help": "what to begin"},
    "id": {"help": "its id, which becomes the file name and part of addresses: small letters, digits, hyphens"},
    "table": {"type": Path, "nargs": "?", "help": f"CSV file; {chart_csv.BEGIN}"},
    "add": {"choices": ("add",), "help": "what to do"},
    "record": {"type": Path, "help": "JSON file that the phone exported"},
    "--seed": {"type": int, "default": 1, "help": "which set: a whole number; the same one gives the same set (1)"},
    "--units": {"choices": ("metric", "us"), "default": "metric", "help": "unit system of the text (metric)"},
    "--radius": {
        "help": "radius at the pick as the crew reads it, for example '20 m'; the largest that carries it if left out"
    },  # fmt: skip
    "--hook-height": {
        "help": "hook at the pick above the crane's ground, for example '3 m'; below it "
        "--hook-height='-3 m'; as the loads of the yard ask if left out"
    },  # fmt: skip
    "--falls": {"help": "falls reeved now; those of the log if left out"},
    "--configuration": {"help": "configuration id; the first-listed if left out"},
    "days": {"metavar": "day", "nargs": "*", "type": lambda text: _day(text), "help": "YYYY-MM-DD (today)"},
    "--ahead": {"action": "store_true", "help": "for each later day, too, on which something begins"},
    "--into": {"type": Path, "help": "folder to write into, one file <day>.txt for each day"},
    "base": {"type": Path, "help": "record, or folder of records, before the change"},
    "head": {"type": Path, "help": "the same after the change"},
    "--correction": {
        "default": "",
        "type": str.strip,
        "metavar": "WHY",
        "help": "which formula is corrected: numbers may move though no data did",
    },  # fmt: skip
    "--cut": {"type": lambda text: _cut(text), "help": "rope cut off, for example '2 m'; the rule's cut if left out"},
    "--end": {
        "choices": (shortening.DRUM_END, shortening.HOOK_END),
        "default": shortening.DRUM_END,
        "help": "end it is cut off at (drum)",
    },  # fmt: skip
}


def _day(text: str) -> str:
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no day; write YYYY-MM-DD") from error


def _load(text: str) -> float:
    try:
        load = units.read(text, "mass")
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from error
    if not load > 0:
        raise argparse.ArgumentTypeError(f"'{text}' is no load; write one above 0")
    return load


def _cut(text: str) -> float:
    try:
        return units.read(text, "length")
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def _check(data: Data, call: argparse.Namespace) -> str:
    made: ahead.Made = {}
    ahead.problems(data, call.day, call.data, made)
    now = data.at(call.day)
    odd = (*overview.unanswered(now), *overview.ropes_by_log(now, call.day), *review.overdue(now, call.day))
    told = (*odd, *ahead.told(data, call.day, made))
    return "\n".join([overview.counts(data), *told])


def _plan(data: Data, call: argparse.Namespace) -> str:
    plan = plan_data.plan(look_up.case(data, call.machine, call.boom, call.configuration, call.day))
    return json.dumps(plan, indent=2) if call.json else summary.plan(plan)


def _state(data: Data, call: argparse.Namespace) -> str:
    found = state.state(data, call.machine, call.day)
    return json.dumps(found, indent=2, ensure_ascii=False) if call.json else summary.state(found, data.rules)


def _fleet(data: Data, call: argparse.Namespace) -> str:
    found = fleet.fleet(data, call.day)
    return json.dumps(found, indent=2) if call.json else summary.fleet(found)


def _ready(data: Data, call: argparse.Namespace) -> str:
    case = look_up.case(data, call.machine, call.boom, call.configuration, call.day)
    radius, hook = (_length(name, getattr(call, name)) for name in ("radius", "hook_height"))
    found = readiness.readiness(data, case, call.load, radius, hook, _count("falls", call.falls))
    return json.dumps(found, indent=2) if call.json else summary.ready(found, data.rules, _words("ready"))


def _length(name: str, text: str | None) -> float | None:
    """A length of the command line, a minus sign before it allowed for the hook [m]."""
    if text is None:
        return None
    below = name == "hook_height" and text.startswith("-")
    try:
        length = units.read(text.removeprefix("-") if below else text, "length")
    except ValueError as error:
        raise look_up.Unknown(f"{name.replace('_', ' ')} {error}") from error
    return -length if below else length


def _count(name: str, text: str | None) -> int | None:
    if text is not None and not (text.isascii() and text.isdigit()):
        raise look_up.Unknown(f"{name} '{text}' is no number of {name}; write a whole number")
    return None if text is None else int(text)


def _duty(data: Data, call: argparse.Namespace) -> str:
    machine = look_up.machine_of(data, call.machine, look_up.NEWEST)
    upkeep = data.upkeep.get(machine.id)
    log = upkeep.log if upkeep else ()
    return duty_csv.printed(duty_csv.read(call.file, machine, log, look_up.cases(data, machine, look_up.NEWEST)))


def _new(call: argparse.Namespace) -> str:
    try:
        path = new_machine.write(call.data, call.id, call.day, loader.profile(call.data, _profile()))
    except new_machine.Exists as wrong:
        raise look_up.Unknown(str(wrong)) from wrong
    return f"{path} is written; fill it in, then add its charts by `python -m calc chart`"


def _chart(call: argparse.Namespace) -> str:
    if call.table is None:
        return chart_csv.table(chart_csv.configuration(call.data, call.machine, call.configuration))
    found = chart_csv.read(call.table, chart_csv.facts(call.data, call.machine, call.configuration))
    for finding in found.findings:
        print(finding, file=sys.stderr)
    return chart_csv.printed(found.configuration)


def _fitness(data: Data, call: argparse.Namespace) -> str:
    found = fitness.fitness(data, call.machine, call.day)
    return json.dumps(found, indent=2) if call.json else rope_summary.fitness(found, _words("fitness"))


def _shortening(data: Data, call: argparse.Namespace) -> str:
    cut = None if call.cut is None else Shortening(call.cut, call.end)
    found = shortening.shortening(data, call.machine, call.day, cut)
    return json.dumps(found, indent=2) if call.json else rope_summary.shortening(found)


def _new_rope(data: Data, call: argparse.Namespace) -> str:
    found = new_rope.order(data, call.machine, call.day)
    return json.dumps(found, indent=2) if call.json else rope_summary.new_rope(found, _words("fitness"))


def _exercises(data: Data, call: argparse.Namespace) -> str:
    found = exercises.exercises(data, call.seed, call.day)
    if call.json:
        return json.dumps(exercise_text.plain(found, call.seed, call.day), indent=2, ensure_ascii=False)
    words = files.read(ROOT / "calc/teaching/exercises.yaml", "calc/teaching/exercises.yaml").data["exercises"]
    return exercise_text.printed(found, words | {"fitness": _words("fitness")}, call.units, call.seed)


def _record(data: Data, call: argparse.Namespace) -> str:
    days = set(call.days or [today()])
    if call.ahead:
        days.update(record.ahead(data, min(days)))
    if call.into is None:
        if len(days) > 1:
            raise look_up.Unknown("several days go into a folder; write --into")
        return record.text(record.record(data, days.pop())).rstrip("\n")
    call.into.mkdir(parents=True, exist_ok=True)
    for day in sorted(days):
        (call.into / f"{day}.txt").write_text(record.text(record.record(data, day)), encoding="utf-8")
    return " ".join(sorted(days))


def _compare(call: argparse.Namespace) -> str:
    pairs = _records(call.base, call.head)
    found = compare.report([compare.Comparison(*map(_read_record, pair)) for pair in pairs], call.correction)
    if found.stop:
        raise Stop(found.text)
    return found.text


def _records(base: Path, head: Path) -> list[tuple[Path, Path]]:
    """Pairs of records of the same day."""
    if not base.is_dir() or not head.is_dir():
        return [(base, head)]
    names = [sorted(path.name for path in folder.glob("*.txt")) for folder in (base, head)]
    if names[0] != names[1] or not names[0]:
        said = f"{base} and {head} do not hold records of the same days; write them for every day of both"
        raise look_up.Unknown(said)
    return [(base / name, head / name) for name in names[0]]


def _read_record(path: Path) -> record.Record:
    document = files.Document(str(path))
    written = files.content(path, document)
    if written is None:
        raise Errors(document.problems)
    return record.read(written, str(path))


def _words(of: str) -> Any:
    """What the codes of an inspection ("fitness") or of a lift ("ready") say."""
    return files.read(ROOT / "calc/words.yaml", "calc/words.yaml").data[of]


def _upkeep(data: Data, call: argparse.Namespace) -> str:
    return run_sheet.add(call.record, data, call.data)


if __name__ == "__main__":
    sys.exit(main())
