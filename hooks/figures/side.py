"""Side view of a plan, to scale: boom, load and slings at the start and at the end of the first pass, the empty hook
where the drum is counted.

The numbers of the work stand beside the drawing, each at the end of its leader: how far the boom head drops, falls,
slings, hook, count; the radii under the ground.  Boom and hook are drawn where the unloaded boom stands; radii are told
as the crew reads them, with the load hanging.  Numbers go to the cautious side: the start radius up (a flatter boom
leaves more rope on the drum), the furthest radius down (not beyond what was checked).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import acos, cos, hypot, radians, sin, sqrt
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.winding.plan_data import hook_block
from calc.winding.plan_fields import Inputs
from hooks.figures import (
    FONT,
    WIDTH,
    Words,
    both,
    chosen_method,
    figure,
    named,
    number,
    points,
    prefix,
    say,
    text,
    units,
)

TOP = 26  # room above the highest boom head for its marker
LEFT = 4
RIGHT = 34  # room for the letters beside the outermost hook
TALLEST = 300  # the drawing itself, without dimensions and key
MARK = 17  # height of a lettered marker
# The side view of a plan: 328 by 190 on a phone, its letters 14 high there.
HIGH = 197
SIZE = 14.6
LINE = 17  # from one label to the next
LABELS = 154  # width of the column of labels with its leaders
EDGE = 8  # above the highest boom head
FOOT = 24  # below the ground, for the radii
LOW = 120  # the ground at least, for the labels
ON_THE_SPOT = 0.05  # [m], places nearer than this are one place

Plan = Mapping[str, Any]


@dataclass(frozen=True)
class Position:
    """Where boom and hook stand at one moment: boom length, radius of the unloaded boom, hook height, length of the
    slings with their extensions [m], and its words; radius as the crew reads it [m]; `empty` with nothing on the
    hook."""

    boom_length: float
    radius: float
    hook: float
    slings: float
    spoken: str
    first: bool = False
    on_ground: bool = True
    empty: bool = False
    read: float | None = None


@dataclass(frozen=True)
class Frame:
    """Scale and origin of the drawing: units per metre, the slew axis, the ground; the machine's inputs."""

    scale: float
    axis: float
    ground: float
    inputs: Inputs

    def at(self, radius: float, height: float) -> tuple[float, float]:
        """A place in the drawing from its radius and its height above ground [m]."""
        return self.axis + radius * self.scale, self.ground - height * self.scale

    def head(self, boom_length: float, radius: float) -> tuple[float, float]:
        return self.at(radius, head_height(self.inputs, boom_length, radius))

    def boom(self, boom_length: float, radius: float) -> list[tuple[float, float]]:
        """Boom pivot and head; with a jib the boom head between them."""
        pivot, head = self.pivot, self.head(boom_length, radius)
        jib = self.inputs.get("jib")
        if jib is None:
            return [pivot, head]
        slope = acos(min(1.0, (radius - jib["arm_pivot_forward_m"]) / jib["arm_m"])) + radians(jib["steeper_deg"])
        at = slope if jib["boom_angle_deg"] is None else radians(jib["boom_angle_deg"])
        between = pivot[0] + self.scale * boom_length * cos(at), pivot[1] - self.scale * boom_length * sin(at)
        return [pivot, between, head]

    @property
    def pivot(self) -> tuple[float, float]:
        return self.at(self.inputs["pivot_forward_m"], self.inputs["pivot_height_m"])

    def turns_about(self, boom_length: float) -> tuple[tuple[float, float], float]:
        """Where the head turns when the boom, or its luffing jib, luffs, and how far off it is in the drawing."""
        length, forward, height = arm(self.inputs, boom_length)
        return self.at(forward, height), length * self.scale


def arm(inputs: Inputs, boom_length: float) -> tuple[float, float, float]:
    """Length and pivot, forward and above ground, of the straight arm to the head sheave [m]: the boom, or what it
    makes with its jib."""
    jib = inputs.get("jib")
    if jib is None:
        return boom_length, inputs["pivot_forward_m"], inputs["pivot_height_m"]
    return jib["arm_m"], jib["arm_pivot_forward_m"], jib["arm_pivot_height_m"]


