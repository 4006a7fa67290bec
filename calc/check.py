"""Reads a data folder, finds every error at once, and hands out checked data and the case of one plan.

May import: files, schema, crossing, table_check, build, rulebook, plausible, logbook, readings, rig, tables, model.
Must not know: how a plan is computed, pages.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

from calc import build, crossing, files, logbook, plausible, readings, rulebook, schema, table_check, tables
from calc.crossing import Documents
from calc.files import Document, Errors, Problem
from calc.model import (
    PROFILES,
    Case,
    Configuration,
    Data,
    Finding,
    Machine,
    NewRope,
    Profile,
    Redirect,
    Rule,
    Shortening,
    Upkeep,
)
from calc.rig import with_machine

# folder of the data -> schema
FOLDERS = {"machines": "machine", "yards": "yard", "rulebook": "rule", "upkeep": "upkeep", "tables": "table"}
EARLIER = "machines/earlier"
MAY_LACK = ("upkeep", "tables", EARLIER)
ADDRESSES = "addresses.yaml"  # addresses that lead to other pages; a data folder may lack it
NEWEST = "9999-12-31"  # the data is checked against the newest version of every rule


class Unknown(Exception):
    """A machine, boom length, configuration or day there is no data for."""


def load(folder: Path, profile: Profile = PROFILES["iso"]) -> Data:
    """Everything in a data `folder`, checked; the `profile` of the site counts where a machine says nothing else.

    Errors: files.Errors with every problem found, in file order.
    """
    documents = {name: _read(folder, name) for name in FOLDERS}
    earlier = _read(folder, EARLIER)
    problems = list(_not_read(folder))
    addresses = _addresses(folder, problems)
    sound: Documents = {}
    for name, kind in FOLDERS.items():
        sound[name] = _sound(documents[name], kind, problems)
    older = _sound(earlier, "machine", problems)
    known = {name: frozenset(read) for name, read in documents.items()}
    problems += crossing.problems(sound, known)
    problems += crossing.earlier(older, sound, known)
    problems += table_check.problems(sound["tables"])
    problems += _not_there(folder, known["rulebook"])
    if problems:
        raise Errors(problems)
    return replace(_built(sound, older, profile), redirects=addresses)


def _read(folder: Path, name: str) -> dict[str, Document]:
    label = f"{folder.resolve().name}/{name}"
    found = sorted((folder / name).glob("*.yaml"))
    return {path.stem: files.read(path, f"{label}/{path.name}") for path in found}


def _addresses(folder: Path, problems: list[Problem]) -> tuple[Redirect, ...]:
    """The addresses that lead to other pages; what is wrong with their list goes to `problems`."""
    path = folder / ADDRESSES
    if not path.exists():
        return ()
    document = files.read(path, f"{folder.resolve().name}/{ADDRESSES}")
    found = document.problems or schema.problems(document, "addresses") or list(crossing.redirects(document))
    problems += found
    entries = [] if found else document.data["redirects"]
    places = [document.problem(("redirects", number), "") for number in range(len(entries))]
    return tuple(
        Redirect(entry["from"], entry["to"], f"{place.file}:{place.line}: {place.where}")
        for entry, place in zip(entries, places, strict=True)
    )


def _not_read(folder: Path) -> Iterator[Problem]:
    for name in (*FOLDERS, EARLIER):
        label = f"{folder.resolve().name}/{name}"
        if not (folder / name).is_dir():
            if name not in MAY_LACK:
                yield Problem(label, 1, "", "there is no such folder; see --data")
            continue
        for path in sorted((folder / name).iterdir()):
            if path.suffix != ".yaml" and path != folder / EARLIER:
                yield Problem(f"{label}/{path.name}", 1, "", "is not read; name data files <id>.yaml")


def _not_there(folder: Path, known: frozenset[str]) -> Iterator[Problem]:
    """Rules that are named by their id and are not among the `known`."""
    for id in rulebook.NAMED if known else ():
        if id not in known:
            label = f"{folder.resolve().name}/rulebook"
            yield Problem(label, 1, "", f"there is no rule {id}, which the state of a drum names; put it back")


def _sound(documents: dict[str, Document], kind: str, problems: list[Problem]) -> dict[str, Document]:
    """The documents that match their schema; what the others lack goes to `problems`."""
    sound = {}
    for stem, document in documents.items():
        found = document.problems or schema.problems(document, kind)
        problems += found
        if not found:
            sound[stem] = document
    return sound


def _built(sound: Documents, older: dict[str, Document], profile: Profile) -> Data:
    """Model objects; rules and machines must agree with each other and every machine must make sense."""
    rules = {stem: build.rule(document.data) for stem, document in sound["rulebook"].items()}
    yards = {stem: build.yard(document.data) for stem, document in sound["yards"].items()}
    machines, problems = {}, []
    for stem, document in sound["machines"].items():
        machine = build.machine(document.data, profile)
        clashes = list(crossing.rules_for(machine, document, rules, sound["rulebook"]))
        problems += clashes
        if not clashes:
            machines[stem] = _with_findings(machine, document, rules, problems, NEWEST)
    revisions = _earlier(machines, older, rules, sound["rulebook"], problems, profile)
    if problems:
        raise Errors(problems)
    upkeep = {stem: build.upkeep(document.data) for stem, document in sound["upkeep"].items()}
    lengths = {stem: tuple(_length_entries(document, upkeep[stem])) for stem, document in sound["upkeep"].items()}
    tables = {stem: build.table(document.data) for stem, document in sound["tables"].items()}
    data = Data(machines, yards, rules, upkeep, tables, profile, revisions=revisions, lengths=lengths)
    for stem, document in sound["upkeep"].items():
        machine = machines[stem]
        problems += logbook.problems(document, upkeep[stem], machine, cases(data, machine, NEWEST))
        problems += readings.problems(document, upkeep[stem], machine)
    if problems:
        raise Errors(problems)
    return data


def _length_entries(document: Document, upkeep: Upkeep) -> Iterator[tuple[str, str]]:
    """Day and place of the entries of a log that change the length of the rope."""
    for number, entry in enumerate(upkeep.log):
        if isinstance(entry.done, (NewRope, Shortening)):
            place = document.problem(("log", number), "")
            yield entry.day, f"{place.file}:{place.line}: {place.where}"


def _earlier(
    machines: dict[str, Machine],
    older: dict[str, Document],
    rules: dict[str, Rule],
    rule_documents: dict[str, Document],
    problems: list[Problem],
    profile: Profile,
) -> dict[str, tuple[Machine, ...]]:
    """The earlier revisions of the machines, newest first, each held against the rules of the days it counted."""
    found: dict[str, tuple[Machine, ...]] = {}
    for stem in sorted(older, reverse=True):
        document = older[stem]
        machine = build.machine(document.data, profile)
        if machine.id not in machines:
            continue  # its newest revision has problems of its own
        until = next((one.revision for one in reversed(found.get(machine.id, ()))), machines[machine.id].revision)
        clashes = list(crossing.rules_for(machine, document, rules, rule_documents, until))
        problems += clashes
        if not clashes:
            machine = _with_findings(machine, document, rules, problems, rulebook.day_before(until))
        found[machine.id] = (*found.get(machine.id, ()), machine)
    return found


def _with_findings(
    machine: Machine, document: Document, rules: dict[str, Rule], problems: list[Problem], day: str
) -> Machine:
    """The machine with what is odd about it under the rules of a day; contradictions go to `problems`."""
    first = machine.configurations[0].charts[0].boom_length
    found = {name: given[0].quantity for name, given in rulebook.given(rules.values(), machine, first, day).items()}
    if not found.keys() >= {*rulebook.needed(machine, found).values(), *rulebook.FOR_THE_CHECK}:
        return machine  # an earlier revision that ended before the rules began
    values, _ = rulebook.resolve(rules.values(), machine, first, day)
    layers = rulebook.drum_layers(machine, values.rise_ratio)
    limits = {name: found[name] for name in rulebook.FOR_THE_CHECK} | {"freeboard": values.freeboard}
    answers = {(entry["finding"], entry["where"]): i for i, entry in enumerate(document.data.get("answers", ()))}
    findings = []
    for odd in plausible.oddities(machine, layers, limits):
        where = document.where(odd.path)
        if odd.contradiction:
            problems.append(document.problem(odd.path, odd.text.us if machine.units == "us" else odd.text.metric))
            continue
        answered = answers.pop((odd.code, where), None)
        answer = None if answered is None else document.data["answers"][answered]
        if answer is None and machine.status == "approved":
            said = f"the finding {odd.code} is open, but the machine is approved; answer it or write status: draft"
            problems.append(document.problem(odd.path, said))
        text = answer and f"{answer['answer']} ({answer['by']}, {answer['date']})"
        findings.append(Finding(odd.code, where, odd.text, text))
    for unused in answers.values():
        problems.append(document.problem(("answers", unused), "answers a finding there is not; take the answer out"))
    return replace(machine, findings=tuple(findings))


def profile(name: str) -> Profile:
    """The profile of a site by its `name` in mkdocs.yml.  Errors: files.Errors for a name there is not."""
    if name not in PROFILES:
        text = f"'{name}' is no profile; write one of: {' '.join(PROFILES)}"
        raise Errors([Problem("mkdocs.yml", 1, "extra.profile", text)])
    return PROFILES[name]


def case(data: Data, machine_id: str, boom_slug: str, configuration_id: str | None, day: str) -> Case:
    """What one plan is computed from; without a configuration, the first-listed one that lists the boom length.

    Parameters
    ----------
    data : checked data
    machine_id, boom_slug, configuration_id : as in the address of the plan; the last may be None
    day : whose rules and revision of the machine count, YYYY-MM-DD

    Returns: the case; where the log of the rope has come to another length than the machine's data say, with that one.
    Errors: Unknown, naming what there is.
    """
    found = _as_listed(data, machine_id, boom_slug, configuration_id, day)
    machine = found.machine
    length = rope_by_log(data, machine, day)
    if length is None:
        return found
    by_log = with_machine(found, replace(machine, rope=replace(machine.rope, length=length)))
    return replace(by_log, listed_rope=machine.rope.length)


def rope_by_log(data: Data, machine: Machine, day: str) -> float | None:
    """The length that the rope of a `machine` of the `data` has on a `day` by its log, where its data say another [m].
    """
    upkeep = data.upkeep.get(machine.id)
    length = None if upkeep is None else readings.rope_length(upkeep.log, day)
    if length is None or abs(length - machine.rope.length) <= readings.SAME_LENGTH:
        return None
    return length


def _as_listed(data: Data, machine_id: str, boom_slug: str, configuration_id: str | None, day: str) -> Case:
    """The case with the rope of the machine's data."""
    machine = machine_of(data, machine_id, day)
    configuration = _configuration(machine, boom_slug, configuration_id)
    chart = configuration.chart(boom_slug)
    if chart is None:
        listed = " ".join(chart.slug for chart in configuration.charts)
        raise Unknown(f"no boom length {boom_slug!r} for {machine_id} {configuration.id}; listed: {listed}")
    try:
        values, rules = rulebook.resolve(data.rules.values(), machine, chart.boom_length, day)
    except rulebook.Missing as missing:
        raise Unknown(f"no rule in force on {day} gives {missing}; choose a later day") from missing
    return Case(machine, configuration, chart, data.yards[machine.yard], values, rules, day)


