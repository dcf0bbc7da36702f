"""Rules of sloped ceilings and of habits of walking."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

import shapely

from roomwright.job.entities import Fact, Room, Slope, Walk
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts

Fault = tuple[str, str, str]
"""Field, what is wrong, what to do."""

NEAR_ROOM = 24.0
"""The line of a slope lies in its room or at most so far outside it, in the eaves [in]."""


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
