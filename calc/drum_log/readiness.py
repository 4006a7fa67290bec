"""Published: readiness for a heavy lift (`beds`) and everyday work (`everyday`), as plain data."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Final

from calc import rounding
from calc.data import look_up, rulebook
from calc.data.model import Case, Data, Machine
from calc.drum_log import beds, drum_fields, everyday, history, lasting
from calc.fields import taken
from calc.formulas import ROUNDING, drum, ledger
from calc.formulas.ledger import Stack
from calc.rounding import rounded
from calc.winding.firm import unreached_limit
from calc.winding.plan_data import place
from calc.winding.rig import Crane, Rig, State

SCHEMA_VERSION: Final = 1
VERDICT_RULE = "due-after-light-work"
FIRM_RULE = "firm-tension"
FALLS_RULE = "falls-for-lifting"
UNREACHED_RULE = "unreached-rope"
SET_DOWN_RULE = "set-down-place"


@dataclass(frozen=True, eq=False)
class _Drum:
    """The crane of a lift and its drum as the log left it: `last` None without a log, `reeved` the rig as it stands,
    None where nobody knows; the rules by which all of the rope is due."""

    data: Data
    crane: Crane
    last: history.After | None
    reeved: Rig | None
    all_due: tuple[str, ...]

    @cached_property
    def unreached(self) -> float:
        return unreached_limit(self.crane)

    @cached_property
    def little_line_pull(self) -> float:
        return self._value("little_line_pull")

    @cached_property
    def largest_use_to_land(self) -> float:
        return self._value("largest_use_to_land")

    def _value(self, name: str) -> float:
        case = self.crane.case
        return rulebook.value(self.data.rules.values(), case.machine, case.chart.boom_length, case.day, name)

    @cached_property
    def now(self) -> Callable[[Rig], history.After | None]:
        """The drum with a rig reeved, the boom lowered for it."""
        last = self.last
        return cache(lambda rig: None if last is None else beds.re_reeved(last, rig))

    @cached_property
    def firm_until(self) -> Callable[[Rig], float | None]:
        """Rope on the drum up to which lifts with a rig bear on firm rope; None where nobody knows [m]."""
        return cache(self._firm_until)

    def _firm_until(self, rig: Rig) -> float | None:
        now = self.now(rig)
        if now is None or self.all_due:
            return None if now is None else 0.0
        return beds.firm_until(self.crane, now, self.unreached)

    def bed(self, lift: beds.Lift) -> beds.Bed | None:
        now = self.now(lift.rig)
        return None if now is None else beds.bed(self.crane, now, lift.bed, self.unreached)

    def firm(self, lift: beds.Lift) -> bool:
        """Whether a lift bears on firm rope, as far as anybody knows: without a log pull and chart decide."""
        bed = self.bed(lift)
        return bed is None or not (bed.loose or self.all_due)

    def passes(self, option: beds.Option) -> bool:
        return option.lift is not None and self.firm(option.lift)


def lifts(data: Data, case: Case) -> drum_fields.Lifts:
    """Readiness for six to ten rising loads in round steps, up to what the boom of a `case` can lift from the ground;
    none where it lifts nothing.

    Returns what validates against hooks/schema/lifts.schema.json.  Rules: as `readiness`.
    """
    drum_now = _drum(data, case, None)
    loads = beds.round_loads(drum_now.crane)
    out: drum_fields.Lifts = {**_of_case(case), "lifts": [_readiness(drum_now, load, None, None) for load in loads]}
    return rounded(out)


def readiness(
    data: Data,
    case: Case,
    load: float,
    radius: float | None = None,
    hook: float | None = None,
    falls: int | None = None,
) -> drum_fields.Readiness:
    """A heavy lift with one boom length, falls by falls, on the drum as its log left it, and which falls are advised.

    `load`, `radius` and `hook` as in `beds.options`; the `falls` are reeved now, None: those of the last entry of the
    log.
    Returns what validates against rules/schema/ready.schema.json; without a log of the rope the beds are null.
    Errors: ValueError for a load not above 0; look_up.Unknown for a radius outside the chart and for falls that cannot
    be reeved.
    Rules: falls-for-lifting, re-reeving-for-a-lift, firm-tension, unreached-rope, re-reeve-at-the-head,
    due-after-light-work, set-down-place.
    """
    drum_now = _drum(data, case, falls)
    if radius is not None:
        _check_radius(case, radius)
    return rounded(_readiness(drum_now, load, radius, hook))


def _check_radius(case: Case, radius: float) -> None:
    rows = case.chart.rows
    if not rows[0][0] * (1 - ROUNDING) <= radius <= rows[-1][0] * (1 + ROUNDING):
        us = case.machine.units == "us"
        given, least, most = (getattr(rounding.length(each, "near"), "us" if us else "metric")
                              for each in (radius, rows[0][0], rows[-1][0]))  # fmt: skip
        raise look_up.Unknown(
            f"radius {given} is outside the chart of {case.machine.id} {case.chart.slug} {case.configuration.id}; "
            f"write one from {least} to {most}"
        )


def _drum(data: Data, case: Case, falls: int | None) -> _Drum:
    """The drum of a case; `falls` reeved now, where they are others than the log says, came by lowering the boom."""
    drums = _drums(data, case)
    last = drums[-1] if drums else None
    crane = history.crane(case, last.rope_length) if last else Crane(case)
    if falls is not None and falls not in crane.blocks:
        most = max(crane.blocks, default=0)
        text = f"{falls} falls cannot be reeved on {case.machine.id}; write a whole number from 1 to {most}"
        raise look_up.Unknown(text)
    all_due = tuple(_all_due(data, crane, drums)) if drums else ()
    by_log = _reeved(crane, last)
    if falls is None or (by_log and by_log.falls == falls):
        return _Drum(data, crane, last, by_log, all_due)
    reeved = crane.rig(falls, crane.blocks[falls])
    return _Drum(data, crane, None if last is None else beds.re_reeved(last, reeved), reeved, all_due)


def _all_due(data: Data, crane: Crane, drums: tuple[history.After, ...]) -> Iterator[str]:
    """The rules by which all of the rope is due: what no pre-tensioning has answered, and what has ended it."""
    log = data.upkeep[crane.case.machine.id].log[: len(drums)]
    for number in beds.unanswered(crane, log, unreached_limit(crane)):
        yield beds.ALL_DUE[type(log[number].done)]
    if any(lasting.ended(data, crane.case, log, drums)):
        yield lasting.RULE


def _reeved(crane: Crane, last: history.After | None) -> Rig | None:
    """The falls and the block of the last entry of the log, on this crane."""
    if last is None or last.rig is None:
        return None
    block = next((b for b in crane.case.machine.blocks if b.id == last.rig.block.id), None)
    return None if block is None else crane.rig(last.rig.falls, block)


def _drums(data: Data, case: Case) -> tuple[history.After, ...]:
    upkeep = data.upkeep.get(case.machine.id)
    return history.drums(upkeep.log, look_up.cases(data, case.machine, case.day), case.day) if upkeep else ()


def _readiness(drum_now: _Drum, load: float, radius: float | None, hook: float | None) -> drum_fields.Readiness:
    crane = drum_now.crane
    case = crane.case
    options = beds.options(crane, load, radius, hook)
    now = drum_now.reeved
    reeved = None if now is None else beds.option(crane, now.falls, load, radius, hook, now.block)
    choice = beds.choose(options, reeved, drum_now.passes, drum_now.little_line_pull)
    best = choice.best
    return {
        **_of_case(case),
        "load_kg": load,
        "radius_m": radius,
        "hook_height_m": crane.usual_hook if hook is None else hook,
        "firm_tension_n": case.firm_tension,
        "rated_line_pull_n": case.machine.winch.rated_line_pull,
        "little_line_pull": drum_now.little_line_pull,
        "largest_use_to_land": drum_now.largest_use_to_land,
        "options": [_option(drum_now, option) for option in options],
        "rows": {
            "reeved": _row(drum_now, choice.reeved),
            "fewest": _row(drum_now, choice.fewest),
            "enough": _row(drum_now, choice.enough) if choice.advised == "enough" else None,
            "most": _row(drum_now, choice.most),
        },
        "gain": _gain(drum_now, choice),
        "advised": choice.advised,
        "why": choice.why,
        "falls": best.falls if best else None,
        "verdict": _verdict(drum_now, best),
        "re_reeving": _re_reeving(drum_now, best) if best else None,
        "set_down": _set_down(drum_now, best.lift) if best and best.lift else None,
    }


def _of_case(case: Case) -> drum_fields.OfCase:
    return {
        "schema": SCHEMA_VERSION,
        "machine": case.machine.id,
        "status": case.machine.status,
        "day": case.day,
        "boom": case.chart.slug,
        "boom_length_m": case.chart.boom_length,
        "configuration": case.configuration.id,
    }


def _row(drum_now: _Drum, option: beds.Option | None) -> drum_fields.Row | None:
    """One of the three rows: its falls as in `options`, whether it passes, what re-reeving for it costs."""
    if option is None:
        return None
    passes = None if option.lift and drum_now.last is None else drum_now.passes(option)
    return {**_option(drum_now, option), "passes": passes, "re_reeving": _re_reeving(drum_now, option)}


def _option(drum_now: _Drum, option: beds.Option) -> drum_fields.Option:
    lift = _lift(drum_now, option.lift) if option.lift else None
    return {"falls": option.falls, "block": option.block.id, "refused": option.refused, "lift": lift}


def _lift(drum_now: _Drum, lift: beds.Lift) -> drum_fields.Lift:
    speed, limit = lift.hook_speed()
    return {
        "radius_m": lift.pick.radius,
        "carried_to_m": lift.carried_to,
        "capacity_use": lift.capacity_use,
        "lead_line_n": lift.lead_line,
        "line_pull_share": lift.pull_share,
        "hook_speed_m_per_s": speed,
        "speed_limit": limit,
        "pick": _drum_at(lift, lift.pick),
        "top": _drum_at(lift, lift.top),
        "bed_m": lift.bed,
        "bed": _bed(drum_now, lift),
        "pull_to_firm_bed": lift.lead_line / lift.rig.firm_tension,
    }


def _bed(drum_now: _Drum, lift: beds.Lift) -> drum_fields.Bed | None:
    bed, firm_until = drum_now.bed(lift), drum_now.firm_until(lift.rig)
    if bed is None or firm_until is None:
        return None
    firm = drum_now.firm(lift)
    return {
        "firm": firm,
        "loose_m": bed.length,
        "unreached_loose_m": bed.unreached_loose,
        "deepest_loose_m": bed.deepest,
        "least_tension_n": bed.least,
        "pull_to_bed": lift.lead_line / bed.least if bed.least else None,
        "firm_out_to_m": None if drum_now.all_due else lift.firm_out_to(firm_until),
        "hook_reserve_m": lift.hook_reserve(firm_until) if firm else None,
        "most_on_drum": _whole_wraps(drum_now.crane, lift.most_on_drum(firm_until)),
    }


def _drum_at(lift: beds.Lift, state: State) -> drum_fields.HookAt:
    held = lift.rig.rope_on_drum(state)
    return {"hook_height_m": state.hook_height, "rope_on_drum_m": held, **place(lift.rig.crane, held)}


def _whole_wraps(crane: Crane, rope_on_drum: float) -> drum_fields.OnDrum | None:
    """A place down to a whole wrap, as it is counted; None below the first."""
    layer, wraps = drum.whole_wraps(crane.layers, rope_on_drum) if rope_on_drum > 0 else (1, 0)
    if not wraps:
        return None
    return {"rope_on_drum_m": drum.rope_at(crane.layers, layer, wraps), "layer": layer, "wrap": wraps}


def _gain(drum_now: _Drum, choice: beds.Choice) -> drum_fields.Gain | None:
    """What as many falls as practicable gain over the fewest that pass: less pull, a shorter bed, less time for the
    hook path that both have, re-reeving counted; below 0 it is a loss."""
    fewest, most = choice.fewest, choice.most
    if not (fewest and most and fewest.lift and most.lift) or fewest.falls == most.falls:
        return None
    path = min(each.top.hook_height - each.pick.hook_height for each in (fewest.lift, most.lift))
    minutes = [
        path / each.hook_speed()[0] / 60 + _minutes(drum_now, option)
        for option, each in ((fewest, fewest.lift), (most, most.lift))
    ]
    return {
        "line_pull_share": fewest.lift.pull_share - most.lift.pull_share,
        "bed_m": fewest.lift.bed - most.lift.bed,
        "minutes": minutes[0] - minutes[1],
    }


def _minutes(drum_now: _Drum, option: beds.Option) -> float:
    """Minutes to re-reeve for these falls: every fall that is put in or taken out; another block is reeved anew."""
    reeving_time = drum_now.crane.case.values.reeving_time / 60
    now = drum_now.reeved
    if now is None:
        return option.falls * reeving_time
    if now.block.id == option.block.id:
        return abs(option.falls - now.falls) * reeving_time
    return (option.falls + now.falls) * reeving_time


def _verdict(drum_now: _Drum, best: beds.Option | None) -> drum_fields.Verdict:
    """What the drum says about the lift on the falls that are advised, and the rule that says it."""
    data = drum_now.data
    if best is None or best.lift is None:
        return _judged(data, "not-liftable", FALLS_RULE)
    bed = drum_now.bed(best.lift)
    if bed is None:
        return _judged(data, "no-log", VERDICT_RULE)
    if drum_now.all_due:
        return _judged(data, "all-due", drum_now.all_due[0])
    if bed.loose:
        return _judged(data, "loose-bed", VERDICT_RULE)
    if bed.unreached_loose:
        return _judged(data, "loose-bottom", UNREACHED_RULE)
    return _judged(data, "firm-bed", FIRM_RULE)


def _judged(data: Data, code: drum_fields.VerdictCode, rule: str) -> drum_fields.Verdict:
    return {"code": code, "rule": rule, "rule_code": data.rules[rule].code}


def _set_down(drum_now: _Drum, lift: beds.Lift) -> drum_fields.SetDown:
    """Whether the load can be landed by the boom where it is picked, if the rope pulls in."""
    boom_down = lift.boom_down
    return {
        "needed": lift.capacity_use > drum_now.largest_use_to_land + ROUNDING or boom_down <= 0,
        "boom_down_m": boom_down,
        "room_out_to_m": lift.room_out_to(drum_now.largest_use_to_land),
        "rule": SET_DOWN_RULE,
        "rule_code": drum_now.data.rules[SET_DOWN_RULE].code,
    }


def _re_reeving(drum_now: _Drum, option: beds.Option) -> drum_fields.ReReeving | None:
    """From the falls reeved now to those of the lift: by lowering the boom, or by running rope off with the boom up.

    With the boom lowered the drum keeps all rope but that along the boom and in short falls.  With the boom up the rope
    for the new falls has to reach the ground and back: it comes off the drum and goes back without a load.
    """
    now, last, lift = drum_now.reeved, drum_now.last, option.lift
    if last is None or now is None or lift is None or (now.falls, now.block.id) == (option.falls, option.block.id):
        return None
    rig = lift.rig
    down = min(history.lowered_rope(now), history.lowered_rope(rig))
    up = min(lift.bed, rig.rope_on_drum(lift.pick.at_height(0.0)))
    return {
        "from_falls": now.falls,
        "to_falls": option.falls,
        "minutes": _minutes(drum_now, option),
        "boom_lowered": _kept(drum_now.crane, last.stack, down),
        "boom_up": _kept(drum_now.crane, last.stack, up),
    }


def _kept(crane: Crane, stack: Stack, rope_on_drum: float) -> drum_fields.Kept:
    """Rope that stays on the drum, and the firm rope above it that comes off [m]."""
    kept = max(crane.dead_rope, rope_on_drum)
    limit = crane.case.firm_tension * (1 - ROUNDING)
    taken = max(0.0, ledger.held(stack) - kept)
    loose = sum(max(0.0, stretch.end - max(kept, stretch.start)) for stretch in ledger.stretches(stack, limit))
    return {"rope_on_drum_m": kept, **place(crane, kept), "firm_lost_m": taken - loose}


def work(data: Data, machine: Machine, day: str) -> drum_fields.EverydayWork:
    """Everyday work of a `machine` on a `day`: every boom length and number of falls with the empty hook and a light
    load.

    Returns what validates against rules/schema/work.schema.json.
    Errors: rulebook.Missing when no rule in force says what a light load is.
    Rules: light-work, firm-tension, drum-drag, sheave-efficiency.
    """
    case_for = look_up.cases_by_log(data, machine, day)
    light = everyday.light_load(data, machine, day)
    shortest = case_for(next(iter(machine.booms)))
    out: drum_fields.EverydayWork = {
        "schema": SCHEMA_VERSION,
        "machine": machine.id,
        "status": machine.status,
        "day": day,
        "light_load_kg": light,
        "rated_line_pull_n": machine.winch.rated_line_pull,
        "minimum_breaking_force_n": machine.rope.minimum_breaking_force,
        "firm_tension_n": shortest.firm_tension,
        "drum_drag_n": shortest.values.drum_drag,
        "booms": [_boom(case_for(length), light) for length in machine.booms],
    }
    return rounded(out)


def _boom(case: Case, light: float) -> drum_fields.WorkOfBoom:
    return {
        "boom": case.chart.slug,
        "boom_length_m": case.chart.boom_length,
        "radius_m": case.chart.rows[0][0],
        "falls": [
            taken(
                drum_fields.WorkOfFalls,
                usual,
                block=usual.block.id,
                block_kg=usual.block.mass,
                empty=taken(drum_fields.Laid, usual.empty),
                light=taken(drum_fields.Laid, usual.light),
            )
            for usual in everyday.everyday(Crane(case), light)
        ],
    }
