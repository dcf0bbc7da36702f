"""From rooms and openings as a builder records them to the spaces that people walk.

Rooms joined by an open side are one space. An opening is given once, by its two ends on one
face of a wall; each of its two rooms sees it on that room's own face, straight through the wall.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import shapely

from roomwright.fit.model import (
    Body,
    Flight,
    Leaf,
    Light,
    Opening,
    Piece,
    Room,
    Slope,
    Space,
    Use,
    Window,
)
from roomwright.shape import (
    TOUCH,
    Outline,
    Point,
    Segment,
    anticlockwise,
    dusted,
    inside,
    middle,
    through_wall,
)

OUT = "out"

HAIR = 8e-7
"""Half the thickness of a wall between rooms that touch: as good as none, and not nothing [in]."""


@dataclass(frozen=True, slots=True)
class Door:
    """A way through a wall as recorded: its ends anywhere through the wall, hinge and swing."""

    id: str
    from_room: str
    to_room: str
    kind: str
    a: Point
    b: Point
    width: float | None = None
    height: float | None = None
    hinge: Point | None = None
    swings_into: str | None = None

    @property
    def joins(self) -> bool:
        """Whether the two rooms are one to whoever walks."""
        return self.kind == "open" and OUT not in (self.from_room, self.to_room)


@dataclass(frozen=True, slots=True)
class Contents:
    """What stands and hangs in a group of rooms."""

    windows: tuple[Window, ...] = ()
    fixed: tuple[Body, ...] = ()
    pieces: tuple[Piece, ...] = ()
    lights: tuple[Light, ...] = ()
    flights: tuple[Flight, ...] = ()
    slopes: tuple[Slope, ...] = ()


def group_of(room: str, doors: Iterable[Door]) -> tuple[str, ...]:
    """The rooms that are one space with `room`, itself first, then in order of reach.

    >>> hall = Door("O5", "103", "104", "open", (0, 96), (112, 96))
    >>> group_of("104", [hall]), group_of("101", [hall])
    (('104', '103'), ('101',))
    """
    joins = [(door.from_room, door.to_room) for door in doors if door.joins]
    found = [room]
    for each in found:
        for pair in joins:
            if each in pair:
                other = pair[1] if each == pair[0] else pair[0]
                if other not in found:
                    found.append(other)
    return tuple(found)


def space(
    rooms: Sequence[Room],
    doors: Sequence[Door],
    contents: Contents,
    *,
    names: Mapping[str, str] | None = None,
    overrides: Mapping[tuple[str, str], Use] | None = None,
    handle: float = 1.0,
) -> Space:
    """The space that rooms make together.

    Parameters
    ----------
    rooms
        The rooms of one group (see `group_of`).
    doors
        All openings of these rooms.
    contents
        What stands and hangs in them.
    names
        Names of the rooms behind the openings.
    overrides
        The builder's word on the use of a side, by (piece, side).
    handle
        How far a handle carries a leaf's swing beyond the leaf [in].

    Raises
    ------
    ValueError
        If the rooms are not open to each other.
    """
    outlines = {room.id: anticlockwise(room.outline) for room in rooms}
    mine = [d for d in doors if d.from_room in outlines or d.to_room in outlines]
    flat = [d.id for d in mine if math.dist(d.a, d.b) <= TOUCH]
    mine = [d for d in mine if d.id not in flat]
    inner = [d for d in mine if d.joins and d.from_room in outlines and d.to_room in outlines]
    outline, holes = _floor(outlines, inner)
    seen: list[Opening] = []
    off: list[str] = list(flat)
    for door in mine:
        if door in inner:
            continue
        for room in (door.from_room, door.to_room):
            if room in outlines:
                opening = as_seen(door, room, outlines[room], names or {})
                if opening is None:
                    off.append(door.id)
                else:
                    seen.append(opening)
    leaves: list[Leaf] = []
    unhung: list[str] = []
    for door in mine:
        if not door.kind.startswith("swing"):
            continue
        hung: tuple[Leaf, ...] = ()
        if door.swings_into in outlines:
            hung = swing(door, outlines[door.swings_into or ""], handle)
        leaves += hung
        if not _hung(door) or (door.swings_into in outlines and not hung):
            unhung.append(door.id)
    return Space(
        rooms=tuple(rooms),
        outline=outline,
        holes=holes,
        openings=tuple(seen),
        leaves=tuple(leaves),
        windows=contents.windows,
        fixed=contents.fixed,
        pieces=contents.pieces,
        lights=contents.lights,
        flights=contents.flights,
        slopes=contents.slopes,
        overrides=dict(overrides or {}),
        off_wall=tuple(off),
        unhung=tuple(unhung),
    )


def _hung(door: Door) -> bool:
    return bool(door.swings_into) and (door.kind == "swing pair" or door.hinge is not None)


def _floor(
    outlines: Mapping[str, Outline], inner: Sequence[Door]
) -> tuple[Outline, tuple[Outline, ...]]:
    """The rooms and the gaps in the walls between them, as one outline with holes."""
    if len(outlines) == 1:
        return next(iter(outlines.values())), ()
    parts = [shapely.Polygon(outline) for outline in outlines.values()]
    for door in inner:
        bridge = _bridge(door, outlines[door.from_room], outlines[door.to_room])
        if bridge is not None:
            parts.append(bridge)
    whole = shapely.simplify(shapely.union_all(parts, grid_size=1e-9), 1e-9)
    wall = _shared_walls(outlines, inner)
    if wall is not None:
        whole = shapely.difference(whole, wall)
    if not isinstance(whole, shapely.Polygon):
        raise ValueError(
            f"rooms {', '.join(outlines)} are said to be open to each other but do not meet"
        )
    rings = [_ring(whole.exterior), *map(_ring, whole.interiors)]
    return rings[0], tuple(rings[1:])


def _shared_walls(
    outlines: Mapping[str, Outline], inner: Sequence[Door]
) -> shapely.Geometry | None:
    """Where rooms touch beside their open side there is a wall, drawn without thickness."""
    rings = [shapely.LinearRing(outline) for outline in outlines.values()]
    shared = [
        shapely.intersection(one, shapely.buffer(other, HAIR, cap_style="flat"))
        for one, other in combinations(rings, 2)
    ]
    if not any(float(shapely.length(line)) > TOUCH for line in shared):
        return None
    open_ = [shapely.buffer(shapely.LineString([d.a, d.b]), 1, cap_style="flat") for d in inner]
    left = shapely.difference(shapely.union_all(shared), shapely.union_all(open_))
    lines = [part for part in shapely.get_parts(left) if float(shapely.length(part)) > TOUCH]
    return shapely.buffer(shapely.union_all(lines), HAIR, cap_style="flat") if lines else None


def _ring(ring: shapely.LinearRing) -> Outline:
    return anticlockwise([(x, y) for x, y, *_ in ring.coords[:-1]])


def _bridge(door: Door, first: Outline, second: Outline) -> shapely.Polygon | None:
    """The floor in the thickness of the wall at an open side; None if there is none."""
    near = through_wall((door.a, door.b), first)
    far = through_wall((door.a, door.b), second)
    if near is None or far is None:
        return None
    hull = shapely.MultiPoint([*near[1], *far[1]]).convex_hull
    return hull if isinstance(hull, shapely.Polygon) else None


def as_seen(
    door: Door, room: str, outline: Outline, names: Mapping[str, str] | None = None
) -> Opening | None:
    """An opening as `room` sees it, on its own wall face; None if it shows on no wall."""
    shown = through_wall((door.a, door.b), outline)
    if shown is None:
        return None
    a, b = map(dusted, shown[1])
    to = door.to_room if room == door.from_room else door.from_room
    return Opening(
        id=door.id,
        a=a,
        b=b,
        to=to,
        kind=door.kind,
        width=math.dist(a, b),
        height=door.height if door.height is not None else 80.0,
        room=room,
        name=(names or {}).get(to, "outside" if to == OUT else to),
    )


def swing(door: Door, outline: Outline, handle: float = 1.0) -> tuple[Leaf, ...]:
    """The leaves of a swinging door, each turned about its hinge as given.

    `outline` is that of the room it swings into. A leaf reaches its width and the handle from
    the hinge. None where the hand is not known.

    >>> room = ((432, 72), (468, 72), (468, 132), (432, 132))
    >>> door = Door("D15", "209", "211", "swing", (427.5, 106), (427.5, 130), 24, 80,
    ...             (427.5, 130), "211")
    >>> swing(door, room)[0].shut, swing(door, room)[0].open
    ((427.5, 105.0), (452.5, 130.0))
    """
    if not _hung(door):
        return ()
    into = inward((door.a, door.b), outline)
    if into is None:
        return ()
    ends = (door.a, door.b)
    if door.kind == "swing pair":
        leaf = (door.width or math.dist(*ends)) / 2
        hung = [(door.a, door.b, leaf), (door.b, door.a, leaf)]
    elif door.hinge is None:
        return ()
    else:
        far = max(ends, key=lambda end: math.dist(end, door.hinge or end))
        hung = [(door.hinge, far, door.width or math.dist(*ends))]
    leaves = []
    for number, (pivot, far, leaf) in enumerate(hung, 1):
        reach = leaf + handle
        length = math.dist(pivot, far)
        if length <= TOUCH:
            return ()
        shut = _along(pivot, ((far[0] - pivot[0]) / length, (far[1] - pivot[1]) / length), reach)
        name = door.id if len(hung) == 1 else f"{door.id}/{number}"
        into_room = door.swings_into or ""
        leaves.append(
            Leaf(name, door.id, pivot, shut, _along(pivot, into, reach), into_room, leaf, handle)
        )
    return tuple(leaves)


def _along(start: Point, direction: Point, distance: float) -> Point:
    return start[0] + distance * direction[0], start[1] + distance * direction[1]


def inward(segment: Segment, outline: Outline) -> Point | None:
    """Unit vector square to an opening, into the room; None if it shows on no wall of it."""
    shown = through_wall(segment, outline)
    if shown is None:
        return None
    (ax, ay), (bx, by) = segment
    length = math.dist(*segment)
    across = ((by - ay) / length, (ax - bx) / length)
    at = middle(shown[1])
    if inside(_along(at, across, 1.0), outline, 0.0):
        return across
    return -across[0], -across[1]
