"""Drawing days, compiled: the counted random numbers and the inverse of each spread."""

from __future__ import annotations

from typing import Any

import numpy as np

from roomwright.chances.compiling import compiled, inlined
from roomwright.chances.draws import Draws
from roomwright.chances.kernel import Block
from roomwright.chances.streams import GOLDEN, MIX_1, MIX_2

_GOLDEN, _MIX_1, _MIX_2 = np.uint64(GOLDEN), np.uint64(MIX_1), np.uint64(MIX_2)
_TO_UNIT = np.float32(2.0**-24)
_HALF = np.float32(0.5)
_TAIL = np.uint32(2**26)
_HIGH = np.uint32(2**32 - 2**26)


@inlined
def _hash(x: Any) -> Any:
    x = (x ^ (x >> np.uint64(30))) * _MIX_1
    x = (x ^ (x >> np.uint64(27))) * _MIX_2
    return np.uint32((x ^ (x >> np.uint64(31))) >> np.uint64(32))


@inlined
def _look_up(table: Any, bits: Any) -> Any:
    """Inverse of a shape at a 32-bit chance, along straight lines between its knots."""
    if bits < _TAIL:
        cell = bits >> np.uint32(16)
        part = np.float32(bits & np.uint32(0xFFFF)) * np.float32(2.0**-16)
    elif bits >= _HIGH:
        cell = np.uint32(np.uint32((bits - _HIGH) >> np.uint32(16)) + np.uint32(2050))
        part = np.float32(bits & np.uint32(0xFFFF)) * np.float32(2.0**-16)
    else:
        cell = np.uint32((bits >> np.uint32(22)) + np.uint32(1025))
        part = np.float32(bits & np.uint32(0x3FFFFF)) * np.float32(2.0**-22)
    low = table[cell]
    return low + part * (table[cell + 1] - low)


@compiled
def draw(first: int, b: int, d: Draws, s: Block) -> None:
    """Draw the days of all uncertain activities for samples `first` to `first + b`."""
    for f in range(d.factor_key.shape[0]):
        key, table = d.factor_key[f], d.tables[d.factor_table[f]]
        for k in range(b):
            bits = _hash(key + np.uint64(first + k + 1) * _GOLDEN)
            s.factors[f, k] = _look_up(table, bits)
    days = s.factors[d.factor_key.shape[0]]
    for r in range(d.place.shape[0]):
        key, least_chance = d.key[r], np.uint64(d.least_chance[r])
        bits = s.bits
        for k in range(b):
            bits[k] = _hash(key + np.uint64(first + k + 1) * _GOLDEN)
        if least_chance > 0:
            for k in range(b):
                rest = np.uint64(bits[k]) * (np.uint64(2**32) - least_chance)
                bits[k] = np.uint32(least_chance + (rest >> np.uint64(32)))
        offset = d.offset[r]
        if d.table[r] < 0:
            bend, rise, fall, top = d.bend[r], d.rise[r], d.fall[r], d.top[r]
            for k in range(b):
                unit = (np.float32(bits[k] >> np.uint32(8)) + _HALF) * _TO_UNIT
                up = unit < bend
                root = np.sqrt(unit * rise if up else (np.float32(1) - unit) * fall)
                days[k] = offset + root if up else top - root
        else:
            table, scale = d.tables[d.table[r]], d.scale[r]
            for k in range(b):
                days[k] = offset + scale * _look_up(table, bits[k])
        for q in range(d.factor_from[r], d.factor_from[r + 1]):
            row = s.factors[d.factor[q]]
            for k in range(b):
                days[k] = days[k] * row[k]
        into, minus, least, cap = s.lasts[d.place[r]], d.minus[r], d.least[r], d.cap[r]
        for k in range(b):
            steps = np.int32(np.int32(days[k] + _HALF) - minus)
            steps = steps if steps > least else least
            into[k] = steps if steps < cap else cap
