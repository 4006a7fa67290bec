"""What a newcomer meets: README, the way from there to the file, guides, versions, commands, the picture of the
packages."""

from __future__ import annotations

import re
import subprocess
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import architecture
import pytest
import yaml
from conftest import ROOT
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

SETTINGS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PROJECT = SETTINGS["project"]
GUIDES = sorted((ROOT / "docs/dev").glob("*.md"))
DOCUMENTS = [*sorted(ROOT.glob("*.md")), *GUIDES]
PLACES = r"calc|hooks|rules|tests|docs|benchmark|\.ci|\.github"
BY_NAME = pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))


def read(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def anchors(path: Path) -> set[str]:
    """The names by which the headings of a document can be linked."""
    headings = re.findall(r"(?m)^#+ (.+)$", path.read_text(encoding="utf-8"))
    return {re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-") for heading in headings}


def links(path: Path) -> list[str]:
    return re.findall(r"\]\(([^)]+)\)", path.read_text(encoding="utf-8"))


# -- the newcomer's path ----------------------------------------------------------------------------------------------


def test_readme_opens_with_the_job_and_has_two_commands() -> None:
    text = read("README.md")
    assert text.startswith("# Firmwrap\n\nA mobile crane's hoist rope lies on its winch drum")
    assert [line.split("#")[0].strip() for line in re.findall(r"(?m)^    (.+)$", text)] == ["make serve", "make test"]
    assert "```" not in text and len(text.splitlines()) <= 40


def test_two_steps_from_readme_to_the_file() -> None:
    """README leads to CONTRIBUTING; a row of its table names the file for each of these."""
    assert "CONTRIBUTING.md" in links(ROOT / "README.md")
    rows = dict(re.findall(r"(?m)^\| (.+?) \| (.+?) \| \[", read("CONTRIBUTING.md")))
    for asked, place in (
        ("the overlap", "rules/rulebook/overlap.yaml"),
        ("a formula", "calc/formulas/"),
        ("a figure", "hooks/figures/"),
        ("a column of a table", "hooks/templates/"),
        ("a guidance", "docs/guidance/"),
    ):
        (named,) = (places for change, places in rows.items() if asked in change)
        assert f"`{place}" in named


@BY_NAME
def test_links_lead_somewhere(path: Path) -> None:
    for link in links(path):
        file, _, anchor = link.partition("#")
        to = (path.parent / file).resolve() if file else path
        assert to.exists(), link
        assert not anchor or anchor in anchors(to), link


@BY_NAME
def test_files_that_a_guide_names_are_there(path: Path) -> None:
    """`<id>` stands for any, `*` for some; what a command writes need not be there."""
    for name in re.findall(rf"`((?:{PLACES})/[^`\s]*)`", path.read_text(encoding="utf-8")):
        if "osprey" not in name:
            pattern = re.sub(r"<[a-z]+>", "*", name).rstrip("/")
            assert any(ROOT.glob(pattern)), name


@BY_NAME
def test_commands_that_a_guide_names_are_there(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    targets = set(re.findall(r"(?m)^([a-z-]+):", read("Makefile")))
    assert set(re.findall(r"(?:`|^    )make ([a-z-]+)", text, re.MULTILINE)) <= targets


def test_developers_leads_to_every_guide() -> None:
    assert {f"docs/dev/{path.name}" for path in GUIDES} <= set(links(ROOT / "DEVELOPERS.md"))
    assert len(read("DEVELOPERS.md").splitlines()) <= 80


def test_guides_are_kept_out_of_the_site() -> None:
    settings = re.search(r"(?m)^exclude_docs: (\S+)", read("mkdocs.yml"))
    assert settings and settings[1] == "/dev/"


# -- facts that stand in two places -----------------------------------------------------------------------------------


def test_every_dependency_says_why() -> None:
    rows = re.findall(r"(?m)^\| ([^|]+) \| [^|]+ \|$", read("DEVELOPERS.md").partition("## Dependencies")[2])[1:]
    said = [canonicalize_name(name) for row in rows for name in row.split(", ") if "(npm)" not in name]
    extras = PROJECT["optional-dependencies"]
    direct = {Requirement(text).name for text in [*PROJECT["dependencies"], *extras["build"], *extras["test"]]}
    assert sorted(said) == sorted(map(canonicalize_name, direct))


def test_one_version() -> None:
    cited = yaml.safe_load(read("CITATION.cff"))
    releases = re.findall(r"(?m)^## (\d+\.\d+\.\d+) - (\d{4}-\d\d-\d\d)$", read("CHANGELOG.md"))
    assert releases[0] == (PROJECT["version"], cited["date-released"])
    assert cited["version"] == PROJECT["version"]
    assert releases == sorted(releases, key=lambda release: [int(part) for part in release[0].split(".")], reverse=True)
    assert "## Unreleased" in read("CHANGELOG.md").partition(releases[0][0])[0]


def test_one_licence() -> None:
    text = read("LICENSE")
    assert re.match(r"\s+Apache License\n\s+Version 2\.0, January 2004\n", text) and "APPENDIX" in text
    assert PROJECT["license"] == yaml.safe_load(read("CITATION.cff"))["license"] == "Apache-2.0"


# -- commands and scripts ---------------------------------------------------------------------------------------------


def test_help_names_every_target() -> None:
    makefile = read("Makefile")
    listed = re.findall(r"(?m)^make ([a-z-]+) +\S", subprocess.check_output(["make", "help"], cwd=ROOT, text=True))
    phony = re.search(r"(?s)^\.PHONY: (.+?[^\\])\n", makefile, re.MULTILINE)
    assert phony and sorted(listed) == sorted(phony[1].replace("\\\n", " ").split())


def test_scripts_of_ci_are_linted() -> None:
    """shellcheck gets every script, and finds nothing."""
    scripts = [path for path in sorted((ROOT / ".ci").iterdir()) if path.read_bytes().startswith(b"#!/bin/")]
    call = subprocess.check_output(["make", "-n", "check"], cwd=ROOT, text=True)
    (linted,) = re.findall(r"(?m)^\.venv/bin/shellcheck (.+)$", call)
    assert linted.split() == [str(path.relative_to(ROOT)) for path in scripts]
    done = subprocess.run([ROOT / ".venv/bin/shellcheck", *scripts], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout


def test_what_is_pinned_for_node_names_no_place_to_fetch_from() -> None:
    assert '"resolved"' not in read("tests/scripts/package-lock.json")
    assert "omit-lockfile-registry-resolved=true" in read("tests/scripts/.npmrc")


def test_quick_tests_build_no_site() -> None:
    """Each file of the list is there, once, and asks for none of the fixtures that build one."""
    files = read(".ci/quick-tests").split()
    assert files == sorted(set(files))
    for file in files:
        assert not re.search(r"\b((built|refused): Path|address: str|page: Page|phone: Browser)", read(file)), file
    assert 75 <= SETTINGS["tool"]["coverage"]["report"]["fail_under"] <= 100


# -- the picture of the packages --------------------------------------------------------------------------------------


def test_the_picture_is_up_to_date() -> None:
    assert read("docs/dev/architecture.svg") == architecture.draw(), "make architecture"


def test_the_picture_is_whole() -> None:
    """Every package has a box, every box lies within the picture, and no two touch."""
    picture = ElementTree.parse(architecture.PICTURE).getroot()
    space = "{http://www.w3.org/2000/svg}"
    drawn = [text.text for text in picture.iter(f"{space}text")]
    assert len(drawn) == len(set(drawn)) and set(drawn) == set(architecture.ties(ROOT))
    boxes = [{name: float(box.get(name, 0)) for name in ("x", "y")} for box in picture.iter(f"{space}rect")][1:]
    for box in boxes:
        assert 0 <= box["x"] <= float(picture.get("width", 0)) - architecture.WIDTH
        assert 0 <= box["y"] <= float(picture.get("height", 0)) - architecture.HEIGHT
    for first in boxes:
        apart = [max(abs(first["x"] - box["x"]) - architecture.WIDTH, abs(first["y"] - box["y"]) - architecture.HEIGHT)
                 for box in boxes if box is not first]  # fmt: skip
        assert min(apart) > 0


def house(folder: Path, **files: str) -> Path:
    """A tree of modules, each with these lines; `__` stands for a dot in its name."""
    for name, text in files.items():
        path = folder / (name.replace("__", "/") + ".py")
        path.parent.mkdir(parents=True, exist_ok=True)
        (path.parent / "__init__.py").touch()
        path.write_text(text, encoding="utf-8")
    return folder


def test_a_package_is_one_box_and_a_module_alone_another(tmp_path: Path) -> None:
    root = house(
        tmp_path,
        calc__data__files="import ast\n",
        calc__winding__rig="from calc.data import files\n",
        calc__rounding="from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from calc.data import files\n",
        hooks__pages__plan="from calc import rounding\nfrom calc.winding.rig import State\n",
        hooks__publish="def later() -> None:\n    import hooks.pages.plan\n    from calc.data.files import read\n",
    )
    found = architecture.ties(root)
    assert found == {
        "calc.data": set(),
        "calc.winding": {"calc.data"},
        "calc.rounding": set(),
        "hooks.pages": {"calc.rounding", "calc.winding"},
        "hooks.publish": {"hooks.pages", "calc.data"},
    }
    assert architecture.reduced(found)["hooks.publish"] == {"hooks.pages"}, "the rest follows"
    level = architecture.levels(found)
    assert [level[name] for name in ("calc.data", "calc.rounding", "calc.winding", "hooks.pages", "hooks.publish")] == [
        0, 0, 1, 2, 3,
    ]  # fmt: skip


def test_a_circle_is_drawn_in_one_row(tmp_path: Path) -> None:
    root = house(
        tmp_path,
        calc__a__x="from calc.b import x\n",
        calc__b__x="from calc.a import x\n",
        calc__c__x="",
        calc__d__x="from calc.a import x\nfrom calc.c import x as y\n",
    )
    (root / "calc/a/y.py").write_text("from calc.c import x\n", encoding="utf-8")
    found = architecture.reduced(architecture.ties(root))
    level = architecture.levels(found)
    assert level["calc.c"] < level["calc.a"] == level["calc.b"] < level["calc.d"]
    assert found["calc.d"] == {"calc.a"} and "calc.c" in found["calc.a"]


def test_many_modules_share_the_box_of_their_house(tmp_path: Path) -> None:
    root = house(tmp_path, **{f"calc__m{index}": "" for index in range(architecture.ALONE + 1)})
    assert set(architecture.ties(root)) <= {"calc"}
