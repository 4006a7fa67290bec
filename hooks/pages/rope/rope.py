"""The hoist rope of one crane as a page: what its readings come to under both regimes, its limits, where to look, its
inspections and when the next is due, what construction and grade imply, where published numbers differ.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from calc import rounding
from calc.data.model import Data, Machine, Rule, RuleVersion
from calc.formulas import rope as ropes
from hooks.computed import Told
from hooks.figures import inspection as figures
from hooks.figures import rope as caliper
from hooks.pages.drum import drum_fit, drum_state
from hooks.text import addresses
from hooks.text.environment import both, diameter, force, mass_per_length, rope, show, tenth_share
from hooks.text.page import Page, headings, root
from hooks.text.rope_limits import Row, against, count, counted, margin, measured, place, rows
from hooks.text.words import Words

Found = Mapping[str, Any]

RULES = (  # what the page rests on, in the order in which it is shown
    "rope-inspections", "where-to-look", "rope-verdict", "broken-wires-iso", "broken-wires-us", "broken-wires-valley",
    "diameter-decrease-iso", "diameter-at-crossovers", "diameter-decrease-us", "corrosion", "deformation",
    "heat-and-arc", "end-fitting", "combined-severity",
)  # fmt: skip
DIFFERING = ("broken-wires-valley", "rope-oversize", "drum-and-sheave-diameter", "fleet-angle")  # name several numbers
BOOST = 0.7  # in search: after the guidance page, whose title begins alike
GRADES = (1770e6, 1960e6, 2160e6)  # N/m2


@dataclass(frozen=True)
class Line:
    """One line of the rope data: name, value and limit in words, whether it is within, the rules of the limit.

    A limit of rules that do not apply on the site of the crane is never outside, but `other`.
    """

    name: str
    value: Markup
    limit: Markup
    enough: str  # yes | no | other | unknown | info
    rules: tuple[Rule, ...]


@dataclass(frozen=True)
class Other:
    """What another construction of the same diameter has: mass, breaking force by grade, how sure its factors are."""

    construction: str
    mass: Markup
    forces: list[Markup]
    read: str


@dataclass(frozen=True, kw_only=True)
class View:
    """What rope.html shows."""

    root: str
    machine: Machine
    found: Found  # fitness of the rope
    order: Found  # the rope to order
    own: Found  # judged under the rules of the crane
    other: Found  # and under the other ones
    whole: Callable[[Found], bool]
    nearest: Mapping[str, Markup | str] | None
    judged: list[tuple[int, Markup, list[tuple[str, list[Found | None]]]]]
    read_on: Callable[[int], str]
    not_read: str
    limits: list[Row]
    short_diameters: str
    long_diameters: str
    seen: list[tuple[str, Found | None, Found | None]]
    drawn: Markup
    caliper: Markup
    series: list[tuple[Found, Markup | None]]
    lines: list[Line]
    others: list[Other]
    across: Markup  # units that stand in the heads of columns
    pull: Markup
    weight: Markup
    grades: list[str]
    differing: list[tuple[Rule, RuleVersion | None]]
    differ: Mapping[str, Any]
    rules: Mapping[str, Rule]
    rests: list[Rule]
    sentences: Callable[[Markup], tuple[Markup, Markup]]
    upper: Callable[[Markup], Markup]
    place: Callable[[Found], Markup]
    measured: Callable[[float, str], Markup]
    counted: Callable[[float], Markup]
    against: Callable[[Found], Markup]
    margin: Callable[[Found], Markup]
    crossover_diameter: bool  # whether a limit of the diameter is none for the crossovers
    boom_length: Callable[[float], rounding.Pair]
    falls: Callable[[int], Markup]
    sheave: Callable[[int], str]
    lengths: Callable[[list[float]], Markup]
    pick_ups: Callable[[Found], Markup]
    outer_wires: str
    degrees: Callable[[float, str], str]
    angle_side: Callable[[str | None], str]


def in_few_words(words: Words, data: Data, told: Told) -> Markup:
    """What the readings come to, when the next inspection is due and which data of the rope lie outside a limit, for a
    tile that leads to the page."""
    found = told.fitness
    own, other = sorted(found["regimes"], key=lambda one: one["regime"] != found["rulebook"])
    said = words.say(f"rope.few.{own['outcome']}")
    if found["regimes_differ"]:
        parts = {"other": words.say(f"rope.few.{other['outcome']}"), "other_regime": _regime(words, other)}
        said = words.say("rope.few.differ", own=said, regime=_regime(words, own), **parts)
    elif own["outcome"] != "no-readings":
        said = words.say("rope.few.one", said=said)
    following = min((due["next"] for due in found["due"]), default=None)
    said = said if following is None else said + Markup("; ") + _due(words, following, found["day"])
    names = outside(words, data, told)
    return said + words.say("rope.few.outside", names=", ".join(names)) if names else said


def outside(words: Words, data: Data, told: Told) -> list[str]:
    """What of rope, drum and sheaves lies outside a limit that applies on the site of the crane."""
    found = (line for line in lines(words, data, told) if line.enough == "no")
    return [_inside(words.get(f"rope.data.row.{line.name}")) for line in found]


def _inside(name: str) -> str:
    """A name as it stands inside a line; "D/d" and "ISO" keep their letters."""
    return name[:1].lower() + name[1:]


def _due(words: Words, following: str, day: str) -> Markup:
    """When an inspection is due, judged on a day; the page's script judges again by the date of the phone."""
    over = day > following
    texts = (words.say(f"rope.few.{name}", day=Markup("<time>{}</time>").format(following)) for name in ("due", "over"))
    hidden = [Markup(" hidden") if hide else Markup("") for hide in (over, not over)]
    line = Markup('<span data-due="{}" data-as-of="{}"><span data-then{}>{}</span><span data-over{}>{}</span></span>')
    then, past = zip(hidden, texts, strict=True)
    return line.format(following, day, *then, *past)


