"""The files of the feed that hold data as it was entered: cranes, rules, logs; every field, declared once.

From here mypy knows the keys and `hooks.building.schemas` writes the schemas of the feed.
"""

from typing import Annotated, Literal, NotRequired, Required, TypedDict

from calc import fields
from calc.drum_log.drum_fields import SuspendedLoad

NOT_SAID = "null where the data does not say"
PageAddress = Annotated[str, "its page: address from the root of the site"]


class Approval(TypedDict):
    """Who compared the data with the manual."""

    reviewer: Annotated[str, "who compared it"]
    date: Annotated[fields.Day, "day of the review, year-month-day"]
    pages: Annotated[str, "pages of the manual that were compared"]


class Rope(TypedDict):
    """Hoist rope."""

    diameter_m: Annotated[float, "nominal diameter, d [m]"]
    length_m: Annotated[float, "length [m]"]
    mass_kg_per_m: Annotated[float, "mass per length [kg/m]"]
    minimum_breaking_force_n: Annotated[float, "minimum breaking force [N]"]
    construction: Annotated[str, "construction"]
    grade_n_per_m2: Annotated[float, "rope grade [N/m2]"]
    rotation_resistant: Annotated[bool, "true for a rotation-resistant rope"]
    outer_strands: Annotated[fields.Count | None, f"outer strands; {NOT_SAID} [-]"]
    outer_wires: Annotated[fields.Count | None, f"load-bearing wires in the outer strands; {NOT_SAID} [-]"]
    seale: Annotated[bool | None, f"true where the outer strands are of Seale type; {NOT_SAID}"]
    lay: Annotated[fields.Lay | None, f"lay; {NOT_SAID}"]
    lay_direction: Annotated[fields.Hand | None, f"direction in which the strands run round the rope; {NOT_SAID}"]


class Drum(TypedDict):
    """Winch drum."""

    groove_root_diameter_m: Annotated[float, "diameter at the groove root; of a smooth drum the barrel, D_b [m]"]
    groove_pitch_m: Annotated[float, "groove pitch; of a smooth drum the distance of the wraps [m]"]
    wraps_odd_layers: Annotated[fields.Count, "wraps of a full layer 1, 3, 5 ... [-]"]
    wraps_even_layers: Annotated[fields.Count, "wraps of a full layer 2, 4, 6 ... [-]"]
    flange_diameter_m: Annotated[float, "flange diameter [m]"]
    width_m: Annotated[float, "width between the flanges [m]"]
    surface: Annotated[fields.Surface, "surface of the barrel"]
    hand: Annotated[fields.Hand | None, "the first layer runs like a thread of this hand; null where nobody looked"]
    first_sheave_m: Annotated[
        float | None, "from the drum to the first sheave; null where that is the one at the boom head [m]"
    ]


class Winch(TypedDict):
    """Winch."""

    rated_line_pull_n: Annotated[float, "rated line pull the charts are based on, F [N]"]
    rated_layer: Annotated[fields.Count, "layer at which pull and speed are rated, counted from 1 [-]"]
    line_speed_m_per_s: Annotated[float, "largest line speed at that layer [m/s]"]
    power_w: Annotated[float, "hoisting power [W]"]
    drag_n: Annotated[
        float | None, "pull that turns the free drum; null where the manual gives none and the rule's value counts [N]"
    ]


class Reeving(TypedDict):
    """Boom head and reeving."""

    sheave_radius_m: Annotated[float, "sheave radius to the middle of the rope, R_s [m]"]
    sheaves_to_drum: Annotated[fields.Count, "sheaves from fall 1 to the drum, head sheave included, k [-]"]
    bearings: Annotated[fields.Bearings, "bearings of the sheaves"]
    most_falls: Annotated[fields.Count, "most falls the boom head takes [-]"]
    upper_stop_m: Annotated[float, "least distance from hook block sheave to head sheave [m]"]


class Block(TypedDict):
    """One hook block."""

    id: Annotated[str, "id of the block"]
    mass_kg: Annotated[float, "mass of the block [kg]"]
    height_m: Annotated[float, "hook to sheave axis, b [m]"]
    falls: Annotated[fields.Two[fields.Count], "fewest and most falls [-]"]
    capacity_kg: Annotated[float, "capacity of the block [kg]"]


