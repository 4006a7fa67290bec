"""Readiness for a heavy lift and everyday work as plain data, for pages, feed and command line.

May import: model, check, rulebook, duty, everyday, ledger, ready, drum, rig, firm, contract.
Must not know: files, pages, words.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from calc import ROUNDING, check, drum, duty, everyday, ledger, ready, rulebook
from calc.contract import rounded
from calc.firm import unreached_limit
from calc.ledger import Stack
from calc.model import Case, Data, Entry, Machine
from calc.rig import Crane, State

SCHEMA_VERSION = 1
VERDICT_RULE = "due-after-light-work"
FIRM_RULE = "firm-tension"
FALLS_RULE = "falls-for-lifting"
UNREACHED_RULE = "unreached-rope"


def lifts(data: Data, case: Case) -> dict[str, Any]:
    """Readiness for six to ten rising loads in round steps, up to what the boom can lift from the ground.

    Parameters
    ----------
    data : everything read
    case : machine, boom length, configuration, day

    Returns: dict that validates against hooks/schema/lifts.schema.json; no lifts where the boom lifts nothing.
    Errors: none.  Rules: as `readiness`.
    """
    told = _history(data, case)
    loads = ready.round_loads(_crane(case, told))
    out = {
        "schema": SCHEMA_VERSION,
        "machine": case.machine.id,
        "status": case.machine.status,
        "day": case.day,
        "boom": case.chart.slug,
        "boom_length_m": case.chart.boom_length,
        "configuration": case.configuration.id,
        "lifts": [_readiness(data, case, load, told) for load in loads],
    }
    done: dict[str, Any] = rounded(out)
    return done


def readiness(data: Data, case: Case, load: float) -> dict[str, Any]:
    """A heavy lift from the ground with one boom length, falls by falls, on the drum as its log left it.

    Parameters
    ----------
    data : everything read
    case : machine, boom length, configuration, day
    load : mass below the hook block, slings included, [kg], above 0

    Returns: dict that validates against rules/schema/ready.schema.json; without a log of the rope the beds are null.
    Errors: ValueError for a load not above 0.
    Rules: falls-for-lifting, firm-tension, unreached-rope, re-reeve-at-the-head, due-after-light-work.
    """
    done: dict[str, Any] = rounded(_readiness(data, case, load, _history(data, case)))
    return done


def _readiness(data: Data, case: Case, load: float, told: duty.After | None) -> dict[str, Any]:
    crane = _crane(case, told)
    found = ready.options(crane, load)
    best = ready.chosen(found)
    bed = _bed(crane, told, best.lift) if told and best and best.lift else None
    log = data.upkeep[case.machine.id].log[: told.entry + 1] if told else ()
    all_due = [log[number] for number in ready.unanswered(crane, log, unreached_limit(crane))] if told else []
    return {
        "schema": SCHEMA_VERSION,
        "machine": case.machine.id,
        "status": case.machine.status,
        "day": case.day,
        "boom": case.chart.slug,
        "boom_length_m": case.chart.boom_length,
        "configuration": case.configuration.id,
        "load_kg": load,
        "firm_tension_n": case.values.firm_tension_share * case.machine.winch.rated_line_pull,
        "rated_line_pull_n": case.machine.winch.rated_line_pull,
        "options": [_option(crane, option, told) for option in found],
        "falls": best and best.falls,
        "verdict": _verdict(data, best, bed, all_due),
        "re_reeving": _re_reeving(crane, told, best),
    }


def _crane(case: Case, told: duty.After | None) -> Crane:
    """With the rope length the log has come to."""
    return duty.crane(case, told.rope_length) if told else Crane(case)


def _history(data: Data, case: Case) -> duty.After | None:
    upkeep = data.upkeep.get(case.machine.id)
    if upkeep is None:
        return None
    told = duty.history(upkeep.log, check.cases(data, case.machine, case.day), case.day)
    return told[-1] if told else None


def _bed(crane: Crane, told: duty.After, lift: ready.Lift) -> ready.Bed:
    return ready.bed(crane, told, lift.bed, unreached_limit(crane))


def _option(crane: Crane, option: ready.Option, told: duty.After | None) -> dict[str, Any]:
    said: dict[str, Any] = {"falls": option.falls, "block": option.block.id, "refused": option.refused, "lift": None}
    lift = option.lift
    if lift is None:
        return said
    speed, limit = lift.hook_speed()
    firm = crane.case.values.firm_tension_share * crane.case.machine.winch.rated_line_pull
    bed = _bed(crane, told, lift) if told else None
    said["lift"] = {
        "radius_m": lift.pick.radius,
        "capacity_use": lift.capacity_use,
        "lead_line_n": lift.lead_line,
        "line_pull_share": lift.pull_share,
        "hook_speed_m_per_s": speed,
        "speed_limit": limit,
        "pick": _drum_at(lift, lift.pick),
        "top": _drum_at(lift, lift.top),
        "bed": bed
        and {
            "firm": not bed.loose,
            "loose_m": bed.length,
            "unreached_loose_m": bed.unreached_loose,
            "deepest_loose_m": bed.deepest,
            "least_tension_n": bed.least,
            "pull_to_bed": lift.lead_line / bed.least if bed.least else None,
        },
        "pull_to_firm_bed": lift.lead_line / firm,
    }
    return said


def _drum_at(lift: ready.Lift, state: State) -> dict[str, Any]:
    layer, wrap = lift.rig.position(state)
    return {"hook_height_m": state.hook_height, "rope_on_drum_m": lift.rig.rope_on_drum(state),
            "layer": layer, "wrap": wrap}  # fmt: skip


def _verdict(
    data: Data, best: ready.Option | None, bed: ready.Bed | None, all_due: list[Entry]
) -> dict[str, Any]:
    """What the drum says about the lift with as many falls as practicable, and the rule that says it."""
    if best is None:
        return _judged(data, "not-liftable", FALLS_RULE)
    if bed is None:
        return _judged(data, "no-log", VERDICT_RULE)
    if all_due:
        return _judged(data, "all-due", ready.ALL_DUE[type(all_due[0].done)])
    if bed.loose:
        return _judged(data, "loose-bed", VERDICT_RULE)
    if bed.unreached_loose:
        return _judged(data, "loose-bottom", UNREACHED_RULE)
    return _judged(data, "firm-bed", FIRM_RULE)


def _judged(data: Data, code: str, rule: str) -> dict[str, Any]:
    return {"code": code, "rule": rule, "rule_code": data.rules[rule].code}


def _re_reeving(crane: Crane, told: duty.After | None, best: ready.Option | None) -> dict[str, Any] | None:
    """From the falls reeved now to those of the lift: by lowering the boom, or by running rope off with the boom up.

    With the boom lowered the drum keeps all rope but that along the boom and in short falls.  With the boom up the rope
    for the new falls has to reach the ground and back: it comes off the drum and goes back without a load.
    """
    if told is None or told.rig is None or best is None or best.lift is None or told.rig.falls == best.falls:
        return None
    rig = best.lift.rig
    down = min(duty.lowered_rope(replace(told.rig, crane=crane)), duty.lowered_rope(rig))
    up = min(best.lift.bed, rig.rope_on_drum(best.lift.pick.at_height(0.0)))
    return {
        "from_falls": told.rig.falls,
        "to_falls": best.falls,
        "boom_lowered": _kept(crane, told.stack, down),
        "boom_up": _kept(crane, told.stack, up),
    }


def _kept(crane: Crane, stack: Stack, rope_on_drum: float) -> dict[str, Any]:
    """Rope that stays on the drum, and the firm rope above it that comes off [m]."""
    kept = max(crane.dead_rope, rope_on_drum)
    layer, wrap = drum.position(crane.layers, kept)
    limit = crane.case.values.firm_tension_share * crane.case.machine.winch.rated_line_pull * (1 - ROUNDING)
    taken = max(0.0, ledger.held(stack) - kept)
    loose = sum(max(0.0, stretch.end - max(kept, stretch.start)) for stretch in ledger.stretches(stack, limit))
    return {"rope_on_drum_m": kept, "layer": layer, "wrap": wrap, "firm_lost_m": taken - loose}


def work(data: Data, machine: Machine, day: str) -> dict[str, Any]:
    """Everyday work of a machine: every boom length and number of falls with the empty hook and a light load.

    Parameters
    ----------
    data : everything read
    machine : one of its machines
    day : ISO text

    Returns: dict that validates against rules/schema/work.schema.json.
    Errors: rulebook.Missing when no rule in force says what a light load is.
    Rules: light-work, firm-tension, drum-drag, sheave-efficiency.
    """
    case_for = check.cases(data, machine, day)
    lengths = sorted({chart.boom_length for c in machine.configurations for chart in c.charts})
    share = rulebook.value(data.rules.values(), machine, lengths[0], day, "light_load_share")
    light = share * machine.capacity_class
    values = case_for(lengths[0]).values
    out = {
        "schema": SCHEMA_VERSION,
        "machine": machine.id,
        "status": machine.status,
        "day": day,
        "light_load_kg": light,
        "rated_line_pull_n": machine.winch.rated_line_pull,
        "minimum_breaking_force_n": machine.rope.minimum_breaking_force,
        "firm_tension_n": values.firm_tension_share * machine.winch.rated_line_pull,
        "drum_drag_n": values.drum_drag,
        "booms": [_boom(case_for(length), light) for length in lengths],
    }
    done: dict[str, Any] = rounded(out)
    return done


def _boom(case: Case, light: float) -> dict[str, Any]:
    return {
        "boom": case.chart.slug,
        "boom_length_m": case.chart.boom_length,
        "radius_m": case.chart.rows[0][0],
        "falls": [_falls(found) for found in everyday.everyday(Crane(case), light)],
    }


def _falls(found: everyday.Everyday) -> dict[str, Any]:
    return {
        "falls": found.falls,
        "block": found.block.id,
        "block_kg": found.block.mass,
        "block_to_overhaul_kg": found.block_to_overhaul,
        "rope_on_drum_m": list(found.rope_on_drum),
        "layers": list(found.layers),
        "empty": _laid(found.empty),
        "light": _laid(found.light),
    }


def _laid(laid: everyday.Laid) -> dict[str, Any]:
    """Drum tension with the hook low and high [N]; below 0 the rope is slack."""
    return {"hauling_n": list(laid.hauling), "paying_out_n": list(laid.paying_out)}
