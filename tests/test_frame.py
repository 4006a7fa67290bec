"""What holds the pages: the theme's overridden parts, the words, all cautions, refused plans."""

from __future__ import annotations

import hashlib
import html
import json
import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any, get_args

import pytest
import yaml
from conftest import ROOT

from calc.winding.codes import LoserCode, RefusalCode, WarningCode
from hooks.text import words

# SHA-256 of the theme's own files whose place hooks/theme or docs/assets takes.  A new version of the theme that
# changes one of them fails here: read the change, take it over, then renew the hash.
OVERRIDDEN = {
    "404.html": "80c93494b5432b1bcdf292caeb67a0653c45b37372f49e08ad4a70ca695a7495",
    "main.html": "9948b55a7bc979c35825df99baba9e6971fca4eb298dea3cdde61e990a2de5e0",
    "partials/footer.html": "50c2a75f013b7b03fb97f381860c77df8fd5d13d68f90d3281754b68f69ec894",
    "partials/header.html": "8cf3fb15bcf969ff596649616fd99366b3c31c08d57a86d05308efc16d8fa75f",
    "partials/javascripts/base.html": "d6113712bc4deb30b4bd810ee0dfc28b6f04d2f88cc0016c0f1766eac7b762b6",
    "partials/javascripts/content.html": "3722e156f0f6339de39fbbfc178b6e401d1a4fb890f189ac5b80c2504bda7dcf",
    "partials/search.html": "bfd556535abcddb99396ab2a7e3acc2ebcd3f36756007d3969396caa4126be30",
}
# Of those that hooks/theme, docs/assets/frame.css or frame.js stands for in part: the blocks of the page, its looks,
# light or dark before the first paint, what its bundle reads of the page.
STOOD_FOR = {
    "base.html": "a919e32d2225e09ecbdeb8076ca6ce9ca0836329760bf7871a04172569b77842",
    "partials/javascripts/palette.html": "8790389765ea6036effddba548b15093bb05bdc75624eaeaf8b13f3c24be4ab5",
    "assets/javascripts/bundle.a5f9d56c.min.js": "b9a1ef14b5e91ad61fa8d7dd42e1f55e6af0ebd224bc8970dff0e7d7311b172f",
}


def theme_hash(name: str) -> str:
    return hashlib.sha256((files("material") / "templates" / name).read_bytes()).hexdigest()


@pytest.mark.parametrize(("name", "known"), [*OVERRIDDEN.items(), *STOOD_FOR.items()])
def test_theme_part_is_the_one_that_was_overridden(name: str, known: str) -> None:
    assert theme_hash(name) == known


def test_every_override_is_watched() -> None:
    ours = {str(p.relative_to(ROOT / "hooks/theme")) for p in (ROOT / "hooks/theme").rglob("*.html")}
    assert {name for name in ours if (files("material") / "templates" / name).is_file()} == set(OVERRIDDEN)


def test_no_other_inline_script_in_the_theme() -> None:
    """The scripts of features that are off; were one switched on, its inline script would be stopped by the policy."""
    off = {"announce.html", "consent.html", "outdated.html", "analytics.html", "google.html", "redirect.html"}
    ours = {Path(name).name for name in [*OVERRIDDEN, *STOOD_FOR]} - {"main.html"}
    templates = Path(str(files("material") / "templates"))
    inline = re.compile(r"<script(?![^>]*(?:\bsrc=|application/json))")
    found = {p.name for p in templates.rglob("*.html") if inline.search(p.read_text(encoding="utf-8"))}
    assert found <= off | ours


