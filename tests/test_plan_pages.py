"""What a plan page and its working say, held against the plan in the feed: the numbers of the first screen, the count,
moves, radii, what it is enough for, heavier loads, little room, what would help, old anchors, the working.

Expected texts are put together here from the contract and the one rounding module; hand-worked examples are said so.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from as_read import part, rows, text
from conftest import ROOT, fleet_cases

from calc import rounding
from calc.data.model import Case
from calc.winding import firm
from calc.winding.plan_data import best_method
from calc.winding.plan_fields import Inputs, Method, Move, Pass, Plan
from hooks.computed import Planned
from hooks.pages.plan import cards, said, steps, working
from hooks.text import words

WORDS = words.load()


def done() -> list[tuple[Case, Plan, Method]]:
    """Those that can be done, with every method that can."""
    found = ((case, plan, method) for case, plan in fleet_cases() for method in plan["methods"])
    return [(case, plan, method) for case, plan, method in found if method and method["passes"]]


def pages(built: Path) -> Iterator[tuple[Plan, str]]:
    """Every plan of the feed with its page."""
    for path in sorted((built / "data/v1/plans").glob("*/*.json")):
        boom, _, configuration = path.stem.partition(".")
        page = built / "machines" / path.parent.name / boom / configuration / "index.html"
        yield json.loads(path.read_text(encoding="utf-8")), page.read_text(encoding="utf-8")


def length(value: float, side: str) -> str:
    return rounding.length(value, side).metric


def row(html: str, id: str) -> str:
    """One row that unfolds, with its answer."""
    found = re.search(rf'<details id="{id}">(.*?)</details>', html, re.DOTALL)
    return found[1] if found else ""


def section(html: str, id: str) -> str:
    """From the heading of this id, of the second or third level, to the next of either."""
    return re.split(r"<h[23]", re.split(rf'<h[23] id="{id}">', html)[-1])[0]


# -- how the drum is said ---------------------------------------------------------------------------------------------

ODD_EVEN: Any = {"wraps_odd_layers": 36, "wraps_even_layers": 35, "drum_surface": "parallel-grooved", "dead_wraps": 3}


@pytest.mark.parametrize(
    ("layer", "wrap", "side", "said_so"),
    [
        (1, 8.54, "near", "layer 1, 9 wraps"),
        (3, 0.3, "near", "layer 2 full (35 wraps)"),
        (2, 34.6, "near", "layer 2 full (35 wraps)"),
        (1, 36.0, "near", "layer 1 full (36 wraps)"),
        (3, 1.2, "near", "layer 3, 1 wrap"),
        (1, 14.69, "up", "layer 1, 15 wraps"),
        (3, 0.9, "down", "layer 2 full (35 wraps)"),
    ],
)
def test_a_place_on_the_drum_is_said_as_a_crew_counts_it(layer: int, wrap: float, side: str, said_so: str) -> None:
    assert said.place(WORDS, ODD_EVEN, layer, wrap, side) == said_so


def test_no_page_counts_no_wrap_or_one_wraps(built: Path) -> None:
    for path in built.glob("machines/*/*/**/index.html"):
        if 'id="steps"' in (html := path.read_text(encoding="utf-8")) or path.parent.name in ("briefing", "sheet"):
            shown = text(html)
            assert not re.search(r"\b[01] wraps\b", shown.replace("Layer 1", "")), path


# -- numbers on top ---------------------------------------------------------------------------------------------------


def number(html: str, name: str) -> str:
    found = re.search(rf'<b data-number="{name}">(.*?)</b>', html)
    assert found, name
    return text(found[1])


ORDER = ["falls", "hang", "radius", "lower", "drum"]  # the design: "five numbers in the order of use"


def test_the_first_screen_gives_five_numbers_in_the_order_of_use(built: Path) -> None:
    for plan, html in pages(built):
        best, load, stops = best_method(plan), plan["load"], plan["stops"]
        assert best and load and stops, "every plan of the fleet can be done"
        first = best["passes"][0]
        loaded = [r for p in best["passes"] for m in p["moves"] if m["load_kg"] for r in m["loaded_radius_m"]]
        pick = next(m for m in first["moves"] if m["load_kg"])
        assert re.findall(r'data-number="(\w+)"', html) == ORDER
        assert number(html, "falls") == str(plan["falls"]["used"])
        assert number(html, "hang") == rounding.mass(load["net_kg"], "up").metric
        start, end = length(pick["loaded_radius_m"][1], "up"), length(max(loaded), "down")
        assert number(html, "radius") == f"{start.removesuffix(' m')} to {end}"
        hung = first["slings_hung"]
        assert number(html, "lower") == length(hung["hook_height_m"], "near")
        count = said.place(WORDS, plan["inputs"], stops["layer_at_start"], stops["wrap_at_start"])
        assert number(html, "drum") == count
        top = text(html.partition('id="headline"')[2].partition("</dl>")[0])
        assert f"never under {plan['inputs']['stop_wraps']}" in top
        assert f"empty, at radius {length(hung['radius_m'], 'up')}" in top
        for one in best["passes"]:
            assert length(one["sling_length_m"], "near") in top, "the slings of every pass"


def test_the_pieces_of_the_load_are_named_by_their_masses(built: Path) -> None:
    for plan, html in pages(built):
        hang = re.search(r'data-number="hang">.*?</b>\s*<dd>(.*?)(?=<dd>|</?div)', html, re.DOTALL)
        assert hang
        found = text(hang[1]).partition(";")[0].split(" + ")
        masses = {weight["item"]: weight["mass_kg"] for weight in plan["inputs"]["weights"]}
        assert len(found) == len(plan["load"]["yard"])
        for piece, listed in zip(found, plan["load"]["yard"], strict=True):
            count, _, mass = piece.rpartition(" × ")
            assert int(count or 1) == listed["count"]
            # to the nearest 10 kg, as the weights of a yard are spoken of
            assert float(mass.removesuffix(" t")) * 1000 == pytest.approx(masses[listed["item"]], abs=5.001)


def test_one_line_tells_what_comes_out(built: Path) -> None:
    for plan, html in pages(built):
        best = best_method(plan)
        assert best
        last = best["passes"][-1]
        line = re.search(r'<p class="fw-result">(.*?)</p>', html, re.DOTALL)
        assert line
        whole = 5 * math.ceil((best["minutes"] + best["rigging_minutes"]) / 5 - 1e-9)
        wanted = f"{whole // 60} h {whole % 60} min" if whole % 60 else f"{whole // 60} h"
        count = "1 pass" if len(best["passes"]) == 1 else f"{len(best['passes'])} passes"
        firm_to = said.place(WORDS, plan["inputs"], last["firm_to"]["layer"], last["firm_to"]["wrap"], "down")
        assert text(line[1]) == (
            f"{rounding.share(last['firm_share'], 'down')} firm in {count}, {rounding.whole_minutes(best['minutes'])} "
            f"min (with reeving about {wanted if whole >= 60 else f'{whole} min'}). "
            f"Afterwards: pick up with no more than {firm_to} on the drum."
        )


def test_every_warning_stands_where_it_belongs(built: Path) -> None:
    """Those that change the work beside the load to hang, on one line that opens; what is true of every plan is a row
    of the list to check; the others with the reasons."""
    beside = {"bed-unreached", "block-may-not-overhaul", "rope-by-log"}
    beside |= {"tension-below-published", "tension-above-published"}
    for plan, html in pages(built):
        codes = {warning["code"] for warning in plan["warnings"]}
        titles = {code: WORDS.get(f"warnings.{code}.title") for code in codes - {"rope-length-decides"}}
        top = text(html.partition('id="headline"')[2].partition("</dl>")[0])
        assert {code for code, title in titles.items() if title in top} == codes & beside
        reasons = text(html.partition('<h2 id="why"')[2])
        for code in titles.keys() - beside:
            assert f"{titles[code]}. {WORDS.get(f'warnings.{code}.text')}" in reasons
        assert 'id="warnings"' in html
        assert "Stop by the count, not by the hook height." in text(part(html, "before"))


# -- the count --------------------------------------------------------------------------------------------------------


def in_words(plan: Plan, wraps: int) -> tuple[int, int]:
    """Layer and wraps in it of a count, layer by layer, none of the fleet's drums being smooth."""
    layer, left = 1, wraps
    while left > (full := plan["inputs"]["wraps_odd_layers" if layer % 2 else "wraps_even_layers"]):
        layer, left = layer + 1, left - full
    return layer, left


