"""The plan page: everything about one crane with one boom length, read from the plan's own contract."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data import rulebook
from calc.data.model import Case, Chart, Configuration, Data, Machine, Rule, RuleUse, RuleVersion
from hooks.computed import Planned
from hooks.figures import drum, side
from hooks.pages.plan import cards, said, sensitive, steps, working
from hooks.pages.plan.steps import Step
from hooks.pages.plan.working import Line
from hooks.text import addresses
from hooks.text.cite import Cited, cited
from hooks.text.environment import mass, metres, plain, show
from hooks.text.page import Page, root
from hooks.text.words import Words

Plan = Mapping[str, Any]

# Jump list under the headline numbers: id of the section, name of its text.
JUMPS = [
    (name.replace("_", "-"), f"plan.{'enough_title' if name == 'enough' else name}")
    for name in (
        "before",
        "count",
        "steps",
        "enough",
        "after",
        "cautions",
        "side",
        "drum",
        "moves",
        "heavier",
        "room",
        "methods",
        "help",
        "break",
        "shorter_rope",
        "weights",
        "working",
        "rules",
    )
]
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
    span: tuple[float, float] | None
    hung: Markup
    reading: Markup | None
    band: Markup | None
    passes_text: Callable[[int], Markup]
    whole_time: Callable[[Mapping[str, Any]], Markup]
    conditions: list[Markup]


@dataclass(frozen=True, kw_only=True)
class View(Spoken):
    """What plan.html shows."""

    root: str
    title: str
    case: Case
    plan: Plan
    partial: Partial | None
    whole: str  # address of the standing plan of the boom length
    machine: Machine
    boom: rounding.Pair
    boom_length: Callable[[float], rounding.Pair]
    best: Mapping[str, Any] | None
    before: list[tuple[str, Markup]]
    jumps: list[tuple[str, str]]
    enough: Callable[[Mapping[str, Any]], Sequence[Markup]]
    methods: list[Mapping[str, Any]]
    deck: cards.Deck | None  # of the best method
    steps: dict[str, list[Step]]  # by method
    cautions: list[Markup]
    helps: list[tuple[said.Help, str | None]]  # with the address of the plan that would help
    room: list[Mapping[str, Any]]
    no_room: float | None  # largest radius with which nothing is firm [m]
    block: Mapping[str, Any] | None
    neighbours: tuple[Chart | None, Chart | None]
    others: list[Configuration]
    address: Callable[[str, str], str]
    feed: str
    side: Markup
    drum: Markup
    bed: list[tuple[int, float, int | None]]
    weights: list[tuple[Markup, int | None, Markup, bool]] | None
    unreached_too_much: bool
    off: list[sensitive.Off]
    worst: Markup | None
    working: list[Line]
    cited: Cited
    rules_used: list[tuple[Rule, str]]
    rules_also: list[tuple[Rule, str]]
    rules_of: Callable[[Line], Iterable[RuleUse]]


def feed_address(machine: Machine, configuration: str, boom: str) -> str:
    """Where the same plan stands as JSON."""
    other = "" if configuration == addresses.first_configuration(machine, boom) else f".{configuration}"
    return f"data/v1/plans/{machine.id}/{boom}{other}.json"


def listed(machine: Machine, metres_long: float) -> str:
    """A boom length as the machine's data lists it: "54 m", "140 ft"."""
    boom = rounding.boom_length(metres_long)
    return boom.us if machine.units == "us" else boom.metric


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
    first = case.configuration.id == addresses.first_configuration(machine, case.chart.slug)
    title = words.get("plan.title" if first else "plan.title_other").format(
        machine=machine.name, boom=name, configuration=case.configuration.name
    )
    title = partial.title if partial else title
    used, also = rule_of(data, case), also_in_force(data, case)
    off, worst = sensitive.table(words, case)
    finished = [m for m in plan["methods"] if m and m["passes"]]
    helps = said.helps(words, case, plan)
    there = {
        "count": plan["stops"],
        "heavier": plan["heavier_loads"],
        "room": plan["limited_room"],
        "help": helps,
        "shorter-rope": plan["stops"],
        "weights": plan["load"],
    }
    without = ("before", "methods", "working", "rules", *there)  # sections of a plan that cannot be done
    view = View(
        root=root(at),
        title=title,
        case=case,
        plan=plan,
        partial=partial,
        whole=planned.address,
        machine=machine,
        boom=boom,
        boom_length=rounding.boom_length,
        best=best,
        before=steps.before(words, planned, boom, at),
        jumps=[jump for jump in JUMPS if (best or jump[0] in without) and there.get(jump[0], True)],
        enough=lambda one: said.enough(words, plan, one),
        methods=[m for m in plan["methods"] if m],
        deck=cards.deck(words, planned, best) if best else None,
        steps={m["name"]: steps.steps(words, planned, m) for m in finished},
        cautions=cautions(words, plan),
        helps=[(one, helped(machine, case, one)) for one in helps],
        room=[row for row in plan["limited_room"] if row["firm_rope_m"] >= 1],
        no_room=max((row["radius_m"] for row in plan["limited_room"] if row["firm_rope_m"] < 1), default=None),
        block=planned.block,
        neighbours=neighbours(case),
        others=others(case),
        address=lambda configuration, slug: addresses.plan(machine, configuration, slug),
        feed=partial.feed if partial else feed_address(machine, case.configuration.id, case.chart.slug),
        side=Markup(side.svg(plan, words.texts)),
        drum=Markup(drum.svg(plan, words.texts)),
        bed=bed(plan, best),
        weights=weights(words, planned) if plan["load"] else None,
        unreached_too_much=any(w["code"] == "bed-unreached" for w in plan["warnings"]),
        off=off,
        worst=worst,
        working=working.lines(planned),
        cited=cited(words, site, at, title, version(words, case), case.day),
        rules_used=[(data.rules[use["id"]], use["from"]) for use in plan["rules"]],
        rules_also=[(rule, version.from_day) for rule, version in also],
        rules_of=lambda line: dict.fromkeys(used[name] for name in line.values if name in used),
        **vars(spoken(words, planned)),
    )
    return Page(
        address=at,
        title=title,
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
        toc=(),  # the page has its own list under the headline numbers
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
        span=planned.span,
        hung=said.hung(words, case, plan),
        reading=said.reading(words, plan) if plan["load"] else None,
        band=said.band(words, plan) if plan["load"] else None,
        passes_text=lambda count: said.passes(words, count),
        whole_time=lambda method: said.whole_time(words, method),
        conditions=said.conditions(words, plan, best) if best else [],
    )


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


def bed(plan: Plan, best: Mapping[str, Any] | None) -> list[tuple[int, float, int | None]]:
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
