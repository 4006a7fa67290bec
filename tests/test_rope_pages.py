"""The page of a rope and its worksheet: verdict, limits, places, inspections, rope data, what differs between sources.

What a page must say is rounded here again from the fitness of the rope, with arithmetic of its own, to the side that
ends the use sooner.  What the demonstration ropes do not show (single-layer rope, a limit from memory that is reached,
no log) is asked of the same page for a rope that is made up.
"""

from __future__ import annotations

import datetime
import functools
import math
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from as_read import part, text
from as_read import rows as cells
from conftest import DATA, DAY
from playwright.sync_api import BrowserContext, Page
from test_briefing import NO_PRINTER_PRINTS, SHEETS, printed_words

from calc.data import look_up
from calc.data.model import Data, Rope
from calc.fields import Rulebook
from calc.inspection import new_rope
from calc.winding import plan_data
from hooks import computed
from hooks.figures import inspection
from hooks.pages.rope import rope, worksheet
from hooks.text import page as pages
from hooks.text import words
from hooks.text.environment import environment

MACHINES = list(DATA.machines)
WORDS = words.load()
NAMES = WORDS.get("fitness.criteria")
FOOT = 0.3048
NEAR = 1e-6  # the data are printed to six decimals
each_machine = pytest.mark.parametrize("machine", MACHINES)


def told(data: Data, machine: str) -> computed.Told:
    """One crane with the plan of its first boom length: the pages of a rope need no other."""
    found = data.machines[machine]
    case = look_up.case(data, machine, found.configurations[0].charts[0].slug, None, DAY)
    return computed.told(data, found, [computed.Planned(case, plan_data.plan(case))], DAY)


@functools.cache
def of_fleet(machine: str) -> tuple[computed.Told, pages.Page, pages.Page]:
    return shown(DATA, machine)


def shown(data: Data, machine: str) -> tuple[computed.Told, pages.Page, pages.Page]:
    """What is told of one crane, the page of its rope and the worksheet."""
    drum, env = told(data, machine), environment(WORDS)
    return drum, rope.page(env, WORDS, data, drum), worksheet.page(env, WORDS, data, drum)


def with_rope(machine: str, **changes: Any) -> Data:
    """The data with another rope on one crane."""
    found = DATA.machines[machine]
    other: Rope = replace(found.rope, **changes)
    return replace(DATA, machines={**DATA.machines, machine: replace(found, rope=other)})


def with_readings(machine: str, at: int = 0, **changes: Any) -> Data:
    """The data with other readings at one place of the last inspection of one rope."""
    log = DATA.upkeep[machine]
    last = log.readings[-1]
    places = (*last.places[:at], replace(last.places[at], **changes), *last.places[at + 1 :])
    again = replace(log, readings=(*log.readings[:-1], replace(last, places=places)))
    return replace(DATA, upkeep={**DATA.upkeep, machine: again})


def millimetres(metres: float, side: Any, decimals: int = 2) -> str:
    steps = metres * 1000 * 10**decimals
    return f"{side(steps - NEAR if side is math.ceil else steps + NEAR) / 10**decimals:.{decimals}f} mm"


def inches(metres: float, side: Any, decimals: int = 4) -> str:
    steps = metres / FOOT * 12 * 10**decimals
    return f"{side(steps - NEAR if side is math.ceil else steps + NEAR) / 10**decimals:.{decimals}f} in"


def half_up(value: float) -> int:
    return math.floor(value + 0.5)


def limit(fitness: Any, regime: str, kind: str, criterion: str) -> Any:
    limits = next(one for one in fitness["limits"] if one["regime"] == regime)
    group = next(one for one in limits["measured"] if kind in one["places"])
    return next((one for one in group["limits"] if one["criterion"] == criterion), None)


def boxes(html: str) -> list[str]:
    return [text(box) for box in re.findall(r'<div class="fw-refused fw-verdict".*?</div>', html, re.DOTALL)]


# -- verdict ------------------------------------------------------------------------------------------------------


