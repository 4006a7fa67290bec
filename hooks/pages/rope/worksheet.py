"""The worksheet of one rope: its limits and where to look on one printed page, with empty fields for the readings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data.model import Data
from hooks.computed import Told
from hooks.figures import rope as caliper
from hooks.pages.rope import rope as ropes
from hooks.text import addresses
from hooks.text.environment import plain, render
from hooks.text.page import Page, headings, root
from hooks.text.rope_limits import count
from hooks.text.words import Words

Found = Mapping[str, Any]

BOOST = 0.5  # in search: after the page of the rope
LINES = 14  # of the table of readings; what the log does not fill in stays empty
SAME_PLACE = 1.0  # m along the rope
KINDS = ("crossover", "sheaves")  # places whose limits differ; the end fitting has a criterion of its own
GROUPS = ("corrosion", "deformation", "heat", "end-fitting")


def address(told: Told) -> str:
    """Where the worksheet of a rope stands."""
    return f"{addresses.crane(told.machine, 'rope')}worksheet/"


def page(env: Environment, words: Words, data: Data, told: Told) -> Page:
    """The worksheet of the rope of one crane."""
    machine, found = told.machine, told.fitness
    at = address(told)
    kept = data.rules["rope-inspections"].at(found["day"])
    assert kept is not None, "calc.inspection.fitness needs the rule"
    body = render(
        env,
        "worksheet.html",
        root=root(at),
        machine=machine,
        found=found,
        plain=plain,
        mm=lambda metres, side: plain(rounding.caliper(metres, side)),
        counted=lambda metres: plain(rounding.measured_diameter(metres, "up")),
        rope_diameter=lambda metres: plain(rounding.rope_diameter(metres)),
        length=plain(rounding.rope(found["rope"]["length_m"], "near")),
        limits=list(limits(words, found)),
        columns=columns(found),
        lines=[*places(words, found), *[""] * LINES][:LINES],
        seen=[(group, [name for name, of in criteria(found) if of == group]) for group in GROUPS],
        caliper=Markup(caliper.measure(told.lifts[0][1], words.texts)),
        upper=ropes.upper,
        kept=(kept.values["monthly_record_kept_months"], kept.values["full_record_kept_months"]),
        codes=", ".join(data.rules[id].code for id in ropes.RULES),
    )
    return Page(
        address=at,
        title=words.get("rope.sheet.title").format(machine=machine.name),
        description=words.get("rope.sheet.description").format(machine=machine.name),
        search_text=words.get("rope.sheet.search").format(machine=machine.name),
        toc=headings(body),
        html=body,
        boost=BOOST,
    )


def limits(words: Words, found: Found) -> Iterator[tuple[str, list[str]]]:
    """Every limit as one short line for each regime, in both units: criterion, ISO, US."""
    order = list(words.get("fitness.criteria"))
    every = [ropes.by_criterion(found, kind) for kind in (*KINDS, "end-fitting")]
    names = sorted({name for pair in every for regime in pair for name in regime}, key=order.index)
    for name in names:
        yield name, [_limit(words, [pair[at].get(name) for pair in every]) for at in (0, 1)]


def _limit(words: Words, found: list[Found | None]) -> str:
    """One limit at crossovers and elsewhere; one that is the same everywhere is said once."""
    said = dict.fromkeys(_short(words, one) for one in found if one and not one["information"])
    texts = list(said)
    if not texts:
        return "–"
    if any(one["information"] for one in found if one):
        return f"{texts[0]}, {words.get('rope.limits.not_at_crossovers')}"
    if len(texts) == 1:
        return texts[0]
    crossing, other = words.get("rope.limits.crossing"), words.get("rope.limits.elsewhere")
    return f"{crossing} {texts[0]}, {other} {texts[1]}"


def _short(words: Words, one: Found) -> str:
    mark = words.get("rope.sheet.mark").get(one["read"], "")
    if one["unit"] == "count":
        said = count(one["limit"])
    elif one["unit"] == "m":
        said = words.get("rope.limits.thick").format(value=plain(rounding.caliper(one["limit"], "down")))
    elif one["diameter_m"] is None:
        share = rounding.tenth_share(one["limit"], "down")
        said = words.get("rope.limits.share_none").format(share=share)
    else:
        thick = one["criterion"] == "diameter-increase"
        value = plain(rounding.caliper(one["diameter_m"], "down" if thick else "up"))
        name = "thick" if thick else "diameter_beyond" if one["beyond"] else "diameter"
        said = words.get(f"rope.limits.{name}").format(value=value)
    return f"{said} {mark}".strip()


def columns(found: Found) -> list[str]:
    """What is read at a place of this rope: what either regime has a limit for."""
    lay = ["lay", "strand"] if "broken-wires-lay" in ropes.by_criterion(found, "crossover")[1] else []
    return ["short", "long", *lay, "valley", "end", "first", "second", "mean", "waviness"]


def criteria(found: Found) -> Iterator[tuple[str, str]]:
    """Everything that is seen rather than measured: criterion and its group, no one twice."""
    names: dict[str, str] = {}
    for regime in found["limits"]:
        names |= {one["criterion"]: one["group"] for one in regime["seen"]}
    yield from names.items()


def places(words: Words, found: Found) -> Iterator[str]:
    """Places to read, as lines of the worksheet: those read before, then where the log says the rope works hardest."""
    where = found["where"]
    known = [one["position"]["distance_m"] for one in found["regimes"][0]["places"] if one["position"]]
    for one in found["regimes"][0]["places"]:
        if one["place"] != "end-fitting":
            position = one["position"]
            said = ropes.upper(Markup("{}").format(words.get(f"fitness.places.{one['place']}")))
            end = "" if position is None else words.get(f"fitness.ends.{position['from']}")
            yield said if position is None else f"{said}, {_rope(position['distance_m'])} {end}"
    for work in where["usual"][:2]:
        pick = work["pick_ups"][0]
        yield words.get("rope.sheet.pick_up").format(
            layer=pick["layer"], wrap=rounding.wraps(pick["wrap"], "up"), rope=_rope(pick["rope_on_drum_m"])
        )
    if where["usual"]:
        work = where["usual"][0]
        low, high = min(work["rope_on_drum_m"]), max(work["rope_on_drum_m"])
        for at in [at for at in where["flange_points_m"] if low <= at <= high and not _near(at, known)][-2:]:
            yield words.get("rope.sheet.flange").format(rope=_rope(at))
        lead, *rest = (sheave["from_hook_m"] for sheave in work["sheaves"])
        for name, ends in (("lead_sheave", lead), ("sheaves", [end for pair in rest for end in pair])):
            if ends:
                spans = {"start": _rope(min(ends)), "end": _rope(max(ends))}
                yield words.get(f"rope.sheet.{name}").format(**spans)
    yield words.get("rope.sheet.dead").format(rope=_rope(where["dead_rope_m"]))
    yield words.get("rope.sheet.end_fitting")


def _near(at: float, known: list[float]) -> bool:
    """Whether a place has a line of its own already."""
    return any(abs(at - one) < SAME_PLACE for one in known)


def _rope(metres: float) -> str:
    return plain(rounding.rope(metres, "near"))
