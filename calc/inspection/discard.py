"""Limits at which a regime ends the use of a rope: from the published tables and the rules, for one rope.

Two regimes are kept apart: `iso`, ISO 4309 with its tables, and `us`, the numbers and categories of 29 CFR 1926.1413.
Where copies of a table differ the strictest number counts, and all of them are shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import floor
from typing import Final

from calc.data.model import Rope
from calc.data.tables import Bands, BrokenWires, BrokenWiresRow, Construction, Criterion, OuterWires, Verdict
from calc.fields import Category, CriterionName, Group, Lay, ReadHow, RopeKind, Rulebook, Seale
from calc.formulas import ROUNDING, rope
from calc.inspection.rope_fields import TableColumn

REGIMES: tuple[Rulebook, Rulebook] = ("iso", "us")
ISO, US = REGIMES
# How sure a number is, the surest first.
READ: tuple[ReadHow, ...] = ("yes", "by-name", "second-hand", "from-memory")

FIBRE_CORE: Final = "fibre-core"
STEEL_CORE: Final = "steel-core"
ROTATION_RESISTANT: Final = "rotation-resistant"
CROSSOVER, FLANGE = ON_LAYER_CHANGES = ("crossover", "flange")  # where the numbers for several layers hold
NEVER_BENDS, END_FITTING = "straight", "end-fitting"
MOST_WIRES_OF_A_SEALE_STRAND = 19  # more, and the rows do not go up


@dataclass(frozen=True)
class Tables:
    """The tables in force on one day."""

    single_layer: BrokenWires
    rotation_resistant: BrokenWires
    bands: Mapping[str, Bands]
    constructions: Mapping[str, Construction]
    criteria: Mapping[CriterionName, Criterion]


@dataclass(frozen=True)
class Facts:
    """What the limits of a rope depend on.  Every number of load-bearing outer wires it may have."""

    diameter: float
    kind: RopeKind
    outer_strands: int
    outer_wires: tuple[OuterWires, ...]
    seale: Seale
    lay: Lay | None = None  # None: not known


@dataclass(frozen=True)
class Published:
    """What one copy of a table prints in one column for one number of outer wires."""

    citation: str
    read: ReadHow
    row: str
    column: TableColumn
    outer_wires: int
    short: int
    long: int


@dataclass(frozen=True)
class Counts:
    """Broken wires over the short and the long length that end a rope's use: the strictest of everything published."""

    short: int
    long: int
    read: ReadHow
    published: tuple[Published, ...]

    @property
    def differ(self) -> bool:
        """Whether sources give different numbers for the same column."""
        columns = {each.column for each in self.published}
        return any(len({(e.short, e.long) for e in self.published if e.column == name}) > 1 for name in columns)


@dataclass(frozen=True)
class Regime:
    """One regime for one rope: its rule values, how many layers the rope makes, its reference diameter [m] or None."""

    name: Rulebook
    facts: Facts
    layers: int
    values: Mapping[str, float]
    tables: Tables
    reference: float | None


@dataclass(frozen=True)
class Limit:
    """One limit at one kind of place, in the unit of the reading: a count, a share of the nominal diameter, or [m].

    `beyond`: only more than the limit ends the use, else reaching it does.  `value_name`: the rule value it rests on.
    `information`: it is not made for this kind of place, so it is shown beside the reading and gives no verdict.
    """

    criterion: CriterionName
    group: Group
    value: float
    beyond: bool
    read: ReadHow
    category: Category
    value_name: str
    counts: Counts | None
    information: bool = False


# -- the rope -------------------------------------------------------------------------------------------------------


def facts(found: Rope, constructions: Mapping[str, Construction]) -> Facts:
    """What the limits of a rope depend on; what its certificate says comes before what its construction implies.

    It counts as rotation-resistant when its data or its construction says so: the stricter.
    Errors: ValueError for a construction that is not in the table.
    """
    if found.construction not in constructions:
        raise ValueError(f"construction is {found.construction!r}; known are {', '.join(constructions)}")
    made = constructions[found.construction]
    kind: RopeKind = FIBRE_CORE if made.core == "fibre" else STEEL_CORE
    wires = made.outer_wires
    if found.outer_wires is not None:
        wires = (OuterWires(found.outer_wires, "yes", "the rope's certificate"),)
    return Facts(
        diameter=found.diameter,
        kind=ROTATION_RESISTANT if found.rotation_resistant or made.rotation_resistant else kind,
        outer_strands=found.outer_strands or made.outer_strands,
        outer_wires=wires,
        seale=made.seale if found.seale is None else "yes" if found.seale else "no",
        lay=found.lay,
    )


