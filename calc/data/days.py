"""Days, as ISO text, reckoned by the calendar."""

from __future__ import annotations

from calendar import monthrange
from datetime import date


def parse(text: str) -> str:
    """A day written YYYY-MM-DD, and in no other way: days are compared as texts.

    Errors: ValueError, saying what to write.

    >>> parse("2026-12-01")
    '2026-12-01'
    >>> parse("20261201")
    Traceback (most recent call last):
    ValueError: '20261201' is no day; write YYYY-MM-DD
    """
    try:
        found = date.fromisoformat(text).isoformat()
    except ValueError:
        found = ""
    if found != text:
        raise ValueError(f"{text!r} is no day; write YYYY-MM-DD")
    return text


def months_later(day: str, months: int) -> str:
    """The same day of the month some `months` after a `day`; the last of the month where that month is shorter.

    >>> months_later("2026-11-25", 12), months_later("2027-01-31", 1)
    ('2027-11-25', '2027-02-28')
    """
    start = date.fromisoformat(day)
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1])).isoformat()
