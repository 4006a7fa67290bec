"""The plan as its reader sees it: every field of the published contract, declared once.

From here mypy knows the keys and `hooks.building.schemas` writes rules/schema/plan.schema.json.
"""

from typing import Annotated, Literal, NotRequired, TypedDict

from calc import fields
from calc.winding.codes import LoserCode, RefusalCode, WarningCode

MoveName = Literal["pay-out", "pick", "luff-out", "telescope-in", "change-load", "land", "luff-in"]
CountSays = Literal["as-planned", "rope-longer", "rope-shorter", "not-this-rope"]
HelpKind = Literal["weight", "slings", "falls", "block", "configuration", "boom", "room"]


class Block(TypedDict):
    """One hook block."""

    id: Annotated[str, "id of the block"]
    mass_kg: Annotated[fields.NotNegative, "mass of the block [kg]"]
    height_m: Annotated[fields.NotNegative, "hook to sheave axis, b [m]"]
    falls: Annotated[fields.Pair[int], "fewest and most falls [-]"]
    capacity_kg: Annotated[fields.NotNegative, "capacity of the block [kg]"]


class Slings(TypedDict):
    """One set of slings at hand."""

    length_m: Annotated[fields.NotNegative, "length from hook to load [m]"]
    mass_kg: Annotated[fields.NotNegative, "mass of the set [kg]"]
    capacity_kg: Annotated[fields.NotNegative, "rated capacity of the set as used [kg]"]
    extensions: Annotated[list[str], "ids of the extensions hung in"]


class Weights(TypedDict):
    """One kind of weight in the yard."""

    item: Annotated[str, "id of this kind of weight"]
    mass_kg: Annotated[fields.NotNegative, "mass of one [kg]"]
    length_m: Annotated[fields.NotNegative, "longer side of its footprint [m]"]
    width_m: Annotated[fields.NotNegative, "shorter side of its footprint [m]"]
    height_m: Annotated[fields.NotNegative, "height of one [m]"]
    count: Annotated[int, "how many the yard has [-]"]
    lifting_points_height_m: Annotated[fields.NotNegative, "height of the lifting points above the underside [m]"]
    lifting_points_diagonal_m: Annotated[fields.NotNegative, "diagonal between the lifting points [m]"]


class Chart(TypedDict):
    """Capacity chart of one boom length."""

    boom_length_m: fields.BoomLength
    rows: Annotated[
        list[fields.Pair[fields.NotNegative]],
        "radius [m] and rated capacity [kg] by growing radius",
        fields.Is(minItems=1),
    ]
    telescoping_kg: Annotated[float | None, "load this boom length may telescope with; null where none is listed [kg]"]


class Jib(TypedDict):
    """The jib or runner that is rigged, and the straight arm it makes with the boom."""

    id: Annotated[str, "id of the jib as rigged"]
    kind: Annotated[fields.JibKind, "fixed; runner; luffing: luffed by its own winch on a boom that is held"]
    length_m: Annotated[fields.Positive, "from the boom head to the jib-head sheave, j [m]"]
    offset_deg: Annotated[float | None, "below the line of the boom, delta; null for a luffing jib [deg]"]
    boom_angle_deg: Annotated[float | None, "angle at which the boom is held, beta; null but for a luffing jib [deg]"]
    rope_longer_than_jib_m: Annotated[float, "rope from boom head to jib head less jib length, a_j [m]"]
    arm_m: Annotated[fields.Positive, "the straight arm from its pivot to the jib head [m]"]
    arm_pivot_forward_m: Annotated[float, "pivot of the arm in front of the slew axis [m]"]
    arm_pivot_height_m: Annotated[float, "pivot of the arm above ground [m]"]
    steeper_deg: Annotated[float, "how much steeper than the arm the main boom stands; 0 for a luffing jib [deg]"]


