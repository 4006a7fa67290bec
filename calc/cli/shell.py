"""What the shell gives the commands and gets back: options, sections of the help, wrong calls, progress, colour.

The only module of calc that reads clock and environment.  Knows no command.
"""

from __future__ import annotations

import datetime
import os
import re
import sys
import tomllib
from collections.abc import Callable, Iterable, Iterator, Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

import click
from click.shell_completion import CompletionItem, get_completion_class

from calc import ROOT
from calc.data import days, folders, units
from calc.data.files import Errors
from calc.data.look_up import Unknown

PROGRAM = "python -m calc"
SCRIPT, COMPLETES = "firmwrap", "_FIRMWRAP_COMPLETE"  # the installed command, and what a shell asks its completions by
SHELLS = ("bash", "fish", "zsh")
ALIKE = 0.7  # names this much alike, of 1, may be meant for each other
NEAR = 0.1  # a number off by no more than this share may be the one meant

Step = TypeVar("Step")


class Stop(Exception):
    """What was found stands against the change; the text says what."""


def today() -> str:
    """The day to compute for: FIRMWRAP_DAY, or today in UTC."""
    try:
        return days.of(os.environ, datetime.datetime.now(datetime.UTC))
    except ValueError as error:
        raise click.UsageError(str(error), click.get_current_context()) from None


def profile() -> str | None:
    """The profile that counts instead of the one of the data folder: FIRMWRAP_PROFILE."""
    return os.environ.get("FIRMWRAP_PROFILE") or None


def colour() -> bool | None:
    """False where NO_COLOR is set to anything; else None: click colours what goes to a terminal."""
    return False if os.environ.get("NO_COLOR") else None


