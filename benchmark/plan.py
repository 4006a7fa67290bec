"""One full plan - every number of falls, both methods, all passes, heavier loads - as it is and with units carried."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchmark import naive
from calc.checks import loader
from calc.data import look_up
from calc.winding import plan_data

ROOT = Path(__file__).resolve().parent.parent
PLANS = (("heron", "41m"), ("bittern", "54m"), ("dunlin", "29m"))
DAY = "2026-12-01"
AGREE = 1e-9  # of a number; the sums are rounded in another order where a unit is converted


@dataclass(frozen=True)
class Measured:
    """One plan: seconds of the processor, as it is and with units; numbers compared, largest relative difference."""

    name: str
    seconds: float
    naive: float
    formulas: int
    numbers: int
    difference: float


def measure(repeat: int = 15) -> list[Measured]:
    """Every plan of PLANS, the least of several times."""
    data = loader.load(ROOT / "rules")
    found = []
    for machine, boom in PLANS:

        def plan(machine: str = machine, boom: str = boom) -> Any:
            return plan_data.plan(look_up.case(data, machine, boom, None, DAY))

        fast = plan()
        seconds = min(_timed(plan) for _ in range(repeat))
        with naive.with_units() as formulas:
            slow = plan()
            with_units = min(_timed(plan) for _ in range(2))
        differences = list(_differences(fast, slow))
        found.append(Measured(f"{machine} {boom}", seconds, with_units, formulas, len(differences), max(differences)))
    return found


def _timed(function: Callable[[], Any]) -> float:
    before = time.process_time()
    function()
    return time.process_time() - before


def _differences(one: Any, other: Any) -> list[float]:
    """The relative difference of every number of two plans; everything else must be equal."""
    if isinstance(one, dict):
        assert one.keys() == other.keys()
        return [value for name in one for value in _differences(one[name], other[name])]
    if isinstance(one, (list, tuple)):
        assert len(one) == len(other)
        return [value for a, b in zip(one, other, strict=True) for value in _differences(a, b)]
    if isinstance(one, float):
        return [abs(one - other) / max(1.0, abs(one))]
    assert one == other, (one, other)
    return [0.0] if isinstance(one, int) else []