class Inputs(TypedDict):
    """Everything needed to compute a plan again with other code."""

    jib: NotRequired[
        Annotated[Jib, "the jib that is rigged; the rope of the plan runs over its head.  Left out: over the boom head"]
    ]

    rope_length_m: Annotated[float, "rope length as fitted [m]"]
    rope_diameter_m: Annotated[float, "nominal rope diameter, d [m]"]
    rope_mass_kg_per_m: Annotated[float, "rope mass per length [kg/m]"]
    minimum_breaking_force_n: Annotated[float, "minimum breaking force of the rope [N]"]
    groove_root_diameter_m: Annotated[float, "diameter of the drum at the groove root, D_b [m]"]
    groove_pitch_m: Annotated[float, "groove pitch [m]"]
    wraps_odd_layers: Annotated[int, "wraps of a full layer 1, 3, 5 ... [-]"]
    wraps_even_layers: Annotated[int, "wraps of a full layer 2, 4, 6 ... [-]"]
    drum_surface: Annotated[fields.Surface, "surface of the barrel"]
    rise_ratio: Annotated[float, "each layer lies that many rope diameters higher, rho [-]"]
    dead_wraps: Annotated[int, "wraps that always stay on the drum, z_d [-]"]
    stop_wraps: Annotated[int, "wraps at which paying out stops [-]"]
    count_tolerance: Annotated[fields.Count, "wraps kept above the stop wraps for a rope shorter than its data [-]"]
    hook_height_error_m: Annotated[float, "error of the taped hook height [m]"]
    rope_longer_share: Annotated[float, "how much longer than its data the rope may be [-]"]
    rope_shorter_share: Annotated[float, "how much shorter than its data the rope may be [-]"]
    stop_margin_m: Annotated[float, "least margin on the stop height [m]"]
    stop_margin_share: Annotated[
        float, "margin on the stop height as a share of the rope length, divided by the falls [-]"
    ]
    freeboard_m: Annotated[float, "flange that must stand above the top layer [m]"]
    flange_diameter_m: Annotated[float, "flange diameter [m]"]
    rated_line_pull_n: Annotated[float, "rated line pull the charts are based on, F [N]"]
    rated_layer: Annotated[int, "layer at which pull and speed are rated, counted from 1 [-]"]
    line_speed_m_per_s: Annotated[float, "largest line speed at the rated layer [m/s]"]
    power_w: Annotated[float, "hoisting power [W]"]
    drum_drag_n: Annotated[float, "pull that turns the free drum [N]"]
    sheave_efficiency: Annotated[float, "share of the force one sheave passes on, e [-]"]
    sheave_efficiency_upper: Annotated[float, "efficiency of one sheave that runs freely, for firm tension [-]"]
    sheaves_to_drum: Annotated[int, "sheaves from fall 1 to the drum, head sheave included, k [-]"]
    sheave_radius_m: Annotated[float, "sheave radius to the middle of the rope, R_s [m]"]
    most_falls: Annotated[int, "most falls the boom head takes [-]"]
    pivot_forward_m: Annotated[float, "boom pivot in front of the slew axis, below 0 behind it, x_p [m]"]
    pivot_height_m: Annotated[float, "boom pivot above ground, z_p [m]"]
    rope_path_extra_m: Annotated[float, "rope from drum to boom head less boom length, a [m]"]
    winch_height_m: Annotated[float, "winch drum above ground, z_w [m]"]
    upper_stop_m: Annotated[float, "least distance from hook block sheave to head sheave [m]"]
    luffing_rad_per_s: Annotated[float, "luffing speed [rad/s]"]
    telescoping_m_per_s: Annotated[float | None, "telescoping speed; null for a lattice boom [m/s]"]
    clear_radius_m: Annotated[float | None, "radius at which the load clears the carrier; null for a lattice boom [m]"]
    least_boom_angle_deg: Annotated[float, "least boom angle [deg]"]
    load_return: Annotated[fields.LoadReturn, "how the load comes back under the hook for the next pass"]
    minimum_share: Annotated[float, "least suspended mass as a share of the rated line pull for every fall, q [-]"]
    accepted_share: Annotated[float, "share of the least mass by the rule that is accepted [-]"]
    firm_tension_share: Annotated[float, "least tension of a firm wrap as a share of the rated line pull [-]"]
    target_share: Annotated[float, "share of the rope that is to lie firm [-]"]
    unreached_limit: Annotated[float, "share of layer 1 that may stay unreached [-]"]
    firm_below_m: Annotated[
        float, "rope on the drum, from its dead end, known to lie firm already; 0 when the plan is for all of it [m]"
    ]
    most_passes: Annotated[int, "most passes of one plan [-]"]
    least_gain_share: Annotated[float, "least share of the rope a further pass must add [-]"]
    largest_capacity_use: Annotated[float, "most of the rated capacity the plan uses [-]"]
    largest_telescoping_use: Annotated[float, "most of the telescoping load the plan uses [-]"]
    reading_tolerance: Annotated[float, "how much too high the load may read [-]"]
    clearance_m: Annotated[float, "lower edge of the band the load is kept in, above ground [m]"]
    first_lift_m: Annotated[float, "height of the first lift [m]"]
    reach_height_m: Annotated[float, "hook height at which slings are hung and the drum is counted [m]"]
    stack_room_m: Annotated[float, "least height between the stack and the hook [m]"]
    sling_angle_least_deg: Annotated[float, "least angle of a sling leg above the horizontal [deg]"]
    swing_room_m: Annotated[float, "room kept beside what swings [m]"]
    band_top_m: Annotated[float, "upper edge of that band, above ground [m]"]
    load_height_m: Annotated[float, "the most a made-up load may stand high [m]"]
    load_size_m: Annotated[float, "longer side of the load [m]"]
    load_width_m: Annotated[float, "shorter side of the load [m]"]
    working_radius_m: Annotated[
        float | None, "largest radius with room in the yard; null where there is no such limit [m]"
    ]
    overlap_wraps: Annotated[int, "fewest wraps paid out again before winding goes on [-]"]
    rope_friction: Annotated[float, "friction of rope on rope, mu [-]"]
    sling_slack_m: Annotated[float, "hook travel until the slings are slack [m]"]
    rope_modulus_n_per_m2: Annotated[float, "modulus of elasticity of the rope [N/m2]"]
    rope_metal_factor: Annotated[float, "metal area over diameter squared [-]"]
    deflection_share: Annotated[float, "growth of the radius under full capacity use as a share of the boom length [-]"]
    aimed_tension_share: Annotated[float, "winding tension aimed at as a share of the minimum breaking force [-]"]
    published_tension_low: Annotated[
        float, "lower end of the published winding tension as a share of the minimum breaking force [-]"
    ]
    published_tension_high: Annotated[
        float, "upper end of the published winding tension as a share of the minimum breaking force [-]"
    ]
    winding_speed_m_per_s: Annotated[float, "rope speed when winding under load [m/s]"]
    pay_out_speed_m_per_s: Annotated[float, "rope speed when paying out [m/s]"]
    pick_time_s: Annotated[float, "time allowed for the first pick-up [s]"]
    re_pick_time_s: Annotated[float, "time allowed for picking up again [s]"]
    check_time_s: Annotated[float, "time allowed for landing and looking at the drum [s]"]
    change_time_s: Annotated[float, "time for a change from one motion to the next [s]"]
    section_time_s: Annotated[float, "time for each boom section telescoped, beside the motion [s]"]
    travel_speed_m_per_s: Annotated[float, "speed of travel to the next pick [m/s]"]
    winch_efficiency: Annotated[float, "share of the winch power that pulls rope [-]"]
    setting_up_time_s: Annotated[float, "time for setting up [s]"]
    reeving_time_s: Annotated[float, "time for reeving one fall [s]"]
    blocks: Annotated[list[Block], "hook blocks by growing falls", fields.Is(minItems=1)]
    slings: Annotated[
        list[Slings], "slings at hand, alone and with every set of extensions, by growing length", fields.Is(minItems=1)
    ]
    weights: Annotated[list[Weights], "weights at hand in the yard"]
    charts: Annotated[
        list[Chart],
        "capacity charts of the boom lengths passed: this one and, on a telescopic boom, every shorter one",
        fields.Is(minItems=1),
    ]