def counted_in(plan: Plan, cell: str) -> tuple[int, int]:
    """First and last count that a cell of the count table stands for."""
    odd, even = plan["inputs"]["wraps_odd_layers"], plan["inputs"]["wraps_even_layers"]

    def count(said_so: str) -> int:
        found = re.search(r"(?:layer (\d+),? )?(?:full \()?(\d+)", said_so)
        assert found, said_so
        layer = int(found[1] or 1)
        return sum(odd if one % 2 else even for one in range(1, layer)) + int(found[2])

    if cell.startswith("fewer than "):
        return 0, count(cell.removeprefix("fewer than ")) - 1
    if cell.endswith(" or more"):
        return count(cell), 10**6
    first, _, last = cell.partition(" to ")
    return count(first), count(last or first)


def test_every_count_of_the_table_stands_on_the_page_with_what_to_do(built: Path) -> None:
    texts = {
        "as-planned": "Go on as planned.",
        "rope-longer": "more rope stays unreached",
        "rope-shorter": "Go on with the stop height of this line.",
        "not-this-rope": "Hook up, attach nothing.",
    }
    for plan, html in pages(built):
        table = rows(row(html, "count"))
        spans = [counted_in(plan, row[0]) for row in table]
        assert all(a[1] + 1 == b[0] for a, b in pairwise(spans)), "every count once"
        for one in plan["stops"]["count_table"]:
            at = next(n for n, (first, last) in enumerate(spans) if first <= one["wraps"] <= last)
            _, rope, do, height = table[at]
            assert texts[one["do"]] in do, (plan["machine"], plan["boom"], one)
            off = abs(one["rope_length_m"] - plan["inputs"]["rope_length_m"])
            if one["do"] in ("rope-longer", "rope-shorter"):
                told = int(re.search(r"up to (\d+) m", rope)[1])
                assert told >= off - 1e-6, "never told nearer than it is"
            if one["do"] == "rope-shorter":
                assert spans[at][0] == spans[at][1], "each shorter rope has its own stop height"
                wanted = length(one["hook_height_m"], "up") if one["hook_height_m"] > 0 else "ground"
                assert height == wanted
            assert (height == "–") == (one["do"] == "not-this-rope")
        said_in_row = text(row(html, "count"))
        assert f"Never under {plan['inputs']['stop_wraps']} wraps on the drum" in said_in_row
        assert f"Stop at {table[0][0]}, or {table[-1][0]}." in said_in_row, "the answer stands in the row"


