"""Names on a drawing: of pieces, of fixed things, of what is beyond an opening, of walls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from roomwright.drawing import ink, marks, typeface
from roomwright.drawing.dimension import Lettering, leader
from roomwright.drawing.places import Board, Rect, Spot
from roomwright.shape import Point

LINE = 1.22
"""From one baseline to the next, as a part of the text size."""

SHIFTS = (
    (0, 0), (0, 0.5), (0, -0.5), (-0.6, 0), (0.6, 0), (0, 0.95), (0, -0.95), (-0.95, 0),
    (0.95, 0), (-0.8, -0.8), (0.8, -0.8), (-0.8, 0.8), (0.8, 0.8),
)  # fmt: skip
"""Places of a name on a thing, as parts of the room there is each way from its middle."""

Block = tuple[Lettering, ...]
"""Lines of text that stand together."""


def block(lines: Sequence[str], size: float, *, bold_first: bool = True) -> Block:
    """Lines of one size, the first of them bold."""
    return tuple(Lettering(each, size, bold_first and i == 0) for i, each in enumerate(lines))


def size_of(lines: Block) -> tuple[float, float]:
    """Width and height of a block's plate."""
    size = lines[0].size
    high = lines[0].high + (len(lines) - 1) * LINE * size
    return max(each.wide for each in lines), high


def wordings(lines: Sequence[str], size: float, *, bold_first: bool = True) -> list[Block]:
    """Ways to write some lines, widest first: as they are, each broken in two, the first alone."""
    first = lines[0]
    broken: list[str] = []
    for each in lines:
        broken += halves(each)
    tries: list[list[str]] = [list(lines), broken, [first], halves(first)]
    found: list[Block] = []
    for words in tries:
        bold = 1 if words[0] == first else len(halves(first))
        made = tuple(Lettering(text, size, bold_first and i < bold) for i, text in enumerate(words))
        if made not in found:
            found.append(made)
    return found


def halves(text: str) -> list[str]:
    """A line broken at the blank nearest its middle; a line of one word as it is.

    >>> halves("dining table 84 × 42")
    ['dining table', '84 × 42']
    """
    blanks = [
        i
        for i, c in enumerate(text)
        if c == " " and text[i - 1] != "×" and text[i + 1 : i + 2] != "×"
    ]
    if not blanks:
        return [text]
    cut = min(blanks, key=lambda i: abs(i - len(text) / 2))
    return [text[:cut], text[cut + 1 :]]


def broken(text: str, count: int) -> list[str]:
    """A line broken at its blanks into at most `count` lines, the longest as short as it can be.

    >>> broken("Primary walk-in closet", 2), broken("Bedroom 3 walk-in closet", 3)
    (['Primary', 'walk-in closet'], ['Bedroom 3', 'walk-in', 'closet'])
    """
    words = text.split()
    if count <= 1 or len(words) <= 1:
        return [text]
    best = [text]
    for cut in range(1, len(words)):
        tried = [" ".join(words[:cut]), *broken(" ".join(words[cut:]), count - 1)]
        if max(map(len, tried)) <= max(map(len, best)):
            best = tried
    return best


def around(c: Point, size: tuple[float, float], turned: bool = False) -> Rect:
    """A box of this size with its middle at `c`."""
    w, h = (size[1], size[0]) if turned else size
    return c[0] - w / 2, c[1] - h / 2, c[0] + w / 2, c[1] + h / 2


def inside(ring: Sequence[Point], ways: Sequence[Block]) -> Iterator[Spot]:
    """Places for a block inside the bounding box of a ring, level first, then turned."""
    xs, ys = [p[0] for p in ring], [p[1] for p in ring]
    west, east, north, south = min(xs), max(xs), min(ys), max(ys)
    for variant, lines in enumerate(ways):
        w, h = size_of(lines)
        for turned in (False, True):
            bw, bh = (h, w) if turned else (w, h)
            spare_x, spare_y = (east - west - bw) / 2, (south - north - bh) / 2
            if spare_x < 0 or spare_y < 0:
                continue
            for i, (fx, fy) in enumerate(SHIFTS):
                c = ((west + east) / 2 + fx * spare_x, (north + south) / 2 + fy * spare_y)
                cost = 30.0 * variant + (60.0 if turned else 0.0) + 2.0 * i
                yield Spot(around(c, (w, h), turned), (), cost, turned, variant=variant)


def put(
    board: Board,
    name: str,
    ways: Sequence[Block],
    spots: Sequence[Spot],
    at: Point,
    *,
    leaders: bool = True,
) -> tuple[Block, Spot] | None:
    """Place a block at the cheapest of its spots, else with a leader to `at`; None if nowhere."""
    spot = board.place(name, spots)
    if spot is not None:
        return ways[spot.variant], spot
    for lines in ways if leaders else ():
        spot = board.lead(name, at, size_of(lines))
        if spot is not None:
            return lines, spot
    return None


def draw(
    lines: Block, spot: Spot, *, fill: str, plate: str, weight: float, values: dict[str, str]
) -> str:
    """A block on its plate, with its leader if it has one."""
    size = lines[0].size
    x0, y0, x1, y1 = spot.box
    parts = [leader(spot.leader, weight, fill)] if spot.leader else []
    parts.append(ink.rect(x0, y0, x1, y1, class_="plate", fill=plate))
    cx, cy = (x0 + x1) / 2, (y0 + y1) / 2
    for i, each in enumerate(lines):
        down = (i - (len(lines) - 1) / 2) * LINE * size
        parts.append(_line(each, (cx, cy), down, spot.turned))
    return ink.group(parts, fill=fill, **values)


def _line(each: Lettering, c: Point, down: float, turned: bool) -> str:
    """One line of a block, `down` from the block's middle, with its mark before it."""
    size = each.size
    shift = size / 2 if each.mark else 0.0
    drop = down + typeface.CAP * size / 2
    style = {
        "font_size": size,
        "font_weight": "700" if each.bold else None,
        "text_anchor": "middle",
        "fill": each.fill or None,
    }
    before = -shift - typeface.width(each.text, size, each.bold) / 2 + 0.38 * size - 0.1 * size
    at = (c[0] + drop, c[1] - shift) if turned else (c[0] + shift, c[1] + drop)
    text = (ink.turned if turned else ink.text)(at, each.text, **style)
    if not each.mark:
        return text
    spot = (c[0] + down, c[1] - before) if turned else (c[0] + before, c[1] + down)
    return marks.stroke(each.mark, *spot, 0.72 * size, stroke=each.fill or "currentColor") + text


def beside(
    at: Point, toward: Point, size: tuple[float, float], off: float, upright: bool
) -> list[Spot]:
    """Places outside a wall: `at` on its outer face, `toward` a unit vector away from it."""
    w, h = (size[1], size[0]) if upright else size
    reach = abs(toward[0]) * w / 2 + abs(toward[1]) * h / 2 + off
    along = (-toward[1], toward[0])
    found = []
    for row in range(2):
        for step in (0, 1, -1, 2, -2):
            shift = step * 0.6 * size[1]
            c = (
                at[0] + toward[0] * (reach + row * h * 1.1) + along[0] * shift,
                at[1] + toward[1] * (reach + row * h * 1.1) + along[1] * shift,
            )
            found.append(Spot(around(c, size, upright), (), 3.0 * abs(step) + 20 * row, upright))
    return found
