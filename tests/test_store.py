"""What a build leaves for the next one: right or not found, whatever happened to the data or to the files."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from data_folder import edit
from jinja2 import Environment

from calc.checks import loader
from hooks import fleet, jobs, store
from hooks.building import generated
from hooks.store import SUFFIX, Store, files
from hooks.text import words
from hooks.text.environment import Compiled, environment

ROOT = Path(__file__).resolve().parent.parent
DAY = "2026-12-01"
Contents = dict[str, str]


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """Two cranes of one boom length each."""
    return Path(shutil.copytree(ROOT / "tests/cases/crane", tmp_path / "rules"))


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Notes which crane is computed and which is shown."""
    noted: list[str] = []

    def noting(name: str, crane_of: Callable[..., str]) -> None:
        function = getattr(fleet, name)

        def noted_call(*given: Any) -> Any:
            noted.append(f"{name} {crane_of(*given)}")
            return function(*given)

        monkeypatch.setattr(fleet, name, noted_call)

    noting("compute", lambda data, machine, day: machine.id)
    noting("shown", lambda setting, data, plans, told: told.machine.id)
    return noted


WORDS = words.load()
ENV = environment(WORDS)


def contents(rules: Path, cache: Path | None, day: str = DAY, address: str | None = None) -> Contents:
    """Every page and every file that is made of the cranes, by address."""
    setting = fleet.Setting(ENV, WORDS, day, address)
    cranes = fleet.Fleet(rules, loader.load(rules), setting, Store(cache))
    heads = {head.address: f"{head} " for id in cranes for head in cranes.heads(id)}
    parts = (part for id in cranes for part in (cranes.bodies(id), cranes.files(id)))
    return {address: heads.get(address, "") + text for part in parts for address, text in part.items()}


def whole(rules: Path, cache: Path | None) -> Contents:
    """Every page and file of the site; the finder and the page of the feed are made of all cranes together."""
    site = generated.site(rules, DAY, cache=cache)
    return {page.address: f"{page}" for page in site.pages} | dict(site.files())


BOTH = ["compute hand-lattice", "shown hand-lattice", "compute hand-telescopic", "shown hand-telescopic"]
LINE = ("machines/hand-lattice.yaml", "length: 150 m", "length: 151 m")


def test_a_change_of_one_line_makes_one_crane_and_the_same_bytes(rules: Path, tmp_path: Path, made: list[str]) -> None:
    cache = tmp_path / "cache"
    before = contents(rules, cache)
    assert sorted(made) == sorted(BOTH)
    made.clear()
    assert contents(rules, cache) == before
    assert made == [], "nothing changed, nothing is made"
    edit(rules, *LINE)
    warm = whole(rules, cache)
    assert made == ["compute hand-lattice", "shown hand-lattice"]
    assert warm == whole(rules, None), "as from a cold build"
    warm = contents(rules, cache)
    changed = {address for address, content in warm.items() if before.get(address) != content}
    assert "machines/hand-lattice/50m/" in changed and "data/v1/plans/hand-lattice/50m.json" in changed
    assert not [address for address in changed if "hand-telescopic" in address]


@pytest.mark.parametrize(
    ("file", "old", "new", "remade"),
    [
        ("upkeep/hand-telescopic.yaml", "log:\n", "log: # oldest first\n", BOTH[2:]),
        ("yards/hand.yaml", "name: ", "name: The ", BOTH),
        ("rulebook/wind.yaml", "title: ", "title: The ", BOTH),
    ],
)
def test_what_a_crane_rests_on_makes_it_anew(
    rules: Path, tmp_path: Path, made: list[str], file: str, old: str, new: str, remade: list[str]
) -> None:
    contents(rules, tmp_path / "cache")
    made.clear()
    edit(rules, file, old, new)
    warm = contents(rules, tmp_path / "cache")
    assert sorted(made) == sorted(remade)
    assert warm == contents(rules, None)


