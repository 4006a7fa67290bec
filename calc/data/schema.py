"""The schemas of the data files at work: plain messages for what does not match.

rules/schema/*.schema.json is written from the declared fields.  Editors use it as it stands; here the same file drives
the check: the keyword `quantity` names the kind of a quantity, `above`, `least` and `most` its limits as quantities,
`day` a calendar day.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from difflib import get_close_matches
from functools import cache
from typing import Any

from jsonschema import Draft202012Validator, ValidationError, validators

from calc import ROOT
from calc.data import days, units
from calc.data.files import Document, Problem

FOLDER = ROOT / "rules/schema"

Schema = dict[str, Any]
_Found = Iterator[ValidationError]


@cache
def schema(name: str) -> Schema:
    """One schema by name (machine, yard, rule) with every `$ref` written out."""
    shared = _json("quantities")["$defs"]
    whole: Schema = _written_out(_json(name), shared)
    return whole


def _json(name: str) -> Schema:
    loaded: Schema = json.loads((FOLDER / f"{name}.schema.json").read_text(encoding="utf-8"))
    return loaded


def _written_out(node: Any, shared: Schema) -> Any:
    if isinstance(node, list):
        return [_written_out(entry, shared) for entry in node]
    if not isinstance(node, dict):
        return node
    node = shared[node["$ref"].rpartition("/")[2]] | node if "$ref" in node else node
    return {key: _written_out(value, shared) for key, value in node.items() if key != "$ref"}


@cache
def page_names(*places: str) -> tuple[str, ...]:
    """Names of the pages of these places, which no id of the data beside them may have: rules, crane, plan.

    >>> page_names("rules", "plan")
    ('profiles', 'briefing', 'sheet', 'working', 'plan')
    """
    known: dict[str, list[str]] = json.loads((FOLDER / "pages.json").read_text(encoding="utf-8"))
    return tuple(name for place in places for name in known[place])


@cache
def _validator(name: str) -> Any:
    return _Plain(schema(name))


def problems(document: Document, name: str) -> list[Problem]:
    """Everything in a document that does not match the schema of this `name`, in plain words."""
    errors = _validator(name).iter_errors(document.data)
    return [document.problem(tuple(error.absolute_path), error.message) for error in errors]


def field_text(name: str, field: str, value: Any) -> str | None:
    """What is wrong with a `value` for a `field` on top of the schema of this `name`, or None.

    >>> field_text("machine", "id", "osprey"), field_text("machine", "kind", "tower")
    (None, "'tower' is not known; write one of: telescopic lattice")
    """
    error = next(_Plain(schema(name)["properties"][field]).iter_errors(value), None)
    return error.message if error else None


def value_text(name: str, quantity: Any) -> str | None:
    """What is wrong with a quantity written for a rule value of this name, or None."""
    error = next(_Plain(_rule_value(name)).iter_errors(quantity), None)
    return error.message if error else None


def value_description(name: str) -> str | None:
    """What a rule value of this `name` is, as the schema says; None for one it does not describe.

    >>> value_description("dead_wraps")
    'Wraps that always stay on the drum'
    """
    found: str | None = _values()["properties"].get(name, {}).get("description")
    return found


def known_values() -> frozenset[str]:
    """Names of rule values the rule schema describes one by one: the ones the calculation reads.

    >>> "minimum_share" in known_values()
    True
    """
    return frozenset(_values()["properties"])


def _values() -> Schema:
    node: Schema = schema("rule")["properties"]["versions"]["items"]["properties"]["values"]
    return node


def _rule_value(name: str) -> Schema:
    node: Schema = _values()["properties"].get(name, _values()["additionalProperties"])
    return node


# Keywords: each yields errors that already say what is wrong and what to write.

_TYPES = {
    "object": "lines of the form name: value",
    "array": "a list",
    "string": "text",
    "integer": "a whole number without a unit",
    "number": "a plain number without a unit",
    "boolean": "true or false",
}


def _expected(node: Schema) -> str:
    """What belongs here, for messages."""
    if "quantity" in node:
        return "a number, a space and a unit, or a bare count" if node["quantity"] == "any" else _how(node)
    if "enum" in node:
        return f"one of: {' '.join(map(_plain, node['enum']))}"
    return _TYPES.get(node.get("type", ""), "a value")


def _how(node: Schema) -> str:
    return units.how(node["quantity"])


def _plain(value: Any) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _shown(value: Any) -> str:
    if isinstance(value, dict):
        return "a block of lines"
    return "a list" if isinstance(value, list) else f"'{_plain(value)}'"


def _type(validator: Any, wanted: Any, instance: Any, node: Schema) -> _Found:
    if "quantity" not in node and not validator.is_type(instance, wanted):
        yield ValidationError(f"{_shown(instance)} does not belong here; write {_expected(node)}")


def _quantity(validator: Any, kind: str, instance: Any, node: Schema) -> _Found:
    if isinstance(instance, list) and "items" in node:
        return  # one quantity or a list of them; `items` looks at each
    if isinstance(instance, (dict, list, bool)):
        yield ValidationError(f"{_shown(instance)} does not belong here; write {_expected(node)}")
        return
    try:
        if kind != "any":
            units.read(str(instance), kind)
        elif isinstance(instance, str):
            units.kind_of(instance)
    except ValueError as error:
        yield ValidationError(str(error))


def _limit(sign: str, words: str) -> Any:
    def keyword(validator: Any, limit: str, instance: Any, node: Schema) -> _Found:
        try:
            value, bound = units.read(str(instance), node["quantity"]), units.read(limit, node["quantity"])
        except ValueError:
            return  # `quantity` says so
        if not {">": value > bound, ">=": value >= bound, "<=": value <= bound}[sign]:
            yield ValidationError(f"'{instance}' is out of range; write a value {words} {limit}")

    return keyword


def _day(validator: Any, wanted: bool, instance: Any, node: Schema) -> _Found:
    if not isinstance(instance, str):
        return
    try:
        days.parse(instance)
    except days.Far as far:
        yield ValidationError(str(far))
    except ValueError:
        yield ValidationError(f"'{instance}' is no calendar day; write year-month-day in quotes, like \"2026-11-02\"")


def _pattern(validator: Any, pattern: str, instance: Any, node: Schema) -> _Found:
    # the whole text: "$" alone also stands before a last line end
    if "quantity" in node or "day" in node or not isinstance(instance, str) or re.fullmatch(pattern, instance):
        return
    yield ValidationError(f"'{instance}' is not written as it must be; write {_form(pattern, node)}")


def _form(pattern: str, node: Schema) -> str:
    """How a text must look: as the shared definition of its pattern says, else as the field itself does."""
    shared = _json("quantities")["$defs"].values()
    said = next((each["description"] for each in shared if each.get("pattern") == pattern), None)
    return f"{said[0].lower()}{said[1:]}" if said else str(node["description"])


def _enum(validator: Any, allowed: list[Any], instance: Any, node: Schema) -> _Found:
    if instance not in allowed:
        yield ValidationError(f"{_shown(instance)} is not known; write {_expected(node)}")


def _required(validator: Any, names: list[str], instance: Any, node: Schema) -> _Found:
    for name in names if isinstance(instance, dict) else ():
        if name not in instance:
            wanted = _expected(node.get("properties", {}).get(name, {}))
            yield ValidationError(f"is missing; add it: {wanted}", path=(name,))


def _additional(validator: Any, rest: Any, instance: Any, node: Schema) -> _Found:
    known = node.get("properties", {})
    for name in instance if isinstance(instance, dict) else ():
        if name in known:
            continue
        if rest is not False:
            yield from validator.descend(instance[name], rest, path=name)
            continue
        close = get_close_matches(name, known, 1)
        advice = f"did you mean {close[0]}?" if close else f"known here: {' '.join(known)}"
        yield ValidationError(f"is not known here; {advice}", path=(name,))


def _property_names(validator: Any, names: Schema, instance: Any, node: Schema) -> _Found:
    for name in instance if isinstance(instance, dict) else ():
        yield from validator.descend(name, names, path=name)


def _one_of(validator: Any, branches: list[Schema], instance: Any, node: Schema) -> _Found:
    """Only used for "exactly one of these names"."""
    names = [branch["required"][0] for branch in branches]
    count = sum(name in instance for name in names) if isinstance(instance, dict) else 1
    if count != 1:
        yield ValidationError(f"{'two' if count else 'none'} of these stand here; write exactly one: {' '.join(names)}")


def _bound(sign: str, words: str) -> Any:
    def keyword(validator: Any, limit: float, instance: Any, node: Schema) -> _Found:
        if not validator.is_type(instance, "number"):
            return
        if not {">": instance > limit, ">=": instance >= limit, "<=": instance <= limit}[sign]:
            yield ValidationError(f"{instance} is out of range; write a number {words} {limit}")

    return keyword


def _items(validator: Any, items: Any, instance: Any, node: Schema) -> _Found:
    if items is not False:  # beside prefixItems; `maxItems` says so in plain words
        yield from Draft202012Validator.VALIDATORS["items"](validator, items, instance, node)


def _entries(found: list[Any]) -> str:
    return "1 entry" if len(found) == 1 else f"{len(found) or 'no'} entries"


def _min_items(validator: Any, least: int, instance: Any, node: Schema) -> _Found:
    if isinstance(instance, list) and len(instance) < least:
        yield ValidationError(f"has {_entries(instance)}; it needs at least {least}: {node['description']}")


def _max_items(validator: Any, most: int, instance: Any, node: Schema) -> _Found:
    if isinstance(instance, list) and len(instance) > most:
        words = "exactly" if node.get("minItems") == most else "at most"
        yield ValidationError(f"has {_entries(instance)}; write {words} {most}: {node['description']}")


def _min_length(validator: Any, least: int, instance: Any, node: Schema) -> _Found:
    if isinstance(instance, str) and len(instance.strip()) < least:
        yield ValidationError(f"is empty; write {_expected(node)}")


def _min_properties(validator: Any, least: int, instance: Any, node: Schema) -> _Found:
    if isinstance(instance, dict) and len(instance) < least:
        yield ValidationError(f"is empty; write at least one of: {' '.join(node['properties'])}")


KEYWORDS = {
    "type": _type,
    "quantity": _quantity,
    "above": _limit(">", "above"),
    "least": _limit(">=", "not below"),
    "most": _limit("<=", "not above"),
    "day": _day,
    "pattern": _pattern,
    "enum": _enum,
    "required": _required,
    "additionalProperties": _additional,
    "propertyNames": _property_names,
    "oneOf": _one_of,
    "minimum": _bound(">=", "not below"),
    "maximum": _bound("<=", "not above"),
    "exclusiveMinimum": _bound(">", "above"),
    "minItems": _min_items,
    "maxItems": _max_items,
    "minLength": _min_length,
    "minProperties": _min_properties,
    "items": _items,
    "prefixItems": Draft202012Validator.VALIDATORS["prefixItems"],
    "properties": Draft202012Validator.VALIDATORS["properties"],
}

# Only these keywords exist for our schemas: one that is not listed would be skipped in silence (a test looks).
_Plain: Any = validators.create(
    Draft202012Validator.META_SCHEMA, KEYWORDS, type_checker=Draft202012Validator.TYPE_CHECKER
)
