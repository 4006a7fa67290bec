"""What the rest of the calculation works on: frozen data, every float in SI; and how each field stands in its file.

`build` makes these objects from checked files.  A `Case` ties one machine, one configuration, one boom length and the
rules of one day together: the only thing the planner ever sees.  What is None is left out of the file.  How fields are
declared: `declared`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Annotated, Any, Literal, TypedDict

from calc.data import rule_values
from calc.data.declared import (
    LEFT_OUT,
    Address,
    Angle,
    AngleOrZero,
    AnyQuantity,
    Asks,
    At,
    Count,
    Day,
    Falls,
    Fields,
    Force,
    ForceOrZero,
    Id,
    Length,
    LengthOrZero,
    Mass,
    MassPerLength,
    Name,
    Named,
    PlaceInFile,
    Power,
    Speed,
    Stress,
    Text,
    asked,
)
from calc.data.entries import Upkeep
from calc.data.rule_values import Values
from calc.data.tables import RopeTable, Source
from calc.data.yard import Yard
from calc.fields import (
    Bearings,
    BoomKind,
    Hand,
    Is,
    JibKind,
    Lay,
    LoadReturn,
    Rulebook,
    Status,
    Surface,
    Units,
)
from calc.formulas.rope import CONSTRUCTIONS
from calc.rounding import Pair

FOUND = "Where you found it"
CERTIFICATE = "Rope certificate"
ARRANGEMENT = "Dimension drawing"
REVIEWER = "The reviewer writes it"
ENGINEER = "The engineer who answers"
PRINTED = "The check prints it"


@dataclass(frozen=True)
class Rope:
    """Hoist rope; what only its certificate says may be None."""

    diameter: Annotated[Length, "Nominal rope diameter", Is(least="5 mm", most="100 mm"), asked("26 mm", CERTIFICATE)]
    length: Annotated[
        Length,
        "Rope length as fitted",
        Is(least="10 m", most="5000 m"),
        asked("560 m", "Rope certificate, less what has been cut off since"),
    ]
    mass_per_length: Annotated[
        MassPerLength,
        At("mass"),
        "Rope mass per length",
        Is(most="40 kg/m"),
        asked("3.2 kg/m", "Rope certificate, or the rope maker's table"),
    ]
    minimum_breaking_force: Annotated[
        Force,
        "Minimum breaking force",
        Is(least="10 kN", most="10000 kN"),
        asked("545 kN", "Rope certificate; not the calculated or aggregate breaking force"),
    ]
    construction: Annotated[
        str,
        "Rope construction",
        Is(enum=list(CONSTRUCTIONS)),
        asked("35(W)x7", "Rope certificate; the nearest name of the list"),
    ]
    grade: Annotated[Stress, "Rope grade", Is(least="1370 N/mm2", most="2360 N/mm2"), asked("2160 N/mm2", CERTIFICATE)]
    rotation_resistant: Annotated[bool, "true for a rotation-resistant rope", asked(True, CERTIFICATE)]
    outer_strands: Annotated[
        Count | None,
        "Outer strands, as the certificate says; leave out where the construction says enough",
        asked(16, CERTIFICATE),
    ] = None
    outer_wires: Annotated[
        Count | None,
        "Load-bearing wires in the outer strands, filler wires not counted, as the certificate says",
        Is(maximum=1000),
        asked(112, CERTIFICATE),
    ] = None
    seale: Annotated[bool | None, "true where the outer strands are of Seale type", asked(False, CERTIFICATE)] = None
    lay: Annotated[
        Lay | None, "Lay: wires against the strands (ordinary) or with them (lang)", asked("lang", CERTIFICATE)
    ] = None
    lay_direction: Annotated[
        Hand | None, "Direction in which the strands run round the rope", asked("right", CERTIFICATE)
    ] = None


@dataclass(frozen=True)
class Drum:
    """Winch drum."""

    groove_root_diameter: Annotated[
        Length,
        "Diameter at the groove root; of a smooth drum the barrel",
        Is(least="50 mm", most="3 m"),
        asked("620 mm", "Winch data; else measure round the groove root and divide by 3.1416"),
    ]
    groove_pitch: Annotated[
        Length,
        "Groove pitch; of a smooth drum the distance of the wraps",
        Is(most="150 mm"),
        asked("27.1 mm", "Winch data; else measure over ten grooves and divide by ten"),
    ]
    wraps_odd_layers: Annotated[
        Count,
        At("wraps", "odd_layers", block="Wraps of a full layer"),
        "Wraps of layers 1, 3, 5 ...",
        asked(36, "Winch data; else count the grooves"),
    ]
    wraps_even_layers: Annotated[
        Count,
        At("wraps", "even_layers"),
        "Wraps of layers 2, 4, 6 ...; may be one less",
        asked(36, "Winch data; else count the second layer when it is full"),
    ]
    flange_diameter: Annotated[Length, "Flange diameter", Is(most="5 m"), asked("1070 mm", "Winch data; else measure")]
    width: Annotated[
        Length,
        "Width between the flanges",
        Is(most="10 m"),
        asked("985 mm", "Winch data; else measure between the flanges"),
    ]
    surface: Annotated[
        Surface,
        "Surface of the barrel",
        asked(
            "parallel-grooved",
            "Winch data; else look: grooves parallel to the flanges with two steps in each turn, or one spiral",
        ),
    ]
    hand: Annotated[
        Hand | None, "The first layer runs like a thread of this hand", asked("right", "Look at the first layer")
    ] = None
    first_sheave: Annotated[
        Length | None,
        "From the drum to the first sheave; leave out where the rope runs straight to the boom head",
        Is(most="200 m"),
        asked("6 m", "General arrangement drawing; else measure"),
    ] = None


@dataclass(frozen=True)
class Winch:
    """Winch; without a `drag` of its own the rules give one."""

    rated_line_pull: Annotated[
        Force,
        "Rated line pull the charts are based on",
        Is(most="2000 kN"),
        asked("135 kN", "Winch data, or the notes under the capacity charts"),
    ]
    rated_layer: Annotated[
        Count,
        "Layer at which pull and speed are rated",
        Is(maximum=20),
        asked(7, "Winch data: the layer beside the line pull; where none is named, ask the maker"),
    ]
    line_speed: Annotated[
        Speed,
        "Largest line speed at that layer",
        Is(most="400 m/min"),
        asked("130 m/min", "Winch data, at the same layer"),
    ]
    power: Annotated[Power, "Hoisting power", Is(most="2000 kW"), asked("120 kW", "Winch or engine data")]
    drag: Annotated[
        ForceOrZero | None,
        "Pull that turns the free drum; leave out if the manual gives none",
        asked("400 N", "Winch data"),
    ]


@dataclass(frozen=True)
class Reeving:
    """Head of the boom."""

    sheave_radius: Annotated[
        Length,
        "Sheave radius to the middle of the rope",
        Is(most="2 m"),
        asked("0.3 m", "Boom head data: half of the pitch diameter of the sheaves"),
    ]
    sheaves_to_drum: Annotated[
        Count,
        "Sheaves the lead line runs over from fall 1 to the drum, the head sheave included",
        Is(maximum=20),
        asked(1, "Reeving diagram: count them"),
    ]
    bearings: Annotated[
        Bearings,
        "Bearings of the sheaves",
        asked("rolling", "Boom head data; rolling unless the manual says bushings"),
    ]
    most_falls: Annotated[Falls, "Most falls the boom head takes", asked(10, "Reeving diagram")]
    upper_stop: Annotated[
        Length,
        "Least distance hook block sheave to head sheave",
        Is(most="20 m"),
        asked("2.8 m", "Hoist limit data; else measure when the upper stop trips"),
    ]


@dataclass(frozen=True)
class Block:
    """Hook block."""

    id: Annotated[Id, "Id of the block", asked("five-sheave", "Your choice: it stands in every plan")]
    mass: Annotated[Mass, "Mass of the block", Is(most="50 t"), asked("2.8 t", "Plate on the block")]
    height: Annotated[
        Length,
        "Hook to sheave axis",
        Is(most="10 m"),
        asked("2.2 m", "Drawing of the block; else measure from the hook's saddle to the sheave pin"),
    ]
    least_falls: Annotated[
        int,
        Fields(
            falls=Annotated[tuple[Falls, Falls], "Fewest and most falls, [2, 6]", asked([1, 10], "Reeving diagram")]
        ),
    ]
    most_falls: int
    capacity: Annotated[Mass, "Capacity of the block", Is(most="5000 t"), asked("130 t", "Plate on the block")]


@dataclass(frozen=True, kw_only=True)
class Jib:
    """Jib or runner at the head of the main boom: with it the crane is a straight arm from a pivot to the jib head."""

    id: Annotated[Id, "Id of the jib as rigged", asked("fixed-15m-20deg", "Your choice: a configuration names it")]
    kind: Annotated[
        JibKind,
        "fixed: held by pendants at an offset; runner: a sheave on a short arm at the boom head; luffing: luffed by "
        "its own winch, the main boom held",
        asked("fixed", "Title of the chart"),
    ]
    length: Annotated[
        Length,
        "Length from the boom head to the jib-head sheave",
        Is(most="120 m"),
        asked("15 m", "Title of the chart"),
    ]
    offset: Annotated[
        AngleOrZero | None,
        "Offset below the line of the boom; fixed jib and runner only",
        asked("20 deg", "Title of the chart"),
    ] = None
    boom_angle: Annotated[
        Angle | None,
        "Angle at which the main boom is held; luffing jib only",
        asked("75 deg", "Title of the chart: one chart belongs to one angle"),
    ] = None
    rope_longer_than_jib: Annotated[
        LengthOrZero,
        "Rope from boom head to jib head, longer than the jib by this much",
        Is(most="30 m"),
        asked("0.8 m", "Reeving drawing: over the sheaves at the boom head and along the jib"),
    ]
    luffing: Annotated[
        float | None,
        Fields(
            luffing_per_minute=Annotated[
                Angle | None,
                "Luffing of the jib in one minute; luffing jib only",
                asked("6 deg", "Data of the jib motion: the whole range divided by its time"),
            ]
        ),
    ] = None
    least_angle: Annotated[
        Angle | None,
        "Least angle: of a luffing jib its own to the horizontal, else that of the main boom with this jib; left out, "
        "as without a jib",
        asked("15 deg", "Notes under the capacity charts of the jib"),
    ] = None
    reeving: Annotated[Reeving, "Head of the jib; its lead line runs over the sheaves at the boom head too"]


@dataclass(frozen=True)
class Boom:
    """Boom: pivot forward of the slew axis, rope path beyond the boom length, luffing in a second."""

    pivot_forward: Annotated[
        float,
        At("pivot", block="Boom pivot"),
        Fields(
            one=True,
            forward_of_slew_axis=Annotated[
                LengthOrZero, "Pivot in front of the slew axis", Is(most="15 m"), asked("1.2 m", ARRANGEMENT)
            ],
            behind_slew_axis=Annotated[
                LengthOrZero, "Pivot behind the slew axis", Is(most="15 m"), asked("1.8 m", ARRANGEMENT)
            ],
        ),
    ]
    pivot_height: Annotated[
        Length, At("pivot", "above_ground"), "Pivot above ground", Is(most="15 m"), asked("1.8 m", ARRANGEMENT)
    ]
    winch_height: Annotated[Length, "Winch drum above ground", Is(most="30 m"), asked("1.9 m", ARRANGEMENT)]
    rope_path_extra: Annotated[
        float,
        At("rope_path", block="Rope from drum to head against the boom length"),
        Fields(
            one=True,
            longer_than_boom=Annotated[
                LengthOrZero,
                "Rope path longer than the boom by this much",
                Is(most="30 m"),
                asked(
                    "3.2 m",
                    "Reeving drawing: add up the rope from drum to head sheave, take off the boom length",
                ),
            ],
            shorter_than_boom=Annotated[
                LengthOrZero,
                "Rope path shorter than the boom by this much",
                Is(most="30 m"),
                asked("1 m", "Likewise, where the winch sits in or on the boom"),
            ],
        ),
    ]
    luffing: Annotated[
        float,
        Fields(
            luffing_per_minute=Annotated[
                Angle,
                "Luffing in one minute",
                asked("8 deg", "Data of the boom motion: the whole range divided by its time"),
            ]
        ),
    ]
    telescoping: Annotated[
        Speed | None,
        "Telescoping speed; telescopic booms only",
        Is(most="60 m/min"),
        asked("8 m/min", "Data of the boom motion"),
    ]
    clear_radius: Annotated[
        Length | None,
        "Radius at which the load clears the carrier; telescopic booms only",
        Is(most="30 m"),
        asked("6 m", "Dimension drawing: beside carrier, outriggers and cab"),
    ]
    least_angle: Annotated[Angle, "Least boom angle", asked("25 deg", "Notes under the capacity charts")]
    load_return: Annotated[
        LoadReturn,
        "How the load comes back under the hook for the next pass",
        asked("crawler-travels", "Look at the site; none where nothing brings it back, then there is one pass"),
    ]
    jibs: Annotated[
        tuple[Annotated[Jib, "One jib as rigged: length and offset, or length and angle of the main boom"], ...],
        "Jibs and runners with which pre-tensioning is planned",
    ] = ()

    def jib(self, id: str | None) -> Jib | None:
        """The jib with this `id`; None where there is no such jib, and without an id."""
        return next((jib for jib in self.jibs if jib.id == id), None)

    def least_angle_with(self, jib: Jib | None) -> float:
        """Least angle of the main boom, or of the luffing `jib` on a boom that is held [rad]."""
        return self.least_angle if jib is None or jib.least_angle is None else jib.least_angle


@dataclass(frozen=True)
class Chart:
    """Capacities of one boom length by growing radius; `slug` is its length as in addresses."""

    boom_length: Annotated[Length, "Boom length as in the chart", Is(most="300 m")]
    slug: str
    telescoping: Annotated[Mass | None, "Load this length may telescope with; leave out where the manual lists none"]
    rows: Annotated[
        tuple[Annotated[tuple[Length, Mass], "[radius, rated capacity]"], ...],
        "Radius and rated capacity by growing radius; at least two",
        Is(minItems=2),
    ]


@dataclass(frozen=True)
class Configuration:
    """One way the crane is set up, with the charts that hold for it."""

    id: Annotated[Id, "Id of the configuration"]
    name: Annotated[Text, "Name of the configuration"]
    jib: Annotated[Id | None, "Id of the jib its charts hold for; left out, they hold for the main boom"] = field(
        default=None, kw_only=True
    )
    charts: Annotated[
        tuple[Annotated[Chart, "Chart of one boom length"], ...],
        "Capacity charts by growing boom length",
        Is(minItems=1),
    ]

    def __hash__(self) -> int:
        return hash(self.id)  # of all its charts it would take longer than what is looked up

    def chart(self, slug: str) -> Chart | None:
        return next((c for c in self.charts if c.slug == slug), None)


@dataclass(frozen=True)
class Override:
    """A value the machine's own manual states in place of a rule's: `text` as written, `quantity` in SI."""

    rule: Annotated[
        Id,
        "Id of the rule",
        asked("dead-wraps-iso", "The rule page on the site, or the file's name in rules/rulebook"),
    ]
    value: Annotated[Name, "Name of the value", asked("dead_wraps", "The same")]
    text: str
    quantity: Annotated[AnyQuantity, asked(5, "The page named below")]
    page: Annotated[Text, "Page of the manual", asked("2-4", FOUND)]
    reason: Annotated[
        Text,
        "What the manual says",
        asked("The manual asks for five wraps on this drum.", "The page named above"),
    ]


@dataclass(frozen=True)
class Answer:
    """An engineer's answer to a finding about the data of a machine."""

    finding: Annotated[Id, "Code of the finding", asked("rope-mass", PRINTED)]
    where: Annotated[PlaceInFile, "Place of the finding, as printed", asked("rope.mass", PRINTED)]
    answer: Annotated[Text, "Why the data is right", asked("Weighed on the reel.", ENGINEER)]
    by: Annotated[Text, "Who answers", asked("Ines Falk, engineer", ENGINEER)]
    date: Annotated[Day, "Day of the answer", asked("2026-11-25", ENGINEER)]


