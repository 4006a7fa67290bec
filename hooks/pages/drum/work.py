"""Everyday work of a crane as a page: with how little tension an empty hook and a light load lay the rope."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import chain
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data.model import Data
from calc.drum_log.drum_fields import EverydayWork
from hooks.computed import Told
from hooks.text import addresses
from hooks.text.environment import render, share, tenth_share
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

LOADS = ("empty", "light")
RULES = ("light-work", "firm-tension", "drum-drag", "sheave-efficiency")


def page(env: Environment, words: Words, data: Data, told: Told) -> Page:
    """Everyday work of one crane: for every boom length what it lays firm, loose or slack, and all values."""
    machine, work = told.machine, told.work
    at = addresses.crane(machine, "work")
    rated, breaking = work["rated_line_pull_n"], work["minimum_breaking_force_n"]
    body = render(
        env,
        "work.html",
        root=root(at),
        machine=machine,
        work=work,
        firm_share=work["firm_tension_n"] / rated,
        boom_length=rounding.boom_length,
        said=lambda boom: list(said(words, work, boom)),
        name=lambda tension: laid(work, tension),
        of_rated=lambda tension: share(tension / rated, "down"),
        of_both=lambda tension: both_shares(tension / rated, tension / breaking),
        rules=[data.rules[id] for id in RULES],
    )
    return Page(
        address=at,
        title=words.get("drum.work.title").format(machine=machine.name),
        description=words.get("drum.work.description").format(machine=machine.name),
        search_text=words.get("drum.work.search").format(machine=machine.name),
        toc=headings(body),
        html=body,
    )


def laid(work: EverydayWork, tension: float) -> str:
    """How a drum tension [N] lays the rope: firm, loose or slack."""
    if tension <= 0:
        return "slack"
    return "firm" if tension >= work["firm_tension_n"] * (1 - 1e-9) else "loose"


def both_shares(of_rated: float, of_breaking: float) -> Markup:
    """Shares of the rated line pull and, in brackets, of the breaking force, rounded down; a dash below nothing.

    >>> both_shares(0.0439, 0.0109), both_shares(-0.01, -0.003)
    (Markup('4\\xa0% (1.0\\xa0%)'), Markup('–'))
    """
    if of_rated <= 0:
        return Markup("–")
    return Markup("{} ({})").format(share(of_rated, "down"), tenth_share(of_breaking, "down"))


def said(words: Words, work: EverydayWork, boom: Mapping[str, Any]) -> Iterable[tuple[str, list[Markup]]]:
    """What everyday work does with one boom length, by load: name of the load, sentences."""
    rows = boom["falls"]
    for load in LOADS:
        hauling = {row["falls"]: [laid(work, tension) for tension in row[load]["hauling_n"]] for row in rows}
        firm = [falls for falls, words_ in hauling.items() if words_ == ["firm", "firm"]]
        slack = [falls for falls, words_ in hauling.items() if words_[1] == "slack"]
        name = "all_firm" if len(firm) == len(rows) else "some_firm" if firm else "all_loose"
        sentences = [words.say(f"drum.work.said.{name}", falls=numbers(words, firm) if firm else "")]
        if slack:
            sentences.append(words.say("drum.work.said.slack", falls=numbers(words, slack)))
        if load == "empty":
            light = [row["falls"] for row in rows if row["block_kg"] < row["block_to_overhaul_kg"]]
            if light:
                sentences.append(words.say("drum.work.said.sinks_not", falls=numbers(words, light)))
        yield load, sentences


def numbers(words: Words, falls: list[int]) -> Markup:
    """Numbers of falls, one at least, in as few words as they take: "1 fall", "2 and 5 to 8 falls"."""
    runs: list[list[int]] = []
    for one in falls:
        if runs and one == runs[-1][-1] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    if falls == [1]:
        return words.say("drum.falls_one")
    *first, last = chain.from_iterable(_run(words, run) for run in runs)
    said = words.say("drum.work.ranges", first=", ".join(first), last=last) if first else last
    return words.say("drum.falls_many", number=said)


def _run(words: Words, run: list[int]) -> list[str]:
    if len(run) < 3:
        return [str(one) for one in run]
    return [str(words.say("drum.work.range", first=run[0], last=run[-1]))]
