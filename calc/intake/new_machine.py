"""An empty machine file, written from the schema: every field with what it is, how it is written, where it is found."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from calc.data import schema, units
from calc.data.model import Profile
from calc.intake import put

Schema = dict[str, Any]

WIDTH = 110
LAST = "configurations"  # filled from a capacity table; the charts come to the end of the file
HEAD = """\
# yaml-language-server: $schema=../schema/machine.schema.json
# One winch of one crane. Above each line stands what it is, an example, how it is written and where it is found; the
# examples are of an invented crane. Fill in every line that ends with a colon. To use an optional line, take the "# "
# in front of it away. Comments may stay or go. The charts come last, from a capacity table:
#   python -m calc chart TABLE.csv --machine {id} --configuration full-counterweight >> rules/machines/{id}.yaml
# What is still empty or does not fit, line by line:
#   python -m calc check
"""


class Exists(Exception):
    """There is such a file already, or the name cannot be one."""


def write(folder: Path, id: str, day: str, profile: Profile) -> Path:
    """Write an empty file for the machine `id` into a data `folder`, its first revision of a `day`; what the `profile`
    of the site says may be left out of it.  Returns the file written.

    Errors: Exists, for a file that is there already, which stays as it is, and for what is no id; OSError when the disk
    refuses, and there is no such file then.
    """
    if wrong := schema.field_text("machine", "id", id):
        raise Exists(wrong)
    path = folder / "machines" / f"{id}.yaml"
    try:
        put.new(path, text(id, day, profile))
    except FileExistsError:
        raise Exists(f"{path} is there already and stays as it is; choose another id") from None
    except FileNotFoundError:
        raise Exists(f"there is no folder {path.parent}; see --data") from None
    return path


def text(id: str, day: str, profile: Profile) -> str:
    """The empty file of the machine `id`, first revision of `day`; the `profile` of the site counts where nothing else
    is said.

    >>> from calc.data.model import PROFILES
    >>> print(text("osprey", "2026-11-25", PROFILES["iso"]).partition("\\nrope:\\n")[2].partition("\\n\\n")[0])
      # Nominal rope diameter. Example: 26 mm
      # A number, a space and one of: m mm ft in, from 5 mm, up to 100 mm. Found: Rope certificate.
      diameter:
    """
    whole = schema.schema("machine")
    known = {"id": id, "status": "draft", "revision": f'"{day}"'}
    site = {"rulebook": profile.rulebook, "units": profile.units}
    fields = {name: node for name, node in whole["properties"].items() if name != LAST}
    lines = [HEAD.format(id=id), *_object({**whole, "properties": fields}, "", known, site), ""]
    return "\n".join([*lines, f"# {_sentence(whole['properties'][LAST]['description'])}", f"{LAST}:", ""])


def _object(node: Schema, indent: str, known: Mapping[str, str], site: Mapping[str, str]) -> Iterator[str]:
    """The lines of an object; each field once, those that may be left out switched off."""
    either = [branch["required"][0] for branch in node.get("oneOf", ())]
    for number, (name, field) in enumerate(node["properties"].items()):
        if number:
            yield ""
        needed = name in node["required"] or name in either[:1]
        note = "" if needed else "Optional. "
        if name in either:
            note = f"Either this or {' or '.join(other for other in either if other != name)}. "
        elif name in site:
            note = f"Optional. This site: {site[name]}. "
        comment, lines = _field(name, field, indent, known.get(name, ""), note)
        yield from comment
        yield from lines if needed else (f"{indent}# {line[len(indent) :]}".rstrip() for line in lines)


def _field(name: str, node: Schema, indent: str, value: str, note: str) -> tuple[list[str], list[str]]:
    """Comment and lines of one field, with the fields inside it."""
    what = f"{note}{_sentence(node['description'])}"
    line = f"{indent}{name}:"
    if "properties" in node:
        return _comment(what, indent), [line, *_object(node, indent + "  ", {}, {})]
    items = node.get("items")
    if isinstance(items, dict) and "properties" in items:
        inner = [line for line in _object(items, indent + "    ", {}, {}) if line]
        at = next(number for number, line in enumerate(inner) if not line.lstrip().startswith("#"))
        entry = [*(line[2:] for line in inner[:at]), f"{indent}  - {inner[at].lstrip()}", *inner[at + 1 :]]
        return _comment(f"{what} Repeat from the dash on.", indent), [line, *entry]
    said = [*_comment(f"{what} Example: {example(node)}", indent), *_comment(_how(node), indent)]
    return said, [f"{line} {value}".rstrip()]


def _comment(said: str, indent: str) -> list[str]:
    return [f"{indent}# {line}" for line in textwrap.wrap(said, WIDTH - len(indent), break_on_hyphens=False)]


def _sentence(said: str) -> str:
    return said if said.endswith(".") else f"{said}."


def _how(node: Schema) -> str:
    """How a value is written and where it is found."""
    return f"{_written(node)}. Found: {_sentence(node['found'])}"


def _written(node: Schema) -> str:
    kind = node.get("quantity")
    if kind:
        limits = [f"{word} {node[key]}" for key, word in (("least", "from"), ("most", "up to")) if key in node]
        unit = "" if kind == "any" else f", a space and one of: {' '.join(units.FACTORS[kind])}"
        return f"A number{unit or ', with its unit where it has one'}{''.join(f', {limit}' for limit in limits)}"
    if "enum" in node:
        return f"One of: {', '.join(node['enum'])}"
    if "day" in node:
        return "A day in quotes"
    if re.fullmatch(node.get("pattern", ""), "an-id"):
        return "Small letters, digits and hyphens"
    kinds = {"integer": "A whole number", "boolean": "true or false", "array": "A list in brackets"}
    return kinds.get(str(node["type"]), "Text")


def example(node: Schema) -> str:
    """The example of a field, as the `node` of its schema gives it, written as in a file.

    >>> example({"examples": ["26 mm"]}), example({"examples": [True]}), example({"examples": ["2026-11-25"]})
    ('26 mm', 'true', '"2026-11-25"')
    """
    (value,) = node["examples"]
    if isinstance(value, str):
        return json.dumps(value) if re.fullmatch(r"[\d.-]+", value) else value
    return json.dumps(value)