def test_runs_of_counts_are_told_together() -> None:
    """By hand: a layer of 6 wraps, stop at 5, counts 4 to 9 of a rope of 100 m, each wrap worth 2 m on 4 falls."""
    inputs = ODD_EVEN | {"wraps_odd_layers": 6, "wraps_even_layers": 6, "rope_length_m": 100.0}
    does = ["not-this-rope", "rope-shorter", "as-planned", "as-planned", "rope-longer", "not-this-rope"]
    table = [
        {
            "wraps": 4 + at,
            "rope_length_m": 96.0 + 2 * at,
            "do": do,
            "hook_height_m": None if do == "not-this-rope" else 3.0 - 0.5 * at,
        }
        for at, do in enumerate(does)
    ]
    plan = {"inputs": inputs, "stops": {"count_table": table, "hook_height_m": 2.0}}
    found = said.counts(WORDS, plan)
    assert [text(one.count) for one in found] == [
        "fewer than 5 wraps",
        "5 wraps",
        "layer 1 full (6 wraps) to layer 2, 1 wrap",
        "layer 2, 2 wraps",
        "layer 2, 3 wraps or more",
    ]
    assert [one.height and text(one.height) for one in found] == [None, "2.5 m", "2.0 m", "1.0 m", None]
    assert text(found[3].what) == "Go on. Up to 4 m more rope stays unreached."


# -- the work ---------------------------------------------------------------------------------------------------------


