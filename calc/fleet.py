"""The fleet at a glance: each crane as it is rigged, what is due, its weakest plan; what needs doing first, first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final, get_args

from calc.checks import review
from calc.data import look_up
from calc.data.model import Case, Data, Machine
from calc.drum_log import state
from calc.drum_log.drum_fields import DrumState, PlanNamed
from calc.fleet_fields import Crane, CraneFound, Fleet, PlanInShort, ToDo, WeakestPlan
from calc.inspection import fitness
from calc.inspection.rope_fields import Fitness
from calc.rounding import rounded
from calc.winding import plan_data
from calc.winding.plan_data import best_method
from calc.winding.plan_fields import Plan

SCHEMA_VERSION: Final = 1

Plans = Iterable[tuple[Case, Plan]]

TO_DO: tuple[ToDo, ...] = get_args(ToDo)  # the most urgent first
LIMIT_REACHED = ("met", "verify")


def fleet(data: Data, day: str, watched: Callable[[list[Machine]], Iterable[Machine]] = iter) -> Fleet:
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


def listed(cranes: Iterable[Crane], day: str) -> Fleet:
    """The `cranes`, each as `crane` gives it, as the fleet of a `day`: what needs doing first, first."""
    return {"schema": SCHEMA_VERSION, "day": day, "cranes": sorted(cranes, key=place)}


def place(row: Crane) -> tuple[int, float, str]:
    """Place of a `row` among those of the fleet: the most urgent first, of drums that are due the deepest."""
    deepest = row["depth"]["rope_m"] if row["depth"] else 0.0
    return TO_DO.index(row["to_do"][0]), deepest, row["machine"]


def _state(data: Data, id: str, day: str) -> DrumState | None:
    try:
        return state.state(data, id, day)
    except look_up.Unknown:
        return None


def crane(
    data: Data,
    machine: Machine,
    day: str,
    plans: Plans,
    drum: DrumState | None,
    rope: Fitness,
) -> Crane:
    """One crane of the fleet.

    Parameters
    ----------
    data, machine, day : everything read, one of its machines, the day
    plans : every case of it with its plan
    drum : the state of its drum; None without a log up to the day
    rope : the fitness of its rope

    Returns: a row of `fleet`, numbers to 1e-6.  Errors: none.
    """
    rigged = drum["as_rigged"] if drum else None
    plan = drum["plan"] if drum else None
    reviewed = review.review(data, machine, day)
    found: CraneFound = {
        "machine": machine.id,
        "name": machine.name,
        "status": machine.status,
        "boom": drum["boom"] if drum else None,
        "configuration": drum["configuration"] if drum else None,
        "falls": drum["falls"] if drum else None,
        "ready": rigged["ready"] if rigged else None,
        "loose_m": rigged["loose_m"] if rigged else None,
        "firm": drum["firm"] if drum else None,
        "depth": drum["depth"] if drum else None,
        "pre_tensioning_due": drum["due"] if drum else None,
        "plan": _in_short(plan) if plan else None,
        "last_entry": drum["log"][-1]["day"] if drum else None,
        "rope": rope["outcome"],
        "inspections": [{"kind": one["kind"], "next": one["next"], "overdue": one["overdue"]} for one in rope["due"]],
        "review": {"due": reviewed.due, "overdue": reviewed.overdue} if reviewed else None,
        "open_findings": sum(finding.answer is None for finding in machine.findings),
        "weakest_plan": _weakest(plans),
    }
    out: Crane = {**found, "to_do": _to_do(found)}
    return rounded(out)


def _in_short(plan: PlanNamed) -> PlanInShort:
    return {
        "boom": plan["boom"],
        "configuration": plan["configuration"],
        "falls": plan["falls"],
        "method": plan["method"],
        "passes": plan["passes"],
        "minutes": plan["minutes"],
    }


def _to_do(row: CraneFound) -> list[ToDo]:
    """What needs doing on a crane, the most urgent first."""
    found: dict[ToDo, object] = {
        "rope-limit": row["rope"] in LIMIT_REACHED,
        "pre-tension": row["pre_tensioning_due"],
        "no-log": row["last_entry"] is None,
        "not-ready": row["ready"] is False and not row["pre_tensioning_due"],
        "inspection-overdue": any(one["overdue"] for one in row["inspections"]),
        "review-overdue": row["review"] and row["review"]["overdue"],
        "findings-open": row["open_findings"],
    }
    return [code for code in TO_DO if found.get(code)] or ["nothing"]


def _weakest(plans: Plans) -> WeakestPlan | None:
    """The plan that makes least of the rope firm, or that is refused, and what would help it most quickly."""
    found: list[tuple[float, int, Case, Plan, float | None]] = []
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
