"""The built site: every link and id, no inline script or style, weights, banned words."""

from __future__ import annotations

import gzip
import json
import os
import re
import shutil
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit

import pytest
from conftest import DATA, ROOT, build

from calc.data import schema
from hooks.text import addresses, words

BASE = "http://site.invalid/"


class Page(HTMLParser):
    """Links, ids and what a content security policy would stop, of one page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: list[str] = []
        self.inline: list[str] = []
        self.text: list[str] = []
        self._inside: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.links += [found[name] or "" for name in ("href", "src") if name in found]
        if found.get("id"):
            self.ids.append(found["id"] or "")
        if "style" in found or any(name.startswith("on") for name in found):
            self.inline.append(self.get_starttag_text() or tag)
        if tag == "style" or (tag == "script" and "src" not in found and found.get("type") != "application/json"):
            self.inline.append(tag)
        if tag in ("script", "style"):
            self._inside.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if self._inside and self._inside[-1] == tag:
            self._inside.pop()

    def handle_data(self, data: str) -> None:
        if not self._inside:
            self.text.append(data)


@pytest.fixture(scope="module")
def pages(built: Path) -> dict[str, Page]:
    found = {}
    for path in sorted(p for p in built.rglob("*.html") if p.name != "plan.html"):  # a file to save: test_briefing.py
        address = path.relative_to(built).as_posix().removesuffix("index.html")
        found[address] = Page(path.read_text(encoding="utf-8"))
    return found


def test_every_generated_page_stands_at_an_address_of_the_list(pages: dict[str, Page]) -> None:
    """What has the name of a page in an address is known to the check of the data, which keeps ids from having it."""
    written = {f.relative_to(ROOT / "docs").with_suffix("").as_posix() for f in (ROOT / "docs").rglob("*.md")}
    written = {f"{name.removesuffix('index').rstrip('/')}/".lstrip("/") for name in written}
    of_site = {value for name, value in vars(addresses).items() if name.isupper() and isinstance(value, str)}
    booms = {chart.slug for machine in DATA.machines.values() for c in machine.configurations for chart in c.charts}
    configurations = {c.id for machine in DATA.machines.values() for c in machine.configurations}
    for address in pages.keys() - written - of_site - {"404.html"} - {one.old for one in DATA.redirects}:
        top, first, *below = address.strip("/").split("/")
        if top == "rules":
            assert first in DATA.rules, address
        elif top == "machines":
            assert first in DATA.machines, address
            if below:
                assert below[0] in booms.union(addresses.OF_CRANE), address
            if len(below) > 1 and below[0] in booms:
                assert below[1] in configurations.union(schema.page_names("plan")), address
        else:
            assert address.startswith(addresses.EXERCISES), address


def test_the_menu_of_a_crane_names_each_of_its_pages() -> None:
    assert tuple(words.load().get("drum.links")) == addresses.OF_CRANE


def test_every_plan_has_its_page(pages: dict[str, Page]) -> None:
    for machine in DATA.machines.values():
        seen: set[str] = set()
        for configuration in machine.configurations:
            for chart in configuration.charts:
                short = f"machines/{machine.id}/{chart.slug}/"
                assert (f"{short}{configuration.id}/" if chart.slug in seen else short) in pages
                seen.add(chart.slug)
        assert f"machines/{machine.id}/" in pages
    for rule in DATA.rules.values():
        assert f"rules/{rule.id}/" in pages
        for version in rule.versions:
            assert f"rules/{rule.id}/{version.from_day}/" in pages


def test_every_link_and_source_leads_somewhere(built: Path, pages: dict[str, Page]) -> None:
    dead = []
    for address, page in pages.items():
        if address == "404.html":  # its links are absolute to the published address
            continue
        for link in page.links:
            whole = urlsplit(urljoin(BASE + address, link))
            if whole.scheme in ("data", "mailto") or not whole.netloc.endswith("site.invalid"):
                if whole.scheme in ("http", "https") and whole.netloc != "firmwrap.example":
                    dead.append(f"{address}: {link} leaves the site")
                continue
            path = unquote(whole.path).lstrip("/")
            target = built / path / "index.html" if not path or path.endswith("/") else built / path
            if not target.is_file():
                dead.append(f"{address}: {link}")
            elif whole.fragment and path in pages and unquote(whole.fragment) not in pages[path].ids:
                dead.append(f"{address}: {link} has no such id")
    assert not dead, "\n".join(dead[:20])


def test_no_id_twice(pages: dict[str, Page]) -> None:
    twice = {a: sorted({i for i in p.ids if p.ids.count(i) > 1}) for a, p in pages.items()}
    assert not {a: ids for a, ids in twice.items() if ids}


def test_nothing_inline_and_a_policy_in_every_page(built: Path, pages: dict[str, Page]) -> None:
    assert not {address: page.inline[:3] for address, page in pages.items() if page.inline}
    for address in pages:
        path = built / address / "index.html" if not address.endswith(".html") else built / address
        policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]+)"', path.read_text(encoding="utf-8"))
        assert policy and "default-src 'none'" in policy[1] and "unsafe" not in policy[1], address


def test_banned_word(pages: dict[str, Page]) -> None:
    """What was checked is said; that anything is without danger never."""
    for address, page in pages.items():
        assert not re.search(r"\bsafe(ly|ty|r|st)?\b", " ".join(page.text), re.IGNORECASE), address


def test_weights(built: Path) -> None:
    for path in built.glob("machines/*/*/**/index.html"):
        most = 150_000 if {"work", "lifts"}.intersection(path.parts) else 80_000
        if cards := path.read_text(encoding="utf-8").count('class="fw-card"'):
            most = 38_000 + 2_400 * cards  # of a plan: as much as its steps take
        assert path.stat().st_size <= most, f"{path}: {path.stat().st_size} bytes"
    start = (built / "index.html").read_text(encoding="utf-8")
    wanted = [built / "index.html"] + [
        built / urlsplit(link).path for link in Page(start).links if re.search(r"\.(js|css|svg)($|\?)", link)
    ]
    first_visit = sum(len(gzip.compress(path.read_bytes(), 9)) for path in set(wanted))
    assert first_visit < 120_000


def test_every_page_says_what_it_is(built: Path) -> None:
    for path in built.rglob("index.html"):
        text = path.read_text(encoding="utf-8")
        assert re.search(r'<meta name="description" content="[^"]{20,}', text), path
        assert text.count("<h1") == 1, path
        if path.relative_to(built).parts[0] in ("machines", "index.html"):
            assert "Demonstration data" in text, path


def test_numbers_stay_out_of_the_search_index(built: Path) -> None:
    index = json.loads((built / "search/search_index.json").read_text(encoding="utf-8"))
    docs = {doc["location"]: doc for doc in index["docs"]}
    plan = docs["machines/bittern/54m/"]
    assert "54 m" in plan["text"] and "54m" in plan["text"] and len(plan["text"]) < 600
    assert not any(re.match(r"rules/[^/]+/\d{4}-", location) for location in docs)


def _copy(tmp_path: Path) -> Path:
    return Path(shutil.copytree(ROOT / "rules", tmp_path / "rules"))


def test_broken_data_publishes_nothing(tmp_path: Path, built: Path) -> None:
    data = _copy(tmp_path)
    file = data / "machines/heron.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("length: 290 m", "length: 290"), encoding="utf-8")
    before = (built / "index.html").read_bytes()
    done = build(tmp_path / "site", data)
    assert done.returncode != 0
    assert "heron.yaml:" in done.stderr + done.stdout and "'290' has no unit" in done.stderr + done.stdout
    assert not (tmp_path / "site/index.html").exists()
    assert (built / "index.html").read_bytes() == before


# -- the way into MkDocs ----------------------------------------------------------------------------------------------

ANEW = """
from mkdocs.config import load_config
hook = load_config("mkdocs.yml").hooks["hooks/publish.py"]
first = hook._fresh()
again = hook._fresh()
assert load_config("mkdocs.yml").hooks["hooks/publish.py"] is hook, "the file itself never loads again"
assert hook.on_config.__self__ is hook.PLUGIN
assert again is not first and again.loader is not first.loader and again.words is not first.words
"""


def test_a_change_of_the_program_counts_at_the_next_build_while_serving() -> None:
    done = subprocess.run([sys.executable, "-c", ANEW], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("extra", "said"),
    [
        ({"colour": "red"}, "mkdocs.yml: extra.colour: Unrecognised configuration name: colour"),
        ({"profile": "us"}, "mkdocs.yml: extra.profile: Unrecognised configuration name: profile"),
        ({"offline": {"old_after_days": "soon"}}, "mkdocs.yml: extra.offline: "),
    ],
)
def test_a_wrong_setting_stops_the_build(tmp_path: Path, extra: dict[str, object], said: str) -> None:
    settings = tmp_path / "mkdocs.yml"
    paths = {"docs_dir": str(ROOT / "docs"), "watch": [], "theme": {"name": "material"}}
    settings.write_text(json.dumps({"INHERIT": str(ROOT / "mkdocs.yml"), "extra": extra, **paths}), encoding="utf-8")
    (tmp_path / "hooks").symlink_to(ROOT / "hooks")
    environment = os.environ | {"NO_MKDOCS_2_WARNING": "1", "PYTHONPATH": str(ROOT)}
    call = [
        sys.executable,
        "-m",
        "mkdocs",
        "build",
        "--strict",
        "-q",
        "-f",
        str(settings),
        "-d",
        str(tmp_path / "site"),
    ]
    done = subprocess.run(call, cwd=tmp_path, env=environment, capture_output=True, text=True)
    told = done.stdout + done.stderr
    assert done.returncode and "errors in the settings, nothing is published:" in told and said in told, told


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("FIRMWRAP_DAY", "20270115", "FIRMWRAP_DAY: '20270115' is no day; write YYYY-MM-DD"),
        ("FIRMWRAP_DAY", "9999-12-31", "FIRMWRAP_DAY: '9999-12-31' is not in the years 1900 to 2199; check the year"),
        (
            "FIRMWRAP_SITE_URL",
            'https://yard.org/"><script>',
            """FIRMWRAP_SITE_URL: 'https://yard.org/"><script>/' is no address of a site; """
            "write one like https://example.org/cranes/",
        ),
        ("FIRMWRAP_JOBS", "0", "FIRMWRAP_JOBS: '0' is no number of processes; write 1 or more"),
    ],
)
def test_a_wrong_variable_stops_the_build(tmp_path: Path, name: str, value: str, said: str) -> None:
    environment = os.environ | {"NO_MKDOCS_2_WARNING": "1", name: value}
    call = [sys.executable, "-m", "mkdocs", "build", "--strict", "-q", "-d", str(tmp_path / "site")]
    done = subprocess.run(call, cwd=ROOT, env=environment, capture_output=True, text=True)
    told = done.stdout + done.stderr
    assert done.returncode and f"errors in the settings, nothing is published:\n{said}" in told, told
    assert not (tmp_path / "site").exists()
