"""The moves of a plan: each strings two states together; what limits them stands in `rig`."""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, hypot, inf
from typing import NamedTuple

from calc.formulas import GRAIN, ROUNDING
from calc.winding.makeup import Load, Slings
from calc.winding.plan_fields import MoveName
from calc.winding.rig import Crane, Refusal, Rig, State, at_least, telescoped

WINDING_UNDER_LOAD = ("pick", "luff-out", "telescope-in")


class Move(NamedTuple):
    """One move: its name and the states before and after."""

    name: MoveName
    before: State
    after: State

    @property
    def winds(self) -> bool:
        """Whether it winds rope under load."""
        return bool(self.after.load) and self.name in WINDING_UNDER_LOAD


@dataclass(frozen=True)
class Hung:
    """Where the slings of a pass are hung: radius, hook height, how far the empty hook is lowered since the landing
    before, length of the extension hung there [m]."""

    radius: float
    hook_height: float
    lowered: float
    extension: float


class Left(NamedTuple):
    """What a landed load leaves to the next pass: radius at which its slings are hung, how far the empty hook is
    lowered until it is in reach there, rope that is paid out again under load [m]."""

    radius: float
    lowered: float
    overlap: float


def pick_state(rig: Rig, load: Load, slings: Slings, boom_length: float, radius: float) -> State:
    """The hook of a `rig` over a `load` on the ground, its `slings` just straight, at this `boom_length` and `radius`
    [m]."""
    hook = load.hook_height + slings.length - load.sling_length
    return State(boom_length, radius, hook, rig.falls, load.mass + slings.mass, hook, load.spread)


def lifted(rig: Rig, state: State) -> State:
    """The `state` with the load of a `rig` just clear of the ground, by the clearance of the rule."""
    return state.at_height(state.hook_height + rig.crane.case.values.clearance)


def landed(rig: Rig, state: State) -> State:
    """The `state` with the load of a `rig` back on the ground: the way back from `lifted`."""
    return state.at_height(state.hook_height - rig.crane.case.values.clearance)


def counted(rig: Rig, pick: State) -> State:
    """The empty hook of a `rig` when the slings are shackled on: under the state `pick` by the slack that needs."""
    return pick.empty.at_height(pick.hook_height - rig.crane.case.values.sling_slack)


def start_state(rig: Rig, load: Load, slings: Slings) -> State:
    """Hook of a `rig` at the start, `load` on the ground, `slings` straight, as steep as wraps and carrier allow.

    The least listed radius, or the radius where the head is low enough: H(r) = h_on + b + (L_rope - D_min - P - w)/n.
    Errors: Refusal where no listed radius is.
    """
    crane, case = rig.crane, rig.crane.case
    length = case.chart.boom_length
    state = pick_state(rig, load, slings, length, crane.least_radius(length))
    kept = rig.rope_kept(rig.stop_margin(state))
    out = case.machine.rope.length - kept
    fall = (out - rig.drum_to_head(length) - rig.between_falls) / rig.falls
    head = counted(rig, state).hook_height + rig.block.height + fall
    if head >= crane.head(length, state.radius):
        return state
    if head <= crane.arm(length).pivot_height or fall < 0:
        raise Refusal("below-stop-height")
    radius = crane.radius_at_head(length, head)
    if radius > case.chart.rows[-1][0]:
        raise Refusal("below-stop-height")
    return state.at_radius(radius)


def furthest_empty(crane: Crane, boom_length: float) -> float:
    """Largest radius the empty hook of a `crane` may take at this `boom_length`: the last listed one, the least boom
    angle or the end of the working area [m]."""
    case = crane.case
    ends = [crane.chart(boom_length).rows[-1][0], crane.radius_at_least_angle(boom_length)]
    if case.yard.working_radius is not None:
        ends.append(case.yard.working_radius)
    return min(ends)


def furthest_carried(rig: Rig, boom_length: float, hook_height: float) -> float:
    """Last radius listed at this `boom_length` where the chart carries the empty block of a `rig`, its hook at this
    `hook_height` [m], with what the rule keeps in reserve; the first radius if none does [m]."""
    rows = rig.crane.chart(boom_length).rows
    use = rig.crane.case.values.largest_capacity_use
    for radius, carried in reversed(rows):
        if at_least(use * carried, rig.gross(State(boom_length, radius, hook_height, rig.falls))):
            return radius
    return rows[0][0]


