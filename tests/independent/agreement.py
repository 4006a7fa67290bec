"""Every number of one plan against its second computation.

Each move is walked from where the plan begins it, so that one wrong number shows once and not in all that follow; where
a move ends, and all the plan had to find, is searched anew.  May import: numpy, the modules beside it.  Must not know:
`calc`.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, inf
from typing import Any

from independent import choice, search
from independent.compared import SHARE, STEPS, Compared
from independent.drum_wraps import SLIVER, Ledger
from independent.rig import GRAVITY, Rig
from independent.walk import WINDING, Track, walk


def compare(plan: dict[str, Any]) -> Iterator[Compared]:
    """All comparisons of one plan; a refused plan is compared in what it fills."""
    name = f"{plan['machine']} {plan['boom']} {plan['configuration']}"
    for quantity, where, expected, got in _Plan(plan).all():
        yield Compared(quantity, f"{name}{where and ', '}{where}", float(expected), float(got))


_Found = Iterator[tuple[str, str, Any, Any]]


class _Plan:
    def __init__(self, plan: dict[str, Any]) -> None:
        self.plan = plan
        self.inputs: dict[str, Any] = plan["inputs"]
        self.boom_length: float = plan["boom_length_m"]
        self.methods = [m for m in plan["methods"] if m and not m["refused"]]
        self.load = plan["load"]
        self.stops = plan["stops"]

    def all(self) -> _Found:
        falls, inputs = self.plan["falls"], self.inputs
        yield "estimate of falls", "", search.estimate_of_falls(inputs, self.boom_length), falls["estimate"]
        most = max(block["falls"][1] for block in inputs["blocks"])
        yield "reeving limit", "", min(inputs["most_falls"], most), falls["reeving_limit"]
        if falls["used"] is None or not self.load or not self.stops:
            return
        rig = self.rig = Rig(inputs, falls["used"], self._block())
        self.least_radius = rig.least_radius(self.boom_length)
        self.on_ground = inputs["load_height_m"] + inputs["slings"][0]["length_m"]
        exact = search.exact_falls(rig, self.boom_length, self.least_radius, self.on_ground + inputs["clearance_m"])
        yield "exact falls", "", exact, falls["exact"]
        pull = inputs["minimum_share"] * inputs["rated_line_pull_n"]
        yield "least load [kg]", "", sum(pull / GRAVITY for _ in range(falls["used"])), self.load["minimum_kg"]
        yield from self._stops()
        yield from self._beds()
        self.winding: list[Track] = []
        for method in self.methods:
            yield from self._method(method)
        if self.winding:
            found = search.load_for_drum_tension(rig, self.winding)
            yield "least load for drum tension [kg]", "", found, self.load["for_drum_tension_kg"]
            least = min(float(track.drum_pull.min()) for track in self.winding)
            share = least / inputs["minimum_breaking_force_n"]
            yield "share of breaking force", "", share, self.load["share_of_breaking_force"]
            yield from self._load()
            yield from self._warnings(least)
            yield "fewer falls that reach", "", 0, len(list(choice.fewer_falls_that_reach(self.plan)))
        if self.plan["methods"][1] and self.plan["methods"][1]["refused"] != {"code": "shortest-boom"}:
            yield from self._telescoping()
        yield from self._heavier()

    def _block(self) -> dict[str, Any]:
        """The hook block the plan hangs: by its mass, among those for so many falls."""
        used = self.plan["falls"]["used"]
        return next(
            block
            for block in self.inputs["blocks"]
            if block["falls"][0] <= used <= block["falls"][1] and block["mass_kg"] == self.load["hook_block_kg"]
        )

    def _stops(self) -> _Found:
        rig, stops, load = self.rig, self.stops, self.load["planned_kg"]
        hook, radius = stops["start_hook_height_m"], stops["start_radius_m"]
        slings = self.inputs["slings"][0]["length_m"]
        slings = self.methods[0]["passes"][0]["sling_length_m"] if self.methods else slings
        yield "start hook height [m]", "", self.inputs["load_height_m"] + slings, hook
        if self.methods:
            start = search.start_radius(rig, self.boom_length, self.least_radius, load, hook)
            yield "start flatter than needed [m]", "", 0, max(0.0, radius - start)
            room = search.room_at_start(rig, self.boom_length, radius, load, hook)
            yield "hook under the stop at the start [m]", "", 0, max(0.0, -room)
        height = search.stop_height(rig, self.boom_length, radius, load, hook)
        yield "stop height [m]", "at the start radius", height, stops["hook_height_m"]
        for at, got in stops["by_radius"]:
            yield "stop height [m]", f"at {at} m", search.stop_height(rig, self.boom_length, at, load, hook), got
        moves = [m for method in self.methods for one in method["passes"] for m in one["moves"] if m["load_kg"]]
        states = [state for m in moves for state in zip(m["boom_length_m"], m["radius_m"], strict=True)]
        furthest = max((at for length, at in states if length == self.boom_length), default=radius)
        listed = rig.charts.radius[rig.charts.at(self.boom_length)]
        last = max([radius, *listed[(listed > radius) & (listed <= furthest + 1e-6)]])
        yield "last radius of the stop heights [m]", "", last, stops["by_radius"][-1][0]
        for row in stops["shorter_rope"]:
            height = search.stop_height(rig, self.boom_length, radius, load, hook, row["less_m"])
            yield "stop height, shorter rope [m]", f"{row['less_m']} m less", height, row["hook_height_m"]
        rope = float(rig.rope_on_drum(self.boom_length, rig.angle(self.boom_length, radius), hook))
        yield "rope on drum [m]", "at the start", rope, stops["rope_at_start_m"]
        turns = rig.drum.turns_at(stops["layer_at_start"], stops["wrap_at_start"])
        yield "wraps on drum", "at the start", rig.drum.turns(rope), turns
        yield "unreached rope [m]", "", rope - rig.drum.dead_rope, self.plan["falls"]["unreached_rope_m"]

    def _beds(self) -> _Found:
        self.beds: dict[int, float] = {}
        for falls in range(1, self.plan["falls"]["reeving_limit"] + 1):
            # the highest block of those that take these falls: most rope left on the drum, the cautious side
            for_these = [b for b in self.inputs["blocks"] if b["falls"][0] <= falls <= b["falls"][1]]
            block = max(for_these, key=lambda b: float(b["height_m"]))
            bed = search.bed_needed(self.rig, self.boom_length, falls, block, self.on_ground)
            if bed >= search.stop_rope(self.rig) - 1e-6:
                self.beds[falls] = bed
        rows = {row["falls"]: row["metres"] for row in self.plan["bed_needed"]}
        yield "falls with a bed", "", max(self.beds, default=0), max(rows, default=0)
        for falls in self.beds.keys() & rows.keys():
            yield "bed needed [m]", f"{falls} falls", self.beds[falls], rows[falls]

    def _method(self, method: dict[str, Any]) -> _Found:
        inputs, rig = self.inputs, self.rig
        start = method["passes"][0]["moves"][0]
        yield "start hook height [m]", method["name"], self.stops["start_hook_height_m"], start["hook_height_m"][1]
        ledger = Ledger(rig.drum, start["rope_on_drum_m"][1])
        # more unreached than the rule allows: then nothing above it lies on a firm bed
        self.bed_may_be_loose = start["rope_on_drum_m"][1] - rig.drum.dead_rope > rig.may_stay + 1e-6
        minutes, landed, outermost = 0.0, None, 0.0
        for number, one in enumerate(method["passes"]):
            where = f"{method['name']} pass {number + 1}"
            tracks = []
            for at, move in enumerate(one["moves"]):
                track = walk(rig, move, first_pick=number == 0)
                tracks.append(track)
                here = f"{where} move {at + 1} {move['move']}"
                yield from self._move(here, move, track, one["sling_length_m"])
                slings = next(s for s in inputs["slings"] if s["length_m"] == one["sling_length_m"])
                broken = choice.broken_limits(rig, track, move["load_kg"] > 0, slings, self.load["net_kg"])
                yield "limits broken", f"{here} {' '.join(sorted(broken))}", 0, len(broken)
                if move["move"] == "luff-out":
                    yield from self._end(here, one["moves"][at + 1 :], move)
                if move["load_kg"] and track.rope[-1] > track.rope[0]:
                    ledger.wind(track.rope, track.drum_pull)
                else:
                    ledger.pay_out(float(track.rope[-1]))
                outermost = max(outermost, float((track.radius).max())) if move["load_kg"] else outermost
            self.winding += [t for t, m in zip(tracks, one["moves"], strict=True) if m["move"] in WINDING]
            if landed:
                yield from self._overlap(where, landed, one)
            landed = one["moves"][-1]
            yield from self._pass(where, one, tracks, ledger)
            minutes += sum(track.seconds for track in tracks) / 60
        firm = [0.0] + [one["firm_rope_m"] for one in method["passes"]]
        least = inputs["least_gain_share"] * rig.rope_length * (1 - 1e-6)
        small = sum(after - before < least for before, after in zip(firm[1:], firm[2:], strict=False))
        yield "passes too many", method["name"], 0, small + max(0, len(method["passes"]) - inputs["most_passes"])
        yield "minutes of a method", method["name"], minutes, method["minutes"]
        yield "working radius [m]", method["name"], outermost + inputs["load_size_m"] / 2, method["working_radius_m"]
        shortest = min(length for one in method["passes"] for move in one["moves"] for length in move["boom_length_m"])
        out = shortest + inputs["rope_path_extra_m"] + rig.round_sheaves + rig.falls * inputs["upper_stop_m"]
        yield "firm share limit", method["name"], (rig.rope_length - out) / rig.rope_length, method["firm_share_limit"]

    def _move(self, where: str, move: dict[str, Any], track: Track, slings: float) -> _Found:
        for at in (0, -1):
            yield "boom angle [deg]", where, degrees(track.angle[at]), move["boom_angle_deg"][at]
            yield "hook height [m]", where, track.hook[at], move["hook_height_m"][at]
            yield "rope on drum [m]", where, track.rope[at], move["rope_on_drum_m"][at]
            turns = self.rig.drum.turns_at(move["layer"][at], move["wrap"][at])
            yield "wraps on drum", where, self.rig.drum.turns(track.rope[at]), turns
            yield "lead line pull [N]", where, track.lead[at], move["lead_line_n"][at]
            if move["load_kg"]:
                below = track.hook[at] - slings - self.inputs["load_height_m"]
                yield "load height [m]", where, below, move["load_height_m"][at]
                share = track.drum_pull[at] / self.rig.rated_pull
                yield "drum tension [of rated pull]", where, share, move["drum_tension_share"][at]
        yield "gross load [kg]", where, track.gross.max(), move["gross_load_kg"]
        yield "rated capacity [kg]", where, track.capacity.min(), move["rated_capacity_kg"]
        yield "capacity use", where, (track.gross / track.capacity).max(), move["capacity_use"]
        yield "minutes of a move", where, track.seconds / 60, move["minutes"]

    def _end(self, where: str, then: list[dict[str, Any]], move: dict[str, Any]) -> _Found:
        """Luffing out goes as far as it can; before telescoping, only so far that the short boom clears the carrier."""
        stop = inf
        telescoping = next((m for m in then if m["move"] == "telescope-in"), None)
        if telescoping:
            length, short = telescoping["boom_length_m"]
            least = self.rig.least_radius(short)
            stop = float(self.rig.radius(length, self.rig.angle(short, least)))
        hook, length = move["hook_height_m"][0], move["boom_length_m"][0]
        radius = move["radius_m"][0]
        end = self._furthest(length, radius, hook, move["load_kg"], stop, move["radius_m"][1])
        yield "end of luffing out [m]", where, end, move["radius_m"][1]

    def _furthest(self, length: float, radius: float, hook: float, load: float, stop: float, got: float) -> float:
        """Where luffing out ends; within 0.1 % of a load the chart just carries, either of two rows is right."""
        end = search.furthest(self.rig, length, radius, hook, load, stop)
        if abs(end - got) <= STEPS["end of luffing out [m]"]:
            return end
        least, most = (search.furthest(self.rig, length, radius, hook, load * (1 + by), stop) for by in (SHARE, -SHARE))
        return got if least <= got <= most else end

    def _relaxed(self, land: dict[str, Any]) -> float:
        """Rope that setting the load down relaxed, at the end of a landing [m]."""
        length, radius, hook = (land[name][1] for name in ("boom_length_m", "radius_m", "hook_height_m"))
        return search.relaxed(self.rig, length, radius, hook, land["load_kg"])

    def _overlap(self, where: str, land: dict[str, Any], one: dict[str, Any]) -> _Found:
        """Before winding goes on, all that was relaxed has been paid out again."""
        least = min(min(move["rope_on_drum_m"]) for move in one["moves"])
        paid_out = land["rope_on_drum_m"][1] - least
        yield "overlap, rope short [m]", where, 0, max(0.0, self._relaxed(land) - paid_out)

    def _pass(self, where: str, one: dict[str, Any], tracks: list[Track], ledger: Ledger) -> _Found:
        least = self.inputs["firm_tension_share"] * self.rig.rated_pull
        firm, first, last = ledger.firm(least)
        if self.load["planned_kg"] < self.load["for_drum_tension_kg"]:  # loose somewhere: known here to the wrap
            wrap = float(self.rig.drum.length[self.rig.drum.full > ledger.bottom + firm - SLIVER][0])
            yield "firm rope under loose rope [m]", where, 0, max(0.0, abs(firm - one["firm_rope_m"]) - wrap)
            firm = one["firm_rope_m"]
        yield "firm rope [m]", where, firm, one["firm_rope_m"]
        yield "firm share", where, firm / self.rig.rope_length, one["firm_share"]
        layers = one["firm_layers"] or (0, 0)
        yield "first firm layer", where, first or 0, layers[0]
        yield "last firm layer", where, last or 0, layers[1]
        # the outermost wraps slip when the load is set down: a bed does not reach into them
        top = min(ledger.bottom + firm, ledger.rope - self._relaxed(one["moves"][-1]))
        enough = 0
        for falls in sorted(self.beds, reverse=True):
            if self.beds[falls] > top + 1e-6 or self.bed_may_be_loose:
                break
            enough = falls
        yield "fewest falls for full pull", where, enough, one["full_pull_falls_min"] or 0
        yield "minutes of a pass", where, sum(track.seconds for track in tracks) / 60, one["minutes"]

    def _load(self) -> _Found:
        """The least of the yard's loads that keeps rule and drum tension, or a lighter one with its warning."""
        inputs, load = self.inputs, self.load
        first = self.methods[0]["passes"][0]["sling_length_m"]
        slings = next(s for s in inputs["slings"] if s["length_m"] == first)
        yield "slings of the first pass [kg]", "", slings["mass_kg"], load["slings_kg"]
        by_rule = load["minimum_kg"] - load["hook_block_kg"] - inputs["slings"][0]["mass_kg"]
        by_tension = load["for_drum_tension_kg"] - load["hook_block_kg"] - slings["mass_kg"]
        if load["planned_kg"] >= load["for_drum_tension_kg"] - 1e-3:
            net = choice.least_net(inputs, max(by_rule, by_tension))
            # a lighter load may go further, and then need more: only where it starts alike and is refused nothing
            refused = any(method and method["refused"] for method in self.plan["methods"])
            alike = first == inputs["slings"][0]["length_m"] and not refused
            yield "net load [kg]", "", net if alike else max(net, load["net_kg"]), load["net_kg"]
            return
        yield "net load enough by the rule", "", 1, load["net_kg"] >= by_rule - 1e-3
        yield "a heavier load would go", "", 0, self._heavier_would_go(choice.least_net(inputs, load["net_kg"] + 1))

    def _heavier_would_go(self, net: float) -> bool:
        """Whether luffing out goes on with this load as far as with the planned one."""
        if net == inf:
            return False
        rig, length, slings = self.rig, self.boom_length, self.inputs["slings"][0]
        hook = self.on_ground
        hanging = rig.block["mass_kg"] + slings["mass_kg"] + net
        start = search.start_radius(rig, length, self.least_radius, hanging, hook)
        low = hook + self.inputs["clearance_m"]
        if start == inf or choice.refusal_on_the_spot(rig, length, rig.angle(length, start), low, net, slings):
            return False
        return search.luffs_out(rig, length, start, hook, hanging)

    def _warnings(self, least_pull: float) -> _Found:
        length = self.rig.rope_length
        best = min(self.methods, key=lambda m: (-round(m["passes"][-1]["firm_rope_m"] / length * 200), m["minutes"]))
        use = max(move["capacity_use"] for one in best["passes"] for move in one["moves"] if move["load_kg"])
        unreached = self.stops["rope_at_start_m"] - self.rig.drum.dead_rope
        beneath = min(self.stops["rope_at_start_m"], self.inputs["firm_below_m"]) - self.rig.drum.dead_rope
        firm = best["passes"][-1]["firm_rope_m"] + max(0.0, beneath)
        wanted = choice.warnings(self.plan, self.rig, use, unreached, least_pull, firm)
        differ = wanted ^ {warning["code"] for warning in self.plan["warnings"]}
        yield "warnings that differ", " ".join(sorted(differ)), 0, len(differ)

    def _telescoping(self) -> _Found:
        """The shortest boom that can be telescoped to is the one telescoped to, and a refusal has its reason."""
        method, hook, hanging = self.plan["methods"][1], self.stops["start_hook_height_m"], self.load["planned_kg"]
        start = search.start_radius(self.rig, self.boom_length, self.least_radius, hanging, hook)
        reached = self.boom_length
        reasons = []
        for target in self.rig.charts.length[:-1]:
            low = hook + self.inputs["clearance_m"]
            reason = choice.telescoping_refusal(self.rig, self.boom_length, start, low, hanging, float(target))
            if reason is None:
                reached = float(target)
                break
            reasons.append(reason)
        moves = [m for one in method["passes"] for m in one["moves"] if m["move"] == "telescope-in"]
        got = moves[0]["boom_length_m"][1] if moves else self.boom_length
        yield "boom length telescoped to [m]", f"{method['refused']} {reasons}", reached, got

    def _heavier(self) -> _Found:
        rig, stops, length = self.rig, self.stops, self.boom_length
        hook, start = stops["start_hook_height_m"], stops["start_radius_m"]
        slings = next(s for s in self.inputs["slings"] if s["length_m"] + self.inputs["load_height_m"] >= hook - 1e-6)
        for row in self.plan["heavier_loads"]:
            where = f"{row['load_kg']:g} kg"
            net = row["load_kg"] - rig.block["mass_kg"] - slings["mass_kg"]
            refused = choice.refusal_on_the_spot(rig, length, rig.angle(length, start), hook, net, slings)
            yield "heavier load that cannot be lifted", f"{where} {refused}", 0, refused is not None
            low = hook + self.inputs["clearance_m"]
            end = self._furthest(length, start, low, row["load_kg"], inf, row["furthest_radius_m"])
            yield "heavier load, furthest radius [m]", where, end, row["furthest_radius_m"]
            yield "heavier load, firm rope [m]", where, self._firm_after(row["load_kg"], end), row["firm_rope_m"]

    def _firm_after(self, load: float, end: float) -> float:
        """Firm rope after luffing out from the start with a load and landing it there [m]."""
        rig, length, low = self.rig, self.boom_length, self.stops["start_hook_height_m"]
        high, start = low + self.inputs["clearance_m"], self.stops["start_radius_m"]
        ledger = Ledger(rig.drum, self.stops["rope_at_start_m"])
        for name, radii, hooks in (("pick", [start, start], [low, high]), ("luff-out", [start, end], [high, high])):
            move = {"move": name, "boom_length_m": [length, length], "radius_m": radii, "hook_height_m": hooks}
            track = walk(rig, move | {"load_kg": load}, first_pick=True)
            ledger.wind(track.rope, track.drum_pull)
        ledger.pay_out(float(rig.rope_on_drum(length, rig.angle(length, end), low)))
        return ledger.firm(self.inputs["firm_tension_share"] * rig.rated_pull)[0]
