"""Figures of the guidance pages, by the name a page asks for them with: `{{ figure:drum:heron/41m }}`.

A figure is drawn from a plan, so that what it shows can be built, from the state a log left a drum in, from a heavy
lift, or from the fitness of a rope; where no number decides it, it is a sketch.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calc.winding.plan_fields import Inputs
from hooks.figures import (
    Words,
    bars,
    bed,
    crew,
    damage,
    drum,
    inspection,
    procedure,
    reeving,
    rope,
    side,
    socket,
    stack,
    state,
    tension,
    terms,
    upkeep,
    wraps,
)

Plan = Mapping[str, Any]

FIGURES: dict[str, Callable[[Plan, Words], str]] = {
    "drum": drum.svg,
    "layers": drum.machine_svg,
    "side": side.svg,
    "one-pass": procedure.one_pass,
    "luff-in": procedure.luff_in,
    "load-return": procedure.load_return,
    "working-circle": procedure.working_circle,
    "wrap-name": wraps.wrap_name,
    "signs": wraps.signs,
    "rope-off": wraps.rope_off,
    "pulling-in": bed.svg,
    "tension": tension.svg,
    "hoist-and-land": bars.hoist_and_land,
    "bed": bars.bed_needed,
    "parts": terms.svg,
    "rope-diameter": rope.measure,
    "counting": inspection.counting,
    "waviness": inspection.waviness,
    "reel-to-drum": rope.reel_to_drum,
    "crossover-shift": rope.crossover_shift,
    "lay-and-hand": rope.lay_and_hand,
    "reeving": reeving.of_plan,
    "stack": stack.svg,
    "hang": crew.hang,
    "short-moves": crew.short_moves,
}

SKETCHES: dict[str, Callable[[Words], str]] = {  # asked for by their name alone
    "people": crew.people,
    "count-drum": crew.count_drum,
    "first-layer": rope.first_layer,
    "socket": socket.svg,
    "damage": damage.svg,
}


@dataclass(frozen=True)
class OfDrum:
    """A figure of the drum of one crane: on how many days, how it is asked for, what draws it."""

    days: int
    pattern: str
    draw: Callable[[Sequence[Mapping[str, Any]], Inputs, float, Words], str]


OF_DRUM = {
    "drum-on": OfDrum(1, "drum-on:<crane>/<day>", state.on_a_day),
    "drum-days": OfDrum(2, "drum-days:<crane>/<day>/<day>", state.before_and_after),
}

OF_LIFT: dict[str, Callable[[Mapping[str, Any], Words], str]] = {"line-pull": bars.line_pull}


@dataclass(frozen=True)
class OfRope:
    """A figure of the rope of one crane: of what is told of that crane it is drawn from this part."""

    part: str
    draw: Callable[[Mapping[str, Any], Words], str]


OF_ROPE = {
    "along-the-rope": OfRope("fitness", inspection.along_the_rope),
    "back-tension": OfRope("order", upkeep.back_tension),
    "rope-left": OfRope("cut", upkeep.rope_left),
    "rope-line": OfRope("line", upkeep.rope_line),
}