def hanging(rig: Rig, start: State) -> State:
    """The empty hook of a `rig` at reach height, with the drum at the count of hooking on at the `start`.

    H(r_hang) = H(r_start) - (h_on - h_reach).  Errors: Refusal where that lies out of reach.
    """
    crane, case = rig.crane, rig.crane.case
    on = counted(rig, start)
    drop = on.hook_height - case.values.reach_height
    if drop <= 0:
        return on
    head = crane.head(on.boom_length, on.radius) - drop
    if head <= crane.arm(on.boom_length).pivot_height:
        raise Refusal("slings-out-of-reach")
    radius = crane.radius_at_head(on.boom_length, head)
    if radius > furthest_empty(crane, on.boom_length) * (1 + ROUNDING):
        raise Refusal("slings-out-of-reach")
    return on.at_radius(radius).at_height(case.values.reach_height)


def first_moves(rig: Rig, start: State, hung: State) -> tuple[Move, ...]:
    """Empty block of a `rig` from the upper stop down to where the slings are `hung`, luffed in over the load, then the
    load lifted just clear at the `start`."""
    case = rig.crane.case
    high = rig.crane.head(hung.boom_length, hung.radius) - rig.block.height - case.reeving.upper_stop
    moves = [Move("pay-out", hung.at_height(max(high, hung.hook_height)), hung)]
    on = counted(rig, start)
    if on != hung:
        moves.append(Move("luff-in", hung, on))
    return (*moves, Move("pick", start, lifted(rig, start)))


def slack_needed(rig: Rig, end: State) -> tuple[float, float]:
    """After a load of a `rig` is landed at the state `end`: radius at which the next slings are hung, and how far the
    empty hook is lowered until it is in reach there, at least the slack of unhooking [m].

    H(r_h) = H(r_e) - (h_e - slack - h_reach); lambda = max(slack, h_e - h_reach - (H(r_e) - H(r_h))).  Where the chart
    carries the empty block no further, the boom stays there and the rest is lowered.
    """
    crane, values = rig.crane, rig.crane.case.values
    head = crane.head(end.boom_length, end.radius)
    drop = end.hook_height - values.sling_slack - values.reach_height
    radius = end.radius
    if drop > 0:
        length = end.boom_length
        flat = max(head - drop, crane.arm(length).pivot_height)
        last = min(furthest_empty(crane, length), furthest_carried(rig, length, values.reach_height))
        radius = max(radius, min(crane.radius_at_head(length, flat), last))
    luffed = head - crane.head(end.boom_length, radius)
    lowered = end.hook_height - values.reach_height - luffed
    return radius, lowered if lowered > values.sling_slack + GRAIN else values.sling_slack


def later_moves(
    rig: Rig, load: Load, slings: Slings, end: State, extension: float, at_end: Left
) -> tuple[tuple[Move, ...], Hung]:
    """The moves of a `rig` from the landing at `end` to where winding begins again, the last one luffing in under the
    `load`, and where the `slings` are hung, longer by an `extension` [m].

    The landing leaves what stands `at_end`.  Errors: Refusal where the boom cannot be luffed in that far.
    """
    crane, values = rig.crane, rig.crane.case.values
    length, head = end.boom_length, crane.head(end.boom_length, end.radius)
    radius, lowered, overlap = at_end
    over, again = extension + lowered, extension + values.clearance + overlap / rig.falls
    if head + max(over, again) > crane.head(length, crane.least_radius(length)):
        raise Refusal("no-room-to-luff")
    loose = end.empty.at_height(end.hook_height - values.sling_slack)
    luffed = head - crane.head(length, radius)
    out = loose.at_radius(radius).at_height(loose.hook_height - luffed)
    low = out.at_height(out.hook_height - (lowered - values.sling_slack))
    pick = pick_state(rig, load, slings, length, crane.radius_at_head(length, head + over))
    clear = lifted(rig, pick)
    moves = [Move("pay-out", end.empty, loose)]
    if radius > end.radius:
        moves.append(Move("luff-out", loose, out))
    if lowered > values.sling_slack + GRAIN:
        moves.append(Move("pay-out", out, low))
    restart = clear.at_radius(crane.radius_at_head(length, head + again))
    moves += [Move("luff-in", low, pick.empty), Move("pick", pick, clear), Move("luff-in", clear, restart)]
    return tuple(moves), Hung(radius, low.hook_height, lowered, extension)


