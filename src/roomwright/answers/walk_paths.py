"""Walk paths through the house: who walks where, by which rooms, and the tightest place of it all.

The route follows walls and openings (`house_graph`); how wide it is follows from what stands in
the rooms: in every space it passes, the exact tightest place between the two openings
(`roomwright.fit.ways`); into a room that is open to the one before, by halving
(`roomwright.fit.reach`). See docs/walk-paths.md.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import shapely

from roomwright.answers.engine import Ask, query
from roomwright.answers.house_graph import empty_space, graph, habits_in_force, routes
from roomwright.answers.rooms import needs, paths, space_of
from roomwright.fit import model
from roomwright.fit.bounds import OpeningError
from roomwright.fit.ground import Ground
from roomwright.fit.habits import OUTSIDE, Habit, use_of
from roomwright.fit.house_walks import HouseRoute, Leg
from roomwright.fit.model import Needs, Verdict
from roomwright.fit.reach import tightest_to
from roomwright.fit.routes import shortest_line
from roomwright.fit.spaces import OUT
from roomwright.fit.swings import before_openings
from roomwright.fit.verdicts import measure, worst
from roomwright.fit.walks import verdict
from roomwright.job import entities
from roomwright.shape import Point, Segment, middle


@dataclass(frozen=True, slots=True)
class Pinch:
    """A narrow place on a walk path: how wide [in], between what, in which room, where."""

    width: float
    between: tuple[str, str]
    room: str
    level: str
    at: Segment | None = None
    blocked: bool = False


@dataclass(frozen=True, slots=True)
class Stretch:
    """What of a walk path lies on one level, to draw."""

    level: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class WalkPath:
    """A walk path from a room to another, through all rooms between.

    `rooms` and `openings` are passed in order; `length` is that of the line [in]; `tightest` is
    its narrowest place, openings and stairs included. The verdict is the gravest of all its
    places, each held against the walkway, but never asked to be wider than the openings there.
    """

    from_room: str
    to_room: str
    rooms: tuple[str, ...]
    openings: tuple[str, ...]
    length: float
    tightest: Pinch | None
    needs: float | None
    figure: str
    verdict: Verdict
    stretches: tuple[Stretch, ...] = ()
    habit: Habit | None = None


@dataclass(frozen=True, slots=True)
class WalkPaths:
    """The walk paths of a house, the worst first; the habits; what has no path and why."""

    paths: tuple[WalkPath, ...]
    habits: tuple[Habit, ...]
    without: tuple[str, ...] = ()


@query("walk paths of the house")
def walk_paths(ask: Ask) -> WalkPaths:
    """Every walk path that the habits of the house ask for, the worst first."""
    found = [_path(ask, route) for route in ask(routes)]
    found.sort(key=lambda path: (-path.verdict.word.rank, _standing(path), _width(path)))
    return WalkPaths(tuple(found), ask(habits_in_force), tuple(_without(ask)))


@query("walk path")
def walk_path(ask: Ask, room: str, to_room: str) -> WalkPath:
    """The walk path from a room to another, or to "out".

    Where none is known to lead there it has no openings and no line, and its verdict is *measure*.

    Raises
    ------
    MissingFactError
        If there is no such room.
    ValueError
        If both ends are one room, or it starts outside.
    """
    for each in (room, to_room):
        if each != OUT:
            ask.fact(entities.Room, each)
    if room in (to_room, OUT):
        raise ValueError("A walk path runs from one room to another room, or out.")
    route = ask(graph).route(room, to_room)
    if route is None:
        text = (
            f"no walk path leads from {room} to {to_room} without going outside: put the doors "
            "between them on the plan"
        )
        wanted = ask(needs, "").get("walkway.main")
        return WalkPath(
            room, to_room, (), (), math.inf, None, wanted, "walkway.main", measure(text)
        )  # fmt: skip
    return _path(ask, route)


def _standing(path: WalkPath) -> bool:
    return path.habit is not None and path.habit.standing != "main"


def _width(path: WalkPath) -> float:
    return path.tightest.width if path.tightest else 0.0


def _without(ask: Ask) -> Iterable[str]:
    """Habits from rooms that the house has and from which nobody gets there."""
    rooms = ask(graph).rooms.values()
    known = {use_of(room) for room in rooms} | {OUTSIDE}
    got = {(r.from_room, r.habit.pair) for r in ask(routes) if r.habit}
    for habit in ask(habits_in_force):
        if habit.to_use not in known or (habit.standing != "main" and not habit.said):
            continue
        for room in rooms:
            if use_of(room) == habit.from_use and (room.id, habit.pair) not in got:
                yield f"No walk path from {room.name} {room.id} to the {habit.to_use}: " + (
                    "put its doors on the plan."
                )


def _path(ask: Ask, route: HouseRoute) -> WalkPath:
    main = route.habit is None or route.habit.standing == "main"
    figure = "walkway.main" if main else "walkway.other"
    wanted = ask(needs, "")
    judged: list[tuple[Pinch, Verdict]] = []
    stretches: list[Stretch] = []
    rooms: dict[str, None] = {route.from_room: None}
    said = [measure("an opening on the way lies on no wall")] if _lost(ask, route) else []
    for leg in route.legs:
        rooms.update(dict.fromkeys(_rooms_of(ask, leg)))
        space = ask(empty_space, leg.space) if leg.space else None
        if space is None:
            judged += [(pinch, _judged(pinch, pinch.width, figure, wanted)) for pinch in
                       _stair(ask, leg)]  # fmt: skip
            continue
        level = ask.fact(entities.Room, leg.space[0]).level
        ends = {o.id: o for o in space.openings}
        doors = [ends[id_] for kind, id_ in (leg.from_, leg.to) if kind == "opening"]
        narrow = min((door.width for door in doors), default=math.inf)
        way = _way(ask, leg) if leg.pair is not None else None
        pinches = [_opening(door, level) for door in doors]
        if way is None:
            pinches += [*_into(ask, leg, space, level), *_barred(ask, leg, doors, level, wanted)]
        else:
            pinches.append(_of_way(space, way, level))
        judged += [(pinch, _judged(pinch, narrow, figure, wanted)) for pinch in pinches]
        line = _along(way, leg) if way is not None else _to_middle(ask, leg)
        stretches.append(Stretch(level, line or leg.points))
    if route.to_room != OUT:
        rooms[route.to_room] = None
    tightest = min((p for p, _ in judged), key=lambda p: round(p.width, 6), default=None)
    said += [_placed(pinch, verdict) for pinch, verdict in judged]
    need = wanted.get(figure)
    if need is not None:
        need = min([need, *(p.width for p, _ in judged if p.between[0] == p.between[1])])
    return WalkPath(
        route.from_room, route.to_room, tuple(rooms), route.openings, route.length, tightest, need,
        figure, worst(said, "open to each other"), tuple(_joined(stretches)), route.habit,
    )  # fmt: skip


def _lost(ask: Ask, route: HouseRoute) -> bool:
    """Whether a walk path on the way can't be computed."""
    return any(leg.pair is not None and _way(ask, leg) is None for leg in route.legs)


