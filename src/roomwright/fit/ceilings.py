"""Sloped ceilings: the height over a point, the floor that is too low, what stands too tall.

A slope is a plane: `low` over its line a-b, rising `pitch` in 12 square to it. It is the ceiling
wherever it is lower than the room's own and than every other slope (the lowest wins), so the floor
under a height is a union of half-planes cut to the room, exact. An end of the line at a corner of
the room lets the slope run on to that side; an end along a wall stops it there, as a dormer's
cheek does.

Walking and standing need 80 in. [1]_; a room that is lived in wants 84 over half of its required
floor and nowhere under 60 on it [2]_.

References
----------
.. [1] 2010 ADA Standards for Accessible Design, 307.4.
.. [2] International Residential Code, R304.1 and R305.1 with its exception for sloped ceilings
   (the exception from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely

from roomwright.fit.found import Finding, Word
from roomwright.fit.given import HEADROOM, LOCALS, Body, Needs, Piece, Room, Slope, Space
from roomwright.fit.verdicts import EVEN, INSPECTOR, PRACTICE, length
from roomwright.lengths import area as area_text
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Point, anticlockwise, compass, inside, middle, walls

_FAR = 1e5
"""Farther than any room reaches [in]."""

LIVED_IN = ("bath", "toilet", "powder", "laundry", "closet", "pantry", "storage", "garage", "stair")
"""Words in a room's name or use that make it no habitable room."""


@dataclass(frozen=True, slots=True)
class Plane:
    """One slope over one room: where it lies, and its height as a function of the distance."""

    slope: Slope
    start: Point
    up: Point
    """Unit vector square to the line, to the side on which it rises."""
    over: shapely.Geometry
    """The floor that it covers."""

    def height(self, at: Point) -> float:
        """Height of the plane over a point [in]."""
        off = (at[0] - self.start[0]) * self.up[0] + (at[1] - self.start[1]) * self.up[1]
        return self.slope.low + off * self.slope.pitch / 12

    def under(self, height: float) -> shapely.Geometry:
        """The floor on which the plane is lower than `height`."""
        (x, y), (ux, uy) = self.start, self.up
        if self.slope.pitch <= 0:
            return self.over if self.slope.low < height else shapely.Polygon()
        reach = (height - self.slope.low) * 12 / self.slope.pitch
        x, y = x + reach * ux, y + reach * uy
        px, py = -uy * _FAR, ux * _FAR
        bx, by = ux * _FAR, uy * _FAR
        half = shapely.Polygon(
            [(x + px, y + py), (x - px, y - py), (x - px - bx, y - py - by),
             (x + px - bx, y + py - by)]
        )  # fmt: skip
        return shapely.intersection(self.over, half)


def planes(room: Room, slopes: Iterable[Slope]) -> tuple[Plane, ...]:
    """The slopes of a room as planes over its floor; a line without length is left out.

    Of the two sides of a line the slope rises to the one with more of the room.
    """
    floor = shapely.Polygon(room.outline)
    found = []
    for slope in slopes:
        run = math.dist(slope.a, slope.b)
        if slope.room not in (room.id, "") or run <= TOUCH:
            continue
        (ax, ay), (bx, by) = slope.a, slope.b
        tx, ty = (bx - ax) / run, (by - ay) / run
        left = (-ty, tx)
        half = _strip(slope, room, left, back=0.0)
        more = shapely.area(shapely.intersection(floor, half)) * 2 > shapely.area(
            shapely.intersection(floor, _strip(slope, room, left, back=_FAR))
        )
        up = left if more else (ty, -tx)
        over = shapely.intersection(floor, _strip(slope, room, up, back=_FAR))
        found.append(Plane(slope, slope.a, up, over))
    return tuple(found)


def _strip(slope: Slope, room: Room, up: Point, *, back: float) -> shapely.Polygon:
    """What a slope covers before it is cut to the room: square to its line, between its ends."""
    (ax, ay), (bx, by) = slope.a, slope.b
    run = math.dist(slope.a, slope.b)
    tx, ty = (bx - ax) / run, (by - ay) / run
    before, after = (
        _FAR if min(math.dist(end, corner) for corner in room.outline) <= 1.0 else 0.0
        for end in (slope.a, slope.b)
    )
    ax, ay = ax - before * tx - back * up[0], ay - before * ty - back * up[1]
    bx, by = bx + after * tx - back * up[0], by + after * ty - back * up[1]
    deep = _FAR + back
    far = [(bx + deep * up[0], by + deep * up[1]), (ax + deep * up[0], ay + deep * up[1])]
    return shapely.Polygon([(ax, ay), (bx, by), *far])


