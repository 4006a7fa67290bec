"""What a formula cannot mean it refuses: ValueError with parameter, value and limits, for every parameter of each."""

from __future__ import annotations

import dataclasses
import inspect
import math
import re
from typing import Any

import pytest

from calc.formulas import drum, ledger, reeving
from calc.teaching.outside import module_of

NAN = math.nan
LAYERS = drum.layers(0.4, 0.02, 1.0, 30, 30, 235.6)
STACK = (ledger.Run(30.0, 9000.0, 9000.0, "new"), ledger.Run(20.0, 900.0, 500.0, "formwork"))
ROWS = ((10.0, 8000.0), (12.0, 6000.0))

# Every formula of these modules: a sound call, and for each parameter values out of its range.  An empty tuple: the
# parameter has no range of its own (a height may lie below ground, a list is what another formula gives).
ANY: tuple[Any, ...] = ()
POSITIVE = (0.0, -1.0, NAN)
NOT_NEGATIVE = (-1.0, NAN)
BOOM = {"boom_length": (50.0, POSITIVE), "pivot_forward": (1.0, ANY)}
JIB = {"boom_length": (40.0, POSITIVE), "jib_length": (30.0, POSITIVE), "offset": (1.0, (-0.1, 1.6, NAN))}
DRUM = {
    "groove_root_diameter": (0.4, POSITIVE),
    "rope_diameter": (0.02, POSITIVE),
    "rise_ratio": (1.0, (0.0, 1.01, NAN)),
}
ROPE = {"diameter": (0.02, (0.0049, 0.101, NAN)), "construction": ("6x7 FC", ("7x7",))}
FALLS = {
    "rope_weight": (30.0, NOT_NEGATIVE),
    "falls": (4, (0, -1)),
    "fall_length": (40.0, NOT_NEGATIVE),
    "efficiency": (0.98, (0.0, 1.01, NAN)),
    "sheaves_to_drum": (1, (0,)),
}
HEAD = {"head_height": (50.0, ANY), "winch_height": (2.0, ANY)}
DIRECTION = {"direction": (reeving.HAULING, ANY)}

