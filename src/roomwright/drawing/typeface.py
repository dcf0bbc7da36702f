"""How wide a line of Overpass is: the widths that the font itself gives, read from its file.

The layout of a drawing measures each text before it places it, so page and paper agree on where
everything stands. Kerning is left out: it makes lines a little narrower, never wider by more
than a hair.
"""

from __future__ import annotations

import struct
from functools import lru_cache
from pathlib import Path

FONTS = Path(__file__).resolve().parent.parent / "web" / "static" / "fonts"
"""Folder of the shipped faces; `paper.py` gives it to the typesetter."""

REGULAR = FONTS / "Overpass-Regular.ttf"
BOLD = FONTS / "Overpass-Bold.ttf"

CAP = 0.70
"""Height of a capital or a figure, as a part of the text size."""

DESCENT = 0.22
"""How far letters reach under the line, as a part of the text size."""


@lru_cache(maxsize=2)
def advances(path: Path) -> tuple[dict[int, float], float]:
    """Advance width of each character as a part of the text size, and that of a missing one.

    Read from the tables *cmap* (format 4), *hmtx*, *hhea* and *head* of a TrueType file [1].

    References
    ----------
    [1] OpenType specification 1.9 (ISO/IEC 14496-22), chapters of the tables named.
    """
    data = path.read_bytes()
    count = struct.unpack_from(">H", data, 4)[0]
    table: dict[str, int] = {}
    for i in range(count):
        tag, _, offset, _ = struct.unpack_from(">4sIII", data, 12 + 16 * i)
        table[tag.decode("ascii")] = offset
    per_em = int(struct.unpack_from(">H", data, table["head"] + 18)[0])
    metrics = struct.unpack_from(">H", data, table["hhea"] + 34)[0]

    def advance(glyph: int) -> float:
        at = table["hmtx"] + 4 * min(glyph, metrics - 1)
        wide: int = struct.unpack_from(">H", data, at)[0]
        return wide / per_em

    return {char: advance(glyph) for char, glyph in _characters(data, table["cmap"]).items()}, (
        advance(0)
    )


def _characters(data: bytes, cmap: int) -> dict[int, int]:
    """Character to glyph number, from the first format 4 subtable."""
    tables = struct.unpack_from(">H", data, cmap + 2)[0]
    for i in range(tables):
        start = cmap + struct.unpack_from(">HHI", data, cmap + 4 + 8 * i)[2]
        if struct.unpack_from(">H", data, start)[0] == 4:
            break
    else:
        raise ValueError("the font has no table of characters that can be read (cmap format 4)")
    double = struct.unpack_from(">H", data, start + 6)[0]
    n = double // 2
    ends = struct.unpack_from(f">{n}H", data, start + 14)
    starts = struct.unpack_from(f">{n}H", data, start + 16 + double)
    deltas = struct.unpack_from(f">{n}H", data, start + 16 + 2 * double)
    ranges_at = start + 16 + 3 * double
    ranges = struct.unpack_from(f">{n}H", data, ranges_at)
    found: dict[int, int] = {}
    for k in range(n):
        for char in range(starts[k], ends[k] + 1):
            glyph = char
            if ranges[k]:
                at = ranges_at + 2 * k + ranges[k] + 2 * (char - starts[k])
                glyph = struct.unpack_from(">H", data, at)[0]
                if not glyph:
                    continue
            glyph = (glyph + deltas[k]) & 0xFFFF
            if glyph and char != 0xFFFF:
                found[char] = glyph
    return found


@lru_cache(maxsize=8192)
def width(text: str, size: float, bold: bool = False) -> float:
    """Width of a line of text set at `size`, in the unit of `size`.

    >>> round(width("13 ft 6", 17), 1)
    46.8
    >>> width("Dining", 17, bold=True) > width("Dining", 17)
    True
    """
    table, missing = advances(BOLD if bold else REGULAR)
    return size * sum(table.get(ord(char), missing) for char in text)


def fit(text: str, size: float, room: float, bold: bool = False) -> str:
    """The text, or as much of it as `room` holds with an ellipsis after it.

    >>> fit("Primary walk-in closet", 17, 120)
    'Primary walk…'
    """
    if width(text, size, bold) <= room:
        return text
    while text and width(text + "…", size, bold) > room:
        text = text[:-1]
    return text.rstrip() + "…"