def height_at(space: Space, at: Point) -> float:
    """Height of the ceiling over a point [in]; infinite where it is not known.

    Examples
    --------
    >>> walls_ = ((0, 0), (144, 0), (144, 120), (0, 120))
    >>> attic = Room("301", "Attic", walls_, 96)
    >>> knee = Slope("SL1", (0, 0), (144, 0), low=48, pitch=9, room="301")
    >>> room = Space((attic,), walls_, slopes=(knee,))
    >>> height_at(room, (70, 0)), height_at(room, (70, 32)), height_at(room, (70, 100))
    (48.0, 72.0, 96)
    """
    found = math.inf
    for room in space.rooms:
        if not inside(at, room.outline, TOUCH):
            continue
        found = min(found, math.inf if room.ceiling is None else room.ceiling)
        spot = shapely.Point(at)
        for plane in planes(room, space.slopes):
            if shapely.dwithin(plane.over, spot, TOUCH):
                found = min(found, plane.height(at))
    return found


def under(space: Space, height: float) -> shapely.Geometry:
    """The floor of a space over which a sloped ceiling is lower than `height` [in].

    >>> walls_ = ((0, 0), (144, 0), (144, 120), (0, 120))
    >>> knee = Slope("SL1", (0, 0), (144, 0), low=48, pitch=9, room="301")
    >>> under(Space((Room("301", "Attic", walls_, 96),), walls_, slopes=(knee,)), 72).bounds
    (0.0, 0.0, 144.0, 32.0)
    """
    parts = [plane.under(height) for room in space.rooms for plane in planes(room, space.slopes)]
    return shapely.union_all(parts) if parts else shapely.Polygon()


def low_floor(space: Space, height: float = HEADROOM) -> tuple[Body, ...]:
    """The floor on which nobody walks or stands upright, as obstructions: one or more a slope."""
    if not space.slopes:
        return ()
    bodies = []
    for room in space.rooms:
        for plane in planes(room, space.slopes):
            parts = [
                part
                for part in shapely.get_parts(plane.under(height)).tolist()
                if isinstance(part, shapely.Polygon) and part.area > TOUCH
            ]
            for part in parts:
                ring = anticlockwise([(x, y) for x, y in part.exterior.coords[:-1]])
                slope = plane.slope
                bodies.append(
                    Body(
                        slope.id, "slope", "slope", "slope", ring, 0.0, math.inf, slope.id, room.id
                    )
                )
    return tuple(bodies)


def lowest_over(space: Space, piece: Piece) -> tuple[float, Slope, Point] | None:
    """The lowest sloped ceiling over a placed piece [in], its slope, and where that is."""
    top = shapely.Polygon(piece.outline)
    found: tuple[float, Slope, Point] | None = None
    for room in space.rooms:
        for plane in planes(room, space.slopes):
            shared = shapely.intersection(top, plane.over)
            if shapely.area(shared) <= TOUCH:
                continue
            for x, y in shapely.get_coordinates(shared).tolist():
                height = plane.height((x, y))
                if found is None or height < found[0] - EVEN:
                    found = height, plane.slope, (x, y)
    return found


def too_tall(space: Space, pieces: Sequence[Piece]) -> tuple[Finding, ...]:
    """What is taller than the sloped ceiling over it: by how much, at which side, how far to move.

    >>> walls_ = ((0, 0), (144, 0), (144, 120), (0, 120))
    >>> knee = Slope("SL1", (0, 0), (144, 0), low=48, pitch=12, room="301")
    >>> case = Piece("P1", "bookcase", "bookcase", 36, 12, 51, 72, 6, room="301")
    >>> room = Space((Room("301", "Attic", walls_, 96),), walls_, pieces=(case,), slopes=(knee,))
    >>> too_tall(room, room.pieces)[0].text
    'The bookcase P1 stands under the slope SL1: 3" too tall at its back. Move it 3" north.'
    """
    found = []
    for piece in pieces:
        if piece.height is None or not piece.placed:
            continue
        lowest = lowest_over(space, piece) if space.slopes else None
        flat = None if piece.sort.loose else _flat_over(space, piece)
        if flat is not None and (lowest is None or (flat.clear or 0.0) <= lowest[0]):
            found.append(flat)
            continue
        if lowest is None or piece.height <= lowest[0] + EVEN:
            continue
        height, slope, at = lowest
        by = piece.height - height
        room = next(r for r in space.rooms if slope.room in (r.id, ""))
        plane = next(p for p in planes(room, space.slopes) if p.slope is slope)
        cure = ""
        if slope.pitch > 0:
            cure = f" Move it {length(by * 12 / slope.pitch)} {compass(plane.up)}."
        found.append(
            Finding(
                "under the slope",
                Word.BLOCKED,
                f"The {piece.name} {piece.id} stands under the slope {slope.id}: "
                f"{length(by)} too tall at its {_lowest_side(piece, plane)}.{cure}",
                piece.room,
                (piece.id, slope.id),
                by=by,
                at=(at, at),
                clear=height,
                needs=piece.height,
            )
        )
    return tuple(found)


