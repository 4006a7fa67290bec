"""The planner: which falls and which load wind the rope firm, chosen among finished plans.

`Rig.refusal` holds every limit, `moves` strings states together, `methods` makes passes of them; here finished plans
are compared.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from operator import itemgetter

from calc.data.model import Case
from calc.fields import MethodName
from calc.formulas import ROUNDING, reeving
from calc.winding.codes import LoserCode, RefusalCode
from calc.winding.firm import firm_from, reaches, unreached_limit
from calc.winding.makeup import Load, Slings
from calc.winding.methods import (
    Begun,
    Method,
    Rank,
    Reach,
    Refused,
    Wanted,
    firm_mass,
    luff_out,
    most_passes,
    rank_of,
    starts,
    telescope_in,
)
from calc.winding.moves import counted, start_state
from calc.winding.rig import Crane, Refusal, Rig, State

LAST: Rank = (True, 1, 1, 1)  # of what is refused


@dataclass(frozen=True)
class Attempt:
    """The plan for one number of falls."""

    rig: Rig
    load: Load
    slings: Slings
    start: State  # the load on the ground, its slings just straight
    luff_out: Method | Refused
    telescope_in: Method | Refused | None
    tried: tuple[Method | Refused, ...] = ()  # with all slings to start with, but for those that could be no better

    @property
    def methods(self) -> tuple[Method, ...]:
        return tuple(method for method in (self.luff_out, self.telescope_in) if isinstance(method, Method))

    @property
    def wanted(self) -> tuple[Wanted, ...]:
        """What heavier loads could do better, at best."""
        return tuple(one for method in self.tried for one in method.wanted if one[0] <= self.rank)

    @property
    def suspended(self) -> float:
        return self.rig.suspended(self.start)

    @property
    def unreached(self) -> float:
        """Rope above the dead wraps that is not unwound, the slings just straight [m]."""
        return self.rig.rope_on_drum(self.start) - self.rig.crane.dead_rope

    @property
    def firm_from(self) -> float:
        """Rope on the drum where firm rope begins; at the pick, if all methods are refused [m]."""
        return self.methods[0].passes[0].firm_from if self.methods else self.rig.rope_on_drum(self.start)

    @property
    def reaches(self) -> bool:
        """Whether no more stays unreached than the rule allows."""
        return reaches(self.rig.crane, self.firm_from)

    @property
    def counted(self) -> State:
        """The empty hook when the slings are shackled on: what the drum shows there is counted."""
        return counted(self.rig, self.start)

    @property
    def firm_mass(self) -> float:
        """Suspended mass that keeps the firm tension through every winding move [kg]."""
        return firm_mass(self.rig, (state for method in self.methods for state in method.winding_states))

    @property
    def least_tension(self) -> float:
        """Least tension at which rope is wound under load [N]."""
        states = [state for method in self.methods for state in method.winding_states] or [self.start]
        return min(self.rig.winding_tension(state) for state in states)

    @property
    def best(self) -> Method | None:
        """The method to take first: by `rank_of`, then the shortest."""
        length = self.rig.crane.case.machine.rope.length
        return min(self.methods, key=lambda m: (rank_of(m, length), m.duration), default=None)

    @property
    def rank(self) -> Rank:
        """The rank of its best method; a refused attempt comes last."""
        best = self.best
        return LAST if best is None else rank_of(best, self.rig.crane.case.machine.rope.length)


@dataclass(frozen=True)
class Plan:
    """The chosen attempt with what it was chosen against."""

    crane: Crane
    attempt: Attempt
    estimate: int
    exact: float | None
    runner_up: tuple[int, LoserCode] | None
    bed_needed: tuple[tuple[int, float], ...]
    refused: RefusalCode | None


# -- one number of falls ----------------------------------------------------------------------------------------


@lru_cache(maxsize=256)
def attempt(crane: Crane, falls: int) -> Attempt:
    """The plan of a `crane` for this number of `falls`, with the load that winds best and of equals the lightest.

    On the lightest block that takes them; where none of its methods goes, on the next heavier one that makes one go:
    more of the load is then in the block and less on the slings.  Remembered: what would help a plan asks for the same
    again.
    Errors: Refusal when no block takes these falls, no weights make up the least load, or no radius lets it be hung.
    """
    first: Attempt | Refusal = Refusal("weights-not-at-hand")
    for number, block in enumerate(crane.blocks_for(falls)):
        found: Attempt | Refusal
        try:
            found = attempt_with(crane.rig(falls, block))
        except Refusal as refusal:
            found = refusal
        if isinstance(found, Attempt) and found.methods:
            return found
        first = first if number else found
    if isinstance(first, Refusal):
        raise first
    return first


def attempt_with(rig: Rig) -> Attempt:
    """The plan of a `rig`, as `attempt`.

    Of loads that hang alike and allow as many passes, more never reaches further, so it helps only where the tension
    fell short: after the lightest only those are tried that just keep the tension in something better, the best first.
    A heavier load whose later pass would count only because its own first pass comes to less is no better plan.
    """
    alike: dict[tuple[float, int], list[Load]] = {}
    for load in enough_load(rig):
        alike.setdefault((round(load.hook_height, 3), most_passes(rig, load)), []).append(load)
    if not alike:
        raise Refusal("weights-not-at-hand")
    best: Attempt | None = None
    refused: Refusal | None = None
    for loads in alike.values():
        try:
            best = _best_of(rig, loads, best)
        except Refusal as refusal:
            refused = refusal
    if best is None:
        assert refused is not None
        raise refused
    return best


def _best_of(rig: Rig, loads: list[Load], best: Attempt | None) -> Attempt:
    """The better of an attempt found before and the best with these `loads`, which hang alike, lightest first."""
    best, wanted = _better(best, Prospect(rig, loads[0]))
    tried = {0}
    while wanted:
        at_best, mass = min(wanted)
        wanted.remove((at_best, mass))
        if best.reaches and at_best > best.rank:
            break
        number = next((n for n, load in enumerate(loads) if load.mass >= mass * (1 - ROUNDING)), None)
        if number is None or number in tried:
            continue
        if best.reaches and at_best == best.rank and loads[number].mass >= best.load.mass:
            continue
        tried.add(number)
        try:
            heavier = Prospect(rig, loads[number])
        except Refusal:
            continue
        best, more = _better(best, heavier)
        wanted += more
    return best


def _better(best: Attempt | None, other: Prospect) -> tuple[Attempt, list[Wanted]]:
    """The better of an attempt found before and of the `other`, which is worked out only where it may be better, and
    what heavier loads could do better than that."""
    if best is not None and other.place > _place(best):
        return best, [one for method in other.refused for one in method.wanted]
    found = other.attempt()
    return found if best is None else min(best, found, key=_place), list(found.wanted)


_Place = tuple[bool, bool, Rank, float]


def _place(found: Attempt) -> _Place:
    """Place of an attempt among those with other loads, the best first."""
    return not found.methods, not found.reaches, found.rank, found.load.mass


def towards_aim(found: Attempt) -> Attempt:
    """The attempt `found` with the load that comes nearest to the tension aimed at: the next heavier one, again and
    again, as long as it costs nothing."""
    rig, machine = found.rig, found.rig.crane.case.machine
    aim = rig.crane.case.values.aimed_tension_share * machine.rope.minimum_breaking_force * (1 - ROUNDING)
    best = found
    for load in rig.crane.loads:
        if not best.methods or best.least_tension >= aim:
            break
        if load.mass <= found.load.mass:
            continue
        other = _as_good(found, load)
        if other is None:
            break
        best = other
    return best


def _as_good(found: Attempt, load: Load) -> Attempt | None:
    """The same passes with another `load`, or None where one cannot be done or they are worth less."""
    methods = {method.name: method.again(found.rig, load) for method in found.methods}
    if None in methods.values():
        return None
    other = replace(
        found,
        load=load,
        start=start_state(found.rig, load, found.slings),
        luff_out=methods.get("luff-out") or found.luff_out,
        telescope_in=methods.get("telescope-in") or found.telescope_in,
    )
    return other if _worth(other) == _worth(found) else None


def _worth(found: Attempt) -> list[tuple[MethodName, Rank]]:
    length = found.rig.crane.case.machine.rope.length
    return [(method.name, rank_of(method, length)) for method in found.methods]


def enough_load(rig: Rig) -> Iterator[Load]:
    """The loads of the yard that satisfy the load rule for a `rig` with the slings used first, lightest first."""
    share = rig.crane.case.values.accepted_share * (1 - ROUNDING)
    least = rig.least_mass * share - rig.block.mass - rig.crane.slings[0].mass
    return (load for load in rig.crane.loads if load.mass >= least)


def with_load(rig: Rig, load: Load) -> Attempt:
    """The plan of a `rig` with this `load`, started with the slings that lead to the best of its methods.

    Errors: Refusal where no radius lets it be hung.
    """
    return Prospect(rig, load).attempt()


# no methods; rope on the drum where firm rope begins if more stays unreached than the rule allows [m]; rank
_Left = tuple[bool, float, Rank]


def _left(found: Attempt) -> _Left:
    """Place of an attempt among those with other slings to start with: where too much stays unreached, those that leave
    least of it come first."""
    return not found.methods, 0.0 if found.reaches else found.firm_from, found.rank


class Prospect:
    """A load on a rig, its first pass begun with all slings that it can start with: what it comes to at best is known
    before the passes after that are worked out.

    Errors: Refusal where no radius lets the load be hung.
    """

    def __init__(self, rig: Rig, load: Load) -> None:
        self.rig, self.load = rig, load
        self._reach = Reach(rig, load)
        self._starts = [self._begun(slings, start) for slings, start in starts(rig, load)]

    def _begun(self, slings: Slings, start: State) -> tuple[_Left, Slings, State, list[Refused | Begun]]:
        rig = self.rig
        methods = [luff_out(self._reach, slings, start)]
        if rig.crane.case.machine.kind == "telescopic":
            methods.append(telescope_in(self._reach, slings, start))
        bounds = [method.bound for method in methods if isinstance(method, Begun)]
        begin = firm_from(rig, start) if bounds else rig.rope_on_drum(start)
        at_best = not bounds, 0.0 if reaches(rig.crane, begin) else begin, min(bounds, default=LAST)
        return at_best, slings, start, methods

    @property
    def place(self) -> _Place:
        """The `_place` of what it comes to at best."""
        none, left, rank = min((none, left > 0, rank) for (none, left, rank), *_ in self._starts)
        return none, left, rank, self.load.mass

    @property
    def refused(self) -> list[Refused]:
        """The methods that do not come through the first pass."""
        return [method for *_, methods in self._starts for method in methods if isinstance(method, Refused)]

    def attempt(self) -> Attempt:
        """The attempt with the best slings to start with, the shortest of equals."""
        found: list[Attempt] = []
        for at_best, slings, start, begun in sorted(self._starts, key=itemgetter(0)):
            if any(_left(one) < at_best and one.rank < at_best[2] for one in found):
                continue  # no better whatever comes of it
            luffed, *short = (one.method() if isinstance(one, Begun) else one for one in begun)
            found.append(Attempt(self.rig, self.load, slings, start, luffed, short[0] if short else None))
        best = min(found, key=lambda one: (_left(one), one.slings.length))
        return replace(best, tried=(*(method for one in found for method in one.methods), *self.refused))


# -- the number of falls ----------------------------------------------------------------------------------------


def plan(case: Case) -> Plan | RefusalCode:
    """The plan of one `case`: the fewest falls that leave no more of the first layer unreached than the rule allows.

    Returns the code of a refusal when no number of falls can even be started.
    """
    crane = crane_of(case)
    try:
        best = best_attempt(crane)
    except Refusal as refusal:
        return refusal.code
    chosen, runner_up = towards_aim(best), _runner_up(crane, best)
    luffing = chosen.luff_out
    return Plan(
        crane,
        chosen,
        reeving.falls_estimate(case.machine.rope.length, crane.bending),
        exact_falls(chosen),
        runner_up,
        crane.beds,
        luffing.code if isinstance(luffing, Refused) and not chosen.methods else None,
    )


@lru_cache(maxsize=64)
def crane_of(case: Case) -> Crane:
    """The crane of a `case`, one object for all that ask, so that what it remembers is asked once."""
    return Crane(case)


RunnerUp = tuple[int, LoserCode] | None  # number of falls and the code of why it lost


def best_attempt(crane: Crane) -> Attempt:
    """The attempt of a `crane` to publish; a refused one only where no falls have a method.

    Errors: Refusal where no falls can even be started.
    """

    def tried(falls: int) -> Attempt | None:
        return _tried(crane, falls)

    def with_method(falls: int) -> Attempt | None:
        found = tried(falls)
        return found if found is not None and found.methods else None

    chosen = fewest_reaching(crane, with_method) or fewest_reaching(crane, tried)
    if chosen is None:
        raise _why_none(crane)
    even = with_method(chosen.rig.falls + 1) if chosen.rig.falls % 2 and chosen.methods and chosen.reaches else None
    return even if even is not None and even.reaches and _equal(chosen, even) else chosen


def _tried(crane: Crane, falls: int) -> Attempt | None:
    try:
        return attempt(crane, falls)
    except Refusal:
        return None


def _why_none(crane: Crane) -> Refusal:
    """Why no falls of a `crane` can be started: by the fewest falls for which the yard has weights."""
    found = Refusal("weights-not-at-hand")
    for falls in crane.blocks:
        try:
            attempt(crane, falls)
        except Refusal as refusal:
            if refusal.code != found.code:
                return refusal
    return found


def _runner_up(crane: Crane, chosen: Attempt) -> RunnerUp:
    """The next best number of falls of a `crane` beside the `chosen` one, and why it lost."""

    def possible(falls: int) -> bool:
        found = _tried(crane, falls)
        return found is not None and bool(found.methods or not chosen.methods)

    falls = chosen.rig.falls
    if not chosen.reaches:
        fewer = next((n for n in reversed(crane.blocks) if n < falls and possible(n)), None)
        return None if fewer is None else (fewer, "leaves-more-unreached")
    odd = _tried(crane, falls - 1)
    if falls % 2 == 0 and odd is not None and odd.methods and odd.reaches:
        return falls - 1, "odd-falls"
    if possible(falls + 1):
        return falls + 1, "shortens-radius-range"
    return (falls - 1, "leaves-more-unreached") if possible(falls - 1) else None


def fewest_reaching(crane: Crane, possible: Callable[[int], Attempt | None]) -> Attempt | None:
    """Of the `possible` attempts of a `crane` the one with the fewest falls that reaches the first layer to be unwound;
    if none does, the one that leaves least unreached.

    An attempt is long work: only those are planned whose bound on the unreached rope still lets them win.
    """
    limit = unreached_limit(crane)
    bounds = {falls: least_unreached(crane, falls) for falls in crane.blocks}
    for falls, bound in bounds.items():
        if bound <= limit and (found := possible(falls)) is not None and found.reaches:
            return found
    best: Attempt | None = None
    for falls, bound in sorted(bounds.items(), key=itemgetter(1)):
        if best is not None and bound > best.firm_from - crane.dead_rope:
            break
        found = possible(falls)
        if found is not None and (best is None or _least_left(found) < _least_left(best)):
            best = found
    return best


def _least_left(found: Attempt) -> tuple[float, int]:
    return found.firm_from, found.rig.falls


def least_unreached(crane: Crane, falls: int) -> float:
    """Rope of a `crane` above the dead wraps that any load and slings leave unreached with so many `falls`, at least
    [m].

    The lowest hook at the least radius draws most rope off; what the count and the least stop margin keep always stays.
    """
    rig = crane.rig(falls, min(crane.blocks_for(falls), key=lambda block: block.height))
    length = crane.case.chart.boom_length
    steep = State(length, crane.least_radius(length), crane.lowest_hook, falls)
    kept = min(rig.rope_kept(margin) for margin in (crane.case.values.stop_margin, rig.length_error))
    return max(rig.rope_on_drum(steep), kept) * (1 - ROUNDING) - crane.dead_rope


def _equal(odd: Attempt, even: Attempt) -> bool:
    """Whether one fall more gives as much (to half a per cent of the rope) in as few passes; both have a method."""
    first, second = odd.best, even.best
    assert first is not None and second is not None
    least = first.firm_rope - 0.005 * odd.rig.crane.case.machine.rope.length
    worse = (second.full_pull_falls is None, second.full_pull_falls or 0) > (
        first.full_pull_falls is None,
        first.full_pull_falls or 0,
    )
    return not worse and second.firm_rope >= least and len(second.passes) <= len(first.passes)


def exact_falls(found: Attempt) -> float | None:
    """Falls with which the hook of an attempt `found`, at the pick, reaches the dead wraps, or the rope known to lie
    firm, at the least radius; None if it does not fit."""
    rig, crane = found.rig, found.rig.crane
    length = crane.case.chart.boom_length
    try:
        falls = reeving.falls_exact(
            min(crane.usable_rope, crane.case.machine.rope.length - crane.case.firm_below),
            rig.drum_to_head(length),
            crane.case.reeving.sheave_radius,
            crane.head(length, crane.least_radius(length)),
            found.start.hook_height,
            rig.block.height,
        )
    except ValueError:
        return None
    return falls if falls > 0 else None