@dataclass(frozen=True)
class Profile:
    """The practice of a site where a machine says nothing else: rules that apply (iso | us), units (metric | us)."""

    rulebook: Rulebook
    units: Units


PROFILES = {"iso": Profile("iso", "metric"), "us": Profile("us", "us")}


@dataclass(frozen=True)
class Approval:
    """Who compared the data of a machine with its manual."""

    reviewer: Annotated[
        Text,
        "Who compared the data with the manual: name and office",
        asked("Ines Falk, engineer", "The reviewer writes it, not who typed the data"),
    ]
    date: Annotated[Day, "Day of the review", asked("2026-11-25", REVIEWER)]
    pages: Annotated[Text, "Pages of the manual that were compared", asked("2-1 to 2-7, 5-1 to 5-8", REVIEWER)]


@dataclass(frozen=True)
class Finding:
    """A plausibility finding: what is odd in metric and in US units; `answer` when an engineer gave one in the file."""

    code: str
    where: str
    text: Pair
    answer: str | None = None


@dataclass(frozen=True, kw_only=True)
class Machine:
    """One winch of one crane."""

    id: Annotated[
        Id, "Same as the file name", asked("osprey", "Your choice: a short word that no other crane here has")
    ]
    name: Annotated[Text, "Name of the machine", asked("Osprey", "What the crane is called on site")]
    kind: Annotated[BoomKind, "Kind of boom", asked("lattice", "Title page")]
    capacity_class: Annotated[
        Mass,
        "Capacity class",
        Is(least="1 t", most="5000 t"),
        asked("260 t", "Title page, or the largest capacity of all charts"),
    ]
    status: Annotated[
        Status,
        "demonstration: invented data; draft: not for use; approved: compared with the machine's own manual",
        asked("draft", "Yours to say"),
    ]
    approval: Annotated[
        Approval | None,
        "Who compared this revision with the machine's manual; stands in approved machines only",
    ] = None
    revision: Annotated[Day, "Day of this revision of the data", asked("2026-11-25", "The day you write this")]
    change: Annotated[
        Text | None,
        "What this revision changed against the one before, in one sentence; the first revision has none",
        asked(
            "Hook block weighed: 0.45 t, not 0.40 t.",
            "Nowhere; say it yourself, and leave it out in a first revision",
        ),
    ] = None
    rulebook: Annotated[
        Rulebook,
        "Which rules apply: iso or us; left out, those of the site's profile",
        LEFT_OUT,
        asked("iso", "The law of the place where the crane works"),
    ]
    yard: Annotated[
        Id,
        "Id of the yard whose weights are used",
        asked("skerry-point", "rules/yards: the name of the file without .yaml"),
    ]
    units: Annotated[
        Units,
        "Which units the machine's own data uses: metric or us; left out, those of the site's profile",
        LEFT_OUT,
        asked("metric", "The charts"),
    ]
    description: Annotated[
        Text,
        "What this machine is and what it does every day",
        asked(
            "Lattice-boom crawler crane, main winch. Everyday work is light and high.",
            "The site manager knows the everyday work",
        ),
    ]
    source_title: Annotated[
        Text,
        At("source", "title", block="Where the data comes from"),
        "Manual and edition; invented data says so",
        asked(
            "Operating manual, edition 3, serial number 1024",
            "Title page; the serial number is on the plate of the crane",
        ),
    ]
    source_pages: Annotated[
        Mapping[str, str],
        At("source", "pages"),
        "Pages of the manual by block of this file",
        Named(
            rope=Annotated[Text, "Pages for rope", asked("2-3", FOUND)],
            drum=Annotated[Text, "Pages for drum", asked("2-4", FOUND)],
            winch=Annotated[Text, "Pages for winch", asked("2-5", FOUND)],
            reeving=Annotated[Text, "Pages for reeving", asked("2-6", FOUND)],
            blocks=Annotated[Text | None, "Pages for blocks", asked("2-7", FOUND)],
            boom=Annotated[Text, "Pages for boom", asked("2-1", FOUND)],
            charts=Annotated[Text, "Pages for charts", asked("5-1 to 5-8", FOUND)],
            telescoping=Annotated[Text | None, "Pages for telescoping", asked("5-9", FOUND)],
        ),
    ]
    rope: Annotated[Rope, "Hoist rope as fitted"]
    drum: Annotated[Drum, "Winch drum"]
    winch: Annotated[Winch, "Winch"]
    reeving: Annotated[Reeving, "Head of the boom"]
    blocks: Annotated[tuple[Annotated[Block, "One hook block"], ...], "Hook blocks by growing falls", Is(minItems=1)]
    boom: Annotated[Boom, "Boom"]
    overrides: Annotated[
        tuple[Annotated[Override, "One value"], ...],
        "Values the machine's own manual states in place of a rule's",
    ] = ()
    answers: Annotated[
        tuple[Annotated[Answer, "One answer"], ...], "An engineer's answers to findings about this file"
    ] = ()
    configurations: Annotated[
        tuple[Annotated[Configuration, "One configuration"], ...],
        "Chart configurations, the most cautious first: it has the short address",
        Is(minItems=1),
    ]
    findings: tuple[Finding, ...] = ()

    def __hash__(self) -> int:
        return hash((self.id, self.revision, self.rope))  # a mapping has none, and charts have many numbers

    @property
    def booms(self) -> dict[float, str]:
        """Every listed boom length [m] with its address, the shortest first."""
        return dict(sorted((chart.boom_length, chart.slug) for c in self.configurations for chart in c.charts))

    def jib(self, configuration: Configuration) -> Jib | None:
        """The jib the charts of a `configuration` hold for; None where they hold for the main boom."""
        return self.boom.jib(configuration.jib)

    def reeving_with(self, jib: Jib | None) -> Reeving:
        """The head the falls hang from: that of a `jib`, where one is rigged."""
        return self.reeving if jib is None else jib.reeving

    def on_jib(self, configuration_id: str | None) -> str | None:
        """The same configuration where its charts hold for a jib; None where a log need not say which one it was."""
        found = configuration_id and self.configuration(configuration_id)
        return found.id if found and found.jib else None

    def configuration(self, id: str) -> Configuration | None:
        return next((c for c in self.configurations if c.id == id), None)


