"""The briefing: one plan on one printed page, for the crew to be briefed from and to sign."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

import segno
from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data.model import Case, Data, Machine, Rule, RuleVersion
from hooks.computed import Planned
from hooks.figures import plan_view, side
from hooks.pages.plan import plan as plans
from hooks.pages.plan import said
from hooks.text.environment import metres, plain, rope, show, whole_minutes
from hooks.text.page import Page, root
from hooks.text.words import Words

Plan = Mapping[str, Any]

LINE_RULE = "power-lines"  # whose values are distances, named by the voltage they hold up to
COLUMNS = ("number", "move", "boom", "radius", "hook", "drum", "load", "use", "time")
MOVES, LETTERS = 7, 60  # moves, and letters in the names on top, that fit the sheet in full size
SAID = ("rope-length-decides",)  # warnings that stand under the stops in the briefing's own words
_VOLTAGE = re.compile(r"distance_up_to_(\d+)_kilovolts")


@dataclass(frozen=True, kw_only=True)
class View(plans.Spoken):
    """What briefing.html shows."""

    root: str
    of: Page  # the page of the plan
    file_name: str  # of the sheet saved as one file
    notes: tuple[Markup, ...]
    case: Case
    machine: Machine
    plan: Plan
    boom_length: Callable[[float], rounding.Pair]
    best: Mapping[str, Any] | None
    crowded: bool
    columns: list[str]
    radii: list[Markup]  # after each move
    warnings: list[Mapping[str, Any]]
    enough: Callable[[Mapping[str, Any]], Sequence[Markup]]
    block: Mapping[str, Any] | None
    base: str | None  # the piece that carries the rest
    roles: Any
    other: Markup | None
    side: Markup | None
    area: plan_view.Area | None
    sketch: Markup | None
    listed_lines: Markup
    line_code: str
    cautions: list[Markup]
    codes: Markup
    qr: Markup | None
    published: str | None


def page(
    env: Environment, words: Words, data: Data, planned: Planned, of: Page, site: str | None, *notes: Markup
) -> Page:
    """The briefing of one case as a page under `of`, the page of its plan; with the address of the site it carries a QR
    code to that page.  `notes` are said on top: what is other about a plan that is not the standing one."""
    case, plan = planned
    machine, best = case.machine, planned.best
    boom = rounding.boom_length(case.chart.boom_length)
    also = plans.also_in_force(data, case)
    lines = line_distances(data.rules[LINE_RULE], case.day)
    area = plan_view.area(plan, max(lines.values()))
    published = f"{site}{of.address}" if site else None
    at = f"{of.address}briefing/"
    view = View(
        root=root(at),
        of=of,
        file_name=f"{of.address.removeprefix('machines/').strip('/').replace('/', '-')}.html",
        notes=notes,
        case=case,
        machine=machine,
        plan=plan,
        boom_length=rounding.boom_length,
        best=best,
        crowded=crowded(case, best),
        columns=columns(best),
        radii=[after for _, after in said.radii(best)],
        warnings=[warning for warning in plan["warnings"] if warning["code"] not in SAID],
        enough=lambda one: said.enough(words, plan, one),
        block=planned.block,
        base={weight.id: weight.name for weight in case.yard.weights}[said.base(plan)] if plan["load"] else None,
        roles=words.get("plan.before_text.roles"),
        other=other(words, plan, best),
        side=Markup(side.svg(plan, words.texts)) if plan["stops"] else None,
        area=area,
        sketch=Markup(plan_view.svg(plan, words.texts, area)) if area else None,
        listed_lines=listed_lines(words, lines),
        line_code=data.rules[LINE_RULE].code,
        cautions=plans.cautions(words, plan),
        codes=codes(words, plan, also),
        qr=qr(published) if published else None,
        published=published,
        **vars(plans.spoken(words, planned)),
    )
    return Page(
        address=at,
        title=words.get("briefing.title").format(plan=of.title),
        description=words.get("briefing.description").format(
            machine=machine.name, boom=plain(boom), status=words.get(f"common.status.{plan['status']}").capitalize()
        ),
        search_text=words.get("briefing.search").format(machine=machine.name, boom=plain(boom)),
        toc=(),
        html=show(env, "briefing.html", view),
        indexed=False,  # search leads to the plan
    )


def line_distances(rule: Rule, day: str) -> dict[int, float]:
    """Distance to be kept from a power line [m] by the voltage it holds up to [kV], growing."""
    version = rule.at(day)
    named = ((_VOLTAGE.fullmatch(name), value) for name, value in (version.values if version else {}).items())
    return dict(sorted((int(found[1]), value) for found, value in named if found))


def listed_lines(words: Words, lines: Mapping[int, float]) -> Markup:
    """The distances from power lines in words."""
    return Markup("; ").join(
        words.say("briefing.line", kilovolts=f"{kilovolts:,}", distance=metres(distance, "up"))
        for kilovolts, distance in lines.items()
    )


def crowded(case: Case, method: Mapping[str, Any] | None) -> bool:
    """Whether the sheet needs smaller type."""
    moves = sum(len(p["moves"]) for p in method["passes"]) if method else 0
    return moves > MOVES or len(case.machine.name) + len(case.configuration.name) > LETTERS


def columns(method: Mapping[str, Any] | None) -> list[str]:
    """Columns of the table of moves; the boom length only where it changes."""
    booms = {length for p in method["passes"] for m in p["moves"] for length in m["boom_length_m"]} if method else set()
    return [name for name in COLUMNS if name != "boom" or len(booms) > 1]


def other(words: Words, plan: Plan, best: Mapping[str, Any] | None) -> Markup | None:
    """The plan's other method in one sentence, where there is one that can be done."""
    for method in plan["methods"] if best else ():
        if method and method is not best and method["passes"]:
            return words.say(
                "briefing.other",
                method=words.get(f"methods.{method['name']}"),
                rope=rope(method["passes"][-1]["firm_rope_m"], "down"),
                minutes=whole_minutes(method["minutes"]),
            )
    return None


def codes(words: Words, plan: Plan, also: list[tuple[Rule, RuleVersion]]) -> Markup:
    """Codes of the rules behind a plan, together for each day they hold from."""
    used = [(use["from"], use["code"]) for use in plan["rules"]] + [(v.from_day, rule.code) for rule, v in also]
    days = groupby(sorted(used), key=lambda use: use[0])
    return Markup("; ").join(
        words.say("briefing.rules_from", codes=" ".join(code for _, code in group), day=day) for day, group in days
    )


def qr(text: str) -> Markup:
    """A QR code as inline SVG with its quiet zone, black on white in every scheme."""
    drawn = segno.make(text, error="m", micro=False).svg_inline(
        border=4, omitsize=True, light="#fff", svgclass="fw-qr", lineclass=None
    )
    return Markup(drawn)
