"""What the log did to the drum: every entry carried out in the ledger.

Three things are assumed, all to the cautious side.  After work the empty block is parked at the upper stop.  For other
falls the boom is lowered and the rope re-reeved through the head, and what then runs onto the drum comes without
tension.  A lattice boom of another length, or a jib, is rigged with all rope on the drum, wound without tension.

The worst case of many lifts leaves no wrap tighter than those lifts, in whatever order:

- The smallest radius has the highest boom head.  With the lowest hook there most rope leaves the drum, and at every
  count the lead line hangs longest and takes most from the tension.
- A load set down lets wraps slip to what the empty block draws while it is lowered, least at the smallest radius with
  the highest hook.  Up to the most rope on the drum with which a load may have been set down, none is laid with more.
- Rope that lay slacker there stays so: no lift need have reached it.
- All of it may come with the empty block on its way to the upper stop, at the smallest radius.
- What the load itself laid comes off again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import singledispatchmethod
from typing import Final, cast

from calc.data.entries import Done, Entry, Jump, NewRope, PreTensioning, ReReeving, Shortening, Unwinding, Work
from calc.data.look_up import CaseFor, with_machine
from calc.data.model import Case
from calc.drum_log.drum_fields import How
from calc.formulas import drum, ledger, reeving
from calc.formulas.ledger import Stack
from calc.winding.firm import LEAST_TENSION
from calc.winding.rig import Crane, Rig, State

# What laid a run of rope, beside the number of its entry; the last: rope that is off the drum now and goes back on
# with nothing but the empty block.
NEW: Final = "new"
FIRM: Final = "firm"
LOADED: Final = "loaded"
EMPTY: Final = "empty"
PARKED: Final = "parked"
UNDER_NO_LOAD: Final = "no-load"
NOT_WOUND: Final = "not-wound"


@dataclass(frozen=True)
class After:
    """The drum after an entry of the log: rope on it, rope there is [m], the rig in use, the least rope that was on
    the drum meanwhile [m]."""

    entry: int
    stack: Stack
    rope_length: float
    rig: Rig | None
    least_rope: float


def drums(log: Iterable[Entry], case_for: CaseFor, day: str) -> tuple[After, ...]:
    """The drum after every entry of a `log` up to a `day`; `case_for` gives the case of the machine with a boom length.

    Errors: ValueError where the log cannot have happened (`logbook` refuses such a log before).
    Rules: overlap, drum-drag, sheave-efficiency.
    """
    teller = _Teller(case_for)
    return tuple(teller.carry_out(number, entry.done) for number, entry in enumerate(log) if entry.day <= day)


def crane(case: Case, rope_length: float) -> Crane:
    """The crane of a `case` whose rope has another length than the machine's data say: `rope_length` [m]."""
    rope = replace(case.machine.rope, length=rope_length)
    return Crane(with_machine(case, replace(case.machine, rope=rope)))


def lowered_rope(rig: Rig) -> float:
    """Rope on the drum of a `rig` with the boom lowered for reeving and the block at the upper stop [m].

    L_rope - P - w - n*s_min; a telescopic boom is telescoped in to its shortest listed length
    """
    case = rig.crane.case
    length = case.chart.boom_length
    if case.machine.kind == "telescopic":
        length = case.configuration.charts[0].boom_length
    falls = rig.falls * case.reeving.upper_stop
    return case.machine.rope.length - rig.drum_to_head(length) - rig.between_falls - falls


def highest_hook(rig: Rig, radius: float) -> float:
    """Hook height of a `rig` at the upper stop at this `radius` [m]."""
    case = rig.crane.case
    return rig.crane.head(case.chart.boom_length, radius) - rig.block.height - case.reeving.upper_stop


def hook_with(rig: Rig, radius: float, boom_length: float, rope_on_drum: float) -> float:
    """Hook height of a `rig` that leaves so much `rope_on_drum` [m], at a `radius` and `boom_length` [m]."""
    out = rig.crane.case.machine.rope.length - rope_on_drum
    fall = (out - rig.drum_to_head(boom_length) - rig.between_falls) / rig.falls
    return rig.crane.head(boom_length, radius) - rig.block.height - fall


def wound_between(rig: Rig, done: PreTensioning) -> tuple[State, State]:
    """Where a counted pass began and ended: what was `done` with a `rig`, by the rope the counts leave on the drum."""
    load = done.load - rig.block.mass
    places = zip(done.boom_length, done.radius, (done.drum_before, done.drum_after), strict=True)
    start, end = (
        State(length, radius, hook_with(rig, radius, length, drum.rope_at(rig.crane.layers, *place)), done.falls, load)
        for length, radius, place in places
    )
    return start, end


