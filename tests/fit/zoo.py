"""Rooms that are hard in one way each; every geometric test of the fit engine runs over them."""

import math
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely import Polygon, affinity, box

Segment = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Room:
    name: str
    space: Polygon
    obstacles: tuple[Polygon, ...]
    a: Segment
    b: Segment
    width: float | None = None  # worked by hand, where it can be
    others: tuple[Segment, ...] = field(default=())


def moved(room: Room, turn: float, dx: float, dy: float) -> Room:
    """The same room turned about the origin [deg] and pushed aside."""

    def shape(polygon: Polygon) -> Polygon:
        return affinity.translate(affinity.rotate(polygon, turn, origin=(0, 0)), dx, dy)

    def segment(s: Segment) -> Segment:
        cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        (ax, ay), (bx, by) = s
        return (
            (ax * cos - ay * sin + dx, ax * sin + ay * cos + dy),
            (bx * cos - by * sin + dx, bx * sin + by * cos + dy),
        )

    return Room(
        f"{room.name}, turned {turn:g}",
        shape(room.space),
        tuple(map(shape, room.obstacles)),
        segment(room.a),
        segment(room.b),
        room.width,
        tuple(map(segment, room.others)),
    )


def diamond(x: float, y: float, radius: float) -> Polygon:
    return Polygon([(x + radius, y), (x, y + radius), (x - radius, y), (x, y - radius)])


SQUARE = box(0, 0, 240, 240)
WEST: Segment = ((0, 90), (0, 150))
EAST: Segment = ((240, 90), (240, 150))
L = Polygon([(0, 0), (240, 0), (240, 100), (110, 100), (110, 240), (0, 240)])
U = Polygon([(0, 0), (200, 0), (200, 200), (102, 200), (102, 60), (98, 60), (98, 200), (0, 200)])

