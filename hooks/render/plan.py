"""The plan page: everything about one crane with one boom length, read from the plan's own contract.

May import: calc (model, contract's plain data, tables), figures, cite, page, words, environment.  Must not know:
MkDocs, files, how a plan is found.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rulebook, tables
from calc.contract import best_method, hook_block
from calc.model import Case, Data, Machine, Rule, RuleVersion
from hooks.figures import drum, side
from hooks.render import sensitive, working
from hooks.render.cite import cited
from hooks.render.environment import both, mass, metres, plain, render, rope, share
from hooks.render.page import Page, root
from hooks.render.words import Words

Plan = Mapping[str, Any]

# Jump list under the headline numbers: id of the section, name of its text.
JUMPS = [
    (name.replace("_", "-"), f"plan.{name}")
    for name in (
        "before", "steps", "after", "cautions", "side", "drum", "moves", "heavier", "methods", "break", "shorter_rope",
        "weights", "working", "rules",
    )
]
# Topics of the rules a plan lists beside those that gave it a number; all others stand in the index of rules.
ALSO = frozenset({"wraps", "charts", "wind", "reeving", "working-area"})
NEEDS_LOAD = ("reeve", "limiter", "weights")  # steps that a plan without a load cannot give


@dataclass(frozen=True)
class Step:
    """One move as the crew does it: number through the whole method, pass, the move, the radius after it and what to
    do in words."""

    number: int
    pass_number: int
    move: Mapping[str, Any]
    radius: Markup
    text: Markup
    firm_if_landed: float


@dataclass(frozen=True)
class Partial:
    """What is other on the page of a plan that the log of the rope asks for: its address, that of its JSON, its title,
    the page it belongs to, what it reaches and rests on in words."""

    address: str
    feed: str
    title: str
    back: tuple[str, str]
    notes: tuple[Markup, ...]


def address(machine: Machine, configuration: str, boom: str) -> str:
    """Where a plan stands; the first configuration that lists a boom length has the short address."""
    short = f"machines/{machine.id}/{boom}/"
    return short if configuration == first_configuration(machine, boom) else f"{short}{configuration}/"


def feed_address(machine: Machine, configuration: str, boom: str) -> str:
    """Where the same plan stands as JSON."""
    other = "" if configuration == first_configuration(machine, boom) else f".{configuration}"
    return f"data/v1/plans/{machine.id}/{boom}{other}.json"


def first_configuration(machine: Machine, boom: str) -> str:
    """The configuration that has the short address: the first one that lists this boom length."""
    return next(c.id for c in machine.configurations if c.chart(boom))


def listed(machine: Machine, metres_long: float) -> str:
    """A boom length as the machine's data lists it: "54 m", "140 ft"."""
    boom = tables.boom_length(metres_long)
    return boom.us if machine.units == "us" else boom.metric


def page(
    env: Environment,
    words: Words,
    data: Data,
    case: Case,
    plan: Plan,
    site: str | None = None,
    partial: Partial | None = None,
) -> Page:
    """The plan of one case as a page of the site at the address `site`; `partial` when it is not the standing plan of
    its boom length."""
    machine = case.machine
    whole = address(machine, case.configuration.id, case.chart.slug)
    at = partial.address if partial else whole
    boom, name = tables.boom_length(case.chart.boom_length), listed(machine, case.chart.boom_length)
    first = case.configuration.id == first_configuration(machine, case.chart.slug)
    title = words.get("plan.title" if first else "plan.title_other").format(
        machine=machine.name, boom=name, configuration=case.configuration.name
    )
    title = partial.title if partial else title
    best = best_method(plan)
    used, also = rule_of(data, case), also_in_force(data, case)
    shown = shown_values(also)
    off, worst = sensitive.table(words, case)
    body = render(
        env,
        "plan.html",
        root=root(at),
        title=title,
        case=case,
        plan=plan,
        partial=partial,
        whole=whole,
        machine=machine,
        boom=boom,
        boom_length=tables.boom_length,
        best=best,
        furthest=furthest(best),
        before=before_steps(words, case, plan, best, hook_block(plan), boom, at),
        jumps=JUMPS if best else [jump for jump in JUMPS if jump[0] in ("before", "methods", "working", "rules")],
        enough=lambda one: enough(words, one),
        methods=[m for m in plan["methods"] if m],
        steps={m["name"]: steps(words, plan, m, shown["first_lift"]) for m in plan["methods"] if m},
        block=hook_block(plan),
        neighbours=neighbours(case),
        others=others(case),
        address=lambda configuration, slug: address(machine, configuration, slug),
        feed=partial.feed if partial else feed_address(machine, case.configuration.id, case.chart.slug),
        side=Markup(side.svg(plan, words.texts)),
        drum=Markup(drum.svg(plan, words.texts)),
        bed=bed(plan, best),
        weights={w.id: w for w in case.yard.weights},
        unreached_too_much=any(w["code"] == "bed-unreached" for w in plan["warnings"]),
        tolerance=shown["count_tolerance"],
        off=off,
        worst=worst,
        working=working.lines(case, plan, best),
        cited=cited(words, site, at, title, version(words, case), case.day),
        rules_used=[(data.rules[use["id"]], use["from"]) for use in plan["rules"]],
        rules_also=[(rule, version.from_day) for rule, version in also],
        rules_of=lambda line: dict.fromkeys(used[name] for name in line.values if name in used),
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
        html=body,
        indexed=partial is None,
        boost=boost(name),
    )


