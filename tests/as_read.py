"""A generated page as a reader sees it."""

from __future__ import annotations

import re
from html import unescape


def text(html: str, units: str = "metric") -> str:
    """What a reader sees in one of the unit systems, on one line."""
    hidden = "u" if units == "metric" else "m"
    plain = re.sub(rf"<svg.*?</svg>|<x-{hidden}>.*?</x-{hidden}>", "", html, flags=re.DOTALL)
    plain = re.sub(r"<(?:p|li|t[rhd]|d[ltd]|h\d|div|summary|a|details)\b[^>]*>", " ", plain)
    return " ".join(unescape(re.sub(r"<[^>]+>", "", plain)).replace("\u00a0", " ").split())


def part(html: str, id: str) -> str:
    """From the heading of this id to the next heading of the same level."""
    return html.partition(f'<h2 id="{id}">')[2].partition("<h2")[0]


def rows(html: str, units: str = "metric") -> list[list[str]]:
    """The cells of the first table as a reader sees them, its head left out."""
    body = html.partition("<tbody>")[2].partition("</table>")[0]
    found = re.findall(r"<tr\b[^>]*>(.*?)(?=<tr\b|\Z)", body, re.DOTALL)
    return [
        [text(cell, units) for cell in re.findall(r"<t[hd][^>]*>(.*?)(?=<t[hd]|\Z)", row, re.DOTALL)] for row in found
    ]