@each_machine
def test_the_verdict_of_the_site_comes_first_and_the_other_beside_it(machine: str) -> None:
    drum, page, _ = of_fleet(machine)
    fitness, own = drum.fitness, DATA.machines[machine].rulebook
    names = {"iso": "ISO 4309", "us": "US regulation (29 CFR 1926.1413)"}
    other: Rulebook = "us" if own == "iso" else "iso"
    said = boxes(page.html)
    outcomes = {one["regime"]: one["outcome"] for one in fitness["regimes"]}
    assert page.html.index("fw-verdict") < page.html.index("<h2")
    assert said[0].startswith(f"{names[own]}, which counts here: ")
    assert WORDS.get(f"fitness.outcomes.{outcomes[own]}.text") in said[0]
    if outcomes[own] == outcomes[other]:
        assert len(said) == 1 and f"{names[other]}: the same." in said[0]
    else:
        assert said[1].startswith(f"{names[other]}: ") and WORDS.get("fitness.strictest") in said[1]
        assert WORDS.get(f"fitness.outcomes.{outcomes[other]}.text") in said[1]


def test_both_cases_are_there_to_be_seen() -> None:
    assert {of_fleet(machine)[0].fitness["regimes_differ"] for machine in MACHINES} == {True, False}
    assert "Category II: No use until" in boxes(of_fleet("curlew")[1].html)[1]


@each_machine
def test_the_words_are_those_of_the_trade(machine: str) -> None:
    """The best that can be said: below every limit by these readings; a competent person decides."""
    drum, page, _ = of_fleet(machine)
    if drum.fitness["outcome"] == "none-met":
        wanted = "Below every limit by these readings. A competent person decides whether the rope stays in use."
        assert wanted in boxes(page.html)[0]
    assert not re.search(r"not met|criterion met|no criterion", text(page.html)), "below a limit, or it is reached"
    assert not re.search(r"\b(fit for use|in order|approved for use)\b", text(page.html))


def test_a_limit_from_memory_that_is_reached_asks_to_verify_and_decides_nothing() -> None:
    """ISO's 5 % of the diameter stands here from memory; the US limit, read, is not reached by the same reading."""
    reference = 0.02675
    at_limit = reference - 0.05 * 0.026
    drum, page, _ = shown(with_readings("bittern", BESIDE, diameter=(at_limit, at_limit)), "bittern")
    assert drum.fitness["outcome"] == "verify"
    said = boxes(page.html)
    assert "A limit that stands here from memory is reached. No load on this rope until it is verified" in said[0]
    assert "Below every limit by these readings." in said[1]
    assert "25.45 mm, limit 25.45 mm or less: limit reached, verify it, nothing left" in text(part(page.html, "judged"))
    above = at_limit + 2e-6
    drum, page, _ = shown(with_readings("bittern", BESIDE, diameter=(above, above)), "bittern")
    judged = text(part(page.html, "judged"))
    assert "limit reached" not in judged, "the other side of the limit"
    assert "25.452 mm, limit 25.450 mm or less: below the limit, 0.002 mm left" in judged, "two decimals print alike"


BESIDE = 1  # bittern's place beside the crossover, in its last inspection


def test_readings_and_limits_to_a_hundredth_with_what_is_left() -> None:
    """Reference 26.75 mm, 5 % of 26 mm off it: 25.45 mm; read 25.6 and 25.5 mm, mean 25.55 mm.  In inches 25.55/25.4
    = 1.0059 and 25.45/25.4 = 1.00197, up; 0.1/25.4 = 0.0039."""
    _, page, _ = of_fleet("bittern")
    judged = part(page.html, "judged")
    assert "25.55 mm, limit 25.45 mm or less: below the limit, 0.10 mm left, severity very high" in text(judged)
    us = "1.0059 in, limit 1.0020 in or less: below the limit, 0.0039 in left"
    assert us in text(judged, "us")
    head = text(page.html.partition("<h2")[0])
    assert "Closest to its limit 93 % used up" in head and "0.10 mm left: decrease of the diameter, on the drum" in head


