"""The state of a drum as a page: ready as rigged or not, how deep it is firm, why, and the plan that mends it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import singledispatch
from itertools import groupby
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data.entries import Done, Entry, Jump, NewRope, PreTensioning, ReReeving, Shortening, Unwinding, Work
from calc.data.model import Case, Data, Rule
from calc.drum_log.drum_fields import DrumState, Firm
from calc.drum_log.state import all_due
from hooks.computed import Planned, Told
from hooks.figures import state as figures
from hooks.pages.drum import drum_fit
from hooks.pages.plan import plan as plans
from hooks.text import addresses
from hooks.text.environment import NO_BREAK, both, force, metres, render, rope, tenth_share
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

State = DrumState


@dataclass(frozen=True)
class Why:
    """One rule that makes winding firm due, and what in the log does so: (entry, loose stretch or None for all)."""

    rule: Rule
    causes: tuple[tuple[int, str, Mapping[str, Any] | None], ...]


def plan_address(told: Told) -> str | None:
    """Where the plan stands that the state names: the standing plan, or a page of its own."""
    if told.plan is None:
        return None
    if told.plan.standing:
        return told.plan.planned.address
    return f"{addresses.crane(told.machine, 'drum')}plan/"


def verdict(told: Told) -> str:
    """What the log comes to: firm, other (ready as rigged, not on fewer falls), slipped (only the wraps that slipped at
    the last landing are loose), due, all, unreeved; no-log or later where it says nothing."""
    state = told.state
    if state is None:
        return str(told.without)
    if all_due(state["reasons"]):
        return "all"
    if state["due"]:
        return "due"
    if state["as_rigged"] is None:
        return "unreeved"
    if not state["as_rigged"]["ready"]:
        return "slipped"
    return "other" if state["reasons"] else "firm"


def in_few_words(words: Words, told: Told) -> Markup:
    """The verdict for a tile that leads to its page."""
    return words.say(f"drum.verdicts.{verdict(told)}")


@dataclass(frozen=True)
class NextStep:
    """What to do first about a drum: its words, and the address where it is done."""

    text: Markup
    address: str


def next_step(words: Words, told: Told) -> NextStep:
    """What to do first: the plan that the state names, else the drum where something is due, else the next lift."""
    at, named = plan_address(told), told.state and told.state["plan"]
    if told.plan is not None and named and at is not None:
        boom = both(rounding.boom_length(told.plan.case.chart.boom_length))
        minutes = rounding.whole_minutes(named["minutes"])
        return NextStep(words.say("drum.next.plan", boom=boom, minutes=minutes), at)
    if told.state is None or told.state["reasons"]:
        return NextStep(words.say("drum.next.drum"), addresses.crane(told.machine, "drum"))
    return NextStep(words.say("drum.next.lift"), addresses.crane(told.machine, "lifts"))


def in_one_line(words: Words, told: Told) -> Markup:
    """The verdict, and how deep the drum is firm."""
    few, state = in_few_words(words, told), told.state
    if state is None:
        return words.say("drum.one_line.verdict", verdict=few)
    if not state["firm"]:
        return words.say("drum.one_line.loose", verdict=few)
    return words.say("drum.one_line.firm", verdict=few, place=firm_to(words, state["firm"]))


def firm_to(words: Words, firm: Firm) -> Markup:
    """The outermost firm wrap of a drum."""
    return place(words, firm["layer"][1], firm["wrap"][1], "down")


def _rigged(words: Words, state: State) -> dict[str, Any]:
    """What the headline says of the crane as it stands."""
    rigged, firm = state["as_rigged"], state["firm"]
    said: dict[str, Any] = {"boom": both(rounding.boom_length(state["boom_length_m"]))}
    if rigged is not None:
        said |= {
            "falls": falls(words, rigged["falls"]),
            "loose": rope(rigged["loose_m"], "up"),
            "radius": metres(rigged["radius_m"], "down"),
            "hook": metres(rigged["hook_height_m"], "down"),
        }
    if firm is not None:
        said |= {"firm": firm_to(words, firm), "rope": rope(firm["rope_m"][1], "down")}
    if state["firm_from_falls"]:
        said["fewest"] = falls(words, state["firm_from_falls"])
    return said


def page(env: Environment, words: Words, data: Data, told: Told) -> Page:
    """The state of one drum; without a log how to write one."""
    at = addresses.crane(told.machine, "drum")
    parts: dict[str, Any] = {}
    if told.state is not None:
        parts = _parts(words, data, told, told.state)
    body = render(
        env,
        "drum.html",
        root=root(at),
        machine=told.machine,
        told=told,
        verdict=verdict(told),
        rules=data.rules,
        falls=lambda number: falls(words, number),
        begins=data.upkeep[told.machine.id].log[0].day if told.without == "later" else None,
        **parts,
    )
    return Page(
        address=at,
        title=words.get("drum.state.title").format(machine=told.machine.name),
        description=words.get("drum.state.description").format(machine=told.machine.name),
        search_text=words.get("drum.state.search").format(machine=told.machine.name),
        toc=headings(body),
        html=body,
    )


def asked(words: Words, told: Told) -> tuple[Planned, plans.Partial] | None:
    """The plan that the state names, where it is not a standing plan, and what is other on its page."""
    if told.plan is None or told.plan.standing:
        return None
    case, state = told.plan.case, told.state
    assert state is not None
    partial = plans.Partial(
        address=f"{addresses.crane(told.machine, 'drum')}plan/",
        feed=f"data/v1/state/{told.machine.id}/plan.json",
        title=words.get("drum.plan.title").format(
            machine=told.machine.name, boom=plans.listed(told.machine, case.chart.boom_length)
        ),
        back=(addresses.crane(told.machine, "drum"), words.get("drum.links.drum")),
        notes=tuple(_notes(words, told, case)),
    )
    return told.plan.planned, partial


def _notes(words: Words, told: Told, case: Case) -> Iterator[Markup]:
    """What a plan made from the log reaches, what lies beneath it, and what to do first."""
    state = told.state
    assert state is not None
    if case.firm_below:
        assert state["depth"] is not None, "a plan reaches down to a loose wrap"
        deepest = place(words, state["depth"]["layer"], state["depth"]["wrap"], "down")
        yield words.say("drum.plan.reaches", place=deepest, day=state["day"])
        days = beneath(told, case.firm_below)
        if len(days) == 1:
            yield words.say("drum.plan.beneath", days=days[0])
        elif days:
            yield words.say("drum.plan.beneath_between", first=days[0], last=days[-1])
        if loose := unreached_loose(state):
            yield words.say("drum.plan.bottom", rope=rope(loose, "up"))
    if case.machine.rope.length != told.machine.rope.length:
        yield words.say("drum.plan.rope", length=rope(case.machine.rope.length, "down"))
    yield words.say("drum.plan.count")
    if case.firm_below:
        yield words.say("drum.plan.adds")


def loose_on_drum(state: State) -> float:
    """Rope that lies loose on the drum, less what may stay unreached [m]."""
    on_drum = state["rope_on_drum_m"]
    return sum((max(0.0, min(end, on_drum) - start) for start, end in (one["rope_m"] for one in state["loose"])), 0.0)


def unreached_loose(state: State) -> float:
    """Rope that lies loose where the rules let it stay unreached [m]."""
    return max((bed["unreached_loose_m"] for bed in state["beds"]), default=0.0)


def _parts(words: Words, data: Data, told: Told, state: State) -> dict[str, Any]:
    """What the page of a drum with a log shows."""
    may_stay = told.may_stay
    return {
        "state": state,
        "boom": rounding.boom_length(state["boom_length_m"]),
        "rigged": _rigged(words, state),
        "firm_share": state["firm_tension_n"] / state["rated_line_pull_n"],
        "loose_rope": loose_on_drum(state),
        "unreached_loose": unreached_loose(state),
        "why": list(_why(data, state)),
        "pieces": list(_in_whole_wraps(figures.pieces(state, may_stay))),
        "drawn": Markup(figures.svg(state, told.inputs, may_stay, words.texts)),
        "next_step": next_step(words, told),
        "last_entry": max(entry["day"] for entry in state["log"]),
        "log_of": f"{root(addresses.crane(told.machine, 'drum'))}{addresses.crane(told.machine, 'log')}",
        "lengths": both(rounding.Pair("m", "ft")),
        "days": {entry["entry"]: entry["day"] for entry in state["log"]},
        "notes": {entry["entry"]: entry["note"] for entry in state["log"]},
        "place": lambda where, side: place(words, where["layer"], where["wrap"], side),
        "edge": lambda stretch, end, side: place(words, stretch["layer"][end], stretch["wrap"][end], side),
        "fit": drum_fit.lines(words, drum_fit.fit(data, told.machine, told.inputs, state["day"])),
        "plan_address": plan_address(told),
        "of_rated": lambda newtons, side: tenth_share(newtons / state["rated_line_pull_n"], side),
        "spread": lambda newtons: spread(*(one / state["rated_line_pull_n"] for one in newtons)),
        "feed": f"data/v1/state/{told.machine.id}.json",
    }


def _why(data: Data, state: State) -> Iterator[Why]:
    """The reasons of a state, together by rule."""
    for rule, reasons in groupby(state["reasons"], key=lambda reason: reason["rule"]):
        yield Why(data.rules[rule], tuple((one["entry"], one["how"], one["stretch"]) for one in reasons))


def _in_whole_wraps(found: list[figures.Piece]) -> Iterator[tuple[figures.Piece, int, int]]:
    """Pieces with their first and last wrap as drawn."""
    at, layer = 0, 0
    for piece in found:
        at, layer = (at, layer) if piece.layer == layer else (0, piece.layer)
        end = figures.border(piece.state, piece.wraps[1])
        if end > at:
            yield piece, at, end
        at = end


def falls(words: Words, number: int) -> Markup:
    """A number of falls in words: "1 fall", "6 falls"."""
    return words.say("drum.falls_one") if number == 1 else words.say("drum.falls_many", number=number)


def place(words: Words, layer: int, wrap: float, side: str) -> Markup:
    """A place on the drum: "layer 3, wrap 17"."""
    return words.say("drum.place", layer=layer, wrap=rounding.wraps(wrap, side))


def spread(least: float, most: float) -> Markup:
    """Two shares as one text, rounded down: "2.3–12.0 %"; one number where both read alike.

    >>> spread(0.0231, 0.1204), spread(0.1, 0.10004)
    (Markup('2.3–12.0\\xa0%'), Markup('10.0\\xa0%'))
    """
    low, high = (tenth_share(share, "down") for share in (least, most))
    return high if low == high else Markup("{}–{}").format(low.rpartition(NO_BREAK)[0], high)


def beneath(told: Told, firm_below: float) -> list[str]:
    """The days on which the rope up to `firm_below` [m], above what may stay unreached, was laid, oldest first."""
    assert told.state is not None
    days = {entry["entry"]: entry["day"] for entry in told.state["log"]}
    laid = set()
    for layer in told.state["layers"]:
        start, end = layer["rope_m"]
        wrap = (end - start) / layer["wraps"]
        for run in layer["runs"]:
            middle = start + wrap * sum(run["wraps"]) / 2
            if told.may_stay < middle < firm_below:
                laid.add(days[run["entry"]])
    return sorted(laid)


# -- the log in words -------------------------------------------------------------------------------------------------


@singledispatch
def said(done: Done | Entry, words: Words) -> Markup:
    """What was done, in words; of an entry with its last day."""
    raise TypeError(f"{done} is no entry of a log")


@said.register
def _(entry: Entry, words: Words) -> Markup:
    done = said(entry.done, words)
    return done if entry.until is None else _joined(done, words.say("drum.entry.until", day=entry.until))


@said.register
def _(done: NewRope, words: Words) -> Markup:
    return words.say("drum.entry.new-rope", length=rope(done.length, "near"), tension=force(done.tension, "near"))


@said.register
def _(done: PreTensioning, words: Words) -> Markup:
    long, short = (both(rounding.boom_length(length)) for length in done.boom_length)
    wound = words.say(
        "drum.entry.pre-tensioning",
        load=both(rounding.logged_mass(done.load)),
        falls=falls(words, done.falls),
        boom=long if long == short else words.say("drum.entry.telescoped", long=long, short=short),
        start=metres(done.radius[0], "near"),
        end=metres(done.radius[1], "near"),
        before=place(words, *done.drum_before, "near"),
        after=place(words, *done.drum_after, "near"),
    )
    return _joined(wound, *_besides(words, done))


@said.register
def _(done: Work, words: Words) -> Markup:
    kind, many = "work" if done.load else "empty", done.largest_radius
    times = "work" if many else kind
    worked = words.say(
        f"drum.entry.worst.{kind}" if many else f"drum.entry.{kind}",
        times=words.say(f"drum.entry.{times}_times.{'one' if done.repeats == 1 else 'many'}", number=done.repeats),
        load=both(rounding.logged_mass(done.load)),
        falls=falls(words, done.falls),
        boom=both(rounding.boom_length(done.boom_length)),
        radius=metres(done.radius, "near"),
        largest=metres(many or done.radius, "near"),
        taken=metres(done.hook[0], "near"),
        left=metres(done.hook[1], "near"),
    )
    return _joined(worked, *_besides(words, done))


@said.register
def _(done: ReReeving, words: Words) -> Markup:
    reeved = words.say(
        "drum.entry.re-reeving",
        falls=falls(words, done.falls),
        boom=both(rounding.boom_length(done.boom_length)),
        block=done.block,
    )
    return _joined(reeved, *_besides(words, done))


def _besides(words: Words, done: Work | PreTensioning | ReReeving) -> Iterator[Markup]:
    """The configuration and the measured line pull, where they are written."""
    if done.configuration is not None:
        yield words.say("drum.entry.configuration", configuration=done.configuration)
    if not isinstance(done, ReReeving) and done.line_pull is not None:
        yield words.say("drum.entry.line_pull", pull=force(done.line_pull, "near"))


def _joined(*sentences: Markup) -> Markup:
    return Markup(" ").join(sentences)


@said.register
def _(done: Unwinding, words: Words) -> Markup:
    return words.say("drum.entry.unwinding", length=rope(done.length, "near"))


@said.register
def _(done: Jump, words: Words) -> Markup:
    return words.say("drum.entry.jump", layer=done.layer)


@said.register
def _(done: Shortening, words: Words) -> Markup:
    return words.say(f"drum.entry.shortening.{done.end}", length=metres(done.length, "near"))
