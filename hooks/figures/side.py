"""Side view of a plan, to scale: boom, load and slings at the start and at the end of every pass.

Positions carry letters that a key below the drawing explains, so that no text stands where booms and ropes cross.
Boom and hook are drawn where the unloaded boom stands; radii are told as the crew reads them, with the load hanging.
Numbers go to the cautious side: the start radius up (a flatter boom leaves more rope on the drum), the furthest
radius down (not beyond what was checked), the stop height up.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import cos, hypot, radians, sin, sqrt
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.winding.plan_data import hook_block
from calc.winding.plan_fields import Inputs
from hooks.figures import WIDTH, Words, both, chosen_method, figure, number, points, prefix, say, text, units

FONT = 12
TOP = 26  # room above the highest boom head for its marker
LEFT = 4
RIGHT = 34  # room for the letters beside the outermost hook
TALLEST = 300  # the drawing itself, without dimensions and key
ROW = 17  # from one line of the key to the next
MARK = 17  # height of a lettered marker
ON_THE_SPOT = 0.05  # [m], places nearer than this are one place

Plan = Mapping[str, Any]


@dataclass(frozen=True)
class Position:
    """Where boom and hook stand at one moment: boom length, radius of the unloaded boom, hook height, length of the
    slings with their extensions, radius as the crew reads it [m], and its words; `empty` with nothing on the hook."""

    boom_length: float
    radius: float
    hook: float
    slings: float
    lines: tuple[Markup, ...]
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

    @property
    def pivot(self) -> tuple[float, float]:
        return self.at(self.inputs["pivot_forward_m"], self.inputs["pivot_height_m"])


def head_height(inputs: Inputs, boom_length: float, radius: float) -> float:
    """Head-sheave axis above ground [m]: H = z_p + sqrt(L^2 - (r - x_p)^2), a straight rigid boom."""
    reach = radius - inputs["pivot_forward_m"]
    return float(inputs["pivot_height_m"]) + sqrt(max(0.0, boom_length**2 - reach**2))


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
    title = say(says["title"], machine=plan["machine"], boom=both(rounding.boom_length(plan["boom_length_m"])))
    if plan["stops"] is None:
        body = [text(WIDTH / 2, 30, say(says["refused"]), "middle", "fig-strong")]
        return figure(ids, 48, title, say(says["describe_nothing"]), body, font=FONT)
    places = positions(plan, chosen, says)
    at = frame(plan, chosen, places)
    spoken = " ".join(f"{letter}: {place.spoken}." for letter, place in lettered(places))
    if chosen:
        low, high = _band(plan)
        description = say(
            says["describe"],
            method=words["figures"]["methods"][chosen["name"]],
            positions=spoken,
            stop=both(_stop(plan)),
            low=both(low),
            high=both(high),
        )
    else:
        description = say(says["describe_refused"], positions=spoken)
    drawing = [band_and_path(at, plan, chosen, ids), machine(at, plan, places)]
    drawing += [hook_and_load(at, plan, place) for place in reversed(places)]
    drawing += [_stop_line(at, plan), heads(at, places), _hooks(at, places), *_dimensions(at, places, says)]
    key, height = _key(at.ground + (64 if chosen else 40), plan, chosen, places, says, ids)
    return figure(ids, height, title, description, [*drawing, key], font=FONT)


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
    """The start, where the slings are hung, where telescoping begins, and the end of every pass."""
    stops = plan["stops"]
    first = chosen["passes"][0] if chosen else None
    length, start = plan["boom_length_m"], stops["start_radius_m"]
    moves = first["moves"] if first else []
    read = next((m["loaded_radius_m"][1] for m in moves if m["load_kg"]), start)
    boom, radius = rounding.boom_length(length), rounding.length(read, "up")
    load = plan["load"]
    above_the_base = stops["start_hook_height_m"] - load["lifting_points_height_m"] - load["hanging_height_m"]
    slings = plan["inputs"]["slings"][0]["length_m"] + above_the_base
    found = [
        Position(
            length,
            start,
            stops["start_hook_height_m"],
            slings,
            (say(says["start"], boom=units(boom), radius=units(radius)),),
            says["start"].format(boom=both(boom), radius=both(radius)),
            first=True,
            read=read,
        )
    ]
    if first and first["slings_hung"]["radius_m"] > start + ON_THE_SPOT:
        found.append(_hung(length, first["slings_hung"], says))
    for count, one in enumerate(chosen["passes"] if chosen else (), 1):
        slings = one["sling_length_m"]
        found += [_telescoping(move, slings, says) for move in one["moves"] if move["move"] == "telescope-in"]
        found.append(_end(plan, one["moves"][-1], count, slings, says))
    return found


def _hung(length: float, hung: Mapping[str, Any], says: Words) -> Position:
    """The empty hook where the drum is counted and the slings of the first pass are hung."""
    parts = {
        "radius": rounding.length(hung["radius_m"], "up"),
        "height": rounding.length(hung["hook_height_m"], "near"),
    }
    line = say(says["hung"], **{name: units(pair) for name, pair in parts.items()})
    spoken = says["hung"].format(**{name: both(pair) for name, pair in parts.items()})
    return Position(length, hung["radius_m"], hung["hook_height_m"], 0.0, (line,), spoken, on_ground=False, empty=True)


def _telescoping(move: Mapping[str, Any], slings: float, says: Words) -> Position:
    read = move["loaded_radius_m"][0]
    radius = rounding.length(read, "down")
    return Position(
        move["boom_length_m"][0],
        move["radius_m"][0],
        move["hook_height_m"][0],
        slings,
        (say(says["telescope"], radius=units(radius)),),
        says["telescope"].format(radius=both(radius)),
        on_ground=False,
        read=read,
    )


def _end(plan: Plan, landing: Mapping[str, Any], count: int, slings: float, says: Words) -> Position:
    length, read = landing["boom_length_m"][1], max(landing["loaded_radius_m"])
    shorter = length < plan["boom_length_m"]
    radius, boom = rounding.length(read, "down"), rounding.boom_length(length)
    parts = {"number": count, "radius": radius, "boom": boom, "length": rounding.length(slings, "near")}
    shown = {k: units(v) if isinstance(v, rounding.Pair) else v for k, v in parts.items()}
    spoken = {k: both(v) if isinstance(v, rounding.Pair) else v for k, v in parts.items()}
    ends, hung = says["end_boom" if shorter else "end"], says["slings"]
    lines: tuple[Markup, ...] = (say(ends, **shown), say(hung, **shown))
    if not shorter:
        lines = (Markup(", ").join(lines),)
    return Position(
        length,
        landing["radius_m"][1],
        landing["hook_height_m"][1],
        slings,
        lines,
        f"{ends.format(**spoken)}, {hung.format(**spoken)}",
        read=read,
    )


def lettered(places: Sequence[Position]) -> list[tuple[str, Position]]:
    """Each position with its letter, from A."""
    return [(chr(ord("A") + count), place) for count, place in enumerate(places)]


def _stop(plan: Plan) -> rounding.Pair:
    """Stop height at the start; the ground where the hook is down before the stop wraps are reached."""
    return rounding.length(max(0.0, plan["stops"]["hook_height_m"]), "up")


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
            booms.append(boom_lines(at, place, head, lattice, plan))
            seen.append(head)
    ground = Markup('<path class="fig-ground" d="M2 {}H{}"/>').format(number(at.ground), WIDTH - 2)
    return Markup("").join([*reversed(booms), carrier(at, plan, lattice), ground])


def boom_lines(at: Frame, place: Position, head: tuple[float, float], lattice: bool, plan: Plan) -> Markup:
    (x1, y1), (x2, y2) = at.pivot, head
    then = "" if place.first else " fig-then"
    ends = Markup('x1="{}" y1="{}" x2="{}" y2="{}"').format(*map(number, (x1, y1, x2, y2)))
    if lattice:
        lines = Markup(
            '<line class="fig-boom{t}" stroke-width="5" {e}/><line class="fig-boom-core" stroke-width="3" {e}/>'
            '<line class="fig-boom-lace{t}" stroke-width="3" stroke-dasharray="1 3" {e}/>'
        )
        return lines.format(t=then, e=ends)
    # the base section is as long as the shortest listed boom
    share = min(1.0, min(c["boom_length_m"] for c in plan["inputs"]["charts"]) / place.boom_length)
    base = Markup('x1="{}" y1="{}" x2="{}" y2="{}"').format(
        *map(number, (x1, y1, x1 + share * (x2 - x1), y1 + share * (y2 - y1)))
    )
    lines = Markup(
        '<line class="fig-boom{t}" stroke-width="3.5" {e}/><line class="fig-boom{t}" stroke-width="6" {b}/>'
        '<line class="fig-boom-core" stroke-width="4" {b}/>'
    )
    return lines.format(t=then, e=ends, b=base)


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


def _stop_line(at: Frame, plan: Plan) -> Markup:
    """Lowest hook height by radius, down to the ground."""
    rows = plan["stops"]["by_radius"]
    shown = [tuple(row) for row in rows if row[1] >= 0]
    below = next((row for row in rows if row[1] < 0), None)
    if shown and below:
        (r1, h1), (r2, h2) = shown[-1], below
        shown.append((r1 + (r2 - r1) * h1 / (h1 - h2), 0.0))
    if not shown:
        return Markup("")
    start = (shown[0][0] - 9 / at.scale, shown[0][1])  # a short level piece, so that it shows beside the hook
    return Markup('<polyline class="fig-stop" points="{}"/>').format(points([at.at(*row) for row in [start, *shown]]))


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


def _hooks(at: Frame, places: Sequence[Position]) -> Markup:
    """Letters beside the hooks of the later passes, where slings of several lengths stand at one radius."""
    ends = [(letter, place) for letter, place in lettered(places) if place.on_ground and not place.first]
    if len(ends) < 2:
        return Markup("")
    right = max(at.at(place.radius, 0)[0] for _, place in ends) + at.inputs["load_size_m"] / 2 * at.scale
    groups: list[tuple[str, float]] = []
    for letter, place in sorted(ends, key=lambda e: e[1].hook):
        y = at.at(0, place.hook)[1]
        if groups and groups[-1][1] - y < 1.3 * FONT:
            groups[-1] = (groups[-1][0] + letter, groups[-1][1])
        else:
            groups.append((letter, y))
    taken = [at.head(place.boom_length, place.radius) for _, place in lettered(places)]  # markers of heads stand there
    beside = [y for x, y in taken if abs(x - right) < 2 * MARK]
    clear = [(marks, next((h + MARK + FONT for h in beside if abs(h - y) < MARK + FONT), y)) for marks, y in groups]
    return Markup("").join(text(right + 2, y + 4, marks, classes="fig-strong") for marks, y in clear)


def _dimensions(at: Frame, places: Sequence[Position], says: Words) -> list[Markup]:
    """Start radius and furthest radius, below the ground from the slew axis; each in a row of its own."""
    start = rounding.length(places[0].read or places[0].radius, "up")
    out = [dimension(at, places[0].radius, at.ground + 9, say(says["start_dimension"], radius=units(start)))]
    loaded = [place for place in places if not place.empty]
    if len(loaded) > 1:
        far = max(loaded, key=lambda place: place.radius)
        words = say(says["furthest_dimension"], radius=units(rounding.length(far.read or far.radius, "down")))
        out.append(dimension(at, far.radius, at.ground + 34, words))
    return out


def dimension(at: Frame, radius: float, y: float, words: Markup) -> Markup:
    left, right = at.axis, at.axis + radius * at.scale
    line = Markup(
        '<path class="fig-dim" d="M{l} {g}V{e}M{r} {g}V{e}M{l} {y}H{r}m-5 -2.5l5 2.5-5 2.5'
        'M{l} {y}m5 -2.5l-5 2.5 5 2.5"/>'
    ).format(l=number(left), r=number(right), g=number(at.ground + 2), y=number(y), e=number(y + 3))
    return line + text(left + 5, y + 14, words)


def _key(
    y: float, plan: Plan, chosen: Mapping[str, Any] | None, places: Sequence[Position], says: Words, ids: str
) -> tuple[Markup, float]:
    """What letters, lines and hatching mean; returns the key and the height of the whole figure."""
    out: list[Markup] = []
    if not chosen:
        out.append(text(LEFT, y + 4, say(says["refused"]), classes="fig-strong"))
        y += ROW + 3
    for letter, place in lettered(places):
        out.append(pill(LEFT + 11, y, letter))
        for line in place.lines:
            out.append(text(LEFT + 28, y + 4, line))
            y += ROW
        y += 2
    swatch = {
        "stop": Markup('<path class="fig-stop" d="M{x} {y}h22"/>'),
        "band": Markup('<path class="fig-band" fill="url(#{i}-band)" d="M{x} {y}m0 -4h22v8h-22z"/>'),
        "path": Markup('<path class="fig-path" d="M{x} {y}h22"/>'),
    }
    low, high = _band(plan)
    rows = [("stop", say(says["stop"], height=units(_stop(plan))))]
    if chosen:
        rows += [("band", say(says["band"], low=units(low), high=units(high))), ("path", say(says["path"]))]
    for name, words in rows:
        out.append(swatch[name].format(i=ids, x=number(LEFT), y=number(y)) + text(LEFT + 28, y + 4, words))
        y += ROW
    out.append(text(LEFT + 28, y + 4, say(says["sketch"]), classes="fig-faint"))
    return Markup("").join(out), y + 12
