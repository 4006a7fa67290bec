"""Fleets of any size for measuring, made from the demo fleet's shapes: invented, valid data."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
RULES = ROOT / "rules"
PLANS = 60  # plan pages of the demo fleet
_SPEED = re.compile(r"line_speed: (\d+) (m|ft)/min")


def write(folder: Path, times: int) -> Path:
    """The demo fleet so many times over, as a data folder.

    Each further crane has a name of its own and a line speed that is a little lower, so no two have the same numbers.
    """
    rules = Path(shutil.copytree(RULES, folder / "rules"))
    for path in sorted((RULES / "machines").glob("*.yaml")):
        text = path.read_text(encoding="utf-8")
        log = RULES / "upkeep" / path.name
        for number in range(2, times + 1):
            id = f"{path.stem}-{number}"
            (rules / "machines" / f"{id}.yaml").write_text(_another(text, path.stem, number), encoding="utf-8")
            if log.exists():
                again = _named(log.read_text(encoding="utf-8"), path.stem, id)
                (rules / "upkeep" / f"{id}.yaml").write_text(again, encoding="utf-8")
    return rules


def _named(text: str, id: str, new: str) -> str:
    changed, count = re.subn(rf"^id: {id}$", f"id: {new}", text, count=1, flags=re.MULTILINE)
    assert count == 1, id
    return changed


def _another(text: str, id: str, number: int) -> str:
    text = _named(text, id, f"{id}-{number}")
    text = re.sub(r"^name: (.*)$", rf"name: \1 {number}", text, count=1, flags=re.MULTILINE)
    changed, count = _SPEED.subn(lambda found: f"line_speed: {int(found[1]) - number / 100:.2f} {found[2]}/min", text)
    assert count == 1, f"{id}: no line speed"
    return changed


def change_a_line(rules: Path) -> None:
    """Another line speed for one crane that is as large as the others on average."""
    path = rules / "machines/avocet.yaml"
    changed, count = _SPEED.subn(
        lambda found: f"line_speed: {int(found[1]) - 5} {found[2]}/min", path.read_text(encoding="utf-8")
    )
    assert count == 1
    path.write_text(changed, encoding="utf-8")
