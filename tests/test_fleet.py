"""The fleet at a glance: one row a crane, what needs doing first, first; page, start page, feed and command line agree.

The order is worked here from the states, readings and reviews themselves.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from as_read import text
from conftest import DATA, DAY, ROOT, fleet_site
from playwright.sync_api import Page, expect

from calc import fleet
from calc.cli.commands import main
from calc.drum_log import state
from calc.inspection import fitness
from calc.winding.plan_data import best_method

SCHEMA = json.loads((ROOT / "rules/schema/fleet.schema.json").read_text(encoding="utf-8"))
SITE = fleet_site()
FILES = dict(SITE.files())
FEED = json.loads(FILES["data/v1/fleet.json"])
ROWS = {row["machine"]: row for row in FEED["cranes"]}


def test_every_crane_is_there_and_valid() -> None:
    assert set(ROWS) == set(DATA.machines)
    jsonschema.Draft202012Validator(SCHEMA).validate(FEED)


@pytest.mark.parametrize("machine", DATA.machines)
def test_a_row_says_what_state_and_fitness_say(machine: str) -> None:
    row, drum, rope = ROWS[machine], state.without_plan(DATA, machine, DAY), fitness.fitness(DATA, machine, DAY)
    assert (row["boom"], row["falls"], row["ready"]) == (drum["boom"], drum["falls"], drum["as_rigged"]["ready"])
    assert (row["firm"], row["depth"], row["pre_tensioning_due"]) == (drum["firm"], drum["depth"], drum["due"])
    assert row["last_entry"] == drum["log"][-1]["day"] and row["rope"] == rope["outcome"]
    listed, due = ([(one["kind"], one["next"]) for one in found] for found in (row["inspections"], rope["due"]))
    assert listed == due
    plans = [json.loads(content) for at, content in FILES.items() if at.startswith(f"data/v1/plans/{machine}/")]
    shares = {
        (plan["boom"], plan["configuration"]): best["passes"][-1]["firm_share"] if (best := best_method(plan)) else -1
        for plan in plans
    }
    weak = row["weakest_plan"]
    assert shares[weak["boom"], weak["configuration"]] == min(shares.values())
    plan = next(p for p in plans if (p["boom"], p["configuration"]) == (weak["boom"], weak["configuration"]))
    assert weak["help"] == (plan["what_would_help"][0] if plan["what_would_help"] else None)


def test_what_needs_doing_first_stands_first() -> None:
    """A drum that is due before an inspection that is overdue, that before nothing; of two drums the deeper one."""
    codes = [row["to_do"][0] for row in FEED["cranes"]]
    assert codes == sorted(codes, key=fleet.TO_DO.index)
    for row in FEED["cranes"]:
        assert ("pre-tension" in row["to_do"]) == row["pre_tensioning_due"]
        assert ("inspection-overdue" in row["to_do"]) == any(one["overdue"] for one in row["inspections"])
        assert (row["to_do"] == ["nothing"]) == (len(row["to_do"]) == 1 and row["to_do"][0] == "nothing")
    due = [row["depth"]["rope_m"] for row in FEED["cranes"] if row["to_do"][0] == "pre-tension"]
    assert due == sorted(due) and len(due) > 1


def test_each_thing_to_do_alone() -> None:
    quiet: Any = {**ROWS["curlew"], "rope": "none-met", "inspections": [], "review": None, "open_findings": 0}
    quiet |= {"ready": True, "pre_tensioning_due": False, "last_entry": "2026-11-18"}
    assert fleet._to_do(quiet) == ["nothing"]
    changed: dict[str, dict[str, Any]] = {
        "rope-limit": {"rope": "met"},
        "pre-tension": {"pre_tensioning_due": True, "ready": False},
        "no-log": {"last_entry": None, "ready": None, "pre_tensioning_due": None},
        "not-ready": {"ready": False},
        "inspection-overdue": {"inspections": [{"kind": "monthly", "next": "2026-11-30", "overdue": True}]},
        "review-overdue": {"review": {"due": "2026-11-30", "overdue": True}},
        "findings-open": {"open_findings": 1},
    }
    assert [fleet._to_do(quiet | more) for more in changed.values()] == [[code] for code in changed]
    every = fleet._to_do(quiet | changed["rope-limit"] | changed["pre-tension"] | changed["findings-open"])
    assert every == ["rope-limit", "pre-tension", "findings-open"]


def test_a_crane_without_a_log_is_listed() -> None:
    data = replace(DATA.of("dunlin"), upkeep={})
    (row,) = fleet.fleet(data, DAY)["cranes"]
    assert row["to_do"] == ["no-log"] and row["ready"] is None and row["boom"] is None
    jsonschema.Draft202012Validator(SCHEMA).validate(fleet.fleet(data, DAY))


def test_the_command_line_prints_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fleet", "--day", DAY, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {name: value for name, value in FEED.items() if name != "$schema"}
    assert main(["fleet", "--day", DAY]) == 0
    printed = capsys.readouterr().out
    heads = [f"\n{row['machine']} (demonstration data): {', '.join(row['to_do'])}" for row in FEED["cranes"]]
    at = [printed.index(head) for head in heads]
    assert at == sorted(at)


def test_start_page_says_of_each_crane_what_is_due_first() -> None:
    """By name, as a crew looks for its crane; an inspection that is due later is there for the phone to show."""
    tiles = re.findall(r'<a class="fw-tile" href="[./]*machines/(\w+)/">(.*?)</a>', SITE.body(""), re.DOTALL)
    assert [machine for machine, _ in tiles] == sorted(ROWS, key=lambda machine: ROWS[machine]["name"])
    said = SITE.words.get("fleet.to_do")
    for machine, tile in tiles:
        row = ROWS[machine]
        due = [said[code] for code in row["to_do"] if code not in ("inspection-overdue", "nothing")]
        assert [text for text in said.values() if text in tile] == due[:1], machine
        overdue = [one["overdue"] for one in row["inspections"]]
        assert tile.count("data-over>") == sum(overdue), machine
        assert tile.count("data-over hidden>") == len(overdue) - sum(overdue), machine


def test_page_of_the_fleet_follows_the_order() -> None:
    page = SITE.body("fleet/")
    names = [row["name"] for row in FEED["cranes"]]
    assert re.findall(r'<h2 id="\w+"><a href="[^"]+">(\w+)</a></h2>', page) == names
    for row in FEED["cranes"]:
        own = text(page.partition(f'<h2 id="{row["machine"]}"')[2].partition("<h2")[0])
        if row["firm"]:
            assert f"layer {row['firm']['layer'][1]}, wrap {row['firm']['wrap'][1]:.0f}" in own
        assert ("Pre-tension before the next heavy lift." in own) == row["pre_tensioning_due"]
    assert page.count("data-due=") >= sum(len(row["inspections"]) for row in FEED["cranes"])


@pytest.mark.parametrize(("today", "shown"), [("2026-12-04", 0), ("2026-12-05", 1), ("2027-12-31", None)])
def test_the_phone_judges_inspections_by_its_own_date(
    page: Page, built: Path, serve: Callable[[Path], str], today: str, shown: int | None
) -> None:
    """curlew's next inspection is due by 2026-12-04: on the day after it stands on the start page."""
    page.clock.set_fixed_time(datetime.fromisoformat(f"{today}T12:00:00"))
    page.goto(serve(built))
    lines = page.locator("a.fw-tile", has_text="Curlew").locator("[data-over]").locator("visible=true")
    expect(lines).to_have_count(len(ROWS["curlew"]["inspections"]) if shown is None else shown)
    page.goto(f"{serve(built)}fleet/")
    own = page.locator("h2#curlew + p")
    if shown != 0:
        expect(own).to_contain_text("overdue since 2026-12-04")
        expect(own.locator("[data-over]").first).to_be_visible()
