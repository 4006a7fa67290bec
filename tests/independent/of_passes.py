"""Numbers of a plan's passes: each move walked, each limit asked, each landing judged by what stays firm.

Each move is walked from where the plan begins it, so that one wrong number shows once and not in all that follow; where
a move ends, and all the plan had to find, is searched anew.  May import: numpy, the modules beside it.  Must not know:
`calc`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import asin, degrees, inf
from typing import Any

from independent import limits, loads, reach, start, times
from independent.compared import SHARE, STEPS
from independent.context import Context, Found
from independent.drum_wraps import Ledger
from independent.landing import Landed
from independent.lift import Lift, Slings
from independent.passes import Hung, hang_longer
from independent.walk import WINDING, Track, walk

Move = dict[str, Any]
NEAR = 1e-3  # m of rope; a whole wrap more or less is not told apart within it


@dataclass
class Walked:
    """What the moves of one method came to."""

    ledger: Ledger
    firm_from: float
    winding: list[Track] = field(default_factory=list)
    minutes: float = 0.0
    loaded: list[Track] = field(default_factory=list)
    empty: list[Track] = field(default_factory=list)


def of_method(context: Context, lift: Lift, method: dict[str, Any]) -> tuple[list[tuple[str, str, Any, Any]], Walked]:
    """All comparisons of one method, and its tracks."""
    at = context.stops["start_radius_m"]
    firm_from = start.firm_from(lift, at)
    begun = context.rig.rope_at(context.boom_length, at, lift.pick)
    walked = Walked(Ledger(context.rig.drum, begun, firm_from), firm_from)
    found = list(_of_passes(context, lift, method, walked))
    return [*found, *_of_whole(context, method, walked)], walked


def _of_passes(context: Context, lift: Lift, method: dict[str, Any], walked: Walked) -> Found:
    landed: Landed | None = None
    for number, one in enumerate(method["passes"]):
        where = f"{method['name']} pass {number + 1}"
        slings = context.slings(one["sling_length_m"])
        hung = hang_longer(landed, slings) if landed else None
        yield "hook at the pick [m]", where, lift.hook(slings), one["hook_at_pick_m"]
        if landed:
            yield "pass that cannot be", where, 0, hung is None
        yield from _of_moves(context, lift, where, one, slings, landed, hung, walked)
        yield from _hanging(context, lift, where, one, landed, hung)
        last = one["moves"][-1]
        at_end = lift.at_length(last["boom_length_m"][1])
        landed = Landed(at_end, last["radius_m"][1], slings)
        yield from _of_landing(context, where, one, landed, walked)
        yield from _returns(context, where, one, number, method)


def _of_moves(
    context: Context,
    lift: Lift,
    where: str,
    one: dict[str, Any],
    slings: Slings,
    landed: Landed | None,
    hung: Hung | None,
    walked: Walked,
) -> Found:
    rig, seconds = context.rig, 0.0
    if landed is None:
        least_rope = rig.rope_at(context.boom_length, context.stops["start_radius_m"], start.hook_on(lift))
        least_hook = min(context.inputs["reach_height_m"], start.hook_on(lift))
    else:
        least_rope = landed.rope - (hung.rope_lost if hung else 0.0)
        least_hook = min(context.inputs["reach_height_m"], landed.hook - context.inputs["sling_slack_m"])
    for at, move in enumerate(one["moves"]):
        name, here = move["move"], f"{where} move {at + 1} {move['move']}"
        track = walk(rig, move)
        still = all(abs(move[of][1] - move[of][0]) < 1e-5 for of in ("boom_length_m", "radius_m", "hook_height_m"))
        yield "moves that move nothing", here, 0, still
        lasted = times.seconds(rig, move, track, landed is None, landed.radius if landed else None)
        yield from _of_move(context, lift, here, move, track, slings)
        yield "minutes of a move", here, lasted / 60, move["minutes"]
        rooms = limits.of_any_move(lift.at_length(move["boom_length_m"][0]), track)
        rooms["rope to stay"] = limits.of_any_move(lift, track)["rope to stay"]
        if track.loaded:
            rooms |= limits.under_load(lift, track, name, slings)
            if name in WINDING:
                rooms |= limits.of_winding(lift, track)
        else:
            rooms |= limits.of_empty_block(lift, track, least_rope, least_hook)
        broken = limits.broken(rooms)
        yield "limits broken", f"{here} {' '.join(sorted(broken))}", 0, len(broken)
        if name == "luff-out" and track.loaded:
            yield from _end(lift, here, one["moves"][at + 1 :], move, slings)
        if name == "luff-in" and track.loaded and hung:
            yield "winding starts at radius [m]", here, hung.wound_from, move["radius_m"][1]
        _in_ledger(rig.inputs, walked, track, name)
        seconds += lasted
    walked.minutes += seconds / 60
    yield "minutes of a pass", where, seconds / 60, one["minutes"]


def _in_ledger(inputs: dict[str, Any], walked: Walked, track: Track, name: str) -> None:
    """Keep the drum's ledger: what is wound under load counts with its tension, all else is slack."""
    ledger = walked.ledger
    if track.loaded and track.rope[-1] > track.rope[0]:
        ledger.wind(track.rope, track.drum_pull)
    else:
        ledger.pay_out(min(ledger.rope, float(track.rope[-1])))
    if track.loaded and name == "luff-in":  # lowered under load: the rope slips back to what the load keeps tight
        ledger.clamp(float(track.drum_pull[-1]), inputs["rope_friction"])
    if name in WINDING and track.loaded:
        walked.winding.append(track)
    (walked.loaded if track.loaded else walked.empty).append(track)


