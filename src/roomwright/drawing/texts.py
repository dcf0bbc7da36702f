"""The texts of a room's plan: dimensions, names, wall letters; each finds its place."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from roomwright.answers.plan_model import Dim
from roomwright.drawing import dimension, ink, labels
from roomwright.drawing.dimension import Lettering
from roomwright.drawing.options import NARROW
from roomwright.drawing.places import Spot, overlapping
from roomwright.drawing.work import BAD, Work, away, compass, out_of, unit
from roomwright.shape import Point, Segment

ON_PIECE = 10.0
"""Cost of a dimension's text that stands on a piece."""


def _draw_dim(
    work: Work, dim: Dim, lettering: Lettering, spot: Spot, extend: Sequence[Segment] = ()
) -> None:
    strong = dim.word in BAD
    color = work.color(dim.word if strong else "")
    under, over = dimension.draw(
        dim,
        lettering,
        spot,
        stroke=color,
        weight=work.thin * (1.5 if strong else 0.9),
        frame=color if strong else "",
        extend=extend,
    )
    work.lines.append(under)
    work.texts.append(over)


def inside_dim(work: Work, dim: Dim) -> None:
    """A dimension in the room, at the best of the places where it holds."""
    lettering = Lettering(dim.text, work.options.text, dim.word in BAD)
    places = [work.frame.segment(each) for each in ((dim.p, dim.q), *dim.elsewhere)]
    spots = _off_pieces(work, dimension.spots(lettering, places))
    spot = work.board.place(dim.key, spots)
    if spot is None and dim.kind == "center":
        return  # its mark shows, and words beside the plan say how far
    if spot is None:
        p, q = places[0]
        middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
        size = (lettering.wide, lettering.high)
        spot = work.board.lead(dim.key, middle, size, (places[0],)) or work.board.below(
            dim.key, middle, size, (places[0],)
        )
    extend = []
    if dim.kind == "center" and math.dist(places[0][0], spot.lines[0][0]) > 1:
        extend = list(zip(places[0], spot.lines[0], strict=True))
    if dim.kind == "box" and math.dist(places[0][1], spot.lines[0][1]) > 1:
        extend = [(places[0][1], spot.lines[0][1])]  # the line is drawn aside of the box
    _draw_dim(work, dim, lettering, spot, extend)


def _off_pieces(work: Work, spots: list[Spot]) -> list[Spot]:
    """The same spots, dearer where the text would stand on a piece and take its name's room."""
    rings = [work.frame.ring(piece.outline) for piece in work.plan.pieces]
    if not rings or not spots:
        return spots
    reach = np.array(
        [
            (min(x), min(y), max(x), max(y))
            for x, y in (tuple(zip(*ring, strict=True)) for ring in rings)
        ]
    )
    boxes = np.array([spot.box for spot in spots])
    on = np.asarray(overlapping(boxes, reach).any(axis=1))
    return [
        replace(spot, cost=spot.cost + ON_PIECE) if over else spot
        for spot, over in zip(spots, on, strict=True)
    ]


def outside_dim(work: Work, dim: Dim) -> None:
    """A dimension along a wall, drawn outside it with lines out from its ends."""
    frame, text = work.frame, work.options.text
    lettering = Lettering(dim.text, text, dim.word in BAD)
    out = out_of((dim.p, dim.q))
    p, q = frame.segment((dim.p, dim.q))
    to = (out[0], -out[1])
    side = compass(out)
    row = 1.75 * text
    first = _thickness(work, dim) * frame.scale + row * _rows_within(work, dim, side)
    places, offsets = [], [first + row * (k + 0.5) for k in (0, 1, -0.45)]
    for off in offsets:
        places.append(
            (
                (p[0] + to[0] * off, p[1] + to[1] * off),
                (q[0] + to[0] * off, q[1] + to[1] * off),
            )
        )
    spot = work.board.place(dim.key, dimension.spots(lettering, places))
    if spot is None:
        middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
        size = (lettering.wide, lettering.high)
        spot = work.board.lead(dim.key, middle, size, ((p, q),)) or work.board.below(
            dim.key, middle, size, ((p, q),)
        )
    a, b = spot.lines[0]
    start = _thickness(work, dim) * frame.scale + 0.15 * text
    extend = [
        (
            (e[0] + to[0] * start, e[1] + to[1] * start),
            (f[0] + to[0] * 0.2 * text, f[1] + to[1] * 0.2 * text),
        )
        for e, f in ((p, a), (q, b))
        if math.dist(e, f) > start
    ]
    _draw_dim(work, dim, lettering, spot, extend)


