"""Networks to begin with: a kitchen, a bath, a whole finish phase, scaled to the house's rooms.

Cut out of the starter's own tables of work, so that there is one list of what comes after what.
"""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Any

from .questions import StarterError
from .rows import Row, rows
from .work import Link, closed

WHATS = ("kitchen", "bath", "whole")
FLOOR_FLAG = (("tile", "tile"), ("wood", "wood"), ("vinyl", "vinyl"), ("carpet", "carpet"))
WET = ("bath", "primary-bath", "powder")
LEAST, MOST_TIMES = Fraction(1, 4), Fraction(4)
"""Days shrink and grow no further than this; a bath of 20 sq ft is not tiled in no time."""


@dataclass(frozen=True, slots=True)
class Place:
    """A room as the starter sees it: what kind it is, its floor in words, its area [sq ft]."""

    id: str
    kind: str
    floor: str = ""
    sq_ft: float = 0.0
    stair: bool = False


@dataclass(frozen=True, slots=True)
class Work:
    """An activity to begin with; days in working days, `rooms` are ids or ``("all",)``."""

    id: str
    name: str
    low: Fraction
    likely: Fraction
    high: Fraction
    trade: str
    rooms: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class Begun:
    """A network to begin with: its work, its links, and the rows of the classes it needs."""

    works: tuple[Work, ...]
    links: tuple[Link, ...]
    classes: tuple[Row, ...]
    companions: tuple[Row, ...]
    lines: tuple[tuple[str, str, int, str], ...]
    """Parts: room, class, how many, note."""
    basis: str


