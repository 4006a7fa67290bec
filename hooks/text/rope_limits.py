"""Limits and places of one rope in words: what the page of the rope and its worksheet share.

Limits are rounded to the side that ends the use sooner: a least diameter up, everything else down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.inspection.judging import limit_side, margin_side
from hooks.text.environment import both, rope, tenth_share
from hooks.text.words import Words

Told = Mapping[str, Any]


@dataclass(frozen=True)
class Value:
    """One limit as it is said: where it holds ("" everywhere), the value, more about it, how it was read."""

    where: str
    said: Markup
    more: Markup
    read: str


@dataclass(frozen=True)
class Row:
    """One criterion with its limits under both regimes, ISO first; none where a regime has no such limit."""

    criterion: str
    values: tuple[tuple[Value, ...], tuple[Value, ...]]


def measured(metres: float, side: str) -> Markup:
    """A diameter or a gap as a caliper reads it."""
    return both(rounding.caliper(metres, side))


def counted(metres: float) -> Markup:
    """A length of rope that is marked off along it, to count broken wires or to cut a tail: rounded up."""
    return both(rounding.measured_diameter(metres, "up"))


def against(words: Words, one: Told) -> Markup:
    """The reading of one criterion and its limit; nothing that differs prints alike."""
    beyond = one["beyond"]
    if one["measured_limit_m"] is not None:
        side = limit_side(one["criterion"])
        read, limit = map(both, rounding.against(one["measured_m"], one["measured_limit_m"], side))
        name = "from" if side == "down" else "under" if beyond else "down_to"
    else:
        said = rounding.used_up if one["unit"] == "share" else count
        read, limit = Markup("{}").format(said(one["reading"])), Markup("{}").format(said(one["limit"]))
        name = "against_beyond" if beyond else "against"
    return words.say(f"rope.judged.{name}", reading=read, limit=limit)


def margin(words: Words, one: Told) -> Markup:
    """What lies between a diameter or a gap and its limit: left is rounded down, past it up."""
    side = margin_side(one)
    shown = both(rounding.margin(abs(one["margin_m"]), "up" if side == "past" else "down"))
    return words.say(f"fitness.margins.{side}", margin=shown)


def place(words: Words, found: Told) -> Markup:
    """A place of the rope: its kind, and how far it is from which end."""
    kind = words.get(f"fitness.places.{found['place']}")
    position = found["position"]
    if position is None:
        return Markup("{}").format(kind)
    end = words.get(f"fitness.ends.{position['from']}")
    return Markup("{}, {} {}").format(kind, rope(position["distance_m"], "near"), end)


def count(value: float) -> str:
    """A count of broken wires.

    >>> count(3.0)
    '3'
    """
    return f"{value:g}"


def rows(words: Words, fitness: Told) -> list[Row]:
    """Every limit of the rope that is a number, by criterion in the order of the criteria."""
    criteria: list[str] = []
    for regime in fitness["limits"]:
        for group in regime["measured"]:
            criteria += [one["criterion"] for one in group["limits"] if one["criterion"] not in criteria]
    order = list(words.get("fitness.criteria"))
    found = []
    for criterion in sorted(criteria, key=order.index):
        iso, us = (tuple(_values(words, fitness, regime, criterion)) for regime in fitness["limits"])
        found.append(Row(criterion, (iso, us)))
    return found


def _values(words: Words, fitness: Told, regime: Told, criterion: str) -> Iterator[Value]:
    """The limits of one criterion, each with the places where it holds."""
    places: dict[tuple[float, bool], list[str]] = {}
    limits: dict[tuple[float, bool], Told] = {}
    every = [(group["places"], one) for group in regime["measured"] for one in group["limits"]]
    mine = [(kinds, one) for kinds, one in every if one["criterion"] == criterion]
    for kinds, one in mine:
        if not one["information"]:
            key = one["limit"], one["beyond"]
            places.setdefault(key, []).extend(kinds)
            limits[key] = one
    for key, one in limits.items():
        said, more = _said(words, fitness, one)
        where = _where(words, places[key], len(limits))
        if len(limits) == 1 and any(one["information"] for _, one in mine):
            where = str(words.get("rope.limits.not_at_crossovers"))
        yield Value(where, said, more, words.get(f"fitness.read.{one['read']}"))


def _where(words: Words, kinds: list[str], limits: int) -> str:
    """Where one of several limits of a criterion holds."""
    if limits == 1:
        return ""
    if "straight" not in kinds:
        return str(words.get("rope.limits.bending" if "drum" in kinds else "rope.limits.crossing"))
    return str(words.get("rope.limits.not_bending" if len(kinds) == 1 else "rope.limits.elsewhere"))


def _said(words: Words, fitness: Told, one: Told) -> tuple[Markup, Markup]:
    """One limit and what it is worked out from."""
    nothing = Markup("")
    if one["unit"] == "count":
        return _more(words, one, Markup("{}").format(count(one["limit"]))), nothing
    if one["unit"] == "m":
        return words.say("rope.limits.thick", value=measured(one["limit"], "down")), nothing
    reference = fitness["rope"]["reference_m"]
    share = tenth_share(one["limit"], "down")
    if one["diameter_m"] is None:
        return _more(words, one, words.say("rope.limits.share_none", share=share)), nothing
    if one["criterion"] == "diameter-increase":
        value = words.say("rope.limits.thick", value=measured(one["diameter_m"], "down"))
        return value, words.say("rope.limits.share_over", share=share, base=measured(reference, "near"))
    value = measured(one["diameter_m"], "up")
    if one["beyond"]:
        nominal = both(rounding.rope_diameter(fitness["rope"]["diameter_m"]))
        more = words.say("rope.limits.share_nominal", share=share, base=nominal)
        return words.say("rope.limits.diameter_beyond", value=value), more
    more = words.say("rope.limits.share", share=share, base=measured(reference, "near"))
    return words.say("rope.limits.diameter", value=value), more


def _more(words: Words, one: Told, value: Markup) -> Markup:
    return words.say("rope.limits.more_than", value=value) if one["beyond"] else value
