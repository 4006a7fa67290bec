"""How long pre-tensioned rope counts as firm: until a time, a number of heavy lifts or a loss of diameter ends it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from calc.data import days, rope_log, rulebook
from calc.data.model import Case, Data, Entry, Inspection, NewRope, PreTensioning, Work
from calc.drum_log.drum_fields import Ended
from calc.drum_log.duty import After
from calc.formulas import ROUNDING, reeving
from calc.winding.rig import State

RULE = "how-long-firm-lasts"
# What ended it.
TIME: Final = "time"
HEAVY_LIFTS: Final = "heavy-lifts"
DIAMETER: Final = "diameter"
NOT_UNIFORM = ("crossover", "end-fitting")  # places that wear or are pressed by themselves


def ended(data: Data, case: Case, log: Sequence[Entry], told: Sequence[After]) -> Iterator[Ended]:
    """What has ended the firmness of the rope on the drum since it was last pre-tensioned.

    Parameters
    ----------
    data, case : everything read; the crane as it is rigged, on the day that counts
    log, told : entries up to that day, and the drum after each

    Returns: TIME, HEAVY_LIFTS, DIAMETER, as many as hold; none before the rope was first pre-tensioned, and where no
    rule in force says how long it lasts.
    Errors: none.  Rules: how-long-firm-lasts.
    """
    fitted = max(number for number, entry in enumerate(log) if isinstance(entry.done, NewRope))
    passes = [n for n, entry in enumerate(log) if n > fitted and isinstance(entry.done, PreTensioning)]
    given = rulebook.given(data.rules.values(), case.machine, case.chart.boom_length, case.day)
    values = {name: given[name][0].quantity for name in rulebook.FOR_LASTING if name in given}
    if not passes or len(values) < len(rulebook.FOR_LASTING):
        return
    last = passes[-1]
    if case.day > days.months_later(log[last].day, int(values["firm_months"])):
        yield TIME
    if heavy_lifts(log[last:], told[last:], values["heavy_lift_share"]) >= values["firm_heavy_lifts"]:
        yield HEAVY_LIFTS
    upkeep = data.upkeep[case.machine.id]
    read = [one for _, one in rope_log.counted(upkeep, case.day)]
    if lost(read, log[last].day) >= values["firm_diameter_lost"] * (1 - ROUNDING):
        yield DIAMETER


def heavy_lifts(log: Sequence[Entry], told: Sequence[After], share: float) -> int:
    """How many lifts of a `log` pull the rope with at least a `share` of the rated line pull, the hook where the load
    is taken; `told` as in `ended`."""
    found = 0
    for entry, after in zip(log, told, strict=True):
        if isinstance(entry.done, Work) and after.rig is not None:
            done, rig = entry.done, after.rig
            at = State(done.boom_length, done.radius, min(done.hook), done.falls, done.load)
            pull = done.line_pull or rig.lead_line(at, reeving.HAULING)
            if pull >= share * rig.crane.case.machine.winch.rated_line_pull * (1 - ROUNDING):
                found += done.repeats
    return found


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