def _rows_within(work: Work, dim: Dim, side: str) -> int:
    """How many rows of texts stand between the wall and a dimension outside it."""
    rows = int(side in {compass(away(each)) for each in work.plan.openings})
    if dim.kind == "wall" and "opening" in work.options.dims:
        mine = [(d.p, d.q) for d in work.plan.dims if d.kind == "opening"]
        rows += int(side in {compass(out_of(each)) for each in mine})
    return rows


def _thickness(work: Work, dim: Dim) -> float:
    """How far the wall that a dimension runs along reaches out from its face [in]."""
    out = out_of((dim.p, dim.q))
    far = 0.0
    for t in (0.02, 0.25, 0.5, 0.75, 0.98):
        x = dim.p[0] + t * (dim.q[0] - dim.p[0])
        y = dim.p[1] + t * (dim.q[1] - dim.p[1])
        ray = shapely.LineString([(x, y), (x + 24 * out[0], y + 24 * out[1])])
        far = max(far, shapely.intersection(ray, work.solid).length)
    return far


def opening_names(work: Work) -> None:
    """What is beyond each opening, on the far side of its wall."""
    frame, text = work.frame, work.options.text
    for each in work.plan.openings:
        ways = labels.wordings([each.to_name], text)
        toward = away(each)
        fa, fb = frame.segment(each.far)
        at = ((fa[0] + fb[0]) / 2, (fa[1] + fb[1]) / 2)
        upright = compass(toward) in ("left", "right")
        spots = []
        for variant, lines in enumerate(ways):
            for spot in labels.beside(
                at, (toward[0], -toward[1]), labels.size_of(lines), 0.12 * text, upright
            ):
                cost = spot.cost + 40 * variant
                spots.append(Spot(spot.box, (), cost, spot.turned, variant=variant))
        placed = labels.put(work.board, f"to {each.to_name} ({each.id})", ways, spots, at)
        _put_block(work, placed, each.to_name, class_="beyond", data_opening=each.id)


def _put_block(
    work: Work,
    placed: tuple[labels.Block, Spot] | None,
    name: str,
    plate: str = "#fff",
    **values: str,
) -> None:
    if placed is None:
        work.unplaced.append(name)
        return
    work.texts.append(
        labels.draw(*placed, fill=work.color(), plate=plate, weight=work.thin, values=values)
    )


def piece_names(work: Work) -> None:
    """The name and size of each piece, on it where there is room.

    On a narrow drawing a piece without room for its name has its id, and no leader.
    """
    leaders = work.options.paper or work.options.width >= NARROW
    tint = "#fff" if work.options.paper else "#E4EDEE"
    for piece in sorted(work.plan.pieces, key=lambda p: p.width * p.depth):
        ways = labels.wordings(piece.lines or (piece.name,), work.options.text)
        if not leaders:
            ways += [labels.block([words], work.options.text) for words in (piece.kind, piece.id)]
        ring = work.frame.ring(piece.outline)
        spots = _within(list(labels.inside(ring, ways)), ring)
        at = work.frame.at((piece.x, piece.y))
        placed = labels.put(work.board, piece.name or piece.id, ways, spots, at, leaders=leaders)
        led = placed is not None and placed[1].leader is not None
        _put_block(
            work,
            placed,
            piece.name,
            plate="#fff" if led else tint,
            class_="label",
            data_piece=piece.id,
        )


