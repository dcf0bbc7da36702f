"""How many people a table seats, by which rule, and where their chairs stand.

Two named rules, which disagree; an answer names the one it used, and tells the other's count.
*24 in. rule*: so many inches a person along each side; from a certain width on there are people
at the ends, who take a corner of each long side; round and oval tops by circumference. The
figures are `seat.width` (24 in.), `seat.corner` (6 in.) and `seat.end_min_width` (36 in.) [common
practice]. *Handbook*: a table of lengths for 4, 6, 8 and 10, one person at each end [1]_.

Legs and leaves change it: legs at the corners take room from every side, a trestle
bars the ends unless knees find room before it; see `docs/seats.md`.

.. [1] Time-Saver Standards, dining, passage behind chairs (table of lengths).
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, TypeVar

from roomwright import figures
from roomwright.fit.features import PLAIN, Features
from roomwright.fit.given import FAR
from roomwright.fit.model import Needs, Piece

T = TypeVar("T")

RULE = "24 in. a person, common practice"
HANDBOOK = "handbook table, Time-Saver Standards"
LENGTH = "seat.length_"
"""Key of a handbook length, followed by how many it seats; a house that goes by it has them."""

Top = Literal["rectangle", "round", "oval", "racetrack"]


@dataclass(frozen=True, slots=True)
class Seats:
    """People at a table: `along` each long side, at each `end`, in all; `spare` length [in].

    `spare` is what a long side leaves beyond a full width for each person who sits along it;
    people at the ends use their corners out of it. `note` says what legs changed.
    """

    along: int
    end: int
    total: int
    spare: float
    rule: str = RULE
    note: str = ""


def seats(
    width: float,
    depth: float,
    needs: Needs,
    *,
    round_top: bool = False,
    top: Top = "rectangle",
    features: Features = PLAIN,
) -> Seats:
    """How many people sit at a table `width` by `depth` [in], by the rule of the house.

    >>> practice = Needs({"seat.width": 24, "seat.corner": 6, "seat.end_min_width": 36})
    >>> [seats(length, 42, practice).total for length in (72, 84, 108)]
    [6, 8, 10]
    >>> seats(84, 42, practice).spare
    12
    >>> seats(60, 60, practice, round_top=True).total
    7
    >>> book = Needs({**practice.figures, **handbook_lengths()})
    >>> seats(84, 42, book).total, seats(84, 42, book).rule
    (6, 'handbook table, Time-Saver Standards')
    """
    if round_top or top == "round":
        width = depth = min(width, depth)
        top = "round"
    by_table = _by_handbook(width, depth, needs, top, features)
    return by_table or _by_width(width, depth, needs, top, features)


def seats_of(piece: Piece, needs: Needs) -> Seats | None:
    """How many people sit at a piece; None while its size is not known."""
    if piece.width is None or piece.depth is None:
        return None
    if not 0 < min(piece.width, piece.depth) <= max(piece.width, piece.depth) <= FAR:
        return None
    form = piece.form
    if form.name == "L" or form.name == "drawn":  # people sit at its edge, wherever it runs
        length = sum(math.dist(a, b) for a, b in _edges(form.outline))
        total = _count(length, needs.get("seat.width") or 24.0)
        return Seats(0, 0, total, 0.0, RULE, "counted along the edge as drawn")
    return seats(piece.width, piece.depth, needs, top=form.name, features=piece.told)


def by_rules(piece: Piece, needs: Needs) -> tuple[tuple[str, int], ...]:
    """What each named rule counts for a piece; they disagree, so both are told.

    >>> practice = Needs({"seat.width": 24, "seat.corner": 6, "seat.end_min_width": 36})
    >>> by_rules(Piece("T1", "dining table", "table", 84, 42), practice)
    (('24 in. a person, common practice', 8), ('handbook table, Time-Saver Standards', 6))
    """
    own = {key: value for key, value in needs.figures.items() if not key.startswith(LENGTH)}
    found: dict[str, int] = {}
    for each in (Needs(own), Needs({**own, **handbook_lengths()})):
        count = seats_of(piece, each)
        if count is not None:
            found.setdefault(count.rule, count.total)
    return tuple(found.items())


@lru_cache(maxsize=1)
def _lengths() -> tuple[tuple[str, float], ...]:
    rows = figures.load().seat_table("handbook").rows
    return tuple((f"{LENGTH}{row.seats}", float(row.least)) for row in rows)


def handbook_lengths() -> Mapping[str, float]:
    """The handbook's least lengths, as figures of a house that goes by them [in].

    >>> handbook_lengths()["seat.length_8"]
    104.0
    """
    return dict(_lengths())


def told_rule(count: Seats | None, needs: Needs) -> str:
    """The rule that counted, and where the house goes by the handbook and it says nothing, that.

    >>> told_rule(seats(84, 35, Needs(handbook_lengths())), Needs(handbook_lengths()))
    "24 in. a person, common practice: the handbook's table has no such top"
    """
    if count is None:
        return ""
    silent = count.rule != HANDBOOK and any(key.startswith(LENGTH) for key in needs.figures)
    return f"{count.rule}: the handbook's table has no such top" if silent else count.rule


def counted(
    tops: Iterable[tuple[T, Seats | None]],
) -> dict[int, list[T]]:
    """Tops by how many sit at them; beside some that the handbook counts only those.

    A top that its table does not have would else seat more than a wider one.
    """
    every = [(top, count) for top, count in tops if count is not None]
    if any(count.rule == HANDBOOK for _, count in every):
        every = [(top, count) for top, count in every if count.rule == HANDBOOK]
    found: dict[int, list[T]] = {}
    for top, count in every:
        found.setdefault(count.total, []).append(top)
    return found


def _by_handbook(
    width: float, depth: float, needs: Needs, top: Top, features: Features
) -> Seats | None:
    """The handbook's count, or None where its table says nothing: a narrow or a curved top."""
    if top != "rectangle" or min(width, depth) < _figure(needs, "seat.end_min_width", 36.0):
        return None
    long = max(width, depth)
    rows = [
        (int(key.removeprefix(LENGTH)), least)
        for key, least in needs.figures.items()
        if key.startswith(LENGTH)
    ]
    if not rows:
        return None
    people, least = max(((n, at) for n, at in rows if at <= long + 1e-9), default=(0, 0.0))
    ends, note = _ends(features, needs)
    if people and not ends:
        people -= 2
    along = max(0, people - (2 if ends else 0)) // 2
    spare = long - least if people else 0.0
    return Seats(along, 1 if ends and people else 0, people, spare, HANDBOOK, note)


