"""Heavy lifts of a crane as pages: which boom, then for each load the falls to lift on, out to which radius, and what
the lift bears on, as the log of the rope left it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data.model import Case, Data, Machine
from calc.winding import plan_fields
from hooks.computed import Planned, Told
from hooks.pages.drum.drum_state import falls, in_few_words, place
from hooks.pages.plan import plan as plans
from hooks.text import addresses
from hooks.text.environment import bare, both, metres, render, rope, share
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

Lift = Mapping[str, Any]
ROWS = ("reeved", "fewest", "most")
LENGTHS, PER_MINUTE = both(rounding.Pair("m", "ft")), both(rounding.Pair("m/min", "ft/min"))  # in heads of columns


@dataclass(frozen=True)
class Row:
    """One load: all of it, the lift on the falls that are advised, its hook block, the most falls that cost no time
    (None: not even the fewest are limited by power)."""

    of: Lift
    lift: Lift
    block: str
    no_time_up_to: int | None

    @property
    def compared(self) -> list[tuple[list[str], Lift]]:
        """The falls that are compared, each once, with what they are: as reeved now, the fewest, the most."""
        rows = self.of["rows"]
        found: list[tuple[list[str], Lift]] = []
        for name in (*ROWS, "enough"):
            if rows[name] is None:
                continue
            same = next((names for names, row in found if _alike(row, rows[name])), None)
            if same is None:
                found.append(([name], rows[name]))
            else:
                same.append(name)
        return sorted(found, key=lambda each: int(each[1]["falls"]))

    @property
    def others(self) -> list[Lift]:
        """Every number of falls that lifts the load."""
        return [option for option in self.of["options"] if option["lift"]]

    @property
    def against(self) -> list[tuple[int, int, str]]:
        """What stands against the other falls: from so many to so many, what."""
        refused = [(option["falls"], option["refused"]) for option in self.of["options"] if option["refused"]]
        found = []
        for code, run in groupby(enumerate(refused), key=lambda each: (each[1][1], each[1][0] - each[0])):
            numbers = [number for _, (number, _) in run]
            found.append((numbers[0], numbers[-1], code[0]))
        return found


def _alike(row: Lift, other: Lift) -> bool:
    return bool((row["falls"], row["block"]) == (other["falls"], other["block"]))


@dataclass(frozen=True)
class Boom:
    """One boom length of one configuration: its lifts, address of its plan, up to where rope is firm after it (None:
    nowhere), re-reeving by falls, whether the boom stands so already, address of its JSON."""

    case: Case
    listed: str
    rows: list[Row]
    plan_address: str
    plan_firm_to: Mapping[str, Any] | None
    reeving: dict[int, Mapping[str, Any]]
    rigged: bool
    feed: str | None

    @property
    def slug(self) -> str:
        return self.case.chart.slug

    @property
    def heaviest(self) -> float | None:
        """The heaviest load listed [kg]."""
        return max((float(row.of["load_kg"]) for row in self.rows), default=None)


def pages(env: Environment, words: Words, data: Data, told: Told) -> list[Page]:
    """Heavy lifts of one crane: which boom, and a page for each boom length."""
    booms = sorted((boom(told, *each) for each in told.lifts), key=lambda one: one.case.chart.boom_length)
    by_length = [(slug, list(found)) for slug, found in groupby(booms, key=lambda one: one.slug)]
    cards = (_of_boom(env, words, data, told, found) for _, found in by_length)
    return [_first(env, words, data, told, by_length), *cards]


def address(machine: Machine, boom: str = "") -> str:
    """Where the heavy lifts of a `machine` stand, those with one `boom` length where it is given."""
    every = addresses.crane(machine, "lifts")
    return f"{every}{boom}/" if boom else every


def _first(env: Environment, words: Words, data: Data, told: Told, booms: list[tuple[str, list[Boom]]]) -> Page:
    """Which boom, and what the words of the cards mean."""
    machine, at = told.machine, address(told.machine)
    every = [row for _, found in booms for one in found for row in one.rows]
    found = {row.of["verdict"]["code"]: row.of["verdict"]["rule"] for row in every}
    body = render(
        env,
        "lifts.html",
        root=root(at),
        machine=machine,
        told=told,
        drum=in_few_words(words, told),
        booms=booms,
        rigged=told.state["boom"] if told.state else None,
        boom_length=rounding.boom_length,
        listed_mass=rounding.listed_mass,
        falls=lambda number: falls(words, number),
        verdicts=[(code, data.rules[found[code]]) for code in words.get("drum.lifts.verdict_text") if code in found],
        rules=data.rules,
    )
    return Page(
        address=at,
        title=words.get("drum.lifts.title").format(machine=machine.name),
        description=words.get("drum.lifts.description").format(machine=machine.name),
        search_text=words.get("drum.lifts.search").format(machine=machine.name),
        toc=headings(body),
        html=body,
    )


def _of_boom(env: Environment, words: Words, data: Data, told: Told, booms: list[Boom]) -> Page:
    """The cards of one boom length, a configuration after the other."""
    machine, listed = told.machine, booms[0].listed
    at = address(machine, booms[0].slug)
    body = render(
        env,
        "lifts-boom.html",
        root=root(at),
        machine=machine,
        told=told,
        booms=booms,
        here=address(machine),
        boom_length=rounding.boom_length,
        listed_mass=rounding.listed_mass,
        length=both(rounding.boom_length(booms[0].case.chart.boom_length)),
        falls=lambda number: falls(words, number),
        anchor=lambda row: f"{row.of['configuration']}-{load_name(row.of['load_kg'], machine.units).replace('.', '-')}",
        place=lambda at: place(words, at["layer"], at["wrap"], "down"),
        bed=lambda lift, due: bed_in_words(words, lift, due),
        card=lambda row: sentences(words, row),
        rules=data.rules,
        ratio=rounding.ratio,
        hook_speed=hook_speed,
        columns=(("falls", ""), ("radius", LENGTHS), ("pull", ""), ("speed", PER_MINUTE), ("bed", "")),
        lengths=LENGTHS,
    )
    return Page(
        address=at,
        title=words.get("drum.lifts.title_boom").format(machine=machine.name, boom=listed),
        description=words.get("drum.lifts.description_boom").format(machine=machine.name, boom=listed),
        search_text=words.get("drum.lifts.search_boom").format(machine=machine.name),
        toc=headings(body),
        html=body,
        indexed=False,
    )


def hook_speed(metres_per_second: float) -> Markup:
    """A hook speed without its unit, which stands in the head of its column.

    >>> hook_speed(0.0727)
    Markup('<x-m>4.3</x-m><x-u>14.0</x-u>')
    """
    return bare(both(rounding.hook_speed(metres_per_second, "down")))


def bed_in_words(words: Words, lift: Lift, due: bool) -> Markup:
    """What a `lift` bears on, in a word or two; `due` where all of the rope is."""
    bed = lift["bed"]
    if bed is None:
        return words.say("drum.lifts.verdict.no-log")
    if due:
        return words.say("drum.lifts.verdict.all-due")
    if not bed["firm"]:
        return words.say("drum.lifts.verdict.loose-bed", loose=rope(bed["loose_m"], "up"))
    return words.say(f"drum.lifts.verdict.{'loose-bottom' if bed['unreached_loose_m'] else 'firm-bed'}")


@dataclass(frozen=True)
class Sentences:
    """What a card says beside its numbers; None where there is nothing to say."""

    why: Markup  # these falls are advised
    reeved: Markup  # what is reeved now, and what to change
    change: Markup | None  # what the change costs
    reach: Markup | None  # where the bed is firm
    gain: Markup | None  # more falls against fewer


def sentences(words: Words, row: Row) -> Sentences:
    """The sentences of one card."""
    of, change = row.of, row.of["re_reeving"]
    cost = None
    if of["rows"]["reeved"] is None:
        reeved = words.say("drum.lifts.card.not_known")
    elif change is None:
        reeved = words.say("drum.lifts.card.reeved")
    else:
        reeved = words.say("drum.lifts.card.change", falls=falls(words, change["from_falls"]))
        cost = words.say(
            "drum.lifts.card.cost",
            minutes=rounding.whole_minutes(change["minutes"]),
            lost=rope(change["boom_lowered"]["firm_lost_m"], "up"),
            up=rope(change["boom_up"]["firm_lost_m"], "up"),
        )
    return Sentences(
        why=words.say(f"ready.why.{of['why']}", little=share(of["little_line_pull"], "near")),
        reeved=reeved,
        change=cost,
        reach=_reach(words, row.lift) if row.lift["bed"] and of["verdict"]["code"] != "all-due" else None,
        gain=_gain(words, of) if of["gain"] is not None else None,
    )


def _reach(words: Words, lift: Lift) -> Markup:
    """Out to where and up to which hook height the lift bears on firm rope."""
    bed = lift["bed"]
    if bed["firm"]:
        hook = metres(lift["pick"]["hook_height_m"] + bed["hook_reserve_m"], "down")
        return words.say("drum.lifts.card.hook", hook=hook)
    if bed["firm_out_to_m"] is None:
        return words.say("drum.lifts.card.never")
    return words.say("drum.lifts.card.out_to", radius=metres(bed["firm_out_to_m"], "down"))


def _gain(words: Words, of: Lift) -> Markup:
    gain, rows = of["gain"], of["rows"]
    shorter = gain["bed_m"] >= 0
    return words.say(
        "drum.lifts.card.gain",
        most=falls(words, rows["most"]["falls"]),
        fewest=rows["fewest"]["falls"],
        pull=share(gain["line_pull_share"], "down"),
        bed=words.say(
            f"drum.lifts.card.{'shorter' if shorter else 'longer'}",
            length=rope(abs(gain["bed_m"]), "down" if shorter else "up"),
        ),
        time=words.say(
            f"drum.lifts.card.{'saved' if gain['minutes'] > 0 else 'lost'}",
            minutes=rounding.whole_minutes(abs(gain["minutes"])),
        ),
    )


def load_name(kilograms: float, units: str) -> str:
    """A load as it stands in names and addresses, by the `units` of the data: metric or us.

    >>> load_name(40000.0, "metric"), load_name(2500.0, "metric"), load_name(18143.6948, "us")
    ('40t', '2.5t', '40000lb')
    """
    if units == "us":
        return f"{kilograms / rounding.KILOGRAMS_PER_POUND:.0f}lb"
    return f"{kilograms / 1000:g}t"


def boom(told: Told, case: Case, plan: plan_fields.Plan, lifts: Mapping[str, Any]) -> Boom:
    """One boom length ready for its page."""
    rows = [row(lift) for lift in lifts["lifts"]]
    planned = Planned(case, plan)
    best = planned.best
    first = addresses.first_configuration(case.machine, case.chart.slug) == case.configuration.id
    same = told.state is not None and case.chart.slug == told.state["boom"]
    changes = {
        each["falls"]: each["re_reeving"]
        for one in rows
        for each in one.of["rows"].values()
        if each and each["re_reeving"]
    }
    return Boom(
        case,
        plans.listed(case.machine, case.chart.boom_length),
        rows,
        planned.address,
        best["passes"][-1]["firm_to"] if best else None,
        dict(sorted(changes.items())),
        same or case.machine.kind == "telescopic",
        f"data/v1/ready/{case.machine.id}/{case.chart.slug}.json" if first else None,
    )


def row(lift: Lift) -> Row:
    """One load ready for its card."""
    chosen = lift["rows"][lift["advised"]]
    possible = [option for option in lift["options"] if option["lift"]]
    by_power = [option["falls"] for option in possible if option["lift"]["speed_limit"] == "power"]
    return Row(lift, chosen["lift"], chosen["block"], max(by_power, default=None))
