"""Where the data lie: a company's folder over the knowledge base that ships with the program.

Command line, site, archive and watch find the data here and nowhere else.  A company's folder holds what is its own:
machines, yards, upkeep, site.yaml, addresses.yaml.  Rulebook and tables come from the folder that ships, whose own
machines are the teaching fleet.  A folder with a rulebook of its own takes its tables from there, too, and nothing of
what ships: the folder that ships is one of these.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from calc import ROOT

SHIPPED = ROOT / "rules"
VARIABLE = "FIRMWRAP_DATA"
RULEBOOK, TABLES = "rulebook", "tables"
OF_CRANES = ("machines", "upkeep")  # files that belong to the crane they are named after: <id>.<...>
READ = (*OF_CRANES, "yards", RULEBOOK, TABLES, "site.yaml", "addresses.yaml")  # everything that is read


def chosen(environment: Mapping[str, str]) -> Path:
    """The folder that an `environment` names, else the one that ships; whoever reads it says if there is none.

    >>> chosen({"FIRMWRAP_DATA": "my-fleet"}).name, chosen({"FIRMWRAP_DATA": ""}) == SHIPPED
    ('my-fleet', True)
    """
    return Path(environment.get(VARIABLE) or SHIPPED)


def place(folder: Path, name: str) -> Path:
    """Where the files called `name` of a data `folder` are read from.

    >>> place(SHIPPED, "tables") == SHIPPED / "tables"
    True
    """
    over = name in (RULEBOOK, TABLES) and not (folder / RULEBOOK).is_dir()
    return (SHIPPED if over else folder) / name


def teaches(folder: Path) -> bool:
    """Whether the machines of a `folder` are the teaching fleet."""
    return folder.resolve() == SHIPPED.resolve()


def shown(path: Path) -> str:
    """A `path` as messages print it, so that a shell or an editor opens it: from here where it lies below, else whole.

    >>> shown(Path("my-fleet/machines/osprey.yaml")), shown(Path("/data/machines/osprey.yaml"))
    ('my-fleet/machines/osprey.yaml', '/data/machines/osprey.yaml')
    """
    whole, here = Path(os.path.abspath(path)), Path.cwd()
    return (whole.relative_to(here) if whole.is_relative_to(here) else whole).as_posix()
