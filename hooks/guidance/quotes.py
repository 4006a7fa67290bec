"""How a number is quoted: read from what was computed, every part of which must be there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from markupsafe import Markup

from hooks.text.words import Words

Quote = Callable[[Any, Words], Markup | str | int]


class Missing(Exception):
    """There is no such number here: a refused plan, a drum without loose rope, a lift that is not on these falls."""


class Part:
    """A mapping or list of computed data, as quotes read it; `whole` is the data itself."""

    def __init__(self, whole: Mapping[str, Any] | Sequence[Any]) -> None:
        self.whole: Any = whole

    def __getitem__(self, key: Any) -> Any:
        """The part of this name or place.  Errors: Missing where the data say null, KeyError for an unknown name.

        >>> Part({"stops": {"layer": 3}})["stops"]["layer"]
        3
        >>> Part({"stops": None})["stops"]["layer"]
        Traceback (most recent call last):
        hooks.guidance.quotes.Missing: stops
        """
        found = there(self.whole[key], key)
        return Part(found) if isinstance(found, Mapping | list | tuple) else found

    def __iter__(self) -> Iterator[Any]:
        """The entries of a list."""
        return (self[at] for at in range(len(self.whole)))

    def __len__(self) -> int:
        return len(self.whole)


def there(value: Any, name: object = "") -> Any:
    """The `value` itself.  Errors: Missing for none."""
    if value is None:
        raise Missing(name)
    return value


def first(parts: Iterator[Any]) -> Any:
    """The first of these.  Errors: Missing where there is none."""
    return there(next(parts, None))


def quote(quotes: Mapping[str, Quote], name: str, found: Any, words: Words) -> Markup:
    """One number as HTML, in both unit systems.

    Errors: Missing where there is none, KeyError for a name that is not in the quotes.
    """
    return Markup("{}").format(quotes[name](found, words))
