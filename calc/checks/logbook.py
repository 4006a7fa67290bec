"""Whether a log can have happened: names, order, and what crane and rope can do, which the schema cannot see."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calc import rounding
from calc.data import rope_log
from calc.data.entries import Done, Entry, Jump, NewRope, PreTensioning, ReReeving, Shortening, Unwinding, Upkeep, Work
from calc.data.files import Document, Problem, Where
from calc.data.look_up import NEWEST, CaseFor
from calc.data.model import Machine
from calc.drum_log import history
from calc.formulas import ROUNDING, drum, ledger, reeving
from calc.winding.rig import Crane, Rig, State

_Found = Iterator[Problem]
_Wrong = Iterator[tuple[Where, str]]  # place inside the entry, what is wrong

SAME_DIAMETER = 1e-5  # m: diameters are written to 0.01 mm
OF_AN_ENTRY = ("day", "until", "note", "record")  # what stands in an entry beside what was done
MEASURED_FACTOR = 2.0  # a gauge and the sum of load and falls never differ by more; common practice, no source


def problems(
    document: Document, upkeep: Upkeep, machine: Machine, case_for: CaseFor, before: tuple[Entry, ...] = ()
) -> _Found:
    """Everything in a log that cannot be; `before` is what the log holds that these entries go on from."""
    entries = list(before)
    sound = True
    for number, entry in enumerate(upkeep.log):
        written = document.data["log"][number]
        kind = next(name for name in written if name not in OF_AN_ENTRY)
        here: Where = ("log", number, kind)
        for path, text in _days(entry, entries[-1] if entries else None):
            yield document.problem(("log", number, *path), text)
        if not entries and not isinstance(entry.done, NewRope):
            yield document.problem(here, "comes before any rope; begin the log with new_rope")
            return
        length = rope_log.rope_length(entries, NEWEST) or 0.0
        for path, text in _problems(entry.done, machine, case_for, entries if sound else None, length):
            sound = False
            yield document.problem((*here, *path), text)
        entries.append(entry)
        if (rope_log.rope_length(entries, NEWEST) or 0.0) <= 0:
            return
    yield from _other_rope(document, upkeep, machine)


def _days(entry: Entry, above: Entry | None) -> _Wrong:
    """Days in their order; only work goes on for more than one."""
    if above and entry.day < above.day:
        yield ("day",), f"{entry.day} is before {above.day} above it; list oldest first"
    elif above and entry.day < above.last_day:
        text = f"{entry.day} is before {above.last_day}, when the work above it ended; end that work by this day"
        yield ("day",), text
    if entry.until is None:
        return
    if not isinstance(entry.done, Work):
        yield ("until",), "only work goes on for more than one day; leave it out"
    elif entry.until < entry.day:
        yield ("until",), f"{entry.until} is before {entry.day}, the first day; write the last day of the work"


def _other_rope(document: Document, upkeep: Upkeep, machine: Machine) -> _Found:
    """The rope last put on is another than the machine's data describe: only its length may follow the log."""
    fitted = [(n, entry.done) for n, entry in enumerate(upkeep.log) if isinstance(entry.done, NewRope)]
    for number, done in fitted[-1:]:
        if done.diameter is not None and abs(done.diameter - machine.rope.diameter) > SAME_DIAMETER:
            put_on, listed = (_diameter(each, machine) for each in (done.diameter, machine.rope.diameter))
            text = f"is {put_on}, the data of {machine.id} say {listed}; write a new revision of it with this rope"
            yield document.problem(("log", number, "new_rope", "diameter"), text)


def _problems(
    done: Done, machine: Machine, case_for: CaseFor, before: list[Entry] | None, rope_length: float
) -> _Wrong:
    """What is wrong with one entry; `before` are the entries before it, None when one of them is wrong."""
    shortest = case_for(min(machine.booms))
    if isinstance(done, (Work, PreTensioning, ReReeving)):
        wrong = list(_names(done, machine))
        yield from wrong or _rigged(done, machine, case_for, rope_length)
    elif isinstance(done, NewRope):
        yield from _new_rope(done, history.crane(shortest, done.length))
    elif isinstance(done, Jump):
        layers = len(history.crane(shortest, rope_length).layers)
        if done.layer > layers:
            yield ("layer",), f"is {done.layer}; the rope makes {layers} layers"
    elif isinstance(done, Shortening):
        if done.length >= rope_length:
            yield ("length",), f"is no less than the rope of {_rope(rope_length, machine)}; check the length"
    elif isinstance(done, Unwinding) and before is not None:
        held = ledger.held(history.drums(before, case_for, NEWEST)[-1].stack)
        if done.length > held:
            text = f"is more than the {_rope(held, machine)} that were on the drum; check the length"
            yield ("length",), text