def _regime(words: Words, judged: Found) -> Markup:
    return words.say(f"rope.the_regime.{judged['regime']}")


def page(env: Environment, words: Words, data: Data, told: Told) -> Page:
    """The rope of one crane."""
    machine, found = told.machine, told.fitness
    at = addresses.crane(machine, "rope")
    own = next(one for one in found["regimes"] if one["regime"] == machine.rulebook)
    other = next(one for one in found["regimes"] if one is not own)
    view = View(
        root=root(at),
        machine=machine,
        found=found,
        order=told.order,
        own=own,
        other=other,
        whole=lambda regime: whole_rope(regime),
        nearest=nearest(words, own),
        judged=list(judged(words, found)),
        read_on=lambda index: read_on(found, index),
        not_read=", ".join(words.get(f"fitness.not_read.{item}") for item in own["not_read"]),
        limits=rows(words, found),
        short_diameters=diameters(found, "short_length_m"),
        long_diameters=diameters(found, "long_length_m"),
        seen=list(seen(found)),
        drawn=Markup(figures.along_the_rope(found, words.texts)),
        caliper=Markup(caliper.measure(told.lifts[0][1], words.texts)),
        series=[(one, charted(words, found, one)) for one in found["series"] if len(one["points"]) > 1],
        lines=list(lines(words, data, told)),
        others=list(others(machine)),
        across=both(rounding.Pair("mm", "in")),
        pull=both(rounding.Pair("kN", "lbf")),
        weight=both(rounding.Pair("kg/m", "lb/ft")),
        grades=[f"{grade / 1e6:.0f}" for grade in GRADES],
        differing=[(data.rules[id], data.rules[id].at(found["day"])) for id in DIFFERING],
        differ=differing(words, found),
        rules=data.rules,
        rests=[data.rules[id] for id in RULES],
        sentences=sentences,
        upper=upper,
        place=lambda where: place(words, where),
        measured=measured,
        counted=counted,
        against=lambda one: against(words, one),
        margin=lambda one: margin(words, one),
        crossover_diameter=any(
            one["information"] for regime in found["regimes"] for at in regime["places"] for one in at["criteria"]
        ),
        boom_length=rounding.boom_length,
        falls=lambda number: drum_state.falls(words, number),
        sheave=lambda number: "lead" if number == 0 else "block" if number % 2 else "head",
        lengths=lengths,
        pick_ups=lambda work: pick_ups(words, work),
        outer_wires=outer_wires(words, found),
        degrees=degrees,
        angle_side=angle_side,
    )
    body = show(env, "rope.html", view)
    return Page(
        address=at,
        title=words.get("rope.title").format(machine=machine.name),
        description=words.get("rope.description").format(machine=machine.name),
        search_text=words.get("rope.search").format(machine=machine.name),
        toc=headings(body),
        html=body,
        boost=BOOST,
    )


# -- readings against limits ----------------------------------------------------------------------------------------


