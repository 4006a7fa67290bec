"""The feed under data/v1/: every file against the schema it names, every field described, the page that explains it.

Expected values of the worked example are the plan's own formulas (guidance, formulas and assumptions) put together by
hand; what the page shows is compared with the feed, and with a program that runs.
"""

from __future__ import annotations

import dataclasses
import json
import math
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import urljoin

import jsonschema
import pytest
from conftest import DATA, DAY, ROOT

from calc import rounding
from calc.data import look_up, model, schema
from calc.drum_log import readiness, state
from calc.inspection import fitness, new_rope, shortening
from calc.winding import plan_data
from hooks.feed import data_page, recompute
from hooks.feed.feed import one_machine

NAMES = (
    "machines", "fleet", "machine", "rules", "upkeep", "row", "lifts", "plan", "state", "work", "fitness", "shortening",
    "new-rope",
)  # fmt: skip

# Unit at the end of a field's name -> unit at the end of its description.
UNITS = {
    "_m": "m",
    "_kg": "kg",
    "_n": "N",
    "_w": "W",
    "_s": "s",
    "_deg": "deg",
    "_kg_per_m": "kg/m",
    "_m_per_s": "m/s",
    "_rad_per_s": "rad/s",
    "_n_per_m2": "N/m2",
    "minutes": "min",
    "metres": "m",
}


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def feed(built: Path) -> dict[str, Any]:
    """Every file of the feed but the schemas, by its address below data/v1/."""
    base = built / "data/v1"
    found = {path.relative_to(base).as_posix(): read(path) for path in sorted(base.rglob("*.json"))}
    return {address: content for address, content in found.items() if not address.startswith("schema/")}


