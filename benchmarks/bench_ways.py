"""Walk paths: of a room, to goals, through the house, and room to turn; growth with the room."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import shapely
from tests.answers.demo_house import answers
from tests.fit.demo_rooms import NEEDS, demo_space, rooms
from tests.fit.test_any_shape import any_room, halved

from benchmarks.bench_fit import spread
from roomwright.answers.house_graph import graph, habits_in_force
from roomwright.answers.walk_paths import walk_paths
from roomwright.fit.accessible import free_floor
from roomwright.fit.ceilings import under
from roomwright.fit.goals import goal_paths
from roomwright.fit.ground import Ground
from roomwright.fit.model import Slope
from roomwright.fit.turning_circle import largest_circle
from roomwright.fit.walks import walks
from roomwright.fit.ways import tightest

Case = tuple[str, str, float | None, Callable[[], object], str, Callable[[], object] | None]


def paths_of(room: str) -> Callable[[], object]:
    ground = Ground(demo_space(room))
    return lambda: walks(ground, NEEDS, room)


def goals_of(room: str) -> Callable[[], object]:
    ground = Ground(demo_space(room))
    return lambda: goal_paths(ground, NEEDS, room)


def cases() -> list[Case]:
    made: list[Case] = []
    for room, what in (("101", "1 path"), ("102", "3 paths"), ("209", "3 paths")):
        where = f"demo room {room}, {what} with lines and verdicts"
        made.append(("paths of a room", where, 2.0, paths_of(room), "", None))
    made.append(
        ("paths of a room", "demo rooms 103 and 104 as one, 10 paths", None, paths_of("103"), "",
         None)
    )  # fmt: skip
    every = [Ground(demo_space(room)) for room in rooms()]
    made.append(
        ("paths of all rooms", f"{len(every)} rooms of the demo", None,
         lambda: [walks(ground, NEEDS) for ground in every], "", None)
    )  # fmt: skip
    shape = any_room(7)
    made.append(
        ("tightest path", "room of any shape, seed 7", 1.0,
         lambda: tightest(shape.space, shape.obstacles, shape.a, shape.b), "halving",
         lambda: halved(shape))
    )  # fmt: skip
    for count in (4, 8, 16, 32, 64):
        room = spread(count)
        call = (lambda r: lambda: tightest(r.space, r.obstacles, r.a, r.b))(room)
        made.append(("growth with obstructions", f"{count} in 20 x 20 ft", None, call, "", None))
    for times in (1, 2, 4):
        room = spread(8)
        grown = [shapely.transform(s, lambda xy, k=times: xy * k) for s in room.obstacles]
        space = shapely.transform(room.space, lambda xy, k=times: xy * k)
        a, b = (tuple((x * times, y * times) for x, y in s) for s in (room.a, room.b))
        call = (lambda f, g, p, q: lambda: tightest(f, g, p, q))(space, grown, a, b)
        made.append(("growth with the room", f"8 obstructions, {20 * times} ft square", None, call,
                     "", None))  # fmt: skip
    for room in ("102", "204"):
        made.append(("paths to goals", f"demo room {room}", None, goals_of(room), "", None))
    house = answers()
    drawn, habits = house.ask(graph), house.ask(habits_in_force)
    made.append(
        ("routes of a house", "demo, every habit", None, lambda: drawn.walked(habits), "", None)
    )
    made.append(
        ("walk paths of a house", "demo, nothing kept from before", None,
         lambda: answers().ask(walk_paths), "", None)
    )  # fmt: skip
    bath = Ground(demo_space("209"))
    floor = free_floor(bath)
    within = shapely.Polygon(bath.space.rooms[0].outline)
    made.append(
        ("largest circle to turn in", "demo room 209, to 1/64 in.", None,
         lambda: largest_circle(floor, within), "library, to 1/64 in.",
         lambda: shapely.maximum_inscribed_circle(
             max(shapely.get_parts(floor), key=lambda p: p.area), 1 / 64))
    )  # fmt: skip
    attic = replace(
        demo_space("201"),
        slopes=(Slope("S1", (0, 0), (162, 0), 40, 9, "201"),
                Slope("S2", (0, 144), (0, 0), 60, 6, "201")),
    )  # fmt: skip
    made.append(("floor under 80 in.", "demo room 201 with two slopes", None,
                 lambda: under(attic, 80), "", None))  # fmt: skip
    return made


CASES = cases()