@cache
def _table() -> dict[str, Any]:
    text = files(__package__).joinpath("data", "networks.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def says(what: str) -> str:
    """Return what a network to begin with covers.

    >>> says("kitchen")
    'a kitchen from cabinets delivered to appliances run'
    """
    return str(_table()[what]["says"])


def network_for(
    what: str, places: Sequence[Place], *, fuel: str = "electric", shower: bool = False,
    whole_house: bool = False,
) -> Begun:  # fmt: skip
    """Return the work of a kitchen, a bath or a whole finish phase for these rooms.

    Parameters
    ----------
    places : sequence of Place
        the rooms it is for; of a whole house all of them
    fuel : str
        gas or electric
    shower : bool
        whether a bath of these has a shower with glass
    whole_house : bool
        whether work that goes through the whole house is in ``all``

    Raises
    ------
    StarterError
        if there is no such network, or no room that it is for

    Examples
    --------
    >>> made = network_for("bath", [Place("203", "bath", "tile", 60.0)])
    >>> [(w.id, float(w.likely)) for w in made.works][:3]
    [('T20', 1.5), ('T30', 1.0), ('T40', 2.5)]
    """
    if what not in WHATS:
        raise StarterError({"what": f"There is no network “{what}”: {', '.join(WHATS)}."})
    table = _table()[what]
    if not places:
        raise StarterError({"rooms": "Name the rooms that it is for."})
    flags = _flags(places, fuel, shower)
    placed = {row["activity"]: _where(what, row["where"], places, whole_house)
              for row in rows("activities", flags)}  # fmt: skip
    kept = [
        row for row in rows("activities", flags)
        if row["activity"] in table["activities"] and placed[row["activity"]]
    ]  # fmt: skip
    ids = {row["activity"] for row in kept}
    every = [Link(r["before"], r["after"], Fraction(r["lag"]), r["reason"])
             for r in rows("links", flags)]  # fmt: skip
    sizes = {p.id: p.sq_ft for p in places}
    works = tuple(_work(row, placed[row["activity"]], sizes) for row in kept)
    classes = tuple(
        row for row in rows("classes", flags)
        if row["needed_by"] in ids and (not row["order_after"] or row["order_after"] in ids)
    )  # fmt: skip
    lines = _lines(places, flags, {row["class"] for row in classes})
    used = {part_class for _, part_class, _, _ in lines}
    return Begun(
        works, tuple(reduced(closed(ids, every))),
        tuple(row for row in classes if row["class"] in used),
        tuple(row for row in rows("companions", flags) if row["class"] in used), tuple(lines),
        str(_table()["basis"]),
    )  # fmt: skip


def _flags(places: Sequence[Place], fuel: str, shower: bool) -> set[str]:
    flags = {fuel}
    for place in places:
        flags |= {flag for word, flag in FLOOR_FLAG if word in place.floor.lower()}
    if flags & {"tile", "wood", "vinyl"}:
        flags.add("hard")
    if any(place.stair for place in places):
        flags.add("stairs")
    if shower:
        flags.add("shower")
    return flags


def _where(what: str, where: str, places: Sequence[Place], whole: bool) -> tuple[str, ...]:
    """Return the ids of the rooms that a word of the work table means."""
    if where == "all":
        return ("all",) if whole else tuple(p.id for p in places)
    floors = {"tiled": "tile", "wooded": "wood", "vinyled": "vinyl", "carpeted": "carpet"}
    kinds = {
        "bath": ("bath", "primary-bath"), "wet": WET, "washing": WET, "toilets": WET,
        "closets": ("closet", "store", "bedroom"),
        "windowed": ("living", "dining", "study", "bedroom", "primary"),
    }  # fmt: skip
    found: set[str] = set()
    for word in where.split():
        if word == "stair":
            found |= {p.id for p in places if p.stair}
        elif word in floors:
            found |= {p.id for p in places if floors[word] in p.floor.lower()}
        elif word == "primary-bath":  # where the shower is: of one bath, there
            showers = {p.id for p in places if p.kind == "primary-bath"}
            found |= showers or {p.id for p in places if what == "bath" and p.kind in WET}
        else:
            found |= {p.id for p in places if p.kind in kinds.get(word, (word,))}
    return tuple(p.id for p in places if p.id in found)


def _work(row: Row, where: tuple[str, ...], sizes: Mapping[str, float]) -> Work:
    floor = sum(sizes.values()) if where == ("all",) else sum(sizes.get(r, 0.0) for r in where)
    times = Fraction(1)
    for each in _table()["scaled"]:
        if row["activity"] in each["activities"]:
            size = (
                floor if each["by"] == "floor" else len(sizes) if where == ("all",) else len(where)
            )
            times = Fraction(size).limit_denominator(1000) / each["of"] if size else times
    times = min(MOST_TIMES, max(LEAST, times))
    low, likely, high = (_halves(Fraction(row[n]), times) for n in ("low", "likely", "high"))
    return Work(row["activity"], row["name"], low, likely, high, row["trade"], where, row["note"])


def _halves(days: Fraction, times: Fraction) -> Fraction:
    """Return days times a factor in half days, none of them nothing.

    >>> _halves(Fraction(3), Fraction(1, 2)), _halves(Fraction(0), Fraction(2))
    (Fraction(3, 2), Fraction(0, 1))
    """
    return max(Fraction(1, 2), Fraction(round(days * times * 2), 2)) if days else days


def _lines(
    places: Sequence[Place], flags: Collection[str], classes: Collection[str]
) -> list[tuple[str, str, int, str]]:
    """Return the parts of the rooms by their kinds, as far as this work needs them."""
    counted = rows("takeoff", flags)
    found = []
    for place in places:
        for row in counted:
            if row["kind"] == place.kind and row["class"] in classes:
                if row["class"] == "shower-glass" and "shower" not in flags:
                    continue
                found.append((place.id, row["class"], int(row["qty"]), row["note"]))
        more = place.kind in WET and place.kind != "primary-bath"  # there it is counted already
        if more and "shower" in flags and "shower-glass" in classes:
            found.append((place.id, "shower-glass", 1, ""))
        for word, flag in FLOOR_FLAG:
            if word in place.floor.lower() and flag in classes:
                found.append((place.id, flag, 1, "waste not counted"))
    return found


def reduced(links: Sequence[Link]) -> list[Link]:
    """Return links without those that a chain of others holds already; lags are kept.

    >>> [(k.before, k.after) for k in reduced([
    ...     Link("a", "b", Fraction(0), ""), Link("b", "c", Fraction(0), ""),
    ...     Link("a", "c", Fraction(0), "")])]
    [('a', 'b'), ('b', 'c')]
    """
    after: dict[str, set[str]] = defaultdict(set)
    for k in links:
        after[k.before].add(k.after)

    def beyond(start: str, goal: str) -> bool:
        front, seen = [n for n in after[start] if n != goal], set()
        while front:
            one = front.pop()
            if one == goal:
                return True
            if one not in seen:
                seen.add(one)
                front += after[one]
        return False

    return [k for k in links if k.lag or k.reason or not beyond(k.before, k.after)]
