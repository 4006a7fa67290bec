"""One heavy lift against the drum the log left: the falls to reeve, the pull on the rope, the bed it bears on.

The bed of a lift is the rope on the drum when the load is picked from the ground, less the dead wraps and the part of
layer 1 that the rules let lie unreached.  It must hold the pull of the rope laid on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import count as count_from
from math import floor, log10

from calc import rounding
from calc.data.entries import Done, Entry, Jump, NewRope, PreTensioning
from calc.data.model import Block
from calc.drum_log import history
from calc.drum_log.drum_fields import Advised, LiftRefusal, SpeedLimit, Why
from calc.formulas import ROUNDING, drum, ledger, reeving
from calc.formulas.ledger import Stretch
from calc.winding.rig import Crane, Rig, State

# What makes all of the rope due until it is wound firm -> the rule that says so.
ALL_DUE: dict[type[Done], str] = {NewRope: "due-new-rope", Jump: "due-after-slack"}


@dataclass(frozen=True)
class Lift:
    """A load on so many falls: the rig, the states when it is picked and at the upper stop, the rated capacity at the
    radius as the crew reads it [kg]; the largest radius where the chart carries it and it fits under the head, at the
    hook height of the pick [m]."""

    rig: Rig
    pick: State
    top: State
    capacity: float
    carried_to: float

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

    def hook_speed(self) -> tuple[float, SpeedLimit]:
        """Highest hook speed at the pick [m/s], and what limits it: drum or power.

        v = min(v_i, P*eta/T_lead)/n
        """
        layer, _ = self.rig.position(self.pick)
        by_drum = self.rig.crane.line_speeds[layer - 1]
        case = self.rig.crane.case
        power = case.machine.winch.power * case.values.winch_efficiency
        by_power = power / self.rig.lead_line(self.pick, reeving.HAULING)
        return min(by_drum, by_power) / self.rig.falls, "drum" if by_drum <= by_power else "power"

    @property
    def boom_down(self) -> float:
        """How far the boom alone lets the load down before the chart ends, the hoist held [m]."""
        crane, length = self.rig.crane, self.pick.boom_length
        return crane.head(length, self.pick.radius) - crane.head(length, self.carried_to)

    @cached_property
    def nearer(self) -> tuple[Lift, ...]:
        """The same lift at every listed radius up to `carried_to` and at that of the pick, the largest first, where the
        chart carries it and the hook comes down to it before the stop wraps."""
        crane, pick = self.rig.crane, self.pick
        listed = {radius for radius, _ in crane.case.chart.rows if radius <= self.carried_to}
        at_radii = (_at(self.rig, pick.load, radius, pick.hook_height) for radius in sorted(listed | {pick.radius}))
        return tuple(each for each in at_radii if isinstance(each, Lift) and each.bed >= crane.stop_rope)[::-1]

    def firm_out_to(self, firm_until: float) -> float | None:
        """Largest radius of `nearer` out to which the lift bears on firm rope, where rope is firm up to `firm_until` of
        rope on the drum; None where it does at none [m]."""
        return next((each.pick.radius for each in self.nearer if each.bed <= firm_until + ledger.LENGTH), None)

    def room_out_to(self, largest_use: float) -> float | None:
        """Largest radius of `nearer` at which the chart leaves room to land the load by the boom: no more than
        `largest_use` of it used, and it carries further out; None where there is none [m]."""
        inside = (each for each in self.nearer if each.pick.radius < self.carried_to)
        return next((each.pick.radius for each in inside if each.capacity_use <= largest_use + ROUNDING), None)

    def hook_reserve(self, firm_until: float) -> float:
        """How much higher the hook could be at the pick and the lift still bear on rope that is firm up to `firm_until`
        of rope on the drum; no higher than the upper stop, 0 where the bed is loose [m].

        (F - B)/n: the rope that hangs stretches less the higher the hook, which is left out
        """
        room = self.top.hook_height - self.pick.hook_height
        return max(0.0, min(room, (firm_until - self.bed) / self.rig.falls))

    def most_on_drum(self, firm_until: float) -> float:
        """Most rope on the drum at the pick, read with the slings straight and unloaded, at which the lift bears on
        rope that is firm up to `firm_until` [m]."""
        crane, stretched = self.rig.crane, 0.0
        out = crane.case.machine.rope.length - firm_until
        lower = max(0.0, self.bed - firm_until)
        for _ in range(4):  # what hangs lower and longer stretches more: millimetres
            at = self.pick.at_height(self.pick.hook_height - (lower + stretched) / self.rig.falls)
            stretched = crane.stretch(self.rig.free_lead_line(at), out + stretched)
        return firm_until - stretched


@dataclass(frozen=True)
class Option:
    """One number of falls: the lift, or the code of what stands against it."""

    falls: int
    block: Block
    lift: Lift | None
    refused: LiftRefusal | None


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


def options(crane: Crane, load: float, radius: float | None = None, hook: float | None = None) -> tuple[Option, ...]:
    """Every number of falls that boom head and blocks take for a `load` below the hook block [kg], the fewest first.

    It is picked at a `radius` as the crew reads it [m]; None: for each number of falls the largest listed one that
    carries it.  The `hook` stands so high above the crane's ground [m]; None: `crane.usual_hook`.
    Errors: ValueError for a load not above 0 or a radius outside the listed ones.
    Rules: falls-for-lifting, chart-use, chart-deductions.
    """
    return tuple(option(crane, falls, load, radius, hook) for falls in crane.blocks)


def chosen(options: tuple[Option, ...]) -> Option | None:
    """The most falls among those `options` that nothing stands against."""
    return next((option for option in reversed(options) if option.lift), None)


@dataclass(frozen=True)
class Choice:
    """The rig as reeved now, the fewest falls that pass, the fewest of them that pull little, as many as practicable;
    which of them is advised (reeved, fewest, enough, most) and why, both None where no falls lift the load."""

    reeved: Option | None
    fewest: Option | None
    enough: Option | None
    most: Option | None
    advised: Advised | None
    why: Why | None

    @property
    def best(self) -> Option | None:
        """The falls that are advised."""
        option: Option | None = getattr(self, self.advised) if self.advised else None
        return option


def choose(
    options: tuple[Option, ...], reeved: Option | None, passes: Callable[[Option], bool], little_pull: float
) -> Choice:
    """Which falls to lift on, of all the `options`, the fewest first, and the rig as `reeved` now.

    A rig that passes stays as it is while it pulls little: re-reeving costs more than it gains.  Then the fewest falls
    that pass and pull little count; where none do, as many as practicable.  Where none passes, the falls that are
    advised are those of the lift after pre-tensioning.

    `passes` says whether a lift that nothing stands against passes as well by what it bears on; up to `little_pull`, a
    share of the rated line pull, more falls gain little.  Rules: falls-for-lifting, re-reeving-for-a-lift.
    """
    passing = tuple(each for each in options if each.lift and passes(each))
    pool = passing or tuple(each for each in options if each.lift)
    stays = reeved if reeved and reeved.lift and (passes(reeved) or not passing) else None
    fewest = passing[0] if passing else None
    enough = next((each for each in pool if _pulls_little(each, little_pull)), None)
    most = chosen(pool)
    advice: tuple[Advised, Why]
    if stays and _pulls_little(stays, little_pull):
        advice = "reeved", "little-pull"
    elif stays and (most is None or (stays.falls, stays.block) == (most.falls, most.block)):
        advice = "reeved", "most-already"
    elif enough:
        advice = "fewest" if enough is fewest else "most" if enough is most else "enough", "enough"
    elif most:
        advice = "most", "less-pull"
    else:
        return Choice(reeved, fewest, enough, most, None, None)
    return Choice(reeved, fewest, enough, most, *advice)


def _pulls_little(option: Option, little_pull: float) -> bool:
    return option.lift is not None and option.lift.pull_share <= little_pull + ROUNDING


def round_loads(crane: Crane) -> tuple[float, ...]:
    """Loads a `crane` can lift from the ground, rising in round steps of 1, 2 or 5 x 10^k kg, or lb where its data are
    in US units [kg].

    The largest step of which six or more can be lifted; of more than ten the heaviest ten.  Empty where it lifts
    nothing.
    """

    def liftable(load: float) -> bool:
        return any(option(crane, falls, load).lift for falls in crane.blocks)

    machine = crane.case.machine
    unit = rounding.KILOGRAMS_PER_POUND if machine.units == "us" else 1.0
    most = max(block.capacity for block in machine.blocks)
    for exponent in range(floor(log10(most / unit)), -1, -1):
        for digit in (5, 2, 1):
            step = digit * 10.0**exponent * unit
            if liftable(6 * step):
                count = next(n for n in count_from(7) if not liftable(n * step))
                return tuple(step * n for n in range(max(1, count - 10), count))
    return ()


def block_for(crane: Crane, falls: int, load: float) -> Block:
    """The lightest hook block of a `crane` for so many `falls` that carries a `load` [kg]; where none carries it, the
    lightest that takes the falls."""
    blocks = [b for b in crane.case.machine.blocks if b.least_falls <= falls <= b.most_falls]
    return min([b for b in blocks if _carries(b, load)] or blocks, key=lambda b: b.mass)


def _carries(block: Block, load: float) -> bool:
    return block.capacity * (1 + ROUNDING) >= load


def option(
    crane: Crane,
    falls: int,
    load: float,
    radius: float | None = None,
    hook: float | None = None,
    block: Block | None = None,
) -> Option:
    """One number of falls for a load, all as in `options`, on a `block`; None: `block_for` them."""
    if not load > 0:
        raise ValueError(f"load is {load}; it lies above 0")
    rows = crane.case.chart.rows
    if radius is not None and not rows[0][0] * (1 - ROUNDING) <= radius <= rows[-1][0] * (1 + ROUNDING):
        raise ValueError(f"radius is {radius}; it lies between {rows[0][0]} and {rows[-1][0]}")
    block = block or block_for(crane, falls, load)
    if not _carries(block, load):
        return Option(falls, block, None, "block-capacity")
    rig = crane.rig(falls, block)
    lift = _lift(rig, load, radius, crane.usual_hook if hook is None else hook)
    if isinstance(lift, str):
        return Option(falls, block, None, lift)
    if lift.bed < crane.stop_rope:
        return Option(falls, block, None, "stop-wraps")
    pull = rig.pull_limit(lift.top)
    if lift.lead_line > pull * (1 + ROUNDING):
        return Option(falls, block, None, "line-pull")
    return Option(falls, block, lift, None)


def _lift(rig: Rig, load: float, radius: float | None, hook: float) -> Lift | LiftRefusal:
    """The lift at a radius, or at the largest listed one that carries it: the lower the head, the more rope it bears
    on.  Else the code of what stands against it."""
    furthest: Lift | LiftRefusal = "over-capacity"
    for listed, carried in reversed(rig.crane.case.chart.rows):
        if carried < rig.block.mass + load:
            continue  # before anything is asked about the place
        at_listed = _at(rig, load, listed, hook)
        if at_listed != "over-capacity":
            furthest = at_listed
        if isinstance(at_listed, Lift):
            break
    if radius is None:
        return furthest
    there = _at(rig, load, radius, hook)
    if isinstance(there, str) or isinstance(furthest, str):
        return there
    return replace(there, carried_to=max(radius, furthest.carried_to))


def _at(rig: Rig, load: float, radius: float, hook: float) -> Lift | LiftRefusal:
    """The lift at a radius, or the code of what stands against it.

    Capacity is that of the next larger listed radius.  The crew reads the loaded radius, so no growth is added to it.
    """
    chart = rig.crane.case.chart
    carried = next(carried for listed, carried in chart.rows if listed >= radius * (1 - ROUNDING))
    pick = State(chart.boom_length, radius, hook, rig.falls, load)
    if rig.gross(pick) > carried * (1 + ROUNDING):
        return "over-capacity"
    top = pick.at_height(history.highest_hook(rig, radius))
    if top.hook_height <= hook:
        return "upper-stop"
    return Lift(rig, pick, top, carried, radius)


def bed(crane: Crane, now: history.After, rope_on_drum: float, unreached: float) -> Bed:
    """What a lift lies on that is picked with so much `rope_on_drum` [m], on the drum as it is `now`.

    So much rope of layer 1 above the dead wraps may lie `unreached` [m].  Rope that is not on the drum now goes onto it
    before the lift with nothing but the empty block: it counts with no tension.  Rules: firm-tension, unreached-rope.
    """
    values = crane.case.values
    limit = crane.case.firm_tension * (1 - ROUNDING)
    start = min(crane.dead_rope + unreached, rope_on_drum)
    missing = max(0.0, rope_on_drum - ledger.held(now.stack))
    stack = ledger.wind_in(now.stack, missing, 0.0, 0.0, history.cause(now.entry, history.NOT_WOUND))
    under = ledger.between(stack, start, rope_on_drum)
    too_loose = ledger.stretches(stack, limit)
    loose = tuple(_clipped(too_loose, start, rope_on_drum))
    # layer 1 of a smooth drum never unwinds, and yet a lift bears on it
    beneath = _clipped(too_loose, values.dead_wraps * crane.layers[0].wrap_length, start)
    unreached_loose = sum((stretch.end - stretch.start for stretch in beneath), 0.0)
    return Bed(min((stretch.least for stretch in under), default=None), loose, unreached_loose)


def firm_until(crane: Crane, now: history.After, unreached: float) -> float:
    """Rope on the drum up to which every lift bears on firm rope; where rope lies loose at once above what may stay
    `unreached`, its place [m].  Rules: as `bed`."""
    length = crane.case.machine.rope.length
    deepest = bed(crane, now, length, unreached).deepest
    return length if deepest is None else deepest


def re_reeved(now: history.After, rig: Rig) -> history.After:
    """The drum as it is `now` after re-reeving for another `rig` of the crane, the boom lowered: what was off the drum
    meanwhile goes back loose.  Unchanged where it is reeved so.  Rules: re-reeve-at-the-head."""
    before = now.rig
    if before and (before.falls, before.block.id, _length(before)) == (rig.falls, rig.block.id, _length(rig)):
        return now
    least = history.lowered_rope(rig)
    if before and (rig.crane.case.machine.kind == "telescopic" or _length(before) == _length(rig)):
        least = min(least, history.lowered_rope(before))
    held = ledger.held(now.stack)
    kept = min(held, max(least, rig.crane.dead_rope))
    return replace(now, stack=ledger.pay_out(now.stack, held - kept), rig=rig)


def _length(rig: Rig) -> float:
    return rig.crane.case.chart.boom_length


def _clipped(stretches: tuple[Stretch, ...], start: float, end: float) -> Iterator[Stretch]:
    for stretch in stretches:
        first, last = max(start, stretch.start), min(end, stretch.end)
        if last - first > ledger.LENGTH:
            yield Stretch(first, last, stretch.least, stretch.most, stretch.cause)


def unanswered(crane: Crane, log: Sequence[Entry], unreached: float) -> Iterator[int]:
    """The new rope on the drum and every wrap seen to jump in it that no pre-tensioning since has answered, as numbers
    of their entries in a `log`: as long as there is one, all of the rope is due.

    What lay loose beneath a pre-tensioning the ledger knows; what jumped it does not: there winding firm counts only
    when it began beneath the layer that jumped, or where rope may stay `unreached`.  Rules: due-new-rope,
    due-after-slack.
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
