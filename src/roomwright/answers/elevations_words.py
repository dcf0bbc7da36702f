"""The walls of a room in words: headings, heights against the datum, what heights decide."""

from __future__ import annotations

import re
from collections.abc import Iterable

from roomwright.answers.elevations import Height, RoomWalls
from roomwright.fit.model import Word
from roomwright.fit.sight import Eye
from roomwright.fit.wall_views import WallView
from roomwright.lengths import tape


def heading(view: WallView) -> str:
    r"""What stands over the picture of a wall.

    >>> heading(WallView("A", "south", (144, 0), (0, 0), corners=("B", "A")))
    'Wall A, south, 12\'-0", corner B to A'
    """
    left, right = view.corners
    return f"Wall {view.letter}, {view.side}, {tape(view.length)}, corner {left} to {right}"


def against(found: RoomWalls, each: Height) -> str:
    """The bottom and the top of a thing against the datum line: over (+) and under (-) it."""
    if found.datum is None:
        return ""
    ends = [each.low, each.high] if each.low > 0 else [each.high]
    told = []
    for end in ends:
        if end is not None:
            off = end - found.datum
            told.append(
                "on it" if abs(off) < 1 / 32 else f"{'+' if off > 0 else '-'} {tape(abs(off))}"
            )
    return ", ".join(told)


def parts(found: RoomWalls) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What heights decide, under headings; those with nothing to say are left out."""
    seated = together((s.text, s.ids[-1]) for s in found.sights if s.kind == "seated")
    standing = together((s.text, s.ids[-1]) for s in found.sights if s.kind == "standing")
    tops = tuple(s.text for s in found.sights if s.kind not in ("seated", "standing"))
    given = (
        ("What you see, seated", seated),
        ("What you see, standing", standing),
        ("Tops, sills and cabinets", tops),
        ("Windows for escape", together((e.text, e.window) for e in found.escapes)),
        ("Ask about the glass", tuple(q.text for q in found.questions)),
        ("Measure", found.unmeasured),
    )
    return tuple((head, lines) for head, lines in given if lines)


def together(told: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """Sentences that differ by the window they are about only, as one for all of them.

    >>> together([("Window W1: fixed.", "W1"), ("Window W2: fixed.", "W2"), ("No.", "W3")])
    ('Windows W1 and W2: fixed.', 'No.')
    """
    groups: dict[str, list[str]] = {}
    for text, window in told:
        pattern = re.sub(rf"\b{re.escape(window)}\b", "\0", text)
        groups.setdefault(pattern, []).append(window)
    found = []
    for pattern, windows in groups.items():
        names = " and ".join(filter(None, (", ".join(windows[:-1]), windows[-1])))
        if len(windows) > 1:
            pattern = pattern.replace("Window \0", "Windows \0")
        found.append(pattern.replace("\0", names))
    return tuple(found)


def cautions(found: RoomWalls) -> tuple[str, ...]:
    """What can hurt somebody, without the ending that every caution has."""
    told = [f.text for f in found.cautions]
    if any(e.word in (Word.SHORT, Word.MEASURE) for e in found.escapes):
        told.append(
            "People sleep in this room: one window must open wide enough to climb out of, and must "
            "stay free."
        )
    if found.questions:
        told.append("Glass that people can fall against must be safety glazing where code says so.")
    return tuple(told)


def eye_words(eye: Eye) -> str:
    r"""The eye and its range of heights.

    >>> eye_words(Eye("standing", 59, 69))
    'standing eye 4\'-11" to 5\'-9"'
    """
    return f"{eye.name} eye {tape(eye.low)} to {tape(eye.high)}"


def said(found: RoomWalls, view: WallView) -> str:
    """The wall in words, for those who do not see the drawing."""
    told = [
        f"Wall {view.letter}, {view.side}, of {found.title} from inside, {tape(view.length)} long, "
        f"from corner {view.corners[0]} at the left to corner {view.corners[1]}."
    ]
    if view.ceiling:
        heights = sorted({round(y, 3) for _, y in view.ceiling})
        told.append(
            "Ceiling " + " to ".join(tape(h) for h in (heights[0], *heights[1:][-1:])) + "."
        )
    for seen in view.things:
        place = f"{tape(seen.left)} to {tape(seen.right)} from the left"
        if seen.high is None:
            told.append(f"{seen.name} {seen.id}, {place}, height not known.")
        elif seen.low > 0:
            told.append(
                f"{seen.name} {seen.id}, {place}, from {tape(seen.low)} up to {tape(seen.high)}."
            )
        else:
            told.append(f"{seen.name} {seen.id}, {place}, up to {tape(seen.high)}.")
    return " ".join(told)
