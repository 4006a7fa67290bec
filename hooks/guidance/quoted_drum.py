"""Numbers of a drum's state and of a heavy lift that a hand-written page may quote, by name, rounded as on their pages.

A state is named by its crane, "heron" as of the day of the site, or by a day of its log as well: "heron/2026-10-13" is
the drum after the last entry of that day, by the rules of the day of the site.  A lift is named by boom length, by
configuration where that is not the first, and by load: "bittern/54m/40t", "avocet/140ft/full-counterweight/40000lb".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.data.entries import Upkeep
from calc.data.model import Data
from calc.drum_log import state
from hooks.computed import Told
from hooks.guidance.quotes import Part, Quote, first, there
from hooks.pages.drum import drum_state, lifts
from hooks.text import addresses
from hooks.text.environment import both, mass, metres, rope, share, tenth_share, whole_minutes
from hooks.text.words import Words

State = Mapping[str, Any]


class States(Mapping[str, State]):
    """The state of every drum by name, read when it is asked for; one of an earlier day is computed then, once."""

    def __init__(self, data: Data, told: Mapping[str, Told], day: str) -> None:
        self._data, self._told, self._day = data, told, day
        self._found: dict[str, State] = {}
        self._names: list[str] = []
        for id in told:
            log = data.upkeep[id].log if id in data.upkeep else ()
            if days := dict.fromkeys(f"{id}/{entry.day}" for entry in log if entry.day <= day):
                self._names += [id, *days]

    def __getitem__(self, name: str) -> State:
        if name not in self._found:
            if name not in self._names:
                raise KeyError(name)
            machine, _, last = name.partition("/")
            if not last:
                return self._with_last(dict(self._told[machine].state or {}))
            log = tuple(entry for entry in self._data.upkeep[machine].log if entry.day <= last)
            upkeep = {**self._data.upkeep, machine: Upkeep(machine, log)}
            found = state.state(replace(self._data, upkeep=upkeep), machine, self._day)
            self._found[name] = self._with_last({**found, "day": last})
        return self._found[name]

    def _with_last(self, found: State) -> State:
        """With what the last entry of the log says was done."""
        last = found["log"][-1]["entry"]
        return {**found, "last": self._data.upkeep[found["machine"]].log[last].done}

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)


class Lifts(Mapping[str, lifts.Row]):
    """Every lift of the pages of heavy lifts by its names, read when it is asked for."""

    def __init__(self, told: Mapping[str, Told]) -> None:
        self._told = told

    def __getitem__(self, name: str) -> lifts.Row:
        return _by_name(self._told[name.partition("/")[0]])[name]

    def __iter__(self) -> Iterator[str]:
        for told in self._told.values():
            yield from _by_name(told)

    def __len__(self) -> int:
        return sum(1 for _ in self)


def _by_name(told: Told) -> dict[str, lifts.Row]:
    """The lifts of one crane."""
    found = {}
    for case, _, made in told.lifts:
        boom = f"{case.machine.id}/{case.chart.slug}"
        first = addresses.first_configuration(case.machine, case.chart.slug) == case.configuration.id
        for lift in made["lifts"]:
            row, load = lifts.row(lift), lifts.load_name(lift["load_kg"], case.machine.units)
            found[f"{boom}/{case.configuration.id}/{load}"] = row
            if first:
                found[f"{boom}/{load}"] = row
    return found


# A state is a Part: a quote is Missing where there is no such part: no plan, no loose rope, other falls.
OF_STATE: dict[str, Quote] = {
    "boom": lambda found, words: both(rounding.boom_length(found["boom_length_m"])),
    "falls": lambda found, words: drum_state.falls(words, found["falls"]),
    "last_day": lambda found, words: found["log"][-1]["day"],
    "last_entry": lambda found, words: drum_state.said(found["last"], words),
    "on_drum": lambda found, words: rope(found["rope_on_drum_m"], "near"),
    "loose": lambda found, words: rope(drum_state.loose_on_drum(found), "up"),
    "least_tension": lambda found, words: _of_rated(found, _least_tension(found)),
    "firm_tension": lambda found, words: tenth_share(found["firm_tension_n"] / found["rated_line_pull_n"], "near"),
    "firm_to": lambda found, words: drum_state.firm_to(words, found["firm"]),
    "firm_rope": lambda found, words: rope(found["firm"]["rope_m"][1], "down"),
    "ready_from": lambda found, words: drum_state.falls(words, found["firm_from_falls"]),
    "deepest": lambda found, words: drum_state.place(words, found["depth"]["layer"], found["depth"]["wrap"], "down"),
    "deepest_rope": lambda found, words: rope(found["depth"]["rope_m"], "down"),
    "plan_boom": lambda found, words: found["plan"]["boom"],
    "plan_falls": lambda found, words: drum_state.falls(words, found["plan"]["falls"]),
    "plan_load": lambda found, words: mass(found["plan"]["load_kg"], "up"),
    "plan_passes": lambda found, words: found["plan"]["passes"],
    "plan_minutes": lambda found, words: whole_minutes(found["plan"]["minutes"]),
    "plan_ready_from": lambda found, words: drum_state.falls(words, found["plan"]["ready_for_falls"]),
}
OF_LIFT: dict[str, Quote] = {
    "load": lambda row, words: mass(Part(row.of)["load_kg"], "near"),
    "falls": lambda row, words: drum_state.falls(words, Part(row.of)["falls"]),
    "radius": lambda row, words: metres(Part(row.lift)["radius_m"], "near"),
    "pull": lambda row, words: share(Part(row.lift)["line_pull_share"], "up"),
    "speed": lambda row, words: both(rounding.hook_speed(Part(row.lift)["hook_speed_m_per_s"], "down")),
    "bed": lambda row, words: rope(Part(row.lift)["pick"]["rope_on_drum_m"], "up"),
    "loose": lambda row, words: rope(Part(row.lift)["bed"]["loose_m"], "up"),
    "ratio_now": lambda row, words: rounding.ratio(Part(row.lift)["bed"]["pull_to_bed"], "up"),
    "ratio_firm": lambda row, words: rounding.ratio(Part(row.lift)["pull_to_firm_bed"], "up"),
    "no_time_up_to": lambda row, words: drum_state.falls(words, there(row.no_time_up_to)),
    "firm_kept": lambda row, words: rope(Part(row.of)["re_reeving"]["boom_lowered"]["rope_on_drum_m"], "down"),
    "firm_lost": lambda row, words: rope(Part(row.of)["re_reeving"]["boom_lowered"]["firm_lost_m"], "up"),
    "firm_lost_boom_up": lambda row, words: rope(Part(row.of)["re_reeving"]["boom_up"]["firm_lost_m"], "up"),
}


def _least_tension(found: Part) -> float:
    """The least tension of any loose rope [N]."""
    tensions = sorted(one["tension_n"][0] for one in found["loose"])
    return float(first(iter(tensions)))


def _bed(falls: int, part: str, found: Part, words: Words) -> Markup:
    return rope(first(bed[part] for bed in found["beds"] if bed["falls"] == falls), "up")


def _with(falls: int, row: lifts.Row) -> Part:
    """The lift on another number of falls."""
    found: Part = first(option["lift"] for option in Part(row.of)["options"] if option["falls"] == falls)
    return found


def _pull(falls: int, row: lifts.Row, words: Words) -> Markup:
    return share(_with(falls, row)["line_pull_share"], "up")


def _speed(falls: int, row: lifts.Row, words: Words) -> Markup:
    return both(rounding.hook_speed(_with(falls, row)["hook_speed_m_per_s"], "down"))


def _loose(falls: int, row: lifts.Row, words: Words) -> Markup:
    return rope(_with(falls, row)["bed"]["loose_m"], "up")


FALLS = range(1, 13)
OF_STATE |= {f"bed_{falls}": partial(_bed, falls, "bed_m") for falls in FALLS}
OF_STATE |= {f"loose_{falls}": partial(_bed, falls, "loose_m") for falls in FALLS}
OF_LIFT |= {f"pull_{falls}": partial(_pull, falls) for falls in FALLS}
OF_LIFT |= {f"speed_{falls}": partial(_speed, falls) for falls in FALLS}
OF_LIFT |= {f"loose_{falls}": partial(_loose, falls) for falls in FALLS}


def _of_rated(found: Part, tension: float) -> Markup:
    return tenth_share(tension / found["rated_line_pull_n"], "down")