def head_height(inputs: Inputs, boom_length: float, radius: float) -> float:
    """Head-sheave axis above ground [m]: H = z_p + sqrt(L^2 - (r - x_p)^2), a straight rigid arm."""
    length, forward, height = arm(inputs, boom_length)
    reach = radius - forward
    return float(height) + sqrt(max(0.0, length**2 - reach**2))


def svg(plan: Plan, words: Words, method: str | None = None) -> str:
    """The side view of one method, or of the plan's best; of the start alone when the plan is refused.

    Parameters
    ----------
    plan : the plan as data
    words : texts, `words["figures"]` is read
    method : luff-out or telescope-in; None for the best

    Returns: one <svg> element.  Errors: none for a plan that validates.
    """
    says = words["figures"]["side"]
    chosen = chosen_method(plan, method)
    name = chosen["name"] if chosen else method or "none"
    ids = prefix("side", plan["machine"], plan["boom"], plan["configuration"], name)
    title = say(says["title"], machine=named(plan["machine"]), boom=both(rounding.boom_length(plan["boom_length_m"])))
    if plan["stops"] is None:
        body = [text(WIDTH / 2, 30, say(says["refused"]), "middle", "fig-strong")]
        return figure(ids, 48, title, say(says["describe_nothing"]), body)
    places = positions(plan, chosen, says)
    at = side_frame(plan, chosen, places)
    spoken = " ".join(f"{place.spoken}." for place in places)
    if chosen:
        low, high = _band(plan)
        description = say(
            says["describe"],
            method=words["figures"]["methods"][chosen["name"]],
            positions=spoken,
            drop=both(head_drop(plan, places)),
            low=both(low),
            high=both(high),
        )
    else:
        description = say(says["describe_refused"], positions=spoken)
    first = {"passes": chosen["passes"][:1]} if chosen else None
    drawing = [band_and_path(at, plan, first, ids), *(_count(at, plan, place) for place in places if place.empty)]
    loaded = [place for place in places if not place.empty]
    drawing += [machine(at, plan, loaded), *(hook_and_load(at, plan, place) for place in reversed(loaded))]
    drawing += [*_radii(at, plan, loaded, says), *_labels(at, plan, places, says)]
    if not chosen:
        drawing.append(text(WIDTH - LEFT, EDGE + SIZE, say(says["refused"]), "end", "fig-strong"))
    return figure(ids, at.ground + FOOT, title, description, drawing, font=SIZE)


def side_frame(plan: Plan, chosen: Mapping[str, Any] | None, places: Sequence[Position]) -> Frame:
    """The largest scale at which boom and load fit beside the column of labels; both together stand in the middle."""
    inputs = plan["inputs"]
    moves = chosen["passes"][0]["moves"] if chosen else []
    states = [(p.boom_length, p.radius) for p in places]
    states += [(m["boom_length_m"][i], m["radius_m"][i]) for m in moves for i in (0, 1)]
    highest = max(head_height(inputs, *state) for state in states)
    back = tail(inputs)
    out = max(radius for _, radius in states) + inputs["load_size_m"] / 2
    room = WIDTH - 2 * LEFT - LABELS
    scale = min(room / (back + out), (HIGH - EDGE - FOOT) / highest)
    spare = room - scale * (back + out)
    ground = max(EDGE + highest * scale, LOW)
    return Frame(scale, LEFT + spare / 2 + back * scale, ground, inputs)


def head_drop(plan: Plan, places: Sequence[Position]) -> rounding.Pair:
    """How far the boom head comes down from the start to the end of the first pass."""
    inputs = plan["inputs"]
    heights = [head_height(inputs, place.boom_length, place.radius) for place in places if not place.empty]
    return rounding.length(heights[0] - heights[-1], "down")


