"""Which reading is bad: iterated data snooping, and whether square corners may be leaned on.

The reading with the largest |w| over the limit is set aside and the rest adjusted again, until
none is over [1]_; one that turns out to agree with the others after all is taken back.

Corners drawn square are observations too (0.6 deg). They hold a room that has few diagonals, but
a room truly out of square must not put the blame on a tape. So readings are judged twice: with
square corners, and with corners let go (5 deg), where tape is held against tape. If both name as
many, square corners only help to tell which. If square corners name more, they are believed only
where two diagonals agree with them for each reading that they alone accuse.

.. [1] W. Baarda 1968; iterated: standard practice, for example K.-R. Koch, "Parameter Estimation
   and Hypothesis Testing in Linear Models", 2nd ed. 1999, section 4.2 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from .model import DELTA0, LIMIT, NEAR, Array, Numbers
from .network import NO_SPARE, Network, solve

LOOSE = 8.0  # times 0.6 deg: corners let go
MOST_ASIDE = 12  # more bad readings than this are no longer single slips


@dataclass(frozen=True, slots=True)
class Named:
    """A reading set aside: its number, w, redundancy, detectable error and rivals at the time."""

    reading: int
    w: float
    redundancy: float
    detectable: float
    rivals: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Fit:
    """Coordinates, cofactor and what the readings in use tell, after snooping."""

    net: Network
    xy: Array
    cofactor: Array
    scaled: Array
    use: Array
    named: tuple[Named, ...]
    first: Array  # |w| of all before any was set aside
    full: bool = False  # stopped at MOST_ASIDE

    def tests(self) -> tuple[Array, Array]:
        """Redundancy numbers and w of distances, then angles."""
        return _tests(self.net, self.xy, self.cofactor, self.scaled, self.use)


def _tests(
    net: Network, xy: Array, cofactor: Array, scaled: Array, use: Array
) -> tuple[Array, Array]:
    value, _ = net.model(xy)
    v = (value - net.observed()) * net.weight()
    r = np.clip(1 - np.sum((scaled @ cofactor) * scaled, axis=1), 0, 1) * use
    r[r < NO_SPARE] = 0
    return r, np.divide(v, np.sqrt(r), out=np.zeros_like(v), where=r > 0)


def snoop(net: Network, xy: Array, use: Array, hint: Array, prefer: Array | None = None) -> Fit:
    """Set aside what the others contradict, one after the other.

    Parameters
    ----------
    net, xy, use
        The network, coordinates to start from, and 1 for each observation in use.
    hint : ndarray, shape (m,)
        How far each reading is from the plan [in], to choose among equals; zeros without a plan.
    prefer : ndarray, optional
        |w| from another judgement, to choose among equals first.
    """
    m = len(net.ends)
    use = use.copy()
    named: list[Named] = []
    first: Array | None = None
    tried: set[frozenset[int]] = set()
    while True:
        xy, cofactor, scaled, _ = solve(net, xy, use)
        r, w = _tests(net, xy, cofactor, scaled, use)
        size = np.abs(w[:m])
        first = size if first is None else first
        back = _agrees(net, xy, cofactor, named)
        if back is not None:
            gone = frozenset(n.reading for n in named) - {back}
            if gone not in tried:
                use[back] = 1
                named = [n for n in named if n.reading != back]
                tried.add(gone)
                continue
        top = int(np.argmax(size))
        if size[top] <= LIMIT:
            return Fit(net, xy, cofactor, scaled, use, tuple(named), first)
        if len(named) >= MOST_ASIDE:
            return Fit(net, xy, cofactor, scaled, use, tuple(named), first, full=True)
        equals = np.flatnonzero(size >= NEAR * size[top])
        top = _among(equals, size, hint, prefer)
        rivals = tuple(int(k) for k in equals if k != top)
        detectable = DELTA0 * float(net.sigma[top]) / math.sqrt(r[top])
        named.append(Named(top, float(w[top]), float(r[top]), detectable, rivals))
        use[top] = 0
        tried.add(frozenset(n.reading for n in named))


def _among(equals: Numbers, size: Array, hint: Array, prefer: Array | None) -> int:
    """The one to set aside among readings whose |w| are much the same."""
    if prefer is not None and len(equals) > 1:
        best = equals[int(np.argmax(prefer[equals]))]
        equals = equals[prefer[equals] >= NEAR * prefer[best]]
        size = prefer
    order = np.sort(hint[equals])[::-1]
    if len(order) > 1 and order[0] > 2 * order[1] and order[0] > 1:
        return int(equals[int(np.argmax(hint[equals]))])
    return int(equals[int(np.argmax(size[equals]))])


def _agrees(net: Network, xy: Array, cofactor: Array, named: list[Named]) -> int | None:
    """A reading set aside earlier that the others agree with after all."""
    if len(named) < 2:
        return None
    value, design = net.model(xy)
    for one in named[:-1]:
        k = one.reading
        spread = float(design[k] @ cofactor @ design[k]) + float(net.sigma[k]) ** 2
        if abs(value[k] - net.lengths[k]) <= 0.8 * LIMIT * math.sqrt(spread):
            return k
    return None


def let_go(net: Network, factor: float = LOOSE) -> Network:
    """The same network, its corners held `factor` times less to what was drawn."""
    return replace(net, angle_sigma=net.angle_sigma * factor)


def judge(net: Network, xy: Array, use: Array, hint: Array) -> tuple[Fit, Fit | None, bool]:
    """Snoop with square corners and, if anything is over, with corners let go.

    Returns the fit that counts, the other one (None if nothing was over), and whether square
    corners are trusted.
    """
    tight = snoop(net, xy, use, hint)
    if not tight.named or not len(net.corners):
        return tight, None, True
    loose = snoop(let_go(net), tight.xy, use, hint, prefer=tight.first)
    extra = len(tight.named) - len(loose.named)
    if extra <= 0 or _square_agrees(net, tight, extra):
        return tight, loose, True
    return loose, tight, False


def _square_agrees(net: Network, tight: Fit, extra: int) -> bool:
    """Whether two diagonals agree with square corners for each reading only these accuse."""
    n = len(net.free) // 2
    used = net.ends[tight.use[: len(net.ends)] > 0]
    apart = np.abs(used[:, 0] - used[:, 1])
    across = used[(apart != 1) & (apart != n - 1)]
    return len({frozenset(pair) for pair in across.tolist()}) >= 2 * extra
