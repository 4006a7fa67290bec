"""The run sheet of a plan: every step to tick, the drum to expect, how to break off, what the log of the rope gets.

The checks are a list, the work is the step cards of the plan; both read without a script.  assets/sheet.js takes the
texts from them and the numbers from the block of JSON in the page, and keeps both with the sheet on the phone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.drum_log.log_entries import AfterMove, log_entries
from calc.winding.plan_fields import Inputs
from hooks.computed import Planned
from hooks.pages.plan import cards, said
from hooks.pages.plan import steps as work
from hooks.text.environment import plain, render
from hooks.text.page import Page, in_script, root
from hooks.text.words import Words

Plan = Mapping[str, Any]


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
    decks: dict[str, cards.Deck] = {
        m["name"]: cards.deck(words, planned, m, ids) for m, ids in zip(methods, ("m", "o"), strict=False)
    }
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
        decks=decks,
        counts=said.counts(words, plan),
        numbers=script_data(words, planned, of.address, methods, decks),
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


def script_data(
    words: Words,
    planned: Planned,
    plan_address: str,
    methods: Sequence[Mapping[str, Any]],
    decks: Mapping[str, cards.Deck],
) -> Markup:
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
                    {"pass": card.pass_number, "title": card.verb, **numbers(plan["inputs"], card.move, log)}
                    for card, log in zip(decks[m["name"]].cards, log_entries(case, plan, m), strict=True)
                ],
            }
            for m in methods
        },
        "words": words.get("sheet.script") | words.get("kept.script"),
    }
    return in_script(found)


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
