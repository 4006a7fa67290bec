"""The list of cranes and the page of one crane: boom lengths to choose from and which to choose, drum, layers, facts,
what the plausibility check found, source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.checks import review
from calc.data import rule_values, rulebook
from calc.data.model import Case, Configuration, Data, Finding, Machine, Override, Rule
from calc.data.tables import Source
from calc.data.yard import Yard
from calc.formulas import rope
from calc.winding.choose_boom import Choice, Option, choose, options
from hooks.computed import Planned, Told
from hooks.figures.drum import machine_svg
from hooks.pages.drum import drum_fit, drum_state
from hooks.pages.plan import plan as plans
from hooks.pages.rope import rope as ropes
from hooks.text import addresses
from hooks.text.environment import both, render, show
from hooks.text.page import Page, headings, root
from hooks.text.quantity import quantity
from hooks.text.words import Words

BOOST = 1.7  # in search: a crane before its plans, whose titles hold its name as well; with a length, the plan first


@dataclass(frozen=True)
class Row:
    """One boom length of one configuration with its plan; `reached` is what its best method does, None if refused."""

    boom: rounding.Pair
    slug: str
    address: str
    plan: Mapping[str, Any]
    reached: Option | None


@dataclass(frozen=True)
class Configured:
    """One configuration: its boom lengths, the choice among them, and what is not possible where, by reason."""

    configuration: Configuration
    rows: dict[str, Row]
    choice: Choice
    not_possible: dict[tuple[str, str], list[Row]]

    @property
    def full_effect(self) -> list[Row]:
        """The boom lengths that reach full effect."""
        return [row for row in self.rows.values() if row.reached and row.reached.full_effect]

    @property
    def no_full_pull(self) -> list[Row]:
        """The boom lengths after which full line pull is never taken from the ground."""
        return [row for row in self.rows.values() if row.reached and not row.reached.enough]

    @property
    def advice(self) -> list[tuple[str, Option]]:
        """What to choose for what, by the name of its text."""
        quickest, firmest = self.choice.quickest, self.choice.firmest
        if firmest is None:
            return []
        if quickest is None:
            return [("nearest", firmest)]
        return [("both", firmest)] if quickest == firmest else [("quickest", quickest), ("firmest", firmest)]

    @property
    def longest(self) -> Option | None:
        """The longest boom, to compare with, where a shorter one winds more rope firm."""
        reached = [row.reached for row in self.rows.values() if row.reached]
        firmest = self.choice.firmest
        return reached[-1] if firmest and firmest.boom_length < reached[-1].boom_length else None


@dataclass(frozen=True)
class LayerRow:
    """One layer: wraps, rope in it and up to it [m], line pull [N] and line speed [m/s] on it."""

    number: int
    wraps: int
    rope: float
    total: float
    pull: float
    speed: float


@dataclass(frozen=True)
class Tension:
    """The drum tension of a firm wrap [N], it and the published range as shares of the rope's breaking force, the least
    share in this crane's plans (None without one), and the rules: firm tension, then published range."""

    force: float
    share: float
    low: float
    high: float
    least: float | None
    firm_rule: Rule
    published_rule: Rule
    sources: tuple[Source, ...]

    @property
    def outside(self) -> str | None:
        """Side of the published range on which the rule's tension lies, None inside."""
        return "below" if self.share < self.low else "above" if self.share > self.high else None


@dataclass(frozen=True, kw_only=True)
class View:
    """What machine.html shows."""

    root: str
    machine: Machine
    day: str
    yard: Yard
    listed: list[Configured]
    side_by_side: list[list[Row | None]]
    target: float
    target_rule: Rule
    overrides: list[tuple[Override, Rule]]
    quantity: Callable[..., Markup]
    review: review.Review | None
    findings: list[tuple[Finding, rounding.Pair]]
    check_rules: list[Rule]
    layers: list[LayerRow]
    fit: list[Markup]
    tension: Tension
    drawn: Markup
    drum: Markup  # its state in one line
    next_step: drum_state.NextStep
    rigged: tuple[str, rounding.Pair] | None  # boom length by the log: its name in addresses, its length
    summaries: dict[str, Markup]  # in few words, by the page that says more
    tonnes: Markup  # units that stand in the heads of columns
    lengths: Markup
    forces: Markup
    speeds: Markup
    rope_outside: list[str]


def index(env: Environment, words: Words, data: Data) -> Page:
    """All cranes."""
    machines = list(data.machines.values())
    body = render(env, "machines.html", root=root(addresses.CRANES), machines=machines)
    return Page(
        address=addresses.CRANES,
        title=words.get("machines.title"),
        description=words.get("machines.description"),
        search_text=words.get("machines.search"),
        toc=headings(body),
        html=body,
        demonstration=any(machine.status == "demonstration" for machine in machines),
    )


