"""Fitness of a rope, the rope to order and what may be cut off as their reader sees them: every field, declared once.

From here mypy knows the keys and `hooks.building.schemas` writes the schemas of the feed.
"""

from typing import Annotated, Literal, TypedDict

from calc import fields

Across = Literal["drum", "sheave", "block-sheave"]
Deviation = Literal[
    "longer-than-listed",
    "shorter-than-listed",
    "freeboard-too-small",
    "thinner-than-nominal",
    "not-below-groove-pitch",
    "thicker-than-the-rule",
    "lay-against-drum-hand",
    "back-tension-below",
    "back-tension-above",
]
NotRead = Literal["broken_wires", "diameter", "waviness", "seen", "diameter-beside-crossovers"]
TableColumn = Literal["ordinary", "lang", "any_lay", "multi_layer"]
AgainstLimits = Literal["below", "within", "above"]
Lacking = Literal["reference-diameter", "count-in-one-lay", "count-in-one-strand", "row-in-the-table"]
Outcome = Literal["none-met", "undecided", "watch", "verify", "met"]
ReadingUnit = Literal["count", "share", "m"]
ForInformation = Annotated[
    bool, "true where the limit is not made for this place: shown beside the reading, no verdict"
]
MayBeCutOut = Annotated[bool, "false where the whole rope is replaced whatever is cut out"]
Regime = Annotated[fields.Rulebook, "regime: ISO 4309, or 29 CFR 1926.1413"]


_From = TypedDict("_From", {"from": Annotated[fields.RopeEnd, "end the distance counts from"]})


class Position(_From):
    """Place along the rope."""

    distance_m: Annotated[fields.NotNegative, "distance along the rope [m]"]


class CriterionFound(TypedDict):
    """One reading judged by one criterion."""

    criterion: Annotated[fields.CriterionName, "what was measured or seen"]
    group: fields.Group
    outcome: Annotated[Outcome, f"what it comes to: {fields.OUTCOMES}"]
    read: fields.ReadHow
    unit: Annotated[ReadingUnit, "unit of reading and limit: count, share of the nominal diameter or of the limit, m"]
    reading: Annotated[float | None, "reading, in its unit [SI]"]
    limit: Annotated[float | None, "limit, in the same unit [SI]"]
    share: Annotated[fields.NotNegative | None, "reading as a share of the limit [-]"]
    severity: Annotated[fields.NotNegative | None, "severity for the sum, ISO only [-]"]
    grade: Annotated[fields.Severity | None, "name of the severity"]
    category: fields.Category
    may_be_cut_out: MayBeCutOut
    measured_m: Annotated[float | None, "diameter, mean of both readings, or gap; null for counts and what is seen [m]"]
    measured_limit_m: Annotated[float | None, "the same at the limit [m]"]
    margin_m: Annotated[float | None, "what is left up to the limit, below 0 past it [m]"]
    information: ForInformation
    lacking: Annotated[Lacking | None, "what is lacking to decide"]


class PlaceFound(TypedDict):
    """What was read at one place, judged."""

    place: Annotated[fields.RopePlace, "kind of place"]
    position: Annotated[Position | None, "where on the rope"]
    read_in: Annotated[
        dict[str, Annotated[fields.Count, "number of the inspection in the list of readings"]],
        "inspection in which each item was last read",
        fields.Is(propertyNames={"enum": ["broken_wires", "diameter", "waviness", "seen"]}),
    ]
    outcome: Annotated[Outcome, f"the gravest criterion of the place: {fields.OUTCOMES}"]
    criteria: Annotated[list[CriterionFound], "what was read"]


class InPlaces(TypedDict):
    """Which of the places of a regime."""

    place: Annotated[fields.Count, "place in the list above [-]"]


class Nearest(InPlaces, CriterionFound):
    """The reading nearest its limit."""


