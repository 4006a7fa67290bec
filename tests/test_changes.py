"""The page of changes and its feed: what began on which day, which numbers moved by it; nothing leaves the site."""

from __future__ import annotations

import json
import re
import shutil
from datetime import datetime
from html import unescape
from pathlib import Path
from uuid import UUID
from xml.etree import ElementTree

import pytest
from conftest import DATA, DAY, ROOT, fleet_site
from data_folder import keep_booms
from markupsafe import Markup

from calc.changes import ahead, record
from calc.changes.compare import PlanMoved
from calc.changes.record import Line
from calc.cli.commands import main
from hooks.building import generated
from hooks.pages.rules import changes
from hooks.pages.rules.changes import Changed
from hooks.text import words
from hooks.text.environment import environment

WORDS = words.load()
FEED = "f9caff0d-4fcf-46fa-84c7-713fa71fef5f"
ATOM = f"{{{changes.ATOM}}}"


def told(day: str) -> list[Changed]:
    return changes.told(DATA.at(day), fleet_site().fleet.moves(), day)


@pytest.fixture(scope="module")
def days() -> list[Changed]:
    return told(DAY)


def text(html: str) -> str:
    """What a reader sees in metric units."""
    html = re.sub(r"<x-u>.*?</x-u>|</?(?:a|b|span|x-m)\b[^>]*>", "", html)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split()).replace("\u00a0", " ")


def part(built: Path, day: str) -> str:
    html = (built / "changes/index.html").read_text(encoding="utf-8")
    found = re.search(rf'<h2 id="day-{day}">.*?(?=<h2 |</article>)', html, re.DOTALL)
    assert found
    return text(found[0])


# The page


def test_every_day_on_which_something_began_the_newest_first(built: Path) -> None:
    html = (built / "changes/index.html").read_text(encoding="utf-8")
    days = ["2027-03-01", "2026-11-30", "2026-11-23", "2026-11-02", "2026-10-05"]
    assert re.findall(r'<h2 id="day-([^"]+)"', html) == days


def test_a_version_to_come_with_the_numbers_it_will_move(built: Path) -> None:
    """R10 raises the stop by half a metre where the fixed margin decides: bittern 24 m from 0.2 to 0.7 m."""
    coming = part(built, "2027-03-01")
    assert "Takes effect 2027-03-01. Plans keep their numbers until then." in coming
    assert "R10 Margin of the hook height at the stop" in coming
    assert "stop margin: 0.5 m until then, 1 m from then on" in coming
    assert re.search(r"67 of 67 plans move: [\d,]+ of [\d,]+ numbers\.", coming)
    assert "Bittern, Reduced counterweight" in coming and "24 m hook not below 0.2 m 0.7 m" in coming


def test_a_revision_of_a_crane(built: Path) -> None:
    """Six-sheave block of dunlin 0.62 t, now 0.70 t: plans on that block carry 80 kg more, 50 kg steps up."""
    revision = part(built, "2026-11-23")
    assert "Dunlin New rope with its own certificate, and the six-sheave block weighed when it was fitted." in revision
    assert "rope mass per length: 1.18 kg/m, now 1.20 kg/m" in revision
    assert "rope minimum breaking force: 186.0 kN, now 205.0 kN" in revision
    assert "blocks six-sheave mass: 0.62 t, now 0.70 t" in revision
    assert re.search(r"\d of 58 plans move", revision) and "load with block and slings" in revision
    assert "Announced" not in revision


def test_the_first_day_and_a_rule_withdrawn(built: Path) -> None:
    first = part(built, "2026-11-02")
    assert "R34 Tension of a firm wrap, one pull for every winch withdrawn" in first
    assert "firm pull: 10 kN until then, none from then on" in first
    assert "Heron Data of this crane begins." in first and "58 plans begin." in first
    assert "1 rule begins R34" in part(built, "2026-10-05")


