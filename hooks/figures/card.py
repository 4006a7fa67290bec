"""The two figures of a step card: the crane from the side before and after one move, the drum after it.

All cards of a plan share one scale, one box and the parts that never move, so that nothing jumps from card to card:
`shared` draws those parts once, `side_view` and `drum_view` use them.  Before is grey and dashed; after is ink and
thick; an arrow shows the way.  Rings are dots along one stroked line, so that a full drum costs as much as one wrap.

Every card stands on the page, so that every letter of a figure counts: the drum is drawn in units of a tenth of a
pitch, which leaves whole numbers and lets docs/assets/cards.css hold dashes and widths; the middles of rings are paper
that all cards share.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import atan2, ceil, cos, floor, hypot, pi, sin, sqrt
from typing import Any

from markupsafe import Markup

from calc import rounding
from calc.formulas import drum as spooled
from calc.formulas.drum import Layer
from calc.winding.plan_data import hook_block
from hooks.figures import drum, number, spread, text
from hooks.figures.side import Frame, carrier, head_height, tail

WIDTH, HEIGHT = 328, 252  # user units: as wide as the text of a phone 360 px wide
GROUND = 206
TOP = 18  # room for the arrow over the highest boom head
RIGHT = 96  # room for a barrier, a person and a height beside the outermost hook
PERSON = 20  # height of a person with some air
DRUM_HEIGHT = 92
DRUM_ROOT = 84
DRUM_TALLEST = 74  # of the flange above the groove root
COLUMN = 22  # for the layer numbers on either side
PITCH = 10  # units of the drum from wrap to wrap, dashes and widths in cards.css are made for it
FONT = 14
BAR = 5  # height of the bar of steps, its gap between two steps, half its gap between two passes
AWAY = 9  # an arrow from the line that moves
SAME = 1.5  # units; places nearer than this are one place
LEAST_ARROW = 16

Plan = Mapping[str, Any]
Move = Mapping[str, Any]


@dataclass(frozen=True)
class Scene:
    """One move as the side view shows it: the move, length of the slings on the hook before and after it, where the
    load stands while the hook is empty [m], and where people stand: at the drum, at the hook, or clear of the load."""

    move: Move
    slings: tuple[float, float]
    waiting: float | None
    people: str


@dataclass(frozen=True)
class Dimensions:
    """The two numbers of a side view: the radius and the height of the hook after the move, in both unit systems."""

    radius: Markup
    hook: Markup


def scenes(chosen: Mapping[str, Any]) -> list[Scene]:
    """Every move of a method as the side view shows it."""
    found = []
    hung = 0.0
    landed: float | None = None
    for one in chosen["passes"]:
        pick = next(move["radius_m"][0] for move in one["moves"] if move["move"] == "pick")
        for at, move in enumerate(one["moves"]):
            empty = not move["load_kg"]
            hangs = (empty and move["move"] == "luff-in") or move["move"] == "pick"
            after = one["sling_length_m"] if hangs else hung
            waiting = (pick if hangs or landed is None else landed) if empty else None
            people = "clear" if not empty else "drum" if landed is None and at == 0 else "hook"
            found.append(Scene(move, (after if hangs else hung, after), waiting, people))
            hung = after
        landed = one["moves"][-1]["radius_m"][1]
    return found


def frame(plan: Plan, chosen: Mapping[str, Any]) -> Frame:
    """One scale for all cards of a method: everything it passes fits."""
    inputs = plan["inputs"]
    moves = [move for one in chosen["passes"] for move in one["moves"]]
    states = [(move["boom_length_m"][end], move["radius_m"][end]) for move in moves for end in (0, 1)]
    highest = max(head_height(inputs, *state) for state in states)
    back = tail(inputs)
    out = max(radius for _, radius in states) + inputs["load_size_m"] / 2
    scale = min((WIDTH - 4 - RIGHT) / (back + out), (GROUND - TOP) / highest)
    spare = WIDTH - 4 - RIGHT - scale * (back + out)
    return Frame(scale, 4 + spare / 2 + back * scale, GROUND, inputs)


def section(plan: Plan) -> drum.Section:
    """Where the drum stands in its figure: as large as width and height allow, in the middle."""
    inputs = plan["inputs"]
    wide, tall = drum.inner_width(inputs), (inputs["flange_diameter_m"] - inputs["groove_root_diameter_m"]) / 2
    unit = min((WIDTH - 2 * (COLUMN + drum.FLANGE)) / wide, DRUM_TALLEST / tall)
    scale = PITCH / inputs["groove_pitch_m"]
    left = (WIDTH * scale / unit - scale * wide) / 2
    return drum.Section(scale, round(left), DRUM_ROOT * scale / unit, inputs, drum.layers_of(inputs))


def drum_unit(on: drum.Section) -> float:
    """Units of the drum's figure in one of the side view's, which are as wide on the page."""
    return on.root / DRUM_ROOT


# -- what the cards of a plan share -----------------------------------------------------------------------------


def shared(plan: Plan, chosen: Mapping[str, Any], ids: str) -> Markup:
    """What no move changes, drawn once: ground and carrier, a person, barrel, flanges and numbers of the layers,
    the steps of every pass."""
    at, on = frame(plan, chosen), section(plan)
    ground = Markup('<path class="fig-ground" d="M2 {}H{}"/>').format(number(at.ground), WIDTH - 2)
    person = Markup('<circle cy="{}" r="2.6"/><path class="card-line" d="M0 {}v6l-3 6m3-6 3 6m-7-9h8"/>')
    edge = _barrier(at, chosen)
    fence = Markup('<path class="card-fence" d="M{} {}v-16m-4 3h8m-8 5h8"/>').format(number(edge), at.ground)
    dead = drum.dead_wraps(at.inputs)
    parts = {
        "base": carrier(at, plan, plan["kind"] == "lattice") + ground,
        "man": person.format(at.ground - 15, at.ground - 12),
        "out": fence + _use(ids, "man", edge + 13),
        "drum": _barrel(on),
        "holes": Markup('<path class="card-paper" d="{}"/><path class="card-dead" d="{}"/>').format(
            _rings(on, dead, sum(layer.wraps for layer in on.layers)), _rings(on, 0, dead)
        ),
        "point": Markup('<path class="card-point" d="M0 0l{u}-{v}h-{w}z"/>').format(
            **{name: number(size * drum_unit(on)) for name, size in (("u", 5), ("v", 9), ("w", 10))}
        ),
        "bar": Markup('<path class="card-rest" d="{}" stroke-dasharray="{}"/>').format(*_bar(chosen)),
    }
    drawn = (Markup('<g id="{}-{}">{}</g>').format(ids, name, part) for name, part in parts.items())
    return Markup('<svg class="fw-card-parts" aria-hidden="true"><defs>{}</defs></svg>').format(Markup("").join(drawn))


def progress(chosen: Mapping[str, Any], ids: str, step: int) -> Markup:
    """The bar of steps: those done, the one now, those to come, with a gap between passes."""
    done, now = _bar_up_to(chosen, step - 1), _bar_up_to(chosen, step)[-1:]
    wide = _segment(chosen)
    _, dashes = _bar(chosen)
    start = now[0][0] + now[0][1] - wide
    return Markup(
        '<svg class="fw-card-bar" viewBox="0 0 {} 8" aria-hidden="true"><use href="#{}-bar"/>'
        '<path stroke-dasharray="{}" d="{}"/><path d="M{} 4h{}"/></svg>'
    ).format(WIDTH, ids, dashes, "".join(f"M{number(x)} 4h{number(w)}" for x, w in done), number(start), number(wide))


def _segment(chosen: Mapping[str, Any]) -> float:
    """Width of one step in the bar."""
    count, gaps = sum(len(one["moves"]) for one in chosen["passes"]), len(chosen["passes"]) - 1
    return (WIDTH - (count - 1) * BAR - gaps * 2 * BAR) / count


def _bar_up_to(chosen: Mapping[str, Any], last: int) -> list[tuple[float, float]]:
    """Start and length of the bar in every pass up to the step `last`."""
    wide, found, x = _segment(chosen), [], 0.0
    for one in chosen["passes"]:
        count = min(last, len(one["moves"]))
        if count > 0:
            found.append((x, count * wide + (count - 1) * BAR))
        last -= count
        x += len(one["moves"]) * (wide + BAR) + 2 * BAR
    return found


def _bar(chosen: Mapping[str, Any]) -> tuple[str, str]:
    """Path and dashes of the whole bar."""
    whole = _bar_up_to(chosen, sum(len(one["moves"]) for one in chosen["passes"]))
    path = "".join(f"M{number(x)} 4h{number(wide)}" for x, wide in whole)
    return path, f"{_segment(chosen):.2f} {BAR}"


# -- side view --------------------------------------------------------------------------------------------------


def side_view(plan: Plan, chosen: Mapping[str, Any], scene: Scene, ids: str, said: Dimensions, words: Markup) -> Markup:
    """The crane from the side, before and after one move; `words` is what it shows in words."""
    at, move = frame(plan, chosen), scene.move
    body = [_band(at, scene)]
    if _moved(at, move):
        body.append(_then(at, plan, scene))
    body += [_use(ids, "base"), _now(at, plan, scene), _arrow(at, move)]
    body += [*_people(at, chosen, scene, ids), *_dimensions(at, chosen, scene, said)]
    return _figure("side", WIDTH, HEIGHT, words, body)


def _figure(name: str, width: float, height: float, words: Markup, body: Sequence[Markup]) -> Markup:
    return Markup('<svg class="fig card-{}" viewBox="0 0 {} {}" role="img"><title>{}</title>{}</svg>').format(
        name, round(width), round(height), words, Markup("").join(body)
    )


def _moved(at: Frame, move: Move) -> bool:
    """Whether boom or hook stand visibly elsewhere after a move."""
    (x1, y1), (x2, y2) = (at.head(move["boom_length_m"][end], move["radius_m"][end]) for end in (0, 1))
    down = abs(move["hook_height_m"][1] - move["hook_height_m"][0]) * at.scale
    return hypot(x2 - x1, y2 - y1) > SAME or down > SAME


def _then(at: Frame, plan: Plan, scene: Scene) -> Markup:
    """Boom, falls, block, slings and load before the move, all in one thin dashed line."""
    move = scene.move
    _, hook_y = at.at(move["radius_m"][0], move["hook_height_m"][0])
    lines = f"{_line(*at.boom(move['boom_length_m'][0], move['radius_m'][0]))}V{number(hook_y)}"
    return Markup('<path class="card-then" d="{}"/>').format(lines + _hanging(at, plan, scene, 0))


def _now(at: Frame, plan: Plan, scene: Scene) -> Markup:
    """Boom, falls, block, slings and load after the move; while the hook is empty, the outline of the load that
    waits."""
    move = scene.move
    boom = at.boom(move["boom_length_m"][1], move["radius_m"][1])
    (x1, y1), (x2, y2), y_head = boom[0], boom[1], boom[-1][1]
    out = [Markup('<path class="card-boom" d="{}"/>').format(_line(*boom))]
    if plan["kind"] == "telescopic":
        share = min(1.0, min(c["boom_length_m"] for c in at.inputs["charts"]) / move["boom_length_m"][1])
        base = f"M{number(x1)} {number(y1)}l{number(share * (x2 - x1))} {number(share * (y2 - y1))}"
        out.append(Markup('<path class="card-base" d="{}"/>').format(base))
    block = hook_block(plan)
    hook_x, hook_y = at.at(move["radius_m"][1], move["hook_height_m"][1])
    high = max(5, (block["height_m"] if block else 0.0) * at.scale)
    ropes = f"M{number(hook_x - 1)} {number(y_head)}V{number(hook_y - high)}h2V{number(y_head)}"
    if hanging := _hanging(at, plan, scene, 1):
        ropes += f"M{number(hook_x)} {number(hook_y)}{hanging}"
    out.append(Markup('<path class="card-line" d="{}"/>').format(ropes))
    out.append(Markup('<path class="card-block" d="M{} {}v-{}"/>').format(*map(number, (hook_x, hook_y, high))))
    if move["load_kg"]:
        out.append(
            Markup('<path class="fig-load" d="{}"/>').format(_load(at, plan, move["radius_m"][1], _under(move, 1)))
        )
    elif scene.waiting is not None:
        out.append(Markup('<path class="card-line" d="{}"/>').format(_load(at, plan, scene.waiting, 0.0)))
    return Markup("").join(out)


def _under(move: Move, end: int) -> float:
    """Height of the underside of the load [m]."""
    return float(move["load_height_m"][end] or 0.0)


def _load(at: Frame, plan: Plan, radius: float, under: float) -> str:
    load, half = plan["load"], at.inputs["load_size_m"] / 2
    left, top = at.at(radius - half, under + load["stack_height_m"])
    right, bottom = at.at(radius + half, under)
    return f"M{number(left)} {number(top)}H{number(right)}V{number(bottom)}H{number(left)}z"


def _hanging(at: Frame, plan: Plan, scene: Scene, end: int) -> str:
    """Slings, on from the hook: under the load extensions in line, then the legs of the base set; on an empty hook
    straight down, as far as the ground."""
    move, load, slings = scene.move, plan["load"], scene.slings[end]
    radius = move["radius_m"][end]
    _, y = at.at(radius, move["hook_height_m"][end])
    if not slings:
        return ""
    if not move["load_kg"]:
        long = min(slings * at.scale, at.ground - y)
        return f"m-1 0l-1 {number(long)}m4 0l-1-{number(long)}"
    base = at.inputs["slings"][0]["length_m"]
    across = sqrt(max(0.0, base**2 - load["hanging_height_m"] ** 2))
    legs = _under(move, end) + load["lifting_points_height_m"]
    knot = at.at(radius, legs + load["hanging_height_m"])
    left, right = (at.at(radius + side, legs) for side in (-across, across))
    return f"V{number(knot[1])}{_line(left, knot, right)}"


def _band(at: Frame, scene: Scene) -> Markup:
    """The band of heights the load is kept in, between its places before and after, hatched."""
    move = scene.move
    before, after = move["radius_m"]
    if not move["load_kg"] or abs(after - before) * at.scale < SAME:
        return Markup("")
    low, high = at.inputs["clearance_m"], at.inputs["band_top_m"]
    x, y = at.at(min(before, after), (low + high) / 2)
    return Markup('<path class="card-band" stroke-width="{}" d="M{} {}h{}"/>').format(
        number((high - low) * at.scale), number(x), number(y), number(abs(after - before) * at.scale)
    )


def _arrow(at: Frame, move: Move) -> Markup:
    """The way of a move: along the path of the boom head, along the boom, or beside the falls."""
    lengths, radii = move["boom_length_m"], move["radius_m"]
    (x1, y1), (x2, y2) = (at.head(length, radius) for length, radius in zip(lengths, radii, strict=True))
    (px, py), long = at.turns_about(lengths[0])
    if lengths[0] != lengths[1]:  # along the boom, over it
        angle = atan2(py - y1, x1 - px)
        x, y = -AWAY * sin(angle), -AWAY * cos(angle)
        return _pointed(f"M{number(x1 + x)} {number(y1 + y)} ", (x2 + x, y2 + y), atan2(y2 - y1, x2 - x1))
    if hypot(x2 - x1, y2 - y1) > SAME:
        reach = long + AWAY
        first, last = (atan2(py - y, x - px) for x, y in ((x1, y1), (x2, y2)))
        out = last < first
        least = LEAST_ARROW / reach  # a short way begins a little before its start, so that it shows
        first = max(first, last + least) if out else min(first, last - least)
        begin = px + reach * cos(first), py - reach * sin(first)
        end = px + reach * cos(last), py - reach * sin(last)
        arc = f"M{number(begin[0])} {number(begin[1])}A{number(reach)} {number(reach)} 0 0 {int(out)} "
        return _pointed(arc, end, -last + (pi / 2 if out else -pi / 2))
    before, after = move["hook_height_m"]
    if before == after:
        return Markup("")
    way = -1 if after > before else 1
    x, y = at.at(radii[1], after)
    x += AWAY
    long = max(abs(after - before) * at.scale, LEAST_ARROW)
    y = y - 8 if long == LEAST_ARROW else y  # a short one stands beside the block, clear of the load
    return _pointed(f"M{number(x)} {number(y - way * long)} ", (x, y), way * pi / 2)


def _pointed(line: str, tip: tuple[float, float], angle: float) -> Markup:
    """A line with a head at its tip; `angle` is where it points, clockwise from the right."""
    x, y = tip
    wings = [(x - 9 * cos(angle + turn), y - 9 * sin(angle + turn)) for turn in (0.42, -0.42)]
    back = number(x - 6 * cos(angle)), number(y - 6 * sin(angle))
    return Markup('<path class="card-go" d="{}{} {}"/><path class="card-tip" d="{}z"/>').format(
        line, *back, _line(tip, *wings)
    )


def _line(*places: tuple[float, float]) -> str:
    """A line through these places."""
    return "M" + " ".join(f"{number(x)} {number(y)}" for x, y in places)


def _people(at: Frame, chosen: Mapping[str, Any], scene: Scene, ids: str) -> Iterator[Markup]:
    """Who stands where: two people at the drum to count, one at the hook to hang and unhook, else behind the barrier
    at the edge of the working area."""
    if scene.people == "drum":
        places = [at.axis - tail(at.inputs) * at.scale + x for x in (5, 16)]
    elif scene.people == "hook":
        radius = scene.move["radius_m"][0] if scene.move["move"] == "luff-in" else scene.move["radius_m"][1]
        places = [at.at(radius, 0)[0] + 14]
    else:
        yield _use(ids, "out")
        return
    for x in places:
        yield _use(ids, "man", max(x, 6))


def _use(ids: str, part: str, x: float = 0, y: float = 0) -> Markup:
    """A part that all cards share, at its place."""
    at = Markup("").join(
        Markup(' {}="{}"').format(name, number(value)) for name, value in (("x", x), ("y", y)) if value
    )
    return Markup('<use href="#{}-{}"{}/>').format(ids, part, at)


def _barrier(at: Frame, chosen: Mapping[str, Any]) -> float:
    """Where the barrier stands at the edge of the working area, or at the edge of the drawing."""
    return min(at.at(chosen["working_radius_m"], 0)[0] + 3, WIDTH - 24)


def _dimensions(at: Frame, chosen: Mapping[str, Any], scene: Scene, said: Dimensions) -> Iterator[Markup]:
    """Radius under the ground, height of the hook beside it, clear of barrier and people."""
    move = scene.move
    x, y = at.at(move["radius_m"][1], move["hook_height_m"][1])
    line = at.ground + 14
    beside = x + max(at.inputs["load_size_m"] / 2 * at.scale, AWAY) + 10
    if scene.people == "clear" and abs(beside - _barrier(at, chosen)) < PERSON:
        beside = _barrier(at, chosen) + PERSON + 4
    yield Markup('<path class="card-dim" d="M{} {}v10m0-5H{}m0-5v10M{} {}h8m-4 0V{}"/>').format(
        *(round(value) for value in (at.axis, line - 5, x, beside - 4, y, at.ground))
    )
    yield _text(max((at.axis + x) / 2, 32), line + 22, said.radius)
    height = min((y + at.ground) / 2 + 5, at.ground - PERSON - 4)  # over the heads of the people
    yield _text(beside + 5, height, said.hook)


def _text(x: float, y: float, content: Markup) -> Markup:
    return Markup('<text x="{}" y="{}">{}</text>').format(round(x), round(y), content)


# -- drum -------------------------------------------------------------------------------------------------------


def wraps_on(plan: Plan, layer: int, wrap: float) -> int:
    """Whole wraps on the drum at a place of the contract, as the crew counts them."""
    layers = drum.layers_of(plan["inputs"])
    return sum(one.wraps for one in layers[: layer - 1]) + round(rounding.step(wrap, 1, "near"))


def drums(plan: Plan, chosen: Mapping[str, Any]) -> list[list[drum.Stretch]]:
    """The drum after every move of a method: dead wraps, wraps firm already, wraps wound in the move or paid out in it,
    and between them rope that is loose or was never paid out.

    Firm is what the log says lies firm, and what the passes so far have wound under load; of a landing no more than the
    plan counts after it.
    """
    inputs, layers = plan["inputs"], drum.layers_of(plan["inputs"])
    dead, known = drum.dead_wraps(inputs), drum.known_firm(inputs, layers)
    begin, _ = drum.firm_rope(chosen, layers)
    found, firm, first = [], 0, True
    for one in chosen["passes"]:
        landed = drum.count(layers, spooled.rope_at(layers, one["firm_to"]["layer"], one["firm_to"]["wrap"]), floor)
        for move in one["moves"]:
            before, after = (wraps_on(plan, move["layer"][end], move["wrap"][end]) for end in (0, 1))
            had = firm
            if move["load_kg"] and after > before and (first or before <= firm):
                firm = after
            if move is one["moves"][-1]:
                firm = had = landed
            firm = min(firm, after)
            low = min(before, after)
            found.append(_stretches(dead, known, (drum.count(layers, begin, ceil), had), low))
            found[-1] += [("wound", before, after)] if after > before else []
            found[-1] += [("out", after, before)] if after < before else []
        first = False
    return found


def _stretches(dead: int, known: int, firm: tuple[int, int], low: int) -> list[drum.Stretch]:
    """What lies on the drum up to the wrap `low`."""
    begin, end = max(firm[0], known), max(firm)
    borders = [
        ("dead", 0, dead),
        ("firm", dead, known),
        ("loose", known, begin),
        ("firm", begin, end),
        ("loose", end, low),
    ]
    return [(state, first, min(last, low)) for state, first, last in borders if min(last, low) > first]


def drum_view(plan: Plan, stretches: Sequence[drum.Stretch], last: int, ids: str, words: Markup) -> Markup:
    """The drum after a move, a pointer at its last wrap; `words` is what it shows in words."""
    on = section(plan)
    paths: dict[str, str] = {}
    for state, low, high in stretches:
        paths[state] = paths.get(state, "") + _rings(on, low, high)
    body = [_use(ids, "drum"), *_states(paths, ("loose", "wound")), _use(ids, "holes")]
    body += _states({**paths, "core": paths.get("wound", "")}, ("firm", "core", "out"))
    x, y = _last(on, last)
    body.append(_use(ids, "point", x, y))
    unit = drum_unit(on)
    return _figure("drum", WIDTH * unit, DRUM_HEIGHT * unit, words, body)


def _states(paths: Mapping[str, str], names: Sequence[str]) -> list[Markup]:
    """Wraps in these states, in this order; those of the dead wraps are drawn with the middles of all others."""
    return [Markup('<path class="card-{}" d="{}"/>').format(name, paths[name]) for name in names if paths.get(name)]


# Every state by shape as well as by colour: a disc in ink, a disc, a ring with a disc in it, a ring, a small dot.
# The middle of a ring is drawn with those of all rings.
LOOKS = {
    "dead": ("dead",),
    "firm": ("firm",),
    "wound": ("wound", "paper", "core"),
    "loose": ("loose", "paper"),
    "out": ("out",),
}


def mark(state: str) -> Markup:
    """One wrap in this state, for the key."""
    drawn = (Markup('<path class="card-{}" d="M5 5h.1"/>').format(kind) for kind in LOOKS[state])
    return Markup('<svg class="card-drum" viewBox="0 0 10 10" aria-hidden="true">{}</svg>').format(
        Markup("").join(drawn)
    )


def _rings(on: drum.Section, low: int, high: int) -> str:
    """The middles of the wraps from `low` to `high`, a line for each layer; even layers run back, half a pitch over."""
    lines, below = "", 0
    for layer in on.layers:
        first, last = max(low - below, 0), min(high - below, layer.wraps)
        below += layer.wraps
        if last > first:
            x = on.left + (_along(layer, first) if layer.number % 2 else _along(layer, last - 1)) * on.pitch
            lines += f"M{number(x)} {round(on.up(layer.diameter))}h{number((last - first - 1) * on.pitch + 0.1)}"
    return lines


def _along(layer: Layer, wrap: int) -> float:
    """Where the middle of a wrap lies in its layer, in pitches from the left flange; `wrap` counts from 0."""
    return wrap + 0.5 if layer.number % 2 else layer.wraps - wrap


def _last(on: drum.Section, last: int) -> tuple[float, float]:
    """Where the pointer stands, over the last wrap."""
    below = 0
    for layer in on.layers:
        if last <= below + layer.wraps:
            x = on.left + _along(layer, max(last - below - 1, 0)) * on.pitch
            return x, on.up(layer.diameter) - on.rise / 2 - 1
        below += layer.wraps
    raise ValueError(f"{last} wraps: more than the drum has")


def _barrel(on: drum.Section) -> Markup:
    """Barrel, flanges and the numbers of the layers: odd ones on the left, even ones on the right."""
    unit = drum_unit(on)
    top, foot, thick = on.up(on.inputs["flange_diameter_m"]), (DRUM_HEIGHT - 2) * unit, drum.FLANGE * unit
    out = [
        Markup('<path class="fig-barrel" d="M{} {b}V{r}H{}V{b}"/>').format(
            number(on.left), number(on.right), r=number(on.root), b=number(foot)
        )
    ]
    edges = on.left - thick, on.right
    out += [
        Markup('<path class="fig-flange" d="M{} {}h{t}V{}h-{t}z"/>').format(
            *map(number, (x, top, foot)), t=number(thick)
        )
        for x in edges
    ]
    names: list[Markup] = []
    for side, x, anchor in ((1, edges[0] - 4 * unit, "end"), (0, edges[1] + thick + 4 * unit, "start")):
        shown = [layer for layer in on.layers if layer.number % 2 == side]
        places = spread([-on.up(layer.diameter) for layer in shown], FONT * unit)
        over = max(0.0, 5 * unit - places[0] - DRUM_HEIGHT * unit) if places else 0.0  # the lowest stays inside
        names += [
            text(x, 5 * unit - y - over, str(layer.number), anchor) for layer, y in zip(shown, places, strict=True)
        ]
    out.append(Markup('<g font-size="{}em">{}</g>').format(number(unit), Markup("").join(names)))
    return Markup("").join(out)
