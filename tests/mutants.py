"""Mutation testing: every small change of a formula must make a test fail.

    python tests/mutants.py [MODULE ...]

mutmut makes the changes ("mutants"): another operator, number or argument.  pytest collects the tests once; each mutant
then gets a child process of its own, in which the code of the changed function replaces the right one, and the tests
that reach the function run, the quickest first, until one fails.  A mutant with which no test fails has survived: write
a test for what it breaks, or say in mutants.yaml why nothing is broken.

Exit status 1 where less than 90 % of a module's mutants are killed, a survivor has no explanation, or an explanation no
survivor.
"""

from __future__ import annotations

import gc
import inspect
import os
import pickle
import resource
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from difflib import ndiff
from functools import partial
from math import ceil
from pathlib import Path
from types import CodeType, FrameType, FunctionType
from typing import Any, BinaryIO

import pytest
import yaml
from independent.plans import OF_MUTANTS
from mutmut.configuration import config
from mutmut.mutation.file_mutation import mutate_file_contents

from calc.teaching.outside import module_of

ROOT = Path(__file__).resolve().parent.parent
MODULES = [Path(path).stem for path in config().only_mutate]
TESTS = config().pytest_add_cli_args_test_selection  # and the examples of the module
# Whole plans are for the planner only: what a formula says is held by tests of its own.
PLANNER = "planner"
OF_PLANS = tuple(f"tests/independent/test_agreement.py::test_fleet[{plan}]" for plan in OF_MUTANTS)
LEAST_KILLED = 0.90
WORKERS = os.cpu_count() or 1
MEMORY = 2 << 30  # bytes; a mutant that takes more, or more than twice the time of its tests and two seconds, is killed


@dataclass(frozen=True)
class Mutant:
    """One changed function: its name, the lines before and after, and its code."""

    module: str
    function: str
    was: str
    now: str
    code: CodeType = field(repr=False)

    @property
    def key(self) -> tuple[str, str, str]:
        return f"{self.module}.{self.function}", self.was, self.now

    def target(self) -> FunctionType:
        found: Any = module_of(self.module)
        for name in self.function.split("."):
            found = getattr(found, name)
        function = inspect.unwrap(found)
        assert isinstance(function, FunctionType)
        return function


def mutants(module: str) -> Iterator[Mutant]:
    """Every mutant of a module, as mutmut makes them: all in one text, as functions of their own."""
    path = Path(str(module_of(module).__file__))
    made = mutate_file_contents(str(path), path.read_text(encoding="utf-8"))
    lines = made.code.splitlines()
    spans = {name: lines[span.start - 1 : span.end] for name, span in made.line_span_by_function_name.items()}
    codes = {code.co_name: code for code in _codes(compile(made.code, str(path), "exec"))}
    for name in made.mutant_names:
        mangled, _, _ = name.partition("__mutmut_")
        function = mangled.removeprefix("x_") if mangled.startswith("x_") else ".".join(mangled.split("ǁ")[1:])
        was, now = _changed(spans[f"{mangled}__mutmut_orig"], spans[name])
        if was != now:
            yield Mutant(module, function, was, now, codes[name])


def _codes(code: CodeType) -> Iterator[CodeType]:
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield inner
            yield from _codes(inner)


def _changed(was: list[str], now: list[str]) -> tuple[str, str]:
    """The lines that differ, the first with the function's own name apart."""
    compared = [line for line in ndiff(was, now) if "__mutmut_" not in line]
    gone, new = (" ".join(line[2:].strip() for line in compared if line[0] == sign) for sign in "-+")
    return gone, new


class Tried:
    """A pytest plugin that runs the collected tests once for each mutant, instead of once."""

    def __init__(self, mutants: list[Mutant]) -> None:
        self.mutants = mutants
        self.survived: list[Mutant] = []
        # one of each module that changes nothing: it has to survive, or children die of something else
        first = {mutant.module: mutant for mutant in reversed(mutants)}.values()
        self.unchanged = [replace(mutant, was="", now="", code=mutant.target().__code__) for mutant in first]

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        reaching, seconds = _reaching(session, {mutant.target().__code__ for mutant in self.mutants})
        gc.freeze()
        killed: Counter[tuple[CodeType, int]] = Counter()
        running: dict[int, tuple[Mutant, int]] = {}

        def wait() -> None:
            child, status = os.wait()
            mutant, pipe = running.pop(child)
            with os.fdopen(pipe, "rb") as stream:
                failed = stream.read()
            if failed:
                killed[mutant.target().__code__, int(failed)] += 1
            elif status == 0:
                self.survived.append(mutant)

        for number, mutant in enumerate([*self.unchanged, *self.mutants]):
            while len(running) >= WORKERS:
                wait()
            code = mutant.target().__code__
            tests = [n for n in reaching.get(code, []) if mutant.module == PLANNER or not _of_plans(session.items[n])]
            # what killed a mutant of this function before is tried first
            tests = sorted(tests, key=lambda test: -killed[code, test])
            limit = 2 + ceil(2 * sum(seconds[test] for test in tests))
            child, pipe = _forked(partial(_try, session, mutant, tests, limit))
            running[child] = mutant, pipe
            if number % 50 == 0 and number:
                print(f"{number} of {len(self.mutants)}, {len(self.survived)} survived", file=sys.stderr, flush=True)
        while running:
            wait()
        broken = [mutant.module for mutant in self.unchanged if mutant not in self.survived]
        if broken:
            raise SystemExit(f"the tests of {', '.join(broken)} fail in a child without any change")
        self.survived = [mutant for mutant in self.survived if mutant not in self.unchanged]
        return True


