"""Bad input of every kind: real files with something wrong in them are refused with a place, files written in another
way say the same, a digit changed by mistake is refused or counts exactly as it stands; nothing breaks or hangs.

`make fuzz` tries 100,000 changes, chosen anew each time; here they are 1,500, always the same ones.
"""

from __future__ import annotations

import contextlib
import os
import re
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import spoiled
from conftest import ROOT
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML
from scipy import constants
from spoiled import Change, Source

from calc.checks import loader
from calc.data import files, look_up, schema
from calc.data.model import Data
from calc.winding import plan_data

RULES = ROOT / "rules"
TRIED = int(os.environ.get("FIRMWRAP_TRIED", "1500"))


def trying(share: float) -> settings:
    """Settings of a test that makes this share of all changes."""
    return settings(
        max_examples=round(TRIED * share),
        derandomize=TRIED == 1500,
        database=None,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )


SOURCES: dict[str, Source] = {
    f"{folder}/{path.name}": spoiled.source(RULES, folder, path.name)
    for folder in spoiled.FOLDERS
    for path in sorted((RULES / folder).glob("*.yaml"))
}
NAMES = {folder: [name for name in SOURCES if name.startswith(folder)] for folder in spoiled.FOLDERS}
Case = tuple[str, Change, int, int]
PLACE = st.integers(0, 1_000_000)
NAME = st.sampled_from(sorted(NAMES)).flatmap(lambda folder: st.sampled_from(NAMES[folder]))


def made(ways: tuple[Change, ...]) -> st.SearchStrategy[Case]:
    """A file, what is done to it, where, and in which way."""
    return st.tuples(NAME, st.sampled_from(ways), PLACE, PLACE)


def apply(case: Case) -> tuple[Source, bytes]:
    """A file and its new content; another case is taken where the file has no such place."""
    name, change, place, way = case
    it = SOURCES[name]
    content = change(it, place, way)
    assume(content is not None)
    assert content is not None
    return it, content


