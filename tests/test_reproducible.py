"""The same inputs and day give the same bytes, whatever hash seed, time zone, locale, order of files and folder.

Here for two small cranes; `python tests/test_reproducible.py` builds the whole site twice (`make long`).
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
DAY = "2026-12-01"
ONE = {"PYTHONHASHSEED": "1", "TZ": "Pacific/Kiritimati", "LC_ALL": "C.UTF-8"}
OTHER = {"PYTHONHASHSEED": "2", "TZ": "Pacific/Pago_Pago", "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}

# Folders are listed backwards, then the rest of the call is carried out.
BACKWARDS = """
import os, sys
listed, scanned = os.listdir, os.scandir
os.listdir = lambda *place: sorted(listed(*place), reverse=True)
class Backwards:
    def __init__(self, *place):
        with scanned(*place) as found:
            self.found = iter(sorted(found, key=lambda one: one.name, reverse=True))
    def __iter__(self):
        return self
    def __next__(self):
        return next(self.found)
    def __enter__(self):
        return self
    def __exit__(self, *error):
        pass
    close = __exit__
os.scandir = Backwards
"""
HASHES = """
import hashlib, json, sys
from pathlib import Path
from hooks.building import generated
site = generated.site(Path(sys.argv[1]), sys.argv[2])
made = {page.address: repr(page) for page in site.pages} | dict(site.files())
print(json.dumps({name: hashlib.sha256(text.encode()).hexdigest() for name, text in made.items()}))
"""
BUILD = "from mkdocs.__main__ import cli; cli(['build', '--strict', '--quiet', '--site-dir', sys.argv[1]])"


def run(folder: Path, environment: dict[str, str], program: str, *arguments: str) -> str:
    given = {name: value for name, value in os.environ.items() if not name.startswith(("LC_", "LANG", "FIRMWRAP_"))}
    given |= {"FIRMWRAP_DAY": DAY, "FIRMWRAP_CACHE": "", "NO_MKDOCS_2_WARNING": "1"} | environment
    call = [sys.executable, "-c", program, *arguments]
    done = subprocess.run(call, cwd=folder, env=given, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def elsewhere(folder: Path) -> Path:
    """The project in another folder."""
    project = folder / "another folder" / "project"
    project.mkdir(parents=True)
    for name in ("calc", "hooks", "docs", "rules", "tests/cases"):
        shutil.copytree(ROOT / name, project / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "mkdocs.yml", project)
    return project


def test_the_same_bytes_on_every_computer(tmp_path: Path) -> None:
    cranes = "tests/cases/crane"
    one = json.loads(run(ROOT, ONE, HASHES, cranes, DAY))
    other = json.loads(run(elsewhere(tmp_path), OTHER, BACKWARDS + HASHES, cranes, DAY))
    assert "machines/hand-lattice/50m/" in one
    assert [name for name in one if one[name] != other.get(name)] == []
    assert list(one) == list(other), "in the same order"


def main() -> str:
    """Build the whole site twice and compare every file."""
    with tempfile.TemporaryDirectory() as folder:
        sites = [Path(folder, "one"), Path(folder, "other")]
        run(ROOT, ONE, "import sys\n" + BUILD, str(sites[0]))
        run(elsewhere(Path(folder)), OTHER, BACKWARDS + BUILD, str(sites[1]))
        found = [{p.relative_to(site): p.read_bytes() for p in site.rglob("*") if p.is_file()} for site in sites]
    assert found[0].keys() == found[1].keys()
    assert [str(name) for name in found[0] if found[0][name] != found[1][name]] == []
    return f"{len(found[0])} files of the site, built twice: the same bytes"


if __name__ == "__main__":
    print(main())
