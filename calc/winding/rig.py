"""One crane rigged for one plan: what follows from a State, and the one place where every limit stands.

A State says where boom and hook are and what hangs on them; everything else (rope on the drum, tension, capacity)
is a function of it and is stored nowhere.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from itertools import pairwise
from math import cos, inf
from types import MethodType
from typing import Any, Concatenate, Generic, NamedTuple, ParamSpec, TypeVar

from calc.data.model import Block, Case, Chart
from calc.formulas import GRAIN, ROUNDING, STANDARD_GRAVITY, boom, capacity, drum, reeving, rope
from calc.winding import arms, makeup
from calc.winding.codes import RefusalCode

# many cranes of one yard
_loads, _slings = lru_cache(makeup.loads), lru_cache(makeup.slings)


class State(NamedTuple):
    """Boom length, radius without the growth under load, hook height [m]; falls; weights and slings on the hook [kg],
    0 when nothing hangs; hook height with that load just on the ground, how much higher its slings would hold the hook
    with their legs straight down [m]."""

    boom_length: float
    radius: float
    hook_height: float
    falls: int
    load: float = 0.0
    hang: float = 0.0
    spread: float = 0.0

    def at_radius(self, radius: float) -> State:
        """The same at another radius [m]; `_replace` takes twice as long."""
        return State(self.boom_length, radius, self.hook_height, self.falls, self.load, self.hang, self.spread)

    def at_height(self, hook_height: float) -> State:
        """The same at another hook height [m]; `_replace` takes twice as long."""
        return State(self.boom_length, self.radius, hook_height, self.falls, self.load, self.hang, self.spread)

    @property
    def empty(self) -> State:
        """The same with nothing on the hook."""
        return State(self.boom_length, self.radius, self.hook_height, self.falls)


Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")


class _remembered(Generic[Asked, Answer]):
    """A method that remembers its answers as long as its object lives: a plan comes to the same states many times."""

    def __init__(self, method: Callable[Concatenate[Any, Asked], Answer]) -> None:
        self.method = method

    def __get__(self, it: Any, kind: type) -> Callable[Asked, Answer]:
        answers: Any = cache(MethodType(self.method, it))
        it.__dict__[self.method.__name__] = answers  # found there, before this, from now on
        return answers  # type: ignore[no-any-return]


class Refusal(Exception):
    """A limit that stops a plan, by its `code`."""

    def __init__(self, code: RefusalCode) -> None:
        super().__init__(code)
        self.code = code


@dataclass(frozen=True, eq=False)  # each is only equal to itself: to compare two would walk through all their data
class Crane:
    """A case with what is the same for every plan of it: layers, dead rope, loads and slings at hand."""

    case: Case

    @cached_property
    def layers(self) -> tuple[drum.Layer, ...]:
        machine = self.case.machine
        return drum.layers(
            machine.drum.groove_root_diameter,
            machine.rope.diameter,
            self.case.values.rise_ratio,
            machine.drum.wraps_odd_layers,
            machine.drum.wraps_even_layers,
            machine.rope.length,
        )

    @cached_property
    def line_pulls(self) -> tuple[float, ...]:
        """Line pull the winch may use at each layer, the first one first [N]."""
        winch = self.case.machine.winch
        pull, rated = winch.rated_line_pull, winch.rated_layer
        return tuple(drum.line_pull(pull, self.layers, rated, layer.number) for layer in self.layers)

    @cached_property
    def line_speeds(self) -> tuple[float, ...]:
        """Highest line speed at each layer, the first one first [m/s]."""
        winch = self.case.machine.winch
        speed, rated = winch.line_speed, winch.rated_layer
        return tuple(drum.line_speed(speed, self.layers, rated, layer.number) for layer in self.layers)

    @cached_property
    def dead_rope(self) -> float:
        return drum.dead_rope(self.layers, self.case.values.dead_wraps, self.case.machine.drum.surface)

    @cached_property
    def first_unwound(self) -> drum.Layer:
        """The first layer that is unwound in use: layer 2 of a smooth drum that has one, else layer 1."""
        smooth = self.case.machine.drum.surface == "smooth"
        return self.layers[1 if smooth and len(self.layers) > 1 else 0]

    @cached_property
    def first_unwound_rope(self) -> float:
        """Rope that the first layer to be unwound holds [m]."""
        return self.first_unwound.wraps * self.first_unwound.wrap_length

    def rope_with(self, wraps: int) -> float:
        """Rope on the drum at so many wraps, layer by layer; never less than the dead rope [m].

        On a smooth drum the whole of layer 1 counts as the dead wraps, and what is above them lies on layer 2.
        """
        if self.first_unwound.number == 2:
            above = wraps - self.case.values.dead_wraps
            layer = 2
        else:
            above, layer = wraps, 1
        while layer < len(self.layers) and above > self.layers[layer - 1].wraps:
            above -= self.layers[layer - 1].wraps
            layer += 1
        at = drum.rope_at(self.layers, layer, min(max(above, 0), self.layers[layer - 1].wraps))
        return max(self.dead_rope, at)

    @cached_property
    def stop_rope(self) -> float:
        """Rope that stays on the drum at the stop wraps; never less than the dead rope [m]."""
        return self.rope_with(self.case.values.stop_wraps)

    @cached_property
    def usable_rope(self) -> float:
        return self.case.machine.rope.length - self.dead_rope

    @cached_property
    def loads(self) -> tuple[makeup.Load, ...]:
        values = self.case.values
        twice = self.case.machine.boom.load_return == "second-load"
        return _loads(self.case.yard, values.stack_room, values.sling_angle_least, twice)

    @cached_property
    def lowest_hook(self) -> float:
        """The lowest that any load of the yard lets the hook hang on its slings without extensions [m]."""
        return min((load.hook_height for load in self.loads), default=0.0)

    @cached_property
    def usual_hook(self) -> float:
        """Hook height at which a heavy lift is picked, where nothing else is known: the highest that any load of the
        yard asks for on its slings without extensions; the higher, the more rope the lift bears on [m]."""
        yard = self.case.yard
        return max((load.hook_height for load in self.loads), default=yard.load_height + yard.slings.length)

    @cached_property
    def slings(self) -> tuple[makeup.Slings, ...]:
        return _slings(self.case.yard)

    @cached_property
    def rope_weight(self) -> float:
        """Weight of the rope per length [N/m]."""
        return self.case.machine.rope.mass_per_length * STANDARD_GRAVITY

    @cached_property
    def charts(self) -> tuple[Chart, ...]:
        """Charts of the boom lengths a plan may pass: this one and, for a telescopic boom without a jib, every shorter
        one."""
        case = self.case
        if case.machine.kind != "telescopic" or case.jib is not None:
            return (case.chart,)
        return tuple(c for c in case.configuration.charts if c.boom_length <= case.chart.boom_length)

    @cached_property
    def chart_by_length(self) -> dict[float, Chart]:
        return {chart.boom_length: chart for chart in self.charts}

    def chart(self, boom_length: float) -> Chart:
        return self.chart_by_length[boom_length]

    @cached_property
    def beds(self) -> tuple[tuple[int, float], ...]:
        """Falls a heavy lift from the ground may use here, and the rope on the drum it then starts on [m].

        Falls with which the hook would meet the stop wraps before it is down are left out.
        """
        found = [(falls, self.bed_needed(falls)) for falls in self.blocks]
        return tuple((falls, bed) for falls, bed in found if bed >= self.stop_rope)

    def bed_needed(self, falls: int) -> float:
        """Rope on the drum when the next heavy lift with so many falls starts from the ground: only this must be
        firm [m].

        B(n) = L_rope - P - w - n*(H - h_pick - b) + F*R/(E*A), where the hook fits under the head
        """
        rig, pick = self.from_the_ground(falls)
        fall = max(0.0, rig.fall_length(pick))
        out = boom.paid_out(rig.drum_to_head(pick.boom_length), falls, fall, rig.between_falls)
        return self.case.machine.rope.length - out + self.stretch(self.case.machine.winch.rated_line_pull, out)

    def stretch(self, tension: float, length: float) -> float:
        """How much rope of this length [m] gets longer under a tension [N]; none where it is slack [m]."""
        area = self.case.values.rope_metal_factor * self.case.machine.rope.diameter**2
        return rope.stretch(max(0.0, tension), length, self.case.values.rope_modulus, area)

    def from_the_ground(self, falls: int) -> tuple[Rig, State]:
        """A heavy lift with so many falls and the state in which it is picked.

        At the largest listed radius where the chart still carries the full line pull on these falls: the cautious
        side, because a lower head leaves more rope on the drum.  The block is the highest that takes these falls.
        """
        machine, chart = self.case.machine, self.case.chart
        blocks = [b for b in machine.blocks if b.least_falls <= falls <= b.most_falls]
        block = max(blocks, key=lambda b: b.height)
        full = falls * machine.winch.rated_line_pull / STANDARD_GRAVITY
        radii = [radius for radius, carried in chart.rows if carried >= full * (1 - ROUNDING)] or [chart.rows[0][0]]
        return self.rig(falls, block), State(chart.boom_length, radii[-1], self.usual_hook, falls)

    @cached_property
    def blocks(self) -> dict[int, Block]:
        """For each number of falls that can be reeved, the fewest first, the lightest hook block that takes it."""
        return {falls: taking[0] for falls in range(1, self.reeving_limit + 1) if (taking := self.blocks_for(falls))}

    def blocks_for(self, falls: int) -> list[Block]:
        """The hook blocks that take so many falls, the lightest first."""
        taking = (block for block in self.case.machine.blocks if block.least_falls <= falls <= block.most_falls)
        return sorted(taking, key=lambda block: block.mass)

    @_remembered
    def rig(self, falls: int, block: Block) -> Rig:
        """This crane with so many falls on this block."""
        return Rig(self, falls, block)

    @cached_property
    def reeving_limit(self) -> int:
        """Most falls that the head and the blocks take."""
        return min(self.case.reeving.most_falls, max(b.most_falls for b in self.case.machine.blocks))

    @_remembered
    def arm(self, boom_length: float) -> arms.Arm:
        """The straight arm that the main boom of this length [m] makes with the jib of the configuration."""
        return arms.made(self.case.machine.boom, self.case.jib, boom_length)

    @cached_property
    def bending(self) -> float:
        """Length of boom and jib of this plan [m]."""
        return self.arm(self.case.chart.boom_length).bending

    @_remembered
    def head(self, boom_length: float, radius: float) -> float:
        arm = self.arm(boom_length)
        return boom.head_height(arm.length, radius, arm.pivot_forward, arm.pivot_height)

    def radius_at_head(self, boom_length: float, height: float) -> float:
        """Radius at which the head stands at this height; the pivot's radius if the boom is too short for it."""
        arm = self.arm(boom_length)
        if height >= arm.pivot_height + arm.length:
            return arm.pivot_forward
        return boom.radius_at_height(arm.length, max(height, arm.pivot_height), arm.pivot_forward, arm.pivot_height)

    def slope(self, boom_length: float, radius: float) -> float:
        """Angle of the straight arm to the horizontal [rad]."""
        arm = self.arm(boom_length)
        return boom.angle(arm.length, radius, arm.pivot_forward)

    def angle(self, boom_length: float, radius: float) -> float:
        """The angle that limits, indicator and plan mean: of the main boom, or of a luffing jib [rad]."""
        return self.slope(boom_length, radius) + self.arm(boom_length).steeper

    def radius_at_least_angle(self, boom_length: float) -> float:
        """Radius at the least angle the manual lists; the inverse of `angle` [m]."""
        arm = self.arm(boom_length)
        slope = max(0.0, self.case.least_angle - arm.steeper)
        return boom.radius_at_angle(arm.length, slope, arm.pivot_forward)

    def least_radius(self, boom_length: float) -> float:
        """Steepest radius for a load: the chart's first row, or more where the load must clear the carrier [m]."""
        return max(self.chart(boom_length).rows[0][0], self.case.machine.boom.clear_radius or 0.0)

    @_remembered
    def growth(self, boom_length: float) -> float:
        """Growth of the radius at full use of the capacity [m]."""
        return boom.deflection(self.arm(boom_length).bending, self.case.values.deflection_share, 1.0)


