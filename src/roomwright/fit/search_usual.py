"""What a kind of piece usually is: sizes, place and rooms, from `usual_sizes.toml`.

The file explains its own columns. A kind of one's own takes what the kind that it is like has.
"""

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib import resources

from roomwright.fit.given import Body, Piece, Room
from roomwright.fit.kinds import Kind, kind_of
from roomwright.fit.search_wanted import (
    Extent,
    Place,
    Size,
    Wanted,
    WantedError,
    extent,
    named,
    place,
)


@dataclass(frozen=True, slots=True)
class Usual:
    """What a kind usually is; `rooms` are words in the names and uses of rooms it belongs in."""

    name: str
    shown: str
    place: Place
    rooms: tuple[str, ...]
    width: Extent | None
    depth: Extent | None
    sizes: tuple[Size, ...]
    height: float | None
    leads: tuple[str, ...] = ()
    """Words in the name or use of a room where this kind is looked for first."""


@lru_cache(maxsize=1)
def usual() -> tuple[Usual, ...]:
    """Every kind of the table, in its order."""
    text = resources.files("roomwright.fit").joinpath("usual_sizes.toml").read_text("utf-8")
    return tuple(
        Usual(
            name=row["name"],
            shown=row.get("shown", row["name"]),
            place=place(row["place"]),
            rooms=tuple(row.get("rooms", ())),
            width=extent(row["width"]) if "width" in row else None,
            depth=extent(row["depth"]) if "depth" in row else None,
            sizes=named((name, w, d) for name, w, d in row.get("sizes", ())),
            height=row.get("height"),
            leads=tuple(row.get("leads", ())),
        )
        for row in tomllib.loads(text)["kind"]
    )


def of_kind(kind: str, sort: str = "") -> Usual | None:
    """What a kind usually is, by its own name, else by that of its sort; None if not known.

    >>> of_kind("Dining table, oak").depth.text, of_kind("bed queen", "bed king").sizes[0].name
    ('30..48', 'Twin')
    """
    plain = " ".join(kind.split(",")[0].lower().split())
    by_name = {each.name: each for each in usual()}
    if plain in by_name:
        return by_name[plain]
    shape = next((word for word in ("round", "oval") if word in plain.split()), "")
    if sort == "dining table" and shape:
        return by_name[f"{shape} dining table"]
    for known in (plain, sort):
        if known.startswith("bed ") or known.endswith(" bed"):
            return by_name["bed"]
        begun = [name for name in by_name if known and (known + " ").startswith(name + " ")]
        if begun:
            return by_name[max(begun, key=len)]
    return None


def for_room(room: Room) -> tuple[tuple[Usual, ...], tuple[Usual, ...]]:
    """Kinds that belong in a room, and others that may stand there: none of a bath's elsewhere.

    >>> bath = Room("108", "Hall bath", ((0, 0), (96, 0), (96, 60), (0, 60)))
    >>> [each.name for each in for_room(bath)[0]]
    ['vanity', 'vanity double', 'freestanding tub']
    >>> for_room(bath)[1]
    ()
    """
    said = f"{room.use} {room.name}".lower()
    belongs = [each for each in usual() if any(word in said for word in each.rooms)]
    first = sorted(belongs, key=lambda each: _led(each, f"{room.use}/{room.name}".lower()))
    wet = ("bath", "powder", "toilet", "laundry")
    if any(word in said for word in wet):
        plumbed = [each for each in first if set(each.rooms) & {*wet, "utility"}]
        return tuple(plumbed), ()
    dry = [each for each in usual() if not set(each.rooms) & set(wet)]
    mine = [each for each in first if each in dry]
    return tuple(mine), tuple(each for each in dry if each not in mine)


def _led(kind: Usual, said: str) -> tuple[int, int]:
    """Where a room's words name a use that a kind leads: earlier parts first, then the last word.

    A "study / guest" is a study first; a "bedroom closet" is a closet.

    >>> _led(of_kind("dresser"), "/bedroom closet") < _led(of_kind("bed"), "/bedroom closet")
    True
    """
    parts = re.split(r"[/,&+]| and ", said)
    found = [
        (number, -place)
        for number, part in enumerate(parts)
        for word in kind.leads
        if (place := part.rfind(word)) >= 0
    ]
    return min(found, default=(len(parts), 0))


def like_kind(kind: Kind | None) -> Usual | None:
    """What the kind usually is that a kind of one's own is like; None if it is like none known."""
    if kind is None or not kind.like:
        return None
    return of_kind(kind.like, kind_of(kind.like).name)


def filled(
    wanted: Wanted, sort: str, *, round_top: bool = False, like: Usual | None = None
) -> Wanted:
    """A wish whose empty parts are what its kind usually is, or the kind that it is `like`.

    Raises
    ------
    WantedError
        Where a size is missing and the kind has no usual one.
    """
    known = like or of_kind(wanted.kind, sort)
    if wanted.width is not None and wanted.depth is None and round_top:
        wanted = replace(wanted, depth=wanted.width)
    if not wanted.sizes and (wanted.width is None or wanted.depth is None):
        wanted = _sized(wanted, known)
    if wanted.place is None:
        wanted = replace(wanted, place=Place() if known is None else known.place)
    if wanted.height is None and known is not None:
        wanted = replace(wanted, height=known.height)
    return wanted


def _sized(wanted: Wanted, known: Usual | None) -> Wanted:
    if known is not None and known.sizes and wanted.width is None and wanted.depth is None:
        return replace(wanted, sizes=known.sizes)
    width, depth = wanted.width, wanted.depth
    if known is not None and known.sizes:
        of = known.sizes
        width = width or Extent(min(s.width for s in of), max(s.width for s in of))
        depth = depth or Extent(min(s.depth for s in of), max(s.depth for s in of))
    elif known is not None:
        width, depth = width or known.width, depth or known.depth
    missing = [name for name, given in (("width", width), ("depth", depth)) if given is None]
    if missing:
        raise WantedError(
            f"The usual size of a {wanted.kind} is not known here: give its "
            f"{' and its '.join(missing)}, such as 36..72 by 2."
        )
    return replace(wanted, width=width, depth=depth)


def make_way(
    pieces: Sequence[Piece], fixed: Sequence[Body], room: str, kind: Kind
) -> tuple[str, ...]:
    """Ids of the pieces and fixed things of a room that a new one of a kind takes the place of.

    Another of its sort: a table for a table, a bed for a bed, an island for an island; and what
    stands close to it only because it belongs to it, as a low table to a sofa.
    """

    def same(other: Kind) -> bool:
        if kind.seats or kind.sleeps:
            return other.seats == kind.seats and other.sleeps == kind.sleeps
        if kind.bowls:  # one vanity for another, of one bowl or two
            return other.bowls > 0
        return other.name == kind.name and other.known

    def follows(other: Kind) -> bool:
        return any(near.most and kind.name in map(_sort, near.to) for near in other.near)

    mine = [p.id for p in pieces if p.room in (room, "") and (same(p.sort) or follows(p.sort))]
    built = [body.id for body in fixed if body.room in (room, "") and same(body.sort)]
    return (*mine, *built)


def _sort(name: str) -> str:
    return kind_of(name).name
