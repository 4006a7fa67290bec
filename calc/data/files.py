"""YAML files from disk: plain data, the line of every value, and every problem of the text at once.

YAML readers turn `no` into false, 012 into 10, 1:30 into 90 and a date into an object, and let a repeated key win
silently.  Data that people lift by may not change on the way, so all of that is refused here.
"""

from __future__ import annotations

import os
import re
import stat
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

Where = tuple[str | int, ...]

NEW = ".new"  # ends the name of a file that is being written beside the one whose place it will take
DEEPEST = 20  # nesting of the deepest real file is 6

_resolver: Any = yaml.resolver.Resolver()
_YAML = "tag:yaml.org,2002:"
_WHOLE = re.compile(r"0|[1-9][0-9]*")
_DECIMAL = re.compile(r"(0|[1-9][0-9]*)\.[0-9]+")
_REFUSED = {
    "bool": "'{}' is read as a yes/no value; write true or false, or put text in quotes",
    "int": "'{}' is not a plain whole number; write digits only, without sign, leading 0, _ or :",
    "float": "'{}' is not a plain number; write digits with a decimal point, like 0.5",
    "timestamp": '{} is read as a date; put it in quotes: "{}"',
    "null": "the value is empty; write one or take the line out",
    "merge": "'<<' merges other data in; write the lines out",
    "value": "'=' has a meaning of its own in YAML; put it in quotes",
}
_NO_NAME = "'{}' stands for a name and is read as {}; put it in quotes"
MOST_DIGITS = 40  # as units.MOST_DIGITS; Python itself reads no more than 4,300
MOST_BYTES = 4_000_000  # the largest real file has 60,000

# What nobody sees on a screen or on paper may not decide what a text says: control characters, marks that turn the
# reading direction, joiners, lone halves of characters, odd line ends.  By Unicode category; the last two codes of
# every plane are no characters at all.
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
_SUSPECT = re.compile(r"[^\t\n\r -~]")
# an escape of half a character and that of the other half, not after a backslash that is one itself
_PAIR = re.compile(r"(?<!\\)((?:\\\\)*)\\u([dD][89abAB][0-9a-fA-F]{2})\\u([dD][c-fC-F][0-9a-fA-F]{2})")


class Number(float):
    """A number with a decimal point; as text it stands as in the file: 3.10, never 3.1."""

    def __new__(cls, text: str) -> Number:
        made = super().__new__(cls, text)
        made.text = text
        return made

    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, order=True)
class Problem:
    """One error: file as the user types it, line from 1, place inside the file, what is wrong and what to write."""

    file: str
    line: int
    where: str
    text: str

    def __str__(self) -> str:
        whole = ": ".join(filter(None, (f"{self.file}:{self.line}", self.where, self.text)))
        return whole.replace("\n", "\\n")  # one problem, one line


class Errors(Exception):
    """All problems of the data, in file order; as text one line each."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = sorted(set(problems))
        super().__init__("\n".join(map(str, self.problems)))


@dataclass
class Document:
    """One file read: its data, the line of every value by path, the problems of its text."""

    file: str
    data: Any = None
    lines: dict[Where, int] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def line(self, path: Where) -> int:
        """Line of a value, or of what holds it when it is not there."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)

    def where(self, path: Where) -> str:
        """A path as people read it; entries of a list by their own name, else counted from 1:
        blocks[three-sheave].falls, configurations[full].charts[54 m].rows[9 m]."""
        text, here = "", self.data
        for step in path:
            if isinstance(step, int):
                here = here[step]
                text += f"[{_label(here, step)}]"
            else:
                here = here.get(step) if isinstance(here, dict) else None
                text += f".{step}" if text else step
        return text

    def problem(self, path: Where, text: str) -> Problem:
        return Problem(self.file, self.line(path), self.where(path), text)


def _label(entry: Any, index: int) -> str:
    if isinstance(entry, dict):
        for name in ("id", "boom_length", "from", "finding"):
            if isinstance(entry.get(name), str):
                return str(entry[name])
    if isinstance(entry, list) and entry and isinstance(entry[0], str):
        return entry[0]
    return str(index + 1)


class _Stop(Exception):
    """The rest of this file cannot be understood."""