def test_past_the_limit_what_is_past_it() -> None:
    _, page, _ = shown(with_readings("bittern", BESIDE, diameter=(0.02540, 0.02539)), "bittern")
    judged = text(part(page.html, "judged"))
    assert "25.40 mm, limit 25.45 mm or less: limit reached, verify it, 0.06 mm past it" in judged


def test_a_diameter_at_a_crossover_is_information_under_iso() -> None:
    """R96: far below the ISO limit, and the verdict of ISO is that of the other readings; the US limit counts there."""
    drum, page, sheet = shown(with_readings("bittern", diameter=(0.0246, 0.0246)), "bittern")
    judged = text(part(page.html, "judged"))
    assert "24.60 mm, limit 25.45 mm or less: for information, no verdict" in judged
    assert "24.60 mm, limit less than 24.70 mm: limit reached, 0.10 mm past it, category II" in judged
    assert "At the crossovers of a drum of several layers the ISO limit of the diameter is not used" in judged
    assert [one["outcome"] for one in drum.fitness["regimes"]] == ["none-met", "met"]
    assert "25.45 mm or less except at crossovers" in text(part(page.html, "limits"))
    assert "25.45 mm (1.0020 in) or less (M), except at crossovers" in text(sheet.html)


def test_the_figure_of_a_crossover_says_that_the_limit_is_information() -> None:
    fitness = of_fleet("bittern")[0].fitness
    drawn = {
        one["place"]: inspection.over_time(fitness, one, WORDS.texts)
        for one in fitness["series"]
        if sum(point["diameter_m"] is not None for point in one["points"]) > 1
    }
    assert "ISO 4309, for information: 25.45 mm" in drawn["crossover"]
    assert "ISO 4309: 25.45 mm (1.0020 in) or less." in drawn["drum"]


def test_damage_that_no_cut_mends_says_so() -> None:
    _, page, _ = shown(with_readings("bittern", seen=("power-line",)), "bittern")
    assert any("The whole rope is replaced; cutting the place out is not enough." in box for box in boxes(page.html))


@each_machine
def test_every_criterion_that_was_read_stands_under_both_regimes(machine: str) -> None:
    drum, page, _ = of_fleet(machine)
    tables = re.findall(r"<table.*?</table>", part(page.html, "judged"), re.DOTALL)
    places = drum.fitness["regimes"][0]["places"]
    assert len(tables) == len(places) > 0
    for table, *each in zip(tables, *(one["places"] for one in drum.fitness["regimes"]), strict=True):
        said = text(table)
        for at in each:
            for one in at["criteria"]:
                assert NAMES[one["criterion"]].lower() in said.lower()
                if one["unit"] == "count" and one["reading"] is not None:
                    word = WORDS.get(f"rope.judged.outcome.{one['outcome']}")
                    assert f"{one['reading']:g}, limit {one['limit']:g}: {word}" in said
                assert WORDS.get(f"fitness.read.{one['read']}") in said


# -- limits, on the page and on the worksheet ---------------------------------------------------------------------


@each_machine
def test_limits_of_this_rope_in_mm_and_inches(machine: str) -> None:
    drum, page, sheet = of_fleet(machine)
    fitness = drum.fitness
    metric, us = text(part(page.html, "limits")), text(part(page.html, "limits"), "us")
    paper = text(sheet.html)
    for criterion, regime, side, said in (
        ("diameter-decrease", "iso", math.ceil, "{} or less"),
        ("diameter-decrease", "us", math.ceil, "less than {}"),
        ("diameter-increase", "iso", math.floor, "{} or more"),
    ):
        across = limit(fitness, regime, "crossover", criterion)["diameter_m"]
        assert said.format(millimetres(across, side)) in metric
        assert said.format(inches(across, side)) in us
        assert said.format(f"{millimetres(across, side)} ({inches(across, side)})") in paper
    lengths = fitness["rope"]["short_length_m"], fitness["rope"]["long_length_m"]
    for name, long in zip(("short", "long"), lengths, strict=True):
        mm, inch = millimetres(long, math.ceil, 1), inches(long, math.ceil, 3)
        assert mm in metric and inch in us
        assert f"{mm} ({inch}) ({name})" in paper
    for name in ("6d", "30d"):
        numbers = [
            f"{limit(fitness, 'iso', kind, f'broken-wires-{name}')['limit']:g}" for kind in ("crossover", "drum")
        ]
        assert f"{numbers[0]} at crossovers and flanges {numbers[1]} elsewhere" in metric
        assert f"at crossovers and flanges {numbers[0]} (S), elsewhere {numbers[1]} (S)" in paper
    assert "from memory, verify" in metric and "(M): from memory; verify it in the standard" in paper