class RunnerUp(TypedDict):
    """The next best number of falls."""

    falls: Annotated[int, "its falls [-]"]
    code: Annotated[LoserCode, "why it was not taken"]


class Falls(TypedDict):
    """How many falls are used, and why."""

    estimate: Annotated[int, "estimate used on site [-]"]
    exact: Annotated[float | None, "falls that reach the dead wraps, unrounded; null where no number does [-]"]
    used: Annotated[int | None, "falls of this plan; null without a load [-]"]
    reeving_limit: Annotated[int, "most falls that boom head and hook blocks take [-]"]
    unreached_rope_m: Annotated[
        float | None, "rope above the dead wraps that stays on the drum unwound; null without a load [m]"
    ]
    runner_up: Annotated[RunnerUp | None, "the next best number of falls; null where there is none"]


class InLoad(TypedDict):
    """Weights of one kind in the load."""

    item: Annotated[str, "id of this kind of weight"]
    count: Annotated[int, "how many of them [-]"]
    mass_kg: Annotated[fields.NotNegative, "their mass together [kg]"]


class Load(TypedDict):
    """The load at the hook."""

    minimum_kg: Annotated[fields.NotNegative, "least mass by the rule, q*F*n/g [kg]"]
    for_drum_tension_kg: Annotated[fields.NotNegative, "least mass that keeps the firm tension at the drum [kg]"]
    planned_kg: Annotated[fields.NotNegative, "mass at the hook: block, slings and weights [kg]"]
    hook_block_kg: Annotated[fields.NotNegative, "mass of the hook block [kg]"]
    slings_kg: Annotated[fields.NotNegative, "mass of the slings [kg]"]
    net_kg: Annotated[fields.NotNegative, "mass of the weights [kg]"]
    share_of_breaking_force: Annotated[
        float, "least drum tension while winding as a share of the minimum breaking force [-]"
    ]
    yard: Annotated[list[InLoad], "which weights make the load"]
    lifting_points_height_m: Annotated[
        fields.NotNegative, "height of the lifting points of the base weight above the ground [m]"
    ]
    hanging_height_m: Annotated[fields.NotNegative, "height of the slings, just straight, above them [m]"]
    stack_height_m: Annotated[fields.NotNegative, "top of the stack above the ground [m]"]
    reading_least_kg: Annotated[fields.NotNegative, "least reading at the first lift, rope in the falls included [kg]"]
    reading_most_kg: Annotated[fields.NotNegative, "most reading at the first lift, rope in the falls included [kg]"]
    band_kg: Annotated[
        fields.Pair[float], "least and most mass of weights and slings for which the moves hold unchanged [kg]"
    ]