def whole_rope(regime: Found) -> bool:
    """Whether something was found that cutting the place out does not mend."""
    met = ("met", "verify")
    return any(
        one["outcome"] in met and not one["may_be_cut_out"] for place in regime["places"] for one in place["criteria"]
    )


def sentences(text: Markup) -> tuple[Markup, Markup]:
    """The first sentence of a text, and the rest.

    >>> sentences(Markup("One. Two. Three."))
    (Markup('One.'), Markup('Two. Three.'))
    """
    first, _, rest = text.partition(". ")
    return Markup(f"{first}."), Markup(rest)


def upper(text: Markup) -> Markup:
    """A text that begins a line.

    >>> upper(Markup("waviness"))
    Markup('Waviness')
    """
    return Markup(text[:1].upper() + text[1:])


def nearest(words: Words, regime: Found) -> Mapping[str, Markup | str] | None:
    """The reading nearest to its limit: share of it, what is left in mm, criterion and place in words."""
    found = regime["nearest"]
    if found is None:
        return None
    return {
        "share": rounding.used_up(found["share"]),
        "margin": "" if found["margin_m"] is None else margin(words, found),
        "criterion": words.get(f"fitness.criteria.{found['criterion']}"),
        "place": place(words, regime["places"][found["place"]]),
    }


def _beyond(found: Found) -> set[tuple[str, str]]:
    """Regime and criterion of every limit that only more than itself ends the use by."""
    return {
        (regime["regime"], one["criterion"])
        for regime in found["limits"]
        for group in regime["measured"]
        for one in group["limits"]
        if one["beyond"]
    }


def judged(words: Words, found: Found) -> Iterator[tuple[int, Markup, list[tuple[str, list[Found | None]]]]]:
    """Every place with its criteria: number, name, and for each criterion what it comes to under either regime."""
    order, beyond = list(words.get("fitness.criteria")), _beyond(found)
    for at, where in enumerate(found["regimes"][0]["places"]):
        each = [
            {
                one["criterion"]: {**one, "beyond": (regime["regime"], one["criterion"]) in beyond}
                for one in regime["places"][at]["criteria"]
            }
            for regime in found["regimes"]
        ]
        criteria = sorted({name for one in each for name in one}, key=order.index)
        yield at, place(words, where), [(name, [one.get(name) for one in each]) for name in criteria]


def read_on(found: Found, at: int) -> str:
    """The days on which a place was read last."""
    days = {one["inspection"]: one["day"] for one in found["inspections"]}
    return ", ".join(sorted({days[number] for number in found["regimes"][0]["places"][at]["read_in"].values()}))


def seen(found: Found) -> Iterator[tuple[str, Found | None, Found | None]]:
    """What is seen and what follows from it under either regime, by criterion."""
    iso, us = ({one["criterion"]: one for one in regime["seen"]} for regime in found["limits"])
    for name in dict.fromkeys((*iso, *us)):
        yield name, iso.get(name), us.get(name)


def charted(words: Words, found: Found, series: Found) -> Markup | None:
    """The diameter of one place over time; None with less than two readings."""
    if sum(point["diameter_m"] is not None for point in series["points"]) < 2:
        return None
    return Markup(figures.over_time(found, series, words.texts))


def lengths(metres: list[float]) -> Markup:
    """Lengths along the rope, one after the other."""
    return Markup(", ").join(rope(one, "near") for one in metres)


def diameters(found: Found, length: str) -> str:
    """A length of rope in rope diameters."""
    return f"{found['rope'][length] / found['rope']['diameter_m']:.0f}"


def pick_ups(words: Words, work: Found) -> Markup:
    """Where the rope lies on the drum when loads are picked up, the most frequent first, no place twice; the wrap
    that is being laid, so rounded up."""
    said = [
        words.say(
            "rope.where.pick_up",
            layer=one["layer"],
            wrap=rounding.wraps(one["wrap"], "up"),
            rope=rope(one["rope_on_drum_m"], "near"),
        )
        for one in work["pick_ups"]
    ]
    return Markup("; ").join(dict.fromkeys(said))


# -- rope data ------------------------------------------------------------------------------------------------------


