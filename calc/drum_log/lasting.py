"""How long pre-tensioned rope counts as firm: until time, heavy lifts or loss of diameter since end it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from calc.data import days, rope_log, rule_values, rulebook
from calc.data.entries import Entry, Inspection, Work
from calc.data.model import Case, Data
from calc.drum_log.drum_fields import Ended
from calc.drum_log.history import After
from calc.formulas import ROUNDING, reeving
from calc.winding.rig import State

RULE = "how-long-firm-lasts"
# What ended it.
TIME: Final = "time"
HEAVY_LIFTS: Final = "heavy-lifts"
DIAMETER: Final = "diameter"
NOT_UNIFORM = ("crossover", "end-fitting")  # places that wear or are pressed by themselves


def ended(data: Data, case: Case, log: Sequence[Entry], drums: Sequence[After]) -> Iterator[Ended]:
    """What has ended the firmness of the rope since it was last pre-tensioned: TIME, HEAVY_LIFTS, DIAMETER, as many as
    hold; `log` and `drums` up to the day of the `case`, the drum after each entry.

    None before the rope was first pre-tensioned, and where no rule in force says how long it lasts.
    Rules: how-long-firm-lasts.
    """
    last = rope_log.last_pre_tensioned(log)
    given = rulebook.given(data.rules.values(), case.machine, case.chart.boom_length, case.day)
    values = {name: given[name][0].quantity for name in rule_values.FOR_LASTING if name in given}
    if last is None or len(values) < len(rule_values.FOR_LASTING):
        return
    if case.day > days.months_later(log[last].day, int(values["firm_months"])):
        yield TIME
    if heavy_lifts(log[last:], drums[last:], values["heavy_lift_share"]) >= values["firm_heavy_lifts"]:
        yield HEAVY_LIFTS
    upkeep = data.upkeep[case.machine.id]
    read = [inspection for _, inspection in rope_log.counted(upkeep, case.day)]
    if lost(read, log[last].day) >= values["firm_diameter_lost"] * (1 - ROUNDING):
        yield DIAMETER


def heavy_lifts(log: Sequence[Entry], drums: Sequence[After], share: float) -> int:
    """How many lifts of a `log` pull the rope with at least a `share` of the rated line pull, the hook where the load
    is taken; `drums` as in `ended`."""
    count = 0
    for entry, after in zip(log, drums, strict=True):
        if isinstance(entry.done, Work) and after.rig is not None:
            done, rig = entry.done, after.rig
            at = State(done.boom_length, done.radius, min(done.hook), done.falls, done.load)
            pull = done.line_pull or rig.lead_line(at, reeving.HAULING)
            if pull >= share * rig.crane.case.machine.winch.rated_line_pull * (1 - ROUNDING):
                count += done.repeats
    return count


def lost(read: Sequence[Inspection], day: str) -> float:
    """Largest decrease of the diameter at one place between the readings up to a `day` and those `read` after it, as a
    share of the first; crossovers and end fittings left out."""
    before: dict[tuple[object, ...], float] = {}
    most = 0.0
    for inspection in read:
        for place in inspection.places:
            if place.diameter is None or place.kind in NOT_UNIFORM:
                continue
            where, mean = (place.kind, place.position), sum(place.diameter) / 2
            if inspection.day <= day:
                before[where] = mean
            elif where in before:
                most = max(most, 1 - mean / before[where])
    return most
