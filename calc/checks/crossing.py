"""What one schema cannot see: names that must match across the data, order, gaps, rules that clash."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from difflib import get_close_matches
from itertools import chain, product
from typing import Any

from calc.data import build, rulebook, schema, units
from calc.data.files import Document, Problem, Where
from calc.data.model import Machine, Rule
from calc.winding import makeup

Documents = dict[str, dict[str, Document]]  # folder -> file name without .yaml -> document
Rules = dict[str, Document]  # the sound rule files by name
Known = Mapping[str, frozenset[str]]  # folder -> file names there are, sound or not
_Found = Iterator[Problem]


def problems(sound: Documents, known: Known) -> _Found:
    """Problems inside each `sound` document and between them; `known` names every file there is, sound or not."""
    for documents in sound.values():
        for stem, document in documents.items():
            if document.data["id"] != stem:
                yield document.problem(
                    ("id",), f"is '{document.data['id']}', the file is called {stem}; make them match"
                )
    for document in sound["rulebook"].values():
        yield from _rule(document, known, sound["rulebook"])
    yield from _shared(sound["rulebook"], "code", "take the next code never used")
    for document in sound["yards"].values():
        for name, path in product(("id", "name"), ("weights", "extensions")):
            yield from _repeated(document, (path,), name)
        yield from _loads(document)
    for document in sound["machines"].values():
        yield from _machine(document, known, sound["rulebook"])
    yield from _shared(sound["machines"], "name", "give each winch a name of its own")
    for stem, document in sound["upkeep"].items():
        if stem not in known["machines"]:
            text = f"there is no machine '{stem}'; known: {' '.join(sorted(known['machines']))}"
            yield document.problem(("id",), text)


def earlier(older: Rules, sound: Documents, known: Known) -> _Found:
    """Problems of earlier revisions, the `older` documents: named <id>.<revision>, before the one of the same machine
    among the `sound` documents, whose files are `known`; and everything a machine is looked at for."""
    for stem, document in older.items():
        id, revision = document.data["id"], document.data["revision"]
        newest = sound["machines"].get(id)
        if stem != f"{id}.{revision}":
            yield document.problem(("revision",), f"makes the file name {id}.{revision}.yaml; rename the file")
        elif id not in known["machines"]:
            text = f"is '{id}', but there is no such machine; take the file away"
            yield document.problem(("id",), text)
        elif newest and newest.data["revision"] <= revision:
            text = f"is not before {newest.data['revision']} of {newest.file}; give that one the later day"
            yield document.problem(("revision",), text)
        yield from _machine(document, known, sound["rulebook"])
    for document in (*older.values(), *sound["machines"].values()):
        before = [one for one in older.values() if one.data["id"] == document.data["id"]]
        if any(one.data["revision"] < document.data["revision"] for one in before) and "change" not in document.data:
            yield document.problem(("change",), "is missing; say in one sentence what this revision changed")


def redirects(document: Document) -> _Found:
    """Problems between the entries of the `document` that lists addresses that lead to other pages."""
    yield from _twice(document, ("redirects",), ("from",), "an address leads to one page")
    old = {entry["from"] for entry in document.data["redirects"]}
    for number, entry in enumerate(document.data["redirects"]):
        if entry["to"] in old:
            text = f"'{entry['to']}' leads to another page itself; name the page it leads to"
            yield document.problem(("redirects", number, "to"), text)


def _repeated(document: Document, path: Where, name: str) -> _Found:
    """Entries of a list that people tell apart by `name` and that have the same."""
    yield from _twice(document, path, (name,), "give each its own")


def _twice(document: Document, path: Where, names: tuple[str, ...], advice: str) -> _Found:
    entries: Any = document.data
    for step in path:
        entries = entries.get(step, []) if isinstance(entries, dict) else entries[step]
    seen = set()
    for i, entry in enumerate(entries):
        key = " ".join(entry[name] for name in names)
        if key in seen:
            yield document.problem((*path, i, names[-1]), f"'{key}' stands here twice; {advice}")
        seen.add(key)


def _shared(documents: dict[str, Document], name: str, advice: str) -> _Found:
    """Files that have the same `name`."""
    first: dict[str, str] = {}
    for document in documents.values():
        value = document.data[name]
        if value in first:
            yield document.problem((name,), f"'{value}' belongs to {first[value]}; {advice}")
        first.setdefault(value, document.file)


def _no_rule(id: str, known: Known) -> str:
    close = get_close_matches(id, known["rulebook"], 1)
    return f"there is no rule '{id}'; {f'did you mean {close[0]}?' if close else 'name one of rules/rulebook'}"


# Rules


def _rule(document: Document, known: Known, rules: Rules) -> _Found:
    if document.data["id"] in schema.page_names("rules"):
        text = f"'{document.data['id']}' is the address of another page; choose another id"
        yield document.problem(("id",), text)
    versions = document.data["versions"]
    for i, version in enumerate(versions):
        here = ("versions", i)
        if i and version["from"] >= versions[i - 1]["from"]:
            text = f"is not before {versions[i - 1]['from']} above it; write versions newest first"
            yield document.problem((*here, "from"), text)
        if version.get("announced", "") >= version["from"]:
            text = f"is not before {version['from']}, the first day this version counts; take it out"
            yield document.problem((*here, "announced"), text)
        yield from _values(document, version, here)
        yield from _withdrawn(document, version, here, known, rules)


def _withdrawn(document: Document, version: dict[str, Any], here: Where, known: Known, rules: Rules) -> _Found:
    """A withdrawal ends a rule: no version after it, no value in it, and its heir holds from the same day on."""
    heir = version.get("replaced_by")
    if heir and not version.get("withdrawn"):
        yield document.problem((*here, "replaced_by"), "only a withdrawn rule is replaced; add withdrawn: true")
    if version.get("withdrawn") and version is not document.data["versions"][0]:
        text = "a withdrawn rule does not come back; write a new rule with a new code"
        yield document.problem((*here, "withdrawn"), text)
    if version.get("withdrawn") and version["values"]:
        yield document.problem((*here, "values"), "a withdrawn rule gives no values; write values: {}")
    if heir == document.data["id"]:
        yield document.problem((*here, "replaced_by"), "names the rule itself; name the one that takes its place")
    elif heir and heir not in known["rulebook"]:
        yield document.problem((*here, "replaced_by"), _no_rule(heir, known))
    elif heir in rules:
        begun = (one for one in rules[heir].data["versions"] if one["from"] <= version["from"])
        if next(begun, {"withdrawn": True}).get("withdrawn"):
            text = f"rule {heir} is not in force on {version['from']}; name one that is"
            yield document.problem((*here, "replaced_by"), text)


def _values(document: Document, version: dict[str, Any], here: Where) -> _Found:
    informative = version.get("informative", [])
    for name in version["values"]:
        if name not in rulebook.READ and name not in informative:
            text = "is read by no calculation; correct the name or list it under informative"
            yield document.problem((*here, "values", name), text)
    for i, name in enumerate(informative):
        if name not in version["values"]:
            text = f"there is no value '{name}' in this version; take it out"
            yield document.problem((*here, "informative", i), text)
        elif name in rulebook.READ:
            yield document.problem((*here, "informative", i), f"'{name}' is read by the calculation; take it out here")
    binding = any(name not in informative for name in version["values"])
    for fact in sorted(rulebook.UNKNOWN_BEFORE_PLANNING.intersection(version["applies"])) if binding else ():
        text = "is not known before the plan is made; a rule with values the plan reads cannot ask for it"
        yield document.problem((*here, "applies", fact), text)
    rises = any(name.startswith("rise_ratio") for name in version["values"])
    if rises and "layers" in version["applies"]:
        text = "follows from the rise ratio; a rule that gives it cannot ask for layers"
        yield document.problem((*here, "applies", "layers"), text)


# Yards


def _loads(document: Document) -> _Found:
    """Weights of a yard that no load can hold, and more loads than can be compared."""
    yard, room = build.yard(document.data), document.data["load"]
    wrong = [number for number, weight in enumerate(yard.weights) if not makeup.has_room(weight, yard)]
    for number in wrong:
        written = document.data["weights"][number]
        is_, has = (f"{one['length']} x {one['width']} x {one['height']}" for one in (written, room))
        yield document.problem(("weights", number), f"is {is_}, a load has room for {has}; correct one of them")
    if not wrong:
        if makeup.stacks(yard) > makeup.MOST_STACKS:
            text = f"the weights make more than {makeup.MOST_STACKS} loads; leave out kinds that are never used"
            yield document.problem(("weights",), text)


# Machines


def _machine(document: Document, known: Known, rules: Rules) -> _Found:
    data = document.data
    if data["yard"] not in known["yards"]:
        text = f"there is no yard '{data['yard']}'; known: {' '.join(sorted(known['yards']))}"
        yield document.problem(("yard",), text)
    yield from _approval(document)
    yield from _by_kind(document)
    yield from _falls(document)
    yield from _overrides(document, known, rules)
    yield from _twice(document, ("overrides",), ("rule", "value"), "keep one")
    yield from _twice(document, ("answers",), ("finding", "where"), "keep one")
    yield from _repeated(document, ("blocks",), "id")
    yield from _repeated(document, ("configurations",), "id")
    yield from _repeated(document, ("configurations",), "name")
    yield from _reserved(document)
    rising = list(charts(document))
    yield from rising
    if not rising:
        yield from _most_cautious_first(document)


def _reserved(document: Document) -> _Found:
    for i, configuration in enumerate(document.data["configurations"]):
        if configuration["id"] in schema.page_names("crane", "plan"):
            text = f"'{configuration['id']}' is the address of another page; choose another id"
            yield document.problem(("configurations", i, "id"), text)


def _approval(document: Document) -> _Found:
    """An approved machine says who approved this very revision; another one claims nothing of the kind."""
    status, approval = document.data["status"], document.data.get("approval")
    if status == "approved" and approval is None:
        text = "is missing; an approved machine names who compared it with the manual: reviewer, date, pages"
        yield document.problem(("approval",), text)
    elif status != "approved" and approval is not None:
        text = f"stands in a machine whose status is {status}; write status: approved, or take the approval out"
        yield document.problem(("approval",), text)
    elif approval and approval["date"] < document.data["revision"]:
        text = f"is before the revision of {document.data['revision']}; review this revision and write that day"
        yield document.problem(("approval", "date"), text)


def _by_kind(document: Document) -> _Found:
    data = document.data
    for name in ("telescoping", "clear_radius"):
        if data["kind"] == "telescopic" and name not in data["boom"]:
            yield document.problem(("boom", name), "is missing; a telescopic boom needs it")
        if data["kind"] == "lattice" and name in data["boom"]:
            yield document.problem(("boom", name), "a lattice boom does not telescope; take it out")
    for i, configuration in enumerate(data["configurations"]):
        for j, chart in enumerate(configuration["charts"]):
            if data["kind"] == "lattice" and "telescoping" in chart:
                path = ("configurations", i, "charts", j, "telescoping")
                yield document.problem(path, "a lattice boom does not telescope; take it out")


def _falls(document: Document) -> _Found:
    covered = 0
    before = (0, 0)
    for i, block in enumerate(document.data["blocks"]):
        least, most = block["falls"]
        if least > most:
            yield document.problem(("blocks", i, "falls"), f"[{least}, {most}] runs backwards; write fewest, most")
        elif (least, most) < before:
            yield document.problem(("blocks", i, "falls"), "comes after a block for more falls; list by growing falls")
        elif least > covered + 1:
            gap = f"{covered + 1}" if least == covered + 2 else f"{covered + 1} to {least - 1}"
            yield document.problem(("blocks", i, "falls"), f"no block takes {gap} falls; close the gap")
        covered, before = max(covered, least, most), max(before, (least, most))
    wanted = document.data["reeving"]["most_falls"]
    if covered < wanted:
        yield document.problem(
            ("reeving", "most_falls"), f"is {wanted}, the blocks take up to {covered}; make them match"
        )


def _overrides(document: Document, known: Known, rules: Rules) -> _Found:
    for i, entry in enumerate(document.data.get("overrides", [])):
        here = ("overrides", i)
        if entry["rule"] not in known["rulebook"]:
            yield document.problem((*here, "rule"), _no_rule(entry["rule"], known))
        elif entry["rule"] in rules:
            versions = rules[entry["rule"]].data["versions"]
            values = list(dict.fromkeys(name for version in versions for name in version["values"]))
            if entry["value"] not in values:
                text = f"rule {entry['rule']} has no value '{entry['value']}'; it has: {' '.join(values) or 'none'}"
                yield document.problem((*here, "value"), text)
            elif wrong := schema.value_text(entry["value"], entry["quantity"]):
                yield document.problem((*here, "quantity"), wrong)


def charts(document: Document) -> _Found:
    """Problems of the charts in a `document`: boom lengths rise in a configuration, radii in a chart; one address for
    one boom length."""
    address: dict[int, str] = {}
    for i, configuration in enumerate(document.data["configurations"]):
        longest = 0.0
        for j, chart in enumerate(configuration["charts"]):
            here = ("configurations", i, "charts", j)
            length = units.read(chart["boom_length"], "length")
            if length <= longest:
                text = (
                    f"{chart['boom_length']} is not longer than the one before it; list boom lengths rising, each once"
                )
                yield document.problem((*here, "boom_length"), text)
            longest = max(length, longest)
            slug = build.slug(chart["boom_length"])
            other = address.setdefault(round(length * 1000), slug)
            if other != slug:
                text = f"{chart['boom_length']} has the address {slug}, elsewhere {other}; write it in one unit"
                yield document.problem((*here, "boom_length"), text)
            yield from _radii(document, chart["rows"], (*here, "rows"))


def _radii(document: Document, rows: list[list[str]], here: Where) -> _Found:
    largest = 0.0
    for k, (radius, _) in enumerate(rows):
        value = units.read(radius, "length")
        if value <= largest:
            text = f"radius {radius} is not larger than the one before it; list radii rising, each once"
            yield document.problem((*here, k), text)
        largest = max(value, largest)


def _most_cautious_first(document: Document) -> _Found:
    """The short address shows the first-listed configuration, so none of its capacities lies above another's."""
    first: dict[str, dict[float, tuple[str, float]]] = {}
    place: dict[str, Where] = {}
    for i, configuration in enumerate(document.data["configurations"]):
        for j, chart in enumerate(configuration["charts"]):
            slug = build.slug(chart["boom_length"])
            rows = {units.read(r, "length"): (r, units.read(capacity, "mass")) for r, capacity in chart["rows"]}
            listed = first.setdefault(slug, rows)
            here = place.setdefault(slug, ("configurations", i, "charts", j))
            above = [text for radius, (text, most) in listed.items() if radius in rows and most > rows[radius][1]]
            if above:
                text = f"at {above[0]} lists more than {configuration['id']}; put the most cautious one first"
                yield document.problem(here, text)


