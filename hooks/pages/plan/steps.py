"""The work of a plan as steps in words: what comes before the rope moves, every move, what is firm if it ends there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.data.model import Case
from calc.winding import firm
from calc.winding.rig import Rig, State
from hooks.computed import Planned
from hooks.figures import plan_view
from hooks.pages.plan import said
from hooks.text.environment import both, mass, metres, rope, rope_diameter, whole
from hooks.text.words import Words

Plan = Mapping[str, Any]
Pass = Mapping[str, Any]
Move = Mapping[str, Any]

NEEDS_LOAD = ("area", "reeve", "limiter", "weights")  # steps that a plan without a load cannot give in full
PRINTED = 1e-6  # [m], what a plan is printed to
REWINDING = ("pick", "luff-in")  # moves of a later pass over rope that the pass before has wound


@dataclass(frozen=True)
class Step:
    """One move as the crew does it: number through the whole method, pass, the move, the radius after it, which text of
    the cards it has and what is put into it, and what is firm if the load is landed straight down after it [m]."""

    number: int
    pass_number: int
    move: Move
    radius: Markup
    name: str
    parts: Mapping[str, Any]
    firm_if_landed: float


# -- before the rope moves --------------------------------------------------------------------------------------


def before(words: Words, planned: Planned, boom: rounding.Pair, at: str) -> list[tuple[str, Markup]]:
    """What comes before the rope moves, in the order of the site; without a load, what does not need one.  `at` is the
    address of the page: how deep it is due stands on the page of the drum."""
    plan = planned.plan
    drum_page = "../" * (at.count("/") - 2) + "drum/"
    found = []
    for key, title in words.get("plan.before_steps").items():
        if key in NEEDS_LOAD and not (plan["load"] and plan["stops"]):
            continue
        name = Markup('<a href="{}">{}</a>').format(drum_page, title) if key == "depth" else title
        found.append((name, Markup(" ").join(_before(words, planned, boom, key))))
    return found


def _before(words: Words, planned: Planned, boom: rounding.Pair, key: str) -> Iterator[Markup]:
    parts = parts_before(words, planned, boom)
    yield words.say(f"plan.before_text.{key}", **parts)
    if key == "area" and "slew" in parts:
        yield words.say("plan.before_text.area_second", **parts)
    if key == "limiter" and planned.case.jib is not None:
        yield on_jib(words, planned.plan)


def on_jib(words: Words, plan: Plan) -> Markup:
    """What is other about a plan over a jib head."""
    held = held_at(plan)
    return words.say("plan.jib.held", angle=held) if held else words.say("plan.jib.fixed")


def held_at(plan: Plan) -> str:
    """Angle at which the main boom of a luffing jib is held; empty without one."""
    angle = plan["inputs"].get("jib", {}).get("boom_angle_deg")
    return "" if angle is None else rounding.degrees(angle, "near")


def parts_before(words: Words, planned: Planned, boom: rounding.Pair) -> dict[str, Any]:
    """The parts that texts about the time before the rope moves may name; without a load, those that need none."""
    case, plan = planned
    best, block = planned.best, planned.block
    clear = best["working_radius_m"] if best else None
    parts: dict[str, Any] = {
        "rope": rope_diameter(case.machine.rope.diameter),
        "length": rope(case.machine.rope.length, "near"),
        "radius": metres(clear, "up") if clear is not None else words.get("plan.area_unknown"),
        "half": metres(plan_view.half_width(plan), "up"),
        "configuration": case.configuration.name,
        "boom": both(boom),
        "falls": plan["falls"]["used"],
    }
    if block and plan["stops"]:
        names = {weight.id: weight.name for weight in case.yard.weights}
        parts |= {
            "block": block["id"],
            "mass": mass(block["mass_kg"], "up"),
            "start": metres(plan["stops"]["start_radius_m"], "up"),
            "weights": said.hung(words, case, plan),
            "base": names[said.base(plan)],
        }
    if slewed := [one["slew_deg"] for one in best["passes"] if one["slew_deg"]] if best else []:
        parts["slew"] = rounding.degrees(max(slewed), "up")
    return parts


# -- moves ------------------------------------------------------------------------------------------------------


def steps(words: Words, planned: Planned, method: Mapping[str, Any]) -> list[Step]:
    """All moves of a method in order, in words."""
    case, plan = planned
    found: list[Step] = []
    places = said.radii(method)
    firm_lengths = firm_if_landed(planned, method)
    landed: Move | None = None
    for number, one in enumerate(method["passes"], 1):
        for at, move in enumerate(one["moves"]):
            place, length = places[len(found)], firm_lengths[len(found)]
            name = _name(one, at, landed is not None)
            back = _return_parts(words, case, plan, one, landed) if landed else {}
            parts = _parts(words, plan, one, at, place) | back
            found.append(Step(len(found) + 1, number, move, place[1], name, parts, length))
        landed = one["moves"][-1]
    return found


def _name(one: Pass, at: int, again: bool) -> str:
    """Which text a move has: the same move means other things with and without a load, and in a later pass."""
    move = one["moves"][at]
    name = str(move["move"])
    if move["load_kg"]:
        return f"{name}-again" if again and name == "pick" else name
    if name == "pay-out" and again:
        return "unhook" if at == 0 else "lower-rest"
    if name == "luff-in":
        return "hang-extension" if again else "hang"
    return "luff-out-empty" if name == "luff-out" else name


def _parts(words: Words, plan: Plan, one: Pass, at: int, place: tuple[Markup, Markup]) -> dict[str, Any]:
    """What is put into the text of a move; `place` the radius before and after."""
    move, inputs = one["moves"][at], plan["inputs"]
    lowered = move["hook_height_m"][0] - move["hook_height_m"][1]
    extension = one["slings_hung"]["extension_m"]
    sling = metres(one["sling_length_m"], "near")
    hung_here = move["move"] == "pick" and not any(m["move"] == "luff-in" for m in one["moves"][:at])
    under = metres(move["load_height_m"][1] or 0.0, "near")
    return {
        "held": held_at(plan),
        "drum": said.place(words, inputs, move["layer"][1], move["wrap"][1]),
        "before": place[0],
        "radius": place[1],
        "hook": metres(move["hook_height_m"][1], "near"),
        "low": metres(inputs["clearance_m"], "near"),
        "high": metres(inputs["band_top_m"], "near"),
        "load": mass(move["load_kg"], "up"),
        "reading": said.reading(words, plan, "cards.reading", under=under),
        "least": words.say("plan.count_stop", stop=inputs["stop_wraps"], dead=inputs["dead_wraps"]),
        "boom": both(rounding.boom_length(move["boom_length_m"][1])),
        "lift": metres(inputs["first_lift_m"], "near"),
        "sling": sling,
        "hang": words.say("cards.hang", sling=sling) if hung_here else "",
        "extension": metres(extension, "near"),
        "rest": metres(lowered, "near"),
        "return": "",
        "back": "",
    }


def _return_parts(words: Words, case: Case, plan: Plan, one: Pass, landed: Move) -> dict[str, Any]:
    """How the load comes back under the hook for this pass: in short, and in full."""
    pick = next(move for move in one["moves"] if move["move"] == "pick")
    apart = landed["radius_m"][1] - pick["radius_m"][0]
    parts = {
        "distance": metres(abs(apart), "near"),
        "way": words.get("plan.return.towards" if apart > 0 else "plan.return.away"),
        "radius": metres(pick["radius_m"][0], "near"),
        "slew": whole(rounding.degrees(one["slew_deg"] or 0.0, "up")),
        "weights": said.hung(words, case, plan),
    }
    way = one["load_return"]
    return {"return": words.say(f"cards.return.{way}", **parts), "back": words.say(f"plan.return.{way}", **parts)}


# -- what is firm if the work ends ------------------------------------------------------------------------------


def firm_if_landed(planned: Planned, method: Mapping[str, Any]) -> list[float]:
    """For every move of a method the rope firm if the load is landed straight down after it [m].

    Firm from where the first pick lays it firm to the landing, less the wraps that slip there.  In a later pass no more
    than before it, as long as the load is only brought back over rope that is wound already.
    """
    rig, plan = planned.rig, planned.plan
    assert rig is not None, "a plan with a method has a load and a start"
    first = method["passes"][0]
    begin = firm.firm_from(rig, picked(rig, plan, first))
    found: list[float] = []
    had = 0.0
    for one in method["passes"]:
        wound = False
        for move in one["moves"]:
            wound = wound or (bool(move["load_kg"]) and move["move"] not in REWINDING)
            if not move["load_kg"]:
                left = had
            else:
                end = firm.firm_to(rig, down(rig, plan, one, move), plan["inputs"]["sling_slack_m"])
                left = max(0.0, end - begin)
                left = min(left, one["firm_rope_m"] if wound else had)
            found.append(left)
        had = one["firm_rope_m"]
    return found


def picked(rig: Rig, plan: Plan, one: Pass) -> State:
    """The hook over the load on the ground, the slings just straight, where a pass picks it up."""
    pick = next(move for move in one["moves"] if move["move"] == "pick")
    return _loaded(rig, plan, one, pick, 0)


def down(rig: Rig, plan: Plan, one: Pass, move: Move) -> State:
    """The load landed straight down after a move."""
    state = _loaded(rig, plan, one, move, 1)
    return state.at_height(state.hang)


def _loaded(rig: Rig, plan: Plan, one: Pass, move: Move, end: int) -> State:
    """One end of a move, the load on the hook.  A load on a row of the chart stays on it, whatever its radius was
    rounded to when it was printed."""
    load = plan["load"]
    base = plan["inputs"]["slings"][0]["length_m"]
    length, radius = move["boom_length_m"][end], move["radius_m"][end]
    charts = rig.crane.charts
    chart = min(charts, key=lambda chart: abs(chart.boom_length - length))
    return State(
        chart.boom_length if abs(chart.boom_length - length) < PRINTED else length,
        max(radius - PRINTED, min(radius, chart.rows[0][0])),
        move["hook_height_m"][end],
        rig.falls,
        move["load_kg"] - rig.block.mass,
        one["hook_at_pick_m"],
        base - load["hanging_height_m"],
    )
