"""The plan page: everything about one crane with one boom length, read from the plan's own contract."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data import rulebook
from calc.data.model import Case, Chart, Configuration, Data, Machine, Rule, RuleUse, RuleVersion
from calc.winding.plan_fields import Block, LimitedRoom, Method, Pass, Plan
from hooks.computed import Planned
from hooks.figures import side
from hooks.pages.plan import cards, said, sensitive, steps
from hooks.pages.plan.steps import Step
from hooks.text import addresses
from hooks.text.environment import both, mass, metres, plain, rope, show
from hooks.text.page import Page, root
from hooks.text.words import Words

# Warnings that change what the crew does: they stand beside the load to hang.  What is true of every plan stands in the
# steps; all others say what the plan does not reach, and stand with the reasons.
CHANGE_THE_WORK = (
    "bed-unreached",
    "block-may-not-overhaul",
    "rope-by-log",
    "tension-below-published",
    "tension-above-published",
)
IN_THE_STEPS = ("rope-length-decides",)
# Topics of the rules a plan lists beside those that gave it a number; all others stand in the index of rules.
ALSO = frozenset({"wraps", "charts", "wind", "reeving", "working-area"})
SAME_LENGTH = 1e-6  # [m], what a plan is printed to


@dataclass(frozen=True)
class Partial:
    """What is other on the page of a plan that the log of the rope asks for: its address, that of its JSON, its title,
    the page it belongs to, what it reaches and rests on in words."""

    address: str
    feed: str
    title: str
    back: tuple[str, str]
    notes: tuple[Markup, ...]


@dataclass(frozen=True, kw_only=True)
class Spoken:
    """What plan page and briefing say alike: texts, and what makes texts of numbers."""

    place: Callable[[int, float], Markup]
    place_short: Callable[..., Markup]
    counts: list[said.Count]
    stop_height: Callable[[float], Markup]
    listed: Callable[[float], float]
    span: Markup | None
    hung: Markup
    reading: Markup | None
    band: Markup | None
    passes_text: Callable[[int], Markup]
    whole_time: Callable[[Method], Markup]
    conditions: list[Markup]


@dataclass(frozen=True)
class First:
    """The first screen, beside the numbers themselves: what is hung in short, the warnings that change the work, the
    side view, up to where the drum is firm afterwards."""

    hang_note: Markup
    warnings: Sequence[str]
    side: Markup
    last: Markup | None


@dataclass(frozen=True)
class Group:
    """One group of the list to check before the rope moves: its title, and ("do" or "dont", text) of every row."""

    title: str
    rows: list[tuple[str, Markup]]


@dataclass(frozen=True)
class If:
    """What stands folded under what may come otherwise: the answers in short, the rows of the radius table that leave
    something firm, the small error of the data that matters most."""

    heavier: Markup
    room: Markup
    rooms: list[LimitedRoom]
    shorter: Markup
    worst: Markup | None


@dataclass(frozen=True)
class Why:
    """The reasons: methods compared, what must be firm for the next lift, what the plan does not reach, what would help
    with the address of its plan, what the load is made of."""

    methods: list[Method]
    methods_answer: Markup | str
    bed: list[tuple[int, float, int | None]]
    unreached_too_much: bool
    warnings: Sequence[str]
    limits: str
    helps: list[tuple[said.Help, str | None]]
    weights: list[tuple[Markup, int | None, Markup, bool]] | None


@dataclass(frozen=True, kw_only=True)
class View(Spoken):
    """What plan.html shows, from top to bottom."""

    root: str
    case: Case
    plan: Plan
    partial: Partial | None
    whole: str  # address of the standing plan of the boom length
    machine: Machine
    boom: rounding.Pair
    boom_length: Callable[[float], rounding.Pair]
    best: Method | None
    block: Block | None
    first: First
    deck: cards.Deck | None  # of the best method
    steps: dict[str, list[Step]]  # of the best method, by its name
    check: list[Group]
    ifs: If | None
    why: Why
    enough: Callable[[Pass], Sequence[Markup]]
    moved: list[str]  # ids of sections that stand on the page of the working
    neighbours: tuple[Chart | None, Chart | None]
    others: list[Configuration]
    address: Callable[[str, str], str]


def feed_address(machine: Machine, configuration: str, boom: str) -> str:
    """Where the same plan stands as JSON."""
    other = "" if configuration == addresses.first_configuration(machine, boom) else f".{configuration}"
    return f"data/v1/plans/{machine.id}/{boom}{other}.json"


def listed(machine: Machine, metres_long: float) -> str:
    """A boom length as the machine's data lists it: "54 m", "140 ft"."""
    boom = rounding.boom_length(metres_long)
    return boom.us if machine.units == "us" else boom.metric