ROOMS = [
    Room("empty square", SQUARE, (), WEST, EAST, 60.0),
    Room("narrower door", SQUARE, (), ((0, 100), (0, 130)), EAST, 30.0),
    # 32 between table and counter; the other way round is 20
    Room("two ways", SQUARE, (box(60, 32, 180, 220),), WEST, EAST, 32.0),
    # 30 between two pieces that stand against opposite walls
    Room("between pieces", SQUARE, (box(90, 0, 150, 100), box(90, 130, 150, 240)), WEST, EAST,
         30.0),
    # corner to corner, 18 and 24 apart: 30 on the diagonal
    Room("diagonal", SQUARE, (box(0, 0, 100, 40), box(118, 64, 240, 240)),
         ((0, 60), (0, 120)), ((180, 0), (240, 0)), 30.0),
    Room("island", SQUARE, (box(36, 36, 204, 204),), WEST, EAST, 36.0),
    # three pieces in a row across the room: the widest of 34, 20, 22 and 24
    Room("row of three", SQUARE,
         (box(100, 34, 140, 90), box(100, 110, 140, 170), box(100, 192, 140, 216)),
         WEST, EAST, 34.0),
    Room("L room", L, (), ((240, 10), (240, 70)), ((20, 240), (80, 240)), 60.0),
    Room("L room, corner", L, (box(60, 60, 82, 82),), ((240, 10), (240, 70)),
         ((20, 240), (80, 240)), 60.0),
    # the inner corner at (110, 100) to the piece at (90, 79): 20 and 21 make 29
    Room("L room, inner corner", L, (box(0, 0, 90, 79),), ((240, 20), (240, 80)),
         ((20, 240), (80, 240)), 29.0),
    # a partition 4 in. thick must not count as a gap of 4
    Room("partition stub", U, (), ((40, 0), (70, 0)), ((130, 200), (190, 200)), 30.0),
    Room("partition, round its end", U, (box(40, 0, 160, 32),), ((0, 100), (0, 160)),
         ((200, 100), (200, 160)), 28.0),
    Room("partition, pieces behind each other", U, (box(88, 100, 98, 140), box(102, 100, 112, 140)),
         ((0, 100), (0, 160)), ((200, 100), (200, 160)), 60.0),
    Room("column", Polygon(SQUARE.exterior, [box(80, 44, 160, 200).exterior.coords]), (),
         WEST, EAST, 44.0),
    Room("column and pieces", Polygon(SQUARE.exterior, [box(80, 44, 160, 200).exterior.coords]),
         (box(100, 0, 140, 20), box(100, 200, 140, 209)), WEST, EAST, 31.0),
    Room("closet in the middle", Polygon(SQUARE.exterior, [box(90, 90, 150, 150).exterior.coords]),
         (box(150, 0, 160, 53), box(150, 187, 160, 240)), WEST, ((150, 105), (150, 135)), 30.0),
    Room("closet, walled off", Polygon(SQUARE.exterior, [box(90, 90, 150, 150).exterior.coords]),
         (box(175, 60, 180, 180), box(130, 175, 180, 180), box(130, 60, 180, 65)),
         WEST, ((150, 105), (150, 135)), 25.0),
    Room("ring of pieces about the closet",
         Polygon(SQUARE.exterior, [box(90, 90, 150, 150).exterior.coords]),
         (box(60, 60, 180, 70), box(60, 170, 180, 180), box(60, 60, 70, 180),
          box(170, 60, 180, 180)),
         WEST, ((150, 105), (150, 135)), 0.0),
    Room("adjacent openings", SQUARE, (), ((0, 90), (0, 150)), ((0, 150), (0, 190)), 40.0),
    # 18 before the shared jamb, so round the piece: its corner to the far jamb is 18 and 24
    Room("adjacent, piece before the jamb", SQUARE, (box(18, 140, 80, 166),),
         ((0, 90), (0, 150)), ((0, 150), (0, 190)), 30.0),
    Room("adjacent, pieces", SQUARE, (box(24, 0, 80, 240),), ((0, 90), (0, 150)),
         ((0, 150), (0, 190)), 24.0),
    Room("both on one wall", SQUARE, (box(0, 100, 200, 140),), ((0, 20), (0, 80)),
         ((0, 160), (0, 220)), 40.0),
    Room("before the opening", SQUARE, (box(28, 60, 60, 180),), WEST, EAST, 28.0 * 1.0),
    Room("half across the opening", SQUARE, (box(-3, 60, 30, 128),), WEST, EAST, 22.0),
    Room("shut off", SQUARE, (box(100, -5, 140, 260),), WEST, EAST, 0.0),
    Room("shut by two that touch", SQUARE, (box(100, 0, 140, 120), box(120, 120, 160, 240)),
         WEST, EAST, 0.0),
    Room("shut in by a U", SQUARE,
         (Polygon([(0, 60), (80, 60), (80, 180), (0, 180), (0, 170), (70, 170), (70, 70),
                   (0, 70)]),),
         WEST, EAST, 0.0),
    Room("piece outside the room", SQUARE, (box(300, 0, 340, 240),), WEST, EAST, 60.0),
    Room("on the wall's far face", SQUARE, (), ((-4.5, 90), (-4.5, 126)), EAST, 36.0),
    Room("opening to the corner", SQUARE, (box(60, 30, 180, 210),), ((0, 0), (0, 36)),
         ((240, 204), (240, 240)), 30.0),
    Room("whole side open", SQUARE, (box(110, 28, 130, 240),), ((0, 0), (0, 240)),
         ((240, 240), (240, 0)), 28.0),
    Room("overlapping pieces", SQUARE, (box(60, 32, 120, 220), box(110, 60, 180, 240)),
         WEST, EAST, 32.0),
    Room("hook", SQUARE,
         (Polygon([(100, 0), (110, 0), (110, 100), (160, 100), (160, 40), (170, 40), (170, 110),
                   (100, 110)]),
          box(100, 140, 110, 240), box(198, 0, 208, 240)),
         WEST, ((120, 0), (150, 0)), 28.0),
    Room("sliver of a room", box(0, 0, 400, 34), (box(200, 0, 220, 9),), ((0, 2), (0, 32)),
         ((400, 2), (400, 32)), 25.0),
    Room("alcove", Polygon([(0, 0), (100, 0), (100, -40), (180, -40), (180, 0), (240, 0),
                            (240, 240), (0, 240)]),
         (box(0, 35, 240, 240),), ((0, 2), (0, 33)), ((120, -40), (150, -40)), 30.0),
    Room("tiny", box(0, 0, 30, 30), (), ((0, 2), (0, 28)), ((30, 3), (30, 27)), 24.0),
    Room("collinear corners",
         Polygon([(0, 0), (120, 0), (240, 0), (240, 120), (240, 240), (0, 240), (0, 120)]),
         (box(60, 32, 180, 220),), WEST, EAST, 32.0),
    Room("clockwise outline", Polygon(list(SQUARE.exterior.coords)[::-1]),
         (box(60, 32, 180, 220),), WEST, EAST, 32.0),
    Room("turned pieces", SQUARE, (diamond(120, 100, 70), diamond(120, 240, 37)), WEST, EAST),
    Room("round table", SQUARE, (shapely.Point(120, 120).buffer(85, quad_segs=32),), WEST, EAST,
         35.0),
]  # fmt: skip

