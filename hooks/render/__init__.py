"""Everything the site shows, made from the data folder and a day: pages, JSON files, texts of the frame.

May import: calc, the page kinds of this package.  Must not know: MkDocs, the clock, the environment.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from calc import check, contract
from calc.files import Errors as DataErrors
from calc.model import Case, Data
from hooks.render import (
    briefing,
    checked,
    data_page,
    drum_state,
    fault,
    feed,
    finder,
    lifts,
    machines,
    offline,
    onefile,
    plan,
    records,
    rules,
    sheet,
    start,
    upkeep,
    words,
    work,
)
from hooks.render.environment import environment
from hooks.render.guidance import Guide, guide, order
from hooks.render.offline import manifest, save_button, settings
from hooks.render.page import Page, published, summary
from hooks.render.words import Words

__all__ = ["DataErrors", "Page", "Site", "manifest", "order", "save_button", "settings", "site", "summary"]


@dataclass(frozen=True)
class Site:
    """Everything generated: pages, data files by address, what every frame says, what guidance quotes, all texts."""

    pages: tuple[Page, ...]
    files: Mapping[str, str]
    frame: Mapping[str, Any]
    guide: Guide
    words: Words


def site(folder: Path, day: str, address: str | None = None, faults_to: str | None = None) -> Site:
    """All that is generated from one data folder on one day, to be published at `address`; reports of faults go to
    `faults_to`.

    Errors: DataErrors with every error of the data, located.
    """
    data = check.load(folder)
    texts = words.load()
    env = environment(texts)
    made = _plans(data, day)
    home = published(address)
    saved: dict[str, str] = {}
    told: dict[str, upkeep.Told] = {}
    pages = [start.page(env, texts, data, day), machines.index(env, texts, data)]
    for machine in data.machines.values():
        mine = [(case, found) for case, found in made if case.machine is machine]
        told[machine.id] = drum = upkeep.told(data, machine, mine, day)
        pages.append(machines.page(env, texts, data, drum, mine))
        standing = [(case, found, None) for case, found in mine]
        for case, found, partial in filter(None, [*standing, drum_state.asked(texts, drum)]):
            whole = plan.page(env, texts, data, case, found, partial)
            notes = partial.notes if partial else ()
            pages += [whole, briefing.page(env, texts, data, case, found, whole, home, *notes)]
            pages += filter(None, [sheet.page(env, texts, data, case, found, whole, *notes)])
            saved |= onefile.file(env, whole, machine.units, home, day)
        about = (drum_state.page, work.page, lifts.page)
        pages += filter(None, (page(env, texts, data, drum) for page in about))
    pages += rules.pages(env, texts, data, day)
    pages.append(data_page.page(env, texts, data, made))
    pages.append(checked.page(env, texts, data.rules, day))
    pages.append(offline.page(env, texts, day))
    pages.append(records.page(env, texts))
    pages += filter(None, [fault.page(env, texts, data, day, faults_to)])
    frame = {
        "day": day,
        "demonstration": any(m.status == "demonstration" for m in data.machines.values()),
        "words": texts.get("frame"),
    }
    files = {**feed.files(data, made, told, day), **finder.file(texts, data, made), **saved}
    return Site(tuple(pages), files, frame, guide(env, texts, data, made, told, pages, day), texts)


def _plans(data: Data, day: str) -> list[tuple[Case, Mapping[str, Any]]]:
    """Every boom length of every configuration of every machine, with its plan."""
    found: list[tuple[Case, Mapping[str, Any]]] = []
    for machine in data.machines.values():
        for configuration in machine.configurations:
            for chart in configuration.charts:
                case = check.case(data, machine.id, chart.slug, configuration.id, day)
                found.append((case, contract.plan(case)))
    return found