def test_every_move_of_the_best_method_has_its_card(built: Path) -> None:
    for plan, html in pages(built):
        best = best_method(plan)
        assert best
        moves = sum(len(one["moves"]) for one in best["passes"])
        do = part(html, "steps")
        assert re.findall(r'<li id="(m\d+)"', do) == [f"m{number}" for number in range(1, moves + 1)]


def test_one_list_to_check_before_the_rope_moves(built: Path) -> None:
    """At most 14 rows under three headings, each marked as what to do or what not to do, none told twice on the page;
    six after the work."""
    for plan, html in pages(built):
        check = part(html, "before")
        before, _, after = check.partition('<h3 id="after">')
        kinds = re.findall(r'<li class="fw-(do|dont)">', before)
        assert 10 <= len(kinds) <= 14 and {"do", "dont"} == set(kinds)
        for kind, line in zip(
            kinds, re.findall(r'<li class="fw-[^>]*>(.*?)(?=<li|</ul>)', before, re.DOTALL), strict=True
        ):
            never = text(line).startswith(("Never", "No ", "Nobody"))
            assert never == (kind == "dont"), text(line)
        assert [text(found) for found in re.findall(r"<h3>(.*?)</h3>", before)] == [
            "Rope and drum", "Ground and people", "Reeving and limits",
        ]  # fmt: skip
        assert len(re.findall("<li>", after)) == 6
        said_so = text(before)
        inputs, falls = plan["inputs"], plan["falls"]["used"]
        assert f"Stack at radius {length(plan['stops']['start_radius_m'], 'up')}" in said_so
        assert f"Reeve {falls} with" in said_so and f"Set the limiter: {falls} falls" in said_so
        assert "Test the upper stop." in said_so and "lower stop" not in said_so
        half = math.hypot(inputs["load_size_m"], inputs["load_width_m"]) / 2 + inputs["swing_room_m"]
        assert f"Barrier off {length(half, 'up')} to each side" in said_so
        best = best_method(plan)
        assert best and best["working_radius_m"]
        assert f"out to {length(best['working_radius_m'], 'up')}" in said_so
        assert ("Telescope under load only where" in said_so) == (plan["kind"] == "telescopic" and "jib" not in inputs)
        slewed = any(one["slew_deg"] for one in best["passes"])
        assert ("Two lines of work" in said_so) == slewed


def test_every_move_says_what_its_kind_of_move_needs() -> None:
    """In the words of its card, wherever it stands."""
    for case, plan, method in done():
        found = [cards.told(WORDS, step) for step in steps.steps(WORDS, Planned(case, plan), method)]
        texts = iter(text(" ".join([one.heading, *one.sentences, one.aside or ""])) for one in found)
        inputs = plan["inputs"]
        landed = None
        for number, one in enumerate(method["passes"]):
            sling = length(one["sling_length_m"], "near")
            for at, move in enumerate(one["moves"]):
                told = next(texts)
                kind, loaded = move["move"], bool(move["load_kg"])
                drum_then = said.place(WORDS, inputs, move["layer"][1], move["wrap"][1])
                if kind == "pay-out":
                    assert bool(number) or drum_then in told, told
                    _pays_out(told, move, inputs, number, at)
                elif kind == "luff-out" and not loaded:
                    assert "Do not touch the hoist" in told
                elif kind == "luff-in" and not loaded:
                    assert "Hold the hoist" in told and sling in told
                    if number:
                        assert f"hang the extension, {length(one['slings_hung']['extension_m'], 'near')}" in told
                        _comes_back(told, one, landed)
                elif kind == "luff-in":
                    assert f"hen lower to the count: {drum_then}" in told
                elif kind == "pick":
                    assert "Plumb the hook" in told and said_reading(plan) in told
                    assert f"lift {length(inputs['first_lift_m'], 'near')}, test the brake" in told
                elif kind == "land":
                    assert "Secure the winch, inspect the drum." in told
            landed = one["moves"][-1]