def _of_move(context: Context, lift: Lift, where: str, move: Move, track: Track, slings: Slings) -> Found:
    rig = context.rig
    for at in (0, -1):
        yield "boom angle [deg]", where, degrees(track.angle[at]), move["boom_angle_deg"][at]
        yield "loaded radius [m]", where, track.loaded_radius[at], move["loaded_radius_m"][at]
        yield "hook height [m]", where, track.hook[at], move["hook_height_m"][at]
        yield "rope on drum [m]", where, track.rope[at], move["rope_on_drum_m"][at]
        turns = rig.drum.turns_at(move["layer"][at], move["wrap"][at])
        yield "wraps on drum", where, rig.drum.turns(track.rope[at]), turns
        yield "lead line pull [N]", where, track.lead[at], move["lead_line_n"][at]
        if track.loaded:
            yield "load height [m]", where, track.hook[at] - lift.hook(slings), move["load_height_m"][at]
            share = track.drum_pull[at] / rig.rated_pull
            yield "drum tension [of rated pull]", where, share, move["drum_tension_share"][at]
    if track.loaded:
        yield "load of a move [kg]", where, lift.hanging(slings), move["load_kg"]
    yield "gross load [kg]", where, track.gross.max(), move["gross_load_kg"]
    yield "rated capacity [kg]", where, track.capacity.min(), move["rated_capacity_kg"]
    yield "capacity use", where, (track.gross / track.capacity).max(), move["capacity_use"]


def _end(lift: Lift, where: str, then: list[Move], move: Move, slings: Slings) -> Found:
    """Luffing out goes as far as it can; before telescoping, only so far that the short boom clears the carrier."""
    rig, stop = lift.rig, inf
    telescoping = next((m for m in then if m["move"] == "telescope-in"), None)
    if telescoping:
        long, short = telescoping["boom_length_m"]
        stop = float(rig.radius(long, rig.angle(short, rig.least_radius(short))))
    here = lift.at_length(move["boom_length_m"][0])
    end = furthest(here, move["radius_m"][0], slings, stop, move["radius_m"][1])
    yield "end of luffing out [m]", where, end, move["radius_m"][1]


def furthest(lift: Lift, radius: float, slings: Slings, stop: float, got: float) -> float:
    """Where luffing out ends; within 0.1 % of a load the chart just carries, either of two rows is right."""

    def end(more: float) -> float:
        found = reach.furthest(replace(lift, net=lift.net + more), radius, slings, stop)
        return radius if found is None else found

    here = end(0.0)
    if abs(here - got) <= STEPS["end of luffing out [m]"]:
        return here
    by = SHARE * lift.gross(radius, lift.hook(slings), slings)
    return got if end(by) <= got <= end(-by) else here