@dataclass(frozen=True, eq=False)
class Rig:
    """A crane with its falls and hook block."""

    crane: Crane
    falls: int
    block: Block

    @cached_property
    def least_mass(self) -> float:
        """Least suspended mass by the load rule [kg]."""
        case = self.crane.case
        return reeving.least_mass(case.values.minimum_share, case.machine.winch.rated_line_pull, self.falls)

    # -- rope -------------------------------------------------------------------------------------------------

    @cached_property
    def between_falls(self) -> float:
        return boom.rope_between_falls(self.falls, self.crane.case.reeving.sheave_radius)

    def drum_to_head(self, boom_length: float) -> float:
        return self.crane.arm(boom_length).drum_to_head

    @_remembered
    def fall_length(self, state: State) -> float:
        return self.crane.head(state.boom_length, state.radius) - state.hook_height - self.block.height

    def rope_on_drum(self, state: State) -> float:
        out = boom.paid_out(
            self.drum_to_head(state.boom_length), self.falls, self.fall_length(state), self.between_falls
        )
        return self.crane.case.machine.rope.length - out

    def position(self, state: State) -> tuple[int, float]:
        return drum.position(self.crane.layers, self.rope_on_drum(state))

    # -- masses and forces ------------------------------------------------------------------------------------

    def suspended(self, state: State) -> float:
        """Mass of block, slings and weights [kg]."""
        return self.block.mass + state.load

    def gross(self, state: State) -> float:
        """Mass the chart counts: suspended mass and the rope in the falls [kg]."""
        return self.block.mass + state.load + self._falls_mass * self.fall_length(state)

    @cached_property
    def _falls_mass(self) -> float:
        """Mass of one metre of all falls [kg/m]."""
        return self.falls * self.crane.case.machine.rope.mass_per_length

    def lead_line(self, state: State, direction: int) -> float:
        """Force in the lead line at the head [N]."""
        return self._lead_line(state, self.crane.case.values.sheave_efficiency, direction)

    def free_lead_line(self, state: State) -> float:
        """Force in the lead line at the head with every sheave running freely [N]."""
        return self._lead_line(state, self.crane.case.values.sheave_efficiency_upper, reeving.HAULING)

    def _lead_line(self, state: State, efficiency: float, direction: int) -> float:
        return reeving.lead_line_tension(
            self.suspended(state) * STANDARD_GRAVITY,
            self.crane.rope_weight,
            self.falls,
            self.fall_length(state),
            efficiency,
            self.crane.case.reeving.sheaves_to_drum,
            direction,
        )

    @_remembered
    def tension(self, state: State, direction: int) -> float:
        """Force with which the rope lies on the drum [N]."""
        return self._at_the_drum(state, self.lead_line(state, direction))

    @_remembered
    def winding_tension(self, state: State) -> float:
        """Force with which rope is laid when a wrap is judged firm or loose: every sheave runs freely [N]."""
        return self._at_the_drum(state, self.free_lead_line(state))

    def _at_the_drum(self, state: State, lead_line: float) -> float:
        return reeving.drum_tension(
            lead_line,
            self.crane.rope_weight,
            self.crane.head(state.boom_length, state.radius),
            self.crane.case.machine.boom.winch_height,
        )

    @cached_property
    def firm_tension(self) -> float:
        """Least winding tension of a firm wrap [N]."""
        return self.crane.case.values.firm_tension_share * self.crane.case.machine.winch.rated_line_pull

    def mass_for_firm(self, state: State) -> float:
        """Suspended mass that lays the rope firm at this state [kg]."""
        case = self.crane.case
        return reeving.mass_for_drum_tension(
            self.firm_tension,
            self.crane.rope_weight,
            self.falls,
            self.fall_length(state),
            self.crane.head(state.boom_length, state.radius),
            case.machine.boom.winch_height,
            case.values.sheave_efficiency_upper,
            case.reeving.sheaves_to_drum,
            reeving.HAULING,
        )

    def mass_to_overhaul(self, fall_length: float, head: float) -> float:
        """Block mass that pulls the rope off the drum, falls of this length under a head at this height [kg, m]."""
        case = self.crane.case
        return reeving.block_mass_to_overhaul(
            case.values.drum_drag,
            self.crane.rope_weight,
            self.falls,
            fall_length,
            head,
            case.machine.boom.winch_height,
            case.values.sheave_efficiency,
            case.reeving.sheaves_to_drum,
        )

    # -- the stop ---------------------------------------------------------------------------------------------

    def growth_of(self, state: State) -> float:
        """Growth of the radius under this state's load; that of full use where the chart does not carry it [m]."""
        if not state.load:
            return 0.0
        reading = self.reading(state)
        return self.crane.growth(state.boom_length) * (1.0 if reading is None else reading.use)

    def loaded_radius(self, state: State) -> float:
        """The radius the crew reads: grown by the deflection of the boom where a load hangs [m]."""
        return state.radius + self.growth_of(state)

    def unloaded(self, at: State, loaded: float, carried: float) -> float:
        """The radius of the unloaded boom when, under the load of the state `at`, it stands on the radius `loaded` in a
        chart row of this capacity; no less than the radius of `at` [m, kg]."""
        growth = self.crane.growth(at.boom_length)
        radius = max(loaded, at.radius)
        for _ in range(6):  # the rope in the falls is some per mille of the load
            radius = max(at.radius, loaded - growth * self.gross(at.at_radius(radius)) / carried)
        return max(at.radius, radius - GRAIN)  # inside the listed radius it should stand on

    @_remembered
    def rebound(self, state: State) -> float:
        """How far the head rises when this state's load comes off [m]."""
        arm = self.crane.arm(state.boom_length)
        return boom.rebound(arm.length, state.radius, arm.pivot_forward, self.growth_of(state))

    @cached_property
    def length_error(self) -> float:
        """Hook height that the error of the rope length is worth [m]."""
        return self.crane.case.values.stop_margin_share * self.crane.case.machine.rope.length / self.falls

    def rope_kept(self, margin: float) -> float:
        """Least rope on the drum when the legs are shackled on, at this stop margin [m].

        D_min = the larger of rope(stop wraps + count tolerance) and rope(dead wraps) + n*margin; the second is left
        out where n*margin alone would leave more unreached than the rule allows: the count governs then.
        """
        values = self.crane.case.values
        counted = self.crane.rope_with(values.stop_wraps + values.count_tolerance)
        if self.falls * margin > values.unreached_limit * self.crane.first_unwound_rope:
            return counted
        return max(counted, self.crane.dead_rope + self.falls * margin)

    def stop_margin(self, state: State) -> float:
        """What the warning height adds to the height at which the dead wraps are reached, for the load of this state.

        margin = max(least, share*L_rope/n + rebound at the least radius)
        """
        steep = state.at_radius(self.crane.least_radius(state.boom_length))
        return max(self.crane.case.values.stop_margin, self.length_error + self.rebound(steep))

    def stop_height(self, state: State, margin: float, rope_less: float = 0.0) -> float:
        """Hook height that warns at this state's boom length and radius, for a rope shorter by `rope_less` [m].

        h_stop = H - b - (L_u - P - w)/n + margin
        """
        usable = self.crane.usable_rope - rope_less
        out = (usable - self.drum_to_head(state.boom_length) - self.between_falls) / self.falls
        return self.crane.head(state.boom_length, state.radius) - self.block.height - out + margin

    # -- limits -----------------------------------------------------------------------------------------------

    @_remembered
    def reading(self, state: State) -> capacity.Reading | None:
        rows = self.crane.chart(state.boom_length).rows
        return capacity.read(rows, state.radius, self.gross(state), self._growth_at_full_use(state))

    def _growth_at_full_use(self, state: State) -> float:
        """Growth of the radius at full use of the capacity; the empty block bends no boom [m]."""
        return self.crane.growth(state.boom_length) if state.load else 0.0

    def refusal(self, state: State) -> RefusalCode | None:
        """The first limit this state breaks, as a refusal code, or None: every limit of the work stands here."""
        case = self.crane.case
        machine = case.machine
        rows = self.crane.chart(state.boom_length).rows
        if not at_least(state.radius, rows[0][0]) or not at_least(rows[-1][0], state.radius):
            return "radius-not-listed"
        if not at_least(self.crane.angle(state.boom_length, state.radius), case.least_angle):
            return "boom-angle"
        if state.load and machine.boom.clear_radius and not at_least(state.radius, machine.boom.clear_radius):
            return "carrier-not-cleared"
        room = case.yard.working_radius
        if room is not None and not at_least(room, self.working_radius(state) if state.load else state.radius):
            return "working-area"
        if not at_least(self.fall_length(state) - state.spread, case.reeving.upper_stop):
            return "upper-stop"
        if not at_least(self.rope_on_drum(state), self.crane.stop_rope):
            return "stop-wraps"
        if not at_least(self.block.capacity, state.load):
            return "block-capacity"
        if not at_least(self.pull_limit(state), self.lead_line(state, reeving.HAULING)):
            return "line-pull"
        if not self._within(self.reading(state)):
            return "over-capacity"
        return None

    def _within(self, reading: capacity.Reading | None) -> bool:
        """Whether the chart carries a load with what the rule keeps in reserve."""
        limit = self.crane.case.values.largest_capacity_use
        return reading is not None and at_least(limit, reading.use)

    def refusal_between(self, before: State, after: State) -> RefusalCode | None:
        """The limit of chart or telescoping load that is broken somewhere on the way between two states, or None."""
        if before.boom_length == after.boom_length:
            return None if self._within(self.worst_reading(before, after)) else "over-capacity"
        most = self.most_telescoped(after.boom_length, before.boom_length)
        if most is None:
            return "telescoping-not-listed"
        if not at_least(most, self.gross(before)):
            return "over-telescoping-load"
        charts_alone = self._worst(self._telescoping_readings(before, after, listed_load=False))
        if not self._within(charts_alone):
            return "over-capacity"
        room = self.crane.case.yard.working_radius
        return "working-area" if room is not None and not at_least(room, self.outermost(before, after)) else None

    @_remembered
    def most_telescoped(self, shortest: float, longest: float) -> float | None:
        """Most the hook may carry while the boom is telescoped between two lengths [m], with what the rule keeps in
        reserve; None where the manual does not list it [kg]."""
        passed = [c.telescoping for c in self.crane.charts if shortest <= c.boom_length <= longest]
        listed = [limit for limit in passed if limit is not None]
        return self.crane.case.values.largest_telescoping_use * min(listed) if len(listed) == len(passed) else None

    def most_suspended(self, before: State, after: State) -> float:
        """Largest suspended mass that charts and telescoping load allow on the way between two states as the crew reads
        the radii, with what the rules keep in reserve [kg]."""
        values, suspended = self.crane.case.values, self.suspended(before)
        if before.boom_length == after.boom_length:
            readings = self._luffing_readings(before, after)
            most = float("inf")
        else:
            readings = self._telescoping_readings(before, after, listed_load=False)
            passed = [c for c in self.crane.charts if after.boom_length <= c.boom_length <= before.boom_length]
            listed = min((c.telescoping for c in passed if c.telescoping is not None), default=0.0)
            most = values.largest_telescoping_use * listed - (self.gross(before) - suspended)
        for met in readings:
            if met is None:
                return 0.0
            # gross load less suspended mass is the rope in the falls there
            most = min(most, values.largest_capacity_use * met.capacity - met.use * met.capacity + suspended)
        return most

    def largest_gross(self, state: State) -> float:
        """Largest gross load the chart carries at this state's unloaded radius, with what the rule keeps in reserve
        [kg]."""
        share = self.crane.case.values.largest_capacity_use
        rows = [(radius, share * carried) for radius, carried in self.crane.chart(state.boom_length).rows]
        return capacity.largest_load(rows, state.radius, share * self.crane.growth(state.boom_length))

    def pull_limit(self, state: State) -> float:
        """Line pull the winch may use at the layer this state works on [N]."""
        return self.crane.line_pulls[self.position(state)[0] - 1]

    def working_radius(self, state: State) -> float:
        """Outermost radius the load takes: half its length beyond the hook, the boom bent under the load."""
        return self.loaded_radius(state) + self.crane.case.yard.load_length / 2

    def outermost(self, before: State, after: State) -> float:
        """Outermost radius a load takes on the way between two states: half its length beyond the hook, the boom bent
        under the load [m].

        Luffing, it is taken at an end.  While telescoping the shorter chart counts from where the longer boom is left,
        or from where it lists the radius: a weaker row of it makes the boom bend more there than at either end.
        """
        loaded = [self.loaded_radius(before), self.loaded_radius(after)]
        for shorter, longer, at, theta in self._sections(before, after):
            growth, gross = self.crane.growth(longer.boom_length), self.gross(at)
            met = capacity.read_between(longer.rows, shorter.rows, at.radius, gross, growth, inf)
            loaded.append(at.radius + growth * (1.0 if met is None else met.use))
            if self._shorter_begins(shorter, longer, at, theta):
                loaded.append(shorter.rows[-1][0])
        return max(loaded) + self.crane.case.yard.load_length / 2

    def _sections(self, before: State, after: State) -> Iterator[tuple[Chart, Chart, State, float]]:
        """Charts of the shorter and the longer boom for each section telescoped in between two states, the state in
        which the longer boom is left, and the boom angle [rad]."""
        forward = self.crane.case.machine.boom.pivot_forward
        passed = [c for c in self.crane.charts if after.boom_length <= c.boom_length <= before.boom_length]
        for shorter, longer in pairwise(passed):
            theta = boom.angle(before.boom_length, before.radius, forward)
            radius = boom.radius_at_angle(longer.boom_length, theta, forward)
            yield shorter, longer, before._replace(boom_length=longer.boom_length, radius=radius), theta

    @_remembered
    def worst_reading(self, before: State, after: State) -> capacity.Reading | None:
        """Smallest capacity met and largest use met on the way between two states; None when not carried somewhere.

        At one boom length the use peaks at both ends and just where the next chart row begins to count.  While
        telescoping it peaks at each listed length, where the next longer chart still counts.
        """
        if before.boom_length != after.boom_length:
            return self._worst(self._telescoping_readings(before, after, listed_load=True))
        return self._worst(self._luffing_readings(before, after))

    @staticmethod
    def _worst(readings: list[capacity.Reading | None]) -> capacity.Reading | None:
        found = [r for r in readings if r is not None]
        if len(found) < len(readings):
            return None
        return capacity.Reading(max(r.row for r in found), min(r.capacity for r in found), max(r.use for r in found))

    def _luffing_readings(self, before: State, after: State) -> list[capacity.Reading | None]:
        """Readings at both ends and where the rows between begin to count, from the outermost inward as long as they
        can be the worst."""
        near, far = sorted((before, after), key=lambda s: s.radius)
        first, last = self.reading(near), self.reading(far)
        found = [first, last]
        if first is None or last is None:
            return found
        rows = self.crane.chart(near.boom_length).rows
        lowest = near.at_height(min(near.hook_height, far.hook_height))
        most = self.gross(lowest)  # nowhere on the way is more rope in the falls
        for row in range(last.row, first.row, -1):
            if most / rows[row][1] <= max(first.use, last.use):
                break  # nor can a row further in, which lists no less
            found.append(self._where_row_begins(row, near, far))
        return found

    def _where_row_begins(self, row: int, near: State, far: State) -> capacity.Reading | None:
        """The reading just where this chart row begins to count on the way out from `near` to `far`."""
        rows = self.crane.chart(near.boom_length).rows
        growth = self._growth_at_full_use(near)
        radius, carried = rows[row - 1]
        gross = self.gross(self._between(near, far, radius))
        for _ in range(4):  # the growth is a few per cent of the radius: four rounds settle it
            radius = max(near.radius, rows[row - 1][0] - growth * gross / carried)
            gross = self.gross(self._between(near, far, radius))
        # rope in the falls gets shorter further out: the row may carry the load at its end, yet not where it begins
        capable = rows[row][1]
        return capacity.Reading(row, capable, gross / capable) if gross <= capable else None

    def _between(self, near: State, far: State, radius: float) -> State:
        """The state at a `radius` on the way between two: the hook goes with the head where the hoist is held."""
        if near.hook_height == far.hook_height:
            return near.at_radius(radius)
        if abs(self.fall_length(near) - self.fall_length(far)) < GRAIN * 1e3:
            head = self.crane.head(near.boom_length, radius)
            return near.at_radius(radius).at_height(head - self.block.height - self.fall_length(near))
        share = (radius - near.radius) / (far.radius - near.radius) if far.radius > near.radius else 0.0
        return near.at_radius(radius).at_height(near.hook_height + share * (far.hook_height - near.hook_height))

    def _shorter_begins(self, shorter: Chart, longer: Chart, at: State, theta: float) -> list[capacity.Reading | None]:
        """Where, on the way in from the longer boom, the shorter chart's outermost row begins to count."""
        forward = self.crane.case.machine.boom.pivot_forward
        outermost, carried = shorter.rows[-1]
        growth = self.crane.growth(longer.boom_length)
        if at.radius + growth * self.gross(at) / carried <= outermost:
            return []
        radius = outermost
        for _ in range(4):
            length = (radius - forward) / cos(theta)
            there = at._replace(boom_length=length, radius=radius)
            radius = outermost - growth * self.gross(there) / carried
        gross = self.gross(at._replace(boom_length=(radius - forward) / cos(theta), radius=radius))
        if length <= shorter.boom_length:
            return []
        return [capacity.Reading(len(shorter.rows) - 1, carried, gross / carried) if gross <= carried else None]

    def _telescoping_readings(self, before: State, after: State, listed_load: bool) -> list[capacity.Reading | None]:
        """Readings at each listed length passed, where the next longer chart still counts; with `listed_load` the load
        listed for telescoping counts as well."""
        found: list[capacity.Reading | None] = [self.reading(after)]
        for shorter, longer, at, theta in self._sections(before, after):
            if shorter.telescoping is None or longer.telescoping is None:
                return [None]
            listed = min(shorter.telescoping, longer.telescoping) if listed_load else inf
            found.append(
                capacity.read_between(
                    longer.rows, shorter.rows, at.radius, self.gross(at), self.crane.growth(longer.boom_length), listed
                )
            )
            found += self._shorter_begins(shorter, longer, at, theta)
        return found


def telescoped(state: State, boom_length: float, pivot_forward: float) -> State:
    """The `state` after telescoping to another `boom_length` [m] at the same boom angle and hook height;
    `pivot_forward` as in `boom.angle`."""
    cosine = cos(boom.angle(state.boom_length, state.radius, pivot_forward))
    radius = pivot_forward + boom_length * cosine
    return state._replace(boom_length=boom_length, radius=radius)


def at_least(value: float, limit: float) -> bool:
    """Whether a `value` reaches its `limit`, but for the last binary digits."""
    return value >= limit or value >= limit - ROUNDING * max(1.0, abs(limit))