CALLS: dict[str, dict[str, tuple[Any, tuple[Any, ...]]]] = {
    "drum.layer_diameter": {**DRUM, "layer": (5, (0, -1))},
    "drum.layers": {
        **DRUM,
        "wraps_odd_layers": (30, (0,)),
        "wraps_even_layers": (30, (0,)),
        "rope_length": (200.0, POSITIVE),
    },
    "drum.position": {"drum_layers": (LAYERS, ANY), "rope_on_drum": (200.0, (*POSITIVE, 236.0))},
    "drum.whole_wraps": {"drum_layers": (LAYERS, ANY), "rope_on_drum": (200.0, (*POSITIVE, 236.0))},
    "drum.rope_at": {"drum_layers": (LAYERS, ANY), "layer": (2, (0, 6)), "wrap": (3.0, (-0.1, 30.1, NAN))},
    "drum.dead_rope": {"drum_layers": (LAYERS, ANY), "dead_wraps": (3, (-1, 31)), "surface": ("smooth", ANY)},
    "drum.line_pull": {
        "rated_line_pull": (1e5, POSITIVE),
        "drum_layers": (LAYERS, ANY),
        "rated_layer": (1, (0, 6)),
        "layer": (5, (0, 6)),
    },
    "drum.line_speed": {
        "rated_line_speed": (2.0, POSITIVE),
        "drum_layers": (LAYERS, ANY),
        "rated_layer": (1, (0, 6)),
        "layer": (5, (0, 6)),
    },
    "drum.outside_diameter": {
        "drum_layers": (LAYERS, ANY),
        "rope_diameter": (0.02, POSITIVE),
        "freeboard": (0.03, NOT_NEGATIVE),
    },
    "rope.minimum_breaking_force": {**ROPE, "grade": (1770e6, (1369e6, 2361e6, NAN))},
    "rope.core": {"construction": ("6x7 FC", ANY)},
    "rope.stretch": {
        "tension": (50e3, NOT_NEGATIVE),
        "length": (100.0, NOT_NEGATIVE),
        "modulus": (97e9, POSITIVE),
        "area": (184e-6, POSITIVE),
    },
    "rope.sag": {"weight_across": (10.0, NOT_NEGATIVE), "length": (60.0, NOT_NEGATIVE), "tension": (2000.0, POSITIVE)},
    "rope.mass_per_length": ROPE,
    "rope.metallic_area": ROPE,
    "drum.longest_rope": {
        **DRUM,
        "wraps_odd_layers": (30, (0,)),
        "wraps_even_layers": (30, (0,)),
        "flange_diameter": (0.6, POSITIVE),
        "freeboard": (0.0, NOT_NEGATIVE),
    },
    "drum.handbook_rope": {
        "groove_root_diameter": (0.4, POSITIVE),
        "rope_depth": (0.1, POSITIVE),
        "drum_width": (0.6, POSITIVE),
        "rope_diameter": (0.02, POSITIVE),
    },
    "drum.axial_play": {"wraps": (36, (0,)), "groove_pitch": (0.0271, POSITIVE), "rope_diameter": (0.0257, POSITIVE)},
    "drum.freeboard": {
        "flange_diameter": (0.66, POSITIVE),
        **DRUM,
        "wraps_odd_layers": (30, (0,)),
        "wraps_even_layers": (30, (0,)),
        "rope_length": (235.6, POSITIVE),
    },
    "drum.fleet_angle": {"half_width": (0.3, POSITIVE), "distance": (10.0, POSITIVE)},
    "drum.crossover_shift": {"cut": (0.5, NOT_NEGATIVE), "wrap_length": (2.0, POSITIVE)},
    "drum.off_the_crossovers": {"shift": (0.3, (-0.1, 1.1, NAN))},
    "rope.diameter_decrease": {
        "reference": (0.0206, POSITIVE),
        "measured": (0.02, POSITIVE),
        "diameter": (0.02, (0.0049, 0.101, NAN)),
    },
    "rope.diameter_at_decrease": {
        "reference": (0.0206, POSITIVE),
        "decrease": (0.05, NOT_NEGATIVE),
        "diameter": (0.02, (0.0049, 0.101, NAN)),
    },
    "rope.diameters_across": {"across": (0.4, POSITIVE), "diameter": (0.02, (0.0049, 0.101, NAN))},
    "rope.design_factor": {"breaking_force": (4e5, POSITIVE), "line_pull": (1e5, POSITIVE)},
    "rope.winding_tension_share": {"tension": (1e4, NOT_NEGATIVE), "breaking_force": (4e5, POSITIVE)},
    "boom.head_height": {**BOOM, "radius": (31.0, (0.9, 51.1, NAN)), "pivot_height": (2.0, ANY)},
    "boom.radius_at_height": {**BOOM, "height": (32.0, (1.9, 52.1, NAN)), "pivot_height": (2.0, ANY)},
    "boom.angle": {**BOOM, "radius": (31.0, (0.9, 51.1, NAN))},
    "boom.radius_at_angle": {**BOOM, "boom_angle": (1.0, (-0.1, 1.6, NAN))},
    "boom.arm_with_jib": JIB,
    "boom.jib_angle": JIB,
    "boom.deflection": {
        "boom_length": (50.0, POSITIVE),
        "deflection_share": (0.04, NOT_NEGATIVE),
        "capacity_use": (0.5, NOT_NEGATIVE),
    },
    "boom.rebound": {**BOOM, "radius": (31.0, (0.9, 51.1, NAN)), "growth": (0.4, NOT_NEGATIVE)},
    "boom.rope_between_falls": {"falls": (4, (0,)), "sheave_radius": (0.3, POSITIVE)},
    "boom.paid_out": {
        "drum_to_head": (50.0, ANY),
        "falls": (4, (0,)),
        "fall_length": (10.0, NOT_NEGATIVE),
        "between_falls": (3.0, ANY),
    },
    "reeving.fall_sums": {"falls": (4, (0,)), "factor": (0.98, POSITIVE)},
    "reeving.sheave_factor": {"efficiency": (0.98, (0.0, 1.01, NAN)), **DIRECTION},
    "reeving.lead_line_tension": {"block_weight": (20000.0, NOT_NEGATIVE), **FALLS, **DIRECTION},
    "reeving.drum_tension": {"lead_line": (6494.7, ANY), "rope_weight": (30.0, ANY), **HEAD},
    "reeving.mass_for_drum_tension": {"tension": (5054.7, ANY), **FALLS, **HEAD, **DIRECTION},
    "reeving.least_mass": {
        "minimum_share": (0.1, (0.0, 1.01, NAN)),
        "line_pull": (1e5, POSITIVE),
        "falls": (4, (0,)),
    },
    # a rope too short for the boom is told as a boom too long for the rope
    "reeving.falls_estimate": {"rope_length": (290.0, ANY), "boom_length": (27.0, (0.0, 290.0, NAN))},
    "reeving.falls_exact": {
        "usable_rope": (284.0, ANY),
        "drum_to_head": (64.0, ANY),
        "sheave_radius": (0.3, ANY),
        "head_height": (60.0, (5.0, NAN)),
        "low_hook": (3.0, ANY),
        "block_height": (2.0, ANY),
    },
    "reeving.relaxed_wraps": {
        "tension_laid": (17.0, POSITIVE),
        "tension_empty": (1.5, POSITIVE),
        "friction": (0.1, POSITIVE),
    },
    "reeving.held_tension": {
        "tension_empty": (1.0, ANY),
        "friction": (0.1, POSITIVE),
        "wraps": (3.0, NOT_NEGATIVE),
    },
    "reeving.block_mass_to_overhaul": {"drag": (250.0, NOT_NEGATIVE), **FALLS, **HEAD},
    "capacity.read": {
        "rows": (ROWS, ANY),
        "radius": (10.0, ANY),
        "gross_load": (3000.0, NOT_NEGATIVE),
        "growth_at_full_use": (1.0, NOT_NEGATIVE),
    },
    "capacity.read_between": {
        "longer": (ROWS, ANY),
        "shorter": (ROWS, ANY),
        "radius": (10.0, ANY),
        "gross_load": (3000.0, NOT_NEGATIVE),
        "growth_at_full_use": (1.0, NOT_NEGATIVE),
        "telescoping_load": (5000.0, ANY),
    },
    "capacity.largest_load": {
        "rows": (ROWS, ANY),
        "radius": (10.0, ANY),
        "growth_at_full_use": (1.0, NOT_NEGATIVE),
    },
    "ledger.held": {"stack": (STACK, ANY)},
    "ledger.parted": {"stack": (STACK, ANY), "place": (40.0, (-1.0, 50.1, NAN))},
    "ledger.smaller": {"stack": (STACK, ANY), "other": (STACK, ANY)},
    "ledger.pay_out": {"stack": (STACK, ANY), "length": (10.0, (-1.0, 50.1, NAN))},
    "ledger.wind_in": {
        "stack": (STACK, ANY),
        "length": (10.0, NOT_NEGATIVE),
        "first": (900.0, ANY),
        "last": (500.0, ANY),
        "cause": ("load", ANY),
    },
    "ledger.set_down": {
        "stack": (STACK, ANY),
        "drum_layers": (LAYERS, ANY),
        "tension_empty": (1500.0, POSITIVE),
        "friction": (0.1, POSITIVE),
    },
    "ledger.stretches": {"stack": (STACK, ANY), "limit": (1000.0, ANY)},
    "ledger.between": {"stack": (STACK, ANY), "start": (1.0, ANY), "end": (2.0, ANY)},
}
MODULES = sorted({name.partition(".")[0] for name in CALLS})
OUT_OF_RANGE = [
    pytest.param(name, parameter, value, id=f"{name} {parameter}={value}")
    for name, parameters in CALLS.items()
    for parameter, (_, values) in parameters.items()
    for value in values
]


