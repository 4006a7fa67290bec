"""A crane in an afternoon: from an empty file and a capacity table to plans on the site, as a draft and approved."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from conftest import DAY, ROOT
from data_folder import edit

from calc.checks import loader
from calc.cli.commands import main
from calc.data import files, schema, units
from calc.data.model import PROFILES
from calc.intake import new_machine
from hooks.building import generated

FILE = "machines/osprey.yaml"
# A page of a printed chart, typed off: radii down, boom lengths across.
CHART = """radius (m),54 m (t),63 m (t)
10,92.8,
12,69,61.4
14,54.6,48.6
16,44.9,40
18,37.9,33.7
20,32.7,29.1
24,25.2,22.4
28,20.3,17.9
32,16.7,14.7
36,14.1,12.3
40,11.9,10.4
44,10.3,8.9
48,8.9,7.6
"""


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """One small crane worked by hand, the real rulebook and the real yard."""
    folder = Path(shutil.copytree(ROOT / "tests/cases/crane", tmp_path / "rules"))
    for path in ("machines", "upkeep"):
        (folder / path / "hand-telescopic.yaml").unlink()
    shutil.copy(ROOT / "rules/yards/skerry-point.yaml", folder / "yards")
    return folder


def leaves(node: dict[str, Any], path: tuple[str, ...] = ()) -> list[tuple[tuple[str, ...], dict[str, Any]]]:
    """Every field of a schema that holds a value, but for the charts, which come from a table."""
    items = node.get("items")
    inner = node if "properties" in node else items if isinstance(items, dict) and "properties" in items else None
    if inner is None:
        return [(path, node)]
    return [
        leaf
        for name, part in inner["properties"].items()
        if (*path, name) != ("configurations",)
        for leaf in leaves(part, (*path, name))
    ]


def filled(text: str) -> str:
    """An empty file with the example of every field in its place, as somebody would who reads the comments."""
    found: list[str] = []
    comment = ""
    for line in text.splitlines():
        if line.lstrip().startswith("#"):
            comment += f"{line.strip(' #')}\n"
        elif re.fullmatch(r" *(- )?\w+:", line) and (example := re.search(r"Example: (.*)", comment)):
            line += f" {example[1]}"
        if not line.lstrip().startswith("#"):
            comment = ""
        found.append(line)
    return "\n".join(found) + "\n"


# The empty file


def test_every_field_has_an_example_that_is_right_and_a_place_where_it_is_found() -> None:
    for path, node in leaves(schema.schema("machine")):
        where = ".".join(path)
        assert len(node["examples"]) == 1 and node["found"], where
        wrong = next(schema._Plain(node).iter_errors(node["examples"][0]), None)
        assert wrong is None, f"{where}: {wrong}"


@pytest.mark.parametrize("profile", PROFILES)
def test_the_empty_file_names_every_field_once_with_all_that_helps(profile: str) -> None:
    text = new_machine.text("osprey", DAY, PROFILES[profile])
    assert text.startswith("# yaml-language-server: $schema=../schema/machine.schema.json\n")
    said = " ".join(line.strip(" #") for line in text.splitlines())
    for path, node in leaves(schema.schema("machine")):
        assert re.search(rf"(?m)^[ #]*(- )?{path[-1]}:", text), path
        for part in (node["description"], new_machine.example(node), node["found"]):
            assert str(part) in said, (path, part)
        if "quantity" in node and node["quantity"] != "any":
            assert " ".join(units.FACTORS[node["quantity"]]) in said, path
    assert f"This site: {PROFILES[profile].rulebook}." in said and f"This site: {PROFILES[profile].units}." in said
    assert "safe" not in said.lower() and max(map(len, text.splitlines())) <= 120


def test_what_is_switched_off_stands_in_its_place(tmp_path: Path) -> None:
    """Every line switched on by taking the sign away: each field of the schema once, where the schema has it."""
    text = new_machine.text("osprey", DAY, PROFILES["iso"])
    path = tmp_path / "osprey.yaml"
    for inner in ("(?:# )?", ""):  # a line may be switched off inside a part that is
        text = re.sub(rf"(?m)^( *)# ( *{inner}(- )?[a-z_]+:)$", r"\1\2", text)
    path.write_text(text, encoding="utf-8")
    document = files.read(path, "osprey.yaml")
    assert {problem.text for problem in document.problems} == {files._REFUSED["null"]}
    found = {tuple(step for step in place if isinstance(step, str)) for place in document.lines}
    assert {place for place, _ in leaves(schema.schema("machine"))} <= found


def test_an_empty_file_is_written_once_and_lists_what_is_missing(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call = ["new", "machine", "osprey", "--data", str(rules), "--day", DAY]
    assert main(call) == 0
    text = (rules / FILE).read_text(encoding="utf-8")
    assert text == new_machine.text("osprey", DAY, PROFILES["iso"])
    edit(rules, FILE, "name:", "name: Osprey")
    kept = (rules / FILE).read_bytes()
    assert main(call) == 2
    assert capsys.readouterr().err == (
        f"python -m calc: {rules / FILE} is there already and stays as it is; choose another id\n"
    )
    assert (rules / FILE).read_bytes() == kept
    with pytest.raises(files.Errors) as caught:
        loader.load(rules)
    places = {problem.where for problem in caught.value.problems}
    assert {"kind", "rope.diameter", "blocks.mass", "boom.pivot.above_ground", "configurations"} <= places
    assert all("the value is empty" in problem.text for problem in caught.value.problems)


@pytest.mark.parametrize(
    ("id", "said"),
    [
        ("Osprey 2", "'Osprey 2' is not written as it must be; write small letters and digits"),
        ("../osprey", "'../osprey' is not written as it must be; write small letters and digits"),
    ],
)
def test_an_id_that_cannot_be_one(rules: Path, capsys: pytest.CaptureFixture[str], id: str, said: str) -> None:
    assert main(["new", "machine", id, "--data", str(rules)]) == 2
    assert said in capsys.readouterr().err
    assert [path.name for path in (rules / "machines").iterdir()] == ["hand-lattice.yaml"]


def test_a_data_folder_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "machine", "osprey", "--data", str(tmp_path / "none")]) == 2
    assert capsys.readouterr().err.endswith(f"there is no folder {tmp_path / 'none/machines'}; see --data\n")


# The afternoon


@pytest.fixture
def osprey(rules: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """The data folder with a crane from an empty file, its examples filled in, and a table."""
    assert main(["new", "machine", "osprey", "--data", str(rules), "--day", DAY]) == 0
    place = rules / FILE
    place.write_text(filled(place.read_text(encoding="utf-8")), encoding="utf-8")
    table = rules.parent / "chart.csv"
    table.write_text(CHART, encoding="utf-8")
    capsys.readouterr()
    call = ["chart", str(table), "--machine", "osprey", "--configuration", "full-counterweight"]
    assert main([*call, "--data", str(rules)]) == 0
    shown = capsys.readouterr()
    assert shown.err == ""
    with place.open("a", encoding="utf-8") as file:
        file.write(shown.out)
    return rules


def test_from_an_empty_file_and_a_table_to_plans_on_the_site(osprey: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As a draft: every page says so, the finder leaves it out, the other crane stays what it was."""
    assert main(["check", "--data", str(osprey), "--day", DAY]) == 0
    assert capsys.readouterr().out.startswith("2 machines, 3 boom lengths,")
    site = generated.site(osprey, DAY)
    said = site.words.get("common.draft")
    assert said == "Draft data, not yet approved. No work may be planned on it."
    mine = {page.address: page.html for page in site.pages if page.address.startswith("machines/osprey/")}
    plans = [f"machines/osprey/{boom}/" for boom in ("54m", "63m")]
    assert {"machines/osprey/", *plans, *(f"{plan}briefing/" for plan in plans)} <= set(mine)
    for address, html in mine.items():
        assert f'<p class="fw-banner">{said}</p>' in html, address
    for plan in plans:
        assert said in dict(site.files())[f"{plan}plan.html"]
        assert 'data-number="hang"' in mine[plan], "a plan, not a refusal"
    assert all(said not in page.html for page in site.pages if page.address.startswith("machines/hand-lattice/"))
    cranes = json.loads(dict(site.files())["assets/finder.json"])["cranes"]
    assert [crane["name"] for crane in cranes] == ["Lattice crane worked by hand"]
    for page in site.pages:
        if page.address in ("", "machines/"):
            assert page.html.count("Draft, not approved.") == page.html.count("<b>Demonstration.</b>") == 1
    assert not site.frame["demonstration"], "the line on every page would be wrong on some"


def test_approved_only_with_reviewer_day_and_pages(osprey: Path) -> None:
    edit(osprey, FILE, "status: draft", "status: approved")
    with pytest.raises(files.Errors, match="approval: is missing; an approved machine names who compared it"):
        loader.load(osprey)
    entry = f"approval: {{reviewer: Ines Falk, date: '{DAY}', pages: 2-1 to 5-8}}"
    edit(osprey, FILE, "status: approved", f"status: approved\n{entry}")
    machine = loader.load(osprey).machines["osprey"]
    assert machine.approval and machine.approval.reviewer == "Ines Falk" and not machine.findings
    edit(osprey, FILE, "status: approved", "status: draft")
    with pytest.raises(files.Errors, match="approval: stands in a machine whose status is draft"):
        loader.load(osprey)
