"""The Jinja environment of the generated pages: everything escaped, an unknown name is an error.

Numbers reach a page only through the functions below: rounded once by calc.rounding, in both unit systems.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from jinja2 import BytecodeCache, Environment, FileSystemLoader, StrictUndefined
from jinja2.bccache import Bucket
from markupsafe import Markup, escape

from calc import ROOT, rounding
from hooks import store
from hooks.text import addresses
from hooks.text.page import numbered
from hooks.text.words import Words

TEMPLATES = ROOT / "hooks/templates"
NO_BREAK = "\u00a0"
_HEADER = re.compile(r"<th(?=[ >])(?![^>]*scope=)")
_BOTH = re.compile(r"<x-m>(.*?)</x-m><x-u>(.*?)</x-u>")
_UNIT = re.compile(r"[ \u00a0][^ \u00a0<]+(?=</x-[mu]>)")
_END_TAG = re.compile(r"</(?:td|th|tr|li|dt|dd|thead|tbody)>\n?")


def both(pair: rounding.Pair) -> Markup:
    """One number in both unit systems; the switch hides one of the two.

    Two element names of our own: with hundreds of numbers on a page, spans with classes would be a fifth of it.

    >>> both(rounding.Pair("1.5 t", "3,300 lb"))
    Markup('<x-m>1.5 t</x-m><x-u>3,300 lb</x-u>')
    """
    metric, us = pair
    return Markup(f"<x-m>{escape(metric)}</x-m><x-u>{escape(us)}</x-u>")  # Markup.format takes three times as long


def whole(text: str) -> Markup:
    """A number and its unit, never parted at a line's end."""
    return escape(text.replace(" ", NO_BREAK))


def plain(pair: rounding.Pair) -> str:
    """One number in both unit systems as plain text, for titles and descriptions."""
    return f"{pair.metric} ({pair.us})"


def scoped(rows: str) -> Markup:
    """The rows of a table, each header with its scope: a column's in the head, a row's in the body.

    >>> scoped("<thead><tr><th>Falls</th></tr></thead><tbody><tr><th>8</th></tr></tbody>")
    Markup('<thead><tr><th scope="col">Falls</th></tr></thead><tbody><tr><th scope="row">8</th></tr></tbody>')
    """
    head, end, body = str(rows).partition("</thead>")
    return Markup(_HEADER.sub('<th scope="col"', head) + end + _HEADER.sub('<th scope="row"', body))


def unmarked(text: str) -> str:
    """A text for an attribute: each number in both units, no tags.

    >>> unmarked(Markup("Boom <x-m>54 m</x-m><x-u>177 ft</x-u>"))
    'Boom 54 m (177 ft)'
    """
    return str(Markup(_BOTH.sub(r"\1 (\2)", str(text))).striptags()) if isinstance(text, Markup) else text


def bare(quantity: Markup) -> Markup:
    """Numbers without their units, which stand in the head of the column.

    >>> bare(both(rounding.Pair("57.2 kN", "12,850 lbf")))
    Markup('<x-m>57.2</x-m><x-u>12,850</x-u>')
    """
    return Markup(_UNIT.sub("", str(quantity)))


def metres(value: float, side: str) -> Markup:
    return both(rounding.length(value, side))


def rope(value: float, side: str) -> Markup:
    return both(rounding.rope(value, side))


def mass(value: float, side: str) -> Markup:
    return both(rounding.mass(value, side))


def tonnage(kilograms: float) -> Markup:
    """The capacity class of a crane: whole tonnes and US tons, as cranes are spoken of."""
    return both(
        rounding.Pair(f"{kilograms / 1000:.0f} t", f"{kilograms / rounding.KILOGRAMS_PER_POUND / 2000:.0f} US ton")
    )


def mass_per_length(value: float, side: str) -> Markup:
    return both(rounding.mass_per_length(value, side))


def force(value: float, side: str) -> Markup:
    return both(rounding.force(value, side))


def diameter(value: float, side: str) -> Markup:
    return both(rounding.diameter(value, side))


def rope_diameter(value: float) -> Markup:
    return both(rounding.rope_diameter(value))


def speed(value: float, side: str) -> Markup:
    return both(rounding.speed(value, side))


def share(value: float, side: str) -> Markup:
    return whole(rounding.share(value, side))


def tenth_share(value: float, side: str) -> Markup:
    return whole(rounding.tenth_share(value, side))


def whole_minutes(value: float) -> Markup:
    return whole(f"{rounding.whole_minutes(value)} min")


class Compiled(BytecodeCache):
    """Templates as Python's own code, kept in a `folder` for the next build: to compile them takes two seconds."""

    def __init__(self, folder: Path) -> None:
        self._store = store.Store(folder)
        self._key = store.digest([*store.installed(), *store.files(Path(__file__)).values()])
        self._store.keep_only([self._key])

    def load_bytecode(self, bucket: Bucket) -> None:
        if self._store.has(self._key, bucket.key):
            bucket.bytecode_from_string(self._store.get(self._key, bucket.key, dict))

    def dump_bytecode(self, bucket: Bucket) -> None:
        self._store.put(self._key, bucket.key, bucket.bytecode_to_string())


def environment(words: Words, compiled: Compiled | None = None) -> Environment:
    """The environment all templates of hooks/templates are rendered in; those kept `compiled` are only read."""
    made = Environment(
        bytecode_cache=compiled,
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals |= {
        "t": words.say,
        "texts": words.get,
        "of_crane": addresses.OF_CRANE,
        "both": both,
        "bare": bare,
        "scoped": scoped,
        "unmarked": unmarked,
        "metres": metres,
        "rope": rope,
        "mass": mass,
        "tonnage": tonnage,
        "mass_per_length": mass_per_length,
        "force": force,
        "diameter": diameter,
        "rope_diameter": rope_diameter,
        "speed": speed,
        "share": share,
        "tenth_share": tenth_share,
        "minutes": rounding.minutes,
        "whole_minutes": whole_minutes,
        "wraps": rounding.wraps,
    }
    return made


def show(environment: Environment, template: str, view: object) -> str:
    """One template with the fields of its `view`, a dataclass, by their names; otherwise as `render`."""
    return render(environment, template, **vars(view))


def render(environment: Environment, template: str, **context: Any) -> str:
    """One template, less indents, blank lines and the end tags that HTML lets a page leave out: a tenth of a plan."""
    text = environment.get_template(template).render(**context)
    return numbered(_END_TAG.sub("", "\n".join(line.strip() for line in text.splitlines() if line.strip())))
