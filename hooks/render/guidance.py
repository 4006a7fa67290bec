"""Rule values in hand-written pages: `{{ rule:dead-wraps.dead_wraps }}` becomes the value in force on the day.

May import: calc.model, quantity.  Must not know: MkDocs.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from calc.model import Data
from hooks.render.quantity import quantity

_PLACE = re.compile(r"\{\{(.*?)\}\}")
_NAME = re.compile(r"\s*rule:([a-z0-9-]+\.[a-z0-9_]+)\s*")


def values(data: Data, day: str) -> dict[str, str]:
    """HTML of every rule value in force on the day, by `rule-id.value_name`."""
    found: dict[str, str] = {}
    for rule in data.rules.values():
        version = rule.at(day)
        for name, value in version.values.items() if version else ():
            found[f"{rule.id}.{name}"] = str(quantity(version.texts[name], value)) if version else ""
    return found


def fill(markdown: str, rule_values: Mapping[str, str]) -> str:
    """The text with every rule value put in.  Errors: KeyError naming a place it cannot fill.

    >>> fill("at least {{ rule:dead-wraps.dead_wraps }} wraps", {"dead-wraps.dead_wraps": "3"})
    'at least 3 wraps'
    >>> fill("{{ rule:dead-wraps.dead }}", {})
    Traceback (most recent call last):
    KeyError: "no rule value named 'dead-wraps.dead' is in force; write rule:<rule id>.<value name>"
    """

    def put(found: re.Match[str]) -> str:
        name = _NAME.fullmatch(found[1])
        if not name or name[1] not in rule_values:
            asked = name[1] if name else found[1].strip()
            raise KeyError(f"no rule value named '{asked}' is in force; write rule:<rule id>.<value name>")
        return rule_values[name[1]]

    return _PLACE.sub(put, markdown)
