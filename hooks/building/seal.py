"""Finish a build so that it opens without a signal and never mixes with another: names, build, list, worker.

Every own script, stylesheet and table gets its hash into its name: a page never meets one of another build.  Every page
says to which build it belongs.  The list of [address, hash] is what the worker fills the copy on the phone from; the
version file says what is published now, and goes to a server last.

All of it needs the finished bytes.  A hash covers what a script imports, whose names have hashes themselves; the theme
and MkDocs write addresses of assets into pages, as templates do.  A build has its name from every file there is, so no
page can know it while pages are made.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

LAST = "version.json"  # the file a build writes last
BUILD = "0" * 12  # in every page, until the build has its name
WORKER = "assets/worker.js"
PUBLISHED = "sw.js"  # the worker, its constants in front
_FRAMELESS = re.compile(r"machines/.*/plan\.html")  # a plan's body alone, which says no build
LEFT_OUT = re.compile(rf"404\.html|sitemap\.xml.*|data/v1/.*|{_FRAMELESS.pattern}")  # for the network, not for the cab

_STAMP = re.compile(rb'data-build="([0-9a-f]{12})"')
_CONSTANTS = "const BUILD = "


@dataclass(frozen=True)
class Options:
    """What can be set in mkdocs.yml.

    A site that packs to more than `whole_site_up_to_kb` is not fetched whole at the first visit: each crane's plans are
    saved by hand.  Without an answer in `page_wait_seconds` a page comes from the copy.
    """

    whole_site_up_to_kb: int
    page_wait_seconds: float


def seal(
    folder: Path, day: str, options: Options, names_of_cranes: Mapping[str, str], save_button: Callable[[str, str], str]
) -> None:
    """Finish the build in `folder`; cranes have their names by id, and `save_button(crane, size)` is for the page of
    one that is saved by hand."""
    renamed = _renamer(_hash_names(folder))
    names = _names(folder)
    hashes: dict[str, str] = {}
    packed: dict[str, int] = {}
    for name in names:
        content = (folder / name).read_bytes()
        if name.endswith(".html"):
            content = renamed(content.decode()).encode()
            (folder / name).write_bytes(content)
        hashes[name] = _hash(content)
        if _listed(name):
            packed[name] = len(gzip.compress(content, 6))
    cranes: dict[str, list[str]] = {}
    if sum(packed.values()) > 1000 * options.whole_site_up_to_kb:
        cranes = _cranes(packed)
        for crane, below in cranes.items():
            page = folder / _page(crane)
            button = save_button(crane, size(sum(packed[name] for name in below)))
            before, end, after = page.read_text(encoding="utf-8").partition("</h1>")
            page.write_text(before + end + button + after, encoding="utf-8")
            hashes[_page(crane)] = _hash(page.read_bytes())
    build = _name(hashes)
    for name in names:
        if name.endswith(".html"):
            content = _STAMP.sub(f'data-build="{build}"'.encode(), (folder / name).read_bytes(), count=1)
            (folder / name).write_bytes(content)
            hashes[name] = _hash(content)
    _publish(folder, build, day, options, _list(packed, hashes, cranes, names_of_cranes))


def _names(folder: Path) -> list[str]:
    """Every file below a folder, by its path there, folder by folder."""
    paths = (Path(at, name).relative_to(folder) for at, _, found in os.walk(folder) for name in found)
    return [path.as_posix() for path in sorted(paths)]


def _name(hashes: Mapping[str, str]) -> str:
    """Name of a build: 12 hex digits over every file's path and content."""
    found = hashlib.sha256()
    for name, content in hashes.items():
        found.update(f"{name}\0{content}\0".encode())
    return found.hexdigest()[:12]


def size(count: int) -> str:
    """How much is to be fetched, as people say it, rounded up.

    >>> size(84_100), size(1_210_000)
    ('85 kB', '1.3 MB')
    """
    return f"{-(-count // 1000)} kB" if count <= 999_000 else f"{-(-count // 100_000) / 10} MB"


def _hash_names(folder: Path) -> dict[str, str]:
    """Put a hash into the name of every script, stylesheet and table of ours; returns the new name of each.

    A script that names another waits until that one has its name, so its own hash covers both.
    """
    assets = [path for path in (folder / "assets").iterdir() if path.suffix in (".js", ".css", ".json")]
    waiting = {path.name: path for path in assets if path.name != Path(WORKER).name}
    names: dict[str, str] = {}
    while waiting:
        renamed = _renamer(names)
        texts = {name: renamed(path.read_text(encoding="utf-8")) for name, path in waiting.items()}
        free = [name for name, text in texts.items() if not any(f'/{other}"' in text for other in waiting)]
        if not free:
            raise ValueError(f"scripts that import each other: {', '.join(sorted(waiting))}; undo the circle")
        for name in free:
            path = waiting.pop(name)
            names[name] = f"{path.stem}.{_hash(texts[name].encode())[:8]}{path.suffix}"
            path.unlink()
            (path.parent / names[name]).write_text(texts[name], encoding="utf-8")
    return names


