"""Every measurement against its goal: `python -m benchmark [--plans 60 600 2400]`.

Times are seconds of the processor, so other programs disturb them little; what counts are ratios within one run.
"""

from __future__ import annotations

import argparse
import gzip
import json
import math
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from benchmark import build, fleet, material, plan, search

SIZES = (60, 600, 2400)
SETTINGS = build.ROOT / "mkdocs.yml"


@dataclass(frozen=True)
class Size:
    """One size of the fleet: pages in all, the cold and the warm build, bare Material, and where the site stands."""

    plans: int
    pages: int
    cold: build.Built
    warm: build.Built
    bare: build.Built
    site: Path


def size(folder: Path, plans: int) -> Size:
    """Build a fleet of so many plan pages cold, again after a change of one line, and its content by bare Material."""
    rules = fleet.write(folder, round(plans / fleet.PLANS))
    given = {"FIRMWRAP_DATA": str(rules), "FIRMWRAP_CACHE": str(folder / "cache")}
    cold = build.build(SETTINGS, folder / "site", **given)
    fleet.change_a_line(rules)
    warm = build.build(SETTINGS, folder / "site", **given)
    bare = build.build(material.write(folder / "site", folder), folder / "bare")
    return Size(plans, sum(1 for _ in (folder / "site").rglob("index.html")), cold, warm, bare, folder / "site")


def line(what: str, found: str, goal: str = "", held: bool | None = None) -> None:
    said = "" if held is None else "pass" if held else "short of it"
    print(f"{what:<58} {found:>22}  {goal:<28} {said}".rstrip(), flush=True)


def goal(what: str, value: float, limit: float, unit: str, holds: Callable[[float, float], bool] | None = None) -> None:
    """One figure that is to lie below its limit, or to hold another comparison."""
    held = holds(value, limit) if holds else value < limit
    line(what, f"{value:.3g} {unit}".strip(), f"{'at least' if holds else 'under'} {limit:g} {unit}".strip(), held)


def plans() -> None:
    for one in plan.measure():
        goal(f"plan {one.name}", one.seconds * 1000, 5, "ms")
        goal(f"plan {one.name}: with units carried, times slower", one.naive / one.seconds, 20, "x", float.__ge__)
        what = f"plan {one.name}: largest difference of {one.numbers} numbers"
        goal(what, one.difference, plan.AGREE, "")


def builds(one: Size) -> None:
    name = f"{one.plans} plan pages"
    line(f"{name}: pages in all", str(one.pages))
    line(f"{name}: cold, calculation alone", f"{one.cold.calculation:.1f} s")
    line(f"{name}: cold, site alone", f"{one.cold.site:.1f} s")
    line(f"{name}: cold, together", f"{one.cold.seconds:.1f} s, {one.cold.megabytes:.0f} MB")
    line(f"{name}: bare Material", f"{one.bare.seconds:.1f} s, {one.bare.megabytes:.0f} MB")
    goal(f"{name}: site alone / bare Material", one.cold.site / one.bare.seconds, 0.2, "")
    goal(f"{name}: one line changed / cold", one.warm.seconds / one.cold.seconds, 0.2, "")
    goal(f"{name}: most memory", max(one.cold.megabytes, one.warm.megabytes), 500, "MB")


def growth(before: Size, after: Size) -> None:
    exponent = math.log(after.cold.site / before.cold.site) / math.log(after.pages / before.pages)
    goal(f"growth of the site alone, {before.plans} to {after.plans}, exponent", exponent, 1.1, "")


def sizes(one: Size) -> None:
    """Weights of the largest page, the search index and the copy on a phone."""
    pages = {path: path.stat().st_size for path in one.site.rglob("index.html")}
    largest = max(pages, key=lambda path: pages[path])
    index = (one.site / "search/search_index.json").read_bytes()
    listed = json.loads(next((one.site / "offline").glob("list.*.json")).read_text(encoding="utf-8"))
    packed = len(gzip.compress(largest.read_bytes(), 6))
    name = f"{one.plans} plan pages"
    line(f"{name}: mean page", f"{sum(pages.values()) / len(pages) / 1000:.0f} kB")
    line(f"{name}: largest page", f"{pages[largest] / 1000:.0f} kB, {packed / 1000:.0f} kB packed")
    line(f"{name}: search index", f"{len(index) / 1000:.0f} kB, {len(gzip.compress(index, 6)) / 1000:.0f} kB packed")
    line(f"{name}: copy on a phone, without cranes saved by hand", f"{listed['bytes'] / 1e6:.2f} MB packed")


def searches(one: Size) -> None:
    if (found := search.measure(one.site)) is None:
        line("search", "not measured: Chromium is not installed")
        return
    goal(f"{one.plans} plan pages: search ready, phone {search.THROTTLE} times slower", found.ready, 3, "s")
    goal(f"{one.plans} plan pages: slowest query after that", found.slowest, 200, "ms")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m benchmark", description="Measure against the goals.")
    parser.add_argument("--plans", type=int, nargs="+", default=SIZES, help="plan pages of the fleets (60 600 2400)")
    wanted = parser.parse_args().plans
    plans()
    with tempfile.TemporaryDirectory() as folder:
        found: list[Size] = []
        for count in wanted:
            place = Path(folder, str(count))
            place.mkdir()
            found.append(size(place, count))
            builds(found[-1])
            sizes(found[-1])
        for before, after in pairwise(found):
            growth(before, after)
        searches(found[-1])


if __name__ == "__main__":
    main()