# Every caution that a plan shows, by words that stand in it; from the trade's own list of the product.
CAUTIONS = {
    "manual first": "manual differ, the manual decides",
    "rated-capacity system": "rated-capacity system come first",
    "qualified people": "Qualified people only",
    "limiter": "Set the limiter:",
    "upper stop": "Test the upper stop",
    "stops again": "Test both stops again",
    "count wraps": "Stop by the count, not by the hook height",
    "stop wraps": "wraps on the drum (the stop wraps)",
    "drum watched": "camera, mirror or rotation indicator",
    "free fall": "Lock out free fall",
    "brake test": "test the brake",
    "reading": "land and stop",
    "keep away": "Nobody near drum, rope or load while anything moves",
    "inspect only stopped": "Secure the winch. Inspect the drum",
    "power lines": "No power line, traffic or rail",
    "load low": "Short moves; hoist between them: load",
    "plumb the hook": "lumb the hook",
    "swing": "The hook swings out at lift-off",
    "tag line": "rigger with tag line",
    "slew brake": "Lock the slew",
    "two-blocking": "watch the upper stop",
    "wind": "Keep to the manual's wind",
    "gusts": "Stop when it gusts",
    "ice": "No ice",
    "ground": "Check ground, outriggers or tracks, and chart sector",
    "slabs": "Never take the crane's own counterweight: certified spare weights only",
    "unreached bed": "never paid out may be loose. Even this load can pull into it",
    "turns": "Untwist the falls",
    "sector": "Barrier off",
    "roles": "Drum watcher",
    "signals": "Agree hand signals and one stop word",
    "cold": "and cold limits",
    "slings": "Never pay out for it: that unwinds firm rope",
    "anchor": "never pull on an anchor or a vehicle",
    "rope brake": "only on a reel flange",
    "stop at once": "if a wrap jumps, climbs, gaps or pulls in",
    "competent person": "call the competent person",
    "local codes": "local codes and licensed practice decide",
    "re-reeve": "Re-reeve through the boom head; the firm rope stays wound",
    "many falls": "as many falls as practicable",
    "again": "again after long light work on many falls",
}

# with a luffing jib the same is said after what stays held: the main boom
CAUTIONS_LUFFING_JIB = CAUTIONS | {
    "load low": "; short moves, hoist between them: load",
    "jib only": "Jib only, main boom at",
    "held": "hold it there through all the work and luff with the jib only",
}


def test_every_plan_shows_every_caution(built: Path) -> None:
    plans = [p for p in built.glob("machines/*/*/**/index.html") if 'id="steps"' in p.read_text(encoding="utf-8")]
    assert plans
    for path in plans:
        text = " ".join(re.sub(r"<[^>]+>", "", path.read_text(encoding="utf-8")).replace("&#39;", "'").split())
        luffing_jib = any(part.startswith("luffing-jib-") for part in path.relative_to(built).parts)
        cautions = CAUTIONS_LUFFING_JIB if luffing_jib else CAUTIONS
        missing = [name for name, said in cautions.items() if said not in text]
        assert not missing, f"{path}: {missing}"
        parts = path.relative_to(built).parts
        jib = luffing_jib or any(part.startswith("jib-") for part in parts)  # no plan telescopes with one
        telescopes = parts[1] in ("dunlin", "heron", "plover") and not jib
        assert ("Telescope under load only where the manual lists it" in text) == telescopes, path
        assert ("The rope runs over the jib head. Set the limiter to this jib." in text) == jib, path
        listed = re.findall(r'<li class="fw-do[^>]*>(.*?)(?=<li|</ul>)', path.read_text(encoding="utf-8"), re.DOTALL)
        assert 10 < len(listed) == len(set(listed)) <= 14, "one list, nothing twice"


def test_no_text_is_given_and_never_used() -> None:
    """Every text of the pages' words files is named somewhere in the templates or the page modules."""
    folders = (*(ROOT / "hooks" / room for room in ("templates", "pages", "guidance", "feed", "theme")),)
    used = "\n".join(
        p.read_text(encoding="utf-8") for f in folders for p in f.rglob("*") if p.suffix in (".html", ".py")
    )
    texts: dict[str, Any] = {}
    for file in ("en.yaml", "data.en.yaml"):
        texts |= yaml.safe_load((ROOT / "hooks/words" / file).read_text(encoding="utf-8"))
    by_status = {"draft"}  # named by a machine's status
    unused = [
        f"{section}.{name}"
        for section, entries in texts.items()
        for name in entries
        if section != "caution"  # taken as a whole
        and name not in by_status
        and not re.search(rf'\.{name}\b|"{name}"', used)
    ]
    assert not unused