class RegimeFound(TypedDict):
    """The readings judged under one regime."""

    regime: Regime
    outcome: Annotated[fields.RopeOutcome, f"the gravest of all places: {fields.OUTCOMES}"]
    category: Annotated[Literal[1, 2, 3] | None, "highest category met"]
    places: Annotated[list[PlaceFound], "places of the rope with the last reading of everything read there"]
    not_read: Annotated[
        list[NotRead],
        "what was read at no place; diameter-beside-crossovers: the diameter only where its limit is not made for"
        " the place",
    ]
    nearest: Annotated[Nearest | None, "one criterion and what it comes to"]


class InspectionListed(TypedDict):
    """One inspection."""

    inspection: Annotated[fields.Count, "number in the list of readings [-]"]
    day: fields.PlainDay
    by: Annotated[str, "who inspected"]
    kind: fields.InspectionInShort
    places: Annotated[fields.Count, "places read [-]"]
    reference_m: Annotated[fields.Two[float] | None, "reference diameter, two readings [m]"]
    note: Annotated[str, "note"]


class Point(TypedDict):
    """One reading of a series."""

    day: fields.PlainDay
    diameter_m: Annotated[fields.NotNegative | None, "mean of two readings [m]"]
    in_6_diameters: Annotated[fields.Count | None, "broken wires over 6 rope diameters [-]"]
    in_30_diameters: Annotated[fields.Count | None, "broken wires over 30 rope diameters [-]"]


class Series(TypedDict):
    """Readings at one place over time."""

    place: Annotated[fields.RopePlace, "kind of place"]
    position: Annotated[Position | None, "where on the rope"]
    points: Annotated[list[Point], "readings, oldest first"]


RestsOn = Annotated[fields.RuleNamed, "rule it rests on"]


class Due(TypedDict):
    """When the next inspection of a kind is due."""

    kind: fields.InspectionInShort
    last: Annotated[str | None, "day of the last one, year-month-day"]
    months: Annotated[fields.Ordinal, "months between two [-]"]
    next: Annotated[str, "day the next one is due, year-month-day"]
    overdue: Annotated[bool, "whether that day is past"]
    rule: RestsOn


class LookAgain(TypedDict):
    """A jumped wrap or slack rope that no inspection has followed."""

    entry: fields.EntryNumber
    day: fields.PlainDay


class OuterWires(TypedDict):
    """Outer wires in the strands, and how that was read."""

    count: Annotated[fields.Ordinal, "wires [-]"]
    read: fields.ReadHow
    note: Annotated[str, "how it comes about"]


class RopeListed(TypedDict):
    """The rope on the drum, and what follows from its data."""

    diameter_m: Annotated[fields.NotNegative, "nominal diameter [m]"]
    length_m: Annotated[fields.NotNegative, "length by the log, else by the crane's data [m]"]
    construction: Annotated[str, "construction"]
    kind: Annotated[fields.RopeKind, "kind of rope"]
    outer_strands: Annotated[fields.Ordinal, "outer strands [-]"]
    outer_wires: Annotated[list[OuterWires], "load-bearing outer wires, every number found"]
    seale: Annotated[fields.Seale, "whether the outer strands are of Seale type"]
    lay: Annotated[fields.Lay | None, "lay"]
    layers: Annotated[fields.Ordinal, "layers the rope makes on its drum [-]"]
    short_length_m: Annotated[fields.NotNegative, "short length for broken wires [m]"]
    long_length_m: Annotated[fields.NotNegative, "long length for broken wires [m]"]
    tail_least_m: Annotated[fields.NotNegative, "least tail of a wedge socket [m]"]
    reference_readings_m: Annotated[fields.Two[float] | None, "reference diameter, two readings [m]"]
    reference_m: Annotated[fields.NotNegative | None, "reference diameter, their mean [m]"]


class Published(TypedDict):
    """What one copy of a table prints for one number of outer wires."""

    citation: Annotated[str, "where it stands"]
    read: fields.ReadHow
    row: Annotated[str, "row"]
    column: Annotated[TableColumn, "column"]
    outer_wires: Annotated[fields.Ordinal, "load-bearing outer wires it was looked up for [-]"]
    count: Annotated[fields.Count, "broken wires [-]"]


