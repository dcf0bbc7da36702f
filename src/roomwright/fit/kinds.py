"""Kinds of things and what each of their sides needs, read from `kinds.toml`.

The file explains its own columns. A name that is not in it takes the longest known name that it
begins with ("dining table, oak" is a dining table); a name that begins with none is unknown: it
needs nothing and says so, and is still checked for overlap.
"""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any, Literal

Take = Literal["each", "best", "rest"]

SHAPES = ("round", "square", "rectangular", "oval", "racetrack", "extending")
"""Words before a kind that say its shape, not what it is."""

SIDES = frozenset({"front", "back", "left", "right", "open"})


@dataclass(frozen=True, slots=True)
class Need:
    """What one or more sides of a kind need; see `kinds.toml`."""

    sides: tuple[str, ...]
    figure: str
    use: str
    purpose: str
    take: Take = "each"
    centerline: bool = False
    ignore: frozenset[str] = frozenset()
    wall: bool = False
    governed: bool = False


@dataclass(frozen=True, slots=True)
class Near:
    """How far off the nearest of some other kinds may stand."""

    to: frozenset[str]
    side: str
    face: bool
    least: str
    most: str
    use: str
    purpose: str
    share: str = ""


@dataclass(frozen=True, slots=True)
class Opens:
    """A drawer, a lid or a door of a kind that opens before its front.

    `how`: ``out`` (a drawer), ``down`` (a door that drops), ``hinge`` (one that turns). `reach`
    is the figure of how far it comes out; none: a drawer as deep as its piece but for
    `open.drawer_less`, a leaf as wide as its piece. `person` and `beside` are figures of the
    person before it and beside it; `said` is True where it counts only if features tell it.
    """

    part: str
    how: str
    reach: str = ""
    person: str = ""
    beside: str = ""
    said: bool = False


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of piece or fixed thing."""

    name: str
    seats: bool = False
    serves: bool = False
    loose: bool = False
    sleeps: bool = False
    aisle: bool = False
    bowls: int = 0
    needs: tuple[Need, ...] = ()
    near: tuple[Near, ...] = ()
    opens: tuple[Opens, ...] = ()
    window: str = ""
    own: bool = False
    known: bool = True
    like: str = ""
    """Of a kind of one's own: the kind that it is like, as it was written."""


class KindError(ValueError):
    """A table of kinds that cannot be read; the message says which entry and why."""


def read(text: str) -> dict[str, Kind]:
    """Kinds by name, from the text of a table in the form of `kinds.toml`.

    Raises
    ------
    KindError
        Where an entry has no name, a name twice, or a value that is not known.
    """
    try:
        rows: list[dict[str, Any]] = tomllib.loads(text).get("kind", [])
    except tomllib.TOMLDecodeError as error:
        raise KindError(f"the table of kinds cannot be read: {error}") from error
    found: dict[str, Kind] = {}
    for number, row in enumerate(rows, 1):
        name = str(row.get("name", "")).strip().lower()
        if not name:
            raise KindError(f"kind number {number} has no name")
        kind = _kind(name, row)
        for each in (name, *map(str.lower, row.get("also", ()))):
            if each in found:
                raise KindError(f"the kind {each!r} stands twice in the table")
            found[each] = kind
    return found


def _kind(name: str, row: dict[str, Any]) -> Kind:
    try:
        return Kind(
            name=name,
            seats=bool(row.get("seats", False)),
            serves=bool(row.get("serves", False)),
            loose=bool(row.get("loose", False)),
            sleeps=bool(row.get("sleeps", False)),
            aisle=bool(row.get("aisle", False)),
            bowls=int(row.get("bowls", 0)),
            needs=tuple(_need(each) for each in row.get("need", ())),
            near=tuple(_near(each) for each in row.get("near", ())),
            opens=tuple(_opens(each) for each in row.get("open", ())),
            window=str(row.get("window", "")),
        )
    except (KeyError, TypeError, ValueError) as error:
        raise KindError(f"the kind {name!r}: {error}") from error


def _need(row: dict[str, Any]) -> Need:
    sides = tuple(row["sides"])
    take = row.get("take", "each")
    if not sides or not SIDES.issuperset(sides):
        raise ValueError(f"sides are {', '.join(sorted(SIDES))}, not {sides}")
    if take not in ("each", "best", "rest"):
        raise ValueError(f"take is each, best or rest, not {take!r}")
    return Need(
        sides=sides,
        figure=str(row["figure"]),
        use=str(row["use"]),
        purpose=str(row["purpose"]),
        take=take,
        centerline=row.get("from", "edge") == "centerline",
        ignore=frozenset(map(str.lower, row.get("ignore", ()))),
        wall=bool(row.get("wall", False)),
        governed=bool(row.get("governed", False)),
    )


def _near(row: dict[str, Any]) -> Near:
    return Near(
        to=frozenset(map(str.lower, row["to"])),
        side=str(row.get("side", "")),
        face=bool(row.get("face", False)),
        least=str(row.get("least", "")),
        most=str(row.get("most", "")),
        use=str(row["use"]),
        purpose=str(row["purpose"]),
        share=str(row.get("share", "")),
    )


def _opens(row: dict[str, Any]) -> Opens:
    how = str(row["how"])
    if how not in ("out", "down", "hinge"):
        raise ValueError(f"how is out, down or hinge, not {how!r}")
    return Opens(
        part=str(row["part"]),
        how=how,
        reach=str(row.get("reach", "")),
        person=str(row.get("person", "")),
        beside=str(row.get("beside", "")),
        said=bool(row.get("said", False)),
    )


@lru_cache(maxsize=1)
def table() -> dict[str, Kind]:
    """The kinds that ship with the program, by name."""
    return read(resources.files("roomwright.fit").joinpath("kinds.toml").read_text("utf-8"))


@lru_cache(maxsize=4096)
def kind_of(name: str) -> Kind:
    """The kind called `name`; what stands after a comma is a remark.

    >>> kind_of("Counter, sink wall").name, kind_of("dining table oak").seats
    ('counter', True)
    >>> kind_of("Round coffee table").name
    'coffee table'
    >>> kind_of("pipe organ").known
    False
    """
    plain = " ".join(name.split(",")[0].lower().split())
    known = table()
    words = plain.split(" ")
    if words[0] in SHAPES and plain not in known:
        words = words[1:]
    for count in range(len(words), 0, -1):
        found = known.get(" ".join(words[:count]))
        if found is not None:
            return found
    return Kind(name=plain, known=False)