def test_without_a_reference_the_iso_limit_is_a_share_and_says_what_is_lacking() -> None:
    log = DATA.upkeep["heron"]
    none = tuple(replace(one, reference_diameter=None) for one in log.readings)
    data = replace(DATA, upkeep={**DATA.upkeep, "heron": replace(log, readings=none)})
    _, page, sheet = shown(data, "heron")
    assert "No reference diameter is on record." in text(part(page.html, "limits"))
    assert "5.0 % off the reference diameter" in text(part(page.html, "limits"))
    assert "no reference diameter on record" in text(part(page.html, "judged"))
    assert "Reference diameter: __________" in text(sheet.html)


def test_a_single_layer_rope_has_the_columns_of_the_us_regulation_and_shows_copies_that_differ() -> None:
    """Copies of ISO 4309 for drums of several layers, row 04 (101 to 120 outer wires): 10 and 20 as a rope dealer
    quotes it, 10 and 19 as a rope maker does; second-hand."""
    data = with_rope("bittern", construction="6x19 IWRC", rotation_resistant=False, outer_wires=112, seale=False)
    drum, page, sheet = shown(data, "bittern")
    iso = {name: limit(drum.fitness, "iso", "crossover", f"broken-wires-{name}") for name in ("6d", "30d")}
    assert (iso["6d"]["limit"], iso["30d"]["limit"]) == (10, 19), "the smaller of 20 and 19"
    assert iso["30d"]["sources_differ"]
    differ = text(part(page.html, "differ"))
    assert "The copies differ for this rope; the smaller number counts:" in differ
    assert "10 and 20 (crossovers on several layers" in differ and "10 and 19 (crossovers on several layers" in differ
    assert "US regulation: 6 in one lay, or 3 in one strand of one lay." in differ
    assert "In one lay" in text(sheet.html) and "In one strand" in text(sheet.html)
    assert "In one lay" not in text(of_fleet("bittern")[2].html)


@each_machine
def test_where_sources_differ_both_numbers_stand_there(machine: str) -> None:
    """The same 35(W)x7 rope is out of use at 5 breaks by ISO on a drum of many layers, at 2 by 29 CFR 1926.1413."""
    _, page, _ = of_fleet(machine)
    differ = text(part(page.html, "differ"))
    assert "ISO 4309: 5 over the short and 10 over the long length. US regulation: 2 and 4." in differ
    assert "ISO 4309: 3 over the short and 5 over the long length. US regulation: 2 and 4." in differ
    for citation in ("30 CFR 56.19024 (more than one valley break)", "Wire Rope Users Manual (smooth 1.5 deg"):
        assert citation in differ
    assert "Older editions" in differ and "They are not used here." in differ


# -- where to look ------------------------------------------------------------------------------------------------


@each_machine
def test_every_sheave_of_the_usual_work_stands_there(machine: str) -> None:
    drum, page, sheet = of_fleet(machine)
    where = part(page.html, "where")
    folded = re.findall(r"<details.*?</details>", where, re.DOTALL)
    usual = drum.fitness["where"]["usual"]
    assert len(folded) == len(usual) + 1 and " open" in folded[0][:14], "those inside the folded part"
    for fold, work in zip(folded, usual, strict=False):
        assert fold.count("<tr>") == len(work["sheaves"]) + 1
        for one in work["sheaves"]:
            start, end = one["from_hook_m"]
            assert f"{math.floor(start + NEAR)} m to {math.ceil(end - NEAR)} m" in text(fold)
    first = usual[0]["pick_ups"][0]
    assert f"layer {first['layer']}, wrap {math.ceil(first['wrap'] - NEAR)}" in text(folded[0])
    dead = f"Edge of the dead wraps, {math.floor(drum.fitness['where']['dead_rope_m'] + 0.5)} m"
    assert dead in text(where) and dead in text(sheet.html)
    assert "Crossovers: two in every turn" in text(where) and "End fitting" in text(where)


