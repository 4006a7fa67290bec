"""An approved crane: what its pages say, when its review is overdue.  Drafts: test_new_machine.py."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from conftest import ROOT
from data_folder import edit

from calc.checks import loader, review
from calc.cli.commands import main
from hooks.building import generated

DUE = "2027-11-26"
LATTICE = "machines/hand-lattice.yaml"
ANSWERED = "answer: Weighed., by: N. N., date: '2026-11-26'"
APPROVAL = f"""approval: {{reviewer: '<b>I. Falk</b>, engineer', date: '2026-11-26', pages: 2-1 to 5-8}}
answers:
  - {{finding: rope-mass, where: rope.mass, {ANSWERED}}}
  - {{finding: block-above-line-pull, where: 'blocks[block].capacity', {ANSWERED}}}"""


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """The two small cranes worked by hand, of which the lattice crane is changed."""
    shutil.copytree(ROOT / "tests/cases/crane", tmp_path / "rules")
    return tmp_path / "rules"


def status(rules: Path, to: str) -> None:
    edit(rules, LATTICE, "status: demonstration", f"status: {to}")


def html(site: generated.Site, address: str) -> str:
    return site.body(address)


def test_an_approved_crane_has_no_banner_and_names_its_review(rules: Path) -> None:
    """On the last day before the next review is due."""
    status(rules, f"approved\n{APPROVAL}")
    site = generated.site(rules, DUE)
    mine = [page for page in site.pages if page.address.startswith("machines/hand-lattice/")]
    assert mine and not any("fw-banner" in page.html for page in mine)
    page = html(site, "machines/hand-lattice/")
    assert "2026-11-26, &lt;b&gt;I. Falk&lt;/b&gt;, engineer; manual pages 2-1 to 5-8" in page
    assert f"{DUE} <a" in page and "review of this data is overdue" not in page
    feed = json.loads(dict(site.files())["data/v1/machines/hand-lattice.json"])
    assert feed["approval"] == {"reviewer": "<b>I. Falk</b>, engineer", "date": "2026-11-26", "pages": "2-1 to 5-8"}
    assert len(json.loads(dict(site.files())["assets/finder.json"])["cranes"]) == 2


def test_an_overdue_review_stands_on_top_of_the_page(rules: Path) -> None:
    status(rules, f"approved\n{APPROVAL}")
    page = html(generated.site(rules, "2027-11-27"), "machines/hand-lattice/")
    assert f"The review of this data is overdue since {DUE}." in page.partition("<h2")[0]


@pytest.mark.parametrize(("day", "overdue"), [(DUE, False), ("2027-11-27", True)])
def test_both_sides_of_the_day_the_review_is_due(
    rules: Path, day: str, overdue: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    """Twelve months after the review, by the rule."""
    status(rules, f"approved\n{APPROVAL}")
    data = loader.load(rules)
    found = review.review(data, data.machines["hand-lattice"], day)
    assert found and (found.due, found.overdue) == (DUE, overdue)
    assert review.review(data, data.machines["hand-telescopic"], day) is None
    assert main(["check", "--data", str(rules), "--day", day]) == 0
    lines = [line for line in capsys.readouterr().out.splitlines() if "review" in line]
    said = f"hand-lattice: review overdue since {DUE} (R83); reviewed 2026-11-26 by <b>I. Falk</b>, engineer"
    assert lines == [said] * overdue


def test_before_the_rule_nothing_is_due(rules: Path) -> None:
    status(rules, f"approved\n{APPROVAL}")
    data = loader.load(rules)
    assert review.review(data, data.machines["hand-lattice"], "2026-11-01") is None
