"""All of a room's plan that is not text, from the floor up."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import shapely

from roomwright.drawing import furniture, ink, slopes, structure
from roomwright.drawing.work import Work
from roomwright.shape import Point, walls


def draw(work: Work) -> str:
    """All that stands under the texts, from the floor up."""
    plan, frame, options = work.plan, work.frame, work.options
    thin, base = work.thin, options.base
    tint = "#fff" if options.paper else "#E4EDEE"
    grip = 60.0 if options.interactive else 0.0
    things = [structure.thing(t, frame, work.color(), thin, f"{base}-fixed") for t in plan.things]
    zones = _zones(work)
    ways = [_way(work, each.id, each.points, each.text) for each in plan.ways if options.ways]
    openings = [structure.opening(o, frame, work.color(), thin) for o in plan.openings]
    pieces = [
        furniture.draw(
            p,
            frame,
            stroke=work.color(),
            weight=thin * 1.6,
            fill=tint,
            grip=grip,
        )
        for p in sorted(plan.pieces, key=lambda p: -p.width * p.depth)
    ]
    boxes = [_box(work, frame.at((b.x, b.y)), b.id) for b in plan.boxes]
    windows = [structure.window(w, frame, work.color(), thin) for w in plan.windows]
    return "".join(
        (
            structure.floor(plan.outline, frame, "#fff"),
            *things,
            *zones,
            structure.walls(plan.walls, frame, work.color()),
            *windows,
            slopes.draw(work),
            *pieces,
            *openings,  # over the pieces: a door that hits one shows its whole swing
            *ways,
            *boxes,
            *(_center(work, frame.at(spot)) for spot in _centers(work)),
        )
    )


def _zones(work: Work) -> list[str]:
    """The floor that is short, hatched once however many sides ask for it."""
    shapes = [shapely.Polygon(work.frame.ring(zone.outline)) for zone in work.plan.zones]
    if not shapes:
        return []
    whole = shapely.union_all(shapes)
    data = "".join(
        ink.ring([(x, y) for x, y, *_ in ring.coords[:-1]])
        for part in shapely.get_parts(whole)
        for ring in (part.exterior, *part.interiors)
    )
    fill = f"url(#{work.options.base}-bad)"
    return [ink.path(data, fill=fill, fill_rule="evenodd", class_="zone")]


def _way(work: Work, id: str, points: Sequence[Point], said: str) -> str:
    run = work.frame.ring(points)
    unit = work.options.text / 17
    return ink.path(
        structure.smooth(run, 14 * unit),
        class_="way",
        data_way=id,
        fill="none",
        stroke="#000" if work.options.paper else ink.ACCENT,
        stroke_width=work.thin * (2.4 if work.options.paper else 2.6),
        stroke_dasharray=f"{ink.n(9 * unit)} {ink.n(6 * unit)}",
    )


def _box(work: Work, c: Point, id: str) -> str:
    r = max(4.0, 0.45 * work.options.text)
    cross = f"M{ink.n(c[0] - r)} {ink.n(c[1])}H{ink.n(c[0] + r)}M{ink.n(c[0])} {ink.n(c[1] - r)}V"
    return ink.group(
        [ink.circle(c, r, fill="#fff"), ink.path(f"{cross}{ink.n(c[1] + r)}")],
        class_="box",
        data_light=id,
        stroke=work.color(),
        stroke_width=work.thin * 1.4,
    )


def _centers(work: Work) -> Sequence[Point]:
    return work.plan.centers if "center" in work.options.dims else ()


def _center(work: Work, c: Point) -> str:
    """Where a middle should be: two crossed center lines, long dash and dot."""
    r = 0.9 * work.options.text
    cross = f"M{ink.n(c[0] - r)} {ink.n(c[1])}H{ink.n(c[0] + r)}M{ink.n(c[0])} {ink.n(c[1] - r)}V"
    dash = " ".join(ink.n(part * r) for part in (0.72, 0.16, 0.24, 0.16))
    return ink.path(
        f"{cross}{ink.n(c[1] + r)}",
        class_="center-mark",
        fill="none",
        stroke=work.color("short"),
        stroke_width=work.thin * 1.2,
        stroke_dasharray=dash,
    )


def ink_of(work: Work) -> None:
    """Tell the board which lines are better not covered."""
    frame, board, plan = work.frame, work.board, work.plan
    for piece in plan.pieces:
        board.add_ink(map(frame.segment, walls(piece.outline)), 1.5)
        for chair in piece.chairs:
            board.add_ink(map(frame.segment, walls(chair)), 0.5)
        for each in furniture.inner(piece.kind, piece.width, piece.depth):
            run = furniture.placed(piece, each, frame)
            run = run[:: max(1, len(run) // 10)]  # an oval's chords: a few will do
            board.add_ink(pairwise(run), 0.2)
    for thing in plan.things:
        board.add_ink(map(frame.segment, walls(thing.outline)), 1.5)
    for way in plan.ways if work.options.ways else ():
        run = frame.ring(way.points)
        board.add_ink(pairwise(run), 1.5)
    for opening in plan.openings:
        board.add_ink((frame.segment(opening.near),), 1.0)
        for leaf in opening.leaves:
            board.add_ink((frame.segment((leaf.pivot, leaf.open)),), 1.5)
            board.add_ink((frame.segment((leaf.shut, leaf.open)),), 0.8)
    for window in plan.windows:
        for face in (window.near, window.far):
            board.add_ink((frame.segment(face),), 6.0)
    r = max(4.0, 0.45 * work.options.text)
    for box in plan.boxes:
        x, y = frame.at((box.x, box.y))
        board.add_ink((((x - r, y), (x + r, y)), ((x, y - r), (x, y + r))), 12.0)