def lines(words: Words, data: Data, told: Told) -> Iterator[Line]:
    """Rope, drum and sheaves against what the rules ask for, and what construction and grade imply."""
    order = told.order
    day, strength = order["day"], order["strength"]
    check = data.rules["data-plausibility"]
    tolerances = check.at(day)
    for name, said, given, implied in (
        ("force", force, "minimum_breaking_force_n", "implied_breaking_force_n"),
        ("mass", mass_per_length, "mass_kg_per_m", "implied_mass_kg_per_m"),
    ):
        value = "breaking_force_tolerance" if name == "force" else "rope_mass_tolerance"
        tolerance = tolerances.values[value] if tolerances else 0.0
        off = abs(strength[given] / strength[implied] - 1)
        side = "down" if name == "force" else "near"
        limit = words.say(
            "rope.data.implied", value=said(strength[implied], side), tolerance=tenth_share(tolerance, "near")
        )
        yield Line(name, said(strength[given], side), limit, _yes(off <= tolerance), (check,))
    for regime, asked in strength["regimes"].items():
        limit = words.say("rope.data.factor", least=f"{asked['least']:g}")
        value = Markup("{}").format(hundredth(strength["design_factor"]))
        applies = regime == told.machine.rulebook
        enough = "other" if not applies and not asked["enough"] else _yes(asked["enough"])
        yield Line(f"factor_{regime}", value, limit, enough, (data.rules[asked["rule"]["id"]],))
    yield _new_diameter(words, data, told)
    for ratio in order["ratios"]:
        known = ratio["diameters"] is not None
        value = Markup("{}").format(hundredth(ratio["diameters"]) if known else words.get("rope.data.not_in_data"))
        limit = words.say(
            "rope.data.across", least=f"{ratio['least']:g}", diameter=diameter(ratio["least_diameter_m"], "up")
        )
        yield Line(ratio["what"], value, limit, _yes(ratio["enough"]), (data.rules[ratio["rule"]["id"]],))
    yield _fleet(words, data, order["fleet_angle"])
    yield from _on_the_drum(words, data, told, day)


def _on_the_drum(words: Words, data: Data, told: Told, day: str) -> Iterator[Line]:
    """Flange above the rope and room between the flanges, with a new rope and as it was last read."""
    found = drum_fit.fit(data, told.machine, told.inputs, day)
    worst, wanted = map(both, rounding.against(found.worst, found.wanted, "up"))
    value = words.say("rope.data.flange", nominal=measured(found.nominal, "down"), worst=worst)
    limit = words.say("rope.data.flange_wanted", wanted=wanted)
    yield Line("flange", value, limit, _yes(found.enough), (found.rule,))
    play = words.say("rope.data.play", play=rounding.ratio(found.play, "up"), diameter=measured(found.diameter, "near"))
    yield Line("play", play, Markup(words.get("rope.data.play_limit")), "info", (found.rule,))


def _new_diameter(words: Words, data: Data, told: Told) -> Line:
    order = told.order["order"]
    limit = words.say(
        "rope.data.diameter",
        least=measured(order["least_diameter_m"], "up"),
        most=measured(order["most_diameter_m"], "down"),
        pitch=measured(order["below_m"], "down"),
    )
    found = told.fitness["rope"]["reference_m"]
    codes = ("thinner-than-nominal", "not-below-groove-pitch", "thicker-than-the-rule")
    enough = None if found is None else not any(code in told.order["deviations"] for code in codes)
    value = Markup("{}").format(words.get("rope.data.no_reference")) if found is None else measured(found, "near")
    return Line("diameter", value, limit, _yes(enough), (data.rules["rope-oversize"],))


def _fleet(words: Words, data: Data, angles: list[Found]) -> Line:
    known = [one["angle_deg"] for one in angles if one["angle_deg"] is not None]
    first = angles[0]
    limit = words.say(
        "rope.data.fleet", least=degrees(first["least_deg"], "near"), most=degrees(first["most_deg"], "near")
    )
    rule = (data.rules[first["rule"]["id"]],)
    if not known:
        return Line("fleet", Markup("{}").format(words.get("rope.data.not_in_data")), limit, "unknown", rule)
    value = words.say("rope.data.fleet_range", least=degrees(min(known), "down"), most=degrees(max(known), "up"))
    within = all(one["outcome"] in ("within", None) for one in angles)
    return Line("fleet", value, limit, _yes(within), rule)


def degrees(angle: float, side: str) -> str:
    """An angle to a hundredth of a degree, to the side.

    >>> degrees(1.5, "near"), degrees(1.504, "up")
    ('1.50 deg', '1.51 deg')
    """
    return f"{rounding.step(angle, 0.01, side):.2f} deg"


