"""Hostile text in every free text of the data at once: it comes out as text, everywhere, and nothing else changes.

The schemas say which fields are free text, so that a new field is covered by itself.  The site is built twice, from
data that holds plain words in every such field and from data that holds markup, scripts, quotes, paths, template and
Markdown syntax in their place.  Both builds must be the same, tag by tag and value by value, but for those texts.
"""

from __future__ import annotations

import csv
import functools
import http.server
import json
import re
import shutil
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from html.parser import HTMLParser
from itertools import chain
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import data_folder
import pytest
import spoiled
import yaml
from conftest import ROOT, build, once, open_search
from playwright.sync_api import BrowserContext, Dialog

from calc.checks import loader
from calc.data import files, schema
from hooks.text import cite

NASTY = (
    r""" <script>alert(1)</script><script src=//host.invalid/x.js></script><img src=x onerror=alert(2)>
<svg onload=alert(3)><style>*{display:none}</style><iframe src=file:///etc/passwd></iframe>
<base href=//host.invalid><x-m>1 t</x-m><b>bold</b></title></textarea></script>
</style></svg></text></p></td></dd></a></div></body>
<!-- open --> ]]> <?xml version="1.0"?>
" onclick="alert(4)" ' onclick='alert(5)' ` & &amp; &lt;b&gt; &#60;i&#62; &nbsp; \ \n \u003cb\u003e \" "}], "x": [{"
{{ 7*7 }} {{ rule:minimum-load.minimum_share }} {{ config }} {% raw %} {% include 'plan.html' %} {# gone #}
{0} {name} {} %s %(day)s ${x} $(id) =SUM(A1) <!-- generated page: start --> <!-- generated page: end -->
**bold** __init__ `code` [link](javascript:alert(6)) ![i](x) | a | b | ~~gone~~

# heading
- item
../../../x /etc/passwd file:///etc/passwd //host.invalid javascript:alert(7) data:text/html,<b>x</b>
½ 起重机 رافعة 😀 """
    + "W" * 300
)
PLAIN = re.sub(r"\S", "w", NASTY)  # as long, in as many words and lines: pages that look at lengths see no difference
WORD = re.compile(r"xq\d{4}qx")
DATA_FOLDERS = ("data", "assets")
FEED = "changes/feed.xml"

# Every element with its attributes; the theme itself adds a title where a heading does not fit the header.
ELEMENTS = """[...document.querySelectorAll("*")].map(
  each => [each.tagName, ...each.getAttributeNames().filter(name => name != "title").sort()].join(" "))"""


def is_free(node: dict[str, Any]) -> bool:
    """Whether a field takes any text: no form, no list, no quantity, no day."""
    return node.get("type") == "string" and not {"pattern", "enum", "const", "quantity", "day"} & set(node)


def filled(node: dict[str, Any], data: Any, text: Callable[[], str]) -> Any:
    """The data with every free text replaced, and with those it leaves out."""
    if is_free(node):
        return text()
    if isinstance(data, dict):
        named, other = node.get("properties", {}), node.get("additionalProperties") or {}
        found = {name: filled(named.get(name, other), value, text) for name, value in data.items()}
        for name, part in named.items():
            if name not in found and is_free(part):
                found[name] = text()
            if name not in found and part.get("type") == "array" and is_free(part["items"]):
                found[name] = [text()]
        return found
    if isinstance(data, list):
        each = node.get("prefixItems") or [node.get("items") or {}] * max(1, len(data))
        if not data and is_free(each[0]):
            return [text()]
        return [filled(part, value, text) for part, value in zip(each, data, strict=False)]
    return data


