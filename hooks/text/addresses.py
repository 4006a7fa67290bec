"""Where the generated pages stand: the one list of their addresses.

The names that stand beside ids of the data, and the order of the menu of a crane, are in rules/schema/pages.json: the
check of the data reads them as well.
"""

from __future__ import annotations

from calc.data import schema
from calc.data.model import Machine

START = ""
CRANES = "machines/"
FLEET = "fleet/"
RULES = "rules/"
PROFILES = f"{RULES}profiles/"
CHANGES = "changes/"
DATA = "data/"
CHECKED = "guidance/how-the-numbers-are-checked/"
EXERCISES = "training/exercises/"
OFFLINE = "offline/"
RECORDS = "records/"
FAULT = "fault/"

OF_CRANE = schema.page_names("crane")  # in the order of the menu


def crane(machine: Machine, page: str | None = None) -> str:
    """Where the page of a `machine` stands, or one of OF_CRANE.  Errors: ValueError for another one."""
    if page is not None and page not in OF_CRANE:
        raise ValueError(f"page: '{page}' is no page of a crane; give one of: {' '.join(OF_CRANE)}")
    return f"{CRANES}{machine.id}/" if page is None else f"{CRANES}{machine.id}/{page}/"


def plan(machine: Machine, configuration: str, boom: str) -> str:
    """Where a plan stands; the first configuration that lists a boom length has the short address."""
    short = f"{crane(machine)}{boom}/"
    return short if configuration == first_configuration(machine, boom) else f"{short}{configuration}/"


def first_configuration(machine: Machine, boom: str) -> str:
    """The configuration that has the short address: the first one that lists this boom length."""
    return next(c.id for c in machine.configurations if c.chart(boom))


def rule(id: str, day: str | None = None) -> str:
    """Where a rule stands, or its version from a `day` on."""
    return f"{RULES}{id}/" if day is None else f"{RULES}{id}/{day}/"
