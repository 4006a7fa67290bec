"""A copy of the real data to break: one or two machines, logs of their ropes, their yard, the rulebook, all tables.

The machines are those of their first edition, kept in earlier/: nobody changes them any more.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Collection
from pathlib import Path

import yaml

RULES = Path(__file__).resolve().parent.parent / "rules"
MACHINES = ("heron", "bittern")
WHOLE = bool(os.environ.get("FIRMWRAP_WHOLE"))  # sites of changed data with every crane and boom length, in `make long`
FEWER = {  # the boom lengths that tests of such a site open, that a finding or a log names
    "avocet": ("60 ft", "80 ft"),
    "curlew": ("99 m",),
    "heron": ("13 m", "20 m", "27 m", "41 m", "48 m", "55 m", "61 m"),
}
LOGS = ("heron",)


def copy_to(folder: Path, machines: tuple[str, ...] = MACHINES) -> Path:
    """A copy that is called `rules`, as people type it."""
    rules = folder / "rules"
    for name in ("rulebook", "tables"):
        shutil.copytree(RULES / name, rules / name)
    for file in ("yards/skerry-point.yaml", *(f"upkeep/{machine}.yaml" for machine in machines)):
        (rules / file).parent.mkdir(exist_ok=True)
        shutil.copy(RULES / file, rules / file)
    (rules / "machines").mkdir()
    for machine in machines:
        first = min((RULES / "machines/earlier").glob(f"{machine}.*.yaml"))
        text = first.read_text(encoding="utf-8").replace("$schema=../../schema", "$schema=../schema")
        (rules / f"machines/{machine}.yaml").write_text(text, encoding="utf-8")
    return rules


def only(machine: str, rules: Path) -> Path:
    """A copy of all data as `rules`, with the files of no other machine."""
    others = [path.stem for path in (RULES / "machines").glob("*.yaml") if path.stem != machine]
    left_out = shutil.ignore_patterns(*(f"{other}{end}" for other in others for end in (".yaml", ".*.yaml")))
    return Path(shutil.copytree(RULES, rules, ignore=left_out))


def fewer(rules: Path) -> None:
    """Leave of a copy of all data the cranes and boom lengths of FEWER and the logs of LOGS; all of it stays in
    `make long`.  Guidance pages quote the fleet that ships."""
    if WHOLE:
        return
    for folder in ("machines", "machines/earlier", "upkeep"):
        for path in (rules / folder).glob("*.yaml"):
            machine = path.name.partition(".")[0]
            if machine not in FEWER or (folder == "upkeep" and machine not in LOGS):
                path.unlink()
    for machine, booms in FEWER.items():
        keep_booms(rules / f"machines/{machine}.yaml", booms)


def keep_booms(path: Path, booms: Collection[str]) -> None:
    """Take every boom length out of the file of a machine but these, as written there: a plan less, a second less."""
    data = yaml.safe_load(path.read_text(encoding="utf-8"))
    for one in data["configurations"]:
        one["charts"] = [chart for chart in one["charts"] if chart["boom_length"] in booms]
    data["configurations"] = [one for one in data["configurations"] if one["charts"]]
    path.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), encoding="utf-8")


def edit(rules: Path, file: str, old: str | None, new: str) -> int:
    """Replace the first `old` in a file; the line of the change.  Without `old`, write the whole file."""
    path = rules / file
    if old is None:
        path.write_text(new, encoding="utf-8")
        return 1
    text = path.read_text(encoding="utf-8")
    before, found, after = text.partition(old)
    assert found, f"{file} no longer holds {old!r}; bring the case up to date"
    path.write_text(before + new + after, encoding="utf-8")
    return (before + new[: len(new) - len(new.lstrip("\n"))]).count("\n") + 1
