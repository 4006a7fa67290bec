"""The part of the feed about drum and rope: log, readings and fitness of the rope, state of the drum, everyday work,
heavy lifts, what may be cut off, a new rope.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from calc import rounding
from calc.data import rope_log
from calc.data.entries import (
    Done,
    Inspection,
    Jump,
    NewRope,
    Place,
    PreTensioning,
    ReReeving,
    Shortening,
    Unwinding,
    Upkeep,
    Work,
)
from calc.data.model import Data, Machine
from calc.drum_log import state
from hooks.computed import Told
from hooks.feed import feed_fields, log_csv

Files = dict[str, tuple[str, Mapping[str, Any]]]  # address below data/v1/ -> name of its schema, content


def files(data: Data, told: Told) -> Files:
    """Every file about drum and rope of one crane."""
    machine = told.machine
    found: Files = {
        f"work/{machine.id}.json": ("work", told.work),
        f"shortening/{machine.id}.json": ("shortening", told.cut),
        f"new-rope/{machine.id}.json": ("new-rope", told.order),
    }
    first = lift_booms(machine)
    for case, _, lifts in told.lifts:
        if first[case.chart.slug] == case.configuration.id:
            found[f"ready/{machine.id}/{case.chart.slug}.json"] = "lifts", lifts
    found[f"fitness/{machine.id}.json"] = "fitness", told.fitness
    if machine.id in data.upkeep:
        found[f"upkeep/{machine.id}.json"] = "upkeep", upkeep(machine, data.upkeep[machine.id])
    if told.state is not None:
        found[f"state/{machine.id}.json"] = "state", told.state
    if told.plan is not None and not told.plan.standing:
        found[f"state/{machine.id}/plan.json"] = "plan", told.plan.plan
    return found


def tables(data: Data, told: Told) -> dict[str, str]:
    """Every file for a spreadsheet about one crane: address below data/v1/ -> text."""
    machine = told.machine
    if machine.id not in data.upkeep:
        return {}
    return {f"upkeep/{machine.id}.csv": log_csv.table(upkeep(machine, data.upkeep[machine.id]))}


def addresses(data: Data, told: Told) -> feed_fields.DrumFiles:
    """Where the files about drum and rope of one crane stand, for the file of the crane; null where there is none."""
    machine, made = told.machine, {**files(data, told), **tables(data, told)}

    def address(name: str) -> str | None:
        return f"data/v1/{name}" if name in made else None

    return {
        "work": f"data/v1/work/{machine.id}.json",
        "fitness": f"data/v1/fitness/{machine.id}.json",
        "upkeep": address(f"upkeep/{machine.id}.json"),
        "upkeep_table": address(f"upkeep/{machine.id}.csv"),
        "state": address(f"state/{machine.id}.json"),
        "drum_plan": address(f"state/{machine.id}/plan.json"),
        "shortening": f"data/v1/shortening/{machine.id}.json",
        "new_rope": f"data/v1/new-rope/{machine.id}.json",
        "ready": [
            {"boom": boom, "configuration": configuration, "data": f"data/v1/ready/{machine.id}/{boom}.json"}
            for boom, configuration in lift_booms(machine).items()
        ],
    }


def lift_booms(machine: Machine) -> dict[str, str]:
    """Every boom length with the first configuration that lists it: the one with the least capacities."""
    found: dict[str, str] = {}
    for configuration in machine.configurations:
        for chart in configuration.charts:
            found.setdefault(chart.slug, configuration.id)
    return found


def upkeep(machine: Machine, kept: Upkeep) -> feed_fields.Upkeep:
    """Log and readings of one rope in SI."""
    return rounding.rounded(_upkeep(machine, kept))


def _upkeep(machine: Machine, kept: Upkeep) -> feed_fields.Upkeep:
    return {
        "schema": 1,
        "machine": machine.id,
        "status": machine.status,
        "log": [
            {
                "entry": number,
                "day": entry.day,
                "until": entry.until,
                "kind": state.kind(entry.done),
                "note": entry.note,
                "rope_length_m": _rope_length(kept, entry.day, number + 1),
                **_done(entry.done),
            }
            for number, entry in enumerate(kept.log)
        ],
        "inspections": [_inspection(kept, number, one) for number, one in enumerate(kept.readings)],
    }


def _rope_length(kept: Upkeep, day: str, entries: int | None = None) -> float:
    """Rope length on a day, after the first entries of the log [m]."""
    length = rope_log.rope_length(kept.log[:entries], day)
    assert length is not None, "a log begins with a new rope"
    return length


def _inspection(kept: Upkeep, number: int, one: Inspection) -> feed_fields.Inspection:
    return {
        "inspection": number,
        "day": one.day,
        "kind": one.kind,
        "by": one.by,
        "note": one.note,
        "rope_length_m": _rope_length(kept, one.day),
        "reference_diameter_m": list(one.reference_diameter) if one.reference_diameter else None,
        "places": [_place(place) for place in one.places],
    }


def _place(place: Place) -> feed_fields.Place:
    end, distance = place.position or (None, None)
    return {
        "place": place.kind,
        "from": end,
        "distance_m": distance,
        "broken_wires": cast(feed_fields.BrokenWires, dict(place.broken_wires)) if place.broken_wires else None,
        "diameter_m": list(place.diameter) if place.diameter else None,
        "waviness_m": place.waviness,
        "seen": None if place.seen is None else list(place.seen),
    }


def _done(done: Done) -> feed_fields.WasDone:
    """What was done, under the name of its kind."""
    match done:
        case NewRope():
            return {"new_rope": {"length_m": done.length, "tension_n": done.tension, "diameter_m": done.diameter}}
        case PreTensioning():
            return {
                "pre_tensioning": {
                    "boom_length_m": list(done.boom_length),
                    "configuration": done.configuration,
                    "falls": done.falls,
                    "block": done.block,
                    "load_kg": done.load,
                    "line_pull_n": done.line_pull,
                    "radius_m": list(done.radius),
                    "drum_before": list(done.drum_before),
                    "drum_after": list(done.drum_after),
                }
            }
        case Work():
            return {
                "work": {
                    "boom_length_m": done.boom_length,
                    "configuration": done.configuration,
                    "radius_m": done.radius,
                    "largest_radius_m": done.largest_radius,
                    "falls": done.falls,
                    "block": done.block,
                    "load_kg": done.load,
                    "line_pull_n": done.line_pull,
                    "hook_height_m": list(done.hook),
                    "repeats": done.repeats,
                }
            }
        case ReReeving():
            return {
                "re_reeving": {
                    "boom_length_m": done.boom_length,
                    "configuration": done.configuration,
                    "falls": done.falls,
                    "block": done.block,
                }
            }
        case Unwinding():
            return {"unwinding": {"length_m": done.length}}
        case Jump():
            return {"jump": {"layer": done.layer}}
        case Shortening():
            return {"shortening": {"length_m": done.length, "end": done.end}}