def title(words: Words, machine: Machine, configuration: Configuration, boom: str) -> str:
    """What the plan of a boom length, by its slug, is called."""
    chart = configuration.chart(boom)
    assert chart
    first = configuration.id == addresses.first_configuration(machine, boom)
    named: str = words.get("plan.title" if first and configuration.jib is None else "plan.title_other")
    length = listed(machine, chart.boom_length)
    return named.format(machine=machine.name, boom=length, configuration=configuration.name)


def page(
    env: Environment,
    words: Words,
    data: Data,
    planned: Planned,
    site: str | None = None,
    partial: Partial | None = None,
) -> Page:
    """The plan of one case as a page of the site at the address `site`; `partial` when it is not the standing plan of
    its boom length."""
    case, plan = planned
    machine, best = case.machine, planned.best
    at = partial.address if partial else planned.address
    boom, name = rounding.boom_length(case.chart.boom_length), listed(machine, case.chart.boom_length)
    boom_lengths = rounding.boom_length
    off, worst = sensitive.table(words, planned)
    view = View(
        root=root(at),
        case=case,
        plan=plan,
        partial=partial,
        whole=planned.address,
        machine=machine,
        boom=boom,
        boom_length=boom_lengths,
        best=best,
        block=planned.block,
        first=first_screen(words, planned),
        deck=cards.deck(words, planned, best) if best else None,
        steps={best["name"]: steps.steps(words, planned, best)} if best else {},
        check=check(words, planned),
        ifs=ifs(words, plan, worst) if plan["stops"] else None,
        why=why(words, planned),
        enough=lambda one: said.enough(words, plan, one),
        moved=moved(plan, best, bool(off)),
        neighbours=neighbours(case),
        others=others(case),
        address=lambda configuration, slug: addresses.plan(machine, configuration, slug),
        **vars(spoken(words, planned)),
    )
    return Page(
        address=at,
        title=partial.title if partial else title(words, machine, case.configuration, case.chart.slug),
        description=words.get("plan.description").format(
            machine=machine.name, boom=plain(boom), status=words.get(f"common.status.{plan['status']}").capitalize()
        ),
        search_text=words.get("plan.search").format(
            machine=machine.name,
            kind=words.get(f"common.kinds.{machine.kind}"),
            metric=boom.metric,
            metric_short=boom.metric.replace(" ", ""),
            us=boom.us,
            us_short=boom.us.replace(" ", ""),
            configuration=case.configuration.name,
        ),
        toc=(),
        html=show(env, "plan.html", view),
        indexed=partial is None,
        boost=boost(name),
    )


def spoken(words: Words, planned: Planned) -> Spoken:
    """What plan page and briefing say alike of one plan."""
    case, plan = planned
    inputs, best = plan["inputs"], planned.best
    return Spoken(
        place=lambda layer, wrap: said.place(words, inputs, layer, wrap),
        place_short=lambda layer, wrap, side="near": said.short(words, inputs, layer, wrap, side),
        counts=said.counts(words, plan),
        stop_height=lambda height: said.stop_height(words, height),
        listed=lambda radius: said.listed(plan, radius),
        span=said.radius_span(words, planned.span) if planned.span else None,
        hung=said.hung(words, case, plan),
        reading=said.reading(words, plan) if plan["load"] else None,
        band=said.band(words, plan) if plan["load"] else None,
        passes_text=lambda count: said.passes(words, count),
        whole_time=lambda method: said.whole_time(words, method),
        conditions=said.conditions(words, plan, best) if best else [],
    )


def first_screen(words: Words, planned: Planned) -> First:
    """The first screen of a plan."""
    plan, best = planned.plan, planned.best
    return First(
        hang_note=hang_note(words, planned) if plan["load"] else Markup(""),
        warnings=[one["code"] for one in plan["warnings"] if one["code"] in CHANGE_THE_WORK],
        side=Markup(side.svg(plan, words.texts)),
        last=said.firm_span(words, plan["inputs"], best["passes"][-1])["last"] if best else None,
    )


def hang_note(words: Words, planned: Planned) -> Markup:
    """What is hung, in short: the masses of the pieces, the slings of every pass."""
    case, plan = planned
    best = planned.best
    pieces = {weight.id: weight.mass for weight in case.yard.weights}
    rows = plan["load"]["yard"] if plan["load"] else []
    masses = (
        words.say("plan.number.piece", count=row["count"], mass=piece) if row["count"] > 1 else piece
        for row in rows
        for piece in [both(rounding.piece(pieces[row["item"]]))]
    )
    lengths = [one["sling_length_m"] for one in best["passes"]] if best else [case.yard.slings.length]
    slings = Markup(", ").join(metres(length, "near") for length in lengths)
    return words.say("plan.number.hang_note", weights=Markup(" + ").join(masses), slings=slings)


