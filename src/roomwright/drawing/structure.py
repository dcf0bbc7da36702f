"""What does not move, drawn: walls, openings with their swings, windows, fixed things, stairs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from roomwright.answers.plan_model import Leaf, Opening, Thing, Window
from roomwright.drawing import ink
from roomwright.drawing.frame import Frame
from roomwright.shape import Outline, Point, Segment


def walls(solids: Sequence[tuple[Outline, ...]], frame: Frame, fill: str) -> str:
    """Walls as one solid with its holes."""
    data = "".join(ink.ring(frame.ring(each)) for rings in solids for each in rings)
    return ink.path(data, class_="walls", fill=fill, fill_rule="evenodd") if data else ""


def floor(outline: Outline, frame: Frame, fill: str) -> str:
    """The floor of a room."""
    return ink.path(ink.ring(frame.ring(outline)), class_="floor", fill=fill)


def opening(each: Opening, frame: Frame, stroke: str, weight: float) -> str:
    """An opening: its jambs, its leaves open with the quarter circle each sweeps, or its head."""
    (na, nb), (fa, fb) = frame.segment(each.near), frame.segment(_facing(each))
    parts = [ink.line(na, fa, stroke_width=weight), ink.line(nb, fb, stroke_width=weight)]
    if not each.leaves and each.kind in ("cased", "open", "bifold", "slide", "pocket"):
        dashes = f"{ink.n(4 * weight)} {ink.n(3 * weight)}"
        parts += [
            ink.line(a, b, stroke_width=weight * 0.8, stroke_dasharray=dashes)
            for a, b in ((na, nb), (fa, fb))
        ]
    if each.slab:
        parts.append(_slab(frame.segment(each.slab), frame.scale, weight))
    if each.kind == "bifold":
        parts.append(_zigzag(na, nb, frame.scale, weight))
    parts += [leaf(one, frame, weight) for one in each.leaves]
    return ink.group(
        parts,
        class_=f"opening {each.kind.replace(' ', '-')}",
        data_opening=each.id,
        fill="none",
        stroke=stroke,
    )


def _facing(each: Opening) -> Segment:
    """The far face's ends in the order of the near face's."""
    a, b = each.far
    if math.dist(each.near[0], a) > math.dist(each.near[0], b):
        return b, a
    return a, b


def leaf(each: Leaf, frame: Frame, weight: float) -> str:
    """A leaf standing open, and the quarter circle of its far edge."""
    pivot, shut, open_ = frame.at(each.pivot), frame.at(each.shut), frame.at(each.open)
    radius = math.dist(pivot, open_)
    # which way round: the drawing's y runs down
    cross = (shut[0] - pivot[0]) * (open_[1] - pivot[1]) - (shut[1] - pivot[1]) * (
        open_[0] - pivot[0]
    )
    arc = ink.path(
        f"M{ink.n(shut[0])} {ink.n(shut[1])}A{ink.n(radius)} {ink.n(radius)} 0 0 "
        f"{1 if cross > 0 else 0} {ink.n(open_[0])} {ink.n(open_[1])}",
        class_="swing",
        stroke_width=weight * 0.7,
    )
    thick = max(1.375 * frame.scale, 2.2 * weight)
    return arc + ink.line(pivot, open_, class_="leaf", stroke_width=thick)


def _slab(slab: Segment, scale: float, weight: float) -> str:
    """A leaf that has slid aside: inside the wall, so drawn white with a dashed edge."""
    a, b = slab
    half = max(1.375 * scale, 3 * weight) / 2
    along = max(math.dist(a, b), 1e-9)
    ox, oy = -(b[1] - a[1]) / along * half, (b[0] - a[0]) / along * half
    corners = [
        (a[0] + ox, a[1] + oy),
        (b[0] + ox, b[1] + oy),
        (b[0] - ox, b[1] - oy),
        (a[0] - ox, a[1] - oy),
    ]
    return ink.path(ink.ring(corners), class_="slab", fill="#fff", stroke_width=weight * 0.8)


def _zigzag(a: Point, b: Point, scale: float, weight: float) -> str:
    """Folding leaves half open."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = max(math.hypot(dx, dy), 1e-9)
    depth = min(length / 4, 9 * scale)
    nx, ny = -dy / length * depth, dx / length * depth
    points = [
        (a[0] + dx * t + (nx if up else 0), a[1] + dy * t + (ny if up else 0))
        for t, up in (
            (0, False),
            (0.12, True),
            (0.24, False),
            (0.76, False),
            (0.88, True),
            (1, False),
        )
    ]
    first, second = points[:3], points[3:]
    data = "".join(
        "M" + "L".join(f"{ink.n(x)} {ink.n(y)}" for x, y in part) for part in (first, second)
    )
    return ink.path(data, stroke_width=weight * 1.5)


def window(each: Window, frame: Frame, stroke: str, weight: float) -> str:
    """A window: white through the wall, both faces and the glass between drawn."""
    (na, nb), (fa, fb) = frame.segment(each.near), frame.segment(each.far)
    if math.dist(na, fa) > math.dist(na, fb):
        fa, fb = fb, fa
    glass = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in ((na, fa), (nb, fb))]
    frame_ = ink.path(ink.ring([na, nb, fb, fa]), fill="#fff", stroke_width=weight)
    return ink.group(
        [frame_, ink.line(glass[0], glass[1], stroke_width=weight * 0.8)],
        class_="window",
        data_window=each.id,
        stroke=stroke,
    )


def thing(each: Thing, frame: Frame, stroke: str, weight: float, hatched: str) -> str:
    """A fixed thing, lightly hatched; a stair with its treads; a well with a cross."""
    ring = frame.ring(each.outline)
    fill = "#fff" if each.kind == "stair" else f"url(#{hatched})"
    parts = [
        ink.path(ink.ring(frame.ring(stool)), fill="#fff", stroke_width=weight * 0.5)
        for stool in each.stools
    ]
    parts += [ink.path(ink.ring(ring), fill="#fff"), ink.path(ink.ring(ring), fill=fill)]
    parts += [ink.line(*frame.segment(s), stroke_width=weight * 0.7) for s in each.treads]
    return ink.group(
        parts,
        class_=f"thing {each.kind}",
        data_fixed=each.id,
        stroke=stroke,
        stroke_width=weight,
    )


def smooth(points: Iterable[Point], radius: float) -> str:
    """Path data of a line whose corners are rounded off by at most `radius`."""
    given = list(points)
    run = [p for i, p in enumerate(given) if i == 0 or p != given[i - 1]]
    if len(run) < 2:
        return ""
    data = [f"M{ink.n(run[0][0])} {ink.n(run[0][1])}"]
    for before, corner, after in zip(run, run[1:], run[2:], strict=False):
        a, b = math.dist(before, corner), math.dist(corner, after)
        r = min(radius, a / 2, b / 2)
        enter = _toward(corner, before, r / a)
        leave = _toward(corner, after, r / b)
        data.append(
            f"L{ink.n(enter[0])} {ink.n(enter[1])}"
            f"Q{ink.n(corner[0])} {ink.n(corner[1])} {ink.n(leave[0])} {ink.n(leave[1])}"
        )
    data.append(f"L{ink.n(run[-1][0])} {ink.n(run[-1][1])}")
    return "".join(data)


def _toward(a: Point, b: Point, t: float) -> Point:
    return a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t
