"""Sweeps over the samples, compiled: draw, place, bound, and keep the sums."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from roomwright.chances import rows
from roomwright.chances.compiling import compiled
from roomwright.chances.drawing import draw
from roomwright.chances.draws import Draws
from roomwright.chances.graph import (
    FINISH,
    FIRST,
    GIVEN,
    HOME,
    LATE_STYLE,
    LIMIT,
    NEXT,
    STYLE,
    Graph,
    Prepared,
)
from roomwright.chances.kernel import (
    NEVER,
    NO,
    backward,
    fill,
    forward,
    place_home,
    place_own,
    spare,
)

BLOCK = 256
"""Most samples of a block; fewer calls are made with many."""

NEAR = 2**24
"""Bytes that the rows of a block may take, to stay close to the processor."""

APART = 16
"""Columns left empty: rows a power of two apart would get into each other's way in the cache."""

ROW, LAST, BEFORE = 4, 5, 6
"""Scratch rows that the passes leave alone."""


class Block(NamedTuple):
    """The working arrays of one thread; a column is a sample."""

    w: Any
    factors: Any
    bits: Any
    drives: Any
    dirty: Any
    kept: Any
    was: Any
    places: Any


@compiled()
def sweep(
    first: int, last: int, graph: Graph, d: Draws, groups: Any, watch: Any, s: Block, sums: Any,
    finish: Any, watched: Any,
) -> None:  # fmt: skip
    """Draw samples `first` to `last` and add what they give to the sums."""
    g, tables, fit = graph.nodes, graph.tables, graph.fit
    columns = s.bits.shape[0]
    for low in range(first, last, columns):
        b = min(columns, last - low)
        draw(low, b, FIRST + 4 * g.shape[0], d, s.w, s.factors, s.bits)
        forward(0, b, s.w, g, graph.into, graph.ends, tables, fit)
        finish[low : low + b] = s.w[FINISH, :b]
        _indices(b, graph, d, s.w, sums)
        for i in range(watch.shape[0]):  # early rows, and late ones behind them
            watched[i, low : low + b] = s.w[FIRST + watch[i], :b]
        if groups.begins.shape[0] > 1:
            _drives(b, graph, d, s)
            for q in range(groups.begins.shape[0] - 1):
                _caused(q, b, graph, d, groups, s, sums)


@compiled()
def _indices(b: int, graph: Graph, d: Draws, w: Any, sums: Any) -> None:
    """Count who is critical, and sum days and their products with the finish."""
    g, tables, fit = graph.nodes, graph.tables, graph.fit
    backward(0, b, w, g, graph.onto, tables, fit, FINISH, LIMIT)
    for p in range(g.shape[0]):
        if g[p, LATE_STYLE] == HOME:
            rows.minus(w, ROW, FIRST + 2 * g.shape[0] + 2 * p + 1, FIRST + 2 * p + 1, 0, b)
            sums.critical[p] += _none_left(w, ROW, b)
        elif g[p, LATE_STYLE] != GIVEN:
            spare(p, 0, b, w, g, tables, fit, ROW)
            sums.critical[p] += _none_left(w, ROW, b)
    plain = np.int32(d.plain_finish)
    for k in range(b):
        w[LAST, k] = np.int32(w[FINISH, k] - plain)
    for r in range(d.place.shape[0]):
        _add(r, w, FIRST + 4 * g.shape[0] + d.place[r], d.planned[r], b, sums)


@compiled()
def _none_left(w: Any, i: int, b: int) -> Any:
    count = np.int32(0)
    for k in range(np.uint64(b)):
        count = np.int32(count + np.int32(w[i, k] <= 0))
    return count


@compiled()
def _add(r: int, w: Any, i: int, planned: Any, b: int, sums: Any) -> None:
    total, squares, products = np.int64(0), np.int64(0), np.int64(0)
    for k in range(np.uint64(b)):
        more = np.int64(np.int32(w[i, k] - planned))
        total += more
        squares += more * more
        products += more * np.int64(w[LAST, k])
    sums.lasts[r] += total
    sums.squares[r] += squares
    sums.products[r] += products


