"""The JSON feed under data/v1/: the same data and plans as the pages, SI values, units in the field names."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from math import degrees
from pathlib import Path
from typing import Any, TypeVar, cast

from calc import ROOT, fleet
from calc.data import rulebook
from calc.data.model import Boom, Data, Machine, Rule
from calc.fields import taken
from calc.fleet_fields import Crane
from hooks.computed import Planned, Told
from hooks.feed import drum_feed, feed_fields
from hooks.pages.plan import plan as plans
from hooks.text import addresses

BASE = "data/v1/"

Facts = TypeVar("Facts", feed_fields.Boom, feed_fields.Configuration)

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
            taken(feed_fields.MachineAddress, m, page=addresses.crane(m), data=f"{BASE}machines/{m.id}.json")
            for m in data.machines.values()
        ],
    }


def _boom(boom: Boom) -> feed_fields.Boom:
    jibs = [
        taken(
            feed_fields.Jib,
            jib,
            offset_deg=_degrees(jib.offset),
            boom_angle_deg=_degrees(jib.boom_angle),
            least_angle_deg=_degrees(jib.least_angle),
            reeving=taken(feed_fields.Reeving, jib.reeving),
        )
        for jib in boom.jibs
    ]
    return _present(taken(feed_fields.Boom, boom, least_angle_deg=_degrees(boom.least_angle), jibs=jibs or None))


def _degrees(angle: float | None) -> float | None:
    return None if angle is None else round(degrees(angle), 6)


def _present(found: Facts) -> Facts:
    """The same without a jib where there is none: crane files from before there were jibs stay as they are."""
    return cast(Facts, {name: value for name, value in found.items() if name not in ("jib", "jibs") or value})


def one_machine(machine: Machine, made: list[Planned]) -> feed_fields.MachineFacts:
    """One crane: facts in SI and its plans."""
    boom = machine.boom
    return taken(
        feed_fields.MachineFacts,
        machine,
        schema=1,
        approval=taken(feed_fields.Approval, machine.approval) if machine.approval else None,
        source=machine.source_title,
        source_pages=dict(machine.source_pages),
        rope=taken(feed_fields.Rope, machine.rope, mass_kg_per_m=machine.rope.mass_per_length),
        drum=taken(feed_fields.Drum, machine.drum),
        winch=taken(feed_fields.Winch, machine.winch),
        reeving=taken(feed_fields.Reeving, machine.reeving),
        blocks=[taken(feed_fields.Block, one, falls=[one.least_falls, one.most_falls]) for one in machine.blocks],
        boom=_boom(boom),
        configurations=[
            _present(
                taken(
                    feed_fields.Configuration,
                    one,
                    charts=[taken(feed_fields.Chart, chart, boom=chart.slug) for chart in one.charts],
                )
            )
            for one in machine.configurations
        ],
        overrides=[taken(feed_fields.Override, one) for one in machine.overrides],
        plans=[
            {
                "configuration": one.case.configuration.id,
                "boom": one.case.chart.slug,
                "refused": one.plan["refused"] is not None,
                "page": one.address,
                "data": plans.feed_address(machine, one.case.configuration.id, one.case.chart.slug),
            }
            for one in made
        ],
    )


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
                "sources": [taken(feed_fields.Source, source) for source in v.sources],
                "change": v.change,
                "changed_values": [taken(feed_fields.ChangedValue, one) for one in rulebook.changes(found, v)],
                "withdrawn": v.withdrawn,
                "replaced_by": v.replaced_by,
                "page": addresses.rule(found.id, v.from_day),
            }
            for v in found.versions
        ],
    }
