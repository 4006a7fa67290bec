"""What moves from one record to another, why, and the report a reviewer reads.

A number may move for a cause only: a version of a rule, a revision of a machine, a version of a table, other weights in
the yard, a longer log.  A number that moved without one comes from changed code, and stands against the change unless
it is said to be a formula correction.  What is published under a day never changes again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from html import escape

from calc import rounding
from calc.changes.record import COMPUTED, INPUT, NONE, VERSION, Line, Record

SAME_NUMBER = 2e-6  # one step of the last printed decimal is no difference: other code may add in another order
MOST_LISTED = 150  # numbers written out for one crane; all of them stand in the records
FROM_THE_PLAN_ALONE = ("plan", "sensitivity", "work")  # logs and tables have no part in these


@dataclass(frozen=True)
class Moved:
    """One line that is not the same: before and after, None where it is not there."""

    path: str
    before: Line | None
    after: Line | None

    @property
    def machine(self) -> str:
        return self.path.split("/")[1]


@dataclass(frozen=True)
class Headline:
    """A number that a plan is known by: what it is called, and how it stands before and after in both units; None where
    there is none.  `change` as a share of the number before, None where that says nothing."""

    name: str
    before: rounding.Pair | None
    after: rounding.Pair | None
    change: float | None


@dataclass(frozen=True)
class PlanMoved:
    """One plan that is not the same: machine, boom, configuration, its headlines that moved, how many other numbers;
    the code of its refusal before and after, empty where it is possible, None where there is no plan."""

    machine: str
    boom: str
    configuration: str
    headlines: tuple[Headline, ...]
    others: int
    refused: tuple[str | None, str | None]


@dataclass(frozen=True)
class Comparison:
    """Two records of one day held against each other."""

    base: Record
    head: Record

    @cached_property
    def day(self) -> str:
        return self.head["day"].value

    @cached_property
    def inputs(self) -> tuple[Moved, ...]:
        """What is in force and is not the same."""
        return tuple(self._moved(lambda kind: kind == INPUT))

    @cached_property
    def moved(self) -> tuple[Moved, ...]:
        """What is computed and is not the same."""
        return tuple(self._moved(lambda kind: kind in COMPUTED))

    def _moved(self, wanted: Callable[[str], bool]) -> Iterator[Moved]:
        for path in dict.fromkeys((*self.base, *self.head)):
            before, after = self.base.get(path), self.head.get(path)
            if before != after and wanted(path.partition("/")[0]) and not _same(before, after):
                yield Moved(path, before, after)

    @cached_property
    def count(self) -> int:
        """How many computed numbers there are in the two."""
        return sum(path.partition("/")[0] in COMPUTED for path in {**self.base, **self.head})

    @cached_property
    def plans(self) -> tuple[PlanMoved, ...]:
        """Every plan that is not the same, in the order of the record."""
        of: dict[str, list[Moved]] = {}
        for one in self.moved:
            kind, *at = one.path.split("/")
            if kind == "plan":
                of.setdefault("/".join(at[:3]), []).append(one)
        return tuple(_plan(self.base, self.head, at, moved) for at, moved in of.items())

    @cached_property
    def plan_count(self) -> int:
        return len({*_plans(self.base), *_plans(self.head)})

    @cached_property
    def edited(self) -> tuple[Moved, ...]:
        """Published versions that are not as they were."""
        found = [Moved(path, line, self.head.get(path)) for path, line in self.base.items()]
        return tuple(one for one in found if one.path.startswith(f"{VERSION}/") and one.before != one.after)

    @cached_property
    def backdated(self) -> tuple[str, ...]:
        """Versions that are new and begin before the day that is compared."""
        new = (path for path in self.head if path.startswith(f"{VERSION}/") and path not in self.base)
        return tuple(path for path in new if path.rpartition("/")[2] < self.day)

    @cached_property
    def unexplained(self) -> tuple[Moved, ...]:
        """Numbers that moved without a cause among the inputs."""
        causes = {_cause(one.path) for one in self.inputs} - {None}
        if "rule" in causes:
            return ()
        yards = {id: self._input(f"machine/{id}/yard") for id in {one.machine for one in self.moved}}

        def explained(one: Moved) -> bool:
            mine = {f"machine/{one.machine}", f"yard/{yards[one.machine]}"}
            if one.path.partition("/")[0] not in FROM_THE_PLAN_ALONE:
                mine |= {f"log/{one.machine}", "table"}
            return bool(mine & causes)

        return tuple(one for one in self.moved if not explained(one))

    def _input(self, name: str) -> str | None:
        line = self.head.get(f"{INPUT}/{name}") or self.base.get(f"{INPUT}/{name}")
        return line and line.value


def _same(before: Line | None, after: Line | None) -> bool:
    if before is None or after is None or before.unit != after.unit:
        return False
    numbers = _value(before), _value(after)
    return None not in numbers and abs(numbers[0] - numbers[1]) <= SAME_NUMBER  # type: ignore[operator]


def _value(line: Line | None) -> float | None:
    try:
        return None if line is None else float(line.value)
    except ValueError:
        return None


def _cause(path: str) -> str | None:
    """What a changed input may move: the rules as a whole, one machine, one yard, one log, the tables; None for words
    and for values that nothing reads."""
    _, kind, id, *rest = path.split("/")
    if kind == "rule":
        return None if rest[0] in ("title", "from", "informative") else "rule"
    if kind == "machine" and rest[0] in ("name", "revision", "status", "units"):
        return None
    return "table" if kind == "table" else f"{kind}/{id}"


# Plans


def _both(text: str) -> rounding.Pair:
    return rounding.Pair(text, text)


def _hook(height: float) -> rounding.Pair:
    """Where the hook stops, as the plan says it."""
    return rounding.length(height, "up") if height > 0 else _both("ground")


_HEADLINES: tuple[tuple[str, str, Callable[[float], rounding.Pair]], ...] = (
    ("falls", "falls/used", lambda value: _both(f"{value:.0f}")),
    ("load", "load/planned_kg", lambda value: rounding.mass(value, "up")),
    ("start radius", "stops/start_radius_m", lambda value: rounding.length(value, "up")),
    ("hook not below", "stops/hook_height_m", _hook),
)
_METHODS = ("luff-out", "telescope-in")


def _minutes(value: float) -> rounding.Pair:
    return _both(f"{rounding.whole_minutes(value)} min")


def _share(value: float) -> rounding.Pair:
    return _both(rounding.share(value, "down"))


def _plans(record: Record) -> Iterator[str]:
    for path in record:
        kind, *at = path.split("/")
        if kind == "plan" and at[3:] == ["falls", "used"]:
            yield "/".join(at[:3])


def _plan(base: Record, head: Record, at: str, moved: Sequence[Moved]) -> PlanMoved:
    before, after = _known_by(base, at), _known_by(head, at)
    headlines = tuple(_headlines(before, after))
    machine, boom, configuration = at.split("/")
    refused = _refusal(base, at), _refusal(head, at)
    return PlanMoved(machine, boom, configuration, headlines, max(len(moved) - len(headlines), 0), refused)


def _refusal(record: Record, at: str) -> str | None:
    if f"plan/{at}/falls/used" not in record:
        return None
    refused = record.get(f"plan/{at}/refused/code")
    return refused.value if refused else ""


_Known = Mapping[str, tuple[float | None, rounding.Pair]]


def _known_by(record: Record, at: str) -> _Known:
    """What a plan is known by: by name the exact number, None for a word, and how a page says it."""
    found: dict[str, tuple[float | None, rounding.Pair]] = {}
    for name, path, say in _HEADLINES:
        value = _value(record.get(f"plan/{at}/{path}"))
        if value is not None:
            found[name] = value, say(value)
    for method in _METHODS:
        here, called = f"plan/{at}/methods/{method}", method.replace("-", " ")
        refused = record.get(f"{here}/refused/code")
        if refused:
            found[called] = None, _both("not possible")
        count = 0
        while f"{here}/passes/{count + 1}/minutes" in record:
            count += 1
        minutes = _value(record.get(f"{here}/minutes"))
        share = _value(record.get(f"{here}/passes/{count}/firm_share"))
        if minutes is None or share is None:
            continue
        found[called] = float(count), _both("1 pass" if count == 1 else f"{count} passes")
        found[f"{called}, firm"] = share, _share(share)
        found[f"{called}, time"] = minutes, _minutes(minutes)
    return found


def _headlines(before: _Known, after: _Known) -> Iterator[Headline]:
    for name in dict.fromkeys((*before, *after)):
        was, now = before.get(name), after.get(name)
        if was and now and was[1] == now[1]:
            continue  # a page says the same
        change = _share_of(was and was[0], now and now[0])
        yield Headline(name, was and was[1], now and now[1], change)


def _share_of(before: float | None, after: float | None) -> float | None:
    """A change as a share of the number before; None where that says nothing: no number, or not above 0."""
    return after / before - 1 if before is not None and after is not None and before > 0 else None


# The report


@dataclass(frozen=True)
class Report:
    """A report as Markdown, and whether the change has to stop."""

    text: str
    stop: bool


def report(comparisons: Sequence[Comparison], correction: str = "") -> Report:
    """What a reviewer reads of `comparisons` of the same two states of the project, one for each day, the first day
    first.

    It stops when a published version was edited or taken away, and when numbers moved without a cause and no
    `correction` of a formula is named.
    """
    edited = comparisons[0].edited
    unexplained = [one for one in comparisons if one.unexplained]
    stop = bool(edited or (unexplained and not correction))
    lines = ["## What moves", "", *_verdict(comparisons, stop, correction), ""]
    if edited:
        lines += ["### Published versions that were edited", "", *map(_edited, edited), ""]
    for number, one in enumerate(comparisons):
        lines += _day(one, first=number == 0)
    return Report("\n".join(lines).rstrip() + "\n", stop)


def _verdict(comparisons: Sequence[Comparison], stop: bool, correction: str) -> Iterator[str]:
    edited = comparisons[0].edited
    unexplained = {one.day: len(one.unexplained) for one in comparisons if one.unexplained}
    if not stop and not any(one.inputs or one.moved for one in comparisons):
        count = comparisons[0].count
        yield f"**Nothing moves**: {_days(comparisons)}, all {count:,} published numbers stay as they are."
        return
    if stop:
        yield "**Stop.**"
    elif unexplained:
        yield "**A formula correction.** Every published version is as it was."
    else:
        yield "**Every number that moved has a cause, and every published version is as it was.**"
    yield ""
    if edited:
        yield f"- {_count(len(edited), 'published version')} edited. What is published under a day never changes again."
    for day, count in unexplained.items():
        yield f"- As of {day}, {_count(count, 'number')} moved though nothing in the data did. " + (
            f"Said to be a formula correction: {_text(correction)}"
            if correction
            else "If that is meant, say why in a last line `Formula-correction: …` of a commit message."
        )
    for one in comparisons[0].backdated:
        _, _, id, day = one.split("/")
        yield f"- {_text(id)} begins on {day}, a day gone by: what was published for the days since then changes, too."


def _days(comparisons: Sequence[Comparison]) -> str:
    days = [one.day for one in comparisons]
    return f"as of {days[0]}" if len(days) == 1 else f"as of {', '.join(days[:-1])} and {days[-1]}"


def _edited(one: Moved) -> str:
    _, kind, id, day = one.path.split("/")
    what = "was edited" if one.after else "was taken away"
    advice = {
        "rule": "put it back, and add a version on top with the day it holds from",
        "table": "put it back, and add a version on top with the day it holds from",
        "machine": f"keep it as `machines/earlier/{id}.{day}.yaml`, and give the new one a revision of its own",
    }[kind]
    return f"- {kind.capitalize()} {_text(id)}, version of {day}, {what}: {advice}."


def _day(one: Comparison, first: bool) -> Iterator[str]:
    yield from (f"### As of {one.day}" + ("" if first else ", when something begins"), "")
    if not one.inputs and not one.moved:
        yield from ("Nothing moves.", "")
        return
    yield from _inputs(one)
    plans = f"{len(one.plans)} of {_count(one.plan_count, 'plan')}"
    yield from (f"**{len(one.moved):,} of {one.count:,} numbers moved**, in {plans}.", "")
    yield from _possible(one.plans)
    for machine in dict.fromkeys(moved.machine for moved in one.moved):
        yield from _machine(one, machine)


def _inputs(one: Comparison) -> Iterator[str]:
    shown = [moved for moved in one.inputs if not moved.path.endswith(("_digest", "/title"))]
    if not one.inputs:
        yield from ("Nothing in the data changed.", "")
        return
    yield "| changed in the data | before | after |"
    yield "|---|---:|---:|"
    for moved in shown:
        yield f"| {_input_name(one, moved.path)} | {_cell(moved.before)} | {_cell(moved.after)} |"
    for log in [moved for moved in one.inputs if moved.path.endswith("_digest")]:
        if log.path.removesuffix("_digest") not in {moved.path for moved in shown}:
            yield f"| {_input_name(one, log.path.removesuffix('_digest'))} | as they were | edited |"
    yield ""


def _input_name(one: Comparison, path: str) -> str:
    _, kind, id, *rest = path.split("/")
    name = " ".join(rest).replace("_", " ")
    called = one._input(f"{kind}/{id}/title") or one._input(f"{kind}/{id}/name")
    head = f"{kind} {id}" if kind != "rule" else id
    return f"{_text(f'{head} {called}' if called and kind == 'rule' else head)}: {_text(name)}"


def _possible(plans: Iterable[PlanMoved]) -> Iterator[str]:
    """Plans that are newly refused, possible, there or gone, each under its own heading line."""
    kinds: dict[str, list[str]] = {}
    for plan in plans:
        was, now = plan.refused
        name = _plan_name(plan)
        if was is None or now is None:
            kinds.setdefault("New plans" if was is None else "Plans that are gone", []).append(name)
        elif bool(was) != bool(now):
            kinds.setdefault("Newly possible" if was else "Newly refused", []).append(f"{name} ({was or now})")
    for kind, names in kinds.items():
        yield f"- **{kind}**: {'; '.join(names)}"
    if kinds:
        yield ""


def _plan_name(plan: PlanMoved) -> str:
    return _text(f"{plan.machine} {plan.boom} {plan.configuration}")


def _machine(one: Comparison, machine: str) -> Iterator[str]:
    us = one._input(f"machine/{machine}/units") == "us"
    plans = [plan for plan in one.plans if plan.machine == machine]
    yield from (f"#### {_text(one._input(f'machine/{machine}/name') or machine)}", "")
    rows = [(plan, headline) for plan in plans for headline in plan.headlines]
    if rows:
        yield "| boom | | before | after | change |"
        yield "|---|---|---:|---:|---:|"
        last = None
        for plan, headline in rows:
            name = f"{plan.boom} {plan.configuration}" if plan is not last else ""
            before, after = (_side(pair, us) for pair in (headline.before, headline.after))
            yield f"| {_text(name)} | {headline.name} | {before} | {after} | {_percent(headline.change)} |"
            last = plan
        yield ""
    small = [f"{plan.boom} {plan.configuration}" for plan in plans if not plan.headlines]
    if small:
        yield from (f"Move by less than their page shows: {_text(', '.join(small))}.", "")
    moved = [each for each in one.moved if each.machine == machine]
    kinds = Counter(each.path.partition("/")[0] for each in moved)
    told = ", ".join(f"{kind} {count:,}" for kind, count in kinds.items())
    yield from (f"<details><summary>{_count(len(moved), 'number')} moved: {told}</summary>", "")
    yield "| number | before | after | change |"
    yield "|---|---:|---:|---:|"
    for each in moved[:MOST_LISTED]:
        path = each.path.replace(f"/{machine}/", " ", 1).replace("/", " ").replace("_", " ")
        change = _percent(_share_of(_value(each.before), _value(each.after)))
        yield f"| {_text(path)} | {_cell(each.before)} | {_cell(each.after)} | {change} |"
    yield ""
    if len(moved) > MOST_LISTED:
        yield from (f"{len(moved) - MOST_LISTED:,} more stand in the records.", "")
    yield from ("</details>", "")


def _side(pair: rounding.Pair | None, us: bool) -> str:
    return "–" if pair is None else _text(pair.us if us else pair.metric)


def _percent(change: float | None) -> str:
    """A change as a share, in per cent with a sign.

    >>> _percent(0.02654), _percent(-0.5), _percent(None), _percent(0.00001)
    ('+2.7 %', '-50.0 %', '', '+0.0 %')
    """
    return "" if change is None else f"{change * 100:+.1f} %"


_LARGER = {"N": (1e3, "kN"), "N/m2": (1e6, "N/mm2"), "W": (1e3, "kW")}


def _cell(line: Line | None) -> str:
    if line is None or line.value == NONE:
        return "–"
    value = _value(line)
    factor, unit = _LARGER.get(line.unit, (1.0, line.unit))
    if line.unit == "m" and value and abs(value) < 0.1:
        factor, unit = 1e-3, "mm"
    text = line.value if factor == 1 or value is None else f"{value / factor:.10g}"
    return _text(" ".join(filter(None, (text, unit))))


def _count(count: int, word: str) -> str:
    return f"{count:,} {word}" if count == 1 else f"{count:,} {word}s"


_MARKS = str.maketrans({mark: f"\\{mark}" for mark in "\\`*_[]|#!~"})


def _text(text: str) -> str:
    """A text as text in Markdown, whatever it holds.

    >>> _text("a|b *c* <d>\\n# e")
    'a\\\\|b \\\\*c\\\\* &lt;d&gt; \\\\# e'
    """
    return escape(" ".join(text.split()), quote=False).translate(_MARKS)