def frame(plan: Plan, chosen: Mapping[str, Any] | None, places: Sequence[Position]) -> Frame:
    """The largest scale at which everything fits the width and the tallest drawing allowed."""
    inputs = plan["inputs"]
    moves = [m for p in chosen["passes"] for m in p["moves"]] if chosen else []
    states = [(p.boom_length, p.radius) for p in places]
    states += [(m["boom_length_m"][i], m["radius_m"][i]) for m in moves for i in (0, 1)]
    highest = max(head_height(inputs, *state) for state in states)
    back = tail(inputs)
    out = max(radius for _, radius in states) + inputs["load_size_m"] / 2
    scale = min((WIDTH - LEFT - RIGHT) / (back + out), TALLEST / highest)
    spare = WIDTH - LEFT - RIGHT - scale * (back + out)
    return Frame(scale, LEFT + spare / 2 + back * scale, TOP + highest * scale, inputs)


def positions(plan: Plan, chosen: Mapping[str, Any] | None, says: Words) -> list[Position]:
    """The start, where the drum is counted, where telescoping begins, and the end of the first pass."""
    stops = plan["stops"]
    first = chosen["passes"][0] if chosen else None
    length, start = plan["boom_length_m"], stops["start_radius_m"]
    moves = first["moves"] if first else []
    read = next((m["loaded_radius_m"][1] for m in moves if m["load_kg"]), start)
    load = plan["load"]
    above_the_base = stops["start_hook_height_m"] - load["lifting_points_height_m"] - load["hanging_height_m"]
    slings = plan["inputs"]["slings"][0]["length_m"] + above_the_base
    found = [
        Position(
            length,
            start,
            stops["start_hook_height_m"],
            slings,
            _spoken(says["start"], boom=rounding.boom_length(length), radius=rounding.length(read, "up")),
            first=True,
            read=read,
        )
    ]
    if first is None:
        return found
    hung = first["slings_hung"]
    spoken = _spoken(
        says["hung"],
        radius=rounding.length(hung["radius_m"], "up"),
        height=rounding.length(hung["hook_height_m"], "near"),
    )
    found.append(Position(length, hung["radius_m"], hung["hook_height_m"], 0.0, spoken, on_ground=False, empty=True))
    slings = first["sling_length_m"]
    for move in moves:
        if move["move"] == "telescope-in":
            read = move["loaded_radius_m"][0]
            spoken = _spoken(says["telescope"], radius=rounding.length(read, "down"))
            state = move["boom_length_m"][0], move["radius_m"][0], move["hook_height_m"][0]
            found.append(Position(*state, slings, spoken, on_ground=False, read=read))
    landing = moves[-1]
    length, read = landing["boom_length_m"][1], max(landing["loaded_radius_m"])
    spoken = _spoken(
        says["end"],
        radius=rounding.length(read, "down"),
        boom=rounding.boom_length(length),
        length=rounding.length(slings, "near"),
    )
    found.append(Position(length, landing["radius_m"][1], landing["hook_height_m"][1], slings, spoken, read=read))
    return found


def _spoken(template: str, **parts: rounding.Pair) -> str:
    return template.format(**{name: both(pair) for name, pair in parts.items()})


def lettered(places: Sequence[Position]) -> list[tuple[str, Position]]:
    """Each position with its letter, from A."""
    return [(chr(ord("A") + count), place) for count, place in enumerate(places)]


def _band(plan: Plan) -> tuple[rounding.Pair, rounding.Pair]:
    return rounding.length(plan["inputs"]["clearance_m"], "near"), rounding.length(plan["inputs"]["band_top_m"], "near")


def tail(inputs: Inputs) -> float:
    """How far the sketched carrier reaches behind the slew axis [m]."""
    return float(2.4 * inputs["pivot_height_m"])


# -- machine ----------------------------------------------------------------------------------------------------


def machine(at: Frame, plan: Plan, places: Sequence[Position]) -> Markup:
    """Ground, carrier and booms; the first boom in full, later positions lighter."""
    lattice = plan["kind"] == "lattice"
    seen: list[tuple[float, float]] = []
    booms = []
    for place in places:
        head = at.head(place.boom_length, place.radius)
        if not any(hypot(head[0] - x, head[1] - y) < 1 for x, y in seen):
            booms.append(boom_lines(at, place, lattice, plan))
            seen.append(head)
    ground = Markup('<path class="fig-ground" d="M2 {}H{}"/>').format(number(at.ground), WIDTH - 2)
    return Markup("").join([*reversed(booms), carrier(at, plan, lattice), ground])


