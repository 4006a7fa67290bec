"""Pull requests rehearsed with git, small data and the script that reports on them: .ci/moves.

A project of its own: the code of calc, the rules, and the two cranes that are worked by hand in tests/cases.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from conftest import ROOT

from calc.checks import loader
from hooks.pages.rules import rules as pages
from hooks.pages.site import moved
from hooks.text import words
from hooks.text.environment import environment

DAY = "2026-11-28"
AUTHOR = {
    f"GIT_{who}_{what}": value
    for who in ("AUTHOR", "COMMITTER")
    for what, value in (("NAME", "Rehearsal"), ("EMAIL", "rehearsal@example.invalid"))
}
ALONE = {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull, "FIRMWRAP_DAY": DAY}
ENVIRONMENT = os.environ | AUTHOR | ALONE
ENVIRONMENT.pop("GITHUB_BASE_REF", None)


class Project:
    """A folder under git with a branch main."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for name in ("calc", ".ci"):
            shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        shutil.copytree(ROOT / "tests/cases/crane", folder / "rules")
        shutil.copytree(ROOT / "rules/schema", folder / "rules/schema")
        for name in ("mkdocs.yml", "pyproject.toml", "requirements.txt"):
            shutil.copy(ROOT / name, folder / name)
        (folder / "Makefile").write_text(".PHONY: venv\nvenv: ;\n", encoding="utf-8")  # the environment is here already
        (folder / ".venv").symlink_to(ROOT / ".venv")
        (folder / ".gitignore").write_text(".venv\nbuild/\n__pycache__/\n", encoding="utf-8")
        self.git("init", "--quiet", "--initial-branch=main")
        self.commit("Begin")

    def git(self, *arguments: str) -> None:
        subprocess.run(["git", *arguments], cwd=self.folder, env=ENVIRONMENT, check=True)

    def commit(self, message: str) -> None:
        self.git("add", "--all")
        self.git("commit", "--quiet", "--allow-empty", "--message", message)

    def branch(self, name: str) -> None:
        self.git("checkout", "--quiet", "-b", name, "main")

    def edit(self, file: str, old: str, new: str) -> None:
        path = self.folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old), f"{file} no longer holds {old!r}; bring the rehearsal up to date"
        path.write_text(text.replace(old, new, 1), encoding="utf-8")

    def moves(self, **environment: str) -> tuple[int, str]:
        settings = ENVIRONMENT | environment
        done = subprocess.run([".ci/moves"], cwd=self.folder, env=settings, capture_output=True, text=True)
        assert done.stdout, done.stderr
        return done.returncode, done.stdout


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Project:
    return Project(tmp_path_factory.mktemp("project"))


def part(report: str, heading: str) -> str:
    """One section of the report, up to the next of its level."""
    level = heading.partition(" ")[0]
    found = re.search(rf"^{re.escape(heading)}.*?(?=^#{{1,{len(level)}}} |\Z)", report, re.MULTILINE | re.DOTALL)
    assert found, report
    return found[0]


def version(day: str, values: str, more: str = "") -> str:
    return f"""versions:
  - from: "{day}"
    statement: The suspended mass is at least this share of the line pull of every fall.
    values: {values}
    applies: {{}}
    reason: A rehearsal.
    sources: [{{kind: common-practice, citation: a rehearsal, read: from-memory}}]
    change: Changed in a rehearsal.
{more}"""


@pytest.fixture(scope="module")
def next_version(project: Project) -> tuple[int, str]:
    """A branch with a version of a rule to come, and with another rule withdrawn from today on."""
    project.branch("more-load")
    project.edit("rules/rulebook/minimum-load.yaml", "versions:\n", version("2027-01-15", "{minimum_share: 12 %}"))
    ended = version(DAY, "{}", "    withdrawn: true\n    replaced_by: keep-out\n")
    project.edit("rules/rulebook/wind.yaml", "versions:\n", ended)
    short = "redirects:\n  - {from: wind/, to: rules/wind/}\n"
    (project.folder / "rules/addresses.yaml").write_text(short, encoding="utf-8")
    project.commit("Rules: more load; wind goes into the area kept clear")
    return project.moves()


def test_a_new_version_of_a_rule_lists_the_plans_that_move_on_its_day(next_version: tuple[int, str]) -> None:
    """m = q*F*n/g with F 50 kN on 2 falls: 10 % is 1,019.716 kg, 12 % is 1,223.659 kg, a fifth more."""
    status, report = next_version
    assert status == 0
    assert "**Every number that moved has a cause, and every published version is as it was.**" in report
    assert re.findall("^### (.*)", report, re.MULTILINE) == [
        "As of 2026-11-28",
        "As of 2026-11-30, when something begins",
        "As of 2027-01-15, when something begins",
        "As of 2027-03-01, when something begins",
    ]
    today = part(report, "### As of 2026-11-28")
    assert "**0 of " in today and "in 0 of 3 plans" in today
    then = part(report, "### As of 2027-01-15")
    assert "| R01 Least load at the hook: minimum share | 10 % | 12 % |" in then
    assert re.search(r"\*\*\d+ of [\d,]+ numbers moved\*\*, in 3 of 3 plans\.", then)
    for name, plan in (("Lattice crane worked by hand", "50m full"), ("Telescopic crane worked by hand", "25m full")):
        crane = part(then, f"#### {name}")
        assert f"| plan {plan} load minimum kg | 1019.716213 kg | 1223.659456 kg | +20.0 % |" in crane


