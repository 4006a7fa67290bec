"""How a field of what is published is declared: its type with what a reader must know of it, once, for mypy and for the
JSON Schemas that `hooks.building.schemas` writes.

    radius_m: Annotated[fields.NotNegative, "radius of the empty hook [m]"]

A text is the description; a field that may be null says when, or else is null where it does not apply or is not known.
`Is` holds further keywords of JSON Schema; `NotRequired` may be left out.  Modules of declarations do without
`from __future__ import annotations`: with it typing cannot tell which fields may be left out.
"""

import re
from typing import Annotated, Any, Literal, TypedDict, TypeVar, cast

X = TypeVar("X")


class Is(dict[str, Any]):
    """Keywords of JSON Schema that a type does not say."""

    def __init__(self, **keywords: Any) -> None:
        super().__init__(keywords)

    def __hash__(self) -> int:  # type: ignore[override]
        return hash(repr(self))


class InOrder(tuple[Any, ...]):
    """A list whose entries each have a meaning by their place, of these forms; none named: two of one form."""

    def __new__(cls, *forms: Any) -> "InOrder":
        return super().__new__(cls, forms)


Pair = Annotated[list[X], InOrder()]  # before and after, least and most: the place says which
Two = Annotated[list[X], Is(minItems=2, maxItems=2)]

NotNegative = Annotated[float, Is(minimum=0)]
Positive = Annotated[float, Is(exclusiveMinimum=0)]
Share = Annotated[float, Is(minimum=0, maximum=1)]
Count = Annotated[int, Is(minimum=0)]
Ordinal = Annotated[int, Is(minimum=1)]
Day = Annotated[str, Is(pattern=r"^\d{4}-\d{2}-\d{2}$")]
Slug = Annotated[str, Is(pattern="^[0-9]+(-[0-9]+)?(m|ft)$")]
RuleCode = Annotated[str, Is(pattern=r"^R\d{2,}$")]

Surface = Literal["parallel-grooved", "helical-grooved", "smooth"]
Rulebook = Literal["iso", "us"]
Units = Literal["metric", "us"]
Bearings = Literal["rolling", "plain"]
LoadReturn = Literal["none", "crawler-travels", "helper-machine", "second-load"]
Status = Literal["demonstration", "draft", "approved"]
MethodName = Literal["luff-out", "telescope-in"]
BoomKind = Literal["telescopic", "lattice"]
JibKind = Literal["fixed", "runner", "luffing"]
EntryKind = Literal["new-rope", "pre-tensioning", "work", "re-reeving", "unwinding", "jump", "shortening"]
RopePlace = Literal["crossover", "flange", "drum", "sheaves", "straight", "end-fitting"]
RopeOutcome = Literal["no-readings", "none-met", "undecided", "watch", "verify", "met"]
InspectionKind = Literal["monthly", "full"]
RopeEnd = Literal["drum", "hook"]
Lay = Literal["ordinary", "lang"]
Hand = Literal["right", "left"]

OUTCOMES = (
    "none-met (below every limit), undecided (something is lacking), watch (a competent person judges), "
    "verify (a limit from memory is reached), met (a limit is reached)"
)

Standing = Literal["announced", "in-force", "superseded", "withdrawn"]  # of a version of a rule on a day
SourceKind = Literal["standard", "regulation", "handbook", "paper", "common-practice"]
SourceRead = Literal["yes", "second-hand", "from-memory"]
RopeKind = Literal["fibre-core", "steel-core", "rotation-resistant"]
Seale = Literal["yes", "no", "either"]
Follows = Literal["none", "watch", "discard"]
BandName = Literal["slight", "medium", "high", "very_high"]
Severity = Literal["slight", "medium", "high", "very_high", "discard"]
# What may be seen at a place of a rope.
Seen = Literal[
    "rust-wipes-off",
    "rust-rough",
    "rust-pitted",
    "rust-from-inside",
    "kink",
    "birdcage",
    "crushing",
    "unstranding",
    "core-stands-out",
    "local-decrease",
    "strand-stands-out",
    "wire-loops",
    "severe-bend",
    "broken-strand",
    "flattening",
    "heat",
    "arc",
    "power-line",
    "end-cracked",
    "end-bent",
    "end-worn",
    "end-corroded",
    "end-wrongly-fitted",
]
CriterionName = Literal[
    "broken-wires-6d",
    "broken-wires-30d",
    "broken-wires-lay",
    "broken-wires-strand",
    "broken-wires-valley",
    "broken-wires-end",
    "diameter-decrease",
    "diameter-increase",
    "waviness",
    "combined-severity",
    Seen,
]

