"""The JSON Schemas as they stand in their files: what the declared fields say."""

import json
from typing import Annotated, Any, Literal, NotRequired, TypedDict

import jsonschema
import pytest
from conftest import ROOT

from calc.fields import Count, InOrder, Is, Pair, Share, Two
from hooks.building import schemas


@pytest.mark.parametrize("file", schemas.FILES, ids=lambda file: str(file.path))
def test_the_file_is_what_the_fields_say(file: schemas.File) -> None:
    assert (ROOT / file.path).read_text(encoding="utf-8") == schemas.text(file), "after a change: make schemas"


def test_check_mode_names_what_is_stale(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(schemas, "ROOT", tmp_path)
    monkeypatch.setattr(schemas, "FILES", schemas.FILES[:1])
    place = tmp_path / schemas.FILES[0].path
    place.parent.mkdir(parents=True)
    place.write_text("{}\n", encoding="utf-8")
    assert schemas.main(["--check"]) == 1 and place.read_text(encoding="utf-8") == "{}\n"
    assert capsys.readouterr().out == "rules/schema/plan.schema.json\n"
    assert schemas.main([]) == 0 and schemas.main(["--check"]) == 0
    assert place.read_text(encoding="utf-8") == schemas.text(schemas.FILES[0])


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
