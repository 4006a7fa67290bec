"""The page of what run sheets have left on this phone: unfinished sheets and records, to export and delete.

May import: markupsafe, page, words, environment.  Must not know: plans, MkDocs; the list itself is made on the phone.
"""

from __future__ import annotations

import json

from jinja2 import Environment
from markupsafe import Markup

from hooks.render.environment import render
from hooks.render.page import Page, headings, root
from hooks.render.words import Words

ADDRESS = "records/"


def page(env: Environment, words: Words) -> Page:
    """Records on this phone."""
    body = render(env, "records.html", root=root(ADDRESS), script=in_script({"words": words.get("kept.script")}))
    return Page(
        address=ADDRESS,
        title=words.get("kept.title"),
        description=words.get("kept.description"),
        search_text=words.get("kept.search"),
        toc=headings(body),
        html=body,
    )


def in_script(content: object) -> Markup:
    """Data as JSON that may stand in a script element, whatever its texts hold.

    >>> in_script({"a": "</script>"})
    Markup('{"a":"\\\\u003c/script>"}')
    """
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c"))
