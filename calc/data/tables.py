"""The tables that the inspection of ropes rests on, and how each field stands in its file."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from calc.data.declared import LEFT_OUT, At, Count, Day, Fields, Id, Named, Share, Text
from calc.fields import (
    BandName,
    Category,
    CriterionName,
    Follows,
    Group,
    Is,
    RopeKind,
    Seale,
    Severity,
    SourceKind,
    SourceRead,
)
from calc.formulas.rope import CONSTRUCTIONS

Part = Annotated[Share, "Share of the number of wires, short length, long length", Is(above="0 %")]
Broken = Annotated[Count, "Broken wires over the short length, over the long length"]
Band = Annotated[Share, Is(above="0 %")]
OfRegulation = Annotated[int, Is(minimum=1, maximum=3)]
Read = Annotated[SourceRead, "How it was read: yes in the document itself, second-hand, from-memory"]


@dataclass(frozen=True)
class Source:
    """Where a rule comes from, and how it was read."""

    kind: Annotated[SourceKind, "Kind of source"]
    citation: Annotated[Text, "Document as one would look it up"]
    clause: Annotated[Text | None, "Clause, section or page"]
    read: Read


# What a source is where a block says more beside it.
SOURCE = {
    "kind": Annotated[SourceKind, "Kind of source"],
    "citation": Annotated[Text, "Document as one would look it up"],
    "read": Read,
}


def _columns(form: Any) -> Fields:
    """Counts or shares over the short and the long length, by the column they stand in."""
    two = tuple[form, form] | None
    return Fields(
        ordinary=Annotated[two, "Ordinary lay, over sheaves and on one layer"],
        lang=Annotated[two, "Lang lay, over sheaves and on one layer"],
        any_lay=Annotated[two, "Any lay, over sheaves and on one layer"],
        multi_layer=Annotated[two, "Crossovers and layer changes of several layers"],
    )


RowName = Annotated[
    str, At("row"), "Name of the row, like 04, 23-1 or over 300", Is(pattern="^(over )?[0-9]+(-[0-9]+)?$")
]
Fewest = Annotated[Count, "Fewest load-bearing outer wires"]


@dataclass(frozen=True)
class BrokenWiresRow:
    """One row of a table of broken wires: how many load-bearing outer wires and outer strands it is for (None: no upper
    end), and by column the counts over the short and the long length that end a rope's use."""

    name: RowName
    wires: Annotated[
        tuple[int, int | None],
        Fields(
            {
                "from": Fewest,
                "to": Annotated[Count | None, "Most of them; leave out where there is no upper end"],
            }
        ),
    ]
    strands: Annotated[
        tuple[int, int | None],
        Fields(
            strands_from=Annotated[Count | None, "Fewest outer strands the row is for"],
            strands_to=Annotated[Count | None, "Most of them"],
        ),
    ]
    counts: Annotated[Mapping[str, tuple[float, float]], _columns(Broken)]
    shares: bool = False


@dataclass(frozen=True)
class EndlessRow(BrokenWiresRow):
    """The row without an upper end: its counts are shares of the number of wires."""

    wires: Annotated[tuple[int, int | None], Fields({"from": Fewest})]
    strands: tuple[int, int | None]
    counts: Annotated[Mapping[str, tuple[float, float]], _columns(Part)]
    shares: bool = True


@dataclass(frozen=True)
class Copy:
    """One copy of a table of broken wires and where it was found."""

    source: Annotated[Source, Fields(SOURCE)]
    rows: Annotated[
        tuple[BrokenWiresRow, ...],
        Fields(
            rows=Annotated[tuple[Annotated[BrokenWiresRow, "One row"], ...], "Rows", Is(minItems=1)],
            above=Annotated[EndlessRow | None, "The row without an upper end, in shares of the number of wires"],
        ),
    ]


@dataclass(frozen=True)
class BrokenWires:
    """A table of broken wires in every copy there is; rows to go up for outer strands of Seale type."""

    seale_rows_up: Annotated[Count, "Rows to go up for outer strands of Seale type with 19 wires or less"] = field(
        default=0, kw_only=True
    )
    copies: Annotated[
        tuple[Annotated[Copy, "One copy of the table and where it was found"], ...],
        "Copies; of several the smallest number counts",
        Is(minItems=1),
    ]


@dataclass(frozen=True)
class Bands:
    """Decrease of the diameter, as a share of the nominal one, from which each severity short of discard begins."""

    starts: Mapping[BandName, float]
    source: Source


