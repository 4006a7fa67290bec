"""The dated archive: the site and its record, whole, the same bytes each time."""

from __future__ import annotations

import io
import os
import tarfile
from pathlib import Path

import pytest
from conftest import DAY, ROOT
from test_faults import built

from calc.checks import loader
from calc.data import look_up
from calc.winding import plan_data
from hooks.building import archive, release

CRANE = loader.load(ROOT / "tests/cases/crane")


def published(root: Path) -> Path:
    """A small published site."""
    return release.release(root, built(root, "start"))


def test_it_holds_the_site_and_every_number(tmp_path: Path) -> None:
    site = published(tmp_path)
    made = archive.archive(tmp_path, CRANE)
    name = f"firmwrap-{DAY}-{site.name.removeprefix('site-')}"
    assert made == tmp_path / f"build/archive/{name}.tar.gz"
    with tarfile.open(made) as tar:
        tar.extractall(tmp_path / "out", filter="data")
    assert release.digest(tmp_path / "out" / name / "site") == release.digest(site)
    lines = (tmp_path / "out" / name / "record.txt").read_text(encoding="utf-8").splitlines()
    plan = plan_data.plan(look_up.case(CRANE, "hand-lattice", "50m", None, DAY))
    (planned,) = [line for line in lines if line.startswith("plan/hand-lattice/50m/full/load/planned_kg\t")]
    assert float(planned.split("\t")[1]) == pytest.approx(plan["load"]["planned_kg"], abs=1e-6)


def test_the_same_site_makes_the_same_archive(tmp_path: Path) -> None:
    """Whatever the times and owners of the files, and the order in which the disk lists them."""
    published(tmp_path / "a")
    published(tmp_path / "b")
    for path in (tmp_path / "b/site").rglob("*"):
        os.utime(path, (1, 1))
    first, second = (archive.archive(tmp_path / name, CRANE) for name in "ab")
    assert first.read_bytes() == second.read_bytes() and first.name == second.name
    with tarfile.open(fileobj=io.BytesIO(first.read_bytes())) as tar:
        assert all((entry.uid, entry.gid, entry.uname, entry.mode) == (0, 0, "", 0o644) for entry in tar)
        assert [entry.name for entry in tar] == sorted(entry.name for entry in tar)


def test_without_a_site_there_is_no_archive(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError, match="holds no finished site; run `make site`"):
        archive.archive(tmp_path, CRANE)
    assert not (tmp_path / "build").exists()
