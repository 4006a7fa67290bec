"""How a page is cited: one line of text and a BibTeX entry, with what dates it and its permanent address."""

from __future__ import annotations

import re
from dataclasses import dataclass

from hooks.text.words import Words

# What TeX reads as a mark of its own, and how it is written to come out as itself.
_MARKS = {mark: f"\\{mark}" for mark in "{}$&#_%"}
_MARKS |= {"\\": r"\textbackslash{}", "~": r"\textasciitilde{}", "^": r"\textasciicircum{}"}
_KEY = re.compile(r"[^A-Za-z0-9]+")


@dataclass(frozen=True)
class Cited:
    """A page as it is cited: text, BibTeX entry, and whether it can name a permanent address."""

    text: str
    bibtex: str
    permanent: bool


def cited(words: Words, site: str | None, address: str, title: str, version: str, day: str) -> Cited:
    """The page at an `address` below that of the `site`, None while there is none; `version` says in words which state
    of it, `day` dates it."""
    author, where = words.get("cite.author"), f"{site}{address}" if site else None
    fields = {"author": escaped(author), "title": escaped(title), "year": day[:4], "note": escaped(version)}
    fields |= {"url": where} if where else {}
    lines = ",\n".join(f"{name} = {{{value}}}" for name, value in fields.items())
    text = words.get("cite.text").format(author=author, title=one_line(title), version=version, address=where or "")
    text = text.strip().replace("?. ", "? ")  # a title may be a question
    return Cited(text, f"@misc{{{key(address, day)},\n{lines}\n}}", bool(where))


def key(address: str, day: str) -> str:
    """The name of a BibTeX entry: the end of the `address` and the `day`.

    >>> key("machines/heron/27m/", "2026-11-25"), key("rules/wind/2026-03-01/", "2026-03-01")
    ('heron-27m-2026-11-25', 'wind-2026-03-01')
    """
    parts = [part for part in address.split("/") if part and part != day]
    return _KEY.sub("-", "-".join([*(parts[1:] or parts), day]))


def escaped(text: str) -> str:
    """A text on one line, to stand between braces in BibTeX.

    >>> print(escaped("5 % of A_b & {c}"))
    5 \\% of A\\_b \\& \\{c\\}
    """
    return "".join(_MARKS.get(mark, mark) for mark in one_line(text))


def one_line(text: str) -> str:
    """A `text` with every run of blanks and line ends as one blank."""
    return " ".join(text.split())