def _function(name: str) -> Any:
    module, _, function = name.partition(".")
    return getattr(module_of(module), function)


def _sound(name: str) -> dict[str, Any]:
    return {parameter: value for parameter, (value, _) in CALLS[name].items()}


def test_every_formula_and_every_parameter_is_here() -> None:
    for module in MODULES:
        here = module_of(module)
        for name, value in vars(here).items():
            function = inspect.unwrap(value) if callable(value) else None
            if name.startswith("_") or not inspect.isfunction(function) or function.__module__ != here.__name__:
                continue
            listed = CALLS.get(f"{module}.{name}", {})
            assert set(inspect.signature(function).parameters) == set(listed), f"{module}.{name}"


@pytest.mark.parametrize("name", CALLS)
def test_the_sound_call_is_answered(name: str) -> None:
    _function(name)(**_sound(name))


@pytest.mark.parametrize(("name", "parameter", "value"), OUT_OF_RANGE)
def test_out_of_range_is_refused(name: str, parameter: str, value: Any) -> None:
    """The message names the parameter, the value it has and what it may be."""
    with pytest.raises(ValueError, match=rf"\b{parameter} is .*; .{{8,}}") as caught:
        _function(name)(**{**_sound(name), parameter: value})
    message = str(caught.value)
    assert any(said in message for said in (str(value), f"{value:g}" if isinstance(value, float) else repr(value)))


