"""How the rope fits its drum: flange above the outermost layer, and the room that is left between the flanges."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from calc import rounding
from calc.data.model import Data, Machine, Rule
from calc.formulas import drum
from calc.winding.plan_fields import Inputs
from hooks.text.environment import both
from hooks.text.rope_limits import measured
from hooks.text.words import Words

OVERSIZE = "rope-oversize"  # the rule that says how thick a new rope may be
ON_TOP = 1.0  # rise of a layer that lies on top of the one beneath instead of in its valleys


@dataclass(frozen=True)
class Fit:
    """Flange above the outermost layer at the nominal diameter and at worst, and what the rule asks for [m]; room of a
    full layer between the flanges in rope diameters, the diameter it is told for [m] and the day that was read, None
    for the nominal one."""

    nominal: float
    worst: float
    wanted: float
    play: float
    diameter: float
    day: str | None
    rule: Rule

    @property
    def enough(self) -> bool:
        """Whether the flange stands high enough even at worst."""
        return self.worst >= self.wanted - rounding.GRAIN


def fit(data: Data, machine: Machine, inputs: Inputs, day: str) -> Fit:
    """How the rope of a machine fits; `inputs` are those of a plan, with the rope length the log has come to."""
    rule = data.rules[OVERSIZE]
    version = rule.at(day)
    oversize = version.values["oversize_most"] if version else 0.0
    d, nominal = machine.drum, machine.rope.diameter

    def above(diameter: float, rise: float) -> float:
        return drum.freeboard(
            d.flange_diameter,
            d.groove_root_diameter,
            diameter,
            rise,
            d.wraps_odd_layers,
            d.wraps_even_layers,
            inputs["rope_length_m"],
        )

    read = last_diameter(data, machine, day)
    across = nominal if read is None else read[1]
    return Fit(
        above(nominal, inputs["rise_ratio"]),
        above(nominal * (1 + oversize), ON_TOP),
        inputs["freeboard_m"],
        drum.axial_play(d.wraps_odd_layers, d.groove_pitch, across),
        across,
        None if read is None else read[0],
        rule,
    )


def last_diameter(data: Data, machine: Machine, day: str) -> tuple[str, float] | None:
    """Day of the last inspection by a day in which the diameter was read, and the smallest mean of two readings at one
    place then [m]: the thinnest rope leaves most room."""
    if machine.id not in data.upkeep:
        return None
    for one in reversed(data.upkeep[machine.id].readings):
        found = [sum(place.diameter) / 2 for place in one.places if place.diameter]
        if one.day <= day and found:
            return one.day, min(found)
    return None


def lines(words: Words, found: Fit) -> list[Markup]:
    """Both in words, for the pages of crane and drum."""
    parts = {"diameter": measured(found.diameter, "near"), "day": found.day}
    worst, wanted = map(both, rounding.against(found.worst, found.wanted, "up"))
    less = [] if found.enough else [words.say("drum.fit.flange_less")]
    return [
        words.say(
            "drum.fit.flange",
            nominal=measured(found.nominal, "down"),
            worst=worst,
            wanted=wanted,
            code=found.rule.code,
        ),
        *less,
        words.say(
            f"drum.fit.{'play' if found.day else 'play_nominal'}", play=rounding.ratio(found.play, "up"), **parts
        ),
    ]