class Jib(TypedDict):
    """A jib or runner as rigged."""

    id: Annotated[str, "id of the jib as rigged"]
    kind: Annotated[fields.JibKind, "fixed; runner; luffing: luffed by its own winch, the main boom held"]
    length_m: Annotated[float, "from the boom head to the jib-head sheave, j [m]"]
    offset_deg: Annotated[float | None, "below the line of the boom, delta; null for a luffing jib [deg]"]
    boom_angle_deg: Annotated[float | None, "angle at which the boom is held, beta; null but for a luffing jib [deg]"]
    rope_longer_than_jib_m: Annotated[float, "rope from boom head to jib head less jib length, a_j [m]"]
    luffing_rad_per_s: Annotated[float | None, "luffing speed; null but for a luffing jib [rad/s]"]
    least_angle_deg: Annotated[
        float | None, "least angle of a luffing jib, else of the boom; null: as without it [deg]"
    ]
    reeving: Annotated[Reeving, "head of the jib"]


class Boom(TypedDict):
    """Boom."""

    pivot_forward_m: Annotated[float, "pivot in front of the slew axis, below 0 behind it, x_p [m]"]
    pivot_height_m: Annotated[float, "pivot above ground, z_p [m]"]
    winch_height_m: Annotated[float, "winch drum above ground, z_w [m]"]
    rope_path_extra_m: Annotated[float, "rope from drum to boom head less boom length, a [m]"]
    luffing_rad_per_s: Annotated[float, "luffing speed [rad/s]"]
    telescoping_m_per_s: Annotated[float | None, "telescoping speed; null for a lattice boom [m/s]"]
    clear_radius_m: Annotated[float | None, "radius at which the load clears the carrier; null for a lattice boom [m]"]
    least_angle_deg: Annotated[float, "least boom angle [deg]"]
    load_return: Annotated[fields.LoadReturn, "how the load comes back under the hook for the next pass"]
    jibs: NotRequired[Annotated[list[Jib], "jibs as rigged, where there are any"]]


class Chart(TypedDict):
    """Capacity chart of one boom length."""

    boom: Annotated[str, "boom length as in its address, in the unit of the crane's own data"]
    boom_length_m: Annotated[float, "boom length [m]"]
    rows: Annotated[list[fields.Two[float]], "radius [m] and rated capacity [kg] by growing radius"]
    telescoping_kg: Annotated[float | None, "load this boom length may telescope with; null where none is listed [kg]"]


class Configuration(TypedDict):
    """One way the crane is set up."""

    id: fields.ConfigurationId
    name: Annotated[str, "name of the configuration"]
    jib: NotRequired[Annotated[str, "id of the jib its charts hold for; left out, they hold for the main boom"]]
    charts: Annotated[list[Chart], "capacity charts by growing boom length"]


class Override(TypedDict):
    """A value the machine's own manual states in place of a rule's."""

    rule: Annotated[str, "id of the rule"]
    value: Annotated[str, "name of the value"]
    text: Annotated[str, "value as the file writes it"]
    quantity: Annotated[
        float, "value in SI units: lengths in m, masses in kg, times in s, shares and counts as numbers [SI]"
    ]
    page: Annotated[str, "page of the manual"]
    reason: Annotated[str, "what the manual says"]


class PlanAddress(TypedDict):
    """Where one plan stands."""

    configuration: fields.ConfigurationId
    boom: fields.BoomInItsAddress
    refused: Annotated[bool, "true when there is no plan and the file says why"]
    page: PageAddress
    data: Annotated[str, "its data: address from the root of the site"]


class LiftsAddress(TypedDict):
    """Where the heavy lifts with one boom length stand."""

    boom: fields.BoomInTheAddress
    configuration: Annotated[str, "id of the configuration: the first-listed one with this boom length"]
    data: Annotated[str, "address of its file of heavy lifts"]


