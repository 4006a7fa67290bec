"""What would help: what a supervisor could fetch that makes the plan better, each thing tried by planning again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Unpack

from calc.data.model import Case
from calc.winding.codes import RefusalCode
from calc.winding.heavier import band
from calc.winding.makeup import Slings
from calc.winding.methods import Method, firm_rank
from calc.winding.plan_fields import Changed, HelpKind
from calc.winding.planner import Attempt, Plan, attempt, attempt_with, best_attempt, crane_of, with_load
from calc.winding.rig import Crane, Refusal

WEIGHT_STEPS, SLING_STEP = 10, 2.0  # how fine heavier weights and longer slings [m] are tried


@dataclass(frozen=True)
class Help:
    """One thing that helps: its kind, what it is, and what the plan would then come to."""

    kind: HelpKind
    what: Changed = field(hash=False)
    method: Method = field(hash=False)


def what_would_help(plan: Plan | RefusalCode, case: Case) -> tuple[Help, ...]:
    """The things that would better a `plan` of a `case`, or make one possible, the quickest work first, one of each
    kind.

    As many as the rule shows.  Rules: what-would-help.
    """
    own = None if isinstance(plan, str) else plan.attempt
    found: dict[str, Help] = {}
    old = None if own is None else own.best
    for one in _tried(own, case):
        if _better(one, old, case):
            before = found.get(one.kind)
            # of rising weights the first that helps; of other things of one kind the quickest
            if before is None or (one.kind != "weight" and one.method.duration < before.method.duration):
                found[one.kind] = one
    ranked = sorted(found.values(), key=lambda one: (one.method.duration, one.kind))
    return tuple(ranked[: case.values.help_lines])


def _better(help: Help, old: Method | None, case: Case) -> bool:
    """Whether method, passes or falls for full line pull improve, and nothing of them gets worse.

    On another boom, where falls stand for another bed, no less rope may be firm.
    """
    if old is None:
        return True
    new = help.method
    falls, before = (m.full_pull_falls or 10**6 for m in (new, old))
    length = case.machine.rope.length
    worse = firm_rank(new.firm_rope / length) > firm_rank(old.firm_rope / length)
    if falls < before and not (worse and help.kind == "boom"):
        return True
    if falls > before or worse:
        return False
    return len(new.passes) < len(old.passes) or (new.name == "telescope-in" and old.name == "luff-out")


def _tried(own: Attempt | None, case: Case) -> Iterator[Help]:
    if own is not None:
        yield from _weights(own)
        yield from _slings(own)
        yield from _blocks(own)
        yield from _falls(own)
    yield from _elsewhere(case)
    yield from _room(case)


def _best(kind: HelpKind, found: Attempt, **what: Unpack[Changed]) -> Iterator[Help]:
    """Each method of an attempt: the one that ranks first may not be the one that helps."""
    for method in found.methods:
        yield Help(kind, what, method)


def _weights(own: Attempt) -> Iterator[Help]:
    """Heavier weights in small steps; they help only where the tension falls short."""
    if not any(at_best < own.rank for at_best, _ in own.wanted):
        return
    share = own.rig.crane.case.values.help_mass_share
    net = own.load.mass
    for step in range(1, WEIGHT_STEPS + 1):
        mass = net * (1 + share * step / WEIGHT_STEPS)
        try:
            found = with_load(own.rig, replace(own.load, mass=mass, parts=()))
        except Refusal:
            return
        for method in found.methods:
            allowed = band(replace(found, luff_out=method, telescope_in=None))
            block = own.rig.block.mass
            yield Help("weight", {"least_kg": allowed.least - block, "most_kg": allowed.most - block}, method)


def _slings(own: Attempt) -> Iterator[Help]:
    """Any length up to the rule's, as heavy by the metre as the extensions at hand."""
    crane = own.rig.crane
    base, longest = crane.slings[0], crane.slings[-1]
    by_metre = (longest.mass - base.mass) / (longest.length - base.length) if longest is not base else 10.0
    hand = [base]
    while hand[-1].length + SLING_STEP <= crane.case.values.help_sling_length:
        length = hand[-1].length + SLING_STEP
        hand.append(Slings(length, base.mass + by_metre * (length - base.length), longest.capacity, ()))
    other = Crane(crane.case)
    other.__dict__["slings"] = tuple(hand)
    try:
        found = attempt_with(other.rig(own.rig.falls, own.rig.block))
    except Refusal:
        return
    for method in found.methods:
        yield Help("slings", {"length_m": max(p.slings.length for p in method.passes)}, method)


def _blocks(own: Attempt) -> Iterator[Help]:
    falls, crane = own.rig.falls, own.rig.crane
    for block in crane.case.machine.blocks:
        if block != own.rig.block and block.least_falls <= falls <= block.most_falls:
            try:
                found = attempt_with(crane.rig(falls, block))
            except Refusal:
                continue
            yield from _best("block", found, block=block.id)


def _falls(own: Attempt) -> Iterator[Help]:
    crane, falls = own.rig.crane, own.rig.falls
    reach = crane.case.values.help_falls
    for other in range(max(1, falls - reach), falls + reach + 1):
        if other == falls or other not in crane.blocks:
            continue
        if other < falls and own.reaches and own.best is not None and own.best.full_pull_falls:
            continue  # fewer falls would have been chosen if they reached
        try:
            found = attempt(crane, other)
        except Refusal:
            continue
        yield from _best("falls", found, falls=other)


def _elsewhere(case: Case) -> Iterator[Help]:
    """The same boom length in another configuration with the same jib, or without one as here, and every other boom
    length in this one."""
    for configuration in case.machine.configurations:
        chart = configuration.chart(case.chart.slug)
        if configuration is not case.configuration and configuration.jib == case.configuration.jib and chart:
            other = replace(case, configuration=configuration, chart=chart)
            yield from _chosen("configuration", other, configuration=configuration.id)
    for chart in case.configuration.charts:
        if chart is not case.chart:
            yield from _chosen("boom", replace(case, chart=chart), boom=chart.slug, boom_length_m=chart.boom_length)


def _room(case: Case) -> Iterator[Help]:
    if case.yard.working_radius is not None:
        radius = case.yard.working_radius + case.values.help_room
        wider = replace(case, yard=replace(case.yard, working_radius=radius))
        yield from _chosen("room", wider, working_radius_m=radius)


def _chosen(kind: HelpKind, case: Case, **what: Unpack[Changed]) -> Iterator[Help]:
    try:
        found = best_attempt(crane_of(case))
    except Refusal:
        return
    yield from _best(kind, found, **what)
