"""The JSON Schemas of the data files and of what is published, written from the fields as they are declared.

    python -m hooks.building.schemas          writes every file
    python -m hooks.building.schemas --check  names the files that are not what would be written

Only for who changes a field: the site and the calculation read the files as they are committed.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field, is_dataclass
from typing import Annotated, Any, Literal, NotRequired, Required, get_args, get_origin, get_type_hints, is_typeddict

from calc import ROOT, fleet_fields
from calc.data import declared, model
from calc.data.entries import Upkeep
from calc.data.tables import RopeTable
from calc.data.yard import Yard
from calc.drum_log import drum_fields
from calc.fields import InOrder, Is, LoadReturn
from calc.inspection import rope_fields
from calc.intake.record_fields import Record
from calc.winding import plan_fields
from calc.winding.codes import RefusalCode
from hooks.feed import feed_fields

Node = dict[str, Any]

SI = "SI values, unrounded, printed to six decimals; null where not applicable."
NAMES = {str: "string", float: "number", int: "integer", bool: "boolean"}


@dataclass(frozen=True)
class File:
    """One schema: where it stands, the declaration it is of, what it says of itself.  `depth`: folders from data/v1/ to
    the file that names it, None for what has no file of its own; what is `always` read as a file always names it.
    `parts` are written once and referred to by name, `others` have a schema of their own."""

    place: str
    of: Any
    title: str
    description: str
    depth: int | None
    parts: Mapping[str, Any] = field(default_factory=dict)
    always: bool = False
    others: Mapping[Any, str] = field(default_factory=dict)

    @property
    def path(self) -> str:
        """Where the file stands in the repository."""
        return f"{self.place}.schema.json"


PLAN_PARTS = {
    "refusal": RefusalCode,
    "move": plan_fields.MoveName,
    "load_return": LoadReturn,
    "one_move": plan_fields.Move,
    "pass": plan_fields.Pass,
    "method": plan_fields.Method,
}
READY_PARTS = {
    "at": drum_fields.HookAt,
    "kept": drum_fields.Kept,
    "lift": drum_fields.Lift,
    "place": drum_fields.OnDrum,
    "re_reeving": drum_fields.ReReeving,
    "row": drum_fields.Row,
}
FILES = (
    File("rules/schema/plan", plan_fields.Plan, "A winding plan", SI, 2, PLAN_PARTS),
    File(
        "rules/schema/state",
        drum_fields.DrumState,
        "The state of a drum",
        f"{SI} Computed from the log of the rope.",
        1,
        {"stretch": drum_fields.LaidAlike},
    ),
    File(
        "rules/schema/ready",
        drum_fields.Readiness,
        "Readiness for a heavy lift",
        f"{SI} The load is picked at the radius asked for, as the crew reads it; where none is, at the largest listed "
        "one that carries it: the lower the boom head, the more rope it bears on. The bed is judged by the tension at "
        "which its rope was laid; no limit is published for the ratio of line pull to that tension.",
        None,
        READY_PARTS,
    ),
    File(
        "hooks/schema/lifts",
        drum_fields.Lifts,
        "Readiness for heavy lifts with one boom length",
        f"{SI} Six to ten loads in round steps, up to what the boom can lift from the ground in this configuration.",
        2,
        others={drum_fields.Readiness: "ready.schema.json"},
    ),
    File(
        "rules/schema/work",
        drum_fields.EverydayWork,
        "Everyday work",
        f"{SI} The hook goes from just above the ground to the upper stop at the steepest listed radius: the highest "
        "boom head, the least tension.",
        1,
        {"laid": drum_fields.Laid},
    ),
    File(
        "rules/schema/fleet",
        fleet_fields.Fleet,
        "The fleet at a glance",
        f"{SI} What needs doing first stands first.",
        0,
    ),
    File(
        "rules/schema/fitness",
        rope_fields.Fitness,
        "The fitness of a rope",
        f"{SI} Computed from readings, rules and tables. Nothing here decides: a competent person does.",
        1,
    ),
    File("rules/schema/new-rope", rope_fields.NewRope, "Fitting a new rope", SI, 1),
    File("rules/schema/shortening", rope_fields.Shortening, "Shortening a rope", SI, 1),
    File(
        "hooks/schema/machine",
        feed_fields.Machine,
        "data/v1/machines/<id>.json",
        "One crane: its data in SI and its plans.",
        1,
        always=True,
    ),
    File(
        "hooks/schema/machines",
        feed_fields.Machines,
        "data/v1/machines.json",
        "All cranes with the addresses of their pages and data.",
        0,
        always=True,
    ),
    File(
        "hooks/schema/rules",
        feed_fields.Rules,
        "data/v1/rules.json",
        "All rules with all their versions, newest first.",
        0,
        always=True,
    ),
    File(
        "hooks/schema/upkeep",
        feed_fields.Upkeep,
        "The log of one hoist rope",
        f"{SI} All that the state of the drum and the fitness of the rope are computed from, beside the crane's data "
        "and the rules. The same as a table: the file beside it that ends in csv.",
        1,
    ),
    File(
        "hooks/schema/row",
        feed_fields.Row,
        "One line of the log of a hoist rope as a table",
        "The columns of the CSV file in their order; a cell that does not apply is empty. SI values. A text that a "
        "spreadsheet would take for a formula begins with an apostrophe.",
        None,
    ),
)


# The data files: what is declared, title, what it describes.
INPUTS = {
    "machine": (model.Machine, "A machine: one winch of one crane", "rules/machines/<id>.yaml"),
    "yard": (Yard, "A yard: the weights and slings at hand", "rules/yards/<id>.yaml"),
    "rule": (model.Rule, "A rule of the rulebook", "rules/rulebook/<id>.yaml"),
    "table": (RopeTable, "A table the inspection of ropes rests on", "rules/tables/<id>.yaml"),
    "upkeep": (
        Upkeep,
        "The log of one hoist rope: what was done with it, and what was read at it",
        "rules/upkeep/<id>.yaml",
    ),
    "addresses": (model.Addresses, "Addresses that lead to other pages", "rules/addresses.yaml"),
    "site": (model.Site, "What the site follows", "rules/site.yaml"),
    "record": (
        Record,
        "The record of one run sheet, as a phone exports it",
        "Read by `python -m calc upkeep add`; what is under log goes into rules/upkeep/<id>.yaml and is checked as "
        "that file is",
    ),
}


def quantities() -> Node:
    """The schema that those of the data files refer to."""
    return {
        "title": "Quantities and small texts used by every data file",
        "description": "A quantity is text: a plain number, one space, a unit of the closed list. The keyword quantity "
        "names its kind; above, least and most are limits written as quantities. calc.units reads and converts them.",
        "$defs": {one.name: {"description": one.description, **one.keywords} for one in declared.shared()},
    }


def texts() -> dict[str, str]:
    """Every schema by its place, as its file holds it."""
    of_data = {name: {"title": title, "description": said, **block(of)} for name, (of, title, said) in INPUTS.items()}
    return {file.path: text(file) for file in FILES} | {
        f"rules/schema/{name}.schema.json": _printed(whole)
        for name, whole in {**of_data, "quantities": quantities()}.items()
    }


def _printed(whole: Node) -> str:
    dialect = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return json.dumps(dialect | whole, indent=2, ensure_ascii=False) + "\n"


def text(file: File) -> str:
    """One schema of what is published, as its file holds it."""
    refs = {part: f"#/$defs/{name}" for name, part in file.parts.items()} | {**file.others}
    name = file.path.rpartition("/")[2]
    whole: Node = {} if file.always else {"$id": name}
    whole |= {"title": file.title, "description": file.description} | written(file.of, refs)
    if file.depth is not None:
        said = "address of the schema of this file, seen from this file"
        said += "" if file.always else "; only in the published file"
        address = f"{'../' * file.depth}schema/{name}"
        whole["properties"] = {"$schema": {"description": said, "const": address}} | whole["properties"]
        whole["required"] = ["$schema"] * file.always + whole["required"]
    if file.parts:
        whole["$defs"] = {name: written(part, refs) for name, part in file.parts.items()}
    return _printed(whole)


def node(form: Any, refs: Mapping[Any, str]) -> Node:
    """The schema of one declared type; what `refs` names stands as a reference."""
    if form in refs:
        return {"$ref": refs[form]}
    return written(form, refs)


def written(form: Any, refs: Mapping[Any, str]) -> Node:
    """The same written out."""
    origin, parts = get_origin(form), get_args(form)
    if is_typeddict(form):
        return _object(form, refs)
    if origin in (NotRequired, Required):
        return node(parts[0], refs)
    if origin is Annotated:
        said = [{"description": _whole(one, parts[0])} for one in parts[1:] if isinstance(one, str)][-1:]
        keywords = {name: value for one in parts[1:] if isinstance(one, Is) for name, value in one.items()}
        inner = node(parts[0], refs)
        for mark in parts[1:]:
            if isinstance(mark, InOrder):
                forms = mark or (*get_args(parts[0]), *get_args(parts[0]))
                inner = {"type": "array", "prefixItems": [node(one, refs) for one in forms]}
                keywords = {"items": False, "minItems": len(forms)} | keywords
        return (said[0] if said else {}) | inner | keywords
    if origin is Literal:
        return {"const": parts[0]} if len(parts) == 1 else {"enum": list(parts)}
    if origin is list:
        return {"type": "array", "items": node(parts[0], refs)}
    if origin is dict:
        return {"type": "object", "additionalProperties": node(parts[1], refs)}
    if parts:
        return _one_of(parts, refs)
    return {"type": NAMES[form]}


def _whole(description: str, form: Any) -> str:
    """A description; what may be null and does not say why is null where there is nothing to say.

    >>> _whole("mass of the block [kg]", float | None)
    'mass of the block; null where it does not apply or is not known [kg]'
    """
    if type(None) not in get_args(form) or "null" in description:
        return description
    words, unit, rest = description.partition(" [")
    return f"{words}; null where it does not apply or is not known{unit}{rest}"


def _one_of(forms: tuple[Any, ...], refs: Mapping[Any, str]) -> Node:
    """One of several types, None among them as null."""
    found = [{"type": "null"} if one is type(None) else node(one, refs) for one in forms]
    plain = [one for one in found if one.get("type") in {*NAMES.values(), "null"}]
    if len(plain) < len(found):
        return {"anyOf": found}
    return {key: value for one in reversed(found) for key, value in one.items()} | {
        "type": [one["type"] for one in found]
    }


def _object(form: Any, refs: Mapping[Any, str]) -> Node:
    hints = get_type_hints(form, include_extras=True)
    required = [name for name in hints if name in form.__required_keys__]
    found: Node = {"type": "object", "properties": {name: node(one, refs) for name, one in hints.items()}}
    return found | ({"required": required} if required else {}) | {"additionalProperties": False}


def block(kind: Any) -> Node:
    """The schema of one block of a data file: the fields of a declared class."""
    whole = _closed({})
    for name, form in declared.declared(kind).items():
        at, several = form.mark(declared.At), form.mark(declared.Fields)
        path: tuple[str, ...] = at.path if at else () if several else (name,)
        around, forms = (path, form.fields) if several else (path[:-1], {path[-1]: form})
        here: Node = whole
        for step in around:
            if step not in here["properties"]:
                here["properties"][step] = {"description": at.block if at else "", **_closed({})}
                here["required"].append(step)
            here = here["properties"][step]
        inside = _closed(forms)
        here["properties"] |= inside["properties"]
        if several and several.one:
            here["oneOf"] = [{"required": [one]} for one in forms]
        else:
            here["required"] += inside["required"]
    return whole


def _closed(forms: Mapping[str, Any]) -> Node:
    """An object of these fields and no others."""
    fields = {name: declared.opened(form) for name, form in forms.items()}
    return {
        "type": "object",
        "properties": {name: _field(form) for name, form in fields.items()},
        "required": [name for name, form in fields.items() if not form.optional],
        "additionalProperties": False,
    }


def _field(form: declared.Form) -> Node:
    """The schema of one field of a data file."""
    said = [{"description": one} for one in form.marks if isinstance(one, str)][-1:]
    words = {name: value for one in form.marks if isinstance(one, Is) for name, value in one.items()}
    kind = form.mark(declared.Shared)
    if kind:
        return {"$ref": f"quantities.schema.json#/$defs/{kind.name}", **(said[0] if said else {}), **words}
    return (said[0] if said else {}) | ({} if "enum" in words else _form(form)) | words


def _form(form: declared.Form) -> Node:
    named, asks, origin, parts = (
        form.mark(declared.Named), form.mark(declared.Asks), get_origin(form.type), get_args(form.type),
    )  # fmt: skip
    if named and named.others:
        found = _closed(named.forms) | {"additionalProperties": _field(declared.opened(named.others))}
        del found["required"]
        return found | {"propertyNames": _field(declared.opened(named.names))}
    if named:
        return _closed(named.forms)
    if asks:
        return _condition(_field(declared.opened(asks.form)))
    if is_dataclass(form.type) or is_typeddict(form.type):
        return block(form.type)
    if origin is Literal:
        return {"enum": list(parts)}
    if origin is tuple and parts[1] is not ...:
        each = [_field(declared.opened(part)) for part in parts]
        number = {"minItems": len(each), "maxItems": len(each)}
        alike = all(one == each[0] for one in each)
        entries = {"items": each[0]} | number if alike else {"prefixItems": each} | number | {"items": False}
        return {"type": "array", **entries}
    if origin in (tuple, list, frozenset):
        return {"type": "array"} | ({} if parts[0] is Any else {"items": _field(declared.opened(parts[0]))})
    return {"type": NAMES[form.type]}


def _condition(fact: Node) -> Node:
    """What a rule may ask of a fact: one value, one of several, bounds of a number."""
    bounds = ("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum") if "type" in fact else ()
    several = {"description": "Any of these", "type": "array", "items": fact, "minItems": 1}
    properties = {"const": fact, **dict.fromkeys(bounds, fact), "enum": several}
    return _closed({}) | {"properties": properties, "minProperties": 1}


def main(arguments: list[str]) -> int:
    """Write every schema, or with --check name those that are not as they would be written."""
    stale = {path: new for path, new in texts().items() if (ROOT / path).read_text(encoding="utf-8") != new}
    for path, new in stale.items():
        if "--check" not in arguments:
            (ROOT / path).write_text(new, encoding="utf-8")
        print(path)
    return int(bool(stale) and "--check" in arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
