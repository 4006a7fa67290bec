"""The log of a hoist rope and what was read at it, every float in SI, and how each field stands in its file."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from calc.data import units
from calc.data.declared import (
    At,
    Count,
    CountOrZero,
    Day,
    Falls,
    Fields,
    Force,
    ForceOrZero,
    Id,
    Length,
    LengthOrZero,
    Mass,
    MassOrZero,
    Named,
    Text,
)
from calc.fields import InspectionKind, Is, RopeEnd, RopePlace, Seen

BoomLength = Annotated[Length, "Boom length, as listed in the charts"]
AnyConfiguration = Annotated[
    Id | None, "Configuration, as the machine's data name it; left out, any that lists the boom length"
]
Radius = Annotated[Length, "Radius"]
Counted = Annotated[Count, "Layer, counted from the barrel; wraps already in that layer"]
Diameter = Annotated[Length, "Diameter", Is(most="120 mm")]


@dataclass(frozen=True)
class NewRope:
    """A new rope on the drum."""

    length: Annotated[Length, "Rope length fitted"]
    tension: Annotated[ForceOrZero, "Back tension it was wound with"]
    diameter: Annotated[
        Length | None,
        "Nominal diameter, where it is written; another than the machine's data say asks for a revision of them",
    ] = None


@dataclass(frozen=True)
class PreTensioning:
    """One pass of pre-tensioning as counted: boom length and radius at the start and at the end, layer and whole wraps
    before winding and after landing."""

    boom_length: Annotated[
        tuple[float, float],
        Fields(
            boom_length=BoomLength,
            telescoped_to=Annotated[Length | None, "Boom length at the end, when it was telescoped in"],
        ),
    ]
    configuration: AnyConfiguration = field(default=None, kw_only=True)
    falls: Annotated[Falls, "Falls"]
    block: Annotated[Id, "Hook block in use"]
    load: Annotated[Mass, "Load at the hook with hook block and slings"]
    line_pull: Annotated[
        Force | None,
        "Least line pull measured at the winch while winding in; counts instead of the computed one",
    ] = field(default=None, kw_only=True)
    radius: Annotated[tuple[Radius, Radius], "Radius at the start and at the end"]
    drum_before: Annotated[tuple[Counted, Counted], "Drum before winding: layer, whole wraps counted up"]
    drum_after: Annotated[tuple[Counted, Counted], "Drum after landing: layer, whole wraps counted down"]


@dataclass(frozen=True)
class Work:
    """Lifts of one kind.  With a `largest_radius` the worst case of many lifts: smallest and largest radius, lightest
    load, lowest and highest hook, how many."""

    boom_length: BoomLength
    configuration: AnyConfiguration = field(default=None, kw_only=True)
    radius: Annotated[
        float,
        Fields(
            radius=Annotated[
                float,
                "Radius; for the worst case of many lifts the smallest and the largest",
                Is(
                    type=["string", "array"],
                    quantity="length",
                    pattern=units.pattern("length"),
                    above="0 m",
                    items={"$ref": "quantities.schema.json#/$defs/length", "description": "Radius"},
                    minItems=2,
                    maxItems=2,
                ),
            ]
        ),
    ]
    falls: Annotated[Falls, "Falls"]
    block: Annotated[Id, "Hook block in use"]
    load: Annotated[
        MassOrZero,
        "Load below the hook block, slings included; 0 kg for the empty hook; of many lifts the lightest",
    ]
    line_pull: Annotated[
        Force | None,
        "Least line pull measured at the winch while winding in under the load; counts instead of the computed one",
    ] = field(default=None, kw_only=True)
    hook: Annotated[
        tuple[Annotated[LengthOrZero, "Hook height above ground"], Annotated[LengthOrZero, "Hook height above ground"]],
        "Hook height where the load is taken and where it is set down; "
        "for the worst case of many lifts the lowest and the highest",
    ]
    repeats: Annotated[Count, "How often", Is(maximum=10000)]
    largest_radius: float | None = None


@dataclass(frozen=True)
class ReReeving:
    """Other falls, reeved through the boom head with the boom lowered."""

    boom_length: BoomLength
    configuration: Annotated[Id | None, "Configuration afterwards, as the machine's data name it"] = field(
        default=None, kw_only=True
    )
    falls: Annotated[Falls, "Falls afterwards"]
    block: Annotated[Id, "Hook block afterwards"]


@dataclass(frozen=True)
class Unwinding:
    """Rope run off the drum without a load and wound back."""

    length: Annotated[Length, "Rope run off"]


@dataclass(frozen=True)
class Jump:
    """A wrap that jumped, climbed, gapped or pulled in, or slack rope, seen in this layer."""

    layer: Annotated[Count, "Layer it was seen in"]


@dataclass(frozen=True)
class Shortening:
    """Rope cut off."""

    length: Annotated[Length, "Rope cut off"]
    end: Annotated[
        Literal["hook", "drum"], "End it was cut off: at the hook block, or at the drum after all rope came off"
    ]


Done = NewRope | PreTensioning | Work | ReReeving | Unwinding | Jump | Shortening


@dataclass(frozen=True)
class Entry:
    """One line of a rope's log."""

    day: Annotated[Day, "Day"]
    until: Annotated[Day | None, "Last day, where work went on for more than one"] = field(default=None, kw_only=True)
    done: Annotated[
        Done,
        Fields(
            one=True,
            new_rope=Annotated[NewRope, "A new rope on the drum"],
            pre_tensioning=Annotated[PreTensioning, "One pass of winding the rope firm under load, as counted"],
            work=Annotated[Work, "Lifting work of one kind, or the worst case of many lifts"],
            re_reeving=Annotated[ReReeving, "Other falls, reeved through the boom head with the boom lowered"],
            unwinding=Annotated[Unwinding, "Rope run off the drum without a load and wound back"],
            jump=Annotated[Jump, "A wrap that jumped, climbed, gapped or pulled in, or slack rope on the drum"],
            shortening=Annotated[Shortening, "Rope cut off"],
        ),
    ]
    note: Annotated[Text, "What it was, or who did it"] = ""
    record: Annotated[
        Text | None, "Time at which the run sheet was started that it came from, by which its record is known again"
    ] = field(default=None, kw_only=True)

    @property
    def last_day(self) -> str:
        """The day on which what was done had ended."""
        return self.until or self.day


