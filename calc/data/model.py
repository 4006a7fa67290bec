"""What the rest of the calculation works on: frozen data, every float in SI.

`build` makes these objects from checked files; `Data.case` ties one machine, one configuration, one boom
length and the rules of one day together into a `Case`, the only thing the planner ever sees.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import hypot
from typing import Any

from calc.rounding import Pair


@dataclass(frozen=True)
class Rope:
    """Hoist rope: diameter [m], length [m], mass per length [kg/m], minimum breaking force [N], grade [N/m2].

    What the certificate may say besides, else None: outer strands, load-bearing wires in them, whether they are of
    Seale type, lay, direction of the lay.
    """

    diameter: float
    length: float
    mass_per_length: float
    minimum_breaking_force: float
    construction: str
    grade: float
    rotation_resistant: bool
    outer_strands: int | None = None
    outer_wires: int | None = None
    seale: bool | None = None
    lay: str | None = None  # ordinary | lang
    lay_direction: str | None = None  # right | left


@dataclass(frozen=True)
class Drum:
    """Winch drum: groove-root diameter, groove pitch, flange diameter, width between flanges [m]; wraps per layer; hand
    of the wraps or None; distance to the first sheave [m], None where that is the head sheave."""

    groove_root_diameter: float
    groove_pitch: float
    wraps_odd_layers: int
    wraps_even_layers: int
    flange_diameter: float
    width: float
    surface: str  # parallel-grooved | helical-grooved | smooth
    hand: str | None = None  # right | left: the first layer runs like a thread of this hand
    first_sheave: float | None = None


@dataclass(frozen=True)
class Winch:
    """Winch: rated line pull [N] and line speed [m/s] at `rated_layer`, power [W], drag [N] or None (rule value)."""

    rated_line_pull: float
    rated_layer: int
    line_speed: float
    power: float
    drag: float | None


@dataclass(frozen=True)
class Reeving:
    """Boom head: sheave radius [m], sheaves from fall 1 to the drum, bearings, falls it takes, upper stop [m]."""

    sheave_radius: float
    sheaves_to_drum: int
    bearings: str  # rolling | plain
    most_falls: int
    upper_stop: float


@dataclass(frozen=True)
class Block:
    """Hook block: mass [kg], height hook to sheave axis [m], falls it takes, capacity [kg]."""

    id: str
    mass: float
    height: float
    least_falls: int
    most_falls: int
    capacity: float


@dataclass(frozen=True)
class Boom:
    """Boom: pivot forward of the slew axis and above ground [m], winch height [m], rope path beyond the boom length
    [m], luffing speed [rad/s], telescoping speed [m/s] or None, radius that clears the carrier [m] or None, least
    boom angle [rad], how the load comes back under the hook for the next pass."""

    pivot_forward: float
    pivot_height: float
    winch_height: float
    rope_path_extra: float
    luffing: float
    telescoping: float | None
    clear_radius: float | None
    least_angle: float
    load_return: str  # none | crawler-travels | helper-machine | second-load


@dataclass(frozen=True)
class Chart:
    """Capacities of one boom length [m]: rows (radius [m], capacity [kg]) by growing radius; telescoping load [kg]."""

    boom_length: float
    slug: str
    rows: tuple[tuple[float, float], ...]
    telescoping: float | None


@dataclass(frozen=True)
class Configuration:
    """One way the crane is set up, with the charts that hold for it."""

    id: str
    name: str
    charts: tuple[Chart, ...]  # by growing boom length

    def __hash__(self) -> int:
        return hash(self.id)  # of all its charts it would take longer than what is looked up

    def chart(self, slug: str) -> Chart | None:
        return next((c for c in self.charts if c.slug == slug), None)


@dataclass(frozen=True)
class Override:
    """A value the machine's own manual states in place of a rule's: `text` as written, `quantity` in SI."""

    rule: str
    value: str
    text: str
    quantity: float
    page: str
    reason: str


@dataclass(frozen=True)
class Profile:
    """The practice of a site where a machine says nothing else: rules that apply (iso | us), units (metric | us)."""

    rulebook: str
    units: str


PROFILES = {"iso": Profile("iso", "metric"), "us": Profile("us", "us")}


@dataclass(frozen=True)
class Approval:
    """Who compared the data of a machine with its manual, on which day and which pages."""

    reviewer: str
    date: str
    pages: str


@dataclass(frozen=True)
class Finding:
    """A plausibility finding: what is odd in metric and in US units; `answer` when an engineer gave one in the file."""

    code: str
    where: str
    text: Pair
    answer: str | None = None


@dataclass(frozen=True)
class Machine:
    """One winch of one crane."""

    id: str
    name: str
    kind: str  # telescopic | lattice
    capacity_class: float  # kg
    status: str  # demonstration | draft | approved
    revision: str
    rulebook: str  # iso | us
    yard: str
    units: str  # metric | us: which the machine's own data uses
    description: str
    source_title: str
    source_pages: Mapping[str, str]
    rope: Rope
    drum: Drum
    winch: Winch
    reeving: Reeving
    blocks: tuple[Block, ...]
    boom: Boom
    configurations: tuple[Configuration, ...]
    overrides: tuple[Override, ...] = ()
    findings: tuple[Finding, ...] = ()
    approval: Approval | None = None  # of an approved machine
    change: str | None = None  # what this revision changed

    def __hash__(self) -> int:
        return hash((self.id, self.revision, self.rope))  # a mapping has none, and charts have many numbers

    @property
    def booms(self) -> dict[float, str]:
        """Every listed boom length [m] with its address, the shortest first."""
        return dict(sorted((chart.boom_length, chart.slug) for c in self.configurations for chart in c.charts))

    def configuration(self, id: str) -> Configuration | None:
        return next((c for c in self.configurations if c.id == id), None)


@dataclass(frozen=True)
class Weight:
    """Test weights of one kind: mass of one [kg], footprint and height [m], how many the yard has; height of its
    lifting points above its underside and the diagonal between them [m], None where the data leaves them out."""

    id: str
    name: str
    mass: float
    length: float
    width: float
    height: float
    count: int
    lifting_points: tuple[float, float] | None = None

    @property
    def lifting_height(self) -> float:
        """Height of the lifting points above the underside, else of the upper face [m]."""
        return self.lifting_points[0] if self.lifting_points else self.height

    @property
    def lifting_diagonal(self) -> float:
        """Diagonal between the lifting points, else of the plan [m]."""
        return self.lifting_points[1] if self.lifting_points else hypot(self.length, self.width)


@dataclass(frozen=True)
class Sling:
    """Slings or one sling extension: length [m], mass [kg], rated capacity of the set as used [kg]."""

    id: str
    name: str
    length: float
    mass: float
    capacity: float


@dataclass(frozen=True)
class Yard:
    """What is at hand: weights, the slings used first, extensions, and the largest radius with room [m] or None."""

    id: str
    name: str
    weights: tuple[Weight, ...]
    slings: Sling
    extensions: tuple[Sling, ...]
    load_height: float  # the most a made-up load may stand high [m]
    load_length: float
    load_width: float
    working_radius: float | None


@dataclass(frozen=True)
class Source:
    """Where a rule comes from, and how it was read."""

    kind: str  # standard | regulation | handbook | paper | common-practice
    citation: str
    clause: str | None
    read: str  # yes | second-hand | from-memory


@dataclass(frozen=True)
class RuleVersion:
    """One dated version of a rule; `values` hold SI floats (counts stay whole), `informative` names unread values."""

    from_day: str
    statement: str
    values: Mapping[str, float]
    texts: Mapping[str, str]  # each value as written in the file, for pages
    informative: frozenset[str]
    applies: Mapping[str, Any]  # fact -> JSON Schema fragment
    reason: str
    cautions: tuple[str, ...]
    sources: tuple[Source, ...]
    change: str
    withdrawn: bool = False
    replaced_by: str | None = None
    announced: str | None = None  # day it was published ahead


@dataclass(frozen=True)
class Rule:
    """One rule with every version it ever had; its code is never used again."""

    id: str
    code: str
    title: str
    topic: str
    versions: tuple[RuleVersion, ...]  # newest first

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
class Values:
    """Every rule value one plan needs, resolved for its facts and day; SI."""

    minimum_share: float
    accepted_share: float
    firm_tension_share: float
    target_share: float
    unreached_limit: float
    most_passes: int
    least_gain_share: float
    dead_wraps: int
    stop_wraps: int
    count_tolerance: int
    hook_height_error: float
    rope_longer_share: float
    rope_shorter_share: float
    stop_margin: float
    stop_margin_share: float
    clearance: float
    band_top: float
    first_lift: float
    reach_height: float
    stack_room: float
    sling_angle_least: float
    swing_room: float
    overlap_wraps: int
    rope_friction: float
    sling_slack: float
    rope_modulus: float
    rope_metal_factor: float
    deflection_share: float
    largest_capacity_use: float
    largest_telescoping_use: float
    reading_tolerance: float
    sheave_efficiency: float
    sheave_efficiency_upper: float
    rise_ratio: float
    freeboard: float
    drum_drag: float
    aimed_tension_share: float
    published_tension_low: float
    published_tension_high: float
    winding_speed: float
    pay_out_speed: float
    winch_efficiency: float
    travel_speed: float
    pick_time: float
    re_pick_time: float
    check_time: float
    change_time: float
    section_time: float
    setting_up_time: float
    reeving_time: float
    help_mass_share: float
    help_sling_length: float
    help_falls: int
    help_room: float
    help_lines: int


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

    @property
    def firm_tension(self) -> float:
        """Drum tension from which a wrap counts as firm [N]."""
        return self.values.firm_tension_share * self.machine.winch.rated_line_pull


@dataclass(frozen=True)
class NewRope:
    """A new rope on the drum: length [m], back tension it was wound with [N], nominal diameter where written [m]."""

    length: float
    tension: float
    diameter: float | None = None


@dataclass(frozen=True)
class PreTensioning:
    """One pass of pre-tensioning as counted: boom length at the start and at the end [m], suspended mass with block and
    slings [kg], radius at the start and at the end [m], layer and whole wraps before winding and after landing;
    configuration and least line pull measured at the winch while winding in [N], None where they are not written."""

    boom_length: tuple[float, float]
    falls: int
    block: str
    load: float
    radius: tuple[float, float]
    drum_before: tuple[int, int]
    drum_after: tuple[int, int]
    configuration: str | None = None
    line_pull: float | None = None


@dataclass(frozen=True)
class Work:
    """Lifts of one kind: boom length, radius [m], load below the block [kg], hook height where the load is taken and
    where it is set down [m], how often; configuration and line pull as in PreTensioning.

    With a `largest_radius` [m] the worst case of many lifts: smallest and largest radius, lightest load, lowest and
    highest hook, how many.
    """

    boom_length: float
    radius: float
    falls: int
    block: str
    load: float
    hook: tuple[float, float]
    repeats: int
    largest_radius: float | None = None
    configuration: str | None = None
    line_pull: float | None = None


@dataclass(frozen=True)
class ReReeving:
    """Other falls, reeved through the boom head with the boom lowered; configuration, None where it is not written."""

    boom_length: float
    falls: int
    block: str
    configuration: str | None = None


@dataclass(frozen=True)
class Unwinding:
    """Rope run off the drum without a load and wound back [m]."""

    length: float


@dataclass(frozen=True)
class Jump:
    """A wrap that jumped, climbed, gapped or pulled in, or slack rope, seen in this layer."""

    layer: int


@dataclass(frozen=True)
class Shortening:
    """Rope cut off [m] at the hook or at the drum end."""

    length: float
    end: str  # hook | drum


Done = NewRope | PreTensioning | Work | ReReeving | Unwinding | Jump | Shortening


@dataclass(frozen=True)
class Entry:
    """One line of a rope's log; until: the last day, where the work went on for more than one."""

    day: str
    done: Done
    note: str
    until: str | None = None

    @property
    def last_day(self) -> str:
        """The day on which what was done had ended."""
        return self.until or self.day


