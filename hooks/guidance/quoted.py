"""Numbers of a computed plan that a hand-written page may quote, by name, rounded as on the plan page."""

from __future__ import annotations

from functools import partial

from markupsafe import Markup

from calc import rounding
from hooks.computed import Planned
from hooks.guidance.quotes import Part, Quote, first, there
from hooks.text.environment import both, force, mass, metres, rope, share, tenth_share, whole_minutes
from hooks.text.words import Words


class PlanPart(Part):
    """A plan as quotes read it."""

    def __init__(self, planned: Planned) -> None:
        super().__init__(planned.plan)
        self.planned = planned


# The plan is a PlanPart: a quote is Missing where there is no load, no start, no method.
QUOTES: dict[str, Quote] = {
    "boom": lambda plan, words: both(rounding.boom_length(plan["boom_length_m"])),
    "rope_length": lambda plan, words: rope(plan["inputs"]["rope_length_m"], "near"),
    "line_pull": lambda plan, words: force(plan["inputs"]["rated_line_pull_n"], "down"),
    "dead_wraps": lambda plan, words: plan["inputs"]["dead_wraps"],
    "stop_wraps": lambda plan, words: plan["inputs"]["stop_wraps"],
    "falls": lambda plan, words: plan["falls"]["used"],
    "falls_estimate": lambda plan, words: plan["falls"]["estimate"],
    "falls_exact": lambda plan, words: f"{plan['falls']['exact']:.1f}",
    "falls_limit": lambda plan, words: plan["falls"]["reeving_limit"],
    "unreached_rope": lambda plan, words: rope(plan["falls"]["unreached_rope_m"], "up"),
    "load": lambda plan, words: mass(plan["load"]["planned_kg"], "up"),
    "least_load": lambda plan, words: mass(plan["load"]["minimum_kg"], "up"),
    "load_for_tension": lambda plan, words: mass(plan["load"]["for_drum_tension_kg"], "up"),
    "block_mass": lambda plan, words: mass(plan["load"]["hook_block_kg"], "up"),
    "weights": lambda plan, words: mass(plan["load"]["net_kg"], "up"),
    "share_of_breaking_force": lambda plan, words: tenth_share(plan["load"]["share_of_breaking_force"], "down"),
    "reading_least": lambda plan, words: mass(plan["load"]["reading_least_kg"], "up"),
    "reading_most": lambda plan, words: mass(plan["load"]["reading_most_kg"], "down"),
    "hook_at_pick": lambda plan, words: metres(plan["stops"]["start_hook_height_m"], "near"),
    "start_radius": lambda plan, words: metres(plan["stops"]["start_radius_m"], "up"),
    "hanging_radius": lambda plan, words: metres(_pass(plan, 1)["slings_hung"]["radius_m"], "near"),
    "stop_height": lambda plan, words: metres(plan["stops"]["hook_height_m"], "up"),
    "rope_at_start": lambda plan, words: rope(plan["stops"]["rope_at_start_m"], "up"),
    "layer_at_start": lambda plan, words: plan["stops"]["layer_at_start"],
    "wrap_at_start": lambda plan, words: rounding.wraps(plan["stops"]["wrap_at_start"], "near"),
    "method": lambda plan, words: words.say(f"methods.{_best(plan)['name']}"),
    "passes": lambda plan, words: len(_best(plan)["passes"]),
    "firm_rope": lambda plan, words: rope(_best(plan)["passes"][-1]["firm_rope_m"], "down"),
    "firm_share": lambda plan, words: share(_best(plan)["passes"][-1]["firm_share"], "down"),
    "firm_rope_first_pass": lambda plan, words: rope(_best(plan)["passes"][0]["firm_rope_m"], "down"),
    "firm_share_first_pass": lambda plan, words: share(_best(plan)["passes"][0]["firm_share"], "down"),
    "full_pull_falls": lambda plan, words: _best(plan)["passes"][-1]["full_pull_falls_min"],
    "full_pull_falls_first_pass": lambda plan, words: _pass(plan, 1)["full_pull_falls_min"],
    "firm_to_layer": lambda plan, words: _best(plan)["passes"][-1]["firm_to"]["layer"],
    "firm_to_wrap": lambda plan, words: rounding.wraps(_best(plan)["passes"][-1]["firm_to"]["wrap"], "down"),
    "layer_first_pass": lambda plan, words: _pass(plan, 1)["moves"][-1]["layer"][1],
    "wrap_first_pass": lambda plan, words: rounding.wraps(_pass(plan, 1)["moves"][-1]["wrap"][1], "near"),
    "slings": lambda plan, words: metres(_pass(plan, 1)["sling_length_m"], "near"),
    "firm_share_second_pass": lambda plan, words: share(_pass(plan, 2)["firm_share"], "down"),
    "slings_second_pass": lambda plan, words: metres(_pass(plan, 2)["sling_length_m"], "near"),
    "radius_second_pass": lambda plan, words: metres(_move(plan, "pick", 2)["radius_m"][0], "near"),
    "block_rise": lambda plan, words: metres(_rise(_move(plan, "luff-in", 2)), "up"),
    "telescope_radius": lambda plan, words: metres(_move(plan, "telescope-in")["loaded_radius_m"][0], "down"),
    "telescope_end_radius": lambda plan, words: metres(_move(plan, "telescope-in")["loaded_radius_m"][1], "near"),
    "telescope_end_boom": lambda plan, words: both(
        rounding.boom_length(_move(plan, "telescope-in")["boom_length_m"][1])
    ),
    "end_radius": lambda plan, words: metres(there(plan.planned.span)[1], "down"),
    "working_radius": lambda plan, words: metres(_best(plan)["working_radius_m"], "up"),
    "longest_sling": lambda plan, words: metres(_best(plan)["longest_sling_m"], "near"),
    "minutes": lambda plan, words: whole_minutes(_best(plan)["minutes"]),
    "rigging_minutes": lambda plan, words: whole_minutes(_best(plan)["rigging_minutes"]),
    "minutes_first_pass": lambda plan, words: whole_minutes(_best(plan)["passes"][0]["minutes"]),
}


def _bed(falls: int, plan: PlanPart, words: Words) -> Markup:
    return rope(max(0.0, first(row["metres"] for row in plan["bed_needed"] if row["falls"] == falls)), "up")


# Rope that must be firm for the next lift from the ground, by its falls.
QUOTES |= {f"bed_{falls}": partial(_bed, falls) for falls in range(1, 13)}


def _best(plan: PlanPart) -> Part:
    return Part(there(plan.planned.best))


def _pass(plan: PlanPart, number: int) -> Part:
    passes = _best(plan)["passes"]
    return Part(there(passes.whole[number - 1] if number <= len(passes) else None))


def _move(plan: PlanPart, name: str, number: int = 1) -> Part:
    """The first move of this name in a pass; in a later pass the first one luffing in is that of the empty hook."""
    found: Part = first(move for move in _pass(plan, number)["moves"] if move["move"] == name)
    return found


def _rise(luff_in: Part) -> float:
    """How far the hook block comes up with the boom head while the hoist is held [m]."""
    before, after = luff_in["hook_height_m"]
    return float(after - before)