def angle_side(outcome: str | None) -> str:
    """Side to which a fleet angle is rounded: away from the limit it lies outside of."""
    return {"below": "down", "above": "up"}.get(outcome or "", "near")


def hundredth(ratio: float) -> str:
    """A ratio that is held against a least one, rounded down; the least ones have one decimal.

    >>> hundredth(4.0371)
    '4.03'
    """
    return f"{rounding.step(ratio, 0.01, 'down'):.2f}"


def _yes(enough: bool | None) -> str:
    return "unknown" if enough is None else "yes" if enough else "no"


def others(machine: Machine) -> Iterator[Other]:
    """Every construction in the diameter of this rope."""
    across = machine.rope.diameter
    for name, factors in ropes.CONSTRUCTIONS.items():
        forces = [force(ropes.minimum_breaking_force(across, name, grade), "down") for grade in GRADES]
        yield Other(name, mass_per_length(ropes.mass_per_length(across, name), "near"), forces, factors.read)


# -- where sources differ -------------------------------------------------------------------------------------------


def differing(words: Words, found: Found) -> Mapping[str, Any]:
    """What published numbers say of this rope where they contradict each other."""
    return {
        "wires": [_wires(words, found, kind) for kind in ("crossover", "sheaves")],
        "copies": _copies(words, found),
        "diameter": _diameters(words, found),
    }


def by_criterion(found: Found, kind: str) -> list[dict[str, Found]]:
    """The limits at one kind of place under both regimes, ISO first, by criterion."""
    groups = (next(one for one in regime["measured"] if kind in one["places"]) for regime in found["limits"])
    return [{one["criterion"]: one for one in group["limits"]} for group in groups]


def _wires(words: Words, found: Found, kind: str) -> tuple[str, Markup]:
    """Broken wires at one kind of place under both regimes."""
    iso, us = by_criterion(found, kind)
    short, long = (f"broken-wires-{name}" for name in ("6d", "30d"))
    if short in us:
        parts = {"short": count(us[short]["limit"]), "long": count(us[long]["limit"])}
        said = words.say("rope.differ.wires_us.short", **parts)
    else:
        lay, strand = (count(us[f"broken-wires-{name}"]["limit"]) for name in ("lay", "strand"))
        said = words.say("rope.differ.wires_us.lay", lay=lay, strand=strand)
    iso_short, iso_long = (count(iso[name]["limit"]) if name in iso else "–" for name in (short, long))
    text = words.say("rope.differ.wires_text", us=said, iso_short=iso_short, iso_long=iso_long)
    return str(words.get(f"fitness.places.{kind}")), text


def _copies(words: Words, found: Found) -> tuple[str, list[Markup]]:
    """What every copy of the ISO table prints for this rope, and whether copies differ."""
    said: list[Markup] = []
    differ = False
    for kind in ("crossover", "sheaves"):
        iso, _ = by_criterion(found, kind)
        if "broken-wires-6d" not in iso:
            continue
        short, long = iso["broken-wires-6d"], iso["broken-wires-30d"]
        differ = differ or short["sources_differ"] or long["sources_differ"]
        for one, two in zip(short["published"], long["published"], strict=True):
            line = words.say(
                "rope.differ.copy",
                citation=one["citation"],
                short=count(one["count"]),
                long=count(two["count"]),
                column=words.get(f"fitness.columns.{one['column']}"),
                wires=one["outer_wires"],
                row=one["row"],
                read=words.get(f"fitness.read.{one['read']}"),
            )
            said += [line] if line not in said else []
    return "copies_differ" if differ else "copies_same" if said else "copies_none", said


def outer_wires(words: Words, found: Found) -> str:
    """Every number of outer wires the limits were looked up for, how it comes about and how it was read."""
    return "; ".join(
        f"{one['count']} ({one['note']}; {words.get('fitness.read.' + one['read'])})"
        for one in found["rope"]["outer_wires"]
    )


def _diameters(words: Words, found: Found) -> Markup:
    iso, us = (one["diameter-decrease"] for one in by_criterion(found, "crossover"))
    least = measured(us["diameter_m"], "up")
    if iso["diameter_m"] is None:
        return words.say("rope.differ.diameter_no_reference", us=least)
    first = "iso" if iso["diameter_m"] >= us["diameter_m"] else "us"
    return words.say(
        "rope.differ.diameter_text",
        iso=measured(iso["diameter_m"], "up"),
        us=least,
        first=words.get(f"rope.regimes.{first}"),
    )
