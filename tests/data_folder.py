"""A copy of the real data to break: one or two machines, logs of their ropes, their yard, the rulebook, all tables.

The machines are those of their first edition, kept in earlier/: nobody changes them any more.
"""

from __future__ import annotations

import shutil
from pathlib import Path

RULES = Path(__file__).resolve().parent.parent / "rules"
MACHINES = ("heron", "bittern")


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