Topic = Literal[
    "due", "load", "tension", "falls", "wraps", "passes", "overlap", "working-area", "weights", "charts", "wind",
    "drum", "reeving", "lifting", "rope", "inspection", "rope-change", "trouble", "records", "time", "data",
]  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class RuleVersion:
    """One dated version of a rule; `values` hold SI floats (counts stay whole), `texts` the same as written."""

    from_day: Annotated[Day, At("from"), "First day this version counts"]
    announced: Annotated[
        Day | None,
        "Day this version was published ahead, before the first day it counts; subscribers are told then",
    ] = None
    statement: Annotated[Text, "What the rule says, in plain trade English"]
    values: Annotated[
        Mapping[str, float],
        "Values by name; a count is a bare number, everything else a quantity",
        Named(rule_values.FORMS, others=AnyQuantity, names=Name),
    ]
    texts: Mapping[str, str]
    informative: Annotated[
        frozenset[Annotated[Name, "Name of a value"]], "Names of values that no calculation reads"
    ] = frozenset()
    applies: Annotated[
        Mapping[str, Any],
        "When the rule applies: fact -> JSON Schema fragment; all must match; {} is always",
        Named(
            boom_kind=Annotated[Any | None, "Kind of boom", Asks(BoomKind)],
            boom_length_m=Annotated[Any | None, "Boom length in metres", Asks(float)],
            falls=Annotated[Any | None, "Falls in use", Asks(int)],
            rope_rotation_resistant=Annotated[
                Any | None, "Whether the rope is rotation-resistant", Asks(Literal[True, False])
            ],
            rulebook=Annotated[Any | None, "Rulebook of the machine", Asks(Rulebook)],
            layers=Annotated[Any | None, "Layers of rope on the drum", Asks(int)],
        ),
    ]
    reason: Annotated[Text, "Why"]
    cautions: Annotated[tuple[Annotated[Text, "One caution"], ...], "What to watch"] = ()
    sources: Annotated[tuple[Annotated[Source, "One source"], ...], "Where it comes from", Is(minItems=1)]
    change: Annotated[Text, "One sentence: what this version changed"]
    withdrawn: Annotated[bool, "true when the rule no longer applies from this day"] = False
    replaced_by: Annotated[Id | None, "Id of the rule that replaces a withdrawn one"] = None


