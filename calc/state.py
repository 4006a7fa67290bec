"""The state of a drum on a day, from the log of its rope: what lies loose, whether winding firm is due and how deep.

May import: model, check, duty, ledger, ready, drum, rig, winding, contract (rounding).
Must not know: files, pages, words.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from math import floor
from typing import Any

from calc import check, drum, duty, ledger, ready, winding
from calc.contract import DECIMALS, rounded
from calc.firm import full_pull, unreached_limit
from calc.ledger import Stretch
from calc.methods import Pass
from calc.model import Case, Data, Done, Entry, Machine, NewRope
from calc.rig import Crane

SCHEMA_VERSION = 1

# What laid a loose wrap -> the rule that says it is due.
RULES = {
    duty.NEW: "due-new-rope",
    duty.UNDER_NO_LOAD: "due-after-unwinding",
    duty.FIRM: "due-after-light-work",
    duty.LOADED: "due-after-light-work",
    duty.EMPTY: "due-after-light-work",
    duty.PARKED: "due-after-light-work",
    duty.NOT_WOUND: "due-after-light-work",
}


def state(data: Data, machine_id: str, day: str) -> dict[str, Any]:
    """The drum of one machine on a day, as plain data, numbers to 1e-6.

    Parameters
    ----------
    data : everything read
    machine_id : id of a machine with a log of its rope
    day : ISO text; entries of the log up to it count, and the rules of it

    Returns: dict that validates against rules/schema/state.schema.json.
    Errors: check.Unknown when there is no such machine, no log, or the log begins later.
    Rules: firm-tension, unreached-rope, due-new-rope, due-after-unwinding, due-after-light-work, due-after-slack.
    """
    crane, out = _found(data, machine_id, day)
    deepest = out["depth"] and out["depth"]["rope_m"]
    out["plan"] = _plan(data, crane, 0.0 if all_due(out["reasons"]) else _rounded_down(deepest), out["firm_from_falls"])
    done: dict[str, Any] = rounded(out)
    return done


def without_plan(data: Data, machine_id: str, day: str) -> dict[str, Any]:
    """What `state` returns, without `plan`: the plan is most of the work.

    `data`, `machine_id`, `day`, errors and rules as in `state`.
    """
    done: dict[str, Any] = rounded(_found(data, machine_id, day)[1])
    return done


def _found(data: Data, machine_id: str, day: str) -> tuple[Crane, dict[str, Any]]:
    """The crane with the rope length the log has come to, and its drum, numbers not rounded."""
    machine = _machine(data, machine_id, day)
    log = data.upkeep[machine_id].log
    told = duty.history(log, check.cases(data, machine, day), day)
    if not told:
        raise check.Unknown(f"the log of {machine_id} begins on {log[0].day}; choose a later day")
    last = told[-1]
    case = check.cases(data, machine, day)(_boom_length(machine, told))
    crane = duty.crane(case, last.rope_length)
    beds = [(falls, bed, ready.bed(crane, last, bed, unreached_limit(crane))) for falls, bed in crane.beds]
    largest = max((bed for _, bed, _ in beds), default=0.0)
    loose = ready.bed(crane, last, max(largest, ledger.held(last.stack)), unreached_limit(crane)).loose
    reasons = list(_reasons(data, log[: len(told)], crane, loose, largest))
    deepest = min((found.deepest for _, _, found in beds if found.deepest is not None), default=None)
    whole = all_due(reasons)
    firm_from = None if whole else _firm_from(beds)
    return crane, {
        "schema": SCHEMA_VERSION,
        "machine": machine_id,
        "status": machine.status,
        "day": day,
        "log": [_entry(after, entry) for after, entry in zip(told, log, strict=False)],
        "rope_length_m": last.rope_length,
        "rope_on_drum_m": ledger.held(last.stack),
        "boom": case.chart.slug,
        "boom_length_m": case.chart.boom_length,
        "falls": last.rig and last.rig.falls,
        "rated_line_pull_n": machine.winch.rated_line_pull,
        "firm_tension_n": case.values.firm_tension_share * machine.winch.rated_line_pull,
        "dead_rope_m": crane.dead_rope,
        "layers": [_layer(crane, layer, last.stack) for layer in crane.layers],
        "loose": [_stretch(crane, stretch) for stretch in loose],
        "beds": [
            {
                "falls": falls,
                "bed_m": bed,
                "firm": not found.loose,
                "loose_m": found.length,
                "unreached_loose_m": found.unreached_loose,
                "deepest_loose_m": found.deepest,
                "least_tension_n": found.least,
            }
            for falls, bed, found in beds
        ],
        "firm_from_falls": firm_from,
        "due": whole or deepest is not None,
        "reasons": reasons,
        "depth": None if deepest is None else {"rope_m": deepest, **_place(crane, deepest)},
    }


def all_due(reasons: Iterable[Mapping[str, Any]]) -> bool:
    """Whether one of the `reasons` of a state makes all of the rope due, not a stretch of it."""
    return any(reason["stretch"] is None for reason in reasons)


def _rounded_down(rope: float | None) -> float | None:
    """A place as it is printed, never higher: the plan made of what is printed is the same plan."""
    return None if rope is None else floor(rope * 10**DECIMALS) / 10**DECIMALS


def _machine(data: Data, machine_id: str, day: str) -> Machine:
    machine = check.machine_of(data, machine_id, day)
    if machine_id not in data.upkeep:
        raise check.Unknown(f"no log of the rope of {machine_id}; write one in rules/upkeep/{machine_id}.yaml")
    return machine


def _boom_length(machine: Machine, told: tuple[duty.After, ...]) -> float:
    """The boom length last worked with; before any work the first one listed [m]."""
    rigs = (after.rig for after in reversed(told) if after.rig is not None)
    rig = next(rigs, None)
    return rig.crane.case.chart.boom_length if rig else machine.configurations[0].charts[0].boom_length


def _reasons(
    data: Data, log: tuple[Entry, ...], crane: Crane, loose: tuple[Stretch, ...], largest: float
) -> Iterator[dict[str, Any]]:
    """Why winding firm is due, the gravest first: what makes all of it due, then loose wraps a lift would lie on."""
    for number in ready.unanswered(crane, log, unreached_limit(crane)):
        how = duty.NEW if isinstance(log[number].done, NewRope) else "jump"
        yield _reason(data, ready.ALL_DUE[type(log[number].done)], number, how, None)
    for stretch in loose:
        if stretch.start < largest - ledger.LENGTH:
            number, how = duty.told(stretch.cause)
            yield _reason(data, RULES[how], number, how, _stretch(crane, stretch))


def _reason(data: Data, rule: str, entry: int, how: str, stretch: dict[str, Any] | None) -> dict[str, Any]:
    return {"rule": rule, "code": data.rules[rule].code, "entry": entry, "how": how, "stretch": stretch}


def _firm_from(beds: list[tuple[int, float, ready.Bed]]) -> int | None:
    """Fewest falls from which every bed is firm; None when the bed with the most falls is not."""
    found = None
    for falls, _, bed in reversed(beds):
        if bed.loose:
            break
        found = falls
    return found


def _entry(after: duty.After, entry: Entry) -> dict[str, Any]:
    return {
        "entry": after.entry,
        "day": entry.day,
        "kind": kind(entry.done),
        "least_rope_m": after.least_rope,
        "note": entry.note,
    }


def kind(done: Done) -> str:
    """What an entry of a log is called in published data, by what was `done`: small letters, words parted by hyphens.

    >>> kind(NewRope(290.0, 10e3))
    'new-rope'
    """
    return re.sub(r"\B([A-Z])", r"-\1", type(done).__name__).lower()


def _layer(crane: Crane, layer: drum.Layer, stack: ledger.Stack) -> dict[str, Any]:
    start = drum.rope_at(crane.layers, layer.number, 0.0)
    return {
        "layer": layer.number,
        "wraps": layer.wraps,
        "rope_m": [start, layer.rope_when_full],
        "runs": [
            {
                "wraps": [(run.start - start) / layer.wrap_length, (run.end - start) / layer.wrap_length],
                "tension_n": [run.least, run.most],
                **_laid(run),
            }
            for run in ledger.between(stack, start, layer.rope_when_full)
        ],
    }


def _laid(stretch: Stretch) -> dict[str, Any]:
    entry, how = duty.told(stretch.cause)
    return {"entry": entry, "how": how}


def _stretch(crane: Crane, stretch: Stretch) -> dict[str, Any]:
    places = [_place(crane, rope) for rope in (stretch.start, stretch.end)]
    return {
        "rope_m": [stretch.start, stretch.end],
        "layer": [place["layer"] for place in places],
        "wrap": [place["wrap"] for place in places],
        "tension_n": [stretch.least, stretch.most],
        **_laid(stretch),
    }


def _place(crane: Crane, rope_on_drum: float) -> dict[str, Any]:
    layer, wrap = drum.position(crane.layers, rope_on_drum)
    return {"layer": layer, "wrap": wrap}


# -- the plan that does it ------------------------------------------------------------------------------------------


def plan_case(data: Data, found: Mapping[str, Any]) -> Case | None:
    """The case of the plan that a state names, or None when nothing is due or nothing does it.

    `data` as in `state`, `found` what it returned.
    """
    named = found["plan"]
    if named is None:
        return None
    case = check.case(data, found["machine"], named["boom"], named["configuration"], found["day"])
    rope = replace(case.machine.rope, length=named["rope_length_m"])
    return replace(case, machine=replace(case.machine, rope=rope), firm_below=named["firm_below_m"])


def _plan(data: Data, crane: Crane, firm_below: float | None, firm_from: int | None) -> dict[str, Any] | None:
    """The plan that makes the drum ready for the fewest falls in the fewest minutes, reaching no deeper than needed.

    A telescopic boom is set to any length; a lattice boom stays as it is rigged.  None where nothing is due, and where
    no plan makes the drum ready for fewer falls than it is ready for now, `firm_from`.
    """
    if firm_below is None:
        return None
    case = crane.case
    telescopic = case.machine.kind == "telescopic"
    slugs = [chart.slug for chart in case.configuration.charts] if telescopic else [case.chart.slug]
    found = []
    for slug in slugs:
        one = check.case(data, case.machine.id, slug, case.configuration.id, case.day)
        made = winding.plan(replace(one, machine=case.machine, firm_below=firm_below))
        best = None if isinstance(made, str) else made.attempt.best
        if isinstance(made, str) or best is None:
            continue
        ready_for = _ready_for(Crane(replace(case, firm_below=firm_below)), best.passes[-1])
        if firm_from is None or ready_for is not None and ready_for < firm_from:
            ranked = (ready_for is None, ready_for or 0, best.duration)
            found.append((ranked, made, best))
    if not found:
        return None
    (_, ready_for, _), made, best = min(found, key=lambda each: each[0])
    return {
        "boom": made.crane.case.chart.slug,
        "configuration": case.configuration.id,
        "rope_length_m": case.machine.rope.length,
        "firm_below_m": firm_below,
        "falls": made.attempt.rig.falls,
        "load_kg": made.attempt.suspended,
        "method": best.name,
        "passes": len(best.passes),
        "minutes": best.duration / 60,
        "ready_for_falls": ready_for or None,
    }


def _ready_for(crane: Crane, last: Pass) -> int | None:
    """Fewest falls from which the drum is ready after the last pass of a plan, for lifts with the boom of `crane`: the
    wraps that slip when the load is landed do not count."""
    enough = full_pull(crane, last.firm_from, last.firm_to)
    return enough and enough[0]
