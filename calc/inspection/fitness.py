"""The fitness of a rope: its limits under both regimes, where to look, what its readings come to, what is due.

Readings are judged under both regimes; which of them counts on a site is a matter of its machine (`rulebook`).  Nothing
here decides: the best that can be said is that the rope is below every limit by these readings.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from typing import Any, Final, get_args

from calc.data import days, look_up, rope_log, rule_values, rulebook
from calc.data.entries import Jump, Place, Upkeep
from calc.data.model import Data, Machine
from calc.data.rulebook import Given
from calc.data.tables import TableVersion
from calc.drum_log import history
from calc.fields import CriterionName, InspectionKind, RopeEnd, RopeOutcome, RopePlace, Rulebook, taken
from calc.formulas import drum, rope
from calc.inspection import discard, judging, rope_fields, zones
from calc.inspection.discard import ISO, REGIMES, Limit, Regime, Tables
from calc.rounding import rounded
from calc.winding import plan_data
from calc.winding.rig import Crane, Rig, State

SCHEMA_VERSION: Final = 1

PLACES: tuple[RopePlace, ...] = get_args(RopePlace)
NO_READINGS: Final = "no-readings"
# What nobody read although the diameter was read at crossovers.
BESIDE_CROSSOVERS: Final = "diameter-beside-crossovers"

# Criterion -> unit of its reading and limit; the others are counts.
UNITS: dict[CriterionName, rope_fields.ReadingUnit] = {
    "diameter-decrease": "share",
    "diameter-increase": "share",
    "waviness": "m",
    judging.SUM: "share",
}


def fitness(data: Data, machine_id: str, day: str) -> rope_fields.Fitness:
    """The rope of one machine on a `day`, as plain data, numbers to 1e-6: readings and log up to that day count.

    Returns what validates against rules/schema/fitness.schema.json.  Without readings its outcome is `no-readings`; the
    limits stand there all the same.
    Errors: look_up.Unknown when there is no such machine, table or rule value on that day.
    Rules: rope-inspections, where-to-look, rope-verdict, combined-severity and those of `discard.limits`.
    """
    machine = look_up.machine_of(data, machine_id, day)
    upkeep = data.upkeep.get(machine_id, Upkeep(machine_id, ()))
    crane = _crane(data, machine, upkeep, day)
    reference = rope_log.reference(upkeep, day)
    regimes = {name: _regime(data, crane, name, reference) for name in REGIMES}
    places = rope_log.last_read(upkeep, day)
    judged = [_judged(regimes[name], places) for name in REGIMES]
    own = next(one for one in judged if one["regime"] == machine.rulebook)
    out: rope_fields.Fitness = {
        "schema": SCHEMA_VERSION,
        "machine": machine_id,
        "status": machine.status,
        "machine_revision": machine.revision,
        "rulebook": machine.rulebook,
        "day": day,
        "fitted": rope_log.fitted(upkeep.log, day),
        "outcome": own["outcome"],
        "strictest": _strictest(one["outcome"] for one in judged),
        "regimes_differ": len({one["outcome"] for one in judged}) > 1,
        "regimes": judged,
        "inspections": [
            taken(
                rope_fields.InspectionListed,
                inspection,
                inspection=number,
                places=len(inspection.places),
                reference_m=list(inspection.reference_diameter) if inspection.reference_diameter else None,
            )
            for number, inspection in rope_log.counted(upkeep, day)
        ],
        "series": _series(upkeep, day),
        "due": list(_due(data, machine, upkeep, day)),
        "look_again": _look_again(upkeep, day),
        "rope": _rope(crane, regimes[ISO], reference),
        "limits": [_limits(data, machine, regimes[name], day) for name in REGIMES],
        "where": _where(data, crane, upkeep, day),
    }
    return rounded(out)


# -- what it rests on -----------------------------------------------------------------------------------------------


def tables(data: Data, day: str) -> Tables:
    """The tables of the `data` in force on a `day`.  Errors: look_up.Unknown, naming the one that is not there."""
    return Tables(
        single_layer=_table(data, "broken-wires-single-layer", day).content,
        rotation_resistant=_table(data, "broken-wires-rotation-resistant", day).content,
        bands=_table(data, "diameter-bands", day).content,
        constructions=_table(data, "rope-constructions", day).content,
        criteria=_table(data, "criteria", day).content,
    )


def _table(data: Data, id: str, day: str) -> Any:
    version: TableVersion | None = data.tables[id].at(day) if id in data.tables else None
    if version is None:
        raise look_up.Unknown(f"no table {id} in force on {day}; write one in rules/tables or choose a later day")
    return version


def given(data: Data, machine: Machine, regime: Rulebook, day: str) -> dict[str, Given]:
    """The rule values one `regime` gives on a `day` for the rope of a `machine`, whichever regime its site follows, by
    name.  Errors: look_up.Unknown, naming what no rule gives."""
    wanted = (*rule_values.FOR_INSPECTION, *rule_values.BY_REGIME[regime])
    return asked_for(data, replace(machine, rulebook=regime), day, wanted)


def asked_for(data: Data, machine: Machine, day: str, wanted: Collection[str]) -> dict[str, Given]:
    """The rule values `wanted` on a `day` for the rope of a `machine`, by name.  Errors: look_up.Unknown, naming what
    no rule gives."""
    by_name = rulebook.given(data.rules.values(), machine, machine.configurations[0].charts[0].boom_length, day)
    missing = sorted(name for name in wanted if name not in by_name)
    if missing:
        raise look_up.Unknown(f"no rule in force on {day} gives {rulebook.Missing(missing)}; choose a later day")
    return {name: by_name[name][0] for name in wanted}


def values(data: Data, machine_id: str, regime_name: Rulebook, day: str) -> dict[str, float]:
    """What `given` finds for one machine, the numbers alone [SI]."""
    by_name = given(data, look_up.machine_of(data, machine_id, day), regime_name, day)
    return {name: each.quantity for name, each in by_name.items()}


def _regime(data: Data, crane: Crane, name: Rulebook, reference: tuple[float, float] | None) -> Regime:
    machine, in_force = crane.case.machine, tables(data, crane.case.day)
    return Regime(
        name=name,
        facts=discard.facts(machine.rope, in_force.constructions),
        layers=len(crane.layers),
        values=values(data, machine.id, name, crane.case.day),
        tables=in_force,
        reference=_mean(reference),
    )


def _crane(data: Data, machine: Machine, upkeep: Upkeep, day: str) -> Crane:
    """The machine with the rope its log says is on the drum; drum and rope alone count, so on its shortest boom."""
    first = machine.configurations[0].charts[0].boom_length
    case = look_up.cases(data, machine, day)(first)
    return history.crane(case, rope_log.rope_length(upkeep.log, day) or machine.rope.length)


def _mean(pair: tuple[float, float] | None) -> float | None:
    return None if pair is None else sum(pair) / 2


# -- readings judged ------------------------------------------------------------------------------------------------


def _judged(regime: Regime, places: tuple[rope_log.LastRead, ...]) -> rope_fields.RegimeFound:
    by_place = [(last, judging.judge(regime, last.place)) for last in places]
    outcomes = [each.outcome for _, findings in by_place for each in findings]
    nearest = max(
        (
            (at, each)
            for at, (_, findings) in enumerate(by_place)
            for each in findings
            if each.share and not each.information
        ),
        key=lambda placed: placed[1].share or 0.0,
        default=None,
    )
    return {
        "regime": regime.name,
        "outcome": judging.worst(outcomes) if places else NO_READINGS,
        "category": max((e.category for _, findings in by_place for e in findings if e.category), default=None),
        "places": [
            {
                "place": last.place.kind,
                "position": _position(last.place),
                "read_in": dict(last.read_in),
                "outcome": judging.worst(each.outcome for each in findings),
                "criteria": [_found(each) for each in findings],
            }
            for last, findings in by_place
        ],
        "not_read": list(_not_read(regime, places)),
        "nearest": {"place": nearest[0], **_found(nearest[1])} if nearest else None,
    }


def _strictest(outcomes: Iterable[RopeOutcome]) -> RopeOutcome:
    found = [outcome for outcome in outcomes if outcome != NO_READINGS]
    return judging.worst(found) if found else NO_READINGS


def _position(place: Place) -> rope_fields.Position | None:
    return {"from": place.position[0], "distance_m": place.position[1]} if place.position else None


def _found(finding: judging.Found) -> rope_fields.CriterionFound:
    return taken(rope_fields.CriterionFound, finding, unit=UNITS.get(finding.criterion, "count"))


def _not_read(regime: Regime, places: tuple[rope_log.LastRead, ...]) -> Iterator[rope_fields.NotRead]:
    """What nobody looked at at any place: broken wires, diameter, waviness, what is seen; and the diameter where it was
    read only at places its limit is not made for."""
    items: tuple[rope_fields.NotRead, ...] = ("broken_wires", "diameter", "waviness", "seen")
    for item in items:
        if (item != "waviness" or regime.name == ISO) and not any(item in last.read_in for last in places):
            yield item
    across = [last.place.kind for last in places if "diameter" in last.read_in]
    judged = (
        limit for kind in across for limit in discard.limits(regime, kind) if limit.criterion == "diameter-decrease"
    )
    if across and all(limit.information for limit in judged):
        yield BESIDE_CROSSOVERS


def _series(upkeep: Upkeep, day: str) -> list[rope_fields.Series]:
    """Readings over time by place: mean diameter and broken wires of every inspection that took them."""
    by_place: dict[tuple[RopePlace, tuple[RopeEnd, float] | None], rope_fields.Series] = {}
    for _, inspection in rope_log.counted(upkeep, day):
        for place in inspection.places:
            if place.diameter is not None or place.broken_wires is not None:
                new: rope_fields.Series = {"place": place.kind, "position": _position(place), "points": []}
                series = by_place.setdefault((place.kind, place.position), new)
                wires = place.broken_wires or {}
                series["points"].append(
                    {
                        "day": inspection.day,
                        "diameter_m": _mean(place.diameter),
                        "in_6_diameters": wires.get("in_6_diameters"),
                        "in_30_diameters": wires.get("in_30_diameters"),
                    }
                )
    return list(by_place.values())


# -- what is due ----------------------------------------------------------------------------------------------------


def _due(data: Data, machine: Machine, upkeep: Upkeep, day: str) -> Iterator[rope_fields.Due]:
    """The next inspection of either kind, from the last one or from the day the rope was fitted; a full one counts as
    a monthly one too."""
    since = rope_log.fitted(upkeep.log, day)
    if since is None:
        return
    done = [inspection for _, inspection in rope_log.counted(upkeep, day)]
    rules = given(data, machine, machine.rulebook, day)
    kinds: dict[InspectionKind, str] = {
        "monthly": "months_between_inspections",
        rope_log.FULL: "months_between_full_inspections",
    }
    for kind, name in kinds.items():
        last = max(
            (inspection.day for inspection in done if kind != rope_log.FULL or inspection.kind == rope_log.FULL),
            default=None,
        )
        months = int(rules[name].quantity)
        following = days.months_later(last or since, months)
        yield {
            "kind": kind,
            "last": last,
            "months": months,
            "next": following,
            "overdue": day > following,
            "rule": rules[name].cited,
        }


def _look_again(upkeep: Upkeep, day: str) -> list[rope_fields.LookAgain]:
    """Jumped wraps and slack rope that no inspection has followed yet."""
    since = rope_log.fitted(upkeep.log, day)
    last = max((one.day for _, one in rope_log.counted(upkeep, day)), default="")
    return [
        {"entry": number, "day": entry.day}
        for number, entry in enumerate(upkeep.log)
        if isinstance(entry.done, Jump) and since and since <= entry.day <= day and entry.day > last
    ]


# -- limits of this rope --------------------------------------------------------------------------------------------


def _rope(crane: Crane, iso: Regime, reference: tuple[float, float] | None) -> rope_fields.RopeListed:
    fitted = crane.case.machine.rope
    own = iso.facts
    rotation_resistant = own.kind == discard.ROTATION_RESISTANT
    tail = iso.values["tail_diameters_rotation_resistant" if rotation_resistant else "tail_diameters"]
    return {
        "diameter_m": fitted.diameter,
        "length_m": fitted.length,
        "construction": fitted.construction,
        "kind": own.kind,
        "outer_strands": own.outer_strands,
        "outer_wires": [taken(rope_fields.OuterWires, wires) for wires in own.outer_wires],
        "seale": own.seale,
        "lay": own.lay,
        "layers": iso.layers,
        "short_length_m": iso.values["short_length_diameters"] * fitted.diameter,
        "long_length_m": iso.values["long_length_diameters"] * fitted.diameter,
        "tail_least_m": max(tail * fitted.diameter, iso.values["tail_least"]),
        "reference_readings_m": list(reference) if reference else None,
        "reference_m": iso.reference,
    }


def _limits(data: Data, machine: Machine, regime: Regime, day: str) -> rope_fields.Limits:
    rules = given(data, machine, regime.name, day)
    by_limits: dict[tuple[Limit, ...], list[RopePlace]] = {}
    for kind in PLACES:
        by_limits.setdefault(discard.limits(regime, kind), []).append(kind)
    return {
        "regime": regime.name,
        "measured": [
            {"places": kinds, "limits": [_limit(regime, limit, rules[limit.value_name]) for limit in limits]}
            for limits, kinds in by_limits.items()
        ],
        "bands": _bands(regime),
        "seen": [
            taken(
                rope_fields.Seen,
                verdict,
                criterion=name,
                group=criterion.group,
                category=discard.category(regime, verdict),
            )
            for name, criterion in regime.tables.criteria.items()
            if name not in _MEASURED and (verdict := discard.verdict_of(regime, name)) is not None
        ],
        "severities": _severities(regime) if regime.name == ISO else None,
    }


def _severities(one: Regime) -> rope_fields.Severities:
    slight, medium, high, very_high, discarded = (one.values[name] for name in judging.GRADES)
    return {"slight": slight, "medium": medium, "high": high, "very_high": very_high, "discard": discarded}


_MEASURED = frozenset((*judging.COUNTED, *UNITS))


def _limit(regime: Regime, limit: Limit, rests_on: Given) -> rope_fields.Limit:
    counts = limit.counts
    return taken(
        rope_fields.Limit,
        limit,
        unit=UNITS.get(limit.criterion, "count"),
        limit=limit.value,
        diameter_m=discard.limit_diameter(regime, limit),
        rule=rests_on.cited,
        sources_differ=counts is not None and counts.differ,
        published=[
            taken(rope_fields.Published, each, count=each.short if limit.criterion == "broken-wires-6d" else each.long)
            for each in (counts.published if counts else ())
        ],
    )


def _bands(regime: Regime) -> list[rope_fields.Band] | None:
    """From which decrease, and below which diameter, each severity begins; ISO only."""
    if regime.name != ISO:
        return None
    bands = regime.tables.bands[regime.facts.kind]
    return [
        {
            "severity": name,
            "share": regime.values[name],
            "decrease": start,
            "diameter_m": None
            if regime.reference is None
            else rope.diameter_at_decrease(regime.reference, start, regime.facts.diameter),
            "read": bands.source.read,
        }
        for name, start in bands.starts.items()
    ]


# -- where to look --------------------------------------------------------------------------------------------------


def _where(data: Data, crane: Crane, upkeep: Upkeep, day: str) -> rope_fields.Where:
    on_drum = zones.layers(crane)
    return {
        "dead_rope_m": crane.dead_rope,
        "stop_rope_m": crane.stop_rope,
        "flange_points_m": [layer["from_drum_m"][1] for layer in on_drum[:-1]],
        "layers": on_drum,
        "usual": [_usual(data, crane, work) for work in zones.usual(upkeep.log, crane.case.machine, day)],
    }


def _usual(data: Data, crane: Crane, work: zones.Usual) -> rope_fields.UsualWork:
    """One kind of work the log holds: the rope that works on the drum and over each sheave, and where loads are picked
    up."""
    machine = crane.case.machine
    case = look_up.cases(data, machine, crane.case.day)(work.boom_length, work.on_jib)
    block = next(block for block in machine.blocks if block.id == work.block)
    rig = history.crane(case, machine.rope.length).rig(work.falls, block)
    short, long = zones.fall_lengths(rig, work)
    out = [rig.drum_to_head(work.boom_length) + rig.between_falls + work.falls * fall for fall in (long, short)]
    held = [machine.rope.length - each for each in out]
    return taken(
        rope_fields.UsualWork,
        work,
        boom=case.chart.slug,
        hook_height_m=list(work.hook),
        rope_on_drum_m=held,
        layers=[drum.position(rig.crane.layers, each)[0] for each in held],
        pick_ups=[_pick_up(rig, work, at) for at in work.pick_ups],
        sheaves=[
            taken(
                rope_fields.Sheave,
                sheave,
                sheave=sheave.number,
                from_drum_m=[machine.rope.length - each for each in reversed(sheave.from_hook)],
            )
            for sheave in zones.sheaves(rig, short, long)
        ],
    )


def _pick_up(rig: Rig, work: zones.Usual, at: tuple[float, float]) -> rope_fields.PickUp:
    state = State(work.boom_length, at[0], at[1], work.falls)
    rope_on_drum = rig.rope_on_drum(state)
    return taken(rope_fields.PickUp, state, rope_on_drum_m=rope_on_drum, **plan_data.place(rig.crane, rope_on_drum))
