"""Plans to compare: of a whole data folder, or one of every machine in it.

May import: numpy, `calc`; the only module of the comparison that does.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from calc.checks import loader
from calc.data import look_up
from calc.data.model import Case
from calc.winding import plan_data
from calc.winding.plan_fields import Plan

OF_MUTANTS = (  # plans of the fleet that tests/mutants.py holds a changed planner against
    "avocet-60ft-full-counterweight",
    "bittern-54m-full-counterweight",
    "curlew-87m-reduced-counterweight",
    "dunlin-29m-full-outriggers",
    "heron-13m-full-outriggers",
    "heron-41m-full-outriggers",
)


def cases(folder: Path, day: str) -> Iterator[Case]:
    """Every machine, configuration and boom length of a data folder."""
    data = loader.load(folder)
    for machine in data.machines.values():
        for configuration in machine.configurations:
            for chart in configuration.charts:
                yield look_up.case(data, machine.id, chart.slug, configuration.id, day)


def named(case: Case) -> str:
    return f"{case.machine.id}-{case.chart.slug}-{case.configuration.id}"


def of_case(case: Case) -> Plan:
    return plan_data.plan(case)


def of_every_boom(folder: Path, day: str) -> Iterator[Plan]:
    """Every plan of a data folder."""
    return map(of_case, cases(folder, day))


def one_of_each_machine(folder: Path, day: str, seed: int) -> Iterator[Plan]:
    """One plan of every machine of a data folder, its configuration and boom length drawn from the seed; every fifth
    one with some rope known to lie firm."""
    data = loader.load(folder)
    rng = np.random.default_rng(seed)
    for number, machine in enumerate(data.machines.values()):
        configuration = machine.configurations[rng.integers(len(machine.configurations))]
        chart = configuration.charts[rng.integers(len(configuration.charts))]
        case = look_up.case(data, machine.id, chart.slug, configuration.id, day)
        firm_below = machine.rope.length * rng.uniform(0.02, 0.4) if number % 5 == 4 else 0.0
        yield plan_data.plan(replace(case, firm_below=firm_below))
