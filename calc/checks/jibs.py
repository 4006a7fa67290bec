"""What the schema of a crane's jibs cannot see: what each kind needs, which configuration is rigged with which."""

from __future__ import annotations

from collections.abc import Iterator

from calc.checks.folder import repeated
from calc.data import build
from calc.data.files import Document, Problem

# Beside length and rope path: what a jib of a kind needs, and what has no meaning for it.
HELD = (("offset",), ("boom_angle", "luffing_per_minute"))
LUFFED = (("boom_angle", "luffing_per_minute", "least_angle"), ("offset",))


def problems(document: Document) -> Iterator[Problem]:
    """Problems of the jibs in a `document` and of the configurations that name them."""
    yield from repeated(document, ("boom", "jibs"), ("id",))
    for i, jib in enumerate(document.data["boom"].get("jibs", [])):
        needed, none = LUFFED if jib["kind"] == "luffing" else HELD
        for name in needed:
            if name not in jib:
                yield document.problem(("boom", "jibs", i, name), f"is missing; a {jib['kind']} jib needs it")
        for name in none:
            if name in jib:
                yield document.problem(("boom", "jibs", i, name), f"a {jib['kind']} jib has none; take it out")
    yield from _configurations(document)


def _configurations(document: Document) -> Iterator[Problem]:
    """Each names a jib there is and lists no telescoping load with it, and each jib is named; where the main boom and a
    jib list the same boom length, the main boom comes first: it has the short address."""
    known = [jib["id"] for jib in document.data["boom"].get("jibs", [])]
    rigged: set[str] = set()  # boom lengths met with a jib
    used: set[str] = set()
    for i, configuration in enumerate(document.data["configurations"]):
        here = ("configurations", i)
        jib = configuration.get("jib")
        slugs = {build.slug(chart["boom_length"]): j for j, chart in enumerate(configuration["charts"])}
        if jib is None:
            for slug in slugs.keys() & rigged:
                text = f"{slug} is listed with a jib before; list the charts of the main boom first"
                yield document.problem((*here, "charts", slugs[slug], "boom_length"), text)
            continue
        rigged |= slugs.keys()
        used.add(jib)
        if jib not in known:
            text = f"there is no jib '{jib}' under boom; known: {' '.join(known) or 'none'}"
            yield document.problem((*here, "jib"), text)
        for j, chart in enumerate(configuration["charts"]):
            if "telescoping" in chart:
                text = "no plan telescopes with a jib; take it out"
                yield document.problem((*here, "charts", j, "telescoping"), text)
    for i, id in enumerate(known):
        if id not in used:
            yield document.problem(("boom", "jibs", i, "id"), f"no configuration names the jib '{id}'; add its charts")
