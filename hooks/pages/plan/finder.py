"""The finder: which plans can be done with the weights at hand, as a table to look up on the phone.

Everything is worked out here, for round steps of weights; assets/finder.js only looks up and shows.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from calc import rounding
from calc.data.model import Machine
from hooks.computed import Planned
from hooks.pages.plan import said
from hooks.text.words import Words

Plan = Mapping[str, Any]
Both = list[str]  # a number in metric and in US units

ADDRESS = "assets/finder.json"
SERIES = (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8)  # times a power of ten: steps of a quarter or so
MORE = 1.5  # steps go on up to so many times the most weights a plan asks for
TOO_LITTLE, TOO_HEAVY = -1, -2  # answers of a plan that are no row of its table of heavier loads
ROUNDING = 1e-5  # [kg], what a plan is printed to and what adds up


def file(words: Words, cranes: Iterable[Mapping[str, Any]]) -> dict[str, str]:
    """The table of all cranes whose plans may be chosen from, each as `crane` makes it, by its address."""
    found = {"words": words.get("finder.script"), "cranes": [*cranes]}
    return {ADDRESS: json.dumps(found, ensure_ascii=False, separators=(",", ":")) + "\n"}


def crane(words: Words, machine: Machine, made: list[Planned]) -> dict[str, Any]:
    """One crane: steps of weights, boom lengths, and what each plan answers to each step."""
    wanted = [least_weights(one.plan) for one in made if one.best]
    weights = list(steps(min(wanted), MORE * max(wanted), machine.units)) if wanted else []
    booms: dict[str, Both] = {}
    for case, _ in sorted(made, key=_by_boom):
        booms[case.chart.slug] = list(rounding.boom_length(case.chart.boom_length))
    return {
        "name": machine.name,
        "weights": [step_text(kilograms, machine.units) for kilograms in weights],
        "booms": booms,
        "plans": [of_plan(words, one, weights) for one in sorted(made, key=_by_boom)],
    }


def _by_boom(planned: Planned) -> float:
    return planned.case.chart.boom_length


def steps(least: float, most: float, units: str) -> Iterator[float]:
    """Round masses from the last one not above `least` to the first one not below `most` [kg], round in the `units` of
    the data.

    >>> list(steps(6000.0, 13000.0, "metric"))
    [6000.0, 8000.0, 10000.0, 12000.0, 15000.0]
    >>> [round(step / rounding.KILOGRAMS_PER_POUND) for step in steps(2800.0, 3700.0, "us")]
    [6000, 8000, 10000]
    """
    unit = rounding.KILOGRAMS_PER_POUND if units == "us" else 1.0
    every = [digit * 10.0**exponent * unit for exponent in range(1, 7) for digit in SERIES]
    first = max(at for at, step in enumerate(every) if step <= least + ROUNDING)
    for step in every[first:]:
        yield step
        if step >= most - ROUNDING:
            return


def step_text(kilograms: float, units: str) -> Both:
    """A step in both unit systems: as it is in the `units` of the data, up in the other, so that nobody who has what it
    says has less."""
    other = rounding.mass(kilograms, "up")
    if units == "us":
        return [other.metric, f"{kilograms / rounding.KILOGRAMS_PER_POUND:,.0f} lb"]
    return [f"{kilograms / 1000:g} t", other.us]


def of_plan(words: Words, planned: Planned, weights: list[float]) -> dict[str, Any]:
    """One plan: its numbers as its page shows them, its heavier loads, and for each step of weights the row of the
    heavier load that answers it, or why there is none."""
    case, plan = planned
    found: dict[str, Any] = {
        "boom": case.chart.slug,
        "configuration": case.configuration.name,
        "page": planned.address,
    }
    best = planned.best
    if best is None:
        refused = plan["refused"]
        assert refused is not None, "a plan without a method says why"
        return found | {"refused": words.get(f"refusals.{refused['code']}.title")}
    load = plan["load"]
    assert load is not None, "a method that works hangs a load"
    hung = load["planned_kg"] - load["net_kg"]  # what hangs beside the weights
    assert best["longest_sling_m"] is not None and best["minutes"] is not None, "and takes its time"
    rows = [row["load_kg"] - hung for row in plan["heavier_loads"]]
    return found | {
        "falls": plan["falls"]["used"],
        "load": list(rounding.mass(load["planned_kg"], "up")),
        "net": list(rounding.mass(load["net_kg"], "up")),
        # from which step on all that is planned is at hand
        "planned": sum(kilograms < load["net_kg"] - ROUNDING for kilograms in weights),
        "least": list(rounding.mass(least_weights(plan), "up")),
        "slings": list(rounding.length(best["longest_sling_m"], "near")),
        "firm": list(rounding.rope(best["passes"][-1]["firm_rope_m"], "down")),
        "share": rounding.share(best["passes"][-1]["firm_share"], "down"),
        "minutes": rounding.whole_minutes(best["minutes"]),
        "method": words.get(f"methods.{best['name']}"),
        "heavier": [heavier(plan, row) for row in plan["heavier_loads"]],
        "answers": [answer(kilograms, least_weights(plan), rows) for kilograms in weights],
    }


def heavier(plan: Plan, row: Mapping[str, Any]) -> list[Both]:
    """How far a heavier load goes, and what is firm when it is landed there."""
    radius = rounding.length(said.listed(plan, row["furthest_radius_m"]), "down")
    return [list(radius), list(rounding.rope(row["firm_rope_m"], "down"))]


def least_weights(plan: Plan) -> float:
    """Least mass of the weights alone with which the moves of a plan hold, on the slings of its first pass [kg]."""
    load = plan["load"]
    return float(min(load["net_kg"], load["band_kg"][0] - load["slings_kg"]))


def answer(at_hand: float, least: float, rows: list[float]) -> int:
    """The row of the heavier loads for all weights at hand hung at once: the next one not lighter, 0 the planned load;
    TOO_LITTLE under the `least` weights for which the moves hold, TOO_HEAVY over the last row.

    >>> answer(5.0, 6.0, [6.0, 10.0]), answer(6.0, 6.0, [6.0, 10.0]), answer(7.0, 6.0, [6.0, 10.0])
    (-1, 0, 1)
    >>> answer(11.0, 6.0, [6.0, 10.0])
    -2
    """
    if at_hand < least - ROUNDING:
        return TOO_LITTLE
    return next((at for at, row in enumerate(rows) if row >= at_hand - ROUNDING), TOO_HEAVY)