def test_the_working_says_the_other_methods_in_the_words_of_the_cards(built: Path) -> None:
    (path,) = built.glob("machines/heron/41m/working/index.html")
    html = path.read_text(encoding="utf-8")
    shown = html.partition('id="steps-luff-out"')[2].partition("<h2")[0]
    listed = re.findall(r"<li><strong>(.*?)</strong>", shown)
    sheet = (path.parent.parent / "sheet/index.html").read_text(encoding="utf-8")
    headings = re.findall(r'<h3 class="fw-card-head" id="o\d+h">(.*?)</h3>', sheet)
    assert [text(one) for one in listed] == [f"{text(one)}." for one in headings] != []


def _pays_out(told: str, move: Move, inputs: Inputs, number: int, at: int) -> None:
    if not number:
        assert "Two people count the drum" in told
        assert "only if it is set at or above the stop wraps" in told
        assert f"Lower to {length(inputs['reach_height_m'], 'near')}, count" in told or (
            move["hook_height_m"][1] < inputs["reach_height_m"]
        )
    elif at == 0:
        assert "Unhook the legs at the load; the slings stay on the hook." in told
    else:
        down = move["hook_height_m"][0] - move["hook_height_m"][1]
        assert f"Lower the empty hook by {length(down, 'near')}." in told


def said_reading(plan: Plan) -> str:
    """The limits of the first reading, inside the contract's in both unit systems, or that it cannot tell."""
    least, most = plan["load"]["reading_least_kg"], plan["load"]["reading_most_kg"]
    up, down = rounding.mass(least, "up"), rounding.mass(most, "down")

    def value(said_so: str) -> float:
        return float(said_so.split()[0].replace(",", ""))

    if value(up.metric) < value(down.metric) and value(up.us) < value(down.us):
        return f"Indicator {up.metric} to {down.metric}: lift to"
    return f"Weigh the load before; indicator above {down.metric}: land and stop."


def _comes_back(told: str, one: Pass, landed: Move | None) -> None:
    assert landed
    pick = next(m for m in one["moves"] if m["move"] == "pick")
    apart = landed["radius_m"][1] - pick["radius_m"][0]
    if one["load_return"] == "crawler-travels":
        way = "towards" if apart > 0 else "back from"
        assert f"Travel {length(abs(apart), 'near')} {way} the load" in told
    elif one["load_return"] == "helper-machine":
        assert f"brings the load to radius {length(pick['radius_m'][0], 'near')}" in told
    elif one["load_return"] == "second-load":
        assert f"Slew {math.ceil(one['slew_deg'] - 1e-9)}°" in told and "its own weights" in told


def test_after_the_last_landing_nothing_is_paid_out_for_the_slings(built: Path) -> None:
    for _, html in pages(built):
        after = text(section(html, "after"))
        assert "Unhook them at the load; they stay on the hook." in after
        assert "Never pay out for it: that unwinds firm rope." in after


def test_radii_are_what_the_crew_reads_to_the_cautious_side() -> None:
    """Loaded where a load hangs; outward never beyond the landing, inward never nearer."""
    for _, plan, method in done():
        moves = [m for p in method["passes"] for m in p["moves"]]
        for at, (move, (_, shown)) in enumerate(zip(moves, said.radii(method), strict=True)):
            metric = float(text(shown).split()[0])
            reached = move["loaded_radius_m"][1]
            assert abs(metric - reached) < 0.1 + 1e-3, (plan["machine"], plan["boom"], at)
            before, after = move["radius_m"]
            following = moves[at + 1] if at + 1 < len(moves) else None
            if after > before + 1e-6:
                landed = following["loaded_radius_m"][1] if following and following["move"] == "land" else 0.0
                assert metric <= max(reached, landed) + 1e-9
            elif after < before - 1e-6:
                assert metric >= reached - 1e-9


def test_a_load_on_a_row_of_the_chart_is_told_at_that_row() -> None:
    """The plan lands the load on a listed radius wherever the chart is what ends it; never told beyond."""
    for _, plan, method in done():
        listed = {row[0] for chart in plan["inputs"]["charts"] for row in chart["rows"]}
        for row in plan["heavier_loads"]:
            told = said.listed(plan, row["furthest_radius_m"])
            assert told in listed or told == row["furthest_radius_m"]
            assert 0 <= told - row["furthest_radius_m"] <= said.ON_THE_ROW
        assert method["chart_radius_m"] is not None


# -- what it is enough for --------------------------------------------------------------------------------------------


