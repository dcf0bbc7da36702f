r"""Walls in words: a run of lengths and directions, as a builder walks a room with the tape.

>>> run = parse_run("12 4 1/2 east, 9 south, 12 4 1/2 west, close")
>>> [step.said for step in run.steps], run.closed
(['12\'-4 1/2" east', '9\'-0" south', '12\'-4 1/2" west'], True)
>>> [float(s.heading) for s in parse_run("8 2 at 30 degrees; 6 1 left 45; 4 3 right").steps]
[30.0, 75.0, 345.0]

Steps stand apart by a comma, a semicolon, a line's end, or "then". A direction is a compass word,
left or right of the wall before (90 degrees, or as many as are said after it), ``at 30 degrees``
(counterclockwise from east), or ``straight``. ``left 45`` alone turns without a wall; the next
step goes on from there. A whole number alone can be feet or inches: it is read as the rest of the
run is written, and refused where that does not say it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from roomwright.lengths import LengthError, tape
from roomwright.lengths import parse as parse_length
from roomwright.survey.numerals import NumeralError, digits

MOST_TEXT = 2_000
MOST_STEPS = 100
"""A room of more walls than this is not typed but traced in parts."""

NOT_FEET = 40
"""A whole number over this is inches: no wall is so many feet and no inches by a bare number."""

COMPASS = {
    "east": 0, "e": 0, "northeast": 45, "ne": 45, "north": 90, "n": 90, "northwest": 135, "nw": 135,
    "west": 180, "w": 180, "southwest": 225, "sw": 225, "south": 270, "s": 270, "southeast": 315,
    "se": 315,
}  # fmt: skip
CLOSE = {"close", "close it", "closed", "to start", "to the start", "back", "back to start",
         "back to the start"}  # fmt: skip

_ANGLE = r"(?P<angle>[+-]?[0-9]{1,3}(?:\.[0-9]{1,6})?)\s*(?:degrees|degree|deg|°)?"
_WORD = rf"(?P<word>{'|'.join(sorted(COMPASS, key=len, reverse=True))})"
_AFTER = re.compile(
    rf"(?P<length>.+?)\s*(?:(?:to the|going|due)\s+)?"
    rf"(?:(?<![a-z]){_WORD}|at\s+{_ANGLE}|(?P<on>straight(?: on)?|ahead))$"
)
_BEFORE = re.compile(rf"(?:due\s+)?(?:{_WORD}(?![a-z])|(?P<on>straight|ahead))\s*(?P<length>.+)$")
_SIDE = re.compile(
    rf"(?P<length>.*?)\s*(?:turn\s+)?(?<![a-z])(?P<side>left|right)(?:\s+(?:by\s+)?{_ANGLE})?$"
)
_TWO = re.compile(r"([0-9]+)[\s-]+([0-9]+(?:[\s-]+[0-9]+/[0-9]+)?)")
_BARE = re.compile(r"[0-9]+")


class RunError(ValueError):
    """A step that cannot be understood; `place` is its number, from 1, `text` how it was typed."""

    def __init__(self, message: str, place: int, text: str) -> None:
        super().__init__(f"Wall {place}, “{text[:40]}”: {message}")
        self.place, self.text = place, text


@dataclass(frozen=True, slots=True)
class Step:
    """One wall: its length [in], its heading [degrees counterclockwise from east], in words."""

    length: Fraction
    heading: Fraction
    said: str


@dataclass(frozen=True, slots=True)
class Run:
    """A run of walls; `closed` where it was told to close."""

    steps: tuple[Step, ...]
    closed: bool

    @property
    def said(self) -> str:
        """The run as it was understood, to read back or to type again."""
        return ", ".join([*(step.said for step in self.steps), *(["close"] if self.closed else [])])


def parse_run(text: str, bare: Literal["", "feet", "inches"] = "") -> Run:
    """Understand a run of walls.

    `bare` is how whole numbers alone are read where the run itself does not say it.

    Raises
    ------
    RunError
        naming the first step that cannot be understood, and what to type.
    """
    if len(text) > MOST_TEXT:
        raise RunError(f"{len(text)} characters are too many: {MOST_TEXT} at most.", 1, text)
    parts = [p.strip().lower() for p in re.split(r"[,;\n]|\bthen\b|\.(?=\s|$)", text)]
    parts = [p for p in parts if p]
    if len(parts) > MOST_STEPS:
        raise RunError(f"more than {MOST_STEPS} walls at once.", MOST_STEPS, parts[MOST_STEPS])
    read = [_split(part, k) for k, part in enumerate(parts, 1)]
    style = _style([one.length for one in read]) or bare
    steps: list[Step] = []
    heading: Fraction | None = None
    turned = False
    for k, (part, one) in enumerate(zip(parts, read, strict=True), 1):
        if one.closes:
            if k != len(parts):
                raise RunError("nothing can come after close.", k, part)
            return Run(tuple(steps), True)
        if one.turn is not None:
            if heading is None:
                raise RunError("left and right need a wall before: begin with east.", k, part)
            heading = (heading + one.turn) % 360
        elif one.heading is not None:
            heading = one.heading % 360
        elif not (one.straight or turned):
            raise RunError("say which way: 12 4 1/2 east.", k, part)
        if heading is None:
            raise RunError("say which way the first wall goes: 12 4 1/2 east.", k, part)
        turned = not one.length
        if one.length:
            length = _length(one.length, style, k, part)
            steps.append(Step(length, heading, f"{tape(length, 64)} {way(heading)}"))
    return Run(tuple(steps), False)


def way(heading: Fraction) -> str:
    """A heading in words that can be typed again.

    >>> way(Fraction(270)), way(Fraction(61, 2))
    ('south', 'at 30.5 degrees')
    """
    for word, angle in COMPASS.items():
        if angle == heading and len(word) > 2:
            return word
    return f"at {f'{float(heading):.6f}'.rstrip('0').rstrip('.')} degrees"


@dataclass(frozen=True, slots=True)
class _Said:
    """A step taken apart."""

    length: str = ""
    heading: Fraction | None = None
    turn: Fraction | None = None
    straight: bool = False
    closes: bool = False


def _split(part: str, place: int) -> _Said:
    if part in CLOSE:
        return _Said(closes=True)
    found = _SIDE.fullmatch(part)
    if found:
        angle = Fraction(found["angle"] or 90)
        turn = angle if found["side"] == "left" else -angle
        if not -180 < turn < 180:
            raise RunError("a turn is less than 180 degrees.", place, part)
        return _Said(found["length"], turn=turn)
    found = _AFTER.fullmatch(part)
    if found:
        if found["word"]:
            return _Said(found["length"], Fraction(COMPASS[found["word"]]))
        if found["angle"]:
            return _Said(found["length"], Fraction(found["angle"]))
        return _Said(found["length"], straight=True)
    found = _BEFORE.fullmatch(part)
    if found:
        word = found["word"]
        if word:
            return _Said(found["length"], Fraction(COMPASS[word]))
        return _Said(found["length"], straight=True)
    return _Said(part)


def _style(lengths: list[str]) -> str:
    """How the bare whole numbers of a run are meant: feet, inches, or "" where it is not said."""
    bare = [int(text) for text in lengths if _BARE.fullmatch(text) and len(text) < 9]
    if any(n > NOT_FEET for n in bare):
        return "inches"
    return "feet" if any(_TWO.fullmatch(text) for text in lengths) else ""


def _length(text: str, style: str, place: int, part: str) -> Fraction:
    try:
        words = digits(text.split()) if re.search(r"[a-z]", text) else text
        two = _TWO.fullmatch(words)
        if two:
            words = f"{two[1]}' {two[2]}\""
        elif _BARE.fullmatch(words) and len(words) < 9 and int(words) <= NOT_FEET:
            if not style:
                raise RunError(
                    f"it can be read two ways: {words}'-0\" or {words}\". Type the mark that "
                    "you mean.", place, part,
                )  # fmt: skip
            words += "'" if style == "feet" else '"'
        length = parse_length(words)
    except NumeralError as no:
        raise RunError(str(no), place, part) from no
    except LengthError as no:
        raise RunError(str(no), place, part) from no
    if length <= 0:
        raise RunError("a wall is longer than nothing.", place, part)
    return length
