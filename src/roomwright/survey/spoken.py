"""Readings as they are typed or said: "A to B 12 4 3/8", "bravo to charlie twelve feet six".

One a line, or separated by ; or a comma. What can be read two ways is refused with both readings.
docs/survey.md describes what is understood. What was understood is echoed by `Spoken.echo`.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import Literal, NoReturn, Protocol

from roomwright.lengths import LengthError, tape
from roomwright.lengths import parse as parse_length

from .numerals import NumeralError, digits

Kind = Literal["wall", "diagonal", "height", "offset"]
MOST_TEXT = 50_000
MOST_READINGS = 2_000
MIDDLE, CEILING = "middle", "ceiling"
ALPHABET = {
    word: word[0].upper()
    for word in [
        *("alpha", "alfa", "bravo", "charlie", "delta", "echo", "foxtrot", "golf", "hotel"),
        *("india", "juliet", "juliett", "kilo", "lima", "mike", "november", "oscar", "papa"),
        *("quebec", "romeo", "sierra", "tango", "uniform", "victor", "whiskey", "whisky"),
        *("xray", "yankee", "zulu"),
    ]
}
"""The spelling alphabet of radio, ICAO Annex 10 vol. II 5.2.1.3 (from memory), usual variants."""

MIDDLES = {"middle", "center", "centre", "mid"}
FILL = {"is", "=", ":", "equals", "reads", "measures", "at", "to", "from", "-", "->", "the"} | {
    "corner"
}
AGAIN = {"again", "repeat", "repeated", "twice"}
LINKS = {"to", "-", "->", "and"}
EDGE_WORDS = {"side", "edge", "jamb", "of"}


class SpokenError(ValueError):
    """A reading that cannot be understood: which one, and the ways it could be meant."""

    def __init__(self, message: str, place: int, text: str, readings: tuple[str, ...] = ()) -> None:
        super().__init__(f"Reading {place}, “{text}”: {message}")
        self.place = place
        self.text = text
        self.readings = readings


@dataclass(frozen=True, slots=True)
class Spoken:
    """One reading as understood: between two corners, a height, or an offset to an opening.

    `length` is exact [in]; `to` is "ceiling" for a height, the opening's name for an offset;
    `edge` is near or far for an offset; `again` that it was called a repeat.
    """

    from_: str
    to: str
    length: Fraction
    kind: Kind
    text: str
    edge: Literal["", "near", "far"] = ""
    again: bool = False

    def echo(self) -> str:
        r"""What was understood, to read back.

        >>> parse("a b 12 4 3/8", "ABCD")[0].echo()
        'A to B: 12\'-4 3/8"'
        """
        edge = f" {self.edge} edge" if self.edge else ""
        return f"{self.from_} to {self.to}{edge}: {tape(self.length, 64)}"


def parse(text: str, corners: Sequence[str], names: Collection[str] = ()) -> tuple[Spoken, ...]:
    r"""Understand many readings.

    Parameters
    ----------
    text : str
        As typed or dictated.
    corners : Sequence[str]
        Corners of the room in order.
    names : Collection[str]
        Openings and windows that offsets may go to, such as D4 and W1.

    Raises
    ------
    SpokenError
        The first reading that cannot be understood, with what it could mean.

    Examples
    --------
    >>> told = parse("A to B 12 4 3/8; bravo charlie twelve feet six and a half", "ABCD")
    >>> [(s.from_, s.to, str(s.length), s.kind) for s in told]
    [('A', 'B', '1187/8', 'wall'), ('B', 'C', '301/2', 'wall')]
    """
    if len(text) > MOST_TEXT:
        raise SpokenError(
            f"{len(text)} characters are too many at once: at most {MOST_TEXT}.", 1, text[:40]
        )
    room = _Room(tuple(corners), {n.casefold(): n for n in names})
    pieces = [p for line in re.split(r"[\n\r;]+", text) for p in _sentences(line, room)]
    if not pieces:
        raise SpokenError("nothing was said: begin with A to B and its length.", 1, "")
    if len(pieces) > MOST_READINGS:
        raise SpokenError(f"more than {MOST_READINGS} readings at once.", MOST_READINGS, "")
    return tuple(room.reading(piece, k) for k, piece in enumerate(pieces, 1))


def _sentences(line: str, room: _Room) -> list[str]:
    """Split at a comma, a full stop or "then" where two places follow: a new reading begins."""
    found, start = [], 0
    for cut in re.finditer(r",|\.(?=\s|$)|\band then\b|\bthen\b", line, re.IGNORECASE):
        rest = line[cut.end() :]
        if not rest.strip() or room.begins(rest):
            found.append(line[start : cut.start()])
            start = cut.end()
    found.append(line[start:])
    return [piece.strip(" \t,.") for piece in found if piece.strip(" \t,.")]


class _Refuse(Protocol):
    """What refuses a reading, with the ways it could be meant."""

    def __call__(self, message: str, readings: tuple[str, ...] = ()) -> NoReturn:
        """Raise SpokenError."""


class _Room:
    """The places that can be named."""

    def __init__(self, corners: tuple[str, ...], names: dict[str, str]) -> None:
        self.corners = corners
        self.by_word = {c.casefold(): c for c in corners}
        self.names = names

    def place(self, word: str) -> str | None:
        """The corner, opening, middle or ceiling that a word names."""
        low = word.casefold()
        if low in self.by_word:
            return self.by_word[low]
        if low in self.names:
            return self.names[low]
        letter = ALPHABET.get(low.replace("-", ""))
        if letter is not None and letter.casefold() in self.by_word:
            return self.by_word[letter.casefold()]
        if low in MIDDLES:
            return MIDDLE
        return low if low in (CEILING, "floor") else None

    def begins(self, rest: str) -> bool:
        """Whether a new reading begins here: two places."""
        words = _words(rest)[:8]
        words = [w for w in words if w.casefold() not in FILL and w.casefold() not in EDGE_WORDS]
        if not words:
            return False
        if self.place(words[0]) is None:
            return self._joined(words[0]) is not None
        after = [w for w in words[1:3] if w.casefold() not in ("near", "far")]
        return bool(after) and self.place(after[0]) is not None

    def _joined(self, word: str) -> tuple[str, str] | None:
        """Two corners written as one word: AB."""
        low = word.casefold()
        ways = [
            (self.by_word[low[:k]], self.by_word[low[k:]])
            for k in range(1, len(low))
            if low[:k] in self.by_word and low[k:] in self.by_word
        ]
        return ways[0] if len(ways) == 1 else None

    def reading(self, piece: str, number: int) -> Spoken:
        """One reading, or SpokenError."""

        def refuse(message: str, readings: tuple[str, ...] = ()) -> NoReturn:
            raise SpokenError(message, number, piece[:80], readings)

        words = _words(piece)
        places: list[str] = []
        edge: Literal["", "near", "far"] = ""
        again = False
        k = 0
        while k < len(words):
            low = words[k].casefold()
            if low in AGAIN:
                again = True
            elif low in ("near", "far"):
                edge = "near" if low == "near" else "far"
            elif low in EDGE_WORDS or low in FILL or (low in LINKS and len(places) < 2):
                pass
            elif len(places) < 2 and (place := self.place(words[k])) is not None:
                places.append(place)
            elif not places and (pair := self._joined(words[k])) is not None:
                places += pair
            else:
                break
            k += 1
        rest = words[k:]
        while rest and rest[-1].casefold() in AGAIN | {"time", "second"}:
            again = again or rest[-1].casefold() in AGAIN | {"second"}
            rest = rest[:-1]
        if len(places) < 2:
            refuse(self._missing(places, rest))
        from_, to, kind = self._kind(places, edge, refuse)
        if not rest:
            refuse(f"no length after {from_} to {to}.")
        k = next((k for k in range(1, len(rest)) if self.begins(" ".join(rest[k:]))), 0)
        if k and rest[k].casefold() != "a":
            refuse(f"another reading seems to begin at “{rest[k]}”: put it on a line of its own.")
        length = _length(rest, refuse)
        return Spoken(from_, to, length, kind, piece, edge, again)

    def _missing(self, places: Sequence[str], rest: Sequence[str]) -> str:
        known = ", ".join([*self.corners, *self.names.values()])
        word = rest[0] if rest else ""
        spelled = {**{w: w for w in ALPHABET}, **self.names}
        spelled |= {low: corner for low, corner in self.by_word.items() if len(low) > 1}
        near = get_close_matches(word.casefold(), [*spelled], n=1, cutoff=0.5)
        hint = f" Did you mean {spelled[near[0]]}?" if near and word else ""
        what = f"“{word}” is no corner or opening here" if word else "two places are needed"
        return f"{what}: say from where to where, then the length. Known: {known}.{hint}"

    def _kind(self, places: list[str], edge: str, refuse: _Refuse) -> tuple[str, str, Kind]:
        a, b = places
        if "floor" in places:
            a, b = (a, b) if b == "floor" else (b, a)
            if b == "floor" and a == CEILING:
                refuse("say where: A to ceiling, or middle to ceiling.")
            refuse("a height goes to the ceiling: A to ceiling.")
        if a == CEILING:
            a, b = b, a
        if b == CEILING:
            if a == CEILING or a in self.names.values():
                refuse("a height is taken at a corner or in the middle: A to ceiling.")
            if edge:
                refuse(f"a height has no {edge} edge.")
            return a, CEILING, "height"
        if MIDDLE in places:
            refuse("the middle is only for heights: middle to ceiling.")
        openings = [p for p in places if p in self.names.values()]
        if openings:
            if len(openings) == 2:
                refuse("an offset starts at a corner: A to D4 near 38 1/2.")
            a, b = (a, b) if b in openings else (b, a)
            if not edge:
                refuse(
                    f"say which edge of {b}: the one near {a}, or the far one.",
                    (f"{a} to {b} near", f"{a} to {b} far"),
                )
            return a, b, "offset"
        if edge:
            refuse(f"{a} to {b} is between corners: near and far are for openings.")
        if a == b:
            refuse(f"from {a} to itself: give two corners.")
        count = len(self.corners)
        apart = abs(self.corners.index(a) - self.corners.index(b))
        return a, b, "wall" if apart in (1, count - 1) else "diagonal"


def _words(text: str) -> list[str]:
    """Words of a piece; A-C and A→C come apart, 4-3/8 and x-ray stay."""
    text = text.replace("→", " to ").replace("–", "-").replace("—", "-").replace("=", " = ")
    text = re.sub(
        r"^(\s*[A-Za-z]{1,2}[0-9]{0,3})\s*-+>?\s*([A-Za-z]{1,2}[0-9]{0,3})\b", r"\1 \2", text
    )
    text = re.sub(r":(?=\s|$)", " ", text)
    return text.split()


def _length(words: list[str], refuse: _Refuse) -> Fraction:
    """The length that the rest of a reading says [in]."""
    try:
        said = digits(words)
    except NumeralError as error:
        refuse(str(error), error.readings)
    bare = re.fullmatch(r"(\d{1,2}) (\d{1,2})", said)
    if bare and int(bare[2]) < 12:
        return Fraction(int(bare[1]) * 12 + int(bare[2]))  # 12 4: feet and inches, as it is said
    try:
        length = parse_length(said)
    except LengthError as error:
        refuse(str(error), error.readings)
    if length <= 0:
        refuse(f"{said} is not more than 0: a reading is.")
    return length