class CountRow(TypedDict):
    """One row of the count table: whole wraps counted on the drum and what they mean."""

    wraps: Annotated[fields.Count, "wraps counted from the dead end [-]"]
    rope_length_m: Annotated[fields.NotNegative, "rope length that means [m]"]
    do: Annotated[CountSays, "what to do"]
    hook_height_m: Annotated[
        float | None, "hook height that then warns at the start radius; null where nothing is hung [m]"
    ]


class ShorterRope(TypedDict):
    """Stop height with a rope shorter than its data."""

    less_m: Annotated[fields.NotNegative, "that much shorter [m]"]
    hook_height_m: Annotated[float, "height the hook does not go below [m]"]


class Stops(TypedDict):
    """Where the crew starts and where it stops."""

    start_radius_m: Annotated[fields.NotNegative, "radius of the start [m]"]
    start_hook_height_m: Annotated[fields.NotNegative, "hook at the pick: load on the ground, slings just straight [m]"]
    hook_height_m: Annotated[float, "hook height that warns at the start radius [m]"]
    by_radius: Annotated[list[fields.Pair[float]], "radius [m] and the hook height [m] that warns there"]
    rope_at_start_m: Annotated[fields.NotNegative, "rope on the drum at the count, when the slings are shackled on [m]"]
    layer_at_start: Annotated[int, "layer the count then shows, from 1 [-]"]
    wrap_at_start: Annotated[fields.NotNegative, "wraps then in that layer, more than 0 and up to a full layer [-]"]
    count_table: Annotated[list[CountRow], "what each whole count means, before anything is hung"]
    shorter_rope: Annotated[list[ShorterRope], "stop height at the start radius if the rope is shorter"]


