"""Rule pages: the index by topic, the living page of each rule, and one page for every version, kept for ever."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc.data import rulebook
from calc.data.model import Data, Rule, RuleVersion
from hooks.text import addresses
from hooks.text.cite import cited
from hooks.text.environment import metres, render
from hooks.text.page import Page, headings, root
from hooks.text.quantity import quantity
from hooks.text.words import Words

BOOST = 0.9  # in search: a guidance page before a rule of the same title; a rule is found by its code


@dataclass(frozen=True)
class Shown:
    """A rule on a day: its version shown, what that version is, the next one, and the rule that takes its place."""

    rule: Rule
    version: RuleVersion
    standing: str
    coming: RuleVersion | None
    heir: Rule | None


@dataclass(frozen=True)
class Value:
    """One value of a version: its name in words, and the quantity."""

    name: str
    quantity: Markup


def values(version: RuleVersion) -> list[Value]:
    """The values of a version as its line in the index shows them."""
    return [Value(name.replace("_", " "), quantity(version.texts[name], each)) for name, each in version.values.items()]


def pages(env: Environment, words: Words, data: Data, day: str, site: str | None = None) -> list[Page]:
    """All rule pages of the site at the address `site`."""
    found = [index(env, words, data, day)]
    for rule in data.rules.values():
        found.append(living(env, words, data, rule, day, site))
        found += [permanent(env, words, data, rule, version, day, site) for version in rule.versions]
    return found


def index(env: Environment, words: Words, data: Data, day: str) -> Page:
    """All rules by topic, in the order of the topics in the words file; what is announced first, what is withdrawn
    last."""
    rules = [shown(data, rule, day) for rule in sorted(data.rules.values(), key=rulebook.number)]
    standing = [one for one in rules if one.standing != "withdrawn"]
    by_topic = [(topic, [one for one in standing if one.rule.topic == topic]) for topic in words.get("rules.topics")]
    body = render(
        env,
        "rules.html",
        root=root(addresses.RULES),
        topics=[(topic, listed) for topic, listed in by_topic if listed],
        announced=[one for one in rules if one.coming],
        withdrawn=[one for one in rules if one.standing == "withdrawn"],
        changed=changed,
        values=values,
    )
    return Page(
        address=addresses.RULES,
        title=words.get("rules.title"),
        description=words.get("rules.description"),
        search_text=words.get("rules.search"),
        toc=headings(body),
        html=body,
    )


def living(env: Environment, words: Words, data: Data, rule: Rule, day: str, site: str | None) -> Page:
    """The page of a rule as it holds on the day, with what is announced and its history."""
    found = shown(data, rule, day)
    title = words.get("rules.rule_title").format(code=rule.code, title=rule.title)
    body = _body(env, words, found, day, title, addresses.rule(rule.id), site, permanent=False)
    return Page(
        address=addresses.rule(rule.id),
        title=title,
        description=words.get("rules.rule_description").format(code=rule.code, title=rule.title),
        search_text=found.version.statement.partition(". ")[0],  # its first sentence
        toc=headings(body),
        html=body,
        boost=BOOST,
    )


def permanent(
    env: Environment, words: Words, data: Data, rule: Rule, version: RuleVersion, day: str, site: str | None
) -> Page:
    """One version of a rule at an address that never changes; out of search, so that readers find the living page."""
    at = addresses.rule(rule.id, version.from_day)
    parts = {"code": rule.code, "title": rule.title, "day": version.from_day}
    title = words.get("rules.version_title").format(**parts)
    found = Shown(rule, version, rulebook.standing(rule, version, day), None, _heir(data, version))
    body = _body(env, words, found, day, title, at, site, permanent=True)
    return Page(
        address=at,
        title=title,
        description=words.get("rules.version_description").format(**parts),
        search_text=title,
        toc=headings(body),
        html=body,
        indexed=False,
    )


def shown(data: Data, rule: Rule, day: str) -> Shown:
    """What a living page shows: the version of the day, or the first one if none holds yet."""
    coming = rulebook.announced(rule, day)
    version = rule.at(day) or coming[0]
    after = next((one for one in coming if one is not version), None)
    return Shown(rule, version, rulebook.standing(rule, version, day), after, _heir(data, version))


def _heir(data: Data, version: RuleVersion) -> Rule | None:
    return data.rules[version.replaced_by] if version.replaced_by else None


def changed(rule: Rule, version: RuleVersion) -> list[tuple[str, Markup | None, Markup | None]]:
    """Name, old and new quantity of every value a version changed; None where it is new or gone."""
    before = next((one for one in rule.versions if rulebook.until(rule, one) == version.from_day), None)
    return [
        (change.name, _said(before, change.name, change.before), _said(version, change.name, change.after))
        for change in rulebook.changes(rule, version)
    ]


def _said(version: RuleVersion | None, name: str, text: str | None) -> Markup | None:
    return quantity(text, version.values[name]) if version and text is not None else None


def conditions(words: Words, applies: Mapping[str, Any]) -> Iterator[Markup]:
    """Each fact that a version asks for, in words: "lattice boom", "falls: 4 or more"."""
    for fact, asked in applies.items():
        for keyword, wanted in asked.items():
            either = [_fact(words, fact, one) for one in (wanted if keyword == "enum" else [wanted])]
            bound = words.say(f"rules.bounds.{keyword}", value=Markup(words.get("rules.or")).join(either))
            yield words.say(f"rules.facts.{fact}", value=bound)


def _fact(words: Words, fact: str, value: Any) -> Markup | str:
    if fact == "boom_length_m":
        return metres(value, "near")
    said: str = words.get("rules.fact_values").get(str(value), str(value))
    return said


def _body(
    env: Environment, words: Words, found: Shown, day: str, title: str, at: str, site: str | None, *, permanent: bool
) -> str:
    rule, version = found.rule, found.version
    named = words.get("rules.rule_title").format(code=rule.code, title=rule.title)
    dated = words.get("cite.rule").format(day=version.from_day)
    lasting = addresses.rule(rule.id, version.from_day)  # a living page is cited as the version it shows
    return render(
        env,
        "rule.html",
        root=root(at),
        found=found,
        rule=rule,
        version=version,
        cited=cited(words, site, lasting, named, dated, version.from_day),
        day=day,
        title=title,
        permanent=permanent,
        until=rulebook.until(found.rule, found.version),
        history=[(one, rulebook.standing(found.rule, one, day)) for one in found.rule.versions],
        conditions=list(conditions(words, found.version.applies)),
        changed=changed,
        quantity=quantity,
    )
