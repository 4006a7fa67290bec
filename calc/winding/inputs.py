"""Everything that goes into a plan: the inputs block of the published contract."""

from __future__ import annotations

from math import degrees
from typing import Any

from calc.data.model import Case
from calc.winding.rig import Crane


def inputs(case: Case) -> dict[str, Any]:
    """Everything needed to compute the plan of a `case` again with other code."""
    machine, values, yard = case.machine, case.values, case.yard
    crane = Crane(case)
    return {
        "rope_length_m": machine.rope.length,
        "rope_diameter_m": machine.rope.diameter,
        "rope_mass_kg_per_m": machine.rope.mass_per_length,
        "minimum_breaking_force_n": machine.rope.minimum_breaking_force,
        "groove_root_diameter_m": machine.drum.groove_root_diameter,
        "groove_pitch_m": machine.drum.groove_pitch,
        "wraps_odd_layers": machine.drum.wraps_odd_layers,
        "wraps_even_layers": machine.drum.wraps_even_layers,
        "drum_surface": machine.drum.surface,
        "rise_ratio": values.rise_ratio,
        "dead_wraps": values.dead_wraps,
        "stop_wraps": values.stop_wraps,
        "count_tolerance": values.count_tolerance,
        "hook_height_error_m": values.hook_height_error,
        "rope_longer_share": values.rope_longer_share,
        "rope_shorter_share": values.rope_shorter_share,
        "stop_margin_m": values.stop_margin,
        "stop_margin_share": values.stop_margin_share,
        "freeboard_m": values.freeboard,
        "flange_diameter_m": machine.drum.flange_diameter,
        "rated_line_pull_n": machine.winch.rated_line_pull,
        "rated_layer": machine.winch.rated_layer,
        "line_speed_m_per_s": machine.winch.line_speed,
        "power_w": machine.winch.power,
        "drum_drag_n": values.drum_drag,
        "sheave_efficiency": values.sheave_efficiency,
        "sheave_efficiency_upper": values.sheave_efficiency_upper,
        "sheaves_to_drum": machine.reeving.sheaves_to_drum,
        "sheave_radius_m": machine.reeving.sheave_radius,
        "most_falls": machine.reeving.most_falls,
        "pivot_forward_m": machine.boom.pivot_forward,
        "pivot_height_m": machine.boom.pivot_height,
        "rope_path_extra_m": machine.boom.rope_path_extra,
        "winch_height_m": machine.boom.winch_height,
        "upper_stop_m": machine.reeving.upper_stop,
        "luffing_rad_per_s": machine.boom.luffing,
        "telescoping_m_per_s": machine.boom.telescoping,
        "clear_radius_m": machine.boom.clear_radius,
        "least_boom_angle_deg": degrees(machine.boom.least_angle),
        "load_return": machine.boom.load_return,
        "minimum_share": values.minimum_share,
        "accepted_share": values.accepted_share,
        "firm_tension_share": values.firm_tension_share,
        "target_share": values.target_share,
        "unreached_limit": values.unreached_limit,
        "firm_below_m": case.firm_below,
        "most_passes": values.most_passes,
        "least_gain_share": values.least_gain_share,
        "largest_capacity_use": values.largest_capacity_use,
        "largest_telescoping_use": values.largest_telescoping_use,
        "reading_tolerance": values.reading_tolerance,
        "clearance_m": values.clearance,
        "first_lift_m": values.first_lift,
        "reach_height_m": values.reach_height,
        "stack_room_m": values.stack_room,
        "sling_angle_least_deg": degrees(values.sling_angle_least),
        "swing_room_m": values.swing_room,
        "band_top_m": values.band_top,
        "load_height_m": yard.load_height,
        "load_size_m": yard.load_length,
        "working_radius_m": yard.working_radius,
        "overlap_wraps": values.overlap_wraps,
        "rope_friction": values.rope_friction,
        "sling_slack_m": values.sling_slack,
        "rope_modulus_n_per_m2": values.rope_modulus,
        "rope_metal_factor": values.rope_metal_factor,
        "deflection_share": values.deflection_share,
        "aimed_tension_share": values.aimed_tension_share,
        "published_tension_low": values.published_tension_low,
        "published_tension_high": values.published_tension_high,
        "winding_speed_m_per_s": values.winding_speed,
        "pay_out_speed_m_per_s": values.pay_out_speed,
        "pick_time_s": values.pick_time,
        "re_pick_time_s": values.re_pick_time,
        "check_time_s": values.check_time,
        "change_time_s": values.change_time,
        "section_time_s": values.section_time,
        "travel_speed_m_per_s": values.travel_speed,
        "winch_efficiency": values.winch_efficiency,
        "setting_up_time_s": values.setting_up_time,
        "reeving_time_s": values.reeving_time,
        "blocks": [
            {
                "id": b.id,
                "mass_kg": b.mass,
                "height_m": b.height,
                "falls": [b.least_falls, b.most_falls],
                "capacity_kg": b.capacity,
            }
            for b in machine.blocks
        ],
        "slings": [
            {
                "length_m": s.length,
                "mass_kg": s.mass,
                "capacity_kg": s.capacity,
                "extensions": [e.id for e in s.extensions],
            }
            for s in crane.slings
        ],
        "weights": [
            {
                "item": w.id,
                "mass_kg": w.mass,
                "length_m": w.length,
                "width_m": w.width,
                "height_m": w.height,
                "count": w.count,
                "lifting_points_height_m": w.lifting_height,
                "lifting_points_diagonal_m": w.lifting_diagonal,
            }
            for w in yard.weights
        ],
        "load_width_m": yard.load_width,
        "charts": [
            {
                "boom_length_m": c.boom_length,
                "rows": [list(row) for row in c.rows],
                "telescoping_kg": c.telescoping,
            }
            for c in crane.charts
        ],
    }