class Refused(TypedDict):
    """Why there is no plan, or not by this method."""

    code: Annotated[RefusalCode, "code of the refusal"]


class Move(TypedDict):
    """One move of the load; pairs are before and after."""

    move: Annotated[MoveName, "name of the move"]
    boom_length_m: Annotated[fields.Pair[fields.NotNegative], "boom length before and after [m]"]
    radius_m: Annotated[fields.Pair[fields.NotNegative], "radius of the unloaded boom before and after [m]"]
    loaded_radius_m: Annotated[
        fields.Pair[fields.NotNegative], "radius as the crew reads it before and after, grown under the load [m]"
    ]
    boom_angle_deg: Annotated[fields.Pair[float], "boom angle above the horizontal before and after [deg]"]
    hook_height_m: Annotated[fields.Pair[fields.NotNegative], "hook above ground before and after [m]"]
    load_height_m: Annotated[
        fields.Pair[float | None],
        "underside of the load above ground before and after; null while nothing hangs on the hook [m]",
    ]
    load_kg: Annotated[fields.NotNegative, "block, slings and weights; 0 while nothing hangs on the hook [kg]"]
    gross_load_kg: Annotated[
        fields.NotNegative, "the same with the rope in the falls, as the chart counts it, largest [kg]"
    ]
    rope_on_drum_m: Annotated[fields.Pair[fields.NotNegative], "rope on the drum before and after [m]"]
    layer: Annotated[fields.Pair[fields.Ordinal], "layer before and after, counted from 1 [-]"]
    wrap: Annotated[fields.Pair[fields.Positive], "wraps in that layer before and after [-]"]
    rated_capacity_kg: Annotated[fields.NotNegative, "smallest rated capacity met, at the radius grown under load [kg]"]
    capacity_use: Annotated[fields.Share, "largest share of the rated capacity met [-]"]
    lead_line_n: Annotated[fields.Pair[float], "force in the lead line before and after [N]"]
    drum_tension_share: Annotated[
        fields.Pair[float] | None,
        "tension at the drum as a share of the rated line pull, before and after; null without a load [-]",
    ]
    minutes: Annotated[fields.NotNegative, "time of the move [min]"]


class SlingsHung(TypedDict):
    """Where the slings of a pass are hung."""

    radius_m: Annotated[fields.NotNegative, "radius of the empty hook [m]"]
    hook_height_m: Annotated[fields.NotNegative, "hook height [m]"]
    lowered_m: Annotated[fields.NotNegative, "how far the empty hook is lowered since the landing before [m]"]
    extension_m: Annotated[fields.NotNegative, "length of the extension hung there [m]"]


class Place(TypedDict):
    """Layer and wrap on the drum."""

    layer: Annotated[fields.Ordinal, "layer from 1 [-]"]
    wrap: Annotated[fields.NotNegative, "wraps in that layer [-]"]