@dataclass(frozen=True)
class Rule:
    """One rule with every version it ever had, newest first; its code is never used again."""

    id: Annotated[Id, "Same as the file name"]
    code: Annotated[str, "R and two or three digits; never used again for another rule", Is(pattern="^R[0-9]{2,3}$")]
    title: Annotated[Text, "Title in plain trade English"]
    topic: Annotated[Topic, "Topic"]
    versions: Annotated[
        tuple[Annotated[RuleVersion, "One version"], ...],
        "Dated versions, newest first; an old version is never changed",
        Is(minItems=1),
    ]

    def at(self, day: str) -> RuleVersion | None:
        """The version in force on `day` (ISO date text), or None before the first."""
        for version in self.versions:
            if version.from_day <= day:
                return version
        return None


@dataclass(frozen=True)
class RuleUse:
    """One rule as one plan uses it."""

    id: str
    code: str
    from_day: str


@dataclass(frozen=True)
class Case:
    """One machine, configuration and boom length with the values of one day: all a plan is computed from.

    `firm_below` is rope from the dead end that is known to lie firm [m]: a plan need not reach deeper.  0: all of it.
    `listed_rope` is the rope length in the machine's data where the log says another, which then counts [m].
    """

    machine: Machine
    configuration: Configuration
    chart: Chart
    yard: Yard
    values: Values
    rules: tuple[RuleUse, ...]
    day: str
    firm_below: float = 0.0
    listed_rope: float | None = None

    @cached_property  # asked in every state of a plan, as the head is
    def jib(self) -> Jib | None:
        """The jib the charts of the configuration hold for; None where the rope runs over the head of the main boom."""
        return self.machine.jib(self.configuration)

    @cached_property
    def reeving(self) -> Reeving:
        """The head the falls hang from: that of the jib, where one is rigged."""
        return self.machine.reeving_with(self.jib)

    @property
    def luffing(self) -> float:
        """Speed at which the boom luffs, or the luffing jib on a boom that is held [rad/s]."""
        own = None if self.jib is None else self.jib.luffing
        return self.machine.boom.luffing if own is None else own

    @property
    def least_angle(self) -> float:
        """Least angle of the main boom, or of the luffing jib on a boom that is held [rad]."""
        return self.machine.boom.least_angle_with(self.jib)

    @property
    def firm_tension(self) -> float:
        """Drum tension from which a wrap counts as firm [N]."""
        return self.values.firm_tension_share * self.machine.winch.rated_line_pull