def test_a_withdrawn_rule_keeps_its_pages_and_leads_to_its_heir(
    project: Project, next_version: tuple[int, str]
) -> None:
    assert "| R27 Wind: withdrawn | – | yes |" in part(next_version[1], "### As of 2026-11-28")
    project.git("checkout", "--quiet", "more-load")
    data = loader.load(project.folder / "rules")
    texts = words.load()
    env = environment(texts)
    made = {page.address: page for page in pages.pages(env, texts, data, DAY)}
    assert {"rules/wind/", "rules/wind/2026-11-02/", f"rules/wind/{DAY}/"} <= set(made)
    living = made["rules/wind/"].html
    assert "Withdrawn" in living and 'href="../../rules/keep-out/"' in living
    assert "rules/wind/" in made["rules/"].html
    (old,) = moved.pages(env, texts, data.redirects)
    assert (old.address, old.moved_to) == ("wind/", "rules/wind/") and 'href="../rules/wind/"' in old.html
    assert not list(moved.errors(data.redirects, made))
    assert list(moved.errors(data.redirects, made.keys() - {"rules/wind/"})), "without its page nothing is published"


def test_an_edited_version_stops(project: Project) -> None:
    project.branch("edited")
    project.edit("rules/rulebook/minimum-load.yaml", "minimum_share: 10 %", "minimum_share: 11 %")
    project.edit("rules/rulebook/overlap.yaml", 'reason: "', 'reason: "Said in other words. ')  # words do not bind
    project.commit("Rules: a number is corrected where it stands")
    status, report = project.moves()
    assert status == 1
    assert "**Stop.**" in report and "- 1 published version edited." in report
    assert "- Rule R01, version of 2026-11-02, was edited: put it back, and add a version on top" in report
    assert "minimum share | 10 % | 11 % |" in part(report, "### As of 2026-11-28")


def test_a_changed_formula_stops_until_it_says_so(project: Project) -> None:
    project.branch("formula")
    project.edit("calc/formulas/__init__.py", "STANDARD_GRAVITY = 9.80665", "STANDARD_GRAVITY = 9.81")
    project.commit("Calculation: gravity")
    status, report = project.moves()
    assert status == 1
    assert re.search(r"- As of 2026-11-28, [\d,]+ numbers moved though nothing in the data did\. If that is", report)
    assert "Nothing in the data changed." in report and "in 3 of 3 plans" in report
    project.commit("Calculation: why\n\nWords.\n\nFormula-correction: gravity was wrong, <b>see the standard</b>")
    status, report = project.moves()
    assert status == 0
    assert "**A formula correction.** Every published version is as it was." in report
    assert "correction: gravity was wrong, &lt;b&gt;see the standard&lt;/b&gt;" in report


def test_a_fleet_of_its_own_is_held_against_its_own_repository(project: Project, tmp_path: Path) -> None:
    """The rope of the telescopic crane measured anew: no plan of the other one moves, and no rule."""

    def git(*arguments: str) -> None:
        subprocess.run(["git", *arguments], cwd=tmp_path, env=ENVIRONMENT, check=True)

    def commit(message: str) -> None:
        git("add", "--all")
        git("commit", "--quiet", "--message", message)

    fleet = tmp_path / "data/fleet"
    for name in ("machines", "upkeep", "yards"):
        shutil.copytree(ROOT / "tests/cases/crane" / name, fleet / name)
    git("init", "--quiet", "--initial-branch=main")
    commit("Begin")
    git("checkout", "--quiet", "-b", "later")
    crane = fleet / "machines/hand-telescopic.yaml"
    text = crane.read_text(encoding="utf-8")
    assert text.count("mass: 2 kg/m,") == 1
    crane.write_text(text.replace("mass: 2 kg/m,", "mass: 2.1 kg/m,"), encoding="utf-8")
    commit("Telescopic crane: rope weighed")
    project.git("checkout", "--quiet", "main")
    status, report = project.moves(FIRMWRAP_DATA=str(fleet))
    assert status == 1, "the revision kept its day"
    assert "- Machine hand-telescopic, version of 2026-11-25, was edited: keep it as `machines/earlier/" in report
    assert "Lattice crane worked by hand" not in report