class Folder:
    """Data folders of one crane each, to load with one file changed; what does not change is read and checked once."""

    def __init__(self, at: Path) -> None:
        self.at = at
        self.machines = {(m := SOURCES[name].document.data)["id"]: m["yard"] for name in NAMES["machines"]}
        self.read: Callable[[Path, str], files.Document] = files.read
        self.problems = schema.problems
        self.documents: dict[Path, files.Document] = {}
        self.checked: dict[int, list[files.Problem]] = {}  # by the identity of one of these documents
        for machine, yard in self.machines.items():
            rules = at / machine / "rules"
            for shared in ("rulebook", "tables"):
                shutil.copytree(RULES / shared, rules / shared)
            for file in (f"machines/{machine}.yaml", f"upkeep/{machine}.yaml", f"yards/{yard}.yaml"):
                (rules / file).parent.mkdir()
                shutil.copy(RULES / file, rules / file)

    def crane(self, it: Source) -> str:
        """The crane a file belongs to; a file that belongs to all is tried with the smallest."""
        stem = it.name.removesuffix(".yaml")
        if it.folder == "yards":
            return next(machine for machine, yard in self.machines.items() if yard == stem)
        return stem if stem in self.machines else "dunlin"

    def load(self, it: Source, content: bytes) -> Data:
        rules = self.at / self.crane(it) / "rules"
        path = rules / it.folder / it.name
        as_it_was = self.documents.pop(path, None)
        path.write_bytes(content)
        try:
            with contextlib.chdir(rules.parent):  # messages name the files as they are typed there
                if found := self.checked[id(self.read_once(path, f"rules/{it.folder}/{it.name}"))]:
                    raise files.Errors(found)  # the whole would say this and more
                return loader.load(rules)
        finally:
            path.write_bytes(it.content)
            self.checked.pop(id(self.documents.pop(path)))
            if as_it_was:
                self.documents[path] = as_it_was

    def read_once(self, path: Path, name: str) -> files.Document:
        if path not in self.documents:
            document = self.documents[path] = self.read(path, name)
            found = document.problems or self.problems(document, spoiled.FOLDERS[path.parent.name])
            self.checked[id(document)] = found
        return self.documents[path]

    def problems_once(self, document: files.Document, kind: str) -> list[files.Problem]:
        known = self.checked.get(id(document))
        return self.problems(document, kind) if known is None else known


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Folder]:
    made = Folder(tmp_path_factory.mktemp("folders"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(files, "read", made.read_once)
        patch.setattr(schema, "problems", made.problems_once)
        yield made


def refused(folder: Folder, it: Source, content: bytes) -> list[files.Problem]:
    """What is wrong with a file."""
    with pytest.raises(files.Errors) as caught:
        folder.load(it, content)
    located(caught.value, it, content)
    return caught.value.problems


def located(errors: files.Errors, it: Source, content: bytes) -> None:
    """Every problem says where, in a line that is there, what is wrong and what to write."""
    assert errors.problems
    for problem in errors.problems:
        assert re.fullmatch(r"rules/[\w./-]+:\d+: [^\n]+; [^\n]+", str(problem)), problem
        if problem.file == f"rules/{it.folder}/{it.name}":
            assert 1 <= problem.line <= content.count(b"\n") + 1, problem


@trying(0.45)
@given(made(spoiled.NONSENSE))
def test_nonsense_is_refused_in_its_place(folder: Folder, case: Case) -> None:
    it, content = apply(case)
    assume(content != it.content)
    problems = refused(folder, it, content)
    file = f"rules/{it.folder}/{it.name}"
    assert any(problem.file == file for problem in problems), [*map(str, problems)]


@trying(0.25)
@given(made(spoiled.NEUTRAL))
def test_the_same_said_in_another_way(folder: Folder, case: Case) -> None:
    it, content = apply(case)
    path = folder.at / "one.yaml"
    path.write_bytes(content)
    document = folder.read(path, it.name)
    assert (document.problems, document.data) == ([], it.document.data)


# What one of a unit is in SI, by CODATA and NIST as scipy has them.
UNITS = {
    "m": 1.0, "mm": 1e-3, "ft": constants.foot, "in": constants.inch,
    "kg": 1.0, "t": 1000.0, "lb": constants.pound, "N": 1.0, "kN": 1000.0, "lbf": constants.pound_force,
    "kg/m": 1.0, "lb/ft": constants.pound / constants.foot,
    "m/s": 1.0, "m/min": 1 / constants.minute, "ft/min": constants.foot / constants.minute,
    "kW": 1000.0, "hp": constants.horsepower, "deg": constants.degree,
    "s": 1.0, "min": constants.minute, "h": constants.hour, "mm2": 1e-6, "N/mm2": 1e6, "%": 0.01,
}  # fmt: skip


def seen(text: str) -> float:
    """A quantity as somebody else reads it."""
    number, unit = text.split(" ")
    return float(Decimal(number)) * UNITS[unit]


@trying(0.15)
@given(made((spoiled.digit,)))
def test_another_digit_is_refused_or_counts_as_it_stands(folder: Folder, case: Case) -> None:
    it, content = apply(case)
    try:
        folder.load(it, content)
    except files.Errors as errors:
        located(errors, it, content)
        return
    path = folder.at / "one.yaml"
    path.write_bytes(content)
    data = folder.read(path, it.name).data
    found = dict(spoiled.leaves(data))
    assert found.keys() == it.leaves.keys()
    (place,) = [place for place, value in found.items() if str(value) != str(it.leaves[place])]
    old, new = str(it.leaves[place]), str(found[place])
    assert len(old) == len(new) and sum(a != b for a, b in zip(old, new, strict=True)) == 1
    if (place, old) in it.quantities:
        si = dict(spoiled.leaves(spoiled.to_si(schema.schema(it.kind), data)))[place]
        as_it_is, as_force = (
            tuple(pytest.approx(seen(text) * gravity, rel=1e-9, abs=1e-300) for text in (old, new))
            for gravity in (1.0, constants.g)  # a force may be written as the mass it carries
        )
        assert (it.si[place], si) in (as_it_is, as_force)


@trying(0.15)
@given(made((spoiled.anything,)))
def test_anything_is_read_or_refused(folder: Folder, case: Case) -> None:
    it, content = apply(case)
    try:
        data = folder.load(it, content)
    except files.Errors as errors:
        located(errors, it, content)
        return
    for machine in data.machines.values():
        chart = machine.configurations[0].charts[0]
        plan = plan_data.plan(look_up.case(data, machine.id, chart.slug, None, look_up.NEWEST))
        assert plan["schema"] == 1


@pytest.mark.parametrize("it", SOURCES.values(), ids=SOURCES)
def test_another_reader_sees_the_same(it: Source) -> None:
    """ruamel.yaml, which knows YAML 1.2, reads every file of the data to the same values."""
    found: Any = YAML(typ="safe", pure=True).load(it.text)
    assert found == it.document.data


# -- what is made to exhaust a reader ---------------------------------------------------------------------------------

BOMBS = {
    "aliases": b"a: &a [x, x]\n" + b"".join(b"%c: &%c [*%c, *%c]\n" % (n, n, n - 1, n - 1) for n in range(98, 123)),
    "brackets": b"id: " + b"[" * 200_000,
    "braces": b"{a: " * 200_000,
    "indents": b"".join(b" " * n + b"a:\n" for n in range(3000)),
    "digits": b"id: " + b"9" * 2_000_000 + b" m\n",
    "long-number": b"id: heron\nrope: {length: " + b"9" * 5_000 + b".5 m}\n",
    "one-long-line": b"id: " + b"x" * 5_000_000 + b"\n",
    "names": b"".join(b"n%d: 1\n" % n for n in range(20_000)),
    "zeros": b"\0" * 1_000_000,
    "utf-16": "id: heron\n".encode("utf-16"),
    "key": b"? " * 50_000,
    "dashes": b"- " * 50_000,
    "documents": b"---\n" * 100_000,
    "tags": b"!!python/object/apply:os.system [true]\n",
    "nothing": b"",
}


def little() -> None:
    """Let the process to come have no more than a minute and a gigabyte."""
    resource.setrlimit(resource.RLIMIT_CPU, (60, 60))
    resource.setrlimit(resource.RLIMIT_AS, (10**9, 10**9))


def test_files_made_to_exhaust_the_reader(tmp_path: Path) -> None:
    rules = tmp_path / "rules"
    for each in ("machines", "rulebook", "yards"):
        (rules / each).mkdir(parents=True)
    for name, content in BOMBS.items():
        (rules / f"machines/{name}.yaml").write_bytes(content)
    call = [sys.executable, "-m", "calc", "check", "--data", str(rules)]
    done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True, preexec_fn=little)
    assert done.returncode == 1, done.stderr[-2000:]
    assert "Traceback" not in done.stderr
    told = {line.split(":")[0] for line in done.stderr.splitlines()}
    assert told >= {f"{rules}/machines/{name}.yaml" for name in BOMBS}
