"""The same content as Markdown files for bare mkdocs-material: what the site is measured against."""

from __future__ import annotations

import re
from pathlib import Path

from bs4 import BeautifulSoup
from markdownify import MarkdownConverter

SETTINGS = """site_name: The same content
site_url: https://firmwrap.example/
theme: {name: material, font: false}
markdown_extensions: [tables, attr_list]
nav: [index.md]
not_in_nav: "*"
validation: {links: {not_found: ignore, absolute_links: ignore, unrecognized_links: ignore, anchors: ignore}}
"""  # with all pages in the navigation it would take far longer: it renders the navigation on every page
_BODY = re.compile(r"<article[^>]*>(.*?)</article>", re.DOTALL)
_FIGURE = re.compile(r"<svg.*?</svg>", re.DOTALL)
_AGAIN = re.compile(r"^machines/([a-z]+)-\d+/")  # a further crane of the same shape, see fleet.py


def write(site: Path, folder: Path) -> Path:
    """Every page of a built site as Markdown under `folder`; returns its settings file."""
    known: dict[str, str] = {}
    for page in sorted(site.rglob("index.html")):
        name = page.parent.relative_to(site).as_posix() + "/"
        shape = _AGAIN.sub(r"machines/\1/", name)
        if shape not in known:
            known[shape] = _markdown(page.read_text(encoding="utf-8"))
        target = folder / "docs" / name / "index.md"
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(f"{known[shape]}\n\n{name}\n", encoding="utf-8")
    settings = folder / "mkdocs.yml"
    settings.write_text(SETTINGS, encoding="utf-8")
    return settings


def _markdown(html: str) -> str:
    """The body of a page as Markdown: headings, lists and tables; figures stay as they are."""
    body = _BODY.search(html)
    assert body, "a page without a body"
    figures: list[str] = []

    def aside(found: re.Match[str]) -> str:
        figures.append(found[0])
        return f" FIGURE{len(figures) - 1}END "

    soup = BeautifulSoup(_FIGURE.sub(aside, body[1]), "html5lib")  # which knows the end tags that pages leave out
    text = MarkdownConverter(heading_style="ATX").convert_soup(soup)
    return re.sub(r"FIGURE(\d+)END", lambda found: figures[int(found[1])], text)
