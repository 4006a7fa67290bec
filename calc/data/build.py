"""Model objects from checked data whose quantities are SI floats already."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import hypot
from typing import Any

from calc.data import model, schema, units

_Data = Mapping[str, Any]


def slug(boom_length: str) -> str:
    """A `boom_length` as written, as part of an address, in the unit of the data.

    >>> slug("54 m"), slug("24.50 m"), slug("120 ft")
    ('54m', '24-5m', '120ft')
    """
    number, unit = units.split(boom_length)
    text = format(number, "f")
    return (text.rstrip("0").rstrip(".") if "." in text else text).replace(".", "-") + unit


def machine(raw: _Data, profile: model.Profile) -> model.Machine:
    """One machine; `raw` as in the file.  The `profile` of the site says what the file leaves out."""
    data = {"rulebook": profile.rulebook, "units": profile.units} | schema.to_si(schema.schema("machine"), raw)
    return model.Machine(
        **{name: data[name] for name in ("id", "name", "kind", "capacity_class", "status", "revision", "rulebook")},
        **{name: data[name] for name in ("yard", "units", "description")},
        source_title=data["source"]["title"],
        source_pages=data["source"]["pages"],
        rope=_rope(data["rope"]),
        drum=_drum(data["drum"]),
        winch=_winch(data["winch"]),
        reeving=model.Reeving(**data["reeving"]),
        blocks=tuple(_block(block) for block in data["blocks"]),
        boom=_boom(data["boom"]),
        configurations=tuple(
            _configuration(si, written)
            for si, written in zip(data["configurations"], raw["configurations"], strict=True)
        ),
        overrides=tuple(_override(entry) for entry in raw.get("overrides", ())),
        approval=model.Approval(**raw["approval"]) if "approval" in raw else None,
        change=data.get("change"),
    )


def _rope(data: _Data) -> model.Rope:
    rest = {name: value for name, value in data.items() if name != "mass"}
    return model.Rope(mass_per_length=data["mass"], **rest)


def _drum(data: _Data) -> model.Drum:
    rest = {name: value for name, value in data.items() if name != "wraps"}
    wraps = data["wraps"]
    return model.Drum(wraps_odd_layers=wraps["odd_layers"], wraps_even_layers=wraps["even_layers"], **rest)


def _winch(data: _Data) -> model.Winch:
    rest = {name: value for name, value in data.items() if name != "drag"}
    return model.Winch(drag=data.get("drag"), **rest)


def _block(data: _Data) -> model.Block:
    least, most = data["falls"]
    return model.Block(data["id"], data["mass"], data["height"], least, most, data["capacity"])


def _boom(data: _Data) -> model.Boom:
    pivot, path = data["pivot"], data["rope_path"]
    return model.Boom(
        pivot_forward=pivot.get("forward_of_slew_axis", 0.0) - pivot.get("behind_slew_axis", 0.0),
        pivot_height=pivot["above_ground"],
        winch_height=data["winch_height"],
        rope_path_extra=path.get("longer_than_boom", 0.0) - path.get("shorter_than_boom", 0.0),
        luffing=data["luffing_per_minute"] / 60,
        telescoping=data.get("telescoping"),
        clear_radius=data.get("clear_radius"),
        least_angle=data["least_angle"],
        load_return=data["load_return"],
    )


def configuration(raw: _Data) -> model.Configuration:
    """One configuration of a machine; `raw` as in the file."""
    node = schema.schema("machine")["properties"]["configurations"]["items"]
    return _configuration(schema.to_si(node, raw), raw)


def boom(raw: _Data) -> model.Boom:
    """The boom of a machine; `raw` as in the file."""
    return _boom(schema.to_si(schema.schema("machine")["properties"]["boom"], raw))


def _configuration(si: _Data, written: _Data) -> model.Configuration:
    charts = tuple(
        model.Chart(
            boom_length=chart["boom_length"],
            slug=slug(text["boom_length"]),
            rows=tuple((radius, capacity) for radius, capacity in chart["rows"]),
            telescoping=chart.get("telescoping"),
        )
        for chart, text in zip(si["charts"], written["charts"], strict=True)
    )
    return model.Configuration(si["id"], si["name"], charts)


def _override(data: _Data) -> model.Override:
    rest = {name: value for name, value in data.items() if name != "quantity"}
    text = str(data["quantity"])
    return model.Override(text=text, quantity=schema.value_si(data["value"], data["quantity"]), **rest)


def yard(raw: _Data) -> model.Yard:
    """One yard; `raw` as in the file."""
    data = schema.to_si(schema.schema("yard"), raw)
    room = data["load"]
    return model.Yard(
        id=data["id"],
        name=data["name"],
        weights=tuple(_weight(weight) for weight in data["weights"]),
        slings=model.Sling(**data["slings"]),
        extensions=tuple(model.Sling(**sling) for sling in data.get("extensions", ())),
        load_height=room["height"],
        load_length=room["length"],
        load_width=room["width"],
        working_radius=data.get("working_radius"),
    )


def _weight(data: _Data) -> model.Weight:
    rest = {name: value for name, value in data.items() if name != "lifting_points"}
    points = data.get("lifting_points")
    return model.Weight(**rest, lifting_points=points and (points["height"], hypot(points["length"], points["width"])))


def rule(raw: _Data) -> model.Rule:
    """One rule; `raw` as in the file."""
    data = schema.to_si(schema.schema("rule"), raw)
    versions = tuple(_version(si, text) for si, text in zip(data["versions"], raw["versions"], strict=True))
    return model.Rule(data["id"], data["code"], data["title"], data["topic"], versions)


def _version(si: _Data, written: _Data) -> model.RuleVersion:
    return model.RuleVersion(
        from_day=si["from"],
        statement=si["statement"],
        values=si["values"],
        texts={name: str(quantity) for name, quantity in written["values"].items()},
        informative=frozenset(si.get("informative", ())),
        applies=si["applies"],
        reason=si["reason"],
        cautions=tuple(si.get("cautions", ())),
        sources=tuple(_source(source) for source in si["sources"]),
        change=si["change"],
        withdrawn=si.get("withdrawn", False),
        replaced_by=si.get("replaced_by"),
        announced=si.get("announced"),
    )


_DONE: Mapping[str, type[Any]] = {
    "new_rope": model.NewRope,
    "pre_tensioning": model.PreTensioning,
    "work": model.Work,
    "re_reeving": model.ReReeving,
    "unwinding": model.Unwinding,
    "jump": model.Jump,
    "shortening": model.Shortening,
}


def upkeep(raw: _Data) -> model.Upkeep:
    """The log of one rope and its readings; `raw` as in the file."""
    data = schema.to_si(schema.schema("upkeep"), raw)
    readings = tuple(_inspection(entry) for entry in data.get("readings", ()))
    return model.Upkeep(data["id"], tuple(_entry(entry) for entry in data["log"]), readings)


def _entry(data: _Data) -> model.Entry:
    kind = next(name for name in _DONE if name in data)
    given = {name: tuple(value) if isinstance(value, list) else value for name, value in data[kind].items()}
    if kind == "pre_tensioning":
        started = given["boom_length"]
        given["boom_length"] = (started, given.pop("telescoped_to", started))
    if kind == "work" and isinstance(given["radius"], tuple):
        given["radius"], given["largest_radius"] = given["radius"]
    return model.Entry(data["day"], _DONE[kind](**given), data.get("note", ""), data.get("until"))


def _inspection(data: _Data) -> model.Inspection:
    return model.Inspection(
        day=data["day"],
        by=data["by"],
        kind=data["kind"],
        places=tuple(_place(place) for place in data["places"]),
        reference_diameter=_pair(data.get("reference_diameter")),
        note=data.get("note", ""),
    )


def _place(data: _Data) -> model.Place:
    ends = [(end, data[f"from_{end}"]) for end in ("drum", "hook") if f"from_{end}" in data]
    return model.Place(
        kind=data["place"],
        position=ends[0] if ends else None,
        broken_wires=data.get("broken_wires"),
        diameter=_pair(data.get("diameter")),
        waviness=data.get("waviness"),
        seen=tuple(data["seen"]) if "seen" in data else None,
    )


def _pair(found: Any) -> tuple[float, float] | None:
    return None if found is None else (found[0], found[1])


def table(raw: _Data) -> model.RopeTable:
    """One table the inspection of ropes rests on; `raw` as in the file."""
    data = schema.to_si(schema.schema("table"), raw)
    versions = tuple(
        model.TableVersion(
            version["from"],
            next(_CONTENTS[name](version[name]) for name in _CONTENTS if name in version),
            tuple(_source(source) for source in version.get("sources", ())),
            version["change"],
        )
        for version in data["versions"]
    )
    return model.RopeTable(data["id"], data["title"], versions)


def _source(data: _Data) -> model.Source:
    return model.Source(data["kind"], data["citation"], data.get("clause"), data["read"])


def _broken_wires(data: _Data) -> model.BrokenWires:
    return model.BrokenWires(tuple(_copy(copy) for copy in data["copies"]), data.get("seale_rows_up", 0))


def _copy(data: _Data) -> model.Copy:
    above = (_row(data["above"], shares=True),) if "above" in data else ()
    return model.Copy(_source(data), (*(_row(row) for row in data["rows"]), *above))


def _row(data: _Data, shares: bool = False) -> model.BrokenWiresRow:
    return model.BrokenWiresRow(
        name=data["row"],
        wires=(data["from"], data.get("to")),
        strands=(data.get("strands_from", 1), data.get("strands_to")),
        counts={name: (value[0], value[1]) for name, value in data.items() if isinstance(value, list)},
        shares=shares,
    )


def _bands(data: _Data) -> dict[str, model.Bands]:
    source = _source(data)
    return {
        ropes["rope"]: model.Bands({name: start for name, start in ropes.items() if name != "rope"}, source)
        for ropes in data["ropes"]
    }


def _constructions(data: list[_Data]) -> dict[str, model.Construction]:
    return {
        one["construction"]: model.Construction(
            one["construction"],
            one["core"],
            one["rotation_resistant"],
            one["outer_strands"],
            tuple(model.OuterWires(**wires) for wires in one["outer_wires"]),
            one["seale"],
        )
        for one in data
    }


def _criteria(data: list[_Data]) -> dict[str, model.Criterion]:
    return {
        one["criterion"]: model.Criterion(one["criterion"], one["group"], _verdict(one, "iso"), _verdict(one, "us"))
        for one in data
    }


def _verdict(data: _Data, regime: str) -> model.Verdict | None:
    return model.Verdict(**data[regime]) if regime in data else None


_CONTENTS: Mapping[str, Callable[[Any], Any]] = {
    "broken_wires": _broken_wires,
    "diameter_bands": _bands,
    "constructions": _constructions,
    "criteria": _criteria,
}
