"""Which rules apply to one machine and boom length on one day, the values a plan takes from them, and where the
versions of a rule stand on a day.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Any

from jsonschema import Draft202012Validator

from calc.data.model import Machine, Rule, RuleUse, RuleVersion
from calc.data.rule_values import BY_REGIME, CHOSEN, FREEBOARD, Values
from calc.fields import RuleNamed, Standing
from calc.formulas import drum, rope

Facts = Mapping[str, Any]

# Facts that are not known before a plan is computed: no rule the planner reads may ask for them.
UNKNOWN_BEFORE_PLANNING = frozenset({"falls"})

# Rules that the state of a drum and the readiness for a lift name by their id: what makes winding firm due, what a
# verdict rests on, which falls are advised, what a lift near the chart asks for.
NAMED = (
    "due-after-light-work",
    "due-after-slack",
    "due-after-unwinding",
    "due-new-rope",
    "falls-for-lifting",
    "firm-tension",
    "re-reeving-for-a-lift",
    "set-down-place",
    "unreached-rope",
)


@dataclass(frozen=True)
class Given:
    """One value as a rule in force gives it, or as the machine's own manual overrides it."""

    rule: Rule
    version: RuleVersion
    quantity: float

    @property
    def cited(self) -> RuleNamed:
        """The rule as published data names it."""
        return {"id": self.rule.id, "code": self.rule.code}


class Missing(Exception):
    """No rule gives these values."""

    def __init__(self, names: list[str]) -> None:
        self.names = names
        more = f" and {len(names) - 1} more" if names[1:] else ""
        super().__init__(f"{names[0]}{more}")


@dataclass(frozen=True)
class Change:
    """One value that a version changed, as the files write it; None where it is new or gone."""

    name: str
    before: str | None
    after: str | None


def standing(rule: Rule, version: RuleVersion, day: str) -> Standing:
    """Where a `version` of a `rule` stands on a `day`: announced, in-force, superseded by a newer one, or withdrawn."""
    if version.from_day > day:
        return "announced"
    if version.withdrawn:
        return "withdrawn"
    return "in-force" if version is rule.at(day) else "superseded"


def announced(rule: Rule, day: str) -> tuple[RuleVersion, ...]:
    """The versions of a `rule` that begin after a `day`, the next one first."""
    return tuple(version for version in reversed(rule.versions) if version.from_day > day)


def until(rule: Rule, version: RuleVersion) -> str | None:
    """First day a `version` of a `rule` no longer counts, None for the newest."""
    at = rule.versions.index(version)
    return rule.versions[at - 1].from_day if at else None


def number(rule: Rule) -> int:
    """The number in the code of a `rule`, by which rules are listed: R11 before R100."""
    return int(rule.code[1:])


def day_before(day: str) -> str:
    """The day before a `day`, both as ISO text.

    >>> day_before("2027-03-01")
    '2027-02-28'
    """
    return (datetime.date.fromisoformat(day) - datetime.timedelta(days=1)).isoformat()


def changes(rule: Rule, version: RuleVersion) -> tuple[Change, ...]:
    """The values a `version` of a `rule` changed against the one before it; none for the first version."""
    older = rule.versions[rule.versions.index(version) + 1 :]
    if not older:
        return ()
    before, after = older[0].texts, version.texts
    names = dict.fromkeys((*before, *after))
    return tuple(Change(n, before.get(n), after.get(n)) for n in names if before.get(n) != after.get(n))


def facts(machine: Machine, boom_length: float, layers: int | None = None) -> dict[str, Any]:
    """What rules may ask about a `machine` at a `boom_length` [m]; `layers` only once the rise ratio is known."""
    known: dict[str, Any] = {
        "boom_kind": machine.kind,
        "boom_length_m": boom_length,
        "rope_rotation_resistant": machine.rope.rotation_resistant,
        "rulebook": machine.rulebook,
    }
    return known if layers is None else known | {"layers": layers}


def applies(version: RuleVersion, known: Facts) -> bool:
    """Whether every fact the `version` asks for is `known` and matches its JSON Schema fragment."""
    asked = version.applies
    if not asked:
        return True
    return asked.keys() <= known.keys() and _matches(json.dumps(asked), tuple(known[name] for name in asked))


@lru_cache(maxsize=4096)
def _matches(fragments: str, values: tuple[Any, ...]) -> bool:
    """Whether values match their JSON Schema fragments; every boom of every machine asks the same again."""
    asked = json.loads(fragments)
    return bool(Draft202012Validator({"properties": asked}).is_valid(dict(zip(asked, values, strict=True))))


def in_force(rules: Iterable[Rule], known: Facts, day: str) -> Iterator[tuple[Rule, RuleVersion]]:
    """The `rules` that apply to the facts `known` on a `day`, each in the version of that day."""
    for rule in rules:
        version = rule.at(day)
        if version and not version.withdrawn and applies(version, known):
            yield rule, version


@dataclass(frozen=True)
class Difference:
    """One value that the regimes do not give alike: the rules that give it, by regime."""

    name: str
    given: Mapping[str, tuple[Given, ...]]


