"""Routes through a house against networkx, the demo's rooms, and rules that hold for all."""

import math
from itertools import combinations

import networkx as nx
import numpy as np
import pytest
import shapely

from roomwright.fit.given import Opening, Room, Space
from roomwright.fit.habits import Habit, habits, use_in, use_of, uses
from roomwright.fit.house_walks import HouseGraph, Stairs, main_ways


def grid_house(seed: int) -> list[Space]:
    """Rooms of a grid, 120 x 120 in. with 6 in. walls, with doors in some of the walls."""
    rng = np.random.default_rng([303, seed])
    nx_, ny = rng.integers(2, 5, 2)
    names = ["Bedroom", "Bath", "Kitchen", "Living", "Hall", "Dining", "Laundry", "Office"]
    rooms, doors = {}, {}
    for i in range(nx_):
        for j in range(ny):
            x, y = i * 126.0, j * 126.0
            ring = ((x, y), (x + 120, y), (x + 120, y + 120), (x, y + 120))
            rooms[i, j] = Room(f"{i}{j}", str(rng.choice(names)), ring, 96)
            doors[i, j] = []
    for i, j in rooms:
        for di, dj in ((1, 0), (0, 1)):
            to = (i + di, j + dj)
            if to not in rooms or rng.random() < 0.3:
                continue
            s = float(rng.uniform(2, 85))
            width = float(rng.choice([24, 30, 32, 36]))
            x, y = i * 126.0, j * 126.0
            near = ((x + 120, y + s), (x + 120, y + s + width))
            far = ((x + 126, y + s), (x + 126, y + s + width))
            if dj:
                near = tuple((x + q - y, y + p - x) for p, q in near)
                far = tuple((x + q - y, y + p - x) for p, q in far)
            id_ = f"D{i}{j}{di}{dj}"
            a, b = rooms[i, j].id, rooms[to].id
            doors[i, j].append(Opening(id_, *near, b, "cased", width, room=a))
            doors[to].append(Opening(id_, *far, a, "cased", width, room=b))
    return [Space((room,), room.outline, openings=tuple(doors[at])) for at, room in rooms.items()]


def middle(space: Space) -> tuple[float, float]:
    spot = shapely.centroid(shapely.Polygon(space.outline))
    return spot.x, spot.y


def as_networkx(spaces: list[Space]) -> nx.Graph:
    """Convex rooms only: every line in a room is straight."""
    graph = nx.Graph()
    graph.add_nodes_from(("room", space.rooms[0].id) for space in spaces)
    for space in spaces:
        spots = [(("room", space.rooms[0].id), middle(space))]
        spots += [
            (("opening", o.id), ((o.a[0] + o.b[0]) / 2, (o.a[1] + o.b[1]) / 2))
            for o in space.openings
        ]
        for (first, p), (second, q) in combinations(spots, 2):
            graph.add_edge(first, second, weight=math.dist(p, q), room=space.rooms[0].id)
    return graph


@pytest.mark.parametrize("seed", range(30))
def test_shortest_routes_are_those_of_a_graph_library(seed):
    spaces = grid_house(seed)
    graph = as_networkx(spaces)
    house = HouseGraph(spaces)
    rooms = {s.rooms[0].id: s.rooms[0] for s in spaces}
    rng = np.random.default_rng(seed)
    for _ in range(12):
        a, b = (str(r) for r in rng.choice(sorted(rooms), 2, replace=False))
        closed = {r for r in rooms if r not in (a, b) and use_of(rooms[r]) == "bedroom"}
        open_ = nx.Graph((u, v, d) for u, v, d in graph.edges(data=True) if d["room"] not in closed)
        found = house.route(a, b)
        ends = ("room", a), ("room", b)
        if not (open_.has_node(ends[0]) and open_.has_node(ends[1]) and nx.has_path(open_, *ends)):
            open_ = graph  # nobody's bedroom is spared where there is no other way
        if not nx.has_path(open_, *ends):
            assert found is None
            continue
        want = nx.shortest_path_length(open_, *ends, weight="weight")
        assert found is not None
        assert found.length == pytest.approx(want, abs=0.2)  # ends stand 1/64 in. inside
        assert found.length == pytest.approx(sum(leg.length for leg in found.legs))
        assert found.legs[0].from_ == ("room", a)
        assert found.legs[-1].to == ("room", b)
        back = house.route(b, a)
        assert back is not None
        assert back.length == pytest.approx(found.length)


