"""What is odd about a crane's data, and which of it an engineer has answered."""

from __future__ import annotations

from collections.abc import Mapping

from calc.checks import plausible
from calc.data import rule_values, rulebook
from calc.data.files import Document, Problem
from calc.data.model import Finding, Machine, Rule


def findings(
    machine: Machine, document: Document, rules: Mapping[str, Rule], day: str
) -> tuple[tuple[Finding, ...], list[Problem]]:
    """What is odd about a `machine` on a `day`, with the answers, and what cannot be: a problem for each contradiction,
    for each finding of an approved machine that nobody has answered and for each answer without a finding.

    Neither for an earlier revision that ended before the rules began.
    """
    first = machine.configurations[0].charts[0].boom_length
    given = {name: each[0].quantity for name, each in rulebook.given(rules.values(), machine, first, day).items()}
    if not given.keys() >= {*rulebook.needed(machine, given).values(), *rule_values.FOR_THE_CHECK}:
        return (), []
    values, _ = rulebook.resolve(rules.values(), machine, first, day)
    layers = rulebook.drum_layers(machine, values.rise_ratio)
    limits = {name: given[name] for name in rule_values.FOR_THE_CHECK} | {"freeboard": values.freeboard}
    answers = {(entry["finding"], entry["where"]): i for i, entry in enumerate(document.data.get("answers", ()))}
    odd: list[Finding] = []
    problems: list[Problem] = []
    for oddity in plausible.oddities(machine, layers, limits):
        where = document.where(oddity.path)
        if oddity.contradiction:
            problems.append(document.problem(oddity.path, oddity.text.of(machine.units)))
            continue
        answered = answers.pop((oddity.code, where), None)
        answer = None if answered is None else document.data["answers"][answered]
        if answer is None and machine.status == "approved":
            text = f"the finding {oddity.code} is open, but the machine is approved; answer it or write status: draft"
            problems.append(document.problem(oddity.path, text))
        signed = answer and f"{answer['answer']} ({answer['by']}, {answer['date']})"
        odd.append(Finding(oddity.code, where, oddity.text, signed))
    for unused in answers.values():
        text = "answers a finding there is not; take the answer out"
        problems.append(document.problem(("answers", unused), text))
    return tuple(odd), problems