TURNED = [moved(room, 30, 1000, -400) for room in ROOMS]
BY_NAME = {room.name: room for room in ROOMS}


def random_room(seed: int, pieces: int = 8) -> Room:
    """A room of about 20 x 20 ft with pieces at any angle; some overlap, touch or stick out."""
    rng = np.random.default_rng([2027, seed])
    w, h = rng.uniform(180, 280, 2)
    kind = seed % 4
    if kind == 0:
        space = box(0, 0, w, h)
    elif kind == 1:
        u, v = rng.uniform(0.45, 0.75, 2)
        space = Polygon([(0, 0), (w, 0), (w, h * v), (w * u, h * v), (w * u, h), (0, h)])
    elif kind == 2:
        u, v = rng.uniform(0.35, 0.6, 2)
        hole = box(w * u, h * v, w * u + rng.uniform(6, 40), h * v + rng.uniform(6, 40))
        space = Polygon(box(0, 0, w, h).exterior, [hole.exterior.coords])
    else:
        u = w * rng.uniform(0.4, 0.6)
        tip = h * rng.uniform(0.3, 0.7)
        space = Polygon(
            [(0, 0), (w, 0), (w, h), (u + 4, h), (u + 4, tip), (u, tip), (u, h), (0, h)]
        )
    obstacles = []
    for _ in range(pieces):
        x, y = rng.uniform(0, w), rng.uniform(0, h)
        long, short = rng.uniform(12, 72), rng.uniform(10, 36)
        piece = box(-long / 2, -short / 2, long / 2, short / 2)
        turn = float(rng.choice([0, 90, rng.uniform(0, 180)]))
        obstacles.append(affinity.translate(affinity.rotate(piece, turn, origin=(0, 0)), x, y))
    if seed % 3 == 0:
        obstacles.append(shapely.Point(*rng.uniform(40, 140, 2)).buffer(rng.uniform(8, 24)))
    wide, tall = rng.uniform(28, 64, 2)
    at_a, at_b = rng.uniform(0, h * 0.9 - wide), rng.uniform(0, w * 0.35 - tall)
    a = ((0.0, at_a), (0.0, at_a + wide))
    b = ((w, at_a / 2), (w, at_a / 2 + tall)) if seed % 2 else ((at_b, 0.0), (at_b + tall, 0.0))
    if kind == 1 and seed % 2:
        b = ((w, 2.0), (w, 2.0 + tall))
    return moved(
        Room(f"random {seed}", space, tuple(obstacles), a, b),
        float(rng.choice([0.0, rng.uniform(0, 360)])), *rng.uniform(-500, 500, 2),
    )  # fmt: skip
