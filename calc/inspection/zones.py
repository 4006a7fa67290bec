"""Where a rope wears: the places on it, by distance from its ends, for one rig and for the drum.

The rope has two ends: the drum end at the anchor of the drum, and the hook end at the end fitting of the dead end.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import pi

from calc.data.entries import Entry, NewRope, Work
from calc.data.model import Machine
from calc.formulas import drum
from calc.inspection.rope_fields import Crossovers
from calc.winding.rig import Crane, Rig, State

CROSSOVERS_IN_A_TURN = 2


@dataclass(frozen=True)
class Sheave:
    """Rope that runs over one sheave: number, 0 the head sheave of the lead line, then in the order of the falls; from
    and to, as distance from the hook end [m]."""

    number: int
    from_hook: tuple[float, float]


@dataclass(frozen=True)
class Usual:
    """Work of one kind as the log holds it: boom length [m], the configuration where it has a jib, falls, block, radii
    and hook heights from and to [m], how many lifts; the worst case of many lifts counts as picked up at its
    smallest radius and lowest hook."""

    boom_length: float
    on_jib: str | None
    falls: int
    block: str
    radius: tuple[float, float]
    hook: tuple[float, float]
    lifts: int
    pick_ups: tuple[tuple[float, float], ...]  # radius and hook height where loads were taken, the most frequent first


def sheaves(rig: Rig, shortest_fall: float, longest_fall: float) -> tuple[Sheave, ...]:
    """The rope that runs over each sheave of a `rig` with n falls, while these change their length from s_1 to s_2 [m];
    the first is the head sheave of the lead line.

    over sheave j from (n-j)*s_1 + (n-1-j)*pi*R_s to (n-j)*s_2 + (n-j)*pi*R_s, from the hook end

    Errors: ValueError for falls below 0, or falling.  Source: geometry, as `boom.paid_out`.
    """
    if not 0 <= shortest_fall <= longest_fall:
        raise ValueError(f"shortest_fall is {shortest_fall}, longest_fall {longest_fall}; write 0 or more, not falling")
    n, turn = rig.falls, pi * rig.crane.case.reeving.sheave_radius
    return tuple(
        Sheave(j, ((n - j) * shortest_fall + (n - 1 - j) * turn, (n - j) * (longest_fall + turn))) for j in range(n)
    )


def layers(crane: Crane) -> list[Crossovers]:
    """Every layer of a `crane` with its rope and its crossovers; from the second layer on rope crosses over rope."""
    on_drum: list[Crossovers] = []
    for layer in crane.layers:
        start = drum.rope_at(crane.layers, layer.number, 0.0)
        end = min(layer.rope_when_full, crane.case.machine.rope.length)
        on_drum.append(
            {
                "layer": layer.number,
                "from_drum_m": [start, end],
                "wraps": layer.wraps,
                "crossover_spacing_m": layer.wrap_length / CROSSOVERS_IN_A_TURN,
                "crosses": layer.number > 1,
            }
        )
    return on_drum


def usual(log: Iterable[Entry], machine: Machine, day: str) -> tuple[Usual, ...]:
    """The work the `log` of a `machine` holds up to a `day` since the rope was fitted, by boom length, jib, falls and
    block; the most lifts first."""
    kinds: dict[tuple[float, str | None, int, str], list[Work]] = {}
    for entry in log:
        if entry.day <= day and isinstance(entry.done, NewRope):
            kinds = {}
        elif entry.day <= day and isinstance(entry.done, Work):
            done = entry.done
            rigged = done.boom_length, machine.on_jib(done.configuration), done.falls, done.block
            kinds.setdefault(rigged, []).append(done)
    every_kind = [_usual(*rigged, works) for rigged, works in kinds.items()]
    return tuple(sorted(every_kind, key=lambda each: each.lifts, reverse=True))


def _usual(boom_length: float, on_jib: str | None, falls: int, block: str, works: list[Work]) -> Usual:
    picks: dict[tuple[float, float], int] = {}
    for work in works:
        at = work.radius, work.hook[0]
        picks[at] = picks.get(at, 0) + work.repeats
    radii = [radius for work in works for radius in (work.radius, work.largest_radius or work.radius)]
    hooks = [hook for work in works for hook in work.hook]
    return Usual(
        boom_length,
        on_jib,
        falls,
        block,
        (min(radii), max(radii)),
        (min(hooks), max(hooks)),
        sum(work.repeats for work in works),
        tuple(sorted(picks, key=lambda at: picks[at], reverse=True)),
    )


def fall_lengths(rig: Rig, work: Usual) -> tuple[float, float]:
    """Shortest and longest falls of a `rig` in this `work`: hook high at the largest radius, low at the least [m]."""
    short = State(work.boom_length, work.radius[1], work.hook[1], work.falls)
    long = short._replace(radius=work.radius[0], hook_height=work.hook[0])
    return max(0.0, rig.fall_length(short)), rig.fall_length(long)
