"""The plan as data: the fields of the published contract, SI, unrounded until printed."""

from __future__ import annotations

from collections.abc import Mapping
from math import degrees
from typing import Any, Final

from calc.data.model import Case
from calc.fields import MethodName, taken
from calc.formulas import drum, reeving
from calc.rounding import rounded
from calc.winding import plan_fields
from calc.winding.codes import RefusalCode
from calc.winding.counting import count_table
from calc.winding.duration import duration, rigging
from calc.winding.firm import reaches
from calc.winding.heavier import band, heavier_loads, limited_room
from calc.winding.inputs import inputs
from calc.winding.methods import Method, Pass, Rank, Refused, rank
from calc.winding.moves import Move, furthest
from calc.winding.planner import Attempt, Plan
from calc.winding.planner import plan as make_plan
from calc.winding.rig import Crane, Rig
from calc.winding.warnings import share_of_breaking_force, warnings
from calc.winding.what_would_help import Help, what_would_help

SCHEMA_VERSION: Final = 1
SHORTER_ROPE = (5.0, 10.0)  # m, by which the rope may be shorter than its data says


def plan(case: Case) -> plan_fields.Plan:
    """The plan of one `case` as plain data, numbers to 1e-6: what validates against rules/schema/plan.schema.json.

    A refused plan is a result: `refused` holds its code; falls, load and stops stay filled where they can be computed.
    """
    found = make_plan(case)
    made, refused = (None, found) if isinstance(found, str) else (found, found.refused)
    attempt = made.attempt if made else None
    out: plan_fields.Plan = {
        "schema": SCHEMA_VERSION,
        "machine": case.machine.id,
        "kind": case.machine.kind,
        "boom": case.chart.slug,
        "boom_length_m": case.chart.boom_length,
        "configuration": case.configuration.id,
        "rulebook": case.machine.rulebook,
        "machine_revision": case.machine.revision,
        "status": case.machine.status,
        "day": case.day,
        "inputs": inputs(case),
        "listed_rope_length_m": case.listed_rope,
        "falls": _falls(case, made),
        "load": load(attempt) if attempt else None,
        "stops": stops(attempt) if attempt else None,
        "methods": _methods(case, found),
        "heavier_loads": heavier_loads(attempt) if attempt else [],
        "limited_room": limited_room(attempt) if attempt else [],
        "bed_needed": [{"falls": falls, "metres": metres} for falls, metres in (made.bed_needed if made else ())],
        "warnings": [{"code": code} for code in (warnings(made) if made else ())],
        "refused": {"code": refused} if refused else None,
        "what_would_help": [_help(one) for one in what_would_help(found, case)],
        "rules": [{"id": r.id, "code": r.code, "from": r.from_day} for r in case.rules],
    }
    return rounded(out)


def _falls(case: Case, made: Plan | None) -> plan_fields.Falls:
    """How many falls; no more than the estimate when no number of falls can even be started."""
    runner_up = made.runner_up if made else None
    return {
        "estimate": reeving.falls_estimate(case.machine.rope.length, Crane(case).bending),
        "exact": made.exact if made else None,
        "used": made.attempt.rig.falls if made else None,
        "reeving_limit": Crane(case).reeving_limit,
        "unreached_rope_m": made.attempt.unreached if made else None,
        "runner_up": {"falls": runner_up[0], "code": runner_up[1]} if runner_up else None,
    }


def _methods(case: Case, found: Plan | RefusalCode) -> list[plan_fields.Method | None]:
    """Luffing out and telescoping in, the latter None for a lattice boom."""
    telescopic = case.machine.kind == "telescopic"
    if isinstance(found, str):
        return [_refused("luff-out", found), _refused("telescope-in", found) if telescopic else None]
    attempt = found.attempt
    second = attempt.telescope_in if telescopic else None
    return [method(attempt, attempt.luff_out), method(attempt, second) if second else None]


def load(attempt: Attempt) -> plan_fields.Load:
    """The load block of an `attempt`: least mass by the rule, by drum tension, what the yard makes up and how it hangs,
    and the readings and masses for which the moves hold."""
    rig, made = attempt.rig, attempt.load
    allowed = band(attempt)
    tolerance = rig.crane.case.values.reading_tolerance
    return {
        "minimum_kg": rig.least_mass,
        "for_drum_tension_kg": attempt.firm_mass,
        "planned_kg": attempt.suspended,
        "hook_block_kg": rig.block.mass,
        "slings_kg": attempt.slings.mass,
        "net_kg": made.mass,
        "share_of_breaking_force": share_of_breaking_force(attempt),
        "lifting_points_height_m": made.base.lifting_height,
        "hanging_height_m": made.hanging_height,
        "stack_height_m": made.stack_height,
        # the weights are known: a reading that is right for them never stops the work
        "reading_least_kg": min(allowed.least * (1 + tolerance), attempt.suspended) + allowed.rope,
        "reading_most_kg": allowed.most + allowed.rope,
        "band_kg": [allowed.least - rig.block.mass, allowed.most - rig.block.mass],
        "yard": [{"item": weight.id, "count": count, "mass_kg": weight.mass * count} for weight, count in made.parts],
    }


