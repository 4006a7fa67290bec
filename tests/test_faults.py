"""What goes wrong while a site is built or published: a build is killed, two begin at once, the disk is full, something
stands in the way.
The last good site stays whole, and the next build works.

Here a build is killed 4 times and two begin at once, in `make long` 100 and 50 times.
"""

from __future__ import annotations

import hashlib
import json
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from conftest import DAY, ROOT
from data_folder import edit

from hooks.building import release, seal

KILLED = int(os.environ.get("FIRMWRAP_KILLED", "4"))
AT_ONCE = int(os.environ.get("FIRMWRAP_AT_ONCE", "1"))

# -- a project with one crane -----------------------------------------------------------------------------------------

PARTS = ("calc", "hooks", "docs", "rules/schema")
OTHER_CASES = [path.name for path in (ROOT / "tests/cases").glob("*.yaml") if path.stem != "boom"]


class Project:
    """A copy of the project with one crane of round numbers, a draft so that no exercises are made of it, few outside
    cases and no guidance: a build takes little time."""

    def __init__(self, root: Path) -> None:
        self.root = root
        for part in PARTS:
            shutil.copytree(ROOT / part, root / part, ignore=shutil.ignore_patterns("__pycache__"))
        cases = ROOT / "tests/cases"
        shutil.copytree(cases, root / "tests/cases", ignore=shutil.ignore_patterns(*OTHER_CASES))
        for folder in ("rulebook", "tables"):
            shutil.copytree(ROOT / "rules" / folder, root / "rules" / folder)
        for file in ("machines/hand-lattice.yaml", "yards/hand.yaml", "upkeep/hand-lattice.yaml"):
            (root / "rules" / file).parent.mkdir()
            shutil.copy(cases / "crane" / file, root / "rules" / file)
        edit(root / "rules", "machines/hand-lattice.yaml", "status: demonstration", "status: draft")
        for told in ("docs/guidance", "docs/training"):
            shutil.rmtree(root / told)  # pages that tell of cranes of the fleet
        (root / "docs/guidance").mkdir()
        (root / "docs/guidance/index.md").write_text("# Guidance\n\nNone in this copy.\n", encoding="utf-8")
        shutil.copy(ROOT / "mkdocs.yml", root)

    def start(self, day: int) -> subprocess.Popen[bytes]:
        """Begin what `make site` does, as of a day of 2026 counted from 1 December; each day makes another site."""
        environment = os.environ | {"FIRMWRAP_DAY": f"2026-12-{day:02d}", "NO_MKDOCS_2_WARNING": "1"}
        return subprocess.Popen(
            [sys.executable, "-m", "hooks.building.release"],
            cwd=self.root,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )

    def make(self, day: int) -> tuple[int, str]:
        """Exit status of a build and what it said."""
        started = self.start(day)
        said = started.communicate()[0].decode()
        return started.returncode, said

    def day(self) -> str:
        """The day of the published site, which must be whole."""
        whole(self.root)
        return (self.root / "site/version.json").read_text(encoding="utf-8").partition('"day": "')[2][:10]


def whole(root: Path) -> Path:
    """The folder of the published site: what its name says, nothing missing, nothing of another build."""
    found = (root / "site").resolve(strict=True)
    assert found.name == f"site-{release.digest(found)}"
    one_build(found)
    return found


def one_build(site: Path) -> None:
    """Every page says the build of the version file, every listed file has its hash; by what a phone reads."""
    build = json.loads((site / "version.json").read_text(encoding="utf-8"))["build"]
    for page in {*site.rglob("*.html")} - {*site.rglob("plan.html")}:  # those are bodies without a frame
        assert f'data-build="{build}"' in page.read_text(encoding="utf-8"), page
    (file,) = (site / "offline").glob("list.*.json")
    for address, hash in json.loads(file.read_text(encoding="utf-8"))["files"]:
        content = (site / (f"{address}index.html" if address[-1:] in ("", "/") else address)).read_bytes()
        assert hashlib.sha256(content).hexdigest().startswith(hash), address


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Project:
    made = Project(tmp_path_factory.mktemp("project"))
    status, said = made.make(1)
    assert status == 0, said
    assert made.day() == "2026-12-01"
    return made


# -- killed -----------------------------------------------------------------------------------------------------------


