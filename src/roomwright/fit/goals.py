"""Walk paths to what people go to in a room: the range, the side of the bed, the closet, the sink.

A goal is reached by a round body that stands straight before a side and touches it. Its path is
the widest from any opening of the room, found by halving over the eroded free floor
(`roomwright.fit.reach`); first, one erosion at the width that is needed settles all goals that are
wide enough. `goals.toml` says by kind what is a goal.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Container, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

import shapely

from roomwright.fit.bounds import OpeningError
from roomwright.fit.fixtures import open_side
from roomwright.fit.found import Finding, GoalPath, Verdict, Word
from roomwright.fit.given import LOCALS, Body, Needs, Opening
from roomwright.fit.ground import Ground
from roomwright.fit.habits import use_in
from roomwright.fit.reach import TOLERANCE, FreeFloor
from roomwright.fit.verdicts import EVEN, blocked, judge
from roomwright.fit.ways import Gap, Touch
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Segment, anticlockwise, middle, outward, walls

ON = 1 / 100
"""The eroded floor comes this near to where a body touches a side [in]: its chords stray."""


TRIES = 4
"""So often the width where the floor parts is tried; then widths are halved, our choice."""

NOBODY = 12.0
"""Nobody gets through less, even sideways [in], our choice."""

PLENTY = 24.0
"""Where no figure is published a path this wide is not measured further [in], our choice."""

ROOMS_BEHIND = ("closet", "pantry", "toilet", "storage", "bath", "powder", "laundry")
"""Uses of rooms out of which nobody comes to a goal, where there is another opening."""


@dataclass(frozen=True, slots=True)
class Aim:
    """What is a goal in things of one kind; see `goals.toml`."""

    sides: tuple[str, ...]
    figure: str
    does: str
    best: bool


@dataclass(frozen=True, slots=True)
class Goal:
    """A side of a thing that people go to."""

    body: Body
    side: Segment
    aim: Aim


@lru_cache(maxsize=1)
def table() -> dict[str, Aim]:
    """What is a goal, by name of a kind."""
    text = resources.files("roomwright.fit").joinpath("goals.toml").read_text("utf-8")
    found = {}
    for row in tomllib.loads(text)["goal"]:
        aim = Aim(
            tuple(row["sides"]), row.get("figure", ""), row["does"], row.get("take") == "best"
        )
        for name in row["kinds"]:
            if name in found:
                raise ValueError(f"goals.toml: {name!r} stands twice")
            found[name] = aim
    return found


def goals(ground: Ground, room: str | None = None) -> list[list[Goal]]:
    """The goals of a ground: of each group one is enough."""
    pieces = {piece.id: piece for piece in ground.pieces}
    found: list[list[Goal]] = []
    for body, kind in zip(ground.bodies, ground.kinds, strict=True):
        aim = table().get(kind.name)
        if aim is None or (room is not None and body.room not in (room, "")):
            continue
        sides: list[Segment] = []
        piece = pieces.get(body.id)
        if piece is not None and body.what == "piece":
            by_name = dict(zip(LOCALS, walls(anticlockwise(piece.box)), strict=True))
            sides = [side for name, side in by_name.items() if name in aim.sides]
        elif body.what == "fixed":
            side = open_side(ground, body)
            sides = [] if side is None else [side]
        group = [Goal(body, side, aim) for side in sides if math.dist(*side) > TOUCH]
        found += [group] if aim.best and group else [[goal] for goal in group]
    return found


def goal_paths(ground: Ground, needs: Needs, room: str | None = None) -> tuple[GoalPath, ...]:
    """The path to each goal of a room (of all, without `room`) from the opening that serves best.

    Goals beside which nobody can stand are told too, as blocked. Without an opening there are
    none.
    """
    return tuple(each_goal_path(ground, needs, room))


def ways_in(ground: Ground) -> list[Opening]:
    """The openings by which people come to a goal."""
    openings = [opening for opening in ground.space.openings if opening.width > TOUCH]
    return [o for o in openings if use_in(o.name) not in ROOMS_BEHIND] or openings


def each_goal_path(
    ground: Ground,
    needs: Needs,
    room: str | None = None,
    only: Container[str] | None = None,
) -> Iterator[GoalPath]:
    """The same, one at a time, for whoever stops at the first that is short; `only` to some."""
    groups = [g for g in goals(ground, room) if only is None or g[0].body.id in only]
    openings = ways_in(ground)
    if not groups or not openings:
        return
    standing = [
        (f"{body.name} {body.id}", shape)
        for body, shape in zip(ground.bodies, ground.shapes, strict=True)
        if body.what != "swing"
    ]
    floors = _Floors(ground, [shape for _, shape in standing])
    names = [name for name, _ in standing]
    for group in groups:
        path = _best(floors, group, openings, needs, names)
        if path is not None:
            yield path


class _Floors:
    """The eroded free floor of a ground, for the widths that were asked for."""

    def __init__(self, ground: Ground, shapes: Sequence[shapely.Polygon]) -> None:
        self.floor, self.shapes = ground.floor, shapes
        self._solid = shapely.union_all([ground.floor.boundary, *shapes])
        self._standing = shapely.union_all(list(shapes))
        self._parts: dict[float, list[shapely.Geometry]] = {}
        self._free: dict[str, FreeFloor | None] = {}

    def free(self, opening: Opening) -> FreeFloor | None:
        """The floor with one opening open; None where that opening lies on no wall."""
        if opening.id not in self._free:
            try:
                made = FreeFloor(self.floor, self.shapes, opening.segment, opening.segment[0])
            except OpeningError:
                made = None
            self._free[opening.id] = made
        return self._free[opening.id]

    def parts(self, width: float) -> list[shapely.Geometry]:
        """Where a body of a width may stand, every opening shut."""
        if width not in self._parts:
            grown = shapely.buffer(self._solid, width / 2, quad_segs=32)
            left = shapely.get_parts(shapely.difference(self.floor, grown)).tolist()
            self._parts[width] = [part for part in left if part.area > 0]
        return self._parts[width]

    def reaches(self, opening: Opening, side: Segment, width: float) -> bool:
        """Whether a body that has come straight in gets to a side; False may be too strict."""
        start = _offset(opening.segment, width / 2, self.floor)
        if start is None or shapely.dwithin(
            self._standing, shapely.LineString(opening.segment), ON
        ):
            return False  # what stands in the opening itself is left to the exact search
        goal = before(side, width)
        return any(
            shapely.dwithin(part, start, ON) and shapely.dwithin(part, goal, ON)
            for part in self.parts(width)
        )


def before(side: Segment, width: float) -> shapely.LineString:
    """Where the center of a body of a width is that stands before a side and touches it."""
    (ax, ay), (bx, by) = side
    ox, oy = outward(side)
    off = width / 2
    return shapely.LineString([(ax + off * ox, ay + off * oy), (bx + off * ox, by + off * oy)])


def _offset(opening: Segment, off: float, floor: shapely.Polygon) -> shapely.Geometry | None:
    """The line so far inside an opening, less as much at its jambs; None if that leaves none."""
    (ax, ay), (bx, by) = opening
    run = math.dist(*opening)
    if run < 2 * off - EVEN:
        return None
    tx, ty = (bx - ax) / run, (by - ay) / run
    mx, my = middle(opening)
    for nx, ny in ((-ty, tx), (ty, -tx)):
        if shapely.contains_xy(floor, mx + nx / 64, my + ny / 64):
            half = max(run / 2 - off, 0.0)
            ends = [(mx + k * half * tx + off * nx, my + k * half * ty + off * ny) for k in (-1, 1)]
            return shapely.LineString(ends) if half > 0 else shapely.Point(ends[0])
    return None


def _best(
    floors: _Floors,
    group: Sequence[Goal],
    openings: Sequence[Opening],
    needs: Needs,
    names: Sequence[str],
) -> GoalPath | None:
    figure = needs.get(group[0].aim.figure) or PLENTY
    near = sorted(openings, key=lambda o: math.dist(middle(o.segment), middle(group[0].side)))
    for opening in near:
        wanted = min(figure, opening.width)
        if wanted < figure - EVEN and any(o.width >= figure - EVEN for o in near):
            continue  # a wider door serves; this one is not asked
        if any(floors.reaches(opening, goal.side, wanted) for goal in group):
            return _path(group[0], opening, wanted, None, needs, names, wanted)
    best: tuple[Gap, Goal, Opening] | None = None
    for opening in near:
        for goal in group:
            gap = _halved(floors, goal, opening, figure, None if best is None else best[0].width)
            if gap is not None:
                best = gap, goal, opening
    if best is None:
        return None
    gap, goal, opening = best
    wanted = min(figure, opening.width)
    if gap.width >= wanted - 2 * TOLERANCE:
        return _path(goal, opening, wanted, None, needs, names, wanted)
    return _path(goal, opening, wanted, gap, needs, names, gap.width)


def _halved(
    floors: _Floors, goal: Goal, opening: Opening, most: float, over: float | None
) -> Gap | None:
    """The widest body that gets from an opening to a goal, to 1/64 in. and up to `most`.

    None where the opening is not known, or where no body wider than `over` gets through.
    """
    free = floors.free(opening)
    if free is None:
        return None

    def joined(width: float) -> bool:
        free.goal = before(goal.side, width)
        return any(
            shapely.dwithin(part, free.start, ON) and shapely.dwithin(part, free.goal, ON)
            for part in free.free(width)
        )

    low, high = 0.0, min(most, free.widest)
    if over is not None:
        low = max(over + TOLERANCE, 1 / 8)
        if low > high or not joined(low):
            return None
    if joined(high):
        low, high = high, high + 2 * TOLERANCE
    else:
        low, high = _between(free, joined, low, high)
    free.goal = before(goal.side, high)
    return free.gap(low, high) if low else free.shut()


def _between(
    free: FreeFloor, joined: Callable[[float], bool], low: float, high: float
) -> tuple[float, float]:
    """Widths no farther apart than the tolerance: the first gets through, the second does not.

    The first is 0 where not even 1/8 in. gets through. Where the floor parts for a body that is
    too wide, the width there is tried before halving.
    """
    tried = 0
    while high - low > TOLERANCE:
        joined(high)  # the goal lies off the side by half of this width
        guesses = free.widths_at_the_break(high) if tried < TRIES else ()
        tried += 1
        for guess in guesses:
            under, over = guess - TOLERANCE * 3 / 4, guess + TOLERANCE / 4
            if not max(low, 1 / 8) < under < high:
                continue
            if not joined(under):
                high = under
                continue
            low = under
            if over < high:
                low, high = (over, high) if joined(over) else (low, over)
            break
        else:
            if not low and not joined(1 / 8):
                return 0.0, 1 / 8
            width = max((low + high) / 2, 1 / 8)
            low, high = (width, high) if joined(width) else (max(low, 1 / 8), width)
    return low, high


def _path(
    goal: Goal,
    opening: Opening,
    wanted: float,
    gap: Gap | None,
    needs: Needs,
    names: Sequence[str],
    width: float,
) -> GoalPath:
    ends = ("", "")
    if gap is not None:
        ends = _named(gap.p_on, names, opening, goal), _named(gap.q_on, names, opening, goal)
    said = _judged(goal, width, wanted, gap, needs, ends)
    asked = needs.get(goal.aim.figure)
    return GoalPath(
        goal.body.id, goal.body.name, goal.body.room, opening.id, width, gap is None,
        None if asked is None else wanted,
        goal.aim.figure, said, None if gap is None else gap.p, None if gap is None else gap.q,
        ends, goal.aim.does,
    )  # fmt: skip


def _judged(
    goal: Goal,
    width: float,
    wanted: float,
    gap: Gap | None,
    needs: Needs,
    ends: tuple[str, str],
) -> Verdict:
    if gap is None:
        return Verdict(Word.FITS, f"fits, {tape(wanted)} or more")
    if gap.blocked:
        return blocked(f"no way past the {next((e for e in ends if e != 'wall'), 'wall')}")
    if width < NOBODY:
        return blocked(f"{tape(width)} between {ends[0]} and {ends[1]}, nobody gets through")
    if needs.get(goal.aim.figure) is None:
        return Verdict(Word.FITS, f"{tape(width)} to walk")
    return judge(width, wanted, needs.spare, "for walking up to it")


def _named(touch: Touch, names: Sequence[str], opening: Opening, goal: Goal) -> str:
    if touch.kind == "obstacle":
        return names[touch.index]
    if touch.kind == "jamb":
        return f"jamb of {opening.id}"
    return f"{goal.body.name} {goal.body.id}" if touch.kind == "goal" else "wall"


def told(paths: Iterable[GoalPath]) -> tuple[Finding, ...]:
    """The goals that are short of their walkway, or out of reach, as findings."""
    return tuple(
        Finding(
            "goal",
            path.verdict.word,
            f"From {path.from_} to {path.does} the {path.name} {path.goal}: {path.verdict.text}.",
            path.room,
            (path.goal, path.from_),
            by=path.verdict.by,
            figure=path.figure,
            at=None if path.p is None or path.q is None else (path.p, path.q),
            clear=path.width,
            needs=path.needs,
        )
        for path in paths
        if path.verdict.word.rank >= Word.SHORT.rank
    )