@dataclass(frozen=True)
class Place:
    """What was read at one place of a rope; None where it was not looked at.

    Position along the rope [m] and from which end, drum or hook; broken wires by where they were counted; two
    diameters at right angles [m]; gap under a straight edge [m]; names of what was seen, empty for nothing.
    """

    kind: str  # crossover | flange | drum | sheaves | straight | end-fitting
    position: tuple[str, float] | None = None
    broken_wires: Mapping[str, int] | None = None
    diameter: tuple[float, float] | None = None
    waviness: float | None = None
    seen: tuple[str, ...] | None = None


@dataclass(frozen=True)
class Inspection:
    """Readings of one day, who took them and how thorough; the reference diameter [m], two readings, where it was
    taken."""

    day: str
    by: str
    kind: str  # monthly | full
    places: tuple[Place, ...]
    reference_diameter: tuple[float, float] | None
    note: str


@dataclass(frozen=True)
class Upkeep:
    """The log of the rope of one machine and what was read at it, both oldest first; the log begins with a new rope."""

    id: str
    log: tuple[Entry, ...]
    readings: tuple[Inspection, ...] = ()


@dataclass(frozen=True)
class BrokenWiresRow:
    """One row of a table of broken wires: how many load-bearing outer wires and outer strands it is for (None: no upper
    end), and by column the counts over the short and the long length that end a rope's use; with `shares` they are
    shares of the number of wires."""

    name: str
    wires: tuple[int, int | None]
    strands: tuple[int, int | None]
    counts: Mapping[str, tuple[float, float]]
    shares: bool = False


