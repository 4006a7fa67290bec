"""Published: the state of a drum on a day, what lies loose, what is due and the plan that does it, as plain data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from math import floor, inf
from typing import Any, Final

from calc.data import entries, look_up, model, rope_log
from calc.drum_log import beds, drum_fields, history, lasting
from calc.fields import EntryKind, taken
from calc.formulas import drum, ledger, reeving
from calc.formulas.ledger import Stretch
from calc.rounding import DECIMALS, rounded
from calc.winding import planner
from calc.winding.duration import rigging
from calc.winding.firm import LEAST_TENSION, full_pull, unreached_limit
from calc.winding.methods import Pass
from calc.winding.plan_data import place
from calc.winding.rig import Crane

SCHEMA_VERSION: Final = 1
Rigged = entries.Work | entries.PreTensioning | entries.ReReeving  # what says how the crane is rigged

KINDS: dict[type[entries.Done], EntryKind] = {
    entries.NewRope: "new-rope",
    entries.PreTensioning: "pre-tensioning",
    entries.Work: "work",
    entries.ReReeving: "re-reeving",
    entries.Unwinding: "unwinding",
    entries.Jump: "jump",
    entries.Shortening: "shortening",
}

# What laid a loose wrap -> the rule that says it is due.
RULES: dict[drum_fields.How, str] = {
    history.NEW: "due-new-rope",
    history.UNDER_NO_LOAD: "due-after-unwinding",
    history.FIRM: "due-after-light-work",
    history.LOADED: "due-after-light-work",
    history.EMPTY: "due-after-light-work",
    history.PARKED: "due-after-light-work",
    history.NOT_WOUND: "due-after-light-work",
}


def state(data: model.Data, machine_id: str, day: str) -> drum_fields.DrumState:
    """The drum of one machine on a `day`, as plain data, numbers to 1e-6; the log up to that day counts.

    Returns what validates against rules/schema/state.schema.json.
    Errors: look_up.Unknown when there is no such machine, no log, or the log begins later.
    Rules: firm-tension, unreached-rope, due-new-rope, due-after-unwinding, due-after-light-work, due-after-slack.
    """
    crane, found = _found(data, machine_id, day)
    deepest = found["depth"]["rope_m"] if found["depth"] else None
    firm_below = 0.0 if all_due(found["reasons"]) else _rounded_down(deepest)
    falls, down_to = found["falls"], found["firm_from_falls"]
    out: drum_fields.DrumState = {
        **found,
        "plan": None if firm_below is None else _plan(data, crane, firm_below, falls, down_to),
    }
    return rounded(out)


def without_plan(data: model.Data, machine_id: str, day: str) -> drum_fields.DrumFound:
    """What `state` returns, without `plan`: the plan is most of the work.  Errors and rules as in `state`."""
    return rounded(_found(data, machine_id, day)[1])


def _found(data: model.Data, machine_id: str, day: str) -> tuple[Crane, drum_fields.DrumFound]:
    """The crane as it is rigged, with the rope length the log has come to, and its drum, numbers not rounded."""
    machine = _machine(data, machine_id, day)
    log = data.upkeep[machine_id].log
    drums = history.drums(log, look_up.cases(data, machine, day), day)
    if not drums:
        raise look_up.Unknown(f"the log of {machine_id} begins on {log[0].day}; choose a later day")
    last, log = drums[-1], log[: len(drums)]
    case = _rigged_case(data, machine, drums, log, day)
    crane = history.crane(case, last.rope_length)
    may_stay = unreached_limit(crane)
    held = ledger.held(last.stack)
    by_falls = [(falls, rope, beds.bed(crane, last, rope, may_stay)) for falls, rope in crane.beds]
    everything = beds.bed(crane, last, max([held, *(rope for _, rope, _ in by_falls)]), may_stay)
    as_rigged = _as_rigged(crane, last, may_stay)
    largest = max((rope for _, rope, _ in by_falls), default=0.0)
    loose = [stretch for stretch in everything.loose if not _slipped(crane, last, log, stretch)]
    reasons = [*_ended(data, crane.case, log, drums), *_reasons(data, log, crane, loose, largest)]
    whole = all_due(reasons)
    deepest = min((stretch.start for stretch in loose if stretch.start < largest - ledger.LENGTH), default=None)
    if as_rigged is not None:
        as_rigged["ready"] = as_rigged["ready"] and not whole
    under_next_lift = as_rigged["bed_m"] if as_rigged else largest
    return crane, {
        "schema": SCHEMA_VERSION,
        "machine": machine_id,
        "status": machine.status,
        "day": day,
        "log": [
            taken(drum_fields.Entry, entry, entry=after.entry, kind=kind(entry.done), least_rope_m=after.least_rope)
            for after, entry in zip(drums, log, strict=True)
        ],
        "rope_length_m": last.rope_length,
        "rope_on_drum_m": held,
        "boom": case.chart.slug,
        "boom_length_m": case.chart.boom_length,
        "configuration": case.configuration.id,
        "falls": last.rig.falls if last.rig else None,
        "block": last.rig.block.id if last.rig else None,
        "as_rigged": as_rigged,
        "firm": _firm(crane, everything, held, whole),
        "rated_line_pull_n": machine.winch.rated_line_pull,
        "firm_tension_n": case.firm_tension,
        "dead_rope_m": crane.dead_rope,
        "layers": [_layer(crane, layer, last.stack) for layer in crane.layers],
        "loose": [_stretch(crane, stretch) for stretch in everything.loose],
        "beds": [_bed(crane, *one) for one in by_falls],
        "firm_from_falls": _firm_down_to(by_falls, as_rigged["falls"]) if as_rigged and as_rigged["ready"] else None,
        "due": whole or (deepest is not None and deepest < under_next_lift - ledger.LENGTH),
        "reasons": reasons,
        "depth": None if deepest is None else {"rope_m": deepest, **place(crane, deepest)},
    }


def _bed(crane: Crane, falls: int, rope: float, bed: beds.Bed) -> drum_fields.BedOfFalls:
    _, pick = crane.from_the_ground(falls)
    return taken(
        drum_fields.BedOfFalls,
        pick,
        bed_m=rope,
        firm=not bed.loose,
        loose_m=bed.length,
        unreached_loose_m=bed.unreached_loose,
        deepest_loose_m=bed.deepest,
        least_tension_n=bed.least,
    )


def _rigged_case(
    data: model.Data, machine: model.Machine, drums: tuple[history.After, ...], log: tuple[entries.Entry, ...], day: str
) -> model.Case:
    """The case of the boom and the configuration last worked with; before any work, the first ones listed."""
    length = _boom_length(machine, drums)
    case = look_up.cases(data, machine, day)(length)
    rigged = next((entry.done for entry in reversed(log) if isinstance(entry.done, Rigged)), None)
    named = None if rigged is None else rigged.configuration
    configuration = None if named is None else machine.configuration(named)
    if configuration is None or configuration.chart(case.chart.slug) is None:
        return case
    return look_up.case(data, machine.id, case.chart.slug, configuration.id, day)


def _as_rigged(crane: Crane, last: history.After, may_stay: float) -> drum_fields.AsRigged | None:
    """The next heavy lift from the ground on the falls that are reeved: the bed it lies on, and whether that is firm.

    Full line pull at the largest listed radius whose capacity allows it, the hook at the pick as high as loads of the
    yard ask for: nearer in or lower, less rope lies under the lift.  Where these falls do not let the hook down there,
    the most that do are judged: they lie on more rope.  None where nothing is reeved, or no falls let the hook down.
    """
    if last.rig is None:
        return None
    falls = last.rig.falls
    judged, rope = max((each for each in crane.beds if each[0] <= falls), default=(None, 0.0))
    if judged is None:
        return None
    bed = beds.bed(crane, last, rope, may_stay)
    _, pick = crane.from_the_ground(judged)
    return {
        "falls": falls,
        "radius_m": pick.radius,
        "hook_height_m": pick.hook_height,
        "bed_m": rope,
        **place(crane, min(rope, crane.layers[-1].rope_when_full)),
        "ready": not bed.loose,
        "loose_m": bed.length + bed.unreached_loose,
        "unreached_loose_m": bed.unreached_loose,
    }


def _firm_down_to(by_falls: list[tuple[int, float, beds.Bed]], falls: int) -> int:
    """Fewest falls, from the `falls` that are reeved on down, on which every bed is firm."""
    fewest = falls
    for fewer, _, bed in reversed(by_falls):
        if fewer < falls and bed.loose:
            break
        fewest = min(fewest, fewer)
    return fewest


def _firm(crane: Crane, everything: beds.Bed, held: float, whole: bool) -> drum_fields.Firm | None:
    """From where to where the rope on the drum is firm, to whole wraps on the cautious side: a lift bears on firm rope
    while the drum shows no more at the pick than the upper end.  None where nothing is.

    It begins at the dead wraps: what lies loose beneath is no more than the rules let stay unreached, else the whole of
    it is loose.
    """
    end = everything.loose[0].start if everything.loose else held
    counted = drum.whole_wraps(crane.layers, min(end, crane.layers[-1].rope_when_full))
    upper = drum.rope_at(crane.layers, *counted)
    if whole or upper <= crane.dead_rope + ledger.LENGTH:
        return None
    return {
        "rope_m": [crane.dead_rope, upper],
        "layer": [place(crane, rope)["layer"] for rope in (crane.dead_rope, upper)],
        "wrap": [place(crane, rope)["wrap"] for rope in (crane.dead_rope, upper)],
    }


def _slipped(crane: Crane, last: history.After, log: tuple[entries.Entry, ...], loose: Stretch) -> bool:
    """Whether a loose stretch is the outer wraps that slipped when the last load of pre-tensioning was landed: what
    was just done cannot make it due."""
    number, how = history.caused_by(loose.cause)
    if how != history.FIRM or number != rope_log.last_pre_tensioned(log):
        return False
    laid = [run for run in ledger.between(last.stack, 0.0, loose.start) if run.cause == loose.cause]
    if not laid:
        return False  # loose from where winding began
    slip = reeving.relaxed_wraps(laid[-1].least, max(loose.least, LEAST_TENSION), crane.case.values.rope_friction)
    layer, _ = drum.position(crane.layers, min(loose.start, crane.layers[-1].rope_when_full))
    return loose.end - loose.start <= (slip + 1) * crane.layers[layer - 1].wrap_length


def all_due(reasons: Iterable[Mapping[str, Any]]) -> bool:
    """Whether one of the `reasons` of a state makes all of the rope due, not a stretch of it."""
    return any(reason["stretch"] is None for reason in reasons)


def _rounded_down(rope: float | None) -> float | None:
    """A place as it is printed, never higher: the plan made of what is printed is the same plan."""
    return None if rope is None else floor(rope * 10**DECIMALS) / 10**DECIMALS


def _machine(data: model.Data, machine_id: str, day: str) -> model.Machine:
    machine = look_up.machine_of(data, machine_id, day)
    if machine_id not in data.upkeep:
        raise look_up.Unknown(
            f"no log of the rope of {machine_id}; write one in upkeep/{machine_id}.yaml of the data folder"
        )
    return machine


def _boom_length(machine: model.Machine, drums: tuple[history.After, ...]) -> float:
    """The boom length last worked with; before any work the first one listed [m]."""
    rigs = (after.rig for after in reversed(drums) if after.rig is not None)
    rig = next(rigs, None)
    return rig.crane.case.chart.boom_length if rig else machine.configurations[0].charts[0].boom_length


def _ended(
    data: model.Data, case: model.Case, log: tuple[entries.Entry, ...], drums: tuple[history.After, ...]
) -> Iterator[drum_fields.Reason]:
    """What ends the firmness of all of the rope."""
    last = rope_log.last_pre_tensioned(log)
    if last is not None:
        for how in lasting.ended(data, case, log, drums):
            yield _reason(data, lasting.RULE, last, how, None)


def _reasons(
    data: model.Data, log: tuple[entries.Entry, ...], crane: Crane, loose: Iterable[Stretch], matters: float
) -> Iterator[drum_fields.Reason]:
    """Why pre-tensioning is due, the gravest first: what makes all of it due, then loose wraps under the next heavy
    lift."""
    for number in beds.unanswered(crane, log, unreached_limit(crane)):
        due_by: drum_fields.DueBy = history.NEW if isinstance(log[number].done, entries.NewRope) else "jump"
        yield _reason(data, beds.ALL_DUE[type(log[number].done)], number, due_by, None)
    for stretch in loose:
        if stretch.start < matters - ledger.LENGTH:
            number, how = history.caused_by(stretch.cause)
            yield _reason(data, RULES[how], number, how, _stretch(crane, stretch))


def _reason(
    data: model.Data, rule: str, entry: int, how: drum_fields.DueBy, stretch: drum_fields.LaidAlike | None
) -> drum_fields.Reason:
    return {"rule": rule, "code": data.rules[rule].code, "entry": entry, "how": how, "stretch": stretch}


def kind(done: entries.Done) -> EntryKind:
    """What an entry of a log is called in published data, by what was `done`.

    >>> kind(entries.NewRope(290.0, 10e3))
    'new-rope'
    """
    return KINDS[type(done)]


def _layer(crane: Crane, layer: drum.Layer, stack: ledger.Stack) -> drum_fields.Layer:
    start = drum.rope_at(crane.layers, layer.number, 0.0)
    return {
        "layer": layer.number,
        "wraps": layer.wraps,
        "rope_m": [start, layer.rope_when_full],
        "runs": [_run(layer, start, run) for run in ledger.between(stack, start, layer.rope_when_full)],
    }


def _run(layer: drum.Layer, start: float, run: Stretch) -> drum_fields.Run:
    entry, how = history.caused_by(run.cause)
    return {
        "wraps": [(run.start - start) / layer.wrap_length, (run.end - start) / layer.wrap_length],
        "tension_n": [run.least, run.most],
        "entry": entry,
        "how": how,
    }


def _stretch(crane: Crane, stretch: Stretch) -> drum_fields.LaidAlike:
    places = [place(crane, rope) for rope in (stretch.start, stretch.end)]
    entry, how = history.caused_by(stretch.cause)
    return {
        "rope_m": [stretch.start, stretch.end],
        "layer": [at["layer"] for at in places],
        "wrap": [at["wrap"] for at in places],
        "tension_n": [stretch.least, stretch.most],
        "entry": entry,
        "how": how,
    }


# -- the plan that does it ------------------------------------------------------------------------------------------


def plan_case(data: model.Data, published: drum_fields.DrumState) -> model.Case | None:
    """The case of the plan that a `published` state names, or None when nothing is due or nothing does it."""
    named = published["plan"]
    if named is None:
        return None
    case = look_up.case(data, published["machine"], named["boom"], named["configuration"], published["day"])
    rope = replace(case.machine.rope, length=named["rope_length_m"])
    return replace(case, machine=replace(case.machine, rope=rope), firm_below=named["firm_below_m"])


def _plan(
    data: model.Data, crane: Crane, firm_below: float, falls: int | None, firm_down_to: int | None
) -> drum_fields.PlanNamed | None:
    """The quickest plan that makes the drum ready as it is rigged, over every configuration the crane may have,
    reaching no deeper than needed; where it is ready, or none does, the one that makes it ready on the fewest falls.

    A telescopic boom is set to any length; a lattice boom stays as it is rigged.  None where no plan makes the drum
    ready on any falls, or on no fewer than it is ready for, `firm_down_to`.
    """
    case = crane.case
    lift = Crane(replace(case, firm_below=firm_below))
    candidates = []
    for elsewhere in _elsewhere(data, case):
        made = planner.plan(replace(elsewhere, machine=case.machine, firm_below=firm_below))
        best = None if isinstance(made, str) else made.attempt.best
        if isinstance(made, str) or best is None:
            continue
        ready_for = _ready_for(lift, best.passes[-1])
        if firm_down_to is not None and (ready_for is None or ready_for >= firm_down_to):
            continue
        makes_ready = firm_down_to is None and falls is not None and ready_for is not None and ready_for <= falls
        minutes = (best.duration + rigging(made.attempt.rig)) / 60
        candidates.append(((not makes_ready, 0 if makes_ready else ready_for or inf, minutes), ready_for, made, best))
    if not candidates:
        return None
    _, ready_for, made, best = min(candidates, key=lambda each: each[0])
    return {
        "boom": made.crane.case.chart.slug,
        "configuration": made.crane.case.configuration.id,
        "rope_length_m": case.machine.rope.length,
        "firm_below_m": firm_below,
        "falls": made.attempt.rig.falls,
        "load_kg": made.attempt.suspended,
        "method": best.name,
        "passes": len(best.passes),
        "minutes": best.duration / 60,
        "ready_for_falls": ready_for,
    }


def _elsewhere(data: model.Data, case: model.Case) -> Iterator[model.Case]:
    """The cases in which a crane may be pre-tensioned: every configuration with the jib that is rigged, or without
    one, that lists the boom length, and for a telescopic boom every length it lists."""
    for configuration in case.machine.configurations:
        for chart in configuration.charts:
            if configuration.jib == case.configuration.jib and (
                case.machine.kind == "telescopic" or chart.slug == case.chart.slug
            ):
                yield look_up.case(data, case.machine.id, chart.slug, configuration.id, case.day)


def _ready_for(crane: Crane, last: Pass) -> int | None:
    """Fewest falls from which the drum is ready after the last pass of a plan, for lifts with the boom of `crane`: the
    wraps that slip when the load is landed do not count."""
    enough = full_pull(crane, last.firm_from, last.firm_to)
    return enough and enough[0]
