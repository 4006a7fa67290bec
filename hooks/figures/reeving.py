"""How the rope runs between boom head and hook block on a number of falls: unrolled, fall beside fall, in the order the
rope takes from the lead line to the dead end."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from hooks.figures import WIDTH, Words, figure, number, prefix, ring, say, swatch, text
from hooks.figures.sketch import block

LEFT, RIGHT = 84, WIDTH - 14  # the drum stands on the left of the falls
HEAD, FOOT = 62, 196  # axes of the head sheaves and of the block sheaves
APART = 38  # from fall to fall, where there is room
DRUM = (26.0, 206.0, 19.0)  # middle and radius


def sheaves(falls: int) -> tuple[int, int]:
    """Sheaves at the boom head, that of the lead line among them, and in the hook block.

    The rope goes over a head sheave first and then down and up by turns.  With an even number of falls the last one
    comes up to a becket on the boom head, with an odd number down to one on the block.

    >>> sheaves(1), sheaves(4), sheaves(5)
    ((1, 0), (2, 2), (3, 2))
    """
    return (falls + 1) // 2, falls // 2


def svg(falls: int, words: Words) -> str:
    """The falls with their sheaves, numbered along the rope, and where the dead end is made fast."""
    says = words["figures"]["reeving"]
    at_head, in_block = sheaves(falls)
    apart = min(APART, (RIGHT - LEFT) / falls)
    first = LEFT + (RIGHT - LEFT - falls * apart) / 2
    xs = [first + fall * apart for fall in range(falls + 1)]  # 0 is the lead line
    even = falls % 2 == 0
    radius = apart / 2
    low = FOOT if in_block else FOOT - 18
    body = [
        Markup('<rect class="fig-barrel" x="{}" y="{}" width="{}" height="{}" rx="4"/>').format(
            *map(number, (xs[0] - 6, HEAD - 30, xs[-1] - xs[0] + 12, 34))
        ),
        *_falls(xs, even, low),
        _lead(xs[0]),
        _sheaves(xs[0::2], xs[1::2], HEAD, radius),
        _sheaves(xs[1::2], xs[2::2], FOOT, radius),
        _hook(xs, low),
        _becket(xs[-1], even, low),
        _numbers(xs),
        Markup('<path class="fig-flange" d="{}"/><path class="fig-body" d="{}"/>').format(
            ring(*DRUM), ring(DRUM[0], DRUM[1], DRUM[2] * 0.62)
        ),
        text(LEFT - 78, 18, _counted(says, "head", at_head), classes="fig-strong"),
        text(WIDTH - 6, 296, _counted(says, "block", in_block), "end", "fig-strong"),
        text(DRUM[0], 246, say(says["drum"]), "middle"),
    ]
    end = say(says["end_head" if even else "end_block"])
    key = [
        ("1", say(says["order"], falls=falls) if falls > 1 else say(says["single"])),
        (swatch("fig-block"), end),
        ("", say(says["manual"])),
    ]
    described = say(
        says["describe"],
        falls=falls,
        head=_counted(says, "head", at_head),
        block=_counted(says, "block", in_block),
        end=end,
    )
    return figure(prefix("reeving", str(falls)), 302, say(says["title"], falls=falls), described, body, key=key)


def of_plan(plan: Mapping[str, Any], words: Words) -> str:
    """The falls of a plan."""
    falls = plan["falls"]["used"]
    if falls is None:
        line = say(words["figures"]["reeving"]["refused"])
        return figure(prefix("reeving"), 40, line, line, [text(WIDTH / 2, 24, line, "middle", "fig-strong")])
    return svg(falls, words)


def _counted(says: Words, name: str, count: int) -> Markup:
    return say(says[f"{name}_none" if not count else f"{name}_one" if count == 1 else name], count=count)


def _falls(xs: list[float], even: bool, low: float) -> list[Markup]:
    """The falls; the last one ends at its becket."""
    ends = "".join(f"M{number(x)} {HEAD}V{FOOT}" for x in xs[1:-1])
    top, foot = (HEAD + 20, FOOT) if even else (HEAD, low - 24)
    return [Markup('<path class="fig-line" d="{}M{} {}V{}"/>').format(ends, number(xs[-1]), *map(number, (top, foot)))]


def _lead(x: float) -> Markup:
    """The lead line, from the drum up to the first head sheave."""
    return Markup('<path class="fig-line" d="M{} {}L{} {}"/>').format(
        *map(number, (DRUM[0] - 0.4 * DRUM[2], DRUM[1] - 0.92 * DRUM[2], x, HEAD))
    )


def _sheaves(lefts: list[float], rights: list[float], y: float, radius: float) -> Markup:
    """Sheaves, each between the two lines it takes the rope from and to."""
    pairs = [(a + b) / 2 for a, b in zip(lefts, rights, strict=False)]
    rings = Markup("").join(Markup(ring(x, y, radius)) for x in pairs)
    axles = Markup("").join(Markup(ring(x, y, min(2.5, radius / 3))) for x in pairs)
    return Markup('<path class="fig-sheave" d="{}"/><path class="fig-dead" d="{}"/>').format(rings, axles)


def _hook(xs: list[float], low: float) -> Markup:
    """The cheeks of the block about its sheaves, and the hook under their middle."""
    left, right = (xs[1], xs[-1]) if len(xs) > 2 else (xs[1] - 12, xs[1] + 12)
    middle = (left + right) / 2
    cheek = Markup('<path class="fig-cheek" d="M{l} {t}H{r}V{b}H{l}z"/>').format(
        l=number(left - 6), r=number(right + 6), t=number(low - 6), b=number(low + 30)
    )
    return cheek + block(middle, low + 30, 40, 14)


def _becket(x: float, even: bool, low: float) -> Markup:
    """The end fitting: a socket under the boom head, or on top of the block."""
    y, up = (HEAD + 4, 1) if even else (low - 6, -1)
    return Markup('<path class="fig-block" d="M{} {}h10l-2 {d}h-6z"/>').format(number(x - 5), number(y), d=18 * up)


def _numbers(xs: list[float]) -> Markup:
    """Numbers of the falls, all of them where there is room."""
    falls = len(xs) - 1
    every = 1 if xs[1] - xs[0] >= 19 or falls < 10 else 3
    shown = [fall for fall in range(1, falls + 1) if fall in (1, falls) or fall % every == 0]
    if len(shown) > 1 and every > 1 and falls - shown[-2] < every:
        shown.pop(-2)
    return Markup("").join(
        text(xs[fall], (HEAD + FOOT) / 2 + 5, str(fall), "middle", "fig-strong fig-halo") for fall in shown
    )
