"""The start page: choose a crane, the five cautions, what the site is.

May import: calc.model, page, words, environment.  Must not know: plans, MkDocs.
"""

from __future__ import annotations

from jinja2 import Environment

from calc.model import Data
from hooks.render.environment import render
from hooks.render.page import Page, headings, root
from hooks.render.words import Words


def page(env: Environment, words: Words, data: Data, day: str) -> Page:
    """The start page of everything in the data."""
    machines = list(data.machines.values())
    body = render(
        env,
        "start.html",
        root=root(""),
        machines=machines,
        demonstration=[m for m in machines if m.status == "demonstration"],
        day=day,
    )
    return Page(
        address="",
        title=words.get("start.title"),
        description=words.get("start.description"),
        search_text=words.get("start.search"),
        toc=headings(body),
        html=body,
    )
