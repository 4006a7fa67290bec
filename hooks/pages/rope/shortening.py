"""Shortening the rope of one crane as a page: how much may be cut off, where crossovers come, the hook's height."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data.model import Data, Machine, Rule
from hooks.computed import Told
from hooks.figures import rope as rope_figures
from hooks.figures import upkeep as figures
from hooks.pages.drum import drum_state
from hooks.text import addresses
from hooks.text.environment import both, metres, show
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

RULES = ("shortening", "crossover-shift", "stop-wraps", "where-to-look", "heat-and-arc", "limiter-and-stops")


@dataclass(frozen=True, kw_only=True)
class View:
    """What shortening.html shows."""

    root: str
    machine: Machine
    found: Mapping[str, Any]  # what may be cut off
    verdict: str
    facts: dict[str, Markup]
    share: float | None  # of a wrap by which a cut should move the crossovers
    rig: Callable[..., Markup]
    of_wrap: Callable[[float, str], str]
    boom_length: Callable[[float], rounding.Pair]
    falls: Callable[[int], Markup]
    cut_length: Callable[[float], Markup]
    turns: Callable[[float | None], str]
    stop: Callable[[float], Markup]
    stops: list[tuple[Mapping[str, Any], list[float]]]  # heights for each rig of the log
    grounded: list[Mapping[str, Any]]  # rigs whose hook meets the ground before the stop
    crossing: list[int]  # layers with crossovers
    cut_unit: Markup  # of a cut, in the head of its column
    left: Markup
    shifted: Markup
    rules: list[Rule]
    feed: str


def page(env: Environment, words: Words, data: Data, told: Told) -> Page:
    """What may be cut off the rope of one crane, and what a cut does."""
    machine, found = told.machine, told.cut
    at = addresses.crane(machine, "shortening")
    share = data.rules["crossover-shift"].at(found["day"])
    stops = list(stop_heights(found))
    view = View(
        root=root(at),
        machine=machine,
        found=found,
        verdict=verdict(found),
        facts=facts(words, found),
        share=share.values["shift_of_a_wrap"] if share else None,
        rig=lambda used, name="rig": rig(words, used, name),
        of_wrap=rounding.share,
        boom_length=rounding.boom_length,
        falls=lambda number: drum_state.falls(words, number),
        cut_length=cut_length,
        turns=turns,
        stop=stop,
        stops=[(used, heights) for used, heights in stops if any(height > 0 for height in heights)],
        grounded=[used for used, heights in stops if not any(height > 0 for height in heights)],
        crossing=[layer["layer"] for layer in found["cut"]["layers"] if layer["crosses"]],
        cut_unit=both(rounding.Pair("m", "in")),
        left=Markup(figures.rope_left(found, words.texts)),
        shifted=Markup(rope_figures.crossover_shift(_drum(told), words.texts)),
        rules=[data.rules[name] for name in RULES if name in data.rules],
        feed=f"data/v1/shortening/{machine.id}.json",
    )
    body = show(env, "shortening.html", view)
    return Page(
        address=at,
        title=words.get("upkeep.shortening.title").format(machine=machine.name),
        description=words.get("upkeep.shortening.description").format(machine=machine.name),
        search_text=words.get("upkeep.shortening.search").format(machine=machine.name),
        toc=headings(body),
        html=body,
    )


def verdict(found: Mapping[str, Any]) -> str:
    """What the log comes to for the cut that moves the crossovers: cut, too-long, nothing or unknown."""
    most = found["may_be_cut_m"]
    if most is None:
        return "unknown"
    if found["cut"]["enough_left"]:
        return "cut"
    return "too-long" if rounding.length(most, "down").metric != rounding.length(0.0, "down").metric else "nothing"


def facts(words: Words, found: Mapping[str, Any]) -> dict[str, Markup]:
    """What the headline names: the cut that moves the crossovers, the longest cut and the rig that limits it."""
    named = {"cut": cut_length(found["cut"]["length_m"])}
    least = min(found["used"], key=lambda used: used["spare_m"], default=None)
    if least is not None:
        named |= {"length": metres(found["may_be_cut_m"], "down"), "rig": rig(words, least, "of_rig")}
    return named


def stop_heights(found: Mapping[str, Any]) -> Iterator[tuple[Mapping[str, Any], list[float]]]:
    """Every rig the log holds with its stop heights: now, then after each cut [m]; below 0 under the ground."""
    for at, used in enumerate(found["used"]):
        yield used, [used["stop_height_m"][0], *(cut["stop_height_m"][at] for cut in found["cuts"])]


def rig(words: Words, used: Mapping[str, Any], name: str) -> Markup:
    """Boom length and falls, in the text of this name: "Boom 54 m, 8 falls"."""
    boom = both(rounding.boom_length(used["boom_length_m"]))
    return words.say(f"upkeep.{name}", boom=boom, falls=drum_state.falls(words, used["falls"]))


def cut_length(value: float) -> Markup:
    """A length to cut: 10 mm and half an inch."""
    return both(rounding.cut(value, "near"))


def turns(share: float | None) -> str:
    """A share of a turn, rounded down: nearer to a crossover than it is.

    >>> turns(0.2499), turns(None)
    ('0.24', '–')
    """
    return "–" if share is None else f"{rounding.step(share, 0.01, 'down'):.2f}"


def stop(height: float) -> Markup:
    """A stop height, rounded up; a dash where the hook meets the ground first."""
    return metres(height, "up") if height > 0 else Markup("–")


def _drum(told: Told) -> dict[str, Any]:
    """What the figure of the crossovers is drawn from: any plan of the crane with the rope as it is now."""
    _, plan, _ = told.lifts[0]
    return {**plan, "inputs": told.inputs}