def boom_lines(at: Frame, place: Position, lattice: bool, plan: Plan) -> Markup:
    """The main boom as its kind looks, a jib as one line from its head."""
    (x1, y1), (x2, y2), *jib = at.boom(place.boom_length, place.radius)
    then = "" if place.first else " fig-then"
    ends = Markup('x1="{}" y1="{}" x2="{}" y2="{}"').format(*map(number, (x1, y1, x2, y2)))
    if lattice:
        lines = Markup(
            '<line class="fig-boom{t}" stroke-width="5" {e}/><line class="fig-boom-core" stroke-width="3" {e}/>'
            '<line class="fig-boom-lace{t}" stroke-width="3" stroke-dasharray="1 3" {e}/>'
        )
        return lines.format(t=then, e=ends) + _jib((x2, y2), jib, then)
    # the base section is as long as the shortest listed boom
    share = min(1.0, min(c["boom_length_m"] for c in plan["inputs"]["charts"]) / place.boom_length)
    base = Markup('x1="{}" y1="{}" x2="{}" y2="{}"').format(
        *map(number, (x1, y1, x1 + share * (x2 - x1), y1 + share * (y2 - y1)))
    )
    lines = Markup(
        '<line class="fig-boom{t}" stroke-width="3.5" {e}/><line class="fig-boom{t}" stroke-width="6" {b}/>'
        '<line class="fig-boom-core" stroke-width="4" {b}/>'
    )
    return lines.format(t=then, e=ends, b=base) + _jib((x2, y2), jib, then)


def _jib(boom_head: tuple[float, float], jib_head: Sequence[tuple[float, float]], then: str) -> Markup:
    """A jib, where there is one, from the boom head to its own."""
    line = Markup('<line class="fig-jib{}" stroke-width="2.5" x1="{}" y1="{}" x2="{}" y2="{}"/>')
    return Markup("").join(line.format(then, *map(number, (*boom_head, *head))) for head in jib_head)


def carrier(at: Frame, plan: Plan, lattice: bool) -> Markup:
    """A plain sketch from the pivot height alone: an undercarriage, a superstructure, a pivot. Not to scale."""
    up, forward = at.inputs["pivot_height_m"], at.inputs["pivot_forward_m"]
    # the load at the start stands clear of the sketch
    front = min(1.7 * up, plan["stops"]["start_radius_m"] - at.inputs["load_size_m"] / 2 - 0.6)
    back = -tail(at.inputs)

    def box(x1: float, low: float, x2: float, high: float, corner: float) -> Markup:
        (left, top), (right, bottom) = at.at(x1, high * up), at.at(x2, low * up)
        return Markup('<rect x="{}" y="{}" width="{}" height="{}" rx="{}"/>').format(
            *map(number, (left, top, right - left, bottom - top, corner))
        )

    if lattice:
        under = box(-front, 0, front, 0.5, 0.25 * up * at.scale)
        body = box(back * 0.8, 0.55, max(forward, 0.4 * front), 0.95, 1) + box(back, 0.55, back * 0.72, 1.3, 1)
    else:
        feet = box(-front, 0, -front + 0.5, 0.34, 0) + box(front - 0.5, 0, front, 0.34, 0)
        under = feet + box(back, 0.26, front, 0.52, 1)
        for x in (-0.66, -0.36, 0.3):
            cx, cy = at.at(x * 1.7 * up if x < 0 else x * front, 0.17 * up)
            under += Markup('<circle cx="{}" cy="{}" r="{}"/>').format(*map(number, (cx, cy, 0.17 * up * at.scale)))
        body = box(min(back * 0.55, forward - 0.2 * up), 0.56, 0.35 * front, 0.9, 1)
    x, y = at.pivot
    pivot = Markup('<circle cx="{}" cy="{}" r="2.5"/>').format(number(x), number(y))
    return Markup('<g class="fig-body">{}</g>').format(under + body + pivot)


