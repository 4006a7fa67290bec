"""Everything the site shows, made from the data folder and a day: pages, JSON files, texts of the frame."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from calc.checks import loader
from calc.data import days, folders
from calc.data.files import Errors as DataErrors
from calc.data.model import PROFILES, Data, Redirect
from hooks.building import seal
from hooks.building.seal import BUILD
from hooks.feed import data_page, feed
from hooks.fleet import Fleet, Setting
from hooks.guidance import training
from hooks.guidance.guidance import Guide, Lessons, guide, order
from hooks.jobs import jobs
from hooks.pages.crane import machines
from hooks.pages.plan import finder
from hooks.pages.rules import changes, profiles, rules
from hooks.pages.site import fault, glance, moved, offline, records, start
from hooks.pages.site.offline import manifest, save_button, settings
from hooks.store import Store
from hooks.text import addresses, words
from hooks.text.environment import Compiled, environment
from hooks.text.page import Head, Page, published, summary
from hooks.text.search import searched
from hooks.text.words import Words

__all__ = [
    "BUILD", "DataErrors", "Head", "Page", "Site", "day", "jobs", "manifest", "order", "settings", "site", "summary",
]  # fmt: skip


def day(environment: Mapping[str, str]) -> str:
    """The day everything is computed for: FIRMWRAP_DAY of the `environment`, or today in UTC.

    Errors: ValueError, saying what to write.
    """
    return days.of(environment, datetime.datetime.now(datetime.UTC))


@dataclass(frozen=True)
class Site:
    """Everything generated: what is known of every page, by address; what every frame says, what guidance quotes, all
    texts; the compiled templates, if any are kept.  Bodies and data files of cranes are many: they come from the
    `fleet` when they are asked for."""

    heads: Mapping[str, Head]
    frame: Mapping[str, Any]
    guide: Guide
    words: Words
    fleet: Fleet
    own: Mapping[str, str]  # bodies of the pages of no single crane
    own_files: Mapping[str, str]
    redirects: tuple[Redirect, ...]
    compiled: Compiled | None

    def body(self, address: str) -> str:
        """The ready body of a page."""
        if address in self.own:
            return self.own[address]
        crane = address.split("/")[1]  # machines/<id>/...
        return self.fleet.bodies(crane)[address]

    def searched(self, address: str, content: str) -> str:
        """What search keeps of a page, with the words people search by."""
        return searched(self.words, address, content)

    @property
    def pages(self) -> Iterator[Page]:
        """Every page, whole."""
        return (Page(**vars(head), html=self.body(address)) for address, head in self.heads.items())

    def files(self) -> Iterator[tuple[str, str]]:
        """Every data file: address, content."""
        yield from self.own_files.items()
        for id in self.fleet:
            yield from self.fleet.files(id).items()

    def wrong_addresses(self, written: Iterable[str]) -> list[str]:
        """What is wrong with the addresses that lead to other pages, given those of the hand-written pages."""
        generated = {address for address, head in self.heads.items() if head.moved_to is None}
        return list(moved.errors(self.redirects, generated.union(written)))

    def seal(self, folder: Path, whole_site_up_to_kb: int, page_wait_seconds: float) -> None:
        """Finish the site that was built into `folder`, with the settings of its copy on a phone."""
        options = seal.Options(whole_site_up_to_kb, page_wait_seconds)
        names = {id: self.heads[f"{addresses.CRANES}{id}/"].title for id in self.fleet}
        seal.seal(folder, self.frame["day"], options, names, partial(save_button, self.words))


def site(
    folder: Path,
    day: str,
    address: str | None = None,
    faults_to: str | None = None,
    cache: Path | None = None,
    profile: str | None = None,
    feed_id: str | None = None,
    processes: int = 1,
) -> Site:
    """All that is generated from one data folder on one day, to be published at `address`; reports of faults go to
    `faults_to`, `feed_id` is the lasting name of the feed of changes.  What is made of each crane is kept in the folder
    `cache`, if there is one, for the next build.  A `profile` counts instead of the one the data folder names.
    Up to so many `processes` make cranes at once.

    Errors: DataErrors with every error of the data, located.
    """
    data = loader.load(folder, profile).at(day)
    texts = words.load()
    compiled = Compiled(cache / "templates") if cache else None
    env = environment(texts, compiled)
    home = published(address)
    setting, kept = Setting(env, texts, day, home), Store(cache)
    fleet = Fleet(folder, data, setting, kept)
    lessons = Lessons(data, fleet) if folders.teaches(folder) else _lessons(data, setting, kept)
    kept.keep_only([*fleet.kept(), *lessons.told.kept()])
    fleet.make(processes)
    cranes = glance.in_order([fleet.glance(id) for id in fleet])
    first = [
        start.page(env, texts, data, cranes, day),
        machines.index(env, texts, data),
        glance.page(env, texts, cranes, day),
    ]
    begun = changes.told(data, fleet.moves(), day)
    last = [
        *rules.pages(env, texts, data, day, home),
        profiles.page(env, texts, data, day),
        changes.page(env, texts, begun, bool(feed_id)),
        data_page.page(env, texts, data, fleet.simplest()),
        fleet.checked(),
        *training.pages(env, texts, lessons.data, data, day, home),
        offline.page(env, texts, day),
        records.page(env, texts),
        *filter(None, [fault.page(env, texts, data, day, faults_to)]),
    ]
    heads = {page.address: page.head() for page in first}
    heads |= {head.address: head for id in fleet for head in fleet.heads(id)}
    heads |= {page.address: page.head() for page in last}
    old = moved.pages(env, texts, data.redirects)
    heads = {page.address: page.head() for page in old} | heads  # a page comes before what would take its address
    frame = {
        "day": day,
        "demonstration": all(m.status == "demonstration" for m in data.machines.values()),
        "units": data.profile.units,
        "words": texts.get("frame"),
    }
    to_choose_from = [fleet.finder(id) for id, machine in data.machines.items() if machine.status != "draft"]
    files = feed.files(data, [one.row for one in cranes], day) | finder.file(texts, to_choose_from)
    if feed_id:
        files[changes.FEED] = changes.atom(texts, begun, day, feed_id, home)
    own = {page.address: page.html for page in (*old, *first, *last)}
    hand_written = guide(env, texts, data, lessons, heads, day, home)
    return Site(heads, frame, hand_written, texts, fleet, own, files, data.redirects, compiled)


def _lessons(data: Data, setting: Setting, kept: Store) -> Lessons:
    """The teaching fleet for the site of another one, under the profile of its `data` and the rulebook as it ships."""
    profile = next(name for name, each in PROFILES.items() if each == data.profile)
    teaching = loader.load(folders.SHIPPED, profile).at(setting.day)
    return Lessons(teaching, Fleet(folders.SHIPPED, teaching, setting, kept))
