"""Random rooms of 4 to 12 corners as drawn and as built, and readings of them with a tape."""

from dataclasses import dataclass

import numpy as np
import shapely

from roomwright.shape import letter
from roomwright.survey import Observation, Tape
from roomwright.survey.following import diagonals

TAPE = Tape()


@dataclass(frozen=True)
class Built:
    """A room: its names, as drawn and as built."""

    names: tuple[str, ...]
    plan: tuple[tuple[float, float], ...]
    true: np.ndarray
    skewed: bool


def _rectilinear(rng, notches):
    """A rectangle with some of its corners cut out by a step: 4 + 2 corners a notch."""
    w, d = rng.uniform(110, 300, 2)
    cut = set(rng.permutation(4)[:notches].tolist())
    ring = []
    for k, (cx, cy) in enumerate([(0, 0), (w, 0), (w, d), (0, d)]):
        if k not in cut:
            ring.append((cx, cy))
            continue
        a, b = rng.uniform(0.15, 0.4) * w, rng.uniform(0.15, 0.4) * d
        x, y = (a if cx == 0 else w - a), (b if cy == 0 else d - b)
        step = [(cx, y), (x, y), (x, cy)]
        ring += step if k in (0, 2) else step[::-1]
    return np.array(ring)


def _skew(rng, ring):
    """A room that is drawn with odd angles: sheared, and some corners moved."""
    shear = np.tan(np.radians(rng.uniform(-15, 15)))
    ring = ring @ np.array([[1, 0], [shear, 1]])
    return ring + rng.uniform(-6, 6, ring.shape)


def room(seed, skewed=None):
    """Room number `seed`; one in three is drawn with odd angles.

    As built: every corner is off by 1/4 in. (sd) each way, walls differ from the drawing by up to
    1/2 in., and the whole room leans by 0.2 deg (sd).
    """
    rng = np.random.default_rng([seed, 1])
    skewed = seed % 3 == 0 if skewed is None else skewed
    while True:
        plan = _rectilinear(rng, int(rng.integers(0, 5)))
        if skewed:
            plan = _skew(rng, plan)
        lean = np.tan(np.radians(rng.normal(0, 0.2)))
        size = 1 + rng.uniform(-0.5, 0.5, 2) / np.ptp(plan, axis=0)
        true = (plan * size) @ np.array([[1, 0], [lean, 1]]) + rng.normal(0, 0.25, plan.shape)
        if shapely.Polygon(plan).is_valid and shapely.Polygon(true).is_valid:
            names = tuple(letter(k) for k in range(len(plan)))
            return Built(names, tuple(map(tuple, plan.tolist())), true, skewed)


def readings(built, seed, *, extra=None, across=None):
    """Every wall once and random diagonals, to 1/16 in., as `TAPE` reads them.

    Two diagonals for every four corners and up to three more; where the room has fewer, some are
    taken twice.
    """
    rng = np.random.default_rng([seed, 2])
    n = len(built.names)
    if across is None:
        extra = int(rng.integers(0, 4)) if extra is None else extra
        every = diagonals(built.true)
        count = -(-n // 2) + extra
        order = [every[k] for k in rng.permutation(len(every))]
        across = (order * (count // max(len(order), 1) + 1))[:count]
    pairs = [(k, (k + 1) % n) for k in range(n)] + list(across)
    found = []
    for k, (i, j) in enumerate(pairs):
        d = float(np.hypot(*(built.true[i] - built.true[j])))
        seen = round((d + rng.normal(0, TAPE.sd(d))) * 16) / 16
        found.append(Observation(f"r{k}", built.names[i], built.names[j], seen))
    return found


def plant(found, seed, least=3.0, most=12.0):
    """The same readings, one of them wrong by `least` to `most` inches; its id and the error."""
    from dataclasses import replace

    rng = np.random.default_rng([seed, 3])
    k = int(rng.integers(len(found)))
    error = float(rng.uniform(least, most) * rng.choice([-1, 1]))
    if found[k].length + error < 12:
        error = abs(error)
    bad = [replace(o, length=o.length + error) if i == k else o for i, o in enumerate(found)]
    return bad, found[k].id, error
