"""Sweeps over the samples, compiled: draw, place, bound, and keep the sums."""

from __future__ import annotations

from typing import Any

import numpy as np

from roomwright.chances.compiling import compiled
from roomwright.chances.drawing import draw
from roomwright.chances.draws import Draws
from roomwright.chances.graph import Graph, Prepared
from roomwright.chances.kernel import (
    BLOCK,
    Block,
    _place,
    backward,
    fill,
    forward,
    spare,
)


@compiled
def sweep(
    first: int, last: int, g: Graph, d: Draws, groups: Any, watch: Any, s: Block, sums: Any,
    finish: Any, watched: Any,
) -> None:  # fmt: skip
    """Draw samples `first` to `last` and add what they give to the sums."""
    for low in range(first, last, BLOCK):
        b = min(BLOCK, last - low)
        draw(low, b, d, s)
        forward(0, b, g, s)
        finish[low : low + b] = s.finish[:b]
        for w in range(watch.shape[0]):
            watched[w, low : low + b] = s.home[watch[w], :b]
        _indices(b, g, d, s, sums)
        if groups.begins.shape[0] > 1:
            _drives(b, g, d, s)
            for q in range(groups.begins.shape[0] - 1):
                _caused(q, b, g, d, groups, s, sums)


@compiled
def _indices(b: int, g: Graph, d: Draws, s: Block, sums: Any) -> None:
    """Count who is critical, and sum days and their products with the finish."""
    backward(0, b, g, s, s.finish, s.limit)
    row = s.rows[4]
    for p in range(g.style.shape[0]):
        if g.style[p] == 3:
            continue
        spare(p, 0, b, g, s, row)
        count = np.int32(0)
        for k in range(b):
            count += np.int32(row[k] <= 0)
        sums.critical[p] += count
    for r in range(d.place.shape[0]):
        lasts, planned = s.lasts[d.place[r]], d.planned[r]
        total, squares, products = np.int64(0), np.int64(0), np.int64(0)
        for k in range(b):
            more = np.int64(np.int32(lasts[k] - planned))
            total += more
            squares += more * more
            products += more * np.int64(np.int32(s.finish[k] - d.plain_finish))
        sums.lasts[r] += total
        sums.squares[r] += squares
        sums.products[r] += products


@compiled
def _drives(b: int, g: Graph, d: Draws, s: Block) -> None:
    """Mark in which samples an earlier end of each uncertain activity could end all earlier."""
    allowed = np.int32(0)
    if g.mixed:
        last, limit = s.rows[5], s.rows[6]
        for k in range(b):
            last[k] = np.int32(s.finish[k] - 1)
            number = last[k]
            h = min(number >> g.shift, g.opening.shape[1] - 1)
            part = np.int32(number - np.int32((number >> g.shift) << g.shift))
            limit[k] = np.int32(np.int32(g.opening[0, h] << g.shift) + part)
        backward(0, b, g, s, last, limit)
        allowed = np.int32(-1)
    row = s.rows[4]
    for r in range(d.place.shape[0]):
        spare(d.place[r], 0, b, g, s, row)
        for k in range(b):
            s.drives[r, k] = row[k] <= allowed


@compiled
def _caused(q: int, b: int, g: Graph, d: Draws, groups: Any, s: Block, sums: Any) -> None:
    """Add by how much the end comes sooner where a group is as planned or sooner."""
    for k in range(b):
        asked, reached = False, g.style.shape[0]
        for m in range(groups.begins[q], groups.begins[q + 1]):
            r = groups.draw[m]
            p = d.place[r]
            if s.lasts[p, k] > d.planned[r]:
                reached = min(reached, p)
                if s.drives[r, k] or groups.always[m] == 1:
                    asked = True
        if asked:
            gained = np.int64(_gained(q, k, reached, g, d, groups, s))
            sums.caused[q] += gained
            sums.caused_squares[q] += gained * gained