# On the limit itself a formula answers; the answers are worked out by hand from the sound calls above.
UPRIGHT, LEVEL = 1.0, 51.0  # radii of the boom of 50 m with its pivot 1 m forward and 2 m up
LONGER = ((9.0, 9000.0), (10.0, 8000.0))
SHORTER = ((8.0, 6000.0), (9.5, 5500.0), (10.0, 5000.0), (11.0, 4500.0))
BETWEEN = {"longer": LONGER, "shorter": SHORTER, "radius": 9.0, "gross_load": 4000.0, "growth_at_full_use": 1.25}
ONE_FALL = {"tension": 980.665, "rope_weight": 0.0, "falls": 1, "efficiency": 0.5}  # 100 kg less half at each sheave
UNEVEN = drum.layers(0.4, 0.02, 1.0, 30, 29, 100.0)
ON_THE_LIMIT: list[tuple[str, dict[str, Any], Any]] = [
    ("boom.head_height", {"radius": UPRIGHT}, 52.0),
    ("boom.head_height", {"radius": LEVEL}, 2.0),
    ("boom.radius_at_height", {"height": 52.0}, UPRIGHT),
    ("boom.radius_at_height", {"height": 2.0}, LEVEL),
    ("boom.angle", {"radius": UPRIGHT}, math.pi / 2),
    ("boom.angle", {"radius": LEVEL}, 0.0),
    ("boom.radius_at_angle", {"boom_angle": math.pi / 2}, UPRIGHT),
    ("boom.radius_at_angle", {"boom_angle": 0.0}, LEVEL),
    ("boom.arm_with_jib", {"offset": 0.0}, 70.0),
    ("boom.arm_with_jib", {"offset": math.pi / 2}, 50.0),  # 30-40-50
    ("boom.jib_angle", {"offset": 0.0}, 0.0),
    ("boom.jib_angle", {"offset": math.pi / 2}, math.asin(0.6)),
    ("boom.deflection", {"deflection_share": 0.0}, 0.0),
    ("boom.deflection", {"capacity_use": 0.0}, 0.0),
    ("boom.rebound", {"growth": 0.0}, 0.0),
    ("boom.rebound", {"radius": UPRIGHT, "growth": 30.0}, 10.0),  # 50 - sqrt(50^2 - 30^2)
    ("boom.rebound", {"growth": 20.0}, 40.0),  # from a reach of 30 m down to level
    ("boom.rebound", {"growth": 90.0}, 40.0),  # a boom that would bend below level lies level
    ("boom.rope_between_falls", {"falls": 1}, 0.0),
    ("boom.paid_out", {"fall_length": 0.0}, 53.0),
    ("boom.paid_out", {"falls": 1, "fall_length": 0.5}, 53.5),
    # 8 t at 10 m, 6 t at 12 m
    ("capacity.read", {"gross_load": 0.0}, (0, 8000.0, 0.0)),
    ("capacity.read", {"gross_load": 0.5, "growth_at_full_use": 0.0}, (0, 8000.0, 0.5 / 8000)),
    ("capacity.read", {"gross_load": 8000.0, "growth_at_full_use": 0.0}, (0, 8000.0, 1.0)),
    ("capacity.read", {"gross_load": 8000.5, "growth_at_full_use": 0.0}, None),
    ("capacity.read", {"radius": 11.5}, (1, 6000.0, 0.5)),  # 11.5 + 1*3000/6000 = 12
    ("capacity.read", {"radius": 11.6}, None),
    ("capacity.read", {"radius": 9.9}, None),
    ("capacity.largest_load", {"radius": 9.9}, 0.0),
    ("capacity.largest_load", {"radius": 10.0, "growth_at_full_use": 0.0}, 8000.0),
    ("capacity.largest_load", {"radius": 12.0}, 0.0),  # any load takes the hook beyond the last row
    ("capacity.largest_load", {"radius": 12.1, "growth_at_full_use": 0.0}, 0.0),
    ("capacity.largest_load", {"radius": 11.5, "growth_at_full_use": 2.0}, 1500.0),  # (12 - 11.5)/2 of 6000
    # longer boom: 9 m + 1.25*4000/8000 is within 10 m; shorter: 9 m + 1.25*4000/5000 = 10 m, its row just counts
    ("capacity.read_between", {**BETWEEN, "telescoping_load": 9000.0}, (1, 5000.0, 0.8)),
    ("capacity.read_between", {**BETWEEN, "telescoping_load": 4000.0}, (1, 4000.0, 1.0)),
    ("capacity.read_between", {**BETWEEN, "telescoping_load": 3999.0}, None),
    # the shorter boom's chart begins just at the radius, or further out
    (
        "capacity.read_between",
        {"longer": LONGER, "shorter": ((9.0, 4000.0),), "radius": 9.0, "growth_at_full_use": 0.0},
        (0, 4000.0, 0.75),
    ),
    (
        "capacity.read_between",
        {"longer": LONGER, "shorter": ((9.1, 4000.0),), "radius": 9.0, "growth_at_full_use": 0.0},
        (0, 5000.0, 0.6),
    ),
    # a barrel of 0.4 m with 30 wraps of 20 mm a layer: 0.42, 0.46, 0.50, 0.54, 0.58 m to the middle of the rope
    ("drum.layer_diameter", {"layer": 1}, 0.42),
    ("drum.layer_diameter", {"layer": 2, "rise_ratio": 0.5}, 0.44),
    ("drum.layers", {"rope_length": math.pi * 0.42 * 30}, ((1, 30, 0.42, math.pi * 0.42, math.pi * 12.6),)),
    (
        "drum.layers",
        {"rope_length": math.pi * 1.3, "wraps_odd_layers": 2, "wraps_even_layers": 1},
        ((1, 2, 0.42, math.pi * 0.42, math.pi * 0.84), (2, 1, 0.46, math.pi * 0.46, math.pi * 1.3)),
    ),
    ("drum.layers", {"rope_length": 0.5, "wraps_odd_layers": 1}, ((1, 1, 0.42, math.pi * 0.42, math.pi * 0.42),)),
    ("drum.position", {"rope_on_drum": math.pi * 30 * 2.5}, (5, 30.0)),
    ("drum.position", {"rope_on_drum": math.pi * 30 * 0.88}, (2, 30.0)),
    ("drum.position", {"rope_on_drum": math.pi * 0.21}, (1, 0.5)),
    ("drum.rope_at", {"layer": 1, "wrap": 0.0}, 0.0),
    ("drum.rope_at", {"layer": 2, "wrap": 0.0}, math.pi * 12.6),
    ("drum.rope_at", {"layer": 5, "wrap": 30.0}, math.pi * 30 * 2.5),
    ("drum.dead_rope", {"dead_wraps": 0, "surface": "parallel-grooved"}, 0.0),
    ("drum.dead_rope", {"dead_wraps": 30, "surface": "helical-grooved"}, math.pi * 12.6),
    ("drum.dead_rope", {"dead_wraps": 3}, math.pi * 12.6),  # the whole first layer of a smooth drum
    ("drum.line_pull", {"rated_layer": 5, "layer": 1}, 1e5),
    ("drum.line_pull", {"rated_layer": 1, "layer": 5}, 1e5 * 0.42 / 0.58),
    ("drum.line_pull", {"rated_line_pull": 0.5, "layer": 1}, 0.5),
    ("drum.line_speed", {"rated_layer": 5, "layer": 1}, 2.0 * 0.42 / 0.58),
    ("drum.line_speed", {"rated_line_speed": 0.5, "layer": 1}, 0.5),
    ("drum.outside_diameter", {"freeboard": 0.0}, 0.6),
    ("drum.outside_diameter", {"freeboard": 0.5}, 1.6),
    ("drum.longest_rope", {"flange_diameter": 0.599}, math.pi * 30 * 1.92),
    ("drum.longest_rope", {"flange_diameter": 0.44}, math.pi * 12.6),
    ("drum.longest_rope", {"flange_diameter": 0.43}, 0.0),
    ("drum.longest_rope", {"freeboard": 0.02}, math.pi * 30 * 1.92),
    ("drum.axial_play", {"wraps": 1, "groove_pitch": 0.5, "rope_diameter": 0.25}, 1.0),
    ("drum.axial_play", {"wraps": 20, "groove_pitch": 0.02, "rope_diameter": 0.02}, 0.0),
    ("drum.freeboard", {}, 0.03),  # 0.58 m to the middle of the rope of layer 5
    ("drum.freeboard", {"flange_diameter": 0.6}, 0.0),
    ("drum.freeboard", {"flange_diameter": 0.5}, -0.05),
    ("drum.fleet_angle", {"half_width": 0.5, "distance": 0.5}, math.pi / 4),
    ("drum.crossover_shift", {"cut": 0.0}, 0.0),
    ("drum.crossover_shift", {"cut": 4.5}, 0.25),
    ("drum.crossover_shift", {"cut": 0.2, "wrap_length": 0.5}, 0.4),
    ("drum.off_the_crossovers", {"shift": 0.0}, 0.0),
    ("drum.off_the_crossovers", {"shift": 1.0}, 0.0),
    ("drum.off_the_crossovers", {"shift": 0.3}, 0.2),
    ("drum.off_the_crossovers", {"shift": 0.7}, 0.2),
    # two falls, e = 0.5: the second pulls half, its rope counts half; the third (1 + 1/8)/(1 + 1/2) = 3/4
    ("reeving.fall_sums", {"falls": 1}, (1.0, 1.0)),
    ("reeving.fall_sums", {"falls": 2, "factor": 0.5}, (1.5, 1.5)),
    ("reeving.fall_sums", {"falls": 3, "factor": 0.5}, (1.75, 2.25)),
    ("reeving.fall_sums", {"falls": 3, "factor": 1.0}, (3.0, 3.0)),
    ("reeving.sheave_factor", {"efficiency": 1.0}, 1.0),
    ("reeving.sheave_factor", {"efficiency": 0.5, "direction": reeving.STANDING}, 1.0),
    ("reeving.sheave_factor", {"efficiency": 0.5, "direction": reeving.PAYING_OUT}, 2.0),
    ("reeving.lead_line_tension", {"block_weight": 0.0, "rope_weight": 0.0}, 0.0),
    ("reeving.lead_line_tension", {"block_weight": 0.5, "rope_weight": 0.0, "falls": 1, "efficiency": 0.5}, 1.0),
    ("reeving.lead_line_tension", {"fall_length": 0.0, "direction": reeving.STANDING}, 5000.0),
    ("reeving.lead_line_tension", {"direction": reeving.STANDING, "sheaves_to_drum": 3}, 6200.0),  # (20000 + 30*40*4)/4
    ("reeving.lead_line_tension", {"rope_weight": 0.5, "direction": reeving.STANDING}, 5020.0),
    ("reeving.mass_for_drum_tension", {"direction": reeving.STANDING}, (6494.7 * 4 - 4800) / 9.80665),
    ("reeving.mass_for_drum_tension", {"tension": 0.0, "head_height": 2.0}, 0.0),  # the rope in the falls pulls enough
    ("reeving.mass_for_drum_tension", {"tension": 980.665, "rope_weight": 0.0, "falls": 1, "efficiency": 1.0}, 100.0),
    ("reeving.mass_for_drum_tension", ONE_FALL, 50.0),
    ("reeving.mass_for_drum_tension", {**ONE_FALL, "sheaves_to_drum": 2}, 25.0),
    ("reeving.least_mass", {"minimum_share": 1.0, "line_pull": 9.80665, "falls": 1}, 1.0),
    ("reeving.least_mass", {"line_pull": 0.980665, "falls": 1}, 0.01),
    ("reeving.falls_estimate", {"rope_length": 81.0}, 2),
    ("reeving.falls_estimate", {"rope_length": 81.1}, 3),
    ("reeving.falls_estimate", {"rope_length": 27.1}, 1),
    ("reeving.falls_estimate", {"rope_length": 2.0, "boom_length": 0.5}, 3),
    ("reeving.falls_exact", {"sheave_radius": 0.0, "head_height": 5.5}, 440.0),  # (284 - 64)/0.5
    ("reeving.falls_exact", {"sheave_radius": 1 / math.pi}, 221.0 / 56.0),
    ("reeving.relaxed_wraps", {"tension_laid": 0.5, "tension_empty": 0.5}, 0.0),
    ("reeving.relaxed_wraps", {"tension_laid": 1.0}, 0.0),
    ("reeving.relaxed_wraps", {"tension_laid": 1.5 * math.e, "friction": 0.5 / math.pi}, 1.0),
    ("reeving.held_tension", {"wraps": 0.0}, 1.0),
    ("reeving.held_tension", {"wraps": 0.5, "friction": 1 / math.pi}, math.e),
    ("reeving.block_mass_to_overhaul", {"drag": 0.0, "rope_weight": 0.0}, 0.0),
    ("reeving.block_mass_to_overhaul", {"drag": 98.0665, "rope_weight": 0.0, "falls": 1, "efficiency": 0.5}, 20.0),
    # the tables end at 5 and 100 mm; 6x7 FC: F = 0.332 d2 R, m = 0.345 d2 kg per 100 m, A = 0.369 d2
    ("rope.minimum_breaking_force", {"diameter": 0.005, "grade": 1370e6}, 0.332 * 25 * 1370),
    ("rope.minimum_breaking_force", {"diameter": 0.100, "grade": 2360e6}, 0.332 * 10000 * 2360),
    ("rope.mass_per_length", {"diameter": 0.005}, 0.345 * 0.25),
    ("rope.mass_per_length", {"diameter": 0.100}, 34.5),
    ("rope.metallic_area", {"diameter": 0.005}, 0.369 * 25e-6),
    ("rope.metallic_area", {"diameter": 0.100}, 0.369 * 0.01),
    ("rope.stretch", {"tension": 0.0}, 0.0),
    ("rope.stretch", {"length": 0.0}, 0.0),
    ("rope.stretch", {"tension": 2.0, "length": 3.0, "modulus": 0.5, "area": 0.25}, 48.0),
    ("rope.sag", {"weight_across": 0.0}, 0.0),
    ("rope.sag", {"length": 0.0}, 0.0),
    ("rope.sag", {"weight_across": 4.0, "length": 3.0, "tension": 0.5}, 72.0),  # 16*27/(24/4)
    ("rope.design_factor", {"breaking_force": 0.5, "line_pull": 0.25}, 2.0),
    ("rope.winding_tension_share", {"tension": 0.0}, 0.0),
    ("rope.winding_tension_share", {"tension": 0.01, "breaking_force": 0.5}, 0.02),
    ("rope.diameter_decrease", {"reference": 0.1, "measured": 0.09, "diameter": 0.100}, 0.1),
    ("rope.diameter_decrease", {"reference": 0.005, "measured": 0.005, "diameter": 0.005}, 0.0),
    ("rope.diameter_at_decrease", {"decrease": 0.0}, 0.0206),
    ("rope.diameter_at_decrease", {"reference": 0.1, "decrease": 0.1, "diameter": 0.100}, 0.09),
    ("rope.diameter_at_decrease", {"reference": 0.005, "decrease": 0.2, "diameter": 0.005}, 0.004),
    ("rope.diameters_across", {"across": 0.4, "diameter": 0.005}, 80.0),
    ("rope.diameters_across", {"across": 1.8, "diameter": 0.100}, 18.0),
]