def _of_plans(item: pytest.Item) -> bool:
    return item.nodeid.startswith(OF_PLANS)


def _forked(work: Callable[[BinaryIO], None]) -> tuple[int, int]:
    """Starts a child that works; returns its process id and a pipe to read what it writes.  Exit status 1: an error."""
    out, into = os.pipe()
    child = os.fork()
    if child:
        os.close(into)
        return child, out
    status = 1
    try:
        with os.fdopen(into, "wb") as stream:
            work(stream)
        status = 0
    finally:
        os._exit(status)


def _try(session: pytest.Session, mutant: Mutant, tests: list[int], limit: int, into: BinaryIO) -> None:
    """Runs tests with the mutant in place and writes the number of the one that fails."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    resource.setrlimit(resource.RLIMIT_CPU, (limit, limit))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    mutant.target().__code__ = mutant.code
    items = [session.items[test] for test in tests]
    for test, item, following in zip(tests, items, [*items[1:], None], strict=True):
        session.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        if session.testsfailed:
            into.write(str(test).encode())
            return


def _reaching(session: pytest.Session, codes: set[CodeType]) -> tuple[dict[CodeType, list[int]], list[float]]:
    """For each function the numbers of the tests that reach it, the quickest first; and the time of every test."""
    called: set[CodeType] = set()

    def note(frame: FrameType, event: str, argument: Any) -> None:
        if event == "call" and frame.f_code in codes:
            called.add(frame.f_code)

    def run_all(into: BinaryIO) -> None:
        found: list[tuple[float, int, list[str]]] = []
        for number, item in enumerate(session.items):
            called.clear()
            begun = time.process_time()
            sys.setprofile(note)
            session.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
            sys.setprofile(None)
            found.append((time.process_time() - begun, number, [code.co_qualname for code in called]))
        pickle.dump([] if session.testsfailed else found, into)

    child, pipe = _forked(run_all)
    with os.fdopen(pipe, "rb") as stream:
        found = pickle.load(stream)
    os.waitpid(child, 0)
    if not found:
        raise SystemExit("the tests fail without any change")
    reaching = {code: [number for _, number, names in sorted(found) if code.co_qualname in names] for code in codes}
    return reaching, [taken for taken, _, _ in found]


def explanations(modules: list[str]) -> dict[tuple[str, str, str], str]:
    """Why a survivor breaks nothing, by function and changed lines, so that a moved line stays explained."""
    written = yaml.safe_load((ROOT / "tests/mutants.yaml").read_text(encoding="utf-8")) or []
    return {
        (one["function"], one["was"], now): one["why"]
        for one in written
        if one["function"].partition(".")[0] in modules
        for now in one["now"]
    }


def report(made: list[Mutant], survived: list[Mutant], modules: list[str]) -> bool:
    """Prints what came of it; returns whether that is enough."""
    explained = explanations(modules)
    open_ = [mutant for mutant in survived if mutant.key not in explained]
    stale = explained.keys() - {mutant.key for mutant in survived}
    for mutant in sorted(open_, key=lambda m: m.key):
        function, was, now = mutant.key
        print(f"\n- function: {function}\n  was: {was!r}\n  now: [{now!r}]\n  why:")
    for function, was, now in sorted(stale):
        print(f"\nexplained, but did not survive: {function}: {was!r} to {now!r}")
    all_, lived, unexplained = (Counter(m.module for m in each) for each in (made, survived, open_))
    print(f"\n{'module':12}{'mutants':>9}{'killed':>9}{'':>9}{'explained':>11}{'open':>6}")
    for name in [*modules, "all"]:
        total, alive, unsaid = (c.total() if name == "all" else c[name] for c in (all_, lived, unexplained))
        print(f"{name:12}{total:>9}{total - alive:>9}{1 - alive / total:>9.1%}{alive - unsaid:>11}{unsaid:>6}")
    enough = all(lived[name] <= (1 - LEAST_KILLED) * all_[name] for name in modules)
    return enough and not open_ and not stale


def main() -> int:
    modules = sys.argv[1:] or MODULES
    begun = time.monotonic()
    tried = Tried([mutant for module in modules for mutant in mutants(module)])
    tests = [
        *(str(module_of(module).__file__) for module in modules),
        *TESTS,
        *(OF_PLANS if PLANNER in modules else ()),
    ]
    if pytest.main(["-s", "-q", "--tb=native", "-p", "no:cacheprovider", "-p", "no:xdist", *tests], plugins=[tried]):
        return 2
    good = report(tried.mutants, tried.survived, modules)
    print(f"\n{(time.monotonic() - begun) / 60:.1f} minutes, {WORKERS} workers")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
