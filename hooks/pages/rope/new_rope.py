"""Fitting a new rope to one crane as a page: what to order, how it fills the drum, how tight it goes on, running in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import radians, tan
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data.model import Data, Machine, Rule, RuleVersion
from calc.data.tables import Source
from hooks.computed import Told
from hooks.figures import upkeep as figures
from hooks.figures.drum import machine_svg
from hooks.pages.drum import drum_state
from hooks.text import addresses
from hooks.text.environment import both, rope, rope_diameter, show
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

Row = tuple[str, Markup, Markup | None]  # what is compared, the order, the rope on the drum where that is on record

CAUTIONS = ("new-rope", "lay-direction", "reel-to-drum", "back-tension", "rope-brake", "first-layer", "run-in")
SOURCES = ("back-tension", "published-tension")


@dataclass(frozen=True, kw_only=True)
class View:
    """What new-rope.html shows."""

    root: str
    machine: Machine
    found: Mapping[str, Any]  # the rope to order
    rows: list[Row]
    over: float  # most diameter over the nominal one, as a share
    handbook_less: float  # how much less rope the handbook's formula finds room for, as a share
    reel: float  # how far off the reel stands at least [m]
    angle_text: str
    tenth: Callable[[float, str], str]
    rule_of: Mapping[str, Rule]
    measured: Callable[[float, str], Markup]
    flange: Markup
    wanted: Markup
    boom_length: Callable[[float], rounding.Pair]
    lengths: Markup  # units that stand in the heads of columns
    masses: Markup
    tensions: list[tuple[str, float | None, float | None, float, float | None]]
    tension_figure: Markup
    drum_figure: Markup
    cycles: float | None
    cautions: list[tuple[Rule, RuleVersion]]
    sources: list[tuple[Rule, tuple[Source, ...]]]
    plans: list[tuple[rounding.Pair, str]]  # boom length and address of each
    falls: Callable[[int], Markup]
    feed: str


def page(env: Environment, words: Words, data: Data, told: Told) -> Page:
    """The rope to order for one crane and how it goes on its drum."""
    machine, order = told.machine, told.order
    at = addresses.crane(machine, "new-rope")
    run_in = data.rules["run-in"].at(order["day"])
    flange, wanted = map(
        both, rounding.against(order["drum"]["freeboard_m"], order["drum"]["freeboard_wanted_m"], "up")
    )
    view = View(
        root=root(at),
        machine=machine,
        found=order,
        rows=list(rows(words, order)),
        over=order["order"]["most_diameter_m"] / order["order"]["diameter_m"] - 1,
        handbook_less=1 - order["drum"]["handbook_m"] / order["drum"]["rope_when_full_m"],
        reel=reel_distance(machine.drum.width, order),
        angle_text=f"{order['fleet_angle'][0]['most_deg']:g}\u00b0",
        tenth=rounding.ratio,
        rule_of=data.rules,
        measured=measured,
        flange=flange,
        wanted=wanted,
        boom_length=rounding.boom_length,
        lengths=both(rounding.Pair("m", "ft")),
        masses=both(rounding.Pair("t", "lb")),
        tensions=list(tensions(order)),
        tension_figure=Markup(figures.back_tension(order, words.texts)),
        drum_figure=Markup(machine_svg(told.lifts[0][1], words.texts)),
        cycles=run_in.values["run_in_cycles"] if run_in else None,
        cautions=list(_in_force(data, CAUTIONS, order["day"])),
        sources=[(rule, version.sources) for rule, version in _in_force(data, SOURCES, order["day"])],
        plans=[
            (
                rounding.boom_length(case.chart.boom_length),
                addresses.plan(machine, case.configuration.id, case.chart.slug),
            )
            for case, _, _ in told.lifts
            if case.configuration.id == addresses.first_configuration(machine, case.chart.slug)
        ],
        falls=lambda number: drum_state.falls(words, number),
        feed=f"data/v1/new-rope/{machine.id}.json",
    )
    body = show(env, "new-rope.html", view)
    return Page(
        address=at,
        title=words.get("upkeep.order.title").format(machine=machine.name),
        description=words.get("upkeep.order.description").format(machine=machine.name),
        search_text=words.get("upkeep.order.search").format(machine=machine.name),
        toc=headings(body),
        html=body,
    )


def _in_force(data: Data, names: tuple[str, ...], day: str) -> Iterator[tuple[Rule, RuleVersion]]:
    """The rules of these names that are in force, with their versions."""
    for name in names:
        rule = data.rules.get(name)
        version = rule and rule.at(day)
        if rule and version and not version.withdrawn:
            yield rule, version


def measured(metres: float, side: str) -> Markup:
    """A diameter or a gap as a caliper reads it."""
    return both(rounding.caliper(metres, side))


def rows(words: Words, found: Mapping[str, Any]) -> Iterator[Row]:
    """The order line by line, beside what is on record of the rope on the drum."""
    order, now = found["order"], found["on_the_drum"]

    def said(name: str, value: str | None) -> Markup | None:
        return None if value is None else words.say(f"upkeep.order.{name}.{value}")

    yield "diameter", rope_diameter(order["diameter_m"]), None
    least, most = measured(order["least_diameter_m"], "up"), measured(order["most_diameter_m"], "down")
    new = words.say("upkeep.order.measured", least=least, most=most)
    yield "measured", new, now["reference_m"] and measured(now["reference_m"], "near")
    yield "length", rope(order["length_m"], "near"), now["length_m"] and rope(now["length_m"], "near")
    yield "construction", Markup("{}").format(order["construction"]), None
    yield "grade", Markup("{}").format(f"{order['grade_n_per_m2'] / 1e6:.0f} N/mm2".replace(" ", "\u00a0")), None
    yield "force", both(rounding.force(order["minimum_breaking_force_n"], "near")), None
    yield "rotation", words.say("upkeep.order.yes" if order["rotation_resistant"] else "upkeep.order.no"), None
    if order["lay"]:
        yield "lay", words.say(f"upkeep.order.lays.{order['lay']}"), None
    if order["lay_direction"] or now["lay_direction"]:
        wanted = said("hands", order["lay_direction"]) or words.say("upkeep.order.number.lay_ask")
        yield "lay_direction", wanted, said("hands", now["lay_direction"])


def reel_distance(drum_width: float, order: Mapping[str, Any]) -> float:
    """How far off a reel stands at least, with the rope leaving it at its middle [m]: half of the width between the
    flanges [m] over the tangent of the largest fleet angle."""
    return drum_width / 2 / tan(radians(order["fleet_angle"][0]["most_deg"]))


def tensions(found: Mapping[str, Any]) -> Iterator[tuple[str, float | None, float | None, float, float | None]]:
    """Rows of the table: name, least and most [N], both as shares of the breaking force."""
    of, force = found["back_tension"], found["order"]["minimum_breaking_force_n"]
    yield "rule", of["least_n"], of["most_n"], of["least_n"] / force, of["most_n"] / force
    low, high = of["published_low_n"], of["published_high_n"]
    yield "published", low, high, low / force, high / force
    yield "firm", of["firm_n"], None, of["firm_n"] / force, None
    if of["used_n"] is not None:
        yield "used", of["used_n"], of["used_n"], of["used_n"] / force, None
