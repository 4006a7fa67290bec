"""State of the drum, readiness for heavy lifts and everyday work as their reader sees them: every field, declared once.

From here mypy knows the keys and `hooks.building.schemas` writes the schemas of the feed.
"""

from typing import Annotated, Literal, TypedDict

from calc import fields

How = Literal["new", "firm", "loaded", "empty", "parked", "no-load", "not-wound"]
Ended = Literal["time", "heavy-lifts", "diameter"]
DueBy = Literal[How, "jump", Ended]
Advised = Literal["reeved", "fewest", "enough", "most"]
Why = Literal["little-pull", "most-already", "enough", "less-pull"]
SpeedLimit = Literal["drum", "power"]
VerdictCode = Literal["firm-bed", "loose-bed", "loose-bottom", "all-due", "no-log", "not-liftable"]
LiftRefusal = Literal["block-capacity", "over-capacity", "upper-stop", "stop-wraps", "line-pull"]
DeepestLoose = Annotated[
    fields.NotNegative | None, "where the deepest loose wrap begins, as rope from the dead end; null where none is [m]"
]
FirmTension = Annotated[fields.Positive, "least tension at laying of a firm wrap [N]"]
LaidBy = Annotated[
    How,
    "what laid it: new: rope from the reel, firm: winding firm under load, loaded, empty: the empty block, "
    "parked: the empty block on its way to the upper stop, no-load: rope that came in with no tension, "
    "not-wound: rope that is off the drum now and comes in with the empty block",
]
LayerLeft = Annotated[fields.Ordinal, "layer the rope leaves from, counted from 1 [-]"]
LeastTension = Annotated[
    fields.NotNegative | None,
    "least tension at laying in it; null where it is nothing but rope that may stay unreached [N]",
]
LooseBeneath = Annotated[
    fields.NotNegative,
    "rope beneath it that was laid loose, in the part of layer 1 that may stay unreached: look at it before "
    "the lift [m]",
]
LooseIn = Annotated[fields.NotNegative, "rope in it that lies loose [m]"]
RatedLinePull = Annotated[fields.Positive, "rated line pull [N]"]
RuleId = Annotated[str, "id of the rule that says so"]
SuspendedLoad = Annotated[fields.Positive, "load with hook block and slings [kg]"]
TensionRange = Annotated[fields.Pair[fields.NotNegative], "least and largest tension at laying [N]"]
WrapsInLayer = Annotated[fields.Positive, "wraps in that layer [-]"]


class Entry(TypedDict):
    """One entry of the log of the rope."""

    entry: fields.EntryNumber
    day: Annotated[str, "day of the entry, year-month-day"]
    kind: Annotated[fields.EntryKind, "what was done"]
    least_rope_m: Annotated[fields.NotNegative, "least rope on the drum meanwhile: how deep it reached [m]"]
    note: fields.LogNote


class AsRigged(TypedDict):
    """The bed of a full line pull with the falls reeved now."""

    falls: Annotated[fields.Ordinal, "falls reeved [-]"]
    radius_m: Annotated[
        fields.Positive,
        "largest listed radius at which the chart carries the full line pull: nearer in, less rope lies under the"
        " lift [m]",
    ]
    hook_height_m: Annotated[float, "hook height at the pick: lower, less rope lies under the lift [m]"]
    bed_m: Annotated[fields.NotNegative, "rope on the drum at the pick [m]"]
    layer: Annotated[fields.Ordinal, "layer at the pick, counted from 1 [-]"]
    wrap: Annotated[fields.Positive, "wraps in that layer at the pick [-]"]
    ready: Annotated[bool, "whether every wrap it bears on was laid firm, but for what may stay unreached"]
    loose_m: Annotated[
        fields.NotNegative, "rope in and beneath the bed that was laid loose, with what may stay unreached [m]"
    ]
    unreached_loose_m: Annotated[fields.NotNegative, "of that, rope of layer 1 that may stay unreached [m]"]


class Firm(TypedDict):
    """Rope that lies firm at the top of the drum."""

    rope_m: Annotated[fields.Two[fields.NotNegative], "lower and upper end, as rope from the dead end [m]"]
    layer: Annotated[fields.Two[fields.Ordinal], "layer of each end, counted from 1 [-]"]
    wrap: Annotated[fields.Two[fields.NotNegative], "wraps in that layer at each end [-]"]


FirmRope = Annotated[
    Firm | None,
    "from where to where the rope is firm, to whole wraps: a lift bears on firm rope while the drum shows no "
    "more at the pick than the upper end; null where nothing is firm",
]


