"""YAML as it is read: plain data, right lines, and nothing that changes on the way."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from calc.data import files


def read(tmp_path: Path, text: str | bytes) -> files.Document:
    path = tmp_path / "a.yaml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return files.read(path, "rules/a.yaml")


def messages(tmp_path: Path, text: str | bytes) -> list[str]:
    return [str(problem) for problem in read(tmp_path, text).problems]


def test_data_and_lines(tmp_path: Path) -> None:
    document = read(
        tmp_path, "# comment\nrope:\n  length: 290 m\nblocks:\n  - {id: ball, falls: [1, 1]}\nx: 0.5\ny: true\n"
    )
    assert document.problems == []
    assert document.data == {
        "rope": {"length": "290 m"},
        "blocks": [{"id": "ball", "falls": [1, 1]}],
        "x": 0.5,
        "y": True,
    }
    assert document.line(("rope", "length")) == 3
    assert document.line(("blocks", 0, "falls", 1)) == 5
    assert document.line(("rope", "missing")) == 2
    assert document.where(("blocks", 0, "falls")) == "blocks[ball].falls"
    assert document.where(("rope", "missing")) == "rope.missing"


# YAML 1.1, section 10 and the type repository: what these plain words become in a YAML 1.1 reader; from memory.
YES_NO = ["yes", "no", "on", "off", "Yes", "NO", "True", "FALSE"]
WHOLE = ["012", "0x1F", "0b11", "1_000", "1:30", "+5", "-5"]
FRACTION = [".5", "5.", "1.0e+3", "1_0.5", "-0.5", ".inf", "-.inf", ".nan", "1:30.5"]


@pytest.mark.parametrize("word", YES_NO)
def test_refuses_yes_and_no(tmp_path: Path, word: str) -> None:
    text = f"'{word}' is read as a yes/no value; write true or false, or put text in quotes"
    assert messages(tmp_path, f"a: {word}\n") == [f"rules/a.yaml:1: a: {text}"]


@pytest.mark.parametrize("word", WHOLE)
def test_refuses_whole_numbers_in_disguise(tmp_path: Path, word: str) -> None:
    text = f"'{word}' is not a plain whole number; write digits only, without sign, leading 0, _ or :"
    assert messages(tmp_path, f"a: {word}\n") == [f"rules/a.yaml:1: a: {text}"]


@pytest.mark.parametrize("word", FRACTION)
def test_refuses_fractions_in_disguise(tmp_path: Path, word: str) -> None:
    text = f"'{word}' is not a plain number; write digits with a decimal point, like 0.5"
    assert messages(tmp_path, f"a: {word}\n") == [f"rules/a.yaml:1: a: {text}"]


@pytest.mark.parametrize("word", ["2026-11-02", "2026-11-02 10:00:00"])
def test_refuses_dates(tmp_path: Path, word: str) -> None:
    assert messages(tmp_path, f"a: {word}\n") == [
        f'rules/a.yaml:1: a: {word} is read as a date; put it in quotes: "{word}"'
    ]


@pytest.mark.parametrize("word", ["", "~", "null", "Null"])
def test_refuses_nothing(tmp_path: Path, word: str) -> None:
    assert messages(tmp_path, f"a: {word}\n") == [
        "rules/a.yaml:1: a: the value is empty; write one or take the line out"
    ]


@pytest.mark.parametrize("word", YES_NO + WHOLE + FRACTION + ["2026-11-02", "null", "="])
def test_quotes_make_text_of_anything(tmp_path: Path, word: str) -> None:
    document = read(tmp_path, f"a: \"{word}\"\nb: '{word}'\n")
    assert (document.problems, document.data) == ([], {"a": word, "b": word})


def test_all_at_once_in_file_order(tmp_path: Path) -> None:
    text = "a: no\nb:\n  - 1\n  - 012\na: 2\nc: &x 3\nd: *x\ne: !new 4\n<<: {f: 1}\n"
    assert messages(tmp_path, text) == [
        "rules/a.yaml:1: a: 'no' is read as a yes/no value; write true or false, or put text in quotes",
        "rules/a.yaml:4: b: '012' is not a plain whole number; write digits only, without sign, leading 0, _ or :",
        "rules/a.yaml:5: a: stands here a second time, first in line 1; keep one",
        "rules/a.yaml:6: c: &x is an anchor; take it out and write data where it is needed",
        "rules/a.yaml:7: d: *x points at other data; write it out here",
        "rules/a.yaml:8: e: !new is a tag; take it out",
        "rules/a.yaml:9: '<<' merges other data in; write the lines out",
    ]


def test_keys_are_plain_text(tmp_path: Path) -> None:
    assert messages(tmp_path, "on: 1\n&k a: 2\n") == [
        "rules/a.yaml:1: 'on' is read as a yes/no value; write true or false, or put text in quotes",
        "rules/a.yaml:2: &k is an anchor; take it out and write data where it is needed",
    ]
    assert messages(tmp_path, "? [a]\n: 1\n") == ["rules/a.yaml:1: a name is expected here; write name: value"]


@pytest.mark.parametrize(
    ("name", "kind"),
    [("1", "a number"), ("0", "a number"), ("9.5", "a number"), ("true", "true or false"), ("false", "true or false")],
)
def test_a_name_that_is_read_as_something_else(tmp_path: Path, name: str, kind: str) -> None:
    """It would be dropped with all that stands below it."""
    told = f"'{name}' stands for a name and is read as {kind}; put it in quotes"
    assert messages(tmp_path, f"a: 1\n{name}: 2\n") == [f"rules/a.yaml:2: {told}"]
    assert messages(tmp_path, f"a:\n  - {{{name}: [no]}}\n") == [
        f"rules/a.yaml:2: a: {told}",
        f"rules/a.yaml:2: a.{name}: 'no' is read as a yes/no value; write true or false, or put text in quotes",
    ]
    assert read(tmp_path, f'"{name}": 2\n').data == {name: 2}


@pytest.mark.parametrize("digits", [41, 400, 4_300, 5_000, 1_000_000])
@pytest.mark.parametrize("end", ["", ".5"])
def test_a_number_of_too_many_digits(tmp_path: Path, digits: int, end: str) -> None:
    """Python reads whole numbers of up to 4,300 digits, and a decimal beyond 1e308 as endless; Python's documentation,
    "Integer string conversion length limitation" and sys.float_info."""
    told = f"'{'9' * 40}…' has more digits than anything is counted with; check it"
    assert messages(tmp_path, f"b: 1\na: {'9' * digits}{end}\n") == [f"rules/a.yaml:2: a: {told}"]
    assert read(tmp_path, f"a: {'9' * 40}\n").data == {"a": int("9" * 40)}


def test_one_document(tmp_path: Path) -> None:
    assert messages(tmp_path, "a: 1\n---\nb: 2\n") == [
        "rules/a.yaml:2: a second document starts here; one file holds one"
    ]
    assert messages(tmp_path, "# nothing\n") == ["rules/a.yaml:2: the file is empty; fill it in or take it away"]


def test_encoding(tmp_path: Path) -> None:
    assert messages(tmp_path, "a: 1\nb: Kr\xe4n\n".encode("latin-1")) == [
        "rules/a.yaml:2: is not UTF-8 text; save the file as UTF-8"
    ]
    assert read(tmp_path, b"\xef\xbb\xbfa: 1\n").data == {"a": 1}
    assert read(tmp_path, "\ufeffa: 1\r\nb: 2\r\n".encode()).line(("b",)) == 2
    assert messages(tmp_path, "a: 1\n".encode("utf-16")) == [
        "rules/a.yaml:1: is not UTF-8 text; save the file as UTF-8"
    ]


# Names: the Unicode Character Database, UnicodeData.txt; from memory.  Control characters have none there.
UNSEEN = [
    ("\x00", "U+0000 (control character)"),
    ("\x07", "U+0007 (control character)"),
    ("\x1b", "U+001B (control character)"),
    ("\x7f", "U+007F (control character)"),
    ("\x85", "U+0085 (control character)"),
    ("\u00ad", "U+00AD (soft hyphen)"),
    ("\u200b", "U+200B (zero width space)"),
    ("\u200f", "U+200F (right-to-left mark)"),
    ("\u2028", "U+2028 (line separator)"),
    ("\u202e", "U+202E (right-to-left override)"),
    ("\u2066", "U+2066 (left-to-right isolate)"),
    ("\ufeff", "U+FEFF (zero width no-break space)"),
    ("\ufffe", "U+FFFE (control character)"),
    ("\U000e0041", "U+E0041 (tag latin capital letter a)"),
]


@pytest.mark.parametrize(("character", "name"), UNSEEN, ids=[name for _, name in UNSEEN])
def test_refuses_what_nobody_sees(tmp_path: Path, character: str, name: str) -> None:
    """In a value, in a name, in a comment, typed or as an escape: a reviewer sees what the program reads."""
    told = f"holds {name}, which nobody sees; type the text again without it"
    assert messages(tmp_path, f"a: 1\nb: x{character}y\n") == [f"rules/a.yaml:2: {told}"]
    assert messages(tmp_path, f"a: 1\n# x{character}y\nb: 2\n") == [f"rules/a.yaml:2: {told}"]
    escape = f"\\U{ord(character):08x}"
    assert messages(tmp_path, f'a: 1\nb: "x{escape}y"\n') == [f"rules/a.yaml:2: b: {told}"]
    assert messages(tmp_path, f'a: 1\n"b{escape}": 2\n') == [f"rules/a.yaml:2: {told}"]


def test_half_a_character(tmp_path: Path) -> None:
    """A lone surrogate cannot be written as an escape and is no UTF-8 either."""
    assert messages(tmp_path, 'a: "\\ud83d"\n') == [
        "rules/a.yaml:1: cannot be read as YAML: found invalid Unicode character escape code; "
        "check indentation, colons and quotes"
    ]
    assert messages(tmp_path, b"a: \xed\xa0\xbd\n") == ["rules/a.yaml:1: is not UTF-8 text; save the file as UTF-8"]


@pytest.mark.parametrize("text", ["Krän", "起重机", "رافعة", "½ × 3 µm", "😀", "a\tb"])
def test_reads_any_writing(tmp_path: Path, text: str) -> None:
    assert read(tmp_path, f'a: "{text}"\n').data == {"a": text}


@pytest.mark.parametrize("text", ["3.10", "0.0", "24.50", "100000000000000000000.5"])
def test_a_number_stands_as_it_is_written(tmp_path: Path, text: str) -> None:
    found = read(tmp_path, f"a: {text}\n").data["a"]
    assert found == float(text) and isinstance(found, float)
    assert str(found) == f"{found}" == text


def test_nesting(tmp_path: Path) -> None:
    deep = "a: " + "[" * 25 + "]" * 25
    text = "is nested deeper than 20 levels; check the brackets and indentation"
    assert messages(tmp_path, deep) == [f"rules/a.yaml:1: a: {text}"]
    assert len(messages(tmp_path, "a: " + "[" * 100_000)) == 1


def test_a_file_that_cannot_be_opened(tmp_path: Path) -> None:
    assert [str(p) for p in files.read(tmp_path / "none.yaml", "rules/none.yaml").problems] == [
        "rules/none.yaml:1: cannot be opened: No such file or directory; put a file in its place"
    ]
    assert [str(p) for p in files.read(tmp_path, "rules/none.yaml").problems] == [
        "rules/none.yaml:1: cannot be opened: it is a folder; put a file in its place"
    ]
    os.mkfifo(tmp_path / "pipe")
    pipe = "it is a pipe or a device"
    large = "it has more than 4 MB"
    with (tmp_path / "large").open("wb") as file:
        file.truncate(4_000_001)
    (tmp_path / "round").symlink_to("round")
    loop = "Too many levels of symbolic links"
    for path, said in ((tmp_path / "pipe", pipe), (Path("/dev/zero"), pipe), (tmp_path / "large", large),
                       (tmp_path / "round", loop), (tmp_path / ("x" * 300), "File name too long")):  # fmt: skip
        assert [str(p) for p in files.read(path, "rules/none.yaml").problems] == [
            f"rules/none.yaml:1: cannot be opened: {said}; put a file in its place"
        ]
    link = tmp_path / "link.yaml"
    link.symlink_to(tmp_path / "nowhere.yaml")
    assert [str(p) for p in files.read(link, "rules/link.yaml").problems] == [
        "rules/link.yaml:1: cannot be opened: it is a link to nothing; put a file in its place"
    ]