def _new_rope(done: NewRope, crane: Crane) -> _Wrong:
    case = crane.case
    outside = drum.outside_diameter(crane.layers, case.machine.rope.diameter, case.values.freeboard)
    if outside > case.machine.drum.flange_diameter * (1 + ROUNDING):
        text = f"makes {len(crane.layers)} layers, more than fit under the flange; check the length"
        yield ("length",), text


def _names(done: Work | PreTensioning | ReReeving, machine: Machine) -> _Wrong:
    """A configuration there is, boom lengths that are listed, a block there is, falls it takes."""
    chart, listed = "chart", machine.booms
    if done.configuration is not None:
        configuration = machine.configuration(done.configuration)
        if configuration is None:
            known = " ".join(each.id for each in machine.configurations)
            yield ("configuration",), f"there is no configuration '{done.configuration}'; known: {known}"
        else:
            chart = f"chart of {configuration.id}"
            listed = {each.boom_length: each.slug for each in configuration.charts}
    lengths = done.boom_length if isinstance(done, PreTensioning) else (done.boom_length, done.boom_length)
    for length, name in dict(zip(reversed(lengths), ("telescoped_to", "boom_length"), strict=True)).items():
        if length not in listed:
            yield (name,), f"no {chart} lists this boom length; listed: {' '.join(listed.values())}"
    block = next((block for block in machine.blocks if block.id == done.block), None)
    if block is None:
        yield ("block",), f"there is no block '{done.block}'; known: {' '.join(b.id for b in machine.blocks)}"
    elif not block.least_falls <= done.falls <= block.most_falls:
        text = f"block {block.id} takes {block.least_falls} to {block.most_falls}; write the block that was used"
        yield ("falls",), text
    elif done.falls > (most := _most_falls(done, machine)):
        yield ("falls",), f"is {done.falls}, the boom head takes {most}; check the falls"
    if lengths[1] > lengths[0]:
        yield ("telescoped_to",), "is longer than the boom was; a boom is telescoped in"


def _most_falls(done: Work | PreTensioning | ReReeving, machine: Machine) -> int:
    """Most falls at the head of the boom, or of the jib of the configuration that is written."""
    configuration = machine.configuration(done.configuration) if done.configuration else None
    jib = machine.jib(configuration) if configuration else None
    return machine.reeving_with(jib).most_falls


def _rigged(done: Work | PreTensioning | ReReeving, machine: Machine, case_for: CaseFor, rope_length: float) -> _Wrong:
    """Heights, radii, loads, rope and layers there are."""
    length = done.boom_length[0] if isinstance(done, PreTensioning) else done.boom_length
    crane = history.crane(case_for(length, done.configuration), rope_length)
    rig = crane.rig(done.falls, next(block for block in machine.blocks if block.id == done.block))
    if history.lowered_rope(rig) < crane.stop_rope:
        text = f"with these falls the rope of {_rope(rope_length, machine)} does not reach; check falls and boom"
        yield ("falls",), text
    elif isinstance(done, Work):
        yield from _work(done, rig)
    elif isinstance(done, PreTensioning):
        yield from _winding(done, rig)


def _work(done: Work, rig: Rig) -> _Wrong:
    if wrong := list(_radii(done, rig.crane.case.machine)):
        yield from wrong
        return
    reached = list(_hooks(done, rig))
    yield from reached
    # many lifts: the lightest load was carried at the largest radius too, and up to the highest hook
    far = done.largest_radius or done.radius
    heavy = _too_heavy(rig.crane.case.machine, done, done.boom_length, far, done.load + rig.block.mass)
    if heavy:
        yield ("load",), f"with the block {heavy}"
    elif done.load > rig.block.capacity * (1 + ROUNDING):
        yield ("load",), _over_block(rig)
    elif not reached:
        ends = list(_ends(done, rig))
        low, high = ends[-1] if done.largest_radius else min(ends, key=_height), max(ends, key=_height)
        over = list(_over_pull(rig, low, high))
        yield from over or _measured(done, rig, [rig.tension(at, reeving.HAULING) for at in ends])