class Run(TypedDict):
    """Wraps next to each other that lie alike."""

    wraps: Annotated[fields.Pair[fields.NotNegative], "wraps of this layer where it begins and ends [-]"]
    tension_n: TensionRange
    entry: fields.EntryNumber
    how: LaidBy


class Layer(TypedDict):
    """One layer of the drum."""

    layer: Annotated[fields.Ordinal, "layer, counted from 1 [-]"]
    wraps: Annotated[fields.Ordinal, "wraps it holds [-]"]
    rope_m: Annotated[
        fields.Pair[fields.NotNegative], "where it begins and ends when full, as rope from the dead end [m]"
    ]
    runs: Annotated[list[Run], "rope that lies in it, from the first wrap on; empty where none does"]


class LaidAlike(TypedDict):
    """A stretch of rope that was laid alike."""

    rope_m: Annotated[fields.Pair[fields.NotNegative], "where it begins and ends, as rope from the dead end [m]"]
    layer: Annotated[fields.Pair[fields.Ordinal], "layer at both places, counted from 1 [-]"]
    wrap: Annotated[fields.Pair[fields.Positive], "wraps in that layer at both places [-]"]
    tension_n: TensionRange
    entry: fields.EntryNumber
    how: LaidBy


class BedOfFalls(TypedDict):
    """The bed of a full line pull with so many falls."""

    falls: Annotated[fields.Ordinal, "falls of the lift [-]"]
    radius_m: Annotated[
        fields.Positive, "largest listed radius at which the chart carries the full line pull on these falls [m]"
    ]
    hook_height_m: Annotated[float, "hook height at the pick [m]"]
    bed_m: Annotated[fields.NotNegative, "rope on the drum when the load is picked [m]"]
    firm: Annotated[bool, "whether all of it is firm that must be"]
    loose_m: LooseIn
    unreached_loose_m: LooseBeneath
    deepest_loose_m: DeepestLoose
    least_tension_n: LeastTension


class Reason(TypedDict):
    """One reason why the drum is not ready."""

    rule: RuleId
    code: fields.CodeOfRule
    entry: fields.EntryNumber
    how: Annotated[
        DueBy, "what laid the loose rope, as above; or what makes all of it due: jump, time, heavy-lifts, diameter"
    ]
    stretch: Annotated[LaidAlike | None, "the loose rope; null where all of the rope is due"]


class Depth(TypedDict):
    """The deepest loose wrap that a heavy lift would lie on."""

    rope_m: Annotated[fields.NotNegative, "where it begins, as rope from the dead end [m]"]
    layer: Annotated[fields.Ordinal, "its layer, counted from 1 [-]"]
    wrap: Annotated[fields.Positive, "wraps in that layer beneath it [-]"]


DeepestWrap = Annotated[Depth | None, "the deepest loose wrap that a heavy lift would lie on; null where there is none"]


class PlanNamed(TypedDict):
    """The plan that mends the drum."""

    boom: fields.BoomInTheAddress
    configuration: fields.ConfigurationId
    rope_length_m: Annotated[fields.Positive, "rope length it is computed for [m]"]
    firm_below_m: Annotated[
        fields.NotNegative,
        "rope from the dead end that is known to lie firm: it need not reach deeper; 0 for all of the rope [m]",
    ]
    falls: fields.FallCount
    load_kg: SuspendedLoad
    method: fields.MethodTaken
    passes: fields.PassCount
    minutes: fields.TimeOfPasses
    ready_for_falls: Annotated[
        fields.Ordinal | None, "fewest falls from which the drum is ready afterwards; null where it is for none [-]"
    ]