@compiled()
def _drives(b: int, graph: Graph, d: Draws, s: Block) -> None:
    """Mark in which samples an earlier end of each uncertain activity could end all earlier."""
    g, tables, fit, w = graph.nodes, graph.tables, graph.fit, s.w
    allowed = np.int32(0)
    if fit[2] == 1:  # who cannot stay, if all is to end one step sooner?
        rows.put(w, LAST, FINISH, np.int32(-1), 0, b)
        rows.opens(w, BEFORE, tables, 0, fit[0], LAST, 0, b)
        backward(0, b, w, g, graph.onto, tables, fit, LAST, BEFORE)
        allowed = np.int32(-1)
    for r in range(d.place.shape[0]):
        spare(d.place[r], 0, b, w, g, tables, fit, ROW)
        for k in range(b):
            s.drives[r, k] = w[ROW, k] <= allowed


@compiled()
def _caused(q: int, b: int, graph: Graph, d: Draws, groups: Any, s: Block, sums: Any) -> None:
    """Add by how much the end comes sooner where a group is as planned or sooner."""
    lasts = FIRST + 4 * graph.nodes.shape[0]
    begin, end, asked = groups.begins[q], groups.begins[q + 1], False
    for m in range(begin, end):
        r = groups.draw[m]
        always, late = groups.always[m] == 1, lasts + d.place[r]
        for k in range(np.uint64(b)):
            asked |= s.w[late, k] > d.planned[r] and (always or s.drives[r, k])
    if asked:
        _hold(
            q, begin, end, b, groups.draw, d.place, d.planned, s.w, graph.nodes, graph.into,
            graph.nexts, graph.ends, graph.tables, graph.fit, s.dirty, s.kept, s.was, s.places,
            sums.caused, sums.caused_squares,
        )  # fmt: skip


@compiled()
def _hold(
    q: int, begin: int, end: int, b: int, draw: Any, places: Any, planned: Any, w: Any, g: Any,
    into: Any, nexts: Any, ends: Any, tables: Any, fit: Any, dirty: Any, kept: Any, was: Any,
    moved: Any, caused: Any, squares: Any,
) -> None:  # fmt: skip
    """Hold some to plan in all samples of a block, add what that gains, and put all back.

    Only what waits for them is placed anew, and of that only what moves in some sample.
    """
    count = g.shape[0]
    lasts, p, log = FIRST + 4 * count, count, 0
    for m in range(begin, end):
        held, plan = np.int64(places[draw[m]]), planned[draw[m]]
        for k in range(np.uint64(b)):
            days = w[lasts + held, k]
            was[m - begin, k] = days
            w[lasts + held, k] = days if days < plan else plan
        dirty[held] = 1
        p = min(p, held)
    while p < count:
        if dirty[p] == 1:
            dirty[p] = 0
            _keep(kept, 5 * log, w, p, count, fit[2], b)
            moved[log] = p
            log += 1
            if g[p, STYLE] == HOME:
                place_home(p, 0, b, w, g, into, tables, fit)
            elif g[p, STYLE] != GIVEN:
                place_own(p, 0, b, w, g, into, tables, fit)
            if _differs(kept, 5 * log - 5, w, p, count, fit[2], b):
                for t in range(g[p, NEXT], g[p, NEXT + 1]):
                    dirty[nexts[t]] = 1
        p += 1
    rows.fill(w, LAST, NEVER, 0, b)
    for t in range(ends.shape[0]):
        rows.most(w, LAST, FIRST + 2 * ends[t] + 1, NO, 0, b)
    total, square = np.int64(0), np.int64(0)
    for k in range(np.uint64(b)):
        gained = np.int64(np.int32(w[FINISH, k] - w[LAST, k]))
        total += gained
        square += gained * gained
    caused[q] += total
    squares[q] += square
    for t in range(log):
        _put_back(kept, 5 * t, w, int(moved[t]), count, fit[2], b)
    for m in range(begin, end):
        held = np.int64(places[draw[m]])
        for k in range(np.uint64(b)):
            w[lasts + held, k] = was[m - begin, k]