def _renamer(names: Mapping[str, str]) -> Callable[[str], str]:
    """What puts the new names into a text, wherever an address ends in an old one."""
    if not names:
        return str
    # to begin with what is before the name would take ten times as long
    old = re.compile(rf'/({"|".join(map(re.escape, names))})(?=")')

    def renamed(text: str) -> str:
        def new(found: re.Match[str]) -> str:
            at = found.start()
            ours = text.startswith("assets", at - 6) or text.startswith('".', at - 2)
            return f"/{names[found[1]]}" if ours else found[0]

        return old.sub(new, text)

    return renamed


def _hash(content: bytes) -> str:
    """What the worker compares: the first 128 bits of SHA-256."""
    return hashlib.sha256(content).hexdigest()[:32]


def _listed(name: str) -> bool:
    """Whether a page may ask for this file without a signal."""
    return name != WORKER and not LEFT_OUT.fullmatch(name)


def _page(crane: str) -> str:
    return f"machines/{crane}/index.html"


def _cranes(names: Iterable[str]) -> dict[str, list[str]]:
    """The files below each crane's page; the page itself always comes along."""
    found: dict[str, list[str]] = {}
    for name in names:
        top, _, rest = name.partition("/")
        crane, _, below = rest.partition("/")
        if top == "machines" and below:
            found.setdefault(crane, [])
            if name != _page(crane):
                found[crane].append(name)
    return found


def _list(
    packed: Mapping[str, int],
    hashes: Mapping[str, str],
    cranes: Mapping[str, list[str]],
    names_of_cranes: Mapping[str, str],
) -> dict[str, Any]:
    """What the worker fills the copy from: files of everybody, and of each crane that is saved by hand."""
    by_hand = {name for names in cranes.values() for name in names}
    shared = [name for name in packed if name not in by_hand]

    def entries(names: list[str]) -> dict[str, Any]:
        # the address of a page is its folder
        files = [[name.removesuffix("index.html"), hashes[name]] for name in names]
        return {"files": files, "bytes": sum(packed[name] for name in names)}

    found = entries(shared)
    found["cranes"] = {id: {"name": names_of_cranes[id], **entries(names)} for id, names in cranes.items()}
    return found


def _publish(folder: Path, build: str, day: str, options: Options, listed: Mapping[str, Any]) -> None:
    """Write the list, the worker and, last, the version file."""
    content = json.dumps(listed, ensure_ascii=False, separators=(",", ":")).encode()
    fingerprint = _hash(content)
    name = f"offline/list.{fingerprint[:8]}.json"
    (folder / name).parent.mkdir(exist_ok=True)
    (folder / name).write_bytes(content)
    version = {"build": build, "day": day}
    wait = round(1000 * options.page_wait_seconds)
    constants = json.dumps({**version, "list": name, "listHash": fingerprint, "wait": wait})
    worker = folder / WORKER
    text = f"{_CONSTANTS}{constants};\n{worker.read_text(encoding='utf-8')}"
    (folder / PUBLISHED).write_text(text, encoding="utf-8")
    worker.unlink()
    (folder / LAST).write_text(json.dumps(version) + "\n", encoding="utf-8")


def faults(folder: Path) -> Iterator[str]:
    """What in a `folder` is not of the one build its version file names: every page says its build, every listed file
    has its hash, and all files together give the build its name."""
    try:
        version = json.loads((folder / LAST).read_text(encoding="utf-8"))
        head, _, worker = (folder / PUBLISHED).read_text(encoding="utf-8").partition(";\n")
        told = json.loads(head.removeprefix(_CONSTANTS))
        listed = json.loads((folder / told["list"]).read_text(encoding="utf-8"))
        groups = [listed["files"], *(crane["files"] for crane in listed["cranes"].values())]
        expected = {(folder / told["list"]).relative_to(folder).as_posix(): told["listHash"]}
        expected |= {_file(address): fingerprint for group in groups for address, fingerprint in group}
        if {name: told[name] for name in version} != version or not version["build"]:
            yield f"{PUBLISHED} is of another build than {LAST}"
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        yield f"{LAST}, {PUBLISHED} or the list of files cannot be read: {error}"
        return
    hashes = {WORKER: _hash(worker.encode())}
    for name in _names(folder):
        content = (folder / name).read_bytes()
        if expected.pop(name, None) not in (None, _hash(content)):
            yield f"{name} is not the file that is listed"
        if name.endswith(".html") and not _FRAMELESS.fullmatch(name):
            stamp = _STAMP.search(content)
            if not stamp or stamp[1].decode() != version["build"]:
                yield f"{name} is a page of another build"
            content = _STAMP.sub(f'data-build="{BUILD}"'.encode(), content, count=1)
        if name not in (LAST, PUBLISHED, told["list"]):
            hashes[name] = _hash(content)
    yield from (f"{name} is listed and is not there" for name in expected)
    if _name({name: hashes[name] for name in sorted(hashes, key=Path)}) != version["build"]:
        yield f"its files are not those that build {version['build']} has its name from"


def _file(address: str) -> str:
    """The file at an address of the list."""
    return f"{address}index.html" if address.endswith("/") or not address else address