def _hanging(
    context: Context, lift: Lift, where: str, one: dict[str, Any], landed: Landed | None, hung: Hung | None
) -> Found:
    """Where the slings are hung, and by how much the empty hook is lowered there."""
    got, moves = one["slings_hung"], one["moves"]
    if landed is None:
        radius = start.hanging_radius(lift, context.stops["start_radius_m"])
        hook = min(context.inputs["reach_height_m"], start.hook_on(lift))
        yield "slings hung at radius [m]", where, radius, got["radius_m"]
        yield "slings hung at hook height [m]", where, hook, got["hook_height_m"]
        yield "hook at the count [m]", where, hook, moves[0]["hook_height_m"][1]
        yield "rope lost [m]", where, 0, one["rope_lost_m"]
        return
    if hung is None:
        return
    extension = one["sling_length_m"] - landed.slings["length_m"]
    yield "slings hung at radius [m]", where, hung.hung_at, got["radius_m"]
    yield "slings hung at hook height [m]", where, hung.hung_hook, got["hook_height_m"]
    yield "empty hook lowered [m]", where, hung.lowered, got["lowered_m"]
    yield "extension [m]", where, extension, got["extension_m"]
    yield "rope lost [m]", where, hung.rope_lost, one["rope_lost_m"]
    pick = next(move for move in moves if move["move"] == "pick")
    yield "picked up at radius [m]", where, hung.picked_at, pick["radius_m"][0]
    yield "rope on drum [m]", f"{where} picked up", landed.rope - hung.rope_lost, pick["rope_on_drum_m"][0]
    least = min(min(move["rope_on_drum_m"]) for move in moves)
    yield "relaxed rope paid out again to [m]", where, hung.count, least


def _of_landing(context: Context, where: str, one: dict[str, Any], landed: Landed, walked: Walked) -> Found:
    """What stays firm: whole wraps below those that slip, counted from where the whole load was on the rope."""
    rig, ledger = context.rig, walked.ledger
    ledger.pay_out(landed.rope - rig.falls * context.inputs["sling_slack_m"])
    ledger.clamp(landed.slack_pull(), context.inputs["rope_friction"])
    kept = ledger.firm(rig.firm_tension)
    ledger.rope = landed.rope  # slack once more: the next pass pays it out itself
    turns = rig.drum.turns_at(one["firm_to"]["layer"], one["firm_to"]["wrap"])
    there = rig.drum.rope(turns)
    firm_to = _near(there, landed.firm_to(), landed.firm_to(NEAR), landed.firm_to(-NEAR))
    # the ledger, wrap by wrap, must find at least as much firm as the overlap of the rule leaves
    yield "firm rope the ledger misses [m]", where, 0, max(0.0, min(firm_to, landed.rope) - kept)
    yield "firm up to, wraps", where, rig.drum.turns(firm_to), turns
    yield "overlap [m]", where, landed.rope - firm_to, one["overlap_m"]
    firm = max(0.0, firm_to - walked.firm_from)
    yield "firm rope [m]", where, firm, one["firm_rope_m"]
    yield "firm share", where, firm / rig.rope_length, one["firm_share"]
    yield from _firm_from(context, where, one, walked)
    layers = one["firm_layers"] or (0, 0)
    yield "first firm layer", where, rig.drum.layer_at(walked.firm_from + 1e-6) if firm else 0, layers[0]
    yield "last firm layer", where, rig.drum.layer_at(firm_to) if firm else 0, layers[1]
    enough = context.beds.full_pull(firm_to)
    falls = enough.falls if context.firm_bed(walked.firm_from) else None
    yield "fewest falls for full pull", where, falls or 0, one["full_pull_falls_min"] or 0
    up_to = None if falls is None else enough.hook_up_to
    yield "hook at full pull up to [m]", where, up_to or 0, one["full_pull_hook_up_to_m"] or 0


def _near(there: float, *candidates: float) -> float:
    """The candidate nearest the plan's: a wrap that is just complete may count or not."""
    return min(candidates, key=lambda candidate: abs(candidate - there))


def _firm_from(context: Context, where: str, one: dict[str, Any], walked: Walked) -> Found:
    drum = context.rig.drum
    got = drum.turns_at(one["firm_from"]["layer"], one["firm_from"]["wrap"])
    expected = float(drum.dead) if context.firm_bed(walked.firm_from) else drum.turns(walked.firm_from)
    yield "firm from, wraps", where, expected, got