def differences(rules: Iterable[Rule], day: str) -> list[Difference]:
    """The values of all `rules` in force on a `day` that hold under one regime only, or otherwise under the other one.

    The two kinds of freeboard are one value.
    """
    by_name: dict[str, dict[str, list[Given]]] = {}
    for rule in sorted(rules, key=number):
        version = rule.at(day)
        asked = version.applies.get("rulebook") if version and not version.withdrawn else None
        if version is None or asked is None:
            continue
        under = [regime for regime in BY_REGIME if _matches(json.dumps({"rulebook": asked}), (regime,))]
        for name, quantity in version.values.items():
            by_regime = by_name.setdefault("freeboard" if name in FREEBOARD else name, {})
            for regime in under:
                by_regime.setdefault(regime, []).append(Given(rule, version, quantity))
    listed = [Difference(name, {r: tuple(by.get(r, ())) for r in BY_REGIME}) for name, by in by_name.items()]
    return [difference for difference in listed if len({_alike(each) for each in difference.given.values()}) > 1]


def _alike(given: tuple[Given, ...]) -> frozenset[tuple[float, str]]:
    """What a regime gives: every quantity with what it asks for besides."""
    return frozenset(
        (each.quantity, json.dumps({k: v for k, v in each.version.applies.items() if k != "rulebook"}, sort_keys=True))
        for each in given
    )


def given(rules: Iterable[Rule], machine: Machine, boom_length: float, day: str) -> dict[str, list[Given]]:
    """Every value that `rules` give for a `machine` and `boom_length` [m] on a `day`, with all the rules giving it."""
    rules = list(rules)
    known = facts(machine, boom_length)
    name = _rise_ratio_name(machine)
    about_rise = [rule for rule in rules if any(name in version.values for version in rule.versions)]
    rise = _collect(about_rise, machine, known, day).get(name)
    if rise:
        known = facts(machine, boom_length, len(drum_layers(machine, rise[0].quantity)))
    return _collect(rules, machine, known, day)


def _collect(rules: list[Rule], machine: Machine, known: Facts, day: str) -> dict[str, list[Given]]:
    manual = {(o.rule, o.value): o.quantity for o in machine.overrides}
    values: dict[str, list[Given]] = {}
    for rule, version in in_force(rules, known, day):
        for name, quantity in version.values.items():
            if name in version.informative:
                continue
            values.setdefault(name, []).append(Given(rule, version, manual.get((rule.id, name), quantity)))
    return values


def drum_layers(machine: Machine, rise_ratio: float) -> tuple[drum.Layer, ...]:
    """The layers the rope of a `machine` needs on its drum at this `rise_ratio` [-]."""
    d, rope = machine.drum, machine.rope
    return drum.layers(
        d.groove_root_diameter, rope.diameter, rise_ratio, d.wraps_odd_layers, d.wraps_even_layers, rope.length
    )


def needed(machine: Machine, given: Mapping[str, Any]) -> dict[str, str]:
    """For each field of `Values`, the name of the rule value it is read from for this `machine`.

    `given` holds the values that rules give: which of the two kinds of freeboard is known only from it.
    """
    names = {field.name: field.name for field in fields(Values) if field.name not in CHOSEN}
    if machine.winch.drag is not None:
        del names["drum_drag"]
    names["sheave_efficiency"] = f"{machine.reeving.bearings}_efficiency"
    names["rise_ratio"] = _rise_ratio_name(machine)
    names["rope_modulus"] = f"modulus_{rope.core(machine.rope.construction)}_core"
    names["freeboard"] = next((name for name in FREEBOARD if name in given), FREEBOARD[0])
    return names


def _rise_ratio_name(machine: Machine) -> str:
    return "rise_ratio_" + machine.drum.surface.replace("-", "_")


def resolve(
    rules: Iterable[Rule], machine: Machine, boom_length: float, day: str
) -> tuple[Values, tuple[RuleUse, ...]]:
    """The values of one plan, and the rules they come from by code.

    Parameters
    ----------
    rules : every rule
    machine, boom_length : what the plan is for; the length in [m]
    day : whose rules count, YYYY-MM-DD

    Returns: (values, rules used).  Errors: Missing, naming what no rule gives.
    """
    by_name = given(rules, machine, boom_length, day)
    names = needed(machine, by_name)
    missing = sorted(name for name in names.values() if name not in by_name)
    if missing:
        raise Missing(missing)
    read: dict[str, Any] = {field: by_name[name][0].quantity for field, name in names.items()}
    if machine.winch.drag is not None:
        read["drum_drag"] = machine.winch.drag
    if names["freeboard"] == "freeboard_diameters":
        read["freeboard"] *= machine.rope.diameter
    used = {by_name[name][0].rule.code: by_name[name][0] for name in names.values()}
    uses = tuple(RuleUse(use.rule.id, code, use.version.from_day) for code, use in sorted(used.items()))
    return Values(**read), uses


def value(rules: Iterable[Rule], machine: Machine, boom_length: float, day: str, name: str) -> float:
    """One value that a rule in force gives, or the machine's manual in its place.

    Parameters
    ----------
    rules : every rule
    machine, boom_length : what it holds for; the length in [m]
    day : whose rules count, YYYY-MM-DD
    name : of the value

    Returns: the value in SI.  Errors: Missing.
    """
    by_rules = given(rules, machine, boom_length, day).get(name)
    if not by_rules:
        raise Missing([name])
    return by_rules[0].quantity