@compiled
def _gained(q: int, k: int, p: int, g: Graph, d: Draws, groups: Any, s: Block) -> Any:
    """Return how much sooner one sample ends where a group is held to plan; leaves it as it was."""
    count = g.style.shape[0]
    dirty, kept, log = s.dirty, s.kept, 0
    for m in range(groups.begins[q], groups.begins[q + 1]):
        r = groups.draw[m]
        place = d.place[r]
        s.was[m] = s.lasts[place, k]
        if s.lasts[place, k] > d.planned[r]:
            s.lasts[place, k] = d.planned[r]
            dirty[place] = 1
    while p < count:
        if dirty[p] == 1:
            dirty[p] = 0
            start, end = s.home[2 * p, k], s.home[2 * p + 1, k]
            kept[log, 0], kept[log, 1], kept[log, 2] = p, start, end
            changed = False
            if g.mixed:
                begun, done = s.moment[2 * p, k], s.moment[2 * p + 1, k]
                kept[log, 3], kept[log, 4], kept[log, 5] = begun, done, s.own[p, k]
            _place(p, k, k + 1, g, s)
            changed = s.home[2 * p, k] != start or s.home[2 * p + 1, k] != end
            if g.mixed:
                changed |= s.moment[2 * p, k] != begun or s.moment[2 * p + 1, k] != done
            log += 1
            if changed:
                for t in range(g.next_from[p], g.next_from[p + 1]):
                    dirty[g.next_to[t]] = 1
        p += 1
    end = s.home[2 * g.last[0] + 1, k]
    for t in range(g.last.shape[0]):
        end = max(end, s.home[2 * g.last[t] + 1, k])
    for t in range(log):
        p = kept[t, 0]
        s.home[2 * p, k], s.home[2 * p + 1, k] = kept[t, 1], kept[t, 2]
        if g.mixed:
            s.moment[2 * p, k], s.moment[2 * p + 1, k] = kept[t, 3], kept[t, 4]
            s.own[p, k] = kept[t, 5]
    for m in range(groups.begins[q], groups.begins[q + 1]):
        s.lasts[d.place[groups.draw[m]], k] = s.was[m]
    return s.finish[k] - end


@compiled
def once(g: Graph, s: Block, lasts: Any, total_float: Any) -> None:
    """Both passes with one duration each."""
    fill(g, s, lasts)
    forward(0, 1, g, s)
    backward(0, 1, g, s, s.finish, s.limit)
    row = s.rows[4]
    for p in range(g.style.shape[0]):
        if g.style[p] != 3:
            spare(p, 0, 1, g, s, row)
            total_float[p] = row[0]


def block(at: Prepared, drawn: Draws | None, members: int, columns: int = BLOCK) -> Block:
    """Return the working arrays of one thread."""
    count, mixed = len(at), at.mixed
    wide = columns if mixed else 0  # moments are kept only where there are several calendars
    draws = 0 if drawn is None else len(drawn.place)
    factors = 0 if drawn is None else len(drawn.factor_key)
    made = Block(
        lasts=np.zeros((count, columns), np.int32),
        home=np.zeros((2 * count, columns), np.int32),
        moment=np.zeros((2 * count, wide), np.int32),
        own=np.zeros((count, wide), np.int32),
        late_home=np.zeros((2 * count, columns), np.int32),
        late_moment=np.zeros((2 * count, wide), np.int32),
        finish=np.zeros(columns, np.int32),
        limit=np.zeros(columns, np.int32),
        factors=np.ones((factors + 1, columns), np.float32),
        rows=np.zeros((8, columns), np.int32),
        bits=np.zeros(columns, np.uint32),
        drives=np.zeros((draws, columns), np.bool_),
        dirty=np.zeros(count, np.int8),
        kept=np.zeros((count, 6), np.int32),
        was=np.zeros(members, np.int32),
    )
    fill(at.graph, made, at.lasts)
    return made
