"""The planner: which falls, which load, which moves wind the rope firm and what is firm afterwards.

May import: model, rig, makeup, reeving, boom, capacity.  Must not know: the contract's field names, rounding, pages.

A method only strings States together; `Rig.refusal` holds every limit; choosing compares finished plans.
Only rope that stays on the drum after landing and unhooking counts as firm.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache, partial
from math import ceil, floor
from operator import itemgetter

from calc import ROUNDING, boom, capacity, reeving
from calc.makeup import Load, Slings
from calc.model import Case, Chart
from calc.rig import Crane, Refusal, Rig, State, telescoped

WINDING_UNDER_LOAD = ("pick", "luff-out", "telescope-in")


@dataclass(frozen=True)
class Move:
    """One move: its name and the states before and after."""

    name: str  # pay-out | pick | luff-out | telescope-in | change-load | land | luff-in
    before: State
    after: State


@dataclass(frozen=True)
class Pass:
    """One pass: moves, how the load came back, slings, rope unwound by the empty block [m], rope on the drum where
    firm rope begins and ends [m], falls from which full line pull stands on firm rope, duration [s]."""

    moves: tuple[Move, ...]
    load_return: str
    slings: Slings
    rope_lost: float
    firm_from: float
    firm_to: float
    full_pull_falls: int | None
    duration: float

    @property
    def firm_rope(self) -> float:
        return max(0.0, self.firm_to - self.firm_from)


@dataclass(frozen=True)
class Method:
    """One way to do it: its passes, or why it is refused."""

    name: str
    refused: str | None
    passes: tuple[Pass, ...] = ()
    firm_share_limit: float | None = None

    @property
    def duration(self) -> float:
        return sum(p.duration for p in self.passes)

    @property
    def firm_rope(self) -> float:
        return self.passes[-1].firm_rope if self.passes else 0.0

    @property
    def working_radius(self) -> float:
        """Outermost hook radius under load [m]."""
        return max(s.radius for p in self.passes for m in p.moves for s in (m.before, m.after) if s.load)


@dataclass(frozen=True)
class HeavierLoad:
    """How far a load heavier than planned goes: suspended mass [kg], radius [m], rope firm when landed there [m]."""

    mass: float
    furthest_radius: float
    firm_rope: float
    reduce_to: float | None  # suspended mass to go on with in the same pass; None for the planned load itself [kg]


@dataclass(frozen=True)
class Attempt:
    """The plan for one number of falls."""

    rig: Rig
    load: Load
    slings: Slings
    start: State  # hook at the start height, load still on the ground
    unreached: float
    firm_mass: float  # suspended mass that keeps the firm tension through every winding move
    luff_out: Method
    telescope_in: Method | None
    falls_short_of_firm: bool

    @property
    def methods(self) -> tuple[Method, ...]:
        return tuple(m for m in (self.luff_out, self.telescope_in) if m is not None and m.refused is None)

    @property
    def suspended(self) -> float:
        return self.rig.suspended(self.start)

    @property
    def best(self) -> Method | None:
        """The method to take first: most firm rope (to half a per cent of the rope), then the shortest."""
        length = self.rig.crane.case.machine.rope.length
        return min(self.methods, key=lambda m: (firm_rank(m.firm_rope / length), m.duration), default=None)


@dataclass(frozen=True)
class Plan:
    """The chosen attempt with what it was chosen against."""

    crane: Crane
    attempt: Attempt
    estimate: int
    exact: float | None
    runner_up: tuple[int, str] | None
    heavier: tuple[HeavierLoad, ...]
    bed_needed: tuple[tuple[int, float], ...]
    refused: str | None


def firm_rank(firm_share: float) -> int:
    """Place of a `firm_share` among others, the smallest first: shares within half a per cent of the rope are equal.

    >>> firm_rank(0.755), firm_rank(0.756)
    (-151, -151)
    """
    return -round(firm_share * 200)


def winding_states(methods: tuple[Method, ...]) -> list[State]:
    """Both ends of every move of these `methods` that winds rope under load."""
    return [
        state
        for method in methods
        for p in method.passes
        for move in p.moves
        if move.name in WINDING_UNDER_LOAD
        for state in (move.before, move.after)
    ]


# -- what a pass leaves on the drum -----------------------------------------------------------------------------


def firm_end(rig: Rig, moves: tuple[Move, ...], firm_from: float, firm_before: float) -> float:
    """Rope on the drum of a `rig` up to which the wraps lie firm after these `moves` [m].

    `firm_from` is where firm rope begins, `firm_before` where it ended before the moves, both as rope on the drum [m].
    Along one winding move rope on the drum and tension both grow in a straight line with the length of a fall, so
    the point where the tension falls under the firm share is found by proportion.
    """
    case = rig.crane.case
    needed = case.values.firm_tension_share * case.machine.winch.rated_line_pull
    firm_to = firm_before
    for move in moves:
        there = rig.rope_on_drum(move.after)
        if move.name not in WINDING_UNDER_LOAD:
            firm_to = min(firm_to, max(there, firm_from))
            continue
        here = rig.rope_on_drum(move.before)
        first, last = rig.tension(move.before, reeving.HAULING), rig.tension(move.after, reeving.HAULING)
        if min(first, last) >= needed * (1 - ROUNDING):
            reached = there
        elif first < needed:
            reached = here
        else:
            reached = here + (there - here) * (first - needed) / (first - last)
        if here <= firm_to + ROUNDING * here or here <= firm_from * (1 + ROUNDING):
            firm_to = max(min(firm_to, here), reached)
    return max(firm_to, firm_from)


def relaxed_rope(rig: Rig, landed: State) -> float:
    """Rope that loses its tension when the load of a `rig` is set down, in the state `landed`: paid out again before
    winding goes on [m].

    N wraps = N_slip + n*slack/l, rounded up, never fewer than the rule; N_slip by `reeving.relaxed_wraps`
    """
    values = rig.crane.case.values
    laid = rig.tension(landed, reeving.HAULING)
    empty = max(rig.tension(landed._replace(load=0.0), reeving.STANDING), values.drum_drag)
    wrap = rig.crane.layers[rig.position(landed)[0] - 1].wrap_length
    slack = rig.falls * (values.sling_slack + rig.rebound(landed)) / wrap
    slipped = reeving.relaxed_wraps(max(laid, empty), empty, values.rope_friction)
    return max(values.overlap_wraps, ceil(slipped + slack)) * wrap


def bed_end(rig: Rig, landed: State, firm_to: float) -> float:
    """Rope on the drum of a `rig` up to which a bed may reach once the load is set down, in the state `landed`: the
    outer wraps slip then, whatever lies firm up to `firm_to` [m]."""
    return min(firm_to, rig.rope_on_drum(landed) - relaxed_rope(rig, landed))


def full_pull_falls(crane: Crane, firm_from: float, firm_to: float) -> int | None:
    """Fewest falls from which every number of falls of a `crane` up to the limit starts a heavy lift on firm rope, or
    None; the rope lies firm between `firm_from` and `firm_to`, as rope on the drum [m].

    None as well when more stays unreached than `unreached_limit`: then the bed itself may be loose.
    """
    if firm_from - crane.dead_rope > unreached_limit(crane):
        return None
    enough = None
    for falls, bed in reversed(crane.beds):
        if bed > firm_to:
            break
        enough = falls
    return enough


# -- time -------------------------------------------------------------------------------------------------------


def duration(rig: Rig, move: Move, first_pass: bool) -> float:
    """Planning time of one `move` of a `rig` [s]: the slower of boom motion and rope, and the rule's handling
    allowance, which is another for the pick of the `first_pass`."""
    case = rig.crane.case
    values, machine = case.values, case.machine
    if move.name == "pay-out":
        return rope_time(rig, move, values.pay_out_speed)
    if move.name == "pick":
        return values.pick_time if first_pass else values.re_pick_time
    if move.name == "land":
        return values.check_time
    motion = boom_motion(rig, move)
    if move.before.load:
        power = machine.winch.power / max(rig.lead_line(move.before, reeving.HAULING), 1.0)
        return max(motion, rope_time(rig, move, min(values.winding_speed, power))) + values.stop_time
    return motion


def rope_time(rig: Rig, move: Move, speed: float) -> float:
    """Time the rope of a `rig` takes for a `move` at this `speed` [m/s], slower on layers where the winch turns no
    faster [s]."""
    crane = rig.crane
    low, high = sorted((rig.rope_on_drum(move.before), rig.rope_on_drum(move.after)))
    total, below = 0.0, 0.0
    for layer, highest in zip(crane.layers, crane.line_speeds, strict=True):
        here = max(0.0, min(high, layer.rope_when_full) - max(low, below))
        total += here / min(speed, highest)
        below = layer.rope_when_full
    return total


def boom_motion(rig: Rig, move: Move) -> float:
    """Time the boom of a `rig` takes for a `move`, telescoping or luffing [s]."""
    at = rig.crane.case.machine.boom
    if move.before.boom_length != move.after.boom_length:
        assert at.telescoping is not None
        return (move.before.boom_length - move.after.boom_length) / at.telescoping
    angles = [boom.angle(s.boom_length, s.radius, at.pivot_forward) for s in (move.before, move.after)]
    return abs(angles[0] - angles[1]) / at.luffing


# -- moves ------------------------------------------------------------------------------------------------------


def start_state(rig: Rig, load: Load, slings: Slings) -> State:
    """Hook of a `rig` at the start: `load` on the ground, `slings` straight, as steep as wraps, stop height and carrier
    allow.

    The least listed radius, or the radius where the head is low enough: H(r) = h + b + s with s the longest fall
    that leaves the stop wraps and the stop margin.
    """
    crane, case = rig.crane, rig.crane.case
    length = case.chart.boom_length
    hook = case.yard.load_height + slings.length
    radius = crane.least_radius(length)
    state = State(length, radius, hook, rig.falls, load.mass + slings.mass, slings.length)
    margin = 0.0
    for _ in range(60):  # the margin grows with the radius; it settles in a few rounds, slower where the boom is flat
        margin = max(margin, rig.stop_margin(state))
        out = case.machine.rope.length - rig.rope_kept(margin)
        fall = (out - rig.drum_to_head(length) - rig.between_falls) / rig.falls
        wanted = max(radius, crane.radius_at_head(length, hook + rig.block.height + fall))
        if wanted > case.chart.rows[-1][0]:
            raise Refusal("below-stop-height")
        if abs(wanted - state.radius) < ROUNDING:
            break
        state = state.at_radius(wanted)
    return state


def lifted(rig: Rig, state: State) -> State:
    """The `state` with the load of a `rig` just clear of the ground, by the clearance of the rule."""
    return state.at_height(state.hook_height + rig.crane.case.values.clearance)


def landed(rig: Rig, state: State) -> State:
    """The `state` with the load of a `rig` back on the ground: the way back from `lifted`."""
    return state.at_height(state.hook_height - rig.crane.case.values.clearance)


def check(rig: Rig, moves: tuple[Move, ...]) -> None:
    """Raises Refusal for the first limit a `rig` breaks at any state of the `moves` or on the way."""
    planned = next(m.after.load for m in moves if m.name == "pick")
    checked: State | None = None
    for move in moves:
        for state in (move.before, move.after):
            if state == checked:
                continue  # a move begins where the one before ended
            code = rig.refusal(state, state._replace(load=planned))
            if code:
                raise Refusal(code)
            checked = state
        if rig.worst_reading(move.before, move.after) is None:
            raise Refusal("over-capacity")


def furthest(rig: Rig, at: State) -> State:
    """The state furthest out that a `rig` may take from the state `at`: same load, boom length and hook height.

    The largest listed radius that the chart carries, deflection counted; less where the upper stop, the least boom
    angle or the working area ends it.
    """
    crane, case = rig.crane, rig.crane.case
    chart = crane.chart(at.boom_length)
    forward = case.machine.boom.pivot_forward
    lowest = at.hook_height + rig.block.height + case.machine.reeving.upper_stop
    ends = [
        crane.radius_at_head(at.boom_length, lowest),
        boom.radius_at_angle(at.boom_length, case.machine.boom.least_angle, forward),
        chart.rows[-1][0],
    ]
    if case.yard.working_radius is not None:
        ends.append(case.yard.working_radius - case.yard.load_length / 2)
    end = min(ends)
    if end <= at.radius:
        return at
    radii = [r for r, _ in chart.rows if at.radius < r < end] + [end]
    down = landed(rig, at)  # landing takes a little more rope
    carried = radii
    if rig.reading(down.at_radius(end)) is None:  # mostly it is the stop or the boom that ends it
        carried = radii[: bisect_left(radii, True, key=lambda r: rig.reading(down.at_radius(r)) is None)]
    while carried and rig.worst_reading(at, at.at_radius(carried[-1])) is None:
        carried.pop()  # the rope in the falls is longer on the way there
    return at.at_radius(carried[-1]) if carried else at


def first_moves(rig: Rig, start: State) -> tuple[Move, ...]:
    """Empty block of a `rig` from the upper stop down to the `start`, then the load lifted just clear."""
    case = rig.crane.case
    high = rig.crane.head(start.boom_length, start.radius) - rig.block.height - case.machine.reeving.upper_stop
    above = start._replace(hook_height=max(high, start.hook_height), load=0.0, sling_length=0.0)
    below = start._replace(load=0.0, sling_length=0.0)
    return Move("pay-out", above, below), Move("pick", start, lifted(rig, start))


def luff_out_and_land(rig: Rig, low: State) -> tuple[Move, ...]:
    """The moves of a `rig` from the state `low`, load just clear: out as far as it goes, then landed.  Errors: Refusal.
    """
    out = furthest(rig, low)
    if out.radius <= low.radius:
        reading = rig.reading(low)
        raise Refusal("over-capacity" if reading is None else "no-room-to-luff")
    return Move("luff-out", low, out), Move("land", out, landed(rig, out))


def finish(rig: Rig, moves: tuple[Move, ...], slings: Slings, before: Pass | None, load_return: str) -> Pass:
    """The pass made of these moves, with what it leaves firm; whether they are admissible, `check` says.

    Parameters
    ----------
    rig, moves, slings : what moves, its moves, and what the load hangs on
    before : the pass before this one, None for the first
    load_return : how the load came back under the hook

    Returns: the pass.  Errors: none.
    """
    lost = 0.0
    if before is None:
        pick = next(m for m in moves if m.name == "pick")
        firm_from = rig.rope_on_drum(pick.before)
        firm_to = firm_from
    else:
        firm_from, firm_to = before.firm_from, before.firm_to
        lost = sum((rig.rope_on_drum(m.before) - rig.rope_on_drum(m.after) for m in moves if m.name == "pay-out"), 0.0)
    firm_to = firm_end(rig, moves, firm_from, firm_to)
    return Pass(
        moves,
        load_return,
        slings,
        lost,
        firm_from,
        firm_to,
        full_pull_falls(rig.crane, firm_from, bed_end(rig, moves[-1].after, firm_to)),
        sum(duration(rig, m, before is None) for m in moves),
    )


def next_pass(rig: Rig, load: Load, before: Pass) -> Pass | None:
    """The pass of a `rig` and `load` after the pass `before`, with the slings at hand that leave most rope on the drum,
    the shortest of equals.

    None when no pass is admissible or none adds the least gain of the rule.
    """
    case = rig.crane.case
    enough = before.firm_rope + case.values.least_gain_share * case.machine.rope.length
    best: tuple[tuple[Move, ...], Slings] | None = None
    for slings, moves in reversed(list(next_moves(rig, load, before))):
        firm_rope = firm_end(rig, moves, before.firm_from, before.firm_to) - before.firm_from
        if firm_rope < enough:
            continue
        try:
            check(rig, moves)
        except Refusal:
            continue
        best, enough = (moves, slings), firm_rope * (1 - ROUNDING)
    return None if best is None else finish(rig, *best, before, case.machine.boom.load_return)


def next_moves(rig: Rig, load: Load, before: Pass) -> Iterator[tuple[Slings, tuple[Move, ...]]]:
    """The moves of a `rig` after the pass `before`: `load` back under the hook, overlap paid out under load, luffed out
    again.

    For each length of slings at hand that is longer than before, the shortest first.
    """
    crane, clearance = rig.crane, rig.crane.case.values.clearance
    end = before.moves[-1].after
    overlap = relaxed_rope(rig, end) / rig.falls
    length, head = end.boom_length, crane.head(end.boom_length, end.radius)
    highest = crane.head(length, crane.least_radius(length))
    for slings in crane.slings:
        longer = slings.length - before.slings.length
        if longer <= 0 or slings.capacity < load.mass or head + longer + clearance + overlap > highest:
            continue
        radius, hook = crane.radius_at_head(length, head + longer), end.hook_height + longer
        pick = State(length, radius, hook, rig.falls, load.mass + slings.mass, slings.length)
        clear = lifted(rig, pick)
        restart = clear.at_radius(crane.radius_at_head(length, head + longer + clearance + overlap))
        moves = (
            Move("luff-in", end._replace(load=0.0, sling_length=0.0), pick._replace(load=0.0, sling_length=0.0)),
            Move("pick", pick, clear),
            Move("luff-in", clear, restart),
        )
        try:
            yield slings, moves + luff_out_and_land(rig, restart)
        except Refusal:
            continue


def with_passes(rig: Rig, load: Load, first: Pass, name: str) -> Method:
    """The method of this `name` that a `rig` and `load` begin with the `first` pass, further passes added while they
    add and are allowed."""
    case = rig.crane.case
    machine = case.machine
    passes = [first]
    while len(passes) < case.values.most_passes and machine.boom.load_return != "none":
        if firm_in_all(rig.crane, passes[-1]) >= case.values.target_share * machine.rope.length:
            break
        found = next_pass(rig, load, passes[-1])
        if found is None:
            break
        passes.append(found)
    out = rig.drum_to_head(passes[-1].moves[-1].after.boom_length) + rig.between_falls
    limit = 1 - (out + rig.falls * machine.reeving.upper_stop) / machine.rope.length
    return Method(name, None, tuple(passes), limit)


def better(methods: list[Method], rope_length: float) -> Method:
    """The best of these `methods`: most firm rope to half a per cent of the `rope_length` [m], then fewest passes, then
    shortest."""
    return min(methods, key=lambda m: (firm_rank(m.firm_rope / rope_length), len(m.passes), m.duration))


def luff_out(rig: Rig, load: Load) -> Method:
    """Luff out a `rig` with the `load` kept low; of the slings to start with those that lead to the better method."""
    try:
        found = [with_passes(rig, load, first, "luff-out") for first in luffing_passes(rig, load)]
    except Refusal as refusal:
        return Method("luff-out", refusal.code)
    crane = rig.crane
    reaching = [m for m in found if m.passes[0].firm_from - crane.dead_rope <= unreached_limit(crane)]
    return better(reaching or found, crane.case.machine.rope.length)


def luffing_passes(rig: Rig, load: Load) -> Iterator[Pass]:
    """First passes of luffing out a `rig` with this `load`, one for each of the slings to start with.

    Errors: Refusal where there is none.
    """
    refused: Refusal | None = None
    found = False
    for slings, start in starts(rig, load):
        begin = first_moves(rig, start)
        try:
            moves = begin + luff_out_and_land(rig, begin[-1].after)
            check(rig, moves)
        except Refusal as refusal:
            refused = refusal
        else:
            found = True
            yield finish(rig, moves, slings, None, "none")
    if refused and not found:
        raise refused


def starts(rig: Rig, load: Load) -> Iterator[tuple[Slings, State]]:
    """The shortest slings for a `rig` and `load` that keep the hook above the stop, and the shortest that do so at the
    least radius if longer, each with its start state.  Errors: Refusal where there are none."""
    crane = rig.crane
    steepest = crane.least_radius(crane.case.chart.boom_length)
    refused = Refusal("slings-not-at-hand")
    shortest: State | None = None
    for slings in crane.slings:
        if slings.capacity < load.mass:
            continue
        try:
            start = start_state(rig, load, slings)
        except Refusal as refusal:
            refused = refusal
            continue
        if shortest is None:
            yield slings, start
            if start.radius <= steepest:
                return
            shortest = start
        elif start.radius <= steepest:
            yield slings, start
            return
    if shortest is None:
        raise refused


def telescope_in(rig: Rig, load: Load, first: Slings | None = None) -> Method:
    """Start a `rig` with its `load` steep, luff out until the short boom clears the carrier, telescope in, luff out at
    the short boom; with the slings `first`, so that all methods of a plan start alike."""
    try:
        return with_passes(rig, load, telescoping_pass(rig, load, first), "telescope-in")
    except Refusal as refusal:
        return Method("telescope-in", refusal.code)


def telescoping_pass(rig: Rig, load: Load, first: Slings | None = None) -> Pass:
    """The first pass of telescoping in a `rig` with this `load`, to the shortest boom length that allows it; with the
    slings `first` when they are given.

    Errors: Refusal with what stops it at the shortest.
    """
    crane = rig.crane
    if len(crane.charts) < 2:
        raise Refusal("shortest-boom")
    if crane.case.machine.boom.telescoping is None:
        raise Refusal("telescoping-not-listed")
    slings, start = next(s for s in starts(rig, load) if first is None or s[0] == first)
    refusals: list[Refusal] = []
    for target in crane.charts[:-1]:
        try:
            moves = telescoping_moves(rig, start, target)
            check(rig, moves)
            return finish(rig, moves, slings, None, "none")
        except Refusal as refusal:
            refusals.append(refusal)
    raise refusals[0]


def telescoping_moves(rig: Rig, start: State, target: Chart) -> tuple[Move, ...]:
    """The moves of a `rig` telescoping from the `start` to the boom length of the `target` chart.  Errors: Refusal."""
    crane, at = rig.crane, rig.crane.case.machine.boom
    begin = first_moves(rig, start)
    low = begin[-1].after
    # the boom stands so flat that the shortened boom still holds the load clear of the carrier
    cosine = (crane.least_radius(target.boom_length) - at.pivot_forward) / target.boom_length
    if cosine >= 1:
        raise Refusal("carrier-not-cleared")
    flat = low.at_radius(max(low.radius, at.pivot_forward + low.boom_length * cosine))
    short = telescoped(flat, target.boom_length, at.pivot_forward)
    passed = [c.telescoping for c in crane.charts if c.boom_length >= target.boom_length]
    listed = [limit for limit in passed if limit is not None]
    if len(listed) < len(passed):
        raise Refusal("telescoping-not-listed")
    if rig.gross(flat) > min(listed):
        raise Refusal("over-telescoping-load")
    moves = begin
    if flat.radius > low.radius * (1 + ROUNDING):
        moves += (Move("luff-out", low, flat),)
    moves += (Move("telescope-in", flat, short),)
    out = furthest(rig, short)
    if out.radius > short.radius:
        moves += (Move("luff-out", short, out),)
    return moves + (Move("land", out, landed(rig, out)),)


# -- falls and load ---------------------------------------------------------------------------------------------


def unreached_limit(crane: Crane) -> float:
    """Rope of a `crane` above the dead wraps that may stay unreached: so much of layer 1, or what is known to lie firm
    [m]."""
    of_layer_1 = crane.case.values.unreached_limit * crane.layers[0].rope_when_full
    return max(of_layer_1, crane.case.firm_below - crane.dead_rope) * (1 + ROUNDING)


def firm_in_all(crane: Crane, one: Pass) -> float:
    """Rope of a `crane` that lies firm after `one` pass, with what is known to lie firm beneath it [m]."""
    beneath = min(one.firm_from, crane.case.firm_below) - crane.dead_rope
    return one.firm_rope + max(0.0, beneath)


def firm_mass(rig: Rig, methods: tuple[Method, ...]) -> float:
    """Suspended mass of a `rig` that keeps the firm tension at both ends of every winding move of these `methods`,
    hence throughout [kg]."""
    return max((rig.mass_for_firm(state) for state in winding_states(methods)), default=0.0)


def attempt(crane: Crane, falls: int) -> Attempt | None:
    """The plan of a `crane` for this number of `falls`, with the least yard load that satisfies load rule and drum
    tension.

    Where the capacity does not allow the second, the largest allowed load is taken and the attempt says so.
    None when no block takes these falls or the yard cannot make up the least load.
    """
    block = crane.blocks.get(falls)
    if block is None:
        return None
    rig = crane.rig(falls, block)
    last: Attempt | None = None
    for load in enough_load(rig):
        found = _with_load(rig, load)
        if found is None or (last is not None and not found.methods):
            break
        last = found
        if not found.methods or not found.falls_short_of_firm:
            break
    return last


def enough_load(rig: Rig) -> Iterator[Load]:
    """The loads of the yard that satisfy the load rule for a `rig` with the slings used first, lightest first."""
    least = rig.least_mass * (1 - ROUNDING) - rig.block.mass - rig.crane.slings[0].mass
    return (load for load in rig.crane.loads if load.mass >= least)


def has_method(crane: Crane, falls: int) -> bool:
    """Whether any method of a `crane` can wind with so many `falls`: with the least load of the yard a first pass is
    admissible."""
    block = crane.blocks.get(falls)
    if block is None:
        return False
    rig = crane.rig(falls, block)
    load = next(enough_load(rig), None)
    if load is None:
        return False
    try:
        next(luffing_passes(rig, load))
        return True
    except Refusal:
        return telescope_in(rig, load).refused is None


def _with_load(rig: Rig, load: Load) -> Attempt | None:
    luffed = luff_out(rig, load)
    first = luffed.passes[0].slings if luffed.passes else None
    short = telescope_in(rig, load, first) if rig.crane.case.machine.kind == "telescopic" else None
    methods = tuple(m for m in (luffed, short) if m is not None and m.refused is None)
    slings = methods[0].passes[0].slings if methods else rig.crane.slings[0]
    try:
        start = start_state(rig, load, slings)
    except Refusal:
        return None
    needed = firm_mass(rig, methods)
    return Attempt(
        rig,
        load,
        slings,
        start,
        rig.rope_on_drum(start) - rig.crane.dead_rope,
        needed,
        luffed,
        short,
        rig.suspended(start) < needed * (1 - ROUNDING),
    )


def plan(case: Case) -> Plan | None:
    """The plan of one `case`: the fewest falls that leave no more of layer 1 unreached than the rule allows.

    Returns None when the yard cannot make up a load for any number of falls.
    """
    crane = Crane(case)
    choice = choose(crane)
    if choice is None:
        return None
    chosen, runner_up = choice
    refused = None if chosen.methods else chosen.luff_out.refused
    return Plan(
        crane,
        chosen,
        reeving.falls_estimate(case.machine.rope.length, case.chart.boom_length),
        exact_falls(crane, chosen.rig),
        runner_up,
        heavier_loads(chosen) if chosen.luff_out.refused is None else (),
        crane.beds,
        refused,
    )


RunnerUp = tuple[int, str] | None  # number of falls and the code of why it lost


def choose(crane: Crane) -> tuple[Attempt, RunnerUp] | None:
    """The attempt of a `crane` to publish and the next best number of falls; a refused one only where no falls have a
    method."""
    tried = cache(partial(attempt, crane))

    def with_method(falls: int) -> Attempt | None:
        found = tried(falls)
        return found if found is not None and found.methods else None

    chosen = fewest_reaching(crane, with_method) or fewest_reaching(crane, tried)
    if chosen is None:
        return None

    def possible(falls: int) -> bool:
        return has_method(crane, falls) if chosen.methods else tried(falls) is not None

    falls = chosen.rig.falls
    if chosen.unreached > unreached_limit(crane):
        fewer = next((n for n in reversed(crane.blocks) if n < falls and possible(n)), None)
        return chosen, None if fewer is None else (fewer, "leaves-more-unreached")
    even = with_method(falls + 1) if falls % 2 else None
    if even is not None and even.unreached <= unreached_limit(crane) and _equal(chosen, even):
        return even, (falls, "odd-falls")
    if even is not None or possible(falls + 1):
        return chosen, (falls + 1, "shortens-radius-range")
    return chosen, (falls - 1, "leaves-more-unreached") if possible(falls - 1) else None


def fewest_reaching(crane: Crane, possible: Callable[[int], Attempt | None]) -> Attempt | None:
    """Of the `possible` attempts of a `crane` the one with the fewest falls that reaches layer 1; if none does, the one
    that leaves least unreached.

    An attempt is long work: only those are planned whose bound on the unreached rope still lets them win.
    """
    limit = unreached_limit(crane)
    bounds = {falls: least_unreached(crane, falls) for falls in crane.blocks}
    for falls, bound in bounds.items():
        if bound <= limit and (found := possible(falls)) is not None and found.unreached <= limit:
            return found
    best: Attempt | None = None
    for falls, bound in sorted(bounds.items(), key=itemgetter(1)):
        if best is not None and bound > best.unreached:
            break
        found = possible(falls)
        if found is not None and (best is None or _least_left(found) < _least_left(best)):
            best = found
    return best


def _least_left(found: Attempt) -> tuple[float, int]:
    return found.unreached, found.rig.falls


def least_unreached(crane: Crane, falls: int) -> float:
    """Rope of a `crane` above the dead wraps that any load and slings leave unreached with so many `falls`, at least
    [m].

    The shortest slings at the least radius let the block down furthest; the stop wraps and the least stop margin
    always stay.
    """
    rig = crane.rig(falls, crane.blocks[falls])
    length = crane.case.chart.boom_length
    hook = crane.case.yard.load_height + crane.slings[0].length
    lowest = State(length, crane.least_radius(length), hook, falls, 0.0, crane.slings[0].length)
    return max(rig.rope_on_drum(lowest), rig.rope_kept(rig.least_stop_margin)) * (1 - ROUNDING) - crane.dead_rope


def _equal(odd: Attempt, even: Attempt) -> bool:
    """Whether one fall more gives as much firm rope (to half a per cent) in as few passes; both have a method."""
    first, second = odd.best, even.best
    assert first is not None and second is not None
    least = first.firm_rope - 0.005 * odd.rig.crane.case.machine.rope.length
    return second.firm_rope >= least and len(second.passes) <= len(first.passes)


def exact_falls(crane: Crane, rig: Rig) -> float | None:
    """Falls with which the low hook of a `crane` with this `rig` reaches the dead wraps, or the rope known to lie firm,
    at the steepest listed radius; None if it does not fit."""
    case = crane.case
    low = case.values.clearance + case.yard.load_height + case.yard.slings.length
    length = case.chart.boom_length
    radius = crane.least_radius(length)
    try:
        found = reeving.falls_exact(
            min(crane.usable_rope, case.machine.rope.length - case.firm_below),
            rig.drum_to_head(length),
            case.machine.reeving.sheave_radius,
            crane.head(length, radius),
            low,
            rig.block.height,
        )
    except ValueError:
        return None
    return found if found > 0 else None


# -- loads heavier than planned ---------------------------------------------------------------------------------


def heavier_loads(attempt: Attempt) -> tuple[HeavierLoad, ...]:
    """The planned load of an `attempt`, then round steps up to what the chart carries at the start radius: how far each
    one goes."""
    rig = attempt.rig
    planned = attempt.suspended
    low = lifted(rig, attempt.start)
    most = heaviest(attempt, attempt.start)
    rows = [_heavier(attempt, low, planned, planned)]
    for mass in steps(planned, most):
        rows.append(_heavier(attempt, low, planned, mass))
    return tuple(rows)


def heaviest(attempt: Attempt, low: State) -> float:
    """Largest suspended mass of an `attempt` at the state `low`: capacity, block, line pull and slings [kg]."""

    rig, case = attempt.rig, attempt.rig.crane.case
    rope = rig.gross(low) - rig.suspended(low)
    carried = capacity.largest_load(case.chart.rows, low.radius, rig.crane.growth(low.boom_length)) - rope
    pulled = reeving.mass_for_drum_tension(
        rig.pull_limit(low),
        rig.crane.rope_weight,
        rig.falls,
        rig.fall_length(low),
        0.0,
        0.0,
        case.values.sheave_efficiency,
        case.machine.reeving.sheaves_to_drum,
        reeving.HAULING,
    )
    hung = rig.block.mass + min(rig.block.capacity, attempt.slings.capacity + attempt.slings.mass)
    return min(carried, pulled, hung)


def steps(planned: float, most: float) -> list[float]:
    """Round masses above `planned` up to `most`, 1, 2 or 5 x 10^k kg apart, six to ten rows with the planned one.

    >>> steps(1600.0, 9900.0)
    [3000.0, 4000.0, 5000.0, 6000.0, 7000.0, 8000.0, 9000.0]
    """
    for exponent in range(7):
        for digit in (1, 2, 5):
            step = digit * 10.0**exponent
            first = floor(planned / step + 0.5) + 1  # at least half a step above the planned load
            last = floor(most / step)
            if last - first + 2 <= 10:
                return [step * count for count in range(first, last + 1)]
    return []


def _heavier(attempt: Attempt, low: State, planned: float, mass: float) -> HeavierLoad:
    rig = attempt.rig
    heavy = low._replace(load=mass - rig.block.mass)
    out = furthest(rig, heavy)
    down = landed(rig, out)
    firm_from = rig.rope_on_drum(attempt.start)
    moves = (Move("pick", landed(rig, heavy), heavy), Move("luff-out", heavy, out), Move("land", out, down))
    firm_to = firm_end(rig, moves, firm_from, firm_from)
    return HeavierLoad(mass, out.radius, firm_to - firm_from, planned if mass > planned else None)