# -- broken wires by table ------------------------------------------------------------------------------------------


def columns(rope_facts: Facts, layers: int, place_kind: str) -> tuple[TableColumn, ...]:
    """The columns of the table of broken wires that may hold for a rope with so many `layers` on its drum; of several
    the strictest counts.  Errors: ValueError for less than one layer.  Rules: broken-wires-iso."""
    if layers < 1:
        raise ValueError(f"layers is {layers}; it is 1 or more")
    if layers > 1 and place_kind in ON_LAYER_CHANGES:
        return ("multi_layer",)
    if rope_facts.kind == ROTATION_RESISTANT:
        return ("any_lay",)
    return (rope_facts.lay,) if rope_facts.lay else ("ordinary", "lang")


def broken_wires(table: BrokenWires, column_names: Iterable[TableColumn], rope_facts: Facts) -> Counts | None:
    """Broken wires that end the use of a rope by a published `table`: the smallest number of every copy, of every
    column that may hold and of every number of outer wires the rope may have; None where it has no row for such a rope.

    Rules: broken-wires-iso.  Source: ISO 4309, tables of visible broken wires, second-hand.
    """
    names = tuple(column_names)
    found = tuple(
        each
        for copy in table.copies
        for wires in rope_facts.outer_wires
        for row in _rows(copy.rows, wires.count, rope_facts, table.seale_rows_up)
        for each in _published(row, names, wires, copy.source.citation, copy.source.read)
    )
    if not found:
        return None
    short, long = (min(count(each) for each in found) for count in _COUNTS)
    surest = (
        min((each.read for each in found if count(each) == least), key=READ.index)
        for count, least in zip(_COUNTS, (short, long), strict=True)
    )
    return Counts(short, long, less_sure(*surest), found)


_COUNTS: tuple[Callable[[Published], int], ...] = (lambda each: each.short, lambda each: each.long)


def _rows(rows: tuple[BrokenWiresRow, ...], wires: int, rope_facts: Facts, up: int) -> Iterator[BrokenWiresRow]:
    """Every row for such a rope: the one of its number of wires, and one further up for outer strands of Seale type."""
    strands = rope_facts.outer_strands
    may_be_seale = wires <= MOST_WIRES_OF_A_SEALE_STRAND * strands
    for at, row in enumerate(rows):
        if _within(wires, row.wires) and _within(strands, row.strands):
            if rope_facts.seale != "yes" or not may_be_seale:
                yield row
            if rope_facts.seale != "no" and may_be_seale:
                yield rows[max(0, at - up)]


def _within(number: int, span: tuple[int, int | None]) -> bool:
    return span[0] <= number and (span[1] is None or number <= span[1])


def _published(
    row: BrokenWiresRow, names: tuple[TableColumn, ...], wires: OuterWires, citation: str, read: ReadHow
) -> Iterator[Published]:
    for name in names:
        if name in row.counts:
            # a share of the wires is no whole number: round down
            short, long = (floor(c * wires.count + ROUNDING) if row.shares else int(c) for c in row.counts[name])
            yield Published(citation, less_sure(read, wires.read), row.name, name, wires.count, short, long)


def less_sure(*read: ReadHow) -> ReadHow:
    """The least sure of several ways a number was `read`.

    >>> less_sure("yes", "from-memory", "second-hand")
    'from-memory'
    """
    return max(read, key=READ.index)


# -- every limit of one regime --------------------------------------------------------------------------------------


def limits(regime: Regime, place_kind: str) -> tuple[Limit, ...]:
    """Every limit that is a number, at one kind of place, in the order of the criteria.

    Errors: ValueError as `columns`, and where a rule gives a limit for which the table of criteria has no verdict.
    Rules: broken-wires-iso, broken-wires-us, broken-wires-valley, diameter-decrease-iso, diameter-decrease-us,
    diameter-at-crossovers, deformation.
    """
    return tuple(_iso(regime, place_kind) if regime.name == ISO else _us(regime, place_kind))