def version(words: Words, case: Case) -> str:
    """Which state of a plan it is, in words."""
    status = words.get(f"common.status.{case.machine.status}")
    said: str = words.get("cite.plan").format(revision=case.machine.revision, status=status, day=case.day)
    return said


def boost(name: str) -> float:
    """Place in search of a boom length as listed: a query finds what begins with it too, so 11 m comes before 111 m.

    >>> boost("11 m"), boost("111 m")
    (1.55, 1.2)
    """
    return 1.55 if float(name.split()[0]) < 100 else 1.2


def neighbours(case: Case) -> tuple[Any, Any]:
    """The next shorter and the next longer listed boom of this configuration, None at the ends."""
    charts = (None, *case.configuration.charts, None)
    at = charts.index(case.chart)
    return charts[at - 1], charts[at + 1]


def others(case: Case) -> list[Any]:
    """The machine's other configurations that list this boom length."""
    return [c for c in case.machine.configurations if c is not case.configuration and c.chart(case.chart.slug)]


def rule_of(data: Data, case: Case) -> dict[str, Any]:
    """For each rule value the use of the rule that gave it."""
    found: dict[str, Any] = {}
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
    return sorted((pair for pair in found if pair[0].id not in used), key=lambda pair: pair[0].code)


def shown_values(also: list[tuple[Rule, RuleVersion]]) -> dict[str, float]:
    """Rule values that the page shows and the planner does not read, by name; SI."""
    return {name: value for _, version in also for name, value in version.values.items()}


def furthest(best: Mapping[str, Any] | None) -> float | None:
    """Largest radius of the hook under load in the best method [m]."""
    moves = [m for p in best["passes"] for m in p["moves"] if m["load_kg"]] if best else []
    return max((max(m["radius_m"]) for m in moves), default=None)


def before_steps(
    words: Words,
    case: Case,
    plan: Plan,
    best: Mapping[str, Any] | None,
    block: Mapping[str, Any] | None,
    boom: tables.Pair,
    at: str,
) -> list[tuple[str, Markup]]:
    """What comes before the rope moves, in the order of the site; without a load, what does not need one.  `at` is the
    address of the page: how deep it is due stands on the page of the drum."""
    parts: dict[str, Any] = {
        "radius": metres(best["working_radius_m"], "up") if best else words.get("plan.area_unknown"),
        "configuration": case.configuration.name,
        "boom": both(boom),
        "falls": plan["falls"]["used"],
    }
    drum_page = "../" * (at.count("/") - 2) + "drum/"
    if block:
        parts |= {
            "block": block["id"],
            "mass": mass(block["mass_kg"], "up"),
            "load": mass(plan["load"]["planned_kg"], "up"),
            "start": metres(plan["stops"]["start_radius_m"], "up"),
            "sling": metres(case.yard.slings.length, "near"),
        }
    listed = words.get("plan.before_steps")
    return [
        (
            Markup('<a href="{}">{}</a>').format(drum_page, title) if key == "depth" else title,
            words.say(f"plan.before_text.{key}", **parts),
        )
        for key, title in listed.items()
        if block or key not in NEEDS_LOAD
    ]


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


