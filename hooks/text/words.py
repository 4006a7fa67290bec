"""Every text the site shows that is not data: hooks/words/*.en.yaml and, for the codes of a plan, calc/words.yaml."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml
from markupsafe import Markup, escape

from calc import ROOT

SOURCES = (
    "hooks/words/en.yaml",
    "hooks/words/frame.en.yaml",
    "hooks/words/cards.en.yaml",
    "hooks/words/drum.en.yaml",
    "hooks/words/rope.en.yaml",
    "hooks/words/upkeep.en.yaml",
    "hooks/words/briefing.en.yaml",
    "hooks/words/sheet.en.yaml",
    "hooks/words/data.en.yaml",
    "hooks/words/changes.en.yaml",
    "hooks/words/figures.en.yaml",
    "hooks/words/fleet.en.yaml",
    "hooks/words/offline.en.yaml",
    "hooks/words/training.en.yaml",
    "hooks/words/search.en.yaml",
    "calc/words.yaml",
    "calc/teaching/exercises.yaml",
)


class Words:
    """Texts by dotted name.  An unknown name is an error; so is a part the text names and the caller leaves out."""

    def __init__(self, texts: dict[str, Any]) -> None:
        self.texts = texts

    def get(self, name: str) -> Any:
        """The text, list or mapping of this name.

        >>> Words({"a": {"b": "text"}}).get("a.b")
        'text'
        >>> Words({"a": {}}).get("a.b")
        Traceback (most recent call last):
        KeyError: 'no text named a.b in the words files'
        """
        found: Any = self.texts
        for part in name.split("."):
            if not isinstance(found, dict) or part not in found:
                raise KeyError(f"no text named {name} in the words files")
            found = found[part]
        return found

    def say(self, name: str, **parts: Any) -> Markup:
        """The text as HTML, its parts put in; parts that are not markup are escaped.

        >>> Words({"a": "load {mass}"}).say("a", mass="<5 t>")
        Markup('load &lt;5 t&gt;')
        """
        escaped = {part: escape(value) for part, value in parts.items()}
        return Markup(str(escape(self.get(name))).format(**escaped))  # Markup.format takes three times as long


def load(root: Path = ROOT) -> Words:
    """All words files as one; a name that two files give is an error."""
    texts: dict[str, Any] = {}
    for source in SOURCES:
        for name, value in yaml.load((root / source).read_text(encoding="utf-8"), yaml.CSafeLoader).items():
            if name in texts:
                raise KeyError(f"{source}: {name} is given in another words file as well")
            texts[name] = value
    return Words(texts)
