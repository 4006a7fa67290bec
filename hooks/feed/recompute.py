"""The count and the warning height of a plan, computed again from its file alone: python recompute.py FILE"""

import json
import sys
from math import pi, sqrt
from typing import Any


def steepest(plan: dict[str, Any]) -> float:
    """Least radius for a load: the first one listed, or more where the load must clear the carrier."""
    inputs = plan["inputs"]
    chart = next(c for c in inputs["charts"] if c["boom_length_m"] == plan["boom_length_m"])
    least: float = max(chart["rows"][0][0], inputs["clear_radius_m"] or 0.0)
    return least


def recompute(plan: dict[str, Any]) -> dict[str, float]:
    """Every letter of the formulas, in metres."""
    inputs, stops, n = plan["inputs"], plan["stops"], plan["falls"]["used"]
    fits = (k for k in inputs["blocks"] if k["falls"][0] <= n <= k["falls"][1])
    b = next(k["height_m"] for k in fits if k["mass_kg"] == plan["load"]["hook_block_kg"])
    L, r, r_0, h = plan["boom_length_m"], stops["start_radius_m"], steepest(plan), stops["start_hook_height_m"]

    # boom and jib as one straight arm: its length and pivot, the rope to its head, the length that bends
    arm, x_p, z_p = L, inputs["pivot_forward_m"], inputs["pivot_height_m"]
    P, bending = L + inputs["rope_path_extra_m"], L
    if jib := inputs.get("jib"):
        arm, x_p, z_p = jib["arm_m"], jib["arm_pivot_forward_m"], jib["arm_pivot_height_m"]
        P, bending = P + jib["length_m"] + jib["rope_longer_than_jib_m"], L + jib["length_m"]

    # the hook while the slings are shackled on: rope off the drum, and on it
    h_on = h - inputs["sling_slack_m"]
    H = z_p + sqrt(arm**2 - (r - x_p) ** 2)
    s = H - h_on - b
    w = (n - 1) * pi * inputs["sheave_radius_m"]
    R = P + n * s + w
    on_drum = inputs["rope_length_m"] - R

    # height at which the hook meets the dead wraps
    smooth = inputs["drum_surface"] == "smooth"
    dead = inputs["wraps_odd_layers"] if smooth else inputs["dead_wraps"]
    L_u = inputs["rope_length_m"] - dead * pi * (inputs["groove_root_diameter_m"] + inputs["rope_diameter_m"])

    # the margin on it, with the boom at its steepest: radius grown under the load, rise of the head when it comes off
    reach = r_0 - x_p
    H_0 = z_p + sqrt(arm**2 - reach**2)
    gross = plan["load"]["planned_kg"] + n * (H_0 - h - b) * inputs["rope_mass_kg_per_m"]
    chart = next(c for c in inputs["charts"] if c["boom_length_m"] == L)
    full = inputs["deflection_share"] * bending
    rows = (C for r_j, C in chart["rows"] if r_j >= r_0 + full * gross / C)
    dr = full * min(1.0, gross / next(rows, gross))
    rebound = H_0 - z_p - sqrt(arm**2 - min(arm, reach + dr) ** 2)
    margin = max(inputs["stop_margin_m"], inputs["stop_margin_share"] * inputs["rope_length_m"] / n + rebound)
    h_stop = H - b - (L_u - P - w) / n + margin

    names = "h_on H P s w R on_drum L_u H_0 dr rebound margin h_stop".split()
    found = (h_on, H, P, s, w, R, on_drum, L_u, H_0, dr, rebound, margin, h_stop)
    return dict(zip(names, found, strict=True))


def printed(found: dict[str, float]) -> str:
    return "\n".join(f"{letter} = {metres:.4f} m" for letter, metres in found.items())


if __name__ == "__main__":
    with open(sys.argv[1], encoding="utf-8") as file:
        print(printed(recompute(json.load(file))))