def page(env: Environment, words: Words, data: Data, told: Told, made: list[Planned]) -> Page:
    """One crane with the plans made for it."""
    machine = told.machine
    at = addresses.crane(machine)
    case = made[0].case
    target = plans.rule_of(data, case)["target_share"]
    listed = [configured(c, [row(one) for one in made if one.case.configuration is c]) for c in machine.configurations]
    view = View(
        root=root(at),
        machine=machine,
        day=case.day,
        yard=data.yards[machine.yard],
        listed=listed,
        side_by_side=side_by_side(listed),
        target=case.values.target_share,
        target_rule=data.rules[target.id],
        overrides=[(o, data.rules[o.rule]) for o in machine.overrides],
        quantity=quantity,
        review=review.review(data, machine, case.day),
        findings=[(f, rounding.Pair(*f.text)) for f in machine.findings],
        check_rules=check_rules(data, case),
        layers=layers(made[0]),
        fit=drum_fit.lines(words, drum_fit.fit(data, machine, told.inputs, case.day)),
        tension=tension(data, case, [plan for _, plan in made]),
        drawn=Markup(machine_svg(made[0].plan, words.texts)),
        drum=drum_state.in_one_line(words, told),
        next_step=drum_state.next_step(words, told),
        rigged=told.state and (told.state["boom"], rounding.boom_length(told.state["boom_length_m"])),
        summaries={"rope": ropes.in_few_words(words, data, told)},
        tonnes=both(rounding.Pair("t", "lb")),
        lengths=both(rounding.Pair("m", "ft")),
        forces=both(rounding.Pair("kN", "lbf")),
        speeds=both(rounding.Pair("m/min", "ft/min")),
        rope_outside=ropes.outside(words, data, told),
    )
    body = show(env, "machine.html", view)
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
        boost=BOOST,
    )


def row(planned: Planned) -> Row:
    """One boom length of the comparison."""
    case, plan = planned
    best = planned.best
    return Row(
        boom=rounding.boom_length(case.chart.boom_length),
        slug=case.chart.slug,
        address=planned.address,
        plan=plan,
        reached=next((o for o in options([plan]) if best and o.method == best["name"]), None),
    )


def configured(configuration: Configuration, rows: list[Row]) -> Configured:
    """One configuration with the choice among all its boom lengths and methods."""
    not_possible: dict[tuple[str, str], list[Row]] = {}
    for one in rows:
        for method in one.plan["methods"]:
            if method and method["refused"]:
                not_possible.setdefault((method["name"], method["refused"]["code"]), []).append(one)
    return Configured(
        configuration,
        {one.slug: one for one in rows},
        choose(options(one.plan for one in rows)),
        not_possible,
    )


def side_by_side(listed: list[Configured]) -> list[list[Row | None]]:
    """For every boom length, short to long, its row in each configuration, None where that does not list it."""
    slugs = {slug: one.plan["boom_length_m"] for of in listed for slug, one in of.rows.items()}
    return [[of.rows.get(slug) for of in listed] for slug in sorted(slugs, key=lambda slug: slugs[slug])]


def check_rules(data: Data, case: Case) -> list[Rule]:
    """The rules that give the plausibility check its limits, by code."""
    given = rulebook.given(data.rules.values(), case.machine, case.chart.boom_length, case.day)
    by_code = {use.rule.code: use.rule for name in rule_values.FOR_THE_CHECK for use in given.get(name, ())}
    return [rule for _, rule in sorted(by_code.items())]


def tension(data: Data, case: Case, plans_made: Sequence[Mapping[str, Any]]) -> Tension:
    """The tension that the rule for a firm wrap asks of this crane's rope, beside the published range."""
    use = plans.rule_of(data, case)
    published = data.rules[use["published_tension_low"].id]
    version = published.at(case.day)
    asked = case.values.firm_tension_share * case.machine.winch.rated_line_pull
    shares = [plan["load"]["share_of_breaking_force"] for plan in plans_made if plan["load"] and not plan["refused"]]
    return Tension(
        asked,
        rope.winding_tension_share(asked, case.machine.rope.minimum_breaking_force),
        case.values.published_tension_low,
        case.values.published_tension_high,
        min(shares, default=None),
        data.rules[use["firm_tension_share"].id],
        published,
        version.sources if version else (),
    )


def layers(planned: Planned) -> list[LayerRow]:
    """The layers this crane's rope needs; the last one holds what is left of the rope."""
    length, crane = planned.case.machine.rope.length, planned.crane
    rows: list[LayerRow] = []
    for layer, pull, speed in zip(crane.layers, crane.line_pulls, crane.line_speeds, strict=True):
        below = rows[-1].total if rows else 0.0
        total = min(layer.rope_when_full, length)
        rows.append(LayerRow(layer.number, layer.wraps, total - below, total, pull, speed))
    return rows