def test_a_build_that_is_killed(project: Project) -> None:
    began = time.monotonic()
    assert project.make(2)[0] == 0
    takes = time.monotonic() - began
    chance = random.Random(KILLED)
    published = {"2026-12-02"}
    for number in range(KILLED):
        day = 3 + number % 20
        started = project.start(day)
        try:
            started.wait(chance.uniform(0, takes))
        except subprocess.TimeoutExpired:
            os.killpg(started.pid, signal.SIGKILL)
        started.communicate()
        published.add(f"2026-12-{day:02d}")
        assert project.day() in published
    status, said = project.make(30)
    assert status == 0, said
    assert project.day() == "2026-12-30"
    assert len(list((project.root / "build").glob("site-*"))) == 2, "the site and the one before it"


# -- two at once ------------------------------------------------------------------------------------------------------


def test_two_builds_at_once(project: Project) -> None:
    """Both end well, one after the other; the site is whole and of the day of the one that came last."""
    for number in range(AT_ONCE):
        days = (1 + number % 27, 2 + number % 27)
        first = project.start(days[0])
        time.sleep(number % 5 / 10)
        second = project.start(days[1])
        said = [started.communicate()[0].decode() for started in (first, second)]
        assert [first.returncode, second.returncode] == [0, 0], said
        waited = [at for at, text in enumerate(said) if "another build is at work" in text]
        assert len(waited) == 1 and "waiting until that ends" in said[waited[0]], said
        assert project.day() == f"2026-12-{days[waited[0]]:02d}"


# what `make site` does with a build that has succeeded
RELEASES = (
    "import pathlib, sys, hooks.building.release as it; it.ROOT = pathlib.Path(sys.argv[1]); "
    "it.build = lambda root: root / 'build/next'; it.main()"
)


def hold(root: Path) -> subprocess.Popen[str]:
    """A process that holds the place of a build until it is killed."""
    code = (
        "import pathlib, sys, time, hooks.building.release as it\n"
        "with it.turn(pathlib.Path(sys.argv[1])): print('held', flush=True); time.sleep(60)"
    )
    holder = subprocess.Popen([sys.executable, "-c", code, str(root)], cwd=ROOT, stdout=subprocess.PIPE, text=True)
    assert holder.stdout and holder.stdout.readline() == "held\n"
    return holder


def test_who_waits_is_told_for_whom_and_goes_on_when_that_one_is_gone(tmp_path: Path) -> None:
    built(tmp_path, "new")
    holder = hold(tmp_path)
    call = [sys.executable, "-c", RELEASES, str(tmp_path)]
    waiting = subprocess.Popen(call, cwd=ROOT, stderr=subprocess.PIPE, text=True)
    assert waiting.stderr
    told = waiting.stderr.readline()
    since = r"since 20\d\d-\d\d-\d\d \S+"
    assert re.match(rf"another build is at work, process {holder.pid} {since}; if it hangs: kill {holder.pid}", told)
    assert waiting.poll() is None and not (tmp_path / "site").exists()
    holder.kill()
    holder.communicate()
    waiting.communicate(timeout=30)
    assert waiting.returncode == 0
    assert shown(tmp_path) == "new"


def other_page(site: Path) -> None:
    page = site / "index.html"
    page.write_text(re.sub(r'"\w{12}"', '"0123456789ab"', page.read_text(encoding="utf-8")), encoding="utf-8")


SPOILED: dict[str, tuple[Callable[[Path], object], str]] = {
    "a page of another build": (other_page, "index.html is not the file that is listed"),
    "a page that says no build": (
        lambda site: (site / "404.html").write_text("<html>gone</html>", encoding="utf-8"),
        "404.html is a page of another build",
    ),
    "a listed file that is another": (
        lambda site: next(site.glob("assets/site.*.css")).write_text("/* old */", encoding="utf-8"),
        r"assets/site\.\w+\.css is not the file that is listed",
    ),
    "a listed file that is gone": (
        lambda site: next(site.glob("assets/site.*.css")).unlink(),
        r"assets/site\.\w+\.css is listed and is not there",
    ),
    "a list of another build": (
        lambda site: next(site.glob("offline/list.*.json")).write_text('{"files": [], "cranes": {}}', "utf-8"),
        r"offline/list\.\w+\.json is not the file that is listed",
    ),
    "data of another build, which no list names": (
        lambda site: (site / "data/v1/all.json").write_text("{}", encoding="utf-8"),
        r"its files are not those that build \w+ has its name from",
    ),
    "a worker of another build": (
        lambda site: (site / "sw.js").write_text(
            (site / "sw.js").read_text(encoding="utf-8").replace('"build": "', '"build": "0'), "utf-8"
        ),
        r"sw\.js is of another build than version\.json",
    ),
    "no worker": (lambda site: (site / "sw.js").unlink(), "cannot be read: "),
    "a version that is cut off": (lambda site: (site / seal.LAST).write_text("{", "utf-8"), "cannot be read: "),
}


