"""Loads other than planned: the band that the printed moves allow, heavier loads, and where room is short."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor

from calc.formulas import ROUNDING, reeving
from calc.winding.firm import firm_from, firm_to, full_pull
from calc.winding.methods import Refused
from calc.winding.moves import furthest, landed, lifted
from calc.winding.plan_fields import HeavierLoad, LimitedRoom
from calc.winding.planner import Attempt
from calc.winding.rig import Rig, State


@dataclass(frozen=True)
class Band:
    """Suspended masses for which the printed moves hold [kg], and rope in the falls at the first lift [kg]."""

    least: float
    most: float
    rope: float


def band(attempt: Attempt) -> Band:
    """The suspended masses for which the moves of an `attempt` hold unchanged: same radii as read, same hook heights,
    same counts; firm at the least, inside every limit at the most."""
    rig, values = attempt.rig, attempt.rig.crane.case.values
    least = max(attempt.firm_mass, values.accepted_share * rig.least_mass)
    low = attempt.start.at_height(attempt.start.hook_height + values.first_lift)
    most = min(_allowed(attempt), default=attempt.suspended)
    return Band(least, max(_within_margin(attempt, most), attempt.suspended), rig.gross(low) - rig.suspended(low))


def _allowed(attempt: Attempt) -> Iterator[float]:
    """The suspended mass that each limit allows [kg]."""
    rig = attempt.rig
    for one in (p for method in attempt.methods for p in method.passes):
        yield rig.block.mass + min(rig.block.capacity, one.slings.capacity + one.slings.mass)
        for move in one.moves:
            if move.before.load and move.after.load:
                yield rig.most_suspended(move.before, move.after)
                yield from (_pulled(rig, state) for state in (move.before, move.after))


def _pulled(rig: Rig, state: State) -> float:
    """Suspended mass that the line pull of the layer hauls at a state [kg]."""
    case = rig.crane.case
    return reeving.mass_for_drum_tension(
        rig.pull_limit(state),
        rig.crane.rope_weight,
        rig.falls,
        rig.fall_length(state),
        0.0,
        0.0,
        case.values.sheave_efficiency,
        case.reeving.sheaves_to_drum,
        reeving.HAULING,
    )


def _within_margin(attempt: Attempt, most: float) -> float:
    """Suspended mass whose own stop margin still leaves the planned count [kg]."""
    low, high = attempt.suspended, most
    if high <= low or keeps_count(attempt, high):
        return high
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if keeps_count(attempt, middle) else (low, middle)
    return low


def keeps_count(attempt: Attempt, mass: float) -> bool:
    """Whether a suspended `mass` [kg] asks for no more rope on the drum than an `attempt` leaves when it is hung."""
    rig = attempt.rig
    heavy = attempt.start._replace(load=mass - rig.block.mass)
    return rig.rope_kept(rig.stop_margin(heavy)) <= rig.rope_on_drum(attempt.counted) * (1 + ROUNDING)


def heavier_loads(attempt: Attempt) -> list[HeavierLoad]:
    """The planned load of an `attempt`, then round steps up to what may be lifted at the start radius: how far each
    one goes.  Empty where it cannot luff out."""
    if isinstance(attempt.luff_out, Refused):
        return []
    planned = attempt.suspended
    heavier = [mass for mass in steps(planned, _heaviest(attempt)) if keeps_count(attempt, mass)]
    return [_heavier(attempt, mass, planned) for mass in (planned, *heavier)]


def _heaviest(attempt: Attempt) -> float:
    """Largest suspended mass an `attempt` may lift at its start: capacity, block, line pull and slings [kg]."""
    rig, start = attempt.rig, attempt.start
    rope = rig.gross(start) - rig.suspended(start)
    carried = rig.largest_gross(start) - rope
    hung = rig.block.mass + min(rig.block.capacity, attempt.slings.capacity + attempt.slings.mass)
    return min(carried, hung, *(_pulled(rig, state) for state in (start, lifted(rig, start))))


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


def _heavier(attempt: Attempt, mass: float, planned: float) -> HeavierLoad:
    rig = attempt.rig
    pick = attempt.start._replace(load=mass - rig.block.mass)
    out = furthest(rig, lifted(rig, pick), rig.crane.case.values.largest_capacity_use)
    end = firm_to(rig, landed(rig, out), rig.crane.case.values.sling_slack)
    return {
        "load_kg": mass,
        "furthest_radius_m": rig.loaded_radius(out),
        "firm_rope_m": max(0.0, end - firm_from(rig, pick)),
        "stop_height_m": rig.stop_height(pick, rig.stop_margin(pick)),
        "then_reduce_to_kg": planned if mass > planned else None,
    }


def limited_room(attempt: Attempt) -> list[LimitedRoom]:
    """What luffing out in the first pass of an `attempt` leaves firm when it ends at each listed radius on the way."""
    if isinstance(attempt.luff_out, Refused):
        return []
    rig, crane = attempt.rig, attempt.rig.crane
    first = attempt.luff_out.passes[0]
    low = lifted(rig, first.pick)
    begin, end = rig.loaded_radius(low), rig.loaded_radius(first.end)
    rows: list[LimitedRoom] = []
    for listed, carried in crane.case.chart.rows:
        if not begin < listed < end * (1 - ROUNDING):
            continue
        radius = rig.unloaded(landed(rig, low), listed, carried)
        if radius <= low.radius:
            continue
        down = landed(rig, low.at_radius(radius))
        firm = firm_to(rig, down, crane.case.values.sling_slack)
        drop = crane.head(low.boom_length, low.radius) - crane.head(low.boom_length, radius)
        enough = full_pull(crane, first.firm_from, firm)
        rows.append(
            {
                "radius_m": listed,
                "rope_wound_m": rig.falls * drop,
                "firm_rope_m": max(0.0, firm - first.firm_from),
                "full_pull_falls_min": enough and enough[0],
            }
        )
    return rows
