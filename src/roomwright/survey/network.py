"""The plain network: distances and angles between points, adjusted by least squares.

Gauss-Newton on coordinates. Without fixed points the datum is free: inner constraints [1]_, so
the points move least and the covariance is the smallest one (minimum trace). Any unit of length;
angles in degrees.

.. [1] P. Meissl, "Zusammenfassung und Ausbau der inneren Fehlertheorie eines Punkthaufens",
   Deutsche Geodaetische Kommission A 61, 1969 (from memory); standard textbook matter.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.sparse import csr_array  # type: ignore[import-untyped]

from roomwright.shape import Point

from .model import DELTA0, Array, Flags, Numbers, Observation, SurveyError, Tape

ROUNDS = 40  # Gauss-Newton steps at most; a room takes 3 to 6
FINE = 1e-10  # a step of this share of the network's size is no step
NEARLY = 1e-6  # nor is one of this share that leaves the sum of squares where it was:
STILL = 1e-9  # less than this share of it gained
FLAT = 1e-3  # a valley this flat after all rounds is its floor
SINGULAR = 1e-9  # a direction held this little, beside the average, is not held
MANY = 600  # from so many observations on, zeros are left out of products
NO_SPARE = 1e-6  # a redundancy number below this is 0


@dataclass(frozen=True, slots=True)
class Adjusted:
    """An adjusted network.

    Attributes
    ----------
    points : ndarray, shape (n, 2)
        Coordinates in the order of `names`.
    covariance : ndarray, shape (2 n, 2 n)
        A priori (from the sigmas given), x and y of each point in turn; 0 for fixed points.
    residuals, redundancy, w, detectable : ndarray, shape (m,)
        Of the distances, then of the angles [deg]: adjusted less observed; share of an error
        that shows; standardized residual; smallest error noticed four times in five.
    variance_factor : float or None
        v'Pv / degrees; None without a degree of freedom.
    """

    names: tuple[str, ...]
    points: Array
    covariance: Array
    residuals: Array
    redundancy: Array
    w: Array
    detectable: Array
    variance_factor: float | None
    degrees: int
    rounds: int
    cofactor: Array = field(repr=False)
    design: Array = field(repr=False)

    def at(self, name: str) -> Point:
        """Adjusted coordinates of a point."""
        x, y = self.points[self.names.index(name)]
        return float(x), float(y)

    def sd(self, name: str, *, posterior: bool = False) -> Point:
        """Standard deviations in x and y; a posteriori, they carry the variance factor."""
        i = 2 * self.names.index(name)
        factor = self.variance_factor if posterior and self.variance_factor is not None else 1.0
        sx, sy = np.sqrt(np.clip(np.diag(self.covariance)[i : i + 2], 0, None) * factor)
        return float(sx), float(sy)


@dataclass(frozen=True, slots=True)
class Network:
    """The numbers of a network: ends of distances, corners of angles, standard deviations.

    `ends` (m, 2) and `corners` (k, 3: from, at, to) index the points; `angles` are anticlockwise
    from the first leg to the second [rad]; `free` says which coordinates may move.
    """

    ends: Numbers
    lengths: Array
    sigma: Array
    corners: Numbers
    angles: Array
    angle_sigma: Array
    free: Flags
    lean: Array  # common to all angles: a room that leans as a whole [rad]; zeros for none

    def model(self, xy: Array) -> tuple[Array, Array]:
        """Computed observations and their derivatives [1, rad per unit] at the coordinates `xy`."""
        m, k, n = len(self.ends), len(self.corners), len(xy)
        value, design = np.empty(m + k), np.zeros((m + k, n, 2))
        rows = np.arange(m)
        i, j = self.ends[:, 0], self.ends[:, 1]
        step = xy[j] - xy[i]
        d = np.hypot(step[:, 0], step[:, 1])
        toward = step / np.where(d > 0, d, 1.0)[:, None]
        value[:m] = d
        design[rows, j] = toward
        design[rows, i] = -toward
        if k:
            rows = np.arange(m, m + k)
            before, at, after = self.corners.T
            p, q = xy[before] - xy[at], xy[after] - xy[at]
            turn = np.arctan2(
                p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0], p[:, 0] * q[:, 0] + p[:, 1] * q[:, 1]
            )
            value[m:] = self.angles + (turn - self.angles + math.pi) % (2 * math.pi) - math.pi
            by_p = _swing(p)
            by_q = _swing(q)
            design[rows, before] -= by_p
            design[rows, after] += by_q
            design[rows, at] += by_p - by_q
        return value, design.reshape(m + k, 2 * n)

    def observed(self) -> Array:
        """Observed distances, then angles [rad]."""
        return np.concatenate([self.lengths, self.angles])

    def weight(self) -> Array:
        """1 / sigma of distances, then angles."""
        return 1 / np.concatenate([self.sigma, self.angle_sigma])

    def scaling(self) -> tuple[Array, float]:
        """What whitens the angles, (k, k), and the logarithm of their covariance's determinant.

        Their covariance is diagonal, and `lean` once more for the whole room.
        """
        root = np.linalg.cholesky(np.diag(self.angle_sigma**2) + np.outer(self.lean, self.lean))
        return np.linalg.inv(root), 2 * float(np.log(np.diag(root)).sum())

    def scaled(self, rows: Array, use: Array, angle_root: Array) -> Array:
        """Rows of misclosures or derivatives in units of their standard deviations."""
        m = len(self.ends)
        by = (use[:m] / self.sigma) if rows.ndim == 1 else (use[:m] / self.sigma)[:, None]
        return np.concatenate([rows[:m] * by, angle_root @ rows[m:]])


def _swing(leg: Array) -> Array:
    """Derivative of a leg's direction by its far end: square to it, over its length."""
    square = leg[:, 0] ** 2 + leg[:, 1] ** 2
    return np.stack([-leg[:, 1], leg[:, 0]], axis=1) / np.where(square > 0, square, 1.0)[:, None]


