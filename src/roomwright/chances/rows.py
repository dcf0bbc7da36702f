"""What the passes do to rows of samples, compiled: columns `a` to `b`, 32-bit whole steps.

All rows lie in one array `w`. An index without a sign needs no check for counting from the end,
so the processor works on many columns at once. No index is checked: the tables reach farther than
any lag and any duration, both of which are limited, and ends are capped.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from roomwright.chances.compiling import compiled

_ONE = np.int32(1)
_U1 = np.uint32(1)


@compiled("rows i8 i4 i8 i8")
def fill(w: Any, i: int, value: Any, a: int, b: int) -> None:
    """Set a row to a number."""
    for k in range(np.uint64(a), np.uint64(b)):
        w[i, k] = value


@compiled("rows i8 i8 i4 i8 i8")
def put(w: Any, i: int, j: int, by: Any, a: int, b: int) -> None:
    """Set a row to another and a number."""
    for k in range(np.uint64(a), np.uint64(b)):
        w[i, k] = np.int32(w[j, k] + by)


@compiled("rows i8 i8 i4 i8 i8")
def most(w: Any, i: int, j: int, lag: Any, a: int, b: int) -> None:
    """Raise a row to another and a lag."""
    for k in range(np.uint64(a), np.uint64(b)):
        t = np.int32(w[j, k] + lag)
        w[i, k] = t if t > w[i, k] else w[i, k]


@compiled("rows i8 i8 i4 i8 i8")
def least(w: Any, i: int, j: int, lag: Any, a: int, b: int) -> None:
    """Lower a row to another without a lag."""
    for k in range(np.uint64(a), np.uint64(b)):
        t = np.int32(w[j, k] - lag)
        w[i, k] = t if t < w[i, k] else w[i, k]


@compiled("rows i8 i8 i4 i8 i4 i8 i8")
def most_of_two(w: Any, i: int, j: int, lag: Any, m: int, other: Any, a: int, b: int) -> None:
    """Raise a row to two others with their lags: half the trips to memory."""
    for k in range(np.uint64(a), np.uint64(b)):
        t, u = np.int32(w[j, k] + lag), np.int32(w[m, k] + other)
        t = t if t > u else u
        w[i, k] = t if t > w[i, k] else w[i, k]


@compiled("rows i8 i8 i4 i8 i4 i8 i8")
def least_of_two(w: Any, i: int, j: int, lag: Any, m: int, other: Any, a: int, b: int) -> None:
    """Lower a row to two others without their lags."""
    for k in range(np.uint64(a), np.uint64(b)):
        t, u = np.int32(w[j, k] - lag), np.int32(w[m, k] - other)
        t = t if t < u else u
        w[i, k] = t if t < w[i, k] else w[i, k]


@compiled("rows i8 i8 i4 i4 i8 i8")
def at_least(w: Any, i: int, j: int, lag: Any, floor: Any, a: int, b: int) -> None:
    """Set a row to another and a lag, or to a number where that is more."""
    for k in range(np.uint64(a), np.uint64(b)):
        t = np.int32(w[j, k] + lag)
        w[i, k] = t if t > floor else floor


@compiled("rows i8 i8 i8 i4 i8 i8")
def lower(w: Any, i: int, last: int, j: int, lag: Any, a: int, b: int) -> None:
    """Set a row to the lower of a second, and a third without a lag."""
    for k in range(np.uint64(a), np.uint64(b)):
        t, u = np.int32(w[j, k] - lag), w[last, k]
        w[i, k] = t if t < u else u


@compiled("rows i8 i8 i4 i8 i8 i8")
def most_before(w: Any, i: int, j: int, lag: Any, lasts: int, a: int, b: int) -> None:
    """Raise to where one must begin that may not end before a row and a lag."""
    for k in range(np.uint64(a), np.uint64(b)):
        t = np.int32(np.int32(w[j, k] + lag) - w[lasts, k])
        w[i, k] = t if t > w[i, k] else w[i, k]


@compiled("rows i8 i8 i4 i8 i8 i8")
def least_after(w: Any, i: int, j: int, lag: Any, lasts: int, a: int, b: int) -> None:
    """Lower to where one must end that may not begin after a row without a lag."""
    for k in range(np.uint64(a), np.uint64(b)):
        t = np.int32(np.int32(w[j, k] - lag) + w[lasts, k])
        w[i, k] = t if t < w[i, k] else w[i, k]


@compiled("rows i8 i8 i8 i4 i8 i8")
def end(w: Any, i: int, j: int, lasts: int, top: Any, a: int, b: int) -> None:
    """Add the days to a beginning, but never beyond the calendars."""
    for k in range(np.uint64(a), np.uint64(b)):
        t = np.int32(w[j, k] + w[lasts, k])
        w[i, k] = t if t < top else top


@compiled("rows i8 i8 i8 i8 i8")
def minus(w: Any, i: int, j: int, less: int, a: int, b: int) -> None:
    """Take one row from another."""
    for k in range(np.uint64(a), np.uint64(b)):
        w[i, k] = np.int32(w[j, k] - w[less, k])


@compiled("rows i8 tables i8 i4 i8 i4 i8 i8")
def worked(
    w: Any, i: int, tables: Any, c: Any, shift: Any, j: int, lag: Any, a: int, b: int
) -> None:
    """Home or own numbers of moments and a lag."""
    mask = np.int32(np.int32(_ONE << shift) - _ONE)
    for k in range(np.uint64(a), np.uint64(b)):
        m = np.int32(w[j, k] + lag)
        h = np.uint32(m >> shift)
        at = tables[0, c, h]
        works = np.int32(tables[0, c, h + _U1] - at)
        w[i, k] = np.int32(np.int32(at << shift) + np.int32(np.int32(m & mask) * works))


@compiled("rows i8 tables i8 i4 i8 i8 i8")
def opens(w: Any, i: int, tables: Any, c: Any, shift: Any, j: int, a: int, b: int) -> None:
    """Moments at which worked steps begin."""
    mask = np.int32(np.int32(_ONE << shift) - _ONE)
    for k in range(np.uint64(a), np.uint64(b)):
        n = w[j, k]
        w[i, k] = np.int32(
            np.int32(tables[1, c, np.uint32(n >> shift)] << shift) + np.int32(n & mask)
        )


@compiled("rows i8 tables i8 i4 i8 i8 i8")
def closes(w: Any, i: int, tables: Any, c: Any, shift: Any, j: int, a: int, b: int) -> None:
    """Moments at which so many worked steps are done."""
    mask = np.int32(np.int32(_ONE << shift) - _ONE)
    for k in range(np.uint64(a), np.uint64(b)):
        n = np.int32(w[j, k] - _ONE)
        m = np.int32(np.int32(tables[1, c, np.uint32(n >> shift)] << shift) + np.int32(n & mask))
        w[i, k] = np.int32(m + _ONE)


@compiled("rows i8 tables i8 i4 i8 i4 i8 i8")
def reach(
    w: Any, i: int, tables: Any, c: Any, shift: Any, j: int, lag: Any, a: int, b: int
) -> None:
    """Fewest worked steps that end at or after moments and a lag."""
    mask = np.int32(np.int32(_ONE << shift) - _ONE)
    for k in range(np.uint64(a), np.uint64(b)):
        m = np.int32(w[j, k] + lag)
        h = np.uint32(m >> shift)
        at = tables[0, c, h]
        works = np.int32(tables[0, c, h + _U1] - at)
        n = np.int32(np.int32(at << shift) + np.int32(np.int32(m & mask) * works))
        last = np.int32(n - _ONE)
        done = np.int32(np.int32(tables[1, c, np.uint32(last >> shift)] << shift))
        done = np.int32(np.int32(done + np.int32(last & mask)) + _ONE)
        w[i, k] = np.int32(n + _ONE) if done < m else n