@pytest.mark.parametrize("what", SPOILED)
def test_a_mixture_is_not_released(tmp_path: Path, what: str) -> None:
    built(tmp_path, "good")
    released(tmp_path)
    folder = built(tmp_path, "new")
    spoil, told = SPOILED[what]
    spoil(folder)
    with pytest.raises(OSError, match=f"is not one whole build: .*{told}.*; run `make site` again"):
        released(tmp_path)
    assert shown(tmp_path) == "good"


# -- publishing, step by step -----------------------------------------------------------------------------------------


def built(root: Path, text: str) -> Path:
    """A small finished build."""
    folder = root / "build/next"
    page = f'<html data-build="{seal.BUILD}">{text}</html>'
    files = {"index.html": page, "404.html": page, "data/v1/all.json": text, "assets/site.css": text}
    for name, content in {**files, "assets/worker.js": ""}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(content, encoding="utf-8")
    seal.seal(folder, DAY, seal.Options(1000, 3), {}, lambda crane, size: "")
    return folder


def released(root: Path) -> Path:
    return release.release(root, root / "build/next")


def shown(root: Path) -> str:
    """What the published site says; it must be whole."""
    return re.sub("<.*?>", "", (whole(root) / "index.html").read_text(encoding="utf-8"))


def test_a_release_swaps_the_site_in_one_step(tmp_path: Path) -> None:
    for text in ("first", "second", "third"):
        built(tmp_path, text)
        released(tmp_path)
        assert shown(tmp_path) == text
        assert not (tmp_path / "build/next").exists()
    assert len(list((tmp_path / "build").glob("site-*"))) == 2, "the site and the one before it"
    assert not Path(os.readlink(tmp_path / "site")).is_absolute()


def test_a_release_of_the_same_content_again(tmp_path: Path) -> None:
    built(tmp_path, "same")
    first = released(tmp_path)
    built(tmp_path, "same")
    assert released(tmp_path) == first
    assert shown(tmp_path) == "same"


def test_without_a_finished_build_the_last_good_site_stays(tmp_path: Path) -> None:
    """The version file is written last: without it a build has not come to its end."""
    built(tmp_path, "good")
    released(tmp_path)
    built(tmp_path, "new")
    (tmp_path / "build/next" / seal.LAST).unlink()
    with pytest.raises(FileNotFoundError, match="holds no finished site; run `make site`"):
        released(tmp_path)
    assert shown(tmp_path) == "good"


def half_removed(folder: Path) -> None:
    next(path for path in sorted(folder.rglob("*")) if path.is_file()).unlink()


STEPS: dict[str, tuple[object, str, Callable[[Path], None]]] = {
    "rename": (Path, "rename", lambda _: None),
    "unlink": (Path, "unlink", lambda _: None),
    "symlink": (Path, "symlink_to", lambda _: None),
    "replace": (os, "replace", lambda _: None),
    "remove": (shutil, "rmtree", half_removed),
}


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("again", [False, True], ids=["another site", "the same site again"])
def test_a_release_that_ends_at_any_step(tmp_path: Path, step: str, again: bool) -> None:
    """Its step fails, or is done by half; afterwards the same release comes to its end."""
    for text in ("older", "old"):
        built(tmp_path, text)
        released(tmp_path)
    text = "older" if again else "new"
    built(tmp_path, text)
    holder, name, half = STEPS[step]

    def ends(path: Path, *_: object, **__: object) -> None:
        half(path)
        raise OSError(28, "No space left on device")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(holder, name, ends)
        try:
            released(tmp_path)
        except OSError as error:
            if error.errno != 28:
                raise
    assert shown(tmp_path) in ("old", text)
    if not (tmp_path / "build/next/index.html").exists() or list(seal.faults(tmp_path / "build/next")):
        # half of it is gone, or it is the site already
        shutil.rmtree(tmp_path / "build/next", ignore_errors=True)
        built(tmp_path, text)
    released(tmp_path)
    assert shown(tmp_path) == text