def test_what_stands_behind_a_link_counts(rules: Path, tmp_path: Path) -> None:
    shutil.move(rules / "rulebook", tmp_path / "shared")
    (rules / "rulebook").symlink_to(tmp_path / "shared")
    data = loader.load(rules)
    setting = fleet.Setting(ENV, WORDS, DAY, None)
    before = fleet.keys(rules, data, setting)
    edit(rules, "rulebook/wind.yaml", "title: ", "title: The ")
    assert not set(fleet.keys(rules, data, setting).computed.values()) & set(before.computed.values())


def test_day_and_address_count(rules: Path, tmp_path: Path, made: list[str]) -> None:
    contents(rules, tmp_path / "cache")
    made.clear()
    contents(rules, tmp_path / "cache", address="https://plans.crane-yard.org/")
    assert sorted(made) == [what for what in sorted(BOTH) if what.startswith("shown")], "the numbers are the same"
    made.clear()
    contents(rules, tmp_path / "cache", day="2026-11-26")
    assert sorted(made) == sorted(BOTH)


def test_code_templates_texts_and_packages_count(rules: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    data = loader.load(rules)
    setting = fleet.Setting(None, None, DAY, None)  # not asked for here
    before = fleet.keys(rules, data, setting)
    root = tmp_path / "project"
    for name in ("calc", "hooks", "docs/assets", "rules/schema", fleet.CASES):
        shutil.copytree(ROOT / name, root / name)
    monkeypatch.setattr(fleet, "ROOT", root)
    assert fleet.keys(rules, data, setting) == before, "where the project stands does not count"
    for name in ("hooks/templates/plan.html", "hooks/words/en.yaml", "docs/assets/site.css", "hooks/figures/side.py"):
        (root / name).write_text((root / name).read_text(encoding="utf-8") + "\n", encoding="utf-8")
        now = fleet.keys(rules, data, setting)
        assert now.computed == before.computed and not set(now.shown.values()) & set(before.shown.values()), name
    before = fleet.keys(rules, data, setting)
    edit(root, f"{fleet.CASES}/drum.yaml", "call: ", "call:  ")
    now = fleet.keys(rules, data, setting)
    assert (now.computed, now.shown) == (before.computed, before.shown) and now.common != before.common
    (root / "calc/formulas/drum.py").write_text("", encoding="utf-8")
    assert not set(fleet.keys(rules, data, setting).computed.values()) & set(before.computed.values())
    now = fleet.keys(rules, data, setting)
    monkeypatch.setattr(store, "installed", lambda: ("another Python",))
    assert not set(fleet.keys(rules, data, setting).computed.values()) & set(now.computed.values())


def test_nothing_rests_on_what_its_key_leaves_out(rules: Path) -> None:
    """Every file opened while one crane is made, and then what rests on none, is under the places of its key."""
    opened: set[Path] = set()
    watching = True

    def own() -> set[Path]:
        return {path for path in opened if path.is_relative_to(ROOT) and not path.is_relative_to(ROOT / ".venv")}

    def note(event: str, given: tuple[Any, ...]) -> None:
        if watching and event == "open" and isinstance(given[0], str):
            opened.add(Path(given[0]).resolve())

    data = loader.load(rules).of("hand-lattice")
    setting = fleet.Setting(ENV, WORDS, DAY, None)
    cranes = fleet.Fleet(rules, data, setting, Store(None))
    assert ENV.cache is not None
    ENV.cache.clear()  # templates are read anew
    sys.addaudithook(note)  # cannot be taken out again, so it is told to stop
    try:
        plans, told = fleet.compute(data, data.machines["hand-lattice"], DAY)
        fleet.shown(setting, data, plans, told)
        of_crane = own()
        cranes.checked()
    finally:
        watching = False
    assert ROOT / "hooks/templates/plan.html" in of_crane and ROOT / "tests/cases/drum.yaml" in own(), "files are noted"
    for found, places in ((of_crane, fleet.SHOWS), (own(), (*fleet.SHOWS, fleet.CASES))):
        counted = {path.resolve() for path in files(*(ROOT / place for place in places))}
        assert found - counted == set()


def _damage(kind: str, cache: Path) -> None:
    entries = sorted(cache.glob(f"*{SUFFIX}"))
    assert len(entries) == 14  # seven of each crane
    contents = [path.read_bytes() for path in entries]
    for path, content, other in zip(entries, contents, [*contents[1:], contents[0]], strict=True):
        match kind:
            case "cut off":
                path.write_bytes(content[: len(content) // 2])
            case "empty":
                path.write_bytes(b"")
            case "one bit":
                path.write_bytes(content[:-9] + bytes([content[-9] ^ 1]) + content[-8:])
            case "another's content":
                path.write_bytes(other)
            case "a folder":
                path.unlink()
                path.mkdir()


@pytest.mark.parametrize("kind", ["cut off", "empty", "one bit", "another's content", "a folder"])
def test_a_damaged_entry_is_made_anew(rules: Path, tmp_path: Path, made: list[str], kind: str) -> None:
    cache = tmp_path / "cache"
    before = contents(rules, cache)
    _damage(kind, cache)
    made.clear()
    assert contents(rules, cache) == before
    assert set(made) == set(BOTH)


def test_compiled_templates_are_read_or_made_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def shown() -> str:
        return environment(WORDS, Compiled(tmp_path)).get_template("offline.html").render(root="../", day=DAY)

    first = shown()
    kept = {entry: entry.read_bytes() for entry in tmp_path.glob(f"*{SUFFIX}")}
    assert len(kept) == 2, "the page, and the macros it takes its way from"
    monkeypatch.setattr(Environment, "_generate", lambda *given, **named: pytest.fail("compiled once more"))
    assert shown() == first
    monkeypatch.undo()
    for entry, content in kept.items():
        entry.write_bytes(content[:-9] + bytes([content[-9] ^ 1]) + content[-8:])
    assert shown() == first
    assert {entry: entry.read_bytes() for entry in kept} == kept


def test_where_nothing_can_be_written_everything_is_made(rules: Path, tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("a file in the place of the folder", encoding="utf-8")
    assert contents(rules, tmp_path / "cache") == contents(rules, None)


def test_the_store_keeps_what_is_in_use_and_nothing_else(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("somebody's own", encoding="utf-8")
    first = Store(tmp_path)
    assert first.get("a", "x", lambda: {"x": 1, "y": 2}) == 1
    assert first.get("a", "y", lambda: pytest.fail("y was made with x")) == 2
    assert first.get("b", "x", lambda: {"x": 3}) == 3
    second = Store(tmp_path)
    second.keep_only(["b", "c"])
    assert sorted(path.name for path in tmp_path.iterdir()) == [f"b-x{SUFFIX}", "notes.txt"]
    assert second.get("b", "x", lambda: pytest.fail("it is there")) == 3


# -- several processes ------------------------------------------------------------------------------------------------


def test_two_processes_make_the_same_bytes(rules: Path, tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    site = generated.site(rules, DAY, cache=cache, processes=2)
    cranes = [path.name for path in cache.glob(f"*-bodies{SUFFIX}")]
    assert len(cranes) == 2
    made = {page.address: f"{page}" for page in site.pages} | dict(site.files())
    assert made == whole(rules, None)


def test_only_what_is_missing_is_made_in_processes(
    rules: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    generated.site(rules, DAY, cache=tmp_path / "cache", processes=2)
    asked: list[int] = []
    monkeypatch.setattr(jobs, "pool", asked.append)
    generated.site(rules, DAY, cache=tmp_path / "cache", processes=2)
    edit(rules, *LINE)
    generated.site(rules, DAY, cache=tmp_path / "cache", processes=2)
    assert asked == [], "nothing, then one crane: no process is worth its start"


class Killed(ProcessPoolExecutor):
    """Processes of which the first is killed at its work."""

    def submit(self, function: Callable[..., Any], /, *given: Any, **named: Any) -> Future[Any]:
        killed = not self._pending_work_items
        return super().submit(os._exit, 1) if killed else super().submit(function, *given, **named)


def test_a_process_that_is_killed_changes_no_byte(rules: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def pool(count: int) -> Executor:
        return Killed(count)

    monkeypatch.setattr(jobs, "pool", pool)
    site = generated.site(rules, DAY, processes=2)
    made = {page.address: f"{page}" for page in site.pages} | dict(site.files())
    assert made == whole(rules, None)