def _by_width(width: float, depth: float, needs: Needs, top: Top, features: Features) -> Seats:
    each = needs.get("seat.width") or 24.0  # nobody takes no room: 0 is no figure
    if top != "rectangle":
        edge = edge_length(width, depth, top)
        total = _count(edge, each)
        return Seats(0, 0, total, edge - total * each)
    corner = _figure(needs, "seat.corner", 6.0)
    end_from = _figure(needs, "seat.end_min_width", 36.0)
    long, short = max(width, depth), min(width, depth)
    leg, note = _legs(features, needs)
    ends, barred = _ends(features, needs)
    end = max(1, _count(short - 2 * max(corner, leg), each)) if short >= end_from and ends else 0
    along = _count(long - 2 * max(corner if end else 0.0, leg), each)
    note = barred or (note if leg > (corner if end else 0.0) else "")
    return Seats(along, end, 2 * (along + end), long - along * each, RULE, note)


def _legs(features: Features, needs: Needs) -> tuple[float, str]:
    """How far in from each corner legs keep people [in], and in words."""
    if features.legs != "corners":
        return 0.0, ""
    leg = features.leg if features.leg is not None else _figure(needs, "seat.leg", 3.5)
    return leg, "counted between the legs at its corners"


def _ends(features: Features, needs: Needs) -> tuple[bool, str]:
    """Whether people can sit at the ends: a trestle leaves knees room before it, or not."""
    if features.legs != "trestle":
        return True, ""
    knees = _figure(needs, "kitchen.knee_30", 18.0)
    if features.leg is None:
        return False, "nobody at its ends until it is said how far in its trestles stand"
    if features.leg < knees:
        return False, "nobody at its ends: its trestles leave no room for knees there"
    return True, ""


def edge_length(width: float, depth: float, top: Top) -> float:
    """Length of the edge of a round, oval or racetrack top [in].

    An ellipse by Ramanujan's second formula, wrong by less than a ten-thousandth part.

    >>> round(edge_length(60, 60, "round"), 3), round(edge_length(66, 48, "racetrack"), 3)
    (188.496, 186.796)
    """
    a, b = max(width, depth) / 2, min(width, depth) / 2
    if top == "racetrack":
        return 4 * (a - b) + 2 * math.pi * b
    if a == b:
        return 2 * math.pi * a
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))


def _figure(needs: Needs, key: str, practice: float) -> float:
    said = needs.get(key)
    return practice if said is None else said


def _count(length: float, each: float) -> int:
    """How many widths go into a length; a hair of float rounding does not cost a person."""
    return max(0, math.floor(length / each + 1e-9))


def _edges(
    outline: tuple[tuple[float, float], ...],
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(zip(outline, (*outline[1:], outline[0]), strict=True))
