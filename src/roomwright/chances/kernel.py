"""The passes over a block of samples, compiled: numba is imported here and nowhere else.

Every function works on columns `a` to `b` of a block, one column a sample, so the same code places
all samples of an activity at once or one sample of it alone. Numbers are 32-bit integers: sums
are exact, ties are ties, and nothing depends on the order in which threads come to it.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from roomwright.chances.compiling import compiled, inlined
from roomwright.chances.graph import Graph

BLOCK = 128
"""Samples of a block: its rows then stay close to the processor."""


class Block(NamedTuple):
    """The working arrays of one thread; a column is a sample."""

    lasts: Any
    home: Any
    moment: Any
    own: Any
    late_home: Any
    late_moment: Any
    finish: Any
    limit: Any
    factors: Any
    rows: Any
    bits: Any
    drives: Any
    dirty: Any
    kept: Any
    was: Any


@inlined
def _worked(g: Graph, c: int, moment: Any) -> Any:
    """Home or own number of a moment."""
    h = moment >> g.shift
    h = np.int32(max(np.int32(0), min(h, np.int32(g.before.shape[1] - 2))))
    at = g.before[c, h]
    part = np.int32(moment - np.int32(h << g.shift))
    if g.before[c, h + 1] == at:
        part = np.int32(0)
    return np.int32(np.int32(at << g.shift) + part)


@inlined
def _opens(g: Graph, c: int, number: Any) -> Any:
    """Moment at which a worked step begins."""
    h = number >> g.shift
    part = np.int32(number - np.int32(h << g.shift))
    h = np.int32(max(np.int32(0), min(h, np.int32(g.opening.shape[1] - 1))))
    return np.int32(np.int32(g.opening[c, h] << g.shift) + part)


@inlined
def _closes(g: Graph, c: int, number: Any) -> Any:
    """Moment at which so many worked steps are done."""
    return np.int32(_opens(g, c, np.int32(number - 1)) + 1)


@inlined
def _reach(g: Graph, c: int, moment: Any) -> Any:
    """Fewest worked steps that end at or after a moment."""
    number = _worked(g, c, moment)
    return np.int32(number + np.int32(_closes(g, c, number) < moment))


@inlined
def _last_at(g: Graph, c: int, moment: Any) -> Any:
    """Last worked step that begins at or before a moment."""
    return np.int32(_worked(g, c, np.int32(moment + 1)) - 1)


@inlined
def _most(into: Any, row: Any, lag: Any, a: int, b: int) -> None:
    for k in range(a, b):
        t = np.int32(row[k] + lag)
        into[k] = t if t > into[k] else into[k]


@inlined
def _least(into: Any, row: Any, lag: Any, a: int, b: int) -> None:
    for k in range(a, b):
        t = np.int32(row[k] - lag)
        into[k] = t if t < into[k] else into[k]


NEVER = np.int32(-(2**30))
EVER = np.int32(2**30)


@compiled
def place_home(p: int, a: int, b: int, g: Graph, s: Block) -> None:
    """Place an activity that works by the house calendar."""
    lasts = s.lasts[p]
    begun = g.begun[p] == 1
    begin = s.rows[0] if begun else s.home[2 * p]
    end = s.home[2 * p + 1]
    begin[a:b] = g.soonest[p]
    ties = g.into_from
    for t in range(ties[4 * p], ties[4 * p + 1]):
        _most(begin, s.home[g.into_row[t]], g.into_lag[t], a, b)
    for t in range(ties[4 * p + 1], ties[4 * p + 2]):
        row, lag = s.moment[g.into_row[t]], g.into_lag[t]
        for k in range(a, b):
            number = _worked(g, 0, np.int32(row[k] + lag))
            begin[k] = number if number > begin[k] else begin[k]
    for t in range(ties[4 * p + 2], ties[4 * p + 3]):
        row, lag = s.home[g.into_row[t]], g.into_lag[t]
        for k in range(a, b):
            number = np.int32(np.int32(row[k] + lag) - lasts[k])
            begin[k] = number if number > begin[k] else begin[k]
    for t in range(ties[4 * p + 3], ties[4 * p + 4]):
        row, lag = s.moment[g.into_row[t]], g.into_lag[t]
        for k in range(a, b):
            number = np.int32(_reach(g, 0, np.int32(row[k] + lag)) - lasts[k])
            begin[k] = number if number > begin[k] else begin[k]
    for k in range(a, b):
        end[k] = np.int32(begin[k] + lasts[k])
    if g.moments[p] == 1:
        if not begun:
            for k in range(a, b):
                s.moment[2 * p, k] = _opens(g, 0, begin[k])
        for k in range(a, b):
            s.moment[2 * p + 1, k] = _closes(g, 0, end[k])


@compiled
def place_own(p: int, a: int, b: int, g: Graph, s: Block) -> None:
    """Place an activity with days of its own, or a milestone among several calendars."""
    lasts, c = s.lasts[p], g.axis[p]
    at, group, end_by = s.rows[0], s.rows[1], s.rows[2]
    begun, milestone = g.begun[p] == 1, g.style[p] == 2
    ties = g.into_from
    at[a:b] = g.soonest_moment[p]
    if ties[4 * p] < ties[4 * p + 1]:
        group[a:b] = NEVER
        for t in range(ties[4 * p], ties[4 * p + 1]):
            _most(group, s.home[g.into_row[t]], g.into_lag[t], a, b)
        for k in range(a, b):
            moment = _closes(g, 0, group[k])
            at[k] = moment if moment > at[k] else at[k]
    for t in range(ties[4 * p + 1], ties[4 * p + 2]):
        _most(at, s.moment[g.into_row[t]], g.into_lag[t], a, b)
    held = ties[4 * p + 2] < ties[4 * p + 4]
    if held:
        end_by[a:b] = NEVER
        if ties[4 * p + 2] < ties[4 * p + 3]:
            group[a:b] = NEVER
            for t in range(ties[4 * p + 2], ties[4 * p + 3]):
                _most(group, s.home[g.into_row[t]], g.into_lag[t], a, b)
            for k in range(a, b):
                end_by[k] = _closes(g, 0, group[k])
        for t in range(ties[4 * p + 3], ties[4 * p + 4]):
            _most(end_by, s.moment[g.into_row[t]], g.into_lag[t], a, b)
    start, end = s.moment[2 * p], s.moment[2 * p + 1]
    if milestone:
        for k in range(a, b):
            moment = at[k]
            if held and end_by[k] > moment:
                moment = end_by[k]
            end[k] = moment
            s.own[p, k] = _worked(g, c, moment)
            s.home[2 * p + 1, k] = _worked(g, 0, moment)
            if not begun:
                start[k] = moment
                s.home[2 * p, k] = s.home[2 * p + 1, k]
        return
    own = s.own[p]
    for k in range(a, b):
        own[k] = _worked(g, c, at[k])
    if held:
        for k in range(a, b):
            number = np.int32(_reach(g, c, end_by[k]) - lasts[k])
            own[k] = number if number > own[k] else own[k]
    if not begun:
        for k in range(a, b):
            start[k] = _opens(g, c, own[k])
        for k in range(a, b):
            s.home[2 * p, k] = _worked(g, 0, start[k])
    for k in range(a, b):
        own[k] = np.int32(own[k] + lasts[k])
        end[k] = _closes(g, c, own[k])
    for k in range(a, b):
        s.home[2 * p + 1, k] = _worked(g, 0, end[k])


@inlined
def _place(p: int, a: int, b: int, g: Graph, s: Block) -> None:
    if g.style[p] == 0:
        place_home(p, a, b, g, s)
    elif g.style[p] != 3:
        place_own(p, a, b, g, s)


@compiled
def forward(a: int, b: int, g: Graph, s: Block) -> None:
    """Place all, and find the home number and the moment at which the last one ends."""
    for p in range(g.style.shape[0]):
        _place(p, a, b, g, s)
    _finish(a, b, g, s)
    if g.mixed:
        home = s.rows[0]
        home[a:b] = NEVER
        s.limit[a:b] = NEVER
        for q in range(g.last.shape[0]):
            p = g.last[q]
            if g.style[p] == 0:
                _most(home, s.home[2 * p + 1], np.int32(0), a, b)
            else:
                _most(s.limit, s.moment[2 * p + 1], np.int32(0), a, b)
        for k in range(a, b):
            moment = _closes(g, 0, home[k])
            if home[k] > NEVER and moment > s.limit[k]:
                s.limit[k] = moment


@compiled
def _finish(a: int, b: int, g: Graph, s: Block) -> None:
    s.finish[a:b] = NEVER
    for q in range(g.last.shape[0]):
        _most(s.finish, s.home[2 * g.last[q] + 1], np.int32(0), a, b)


@compiled
def bound_home(p: int, a: int, b: int, g: Graph, s: Block, last: Any) -> None:
    """Bound the late dates of one that works by the house calendar."""
    start, end = s.late_home[2 * p], s.late_home[2 * p + 1]
    lasts = s.lasts[p]
    if g.begun[p] == 1:
        lasts = s.rows[0]
        for k in range(a, b):
            lasts[k] = np.int32(s.home[2 * p + 1, k] - g.given[2 * p])
    for k in range(a, b):
        end[k] = last[k]
    ties = g.onto_from
    for t in range(ties[4 * p], ties[4 * p + 1]):
        _least(end, s.late_home[g.onto_row[t]], g.onto_lag[t], a, b)
    for t in range(ties[4 * p + 1], ties[4 * p + 2]):
        row, lag = s.late_moment[g.onto_row[t]], g.onto_lag[t]
        for k in range(a, b):
            number = _worked(g, 0, np.int32(row[k] - lag))
            end[k] = number if number < end[k] else end[k]
    for t in range(ties[4 * p + 2], ties[4 * p + 3]):
        row, lag = s.late_home[g.onto_row[t]], g.onto_lag[t]
        for k in range(a, b):
            number = np.int32(np.int32(row[k] - lag) + lasts[k])
            end[k] = number if number < end[k] else end[k]
    for t in range(ties[4 * p + 3], ties[4 * p + 4]):
        row, lag = s.late_moment[g.onto_row[t]], g.onto_lag[t]
        for k in range(a, b):
            number = np.int32(_last_at(g, 0, np.int32(row[k] - lag)) + lasts[k])
            end[k] = number if number < end[k] else end[k]
    for k in range(a, b):
        start[k] = np.int32(end[k] - lasts[k])
    if g.late_moments[p] == 1:
        for k in range(a, b):
            s.late_moment[2 * p, k] = _opens(g, 0, start[k])
        for k in range(a, b):
            s.late_moment[2 * p + 1, k] = _closes(g, 0, end[k])


@compiled
def _earliest(p: int, first: int, last: int, a: int, b: int, g: Graph, s: Block, into: Any) -> None:
    """Lower `into` to the bounds of a class of working ties and of the next, by the moment."""
    ties = g.onto_from
    group = s.rows[3]
    if ties[first] < ties[first + 1]:
        group[a:b] = EVER
        for t in range(ties[first], ties[first + 1]):
            _least(group, s.late_home[g.onto_row[t]], g.onto_lag[t], a, b)
        for k in range(a, b):
            moment = _opens(g, 0, group[k])
            into[k] = moment if moment < into[k] else into[k]
    for t in range(ties[last], ties[last + 1]):
        _least(into, s.late_moment[g.onto_row[t]], g.onto_lag[t], a, b)


@compiled
def bound_own(p: int, a: int, b: int, g: Graph, s: Block, last: Any, limit: Any) -> None:
    """Bound the late dates of one with days of its own, or of a milestone among calendars."""
    c = g.axis[p]
    end_by, start_by = s.rows[1], s.rows[2]
    start, end = s.late_moment[2 * p], s.late_moment[2 * p + 1]
    milestone = g.late_style[p] == 2
    for k in range(a, b):
        end_by[k] = _opens(g, 0, last[k]) if milestone else limit[k]
    _earliest(p, 4 * p, 4 * p + 1, a, b, g, s, end_by)
    held = g.onto_from[4 * p + 2] < g.onto_from[4 * p + 4]
    if held:
        start_by[a:b] = EVER
        _earliest(p, 4 * p + 2, 4 * p + 3, a, b, g, s, start_by)
    late = s.rows[0]
    if milestone:
        for k in range(a, b):
            moment = end_by[k]
            if held and start_by[k] < moment:
                moment = start_by[k]
            start[k] = moment
            end[k] = moment
    else:
        lasts = s.lasts[p]
        if g.begun[p] == 1:
            lasts = s.rows[3]
            for k in range(a, b):
                lasts[k] = np.int32(s.own[p, k] - g.given_own[2 * p])
        for k in range(a, b):
            late[k] = _worked(g, c, end_by[k])
        if held:
            for k in range(a, b):
                number = np.int32(_last_at(g, c, start_by[k]) + lasts[k])
                late[k] = number if number < late[k] else late[k]
        for k in range(a, b):
            start[k] = _opens(g, c, np.int32(late[k] - lasts[k]))
        for k in range(a, b):
            end[k] = _closes(g, c, late[k])
    for k in range(a, b):
        s.late_home[2 * p, k] = _worked(g, 0, start[k])
    for k in range(a, b):
        s.late_home[2 * p + 1, k] = _worked(g, 0, end[k])


@compiled
def spare(p: int, a: int, b: int, g: Graph, s: Block, into: Any) -> None:
    """Total float of one, in steps of its own calendar."""
    if g.late_style[p] == 0:
        for k in range(a, b):
            into[k] = np.int32(s.late_home[2 * p + 1, k] - s.home[2 * p + 1, k])
    else:
        c = g.axis[p]
        for k in range(a, b):
            into[k] = np.int32(_worked(g, c, s.late_moment[2 * p + 1, k]) - s.own[p, k])


@compiled
def backward(a: int, b: int, g: Graph, s: Block, last: Any, limit: Any) -> None:
    """Bound all against the home number and the moment of an end."""
    for p in range(g.style.shape[0] - 1, -1, -1):
        if g.late_style[p] == 0:
            bound_home(p, a, b, g, s, last)
        elif g.late_style[p] != 3:
            bound_own(p, a, b, g, s, last, limit)


@compiled
def fill(g: Graph, s: Block, lasts: Any) -> None:
    """Write what no sample changes: recorded dates and planned days."""
    for p in range(g.style.shape[0]):
        s.lasts[p, :] = lasts[p]
        if g.style[p] == 3 or g.begun[p] == 1:
            for e in range(2):
                s.home[2 * p + e, :] = g.given[2 * p + e]
                if g.mixed:
                    s.moment[2 * p + e, :] = g.given_moment[2 * p + e]
