"""Days, as ISO text, reckoned by the calendar."""

from __future__ import annotations

from calendar import monthrange
from datetime import date


def months_later(day: str, months: int) -> str:
    """The same day of the month some `months` after a `day`; the last of the month where that month is shorter.

    >>> months_later("2026-11-25", 12), months_later("2027-01-31", 1)
    ('2027-11-25', '2027-02-28')
    """
    start = date.fromisoformat(day)
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1])).isoformat()