@dataclass(frozen=True)
class Redirect:
    """An address that leads to another page, both below the address of the site; where the line stands in the data."""

    old: Annotated[Address, At("from"), "The address that leads elsewhere; no page has it"]
    new: Annotated[Address, At("to"), "The page it leads to"]
    where: str


class Addresses(TypedDict):
    """The file of old and short addresses."""

    redirects: Annotated[
        list[Annotated[Redirect, "One address and where it leads"]],
        "Old and short addresses; none is ever taken out",
    ]


class Site(TypedDict):
    """The file of what the site follows."""

    profile: Annotated[Rulebook, "Rules and units of every crane that names none, and the units a page shows first"]


@dataclass(frozen=True)
class Data:
    """Everything read from one `rules/` folder, checked."""

    machines: Mapping[str, Machine]
    yards: Mapping[str, Yard]
    rules: Mapping[str, Rule]
    upkeep: Mapping[str, Upkeep]  # by machine id; a machine without a log has none
    tables: Mapping[str, RopeTable] = field(default_factory=dict)
    profile: Profile = PROFILES["iso"]
    redirects: tuple[Redirect, ...] = ()
    revisions: Mapping[str, tuple[Machine, ...]] = field(default_factory=dict)  # beside those in `machines`
    # by machine id the entries of its log that change the length of the rope: day, and where they stand
    lengths: Mapping[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)

    def holds(self, machine: Machine) -> bool:
        """Whether a `machine` is one of these, just as it is."""
        return self.machines.get(machine.id) == machine

    def at(self, day: str) -> "Data":
        """The same data with every machine in its revision of the `day`; a machine that begins later is left out."""
        known = {id: self.every_revision(id) for id in sorted({*self.machines, *self.revisions})}
        now = {id: next((one for one in every if one.revision <= day), None) for id, every in known.items()}
        machines = {id: machine for id, machine in now.items() if machine}
        others = {id: tuple(one for one in every if one is not now[id]) for id, every in known.items()}
        return replace(self, machines=machines, revisions={id: rest for id, rest in others.items() if rest})

    def every_revision(self, machine_id: str) -> tuple[Machine, ...]:
        """Every revision there is of the machine with this `machine_id`, newest first."""
        held = [self.machines[machine_id]] if machine_id in self.machines else []
        every = (*held, *self.revisions.get(machine_id, ()))
        return tuple(sorted(every, key=lambda one: one.revision, reverse=True))

    def of(self, machine_id: str) -> "Data":
        """The same data with one machine only: what is made from it can rest on no other."""
        machines = {machine_id: self.machines[machine_id]}
        upkeep = {id: log for id, log in self.upkeep.items() if id == machine_id}
        revisions = {id: others for id, others in self.revisions.items() if id == machine_id}
        return replace(self, machines=machines, upkeep=upkeep, revisions=revisions)