class DrumFound(TypedDict):
    """What lies on the drum on one day, and what is due."""

    schema: fields.FormatVersion
    machine: fields.MachineId
    status: fields.MachineStatus
    day: fields.DayOfRulesAndLog
    log: Annotated[list[Entry], "what was done with the rope up to the day, oldest first"]
    rope_length_m: Annotated[fields.Positive, "rope length by the log: as fitted, less what was cut off [m]"]
    rope_on_drum_m: Annotated[fields.NotNegative, "rope on the drum after the last entry [m]"]
    boom: Annotated[str, "boom length last worked with, as in the address"]
    boom_length_m: Annotated[fields.Positive, "the same [m]"]
    configuration: Annotated[
        str, "id of the configuration it is rigged in by the log; the first listed where the log does not say"
    ]
    falls: fields.FallsReeved
    block: Annotated[str | None, "id of the hook block reeved; null before the rope was reeved"]
    as_rigged: Annotated[
        AsRigged | None,
        "the next heavy lift from the ground with boom, configuration and falls as they are, at full line pull, "
        "judged by the most falls that let the hook down there; null before the rope was reeved",
    ]
    firm: FirmRope
    rated_line_pull_n: RatedLinePull
    firm_tension_n: FirmTension
    dead_rope_m: Annotated[fields.NotNegative, "rope that never leaves the drum [m]"]
    layers: Annotated[list[Layer], "layers from the barrel outward, as many as the whole rope needs"]
    loose: Annotated[
        list[LaidAlike],
        "rope above the dead wraps, and above what may stay unreached, that was laid with less than the firm "
        "tension; up to the rope on the drum, or to the largest bed where that is more",
    ]
    beds: Annotated[
        list[BedOfFalls],
        "rope that must be firm for a heavy lift at full line pull from the ground, by falls, the fewest first",
    ]
    firm_from_falls: Annotated[
        fields.Ordinal | None,
        "fewest falls, from those that are reeved on down, on which every bed is firm; null where it is not ready"
        " as rigged [-]",
    ]
    due: Annotated[bool, "whether pre-tensioning is due before the next heavy lift as rigged"]
    reasons: Annotated[list[Reason], "why it is due, the gravest first"]
    depth: DeepestWrap


class DrumState(DrumFound):
    """What lies on the drum on one day, and what to do about it."""

    plan: Annotated[
        PlanNamed | None,
        "the quickest plan that makes the drum ready as it is rigged, or, where it is or none does, ready on the "
        "fewest falls; null where nothing is due or no plan helps",
    ]


class HookAt(TypedDict):
    """The drum at one hook height."""

    hook_height_m: Annotated[float, "hook above ground [m]"]
    rope_on_drum_m: Annotated[fields.NotNegative, "rope on the drum [m]"]
    layer: LayerLeft
    wrap: WrapsInLayer


class OnDrum(TypedDict):
    """Rope on the drum and where it ends."""

    rope_on_drum_m: Annotated[fields.NotNegative, "rope on the drum [m]"]
    layer: LayerLeft
    wrap: WrapsInLayer


class Bed(TypedDict):
    """The rope a lift bears on."""

    firm: Annotated[bool, "whether all of it is firm that must be; false as well where all of the rope is due"]
    loose_m: LooseIn
    unreached_loose_m: LooseBeneath
    deepest_loose_m: DeepestLoose
    least_tension_n: LeastTension
    pull_to_bed: Annotated[
        fields.NotNegative | None,
        "pull of the lead line over that tension; null where that is nothing; no limit is published [-]",
    ]
    firm_out_to_m: Annotated[
        fields.Positive | None,
        "largest listed radius, or that of the pick, out to which the lift bears on firm rope at this hook "
        "height; null where there is none [m]",
    ]
    hook_reserve_m: Annotated[
        fields.NotNegative | None,
        "how much higher the hook could be at the pick and the lift still bear on firm rope, no higher than the "
        "upper stop; null where the bed is loose [m]",
    ]
    most_on_drum: Annotated[
        OnDrum | None,
        "the count: most on the drum at the pick, slings straight and unloaded, at which the lift bears on firm "
        "rope; null where there is none",
    ]


class Lift(TypedDict):
    """One lift with so many falls."""

    radius_m: Annotated[fields.Positive, "radius at which it is picked, as the crew reads it [m]"]
    carried_to_m: Annotated[
        fields.Positive, "largest radius where the chart carries the load and it fits under the head [m]"
    ]
    capacity_use: Annotated[fields.Share, "share of the rated capacity [-]"]
    lead_line_n: Annotated[fields.NotNegative, "largest pull of the lead line while hauling [N]"]
    line_pull_share: Annotated[fields.NotNegative, "the same as a share of the rated line pull [-]"]
    hook_speed_m_per_s: Annotated[fields.Positive, "highest hook speed at the pick [m/s]"]
    speed_limit: Annotated[SpeedLimit, "what limits the speed: drum or power"]
    pick: Annotated[HookAt, "the drum when the load is picked"]
    top: Annotated[HookAt, "the drum at the upper stop"]
    bed_m: Annotated[
        fields.NotNegative, "the bed: rope on the drum when the load has come on, what hangs stretched [m]"
    ]
    bed: Annotated[
        Bed | None,
        "the rope the lift bears on, as the log left it and re-reeving with the boom lowered leaves it; null "
        "without a log",
    ]
    pull_to_firm_bed: Annotated[
        fields.NotNegative,
        "pull of the lead line over the tension of a firm wrap: the ratio after pre-tensioning, at most; no limit"
        " is published [-]",
    ]