def machine_of(data: Data, machine_id: str, day: str) -> Machine:
    """The machine of the `data` with this `machine_id` in its revision of the `day`.  Errors: Unknown, naming those
    there are, or the first day of this one."""
    every = data.every_revision(machine_id)
    if not every:
        raise Unknown(f"no machine {machine_id!r}; known: {' '.join(data.at(day).machines)}")
    machine = next((one for one in every if one.revision <= day), None)
    if machine is None:
        raise Unknown(f"the data of {machine_id} begins on {every[-1].revision}; choose a later day")
    return machine


def cases(data: Data, machine: Machine, day: str) -> Callable[[float], Case]:
    """Gives the case of a boom length [m] of a `machine` of the `data` on a `day`, in the first-listed configuration
    that lists it, with the rope of the machine's data: a log tells of more than one rope."""
    slugs = _slugs(machine)
    return cache(lambda length: _as_listed(data, machine.id, slugs[length], None, day))


def cases_by_log(data: Data, machine: Machine, day: str) -> Callable[[float], Case]:
    """As `cases` for a `machine` of the `data` on a `day`, with the rope that is on the drum by the log."""
    slugs = _slugs(machine)
    return cache(lambda length: case(data, machine.id, slugs[length], None, day))


def _slugs(machine: Machine) -> dict[float, str]:
    return {chart.boom_length: chart.slug for c in machine.configurations for chart in c.charts}