# Rules for machines

# Pairs of values of which the first is not above the second.
ORDERED = (
    ("dead_wraps", "stop_wraps"),
    ("clearance", "band_top"),
    ("published_tension_low", "published_tension_high"),
    ("block_mass_least", "block_mass_most"),
    ("short_length_diameters", "long_length_diameters"),
    ("slight", "medium"),
    ("medium", "high"),
    ("high", "very_high"),
    ("very_high", "discard"),
    ("fleet_angle_least", "fleet_angle_most_smooth"),
    ("back_tension_least", "back_tension_most"),
)

_Given = dict[str, list[rulebook.Given]]
_Keyed = Iterator[tuple[tuple[str, ...], Problem]]


def rules_for(
    machine: Machine,
    document: Document,
    rules: Mapping[str, Rule],
    rule_documents: Mapping[str, Document],
    until: str | None = None,
) -> _Found:
    """Every value is given by exactly one rule for every boom length, on every day a rule changes; told once.

    Parameters
    ----------
    machine, document : a machine, and the file it was built from
    rules, rule_documents : every rule by id, and the files they were built from
    until : for an earlier revision, the first day it no longer counts; only the days it counts on are looked at

    Returns: problems, located.  Errors: none.
    """
    days = sorted({version.from_day for rule in rules.values() for version in rule.versions})
    if until:
        days = [machine.revision, *(day for day in days if machine.revision < day < until)]
    booms = sorted({(chart.boom_length, chart.slug) for c in machine.configurations for chart in c.charts})
    starts = _starts(rules)
    given: set[tuple[str, str]] = set()
    told: set[tuple[str, ...]] = set()
    for day, (length, slug) in product(days, booms):
        found = rulebook.given(rules.values(), machine, length, day)
        given |= {(one.rule.id, name) for name, all_given in found.items() for one in all_given}
        begun = {name for name in starts if starts[name] <= day}
        case = f"for {machine.id} {slug} from {day}"
        for key, problem in chain(
            _missing(machine, found, document, case, begun.union(rulebook.READ.difference(starts))),
            _given_twice(found, rule_documents, case),
            _ordered(found, rule_documents, case),
        ):
            if key not in told:
                told.add(key)
                yield problem
    if not until:
        yield from _other_regime(machine, document, rules, days[-1], booms[0][0])
    for i, entry in enumerate(machine.overrides):
        if (entry.rule, entry.value) not in given:
            text = f"rule {entry.rule} gives {entry.value} to no plan of {machine.id}; override the rule that does"
            yield document.problem(("overrides", i, "rule"), text)


