"""A plan as one file: its page and that of its working, without script and without requests, to be kept and passed on.

Made from the ready pages.  Everything is unfolded, every number stands in both unit systems, links lead to the site by
their whole address; without one their text stays.  A figure is drawn in one unit system, its description in words has
both.
"""

from __future__ import annotations

import base64
import hashlib
import re
from urllib.parse import urljoin

from jinja2 import Environment
from markupsafe import Markup

from calc import ROOT
from calc.data.model import Machine
from hooks.text.environment import NO_BREAK, render
from hooks.text.page import Page

STYLES = (
    *(f"docs/assets/{name}.css" for name in ("site", "plan", "cards", "figures")),
    "hooks/templates/onefile.css",
)
NAME = "plan.html"

# What only the page on the site has a use for; the table of moves comes with the working.
_ON_SITE = re.compile(
    r'<link[^>]*>|<script.*?</script>|<nav class="fw-(?:way|neighbours|doors)".*?</nav>'
    r'|<p class="fw-(?:hand|card-nav)[^>]*>.*?</p>|<section class="fw-wide">.*?</section>'
    r'|<details id="behind">.*?</details>',
    re.DOTALL,
)
_TOP = re.compile(r'<h1 id="[^"]*">(.*?)</h1>', re.DOTALL)
_BOTH = re.compile(r"<x-m>(.*?)</x-m><x-u>(.*?)</x-u>", re.DOTALL)
_FOLDED = re.compile(r"<details(?![^>]*\bopen\b)")
_DRAWN = re.compile(r'<tspan(?: class="u-metric")?>(.*?)</tspan><tspan(?: class="u-us")?>(.*?)</tspan>', re.DOTALL)
_FIGURE = re.compile(r'(<figure class="fw-fig".*?<desc[^>]*>(.*?)</desc>.*?)</figcaption>', re.DOTALL)
_LINK = re.compile(r'<a href="(?!#)([^"]*)"[^>]*>(.*?)</a>', re.DOTALL)
_SCHEME = re.compile(r'\[data-md-color-scheme="slate"\] (\{[^}]*\})')
_COMMENT = re.compile(r"/\*.*?\*/|\n\s*", re.DOTALL)


def file(env: Environment, page: Page, behind: Page, machine: Machine, site: str | None, day: str) -> dict[str, str]:
    """The file of a plan's `page` with the working `behind` it, by its address; figures in the units of the `machine`,
    data of `day`."""
    styles = css()
    hashed = base64.b64encode(hashlib.sha256(styles.encode()).digest()).decode()
    address = f"{site}{page.address}" if site else None
    content = render(
        env,
        "onefile.html",
        title=page.title,
        policy=f"default-src 'none'; style-src 'sha256-{hashed}'; base-uri 'none'; form-action 'none'",
        styles=Markup(styles),
        address=address,
        day=day,
        demonstration=machine.status == "demonstration",
        body=Markup(_both_pages(page, behind, machine.units, site)),
    )
    return {f"{page.address}{NAME}": content}


def _both_pages(page: Page, behind: Page, units: str, site: str | None) -> str:
    """The page and what is behind it as one body; a link from one to the other stays inside."""
    inside = page.html.replace('href="working/#', 'href="#')
    parts = (inside, page.address), (_TOP.sub(r"<h2>\1</h2>", behind.html), behind.address)
    return "\n".join(body(html, units, f"{site}{at}" if site else None) for html, at in parts)


def css() -> str:
    """The styles of the site's pages, light or dark as the system has it."""
    text = "\n".join((ROOT / name).read_text(encoding="utf-8") for name in STYLES)
    text = _SCHEME.sub(r"@media (prefers-color-scheme: dark) { :root \1 }", text)
    return _COMMENT.sub("", text.replace('[data-md-color-scheme="default"] {', ":root {"))


def body(html: str, units: str, address: str | None) -> str:
    """The body of a page, made to stand by itself.

    >>> body('<a href="#a">A</a> <a href="../b/">B</a> <x-m>1 m</x-m><x-u>3 ft</x-u>', "us", None)
    '<a href="#a">A</a> B 1\\xa0m (3\\xa0ft)'
    >>> body('<a href="../b/">B</a><details class="c">', "us", "https://crane-yard.org/a/")
    '<a href="https://crane-yard.org/b/">B</a><details open class="c">'
    """
    html = _ON_SITE.sub("", html)
    html = _BOTH.sub(lambda found: _pair(*found.groups()), html)
    html = _DRAWN.sub(r"\2" if units == "us" else r"\1", html)
    html = _FIGURE.sub(r"\1 \2</figcaption>", html)
    html = _LINK.sub(lambda found: _link(found[1], found[2], address), html)
    return _FOLDED.sub("<details open", html)


def _pair(metric: str, us: str) -> str:
    return metric if metric == us else f"{metric} ({us})".replace(" ", NO_BREAK).replace(f"{NO_BREAK}(", " (")


def _link(href: str, text: str, address: str | None) -> str:
    return f'<a href="{urljoin(address, href)}">{text}</a>' if address else text
