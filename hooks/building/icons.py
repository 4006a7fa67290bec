"""Draw the site's icons: `python -m hooks.icons` writes docs/assets/logo.svg and docs/assets/icons/.

A drum between its flanges, two layers of rope in section: one list of shapes for the SVG and for the pictures that
phones ask for, so that both are the same drawing.  A shape is a line with a width; a circle is a line of no length.
"""

from __future__ import annotations

import math
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from calc import ROOT

ASSETS = ROOT / "docs/assets"
SIDE = 48.0  # of the drawing
CORNER = 10.0
GROUND, WHITE, LIGHT = "#1d3a44", "#ffffff", "#9fc6cf"
MASK_SCALE = 0.78  # phones may cut a maskable icon down to a circle of four fifths of its side


@dataclass(frozen=True)
class Stroke:
    """A line from (x1, y1) to (x2, y2) with round ends."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float
    colour: str

    def distance(self, x: float, y: float) -> float:
        """From a point to the edge of the stroke, negative inside."""
        dx, dy = self.x2 - self.x1, self.y2 - self.y1
        square = dx * dx + dy * dy
        along = max(0.0, min(1.0, ((x - self.x1) * dx + (y - self.y1) * dy) / square)) if square else 0.0
        return math.hypot(x - self.x1 - along * dx, y - self.y1 - along * dy) - self.width / 2


def _wraps(y: float, first: float, count: int, colour: str) -> Iterator[Stroke]:
    for at in range(count):
        x = first + 6 * at
        yield Stroke(x, y, x, y, 5.2, colour)


DRAWING = (
    Stroke(9, 8, 9, 40, 4, WHITE),
    Stroke(39, 8, 39, 40, 4, WHITE),
    Stroke(14.5, 24, 33.5, 24, 7, LIGHT),
    *_wraps(17, 15, 4, WHITE),
    *_wraps(31, 15, 4, WHITE),
    *_wraps(11.6, 18, 3, LIGHT),
    *_wraps(36.4, 18, 3, LIGHT),
)


def svg() -> str:
    """The drawing as it stands in the header and in a browser's tab."""
    lines = "".join(
        f'<path d="M{s.x1:g} {s.y1:g}L{s.x2:g} {s.y2:g}" stroke="{s.colour}" stroke-width="{s.width:g}"/>\n'
        for s in DRAWING
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIDE:g} {SIDE:g}" stroke-linecap="round">\n'
        f'<rect width="{SIDE:g}" height="{SIDE:g}" rx="{CORNER:g}" fill="{GROUND}"/>\n{lines}</svg>\n'
    )


def pixels(side: int, maskable: bool) -> bytes:
    """The drawing as rows of red, green, blue, opacity; edges are smooth over one pixel."""
    scale = side / SIDE * (MASK_SCALE if maskable else 1)
    middle, half = side / 2, SIDE / 2
    ground = [int(GROUND[i : i + 2], 16) for i in (1, 3, 5)]
    strokes = [(s, [int(s.colour[i : i + 2], 16) for i in (1, 3, 5)]) for s in DRAWING]
    found = bytearray()
    for row in range(side):
        y = (row + 0.5 - middle) / scale + half
        near = [(s, colour) for s, colour in strokes if min(s.y1, s.y2) - 4 < y < max(s.y1, s.y2) + 4]
        for column in range(side):
            x = (column + 0.5 - middle) / scale + half
            shade = list(map(float, ground))
            for stroke, colour in near:
                cover = _cover(stroke.distance(x, y) * scale)
                if cover:
                    shade = [old + (new - old) * cover for old, new in zip(shade, colour, strict=True)]
            opacity = 1.0 if maskable else _cover(_outside(x, y) * scale)
            found += bytes((*(round(part) for part in shade), round(255 * opacity)))
    return bytes(found)


def _cover(distance: float) -> float:
    """How much of a pixel a shape covers whose edge is so many pixels away."""
    return max(0.0, min(1.0, 0.5 - distance))


def _outside(x: float, y: float) -> float:
    """From a point to the rounded square, negative inside."""
    dx, dy = (abs(v - SIDE / 2) - (SIDE / 2 - CORNER) for v in (x, y))
    return math.hypot(max(dx, 0), max(dy, 0)) + min(max(dx, dy), 0) - CORNER


def png(side: int, maskable: bool = False) -> bytes:
    """The drawing as a PNG file."""
    raw, width = pixels(side, maskable), 4 * side
    rows = b"".join(b"\0" + raw[at : at + width] for at in range(0, len(raw), width))
    head = struct.pack(">IIBBBBB", side, side, 8, 6, 0, 0, 0)
    parts = ((b"IHDR", head), (b"IDAT", zlib.compress(rows, 9)), (b"IEND", b""))
    body = b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data)) for name, data in parts
    )
    return b"\x89PNG\r\n\x1a\n" + body


PICTURES = {"icon-192.png": (192, False), "icon-512.png": (512, False), "icon-maskable-512.png": (512, True)}


def write(assets: Path) -> None:
    """All icons into the assets folder."""
    (assets / "icons").mkdir(exist_ok=True)
    (assets / "logo.svg").write_text(svg(), encoding="utf-8")
    for name, (side, maskable) in PICTURES.items():
        (assets / "icons" / name).write_bytes(png(side, maskable))


if __name__ == "__main__":
    write(ASSETS)
