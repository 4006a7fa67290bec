"""The part of the feed about the drum: log of the rope, state of the drum, everyday work, heavy lifts.

May import: calc.check, model, state, readiness.  Must not know: addresses of pages, templates, words, MkDocs.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc import check, readiness, state
from calc.model import (
    Data,
    Done,
    Entry,
    Jump,
    Machine,
    NewRope,
    PreTensioning,
    ReReeving,
    Shortening,
    Unwinding,
    Work,
)

Files = dict[str, tuple[str, Mapping[str, Any]]]  # address below data/v1/ -> name of its schema, content


def files(data: Data, day: str) -> Files:
    """Every file about the drums of all cranes."""
    found: Files = {}
    for machine in data.machines.values():
        found[f"work/{machine.id}.json"] = "work", readiness.work(data, machine, day)
        for boom, configuration in lift_booms(machine).items():
            case = check.case(data, machine.id, boom, configuration, day)
            found[f"ready/{machine.id}/{boom}.json"] = "lifts", readiness.lifts(data, case)
        if machine.id in data.upkeep:
            found[f"upkeep/{machine.id}.json"] = "upkeep", upkeep(machine, data.upkeep[machine.id].log)
        if has_state(data, machine, day):
            found[f"state/{machine.id}.json"] = "state", state.state(data, machine.id, day)
    return found


def addresses(data: Data, machine: Machine, day: str) -> dict[str, Any]:
    """Where the files about the drum of one crane stand, for the file of the crane; null where there is none."""
    return {
        "work": f"data/v1/work/{machine.id}.json",
        "upkeep": f"data/v1/upkeep/{machine.id}.json" if machine.id in data.upkeep else None,
        "state": f"data/v1/state/{machine.id}.json" if has_state(data, machine, day) else None,
        "ready": [
            {"boom": boom, "configuration": configuration, "data": f"data/v1/ready/{machine.id}/{boom}.json"}
            for boom, configuration in lift_booms(machine).items()
        ],
    }


def has_state(data: Data, machine: Machine, day: str) -> bool:
    """Whether the log of a crane's rope has begun by this day."""
    return machine.id in data.upkeep and data.upkeep[machine.id].log[0].day <= day


def lift_booms(machine: Machine) -> dict[str, str]:
    """Every boom length with the first configuration that lists it: the one with the least capacities."""
    found: dict[str, str] = {}
    for configuration in machine.configurations:
        for chart in configuration.charts:
            found.setdefault(chart.slug, configuration.id)
    return found


def upkeep(machine: Machine, log: tuple[Entry, ...]) -> dict[str, Any]:
    """The log of one rope in SI."""
    return {
        "schema": 1,
        "machine": machine.id,
        "status": machine.status,
        "log": [
            {"entry": number, "day": entry.day, "kind": state.kind(entry.done), "note": entry.note, **_done(entry.done)}
            for number, entry in enumerate(log)
        ],
    }


def _done(done: Done) -> dict[str, Any]:
    """What was done, under the name of its kind."""
    said: dict[str, Any]
    match done:
        case NewRope():
            said = {"length_m": done.length, "tension_n": done.tension}
        case PreTensioning():
            said = {
                "boom_length_m": list(done.boom_length),
                "falls": done.falls,
                "block": done.block,
                "load_kg": done.load,
                "radius_m": list(done.radius),
                "drum_before": list(done.drum_before),
                "drum_after": list(done.drum_after),
            }
        case Work():
            said = {
                "boom_length_m": done.boom_length,
                "radius_m": done.radius,
                "falls": done.falls,
                "block": done.block,
                "load_kg": done.load,
                "hook_height_m": list(done.hook),
                "repeats": done.repeats,
            }
        case ReReeving():
            said = {"boom_length_m": done.boom_length, "falls": done.falls, "block": done.block}
        case Unwinding():
            said = {"length_m": done.length}
        case Jump():
            said = {"layer": done.layer}
        case Shortening():
            said = {"length_m": done.length, "end": done.end}
    return {state.kind(done).replace("-", "_"): said}
