"""What a generated page is: the one type that publish.py knows.

May import: the standard library.  Must not know: MkDocs, templates, plans.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import unescape

_HEADING = re.compile(r'<h2 id="([^"]+)"[^>]*>(.*?)</h2>', re.DOTALL)
_SUMMARY = re.compile(r"<h([1-6])\b[^>]*>.*?</h\1>(?:\s*<p>.*?</p>)?", re.DOTALL)
_TAG = re.compile(r"<[^>]+>")


@dataclass(frozen=True)
class Page:
    """One page: `address` ("" for the start page, else ending with "/"), plain texts, and the ready HTML body.

    `toc` holds (id, plain title) of the second-level headings; a page that is not `indexed` stays out of search, one
    with a `boost` above 1 comes before others that hold the same words: the glossary (in its front matter), machines,
    plans, guidance, rules, in this order.
    """

    address: str
    title: str
    description: str
    search_text: str
    toc: tuple[tuple[str, str], ...]
    html: str
    indexed: bool = True
    boost: float = 1.0


def headings(html: str) -> tuple[tuple[str, str], ...]:
    """Ids and plain texts of the second-level headings of a body.

    >>> headings('<h2 id="a">One <b>two</b></h2><h2 id="b">A &amp; B</h2>')
    (('a', 'One two'), ('b', 'A & B'))
    """
    return tuple((found, unescape(_TAG.sub("", text)).strip()) for found, text in _HEADING.findall(html))


def summary(html: str) -> str:
    """What search keeps of a hand-written page: every heading, with the paragraph right under it.

    >>> summary('<h1 id="a">A</h1><p>Lead.</p><p>More.</p><h2 id="b">B</h2><table><tr><td>54 m</td></tr></table>')
    '<h1 id="a">A</h1><p>Lead.</p><h2 id="b">B</h2>'
    """
    return "".join(found[0] for found in _SUMMARY.finditer(html))


def root(address: str) -> str:
    """The way from a page back to the start page, for links that hold wherever the site is put.

    >>> root("machines/heron/41m/"), root("")
    ('../../../', './')
    """
    return "../" * address.count("/") or "./"
