"""The same sweeps with numpy alone, for where nothing can be compiled: same numbers, slower.

Written on its own, from the definitions; tests hold it equal to the compiled one to the last bit.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from roomwright.chances.draws import Draws
from roomwright.chances.graph import (
    AXIS,
    BEGUN,
    FINISH,
    FIRST,
    GIVEN,
    GIVEN_END,
    GIVEN_END_MOMENT,
    GIVEN_MOMENT,
    GIVEN_OWN,
    GIVEN_START,
    HOME,
    INTO,
    LATE_MOMENTS,
    LATE_STYLE,
    LIMIT,
    MILESTONE,
    MOMENTS,
    NEXT,
    ONTO,
    SOONEST,
    SOONEST_MOMENT,
    STYLE,
    Graph,
    Ints,
    Prepared,
)
from roomwright.chances.spreads import CELLS
from roomwright.chances.streams import numbers

COLUMNS = 1280
"""Samples at a time."""


class Rows:
    """The working rows of both passes, and the passes."""

    def __init__(self, g: Graph, w: Ints) -> None:
        n = len(g.nodes)
        self.g, self.w, self.mixed = g, w, bool(g.fit[2])
        self.shift, self.top = int(g.fit[0]), int(g.fit[1])
        self.home, self.late = w[FIRST : FIRST + 2 * n], w[FIRST + 2 * n : FIRST + 4 * n]
        self.lasts = w[FIRST + 4 * n : FIRST + 5 * n]
        self.moment, self.late_moment = (w[FIRST + k * n : FIRST + (k + 2) * n] for k in (5, 7))
        self.own = w[FIRST + 9 * n : FIRST + 10 * n]

    def fill(self, lasts: Ints) -> None:
        """Write what no sample changes."""
        self.lasts[:] = lasts[:, None]
        for p, node in enumerate(self.g.nodes):
            if node[STYLE] == GIVEN or node[BEGUN]:
                self.home[2 * p], self.home[2 * p + 1] = node[GIVEN_START], node[GIVEN_END]
                if self.mixed:
                    self.moment[2 * p] = node[GIVEN_MOMENT]
                    self.moment[2 * p + 1] = node[GIVEN_END_MOMENT]

    # Between moments and numbers of a calendar

    def worked(self, c: int, moment: Ints) -> Ints:
        """Return home or own numbers of moments."""
        half, part = moment >> self.shift, moment & ((1 << self.shift) - 1)
        table = self.g.tables[0, c]
        works: Ints = table[half + 1] - table[half]
        return np.asarray((table[half] << self.shift) + part * works)

    def opens(self, c: int, number: Ints) -> Ints:
        """Return the moments at which worked steps begin."""
        half, part = number >> self.shift, number & ((1 << self.shift) - 1)
        return np.asarray((self.g.tables[1, c][half] << self.shift) + part)

    def closes(self, c: int, number: Ints) -> Ints:
        """Return the moments at which so many worked steps are done."""
        return self.opens(c, number - 1) + 1

    def reach(self, c: int, moment: Ints) -> Ints:
        """Return the fewest worked steps that end at or after moments."""
        number = self.worked(c, moment)
        return number + (self.closes(c, number) < moment)

    def last_at(self, c: int, moment: Ints) -> Ints:
        """Return the last worked steps that begin at or before moments."""
        return self.worked(c, moment + 1) - 1

    # Forward

    def _ties(self, ties: Ints, node: Ints, column: int) -> Iterator[tuple[int, int]]:
        for row, lag in ties[node[column] : node[column + 1]]:
            yield int(row), int(lag)

    def place(self, p: int) -> None:
        """Place one activity."""
        node = self.g.nodes[p]
        if node[STYLE] == HOME:
            self._place_home(p, node)
        elif node[STYLE] != GIVEN:
            self._place_own(p, node)

    def _place_home(self, p: int, node: Ints) -> None:
        into, lasts = self.g.into, self.lasts[p]
        begin = np.full(self.w.shape[1], node[SOONEST], np.int32)
        for row, lag in self._ties(into, node, INTO):
            begin = np.maximum(begin, self.home[row] + lag)
        for row, lag in self._ties(into, node, INTO + 1):
            begin = np.maximum(begin, self.worked(0, self.moment[row] + lag))
        for row, lag in self._ties(into, node, INTO + 2):
            begin = np.maximum(begin, self.home[row] + lag - lasts)
        for row, lag in self._ties(into, node, INTO + 3):
            begin = np.maximum(begin, self.reach(0, self.moment[row] + lag) - lasts)
        end = np.minimum(begin + lasts, self.top)
        self.home[2 * p + 1] = end
        if not node[BEGUN]:
            self.home[2 * p] = begin
        if node[MOMENTS]:
            if not node[BEGUN]:
                self.moment[2 * p] = self.opens(0, begin)
            self.moment[2 * p + 1] = self.closes(0, end)

    def _raised(self, at: Ints | None, node: Ints, column: int) -> Ints | None:
        found = [] if at is None else [at]
        for row, lag in self._ties(self.g.into, node, column):
            found.append(self.closes(0, self.home[row] + lag))
        for row, lag in self._ties(self.g.into, node, column + 1):
            found.append(self.moment[row] + lag)
        return np.maximum.reduce(found) if found else None

    def _place_own(self, p: int, node: Ints) -> None:
        c, lasts = int(node[AXIS]), self.lasts[p]
        soonest = np.full(self.w.shape[1], node[SOONEST_MOMENT], np.int32)
        at, end_by = self._raised(soonest, node, INTO), self._raised(None, node, INTO + 2)
        assert at is not None  # noqa: S101 - for the type checker: it was given one
        if node[STYLE] == MILESTONE:
            start = end = at if end_by is None else np.maximum(at, end_by)
            self.own[p] = self.worked(c, end)
        else:
            number = self.worked(c, at)
            if end_by is not None:
                number = np.maximum(number, self.reach(c, end_by) - lasts)
            self.own[p] = number + lasts
            start, end = self.opens(c, number), self.closes(c, self.own[p])
        if not node[BEGUN]:
            self.moment[2 * p], self.home[2 * p] = start, self.worked(0, start)
        self.moment[2 * p + 1], self.home[2 * p + 1] = end, self.worked(0, end)

    def forward(self) -> None:
        """Place all and find the end."""
        for p in range(len(self.g.nodes)):
            self.place(p)
        ends = self.g.ends
        if not len(ends):
            self.w[FINISH] = self.g.fit[3]
            return
        self.w[FINISH] = self.home[2 * ends + 1].max(axis=0)
        if self.mixed:
            styles = self.g.nodes[ends, STYLE]
            home = self.home[2 * ends[styles == HOME] + 1]
            last = home.max(axis=0, initial=int(self.g.fit[3]))
            others = self.moment[2 * ends[styles != HOME] + 1].max(axis=0, initial=-(2**30))
            self.w[LIMIT] = np.maximum(self.closes(0, last), others)

    # Backward

    def backward(self, last: Ints, limit: Ints) -> None:
        """Bound all against an end."""
        for p in range(len(self.g.nodes) - 1, -1, -1):
            node = self.g.nodes[p]
            if node[LATE_STYLE] == HOME:
                self._bound_home(p, node, last)
            elif node[LATE_STYLE] != GIVEN:
                self._bound_own(p, node, last, limit)

    def _bound_home(self, p: int, node: Ints, last: Ints) -> None:
        lasts = self.home[2 * p + 1] - node[GIVEN_START] if node[BEGUN] else self.lasts[p]
        onto, end = self.g.onto, last
        for row, lag in self._ties(onto, node, ONTO):
            end = np.minimum(end, self.late[row] - lag)
        for row, lag in self._ties(onto, node, ONTO + 1):
            end = np.minimum(end, self.worked(0, self.late_moment[row] - lag))
        for row, lag in self._ties(onto, node, ONTO + 2):
            end = np.minimum(end, self.late[row] - lag + lasts)
        for row, lag in self._ties(onto, node, ONTO + 3):
            end = np.minimum(end, self.last_at(0, self.late_moment[row] - lag) + lasts)
        self.late[2 * p], self.late[2 * p + 1] = end - lasts, end
        if node[LATE_MOMENTS]:
            self.late_moment[2 * p] = self.opens(0, end - lasts)
            self.late_moment[2 * p + 1] = self.closes(0, end)

    def _lowered(self, at: Ints | None, node: Ints, column: int) -> Ints | None:
        found = [] if at is None else [at]
        for row, lag in self._ties(self.g.onto, node, column):
            found.append(self.opens(0, self.late[row] - lag))
        for row, lag in self._ties(self.g.onto, node, column + 1):
            found.append(self.late_moment[row] - lag)
        return np.minimum.reduce(found) if found else None

    def _bound_own(self, p: int, node: Ints, last: Ints, limit: Ints) -> None:
        c, milestone = int(node[AXIS]), node[LATE_STYLE] == MILESTONE
        end_by = self._lowered(self.opens(0, last) if milestone else limit, node, ONTO)
        start_by = self._lowered(None, node, ONTO + 2)
        assert end_by is not None  # noqa: S101 - for the type checker: it was given one
        if milestone:
            start = end = end_by if start_by is None else np.minimum(end_by, start_by)
        else:
            lasts = self.own[p] - node[GIVEN_OWN] if node[BEGUN] else self.lasts[p]
            number = self.worked(c, end_by)
            if start_by is not None:
                number = np.minimum(number, self.last_at(c, start_by) + lasts)
            start, end = self.opens(c, number - lasts), self.closes(c, number)
        for e, moment in enumerate((start, end)):
            self.late_moment[2 * p + e], self.late[2 * p + e] = moment, self.worked(0, moment)

    def spare(self, p: int) -> Ints:
        """Return the total float of one."""
        node = self.g.nodes[p]
        if node[LATE_STYLE] == HOME:
            return np.asarray(self.late[2 * p + 1] - self.home[2 * p + 1])
        late = self.worked(int(node[AXIS]), self.late_moment[2 * p + 1])
        return np.asarray(late - self.own[p])


def work(at: Prepared, columns: int) -> Ints:
    """Return empty rows for so many samples."""
    return np.zeros((at.height, columns), np.int32)


def block(at: Prepared, drawn: Draws, members: int) -> Rows:
    """Return working rows."""
    made = Rows(at.graph, work(at, COLUMNS))
    made.fill(at.lasts)
    return made


def once(graph: Graph, w: Ints, lasts: Ints, total_float: Ints) -> None:
    """Both passes with one duration each."""
    rows = Rows(graph, w)
    rows.fill(lasts)
    rows.forward()
    rows.backward(w[FINISH], w[LIMIT])
    for p, node in enumerate(graph.nodes):
        if node[STYLE] != GIVEN:
            total_float[p] = rows.spare(p)[0]


def sweep(
    first: int, last: int, g: Graph, d: Draws, groups: Any, watch: Ints, whole: Rows, sums: Any,
    finish: Ints, watched: Ints,
) -> None:  # fmt: skip
    """Draw samples `first` to `last` and add what they give to the sums."""
    rows = Rows(g, np.ascontiguousarray(whole.w[:, : last - first]))
    draw(rows, d, first, last)
    rows.forward()
    end = rows.w[FINISH].copy()
    finish[first:last] = end
    rows.backward(end, rows.w[LIMIT])
    watched[:, first:last] = rows.w[FIRST + watch]
    for p, node in enumerate(g.nodes):
        if node[STYLE] != GIVEN:
            sums.critical[p] += int((rows.spare(p) <= 0).sum())
    if not len(d.place):
        return
    more = (rows.lasts[d.place] - d.planned[:, None]).astype(np.int64)
    sums.lasts[:] += more.sum(axis=1)
    sums.squares[:] += (more**2).sum(axis=1)
    sums.products[:] += (more * (end - np.int32(d.plain_finish))).sum(axis=1)
    if len(groups.begins) > 1:
        _caused(rows, d, groups, sums, end)


def _caused(rows: Rows, d: Draws, groups: Any, sums: Any, end: Ints) -> None:
    """Add by how much the end comes sooner where a group is as planned or sooner."""
    if rows.mixed:
        rows.backward(end - 1, rows.opens(0, end - 1))
    drives = np.array([rows.spare(p) < (0 if rows.mixed else 1) for p in d.place])
    for q, (begin, stop) in enumerate(zip(groups.begins[:-1], groups.begins[1:], strict=True)):
        who = groups.draw[begin:stop]
        late = rows.lasts[d.place[who]] > d.planned[who, None]
        asked = (late & (drives[who] | (groups.always[begin:stop, None] == 1))).any(axis=0)
        if asked.any():
            held = Rows(rows.g, rows.w[:, asked])
            days = held.lasts[d.place[who]]
            held.lasts[d.place[who]] = np.minimum(days, d.planned[who, None])
            gained = end[asked].astype(np.int64) - _again(held, set(d.place[who].tolist()))
            sums.caused[q] += gained.sum()
            sums.caused_squares[q] += (gained**2).sum()


def _again(rows: Rows, dirty: set[int]) -> Ints:
    """Place anew what waits for some, and return the end."""
    for p in range(min(dirty), len(rows.g.nodes)):
        if p in dirty:
            rows.place(p)
            begin, stop = rows.g.nodes[p, NEXT : NEXT + 2]
            dirty.update(rows.g.nexts[begin:stop].tolist())
    return np.asarray(rows.home[2 * rows.g.ends + 1].max(axis=0))


def draw(rows: Rows, d: Draws, first: int, last: int) -> None:
    """Draw the days of all uncertain activities."""
    one = np.float32
    factors = [
        _look_up(d.tables[t], _bits(int(k), first, last))
        for k, t in zip(d.factor_key, d.factor_table, strict=True)
    ]
    for r, p in enumerate(d.place):
        bits = _bits(int(d.key[r]), first, last)
        least = int(d.least_chance[r])
        if least:
            wide = np.uint64(2**32 - least)
            bits = (np.uint64(least) + ((bits * wide) >> np.uint64(32))).astype(np.uint64)
        if d.table[r] < 0:
            unit = ((bits >> np.uint64(8)).astype(one) + one(0.5)) * one(2.0**-24)
            up = unit < d.bend[r]
            root = np.sqrt(np.where(up, unit * d.rise[r], (one(1) - unit) * d.fall[r]))
            days = np.where(up, d.offset[r] + root, d.top[r] - root)
        else:
            days = d.offset[r] + d.scale[r] * _look_up(d.tables[d.table[r]], bits)
        for f in d.factor[d.factor_from[r] : d.factor_from[r + 1]]:
            days = days * factors[f]
        steps = (np.minimum(days, d.most) + one(0.5)).astype(np.int32) - d.minus[r]
        rows.lasts[p] = np.minimum(np.maximum(steps, d.least[r]), d.cap[r])


def _bits(key: int, first: int, last: int) -> npt.NDArray[np.uint64]:
    return numbers(key, first, last) >> np.uint64(32)


def _look_up(
    table: npt.NDArray[np.float32], bits: npt.NDArray[np.uint64]
) -> npt.NDArray[np.float32]:
    """Return the inverse of a shape at 32-bit chances."""
    chance, one = bits.astype(np.int64), np.float32
    high = chance - (2**32 - 2**26)
    tail = (chance < 2**26) | (high >= 0)
    cell = np.where(tail, np.where(high >= 0, high, chance) >> 16, chance >> 22)
    cell += (CELLS + 1) * np.where(high >= 0, 2, np.where(tail, 0, 1))
    fine = (chance & 0xFFFF).astype(one) * one(2.0**-16)
    wide = (chance & 0x3FFFFF).astype(one) * one(2.0**-22)
    part = np.where(tail, fine, wide)
    low = table[cell]
    return np.asarray(low + part * (table[cell + 1] - low))