def test_what_each_pass_is_enough_for(built: Path) -> None:
    for plan, html in pages(built):
        best = best_method(plan)
        assert best
        told = [text(found) for found in re.findall(r"<p data-enough>(.*?)</p>", html)]
        assert len(told) == len(best["passes"])
        for one, line in zip(best["passes"], told, strict=True):
            begin, end = one["firm_from"], one["firm_to"]
            first = said.place(WORDS, plan["inputs"], begin["layer"], begin["wrap"], "up")
            last = said.place(WORDS, plan["inputs"], end["layer"], end["wrap"], "down")
            assert f"drum firm from {first} to {last}" in line
            assert rounding.rope(one["firm_rope_m"], "down").metric in line
            falls = one["full_pull_falls_min"]
            if falls is None:
                assert "full line pull with" not in line.replace("Not enough for full line pull with any falls", "")
            else:
                assert f"hook at the pick up to {length(one['full_pull_hook_up_to_m'], 'down')}" in line
                assert ("any number of falls" if falls == 1 else f"{falls} falls or more") in line
        three = text(row(html, "enough"))
        assert f"{rounding.rope(best['passes'][-1]['firm_rope_m'], 'down').metric} is firm." in three
        assert f"the drum shows no more than {last}." in three and f"show less than {first}." in three
        assert "lowest count shown since" in three


def test_what_is_firm_if_the_work_ends_early() -> None:
    """After every landing what the contract says; in between never more, and never below zero."""
    for case, plan, method in done():
        found = iter(steps.firm_if_landed(Planned(case, plan), method))
        before = 0.0
        for one in method["passes"]:
            of_pass = [next(found) for _ in one["moves"]]
            assert of_pass[-1] == pytest.approx(one["firm_rope_m"], abs=1e-3), (plan["machine"], plan["boom"])
            assert all(0 <= firm_then <= one["firm_rope_m"] + 1e-6 for firm_then in of_pass)
            for move, firm_then in zip(one["moves"], of_pass, strict=True):
                if not move["load_kg"]:
                    assert firm_then == before
                elif move["move"] in ("pick", "luff-in"):
                    assert firm_then <= before
            before = one["firm_rope_m"]


# -- other loads, other room, other things ----------------------------------------------------------------------------


def test_heavier_loads_with_their_own_stop_heights(built: Path) -> None:
    for plan, html in pages(built):
        if not plan["heavier_loads"]:
            assert 'id="heavier"' not in html
            continue
        told = row(html, "heavier")
        share = rounding.share(plan["inputs"]["largest_capacity_use"], "near")
        assert f"within {share} of the rated capacity" in text(told)
        table = rows(told)
        for one, cells in zip(plan["heavier_loads"], table, strict=True):
            stop = length(one["stop_height_m"], "up") if one["stop_height_m"] > 0 else "ground"
            radius = length(said.listed(plan, one["furthest_radius_m"]), "down")
            firm_then = rounding.rope(one["firm_rope_m"], "down").metric
            assert cells[:4] == [rounding.mass(one["load_kg"], "up").metric, radius, stop, firm_then]
        if len(table) > 1:
            assert f"{table[1][0]} reaches only {table[1][1]}." in text(told), "the answer is the next row"


def test_little_room(built: Path) -> None:
    for plan, html in pages(built):
        worth = [row for row in plan["limited_room"] if row["firm_rope_m"] >= 1]
        if not plan["limited_room"]:
            assert 'id="room"' not in html
            continue
        told = row(html, "room")
        shown = rows(told) if worth else []
        assert [cells[0] for cells in shown] == [length(row["radius_m"], "down") for row in worth]
        for one, cells in zip(worth, shown, strict=True):
            assert cells[2] == rounding.rope(one["firm_rope_m"], "down").metric
            assert cells[3] == str(one["full_pull_falls_min"] or "none")
        nothing = [one["radius_m"] for one in plan["limited_room"] if one["firm_rope_m"] < 1]
        if nothing:
            assert f"Out to {length(max(nothing), 'down')} nothing is firm." in text(told)
        elif worth:
            assert f"At {shown[0][0]}, {shown[0][2]} is firm." in text(told)