class Pass(TypedDict):
    """One pass: from the pick to the landing."""

    moves: Annotated[list[Move], "moves in order", fields.Is(minItems=1)]
    load_return: Annotated[
        fields.LoadReturn, "how the load comes back under the hook for this pass; none for the first"
    ]
    sling_length_m: Annotated[fields.NotNegative, "length of the slings, hook to load [m]"]
    slings_hung: Annotated[SlingsHung, "where the slings of this pass are hung"]
    hook_at_pick_m: Annotated[
        fields.NotNegative, "hook height with the slings just straight and the load on the ground [m]"
    ]
    slew_deg: Annotated[
        float | None, "angle between the lines of the first and the second load; null without a second load [deg]"
    ]
    rope_lost_m: Annotated[fields.NotNegative, "rope the empty block unwinds before this pass [m]"]
    overlap_m: Annotated[fields.NotNegative, "rope that slips when this pass is landed, up to a whole wrap [m]"]
    firm_rope_m: Annotated[fields.NotNegative, "rope firm after landing and unhooking, all passes so far [m]"]
    firm_share: Annotated[fields.Share, "the same as a share of the whole rope [-]"]
    firm_from: Annotated[Place, "where a lift must not unwind below: the drum is firm from here"]
    firm_to: Annotated[Place, "where the drum is firm to"]
    firm_layers: Annotated[fields.Pair[int] | None, "first and last layer with firm rope; null when none is firm [-]"]
    full_pull_falls_min: Annotated[
        int | None,
        "with so many falls or more, full line pull from the ground stands on firm rope that did not slip at the "
        "set-down; null with none [-]",
    ]
    full_pull_hook_up_to_m: Annotated[
        float | None, "hook height at the pick up to which that holds; null where it holds with no falls [m]"
    ]
    minutes: Annotated[fields.NotNegative, "time of the pass [min]"]


class Method(TypedDict):
    """One method of keeping rope firm, with its passes or its refusal."""

    name: Annotated[fields.MethodName, "name of the method"]
    refused: Annotated[Refused | None, "why the method is not possible; null when it is"]
    passes: Annotated[list[Pass], "passes in order; none when the method is refused"]
    firm_share_limit: Annotated[
        float | None, "largest share of the rope that can lie firm by geometry; null when refused [-]"
    ]
    minutes: Annotated[float | None, "time of all passes, rigging excluded; null when refused [min]"]
    rigging_minutes: Annotated[float | None, "time to set up and reeve, apart from the work; null if refused [min]"]
    chart_radius_m: Annotated[
        float | None, "loaded radius out to which the chart itself would carry at the end; null if refused [m]"
    ]
    most_capacity_use: Annotated[float | None, "largest share of the rated capacity under load; null if refused [-]"]
    longest_sling_m: Annotated[float | None, "longest slings needed; null when refused [m]"]
    working_radius_m: Annotated[
        float | None, "outermost point the load takes, from the slew axis; null when refused [m]"
    ]


class HeavierLoad(TypedDict):
    """How far the planned load or a heavier one goes."""

    load_kg: Annotated[fields.NotNegative, "mass at the hook [kg]"]
    furthest_radius_m: Annotated[fields.NotNegative, "furthest radius as the crew reads it [m]"]
    firm_rope_m: Annotated[fields.NotNegative, "rope firm if it is landed there [m]"]
    stop_height_m: Annotated[float, "hook height that warns with this load at the start radius [m]"]
    then_reduce_to_kg: Annotated[float | None, "mass to go on with; null for the planned load [kg]"]


class LimitedRoom(TypedDict):
    """What the first pass leaves firm when it must end early."""

    radius_m: Annotated[fields.NotNegative, "radius as the crew reads it [m]"]
    rope_wound_m: Annotated[fields.NotNegative, "rope wound up to there [m]"]
    firm_rope_m: Annotated[fields.NotNegative, "rope firm when landed there [m]"]
    full_pull_falls_min: Annotated[fields.Ordinal | None, "fewest falls for full line pull; null for none [-]"]


class BedNeeded(TypedDict):
    """Firm rope the next lift needs with so many falls."""

    falls: Annotated[int, "falls of the next lift [-]"]
    metres: Annotated[float, "rope on the drum when that lift starts from the ground: this much must be firm [m]"]


