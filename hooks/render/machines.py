"""The list of cranes and the page of one crane: boom lengths to choose, drum, layers, facts, source.

May import: calc (model, drum, tables), figures, page, words, environment, plan (addresses).  Must not know: MkDocs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import drum, tables
from calc.contract import best_method
from calc.model import Case, Data, Machine
from calc.rig import Crane
from hooks.figures.drum import machine_svg
from hooks.render import plan as plans
from hooks.render.environment import render
from hooks.render.page import Page, headings, root
from hooks.render.words import Words


@dataclass(frozen=True)
class Row:
    """One boom length of one configuration with its plan."""

    boom: tables.Pair
    slug: str
    address: str
    plan: Mapping[str, Any]
    best: Mapping[str, Any] | None


@dataclass(frozen=True)
class LayerRow:
    """One layer: wraps, rope in it and up to it [m], line pull [N] and line speed [m/s] on it."""

    number: int
    wraps: int
    rope: float
    total: float
    pull: float
    speed: float


def index(env: Environment, words: Words, data: Data) -> Page:
    """All cranes."""
    machines = list(data.machines.values())
    body = render(env, "machines.html", root=root("machines/"), machines=machines)
    return Page(
        address="machines/",
        title=words.get("machines.title"),
        description=words.get("machines.description"),
        search_text=words.get("machines.search").format(names=", ".join(m.name for m in machines)),
        toc=headings(body),
        html=body,
    )


def page(
    env: Environment, words: Words, data: Data, machine: Machine, made: list[tuple[Case, Mapping[str, Any]]]
) -> Page:
    """One crane with the plans made for it."""
    at = f"machines/{machine.id}/"
    rows = [(case.configuration, row(case, plan)) for case, plan in made]
    body = render(
        env,
        "machine.html",
        root=root(at),
        machine=machine,
        yard=data.yards[machine.yard],
        configurations=[(c, [r for of, r in rows if of is c]) for c in machine.configurations],
        layers=layers(made[0][0]),
        figure=Markup(machine_svg(made[0][1], words.texts)),
    )
    return Page(
        address=at,
        title=machine.name,
        description=words.get("machines.machine_description").format(name=machine.name),
        search_text=words.get("machines.machine_search").format(
            name=machine.name,
            kind=words.get(f"common.kinds.{machine.kind}"),
        ),
        toc=headings(body),
        html=body,
    )


def row(case: Case, plan: Mapping[str, Any]) -> Row:
    """One line of the comparison."""
    return Row(
        boom=plans.boom_length(case.chart.boom_length),
        slug=case.chart.slug,
        address=plans.address(case.machine, case.configuration.id, case.chart.slug),
        plan=plan,
        best=best_method(plan),
    )


def layers(case: Case) -> list[LayerRow]:
    """The layers this crane's rope needs; the last one holds what is left of the rope."""
    winch, length = case.machine.winch, case.machine.rope.length
    found: list[LayerRow] = []
    crane = Crane(case)
    for layer in crane.layers:
        below = found[-1].total if found else 0.0
        total = min(layer.rope_when_full, length)
        pull = drum.line_pull(winch.rated_line_pull, crane.layers, winch.rated_layer, layer.number)
        speed = drum.line_speed(winch.line_speed, crane.layers, winch.rated_layer, layer.number)
        found.append(LayerRow(layer.number, layer.wraps, total - below, total, pull, speed))
    return found
