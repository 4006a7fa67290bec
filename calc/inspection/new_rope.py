"""Fitting a new rope: what to order, how it fills the drum, how tight it goes on, how it is run in; how the rope on the
drum compares.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import degrees
from typing import Final

from calc.data import look_up, rope_log, rule_values, rulebook
from calc.data.entries import NewRope, Upkeep
from calc.data.model import Case, Data, Machine
from calc.data.rulebook import Given
from calc.drum_log import everyday, history
from calc.fields import Hand, Rulebook
from calc.formulas import LENGTH_SLACK, ROUNDING, drum, rope
from calc.inspection import fitness, rope_fields
from calc.rounding import rounded
from calc.winding.rig import Crane

SCHEMA_VERSION: Final = 1
OPPOSITE: dict[Hand, Hand] = {"right": "left", "left": "right"}


def order(data: Data, machine_id: str, day: str) -> rope_fields.NewRope:
    """The rope to order for one machine and the checks of the one on its drum, as plain data, numbers to 1e-6.

    Returns what validates against rules/schema/new-rope.schema.json: log and readings up to the `day` count.
    `deviations` are codes of what is not as it should be with the rope on the drum; what no data tells is None.
    Errors: look_up.Unknown when there is no such machine, table or rule value on that day.
    Rules: new-rope, lay-direction, rope-oversize, drum-and-sheave-diameter, fleet-angle, back-tension,
    published-tension, firm-tension, run-in, light-work, freeboard-iso, freeboard-us, design-factor-iso,
    design-factor-us, design-factor-us-rotation-resistant.
    """
    machine = look_up.machine_of(data, machine_id, day)
    upkeep = data.upkeep.get(machine_id, Upkeep(machine_id, ()))
    case = look_up.cases(data, machine, day)(machine.configurations[0].charts[0].boom_length)
    values = fitness.asked_for(data, machine, day, rule_values.FOR_A_ROPE_CHANGE)
    fitted = next((e.done for e in reversed(upkeep.log) if e.day <= day and isinstance(e.done, NewRope)), None)
    length = rope_log.rope_length(upkeep.log, day)
    reference = rope_log.reference(upkeep, day)
    crane = history.crane(case, length or machine.rope.length)
    to_order = _to_order(machine, values)
    fill = _fill(crane)
    tension = _back_tension(case, values, fitted)
    out: rope_fields.NewRope = {
        "schema": SCHEMA_VERSION,
        "machine": machine_id,
        "status": machine.status,
        "day": day,
        "order": to_order,
        "drum": fill,
        "ratios": list(_ratios(machine, values)),
        "fleet_angle": list(_fleet_angles(machine, values)),
        "strength": _strength(data, case),
        "back_tension": tension,
        "run_in": _run_in(data, machine, day),
        "on_the_drum": {
            "fitted": rope_log.fitted(upkeep.log, day),
            "length_m": length,
            "reference_m": sum(reference) / 2 if reference else None,
            "lay_direction": machine.rope.lay_direction,
        },
        "deviations": list(_deviations(machine, to_order, fill, tension, length, reference)),
    }
    return rounded(out)


def _to_order(machine: Machine, values: Mapping[str, Given]) -> rope_fields.Order:
    """Of the two upper limits of the diameter the groove pitch may not be reached."""
    wanted = machine.rope
    thickest = wanted.diameter * (1 + values["oversize_most"].quantity)
    return {
        "diameter_m": wanted.diameter,
        "least_diameter_m": wanted.diameter,
        "most_diameter_m": min(thickest, machine.drum.groove_pitch),
        "below_m": machine.drum.groove_pitch,
        "length_m": wanted.length,
        "construction": wanted.construction,
        "grade_n_per_m2": wanted.grade,
        "minimum_breaking_force_n": wanted.minimum_breaking_force,
        "rotation_resistant": wanted.rotation_resistant,
        "lay": wanted.lay,
        "drum_hand": machine.drum.hand,
        "lay_direction": OPPOSITE[machine.drum.hand] if machine.drum.hand else None,
    }


def _fill(crane: Crane) -> rope_fields.DrumFill:
    machine, values = crane.case.machine, crane.case.values
    d, diameter = machine.drum, machine.rope.diameter
    outside = drum.outside_diameter(crane.layers, diameter, 0.0)
    return {
        "layers": len(crane.layers),
        "rope_when_full_m": crane.layers[-1].rope_when_full,
        "handbook_m": drum.handbook_rope(
            d.groove_root_diameter, (outside - d.groove_root_diameter) / 2, d.width, diameter
        ),
        "outside_diameter_m": outside,
        "flange_diameter_m": d.flange_diameter,
        "freeboard_m": (d.flange_diameter - outside) / 2,
        "freeboard_wanted_m": values.freeboard,
        "longest_rope_m": drum.longest_rope(
            d.groove_root_diameter,
            diameter,
            values.rise_ratio,
            d.wraps_odd_layers,
            d.wraps_even_layers,
            d.flange_diameter,
            values.freeboard,
        ),
    }


def _ratios(machine: Machine, values: Mapping[str, Given]) -> Iterator[rope_fields.Ratio]:
    """Drum and sheaves in rope diameters; the data hold no sheaves of the hook block, so only their least is given."""
    diameter = machine.rope.diameter
    sizes: dict[rope_fields.Across, float | None] = {
        "drum": drum.layer_diameter(machine.drum.groove_root_diameter, diameter, 1.0, 1),
        "sheave": 2
        * min(head.sheave_radius for head in (machine.reeving, *(jib.reeving for jib in machine.boom.jibs))),
        "block-sheave": None,
    }
    for name, across in sizes.items():
        least = values[f"{name.replace('-', '_')}_diameters"]
        ratio = None if across is None else rope.diameters_across(across, diameter)
        yield {
            "what": name,
            "diameters": ratio,
            "least": least.quantity,
            "least_diameter_m": least.quantity * diameter,
            "enough": None if ratio is None else enough(ratio, least.quantity),
            "rule": least.cited,
        }


def _fleet_angles(machine: Machine, values: Mapping[str, Given]) -> Iterator[rope_fields.FleetAngle]:
    """At the flange, by boom length: where the rope runs straight to the boom head that is the first sheave."""
    surface = "smooth" if machine.drum.surface == "smooth" else "grooved"
    limits = [values[f"fleet_angle_most_{surface}"]]
    if machine.rope.rotation_resistant:
        limits.append(values["fleet_angle_most_rotation_resistant"])
    most = min(limits, key=lambda limit: limit.quantity)
    least = values["fleet_angle_least"]
    for length, slug in machine.booms.items():
        distance = machine.drum.first_sheave
        if distance is None and machine.reeving.sheaves_to_drum == 1:
            distance = length + machine.boom.rope_path_extra
        angle = None if distance is None else drum.fleet_angle(machine.drum.width / 2, distance)
        yield {
            "boom": slug,
            "boom_length_m": length,
            "distance_m": distance,
            "angle_deg": None if angle is None else degrees(angle),
            "least_deg": degrees(least.quantity),
            "most_deg": degrees(most.quantity),
            "outcome": None if angle is None else between(angle, least.quantity, most.quantity),
            "rule": most.cited,
        }


def enough(value: float, least: float) -> bool:
    """Whether a value reaches the least that is asked for.

    >>> enough(18.0, 18.0), enough(17.99, 18.0)
    (True, False)
    """
    return value >= least * (1 - ROUNDING)


def between(value: float, least: float, most: float) -> rope_fields.AgainstLimits:
    """Where a `value` lies against what is asked for: below the `least`, within (both ends too) or above the `most`.

    >>> between(0.025, 0.025, 0.05), between(0.0501, 0.025, 0.05)
    ('within', 'above')
    """
    if value < least * (1 - ROUNDING):
        return "below"
    return "above" if value > most * (1 + ROUNDING) else "within"


def _strength(data: Data, case: Case) -> rope_fields.Strength:
    """Breaking force and mass as construction and grade imply them, and the design factor under both regimes."""
    machine = case.machine
    fitted = machine.rope
    factor = rope.design_factor(fitted.minimum_breaking_force, machine.winch.rated_line_pull)

    def least(regime: Rulebook) -> rope_fields.StrengthRegime:
        given = rulebook.given(data.rules.values(), replace(machine, rulebook=regime), case.chart.boom_length, case.day)
        asked = given["design_factor"][0]
        return {"least": asked.quantity, "enough": enough(factor, asked.quantity), "rule": asked.cited}

    return {
        "minimum_breaking_force_n": fitted.minimum_breaking_force,
        "implied_breaking_force_n": rope.minimum_breaking_force(fitted.diameter, fitted.construction, fitted.grade),
        "mass_kg_per_m": fitted.mass_per_length,
        "implied_mass_kg_per_m": rope.mass_per_length(fitted.diameter, fitted.construction),
        "factors_read": rope.CONSTRUCTIONS[fitted.construction].read,
        "rated_line_pull_n": machine.winch.rated_line_pull,
        "design_factor": factor,
        "regimes": {"iso": least("iso"), "us": least("us")},
    }


def _back_tension(case: Case, values: Mapping[str, Given], fitted: NewRope | None) -> rope_fields.BackTension:
    force = case.machine.rope.minimum_breaking_force
    least, most = values["back_tension_least"], values["back_tension_most"]
    share = None if fitted is None else rope.winding_tension_share(fitted.tension, force)
    return {
        "least_share": least.quantity,
        "most_share": most.quantity,
        "least_n": least.quantity * force,
        "most_n": most.quantity * force,
        "published_low_n": case.values.published_tension_low * force,
        "published_high_n": case.values.published_tension_high * force,
        "rule": least.cited,
        "firm_n": case.firm_tension,
        "used_n": fitted.tension if fitted else None,
        "used_share": share,
        "outcome": None if share is None else between(share, least.quantity, most.quantity),
    }


def _run_in(data: Data, machine: Machine, day: str) -> rope_fields.RunIn:
    """By boom length, with the most falls that let the hook down: rope that a light load runs through from the ground
    to the upper stop, and the least mass of hook block and load that sinks by itself all the way."""
    case_for = look_up.cases_by_log(data, machine, day)
    try:
        light = everyday.light_load(data, machine, day)
    except rulebook.Missing as missing:
        raise look_up.Unknown(f"no rule in force on {day} gives {missing}; choose a later day") from missing
    by_boom = [(case_for(length), everyday.everyday(Crane(case_for(length)), light)) for length in machine.booms]
    return {
        "light_load_kg": light,
        "booms": [
            {
                "boom": case.chart.slug,
                "boom_length_m": case.chart.boom_length,
                "radius_m": case.chart.rows[0][0],
                "falls": work[-1].falls,
                "block": work[-1].block.id,
                "rope_on_drum_m": list(work[-1].rope_on_drum),
                "run_m": work[-1].rope_on_drum[1] - work[-1].rope_on_drum[0],
                "least_mass_kg": work[-1].block_to_overhaul,
                "sinks": work[-1].block.mass + light >= work[-1].block_to_overhaul,
            }
            for case, work in by_boom
            if work
        ],
    }


def _deviations(
    machine: Machine,
    to_order: rope_fields.Order,
    fill: rope_fields.DrumFill,
    tension: rope_fields.BackTension,
    length: float | None,
    reference: tuple[float, float] | None,
) -> Iterator[rope_fields.Deviation]:
    """What is not as it should be with the rope on the drum, as codes."""
    if length is not None and length > machine.rope.length + rope_log.SAME_LENGTH:
        yield "longer-than-listed"
    if length is not None and length < machine.rope.length - rope_log.SAME_LENGTH:
        yield "shorter-than-listed"
    if fill["freeboard_m"] < fill["freeboard_wanted_m"] - LENGTH_SLACK:
        yield "freeboard-too-small"
    if reference is not None:
        measured = sum(reference) / 2
        if measured < to_order["least_diameter_m"] - LENGTH_SLACK:
            yield "thinner-than-nominal"
        if measured >= to_order["below_m"]:
            yield "not-below-groove-pitch"
        elif measured > to_order["most_diameter_m"] + LENGTH_SLACK:
            yield "thicker-than-the-rule"
    wanted = to_order["lay_direction"]
    if wanted and machine.rope.lay_direction and machine.rope.lay_direction != wanted:
        yield "lay-against-drum-hand"
    if tension["outcome"] == "below":
        yield "back-tension-below"
    if tension["outcome"] == "above":
        yield "back-tension-above"