def _height(at: State) -> float:
    return at.hook_height


def _ends(done: Work, rig: Rig) -> Iterator[State]:
    """Where the load hung: both hook heights, at the smallest radius, then at the largest as far as the upper stop."""
    for radius in dict.fromkeys((done.radius, done.largest_radius or done.radius)):
        for hook in done.hook:
            height = min(hook, history.highest_hook(rig, radius))
            yield State(done.boom_length, radius, height, done.falls, done.load)


def _radii(done: Work, machine: Machine) -> _Wrong:
    """Radii the charts list; of many lifts the smallest radius and the lowest hook first."""
    if done.largest_radius is None:
        if wrong := _not_listed(machine, done, done.boom_length, done.radius):
            yield ("radius",), wrong
        return
    for place, radius in enumerate((done.radius, done.largest_radius)):
        if wrong := _not_listed(machine, done, done.boom_length, radius):
            yield ("radius", place), wrong
    if done.largest_radius < done.radius:
        yield ("radius", 1), "is less than the first; write the smallest radius, then the largest"
    if done.hook[1] < done.hook[0]:
        yield ("hook", 1), "is lower than the first; with two radii write the lowest hook, then the highest"


def _hooks(done: Work, rig: Rig) -> _Wrong:
    """Hook heights between upper stop and dead wraps; of many lifts the lowest hook was at the largest radius too."""
    crane, machine = rig.crane, rig.crane.case.machine
    far = done.largest_radius or done.radius
    for place, (hook, radius) in enumerate(zip(done.hook, (far, done.radius), strict=True)):
        highest = history.highest_hook(rig, radius)
        at = State(done.boom_length, done.radius, hook, done.falls, done.load)
        if hook > highest + ROUNDING:
            where = "this radius" if done.largest_radius is None else _length(radius, machine)
            text = f"is above the upper stop, which at {where} is at {_length(highest, machine)}; check the hook height"
            yield ("hook", place), text
        elif rig.rope_on_drum(at) < crane.dead_rope:
            yield ("hook", place), "with these falls the rope does not reach so low; check falls and hook height"


def _measured(done: Work | PreTensioning, rig: Rig, computed: Sequence[float]) -> _Wrong:
    """A line pull that the winch can show and that this load can make; `computed` are drum tensions [N]."""
    pull, machine = done.line_pull, rig.crane.case.machine
    if pull is None:
        return
    reading, rated = _force(pull, machine, "near"), machine.winch.rated_line_pull
    least, most = (max(0.0, tension) for tension in (min(computed), max(computed)))
    if isinstance(done, Work) and not done.load:
        yield ("line_pull",), "is measured under a load; leave it out for the empty hook"
    elif pull > rated * (1 + ROUNDING):
        text = f"is {reading}, more than the rated line pull of {_force(rated, machine)}; check the reading"
        yield ("line_pull",), text
    elif pull > most * MEASURED_FACTOR:
        text = f"is {reading}, more than twice the {_force(most, machine, 'near')} that load and falls give at the drum"
        yield ("line_pull",), f"{text}; check the reading, load and falls"
    elif pull < least / MEASURED_FACTOR:
        text = f"is {reading}, less than half the {_force(least, machine, 'near')} that load and falls give at the drum"
        yield ("line_pull",), f"{text}; check the reading, load and falls"


