"""What a generated page is: the types that publish.py knows."""

from __future__ import annotations

import itertools
import json
import re
from dataclasses import dataclass, fields
from html import unescape
from urllib.parse import urlsplit

from markupsafe import Markup

_HEADING = re.compile(r'<h2 id="([^"]+)"[^>]*>(.*?)</h2>', re.DOTALL)
_SUMMARY = re.compile(r"<h([1-6])\b[^>]*>.*?</h\1>(?:\s*<p>.*?</p>)?", re.DOTALL)
RESERVED = ("test", "example", "invalid", "localhost")  # names that lead nowhere, by RFC 2606
_TAG = re.compile(r"<[^>]+>")
_NUMBER = re.compile(r'(<a class="fw-fig-number" href="[^"]*">[^<\d]*)\d+')


@dataclass(frozen=True, kw_only=True)
class Head:
    """What is known of a page without its body: `address` ("" for the start page, else ending with "/"), plain texts.

    `toc` holds (id, plain title) of the second-level headings; a page that is not `indexed` stays out of search, one
    with a `boost` above 1 comes before others that hold the same words: the glossary (in its front matter), machines,
    plans, guidance, rules, in this order.  One with `moved_to` opens the page at that address.

    The two lines of the `header` say what is open and in which configuration or part of the site; empty ones: the
    title, and the section that the address stands in.  `demonstration`: the page shows invented data; None where that
    is as for the whole site.  A page with the bar of a crane has its `part` of it ("" for none), and the address of
    the `plan` it belongs to.
    """

    address: str
    title: str
    description: str
    search_text: str
    toc: tuple[tuple[str, str], ...]
    indexed: bool = True
    boost: float = 1.0
    moved_to: str | None = None
    header: tuple[str, str] = ("", "")
    demonstration: bool | None = None
    part: str | None = None
    plan: str = ""


@dataclass(frozen=True, kw_only=True)
class Page(Head):
    """One page with its ready HTML body."""

    html: str

    def head(self) -> Head:
        """The page without its body."""
        return Head(**{one.name: getattr(self, one.name) for one in fields(Head)})


def headings(html: str) -> tuple[tuple[str, str], ...]:
    """Ids and plain texts of the second-level headings of a body.

    >>> headings('<h2 id="a">One <b>two</b></h2><h2 id="b">A &amp; B</h2>')
    (('a', 'One two'), ('b', 'A & B'))
    """
    return tuple((found, unescape(_TAG.sub("", text)).strip()) for found, text in _HEADING.findall(html))


def numbered(html: str) -> str:
    """The body of a page with its figures numbered from 1 in the order they stand.

    >>> numbered('<a class="fw-fig-number" href="#a">Figure 0</a><a class="fw-fig-number" href="#b">Figure 0</a>')
    '<a class="fw-fig-number" href="#a">Figure 1</a><a class="fw-fig-number" href="#b">Figure 2</a>'
    """
    count = itertools.count(1)
    return _NUMBER.sub(lambda found: f"{found[1]}{next(count)}", html)


def summary(html: str) -> str:
    """What search keeps of a hand-written page: every heading, with the paragraph right under it.

    >>> summary('<h1 id="a">A</h1><p>Lead.</p><p>More.</p><h2 id="b">B</h2><table><tr><td>54 m</td></tr></table>')
    '<h1 id="a">A</h1><p>Lead.</p><h2 id="b">B</h2>'
    """
    return "".join(found[0] for found in _SUMMARY.finditer(html))


def published(address: str | None) -> str | None:
    """The address a site is published at, ending with "/"; None while it has none that leads there from elsewhere:
    unset, a name kept for examples or tests (RFC 2606), or this computer.

    >>> published("https://crane.example.net/plans"), published("https://crane-yard.org/plans")
    (None, 'https://crane-yard.org/plans/')
    """
    host = (urlsplit(address or "").hostname or "").rstrip(".")
    last = host.split(".")[-2:]
    reserved = last[-1] in RESERVED or (last[0] == "example" and last[-1] in ("com", "net", "org"))
    return None if not host or reserved or host.startswith("127.") or host == "::1" else f"{str(address).rstrip('/')}/"


def root(address: str) -> str:
    """The way from a page back to the start page, for links that hold wherever the site is put.

    >>> root("machines/heron/41m/"), root("")
    ('../../../', './')
    """
    return "../" * address.count("/") or "./"


def in_script(content: object) -> Markup:
    """Data as JSON that may stand in a script element, whatever its texts hold.

    >>> in_script({"a": "</script>"})
    Markup('{"a":"\\\\u003c/script>"}')
    """
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c"))