class HelpKindOf(TypedDict):
    """What a change is about."""

    kind: Annotated[HelpKind, "what is changed"]


class Changed(TypedDict, total=False):
    """The change itself, by its kind."""

    least_kg: Annotated[fields.NotNegative, "least mass of weights and slings that does it [kg]"]
    most_kg: Annotated[fields.NotNegative, "most mass of weights and slings for it [kg]"]
    length_m: Annotated[fields.NotNegative, "longest slings it takes [m]"]
    block: Annotated[str, "hook block"]
    falls: fields.FallCount
    configuration: Annotated[str, "configuration"]
    boom: fields.BoomInTheAddress
    boom_length_m: fields.BoomLength
    working_radius_m: Annotated[fields.NotNegative, "radius with room [m]"]


class Help(HelpKindOf, Changed):
    """One change that would better the plan."""

    method: Annotated[fields.MethodName, "method that then ranks"]
    passes: Annotated[fields.Ordinal, "passes it then takes [-]"]
    minutes: Annotated[fields.NotNegative, "minutes it then takes [min]"]
    firm_rope_m: Annotated[fields.NotNegative, "rope then firm [m]"]
    full_pull_falls_min: Annotated[fields.Ordinal | None, "fewest falls for full line pull then; null for none [-]"]


class Warned(TypedDict):
    """One thing a reader of the plan must know."""

    code: Annotated[WarningCode, "code of the warning"]


class RuleNamed(TypedDict):
    """A rule by its id and its code."""

    id: Annotated[str, "id of the rule, as in its address"]
    code: fields.CodeOfRule


_From = TypedDict("_From", {"from": Annotated[str, "first day of the version that counts, year-month-day"]})


class Rule(RuleNamed, _From):
    """One rule version the plan follows."""


class Plan(TypedDict):
    """One winding plan: what `plan_data.plan` returns and the feed publishes."""

    schema: fields.FormatVersion
    machine: fields.MachineId
    kind: Annotated[fields.BoomKind, "kind of boom"]
    boom: Annotated[fields.Slug, "boom length as in its address, in the unit of the crane's own data"]
    boom_length_m: fields.BoomLength
    configuration: Annotated[str, "id of the chart configuration"]
    rulebook: Annotated[fields.Rulebook, "which rules apply: iso or us"]
    machine_revision: Annotated[str, "day of the revision of the crane's data, year-month-day"]
    status: fields.MachineStatus
    day: fields.DayOfRules
    listed_rope_length_m: Annotated[
        fields.Positive | None,
        "rope length in the crane's data where the log of the rope says another, which this plan counts; null "
        "where they agree [m]",
    ]
    inputs: Annotated[Inputs, "everything needed to compute the plan again with other code"]
    falls: Annotated[Falls, "falls: how many are used, and why"]
    load: Annotated[Load | None, "the load at the hook; null when the yard cannot make one up"]
    stops: Annotated[Stops | None, "where the crew starts and where it stops; null without a load"]
    methods: Annotated[
        list[Method | None],
        fields.InOrder(Method, Method | None),
        "always luff-out, telescope-in; the latter null for lattice booms",
    ]
    heavier_loads: Annotated[list[HeavierLoad], "the planned load first, then heavier ones: how far each goes"]
    limited_room: Annotated[
        list[LimitedRoom], "what luffing out in the first pass leaves firm when it ends at a listed radius on the way"
    ]
    bed_needed: Annotated[
        list[BedNeeded], "rope that must be firm for the next lift with full line pull from the ground, by its falls"
    ]
    what_would_help: Annotated[list[Help], "what would better the plan, or make one possible, the quickest work first"]
    warnings: Annotated[list[Warned], "what a reader must know, the gravest first; the texts stand on the data page"]
    refused: Annotated[Refused | None, "why there is no plan; null when there is one"]
    rules: Annotated[list[Rule], "the rule versions this plan follows, by code"]
