"""The way into MkDocs: the only module that imports it, as small as it can be.

MkDocs and its search see headings and one summary paragraph of a page; the ready body takes their place when the page
is written.  That keeps numbers out of the search index, the index small and the build fast.  Pages of cranes are many
and alike: MkDocs renders one frame for each depth, and they are put into it.

MkDocs loads this file under `hooks:` and never again while it serves: what can change stands in the rooms below, which
`_fresh` imports anew at every build.  It is no entry point of the package: that would be known only where this very
folder is installed, and several working copies share one environment.
"""

from __future__ import annotations

import datetime
import html
import os
import re
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from itertools import chain
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from jinja2 import Environment
from mkdocs.commands.build import get_context
from mkdocs.config import config_options as options
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as SitePage
from mkdocs.structure.toc import AnchorLink, TableOfContents

if TYPE_CHECKING:
    from hooks.building.generated import Head, Site

_BLANK = re.compile(r"(?<=>)\s*\n\s*(?=<)")  # the frame's own indents are a quarter of it
_INDENT = re.compile(r"\s*\n\s*")
_ADDRESS = re.compile(r"https?://([A-Za-z0-9.-]+|\[[0-9A-Fa-f:]+\])(:[0-9]+)?(/[A-Za-z0-9._~-]+)*/?")
MARKED = ("title", "description", "address", "plan")
_MARK = re.compile("@@([a-z_]+)@@")  # in a frame: an attribute of the page goes here
START, END = "<!-- content: start -->", "<!-- content: end -->"
SCRIPT = "assets/frame.js"  # of every page, with words and settings in front
ASKING = "assets/ask.js"  # the search in its thread, in front of the theme's
UNUSED = (
    "assets/javascripts/lunr/",
    "assets/stylesheets/",
    "assets/images/favicon.png",
)  # of the theme: never asked for by any page


class Offline(Config):  # type: ignore[no-untyped-call]
    """The copy of the site on a phone."""

    old_after_days = options.Type(int)
    page_wait_seconds = options.Type((int, float))
    whole_site_up_to_kb = options.Type(int)


class Settings(Config):  # type: ignore[no-untyped-call]
    """What mkdocs.yml sets under `extra`."""

    fault = options.Type(str)
    feed = options.Type(str)
    offline = options.SubConfig(Offline)


