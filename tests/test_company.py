"""A company's folder over what ships: its cranes are the fleet, the rules are those that ship, and the teaching fleet
is an example that no page takes for a crane of the company."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from conftest import DATA, DAY, KEPT, ROOT
from data_folder import edit

from calc.checks import loader
from calc.cli.commands import main
from calc.data import files, folders
from hooks import publish
from hooks.building import generated
from hooks.fleet import Setting, keys
from hooks.text import words
from hooks.text.environment import environment

CRANE = ROOT / "tests/cases/crane"
OWN = ("machines", "upkeep", "yards")
MINE = {"hand-lattice", "hand-telescopic"}
WRITTEN = {
    path.relative_to(ROOT / "docs").as_posix(): path.read_text(encoding="utf-8")
    for folder in ("guidance", "training")
    for path in sorted((ROOT / "docs" / folder).glob("*.md"))
}
TAUGHT = {"bittern", "heron", "curlew", "dunlin", "avocet"}


def company(at: Path) -> Path:
    for name in OWN:
        shutil.copytree(CRANE / name, at / name)
    return at


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return company(tmp_path_factory.mktemp("company") / "my-fleet")


@pytest.fixture(scope="module")
def site(folder: Path) -> generated.Site:
    return generated.site(folder, DAY, cache=KEPT)


def test_cranes_are_the_companys_and_rules_those_that_ship(folder: Path) -> None:
    read = loader.load(folder)
    assert read.machines.keys() == MINE and read.yards.keys() == {"hand"}
    assert (read.rules, read.tables) == (DATA.rules, DATA.tables)
    assert read.redirects == ()


def test_a_folder_with_a_rulebook_of_its_own_takes_nothing_from_what_ships(tmp_path: Path) -> None:
    whole = Path(shutil.copytree(CRANE, tmp_path / "whole"))
    edit(whole, "rulebook/overlap.yaml", "title: ", "title: Ours, ")
    assert loader.load(whole).rules["overlap"].title.startswith("Ours, ")
    assert folders.place(whole, folders.TABLES) == whole / "tables"


def test_a_message_names_the_file_as_an_editor_opens_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mine = company(tmp_path / "my-fleet")
    (mine / "yards/hand.yaml").write_text("id: other\n", encoding="utf-8")
    for here, name in ((tmp_path, "my-fleet/yards/hand.yaml"), (mine, "yards/hand.yaml")):
        monkeypatch.chdir(here)
        with pytest.raises(files.Errors) as caught:
            loader.load(mine)
        told = {line.split(":")[0] for line in str(caught.value).splitlines()}
        assert name in told and all(Path(one).is_file() for one in told)
    monkeypatch.chdir(ROOT)
    with pytest.raises(files.Errors, match=rf"(?m)^{re.escape(str(mine))}/yards/hand\.yaml:1: "):
        loader.load(mine)


def test_no_crane_of_the_teaching_fleet_is_in_the_fleet(site: generated.Site) -> None:
    assert set(site.fleet) == MINE
    assert not [address for address in site.heads if TAUGHT & set(address.split("/"))]
    for address, body in site.own.items():
        assert not re.search(rf'href="[^"]*machines/({"|".join(TAUGHT)})/', body), address
    assert not [address for address, _ in site.files() if TAUGHT & set(re.split(r"[/.]", address))]


@pytest.mark.parametrize("name", WRITTEN)
def test_a_hand_written_page_computes_from_the_teaching_fleet_and_says_so(name: str, site: generated.Site) -> None:
    text, example = WRITTEN[name], words.load().get("guidance.example")
    assert site.guide.errors(text, name) == []
    filled = site.guide.fill(text, f"{name.removesuffix('.md')}/")
    assert not re.search(rf"machines/({'|'.join(TAUGHT)})/", filled)
    names_one = re.search(rf"{{{{[^}}]*\b({'|'.join(TAUGHT)})\b", text)
    assert filled.count(example) == bool(names_one)
    if names_one:
        before, _, _ = filled.partition(example)
        assert re.fullmatch(r"(?s)(---\n.*?\n---\n)?\s*# [^\n]+\n\s*<p[^>]*>", before), "under the title"


def test_here_the_teaching_fleet_is_the_fleet(folder: Path) -> None:
    assert folders.teaches(ROOT / "rules") and not folders.teaches(folder)


def test_exercises_are_drawn_from_the_teaching_fleet(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def printed(*call: str) -> str:
        assert main(["exercises", "--day", DAY, *call]) == 0
        return capsys.readouterr().out

    plain = printed()
    monkeypatch.setenv("FIRMWRAP_DATA", str(folder))
    assert printed() == plain


def test_only_what_is_read_is_in_the_keys_of_what_is_kept(tmp_path: Path) -> None:
    """An empty commit or a note beside the data makes nothing anew; a rule that ships does."""
    mine = company(tmp_path / "my-fleet")
    read, texts = loader.load(mine), words.load()
    setting = Setting(environment(texts), texts, DAY, None)
    before = keys(mine, read, setting)
    (mine / ".git").mkdir()
    (mine / ".git/HEAD").write_text("ref", encoding="utf-8")
    (mine / "README.md").write_text("Ours.", encoding="utf-8")
    assert keys(mine, read, setting) == before
    (mine / "site.yaml").write_text("profile: iso\n", encoding="utf-8")
    assert keys(mine, read, setting).computed["hand-lattice"] != before.computed["hand-lattice"]
    names = {path.parent.name for path in (folders.SHIPPED / folders.RULEBOOK).glob("*.yaml")}
    assert names == {"rulebook"} and folders.place(mine, folders.RULEBOOK).is_relative_to(folders.SHIPPED)


def test_while_serving_the_folder_is_watched(folder: Path) -> None:
    watched: list[str] = []
    plugin, server, config = publish.Publish(), SimpleNamespace(watch=watched.append), SimpleNamespace()
    plugin.folder = folder
    given: Any = (server, config, None)
    plugin.on_serve(*given)
    assert watched == [str(folder)]
