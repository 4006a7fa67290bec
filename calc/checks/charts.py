"""What the schema of a crane's capacity charts cannot see: the order of booms and radii, one address for each boom,
the most cautious configuration first."""

from __future__ import annotations

from collections.abc import Iterator

from calc.data import build, units
from calc.data.files import Document, Problem, Where


def problems(document: Document) -> Iterator[Problem]:
    """Problems of the charts in a `document`: boom lengths rise in a configuration, radii in a chart; one address for
    one boom length."""
    address: dict[int, str] = {}
    for i, configuration in enumerate(document.data["configurations"]):
        longest = 0.0
        for j, chart in enumerate(configuration["charts"]):
            here = ("configurations", i, "charts", j)
            written = chart["boom_length"]
            length = units.read(written, "length")
            if length <= longest:
                text = f"{written} is not longer than the one before it; list boom lengths rising, each once"
                yield document.problem((*here, "boom_length"), text)
            longest = max(length, longest)
            slug = build.slug(written)
            other = address.setdefault(round(length * 1000), slug)
            if other != slug:
                text = f"{written} has the address {slug}, elsewhere {other}; write it in one unit"
                yield document.problem((*here, "boom_length"), text)
            yield from _radii(document, chart["rows"], (*here, "rows"))


def _radii(document: Document, rows: list[list[str]], here: Where) -> Iterator[Problem]:
    largest = 0.0
    for k, (radius, _) in enumerate(rows):
        value = units.read(radius, "length")
        if value <= largest:
            text = f"radius {radius} is not larger than the one before it; list radii rising, each once"
            yield document.problem((*here, k), text)
        largest = max(value, largest)


def most_cautious_first(document: Document) -> Iterator[Problem]:
    """Problems of the order of the configurations in a `document` whose charts have none: the short address shows the
    first-listed, so none of its capacities lies above another's with the same jib, or without one."""
    first: dict[tuple[str | None, str], dict[float, tuple[str, float]]] = {}
    place: dict[tuple[str | None, str], Where] = {}
    for i, configuration in enumerate(document.data["configurations"]):
        for j, chart in enumerate(configuration["charts"]):
            rig = configuration.get("jib"), build.slug(chart["boom_length"])
            rows = {units.read(r, "length"): (r, units.read(capacity, "mass")) for r, capacity in chart["rows"]}
            listed = first.setdefault(rig, rows)
            here = place.setdefault(rig, ("configurations", i, "charts", j))
            above = [text for radius, (text, most) in listed.items() if radius in rows and most > rows[radius][1]]
            if above:
                text = f"at {above[0]} lists more than {configuration['id']}; put the most cautious one first"
                yield document.problem(here, text)