def version() -> str:
    """The version in pyproject.toml, its only place.  What was installed may be older than the folder it runs from."""
    return str(tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"])


def watch(label: str) -> Callable[[Sequence[Step]], Iterator[Step]]:
    """Gives the steps of long work one after the other, with a bar named by the `label` where stderr is a terminal."""

    def watched(steps: Sequence[Step]) -> Iterator[Step]:
        hidden = not sys.stderr.isatty()
        with click.progressbar(steps, label=label, file=sys.stderr, hidden=hidden, color=colour()) as bar:
            yield from bar

    return watched


# Values


class Day(click.ParamType[str]):
    """A day, YYYY-MM-DD."""

    name = "day"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The `value` of a `param` of the call `ctx`, if it is a day."""
        try:
            return days.parse(value)
        except ValueError as error:
            self.fail(str(error), param, ctx)


class Quantity(click.ParamType[float]):
    """A number with its unit, in SI."""

    def __init__(self, kind: str) -> None:
        self.name = kind

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The `value` of a `param` of the call `ctx`, if it is a quantity of this kind."""
        try:
            return units.read(value, self.name)
        except ValueError as error:
            self.fail(str(error), param, ctx)


class Load(Quantity):
    """A mass above 0 [kg]."""

    def __init__(self) -> None:
        super().__init__("mass")

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The `value` of a `param` of the call `ctx`, if it is a load."""
        load = super().convert(value, param, ctx)
        if not load > 0:
            self.fail(f"'{value}' is no load; write one above 0", param, ctx)
        return load


DAY = Day()


# Options


def day_option() -> click.Option:
    """The option of the day that counts.

    >>> day_option().opts
    ['--day']
    """
    return click.Option(
        ["--day"], type=DAY, default=today, help="day that counts, YYYY-MM-DD (FIRMWRAP_DAY, else today in UTC)"
    )


class Folder(click.Path):
    """A folder, whether it is there or not; a link that leads back to itself is none."""

    def __init__(self) -> None:
        super().__init__(path_type=Path)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The `value` of a `param` of the call `ctx`, if it can be a folder."""
        folder = Path(os.fsdecode(super().convert(value, param, ctx)))
        try:
            folder.stat()
        except FileNotFoundError:
            pass  # what reads it tells so
        except (OSError, ValueError) as error:
            self.fail(f"{folder}: {error.strerror if isinstance(error, OSError) else 'no folder has this name'}")
        return folder


def data_option(*, taught: bool = False) -> click.Option:
    """The option of the data folder; what reads a folder tells what is wrong with it.  Of a command whose cranes are
    `taught`, the teaching fleet counts where the option is left out.

    >>> data_option().opts
    ['--data']
    """
    if taught:
        help = "data folder (the teaching fleet)"
        return click.Option(["--data"], type=Folder(), default=folders.SHIPPED, help=help)
    help = f"data folder ({folders.VARIABLE}, else the one that ships)"
    return click.Option(["--data"], type=Folder(), default=lambda: folders.chosen(os.environ), help=help)


def machines(context: click.Context, parameter: click.Parameter, begun: str) -> list[CompletionItem]:
    """Completions of a machine id that is begun: the machines of the data folder in the call.

    >>> call = click.Context(click.Command("plan"))
    >>> call.params["data"] = ROOT / "tests/cases/crane"
    >>> [item.value for item in machines(call, click.Argument(["machine"]), "hand-l")]
    ['hand-lattice']
    """
    names = sorted(path.stem for path in context.params["data"].glob("machines/*.yaml"))
    return [CompletionItem(name) for name in names if name.startswith(begun)]


def _version(context: click.Context, option: click.Parameter, asked: bool) -> None:
    if asked:
        click.echo(f"{SCRIPT} {version()}")
        context.exit()


def _completion(context: click.Context, option: click.Parameter, shell: str | None) -> None:
    kind = shell and get_completion_class(shell)
    if kind:
        click.echo(kind(context.command, {}, SCRIPT, COMPLETES).source())
        context.exit()


_EARLY: Any = {"is_eager": True, "expose_value": False}
version_option = click.option("--version", is_flag=True, callback=_version, help="print the version", **_EARLY)
completion_option = click.option(
    "--completion",
    type=click.Choice(SHELLS),
    callback=_completion,
    help=f"print the script by which a shell completes {SCRIPT}",
    **_EARLY,
)


# Help

EPILOG = f"""\b
FIRMWRAP_DATA=FOLDER reads that folder, FIRMWRAP_DAY=YYYY-MM-DD computes for
that day; --data and --day win. NO_COLOR=1 prints without colour.

\b
`make venv` installs the same commands as {SCRIPT}, which a shell can complete.
For bash, write in ~/.bashrc: eval "$({SCRIPT} --completion bash)"
"""


class Formatter(click.HelpFormatter):
    """Help with bold headings on a terminal."""

    def write_heading(self, heading: str) -> None:
        """Writes a `heading`."""
        super().write_heading(click.style(heading, bold=True))


class Context(click.Context):
    """A call whose help has bold headings on a terminal."""

    formatter_class = Formatter


class Command(click.Command):
    """A command that stands under a heading of the help."""

    context_class = Context

    def __init__(self, *args: Any, section: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.section = section


class Sections(click.Group):
    """Commands, listed in the help by section, each with its whole text."""

    context_class = Context

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs, context_settings={"help_option_names": ["-h", "--help"]}, result_callback=click.echo)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Writes the commands of a call `ctx` into a `formatter`."""
        found: dict[str, list[tuple[str, str]]] = {}
        for name, command in self.commands.items():
            if isinstance(command, Command):
                found.setdefault(command.section, []).append((name, " ".join((command.help or "").split())))
        width = max(len(name) for name in self.commands)
        for section, rows in found.items():
            with formatter.section(section):
                formatter.write_dl([(name.ljust(width), text) for name, text in rows])


# Calls


def run(commands: click.Group, arguments: Sequence[str] | None) -> int:
    """Calls one of the `commands` by its `arguments`, those of the process for None, and prints what it gives.

    Returns: the exit status: 0 done, 1 errors in the data or a disk that refuses, 2 wrong call, 130 interrupted.
    """
    try:
        commands.main(arguments, PROGRAM, COMPLETES, standalone_mode=False, color=colour())
        sys.stdout.flush()
    except BrokenPipeError:  # nobody reads any more; click is as quiet
        _drop_the_rest()
        return 1
    except OSError as error:
        if not error.filename:
            _drop_the_rest()
        _say(f"{_red(PROGRAM)}: {error.filename or 'what is printed'}: {error.strerror}; nothing more was done")
        return 1
    except Errors as errors:
        for problem in errors.problems:
            place = f"{problem.file}:{problem.line}:"
            _say(str(problem).replace(place, click.style(place, bold=True), 1))
        return 1
    except Stop as stop:
        click.echo(stop)
        return 1
    except Unknown as unknown:
        _say(f"{_red(PROGRAM)}: {unknown}{_meant(unknown.name, unknown.known)}")
        return 2
    except click.exceptions.NoArgsIsHelpError as wrong:
        _say(wrong.format_message())
        return 2
    except click.UsageError as wrong:
        path = wrong.ctx.command_path if wrong.ctx else PROGRAM
        _say(f"{_red(path)}: {wrong.format_message()}\nTry '{path} --help' for help.")
        return 2
    except click.Abort:
        return 130
    return 0


def _drop_the_rest() -> None:
    """What is still to be printed goes nowhere: Python tries once more when it ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _red(text: str) -> str:
    return click.style(text, fg="red", bold=True)


def _say(text: str) -> None:
    click.echo(text, err=True, color=colour())


def _meant(name: str, known: Iterable[str]) -> str:
    """What may have been meant by a name there is not: the names that begin so, else the one most like it; of numbers
    the nearest.

    >>> _meant("herno", ["heron", "curlew"]), _meant("55", ["54m", "75m"]), _meant("full", ["full-outriggers"])
    ("; did you mean 'heron'?", "; did you mean '54m'?", "; did you mean 'full-outriggers'?")
    >>> _meant("robin", ["heron", "curlew"]), _meant("65m", ["54m", "75m"])
    ('', '')
    """
    if not name:
        return ""
    number, known = _number(name), list(known)
    if number is None:
        meant = [one for one in known if one.startswith(name)] or get_close_matches(name, known, 1, ALIKE)
    else:
        off = {one: abs(length - number) for one in known if (length := _number(one)) is not None}
        meant = [min(off, key=off.__getitem__)] if off and min(off.values()) <= NEAR * number else []
    return f"; did you mean {' or '.join(map(repr, meant))}?" if meant else ""


def _number(text: str) -> float | None:
    """The number a text begins with; a slug has a hyphen where the number has a point."""
    found = re.match(r"\d+([.-]\d+)?", text)
    return float(found[0].replace("-", ".")) if found else None
