"""The way into MkDocs: the only module that imports it, as small as it can be.

MkDocs and its search see headings and one summary paragraph of a page; the ready body takes their place when the page
is written.  That keeps numbers out of the search index, the index small and the build fast.  Pages of cranes are many
and alike: MkDocs renders one frame for each depth, and they are put into it.
"""

from __future__ import annotations

import datetime
import html
import os
import re
import sys
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache, partial
from itertools import chain
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from jinja2 import Environment
from mkdocs.commands.build import get_context
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as SitePage
from mkdocs.structure.toc import AnchorLink, TableOfContents

from hooks.building import seal

_BLANK = re.compile(r"(?<=>)\s*\n\s*(?=<)")  # the frame's own indents are a quarter of it
_INDENT = re.compile(r"\s*\n\s*")
MARKED = ("title", "description", "address")
_MARK = re.compile("@@([a-z_]+)@@")  # in a frame: an attribute of the page goes here
START, END = "<!-- content: start -->", "<!-- content: end -->"
SCRIPT = "assets/frame.js"  # of every page, with words and settings in front
UNUSED = ("assets/javascripts/lunr/", "assets/images/favicon.png")  # of the theme: never asked for by any page

_state: dict[str, Any] = {"serving": False}


def on_startup(*, command: str, dirty: bool) -> None:
    _state["serving"] = command == "serve"


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Compute everything first: an error in the data stops the build before a file is touched."""
    root = Path(config.config_file_path).parent
    day = os.environ.get("FIRMWRAP_DAY") or datetime.datetime.now(datetime.UTC).date().isoformat()
    midnight = datetime.datetime.fromisoformat(day).replace(tzinfo=datetime.UTC)
    os.environ["SOURCE_DATE_EPOCH"] = str(int(midnight.timestamp()))
    kept = os.environ.get("FIRMWRAP_CACHE", str(root / "build/cache"))
    generated = _fresh()
    try:
        folder = Path(os.environ.get("FIRMWRAP_DATA") or root / "rules")
        extra = config.extra
        cache = Path(kept) if kept else None
        site = generated.site(folder, day, config.site_url, extra["fault"], cache, extra["profile"], extra["feed"])
    except generated.DataErrors as errors:
        raise PluginError(f"errors in the data, nothing is published:\n{errors}") from None
    _state.update(site=site, render=generated, written={})
    _state["pages"] = {f"{address}index.md": site.heads[address] for address in site.own}
    of_cranes = [head for address, head in site.heads.items() if address not in site.own]
    _state["of_cranes"] = of_cranes
    more = {"serving": _state["serving"], "build": seal.BUILD, "of_cranes": [head.address for head in of_cranes]}
    config.extra["firmwrap"] = {**site.frame, **more}
    return config


def _fresh() -> Any:
    """hooks.building.generated, imported anew: while serving, a change in calc or hooks counts at the next build."""
    for name in [name for name in sys.modules if name.partition(".")[0] in ("calc", "hooks")]:
        del sys.modules[name]
    from hooks.building import generated

    return generated


def on_files(files: Files, config: MkDocsConfig) -> Files:
    for file in list(files):
        if file.src_uri.endswith(".map") or file.src_uri.startswith(UNUSED):
            files.remove(file)
    script = files.get_file_from_path(SCRIPT)
    assert script, SCRIPT
    files.remove(script)
    addresses = _state["site"].wrong_addresses([file.url for file in files.documentation_pages()])
    taken = {file.dest_uri: file.src_uri for file in files}
    made = dict.fromkeys(_state["pages"], "")
    made[SCRIPT] = _settings(files, config) + script.content_string
    made["manifest.webmanifest"] = _state["render"].manifest(config.site_name, config.site_description)
    for address, content in made.items():
        file = File.generated(config, address, content=content, inclusion=InclusionLevel.NOT_IN_NAV)
        _demand_free(file.dest_uri, taken)
        files.append(file)
    for head in _state["of_cranes"]:
        _demand_free(f"{head.address}index.html", taken)
    _hand_written(files, addresses)
    return files


def _demand_free(address: str, taken: Mapping[str, str]) -> None:
    if address in taken:
        raise PluginError(f"docs/{taken[address]}: a generated page has this address; move or rename it")


def on_nav(nav: Navigation, config: MkDocsConfig, files: Files) -> None:
    _state["nav"] = nav


def on_env(env: Environment, config: MkDocsConfig, files: Files) -> None:
    """The pages of cranes, which MkDocs does not know, go into the search index."""
    _state["env"] = env
    env.bytecode_cache = _state["site"].compiled
    plugin: Any = config.plugins["material/search"]
    for head in _state["of_cranes"]:
        page = SimpleNamespace(url=head.address)
        page.content = _describe(page, head)
        plugin.search_index.add_entry_from_context(page)


def _settings(files: Files, config: MkDocsConfig) -> str:
    """The line in front of frame.js."""
    parts = {"bundle": "javascripts/bundle.", "worker": "workers/search."}  # of the theme, with its version in the name
    search = {name: next(f.dest_uri for f in files if f"/{part}" in f.dest_uri) for name, part in parts.items()}
    days = config.extra["offline"]["old_after_days"]
    return str(_state["render"].settings(_state["site"].words, days, search))


def _hand_written(files: Files, addresses: list[str]) -> None:
    """Order of the guidance pages; every place in them that cannot be filled and every wrong address, all at once."""
    written = [file for file in files.documentation_pages() if file.src_uri not in _state["pages"]]
    texts = {file.src_uri: file.content_string for file in written}
    wrong = [line for name, text in sorted(texts.items()) for line in _state["site"].guide.errors(text, f"docs/{name}")]
    said = [
        f"errors in the {where}, nothing is published:\n" + "\n".join(lines)
        for where, lines in (("addresses", addresses), ("guidance", wrong))
        if lines
    ]
    if said:
        raise PluginError("\n".join(said))
    _state["order"] = _state["render"].order(texts.get("guidance/index.md", ""))


def on_page_markdown(markdown: str, page: SitePage, config: MkDocsConfig, files: Files) -> str:
    if page.file.src_uri in _state["pages"]:
        return ""
    return str(_state["site"].guide.fill(markdown, page.url))


def on_page_content(content: str, page: SitePage, config: MkDocsConfig, files: Files) -> str:
    ready = _state["pages"].get(page.file.src_uri)
    if ready is None:
        _state["written"][page.file.src_uri] = content
        return f"{START}{_state['render'].summary(content)}{END}"
    return f"{START}{_describe(page, ready)}{END}"


def _describe(page: Any, ready: Any) -> str:
    """Give the page what its frame and search ask for; what search takes in."""
    title = html.escape(ready.title)
    page.title = title
    page.meta = {"description": html.escape(ready.description), "noindex": not ready.indexed}
    page.meta["moved"] = ready.moved_to
    page.meta["search"] = {"boost": ready.boost} if ready.indexed else {"exclude": True}
    top = AnchorLink(title, "top-of-page", 1)
    top.children = [AnchorLink(html.escape(text), id, 2) for id, text in ready.toc]
    page.toc = TableOfContents([top])
    return f'<h1 id="top-of-page">{title}</h1><p>{html.escape(ready.search_text)}</p>'


def on_post_page(output: str, page: SitePage, config: MkDocsConfig) -> str:
    before, _, rest = output.partition(START)
    after = rest.partition(END)[2]
    name, guide, order = page.file.src_uri, _state["site"].guide, _state["order"]
    if name in _state["pages"]:
        body: str = _state["site"].body(page.url if page.url != "./" else "") + guide.around(page.url, order)
    else:
        body = guide.framed(_state["written"][name], page.url, order)
    return _lean(before) + body + _lean(after)


def _of_cranes(config: MkDocsConfig) -> Iterator[tuple[str, str]]:
    """Every page of a crane in its frame: address of the file, content."""
    site = _state["site"]

    @cache
    def frame(depth: int, pattern: Any) -> tuple[str, str]:
        page = SitePage(None, File.generated(config, f"machines/{'-/' * (depth - 1)}index.md", content=""), config)
        _describe(page, pattern)
        page.content = f"{START}<h1></h1>{END}"  # without a heading of its own the theme would add one
        page.canonical_url = config.site_url and f"{config.site_url}@@address@@"
        output = _state["env"].get_template("main.html").render(get_context(_state["nav"], [], config, page))
        before, _, rest = output.partition(START)
        return _lean(before), _lean(rest.partition(END)[2])

    for head in _state["of_cranes"]:
        pattern = replace(head, **{name: f"@@{name}@@" for name in MARKED}, search_text="", boost=1.0)
        before, after = frame(head.address.count("/"), pattern)
        text = {name: html.escape(getattr(head, name)) for name in MARKED}
        filled = _MARK.sub(lambda found, text=text: text[found[1]], before)  # type: ignore[misc]
        yield f"{head.address}index.html", filled + site.body(head.address) + after


def _lean(frame: str) -> str:
    """The frame without the blanks between its elements; nothing in it hangs on them."""
    return _INDENT.sub("\n", _BLANK.sub("", frame))


def on_post_build(config: MkDocsConfig) -> None:
    """Pages of cranes and data files; then names, build and list for the copy on a phone, of which there is none while
    serving."""
    for address, content in chain(_of_cranes(config), _state["site"].files()):
        target = Path(config.site_dir, address)
        if target.exists():
            raise PluginError(f"docs/{address}: a generated file has this address; move or rename it")
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(content, encoding="utf-8")
    if not _state["serving"]:
        options = seal.Options(**{name: config.extra["offline"][name] for name in seal.Options.__annotations__})
        button = partial(_state["render"].save_button, _state["site"].words)
        seal.seal(Path(config.site_dir), config.extra["firmwrap"]["day"], options, button)
