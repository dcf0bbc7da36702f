"""The points to mark for a piece: its corners or center, chair backs, clearances, lights."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from roomwright import shape
from roomwright.answers.mark_out_model import Extra
from roomwright.answers.plan_model import Box
from roomwright.fit.model import PieceFit, Side
from roomwright.markout.model import Figure, Purpose, Target
from roomwright.shape import Outline, Point, Segment

MOST_CORNERS = 12
"""An outline with more corners than this is a curve: its box and its middle are marked."""


@dataclass(slots=True)
class Points:
    """Points and what is drawn from them, gathered piece by piece."""

    targets: list[Target] = field(default_factory=list)
    figures: list[Figure] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def add(self, name: str, at: Point, of: str, purpose: Purpose = "corner") -> str:
        """Add a point and return its id: numbers from 1 on."""
        id_ = str(len(self.targets) + 1)
        self.targets.append(Target(id_, name, at, of, purpose))
        return id_


def of_pieces(pieces: Sequence[PieceFit], boxes: Sequence[Box], extras: Sequence[Extra]) -> Points:
    """The points of some placed pieces, in the order in which they are numbered."""
    points = Points()
    for each in pieces:
        _piece(points, each, extras)
    if "lights" in extras:
        for box in boxes:
            id_ = points.add(f"point under the {box.name} {box.id}", (box.x, box.y), "", "light")
            points.figures.append(Figure(f"light {box.id}", f"{box.name} {box.id}", (id_,)))
    return points


def _piece(points: Points, each: PieceFit, extras: Sequence[Extra]) -> None:
    piece, name = each.piece, _called(each)
    x, y, width, _ = piece.where
    if piece.round:
        center = points.add("center", (x, y), name, "center")
        points.figures.append(Figure(piece.id, name, (center,), width / 2))
        _rings(points, each, center, width / 2, extras)
        return
    ring = shape.tidy(piece.outline)
    if len(ring) > MOST_CORNERS:
        ring = piece.box
        points.notes.append(
            f"The {name} has a curved edge: the box round it is marked; draw the curve inside."
        )
    ids = [points.add(*spot, name) for spot in _named(ring)]
    points.figures.append(Figure(piece.id, name, tuple(ids)))
    if ring == piece.box or len(ring) == 4:
        _lines(points, each, piece.box, extras)


def _called(each: PieceFit) -> str:
    return f"{each.piece.name or each.piece.kind} {each.piece.id}"


def _named(ring: Outline) -> Iterator[tuple[str, Point]]:
    """Each corner with its compass word from the middle, numbered where one comes twice."""
    winds = corner_winds(ring)
    for index, (wind, corner) in enumerate(zip(winds, ring, strict=True)):
        before = winds[:index].count(wind)
        more = f" {before + 1}" if winds.count(wind) > 1 else ""
        yield f"{wind} corner{more}", corner


def corner_winds(ring: Outline) -> list[str]:
    """The compass word of each corner, as it lies in the box round the outline.

    >>> corner_winds(((0.0, 0.0), (112.0, 0.0), (112.0, 38.0), (0.0, 38.0)))
    ['southwest', 'southeast', 'northeast', 'northwest']
    """
    xs, ys = [p[0] for p in ring], [p[1] for p in ring]
    middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    wide, deep = max(max(xs) - min(xs), shape.EVEN), max(max(ys) - min(ys), shape.EVEN)
    return [
        shape.compass(((x - middle[0]) / wide, (y - middle[1]) / deep))
        for x, y in zip(xs, ys, strict=True)
    ]


def _asked(each: PieceFit, extras: Sequence[Extra]) -> Iterator[tuple[Side, float, str, Purpose]]:
    for side in each.sides:
        if "chairs" in extras:
            back = _chair_back(each, side)
            if back > 0:
                yield side, back, "line of chair backs", "chair line"
        if "clearances" in extras and side.needs:
            yield (
                side,
                side.needs,
                f"clearance, people {side.use}" if side.use else "clearance",
                ("clearance"),
            )


def _lines(points: Points, each: PieceFit, box: Outline, extras: Sequence[Extra]) -> None:
    for side, off, what, purpose in _asked(each, extras):
        face = _face(side, box)
        if face is None:
            continue
        nx, ny = shape.outward(face)
        name = f"{what} at the {side.side} side"
        ids = []
        for end, other in (face, face[::-1]):
            wind = shape.compass((end[0] - other[0], end[1] - other[1]))
            at = (end[0] + off * nx, end[1] + off * ny)
            ids.append(points.add(f"{wind} end of the {name}", at, _called(each), purpose))
        label = f"{what}, {side.side} side of the {_called(each)}"
        points.figures.append(
            Figure(f"{each.piece.id} {purpose} {side.side}", label, tuple(ids), closed=False)
        )


def _face(side: Side, box: Outline) -> Segment | None:
    """The face of a piece that looks the way of a side."""
    for face in shape.walls(box):
        if shape.compass(shape.outward(face)) == side.side:
            return face
    return None


def _rings(
    points: Points, each: PieceFit, center: str, radius: float, extras: Sequence[Extra]
) -> None:
    """Round pieces: circles of chair backs and clearances about the same center."""
    for side, off, what, purpose in _asked(each, extras):
        label = f"{what}, {side.side} the {_called(each)}"
        id_ = f"{each.piece.id} {purpose} {side.side}"
        points.figures.append(Figure(id_, label, (center,), radius + off))


def _chair_back(each: PieceFit, side: Side) -> float:
    """How far chair backs stand out of a side [in]; 0 where nobody sits."""
    piece = each.piece
    if piece.round:
        x, y, width, _ = piece.where
        reach = [math.dist((x, y), p) - width / 2 for chair in each.chairs for p in chair]
        return max(reach, default=0.0)
    face = _face(side, piece.box)
    if face is None:
        return 0.0
    (ax, ay), (bx, by) = face
    nx, ny = shape.outward(face)
    ux, uy = (bx - ax) / math.dist(*face), (by - ay) / math.dist(*face)
    best = 0.0
    for chair in each.chairs:
        cx, cy = shape.centre(chair)
        along = (cx - ax) * ux + (cy - ay) * uy
        if 0 <= along <= math.dist(*face):
            best = max(best, *((px - ax) * nx + (py - ay) * ny for px, py in chair))
    return best
