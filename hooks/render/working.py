"""The working of a plan: each formula with this plan's numbers, computed with the functions the planner uses.

May import: calc, environment (rounded results).  Must not know: templates, MkDocs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from calc import STANDARD_GRAVITY, reeving
from calc.drum import position
from calc.model import Case
from calc.rig import Crane, Rig, State
from hooks.render.environment import force, mass, metres, rope, share

Plan = Mapping[str, Any]


@dataclass(frozen=True)
class Line:
    """One formula: key of its title and symbols in the words file, numbers put in, result, and the rule values used."""

    key: str
    numbers: str
    result: Markup | str
    values: tuple[str, ...] = ()


def lines(case: Case, plan: Plan, best: Mapping[str, Any] | None) -> list[Line]:
    """All lines of a plan; fewer for a plan that was refused before a load or a pass was found."""
    crane = Crane(case)
    found = _drum(crane)
    rig = _rig(crane, plan)
    if rig is None:
        return found
    start = _start(rig, plan)
    found += _start_of_work(rig, plan, start) + _load(rig, plan, start)
    return found + (_result(rig, plan, best) if best else [])


def _rig(crane: Crane, plan: Plan) -> Rig | None:
    if not plan["load"] or not plan["stops"]:
        return None
    block = next(b for b in crane.case.machine.blocks if b.mass == plan["load"]["hook_block_kg"])
    return Rig(crane, plan["falls"]["used"], block)


def _start(rig: Rig, plan: Plan) -> State:
    """The start of the plan: load on the ground, slings straight."""
    load, stops = plan["load"], plan["stops"]
    hook = stops["start_hook_height_m"]
    sling = hook - plan["inputs"]["load_height_m"]
    return State(
        plan["boom_length_m"], stops["start_radius_m"], hook, rig.falls, load["net_kg"] + load["slings_kg"], sling
    )


def _drum(crane: Crane) -> list[Line]:
    machine, values = crane.case.machine, crane.case.values
    first, last = crane.layers[0], crane.layers[-1]
    root, thick = machine.drum.groove_root_diameter, machine.rope.diameter
    length, boom = machine.rope.length, crane.case.chart.boom_length
    estimate = reeving.falls_estimate(length, boom)
    return [
        Line(
            "layers",
            f"D_1 = {root:.3f} + {thick:.4f} = {first.diameter:.3f} m;  l_1 = {first.wrap_length:.3f} m;  "
            f"D_{last.number} = {root:.3f} + {thick:.4f}*(1 + 2*{values.rise_ratio:.2f}*{last.number - 1}) "
            f"= {last.diameter:.3f} m",
            f"{last.number}",
            ("rise_ratio_" + machine.drum.surface.replace("-", "_"),),
        ),
        Line(
            "usable",
            f"{length:.1f} - {values.dead_wraps}*{first.wrap_length:.3f} = {crane.usable_rope:.2f} m",
            rope(crane.usable_rope, "down"),
            ("dead_wraps",),
        ),
        Line("estimate", f"({length:.1f} - {boom:.1f})/{boom:.1f} = {(length - boom) / boom:.2f}", f"{estimate}"),
    ]


def _start_of_work(rig: Rig, plan: Plan, start: State) -> list[Line]:
    crane, case = rig.crane, rig.crane.case
    at, falls = case.machine.boom, rig.falls
    length, radius = start.boom_length, start.radius
    head, path, around = crane.head(length, radius), rig.drum_to_head(length), rig.between_falls
    fall, on_drum = rig.fall_length(start), rig.rope_on_drum(start)
    layer, wrap = position(crane.layers, on_drum)
    below = crane.layers[layer - 2].rope_when_full if layer > 1 else 0.0
    stop, margin = plan["stops"]["hook_height_m"], rig.stop_margin(start)
    found = []
    if plan["falls"]["exact"] is not None:
        steepest = max(case.chart.rows[0][0], at.clear_radius or 0.0)
        low = case.values.clearance + case.yard.load_height + case.yard.slings.length
        reached = min(crane.usable_rope, case.machine.rope.length - case.firm_below)
        round_one = f"pi*{case.machine.reeving.sheave_radius:.2f}"
        found.append(
            Line(
                "exact",
                f"({reached:.2f} - {path:.2f} + {round_one})/({crane.head(length, steepest):.2f} - {low:.2f}"
                f" - {rig.block.height:.2f} + {round_one}) = {plan['falls']['exact']:.2f}",
                f"{falls}",
                ("unreached_limit",),
            )
        )
    return [
        *found,
        Line(
            "head",
            f"{at.pivot_height:.2f} + sqrt({length:.2f}^2 - ({radius:.2f} - ({at.pivot_forward:.2f}))^2) "
            f"= {head:.2f} m",
            metres(head, "down"),
        ),
        Line(
            "path",
            f"P = {length:.2f} + ({at.rope_path_extra:.2f}) = {path:.2f} m;  "
            f"w = {falls - 1}*pi*{case.machine.reeving.sheave_radius:.2f} = {around:.2f} m",
            rope(path + around, "near"),
        ),
        Line(
            "start",
            f"{case.machine.rope.length:.1f} - ({path:.2f} + {falls}*({head:.2f} - {start.hook_height:.2f} - "
            f"{rig.block.height:.2f}) + {around:.2f}) = {case.machine.rope.length:.1f} - {path:.2f} - "
            f"{falls}*{fall:.2f} - {around:.2f} = {on_drum:.2f} m",
            rope(on_drum, "down"),
        ),
        Line(
            "position",
            f"({on_drum:.2f} - {below:.2f})/{crane.layers[layer - 1].wrap_length:.3f} = {wrap:.2f}",
            f"{layer}, wrap {wrap:.1f}",
        ),
        Line(
            "stop",
            f"{head:.2f} - {rig.block.height:.2f} - ({crane.usable_rope:.2f} - {path:.2f} - {around:.2f})/{falls} "
            f"+ {margin:.2f} = {stop:.2f} m",
            metres(stop, "up"),
            ("stop_margin", "stop_margin_share", "dead_wraps"),
        ),
    ]


def _load(rig: Rig, plan: Plan, start: State) -> list[Line]:
    crane, case, load = rig.crane, rig.crane.case, plan["load"]
    rated, falls = case.machine.winch.rated_line_pull, rig.falls
    lead, tension = rig.lead_line(start, reeving.HAULING), rig.tension(start, reeving.HAULING)
    weight = load["planned_kg"] * STANDARD_GRAVITY
    e, k = case.values.sheave_efficiency, case.machine.reeving.sheaves_to_drum
    forces, hanging = reeving.fall_sums(falls, e)
    head, fall = crane.head(start.boom_length, start.radius), rig.fall_length(start)
    return [
        Line(
            "minimum",
            f"{case.values.minimum_share:.2f}*{rated:.0f}*{falls}/{STANDARD_GRAVITY} = {load['minimum_kg']:.0f} kg",
            mass(load["minimum_kg"], "up"),
            ("minimum_share",),
        ),
        Line(
            "planned",
            f"{load['hook_block_kg']:.0f} + {load['slings_kg']:.0f} + {load['net_kg']:.0f} = "
            f"{load['planned_kg']:.0f} kg;  {load['minimum_kg']:.0f} kg;  {load['for_drum_tension_kg']:.0f} kg",
            mass(load["planned_kg"], "up"),
            ("minimum_share", "firm_tension_share"),
        ),
        Line(
            "lead",
            f"e = {e:.2f}, k = {k};  ({weight:.0f} + {crane.rope_weight:.2f}*{fall:.2f}*{hanging:.3f})/{forces:.3f}"
            f"*{e:.2f}^-{k} = {lead:.0f} N;  {lead:.0f} - {crane.rope_weight:.2f}*({head:.2f} - "
            f"{case.machine.boom.winch_height:.2f}) = {tension:.0f} N",
            force(tension, "down"),
            ("rolling_efficiency" if case.machine.reeving.bearings == "rolling" else "plain_efficiency",),
        ),
        Line(
            "firm",
            f"{case.values.firm_tension_share:.2f}*{rated:.0f} = {case.values.firm_tension_share * rated:.0f} N",
            force(case.values.firm_tension_share * rated, "up"),
            ("firm_tension_share",),
        ),
    ]


def _result(rig: Rig, plan: Plan, best: Mapping[str, Any]) -> list[Line]:
    crane, case, falls = rig.crane, rig.crane.case, rig.falls
    last = best["passes"][-1]
    out = max((m for p in best["passes"] for m in p["moves"] if m["load_kg"]), key=lambda m: max(m["radius_m"]))
    at = max((0, 1), key=lambda side: out["radius_m"][side])
    length, radius = out["boom_length_m"][at], out["radius_m"][at]
    growth = crane.growth(length) * out["capacity_use"]
    landed = last["moves"][-1]["rope_on_drum_m"][1]
    start = plan["stops"]["rope_at_start_m"]
    found = [
        Line(
            "capacity",
            f"{radius:.2f} + {case.values.deflection_share:.2f}*{length:.1f}*{out['capacity_use']:.3f} = "
            f"{radius + growth:.2f} m;  {out['gross_load_kg']:.0f} kg of {out['rated_capacity_kg']:.0f} kg",
            share(out["capacity_use"], "up"),
            ("deflection_share",),
        ),
        Line(
            "firm_rope",
            f"{landed:.2f} - {start:.2f} = {landed - start:.2f} m"
            + ("" if abs(landed - start - last["firm_rope_m"]) < 0.01 else f";  >= {last['firm_rope_m']:.2f} m"),
            rope(last["firm_rope_m"], "down"),
            ("firm_tension_share",),
        ),
    ]
    if best["firm_share_limit"] is not None:
        end = last["moves"][-1]["boom_length_m"][1]
        upper = case.machine.reeving.upper_stop
        found.append(
            Line(
                "limit",
                f"1 - ({rig.drum_to_head(end):.2f} + {rig.between_falls:.2f} + {falls}*{upper:.2f})/"
                f"{case.machine.rope.length:.1f}",
                share(best["firm_share_limit"], "down"),
            )
        )
    return found
