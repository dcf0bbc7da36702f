"""What the marks of a drawn network mean."""

from __future__ import annotations

from collections.abc import Callable

from roomwright.drawing import ink, typeface
from roomwright.drawing.lanes import PALE, tick

ENTRIES = (
    ("critical", "critical"),
    ("near", "nearly critical"),
    ("", "has days to spare"),
    ("started", "under way"),
    ("done", "done"),
    ("milestone", "milestone"),
    ("tie", "sets the start of what follows"),
    ("now", "today"),
)


def legend(
    top: float, size: float, base: str, color: Callable[..., str], wide: float = 900.0
) -> tuple[str, float, float]:
    """Return the legend, where it ends below, and where it ends to the right [units]."""
    left, y, right = 0.0, top + size, 0.0
    drawn = []
    for kind, words in ENTRIES:
        step = 3.0 * size + typeface.width(words, size) + 1.2 * size
        if left > 0 and left + step > wide:
            left, y = 0.0, y + 1.7 * size
        drawn.append(_mark(kind, left + 0.3 * size, y - 0.33 * size, size, base, color))
        drawn.append(ink.text((left + 3.0 * size, y), words))
        left += step
        right = max(right, left)
    return ink.group(drawn, class_="legend"), y + 0.6 * size, right


def _mark(kind: str, x: float, y: float, size: float, base: str, color: Callable[..., str]) -> str:
    stroke, half = color(), 0.36 * size
    if kind == "tie":
        return ink.line((x, y), (x + 2.2 * size, y), stroke=stroke, stroke_width=0.07 * size)
    if kind == "now":
        return ink.line((x + size, y - size * 0.6), (x + size, y + size * 0.6),
                        stroke=color(ink.ACCENT), stroke_width=0.12 * size,
                        stroke_dasharray=f"{ink.n(0.3 * size)} {ink.n(0.2 * size)}")  # fmt: skip
    if kind == "milestone":
        ring = [(x + size - half, y), (x + size, y - half), (x + size + half, y),
                (x + size, y + half)]  # fmt: skip
        return ink.path(ink.ring(ring), fill="#fff", stroke=stroke, stroke_width=0.07 * size)
    fill = {"critical": f"url(#{base}-critical)", "done": PALE}.get(kind, "#fff")
    box = ink.rect(
        x, y - half, x + 2.2 * size, y + half, fill=fill, stroke=stroke,
        stroke_width=(0.15 if kind == "critical" else 0.07) * size,
        stroke_dasharray=f"{ink.n(0.3 * size)} {ink.n(0.2 * size)}" if kind == "near" else None,
    )  # fmt: skip
    if kind == "done":
        box += tick(x + 1.1 * size, y, 0.8 * size, stroke)
    if kind == "started":
        box += ink.rect(x, y - 0.12 * size, x + 1.1 * size, y + 0.12 * size, fill=stroke)
    return box