def _returns(context: Context, where: str, one: dict[str, Any], number: int, method: dict[str, Any]) -> Found:
    """How the load comes back for the next pass; a second load stands beside the first."""
    wanted = context.inputs["load_return"] if number else "none"
    yield "way the load returns", f"{where} {one['load_return']}", 0, one["load_return"] != wanted
    slew = one.get("slew_deg")
    if wanted != "second-load" or context.slung is None:
        yield "slew to the second load [deg]", where, 0, slew or 0
        return
    base, before = context.slung.base, method["passes"][number - 1]["moves"][-1]
    pick = next(move for move in one["moves"] if move["move"] == "pick")
    nearer = min(pick["radius_m"][0], before["radius_m"][1])
    across = (base["length_m"] ** 2 + base["width_m"] ** 2) ** 0.5 + context.inputs["swing_room_m"]
    yield "slew to the second load [deg]", where, degrees(asin(min(1.0, across / nearer))), slew or 0
    yield "second load not at hand", where, 0, not loads.twice_at_hand(context.inputs, context.counts)


def _of_whole(context: Context, method: dict[str, Any], walked: Walked) -> Found:
    """What is told of a method as a whole."""
    inputs, rig, name = context.inputs, context.rig, method["name"]
    passes = method["passes"]
    allowed = {"none": 1, "second-load": 2}.get(inputs["load_return"], inf)
    yield "passes too many", name, 0, max(0, len(passes) - min(allowed, inputs["most_passes"]))
    yield "passes that gain nothing", name, 0, _useless(context, passes, walked)
    yield "minutes of a method", name, walked.minutes, method["minutes"]
    rigging = inputs["setting_up_time_s"] + rig.falls * inputs["reeving_time_s"]
    yield "rigging minutes", name, rigging / 60, method["rigging_minutes"]
    outermost = max(float(track.loaded_radius.max()) for track in walked.loaded)
    yield "working radius [m]", name, outermost + inputs["load_size_m"] / 2, method["working_radius_m"]
    use = max(float((track.gross / track.capacity).max()) for track in walked.loaded)
    yield "most capacity use", name, use, method["most_capacity_use"]
    yield from _whole_chart(context, method)
    longest = max(one["sling_length_m"] for one in passes)
    yield "longest slings [m]", name, longest, method["longest_sling_m"]
    lengths = [one["sling_length_m"] for one in passes]
    yield "slings not longer each pass", name, 0, lengths != sorted(set(lengths))
    shortest = min(length for one in passes for move in one["moves"] for length in move["boom_length_m"])
    out = rig.to_head(shortest) + rig.round_sheaves + rig.falls * inputs["upper_stop_m"]
    yield "firm share limit", name, (rig.rope_length - out) / rig.rope_length, method["firm_share_limit"]


def _whole_chart(context: Context, method: dict[str, Any]) -> Found:
    """How far out the chart itself would carry the last pass, nothing kept back of it."""
    last = method["passes"][-1]
    move = [move for move in last["moves"] if move["move"] == "luff-out" and move["load_kg"] > 0][-1]
    slings = context.slings(last["sling_length_m"])
    if context.lift is None:
        return
    lift = context.lift.at_length(move["boom_length_m"][0])
    end = reach.furthest(lift, move["radius_m"][0], slings, share=1.0)
    here = move["radius_m"][0] if end is None else end
    loaded = lift.loaded_radius(here, lift.hook(slings), slings)
    yield "radius to the whole chart [m]", method["name"], loaded, method["chart_radius_m"]


def _useless(context: Context, passes: list[dict[str, Any]], walked: Walked) -> int:
    """Passes that should not be there: a first one of too little gain, a last one that gets nothing new."""
    rope = context.rig.rope_length
    useless = int(passes[0]["firm_rope_m"] < context.inputs["least_gain_share"] * rope * (1 - 1e-6))
    if len(passes) > 1:
        before, last = passes[-2], passes[-1]
        fewer = (last["full_pull_falls_min"] or inf) < (before["full_pull_falls_min"] or inf)
        target = context.inputs["target_share"] * rope - beneath(context, walked)
        reached = last["firm_rope_m"] >= target - 1e-6 > before["firm_rope_m"] - 1e-5
        useless += not (fewer or reached)
    return useless


def beneath(context: Context, walked: Walked) -> float:
    """Rope known to lie firm beneath what is wound, above the dead wraps [m]."""
    known = min(walked.firm_from, context.inputs["firm_below_m"])
    return float(max(0.0, known - context.rig.drum.dead_rope))
