"""What a formula cannot mean it refuses: ValueError with parameter, value and limits, for every parameter of each."""

from __future__ import annotations

import importlib
import inspect
import math
import pkgutil
import re
from typing import Any

import pytest

import calc
from calc import drum, ledger, reeving

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
    "rope.mass_per_length": ROPE,
    "rope.metallic_area": ROPE,
    "drum.longest_rope": {
        **DRUM,
        "wraps_odd_layers": (30, (0,)),
        "wraps_even_layers": (30, (0,)),
        "flange_diameter": (0.6, POSITIVE),
        "freeboard": (0.0, NOT_NEGATIVE),
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
    return getattr(importlib.import_module(f"calc.{module}"), function)


def _sound(name: str) -> dict[str, Any]:
    return {parameter: value for parameter, (value, _) in CALLS[name].items()}


def test_every_formula_and_every_parameter_is_here() -> None:
    for module in pkgutil.iter_modules(calc.__path__):
        if module.name not in MODULES:
            continue
        here = importlib.import_module(f"calc.{module.name}")
        for name, value in vars(here).items():
            function = inspect.unwrap(value) if callable(value) else None
            if name.startswith("_") or not inspect.isfunction(function) or function.__module__ != here.__name__:
                continue
            listed = CALLS.get(f"{module.name}.{name}", {})
            assert set(inspect.signature(function).parameters) == set(listed), f"{module.name}.{name}"


@pytest.mark.parametrize("name", CALLS)
def test_the_sound_call_is_answered(name: str) -> None:
    _function(name)(**_sound(name))


@pytest.mark.parametrize(("name", "parameter", "value"), OUT_OF_RANGE)
def test_out_of_range_is_refused(name: str, parameter: str, value: Any) -> None:
    """The message names the parameter, the value it has and what it may be."""
    with pytest.raises(ValueError) as caught:
        _function(name)(**{**_sound(name), parameter: value})
    message = str(caught.value)
    assert re.search(rf"\b{parameter} is .*; .{{8,}}", message), message
    assert any(said in message for said in (str(value), f"{value:g}" if isinstance(value, float) else repr(value)))
