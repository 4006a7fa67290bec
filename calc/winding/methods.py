"""The two methods: luff out, and telescope in then luff out; each a string of passes that is worth its time.

Only rope that stays on the drum after landing and unhooking counts as firm, so a pass gains by a lower boom head, a
shorter boom or longer slings.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from calc.fields import LoadReturn, MethodName
from calc.formulas import ROUNDING
from calc.winding.codes import RefusalCode
from calc.winding.duration import duration
from calc.winding.firm import firm_from, firm_to, full_pull
from calc.winding.makeup import Load, Slings, twice
from calc.winding.moves import (
    Hung,
    Left,
    Move,
    check,
    first_moves,
    furthest,
    hanging,
    landed,
    later_moves,
    lifted,
    luff_out_and_land,
    pick_state,
    second_line,
    slack_needed,
    start_state,
    telescoping_moves,
)
from calc.winding.rig import Crane, Refusal, Rig, State, at_least

Rank = tuple[bool, int, int, int]
Wanted = tuple[Rank, float]  # what a heavier load could do at best, and the mass of weights it takes [kg]
BEST: Rank = (False, 0, -201, 0)  # no method ranks before it
SECOND_LOAD_PASSES = 2  # the first load lies where a third would have to stand


@dataclass(frozen=True)
class Pass:
    """One pass: moves, how the load came back, slings and where they are hung, rope unwound by the empty block [m],
    rope on the drum where firm rope begins and ends [m], falls from which full line pull stands on firm rope and the
    hook height up to which it does [m], angle to the line of a second load [rad], duration [s]."""

    moves: tuple[Move, ...]
    load_return: LoadReturn
    slings: Slings
    hung: Hung
    rope_lost: float
    firm_from: float
    firm_to: float
    full_pull: tuple[int, float] | None
    slew: float | None
    duration: float

    @property
    def firm_rope(self) -> float:
        return max(0.0, self.firm_to - self.firm_from)

    @property
    def full_pull_falls(self) -> int | None:
        return None if self.full_pull is None else self.full_pull[0]

    @property
    def pick(self) -> State:
        """The load on the ground, its slings just straight."""
        return next(move.before for move in self.moves if move.name == "pick")

    @property
    def end(self) -> State:
        """The load landed."""
        return self.moves[-1].after


@dataclass(frozen=True)
class Refused:
    """A method that cannot be done, and what stops it."""

    name: MethodName
    code: RefusalCode
    wanted: tuple[Wanted, ...] = ()  # what heavier loads could do at best


@dataclass(frozen=True)
class Method:
    """A method that can be done: its passes, at least one, and the largest share of the rope it could lay firm."""

    name: MethodName
    passes: tuple[Pass, ...]
    firm_share_limit: float
    wanted: tuple[Wanted, ...] = ()  # what heavier loads could do at best

    @property
    def duration(self) -> float:
        return sum(p.duration for p in self.passes)

    @property
    def firm_rope(self) -> float:
        return self.passes[-1].firm_rope

    @property
    def full_pull_falls(self) -> int | None:
        return self.passes[-1].full_pull_falls

    @cached_property
    def loaded_states(self) -> tuple[State, ...]:
        """Both ends of every move under load."""
        return tuple(s for p in self.passes for m in p.moves if m.after.load for s in (m.before, m.after))

    @cached_property
    def winding_states(self) -> tuple[State, ...]:
        """Both ends of every move that winds rope under load."""
        return tuple(winding_states(m for p in self.passes for m in p.moves))

    def again(self, rig: Rig, load: Load) -> Method | None:
        """The same passes with another `load` on the `rig`; None where one cannot be done or lays a wrap loose."""
        first = self.passes[0]
        if first.slings.capacity < load.mass or len(self.passes) > most_passes(rig, load):
            return None
        target = first.end.boom_length if self.name == "telescope-in" else None
        try:
            passes = [_first(rig, start_state(rig, load, first.slings), first.slings, target)]
            for one in self.passes[1:]:
                if one.slings.capacity < load.mass:
                    return None
                passes.append(_after(rig, load, passes[-1], one.slings, left(rig, passes[-1].end)))
        except Refusal:
            return None
        for one in passes:
            hung = min(rig.suspended(passes[0].pick), rig.suspended(one.pick))
            if hung < firm_mass(rig, winding_states(one.moves)) * (1 - ROUNDING):
                return None
        return replace(self, passes=tuple(passes))


def firm_rank(firm_share: float) -> int:
    """Place of a `firm_share` among others, the smallest first: shares within half a per cent of the rope are equal.

    >>> firm_rank(0.755), firm_rank(0.756)
    (-151, -151)
    """
    return -round(firm_share * 200)


def rank(falls: int | None, firm_share: float, passes: int) -> Rank:
    """Place of a method among others, the best first: full line pull with the fewest `falls`, the largest `firm_share`
    to half a per cent of the rope, fewest `passes`.

    >>> rank(8, 0.5, 2) < rank(None, 0.7, 1), rank(8, 0.5, 1) < rank(8, 0.501, 2)
    (True, True)
    """
    return falls is None, falls or 0, firm_rank(firm_share), passes


def rank_of(method: Method, rope_length: float) -> Rank:
    """The `rank` of a `method` for a rope as long as `rope_length` [m]."""
    return rank(method.full_pull_falls, method.firm_rope / rope_length, len(method.passes))


def firm_in_all(crane: Crane, begin: float, firm_rope: float) -> float:
    """Rope of a `crane` that lies firm, `firm_rope` from `begin` on and what is known to lie firm beneath [m]."""
    return firm_rope + max(0.0, min(begin, crane.case.firm_below) - crane.dead_rope)


def luff_out(reach: Reach, slings: Slings, start: State) -> Refused | Begun:
    """Luff out with the load of a `reach` kept low, from the `start` with these `slings`."""
    try:
        return Begun("luff-out", reach, _first(reach.rig, start, slings, None))
    except Refusal as refusal:
        return Refused("luff-out", refusal.code, _wanted(refusal))


def telescope_in(reach: Reach, slings: Slings, start: State) -> Refused | Begun:
    """Telescope in with the load of a `reach` from the `start` with these `slings`: luff out until the short boom
    clears the carrier, telescope in, luff out at the short boom.

    To the shortest boom length that allows it; refused with what stops it there.
    """
    crane = reach.rig.crane
    if crane.case.jib is not None:
        return Refused("telescope-in", "telescoping-with-jib")
    if len(crane.charts) < 2:
        return Refused("telescope-in", "shortest-boom")
    if crane.case.machine.boom.telescoping is None:
        return Refused("telescope-in", "telescoping-not-listed")
    refused: list[Refusal] = []
    for target in crane.charts[:-1]:
        if refused and _too_heavy(reach, slings, target.boom_length):
            continue  # what stops it at other lengths is not told
        try:
            return Begun("telescope-in", reach, _first(reach.rig, start, slings, target.boom_length))
        except Refusal as refusal:
            refused.append(refusal)
    return Refused("telescope-in", refused[0].code, tuple(one for each in refused for one in _wanted(each)))


def _too_heavy(reach: Reach, slings: Slings, target: float) -> bool:
    """Whether the load of a `reach` on these `slings` is more than may be telescoped to the boom length `target` [m],
    whatever rope hangs in the falls."""
    most = reach.rig.most_telescoped(target, reach.rig.crane.case.chart.boom_length)
    return most is not None and not at_least(most, reach.rig.block.mass + reach.load.mass + slings.mass)


class TensionTooLow(Refusal):
    """A wrap would be laid loose; `mass` is the mass of weights that lays it firm [kg]."""

    def __init__(self, mass: float) -> None:
        super().__init__("tension-too-low")
        self.mass = mass


def _wanted(refusal: Refusal) -> tuple[Wanted, ...]:
    return ((BEST, refusal.mass),) if isinstance(refusal, TensionTooLow) else ()


def starts(rig: Rig, load: Load) -> Iterator[tuple[Slings, State]]:
    """The slings with which a `rig` and `load` can start, each with its start state: the shortest first, longer ones as
    long as they let the boom stand steeper.

    Errors: Refusal where there are none.
    """
    crane = rig.crane
    steepest = crane.least_radius(crane.case.chart.boom_length)
    refused = Refusal("slings-not-at-hand")
    flattest: float | None = None
    for slings in crane.slings:
        if slings.capacity < load.mass:
            continue
        try:
            start = start_state(rig, load, slings)
            hanging(rig, start)
        except Refusal as refusal:
            refused = refusal
            continue
        if flattest is None or start.radius < flattest:
            yield slings, start
            flattest = start.radius
        if start.radius <= steepest:
            return
    if flattest is None:
        raise refused


def _first(rig: Rig, start: State, slings: Slings, target: float | None) -> Pass:
    """The first pass of a `rig` from the `start`, luffing out, or telescoping to the boom length `target` [m].

    Errors: Refusal where a limit is broken, the tension is too low or it gains less than the rule asks for.
    """
    place = hanging(rig, start)
    begin = first_moves(rig, start, place)
    low = begin[-1].after
    moves = begin + (luff_out_and_land(rig, low) if target is None else telescoping_moves(rig, low, target))
    check(rig, moves)
    extension = slings.length - rig.crane.slings[0].length
    found = _pass(rig, moves, slings, Hung(place.radius, place.hook_height, 0.0, extension), None, None)
    needed = firm_mass(rig, winding_states(moves))
    if rig.suspended(low) < needed * (1 - ROUNDING):
        raise TensionTooLow(needed - rig.block.mass - slings.mass)
    least = rig.crane.case.values.least_gain_share * rig.crane.case.machine.rope.length
    if found.firm_rope < least:
        raise Refusal("too-little-gain")
    return found


def _pass(
    rig: Rig, moves: tuple[Move, ...], slings: Slings, hung: Hung, before: Pass | None, slew: float | None
) -> Pass:
    """The pass made of these moves, with what it leaves firm; whether they are admissible, `check` says."""
    crane, values = rig.crane, rig.crane.case.values
    pick = next(move.before for move in moves if move.name == "pick")
    begin = firm_from(rig, pick) if before is None else before.firm_from
    end = firm_to(rig, moves[-1].after, values.sling_slack)
    last = None if before is None else before.moves[-1]
    return Pass(
        moves,
        "none" if before is None else crane.case.machine.boom.load_return,
        slings,
        hung,
        rig.falls * hung.lowered,
        begin,
        end,
        full_pull(crane, begin, end),
        slew,
        sum(duration(rig, move, last) for move in moves),
    )


def winding_states(moves: Iterable[Move]) -> list[State]:
    """Both ends of every one of the `moves` that winds rope under load."""
    return [state for move in moves if move.winds for state in (move.before, move.after)]


def firm_mass(rig: Rig, states: Iterable[State]) -> float:
    """Suspended mass of a `rig` that keeps the firm tension at these `states`, hence between them [kg]."""
    return max((rig.mass_for_firm(state) for state in states), default=0.0)


class _Outcome(NamedTuple):
    """What a pass with some slings would leave, known before its moves are: they end where the boom ends."""

    firm_rope: float
    falls: int | None
    mass: float  # suspended, that lays every wrap firm [kg]


class Reach:
    """A rig and its load: how far each slings bring it at each boom length, and what can follow a pass; asked once for
    all starts and methods."""

    def __init__(self, rig: Rig, load: Load) -> None:
        self.rig, self.load = rig, load
        self._ends: dict[tuple[Slings, float], tuple[float, float] | None] = {}
        self._after: dict[tuple[State, Slings, Slings], Pass | None] = {}
        self._left: dict[State, Left] = {}

    def after(self, before: Pass, slings: Slings) -> Pass | None:
        """The pass with these `slings` that follows another; None where it cannot be done.

        It hangs on where the load was landed and on which slings; where firm rope begins comes from the first pass.
        """
        key = before.end, before.slings, slings
        if key not in self._after:
            if before.end not in self._left:
                self._left[before.end] = left(self.rig, before.end)
            try:
                self._after[key] = _after(self.rig, self.load, before, slings, self._left[before.end])
            except Refusal:
                self._after[key] = None
        found, begin = self._after[key], before.firm_from
        if found is None or found.firm_from == begin:
            return found
        return replace(found, firm_from=begin, full_pull=full_pull(self.rig.crane, begin, found.firm_to))

    def end(self, slings: Slings, boom_length: float) -> tuple[float, float] | None:
        """Rope on the drum up to which wraps stay firm [m] and suspended mass that lays every wrap firm [kg] when the
        load goes out on these `slings` at this `boom_length` [m]; None where it cannot."""
        key = slings, boom_length
        if key not in self._ends:
            self._ends[key] = self._end(slings, boom_length)
        return self._ends[key]

    def _end(self, slings: Slings, boom_length: float) -> tuple[float, float] | None:
        rig, values = self.rig, self.rig.crane.case.values
        pick = pick_state(rig, self.load, slings, boom_length, rig.crane.least_radius(boom_length))
        low = lifted(rig, pick)
        out = furthest(rig, low, values.largest_capacity_use)
        if out.radius <= low.radius:
            return None
        moves = (Move("pick", pick, low), Move("luff-out", low, out))
        return firm_to(rig, landed(rig, out), values.sling_slack), firm_mass(rig, winding_states(moves))


class Begun:
    """A method of which the first pass stands: what it may come to at best, and the whole of it when it is asked for.

    The passes after the first: which sequence of sling lengths is the best that can be done.
    """

    def __init__(self, name: MethodName, reach: Reach, first: Pass) -> None:
        self.name, self.reach, self.rig, self.load, self.first = name, reach, reach.rig, reach.load, first
        self.rope_length = self.rig.crane.case.machine.rope.length
        self._suspended = self.rig.suspended(first.pick)
        self.outcomes = {first.slings: _Outcome(first.firm_rope, first.full_pull_falls, 0.0)}
        for slings in self.rig.crane.slings:
            if slings.length > first.slings.length and slings.capacity >= self.load.mass:
                end = reach.end(slings, first.end.boom_length)
                if end is not None:
                    firm, mass = end
                    enough = full_pull(self.rig.crane, first.firm_from, firm)
                    self.outcomes[slings] = _Outcome(firm - first.firm_from, enough and enough[0], mass)
        self._ranked = sorted(self._sequences(), key=self._rank)

    @property
    def bound(self) -> Rank:
        """No method made of it ranks before this."""
        return self._rank(self._ranked[0])[0]

    def method(self) -> Method:
        """The method, with the later passes that are worth their time."""
        passes, wanted = self.best()
        out = self.rig.drum_to_head(passes[-1].end.boom_length) + self.rig.between_falls
        limit = 1 - (out + self.rig.falls * self.rig.crane.case.reeving.upper_stop) / self.rope_length
        return Method(self.name, passes, limit, wanted)

    def best(self) -> tuple[tuple[Pass, ...], tuple[Wanted, ...]]:
        """The passes, the first included, and those passed over only for want of tension, the best for each length of
        slings."""
        wanted: dict[Slings, Wanted] = {}
        for sequence in self._ranked:
            needed = max((self._needed(slings) for slings in sequence), default=0.0)
            loose = self._suspended < needed * (1 - ROUNDING)
            if loose and sequence[-1] in wanted:
                continue
            passes = self._made(sequence)
            if passes is None:
                continue
            if not loose:
                return passes, tuple(wanted.values())
            hung = self.rig.block.mass + self.first.slings.mass
            wanted[sequence[-1]] = self._rank(sequence)[0], needed - hung
        raise AssertionError("the first pass alone is always there")

    def _needed(self, slings: Slings) -> float:
        """Suspended mass in the first pass with which these `slings` lay every wrap firm: longer slings that weigh less
        leave less on the hook [kg]."""
        return self.outcomes[slings].mass + max(0.0, self.first.slings.mass - slings.mass)

    def _sequences(self) -> Iterator[tuple[Slings, ...]]:
        """Every row of growing sling lengths whose last pass is worth its time; none at all is one."""
        longer = [slings for slings in self.outcomes if slings is not self.first.slings]
        most = most_passes(self.rig, self.load) - 1

        def grow(sequence: tuple[Slings, ...], begin: int) -> Iterator[tuple[Slings, ...]]:
            if not sequence or self._worth(sequence):
                yield sequence
            if len(sequence) < most:
                for at in range(begin, len(longer)):
                    yield from grow((*sequence, longer[at]), at + 1)

        return grow((), 0)

    def _worth(self, sequence: tuple[Slings, ...]) -> bool:
        """Whether the last pass lets fewer falls take full line pull, or is the first to reach the target."""
        crane = self.rig.crane
        last = self.outcomes[sequence[-1]]
        before = self.outcomes[sequence[-2] if len(sequence) > 1 else self.first.slings]
        if last.firm_rope <= before.firm_rope:
            return False
        if last.falls is not None and (before.falls is None or last.falls < before.falls):
            return True
        target = crane.case.values.target_share * self.rope_length
        had, has = (firm_in_all(crane, self.first.firm_from, one.firm_rope) >= target for one in (before, last))
        return has and not had

    def _rank(self, sequence: tuple[Slings, ...]) -> tuple[Rank, float]:
        last = sequence[-1] if sequence else self.first.slings
        outcome = self.outcomes[last]
        return rank(outcome.falls, outcome.firm_rope / self.rope_length, len(sequence)), last.length

    def _made(self, sequence: tuple[Slings, ...]) -> tuple[Pass, ...] | None:
        """The first pass and those of a `sequence`, None where one of them cannot be done."""
        passes = [self.first]
        for slings in sequence:
            found = self.reach.after(passes[-1], slings)
            if found is None:
                return None
            passes.append(found)
        return tuple(passes)


def left(rig: Rig, end: State) -> Left:
    """What a load of a `rig` that is landed at the state `end` leaves to the next pass."""
    radius, lowered = slack_needed(rig, end)
    return Left(radius, lowered, rig.rope_on_drum(end) - firm_to(rig, end, lowered))


def _after(rig: Rig, load: Load, before: Pass, slings: Slings, at_end: Left) -> Pass:
    """The pass with these `slings` that follows another, which leaves what stands `at_end`.  Errors: Refusal where it
    cannot be done."""
    end = before.end
    moves, hung = later_moves(rig, load, slings, end, slings.length - before.slings.length, at_end)
    moves += luff_out_and_land(rig, moves[-1].after)
    check(rig, moves)
    one = _pass(rig, moves, slings, hung, before, None)
    if one.load_return == "second-load":
        one = replace(one, slew=second_line(rig, load, end, one.pick))
    return one


def most_passes(rig: Rig, load: Load) -> int:
    """How many passes the rule allows a `rig` with a `load`, by how it comes back under the hook."""
    how = rig.crane.case.machine.boom.load_return
    if how == "none":
        return 1
    most = rig.crane.case.values.most_passes
    if how == "second-load":
        return min(most, SECOND_LOAD_PASSES) if twice(load) else 1
    return most