@dataclass(frozen=True)
class Place:
    """What was read at one place of a rope; None where it was not looked at."""

    kind: Annotated[
        RopePlace,
        At("place"),
        "crossover; flange: where the rope climbs to the next layer; drum: elsewhere on the drum; "
        "sheaves: works over sheaves only; straight: never bends; end-fitting",
    ]
    position: Annotated[
        tuple[RopeEnd, float] | None,
        Fields(
            from_drum=Annotated[LengthOrZero | None, "Distance along the rope from its drum end", Is(most="5000 m")],
            from_hook=Annotated[
                LengthOrZero | None,
                "Distance along the rope from its other end, at the hook block or the boom head",
                Is(most="5000 m"),
            ],
        ),
    ] = None
    broken_wires: Annotated[
        Mapping[str, int] | None,
        "Visible broken wires at this place; a broken wire has two ends and counts once",
        Named(
            in_6_diameters=Annotated[CountOrZero, "Over 6 rope diameters, where they are most"],
            in_30_diameters=Annotated[CountOrZero, "Over 30 rope diameters"],
            in_one_lay=Annotated[CountOrZero | None, "Over one lay"],
            in_one_strand=Annotated[CountOrZero | None, "In one strand, over one lay"],
            in_valleys=Annotated[CountOrZero | None, "In the valleys between strands, over one lay"],
            at_end_fitting=Annotated[CountOrZero | None, "At the end fitting"],
        ),
    ] = None
    diameter: Annotated[tuple[Diameter, Diameter] | None, "Two readings at right angles"] = None
    waviness: Annotated[LengthOrZero | None, "Gap under a straight edge", Is(most="120 mm")] = None
    seen: Annotated[
        tuple[Annotated[Seen, "What was seen"], ...] | None,
        "Corrosion, deformation, heat, end fitting: what was seen; [] for looked at and nothing seen",
    ] = None


@dataclass(frozen=True)
class Inspection:
    """Readings of one day, who took them and how thorough."""

    day: Annotated[Day, "Day"]
    by: Annotated[Text, "Who inspected, and as what"]
    kind: Annotated[InspectionKind, "monthly: by a competent person; full: whole length, by a qualified person"]
    reference_diameter: Annotated[
        tuple[Diameter, Diameter] | None,
        "Diameter right after running in, at a part that never bends: two readings at right angles",
    ] = field(default=None, kw_only=True)
    places: Annotated[
        tuple[Annotated[Place, "What was read at one place; leave out what was not looked at"], ...],
        "Places looked at; [] when nothing was measured",
    ]
    note: Annotated[Text, "What else was found"] = ""


@dataclass(frozen=True)
class Upkeep:
    """The log of the rope of one machine and what was read at it, both oldest first; the log begins with a new rope."""

    id: Annotated[
        str,
        Fields(
            id=Annotated[Id, "Id of the machine; same as the file name"],
            format=Annotated[Literal[1], "Version of this format"],
        ),
    ]
    log: Annotated[
        tuple[Annotated[Entry, "One entry"], ...], "What was done, oldest first; begins with a new rope", Is(minItems=1)
    ]
    readings: Annotated[tuple[Annotated[Inspection, "One inspection"], ...], "Inspections, oldest first"] = ()