class Limit(TypedDict):
    """One limit of what is measured."""

    criterion: Annotated[fields.CriterionName, "what is measured"]
    unit: Annotated[ReadingUnit, "unit of the limit"]
    limit: Annotated[fields.NotNegative, "limit, in its unit [SI]"]
    beyond: Annotated[bool, "true: only more than the limit ends the use; false: reaching it does"]
    diameter_m: Annotated[fields.NotNegative | None, "diameter at which it is met [m]"]
    information: ForInformation
    read: fields.ReadHow
    category: fields.Category
    rule: RestsOn
    sources_differ: Annotated[bool, "whether what is published differs; the smallest number counts"]
    published: Annotated[list[Published], "everything published that it was taken from"]


class Measured(TypedDict):
    """Limits of what is measured at these places."""

    places: Annotated[list[fields.RopePlace], "kinds of place"]
    limits: Annotated[list[Limit], "limits"]


class Band(TypedDict):
    """The decrease of the diameter from which one severity begins."""

    severity: Annotated[fields.BandName, "severity"]
    share: Annotated[fields.NotNegative, "what it counts in the sum [-]"]
    decrease: Annotated[fields.NotNegative, "decrease from which it begins, share of the nominal diameter [-]"]
    diameter_m: Annotated[fields.NotNegative | None, "diameter at which it begins [m]"]
    read: fields.ReadHow


class Seen(TypedDict):
    """What is seen, and what follows."""

    criterion: Annotated[fields.CriterionName, "what is seen"]
    group: fields.Group
    outcome: Annotated[fields.Follows, "what follows"]
    severity: Annotated[fields.Severity | None, "severity for the sum"]
    category: fields.Category
    may_be_cut_out: MayBeCutOut
    read: fields.ReadHow


class Severities(TypedDict):
    """Share of a limit at which each severity begins."""

    slight: Annotated[fields.NotNegative, "slight [-]"]
    medium: Annotated[fields.NotNegative, "medium [-]"]
    high: Annotated[fields.NotNegative, "high [-]"]
    very_high: Annotated[fields.NotNegative, "very high [-]"]
    discard: Annotated[fields.NotNegative, "discard [-]"]


class Limits(TypedDict):
    """All limits under one regime."""

    regime: Regime
    measured: Annotated[list[Measured], "limits by kind of place"]
    bands: Annotated[list[Band] | None, "severities of a decrease of the diameter, ISO only"]
    seen: Annotated[list[Seen], "what is seen and what follows"]
    severities: Annotated[Severities | None, "share of the limit from which each severity begins, ISO only"]


class Crossovers(TypedDict):
    """One layer on the drum: its rope, its wraps, its crossovers."""

    layer: Annotated[fields.Ordinal, "layer, counted from the barrel [-]"]
    from_drum_m: Annotated[
        fields.Two[fields.NotNegative], "rope of the layer, from and to, as distance from the drum end [m]"
    ]
    wraps: Annotated[fields.Ordinal, "wraps of the full layer [-]"]
    crossover_spacing_m: Annotated[
        fields.NotNegative, "from one crossover of the layer to the next, along the rope [m]"
    ]
    crosses: Annotated[bool, "whether rope of this layer crosses over rope"]


class PickUp(TypedDict):
    """Drum at one pick-up."""

    radius_m: Annotated[fields.NotNegative, "radius [m]"]
    hook_height_m: Annotated[fields.NotNegative, "hook height [m]"]
    rope_on_drum_m: Annotated[fields.NotNegative, "rope on the drum [m]"]
    layer: Annotated[fields.Ordinal, "layer [-]"]
    wrap: Annotated[fields.NotNegative, "wraps in that layer [-]"]


