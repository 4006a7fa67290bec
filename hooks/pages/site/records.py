"""The page of what run sheets have left on this phone: unfinished sheets and records, to export and delete."""

from __future__ import annotations

from jinja2 import Environment

from hooks.text import addresses
from hooks.text.environment import render
from hooks.text.page import Page, headings, in_script, root
from hooks.text.words import Words


def page(env: Environment, words: Words) -> Page:
    """Records on this phone."""
    body = render(
        env, "records.html", root=root(addresses.RECORDS), script=in_script({"words": words.get("kept.script")})
    )
    return Page(
        address=addresses.RECORDS,
        title=words.get("kept.title"),
        description=words.get("kept.description"),
        search_text=words.get("kept.search"),
        toc=headings(body),
        html=body,
    )
