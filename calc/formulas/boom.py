"""Boom and rope path: head height, angle, deflection, rope paid out.  A straight rigid boom from pivot to head.

A boom with a jib is a straight arm too, from its pivot to the jib head: `arm_with_jib` gives its length, `jib_angle`
how much steeper the main boom stands than the arm.  Wherever a `boom_length` is asked for, that of the arm may stand.
"""

from __future__ import annotations

from math import acos, asin, cos, pi, sin, sqrt


def head_height(boom_length: float, radius: float, pivot_forward: float, pivot_height: float) -> float:
    """Height of the head-sheave axis above ground.

    H = z_p + sqrt(L^2 - (r - x_p)^2)

    Parameters
    ----------
    boom_length : L, [m], above 0
    radius : r, from the slew axis, [m], x_p to x_p + L
    pivot_forward : x_p, negative behind the slew axis, [m]
    pivot_height : z_p, [m]

    Returns: [m].  Errors: ValueError when the radius is out of the boom's reach.  Source: Pythagoras.

    >>> head_height(5.0, 4.0, 1.0, 2.0)
    6.0
    """
    reach = _reach(boom_length, radius, pivot_forward)
    return pivot_height + sqrt(boom_length * boom_length - reach * reach)


def radius_at_height(boom_length: float, height: float, pivot_forward: float, pivot_height: float) -> float:
    """Radius at which the head-sheave axis stands at this height; the inverse of `head_height`.

    r = x_p + sqrt(L^2 - (H - z_p)^2)

    Parameters
    ----------
    boom_length : L, [m], above 0
    height : H, [m], z_p to z_p + L
    pivot_forward, pivot_height : x_p, z_p, [m]

    Returns: [m].  Errors: ValueError when the boom cannot stand so.  Source: Pythagoras.

    >>> radius_at_height(5.0, 6.0, 1.0, 2.0)
    4.0
    """
    _above_zero("boom_length", boom_length)
    rise = height - pivot_height
    if not 0 <= rise <= boom_length:
        highest = pivot_height + boom_length
        raise ValueError(f"height is {height}; this boom's head stands from {pivot_height} to {highest}")
    return pivot_forward + sqrt(boom_length * boom_length - rise * rise)


def angle(boom_length: float, radius: float, pivot_forward: float) -> float:
    """Boom angle to the horizontal.

    theta = acos((r - x_p)/L)

    Parameters
    ----------
    boom_length : L, [m], above 0
    radius : r, [m], x_p to x_p + L
    pivot_forward : x_p, [m]

    Returns: [rad], 0 to pi/2.  Errors: ValueError out of reach.  Source: trigonometry.

    >>> round(angle(10.0, 6.0, 1.0), 6)
    1.047198
    """
    return acos(_reach(boom_length, radius, pivot_forward) / boom_length)


def radius_at_angle(boom_length: float, boom_angle: float, pivot_forward: float) -> float:
    """Radius at a boom angle; the inverse of `angle`.

    r = x_p + L*cos(theta)

    Parameters
    ----------
    boom_length : L, [m], above 0
    boom_angle : theta, [rad], 0 to pi/2
    pivot_forward : x_p, [m]

    Returns: [m].  Errors: ValueError out of range.  Source: trigonometry.

    >>> round(radius_at_angle(10.0, 1.0471975512, 1.0), 6)
    6.0
    """
    _above_zero("boom_length", boom_length)
    if not 0 <= boom_angle <= pi / 2:
        raise ValueError(f"boom_angle is {boom_angle}; it lies from 0 to pi/2")
    return pivot_forward + boom_length * cos(boom_angle)


def deflection(boom_length: float, deflection_share: float, capacity_use: float) -> float:
    """How much the radius grows under load by boom deflection: a planning figure.

    dr = c*L*use

    Parameters
    ----------
    boom_length : L, [m], above 0
    deflection_share : c, growth at full use as a share of the boom length, [-], 0 or more
    capacity_use : gross load / rated capacity, [-], 0 or more

    Returns: [m].  Errors: ValueError out of range.
    Rules: boom-deflection-telescopic, boom-deflection-lattice.  Source: from memory.

    >>> deflection(50.0, 0.04, 0.5)
    1.0
    """
    _above_zero("boom_length", boom_length)
    for name, value in (("deflection_share", deflection_share), ("capacity_use", capacity_use)):
        if not value >= 0:
            raise ValueError(f"{name} is {value}; it is 0 or more")
    return boom_length * deflection_share * capacity_use


