"""The part of the feed about drum and rope: log, readings and fitness of the rope, state of the drum, everyday work,
heavy lifts, what may be cut off, a new rope.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from calc import rounding
from calc.data import entries, model, rope_log
from calc.drum_log import state
from calc.fields import taken
from hooks.computed import Told
from hooks.feed import feed_fields, log_csv

Files = dict[str, tuple[str, Mapping[str, Any]]]  # address below data/v1/ -> name of its schema, content


def files(data: model.Data, told: Told) -> Files:
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


def tables(data: model.Data, told: Told) -> dict[str, str]:
    """Every file for a spreadsheet about one crane: address below data/v1/ -> text."""
    machine = told.machine
    if machine.id not in data.upkeep:
        return {}
    return {f"upkeep/{machine.id}.csv": log_csv.table(upkeep(machine, data.upkeep[machine.id]))}


def addresses(data: model.Data, told: Told) -> feed_fields.DrumFiles:
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


def lift_booms(machine: model.Machine) -> dict[str, str]:
    """Every boom length with the first configuration that lists it: the one with the least capacities."""
    found: dict[str, str] = {}
    for configuration in machine.configurations:
        for chart in configuration.charts:
            found.setdefault(chart.slug, configuration.id)
    return found


def upkeep(machine: model.Machine, kept: entries.Upkeep) -> feed_fields.Upkeep:
    """Log and readings of one rope in SI."""
    return rounding.rounded(_upkeep(machine, kept))


def _upkeep(machine: model.Machine, kept: entries.Upkeep) -> feed_fields.Upkeep:
    return {
        "schema": 1,
        "machine": machine.id,
        "status": machine.status,
        "log": [
            {
                **taken(
                    feed_fields.EntryHead,
                    entry,
                    entry=number,
                    kind=state.kind(entry.done),
                    rope_length_m=_rope_length(kept, entry.day, number + 1),
                ),
                **_done(entry.done),
            }
            for number, entry in enumerate(kept.log)
        ],
        "inspections": [
            taken(
                feed_fields.Inspection,
                one,
                inspection=number,
                rope_length_m=_rope_length(kept, one.day),
                places=[_place(place) for place in one.places],
            )
            for number, one in enumerate(kept.readings)
        ],
    }


def _rope_length(kept: entries.Upkeep, day: str, entries: int | None = None) -> float:
    """Rope length on a day, after the first entries of the log [m]."""
    length = rope_log.rope_length(kept.log[:entries], day)
    assert length is not None, "a log begins with a new rope"
    return length


def _place(place: entries.Place) -> feed_fields.Place:
    end, distance = place.position or (None, None)
    broken_wires = dict(place.broken_wires) if place.broken_wires else None
    rest = {"from": end, "distance_m": distance, "broken_wires": broken_wires}
    return taken(feed_fields.Place, place, place=place.kind, **rest)


FORMS: dict[type[entries.Done], type[object]] = {
    entries.NewRope: feed_fields.NewRope,
    entries.PreTensioning: feed_fields.PreTensioning,
    entries.Work: feed_fields.Work,
    entries.ReReeving: feed_fields.ReReeving,
    entries.Unwinding: feed_fields.Unwinding,
    entries.Jump: feed_fields.Jump,
    entries.Shortening: feed_fields.Shortening,
}


def _done(done: entries.Done) -> feed_fields.WasDone:
    """What was done, under the name of its kind."""
    hook = {"hook_height_m": [*done.hook]} if isinstance(done, entries.Work) else {}
    name = state.kind(done).replace("-", "_")
    return cast(feed_fields.WasDone, {name: taken(FORMS[type(done)], done, **hook)})
