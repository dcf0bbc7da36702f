"""Rules of sloped ceilings and of habits of walking."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

import shapely

from roomwright import shape
from roomwright.job.entities import Fact, Room, Slope, Walk
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts
from roomwright.lengths import tape

Fault = tuple[str, str, str]
"""Field, what is wrong, what to do."""

NEAR_ROOM = 24.0
"""The line of a slope lies in its room or at most so far outside it, in the eaves [in]; an end of
it in the room lies no farther than this from a wall, behind a knee wall say."""


def faults_of_slope(facts: Facts, slope: Slope) -> Iterator[Fault]:
    """Yield what is wrong with a slope, given that its room is there."""
    if slope.a == slope.b:
        yield "b", "its line has both ends at one point", "give the two ends of its lowest line"
        return
    if slope.low < 0:
        yield "low", "it begins under the floor", "give its height over the finished floor"
    room = facts.find(Room, slope.room)
    if room is None:
        return
    line = shapely.LineString([(float(x), float(y)) for x, y in (slope.a, slope.b)])
    floor = shapely.Polygon([(float(x), float(y)) for x, y in room.outline])
    if not shapely.dwithin(floor, line, NEAR_ROOM):
        yield "a", f"its line lies nowhere near room {room.id}", "check its ends and its room"
        return
    if not _covers(room, line):
        yield (
            "a",
            f"it lies outside room {room.id}: square to its line between its two ends there is "
            "no floor of that room",
            "check its ends and its room",
        )
        return
    walls = floor.exterior
    for field, end in (("a", line.coords[0]), ("b", line.coords[-1])):
        spot = shapely.Point(end)
        off = float(shapely.distance(walls, spot))
        if off > NEAR_ROOM and shapely.contains(floor, spot):
            yield (
                field,
                f"its line ends in the middle of room {room.id}, {tape(off)} from the nearest wall",
                "give the line along the wall over which the ceiling is lowest, from corner to "
                "corner or as far along it as the ceiling slopes",
            )


def _covers(room: Room, line: shapely.LineString) -> bool:
    """Whether any floor of a room lies square to a line, between its ends."""
    (ax, ay), (bx, by) = line.coords
    run = line.length
    along = [
        ((float(x) - ax) * (bx - ax) + (float(y) - ay) * (by - ay)) / run for x, y in room.outline
    ]
    return min(max(along), run) - max(min(along), 0.0) > shape.TOUCH


def faults_of_walk(walk: Walk) -> Iterator[Fault]:
    """Yield what is wrong with a habit of walking."""
    if walk.from_use.strip().lower() == walk.to_use.strip().lower():
        yield "to_use", "it leads from one use to the same", "name two uses of rooms"


def walking_makes_sense(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Slopes have a line in their room; habits lead from one use to another."""
    touched: dict[tuple[str, str], Fact] = {}
    for c in changes:
        if isinstance(c.after, Slope | Walk):
            touched[c.kind, c.id] = c.after
        elif isinstance(c.after, Room):
            touched |= {("slope", s.id): s for s in facts.where(Slope, "room", c.id)}
    for (kind, id), fact in touched.items():
        faults = faults_of_slope(facts, fact) if isinstance(fact, Slope) else ()
        faults = faults_of_walk(fact) if isinstance(fact, Walk) else faults
        for field, wrong, do in faults:
            yield Problem(kind, id, field, f"{kind} {id}: {wrong}: {do}.")


Rule = Callable[[Facts, Sequence[Change]], Iterable[Problem]]
walking_rules: tuple[Rule, ...] = (walking_makes_sense,)