class Sheave(TypedDict):
    """Rope that runs over one sheave."""

    sheave: Annotated[fields.Count, "0: head sheave of the lead line, then in the order of the falls [-]"]
    from_hook_m: Annotated[fields.Two[float], "from and to, as distance from the hook end [m]"]
    from_drum_m: Annotated[fields.Two[float], "the same as distance from the drum end [m]"]


class UsualWork(TypedDict):
    """Work of one kind as the log holds it: the rope that works on the drum and over each sheave."""

    boom: fields.BoomInItsAddress
    boom_length_m: fields.BoomLength
    falls: fields.FallCount
    block: fields.BlockId
    lifts: Annotated[fields.Ordinal, "how many lifts [-]"]
    radius_m: Annotated[fields.Two[float], "least and largest radius [m]"]
    hook_height_m: Annotated[fields.Two[float], "lowest and highest hook [m]"]
    rope_on_drum_m: Annotated[fields.Two[float], "least and most rope on the drum [m]"]
    layers: Annotated[fields.Two[fields.Ordinal], "layers between which the rope works [-]"]
    pick_ups: Annotated[list[PickUp], "where loads were taken, the most frequent first"]
    sheaves: Annotated[list[Sheave], "rope that runs over each sheave"]


class Where(TypedDict):
    """Where to look at the rope."""

    dead_rope_m: Annotated[
        fields.NotNegative, "rope of the dead wraps: where it ends the rope first leaves the drum [m]"
    ]
    stop_rope_m: Annotated[fields.NotNegative, "rope of the stop wraps [m]"]
    flange_points_m: Annotated[
        list[fields.NotNegative], "where the rope climbs to the next layer, as distance from the drum end [m]"
    ]
    layers: Annotated[list[Crossovers], "layers, from the barrel outward"]
    usual: Annotated[list[UsualWork], "work the log holds, the most lifts first"]


class Fitness(TypedDict):
    """What was read at one rope, judged by the rules and tables of a day."""

    schema: fields.FormatVersion
    machine: fields.MachineId
    status: fields.StatusInShort
    machine_revision: Annotated[str, "revision of the crane's data, year-month-day"]
    rulebook: Regime
    day: Annotated[str, "day whose rules, tables, log and readings count, year-month-day"]
    fitted: Annotated[str | None, "day the rope was fitted, year-month-day"]
    outcome: Annotated[
        fields.RopeOutcome, f"what the readings come to under the rulebook of the crane: {fields.OUTCOMES}"
    ]
    strictest: Annotated[fields.RopeOutcome, f"the gravest of both regimes: {fields.OUTCOMES}"]
    regimes_differ: Annotated[bool, "whether the regimes come to different outcomes"]
    regimes: Annotated[list[RegimeFound], "both regimes, ISO first"]
    inspections: Annotated[list[InspectionListed], "inspections of the rope on the drum"]
    series: Annotated[list[Series], "readings over time by place"]
    due: Annotated[list[Due], "next inspections; empty without a log"]
    look_again: Annotated[list[LookAgain], "wraps seen to jump, or slack rope, that no inspection has followed"]
    rope: Annotated[RopeListed, "the rope on the drum"]
    limits: Annotated[list[Limits], "limits under both regimes, ISO first"]
    where: Annotated[Where, "where to look"]


class Order(TypedDict):
    """What to order."""

    diameter_m: Annotated[fields.NotNegative, "nominal diameter [m]"]
    least_diameter_m: Annotated[fields.NotNegative, "least when new and measured [m]"]
    most_diameter_m: Annotated[fields.NotNegative, "most when new and measured [m]"]
    below_m: Annotated[fields.NotNegative, "groove pitch, which it may not reach [m]"]
    length_m: Annotated[fields.NotNegative, "length [m]"]
    construction: Annotated[str, "construction"]
    grade_n_per_m2: Annotated[fields.NotNegative, "rope grade [N/m2]"]
    minimum_breaking_force_n: Annotated[fields.NotNegative, "minimum breaking force [N]"]
    rotation_resistant: Annotated[bool, "whether it is rotation-resistant"]
    lay: Annotated[fields.Lay | None, "lay"]
    drum_hand: Annotated[fields.Hand | None, "hand of the wraps on the drum"]
    lay_direction: Annotated[fields.Hand | None, "direction of lay that suits it"]