def _configuration(machine: Machine, boom_slug: str, id: str | None) -> Configuration:
    if id is None:
        with_boom = (c for c in machine.configurations if c.chart(boom_slug))
        return next(with_boom, machine.configurations[0])
    configuration = machine.configuration(id)
    if configuration is None:
        known = " ".join(c.id for c in machine.configurations)
        raise Unknown(f"no configuration {id!r} for {machine.id}; known: {known}")
    return configuration


def counts(data: Data) -> str:
    """One line about data without errors.

    >>> counts(Data({}, {}, {}, {}))
    '0 machines, 0 boom lengths, 0 yards, 0 rules: no errors, 0 findings (0 unanswered)'
    """
    booms = sum(len({c.slug for conf in m.configurations for c in conf.charts}) for m in data.machines.values())
    findings = [finding for machine in data.machines.values() for finding in machine.findings]
    unanswered = sum(finding.answer is None for finding in findings)
    parts = [
        _number(len(data.machines), "machine"),
        _number(booms, "boom length"),
        _number(len(data.yards), "yard"),
        _number(len(data.rules), "rule"),
    ]
    return f"{', '.join(parts)}: no errors, {_number(len(findings), 'finding')} ({unanswered} unanswered)"


def unanswered(data: Data) -> Iterator[str]:
    """One line for every finding in the `data` that no engineer has answered: machine, place, what is odd, code."""
    for machine in data.machines.values():
        for finding in machine.findings:
            if finding.answer is None:
                said = finding.text[machine.units == "us"]
                yield f"{machine.id}: {finding.where}: {said} ({finding.code})"


def ropes_by_log(data: Data, day: str) -> Iterator[str]:
    """One line for every rope of the `data` whose log has come to another length on a `day` than the machine's data
    say: where, both lengths, which one counts."""
    for machine in data.machines.values():
        length = rope_by_log(data, machine, day)
        if length is None:
            continue
        place = next(place for on, place in reversed(data.lengths[machine.id]) if on <= day)
        both = (tables.rope(each, "near") for each in (length, machine.rope.length))
        told, listed = (each.us if machine.units == "us" else each.metric for each in both)
        yield f"{place}: the rope is {told} long by this log, {listed} by the data of {machine.id}; plans count {told}"


def _number(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"