def test_without_a_log_the_limits_stand_and_all_rope_is_to_be_looked_at() -> None:
    data = replace(DATA, upkeep={})
    drum, page, sheet = shown(data, "heron")
    assert drum.fitness["outcome"] == "no-readings"
    assert boxes(page.html)[0].startswith("No readings of this rope are on record.")
    assert "Look at all rope beyond the dead wraps." in text(part(page.html, "where"))
    assert "20.90 mm" in text(part(page.html, "limits")) and "data-due" not in page.html
    assert "End fitting and the rope beside it" in text(sheet.html)


# -- rope data ----------------------------------------------------------------------------------------------------


OTHER_RULES = "outside, but these rules do not apply on this site"


@each_machine
def test_crane_page_and_rope_page_name_the_same_lines_outside_a_limit(machine: str) -> None:
    """What the rope page marks as outside stands in the tile of the crane page too, and nothing else does."""
    drum, page, _ = of_fleet(machine)
    lines = cells(part(page.html, "data"))
    assert len(lines) > 8
    marked = [name for name, value, _ in lines if ": outside the limit" in value]
    tile = text(rope.in_few_words(WORDS, DATA, drum))
    named = [name[:1].lower() + name[1:] for name in marked]
    assert (f"rope data outside a limit: {', '.join(named)}" in tile) if named else ("outside" not in tile)


def test_a_design_factor_of_other_rules_is_no_finding_here_and_of_these_it_is() -> None:
    """545 kN over 135 kN is 4.03: enough for ISO (4), not for a rotation-resistant rope under US rules (5)."""
    drum, page, _ = of_fleet("bittern")
    assert f"Design factor, US 4.03: {OTHER_RULES}" in text(part(page.html, "data"))
    assert "design factor" not in text(rope.in_few_words(WORDS, DATA, drum))
    weak = with_rope("bittern", minimum_breaking_force=539e3)  # 3.99
    drum, page, _ = shown(weak, "bittern")
    assert "Design factor, ISO 3.99: outside the limit at least 4" in text(part(page.html, "data"))
    assert "design factor, ISO" in text(rope.in_few_words(WORDS, weak, drum))


@each_machine
def test_rope_data_with_their_limits(machine: str) -> None:
    _, page, _ = of_fleet(machine)
    said = text(part(page.html, "data"))
    order = new_rope.order(DATA, machine, DAY)
    strength = order["strength"]
    for key in ("minimum_breaking_force_n", "implied_breaking_force_n"):
        assert f"{math.floor(strength[key] / 100 + NEAR) / 10:.1f} kN" in said
    factor = math.floor(strength["design_factor"] * 100 + NEAR) / 100
    names: dict[Rulebook, str] = {"iso": "Design factor, ISO", "us": "Design factor, US"}
    for regime, name in names.items():
        asked = strength["regimes"][regime]
        outside = "outside the limit" if regime == DATA.machines[machine].rulebook else OTHER_RULES
        word = "within the limit" if asked["enough"] else outside
        assert f"{name} {factor:.2f}: {word} at least {asked['least']:g}" in said
    for ratio in order["ratios"]:
        if ratio["diameters"]:
            assert f"{math.floor(ratio['diameters'] * 100 + NEAR) / 100:.2f}: within" in said
    assert "The factors behind breaking force and mass of this construction are held from memory, verify." in said


