"""What is looked for: a kind of piece, its sizes, where it may stand and what makes way for it.

A wish has one canonical text, so that it can stand in an address, a query's key or a command:

>>> bed = parse("bed; sizes: Queen 60 x 80, King 76 x 80; place: against B; turn: 0")
>>> bed.sizes[1], bed.place
(Size(width=76.0, depth=80.0, name='King'), Place(rule='against', on='B', at=None))
>>> bed.text
'bed; sizes: Queen 60 x 80, King 76 x 80; place: against B; turn: 0'
>>> parse("desk; width: 36..72 by 2; depth: 30; slides: S1 6 x 3").slides
(Slide(piece='S1', along=6.0, out=3.0),)
"""

import math
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import product
from typing import Literal

from roomwright.lengths import LengthError
from roomwright.lengths import parse as inches

Rule = Literal["anywhere", "against", "centered on", "at"]

LARGEST = 600.0
"""No piece is wider or deeper than this [in], our choice."""

MOST_SIZES = 20_000
"""More sizes than this are not weighed in one search, our choice."""

MOST_NAMED = 60
"""More sizes than this are no list that a person reads, our choice."""

MOST_TURNS = 24
"""More turns than this are not tried in one search: every 15 deg, our choice."""

SLIDE_REACH = 48.0
"""A piece may slide this far at most [in], our choice."""


class WantedError(ValueError):
    """A wish that cannot be: the message says which part and what to write."""


@dataclass(frozen=True, slots=True)
class Extent:
    """A dimension from least to most by steps [in]; `step` 0 where it is one size."""

    least: float
    most: float
    step: float = 1.0

    def __post_init__(self) -> None:
        if not 0 < self.least <= self.most <= LARGEST:
            raise WantedError(
                f"a size runs from more than 0 up to {LARGEST:g} in., least first; "
                f"this one runs from {self.least:g} to {self.most:g}"
            )
        if self.step < 0 or (self.step and self.step < 1 / 8):
            raise WantedError(f"steps of {self.step:g} in.: give 1/8 in. or more")

    @property
    def values(self) -> tuple[float, ...]:
        """Every value, least first [in]."""
        if not self.step:
            return (self.least,)
        count = int((self.most - self.least) / self.step + 1e-9)
        return tuple(self.least + k * self.step for k in range(count + 1))

    @property
    def text(self) -> str:
        """As it is written: "36..72 by 2", or "30"."""
        if self.most - self.least < 1e-9:
            return f"{self.least:g}"
        step = "" if self.step == 1 else f" by {self.step:g}"
        return f"{self.least:g}..{self.most:g}{step}"


@dataclass(frozen=True, slots=True)
class Size:
    """A size that a piece comes in, as a cut sheet or a catalogue names it [in]."""

    width: float
    depth: float
    name: str = ""

    def __post_init__(self) -> None:
        if not (0 < self.width <= LARGEST and 0 < self.depth <= LARGEST):
            raise WantedError(
                f"a piece of {self.width:g} by {self.depth:g} in.: give more than 0 and up to "
                f"{LARGEST:g} in. each way"
            )

    @property
    def area(self) -> float:
        """Width times depth [in2]."""
        return self.width * self.depth

    @property
    def text(self) -> str:
        """As it is written: "Queen 60 x 80"."""
        return f"{self.name} {self.width:g} x {self.depth:g}".strip()


@dataclass(frozen=True, slots=True)
class Place:
    """Where a piece may stand.

    `rule` is "anywhere"; "against" a wall with its back (`on` names the wall by letter, or any);
    "centered on" a thing (`on` its id, or a wall's letter); or "at" a point, its center.
    """

    rule: Rule = "anywhere"
    on: str = ""
    at: tuple[float, float] | None = None

    @property
    def text(self) -> str:
        """As it is written."""
        if self.at is not None:
            return f"at {self.at[0]:g} {self.at[1]:g}"
        return f"{self.rule} {self.on}".strip()


