"""The fleet at a glance: each crane as it is rigged, what is due, its weakest plan; what needs doing first, first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from calc.checks import review
from calc.data import look_up
from calc.data.model import Case, Data, Machine
from calc.drum_log import state
from calc.inspection import fitness
from calc.rounding import rounded
from calc.winding import plan_data
from calc.winding.plan_data import best_method

SCHEMA_VERSION = 1

Plans = Iterable[tuple[Case, Mapping[str, Any]]]

# What needs doing, the most urgent first.
TO_DO = (
    "rope-limit",
    "pre-tension",
    "no-log",
    "not-ready",
    "inspection-overdue",
    "review-overdue",
    "findings-open",
    "nothing",
)
LIMIT_REACHED = ("met", "verify")


def fleet(data: Data, day: str, watched: Callable[[list[Machine]], Iterable[Machine]] = iter) -> dict[str, Any]:
    """Every crane of the `data` on a `day`, as plain data, what needs doing first, first; `watched` sees them go by.

    Returns: dict that validates against rules/schema/fleet.schema.json.  Errors: none.
    Rules: as `state.state`, `fitness.fitness` and `review.review`.
    """
    cranes = []
    for machine in watched([*data.at(day).machines.values()]):
        cases = [
            look_up.case(data, machine.id, chart.slug, configuration.id, day)
            for configuration in machine.configurations
            for chart in configuration.charts
        ]
        plans = [(case, plan_data.plan(case)) for case in cases]
        rope = fitness.fitness(data, machine.id, day)
        cranes.append(crane(data, machine, day, plans, _state(data, machine.id, day), rope))
    return listed(cranes, day)


def listed(cranes: Iterable[dict[str, Any]], day: str) -> dict[str, Any]:
    """The `cranes`, each as `crane` gives it, as the fleet of a `day`: what needs doing first, first."""
    return {"schema": SCHEMA_VERSION, "day": day, "cranes": sorted(cranes, key=place)}


def place(row: Mapping[str, Any]) -> tuple[Any, ...]:
    """Place of a `row` among those of the fleet: the most urgent first, of drums that are due the deepest."""
    deepest = row["depth"]["rope_m"] if row["depth"] else 0.0
    return TO_DO.index(row["to_do"][0]), deepest, row["machine"]


def _state(data: Data, id: str, day: str) -> dict[str, Any] | None:
    try:
        return state.state(data, id, day)
    except look_up.Unknown:
        return None


def crane(
    data: Data,
    machine: Machine,
    day: str,
    plans: Plans,
    drum: Mapping[str, Any] | None,
    rope: Mapping[str, Any],
) -> dict[str, Any]:
    """One crane of the fleet.

    Parameters
    ----------
    data, machine, day : everything read, one of its machines, the day
    plans : every case of it with its plan
    drum : the state of its drum; None without a log up to the day
    rope : the fitness of its rope

    Returns: a row of `fleet`, numbers to 1e-6.  Errors: none.
    """
    rigged = drum and drum["as_rigged"]
    reviewed = review.review(data, machine, day)
    out: dict[str, Any] = {
        "machine": machine.id,
        "name": machine.name,
        "status": machine.status,
        "boom": drum and drum["boom"],
        "configuration": drum and drum["configuration"],
        "falls": drum and drum["falls"],
        "ready": rigged and rigged["ready"],
        "loose_m": rigged and rigged["loose_m"],
        "firm": drum and drum["firm"],
        "depth": drum and drum["depth"],
        "pre_tensioning_due": drum and drum["due"],
        "plan": drum
        and drum["plan"]
        and {name: drum["plan"][name] for name in ("boom", "configuration", "falls", "method", "passes", "minutes")},
        "last_entry": drum and drum["log"][-1]["day"],
        "rope": rope["outcome"],
        "inspections": [{name: one[name] for name in ("kind", "next", "overdue")} for one in rope["due"]],
        "review": reviewed and {"due": reviewed.due, "overdue": reviewed.overdue},
        "open_findings": sum(finding.answer is None for finding in machine.findings),
        "weakest_plan": _weakest(plans),
    }
    out["to_do"] = _to_do(out)
    done: dict[str, Any] = rounded(out)
    return done


def _to_do(row: Mapping[str, Any]) -> list[str]:
    """What needs doing on a crane, the most urgent first."""
    found = {
        "rope-limit": row["rope"] in LIMIT_REACHED,
        "pre-tension": row["pre_tensioning_due"],
        "no-log": row["last_entry"] is None,
        "not-ready": row["ready"] is False and not row["pre_tensioning_due"],
        "inspection-overdue": any(one["overdue"] for one in row["inspections"]),
        "review-overdue": row["review"] and row["review"]["overdue"],
        "findings-open": row["open_findings"],
    }
    return [code for code in TO_DO if found.get(code)] or ["nothing"]


def _weakest(plans: Plans) -> dict[str, Any] | None:
    """The plan that makes least of the rope firm, or that is refused, and what would help it most quickly."""
    found: list[tuple[float, int, Case, Mapping[str, Any], float | None]] = []
    for case, plan in plans:
        best = best_method(plan)
        share = best["passes"][-1]["firm_share"] if best else None
        found.append((-1.0 if share is None else share, len(found), case, plan, share))
    if not found:
        return None
    *_, case, plan, share = min(found)
    helping = plan["what_would_help"]
    return {
        "boom": case.chart.slug,
        "configuration": case.configuration.id,
        "firm_share": share,
        "help": helping[0] if helping else None,
    }
