"""A capacity table: every message word for word and by cell, what is unusual, and the way there and back."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import pytest
from conftest import ROOT
from data_folder import copy_to, edit
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.cli.commands import main
from calc.data import files, look_up
from calc.intake import chart_csv

RULES = ROOT / "rules"
MACHINES = sorted(path.stem for path in (RULES / "machines").glob("*.yaml"))
HERON = chart_csv.facts(RULES, "heron", None)
BITTERN = chart_csv.facts(RULES, "bittern", "full-counterweight")

# Typed off a page: US units, what is not listed left empty.
TABLE = """radius (ft),60 ft (lb),80 ft (lb)
12,200000,
16,189800,150000
18,,150000

20,151900,141300
"""


def read(tmp_path: Path, text: str, facts: chart_csv.Facts = HERON) -> chart_csv.Read:
    path = tmp_path / "chart.csv"
    path.write_text(text, encoding="utf-8")
    return chart_csv.read(path, facts)


def wrong(tmp_path: Path, text: str, facts: chart_csv.Facts = HERON) -> list[str]:
    with pytest.raises(files.Errors) as caught:
        read(tmp_path, text, facts)
    return [str(problem).removeprefix(f"{tmp_path}/") for problem in caught.value.problems]


def test_a_table_becomes_charts(tmp_path: Path) -> None:
    found = read(tmp_path, TABLE, BITTERN)
    assert found.configuration == {
        "id": "full-counterweight",
        "name": "Full counterweight",
        "charts": [
            {"boom_length": "60 ft", "rows": [["12 ft", "200000 lb"], ["16 ft", "189800 lb"], ["20 ft", "151900 lb"]]},
            {"boom_length": "80 ft", "rows": [["16 ft", "150000 lb"], ["18 ft", "150000 lb"], ["20 ft", "141300 lb"]]},
        ],
    }
    (gap,) = found.findings
    assert gap.removeprefix(f"{tmp_path}/") == (
        "chart.csv:6: column B: 60 ft (lb): the cell above it, between two capacities, stands empty (gap)"
    )


CASES = {
    "nothing": ("", ["chart.csv:1: is empty; begin with radius (m) and a column for each boom length, like 54 m (t)"]),
    "a header alone": (
        "radius (m),54 m (t)\n",
        ["chart.csv:2: holds no capacities; write a line for each radius"],
    ),
    "semicolons": (
        "radius (m);54 m (t)\n9;61.5\n",
        ["chart.csv:1: parts its cells by semicolons; save the table with commas"],
    ),
    "radii alone": (
        "radius (m)\n9\n",
        ["chart.csv:1: column A: radius (m): is the only column; add one for each boom length, like 54 m (t)"],
    ),
    "headers without units": (
        "radius,54 m,63 (t)\n9,61.5,50\n",
        [
            "chart.csv:1: column A: radius: is not the column of the radii; "
            "write radius and one of: (m) (mm) (ft) (in)",
            "chart.csv:1: column B: 54 m: is no boom length with the unit of its capacities; "
            "write it like 54 m and one of: (kg) (t) (lb)",
            "chart.csv:1: column C: 63 (t): is no boom length with the unit of its capacities; "
            "write it like 54 m and one of: (kg) (t) (lb)",
        ],
    ),
    "cells that are no numbers, all at once": (
        'radius (m),54 m (t),63 m (t)\n9,"61,5",50*\n10 m,60,49\n,59,48\n12,58,-\n',
        [
            "chart.csv:2: column B: 54 m (t): '61,5' is no plain number; write one like 24.5, or leave the cell empty",
            "chart.csv:2: column C: 63 m (t): '50*' is no plain number; write one like 24.5, or leave the cell empty",
            "chart.csv:3: column A: radius (m): '10 m' is no plain number; "
            "write a radius like 24.5, its unit stands in the header",
            "chart.csv:4: column A: radius (m): is empty; write a radius like 24.5, its unit stands in the header",
            "chart.csv:5: column C: 63 m (t): '-' is no plain number; write one like 24.5, or leave the cell empty",
        ],
    ),
    "a thousands comma": (
        "radius (ft),60 ft (lb)\n12,200,000\n",
        ["chart.csv:2: has 3 cells, the header 2; put a cell that holds a comma in quotes"],
    ),
    "radii out of order, and one without capacity": (
        "radius (m),54 m (t)\n9,61.5\n8,60\n8,59\n10,\n",
        [
            "chart.csv:3: column A: radius (m): radius 8 m is not larger than the one before it; "
            "list radii rising, each once",
            "chart.csv:4: column A: radius (m): radius 8 m is not larger than the one before it; "
            "list radii rising, each once",
            "chart.csv:5: column A: radius (m): radius 10 m has no capacity; take the line out",
        ],
    ),
    "a capacity of nothing, a column too short": (
        "radius (m),54 m (t),63 m (t)\n9,61.5,50\n10,0,\n",
        [
            "chart.csv:1: column C: 63 m (t): has 1 entry; it needs at least 2: "
            "Radius and rated capacity by growing radius; at least two",
            "chart.csv:3: column B: 54 m (t): '0 t' is out of range; write a value above 0 kg",
        ],
    ),
    "a boom length again": (
        "radius (m),54 m (t),54 m (t)\n9,61.5,50\n10,60,49\n",
        [
            "chart.csv:1: column C: 54 m (t): 54 m is not longer than the one before it; "
            "list boom lengths rising, each once"
        ],
    ),
    "a radius this boom does not reach": (
        "radius (m),13 m (t)\n9,61.5\n12,60\n",
        [
            "chart.csv:3: column B: 13 m (t): radius 12 m is out of reach: this boom ends 11.2 m from the slew axis; "
            "check radius and boom length"
        ],
    ),
    "two lines for telescoping": (
        "radius (m),54 m (t)\n9,61.5\n10,60\ntelescoping,8\ntelescoping,x\n",
        [
            "chart.csv:5: column A: radius (m): is a second line for telescoping; keep one",
            "chart.csv:5: column B: 54 m (t): 'x' is no plain number; write one like 24.5, or leave the cell empty",
        ],
    ),
}


@pytest.mark.parametrize(("text", "said"), CASES.values(), ids=CASES)
def test_message(tmp_path: Path, text: str, said: list[str]) -> None:
    assert wrong(tmp_path, text) == said


def test_a_lattice_boom_does_not_telescope(tmp_path: Path) -> None:
    said = ["chart.csv:4: column A: radius (m): a lattice boom does not telescope; take the line out"]
    assert wrong(tmp_path, "radius (m),54 m (t)\n9,61.5\n10,60\ntelescoping,8\n", BITTERN) == said


def test_findings_stand_beside_the_charts(tmp_path: Path) -> None:
    """A digit turned round, a longer boom that carries more, in the units of the table."""
    text = "radius (m),54 m (t),61 m (t)\n9,61.5,50\n10,16.5,49\n12,48,47\n14,46,46.5\n"
    assert [finding.removeprefix(f"{tmp_path}/") for finding in read(tmp_path, text).findings] == [
        "chart.csv:4: column B: 54 m (t): 48.0 t at 12 m is more than at the radius before (capacity-rises)",
        "chart.csv:3: column C: 61 m (t): 49.0 t at 10 m is more than the shorter boom of 54 m carries "
        "(above-shorter-boom)",
        "chart.csv:5: column C: 61 m (t): 46.5 t at 14 m is more than the shorter boom of 54 m carries "
        "(above-shorter-boom)",
    ]
    feet = "radius (ft),60 ft (lb)\n12,90000\n14,95000\n"
    (rises,) = read(tmp_path, feet).findings
    assert "95,000 lb at 14 ft" in rises


@pytest.mark.parametrize("machine", MACHINES)
def test_there_and_back_for_every_configuration_of_the_fleet(tmp_path: Path, machine: str) -> None:
    raw = files.read(RULES / f"machines/{machine}.yaml", machine).data
    for configuration in raw["configurations"]:
        text = chart_csv.table(chart_csv.configuration(RULES, machine, configuration["id"]))
        facts = chart_csv.facts(RULES, machine, configuration["id"])
        found = read(tmp_path, text, facts)
        assert found.configuration == configuration
        printed = tmp_path / "printed.yaml"
        printed.write_text(f"configurations:\n{chart_csv.printed(found.configuration)}\n", encoding="utf-8")
        assert files.read(printed, "printed").data == {"configurations": [configuration]}


def test_a_table_is_held_against_the_arm_with_its_jib(tmp_path: Path) -> None:
    """39 m of boom and 9 m of jib in line, 1.2 m behind the slew axis: the jib head comes to 46.8 m and no further."""
    facts = chart_csv.facts(RULES, "plover", "jib-9m-0deg")
    assert read(tmp_path, "radius (m),39 m (t)\n40,1\n46.7,0.5\n", facts).configuration["jib"] == "jib-9m-0deg"
    (said,) = wrong(tmp_path, "radius (m),39 m (t)\n40,1\n47,0.5\n", facts)
    assert "radius 47 m is out of reach: this boom ends 46.8 m from the slew axis" in said


def test_a_jib_that_the_boom_does_not_have(tmp_path: Path) -> None:
    (tmp_path / "machines").mkdir()
    text = (RULES / "machines/plover.yaml").read_text(encoding="utf-8")
    there = tmp_path / "machines/plover.yaml"
    there.write_text(text.replace("    jib: jib-9m-0deg\n", "    jib: jib-10m\n"), encoding="utf-8")
    with pytest.raises(look_up.Unknown, match="no jib 'jib-10m' at the boom of plover; known: jib-9m-0deg jib-9m"):
        chart_csv.facts(tmp_path, "plover", "jib-9m-0deg")
    assert chart_csv.facts(tmp_path, "plover", "jib-9m-30deg").jib


NUMBER = st.decimals(min_value="0.1", max_value="999", places=1).map(str)


@st.composite
def configurations(draw: st.DrawFn) -> dict[str, Any]:
    """Boom lengths of 100 m and more, radii up to 60 m: within reach; capacities anything above nothing."""
    radii = sorted(draw(st.sets(st.integers(5, 60), min_size=2, max_size=8)))
    charts = []
    for length in sorted(draw(st.sets(st.integers(100, 300), min_size=1, max_size=4))):
        mine = sorted(draw(st.sets(st.sampled_from(radii), min_size=2)))
        chart: dict[str, Any] = {"boom_length": f"{length} m", "rows": [[f"{r} m", f"{draw(NUMBER)} t"] for r in mine]}
        charts.append(chart | ({"telescoping": f"{draw(NUMBER)} t"} if draw(st.booleans()) else {}))
    return {"id": HERON.configuration, "name": HERON.name, "charts": charts}


@settings(max_examples=30, deadline=None)
@given(configurations())
def test_there_and_back_for_any(tmp_path_factory: pytest.TempPathFactory, configuration: dict[str, Any]) -> None:
    text = chart_csv.table(configuration)
    assert len({len(row) for row in csv.reader(io.StringIO(text))}) == 1
    assert read(tmp_path_factory.mktemp("any"), text).configuration == configuration


def test_a_table_has_one_unit_for_each_column() -> None:
    rows = [["9 m", "61.5 t"], ["10 m", "60000 kg"]]
    with pytest.raises(ValueError, match=r"^54 m: in kg and t; a table has one unit for each column$"):
        chart_csv.table({"charts": [{"boom_length": "54 m", "rows": rows}]})


# The command


@pytest.mark.usefixtures("typed")
def test_an_unfinished_machine_is_enough(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Kind and boom have to be there; the rest may still be empty, the configurations too."""
    rules = copy_to(tmp_path)
    text = (rules / "machines/heron.yaml").read_text(encoding="utf-8").partition("configurations:")[0]
    (rules / "machines/heron.yaml").write_text(text, encoding="utf-8")
    edit(rules, "machines/heron.yaml", "  length: 290 m\n", "  length:\n")
    table = tmp_path / "chart.csv"
    table.write_text("radius (m),54 m (t)\n9,61.5\n10,61.6\n", encoding="utf-8")
    call = ["chart", str(table), "--machine", "heron", "--data", str(rules)]
    assert main(call) == 2
    said = "heron lists no configuration yet; name this one by --configuration, like full-counterweight"
    assert capsys.readouterr().err == f"python -m calc: {said}\n"
    assert main([*call, "--configuration", "full-outriggers"]) == 0
    shown = capsys.readouterr()
    assert shown.out.startswith('  - id: full-outriggers\n    name: "Full outriggers"\n    charts:\n')
    assert "(capacity-rises)" in shown.err
    line = edit(rules, "machines/heron.yaml", "least_angle: 25 deg", "least_angle:")
    assert main([*call, "--configuration", "full-outriggers"]) == 1
    said = f"rules/machines/heron.yaml:{line}: boom.least_angle: the value is empty; write one or take the line out\n"
    assert capsys.readouterr() == ("", said)


def test_wrong_calls(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["chart", "--machine", "robin"]) == 2
    assert capsys.readouterr().err == (
        "python -m calc: no machine 'robin'; `python -m calc new machine robin` begins its file\n"
    )
    assert main(["chart", "--machine", "heron", "--configuration", "robin"]) == 2
    assert capsys.readouterr().err == "python -m calc: no configuration 'robin' for heron; known: full-outriggers\n"
    table = tmp_path / "chart.csv"
    table.write_text("radius (m),54 m (t)\n9,61.5\n10,60\n", encoding="utf-8")
    assert main(["chart", str(table), "--machine", "heron", "--configuration", "Full"]) == 1
    assert "--configuration: 'Full' is not written as it must be; write small letters" in capsys.readouterr().err
