"""The gaps between all that bounds a walking route: those that may part its two openings."""

from dataclasses import dataclass

import numpy as np

from roomwright.fit.bounds import TOUCHING, Bools, Floats, Ints, Sides, Walls

EQUAL = 1e-6
"""Gaps whose widths differ by less are equally wide [in]."""


def joined(first: Sides, second: Sides) -> Sides:
    """The corners of walls and of what stands between them, as one."""
    if not len(second.x):
        return first
    shift = len(first.x)
    return Sides(
        np.concatenate([first.x, second.x]),
        np.concatenate([first.y, second.y]),
        np.concatenate([first.next, second.next + shift]),
        np.concatenate([first.previous, second.previous + shift]),
        np.concatenate([first.component, second.component]),
        np.concatenate([first.side, second.side]),
        np.concatenate([first.solid, second.solid]),
        np.concatenate([first.source, second.source]),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Gaps:
    """Gaps that may part the openings, from narrow to wide: from a corner p to an edge at q."""

    width: Floats
    px: Floats
    py: Floats
    qx: Floats
    qy: Floats
    corner: Ints
    edge: Ints
    first: Ints
    second: Ints
    odd: Bools


def gaps_of(sides: Sides, bounds: Walls, limit: float) -> Gaps:
    """The gaps narrower than `limit` that run inside the space, the narrowest of each sort.

    Two things that do not overlap are nearest at a corner of one of them, so gaps from corners
    to edges are enough. Of gaps that join the same two components on the same side of the
    openings a route crosses all or none, so the narrowest is.
    """
    corner, edge, square = _near(sides, limit)
    px, py = sides.x[corner], sides.y[corner]
    ax, ay = sides.x[edge], sides.y[edge]
    dx, dy = sides.x[sides.next[edge]] - ax, sides.y[sides.next[edge]] - ay
    along = ((px - ax) * dx + (py - ay) * dy) / square
    np.clip(along, 0.0, 1.0, out=along)
    qx, qy = ax + along * dx, ay + along * dy
    width = np.hypot(px - qx, py - qy)
    close = np.flatnonzero(width < limit)
    corner, edge, width = corner[close], edge[close], width[close]
    px, py, qx, qy = px[close], py[close], qx[close], qy[close]
    ruler = bounds.ruler
    odd = (
        sides.side[corner]
        ^ sides.side[edge]
        ^ ruler.crossed(ax[close], ay[close], qx, qy)
        ^ ruler.crossed(px, py, qx, qy)
    )
    first, second = sides.component[corner], sides.component[edge]
    keep = (first != second) | odd
    if not bounds.convex:
        keep[keep] = _inside(bounds.sides, px[keep], py[keep], qx[keep], qy[keep])
    kept = np.flatnonzero(keep)
    count = int(sides.component.max()) + 1
    low, high = np.minimum(first, second)[kept], np.maximum(first, second)[kept]
    sort = (low * count + high) * 2 + odd[kept]
    least = np.full(2 * count * count, np.inf)
    np.minimum.at(least, sort, width[kept])
    narrowest = width[kept] <= least[sort] + EQUAL
    kept, sort = kept[narrowest], sort[narrowest]
    detour = _detour(bounds, (px[kept] + qx[kept]) / 2, (py[kept] + qy[kept]) / 2)
    by_sort = np.lexsort((detour, sort))
    new = np.ones(len(sort), dtype=bool)
    new[1:] = sort[by_sort[1:]] != sort[by_sort[:-1]]
    one = by_sort[new]
    order = one[np.lexsort((-detour[one], np.round(width[kept[one]] / EQUAL)))]
    kept = kept[order]
    return Gaps(
        width[kept], px[kept], py[kept], qx[kept], qy[kept],
        corner[kept], edge[kept], first[kept], second[kept], odd[kept],
    )  # fmt: skip


def _near(sides: Sides, limit: float) -> tuple[Ints, Ints, Floats]:
    """Corners and edges, not each other's own, that may be nearer than `limit`.

    With them the square of the edge's length, or 1 where it has none.
    """
    edge = np.flatnonzero(sides.solid)
    ends = sides.next[edge]
    ax, ay = sides.x[edge], sides.y[edge]
    dx, dy = sides.x[ends] - ax, sides.y[ends] - ay
    square = dx * dx + dy * dy
    reach = limit + np.sqrt(square) / 2
    ux, uy = sides.x[:, None] - (ax + dx / 2), sides.y[:, None] - (ay + dy / 2)
    ux *= ux
    uy *= uy
    ux += uy
    near = ux < reach * reach
    number = np.arange(len(edge))
    near[edge, number] = False
    near[ends, number] = False
    corner, at = np.nonzero(near)
    square[square == 0] = 1.0
    return corner, edge[at], square[at]


def _detour(bounds: Walls, x: Floats, y: Floats) -> Floats:
    """Length from the middle of one opening by way of a place to the middle of the other."""
    (ax, ay), (bx, by) = (((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) for p, q in bounds.openings)
    there = np.hypot(x - ax, y - ay) + np.hypot(x - bx, y - by)
    return np.round(there, 6)


def _inside(wall: Sides, px: Floats, py: Floats, qx: Floats, qy: Floats) -> Bools:
    """Whether segments p-q, whose ends lie in the space, run in it or along its edge."""
    ux, uy = wall.x, wall.y
    vx, vy = ux[wall.next], uy[wall.next]
    dx, dy = vx - ux, vy - uy
    length = np.hypot(dx, dy)
    length[length == 0] = 1.0
    px, py, qx, qy = px[:, None], py[:, None], qx[:, None], qy[:, None]
    p_left = (dx * (py - uy) - dy * (px - ux)) / length
    q_left = (dx * (qy - uy) - dy * (qx - ux)) / length
    ex, ey = qx - px, qy - py
    u_left = ex * (uy - py) - ey * (ux - px) >= 0
    v_left = ex * (vy - py) - ey * (vx - px) >= 0
    apart = ((p_left > TOUCHING) & (q_left < -TOUCHING)) | (
        (q_left > TOUCHING) & (p_left < -TOUCHING)
    )
    crossed = (apart & (u_left != v_left)).any(axis=1)
    mx, my = (px + qx) / 2, (py + qy) / 2
    level = (uy > my) != (vy > my)
    east = dx * (my - uy) - dy * (mx - ux)
    within = (level & ((east > 0) == (dy > 0))).sum(axis=1) % 2 == 1
    t = np.clip(((mx - ux) * dx + (my - uy) * dy) / (length * length), 0.0, 1.0)
    on_wall = np.hypot(ux + t * dx - mx, uy + t * dy - my).min(axis=1) <= TOUCHING
    return np.asarray(~crossed & (within | on_wall))
