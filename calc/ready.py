"""Is the drum ready for a heavy lift: the falls to reeve, the pull on the rope, the bed it lies on.

May import: model, drum, ledger, reeving, tables (units), rig, duty.  Must not know: rules, files, pages.

The bed of a lift is the rope on the drum when the load is picked from the ground, less the dead wraps and the part of
layer 1 that the rules let lie unreached.  It must hold the pull of the rope laid on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import count as count_from
from math import floor, log10

from calc import ROUNDING, drum, duty, ledger, reeving, tables
from calc.ledger import Stretch
from calc.model import Block, Done, Entry, Jump, NewRope, PreTensioning
from calc.rig import Crane, Rig, State

# What makes all of the rope due until it is wound firm -> the rule that says so.
ALL_DUE: dict[type[Done], str] = {NewRope: "due-new-rope", Jump: "due-after-slack"}


@dataclass(frozen=True)
class Lift:
    """A load from the ground on so many falls: the rig, the states when it is picked and at the upper stop, the rated
    capacity at the radius as the crew reads it [kg]."""

    rig: Rig
    pick: State
    top: State
    capacity: float

    @cached_property
    def bed(self) -> float:
        """Rope on the drum when the load is picked: what hangs is stretched, so more of it is on the drum [m]."""
        on_drum = self.rig.rope_on_drum(self.pick)
        crane = self.rig.crane
        out = crane.case.machine.rope.length - on_drum
        return on_drum + crane.stretch(self.rig.free_lead_line(self.pick), out)

    @property
    def capacity_use(self) -> float:
        """Gross load as a share of the rated capacity [-]."""
        return self.rig.gross(self.pick) / self.capacity

    @cached_property
    def lead_line(self) -> float:
        """Largest pull of the lead line on the way up [N]."""
        return max(self.rig.lead_line(state, reeving.HAULING) for state in (self.pick, self.top))

    @property
    def pull_share(self) -> float:
        """Pull of the lead line as a share of the rated line pull [-]."""
        return self.lead_line / self.rig.crane.case.machine.winch.rated_line_pull

    def hook_speed(self) -> tuple[float, str]:
        """Highest hook speed at the pick [m/s], and what limits it: drum or power.

        v = min(v_i, P*eta/T_lead)/n
        """
        layer, _ = self.rig.position(self.pick)
        by_drum = self.rig.crane.line_speeds[layer - 1]
        case = self.rig.crane.case
        power = case.machine.winch.power * case.values.winch_efficiency
        by_power = power / self.rig.lead_line(self.pick, reeving.HAULING)
        return min(by_drum, by_power) / self.rig.falls, "drum" if by_drum <= by_power else "power"


@dataclass(frozen=True)
class Option:
    """One number of falls: the lift, or the code of what stands against it."""

    falls: int
    block: Block
    lift: Lift | None
    refused: str | None


@dataclass(frozen=True)
class Bed:
    """What a lift lies on: least tension at laying [N], None where it lies on nothing but rope that may stay unreached;
    the loose stretches, from the dead end outward; rope laid loose where it may stay unreached [m]."""

    least: float | None
    loose: tuple[Stretch, ...]
    unreached_loose: float

    @property
    def deepest(self) -> float | None:
        """Where the deepest loose wrap begins, as rope from the dead end [m]."""
        return self.loose[0].start if self.loose else None

    @property
    def length(self) -> float:
        """Rope that lies loose [m]."""
        return sum((stretch.end - stretch.start for stretch in self.loose), 0.0)


def options(crane: Crane, load: float) -> tuple[Option, ...]:
    """Every number of falls for a load, the fewest first.

    Parameters
    ----------
    crane : the crane with one boom length
    load : mass below the hook block, slings included, [kg], above 0

    Returns: an Option for every number of falls boom head and blocks take.
    Errors: ValueError for a load not above 0.  Rules: falls-for-lifting, chart-use, chart-deductions.
    """
    if not load > 0:
        raise ValueError(f"load is {load}; it lies above 0")
    return tuple(_option(crane, falls, load) for falls in crane.blocks)


def chosen(found: tuple[Option, ...]) -> Option | None:
    """As many falls as practicable: the most among those `found` that nothing stands against."""
    return next((option for option in reversed(found) if option.lift), None)


def round_loads(crane: Crane) -> tuple[float, ...]:
    """Loads a `crane` can lift from the ground, rising in round steps of 1, 2 or 5 x 10^k kg, or lb where its data are
    in US units [kg].

    The largest step of which six or more can be lifted; of more than ten the heaviest ten.  Empty where it lifts
    nothing.
    """

    def liftable(load: float) -> bool:
        return any(_option(crane, falls, load).lift for falls in crane.blocks)

    machine = crane.case.machine
    unit = tables.KILOGRAMS_PER_POUND if machine.units == "us" else 1.0
    most = max(block.capacity for block in machine.blocks)
    for exponent in range(floor(log10(most / unit)), -1, -1):
        for digit in (5, 2, 1):
            step = digit * 10.0**exponent * unit
            if liftable(6 * step):
                count = next(n for n in count_from(7) if not liftable(n * step))
                return tuple(step * n for n in range(max(1, count - 10), count))
    return ()


def _option(crane: Crane, falls: int, load: float) -> Option:
    blocks = [b for b in crane.case.machine.blocks if b.least_falls <= falls <= b.most_falls]
    strong = [b for b in blocks if b.capacity * (1 + ROUNDING) >= load]
    block = min(strong or blocks, key=lambda b: b.mass)
    if not strong:
        return Option(falls, block, None, "block-capacity")
    rig = crane.rig(falls, block)
    lift = _furthest(rig, load)
    if lift is None:
        return Option(falls, block, None, "over-capacity")
    if lift.bed < crane.stop_rope:
        return Option(falls, block, None, "stop-wraps")
    pull = rig.pull_limit(lift.top)
    if lift.lead_line > pull * (1 + ROUNDING):
        return Option(falls, block, None, "line-pull")
    return Option(falls, block, lift, None)


def _furthest(rig: Rig, load: float) -> Lift | None:
    """The lift at the largest listed radius that carries it: the lower the head, the more rope it lies on.

    The crew reads the loaded radius, so no growth is added to it.
    """
    case = rig.crane.case
    length, hook = case.chart.boom_length, rig.crane.usual_hook
    for radius, carried in reversed(case.chart.rows):
        if carried < rig.block.mass + load:
            continue  # before anything is asked about the place
        pick = State(length, radius, hook, rig.falls, load)
        top = pick.at_height(duty.highest_hook(rig, radius))
        if top.hook_height > hook and rig.gross(pick) <= carried * (1 + ROUNDING):
            return Lift(rig, pick, top, carried)
    return None


def bed(crane: Crane, now: duty.After, rope_on_drum: float, unreached: float) -> Bed:
    """What a lift lies on.

    Parameters
    ----------
    crane : with the rope length the log has come to
    now : the drum after the last entry of the log
    rope_on_drum : rope on the drum when the load is picked, [m]
    unreached : rope of layer 1, above the dead wraps, that may lie unreached, [m]

    Returns: a Bed; rope that is not on the drum now goes onto it before the lift with nothing but the empty block: it
    counts with no tension.
    Errors: ValueError out of range.  Rules: firm-tension, unreached-rope.
    """
    values = crane.case.values
    limit = values.firm_tension_share * crane.case.machine.winch.rated_line_pull * (1 - ROUNDING)
    start = min(crane.dead_rope + unreached, rope_on_drum)
    missing = max(0.0, rope_on_drum - ledger.held(now.stack))
    stack = ledger.wind_in(now.stack, missing, 0.0, 0.0, duty.cause(now.entry, duty.NOT_WOUND))
    under = ledger.between(stack, start, rope_on_drum)
    found = ledger.stretches(stack, limit)
    loose = tuple(_clipped(found, start, rope_on_drum))
    # layer 1 of a smooth drum never unwinds, and yet a lift bears on it
    beneath = _clipped(found, values.dead_wraps * crane.layers[0].wrap_length, start)
    unreached_loose = sum((stretch.end - stretch.start for stretch in beneath), 0.0)
    return Bed(min((stretch.least for stretch in under), default=None), loose, unreached_loose)


def _clipped(found: tuple[Stretch, ...], start: float, end: float) -> Iterator[Stretch]:
    for stretch in found:
        first, last = max(start, stretch.start), min(end, stretch.end)
        if last - first > ledger.LENGTH:
            yield Stretch(first, last, stretch.least, stretch.most, stretch.cause)


def unanswered(crane: Crane, log: Sequence[Entry], unreached: float) -> Iterator[int]:
    """The new rope on the drum and every wrap seen to jump in it that no pre-tensioning since has answered.

    What lay loose beneath a pre-tensioning the ledger knows; what jumped it does not: there winding firm counts only
    when it began beneath the layer that jumped, or where rope may stay unreached.

    Parameters
    ----------
    crane : with the rope length the log has come to
    log : entries up to a day, oldest first, the first a new rope
    unreached : as in `bed`

    Returns: numbers of the entries; as long as there is one, all of the rope is due.
    Errors: none.  Rules: due-new-rope, due-after-slack.
    """
    fitted = max(number for number, entry in enumerate(log) if isinstance(entry.done, NewRope))
    for number, entry in enumerate(log[fitted:], start=fitted):
        if isinstance(entry.done, (NewRope, Jump)):
            since = (after.done for after in log[number:] if isinstance(after.done, PreTensioning))
            begun = min((drum.rope_at(crane.layers, *done.drum_before) for done in since), default=None)
            if begun is None or begun > _beneath(crane, entry.done, unreached):
                yield number


def _beneath(crane: Crane, done: NewRope | Jump, unreached: float) -> float:
    """Where winding firm must begin, at the latest, as rope from the dead end [m]."""
    if isinstance(done, NewRope):
        return crane.case.machine.rope.length
    return max(crane.dead_rope + unreached, drum.rope_at(crane.layers, done.layer, 0.0))
