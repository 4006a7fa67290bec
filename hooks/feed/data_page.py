"""The page that explains the feed: files, promise, units, every field by the schemas, one plan computed by hand."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data.model import Data
from hooks.computed import Planned
from hooks.feed import feed, recompute
from hooks.pages.plan import plan as plans
from hooks.text import addresses
from hooks.text.environment import metres
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

PATTERNS = {  # kind of file -> its address
    "machines": f"{feed.BASE}machines.json",
    "machine": f"{feed.BASE}machines/<id>.json",
    "plan": f"{feed.BASE}plans/<id>/<boom>.json",
    "other": f"{feed.BASE}plans/<id>/<boom>.<configuration>.json",
    "rules": f"{feed.BASE}rules.json",
    "fleet": f"{feed.BASE}fleet.json",
    "upkeep": f"{feed.BASE}upkeep/<id>.json",
    "row": f"{feed.BASE}upkeep/<id>.csv",
    "state": f"{feed.BASE}state/<id>.json",
    "drum_plan": f"{feed.BASE}state/<id>/plan.json",
    "work": f"{feed.BASE}work/<id>.json",
    "fitness": f"{feed.BASE}fitness/<id>.json",
    "lifts": f"{feed.BASE}ready/<id>/<boom>.json",
    "shortening": f"{feed.BASE}shortening/<id>.json",
    "new-rope": f"{feed.BASE}new-rope/<id>.json",
    "schema": f"{feed.BASE}schema/<kind>.schema.json",
}


@dataclass(frozen=True)
class File:
    """One kind of file: pattern of its address, what it holds, and those of this site where they are few."""

    pattern: str
    text: str
    links: tuple[str, ...]


@dataclass(frozen=True)
class Field:
    """One field as its schema describes it; `values` where only a few are possible and the text does not name them."""

    path: str
    text: str
    values: tuple[str, ...]


@dataclass(frozen=True)
class Taken:
    """One number taken from the file: letter in the formulas, value, field."""

    letter: str
    value: str
    field: str


@dataclass(frozen=True)
class Step:
    """One letter computed: numbers put in, result."""

    letter: str
    numbers: str
    result: str


@dataclass(frozen=True)
class Found:
    """One result found again: its field, the number there and the one computed."""

    field: str
    exact: str
    computed: str


@dataclass(frozen=True)
class Example:
    """The worked example: plan page and file, what is taken and computed, where it is found, the program and its
    output, and the stop height as the plan page shows it."""

    page: str
    title: str
    file: str
    taken: tuple[Taken, ...]
    steps: tuple[Step, ...]
    found: tuple[Found, ...]
    shown: Markup
    program: str
    output: str


def page(env: Environment, words: Words, data: Data, made: Iterable[Planned]) -> Page:
    """The page for everything in the data."""
    # not through `render`: it takes the indents out of the program
    body = env.get_template("data.html").render(
        root=root(addresses.DATA),
        files=files(words, data),
        findings=[(machine.name, id, finding) for id, machine in data.machines.items() for finding in machine.findings],
        refusals=words.get("refusals"),
        warnings=words.get("warnings"),
        example=example(words, made),
        fields=[(name, PATTERNS[name], list(fields(name))) for name in feed.SCHEMAS],
    )
    return Page(
        address=addresses.DATA,
        title=words.get("feed.title"),
        description=words.get("feed.description"),
        search_text=words.get("feed.search"),
        toc=headings(body),
        html=body,
    )


def files(words: Words, data: Data) -> list[File]:
    """Every kind of file, with links where there are few of it."""
    links: dict[str, tuple[str, ...]] = {
        "machines": (PATTERNS["machines"],),
        "machine": tuple(f"{feed.BASE}machines/{id}.json" for id in data.machines),
        "rules": (PATTERNS["rules"],),
        "fleet": (PATTERNS["fleet"],),
        "upkeep": tuple(f"{feed.BASE}upkeep/{id}.json" for id in data.upkeep),
        "row": tuple(f"{feed.BASE}upkeep/{id}.csv" for id in data.upkeep),
        "shortening": tuple(f"{feed.BASE}shortening/{id}.json" for id in data.machines),
        "new-rope": tuple(f"{feed.BASE}new-rope/{id}.json" for id in data.machines),
        "schema": tuple(f"{feed.BASE}schema/{name}.schema.json" for name in feed.SCHEMAS),
    }
    texts = words.get("feed.file")
    return [File(pattern, texts[name], links.get(name, ())) for name, pattern in PATTERNS.items()]


def fields(name: str) -> Iterator[Field]:
    """Every field of one schema in its order, definitions put in where they are used."""
    whole = feed.schema(name)
    yield from _fields(whole, whole, "")


def _fields(whole: Mapping[str, Any], node: Mapping[str, Any], path: str) -> Iterator[Field]:
    node = _definition(whole, node)
    for name, part in node.get("properties", {}).items():
        here = f"{path}.{name}" if path else name
        found = {**_definition(whole, part), **part}
        text, values = str(found["description"]), tuple(found.get("enum", ()))
        yield Field(here, _sentence(text), () if all(value in text for value in values) else values)
        yield from _fields(whole, part, here)
    each = node.get("prefixItems", ())
    lists = each if each and "properties" in _definition(whole, each[0]) else (node.get("items"),)
    for part in lists[:1]:  # entries of one list are described once
        if isinstance(part, Mapping):
            yield from _fields(whole, part, f"{path}[]")
    if isinstance(other := node.get("additionalProperties"), Mapping):
        yield from _fields(whole, other, f"{path}{{}}")
    for part in node.get("anyOf", ()):
        yield from _fields(whole, part, path)


def _definition(whole: Mapping[str, Any], node: Mapping[str, Any]) -> Mapping[str, Any]:
    """A node, or the definition it refers to."""
    name = str(node.get("$ref", "")).rpartition("/")[2]
    found: Mapping[str, Any] = whole["$defs"][name] if name else node
    return found


def _sentence(text: str) -> str:
    """A description as it stands on the page.

    >>> _sentence("rope length [m]"), _sentence("kind of boom")
    ('Rope length [m]', 'Kind of boom.')
    """
    return f"{text[0].upper()}{text[1:]}{'' if text.endswith(']') else '.'}"


def simplest(made: Iterable[Planned]) -> Planned | None:
    """The plan with the fewest falls, the shortest to compute by hand, of a crane whose data is metric if there is one;
    None when every plan is refused."""
    possible = (one for one in made if one.best)
    return min(possible, key=lambda one: (one.case.machine.units != "metric", one.plan["falls"]["used"]), default=None)


def example(words: Words, made: Iterable[Planned]) -> Example | None:
    """The `simplest` plan, computed by hand; None when every plan is refused."""
    chosen = simplest(made)
    if chosen is None:
        return None
    case, plan = chosen
    found = recompute.recompute(dict(plan))
    taken = _taken(chosen)
    place = (case.machine, case.configuration.id, case.chart.slug)
    boom = rounding.boom_length(case.chart.boom_length).metric
    stops = plan["stops"]
    assert stops is not None, "a plan with a method has its stops"
    return Example(
        page=chosen.address,
        title=words.get("plan.title").format(machine=case.machine.name, boom=boom),
        file=plans.feed_address(*place),
        taken=tuple(taken.values()),
        steps=tuple(_steps({letter: one.value for letter, one in taken.items()}, found)),
        found=(
            Found("stops.rope_at_start_m", json.dumps(stops["rope_at_start_m"]), f"{found['on_drum']:.4f}"),
            Found("stops.hook_height_m", json.dumps(stops["hook_height_m"]), f"{found['h_stop']:.4f}"),
        ),
        shown=metres(stops["hook_height_m"], "up"),
        program=Path(recompute.__file__).read_text(encoding="utf-8").strip(),
        output=recompute.printed(found),
    )


def _taken(planned: Planned) -> dict[str, Taken]:
    """What the example takes from the file, by letter."""
    plan, block = planned.plan, planned.block
    inputs = plan["inputs"]
    at = next(i for i, chart in enumerate(inputs["charts"]) if chart["boom_length_m"] == plan["boom_length_m"])
    rows, steep = inputs["charts"][at]["rows"], recompute.steepest(dict(plan))
    dr = recompute.recompute(dict(plan))["dr"]
    row = next((j for j, (listed, _) in enumerate(rows) if listed >= steep + dr), len(rows) - 1)
    places = {
        "L_rope": "inputs.rope_length_m",
        "L": "boom_length_m",
        "a": "inputs.rope_path_extra_m",
        "x_p": "inputs.pivot_forward_m",
        "z_p": "inputs.pivot_height_m",
        "r": "stops.start_radius_m",
        "h": "stops.start_hook_height_m",
        "n": "falls.used",
        "b": f"inputs.blocks.{next(i for i, one in enumerate(inputs['blocks']) if one == block)}.height_m",
        "R_s": "inputs.sheave_radius_m",
        "D_b": "inputs.groove_root_diameter_m",
        "d": "inputs.rope_diameter_m",
        "z_d": "inputs.wraps_odd_layers" if inputs["drum_surface"] == "smooth" else "inputs.dead_wraps",
        "slack": "inputs.sling_slack_m",
        "r_0": f"inputs.charts.{at}.rows.0.0" if steep == rows[0][0] else "inputs.clear_radius_m",
        "c": "inputs.deflection_share",
        "M": "load.planned_kg",
        "m_r": "inputs.rope_mass_kg_per_m",
        "C": f"inputs.charts.{at}.rows.{row}.1",
        "e": "inputs.stop_margin_share",
        "m": "inputs.stop_margin_m",
    }
    return {letter: Taken(letter, json.dumps(_at(plan, place)), _bracketed(place)) for letter, place in places.items()}


def _at(plan: Mapping[str, Any], place: str) -> Any:
    found: Any = plan
    for step in place.split("."):
        found = found[int(step) if step.isdigit() else step]
    return found


def _bracketed(place: str) -> str:
    """A place with its list entries in brackets.

    >>> _bracketed("inputs.blocks.1.height_m")
    'inputs.blocks[1].height_m'
    """
    return "".join(f"[{step}]" if step.isdigit() else f".{step}" for step in place.split(".")).removeprefix(".")


def _steps(given: Mapping[str, str], found: Mapping[str, float]) -> Iterator[Step]:
    """Every letter with its numbers put in."""
    known = {**given} | {letter: f"{metres:.4f}" for letter, metres in found.items()}
    numbers = {
        "h_on": "{h} - {slack}",
        "H": "{z_p} + sqrt({L}^2 - ({r} - ({x_p}))^2)",
        "P": "{L} + ({a})",
        "s": "{H} - {h_on} - {b}",
        "w": "({n} - 1)*pi*{R_s}",
        "R": "{P} + {n}*{s} + {w}",
        "on_drum": "{L_rope} - {R}",
        "L_u": "{L_rope} - {z_d}*pi*({D_b} + {d})",
        "H_0": "{z_p} + sqrt({L}^2 - ({r_0} - ({x_p}))^2)",
        "dr": "{c}*{L}*({M} + {n}*({H_0} - {h} - {b})*{m_r})/{C}",
        "rebound": "{H_0} - ({z_p} + sqrt({L}^2 - ({r_0} + {dr} - ({x_p}))^2))",
        "margin": "max({m}, {e}*{L_rope}/{n} + {rebound})",
        "h_stop": "{H} - {b} - ({L_u} - {P} - {w})/{n} + {margin}",
    }
    for letter, text in numbers.items():
        yield Step(letter, text.format(**known), f"{known[letter]} m")
