"""The house as a graph of rooms and openings, and which ways within rooms are main.

It reads walls, openings, stairs and habits only: a piece that is moved changes nothing here.
"""

from __future__ import annotations

import math

import shapely

from roomwright.answers.engine import Ask, query
from roomwright.answers.rooms import door, joined, openings_of, room_of
from roomwright.fit import model
from roomwright.fit.habits import Habit, habits
from roomwright.fit.house_walks import HouseGraph, HouseRoute, Stairs, main_ways
from roomwright.fit.kinds import kind_of
from roomwright.fit.spaces import Contents, space
from roomwright.job import entities
from roomwright.shape import Point


@query("empty space")
def empty_space(ask: Ask, group: tuple[str, ...]) -> model.Space | None:
    """Rooms that are open to each other, with nothing in them; None where they do not meet."""
    doors = {each.id: door(each) for room in group for each in openings_of(ask, room)}
    try:
        return space([room_of(ask, each) for each in group], list(doors.values()), Contents())
    except ValueError:
        return None


@query("spaces of the house")
def groups(ask: Ask) -> tuple[tuple[str, ...], ...]:
    """Every group of rooms that are one space, in the order of the rooms.

    Rooms that are said to be open to each other but do not meet count each for itself.
    """
    found: dict[tuple[str, ...], None] = {}
    for room in ask.all(entities.Room):
        group = ask(joined, room.id)
        if len(group) > 1 and ask(empty_space, group) is None:
            group = (room.id,)
        found[group] = None
    return tuple(found)


@query("habits of walking")
def habits_in_force(ask: Ask) -> tuple[Habit, ...]:
    """Between which uses of rooms people walk: common practice, and what the builder said."""
    said = (
        Habit(walk.from_use, walk.to_use, walk.standing, walk.note)
        for walk in ask.all(entities.Walk)
    )
    return habits(said)


@query("stairs of the house")
def stairs(ask: Ask) -> tuple[Stairs, ...]:
    """The stairs as ways from room to room, where they stand in the plan if that is known."""
    found = []
    for each in ask.all(entities.Stair):
        run = float(each.run or 10) * max(1, each.risers - 1)
        at = {
            room: spot
            for room in (each.from_room, each.to_room)
            if (spot := _stands(ask, room)) is not None
        }
        found.append(
            Stairs(
                each.id,
                each.from_room,
                each.to_room,
                math.hypot(run, float(each.rise)),
                None if each.width is None else float(each.width),
                at,
            )
        )
    return tuple(found)


def _stands(ask: Ask, room: str) -> Point | None:
    """The middle of the stair that is built into a room; None if none is drawn."""
    for fixed in ask.where(entities.Fixed, "room", room):
        if kind_of(fixed.name).name == "stair" and "stair" in fixed.name.lower():
            spot = shapely.centroid(
                shapely.Polygon([(float(x), float(y)) for x, y in fixed.outline])
            )
            return float(spot.x), float(spot.y)
    return None


@query("house graph")
def graph(ask: Ask) -> HouseGraph:
    """The rooms of the house and the ways between them."""
    spaces = [found for group in ask(groups) if (found := ask(empty_space, group)) is not None]
    return HouseGraph(spaces, ask(stairs))


@query("routes of the house")
def routes(ask: Ask) -> tuple[HouseRoute, ...]:
    """The route of each habit from each room of its first use."""
    return ask(graph).walked(ask(habits_in_force))


@query("main ways")
def main(ask: Ask) -> frozenset[frozenset[str]] | None:
    """The pairs of openings between which a main route runs.

    None while the rooms of the house make no main route at all: then names decide.
    """
    found = ask(routes)
    if not any(route.habit and route.habit.standing == "main" for route in found):
        return None
    return main_ways(found)