class DrumFill(TypedDict):
    """How the new rope fills the drum."""

    layers: Annotated[fields.Ordinal, "layers [-]"]
    rope_when_full_m: Annotated[fields.NotNegative, "rope with the outermost layer full, layer by layer [m]"]
    handbook_m: Annotated[
        fields.NotNegative, "the same by the handbook formula, which knows neither pitch nor valleys [m]"
    ]
    outside_diameter_m: Annotated[fields.NotNegative, "over the outermost layer [m]"]
    flange_diameter_m: Annotated[fields.NotNegative, "flanges [m]"]
    freeboard_m: Annotated[float, "flange above the outermost layer [m]"]
    freeboard_wanted_m: Annotated[fields.NotNegative, "least by the rule [m]"]
    longest_rope_m: Annotated[fields.NotNegative, "longest rope in whole layers with that freeboard [m]"]


class Ratio(TypedDict):
    """One ratio of a diameter to that of the rope."""

    what: Annotated[Across, "what"]
    diameters: Annotated[fields.NotNegative | None, "rope diameters across [-]"]
    least: Annotated[fields.NotNegative, "least by the rule [-]"]
    least_diameter_m: Annotated[fields.NotNegative, "the same as a diameter [m]"]
    enough: Annotated[bool | None, "whether it is enough"]
    rule: RestsOn


class FleetAngle(TypedDict):
    """Fleet angle with one boom length."""

    boom: fields.BoomInItsAddress
    boom_length_m: fields.BoomLength
    distance_m: Annotated[fields.NotNegative | None, "drum to first sheave [m]"]
    angle_deg: Annotated[fields.NotNegative | None, "angle off square [deg]"]
    least_deg: Annotated[fields.NotNegative, "least by the rule [deg]"]
    most_deg: Annotated[fields.NotNegative, "most by the rule [deg]"]
    outcome: Annotated[AgainstLimits | None, "against the limits"]
    rule: RestsOn


class StrengthRegime(TypedDict):
    """Least design factor under one regime."""

    least: Annotated[fields.NotNegative, "least [-]"]
    enough: Annotated[bool, "whether it is enough"]
    rule: RestsOn


class StrengthRegimes(TypedDict):
    """Least design factor under both regimes."""

    iso: Annotated[StrengthRegime, "iso"]
    us: Annotated[StrengthRegime, "us"]


class Strength(TypedDict):
    """Breaking force, mass and design factor of the rope."""

    minimum_breaking_force_n: Annotated[fields.NotNegative, "minimum breaking force of the data [N]"]
    implied_breaking_force_n: Annotated[fields.NotNegative, "what construction and grade imply [N]"]
    mass_kg_per_m: Annotated[fields.NotNegative, "mass of the data [kg/m]"]
    implied_mass_kg_per_m: Annotated[fields.NotNegative, "what the construction implies [kg/m]"]
    factors_read: Annotated[Literal["second-hand", "from-memory"], "how the factors of the construction were read"]
    rated_line_pull_n: Annotated[fields.NotNegative, "rated line pull [N]"]
    design_factor: Annotated[fields.NotNegative, "breaking force over line pull [-]"]
    regimes: Annotated[StrengthRegimes, "least design factor by regime"]


