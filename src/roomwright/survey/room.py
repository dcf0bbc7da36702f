"""A room from its tape readings: the outline, the suspects, and what to take next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from roomwright.lengths import inches
from roomwright.shape import Outline, signed_area

from . import check
from .following import diagonals, next_diagonal
from .model import (
    DELTA0,
    Array,
    Corner,
    Flags,
    Observation,
    Survey,
    SurveyError,
    Taken,
    Tape,
)
from .network import Network, UndeterminedError, network
from .placing import ellipse, on_first_wall, onto, turned
from .remarks import remarks
from .snoop import Fit, Verdict, judge
from .start import check_turns, meant, opening, tried_turns, turns_of, walk

TOLD = 6.0  # an error that a builder must be able to lay to one reading [in]
NINETEEN_IN_TWENTY = 1.645
GROSS = 0.2  # a reading this share off its start may be a gross slip
GROSS_TRIED = 3
DRAWN = 3.0  # times 0.6 deg: a corner drawn at an odd angle is trusted that much less


def survey(
    corners: Sequence[str],
    observations: Sequence[Observation],
    *,
    plan: Outline | None = None,
    turns: Sequence[float] | None = None,
    tape: Tape | None = None,
) -> Survey:
    """Adjust a room's readings and say which of them to doubt.

    Parameters
    ----------
    corners : Sequence[str]
        Names of the corners in order round the room.
    observations : Sequence[Observation]
        Walls and diagonals in any order, repeats included [in].
    plan : Outline, optional
        The drawn outline, a point for each corner [in]; the result is laid on it.
    turns : Sequence[float], optional
        The turn at each corner, left positive [deg]. Without plan and turns the walls are taken
        for square and walked anticlockwise; which corners jut in is tried.
    tape : Tape, optional
        Standard deviations.

    Returns
    -------
    Survey
        Corners laid on the plan, or with the first at 0 0 and the second along +x.

    Raises
    ------
    SurveyError
        Readings that are none, cannot close, or are too few; names them and says what to do.

    Examples
    --------
    >>> rows = [("A", "B", 162.125), ("B", "C", 153.25), ("B", "C", 150.375), ("C", "D", 161.875),
    ...         ("D", "A", 150.0), ("A", "C", 221.125), ("B", "D", 220.625)]
    >>> room = survey("ABCD", [Observation(f"{k}", *row) for k, row in enumerate(rows, 1)])
    >>> [(s.observation.id, s.observation.line(), round(s.error, 1)) for s in room.suspects()]
    [('2', 'B-C', 2.9)]
    """
    tape = tape or Tape()
    names = check.corners_of(corners)
    check.readings_of(names, observations)
    if not any(not o.set_aside for o in observations):
        raise SurveyError("No reading yet: begin with the walls, A to B and so on round the room.")
    check.closes(names, observations)
    xy, target, drawn, unsure = _start(names, observations, plan, turns)
    net = _room_network(names, observations, tape, drawn, xy)
    hint = np.zeros(len(observations))
    if target is not None:
        ends = net.ends
        hint = np.abs(np.hypot(*(target[ends[:, 0]] - target[ends[:, 1]]).T) - net.lengths)
    use = np.ones(len(observations) + len(net.corners))
    use[: len(observations)] = [not o.set_aside for o in observations]
    verdict = _settled(names, observations, net, xy, use, hint)
    return _result(names, observations, verdict, target, tape, unsure)


def _settled(
    names: Sequence[str],
    observations: Sequence[Observation],
    net: Network,
    xy: Array,
    use: Array,
    hint: Array,
) -> Verdict:
    """The verdict; where a gross slip lets nothing settle, without the farthest reading or two."""
    value, _ = net.model(xy)
    off = np.abs(np.log(np.maximum(value[: len(net.ends)], 1) / net.lengths))
    far = [int(k) for k in np.argsort(-off * use[: len(off)])[:GROSS_TRIED] if off[k] > GROSS]
    refused: SurveyError | None = None
    for count in range(len(far) + 1):
        try:
            return judge(net, xy, use, hint, opening(xy), tuple(far[:count]))
        except SurveyError as error:
            refused = refused or error
    assert refused is not None  # noqa: S101 - the loop ran at least once
    if not far:
        if isinstance(refused, UndeterminedError):
            raise _too_few(names, observations, refused, xy) from None
        raise refused
    said = ", ".join(f"{observations[k].line()} ({inches(observations[k].length)})" for k in far)
    raise SurveyError(
        f"The readings make no room. Farthest from what was expected: {said}. "
        "Look for feet typed as inches or a wrong corner letter, and take them again."
    )


def _start(
    names: Sequence[str],
    observations: Sequence[Observation],
    plan: Outline | None,
    turns: Sequence[float] | None,
) -> tuple[Array, Array | None, tuple[float, ...], bool]:
    """Approximate corners, the plan as numbers, turns as drawn, whether the shape is a guess."""
    if plan is not None:
        target = np.array(plan, dtype=float).reshape(-1, 2)
        if len(target) != len(names):
            raise SurveyError(
                f"The plan has {len(target)} corners and the readings {len(names)}: "
                "give each corner of the plan its letter."
            )
        if not np.isfinite(target).all() or abs(signed_area(plan)) < 1:
            raise SurveyError("The plan has no area: draw the room first, or leave it out.")
        check.plan_of(names, target)
        return target.copy(), target, turns_of(plan), False
    if turns is not None:
        given, unsure = check_turns(turns, len(names)), False
    else:
        given, unsure = tried_turns(names, observations)
    return walk(names, observations, given), None, given, unsure


def _room_network(
    names: Sequence[str],
    observations: Sequence[Observation],
    tape: Tape,
    drawn: Sequence[float],
    xy: Array,
) -> Network:
    """Readings, and every corner as drawn: square ones at 0.6 deg, odd ones at three times that."""
    count = len(names)
    stands = [meant(t) for t in drawn]
    angles = [
        (names[(k + 1) % count], names[k], names[k - 1], 180 - (t if s is None else s))
        for k, (t, s) in enumerate(zip(drawn, stands, strict=True))
    ]
    net = network(names, observations, tape, angles=angles)
    legs = np.hypot(*(np.roll(xy, -1, axis=0) - xy).T)
    sd = [
        tape.square_sd(float(legs[k]), float(legs[k - 1])) * (DRAWN if s is None else 1.0)
        for k, s in enumerate(stands)
    ]
    return replace(net, angle_sigma=np.radians(sd))


def _too_few(
    names: Sequence[str], observations: Sequence[Observation], error: UndeterminedError, xy: Array
) -> SurveyError:
    """What is loose, and what to tape: the walls not taped yet, else a diagonal not taken yet."""
    loose = [names[k] for k in error.loose]
    had = check.by_wall(names, observations)
    ring = [(k, (k + 1) % len(names)) for k in range(len(names))]
    walls, across = (
        [f"{names[i]}-{names[j]}" for i, j in pairs if frozenset((names[i], names[j])) not in had]
        for pairs in (ring, [p for p in diagonals(xy) if {*p} & set(error.loose)])
    )
    take = ""
    if walls:
        more = f" and {len(walls) - 4} more walls" if len(walls) > 4 else ""
        take = f" Take {', '.join(walls[:4])}{more}."
    elif across:
        take = f" Take {' or '.join(across[:3])}."
    return SurveyError(f"Too few readings: {', '.join(loose)} can still move.{take}")


def _result(
    names: Sequence[str],
    observations: Sequence[Observation],
    verdict: Verdict,
    target: Array | None,
    tape: Tape,
    unsure: bool,
) -> Survey:
    m, fit = len(observations), verdict.fit
    xy, turn = on_first_wall(fit.xy) if target is None else onto(fit.xy, target)
    covariance = turned(fit.cofactor, turn)
    outline: Outline = tuple((float(x), float(y)) for x, y in xy)
    spread = np.sqrt(np.clip(np.diag(covariance), 0, None)).reshape(-1, 2)
    corners = tuple(
        Corner(n, *outline[k], *_pair(spread[k]), ellipse(_block(covariance, k)))
        for k, n in enumerate(names)
    )
    redundancy, w = fit.tests()
    value, design = fit.net.model(fit.xy)
    readings = _taken(observations, verdict, redundancy, w, value, design)
    used = fit.use[:m] > 0
    r = redundancy[:m][used]
    factor = float(np.sum(w[:m][used] ** 2 * r) / r.sum()) if r.sum() >= 0.5 else None
    rank = _rank(fit.scaled[:m][used], 1e-6 * float(np.max(fit.scaled)))
    following = next_diagonal(
        names, fit.xy, fit.cofactor, fit.scaled[:m][used], fit.net.sigma[used], tape
    )
    done = Survey(
        corners, readings, factor, int(used.sum()) - rank, following, (), outline,
        _can_name(fit, used, redundancy), verdict.how == "square", covariance,
    )  # fmt: skip
    return replace(done, notes=remarks(done, verdict, unsure=unsure, planned=target is not None))


def _rank(rows: Array, tolerance: float) -> int:
    """How many readings say something of their own; many rows are first folded together."""
    if len(rows) > 2 * rows.shape[1]:
        rows = np.asarray(np.linalg.qr(rows, mode="r"))
    return int(np.linalg.matrix_rank(rows, tol=tolerance))


def _pair(values: Array) -> tuple[float, float]:
    return float(values[0]), float(values[1])


def _block(covariance: Array, k: int) -> Array:
    return covariance[2 * k : 2 * k + 2, 2 * k : 2 * k + 2]


def _taken(
    observations: Sequence[Observation],
    verdict: Verdict,
    redundancy: Array,
    w: Array,
    value: Array,
    design: Array,
) -> tuple[Taken, ...]:
    """Each reading with its numbers; one set aside keeps those it was named with."""
    fit = verdict.fit
    sigma = fit.net.sigma
    named = {n.reading: n for n in fit.named}
    by_tape = {n.reading: n.rivals for n in verdict.other.named}
    taken = []
    for k, o in enumerate(observations):
        residual = float(value[k] - o.length)
        if fit.use[k] == 0:
            who: tuple[str, ...] = ()
            if k in named:
                also = {*named[k].rivals, *by_tape.get(k, ())} - {k}
                who = tuple(observations[j].id for j in sorted(also))
            # Against the others: the same numbers as in an adjustment with it alone added.
            spread = float(design[k] @ fit.cofactor @ design[k]) + float(sigma[k]) ** 2
            share, seen = float(sigma[k]) ** 2 / spread, DELTA0 * math.sqrt(spread)
            w_k = residual / math.sqrt(spread)
            taken.append(Taken(o, residual, share, w_k, seen, k in named, True, who, -residual))
        else:
            r = float(redundancy[k])
            seen = DELTA0 * float(sigma[k]) / math.sqrt(r) if r > 0 else math.inf
            taken.append(Taken(o, residual, r, float(w[k]), seen))
    return tuple(taken)


def _can_name(fit: Fit, used: Flags, redundancy: Array) -> bool:
    """Whether an error of TOLD in any one reading would be told from every other, 19 in 20 times.

    The larger of two |w| is the right one with chance Phi(delta sqrt((1 - rho) / 2)), delta the
    error's own w and rho the correlation of the two. One diagonal alone could be a leaning room.
    """
    m, n = len(used), len(fit.xy)
    apart = np.abs(fit.net.ends[used, 0] - fit.net.ends[used, 1])
    across = fit.net.ends[used][(apart != 1) & (apart != n - 1)]
    if len({frozenset(pair) for pair in across.tolist()}) < 2:
        return False
    r = redundancy[:m][used]
    if not len(r) or float(r.min()) <= 0:
        return False
    if len(r) > 400:
        return True
    rows = fit.scaled[:m][used]
    alike = (rows @ fit.cofactor @ rows.T) / np.sqrt(np.outer(r, r))
    np.fill_diagonal(alike, 0)
    delta = TOLD * np.sqrt(r) / fit.net.sigma[used]
    apart_by = delta * np.sqrt((1 - np.minimum(np.abs(alike).max(axis=0), 1)) / 2)
    return bool(apart_by.min() >= NINETEEN_IN_TWENTY)