def stops(attempt: Attempt) -> plan_fields.Stops:
    """Where the crew of an `attempt` stops: the count when the slings are hung and what other counts mean, and the hook
    heights that warn, at the start and by radius."""
    rig, start = attempt.rig, attempt.start
    margin = rig.stop_margin(start)
    loaded = (s for method in attempt.methods for s in method.loaded_states if s.boom_length == start.boom_length)
    end = max((s.radius for s in loaded), default=start.radius)
    radii = [start.radius] + [r for r, _ in rig.crane.case.chart.rows if start.radius < r <= end]
    counted = attempt.counted
    layer, wrap = rig.position(counted)
    return {
        "start_radius_m": start.radius,
        "start_hook_height_m": start.hook_height,
        "hook_height_m": rig.stop_height(start, margin),
        "by_radius": [[radius, rig.stop_height(start.at_radius(radius), margin)] for radius in radii],
        "rope_at_start_m": rig.rope_on_drum(counted),
        "layer_at_start": layer,
        "wrap_at_start": wrap,
        "count_table": count_table(attempt),
        "shorter_rope": [
            {"less_m": less, "hook_height_m": rig.stop_height(start, margin, less)} for less in SHORTER_ROPE
        ],
    }


def method(attempt: Attempt, found: Method | Refused) -> plan_fields.Method:
    """One method an `attempt` has `found`, with its passes, or its refusal."""
    if isinstance(found, Refused):
        return _refused(found.name, found.code)
    rig = attempt.rig
    loaded = [m for p in found.passes for m in p.moves if m.after.load]
    return {
        "name": found.name,
        "refused": None,
        "passes": [_pass(rig, one, before) for one, before in zip(found.passes, (None, *found.passes), strict=False)],
        "firm_share_limit": found.firm_share_limit,
        "minutes": found.duration / 60,
        "rigging_minutes": rigging(rig) / 60,
        "most_capacity_use": max(_uses(rig, found)),
        "chart_radius_m": _chart_radius(rig, found),
        "longest_sling_m": max(p.slings.length for p in found.passes),
        "working_radius_m": max(rig.outermost(m.before, m.after) for m in loaded),
    }


def _refused(name: MethodName, code: RefusalCode) -> plan_fields.Method:
    return {
        "name": name,
        "refused": {"code": code},
        "passes": [],
        "firm_share_limit": None,
        "minutes": None,
        "rigging_minutes": None,
        "most_capacity_use": None,
        "chart_radius_m": None,
        "longest_sling_m": None,
        "working_radius_m": None,
    }


def _uses(rig: Rig, found: Method) -> list[float]:
    moves = (m for p in found.passes for m in p.moves if m.after.load and m.before.load)
    readings = (rig.worst_reading(m.before, m.after) for m in moves)
    return [reading.use for reading in readings if reading]


def _chart_radius(rig: Rig, found: Method) -> float:
    """Loaded radius out to which the chart itself would carry the load of the last pass [m]."""
    end = found.passes[-1].moves[-1].before
    out = furthest(rig, end, 1.0)
    return max(rig.loaded_radius(out), rig.loaded_radius(end))


def _pass(rig: Rig, one: Pass, before: Pass | None) -> plan_fields.Pass:
    crane = rig.crane
    firm = one.firm_rope
    layers = [_layer_at(crane, one.firm_from, above=True), _layer_at(crane, one.firm_to, above=False)]
    begin = crane.dead_rope if reaches(crane, one.firm_from) else one.firm_from
    last = None if before is None else before.moves[-1]
    return {
        "moves": [report(rig, move, last) for move in one.moves],
        "load_return": one.load_return,
        "sling_length_m": one.slings.length,
        "slings_hung": taken(plan_fields.SlingsHung, one.hung),
        "hook_at_pick_m": one.pick.hook_height,
        "slew_deg": None if one.slew is None else degrees(one.slew),
        "rope_lost_m": one.rope_lost,
        "overlap_m": rig.rope_on_drum(one.end) - one.firm_to,
        "firm_rope_m": firm,
        "firm_share": firm / crane.case.machine.rope.length,
        "firm_from": place(crane, begin),
        "firm_to": place(crane, one.firm_to),
        "firm_layers": layers if firm > 0 else None,
        "full_pull_falls_min": one.full_pull_falls,
        "full_pull_hook_up_to_m": one.full_pull and one.full_pull[1],
        "minutes": one.duration / 60,
    }


