"""Rulebook profiles: what a site follows where a crane says nothing else, and the page of what differs."""

from __future__ import annotations

import re
import shutil
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from conftest import DAY, ROOT, switch_units
from data_folder import edit
from playwright.sync_api import BrowserContext

from calc.checks import loader
from calc.cli.commands import main
from calc.data import files, look_up, rule_values, rulebook
from calc.data.model import PROFILES
from hooks import fleet
from hooks.text import words
from hooks.text.environment import environment

PAGE = "rules/profiles/index.html"


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """The two small cranes; the lattice crane says nothing of rules and units."""
    shutil.copytree(ROOT / "tests/cases/crane", tmp_path / "rules")
    for line in ("rulebook: iso\n", "units: metric\n"):
        edit(tmp_path / "rules", "machines/hand-lattice.yaml", line, "")
    return tmp_path / "rules"


@pytest.mark.parametrize(("profile", "units", "dead_wraps"), [("iso", "metric", 3), ("us", "us", 2)])
def test_a_crane_that_says_nothing_follows_the_site(rules: Path, profile: str, units: str, dead_wraps: int) -> None:
    """Dead wraps: 3 by EN 13000 (from memory), 2 by 29 CFR 1926.1413(a)(4) (second-hand); see rules R07 and R08."""
    data = loader.load(rules, profile)
    crane = data.machines["hand-lattice"]
    assert (crane.rulebook, crane.units) == (profile, units)
    assert look_up.case(data, "hand-lattice", "50m", None, DAY).values.dead_wraps == dead_wraps
    assert data.machines["hand-telescopic"].rulebook == "iso", "a crane may name its own"


def test_what_is_kept_for_the_next_build_is_of_one_profile(rules: Path) -> None:
    texts = words.load()
    setting = fleet.Setting(environment(texts), texts, DAY, None)
    iso, us = (fleet.keys(rules, loader.load(rules, profile), setting) for profile in PROFILES)
    for one, other in ((iso.computed, us.computed), (iso.shown, us.shown)):
        assert one.keys() == other.keys() and not set(one.values()) & set(other.values())
    assert iso.common != us.common


def test_the_setting_of_the_site_counts_on_the_command_line(
    rules: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    call = ["fitness", "hand-lattice", "--data", str(rules), "--json"]
    for profile in PROFILES:
        monkeypatch.setenv("FIRMWRAP_PROFILE", profile)
        assert main(call) == 0
        assert f'"rulebook": "{profile}"' in capsys.readouterr().out
    monkeypatch.delenv("FIRMWRAP_PROFILE")
    for profile in PROFILES:
        (rules / "site.yaml").write_text(f"profile: {profile}\n", encoding="utf-8")
        assert main(call) == 0
        assert f'"rulebook": "{profile}"' in capsys.readouterr().out
    monkeypatch.setenv("FIRMWRAP_PROFILE", "metric")
    assert main(call) == 1
    assert capsys.readouterr().err == "FIRMWRAP_PROFILE:1: 'metric' is no profile; write one of: iso us\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("profile: ISO\n", "rules/site.yaml:1: profile: 'ISO' is not known; write one of: iso us"),
        ("{}\n", "rules/site.yaml:1: profile: is missing; add it: one of: iso us"),
        ("profile: us\nunits: us\n", "rules/site.yaml:2: units: is not known here; known here: profile"),
        (
            "profile: us\nprofile: iso\n",
            "rules/site.yaml:2: profile: stands here a second time, first in line 1; keep one",
        ),
    ],
)
@pytest.mark.usefixtures("typed")
def test_what_is_wrong_with_the_setting_is_told(rules: Path, text: str, said: str) -> None:
    """By the whole check and by what needs nothing else of the data."""
    (rules / "site.yaml").write_text(text, encoding="utf-8")
    for read in (loader.load, loader.profile):
        with pytest.raises(files.Errors) as caught:
            read(rules)
        assert str(caught.value) == said


