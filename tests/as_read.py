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
    """What stands under this id: from a heading to the next of its level, of any other element all that it holds."""
    found = re.search(rf'<(\w+)\b[^>]* id="{id}"[^>]*>', html)
    if found is None:
        return ""
    name, after = found[1], html[found.end() :]
    if re.fullmatch(r"h\d", name):
        return after.partition(f"<{name}")[0]
    depth = 1
    for tag in re.finditer(rf"<(/?){name}\b", after):
        depth += -1 if tag[1] else 1
        if not depth:
            return after[: tag.start()]
    return after


def rows(html: str, units: str = "metric") -> list[list[str]]:
    """The cells of the first table as a reader sees them, its head left out."""
    body = html.partition("<tbody>")[2].partition("</table>")[0]
    found = re.findall(r"<tr\b[^>]*>(.*?)(?=<tr\b|\Z)", body, re.DOTALL)
    return [
        [text(cell, units) for cell in re.findall(r"<t[hd][^>]*>(.*?)(?=<t[hd]|\Z)", row, re.DOTALL)] for row in found
    ]
