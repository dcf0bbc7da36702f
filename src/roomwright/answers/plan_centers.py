"""On a plan: where the middle is that a thing is off, and by how much, along the axes."""

from __future__ import annotations

import math
from collections.abc import Iterator

from roomwright.answers.plan_model import Dim
from roomwright.fit import model as fit
from roomwright.lengths import tape
from roomwright.shape import Point, Segment

ALONG = ("east", "west")
STEP, STEPS = 6.0, 5
"""A dimension may be drawn aside by so many steps [in]."""


def off_links(found: fit.RoomFit) -> tuple[fit.Link, ...]:
    """The pairs of a room that are off center, each once."""
    links = (link for chain in found.chains for link in chain.links)
    return tuple(dict.fromkeys(link for link in links if link.verdict.word is fit.Word.SHORT))


def centers(found: fit.RoomFit) -> tuple[Point, ...]:
    """Where the middles of things should be that are off."""
    return tuple(dict.fromkeys(link.at[1] for link in off_links(found) if link.at is not None))


def center_dims(found: fit.RoomFit) -> tuple[Dim, ...]:
    """How far each is off: one dimension a direction, from its middle to where that should be."""
    return tuple(dim for link in off_links(found) for dim in _dims(link))


def _dims(link: fit.Link) -> Iterator[Dim]:
    if link.at is None:
        return
    p, q = link.at
    for by, word in link.moves:
        start, end = p, q
        if len(link.moves) > 1:  # first east or west, then north or south
            corner = (q[0], p[1])
            start, end = (p, corner) if word in ALONG else (corner, q)
        yield Dim(
            key=f"center {' '.join(link.ids)} on {link.on} {word}",
            kind="center",
            p=start,
            q=end,
            text=tape(by),
            what=f"{link.name} off the center of the {link.on_name}, to move {word}",
            word="short",
            elsewhere=_aside(start, end),
            piece=link.on,
        )


def _aside(p: Point, q: Point) -> tuple[Segment, ...]:
    """The same line moved square to itself, farther and farther to either side."""
    length = math.dist(p, q)
    ux, uy = (q[0] - p[0]) / length, (q[1] - p[1]) / length
    return tuple(
        ((p[0] - s * uy, p[1] + s * ux), (q[0] - s * uy, q[1] + s * ux))
        for k in range(1, STEPS + 1)
        for s in (k * STEP, -k * STEP)
    )
