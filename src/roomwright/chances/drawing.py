"""Drawing days, compiled: the counted random numbers and the inverse of each spread."""

from __future__ import annotations

from typing import Any

import numpy as np

from roomwright.chances.compiling import compiled
from roomwright.chances.draws import Draws
from roomwright.chances.streams import GOLDEN, MIX_1, MIX_2

_GOLDEN, _MIX_1, _MIX_2 = np.uint64(GOLDEN), np.uint64(MIX_1), np.uint64(MIX_2)
_TO_UNIT = np.float32(2.0**-24)
_HALF = np.float32(0.5)
_WHOLE = np.float32(1)
_TAIL = np.uint32(2**26)
_HIGH = np.uint32(2**32 - 2**26)


@compiled()
def _hash(x: Any) -> Any:
    x = (x ^ (x >> np.uint64(30))) * _MIX_1
    x = (x ^ (x >> np.uint64(27))) * _MIX_2
    return np.uint32((x ^ (x >> np.uint64(31))) >> np.uint64(32))


@compiled()
def _look_up(tables: Any, table: Any, bits: Any) -> Any:
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
    low = tables[table, cell]
    return low + part * (tables[table, cell + np.uint32(1)] - low)


@compiled("u4[::1] u8 i8 i8")
def _hashed(bits: Any, key: Any, first: int, b: int) -> None:
    """Write the upper halves of the numbers `first` to `first + b` of a stream."""
    at = key + np.uint64(first + 1) * _GOLDEN
    for k in range(np.uint64(b)):
        bits[k] = _hash(at + k * _GOLDEN)


@compiled("u4[::1] u8 i8")
def _squeezed(bits: Any, least: Any, b: int) -> None:
    """Squeeze chances into what lies above a least one."""
    wide = np.uint64(2**32) - least
    for k in range(np.uint64(b)):
        bits[k] = np.uint32(least + ((np.uint64(bits[k]) * wide) >> np.uint64(32)))


@compiled("f4[:,::1] i8 u4[::1] f4 f4 f4 f4 f4 i8")
def _triangle(
    days: Any, i: int, bits: Any, offset: Any, bend: Any, rise: Any, fall: Any, top: Any, b: int
) -> None:
    for k in range(np.uint64(b)):
        unit = (np.float32(np.int32(bits[k] >> np.uint32(8))) + _HALF) * _TO_UNIT
        up = unit < bend
        root = np.sqrt(unit * rise if up else (_WHOLE - unit) * fall)
        days[i, k] = offset + root if up else top - root


@compiled("f4[:,::1] i8 f4[:,::1] i8 u4[::1] i8")
def _looked_up(days: Any, i: int, tables: Any, table: Any, bits: Any, b: int) -> None:
    for k in range(np.uint64(b)):
        days[i, k] = _look_up(tables, table, bits[k])


@compiled("f4[:,::1] i8 f4 f4 i8")
def _placed(days: Any, i: int, offset: Any, scale: Any, b: int) -> None:
    for k in range(np.uint64(b)):
        days[i, k] = offset + scale * days[i, k]


@compiled("f4[:,::1] i8 i8 i8")
def _times(days: Any, i: int, j: int, b: int) -> None:
    for k in range(np.uint64(b)):
        days[i, k] = days[i, k] * days[j, k]


@compiled("rows i8 f4[:,::1] i8 i4 i4 i4 f4 i8")
def _rounded(
    w: Any, row: int, days: Any, i: int, minus: Any, least: Any, cap: Any, most: Any, b: int
) -> None:
    """Round to whole steps what is not behind it, within limits."""
    for k in range(np.uint64(b)):
        x = days[i, k]
        x = x if x < most else most
        steps = np.int32(np.int32(x + _HALF) - minus)
        steps = steps if steps > least else least
        w[row, k] = steps if steps < cap else cap


@compiled()
def draw(first: int, b: int, at: int, d: Draws, w: Any, factors: Any, bits: Any) -> None:
    """Draw the days of all uncertain activities for samples `first` to `first + b`."""
    for f in range(d.factor_key.shape[0]):
        _hashed(bits, d.factor_key[f], first, b)
        _looked_up(factors, f, d.tables, d.factor_table[f], bits, b)
    days = d.factor_key.shape[0]
    for r in range(d.place.shape[0]):
        _hashed(bits, d.key[r], first, b)
        if d.least_chance[r] > 0:
            _squeezed(bits, d.least_chance[r], b)
        if d.table[r] < 0:
            _triangle(
                factors, days, bits, d.offset[r], d.bend[r], d.rise[r], d.fall[r], d.top[r], b
            )
        else:
            _looked_up(factors, days, d.tables, d.table[r], bits, b)
            _placed(factors, days, d.offset[r], d.scale[r], b)
        for q in range(d.factor_from[r], d.factor_from[r + 1]):
            _times(factors, days, d.factor[q], b)
        _rounded(w, at + d.place[r], factors, days, d.minus[r], d.least[r], d.cap[r], d.most, b)