def _within(spots: Sequence[Spot], ring: Sequence[Point]) -> list[Spot]:
    """Those of some spots that lie inside a ring."""
    if not spots:
        return []
    shape = shapely.buffer(shapely.Polygon(ring), 0.5)
    shapely.prepare(shape)
    boxes = shapely.box(*np.array([spot.box for spot in spots]).T)
    inside = shapely.covers(shape, boxes)
    return [spot for spot, fine in zip(spots, inside, strict=True) if fine]


def thing_names(work: Work) -> None:
    """The names of fixed things and of boxes in the ceiling.

    On a narrow drawing those without room where they are stay unnamed.
    """
    leaders = work.options.paper or work.options.width >= NARROW
    for thing in work.plan.things:
        if not thing.name:
            continue
        ways = labels.wordings([thing.name], work.options.text, bold_first=False)
        ring = work.frame.ring(thing.outline)
        spots = _within(list(labels.inside(ring, ways)), ring)
        centre = shapely.Polygon(ring).representative_point()
        at = (centre.x, centre.y)
        placed = labels.put(work.board, thing.name, ways, spots, at, leaders=leaders)
        _put_block(work, placed, thing.name, class_="label", data_fixed=thing.id)
    named: set[str] = set()
    for box in work.plan.boxes:
        if not leaders and box.name in named:
            continue  # a row of pendants is named once
        ways = labels.wordings([box.name], work.options.text, bold_first=False)
        c = work.frame.at((box.x, box.y))
        r = max(4.0, 0.45 * work.options.text)
        spots = []
        for variant, lines in enumerate(ways):
            w, h = labels.size_of(lines)
            for k, (dx, dy) in enumerate(
                ((0, 1), (0, -1), (1, 0), (-1, 0), (1, 1), (-1, 1), (1, -1), (-1, -1))
            ):
                at = (c[0] + dx * (w / 2 + r + 2), c[1] + dy * (h / 2 + r + 2))
                spots.append(
                    Spot(labels.around(at, (w, h)), (), 20 * variant + 2 * k, variant=variant)
                )
        placed = labels.put(work.board, box.name, ways, spots, c, leaders=leaders)
        named |= {box.name} if placed is not None else set()
        _put_block(work, placed, box.name, class_="label", data_light=box.id)


def letters(work: Work) -> None:
    """The letter of each wall, against its face inside the room."""
    size = work.options.text * 0.95
    standing = [p.outline for p in work.plan.pieces] + [t.outline for t in work.plan.things]
    taken = shapely.union_all([shapely.Polygon(work.frame.ring(each)) for each in standing])
    for letter, wall in work.plan.letters:
        mark = Lettering(letter, size, True)
        side = max(mark.high, mark.wide) * 0.95
        a, b = work.frame.segment(wall)
        ux, uy = unit(a, b)
        nx, ny = uy, -ux  # into the room: the drawing's y runs down
        spots = []
        for k, t in enumerate((0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.04, 0.96)):
            for depth in (0.62, 1.0):
                at = (
                    a[0] + (b[0] - a[0]) * t + nx * side * depth,
                    a[1] + (b[1] - a[1]) * t + ny * side * depth,
                )
                cost = 1.5 * k + 4 * depth + (25 if shapely.contains_xy(taken, *at) else 0)
                spots.append(Spot(labels.around(at, (side, side)), (), cost))
        spot = work.board.place(f"wall {letter}", spots)
        if spot is None:
            work.unplaced.append(f"wall {letter}")
            continue
        work.texts.append(
            ink.group(
                [mark.draw(spot.box, frame=work.color())],
                class_="letter",
                fill=work.color(),
                data_wall=letter,
            )
        )