class MachineFacts(TypedDict):
    """One crane: its data in SI and the addresses of its plans."""

    schema: fields.FormatVersion
    id: fields.MachineId
    name: Annotated[str, "name of the crane"]
    kind: Annotated[fields.BoomKind, "kind of boom"]
    description: Annotated[str, "what this crane is and what it does every day"]
    capacity_class_kg: Annotated[float, "capacity class [kg]"]
    status: fields.StatusOfData
    approval: Annotated[Approval | None, "who compared this revision with the manual; null where it is not approved"]
    revision: Annotated[fields.Day, "day of this revision of the data, year-month-day"]
    change: Annotated[str | None, "what this revision changed; null for the first"]
    rulebook: Annotated[fields.Rulebook, "which rules apply: iso or us"]
    yard: Annotated[str, "id of the yard whose weights and slings it uses"]
    units: Annotated[fields.Units, "units of the crane's own data: metric or us"]
    source: Annotated[str, "where the data comes from"]
    source_pages: Annotated[
        dict[str, str],
        "pages of the source by block of the data",
        fields.Is(
            propertyNames={"enum": ["rope", "drum", "winch", "reeving", "blocks", "boom", "charts", "telescoping"]}
        ),
    ]
    rope: Annotated[Rope, "hoist rope as fitted"]
    drum: Annotated[Drum, "winch drum"]
    winch: Annotated[Winch, "winch"]
    reeving: Annotated[Reeving, "head of the boom"]
    blocks: Annotated[list[Block], "hook blocks by growing falls"]
    boom: Annotated[Boom, "boom"]
    configurations: Annotated[list[Configuration], "chart configurations, the most cautious first"]
    overrides: Annotated[list[Override], "values the machine's own manual states in place of a rule's"]
    plans: Annotated[list[PlanAddress], "every plan of this crane"]


class DrumFiles(TypedDict):
    """Where the files about drum and rope of one crane stand."""

    work: Annotated[str, "address of its file of everyday work"]
    fitness: Annotated[str, "address of the fitness of its rope: limits, readings, where to look"]
    upkeep: Annotated[str | None, "address of the log of its rope; null without a log"]
    upkeep_table: Annotated[str | None, "address of the same as a table (CSV); null without a log"]
    state: Annotated[str | None, "address of the state of its drum; null without a log, or before it begins"]
    drum_plan: Annotated[
        str | None,
        "address of the plan that the state of its drum names; null without one, or where it is one of the plans",
    ]
    shortening: Annotated[str, "address of what may be cut off its rope"]
    new_rope: Annotated[str, "address of the rope to order for it"]
    ready: Annotated[list[LiftsAddress], "every boom length with its heavy lifts"]


class Machine(MachineFacts, DrumFiles):
    """One crane: its data in SI, the addresses of its plans and of the files about drum and rope."""


class MachineAddress(TypedDict):
    """Where one crane stands."""

    id: fields.MachineId
    name: Annotated[str, "name of the crane"]
    kind: Annotated[fields.BoomKind, "kind of boom"]
    status: fields.StatusOfData
    revision: Annotated[fields.Day, "day of this revision of the data, year-month-day"]
    page: PageAddress
    data: Annotated[str, "its data: address from the root of the site"]


class Machines(TypedDict):
    """All cranes with their addresses."""

    schema: fields.FormatVersion
    day: fields.DayOfRules
    machines: Annotated[list[MachineAddress], "all cranes by id"]


class Value(TypedDict):
    """One rule value."""

    text: Annotated[str, "value as the file writes it"]
    si: Annotated[float, "value in SI units: lengths in m, masses in kg, times in s, shares and counts as numbers [SI]"]


class Condition(TypedDict, total=False):
    """What a fact must be for a rule to apply."""

    const: Annotated[str | float | bool, "exactly this"]
    enum: Annotated[list[str | float | bool], "any of these"]
    minimum: Annotated[float, "this or more; boom length in m, falls and layers counted [SI]"]
    maximum: Annotated[float, "this or less; boom length in m, falls and layers counted [SI]"]
    exclusiveMinimum: Annotated[float, "more than this; boom length in m, falls and layers counted [SI]"]
    exclusiveMaximum: Annotated[float, "less than this; boom length in m, falls and layers counted [SI]"]


class Source(TypedDict):
    """Where a rule comes from."""

    kind: Annotated[fields.SourceKind, "kind of source"]
    citation: Annotated[str, "document as one would look it up"]
    clause: Annotated[str | None, "clause, section or page; null where none is given"]
    read: Annotated[fields.SourceRead, "how it was read: yes in the document itself, second-hand, from-memory"]


class ChangedValue(TypedDict):
    """One value a version changed."""

    name: Annotated[str, "name of the value"]
    before: Annotated[str | None, "as written before; null where it is new"]
    after: Annotated[str | None, "as written now; null where it is gone"]


