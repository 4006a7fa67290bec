"""The review of approved machine data: when it is due again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from calc.data import rulebook
from calc.data.days import months_later
from calc.data.model import Approval, Data, Machine, Rule

INTERVAL = "months_between_reviews"


@dataclass(frozen=True)
class Review:
    """The review an approved machine had, the day its next one is due, whether that is past, and the rule."""

    approval: Approval
    due: str
    overdue: bool
    rule: Rule


def review(data: Data, machine: Machine, day: str) -> Review | None:
    """The review of a `machine` of the `data` as it stands on a `day` (ISO text); None where the machine is not
    approved, and before the first day of the rule."""
    if machine.approval is None:
        return None
    boom = machine.configurations[0].charts[0].boom_length
    given = rulebook.given(data.rules.values(), machine, boom, day).get(INTERVAL)
    if not given:
        return None
    due = months_later(machine.approval.date, int(given[0].quantity))
    return Review(machine.approval, due, day > due, given[0].rule)


def overdue(data: Data, day: str) -> Iterator[str]:
    """One line for every machine of the `data` whose review is overdue on a `day` (ISO text)."""
    for machine in data.machines.values():
        reviewed = review(data, machine, day)
        if reviewed and reviewed.overdue:
            last = f"reviewed {reviewed.approval.date} by {reviewed.approval.reviewer}"
            yield f"{machine.id}: review overdue since {reviewed.due} ({reviewed.rule.code}); {last}"
