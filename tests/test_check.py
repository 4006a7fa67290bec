"""Data as the planner gets it: SI values, rules by facts and day, configurations, findings."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import date, timedelta
from math import pi
from pathlib import Path
from typing import Any

import pytest
from conftest import DAY
from data_folder import RULES, copy_to, edit
from jsonschema import Draft202012Validator

from calc.checks import loader, overview
from calc.data import build, files, look_up, model, rule_values, rulebook, schema
from calc.data.yard import Weight
from calc.formulas import rope
from calc.winding import plan_data


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> model.Data:
    return loader.load(copy_to(tmp_path_factory.mktemp("first-edition")))


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """Without the logs of the ropes: a log must fit its crane, and here the cranes are changed."""
    folder = copy_to(tmp_path)
    shutil.rmtree(folder / "upkeep")
    return folder


# What the files say, in SI


def test_machine_in_si(data: model.Data) -> None:
    heron = data.machines["heron"]
    assert heron.rope == model.Rope(0.022, 290.0, 2.3, 390e3, "35(W)x7", 2160e6, True)
    assert heron.drum == model.Drum(0.44, 0.0229, 24, 24, 0.82, 0.561, "parallel-grooved")
    assert heron.winch.line_speed == pytest.approx(125 / 60)
    assert heron.boom.pivot_forward == -1.8
    assert heron.boom.rope_path_extra == 3.2
    assert heron.boom.luffing == pytest.approx(22 * pi / 180 / 60)
    assert heron.blocks[1] == model.Block("three-sheave", 900.0, 1.5, 2, 6, 50e3)
    assert heron.configurations[0].charts[0].rows[1] == (3.5, 170e3)
    assert heron.configurations[0].charts[0].telescoping == 18e3
    assert data.machines["bittern"].boom.rope_path_extra == -1.0
    assert data.machines["bittern"].boom.clear_radius is None


def test_yard_in_si(data: model.Data) -> None:
    """With lifting points 2.88 by 2.16 m apart, 3.6 m over the diagonal; without, they are the corners of the top."""
    yard = loader.load(RULES.parent / "tests/cases/crane").yards["hand"]
    (weight,) = yard.weights
    assert weight.lifting_points == (0.6, pytest.approx(3.6))
    assert replace(weight, lifting_points=None) == Weight("weight", "weight 1 t", 1e3, 3.0, 2.2, 0.6, 2, None)
    assert (weight.lifting_height, weight.lifting_diagonal) == (0.6, pytest.approx(3.6))
    plain = replace(weight, length=0.8, width=0.6, height=0.5, lifting_points=None)
    assert (plain.lifting_height, plain.lifting_diagonal) == (0.5, pytest.approx(1.0))
    assert replace(plain, lifting_points=(0.2, 0.9)).lifting_height == 0.2
    assert (yard.slings.length, [extension.length for extension in yard.extensions]) == (3.0, [6.0])
    assert (yard.load_height, yard.load_length, yard.working_radius) == (1.2, 3.0, None)


@pytest.mark.parametrize(
    ("text", "slug"),
    [
        ("54 m", "54m"),
        ("24.5 m", "24-5m"),
        ("245 m", "245m"),
        ("120 ft", "120ft"),
        ("60.0 m", "60m"),
    ],
)
def test_slug(text: str, slug: str) -> None:
    assert build.slug(text) == slug


# Configurations and addresses


def test_short_address_is_the_first_listed_configuration_with_that_boom(data: model.Data) -> None:
    bittern = data.machines["bittern"]
    assert [c.id for c in bittern.configurations] == ["reduced-counterweight", "full-counterweight"]
    assert look_up.case(data, "bittern", "63m", None, DAY).configuration.id == "reduced-counterweight"
    assert look_up.case(data, "bittern", "84m", None, DAY).configuration.id == "full-counterweight"
    assert look_up.case(data, "bittern", "54m", "full-counterweight", DAY).chart.rows[0] == (9.0, 102.3e3)


@pytest.mark.parametrize(
    ("call", "text"),
    [
        (("robin", "54m", None), "no machine 'robin'; known: bittern heron"),
        (
            ("heron", "62m", None),
            "no boom length '62m' for heron full-outriggers; listed: 13m 20m 27m 34m 41m 48m 55m 61m",
        ),
        (("heron", "61m", "half"), "no configuration 'half' for heron; known: full-outriggers"),
    ],
)
def test_unknown(rules: Path, call: tuple[str, str, str | None], text: str) -> None:
    with pytest.raises(look_up.Unknown) as caught:
        look_up.case(loader.load(rules), *call, DAY)
    assert str(caught.value) == text


# Rules by facts and day


def test_every_value_is_read_or_informative(data: model.Data) -> None:
    assert schema.known_values() == rule_values.READ
    given = set()
    for rule in data.rules.values():
        for version in rule.versions:
            assert set(version.values) - version.informative <= rule_values.READ, rule.id
            assert not version.informative & rule_values.READ, rule.id
            given |= set(version.values) - version.informative
    assert given == rule_values.READ


def test_codes_are_counted_without_gaps(data: model.Data) -> None:
    codes = [rule.code for rule in sorted(data.rules.values(), key=rulebook.number)]
    assert codes == [f"R{number:02d}" for number in range(1, len(codes) + 1)]


def test_rules_differ_by_kind_of_boom_and_machine(data: model.Data) -> None:
    telescopic = look_up.case(data, "heron", "61m", None, DAY)
    lattice = look_up.case(data, "bittern", "54m", None, DAY)
    for name in ("target_share", "deflection_share"):
        rules = {
            kind: next(rule.at(DAY) for rule in data.rules.values() if rule.id.endswith(end) and _gives(rule, name))
            for kind, end in (("telescopic", "-telescopic"), ("lattice", "-lattice"))
        }
        for case in (telescopic, lattice):
            version = rules[case.machine.kind]
            assert version and getattr(case.values, name) == version.values[name]
    assert telescopic.values.freeboard == pytest.approx(1.5 * 0.022)
    assert telescopic.values.dead_wraps == 3
    assert telescopic.values.pick_time == 300.0
    assert isinstance(telescopic.values.dead_wraps, int)


def _gives(rule: model.Rule, name: str) -> bool:
    return any(name in version.values for version in rule.versions)


def test_manual_overrides_a_rule_and_the_rule_stays_named(data: model.Data) -> None:
    heron, bittern = (look_up.case(data, m, b, None, DAY) for m, b in (("heron", "61m"), ("bittern", "54m")))
    assert (heron.values.firm_tension_share, bittern.values.firm_tension_share) == (0.1, 0.11)
    assert "firm-tension" in [use.id for use in bittern.rules]


def test_only_rules_a_plan_uses_are_named(data: model.Data) -> None:
    uses = look_up.case(data, "heron", "61m", None, DAY).rules
    assert [use.code for use in uses] == sorted(use.code for use in uses)
    ids = [use.id for use in uses]
    assert "target-share-telescopic" in ids and "sheave-efficiency" in ids
    assert not {"target-share-lattice", "dead-wraps-us", "design-factor-iso", "wind"} & set(ids)


def test_us_rulebook(rules: Path) -> None:
    edit(rules, "machines/heron.yaml", "rulebook: iso", "rulebook: us")
    data = loader.load(rules)
    values = look_up.case(data, "heron", "61m", None, DAY).values
    assert values.dead_wraps == 2
    assert values.freeboard == pytest.approx(0.0127)
    assert [finding.code for finding in data.machines["heron"].findings] == ["design-factor"]


def test_plain_bearings_smooth_drum_and_own_drag(rules: Path) -> None:
    edit(rules, "machines/heron.yaml", "bearings: rolling", "bearings: plain")
    edit(rules, "machines/heron.yaml", "surface: parallel-grooved", "surface: smooth")
    edit(rules, "machines/heron.yaml", "  power: 75 kW", "  power: 75 kW\n  drag: 40 kg")
    case = look_up.case(loader.load(rules), "heron", "61m", None, DAY)
    assert (case.values.sheave_efficiency, case.values.rise_ratio) == (0.96, 0.97)
    assert case.values.drum_drag == pytest.approx(40 * 9.80665)
    assert "drum-drag" not in [use.id for use in case.rules]


NEXT_YEAR = """versions:
  - from: "2027-03-01"
    statement: More.
    values: {minimum_share: 12 %}
    applies: {}
    reason: A test.
    sources: [{kind: common-practice, citation: a test, read: from-memory}]
    change: Raised.
