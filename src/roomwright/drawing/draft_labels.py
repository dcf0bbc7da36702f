"""The texts of a level as it is being drawn: each finds a place of its own, or is left out.

What a builder is changing comes first: wall lengths and corner letters of the room that is chosen,
then names of rooms, then of what stands in them, shorter where the room is short.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely

from roomwright import shape
from roomwright.answers.sketch_level import Thing
from roomwright.drawing import ink, labels, typeface
from roomwright.drawing.dimension import Lettering
from roomwright.drawing.frame import Frame
from roomwright.drawing.places import Board, Rect, Spot, overlapping
from roomwright.lengths import tape
from roomwright.shape import Point

SMALL = 500.0
"""A drawing narrower than this is a phone's: it says only what a touch needs [units]."""

SIZE = 14.0
NAME = 15.0
"""Sizes of lengths and things' names, and of rooms' names [units]."""

LIGHT = 8.0
"""Half of a light's mark, which no text covers [units]."""

ACROSS = 0.4
"""Cost of each unit of an outline that a text covers."""

ON_THING, BY_ID = 30.0, 45.0
"""Cost of a room's name that stands on a thing, and of its number in place of its name."""


class Labels:
    """The texts of one drawing, placed on one board so that none touches another."""

    def __init__(self, things: Sequence[Thing], frame: Frame, bar: tuple[float, ...]) -> None:
        self.frame = frame
        self.board = Board(frame.width, frame.height)
        self.bodies: list[Rect] = []
        left, top, right, bottom = bar
        self.board.take("scale bar", Spot((left, top, right, bottom)))
        for thing in things:
            if thing.kind == "light":
                spot = Spot(labels.around(frame.at(thing.at), (2 * LIGHT, 2 * LIGHT)))
                self.board.take(f"light {thing.id}", spot)
            elif thing.kind in ("fixed", "piece"):
                ring = frame.ring(thing.path)
                self.board.add_ink(pairwise([*ring, ring[0]]), ACROSS)
                xs, ys = zip(*ring, strict=True)
                self.bodies.append((min(xs), min(ys), max(xs), max(ys)))

    def walls(self, room: Thing) -> str:
        """Corner letters and wall lengths of the room that is chosen."""
        parts = []
        middle = self.frame.at(room.at)
        for k, (a, b) in enumerate(shape.walls(room.path)):
            p, q = self.frame.at(a), self.frame.at(b)
            letter = Lettering(shape.letter(k), NAME, True)
            corners = [
                Spot(labels.around(_toward(p, middle, off), (letter.wide, letter.high)), (), k_)
                for k_, off in enumerate((-14, 16, -20, 22))
            ]
            if (spot := self.board.place(f"corner {letter.text}", corners)) is not None:
                parts.append(_text((letter,), spot, "letter", ink.ACCENT))
            words = Lettering(tape(math.dist(a, b), 64), SIZE)
            if math.dist(p, q) > words.wide:
                spot = self.board.place(f"wall {letter.text}", _along(p, q, middle, words))
                if spot is not None:
                    parts.append(_text((words,), spot, "dim", ink.INK))
        return ink.group(parts, class_="walls")

    def room(self, thing: Thing) -> str:
        """A room's name, in two lines or its number where it is too long; off what stands there."""
        ring = self.frame.ring(thing.path)
        floor = shapely.buffer(shapely.Polygon(ring), 0.5)
        ways = [*labels.wordings([thing.name], NAME), labels.block([thing.id], NAME)]
        near = self.frame.at(thing.at)
        spots = []
        last = len(ways) - 1
        for variant, way in enumerate(ways):
            size = labels.size_of(way)
            worse = 8.0 * variant + (BY_ID if variant == last else 0.0)
            for at in _grid(ring, size, near):
                cost = worse + 0.2 * math.dist(at, near)
                spots.append(Spot(labels.around(at, size), (), cost, variant=variant))
        fits = self._off_bodies(_inside(spots, floor))
        spot = self.board.place(f"room {thing.id}", fits)
        return "" if spot is None else _text(ways[spot.variant], spot, "label room-name", ink.INK)

    def _off_bodies(self, spots: list[Spot]) -> list[Spot]:
        """The same places, dearer where the text would stand on a thing."""
        if not spots or not self.bodies:
            return spots
        boxes = np.array([spot.box for spot in spots])
        on = np.asarray(overlapping(boxes, np.array(self.bodies)).any(axis=1))
        return [replace(s, cost=s.cost + ON_THING) if over else s
                for s, over in zip(spots, on, strict=True)]  # fmt: skip

    def solid(self, thing: Thing) -> str:
        """The name of a piece or a fixed thing within it, its id where that is too long."""
        if self.frame.width < SMALL:
            return ""
        ring = self.frame.ring(thing.path)
        ways = [
            *labels.wordings([thing.name], SIZE, bold_first=False),
            labels.block([thing.id], SIZE, bold_first=False),
        ]
        body = shapely.buffer(shapely.Polygon(ring), 2.0)
        spot = self.board.place(thing.id, _inside(list(labels.inside(ring, ways)), body))
        return "" if spot is None else _text(ways[spot.variant], spot, "label", ink.INK)

    def sketch(self, thing: Thing) -> str:
        """The name of a sketch beside its open end."""
        x, y = self.frame.at(thing.path[-1])
        name = labels.block([thing.name], SIZE, bold_first=False)
        w, h = labels.size_of(name)
        spots = [
            Spot(labels.around((x + dx * (w / 2 + 8), y + dy * (h / 2 + 6)), (w, h)), (), cost)
            for cost, (dx, dy) in enumerate(((1, -1), (-1, -1), (1, 1), (-1, 1), (0, -2), (0, 2)))
        ]
        spot = self.board.place(f"sketch {thing.id}", spots)
        return "" if spot is None else _text(name, spot, "label", ink.ACCENT)


