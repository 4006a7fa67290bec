"""The start of a plan, computed again from its file alone: python recompute.py FILE"""

import json
import sys
from math import pi, sqrt
from typing import Any


def recompute(plan: dict[str, Any]) -> dict[str, float]:
    """Every letter of the formulas with the hook at the start, in metres."""
    inputs, stops, n = plan["inputs"], plan["stops"], plan["falls"]["used"]
    fits = (k for k in inputs["blocks"] if k["falls"][0] <= n <= k["falls"][1])
    b = next(k["height_m"] for k in fits if k["mass_kg"] == plan["load"]["hook_block_kg"])
    L, r, h = plan["boom_length_m"], stops["start_radius_m"], stops["start_hook_height_m"]
    reach = r - inputs["pivot_forward_m"]
    rise = sqrt(L**2 - reach**2)

    # rope off the drum and on it
    H = inputs["pivot_height_m"] + rise
    P = L + inputs["rope_path_extra_m"]
    s = H - h - b
    w = (n - 1) * pi * inputs["sheave_radius_m"]
    R = P + n * s + w
    on_drum = inputs["rope_length_m"] - R

    # height at which the hook meets the dead wraps, and the margin on it
    smooth = inputs["drum_surface"] == "smooth"
    dead = inputs["wraps_odd_layers"] if smooth else inputs["dead_wraps"]
    L_u = inputs["rope_length_m"] - dead * pi * (inputs["groove_root_diameter_m"] + inputs["rope_diameter_m"])
    met = H - b - (L_u - P - w) / n
    method = next(m for m in plan["methods"] if m and not m["refused"])
    pick = next(m for m in method["passes"][0]["moves"] if m["move"] == "pick")
    grown = min(L, reach + inputs["deflection_share"] * L * pick["capacity_use"])
    rebound = rise - sqrt(L**2 - grown**2)
    margin = max(inputs["stop_margin_m"], inputs["stop_margin_share"] * inputs["rope_length_m"] / n + rebound)
    h_stop = met + margin

    names = "H P s w R on_drum L_u rebound margin h_stop".split()
    return dict(zip(names, (H, P, s, w, R, on_drum, L_u, rebound, margin, h_stop), strict=True))


def printed(found: dict[str, float]) -> str:
    return "\n".join(f"{letter} = {metres:.4f} m" for letter, metres in found.items())


if __name__ == "__main__":
    with open(sys.argv[1], encoding="utf-8") as file:
        print(printed(recompute(json.load(file))))