def hook_and_load(at: Frame, plan: Plan, place: Position) -> Markup:
    """Falls and hook block of one position, and the load on its slings."""
    block = hook_block(plan)
    hook_x, hook_y = at.at(place.radius, place.hook)
    sheave = at.at(place.radius, place.hook + (block["height_m"] if block else 0.0))[1]
    head = at.head(place.boom_length, place.radius)[1]
    ropes = Markup('<path class="fig-rope" d="M{a} {h}V{s}M{b} {h}V{s}"/>').format(
        a=number(hook_x - 1), b=number(hook_x + 1), h=number(head), s=number(sheave)
    )
    hook = Markup('<rect class="fig-block" x="{}" y="{}" width="5" height="{}"/>').format(
        number(hook_x - 2.5), number(sheave), number(hook_y - sheave)
    )
    hanging = Markup("") if place.empty else _load(at, plan, place)
    return Markup("<g{}>{}</g>").format(
        Markup("") if place.first else Markup(' class="fig-then"'), ropes + hanging + hook
    )


def _load(at: Frame, plan: Plan, place: Position) -> Markup:
    """The stack of weights on its slings: extensions in line, then the legs of the base set, spread to the lifting
    points of the base weight."""
    load, half = plan["load"], at.inputs["load_size_m"] / 2
    base = at.inputs["slings"][0]["length_m"]
    low = underside(plan, place)
    left, top = at.at(place.radius - half, low + load["stack_height_m"])
    right, bottom = at.at(place.radius + half, low)
    across = sqrt(max(0.0, base**2 - load["hanging_height_m"] ** 2))
    legs = low + load["lifting_points_height_m"]
    hook = at.at(place.radius, place.hook)
    knot = at.at(place.radius, legs + load["hanging_height_m"])
    line = [at.at(place.radius - across, legs), knot, hook, knot, at.at(place.radius + across, legs)]
    hung = Markup('<polyline class="fig-sling" points="{}"/>').format(points(line))
    return hung + Markup('<rect class="fig-load" x="{}" y="{}" width="{}" height="{}"/>').format(
        *map(number, (left, top, right - left, bottom - top))
    )


def underside(plan: Plan, place: Position) -> float:
    """Height above ground of the load of a position: its hook less lifting points, hanging height, extensions [m]."""
    load, base = plan["load"], plan["inputs"]["slings"][0]["length_m"]
    hang = load["lifting_points_height_m"] + load["hanging_height_m"] + place.slings - base
    return float(place.hook - hang)


# -- movement ---------------------------------------------------------------------------------------------------


def _under_load(chosen: Mapping[str, Any] | None) -> list[Mapping[str, Any]]:
    """The moves that carry the load along."""
    moves = [m for p in chosen["passes"] for m in p["moves"]] if chosen else []
    return [m for m in moves if m["load_kg"] and m["move"] in ("luff-out", "telescope-in", "luff-in")]


def band_and_path(at: Frame, plan: Plan, chosen: Mapping[str, Any] | None, ids: str) -> Markup:
    """The band the load is kept in, as wide as the moves under load go, and the path of the boom head."""
    moves = _under_load(chosen)
    if not moves:
        return Markup("")
    radii = [r for m in moves for r in m["radius_m"]]
    left, top = at.at(min(radii), at.inputs["band_top_m"])
    right, bottom = at.at(max(radii), at.inputs["clearance_m"])
    out = [
        hatching(ids),
        Markup('<rect class="fig-band" fill="url(#{}-band)" x="{}" y="{}" width="{}" height="{}"/>').format(
            ids, *map(number, (left, top, right - left, bottom - top))
        ),
    ]
    arcs: dict[float, list[float]] = {}
    for move in moves:
        before, after = move["boom_length_m"]
        if before == after:
            arcs.setdefault(before, []).extend(move["radius_m"])
        else:
            out.append(_telescoped_path(at, move))
    for length, reached in arcs.items():
        (x1, y1), (x2, y2) = at.head(length, min(reached)), at.head(length, max(reached))
        out.append(
            Markup('<path class="fig-path" d="M{} {}A{r} {r} 0 0 1 {} {}"/>').format(
                *map(number, (x1, y1, x2, y2)), r=number(length * at.scale)
            )
        )
    return Markup("").join(out)


