"""Reads a data folder, finds every error at once, and hands out checked data and the case of one plan."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from calc.checks import crossing, logbook, plausible, readings, tables
from calc.checks.crossing import Documents
from calc.data import build, files, rulebook, schema
from calc.data.files import Document, Errors, Problem
from calc.data.look_up import NEWEST, cases
from calc.data.model import PROFILES, Data, Finding, Machine, NewRope, Profile, Redirect, Rule, Shortening, Upkeep

# folder of the data -> schema
FOLDERS = {"machines": "machine", "yards": "yard", "rulebook": "rule", "upkeep": "upkeep", "tables": "table"}
EARLIER = "machines/earlier"
MAY_LACK = ("upkeep", "tables", EARLIER)
ADDRESSES = "addresses.yaml"  # addresses that lead to other pages; a data folder may lack it
SITE = "site.yaml"  # what the site follows; a data folder may lack it: then it follows iso


def load(folder: Path, profile: str | None = None) -> Data:
    """Everything in a data `folder`, checked; a `profile` counts instead of the one in its site.yaml.

    Errors: files.Errors with every problem found, in file order.
    """
    documents = {name: _read(folder, name) for name in FOLDERS}
    earlier = _read(folder, EARLIER)
    problems = list(_not_read(folder))
    followed = _profile(folder, profile, problems)
    addresses = _addresses(folder, problems)
    sound: Documents = {}
    for name, kind in FOLDERS.items():
        sound[name] = _sound(documents[name], kind, problems)
    older = _sound(earlier, "machine", problems)
    known = {name: frozenset(read) for name, read in documents.items()}
    problems += crossing.problems(sound, known)
    problems += crossing.earlier(older, sound, known)
    problems += tables.problems(sound["tables"])
    problems += _not_there(folder, known["rulebook"])
    if problems:
        raise Errors(problems)
    return replace(_built(sound, older, followed), redirects=addresses)


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
    document = files.read(path, f"{folder.resolve().name}/{SITE}") if path.exists() else None
    wrong = (document.problems or schema.problems(document, "site")) if document else []
    name = document.data["profile"] if document and not wrong else "iso"
    if instead is not None and instead not in PROFILES:
        wrong = [
            *wrong,
            Problem("FIRMWRAP_PROFILE", 1, "", f"'{instead}' is no profile; write one of: {' '.join(PROFILES)}"),
        ]
    problems += wrong
    return PROFILES[name if instead not in PROFILES else instead]
