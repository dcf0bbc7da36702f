"""What a sloped ceiling is too low for: a piece that comes so far under it, an opening's head.

An opening that is higher than the ceiling over it cannot be: one of the two heights is wrong.
"""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from roomwright.fit.ceilings import low_floor, planes
from roomwright.fit.clear import Ahead, Edges, clear_ahead
from roomwright.fit.found import Finding, Word
from roomwright.fit.given import Body, Opening, Piece, Room, Space
from roomwright.fit.ground import Ground
from roomwright.fit.verdicts import EVEN, length
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Point, Segment


def too_low_for(ground: Ground, piece: Piece) -> tuple[Body, ...]:
    """The floor over which a sloped ceiling is lower than a piece is high, where that is known."""
    if piece.height is None or not ground.space.slopes:
        return ()
    return low_floor(ground.space, piece.height - EVEN)


def low_ahead(ground: Ground, piece: Piece, side: Segment) -> tuple[str, Ahead | None]:
    """The slope that a piece meets first with its top, straight out from a side, and where."""
    low = too_low_for(ground, piece)
    if not low:
        return "", None
    met = clear_ahead(side, Edges([body.outline for body in low]))
    return ("", None) if met is None else (low[met.owner].id, met)


def openings(space: Space) -> tuple[Finding, ...]:
    """Every opening whose head lies over the ceiling at its wall, in the room on either side.

    >>> from roomwright.fit.given import Slope
    >>> walls = ((0, 0), (144, 0), (144, 120), (0, 120))
    >>> knee = Slope("SL1", (0, 0), (144, 0), low=48, pitch=9, room="301")
    >>> door = Opening("D1", (60, 0), (90, 0), "302", "door", 30, 80, "301")
    >>> attic = Space((Room("301", "Attic", walls, 96),), walls, openings=(door,), slopes=(knee,))
    >>> print(openings(attic)[0].text)
    Opening D1 is 6'-8" high, the ceiling over it 4'-0" (slope SL1): 2'-8" too high for room 301.
    Measure both.
    """
    return tuple(_found(space))


def _found(space: Space) -> Iterator[Finding]:
    for room in space.rooms:
        for opening in space.openings:
            if opening.room != room.id or opening.width <= TOUCH:
                continue
            lowest = _lowest(space, room, opening)
            if lowest is None or opening.height <= lowest[0] + EVEN:
                continue
            height, by_what, ids, at = lowest
            by = opening.height - height
            text = (
                f"Opening {opening.id} is {tape(opening.height)} high, the ceiling over it "
                f"{tape(height)}{by_what}: {length(by)} too high for room {room.id}. Measure both."
            )
            yield Finding(
                "opening too high",
                Word.BLOCKED,
                text,
                room.id,
                (opening.id, *ids),
                by=by,
                at=(at, at),
                clear=height,
                needs=opening.height,
            )


def _lowest(
    space: Space, room: Room, opening: Opening
) -> tuple[float, str, tuple[str, ...], Point] | None:
    """The ceiling where it is lowest over an opening, what it is, and where; None if unknown."""
    found: tuple[float, str, tuple[str, ...], Point] | None = None
    if room.ceiling is not None:
        found = room.ceiling, "", (), opening.a
    if not space.slopes:
        return found
    line = shapely.LineString(opening.segment)
    for plane in planes(room, space.slopes):
        shared = shapely.intersection(shapely.buffer(plane.over, TOUCH), line)
        if float(shapely.length(shared)) <= 2 * TOUCH:  # a slope that ends at its jamb
            continue
        id_ = plane.slope.id
        for x, y in shapely.get_coordinates(shared).tolist():
            height = plane.height((x, y))
            if found is None or height < found[0] - EVEN:
                found = height, f" (slope {id_})", (id_,), (x, y)
    return found
