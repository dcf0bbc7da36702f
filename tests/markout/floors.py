"""Floors for the tests of the mark-out: hand-made ones, and random ones from a seed."""

from __future__ import annotations

import math
import random

import shapely

from roomwright import shape
from roomwright.markout.model import Floor, Hook, Obstacle, Target

DINING = ((0.0, 0.0), (162.0, 0.0), (162.0, 150.0), (0.0, 150.0))
ELL = ((0.0, 0.0), (180.0, 0.0), (180.0, 96.0), (84.0, 96.0), (84.0, 200.0), (0.0, 200.0))


def hooks_of(outline, *more):
    found = [Hook(shape.letter(i), f"corner {shape.letter(i)}", p) for i, p in enumerate(outline)]
    return (*found, *(Hook(f"J{i}", f"jamb {i}", p, "jamb") for i, p in enumerate(more)))


def floor(outline, *more, obstacles=()):
    return Floor(outline, hooks=hooks_of(outline, *more), obstacles=tuple(obstacles))


def box(id, x, y, width, depth, turn=0.0):
    return Obstacle(id, f"box {id}", shape.rectangle(x, y, width, depth, turn))


def targets(*points):
    return [Target(str(i), f"point {i}", p) for i, p in enumerate(points, 1)]


def random_floor(seed):
    """A turned room with a bite out of it, boxes, jambs, and up to six points on free floor."""
    rng = random.Random(seed)
    wide, deep = rng.uniform(100, 280), rng.uniform(90, 240)
    x, y = rng.uniform(0.4, 0.8) * wide, rng.uniform(0.4, 0.8) * deep
    turn = math.radians(rng.uniform(0, 90))
    ring = [(0, 0), (wide, 0), (wide, y), (x, y), (x, deep), (0, deep)]
    if seed % 3 == 0:
        ring = [(0, 0), (wide, 0), (wide * rng.uniform(0.8, 1), deep), (0, deep * 0.9)]
    cos, sin = math.cos(turn), math.sin(turn)
    outline = tuple((px * cos - py * sin, px * sin + py * cos) for px, py in ring)
    walls = shape.walls(outline)
    jambs = []
    for _ in range(rng.randint(0, 4)):
        (ax, ay), (bx, by) = rng.choice(walls)
        t = rng.uniform(0.15, 0.85)
        jambs.append((ax + t * (bx - ax), ay + t * (by - ay)))
    area = shapely.Polygon(outline)
    boxes = []
    for i in range(rng.randint(0, 4)):
        spot = _spot(rng, area)
        size = rng.uniform(8, 40), rng.uniform(8, 40)
        boxes.append(box(f"B{i}", *spot, *size, rng.uniform(0, 90)))
    free = area.difference(shapely.union_all([shapely.Polygon(b.outline) for b in boxes])).buffer(
        -1
    )
    points = [] if free.is_empty else [_spot(rng, free) for _ in range(rng.randint(1, 6))]
    return floor(outline, *jambs, obstacles=boxes), targets(*points)


def _spot(rng, area):
    west, south, east, north = area.bounds
    while True:
        p = rng.uniform(west, east), rng.uniform(south, north)
        if area.contains(shapely.Point(p)):
            return p
