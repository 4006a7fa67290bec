"""What people type or bring to the command line, changed at random: charts, lists of lifts, records of a phone, records
that are compared.  Read as it stands or refused with a place and a status; no traceback, no hang, and a log that stays
as it was where something was refused.

Here 120 changes, always the same ones; `make fuzz` tries as many as FIRMWRAP_TRIED says, chosen anew each time.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
from collections.abc import Iterator
from pathlib import Path

import data_folder
import pytest
from a_record import a_record
from conftest import DAY
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calc.checks import loader
from calc.cli import commands
from calc.data.model import Data

TRIED = int(os.environ.get("FIRMWRAP_TRIED", "120"))
CHART = b"radius (m),50 m (t),60 m (t)\n10,50,45\n12,41.5,38\n14,35,\n"
DUTY = (
    b"day,boom_length,radius,falls,block,load,hook_from,hook_to,repeats,note\n"
    b'2026-11-25,54 m,26 m,6,five-sheave,1.8 t,3 m,41 m,12,"panels, pier 4"\n'
)
RECORD = (
    b"# Firmwrap record 1: path, value, unit\nday\t2026-12-01\nversion/rule/x/2026-11-02\tab12\n"
    b"input/machine/x/rope/length_m\t1.5\tm\nplan/x/50m/full/falls/used\t6\n"
)
CALLS = {
    "chart": (CHART, "chart FILE --machine bittern"),
    "duty": (DUTY, "duty FILE --machine bittern"),
    "upkeep": (json.dumps(a_record(), indent=1).encode(), f"upkeep add FILE --day {DAY}"),
    "compare": (RECORD, "compare FILE FILE"),
    "compare with what it was": (RECORD, "compare BEFORE FILE"),
}
PIECES = [
    b"", b"\0",
    b"\xff", b"\r", b"\n", b"\r\n", b"\t", b",", b'"', b"'", b";", b"=", b"{", b"}", b"[", b"]", b":", b"\\",
    b"\\ud83d", b"\\ud83d\\ude00", b"\\u0000", b"-1", b"0", b"1e999", b"9" * 400, b"9" * 5000, b"NaN", b"null", b"true",
    b"9999-12-31", b"0000-00-00", b"2026-02-30", b"__proto__", b"\xef\xbb\xbf", "\u202e\u00bd".encode(), b"x" * 300,
    b"../../etc/passwd", b"*a", b"&a", b"!!python/object", b"- " * 50, b"[" * 50,
]  # fmt: skip
PIECE = st.one_of(st.sampled_from(PIECES), st.binary(max_size=8))
CHANGES = st.lists(st.tuples(st.floats(0, 1), st.integers(0, 12), PIECE), min_size=1, max_size=4)


def changed(content: bytes, changes: list[tuple[float, int, bytes]]) -> bytes:
    """Some bytes of a file taken out, and a piece put in their place, at each of these places."""
    for place, length, piece in changes:
        at = round(place * len(content))
        content = content[:at] + piece + content[at + length :]
    return content


@pytest.fixture(scope="module")
def rules(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The data of one crane."""
    return data_folder.only("bittern", tmp_path_factory.mktemp("typed") / "rules")


@pytest.fixture(scope="module")
def _once(rules: Path) -> Iterator[None]:
    """The data are read once: no call of this module changes what is read of them."""
    data: Data = loader.load(rules)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(commands, "_read", lambda folder: data)
        yield


@pytest.mark.usefixtures("_once")
@pytest.mark.parametrize("kind", CALLS)
def test_anything_is_read_or_refused(rules: Path, kind: str) -> None:
    content, call = CALLS[kind]
    file, before = rules.parent / "typed", rules.parent / "before"
    log = rules / "upkeep/bittern.yaml"
    as_it_was = log.read_bytes()
    before.write_bytes(content)
    parts = call.replace("FILE", str(file)).replace("BEFORE", str(before)).split(" ")

    @settings(
        max_examples=max(1, round(TRIED / len(CALLS))),
        derandomize=TRIED == 120,
        database=None,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(CHANGES)
    def tried(changes: list[tuple[float, int, bytes]]) -> None:
        file.write_bytes(changed(content, changes))
        out, told = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(told):
            status = commands.main([*parts, "--data", str(rules)])
        said = told.getvalue()
        assert status in (0, 1, 2) and "Traceback" not in said
        if status == 1 and kind in ("chart", "duty", "upkeep"):
            assert out.getvalue() == ""
            for line in said.splitlines():
                assert re.match(rf"{re.escape(str(file))}:\d+: .+; .+", line), line
        if kind == "upkeep" and status == 0:
            assert log.read_bytes() != as_it_was and loader.load(rules)
            log.write_bytes(as_it_was)
        assert log.read_bytes() == as_it_was

    tried()
