"""How long a move takes: one motion after the other, load kept low in short alternating moves.

Basis: the boom never moves while the rope does.  The band above the ground is what a short move may let the load drop;
each pair of boom move and hoist move changes the motion twice.  May import: numpy, the modules beside it.  Must not
know: `calc`.
"""

from __future__ import annotations

from itertools import pairwise
from math import ceil
from typing import Any

import numpy as np

from independent.charts import GRAIN
from independent.drum_wraps import Floats
from independent.forces import HAULING
from independent.rig import Rig
from independent.walk import LUFFING, Track


def seconds(rig: Rig, move: dict[str, Any], track: Track, first_pass: bool, landed_at: float | None) -> float:
    """Time of a move [s]; `landed_at` the radius the load was left at, which a crawler crane travels to."""
    inputs, name = rig.inputs, move["move"]
    if name == "land":
        return float(inputs["check_time_s"])
    if name == "pick":
        return float(inputs["pick_time_s"]) if first_pass else _hooking_on_again(inputs, move, landed_at)
    boom = float(np.abs(np.diff(track.angle)).sum() / inputs["luffing_rad_per_s"]) if name in LUFFING else 0.0
    if not track.loaded:
        return boom + _rope_seconds(rig, track)
    if name == "telescope-in":
        boom = _telescoping_seconds(rig, track)
    return boom + _rope_seconds(rig, track) + 2 * pairs(rig, track, name) * float(inputs["change_time_s"])


def _hooking_on_again(inputs: dict[str, Any], move: dict[str, Any], landed_at: float | None) -> float:
    travelled = 0.0
    if inputs["load_return"] == "crawler-travels" and landed_at is not None:
        travelled = abs(landed_at - move["radius_m"][0])
    return float(inputs["re_pick_time_s"] + travelled / inputs["travel_speed_m_per_s"])


def _sections(rig: Rig, track: Track) -> list[tuple[float, float]]:
    """Boom lengths a telescoping move stops over at: each listed length it passes, with its ends."""
    long, short = float(track.length.max()), float(track.length.min())
    stops = [short, *(at for at in rig.charts.length if short + GRAIN < at < long - GRAIN), long]
    return [(float(a), float(b)) for a, b in pairwise(stops)]


def _telescoping_seconds(rig: Rig, track: Track) -> float:
    inputs = rig.inputs
    each = ((b - a) / inputs["telescoping_m_per_s"] + inputs["section_time_s"] for a, b in _sections(rig, track))
    return float(sum(each))


def pairs(rig: Rig, track: Track, name: str) -> int:
    """How many short boom moves it takes to keep the load inside its band."""
    room = rig.inputs["band_top_m"] - rig.inputs["clearance_m"]
    if name != "telescope-in":
        head = rig.head(track.length, track.angle)
        moves: int = ceil(abs(float(head[-1] - head[0])) / room - 1e-9)
        return moves
    # with the winch standing, rope drawn in along the boom is let out at the falls
    steep = float(np.sin(track.angle[0]))
    return sum(ceil((b - a) * (steep + 1 / rig.falls) / room - 1e-9) for a, b in _sections(rig, track))


def _rope_seconds(rig: Rig, track: Track) -> float:
    """Time the winch turns [s]; with a load on it at the slower working speed either way."""
    inputs, rope = rig.inputs, track.rope
    middle: Floats = (rope[1:] + rope[:-1]) / 2
    working = inputs["winding_speed_m_per_s" if track.loaded else "pay_out_speed_m_per_s"]
    speed = np.minimum(working, rig.line_speed(middle))
    if rope[-1] > rope[0]:  # the winch has no more power than it has
        hauling = rig.pulls(track.length, track.angle, track.hook, track.hanging, HAULING)[0]
        by_power = inputs["power_w"] * inputs["winch_efficiency"] / ((hauling[1:] + hauling[:-1]) / 2)
        speed = np.minimum(speed, by_power)
    return float((np.abs(np.diff(rope)) / speed).sum())
