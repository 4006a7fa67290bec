"""How a field of the data files is declared: once, on the class that holds it.

    flange_diameter: Annotated[Length, "Flange diameter", Is(most="5 m"), asked("1070 mm", "Winch data; else measure")]

From there `build` reads the files and `hooks.building.schemas` writes rules/schema, which editors and the check read.
The type is one of the kinds below, a plain type or another class; a text says what it is; `Is` holds limits and other
keywords of the schema; `asked` gives an example and where the value is found.  What may be None or has a default may be
left out.  A field that is not Annotated stands in no file.  Modules of declarations do without
`from __future__ import annotations`: the types must be there when they are read.
"""

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields, is_dataclass
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, NotRequired, TypeVar, Union, get_args, get_origin, get_type_hints

from calc.data import units
from calc.fields import Is

X = TypeVar("X")


def asked(example: Any, found: str) -> Is:
    """An example of a field, and where it is found, for who fills in an empty file.

    >>> asked("26 mm", "Rope certificate")
    {'examples': ['26 mm'], 'found': 'Rope certificate'}
    """
    return Is(examples=[example], found=found)


class At:
    """Where a field stands in the file: the names of the blocks around it and its own; what the block is."""

    def __init__(self, *path: str, block: str = "") -> None:
        self.path, self.block = path, block


class Fields:
    """Fields of the file, each with its form, that the model holds in another way; with `one`, exactly one of them."""

    def __init__(self, forms: Mapping[str, Any] | None = None, one: bool = False, **more: Any) -> None:
        self.forms, self.one = {**(forms or {}), **more}, one


class Named:
    """A block of named values, each with its form; where there may be `others`, their form and that of their names."""

    def __init__(
        self, forms: Mapping[str, Any] | None = None, others: Any = None, names: Any = None, **more: Any
    ) -> None:
        self.forms, self.others, self.names = {**(forms or {}), **more}, others, names


class Asks:
    """A condition on a fact of this form, as a fragment of JSON Schema."""

    def __init__(self, form: Any) -> None:
        self.form = form


class _LeftOut:
    """What may be left out of a file though the model always holds it."""


LEFT_OUT = _LeftOut()


@dataclass(frozen=True)
class Shared:
    """A kind of value that every schema refers to by its name in quantities.schema.json."""

    name: str
    description: str
    keywords: Is


@dataclass(frozen=True)
class Form:
    """A declared form: its plain type, what is said of it, whether it may be left out."""

    type: Any
    marks: tuple[Any, ...]
    optional: bool

    def mark(self, kind: type[X]) -> X | None:
        """The last mark of a `kind`, None where there is none."""
        return next((one for one in reversed(self.marks) if isinstance(one, kind)), None)

    @property
    def fields(self) -> Mapping[str, Any]:
        """The fields of the file that make it, each with its form, where it is held in another way."""
        several = self.mark(Fields)
        return several.forms if several else {}


def opened(form: Any) -> Form:
    """A `form` with everything around its plain type taken off."""
    origin, parts = get_origin(form), get_args(form)
    if isinstance(form, Form):
        return form
    if origin is Annotated:
        inner = opened(parts[0])
        return Form(inner.type, (*inner.marks, *parts[1:]), inner.optional)
    if origin is NotRequired:
        inner = opened(parts[0])
        return Form(inner.type, inner.marks, True)
    if origin in (Union, UnionType) and NoneType in parts:
        inner = opened(Union[tuple(part for part in parts if part is not NoneType)])  # noqa: UP007
        return Form(inner.type, inner.marks, True)
    return Form(form, (), False)


@cache
def declared(form: Any) -> dict[str, Form]:
    """The fields of a class that stand in a file, in the order of the file."""
    default = {one.name for one in fields(form) if one.default is not MISSING} if is_dataclass(form) else set()
    hints = {name: opened(hint) for name, hint in get_type_hints(form, include_extras=True).items()}
    return {
        name: Form(hint.type, hint.marks, hint.optional or name in default or LEFT_OUT in hint.marks)
        for name, hint in hints.items()
        if hint.marks
    }


def keywords(form: Form) -> dict[str, Any]:
    """Everything the marks of a form say in words of JSON Schema; what is said last counts."""
    given = [mark.keywords if isinstance(mark, Shared) else mark for mark in form.marks]
    return {name: value for mark in given if isinstance(mark, Is) for name, value in mark.items()}