def _flat_over(space: Space, piece: Piece) -> Finding | None:
    """A piece that is taller than the flat ceiling of a room that it stands in; None if it is not.

    >>> walls_ = ((0, 0), (144, 0), (144, 120), (0, 120))
    >>> case = Piece("P1", "bookcase", "bookcase", 36, 12, 96, 72, 6, room="301")
    >>> room = Space((Room("301", "Den", walls_, 90),), walls_, pieces=(case,))
    >>> print(too_tall(room, room.pieces)[0].text)
    The bookcase P1 is 8'-0" high under a ceiling of 7'-6": 6" too tall for room 301.
    """
    top = shapely.Polygon(piece.outline)
    low = [
        (room.ceiling, room)
        for room in space.rooms
        if room.ceiling is not None
        and piece.height is not None
        and piece.height > room.ceiling + EVEN
        and shapely.area(shapely.intersection(top, shapely.Polygon(room.outline))) > 1.0
    ]
    if not low or piece.height is None:
        return None
    ceiling, room = min(low, key=lambda each: each[0])
    by = piece.height - ceiling
    x, y, _, _ = piece.where
    return Finding(
        "too tall",
        Word.BLOCKED,
        f"The {piece.name} {piece.id} is {tape(piece.height)} high under a ceiling of "
        f"{tape(ceiling)}: {length(by)} too tall for room {room.id}.",
        piece.room,
        (piece.id,),
        by=by,
        at=((x, y), (x, y)),
        clear=ceiling,
        needs=piece.height,
    )


def _lowest_side(piece: Piece, plane: Plane) -> str:
    edges = dict(zip(LOCALS, walls(piece.box), strict=True))
    local = min(edges, key=lambda side: round(plane.height(middle(edges[side])), 6))
    return local if local in ("front", "back") else f"{local} side"


def habitable(room: Room) -> bool:
    """Whether a room is one that is lived in, by its use or its name."""
    said = f"{room.use} {room.name}".lower()
    return not any(word in said for word in LIVED_IN)


def rooms_too_low(space: Space, needs: Needs) -> tuple[Finding, ...]:
    """Ceilings under what the code asks: a flat one, and the floor that counts under a slope."""
    found: list[Finding] = []
    for room in space.rooms:
        lived = habitable(room)
        key = "ceiling.habitable" if lived else "ceiling.bath"
        wanted = needs.get(key)
        if wanted is None:
            continue
        if room.ceiling is not None and room.ceiling < wanted - EVEN:
            text = (
                f"The ceiling of room {room.id} is {tape(room.ceiling)}, {tape(wanted)} wanted: "
                f"short {length(wanted - room.ceiling)}; {INSPECTOR}; {PRACTICE}."
            )
            found.append(_low(room, text, key, room.ceiling, wanted))
        if lived and any(slope.room in (room.id, "") for slope in space.slopes):
            found += _sloped(space, room, needs, wanted)
    return tuple(found)


def _sloped(space: Space, room: Room, needs: Needs, full: float) -> list[Finding]:
    """Whether enough floor is high enough under a sloped ceiling."""
    least, whole = needs.get("ceiling.sloped"), needs.get("room.area")
    if least is None or whole is None:
        return []
    whole *= 144
    mine = planes(room, space.slopes)
    floor = shapely.Polygon(room.outline)

    def high(height: float) -> float:
        return float(
            shapely.area(
                shapely.difference(floor, shapely.union_all([p.under(height) for p in mine]))
            )
        )

    found = []
    for height, wanted in ((least, whole), (full, whole / 2)):
        have = high(height)
        if have < wanted - 1.0:
            text = (
                f"Room {room.id} has {area_text(have)} of floor under {tape(height)} of ceiling or "
                f"more, {area_text(wanted)} wanted under a slope; {INSPECTOR}; {PRACTICE}."
            )
            found.append(Finding("ceiling", Word.SHORT, text, room.id, (), figure="ceiling.sloped"))
    return found


def _low(room: Room, text: str, key: str, have: float, wanted: float) -> Finding:
    return Finding(
        "ceiling", Word.SHORT, text, room.id, (), by=wanted - have, figure=key, clear=have,
        needs=wanted,
    )  # fmt: skip
