"""The page of changes and its feed: what began on which day, and which numbers of the plans moved by it.

Both are made from the dated versions in the data alone, so a build on any later day tells the same of a day gone by.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID, uuid5
from xml.etree import ElementTree

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.changes import ahead, record
from calc.changes.compare import PlanMoved
from calc.changes.record import Line
from calc.data.model import Data, Machine, Rule, RuleVersion
from hooks.pages.rules import rules
from hooks.text import addresses
from hooks.text.environment import both, mass_per_length, render, whole
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

FEED = "changes/feed.xml"
DASH = Markup("\u2013")
ATOM = "http://www.w3.org/2005/Atom"  # name of the format (RFC 4287), never asked for


@dataclass(frozen=True)
class Changed:
    """What begins on a day, ready to be shown: rules with an older version, rules that are new, machines with what
    changed in their data, plans that moved by machine, and the same as one line of names."""

    day: str
    announced: bool
    plans: ahead.Moves  # of all cranes
    changed: tuple[tuple[Rule, RuleVersion], ...]
    new: tuple[tuple[Rule, RuleVersion], ...]
    machines: tuple[tuple[Machine, list[tuple[str, Markup, Markup]]], ...]
    cranes: tuple[Crane, ...]
    refused: tuple[str, ...]
    possible: tuple[str, ...]

    def count(self, before: bool) -> int:
        """How many plans begin, or end, on this day."""
        return sum(one.refused[0 if before else 1] is None for one in self.plans.plans)

    @property
    def standing(self) -> int:
        """How many plans there are both before and after, and moved."""
        return sum(None not in one.refused for one in self.plans.plans)

    @property
    def names(self) -> str:
        if len(self.new) > 3:
            return ", ".join([*(rule.code for rule, _ in self.changed), f"{len(self.new)} rules", *self._cranes])
        return ", ".join([*(rule.code for rule, _ in (*self.changed, *self.new)), *self._cranes])

    @property
    def _cranes(self) -> list[str]:
        return [machine.name for machine, _ in self.machines]


@dataclass(frozen=True)
class Row:
    """One number of one plan: address of the plan, told once, and its boom; what it is, before and after."""

    address: str | None
    boom: Markup
    name: str
    before: Markup
    after: Markup


@dataclass(frozen=True)
class Crane:
    """One crane whose plans moved: how many, how many of them by less than a page shows, and a table for every
    configuration, under its name."""

    machine: Machine
    plans: int
    small: int
    tables: tuple[tuple[str, list[Row]], ...]


def told(data: Data, moves: Mapping[str, Mapping[str, ahead.Moves]], day: str) -> list[Changed]:
    """Every day on which something in the data begins, the newest first; `moves` by crane and day."""
    found = [_changed(data, [of[then] for of in moves.values()], then, day) for then in record.starts(data)]
    return [one for one in reversed(found) if one.names]


def _changed(data: Data, moves: Sequence[ahead.Moves], then: str, day: str) -> Changed:
    begun = [(rule, version) for rule in data.rules.values() for version in rule.versions if version.from_day == then]
    whole = ahead.Moves(
        tuple(moved for one in moves for moved in one.inputs),
        tuple(moved for one in moves for moved in one.plans),
        sum(one.plan_count for one in moves),
        sum(one.count for one in moves),
        sum(one.moved for one in moves),
    )
    moved = [one for one in whole.plans if None not in one.refused]
    machines = data.at(then).machines
    cranes = (_crane(machine, [one for one in moved if one.machine == id]) for id, machine in machines.items())
    return Changed(
        day=then,
        announced=then > day,
        plans=whole,
        changed=tuple(pair for pair in begun if pair[0].versions[-1] is not pair[1]),
        new=tuple(pair for pair in begun if pair[0].versions[-1] is pair[1]),
        machines=tuple((one, list(_fields(data, whole, one))) for one in record.machines(data) if one.revision == then),
        cranes=tuple(crane for crane in cranes if crane.plans),
        refused=tuple(_name(machines[one.machine], one) for one in moved if not one.refused[0] and one.refused[1]),
        possible=tuple(_name(machines[one.machine], one) for one in moved if one.refused[0] and not one.refused[1]),
    )


def _crane(machine: Machine, moved: list[PlanMoved]) -> Crane:
    tables_of = []
    for configuration in machine.configurations:
        rows = [row for one in moved if one.configuration == configuration.id for row in _rows(machine, one)]
        if rows:
            tables_of.append((f"{machine.name}, {configuration.name}", rows))
    small = sum(not one.headlines for one in moved)
    return Crane(machine, len(moved), small, tuple(tables_of))


def _name(machine: Machine, one: PlanMoved) -> str:
    """A plan as it is named in a sentence: the configuration where the machine has several."""
    configuration = machine.configuration(one.configuration)
    named = f", {configuration.name}" if configuration and len(machine.configurations) > 1 else ""
    return f"{machine.name} {one.boom}{named}"


def _rows(machine: Machine, one: PlanMoved) -> Iterable[Row]:
    configuration = machine.configuration(one.configuration)
    chart = configuration and configuration.chart(one.boom)
    assert chart, "what moved stands in the machine"
    boom = both(rounding.boom_length(chart.boom_length))
    address = addresses.plan(machine, one.configuration, one.boom)
    for number, headline in enumerate(one.headlines):
        before, after = (both(side) if side else DASH for side in (headline.before, headline.after))
        yield Row(None if number else address, boom, headline.name, before, after)


def _fields(data: Data, moves: ahead.Moves, machine: Machine) -> Iterable[tuple[str, Markup, Markup]]:
    """What a revision changed in the data of a machine: name of the field, before and after; nothing for the first."""
    if data.every_revision(machine.id)[-1] is machine:
        return
    here = f"{record.INPUT}/machine/{machine.id}/"
    for one in moves.inputs:
        name = one.path.removeprefix(here)
        if one.path.startswith(here) and name != "revision":
            yield name.replace("/", " ").replace("_", " "), _said(one.before), _said(one.after)


def _said(line: Line | None) -> Markup:
    """A field of a machine in both unit systems; a dash where there is none."""
    if line is None or line.value == record.NONE:
        return DASH
    if not line.unit:
        return whole(line.value)
    value = float(line.value)
    by_unit = {
        "kg": lambda: both(rounding.logged_mass(value)),
        "kg/m": lambda: mass_per_length(value, "near"),
        "N": lambda: both(rounding.force(value, "near")),
        "m": lambda: both(rounding.length(value, "near") if value >= 1 else rounding.measured_diameter(value, "near")),
        "m/s": lambda: both(rounding.speed(value, "near")),
        "N/m2": lambda: whole(f"{value / 1e6:g} N/mm2"),
        "W": lambda: whole(f"{value / 1e3:g} kW"),
    }
    return by_unit[line.unit]() if line.unit in by_unit else whole(f"{line.value} {line.unit}")


def page(env: Environment, words: Words, days: Sequence[Changed], feed: bool) -> Page:
    """The page of all `days`; `feed` says whether there is a feed to subscribe to."""
    body = render(env, "changes.html", root=root(addresses.CHANGES), days=days, changed=rules.changed, feed=feed)
    return Page(
        address=addresses.CHANGES,
        title=words.get("changes.title"),
        description=words.get("changes.description"),
        search_text=words.get("changes.search"),
        toc=headings(body),
        html=body,
    )


# The feed


def atom(words: Words, days: Sequence[Changed], day: str, id: str, home: str | None) -> str:
    """The feed of changes as Atom (RFC 4287): an entry for each day gone by on which something began, and one for each
    announced version whose file says when it was announced.

    `id` is the lasting name of the feed, a UUID; names of entries follow from it and from what they tell, so they stay
    when the site moves.  Links lead to `home` where the site has an address, else they hold wherever it is put.
    """
    feed = ElementTree.Element("feed", {"xmlns": ATOM, "xml:lang": "en"})
    ElementTree.SubElement(feed, "id").text = UUID(id).urn
    ElementTree.SubElement(feed, "title").text = words.get("changes.feed.title")
    ElementTree.SubElement(feed, "subtitle").text = words.get("changes.feed.subtitle")
    entries = sorted(_entries(words, days, day, UUID(id)), key=lambda entry: entry.updated, reverse=True)
    ElementTree.SubElement(feed, "updated").text = _instant(max((one.updated for one in entries), default=day))
    ElementTree.SubElement(ElementTree.SubElement(feed, "author"), "name").text = words.get("changes.feed.author")
    here = f"{home}{FEED}" if home else FEED.rpartition("/")[2]
    ElementTree.SubElement(feed, "link", rel="self", type="application/atom+xml", href=here)
    about = f"{home}{addresses.CHANGES}" if home else "./"
    ElementTree.SubElement(feed, "link", rel="alternate", type="text/html", href=about)
    for one in entries:
        entry = ElementTree.SubElement(feed, "entry")
        ElementTree.SubElement(entry, "id").text = one.id.urn
        ElementTree.SubElement(entry, "title").text = one.title
        ElementTree.SubElement(entry, "updated").text = _instant(one.updated)
        ElementTree.SubElement(entry, "link", rel="alternate", type="text/html", href=f"{about}#day-{one.day}")
        ElementTree.SubElement(entry, "summary", type="text").text = one.summary
    ElementTree.indent(feed, " ")
    return ElementTree.tostring(feed, encoding="unicode", xml_declaration=False).join(
        ('<?xml version="1.0" encoding="utf-8"?>\n', "\n")
    )


@dataclass(frozen=True)
class Entry:
    """One entry: its lasting name, the day it was put out, the day it is about, title and summary."""

    id: UUID
    updated: str
    day: str
    title: str
    summary: str


def _instant(day: str) -> str:
    return f"{day}T00:00:00Z"


def _entries(words: Words, days: Sequence[Changed], day: str, feed: UUID) -> Iterable[Entry]:
    for one in days:
        if not one.announced:
            title = words.get("changes.feed.entry").format(day=one.day, names=one.names)
            yield Entry(uuid5(feed, one.day), one.day, one.day, title, _summary(words, one, one.changed))
        for rule, version in (*one.changed, *one.new):
            if version.announced and version.announced <= day:
                title = words.get("changes.feed.announced").format(day=one.day, names=f"{rule.code} {rule.title}")
                name = uuid5(feed, f"{rule.code} {version.from_day} announced")
                yield Entry(name, version.announced, one.day, title, _summary(words, one, [(rule, version)]))


def _summary(words: Words, one: Changed, about: Iterable[tuple[Rule, RuleVersion]]) -> str:
    """What began and what it moves, in plain sentences."""
    said = [f"{rule.code} {rule.title}: {version.change}" for rule, version in about]
    for machine, _ in one.machines:
        said.append(f"{machine.name}: {machine.change or words.get('changes.first')}")
    if one.new and not one.announced:
        said.append(f"{counted(words, 'new_rules', len(one.new))}.")
    if one.count(before=True):
        said.append(counted(words, "begun", one.count(before=True)))
    if one.standing:
        said.append(_moved(words, one))
    return " ".join(said)


def _moved(words: Words, one: Changed) -> str:
    of = one.plans
    text: str = words.get("changes.moved")
    return text.format(plans=one.standing, of=of.plan_count, numbers=f"{of.moved:,}", all=f"{of.count:,}")


def counted(words: Words, name: str, count: int, **parts: str) -> str:
    """A text that has one form for one and another for many."""
    text: str = words.get(f"changes.{name}.{'one' if count == 1 else 'many'}")
    return text.format(count=count, **parts)