def test_what_is_left_of_an_older_build_is_not_published(tmp_path: Path) -> None:
    """Removing an old build was cut short; then the same content is built again."""
    for text in ("first", "second"):
        built(tmp_path, text)
        released(tmp_path)
    first = next(p for p in (tmp_path / "build").glob("site-*") if p != whole(tmp_path))
    half_removed(first)
    built(tmp_path, "first")
    released(tmp_path)
    assert shown(tmp_path) == "first"


# -- in the way -------------------------------------------------------------------------------------------------------


def run(root: Path) -> subprocess.CompletedProcess[str]:
    """What `make site` does with a build that has succeeded."""
    return subprocess.run([sys.executable, "-c", RELEASES, str(root)], cwd=ROOT, capture_output=True, text=True)


@pytest.mark.parametrize("name", ["site", "site.link"])
def test_a_folder_where_a_link_belongs(tmp_path: Path, name: str) -> None:
    built(tmp_path, "new")
    (tmp_path / name).mkdir()
    (tmp_path / name / "mine.txt").write_text("keep", encoding="utf-8")
    done = run(tmp_path)
    assert done.returncode == 1 and done.stderr.startswith("the site stays as it was: "), done.stderr
    assert name in done.stderr and "Traceback" not in done.stderr
    assert (tmp_path / name / "mine.txt").read_text(encoding="utf-8") == "keep"
    (tmp_path / name).rename(tmp_path / "moved")
    if not (tmp_path / "build/next").exists():
        built(tmp_path, "new")
    assert run(tmp_path).returncode == 0
    assert shown(tmp_path) == "new"


def test_a_link_to_nothing(tmp_path: Path) -> None:
    """Somebody removed the folder the site was in."""
    built(tmp_path, "new")
    (tmp_path / "site").symlink_to("build/site-gone")
    released(tmp_path)
    assert shown(tmp_path) == "new"


def instead_of(file: Path) -> None:
    """A folder in the place of a file."""
    file.unlink(missing_ok=True)
    file.mkdir()


IN_THE_WAY: dict[str, Callable[[Path], object]] = {
    "build/lock is a folder": lambda root: instead_of(root / "build/lock"),
    "build/at-work is a folder": lambda root: instead_of(root / "build/at-work"),
    "a table of the data is a folder": lambda root: (root / "rules/yards/other.yaml").mkdir(),
    "a table of the data is a link to nothing": lambda root: (root / "rules/yards/other.yaml").symlink_to("nowhere"),
    "a page is a link to nothing": lambda root: (root / "docs/guidance/other.md").symlink_to("nowhere.md"),
}
PLACES = ("build/lock", "build/at-work", "rules/yards/other.yaml", "docs/guidance/other.md")


def test_something_in_the_way_of_a_build(project: Project) -> None:
    before = project.day()
    for what, put in IN_THE_WAY.items():
        put(project.root)
        status, said = project.make(28)
        assert status != 0, f"published although {what}"
        assert said.strip() and project.day() == before, what
        for place in (project.root / place for place in PLACES):
            if place.is_dir():
                shutil.rmtree(place)
            else:
                place.unlink(missing_ok=True)
    assert project.make(28)[0] == 0
    assert project.day() == "2026-12-28"


# -- a full disk ------------------------------------------------------------------------------------------------------


@pytest.fixture
def small_disk(project: Project) -> Iterator[Callable[[int], None]]:
    """The builds of the project on a disk of their own; a function sets its size in kB."""
    build = project.root / "build"
    shutil.rmtree(build)
    build.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=64m", "tmpfs", str(build)]
    if os.geteuid() or subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("a small disk can only be mounted by root")

    def sized(kilobytes: int) -> None:
        subprocess.run(["mount", "-o", f"remount,size={kilobytes}k", str(build)], check=True)

    yield sized
    subprocess.run(["umount", str(build)], check=True)
    (project.root / "site").unlink(missing_ok=True)


def test_a_full_disk(project: Project, small_disk: Callable[[int], None]) -> None:
    status, said = project.make(5)
    assert status == 0, said
    used, takes = (
        int(subprocess.run(["du", "-sk", place], capture_output=True, text=True).stdout.split()[0])
        for place in (project.root / "build", whole(project.root))
    )
    for room in (8, takes // 3, takes * 9 // 10):
        small_disk(used + room)
        status, said = project.make(6)
        assert status != 0 and "No space left on device" in said, said
        assert project.day() == "2026-12-05"
    small_disk(65536)
    assert project.make(6)[0] == 0
    assert project.day() == "2026-12-06"