@pytest.mark.parametrize(("name", "changed", "answer"), ON_THE_LIMIT)
def test_the_limit_itself_is_answered(name: str, changed: dict[str, Any], answer: Any) -> None:
    got = _function(name)(**{**_sound(name), **changed})
    assert got is None if answer is None else _flat(got) == pytest.approx(_flat(answer), rel=1e-9, abs=1e-9)


def _flat(value: Any) -> list[float]:
    """The numbers of an answer, whether it is one, several or a row of layers."""
    parts = dataclasses.astuple(value) if dataclasses.is_dataclass(value) and not isinstance(value, type) else value
    return [n for part in parts for n in _flat(part)] if isinstance(parts, tuple) else [parts]


@pytest.mark.parametrize(
    ("name", "changed", "message"),
    [
        ("boom.head_height", {"radius": 51.5}, "radius is 51.5; this boom reaches radii from 1.0 to 51.0"),
        ("boom.radius_at_height", {"height": 53.0}, "height is 53.0; this boom's head stands from 2.0 to 52.0"),
        ("drum.position", {"rope_on_drum": 236.0}, "rope_on_drum is 236.0; these layers hold 235.61944901923448"),
        ("drum.rope_at", {"wrap": 30.5}, "wrap is 30.5; layer 2 holds 0 to 30"),
        ("drum.rope_at", {"drum_layers": UNEVEN, "wrap": 29.5}, "wrap is 29.5; layer 2 holds 0 to 29"),
        ("drum.dead_rope", {"dead_wraps": 31}, "dead_wraps is 31; layer 1 holds 0 to 30"),
    ],
)
def test_the_message_says_how_far_it_goes(name: str, changed: dict[str, Any], message: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        _function(name)(**{**_sound(name), **changed})
