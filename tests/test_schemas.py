"""The JSON Schemas as they stand in their files: what the declared fields say."""

import json
from dataclasses import dataclass
from typing import Annotated, Any, Literal, NotRequired, TypedDict

import jsonschema
import pytest
from conftest import ROOT

from calc.data.declared import LEFT_OUT, Asks, At, Fields, Id, Length, Named, asked
from calc.fields import Count, InOrder, Is, Pair, Share, Two
from hooks.building import schemas

WRITTEN = schemas.texts()


@pytest.mark.parametrize("path", WRITTEN)
def test_the_file_is_what_the_fields_say(path: str) -> None:
    assert (ROOT / path).read_text(encoding="utf-8") == WRITTEN[path], "after a change: make schemas"


def test_every_schema_is_written_from_fields() -> None:
    found = {str(path.relative_to(ROOT)) for name in ("rules", "hooks") for path in (ROOT / name / "schema").iterdir()}
    assert found == {*WRITTEN, "rules/schema/pages.json"}


def test_check_mode_names_what_is_stale(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(schemas, "ROOT", tmp_path)
    path, text = next(iter(WRITTEN.items()))
    monkeypatch.setattr(schemas, "texts", lambda: {path: text})
    place = tmp_path / path
    place.parent.mkdir(parents=True)
    place.write_text("{}\n", encoding="utf-8")
    assert schemas.main(["--check"]) == 1 and place.read_text(encoding="utf-8") == "{}\n"
    assert capsys.readouterr().out == "rules/schema/plan.schema.json\n"
    assert schemas.main([]) == 0 and schemas.main(["--check"]) == 0
    assert place.read_text(encoding="utf-8") == text


class Inner(TypedDict):
    """One block inside another."""

    share: Annotated[Share, "share [-]"]


class Outer(TypedDict):
    """One of each kind of field."""

    ends: Annotated[Pair[Count], "from, to [-]"]
    both: Annotated[Two[float] | None, "two readings [m]"]
    kind: Annotated[Literal["a", "b"] | None, "kind; null for neither"]
    inner: NotRequired[Annotated[Inner, "block"]]
    rows: Annotated[list[Inner], "blocks", Is(minItems=1)]
    either: Annotated[list[Inner | None], "first a block, then one or none", InOrder(Inner, Inner | None)]


# By hand, as https://json-schema.org/draft/2020-12 has it.
INNER = {
    "type": "object",
    "properties": {"share": {"description": "share [-]", "type": "number", "minimum": 0, "maximum": 1}},
    "required": ["share"],
    "additionalProperties": False,
}
COUNT = {"type": "integer", "minimum": 0}
TWO = {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}
REF = {"$ref": "#/$defs/inner"}
OUTER = {
    "type": "object",
    "properties": {
        "ends": {
            "description": "from, to [-]",
            "type": "array",
            "prefixItems": [COUNT, COUNT],
            "items": False,
            "minItems": 2,
        },
        "both": {
            "description": "two readings; null where it does not apply or is not known [m]",
            "anyOf": [TWO, {"type": "null"}],
        },
        "kind": {"description": "kind; null for neither", "anyOf": [{"enum": ["a", "b"]}, {"type": "null"}]},
        "inner": {"description": "block", **REF},
        "rows": {"description": "blocks", "type": "array", "items": REF, "minItems": 1},
        "either": {
            "description": "first a block, then one or none",
            "type": "array",
            "prefixItems": [REF, {"anyOf": [REF, {"type": "null"}]}],
            "items": False,
            "minItems": 2,
        },
    },
    "required": ["ends", "both", "kind", "rows", "either"],
    "additionalProperties": False,
}


def test_every_kind_of_field_is_written_as_json_schema_has_it() -> None:
    refs = {Inner: "#/$defs/inner"}
    assert json.dumps(schemas.written(Outer, refs)) == json.dumps(OUTER)
    assert json.dumps(schemas.written(Inner, refs)) == json.dumps(INNER)
    jsonschema.Draft202012Validator.check_schema(OUTER)


@dataclass(frozen=True)
class Wheel:
    """One of each kind of field of a data file."""

    name: Annotated[Id, "name"]
    size: Annotated[Length, At("tyre", "size", block="tyre"), "size", Is(most="5 m"), asked("2 m", "Plate")]
    offset: Annotated[float, At("hub", block="hub"), Fields(one=True, ahead=Length, behind=Length)]
    hand: Annotated[Literal["left"], "hand"]
    asks: Annotated[dict[str, Any], "asks", Named(number=Annotated[int | None, "number", Asks(int)])]
    values: Annotated[dict[str, float], "values", Named(a=Annotated[Length, "a"], others=Length, names=Id)]
    rows: Annotated[tuple[Annotated[tuple[Length, Id], "row"], ...], "rows", Is(minItems=2), LEFT_OUT]
    both: Annotated[tuple[Length, Length] | None, "both"]
    many: Annotated[frozenset[Id], "many"] = frozenset()
    derived: str = ""


# By hand, as the check reads it: the keywords of calc/data/schema.py beside those of JSON Schema.
LENGTH = {"$ref": "quantities.schema.json#/$defs/length"}
ID = {"$ref": "quantities.schema.json#/$defs/id"}
SIZE = {**LENGTH, "description": "size", "most": "5 m", "examples": ["2 m"], "found": "Plate"}
WHOLE = {"type": "integer"}
SEVERAL = {"description": "Any of these", "type": "array", "items": WHOLE, "minItems": 1}
BOUNDS = ("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum")


def closed(properties: dict[str, Any], *required: str) -> dict[str, Any]:
    return {"type": "object", "properties": properties, "required": list(required), "additionalProperties": False}


NUMBER = {
    "description": "number",
    **closed({"const": WHOLE, **dict.fromkeys(BOUNDS, WHOLE), "enum": SEVERAL}),
    "minProperties": 1,
}
WHEEL = closed(
    {
        "name": {**ID, "description": "name"},
        "tyre": {"description": "tyre", **closed({"size": SIZE}, "size")},
        "hub": {
            "description": "hub",
            **closed({"ahead": LENGTH, "behind": LENGTH}),
            "oneOf": [{"required": ["ahead"]}, {"required": ["behind"]}],
        },
        "hand": {"description": "hand", "enum": ["left"]},
        "asks": {"description": "asks", **closed({"number": NUMBER})},
        "values": {
            "description": "values",
            "type": "object",
            "properties": {"a": {**LENGTH, "description": "a"}},
            "additionalProperties": LENGTH,
            "propertyNames": ID,
        },
        "rows": {
            "description": "rows",
            "type": "array",
            "items": {
                "description": "row",
                "type": "array",
                "prefixItems": [LENGTH, ID],
                "minItems": 2,
                "maxItems": 2,
                "items": False,
            },
            "minItems": 2,
        },
        "both": {"description": "both", "type": "array", "items": LENGTH, "minItems": 2, "maxItems": 2},
        "many": {"description": "many", "type": "array", "items": ID},
    },
    "name", "tyre", "hub", "hand", "asks", "values",
)  # fmt: skip


def test_every_kind_of_field_of_a_data_file_is_written_as_the_check_reads_it() -> None:
    assert json.dumps(schemas.block(Wheel)) == json.dumps(WHEEL)
    jsonschema.Draft202012Validator.check_schema(WHEEL)