def test_breaking_force_by_construction_agrees_with_the_printed_table() -> None:
    """API Spec 9A / ISO 10425, Table C.1: 6x7 FC, 22 mm, 1770 N/mm2: 284 kN; 167 kg per 100 m."""
    _, page, _ = of_fleet("heron")
    table = part(page.html, "data").rpartition("<table")[2]
    assert "1770, kN 1960, kN 2160, kN Mass, kg/m" in text(table.partition("<tbody>")[0])
    (cells_,) = (row for row in cells(table) if row[0].startswith("6x7 FC"))
    assert cells_[1] == "284.4" and cells_[4] == "1.67"


# -- readings over time -------------------------------------------------------------------------------------------


@each_machine
def test_the_chart_ends_with_the_last_reading_and_is_to_scale(machine: str) -> None:
    fitness = of_fleet(machine)[0].fitness
    for series in fitness["series"]:
        read = [point for point in series["points"] if point["diameter_m"] is not None]
        if len(read) < 2:
            with pytest.raises(ValueError, match="fewer than two"):
                inspection.over_time(fitness, series, WORDS.texts)
            continue
        svg = inspection.over_time(fitness, series, WORDS.texts)
        signs = re.search(r'<path class="fig-block" d="([^"]*)"', svg)
        assert signs
        at = [(float(x) + 4, float(y)) for x, y in re.findall(r"M([\d.]+) ([\d.]+)l4", signs[1])]
        assert len(at) == len(read)
        line = re.search(r'<path class="fig-dim" fill="none" d="M([^"]*)"', svg)
        assert line and len(line[1].split("L")) == len(read), "from reading to reading, and no further"
        days = [datetime.date.fromisoformat(point["day"]).toordinal() for point in read]
        for (x, y), day, point in zip(at, days, read, strict=True):
            across = (day - days[0]) / (days[-1] - days[0])
            assert x == pytest.approx(at[0][0] + across * (at[-1][0] - at[0][0]), abs=0.2)
            thinner = (read[0]["diameter_m"] - point["diameter_m"]) / max(
                1e-9, read[0]["diameter_m"] - read[-1]["diameter_m"]
            )
            if read[0]["diameter_m"] != read[-1]["diameter_m"]:
                assert y == pytest.approx(at[0][1] + thinner * (at[-1][1] - at[0][1]), abs=0.3)
        described = re.search(r"<desc[^>]*>(.*?)</desc>", svg)
        assert described and all(point["day"] in described[1] for point in read)


@each_machine
def test_every_reading_stands_in_a_table_too(machine: str) -> None:
    drum, page, _ = of_fleet(machine)
    said = text(part(page.html, "readings"))
    for one in drum.fitness["inspections"]:
        assert one["day"] in said and one["by"] in said
    for series in drum.fitness["series"]:
        if len(series["points"]) > 1:
            for point in series["points"]:
                breaks = [point[name] for name in ("in_6_diameters", "in_30_diameters")]
                mean = "–" if point["diameter_m"] is None else millimetres(point["diameter_m"], half_up)
                counts = " ".join("–" if one is None else str(one) for one in breaks)
                assert f"{point['day']} {mean} {counts}" in said


def test_the_two_lengths_are_counted_to_one_scale() -> None:
    """6 and 30 rope diameters, in the scale of the rope that is drawn."""
    case = look_up.case(DATA, "bittern", "54m", None, DAY)
    svg = inspection.counting(plan_data.plan(case), WORDS.texts)
    spans = [float(b) - float(a) for a, b in re.findall(r'class="fig-curve" d="M([\d.]+) [\d.]+v8m0 -4H([\d.]+)', svg)]
    thick = re.search(r'<rect class="fig-barrel"[^>]* height="([\d.]+)"', svg)
    assert thick and [span / float(thick[1]) for span in spans] == pytest.approx([6, 30], rel=0.02)


