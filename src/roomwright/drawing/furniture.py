"""Pieces and chairs, drawn as one sees them from above.

The inner lines of a bed, a tub or a range are the conventions of architects' plans; they help to
tell what a thing is and which way it faces. The outline alone is to scale.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from roomwright.answers.plan_model import Piece
from roomwright.drawing import ink
from roomwright.drawing.frame import Frame
from roomwright.shape import Point, moved, turned

Line = list[Point]
"""A run of points in a piece's own inches: x along its width, y from its back, 0 its middle."""


def _oval(x: float, y: float, rx: float, ry: float) -> Line:
    turn = 2 * math.pi / 60
    return [(x + rx * math.cos(i * turn), y + ry * math.sin(i * turn)) for i in range(61)]


def _box(x0: float, y0: float, x1: float, y1: float) -> Line:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]


def _bed(w: float, d: float) -> list[Line]:
    count = 2 if w >= 54 else 1
    each = w / count
    pillows = [
        _box(-w / 2 + i * each + 3, -d / 2 + 3, -w / 2 + (i + 1) * each - 3, -d / 2 + 17)
        for i in range(count)
    ]
    fold = -d / 2 + 24
    return [*pillows, [(-w / 2, fold), (w / 2, fold)]]


def _toilet(w: float, d: float) -> list[Line]:
    tank = min(8.0, d / 3)
    bowl = (d - tank) / 2
    return [
        _box(-w / 2, -d / 2, w / 2, -d / 2 + tank),
        _oval(0, -d / 2 + tank + bowl, min(w / 2 - 2.5, 7.5), bowl),
    ]


def _tub(w: float, d: float) -> list[Line]:
    return [_oval(0, 0, w / 2 - 3.5, d / 2 - 3.5), _oval(-w / 2 + 10, 0, 1.2, 1.2)]


def _sinks(count: int) -> Callable[[float, float], list[Line]]:
    def draw(w: float, d: float) -> list[Line]:
        each = w / count
        rx, ry = min(each / 2 - 3, 9.0), min(d / 2 - 4, 6.5)
        middles = [-w / 2 + (i + 0.5) * each for i in range(count)]
        bowls = [_oval(x, 1.5, rx, ry) for x in middles]
        spouts = [[(x, -d / 2 + 2), (x, -ry + 4)] for x in middles]
        return [*bowls, *spouts]

    return draw


def _range(w: float, d: float) -> list[Line]:
    r = min(w, d) / 7
    return [
        *(_oval(x * w / 4, y * d / 4 - 1, r, r) for x in (-1, 1) for y in (-1, 1)),
        [(-w / 2, d / 2 - 2.5), (w / 2, d / 2 - 2.5)],
    ]


def _drum(w: float, d: float) -> list[Line]:
    return [_oval(0, 0, w / 2 - 4, w / 2 - 4), [(-w / 2, -d / 2 + 5), (w / 2, -d / 2 + 5)]]


def _door(w: float, d: float) -> list[Line]:
    return [[(-w / 2, d / 2 - 2.5), (w / 2, d / 2 - 2.5)]]


def _sofa(w: float, d: float) -> list[Line]:
    back, arm = min(9.0, d / 4), min(8.0, w / 8)
    seats = max(1, round((w - 2 * arm) / 30))
    each = (w - 2 * arm) / seats
    front, inner = d / 2, w / 2 - arm
    return [
        [(-inner, front), (-inner, -front + back), (inner, -front + back), (inner, front)],
        *(
            [(-w / 2 + arm + i * each, -front + back), (-w / 2 + arm + i * each, front)]
            for i in range(1, seats)
        ),
    ]


def _slats(w: float, d: float) -> list[Line]:
    return [_box(-w / 2 + 2, -d / 2 + 2, w / 2 - 2, d / 2 - 2)]


BACK = 9.0
"""Depth of the back of a sofa as drawn [in]; for the look only."""

SOFAS = frozenset({"sectional", "sofa", "couch", "loveseat"})

SYMBOLS: dict[str, Callable[[float, float], list[Line]]] = {
    "bed": _bed,
    "crib": _slats,
    "toilet": _toilet,
    "bidet": _toilet,
    "tub": _tub,
    "bathtub": _tub,
    "double": _sinks(2),
    "vanity": _sinks(1),
    "lavatory": _sinks(1),
    "sink": _sinks(1),
    "range": _range,
    "cooktop": _range,
    "washer": _drum,
    "dryer": _drum,
    "dishwasher": _door,
    "refrigerator": _door,
    "freezer": _door,
    "sectional": _sofa,
    "sofa": _sofa,
    "couch": _sofa,
    "loveseat": _sofa,
}
"""Word in a piece's kind -> its inner lines; *double* stands before *vanity*."""


