"""Windows for escape from rooms that are slept in: the clear opening against the code's figures.

Net clear opening at least 5.7 sq ft (5.0 where one steps out at grade), 24 in. high and 20 in.
wide, its sill at most 44 in. over the floor [1]_. A clear opening read from the cut sheet or
taped wins; without one it is taken as usual for the type (`window_types.toml`), and the answer is
*measure*, never more. The program never approves: the inspector decides.

References
----------
.. [1] International Residential Code, R310.1 and R310.2, by the edition named in ``figures/``.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal

from roomwright.fit.ground import Ground
from roomwright.fit.model import Finding, Needs, Room, Window, Word
from roomwright.fit.verdicts import EVEN, INSPECTOR, PRACTICE, length
from roomwright.fit.windows import Cover, covers, slept_in
from roomwright.lengths import tape

How = Literal["recorded", "usual", "none", "unknown"]

SQUARE_FOOT = 144.0


@dataclass(frozen=True, slots=True)
class WindowType:
    """How windows of a type open; `why` says why none is counted on."""

    name: str
    words: tuple[str, ...]
    across: float = 0.0
    up: float = 0.0
    less_width: str = ""
    less_height: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Clear:
    """The clear opening of a window [in], and how it is known; `note` says it in words."""

    width: float | None
    height: float | None
    how: How
    note: str

    @property
    def area(self) -> float | None:
        """Its area [sq ft]."""
        if self.width is None or self.height is None:
            return None
        return self.width * self.height / SQUARE_FOOT


@dataclass(frozen=True, slots=True)
class Escape:
    """One window of a room that is slept in, held against the figures for escape.

    `short` says what falls short, in words; empty where nothing is known to.
    """

    window: str
    room: str
    sill: float
    clear: Clear
    word: Word
    text: str
    short: tuple[str, ...] = ()
    covered: tuple[str, ...] = ()


@cache
def window_types() -> tuple[WindowType, ...]:
    """The types of windows, as the data lists them.

    >>> [each.name for each in window_types()][:3]
    ['casement', 'hung window', 'sliding window']
    """
    data = tomllib.loads(files("roomwright.fit").joinpath("window_types.toml").read_text("utf-8"))
    return tuple(
        WindowType(**{**each, "words": tuple(each["words"])}) for each in data["type"]
    )  # fmt: skip


def type_of(window: Window) -> WindowType | None:
    """The type of a window by the words of its `kind`; None where it says nothing known."""
    said = window.kind.lower().replace("-", " ")
    return next((t for t in window_types() if any(word in said for word in t.words)), None)


def clear_opening(window: Window, needs: Needs) -> Clear:
    """The clear opening of a window: as recorded, else as is usual for its type.

    >>> needs = Needs({"window.hung_width": 3.5, "window.hung_height": 4.5})
    >>> hung = Window("W1", (0, 0), (36, 0), 60, 24, "double hung")
    >>> found = clear_opening(hung, needs)
    >>> found.width, found.height, found.how, round(found.area, 2)
    (32.5, 25.5, 'usual', 5.76)
    """
    if window.clear_width is not None and window.clear_height is not None:
        return Clear(window.clear_width, window.clear_height, "recorded", "as recorded")
    sort = type_of(window)
    if sort is None:
        said = f"{window.kind!r} is no type that is known" if window.kind else "its type is not set"
        return Clear(None, None, "unknown", said)
    if sort.why:
        return Clear(None, None, "none", sort.why)
    less = needs.get(sort.less_width), needs.get(sort.less_height)
    if None in less:
        return Clear(None, None, "unknown", f"no figure for a {sort.name}")
    width = max(0.0, sort.across * window.width - (less[0] or 0.0))
    height = max(0.0, sort.up * window.height - (less[1] or 0.0))
    return Clear(width, height, "usual", f"as is usual for a {sort.name}, from memory")


def shortfalls(
    clear: Clear, sill: float, needs: Needs, *, grade: bool = False
) -> tuple[tuple[str, float], ...]:
    r"""What of an opening falls short: the words, and by how much [in, or sq ft for the area].

    >>> figures = {"egress.window_width": 20, "egress.window_height": 24, "egress.sill_max": 44}
    >>> needs = Needs({**figures, "egress.window_area": 5.7})
    >>> shortfalls(Clear(20, 24, "recorded", ""), 45, needs)[0]
    ('its sill is 3\'-9", 3\'-8" at most: 1" too high', 1)
    >>> [round(by, 2) for _, by in shortfalls(Clear(20, 24, "recorded", ""), 44, needs)]
    [2.37]
    """
    found: list[tuple[str, float]] = []
    most = needs.get("egress.sill_max")
    if most is not None and sill > most + EVEN:
        text = f"its sill is {tape(sill)}, {tape(most)} at most: {length(sill - most)} too high"
        found.append((text, sill - most))
    if clear.how == "none":
        return (*found, (clear.note, 0.0))
    for has, key, word in (
        (clear.height, "egress.window_height", "high"),
        (clear.width, "egress.window_width", "wide"),
    ):
        least = needs.get(key)
        if has is not None and least is not None and has < least - EVEN:
            text = f"{tape(has)} {word}, {tape(least)} wanted: short {length(least - has)}"
            found.append((text, least - has))
    least = needs.get("egress.window_area_grade" if grade else "egress.window_area")
    if clear.area is not None and least is not None and clear.area < least - EVEN:
        text = f"{clear.area:.1f} sq ft, {least:g} wanted"
        at_grade = needs.get("egress.window_area_grade")
        if not grade and at_grade is not None and clear.area >= at_grade - EVEN:
            text += f" ({at_grade:.1f} where one steps out at grade)"
        found.append((text, least - clear.area))
    return tuple(found)


def left_by(window: Window, clear: Clear, over: Sequence[Cover]) -> tuple[tuple[Clear, float], ...]:
    """What things that stand before a window leave of its clear opening, with the sill of each.

    Either one climbs over them, so that the highest is the sill, or goes beside them, through the
    widest part of the width that none covers.
    """
    if not over or clear.width is None or clear.height is None:
        return ((clear, window.sill),)
    top = max(cover.body.high for cover in over)
    above = max(0.0, min(clear.height, window.sill + window.height - top))
    beside = max(0.0, min(clear.width, widest_free(window, over)))
    return (
        (Clear(clear.width, above, clear.how, clear.note), max(window.sill, top)),
        (Clear(beside, clear.height, clear.how, clear.note), window.sill),
    )


def widest_free(window: Window, over: Sequence[Cover]) -> float:
    """The widest stretch of a window's width that nothing stands before [in]."""
    at, widest = 0.0, 0.0
    for start, end in sorted(cover.span for cover in over):
        widest, at = max(widest, start - at), max(at, end)
    return max(widest, window.width - at)