@dataclass(frozen=True, slots=True)
class Slide:
    """A piece that may move: so far each way along its back, and out from it [in]."""

    piece: str
    along: float
    out: float = 0.0

    def __post_init__(self) -> None:
        if not (0 <= self.along <= SLIDE_REACH and 0 <= self.out <= SLIDE_REACH):
            raise WantedError(f"{self.piece} may slide 0 to {SLIDE_REACH:g} in. each way")

    @property
    def text(self) -> str:
        """As it is written: "S1 6 x 3"."""
        out = f" x {self.out:g}" if self.out else ""
        return f"{self.piece} {self.along:g}{out}"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A wish; empty parts are filled in from what its kind usually is (`search_usual`).

    `without` are ids of pieces that make way (None: those of the same sort), `turn` the ways its
    back may lie [deg] (none: any wall's direction), `seats` the rule that counts people (none: the
    house's), `features` what tells it from others of its kind, as in pieces.csv.
    """

    kind: str
    width: Extent | None = None
    depth: Extent | None = None
    sizes: tuple[Size, ...] = ()
    height: float | None = None
    place: Place | None = None
    turn: tuple[float, ...] = ()
    without: tuple[str, ...] | None = None
    slides: tuple[Slide, ...] = ()
    seats: Literal["", "24 in. rule", "handbook"] = ""
    features: str = ""

    def __post_init__(self) -> None:
        if not self.kind.strip():
            raise WantedError("say what kind of piece is looked for, such as bed or island")
        if len(self.sizes) > MOST_NAMED:
            raise WantedError(f"{len(self.sizes)} sizes: give up to {MOST_NAMED}")
        ways = [len(extent.values) if extent else 1 for extent in (self.width, self.depth)]
        if ways[0] * ways[1] > MOST_SIZES:
            raise WantedError(
                f"{ways[0] * ways[1]:,} sizes are too many for one search: up to {MOST_SIZES:,}; "
                "narrow one dimension or take larger steps"
            )

    def every_size(self, *, round_top: bool = False) -> tuple[Size, ...]:
        """Every size to weigh, largest first; named sizes as given."""
        if self.sizes:
            found = self.sizes
        elif self.width is not None and round_top:
            found = tuple(Size(value, value) for value in self.width.values)
        elif self.width is not None and self.depth is not None:
            found = tuple(Size(w, d) for w, d in product(self.width.values, self.depth.values))
        else:
            found = ()
        return tuple(sorted(found, key=lambda size: (-size.area, -size.width)))

    @property
    def text(self) -> str:
        """The canonical text; `parse` reads it back."""
        parts = [self.kind]
        for name, extent in (("width", self.width), ("depth", self.depth)):
            if extent is not None:
                parts.append(f"{name}: {extent.text}")
        if self.sizes:
            parts.append("sizes: " + ", ".join(size.text for size in self.sizes))
        if self.height is not None:
            parts.append(f"height: {self.height:g}")
        if self.place is not None:
            parts.append(f"place: {self.place.text}")
        if self.turn:
            parts.append("turn: " + " ".join(f"{turn:g}" for turn in self.turn))
        if self.without is not None:
            parts.append("without: " + ", ".join(self.without))
        if self.slides:
            parts.append("slides: " + ", ".join(slide.text for slide in self.slides))
        if self.seats:
            parts.append(f"seats: {self.seats}")
        if self.features:
            parts.append("features: " + " + ".join(_features(self.features).split("; ")))
        return "; ".join(parts)


def parse(text: str) -> Wanted:
    """A wish from its text.

    Raises
    ------
    WantedError
        With the part that cannot be read and what to write there.
    """
    kind, *rest = (part.strip() for part in text.split(";"))
    given: dict[str, str] = {}
    for part in filter(None, rest):
        name, colon, value = part.partition(":")
        name = name.strip().lower()
        if not colon or name not in _READ:
            raise WantedError(f"{part!r}: write one of {', '.join(_READ)}, then a colon")
        if name in given:
            raise WantedError(f"{name} stands twice")
        given[name] = value.strip()
    return Wanted(kind, **{name: _READ[name](value) for name, value in given.items()})  # type: ignore[arg-type]


def extent(text: str) -> Extent:
    """A dimension: "30", "36..72", "36..72 by 2", with any way to write a length."""
    whole = re.fullmatch(r"(.+?)(?:\s*(?:\.\.|–|\bto\b)\s*(.+?))?(?:\s+by\s+(.+))?", text.strip())
    if whole is None:
        raise WantedError(f"{text!r}: write a size such as 30, or 36..72 by 2")
    least, most, step = whole.groups()
    if most is None:
        return Extent(number(least), number(least), 0.0)
    return Extent(number(least), number(most), 1.0 if step is None else number(step))


def number(text: str) -> float:
    """A length in any way to write it [in]."""
    try:
        return float(inches(text))
    except LengthError as error:
        raise WantedError(str(error)) from error


def sizes(text: str) -> tuple[Size, ...]:
    """Named sizes: "Queen 60 x 80, King 76 x 80"."""
    return tuple(_size(part.strip()) for part in text.split(",") if part.strip())


_SIZE = re.compile(r"\s*(?P<name>.*?)\s*(?P<width>\d[^x×]*?)\s*[x×]\s*(?P<depth>\d.*?)\s*")
_AFTER = re.compile(
    r"\s*(?P<width>\d[^x×]*?)\s*[x×]\s*(?P<depth>[\d\s/.'\"-]+?)\s*(?P<name>[A-Za-z].*)?"
)


def _size(text: str) -> Size:
    found = _AFTER.fullmatch(text) or _SIZE.fullmatch(text)
    if found is None:
        raise WantedError(f"{text!r}: write a size such as Queen 60 x 80")
    name = (found["name"] or "").strip()
    return Size(number(found["width"]), number(found["depth"]), name)


def place(text: str) -> Place:
    """Where it may stand: anywhere, against B, centered on W3, at 120 84."""
    words = text.split()
    if words[:1] == ["anywhere"]:
        return Place()
    if words[:1] == ["against"] and len(named := _unwalled(words[1:])) < 2:
        return Place("against", "".join(named).removeprefix("any"))
    if words[:2] in (["centered", "on"], ["centred", "on"]) and len(words) > 2:
        named = _unwalled(words[2:])
        if len(named) == 1:
            return Place("centered on", named[0])
    if words[:1] == ["at"] and len(words) == 3:
        return Place("at", "", (number(words[1]), number(words[2])))
    raise WantedError(
        f"{text!r}: write anywhere, against, against B, centered on W3, or at 120 84 (its center)"
    )


def _unwalled(words: list[str]) -> list[str]:
    """What is named without the word wall: "wall E", "east wall" and "E" are alike."""
    return [word for word in words if word.lower() != "wall"]


def _turns(text: str) -> tuple[float, ...]:
    try:
        found = dict.fromkeys(float(word) % 360 for word in text.replace(",", " ").split())
    except ValueError:
        raise WantedError(f"{text!r}: turns are degrees, such as 0 90") from None
    if not all(map(math.isfinite, found)):
        raise WantedError(f"{text!r}: turns are degrees, such as 0 90")
    if len(found) > MOST_TURNS:
        raise WantedError(f"{len(found)} turns: give up to {MOST_TURNS}, or none for any wall's")
    return tuple(found)


def _slides(text: str) -> tuple[Slide, ...]:
    found = []
    for part in filter(None, (p.strip() for p in text.split(","))):
        name, _, reach = part.partition(" ")
        along, _, out = re.sub("×", "x", reach).partition("x")
        if not along.strip():
            raise WantedError(f"{part!r}: say how far it may slide, such as S1 6 or S1 6 x 3")
        found.append(Slide(name, number(along), number(out) if out.strip() else 0.0))
    return tuple(found)


def ids(text: str) -> tuple[str, ...]:
    """Ids with commas between them."""
    return tuple(filter(None, (part.strip() for part in text.split(","))))


def _seats(text: str) -> str:
    if text not in ("24 in. rule", "handbook"):
        raise WantedError(f"seats by {text!r}: write 24 in. rule or handbook")
    return text


def _features(text: str) -> str:
    return "; ".join(filter(None, (part.strip() for part in text.split(";"))))


_READ: dict[str, Callable[[str], object]] = {
    "width": extent,
    "depth": extent,
    "sizes": sizes,
    "height": number,
    "place": place,
    "turn": _turns,
    "without": ids,
    "slides": _slides,
    "seats": _seats,
    "features": lambda text: _features(text.replace("+", ";")),
}


def named(sizes: Iterable[tuple[str, float, float]]) -> tuple[Size, ...]:
    """Sizes from name, width and depth."""
    return tuple(Size(width, depth, name) for name, width, depth in sizes)
