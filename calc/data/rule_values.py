"""Every rule value that something reads, declared once: its kind, its limits, what it is, and who reads it.

To add a value: a line here, in the class of its reader, and the value in its rule.
"""

from dataclasses import dataclass
from typing import Annotated, Any, TypedDict

from calc.data.declared import (
    Angle,
    Count,
    Fields,
    ForceOrZero,
    Length,
    LengthOrZero,
    Ratio,
    Share,
    Speed,
    Stress,
    Time,
    declared,
)
from calc.fields import Is, Rulebook

# A share above nothing.
Part = Annotated[Share, Is(above="0 %")]
DrumDiameters = Annotated[Count, "Least diameter of the first layer in rope diameters"]


@dataclass(frozen=True)
class Values:
    """Every rule value one plan needs, resolved for its facts and day."""

    minimum_share: Annotated[Share, "Least suspended mass as a share of the rated line pull for every fall"]
    accepted_share: Annotated[Share, "Least share of the least suspended mass that is accepted"]
    firm_tension_share: Annotated[Share, "Least tension of a firm wrap as a share of the rated line pull"]
    target_share: Annotated[Share, "Share of the rope that is to lie firm"]
    unreached_limit: Annotated[Share, "Most of layer 1 that may stay unreached"]
    most_passes: Annotated[Count, "Most passes of one plan", Is(maximum=10)]
    least_gain_share: Annotated[Share, "Least firm rope a further pass adds, as a share of the rope"]
    dead_wraps: Annotated[Count, "Wraps that always stay on the drum", Is(maximum=20)]
    stop_wraps: Annotated[Count, "Wraps at which the crew stops paying out", Is(maximum=20)]
    count_tolerance: Annotated[
        Count, "Wraps above the stop wraps kept for a rope shorter than its data", Is(maximum=20)
    ]
    hook_height_error: Annotated[LengthOrZero, "Error of the taped hook height"]
    rope_longer_share: Annotated[Share, "How much longer the rope may be than its data"]
    rope_shorter_share: Annotated[Share, "How much shorter the rope may be than its data"]
    stop_margin: Annotated[LengthOrZero, "Least margin of the hook height over the dead wraps"]
    stop_margin_share: Annotated[
        Share, "Least margin of the hook height over the dead wraps, as a share of the rope length"
    ]
    clearance: Annotated[LengthOrZero, "Clearance under the load"]
    band_top: Annotated[Length, "Most the load hangs above ground while luffing out"]
    first_lift: Annotated[Length, "Height of the first lift, for the brake test and the reading"]
    reach_height: Annotated[Length, "Hook height at which slings are hung and the drum is counted"]
    stack_room: Annotated[LengthOrZero, "Least height between the stack and the hook"]
    sling_angle_least: Annotated[Angle, "Least angle of the sling legs above the horizontal"]
    swing_room: Annotated[Length, "Room between a load that lies and one that swings past it"]
    overlap_wraps: Annotated[Count, "Fewest wraps paid out again before the next pass"]
    rope_friction: Annotated[Share, "Friction of rope on rope"]
    sling_slack: Annotated[LengthOrZero, "Slack of the slings when the load is down"]
    rope_modulus: Annotated[
        float,
        Fields(
            modulus_steel_core=Annotated[Stress, "Modulus of elasticity of a rope with steel core"],
            modulus_fibre_core=Annotated[Stress, "Modulus of elasticity of a rope with fibre core"],
        ),
    ]
    rope_metal_factor: Annotated[Share, "Metal area of the rope over its diameter squared"]
    deflection_share: Annotated[Share, "Growth of the radius as a share of boom length times capacity use"]
    largest_capacity_use: Annotated[Part, "Most of the rated capacity a plan uses"]
    largest_telescoping_use: Annotated[Part, "Most of the telescoping load a plan uses"]
    reading_tolerance: Annotated[Share, "How much too high the load may read"]
    sheave_efficiency: Annotated[
        float,
        Fields(
            rolling_efficiency=Annotated[Part, "Efficiency of one sheave with rolling bearings"],
            plain_efficiency=Annotated[Part, "Efficiency of one sheave with plain bearings"],
        ),
    ]
    sheave_efficiency_upper: Annotated[Part, "Efficiency of one sheave that runs freely"]
    rise_ratio: Annotated[
        float,
        Fields(
            rise_ratio_parallel_grooved=Annotated[
                Part, "Height of a layer over the one below, in rope diameters, parallel-grooved drum"
            ],
            rise_ratio_helical_grooved=Annotated[
                Part, "Height of a layer over the one below, in rope diameters, helical-grooved drum"
            ],
            rise_ratio_smooth=Annotated[Part, "Height of a layer over the one below, in rope diameters, smooth drum"],
        ),
    ]
    freeboard: Annotated[
        float,
        Fields(
            freeboard_diameters=Annotated[Ratio, "Flange above the outermost layer in rope diameters"],
            freeboard_least=Annotated[LengthOrZero, "Flange above the outermost layer"],
        ),
    ]
    drum_drag: Annotated[ForceOrZero, "Pull that turns the free drum"]
    aimed_tension_share: Annotated[Share, "Winding tension aimed at, as a share of the minimum breaking force"]
    published_tension_low: Annotated[
        Share, "Published winding tension, lower end, as a share of the minimum breaking force"
    ]
    published_tension_high: Annotated[
        Share, "Published winding tension, upper end, as a share of the minimum breaking force"
    ]
    winding_speed: Annotated[Speed, "Rope speed under load"]
    pay_out_speed: Annotated[Speed, "Rope speed paying out"]
    winch_efficiency: Annotated[Part, "Share of the winch power that pulls rope"]
    travel_speed: Annotated[Speed, "Speed of travel to the next pick"]
    pick_time: Annotated[Time, "Time to lift the load and test the brake"]
    re_pick_time: Annotated[Time, "Time to land, re-rig and lift again"]
    check_time: Annotated[Time, "Time to look at the drum"]
    change_time: Annotated[Time, "Time for a change from one motion to the next"]
    section_time: Annotated[Time, "Time for each boom section telescoped, beside the motion"]
    setting_up_time: Annotated[Time, "Time for setting up before the work"]
    reeving_time: Annotated[Time, "Time for reeving one fall"]
    help_mass_share: Annotated[Share, "How much heavier weights are tried"]
    help_sling_length: Annotated[Length, "Longest slings tried"]
    help_falls: Annotated[Count, "How many falls more or fewer are tried", Is(maximum=10)]
    help_room: Annotated[Length, "How much more room is tried"]
    help_lines: Annotated[Count, "How many ways to better a plan are shown", Is(maximum=20)]