def place(crane: Crane, rope_on_drum: float) -> plan_fields.Place:
    """Layer and wraps in it where so much `rope_on_drum` [m] of a `crane` ends."""
    layer, wrap = drum.position(crane.layers, rope_on_drum)
    return {"layer": layer, "wrap": wrap}


def _layer_at(crane: Crane, rope_on_drum: float, above: bool) -> int:
    """Layer of the rope just above or just below this point of the drum."""
    layer, wrap = drum.position(crane.layers, rope_on_drum)
    return layer + 1 if above and wrap == crane.layers[layer - 1].wraps else layer


def report(rig: Rig, move: Move, before: Move | None) -> plan_fields.Move:
    """One `move` of a `rig` as contract fields, all derived from its two states; pairs are [before, after].

    `before` is the last move of the pass before, None in the first pass.
    """
    pair = (move.before, move.after)
    rated = rig.crane.case.machine.winch.rated_line_pull
    positions = [rig.position(s) for s in pair]
    direction = _direction(rig, move)
    reading = rig.worst_reading(move.before, move.after)
    loaded = bool(move.after.load)
    assert reading is not None, "a move beyond the chart is refused"
    return {
        "move": move.name,
        "boom_length_m": [s.boom_length for s in pair],
        "radius_m": [s.radius for s in pair],
        "loaded_radius_m": [rig.loaded_radius(s) for s in pair],
        "boom_angle_deg": [degrees(rig.crane.angle(s.boom_length, s.radius)) for s in pair],
        "hook_height_m": [s.hook_height for s in pair],
        "load_height_m": [s.hook_height - s.hang if s.load else None for s in pair],
        "load_kg": rig.suspended(move.after) if loaded else 0.0,
        "gross_load_kg": max(rig.gross(s) for s in pair),
        "rope_on_drum_m": [rig.rope_on_drum(s) for s in pair],
        "layer": [p[0] for p in positions],
        "wrap": [p[1] for p in positions],
        "rated_capacity_kg": reading.capacity,
        "capacity_use": reading.use,
        "lead_line_n": [rig.lead_line(s, direction) for s in pair],
        "drum_tension_share": [rig.winding_tension(s) / rated for s in pair] if loaded else None,
        "minutes": duration(rig, move, before) / 60,
    }


def _direction(rig: Rig, move: Move) -> int:
    """Which way the rope runs over the sheaves during a move; under load in short moves it is hauled again."""
    change = rig.rope_on_drum(move.after) - rig.rope_on_drum(move.before)
    if abs(change) < 1e-6:
        return reeving.STANDING
    return reeving.HAULING if change > 0 else reeving.PAYING_OUT


def _help(one: Help) -> plan_fields.Help:
    """One thing that would help, and what the plan then comes to."""
    last = one.method.passes[-1]
    return {
        "kind": one.kind,
        **one.what,
        "method": one.method.name,
        "passes": len(one.method.passes),
        "minutes": one.method.duration / 60,
        "firm_rope_m": last.firm_rope,
        "full_pull_falls_min": last.full_pull_falls,
    }


def best_method(plan: Mapping[str, Any]) -> plan_fields.Method | None:
    """The method a plan puts first: full line pull with the fewest falls, most firm rope (to half a per cent of the
    rope), fewest passes, then the shortest; None if all are refused."""
    done = [m for m in plan["methods"] if m and m["passes"]]
    length = plan["inputs"]["rope_length_m"]

    def key(method: Mapping[str, Any]) -> tuple[Rank, float]:
        last = method["passes"][-1]
        share = last["firm_rope_m"] / length
        return rank(last["full_pull_falls_min"], share, len(method["passes"])), method["minutes"]

    return min(done, key=key, default=None)


def hook_block(plan: Mapping[str, Any]) -> plan_fields.Block | None:
    """The hook block of the plan: of those that take its falls the one of its mass; None without a load."""
    falls, load = plan["falls"]["used"], plan["load"]
    fits = (b for b in plan["inputs"]["blocks"] if falls and b["falls"][0] <= falls <= b["falls"][1])
    return next((b for b in fits if load and b["mass_kg"] == load["hook_block_kg"]), None)
