"""Heavy lifts of a crane as a page: for every boom length and load the falls, the pull in the rope, the hook speed and
the bed the lift lies on, as the log of the rope left it.

May import: calc (model, tables), upkeep, plan (addresses), page, words, environment.  Must not know: MkDocs, how a lift
is computed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import tables
from calc.contract import best_method
from calc.model import Case, Data
from hooks.render import plan as plans
from hooks.render.drum_state import falls, in_few_words
from hooks.render.environment import both, render, tenth_share
from hooks.render.page import Page, headings, root
from hooks.render.upkeep import Told
from hooks.render.words import Words

Lift = Mapping[str, Any]


@dataclass(frozen=True)
class Row:
    """One load: all of its lift, the lift with as many falls as practicable and its hook block, what stands against one
    fall more, the most falls that cost no time (None: not even the fewest are limited by power), the fewest falls from
    which the bed is firm (None: not even the most)."""

    of: Lift
    lift: Lift
    block: str
    against_more: str
    no_time_up_to: int | None
    firm_from: int | None


@dataclass(frozen=True)
class Boom:
    """One boom length of one configuration: its lifts, address of its plan, falls from which full line pull may be
    taken after it (None: never), re-reeving by falls, whether the boom stands so already, address of its JSON."""

    case: Case
    listed: str
    rows: list[Row]
    plan_address: str
    plan_enough: int | None
    reeving: dict[int, Mapping[str, Any]]
    rigged: bool
    feed: str | None


def page(env: Environment, words: Words, data: Data, told: Told) -> Page:
    """Heavy lifts of one crane."""
    machine = told.machine
    at = f"machines/{machine.id}/lifts/"
    booms = sorted((boom(told, *each) for each in told.lifts), key=lambda one: one.case.chart.boom_length)
    found = {row.of["verdict"]["code"]: row.of["verdict"]["rule"] for one in booms for row in one.rows}
    rigged = next((one for one in booms if told.state and one.case.chart.slug == told.state["boom"]), booms[0])
    body = render(
        env,
        "lifts.html",
        root=root(at),
        machine=machine,
        told=told,
        said={"drum": in_few_words(words, told)},
        booms=booms,
        opened=rigged,
        boom_length=tables.boom_length,
        falls=lambda number: falls(words, number),
        verdicts=[(code, data.rules[found[code]]) for code in words.get("drum.lifts.verdict_text") if code in found],
        reeve_rule=data.rules["re-reeve-at-the-head"],
        ratio=tables.ratio,
        hook_speed=hook_speed,
        per_minute=both(tables.Pair("m/min", "ft/min")),
        of_rated=lambda newtons: tenth_share(newtons / machine.winch.rated_line_pull, "down"),
    )
    return Page(
        address=at,
        title=words.get("drum.lifts.title").format(machine=machine.name),
        description=words.get("drum.lifts.description").format(machine=machine.name),
        search_text=words.get("drum.lifts.search").format(machine=machine.name),
        toc=headings(body),
        html=body,
    )


def hook_speed(metres_per_second: float) -> Markup:
    """A hook speed without its unit, which stands in the head of its column.

    >>> hook_speed(0.0727)
    Markup('<x-m>4.3</x-m><x-u>14.0</x-u>')
    """
    return both(tables.Pair(*(text.split()[0] for text in tables.hook_speed(metres_per_second, "down"))))


def boom(told: Told, case: Case, plan: Mapping[str, Any], lifts: Mapping[str, Any]) -> Boom:
    """One boom length ready for its page."""
    rows = [row(lift) for lift in lifts["lifts"]]
    best = best_method(plan)
    first = plans.first_configuration(case.machine, case.chart.slug) == case.configuration.id
    same = told.state is not None and case.chart.slug == told.state["boom"]
    return Boom(
        case,
        plans.listed(case.machine, case.chart.boom_length),
        rows,
        plans.address(case.machine, case.configuration.id, case.chart.slug),
        best["passes"][-1]["full_pull_falls_min"] if best else None,
        {one.of["falls"]: one.of["re_reeving"] for one in rows if one.of["re_reeving"]},
        same or case.machine.kind == "telescopic",
        f"data/v1/ready/{case.machine.id}/{case.chart.slug}.json" if first else None,
    )


def row(lift: Lift) -> Row:
    """One load ready for its line."""
    possible = [option for option in lift["options"] if option["lift"]]
    chosen = possible[-1]
    more = next((option for option in lift["options"] if option["falls"] > chosen["falls"]), None)
    by_power = [option["falls"] for option in possible if option["lift"]["speed_limit"] == "power"]
    firm_from = None
    for option in reversed(possible):
        bed = option["lift"]["bed"]
        if bed is None or not bed["firm"]:
            break
        firm_from = option["falls"]
    return Row(
        lift,
        chosen["lift"],
        chosen["block"],
        more["refused"] if more else "none",
        max(by_power, default=None),
        firm_from,
    )
