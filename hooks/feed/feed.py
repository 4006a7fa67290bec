"""The JSON feed under data/v1/: the same data and plans as the pages, SI values, units in the field names."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from math import degrees
from pathlib import Path
from typing import Any

from calc import ROOT, fleet
from calc.data import rulebook
from calc.data.model import Approval, Data, Machine, Override, Rule
from calc.fleet_fields import Crane
from hooks.computed import Planned, Told
from hooks.feed import drum_feed, feed_fields
from hooks.pages.plan import plan as plans
from hooks.text import addresses

BASE = "data/v1/"

# Schema of each kind of file; what calc itself gives as data has its schema there.
SCHEMAS = {
    name: ROOT / folder / f"{name}.schema.json"
    for folder, names in (
        ("hooks/schema", ("machines", "machine", "rules", "upkeep", "row", "lifts")),
        ("rules/schema", ("plan", "state", "work", "fitness", "shortening", "new-rope", "fleet")),
    )
    for name in names
}


def files(data: Data, cranes: Iterable[Crane], day: str) -> dict[str, str]:
    """The files of the feed that are about no single crane, by address, with the schemas that all files name; `cranes`
    are rows of the fleet."""
    rules: feed_fields.Rules = {"schema": 1, "day": day, "rules": [rule(found, day) for found in data.rules.values()]}
    found = {
        f"{BASE}machines.json": _named("machines", 0, machines(data, day)),
        f"{BASE}fleet.json": _named("fleet", 0, fleet.listed(cranes, day)),
        f"{BASE}rules.json": _named("rules", 0, rules),
    }
    return _written(found | {f"{BASE}schema/{name}.schema.json": schema(name) for name in SCHEMAS})


def of_crane(data: Data, made: list[Planned], told: Told) -> dict[str, str]:
    """The files of the feed about one crane, by address."""
    machine = told.machine
    about: feed_fields.Machine = {**one_machine(machine, made), **drum_feed.addresses(data, told)}
    found = {f"{BASE}machines/{machine.id}.json": _named("machine", 1, about)}
    for case, plan in made:
        found[plans.feed_address(machine, case.configuration.id, case.chart.slug)] = _named("plan", 2, plan)
    for address, (name, content) in drum_feed.files(data, told).items():
        found[f"{BASE}{address}"] = _named(name, address.count("/"), content)
    tables = {f"{BASE}{address}": text for address, text in drum_feed.tables(data, told).items()}
    return _written(found) | tables


def _written(found: Mapping[str, Any]) -> dict[str, str]:
    return {address: json.dumps(value, ensure_ascii=False, allow_nan=False) + "\n" for address, value in found.items()}


def schema(name: str) -> dict[str, Any]:
    """One schema of the feed as it stands in its file, a schema it refers to written out."""
    return _whole(SCHEMAS[name])


def _whole(path: Path) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    for part in read["properties"].values():
        other = str((part.get("items") or {}).get("$ref", ""))
        if other.endswith(".json"):
            inner = _whole(ROOT / "rules/schema" / other)
            read.setdefault("$defs", {}).update(inner.get("$defs", {}))
            part["items"] = {name: inner[name] for name in ("type", "properties", "required", "additionalProperties")}
    return read


def _named(name: str, depth: int, content: Mapping[str, Any]) -> dict[str, Any]:
    """A file of the feed that names its schema, `depth` folders below data/v1/."""
    return {"$schema": f"{'../' * depth}schema/{name}.schema.json", **content}


def machines(data: Data, day: str) -> feed_fields.Machines:
    """The list of cranes with the addresses of their data."""
    return {
        "schema": 1,
        "day": day,
        "machines": [
            {
                "id": m.id,
                "name": m.name,
                "kind": m.kind,
                "status": m.status,
                "revision": m.revision,
                "page": addresses.crane(m),
                "data": f"{BASE}machines/{m.id}.json",
            }
            for m in data.machines.values()
        ],
    }


def one_machine(machine: Machine, made: list[Planned]) -> feed_fields.MachineFacts:
    """One crane: facts in SI and its plans."""
    rope, drum, winch, boom, reeving = machine.rope, machine.drum, machine.winch, machine.boom, machine.reeving
    return {
        "schema": 1,
        "id": machine.id,
        "name": machine.name,
        "kind": machine.kind,
        "description": machine.description,
        "capacity_class_kg": machine.capacity_class,
        "status": machine.status,
        "approval": _approval(machine.approval) if machine.approval else None,
        "revision": machine.revision,
        "change": machine.change,
        "rulebook": machine.rulebook,
        "yard": machine.yard,
        "units": machine.units,
        "source": machine.source_title,
        "source_pages": dict(machine.source_pages),
        "rope": {
            "diameter_m": rope.diameter,
            "length_m": rope.length,
            "mass_kg_per_m": rope.mass_per_length,
            "minimum_breaking_force_n": rope.minimum_breaking_force,
            "construction": rope.construction,
            "grade_n_per_m2": rope.grade,
            "rotation_resistant": rope.rotation_resistant,
            "outer_strands": rope.outer_strands,
            "outer_wires": rope.outer_wires,
            "seale": rope.seale,
            "lay": rope.lay,
            "lay_direction": rope.lay_direction,
        },
        "drum": {
            "groove_root_diameter_m": drum.groove_root_diameter,
            "groove_pitch_m": drum.groove_pitch,
            "wraps_odd_layers": drum.wraps_odd_layers,
            "wraps_even_layers": drum.wraps_even_layers,
            "flange_diameter_m": drum.flange_diameter,
            "width_m": drum.width,
            "surface": drum.surface,
            "hand": drum.hand,
            "first_sheave_m": drum.first_sheave,
        },
        "winch": {
            "rated_line_pull_n": winch.rated_line_pull,
            "rated_layer": winch.rated_layer,
            "line_speed_m_per_s": winch.line_speed,
            "power_w": winch.power,
            "drag_n": winch.drag,
        },
        "reeving": {
            "sheave_radius_m": reeving.sheave_radius,
            "sheaves_to_drum": reeving.sheaves_to_drum,
            "bearings": reeving.bearings,
            "most_falls": reeving.most_falls,
            "upper_stop_m": reeving.upper_stop,
        },
        "blocks": [
            {
                "id": b.id,
                "mass_kg": b.mass,
                "height_m": b.height,
                "falls": [b.least_falls, b.most_falls],
                "capacity_kg": b.capacity,
            }
            for b in machine.blocks
        ],
        "boom": {
            "pivot_forward_m": boom.pivot_forward,
            "pivot_height_m": boom.pivot_height,
            "winch_height_m": boom.winch_height,
            "rope_path_extra_m": boom.rope_path_extra,
            "luffing_rad_per_s": boom.luffing,
            "telescoping_m_per_s": boom.telescoping,
            "clear_radius_m": boom.clear_radius,
            "least_angle_deg": round(degrees(boom.least_angle), 6),
            "load_return": boom.load_return,
        },
        "configurations": [
            {
                "id": c.id,
                "name": c.name,
                "charts": [
                    {
                        "boom": chart.slug,
                        "boom_length_m": chart.boom_length,
                        "rows": [list(row) for row in chart.rows],
                        "telescoping_kg": chart.telescoping,
                    }
                    for chart in c.charts
                ],
            }
            for c in machine.configurations
        ],
        "overrides": [_override(one) for one in machine.overrides],
        "plans": [
            {
                "configuration": one.case.configuration.id,
                "boom": one.case.chart.slug,
                "refused": one.plan["refused"] is not None,
                "page": one.address,
                "data": plans.feed_address(machine, one.case.configuration.id, one.case.chart.slug),
            }
            for one in made
        ],
    }


def _approval(found: Approval) -> feed_fields.Approval:
    return {"reviewer": found.reviewer, "date": found.date, "pages": found.pages}


def _override(found: Override) -> feed_fields.Override:
    return {
        "rule": found.rule,
        "value": found.value,
        "text": found.text,
        "quantity": found.quantity,
        "page": found.page,
        "reason": found.reason,
    }


def rule(found: Rule, day: str) -> feed_fields.Rule:
    """One rule with all its versions; values as written and in SI."""
    now = found.at(day)
    coming = rulebook.announced(found, day)
    standing = rulebook.standing(found, now or coming[0], day)
    assert standing != "superseded", "it is the version in force, or the next one"
    return {
        "id": found.id,
        "code": found.code,
        "title": found.title,
        "topic": found.topic,
        "standing": standing,
        "in_force": now.from_day if now and not now.withdrawn else None,
        "announced": coming[0].from_day if coming else None,
        "page": addresses.rule(found.id),
        "versions": [
            {
                "from": v.from_day,
                "standing": rulebook.standing(found, v, day),
                "statement": v.statement,
                "values": {name: {"text": v.texts[name], "si": value} for name, value in v.values.items()},
                "informative": sorted(v.informative),
                "applies": dict(v.applies),
                "reason": v.reason,
                "cautions": list(v.cautions),
                "sources": [
                    {"kind": s.kind, "citation": s.citation, "clause": s.clause, "read": s.read} for s in v.sources
                ],
                "change": v.change,
                "changed_values": [
                    {"name": c.name, "before": c.before, "after": c.after} for c in rulebook.changes(found, v)
                ],
                "withdrawn": v.withdrawn,
                "replaced_by": v.replaced_by,
                "page": addresses.rule(found.id, v.from_day),
            }
            for v in found.versions
        ],
    }
