"""The checks of a pull request and of each week: the same commands as at home, nothing but reading, no secret, fixed
versions."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
import yaml
from conftest import ROOT

TEXTS = {path.stem: path.read_text(encoding="utf-8") for path in sorted((ROOT / ".github/workflows").glob("*.yml"))}
# every value as text: `on` stays a name
WORKFLOWS: dict[str, dict[str, Any]] = {name: yaml.load(text, Loader=yaml.BaseLoader) for name, text in TEXTS.items()}
PULL_REQUEST = WORKFLOWS["pull-request"]
EACH = pytest.mark.parametrize("name", WORKFLOWS)


def steps(name: str) -> list[dict[str, Any]]:
    return [step for job in WORKFLOWS[name]["jobs"].values() for step in job["steps"]]


def targets() -> set[str]:
    return set(re.findall(r"(?m)^([a-z-]+):", (ROOT / "Makefile").read_text(encoding="utf-8")))


def test_runs_for_pull_requests_only() -> None:
    """Not for pull_request_target: that would hand a foreign branch the rights of this repository."""
    assert list(PULL_REQUEST["on"]) == ["pull_request"]
    assert PULL_REQUEST["concurrency"]["cancel-in-progress"] == "true"
    assert "${{ github.event.pull_request.number }}" in PULL_REQUEST["concurrency"]["group"]


@EACH
def test_may_only_read(name: str) -> None:
    workflow = WORKFLOWS[name]
    assert workflow["permissions"] == {"contents": "read"}
    assert not any("permissions" in job for job in workflow["jobs"].values())
    checkouts = [step for step in steps(name) if step.get("uses", "").startswith("actions/checkout@")]
    assert len(checkouts) == len(workflow["jobs"])
    assert all(checkout["with"]["persist-credentials"] == "false" for checkout in checkouts)


@EACH
def test_knows_no_secret_and_puts_no_foreign_text_into_a_command(name: str) -> None:
    assert not re.search(r"secrets|github\.token|GITHUB_TOKEN", TEXTS[name])
    assert not any("${{" in step.get("run", "") for step in steps(name))


@EACH
def test_versions_are_fixed(name: str) -> None:
    """A tag of an action can be moved, a commit cannot; the comment says which version it is."""
    used = re.findall(r"uses: (.+)", TEXTS[name])
    assert len(used) == sum("uses" in step for step in steps(name))
    assert used and all(re.fullmatch(r"actions/[a-z-]+@[0-9a-f]{40} # v\d+\.\d+\.\d+", action) for action in used)
    for job in WORKFLOWS[name]["jobs"].values():
        assert re.fullmatch(r"[a-z]+-\d+\.\d+", job["runs-on"])
        assert re.fullmatch(r"debian:[a-z]+", job.get("container", "debian:bookworm"))
        assert int(job["timeout-minutes"]) <= (30 if name == "pull-request" else 180)


def test_one_version_of_each_action() -> None:
    used = {tuple(step["uses"].split("@")) for name in WORKFLOWS for step in steps(name) if "uses" in step}
    assert len({action for action, _ in used}) == len(used)


def test_runs_what_is_run_everywhere() -> None:
    """Every command is a script of .ci; .ci/run makes the targets of the Makefile, in CI so that nothing is skipped."""
    commands = [step["run"].split()[:2] for step in steps("pull-request") if "run" in step]
    assert commands == [["bash", ".ci/run"], ["bash", ".ci/summary"], ["bash", ".ci/moves"]]
    script = (ROOT / ".ci/run").read_text(encoding="utf-8")
    made = re.findall(r"^make (\w+)", script, re.MULTILINE)
    assert made == ["check", "test", "site"] and set(made) <= targets()
    assert "export CI=true" in script and "set -euo pipefail" in script and script.rstrip().endswith("exit $failed")
    needs = (ROOT / ".ci/needs").read_text(encoding="utf-8")
    assert re.search(r"apt-get install .*\n? *chromium fontconfig fonts-dejavu-core", needs)
    assert script.index(".ci/needs\n") < script.index("make check")


def test_each_week_runs_what_takes_long() -> None:
    weekly = WORKFLOWS["weekly"]
    assert set(weekly["on"]) == {"schedule", "workflow_dispatch"}
    assert re.fullmatch(r"\d+ \d+ \* \* \d", weekly["on"]["schedule"][0]["cron"])
    made = weekly["jobs"]["run"]["strategy"]["matrix"]["target"]
    assert made == ["long", "fuzz", "mutants", "coverage", "audit", "lint-scripts"] and set(made) <= targets()
    assert [step["run"] for step in steps("weekly") if "run" in step] == ['bash .ci/weekly "$TARGET"']
    script = (ROOT / ".ci/weekly").read_text(encoding="utf-8")
    assert "export CI=true" in script and "set -euo pipefail" in script and script.endswith('make "$1"\n')


def test_the_built_site_is_kept_as_a_preview() -> None:
    kept = next(step for step in steps("pull-request") if step.get("uses", "").startswith("actions/upload-artifact@"))
    assert kept["with"] | {"retention-days": ""} == {
        "name": "site-preview",
        "path": "build/site-*/",  # where hooks/building/release.py puts a build that succeeded
        "if-no-files-found": "error",
        "retention-days": "",
    }
    assert "if" not in kept, "a preview of a failed build would be an old one or none"


def test_what_moves_goes_into_the_summary_and_its_records_are_kept() -> None:
    """A job of its own with the whole history, so that it reports whatever the tests find; tests/test_rehearsal.py
    runs the script."""
    job = PULL_REQUEST["jobs"]["moves"]
    checkout, moves, kept = job["steps"]
    assert checkout["with"]["fetch-depth"] == "0" and "needs" not in job
    assert moves["run"] == 'bash .ci/moves >> "$GITHUB_STEP_SUMMARY"'
    assert "if" not in moves and "continue-on-error" not in moves, "it stops the change where it has to"
    assert kept["if"] == "always()" and kept["with"]["path"] == "build/moves/*/*.txt"


@pytest.mark.parametrize("script", ["moves", "needs", "run", "summary", "weekly"])
def test_scripts_are_sound(script: str) -> None:
    path = ROOT / ".ci" / script
    assert os.access(path, os.X_OK)
    subprocess.run(["bash", "-n", path], check=True)


def test_summary(tmp_path: Path) -> None:
    """Data, failed tests and where the preview is; what a test or the data says stays indented, so it is no markup."""
    shutil.copytree(ROOT / ".ci", tmp_path / ".ci")
    (tmp_path / ".venv").symlink_to(ROOT / ".venv")
    for name in ("calc", "rules"):
        (tmp_path / name).symlink_to(ROOT / name)
    missing = summary(tmp_path)
    assert "The tests did not run" in missing and "No site was built." in missing
    (tmp_path / "build").mkdir()
    log = "...F\nFAILED tests/test_a.py::test_b[# heading]\n1 failed, 3 passed in 0.1s\n"
    (tmp_path / "build/test.log").write_text(log, encoding="utf-8")
    (tmp_path / "site").mkdir()
    (tmp_path / "site/index.html").touch()
    lines = summary(tmp_path).splitlines()
    assert [line for line in lines if line.startswith("#")] == ["### Data", "### Tests", "### Preview"]
    assert "    FAILED tests/test_a.py::test_b[# heading]" in lines and "    1 failed, 3 passed in 0.1s" in lines
    assert any(re.match(r"    \d+ machines, .*: no errors", line) for line in lines)
    assert any("site-preview" in line for line in lines)


def summary(folder: Path) -> str:
    environment = os.environ | {"FIRMWRAP_DATA": str(ROOT / "tests/cases/crane")}  # two small cranes are checked sooner
    call = ["bash", str(folder / ".ci/summary")]
    return subprocess.run(call, env=environment, capture_output=True, text=True, check=True).stdout