class Option(TypedDict):
    """One number of falls: its lift, or what stands against it."""

    falls: fields.FallCount
    block: fields.BlockId
    refused: Annotated[
        LiftRefusal | None,
        "what stands against these falls: block-capacity, over-capacity, upper-stop (no room for the hook under "
        "the head), stop-wraps or line-pull; null where nothing does",
    ]
    lift: Annotated[Lift | None, "the lift on these falls; null where something stands against it"]


class Kept(TypedDict):
    """What stays on the drum when falls are changed, and the firm rope that comes off for it."""

    rope_on_drum_m: Annotated[fields.NotNegative, "rope that stays on the drum [m]"]
    layer: Annotated[fields.Ordinal, "layer the rope then leaves from, counted from 1 [-]"]
    wrap: WrapsInLayer
    firm_lost_m: Annotated[fields.NotNegative, "firm rope that comes off the drum for it [m]"]


class ReReeving(TypedDict):
    """What it takes to change over to other falls."""

    from_falls: Annotated[fields.Ordinal, "falls reeved now [-]"]
    to_falls: Annotated[fields.Ordinal, "falls of the lift [-]"]
    minutes: Annotated[
        fields.NotNegative,
        "minutes of reeving: every fall put in or taken out, another hook block reeved anew; lowering and raising"
        " the boom comes on top [min]",
    ]
    boom_lowered: Annotated[Kept, "re-reeved through the boom head with the boom lowered"]
    boom_up: Annotated[Kept, "rope for the new falls run off with the boom up"]


class Row(Option):
    """One number of falls side by side with others."""

    passes: Annotated[
        bool | None,
        "whether bed, line pull and chart allow the lift; null where there is no log and nothing else stands "
        "against it",
    ]
    re_reeving: Annotated[
        ReReeving | None, "from the rig as reeved now to this one; null where it is the same, or nothing is known"
    ]


class Rows(TypedDict):
    """The numbers of falls worth comparing."""

    reeved: Annotated[Row | None, "falls and hook block as reeved now; null where nobody knows"]
    fewest: Annotated[Row | None, "the fewest falls that pass: bed firm, line pull, chart; null where none pass"]
    enough: Annotated[
        Row | None,
        "the fewest falls that pass and pull little, or where none pass that pull little; null unless they are advised",
    ]
    most: Annotated[
        Row | None,
        "as many falls as practicable: the most that pass, or where none pass the most that lift it; null where "
        "none lift it",
    ]


class Gain(TypedDict):
    """What as many falls as practicable gain over the fewest that pass."""

    line_pull_share: Annotated[float, "line pull less, as a share of the rated one [-]"]
    bed_m: Annotated[float, "bed shorter by, below 0 longer [m]"]
    minutes: Annotated[
        float,
        "time saved for the hook path both have, at the hook speed of the pick, re-reeving counted; below 0 it "
        "takes longer [min]",
    ]


class Verdict(TypedDict):
    """What the drum says about a lift, and by which rule."""

    code: Annotated[
        VerdictCode,
        "firm-bed: the bed of the lift on these falls is firm; loose-bed: pre-tension first; loose-bottom: firm "
        "but for rope of layer 1 that may stay as it is, look at it before the lift; all-due: pre-tension all of "
        "the rope first, it is new, a wrap jumped, or it no longer counts as firm by its time, lifts or diameter;"
        " no-log: nobody knows; not-liftable: no number of falls carries it",
    ]
    rule: RuleId
    rule_code: fields.CodeOfRule


class SetDown(TypedDict):
    """Whether the load can be landed by the boom where it is picked, should the rope pull in."""

    needed: Annotated[bool, "whether a set-down place, cribbing or a second hoist is planned before the lift"]
    boom_down_m: Annotated[
        fields.NotNegative, "how far the boom alone lets the load down before the chart ends, the hoist held [m]"
    ]
    room_out_to_m: Annotated[
        fields.Positive | None, "largest listed radius that leaves room; null where there is none [m]"
    ]
    rule: RuleId
    rule_code: fields.CodeOfRule


class OfCase(TypedDict):
    """The crane, boom and configuration of a lift."""

    schema: fields.FormatVersion
    machine: fields.MachineId
    status: fields.MachineStatus
    day: fields.DayOfRulesAndLog
    boom: fields.BoomInTheAddress
    boom_length_m: fields.SomeBoomLength
    configuration: fields.ConfigurationId


