"""Changes of real data files, for the tests of bad input: nonsense, another way of writing the same, another digit, and
anything at all.

Each is a function of a file as it stands and of two whole numbers that choose the place and the way; it returns the
new content, or None where the file has no such place.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import yaml

from calc.checks import kinds
from calc.data import files, schema, units

Change = Callable[["Source", int, int], "bytes | None"]
FOLDERS = {kind.folder: kind.schema for kind in kinds.KINDS if kind is not kinds.EARLIER}


@dataclass(frozen=True, repr=False)
class Source:
    """One real file of the data."""

    folder: str
    name: str
    content: bytes
    document: files.Document

    def __repr__(self) -> str:
        return f"{self.folder}/{self.name}"

    @cached_property
    def text(self) -> str:
        return self.content.decode()

    @cached_property
    def kind(self) -> str:
        return FOLDERS[self.folder]

    @cached_property
    def leaves(self) -> dict[files.Where, Any]:
        return dict(leaves(self.document.data))

    @cached_property
    def si(self) -> dict[files.Where, Any]:
        return dict(leaves(to_si(schema.schema(self.kind), self.document.data)))

    @cached_property
    def quantities(self) -> list[tuple[files.Where, str]]:
        """Every quantity that has a unit, with its place."""
        return [(path, text) for path, text in self.leaves.items() if isinstance(text, str) and self.si[path] != text]

    @cached_property
    def tokens(self) -> list[Any]:
        return list(yaml.scan(self.text))


def source(rules: Path, folder: str, name: str) -> Source:
    path = rules / folder / name
    return Source(folder, name, path.read_bytes(), files.read(path, f"rules/{folder}/{name}"))


def to_si(node: dict[str, Any], data: Any) -> Any:
    """The same data with every quantity as SI float; `data` must match the schema `node`."""
    kind = node.get("quantity")
    if kind and isinstance(data, str):
        return units.read(data, units.kind_of(data) if kind == "any" else kind)
    if isinstance(data, dict):
        named, other = node.get("properties", {}), node.get("additionalProperties") or {}
        return {key: to_si(named.get(key, other), value) for key, value in data.items()}
    if isinstance(data, list):
        each = node.get("prefixItems") or [node.get("items") or {}] * len(data)
        return [to_si(part, value) for part, value in zip(each, data, strict=True)]
    return data


def leaves(data: Any, path: files.Where = ()) -> Iterator[tuple[files.Where, Any]]:
    """Every value that holds no other, with its place."""
    if isinstance(data, dict | list):
        for key, value in data.items() if isinstance(data, dict) else enumerate(data):
            yield from leaves(value, (*path, key))
    else:
        yield path, data


def _instead(it: Source, path: files.Where, old: str, new: str) -> bytes:
    """The file with `new` written instead of the value or name `old`, which stands in the line of `path`."""
    line = it.document.line(path) - 1
    found = (t for t in it.tokens if isinstance(t, yaml.ScalarToken) and t.start_mark.line == line and t.value == old)
    token = next(found)
    return (it.text[: token.start_mark.index] + new + it.text[token.end_mark.index :]).encode()


# -- nonsense: never data ---------------------------------------------------------------------------------------------

NO_QUANTITY = (
    "{0} {1}q",
    "{0},5 {1}",
    "1,{0} {1}",
    "-{0} {1}",
    "+{0} {1}",
    "{0}e2 {1}",
    "{0}_0 {1}",
    "0{0} {1}",
    "{0}. {1}",
    "{0}.5.5 {1}",
    "{0} 1/2 {1}",
    "{0}{1}",
    "{0}  {1}",
    "{0}\u00a0{1}",
    "\uff11{0} {1}",
    "\u0661 {1}",
    "nan {1}",
    ".inf {1}",
    "about {0} {1}",
    "{0} {1} or so",
    "",
    "~",
    "yes",
    "012",
    "0x10",
    "1:30",
    "2026-11-02",
    "[{0} {1}]",
    "{{a: {0} {1}}}",
    "*x",
    "&x {0} {1}",
    "!x {0} {1}",
    "@{0} {1}",
    "`{0} {1}",
    '"{0} {1}\\u0000"',
    "9" * 400 + " {1}",
)


def no_quantity(it: Source, place: int, way: int) -> bytes | None:
    """What is no quantity where one belongs."""
    if not it.quantities:
        return None
    path, text = it.quantities[place % len(it.quantities)]
    number, unit = text.split(" ")
    return _instead(it, path, text, NO_QUANTITY[way % len(NO_QUANTITY)].format(number, unit))


def unknown_name(it: Source, place: int, way: int) -> bytes | None:
    """A name with a letter too many."""
    named = [path for path in it.document.lines if path and isinstance(path[-1], str)]
    path = named[place % len(named)]
    name = str(path[-1])
    at = way % (len(name) + 1)
    return _instead(it, path, name, f"{name[:at]}q{name[at:]}")


def twice(it: Source, place: int, way: int) -> bytes | None:
    """A line with a name and its value, a second time."""
    lines = it.text.split("\n")
    whole = [number for number, line in enumerate(lines) if re.match(r" *[\w-]+: [^#]", line)]
    at = whole[place % len(whole)]
    return "\n".join([*lines[: at + 1], lines[at], *lines[at + 1 :]]).encode()


def missing(it: Source, place: int, way: int) -> bytes | None:
    """The file without one of the names it must have."""
    needed = schema.schema(it.kind)["required"]
    blocks = re.split(r"(?m)^(?=[a-z])", it.text)
    return "".join(block for block in blocks if not block.startswith(f"{needed[place % len(needed)]}:")).encode()


UNSEEN = ("\0", "\a", "\x1b", "\x7f", "\u200b", "\u202e", "\u2028", "\u00ad")


def unseen(it: Source, place: int, way: int) -> bytes | None:
    """A character that nobody sees, or bytes that are no text, anywhere."""
    at = 1 + place % (len(it.text) - 1)
    kinds = [*(one.encode() for one in UNSEEN), b"\xff", b"\xed\xa0\x80", b"\xc0\xaf"]
    return it.text[:at].encode() + kinds[way % len(kinds)] + it.text[at:].encode()


NONSENSE: tuple[Change, ...] = (no_quantity, unknown_name, twice, missing, unseen)


# -- neutral: written in another way, said the same -------------------------------------------------------------------


def line_ends(it: Source, place: int, way: int) -> bytes | None:
    return it.text.replace("\n", "\r\n").encode()


def byte_order_mark(it: Source, place: int, way: int) -> bytes | None:
    return it.text.encode("utf-8-sig")


def comment(it: Source, place: int, way: int) -> bytes | None:
    lines = it.text.split("\n")
    at = place % len(lines)
    indent = " " * (way % 7)
    return "\n".join([*lines[:at], f"{indent}# length: 1 m, [{{", *lines[at:]]).encode()


def quotes(it: Source, place: int, way: int) -> bytes | None:
    """A plain text in quotes: any text that is not a number or true or false."""
    plain = [t for t in it.tokens if isinstance(t, yaml.ScalarToken) and t.plain]
    plain = [t for t in plain if not re.fullmatch(r"true|false|\d+(\.\d+)?", t.value) and "\n" not in t.value]
    token = plain[place % len(plain)]
    single = "'{}'".format(token.value.replace("'", "''"))
    written = json.dumps(token.value, ensure_ascii=bool(way & 2)) if way & 1 else single
    return (it.text[: token.start_mark.index] + written + it.text[token.end_mark.index :]).encode()


def order(it: Source, place: int, way: int) -> bytes | None:
    """Two names of the file, with all that belongs to them, change places."""
    head, *blocks = re.split(r"(?m)^(?=[a-z])", it.text if it.text.endswith("\n") else f"{it.text}\n")
    a, b = place % len(blocks), way % len(blocks)
    blocks[a], blocks[b] = blocks[b], blocks[a]
    return (head + "".join(blocks)).encode()


def blanks(it: Source, place: int, way: int) -> bytes | None:
    """Blanks at the ends of lines and empty lines; in quotes a blank would be text."""
    lines = it.text.split("\n")
    at = place % len(lines)
    return "\n".join([*lines[:at], lines[at] + " " * (1 + way % 3), "", *lines[at + 1 :]]).encode()


NEUTRAL: tuple[Change, ...] = (line_ends, byte_order_mark, comment, quotes, order, blanks)


# -- another digit ----------------------------------------------------------------------------------------------------


def digits(it: Source) -> list[int]:
    """Places of all digits outside comments."""
    return [
        match.start()
        for token in it.tokens
        if isinstance(token, yaml.ScalarToken)
        for match in re.compile(r"\d").finditer(it.text, token.start_mark.index, token.end_mark.index)
    ]


def digit(it: Source, place: int, way: int) -> bytes | None:
    found = digits(it)
    if not found:
        return None
    at = found[place % len(found)]
    other = str((int(it.text[at]) + 1 + way % 9) % 10)
    return (it.text[:at] + other + it.text[at + 1 :]).encode()


# -- anything ---------------------------------------------------------------------------------------------------------


def anything(it: Source, place: int, way: int) -> bytes | None:
    """A piece cut out, written twice, moved, reversed, put in brackets or quotes, or torn off at the end."""
    size = len(it.content)
    start = place % size
    end = min(size, start + 1 + way % 97)
    before, piece, after = it.content[:start], it.content[start:end], it.content[end:]
    ways = (
        before + after,
        before + piece + piece + after,
        before + after + piece,
        before + piece[::-1] + after,
        before + b"[" + piece + b"]" + after,
        before + b"{" + piece + b"}" + after,
        before + b'"' + piece + b'"' + after,
        before + piece.replace(b":", b"").replace(b"\n", b" ") + after,
        before + piece.replace(b" ", b"\t") + after,
        before + bytes(byte ^ 1 << way % 8 for byte in piece[:1]) + piece[1:] + after,
        before,
    )
    return ways[(place + way) % len(ways)]
