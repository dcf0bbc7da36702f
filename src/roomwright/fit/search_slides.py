"""Pieces that may slide to make room: every way to slide them, the least moved first."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from roomwright.fit import evaluate
from roomwright.fit.found import Word
from roomwright.fit.given import Needs, Piece, Space
from roomwright.fit.ground import Ground
from roomwright.fit.search_found import Slid
from roomwright.fit.search_wanted import Slide
from roomwright.fit.walks import trails, walks
from roomwright.shape import unit

MOST_WAYS = 60
"""More ways to slide pieces than this are not tried: the steps grow instead, our choice."""


def ways(
    space: Space, needs: Needs, slides: Sequence[Slide]
) -> Iterator[tuple[Space, tuple[Slid, ...]]]:
    """The space with its sliding pieces everywhere they may be, as it stands first.

    A way in which a piece that slides stands in something, or is shorter of a figure than it was,
    is left out. `MOST_WAYS` at most: with more the step is 2 in., then 4 and so on.
    """
    pieces = {p.id: p for p in space.pieces if p.placed}
    mine = [(slide, pieces[slide.piece]) for slide in slides if slide.piece in pieces]
    step = 1.0
    while math.prod(_count(s.along, step) * _count(s.out, step) for s, _ in mine) > MOST_WAYS:
        step *= 2
    every = [list(_moves(slide, piece, step)) for slide, piece in mine]
    combos = sorted(product(*every), key=lambda each: sum(math.hypot(*m) for m in each))
    was = _short(space, needs, [piece for _, piece in mine])
    for moves in combos:
        moved = {
            piece.id: replace(piece, x=(piece.x or 0) + dx, y=(piece.y or 0) + dy)
            for (_, piece), (dx, dy) in zip(mine, moves, strict=True)
        }
        there = replace(space, pieces=tuple(moved.get(p.id, p) for p in space.pieces))
        slid = tuple(
            Slid(piece.id, piece.name, dx, dy)
            for (_, piece), (dx, dy) in zip(mine, moves, strict=True)
            if math.hypot(dx, dy) > 1e-9
        )
        if not slid or _short(there, needs, list(moved.values())) <= was:
            yield there, slid


def _count(reach: float, step: float) -> int:
    return 2 * int(reach / step + 1e-9) + 1


def _moves(slide: Slide, piece: Piece, step: float) -> Iterator[tuple[float, float]]:
    cos, sin = unit(piece.turn)
    along, out = (int(reach / step + 1e-9) for reach in (slide.along, slide.out))
    for i, j in product(range(-along, along + 1), range(-out, out + 1)):
        u, v = i * step, j * step
        yield u * cos - v * sin, u * sin + v * cos


def _short(space: Space, needs: Needs, pieces: Sequence[Piece]) -> tuple[int, float]:
    """How badly some pieces and the walk paths fare: how many are blocked, inches short in all."""
    ground = Ground(space)
    found, _ = walks(ground, needs)
    common = evaluate.findings(ground, needs)
    blocked, short = 0, 0.0
    verdicts = [way.verdict for way in found]
    for piece in pieces:
        fit = evaluate.piece_fit(ground, piece, needs, trails(found), common)
        verdicts.append(fit.verdict)
    for verdict in verdicts:
        blocked += verdict.word is Word.BLOCKED
        short += verdict.by or 0.0 if verdict.word is Word.SHORT else 0.0
    return blocked, round(short, 3)