def empty_tension(rig: Rig, state: State) -> float:
    """Drum tension that holds the rope of a `rig` after the load of this `state` is set down [N].

    What the empty block draws while it goes down; the drag of the drum is no tension.
    """
    return max(rig.tension(state.empty, reeving.PAYING_OUT), LEAST_TENSION)


def cause(entry: int, kind: How) -> str:
    """What laid a run of rope: the number of the `entry` and how, its `kind`.

    >>> cause(3, "loaded")
    '3 loaded'
    """
    return f"{entry} {kind}"


def caused_by(text: str) -> tuple[int, How]:
    """Entry and kind of a `text` that `cause` made.

    >>> caused_by(cause(1, "new"))
    (1, 'new')
    """
    number, _, kind = text.partition(" ")
    return int(number), cast(How, kind)


def _measured(line_pull: float | None, computed: tuple[float, float]) -> tuple[float, float]:
    """Tension at the start and at the end of winding under load [N]: as measured, else as computed."""
    return computed if line_pull is None else (line_pull, line_pull)


class _Teller:
    """Carries out entries one after another; holds the drum, the rope and the rig between two entries."""

    def __init__(self, case_for: CaseFor) -> None:
        self._case_for = case_for
        self._stack: Stack = ()
        self._rope_length = 0.0
        self._rig: Rig | None = None
        self._least = 0.0
        self._entry = 0

    def carry_out(self, number: int, done: Done) -> After:
        self._entry, self._least = number, ledger.held(self._stack)
        self._do(done)
        return After(number, self._stack, self._rope_length, self._rig, self._least)

    # -- one entry ------------------------------------------------------------------------------------------------

    @singledispatchmethod
    def _do(self, done: Done) -> None:
        raise TypeError(f"{done} is no entry of a log")

    @_do.register
    def _(self, done: NewRope) -> None:
        self._rope_length, self._rig = done.length, None
        self._stack = ledger.wind_in((), done.length, done.tension, done.tension, cause(self._entry, NEW))
        self._least = 0.0

    @_do.register
    def _(self, done: PreTensioning) -> None:
        self._rig_up(done.boom_length[0], done)
        rig = self._now
        before, after = (drum.rope_at(rig.crane.layers, *place) for place in (done.drum_before, done.drum_after))
        self._bring_to(before, 0.0, UNDER_NO_LOAD)
        start, end = wound_between(rig, done)
        tensions = (rig.winding_tension(start), rig.winding_tension(end))
        self._wind(after - before, *_measured(done.line_pull, tensions), FIRM)
        self._set_down(rig, end)

    @_do.register
    def _(self, done: Work) -> None:
        self._rig_up(done.boom_length, done)
        if done.largest_radius is None:
            self._lift(self._now, done)
        else:
            self._worst_of(self._now, done, done.largest_radius)

    def _lift(self, rig: Rig, done: Work) -> None:
        """Lifts of one kind."""
        taken, left = (State(done.boom_length, done.radius, hook, done.falls, done.load) for hook in done.hook)
        bare = taken._replace(load=0.0)
        self._bring_to(rig.rope_on_drum(taken), rig.tension(bare, reeving.HAULING), EMPTY)
        # once, however often: the next lift would lay again exactly what this one laid
        self._move_hook(rig, taken, left, LOADED if done.load else EMPTY, done.line_pull)
        self._set_down(rig, left)
        self._move_hook(rig, left._replace(load=0.0), bare, EMPTY)
        parked = bare.at_height(max(highest_hook(rig, done.radius), bare.hook_height))
        self._move_hook(rig, bare, parked, PARKED)

    def _worst_of(self, rig: Rig, done: Work, largest_radius: float) -> None:
        """Many lifts by their limits; why these are the worst ones stands at the top."""
        low, high = (State(done.boom_length, done.radius, hook, done.falls, 0.0) for hook in done.hook)
        parked = high.at_height(max(highest_hook(rig, done.radius), high.hook_height))
        far = high.at_radius(largest_radius)
        far = far.at_height(min(far.hook_height, highest_hook(rig, largest_radius)))
        lowest, landed, top = (rig.rope_on_drum(at) for at in (low, far, parked))
        least = rig.tension(high, reeving.PAYING_OUT)
        self._pay_out(max(0.0, ledger.held(self._stack) - landed))
        self._bring_to(max(lowest, ledger.held(self._stack)), least, EMPTY)
        self._stack, lay = ledger.parted(self._stack, lowest)
        self._least = min(self._least, lowest)
        self._set_down(rig, high)
        laid = ledger.wind_in((), landed - lowest, least, least, cause(self._entry, EMPTY))
        first, last = (rig.tension(at, reeving.HAULING) for at in (low, parked))
        up = ledger.wind_in((), top - lowest, first, last, cause(self._entry, PARKED))
        self._stack += ledger.smaller(ledger.smaller(lay, laid), up)

    @_do.register
    def _(self, done: ReReeving) -> None:
        self._rig_up(done.boom_length, done)

    @_do.register
    def _(self, done: Unwinding) -> None:
        self._pay_out(done.length)
        self._wind(done.length, 0.0, 0.0, UNDER_NO_LOAD)

    @_do.register
    def _(self, done: Jump) -> None:
        """The tensions are as they were; what a jump asks for is a rule's business."""

    @_do.register
    def _(self, done: Shortening) -> None:
        self._rope_length -= done.length
        if done.end == "drum":
            self._pay_out(ledger.held(self._stack))
            self._wind(self._rope_length, 0.0, 0.0, UNDER_NO_LOAD)
        else:
            self._pay_out(max(0.0, ledger.held(self._stack) - self._rope_length))
        self._rig = None

    # -- what entries are made of -----------------------------------------------------------------------------------

    @property
    def _now(self) -> Rig:
        assert self._rig is not None, "every entry that works the rope rigs it first"
        return self._rig

    def _rig_up(self, boom_length: float, done: PreTensioning | Work | ReReeving) -> None:
        """Reeve as it was for what was `done`; nothing happens when the rope is reeved so already."""
        case = self._case_for(boom_length, done.configuration)
        block = next(block for block in case.machine.blocks if block.id == done.block)
        rig = crane(case, self._rope_length).rig(done.falls, block)
        before, self._rig = self._rig, rig
        if before is not None and self._same_boom(before, rig):
            if (before.falls, before.block) == (rig.falls, block):
                return
            self._bring_to(lowered_rope(before), 0.0, UNDER_NO_LOAD)
        elif before is not None:
            self._wind(self._rope_length - ledger.held(self._stack), 0.0, 0.0, UNDER_NO_LOAD)
        self._bring_to(lowered_rope(rig), 0.0, UNDER_NO_LOAD)

    @staticmethod
    def _same_boom(before: Rig, rig: Rig) -> bool:
        """Whether boom and jib are not rigged anew between the two; a telescopic boom never is."""
        case = rig.crane.case
        if before.crane.case.jib != case.jib:
            return False
        return case.machine.kind == "telescopic" or before.crane.case.chart.boom_length == case.chart.boom_length

    def _move_hook(self, rig: Rig, before: State, after: State, kind: How, measured: float | None = None) -> None:
        wound = rig.rope_on_drum(after) - rig.rope_on_drum(before)
        if wound < 0:
            self._pay_out(-wound)
            return
        tensions = (rig.tension(before, reeving.HAULING), rig.tension(after, reeving.HAULING))
        self._wind(wound, *_measured(measured, tensions), kind)

    def _bring_to(self, rope_on_drum: float, tension: float, kind: How) -> None:
        """Wind in or pay out until so much rope is on the drum."""
        wound = rope_on_drum - ledger.held(self._stack)
        if wound < 0:
            self._pay_out(-wound)
        else:
            self._wind(wound, tension, tension, kind)

    def _pay_out(self, length: float) -> None:
        self._stack = ledger.pay_out(self._stack, length)
        self._least = min(self._least, ledger.held(self._stack))

    def _wind(self, length: float, first: float, last: float, kind: How) -> None:
        self._stack = ledger.wind_in(self._stack, length, first, last, cause(self._entry, kind))

    def _set_down(self, rig: Rig, state: State) -> None:
        values = rig.crane.case.values
        empty = empty_tension(rig, state)
        self._stack = ledger.set_down(self._stack, rig.crane.layers, empty, values.rope_friction)


def carry_out(stack: Stack, rig: Rig, moves: Iterable[tuple[State, State]], kind: str) -> Iterator[Stack]:
    """The drum after each of the `moves` of a plan, a `stack` before: winding moves wind in at the tension of freely
    running sheaves, others pay out; the rope they lay is called `kind`."""
    for before, after in moves:
        wound = rig.rope_on_drum(after) - rig.rope_on_drum(before)
        if wound < 0:
            stack = ledger.pay_out(stack, -wound)
        else:
            first, last = rig.winding_tension(before), rig.winding_tension(after)
            stack = ledger.wind_in(stack, wound, first, last, kind)
        yield stack