class _Whole(yaml.SafeDumper):
    """Every value written out: the data may hold no aliases."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def write(target: Path, after: str) -> dict[str, list[str]]:
    """A copy of the data with a word and what follows it in every free text; the words by folder."""
    shutil.copytree(ROOT / "rules", target)
    data_folder.fewer(target)
    words: dict[str, list[str]] = {folder: [] for folder in spoiled.FOLDERS}

    for folder, name in spoiled.FOLDERS.items():

        def text(mine: list[str] = words[folder]) -> str:
            mine.append(f"xq{sum(map(len, words.values())):04d}qx")
            return mine[-1] + after

        for path in sorted((target / folder).glob("*.yaml")):
            data = yaml.safe_load(path.read_text(encoding="utf-8"))
            whole = filled(schema.schema(name), data, text)
            path.write_text(yaml.dump(whole, Dumper=_Whole, allow_unicode=True, sort_keys=False), encoding="utf-8")
    return words


@dataclass(frozen=True)
class Pair:
    """The two sites and the words of their texts by folder of the data."""

    plain: Path
    hostile: Path
    words: dict[str, list[str]]


@pytest.fixture(scope="module")
def pair(tmp_path_factory: pytest.TempPathFactory) -> Pair:
    folder = once(tmp_path_factory, "hostile", _pair)
    words = json.loads((folder / "words.json").read_text(encoding="utf-8"))
    return Pair(folder / "plain/site", folder / "hostile/site", words)


def _pair(folder: Path) -> None:
    words = [write(folder / f"{name}/rules", after) for name, after in (("plain", PLAIN), ("hostile", NASTY))]
    assert words[0] == words[1]
    # long texts weigh: the copy on the phone still takes the whole site, as that of the fleet
    with pytest.MonkeyPatch.context() as changed, ThreadPoolExecutor() as pool:
        changed.setenv("FIRMWRAP_WHOLE_SITE_KB", "9000")
        done = list(pool.map(
            lambda name: build(folder / name / "site", folder / name / "rules", kept=name), ("plain", "hostile")
        ))  # fmt: skip
    for one in done:
        assert one.returncode == 0, one.stdout + one.stderr
    assert {path.name for path in folder.iterdir()} == {"plain", "hostile"}
    for name in ("plain", "hostile"):
        assert {path.name for path in (folder / name).iterdir()} == {"rules", "site"}, "files outside the site"
    (folder / "words.json").write_text(json.dumps(words[0]), encoding="utf-8")


def hostile(text: str) -> str:
    """A plain text as it must read in the hostile site."""
    return text.replace(PLAIN, NASTY).replace(spaced(PLAIN), spaced(NASTY))


def spaced(text: str) -> str:
    """A text with every run of blanks and line ends as one blank: HTML makes no difference."""
    return " ".join(text.split())


def steady(text: str) -> str:
    """A text without what a build says of itself: digests of its files and their size."""
    return re.sub(r"\b([0-9a-f]{8}|[0-9a-f]{12}|[0-9a-f]{32})\b|\b[\d.]+[ \u00a0][kM]B\b", "…", text)


@functools.lru_cache(maxsize=1 << 16)  # the frame of every page says the same
def read(text: str) -> str:
    """A text as two builds are held against each other by it."""
    return spaced(steady(text))


class Tokens(HTMLParser):
    """Everything a page consists of, in order: tags with attributes, comments, text; character references read."""

    def __init__(self, html: str, change: Callable[[str], str] = str) -> None:
        super().__init__(convert_charrefs=True)
        self.change = change
        self.json = False  # inside data for a script
        self.found: list[tuple[str, Any]] = []
        self.feed(html)
        self.close()
        self.found = [token for token in self._joined() if token != ("text", "")]

    def _joined(self) -> Iterator[tuple[str, Any]]:
        text, tag = "", ""
        for kind, value in [*self.found, ("end", "")]:
            if kind == "text":
                text += value
                continue
            said = self.change(read(text))
            yield "text", said.replace(spaced(NASTY), cite.escaped(NASTY)) if tag == "pre" else said  # BibTeX
            tag = value[0] if kind == "tag" else ""
            yield kind, value
            text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.json = tag == "script" and ("type", "application/json") in attrs
        self.found.append(("tag", (tag, [(name, self.change(read(value or ""))) for name, value in attrs])))

    def handle_endtag(self, tag: str) -> None:
        self.json = False
        self.found.append(("close", tag))

    def handle_comment(self, data: str) -> None:
        self.found.append(("comment", data))

    def handle_decl(self, decl: str) -> None:
        self.found.append(("declaration", decl))

    def unknown_decl(self, data: str) -> None:
        self.found.append(("declaration", data))

    def handle_pi(self, data: str) -> None:
        self.found.append(("instruction", data))

    def handle_data(self, data: str) -> None:
        self.found.append(("data", changed(json.loads(data), self.change)) if self.json else ("text", data))


def changed(value: Any, change: Callable[[str], str]) -> Any:
    """JSON data with every text in it changed."""
    if isinstance(value, dict):
        return {key: changed(part, change) for key, part in value.items()}
    if isinstance(value, list):
        return [changed(part, change) for part in value]
    return change(value) if isinstance(value, str) else value


def test_same_files(pair: Pair) -> None:
    """No text adds, moves or names a file."""
    names = [{steady(str(path.relative_to(site))) for path in site.rglob("*")} for site in (pair.plain, pair.hostile)]
    assert names[0] == names[1]


def test_every_page_holds_the_text_as_text(pair: Pair) -> None:
    """Title, description, body, figures: the same tags and attributes in the same order, the policy included."""
    pages = sorted(pair.plain.rglob("*.html"))
    assert len(pages) > 100
    for path in pages:
        name = path.relative_to(pair.plain)
        wanted = Tokens(path.read_text(encoding="utf-8"), hostile).found
        found = Tokens((pair.hostile / name).read_text(encoding="utf-8")).found
        for one, other in zip(wanted, found, strict=False):
            assert one == other, f"{name}: {other!r} in place of {one!r}"
        assert len(wanted) == len(found), name


def test_every_data_file_holds_the_text_as_text(pair: Pair) -> None:
    """The feed, and what scripts of the pages read."""
    found = [data_files(site) for site in (pair.plain, pair.hostile)]
    assert found[0].keys() == found[1].keys() and found[0]
    for name, plain in found[0].items():
        assert found[1][name] == changed(plain, hostile), name


def data_files(site: Path) -> dict[str, Any]:
    """Every data file but the index of the search, by its name without digest."""
    paths = sorted(path for folder in DATA_FOLDERS for path in (site / folder).rglob("*.json"))
    return {steady(str(path.relative_to(site))): json.loads(path.read_text(encoding="utf-8")) for path in paths}


def test_search_holds_the_text_as_text(pair: Pair) -> None:
    """The search shows title and text of its index as HTML, so they are compared as HTML."""
    index = [json.loads((site / "search/search_index.json").read_text("utf-8")) for site in (pair.plain, pair.hostile)]
    assert index[0]["config"] == index[1]["config"] and len(index[0]["docs"]) == len(index[1]["docs"])
    for plain, found in zip(index[0]["docs"], index[1]["docs"], strict=True):
        assert plain.keys() == found.keys() and plain["location"] == found["location"]
        for part in ("title", "text"):
            assert Tokens(found[part]).found == Tokens(plain[part], hostile).found, (plain["location"], part)


def test_the_feed_of_changes_holds_the_text_as_text(pair: Pair) -> None:
    """The same elements and attributes in the same order, and the texts as they were written."""
    plain, found = (list(ElementTree.parse(site / FEED).iter()) for site in (pair.plain, pair.hostile))
    assert [(one.tag, one.attrib) for one in plain] == [(one.tag, one.attrib) for one in found]
    for one, other in zip(plain, found, strict=True):
        assert spaced(other.text or "") == hostile(spaced(one.text or ""))


def test_every_table_holds_the_text_as_text(pair: Pair) -> None:
    """One cell each; with an apostrophe in front where a spreadsheet would take it for a formula."""
    found = [sorted((site / "data").rglob("*.csv")) for site in (pair.plain, pair.hostile)]
    assert [path.name for path in found[0]] == [path.name for path in found[1]] and found[0]
    for one, other in zip(*found, strict=True):
        rows = [list(csv.reader(path.open(encoding="utf-8-sig", newline=""))) for path in (one, other)]
        for plain, text in zip(chain(*rows[0]), chain(*rows[1]), strict=True):
            assert text.removeprefix("'") == hostile(plain).removeprefix("'"), other
            assert not text.lstrip().startswith(("=", "+", "@")), other


def test_no_other_file_holds_a_text(pair: Pair) -> None:
    """Scripts, styles, the list of files kept on a phone, the site map."""
    tables = set((pair.hostile / "data").rglob("*.csv"))
    for path in sorted(set(pair.hostile.rglob("*")) - {pair.hostile / FEED} - tables):
        data = path.suffix == ".json" and path.relative_to(pair.hostile).parts[0] in ("search", *DATA_FOLDERS)
        if path.is_file() and path.suffix != ".html" and not data:
            assert not re.search(rb"xq\d{4}qx", path.read_bytes()), path


def test_the_texts_are_there(pair: Pair) -> None:
    """What is proved is not about texts that nobody shows: every one of cranes and rules stands on a page or in the
    feed."""
    shown: set[str] = set()
    for path in pair.hostile.rglob("*"):
        if path.suffix in (".html", ".json"):
            shown |= set(WORD.findall(path.read_text(encoding="utf-8")))
    for folder in ("machines", "rulebook"):
        assert len(pair.words[folder]) > 50 and set(pair.words[folder]) <= shown, folder


def test_nothing_runs_in_the_browser(pair: Pair, phone: BrowserContext) -> None:
    """Chromium reads as little into the texts as the parser above: no element, no dialog, no request, no error more."""
    handler = functools.partial(Quiet, directory=str(pair.hostile.parent.parent))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    page = phone.new_page()
    page.set_default_timeout(90_000)  # a slow machine is no failure
    wrong: list[str] = []

    def dismissed(dialog: Dialog) -> None:
        wrong.append(f"dialog {dialog.message}")
        dialog.dismiss()

    page.on("dialog", dismissed)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.on("request", lambda request: wrong.append(request.url) if "host.invalid" in request.url else None)
    for address in ("", "machines/heron/", "machines/heron/61m/", "rules/", "rules/minimum-load/"):
        seen = []
        for name in ("plain", "hostile"):
            page.goto(f"http://127.0.0.1:{server.server_port}/{name}/site/{address}")
            seen.append((page.title(), page.evaluate(ELEMENTS)))
        assert spaced(seen[1][0]) == spaced(hostile(seen[0][0])), address
        assert seen[1][1] == seen[0][1], address
    open_search(page)
    page.locator("input[name=query]").press_sequentially(pair.words["machines"][0])  # the name of the first crane
    page.locator(".md-search-result__item").first.wait_for()
    assert page.locator(".md-search-result").locator("img, script, style, iframe, base, b, x-m").count() == 0
    assert "<script>alert(1)</script>" in page.locator(".md-search-result__list").inner_text()
    page.close()
    server.shutdown()
    server.server_close()
    assert not wrong


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


def test_what_nobody_sees_is_refused_in_every_text(tmp_path: Path) -> None:
    """A mark that turns the reading direction, in every free text of every file: every single one is told."""
    words = write(tmp_path / "rules", "\u202e")
    with pytest.raises(files.Errors) as caught:
        loader.load(tmp_path / "rules")
    told = [problem for problem in caught.value.problems if "U+202E (right-to-left override)" in problem.text]
    assert len(told) == len(caught.value.problems)
    assert len({(problem.file, problem.line) for problem in told}) == sum(map(len, words.values()))