class Readiness(OfCase):
    """Whether the drum is ready for one heavy lift, and with which falls."""

    load_kg: Annotated[fields.Positive, "load below the hook block, slings included [kg]"]
    radius_m: Annotated[
        fields.Positive | None,
        "radius asked for, as the crew reads it; null: for each number of falls the largest listed one that "
        "carries it [m]",
    ]
    hook_height_m: Annotated[float, "hook at the pick above the crane's ground, below it less than 0 [m]"]
    firm_tension_n: FirmTension
    rated_line_pull_n: RatedLinePull
    little_line_pull: Annotated[fields.Positive, "share of the rated line pull up to which more falls gain little [-]"]
    largest_use_to_land: Annotated[
        fields.Positive, "largest use of the chart that leaves room to land the load by the boom [-]"
    ]
    options: Annotated[list[Option], "every number of falls that can be reeved, the fewest first"]
    rows: Annotated[Rows, "the three that are compared, and the falls that are advised where they are none of these"]
    gain: Annotated[
        Gain | None,
        "what as many as practicable gain over the fewest that pass; null where they are the same or one is missing",
    ]
    advised: Annotated[
        Advised | None,
        "which of the rows is advised: reeved, fewest, enough or most; null where no falls lift the load. Where "
        "none pass, pre-tension first",
    ]
    why: Annotated[
        Why | None,
        "why: little-pull (as reeved it passes and pulls little), most-already (as reeved it is on the most falls"
        " that pass), enough (these are the fewest falls that pass and pull little), less-pull (no falls pull so "
        "little; as many as practicable pull least); null where no falls lift the load",
    ]
    falls: Annotated[fields.Ordinal | None, "the falls that are advised; null where none lift the load [-]"]
    verdict: Annotated[Verdict, "what the drum says about the lift on the falls that are advised"]
    re_reeving: Annotated[
        ReReeving | None,
        "the same for the falls that are advised; null where they are reeved already, or nothing is known",
    ]
    set_down: Annotated[
        SetDown | None,
        "whether the load can be landed by the boom where it is picked, should the rope pull in; null where no "
        "falls lift it",
    ]


class Lifts(TypedDict):
    """Readiness for heavy lifts with one boom length, by growing load."""

    schema: fields.FormatVersion
    machine: fields.MachineId
    status: fields.StatusOfData
    day: fields.DayOfRulesAndLog
    boom: fields.BoomInTheAddress
    boom_length_m: fields.SomeBoomLength
    configuration: fields.ConfigurationId
    lifts: Annotated[list[Readiness], "one lift for each load, the lightest first"]


class Laid(TypedDict):
    """Drum tension with the hook low and high."""

    hauling_n: Annotated[
        fields.Pair[float], "drum tension while hauling, hook low and high; below 0 the rope goes slack [N]"
    ]
    paying_out_n: Annotated[
        fields.Pair[float], "drum tension while paying out, hook low and high; below 0 the rope goes slack [N]"
    ]


class WorkOfFalls(TypedDict):
    """What everyday work does to the drum with so many falls."""

    falls: fields.FallCount
    block: fields.BlockId
    block_kg: Annotated[fields.Positive, "its mass [kg]"]
    block_to_overhaul_kg: Annotated[
        fields.NotNegative, "least block mass that pulls the rope off the drum at the upper stop [kg]"
    ]
    rope_on_drum_m: Annotated[fields.Pair[fields.NotNegative], "rope on the drum, hook low and high [m]"]
    layers: Annotated[
        fields.Pair[fields.Ordinal], "innermost and outermost layer that this work lays anew, counted from 1 [-]"
    ]
    empty: Annotated[Laid, "with the empty hook"]
    light: Annotated[Laid, "with the light load"]


class WorkOfBoom(TypedDict):
    """Everyday work with one boom length."""

    boom: fields.BoomInTheAddress
    boom_length_m: fields.SomeBoomLength
    radius_m: Annotated[fields.Positive, "steepest listed radius [m]"]
    falls: Annotated[
        list[WorkOfFalls], "every number of falls with which the hook comes down to the ground, the fewest first"
    ]


class EverydayWork(TypedDict):
    """What everyday work does to the drum of one crane."""

    schema: fields.FormatVersion
    machine: fields.MachineId
    status: fields.MachineStatus
    day: Annotated[str, "day whose rules count, year-month-day"]
    light_load_kg: Annotated[fields.Positive, "light load below the hook block, slings included [kg]"]
    rated_line_pull_n: RatedLinePull
    minimum_breaking_force_n: Annotated[fields.Positive, "minimum breaking force of the rope [N]"]
    firm_tension_n: FirmTension
    drum_drag_n: Annotated[fields.NotNegative, "pull that turns the free drum; under it, paying out, slack appears [N]"]
    booms: Annotated[list[WorkOfBoom], "every listed boom length, the shortest first"]