# One dated version of a rule.
Version = TypedDict(
    "Version",
    {
        "from": Annotated[fields.Day, "first day of the version, year-month-day"],
        "standing": Annotated[fields.Standing, "where the version stands on the day"],
        "statement": Annotated[str, "what the rule says"],
        "values": Annotated[
            dict[str, Value], "values by name", fields.Is(propertyNames={"pattern": "^[a-z][a-z0-9_]*$"})
        ],
        "informative": Annotated[list[str], "names of values that no calculation reads"],
        "applies": Annotated[
            dict[str, Annotated[Condition, fields.Is(minProperties=1)]],
            "when the rule applies, by fact; all facts must match, none is always",
            fields.Is(
                propertyNames={
                    "enum": ["boom_kind", "boom_length_m", "falls", "rope_rotation_resistant", "rulebook", "layers"]
                }
            ),
        ],
        "reason": Annotated[str, "why"],
        "cautions": Annotated[list[str], "what to watch"],
        "sources": Annotated[list[Source], "where it comes from"],
        "change": Annotated[str, "what this version changed"],
        "changed_values": Annotated[
            list[ChangedValue],
            "values that differ from the version before, as written; null where a value is new or gone",
        ],
        "withdrawn": Annotated[bool, "true when the rule no longer applies from this day"],
        "replaced_by": Annotated[str | None, "id of the rule that takes its place; null where there is none"],
        "page": Annotated[str, "the page of this version: address from the root of the site"],
    },
)


class Rule(TypedDict):
    """One rule with all its versions."""

    id: Annotated[str, "id of the rule, as in its address"]
    code: Annotated[fields.RuleCode, "code, never used again for another rule"]
    title: Annotated[str, "title"]
    topic: Annotated[str, "topic"]
    standing: Annotated[Literal["announced", "in-force", "withdrawn"], "where the rule stands on the day"]
    in_force: Annotated[
        fields.Day | None, "first day of the version that holds; null before the first and when the rule is withdrawn"
    ]
    announced: Annotated[fields.Day | None, "first day of the next version, null when none is announced"]
    page: PageAddress
    versions: Annotated[list[Version], "all versions, newest first"]


class Rules(TypedDict):
    """All rules."""

    schema: fields.FormatVersion
    day: fields.DayOfRules
    rules: Annotated[list[Rule], "all rules"]


class NewRope(TypedDict):
    """A new rope was wound on."""

    length_m: Annotated[fields.Positive, "rope length fitted [m]"]
    tension_n: Annotated[fields.NotNegative, "back tension it was wound with [N]"]
    diameter_m: Annotated[fields.Positive | None, "nominal diameter, null where it is not written [m]"]


class PreTensioning(TypedDict):
    """One pass of pre-tensioning."""

    boom_length_m: Annotated[fields.Pair[fields.Positive], "boom length at the start and at the end [m]"]
    configuration: fields.ConfigurationWritten
    falls: fields.FallCount
    block: fields.BlockId
    load_kg: SuspendedLoad
    line_pull_n: Annotated[
        fields.Positive | None,
        "least line pull measured at the winch while winding in under load, null where it is not written [N]",
    ]
    radius_m: Annotated[fields.Pair[fields.Positive], "radius at the start and at the end [m]"]
    drum_before: Annotated[fields.Pair[fields.Ordinal], "layer and whole wraps in it before winding, counted up [-]"]
    drum_after: Annotated[fields.Pair[fields.Ordinal], "layer and whole wraps in it after landing, counted down [-]"]


class Work(TypedDict):
    """Lifts of one kind."""

    boom_length_m: fields.SomeBoomLength
    configuration: fields.ConfigurationWritten
    radius_m: Annotated[fields.Positive, "radius; of many lifts the smallest [m]"]
    largest_radius_m: Annotated[
        fields.Positive | None, "largest radius of the worst case of many lifts, null for lifts of one kind [m]"
    ]
    falls: fields.FallCount
    block: fields.BlockId
    load_kg: Annotated[
        fields.NotNegative,
        "load below the hook block, slings included; 0 for the empty hook; of many lifts the lightest [kg]",
    ]
    line_pull_n: Annotated[
        fields.Positive | None,
        "least line pull measured at the winch while winding in under load, null where it is not written [N]",
    ]
    hook_height_m: Annotated[
        fields.Pair[fields.NotNegative],
        "hook above ground where the load is taken and where it is set down; of many lifts the lowest and the "
        "highest [m]",
    ]
    repeats: Annotated[fields.Ordinal, "how often [-]"]


class ReReeving(TypedDict):
    """Other falls were reeved."""

    boom_length_m: fields.SomeBoomLength
    configuration: fields.ConfigurationWritten
    falls: fields.FallCount
    block: fields.BlockId


