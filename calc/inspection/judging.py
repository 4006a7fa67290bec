"""What readings at one place of a rope come to against the limits of one regime.

A limit that is held from memory never ends the use of a rope by itself: what reaches it is to be verified.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from calc.data.entries import Place
from calc.data.tables import Bands, Verdict
from calc.fields import Category, CriterionName, Group, ReadHow, Severity
from calc.formulas import ROUNDING, rope
from calc.inspection.discard import ISO, Limit, Regime, category, limit_diameter, limits, verdict_of
from calc.inspection.rope_fields import Lacking, Outcome

# What a reading, a place or a whole rope comes to, by gravity.
NONE_MET: Final = "none-met"
UNDECIDED: Final = "undecided"
WATCH: Final = "watch"
VERIFY: Final = "verify"
MET: Final = "met"
OUTCOMES: tuple[Outcome, ...] = (NONE_MET, UNDECIDED, WATCH, VERIFY, MET)

SUM: Final = "combined-severity"
NOT_IN_THE_TABLE: Final = "broken-wires-6d"  # what stays undecided where the tables have no row for a rope
GRADES: tuple[Severity, ...] = ("slight", "medium", "high", "very_high", "discard")

# Criterion -> where its broken wires were counted.
COUNTED: dict[CriterionName, str] = {
    "broken-wires-6d": "in_6_diameters",
    "broken-wires-30d": "in_30_diameters",
    "broken-wires-lay": "in_one_lay",
    "broken-wires-strand": "in_one_strand",
    "broken-wires-valley": "in_valleys",
    "broken-wires-end": "at_end_fitting",
}


@dataclass(frozen=True)
class Found:
    """One criterion at one place and what it comes to: reading and limit in one unit, reading as a share of the limit,
    severity for the sum and its name, category of the regulation, what is lacking to decide.

    Of a diameter or a gap also what was measured and its limit [m], and what is left up to the limit [m], below 0 past
    it.  `information`: the limit is not made for this place, so the reading gives no verdict and no severity.
    """

    criterion: CriterionName
    group: Group
    outcome: Outcome
    read: ReadHow
    reading: float | None = None
    limit: float | None = None
    share: float | None = None
    severity: float | None = None
    grade: Severity | None = None
    category: Category = None
    may_be_cut_out: bool = True
    measured: float | None = None
    measured_limit: float | None = None
    margin: float | None = None
    information: bool = False
    lacking: Lacking | None = None


def judge(regime: Regime, place: Place) -> tuple[Found, ...]:
    """What the readings at one `place` come to under one `regime`: every criterion that was read, the sum of severities
    last.

    Errors: ValueError as `rope.diameter_decrease`.  Rules: rope-verdict, combined-severity and those of
    `discard.limits`.
    """
    asked = limits(regime, place.kind)
    findings = [finding for limit in asked for finding in _measured(regime, place, limit)]
    if place.broken_wires and regime.name == ISO and not any(limit.counts for limit in asked):
        verdict = verdict_of(regime, NOT_IN_THE_TABLE)
        group = regime.tables.criteria[NOT_IN_THE_TABLE].group
        read: ReadHow = "from-memory" if verdict is None else verdict.read
        findings.append(Found(NOT_IN_THE_TABLE, group, UNDECIDED, read, lacking="row-in-the-table"))
    findings += [finding for name in place.seen or () for finding in _seen(regime, name)]
    return (*findings, *_combined(regime, findings))


def outcome_at(regime: Regime, place: Place) -> Outcome:
    """The gravest of what the readings at one `place` come to under one `regime`."""
    return worst(one.outcome for one in judge(regime, place))


def category_at(regime: Regime, place: Place) -> Category:
    """The highest category of what was found at one `place` under one `regime`; None where nothing was."""
    return max((one.category for one in judge(regime, place) if one.category), default=None)


def worst(outcomes: Iterable[Outcome]) -> Outcome:
    """The gravest of several `outcomes`; below every limit where there are none.

    >>> worst(["none-met", "verify", "watch"])
    'verify'
    """
    return max(outcomes, key=OUTCOMES.index, default=NONE_MET)


def grade(severity: float, values: Mapping[str, float]) -> Severity | None:
    """The name of a `severity` [-]: the highest whose share of the `values` of the rule it reaches; None below all.

    >>> grade(0.59, {"slight": 0.2, "medium": 0.4, "high": 0.6, "very_high": 0.8, "discard": 1.0})
    'medium'
    """
    return next((name for name in reversed(GRADES) if severity >= values[name] - ROUNDING), None)


# -- measured -------------------------------------------------------------------------------------------------------


def _measured(regime: Regime, place: Place, limit: Limit) -> Iterator[Found]:
    if limit.criterion in COUNTED:
        if place.broken_wires is not None:
            yield from _counted(regime, limit, place.broken_wires)
    elif limit.criterion == "waviness":
        if place.waviness is not None:
            gap = place.waviness
            yield replace(
                _against(regime, limit, gap), measured=gap, measured_limit=limit.value, margin=limit.value - gap
            )
    elif place.diameter is not None:
        yield from _diameter(regime, limit, sum(place.diameter) / 2)


def _counted(regime: Regime, limit: Limit, broken: Mapping[str, int]) -> Iterator[Found]:
    """A count against its limit.

    One lay is longer than 6 rope diameters and shorter than 30: where it was not counted by itself those two counts
    bound it, and the count in one lay bounds that in one strand of it.
    """
    reading = broken.get(COUNTED[limit.criterion])
    if reading is not None:
        yield _against(regime, limit, reading)
    elif limit.criterion in ("broken-wires-lay", "broken-wires-strand"):
        of_lay = limit.criterion == "broken-wires-lay"
        least = broken["in_6_diameters"] if of_lay else 0
        most = broken["in_30_diameters"] if of_lay else broken.get("in_one_lay", broken["in_30_diameters"])
        if least >= limit.value:
            yield _against(regime, limit, least)
        elif most >= limit.value:
            yield _lacking(limit, "count-in-one-lay" if of_lay else "count-in-one-strand")


def _diameter(regime: Regime, limit: Limit, measured: float) -> Iterator[Found]:
    nominal = regime.facts.diameter
    reference = regime.reference if regime.name == ISO else nominal
    if reference is not None:
        decrease = rope.diameter_decrease(reference, measured, nominal)
        thinner = limit.criterion == "diameter-decrease"
        if thinner or decrease < 0:
            found = _against(regime, limit, decrease if thinner else -decrease)
            at = limit_diameter(regime, limit)
            margin = None if at is None else measured - at if thinner else at - measured
            yield replace(found, measured=measured, measured_limit=at, margin=margin)
    elif limit.criterion == "diameter-decrease" and not limit.information:
        yield _lacking(limit, "reference-diameter")


def _against(regime: Regime, limit: Limit, reading: float) -> Found:
    verdict = verdict_of(regime, limit.criterion)
    assert verdict is not None, "discard.limits gives no limit without a verdict"
    share = max(0.0, reading / limit.value)  # a diameter that grew has not decreased
    if limit.information:
        return Found(
            criterion=limit.criterion,
            group=limit.group,
            outcome=NONE_MET,
            read=limit.read,
            reading=reading,
            limit=limit.value,
            share=share,
            may_be_cut_out=verdict.may_be_cut_out,
            information=True,
        )
    reached = reading > limit.value + ROUNDING if limit.beyond else reading >= limit.value - ROUNDING
    severity = _severity(regime, limit, reading, share, reached)
    return Found(
        criterion=limit.criterion,
        group=limit.group,
        outcome=_outcome(verdict, limit.read) if reached else NONE_MET,
        read=limit.read,
        reading=reading,
        limit=limit.value,
        share=share,
        severity=severity,
        grade=None if severity is None else grade(severity, regime.values),
        category=limit.category if reached else None,
        may_be_cut_out=verdict.may_be_cut_out,
    )


def _outcome(verdict: Verdict, read: ReadHow) -> Outcome:
    """What follows where the limit is reached, or the thing is seen."""
    if verdict.outcome != "discard":
        return WATCH if verdict.outcome == "watch" else NONE_MET
    return VERIFY if read == "from-memory" else MET


def _severity(regime: Regime, limit: Limit, reading: float, share: float, reached: bool) -> float | None:
    """Severity for the sum: the share of the limit; of a decrease of the diameter, the band it lies in."""
    if regime.name != ISO:
        return None
    if limit.criterion != "diameter-decrease" or reached:
        return share
    return band(reading, regime.tables.bands[regime.facts.kind], regime.values)


def band(decrease: float, bands: Bands, values: Mapping[str, float]) -> float:
    """Severity of a `decrease` of the diameter short of its limit: the band it lies in, 0 below the first; `values` are
    the shares of the severities by name.

    Rules: diameter-decrease-iso, combined-severity.  Source: ISO 4309:2017, uniform decrease in diameter, from memory.
    """
    return max((values[name] for name, start in bands.starts.items() if decrease >= start - ROUNDING), default=0.0)


def _lacking(limit: Limit, what: Lacking) -> Found:
    return Found(limit.criterion, limit.group, UNDECIDED, limit.read, limit=limit.value, lacking=what)


# -- seen, and all together -----------------------------------------------------------------------------------------


def _seen(regime: Regime, name: CriterionName) -> Iterator[Found]:
    verdict = verdict_of(regime, name)
    if verdict is not None:
        severity = None if verdict.severity is None else regime.values[verdict.severity]
        yield Found(
            criterion=name,
            group=regime.tables.criteria[name].group,
            outcome=_outcome(verdict, verdict.read),
            read=verdict.read,
            severity=severity,
            grade=verdict.severity,
            category=category(regime, verdict),
            may_be_cut_out=verdict.may_be_cut_out,
        )


def _combined(regime: Regime, findings: list[Found]) -> Iterator[Found]:
    """The sum of severities at one place, the gravest of each kind of deterioration; only where kinds meet."""
    verdict = verdict_of(regime, SUM)
    worst_of: dict[str, float] = {}
    for finding in findings:
        if finding.severity:
            worst_of[finding.group] = max(finding.severity, worst_of.get(finding.group, 0.0))
    if verdict is None or len(worst_of) < 2:
        return
    total, limit = sum(worst_of.values()), regime.values["discard"]
    yield Found(
        criterion=SUM,
        group=regime.tables.criteria[SUM].group,
        outcome=_outcome(verdict, verdict.read) if total >= limit - ROUNDING else NONE_MET,
        read=verdict.read,
        reading=total,
        limit=limit,
        share=total / limit,
        severity=total,
        grade=grade(total, regime.values),
        may_be_cut_out=verdict.may_be_cut_out,
    )


def limit_side(criterion: str) -> str:
    """Side to which the limit of a `criterion` in mm is rounded: the one that ends the use sooner."""
    return "up" if criterion == "diameter-decrease" else "down"


def margin_side(criterion: Mapping[str, Any]) -> str:
    """On which side of its limit a diameter or a gap lies, a `criterion` as data: left, none or past."""
    return "left" if criterion["margin_m"] > 0 else "past" if criterion["margin_m"] < 0 else "none"