def read(path: Path, name: str) -> Document:
    """Read the file at `path`; `name` is how messages call it.  Problems are collected, never raised."""
    document = Document(name)
    return _read(document, content(path, document))


def read_json(path: Path, name: str) -> Document:
    """Read the JSON file at `path` as `read` does: JSON writes some characters as two escapes, which YAML knows not."""
    document = Document(name)
    text = content(path, document)
    return _read(document, text and _PAIR.sub(_one_character, text))


def _one_character(found: re.Match[str]) -> str:
    """The two escapes of a character as the one that YAML knows: what it stands for by the standard of UTF-16."""
    high, low = int(found[2], 16), int(found[3], 16)
    return f"{found[1]}\\U{0x10000 + ((high - 0xD800) << 10) + low - 0xDC00:08x}"


def _read(document: Document, text: str | None) -> Document:
    """The `document` with the data of its text, if there is one."""
    if text is None:
        return document
    name = document.file
    lines = text.count("\n") + 1
    try:
        _Builder(document, yaml.parse(text, Loader=yaml.CLoader), lines).build()
    except _Stop:
        pass
    except yaml.MarkedYAMLError as error:
        document.problems.append(_unreadable(name, error, lines))
    return document


def content(path: Path, document: Document, most: int = MOST_BYTES) -> str | None:
    """The text of the file at `path`, of no more than `most` bytes; None where there is none that can be read, and the
    `document` says why."""
    name = document.file
    try:
        text = _bytes(path, most).decode("utf-8-sig")
    except (OSError, ValueError) as error:
        document.problems.append(Problem(name, *_not_opened(path, error)))
        return None
    for number, line_of_text in enumerate(text.split("\n"), 1):
        if wrong := unseen(line_of_text):
            document.problems.append(Problem(name, number, "", wrong))
    return None if document.problems else text


class _NotRead(OSError):
    """A file that is not even begun, for it may never end."""


def _bytes(path: Path, most: int) -> bytes:
    """What a file of no more than `most` bytes holds; a pipe or a device may hold no end of it, or let nobody go."""
    descriptor = os.open(path, os.O_RDONLY | os.O_NONBLOCK)
    try:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise _NotRead(0, "it is a pipe or a device")
        with open(descriptor, "rb", closefd=False) as file:
            found = file.read(most + 1)
    finally:
        os.close(descriptor)
    if len(found) > most:
        raise _NotRead(0, f"it has more than {most / 1e6:.0f} MB")
    return found


def _not_opened(path: Path, error: OSError | ValueError) -> tuple[int, str, str]:
    """Line, place and what is wrong with a file that cannot be read."""
    if isinstance(error, UnicodeDecodeError):
        line = error.object.count(b"\n", 0, error.start) + 1
        return line, "", "is not UTF-8 text; save the file as UTF-8"
    if isinstance(error, OSError):
        gone = isinstance(error, FileNotFoundError) and os.path.islink(path)
        why = "it is a link to nothing" if gone else "it is a folder" if os.path.isdir(path) else error.strerror
    else:
        why = "no file can have this name"
    return 1, "", f"cannot be opened: {why}; put a file in its place"


def _unreadable(name: str, error: Any, lines: int) -> Problem:
    """What YAML says about a text of so many lines that it cannot read; it may find fault behind the last one."""
    if error.problem == "found unexpected end of stream" and error.context_mark:
        text = "a text in quotes begins here and does not end; close the quotes"
        return Problem(name, error.context_mark.line + 1, "", text)
    line = min(error.problem_mark.line + 1, lines) if error.problem_mark else 1
    return Problem(name, line, "", f"cannot be read as YAML: {error.problem}; check indentation, colons and quotes")


def unseen(text: str) -> str | None:
    """What is wrong with a text that holds a character nobody can see, naming the first one; else None.

    >>> unseen("12 t, 4 pieces"), unseen("12 t\\u202e")
    (None, 'holds U+202E (right-to-left override), which nobody sees; type the text again without it')
    """
    for found in _SUSPECT.finditer(text):
        if unicodedata.category(found[0]) in _UNSEEN or ord(found[0]) & 0xFFFE == 0xFFFE:
            name = unicodedata.name(found[0], "control character").lower()
            return f"holds U+{ord(found[0]):04X} ({name}), which nobody sees; type the text again without it"
    return None


