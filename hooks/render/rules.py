"""Rule pages: the index by topic, the living page of each rule, and one page for every version, kept for ever.

May import: calc.model, page, words, environment, quantity.  Must not know: plans, MkDocs.
"""

from __future__ import annotations

from jinja2 import Environment

from calc.model import Data, Rule, RuleVersion
from hooks.render.environment import render
from hooks.render.page import Page, headings, root
from hooks.render.quantity import quantity
from hooks.render.words import Words


def pages(env: Environment, words: Words, data: Data, day: str) -> list[Page]:
    """All rule pages."""
    found = [index(env, words, data, day)]
    for rule in data.rules.values():
        found.append(living(env, words, rule, day))
        found += [permanent(env, words, rule, version, day) for version in rule.versions]
    return found


def index(env: Environment, words: Words, data: Data, day: str) -> Page:
    """All rules by topic."""
    rules = sorted(data.rules.values(), key=lambda rule: rule.code)
    names = sorted({rule.topic for rule in rules})
    topics = [(topic, [(rule, rule.at(day)) for rule in rules if rule.topic == topic]) for topic in names]
    body = render(env, "rules.html", root=root("rules/"), topics=topics)
    return Page(
        address="rules/",
        title=words.get("rules.title"),
        description=words.get("rules.description"),
        search_text=words.get("rules.search").format(titles=", ".join(f"{r.code} {r.title}" for r in rules)),
        toc=headings(body),
        html=body,
    )


def living(env: Environment, words: Words, rule: Rule, day: str) -> Page:
    """The page of a rule as it holds on the day, with its history; the first version if none holds yet."""
    version = rule.at(day) or rule.versions[-1]
    title = words.get("rules.rule_title").format(code=rule.code, title=rule.title)
    body = _body(env, rule, version, day, title, f"rules/{rule.id}/", permanent=False)
    return Page(
        address=f"rules/{rule.id}/",
        title=title,
        description=words.get("rules.rule_description").format(code=rule.code, title=rule.title),
        search_text=f"{title}. {version.statement}",
        toc=headings(body),
        html=body,
    )


def permanent(env: Environment, words: Words, rule: Rule, version: RuleVersion, day: str) -> Page:
    """One version of a rule at an address that never changes; out of search, so that readers find the living page."""
    at = f"rules/{rule.id}/{version.from_day}/"
    parts = {"code": rule.code, "title": rule.title, "day": version.from_day}
    title = words.get("rules.version_title").format(**parts)
    body = _body(env, rule, version, day, title, at, permanent=True)
    return Page(
        address=at,
        title=title,
        description=words.get("rules.version_description").format(**parts),
        search_text=title,
        toc=headings(body),
        html=body,
        indexed=False,
    )


def _body(
    env: Environment, rule: Rule, version: RuleVersion, day: str, title: str, at: str, *, permanent: bool
) -> str:
    return render(
        env,
        "rule.html",
        root=root(at),
        rule=rule,
        version=version,
        day=day,
        title=title,
        permanent=permanent,
        quantity=quantity,
    )