# -- in Chromium --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("today", "over"),
    [("2026-12-13", False), ("2026-12-14", True), ("2026-11-26", False), ("2020-01-01", False)],
)
def test_due_is_judged_by_the_date_of_the_phone(page: Page, address: str, today: str, over: bool) -> None:
    """bittern: last inspection 2026-11-13, so the next is due by 2026-12-13."""
    page.clock.set_fixed_time(datetime.datetime.fromisoformat(f"{today}T12:00:00"))
    page.goto(address + "machines/bittern/rope/")
    lines = page.locator("[data-due='2026-12-13']")
    assert lines.count() == 2
    for at in range(2):
        said = " ".join(lines.nth(at).locator(":scope > :not([hidden])").all_text_contents())  # one lies folded
        assert ("Overdue. Next inspection was due by 2026-12-13." in said) is over
        assert ("Next inspection: due by 2026-12-13." in said) is not over


def test_the_tile_of_a_crane_says_when_it_is_overdue(page: Page, address: str, built: Path) -> None:
    html = (built / "machines/avocet/index.html").read_text(encoding="utf-8")
    tile = re.search(r'rope/"><strong>Rope inspection</strong><span>(.*?)</a>', html)
    assert tile
    assert "<span data-then hidden>" in tile[1] and "<span data-over>inspection overdue since" in tile[1]
    page.clock.set_fixed_time(datetime.datetime.fromisoformat("2026-12-14T12:00:00"))
    page.goto(address + "machines/bittern/")
    said = page.locator(".fw-beside a", has_text="Rope inspection").inner_text()
    assert "inspection overdue since 2026-12-13" in said and "due by" not in said


def test_overdue_on_the_day_of_the_build_is_not_undone_by_a_wrong_clock(page: Page, address: str, built: Path) -> None:
    """avocet: due by 2026-11-14, built on the 25th."""
    assert "<strong data-over>Overdue" in (built / "machines/avocet/rope/index.html").read_text(encoding="utf-8")
    page.clock.set_fixed_time(datetime.datetime.fromisoformat("2026-11-01T12:00:00"))
    page.goto(address + "machines/avocet/rope/")
    assert "Overdue. Next inspection was due by 2026-11-14." in page.locator(".fw-due").first.inner_text()


@pytest.mark.parametrize("machine", ["curlew", "avocet"])
def test_the_worksheet_is_one_sheet_with_nothing_cut(
    phone: BrowserContext, address: str, tmp_path: Path, machine: str
) -> None:
    page = phone.new_page()
    page.goto(f"{address}machines/{machine}/rope/worksheet/")
    wanted = page.evaluate(
        """() => [...document.querySelectorAll('.fw-form :is(h1, h2, p, dt, li, th, td)')]
            .filter(e => !e.closest('.fw-hand')).map(e => e.innerText)"""
    )
    for sheet, (width, height) in SHEETS.items():
        pdf = tmp_path / f"{sheet}.pdf"
        page.pdf(path=str(pdf), format=sheet)
        sizes, found = printed_words(pdf)
        assert sizes == [(pytest.approx(width, abs=0.5), pytest.approx(height, abs=0.5))], f"{sheet}: {sizes}"
        for (left, top, right, bottom), word in found:
            assert left >= NO_PRINTER_PRINTS and right <= width - NO_PRINTER_PRINTS, word
            assert top >= NO_PRINTER_PRINTS and bottom <= height - NO_PRINTER_PRINTS, word
        flat = re.sub(r"\s+", "", "".join(word for _, word in found))
        printed = {word for _, word in found}
        for said in wanted:
            assert re.sub(r"\s+", "", said) in flat or set(said.split()) <= printed, said
    page.close()


def test_the_page_is_reached_from_crane_drum_and_guidance(built: Path) -> None:
    for machine in MACHINES:
        for at, link in (("", f"machines/{machine}/rope/"), ("drum/", "rope/"), ("rope/", "worksheet/")):
            html = (built / f"machines/{machine}/{at}index.html").read_text(encoding="utf-8")
            assert re.search(rf'href="[^"]*{link}"', html), f"{machine}/{at}"
    assert "machines/bittern/rope/" in (built / "guidance/rope-inspection/index.html").read_text(encoding="utf-8")
    entry = text((built / "machines/curlew/index.html").read_text(encoding="utf-8"))
    said = "below every limit under ISO 4309, a limit reached under the US regulation"
    assert f"by the readings: {said}; inspection due by 2026-12-04" in entry