@pytest.mark.usefixtures("typed")
def test_the_other_profile_does_not_hide_what_is_wrong_with_the_setting(rules: Path) -> None:
    (rules / "site.yaml").write_text("profile: ISO\n", encoding="utf-8")
    with pytest.raises(files.Errors, match=r"^rules/site\.yaml:1: profile: 'ISO' is not known; write one of: iso us$"):
        loader.load(rules, "us")


def rows(html: str) -> dict[str, list[str]]:
    """Value -> what stands in the two columns, in metric units."""
    plain = re.sub(r"<x-u>.*?</x-u>", "", html)
    cells = re.findall(r"<tr><th[^>]*>([^<]*)<td>(.*?)<td>(.*?)(?=<tr>|</table>)", plain, re.DOTALL)
    return {name: [re.sub(r"<[^>]+>", "", unescape(c)).replace("\u00a0", " ").strip() for c in two]
            for name, *two in cells}  # fmt: skip


def test_the_page_holds_every_value_that_differs_and_no_other(built: Path) -> None:
    """Counted again from the files: every value of a rule that asks for a rulebook, two kinds of freeboard as one."""
    html = (built / PAGE).read_text(encoding="utf-8")
    found = rows(html)
    asking = set()
    for path in (ROOT / "rules/rulebook").glob("*.yaml"):
        rule = files.read(path, path.name).data
        version = next(v for v in rule["versions"] if v["from"] <= DAY)
        if "rulebook" in version["applies"]:
            asking |= set(version["values"])
            assert not version["values"] or f"rules/{rule['id']}/" in html, path.name
    assert len(found) == len(asking - set(rule_values.FREEBOARD)) + 1
    iso, us = found["Wraps that always stay on the drum"]
    assert iso.startswith("3 R07") and us.startswith("2 R08")
    iso, us = found["Minimum breaking force over rated line pull"]
    assert iso.startswith("4 R23") and "3.5, rope that is not rotation-resistant R24" in us
    assert "5, rotation-resistant rope R25" in us
    iso, us = found["Flange above the outermost layer"]
    assert iso.startswith("150 % of the rope diameter R17") and us.startswith("12.7 mm R18")
    iso, us = found["Broken wires in one lay that end the use of a running rope"]
    assert iso == "–" and us.startswith("6 R60")


def test_a_value_that_is_the_same_is_not_listed(rules: Path) -> None:
    edit(rules, "rulebook/dead-wraps-us.yaml", "dead_wraps: 2", "dead_wraps: 3")
    names = {one.name for one in rulebook.differences(loader.load(rules).rules.values(), DAY)}
    assert "dead_wraps" not in names and {"freeboard", "design_factor"} <= names


def test_the_page_names_the_cranes_of_each_profile_and_is_linked(built: Path) -> None:
    said = (built / PAGE).read_text(encoding="utf-8").partition('<h2 id="topic-')[0]
    iso, us = re.findall(r"<dt>.*?<dd>(.*?)(?=<dt>|</dl>)", said, re.DOTALL)
    others = ["bittern", "curlew", "dunlin", "heron", "plover", "whimbrel"]
    assert re.findall(r"machines/(\w+)/", us) == ["avocet"] and re.findall(r"machines/(\w+)/", iso) == others
    for page in ("rules/index.html", "machines/heron/index.html"):
        assert "rules/profiles/" in (built / page).read_text(encoding="utf-8"), page


def test_a_site_of_the_us_profile_shows_us_units_until_a_reader_chooses(
    phone: BrowserContext, serve: Any, refused: Path, built: Path
) -> None:
    page = phone.new_page()
    for site, first, other in ((refused, "us", "metric"), (built, "metric", "us")):
        page.goto(serve(site))
        page.evaluate("localStorage.removeItem('firmwrap.units')")
        for _ in range(2):
            page.reload()
            assert page.evaluate("document.documentElement.dataset.units") == first
        switch_units(page, other)
        page.reload()
        assert page.evaluate("document.documentElement.dataset.units") == other
        page.evaluate("localStorage.removeItem('firmwrap.units')")
    page.close()
