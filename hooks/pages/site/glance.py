"""The fleet at a glance: one page that says of each crane whether it is ready as rigged and what needs doing first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jinja2 import Environment
from markupsafe import Markup

from calc import fleet, rounding
from calc.data.model import Data, Machine
from calc.fleet_fields import Crane
from hooks.computed import Planned, Told
from hooks.pages.drum import drum_state
from hooks.pages.plan import said
from hooks.pages.rope import rope as ropes
from hooks.text import addresses
from hooks.text.environment import both, render
from hooks.text.page import Page, headings, root
from hooks.text.words import Words


@dataclass(frozen=True)
class Glance:
    """One crane: its row of the fleet, and what of it is said in words."""

    row: Crane
    machine: Machine
    drum: Markup
    rigged: Markup | None
    firm: Markup | None
    rope: Markup
    weakest: Markup | None
    weakest_address: str | None
    help: said.Help | None


def crane(words: Words, data: Data, made: Sequence[Planned], told: Told, day: str) -> Glance:
    """One crane at a glance."""
    row = fleet.crane(data, told.machine, day, made, told.state, told.fitness)
    weak, at, helping = row["weakest_plan"], None, None
    text = None
    if weak is not None:
        weakest = next(
            one
            for one in made
            if (one.case.chart.slug, one.case.configuration.id) == (weak["boom"], weak["configuration"])
        )
        (case, plan), at = weakest, weakest.address
        boom = both(rounding.boom_length(case.chart.boom_length))
        share = None if weak["firm_share"] is None else rounding.share(weak["firm_share"], "down")
        key = "fleet.weakest_none" if share is None else "fleet.weakest"
        text = words.say(key, boom=boom, configuration=case.configuration.name, share=share)
        helping = next(iter(said.helps(words, case, plan)), None)
    firm = drum_state.firm_to(words, row["firm"]) if row["firm"] else None
    rigged = None
    if told.state and row["falls"]:
        rigged = Markup("{}, {}").format(
            both(rounding.boom_length(told.state["boom_length_m"])), drum_state.falls(words, row["falls"])
        )
    return Glance(
        row,
        told.machine,
        drum_state.in_few_words(words, told),
        rigged,
        firm,
        ropes.in_few_words(words, data, told),
        text,
        at,
        helping,
    )


def page(env: Environment, words: Words, cranes: Sequence[Glance], day: str) -> Page:
    """The page of the whole fleet; `cranes` as `in_order` gives them."""
    demonstration = sum(one.machine.status == "demonstration" for one in cranes)
    body = render(env, "fleet.html", root=root(addresses.FLEET), cranes=cranes, demonstration=demonstration, day=day)
    return Page(
        address=addresses.FLEET,
        title=words.get("fleet.title"),
        description=words.get("fleet.description"),
        search_text=words.get("fleet.search"),
        toc=headings(body),
        demonstration=demonstration > 0,
        html=body,
    )


def in_order(cranes: Sequence[Glance]) -> list[Glance]:
    """What needs doing first, first."""
    return sorted(cranes, key=lambda one: fleet.place(one.row))