class _Builder:
    """Builds the data of one document from libyaml's events; what it refuses becomes a problem and None."""

    def __init__(self, document: Document, events: Iterator[Any], lines: int) -> None:
        self.document = document
        self.events = events
        self.lines = lines

    def build(self) -> None:
        next(self.events)  # start of the stream
        start = next(self.events)
        if isinstance(start, yaml.StreamEndEvent):
            self.problem(start, (), "the file is empty; fill it in or take it away")
            return
        self.document.data = self.node(next(self.events), ())
        next(self.events)  # end of the document
        more = next(self.events)
        if not isinstance(more, yaml.StreamEndEvent):
            self.problem(more, (), "a second document starts here; one file holds one")

    def line(self, event: Any) -> int:
        """Where an event begins; what libyaml sees behind the end of the file stands in its last line."""
        line: int = event.start_mark.line + 1
        return min(line, self.lines)

    def problem(self, event: Any, path: Where, text: str) -> None:
        where = self.document.where(tuple(step for step in path if isinstance(step, str)))
        self.document.problems.append(Problem(self.document.file, self.line(event), where, text))

    def node(self, event: Any, path: Where) -> Any:
        self.document.lines.setdefault(path, self.line(event))
        if isinstance(event, yaml.AliasEvent):
            self.problem(event, path, f"*{event.anchor} points at other data; write it out here")
            return None
        self.refuse_marks(event, path)
        if len(path) > DEEPEST:
            self.problem(event, path[:1], f"is nested deeper than {DEEPEST} levels; check the brackets and indentation")
            raise _Stop
        if isinstance(event, yaml.MappingStartEvent):
            return self.mapping(path)
        if isinstance(event, yaml.SequenceStartEvent):
            return self.sequence(path)
        return self.scalar(event, path)

    def refuse_marks(self, event: Any, path: Where) -> None:
        if event.anchor:
            self.problem(event, path, f"&{event.anchor} is an anchor; take it out and write data where it is needed")
        if event.tag:
            self.problem(event, path, f"{event.tag} is a tag; take it out")

    def mapping(self, path: Where) -> dict[str, Any]:
        found: dict[str, Any] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            if not isinstance(event, yaml.ScalarEvent):
                self.problem(event, path, "a name is expected here; write name: value")
                raise _Stop
            self.refuse_marks(event, path)
            key = event.value
            name = self.scalar(event, path)
            if not isinstance(name, str):
                if name is not None:  # else it was refused already
                    kind = "true or false" if isinstance(name, bool) else "a number"
                    self.problem(event, path, _NO_NAME.format(key, kind))
                self.node(next(self.events), (*path, key))
                continue
            here = (*path, key)
            if key in found:
                first = self.document.lines[here]
                self.problem(event, here, f"stands here a second time, first in line {first}; keep one")
            self.document.lines.setdefault(here, self.line(event))
            value = self.node(next(self.events), here)
            found.setdefault(key, value)
        return found

    def sequence(self, path: Where) -> list[Any]:
        found: list[Any] = []
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            found.append(self.node(event, (*path, len(found))))
        return found

    def scalar(self, event: Any, path: Where) -> str | int | Number | bool | None:
        value: str = event.value
        if wrong := unseen(value):  # written as an escape, "\u202e"
            self.problem(event, path, wrong)
            return None
        if event.style:  # quoted or a block of text: text it is
            return value
        kind = _resolver.resolve(yaml.ScalarNode, value, (True, False)).removeprefix(_YAML)
        if kind == "str":
            return value
        if kind == "bool" and value in ("true", "false"):
            return value == "true"
        if kind in ("int", "float") and len(value) > MOST_DIGITS:
            shown = f"'{value[:MOST_DIGITS]}…'"
            self.problem(event, path, f"{shown} has more digits than anything is counted with; check it")
            return None
        if kind == "int" and _WHOLE.fullmatch(value):
            return int(value)
        if kind == "float" and _DECIMAL.fullmatch(value):
            return Number(value)
        self.problem(event, path, _REFUSED[kind].format(value, value))
        return None
