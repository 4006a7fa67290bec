"""One plan to compare: its rig, its load as made up again from the yard, the beds, and how two numbers are told apart.

May import: the modules beside it.  Must not know: `calc`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from independent import loads, start
from independent.beds import Beds
from independent.lift import Lift, Slings
from independent.loads import Slung
from independent.rig import Rig

Found = Iterator[tuple[str, str, Any, Any]]  # quantity, where, computed here, in the plan


class Context:
    """What is known of a plan before its numbers are compared."""

    def __init__(self, plan: Mapping[str, Any]) -> None:
        self.plan = plan
        self.inputs: dict[str, Any] = plan["inputs"]
        self.boom_length: float = plan["boom_length_m"]
        self.load: dict[str, Any] = plan["load"]
        self.stops: dict[str, Any] = plan["stops"]
        self.methods: list[dict[str, Any]] = [m for m in plan["methods"] if m and not m["refused"]]
        self.rig = Rig(self.inputs, plan["falls"]["used"], self._block())
        self.least_radius = self.rig.least_radius(self.boom_length)
        counts = {part["item"]: part["count"] for part in self.load["yard"]}
        self.counts = tuple(counts.get(weight["item"], 0) for weight in self.inputs["weights"])
        self.slung = loads.slung(self.inputs, self.counts)
        passes = [one for method in self.methods for one in method["passes"]]
        self.first = self.slings(passes[0]["sling_length_m"]) if passes else self._by_mass(self.load["slings_kg"])
        self.lift = self.lift_of(self.slung, self.first) if self.slung else None
        self.beds = Beds(self.rig, self.boom_length, start.stop_rope(self.rig), plan["falls"]["reeving_limit"])

    def _block(self) -> dict[str, Any]:
        """The hook block the plan hangs: by its mass, among those for so many falls."""
        used = self.plan["falls"]["used"]
        block: dict[str, Any] = next(
            block
            for block in self.inputs["blocks"]
            if block["falls"][0] <= used <= block["falls"][1] and block["mass_kg"] == self.load["hook_block_kg"]
        )
        return block

    def lift_of(self, slung: Slung, first: Slings, rig: Rig | None = None) -> Lift:
        """A load on these slings, on this rig or another."""
        base_set = self.inputs["slings"][0]["length_m"]
        pick = slung.pick + first["length_m"] - base_set
        twice = loads.twice_at_hand(self.inputs, slung.counts)
        return Lift(rig or self.rig, self.boom_length, slung.net, pick, base_set - slung.hanging, first, twice)

    def _by_mass(self, mass: float) -> Slings:
        """Slings of a plan without passes: the shortest of this mass."""
        slings: Slings = next(s for s in self.inputs["slings"] if abs(s["mass_kg"] - mass) < 1e-3)
        return slings

    def slings(self, length: float) -> Slings:
        slings: Slings = next(s for s in self.inputs["slings"] if abs(s["length_m"] - length) < 1e-6)
        return slings

    def firm_bed(self, firm_from: float) -> bool:
        """Whether what stays unreached beneath is no more than the rule allows, or known to lie firm."""
        return bool(firm_from - self.rig.drum.dead_rope <= self.rig.may_stay + 1e-6)
