"""Reads a data folder, finds every error at once, and hands out checked data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from calc.checks import answers, coverage, logbook, readings, redirects
from calc.checks.folder import Folder
from calc.checks.kinds import EARLIER, KINDS, MACHINES, RULES, TABLES, UPKEEP, YARDS
from calc.data import files, folders, rulebook, schema
from calc.data.entries import NewRope, Shortening, Upkeep
from calc.data.files import Document, Errors, Problem
from calc.data.look_up import NEWEST, cases
from calc.data.model import PROFILES, Data, Machine, Profile, Redirect, Rule

ADDRESSES = "addresses.yaml"  # addresses that lead to other pages; a data folder may lack it
SITE = "site.yaml"  # what the site follows; a data folder may lack it: then it follows iso


def load(folder: Path, profile: str | None = None) -> Data:
    """Everything in a data `folder`, checked; a `profile` counts instead of the one in its site.yaml.

    Errors: files.Errors with every problem found, in file order.
    """
    if not folder.is_dir():
        raise Errors([Problem(folders.shown(folder), 1, "", "there is no such folder; see --data and FIRMWRAP_DATA")])
    documents = {kind.folder: _read(folders.place(folder, kind.folder)) for kind in KINDS}
    problems = list(_not_read(folder))
    followed = _profile(folder, profile, problems)
    addresses = _addresses(folder, problems)
    sound = {kind.folder: _sound(documents[kind.folder], kind.schema, problems) for kind in KINDS}
    whole = Folder(folder, sound, {name: frozenset(read) for name, read in documents.items()})
    for kind in KINDS:
        problems += kind.check(whole)
    if problems:
        raise Errors(problems)
    return replace(_built(whole, followed), redirects=addresses)


def _read(place: Path) -> dict[str, Document]:
    return {path.stem: files.read(path, folders.shown(path)) for path in sorted(place.glob("*.yaml"))}


def _addresses(folder: Path, problems: list[Problem]) -> tuple[Redirect, ...]:
    """The addresses that lead to other pages; what is wrong with their list goes to `problems`."""
    path = folder / ADDRESSES
    if not path.exists():
        return ()
    document = files.read(path, folders.shown(path))
    wrong = document.problems or schema.problems(document, "addresses") or list(redirects.problems(document))
    problems += wrong
    entries = [] if wrong else document.data["redirects"]
    return tuple(
        Redirect(entry["from"], entry["to"], _place(document, ("redirects", number)))
        for number, entry in enumerate(entries)
    )


def _place(document: Document, path: files.Where) -> str:
    """File, line and place of a value, as messages begin."""
    place = document.problem(path, "")
    return f"{place.file}:{place.line}: {place.where}"


def _not_read(folder: Path) -> Iterator[Problem]:
    for kind in KINDS:
        inside = folders.place(folder, kind.folder)
        if not inside.is_dir():
            if not kind.may_lack:
                yield Problem(folders.shown(inside), 1, "", "there is no such folder; see --data")
            continue
        for path in sorted(inside.iterdir()):
            if path.suffix not in (".yaml", files.NEW) and path != folder / EARLIER.folder:
                yield Problem(folders.shown(path), 1, "", "is not read; name data files <id>.yaml")


def _sound(documents: dict[str, Document], schema_name: str, problems: list[Problem]) -> dict[str, Document]:
    """The documents that match their schema; what the others lack goes to `problems`."""
    sound = {}
    for stem, document in documents.items():
        wrong = document.problems or schema.problems(document, schema_name)
        problems += wrong
        if not wrong:
            sound[stem] = document
    return sound


def _built(folder: Folder, profile: Profile) -> Data:
    """Model objects; rules and machines must agree with each other and every machine must make sense."""
    rules, machines = RULES.built(folder), {}
    problems: list[Problem] = []
    for stem, document in folder.sound[MACHINES.folder].items():
        machine = _sensible(MACHINES.build(document.data, profile), document, folder, rules, problems)
        if machine:
            machines[stem] = machine
    revisions = _earlier(machines, folder, rules, problems, profile)
    if problems:
        raise Errors(problems)
    yards, upkeep, tables = YARDS.built(folder), UPKEEP.built(folder), TABLES.built(folder)
    logs = folder.sound[UPKEEP.folder]
    lengths = {stem: tuple(_length_entries(document, upkeep[stem])) for stem, document in logs.items()}
    data = Data(machines, yards, rules, upkeep, tables, profile, revisions=revisions, lengths=lengths)
    for stem, document in logs.items():
        machine = machines[stem]
        problems += logbook.problems(document, upkeep[stem], machine, cases(data, machine, NEWEST))
        problems += readings.problems(document, upkeep[stem], machine)
    if problems:
        raise Errors(problems)
    return data


def _sensible(
    machine: Machine,
    document: Document,
    folder: Folder,
    rules: dict[str, Rule],
    problems: list[Problem],
    until: str | None = None,
) -> Machine | None:
    """The machine with what is odd about it, up to a day where it is an earlier revision; None where rules clash on it.
    What is wrong goes to `problems`."""
    clashes = list(coverage.problems(machine, document, rules, folder.sound[RULES.folder], until))
    problems += clashes
    if clashes:
        return None
    day = rulebook.day_before(until) if until else NEWEST
    findings, contradictions = answers.findings(machine, document, rules, day)
    problems += contradictions
    return replace(machine, findings=findings)


def _earlier(
    machines: dict[str, Machine], folder: Folder, rules: dict[str, Rule], problems: list[Problem], profile: Profile
) -> dict[str, tuple[Machine, ...]]:
    """The earlier revisions of the machines, newest first, each held against the rules of the days it counted."""
    revisions: dict[str, tuple[Machine, ...]] = {}
    for _, document in sorted(folder.sound[EARLIER.folder].items(), reverse=True):
        machine = EARLIER.build(document.data, profile)
        if machine.id not in machines:
            continue  # its newest revision has problems of its own
        later = revisions.get(machine.id, ())
        until = (later[-1] if later else machines[machine.id]).revision
        revisions[machine.id] = (*later, _sensible(machine, document, folder, rules, problems, until) or machine)
    return revisions


def _length_entries(document: Document, upkeep: Upkeep) -> Iterator[tuple[str, str]]:
    """Day and place of the entries of a log that change the length of the rope."""
    for number, entry in enumerate(upkeep.log):
        if isinstance(entry.done, (NewRope, Shortening)):
            yield entry.day, _place(document, ("log", number))


def profile(folder: Path, instead: str | None = None) -> Profile:
    """What counts where a machine of a data `folder` says nothing else: the profile in its site.yaml, or the one named
    `instead`.

    Errors: files.Errors for a name there is not.
    """
    problems: list[Problem] = []
    found = _profile(folder, instead, problems)
    if problems:
        raise Errors(problems)
    return found


def _profile(folder: Path, instead: str | None, problems: list[Problem]) -> Profile:
    """The profile of the site; what is wrong with its name goes to `problems`."""
    path = folder / SITE
    document = files.read(path, folders.shown(path)) if path.exists() else None
    wrong = (document.problems or schema.problems(document, "site")) if document else []
    name = document.data["profile"] if document and not wrong else "iso"
    if instead is not None and instead not in PROFILES:
        wrong = [
            *wrong,
            Problem("FIRMWRAP_PROFILE", 1, "", f"'{instead}' is no profile; write one of: {' '.join(PROFILES)}"),
        ]
    problems += wrong
    return PROFILES[name if instead not in PROFILES else instead]
