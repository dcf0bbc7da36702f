"""The simulation as one would write it first: one sample, one activity, one pass at a time.

Random numbers in whole Python numbers, days in single precision, and `schedule.passes` for each
sample: it shares no loop, no array and no table of calendars with the engine.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction

import numpy as np

from roomwright.chances import Factor, Spread, Uncertain
from roomwright.chances.spreads import knots, table
from roomwright.days import Calendar, day_tick
from roomwright.schedule import Network, Progress, Schedule, passes

one = np.float32
FULL = 2**64


def luck(seed: int, name: str, sample: int) -> int:
    """The upper half of a number of a stream."""
    key = int.from_bytes(
        hashlib.blake2b(f"{seed}:{name}".encode(), digest_size=8).digest(), "little"
    )
    x = (key + (sample + 1) * 0x9E3779B97F4A7C15) % FULL
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9 % FULL
    x = (x ^ (x >> 27)) * 0x94D049BB133111EB % FULL
    return (x ^ (x >> 31)) >> 32


def inverse(shape: tuple[str, float], bits: int) -> np.float32:
    """A table at a chance of so many 2**-32, along a straight line."""
    if bits < 2**26:
        places, part = (bits >> 16) / 65536, bits % 65536 / 65536
        step = 1 / 65536
    elif bits >= 2**32 - 2**26:
        high = bits - (2**32 - 2**26)
        places, part = 1 - 1 / 64 + (high >> 16) / 65536, high % 65536 / 65536
        step = 1 / 65536
    else:
        places, part = (bits >> 22) / 1024, bits % 2**22 / 2**22
        step = 1 / 1024
    at = np.searchsorted(knots(), places - step / 2)
    low, high = table(shape)[at : at + 2].astype(one)
    return low + one(part) * (high - low)


def drawn(spread: Spread, bits: int, unit: float) -> np.float32:
    """Days in steps, before factors."""
    low, likely, high = (d * unit for d in (spread.low, spread.likely, spread.high))
    if low == high:
        return one(likely)
    if spread.kind != "triangular":
        offset, scale = spread.place
        return one(offset * unit) + one(scale * unit) * inverse(spread.shape, bits)
    chance, wide = (one(bits >> 8) + one(0.5)) * one(2.0**-24), high - low
    if chance < one((likely - low) / wide):
        return one(low) + np.sqrt(chance * one(wide * (likely - low)))
    return one(high) - np.sqrt((one(1) - chance) * one(wide * (high - likely)))


def lasting(
    network: Network,
    calendar: Calendar,
    uncertain: Iterable[Uncertain],
    factors: Iterable[Factor],
    sample: int,
    *,
    as_of: date,
    told: Mapping[str, Progress],
    seed: int,
) -> dict[str, int]:
    """Half days from now on of each uncertain activity that is not finished."""
    shared = {
        f.name: inverse(("factor", f.sigma), luck(seed, f"factor {f.name}", sample))
        for f in factors
    }
    found = {}
    for u in uncertain:
        activity, known = network[u.activity], told.get(u.activity, Progress())
        if known.finished or (known.started and activity.days == 0) or known.days_left == 0:
            continue
        unit, gone, least, bits = 2.0, 0, 1, luck(seed, u.luck or u.activity, sample)
        if known.started and known.days_left is not None:
            unit *= float(known.days_left) / float(activity.days)
        elif known.started:
            own = (activity.calendar or calendar).axis()
            start = day_tick(known.started)
            now = max(day_tick(as_of), calendar.axis().opens(0), start)
            gone = own.worked(now) - own.worked(start)
            if gone:
                behind = min(int(u.spread.chance_within(gone / 2) * 2**32), 2**32 - 1)
                bits = behind + (bits * (2**32 - behind) >> 32)
        days = drawn(u.spread, bits, unit)
        for name in u.factors:
            days = days * shared[name]
        found[u.activity] = max(int(days + one(0.5)) - gone, least)
    return found


def one_pass(
    network: Network,
    calendar: Calendar,
    left: Mapping[str, int],
    *,
    as_of: date,
    told: Mapping[str, Progress],
    not_before: Mapping[str, float],
) -> Schedule:
    """Both passes with so many half days left for each."""
    progress, days = dict(told), {}
    for id, half in left.items():
        if id in told:
            progress[id] = Progress(told[id].started, None, Fraction(half, 2))
        else:
            days[id] = Fraction(half, 2)
    return passes(network.lasting(days), calendar, as_of, progress, not_before=not_before)
