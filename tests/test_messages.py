"""Every message about broken data, word for word, all at once and in file order (tests/broken/cases.yaml)."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from data_folder import copy_to, edit

from calc import check, files

TABLE = Path(__file__).parent / "broken" / "cases.yaml"
CASES: list[dict[str, Any]] = files.read(TABLE, TABLE.name).data


def _with_lines(text: str, lines: list[int]) -> str:
    return re.sub(r"\{(\d+)([+-]\d+)?\}", lambda m: str(lines[int(m[1])] + int(m[2] or 0)), text)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_message(case: dict[str, Any], tmp_path: Path) -> None:
    rules = copy_to(tmp_path)
    lines = [edit(rules, change["file"], change.get("old"), change["new"]) for change in case["edits"]]
    with pytest.raises(files.Errors) as caught:
        check.load(rules)
    assert str(caught.value) == "\n".join(_with_lines(problem, lines) for problem in case["problems"])


def test_names_are_unique() -> None:
    names = [case["name"] for case in CASES]
    assert len(set(names)) == len(names) >= 20


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(files.Errors) as caught:
        check.load(tmp_path / "rules")
    assert str(caught.value) == "\n".join(
        f"rules/{name}:1: there is no such folder; see --data" for name in ("machines", "rulebook", "yards")
    )