def _iso(regime: Regime, place_kind: str) -> Iterator[Limit]:
    kind = regime.facts.kind
    table = regime.tables.rotation_resistant if kind == ROTATION_RESISTANT else regime.tables.single_layer
    counts = broken_wires(table, columns(regime.facts, regime.layers, place_kind), regime.facts)
    if counts:
        yield _limit(regime, "broken-wires-6d", "short_length_diameters", counts.short, counts=counts)
        yield _limit(regime, "broken-wires-30d", "long_length_diameters", counts.long, counts=counts)
    yield from _valley_and_end(regime, place_kind)
    crossing = regime.layers > 1 and place_kind == CROSSOVER  # there the drum flattens the rope as well
    yield _limit(regime, "diameter-decrease", f"decrease_{kind.replace('-', '_')}", information=crossing)
    yield _limit(regime, "diameter-increase", f"increase_{'fibre' if kind == FIBRE_CORE else 'steel'}_core")
    name = f"waviness_where_rope_{'stays_straight' if place_kind == NEVER_BENDS else 'bends'}"
    yield _limit(regime, "waviness", name, regime.values[name] * regime.facts.diameter)


def _us(regime: Regime, place_kind: str) -> Iterator[Limit]:
    if regime.facts.kind == ROTATION_RESISTANT:
        yield _limit(regime, "broken-wires-6d", "rotation_resistant_breaks_in_6_diameters")
        yield _limit(regime, "broken-wires-30d", "rotation_resistant_breaks_in_30_diameters")
    else:
        yield _limit(regime, "broken-wires-lay", "breaks_in_one_lay")
        yield _limit(regime, "broken-wires-strand", "breaks_in_one_strand")
    yield from _valley_and_end(regime, place_kind)
    yield _limit(regime, "diameter-decrease", "decrease_from_nominal", beyond=True)


def _valley_and_end(regime: Regime, place_kind: str) -> Iterator[Limit]:
    yield _limit(regime, "broken-wires-valley", "valley_breaks")
    if place_kind == END_FITTING:
        yield _limit(regime, "broken-wires-end", "end_breaks")


def _limit(
    regime: Regime,
    criterion: CriterionName,
    value_name: str,
    value: float | None = None,
    beyond: bool = False,
    counts: Counts | None = None,
    information: bool = False,
) -> Limit:
    """A limit; its value is the rule's own unless another is worked out from it."""
    verdict = verdict_of(regime, criterion)
    if verdict is None:
        raise ValueError(f"criterion {criterion!r} has no verdict under {regime.name}, but a rule gives its limit")
    return Limit(
        criterion=criterion,
        group=regime.tables.criteria[criterion].group,
        value=regime.values[value_name] if value is None else value,
        beyond=beyond,
        read=less_sure(verdict.read, counts.read) if counts else verdict.read,
        category=category(regime, verdict),
        value_name=value_name,
        counts=counts,
        information=information,
    )


def limit_diameter(regime: Regime, limit: Limit) -> float | None:
    """The diameter at which a `limit` of it is reached; None without a reference, and for what is no diameter [m].

    decrease: base - share*d; increase: reference + share*d

    The base is the reference under ISO, the nominal diameter under the US regulation.
    Rules: diameter-decrease-iso, diameter-decrease-us, deformation.  Source: the definition of the decrease.
    """
    nominal = regime.facts.diameter
    if limit.criterion == "diameter-decrease":
        base = regime.reference if regime.name == ISO else nominal
        return None if base is None else rope.diameter_at_decrease(base, limit.value, nominal)
    if limit.criterion == "diameter-increase" and regime.reference is not None:
        return regime.reference + limit.value * nominal
    return None


def verdict_of(regime: Regime, criterion: CriterionName) -> Verdict | None:
    """What a `criterion` means under a `regime`; None where it says nothing of it."""
    found = regime.tables.criteria[criterion]
    return found.iso if regime.name == ISO else found.us


def category(regime: Regime, verdict: Verdict) -> Category:
    """The category of a `verdict` of the regulation for the rope of a `regime`."""
    if regime.facts.kind == ROTATION_RESISTANT and verdict.category_rotation_resistant:
        return verdict.category_rotation_resistant
    return verdict.category
