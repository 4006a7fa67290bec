"""Exercises: every step is done again by other arithmetic, every answer held against the calculation of the plans.

The sets of the site and some more.  What a step is computed from must stand in the question or come from a step before.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal, localcontext
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from conftest import DATA, DAY
from playwright.sync_api import Page, expect

from calc import capacity, contract, exercise_text, exercises, state, tables
from calc.__main__ import main
from calc.exercises import Exercise, Worked
from calc.worked import METRIC, US, Shown, arithmetic
from hooks.render import training, words
from hooks.render.environment import environment

SEEDS = (*training.SETS, 5, 6, 7, 8, 2026)
MADE = {seed: exercises.exercises(DATA, seed, DAY) for seed in SEEDS}
ALL = [pytest.param(one, id=f"{seed}-{one.topic}") for seed, found in MADE.items() for one in found]
CONSTANTS = {"1", "2", "100", "1000", "12", "9.80665", "pi"}
PI = Decimal("3.14159265358979323846264338327950288")


# -- other arithmetic: decimal numbers, read from left to right --------------------------------------------------------


class Calculator:
    """An expression as a pocket calculator with brackets does it, in decimal numbers of 40 digits."""

    def __init__(self, text: str) -> None:
        self.parts = re.findall(r"\d+(?:\.\d+)?|[a-z]+|<=|>=|[-+*/^(),<>]", text)
        assert "".join(self.parts) == text.replace(" ", ""), text

    def all(self) -> Decimal | bool:
        left = self.sum()
        if not self.parts:
            return left
        sign, right = self.parts.pop(0), self.sum()
        assert not self.parts and sign in ("<=", ">=", "<", ">")
        return {"<=": left <= right, ">=": left >= right, "<": left < right, ">": left > right}[sign]

    def sum(self) -> Decimal:
        found = self.product()
        while self.parts and self.parts[0] in "+-":
            found = found + self.product() if self.parts.pop(0) == "+" else found - self.product()
        return found

    def product(self) -> Decimal:
        found = self.power()
        while self.parts and self.parts[0] in "*/":
            found = found * self.power() if self.parts.pop(0) == "*" else found / self.power()
        return found

    def power(self) -> Decimal:
        found = self.one()
        if self.parts and self.parts[0] == "^":
            self.parts.pop(0)
            found = found ** int(self.one())
        return found

    def one(self) -> Decimal:
        part = self.parts.pop(0)
        if part == "-":
            return -self.one()
        if part == "pi":
            return PI
        if part == "(":
            return self.closed(self.sum())
        if part in ("sqrt", "max", "min"):
            assert self.parts.pop(0) == "("
            found = [self.sum()]
            while self.parts[0] == ",":
                self.parts.pop(0)
                found.append(self.sum())
            self.closed(found[0])
            return found[0].sqrt() if part == "sqrt" else max(found) if part == "max" else min(found)
        return Decimal(part)

    def closed(self, found: Decimal) -> Decimal:
        assert self.parts.pop(0) == ")"
        return found


def computed(expression: str) -> Decimal | bool:
    with localcontext() as context:
        context.prec = 40
        return Calculator(expression).all()


def test_both_kinds_of_arithmetic_by_hand() -> None:
    for text, value in (("2 + 3*4", 14), ("(2 + 3)*4/8", 2.5), ("2 + sqrt(5^2 - (4 - 1)^2)", 6), ("10 - 4 - 3", 3)):
        assert computed(text) == Decimal(str(value)) and arithmetic(text) == value
    for text, value in (("1 - (-2)", 3), ("max(0.5, 0.29)", 0.5), ("min(2, 3) - 4", -2), ("100*1/8", 12.5)):
        assert computed(text) == Decimal(str(value)) and arithmetic(text) == value
    assert computed("28.2 >= 23") is True and arithmetic("0.8 > 5") is False
    for text in ("__import__('os')", "a + 1", "2 if 1 else 3", "[1]", "'x'", "round(2)", "1 < 2 < 3"):
        with pytest.raises(ValueError, match="plain arithmetic"):
            arithmetic(text)


def texts(worked: Worked) -> Iterator[Shown]:
    yield from worked.given
    for table in worked.tables:
        yield from (cell for row in table.rows for cell in row if isinstance(cell, Shown))


def size(worked: Worked, step: Any) -> Decimal:
    """What a result is rounded to: a digit, of US masses ten pounds, of a US stop height half a foot."""
    if step.unit == "lb":
        return Decimal(10)
    if step.key == "stop" and step.unit == "ft":
        return Decimal("0.5")
    return Decimal(1).scaleb(-len(step.result.partition(".")[2]))


@pytest.mark.parametrize("one", ALL)
def test_every_step_by_other_arithmetic_from_numbers_that_are_there(one: Exercise) -> None:
    rounding = {"near": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}
    for worked in one.worked:
        known = CONSTANTS | {shown.text.removeprefix("-") for shown in texts(worked)}
        counts = {str(n) for shown in texts(worked) if shown.key == "count" for n in range(1, int(shown.text) + 1)}
        for step in worked.steps:
            numbers = set(re.findall(r"\d+(?:\.\d+)?", step.expression.replace("^2", "")))
            counted = counts if step.key in ("weights", "lighter") else set()
            assert numbers <= known | counted, f"{step.key}: {numbers - known} stand nowhere"
            value = computed(step.expression)
            if isinstance(value, bool):
                assert step.result == ("yes" if value else "no")
                continue
            by = size(worked, step)
            assert (value / by).quantize(Decimal(1), rounding[step.rounded]) * by == Decimal(step.result), step
            known.add(step.result.removeprefix("-"))
        results = {step.result for step in worked.steps} | {shown.text for shown in texts(worked)}
        assert worked.answers and {answer.text for answer in worked.answers} <= results


def answer(one: Exercise, at: int = 0) -> dict[str, str]:
    return {shown.key: shown.text for shown in one.worked[at].answers}


def plan_of(one: Exercise) -> dict[str, Any]:
    assert one.case
    return contract.plan(one.case)


def of_topic(topic: str) -> Any:
    return pytest.mark.parametrize("one", [param for param in ALL if param.values[0].topic == topic])  # type: ignore[union-attr]


@of_topic("falls")
def test_falls_are_those_of_the_plan(one: Exercise) -> None:
    falls = plan_of(one)["falls"]
    for at in (0, 1):
        assert answer(one, at) == {"estimate": str(falls["estimate"]), "exact": f"{falls['exact']:.1f}"}
    assert one.verdict == ("estimate-reaches" if falls["estimate"] >= falls["exact"] else "estimate-falls-short")
    assert dict(one.named)["falls"] == falls["used"]


@of_topic("load")
def test_load_is_that_of_the_plan(one: Exercise) -> None:
    load = plan_of(one)["load"]
    pounds = tables.KILOGRAMS_PER_POUND
    for at, unit, by in ((0, 1000, 0.01), (1, pounds, 10)):
        got = {key: float(text) for key, text in answer(one, at).items()}
        assert got["least"] == pytest.approx(tables.step(load["minimum_kg"] / unit, by, "up"))
        assert got["weights"] == pytest.approx(load["net_kg"] / unit, abs=3 * by)
        assert got["total"] == pytest.approx(load["planned_kg"] / unit, abs=3 * by)


@of_topic("stop")
def test_stop_height_is_that_of_the_plan(one: Exercise) -> None:
    height = tables.length(plan_of(one)["stops"]["hook_height_m"], "up")
    assert (f"{answer(one)['stop']} m", f"{answer(one, 1)['stop']} ft") == height


@of_topic("passes")
def test_passes_are_those_of_the_plan(one: Exercise) -> None:
    done = plan_of(one)["methods"][0]["passes"]
    lift = dict(one.named)["lift"]
    least = [each["full_pull_falls_min"] for each in done]
    enough = [number for number, falls in enumerate(least, 1) if falls and falls <= lift]
    for at in (0, 1):
        got = answer(one, at)
        last = int(got["passes"]) if "passes" in got else len(done)
        assert enough[:1] == ([last] if "passes" in got else [])
        firm = tables.rope(done[last - 1]["firm_rope_m"], "down")[at]
        assert f"{got['firm']} {('m', 'ft')[at]}" == firm.replace(",", "")


@of_topic("capacity")
def test_capacity_is_read_as_the_planner_reads_it(one: Exercise) -> None:
    assert one.case
    for at, size_of in ((0, (1.0, 1000.0)), (1, (tables.METRES_PER_FOOT, tables.KILOGRAMS_PER_POUND))):
        given = {shown.key: float(shown.text) for shown in one.worked[at].given}
        got = answer(one, at)
        growth = one.case.values.deflection_share * one.case.chart.boom_length
        gross = float(got["gross"]) * size_of[1]
        found = capacity.read(one.case.chart.rows, given["radius"] * size_of[0], gross, growth)
        assert (found is not None) == (one.verdict == "carried")
        if found:
            assert float(got["capacity"]) * size_of[1] == pytest.approx(found.capacity, rel=1e-3)
            assert got["use"] == f"{tables.step(100 * found.use, 1, 'up'):.0f}"


@of_topic("due")
def test_due_is_what_the_log_says(one: Exercise) -> None:
    named = dict(one.named)
    upkeep = DATA.upkeep[one.machine.id]
    log = tuple(entry for entry in upkeep.log if entry.day <= str(named["day"]))
    then = replace(DATA, upkeep={**DATA.upkeep, one.machine.id: replace(upkeep, log=log)})
    bed = next(bed for bed in state.state(then, one.machine.id, DAY)["beds"] if bed["falls"] == named["lift"])
    assert one.verdict == ("not-due" if bed["firm"] else "due")
    for at, unit in enumerate((1.0, tables.METRES_PER_FOOT)):
        assert float(answer(one, at)["bed_needed"]) == pytest.approx(bed["bed_m"] / unit, abs=0.3)
        if one.verdict == "due":
            assert float(answer(one, at)["loose"]) == tables.step(bed["loose_m"] / unit, 1, "up")


@of_topic("discard")
def test_discard_follows_from_the_readings(one: Exercise) -> None:
    """By the table of the question alone: a limit that is met ends the use, one from memory asks to verify."""
    worked = one.worked[0]
    limits = next(table for table in worked.tables if table.key == "limits")
    steps = {(step.key, step.part): step.result for step in worked.steps}
    read = [str(row[3]).removeprefix("read:") for row in limits.rows]
    met = [steps["limit_reached", str(row[0]).removeprefix("criterion:")] == "yes" for row in limits.rows]
    sure = any(each and how != "from-memory" for each, how in zip(met, read, strict=True))
    summed = steps.get(("sum_reached", "")) == "yes"
    expected = "met" if sure else "verify" if any(met) or summed else "none-met"
    assert one.verdict == expected


# -- sets --------------------------------------------------------------------------------------------------------------


def test_every_set_has_every_topic_and_several_cranes() -> None:
    for seed, found in MADE.items():
        assert [one.topic for one in found] == list(exercises.TOPICS), seed
        assert len({one.machine.id for one in found}) >= 3, seed
    verdicts = {one.verdict for found in MADE.values() for one in found}
    assert {"estimate-reaches", "estimate-falls-short", "carried", "not-carried", "due", "not-due"} <= verdicts
    assert {"passes", "no-pass-is-enough", "none-met", "verify"} <= verdicts


def test_the_same_seed_gives_the_same_set_and_another_seed_another_one() -> None:
    assert exercises.exercises(DATA, 1, DAY) == MADE[1]
    said = [json.dumps(exercise_text.plain(found, 0, DAY)) for found in MADE.values()]
    assert len(set(said)) == len(SEEDS)


def test_a_draft_is_not_drawn_and_data_without_logs_has_fewer_topics() -> None:
    draft = {id: replace(m, status="draft") if id != "heron" else m for id, m in DATA.machines.items()}
    found = exercises.exercises(replace(DATA, machines=draft, upkeep={}), 1, DAY)
    assert {one.machine.id for one in found} == {"heron"}
    assert "due" not in [one.topic for one in found] and "falls" in [one.topic for one in found]
    none = replace(DATA, machines={id: replace(m, status="draft") for id, m in DATA.machines.items()})
    assert exercises.exercises(none, 1, DAY) == ()
    assert training.pages(environment(words.load()), words.load(), none, DAY) == []


# -- on the command line and on the page -------------------------------------------------------------------------------


def test_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    call = ["exercises", "--seed", "3", "--day", DAY]
    assert main(call) == 0
    metric = capsys.readouterr().out
    assert metric.startswith("Exercises, set 3\n\n1 Falls\n")
    assert metric.index("7 Discard") < metric.index("Answers, set 3")
    assert "  Length of the rope: 560 m" in metric and "(560 − 24) ÷ 24 = 22.33" in metric
    assert main([*call, "--units", "us"]) == 0
    assert "  Length of the rope: 1837.27 ft" in capsys.readouterr().out
    assert main([*call, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["seed"], told["day"], len(told["exercises"])) == (3, DAY, 7)
    assert told["exercises"][0]["metric"]["answers"][0] == {"name": "estimate", "number": "23", "unit": ""}


def test_five_solved_by_hand_from_what_the_question_says() -> None:
    """Set 3 of the demonstration cranes on paper, with pi as 3.1416 and four decimals kept throughout:

    1: pi*(620 + 26)/1000 = 2.0295; 560 - 3*2.0295 = 553.9115; (560 - 24)/24 = 22.3333, so 23; sqrt(576 - 14.44) =
    23.6973, head 25.4973; turn 0.9425; (553.9115 - 23 + 0.9425)/(25.4973 - 5 - 2.6 + 0.9425) = 531.8540/18.8398 =
    28.2304.
    2: 0.1*75.6*5 = 37.8 kN, /9.80665 = 3.8545 t, up 3.86; 3.86 - 1.18 - 0.08 = 2.60; 2.27 too light, 2.27 + 0.45 =
    2.72; with block and slings 3.98.
    3: pi*(440 + 22)/1000 = 1.4514, usable 285.6458; sqrt(1156 - 60.84) = 33.0932, head 35.8932; 7*0.6912 = 4.8381;
    (285.6458 - 37.2 - 4.8381)/8 = 30.4510; margin 0.005*290/8 + 0.04 = 0.2213, so 0.5; 35.8932 - 1.7 - 30.4510 + 0.5 =
    4.2422, up 4.3.
    4: sqrt(3969 - 90.25) = 62.2796, head 64.2796; sqrt(3969 - 1806.25) = 46.5054, head 48.5054; 15*15.7742 = 236.61,
    down 236; 23.5 + 236 - 18.2 = 241.3, above 197: pass 1.
    6: sqrt(2916 - 116.64) = 52.9090, head 54.7090; 3*0.9425 = 2.8274; 560 - 53 - 2.8274 - 4*(54.7090 - 4.5 - 1.9) =
    504.1726 - 193.2360 = 310.9366; less 123.9 = 187.04, up 188.
    """
    falls, load, stop, passes, _, due, _ = MADE[3]
    assert answer(falls) == {"estimate": "23", "exact": "28.2"}
    assert answer(load) == {"least": "3.86", "weights": "2.72", "total": "3.98"}
    assert answer(stop) == {"stop": "4.3"}
    assert answer(passes) == {"firm": "236", "passes": "1"}
    assert answer(due) == {"bed_needed": "311.0", "loose": "188"} and due.verdict == "due"


def test_every_text_is_there_and_every_word_is_used() -> None:
    known = words.load().get("exercises")
    done = [worked for found in MADE.values() for one in found for worked in one.worked]
    assert set(known["topics"]) == set(exercises.TOPICS)
    assert {shown.key for worked in done for shown in worked.given} == set(known["given"])
    assert {step.key for worked in done for step in worked.steps} == set(known["steps"])
    assert {shown.key for worked in done for shown in worked.answers} == set(known["answers"])
    for worked in done:
        for table in worked.tables:
            assert {"title", *table.columns} == set(known["tables"][table.key])
    assert METRIC.kinds.keys() == US.kinds.keys()


def test_pages_of_the_sets(built: Path) -> None:
    for seed in training.SETS:
        html = (built / f"training/exercises/{seed}/index.html").read_text(encoding="utf-8")
        assert len(re.findall(r'<details id="answer-\d"><summary>', html)) == len(MADE[seed])
        body = html[html.index("<h1") :]
        for one in MADE[seed]:
            for metric, us in zip(*(worked.given for worked in one.worked), strict=True):
                assert exercise_text.number(metric) in body and exercise_text.number(us) in body
            for step in (step for worked in one.worked for step in worked.steps):
                assert exercise_text.equation(step) in unescape(body).replace("\u00a0", " ")
        assert len(html) < 45_000


def test_answers_are_hidden_until_opened_and_printed_from_a_new_page(page: Page, address: str) -> None:
    page.goto(f"{address}training/exercises/3/")
    first = page.locator("#answer-1 ol")
    expect(first).to_be_hidden()
    page.locator("a[href='#answer-1']").click()
    expect(page.locator("#answer-1 summary")).to_be_in_viewport()
    if not page.locator("#answer-1[open]").count():  # the theme's script opens what a link leads to, once it is there
        page.locator("#answer-1 summary").click()
    expect(first).to_be_visible()
    expect(page.locator("#answer-1")).to_contain_text("(560 − 24) ÷ 24 = 22.33")
    page.locator("[data-set-units=us]").click()
    expect(page.locator("#question-1 ~ dl x-u").first).to_be_visible()
    expect(page.locator("#question-1 ~ dl x-m").first).to_be_hidden()
    page.locator("[data-set-units=metric]").click()
    page.emulate_media(media="print")
    assert page.locator("#answers").evaluate("e => getComputedStyle(e).breakBefore") == "page"
    expect(page.locator(".fw-ways").first).to_be_hidden()


def test_training_is_linked_from_the_start_page_and_the_guidance(built: Path) -> None:
    assert 'href="./training/"' in (built / "index.html").read_text(encoding="utf-8")
    guidance = (built / "guidance/index.html").read_text(encoding="utf-8")
    for name in ("training/", "training/exercises/", "training/citing/"):
        assert f'href="../{name}"' in guidance, name
