"""Whether readings of a rope end its use."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from calc.data.entries import Inspection, Place, Upkeep
from calc.data.model import Machine
from calc.inspection import fitness
from calc.inspection.fitness import UNITS as UNITS_OF_READINGS
from calc.inspection.rope_fields import Band, CriterionFound, PlaceFound
from calc.teaching.exercise import Answered, Draw, Made, Source, coarse, exercise
from calc.teaching.worked import ExerciseTable, Sheet


def draw_exercise(source: Source, machine: Machine, draw: Draw) -> Made:
    """One exercise of this topic on a `machine`, or none where the `draw` does not give one."""
    data, day = source.data, source.day
    thick = machine.rope.diameter
    reference = round(thick * (1 + draw.number("reference", 4) / 100), 4)
    lost = draw.number("decrease", 17) / 200  # up to 8 % of the nominal diameter
    measured = reference - lost * thick
    off = [draw.number(which, 3) / 10_000 for which in ("first", "second")]
    readings = (round(measured + off[0], 4), round(measured - off[1], 4))
    short = draw.number("short", 5)
    long = short + draw.number("long", 5)
    wires = {"in_6_diameters": short, "in_30_diameters": long}
    if machine.rulebook == "us" and not machine.rope.rotation_resistant:
        lay = short + draw.number("lay", long - short + 1)
        wires |= {"in_one_lay": lay, "in_one_strand": draw.number("strand", lay + 1)}
    # no crossover: the ISO limit of the diameter gives no verdict there
    place = Place(draw.one("place", ("flange", "sheaves")), None, wires, readings, None, ())
    inspection = Inspection(day, "-", "full", (place,), reference_diameter=(reference, reference))
    log = data.upkeep[machine.id].log if machine.id in data.upkeep else ()
    read = replace(data, upkeep={**data.upkeep, machine.id: Upkeep(machine.id, log, (inspection,))})
    told = fitness.fitness(read, machine.id, day)
    own = next(one for one in told["regimes"] if one["regime"] == machine.rulebook)
    if not own["places"]:
        return
    judged = own["places"][0]
    bands = next(one["bands"] for one in told["limits"] if one["regime"] == machine.rulebook) or ()
    if judged["outcome"] not in ("none-met", "verify", "met"):
        return
    yield from exercise(
        draw.topic,
        machine,
        None,
        partial(_discard_worked, machine, place, reference, judged, bands),
        RULES_OF_DISCARD[machine.rulebook],
        place=place.kind,
        regime=machine.rulebook,
    )


RULES_OF_DISCARD = {
    "iso": ("broken-wires-iso", "diameter-decrease-iso", "combined-severity", "rope-verdict"),
    "us": ("broken-wires-us", "diameter-decrease-us", "rope-verdict"),
}


def _discard_worked(
    machine: Machine, place: Place, reference: float, judged: PlaceFound, bands: Sequence[Band], sheet: Sheet
) -> Answered | None:
    assert place.diameter, "drawn with both readings"
    digits = int(coarse(sheet, 1, 3))
    nominal = sheet.give("nominal_diameter", machine.rope.diameter, "small")
    before = sheet.give("reference_diameter", reference, "small", digits) if machine.rulebook == "iso" else nominal
    first, second = (sheet.give(f"reading_{at}", each, "small", digits) for at, each in enumerate(place.diameter, 1))
    criteria = {one["criterion"]: one for one in judged["criteria"] if one["criterion"] != "diameter-increase"}
    total = criteria.pop("combined-severity", None)
    rows = []
    for criterion, one in criteria.items():
        assert one["reading"] is not None and one["limit"] is not None, "everything is read, and has its limit"
        kind = "share" if UNITS_OF_READINGS.get(criterion) else "count"
        limit = sheet.shown("limit", one["limit"], kind)
        reading = sheet.shown("reading", one["reading"], kind) if kind == "count" else "to-be-found"
        rows.append((f"criterion:{criterion}", reading, limit, f"read:{one['read']}"))
    sheet.tables.append(ExerciseTable("limits", ("criterion", "reading", "limit", "read"), tuple(rows)))
    from_band = [
        (sheet.shown("band_start", band["decrease"], "share"), sheet.shown("severity", band["share"], "share"))
        for band in bands
    ]
    if from_band:
        sheet.tables.append(ExerciseTable("bands", ("band_start", "severity"), tuple(from_band)))
    mean = sheet.work("mean_diameter", f"({first} + {second})/2", "small", 10.0 ** -(digits + 1))
    decrease = sheet.work("decrease", f"100*({before} - {mean})/{nominal}", "share", 0.1)
    reached: list[str] = []
    severities: dict[str, list[Any]] = {}
    for (label, reading, limit, _), one in zip(rows, criteria.values(), strict=True):
        name = label.removeprefix("criterion:")
        is_count = not isinstance(reading, str)
        sign = ">" if one["criterion"] == "diameter-decrease" and machine.rulebook == "us" else ">="
        found = reading if is_count else decrease
        met = sheet.compare("limit_reached", f"{found} {sign} {limit}", name)
        if met:
            reached.append(one["read"])
        if total and one["severity"]:
            by_band = sheet.shown("severity", one["severity"], "share") if not is_count and not met else None
            severities.setdefault(one["group"], []).append((name, found, limit, by_band))
    verdict = "none-met"
    if reached:
        verdict = "verify" if all(read == "from-memory" for read in reached) else "met"
    if total:
        verdict = _summed(sheet, severities, total, verdict)
    return ((mean, decrease), verdict) if verdict == judged["outcome"] else None


def _summed(sheet: Sheet, severities: dict[str, list[Any]], total: CriterionFound, verdict: str) -> str:
    """The sum of severities at one place, the gravest of each kind of damage, written down; the verdict with it."""
    worst = []
    for entries in severities.values():
        shares = []
        for name, reading, limit, by_band in entries:
            if by_band:
                shares.append(sheet.work("severity_band", f"{by_band}", "share", 1, part=name))
            else:
                shares.append(sheet.work("severity", f"100*{reading}/{limit}", "share", 1, part=name))
        text = ", ".join(map(str, shares))
        worst.append(sheet.work("gravest", f"max({text})", "share", 1) if shares[1:] else shares[0])
    found = sheet.work("severity_sum", " + ".join(map(str, worst)), "share", 1)
    if not sheet.compare("sum_reached", f"{found} >= 100"):
        return verdict
    return "met" if total["read"] != "from-memory" or verdict == "met" else "verify"
