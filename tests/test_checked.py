"""The page "How the numbers are checked": every case stands on it, a failing one is seen at once."""

from __future__ import annotations

import gzip
import json
import re
from html import unescape
from pathlib import Path

import pytest
from conftest import DATA, DAY

from calc.teaching import outside
from hooks.pages.rules import checked
from hooks.text import addresses, words
from hooks.text.environment import environment
from hooks.text.page import Page

RULES = DATA.rules
TEXTS = words.load()
ENV = environment(TEXTS)
CASES = outside.load(checked.CASES)


def _page(cases: Path = checked.CASES) -> Page:
    return checked.page(ENV, TEXTS, RULES, DAY, cases)


def _plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


@pytest.fixture(scope="module")
def text() -> str:
    return _plain(_page().html)


def test_every_case_stands_on_it_with_its_source_and_steps(text: str) -> None:
    for case in CASES:
        for part in (case.name, case.source, case.because, *case.working, *case.labels):
            assert _plain(str(part)) in text, part


def test_the_headline_counts_and_all_agree(text: str) -> None:
    values = sum(len(case.printed()) for case in CASES)
    assert f"{len(CASES)} cases, {values} values. All agree." in text
    assert "Does not agree" not in text
    for kind in outside.READ:
        word = TEXTS.get(f"checked.read.{kind}.word")
        assert f"{word} {sum(case.read == kind for case in CASES)} cases." in text


FAILING = """
- name: Sheave <b>of</b> two
  call: sheave_factor
  arguments: {efficiency: 0.8}
  vary: {direction: [HAULING, PAYING_OUT]}
  labels: [hauling, paying out]
  expected: 0.80 1.50
  source: s
  read: hand
- name: Never called
  call: no_such_function
  expected: 5180 ft
  source: s
  read: from-memory
"""


def test_a_failing_case_is_told_in_words_at_the_top_and_in_its_table(tmp_path: Path) -> None:
    (tmp_path / "reeving.yaml").write_text(FAILING, encoding="utf-8")
    page = _page(tmp_path)
    text = _plain(page.html)
    top = text[: text.index("How to read the tables")]
    assert "2 cases, 3 values. 2 do not agree:" in top
    assert "Sheave <b>of</b> two , paying out: expected 1.50, got 1.250" in top
    assert "Never called : expected 5,180 ft, got AttributeError" in top
    assert "All agree" not in text
    assert "paying out 1.50 1.250 Does not agree \N{MINUS SIGN}0.250 (0.005)" in text
    assert "hauling 0.80 0.800 0.000 (0.005)" in text
    assert page.html.count("<details open>") == 1
    assert "<b>of</b>" not in page.html


def test_a_module_without_words_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "nowhere.yaml").write_text(FAILING, encoding="utf-8")
    with pytest.raises(ValueError, match="'nowhere' is not in list"):
        _page(tmp_path)


def test_on_the_built_site(built: Path) -> None:
    """Light enough for a phone, found by the search, its numbers out of the index."""
    file = built / addresses.CHECKED / "index.html"
    assert len(gzip.compress(file.read_bytes(), 6)) < 50_000
    index = json.loads((built / "search/search_index.json").read_text(encoding="utf-8"))
    found = [doc for doc in index["docs"] if doc["location"] == addresses.CHECKED]
    assert len(found) == 1 and "hand calculations" in found[0]["text"] and len(found[0]["text"]) < 600
