"""The working of a plan, a page under it: all values of its moves, each formula with this plan's numbers, computed with
the functions the planner uses, small errors of the data, rules and data.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import cos, sqrt
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data.model import Case, Data, Machine, Rule, RuleUse
from calc.formulas import STANDARD_GRAVITY, reeving
from calc.formulas.drum import position
from calc.winding import firm
from calc.winding.moves import counted
from calc.winding.plan_fields import Method, Pass
from calc.winding.rig import Crane, Rig, State
from hooks.computed import Planned
from hooks.figures import drum, stack
from hooks.figures import reeving as reeved
from hooks.pages.plan import cards, said, sensitive, steps
from hooks.pages.plan import plan as plans
from hooks.pages.plan.steps import Step
from hooks.text.cite import Cited, cited
from hooks.text.environment import force, mass, metres, plain, rope, share, show, tenth_share
from hooks.text.page import Page, root
from hooks.text.words import Words

Plan = Mapping[str, Any]


@dataclass(frozen=True)
class Line:
    """One formula: key of its title and symbols in the words file, numbers put in, result, and the rule values used."""

    key: str
    numbers: str
    result: Markup | str
    values: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class View:
    """What working.html shows."""

    root: str
    of: Page  # the page of the plan
    machine: Machine
    plan: Plan
    boom_length: Callable[[float], rounding.Pair]
    methods: list[Method]  # that can be done, the best first
    steps: dict[str, list[Step]]  # by method
    told: Callable[[Step], cards.Told]
    drum: Markup | None  # before and after
    reeving: Markup | None
    stack: Markup | None
    enough: Callable[[Pass], Iterable[Markup]]
    place_short: Callable[..., Markup]
    stop_height: Callable[[float], Markup]
    off: list[sensitive.Off]
    lines: list[Line]
    rules_of: Callable[[Line], Iterable[RuleUse]]
    rules_used: list[tuple[Rule, str]]
    rules_also: list[tuple[Rule, str]]
    feed: str
    cited: Cited


def page(
    env: Environment,
    words: Words,
    data: Data,
    planned: Planned,
    of: Page,
    site: str | None,
    partial: plans.Partial | None = None,
) -> Page:
    """The working of one case as a page under `of`, the page of its plan; it cites the plan."""
    case, plan = planned
    best = planned.best
    methods = sorted((m for m in plan["methods"] if m and m["passes"]), key=lambda method: method is not best)
    used, used_falls = plans.rule_of(data, case), plan["falls"]["used"]
    at = f"{of.address}working/"
    off, _ = sensitive.table(words, planned)
    spoken = plans.spoken(words, planned)
    view = View(
        root=root(at),
        of=of,
        machine=case.machine,
        plan=plan,
        boom_length=rounding.boom_length,
        methods=methods,
        steps={method["name"]: steps.steps(words, planned, method) for method in methods},
        told=lambda step: cards.told(words, step),
        drum=Markup(drum.svg(plan, words.texts)) if best else None,
        reeving=Markup(reeved.svg(used_falls, words.texts)) if used_falls and plan["stops"] else None,
        stack=Markup(stack.svg(plan, words.texts)) if plan["stops"] else None,
        enough=lambda one: said.enough(words, plan, one),
        place_short=spoken.place_short,
        stop_height=spoken.stop_height,
        off=off,
        lines=lines(planned),
        rules_of=lambda line: dict.fromkeys(used[name] for name in line.values if name in used),
        rules_used=[(data.rules[use["id"]], use["from"]) for use in plan["rules"]],
        rules_also=[(rule, version.from_day) for rule, version in plans.also_in_force(data, case)],
        feed=partial.feed if partial else plans.feed_address(case.machine, case.configuration.id, case.chart.slug),
        cited=cited(words, site, of.address, of.title, plans.version(words, case), case.day),
    )
    return Page(
        address=at,
        title=words.get("working_page.title").format(plan=of.title),
        description=words.get("working_page.description").format(
            machine=case.machine.name,
            boom=plain(rounding.boom_length(case.chart.boom_length)),
            status=words.get(f"common.status.{plan['status']}").capitalize(),
        ),
        search_text="",
        toc=(),
        html=show(env, "working.html", view),
        indexed=False,  # search leads to the plan
    )


def lines(planned: Planned) -> list[Line]:
    """All lines of a plan; fewer for a plan that was refused before a load or a pass was found."""
    plan, best = planned.plan, planned.best
    found, rig = _drum(planned.crane), planned.rig
    if rig is None:
        return found
    start = _start(rig, plan)
    found += _start_of_work(rig, plan, start) + _load(rig, plan, start)
    return found + (_result(rig, plan, best) if best else [])


def _start(rig: Rig, plan: Plan) -> State:
    """The start of the plan: load on the ground, slings straight."""
    load, hook = plan["load"], plan["stops"]["start_hook_height_m"]
    hung = load["net_kg"] + load["slings_kg"]
    spread = rig.crane.slings[0].length - load["hanging_height_m"]
    length = rig.crane.case.chart.boom_length
    return State(length, plan["stops"]["start_radius_m"], hook, rig.falls, hung, hook, spread)


def _along(case: Case) -> str:
    """The parts of the rope from drum to head: along the boom, along the jib, what it is longer than both."""
    boom, jib = f"{case.chart.boom_length:.2f} + ({case.machine.boom.rope_path_extra:.2f})", case.jib
    return boom if jib is None else f"{boom} + {jib.length:.2f} + {jib.rope_longer_than_jib:.2f}"


def _drum(crane: Crane) -> list[Line]:
    machine, values = crane.case.machine, crane.case.values
    first, last = crane.layers[0], crane.layers[-1]
    root, thick = machine.drum.groove_root_diameter, machine.rope.diameter
    length, long = machine.rope.length, crane.bending
    estimate = reeving.falls_estimate(length, long)
    return [
        Line(
            "layers",
            f"D_1 = {root:.3f} + {thick:.4f} = {first.diameter:.3f} m;  l_1 = {first.wrap_length:.3f} m;  "
            f"D_{last.number} = {root:.3f} + {thick:.4f}*(1 + 2*{values.rise_ratio:.2f}*{last.number - 1}) "
            f"= {last.diameter:.3f} m",
            f"{last.number}",
            ("rise_ratio_" + machine.drum.surface.replace("-", "_"),),
        ),
        Line(
            "usable",
            f"{length:.1f} - {values.dead_wraps}*{first.wrap_length:.3f} = {crane.usable_rope:.2f} m",
            rope(crane.usable_rope, "down"),
            ("dead_wraps",),
        ),
        Line("estimate", f"({length:.1f} - {long:.1f})/{long:.1f} = {(length - long) / long:.2f}", f"{estimate}"),
    ]


def _start_of_work(rig: Rig, plan: Plan, start: State) -> list[Line]:
    crane, case, falls = rig.crane, rig.crane.case, rig.falls
    values, load, arm = case.values, plan["load"], crane.arm(start.boom_length)
    length, radius = start.boom_length, start.radius
    head, path, around = crane.head(length, radius), rig.drum_to_head(length), rig.between_falls
    on = counted(rig, start)
    fall, on_drum = rig.fall_length(on), rig.rope_on_drum(on)
    layer, wrap = position(crane.layers, on_drum)
    below = crane.layers[layer - 2].rope_when_full if layer > 1 else 0.0
    stop, margin = plan["stops"]["hook_height_m"], rig.stop_margin(start)
    legs = crane.slings[0].length
    across = sqrt(max(0.0, legs**2 - load["hanging_height_m"] ** 2))
    more = start.hook_height - load["lifting_points_height_m"] - load["hanging_height_m"]
    wraps = values.stop_wraps + values.count_tolerance
    kept = rig.rope_kept(margin)
    found = [
        Line(
            "pick",
            f"u = sqrt({legs:.3f}^2 - {across:.3f}^2) = {load['hanging_height_m']:.3f} m;  "
            f"{load['lifting_points_height_m']:.3f} + {load['hanging_height_m']:.3f} + {abs(more):.3f} "
            f"= {start.hook_height:.3f} m",
            metres(start.hook_height, "near"),
            ("sling_angle_least",),
        ),
    ]
    if plan["falls"]["exact"] is not None:
        reached = min(crane.usable_rope, case.machine.rope.length - case.firm_below)
        round_one = f"pi*{case.reeving.sheave_radius:.2f}"
        found.append(
            Line(
                "exact",
                f"({reached:.2f} - {path:.2f} + {round_one})/({crane.head(length, crane.least_radius(length)):.2f} - "
                f"{start.hook_height:.2f} - {rig.block.height:.2f} + {round_one}) = {plan['falls']['exact']:.2f}",
                f"{falls}",
                ("unreached_limit",),
            )
        )
    found += [
        Line(
            "kept",
            f"rope({wraps}) = {crane.rope_with(wraps):.2f} m;  {crane.dead_rope:.2f} + {falls}*{margin:.2f} = "
            f"{crane.dead_rope + falls * margin:.2f} m;  D_min = {kept:.2f} m",
            rope(kept, "up"),
            ("stop_wraps", "count_tolerance", "stop_margin", "stop_margin_share"),
        ),
        Line(
            "head",
            f"{arm.pivot_height:.2f} + sqrt({arm.length:.2f}^2 - ({radius:.2f} - ({arm.pivot_forward:.2f}))^2) "
            f"= {head:.2f} m",
            metres(head, "down"),
        ),
        Line(
            "path",
            f"P = {_along(case)} = {path:.2f} m;  w = {falls - 1}*pi*{case.reeving.sheave_radius:.2f} = {around:.2f} m",
            rope(path + around, "near"),
        ),
        Line(
            "start",
            f"h_on = {start.hook_height:.2f} - {values.sling_slack:.2f} = {on.hook_height:.2f} m;  "
            f"{case.machine.rope.length:.1f} - {path:.2f} - "
            f"{falls}*({head:.2f} - {on.hook_height:.2f} - {rig.block.height:.2f}) - {around:.2f} = "
            f"{case.machine.rope.length:.1f} - {path:.2f} - {falls}*{fall:.2f} - {around:.2f} = {on_drum:.2f} m",
            rope(on_drum, "down"),
            ("sling_slack",),
        ),
        Line(
            "position",
            f"({on_drum:.2f} - {below:.2f})/{crane.layers[layer - 1].wrap_length:.3f} = {wrap:.2f}",
            f"{layer}, wrap {wrap:.1f}",
        ),
        Line(
            "stop",
            f"{head:.2f} - {rig.block.height:.2f} - ({crane.usable_rope:.2f} - {path:.2f} - {around:.2f})/{falls} "
            f"+ {margin:.2f} = {stop:.2f} m",
            metres(stop, "up"),
            ("stop_margin", "stop_margin_share", "dead_wraps"),
        ),
    ]
    return found


def _load(rig: Rig, plan: Plan, start: State) -> list[Line]:
    crane, case, load = rig.crane, rig.crane.case, plan["load"]
    rated, falls, values = case.machine.winch.rated_line_pull, rig.falls, case.values
    strength = case.machine.rope.minimum_breaking_force
    weight = load["planned_kg"] * STANDARD_GRAVITY
    k = case.reeving.sheaves_to_drum
    head, fall = crane.head(start.boom_length, start.radius), rig.fall_length(start)

    def balance(e: float, lead: float) -> str:
        forces, hanging = reeving.fall_sums(falls, e)
        return (
            f"e = {e:.2f}, k = {k};  ({weight:.0f} + {crane.rope_weight:.2f}*{fall:.2f}*{hanging:.3f})/{forces:.3f}"
            f"*{e:.2f}^-{k} = {lead:.0f} N"
        )

    lead, free = rig.lead_line(start, reeving.HAULING), rig.free_lead_line(start)
    tension = rig.winding_tension(start)
    return [
        Line(
            "minimum",
            f"{values.minimum_share:.2f}*{rated:.0f}*{falls}/{STANDARD_GRAVITY} = {load['minimum_kg']:.0f} kg;  "
            f"{values.accepted_share:.2f}*{load['minimum_kg']:.0f} = "
            f"{values.accepted_share * load['minimum_kg']:.0f} kg",
            mass(load["minimum_kg"], "up"),
            ("minimum_share", "accepted_share"),
        ),
        Line(
            "planned",
            f"{load['hook_block_kg']:.0f} + {load['slings_kg']:.0f} + {load['net_kg']:.0f} = "
            f"{load['planned_kg']:.0f} kg;  {load['minimum_kg']:.0f} kg;  {load['for_drum_tension_kg']:.0f} kg",
            mass(load["planned_kg"], "up"),
            ("minimum_share", "firm_tension_share"),
        ),
        Line(
            "lead",
            balance(values.sheave_efficiency, lead),
            force(lead, "up"),
            ("rolling_efficiency" if case.reeving.bearings == "rolling" else "plain_efficiency",),
        ),
        Line(
            "free",
            f"{balance(values.sheave_efficiency_upper, free)};  {free:.0f} - {crane.rope_weight:.2f}*({head:.2f} - "
            f"{case.machine.boom.winch_height:.2f}) = {tension:.0f} N",
            force(tension, "down"),
            ("sheave_efficiency_upper",),
        ),
        Line(
            "firm",
            f"{values.firm_tension_share:.2f}*{rated:.0f} = {values.firm_tension_share * rated:.0f} N",
            force(values.firm_tension_share * rated, "up"),
            ("firm_tension_share",),
        ),
        Line(
            "aim",
            f"{values.aimed_tension_share:.3f}*{strength:.0f} = {values.aimed_tension_share * strength:.0f} N;  "
            f"{load['share_of_breaking_force']:.4f}*{strength:.0f} = "
            f"{load['share_of_breaking_force'] * strength:.0f} N",
            tenth_share(load["share_of_breaking_force"], "down"),
            ("aimed_tension_share",),
        ),
    ]


def _result(rig: Rig, plan: Plan, best: Mapping[str, Any]) -> list[Line]:
    crane, case, falls = rig.crane, rig.crane.case, rig.falls
    values, last, hung = case.values, best["passes"][-1], best["passes"][0]["slings_hung"]
    start = _start(rig, plan)
    length = start.boom_length
    on = counted(rig, start)
    drop = max(0.0, on.hook_height - values.reach_height)
    found = [
        Line(
            "hang",
            f"{crane.head(length, start.radius):.2f} - ({on.hook_height:.2f} - {values.reach_height:.2f}) = "
            f"{crane.head(length, start.radius) - drop:.2f} m;  r_hang = {hung['radius_m']:.2f} m",
            metres(hung["radius_m"], "up"),
            ("reach_height",),
        )
    ]
    out = max((m for p in best["passes"] for m in p["moves"] if m["load_kg"]), key=lambda m: max(m["radius_m"]))
    at = max((0, 1), key=lambda side: out["radius_m"][side])
    loaded, radius = out["loaded_radius_m"][at], out["radius_m"][at]
    long = out["boom_length_m"][at]
    limit = values.largest_capacity_use
    found += [
        Line(
            "capacity",
            f"{radius:.2f} + {values.deflection_share:.2f}*{long:.1f}*{out['capacity_use']:.3f} = {loaded:.2f} m;  "
            f"{out['gross_load_kg']:.0f} kg of {out['rated_capacity_kg']:.0f} kg;  <= {limit:.2f}",
            share(out["capacity_use"], "up"),
            ("deflection_share", "largest_capacity_use"),
        ),
        *_firm_from(rig, start),
        *_firm_to(rig, plan, last, start),
    ]
    if best["firm_share_limit"] is not None:
        end = last["moves"][-1]["boom_length_m"][1]
        upper = case.reeving.upper_stop
        found.append(
            Line(
                "limit",
                f"1 - ({rig.drum_to_head(end):.2f} + {rig.between_falls:.2f} + {falls}*{upper:.2f})/"
                f"{case.machine.rope.length:.1f}",
                share(best["firm_share_limit"], "down"),
            )
        )
    return found


def _firm_from(rig: Rig, start: State) -> list[Line]:
    """Where firm rope begins: what is wound until the tension is there."""
    crane, case = rig.crane, rig.crane.case
    values, rope_of, falls = case.values, case.machine.rope, rig.falls
    picked = rig.rope_on_drum(start)
    path = rig.drum_to_head(start.boom_length)
    pull, slack_pull = rig.free_lead_line(start), rig.free_lead_line(start.empty)
    area = values.rope_metal_factor * rope_of.diameter**2
    across = crane.rope_weight * cos(crane.slope(start.boom_length, start.radius))
    begin = firm.firm_from(rig, start)
    return [
        Line(
            "firm_from",
            f"{picked:.2f} + {falls}*({values.sling_slack:.2f} + {rig.rebound(start):.3f}) + "
            f"{pull:.0f}*{rope_of.length - picked:.1f}/({values.rope_modulus:.3g}*{area:.6f}) + "
            f"{across:.2f}^2*{path:.1f}^3/(24*{slack_pull:.0f}^2) = {begin:.2f} m",
            rope(begin, "up"),
            ("sling_slack", "rope_metal_factor"),
        )
    ]


def _firm_to(rig: Rig, plan: Plan, last: Mapping[str, Any], start: State) -> list[Line]:
    """Where firm rope ends after the last landing, and what is firm."""
    crane, values, falls = rig.crane, rig.crane.case.values, rig.falls
    down = steps.down(rig, plan, last, last["moves"][-1])
    landed = rig.rope_on_drum(down)
    wrap = crane.layers[rig.position(down)[0] - 1].wrap_length
    empty = max(rig.tension(down.empty, reeving.PAYING_OUT), firm.LEAST_TENSION)
    laid = max(rig.tension(down, reeving.HAULING), empty)
    slipped = reeving.relaxed_wraps(laid, empty, values.rope_friction)
    give = falls * (values.sling_slack + rig.rebound(down)) + slipped * wrap
    overlap = max(values.overlap_wraps * wrap, give)
    end, begin = firm.firm_to(rig, down, values.sling_slack), firm.firm_from(rig, start)
    layer, wraps = position(crane.layers, end)
    return [
        Line(
            "overlap",
            f"N = ln({laid:.0f}/{empty:.0f})/(2*pi*{values.rope_friction:.2f}) = {slipped:.2f};  "
            f"{values.overlap_wraps}*{wrap:.3f} = {values.overlap_wraps * wrap:.2f} m;  "
            f"{falls}*({values.sling_slack:.2f} + {rig.rebound(down):.3f}) + {slipped:.2f}*{wrap:.3f} = {give:.2f} m",
            rope(overlap, "up"),
            ("overlap_wraps", "rope_friction", "sling_slack"),
        ),
        Line(
            "firm_to",
            f"{landed:.2f} - {overlap:.2f} = {landed - overlap:.2f} m;  "
            f"layer {layer}, wraps: {wraps:.0f} = {end:.2f} m",
            f"{layer}, wrap {wraps:.0f}",
        ),
        Line(
            "firm_rope",
            f"{end:.2f} - {begin:.2f} = {end - begin:.2f} m",
            rope(last["firm_rope_m"], "down"),
            ("firm_tension_share",),
        ),
    ]
