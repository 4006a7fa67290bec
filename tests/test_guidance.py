"""Hand-written pages: what they may ask for, what they may not write themselves, their order, their figures.

Expected numbers come from a printed table, from hand work, or from plain geometry; never from the figures' own code.
"""

from __future__ import annotations

import math
import os
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
import yaml
from conftest import DAY, KEPT, ROOT, fleet_site
from test_figures import CSS, PLANS, SVG, WORDS, boxes, key, nothing, refused, shown, tree

from calc import formulas
from calc.winding import plan_data
from calc.winding.plan_fields import Plan
from hooks.computed import Planned
from hooks.figures import WIDTH, bars, bed, tension
from hooks.figures.lesson import FIGURES, OF_DRUM, OF_LIFT, OF_ROPE, SKETCHES
from hooks.guidance.guidance import Guide, order
from hooks.guidance.quoted import QUOTES, PlanPart
from hooks.guidance.quotes import Missing, quote

DRAWINGS = sorted([*FIGURES, *SKETCHES, *OF_DRUM, *OF_LIFT, *OF_ROPE])
FOLDER = ROOT / "docs/guidance"
TEXTS = {path.name: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.md"))}
INDEX = TEXTS["index.md"]
KINDS = (
    "rule: rule-link: plan: plan-link: state: ready: rope: drum-link: rope-link: log-link: shortening-link: "
    "new-rope-link: work-link: lifts-link: figure:"
)

# Every unit the data and the pages use; "in" only where no word follows.
UNITS = (
    r"(?:m|mm|cm|km|ft|in(?=[.,;:)]|$)|inch(?:es)?|foot|feet|metres?|kg|t|lb|tonnes?|tons?|N|kN|lbf|kW|hp|deg|°|s|min"
    r"|minutes?|seconds?|h|hours?|days?|months?|m/min|m/s|ft/min|kV|%|per cent)"
)
TRAINING = {path.name: path.read_text(encoding="utf-8") for path in sorted((ROOT / "docs/training").glob("*.md"))}
BARE = re.compile(rf"(?<![\w.])\d+(?:[.,]\d+)*[ \u00a0]?{UNITS}(?![\w/])", re.MULTILINE)


@pytest.fixture(scope="module")
def guide() -> Guide:
    return fleet_site().guide


def plan(machine: str, boom: str, configuration: str | None = None) -> Plan:
    found = [p for p in PLANS if (p["machine"], p["boom"]) == (machine, boom)]
    return next(p for p in found if configuration in (None, p["configuration"]))


# -- places -----------------------------------------------------------------------------------------------------------


def test_places_are_filled(guide: Guide) -> None:
    def said(place: str) -> str:
        return guide.fill(place, "guidance/x/")

    assert said("{{ rule:dead-wraps-iso.dead_wraps }}") == "3"
    assert said("{{rule:load-kept-low.clearance}}") == (
        '<x-m>0.5 m</x-m><x-u data-search-exclude="">1.64 ft</x-u>'  # 0.5 / 0.3048
    )
    assert said("{{ rule-link:wind }}") == '<a href="../../rules/wind/">R27 Wind</a>'
    assert said("{{ plan-link:heron/41m }}") == '<a href="../../machines/heron/41m/">Heron, boom 41 m</a>'
    assert said("{{ plan:heron/41m.boom }}") == '<x-m>41 m</x-m><x-u data-search-exclude="">134.5 ft</x-u>'
    assert said("two {{ plan:heron/41m.dead_wraps }} places {{ rule:stop-wraps.stop_wraps }}") == "two 3 places 5"


def test_a_configuration_has_its_own_numbers_and_page(guide: Guide) -> None:
    short, full = plan("bittern", "54m"), plan("bittern", "54m", "full-counterweight")
    assert short["configuration"] == "reduced-counterweight"
    for name, wanted in (("bittern/54m", short), ("bittern/54m/full-counterweight", full)):
        assert guide.fill(f"{{{{ plan:{name}.passes }}}}", "") == str(len(wanted["methods"][0]["passes"]))
        assert f'href="./machines/{name}/"' in guide.fill(f"{{{{ plan-link:{name} }}}}", "")
    assert 'href="./machines/bittern/54m/"' in guide.fill("{{ plan-link:bittern/54m/reduced-counterweight }}", "")


def test_a_figure_stands_with_caption_and_words(guide: Guide) -> None:
    html = guide.fill("{{ figure:bed:bittern/54m }}", "guidance/x/")
    root = ElementTree.fromstring(html)
    assert root.tag == "figure" and [e.tag for e in root] == ["svg", "ul", "details", "figcaption"]
    number = root.find("figcaption/a")
    assert number is not None and number.text == "Figure 0" and number.get("href") == f"#{root.get('id')}"
    description, words = root.find("svg/desc"), root.find("details/p")
    assert description is not None and words is not None and words.text == description.text
    assert "\n" not in html  # one block for Markdown


@pytest.mark.parametrize(
    ("place", "message"),
    [
        ("7*7", f"this is not a place; write one of: {KINDS}"),
        ("rules:wind.x", f"this is not a place; write one of: {KINDS}"),
        ("", f"this is not a place; write one of: {KINDS}"),
        (
            "rule:wind.speed",
            "no value of rule 'wind' named 'speed'; write one of: care_wind_speed chart_wind_speed",
        ),
        ("plan:bitern/54m.load", "no plan named 'bitern/54m'; write one of: avocet/100ft "),
        ("plan:bittern/55m.load", "no plan named 'bittern/55m'; write one of: bittern/24m "),
        ("plan-link:bittern", "no plan named 'bittern'; write one of: bittern/24m "),
        ("plan:bittern/54m.weight", "no number of a plan named 'weight'; write one of: bed_1 bed_10 bed_11 bed_12 "),
        ("plan:bittern/54m.bed_12", "plan 'bittern/54m' has no bed_12; write a plan that has it"),
        ("rule-link:wnd", "no rule in force named 'wnd'; write one of: "),
        ("figure:drom:bittern/54m", f"no figure named 'drom'; write one of: {' '.join(DRAWINGS)}"),
        ("figure:drum", "no plan named ''; write one of: avocet/100ft "),
        ("state:biterm.loose", "no state named 'biterm'; write one of: avocet avocet/2026-08-24 "),
        ("state:heron/2026-10-14.loose", "no state named 'heron/2026-10-14'; write one of: heron heron/2026-08-31 "),
        ("state:heron.lose", "no number of a state named 'lose'; write one of: bed_1 bed_10 "),
        ("state:heron.deepest", "state 'heron' has no deepest; write one that has it"),
        ("state:heron.bed_12", "state 'heron' has no bed_12; write one that has it"),
        ("state:curlew.ready_from", "state 'curlew' has no ready_from; write one that has it"),
        ("ready:bittern/54m/41t.falls", "no lift named 'bittern/54m/41t'; write one of: bittern/24m/"),
        ("ready:bittern/54m/40t.fall", "no number of a lift named 'fall'; write one of: bed falls "),
        ("ready:bittern/54m/40t.pull_1", "lift 'bittern/54m/40t' has no pull_1; write one that has it"),
        ("drum-link:herron", "no crane named 'herron'; write one of: avocet bittern curlew dunlin heron"),
        ("figure:damage:heron", "figure damage is a sketch of no crane; write its name alone"),
        ("figure:drum-on:heron", "figure drum-on takes 1 of the days of a log; write drum-on:<crane>/<day>"),
        ("figure:drum-on:heron/2026-01-01", "no state named 'heron/2026-01-01'; write one of: heron heron/2026-08-31 "),
        (
            "figure:drum-days:heron/2026-10-13",
            "figure drum-days takes 2 of the days of a log; write drum-days:<crane>/<day>/<day>",
        ),
        ("figure:along-the-rope:gannet", "no crane named 'gannet'; write one of: avocet bittern curlew dunlin heron"),
        ("figure:line-pull:bittern/54m", "no lift named 'bittern/54m'; write one of: bittern/24m/"),
    ],
)
def test_an_unknown_place_is_refused_word_for_word(guide: Guide, place: str, message: str) -> None:
    text = f"---\ntitle: x\n---\n# x\n\n{{{{ {place} }}}}\n"
    found = guide.errors(text, "docs/guidance/x.md")
    assert len(found) == 1
    assert found[0].startswith(f"docs/guidance/x.md:6: {{{{ {place} }}}}: {message}")
    assert found[0].endswith(message) or message.endswith(" ") or " write one of: " in message


def test_all_errors_are_told_and_a_figure_stands_alone(guide: Guide) -> None:
    text = "a {{ x }}\nb {{ rule:a.b }} and\n{{ figure:drum:bittern/54m }} here\n"
    found = guide.errors(text, "f.md")
    assert [line.partition(": {{")[0] for line in found] == ["f.md:1", "f.md:2", "f.md:3"]
    assert found[2].endswith("a figure stands among words; write it alone on its line")


def test_a_withdrawn_rule_is_not_quoted(guide: Guide) -> None:
    assert "firm-tension-fixed" not in guide.rules
    assert "no rule in force named 'firm-tension-fixed'" in guide.errors("{{ rule-link:firm-tension-fixed }}", "f")[0]


def test_names_from_the_data_stay_text(guide: Guide) -> None:
    hostile = """<script>alert(1)</script>*a* [b](c) `d` {{ rule:x.y }}"""
    other = replace(guide, links={"wind": ("rules/wind/", hostile), "heron/drum": ("machines/heron/drum/", hostile)})
    assert other.fill("{{ drum-link:heron }}", "").count("<") == 2
    link = other.fill("{{ rule-link:wind }}", "")
    assert "<script" not in link and not re.search(r"[*\[\]`{}]", link.partition(">")[2].partition("</a>")[0])
    assert "".join(ElementTree.fromstring(link).itertext()) == hostile


def test_errors_stop_the_build_and_nothing_is_published(tmp_path: Path) -> None:
    docs = tmp_path / "docs"
    shutil.copytree(ROOT / "docs/assets", docs / "assets")
    (docs / "guidance").mkdir()
    for name in ("a", "b"):
        (docs / f"guidance/{name}.md").write_text(f"# {name}\n\n{{{{ rule:{name}.x }}}}\n", encoding="utf-8")
    settings = tmp_path / "mkdocs.yml"
    theme = {"theme": {"name": "material", "custom_dir": str(ROOT / "hooks/theme")}}
    settings.write_text(
        yaml.safe_dump({"INHERIT": str(ROOT / "mkdocs.yml"), "docs_dir": str(docs), "watch": [], **theme}),
        encoding="utf-8",
    )
    (tmp_path / "hooks").symlink_to(ROOT / "hooks")
    environment = os.environ | {
        "FIRMWRAP_DAY": DAY,
        "FIRMWRAP_DATA": str(ROOT / "rules"),
        "FIRMWRAP_CACHE": str(KEPT),
        "NO_MKDOCS_2_WARNING": "1",
        "PYTHONPATH": str(ROOT),
    }
    target = tmp_path / "site"
    call = [sys.executable, "-m", "mkdocs", "build", "--strict", "-q", "-f", str(settings), "-d", str(target)]
    done = subprocess.run(call, cwd=tmp_path, env=environment, capture_output=True, text=True)
    said = done.stdout + done.stderr
    assert done.returncode != 0 and "errors in the guidance, nothing is published:" in said, said
    for name in ("a", "b"):
        assert f"docs/guidance/{name}.md:3: {{{{ rule:{name}.x }}}}: no rule in force named '{name}'" in said
    assert not (target / "index.html").exists()


# -- numbers of a plan ------------------------------------------------------------------------------------------------


def quoted(guide: Guide, plan: Any, number: str) -> str | None:
    case = guide.plans["bittern/54m"].case  # no number asks for it
    try:
        return quote(QUOTES, number, PlanPart(Planned(case, plan)), guide.words)
    except Missing:
        return None


def test_every_number_is_there_where_the_plan_has_it(guide: Guide) -> None:
    """A plan may end after one pass, and may be enough for no number of falls; all else is there."""
    for name, (_, found) in guide.plans.items():
        if found["refused"]:
            continue
        best = plan_data.best_method(found)
        assert best
        beds = {f"bed_{row['falls']}" for row in found["bed_needed"]}
        for number in QUOTES:
            if number.startswith("full_pull_falls"):
                wanted = best["passes"][0 if "first" in number else -1]["full_pull_falls_min"] is not None
            elif number.endswith("second_pass") or number == "block_rise":
                wanted = len(best["passes"]) > 1
            elif number.startswith("telescope_"):
                wanted = best["name"] == "telescope-in"
            else:
                wanted = number in beds or not number.startswith("bed_")
            assert (quoted(guide, found, number) is not None) == wanted, f"{name}.{number}"


def test_a_plan_without_a_load_has_no_numbers_of_one(guide: Guide) -> None:
    empty, without = nothing(PLANS[0]), refused(PLANS[0])
    for number in ("load", "stop_height", "falls", "firm_rope", "minutes", "method"):
        assert quoted(guide, empty, number) is None
    assert quoted(guide, without, "load") is not None and quoted(guide, without, "passes") is None


def test_numbers_are_rounded_to_the_cautious_side(guide: Guide) -> None:
    found = plan("bittern", "54m") | {"falls": plan("bittern", "54m")["falls"] | {"unreached_rope_m": 7.01}}
    found["stops"] = found["stops"] | {"hook_height_m": 4.21}
    found["load"] = found["load"] | {"planned_kg": 13851.0}
    assert str(quoted(guide, found, "unreached_rope")).startswith("<x-m>8 m</x-m>")
    assert str(quoted(guide, found, "stop_height")).startswith("<x-m>4.3 m</x-m>")
    assert str(quoted(guide, found, "load")).startswith("<x-m>13.90 t</x-m>")


# -- the pages --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", [*TEXTS.values(), *TRAINING.values()], ids=[*TEXTS, *TRAINING])
def test_no_number_with_a_unit_is_written_by_hand(text: str) -> None:
    """Such numbers come from a rule or a plan; formulas, in code blocks, hold none either."""
    assert not BARE.findall(re.sub(r"\{\{.*?\}\}", "", text))


def test_the_pattern_finds_numbers_with_units() -> None:
    for text in ("at 0.5 m above", "2 t.", "10 %", "3,300 lb", "5 ft", "a 12 mm rope", "60 m/min", "2 in.", "10%"):
        assert BARE.search(text), text
    for text in ("layer 1", "on 10 falls", "R27", "fall 1 to the drum", "section 3 in the manual", "35(W)x7"):
        assert not BARE.search(text), text


REFERENCE = ("index.md", "glossary.md", "formulas.md")  # looked up, not done
DOING = {name: text for name, text in TEXTS.items() if name not in REFERENCE}
SAYING = [TEXTS["glossary.md"], TEXTS["formulas.md"], *TRAINING.values()]


@pytest.mark.parametrize("text", SAYING, ids=[text.splitlines()[1] for text in SAYING])
def test_a_page_to_look_things_up_says_for_whom_what_to_have_ready_and_when_to_stop(text: str) -> None:
    for words in ("**Who it is for", "**Have ready", "**Stop when"):
        assert words in text, words


def opening(text: str) -> str:
    """What stands between the title of a page and its first section."""
    return text.partition("\n# ")[2].partition("\n")[2].partition("\n## ")[0]


@pytest.mark.parametrize("name", DOING)
def test_a_page_starts_with_what_to_do(name: str) -> None:
    """One sentence, then at most six lines to act on, then at most two short paragraphs: no introduction."""
    first, *blocks = opening(DOING[name]).strip().split("\n\n")
    if name != "pulled-in-rope.md":  # its lines come first of all, as a card
        assert len(first.split()) <= 26 and first.rstrip(".").count(". ") <= 1, first
    steps = re.findall(r"<li>|^\d\. ", opening(DOING[name]), re.MULTILINE)
    assert 4 <= len(steps) <= 6 or name == "why-layers-loosen.md", steps
    assert sum(len(block.split()) for block in [first, *blocks]) <= 190, name


@pytest.mark.parametrize("name", DOING)
def test_a_page_says_where_its_facts_come_from(name: str) -> None:
    """By rules that name their sources, or by a source with how it was read."""
    text = DOING[name]
    assert text.count("{{ rule-link:") >= 2 or "no source" in text, name
    for line in re.split(r"[.;]\n|\n-", text.partition("{#sources}")[2]):
        cites = re.search(r"CFR|WAC|IMCA|IADC|EN \d|ISO|[Tt]rade article|[Hh]andbook|manual 1|Queensland", line)
        assert not cites or re.search(r"\bread\b|from memory", line), line


QUESTIONS = {  # what a crew asks, and the page that answers
    "Is it due?": "when-due",
    "How deep?": "how-deep",
    "Which method?": "which-method",
    "What do I need?": "preparing",
    "Step by step": "step-by-step",
    "If the count is off": "count-off",
    "If there is no room": "no-room",
    "If I have no weights": "no-weights",
    "If I have to stop early": "stop-early",
    "If a wrap has pulled in": "pulled-in-rope",
    "Before the heavy lift": "light-work-and-heavy-lift",
    "Re-reeving": "re-reeving",
}


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_question_of_a_crew_is_the_title_of_a_page(question: str) -> None:
    assert f"\n# {question}\n" in TEXTS[f"{QUESTIONS[question]}.md"]
    assert f"- [{question}]({QUESTIONS[question]}.md)" in INDEX


CHAPTERS = {  # what a chapter must speak of
    "rope-length": ("certificate", "cut", "count", "measuring wheel", "hanging radius"),
    "cold": ("lowest temperature in the manual", "warm", "ice", "grease is stiff", "frozen", "no jerks"),
    "people": ("supervisor", "operator", "drum watcher", "signal person", "rigger", "stop word", "hand signals"),
    "drum-inspection": ("grooves", "filler", "kicker", "flange", "anchor", "guide and press roller", "fleet angle"),
    "lubrication": ("rope maker", "inspect first", "may not hide broken wires"),
    "wedge-socket": ("straight", "tail", "never clamp the tail to the live rope", "wedge"),
    "from-a-reel": ("flange of the reel", "helper winch", "never squeeze", "enough", "measured"),
    "no-weights": ("water bag", "precast unit", "skip", "indicator", "bring"),
    "re-reeving": ("telescopic crane", "can be laid down", "cannot be laid down", "pilot line"),
}


@pytest.mark.parametrize("name", CHAPTERS)
def test_a_chapter_speaks_of_all_that_belongs_to_it(name: str) -> None:
    text = " ".join(TEXTS[f"{name}.md"].lower().replace("**", "").split())
    assert [words for words in CHAPTERS[name] if words not in text] == []


ELSEWHERE = {  # what happened elsewhere: the page where the step stands, and the bulletin it rests on
    "telescopic": "IMCA SF 01/12",
    "people": "IMCA SF 01/12",
    "re-reeving": "IADC Alert 00-28",
    "lubrication": "incident alert of the regulator in Queensland, October 2018",
    "step-by-step": "alert of the regulator in Queensland, March 2022, as reported; read second-hand",
}


@pytest.mark.parametrize("name", ELSEWHERE)
def test_what_happened_elsewhere_has_its_lesson_and_its_bulletin(name: str) -> None:
    text = " ".join(TEXTS[f"{name}.md"].split())
    told = text.partition("**What happened elsewhere.**")[2].partition("##")[0]
    assert told.count("Lesson: ") == 1 and len(told.split()) < 60, told
    assert ELSEWHERE[name] in text.partition("{#sources}")[2]


def test_the_training_tells_all_four_with_their_bulletins() -> None:
    told = " ".join(TRAINING["index.md"].partition("{#elsewhere}")[2].partition("\n## ")[0].split())
    assert told.count("- **") == told.count("Lesson: ") == 4
    for bulletin in ("IMCA SF 01/12", "IADC Alert 00-28", "Queensland, October 2018, read", "read second-hand"):
        assert bulletin in told


def test_the_index_lists_every_page_once_under_its_title() -> None:
    listed = order(INDEX)
    addresses = [address for address, _ in listed]
    assert len(addresses) == len(set(addresses))
    for name in set(TEXTS) - {"index.md"}:
        address = f"guidance/{name.removesuffix('.md')}/"
        assert address in addresses, name
        title = re.search(r"^# (.+)$", TEXTS[name], re.MULTILINE)
        assert title and dict(listed)[address] == title[1], name
        assert f"title: {title[1]}\n" in TEXTS[name]


def test_pages_stand_in_their_frame(built: Path) -> None:
    listed = [address for address, _ in order(INDEX)]
    for name in TEXTS:
        address = "guidance/" if name == "index.md" else f"guidance/{name.removesuffix('.md')}/"
        html = (built / address / "index.html").read_text(encoding="utf-8")
        article = html[html.index("<article") : html.index("</article>")]
        assert "{{" not in article and "manual decides" in article and DAY in article
        way = re.search(r'<nav class="fw-way".*?</nav>', article, re.DOTALL)
        assert way and ('href="../"' in way[0] if name == "index.md" else 'href="../../guidance/"' in way[0])
    for at, address in enumerate(listed):
        html = (built / address / "index.html").read_text(encoding="utf-8")
        up = "../" * address.count("/")
        before = f'href="{up}{listed[at - 1]}">Previous: ' in html
        after = at + 1 < len(listed) and f'href="{up}{listed[at + 1]}">Next: ' in html
        assert before == (at > 0) and after == (at + 1 < len(listed)), address


def test_guidance_is_not_in_the_navigation() -> None:
    text = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    nav = text[text.index("\nnav:") : text.index("\nnot_in_nav:")]
    assert re.findall(r"guidance/\S+", nav) == ["guidance/index.md"]


# Of lengths and forces that no function takes under one name: the page explains each.
ON_THE_PAGE_ALONE = set(
    "m_r T_1 a_j h_pick h_on z_a l_s a_s u x s_min D_min D_pick D_e A_m C O lambda Lambda phi beta gamma a_jib".split()
) | {
    "D(h",
    "r)",
    "B(n)",
}


def test_symbols_of_the_formulas_are_those_of_the_calculation() -> None:
    known = set(re.findall(r"^    (\S+) ", formulas.__doc__ or "", re.MULTILINE)) | ON_THE_PAGE_ALONE
    table = TEXTS["formulas.md"].partition("## Symbols")[2].partition("\n## ")[0]
    symbols = [s for row in re.findall(r"^\| ([^|]+) \|", table, re.MULTILINE)[1:] for s in re.split(r", ", row)]
    assert len(symbols) > 30 and set(symbols) <= known, set(symbols) - known


def test_formulas_fit_a_phone() -> None:
    lines = [line for line in TEXTS["formulas.md"].splitlines() if line.startswith("    ")]
    assert lines and max(map(len, lines)) - 4 <= 38


TWINS = {  # the trade's word and its twin in the United States, common practice, no source
    "falls": "parts of line",
    "radius": "operating radius",
    "hook-block": "load block",
    "upper-stop": "anti-two-block",
    "luffing": "booming",
    "capacity-chart": "load chart",
    "minimum-breaking-force": "nominal strength",
    "tonne": "metric ton",
    "slewing": "swinging",
    "boom-head": "boom tip",
    "hoist-rope": "load line",
    "winch": "hoist",
    "tracks": "crawlers",
    "limiter": "load moment indicator",
}


@pytest.mark.parametrize("id", TWINS)
def test_the_glossary_gives_the_twin_in_the_heading(id: str) -> None:
    heading = re.search(
        rf"^### (.+) \{{#{id}\}}\n\*(?:Short: .+?\. )?In the US: (.+?)\.\*", TEXTS["glossary.md"], re.MULTILINE
    )
    assert heading and TWINS[id] in heading[1].lower() and TWINS[id] in heading[2].lower()


def test_the_glossary_has_the_words_of_the_trade() -> None:
    words = (
        "hoist-rope winch winch-drum barrel groove-root flange groove-pitch wrap layer dead-wraps stop-wraps lower-stop"
        " upper-stop boom boom-length boom-pivot boom-head radius hook-block becket dead-end wedge-socket falls"
        " lead-line line-pull rated-line-pull rated-capacity capacity-chart telescoping luffing slings sling-extension"
        " working-area"
        " minimum-breaking-force rotation-resistant-rope pre-tensioning firm-wrap unreached-rope outriggers short-ton"
        " test-weights crawler-crane two-blocking tonne"
    )
    ids = re.findall(r"^### .+ \{#([a-z-]+)\}$", TEXTS["glossary.md"], re.MULTILINE)
    assert set(words.split()) <= set(ids) and len(ids) == len(set(ids))


# -- what the words say about the numbers -----------------------------------------------------------------------------


def test_examples_in_words_hold() -> None:
    """Where a page draws a conclusion from a plan, the plan still gives it."""
    assert plan("curlew", "63m")["falls"]["used"] == 15  # when-due: light work on fifteen
    # why-layers-loosen: height takes pull away; a light load winds loose at every height
    high = plan("curlew", "123m")
    firm = high["inputs"]["firm_tension_share"] * high["inputs"]["rated_line_pull_n"]
    masses, heights = tension.loads(high), tension.hooks(high)
    planned = [tension.at_drum(high, masses["planned"], height) for height in heights]
    assert planned[0] > firm and planned == sorted(planned, reverse=True)
    assert all(tension.at_drum(high, masses["light"], height) < firm for height in heights)


def test_examples_from_the_logs_hold(guide: Guide) -> None:
    """The same for the states and lifts that four pages speak of."""
    week, before = guide.states["heron/2026-10-19"], guide.states["heron/2026-10-13"]
    assert not week["as_rigged"]["ready"] and before["firm_from_falls"] == 1  # why-layers-loosen: no lift after it
    assert [one["how"] for one in before["loose"]] == ["firm"] and [one["how"] for one in week["loose"]] == ["parked"]
    assert week["depth"]["layer"] == 1  # nearly all of the rope was off the drum
    bittern = guide.states["bittern"]  # when-due
    assert bittern["falls"] == 6 and {one["rule"] for one in bittern["reasons"]} == {"due-after-light-work"}
    loose = {bed["falls"]: bed["loose_m"] for bed in bittern["beds"]}
    assert loose[6] > 0 and loose[6] > loose[8], "with more falls less of the bed is loose"
    entries = {entry["day"]: entry["kind"] for entry in bittern["log"]}
    assert entries["2026-10-26"] == "pre-tensioning" and bittern["log"][-1]["day"] == "2026-11-23"
    heavy, lighter = guide.lifts["bittern/54m/70t"], guide.lifts["bittern/54m/40t"]
    by_falls = {o["falls"]: o["lift"] for o in heavy.of["options"] if o["lift"]}
    assert all(lift["speed_limit"] == "power" for lift in by_falls.values()) and min(by_falls) == 6
    # falls-for-lifting: almost a quarter of the pull less, almost no time
    assert 0.75 * by_falls[6]["lead_line_n"] < by_falls[8]["lead_line_n"] < 0.8 * by_falls[6]["lead_line_n"]
    assert by_falls[8]["hook_speed_m_per_s"] > 0.95 * by_falls[6]["hook_speed_m_per_s"]
    most = lighter.of["rows"]["most"]["falls"]
    assert lighter.no_time_up_to is not None
    assert 6 <= lighter.no_time_up_to < 10 <= most, "every fall more makes the hook slower"


# -- figures ----------------------------------------------------------------------------------------------------------

DRAWN_FROM = [*PLANS, refused(PLANS[0]), nothing(PLANS[0])]
NEW = ("pulling-in", "tension", "hoist-and-land", "bed", "parts")


@pytest.mark.parametrize("name", FIGURES)
def test_every_figure_is_well_formed_described_and_styled(name: str) -> None:
    for found in DRAWN_FROM:
        svg = FIGURES[name](found, WORDS)
        root = tree(svg)
        title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
        assert title is not None and description is not None and title.text and description.text
        assert root.attrib["aria-labelledby"].split() == [title.attrib["id"], description.attrib["id"]]
        assert "style=" not in svg and "\n" not in svg
        for names in re.findall(r'class="([^"]+)"', svg):
            assert all(re.search(rf"\.{re.escape(one)}\b", CSS) for one in names.split()), names


@pytest.mark.parametrize("name", NEW)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_text_covers_another_or_leaves_the_figure(name: str, units: str) -> None:
    for found in DRAWN_FROM:
        root = tree(FIGURES[name](found, WORDS))
        high = float(root.attrib["viewBox"].split()[3])
        placed = boxes(root, units)
        for at, (words, left, top, right, bottom) in enumerate(placed):
            assert left >= 0 and right <= WIDTH and top >= 0 and bottom <= high, f"{found['machine']}: {words}"
            for other, left2, top2, right2, bottom2 in placed[at + 1 :]:
                apart = right <= left2 or right2 <= left or bottom <= top2 or bottom2 <= top
                assert apart, f"{found['machine']} {found['boom']}: {words!r} covers {other!r}"


@pytest.mark.parametrize("name", NEW)
def test_no_colour_is_written_into_a_figure(name: str) -> None:
    svg = FIGURES[name](PLANS[0], WORDS)
    assert not re.search(r"#[0-9a-f]{3,6}\b|rgb|\b(red|green|amber|orange|yellow)\b", svg)


@pytest.mark.parametrize("pitch", [1.02, 1.0423, 1.08])
def test_wraps_of_the_bed_touch_and_do_not_run_into_each_other(pitch: float) -> None:
    """Plain geometry of equal circles, in rope diameters."""
    apart = 1 - pitch / 2
    for shift in (0.0, 0.35 * apart, apart):
        first, second = bed.first_layer(pitch), bed.second_layer(pitch, shift)
        wraps = [*first, *second]
        for at, one in enumerate(wraps):
            assert all(math.dist(one, other) >= 1 - 1e-9 for other in wraps[at + 1 :])
        for one in second:  # each rests on the layer beneath
            assert min(math.dist(one, other) for other in first) == pytest.approx(1) or abs(one[0]) > first[-1][0]
    # pulled in: the gap takes a whole rope, which rests on the wrap beneath and touches both neighbours
    second = bed.second_layer(pitch, apart)
    wedged = (0.0, 1.5)
    assert math.dist(wedged, (0.0, 0.5)) == 1
    for side in (-1, 1):
        neighbour = min((w for w in second if w[0] * side > 0), key=lambda w: abs(w[0]))
        assert abs(neighbour[0]) == pytest.approx(1)
        assert math.dist(wedged, neighbour) == pytest.approx(1, abs=0.002)


def test_drum_tension_of_the_curve_by_hand() -> None:
    """Four falls, sheaves running freely, 20,000 N at the block, rope 30 N/m, falls of 40 m, boom head 50 m up, winch
    2 m up.  By hand: 20,000/4 + 30*40 - 30*48 = 4,760.0 N at the drum."""
    gravity = formulas.STANDARD_GRAVITY
    inputs = {
        "rope_mass_kg_per_m": 30 / gravity,
        "sheave_efficiency_upper": 1.0,
        "sheaves_to_drum": 1,
        "pivot_forward_m": 0.0,
        "pivot_height_m": 0.0,
        "winch_height_m": 2.0,
        "blocks": [{"id": "b", "falls": [1, 8], "mass_kg": 500.0, "height_m": 2.0}],
    }
    found = {
        "inputs": inputs,
        "boom_length_m": 130.0,
        "falls": {"used": 4},
        "load": {"hook_block_kg": 500.0},
        "stops": {"start_radius_m": 120.0},  # 50-120-130: a right triangle
    }
    assert tension.at_drum(found, 20000 / gravity, 8.0) == pytest.approx(4760.0, abs=0.05)


def rects(svg: str, kind: str) -> list[tuple[float, float]]:
    """Left edge and width of the bars of one class, without the key."""
    found = tree(svg).iter(f"{SVG}rect")
    return [
        (float(e.attrib["x"]), float(e.attrib["width"]))
        for e in found
        if e.get("class") == kind and e.attrib["height"] == str(bars.BAR)
    ]


@pytest.mark.parametrize("boom", ["24m", "54m"])
def test_bars_are_to_scale(boom: str) -> None:
    found = plan("bittern", boom)
    total, full = found["inputs"]["rope_length_m"], bars.FULL
    needed = [max(0.0, row["metres"]) for row in found["bed_needed"]]
    assert [w for _, w in rects(bars.bed_needed(found, WORDS), "fig-firm")] == pytest.approx(
        [full * metres / total for metres in needed], abs=0.06
    )
    svg = bars.hoist_and_land(found, WORDS)
    pick = next(m for m in found["methods"][0]["passes"][0]["moves"] if m["move"] == "pick")
    start = pick["rope_on_drum_m"][0]
    first = found["methods"][0]["passes"][0]["firm_rope_m"]
    on_drum, off, firm = (rects(svg, kind) for kind in ("fig-barrel", "fig-off", "fig-firm"))
    assert len(on_drum) == 4 and len(off) == len(firm) == 1
    assert firm[0][1] / on_drum[0][1] == pytest.approx(first / start, rel=0.02)
    # hoisted at the start radius until each fall is as short as the upper stop allows
    inputs, stops, falls = found["inputs"], found["stops"], found["falls"]["used"]
    reach = stops["start_radius_m"] - inputs["pivot_forward_m"]
    head = inputs["pivot_height_m"] + math.sqrt(found["boom_length_m"] ** 2 - reach**2)
    fits = [k for k in inputs["blocks"] if k["falls"][0] <= falls <= k["falls"][1]]
    block = next(k["height_m"] for k in fits if k["mass_kg"] == found["load"]["hook_block_kg"])
    wound = falls * (head - block - inputs["upper_stop_m"] - stops["start_hook_height_m"])
    assert off[0][1] / on_drum[0][1] == pytest.approx(wound / start, rel=0.02)


def test_bed_shows_no_pass_as_firm_over_a_bed_that_was_not_reached() -> None:
    loose = plan("bittern", "24m")
    assert any(w["code"] == "bed-unreached" for w in loose["warnings"])
    assert not any(line.startswith("Firm up to here") for line in key(bars.bed_needed(loose, WORDS)))


def test_parts_are_lettered_once_each() -> None:
    svg = FIGURES["parts"](plan("bittern", "24m"), WORDS)
    root = tree(svg)
    marks = [shown(e, "metric") for g in root.iter(f"{SVG}g") if g.get("class") == "fig-mark" for e in g if e.text]
    assert sorted(marks) == list("ABCDEFGHIJK") == [line[0] for line in key(svg)]
