"""A table slid from its place on the grid to where its tightest margin is widest."""

import math
from dataclasses import replace
from typing import Protocol

from roomwright.fit.model import Piece, Side
from roomwright.fit.trial import WALKING, Trial
from roomwright.shape import Point, outward, walls

_GAIN = 5e-4
_EVEN = 1e-9


class Judges(Protocol):
    """Whoever judges a place exactly."""

    def of(self, piece: Piece) -> Trial | None:
        """The place judged; None if the piece cannot stand there."""


def promise(trial: Trial, reach: float) -> float:
    """The tightest margin that a trial may reach by evening out opposite margins [in]."""
    return _evening(trial, reach)[1]


def evened(trials: Judges, trial: Trial, reach: float) -> Trial:
    """A trial slid by up to `reach` along its own sides so that opposite margins are even.

    The move counts only if the exact judgement finds the tightest margin wider by it.
    """
    move, tightest = _evening(trial, reach)
    return _moved(trials, trial, move, _GAIN) if tightest > trial.margin + _GAIN else trial


def centred(trials: Judges, trial: Trial, centre: Point, reach: float) -> Trial:
    """A trial moved toward `centre` as far as no margin falls under the tightest."""
    move = _centring(trial, centre, reach)
    return trial if move is None else _moved(trials, trial, move, -_EVEN)


def _moved(trials: Judges, trial: Trial, move: Point, gain: float) -> Trial:
    """The trial at the other place if its margin gains so much there, else as it was."""
    x, y, _, _ = trial.piece.where
    there = trials.of(replace(trial.piece, x=x + move[0], y=y + move[1]))
    return there if there is not None and there.margin >= trial.margin + gain else trial


def _axes(trial: Trial) -> list[tuple[Point, Side, Side]]:
    """Each pair of opposite sides, with the direction out of the first."""
    edges = walls(trial.piece.box)
    by_local = {side.local: side for side in trial.sides}
    found = []
    for one, other, k in (("left", "right", 1), ("front", "back", 2)):
        first, second = by_local.get(one), by_local.get(other)  # type: ignore[call-overload]
        if first is not None and second is not None:
            found.append((outward(edges[k]), first, second))
    return found


def _evening(trial: Trial, reach: float) -> tuple[Point, float]:
    """The move that evens out opposite margins, and what the tightest would be then.

    A walk path that the table narrows can then be no wider than from where its gap ends now.
    """
    dx = dy = 0.0
    tightest = math.inf
    for (ox, oy), first, second in _axes(trial):
        if first.margin is None or second.margin is None:
            continue
        by = max(-reach, min(reach, (first.margin - second.margin) / 2))
        dx, dy = dx + by * ox, dy + by * oy
        tightest = min(tightest, first.margin - by, second.margin + by)
    for bound in trial.bounds:
        if bound.use == WALKING and bound.at is not None:
            (px, py), q = bound.at
            tightest = min(tightest, math.dist((px + dx, py + dy), q) - bound.needs)
    return (dx, dy), tightest


def _centring(trial: Trial, centre: Point, reach: float) -> Point | None:
    """The move toward the middle of the room that leaves every margin at the tightest."""
    x, y, _, _ = trial.piece.where
    dx = dy = 0.0
    for (ox, oy), first, second in _axes(trial):
        if first.margin is None or second.margin is None:
            continue
        want = (centre[0] - x) * ox + (centre[1] - y) * oy
        room = first.margin - trial.margin if want > 0 else second.margin - trial.margin
        by = math.copysign(min(abs(want), max(0.0, room), reach), want)
        dx, dy = dx + by * ox, dy + by * oy
    return None if math.hypot(dx, dy) < _GAIN else (dx, dy)
