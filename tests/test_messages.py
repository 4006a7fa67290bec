"""Every message about broken data, word for word, all at once and in file order (tests/broken/cases.yaml)."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from data_folder import copy_to, edit

from calc.checks import loader
from calc.data import files

TABLE = Path(__file__).parent / "broken" / "cases.yaml"
DOCUMENT = files.read(TABLE, TABLE.name)
CASES: list[dict[str, Any]] = DOCUMENT.data


def _with_lines(text: str, lines: list[int]) -> str:
    return re.sub(r"\{(\d+)([+-]\d+)?\}", lambda m: str(lines[int(m[1])] + int(m[2] or 0)), text)


def change(rules: Path, file: str, new: str = "", old: str | None = None, made: str = "") -> int:
    """Do one edit of a case; the line it changes.  `made` says how, where text alone cannot."""
    path = rules / file
    if made == "folder":
        path.mkdir()
    elif made == "gone":
        path.unlink()
    elif made == "link":
        path.symlink_to(new)
    elif made.startswith("from "):
        path.parent.mkdir(exist_ok=True)
        shutil.copy(rules / made.removeprefix("from "), path)
        return edit(rules, file, old, new)
    else:
        line = edit(rules, file, old, new)
        if made:
            path.write_bytes(path.read_text(encoding="utf-8").encode(made))
        return line
    return 1


@pytest.mark.usefixtures("typed")
@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_message(case: dict[str, Any], tmp_path: Path) -> None:
    rules = copy_to(tmp_path)
    lines = [change(rules, **edits) for edits in case["edits"]]
    with pytest.raises(files.Errors) as caught:
        loader.load(rules)
    assert str(caught.value) == "\n".join(_with_lines(problem, lines) for problem in case["problems"])


def test_the_table_itself() -> None:
    assert not DOCUMENT.problems
    names = [case["name"] for case in CASES]
    assert len(set(names)) == len(names) >= 40


def test_every_message_says_what_to_do() -> None:
    """file:line: where: what is wrong; what to write instead."""
    for case in CASES:
        for problem in case["problems"]:
            assert re.match(r"rules/[\w./-]+:(\d+|\{\d+([+-]\d+)?\}): [^;]+; [a-z]", problem), problem


@pytest.mark.usefixtures("typed")
def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    for folder, name in ((tmp_path / "rules", "rules"), (Path("/nowhere/rules"), "/nowhere/rules")):
        with pytest.raises(files.Errors) as caught:
            loader.load(folder)
        assert str(caught.value) == f"{name}:1: there is no such folder; see --data and FIRMWRAP_DATA"


@pytest.mark.usefixtures("typed")
def test_a_folder_without_cranes(tmp_path: Path) -> None:
    copy_to(tmp_path)
    for name in ("machines", "upkeep", "yards"):
        shutil.rmtree(tmp_path / "rules" / name)
    with pytest.raises(files.Errors) as caught:
        loader.load(tmp_path / "rules")
    assert str(caught.value) == "\n".join(
        f"rules/{name}:1: there is no such folder; see --data" for name in ("machines", "yards")
    )