def _telescoped_path(at: Frame, move: Mapping[str, Any]) -> Markup:
    """Path of the head while telescoping: straight, with a dot at every listed boom length passed."""
    before, after = move["boom_length_m"]
    angle = radians(move["boom_angle_deg"][0])
    x, y = at.pivot
    places = {
        length: (x + at.scale * length * cos(angle), y - at.scale * length * sin(angle))
        for length in sorted({before, after, *(c["boom_length_m"] for c in at.inputs["charts"])})
        if after <= length <= before
    }
    line = Markup('<polyline class="fig-path" points="{}"/>').format(points([places[before], places[after]]))
    dots = "".join(f"M{number(px)} {number(py)}h0" for px, py in places.values())
    return line + Markup('<path class="fig-stage" d="{}"/>').format(dots)


def hatching(ids: str) -> Markup:
    return Markup(
        '<pattern id="{}-band" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<path class="fig-hatch" d="M0 0V5"/></pattern>'
    ).format(ids)


# -- letters, dimensions, key -----------------------------------------------------------------------------------


def pill(x: float, y: float, marks: str) -> Markup:
    """A marker with one letter or several, its middle at x, y."""
    width = MARK + 9 * (len(marks) - 1)
    return Markup('<g class="fig-mark"><rect x="{}" y="{}" width="{}" height="{}" rx="{}"/>{}</g>').format(
        *map(number, (x - width / 2, y - MARK / 2, width, MARK, MARK / 2)),
        text(x, y + 0.36 * FONT, marks, "middle", "fig-strong"),
    )


def heads(at: Frame, places: Sequence[Position]) -> Markup:
    """Markers beyond the boom heads; heads that stand close share one."""
    groups: list[tuple[str, float, float]] = []
    px, py = at.pivot
    for letter, place in lettered(places):
        x, y = at.head(place.boom_length, place.radius)
        far = hypot(x - px, y - py)
        x, y = x + 14 * (x - px) / far, y + 14 * (y - py) / far
        near = next((i for i, g in enumerate(groups) if hypot(g[1] - x, g[2] - y) < MARK + 4 + 5 * len(g[0])), None)
        if near is None:
            groups.append((letter, x, y))
        else:
            groups[near] = (groups[near][0] + letter, groups[near][1], groups[near][2])
    return Markup("").join(pill(x, y, marks) for marks, x, y in groups)


def _count(at: Frame, plan: Plan, place: Position) -> Markup:
    """Boom, falls and empty hook where the drum is counted, dashed."""
    block = hook_block(plan)
    *up, (x, y) = at.boom(place.boom_length, place.radius)
    _, hook = at.at(place.radius, place.hook)
    _, sheave = at.at(place.radius, place.hook + (block["height_m"] if block else 0.0))
    return Markup(
        '<path class="fig-count" d="M{}L{} {}V{}"/><rect class="fig-block" x="{}" y="{}" width="5" height="{}"/>'
    ).format(
        "L".join(f"{number(a)} {number(b)}" for a, b in up),
        *map(number, (x, y, sheave, x - 2.5, sheave, hook - sheave)),
    )


def _radii(at: Frame, plan: Plan, loaded: Sequence[Position], says: Words) -> list[Markup]:
    """Start radius and furthest radius, below the ground from the slew axis."""
    start = rounding.length(loaded[0].read or loaded[0].radius, "up")
    if len(loaded) == 1:
        words = say(says["start_radius"], radius=units(start))
        return [dimension(at, loaded[0].radius, at.ground + 6), text(at.axis, at.ground + FOOT - 3, words)]
    far = max(loaded, key=lambda place: place.radius)
    end = rounding.length(far.read or far.radius, "down")
    span = rounding.Pair(
        *(says["span"].format(start=a.rpartition(" ")[0], end=b) for a, b in zip(start, end, strict=True))
    )
    lines = [dimension(at, radius, at.ground + 6) for radius in (loaded[0].radius, far.radius)]
    return [*lines, text(at.axis, at.ground + FOOT - 3, say(says["radius"], radius=units(span)))]


