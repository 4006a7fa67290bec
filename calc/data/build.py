"""Model objects from checked data: each field read as it is declared, every quantity as an SI float."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from math import hypot
from typing import Any, TypeVar, get_args, get_origin

from calc.data import units
from calc.data.declared import AnyQuantity, At, Form, Named, declared, keywords, opened
from calc.data.entries import Entry, Place, PreTensioning, Upkeep, Work
from calc.data.model import Block, Boom, Chart, Jib, Machine, Override, Profile, Rule, RuleVersion
from calc.data.rule_values import FORMS
from calc.data.tables import Bands, BrokenWiresRow, Copy, Criterion, RopeTable, Source, TableVersion, Verdict
from calc.data.yard import Weight, Yard
from calc.fields import RopeEnd

X = TypeVar("X")
_Data = Mapping[str, Any]
_Read = Callable[[Any], Any]


def slug(boom_length: str) -> str:
    """A `boom_length` as written, as part of an address, in the unit of the data.

    >>> slug("54 m"), slug("24.50 m"), slug("120 ft")
    ('54m', '24-5m', '120ft')
    """
    number, unit = units.split(boom_length)
    text = format(number, "f")
    return (text.rstrip("0").rstrip(".") if "." in text else text).replace(".", "-") + unit


def machine(raw: _Data, profile: Profile) -> Machine:
    """One machine; `raw` as in the file.  The `profile` of the site says what the file leaves out."""
    return made(Machine, {"rulebook": profile.rulebook, "units": profile.units, **raw})


def yard(raw: _Data) -> Yard:
    """One yard; `raw` as in the file."""
    return made(Yard, raw)


def rule(raw: _Data) -> Rule:
    """One rule; `raw` as in the file."""
    return made(Rule, raw)


def upkeep(raw: _Data) -> Upkeep:
    """The log of one rope and its readings; `raw` as in the file."""
    return made(Upkeep, raw)


def table(raw: _Data) -> RopeTable:
    """One table the inspection of ropes rests on; `raw` as in the file."""
    return made(RopeTable, raw)


def value_si(name: str, quantity: Any) -> Any:
    """A quantity that stands for a rule value of this name: a count as it is, else its SI float."""
    return _reader(opened(FORMS.get(name, AnyQuantity)))(quantity)


def made(kind: type[X], raw: _Data) -> X:
    """An object of a declared class; `raw` is its block of the file, which the schema has passed."""
    block: Any = kind
    return kind(**{name: value for name, read in _fields(block) for value in read(raw)})


@cache
def _fields(kind: Any) -> tuple[tuple[str, Callable[[_Data], Iterator[Any]]], ...]:
    """For each field of a class what gives its value from the block; nothing where its default counts."""
    known = declared(kind)
    return tuple(
        (field.name, _of_block(kind, field.name, known.get(field.name, Form(Any, (), True)), field.default is MISSING))
        for field in fields(kind)
        if field.name in known or _otherwise(kind, field.name)
    )


def _otherwise(kind: Any, name: str) -> _Read | None:
    return next((_OTHERWISE[base, name] for base in kind.__mro__ if (base, name) in _OTHERWISE), None)


def _of_block(kind: Any, name: str, form: Form, needed: bool) -> Callable[[_Data], Iterator[Any]]:
    otherwise, at = _otherwise(kind, name), form.mark(At)
    path = at.path if at else () if otherwise else (name,)
    forms = {field: _reader(opened(one)) for field, one in form.fields.items()}
    read = _reader(form)

    def value(block: _Data) -> Iterator[Any]:
        found: Any = block
        for step in path:
            found = found.get(step)
            if found is None:
                if needed:
                    yield () if get_origin(form.type) is tuple else None
                return
        if forms:
            found = {field: each(found[field]) for field, each in forms.items() if field in found}
        yield otherwise(found) if otherwise else read(found)

    return value


def _reader(form: Form) -> _Read:
    """What reads a value of a declared form."""
    kind = keywords(form).get("quantity")
    named, origin, parts = form.mark(Named), get_origin(form.type), get_args(form.type)
    if kind:
        return lambda raw: _quantity(raw, kind)
    if named:
        forms = {name: _reader(opened(one)) for name, one in named.forms.items()}
        other = _reader(opened(named.others))
        return lambda raw: {name: forms.get(name, other)(value) for name, value in raw.items()}
    if is_dataclass(form.type):
        return lambda raw: made(form.type, raw)
    if origin is tuple and parts[1] is not ...:
        each = [_reader(opened(part)) for part in parts]
        return lambda raw: tuple(read(value) for read, value in zip(each, raw, strict=True))
    if origin in (tuple, frozenset):
        one = _reader(opened(parts[0]))
        return lambda raw: origin(map(one, raw))
    return lambda raw: raw


def _quantity(raw: Any, kind: str) -> Any:
    """The SI value of a quantity, of each in a list; a count of any kind stays as it is."""
    if isinstance(raw, list):
        return tuple(_quantity(one, kind) for one in raw)
    return units.read(raw, units.kind_of(raw) if kind == "any" else kind) if isinstance(raw, str) else raw


def _difference(more: str, less: str) -> _Read:
    return lambda found: found.get(more, 0.0) - found.get(less, 0.0)


def _lifting_points(found: _Data) -> tuple[float, float] | None:
    points = found.get("lifting_points")
    return points and (points["height"], hypot(points["length"], points["width"]))


def _position(found: _Data) -> tuple[RopeEnd, float] | None:
    ends: tuple[RopeEnd, ...] = get_args(RopeEnd)
    return next(((end, found[f"from_{end}"]) for end in ends if f"from_{end}" in found), None)


def _source(found: _Data) -> Source:
    return Source(found["kind"], found["citation"], None, found["read"])


def _content(found: _Data) -> Any:
    """What a version of a table holds, by the names of its rows where they have names."""
    ((name, held),) = found.items()
    if name == "broken_wires":
        return held
    if name == "diameter_bands":
        source = _source(held)
        return {each["rope"]: Bands({n: v for n, v in each.items() if n != "rope"}, source) for each in held["ropes"]}
    return {one.name: one for one in held}


# Fields that the file holds in another way: from the fields declared for them, else from the whole block.
_OTHERWISE: dict[tuple[type[Any], str], _Read] = {
    (Block, "least_falls"): lambda found: found["falls"][0],
    (Block, "most_falls"): lambda block: block["falls"][1],
    (Boom, "pivot_forward"): _difference("forward_of_slew_axis", "behind_slew_axis"),
    (Boom, "rope_path_extra"): _difference("longer_than_boom", "shorter_than_boom"),
    (Boom, "luffing"): lambda found: found["luffing_per_minute"] / 60,
    (Jib, "luffing"): lambda found: found["luffing_per_minute"] / 60 if found.get("luffing_per_minute") else None,
    (Chart, "slug"): lambda block: slug(block["boom_length"]),
    (Override, "text"): lambda block: str(block["quantity"]),
    (Override, "quantity"): lambda block: value_si(block["value"], block["quantity"]),
    (Weight, "lifting_points"): _lifting_points,
    (RuleVersion, "texts"): lambda block: {name: str(quantity) for name, quantity in block["values"].items()},
    (PreTensioning, "boom_length"): lambda found: (
        found["boom_length"],
        found.get("telescoped_to", found["boom_length"]),
    ),
    (Work, "radius"): lambda found: found["radius"][0] if isinstance(found["radius"], tuple) else found["radius"],
    (Work, "largest_radius"): lambda block: (
        units.read(block["radius"][1], "length") if isinstance(block["radius"], list) else None
    ),
    (Entry, "done"): lambda found: next(iter(found.values())),
    (Place, "position"): _position,
    (Upkeep, "id"): lambda found: found["id"],
    (BrokenWiresRow, "wires"): lambda found: (found["from"], found.get("to")),
    (BrokenWiresRow, "strands"): lambda found: (found.get("strands_from", 1), found.get("strands_to")),
    (BrokenWiresRow, "counts"): dict,
    (Copy, "source"): _source,
    (Copy, "rows"): lambda found: (*found["rows"], *(found[name] for name in ("above",) if name in found)),
    (Criterion, "iso"): lambda found: Verdict(**found["iso"]) if found else None,
    (Criterion, "us"): lambda found: Verdict(**found["us"]) if found else None,
    (TableVersion, "content"): _content,
}
