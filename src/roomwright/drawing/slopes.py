"""A sloped ceiling on a plan: lines of a height, long dash and dot; an arrow up each slope."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from roomwright.answers.plan_model import Contour, Rise
from roomwright.drawing import ink, labels
from roomwright.drawing.frame import Frame
from roomwright.drawing.places import Spot
from roomwright.drawing.work import Work, unit
from roomwright.shape import Point, Segment


def draw(work: Work) -> str:
    """The lines and the arrows, under all texts."""
    plan = work.plan
    color = work.color()
    return drawn(plan.contours, plan.rises, work.frame, work.options.text, work.thin, color)


def drawn(
    contours: Sequence[Contour],
    rises: Sequence[Rise],
    frame: Frame,
    size: float,
    weight: float,
    stroke: str,
) -> str:
    """The lines of a height and the arrows, for letters of a size; empty where it is flat."""
    dash = " ".join(ink.n(part * size) for part in (0.9, 0.25, 0.15, 0.25))
    parts = []
    for each in contours:
        run = frame.ring(each.points)
        data = "M" + "L".join(f"{ink.n(x)} {ink.n(y)}" for x, y in run)
        parts.append(
            ink.path(data, class_="contour", data_height=ink.n(each.height),
                     stroke_dasharray=dash, stroke_width=weight)
        )  # fmt: skip
    parts += [_arrow(frame.segment((r.foot, r.head)), size, weight) for r in rises]
    if not parts:
        return ""
    return ink.group(parts, class_="slopes", fill="none", stroke=stroke)


def _arrow(line: Segment, size: float, weight: float) -> str:
    (x, y), tip = line
    ux, uy = unit((x, y), tip)
    barb = 0.5 * size
    left = tip[0] - barb * (ux - 0.5 * uy), tip[1] - barb * (uy + 0.5 * ux)
    right = tip[0] - barb * (ux + 0.5 * uy), tip[1] - barb * (uy - 0.5 * ux)
    data = (
        f"M{ink.n(x)} {ink.n(y)}L{ink.n(tip[0])} {ink.n(tip[1])}"
        f"M{ink.n(left[0])} {ink.n(left[1])}L{ink.n(tip[0])} {ink.n(tip[1])}"
        f"L{ink.n(right[0])} {ink.n(right[1])}"
    )
    return ink.path(data, class_="rise", stroke_width=weight * 1.2)


def ink_of(work: Work) -> None:
    """Tell the board which of these lines are better not covered."""
    for each in work.plan.contours:
        work.board.add_ink(pairwise(work.frame.ring(each.points)), 0.4)
    for rise in work.plan.rises:
        work.board.add_ink([work.frame.segment((rise.foot, rise.head))], 1.0)


def names(work: Work) -> None:
    """The height of each line on it, and each rise beside its arrow; unsaid where no room is."""
    size = work.options.text * 0.9
    for each in work.plan.contours:
        runs = list(pairwise(work.frame.ring(each.points)))
        longest = max(runs, key=lambda run: math.dist(*run))
        ways = [labels.block([text], size, bold_first=False)
                for text in (f"ceiling {each.text}", each.text)]  # fmt: skip
        _put(work, f"ceiling {each.text} {each.points[0]}", ways, _on(longest, ways), "contour")
    for rise in work.plan.rises:
        line = work.frame.segment((rise.foot, rise.head))
        ways = labels.wordings([rise.text], size, bold_first=False)
        short = rise.text.partition(", ")[2]
        ways.append(labels.block([short], size, bold_first=False))
        _put(work, f"slope {rise.id}", ways, _beside(line, ways), "rise")


def _put(work: Work, name: str, ways: list[labels.Block], spots: list[Spot], kind: str) -> None:
    at = (0.0, 0.0)  # no leader: the line itself says where it is
    placed = labels.put(work.board, name, ways, spots, at, leaders=False)
    if placed is None:
        work.unplaced.append(name)
        return
    values = {"class_": f"label {kind}"}
    work.texts.append(
        labels.draw(*placed, fill=work.color(), plate="#fff", weight=work.thin, values=values)
    )


def _on(line: Segment, ways: list[labels.Block]) -> list[Spot]:
    """Places along a line, on it."""
    (x, y), (u, v) = line
    upright = abs(v - y) > abs(u - x)
    return [
        Spot(labels.around((x + (u - x) * t, y + (v - y) * t), labels.size_of(way), turned), (),
             20.0 * variant + 2.0 * k + 10.0 * turned, turned, variant=variant)
        for variant, way in enumerate(ways)
        for k, t in enumerate((0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9))
        for turned in ((False, True) if upright else (False,))
    ]  # fmt: skip


def _beside(line: Segment, ways: list[labels.Block]) -> list[Spot]:
    """Places on both sides of an arrow, and at its ends."""
    (x, y), tip = line
    ux, uy = unit((x, y), tip)
    spots = []
    for variant, way in enumerate(ways):
        w, h = labels.size_of(way)
        for k, t in enumerate((0.5, 0.8, 0.2, 1.0, 0.0)):
            c: Point = (x + (tip[0] - x) * t, y + (tip[1] - y) * t)
            for side in (1, -1):
                off = 6 + (abs(uy) * w + abs(ux) * h) / 2
                at = c[0] - side * uy * off, c[1] + side * ux * off
                cost = 20.0 * variant + 3.0 * k
                spots.append(Spot(labels.around(at, (w, h)), (), cost, variant=variant))
    return spots