def test_linked_from_the_start_page_and_the_rules(built: Path) -> None:
    for page, link in (
        ("index.html", "./changes/"),
        ("rules/index.html", "../changes/"),
        ("rules/stop-margin/index.html", "../../changes/#day-2026-11-02"),
    ):
        assert f'href="{link}"' in (built / page).read_text(encoding="utf-8"), page


def test_links_lead_to_the_plans_that_moved(built: Path) -> None:
    html = (built / "changes/index.html").read_text(encoding="utf-8")
    linked = re.findall(r'href="\.\./(machines/[^"]+)"', html)
    assert "machines/bittern/54m/full-counterweight/" in linked
    assert all((built / address / "index.html").is_file() for address in linked)


def test_a_day_that_moves_nothing_and_plans_newly_refused() -> None:
    env = environment(WORDS)
    moves = {"heron": {day: ahead.Moves((), (), 8, 4000, 0) for day in record.starts(DATA)}}
    html = changes.page(env, WORDS, changes.told(DATA.at(DAY), moves, DAY), feed=False).html
    assert text(html).count("No number of a plan moves.") == 5 and "feed.xml" not in html
    one = PlanMoved("heron", "41m", "full-outriggers", (), 3, ("", "weights-not-at-hand"))
    back = PlanMoved("bittern", "54m", "full-counterweight", (), 3, ("weights-not-at-hand", ""))
    moves["heron"]["2026-11-23"] = ahead.Moves((), (one, back), 58, 4000, 6)
    said = text(changes.page(env, WORDS, changes.told(DATA.at(DAY), moves, DAY), feed=False).html)
    assert "Not possible from then on: Heron 41m" in said
    assert "Possible from then on: Bittern 54m, Full counterweight" in said
    assert "The numbers of 1 plan move by less than its page shows." in said


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (None, "\u2013"),
        (Line("-"), "\u2013"),
        (Line("parallel-grooved"), "parallel-grooved"),
        (Line("0.022", "m"), "<x-m>22.0 mm</x-m><x-u>0.866 in</x-u>"),
        (Line("290", "m"), "<x-m>290.0 m</x-m><x-u>951.5 ft</x-u>"),
        (Line("46000", "N"), "<x-m>46.0 kN</x-m><x-u>10,350 lbf</x-u>"),
        (Line("75000", "W"), "75\u00a0kW"),
        (Line("0.5", "rad"), "0.5\u00a0rad"),
    ],
)
def test_a_field_in_both_units(line: Line | None, said: str) -> None:
    assert changes._said(line) == Markup(said)


# The feed, RFC 4287


def parsed(days: list[Changed], day: str = DAY, home: str | None = None) -> ElementTree.Element:
    return ElementTree.fromstring(changes.atom(WORDS, days, day, FEED, home))


def one(of: ElementTree.Element, name: str) -> str:
    (found,) = of.findall(f"{ATOM}{name}")
    return found.text or ""


def test_the_feed_is_what_rfc_4287_asks_for(days: list[Changed]) -> None:
    """4.1.1: one id, title and updated, an author, a link to itself; 4.1.2: one id, title, updated in every entry, no
    two entries the same id and updated, an alternate link where there is no content; 3.3: dates of RFC 3339."""
    feed = parsed(days)
    assert feed.tag == f"{ATOM}feed"
    assert one(feed, "id") == UUID(FEED).urn and one(feed, "title")
    assert feed.find(f"{ATOM}author/{ATOM}name") is not None
    assert {link.get("rel"): link.get("href") for link in feed.findall(f"{ATOM}link")} == {
        "self": "feed.xml",
        "alternate": "./",
    }
    entries = feed.findall(f"{ATOM}entry")
    ids = [one(entry, "id") for entry in entries]
    assert len(set(ids)) == len(ids) == 5 and all(UUID(id).version == 5 for id in ids)
    stamps = [one(entry, "updated") for entry in entries]
    assert all(datetime.fromisoformat(stamp).tzinfo for stamp in stamps) and stamps == sorted(stamps, reverse=True)
    assert one(feed, "updated") == stamps[0] and max(stamps)[:10] <= DAY
    for entry in entries:
        assert one(entry, "title") and one(entry, "summary")
        (link,) = entry.findall(f"{ATOM}link")
        assert link.get("rel") == "alternate" and str(link.get("href")).startswith("./#day-20")