def steps(words: Words, plan: Plan, method: Mapping[str, Any], first_lift: float) -> list[Step]:
    """All moves of a method in order, in words; `first_lift` is the height of the brake test [m]."""
    found: list[Step] = []
    landed_before, firm_before = plan["stops"]["rope_at_start_m"] if plan["stops"] else 0.0, 0.0
    places = radii(method)
    for number, one in enumerate(method["passes"], 1):
        for move in one["moves"]:
            firm = firm_if_landed(plan, one, move, landed_before, firm_before)
            place = places[len(found)]
            text = sentence(words, plan, one, move, place, number, first_lift)
            found.append(Step(len(found) + 1, number, move, place[1], text, firm))
        landed_before, firm_before = one["moves"][-1]["rope_on_drum_m"][1], one["firm_rope_m"]
    return found


def radii(method: Mapping[str, Any] | None) -> list[tuple[Markup, Markup]]:
    """The radius before and after each move, to the cautious side: reached outward down, inward up, and kept as it was
    reached.

    >>> moves = [{"radius_m": ends} for ends in ([6.0, 14.19], [14.19, 5.96], [5.96, 12.28], [12.28, 12.28])]
    >>> [after.striptags() for _, after in radii({"passes": [{"moves": moves}]})]
    ['14.1 m46.5 ft', '6.0 m20.0 ft', '12.2 m40.0 ft', '12.2 m40.0 ft']
    """
    found: list[tuple[Markup, Markup]] = []
    side = "up"
    for move in (m for p in method["passes"] for m in p["moves"]) if method else ():
        before, after = move["radius_m"]
        from_there = metres(before, side)
        side = "down" if after > before else "up" if after < before else side
        found.append((from_there, metres(after, side)))
    return found


def firm_if_landed(
    plan: Plan, one: Mapping[str, Any], move: Mapping[str, Any], landed_before: float, firm_before: float
) -> float:
    """Rope firm if the load is landed straight down after this move [m].

    Landing pays out n times the height of the load above ground; firm is what then stays above the rope at the start,
    never more than the pass reaches, and never more than before the pass as long as the drum holds no more than then.
    """
    under = move["load_height_m"][1] or 0.0
    on_drum = move["rope_on_drum_m"][1] - plan["falls"]["used"] * under
    most = one["firm_rope_m"] if on_drum > landed_before + 1e-6 else firm_before
    return float(max(0.0, min(most, on_drum - plan["stops"]["rope_at_start_m"])))


def sentence(
    words: Words,
    plan: Plan,
    one: Mapping[str, Any],
    move: Mapping[str, Any],
    place: tuple[Markup, Markup],
    number: int,
    first_lift: float,
) -> Markup:
    """One move as the crew does it; `place` is the radius before and after it."""
    name = move["move"]
    if number > 1 and name in ("pay-out", "pick"):
        name += "-again"
    if name == "luff-in" and not move["load_kg"]:
        name += "-empty"
    before, after = move["boom_length_m"]
    drum_then = words.say("plan.drum_after", layer=move["layer"][1], wrap=tables.wraps(move["wrap"][1], "near"))
    return words.say(
        f"plan.step.{name}",
        drum=drum_then,
        before=place[0],
        radius=place[1],
        hook=metres(move["hook_height_m"][1], "up"),
        under=metres(move["load_height_m"][1] or 0.0, "near"),
        low=metres(plan["inputs"]["clearance_m"], "near"),
        high=metres(plan["inputs"]["band_top_m"], "near"),
        load=mass(move["load_kg"], "up"),
        gross=mass(move["gross_load_kg"], "up"),
        boom_before=both(tables.boom_length(before)),
        boom=both(tables.boom_length(after)),
        lift=metres(first_lift, "near"),
        sling=metres(one["sling_length_m"], "near"),
        **{"return": words.get(f"load_return.{one['load_return']}")},
    )


def enough(words: Words, one: Mapping[str, Any]) -> Sequence[Markup]:
    """What one pass is enough for, in words."""
    layers = one["firm_layers"]
    said: Markup | str = ""
    if layers:
        name = "plan.enough_layer" if layers[0] == layers[1] else "plan.enough_layers"
        said = words.say(name, first=layers[0], last=layers[1])
    falls = one["full_pull_falls_min"]
    if falls is None:
        pull = words.say("plan.enough_nothing")
    elif falls == 1:
        pull = words.say("plan.enough_any_falls")
    else:
        pull = words.say("plan.enough_falls", falls=falls)
    return (
        words.say(
            "plan.enough", rope=rope(one["firm_rope_m"], "down"), share=share(one["firm_share"], "down"), layers=said
        ),
        pull,
    )
