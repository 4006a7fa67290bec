"""Winding tension on every machine page: the rule's share of the line pull beside the published range."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape
from math import floor
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from conftest import DATA, DAY

from calc.data import look_up
from calc.winding import plan_data
from hooks.pages.crane import machines


def _section(built: Path, machine: str) -> str:
    page = (built / "machines" / machine / "index.html").read_text(encoding="utf-8")
    section = page[page.index('<h2 id="tension">') : page.index('<h2 id="facts">')]
    plain = re.sub(r"<[^>]+>", " ", re.sub(r"<x-u>.*?</x-u>", "", section))
    return " ".join(unescape(plain).replace("\u00a0", " ").split())


@pytest.mark.parametrize("machine", DATA.machines)
def test_on_every_machine_page(built: Path, machine: str) -> None:
    """Rated pull times the share of a firm wrap (the manual's, where it overrides) over the breaking force."""
    data = DATA.machines[machine]
    manual = [o.quantity for o in data.overrides if o.value == "firm_tension_share"]
    share = manual[0] if manual else 0.10  # rule firm-tension of 2026-11-02
    percent = 100 * share * data.winch.rated_line_pull / data.rope.minimum_breaking_force
    text = _section(built, machine)
    assert f"{floor(percent * 10 + 1e-9) / 10:.1f} % of its minimum breaking force" in text
    assert ("Below the published range of 2.0 % to 5.0 %" in text) == (percent < 2)
    assert ("this is within" in text) == (2 <= percent <= 5)
    assert "Wire Rope Users Manual" in text and "ISO 4309" in text


def test_one_crane_of_the_fleet_is_outside(built: Path) -> None:
    """17,000 lbf, 10 % of it, over 87,000 lbf: 1.95 %."""
    assert "1.9 % of its minimum breaking force" in _section(built, "avocet")
    assert "Ask the rope maker" in _section(built, "avocet")


@pytest.mark.parametrize(("share", "outside"), [(0.0199, "below"), (0.02, None), (0.05, None), (0.0501, "above")])
def test_both_sides_of_both_limits(share: float, outside: str | None) -> None:
    rule: Any = SimpleNamespace()
    assert machines.Tension(1.0, share, 0.02, 0.05, None, rule, rule, ()).outside == outside


def test_least_share_of_the_plans() -> None:
    machine = DATA.machines["heron"]
    configuration = machine.configurations[0].id
    cases = [look_up.case(DATA, "heron", slug, configuration, DAY) for slug in ("27m", "61m")]
    made: list[Mapping[str, Any]] = [plan_data.plan(case) for case in cases]
    shares = [plan["load"]["share_of_breaking_force"] for plan in made]
    assert machines.tension(DATA, cases[0], made).least == min(shares)
    assert machines.tension(DATA, cases[0], [{**made[0], "refused": {"code": "line-pull"}}]).least is None