class Unwinding(TypedDict):
    """Rope was run off and wound back."""

    length_m: Annotated[fields.Positive, "rope run off the drum [m]"]


class Jump(TypedDict):
    """A wrap jumped."""

    layer: Annotated[fields.Ordinal, "layer it was seen in, counted from 1 [-]"]


class Shortening(TypedDict):
    """Rope was cut off."""

    length_m: Annotated[fields.Positive, "rope cut off [m]"]
    end: Annotated[Literal["hook", "drum"], "end it was cut off"]


class EntryHead(TypedDict):
    """One entry of the log, without what was done."""

    entry: fields.EntryNumber
    day: Annotated[str, "day of the entry, year-month-day"]
    until: Annotated[str | None, "last day of the work, year-month-day; null where it did not go on for more than one"]
    kind: Annotated[fields.EntryKind, "what was done"]
    note: fields.LogNote
    rope_length_m: Annotated[fields.Positive, "rope length after the entry [m]"]


class WasDone(TypedDict, total=False):
    """What was done, under the name of its kind."""

    new_rope: Annotated[NewRope, "a new rope on the drum"]
    pre_tensioning: Annotated[PreTensioning, "one pass of winding firm under load"]
    work: Annotated[Work, "lifting work of one kind, or the worst case of many lifts"]
    re_reeving: Annotated[
        ReReeving, "other falls or another boom length, reeved through the boom head with the boom lowered"
    ]
    unwinding: Annotated[Unwinding, "rope run off without a load and wound back"]
    jump: Annotated[Jump, "a wrap that jumped, climbed, gapped or pulled in, or slack rope"]
    shortening: Annotated[Shortening, "rope cut off"]


class Entry(EntryHead, WasDone):
    """One entry of the log; what was done stands under the name of its kind."""


class BrokenWires(TypedDict):
    """Broken wires by where they were counted."""

    in_6_diameters: Annotated[fields.Count, "over 6 rope diameters, where they are most [-]"]
    in_30_diameters: Annotated[fields.Count, "over 30 rope diameters [-]"]
    in_one_lay: NotRequired[Annotated[fields.Count, "over one lay [-]"]]
    in_one_strand: NotRequired[Annotated[fields.Count, "in one strand, over one lay [-]"]]
    in_valleys: NotRequired[Annotated[fields.Count, "in the valleys between strands, over one lay [-]"]]
    at_end_fitting: NotRequired[Annotated[fields.Count, "at the end fitting [-]"]]


# What was read at one place.
Place = TypedDict(
    "Place",
    {
        "place": Annotated[fields.RopePlace, "crossover, flange, drum, sheaves, straight, end-fitting"],
        "from": Annotated[
            fields.RopeEnd | None,
            "end of the rope from which the distance counts: drum or hook; null where it was not written down",
        ],
        "distance_m": Annotated[
            fields.NotNegative | None, "distance from that end when it was read; null where it was not written down [m]"
        ],
        "broken_wires": Annotated[BrokenWires | None, "visible broken wires; null where they were not counted"],
        "diameter_m": Annotated[
            fields.Two[float] | None, "two readings at right angles; null where it was not measured [m]"
        ],
        "waviness_m": Annotated[
            fields.NotNegative | None, "gap under a straight edge; null where it was not measured [m]"
        ],
        "seen": Annotated[
            list[str] | None,
            "corrosion, deformation, heat, end fitting: codes of what was seen, none for nothing; null where nobody "
            "looked",
        ],
    },
)


class Inspection(TypedDict):
    """Readings of one day."""

    inspection: Annotated[fields.Count, "inspection of the readings, counted from 0 [-]"]
    day: Annotated[str, "day of the inspection, year-month-day"]
    kind: Annotated[fields.InspectionKind, "monthly: by a competent person; full: whole length, by a qualified person"]
    by: Annotated[str, "who inspected, and as what"]
    note: Annotated[str, "what else was found"]
    rope_length_m: Annotated[fields.Positive, "rope length on that day [m]"]
    reference_diameter_m: Annotated[
        fields.Two[float] | None,
        "diameter right after running in, two readings at right angles; null where it was not taken [m]",
    ]
    places: Annotated[list[Place], "what was read, place by place"]