def datum(xy: Array, free: Flags) -> Array:
    """Orthonormal motions that no distance or angle sees: shifts and a turn, fixed points kept."""
    n = len(xy)
    fixed = ~free.reshape(n, 2)[:, 0]
    if fixed.sum() >= 2:
        return np.zeros((0, 2 * n))
    about = xy[fixed][0] if fixed.any() else xy.mean(axis=0)
    turn = np.stack([-(xy[:, 1] - about[1]), xy[:, 0] - about[0]], axis=1).ravel()
    motions = [turn / max(float(np.linalg.norm(turn)), 1e-300)]
    if not fixed.any():
        motions += [np.tile([1.0, 0.0], n) / math.sqrt(n), np.tile([0.0, 1.0], n) / math.sqrt(n)]
    return np.array(motions)


def solve(net: Network, xy: Array, use: Array) -> tuple[Array, Array, Array, int]:
    """Adjust from the coordinates `xy` with the observations that `use` marks.

    Returns coordinates, cofactor (covariance of all coordinates), scaled design and rounds.
    Raises SurveyError where the observations do not hold the points or do not settle.
    """
    angle_root, _ = net.scaling()
    observed = net.observed()
    value, design = net.model(xy)
    off = net.scaled(observed - value, use, angle_root)
    cost = float(off @ off)
    size = float(np.ptp(xy, axis=0).max()) or 1.0
    for rounds in range(1, ROUNDS + 1):
        step = _step(net, xy, net.scaled(design, use, angle_root), off).reshape(xy.shape)
        reach = float(np.abs(step).max(initial=0.0))
        share = min(1.0, size / reach) if reach > 0 else 1.0
        for _ in range(30):  # a step that makes things worse is halved
            trial = xy + share * step
            value, design = net.model(trial)
            off = net.scaled(observed - value, use, angle_root)
            new = float(off @ off)
            if new <= cost * (1 + 1e-12) + 1e-18 or share * reach <= FINE * size:
                break
            share /= 2
        last = rounds == ROUNDS and cost - new <= FLAT * new
        still = last or (cost - new <= STILL * new and share * reach <= NEARLY * size)
        xy, cost = trial, new
        if still or share * reach <= FINE * size:
            inverse, scaled = _inverse(net, xy, net.scaled(design, use, angle_root))
            return xy, inverse, scaled, rounds
    raise SurveyError(
        "The readings do not settle on one shape. Check the largest ones for a slip "
        "(feet typed as inches, a corner's letter), and take one more diagonal."
    )