BlockId = Annotated[str, "id of the hook block"]
BoomInItsAddress = Annotated[str, "boom length as in its address"]
BoomInTheAddress = Annotated[str, "boom length as in the address"]
BoomLength = Annotated[NotNegative, "boom length [m]"]
CodeOfRule = Annotated[RuleCode, "code of the rule, never used again"]
ConfigurationId = Annotated[str, "id of the configuration"]
ConfigurationWritten = Annotated[str | None, "id of the configuration; null where it is not written"]
DayOfRules = Annotated[Day, "day whose rules count, year-month-day"]
DayOfRulesAndLog = Annotated[str, "day whose rules and log count, year-month-day"]
EntryNumber = Annotated[Count, "entry of the log, counted from 0 [-]"]
FallCount = Annotated[Ordinal, "falls [-]"]
FallsReeved = Annotated[Ordinal | None, "falls reeved; null before the rope was reeved [-]"]
FormatVersion = Annotated[Literal[1], "version of this format"]
InspectionInShort = Annotated[InspectionKind, "monthly, or full: the whole length"]
LogNote = Annotated[str, "note of the log"]
MachineId = Annotated[str, "id of the crane, as in its address"]
MachineStatus = Annotated[
    Status, "demonstration: invented data; draft: not for use; approved: checked against the machine's own manual"
]
MethodTaken = Annotated[MethodName, "method"]
PassCount = Annotated[Ordinal, "passes [-]"]
PlainDay = Annotated[str, "day, year-month-day"]
SomeBoomLength = Annotated[Positive, "boom length [m]"]
StatusInShort = Annotated[Status, "demonstration: invented data, draft: not approved, approved"]
StatusOfData = Annotated[
    Status, "demonstration: invented data; draft: not for use; approved: compared with the machine's own manual"
]
TimeOfPasses = Annotated[NotNegative, "time of all passes, rigging not counted [min]"]
Category = Annotated[Literal[1, 2, 3] | None, "category of the US regulation"]
Group = Annotated[
    Literal["broken-wires", "diameter", "corrosion", "deformation", "heat", "end-fitting", "combined"],
    "kind of deterioration",
]
ReadHow = Annotated[
    Literal["yes", "by-name", "second-hand", "from-memory"],
    "how it was read: in the document, by the name of the construction, second-hand, from memory",
]


class RuleNamed(TypedDict):
    """The rule that says so."""

    id: Annotated[str, "id of the rule"]
    code: Annotated[str, "code of the rule"]


# How the name of a field ends -> its unit; an end that holds another stands before it.
UNITS = {
    "n_per_m2": "N/m2",
    "kg_per_m": "kg/m",
    "rad_per_s": "rad/s",
    "m_per_s": "m/s",
    "deg": "deg",
    "kg": "kg",
    "m": "m",
    "n": "N",
    "w": "W",
    "s": "s",
}
_UNIT = re.compile(f"_({'|'.join(UNITS)})$")


def taken(form: type[X], *sources: object, **given: object) -> X:
    """What a TypedDict `form` declares: fields under other names, or of other values, are `given`; each of the rest is
    that attribute of the one of the `sources` which has its name, the unit left out.

    >>> from types import SimpleNamespace as Made
    >>> taken(RuleNamed, Made(id="overlap"), code="R07")
    {'id': 'overlap', 'code': 'R07'}
    """
    found: dict[str, object] = {}
    for name in form.__annotations__:
        if name in given:
            found[name] = given.pop(name)
        else:
            attribute = _UNIT.sub("", name)
            (source,) = (source for source in sources if hasattr(source, attribute))
            found[name] = _listed(getattr(source, attribute))
    if given:
        raise TypeError(f"{form.__name__} declares no {', '.join(given)}")
    return cast(X, found)


def _listed(value: object) -> object:
    """A value with lists for its tuples."""
    return [_listed(one) for one in value] if isinstance(value, tuple) else value