def inner(kind: str, width: float, depth: float) -> list[Line]:
    """The inner lines of a piece; none for a kind that has no convention, or one too small.

    >>> len(inner("vanity double", 72, 21)), inner("sideboard", 60, 18)
    (4, [])
    """
    words = kind.lower().split()
    if min(width, depth) < 14:
        return []
    for word, draw in SYMBOLS.items():
        if word in words:
            return draw(width, depth)
    return []


def seams(piece: Piece) -> list[Line]:
    """The inner lines of a sofa that is no rectangle: its back, and a seam at each inner corner.

    >>> ring = ((-55, -31), (55, -31), (55, 31), (19, 31), (19, 7), (-55, 7))
    >>> sofa = Piece("L1", "sectional", "sectional", ring, 0, 0, 0, 110, 62, straight=False)
    >>> seams(sofa)
    [[(-55.0, -22.0), (55.0, -22.0)], [(19.0, 7.0), (19.0, -22.0)]]
    """
    if not SOFAS.intersection(piece.kind.lower().split()):
        return []
    ring = turned(moved(piece.outline, -piece.x, -piece.y), -piece.turn)
    west, east = min(x for x, _ in ring), max(x for x, _ in ring)
    back = min(y for _, y in ring) + BACK
    lines: list[Line] = [[(west, back), (east, back)]]
    for (ax, ay), (bx, by), (cx, cy) in zip(
        ring, (*ring[1:], ring[0]), (*ring[2:], *ring[:2]), strict=True
    ):
        if (bx - ax) * (cy - by) - (by - ay) * (cx - bx) < 0 and by > back:
            lines.append([(bx, by), (bx, back)])
    return lines


def placed(piece: Piece, line: Line, frame: Frame) -> list[Point]:
    """A line of a piece's own inches, in the drawing."""
    cos, sin = math.cos(math.radians(piece.turn)), math.sin(math.radians(piece.turn))
    return [frame.at((piece.x + x * cos - y * sin, piece.y + x * sin + y * cos)) for x, y in line]


def run(points: list[Point]) -> str:
    """Path data of an open run of points."""
    return "M" + "L".join(f"{ink.n(x)} {ink.n(y)}" for x, y in points)


def draw(piece: Piece, frame: Frame, *, stroke: str, weight: float, fill: str, grip: float) -> str:
    """A piece with its chairs; `grip` is the least size of what a finger takes hold of, or 0."""
    chairs = "".join(
        ink.path(
            ink.ring(frame.ring(chair)), class_="chair", fill="#fff", stroke_width=weight * 0.5
        )
        for chair in piece.chairs
    )
    if piece.round:
        c = frame.at((piece.x, piece.y))
        body = ink.circle(c, piece.width / 2 * frame.scale, class_="body", fill=fill)
    else:
        body = ink.path(ink.ring(frame.ring(piece.outline)), class_="body", fill=fill)
    told = inner(piece.kind, piece.width, piece.depth) if piece.straight else seams(piece)
    lines = "".join(run(placed(piece, each, frame)) for each in told)
    opens = "".join(
        ink.path(
            ink.ring(frame.ring(each)),
            class_="opens",
            fill="none",
            stroke_width=weight * 0.4,
            stroke_dasharray=f"{ink.n(weight * 2)} {ink.n(weight * 1.6)}",
        )
        for each in piece.opens
    )
    within = (
        ink.path(lines, class_="inner", fill="none", stroke_width=weight * 0.45) if lines else ""
    )
    words = ", ".join(filter(None, (" ".join(piece.lines) or piece.name, piece.verdict)))
    held: dict[str, object] = {}
    hold = ""
    if grip:
        held = {"tabindex": "0", "role": "button", "aria_label": words}
        (x0, y0), (x1, y1) = _reach(frame.ring(piece.outline), grip)
        hold = ink.rect(
            x0, y0, x1, y1, class_="grip", fill="none", stroke="none", pointer_events="all"
        )
    return ink.group(
        [chairs, opens, body, within, hold],
        class_=f"piece {piece.word}".rstrip(),
        stroke=stroke,
        stroke_width=weight,
        data_piece=piece.id,
        data_x=repr(piece.x),
        data_y=repr(piece.y),
        data_turn=repr(piece.turn),
        data_width=repr(piece.width),
        data_depth=repr(piece.depth),
        **held,
    )


def _reach(ring: list[Point], least: float) -> tuple[Point, Point]:
    xs, ys = [p[0] for p in ring], [p[1] for p in ring]
    more_x = max(0.0, least - (max(xs) - min(xs))) / 2
    more_y = max(0.0, least - (max(ys) - min(ys))) / 2
    return (min(xs) - more_x, min(ys) - more_y), (max(xs) + more_x, max(ys) + more_y)