def _judged(pinch: Pinch, narrow: float, figure: str, wanted: Needs) -> Verdict:
    """A narrow place against the walkway, which is never asked to be wider than its openings."""
    need = wanted.get(figure)
    need = None if need is None else min(need, narrow)
    return verdict(pinch.width, need, narrow, wanted, pinch.blocked, pinch.between)


def _placed(pinch: Pinch, said: Verdict) -> Verdict:
    """A verdict with the room where it holds, unless nothing is wrong there."""
    if said.word is model.Word.FITS:
        return said
    return replace(said, text=f"in {pinch.room}, {said.text}")


def _of_way(space: model.Space, way: model.Way, level: str) -> Pinch:
    shut = way.verdict.word is model.Word.BLOCKED and way.tightest <= 0
    return Pinch(way.tightest, way.between, _room_at(space, way), level, (way.p, way.q), shut)


def _rooms_of(ask: Ask, leg: Leg) -> Iterable[str]:
    """The rooms that a leg passes, in its own order."""
    if len(leg.space) == 1:
        yield leg.space[0]
        return
    line = leg.points
    yield from leg.space if len(line) < 2 else _in_order(ask, leg.space, line)


def _in_order(ask: Ask, group: Sequence[str], line: Sequence[Point]) -> list[str]:
    """Rooms of a space in the order in which a line passes them."""
    whole = shapely.LineString(line)
    found = []
    space = ask(empty_space, tuple(group))
    for room in space.rooms if space is not None else ():
        part = shapely.intersection(whole, shapely.Polygon(room.outline))
        if float(shapely.length(part)) > 1.0:
            start = shapely.line_locate_point(whole, shapely.centroid(part))
            found.append((float(start), room.id))
    return [room for _, room in sorted(found)]


def _way(ask: Ask, leg: Leg) -> model.Way | None:
    """The walk path of the space between the two openings of a leg."""
    for way in ask(paths, leg.space, "")[0]:
        if frozenset((way.from_, way.to)) == leg.pair:
            return way
    return None


def _along(way: model.Way, leg: Leg) -> tuple[Point, ...]:
    return way.points if way.from_ == leg.from_[1] else way.points[::-1]


_CLEAR = (12.0, 6.0, 0.0)
"""A line to the middle of a room keeps so far off what stands there, if it can [in]."""