class Publish(BasePlugin[Settings]):  # type: ignore[no-untyped-call]
    """The generated pages in MkDocs: one for as long as it runs; what `on_config` and later events put on it is of one
    build."""

    serving = False
    generated: Any  # the module hooks.building.generated
    folder: Path  # of the data
    site: Site
    pages: dict[str, Head]  # by the name MkDocs knows them by, those of no single crane
    of_cranes: list[Head]
    written: dict[str, str]  # hand-written pages, by the same names
    order: tuple[tuple[str, str], ...]
    nav: Navigation
    env: Environment

    def on_startup(self, *, command: str, dirty: bool) -> None:
        self.serving = command == "serve"

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Compute everything first: an error in the data stops the build before a file is touched."""
        self._read_settings(config)
        if config.site_url and not _ADDRESS.fullmatch(config.site_url):
            said = "is no address of a site; write one like https://example.org/cranes/"
            text = f"FIRMWRAP_SITE_URL: {config.site_url!r} {said}"
            raise PluginError(f"errors in the settings, nothing is published:\n{text}")
        root = Path(config.config_file_path).parent
        self.generated = _fresh()
        try:
            day, jobs = self.generated.day(os.environ), self.generated.jobs(os.environ)
        except ValueError as error:
            raise PluginError(f"errors in the settings, nothing is published:\n{error}") from None
        midnight = datetime.datetime.fromisoformat(day).replace(tzinfo=datetime.UTC)
        os.environ["SOURCE_DATE_EPOCH"] = str(int(midnight.timestamp()))
        kept = os.environ.get("FIRMWRAP_CACHE", str(root / "build/cache"))
        self.folder = self.generated.folders.chosen(os.environ)
        cache = Path(kept) if kept else None
        profile = os.environ.get("FIRMWRAP_PROFILE") or None
        its = self.config
        try:
            self.site = self.generated.site(
                self.folder, day, config.site_url, its.fault, cache, profile, its.feed, jobs
            )
        except self.generated.DataErrors as errors:
            raise PluginError(f"errors in the data, nothing is published:\n{errors}") from None
        heads, own = self.site.heads, self.site.own
        self.pages = {f"{address}index.md": heads[address] for address in own}
        self.of_cranes = [head for address, head in heads.items() if address not in own]
        self.written = {}
        addresses = [head.address for head in self.of_cranes]
        more = {"serving": self.serving, "build": self.generated.BUILD, "of_cranes": addresses}
        config.extra["firmwrap"] = {**self.site.frame, **more}
        return config

    def _read_settings(self, config: MkDocsConfig) -> None:
        """Errors: PluginError for a setting that is missing, of the wrong kind or unknown, all at once."""
        wrong, unknown = self.load_config(dict(config.extra), config.config_file_path)
        if wrong or unknown:
            lines = (f"mkdocs.yml: extra.{name}: {error}" for name, error in [*wrong, *unknown])
            raise PluginError("errors in the settings, nothing is published:\n" + "\n".join(lines))

    def on_serve(self, server: LiveReloadServer, config: MkDocsConfig, builder: Callable[..., None]) -> None:
        """Wherever the data lie, a change in them counts; what mkdocs.yml watches is the program."""
        server.watch(str(self.folder))

    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        for file in list(files):
            if file.src_uri.endswith(".map") or file.src_uri.startswith(UNUSED):
                files.remove(file)
        script = files.get_file_from_path(SCRIPT)
        assert script, SCRIPT
        files.remove(script)
        addresses = self.site.wrong_addresses([file.url for file in files.documentation_pages()])
        taken = {file.dest_uri: file.src_uri for file in files}
        made = dict.fromkeys(self.pages, "")
        made[SCRIPT] = self._script(files, config) + script.content_string
        made["manifest.webmanifest"] = self.generated.manifest(config.site_name, config.site_description)
        for address, content in made.items():
            file = File.generated(config, address, content=content, inclusion=InclusionLevel.NOT_IN_NAV)
            _demand_free(file.dest_uri, taken)
            files.append(file)
        for head in self.of_cranes:
            _demand_free(f"{head.address}index.html", taken)
        self._hand_written(files, addresses)
        return files

    def on_nav(self, nav: Navigation, config: MkDocsConfig, files: Files) -> None:
        self.nav = nav

    def on_env(self, env: Environment, config: MkDocsConfig, files: Files) -> None:
        """The pages of cranes, which MkDocs does not know, go into the search index."""
        self.env = env
        env.bytecode_cache = self.site.compiled
        plugin: Any = config.plugins["material/search"]
        for head in self.of_cranes:
            page = SimpleNamespace(url=head.address)
            page.content = _describe(page, head)
            plugin.search_index.add_entry_from_context(page)

    def _script(self, files: Files, config: MkDocsConfig) -> str:
        """The line in front of frame.js."""
        # of the theme, with its version in the name
        parts = {"bundle": "javascripts/bundle.", "worker": "workers/search."}
        search = {name: next(f.dest_uri for f in files if f"/{part}" in f.dest_uri) for name, part in parts.items()}
        search["asking"] = ASKING
        days = self.config.offline.old_after_days
        return str(self.generated.settings(self.site.words, days, search))

    def _hand_written(self, files: Files, addresses: list[str]) -> None:
        """Order of the guidance pages; every place in them that cannot be filled and every wrong address, at once."""
        written = [file for file in files.documentation_pages() if file.src_uri not in self.pages]
        texts = {file.src_uri: file.content_string for file in written}
        wrong = [line for name, text in sorted(texts.items()) for line in self.site.guide.errors(text, f"docs/{name}")]
        said = [
            f"errors in the {where}, nothing is published:\n" + "\n".join(lines)
            for where, lines in (("addresses", addresses), ("guidance", wrong))
            if lines
        ]
        if said:
            raise PluginError("\n".join(said))
        self.order = self.generated.order(texts.get("guidance/index.md", ""))

    def on_page_markdown(self, markdown: str, page: SitePage, config: MkDocsConfig, files: Files) -> str:
        if page.file.src_uri in self.pages:
            return ""
        return str(self.site.guide.fill(markdown, page.url))

    def on_page_content(self, content: str, page: SitePage, config: MkDocsConfig, files: Files) -> str:
        ready = self.pages.get(page.file.src_uri)
        if ready is None:
            self.written[page.file.src_uri] = content
            found = self.generated.summary(content)
        else:
            found = _describe(page, ready)
        return f"{START}{self.site.searched(page.url, found)}{END}"

    def on_post_page(self, output: str, page: SitePage, config: MkDocsConfig) -> str:
        before, _, rest = output.partition(START)
        after = rest.partition(END)[2]
        name, guide, order = page.file.src_uri, self.site.guide, self.order
        if name in self.pages:
            body: str = self.site.body(page.url if page.url != "./" else "") + guide.around(page.url, order)
        else:
            body = guide.framed(self.written[name], page.url, order)
        return _lean(before) + body + _lean(after)

    def _of_cranes(self, config: MkDocsConfig) -> Iterator[tuple[str, str]]:
        """Every page of a crane in its frame: address of the file, content."""
        site = self.site

        @cache
        def frame(depth: int, pattern: Any) -> tuple[str, str]:
            page = SitePage(None, File.generated(config, f"machines/{'-/' * (depth - 1)}index.md", content=""), config)
            _describe(page, pattern)
            page.content = f"{START}<h1></h1>{END}"  # without a heading of its own the theme would add one
            page.canonical_url = config.site_url and f"{config.site_url}@@address@@"
            output = self.env.get_template("main.html").render(get_context(self.nav, [], config, page))
            before, _, rest = output.partition(START)
            return _lean(before), _lean(rest.partition(END)[2])

        for head in self.of_cranes:
            marks: dict[str, Any] = {name: f"@@{name}@@" for name in MARKED if getattr(head, name)}
            marks |= {"address": "machines/@@crane@@/", "header": ("@@what@@", "@@where@@")}
            pattern = replace(head, **marks, search_text="", boost=1.0)
            before, after = frame(head.address.count("/"), pattern)
            named = {name: getattr(head, name) for name in MARKED}
            named |= {"what": head.header[0], "where": head.header[1], "crane": head.address.split("/")[1]}
            text = {name: html.escape(value) for name, value in named.items()}
            filled = _MARK.sub(lambda found, text=text: text[found[1]], before)  # type: ignore[misc]
            yield f"{head.address}index.html", filled + site.body(head.address) + after

    def on_post_build(self, config: MkDocsConfig) -> None:
        """Pages of cranes and data files; then names, build and list for the copy on a phone; while serving there is
        no copy."""
        for address, content in chain(self._of_cranes(config), self.site.files()):
            target = Path(config.site_dir, address)
            if target.exists():
                raise PluginError(f"docs/{address}: a generated file has this address; move or rename it")
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(content, encoding="utf-8")
        if not self.serving:
            phone = self.config.offline
            self.site.seal(Path(config.site_dir), phone.whole_site_up_to_kb, phone.page_wait_seconds)


def _fresh() -> Any:
    """hooks.building.generated, imported anew: while serving, a change in calc or hooks counts at the next build."""
    for name in [name for name in sys.modules if name.partition(".")[0] in ("calc", "hooks")]:
        del sys.modules[name]
    from hooks.building import generated

    return generated


def _demand_free(address: str, taken: Mapping[str, str]) -> None:
    if address in taken:
        raise PluginError(f"docs/{taken[address]}: a generated page has this address; move or rename it")


def _describe(page: Any, ready: Any) -> str:
    """Give the page what its frame and search ask for; what search takes in."""
    title = html.escape(ready.title)
    page.title = title
    page.meta = {"description": html.escape(ready.description), "noindex": not ready.indexed}
    page.meta |= {"moved": ready.moved_to, "demonstration": ready.demonstration}
    page.meta |= {"header": [html.escape(line) for line in ready.header] if any(ready.header) else None}
    if ready.part is not None:
        page.meta |= {"crane": ready.address.split("/")[1], "part": ready.part, "plan": ready.plan}
    page.meta["search"] = {"boost": ready.boost} if ready.indexed else {"exclude": True}
    top = AnchorLink(title, "top-of-page", 1)
    top.children = [AnchorLink(html.escape(text), id, 2) for id, text in ready.toc]
    page.toc = TableOfContents([top])
    return f'<h1 id="top-of-page">{title}</h1><p>{html.escape(ready.search_text)}</p>'


def _lean(frame: str) -> str:
    """The frame without the blanks between its elements; nothing in it hangs on them."""
    return _INDENT.sub("\n", _BLANK.sub("", frame))


# MkDocs takes the events of a file under `hooks:` from its names.
PLUGIN = Publish()
on_startup = PLUGIN.on_startup
on_config = PLUGIN.on_config
on_files = PLUGIN.on_files
on_serve = PLUGIN.on_serve
on_nav = PLUGIN.on_nav
on_env = PLUGIN.on_env
on_page_markdown = PLUGIN.on_page_markdown
on_page_content = PLUGIN.on_page_content
on_post_page = PLUGIN.on_post_page
on_post_build = PLUGIN.on_post_build
