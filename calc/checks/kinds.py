"""The kinds of files in a data folder: each with its schema, what is built of a file, and its check."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from calc.checks import machines, revisions, rules, tables, upkeep, yards
from calc.checks.folder import Folder
from calc.data import build
from calc.data.entries import Upkeep
from calc.data.files import Problem
from calc.data.model import Machine, Rule
from calc.data.tables import RopeTable
from calc.data.yard import Yard

Built = TypeVar("Built")


@dataclass(frozen=True)
class Kind(Generic[Built]):
    """A kind of file: the folder where its files lie, the schema they follow, what is built of one, and the check of
    what the schema cannot see, of all files of the kind at once."""

    folder: str
    schema: str
    build: Callable[..., Built]
    check: Callable[[Folder], Iterator[Problem]]
    may_lack: bool = False  # a data folder may do without

    def built(self, folder: Folder) -> dict[str, Built]:
        """What is built of every sound file of the `folder`, by file name."""
        return {stem: self.build(document.data) for stem, document in folder.sound[self.folder].items()}


MACHINES: Kind[Machine] = Kind("machines", "machine", build.machine, machines.problems)
YARDS: Kind[Yard] = Kind("yards", "yard", build.yard, yards.problems)
RULES: Kind[Rule] = Kind("rulebook", "rule", build.rule, rules.problems)
UPKEEP: Kind[Upkeep] = Kind("upkeep", "upkeep", build.upkeep, upkeep.problems, may_lack=True)
TABLES: Kind[RopeTable] = Kind("tables", "table", build.table, tables.problems, may_lack=True)
EARLIER: Kind[Machine] = Kind(revisions.EARLIER, "machine", build.machine, revisions.problems, may_lack=True)

# In the order in which they are read.
KINDS: tuple[Kind[Any], ...] = (MACHINES, YARDS, RULES, UPKEEP, TABLES, EARLIER)
