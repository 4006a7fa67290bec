"""Every rig as one straight arm: main boom, fixed jib, runner, luffing jib."""

from __future__ import annotations

from math import cos, sin
from typing import NamedTuple

from calc.data.model import Boom, Jib
from calc.formulas import boom as formulas


class Arm(NamedTuple):
    """A boom, with its jib where one is rigged, as one straight arm: length and pivot [m], how much steeper the angle
    stands that counts for limits and indicator [rad], rope from the drum to the head, length that bends [m]."""

    length: float
    pivot_forward: float
    pivot_height: float
    steeper: float
    drum_to_head: float
    bending: float


def made(boom: Boom, jib: Jib | None, boom_length: float) -> Arm:
    """The arm that a main `boom` of this `boom_length` [m] makes with this `jib`, or without one.

    Fixed jib, runner: from the boom pivot to the jib head.  Luffing jib: the jib itself, on a boom that is held.  The
    rope runs along boom and jib, and both bend.
    """
    if jib is None:
        path = boom_length + boom.rope_path_extra
        return Arm(boom_length, boom.pivot_forward, boom.pivot_height, 0.0, path, boom_length)
    both = boom_length + jib.length
    path = both + boom.rope_path_extra + jib.rope_longer_than_jib
    if jib.boom_angle is not None:
        forward = boom.pivot_forward + boom_length * cos(jib.boom_angle)
        height = boom.pivot_height + boom_length * sin(jib.boom_angle)
        return Arm(jib.length, forward, height, 0.0, path, both)
    assert jib.offset is not None, "the check asks for one of the two"
    length = formulas.arm_with_jib(boom_length, jib.length, jib.offset)
    steeper = formulas.jib_angle(boom_length, jib.length, jib.offset)
    return Arm(length, boom.pivot_forward, boom.pivot_height, steeper, path, both)
