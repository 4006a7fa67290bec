"""Everything that goes into a plan: the inputs block of the published contract."""

from __future__ import annotations

from math import degrees
from typing import cast

from calc.data import model
from calc.data.model import Case
from calc.fields import taken
from calc.winding.plan_fields import Block, Chart, Inputs, Jib, Slings, Weights
from calc.winding.rig import Crane


def inputs(case: Case) -> Inputs:
    """Everything needed to compute the plan of a `case` again with other code."""
    machine, values, yard, crane = case.machine, case.values, case.yard, Crane(case)
    rope = machine.rope
    found = taken(
        Inputs,
        *(case, values, yard, machine.drum, machine.winch, case.reeving, machine.boom),
        rope_length_m=rope.length,
        rope_diameter_m=rope.diameter,
        rope_mass_kg_per_m=rope.mass_per_length,
        minimum_breaking_force_n=rope.minimum_breaking_force,
        drum_surface=machine.drum.surface,
        luffing_rad_per_s=case.luffing,
        least_boom_angle_deg=degrees(case.least_angle),
        sling_angle_least_deg=degrees(values.sling_angle_least),
        load_size_m=yard.load_length,
        jib=case.jib and _jib(crane, case.jib),
        blocks=[taken(Block, one, falls=[one.least_falls, one.most_falls]) for one in machine.blocks],
        slings=[taken(Slings, one, extensions=[extension.id for extension in one.extensions]) for one in crane.slings],
        weights=[
            taken(
                Weights,
                one,
                item=one.id,
                lifting_points_height_m=one.lifting_height,
                lifting_points_diagonal_m=one.lifting_diagonal,
            )
            for one in yard.weights
        ],
        charts=[taken(Chart, chart) for chart in crane.charts],
    )
    if case.jib is None:
        del found["jib"]
    # published files have had two fields last from the first
    return cast(Inputs, dict(sorted(found.items(), key=lambda field: field[0] in ("load_width_m", "charts"))))


def _jib(crane: Crane, jib: model.Jib) -> Jib:
    """The `jib` a `crane` is rigged with, and the straight arm it makes with the boom."""
    arm = crane.arm(crane.case.chart.boom_length)
    return taken(
        Jib,
        jib,
        offset_deg=None if jib.offset is None else degrees(jib.offset),
        boom_angle_deg=None if jib.boom_angle is None else degrees(jib.boom_angle),
        arm_m=arm.length,
        arm_pivot_forward_m=arm.pivot_forward,
        arm_pivot_height_m=arm.pivot_height,
        steeper_deg=degrees(arm.steeper),
    )
