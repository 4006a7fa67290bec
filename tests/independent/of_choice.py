"""What a plan chooses, put to the test: other loads, other slings, fewer falls, shorter booms must not do better.

The planner's whole search is not gone through again.  Other loads of the yard and other orders of the slings are drawn
from a seed and planned by `ways`; none may beat what the plan has chosen by its own order: fewest falls for full
pull, most firm rope in steps of 0.5 % of the rope, fewest passes, least mass.  What a lighter load that hangs alike
winds firm with the same slings is no reason for a heavier one: the heavier one comes less far, and where it keeps a
later pass that the lighter one drops, then only because its passes before come to less.  May import: numpy, the
modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, product
from math import inf
from typing import Any
from zlib import crc32

import numpy as np

from independent import loads, start, ways
from independent.beds import Beds
from independent.charts import GRAIN
from independent.context import Context, Found
from independent.lift import Lift, Slings
from independent.rig import GRAVITY, Rig
from independent.ways import Way

STEP = 0.005  # of the rope; firm rope nearer than this is alike
LOADS, SPLITS = 4, 12  # how many are drawn
NEAREST, LIGHTEST = 20, 3  # loads, from the lightest up, that are drawn from and that are tried on fewer falls
ALIKE = 1e-6


@dataclass(frozen=True)
class Result:
    """What a plan, or a way tried against it, comes to."""

    falls: float  # for full pull; infinite where none
    firm: float
    passes: int
    net: float

    def beats(self, other: Result, rope: float, heavier_may_win: bool) -> bool:
        """Whether this is better by that order, beyond what rounding to a step may turn."""
        if self.falls != other.falls:
            return self.falls < other.falls
        if self.firm > other.firm + STEP * rope + ALIKE:
            return True
        if self.firm < other.firm - ALIKE:
            return False
        if self.passes != other.passes:
            return self.passes < other.passes
        return self.net < other.net - 1e-3 and not heavier_may_win


def result(way: Way, beds: Beds, rig: Rig) -> Result:
    """What a way comes to after the passes that are worth it."""
    passes = ways.worth(way, beds, rig.may_stay)
    firm_bed = way.firm_from - rig.drum.dead_rope <= rig.may_stay + GRAIN
    fewest = beds.full_pull(way.landings[passes - 1].firm_to()).falls if firm_bed else None
    return Result(inf if fewest is None else fewest, way.firm(passes), passes, way.landings[0].lift.net)


def published(method: dict[str, Any], net: float) -> Result:
    last = method["passes"][-1]
    return Result(last["full_pull_falls_min"] or inf, last["firm_rope_m"], len(method["passes"]), net)


def _results(lift: Lift, beds: Beds, rng: np.random.Generator, lighter: Lift | None = None) -> Iterator[Result]:
    """What a load comes to by luffing out, with every order of slings or some that are drawn, but for those with which
    a `lighter` one winds firm as well."""
    first = ways.first(lift)
    if isinstance(first, str) or not _firm(lift, first):
        return
    rig = lift.rig
    if first.firm(1) < rig.inputs["least_gain_share"] * rig.rope_length:
        return
    every = list(ways.splits(lift))
    if len(every) > SPLITS:
        every = [every[int(i)] for i in rng.choice(len(every), SPLITS, replace=False)]
    for split in every:
        way = ways.followed(first, split)
        if way is not None and not (lighter and _goes(lighter, split)):
            yield result(way, beds, rig)


def _goes(lift: Lift, split: Sequence[Slings]) -> bool:
    """Whether a load is wound firm in the first pass and in later ones with these slings."""
    first = ways.first(lift)
    return not isinstance(first, str) and _firm(lift, first) and ways.followed(first, split) is not None


def _firm(lift: Lift, first: Way) -> bool:
    high = lift.pick + lift.inputs["clearance_m"]
    return lift.firmly_wound(first.start, high, lift.first)


def not_beaten(context: Context) -> Found:
    """No other load, and no other order of slings, does better by luffing out.

    Where too much stays unreached with any falls, the plan leaves least of it instead, and is not compared.
    """
    plan, inputs, rig = context.plan, context.inputs, context.rig
    if not _only_luffed_out(context) or context.lift is None:
        return
    if any(warning["code"] == "bed-unreached" for warning in plan["warnings"]):
        return
    chosen = published(context.methods[0], context.lift.net)
    rng = np.random.default_rng(crc32(f"{plan['machine']} {plan['boom']}".encode()))
    aimed = context.load["share_of_breaking_force"] < inputs["aimed_tension_share"]
    for lift, lighter in drawn(context, rng):
        for tried in _results(lift, context.beds, rng, lighter):
            beaten = tried.beats(chosen, rig.rope_length, heavier_may_win=aimed or tried.net < chosen.net)
            yield "load or slings that do better", f"{tried} against {chosen}" if beaten else "", 0, beaten


def _only_luffed_out(context: Context) -> bool:
    """Where two methods share the load, each may ask for another, and neither is the best for one alone."""
    return len(context.methods) == 1 and context.methods[0]["name"] == "luff-out"


def drawn(context: Context, rng: np.random.Generator) -> Iterator[tuple[Lift, Lift | None]]:
    """The load of the plan and some the rule accepts on the slings the plan begins with, the lightest and others near
    it; each with the next lighter one that hangs alike and comes back as often."""
    assert context.lift is not None
    lifts: list[Lift] = []
    for one in loads.of_yard(context.inputs, _least_net(context.rig), inf):
        if len(lifts) >= NEAREST and one.net > context.lift.net + 1e-3:
            break
        lifts.append(context.lift_of(one, context.first))
    own = next((number for number, lift in enumerate(lifts) if abs(lift.net - context.lift.net) < 1e-3), None)
    near = min(NEAREST, len(lifts))
    chosen = [] if own is None else [own]
    if near:
        chosen += [0, *(int(rng.integers(near)) for _ in range(LOADS - 1))]
    for number in chosen:
        lift = lifts[number]
        alike = (
            one
            for one in reversed(lifts[:number])
            if abs(one.pick - lift.pick) < 1e-3 and ways.most_passes(one) == ways.most_passes(lift)
        )
        yield lift, next(alike, None)


def _least_net(rig: Rig) -> float:
    """Least weights [kg] that the rule accepts with the heaviest slings; lighter slings ask for a little more."""
    inputs = rig.inputs
    least = inputs["accepted_share"] * inputs["minimum_share"] * rig.falls * rig.rated_pull / GRAVITY
    return float(least - rig.block["mass_kg"] - inputs["slings"][0]["mass_kg"])


def heavier_would_not_do(context: Context) -> Found:
    """Where the tension is under the one aimed at, the next heavier load on the same slings costs passes, falls or firm
    rope."""
    load, lift = context.load, context.lift
    if load["share_of_breaking_force"] >= context.inputs["aimed_tension_share"] or lift is None:
        return
    if not _only_luffed_out(context):
        return
    chosen = published(context.methods[0], lift.net)

    def rank(one: Result, less: float = 0.0) -> tuple[float, int, int]:
        return one.falls, one.passes, round((one.firm - less) / (STEP * context.rig.rope_length))

    heavier = next(loads.of_yard(context.inputs, chosen.net + 0.1, inf), None)
    if heavier is None:
        return
    other = context.lift_of(heavier, lift.first)
    split = [context.slings(one["sling_length_m"]) for one in context.methods[0]["passes"][1:]]
    if len(split) >= ways.most_passes(other):
        return  # the yard does not hold it twice: one pass
    first = ways.first(other)
    way = None if isinstance(first, str) or not _firm(other, first) else ways.followed(first, split)
    if way is None or way.firm(1) < context.inputs["least_gain_share"] * context.rig.rope_length:
        return
    tried = result(way, context.beds, context.rig)
    # a step that turns within a millimetre may have turned in the plan
    costless = rank(tried, -1e-3) == rank(tried, 1e-3) == rank(chosen)
    yield "heavier load that costs nothing", f"{tried} against {chosen}" if costless else "", 0, costless


def fewer_falls(context: Context) -> Found:
    """No fewer falls leave as little of the first layer unreached; one fewer may be passed over for an even number."""
    plan, inputs = context.plan, context.inputs
    runner_up = plan["falls"]["runner_up"] or {}
    better = []
    for falls in range(1, plan["falls"]["used"]):
        if runner_up.get("falls") == falls:
            continue
        if _reaches(context, falls):
            better.append(falls)
    yield "fewer falls that reach", f"{better} for {inputs['most_falls']}", 0, len(better)


def _reaches(context: Context, falls: int) -> bool:
    """Whether the lightest load the rule accepts on so many falls can be wound with little left unreached."""
    inputs = context.inputs
    fitting = [block for block in inputs["blocks"] if block["falls"][0] <= falls <= block["falls"][1]]
    for block in sorted(fitting, key=lambda block: float(block["mass_kg"])):
        rig = Rig(inputs, falls, block)
        at_hand = islice(loads.of_yard(inputs, _least_net(rig), inf), LIGHTEST)
        for slung, slings in product(at_hand, inputs["slings"]):
            lift = context.lift_of(slung, slings, rig)
            at = start.start_radius(lift)
            if at == inf or start.firm_from(lift, at) - rig.drum.dead_rope > rig.may_stay - GRAIN:
                continue
            first = ways.first(lift)
            if isinstance(first, str) or not _firm(lift, first):
                continue
            if first.firm(1) >= inputs["least_gain_share"] * rig.rope_length:
                return True
    return False


def telescoped_furthest(context: Context) -> Found:
    """The shortest boom the load can be telescoped to is the one telescoped to, and a refusal has its reason."""
    method, lift = context.plan["methods"][1], context.lift
    if not method or lift is None or method["refused"] == {"code": "shortest-boom"}:
        return
    reached, reasons = context.boom_length, []
    least = context.inputs["least_gain_share"] * context.rig.rope_length
    for target in context.rig.charts.length:
        if target >= context.boom_length - GRAIN:
            break
        way = ways.first(lift, float(target))
        if not isinstance(way, str) and way.firm(1) >= least:
            reached = float(target)
            break
        reasons.append(way if isinstance(way, str) else "too-little-gain")
    moves = [move for one in method["passes"] for move in one["moves"] if move["move"] == "telescope-in"]
    got = moves[0]["boom_length_m"][1] if moves else context.boom_length
    yield "boom length telescoped to [m]", f"{method['refused']} {reasons}", reached, got


def refused_for_cause(context: Context) -> Found:
    """Where luffing out is refused, this load cannot be luffed out here either."""
    refused = context.plan["methods"][0]["refused"]
    if refused is None or context.lift is None:
        return
    way = ways.first(context.lift)
    least = context.inputs["least_gain_share"] * context.rig.rope_length
    goes = not isinstance(way, str) and way.firm(1) >= least * (1 + 1e-6)
    found = way if isinstance(way, str) else f"{way.firm(1):.2f} m"
    yield "refused though it goes", f"{refused['code']}, here {found}", 0, goes
