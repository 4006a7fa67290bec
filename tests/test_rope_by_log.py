"""Plans follow the log: a rope that was cut or replaced counts as long as it is now, everywhere, and it is said.

Lengths of rope and numbers of turns are worked by hand here: a shorter rope lets the hook down less by the cut over the
falls.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from conftest import DAY, KEPT_OF_CHANGED
from data_folder import copy_to, edit

from calc.changes import record
from calc.checks import loader, overview
from calc.cli.commands import main
from calc.data import look_up
from calc.data.files import Errors
from calc.winding import plan_data
from hooks.building import generated

CUT = """  - day: "2026-11-29"
    shortening: {length: 9 m, end: hook}
readings:
"""


@pytest.fixture
def cut(tmp_path: Path) -> Path:
    """Heron, 9 m cut off at the hook."""
    rules = copy_to(tmp_path, ("heron",))
    edit(rules, "upkeep/heron.yaml", "readings:\n", CUT)
    return rules


def test_the_length_by_the_log_counts_from_its_day(cut: Path) -> None:
    data = loader.load(cut)
    before, after = (look_up.case(data, "heron", "41m", None, day) for day in ("2026-11-28", "2026-11-29"))
    assert (before.machine.rope.length, before.listed_rope) == (290.0, None)
    assert (after.machine.rope.length, after.listed_rope) == (281.0, 290.0)
    one, other = plan_data.plan(before), plan_data.plan(after)
    assert {"code": "rope-by-log"} in other["warnings"] and {"code": "rope-by-log"} not in one["warnings"]
    assert (one["listed_rope_length_m"], other["listed_rope_length_m"]) == (None, 290.0)
    assert other["inputs"]["rope_length_m"] == 281.0
    # nothing else of the machine is another: a plan made of data that list the shorter rope is the same plan
    listed = replace(before, machine=replace(before.machine, rope=replace(before.machine.rope, length=281.0)))
    told: dict[str, Any] = {"day": "", "listed_rope_length_m": None, "warnings": []}
    assert plan_data.plan(listed) | told == other | told


def test_a_length_that_agrees_is_not_told(tmp_path: Path) -> None:
    rules = copy_to(tmp_path, ("heron",))
    edit(rules, "upkeep/heron.yaml", "readings:\n", CUT.replace("9 m", "0.04 m"))
    data = loader.load(rules)
    case = look_up.case(data, "heron", "41m", None, DAY)
    assert (case.machine.rope.length, case.listed_rope) == (290.0, None)
    assert not list(overview.ropes_by_log(data.at(DAY), DAY))


def test_the_check_names_file_line_and_both_lengths(cut: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = (cut / "upkeep/heron.yaml").read_text(encoding="utf-8").splitlines()
    line = 1 + lines.index("    shortening: {length: 9 m, end: hook}")
    assert main(["check", "--data", str(cut), "--day", DAY]) == 0
    printed = capsys.readouterr().out
    told = [said for said in printed.splitlines() if "by this log" in said]
    assert len(told) == 1 and told[0].startswith(f"{cut}/upkeep/heron.yaml:{line - 1}: log[")
    assert told[0].endswith("the rope is 281 m long by this log, 290 m by the data of heron; plans count 281 m")
    assert main(["check", "--data", str(cut), "--day", "2026-11-28"]) == 0
    assert "by this log" not in capsys.readouterr().out


def test_the_plan_says_it_on_the_command_line(cut: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "heron", "41m", "--data", str(cut), "--day", DAY]) == 0
    printed = capsys.readouterr().out
    assert "rope: 281 m (922 ft) by its log, which counts; 290 m (951 ft) by the data of the crane" in printed
    assert "warning: rope-by-log" in printed


def test_plan_briefing_sheet_and_feed_count_it(cut: Path) -> None:
    site = generated.site(cut, DAY, cache=KEPT_OF_CHANGED)
    files = site.fleet.files("heron")
    plan = json.loads(files["data/v1/plans/heron/41m.json"])
    assert plan["inputs"]["rope_length_m"] == 281.0
    for page in ("", "briefing/"):
        assert "by the log" in site.body(f"machines/heron/41m/{page}"), page
    assert '"rope":"281 m (922 ft)"' in site.body("machines/heron/41m/sheet/")


def test_another_rope_asks_for_a_revision_of_the_data(tmp_path: Path) -> None:
    """Thicker rope makes other layers, weighs and carries otherwise: nothing of that stands in a log."""
    rules = copy_to(tmp_path, ("heron",))
    edit(rules, "upkeep/heron.yaml", "readings:\n", CUT.replace("shortening: {length: 9 m, end: hook}",
         "new_rope: {length: 290 m, tension: 10 kN, diameter: 24 mm}"))  # fmt: skip
    with pytest.raises(Errors) as caught:
        loader.load(rules)
    (problem,) = caught.value.problems
    assert problem.where.endswith(".new_rope.diameter")
    assert problem.text == "is 24 mm, the data of heron say 22 mm; write a new revision of it with this rope"
    edit(rules, "upkeep/heron.yaml", "diameter: 24 mm", "diameter: 22 mm")
    loader.load(rules)


# -- names of the entries of a list in a record ----------------------------------------------------------------------


def test_a_row_that_is_added_renames_no_other(tmp_path: Path) -> None:
    """Falls, a load, a boom length more: every line that was there keeps its name."""
    rules = copy_to(tmp_path, ("heron",))
    case = look_up.case(loader.load(rules), "heron", "41m", None, DAY)
    plan: Any = plan_data.plan(case)
    added = {"bed_needed": {"falls": 99}, "heavier_loads": {"load_kg": 99e3}, "limited_room": {"radius_m": 99.0}}
    more = plan | {name: [plan[name][0] | new, *plan[name]] for name, new in added.items()}
    names, others = set(record.of_plan(case, plan)), set(record.of_plan(case, more))
    assert names < others and len(others) >= len(names) + 3
    assert all("99" in name for name in others - names)


def test_a_list_without_a_name_for_its_entries_is_told(tmp_path: Path) -> None:
    rules = copy_to(tmp_path, ("heron",))
    case = look_up.case(loader.load(rules), "heron", "41m", None, DAY)
    plan = plan_data.plan(case)
    with pytest.raises(ValueError, match=r"^the list pictures has no line in _KEYS; say there what names its entries$"):
        record.of_plan(case, plan | {"pictures": [{"name": "plan"}]})
    with pytest.raises(ValueError, match=r"^two entries of bed_needed share a name: "):
        record.of_plan(case, plan | {"bed_needed": [plan["bed_needed"][0]] * 2})