def _winding(done: PreTensioning, rig: Rig) -> _Wrong:
    crane, machine = rig.crane, rig.crane.case.machine
    layers = crane.layers
    if done.load <= rig.block.mass:
        text = f"is not more than the block of {_mass(rig.block.mass, machine)}; write all that hangs, block included"
        yield ("load",), text
        return
    places = (("drum_before", done.drum_before), ("drum_after", done.drum_after))
    for name, (layer, wrap) in places:
        if layer > len(layers):
            yield (name, 0), f"is {layer}; the rope makes {len(layers)} layers"
            return
        if wrap > layers[layer - 1].wraps:
            yield (name, 1), f"is {wrap}; layer {layer} holds {layers[layer - 1].wraps}"
            return
    before, after = (drum.rope_at(layers, *place) for _, place in places)
    if after <= before:
        yield ("drum_after",), "holds no more rope than before; write the layer and wraps after landing"
    if before < crane.dead_rope * (1 - ROUNDING):
        yield ("drum_before",), "is below the dead wraps; check the count"
        return
    if done.load - rig.block.mass > rig.block.capacity * (1 + ROUNDING):
        yield ("load",), _over_block(rig)
    sound = True
    for at, (length, radius, rope, (name, _)) in enumerate(
        zip(done.boom_length, done.radius, (before, after), places, strict=True)
    ):
        problems: list[tuple[Where, str]]
        if wrong := _not_listed(machine, done, length, radius):
            problems = [(("radius", at), wrong)]
        elif wrong := _too_heavy(machine, done, length, radius, done.load):
            problems = [(("load",), wrong)]
        else:
            problems = list(_counted(rig, name, length, radius, rope))
        sound = sound and not problems
        yield from problems
    if sound:
        yield from _measured(done, rig, [rig.winding_tension(state) for state in history.wound_between(rig, done)])


def _counted(rig: Rig, name: str, length: float, radius: float, rope: float) -> _Wrong:
    """The counted wraps say where the hook was; a whole wrap off moves it by less than a load stands high."""
    hook = history.hook_with(rig, radius, length, rope)
    lowest_head = rig.block.height + rig.crane.case.reeving.upper_stop
    if hook < -ROUNDING:
        yield (name,), "with these falls the hook would be below the ground; check count, falls and radius"
    elif rig.crane.head(length, radius) - hook < lowest_head - ROUNDING:
        yield (name,), "with these falls the hook would be above the upper stop; check count, falls and radius"


def _over_pull(rig: Rig, low: State, high: State) -> _Wrong:
    """Hauling a load the winch cannot pull on these falls: most rope in the falls below, least pull above."""
    pull = rig.lead_line(low, reeving.HAULING)
    limit = rig.pull_limit(high)
    if pull > limit * (1 + ROUNDING):
        listed = _force(limit, rig.crane.case.machine)
        yield ("load",), f"pulls more than the {listed} the winch has on these falls; check load and falls"


def _over_block(rig: Rig) -> str:
    listed = _mass(rig.block.capacity, rig.crane.case.machine)
    return f"is more than the {listed} block {rig.block.id} carries; check load and block"


def _rows(machine: Machine, done: Work | PreTensioning, boom_length: float) -> list[tuple[float, float]]:
    """Every row of a boom length in the configuration that is written, else in any."""
    written = [c for c in machine.configurations if done.configuration in (None, c.id)]
    return [row for c in written for chart in c.charts if chart.boom_length == boom_length for row in chart.rows]


def _not_listed(machine: Machine, done: Work | PreTensioning, boom_length: float, radius: float) -> str | None:
    radii = [listed for listed, _ in _rows(machine, done, boom_length)]
    if min(radii) - ROUNDING <= radius <= max(radii) + ROUNDING:
        return None
    near, far = _length(min(radii), machine), _length(max(radii), machine)
    return f"the charts list {near} to {far} for this boom; write a radius between"


def _too_heavy(
    machine: Machine, done: Work | PreTensioning, boom_length: float, radius: float, mass: float
) -> str | None:
    """`mass` at the hook with its block; where no configuration is written the largest capacity counts."""
    most = max(carried for listed, carried in _rows(machine, done, boom_length) if listed >= radius - ROUNDING)
    if mass <= most * (1 + ROUNDING):
        return None
    return f"is more than the {_mass(most, machine)} the charts list there; check the load"


def _length(value: float, machine: Machine) -> str:
    return rounding.length(value, "down").of(machine.units)


def _rope(value: float, machine: Machine) -> str:
    return rounding.rope(value, "down").of(machine.units)


def _diameter(value: float, machine: Machine) -> str:
    return rounding.diameter(value, "near").of(machine.units)


def _mass(value: float, machine: Machine) -> str:
    return rounding.mass(value, "down").of(machine.units)


def _force(value: float, machine: Machine, side: str = "down") -> str:
    return rounding.force(value, side).of(machine.units)
