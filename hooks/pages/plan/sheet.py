"""The run sheet of a plan: every step to tick, the drum to expect, how to break off, what the log of the rope gets.

The page is a list that reads without a script.  assets/sheet.js takes the texts from it and the numbers from the block
of JSON in it, and keeps both with the sheet on the phone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.drum_log.log_entries import AfterMove, log_entries
from calc.winding.plan_fields import Inputs
from hooks.computed import Planned
from hooks.pages.plan import said
from hooks.pages.plan import steps as work
from hooks.text.environment import metres, plain, render, rope
from hooks.text.page import Page, in_script, root
from hooks.text.words import Words

Plan = Mapping[str, Any]

BOOM_MOVES = ("luff-out", "luff-in", "telescope-in")


@dataclass(frozen=True)
class Step:
    """One move of the sheet: number through the method, its pass, the move, what to do, how to break off during it."""

    number: int
    pass_number: int
    move: Mapping[str, Any]
    text: Markup
    stop: Markup


def page(env: Environment, words: Words, planned: Planned, of: Page, *notes: Markup) -> Page | None:
    """The run sheet of one case as a page under `of`, the page of its plan; None where no method can be done.  `notes`
    are said on top: what is other about a plan that is not the standing one."""
    case, plan = planned
    best = planned.best
    if best is None:
        return None
    machine = case.machine
    boom = rounding.boom_length(case.chart.boom_length)
    at = f"{of.address}sheet/"
    methods = sorted((m for m in plan["methods"] if m and not m["refused"]), key=lambda method: method is not best)
    body = render(
        env,
        "sheet.html",
        root=root(at),
        case=case,
        plan=plan,
        plan_address=of.address,
        notes=notes,
        boom=boom,
        best=best,
        methods=methods,
        before=work.before(words, planned, boom, at),
        steps={m["name"]: steps(words, planned, m) for m in methods},
        enough=lambda one: said.enough(words, plan, one),
        counts=said.counts(words, plan),
        numbers=script_data(words, planned, of.address, methods),
    )
    return Page(
        address=at,
        title=words.get("sheet.title").format(plan=of.title),
        description=words.get("sheet.description").format(machine=machine.name, boom=plain(boom)),
        search_text="",
        toc=(),
        html=body,
        indexed=False,
    )


def steps(words: Words, planned: Planned, method: Mapping[str, Any]) -> list[Step]:
    """All moves of a method as steps."""
    found, plan = [], planned.plan
    firm = 0.0
    for step in work.steps(words, planned, method):
        text = step.text
        if step.number == 1:
            inputs = plan["inputs"]
            least = words.say("plan.count_stop", stop=inputs["stop_wraps"], dead=inputs["dead_wraps"])
            text = Markup("{} {}").format(text, least)
        stop = stop_text(words, plan, step.move, min(firm, step.firm_if_landed))
        found.append(Step(step.number, step.pass_number, step.move, text, stop))
        firm = step.firm_if_landed
    return found


def stop_text(words: Words, plan: Plan, move: Mapping[str, Any], firm: float) -> Markup:
    """How to land the load in the middle of a move, and what is firm then at least; while the boom moves, the load may
    hang as high as the rule for a load kept low allows."""
    if move["load_kg"]:
        heights = [under or 0.0 for under in move["load_height_m"]]
        if move["move"] in BOOM_MOVES:
            heights.append(plan["inputs"]["band_top_m"])
        how = words.say("sheet.stop.land", height=metres(max(heights), "up"))
    else:
        how = words.say("sheet.stop.empty")
    firm_text = words.say("sheet.stop.firm" if firm >= 1 else "sheet.stop.nothing_firm", rope=rope(firm, "down"))
    return Markup("{} {}").format(how, firm_text)


def script_data(words: Words, planned: Planned, plan_address: str, methods: Sequence[Mapping[str, Any]]) -> Markup:
    """What the script needs beside the texts of the page, as JSON that may stand in a script element."""
    case, plan = planned
    machine = case.machine
    found = {
        "plan": {
            "address": plan_address,
            "machine": machine.id,
            "name": machine.name,
            "boom": plan["boom"],
            "boom_name": plain(rounding.boom_length(case.chart.boom_length)),
            "configuration": case.configuration.id,
            "configuration_name": case.configuration.name,
            "status": machine.status,
            "revision": machine.revision,
            "rules": plan["day"],
            "rope": plain(rounding.rope(case.machine.rope.length, "near")),
        },
        "wraps": [layer.wraps for layer in planned.crane.layers],
        "tolerance": plan["inputs"]["count_tolerance"],
        "methods": {
            m["name"]: {
                "title": words.get(f"methods.{m['name']}"),
                "moves": [
                    numbers(plan["inputs"], *one) for one in zip(_moves(m), log_entries(case, plan, m), strict=True)
                ],
            }
            for m in methods
        },
        "words": words.get("sheet.script") | words.get("kept.script"),
    }
    return in_script(found)


def _moves(method: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    return [move for one in method["passes"] for move in one["moves"]]


def numbers(inputs: Inputs, move: Mapping[str, Any], log: AfterMove) -> dict[str, Any]:
    """The drum after a move as the plan page shows it, and what the log gets from it; what is not so is left out."""
    found: dict[str, Any] = {"drum": list(said.counted(inputs, move["layer"][1], move["wrap"][1]))}
    if log.entry:
        found["entry"] = log.entry
    if log.begun:
        found["begun"] = log.begun
    if log.before:
        found["before"] = True
    if move["move"] == "land":
        found["after"] = True
    if move["rope_on_drum_m"][1] < move["rope_on_drum_m"][0]:
        found["out"] = True
    return found