class BackTension(TypedDict):
    """Tension to wind a new rope on with, and that of the rope on the drum."""

    least_share: Annotated[fields.NotNegative, "least by the rule, share of the breaking force [-]"]
    most_share: Annotated[fields.NotNegative, "most by the rule [-]"]
    least_n: Annotated[fields.NotNegative, "least [N]"]
    most_n: Annotated[fields.NotNegative, "most [N]"]
    published_low_n: Annotated[fields.NotNegative, "lower end of what is published [N]"]
    published_high_n: Annotated[fields.NotNegative, "upper end [N]"]
    firm_n: Annotated[
        fields.NotNegative, "least drum tension of a firm wrap when the rope is wound firm under load [N]"
    ]
    rule: RestsOn
    used_n: Annotated[fields.NotNegative | None, "what the rope on the drum went on with [N]"]
    used_share: Annotated[fields.NotNegative | None, "the same as a share of the breaking force [-]"]
    outcome: Annotated[AgainstLimits | None, "against the limits"]


class RunInBoom(TypedDict):
    """Running the new rope in with one boom length."""

    boom: fields.BoomInItsAddress
    boom_length_m: fields.BoomLength
    radius_m: Annotated[fields.NotNegative, "steepest listed radius, at which it is worked out [m]"]
    falls: Annotated[fields.Ordinal, "most falls with which the hook comes down [-]"]
    block: fields.BlockId
    rope_on_drum_m: Annotated[fields.Two[float], "rope on the drum with the hook low and at the upper stop [m]"]
    run_m: Annotated[fields.NotNegative, "rope that runs off the drum and back [m]"]
    least_mass_kg: Annotated[
        fields.NotNegative, "least mass of hook block and load that sinks by itself at the upper stop [kg]"
    ]
    sinks: Annotated[bool, "whether hook block and light load do"]


class RunIn(TypedDict):
    """How the new rope is run in."""

    light_load_kg: Annotated[fields.NotNegative, "light load of the rule, below the hook block [kg]"]
    booms: Annotated[list[RunInBoom], "boom lengths with which the hook comes down to the ground"]


class OnTheDrum(TypedDict):
    """The rope on the drum now."""

    fitted: Annotated[str | None, "day it was fitted, year-month-day"]
    length_m: Annotated[fields.NotNegative | None, "length by the log [m]"]
    reference_m: Annotated[fields.NotNegative | None, "reference diameter [m]"]
    lay_direction: Annotated[fields.Hand | None, "direction of its lay"]


class NewRope(TypedDict):
    """The rope to order for one crane, and how to wind it on."""

    schema: fields.FormatVersion
    machine: fields.MachineId
    status: fields.StatusInShort
    day: Annotated[str, "day whose rules, log and readings count, year-month-day"]
    order: Annotated[Order, "what to order"]
    drum: Annotated[DrumFill, "how the rope fills the drum"]
    ratios: Annotated[list[Ratio], "drum and sheaves against the rope"]
    fleet_angle: Annotated[list[FleetAngle], "fleet angle at the flange by boom length"]
    strength: Annotated[Strength, "strength and mass"]
    back_tension: Annotated[BackTension, "back tension while it goes on"]
    run_in: Annotated[RunIn, "running in: rope a light load runs through from the ground to the upper stop"]
    on_the_drum: Annotated[OnTheDrum, "the rope on the drum"]
    deviations: Annotated[list[Deviation], "what is not as it should be with it"]


class Used(TypedDict):
    """One rig of the log at its lowest hook, and what a cut changes for it."""

    boom: fields.BoomInItsAddress
    boom_length_m: fields.BoomLength
    falls: fields.FallCount
    block: fields.BlockId
    radius_m: Annotated[fields.NotNegative, "least radius of the work [m]"]
    hook_height_m: Annotated[fields.NotNegative, "lowest hook of the work [m]"]
    rope_on_drum_m: Annotated[fields.NotNegative, "rope on the drum then [m]"]
    layer: Annotated[fields.Ordinal, "layer [-]"]
    wrap: Annotated[fields.NotNegative, "wraps in that layer [-]"]
    spare_m: Annotated[float, "rope on the drum above the stop wraps; below 0: the stop wraps are passed [m]"]
    stop_height_m: Annotated[
        fields.Two[float],
        "hook height the crew does not go below, now and after the cut, empty hook; may lie below ground [m]",
    ]
    rises_m: Annotated[fields.NotNegative, "how much higher that is [m]"]


