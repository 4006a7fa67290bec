"""Draw the packages of calc and hooks and the imports between them: `python tests/architecture.py` writes
docs/dev/architecture.svg.

A package is drawn as one box with everything below it.  A module that stands in calc or hooks itself has a box of its
own, unless there are more than a dozen: those share one.  A box stands below all that it imports.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import TopologicalSorter
from itertools import pairwise
from pathlib import Path
from xml.sax.saxutils import escape

ROOT = Path(__file__).resolve().parent.parent
PICTURE = ROOT / "docs/dev/architecture.svg"
HOUSES = ("calc", "hooks")
ALONE = 12  # modules at most that stand in a house by themselves and are drawn one by one

WIDTH, HEIGHT = 132, 30  # of a box
GAP, DROP = 16, 46  # between two boxes of a row; between two rows
MARGIN = 12
FILL = {"calc": "#d9e6f2", "hooks": "#f5e6cc"}
LINE = "#5a6672"

Ties = dict[str, set[str]]  # box -> the boxes it imports


def modules(root: Path) -> dict[str, Path]:
    """Dotted name -> file, of every module of the houses; of a package its `__init__`."""
    found = {}
    for house in HOUSES:
        for path in sorted((root / house).rglob("*.py")):
            parts = path.relative_to(root).with_suffix("").parts
            found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def _nodes(node: ast.AST) -> Iterator[ast.AST]:
    """All of a tree but what only the type checker reads."""
    yield node
    for child in ast.iter_child_nodes(node):
        if not (isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING"):
            yield from _nodes(child)


def imported(path: Path, known: dict[str, Path]) -> Iterator[str]:
    """The modules of the houses that a file imports, each by its full name."""
    for node in _nodes(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            whole = [f"{node.module}.{alias.name}" for alias in node.names]
            names = [name if name in known else node.module for name in whole]
        else:
            continue
        yield from (name for name in names if name in known)


def boxes(known: dict[str, Path]) -> dict[str, str]:
    """Module -> the box it is drawn in."""
    found: dict[str, str] = {}
    for house in HOUSES:
        below = [name for name in known if name.startswith(f"{house}.")]
        packages = {name.split(".")[1] for name in below if name.count(".") > 1 or known[name].name == "__init__.py"}
        alone = [name for name in below if name.split(".")[1] not in packages]
        found |= {name: ".".join(name.split(".")[:2]) for name in below}
        found |= dict.fromkeys([house, *(alone if len(alone) > ALONE else [])], house)
    return found


def ties(root: Path) -> Ties:
    """What each box imports."""
    known = modules(root)
    box = boxes(known)
    found: Ties = {name: set() for name in box.values()}
    for name, path in known.items():
        found[box[name]] |= {box[other] for other in imported(path, known)} - {box[name]}
    # An `__init__` that holds nothing but its docstring is no box of its own beside the packages of its house.
    for house in HOUSES:
        if house in found and not found[house] and not any(house in others for others in found.values()):
            del found[house]
    return found


def reduced(found: Ties) -> Ties:
    """Without the ties that follow from others; of a circle all stay."""
    reach = {name: _reach(name, found) for name in found}
    return {
        name: {
            other
            for other in others
            if not any(
                other in reach[via] and name not in reach[via] and via not in reach[other] for via in others - {other}
            )
        }
        for name, others in found.items()
    }


def _reach(start: str, found: Ties) -> set[str]:
    seen: set[str] = set()
    waiting = [start]
    while waiting:
        for other in found[waiting.pop()] - seen:
            seen.add(other)
            waiting.append(other)
    return seen


def levels(found: Ties) -> dict[str, int]:
    """Box -> its row: 0 imports nothing, every other stands below all it imports; a circle shares a row."""
    reach = {name: _reach(name, found) for name in found}
    circle = {name: min([name, *(other for other in reach[name] if name in reach[other])]) for name in found}
    merged: Ties = {first: set() for first in circle.values()}
    for name, others in found.items():
        merged[circle[name]] |= {circle[other] for other in others} - {circle[name]}
    level: dict[str, int] = {}
    for first in TopologicalSorter(merged).static_order():
        level[first] = max((level[other] + 1 for other in merged[first]), default=0)
    return {name: level[circle[name]] for name in found}


def rows(found: Ties, level: dict[str, int]) -> tuple[list[list[str]], list[list[str]]]:
    """The boxes of each row in their order, with a place for each line that passes; and each line as the places it
    runs through, from the importer up."""
    row: list[list[str]] = [[] for _ in range(max(level.values(), default=0) + 1)]
    for name in sorted(found):
        row[level[name]].append(name)
    lines = []
    for name in sorted(found):
        for other in sorted(found[name]):
            line = [name]
            for at in range(level[name] - 1, level[other], -1):
                line.append(f"{name}>{other}@{at}")
                row[at].append(line[-1])
            lines.append([*line, other])
    above: Ties = {}
    below: Ties = {}
    for line in lines:
        for low, high in pairwise(line):
            above.setdefault(low, set()).add(high)
            below.setdefault(high, set()).add(low)
    for sweep in range(24):  # each row by the middle of its neighbours, down and up in turn: fewer lines cross
        down = sweep % 2 == 0
        for at in range(1, len(row)) if down else range(len(row) - 2, -1, -1):
            near = row[at - 1 if down else at + 1]
            place = {name: index for index, name in enumerate(near)}
            ties_to = above if down else below
            row[at] = _by_middle(row[at], place, ties_to, len(near))
    return row, lines


def _by_middle(names: list[str], place: dict[str, int], ties_to: Ties, near: int) -> list[str]:
    def middle(item: tuple[int, str]) -> tuple[float, str]:
        index, name = item
        at = [place[other] for other in ties_to.get(name, ()) if other in place]
        own = index / max(len(names) - 1, 1) * max(near - 1, 1)
        return (round(sum(at) / len(at) if at else own, 6), name)

    return [name for _, name in sorted(enumerate(names), key=middle)]


def draw(root: Path = ROOT) -> str:
    """The picture."""
    found = reduced(ties(root))
    row, lines = rows(found, levels(found))
    size = {name: WIDTH if name in found else GAP for names in row for name in names}
    widths = [sum(size[name] for name in names) + GAP * (len(names) - 1) for names in row]
    width = max(widths) + 2 * MARGIN
    middle: dict[str, float] = {}
    top: dict[str, float] = {}
    for at, (names, wide) in enumerate(zip(row, widths, strict=True)):
        left = (width - wide) / 2
        for name in names:
            middle[name] = left + size[name] / 2
            top[name] = MARGIN + at * (HEIGHT + DROP)
            left += size[name] + GAP
    height = 2 * MARGIN + len(row) * HEIGHT + (len(row) - 1) * DROP
    drawn = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}" height="{height:g}" '
        f'viewBox="0 0 {width:g} {height:g}" role="img">',
        "<title>Packages of calc and hooks; a line leads from a package up to one that it imports</title>",
        f'<rect width="{width:g}" height="{height:g}" fill="#fff"/>',
        f'<g fill="none" stroke="{LINE}" stroke-width="1.3">',
    ]
    drawn += [f'<path d="{_line(line, middle, top, found)}"/>' for line in lines]
    drawn.append('</g>\n<g font-family="sans-serif" font-size="13" text-anchor="middle">')
    for name in sorted(found):
        fill = FILL[name.partition(".")[0]]
        drawn.append(
            f'<rect x="{middle[name] - WIDTH / 2:g}" y="{top[name]:g}" width="{WIDTH}" height="{HEIGHT}" rx="4" '
            f'fill="{fill}" stroke="{LINE}"/>\n<text x="{middle[name]:g}" y="{top[name] + 20:g}">{escape(name)}</text>'
        )
    return "\n".join([*drawn, "</g>", "</svg>", ""])


def _line(line: list[str], middle: dict[str, float], top: dict[str, float], found: Ties) -> str:
    """From the top of the lowest box, past every row between, to the foot of the highest."""
    x, y = middle[line[0]], top[line[0]]
    path = f"M{x:g} {y:g}"
    for name in line[1:]:
        end, foot = middle[name], top[name] + HEIGHT
        half = (y + foot) / 2
        path += f"C{x:g} {half:g} {end:g} {half:g} {end:g} {foot:g}"
        x, y = end, foot
        if name not in found:
            y = top[name]
            path += f"V{y:g}"
    return path


if __name__ == "__main__":
    PICTURE.write_text(draw(), encoding="utf-8")
