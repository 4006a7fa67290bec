"""Days, as ISO text, reckoned by the calendar."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Mapping
from datetime import date, datetime

NAME = "FIRMWRAP_DAY"
FIRST, LAST = "1900-01-01", "2199-12-31"  # beyond them a year is a slip of the finger


class Far(ValueError):
    """A day in a year that nobody means."""


def parse(text: str) -> str:
    """A day written YYYY-MM-DD, and in no other way: days are compared as texts.

    Errors: ValueError, saying what to write.

    >>> parse("2026-12-01")
    '2026-12-01'
    >>> parse("20261201")
    Traceback (most recent call last):
    ValueError: '20261201' is no day; write YYYY-MM-DD
    >>> parse("9999-12-31")
    Traceback (most recent call last):
    calc.data.days.Far: '9999-12-31' is not in the years 1900 to 2199; check the year
    """
    try:
        found = date.fromisoformat(text).isoformat()
    except ValueError:
        found = ""
    if not found or found != text:
        raise ValueError(f"{text!r} is no day; write YYYY-MM-DD")
    if not FIRST <= text <= LAST:
        raise Far(f"{text!r} is not in the years {FIRST[:4]} to {LAST[:4]}; check the year")
    return text


def of(environment: Mapping[str, str], now: datetime) -> str:
    """The day everything is computed for, on the site and on the command line: FIRMWRAP_DAY of the `environment`, else
    the day it is `now`, which is in UTC.

    Errors: ValueError, saying what to write.
    """
    text = environment.get(NAME)
    try:
        return parse(text) if text else now.date().isoformat()
    except ValueError as error:
        raise ValueError(f"{NAME}: {error}") from None


def months_later(day: str, months: int) -> str:
    """The same day of the month some `months` after a `day`; the last of the month where that month is shorter.

    >>> months_later("2026-11-25", 12), months_later("2027-01-31", 1)
    ('2027-11-25', '2027-02-28')
    """
    start = date.fromisoformat(day)
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1])).isoformat()
