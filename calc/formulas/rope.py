"""What construction, grade and diameter of a rope imply.

Minimum breaking force, mass per length and metallic area by construction and grade; by the diameter, its wear and
whether it suits the drum and sheaves it runs on.

The factors are those of the usual rope tables.  A data sheet may lie some per cent above or below them; the check
of the data compares, the plan itself always uses the data.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Construction:
    """Factors of one rope construction for d in mm: mass W*d2 [kg/100 m], area C*d2 [mm2], force K*d2*R/1000 [kN]."""

    mass_factor: float  # W
    area_factor: float  # C
    force_factor: float  # K
    read: str  # second-hand | from-memory
    highest_grades: tuple[float, float] | None = None  # from this grade [N/m2] the force factor is the second number


_SECOND_HAND, _FROM_MEMORY = "second-hand", "from-memory"

# Source: EN 12385-4 factors as reproduced in rope tables (second-hand); 6x7 FC agrees in all 33 cells with
# API Spec 9A / ISO 10425 Table C.1, which was read.  Rows marked from-memory are just that.
CONSTRUCTIONS: dict[str, Construction] = {
    "6x7 FC": Construction(0.345, 0.369, 0.332, _SECOND_HAND),
    "6x19 FC": Construction(0.359, 0.384, 0.330, _SECOND_HAND),
    "6x19 IWRC": Construction(0.400, 0.449, 0.356, _SECOND_HAND),
    "6x36 FC": Construction(0.367, 0.393, 0.330, _SECOND_HAND),
    "6x36WS-IWRC": Construction(0.409, 0.460, 0.356, _SECOND_HAND),
    "8x36 IWRC": Construction(0.417, 0.468, 0.356, _SECOND_HAND),
    "8x36 FC": Construction(0.348, 0.357, 0.293, _SECOND_HAND),
    "8x19 IWRC": Construction(0.407, 0.457, 0.356, _FROM_MEMORY),
    "18x7 WSC": Construction(0.401, 0.433, 0.328, _FROM_MEMORY),
    "34(M)x7 WSC": Construction(0.401, 0.428, 0.318, _FROM_MEMORY),
    "35(W)x7": Construction(0.454, 0.480, 0.360, _FROM_MEMORY, highest_grades=(2160e6, 0.350)),
}

LEAST_DIAMETER, MOST_DIAMETER = 0.005, 0.100  # m; the tables behind the factors end here
LEAST_GRADE, MOST_GRADE = 1370e6, 2360e6  # N/m2


def core(construction: str) -> str:
    """What lies in the middle of a rope, by the name of its construction: fibre or steel.

    Parameters
    ----------
    construction : a name of `CONSTRUCTIONS`

    Returns: fibre or steel.  Errors: none.  Source: the trade's way of naming ropes, FC for a fibre core.

    >>> core("6x19 FC"), core("6x36WS-IWRC"), core("35(W)x7")
    ('fibre', 'steel', 'steel')
    """
    return "fibre" if construction.endswith("FC") else "steel"


def stretch(tension: float, length: float, modulus: float, area: float) -> float:
    """How much longer a rope is under tension.

    dL = T*L_t/(E*A_m)

    Parameters
    ----------
    tension : T, [N], 0 or more
    length : L_t, of the rope under that tension, [m], 0 or more
    modulus : E, [N/m2], above 0
    area : A_m, metal area, [m2], above 0

    Returns: [m].  Errors: ValueError out of range.  Rules: rope-stretch.  Source: Hooke's law.

    >>> round(stretch(50000.0, 100.0, 97e9, 184e-6), 3)
    0.28
    """
    if not (tension >= 0 and length >= 0):
        raise ValueError(f"tension is {tension}, length is {length}; both are 0 or more")
    if not (modulus > 0 and area > 0):
        raise ValueError(f"modulus is {modulus}, area is {area}; both lie above 0")
    return tension * length / (modulus * area)


def sag(weight_across: float, length: float, tension: float) -> float:
    """How much more rope a sagging line holds than a straight one.

    dL = (m_r*g*cos(phi))^2*L_t^3/(24*T^2), the parabola for a small sag

    Parameters
    ----------
    weight_across : m_r*g*cos(phi), weight of the rope across the line per length, [N/m], 0 or more
    length : L_t, of the line, [m], 0 or more
    tension : T, [N], above 0

    Returns: [m].  Errors: ValueError out of range.  Source: parabola, first term of the catenary.

    >>> round(sag(10.0, 60.0, 2000.0), 3)
    0.225
    """
    if not (weight_across >= 0 and length >= 0):
        raise ValueError(f"weight_across is {weight_across}, length is {length}; both are 0 or more")
    if not tension > 0:
        raise ValueError(f"tension is {tension}; it lies above 0")
    return weight_across**2 * length**3 / (24 * tension**2)


def minimum_breaking_force(diameter: float, construction: str, grade: float) -> float:
    """Minimum breaking force that construction and grade imply.

    F_min = K*d^2*R

    Parameters
    ----------
    diameter : d, nominal rope diameter, [m], 0.005 to 0.100
    construction : a name of `CONSTRUCTIONS`
    grade : R, rope grade, [N/m2], 1370e6 to 2360e6

    Returns: [N].  Errors: ValueError out of range or for an unknown construction.
    Source: API Spec 9A / ISO 10425 Table C.1 (6x7 FC); other constructions see `CONSTRUCTIONS`.

    >>> round(minimum_breaking_force(0.020, "6x7 FC", 1770e6))
    235056
    """
    _check_diameter(diameter)
    _check("grade", grade, LEAST_GRADE, MOST_GRADE, "N/m2")
    factors = _factors(construction)
    factor = factors.force_factor
    if factors.highest_grades and grade >= factors.highest_grades[0]:
        factor = factors.highest_grades[1]
    return factor * diameter**2 * grade


def mass_per_length(diameter: float, construction: str) -> float:
    """Rope mass per length that the construction implies.

    m_r = W*d^2 with W in kg per 100 m and mm2, so times 1e4 for d in m

    Parameters
    ----------
    diameter : d, nominal rope diameter, [m], 0.005 to 0.100
    construction : a name of `CONSTRUCTIONS`

    Returns: [kg/m].  Errors: ValueError out of range or for an unknown construction.
    Source: API Spec 9A / ISO 10425 Table C.1 (6x7 FC); other constructions see `CONSTRUCTIONS`.

    >>> round(mass_per_length(0.020, "6x7 FC"), 3)
    1.38
    """
    _check_diameter(diameter)
    return _factors(construction).mass_factor * diameter**2 * 1e4


def metallic_area(diameter: float, construction: str) -> float:
    """Metallic area of the rope that the construction implies.

    A = C*d^2

    Parameters
    ----------
    diameter : d, nominal rope diameter, [m], 0.005 to 0.100
    construction : a name of `CONSTRUCTIONS`

    Returns: [m2].  Errors: ValueError out of range or for an unknown construction.
    Source: EN 12385-4 factors as reproduced in rope tables, second-hand; see `CONSTRUCTIONS`.

    >>> round(metallic_area(0.020, "6x36WS-IWRC") * 1e6)
    184
    """
    _check_diameter(diameter)
    return _factors(construction).area_factor * diameter**2


def design_factor(breaking_force: float, line_pull: float) -> float:
    """Breaking force over line pull of one fall.

    Z = F_min/F

    Parameters
    ----------
    breaking_force : F_min, [N], above 0
    line_pull : F, [N], above 0

    Returns: [-].  Errors: ValueError for a value not above 0.
    Rules: design-factor-iso, design-factor-us, design-factor-us-rotation-resistant.
    Source: ASME B30.22-2000, 22-1.4 (definition of the design factor), read in excerpt.

    >>> design_factor(400e3, 100e3)
    4.0
    """
    for name, value in (("breaking_force", breaking_force), ("line_pull", line_pull)):
        if not value > 0:
            raise ValueError(f"{name} is {value} N; it lies above 0 N")
    return breaking_force / line_pull


def winding_tension_share(tension: float, breaking_force: float) -> float:
    """Tension of the rope as it is wound, as a share of its breaking force: the way published ranges give it.

    t = T/F_min

    Parameters
    ----------
    tension : T, of the rope on its way to the drum, [N], 0 or more
    breaking_force : F_min, [N], above 0

    Returns: [-].  Errors: ValueError out of range.  Rules: published-tension, firm-tension.
    Source: Wire Rope Users Manual, 4th ed., p. 47 (2 to 5 % of the minimum breaking force).

    >>> winding_tension_share(10e3, 400e3)
    0.025
    """
    if not tension >= 0:
        raise ValueError(f"tension is {tension} N; it is 0 N or more")
    if not breaking_force > 0:
        raise ValueError(f"breaking_force is {breaking_force} N; it lies above 0 N")
    return tension / breaking_force


def diameter_decrease(reference: float, measured: float, diameter: float) -> float:
    """Decrease of the diameter since the rope was run in, as a share of its nominal diameter; below 0 it grew.

    Q = (d_ref - d_m)/d; against the nominal diameter d_ref = d

    Parameters
    ----------
    reference : d_ref, right after running in, at a part that never bends, or the nominal one, [m], above 0
    measured : d_m, mean of two readings at right angles, [m], above 0
    diameter : d, nominal rope diameter, [m], 0.005 to 0.100

    Returns: [-].  Errors: ValueError out of range.  Rules: diameter-decrease-iso, diameter-decrease-us.
    Source: ISO 4309:2017, uniform decrease in diameter, from memory; 29 CFR 1926.1413(a)(2)(ii): from the nominal one.

    >>> round(diameter_decrease(0.0412, 0.0385, 0.040), 4)
    0.0675
    """
    _check_diameter(diameter)
    for name, value in (("reference", reference), ("measured", measured)):
        if not value > 0:
            raise ValueError(f"{name} is {value} m; it lies above 0 m")
    return (reference - measured) / diameter


def diameter_at_decrease(reference: float, decrease: float, diameter: float) -> float:
    """Diameter at which a decrease is reached; the inverse of `diameter_decrease`.

    d_m = d_ref - Q*d

    Parameters
    ----------
    reference : d_ref, right after running in, or the nominal diameter, [m], above 0
    decrease : Q, share of the nominal diameter, [-], 0 or more
    diameter : d, nominal rope diameter, [m], 0.005 to 0.100

    Returns: [m].  Errors: ValueError out of range.  Rules: diameter-decrease-iso, diameter-decrease-us.
    Source: as `diameter_decrease`.

    >>> round(diameter_at_decrease(0.0412, 0.075, 0.040), 4)
    0.0382
    """
    _check_diameter(diameter)
    if not reference > 0:
        raise ValueError(f"reference is {reference} m; it lies above 0 m")
    if not decrease >= 0:
        raise ValueError(f"decrease is {decrease}; it is 0 or more")
    return reference - decrease * diameter


def diameters_across(across: float, diameter: float) -> float:
    """How many rope diameters a drum or a sheave is across, middle of rope to middle of rope.

    D/d

    Parameters
    ----------
    across : D, middle of rope to middle of rope, [m], above 0
    diameter : d, nominal rope diameter, [m], 0.005 to 0.100

    Returns: [-].  Errors: ValueError out of range.  Rules: drum-and-sheave-diameter.
    Source: California Code of Regulations, Title 8, sec. 4929(d): first layer at least 18.

    >>> diameters_across(0.360, 0.020)
    18.0
    """
    _check_diameter(diameter)
    if not across > 0:
        raise ValueError(f"across is {across} m; it lies above 0 m")
    return across / diameter


def _factors(construction: str) -> Construction:
    if construction not in CONSTRUCTIONS:
        raise ValueError(f"construction is {construction!r}; known are {', '.join(CONSTRUCTIONS)}")
    return CONSTRUCTIONS[construction]


def _check_diameter(diameter: float) -> None:
    _check("diameter", diameter, LEAST_DIAMETER, MOST_DIAMETER, "m")


def _check(name: str, value: float, least: float, most: float, unit: str) -> None:
    if not least <= value <= most:
        raise ValueError(f"{name} is {value:g} {unit}; it lies between {least:g} and {most:g} {unit}")