def check(words: Words, planned: Planned) -> list[Group]:
    """What to check before the rope moves; without a load, what does not need one."""
    case, plan = planned
    parts = steps.parts_before(words, planned, rounding.boom_length(case.chart.boom_length))
    found = []
    for name, group in words.get("plan.check.groups").items():
        rows = []
        for key, (kind,) in group["rows"].items():
            if key in steps.NEEDS_LOAD and not (plan["load"] and plan["stops"]):
                continue
            text = words.say(f"plan.check.groups.{name}.rows.{key}.{kind}", **parts)
            if key == "area" and "slew" in parts:
                text = Markup("{} {}").format(text, words.say("plan.check.second", **parts))
            if key == "limiter" and case.jib is not None:
                text = Markup("{} {}").format(text, steps.on_jib(words, plan))
            elif key == "limiter" and plan["kind"] == "telescopic":
                text = Markup("{} {}").format(text, words.say("plan.check.telescoping"))
            rows.append((kind, text))
        found.append(Group(group["title"], rows))
    return found


def ifs(words: Words, plan: Plan, worst: Markup | None) -> If:
    """What may come otherwise, for a plan with a start."""
    assert plan["stops"], "asked of plans with a start"
    heavier = words.say("plan.if.heavier_none")
    if len(plan["heavier_loads"]) > 1:
        more = plan["heavier_loads"][1]
        radius = metres(said.listed(plan, more["furthest_radius_m"]), "down")
        heavier = words.say("plan.if.heavier_answer", load=mass(more["load_kg"], "up"), radius=radius)
    rooms = [row for row in plan["limited_room"] if row["firm_rope_m"] >= 1]
    nothing = max((row["radius_m"] for row in plan["limited_room"] if row["firm_rope_m"] < 1), default=None)
    room = words.say("plan.if.room_none")
    if nothing is not None:
        room = words.say("plan.if.room_answer", radius=metres(nothing, "down"))
    elif rooms:
        least = rooms[0]
        parts = {"radius": metres(least["radius_m"], "down"), "rope": rope(least["firm_rope_m"], "down")}
        room = words.say("plan.if.room_any", **parts)
    shorter = plan["stops"]["shorter_rope"][-1]
    return If(
        heavier=heavier,
        room=room,
        rooms=rooms,
        shorter=words.say(
            "plan.if.shorter_answer",
            less=rope(shorter["less_m"], "near"),
            height=said.stop_height(words, shorter["hook_height_m"]),
        ),
        worst=worst,
    )


def why(words: Words, planned: Planned) -> Why:
    """The reasons of a plan."""
    case, plan = planned
    best = planned.best
    codes = [one["code"] for one in plan["warnings"]]
    other = [code for code in codes if code not in (*CHANGE_THE_WORK, *IN_THE_STEPS)]
    answer: Markup | str = words.get("common.none")
    if best:
        passes = said.passes(words, len(best["passes"]))
        answer = words.say("plan.why.methods", method=words.get(f"methods.{best['name']}"), passes=passes)
    return Why(
        methods=[method for method in plan["methods"] if method],
        methods_answer=answer,
        bed=bed(plan, best),
        unreached_too_much="bed-unreached" in codes,
        warnings=other,
        limits="; ".join(words.get(f"warnings.{code}.title") for code in other),
        helps=[(one, helped(case.machine, case, one)) for one in said.helps(words, case, plan)],
        weights=weights(words, planned) if plan["load"] else None,
    )


def moved(plan: Plan, best: Method | None, off: bool) -> list[str]:
    """Sections that an old address of the plan may name and that stand on the page of its working."""
    there = {"moves": bool(best), "drum": bool(best), "off": off, "working": True, "rules": True, "data": True}
    return [id for id, stands in there.items() if stands]


def cautions(words: Words, plan: Plan) -> list[Markup]:
    """The cautions with this plan's numbers; telescoping only where the boom telescopes."""
    inputs = plan["inputs"]
    parts = {
        "falls": plan["falls"]["used"] or words.get("plan.falls_unknown"),
        "first": metres(inputs["first_lift_m"], "near"),
        "low": metres(inputs["clearance_m"], "near"),
        "high": metres(inputs["band_top_m"], "near"),
    }
    names = [name for name in words.get("caution") if plan["kind"] == "telescopic" or name != "telescoping"]
    return [words.say(f"caution.{name}", **parts) for name in names]