@dataclass(frozen=True)
class Copy:
    """One copy of a table of broken wires and where it was found."""

    source: Source
    rows: tuple[BrokenWiresRow, ...]


@dataclass(frozen=True)
class BrokenWires:
    """A table of broken wires in every copy there is; rows to go up for outer strands of Seale type."""

    copies: tuple[Copy, ...]
    seale_rows_up: int


@dataclass(frozen=True)
class Bands:
    """Decrease of the diameter, as a share of the nominal one, from which each severity short of discard begins."""

    starts: Mapping[str, float]  # slight, medium, high, very_high
    source: Source


@dataclass(frozen=True)
class OuterWires:
    """One number of load-bearing outer wires, how it was read, and how it comes about."""

    count: int
    read: str  # by-name | yes | second-hand | from-memory
    note: str


@dataclass(frozen=True)
class Construction:
    """What a rope of one construction is made of; every number of outer wires that was found."""

    name: str
    core: str  # fibre | steel
    rotation_resistant: bool
    outer_strands: int
    outer_wires: tuple[OuterWires, ...]
    seale: str  # yes | no | either


@dataclass(frozen=True)
class Verdict:
    """What a criterion means under one regime, and how that was read: what follows, the severity where the standard
    gives one by name, the category of the regulation (another for rotation-resistant rope where given)."""

    outcome: str  # none | watch | discard
    read: str
    severity: str | None = None
    category: int | None = None
    category_rotation_resistant: int | None = None
    may_be_cut_out: bool = True


