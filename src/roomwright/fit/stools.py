"""Stools at an island, a peninsula, a counter: how many, knees under the overhang, room behind.

A piece says it among its features (``stools front 3; overhang 12``), a built-in thing after the
comma of its name ("island, stools east 3"). Each person takes `kitchen.stool_width` of edge; the
overhang gives knees room, less of it the higher the top: 18 in. at 30, 15 at 36, 12 at 42 [1]_.
Behind stools people rise, edge past or walk past as behind chairs.

.. [1] Kitchen guideline 9, National Kitchen & Bath Association, 2016.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from roomwright.fit import uses
from roomwright.fit.features import Features, features_of
from roomwright.fit.ground import Ground
from roomwright.fit.model import Body, Finding, Needs, Piece, Word, Zone
from roomwright.fit.opens import straight_out
from roomwright.fit.verdicts import EVEN, judge, length
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Outline, Segment, compass, outward, round_outline, walls

TOPS = ((33.0, "kitchen.knee_30"), (39.0, "kitchen.knee_36"), (math.inf, "kitchen.knee_42"))
"""Up to which height of a top each figure for knees holds: halfway to the next [in], our choice."""


STOOL = 15.0
"""A stool as drawn [in]; for the picture only, never a check."""


@dataclass(frozen=True, slots=True)
class Row:
    """A side with stools: whose, along which edge, how many are asked for (0: not said)."""

    id: str
    name: str
    edge: Segment
    count: int
    overhang: float | None
    height: float | None
    room: str

    @property
    def side(self) -> str:
        """The compass word of the side."""
        return compass(outward(self.edge))


def rows_of(piece: Piece) -> tuple[Row, ...]:
    """The rows of stools at a placed piece."""
    return tuple(
        Row(
            piece.id,
            piece.name,
            piece.edges[local],
            count,
            piece.told.overhang,
            piece.height,
            piece.room,
        )
        for local, count in piece.stools.items()
    )


def told_of(body: Body) -> Features:
    """The features of a built-in thing: what stands after the commas of its name in full."""
    return features_of(";".join(body.kind.split(",")[1:])) if "," in body.kind else Features()


def rows_at(body: Body) -> Iterator[Row]:
    """The rows of stools at a built-in thing, each on its longest edge that faces that way."""
    told = told_of(body)
    for word, count in told.stools:
        edges = [edge for edge in walls(body.outline) if compass(outward(edge)) == word]
        if edges:
            edge = max(edges, key=lambda each: math.dist(*each))
            high = body.high if math.isfinite(body.high) else None
            name = body.name.split(",")[0]
            yield Row(body.id, name, edge, count, told.overhang, high, body.room)


def fixed_rows(ground: Ground) -> tuple[Row, ...]:
    """All rows of stools at built-in things."""
    fixed = (body for body in ground.bodies if body.what == "fixed" and "stools" in body.kind)
    return tuple(row for body in fixed for row in rows_at(body))


def seats_at(row: Row, needs: Needs) -> int:
    """How many people sit along a row.

    >>> edge = ((109, 197), (109, 281))
    >>> row = Row("X5", "island", edge, 3, 12, 36, "102")
    >>> seats_at(row, Needs({"kitchen.stool_width": 24}))
    3
    """
    each = needs.get("kitchen.stool_width") or 24.0
    return math.floor(math.dist(*row.edge) / each + 1e-9)


def spots(row: Row) -> tuple[Outline, ...]:
    """Where stools stand, half under the top, for the drawing; a picture and no check.

    >>> len(spots(Row("X5", "island", ((109, 197), (109, 281)), 0, None, None, "102")))
    3
    """
    (ax, ay), (bx, by) = row.edge
    ox, oy = outward(row.edge)
    count = row.count or math.floor(math.dist(*row.edge) / 24.0 + 1e-9)
    shares = [(2 * i + 1) / (2 * count) for i in range(count)]
    return tuple(
        round_outline(
            ax + t * (bx - ax) + ox * STOOL / 4, ay + t * (by - ay) + oy * STOOL / 4, STOOL, 1 / 8
        )
        for t in shares
    )


def checked(row: Row, needs: Needs) -> Iterator[Finding]:
    """What is wrong with a row by itself: too many stools, too little room for knees."""
    each = needs.get("kitchen.stool_width")
    name = f"{row.name} {row.id}"
    have = math.dist(*row.edge)
    if each and row.count * each > have + EVEN:
        text = (
            f"{row.count} stools along the {row.side} side of the {name} want "
            f"{tape(row.count * each)}, {tape(have)} is there: short "
            f"{length(row.count * each - have)}. It seats {seats_at(row, needs)}."
        )
        yield Finding(
            "stools",
            Word.SHORT,
            text,
            row.room,
            (row.id,),
            by=row.count * each - have,
            figure="kitchen.stool_width",
            clear=have,
            needs=row.count * each,
        )
    if row.overhang is None or row.height is None:
        return
    key = next(key for most, key in TOPS if row.height <= most)
    knees = needs.get(key)
    if knees is not None and row.overhang < knees - EVEN:
        text = (
            f"The overhang of the {name} over its stools is {tape(row.overhang)}, "
            f"{tape(knees)} wanted for knees at a top {tape(row.height)} high: short "
            f"{length(knees - row.overhang)}."
        )
        yield Finding(
            "stools",
            Word.SHORT,
            text,
            row.room,
            (row.id,),
            by=knees - row.overhang,
            figure=key,
            clear=row.overhang,
            needs=knees,
        )


def behind(
    ground: Ground, row: Row, needs: Needs, trails: Sequence[uses.Trail]
) -> Iterator[Finding]:
    """The room behind the stools of a built-in thing, by what people do there."""
    own = ground.owners(ids=(row.id,))
    depth = needs.get(uses.FIGURE["walk past"]) or 0.0
    use, _ = uses.use_of(ground, row.edge, own, depth, trails)
    wanted = needs.get(uses.FIGURE[use])
    ahead = ground.ahead(row.edge, own)
    if ahead is None or wanted is None:
        return
    verdict = judge(ahead.clear, wanted, needs.spare, uses.PURPOSE[use])
    if verdict.word.rank < Word.TIGHT.rank:
        return
    text = (
        f"Behind the stools at the {row.side} side of the {row.name} {row.id} "
        f"{tape(ahead.clear)} is left to the {ground.name_of(ahead)[0]}: {verdict.text}."
    )
    yield Finding(
        "stools",
        verdict.word,
        text,
        row.room,
        (row.id,),
        by=verdict.by,
        figure=uses.FIGURE[use],
        at=(ahead.p, ahead.q),
        clear=ahead.clear,
        needs=wanted,
    )


def findings(
    ground: Ground, needs: Needs, trails: Sequence[uses.Trail] = ()
) -> tuple[Finding, ...]:
    """All that is wrong with stools at built-in things."""
    found: list[Finding] = []
    for row in fixed_rows(ground):
        found += checked(row, needs)
        found += behind(ground, row, needs, trails)
    return tuple(found)


def zone(row: Row, deep: float) -> Zone:
    """The floor that people on the stools of a row take."""
    outline = straight_out(row.edge, max(deep, TOUCH))
    return Zone(row.id, f"{row.name} {row.id}", row.side, outline, "sit", "stools", row.room)