def helped(machine: Machine, case: Case, one: said.Help) -> str | None:
    """Address of the plan that would help, where it is another one of this crane."""
    if one.boom is None and one.configuration is None:
        return None
    return addresses.plan(machine, one.configuration or case.configuration.id, one.boom or case.chart.slug)


def weights(words: Words, planned: Planned) -> list[tuple[Markup, int | None, Markup, bool]]:
    """What the load is made of: name, how many, mass, whether it is a sum; the slings of every pass."""
    case, plan = planned
    load, block, best = plan["load"], planned.block, planned.best
    assert load is not None, "asked of plans with a load"
    names = {weight.id: weight.name for weight in case.yard.weights}
    base = said.base(plan)
    found: list[tuple[Markup, int | None, Markup, bool]] = []
    for row in load["yard"]:
        name = Markup("{}").format(names[row["item"]])
        if row["item"] == base:
            name = words.say("plan.weights_base" if row["count"] > 1 else "plan.weights_base_one", item=name)
        found.append((name, row["count"], mass(row["mass_kg"], "up"), False))
    name = words.say("plan.weights_block", id=block["id"] if block else "")
    found.append((name, 1, mass(load["hook_block_kg"], "up"), False))
    lengths = [one["sling_length_m"] for one in best["passes"]] if best else [case.yard.slings.length]
    several = len(lengths) > 1
    for number, length in enumerate(lengths, 1):
        slings = next(s for s in plan["inputs"]["slings"] if abs(s["length_m"] - length) < SAME_LENGTH)
        parts = {"number": number, "length": metres(length, "near")}
        name = words.say("plan.weights_slings_pass" if several else "plan.weights_slings", **parts)
        found.append((name, 1, mass(slings["mass_kg"], "up"), False))
        total = mass(load["hook_block_kg"] + load["net_kg"] + slings["mass_kg"], "up")
        name = words.say("plan.weights_total_pass" if several else "plan.weights_total", **parts)
        found.append((name, None, total, True))
    return found


def version(words: Words, case: Case) -> str:
    """Which state of a plan it is, in words."""
    status = words.get(f"common.status.{case.machine.status}")
    text: str = words.get("cite.plan").format(revision=case.machine.revision, status=status, day=case.day)
    return text


def boost(name: str) -> float:
    """Place in search of a boom length as listed: a query finds what begins with it too, so 11 m comes before 111 m.

    >>> boost("11 m"), boost("111 m")
    (1.55, 1.2)
    """
    return 1.55 if float(name.split()[0]) < 100 else 1.2


def neighbours(case: Case) -> tuple[Chart | None, Chart | None]:
    """The next shorter and the next longer listed boom of this configuration, None at the ends."""
    charts = (None, *case.configuration.charts, None)
    at = charts.index(case.chart)
    return charts[at - 1], charts[at + 1]


def others(case: Case) -> list[Configuration]:
    """The machine's other configurations that list this boom length."""
    return [c for c in case.machine.configurations if c is not case.configuration and c.chart(case.chart.slug)]


def rule_of(data: Data, case: Case) -> dict[str, RuleUse]:
    """For each rule value the use of the rule that gave it."""
    found: dict[str, RuleUse] = {}
    for use in case.rules:
        version = data.rules[use.id].at(case.day)
        for name in version.values if version else ():
            found[name] = use
    return found


def also_in_force(data: Data, case: Case) -> list[tuple[Rule, RuleVersion]]:
    """The rules on this work that hold for this crane and boom without giving the planner a number, by code."""
    used = {use.id for use in case.rules}
    known = rulebook.facts(case.machine, case.chart.boom_length)
    found = (pair for pair in rulebook.in_force(data.rules.values(), known, case.day) if pair[0].topic in ALSO)
    return sorted((pair for pair in found if pair[0].id not in used), key=lambda pair: rulebook.number(pair[0]))


def bed(plan: Plan, best: Method | None) -> list[tuple[int, float, int | None]]:
    """How much must be firm for each number of falls, and after which pass of the best method it is; the list ends
    where the next lift starts with all firm rope off the drum."""
    rows: list[tuple[int, float, int | None]] = []
    passes = best["passes"] if best else []
    for row in plan["bed_needed"]:
        needed = max(0.0, row["metres"])
        reached = next(
            (n for n, p in enumerate(passes, 1) if (least := p["full_pull_falls_min"]) and least <= row["falls"]), None
        )
        rows.append((row["falls"], needed, reached))
        if needed == 0.0:
            break
    return rows