@dataclass(frozen=True)
class Criterion:
    """One thing an inspection measures or sees; None where a regime says nothing of it."""

    name: str
    group: str
    iso: Verdict | None
    us: Verdict | None


@dataclass(frozen=True)
class TableVersion:
    """One dated version of a table; `content` by the names of its rows where they have names."""

    from_day: str
    content: BrokenWires | Mapping[str, Bands] | Mapping[str, Construction] | Mapping[str, Criterion]
    sources: tuple[Source, ...]
    change: str


@dataclass(frozen=True)
class RopeTable:
    """One table the inspection of ropes rests on, with every version it ever had."""

    id: str
    title: str
    versions: tuple[TableVersion, ...]  # newest first

    def at(self, day: str) -> TableVersion | None:
        """The version in force on `day` (ISO date text), or None before the first."""
        return next((v for v in self.versions if v.from_day <= day), None)


@dataclass(frozen=True)
class Redirect:
    """An address that leads to another page, both below the address of the site; where the line stands in the data."""

    old: str
    new: str
    where: str


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

    def at(self, day: str) -> Data:
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

    def of(self, machine_id: str) -> Data:
        """The same data with one machine only: what is made from it can rest on no other."""
        machines = {machine_id: self.machines[machine_id]}
        upkeep = {id: log for id, log in self.upkeep.items() if id == machine_id}
        revisions = {id: others for id, others in self.revisions.items() if id == machine_id}
        return replace(self, machines=machines, upkeep=upkeep, revisions=revisions)