def could_serve(window: Window, over: Sequence[Cover], needs: Needs) -> bool:
    """Whether a window may serve for escape with what stands before it, by what is known.

    An unknown type counts as one that may; what is left of it is then judged by its frame.
    """
    clear = clear_opening(window, needs)
    if clear.how == "unknown":
        clear = Clear(window.width, window.height, "unknown", clear.note)
    return any(not shortfalls(left, sill, needs) for left, sill in left_by(window, clear, over))


def escapes(ground: Ground, needs: Needs) -> tuple[Escape, ...]:
    """Every window of the rooms that are slept in, held against the figures for escape."""
    found = []
    for room in ground.space.rooms:
        if slept_in(ground, room):
            for window in ground.space.windows:
                if window.room == room.id:
                    found.append(_escape(window, covers(ground, window, room), needs))
    return tuple(found)


def _escape(window: Window, over: Sequence[Cover], needs: Needs) -> Escape:
    clear = clear_opening(window, needs)
    bare = shortfalls(clear, window.sill, needs)
    tried = [shortfalls(left, sill, needs) for left, sill in left_by(window, clear, over)]
    short = min(tried, key=len)
    names = tuple(cover.body.id for cover in over)
    sure = clear.how in ("recorded", "none") or any("sill" in text for text, _ in bare)
    if short:
        word = Word.SHORT if sure or not bare else Word.MEASURE
    else:
        word = Word.MEETS if clear.how == "recorded" else Word.MEASURE
    return Escape(
        window.id,
        window.room,
        window.sill,
        clear,
        word,
        _said(window, clear, [text for text, _ in short], names if short and not bare else ()),
        tuple(text for text, _ in short),
        names,
    )


def _said(window: Window, clear: Clear, short: Sequence[str], before: Sequence[str]) -> str:
    head = f"Window {window.id}"
    if clear.how == "unknown":
        told = f"{head}: measure its clear opening; {clear.note}"
        return f"{told}{'; ' if short else ''}{'; '.join(short)}. {ASK}"
    if clear.how == "none":
        return f"{head} is not counted on for escape: {'; '.join(short)}. {ASK}"
    size = f"{tape(clear.width or 0)} wide and {tape(clear.height or 0)} high clear, {clear.note}"
    if before:
        size += f", but {' and '.join(before)} stands before it"
    if short:
        return f"{head}: {size}: {'; '.join(short)}. {ASK}"
    told = f"{head}: {size}, {clear.area or 0:.1f} sq ft, sill {tape(window.sill)}"
    if clear.how == "recorded":
        return f"{told}: meets the figures; {INSPECTOR}; {PRACTICE}."
    return f"{told}: enough if that is so. {ASK}"


ASK = f"Read the clear opening off the cut sheet; {INSPECTOR}; {PRACTICE}."


def findings(ground: Ground, needs: Needs) -> tuple[Finding, ...]:
    """Rooms that are slept in whose windows, as bare as they can be, are no escape.

    A room with a door to the outside is left out, and so is one without a window on record; what
    stands before a window is told by `windows.covered`.
    """
    found = []
    for room in ground.space.rooms:
        windows = [w for w in ground.space.windows if w.room == room.id]
        if not windows or not slept_in(ground, room) or _way_out(ground, room):
            continue
        each = [_escape(window, (), needs) for window in windows]
        if any(not one.short for one in each):
            continue
        best = min(each, key=lambda one: (len(one.short), one.word.rank))
        sure = all(one.word is Word.SHORT for one in each)
        text = (
            f"No window of {room.name} is an escape by what is known"
            f"{'' if len(each) == 1 else f' ({len(each)} looked at)'}: {best.text}"
        )
        ids = tuple(one.window for one in each)
        word = Word.SHORT if sure else Word.MEASURE
        found.append(Finding("escape window", word, text, room.id, ids))
    return tuple(found)


def _way_out(ground: Ground, room: Room) -> bool:
    return any(
        each.to == "out" and each.room in (room.id, "") for each in ground.space.openings
    )  # fmt: skip