def fields(node: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every field of a schema with its own schema, definitions included."""
    for name, part in node.get("properties", {}).items():
        yield f"{path}.{name}", part
        yield from fields(part, f"{path}.{name}")
    inner = [node.get("items"), node.get("additionalProperties"), *node.get("prefixItems", ()), *node.get("anyOf", ())]
    for part in inner:
        if isinstance(part, dict):
            yield from fields(part, path)
    for name, part in node.get("$defs", {}).items():
        yield from fields(part, f"#{name}")


def objects(node: Any) -> Iterator[dict[str, Any]]:
    """Every object inside a schema."""
    if isinstance(node, dict):
        if node.get("type") == "object":
            yield node
        node = list(node.values())
    for part in node if isinstance(node, list) else ():
        yield from objects(part)


# Name in the model -> name in the feed, where a unit at the end does not make the difference.
RENAMED = {
    "source_title": "source",
    "mass_per_length": "mass_kg_per_m",
    "slug": "boom",
    "least_falls": "falls",  # one list of both
    "most_falls": "falls",
}
LEFT_OUT = {  # field of the model -> why the file of a crane has no such field
    "answers": "an engineer's words on findings; the pages of the crane quote them",
    "findings": "what the check finds in the data, no data; how many are open stands in fleet.json",
}


def told_of(found: Any, feed: Mapping[str, Any], path: str = "") -> Iterator[str]:
    """Every field of the model of a crane that the feed does not hold, or not as it is."""
    for one in dataclasses.fields(found):
        value, here = getattr(found, one.name), f"{path}.{one.name}"
        known = (one.name, RENAMED.get(one.name))
        names = [name for name in feed if name in known or (name.startswith(f"{one.name}_") and unit_of(name))]
        if one.name in LEFT_OUT:
            continue
        if here in (".boom.jibs", ".configurations.jib") and not value:  # as before there were jibs
            if names:
                yield f"{here}: {names} without a jib"
            continue
        if len(names) != 1:
            yield f"{here}: {names}"
        else:
            yield from differing(value, feed[names[0]], here)


def differing(value: Any, told: Any, here: str) -> Iterator[str]:
    if here in (".blocks.least_falls", ".blocks.most_falls"):
        told = told["least" not in here]
    if dataclasses.is_dataclass(value):
        yield from told_of(value, told, here)
    elif isinstance(value, tuple) and value and dataclasses.is_dataclass(value[0]):
        for one, by_feed in zip(value, told, strict=True):
            yield from told_of(one, by_feed, here)
    elif (math.radians(told) if here.endswith(("_angle", ".offset")) and told is not None else told) != (
        pytest.approx(value) if isinstance(value, float) else json.loads(json.dumps(value, default=dict))
    ):
        yield f"{here}: {told} is not {value}"


@pytest.mark.parametrize("machine", DATA.machines.values(), ids=lambda machine: str(machine.id))
def test_the_file_of_a_crane_holds_every_field_of_the_model(machine: model.Machine) -> None:
    certified = replace(machine.rope, outer_strands=16, outer_wires=112, seale=False, lay="lang", lay_direction="left")
    answered = model.Override("dead-wraps", "wraps", "4", 4.0, "2-4", "the manual asks for more")
    whole = replace(
        machine,
        rope=certified,
        drum=replace(machine.drum, hand="right", first_sheave=6.5),
        overrides=(answered,),
        approval=model.Approval("A. Reviewer", "2026-11-02", "1-20"),
        change="Hook block weighed.",
    )
    for each in (machine, whole):
        assert not list(told_of(each, one_machine(each, [])))


def test_the_feed_is_whole(feed: dict[str, Any]) -> None:
    wanted = {"machines.json", "rules.json", "fleet.json", *(f"machines/{id}.json" for id in DATA.machines)}
    for machine in DATA.machines.values():
        seen: set[str] = set()
        for configuration in machine.configurations:
            for chart in configuration.charts:
                other = f".{configuration.id}" if chart.slug in seen else ""
                wanted.add(f"plans/{machine.id}/{chart.slug}{other}.json")
                seen.add(chart.slug)
        wanted |= {f"work/{machine.id}.json", *(f"ready/{machine.id}/{boom}.json" for boom in seen)}
    wanted |= {f"fitness/{machine}.json" for machine in DATA.machines}
    wanted |= {f"{name}/{machine}.json" for name in ("shortening", "new-rope") for machine in DATA.machines}
    wanted |= {f"{name}/{machine}.json" for name in ("state", "upkeep") for machine in DATA.upkeep}
    wanted |= {f"state/{machine}/plan.json" for machine in DATA.upkeep if feed[f"machines/{machine}.json"]["drum_plan"]}
    assert set(feed) == wanted


def test_every_file_matches_the_schema_it_names(built: Path, feed: dict[str, Any]) -> None:
    checked: set[str] = set()
    for address, content in feed.items():
        named = urljoin(f"data/v1/{address}", content["$schema"])
        assert re.fullmatch(r"data/v1/schema/[a-z-]+\.schema\.json", named), address
        jsonschema.Draft202012Validator(read(built / named)).validate(content)
        checked.add(named.rpartition("/")[2])
    checked.add("row.schema.json")  # of the tables for a spreadsheet: test_upkeep_pages.py
    assert checked == {f"{name}.schema.json" for name in NAMES}
    assert checked == {path.name for path in (built / "data/v1/schema").iterdir()}


def test_a_plan_of_the_feed_is_what_the_command_line_prints(feed: dict[str, Any]) -> None:
    for address, content in feed.items():
        if address.startswith("plans/"):
            case = look_up.case(DATA, content["machine"], content["boom"], content["configuration"], DAY)
            plan = plan_data.plan(case)
            assert content == {"$schema": "../../schema/plan.schema.json", **plan}, address


def test_the_ropes_of_the_feed_are_what_the_command_line_prints(feed: dict[str, Any]) -> None:
    for machine in DATA.machines:
        told = feed[f"fitness/{machine}.json"]
        assert told == {"$schema": "../schema/fitness.schema.json", **fitness.fitness(DATA, machine, DAY)}
        assert feed[f"machines/{machine}.json"]["fitness"] == f"data/v1/fitness/{machine}.json"


def test_the_drums_of_the_feed_are_what_the_command_line_prints(feed: dict[str, Any]) -> None:
    for machine in DATA.machines.values():
        told = feed[f"state/{machine.id}.json"]
        assert told == {"$schema": "../schema/state.schema.json", **state.state(DATA, machine.id, DAY)}
        assert told["log"] == [
            {name: entry[name] for name in ("entry", "day", "kind", "note")} | {"least_rope_m": again["least_rope_m"]}
            for entry, again in zip(feed[f"upkeep/{machine.id}.json"]["log"], told["log"], strict=True)
        ]
        for entry in feed[f"upkeep/{machine.id}.json"]["log"]:
            about = {"entry", "day", "until", "kind", "note", "rope_length_m"}
            assert entry.keys() - about == {entry["kind"].replace("-", "_")}
        cut = shortening.shortening(DATA, machine.id, DAY)
        assert feed[f"shortening/{machine.id}.json"] == {"$schema": "../schema/shortening.schema.json", **cut}
        order = new_rope.order(DATA, machine.id, DAY)
        assert feed[f"new-rope/{machine.id}.json"] == {"$schema": "../schema/new-rope.schema.json", **order}
    for address, content in feed.items():
        if address.startswith("ready/"):
            case = look_up.case(DATA, content["machine"], content["boom"], content["configuration"], DAY)
            loads = [lift["load_kg"] for lift in content["lifts"]]
            assert 6 <= len(loads) <= 10 and loads == sorted(loads), address
            assert content["lifts"][-1] == readiness.readiness(DATA, case, loads[-1]), address


def test_the_plan_of_a_drum_is_what_its_state_names(feed: dict[str, Any]) -> None:
    """Made anew from what the state prints: crane, boom, configuration, rope length, rope known to lie firm."""
    for machine in DATA.upkeep:
        found, about = feed[f"state/{machine}.json"], feed[f"machines/{machine}.json"]
        case = state.plan_case(DATA, found)
        if about["drum_plan"] is None:
            if case is not None:  # then a standing plan asks the same of the crew
                asked = found["plan"]["boom"], found["plan"]["configuration"]
                name = next(one["data"] for one in about["plans"] if (one["boom"], one["configuration"]) == asked)
                standing, plan = feed[name.removeprefix("data/v1/")], plan_data.plan(case)
                assert all(plan[part] == standing[part] for part in ("load", "stops", "methods")), machine
            continue
        assert case is not None and case.firm_below == found["plan"]["firm_below_m"]
        plan = feed[f"state/{machine}/plan.json"]
        assert plan == {"$schema": "../../schema/plan.schema.json", **plan_data.plan(case)}, machine
        assert plan["falls"]["used"] == found["plan"]["falls"]
    assert any(feed[f"machines/{machine}.json"]["drum_plan"] for machine in DATA.upkeep)


def test_every_address_in_the_feed_is_there(built: Path, feed: dict[str, Any]) -> None:
    listed = list(feed["machines.json"]["machines"])
    assert [m["id"] for m in listed] == list(DATA.machines)
    for machine in DATA.machines:
        about = feed[f"machines/{machine}.json"]
        listed += about["plans"]
        of_the_drum = [about["work"], about["upkeep"], about["state"], *(one["data"] for one in about["ready"])]
        of_the_drum += filter(None, [about["drum_plan"]])
        assert {address.removeprefix("data/v1/") for address in of_the_drum} <= set(feed)
    for rule in feed["rules.json"]["rules"]:
        listed += [rule, *rule["versions"]]
    for entry in listed:
        assert (built / entry["page"] / "index.html").is_file(), entry
        assert "data" not in entry or entry["data"].removeprefix("data/v1/") in feed, entry


@pytest.mark.parametrize("name", NAMES)
def test_schema_is_closed_and_every_field_described_with_its_unit(built: Path, name: str) -> None:
    whole = read(built / f"data/v1/schema/{name}.schema.json")
    jsonschema.Draft202012Validator.check_schema(whole)
    for node in objects(whole):
        # a list by name may hold any name, but what stands under it is closed as well
        assert node.get("additionalProperties") is False or node.get("propertyNames"), node
    for path, node in fields(whole):
        assert node.get("description"), f"{name}{path}"
        unit = unit_of(path.rpartition(".")[2])
        number = is_number(node)
        if unit and number:
            assert node["description"].endswith(f"[{unit}]"), f"{name}{path}: {node['description']}"
        elif number:
            pair = r"\[m\] and .*\[(m|kg)\]"
            assert re.search(rf"\[(-|SI)\]$|{pair}", node["description"]), f"{name}{path}: {node['description']}"
        else:
            assert not re.search(r"\[\S+\]$", node["description"]), f"{name}{path}: {node['description']}"


def unit_of(field: str) -> str | None:
    """The unit a field carries in its name; the longest ending counts."""
    ends = sorted((end for end in UNITS if field.endswith(end)), key=len)
    return UNITS[ends[-1]] if ends else None


def is_number(node: dict[str, Any]) -> bool:
    """Whether a field holds a number, a pair of numbers or rows of numbers, null aside."""
    kinds = {node["type"]} if isinstance(node.get("type"), str) else set(node.get("type", ()))
    inner = [node.get("items"), *node.get("prefixItems", ()), *node.get("anyOf", ())]
    if kinds <= {"array", "null"} and any(isinstance(part, dict) and is_number(part) for part in inner):
        return True
    return bool(kinds & {"number", "integer"}) and not kinds & {"string", "boolean"}


def test_facts_of_the_feed_are_the_facts_of_the_rules() -> None:
    version = read(ROOT / "hooks/schema/rules.schema.json")["properties"]["rules"]["items"]["properties"]["versions"]
    known = schema.schema("rule")["properties"]["versions"]["items"]["properties"]["applies"]["properties"]
    applies = version["items"]["properties"]["applies"]
    assert applies["propertyNames"]["enum"] == list(known)
    conditions = {name for fact in known.values() for name in fact["properties"]}
    assert set(applies["additionalProperties"]["properties"]) == conditions


class Codes(HTMLParser):
    """Text of every element with an id, and the whole text of a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.by_id: dict[str, str] = {}
        self.text = ""
        self.links: list[str] = []
        self._open: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        if tag == "code":
            self._open.append(found.get("id") or "")
        if tag == "a":
            self.links.append(found.get("href") or "")

    def handle_endtag(self, tag: str) -> None:
        if tag == "code":
            self._open.pop()

    def handle_data(self, data: str) -> None:
        self.text += data
        if self._open and self._open[-1]:
            self.by_id[self._open[-1]] = self.by_id.get(self._open[-1], "") + data


@pytest.fixture(scope="module")
def page(built: Path) -> Codes:
    return Codes((built / "data/index.html").read_text(encoding="utf-8"))


def example(page: Codes) -> str:
    """Address of the plan file of the worked example, below data/v1/."""
    return next(link for link in page.links if "v1/plans/" in link).partition("v1/")[2]


def test_the_program_of_the_page_runs_and_prints_what_the_page_shows(
    built: Path, page: Codes, feed: dict[str, Any], tmp_path: Path
) -> None:
    program = tmp_path / "recompute.py"
    program.write_text(page.by_id["recompute"], encoding="utf-8")
    file = built / "data/v1" / example(page)
    done = subprocess.run([sys.executable, "-I", program, file], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == page.by_id["recomputed"].strip()
    printed = dict(line.removesuffix(" m").split(" = ") for line in done.stdout.splitlines())
    stops = feed[example(page)]["stops"]
    assert float(printed["on_drum"]) == pytest.approx(stops["rope_at_start_m"], abs=1e-4)
    assert float(printed["h_stop"]) == pytest.approx(stops["hook_height_m"], abs=1e-4)
    shown = rounding.length(stops["hook_height_m"], "up")
    assert f"The plan page shows {shown.metric}" in page.text and shown.us in page.text
    for letter, metres in printed.items():
        assert page.text.count(metres) >= 2, f"{letter} stands among the steps and in the output"


def test_every_plan_can_be_computed_again_from_its_file(feed: dict[str, Any]) -> None:
    """Rope on the drum and stop height at the start, with plain formulas and nothing but the file."""
    count = 0
    for address, plan in feed.items():
        if address.startswith("plans/") and plan["refused"] is None:
            found = recompute.recompute(plan)
            assert found["on_drum"] == pytest.approx(plan["stops"]["rope_at_start_m"], abs=2e-5), address
            assert found["h_stop"] == pytest.approx(plan["stops"]["hook_height_m"], abs=2e-5), address
            count += 1
    assert count > 20


def test_the_page_holds_every_field_of_every_schema(built: Path, page: Codes) -> None:
    for name in NAMES:
        listed = list(data_page.fields(name))
        names = {path.rpartition(".")[2] for path, _ in fields(read(built / f"data/v1/schema/{name}.schema.json"))}
        assert {field.path.rpartition(".")[2] for field in listed} == names
        assert len({field.path for field in listed}) == len(listed)
        for field in listed:
            assert field.path in page.text and field.text in page.text, f"{name}: {field.path}"


def test_the_page_is_found_from_start_machines_and_guidance(built: Path) -> None:
    for address in ("", "machines/heron/", "guidance/"):
        links = Codes((built / address / "index.html").read_text(encoding="utf-8")).links
        assert "data/" in [urljoin(f"/{address}", link).lstrip("/") for link in links], address