def _held(net: Network, xy: Array, scaled: Array) -> tuple[Array, Array, float]:
    """Normal equations with the datum's motions held, what was added to hold them, its scale."""
    scaled[:, ~net.free] = 0
    normal = gram(scaled)
    scale = float(np.trace(normal)) / max(int(net.free.sum()), 1)
    motions = datum(xy, net.free)
    added = motions.T @ motions + np.diag((~net.free).astype(float))
    return normal + scale * added, added, scale


def _step(net: Network, xy: Array, scaled: Array, off: Array) -> Array:
    """The Gauss-Newton step: by Cholesky, and only where that fails by the whole inverse."""
    held, added, scale = _held(net, xy, scaled)
    toward = scaled.T @ off
    try:
        least = float(np.diag(np.linalg.cholesky(held)).min()) ** 2
    except np.linalg.LinAlgError:
        least = 0.0
    if least <= SINGULAR * scale:
        return np.asarray(_inverse_of(held, added, scale) @ toward)
    return np.asarray(np.linalg.solve(held, toward))


def _inverse(net: Network, xy: Array, scaled: Array) -> tuple[Array, Array]:
    """Pseudo-inverse of the normal equations, the datum's motions held, and the scaled design."""
    return _inverse_of(*_held(net, xy, scaled)), scaled