def second_line(rig: Rig, load: Load, end: State, pick: State) -> float:
    """Angle between the line of a `load` that a `rig` landed at `end` and that of a second one picked at `pick` [rad].

    asin((diagonal of the load + swing room)/r) at the smaller of the two radii.  Errors: Refusal where there is none.

    >>> from types import SimpleNamespace as Made
    >>> rig = Made(crane=Made(case=Made(values=Made(swing_room=1.0))))
    >>> load, at = Made(base=Made(length=3.2, width=2.4)), State(50.0, 10.0, 3.0, 2)
    >>> round(second_line(rig, load, at, at), 3)
    0.524
    """
    apart = hypot(load.base.length, load.base.width) + rig.crane.case.values.swing_room
    radius = min(end.radius, pick.radius)
    if apart > radius:
        raise Refusal("no-room-to-luff")
    return asin(apart / radius)


def check(rig: Rig, moves: tuple[Move, ...]) -> None:
    """Raises Refusal for the first limit a `rig` breaks at any state of the `moves` or, under load, on the way."""
    checked: State | None = None
    for move in moves:
        for state in (move.before, move.after):
            if state == checked:
                continue  # a move begins where the one before ended
            if code := rig.refusal(state):
                raise Refusal(code)
            checked = state
        if move.after.load and move.before.load and (code := rig.refusal_between(move.before, move.after)):
            raise Refusal(code)


def furthest(rig: Rig, at: State, use: float) -> State:
    """The state furthest out that a `rig` may take from the state `at`: same load, boom length and hook height.

    The largest listed radius on which the loaded radius may stand with no more than `use` of the capacity, the load
    back on the ground there; less where the upper stop, the least boom angle or the working area ends it.
    """
    crane, case = rig.crane, rig.crane.case
    lowest = at.hook_height + at.spread + rig.block.height + case.reeving.upper_stop
    most = min(crane.radius_at_head(at.boom_length, lowest), crane.radius_at_least_angle(at.boom_length))
    room = inf if case.yard.working_radius is None else case.yard.working_radius - case.yard.load_length / 2
    rows = crane.chart(at.boom_length).rows
    down, suspended = landed(rig, at), rig.suspended(at)
    tried = at.radius
    for row in range(len(rows) - 1, -1, -1):
        listed, carried = rows[row]
        if carried * use < suspended:
            continue  # before anything is asked about the place
        if row and rows[row - 1][0] >= room:
            continue  # where the room ends a row further in counts
        end = min(most, rig.unloaded(down, min(listed, room), carried))
        if end <= at.radius:
            return at
        if end == tried:
            continue  # the stop, the angle or the room ends it, whichever row counts
        tried = end
        out = at.at_radius(end)
        readings = (rig.worst_reading(at, out), rig.reading(down.at_radius(end)))
        if all(reading is not None and reading.use <= use * (1 + ROUNDING) for reading in readings):
            return out
    return at


def luff_out_and_land(rig: Rig, low: State) -> tuple[Move, ...]:
    """The moves of a `rig` from the state `low`, load just clear: out as far as it goes, landed.  Errors: Refusal."""
    out = furthest(rig, low, rig.crane.case.values.largest_capacity_use)
    if out.radius <= low.radius:
        raise Refusal(rig.refusal(low) or "no-room-to-luff")
    return Move("luff-out", low, out), Move("land", out, landed(rig, out))


def telescoping_moves(rig: Rig, low: State, target: float) -> tuple[Move, ...]:
    """The moves of a `rig` telescoping to the boom length `target` [m] from the state `low`, load just clear, out and
    down again.  Errors: Refusal."""
    crane, at = rig.crane, rig.crane.case.machine.boom
    # the boom stands so flat that the shortened boom still holds the load clear of the carrier
    cosine = (crane.least_radius(target) - at.pivot_forward) / target
    if cosine >= 1:
        raise Refusal("carrier-not-cleared")
    flat = low.at_radius(max(low.radius, at.pivot_forward + low.boom_length * cosine))
    moves: tuple[Move, ...] = ()
    if flat.radius > low.radius * (1 + ROUNDING):
        moves += (Move("luff-out", low, flat),)
    short = telescoped(flat, target, at.pivot_forward)
    moves += (Move("telescope-in", flat, short),)
    out = furthest(rig, short, crane.case.values.largest_capacity_use)
    if out.radius > short.radius:
        moves += (Move("luff-out", short, out),)
    return (*moves, Move("land", out, landed(rig, out)))
