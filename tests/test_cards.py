"""Step cards: one for every move of the contract, its numbers, one scale, the drum from card to card; turned over by
swipe, link and key on a phone of 360 x 740, kept over a reload, read without a script and without a network.

Expected numbers are those of the contract through the one rounding module; the drum after a plan is that of its
firm_from and firm_to.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise
from math import dist, floor, pi
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from as_read import text
from conftest import DATA, DAY, axe
from playwright.sync_api import BrowserContext, Page, expect
from static_host import Host

from calc import rounding
from calc.data import look_up
from calc.formulas import drum as spooled
from calc.winding import plan_data
from calc.winding.plan_fields import Method, Plan
from hooks.computed import Planned
from hooks.figures import card, drum
from hooks.pages.plan import cards
from hooks.text import words
from hooks.text.environment import environment

WORDS = words.load()
TEMPLATES = environment(WORDS)
SVG = "{http://www.w3.org/2000/svg}"
PLACES = ("bittern 54m", "bittern 24m", "curlew 123m", "heron 41m", "dunlin 29m", "avocet 120ft",
          "plover 41m jib-9m-30deg", "whimbrel 36m luffing-jib-30m-75deg")  # fmt: skip


@cache
def decks() -> list[tuple[Plan, Method, cards.Deck]]:
    """Every method that can be done of some plans, with its cards."""
    found = []
    for name in PLACES:
        machine, slug, *configuration = name.split()
        case = look_up.case(DATA, machine, slug, configuration[0] if configuration else None, DAY)
        planned = Planned(case, plan_data.plan(case))
        done = [method for method in planned.plan["methods"] if method and method["passes"]]
        found += [(planned.plan, method, cards.deck(WORDS, planned, method)) for method in done]
    return found


def moves(method: Method) -> list[Any]:
    return [move for one in method["passes"] for move in one["moves"]]


def each() -> Iterator[tuple[Plan, Method, Any, cards.Card]]:
    for plan, method, deck in decks():
        for move, one in zip(moves(method), deck.cards, strict=True):
            yield plan, method, move, one


def tree(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(str(svg).replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


def numbers(path: str) -> list[float]:
    return [float(found) for found in re.findall(r"-?\d*\.?\d+", path)]


# -- what a card says ---------------------------------------------------------------------------------------------


def test_there_is_a_card_for_every_move_in_order() -> None:
    for _, method, deck in decks():
        of_pass = [number for number, one in enumerate(method["passes"], 1) for _ in one["moves"]]
        assert [one.pass_number for one in deck.cards] == of_pass
        assert [one.number for one in deck.cards] == list(range(1, len(of_pass) + 1))
        for one, number in zip(deck.cards, of_pass, strict=True):
            assert text(one.where) == f"Pass {number} · step {one.number} of {len(of_pass)}"


def test_every_number_of_a_card_is_the_contract_s_rounded_as_everywhere() -> None:
    for plan, _, move, one in each():
        inputs = plan["inputs"]
        for units in ("metric", "us"):
            assert text(one.hook, units) == rounding.length(move["hook_height_m"][1], "near").of(units)
            load = rounding.mass(move["load_kg"], "up").of(units) if move["load_kg"] else "empty"
            assert text(one.load, units) == load
        layer, wraps = move["layer"][1], floor(move["wrap"][1] + 0.5)
        if not wraps and layer > 1:
            layer, wraps = layer - 1, inputs["wraps_even_layers" if layer % 2 else "wraps_odd_layers"]
        full = wraps == inputs["wraps_odd_layers" if layer % 2 else "wraps_even_layers"]
        assert text(one.drum) == (f"L{layer} full" if full else f"L{layer} · {wraps}")


def test_a_heading_names_the_number_the_move_ends_at() -> None:
    """Radii as read: reached outward down, inward up; worked through in test_plan_pages."""
    for _, _, move, one in each():
        said = text(one.heading)
        if move["move"] in ("luff-out", "luff-in"):
            read = move["loaded_radius_m"][1]
            both = {rounding.length(read, side).metric for side in ("up", "down", "near")}
            assert said.removeprefix("Luff out to ").removeprefix("Luff in to ") in both
        elif move["move"] == "telescope-in":
            assert said == f"Telescope in to {rounding.boom_length(move['boom_length_m'][1]).metric}"
        elif move["move"] == "pick":
            assert said == f"Pick up {rounding.mass(move['load_kg'], 'up').metric}"
        assert said.startswith(one.verb.partition(" and ")[0])


def test_a_card_has_at_most_two_sentences_and_says_how_to_stop() -> None:
    for _, _, move, one in each():
        said = text(" ".join(one.sentences))
        assert 1 <= len(re.findall(r"[.?!](?= |$)", said)) <= 2, said
        assert len(said) <= 140, said  # four lines of a phone
        stop = text(one.stop)
        assert ("lower straight down and land" in stop) == bool(move["load_kg"])
        assert "firm then." in stop


def test_what_must_be_known_for_a_move_stands_on_its_card() -> None:
    for plan, method, move, one in each():
        said, aside = text(" ".join(one.sentences)), text(one.aside or "")
        low, high = (rounding.length(plan["inputs"][name], "near").metric for name in ("clearance_m", "band_top_m"))
        if one.number == 1:
            hung = method["passes"][0]["slings_hung"]
            out = "jib out" if "jib" in plan["inputs"] and plan["inputs"]["jib"]["kind"] == "luffing" else "Boom out"
            assert f"{out} empty to {rounding.length(hung['radius_m'], 'up').metric}" in said
            assert "Two people count the drum" in said and "tape the height" in said
            assert "only if it is set at or above the stop wraps" in aside and "never by paying out further" in aside
        elif move["move"] == "pick":
            least = rounding.mass(plan["load"]["reading_least_kg"], "up").metric
            most = rounding.mass(plan["load"]["reading_most_kg"], "down").metric
            assert "everyone back" in said and "test the brake" in said
            assert f"Indicator {least} to {most}" in said or f"indicator above {most}: land and stop" in said
            assert "swings out at lift-off" in aside
        elif move["load_kg"] and move["move"] != "land":
            assert f"load {low} to {high} up" in said
        elif move["load_kg"]:
            assert "Secure the winch, inspect the drum." in said
        elif move["move"] == "luff-in":
            sling = rounding.length(method["passes"][one.pass_number - 1]["sling_length_m"], "near").metric
            assert sling in said and "Hold the hoist" in said and "upper stop" in said + aside
        elif move["move"] == "luff-out":
            assert "Do not touch the hoist" in said


# -- side view ----------------------------------------------------------------------------------------------------


def test_all_cards_of_a_plan_have_one_box_and_one_scale() -> None:
    """The pivot stands in the same place on every card, and boom heads as far from it as the boom is long."""
    for plan, method, deck in decks():
        assert {tree(one.side).attrib["viewBox"] for one in deck.cards} == {f"0 0 {card.WIDTH} {card.HEIGHT}"}
        ((wide, tall),) = {tuple(map(float, tree(one.rope).attrib["viewBox"].split()[2:])) for one in deck.cards}
        assert wide / tall == pytest.approx(card.WIDTH / card.DRUM_HEIGHT, abs=0.02)
        scales = set()
        pivots = set()
        for move, one in zip(moves(method), deck.cards, strict=True):
            boom = next(e for e in tree(one.side).iter() if e.get("class") == "card-boom")
            ends = list(batched(numbers(boom.attrib["d"])))
            pivots.add(ends[0])
            # the boom, and the jib where there is one, as long as they are
            lengths = [move["boom_length_m"][1], *([plan["inputs"]["jib"]["length_m"]] if len(ends) == 3 else [])]
            scales |= {dist(*two) / length for two, length in zip(pairwise(ends), lengths, strict=True)}
            assert (len(ends) == 3) == ("jib" in plan["inputs"])
        assert len(pivots) == 1
        assert max(scales) - min(scales) < 0.02, plan["machine"]


def batched(found: Sequence[float]) -> Iterator[tuple[float, float]]:
    """The points of a path."""
    yield from zip(found[::2], found[1::2], strict=True)


def test_the_boom_stands_where_the_contract_puts_it() -> None:
    """r = x_p + L*cos(phi) and H = z_p + L*sin(phi): across and up in the same scale."""
    for plan, _, move, one in each():
        boom = next(e for e in tree(one.side).iter() if e.get("class") == "card-boom")
        (x1, y1), *between, (x2, y2) = batched(numbers(boom.attrib["d"]))
        reach = dist((x1, y1), between[0] if between else (x2, y2))
        scale = reach / move["boom_length_m"][1]
        across = (move["radius_m"][1] - plan["inputs"]["pivot_forward_m"]) * scale
        assert x2 - x1 == pytest.approx(across, abs=0.3)
        assert y1 > y2


def test_everything_stays_in_the_box_and_an_arrow_shows_the_way() -> None:
    for _, _, move, one in each():
        root = tree(one.side)
        for place, element in enumerate(root.iter(f"{SVG}text")):
            x, y = float(element.attrib["x"]), float(element.attrib["y"])
            half = 0.62 * card.FONT * 8  # "124.5 ft", eight letters
            left, right = (x, x + half) if place else (x - half / 2, x + half / 2)  # the radius stands in the middle
            assert left >= -2 and right <= card.WIDTH + 2 and y <= card.HEIGHT - 2, (one.heading, x)
        moving = move["boom_length_m"][0] != move["boom_length_m"][1] or move["radius_m"][0] != move["radius_m"][1]
        turning = move["hook_height_m"][0] != move["hook_height_m"][1]
        arrows = [e for e in root.iter() if e.get("class") == "card-go"]
        assert len(arrows) == (1 if moving or turning else 0)
        if move["boom_length_m"][0] == move["boom_length_m"][1]:
            assert ("A" in arrows[0].attrib["d"]) == moving
        assert bool([e for e in root.iter() if e.get("class") == "card-band"]) == bool(move["load_kg"] and moving)
        assert bool([e for e in root.iter() if e.get("class") == "fig-load"]) == bool(move["load_kg"])


def test_every_figure_says_in_words_what_it_shows() -> None:
    for _, _, move, one in each():
        for svg in (one.side, one.rope):
            root = tree(svg)
            assert root.get("role") == "img" and root.find(f"{SVG}title") is not None
            assert "style=" not in svg and not re.search(r"\bid=", svg), "figures are copied: they hold no ids"
        hook = rounding.length(move["hook_height_m"][1], "near")
        assert f"then {hook.metric} ({hook.us}) above ground" in one.side


# -- drum ---------------------------------------------------------------------------------------------------------


def on_drum(plan: Plan, move: Any, end: int) -> int:
    """Whole wraps as counted."""
    odd, even = plan["inputs"]["wraps_odd_layers"], plan["inputs"]["wraps_even_layers"]
    full = sum(odd if layer % 2 else even for layer in range(1, move["layer"][end]))
    return int(full + floor(move["wrap"][end] + 0.5))


def test_the_drum_goes_on_from_card_to_card() -> None:
    for plan, method, _ in decks():
        drawn = card.drums(plan, method)
        for move, wound in zip(moves(method), drawn, strict=True):
            lies = [(low, high) for state, low, high in wound if state != "out"]
            assert lies[0][0] == 0 and all(a[1] == b[0] for a, b in pairwise(lies)), wound
            assert lies[-1][1] == on_drum(plan, move, 1)
            moved = [(state, low, high) for state, low, high in wound if state in ("wound", "out")]
            before, after = on_drum(plan, move, 0), on_drum(plan, move, 1)
            state = "wound" if after > before else "out"
            assert moved == ([(state, min(before, after), max(before, after))] if before != after else [])
            dead = plan["inputs"]["wraps_odd_layers" if plan["inputs"]["drum_surface"] == "smooth" else "dead_wraps"]
            assert wound[0] == ("dead", 0, dead)


def test_firm_on_the_last_drum_is_what_the_plan_counts() -> None:
    """Up to the last whole wrap of firm_to, from the next whole wrap firm_rope_m of rope beneath."""
    for plan, method, deck in decks():
        last = method["passes"][-1]
        odd, even = plan["inputs"]["wraps_odd_layers"], plan["inputs"]["wraps_even_layers"]
        end = sum(odd if layer % 2 else even for layer in range(1, last["firm_to"]["layer"]))
        end += floor(last["firm_to"]["wrap"] + 1e-6)
        firm = [(low, high) for state, low, high in card.drums(plan, method)[-1] if state == "firm"]
        ((first, up_to),) = firm
        assert up_to == end
        rope = 0.0
        for wrap in range(first, end):
            layer = next(n for n in range(1, 20) if wrap < sum(odd if k % 2 else even for k in range(1, n + 1)))
            rise = plan["inputs"]["rope_diameter_m"] * (1 + 2 * plan["inputs"]["rise_ratio"] * (layer - 1))
            rope += pi * (plan["inputs"]["groove_root_diameter_m"] + rise)
        assert 0 <= last["firm_rope_m"] - rope + 1e-3 < 1.1 * rope / (end - first), "the next whole wrap"
        assert rings(deck.cards[-1].rope, "card-firm") == end - first


def rings(svg: str, name: str) -> int:
    """How many wraps are drawn in this way, counted along the dashes of its lines: ten units from one to the next."""
    lines = [e.attrib["d"] for e in tree(svg).iter() if e.get("class") == name]
    return sum(floor(float(long) / 10 + 0.02) + 1 for d in lines for long in re.findall(r"h([\d.]+)", d))


def test_a_ring_is_drawn_for_every_wrap_in_its_state() -> None:
    for plan, method, deck in decks():
        for one, wound in zip(deck.cards, card.drums(plan, method), strict=True):
            for state in ("firm", "wound", "loose", "out"):
                wraps = sum(high - low for name, low, high in wound if name == state)
                assert rings(one.rope, f"card-{state}") == wraps, (one.heading, state)
            assert rings(one.rope, "card-core") == rings(one.rope, "card-wound")


def test_a_plan_on_a_drum_with_firm_rope_begins_with_it() -> None:
    """The log knows the first 30 m firm: 26 mm rope on a 620 mm barrel, l_1 = pi*0.646 = 2.0295 m, 14 whole wraps."""
    plan, method, _ = decks()[0]
    known: Any = {**plan, "inputs": {**plan["inputs"], "firm_below_m": 30.0}}
    before = card.drums(plan, method)
    for was, wound in zip(before, card.drums(known, method), strict=True):
        firm = [(low, high) for state, low, high in wound if state == "firm"]
        lies = max(high for state, _, high in was if state != "out")
        moved = [low for state, low, _ in wound if state == "wound"]
        assert firm[0][0] == 3 and firm[0][1] >= min(14, lies, *moved)


def test_a_pointer_stands_over_the_last_wrap() -> None:
    """Odd layers from the left flange, even ones back, half a pitch over."""
    for plan, _, move, one in each():
        on = card.section(plan)
        layer, wrap = move["layer"][1], floor(move["wrap"][1] + 0.5)
        if not wrap:
            continue
        along = wrap - 0.5 if layer % 2 else on.layers[layer - 1].wraps - wrap + 1
        (point,) = (e for e in tree(one.rope).iter() if e.get("href") == "#m-point")
        x, y = float(point.attrib["x"]), float(point.attrib["y"])
        assert x == pytest.approx(on.left + along * on.pitch, abs=0.06)
        assert y < on.up(on.layers[layer - 1].diameter)


def test_the_drum_is_to_scale() -> None:
    for plan, _, deck in decks():
        on, inputs = card.section(plan), plan["inputs"]
        assert on.up(inputs["flange_diameter_m"]) >= 4 and on.left >= card.COLUMN
        assert on.pitch == pytest.approx(10), "as docs/assets/cards.css takes it"
        wide = on.right - on.left
        tall = on.root - on.up(inputs["flange_diameter_m"])
        ratio = drum.inner_width(inputs) / ((inputs["flange_diameter_m"] - inputs["groove_root_diameter_m"]) / 2)
        assert wide / tall == pytest.approx(ratio)
        layers = [
            e.text for e in tree(str(deck.shared).replace("<defs>", "").replace("</defs>", "")).iter(f"{SVG}text")
        ]
        assert sorted(map(int, filter(None, layers))) == list(range(1, len(spooled.layers(
            inputs["groove_root_diameter_m"], inputs["rope_diameter_m"], inputs["rise_ratio"],
            inputs["wraps_odd_layers"], inputs["wraps_even_layers"], inputs["rope_length_m"])) + 1))  # fmt: skip


# -- weight -------------------------------------------------------------------------------------------------------


def test_a_card_is_light() -> None:
    """2,900 bytes a card before figures shared their parts; sheets of 20 cards and plan pages are held in test_site."""
    show = TEMPLATES.from_string('{% from "cards.html" import cards %}{{ cards(deck) }}')
    for _, _, deck in decks():
        html = "".join(line.strip() for line in show.render(deck=deck).splitlines())
        assert len(html.encode()) <= 2450 * len(deck.cards) + 3000


# -- on the phone -------------------------------------------------------------------------------------------------

PLAN = "machines/heron/41m/"


def at_card(page: Page, number: int) -> None:
    """This card is the one on the screen, and named so."""
    expect(page.locator(f"#m{number}")).to_have_attribute("aria-current", "step")
    expect(page.locator(".fw-card[aria-current]")).to_have_count(1)
    page.wait_for_function(
        """(number) => {
          const list = document.querySelector(".fw-cards").getBoundingClientRect();
          const card = document.getElementById(`m${number}`).getBoundingClientRect();
          return Math.abs(card.left - list.left) < 2;
        }""",
        arg=number,
    )


def test_cards_turn_over_by_swipe_link_and_key_and_are_read_out(page: Page, address: str) -> None:
    page.goto(address + PLAN)
    at_card(page, 1)
    said = page.locator(".fw-heard")
    expect(said).to_have_text("")
    page.locator(".fw-cards").evaluate("(list) => list.scrollBy({ left: list.clientWidth })")  # as a finger moves it
    at_card(page, 2)
    expect(said).to_have_text(re.compile(r"^Pass 1 · step 2 of \d+, Luff in to "))
    page.locator("#m2").get_by_role("link", name="Next").click()
    at_card(page, 3)
    expect(said).to_have_text(re.compile(r"^Pass 1 · step 3 of \d+, Pick up "))
    assert page.url.endswith("#m3")
    expect(page.locator("#m3").get_by_role("link", name="Next")).to_be_focused()
    page.keyboard.press("Enter")
    at_card(page, 4)
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Enter")
    at_card(page, 3)
    page.keyboard.press("ArrowRight")
    at_card(page, 4)
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    at_card(page, 2)


def test_the_place_is_kept_over_a_reload_and_by_its_address(page: Page, address: str) -> None:
    page.goto(address + PLAN)
    page.locator(".fw-cards").evaluate("(list) => list.scrollTo({ left: 4 * list.clientWidth })")
    page.wait_for_function("document.querySelector('.fw-card[aria-current]').id !== 'm1'")
    page.wait_for_timeout(500)
    (number,) = re.findall(r"\d+", page.locator(".fw-card[aria-current]").get_attribute("id") or "")
    page.reload()
    at_card(page, int(number))
    page.goto("about:blank")
    page.goto(f"{address}{PLAN}#m3")
    at_card(page, 3)


def test_reduced_motion_turns_without_sliding(page: Page, address: str) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.goto(address + PLAN)
    at_card(page, 1)
    page.evaluate(
        """() => {
          const list = document.querySelector(".fw-cards");
          const real = list.scrollTo.bind(list);
          list.scrollTo = (to) => { window.asked = to.behavior; real(to); };
        }"""
    )
    page.locator("#m1").get_by_role("link", name="Next").click()
    at_card(page, 2)
    assert page.evaluate("window.asked") == "instant"


def test_without_a_script_the_links_lead_from_card_to_card(phone: BrowserContext, address: str) -> None:
    context = phone.browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(f"{address}{PLAN}#m2")
    page.locator("#m2").get_by_role("link", name="Next").click()
    box = page.locator("#m3").bounding_box()
    assert box and 0 <= box["x"] < 40 and 48 <= box["y"] < 60
    context.close()


def test_with_the_server_stopped_the_cards_go_on(built: Path, tmp_path: Path, phone: BrowserContext) -> None:
    host = Host(built, tmp_path / "asked.log")
    page = phone.new_page()
    try:
        page.goto(host.address + PLAN)
        page.wait_for_load_state("load")
        at_card(page, 1)
        host.stop()
        for number in (2, 3, 4):
            page.locator(f"#m{number - 1}").get_by_role("link", name="Next").click()
            at_card(page, number)
        assert page.locator("#m4 .card-boom").count() == 1
    finally:
        host.stop()
        page.close()


FITS = """(id) => {
  const card = document.getElementById(id);
  const say = card.querySelector(".fw-card-say").getBoundingClientRect();
  const bar = card.querySelector(".fw-card-nav").getBoundingClientRect();
  const top = card.getBoundingClientRect().top;
  const letters = [...card.querySelectorAll(".fig text")].filter((node) => node.getBoundingClientRect().width > 0)
    .map((node) => parseFloat(getComputedStyle(node).fontSize) * node.getScreenCTM().a);
  const foot = document.querySelector(".fw-crane-bar")?.getBoundingClientRect().top ?? innerHeight;
  return { top, say: say.bottom, bar: bar.top, end: bar.bottom, foot, letters: Math.min(...letters),
    wide: document.documentElement.scrollWidth };
}"""


@pytest.mark.parametrize("height", [740, 640])
@pytest.mark.parametrize("plan", ["machines/heron/41m/", "machines/avocet/120ft/"])
def test_every_card_fits_the_screen_above_its_bar(page: Page, address: str, plan: str, height: int) -> None:
    """Under a header of 48 px and over the bar of the crane, with a bar of 60 px of its own; text of 14 px at least."""
    page.set_viewport_size({"width": 360, "height": height})
    page.emulate_media(reduced_motion="reduce")
    page.goto(address + plan)
    for number in range(1, page.locator(".fw-card").count() + 1):
        page.evaluate("(id) => document.getElementById(id).scrollIntoView({ behavior: 'instant' })", f"m{number}")
        found = page.evaluate(FITS, f"m{number}")
        assert found["top"] >= 48 and found["say"] <= found["bar"], (number, found)
        assert found["end"] <= found["foot"] + 1 <= height + 1 and found["end"] - found["bar"] >= 60, (number, found)
        assert found["letters"] >= 14 and found["wide"] <= 360, (number, found)


def test_every_card_of_a_sheet_fits_the_screen_above_its_bar(page: Page, address: str) -> None:
    page.emulate_media(reduced_motion="reduce")
    for height in (740, 640):
        page.set_viewport_size({"width": 360, "height": height})
        page.goto(f"{address}{PLAN}sheet/")
        page.evaluate("localStorage.clear()")
        page.reload()
        page.get_by_role("button", name="Start: Telescope in").click()
        seen = 0
        while page.locator(".fw-run-bar .fw-main").inner_text() != "Write the record":
            card_now = page.locator(".fw-now.fw-card")
            if card_now.count():
                seen += 1
                found = page.evaluate(
                    """() => {
                      const card = document.querySelector(".fw-now.fw-card");
                      const letters = [...card.querySelectorAll(".fig text")]
                        .filter((node) => node.getBoundingClientRect().width > 0)
                        .map((node) => parseFloat(getComputedStyle(node).fontSize) * node.getScreenCTM().a);
                      return { top: card.getBoundingClientRect().top, letters: Math.min(...letters),
                        say: card.querySelector(".fw-card-say").getBoundingClientRect().bottom,
                        bar: document.querySelector(".fw-run-bar").getBoundingClientRect().top };
                    }"""
                )
                assert 48 <= found["top"] < 60 and found["say"] <= found["bar"], (height, seen, found)
                assert found["letters"] >= 14, (height, seen, found)
            if page.locator(".fw-answers").count():
                page.get_by_role("button", name="As planned", exact=True).click()
            page.locator(".fw-run-bar .fw-main").click()
        assert seen == 7


def test_cards_stand_three_a_row_on_wide_screens_and_four_on_paper(page: Page, address: str) -> None:
    page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(address + PLAN)

    def lefts() -> list[float]:
        found: list[float] = page.evaluate(
            "[...document.querySelectorAll('.fw-card')].map((card) => Math.round(card.getBoundingClientRect().left))"
        )
        return found

    assert len(set(lefts())) == 3 and lefts()[:3] == sorted(set(lefts()))
    page.emulate_media(media="print")
    assert len(set(lefts())) == 4
    expect(page.locator(".fw-card-nav").first).to_be_hidden()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_a_card(page: Page, address: str, scheme: Any) -> None:
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{address}{PLAN}#m4")
    at_card(page, 4)
    assert not axe(page)
