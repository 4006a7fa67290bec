"""Pull in the rope, followed from the dead end over every sheave and down every fall to the drum.

Basis: a sheave passes on the pull less its friction; hanging rope pulls with its own weight; the block hangs in
balance.  The balance is linear in the pull of the first fall, so two trials give it exactly.  May import: numpy.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from independent.drum_wraps import Floats

TRIAL = 1e5  # N, any pull would do
HAULING, PAYING_OUT, STANDING = "hauling", "paying out", "standing"


def passed_on(efficiency: float, direction: str) -> float:
    """Pull behind a sheave over the pull before it, going away from the drum."""
    return {HAULING: efficiency, PAYING_OUT: 1 / efficiency, STANDING: 1.0}[direction]


def carried(first: Floats, falls: int, weight_of_fall: Floats, factor: float) -> Floats:
    """Pull of all the falls on the block, for a pull at the top of the first fall; sheave by sheave."""
    pull = first
    on_block = np.zeros_like(first)
    for fall in range(1, falls + 1):
        downward = fall % 2 == 1
        if downward:  # from a head sheave down to the block
            pull = pull - weight_of_fall
            on_block = on_block + pull
        else:  # from a block sheave up to the head
            on_block = on_block + pull
            pull = pull + weight_of_fall
        pull = pull * factor
    return on_block


def pulls(
    falls: int, run: ArrayLike, drop: ArrayLike, hanging: ArrayLike, rope_weight: float, factor: float, sheaves: int
) -> tuple[Floats, Floats]:
    """Pull in the lead line behind the head and at the drum [N].

    `run` length of one fall, `drop` head to winch [m], `hanging` weight of block and load [N], `rope_weight` [N/m],
    `factor` see `passed_on`, `sheaves` from the first fall to the drum.
    """
    run, drop, hanging = np.broadcast_arrays(
        np.asarray(run, float), np.asarray(drop, float), np.asarray(hanging, float)
    )
    weight_of_fall = run * rope_weight
    trial = np.full_like(run, TRIAL)
    at_nothing = carried(np.zeros_like(run), falls, weight_of_fall, factor)
    at_trial = carried(trial, falls, weight_of_fall, factor)
    first = trial * (hanging - at_nothing) / (at_trial - at_nothing)
    lead = first
    for _ in range(sheaves):
        lead = lead / factor
    return lead, lead - rope_weight * drop