def dimension(at: Frame, radius: float, y: float) -> Markup:
    left, right = at.axis, at.axis + radius * at.scale
    return Markup(
        '<path class="fig-dim" d="M{l} {g}V{e}M{r} {g}V{e}M{l} {y}H{r}m-5 -2.5l5 2.5-5 2.5'
        'M{l} {y}m5 -2.5l-5 2.5 5 2.5"/>'
    ).format(l=number(left), r=number(right), g=number(at.ground + 2), y=number(y), e=number(y + 3))


def _labels(at: Frame, plan: Plan, places: Sequence[Position], says: Words) -> list[Markup]:
    """The numbers beside the drawing, from top to bottom, each with a leader to what it says."""
    loaded = [place for place in places if not place.empty]
    start, end, far = loaded[0], loaded[-1], max(loaded, key=lambda place: place.radius)
    half = at.inputs["load_size_m"] / 2 * at.scale
    x, y = at.head(far.boom_length, far.radius)
    hook = at.at(far.radius, far.hook)[1]
    column = max(at.at(place.radius, 0)[0] for place in places) + half + 18
    out: list[Markup] = []
    wanted: list[tuple[float, float, Markup]] = [
        (x + 1, y + (hook - y) * 0.45, say(says["falls"], falls=plan["falls"]["used"])),
        (x, (hook + at.ground) / 2, say(says["slings"], length=units(rounding.length(far.slings, "near")))),
        (x + half + 6, hook + 2, say(says["hook"], height=units(rounding.length(far.hook, "near")))),
    ]
    out.append(upright(x + half + 6, at.ground, hook))
    for place in places:
        if place.empty:
            height = units(rounding.length(place.hook, "near"))
            wanted.append((*at.at(place.radius, place.hook), say(says["count"], height=height)))
    if len(loaded) > 1:
        over_x, over = at.head(start.boom_length, start.radius)
        under_x, under = at.head(end.boom_length, end.radius)
        beside = x + 9
        out.append(Markup('<path class="fig-lead" d="M{} {}H{}"/>').format(*map(number, (over_x, over, beside + 3))))
        if end is not far:
            out.append(
                Markup('<path class="fig-lead" d="M{} {}H{}"/>').format(*map(number, (under_x, under, beside + 3)))
            )
        out.append(upright(beside, under, over))
        wanted.append(
            (beside, over + min(0.5 * (under - over), 30.0), say(says["drop"], height=units(head_drop(plan, places))))
        )
    wanted.sort(key=lambda label: label[1])
    for (from_x, from_y, words), line in zip(wanted, stacked([label[1] for label in wanted], at.ground), strict=True):
        path = (from_x, from_y, column - 8, line, column - 3)
        out.append(Markup('<path class="fig-lead" d="M{} {}L{} {}H{}"/>').format(*map(number, path)))
        out.append(text(column, line + 0.36 * SIZE, words))
    return out


def upright(x: float, low: float, high: float) -> Markup:
    """An upright dimension."""
    return Markup('<path class="fig-rise" d="M{x} {a}V{b}m-2.5 5l2.5-5 2.5 5M{x} {a}m-2.5-5l2.5 5 2.5-5"/>').format(
        x=number(x), a=number(low), b=number(high)
    )


def stacked(wanted: Sequence[float], ground: float) -> list[float]:
    """The heights of labels, growing, a line apart, between the upper edge and the ground, near where they are wanted.

    >>> stacked([10.0, 12.0, 170.0], 173.0)
    [10.0, 27.0, 165.0]
    """
    placed: list[float] = []
    for y in wanted:
        placed.append(max(y, EDGE + 2.0, placed[-1] + LINE if placed else 0.0))
    lowest = ground - 8.0
    for at in range(len(placed) - 1, -1, -1):
        placed[at] = min(placed[at], lowest)
        lowest = placed[at] - LINE
    return placed