"""


FREEBOARD = NEXT_YEAR.replace("minimum_share: 12 %", "freeboard_diameters: 300 %").replace(
    "applies: {}", "applies: {rulebook: {const: iso}}"
)


@pytest.mark.parametrize(
    ("day", "share", "version"), [("2027-02-28", 0.10, "2026-11-02"), ("2027-03-01", 0.12, "2027-03-01")]
)
def test_both_sides_of_a_version_date(rules: Path, day: str, share: float, version: str) -> None:
    edit(rules, "rulebook/minimum-load.yaml", "versions:\n", NEXT_YEAR)
    data = loader.load(rules)
    case = look_up.case(data, "heron", "61m", None, day)
    assert case.values.minimum_share == share
    assert model.RuleUse("minimum-load", "R01", version) in case.rules


def test_both_sides_of_every_first_day(data: model.Data) -> None:
    for rule in data.rules.values():
        for newer, older in zip(rule.versions, (*rule.versions[1:], None), strict=True):
            assert rule.at(newer.from_day) is newer
            assert rule.at(_day_before(newer.from_day)) is older


def _day_before(day: str) -> str:
    return (date.fromisoformat(day) - timedelta(days=1)).isoformat()


def test_before_the_first_rule_there_is_no_case(data: model.Data) -> None:
    with pytest.raises(
        look_up.Unknown, match=r"^no rule in force on 2026-11-01 gives accepted_share and .* more; choose a later day$"
    ):
        look_up.case(_since_october(data), "heron", "61m", None, "2026-11-01")


def _since_october(data: model.Data) -> model.Data:
    heron = replace(data.machines["heron"], revision="2026-10-01")
    return replace(data, machines={**data.machines, "heron": heron})


def test_a_withdrawn_rule_gives_nothing(rules: Path) -> None:
    ended = NEXT_YEAR.replace("{minimum_share: 12 %}", "{}").replace("    change", "    withdrawn: true\n    change")
    edit(rules, "rulebook/minimum-load.yaml", "versions:\n", ended)
    with pytest.raises(files.Errors, match="no rule gives minimum_share for bittern 24m from 2027-03-01"):
        loader.load(rules)


def test_an_informative_rule_may_ask_for_falls(rules: Path) -> None:
    edit(rules, "rulebook/wind.yaml", "applies: {}", "applies: {falls: {minimum: 4}}")
    loader.load(rules)


@pytest.mark.parametrize(("least", "applies"), [("6", True), ("7", True), ("8", False)])
def test_layers_are_a_fact(rules: Path, least: str, applies: bool) -> None:
    """Both machines hold their rope in 7 layers: hand sum of 24 and of 36 wraps over the layer diameters."""
    edit(rules, "rulebook/passes.yaml", "applies: {}", f"applies: {{layers: {{minimum: {least}}}}}")
    if applies:
        loader.load(rules)
    else:
        with pytest.raises(files.Errors, match="no rule gives most_passes"):
            loader.load(rules)


# Findings


def findings(rules: Path, machine: str = "heron") -> list[tuple[str, str]]:
    return [(finding.code, finding.where) for finding in loader.load(rules).machines[machine].findings]


FIRST = "configurations[full-outriggers].charts[13 m]"
SECOND = "configurations[full-outriggers].charts[20 m]"


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        # 7 layers, 721.6 mm across, 1.5 rope diameters on both sides: 787.6 mm
        ("flange_diameter: 820 mm", "flange_diameter: 787.6 mm", []),
        ("flange_diameter: 820 mm", "flange_diameter: 787.5 mm", [("freeboard", "drum.flange_diameter")]),
        # 18 x 22 mm = 396 mm to the middle of the rope, 374 mm at the groove root; 9 layers, 746 mm across
        ("groove_root_diameter: 440 mm", "groove_root_diameter: 374 mm", []),
        (
            "groove_root_diameter: 440 mm",
            "groove_root_diameter: 373.9 mm",
            [("small-drum", "drum.groove_root_diameter")],
        ),
        # 24 x 22.9 mm = 549.6 mm; another wrap needs 572.5 mm
        ("width: 561 mm", "width: 572.4 mm", []),
        ("width: 561 mm", "width: 572.5 mm", [("room-for-a-wrap", "drum.wraps")]),
        ("width: 561 mm", "width: 549.6 mm", []),
        # 390 kN / 4 = 97.5 kN
        ("rated_line_pull: 88 kN", "rated_line_pull: 97.5 kN", []),
        ("rated_line_pull: 88 kN", "rated_line_pull: 97.6 kN", [("design-factor", "winch.rated_line_pull")]),
        # 35(W)x7: 0.454 x 22^2 / 100 = 2.197 kg/m, 10 % more is 2.417 kg/m
        ("mass: 2.3 kg/m", "mass: 2.41 kg/m", []),
        ("mass: 2.3 kg/m", "mass: 2.42 kg/m", [("rope-mass", "rope.mass")]),
        # 0.350 x 22^2 x 2.16 = 365.9 kN, 10 % more is 402.5 kN
        ("force: 390 kN", "force: 402 kN", []),
        ("force: 390 kN", "force: 403 kN", [("breaking-force", "rope.minimum_breaking_force")]),
        # 8 % of 50 t is 4 t
        ("mass: 0.9 t", "mass: 4 t", []),
        ("mass: 0.9 t", "mass: 4.1 t", [("block-mass", "blocks[three-sheave].mass")]),
        # 6 falls x 88 kN / g = 53.8 t
        ("capacity: 50 t", "capacity: 53.8 t", []),
        ("capacity: 50 t", "capacity: 53.9 t", [("block-above-line-pull", "blocks[three-sheave].capacity")]),
        ("[3.5 m, 170 t]", "[3.5 m, 169 t]", []),
        ("[3.5 m, 170 t]", "[3.5 m, 159 t]", [("capacity-rises", f"{FIRST}.rows[4 m]")]),
        ("[9 m, 63.2 t]", "[9 m, 75.7 t]", [("capacity-rises", f"{SECOND}.rows[9 m]")]),
        ("[5 m, 130.9 t]", "[5 m, 105 t]", None),
        ("telescoping: 14 t", "telescoping: 19 t", [("telescoping-rises", f"{SECOND}.telescoping")]),
        ("capacity_class: 210 t", "capacity_class: 160 t", [("chart-above-class", "capacity_class")]),
        ("capacity: 170 t", "capacity: 169 t", [("no-block-for-the-chart", "blocks")]),
        ("least_angle: 25 deg", "least_angle: 27 deg", None),
    ],
)
def test_findings(rules: Path, old: str, new: str, expected: list[tuple[str, str]] | None) -> None:
    edit(rules, "machines/heron.yaml", old, new)
    found = findings(rules)
    if expected is not None:
        assert found == expected
    else:
        codes = {"above-shorter-boom", "below-least-angle", "capacity-rises"}
        assert found and {code for code, _ in found} <= codes


def test_a_finding_is_answered_in_the_file(rules: Path) -> None:
    edit(rules, "machines/heron.yaml", "mass: 2.3 kg/m", "mass: 2.6 kg/m")
    data = loader.load(rules)
    assert overview.counts(data).endswith("no errors, 1 finding (1 unanswered)")
    (told,) = overview.unanswered(data)
    assert told.startswith("heron: rope.mass: is 2.6") and told.endswith(" (rope-mass)")
    answer = "{finding: rope-mass, where: rope.mass, answer: Weighed on the reel., by: N. N., date: '2026-11-03'}"
    edit(rules, "machines/heron.yaml", "configurations:", f"answers:\n  - {answer}\nconfigurations:")
    data = loader.load(rules)
    assert data.machines["heron"].findings[0].answer == "Weighed on the reel. (N. N., 2026-11-03)"
    assert not list(overview.unanswered(data))
    assert overview.counts(data).endswith("no errors, 1 finding (0 unanswered)")


def test_counts(rules: Path) -> None:
    number = len(list((rules / "rulebook").iterdir()))
    line = f"2 machines, 16 boom lengths, 1 yard, {number} rules: no errors, 0 findings (0 unanswered)"
    assert overview.counts(loader.load(rules)) == line


@pytest.mark.parametrize(
    ("old", "new"),
    [("length: 3 m, mass: 80 kg", "length: 9 m, mass: 80 kg"), ("load: {height: 1.5 m", "load: {height: 10 m")],
)
def test_a_yard_out_of_all_proportion_refuses_plans_and_not_the_check(rules: Path, old: str, new: str) -> None:
    """Slings of 9 m fit under no short boom; stacks of 10 m end under the hook all the same."""
    edit(rules, "yards/skerry-point.yaml", old, new)
    data = loader.load(rules)
    made = [plan_data.plan(look_up.case(data, "heron", slug, None, DAY)) for slug in ("13m", "34m", "61m")]
    for plan in made:
        refused = plan["refused"] is not None
        assert refused == (not any(method and method["passes"] for method in plan["methods"]))
    assert made[0]["refused"] is not None or new.startswith("load")


# Earlier revisions


def revised(rules: Path, old: str, new: str, day: str = "2026-11-20") -> Path:
    """heron as it stands becomes an earlier revision, and is changed from a day on; the folder of earlier ones."""
    earlier = rules / "machines" / "earlier"
    earlier.mkdir(exist_ok=True)
    shutil.copy(rules / "machines/heron.yaml", earlier / "heron.2026-11-02.yaml")
    edit(rules, "machines/heron.yaml", 'revision: "2026-11-02"', f'revision: "{day}"\nchange: Measured anew.')
    edit(rules, "machines/heron.yaml", old, new)
    return earlier


def test_earlier_revisions_are_checked_and_named_by_their_day(rules: Path) -> None:
    earlier = revised(rules, "length: 290 m", "length: 280 m")
    loader.load(rules)
    shutil.copy(earlier / "heron.2026-11-02.yaml", earlier / "heron.2025-01-01.yaml")
    with pytest.raises(files.Errors, match=r"revision: makes the file name heron\.2026-11-02\.yaml; rename the file"):
        loader.load(rules)


def test_a_revision_that_ended_before_the_rules_began(rules: Path) -> None:
    earlier = revised(rules, "length: 290 m", "length: 280 m", "2026-11-02")
    (earlier / "heron.2026-11-02.yaml").rename(earlier / "heron.2024-05-06.yaml")
    edit(rules, "machines/earlier/heron.2024-05-06.yaml", "2026-11-02", "2024-05-06")
    assert look_up.machine_of(loader.load(rules), "heron", "2026-11-01").rope.length == 290.0


@pytest.mark.parametrize(
    ("day", "length", "revision"), [("2026-11-19", 290.0, "2026-11-02"), ("2026-11-20", 280.0, "2026-11-20")]
)
def test_both_sides_of_the_day_of_a_revision(rules: Path, day: str, length: float, revision: str) -> None:
    """By the case of a plan, by everything as of the day, and from there to the other side."""
    revised(rules, "length: 290 m", "length: 280 m")
    data = loader.load(rules)
    for seen in (data, data.at(day), data.at("2026-11-02"), data.at("2027-01-01")):
        case = look_up.case(seen, "heron", "61m", None, day)
        assert (case.machine.rope.length, case.machine.revision) == (length, revision)
        assert seen.at(day).machines["heron"] == case.machine
        assert [one.revision for one in seen.every_revision("heron")] == ["2026-11-20", "2026-11-02"]
    assert data.machines["heron"].rope.length == 280.0


def test_before_its_first_revision_there_is_no_machine(rules: Path) -> None:
    revised(rules, "length: 290 m", "length: 280 m")
    data = loader.load(rules)
    assert list(data.at("2026-11-01").machines) == []
    with pytest.raises(look_up.Unknown, match=r"^the data of heron begins on 2026-11-02; choose a later day$"):
        look_up.case(data, "heron", "61m", None, "2026-11-01")


def test_an_earlier_revision_is_held_against_the_rules_of_its_days(rules: Path) -> None:
    """A rule of later days asks for more freeboard than the old drum has; the new one has it."""
    revised(rules, "flange_diameter: 820 mm", "flange_diameter: 920 mm", "2027-03-01")
    edit(rules, "machines/earlier/heron.2026-11-02.yaml", "flange_diameter: 820 mm", "flange_diameter: 787.6 mm")
    edit(rules, "rulebook/freeboard-iso.yaml", "versions:\n", FREEBOARD)
    assert loader.load(rules).every_revision("heron")[1].findings == ()
    edit(rules, "machines/earlier/heron.2026-11-02.yaml", "flange_diameter: 787.6 mm", "flange_diameter: 787.5 mm")
    found = loader.load(rules).every_revision("heron")[1].findings
    assert [finding.code for finding in found] == ["freeboard"]


# The schemas themselves


@pytest.mark.parametrize("name", ["machine", "yard", "rule", "upkeep", "site"])
def test_schemas_are_closed_described_and_use_known_keywords(name: str) -> None:
    whole = schema.schema(name)
    Draft202012Validator.check_schema(whole)
    for node in _nodes(whole):
        assert set(node) - {"$schema", "title", "description", "examples", "found"} <= set(schema.KEYWORDS), node
        if "properties" in node:
            assert "additionalProperties" in node, node
            undescribed = [key for key, part in node["properties"].items() if "description" not in part]
            assert not undescribed or "const" in node["properties"], undescribed  # fragments of `applies`


def _nodes(node: Any) -> list[dict[str, Any]]:
    """Every schema inside a schema."""
    inner = [*node.get("properties", {}).values(), *node.get("prefixItems", [])]
    inner += [node[key] for key in ("items", "additionalProperties") if isinstance(node.get(key), dict)]
    return [node, *(found for part in inner for found in _nodes(part))]


def test_every_construction_of_the_schema_has_factors() -> None:
    listed = schema.schema("machine")["properties"]["rope"]["properties"]["construction"]["enum"]
    assert listed == list(rope.CONSTRUCTIONS)


def test_no_data_file_holds_banned_words_or_forgets_that_it_is_invented() -> None:
    for path in RULES.rglob("*.yaml"):
        text = path.read_text(encoding="utf-8").lower()
        assert "safe" not in text, path
        if path.parent.name in ("machines", "yards", "upkeep"):
            assert "invented" in text, path
    for path in schema.FOLDER.glob("*.json"):
        assert "safe" not in json.dumps(json.loads(path.read_text(encoding="utf-8"))).lower(), path