def _starts(rules: Mapping[str, Rule]) -> dict[str, str]:
    """First day any rule gives a value: before it, nothing is missing."""
    starts: dict[str, str] = {}
    for rule in rules.values():
        for version in rule.versions:
            for name in version.values:
                starts[name] = min(version.from_day, starts.get(name, version.from_day))
    return starts


def _other_regime(
    machine: Machine, document: Document, rules: Mapping[str, Rule], day: str, boom_length: float
) -> _Found:
    """Ropes are judged under both regimes, whichever the machine follows."""
    (other,) = rulebook.BY_REGIME.keys() - {machine.rulebook}
    found = rulebook.given(rules.values(), replace(machine, rulebook=other), boom_length, day)
    for name in rulebook.BY_REGIME[other]:
        if name not in found:
            text = f"no rule gives {name} for the inspection of {machine.id} under {other}; add a rule or widen one"
            yield document.problem((), text)


def _missing(machine: Machine, found: _Given, document: Document, case: str, begun: set[str]) -> _Keyed:
    wanted = {
        *rulebook.needed(machine, found).values(),
        *rulebook.FOR_THE_CHECK,
        *rulebook.FOR_EVERYDAY_WORK,
        *rulebook.FOR_A_LIFT,
        *rulebook.FOR_INSPECTION,
        *rulebook.BY_REGIME[machine.rulebook],
        *rulebook.FOR_A_ROPE_CHANGE,
        *rulebook.FOR_THE_REVIEW,
        *rulebook.FOR_LASTING,
    }
    for name in sorted(wanted):
        if name not in found and name in begun:
            text = f"no rule gives {name} {case}; add a rule or widen the applies of one"
            yield ("missing", name), document.problem((), text)


def _given_twice(found: _Given, documents: Mapping[str, Document], case: str) -> _Keyed:
    either = {name: rulebook.FREEBOARD if name in rulebook.FREEBOARD else (name,) for name in found}
    for name, same in either.items():
        first, *others = ((other, given) for other in same for given in found.get(other, ()))
        for other, given in others:
            text = f"{case} also given by {first[1].rule.id}; narrow the applies of one"
            yield (name, first[1].rule.id, given.rule.id), _at(given, other, documents, text)


def _ordered(found: _Given, documents: Mapping[str, Document], case: str) -> _Keyed:
    for low, high in ORDERED:
        if low not in found or high not in found:
            continue
        lower, upper = found[low][0], found[high][0]
        if lower.quantity > upper.quantity:
            text = f"{case} is above {high} of {upper.rule.id}; it may not be"
            yield (low, high), _at(lower, low, documents, text)


def _at(given: rulebook.Given, name: str, documents: Mapping[str, Document], text: str) -> Problem:
    place = ("versions", given.rule.versions.index(given.version), "values", name)
    return documents[given.rule.id].problem(place, text)
