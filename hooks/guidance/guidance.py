"""Hand-written pages: rule values, plan numbers, links and figures put in, and the frame around the text.

What a page may write, with names as in the addresses:

    {{ rule:dead-wraps-iso.dead_wraps }}          value of a rule in force, in both unit systems
    {{ rule-link:wind }}                          link to the rule's living page: "R27 Wind"
    {{ plan:bittern/54m.load }}                   number of a plan (hooks/guidance/quoted.py), rounded as on its page
    {{ plan:bittern/54m/full-counterweight.load }} the same of another configuration
    {{ plan-link:bittern/54m }}                   link to the plan page, with its title
    {{ figure:drum:bittern/54m }}                 figure of a plan (hooks/figures/lesson.py), alone on its line
    {{ figure:damage }}                           sketch of no crane, alone on its line
    {{ cards:bittern/54m }}                       step cards of a plan's method, alone on its line, once on a page
    {{ state:bittern.ready_from }}                number of the state of a drum (hooks/guidance/quoted_drum.py)
    {{ state:bittern/2026-11-09.loose }}          the same after the entries of its log up to that day
    {{ ready:bittern/54m/40t.falls }}             number of a heavy lift (hooks/guidance/quoted_drum.py)
    {{ rope:heron.may_be_cut }}                   number of the change of a rope (hooks/guidance/quoted_rope.py)
    {{ drum-link:bittern }}                       link to a page of a crane: its drum; likewise every other one
    {{ figure:line-pull:bittern/54m/40t }}        figure of a heavy lift, alone on its line
    {{ figure:drum-on:heron/2026-10-19 }}         figure of the state of a drum, alone on its line
    {{ figure:drum-days:heron/2026-10-13/2026-10-19 }}    the same drum on two days
    {{ figure:rope-left:heron }}                  figure of the rope of a crane, alone on its line

Cranes are those of the teaching fleet, whatever fleet the site is for: on the site of another one the page says that
they are an example, and no link leads to pages that are not there.  Values of rules are those of the site.

Anything else between double braces is an error, located, with what may be written instead.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from itertools import product
from posixpath import normpath
from typing import Any

from jinja2 import Environment
from markupsafe import Markup, escape

from calc.data.model import Configuration, Data, Machine
from calc.winding.plan_fields import Inputs
from hooks.computed import Planned, Told
from hooks.figures import lesson, prefix
from hooks.fleet import Fleet
from hooks.guidance.quoted import QUOTES, PlanPart
from hooks.guidance.quoted_drum import OF_LIFT, OF_STATE, Lifts, States
from hooks.guidance.quoted_rope import OF_ROPE
from hooks.guidance.quotes import Missing, Part, Quote, quote
from hooks.pages.drum.lifts import Row
from hooks.pages.plan import cards, plan
from hooks.text import addresses
from hooks.text.cite import cited
from hooks.text.environment import render, scoped
from hooks.text.page import Head, numbered, root
from hooks.text.quantity import quantity
from hooks.text.words import Words

ALONE = {"figure": "a figure stands", "cards": "step cards stand"}  # blocks of their own
Order = tuple[tuple[str, str], ...]  # address and title of each page

INDEX = "guidance/"
_PLACE = re.compile(r"\{\{(.*?)\}\}", re.DOTALL)
_TITLE = re.compile(r"^# .*$", re.MULTILINE)
_OF_CRANES = re.compile(r"\{\{\s*(?:figure:[a-z-]+|(?!rule|figure)[a-z-]+):")
_LISTED = re.compile(r"^- \[([^\]]+)\]\(([a-z0-9./-]+?)(?:/index)?\.md\)", re.MULTILINE)
_DESCRIPTION = re.compile(r"<desc[^>]*>(.*?)</desc>", re.DOTALL)
_TABLE = re.compile(r"<h[1-6][^>]*>(.*?)</h[1-6]>|<table>(.*?)</table>", re.DOTALL)
# What Markdown would read as marks of its own, in a text that comes from the data.
_MARKS = str.maketrans({mark: f"&#{ord(mark)};" for mark in "\\`*_{}[]|!~"})


class Unknown(ValueError):
    """A place that cannot be filled: what is wrong, and what may be written instead."""


@dataclass(frozen=True)
class Guide:
    """Everything a place may ask for, and what frames a page."""

    rules: Mapping[str, Mapping[str, Markup]]  # rule in force -> value name -> HTML
    plans: Mapping[str, Planned]  # machine/boom and machine/boom/configuration -> the plan
    told: Mapping[str, Told]  # by machine: what the figures of its drum need beside a state
    lessons: bool  # the cranes are an example: the site is for another fleet
    states: Mapping[str, Mapping[str, Any]]  # machine, and machine/day for the days of its log -> state of its drum
    lifts: Mapping[str, Row]  # machine/boom/load and machine/boom/configuration/load -> heavy lift
    # rule id, name of a plan, machine/drum say -> address of its page, None where the site has none, and title
    links: Mapping[str, tuple[str | None, str]]
    words: Words
    env: Environment
    day: str
    site: str | None

    def fill(self, markdown: str, address: str) -> str:
        """The text of the page at this address with every place filled.  Errors: Unknown, the first it cannot fill."""
        filled = _PLACE.sub(lambda found: str(_filled(found[1].strip(), self, root(address))), markdown)
        if self.lessons and _OF_CRANES.search(markdown):
            said = Markup('<p class="fw-banner">{}</p>').format(self.words.get("guidance.example"))
            filled = _TITLE.sub(lambda found: f"{found[0]}\n\n{said}\n", filled, count=1)
        return filled.replace("<x-u>", '<x-u data-search-exclude="">')  # search shows each number once

    def errors(self, text: str, where: str) -> list[str]:
        """Every place of a file that cannot be filled, as `where:line: place: what is wrong; what to write instead`."""
        wrong = []
        for found in _PLACE.finditer(text):
            line = text.count("\n", 0, found.start())
            try:
                _filled(found[1].strip(), self, "")
                kind = found[1].strip().partition(":")[0]
                if kind in ALONE and text.splitlines()[line].strip() != found[0]:
                    raise Unknown(f"{ALONE[kind]} among words; write it alone on its line")
            except Unknown as error:
                wrong.append(f"{where}:{line + 1}: {found[0]}: {error}")
        return wrong

    def framed(self, content: str, address: str, listed: Order) -> str:
        """A page with its way back above, and below it the pages before and after it in the order of the index."""
        title = Markup(content.partition("</h1>")[0]).striptags()
        version = self.words.get("cite.guidance").format(day=self.day)
        # not through `render`: it takes the indents out of formulas
        return self.env.get_template("guidance.html").render(
            root=root(address),
            index=address == INDEX,
            content=Markup(numbered(scrolling(content))),
            cited=cited(self.words, self.site, address, title, version, self.day),
            around=Markup(self.around(address, listed)),
            day=self.day,
        )

    def around(self, address: str, listed: Order) -> str:
        """Links to the pages before and after this one in the order of the index; nothing where it is not listed."""
        places = [one for one, _ in listed]
        if address not in places:
            return ""
        at = places.index(address)
        before, after = (None, *listed, None)[at : at + 3 : 2]
        return render(self.env, "around.html", root=root(address), before=before, after=after)


def scrolling(content: str) -> str:
    """A hand-written page with every table in a container that scrolls by itself, named by the heading above.

    >>> scrolling('<h2 id="a">Whom to call</h2><table><thead><tr><th>Who</th></tr></thead></table>')
    '<h2 id="a">Whom to call</h2><div class="fw-scroll" tabindex="0" role="region" aria-label="Whom to call">\
<table class="fw-table fw-words"><thead><tr><th scope="col">Who</th></tr></thead></table></div>'
    """
    label = ""

    def framed(found: re.Match[str]) -> str:
        nonlocal label
        if found[1] is not None:
            label = str(escape(Markup(found[1]).striptags()))
            return found[0]
        region = f'<div class="fw-scroll" tabindex="0" role="region" aria-label="{label}">'
        return f'{region}<table class="fw-table fw-words">{scoped(found[2])}</table></div>'

    return _TABLE.sub(framed, content)


@dataclass(frozen=True)
class Lessons:
    """The teaching fleet: its data, and what is told of each crane."""

    data: Data
    told: Fleet


class Plans(Mapping[str, Planned]):
    """The plans of a fleet by the names a place may give them, read when they are asked for."""

    def __init__(self, data: Data, fleet: Fleet) -> None:
        self._fleet = fleet
        self._pages: dict[str, tuple[str, Machine, Configuration, str]] = {}
        self._places: dict[str, tuple[str, int]] = {}  # name -> machine, which of its plans
        for machine in data.machines.values():
            cases = ((c, chart.slug) for c in machine.configurations for chart in c.charts)
            for at, (configuration, boom) in enumerate(cases):
                address = addresses.plan(machine, configuration.id, boom)
                short = address.removeprefix(addresses.CRANES).removesuffix("/")
                for name in (short, f"{machine.id}/{boom}/{configuration.id}"):
                    self._pages[name] = address, machine, configuration, boom
                    self._places[name] = machine.id, at

    def pages(self, words: Words) -> Iterator[tuple[str, tuple[str, str]]]:
        """By name the address and the title of the page of each plan."""
        for name, (address, machine, configuration, boom) in self._pages.items():
            yield name, (address, plan.title(words, machine, configuration, boom))

    def __getitem__(self, name: str) -> Planned:
        machine, at = self._places[name]
        return self._fleet.plans(machine)[at]

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)


def guide(
    env: Environment,
    words: Words,
    data: Data,
    lessons: Lessons,
    heads: Mapping[str, Head],
    day: str,
    site: str | None = None,
) -> Guide:
    """All rules of the `data` in force on the day, all plans and drums of the `lessons`, and what is known of the pages
    of them; `site` is the address it is all published at."""
    values: dict[str, dict[str, Markup]] = {}
    places: dict[str, str] = {}
    for rule in data.rules.values():
        version = rule.at(day)
        if version and not version.withdrawn:
            values[rule.id] = {name: quantity(version.texts[name], value) for name, value in version.values.items()}
            places[rule.id] = addresses.rule(rule.id)
    taught, fleet = lessons.data, lessons.told
    named = Plans(taught, fleet)
    there = {id for id, machine in taught.machines.items() if data.holds(machine)}
    titles = dict(named.pages(words))
    for machine, page in product(taught.machines.values(), addresses.OF_CRANE):
        part = words.get(f"frame.parts.{page}")
        titles[f"{machine.id}/{page}"] = addresses.crane(machine, page), f"{machine.name}, {part[0].lower()}{part[1:]}"
    links: dict[str, tuple[str | None, str]] = {id: (at, heads[at].title) for id, at in places.items()}
    for name, (at, title) in titles.items():
        own = name.partition("/")[0] in there
        links[name] = (at, heads[at].title) if own else (None, title)
    example = taught is not data
    return Guide(values, named, fleet, example, States(taught, fleet, day), Lifts(fleet), links, words, env, day, site)


def _filled(place: str, known: Guide, way: str) -> Markup:
    kind, _, name = place.partition(":")
    if kind not in PLACES:
        raise Unknown(f"this is not a place; write one of: {' '.join(f'{each}:' for each in PLACES)}")
    return PLACES[kind](name, known, way)


def _link(name: str, known: Guide, way: str) -> Markup:
    address, title = known.links[name]
    line = " ".join(title.split())  # a second line would begin a paragraph, a list or a heading
    said = Markup(escape(line).translate(_MARKS))
    return said if address is None else Markup('<a href="{}{}">{}</a>').format(way, address, said)


def _rule_value(name: str, known: Guide, way: str) -> Markup:
    rule, _, value = name.partition(".")
    _demand(rule, known.rules, "no rule in force")
    _demand(value, known.rules[rule], f"no value of rule '{rule}'")
    return known.rules[rule][value]


def _rule_link(name: str, known: Guide, way: str) -> Markup:
    _demand(name, known.rules, "no rule in force")
    return _link(name, known, way)


def _plan_link(name: str, known: Guide, way: str) -> Markup:
    _demand(name, known.plans, "no plan")
    return _link(name, known, way)


def _crane_link(page: str, name: str, known: Guide, way: str) -> Markup:
    _demand(name, known.told, "no crane")
    return _link(f"{name}/{page}", known, way)


def _plan_number(name: str, known: Guide, way: str) -> Markup:
    of, _, number = name.partition(".")
    _demand(of, known.plans, "no plan")
    _demand(number, QUOTES, "no number of a plan")
    return _number(QUOTES, number, PlanPart(known.plans[of]), known, f"plan '{of}'", "a plan")


def _state_number(name: str, known: Guide, way: str) -> Markup:
    state, _, number = name.rpartition(".")
    _demand(state, known.states, "no state")
    _demand(number, OF_STATE, "no number of a state")
    return _number(OF_STATE, number, Part(known.states[state]), known, f"state '{state}'", "one")


def _lift_number(name: str, known: Guide, way: str) -> Markup:
    lift, _, number = name.rpartition(".")  # the name of a lift may hold points
    _demand(lift, known.lifts, "no lift")
    _demand(number, OF_LIFT, "no number of a lift")
    return _number(OF_LIFT, number, known.lifts[lift], known, f"lift '{lift}'", "one")


def _rope_number(name: str, known: Guide, way: str) -> Markup:
    crane, _, number = name.partition(".")
    _demand(crane, known.told, "no crane")
    _demand(number, OF_ROPE, "no number of a rope")
    return _number(OF_ROPE, number, known.told[crane], known, f"the rope of '{crane}'", "a crane")


def _number(quotes: Mapping[str, Quote], number: str, found: Any, known: Guide, of: str, other: str) -> Markup:
    try:
        return quote(quotes, number, found, known.words)
    except Missing:
        raise Unknown(f"{of} has no {number}; write {other} that has it") from None


def _figure(name: str, known: Guide, way: str) -> Markup:
    """The figure with its caption, and unfolded on demand what it shows in words."""
    drawing, _, of = name.partition(":")
    every = [*lesson.FIGURES, *lesson.SKETCHES, *lesson.OF_DRUM, *lesson.OF_LIFT, *lesson.OF_ROPE]
    _demand(drawing, every, "no figure")
    if drawing in lesson.SKETCHES:
        if of:
            raise Unknown(f"figure {drawing} is a sketch of no crane; write its name alone")
        svg = Markup(lesson.SKETCHES[drawing](known.words.texts))
    elif drawing in lesson.OF_DRUM:
        svg = _drum_figure(drawing, of, known)
    elif drawing in lesson.OF_LIFT:
        svg = Markup(lesson.OF_LIFT[drawing](_lift(of, known).of, known.words.texts))
    elif drawing in lesson.OF_ROPE:
        svg = _rope_figure(drawing, of, known)
    else:
        _demand(of, known.plans, "no plan")
        svg = Markup(lesson.FIGURES[drawing](known.plans[of].plan, known.words.texts))
    described = _DESCRIPTION.search(svg)
    more = Markup("<details><summary>{}</summary><p>{}</p></details>").format(
        known.words.get("guidance.figure_words"), Markup(described[1] if described else "")
    )
    templates: Any = known.env.get_template("figure.html").module
    caption = known.words.say(f"figures.captions.{drawing}")
    # in one line: one block for Markdown
    return Markup("".join(templates.figure(prefix(drawing, of), svg, caption, more).splitlines()))


def _cards(name: str, known: Guide, way: str) -> Markup:
    """The step cards of the method a plan puts first."""
    _demand(name, known.plans, "no plan")
    planned = known.plans[name]
    if planned.best is None:
        raise Unknown(f"plan '{name}' has no steps; write a plan that can be done")
    templates: Any = known.env.get_template("cards.html").module
    shown = Markup("".join(templates.cards(cards.deck(known.words, planned, planned.best)).splitlines()))
    style = (
        '<link rel="stylesheet" href="{w}assets/cards.css">{}<script type="module" src="{w}assets/cards.js"></script>'
    )
    return Markup("<div>" + style + "</div>").format(shown, w=way)


def _lift(name: str, known: Guide) -> Row:
    _demand(name, known.lifts, "no lift")
    return known.lifts[name]


def _drum_figure(drawing: str, of: str, known: Guide) -> Markup:
    """A figure of the drum of one crane on the days it is asked for."""
    machine, *days = of.split("/")
    wanted = lesson.OF_DRUM[drawing]
    if len(days) != wanted.days:
        raise Unknown(f"figure {drawing} takes {wanted.days} of the days of a log; write {wanted.pattern}")
    states = []
    for day in days:
        name = f"{machine}/{day}"
        _demand(name, known.states, "no state")
        states.append(known.states[name])
    told = known.told[machine]
    inputs: Inputs = {**told.inputs, "rope_length_m": states[-1]["rope_length_m"]}
    return Markup(wanted.draw(states, inputs, told.may_stay, known.words.texts))


def _rope_figure(drawing: str, of: str, known: Guide) -> Markup:
    """A figure of the rope of one crane."""
    _demand(of, known.told, "no crane")
    wanted = lesson.OF_ROPE[drawing]
    part = getattr(known.told[of], wanted.part)
    if part is None:
        raise Unknown(f"the rope of '{of}' has no log; write a crane that has one")
    return Markup(wanted.draw(part, known.words.texts))


# What may stand between double braces: what fills a place of each kind, given its name, all there is, and the way back
# from its page to the start page.
PLACES: dict[str, Callable[[str, Guide, str], Markup]] = {
    "rule": _rule_value,
    "rule-link": _rule_link,
    "plan": _plan_number,
    "plan-link": _plan_link,
    "state": _state_number,
    "ready": _lift_number,
    "rope": _rope_number,
    **{f"{page}-link": partial(_crane_link, page) for page in addresses.OF_CRANE},
    "figure": _figure,
    "cards": _cards,
}


def _demand(name: str, given: Collection[str], what: str) -> None:
    """Errors: Unknown, with the names there are: those of the same crane if there are any."""
    if name not in given:
        near = [one for one in given if one.partition("/")[0] == name.partition("/")[0]]
        raise Unknown(f"{what} named '{name}'; write one of: {' '.join(sorted(near or given)) or 'none'}")


def order(index: str) -> Order:
    """Address and title of the pages in the order of the index page, the only place that lists them.

    >>> order("- [Glossary](glossary.md): every term\\n- [Data](../data/index.md)")
    (('guidance/glossary/', 'Glossary'), ('data/', 'Data'))
    """
    return tuple((f"{normpath(INDEX + name)}/", title) for title, name in _LISTED.findall(index))
