"""The page of the two rulebook profiles: every value that differs between them, side by side."""

from __future__ import annotations

from functools import partial

from jinja2 import Environment
from markupsafe import Markup

from calc.data import rule_values, rulebook, schema
from calc.data.model import PROFILES, Data, Machine
from calc.data.rulebook import Difference, Given
from hooks.pages.rules.rules import conditions
from hooks.text import addresses
from hooks.text.environment import render
from hooks.text.page import Page, headings, root
from hooks.text.quantity import quantity
from hooks.text.words import Words


def page(env: Environment, words: Words, data: Data, day: str) -> Page:
    """The page for everything in the data."""
    found = rulebook.differences(data.rules.values(), day)
    by_topic = [(topic, [one for one in found if _topic(one) == topic]) for topic in words.get("rules.topics")]
    cranes: dict[str, list[Machine]] = {name: [] for name in PROFILES}
    for machine in data.machines.values():
        cranes[machine.rulebook].append(machine)
    body = render(
        env,
        "profiles.html",
        root=root(addresses.PROFILES),
        day=day,
        own=data.profile,
        profiles=PROFILES,
        cranes=cranes,
        topics=[(topic, listed) for topic, listed in by_topic if listed],
        named=named,
        shown=partial(shown, words),
        besides=partial(besides, words),
    )
    return Page(
        address=addresses.PROFILES,
        title=words.get("profiles.title"),
        description=words.get("profiles.description"),
        search_text=words.get("profiles.search"),
        toc=headings(body),
        html=body,
    )


def _topic(difference: Difference) -> str:
    return next(one.rule.topic for given in difference.given.values() for one in given)


def named(difference: Difference) -> str:
    """What the value of a `difference` is."""
    own = rule_values.FREEBOARD[1] if difference.name == "freeboard" else difference.name
    return schema.value_description(own) or own.replace("_", " ").capitalize()


def shown(words: Words, name: str, given: Given) -> Markup:
    """The quantity that a rule gives for the value called `name`, as its file writes it, in both units."""
    names = rule_values.FREEBOARD if name == "freeboard" else (name,)
    own = next(one for one in names if one in given.version.values)
    said = quantity(given.version.texts[own], given.version.values[own])
    return words.say(f"profiles.said.{own}", value=said) if own in words.get("profiles.said") else said


def besides(words: Words, given: Given) -> list[Markup]:
    """What a rule asks for besides the rulebook."""
    return list(conditions(words, {fact: asked for fact, asked in given.version.applies.items() if fact != "rulebook"}))