def test_names_stay_whatever_the_day_and_the_address(days: list[Changed]) -> None:
    """A build on a later day and at another address tells the same entries under the same names."""
    later = parsed(told("2027-03-02"), "2027-03-02", "https://plans.skerry-point.internal/cranes/")
    here = {one(entry, "id"): one(entry, "title") for entry in parsed(days).findall(f"{ATOM}entry")}
    there = {one(entry, "id"): one(entry, "title") for entry in later.findall(f"{ATOM}entry")}
    assert here.items() <= there.items() and len(there) == len(here) + 1
    assert {title for id, title in there.items() if id not in here} == {"2027-03-01: R10"}
    assert {link.get("href") for link in later.findall(f"{ATOM}link")} == {
        "https://plans.skerry-point.internal/cranes/changes/feed.xml",
        "https://plans.skerry-point.internal/cranes/changes/",
    }


def test_an_announcement_is_an_entry_from_the_day_it_was_made() -> None:
    titles = [one(entry, "title") for entry in parsed(told("2026-11-15"), "2026-11-15").findall(f"{ATOM}entry")]
    assert not any("announced" in title for title in titles)
    titles = [one(entry, "title") for entry in parsed(told("2026-11-16"), "2026-11-16").findall(f"{ATOM}entry")]
    assert titles[0] == "From 2027-03-01: R10 Margin of the hook height at the stop (announced)"


def test_the_feed_of_the_site(built: Path) -> None:
    feed = (built / "changes/feed.xml").read_text(encoding="utf-8")
    assert feed.startswith('<?xml version="1.0" encoding="utf-8"?>\n<feed xmlns="http://www.w3.org/2005/Atom"')
    assert set(re.findall(r"https?://[^\"<\s]+", feed)) <= {changes.ATOM}
    settings = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    named = re.search(r'feed: !ENV \[FIRMWRAP_FEED, "([0-9a-f-]+)"\]', settings)
    assert named and f"<id>urn:uuid:{named[1]}</id>" in feed


# As of a day


def test_a_build_of_a_day_and_the_command_line_agree(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """On both sides of the day of a revision; without --day FIRMWRAP_DAY counts for the command, too."""
    for name in ("rulebook", "tables", "yards"):
        (tmp_path / name).symlink_to(ROOT / "rules" / name)
    (tmp_path / "machines/earlier").mkdir(parents=True)
    (tmp_path / "upkeep").mkdir()
    earlier = [f"machines/earlier/dunlin.{day}.yaml" for day in ("2026-11-02", "2026-11-23")]
    for file in ("machines/dunlin.yaml", *earlier, "upkeep/dunlin.yaml"):
        shutil.copy(ROOT / "rules" / file, tmp_path / file)
        if file.startswith("machines"):
            keep_booms(tmp_path / file, ("29 m", "35 m", "41 m"))  # of its log
    loads = []
    for day, more in (("2026-11-22", ["--day", "2026-11-22"]), ("2026-11-23", [])):
        monkeypatch.setenv("FIRMWRAP_DAY", day)
        built = dict(generated.site(tmp_path, day).files())
        for command, name in ((["plan", "dunlin", "29m"], "plans/dunlin/29m"), (["state", "dunlin"], "state/dunlin")):
            assert main([*command, *more, "--json", "--data", str(tmp_path)]) == 0
            printed = json.loads(capsys.readouterr().out)
            assert {**json.loads(built[f"data/v1/{name}.json"]), "$schema": ""} == {**printed, "$schema": ""}
            loads += [printed["load"]["planned_kg"]] if command[0] == "plan" else []
        listed = json.loads(built["data/v1/machines.json"])["machines"]
        assert [one["revision"] for one in listed] == ["2026-11-02" if more else "2026-11-23"]
    assert loads == [2950.0, 3030.0]  # 2.25 t of weights, slings of 80 kg, and the block of that day
