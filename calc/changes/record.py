"""Everything published on a day as one flat record: path, value, unit, one line each; made to be compared.

Four kinds of lines, by the first part of their path:
    day      the day that counts
    version  a digest of what binds in a published version of a rule, a table, a machine; it never changes again
    input    what is in force on the day: values of rules, data of machines and yards, how far the logs go
    others   what is computed: plan, sensitivity, work, lifts, drum, rope, shortening, new-rope; then machine, boom,
             configuration
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import asdict
from functools import cache
from hashlib import sha256
from typing import Any, NamedTuple

from calc import rounding
from calc.data import look_up
from calc.data.declared import declared, keywords, opened
from calc.data.files import Errors, Problem
from calc.data.model import Block, Boom, Case, Data, Drum, Jib, Machine, Reeving, Rope, Rule, RuleVersion, Winch
from calc.data.yard import Sling, Weight, Yard
from calc.drum_log import readiness, state
from calc.fields import UNITS
from calc.inspection import fitness, new_rope, shortening
from calc.winding import plan_data, sensitivity

HEAD = "# Firmwrap record 1: path, value, unit"
NONE = "-"
MOST_BYTES = 500_000_000  # of the record of a day: the demonstration fleet has 7 million
DAY, VERSION, INPUT = "day", "version", "input"
COMPUTED = ("plan", "sensitivity", "work", "lifts", "drum", "rope", "shortening", "new-rope")


class Line(NamedTuple):
    """A value as text, a number in SI to 1e-6, and its unit, empty where it has none."""

    value: str
    unit: str = ""


Record = dict[str, Line]

# What names the entries of each list, so that one more entry renames no other; none: they are numbered.
_LISTS: dict[tuple[str, ...], str] = {
    (): "bands cuts due inspections loose measured moves outer_wires passes pick_ups places points published reasons "
    "runs series sheaves",
    ("boom",): "booms fleet_angle",
    ("boom", "falls"): "usual used",
    ("code",): "warnings",
    ("criterion",): "criteria seen",
    ("falls",): "bed_needed beds falls options",
    ("id",): "blocks extensions jibs weights",
    ("item",): "yard",
    ("kind",): "what_would_help",
    ("layer",): "layers",
    ("less_m",): "shorter_rope",
    ("load_kg",): "heavier_loads lifts",
    ("name",): "methods",
    ("radius_m",): "limited_room",
    ("regime",): "regimes",
    ("regime", "criterion"): "limits",
    ("what",): "ratios",
    ("wraps",): "count_table",
}
_KEYS = {name: keys for keys, names in _LISTS.items() for name in names.split()}
# What a result repeats of its input, or quotes of a log.
_LEFT_OUT = frozenset(
    {"schema", "machine", "kind", "status", "day", "machine_revision", "inputs", "rules", "log", "note"}
)
_SUFFIXES = {**{f"_{name}": unit for name, unit in UNITS.items()}, "_turns": "turns", "minutes": "min"}
_PAIRS = {"by_radius": "m"}  # lists of [radius, value]: the radius names the value, whose unit stands here
# Units of the fields of a machine or a yard, which do not carry them in their names: by their kind, as declared.
_SI = {
    "mass": "kg", "mass per length": "kg/m", "length": "m", "speed": "m/s", "force": "N", "stress": "N/m2",
    "power": "W", "angle": "rad",
}  # fmt: skip
_DECLARED = (Machine, Rope, Drum, Winch, Reeving, Block, Boom, Jib, Yard, Weight, Sling)
_UNITS = {
    name: _SI[kind]
    for declares in _DECLARED
    for name, form in declared(declares).items()
    for part in (form, *map(opened, form.fields.values()))
    if (kind := keywords(part).get("quantity")) in _SI
} | {"luffing": "rad/s", "telescoping_load": "kg"}

# What binds in a version, by the names of the model; the rest are words about it.
_RULE = ("statement", "values", "informative", "applies", "cautions", "withdrawn", "replaced_by")
_MACHINE = (
    "kind", "capacity_class", "rulebook", "yard", "rope", "drum", "winch", "reeving", "blocks", "boom",
    "configurations", "overrides",
)  # fmt: skip
_WORDS = ("text", "page", "reason", "note")  # of an override or an entry of a log


def starts(data: Data) -> tuple[str, ...]:
    """Every day on which something in the `data` begins: a version of a rule or of a table, a revision of a machine."""
    versions = [v.from_day for rule in data.rules.values() for v in rule.versions]
    versions += [v.from_day for table in data.tables.values() for v in table.versions]
    return tuple(sorted({*versions, *(machine.revision for machine in machines(data))}))


def ahead(data: Data, day: str) -> tuple[str, ...]:
    """The `day`, and every later one on which something in the `data` begins."""
    return (day, *(start for start in starts(data) if start > day))


def record(data: Data, day: str, watched: Callable[[list[Case]], Iterable[Case]] = iter) -> Record:
    """Everything published of the `data` on a `day`, by path; `watched` sees the cases of the plans go by."""
    data = data.at(day)
    found: Record = {DAY: Line(day)}
    found |= versions(data)
    found |= inputs(data, day)
    for case in watched(list(cases(data, day))):
        found |= plan(case)
        found |= _flat(f"sensitivity/{_at(case)}", _sensitivity(case))
        found |= _flat(f"lifts/{_at(case)}", readiness.lifts(data, case))
    for machine in data.machines.values():
        found |= of_machine(data, machine, day)
    return found


def cases(data: Data, day: str) -> Iterator[Case]:
    """Every case of the machines of a `day` in the `data`, in the order of the files."""
    for machine in data.at(day).machines.values():
        for configuration in machine.configurations:
            for chart in configuration.charts:
                yield look_up.case(data, machine.id, chart.slug, configuration.id, day)


def plan(case: Case) -> Record:
    """What the plan of a `case` computes."""
    return of_plan(case, plan_data.plan(case))


def of_plan(case: Case, made: Mapping[str, Any]) -> Record:
    """The lines of a plan of a `case` that is `made` already."""
    return _flat(f"plan/{_at(case)}", made)


def of_machine(data: Data, machine: Machine, day: str) -> Record:
    """What is computed of a `machine` of the `data` on a `day` beside its plans."""
    found = _flat(f"work/{machine.id}", readiness.work(data, machine, day))
    log = data.upkeep.get(machine.id)
    if log and log.log[0].day <= day:
        found |= _flat(f"drum/{machine.id}", state.state(data, machine.id, day))
    found |= _flat(f"rope/{machine.id}", fitness.fitness(data, machine.id, day))
    if log:
        found |= _flat(f"shortening/{machine.id}", shortening.shortening(data, machine.id, day))
    return found | _flat(f"new-rope/{machine.id}", new_rope.order(data, machine.id, day))


def _at(case: Case) -> str:
    return f"{case.machine.id}/{case.chart.slug}/{case.configuration.id}"


def _sensitivity(case: Case) -> Any:
    found = sensitivity.sensitivity(case)
    if found is None:
        return None
    own, changes = found
    names = {"stop_height": "stop_height_m", "load": "load_kg", "firm_rope": "firm_rope_m"}

    def outcome(one: sensitivity.Outcome | None) -> Any:
        return one and {names.get(name, name): rounding.rounded(value) for name, value in asdict(one).items()}

    return {"plan": outcome(own)} | {f"{c.name}-{'more' if c.more else 'less'}": outcome(c.outcome) for c in changes}


# Versions and inputs


def versions(data: Data) -> Record:
    """A digest of what binds in every version of a rule, table or machine in the `data`, whenever it begins."""
    found = {_of_rule(rule, v): _bound(_RULE, v) for rule in data.rules.values() for v in rule.versions}
    found |= {
        f"{VERSION}/table/{table.id}/{v.from_day}": _digest(_plain(v.content))
        for table in data.tables.values()
        for v in table.versions
    }
    every = sorted(machines(data), key=lambda one: (one.id, one.revision))
    return found | {f"{VERSION}/machine/{one.id}/{one.revision}": _bound(_MACHINE, one) for one in every}


def machines(data: Data) -> Iterator[Machine]:
    """Every revision of every machine of the `data`."""
    for id in sorted({*data.machines, *data.revisions}):
        yield from data.every_revision(id)


def _of_rule(rule: Rule, version: RuleVersion) -> str:
    return f"{VERSION}/rule/{rule.code}/{version.from_day}"


def _bound(names: tuple[str, ...], of: Any) -> Line:
    return _digest({name: _plain(getattr(of, name)) for name in names})


def _digest(content: Any) -> Line:
    text = json.dumps(content, sort_keys=True, ensure_ascii=True)
    return Line(sha256(text.encode()).hexdigest()[:16])


def _plain(value: Any) -> Any:
    """Plain data that stays the same however the data is written: floats to 12 digits, what is not given left out."""
    if isinstance(value, float):
        return format(value, ".12g")
    if isinstance(value, (frozenset, set)):
        return sorted(value)
    if isinstance(value, (list, tuple)):
        return [_plain(each) for each in value]
    if hasattr(value, "__dataclass_fields__"):
        value = {name: getattr(value, name) for name in value.__dataclass_fields__ if name not in _WORDS}
    if isinstance(value, Mapping):
        return {str(name): _plain(each) for name, each in value.items() if each not in (None, (), {})}
    return value


def inputs(data: Data, day: str) -> Record:
    """What is in force in the `data` on a `day`."""
    found: Record = {}
    for rule in data.rules.values():
        version = rule.at(day)
        if version:
            found |= _rule(rule, version)
    for table in data.tables.values():
        now = table.at(day)
        if now:
            found[f"{INPUT}/table/{table.id}/from"] = Line(now.from_day)
    for machine in data.at(day).machines.values():
        found |= _machine(machine)
    for yard in data.yards.values():
        found |= _fields(f"{INPUT}/yard/{yard.id}", asdict(yard))
    for upkeep in data.upkeep.values():
        here = f"{INPUT}/log/{upkeep.id}"
        known = [entry for entry in upkeep.log if entry.day <= day]
        found[f"{here}/entries"] = Line(str(len(known)))
        found[f"{here}/entries_digest"] = _digest(_plain(known))
        readings = [one for one in upkeep.readings if one.day <= day]
        found[f"{here}/inspections"] = Line(str(len(readings)))
        found[f"{here}/inspections_digest"] = _digest(_plain(readings))
    return found


def _rule(rule: Rule, version: RuleVersion) -> Record:
    here = f"{INPUT}/rule/{rule.code}"
    found = {f"{here}/title": Line(rule.title), f"{here}/from": Line(version.from_day)}
    if version.withdrawn:
        return found | {f"{here}/withdrawn": Line("yes")}
    for name, text in version.texts.items():
        informative = "informative/" if name in version.informative else ""
        found[f"{here}/{informative}{name}"] = Line(*text.split(" "))
    if version.applies:
        found[f"{here}/applies"] = Line(json.dumps(version.applies, sort_keys=True))
    return found


def _machine(machine: Machine) -> Record:
    here = f"{INPUT}/machine/{machine.id}"
    found = {
        f"{here}/{name}": Line(str(getattr(machine, name)))
        for name in ("name", "revision", "status", "kind", "rulebook", "yard", "units")
    }
    found |= _fields(here, {"capacity_class": machine.capacity_class})
    for part in ("rope", "drum", "winch", "reeving", "boom"):
        found |= _fields(f"{here}/{part}", asdict(getattr(machine, part)))
    found |= _fields(f"{here}/blocks", [asdict(block) for block in machine.blocks])
    for configuration in machine.configurations:
        for chart in configuration.charts:
            at = f"{here}/charts/{chart.slug}/{configuration.id}"
            found |= {f"{at}/{radius:g}": Line(_number(capacity), "kg") for radius, capacity in chart.rows}
            found |= _fields(at, {"telescoping_load": chart.telescoping})
    for override in machine.overrides:
        found[f"{here}/override/{override.rule}/{override.value}"] = Line(override.text)
    return found


# Flat


def _fields(path: str, data: Any) -> Record:
    found: Record = {}
    _walk(found, path, data, "", lambda name: _UNITS.get(name, ""))
    return found


def _flat(path: str, data: Any) -> Record:
    found: Record = {}
    _walk(found, path, data, "", _by_suffix)
    return found


@cache
def _by_suffix(name: str) -> str:
    return next((unit for suffix, unit in _SUFFIXES.items() if name.endswith(suffix)), "")


def _walk(found: Record, path: str, value: Any, unit: str, unit_of: Callable[[str], str]) -> None:
    """Puts every value inside plain data into what is `found`, by its path."""
    if isinstance(value, dict):
        for name, each in value.items():
            if name in _PAIRS:
                found |= {f"{path}/{name}/{_number(at)}": Line(_number(of), _PAIRS[name]) for at, of in each}
            elif name not in _LEFT_OUT:
                _walk(found, f"{path}/{name}", each, unit_of(name) or unit, unit_of)
    elif isinstance(value, (list, tuple)):
        for name, each in zip(_labels(path.rpartition("/")[2], value), value, strict=True):
            _walk(found, f"{path}/{name}", each, unit, unit_of)
    elif value is None or isinstance(value, bool):
        found[path] = Line(NONE if value is None else "yes" if value else "no")
    elif isinstance(value, str):
        found[path] = Line(value)
    else:
        found[path] = Line(_number(value), unit)


def _labels(name: str, entries: Any) -> list[str]:
    """A name for every entry of the list called `name`: its own by `_KEYS`, else its number.

    Errors: ValueError for a list without a line in `_KEYS`, or whose entries share a name.
    """
    numbers = [str(number) for number in range(1, len(entries) + 1)]
    if not any(isinstance(entry, dict) for entry in entries):
        return numbers
    if name not in _KEYS:
        raise ValueError(f"the list {name} has no line in _KEYS; say there what names its entries")
    if not _KEYS[name]:
        return numbers
    found = [
        number if entry is None else "-".join(_label(entry[key]) for key in _KEYS[name] if key in entry)
        for number, entry in zip(numbers, entries, strict=True)
    ]
    if len({*found}) < len(found):
        raise ValueError(f"two entries of {name} share a name: {' '.join(found)}; correct its line in _KEYS")
    return found


def _label(found: Any) -> str:
    return f"{found:g}" if isinstance(found, (int, float)) else str(found)


def _number(value: float) -> str:
    """A number to 1e-6 without exponent or idle zeros.

    >>> _number(290.0), _number(0.1234567), _number(-0.0), _number(2160e6)
    ('290', '0.123457', '0', '2160000000')
    """
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


# As text


def text(found: Record) -> str:
    """A record that was `found`, as text: a first line, then path, value and unit of each line parted by tabs.

    >>> print(text({"day": Line("2026-11-25"), "plan/a": Line("2.5", "m")}).replace("\\t", " | "), end="")
    # Firmwrap record 1: path, value, unit
    day | 2026-11-25
    plan/a | 2.5 | m
    """
    lines = ("\t".join((path, line.value.replace("\t", " "), line.unit)).rstrip() for path, line in found.items())
    return "\n".join([HEAD, *lines]) + "\n"


def read(written: str, name: str) -> Record:
    """The record in a text as `written` by `text`; `name` is how messages call it.  Errors: files.Errors."""
    first, *lines = written.rstrip("\n").split("\n")
    if first != HEAD:
        raise Errors([Problem(name, 1, "", "is no record of this form; write it with python -m calc record")])
    found: Record = {}
    for number, line in enumerate(lines, 2):
        path, *rest = line.split("\t")
        if not 1 <= len(rest) <= 2 or path in found or not _whole(path) or (number == 2) != (path == DAY):
            raise Errors([Problem(name, number, "", "is no line of a record; write it with python -m calc record")])
        found[path] = Line(*rest)
    if DAY not in found:
        raise Errors([Problem(name, 1, "", "is a record without a day; write it with python -m calc record")])
    return found


def _whole(path: str) -> bool:
    """Whether a path names all that it must: a plan its machine, boom and configuration, an input its owner."""
    kind, *at = path.split("/")
    of_input = 3 if at[:1] in (["rule"], ["machine"]) else 2
    return len(at) >= {"plan": 4, INPUT: of_input}.get(kind, int(kind in COMPUTED))