class ForTheCheck(TypedDict):
    """Values that only the check of the data reads."""

    design_factor: Annotated[float, "Minimum breaking force over rated line pull", Is(exclusiveMinimum=1)]
    breaking_force_tolerance: Annotated[
        Share, "How far the minimum breaking force may lie from what construction and grade imply"
    ]
    rope_mass_tolerance: Annotated[Share, "How far the rope mass may lie from what the construction implies"]
    pitch_most: Annotated[Ratio, "Largest usual groove pitch in rope diameters", Is(least="100 %")]
    block_mass_least: Annotated[Share, "Least usual mass of a hook block as a share of its capacity"]
    block_mass_most: Annotated[Share, "Most usual mass of a hook block as a share of its capacity"]
    drum_diameters: DrumDiameters


class ForEverydayWork(TypedDict):
    """Values that only the table of everyday work reads."""

    light_load_share: Annotated[Part, "Light load as a share of the crane's capacity class"]


class ForALift(TypedDict):
    """Values that only the readiness for a lift reads."""

    little_line_pull: Annotated[Part, "Share of the rated line pull up to which more falls gain little"]
    largest_use_to_land: Annotated[
        Part, "Largest use of the rated capacity that leaves room to land a load by the boom"
    ]


class ForInspection(TypedDict):
    """Values that only the inspection of ropes reads, under both regimes."""

    months_between_inspections: Annotated[Count, "Months between inspections by a competent person", Is(maximum=120)]
    months_between_full_inspections: Annotated[Count, "Months between inspections of the whole length", Is(maximum=120)]
    valley_breaks: Annotated[Count, "Broken wires in valleys, over one lay, that end the use of a rope"]
    end_breaks: Annotated[Count, "Broken wires at an end fitting that end its use"]
    waviness_where_rope_bends: Annotated[
        Part, "Gap under a straight edge in rope diameters, where the rope runs over sheaves or on to the drum"
    ]
    waviness_where_rope_stays_straight: Annotated[
        Part, "Gap under a straight edge in rope diameters, where the rope never bends"
    ]
    increase_steel_core: Annotated[Part, "Local increase of the diameter, rope with a steel core"]
    increase_fibre_core: Annotated[Part, "Local increase of the diameter, rope with a fibre core"]
    tail_diameters: Annotated[Count, "Tail of a wedge socket in rope diameters"]
    tail_diameters_rotation_resistant: Annotated[
        Count, "Tail of a wedge socket in rope diameters, rotation-resistant rope"
    ]
    tail_least: Annotated[Length, "The least tail, whatever the rope"]