class Upkeep(TypedDict):
    """The log and the readings of one rope."""

    schema: fields.FormatVersion
    machine: fields.MachineId
    status: fields.StatusOfData
    log: Annotated[list[Entry], "what was done, oldest first; each entry has the field its kind names"]
    inspections: Annotated[list[Inspection], "inspections, oldest first, of this rope and those before it"]


# One row of the log as a table.
Row = TypedDict(
    "Row",
    {
        "machine": Required[Annotated[str, "id of the crane"]],
        "entry": Annotated[fields.Count, "entry of the log, counted from 0; empty for an inspection [-]"],
        "inspection": Annotated[
            fields.Count, "inspection of the readings, counted from 0; empty for an entry of the log [-]"
        ],
        "day": Required[fields.PlainDay],
        "until": Annotated[str, "last day of work that went on for more than one, year-month-day"],
        "kind": Required[
            Annotated[
                Literal[
                    "new-rope",
                    "pre-tensioning",
                    "work",
                    "re-reeving",
                    "unwinding",
                    "jump",
                    "shortening",
                    "inspection-monthly",
                    "inspection-full",
                ],
                "what was done",
            ]
        ],
        "note": fields.LogNote,
        "by": Annotated[str, "who inspected, and as what"],
        "rope_length_m": Required[Annotated[float, "rope length afterwards [m]"]],
        "tension_n": Annotated[float, "new rope: back tension it was wound with [N]"],
        "cut_or_run_off_m": Annotated[float, "rope fitted, cut off, or run off and wound back [m]"],
        "end": Annotated[Literal["hook", "drum"], "end it was cut off at"],
        "layer_moved": Annotated[int, "layer in which a wrap moved [-]"],
        "boom_length_m": Annotated[float, "boom length [m]"],
        "boom_length_end_m": Annotated[float, "boom length at the end of winding firm [m]"],
        "configuration": fields.ConfigurationId,
        "falls": Annotated[int, "falls [-]"],
        "block": fields.BlockId,
        "load_kg": Annotated[
            float,
            "load; pre-tensioning: with hook block and slings, work: below the hook block, of many lifts the "
            "lightest [kg]",
        ],
        "line_pull_n": Annotated[float, "least line pull measured at the winch while winding in under load [N]"],
        "radius_m": Annotated[float, "radius, at the start of pre-tensioning, of many lifts the smallest [m]"],
        "radius_end_m": Annotated[float, "radius at the end of winding firm [m]"],
        "largest_radius_m": Annotated[float, "largest radius of work that is the worst case of many lifts [m]"],
        "hook_height_m": Annotated[float, "hook height where the load is taken, of many lifts the lowest [m]"],
        "hook_height_end_m": Annotated[float, "hook height where it is set down, of many lifts the highest [m]"],
        "repeats": Annotated[int, "how often [-]"],
        "layer_before": Annotated[int, "drum before winding firm: layer [-]"],
        "wraps_before": Annotated[int, "wraps in that layer, counted up [-]"],
        "layer_after": Annotated[int, "drum after landing: layer [-]"],
        "wraps_after": Annotated[int, "wraps in that layer, counted down [-]"],
        "reference_diameter_m": Annotated[float, "diameter right after running in [m]"],
        "reference_diameter_other_m": Annotated[float, "the second reading, at right angles [m]"],
        "place": Annotated[fields.RopePlace, "place that was read"],
        "from": Annotated[fields.RopeEnd, "end of the rope from which the distance counts"],
        "distance_m": Annotated[float, "distance from that end [m]"],
        "broken_in_6_diameters": Annotated[fields.Count, "broken wires over 6 rope diameters, where they are most [-]"],
        "broken_in_30_diameters": Annotated[fields.Count, "broken wires over 30 rope diameters [-]"],
        "broken_in_one_lay": Annotated[fields.Count, "broken wires over one lay [-]"],
        "broken_in_one_strand": Annotated[fields.Count, "broken wires in one strand, over one lay [-]"],
        "broken_in_valleys": Annotated[fields.Count, "broken wires in the valleys between strands, over one lay [-]"],
        "broken_at_end_fitting": Annotated[fields.Count, "broken wires at the end fitting [-]"],
        "diameter_m": Annotated[float, "diameter [m]"],
        "diameter_other_m": Annotated[float, "the second reading, at right angles [m]"],
        "waviness_m": Annotated[float, "gap under a straight edge [m]"],
        "seen": Annotated[str, "codes of what was seen, parted by blanks; nothing: looked at, and nothing seen"],
    },
    total=False,
)
