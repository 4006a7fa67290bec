"""Every crane of the site, one at a time: what is computed of it, and the pages and files made from that.

What is made of one crane rests on its own data, on yards, rules and tables, on the code and on the arguments of the
build; `Data.of` takes everything of other cranes away.  The keys in the store are digests of all that, so a build after
a change makes only what the change can reach, whatever pages there are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import BrokenExecutor, as_completed
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from jinja2 import Environment

from calc import ROOT
from calc.changes import ahead, record
from calc.data import folders, look_up
from calc.data.model import Data, Machine
from calc.winding import plan_data
from hooks import computed, jobs, store
from hooks.computed import Planned, Told
from hooks.feed import data_page, feed
from hooks.pages.crane import machines
from hooks.pages.drum import drum_state, lifts, work
from hooks.pages.plan import briefing, finder, plan, sheet, working
from hooks.pages.rope import new_rope, rope, rope_log, shortening, worksheet
from hooks.pages.rules import checked
from hooks.pages.site import glance, onefile
from hooks.text import addresses
from hooks.text.environment import Compiled, environment
from hooks.text.page import Head, Page
from hooks.text.words import Words

COMPUTES = ("calc", "rules/schema", "hooks/computed.py")  # what a computed number may come from
SHOWS = (*COMPUTES, "hooks", "docs/assets")  # and what is shown of it
CASES = "tests/cases"  # what the numbers are checked by


@dataclass(frozen=True)
class Setting:
    """What is the same for every crane: texts and templates, the day, the address the site is published at."""

    env: Environment
    words: Words
    day: str
    home: str | None

    def __reduce__(self) -> tuple[Callable[..., Setting], tuple[Compiled | None, Words, str, str | None]]:
        """In another process the templates are read, not copied."""
        compiled = self.env.bytecode_cache
        assert compiled is None or isinstance(compiled, Compiled)
        return _setting, (compiled, self.words, self.day, self.home)


def _setting(compiled: Compiled | None, words: Words, day: str, home: str | None) -> Setting:
    return Setting(environment(words, compiled), words, day, home)


class Fleet(Mapping[str, Told]):
    """The cranes of the `data` read from `folder`: by id what is told of each; its plans, pages and files."""

    def __init__(self, folder: Path, data: Data, setting: Setting, kept: store.Store) -> None:
        self._data, self._setting, self._store = data, setting, kept
        self._keys = keys(folder, data, setting)

    def kept(self) -> list[str]:
        """The keys of everything that is kept of it."""
        return [*self._keys.computed.values(), *self._keys.shown.values(), self._keys.common]

    def __getitem__(self, id: str) -> Told:
        told: Told = self._part(id)[1]
        return told

    def __iter__(self) -> Iterator[str]:
        return iter(self._data.machines)

    def __len__(self) -> int:
        return len(self._data.machines)

    def make(self, count: int) -> None:
        """Make what is not kept yet, each crane in one of up to `count` processes, those with most plans first.

        Nothing else depends on it: what is not made here is made when it is asked for, to the same bytes.
        """
        days = record.starts(self._data)
        missing = [id for id in self if not all(self._store.has(key, part) for key, part in self._parts(id, days))]
        missing.sort(key=lambda id: -sum(len(one.charts) for one in self._data.machines[id].configurations))
        if min(count, len(missing)) < 2:
            return
        with suppress(BrokenExecutor), jobs.pool(min(count, len(missing))) as pool:  # killed: the rest is made later
            waiting = {}
            for id in missing:
                known = self._part(id) if self._store.has(self._keys.computed[id], "computed") else None
                waiting[pool.submit(_made, self._setting, self._data.of(id), id, days, known)] = id
            for done in as_completed(waiting):
                keys = self._parts(waiting[done], days)
                for (key, part), value in zip(keys, done.result(), strict=True):
                    self._store.put(key, part, value)

    def _parts(self, id: str, days: tuple[str, ...]) -> list[tuple[str, str]]:
        """Key and name of everything that is made of one crane."""
        computed, shown = self._keys.computed[id], self._keys.shown[id]
        return [(computed, "computed"), (computed, _moves_of(days)), *((shown, part) for part in PARTS)]

    def plans(self, id: str) -> list[Planned]:
        """Every boom length of every configuration of one crane, with its plan."""
        made: list[Planned] = self._part(id)[0]
        return made

    def moves(self) -> Mapping[str, Mapping[str, ahead.Moves]]:
        """By crane and day what moves among its plans on each day on which something begins."""
        days = record.starts(self._data)
        return {id: self._moves(id, days) for id in self}

    def _moves(self, id: str, days: tuple[str, ...]) -> Mapping[str, ahead.Moves]:
        part = _moves_of(days)

        def make() -> Mapping[str, Any]:
            return {part: moving(self._data.of(id), self.plans(id), days)}

        found: Mapping[str, ahead.Moves] = self._store.get(self._keys.computed[id], part, make)
        return found

    def checked(self) -> Page:
        """The page of every value from outside, which rests on no crane."""

        def make() -> Mapping[str, Any]:
            here = self._setting
            return {"checked": checked.page(here.env, here.words, self._data.rules, here.day, site=here.home)}

        found: Page = self._store.get(self._keys.common, "checked", make)
        return found

    def heads(self, id: str) -> tuple[Head, ...]:
        """What is known of the pages of one crane without their bodies."""
        found: tuple[Head, ...] = self._show(id, "heads")
        return found

    def bodies(self, id: str) -> Mapping[str, str]:
        """The bodies of the pages of one crane, by address."""
        found: Mapping[str, str] = self._show(id, "bodies")
        return found

    def finder(self, id: str) -> Mapping[str, Any]:
        """One crane in the finder."""
        found: Mapping[str, Any] = self._show(id, "finder")
        return found

    def glance(self, id: str) -> glance.Glance:
        """One crane at a glance."""
        found: glance.Glance = self._show(id, "glance")
        return found

    def simplest(self) -> Iterator[Planned]:
        """Of each crane the plan that is the shortest to compute by hand, where there is one."""
        return filter(None, (self._show(id, "simplest") for id in self))

    def files(self, id: str) -> Mapping[str, str]:
        """The files about one crane, by address."""
        found: Mapping[str, str] = self._show(id, "files")
        return found

    def _part(self, id: str) -> tuple[list[Planned], Told]:
        alone = self._data.of(id)
        found: tuple[list[Planned], Told] = self._store.get(
            self._keys.computed[id],
            "computed",
            lambda: {"computed": compute(alone, alone.machines[id], self._setting.day)},
        )
        return found

    def _show(self, id: str, part: str) -> Any:
        def make() -> Mapping[str, Any]:
            plans, told = self._part(id)
            return parts_shown(self._setting, self._data.of(id), plans, told)

        return self._store.get(self._keys.shown[id], part, make)


def _made(
    setting: Setting, data: Data, id: str, days: tuple[str, ...], known: tuple[list[Planned], Told] | None
) -> list[Any]:
    """Everything that is made of one crane, in the order of `Fleet._parts`; what is `known` is not computed again."""
    plans, told = known or compute(data, data.machines[id], setting.day)
    of_it = parts_shown(setting, data, plans, told)
    return [(plans, told), moving(data, plans, days), *(of_it[part] for part in PARTS)]


def _moves_of(days: tuple[str, ...]) -> str:
    """Name of the part that holds the moves; days on which others begin are no part of the key."""
    return f"moves-{store.digest(days)[:16]}"


def moving(data: Data, plans: list[Planned], days: tuple[str, ...]) -> Mapping[str, ahead.Moves]:
    """What moves among the `plans` of one crane on each of the `days`."""
    made = ahead.known(plans)
    return {day: ahead.moves(data, day, made) for day in days}


PARTS = ("heads", "bodies", "files", "finder", "simplest", "glance")  # what is shown of one crane


def parts_shown(setting: Setting, data: Data, plans: list[Planned], told: Told) -> Mapping[str, Any]:
    """What is shown of one crane, by the names in PARTS."""
    pages, files = shown(setting, data, plans, told)
    return {
        "heads": tuple(page.head() for page in pages),
        "bodies": {page.address: page.html for page in pages},
        "files": files,
        "finder": finder.crane(setting.words, told.machine, plans),
        "simplest": data_page.simplest(plans),
        "glance": glance.crane(setting.words, data, plans, told, setting.day),
    }


@dataclass(frozen=True)
class Keys:
    """By crane the key of what is computed of it and of what is shown of it; the key of what rests on no crane."""

    computed: Mapping[str, str]
    shown: Mapping[str, str]
    common: str


def keys(folder: Path, data: Data, setting: Setting) -> Keys:
    """The keys of everything that is kept."""
    places = [folders.place(folder, name) for name in folders.READ]
    read = [(path.relative_to(at.parent), content) for at in places for path, content in store.files(at).items()]
    installed = store.installed()
    site = [setting.day, data.profile.rulebook, data.profile.units]
    home = str(setting.home)

    def program(*places: str) -> str:
        files = store.files(*(ROOT / at for at in places))
        return store.digest([f"{path.relative_to(ROOT).as_posix()} {content}" for path, content in files.items()])

    def of(id: str) -> str:
        """Data of one crane, or of none."""
        others = data.machines.keys() - {id}
        mine = (
            f"{path.as_posix()} {content}"
            for path, content in read
            if path.parts[0] not in folders.OF_CRANES or path.name.partition(".")[0] not in others
        )
        return store.digest(mine)

    computes, shows, cases = program(*COMPUTES), program(*SHOWS), program(CASES)
    rests_on = {id: of(id) for id in data.machines}
    return Keys(
        {id: store.digest([id, *site, *installed, computes, rests_on[id]]) for id in data.machines},
        {id: store.digest([id, *site, home, *installed, shows, rests_on[id]]) for id in data.machines},
        store.digest([*site, home, *installed, shows, cases, of("")]),
    )


def compute(data: Data, machine: Machine, day: str) -> tuple[list[Planned], Told]:
    """Every plan of one crane, and what else is told of it."""
    made: list[Planned] = []
    for configuration in machine.configurations:
        for chart in configuration.charts:
            case = look_up.case(data, machine.id, chart.slug, configuration.id, day)
            made.append(Planned(case, plan_data.plan(case)))
    return made, computed.told(data, machine, made, day)


def shown(setting: Setting, data: Data, made: list[Planned], told: Told) -> tuple[list[Page], dict[str, str]]:
    """Every page of one crane and every file about it, by address."""
    env, words, machine = setting.env, setting.words, told.machine
    pages = [machines.page(env, words, data, told, made)]
    files = feed.of_crane(data, made, told)
    standing = [(planned, None) for planned in made]
    for planned, partial in filter(None, [*standing, drum_state.asked(words, told)]):
        whole = plan.page(env, words, data, planned, setting.home, partial)
        notes = partial.notes if partial else ()
        pages += [whole, briefing.page(env, words, data, planned, whole, setting.home, *notes)]
        pages += filter(None, [sheet.page(env, words, planned, whole, *notes)])
        behind = working.page(env, words, data, planned, whole, setting.home, partial)
        pages.append(behind)
        files |= onefile.file(env, whole, behind, machine, setting.home, setting.day)
    about = (
        *(drum_state.page, rope.page, worksheet.page, rope_log.page, shortening.page, new_rope.page),
        work.page,
    )
    pages += [page(env, words, data, told) for page in about]
    pages += lifts.pages(env, words, data, told)
    return [_framed(words, machine, made, page) for page in pages], files


def _framed(words: Words, machine: Machine, made: list[Planned], page: Page) -> Page:
    """A page of a crane with what its frame says: the crane with the boom length, and the configuration or the page."""
    within = [planned for planned in made if page.address.startswith(planned.address)]
    below = page.address.removeprefix(addresses.crane(machine)).split("/")
    name, demonstration = machine.name, machine.status == "demonstration"
    if within:
        case = max(within, key=lambda planned: len(planned.address)).case
        whole = addresses.plan(machine, case.configuration.id, case.chart.slug)
        what = f"{name} - {plan.listed(machine, case.chart.boom_length)}"
        in_hand = below[-2] in ("briefing", "sheet")
        header, part, opened = (what, case.configuration.name), None if in_hand else "plan", whole
    elif below == [""]:
        header, part, opened = (name, words.get(f"common.kinds.{machine.kind}").capitalize()), "plan", ""
    else:
        header = (name, words.get(f"frame.parts.{below[0]}"))
        part, opened = below[0] if below[0] in ("drum", "rope", "log") else "", ""
        part = None if below[-2] in ("briefing", "sheet") else part
    header = page.header if any(page.header) else header
    return replace(page, header=header, demonstration=demonstration, part=part, plan=opened)