# The kinds of values.  A quantity is text: a plain number, one space, a unit of the closed list of its kind.


def _quantity(name: str, description: str, kind: str, **limits: str) -> Shared:
    return Shared(name, description, Is(type="string", quantity=kind, pattern=units.pattern(kind), **limits))


def _whole(name: str, description: str, **limits: int) -> Shared:
    return Shared(name, description, Is(type="integer", **limits))


def _text(name: str, description: str, **keywords: Any) -> Shared:
    return Shared(name, description, Is(type="string", **keywords))


Length = Annotated[float, _quantity("length", "A length above zero", "length", above="0 m")]
LengthOrZero = Annotated[float, _quantity("length_or_zero", "A length, zero allowed", "length")]
Mass = Annotated[float, _quantity("mass", "A mass above zero", "mass", above="0 kg")]
MassOrZero = Annotated[float, _quantity("mass_or_zero", "A mass, zero allowed", "mass")]
Force = Annotated[
    float,
    _quantity("force", "A force above zero; a line pull given as a mass is taken times g", "force", above="0 N"),
]
ForceOrZero = Annotated[float, _quantity("force_or_zero", "A force, zero allowed", "force")]
MassPerLength = Annotated[
    float, _quantity("mass_per_length", "Mass per length above zero", "mass per length", above="0 kg/m")
]
Speed = Annotated[float, _quantity("speed", "A speed above zero", "speed", above="0 m/s")]
Power = Annotated[float, _quantity("power", "A power above zero", "power", above="0 kW")]
Angle = Annotated[
    float, _quantity("angle", "An angle above zero, at most a right angle", "angle", above="0 deg", most="90 deg")
]
AngleOrZero = Annotated[
    float, _quantity("angle_or_zero", "An angle, zero allowed, at most a right angle", "angle", most="90 deg")
]
Time = Annotated[float, _quantity("time", "A time, zero allowed", "time")]
Stress = Annotated[float, _quantity("stress", "A rope grade", "stress", above="0 N/mm2")]
Share = Annotated[float, _quantity("share", "A share, 0 to 100 %", "share", most="100 %")]
Ratio = Annotated[float, _quantity("ratio", "A ratio in per cent, may be above 100 %", "share", above="0 %")]
AnyQuantity = Annotated[
    float, Shared("any", "A count, or a quantity of any kind", Is(type=["string", "number"], quantity="any"))
]
Count = Annotated[int, _whole("count", "A whole number, 1 or more", minimum=1)]
CountOrZero = Annotated[int, _whole("count_or_zero", "A whole number, 0 or more", minimum=0)]
Falls = Annotated[int, _whole("falls", "A number of falls", minimum=1, maximum=40)]
Id = Annotated[
    str,
    _text(
        "id",
        "Small letters and digits, words joined by hyphens; it becomes part of addresses and never changes",
        pattern="^[a-z0-9]+(-[a-z0-9]+)*$",
    ),
]
Name = Annotated[
    str, _text("name", "Small letters, digits and underscores, a letter first", pattern="^[a-z][a-z0-9_]*$")
]
PlaceInFile = Annotated[
    str,
    _text(
        "place",
        "A place in the file as the check prints it, like blocks[ball].mass",
        pattern=r"^[a-z_]+(\[[a-z0-9. -]+\])?(\.[a-z_]+(\[[a-z0-9. -]+\])?)*$",
    ),
]
Day = Annotated[str, _text("day", 'A day in quotes, "2026-11-02"', pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$", day=True)]
Address = Annotated[
    str,
    _text(
        "address",
        "Small letters, digits and hyphens between slashes, one at the end, like guidance/glossary/",
        pattern="^([a-z0-9][a-z0-9-]*/)+$",
    ),
]
Text = Annotated[str, _text("text", "Text", minLength=1)]


def shared() -> list[Shared]:
    """Every kind of value, in the order in which they stand here.

    >>> [kind.name for kind in shared()][:3]
    ['length', 'length_or_zero', 'mass']
    """
    return [mark for form in globals().values() for mark in opened(form).marks if isinstance(mark, Shared)]