def _inverse_of(held: Array, added: Array, scale: float) -> Array:
    values, vectors = np.linalg.eigh(held)
    if values[0] <= SINGULAR * scale:
        raise UndeterminedError(np.flatnonzero(np.abs(vectors[:, 0]) > 0.1) // 2)
    inverse: Array = (vectors / values) @ vectors.T - added / scale
    return inverse


def gram(rows: Array) -> Array:
    """Rows times themselves; of many rows without the zeros, as a distance moves two points.

    >>> gram(np.array([[1.0, 2.0], [0.0, 3.0]])).tolist()
    [[1.0, 2.0], [2.0, 13.0]]
    """
    if len(rows) < MANY:
        found: Array = rows.T @ rows
        return found
    thin = csr_array(rows)
    full: Array = (thin.T @ thin).toarray()
    return full


def shares(rows: Array, cofactor: Array) -> Array:
    """The diagonal of rows cofactor rows': how far each observation is held by all of them."""
    if len(rows) < MANY:
        held: Array = np.sum((rows @ cofactor) * rows, axis=1)
        return held
    thin = csr_array(rows)
    spread: Array = np.asarray(thin.multiply(thin @ cofactor).sum(axis=1)).ravel()
    return spread


class UndeterminedError(SurveyError):
    """Too few readings: some points can still move."""

    def __init__(self, loose: Numbers) -> None:
        super().__init__("Too few readings: some corners can still move.")
        self.loose = tuple(sorted({int(i) for i in loose}))


def adjust(
    start: Mapping[str, Point],
    observations: Sequence[Observation],
    *,
    tape: Tape | None = None,
    fixed: frozenset[str] = frozenset(),
    angles: Sequence[tuple[str, str, str, float]] = (),
    angle_sigma: float | None = None,
) -> Adjusted:
    """Adjust a network of distances, with angles if there are any, by least squares.

    Parameters
    ----------
    start : Mapping[str, Point]
        Approximate coordinates of every point.
    observations : Sequence[Observation]
        Distances; one without a sigma takes the tape's. Those set aside are left out of the fit.
    tape : Tape, optional
        Standard deviations where none is given.
    fixed : frozenset[str]
        Points that stay where they are. Without any, the datum is free (inner constraints).
    angles : Sequence[tuple[str, str, str, float]]
        From, at, to, and the angle anticlockwise from the first leg to the second [deg].
    angle_sigma : float, optional
        Their standard deviation [deg]; the tape's `square` by default.

    Raises
    ------
    SurveyError
        A point that is not in `start`, or too few observations.

    Examples
    --------
    >>> start = {"A": (0, 0), "B": (120, 0), "P": (60, 70)}
    >>> seen = [Observation("1", "A", "P", 100.0), Observation("2", "B", "P", 100.0)]
    >>> done = adjust(start, seen, fixed=frozenset("AB"))
    >>> [round(v, 6) for v in done.at("P")]
    [60.0, 80.0]
    """
    tape = tape or Tape()
    names = tuple(start)
    net = network(names, observations, tape, fixed, angles, angle_sigma)
    xy = np.array([start[n] for n in names], dtype=float).reshape(-1, 2)
    if not np.isfinite(xy).all():
        raise SurveyError("A corner to start from has no place.")
    use = np.array([not o.set_aside for o in observations] + [True] * len(angles), dtype=float)
    try:
        xy, cofactor, scaled, rounds = solve(net, xy, use)
    except UndeterminedError as error:
        loose = ", ".join(names[i] for i in error.loose)
        raise SurveyError(
            f"Too few readings: {loose} can still move. Take one more to it."
        ) from None
    return describe(names, net, xy, cofactor, scaled, use, rounds)


def network(
    names: Sequence[str],
    observations: Sequence[Observation],
    tape: Tape,
    fixed: frozenset[str] = frozenset(),
    angles: Sequence[tuple[str, str, str, float]] = (),
    angle_sigma: float | None = None,
) -> Network:
    """The numbers of a network; SurveyError where an observation names no known point."""
    number = {name: i for i, name in enumerate(names)}
    try:
        ends = [(number[o.from_], number[o.to]) for o in observations]
        legs = [(number[a], number[b], number[c]) for a, b, c, _ in angles]
        free = np.ones(2 * len(names), dtype=bool)
        for name in fixed:
            free[2 * number[name] : 2 * number[name] + 2] = False
    except KeyError as error:
        raise SurveyError(f"There is no corner {error.args[0]}: {', '.join(names)}.") from None
    sd = tape.square if angle_sigma is None else angle_sigma
    return Network(
        ends=np.array(ends, dtype=np.intp).reshape(-1, 2),
        lengths=np.array([o.length for o in observations], dtype=float),
        sigma=np.array(
            [tape.sd(o.length) if o.sigma is None else o.sigma for o in observations], dtype=float
        ),
        corners=np.array(legs, dtype=np.intp).reshape(-1, 3),
        angles=np.radians(np.array([a[3] for a in angles], dtype=float)),
        angle_sigma=np.full(len(legs), math.radians(sd)),
        free=free,
        lean=np.zeros(len(legs)),
    )


def describe(
    names: Sequence[str],
    net: Network,
    xy: Array,
    cofactor: Array,
    scaled: Array,
    use: Array,
    rounds: int,
) -> Adjusted:
    """Residuals and what they tell, from a solution; angles in degrees."""
    value, _ = net.model(xy)
    sigma = 1 / net.weight()
    v = value - net.observed()
    redundancy = np.clip(1 - shares(scaled, cofactor), 0, 1) * use
    redundancy[redundancy < NO_SPARE] = 0
    root = np.sqrt(redundancy)
    seen = root > 0
    w = np.divide(v / sigma, root, out=np.zeros_like(v), where=seen)
    detectable = np.divide(DELTA0 * sigma, root, out=np.full_like(v, np.inf), where=seen)
    degrees = round(int(use.sum()) - int(net.free.sum()) + len(datum(xy, net.free)))
    factor = float(np.sum((v / sigma * use) ** 2)) / degrees if degrees > 0 else None
    unit = np.concatenate([np.ones(len(net.ends)), np.full(len(net.corners), math.degrees(1))])
    return Adjusted(
        tuple(names), xy, cofactor, v * unit, redundancy, w, detectable * unit,
        factor, degrees, rounds, cofactor, scaled,
    )  # fmt: skip