def test_what_would_help(built: Path) -> None:
    seen = set()
    for plan, html in pages(built):
        lines = [text(line) for line in re.findall(r"<li>(.*?)(?=<li>|</ul>)", row(html, "help"), re.DOTALL)]
        assert len(lines) == len(plan["what_would_help"])
        for one, line in zip(plan["what_would_help"], lines, strict=True):
            seen.add(one["kind"])
            parts: dict[str, Callable[[Any], tuple[str, ...]]] = {
                "weight": lambda one: (
                    rounding.mass(one["least_kg"], "up").metric,
                    rounding.mass(one["most_kg"], "down").metric,
                ),
                "slings": lambda one: (f"slings up to {length(one['length_m'], 'near')}",),
                "falls": lambda one: (f"With {one['falls']} falls",),
                "block": lambda one: (one["block"],),
                "configuration": lambda one: ("With ",),
                "boom": lambda one: (rounding.boom_length(one["boom_length_m"]).metric,),
                "room": lambda one: (length(one["working_radius_m"], "up"),),
            }
            passes = f"{one['passes']} passes" if one["passes"] > 1 else "1 pass"
            rope = f"{rounding.rope(one['firm_rope_m'], 'down').metric} firm"
            for part_of in (*parts[one["kind"]](one), passes, f"{rounding.whole_minutes(one['minutes'])} min", rope):
                assert part_of in line, line
    assert {"boom", "configuration"} <= seen


def test_weights_name_base_stack_and_the_slings_of_every_pass(built: Path) -> None:
    for plan, html in pages(built):
        load, best, told = plan["load"], best_method(plan), row(html, "weights")
        assert best
        shown = text(told)
        assert f"{rounding.mass(load['planned_kg'], 'up').metric} at the hook." in shown
        assert "the base" in shown and f"stack is {length(load['stack_height_m'], 'up')} high" in shown
        assert f"stand {length(load['lifting_points_height_m'], 'near')} above ground" in shown
        totals = [cells for cells in rows(told) if cells[0].startswith("Load at the hook")]
        masses = {round(s["length_m"], 6): s["mass_kg"] for s in plan["inputs"]["slings"]}
        for one, cells in zip(best["passes"], totals, strict=True):
            whole = load["hook_block_kg"] + load["net_kg"] + masses[round(one["sling_length_m"], 6)]
            assert cells[-1] == rounding.mass(whole, "up").metric
            loaded = next(m for m in one["moves"] if m["load_kg"])
            assert loaded["load_kg"] == pytest.approx(whole, abs=1e-3)


# -- the working ------------------------------------------------------------------------------------------------------

# Sections of the plan before it had a first screen: an address that names one still leads to its subject.
ON_THE_PLAN = ["headline", "before", "steps", "after", "cautions", "side", "methods", "falls", "weights"]
ON_THE_PLAN += ["count", "break", "shorter-rope", "enough", "warnings", "top-of-page"]
BEHIND_IT = ["moves", "drum", "off", "working", "rules", "data"]


def test_old_anchors_lead_to_their_subject(built: Path) -> None:
    for plan, html in pages(built):
        for id in ON_THE_PLAN:
            assert f'id="{id}"' in html, id
        for id, there in (("heavier", plan["heavier_loads"]), ("room", plan["limited_room"]), ("bed", True)):
            assert (f'id="{id}"' in html) == bool(there), id
        for id in BEHIND_IT:
            assert f'<a id="{id}" href="working/#{id}">' in html


