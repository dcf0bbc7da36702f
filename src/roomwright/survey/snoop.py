"""Which reading is bad: iterated data snooping, and whether square corners may be leaned on.

The reading with the largest |w| over the limit is set aside and the rest adjusted again, until
none is over [1]_; one that turns out to agree with the others after all is taken back.

Corners drawn square are observations too (0.6 deg). They hold a room that has few diagonals, but
a room truly out of square must not put the blame on a tape. So where a reading is over the limit,
or a corner over 2.5 sd, the room is judged three times more: as one that leans as a whole (all
its square corners off alike, by 2 deg sd), as one built roughly (1.5 deg each), and with the
corners let go (5 deg each), where only tape is held against tape. The judgement under which the
readings are likeliest counts. Where two readings or more are blamed, each line that was read more
than once is also tried as a whole: the same slip made twice hides from single tests.

.. [1] W. Baarda 1968; iterated: standard practice, for example K.-R. Koch, "Parameter Estimation
   and Hypothesis Testing in Linear Models", 2nd ed. 1999, section 4.2 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from .model import LIMIT, NEAR, Array, Numbers, SurveyError
from .network import NO_SPARE, Network, shares, solve

BLAME = 14.0  # what a judgement must gain in chi-square to blame one reading more
ROUGH = 2.5  # times 0.6 deg: corners built roughly
LOOSE = 8.0  # times 0.6 deg: corners let go
STRAINED = 2.5  # standard deviations at which a corner drawn square is doubted
LEAN = math.radians(2.0)  # a room out of square as a whole, standard deviation (common practice)
MOST_LINES = 24  # lines read more than once that are tried as a whole
WORK = 4_000_000  # readings x coordinates x lines that are tried
MOST_ASIDE = 12  # more bad readings than this are no longer single slips


How = Literal["square", "leaning", "free"]


@dataclass(frozen=True, slots=True)
class Named:
    """A reading set aside: its number, and its rivals when it was."""

    reading: int
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


@dataclass(frozen=True, slots=True)
class Verdict:
    """The fit that counts, how corners were taken in it, and the fit to hold it against.

    Against a fit with square corners stands the loosest one; against the others the square one.
    """

    fit: Fit
    other: Fit
    how: How


def _tests(
    net: Network, xy: Array, cofactor: Array, scaled: Array, use: Array
) -> tuple[Array, Array]:
    value, _ = net.model(xy)
    v = (value - net.observed()) * net.weight()
    r = np.clip(1 - shares(scaled, cofactor), 0, 1) * use
    r[r < NO_SPARE] = 0
    return r, np.divide(v, np.sqrt(r), out=np.zeros_like(v), where=r > 0)


def snoop(
    net: Network,
    xy: Array,
    use: Array,
    hint: Array,
    prefer: Array | None = None,
    begin: tuple[int, ...] = (),
) -> Fit:
    """Set aside what the others contradict, one after the other.

    Parameters
    ----------
    net, xy, use
        The network, coordinates to start from, and 1 for each observation in use.
    hint : ndarray, shape (m,)
        How far each reading is from the plan [in], to choose among equals; zeros without a plan.
    prefer : ndarray, optional
        |w| from another judgement, to choose among equals first.
    begin : tuple[int, ...]
        Readings set aside to begin with, as a trial.
    """
    m = len(net.ends)
    use = use.copy()
    use[list(begin)] = 0
    named = [Named(k, ()) for k in begin]
    latest: int | None = None
    first: Array | None = None
    tried: set[frozenset[int]] = set()
    while True:
        xy, cofactor, scaled, _ = solve(net, xy, use)
        _, w = _tests(net, xy, cofactor, scaled, use)
        size = np.abs(w[:m])
        first = size if first is None else first
        back = _agrees(net, xy, cofactor, [n.reading for n in named if n.reading != latest])
        if back is not None:
            gone = frozenset(n.reading for n in named) - {back}
            if gone not in tried:
                use[back] = 1
                named = [n for n in named if n.reading != back]
                tried.add(gone)
                continue
        top = int(np.argmax(size))
        full = len(named) >= MOST_ASIDE
        if size[top] <= LIMIT or full:
            over = full and bool(size[top] > LIMIT)
            return Fit(net, xy, cofactor, scaled, use, tuple(named), first, full=over)
        equals = np.flatnonzero(size >= NEAR * size[top])
        latest = _among(equals, size, hint, prefer)
        named.append(Named(latest, tuple(int(k) for k in equals if k != latest)))
        use[latest] = 0
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


def _agrees(net: Network, xy: Array, cofactor: Array, aside: list[int]) -> int | None:
    """A reading set aside earlier that the others agree with after all."""
    if not aside:
        return None
    value, design = net.model(xy)
    for k in aside:
        spread = float(design[k] @ cofactor @ design[k]) + float(net.sigma[k]) ** 2
        if abs(value[k] - net.lengths[k]) <= 0.8 * LIMIT * math.sqrt(spread):
            return k
    return None


def judge(
    net: Network,
    xy: Array,
    use: Array,
    hint: Array,
    lean: Array,
    begin: tuple[int, ...] = (),
) -> Verdict:
    """Snoop with square corners and, if anything is over, with the corners less sure.

    What counts is the judgement that the readings make likeliest: chi-square, the determinants of
    the covariances (a judgement that lets more go must gain by it), and BLAME for each reading
    that it blames. `lean` is how each corner opens when the room leans by one; `begin` are
    readings set aside to begin with, and taken back if they agree.
    """
    tight = snoop(net, xy, use, hint, begin=begin)
    if not len(net.corners) or not (tight.named or _strained(tight)):
        return Verdict(tight, tight, "square")
    first = tight.first
    ways: list[tuple[How, Fit]] = [("square", tight)]
    others: list[tuple[How, Network]] = [
        ("leaning", leaning(net, lean)),
        ("free", let_go(net, ROUGH)),
        ("free", let_go(net)),
    ]
    for name, other in others:
        try:
            ways.append((name, snoop(other, tight.xy, use, hint, first, begin)))
        except SurveyError:
            continue  # let go, it does not settle: no ground to prefer it
    loosest = ways[-1][1]
    if len(tight.named) > 1 and not begin:
        ways += [("square", f) for f in _lines(net, xy, use, hint)]
    how, fit = min(ways, key=lambda way: unlikely(way[1]))
    return Verdict(fit, loosest if how == "square" else tight, how)


def _strained(fit: Fit) -> bool:
    """Whether any corner stands off square by more than chance."""
    _, w = fit.tests()
    return float(np.abs(w[len(fit.net.ends) :]).max()) > STRAINED


def _lines(net: Network, xy: Array, use: Array, hint: Array) -> list[Fit]:
    """Fits without all readings of one line: the same slip made twice hides from single tests."""
    lines: dict[frozenset[int], list[int]] = {}
    for k, (i, j) in enumerate(net.ends.tolist()):
        if use[k]:
            lines.setdefault(frozenset((i, j)), []).append(k)
    fits = []
    m = len(net.ends)
    for group in list(lines.values())[: min(MOST_LINES, WORK // max(net.free.size * m, 1))]:
        if 1 < len(group) <= MOST_ASIDE:
            try:
                fits.append(snoop(net, xy, use, hint, begin=tuple(group)))
            except SurveyError:
                continue  # the room needs this line
    return fits


def leaning(net: Network, lean: Array) -> Network:
    """The same network, for a room that may lean as a whole: all its square corners alike."""
    return replace(net, lean=lean * LEAN)


def let_go(net: Network, factor: float = LOOSE) -> Network:
    """The same network, its corners held `factor` times less to what was drawn."""
    return replace(net, angle_sigma=net.angle_sigma * factor)


def unlikely(fit: Fit) -> float:
    """Minus twice the logarithm of how likely the readings are under a fit, less a constant."""
    net = fit.net
    angle_root, angles = net.scaling()
    value, _ = net.model(fit.xy)
    off = net.scaled(net.observed() - value, fit.use, angle_root)
    m = len(net.ends)
    readings = 2 * float(np.log(net.sigma[fit.use[:m] > 0]).sum())
    spread = np.linalg.eigvalsh(fit.cofactor)
    known = float(-np.log(spread[spread > 1e-9 * spread[-1]]).sum())
    return float(off @ off) + angles + readings + known + BLAME * len(fit.named)
