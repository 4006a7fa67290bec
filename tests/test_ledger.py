"""The ledger against a drum kept millimetre by millimetre, and what no ledger may do."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest

from calc.formulas import drum, ledger

D_B, DIAMETER, RISE, WRAPS = 0.62, 0.026, 0.90, 36  # the drum of both: m, m, -, -
LAYERS = drum.layers(D_B, DIAMETER, RISE, WRAPS, WRAPS, 560.0)
CELL = 0.05  # m of rope: one cell of the reference
CELLS = 11_000


def turns() -> list[float]:
    """Turns on the drum at the inner end of every cell, counted wrap by wrap from the barrel."""
    found, rope, turn, layer = [], 0.0, 0.0, 1
    wrap = math.pi * (D_B + DIAMETER)
    for cell in range(CELLS + 1):
        while cell * CELL - rope > WRAPS * wrap:
            rope, turn, layer = rope + WRAPS * wrap, turn + WRAPS, layer + 1
            wrap = math.pi * (D_B + DIAMETER * (1 + 2 * RISE * (layer - 1)))
        found.append(turn + (cell * CELL - rope) / wrap)
    return found


TURNS = turns()


class Reference:
    """Rope as a list of cells, each with its own tension: slow, and nothing to get wrong."""

    def __init__(self) -> None:
        self.cells: list[tuple[float, str]] = []

    def pay_out(self, cells: int) -> None:
        del self.cells[len(self.cells) - cells :]

    def wind_in(self, cells: int, first: float, last: float, cause: str) -> None:
        for cell in range(cells):
            tension = first + (last - first) * (cell + 0.5) / cells
            self.cells.append((max(0.0, tension), cause))

    def set_down(self, empty: float, friction: float) -> None:
        """Every cell holds what friction holds over the whole turns between it and the outer end."""
        end = TURNS[len(self.cells)]
        for cell in range(len(self.cells) - 1, -1, -1):
            whole = int(end - TURNS[cell] - 1e-9)
            holds = empty * math.exp(2 * math.pi * friction * whole)
            tension, cause = self.cells[cell]
            self.cells[cell] = (min(tension, holds), cause)
            if holds > 1e6:
                break


@pytest.mark.parametrize("seed", range(16))
def test_agrees_with_a_drum_kept_cell_by_cell(seed: int) -> None:
    chance = random.Random(seed)
    slow = Reference()
    fast: ledger.Stack = ()
    slow.wind_in(4_000, 15_000.0, 15_000.0, "new")
    fast = ledger.wind_in(fast, 200.0, 15_000.0, 15_000.0, "new")
    for number in range(60):
        cells = len(slow.cells)
        kind = chance.choice(("out", "in", "in", "down"))
        if kind == "out":
            taken = chance.randrange(cells // 2 + 1)
            slow.pay_out(taken)
            fast = ledger.pay_out(fast, taken * CELL)
        elif kind == "in":
            put = chance.randrange(max(1, min(1_600, CELLS - cells)))
            first, last, cause = chance.uniform(-500, 20_000), chance.uniform(-500, 20_000), f"move {number}"
            slow.wind_in(put, first, last, cause)
            fast = ledger.wind_in(fast, put * CELL, first, last, cause)
        elif cells:
            slow.set_down(800.0, 0.10)
            fast = ledger.set_down(fast, LAYERS, 800.0, 0.10)
        assert ledger.held(fast) == pytest.approx(len(slow.cells) * CELL, abs=1e-6)
    at = 0.0
    for run in fast:
        # a wrap ends within a cell, so the cells at both ends of a run may hold either
        for cell in range(math.ceil(at / CELL - 1e-6) + 1, math.floor((at + run.length) / CELL + 1e-6) - 1):
            middle = (cell + 0.5) * CELL - at
            tension = run.inner + (run.outer - run.inner) * middle / run.length
            told, cause = slow.cells[cell]
            assert cause == run.cause
            # where a slope comes to nothing within a cell, the cell holds the middle of it
            assert told == pytest.approx(tension, abs=1e-3 + abs(run.outer - run.inner) / run.length * CELL)
        at += run.length


@pytest.mark.parametrize("wraps_in_layer_2", [0.02, 0.5, 0.98, 1.0, 1.02])
def test_no_wrap_holds_more_than_friction_does(wraps_in_layer_2: float) -> None:
    """T <= T_empty*e^(2*pi*mu*turns), at every place, also where the outer turn lies on two layers."""
    rope = drum.rope_at(LAYERS, 2, wraps_in_layer_2)
    stack = ledger.set_down(ledger.wind_in((), rope, 15_000.0, 15_000.0, "load"), LAYERS, 800.0, 0.10)
    at = 0.0
    for run in stack:
        at += run.length
        cell = min(round(at / CELL), CELLS)
        turned = WRAPS + wraps_in_layer_2 - TURNS[cell]
        assert run.outer <= min(15_000.0, 800.0 * math.exp(2 * math.pi * 0.10 * (turned + 0.05)))
    assert at == pytest.approx(rope)
    # ln(15,000/800)/(2*pi*0.10) = 4.66: five whole turns slip, however they lie (hand calculation)
    loose = ledger.stretches(stack, 14_999.0)
    five = drum.rope_at(LAYERS, 1, WRAPS - (5 - wraps_in_layer_2))
    assert loose[0].start == pytest.approx(five, abs=1e-6)


def test_rope_is_neither_made_nor_lost() -> None:
    chance = random.Random(7)
    stack: ledger.Stack = ()
    on_drum = 0.0
    for number in range(2_000):
        if chance.random() < 0.5 and on_drum:
            out = chance.uniform(0, on_drum)
            stack, on_drum = ledger.pay_out(stack, out), on_drum - out
        else:
            wound = chance.uniform(0, 550 - on_drum)
            stack = ledger.wind_in(stack, wound, chance.uniform(0, 9e3), chance.uniform(0, 9e3), str(number % 5))
            on_drum += wound
        if number % 10 == 0:
            stack = ledger.set_down(stack, LAYERS, 500.0, 0.10)
        assert ledger.held(stack) == pytest.approx(on_drum, abs=1e-6)
        assert all(run.length > 0 and run.inner >= 0 and run.outer >= 0 for run in stack)


def test_equal_neighbours_are_one_run() -> None:
    stack: ledger.Stack = ()
    for _ in range(100):
        stack = ledger.wind_in(stack, 1.0, 700.0, 700.0, "light work")
    assert stack == (ledger.Run(100.0, 700.0, 700.0, "light work"),)
    rising = ledger.wind_in(ledger.wind_in((), 10.0, 100.0, 200.0, "a"), 10.0, 200.0, 300.0, "a")
    assert rising == (ledger.Run(20.0, 100.0, 300.0, "a"),)
    assert len(ledger.wind_in(rising, 10.0, 300.0, 400.0, "b")) == 2


def test_the_same_lift_again_leaves_the_same_drum() -> None:
    """Whatever a cycle re-lays, it re-lays again: a second cycle changes nothing."""

    def cycle(stack: ledger.Stack) -> ledger.Stack:
        stack = ledger.wind_in(stack, 120.0, 4_000.0, 3_000.0, "formwork")
        stack = ledger.set_down(stack, LAYERS, 900.0, 0.10)
        return ledger.pay_out(stack, 120.0)

    firm = ledger.wind_in((), 300.0, 15_000.0, 15_000.0, "firm")
    once = cycle(firm)
    assert cycle(once) == once


def test_setting_down_reaches_as_many_wraps_as_friction_needs() -> None:
    """17 kN laid, 1.5 kN empty, friction 0.10: ln(17/1.5)/(2*pi*0.10) = 3.9 wraps slip (hand calculation)."""
    stack = ledger.set_down(ledger.wind_in((), 400.0, 17_000.0, 17_000.0, "load"), LAYERS, 1_500.0, 0.10)
    wrap = LAYERS[drum.position(LAYERS, 400.0)[0] - 1].wrap_length
    slipped = sum(s.end - s.start for s in ledger.stretches(stack, 16_999.0))
    assert slipped / wrap == pytest.approx(4, abs=0.01)
    # 1,500 N * e^(2*pi*0.10*k): 1,500, 2,812, 5,270, 9,879 N for k = 0 to 3, each held over a whole wrap
    outer = [round(run.outer) for run in reversed(stack)][:4]
    assert outer == [1500, 2812, 5270, 9879]


def test_slack_rope_lies_with_no_tension() -> None:
    stack = ledger.wind_in((), 30.0, 200.0, -100.0, "empty hook")
    assert ledger.stretches(stack, 1e-3)[0].start == pytest.approx(20.0, abs=1e-3)
    assert stack[-1].outer == 0.0


def test_the_ends_of_the_stack() -> None:
    assert ledger.held(()) == 0
    assert ledger.set_down((), LAYERS, 500.0, 0.1) == ()
    whole = ledger.wind_in((), 50.0, 900.0, 900.0, "new")
    assert ledger.pay_out(whole, 50.0) == ()
    assert ledger.pay_out(whole, 0.0) == whole and ledger.wind_in(whole, 0.0, 1.0, 1.0, "new") == whole
    assert ledger.between(whole, 60.0, 70.0) == ()
    with pytest.raises(ValueError, match=r"length is 50.1; it lies between 0 and the 50.0 m"):
        ledger.pay_out(whole, 50.1)


@pytest.mark.parametrize("seed", range(8))
def test_the_smaller_of_two_agrees_with_a_drum_kept_cell_by_cell(seed: int) -> None:
    """Two ways the same rope may lie: cell by cell the smaller tension, and what laid it."""
    chance = random.Random(seed)
    slow, fast = [], []
    for name in ("one", "other"):
        cells = Reference()
        stack: ledger.Stack = ()
        for number in range(chance.randrange(1, 6)):
            put, first, last = chance.randrange(1, 400), chance.uniform(0, 9e3), chance.uniform(0, 9e3)
            cells.wind_in(put, first, last, f"{name} {number}")
            stack = ledger.wind_in(stack, put * CELL, first, last, f"{name} {number}")
        slow.append(cells.cells)
        fast.append(stack)
    found = ledger.smaller(*fast)
    longest = max(len(cells) for cells in slow)
    assert ledger.held(found) == pytest.approx(longest * CELL, abs=1e-6)
    for cell in range(longest):
        there = [cells[cell] for cells in slow if cell < len(cells)]
        least, cause = min(there)
        (here,) = ledger.between(found, (cell + 0.5) * CELL - 1e-4, (cell + 0.5) * CELL + 1e-4)[:1]
        assert here.least == pytest.approx(least, abs=2.0)
        if len(there) == 1 or abs(there[0][0] - there[1][0]) > 2.0:
            assert here.cause == cause


def test_two_stacks_alike_are_the_first() -> None:
    one, other = ledger.Run(20.0, 900.0, 500.0, "one"), ledger.Run(20.0, 900.0, 500.0, "other")
    assert ledger.smaller((one,), (other,)) == (one,)
    assert ledger.smaller((one,), ()) == ledger.smaller((), (one,)) == (one,)


def test_a_stack_in_two_is_the_stack() -> None:
    stack = (ledger.Run(30.0, 9e3, 9e3, "new"), ledger.Run(20.0, 900.0, 500.0, "work"))
    assert ledger.parted(stack, 30.0) == (stack[:1], stack[1:])
    assert ledger.parted(stack, 50.0) == (stack, ()) and ledger.parted(stack, 50.0 + 1e-12)[0] == stack
    assert ledger.parted(stack, 0.0) == ((), stack)
    with pytest.raises(ValueError, match=r"place is 51.0; it lies between 0 and the 50.0 m"):
        ledger.parted(stack, 51.0)


def test_loose_pieces_are_one_where_they_touch_and_are_of_one_cause() -> None:
    """500 N over 10 m, then from 2,000 to 0 N over 10 m: under 1,000 N up to 10 m and again from 15 m; turned round,
    one piece from 0 to 15 m."""
    even, falling = ledger.Run(10.0, 500.0, 500.0, "work"), ledger.Run(10.0, 2000.0, 0.0, "work")
    apart = ledger.stretches((even, falling), 1000.0)
    assert [(s.start, s.end, s.least, s.most) for s in apart] == [(0.0, 10.0, 500.0, 500.0), (15.0, 20.0, 0.0, 1000.0)]
    rising = ledger.Run(10.0, 0.0, 2000.0, "work")
    joined = ledger.stretches((even, rising), 1000.0)
    assert [(s.start, s.end, s.least, s.most) for s in joined] == [(0.0, 15.0, 0.0, 1000.0)]
    other = ledger.Run(10.0, 0.0, 2000.0, "other")
    assert [(s.start, s.end) for s in ledger.stretches((even, other), 1000.0)] == [(0.0, 10.0), (10.0, 15.0)]


def test_what_lies_between_two_places_is_the_stack_itself() -> None:
    """Cut anywhere: lengths and tensions of the pieces are those of the runs they are of."""
    chance = random.Random(3)
    stack: ledger.Stack = ()
    for number in range(12):
        first, last = chance.uniform(1, 9e3), chance.uniform(1, 9e3)
        stack = ledger.wind_in(stack, chance.uniform(1, 20), first, last, str(number))
    whole = ledger.held(stack)
    for _ in range(200):
        start, end = sorted((chance.uniform(0, whole), chance.uniform(0, whole)))
        found = ledger.between(stack, start, end)
        assert found[0].start == start and found[-1].end == pytest.approx(end)
        assert all(one.end == pytest.approx(other.start) for one, other in pairwise(found))
        at = 0.0
        for run in stack:
            piece = next((one for one in found if one.cause == run.cause), None)
            if piece:
                slope = (run.outer - run.inner) / run.length
                ends = sorted(run.inner + slope * (place - at) for place in (piece.start, piece.end))
                assert [piece.least, piece.most] == pytest.approx(ends)
            at += run.length
    assert ledger.between(stack, 5.0, 5.0) == ()
    assert [one.cause for one in ledger.between(stack, 0.0, whole)] == [run.cause for run in stack]


def test_a_slope_slips_where_it_is_steeper_than_friction_holds() -> None:
    """Wraps of 1 m, tension from 5,000 N at the inner end down to 100 N over 20 m, 245 N each wrap; the empty block
    holds 300, 562, 1,054 N: of the outermost wrap, 100 to 345 N, and of the next, 345 to 590 N, the inner ends slip;
    the third, up to 835 N, is held (hand calculation)."""
    layer = drum.layers(0.30831, 0.010, 1.0, 20, 20, 19.9)
    stack = ledger.set_down((ledger.Run(20.0, 5000.0, 100.0, "work"),), layer, 300.0, 0.10)
    told = [(round(run.length, 2), round(run.inner), round(run.outer)) for run in stack]
    # (590 - 562)/245 = 0.11 and (345 - 300)/245 = 0.18 of a wrap are held down
    assert told == [(18.0, 5000, 590), (0.11, 562, 562), (0.89, 562, 345), (0.18, 300, 300), (0.82, 300, 100)]


def test_limits_of_zero_are_refused() -> None:
    with pytest.raises(ValueError, match=r"limit is 0\.0; it lies above 0"):
        ledger.stretches((), 0.0)
    with pytest.raises(ValueError, match=r"tension_empty is 0\.0; it lies above 0"):
        ledger.set_down((), LAYERS, 0.0, 0.10)
