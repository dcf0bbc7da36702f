"""How each uncertain activity is drawn, as flat arrays of steps for the kernels."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from roomwright.chances.graph import Ints, Prepared
from roomwright.chances.spreads import (
    CELLS,
    ChancesError,
    Factor,
    Shape,
    Spread,
    Uncertain,
    knots,
    table,
)
from roomwright.chances.streams import key

Singles = npt.NDArray[np.float32]
Keys = npt.NDArray[np.uint64]

NO_CAP = 2**30
MOST = 2000
"""More working days than this are drawn for nothing."""


class Draws(NamedTuple):
    """A row for each uncertain activity; steps.

    A triangle is ``offset + sqrt(u rise)`` up to the chance `bend` and ``top - sqrt((1 - u)
    fall)`` beyond. Other shapes are ``offset + scale`` times a table. Of the rounded steps `minus`
    are behind it; what is left is at least `least` and at most `cap`.
    """

    place: Ints
    key: Keys
    least_chance: Keys
    table: Ints
    offset: Singles
    scale: Singles
    bend: Singles
    rise: Singles
    fall: Singles
    top: Singles
    minus: Ints
    least: Ints
    cap: Ints
    planned: Ints
    most: np.float32
    plain_finish: int
    factor_from: Ints
    factor: Ints
    factor_key: Keys
    factor_table: Ints
    tables: Singles


def check(prepared_ids: Collection[str], one: Iterable[Uncertain], more: Iterable[Factor]) -> None:
    """Refuse what names no activity or factor, and what is given twice."""
    problems, seen = [], set[str]()
    names = [f.name for f in more]
    problems += [f"two factors are called {n!r}" for n in sorted(set(names)) if names.count(n) > 1]
    for u in one:
        if u.activity not in prepared_ids:
            problems.append(f"days are given for {u.activity!r}, which is no activity")
        if u.activity in seen:
            problems.append(f"two spreads are given for {u.activity!r}: take one of them out")
        seen.add(u.activity)
        problems += [
            f"{u.activity} shares {f!r}, which is no factor" for f in u.factors if f not in names
        ]
    if problems:
        raise ChancesError(*problems)


class _Row:
    """One uncertain activity, in steps."""

    def __init__(self, at: Prepared, one: Uncertain, perfect: Collection[str]) -> None:
        self.one, self.place = one, at.place[one.activity]
        planned = int(at.lasts[self.place])
        self.planned = max(planned, 1)
        self.cap = self.planned if one.activity in perfect else NO_CAP
        self.minus, self.least, self.least_chance = 0, 1, 0
        unit = float(at.per_day)
        if at.states[self.place] == "started":
            told = at.progress[one.activity].days_left
            if told is None:
                self.minus = at.worked_so_far(self.place)
                self.least = at.steps
                kept = one.spread.chance_within(self.minus / at.per_day)
                self.least_chance = min(int(kept * 2**32), 2**32 - 1) if self.minus else 0
            else:
                unit *= float(told) / float(at.network[one.activity].days)
        self._shape(one.spread, unit)

    def _shape(self, spread: Spread, unit: float) -> None:
        low, likely, high = (d * unit for d in (spread.low, spread.likely, spread.high))
        self.shape: Shape | None = None
        self.offset, self.top, self.scale = likely, likely, 0.0
        self.bend, self.rise, self.fall = 2.0, 0.0, 0.0
        if spread.low == spread.high and not spread.told:
            return
        if spread.kind == "triangular":
            self.offset, self.top, wide = low, high, high - low
            self.bend = (likely - low) / wide
            self.rise, self.fall = wide * (likely - low), wide * (high - likely)
        else:
            self.shape = spread.shape
            self.offset, self.scale = (d * unit for d in spread.place)


def draws(
    at: Prepared,
    uncertain: Iterable[Uncertain],
    factors: Iterable[Factor],
    seed: int,
    perfect: Collection[str],
    plain_finish: int,
) -> Draws:
    """Return the rows of all uncertain activities that are not finished, in the graph's order."""
    rows = [
        _Row(at, u, perfect)
        for u in uncertain
        if at.states[at.place[u.activity]] != "done" and not _known(at, u.activity)
    ]
    rows.sort(key=lambda r: r.place)
    common = list(factors)
    number = {f.name: i for i, f in enumerate(common)}
    shapes: dict[Shape, int] = {}
    of_factor = [shapes.setdefault(("factor", f.sigma), len(shapes)) for f in common]
    tables = [-1 if r.shape is None else shapes.setdefault(r.shape, len(shapes)) for r in rows]
    shared = [[number[n] for n in r.one.factors] for r in rows]
    single, whole = np.float32, np.int32
    return Draws(
        place=np.array([r.place for r in rows], whole),
        key=np.array([key(seed, r.one.luck or r.one.activity) for r in rows], np.uint64),
        least_chance=np.array([r.least_chance for r in rows], np.uint64),
        table=np.array(tables, whole),
        offset=np.array([r.offset for r in rows], single),
        scale=np.array([r.scale for r in rows], single),
        bend=np.array([r.bend for r in rows], single),
        rise=np.array([r.rise for r in rows], single),
        fall=np.array([r.fall for r in rows], single),
        top=np.array([r.top for r in rows], single),
        minus=np.array([r.minus for r in rows], whole),
        least=np.array([r.least for r in rows], whole),
        cap=np.array([r.cap for r in rows], whole),
        planned=np.array([r.planned for r in rows], whole),
        most=np.float32(MOST * at.per_day),
        plain_finish=plain_finish,
        factor_from=np.cumsum([0, *map(len, shared)]).astype(whole),
        factor=np.array([f for group in shared for f in group], whole),
        factor_key=np.array([key(seed, f"factor {f.name}") for f in common], np.uint64),
        factor_table=np.array(of_factor, whole),
        tables=np.array([_knotted(s) for s in shapes], single).reshape(-1, 3 * (CELLS + 1)),
    )


def _known(at: Prepared, id: str) -> bool:
    """Return whether somebody has said that nothing is left to do."""
    told = at.progress.get(id)
    return told is not None and told.days_left == 0


def _knotted(shape: Shape) -> npt.NDArray[np.float64]:
    """Return a table as the kernels read it: low tail, body, high tail, each evenly spaced."""
    even = np.arange(CELLS + 1) / CELLS
    tail = even / 64
    return np.asarray(
        np.interp(np.concatenate([tail, even, 1 - tail[::-1]]), knots(), table(shape))
    )
