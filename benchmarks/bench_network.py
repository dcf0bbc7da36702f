"""The network of 500 activities: its drawing, and a workbook with as many rows read and judged.

The drawing is held against the same marks written by the standard library's own XML, which places
nothing; the workbook against openpyxl alone, which judges nothing.
"""

from __future__ import annotations

import random
from io import BytesIO
from xml.etree import ElementTree

import openpyxl

from roomwright.drawing.network import Bar, Line, network_picture
from roomwright.exchange.grids import read_sheets
from roomwright.exchange.work_sheet import guess, read_work

COUNT, SEED = 500, 7


def _network() -> tuple[list[Bar], list[Line]]:
    pick = random.Random(SEED)
    bars = []
    for i in range(COUNT):
        start = i / 4 + pick.randint(0, 8)
        bars.append(
            Bar(
                f"N{i}",
                f"Work number {i}",
                f"crew {i % 12}",
                start,
                start + pick.randint(1, 5),
                "critical" if i % 9 == 0 else "",
            )
        )
    lines = [
        Line(f"L{i}", f"N{pick.randrange(max(0, i - 20), i)}", f"N{i}", driving=i % 2 == 0)
        for i in range(1, COUNT)
    ]
    return bars, lines


def _workbook() -> bytes:
    book = openpyxl.Workbook()
    book.active.append(("id", "name", "days", "trade", "waits for"))
    for i in range(COUNT):
        book.active.append(
            (f"N{i}", f"Work {i}", 1 + i % 5, f"crew {i % 12}", f"N{i - 1}" if i else None)
        )
    out = BytesIO()
    book.save(out)
    return out.getvalue()


BARS, LINES = _network()
BOOK = _workbook()


def _plain() -> bytes:
    root = ElementTree.Element("svg")
    for bar in BARS:
        held = ElementTree.SubElement(root, "a", {"href": f"?pick={bar.id}"})
        for name in ("rect", "rect"):
            ElementTree.SubElement(held, name, {"x": f"{bar.start:.2f}", "width": "10"})
        ElementTree.SubElement(held, "text", {"x": f"{bar.start:.2f}"}).text = bar.label
    for line in LINES:
        ElementTree.SubElement(root, "path", {"d": "M0 0H1V1H2", "data-link": line.id})
    return ElementTree.tostring(root)


def _read() -> int:
    grids = read_sheets("work.xlsx", BOOK)
    found = read_work(grids, [guess(grid) for grid in grids], {})
    assert not found.errors
    return len(found.activities)


CASES = [
    (
        "network drawn",
        f"{COUNT} activities, {COUNT - 1} links, 12 lanes, seed {SEED}",
        None,
        lambda: network_picture(BARS, LINES, link=lambda i: f"?pick={i}"),
        "the same marks by ElementTree, unplaced",
        _plain,
    ),
    (
        "workbook read and judged",
        f"{COUNT} rows",
        None,
        _read,
        "openpyxl alone",
        lambda: openpyxl.load_workbook(BytesIO(BOOK)),
    ),
]
