"""The log of one hoist rope as a page: what was done with it and read at it, what is due next, how to add to it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data import rope_log
from calc.data.entries import Inspection, NewRope, Place, PreTensioning, Shortening, Upkeep, Work
from calc.data.model import Data
from hooks.computed import Told
from hooks.figures import upkeep as figures
from hooks.pages.drum import drum_state
from hooks.text import addresses
from hooks.text.environment import both, render, rope
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

EMPTY_LINES = 8  # to write by hand on the printed page
NEWEST = 4  # entries that stand open; the earlier ones are folded


@dataclass(frozen=True)
class Line:
    """One entry or inspection: its id on the page, day, what it says, note."""

    id: str
    day: str
    text: Markup
    note: str


@dataclass(frozen=True)
class OneRope:
    """One rope of the log: the day it was fitted, the day the next one was (None: it is on the drum), its lines."""

    fitted: str
    until: str | None
    lines: tuple[Line, ...]


def page(env: Environment, words: Words, data: Data, told: Told) -> Page:
    """The log of the rope of one crane; without a log how to begin one."""
    machine, day = told.machine, told.work["day"]
    at = addresses.crane(machine, "log")
    kept = data.upkeep.get(machine.id, Upkeep(machine.id, ()))
    ropes = list(_ropes(words, kept, day)) if told.state else []
    body = render(
        env,
        "log.html",
        root=root(at),
        machine=machine,
        told=told,
        day=day,
        begins=kept.log[0].day if told.without == "later" else None,
        ropes=ropes,
        now=_now(kept, day) if ropes else None,
        rope_length=rope_log.rope_length(kept.log, day),
        due=told.fitness["due"],
        look_again=told.fitness["look_again"],
        drum=drum_state.in_few_words(words, told),
        interval=data.rules["due-interval"],
        line=Markup(figures.rope_line(told.line, words.texts)) if told.line else None,
        empty_lines=range(EMPTY_LINES),
        newest=NEWEST,
        logged=machine.id in data.upkeep,
    )
    return Page(
        address=at,
        title=words.get("upkeep.log.title").format(machine=machine.name),
        description=words.get("upkeep.log.description").format(machine=machine.name),
        search_text=words.get("upkeep.log.search").format(machine=machine.name),
        toc=headings(body),
        html=body,
    )


def _now(kept: Upkeep, day: str) -> dict[str, Any]:
    """The rope on the drum in a few numbers: fitted, last wound firm, lifts since, last inspected."""
    fitted = rope_log.fitted(kept.log, day)
    mine = [entry for entry in kept.log if fitted and fitted <= entry.day <= day]
    firm = max((at for at, entry in enumerate(mine) if isinstance(entry.done, PreTensioning)), default=None)
    later = mine if firm is None else mine[firm:]
    return {
        "fitted": fitted,
        "firm": None if firm is None else mine[firm].day,
        "lifts": sum(entry.done.repeats for entry in later if isinstance(entry.done, Work)),
        "inspected": max((one.day for _, one in rope_log.counted(kept, day)), default=None),
    }


def _ropes(words: Words, kept: Upkeep, day: str) -> Iterator[OneRope]:
    """The ropes of a log up to a day, the one on the drum first; the lines of each newest first."""
    fitted = [entry.day for entry in kept.log if isinstance(entry.done, NewRope) and entry.day <= day]
    lines = sorted([*_entries(words, kept, day), *_inspections(words, kept, day)], key=lambda line: line.day)
    for start, until in reversed(list(zip(fitted, [*fitted[1:], None], strict=True))):
        mine = tuple(line for line in reversed(lines) if start <= line.day and (until is None or line.day < until))
        yield OneRope(start, until, mine)


def _entries(words: Words, kept: Upkeep, day: str) -> Iterator[Line]:
    length = 0.0
    for number, entry in enumerate(kept.log):
        if entry.day > day:
            return
        said = drum_state.said(entry, words)
        if isinstance(entry.done, NewRope):
            length = entry.done.length
        elif isinstance(entry.done, Shortening):
            length -= entry.done.length
            said += Markup(" ") + words.say("upkeep.log.left", length=rope(length, "down"))
        yield Line(f"entry-{number}", entry.day, said, entry.note)


def _inspections(words: Words, kept: Upkeep, day: str) -> Iterator[Line]:
    for number, one in enumerate(kept.readings):
        if one.day <= day:
            yield Line(f"reading-{number}", one.day, _inspection(words, one), one.note)


def _inspection(words: Words, one: Inspection) -> Markup:
    """Who looked, and what was read where."""
    parts = [words.say(f"upkeep.log.inspection.{one.kind}", by=one.by)]
    if one.reference_diameter:
        parts.append(words.say("upkeep.log.reference", **_two(one.reference_diameter)))
    places = [Markup("{}.").format(_place(words, place)) for place in one.places]
    return Markup("<br>").join([Markup(" ").join(parts), *places])


def _place(words: Words, place: Place) -> Markup:
    """One place and its readings: "crossover, 114 m from the drum end: diameter 22.2 mm and 22.3 mm"."""
    name = Markup("{}").format(str(words.get(f"fitness.places.{place.kind}")).capitalize())
    if place.position is not None:
        end, distance = place.position
        name = Markup("{}, {} {}").format(name, rope(distance, "near"), words.get(f"fitness.ends.{end}"))
    said = list(_readings(words, place))
    return Markup("{}: {}").format(name, Markup("; ").join(said)) if said else name


def _readings(words: Words, place: Place) -> Iterator[Markup]:
    if place.broken_wires is not None:
        counts = place.broken_wires
        yield words.say("upkeep.log.broken", short=counts["in_6_diameters"], long=counts["in_30_diameters"])
    if place.diameter is not None:
        yield words.say("upkeep.log.diameter", **_two(place.diameter))
    if place.waviness is not None:
        yield words.say("upkeep.log.waviness", gap=both(rounding.caliper(place.waviness, "near")))
    for seen in place.seen or ():
        yield words.say(f"fitness.criteria.{seen}")
    if place.seen == ():
        yield words.say("upkeep.log.nothing_seen")


def _two(read: tuple[float, float]) -> dict[str, Markup]:
    first, second = (both(rounding.caliper(one, "near")) for one in read)
    return {"first": first, "second": second}