def test_codes_of_the_contract_have_their_texts() -> None:
    schema = json.loads((ROOT / "rules/schema/plan.schema.json").read_text(encoding="utf-8"))
    said = words.load()
    losers = schema["properties"]["falls"]["properties"]["runner_up"]["anyOf"][0]["properties"]["code"]["enum"]
    of_warnings = schema["properties"]["warnings"]["items"]["properties"]["code"]["enum"]
    for name, codes, listed, parts in (
        ("refusals", RefusalCode, schema["$defs"]["refusal"]["enum"], {"title", "text", "help"}),
        ("warnings", WarningCode, of_warnings, {"title", "text"}),
        ("losers", LoserCode, losers, None),
    ):
        texts = said.get(name)
        assert list(get_args(codes)) == listed and texts.keys() == set(listed)
        for code in listed:
            assert texts[code] and (parts is None or {part for part, text in texts[code].items() if text} == parts)
    for code in schema["$defs"]["move"]["enum"]:
        assert said.get(f"moves.{code}")


def test_banned_word_in_everything_people_read() -> None:
    read = [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md"), *(ROOT / ".github").rglob("*.yml"), ROOT / "mkdocs.yml"]
    read += [*(ROOT / "rules").rglob("*.yaml"), *(ROOT / "hooks/words").glob("*.yaml"), ROOT / "calc/words.yaml"]
    for path in read:
        found = re.search(r"\bsafe(ly|ty|r|st)?\b", path.read_text(encoding="utf-8"), re.IGNORECASE)
        assert not found, f"{path}: {found}"


def _refused_pages(site: Path, machine: str) -> Iterator[tuple[str, dict[str, Any], str]]:
    for path in sorted((site / f"data/v1/plans/{machine}").glob("*.json")):
        plan = json.loads(path.read_text(encoding="utf-8"))
        if plan["refused"]:
            boom, _, configuration = path.stem.partition(".")
            page = site / "machines" / machine / boom / configuration / "index.html"
            yield plan["refused"]["code"], plan, html.unescape(page.read_text(encoding="utf-8"))


def test_refused_plan_is_a_full_page_and_keeps_what_is_known(refused: Path) -> None:
    """Room for a radius of 8 m only: most booms are refused, but their falls, load and stops are known."""
    said = words.load()
    seen = 0
    for code, plan, page in _refused_pages(refused, "robin"):
        seen += 1
        assert said.get(f"refusals.{code}.title") in page and said.get(f"refusals.{code}.help") in page
        assert f'data-number="falls">{plan["falls"]["used"] or "–"}<' in page
        known = {'data-number="hang"': plan["load"], 'id="count"': plan["stops"], 'id="weights"': plan["load"]}
        assert all((mark in page) == (found is not None) for mark, found in known.items())
        assert "fw-result" not in page and 'id="steps"' not in page
        assert "Qualified people only" in page
    assert seen >= 5


def test_without_weights_every_plan_is_refused_and_says_so(refused: Path) -> None:
    found = [(plan, page) for code, plan, page in _refused_pages(refused, "wren") if code == "weights-not-at-hand"]
    assert len(found) == len(list((refused / "data/v1/plans/wren").glob("*.json")))
    for plan, page in found:
        assert plan["load"] is None and plan["stops"] is None
        assert "Weights not at hand" in page and "None" not in re.sub(r"<[^>]+>", " ", page)
        assert f"Estimate used on site: {plan['falls']['estimate']}." in page
    machine = (refused / "machines/wren/index.html").read_text(encoding="utf-8")
    assert "no plan" in machine and ">None" not in machine
