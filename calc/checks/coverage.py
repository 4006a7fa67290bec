"""Whether the rules cover a crane: each value from exactly one rule, for every boom on every day, none out of order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import chain, product

from calc.data import rule_values, rulebook
from calc.data.files import Document, Problem
from calc.data.model import Machine, Rule

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


def problems(
    machine: Machine,
    document: Document,
    rules: Mapping[str, Rule],
    rule_documents: Mapping[str, Document],
    until: str | None = None,
) -> Iterator[Problem]:
    """Every value is given by exactly one rule for every boom length, on every day a rule changes; told once.

    `until` is, for an earlier revision of the `machine`, the first day it no longer counts: only the days it counts on
    are looked at.
    """
    days = sorted({version.from_day for rule in rules.values() for version in rule.versions})
    if until:
        days = [machine.revision, *(day for day in days if machine.revision < day < until)]
    starts = _starts(rules)
    ever_given: set[tuple[str, str]] = set()
    reported: set[tuple[str, ...]] = set()
    for day, (length, slug) in product(days, machine.booms.items()):
        given = rulebook.given(rules.values(), machine, length, day)
        ever_given |= {(each.rule.id, name) for name, by_rules in given.items() for each in by_rules}
        begun = {name for name in starts if starts[name] <= day}
        case = f"for {machine.id} {slug} from {day}"
        for key, problem in chain(
            _missing(machine, given, document, case, begun.union(rule_values.READ.difference(starts))),
            _given_twice(given, rule_documents, case),
            _ordered(given, rule_documents, case),
        ):
            if key not in reported:
                reported.add(key)
                yield problem
    if not until:
        yield from _other_regime(machine, document, rules, days[-1], next(iter(machine.booms)))
    for i, entry in enumerate(machine.overrides):
        if (entry.rule, entry.value) not in ever_given:
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
) -> Iterator[Problem]:
    """Ropes are judged under both regimes, whichever the machine follows."""
    (other,) = rule_values.BY_REGIME.keys() - {machine.rulebook}
    given = rulebook.given(rules.values(), replace(machine, rulebook=other), boom_length, day)
    for name in rule_values.BY_REGIME[other]:
        if name not in given:
            text = f"no rule gives {name} for the inspection of {machine.id} under {other}; add a rule or widen one"
            yield document.problem((), text)


def _missing(machine: Machine, given: _Given, document: Document, case: str, begun: set[str]) -> _Keyed:
    wanted = {
        *rulebook.needed(machine, given).values(),
        *rule_values.FOR_THE_CHECK,
        *rule_values.FOR_EVERYDAY_WORK,
        *rule_values.FOR_A_LIFT,
        *rule_values.FOR_INSPECTION,
        *rule_values.BY_REGIME[machine.rulebook],
        *rule_values.FOR_A_ROPE_CHANGE,
        *rule_values.FOR_THE_REVIEW,
        *rule_values.FOR_LASTING,
    }
    for name in sorted(wanted):
        if name not in given and name in begun:
            text = f"no rule gives {name} {case}; add a rule or widen the applies of one"
            yield ("missing", name), document.problem((), text)


def _given_twice(given: _Given, documents: Mapping[str, Document], case: str) -> _Keyed:
    for name in given:
        alike = rule_values.FREEBOARD if name in rule_values.FREEBOARD else (name,)
        (_, first), *others = ((other, each) for other in alike for each in given.get(other, ()))
        for other, again in others:
            text = f"{case} also given by {first.rule.id}; narrow the applies of one"
            yield (name, first.rule.id, again.rule.id), _at(again, other, documents, text)


def _ordered(given: _Given, documents: Mapping[str, Document], case: str) -> _Keyed:
    for low, high in ORDERED:
        if low not in given or high not in given:
            continue
        lower, upper = given[low][0], given[high][0]
        if lower.quantity > upper.quantity:
            text = f"{case} is above {high} of {upper.rule.id}; it may not be"
            yield (low, high), _at(lower, low, documents, text)


def _at(given: rulebook.Given, name: str, documents: Mapping[str, Document], text: str) -> Problem:
    place = ("versions", given.rule.versions.index(given.version), "values", name)
    return documents[given.rule.id].problem(place, text)
