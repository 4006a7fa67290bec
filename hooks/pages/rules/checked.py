"""The page "How the numbers are checked": every value from outside against this calculation, at every build."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path

from jinja2 import Environment

from calc import ROOT
from calc.data.model import Rule
from calc.formulas import ROUNDING
from calc.teaching import outside
from hooks.text import addresses
from hooks.text.cite import cited
from hooks.text.environment import render
from hooks.text.page import Page, headings, root
from hooks.text.words import Words

CASES = ROOT / "tests/cases"
MORE_DIGITS = 1  # of what is got, beyond the printed ones

Results = list[tuple[outside.OutsideCase, tuple[outside.Compared, ...]]]


@dataclass(frozen=True)
class Topic:
    """The cases of one module with what they gave."""

    module: str
    cases: Results

    @property
    def values(self) -> int:
        return sum(len(values) for _, values in self.cases)

    @property
    def failing(self) -> int:
        return sum(not value.agrees for _, values in self.cases for value in values)


def page(
    env: Environment, words: Words, rules: Mapping[str, Rule], day: str, cases: Path = CASES, site: str | None = None
) -> Page:
    """The page, made by running every case of a folder against the rules of a day; the site is published at `site`."""
    results = list(outside.results(cases, rules, day))
    failing = [(case, value) for case, values in results for value in values if not value.agrees]
    body = render(
        env,
        "checked.html",
        root=root(addresses.CHECKED),
        topics=topics(results, list(words.get("checked.topics"))),
        count=len(results),
        values=sum(len(values) for _, values in results),
        failing=failing,
        kinds=outside.READ,
        read=Counter(case.read for case, _ in results),
        expected=expected,
        got=got,
        difference=difference,
        allowed=allowed,
        cited=cited(
            words, site, addresses.CHECKED, words.get("checked.title"), words.get("cite.guidance").format(day=day), day
        ),
    )
    return Page(
        address=addresses.CHECKED,
        title=words.get("checked.title"),
        description=words.get("checked.description"),
        search_text=words.get("checked.search"),
        toc=headings(body),
        html=body,
    )


def topics(results: Results, order: list[str]) -> list[Topic]:
    """The results by module, in the order of the words file.  Errors: ValueError for a module without words."""
    modules = sorted({case.module for case, _ in results}, key=order.index)
    return [Topic(module, [(case, got) for case, got in results if case.module == module]) for module in modules]


def expected(case: outside.OutsideCase, value: outside.Compared) -> str:
    """The value as printed, thousands parted, with its relation where that is not equality.

    >>> from calc.teaching.outside import OutsideCase, Compared
    >>> limit = OutsideCase("drum", {}, "n", "5180 ft", "s", "yes", relation="at most")
    >>> expected(limit, Compared("", "5180 ft", 4808.1, -371.9, 0.5, True))
    'at most 5,180 ft'
    """
    number, _, unit = value.expected.partition(" ")
    try:
        number = f"{Decimal(number):,}"
    except InvalidOperation:
        return value.expected
    text = f"{number} {unit}".strip()
    return text if case.relation == "equal" else f"{case.relation} {text}"


def got(value: outside.Compared) -> str:
    """What the calculation gives, one digit further than printed; a whole number stays whole.

    >>> from calc.teaching.outside import Compared
    >>> got(Compared("", "91.3 kN", 91.304347, 0.004347, 0.05, True))
    '91.30'
    """
    return value.got if isinstance(value.got, str) else _number(value.got, value)


def difference(value: outside.Compared) -> str:
    """Got less expected with its sign; nothing for words.

    >>> from calc.teaching.outside import Compared
    >>> difference(Compared("", "91.3 kN", 91.304347, 0.014347, 0.05, True))
    '+0.01'
    """
    if value.difference is None:
        return ""
    text = _number(abs(value.difference), value)
    sign = "" if not float(text.replace(",", "")) else "\N{MINUS SIGN}" if value.difference < 0 else "+"
    return sign + text


def allowed(value: outside.Compared) -> str:
    """The tolerance, as short as it can be written.

    >>> from calc.teaching.outside import Compared
    >>> allowed(Compared("", "5180 ft", 5190.0, 10.0, 25.9, True))
    '26'
    """
    return f"{Decimal(f'{value.allowed:.2g}'):,f}"


def _number(number: float, value: outside.Compared) -> str:
    if abs(number - round(number)) < ROUNDING * max(1.0, abs(number)) and "." not in value.expected:
        return f"{number:,.0f}"
    decimals = len(value.expected.partition(" ")[0].partition(".")[2]) + MORE_DIGITS
    return f"{number:,.{decimals}f}"
