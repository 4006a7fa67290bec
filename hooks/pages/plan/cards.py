"""The step cards of a plan: one card for every move of a method, as plan page, run sheet and lesson show them.

A card says in one line what to do, in three numbers what drum, hook and load are then, and in two figures what it looks
like; at most two sentences follow.  All numbers are those of the contract, rounded as on every page.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hooks.computed import Planned
from hooks.figures import card, drum
from hooks.pages.plan import said
from hooks.pages.plan import steps as work
from hooks.text.environment import mass, metres, rope
from hooks.text.words import Words

Plan = Mapping[str, Any]

BOOM_MOVES = ("luff-out", "luff-in", "telescope-in")
_PAIR = re.compile("<x-m>(.*?)</x-m><x-u>(.*?)</x-u>")


@dataclass(frozen=True)
class Told:
    """One move in words: what to do with its number, at most two sentences, what else to know."""

    heading: Markup
    sentences: tuple[Markup, ...]
    aside: Markup | None


@dataclass(frozen=True)
class Card:
    """One move: number through the method, its pass, verb, what to do with its number, where it stands in words, drum,
    hook and load after it, the figures, at most two sentences, what else to know, how to stop early; on the last card
    of a pass what the passes so far are enough for."""

    number: int
    pass_number: int
    move: Mapping[str, Any]
    verb: str
    heading: Markup
    where: Markup
    drum: Markup
    hook: Markup
    load: Markup
    progress: Markup
    side: Markup
    rope: Markup
    sentences: tuple[Markup, ...]
    aside: Markup | None
    enough: Markup | None
    stop: Markup


@dataclass(frozen=True)
class Deck:
    """All cards of one method; `shared` is what their figures share, `ids` begins every id in it, `key` what the marks
    on the drum mean."""

    ids: str
    shared: Markup
    cards: tuple[Card, ...]
    key: tuple[tuple[Markup, str], ...]


def deck(words: Words, planned: Planned, method: Mapping[str, Any], ids: str = "m") -> Deck:
    """The cards of a method that is not refused, in order."""
    plan = planned.plan
    steps = work.steps(words, planned, method)
    firm = [0.0, *(step.firm_if_landed for step in steps)]
    drawn = zip(steps, card.scenes(method), card.drums(plan, method), firm, strict=False)
    return Deck(
        ids,
        card.shared(plan, method, ids),
        tuple(
            _card(words, planned, method, ids, step, scene, stretches, min(before, step.firm_if_landed), len(steps))
            for step, scene, stretches, before in drawn
        ),
        tuple((card.mark(state), words.get(f"cards.key.{state}")) for state in card.LOOKS),
    )


def told(words: Words, step: work.Step) -> Told:
    """What is said of a move wherever it stands: on its card, on the page of the working."""
    name, parts = step.name, step.parts
    # a luffing jib moves on a main boom that is held
    held = parts["held"] and name in words.get("cards.say_held")
    texts = f"cards.{'say_held' if held else 'say'}.{name}"
    return Told(
        heading=words.say(f"cards.heading.{name}", **parts),
        sentences=tuple(words.say(f"{texts}.{at}", **parts) for at in words.get(texts)),
        aside=words.say(f"cards.aside.{name}", **parts) if name in words.get("cards.aside") else None,
    )


def _card(
    words: Words,
    planned: Planned,
    method: Mapping[str, Any],
    ids: str,
    step: work.Step,
    scene: card.Scene,
    stretches: Sequence[drum.Stretch],
    firm: float,
    count: int,
) -> Card:
    plan, move, parts = planned.plan, step.move, step.parts
    one = method["passes"][step.pass_number - 1]
    inputs = plan["inputs"]
    in_words = told(words, step)
    layer, wraps = said.counted(inputs, move["layer"][1], move["wrap"][1])
    place = words.say(
        f"cards.place.{'full' if wraps == said.full(inputs, layer) else 'many'}", layer=layer, wraps=wraps
    )
    dimensions = card.Dimensions(_in_figure(step.radius), _in_figure(parts["hook"]))
    return Card(
        number=step.number,
        pass_number=step.pass_number,
        move=move,
        verb=words.get(f"cards.verb.{step.name}"),
        heading=in_words.heading,
        where=words.say("cards.where", **{"pass": step.pass_number}, number=step.number, all=count),
        drum=place,
        hook=parts["hook"],
        load=mass(move["load_kg"], "up") if move["load_kg"] else words.say("cards.empty"),
        progress=card.progress(method, ids, step.number),
        side=card.side_view(plan, method, scene, ids, dimensions, _side_words(words, scene, parts)),
        rope=card.drum_view(
            plan,
            stretches,
            card.wraps_on(plan, move["layer"][1], move["wrap"][1]),
            ids,
            _drum_words(words, step.number, stretches, parts["drum"]),
        ),
        sentences=in_words.sentences,
        aside=in_words.aside,
        enough=Markup(" ").join(said.enough(words, plan, one)) if move is one["moves"][-1] else None,
        stop=stop_text(words, plan, move, firm),
    )


def stop_text(words: Words, plan: Plan, move: Mapping[str, Any], firm: float) -> Markup:
    """How to land the load in the middle of a move, and what is firm then at least; while the boom moves, the load may
    hang as high as the rule for a load kept low allows."""
    if move["load_kg"]:
        heights = [under or 0.0 for under in move["load_height_m"]]
        if move["move"] in BOOM_MOVES:
            heights.append(plan["inputs"]["band_top_m"])
        how = words.say("cards.stop.land", height=metres(max(heights), "up"))
    else:
        how = words.say("cards.stop.empty")
    firm_text = words.say("cards.stop.firm" if firm >= 1 else "cards.stop.nothing_firm", rope=rope(firm, "down"))
    return Markup("{} {}").format(how, firm_text)


# -- figures in words -------------------------------------------------------------------------------------------


def _in_figure(number: Markup) -> Markup:
    """A number of the page in a figure, where the same switch hides one of the two systems."""
    return Markup(_PAIR.sub(r"<tspan>\1</tspan><tspan>\2</tspan>", str(number)))


def _in_words(text: Markup) -> Markup:
    """A text of the page in a description, which shows both systems."""
    return Markup(_PAIR.sub(r"\1 (\2)", str(text)))


def _side_words(words: Words, scene: card.Scene, parts: Mapping[str, Any]) -> Markup:
    """Radius and hook before and after; one radius where it stays."""
    start = metres(scene.move["hook_height_m"][0], "near")
    name = "side_held" if parts["before"] == parts["radius"] else "side"
    return _in_words(words.say(f"cards.{name}", **{"from": start}, **parts))


def _drum_words(words: Words, number: int, stretches: Sequence[drum.Stretch], place: Markup) -> Markup:
    wraps = {
        name: sum(high - low for state, low, high in stretches if state == name) for name in ("firm", "wound", "out")
    }
    change = next((name for name in ("wound", "out") if wraps[name]), "held")
    return words.say(
        "cards.drum",
        number=number,
        drum=place,
        firm=words.say("cards.drum_firm", firm=wraps["firm"]) if wraps["firm"] else "",
        change=words.say(f"cards.drum_change.{change}", count=wraps.get(change, 0)),
    )
