"""The page that writes a report of a fault: the page meant, its data and build are filled in.

Every page links here from its foot with a few bytes; the page that was left is told by the browser.
"""

from __future__ import annotations

from jinja2 import Environment

from calc.data.files import Errors, Problem
from calc.data.model import Data
from hooks.text import addresses
from hooks.text.environment import render
from hooks.text.page import Page, in_script, published, root
from hooks.text.words import Words

KINDS = ("mailto:", "https://")


def page(env: Environment, words: Words, data: Data, day: str, to: str | None) -> Page | None:
    """The page for reports that go to the address `to`; None without one.

    Errors: files.Errors for an address of another kind than `KINDS`.
    """
    if not to:
        return None
    if not to.startswith(KINDS):
        text = f"'{to}' is no address a report can go to; write one that begins with {' or '.join(KINDS)}"
        raise Errors([Problem("mkdocs.yml", 1, "extra.fault", text)])
    host = to.rpartition("@")[2]
    example = published(host if "://" in host else f"https://{host}") is None
    told = {
        "to": to,
        "day": day,
        "revisions": {machine.id: machine.revision for machine in data.machines.values()},
        "words": words.get("fault.script"),
    }
    return Page(
        address=addresses.FAULT,
        title=words.get("fault.title"),
        description=words.get("fault.description"),
        search_text="",
        toc=(),
        html=render(
            env, "fault.html", root=root(addresses.FAULT), to=to, day=day, example=example, script=in_script(told)
        ),
        indexed=False,
    )