def _to_middle(ask: Ask, leg: Leg) -> tuple[Point, ...]:
    """A leg that ends in a room, led round what stands there; () where nothing leads there."""
    ground = Ground(ask(space_of, leg.space))
    standing = [
        shape
        for body, shape in zip(ground.bodies, ground.shapes, strict=True)
        if body.what not in ("swing", "slope")
    ]
    if not standing or shapely.disjoint(
        shapely.LineString(leg.points), shapely.union_all(standing)
    ):
        return leg.points
    start, end = leg.points[0], leg.points[-1]
    door_first = leg.from_[0] == "opening"
    door, middle_ = (start, end) if door_first else (end, start)
    for off in _CLEAR:
        floor = shapely.difference(
            ground.floor, shapely.union_all(shapely.buffer(standing, off, quad_segs=2))
        )
        near = [p for p in shapely.get_parts(floor) if shapely.dwithin(p, shapely.Point(door), 0.1)]
        if not near:
            continue
        inner = shapely.buffer(near[0], -1 / 16)
        ends = [
            shapely.line_interpolate_point(shapely.shortest_line(inner, shapely.Point(p)), 0.0)
            for p in (door, middle_)
        ]
        if shapely.is_empty(inner) or not isinstance(inner, shapely.Polygon):
            continue
        line = shortest_line(near[0], *((float(p.x), float(p.y)) for p in ends))
        if line is not None:
            return line if door_first else line[::-1]
    return leg.points


def _room_at(space: model.Space, way: model.Way) -> str:
    """The room in which the tightest place of a way lies."""
    spot = shapely.Point(middle((way.p, way.q)))
    away = [(shapely.distance(shapely.Polygon(r.outline), spot), r.id) for r in space.rooms]
    return min(away)[1]


def _opening(opening: model.Opening, level: str) -> Pinch:
    jamb = f"jamb of {opening.id}"
    return Pinch(opening.width, (jamb, jamb), opening.room, level, opening.segment)


def _stair(ask: Ask, leg: Leg) -> list[Pinch]:
    if leg.from_[0] != "stair":
        return []
    id_ = leg.from_[1].split(" ", 1)[0]
    stair = ask.find(entities.Stair, id_)
    if stair is None or stair.width is None:
        return []
    level = ask.fact(entities.Room, stair.from_room).level
    side = f"side of stair {id_}"
    return [Pinch(float(stair.width), (side, side), stair.from_room, level)]


def _into(ask: Ask, leg: Leg, space: model.Space, level: str) -> list[Pinch]:
    """How wide it is from an opening into a room that is open to the opening's own room."""
    ends = {leg.from_[0]: leg.from_[1], leg.to[0]: leg.to[1]}
    opening = next((o for o in space.openings if o.id == ends.get("opening")), None)
    room = next((r for r in space.rooms if r.id == ends.get("room")), None)
    if opening is None or room is None or opening.room == room.id:
        return []
    ground = Ground(ask(space_of, leg.space))
    shapes, names = [], []
    for body, shape in zip(ground.bodies, ground.shapes, strict=True):
        if body.what != "swing":
            shapes.append(shape)
            names.append(f"{body.name} {body.id}")
    try:
        gap = tightest_to(ground.floor, shapes, opening.segment, shapely.Polygon(room.outline))
    except OpeningError:
        return []
    told = tuple(
        names[on.index] if on.kind == "obstacle" else on.kind for on in (gap.p_on, gap.q_on)
    )
    return [Pinch(gap.width, (told[0], told[1]), room.id, level, (gap.p, gap.q), gap.blocked)]


def _barred(
    ask: Ask, leg: Leg, doors: Sequence[model.Opening], level: str, wanted: Needs
) -> list[Pinch]:
    """What stands before the opening by which one comes into a room, so near that nobody passes."""
    ground = Ground(ask(space_of, leg.space))
    names = {body.id: f"{body.name} {body.id}" for body in ground.bodies}
    return [
        Pinch(
            found.clear or 0.0, (names[found.ids[1]], f"jamb of {door.id}"), door.room, level,
            door.segment, (found.clear or 0.0) <= 0,
        )
        for found in before_openings(ground, wanted)
        for door in doors
        if found.ids[0] == door.id and found.room == door.room
    ]  # fmt: skip


def _joined(stretches: Iterable[Stretch]) -> list[Stretch]:
    """Stretches on one level that follow each other as one line."""
    found: list[Stretch] = []
    for each in stretches:
        if found and found[-1].level == each.level:
            found[-1] = Stretch(each.level, found[-1].points + each.points)
        else:
            found.append(each)
    return found


def room_name(rooms: Iterable[entities.Room], room: str) -> str:
    """What a builder calls an end of a walk path."""
    if room == OUT:
        return OUTSIDE
    return next((each.name or room for each in rooms if each.id == room), room)