def stacked() -> HouseGraph:
    ring = ((0, 0), (100, 0), (100, 100), (0, 100))
    down, up = Room("1", "Living", ring), Room("2", "Bedroom", ring)
    door = Opening("D1", (0, 20), (0, 56), "out", "swing", 36, room="1")
    stair = Stairs("S1", "1", "2", 180.0, 36.0, {"1": (90.0, 90.0), "2": (90.0, 10.0)})
    return HouseGraph([Space((down,), ring, openings=(door,)), Space((up,), ring)], [stair])


def test_storeys_are_joined_by_stairs_and_the_outside_is_an_end():
    house = stacked()
    route = house.nearest("2", "outside")
    assert route is not None
    down = math.dist((50, 50), (90, 10)) + 180 + math.dist((90, 90), (0, 38))
    assert route.length == pytest.approx(down, abs=0.1)
    assert route.openings == ("D1",)
    assert house.route("2", "1").length == pytest.approx(
        math.dist((50, 50), (90, 10)) + 180 + math.dist((90, 90), (50, 50)), abs=0.1
    )
    assert house.route("2", "9") is None


def test_no_route_through_the_garden_nor_through_a_bedroom():
    rings = [tuple((x + 110.0 * k, y) for x, y in ((0, 0), (100, 0), (100, 90), (0, 90)))
             for k in range(3)]  # fmt: skip

    def house(middle_name, outside):
        rooms = [Room("1", "Kitchen", rings[0]), Room("2", middle_name, rings[1]),
                 Room("3", "Living", rings[2])]  # fmt: skip
        doors = [[], [], []]
        for k in (0, 1):
            x = 110.0 * k + 100
            doors[k].append(Opening(f"D{k}", (x, 30), (x, 60), f"{k + 2}", "cased", 30,
                                    room=f"{k + 1}"))  # fmt: skip
            doors[k + 1].append(Opening(f"D{k}", (x + 10, 30), (x + 10, 60), f"{k + 1}", "cased",
                                        30, room=f"{k + 2}"))  # fmt: skip
        if outside:
            for k in (0, 2):
                x = 110.0 * k
                doors[k].append(Opening(f"G{k}", (x + 20, 0), (x + 50, 0), "out", "swing", 30,
                                        room=f"{k + 1}"))  # fmt: skip
        return HouseGraph([Space((r,), r.outline, openings=tuple(d))
                           for r, d in zip(rooms, doors, strict=True)])  # fmt: skip

    assert house("Hall", True).route("1", "3").openings == ("D0", "D1")
    assert house("Bedroom 2", True).nearest("1", "living") is None
    assert house("Bedroom 2", True).route("1", "3").openings == ("D0", "D1")
    assert house("Bedroom 2", False).route("1", "2").openings == ("D0",)


def test_main_ways_are_those_of_main_habits_only():
    spaces = grid_house(4)
    house = HouseGraph(spaces)
    main = house.walked([Habit("kitchen", "bath")])
    other = house.walked([Habit("kitchen", "bath", "other")])
    assert main_ways(other) == frozenset()
    assert main_ways(main) == {
        leg.pair for route in main for leg in route.legs if leg.pair is not None
    }


def test_walks_from_an_entry_begin_at_its_door():
    ring = ((0, 0), (100, 0), (100, 100), (0, 100))
    next_ring = tuple((x + 105, y) for x, y in ring)
    entry, kitchen = Room("1", "Entry", ring), Room("2", "Kitchen", next_ring)
    out = Opening("D1", (30, 0), (66, 0), "out", "swing", 36, room="1")
    in_ = Opening("O1", (100, 30), (100, 66), "2", "cased", 36, room="1")
    back = Opening("O1", (105, 30), (105, 66), "1", "cased", 36, room="2")
    house = HouseGraph(
        [Space((entry,), ring, openings=(out, in_)), Space((kitchen,), next_ring, openings=(back,))]
    )
    (route,) = house.walked([Habit("entry", "kitchen")])
    assert main_ways([route]) == {frozenset({"D1", "O1"})}


def test_words_of_uses():
    told = {
        "Primary bath": "bath", "Hall bath": "bath", "Upper hall tail": "hall", "Toilet room":
        "toilet", "Pantry closet": "pantry", "Bedroom 3 walk-in closet": "closet",
        "Study / guest": "study", "Garden room": "", "BEDROOM 4": "bedroom", "outside": "outside",
    }  # fmt: skip
    assert {name: use_in(name) for name in told} == told
    ring = ((0, 0), (1, 0), (1, 1))
    assert use_of(Room("1", "Bedroom 4", ring, use="study")) == "study"
    assert use_of(Room("1", "Bedroom 4", ring, use="Chapel")) == "chapel"
    for habit in habits():
        assert {habit.from_use, habit.to_use} <= set(uses())