DiameterBands = Annotated[
    Mapping[str, Any],
    "Bands of severity",
    Named(
        SOURCE,
        ropes=Annotated[
            tuple[
                Annotated[
                    Mapping[str, Any],
                    "Bands of one kind of rope",
                    Named(
                        rope=Annotated[RopeKind, "Kind of rope"],
                        slight=Annotated[Band, "Decrease from which it is slight"],
                        medium=Annotated[Band, "Decrease from which it is medium"],
                        high=Annotated[Band, "Decrease from which it is high"],
                        very_high=Annotated[Band, "Decrease from which it is very high"],
                    ),
                ],
                ...,
            ],
            "Kinds of rope",
            Is(minItems=1),
        ],
    ),
]


@dataclass(frozen=True)
class OuterWires:
    """One number of load-bearing outer wires, how it was read, and how it comes about."""

    count: Annotated[Count, "Load-bearing outer wires"]
    read: Annotated[
        Literal["by-name", "yes", "second-hand", "from-memory"],
        "by-name: it follows from the name; or how it was read",
    ]
    note: Annotated[Text, "How it comes about"]


@dataclass(frozen=True)
class Construction:
    """What a rope of one construction is made of; every number of outer wires that was found."""

    name: Annotated[str, At("construction"), "Construction, as machine files write it", Is(enum=list(CONSTRUCTIONS))]
    core: Annotated[Literal["fibre", "steel"], "Core"]
    rotation_resistant: Annotated[bool, "true for a rotation-resistant rope"]
    outer_strands: Annotated[Count, "Outer strands"]
    seale: Annotated[Seale, "Whether the outer strands are of Seale type; either: the name does not say"]
    outer_wires: Annotated[
        tuple[Annotated[OuterWires, "One number and where it comes from"], ...],
        "Load-bearing wires in the outer strands, every number found",
        Is(minItems=1),
    ]


@dataclass(frozen=True)
class Verdict:
    """What a criterion means under one regime, and how that was read: what follows, the severity where the standard
    gives one by name, the category of the regulation (another for rotation-resistant rope where given)."""

    outcome: Follows
    read: SourceRead
    severity: Severity | None = None
    category: Category = None
    category_rotation_resistant: Category = None
    may_be_cut_out: bool = True


# Fields of a verdict that both regimes have.
VERDICT = {"outcome": Annotated[Follows, "What follows: none, watch or discard"], "read": Read}


@dataclass(frozen=True)
class Criterion:
    """One thing an inspection measures or sees; None where a regime says nothing of it."""

    name: Annotated[CriterionName, At("criterion"), "What it is"]
    group: Annotated[Group, "Kind of deterioration"]
    iso: Annotated[
        Verdict | None,
        Fields(
            iso=Annotated[
                Mapping[str, Any] | None,
                "Under ISO 4309; leave out where it says nothing",
                Named(VERDICT, severity=Annotated[Severity | None, "Severity the standard gives it, for the sum"]),
            ]
        ),
    ]
    us: Annotated[
        Verdict | None,
        Fields(
            us=Annotated[
                Mapping[str, Any] | None,
                "Under the US regulation; leave out where it says nothing",
                Named(
                    VERDICT,
                    category=Annotated[OfRegulation | None, "Category of the regulation"],
                    category_rotation_resistant=Annotated[
                        OfRegulation | None, "Category for rotation-resistant rope, where it is another"
                    ],
                    may_be_cut_out=Annotated[bool | None, "false where the whole rope is replaced whatever is cut out"],
                ),
            ]
        ),
    ]


@dataclass(frozen=True)
class TableVersion:
    """One dated version of a table; `content` by the names of its rows where they have names."""

    from_day: Annotated[Day, At("from"), "First day it counts"]
    content: Annotated[
        BrokenWires | Mapping[str, Bands] | Mapping[str, Construction] | Mapping[CriterionName, Criterion],
        Fields(
            one=True,
            broken_wires=Annotated[BrokenWires, "A table of broken wires, in every copy there is"],
            diameter_bands=DiameterBands,
            constructions=Annotated[
                tuple[Annotated[Construction, "One construction"], ...], "Constructions", Is(minItems=1)
            ],
            criteria=Annotated[
                tuple[Annotated[Criterion, "One thing measured or seen"], ...], "Criteria", Is(minItems=1)
            ],
        ),
    ]
    sources: Annotated[
        tuple[Annotated[Source, "One source"], ...],
        "Where it comes from, where the table itself does not say",
        Is(minItems=1),
        LEFT_OUT,
    ]
    change: Annotated[Text, "What changed, in one sentence"]


@dataclass(frozen=True)
class RopeTable:
    """One table the inspection of ropes rests on, with every version it ever had, newest first."""

    id: Annotated[Id, "Same as the file name"]
    title: Annotated[Text, "Title"]
    versions: Annotated[tuple[Annotated[TableVersion, "One version"], ...], "Versions, newest first", Is(minItems=1)]

    def at(self, day: str) -> TableVersion | None:
        """The version in force on `day` (ISO date text), or None before the first."""
        return next((v for v in self.versions if v.from_day <= day), None)
