"""The start page: the cranes with what is due, the questions of a crew, five cautions, what the site is."""

from __future__ import annotations

from collections.abc import Sequence

from jinja2 import Environment

from calc.data.model import Data
from hooks.pages.site.glance import Glance
from hooks.text import addresses
from hooks.text.environment import render
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

BY_DATE = ("inspection-overdue", "nothing")  # what the phone judges by its own date, and what needs no line


def page(env: Environment, words: Words, data: Data, cranes: Sequence[Glance], day: str) -> Page:
    """The start page of everything in the data; `cranes` at a glance."""
    machines = list(data.machines.values())
    body = render(
        env,
        "start.html",
        root=root(""),
        machines=machines,
        day=day,
        cranes=cranes,
        by_date=BY_DATE,
    )
    return Page(
        address=addresses.START,
        title=words.get("start.title"),
        description=words.get("start.description"),
        search_text=words.get("start.search"),
        toc=headings(body),
        demonstration=any(machine.status == "demonstration" for machine in machines),
        html=body,
    )