def rebound(boom_length: float, radius: float, pivot_forward: float, growth: float) -> float:
    """How far the head rises when the load comes off and the radius shrinks back by `growth`.

    dH = sqrt(L^2 - (r - x_p)^2) - sqrt(L^2 - (r + dr - x_p)^2)

    Parameters
    ----------
    boom_length : L, [m]
    radius : r, boom unloaded, [m], x_p to below x_p + L
    pivot_forward : x_p, [m]
    growth : dr, [m], 0 or more; a boom that would bend below level lies level

    Returns: [m].  Errors: ValueError out of range.  Source: the head on its circle about the boom pivot.

    >>> round(rebound(5.0, 4.0, 1.0, 1.0), 6)
    1.0
    """
    reach = _reach(boom_length, radius, pivot_forward)
    if not growth >= 0 or reach == boom_length:
        raise ValueError(f"growth is {growth} at reach {reach}; growth is 0 or more and the boom stands above level")
    grown = min(reach + growth, boom_length)
    return sqrt(boom_length * boom_length - reach * reach) - sqrt(boom_length * boom_length - grown * grown)


def arm_with_jib(boom_length: float, jib_length: float, offset: float) -> float:
    """Length of the straight arm from the boom pivot to the head of a fixed jib.

    Lambda = sqrt(L^2 + j^2 + 2*L*j*cos(delta))

    Parameters
    ----------
    boom_length : L, main boom, [m], above 0
    jib_length : j, [m], above 0
    offset : delta, jib below the line of the boom, [rad], 0 to pi/2

    Returns: [m].  Errors: ValueError out of range.  Source: law of cosines in the triangle of boom, jib and arm.

    >>> round(arm_with_jib(3.0, 4.0, 1.5707963267), 6)
    5.0
    """
    _above_zero("boom_length", boom_length)
    _above_zero("jib_length", jib_length)
    if not 0 <= offset <= pi / 2:
        raise ValueError(f"offset is {offset}; it lies from 0 to pi/2")
    return sqrt(boom_length * boom_length + jib_length * jib_length + 2 * boom_length * jib_length * cos(offset))


def jib_angle(boom_length: float, jib_length: float, offset: float) -> float:
    """How much steeper the main boom stands than the arm from its pivot to the head of a fixed jib.

    theta - phi = asin(j*sin(delta)/Lambda)

    Parameters
    ----------
    boom_length, jib_length, offset : L, j, delta, as in `arm_with_jib`

    Returns: [rad].  Errors: ValueError out of range.  Source: law of sines in the same triangle.

    >>> round(jib_angle(3.0, 4.0, 1.5707963267), 6)
    0.927295
    """
    return asin(jib_length * sin(offset) / arm_with_jib(boom_length, jib_length, offset))


def rope_between_falls(falls: int, sheave_radius: float) -> float:
    """Rope that lies round the sheaves between the falls.

    w = (n - 1)*pi*R_s

    Parameters
    ----------
    falls : n, 1 or more
    sheave_radius : R_s, [m], above 0

    Returns: [m].  Errors: ValueError out of range.  Source: half a turn on each sheave.

    >>> round(rope_between_falls(3, 0.5), 6)
    3.141593
    """
    if falls < 1:
        raise ValueError(f"falls is {falls}; there is at least 1")
    _above_zero("sheave_radius", sheave_radius)
    return (falls - 1) * pi * sheave_radius


def paid_out(drum_to_head: float, falls: int, fall_length: float, between_falls: float) -> float:
    """Rope that is off the drum.

    R = P + n*s + w

    Parameters
    ----------
    drum_to_head : P, [m]
    falls : n, 1 or more
    fall_length : s, [m], 0 or more
    between_falls : w, [m], from `rope_between_falls`

    Returns: [m].  Errors: ValueError out of range.  Source: sum of the rope's parts.

    >>> paid_out(50.0, 4, 10.0, 3.0)
    93.0
    """
    if falls < 1:
        raise ValueError(f"falls is {falls}; there is at least 1")
    if not fall_length >= 0:
        raise ValueError(f"fall_length is {fall_length}; it is 0 or more")
    return drum_to_head + falls * fall_length + between_falls


def _reach(boom_length: float, radius: float, pivot_forward: float) -> float:
    _above_zero("boom_length", boom_length)
    reach = radius - pivot_forward
    if not 0 <= reach <= boom_length:
        raise ValueError(
            f"radius is {radius}; this boom reaches radii from {pivot_forward} to {pivot_forward + boom_length}"
        )
    return reach


def _above_zero(name: str, value: float) -> None:
    if not value > 0:
        raise ValueError(f"{name} is {value}; it lies above 0")
