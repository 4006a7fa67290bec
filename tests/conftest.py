"""The site, built once for all tests that look at it, a server for the browser, and Chromium as a phone."""

from __future__ import annotations

import fcntl
import functools
import http.server
import os
import re
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import data_folder
import pytest
from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from calc.checks import loader
from calc.winding.plan_fields import Plan
from hooks.building import generated
from hooks.computed import Planned
from hooks.fleet import Fleet, Setting
from hooks.store import Store
from hooks.text import words
from hooks.text.environment import environment

ROOT = Path(__file__).resolve().parent.parent
DATA = loader.load(ROOT / "rules")  # the fleet, for every test that only reads it
DAY = "2026-12-01"
KEPT = ROOT / "build/cache"  # of the fleet as it is, where every build looks
KEPT_OF_CHANGED = ROOT / "build/cache-of-tests"  # of other data, each site in a folder of its own: a build tidies up
CHROMIUM = shutil.which("chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def pytest_configure(config: pytest.Config) -> None:
    """Before workers start, what all of them need is made once."""
    if getattr(config.option, "numprocesses", None) and not hasattr(config, "workerinput"):
        fleet_site()
    os.environ.setdefault("FIRMWRAP_JOBS", "1")  # of the builds the tests call: the workers share the cores already


# One worker runs all tests of a file, so what a file makes is made once.  Those that take longest begin first: what
# builds a site of its own, what a browser does on many pages, what computes everything a second time.
LONGEST = (
    "test_hostile test_briefing test_reading test_offline test_drum_pages test_properties test_faults test_agreement "
    "test_sheet test_plan_pages test_store test_on_the_phone test_upkeep_pages test_docstrings test_cards"
).split()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    place = {name: at for at, name in enumerate(LONGEST)}
    items.sort(key=lambda item: place.get(item.path.stem, len(LONGEST)))


@functools.cache
def fleet_site() -> generated.Site:
    """The site of the fleet."""
    return generated.site(ROOT / "rules", DAY, cache=KEPT, processes=generated.jobs(os.environ))


def cranes(folder: Path, day: str = DAY, cache: Path | None = None) -> Fleet:
    """The cranes of a data folder, each made when it is asked for: their plans, pages and files without the rest of a
    site, which takes as long again."""
    texts = words.load()
    setting = Setting(environment(texts), texts, day, None)
    return Fleet(folder, loader.load(folder).at(day), setting, Store(cache))


@functools.cache
def fleet_cases() -> tuple[Planned, ...]:
    """Every case of the fleet with its plan; test_feed.py holds the plans to what calc computes."""
    made = cranes(ROOT / "rules", cache=KEPT)
    return tuple(planned for id in made for planned in made.plans(id))


def fleet_plans() -> tuple[Plan, ...]:
    return tuple(plan for _, plan in fleet_cases())


@pytest.fixture
def typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Messages name the files of the test's own folder as they are typed there."""
    monkeypatch.chdir(tmp_path)


def build(
    target: Path, data: Path | None = None, address: str | None = None, profile: str = "iso", kept: str = ""
) -> subprocess.CompletedProcess[str]:
    """A strict build into `target`, of the data folder if one is given, to be published at `address`; what it makes is
    kept under a name if one is given."""
    environment = os.environ | {"FIRMWRAP_DAY": DAY, "NO_MKDOCS_2_WARNING": "1", "FIRMWRAP_PROFILE": profile}
    if data is not None:
        environment |= {"FIRMWRAP_DATA": str(data), "FIRMWRAP_CACHE": kept and str(KEPT_OF_CHANGED / kept)}
    if kept and KEPT.exists() and not (KEPT_OF_CHANGED / kept).exists():
        shutil.copytree(KEPT, KEPT_OF_CHANGED / kept)  # the teaching fleet, from which guidance pages quote
    if address is not None:
        environment["FIRMWRAP_SITE_URL"] = address
    call = [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet", "--site-dir", str(target)]
    return subprocess.run(call, cwd=ROOT, env=environment, capture_output=True, text=True)


def once(temporary: pytest.TempPathFactory, name: str, make: Callable[[Path], None]) -> Path:
    """A folder of this name that `make` fills, once for all workers of a run: the first to ask makes it."""
    base = temporary.getbasetemp()
    folder = (base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base) / name
    with open(f"{folder}.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not Path(f"{folder}.made").exists():
            shutil.rmtree(folder, ignore_errors=True)  # what a failed attempt left
            folder.mkdir()
            make(folder)
            Path(f"{folder}.made").touch()
    return folder


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    def make(folder: Path) -> None:
        done = build(folder / "site")
        assert done.returncode == 0, done.stdout + done.stderr

    return once(tmp_path_factory, "built", make) / "site"


PUBLISHED = "https://plans.skerry-point.internal/cranes/"
PEBBLE = "{id: pebble, name: pebble, mass: 0.1 t, length: 0.3 m, width: 0.3 m, height: 0.3 m, count: 1}"
OTHER_YARDS = {  # machine -> the one it is like, its boom lengths, and what is changed in its yard
    "robin": ("bittern", ("45 m", "54 m", "63 m", "72 m", "84 m"), r"\Z", "working_radius: 8 m\n"),
    "wren": ("heron", ("13 m", "61 m"), r"(?s)weights:\n.*?slings:", f"weights:\n  - {PEBBLE}\nslings:"),
    "sandpiper": (
        "heron",
        ("13 m", "20 m", "27 m"),
        "concrete block 2 t",
        "concrete block of the old pier with lifting eyes 2 t",
    ),
}
LONG = {  # long names of the last one
    "name: Sandpiper\n": "name: Sandpiper of the northern approach, second of three\n",
    "name: Full outriggers, full counterweight": "name: All outriggers out to their ends on mats, every slab mounted",
    "id: five-sheave": "id: five-sheave-with-cheek-weights",
}


@pytest.fixture(scope="session")
def refused(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site at an address of its own under the US profile, with three more cranes in yards of their own: a draft
    with little room, one without weights, one with long names.

    Of the fleet it has what tests open; in `make long` all of it.
    """
    return once(tmp_path_factory, "refused", _refused) / "site"


def _refused(folder: Path) -> None:
    data = Path(shutil.copytree(ROOT / "rules", folder / "rules"))
    data_folder.fewer(data)
    yard = (data / "yards/skerry-point.yaml").read_text(encoding="utf-8")
    for id, (model, booms, old, new) in OTHER_YARDS.items():
        other, count = re.subn(old, new, yard.replace("id: skerry-point", f"id: {id}"))
        assert count == 1
        (data / f"yards/{id}.yaml").write_text(other, encoding="utf-8")
        crane = (ROOT / f"rules/machines/{model}.yaml").read_text(encoding="utf-8")
        for name, value in (("id", model), ("name", model.capitalize()), ("yard", "skerry-point")):
            crane = crane.replace(f"{name}: {value}\n", f"{name}: {id.capitalize() if name == 'name' else id}\n", 1)
        for short, long in LONG.items() if id == "sandpiper" else ():
            assert crane.count(short) == 1, short
            crane = crane.replace(short, long)
        if id == "robin":
            crane = crane.replace("status: demonstration", "status: draft")
        (data / f"machines/{id}.yaml").write_text(crane, encoding="utf-8")
        if not data_folder.WHOLE:
            data_folder.keep_booms(data / f"machines/{id}.yaml", booms)
    done = build(folder / "site", data, PUBLISHED, "us", kept="refused")
    assert done.returncode == 0, done.stdout + done.stderr


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


@pytest.fixture(scope="session")
def serve() -> Iterator[Callable[[Path], str]]:
    """A function that serves a folder and returns its address; the same one for the same folder."""
    servers: dict[Path, http.server.ThreadingHTTPServer] = {}

    def serving(folder: Path) -> str:
        if folder not in servers:
            handler = functools.partial(_Quiet, directory=str(folder))
            servers[folder] = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
            threading.Thread(target=servers[folder].serve_forever, daemon=True).start()
        return f"http://127.0.0.1:{servers[folder].server_port}/"

    yield serving
    for server in servers.values():
        server.shutdown()
        server.server_close()


@pytest.fixture(scope="session")
def address(built: Path, serve: Callable[[Path], str]) -> str:
    return serve(built)


def chromium() -> str:
    """Where Chromium is; a test that needs it is skipped where it is not installed, but never in CI."""
    if CHROMIUM is None:
        assert not os.environ.get("CI"), "CI runs the browser tests; install Chromium"
        pytest.skip("Chromium is not installed; these tests run where it is")
    return CHROMIUM


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium for tests that open phones of their own."""
    path = chromium()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, headless=True, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def phone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[BrowserContext]:
    """Chromium with a screen of 360 x 740."""
    path = chromium()
    with sync_playwright() as playwright:
        context = playwright.chromium.launch_persistent_context(
            str(tmp_path_factory.mktemp("profile")),
            executable_path=path,
            headless=True,
            args=FLAGS,
            viewport={"width": 360, "height": 740},
            service_workers="block",  # no copy of the whole site for every test: test_offline.py has its own phone
        )
        yield context
        context.close()


@pytest.fixture
def page(phone: BrowserContext, address: str) -> Iterator[Page]:
    """A page that notes every console error and every request that leaves the site."""
    page = phone.new_page()
    wrong: list[str] = []
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on(
        "request",
        lambda request: (
            None
            if request.url.startswith((address, "data:", "blob:"))
            else wrong.append(f"foreign request {request.url}")
        ),
    )
    yield page
    page.close()
    assert not wrong


def switch_units(page: Page, units: str) -> None:
    """The unit switch in the menu, by taps."""
    page.locator("[data-menu]").click()
    page.locator(f"#fw-menu [data-set-units={units}]").click()
    page.keyboard.press("Escape")


def open_search(page: Page) -> None:
    page.get_by_role("button", name="Search", exact=True).click()


def axe(page: Page) -> list[str]:
    """What axe-core finds on a page as it stands: by all its rules in the light, what depends on colours in the dark
    as well."""
    page.emulate_media(reduced_motion="reduce")  # no colour halfway from light to dark
    page.evaluate(AXE_SCRIPT)
    found = []
    for scheme, only in (("light", None), ("dark", ["color-contrast"])):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        options = {"resultTypes": ["violations"]} | ({"runOnly": only} if only else {})
        for violation in page.evaluate("options => axe.run(document, options)", options)["violations"]:
            node = violation["nodes"][0]
            said = f"{violation['help']}: {node['html'][:120]} {node.get('failureSummary', '')[:200]}"
            found.append(f"{scheme}: {said}")
    page.emulate_media(color_scheme=None, reduced_motion=None)
    return found