def test_the_working_holds_what_the_plan_s_page_leaves_out(built: Path) -> None:
    for path in built.glob("machines/*/*/**/working/index.html"):
        html = path.read_text(encoding="utf-8")
        for id in BEHIND_IT:
            assert f'<h2 id="{id}">' in html, path
    for _, html in pages(built):
        assert "fw-working" not in html and "fw-cite" not in html
    for path in sorted((built / "data/v1/plans").glob("*/*.json")):
        plan = json.loads(path.read_text(encoding="utf-8"))
        boom, _, configuration = path.stem.partition(".")
        behind = built / "machines" / path.parent.name / boom / configuration / "working/index.html"
        html = behind.read_text(encoding="utf-8")
        best = best_method(plan)
        assert best
        table = rows(part(html, "moves").replace('<tbody class="fw-moves">', "<tbody>"))
        moves = [move for one in best["passes"] for move in one["moves"]]
        assert len(table) == len(moves)
        for number, (move, cells) in enumerate(zip(moves, table, strict=True), 1):
            assert cells[0] == str(number) and cells[1] == WORDS.get(f"moves.{move['move']}")
            assert cells[3] == length(move["hook_height_m"][1], "near")
            assert cells[4] == said.short(WORDS, plan["inputs"], move["layer"][1], move["wrap"][1])
        listed = re.findall(r"rules/([\w-]+)/(\d{4}-\d\d-\d\d)/", part(html, "rules"))
        assert {(use["id"], use["from"]) for use in plan["rules"]} <= set(listed)
        assert f"data/v1/plans/{path.parent.name}/{path.name}" in part(html, "data")


def test_every_formula_comes_to_the_contract_s_number() -> None:
    for case, plan in fleet_cases():
        best = best_method(plan)
        found = {line.key: line for line in working.lines(Planned(case, plan))}
        assert best and plan["load"]

        def last(key: str, unit: str = "m", found: dict[str, working.Line] = found) -> float:
            return float(re.findall(rf"= (-?[\d.]+) {unit}", found[key].numbers)[-1])

        load, stops, end = plan["load"], plan["stops"], best["passes"][-1]
        assert last("pick") == pytest.approx(best["passes"][0]["hook_at_pick_m"], abs=6e-4)
        assert last("start") == pytest.approx(stops["rope_at_start_m"], abs=6e-3)
        assert last("stop") == pytest.approx(stops["hook_height_m"], abs=6e-3)
        assert f"{stops['wrap_at_start']:.2f}" in found["position"].numbers
        assert f"{best['passes'][0]['slings_hung']['radius_m']:.2f}" in found["hang"].numbers
        assert f"{load['minimum_kg']:.0f} kg" in found["minimum"].numbers
        assert f"{load['share_of_breaking_force']:.4f}" in found["aim"].numbers
        assert last("firm_rope") == pytest.approx(end["firm_rope_m"], abs=6e-3)
        place = f"layer {end['firm_to']['layer']}, wraps: {end['firm_to']['wrap']:.0f} ="
        assert place in found["firm_to"].numbers, (plan["machine"], plan["boom"])
        landed = end["moves"][-1]["rope_on_drum_m"][1]
        assert last("firm_to") == pytest.approx(landed - end["overlap_m"], abs=6e-3)
        least = stops["rope_at_start_m"]
        assert last("kept") <= least + 6e-3
        reads = max(r for p in best["passes"] for m in p["moves"] if m["load_kg"] for r in m["loaded_radius_m"])
        assert float(re.findall(r"= ([\d.]+) m;", found["capacity"].numbers)[0]) == pytest.approx(reads, abs=0.11)


def test_no_share_of_the_capacity_stands_in_words_or_code() -> None:
    """It comes from the rule."""
    of_plans = [
        ROOT / f"hooks/pages/plan/{name}.py" for name in ("said", "steps", "plan", "briefing", "sheet", "working")
    ]
    for path in (*of_plans, *(ROOT / "hooks/templates").iterdir(), *(ROOT / "hooks/words").iterdir()):
        assert not re.search(r"\b90 ?%|\b0\.9\b(?!\d)", path.read_text(encoding="utf-8")), path


def test_firm_from_is_the_sum_of_its_parts() -> None:
    """The line printed for it, worked out again from its own numbers, is what the planner takes."""
    for case, plan in fleet_cases():
        best = best_method(plan)
        line = next(line for line in working.lines(Planned(case, plan)) if line.key == "firm_from")
        sum_of, result = line.numbers.removesuffix(" m").split(" = ")
        worked = eval(sum_of.replace("^", "**"))  # our own arithmetic, as it is printed
        assert worked == pytest.approx(float(result), abs=0.05)
        rig = Planned(case, plan).rig
        assert rig
        begin = firm.firm_from(rig, steps.picked(rig, plan, best["passes"][0]))
        assert float(result) == pytest.approx(begin, abs=6e-3)
