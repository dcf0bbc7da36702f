"""Clear distances from every place of a floor at once, on a grid of whole inches.

A table of whole inches that stands on the lines of the grid has sides made of whole cells. For each
column of cells, and each line across it, the distance straight ahead to the first edge anywhere
in the column is kept; the clear distance of a side is the least of its columns. So clear
distances on the grid are exact for any polygons, whether or not their corners lie on the grid.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from roomwright.shape import TOUCH

Grid = NDArray[np.float32]
Floats = NDArray[np.float64]

FAR = np.float32(1e6)
"""Nothing ahead [in]."""

_EVEN = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """Edges from (ax, ay) to (bx, by), each a row [in]."""

    ends: Floats

    @staticmethod
    def of(rings: Sequence[Floats]) -> "Lines":
        """The sides of closed rings, each given by its corners (n, 2)."""
        sides = [np.hstack([ring, np.roll(ring, -1, axis=0)]) for ring in rings]
        return Lines(np.concatenate(sides) if sides else np.empty((0, 4)))

    @property
    def across(self) -> "Lines":
        """The same with x and y exchanged."""
        return Lines(self.ends[:, [1, 0, 3, 2]])


@dataclass(frozen=True, slots=True, eq=False)
class _Pieces:
    """The parts of lines in columns: column, lowest and highest y, and the way they run."""

    column: NDArray[np.int64]
    low: Floats
    high: Floats
    line: NDArray[np.int64]


def _in_columns(lines: Lines, columns: int) -> _Pieces:
    """Cut lines to columns 0..n of width 1; what reaches less than 1/64 in. into one is left out.

    A line square to the columns' width that lies inside one counts there.
    """
    ax, ay, bx, by = lines.ends.T
    west, east = np.minimum(ax, bx), np.maximum(ax, bx)
    upright = east - west <= _EVEN
    first = np.floor(np.where(upright, west, west + TOUCH)).clip(0, columns).astype(np.int64)
    last = np.ceil(np.where(upright, east, east - TOUCH)).clip(0, columns).astype(np.int64)
    on_line = upright & (np.abs(west - np.round(west)) <= TOUCH)
    count = np.where(on_line, 0, np.maximum(0, last - first))
    line = np.repeat(np.arange(len(ax)), count)
    column = np.arange(len(line)) - np.repeat(np.cumsum(count) - count, count) + first[line]
    run = np.where(upright, 1.0, bx - ax)[line]
    slope = (by - ay)[line] / run
    start = np.maximum(column, west[line]) - ax[line]
    end = np.minimum(column + 1, east[line]) - ax[line]
    y0, y1 = ay[line] + start * slope, ay[line] + end * slope
    straight = upright[line]
    y0, y1 = np.where(straight, ay[line], y0), np.where(straight, by[line], y1)
    return _Pieces(column, np.minimum(y0, y1), np.maximum(y0, y1), line)


def ahead(lines: Lines, columns: int, rows: int) -> tuple[Grid, Grid]:
    """Distance up and down from each line across a column to the first of some edges.

    Both are arrays (rows + 1, columns) [in]; `FAR` where there is nothing.
    """
    cut = _in_columns(lines, columns)
    up = np.full((rows + 1, columns), FAR, dtype=np.float32)
    row = np.floor(cut.low + _EVEN).astype(np.int64)
    keep = row >= 0
    np.minimum.at(up, (row[keep].clip(0, rows), cut.column[keep]), cut.low[keep])
    _carry(up[::-1])
    down = np.full((rows + 1, columns), FAR, dtype=np.float32)
    row = np.ceil(cut.high - _EVEN).astype(np.int64)
    keep = row <= rows
    np.minimum.at(down, (row[keep].clip(0, rows), cut.column[keep]), -cut.high[keep])
    _carry(down)
    level = np.arange(rows + 1, dtype=np.float32)[:, None]
    return np.maximum(up - level, 0), np.maximum(level + down, 0)


def _carry(grid: Grid) -> None:
    """Carry the least so far down the rows, in doubling steps: faster than one by one."""
    step = 1
    while step < len(grid):
        np.minimum(grid[step:], grid[:-step].copy(), out=grid[step:])
        step *= 2


def covered(rings: Sequence[Floats], columns: int, rows: int) -> NDArray[np.int64]:
    """How many rings (all anticlockwise) lie over each column just above each line.

    Counted at the middle of a column; where an edge cuts the line within a column it is -1.
    """
    lines = Lines.of(rings)
    ax, ay, bx, by = lines.ends.T
    cut = _in_columns(lines, columns)
    size = (rows + 2) * columns
    first = (np.floor(cut.low + _EVEN).astype(np.int64) + 1).clip(0, rows + 1)
    last = np.ceil(cut.high - _EVEN).astype(np.int64).clip(0, rows + 1)
    long = last > first
    opened = np.bincount(first[long] * columns + cut.column[long], minlength=size)
    closed = np.bincount(last[long] * columns + cut.column[long], minlength=size)
    cuts = np.cumsum((opened - closed).reshape(rows + 2, columns), axis=0)[: rows + 1] > 0
    middle = cut.column + 0.5
    x0, x1 = ax[cut.line], bx[cut.line]
    spans = (np.minimum(x0, x1) <= middle) & (middle < np.maximum(x0, x1))
    run = np.where(spans, x1 - x0, 1.0)
    y = ay[cut.line] + (middle - x0) * (by - ay)[cut.line] / run
    row = np.ceil(y - _EVEN).astype(np.int64).clip(0, rows + 1)
    weight = np.sign(x1 - x0)[spans]
    enters = np.bincount((row * columns + cut.column)[spans], weights=weight, minlength=size)
    over = np.cumsum(enters.reshape(rows + 2, columns), axis=0)[: rows + 1]
    return np.where(cuts, -1, np.round(over).astype(np.int64))


class Windows:
    """The least of so many neighbors along each row of a grid, for any number at once."""

    def __init__(self, grid: Grid) -> None:
        self._levels = [np.ascontiguousarray(grid)]

    def least(self, count: int) -> Grid:
        """Least of entries i .. i + count - 1 of each row; shorter rows by count - 1."""
        level = count.bit_length() - 1
        while len(self._levels) <= level:
            last, step = self._levels[-1], 1 << (len(self._levels) - 1)
            self._levels.append(np.minimum(last[:, :-step], last[:, step:]))
        grid, rest = self._levels[level], count - (1 << level)
        if not rest:
            return grid
        return np.minimum(grid[:, :-rest], grid[:, rest:])

    def at(
        self, count: int, row: NDArray[np.int64], column: NDArray[np.int64]
    ) -> NDArray[np.float64]:
        """The same for some places only: rows, and first entries in them."""
        level = count.bit_length() - 1
        self.least(1 << level)
        grid = self._levels[level]
        least = grid[row, column]
        rest = count - (1 << level)
        return (np.minimum(least, grid[row, column + rest]) if rest else least).astype(float)


Four = tuple[Grid, Grid, Grid, Grid]


def four(lines: Lines, columns: int, rows: int) -> Four:
    """Distances north and south from lines across, and east and west from lines along."""
    return (*ahead(lines, columns, rows), *ahead(lines.across, rows, columns))


class Sweep:
    """Distances ahead in the four directions of a grid to one set of edges.

    `north` and `south` have a row for each line y = 0..rows, `east` and `west` a row for each
    line x = 0..columns.
    """

    def __init__(self, north: Grid, south: Grid, east: Grid, west: Grid) -> None:
        self.north, self.south, self.east, self.west = map(Windows, (north, south, east, west))

    @staticmethod
    def over(lines: Lines, columns: int, rows: int) -> "Sweep":
        """Sweep a set of edges."""
        return Sweep(*four(lines, columns, rows))

    def clear(self, length: int, depth: int) -> tuple[Grid, Grid, Grid, Grid]:
        """Clear distance north, south, east and west of a box at every place.

        The box is `length` along x by `depth` along y; arrays (rows - depth + 1,
        columns - length + 1) by the row and column of its southwest corner.
        """
        north = self.north.least(length)[depth:]
        south = self.south.least(length)[: len(north)]
        east = self.east.least(depth)[length:]
        west = self.west.least(depth)[: len(east)]
        return north, south, east.T, west.T

    def at(
        self, length: int, depth: int, row: NDArray[np.int64], column: NDArray[np.int64]
    ) -> list[NDArray[np.float64]]:
        """The same for some places only, by row and column."""
        return [
            self.north.at(length, row + depth, column),
            self.south.at(length, row, column),
            self.east.at(depth, column + length, row),
            self.west.at(depth, column, row),
        ]
