"""Forces in the rope, sheave by sheave: what reaches the drum, what load keeps the drum tension, falls and limits."""

from __future__ import annotations

from math import ceil, exp, log, pi

from calc.formulas import ROUNDING, STANDARD_GRAVITY

HAULING, STANDING, PAYING_OUT = 1, 0, -1


def fall_sums(falls: int, factor: float) -> tuple[float, float]:
    """The two sums over the falls in the force balance of the block.

    forces = sum(f^(j-1), j=1..n);  rope = sum(a_j, j=1..n) with a_j = (1 + f^j)/(1 + f) for odd j and
    f*(1 + f^(j-1))/(1 + f) for even j: the share of one fall's rope weight that the block feels in units of T_1

    Parameters
    ----------
    falls : n, 1 or more
    factor : f, e hauling, 1/e paying out, 1 standing, [-], above 0

    Returns: (forces, rope), [-].  Errors: ValueError out of range.
    Source: force balance of every sheave, T_out = T_in*f; without rope weight it is the line-parts ratio of the
    Rigger's Handbook, p. 137.

    >>> fall_sums(4, 1.0)
    (4.0, 4.0)
    """
    if falls < 1:
        raise ValueError(f"falls is {falls}; there is at least 1")
    if not factor > 0:
        raise ValueError(f"factor is {factor}; it lies above 0")
    forces = float(falls) if factor == 1 else (1 - factor**falls) / (1 - factor)
    # the numerators: f^j summed over all falls, 1 for each odd one, f for each even one
    rope = (factor * forces + (falls + 1) // 2 + factor * (falls // 2)) / (1 + factor)
    return forces, rope


def sheave_factor(efficiency: float, direction: int) -> float:
    """Factor f of one sheave for the direction the rope moves.

    f = e hauling, 1/e paying out, 1 standing

    Parameters
    ----------
    efficiency : e, [-], above 0 to 1
    direction : HAULING, STANDING or PAYING_OUT

    Returns: [-].  Errors: ValueError out of range.  Rules: sheave-efficiency.
    Source: DIN 15020-1 / FEM 1.001 convention (from memory).

    >>> sheave_factor(0.98, HAULING)
    0.98
    """
    if not 0 < efficiency <= 1:
        raise ValueError(f"efficiency is {efficiency}; it lies above 0 and not above 1")
    if direction == STANDING:
        return 1.0
    return efficiency if direction == HAULING else 1 / efficiency


def lead_line_tension(
    block_weight: float,
    rope_weight: float,
    falls: int,
    fall_length: float,
    efficiency: float,
    sheaves_to_drum: int,
    direction: int,
) -> float:
    """Force in the lead line behind the last sheave on its way to the drum, at the head.

    T_1 = (W_b + m_r*g*s*rope)/forces;  T_lead = T_1*f^-k   (forces, rope from `fall_sums`)

    Parameters
    ----------
    block_weight : W_b, load, slings and hook block, [N], 0 or more
    rope_weight : m_r*g, [N/m], 0 or more
    falls : n, 1 or more
    fall_length : s, [m], 0 or more
    efficiency : e of one sheave, [-], above 0 to 1
    sheaves_to_drum : k, sheaves from fall 1 to the drum, head sheave included, 1 or more
    direction : HAULING, STANDING or PAYING_OUT

    Returns: [N].  Errors: ValueError out of range.  Rules: sheave-efficiency.
    Source: force balance sheave by sheave; Wire Rope Users Manual, 4th ed., p. 88, without rope weight.

    >>> round(lead_line_tension(20000, 30, 4, 40, 0.98, 1, HAULING), 1)
    6494.7
    """
    if not block_weight >= 0:
        raise ValueError(f"block_weight is {block_weight}; it is 0 or more")
    _check_rope(rope_weight, fall_length, sheaves_to_drum)
    factor = sheave_factor(efficiency, direction)
    forces, rope = fall_sums(falls, factor)
    return (block_weight + rope_weight * fall_length * rope) / forces * factor**-sheaves_to_drum


def drum_tension(lead_line: float, rope_weight: float, head_height: float, winch_height: float) -> float:
    """Force with which the rope lies on the drum: the lead line less the rope that hangs down to the winch.

    T_drum = T_lead - m_r*g*(H - z_w)

    Parameters
    ----------
    lead_line : T_lead at the head, [N]
    rope_weight : m_r*g, [N/m]
    head_height, winch_height : H, z_w, [m]

    Returns: [N]; negative means slack.  Errors: none.  Source: weight of a hanging rope.

    >>> round(drum_tension(6494.7, 30, 50, 2), 1)
    5054.7
    """
    return lead_line - rope_weight * (head_height - winch_height)


def mass_for_drum_tension(
    tension: float,
    rope_weight: float,
    falls: int,
    fall_length: float,
    head_height: float,
    winch_height: float,
    efficiency: float,
    sheaves_to_drum: int,
    direction: int,
) -> float:
    """Suspended mass, block included, that gives this tension at the drum; `drum_tension` solved for W_b/g.

    m = (forces*f^k*(T_drum + m_r*g*(H - z_w)) - m_r*g*s*rope)/g

    Parameters
    ----------
    tension : T_drum, [N]
    rope_weight : m_r*g, [N/m], 0 or more
    falls : n, 1 or more
    fall_length : s, [m], 0 or more
    head_height, winch_height : H, z_w, [m]
    efficiency : e of one sheave, [-], above 0 to 1
    sheaves_to_drum : k, sheaves from fall 1 to the drum, head sheave included, 1 or more
    direction : HAULING, STANDING or PAYING_OUT

    Returns: [kg], 0 when the rope alone gives it.  Errors: ValueError out of range.  Rules: firm-tension.
    Source: force balance sheave by sheave.

    >>> round(mass_for_drum_tension(5054.7, 30, 4, 40, 50, 2, 0.98, 1, HAULING) * 9.80665, 0)
    20000.0
    """
    _check_rope(rope_weight, fall_length, sheaves_to_drum)
    factor = sheave_factor(efficiency, direction)
    forces, rope = fall_sums(falls, factor)
    lead = tension + rope_weight * (head_height - winch_height)
    weight = lead * factor**sheaves_to_drum * forces - rope_weight * fall_length * rope
    return max(0.0, weight / STANDARD_GRAVITY)


def least_mass(minimum_share: float, line_pull: float, falls: int) -> float:
    """Least suspended mass by the load rule, hook block included, rope not.

    m_min = q*F*n/g

    Parameters
    ----------
    minimum_share : q, [-], above 0 to 1
    line_pull : F, [N], above 0
    falls : n, 1 or more

    Returns: [kg].  Errors: ValueError out of range.  Rules: minimum-load.  Source: common practice, no source.

    >>> round(least_mass(0.10, 98066.5, 4), 6)
    4000.0
    """
    if not 0 < minimum_share <= 1:
        raise ValueError(f"minimum_share is {minimum_share}; it lies above 0 and not above 1")
    if not line_pull > 0:
        raise ValueError(f"line_pull is {line_pull}; it lies above 0")
    if falls < 1:
        raise ValueError(f"falls is {falls}; there is at least 1")
    return minimum_share * line_pull * falls / STANDARD_GRAVITY


def falls_estimate(rope_length: float, boom_length: float) -> int:
    """Falls by the estimate crews use on site.

    n = ceil((L_rope - L)/L)

    Parameters
    ----------
    rope_length : L_rope, [m], above L
    boom_length : L, [m], above 0

    Returns: falls, 1 or more.  Errors: ValueError out of range.  Source: common practice, no source.

    >>> falls_estimate(290.0, 27.0)
    10
    """
    if not 0 < boom_length < rope_length:
        raise ValueError(f"boom_length is {boom_length}; it lies above 0 and below the rope length {rope_length}")
    # a rope of a whole number of boom lengths is not one more for the last binary digit
    return max(1, ceil((rope_length - boom_length) / boom_length - ROUNDING))


def falls_exact(
    usable_rope: float,
    drum_to_head: float,
    sheave_radius: float,
    head_height: float,
    low_hook: float,
    block_height: float,
) -> float:
    """Falls, as a real number, with which the low hook just reaches the dead wraps.

    n_full = (L_u - P + pi*R_s)/(H - h_low - b + pi*R_s)

    Parameters
    ----------
    usable_rope : L_u, rope without the dead wraps, [m]
    drum_to_head : P, [m]
    sheave_radius : R_s, [m]
    head_height, low_hook, block_height : H, h_low, b, [m], H above h_low + b

    Returns: [-].  Errors: ValueError when the hook does not fit under the head.
    Source: rope paid out R = P + n*s + (n-1)*pi*R_s set equal to L_u.

    >>> falls_exact(284.0, 64.0, 0.0, 60.0, 3.0, 2.0)
    4.0
    """
    fall = head_height - low_hook - block_height
    if not fall > 0:
        raise ValueError(f"head_height is {head_height}; the hook at {low_hook} with its block needs more")
    return (usable_rope - drum_to_head + pi * sheave_radius) / (fall + pi * sheave_radius)


def relaxed_wraps(tension_laid: float, tension_empty: float, friction: float) -> float:
    """Wraps that relax when the load is set down, as a real number: the outer wraps slip until friction holds.

    N = ln(T_laid/T_empty)/(2*pi*mu)

    Parameters
    ----------
    tension_laid : T_laid, drum tension at laying, [N], above 0
    tension_empty : T_empty, drum tension under the block alone, [N], above 0
    friction : mu of rope on rope, [-], above 0

    Returns: [-], 0 when nothing relaxes.  Errors: ValueError out of range.  Rules: overlap.
    Source: Euler-Eytelwein (capstan) equation.

    >>> round(relaxed_wraps(17.0, 1.5, 0.10), 1)
    3.9
    """
    for name, value in (("tension_laid", tension_laid), ("tension_empty", tension_empty), ("friction", friction)):
        if not value > 0:
            raise ValueError(f"{name} is {value}; it lies above 0")
    return max(0.0, log(tension_laid / tension_empty) / (2 * pi * friction))


def held_tension(tension_empty: float, friction: float, wraps: float) -> float:
    """Tension that friction can hold so many wraps in from the loose end; the inverse of `relaxed_wraps`.

    T = T_empty*e^(2*pi*mu*wraps)

    Parameters
    ----------
    tension_empty : T_empty, [N]
    friction : mu, [-], above 0
    wraps : [-], 0 or more

    Returns: [N].  Errors: ValueError out of range.  Rules: overlap.  Source: Euler-Eytelwein (capstan) equation.

    >>> round(held_tension(1.0, 0.10, 3), 2)
    6.59
    """
    if not friction > 0:
        raise ValueError(f"friction is {friction}; it lies above 0")
    if not wraps >= 0:
        raise ValueError(f"wraps is {wraps}; it is 0 or more")
    return tension_empty * exp(2 * pi * friction * wraps)


def block_mass_to_overhaul(
    drag: float,
    rope_weight: float,
    falls: int,
    fall_length: float,
    head_height: float,
    winch_height: float,
    efficiency: float,
    sheaves_to_drum: int,
) -> float:
    """Least mass of the empty hook block that pulls the rope off the drum against its drag while paying out.

    m = `mass_for_drum_tension`(drag) paying out; worst at the upper stop

    Parameters
    ----------
    drag : force that turns the drum, [N], 0 or more
    rope_weight, falls, fall_length : m_r*g, n, s, as in `mass_for_drum_tension`
    head_height, winch_height : H, z_w, [m]
    efficiency, sheaves_to_drum : e, k, as in `mass_for_drum_tension`

    Returns: [kg].  Errors: ValueError out of range.  Rules: drum-drag.
    Source: force balance; the overhaul tables of the trade are the case boom length times rope mass.

    >>> round(block_mass_to_overhaul(0.0, 0.0, 4, 5.0, 20.0, 2.0, 0.98, 1), 6)
    0.0
    """
    if not drag >= 0:
        raise ValueError(f"drag is {drag}; it is 0 or more")
    return mass_for_drum_tension(
        drag, rope_weight, falls, fall_length, head_height, winch_height, efficiency, sheaves_to_drum, PAYING_OUT
    )


def _check_rope(rope_weight: float, fall_length: float, sheaves_to_drum: int) -> None:
    if not rope_weight >= 0:
        raise ValueError(f"rope_weight is {rope_weight}; it is 0 or more")
    if not fall_length >= 0:
        raise ValueError(f"fall_length is {fall_length}; it is 0 or more")
    if sheaves_to_drum < 1:
        raise ValueError(f"sheaves_to_drum is {sheaves_to_drum}; the head sheave counts, so it is at least 1")
