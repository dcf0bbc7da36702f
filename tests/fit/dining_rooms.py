"""Rooms to put a table in: a few by hand, and random ones."""

import math

import numpy as np
import shapely

from roomwright.fit.model import Body, Needs, Opening, Piece, Room, Space

NEEDS = Needs(
    {
        "dining.rise": 32,
        "dining.edge_past": 36,
        "dining.walk_past": 44,
        "walkway.main": 36,
        "walkway.other": 30,
        "walkway.minimum": 24,
    }
)
"""The guideline figures as numbers."""


def opening(name, a, b, to="hall"):
    return Opening(name, a, b, to, "cased", math.dist(a, b), room="R", name=to.title())


def piece(name, kind, width, depth, x, y, turn=0.0):
    return Piece(name, kind, kind, width, depth, 34, x, y, turn, "R")


def room(outline, openings=(), pieces=(), fixed=(), **more):
    outline = tuple((float(x), float(y)) for x, y in outline)
    return Space(
        (Room("R", "Dining", outline),),
        outline,
        openings=tuple(openings),
        pieces=tuple(pieces),
        fixed=tuple(fixed),
        **more,
    )


def box(width, depth):
    return ((0, 0), (width, 0), (width, depth), (0, depth))


def turned(space, angle, dx=0.0, dy=0.0):
    """The same room turned about the origin [deg] and pushed aside."""
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))

    def at(p):
        return (p[0] * cos - p[1] * sin + dx, p[0] * sin + p[1] * cos + dy)

    return room(
        [at(p) for p in space.outline],
        [opening(o.id, at(o.a), at(o.b), o.to) for o in space.openings],
        [
            piece(p.id, p.kind, p.width, p.depth, *at((p.x, p.y)), p.turn + angle)
            for p in space.pieces
        ],
        [
            Body(b.id, b.name, b.kind, b.what, tuple(at(p) for p in b.outline), b.low, b.high)
            for b in space.fixed
        ],
    )


TWENTY = room(
    box(240, 240),
    [
        opening("O1", (240, 30), (240, 90)),
        opening("O2", (60, 240), (120, 240), "kitchen"),
    ],
    [
        piece("S1", "sideboard", 72, 20, 120, 10),
        piece("H1", "hutch", 48, 18, 9, 150, 270),
    ],
    [
        Body("X1", "hearth", "hearth", "fixed", ((200, 140), (240, 140), (240, 200), (200, 200))),
        Body("X2", "column", "column", "fixed", ((0, 0), (14, 0), (14, 14), (0, 14))),
    ],
)
"""20 x 20 ft, two openings, four things in the way: the room of the benchmark."""

SMALL = {
    "plain": room(
        box(124, 112), [opening("A", (124, 10), (124, 46)), opening("B", (20, 112), (56, 112))]
    ),
    "sideboard": room(
        box(132, 120),
        [opening("A", (132, 60), (132, 96)), opening("B", (0, 30), (0, 66))],
        [piece("S1", "sideboard", 40, 14, 60, 7)],
    ),
    "L": room(
        [(0, 0), (150, 0), (150, 90), (112, 90), (112, 140), (0, 140)],
        [opening("A", (150, 20), (150, 56)), opening("B", (30, 140), (62, 140))],
    ),
    "clipped corner": room(
        [(0, 0), (130, 0), (130, 92), (102, 120), (0, 120)],
        [opening("A", (0, 6), (0, 42)), opening("B", (40, 120), (76, 120))],
        [piece("C1", "chest", 30, 12, 124, 30, 90)],
    ),
    "narrow doors": room(
        box(118.5, 121.25),
        [
            opening("A", (118.5, 40), (118.5, 70), "bath"),
            opening("B", (0, 60), (0, 88), "closet"),
            opening("C", (30, 0), (66, 0)),
        ],
    ),
}


def random_space(seed):
    """A room of 10 to 18 ft, square, L, with a stub or a cut corner, and what may stand in it."""
    rng = np.random.default_rng([77, seed])
    w, h = (float(x) for x in rng.integers(120, 220, 2))
    kind = seed % 4
    outline = [(0, 0), (w, 0), (w, h), (0, h)]
    if kind == 1:
        outline = [(0, 0), (w, 0), (w, h * 0.6), (w * 0.6, h * 0.6), (w * 0.6, h), (0, h)]
    elif kind == 2:
        m, t = w / 2, h * 0.75
        outline = [(0, 0), (w, 0), (w, h), (m + 4, h), (m + 4, t), (m, t), (m, h), (0, h)]
    elif kind == 3:
        outline = [(0, 0), (w, 0), (w, h * 0.8), (w * 0.8, h), (0, h)]
    odd = float(rng.choice([0, 0.37]))
    outline = [(x + odd * (i in (1, 2)), y) for i, (x, y) in enumerate(outline)]
    sides = list(zip(outline, outline[1:] + outline[:1], strict=True))
    openings: list[Opening] = []
    count = int(rng.integers(2, 4))
    for _ in range(50):
        if len(openings) == count:
            break
        a, b = sides[rng.integers(len(sides))]
        length, width = math.dist(a, b), float(rng.choice([28, 32, 36, 60, 48]))
        stub = kind == 2 and abs(a[0] - w / 2) < 6 and abs(b[0] - w / 2) < 6
        if length < width + 4 or stub:
            continue
        t = rng.uniform(1, length - width - 1)
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        p = (a[0] + ux * t, a[1] + uy * t)
        q = (p[0] + ux * width, p[1] + uy * width)
        line = shapely.LineString([p, q])
        if all(line.distance(shapely.LineString(o.segment)) >= 2 for o in openings):
            openings.append(opening(f"O{len(openings)}", p, q))
    pieces = []
    for k in range(int(rng.integers(0, 5))):
        x, y = rng.uniform(0, w), rng.uniform(0, h)
        width, depth = float(rng.integers(20, 60)), float(rng.integers(10, 24))
        angle = float(rng.choice([0, 90, 180, 270]))
        if rng.random() < 0.5:  # back to a wall
            a, b = sides[rng.integers(len(sides))]
            length = math.dist(a, b)
            ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
            t = rng.uniform(0, length)
            angle = math.degrees(math.atan2(uy, ux))
            x, y = a[0] + ux * t - uy * depth / 2, a[1] + uy * t + ux * depth / 2
        name = str(rng.choice(["sideboard", "chest", "bookcase"]))
        pieces.append(piece(f"P{k}", name, width, depth, float(x), float(y), angle))
    return turned(room(outline, openings, pieces), float(rng.choice([0, 0, 30, 17.3])))