@compiled("rows i8 rows i8 i8 i4 i8")
def _keep(kept: Any, i: int, w: Any, p: int, count: int, mixed: Any, b: int) -> None:
    """Keep the rows that placing one changes."""
    for k in range(np.uint64(b)):
        kept[i, k] = w[FIRST + 2 * p, k]
        kept[i + 1, k] = w[FIRST + 2 * p + 1, k]
    if mixed == 1:
        for k in range(np.uint64(b)):
            kept[i + 2, k] = w[FIRST + 5 * count + 2 * p, k]
            kept[i + 3, k] = w[FIRST + 5 * count + 2 * p + 1, k]
            kept[i + 4, k] = w[FIRST + 9 * count + p, k]


@compiled()
def _differs(kept: Any, i: int, w: Any, p: int, count: int, mixed: Any, b: int) -> Any:
    """Return whether one has moved in any sample."""
    differs = np.int32(0)
    for k in range(np.uint64(b)):
        differs |= np.int32(kept[i, k] ^ w[FIRST + 2 * p, k])
        differs |= np.int32(kept[i + 1, k] ^ w[FIRST + 2 * p + 1, k])
    if mixed == 1:
        for k in range(np.uint64(b)):
            differs |= np.int32(kept[i + 2, k] ^ w[FIRST + 5 * count + 2 * p, k])
            differs |= np.int32(kept[i + 3, k] ^ w[FIRST + 5 * count + 2 * p + 1, k])
    return differs != 0


@compiled("rows i8 rows i8 i8 i4 i8")
def _put_back(kept: Any, i: int, w: Any, p: int, count: int, mixed: Any, b: int) -> None:
    for k in range(np.uint64(b)):
        w[FIRST + 2 * p, k] = kept[i, k]
        w[FIRST + 2 * p + 1, k] = kept[i + 1, k]
    if mixed == 1:
        for k in range(np.uint64(b)):
            w[FIRST + 5 * count + 2 * p, k] = kept[i + 2, k]
            w[FIRST + 5 * count + 2 * p + 1, k] = kept[i + 3, k]
            w[FIRST + 9 * count + p, k] = kept[i + 4, k]


@compiled()
def once(graph: Graph, w: Any, lasts: Any, total_float: Any) -> None:
    """Both passes with one duration each."""
    g, tables, fit = graph.nodes, graph.tables, graph.fit
    fill(w, g, fit, lasts)
    forward(0, 1, w, g, graph.into, graph.ends, tables, fit)
    backward(0, 1, w, g, graph.onto, tables, fit, FINISH, LIMIT)
    late = FIRST + 2 * g.shape[0]
    for p in range(g.shape[0]):
        if g[p, LATE_STYLE] == HOME:
            total_float[p] = w[late + 2 * p + 1, 0] - w[FIRST + 2 * p + 1, 0]
        elif g[p, LATE_STYLE] != GIVEN:
            spare(p, 0, 1, w, g, tables, fit, ROW)
            total_float[p] = w[ROW, 0]


def block(at: Prepared, drawn: Draws, members: int) -> Block:
    """Return the working arrays of one thread."""
    columns = BLOCK
    while columns > 64 and 4 * columns * at.height > NEAR:
        columns //= 2
    made = Block(
        w=work(at, columns + APART),
        factors=np.ones((len(drawn.factor_key) + 1, columns), np.float32),
        bits=np.zeros(columns, np.uint32),
        drives=np.zeros((len(drawn.place), columns), np.bool_),
        dirty=np.zeros(len(at), np.int8),
        kept=np.zeros((5 * len(at), columns), np.int32),
        was=np.zeros((members, columns), np.int32),
        places=np.zeros(len(at), np.int32),
    )
    fill(made.w, at.graph.nodes, at.graph.fit, at.lasts)
    return made


def work(at: Prepared, columns: int) -> Any:
    """Return empty rows for so many samples."""
    return np.zeros((at.height, columns), np.int32)
