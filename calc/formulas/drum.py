"""Rope on a multi-layer winch drum.

Layers, rope on the drum as layer and wrap, line pull and speed by layer, fleet angle, and where the crossovers move to
when rope is cut off.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from math import atan2, floor, pi

from calc.formulas import ROUNDING

MORE = 1e-6  # m: a rope longer by this needs the next layer


@dataclass(frozen=True)
class Layer:
    """One layer of a drum.

    Wraps it holds, diameter to the rope's middle and length of one wrap [m], rope on the drum when the layer is full,
    layers below included [m].
    """

    number: int
    wraps: int
    diameter: float
    wrap_length: float
    rope_when_full: float


def layer_diameter(groove_root_diameter: float, rope_diameter: float, rise_ratio: float, layer: int) -> float:
    """Diameter of a layer, middle of rope to middle of rope.

    D_i = D_b + d*(1 + 2*rho*(i-1))

    Parameters
    ----------
    groove_root_diameter : D_b, [m], above 0
    rope_diameter : d, [m], above 0
    rise_ratio : rho, each layer lies rho*d higher than the one below, [-], above 0 to 1
    layer : i, counted from 1 at the barrel, [-]

    Returns: [m].  Errors: ValueError for a value out of range.
    Rules: rise-ratio.  Source: geometry of stacked circles; Handbook of Oceanographic Winch, Wire and Cable
    Technology, ch. 12, for the sum over layers.

    >>> round(layer_diameter(0.400, 0.020, 1.0, 5), 6)
    0.58
    """
    _above_zero("groove_root_diameter", groove_root_diameter)
    _above_zero("rope_diameter", rope_diameter)
    if not 0 < rise_ratio <= 1:
        raise ValueError(f"rise_ratio is {rise_ratio}; it lies above 0 and not above 1")
    if layer < 1:
        raise ValueError(f"layer is {layer}; layers count from 1")
    return groove_root_diameter + rope_diameter * (1 + 2 * rise_ratio * (layer - 1))


def layers(
    groove_root_diameter: float,
    rope_diameter: float,
    rise_ratio: float,
    wraps_odd_layers: int,
    wraps_even_layers: int,
    rope_length: float,
) -> tuple[Layer, ...]:
    """The layers a rope of this length needs, the last one as if full.

    rope_when_full_i = sum over layers up to i of z*pi*D

    Parameters
    ----------
    groove_root_diameter, rope_diameter, rise_ratio : as in `layer_diameter`
    wraps_odd_layers, wraps_even_layers : z, wraps that odd and even layers hold, [-], 1 or more
    rope_length : [m], above 0

    Returns: layers from the barrel outward, as many as hold `rope_length`.  Errors: ValueError out of range.
    Source: geometry; worked example: metric drum capacity, 400 mm barrel, 20 mm rope, 30 wraps, 5 layers: 235.619 m.

    >>> round(layers(0.4, 0.02, 1.0, 30, 30, 235.6)[-1].rope_when_full, 3)
    235.619
    """
    _above_zero("rope_length", rope_length)
    for name, wraps in (("wraps_odd_layers", wraps_odd_layers), ("wraps_even_layers", wraps_even_layers)):
        if wraps < 1:
            raise ValueError(f"{name} is {wraps}; a layer holds at least 1 wrap")
    found: list[Layer] = []
    total = 0.0
    while total < rope_length:
        number = len(found) + 1
        wraps = wraps_odd_layers if number % 2 else wraps_even_layers
        diameter = layer_diameter(groove_root_diameter, rope_diameter, rise_ratio, number)
        total += wraps * pi * diameter
        found.append(Layer(number, wraps, diameter, pi * diameter, total))
    return tuple(found)


def position(drum_layers: tuple[Layer, ...], rope_on_drum: float) -> tuple[int, float]:
    """Where the rope leaves the drum: layer from 1, and wraps already in that layer (a real number).

    wrap = (rope_on_drum - rope_when_full_(i-1)) / l_i, with 0 < wrap <= z_i: a full layer i reads (i, z_i)

    Parameters
    ----------
    drum_layers : from `layers`
    rope_on_drum : [m], above 0 and not above what the layers hold

    Returns: (layer, wrap).  Errors: ValueError out of range.  Source: geometry.

    >>> position(layers(0.4, 0.02, 1.0, 30, 30, 235.6), 39.584067)
    (1, 29.99999...)
    """
    _above_zero("rope_on_drum", rope_on_drum)
    # a full layer stays a full layer when the last binary digit says otherwise
    at = bisect_left(drum_layers, rope_on_drum * (1 - 1e-12), key=lambda layer: layer.rope_when_full)
    if at == len(drum_layers):
        most = drum_layers[-1].rope_when_full
        raise ValueError(f"rope_on_drum is {rope_on_drum}; these layers hold {most}")
    layer = drum_layers[at]
    below = drum_layers[at - 1].rope_when_full if at else 0.0
    return layer.number, min(float(layer.wraps), (rope_on_drum - below) / layer.wrap_length)


def whole_wraps(drum_layers: tuple[Layer, ...], rope_on_drum: float) -> tuple[int, int]:
    """Where the rope leaves the drum, down to a whole wrap, as it is counted.

    (i, floor(wrap)) of `position`; less than a wrap of layer i reads (i-1, z_(i-1)), so much as 1e-6 under a whole wrap
    is that wrap

    Parameters
    ----------
    drum_layers : from `layers`
    rope_on_drum : [m], above 0 and not above what the layers hold

    Returns: (layer, wraps), (1, 0) below the first whole wrap.  Errors: ValueError out of range.  Source: geometry.

    >>> drum_layers = layers(0.4, 0.02, 1.0, 30, 30, 235.6)
    >>> whole_wraps(drum_layers, 38.9), whole_wraps(drum_layers, 39.6)
    ((1, 29), (1, 30))
    """
    layer, wrap = position(drum_layers, rope_on_drum)
    whole = floor(wrap + 1e-6)  # wraps, against sums of floats
    return (layer, whole) if whole or layer == 1 else (layer - 1, drum_layers[layer - 2].wraps)


def rope_at(drum_layers: tuple[Layer, ...], layer: int, wrap: float) -> float:
    """Rope on the drum when it leaves at this layer and wrap; the inverse of `position`.

    rope_on_drum = rope_when_full_(i-1) + wrap*l_i

    Parameters
    ----------
    drum_layers : from `layers`
    layer : i, from 1 to the last of `drum_layers`
    wrap : wraps in that layer, 0 to z_i

    Returns: [m].  Errors: ValueError out of range.  Source: geometry.

    >>> round(rope_at(layers(0.4, 0.02, 1.0, 30, 30, 235.6), 2, 30), 3)
    82.938
    """
    if not 1 <= layer <= len(drum_layers):
        raise ValueError(f"layer is {layer}; this drum has layers 1 to {len(drum_layers)}")
    if not 0 <= wrap <= drum_layers[layer - 1].wraps:
        raise ValueError(f"wrap is {wrap}; layer {layer} holds 0 to {drum_layers[layer - 1].wraps}")
    below = drum_layers[layer - 2].rope_when_full if layer > 1 else 0.0
    return below + wrap * drum_layers[layer - 1].wrap_length


def dead_rope(drum_layers: tuple[Layer, ...], dead_wraps: int, surface: str) -> float:
    """Rope that never leaves the drum: the dead wraps; on a smooth drum the whole first layer.

    z_d*l_1, or z_1*l_1 on a smooth drum if that is more

    Parameters
    ----------
    drum_layers : from `layers`
    dead_wraps : z_d, [-], 0 to z_1
    surface : parallel-grooved, helical-grooved or smooth

    Returns: [m].  Errors: ValueError out of range.  Rules: dead-wraps-iso, dead-wraps-us.
    Source: Wire Rope Users Manual, 4th ed., p. 47: the first layer of a smooth drum is not unwound in use.

    >>> round(dead_rope(layers(0.4, 0.02, 1.0, 30, 30, 235.6), 3, "parallel-grooved"), 3)
    3.958
    """
    first = drum_layers[0]
    if not 0 <= dead_wraps <= first.wraps:
        raise ValueError(f"dead_wraps is {dead_wraps}; layer 1 holds 0 to {first.wraps}")
    return (first.wraps if surface == "smooth" else dead_wraps) * first.wrap_length


def line_pull(rated_line_pull: float, drum_layers: tuple[Layer, ...], rated_layer: int, layer: int) -> float:
    """Line pull the winch may use at a layer: never above the rated one, less on layers above the rated layer.

    F_i = min(F, F*D_ref/D_i)

    Parameters
    ----------
    rated_line_pull : F, [N], above 0
    drum_layers : from `layers`
    rated_layer, layer : from 1 to the last of `drum_layers`

    Returns: [N].  Errors: ValueError out of range.
    Source: constant torque; DGUV Vorschrift 54, sec. 26 (implementing instruction): the pull of the top layer counts.

    >>> drum = layers(0.4, 0.02, 1.0, 30, 30, 235.6)
    >>> round(line_pull(100.0, drum, 1, 5), 1)
    72.4
    """
    _above_zero("rated_line_pull", rated_line_pull)
    return rated_line_pull * min(1.0, _ratio(drum_layers, rated_layer, layer))


def line_speed(rated_line_speed: float, drum_layers: tuple[Layer, ...], rated_layer: int, layer: int) -> float:
    """Rope speed at a layer when the drum turns at its rated speed.

    v_i = v*D_i/D_ref

    Parameters
    ----------
    rated_line_speed : v, [m/s], above 0
    drum_layers : from `layers`
    rated_layer, layer : from 1 to the last of `drum_layers`

    Returns: [m/s].  Errors: ValueError out of range.  Source: kinematics.

    >>> drum = layers(0.4, 0.02, 1.0, 30, 30, 235.6)
    >>> round(line_speed(39.584, drum, 1, 5), 2)
    54.66
    """
    _above_zero("rated_line_speed", rated_line_speed)
    return rated_line_speed / _ratio(drum_layers, rated_layer, layer)


def outside_diameter(drum_layers: tuple[Layer, ...], rope_diameter: float, freeboard: float) -> float:
    """Least flange diameter: outermost layer, rope and the freeboard the rule asks for on both sides.

    D_i + d + 2*freeboard

    Parameters
    ----------
    drum_layers : from `layers`
    rope_diameter : d, [m], above 0
    freeboard : flange above the top layer, [m], 0 or more

    Returns: [m].  Errors: ValueError out of range.  Rules: freeboard-iso, freeboard-us.
    Source: DGUV Vorschrift 54, sec. 35(1): 1.5 rope diameters.

    >>> round(outside_diameter(layers(0.4, 0.02, 1.0, 30, 30, 235.6), 0.02, 0.03), 3)
    0.66
    """
    _above_zero("rope_diameter", rope_diameter)
    if not freeboard >= 0:
        raise ValueError(f"freeboard is {freeboard}; it is 0 or more")
    return drum_layers[-1].diameter + rope_diameter + 2 * freeboard


def freeboard(
    flange_diameter: float,
    groove_root_diameter: float,
    rope_diameter: float,
    rise_ratio: float,
    wraps_odd_layers: int,
    wraps_even_layers: int,
    rope_length: float,
) -> float:
    """How far the flange stands above the outermost layer with all the rope on the drum.

    (flange - D_i - d)/2, D_i of the last layer

    Parameters
    ----------
    flange_diameter : [m], above 0
    groove_root_diameter, rope_diameter, rise_ratio, wraps_odd_layers, wraps_even_layers, rope_length : as in `layers`

    Returns: [m], below 0 where the rope stands above the flange.  Errors: ValueError out of range.
    Rules: freeboard-iso, freeboard-us, rope-oversize.  Source: geometry.

    >>> [round(freeboard(0.66, 0.4, diameter, 1.0, 30, 30, 235.6), 4) for diameter in (0.02, 0.0208)]
    [0.03, 0.026]
    """
    _above_zero("flange_diameter", flange_diameter)
    found = layers(groove_root_diameter, rope_diameter, rise_ratio, wraps_odd_layers, wraps_even_layers, rope_length)
    return (flange_diameter - outside_diameter(found, rope_diameter, 0.0)) / 2


def axial_play(wraps: int, groove_pitch: float, rope_diameter: float) -> float:
    """Room that the wraps of a full layer leave between the flanges, in rope diameters.

    z*(p - d)/d

    Parameters
    ----------
    wraps : z of the layer, 1 or more
    groove_pitch : p, [m], above 0
    rope_diameter : d as measured, [m], above 0

    Returns: [-], below 0 for a rope thicker than the pitch.  Errors: ValueError out of range.  Source: geometry.

    >>> round(axial_play(36, 0.0271, 0.0257), 2)
    1.96
    """
    if wraps < 1:
        raise ValueError(f"wraps is {wraps}; it is 1 or more")
    _above_zero("groove_pitch", groove_pitch)
    _above_zero("rope_diameter", rope_diameter)
    return wraps * (groove_pitch - rope_diameter) / rope_diameter


def longest_rope(
    groove_root_diameter: float,
    rope_diameter: float,
    rise_ratio: float,
    wraps_odd_layers: int,
    wraps_even_layers: int,
    flange_diameter: float,
    freeboard: float,
) -> float:
    """Longest rope that lies under the flange in whole layers.

    the sum over layers of z*pi*D, as long as D_i + d + 2*freeboard is not above the flange diameter

    Parameters
    ----------
    groove_root_diameter, rope_diameter, rise_ratio, wraps_odd_layers, wraps_even_layers : as in `layers`
    flange_diameter : [m], above 0
    freeboard : flange above the top layer, [m], 0 or more

    Returns: [m], 0 where not even one layer fits.  Errors: ValueError out of range.
    Rules: freeboard-iso, freeboard-us, new-rope.
    Source: geometry; worked example: metric drum capacity, 400 mm barrel, 20 mm rope, 30 wraps, 5 layers: 235.619 m.

    >>> round(longest_rope(0.4, 0.02, 1.0, 30, 30, 0.6, 0.0), 3)
    235.619
    """
    _above_zero("flange_diameter", flange_diameter)
    held = 0.0
    while True:
        found = layers(
            groove_root_diameter, rope_diameter, rise_ratio, wraps_odd_layers, wraps_even_layers, held + MORE
        )
        if outside_diameter(found, rope_diameter, freeboard) > flange_diameter * (1 + ROUNDING):
            return held
        held = found[-1].rope_when_full


def handbook_rope(groove_root_diameter: float, rope_depth: float, drum_width: float, rope_diameter: float) -> float:
    """Rope on a drum by the handbook formula, which knows neither pitch nor valleys.

    The room between barrel and flange over the square that one rope takes:

    L = (A + D_b)*A*B*pi/d^2

    Parameters
    ----------
    groove_root_diameter : D_b, [m], above 0
    rope_depth : A, from the barrel to the outside of the rope, [m], above 0
    drum_width : B, between the flanges, [m], above 0
    rope_diameter : d as measured, [m], above 0

    Returns: [m].  Errors: ValueError out of range.  Rules: new-rope.
    Source: Handbook of Oceanographic Winch, Wire and Cable Technology, ch. 12 (L = F*A*B*(A + D), F = 0.2618/d^2 for
    feet and inches); metric twin of a rope dealer: A 0.100, D 0.400, B 0.600 m, d 20 mm: 235.6 m.

    >>> round(handbook_rope(0.4, 0.1, 0.6, 0.02), 1)
    235.6
    """
    _above_zero("groove_root_diameter", groove_root_diameter)
    _above_zero("rope_depth", rope_depth)
    _above_zero("drum_width", drum_width)
    _above_zero("rope_diameter", rope_diameter)
    return (rope_depth + groove_root_diameter) * rope_depth * drum_width * pi / rope_diameter**2


def fleet_angle(half_width: float, distance: float) -> float:
    """Angle off square at which the rope runs on to the drum at its flange.

    tan(angle) = half of the width between the flanges / distance

    Parameters
    ----------
    half_width : from the middle of the drum to its flange, [m], above 0
    distance : from the drum to the first sheave, which stands before the middle of the drum, [m], above 0

    Returns: [rad].  Errors: ValueError out of range.  Rules: fleet-angle.
    Source: geometry; Wire Rope Users Manual: 1 ft of half drum needs 38 ft for 1.5 deg, 29 ft for 2 deg.

    >>> from math import degrees
    >>> round(degrees(fleet_angle(1.0, 28.64)), 3)
    2.0
    """
    _above_zero("half_width", half_width)
    _above_zero("distance", distance)
    return atan2(half_width, distance)


def crossover_shift(cut: float, wrap_length: float) -> float:
    """Share of a turn by which the rope moves on a layer when its drum end is cut.

    Whole turns change nothing.

    shift = cut/l - whole turns

    Parameters
    ----------
    cut : rope cut off at the drum end, [m], 0 or more
    wrap_length : l, length of one wrap of the layer, [m], above 0

    Returns: [-], 0 to below 1.  Errors: ValueError out of range.  Rules: crossover-shift.
    Source: geometry; Otto, Mupende, Dietz, DESIGN 2002, p. 1091: two crossings of half a pitch in each turn.

    >>> crossover_shift(5.0, 2.0)
    0.5
    """
    if not cut >= 0:
        raise ValueError(f"cut is {cut}; it is 0 or more")
    _above_zero("wrap_length", wrap_length)
    return cut / wrap_length % 1.0


def off_the_crossovers(shift: float) -> float:
    """How far worn rope comes to lie from the nearer crossover, as a share of a turn.

    the distance of the shift from the nearest half turn: the two crossovers stand half a turn apart

    Parameters
    ----------
    shift : share of a turn, from `crossover_shift`, [-], 0 to 1

    Returns: [-], 0 to 0.25.  Errors: ValueError out of range.  Rules: crossover-shift.
    Source: geometry; Otto, Mupende, Dietz, DESIGN 2002, p. 1091: two crossings in each turn.

    >>> off_the_crossovers(0.75), off_the_crossovers(0.5)
    (0.25, 0.0)
    """
    if not 0 <= shift <= 1:
        raise ValueError(f"shift is {shift}; it lies between 0 and 1")
    in_half_turn = shift % 0.5
    return min(in_half_turn, 0.5 - in_half_turn)


def _ratio(drum_layers: tuple[Layer, ...], rated_layer: int, layer: int) -> float:
    for name, number in (("rated_layer", rated_layer), ("layer", layer)):
        if not 1 <= number <= len(drum_layers):
            raise ValueError(f"{name} is {number}; this drum has layers 1 to {len(drum_layers)}")
    return drum_layers[rated_layer - 1].diameter / drum_layers[layer - 1].diameter


def _above_zero(name: str, value: float) -> None:
    if not value > 0:
        raise ValueError(f"{name} is {value}; it lies above 0")
