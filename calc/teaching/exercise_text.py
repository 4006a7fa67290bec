"""Exercises as plain data and as text for a terminal; how an expression reads on paper."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from calc.teaching.exercise import Exercise, Worked
from calc.teaching.worked import SYSTEMS, ExerciseStep, ExerciseTable, Sheet, Shown

SCHEMA_VERSION = 1
Words = Mapping[str, Any]

_SIGNS = {"*": " × ", "/": " ÷ ", " - ": " − ", "(-": "(−", "^2": "²", "<=": "≤", ">=": "≥", "sqrt": "√"}
_WORDS = {"max(": "the larger of (", "min(": "the smaller of ("}
_PI = re.compile(r"\bpi\b")


def said(expression: str) -> str:
    """An `expression` as it stands on paper.

    >>> said("1.8 + sqrt(54^2 - (9 - (-1.2))^2)"), said("3*pi*0.3/2"), said("max(0.5, 0.29) <= 1")
    ('1.8 + √(54² − (9 − (−1.2))²)', '3 × π × 0.3 ÷ 2', 'the larger of (0.5, 0.29) ≤ 1')
    """
    for sign, shown in {**_SIGNS, **_WORDS}.items():
        expression = expression.replace(sign, shown)
    return _PI.sub("π", expression)


def number(shown: Shown) -> str:
    """A number `shown` with its unit, thousands parted.

    >>> number(Shown("load", "12500", "lb")), number(Shown("forward", "-1.8", "m"))
    ('12,500 lb', '−1.8 m')
    """
    whole, point, decimals = shown.text.partition(".")
    text = f"{int(whole):,}" if len(whole) > 4 else whole
    return f"{text}{point}{decimals} {shown.unit}".strip().replace("-", "−")


def result(step: ExerciseStep) -> str:
    """The result of a `step` with its unit."""
    return step.result if step.result in ("yes", "no") else number(Shown(step.key, step.result, step.unit))


def equation(step: ExerciseStep) -> str:
    """A `step` as it stands on paper.

    >>> equation(ExerciseStep("usable", "560 - 3*2.029", "553.91", "m", "near"))
    '560 − 3 × 2.029 = 553.91 m'
    >>> equation(ExerciseStep("estimate", "9.37", "10", "", "up"))
    '9.37: 10'
    """
    plain_number = step.expression.replace(".", "").isdigit()
    return f"{said(step.expression)}{': ' if plain_number or not step.rounded else ' = '}{result(step)}"


def label(words: Words, step: ExerciseStep, weighs: bool) -> str:
    """What a `step` does, by the `words` of the exercises; `weighs` where a force is divided by what a mass weighs."""
    gravity = ", divided by what one tonne weighs" if weighs else ""
    text: str = words["steps"][step.key].format(gravity=gravity)
    if not step.part:
        return text
    part = words["fitness"]["criteria"].get(step.part)
    if part is None:
        part = words["parts"]["row" if step.key in BY_ROW else "pass"].format(part=step.part)
    return f"{text} ({part})"


BY_ROW = frozenset({"row_reaches", "carried", "planned"})


def cell(words: Words, found: Shown | str) -> str:
    """A cell of a table as `found`: a number with its unit, a name, or what stands for it in the `words`."""
    if isinstance(found, Shown):
        return number(found)
    kind, _, name = found.partition(":")
    if kind == "criterion":
        return str(words["fitness"]["criteria"][name])
    if kind == "read":
        return str(words["fitness"]["read"][name])
    return str(words["to_be_found"]) if found == "to-be-found" else found


def named(words: Words, exercise: Exercise) -> dict[str, str]:
    """What the question of an `exercise` names, by the `words`; all but the boom length."""
    parts = {name: str(value) for name, value in exercise.named}
    parts |= {"machine": exercise.machine.name}
    if exercise.case:
        parts["configuration"] = exercise.case.configuration.name
    for name, texts in (("place", "places"), ("regime", "regimes")):
        if name in parts:
            parts[name] = words[texts][parts[name]]
    return parts


def verdict(words: Words, exercise: Exercise) -> str:
    """The verdict of an `exercise` in `words`; empty where its numbers say all."""
    if exercise.topic == "discard":
        return str(words["fitness"]["outcomes"][exercise.verdict]["text"])
    return str(words["verdicts"][exercise.verdict])


def printed(found: Iterable[Exercise], words: Words, units: str, seed: int) -> str:
    """The exercises `found` as text in the `units` "metric" or "us": all questions, then all answers.

    `words` are those of the exercises with those of the inspection under "fitness", `seed` the number of the set.
    """
    at = [system.name for system in SYSTEMS].index(units)
    questions, answers = [f"Exercises, set {seed}"], [f"Answers, set {seed}"]
    for count, exercise in enumerate(found, 1):
        done = exercise.worked[at]
        topic = words["topics"][exercise.topic]
        boom = ""
        if exercise.case:
            boom = number(Sheet(SYSTEMS[at]).shown("", exercise.case.chart.boom_length, "length"))
        questions += ["", f"{count} {topic['title']}", topic["text"].format(**named(words, exercise), boom=boom)]
        questions += [f"  {words['given'][one.key]}: {number(one)}" for one in done.given]
        questions += [line for table in done.tables for line in _table(words, table)]
        questions += [f"  ? {ask}" for ask in topic["ask"]]
        answers += ["", f"{count} {topic['title']}", *_answer(words, exercise, done)]
        answers.append(topic["after"].format(**named(words, exercise)))
    return "\n".join([*questions, "", *answers])


def _table(words: Words, table: ExerciseTable) -> Iterator[str]:
    named_columns = words["tables"][table.key]
    yield f"  {named_columns['title']}: " + " | ".join(named_columns[column] for column in table.columns)
    for row in table.rows:
        yield "    " + " | ".join(cell(words, one) for one in row)


def _answer(words: Words, exercise: Exercise, done: Worked) -> Iterator[str]:
    for step in done.steps:
        yield f"  {label(words, step, '9.80665' in step.expression)}"
        yield f"    {equation(step)}"
    said_all = [words["answers"][one.key].format(number=number(one)) for one in done.answers]
    yield " ".join(filter(None, [*said_all, verdict(words, exercise)]))


def plain(found: Iterable[Exercise], seed: int, day: str) -> dict[str, Any]:
    """The exercises `found` as plain data in both unit systems, numbers as they are shown; `seed` and `day` as in
    `exercises.exercises`."""
    return {
        "schema": SCHEMA_VERSION,
        "seed": seed,
        "day": day,
        "exercises": [
            {
                "topic": one.topic,
                "machine": one.machine.id,
                "boom": one.case and one.case.chart.slug,
                "configuration": one.case and one.case.configuration.id,
                "named": dict(one.named),
                "rules": list(one.rules),
                "verdict": one.verdict,
                **{system.name: _worked(done) for system, done in zip(SYSTEMS, one.worked, strict=True)},
            }
            for one in found
        ],
    }


def _worked(done: Worked) -> dict[str, Any]:
    return {
        "given": [_plain(one) for one in done.given],
        "tables": [
            {
                "table": table.key,
                "columns": list(table.columns),
                "rows": [[one if isinstance(one, str) else _plain(one) for one in row] for row in table.rows],
            }
            for table in done.tables
        ],
        "steps": [
            {"step": s.key, "part": s.part, "expression": s.expression, "result": s.result, "unit": s.unit}
            for s in done.steps
        ],
        "answers": [_plain(one) for one in done.answers],
    }


def _plain(one: Shown) -> dict[str, str]:
    return {"name": one.key, "number": one.text, "unit": one.unit}
