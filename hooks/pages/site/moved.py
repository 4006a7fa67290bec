"""Addresses that lead to other pages: a page for each, and what is wrong with them once all pages are known."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from jinja2 import Environment

from calc.data.model import Redirect
from hooks.text.environment import render
from hooks.text.page import Page, root
from hooks.text.words import Words


def pages(env: Environment, words: Words, redirects: Iterable[Redirect]) -> list[Page]:
    """A page at each old address that opens the new one, and links to it where a browser does not."""
    found = []
    for one in redirects:
        there = f"{root(one.old)}{one.new}"
        found.append(
            Page(
                address=one.old,
                title=words.get("moved.title").format(address=one.new),
                description=words.get("moved.description").format(address=one.new),
                search_text="",
                toc=(),
                html=render(env, "moved.html", there=there, address=one.new),
                indexed=False,
                moved_to=one.new,
            )
        )
    return found


def errors(redirects: Iterable[Redirect], addresses: Collection[str]) -> Iterator[str]:
    """What is wrong with `redirects`, given the `addresses` of all other pages."""
    for one in redirects:
        if one.old in addresses:
            yield f"{one.where}: '{one.old}' is the address of a page; take the line out or move the page"
        if one.new not in addresses:
            yield f"{one.where}: there is no page '{one.new}'; write the address of one, like guidance/glossary/"
