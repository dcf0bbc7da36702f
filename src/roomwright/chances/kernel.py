"""Both passes over a block of samples, compiled.

Every function works on columns `a` to `b` of the rows in `w`, one column a sample, so the same
code places all samples of an activity at once or one sample of it alone. Sums are exact, ties are
ties, and nothing depends on the order in which threads come to it. What all need of the graph is
handed on array by array: handing on a whole `Graph` at each call would take longer than the work.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from roomwright.chances import rows
from roomwright.chances.compiling import compiled
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
    ONTO,
    SOONEST,
    SOONEST_MOMENT,
    STYLE,
)

NEVER = np.int32(-(2**30))
EVER = np.int32(2**30)
NO = np.int32(0)
ONE = np.int32(1)


@compiled("i8 i8 i8 rows rows rows tables list")
def place_home(p: int, a: int, b: int, w: Any, g: Any, into: Any, tables: Any, fit: Any) -> None:
    """Place an activity that works by the house calendar."""
    count = g.shape[0]
    home, moment = FIRST, FIRST + 5 * count
    lasts, begun, shift = FIRST + 4 * count + p, g[p, BEGUN] == 1, fit[0]
    begin = 0 if begun else home + 2 * p
    t, stop = int(g[p, INTO]), int(g[p, INTO + 1])
    if t == stop:
        rows.fill(w, begin, g[p, SOONEST], a, b)
    else:
        rows.at_least(w, begin, home + into[t, 0], into[t, 1], g[p, SOONEST], a, b)
        t += 1
    while t + 1 < stop:
        row, lag, other = home + into[t, 0], into[t, 1], home + into[t + 1, 0]
        rows.most_of_two(w, begin, row, lag, other, into[t + 1, 1], a, b)
        t += 2
    if t < stop:
        rows.most(w, begin, home + into[t, 0], into[t, 1], a, b)
    for t in range(g[p, INTO + 1], g[p, INTO + 2]):
        rows.worked(w, 1, tables, 0, shift, moment + into[t, 0], into[t, 1], a, b)
        rows.most(w, begin, 1, NO, a, b)
    for t in range(g[p, INTO + 2], g[p, INTO + 3]):
        rows.most_before(w, begin, home + into[t, 0], into[t, 1], lasts, a, b)
    for t in range(g[p, INTO + 3], g[p, INTO + 4]):
        row, lag = moment + into[t, 0], into[t, 1]
        rows.reach(w, 1, tables, 0, shift, row, lag, a, b)
        rows.most_before(w, begin, 1, NO, lasts, a, b)
    rows.end(w, home + 2 * p + 1, begin, lasts, fit[1], a, b)
    if g[p, MOMENTS] == 1:
        if not begun:
            rows.opens(w, moment + 2 * p, tables, 0, shift, begin, a, b)
        rows.closes(w, moment + 2 * p + 1, tables, 0, shift, home + 2 * p + 1, a, b)


@compiled("i8 i8 i8 i8 i8 rows rows rows tables list")
def _raised(
    i: int, p: int, first: int, a: int, b: int, w: Any, g: Any, into: Any, tables: Any, fit: Any
) -> None:
    """Raise moments to a class of working ties and to the next class, by the moment."""
    home, moment = FIRST, FIRST + 5 * g.shape[0]
    if g[p, first] < g[p, first + 1]:
        rows.fill(w, 1, NEVER, a, b)
        for t in range(g[p, first], g[p, first + 1]):
            rows.most(w, 1, home + into[t, 0], into[t, 1], a, b)
        rows.closes(w, 1, tables, 0, fit[0], 1, a, b)
        rows.most(w, i, 1, NO, a, b)
    for t in range(g[p, first + 1], g[p, first + 2]):
        rows.most(w, i, moment + into[t, 0], into[t, 1], a, b)


@compiled("i8 i8 i8 rows rows rows tables list")
def place_own(p: int, a: int, b: int, w: Any, g: Any, into: Any, tables: Any, fit: Any) -> None:
    """Place an activity with days of its own, or a milestone among several calendars."""
    count, c, begun, shift = g.shape[0], np.int64(g[p, AXIS]), g[p, BEGUN] == 1, fit[0]
    lasts, own = FIRST + 4 * count + p, FIRST + 9 * count + p
    start, end = FIRST + 2 * p, FIRST + 2 * p + 1
    moment, done = FIRST + 5 * count + 2 * p, FIRST + 5 * count + 2 * p + 1
    rows.fill(w, 0, g[p, SOONEST_MOMENT], a, b)
    _raised(0, p, INTO, a, b, w, g, into, tables, fit)
    held = g[p, INTO + 2] < g[p, INTO + 4]
    if held:
        rows.fill(w, 2, NEVER, a, b)
        _raised(2, p, INTO + 2, a, b, w, g, into, tables, fit)
    if g[p, STYLE] == MILESTONE:
        if held:
            rows.most(w, 0, 2, NO, a, b)
        rows.put(w, done, 0, NO, a, b)
        rows.worked(w, own, tables, c, shift, 0, NO, a, b)
        rows.worked(w, end, tables, 0, shift, 0, NO, a, b)
        if not begun:
            rows.put(w, moment, 0, NO, a, b)
            rows.put(w, start, end, NO, a, b)
        return
    rows.worked(w, own, tables, c, shift, 0, NO, a, b)
    if held:
        rows.reach(w, 3, tables, c, shift, 2, NO, a, b)
        rows.most_before(w, own, 3, NO, lasts, a, b)
    if not begun:
        rows.opens(w, moment, tables, c, shift, own, a, b)
        rows.worked(w, start, tables, 0, shift, moment, NO, a, b)
    rows.end(w, own, own, lasts, EVER, a, b)
    rows.closes(w, done, tables, c, shift, own, a, b)
    rows.worked(w, end, tables, 0, shift, done, NO, a, b)


@compiled("i8 i8 rows rows rows list tables list")
def forward(a: int, b: int, w: Any, g: Any, into: Any, ends: Any, tables: Any, fit: Any) -> None:
    """Place all, and find the home number and the moment at which the last one ends."""
    home, moment = FIRST, FIRST + 5 * g.shape[0]
    for p in range(g.shape[0]):
        if g[p, STYLE] == HOME:
            place_home(p, a, b, w, g, into, tables, fit)
        elif g[p, STYLE] != GIVEN:
            place_own(p, a, b, w, g, into, tables, fit)
    rows.fill(w, FINISH, NEVER if ends.shape[0] else fit[3], a, b)
    for q in range(ends.shape[0]):
        rows.most(w, FINISH, home + 2 * ends[q] + 1, NO, a, b)
    if fit[2] == 1:
        rows.fill(w, 0, fit[3], a, b)
        rows.fill(w, LIMIT, NEVER, a, b)
        for q in range(ends.shape[0]):
            if g[ends[q], STYLE] == HOME:
                rows.most(w, 0, home + 2 * ends[q] + 1, NO, a, b)
            else:
                rows.most(w, LIMIT, moment + 2 * ends[q] + 1, NO, a, b)
        rows.closes(w, 0, tables, 0, fit[0], 0, a, b)
        rows.most(w, LIMIT, 0, NO, a, b)


@compiled("i8 i8 i8 rows rows rows tables list i8")
def bound_home(
    p: int, a: int, b: int, w: Any, g: Any, onto: Any, tables: Any, fit: Any, last: int
) -> None:
    """Bound the late dates of one that works by the house calendar."""
    count, shift = g.shape[0], fit[0]
    late, moment, lasts = FIRST + 2 * count, FIRST + 7 * count, FIRST + 4 * count + p
    end = late + 2 * p + 1
    if g[p, BEGUN] == 1:
        lasts = 0
        rows.put(w, 0, FIRST + 2 * p + 1, np.int32(-g[p, GIVEN_START]), a, b)
    t, stop = int(g[p, ONTO]), int(g[p, ONTO + 1])
    if t == stop:
        rows.put(w, end, last, NO, a, b)
    else:
        rows.lower(w, end, last, late + onto[t, 0], onto[t, 1], a, b)
        t += 1
    while t + 1 < stop:
        row, lag, other = late + onto[t, 0], onto[t, 1], late + onto[t + 1, 0]
        rows.least_of_two(w, end, row, lag, other, onto[t + 1, 1], a, b)
        t += 2
    if t < stop:
        rows.least(w, end, late + onto[t, 0], onto[t, 1], a, b)
    for t in range(g[p, ONTO + 1], g[p, ONTO + 2]):
        lag = np.int32(-onto[t, 1])
        rows.worked(w, 1, tables, 0, shift, moment + onto[t, 0], lag, a, b)
        rows.least(w, end, 1, NO, a, b)
    for t in range(g[p, ONTO + 2], g[p, ONTO + 3]):
        rows.least_after(w, end, late + onto[t, 0], onto[t, 1], lasts, a, b)
    for t in range(g[p, ONTO + 3], g[p, ONTO + 4]):
        lag = np.int32(ONE - onto[t, 1])  # the last step that begins no later
        rows.worked(w, 1, tables, 0, shift, moment + onto[t, 0], lag, a, b)
        rows.least_after(w, end, 1, ONE, lasts, a, b)
    rows.minus(w, late + 2 * p, end, lasts, a, b)
    if g[p, LATE_MOMENTS] == 1:
        rows.opens(w, moment + 2 * p, tables, 0, shift, late + 2 * p, a, b)
        rows.closes(w, moment + 2 * p + 1, tables, 0, shift, end, a, b)


@compiled("i8 i8 i8 i8 i8 rows rows rows tables list")
def _lowered(
    i: int, p: int, first: int, a: int, b: int, w: Any, g: Any, onto: Any, tables: Any, fit: Any
) -> None:
    """Lower moments to a class of working ties and to the next class, by the moment."""
    late, moment = FIRST + 2 * g.shape[0], FIRST + 7 * g.shape[0]
    if g[p, first] < g[p, first + 1]:
        rows.fill(w, 3, EVER, a, b)
        for t in range(g[p, first], g[p, first + 1]):
            rows.least(w, 3, late + onto[t, 0], onto[t, 1], a, b)
        rows.opens(w, 3, tables, 0, fit[0], 3, a, b)
        rows.least(w, i, 3, NO, a, b)
    for t in range(g[p, first + 1], g[p, first + 2]):
        rows.least(w, i, moment + onto[t, 0], onto[t, 1], a, b)


@compiled("i8 i8 i8 rows rows rows tables list i8 i8")
def bound_own(
    p: int, a: int, b: int, w: Any, g: Any, onto: Any, tables: Any, fit: Any, last: int, limit: int
) -> None:
    """Bound the late dates of one with days of its own, or of a milestone among calendars."""
    count, c, shift = g.shape[0], np.int64(g[p, AXIS]), fit[0]
    moment, late = FIRST + 7 * count + 2 * p, FIRST + 2 * count + 2 * p
    lasts = FIRST + 4 * count + p
    milestone = g[p, LATE_STYLE] == MILESTONE
    if milestone:
        rows.opens(w, 1, tables, 0, shift, last, a, b)
    else:
        rows.put(w, 1, limit, NO, a, b)
    _lowered(1, p, ONTO, a, b, w, g, onto, tables, fit)
    held = g[p, ONTO + 2] < g[p, ONTO + 4]
    if held:
        rows.fill(w, 2, EVER, a, b)
        _lowered(2, p, ONTO + 2, a, b, w, g, onto, tables, fit)
    if milestone:
        if held:
            rows.least(w, 1, 2, NO, a, b)
        rows.put(w, moment, 1, NO, a, b)
        rows.put(w, moment + 1, 1, NO, a, b)
    else:
        if g[p, BEGUN] == 1:
            lasts = 3
            rows.put(w, 3, FIRST + 9 * count + p, np.int32(-g[p, GIVEN_OWN]), a, b)
        rows.worked(w, 0, tables, c, shift, 1, NO, a, b)
        if held:
            rows.worked(w, 2, tables, c, shift, 2, ONE, a, b)
            rows.least_after(w, 0, 2, ONE, lasts, a, b)
        rows.minus(w, 2, 0, lasts, a, b)
        rows.opens(w, moment, tables, c, shift, 2, a, b)
        rows.closes(w, moment + 1, tables, c, shift, 0, a, b)
    rows.worked(w, late, tables, 0, shift, moment, NO, a, b)
    rows.worked(w, late + 1, tables, 0, shift, moment + 1, NO, a, b)


@compiled("i8 i8 i8 rows rows tables list i8")
def spare(p: int, a: int, b: int, w: Any, g: Any, tables: Any, fit: Any, i: int) -> None:
    """Total float of one, in steps of its own calendar, into row i."""
    count = g.shape[0]
    if g[p, LATE_STYLE] == HOME:
        rows.minus(w, i, FIRST + 2 * count + 2 * p + 1, FIRST + 2 * p + 1, a, b)
    else:
        late = FIRST + 7 * count + 2 * p + 1
        rows.worked(w, i, tables, np.int64(g[p, AXIS]), fit[0], late, NO, a, b)
        rows.minus(w, i, i, FIRST + 9 * count + p, a, b)


@compiled("i8 i8 rows rows rows tables list i8 i8")
def backward(
    a: int, b: int, w: Any, g: Any, onto: Any, tables: Any, fit: Any, last: int, limit: int
) -> None:
    """Bound all against the home number and the moment of an end, in rows `last` and `limit`."""
    for p in range(g.shape[0] - 1, -1, -1):
        if g[p, LATE_STYLE] == HOME:
            bound_home(p, a, b, w, g, onto, tables, fit, last)
        elif g[p, LATE_STYLE] != GIVEN:
            bound_own(p, a, b, w, g, onto, tables, fit, last, limit)


@compiled("rows rows list list")
def fill(w: Any, g: Any, fit: Any, lasts: Any) -> None:
    """Write what no sample changes: recorded dates and planned days."""
    count, b = g.shape[0], w.shape[1]
    for p in range(count):
        rows.fill(w, FIRST + 4 * count + p, lasts[p], 0, b)
        if g[p, STYLE] == GIVEN or g[p, BEGUN] == 1:
            rows.fill(w, FIRST + 2 * p, g[p, GIVEN_START], 0, b)
            rows.fill(w, FIRST + 2 * p + 1, g[p, GIVEN_END], 0, b)
            if fit[2] == 1:
                rows.fill(w, FIRST + 5 * count + 2 * p, g[p, GIVEN_MOMENT], 0, b)
                rows.fill(w, FIRST + 5 * count + 2 * p + 1, g[p, GIVEN_END_MOMENT], 0, b)