def named(things: Sequence[Thing], put: Labels) -> Mapping[tuple[str, str], str]:
    """The label of each piece, fixed thing and sketch, by its kind and id; the smallest first."""
    made: dict[tuple[str, str], str] = {}
    bodies = [t for t in things if t.kind in ("fixed", "piece")]
    for thing in sorted(bodies, key=lambda t: abs(shape.signed_area(t.path))):
        made[thing.kind, thing.id] = put.solid(thing)
    for thing in things:
        if thing.kind == "sketch":
            made[thing.kind, thing.id] = put.sketch(thing)
    return made


def _along(p: Point, q: Point, middle: Point, words: Lettering) -> list[Spot]:
    """Places of a length inside its wall, turned along an upright one."""
    turned = abs(q[0] - p[0]) < abs(q[1] - p[1])
    size = (words.wide, words.high)
    spots = []
    for k, t in enumerate((0.5, 0.35, 0.65, 0.25, 0.75)):
        at = p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t
        for j, off in enumerate((14, 22, -14)):
            c = _square(at, p, q, middle, off)
            spots.append(Spot(labels.around(c, size, turned), (), 3.0 * k + 5.0 * j, turned))
    return spots


def _square(at: Point, p: Point, q: Point, middle: Point, off: float) -> Point:
    """A point square off a wall, to the side of the room's middle."""
    long = math.dist(p, q) or 1.0
    nx, ny = -(q[1] - p[1]) / long, (q[0] - p[0]) / long
    if (middle[0] - p[0]) * nx + (middle[1] - p[1]) * ny < 0:
        nx, ny = -nx, -ny
    return at[0] + nx * off, at[1] + ny * off


def _grid(ring: Sequence[Point], size: tuple[float, float], near: Point) -> list[Point]:
    """Places for a block's middle in the box of a ring, the nearest to a point first."""
    xs, ys = [p[0] for p in ring], [p[1] for p in ring]
    found = [near]
    east = np.arange(min(xs) + size[0] / 2, max(xs) - size[0] / 2 + 0.1, 12.0)
    south = np.arange(min(ys) + size[1] / 2, max(ys) - size[1] / 2 + 0.1, 9.0)
    found += [(float(x), float(y)) for x in east for y in south]
    return sorted(found, key=lambda at: math.dist(at, near))


def _inside(spots: Sequence[Spot], room: shapely.Geometry) -> list[Spot]:
    if not spots:
        return []
    shapely.prepare(room)
    fine = shapely.covers(room, shapely.box(*np.array([spot.box for spot in spots]).T))
    return [spot for spot, inside in zip(spots, fine, strict=True) if inside]


def _text(lines: labels.Block, spot: Spot, kind: str, fill: str) -> str:
    """A block with a white edge round its letters instead of a plate: the drawing shows through."""
    x0, y0, x1, y1 = spot.box
    cx, cy = (x0 + x1) / 2, (y0 + y1) / 2
    parts = []
    for i, each in enumerate(lines):
        down = (i - (len(lines) - 1) / 2) * labels.LINE * each.size + typeface.CAP * each.size / 2
        style = {
            "font_size": each.size, "font_weight": "700" if each.bold else None,
            "text_anchor": "middle", "class_": kind, "fill": fill, "stroke": "#fff",
            "stroke_width": 4, "paint_order": "stroke", "stroke_linejoin": "round",
        }  # fmt: skip
        place = ink.turned if spot.turned else ink.text
        parts.append(place((cx + down, cy) if spot.turned else (cx, cy + down), each.text, **style))
    return " ".join(parts)  # with a blank: read aloud, two lines are two words


def _toward(p: Point, q: Point, by: float) -> Point:
    far = math.dist(p, q) or 1.0
    return p[0] + (q[0] - p[0]) / far * by, p[1] + (q[1] - p[1]) / far * by