class ForInspectionIso(TypedDict):
    """Values that only the inspection of ropes reads, under ISO 4309."""

    short_length_diameters: Annotated[Count, "Short length over which broken wires are counted, in rope diameters"]
    long_length_diameters: Annotated[Count, "Long length over which broken wires are counted, in rope diameters"]
    decrease_rotation_resistant: Annotated[
        Part, "Decrease from the reference diameter that ends the use of a rotation-resistant rope"
    ]
    decrease_steel_core: Annotated[
        Part, "Decrease from the reference diameter that ends the use of a single-layer rope with a steel core"
    ]
    decrease_fibre_core: Annotated[
        Part, "Decrease from the reference diameter that ends the use of a rope with a fibre core"
    ]
    slight: Annotated[Part, "Share of the discard limit from which a finding is slight"]
    medium: Annotated[Part, "Share of the discard limit from which a finding is medium"]
    high: Annotated[Part, "Share of the discard limit from which a finding is high"]
    very_high: Annotated[Part, "Share of the discard limit from which a finding is very high"]
    discard: Annotated[Part, "Share of the discard limit from which a finding is a reason to discard"]


class ForInspectionUs(TypedDict):
    """Values that only the inspection of ropes reads, under the US regulation."""

    breaks_in_one_lay: Annotated[Count, "Broken wires in one lay that end the use of a running rope"]
    breaks_in_one_strand: Annotated[
        Count, "Broken wires in one strand within one lay that end the use of a running rope"
    ]
    rotation_resistant_breaks_in_6_diameters: Annotated[
        Count, "Broken wires over 6 rope diameters that end the use of a rotation-resistant rope"
    ]
    rotation_resistant_breaks_in_30_diameters: Annotated[
        Count, "Broken wires over 30 rope diameters that end the use of a rotation-resistant rope"
    ]
    decrease_from_nominal: Annotated[Part, "Decrease from the nominal diameter beyond which a rope is out of use"]


class ForARopeChange(TypedDict):
    """Values that only the change of a rope reads: a new one, a shorter one, drum and sheaves against it."""

    oversize_most: Annotated[Share, "Most a new rope may be thicker than its nominal diameter"]
    drum_diameters: DrumDiameters
    sheave_diameters: Annotated[Count, "Least diameter of a sheave in rope diameters"]
    block_sheave_diameters: Annotated[Count, "Least diameter of a sheave of the hook block in rope diameters"]
    fleet_angle_most_smooth: Annotated[Angle, "Most the rope may run off square on to a smooth drum"]
    fleet_angle_most_grooved: Annotated[Angle, "Most the rope may run off square on to a grooved drum"]
    fleet_angle_most_rotation_resistant: Annotated[
        Angle, "Most a rotation-resistant rope may run off square on to any drum"
    ]
    fleet_angle_least: Annotated[Angle, "Least angle at the flange"]
    back_tension_least: Annotated[Share, "Least back tension of a new rope as a share of its minimum breaking force"]
    back_tension_most: Annotated[Share, "The most of it"]
    shift_of_a_wrap: Annotated[Part, "Cut that moves the crossovers, as a share of a wrap of the middle layer"]


class ForTheReview(TypedDict):
    """Values that only the review of approved data reads."""

    months_between_reviews: Annotated[
        Count, "Months between reviews of the data of an approved machine", Is(maximum=120)
    ]


class ForLasting(TypedDict):
    """Values that only how long rope stays firm reads."""

    firm_months: Annotated[Count, "Months for which pre-tensioned rope counts as firm", Is(maximum=120)]
    firm_heavy_lifts: Annotated[Count, "Heavy lifts that end it"]
    heavy_lift_share: Annotated[Part, "Share of the rated line pull from which a lift is a heavy one"]
    firm_diameter_lost: Annotated[Part, "Decrease of the diameter since, as a share of it, that ends it"]


FOR_THE_CHECK = tuple(declared(ForTheCheck))
FOR_EVERYDAY_WORK = tuple(declared(ForEverydayWork))
FOR_A_LIFT = tuple(declared(ForALift))
FOR_INSPECTION = tuple(declared(ForInspection))
BY_REGIME: dict[Rulebook, tuple[str, ...]] = {
    "iso": tuple(declared(ForInspectionIso)),
    "us": tuple(declared(ForInspectionUs)),
}
FOR_A_ROPE_CHANGE = tuple(declared(ForARopeChange))
FOR_THE_REVIEW = tuple(declared(ForTheReview))
FOR_LASTING = tuple(declared(ForLasting))

# Values of `Values` that a rule does not hold under the same name: which name it is depends on the machine.
_CHOICES = {name: form.fields for name, form in declared(Values).items() if form.fields}
CHOSEN = {name: tuple(forms) for name, forms in _CHOICES.items()}
FREEBOARD = CHOSEN["freeboard"]

_READERS = (
    Values, ForTheCheck, ForEverydayWork, ForALift, ForInspection, ForInspectionIso, ForInspectionUs, ForARopeChange,
    ForTheReview, ForLasting,
)  # fmt: skip
# Every rule value that anything here reads, with its form; a value outside must be marked informative.
FORMS: dict[str, Any] = {
    name: form
    for readers in _READERS
    for field, one in declared(readers).items()
    for name, form in _CHOICES.get(field, {field: one}).items()
}
READ = frozenset(FORMS)