class PossibleCut(TypedDict):
    """A cut at the drum end by whole wraps and a part."""

    wraps: Annotated[fields.NotNegative, "wraps of the middle layer [-]"]
    length_m: Annotated[fields.NotNegative, "length [m]"]
    off_turns: Annotated[
        list[fields.NotNegative | None],
        "by layer, how far what wore at a crossover then lies from the nearer one, share of a turn; null for a "
        "layer that does not cross [-]",
    ]
    least_off_turns: Annotated[
        fields.NotNegative | None, "least distance from a crossover over all layers that cross, share of a turn [-]"
    ]
    enough_left: Annotated[bool | None, "whether the stop wraps stay at the lowest hook"]
    stop_height_m: Annotated[
        list[float],
        "stop height after the cut, empty hook, one for each entry of used in its order; may lie below ground [m]",
    ]


class LayerShift(TypedDict):
    """How the crossovers of one layer move."""

    layer: Annotated[fields.Ordinal, "layer [-]"]
    crosses: Annotated[bool, "whether rope of this layer crosses over rope"]
    wrap_length_m: Annotated[fields.NotNegative, "length of one wrap [m]"]
    shift_turns: Annotated[fields.NotNegative, "how far rope comes to lie elsewhere, share of a turn [-]"]
    off_turns: Annotated[
        fields.NotNegative, "how far what wore at a crossover then lies from the nearer one, share of a turn [-]"
    ]
    off_m: Annotated[fields.NotNegative, "the same along the rope [m]"]


class Cut(TypedDict):
    """One cut, and what it does to each layer."""

    length_m: Annotated[fields.NotNegative, "length [m]"]
    end: Annotated[fields.RopeEnd, "end it is cut off at"]
    rope_left_m: Annotated[float, "rope left [m]"]
    enough_left: Annotated[bool | None, "whether the stop wraps stay at the lowest hook"]
    layers: Annotated[list[LayerShift], "what it does to each layer"]


class Reach(TypedDict):
    """What may be cut off with one boom length."""

    boom: fields.BoomInItsAddress
    boom_length_m: fields.BoomLength
    radius_m: Annotated[fields.NotNegative, "steepest listed radius, at which it is worked out [m]"]
    hook_height_m: Annotated[fields.NotNegative, "how low the hook comes there, the rule's clearance [m]"]
    falls: Annotated[
        fields.Ordinal | None, "most falls with which it does and the stop wraps stay; null where it never does [-]"
    ]
    block: Annotated[str | None, "id of the hook block for these falls; null where there are none"]
    spare_m: Annotated[
        fields.NotNegative | None, "most that may be cut off with these falls; null where there are none [m]"
    ]


class Shortening(TypedDict):
    """What may be cut off one rope, and what each cut moves."""

    schema: fields.FormatVersion
    machine: fields.MachineId
    status: fields.StatusInShort
    day: fields.DayOfRulesAndLog
    rope_length_m: Annotated[fields.NotNegative, "rope length by the log, else by the crane's data [m]"]
    dead_rope_m: Annotated[fields.NotNegative, "rope of the dead wraps [m]"]
    stop_rope_m: Annotated[fields.NotNegative, "rope of the stop wraps [m]"]
    stop_wraps: Annotated[fields.Ordinal, "stop wraps [-]"]
    used: Annotated[list[Used], "what the rope is used for, by the log"]
    may_be_cut_m: Annotated[fields.NotNegative | None, "most that may be cut off [m]"]
    middle_layer: Annotated[fields.Ordinal, "middle layer, by whose wraps the rule measures [-]"]
    cuts: Annotated[list[PossibleCut], "cuts of whole wraps and a part"]
    cut: Annotated[Cut, "the cut asked for"]
    booms: Annotated[list[Reach], "what the rope still reaches, by boom length"]
