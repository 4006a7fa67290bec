"""Whole plans tried again: one load, luffed out or telescoped in, with longer slings for the passes after the first.

Basis: every limit asked where the load is; a way that breaks one is no way.  Meant for comparing choices: it tells how
far each comes, not how it is written down.  May import: the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import inf

import numpy as np

from independent import reach, start
from independent.beds import Beds
from independent.charts import GRAIN
from independent.landing import Landed
from independent.lift import Lift, Slings
from independent.passes import hang_longer
from independent.rig import Rig
from independent.walk import STEPS


@dataclass(frozen=True)
class Way:
    """Where winding starts, from where rope counts as firm, and each landing."""

    start: float
    firm_from: float
    landings: tuple[Landed, ...]

    def firm(self, passes: int) -> float:
        """Firm rope after so many passes [m]."""
        return max(0.0, self.landings[passes - 1].firm_to() - self.firm_from) if passes else 0.0


def first(lift: Lift, telescoped_to: float | None = None) -> Way | str:
    """The first pass, or the limit that stops it."""
    slings = lift.first
    high = lift.hook(slings) + lift.inputs["clearance_m"]
    at = start.start_radius(lift)
    refused = lift.hung_on(slings)
    if refused:
        return refused
    if at == inf:
        return "hook-above-load"
    if start.hanging_radius(lift, at) == inf:
        return "slings-out-of-reach"
    if not lift.hoisted(at, high, slings):
        return "line-pull"
    within = reach.within_chart(lift, lift.hook(slings), slings, lift.inputs["largest_capacity_use"])
    if not reach.holds(within, at):
        return "over-capacity"
    firm_from = start.firm_from(lift, at)
    if telescoped_to is None:
        end = reach.furthest(lift, at, slings)
        return "over-capacity" if end is None else Way(at, firm_from, (Landed(lift, end, slings),))
    short = telescoped(lift, at, telescoped_to)
    if isinstance(short, str):
        return short
    lift, out_from = short
    end = reach.furthest(lift, out_from, slings)
    return Way(at, firm_from, (Landed(lift, out_from if end is None else end, slings),))


def telescoped(lift: Lift, at: float, target: float) -> tuple[Lift, float] | str:
    """The load on the boom telescoped in to a length, and its radius there; or why not."""
    rig, inputs, slings, length = lift.rig, lift.inputs, lift.first, lift.length
    least = rig.least_radius(target)
    if least - inputs["pivot_forward_m"] >= target:
        return "carrier-not-cleared"
    flat = max(at, float(rig.radius(length, rig.angle(target, least))))
    angle = rig.angle(length, flat)
    listed = rig.charts.telescoping_limit(target, length)
    if listed is None:
        return "telescoping-not-listed"
    hook = lift.hook(slings) + inputs["clearance_m"]
    lengths = np.linspace(length, target, STEPS + 1)
    radii = rig.radius(lengths, angle)
    gross = rig.gross(lengths, np.full_like(lengths, angle), hook, lift.hanging(slings))
    if gross.max() > inputs["largest_telescoping_use"] * listed * (1 + 1e-9):
        return "over-telescoping-load"
    if reach.furthest(lift, at, slings, stop=flat) is None or angle < rig.least_angle - 1e-9:
        return "over-capacity"
    rest = rig.charts.rest(lengths, radii, gross, telescoping=True)
    if (gross > inputs["largest_capacity_use"] * rest.capacity * (1 + 1e-9)).any():
        return "over-capacity"
    area = inputs["working_radius_m"]
    if area is not None and rest.radius.max() + inputs["load_size_m"] / 2 > area + GRAIN:
        return "working-area"
    if rig.run(target, angle, hook + lift.spread) < inputs["upper_stop_m"] - GRAIN:
        return "upper-stop"
    if not lift.at_length(target).hoisted(float(radii[-1]), hook, slings):
        return "line-pull"
    return lift.at_length(target), float(radii[-1])


def one_more(landed: Landed, slings: Slings) -> Landed | None:
    """The landing of one more pass with longer slings, or None where a limit forbids it."""
    lift = landed.lift
    hung = hang_longer(landed, slings)
    if hung is None or lift.hung_on(slings):
        return None
    low = lift.hook(slings)
    high = low + lift.inputs["clearance_m"]
    carried = reach.within_chart(lift, low, slings, lift.inputs["largest_capacity_use"])
    if not reach.holds(carried, hung.picked_at) or not lift.firmly_wound(hung.wound_from, high, slings):
        return None
    if not lift.hoisted(hung.picked_at, high, slings):
        return None
    end = reach.furthest(lift, hung.wound_from, slings)
    if end is None or not lift.hoisted(end, high, slings):
        return None
    return Landed(lift, end, slings)


def most_passes(lift: Lift) -> int:
    by_return = {"none": 1, "second-load": 1 + lift.twice}.get(lift.inputs["load_return"], inf)
    return int(min(lift.inputs["most_passes"], by_return))


def splits(lift: Lift) -> Iterator[Sequence[Slings]]:
    """Every way to hang longer and longer slings for the passes after the first."""
    longer = [slings for slings in lift.inputs["slings"] if slings["length_m"] > lift.first["length_m"] + GRAIN]
    for further in range(most_passes(lift)):
        yield from combinations(longer, further)


def followed(way: Way, split: Sequence[Slings]) -> Way | None:
    """The passes with these slings after the first, or None where one of them is no pass."""
    landings = way.landings
    for slings in split:
        landed = one_more(landings[-1], slings)
        if landed is None:
            return None
        landings += (landed,)
    return Way(way.start, way.firm_from, landings)


def worth(way: Way, beds: Beds, may_stay: float) -> int:
    """How many of the passes are worth it: from the end, each is dropped that neither gets full pull on fewer falls nor
    brings the firm rope to the target."""
    rig = way.landings[0].lift.rig
    target = rig.inputs["target_share"] * rig.rope_length - beneath(rig, way.firm_from)
    firm_bed = way.firm_from - rig.drum.dead_rope <= may_stay + GRAIN

    def falls(passes: int) -> float:
        fewest = beds.full_pull(way.landings[passes - 1].firm_to()).falls if passes and firm_bed else None
        return inf if fewest is None else fewest

    passes = len(way.landings)
    while passes > 1:
        reached_now = way.firm(passes) >= target > way.firm(passes - 1)
        if falls(passes) < falls(passes - 1) or reached_now:
            break
        passes -= 1
    return passes


def beneath(rig: Rig, firm_from: float) -> float:
    """Rope known to lie firm beneath the wound one, above the dead wraps [m]."""
    return float(max(0.0, min(firm_from, rig.inputs["firm_below_m"]) - rig.drum.dead_rope))
