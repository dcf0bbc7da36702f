"""What tells a piece from others of its kind: legs, leaves, benches, a chaise, doors, drawers.

Written as phrases with semicolons between: ``legs pedestal; leaf 18``. The words are few, and
each is documented in docs/kinds.md; a phrase that is not understood is kept in `unknown` and named
by the checks, and never stops anything.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

from roomwright.lengths import LengthError, parse

Legs = Literal["", "corners", "pedestal", "trestle"]
Shape = Literal["", "rectangle", "round", "oval", "racetrack"]
Hinge = Literal["", "left", "right", "two", "down"]

SIDES = ("front", "back", "left", "right")
COMPASS = ("north", "south", "east", "west", "northeast", "northwest", "southeast", "southwest")
MOST = 600.0
"""No part of a piece is longer than this [in]; a larger number is a slip of the pen."""


@dataclass(frozen=True, slots=True)
class Wing:
    """A part of an L that comes forward: at its left or right, so wide and so deep in all [in]."""

    side: Literal["left", "right"]
    width: float
    depth: float


@dataclass(frozen=True, slots=True)
class Features:
    """Features as read [in]; what is not said is empty or None.

    `leg` is how far legs at the corners reach in from the ends, or a trestle stands in from them;
    `leaf` what all leaves together add to the longer side; `benches` and `stools` name sides, by
    their own or their compass word; `stools` has how many on each. `seat` is the depth of
    the seat between the wings. `reach` says how far a drawer or a drop door comes out.
    `vent` and `hoses` are the room that they take behind, `viewing` a viewing distance of one's
    own, `screen` the diagonal of a screen. `unknown` are the phrases that were not understood.
    """

    shape: Shape = ""
    legs: Legs = ""
    leg: float | None = None
    leaf: float = 0.0
    benches: frozenset[str] = frozenset()
    stools: tuple[tuple[str, int], ...] = ()
    overhang: float | None = None
    wings: tuple[Wing, ...] = ()
    seat: float | None = None
    hinge: Hinge = ""
    reach: float | None = None
    vent: float = 0.0
    hoses: float = 0.0
    viewing: float | None = None
    screen: float | None = None
    unknown: tuple[str, ...] = ()

    @property
    def behind(self) -> float:
        """The room that a vent and hoses take behind it [in]: the larger of the two."""
        return max(self.vent, self.hoses)


class _UnknownError(ValueError):
    """A phrase that is not understood."""


@lru_cache(maxsize=4096)
def features_of(text: str) -> Features:
    """The features of a piece from what was written; anything strange lands in `unknown`.

    >>> found = features_of("legs pedestal; leaves 2 x 12; bench left")
    >>> found.legs, found.leaf, sorted(found.benches), found.unknown
    ('pedestal', 24.0, ['left'], ())
    >>> features_of("chaise left 36 x 62; seat 38; painted red").unknown
    ('painted red',)
    """
    found = Features()
    for phrase in re.split(r"[;\n]", text[:2000]):
        plain = " ".join(phrase.split())
        if not plain:
            continue
        head, _, rest = plain.partition(" ")
        read = _WORDS.get(head.lower())
        try:
            if read is None:
                raise _UnknownError
            found = read(found, rest.strip().lower())
        except _UnknownError:
            found = replace(found, unknown=(*found.unknown, plain[:60]))
    return found


def _inches(text: str) -> float:
    """A length over 0 [in]."""
    try:
        value = float(parse(text))
    except LengthError as error:
        raise _UnknownError from error
    if not 0 < value <= MOST:
        raise _UnknownError
    return value


def _side(word: str) -> str:
    if word not in (*SIDES, *COMPASS):
        raise _UnknownError
    return word


def _count(text: str) -> int:
    if not re.fullmatch(r"[1-9][0-9]?", text):
        raise _UnknownError
    return int(text)


def _shape(was: Features, rest: str) -> Features:
    shapes: dict[str, Shape] = {
        "round": "round", "oval": "oval", "racetrack": "racetrack", "rectangle": "rectangle",
        "rectangular": "rectangle", "square": "rectangle",
    }  # fmt: skip
    if rest not in shapes:
        raise _UnknownError
    return replace(was, shape=shapes[rest])


def _legs(was: Features, rest: str) -> Features:
    word, _, size = rest.partition(" ")
    names: dict[str, Legs] = {
        "four": "corners", "corners": "corners", "corner": "corners",
        "pedestal": "pedestal", "center": "pedestal", "trestle": "trestle",
    }  # fmt: skip
    if word == "at" and size.startswith("corners"):
        word, size = "corners", size.removeprefix("corners").strip()
    if word not in names:
        raise _UnknownError
    return replace(was, legs=names[word], leg=_inches(size) if size else None)


def _leaf(was: Features, rest: str) -> Features:
    many = re.fullmatch(r"([1-9])\s*[x×]\s*(.+)", rest)
    each = _inches(many.group(2)) * int(many.group(1)) if many else _inches(rest)
    return replace(was, leaf=was.leaf + each)


def _bench(was: Features, rest: str) -> Features:
    sides = [_side(word) for word in re.split(r"[\s,]+|\band\b", rest) if word]
    if not sides:
        raise _UnknownError
    return replace(was, benches=was.benches | set(sides))


def _stools(was: Features, rest: str) -> Features:
    words = rest.split()
    if len(words) not in (1, 2):
        raise _UnknownError
    count = _count(words[1]) if len(words) == 2 else 0
    return replace(was, stools=(*was.stools, (_side(words[0]), count)))


def _wing(was: Features, rest: str) -> Features:
    said = re.fullmatch(r"(left|right|both)\s+(.+?)\s*[x×]\s*(.+)", rest)
    if not said:
        raise _UnknownError
    wide, deep = _inches(said.group(2)), _inches(said.group(3))
    sides: tuple[Literal["left", "right"], ...]
    sides = ("left",) if said[1] == "left" else ("right",) if said[1] == "right" else (
        "left", "right")  # fmt: skip
    if {wing.side for wing in was.wings} & set(sides):
        raise _UnknownError
    return replace(was, wings=(*was.wings, *(Wing(side, wide, deep) for side in sides)))


def _door(was: Features, rest: str) -> Features:
    word, _, more = rest.partition(" ")
    if word in ("hinge", "hinged"):
        word, _, more = more.partition(" ")
    hinges: dict[str, Hinge] = {
        "left": "left", "right": "right", "two": "two", "french": "two", "down": "down",
    }  # fmt: skip
    if word in hinges:
        was = replace(was, hinge=hinges[word])
        return replace(was, reach=_inches(more)) if more else was
    return replace(was, reach=_inches(rest))


def _drawers(was: Features, rest: str) -> Features:
    return replace(was, reach=_inches(rest))


def _length(field: str) -> Callable[[Features, str], Features]:
    def read(was: Features, rest: str) -> Features:
        told = rest.removeprefix("back ").removeprefix("of ")
        return replace(was, **{field: _inches(told)})  # type: ignore[arg-type]

    return read


_WORDS: dict[str, Callable[[Features, str], Features]] = {
    "shape": _shape,
    "legs": _legs,
    "leaf": _leaf,
    "leaves": _leaf,
    "bench": _bench,
    "benches": _bench,
    "stools": _stools,
    "overhang": _length("overhang"),
    "chaise": _wing,
    "l": _wing,
    "return": _wing,
    "seat": _length("seat"),
    "door": _door,
    "doors": _door,
    "hinge": _door,
    "drawer": _drawers,
    "drawers": _drawers,
    "vent": _length("vent"),
    "hoses": _length("hoses"),
    "viewing": _length("viewing"),
    "screen": _length("screen"),
}
WORDS = tuple(sorted(_WORDS))
"""The words that a phrase may begin with."""

EXAMPLES = {
    "bench": "bench left",
    "benches": "benches front back",
    "chaise": "chaise left 36 x 62",
    "door": "door hinge left 24",
    "doors": "doors two",
    "drawer": "drawer 14",
    "drawers": "drawers 18",
    "hinge": "hinge right",
    "hoses": "hoses 4",
    "l": "L right 36 x 90",
    "leaf": "leaf 18",
    "leaves": "leaves 2 x 12",
    "legs": "legs corners 4",
    "overhang": "overhang 12",
    "return": "return left 36 x 90",
    "screen": "screen 65",
    "seat": "seat 38",
    "shape": "shape oval",
    "stools": "stools east 3",
    "vent": "vent 6",
    "viewing": "viewing 96",
}
"""Each word as one says it."""

PLAIN = Features()
"""Nothing said."""


def without_features(name: str) -> str:
    """A built-in thing's name without the phrases that are features.

    >>> without_features("island, stools east 3, overhang 12"), without_features("counter, sink")
    ('island', 'counter, sink')
    """
    first, *rest = name.split(",")
    kept = [phrase for phrase in rest if features_of(phrase).unknown or not phrase.strip()]
    return ",".join([first, *kept])
