"""What should be centered on what, how far it is off, and what is cheaper to move.

Lights over tables and islands, hoods over ranges, mirrors and sconces, faucets on bowls on drains,
sinks under windows. Several things of a set over one thing are taken together: their middle must
sit on its center. What hangs or stands at a wall counts along the wall only.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely

from roomwright.fit.centring_table import Belongs, begins, belongs, cost
from roomwright.fit.centring_things import Thing, apart, before, shape_of, things_of
from roomwright.fit.model import Chain, Link, Needs, Space, Verdict, Word
from roomwright.fit.verdicts import EVEN, length
from roomwright.shape import Point, compass

CENTERED = Verdict(Word.FITS, "centered")
TOLERANCE = "light.center_tolerance"
"""The figure that all of it is held against."""

LEAST = 1 / 32
"""A part of a move that is smaller than this is not worth telling [in]."""


@dataclass(frozen=True, slots=True)
class Belonging:
    """Things that should be centered on another; `taken` where nobody said so."""

    things: tuple[Thing, ...]
    on: Thing
    rule: Belongs | None
    taken: bool


def belongings(space: Space) -> tuple[Belonging, ...]:
    """Each thing, or set of them, with what it should be centered on."""
    things = things_of(space)
    groups: dict[tuple[str, str], list[Belonging]] = {}
    for thing in things.values():
        found = _said(thing, things) if thing.on else _taken(thing, things)
        if found is None:
            continue
        sort = thing.id
        if thing.what == "light":
            sort = "light"
        elif found.rule is not None and found.rule.set:
            sort = thing.name
        groups.setdefault((found.on.id, sort), []).append(found)
    return tuple(
        replace(
            group[0],
            things=tuple(sorted((each.things[0] for each in group), key=lambda thing: thing.id)),
            taken=all(each.taken for each in group),
        )
        for group in groups.values()
    )


def _said(thing: Thing, things: dict[str, Thing]) -> Belonging:
    target = things.get(thing.on) or Thing(thing.on, "", "", None)
    rule = next((r for r in belongs(thing.name) if begins(target.name, r.on)), None)
    return Belonging((thing,), target, rule, taken=False)


def _taken(thing: Thing, things: dict[str, Thing]) -> Belonging | None:
    """What a thing is taken to belong to: the nearest that its kind is usually centered on."""
    if thing.at is None:
        return None
    for rule in belongs(thing.name):
        near = [
            (gap, other.id, other)
            for other in things.values()
            if other is not thing
            and not _belongs(other, thing)
            and other.at is not None
            and begins(other.name, rule.on)
            and (gap := apart(thing, other)) <= rule.near + EVEN
            and before(thing, other)
        ]
        if near:
            return Belonging((thing,), min(near)[2], rule, taken=True)
    return None


def _belongs(thing: Thing, other: Thing) -> bool:
    """Whether a thing is centered on another itself, said or by its kind."""
    if thing.on:
        return thing.on == other.id
    return any(begins(other.name, rule.on) for rule in belongs(thing.name))


# --- how far off --------------------------------------------------------------------------------


def moves(
    at: Point, to: Point, along: Point | None = None, least: float = 0.0
) -> tuple[tuple[float, str], ...]:
    """The way from one point to another along the axes, as (inches, compass word).

    With `along` only the part in that direction; parts of `least` or less are left out.

    >>> moves((81, 75), (76, 84))
    ((5, 'west'), (9, 'north'))
    >>> moves((81, 75), (76, 84), along=(1, 0))
    ((5, 'west'),)
    """
    dx, dy = to[0] - at[0], to[1] - at[1]
    if along is not None:
        dx, dy = _part((dx, dy), along)
        if min(abs(along[0]), abs(along[1])) > EVEN:
            by = math.hypot(dx, dy)
            return ((by, compass((dx, dy))),) if by > max(least, EVEN) else ()
    steps = ((dx, (math.copysign(1.0, dx), 0.0)), (dy, (0.0, math.copysign(1.0, dy))))
    return tuple((abs(by), compass(way)) for by, way in steps if abs(by) > max(least, EVEN))


def _part(way: Point, along: Point) -> Point:
    part = way[0] * along[0] + way[1] * along[1]
    return part * along[0], part * along[1]


def _on(p: Point, way: Point) -> float:
    return p[0] * way[0] + p[1] * way[1]


def _reach(thing: Thing, way: Point) -> tuple[float, float]:
    """Where a thing begins and ends in a direction."""
    found = [_on(p, way) for p in thing.outline]
    return min(found), max(found)


def axis_of(pair: Belonging) -> Point | None:
    """The direction that alone counts; None where both do."""
    thing, on = pair.things[0], pair.on
    if on.what in ("window", "opening") or (pair.rule is not None and pair.rule.along):
        return on.along
    if thing.what == "light" or on.along is None or not thing.outline or not on.outline:
        return None
    if shapely.intersects(shape_of(thing), shape_of(on)):
        return None
    across = (-on.along[1], on.along[0])
    mine, theirs = _reach(thing, on.along), _reach(on, on.along)
    beside = mine[1] <= theirs[0] or mine[0] >= theirs[1]
    mine, theirs = _reach(thing, across), _reach(on, across)
    before_it = mine[1] <= theirs[0] or mine[0] >= theirs[1]
    return across if beside and not before_it else on.along


def _aim(pair: Belonging, at: Point) -> Point | None:
    """The center that counts: of the thing, or of that one of its bowls that is meant."""
    on, thing = pair.on, pair.things[0]
    if not on.spots or on.along is None or len(pair.things) > 1:
        return on.at
    if thing.outline:
        (low, high), (first, last) = _reach(thing, on.along), _reach(on, on.along)
        if (high - low) * 2 > last - first:
            return on.at
    return min(on.spots, key=lambda spot: math.dist(spot, at))


def link_of(pair: Belonging, tolerance: float, *, closed: bool = True) -> Link:
    """A thing, or a set of them, against what it should be centered on.

    `closed` says whether the board is up: it decides what is cheaper to move.
    """
    first, on = pair.things[0], pair.on
    ids = tuple(thing.id for thing in pair.things)
    made = Link(
        ids, on.id, named(pair.things), f"{on.name} {on.id}".strip(), pair.taken, CENTERED,
        room=first.room,
    )  # fmt: skip
    places = [thing.at for thing in pair.things if thing.at is not None]
    if on.at is None or len(places) < len(pair.things):
        what = made.on_name if on.at is None else made.name
        return replace(made, verdict=Verdict(Word.MEASURE, f"measure: {what} has no place yet"))
    at = (sum(x for x, _ in places) / len(places), sum(y for _, y in places) / len(places))
    aim = _aim(pair, at) or on.at
    axis = axis_of(pair)
    dx, dy = aim[0] - at[0], aim[1] - at[1]
    dx, dy = (dx, dy) if axis is None else _part((dx, dy), axis)
    off, there = math.hypot(dx, dy), (at[0] + dx, at[1] + dy)
    mine, theirs = cost(first.what, first.name, closed), cost(on.what, on.name, closed)
    cheaper, least = (on.id, theirs) if theirs.rank < mine.rank else (ids[0], mine)
    way, back = moves(at, there, axis, LEAST), moves(there, at, axis, LEAST)
    gaps, ends = _spread(pair)
    return replace(
        made,
        verdict=_off(off, tolerance),
        off=off,
        moves=way,
        cheaper=cheaper,
        cheaper_moves=back if cheaper == on.id else way,
        how=least.how,
        at=(at, there),
        gaps=gaps,
        ends=ends,
    )


def _off(by: float, tolerance: float) -> Verdict:
    if by <= tolerance + EVEN:
        return CENTERED
    return Verdict(Word.SHORT, f"off by {length(by)}", by)


def named(things: Sequence[Thing]) -> str:
    """What a builder calls a thing or a set of them: "pendant boxes C2 to C4"."""
    name = things[0].name or things[0].what
    if len(things) == 1:
        return f"{name} {things[0].id}"
    plural = f"{name}es" if name.endswith(("x", "s", "ch", "sh")) else f"{name}s"
    word = "and" if len(things) == 2 else "to"
    return f"{plural} {things[0].id} {word} {things[-1].id}"


def in_row(pair: Belonging) -> tuple[Point, tuple[Thing, ...]] | None:
    """The direction of a set's row, along or across what it is on, and its things in order."""
    places = [thing.at for thing in pair.things if thing.at is not None]
    if len(places) < 2 or len(places) < len(pair.things):
        return None
    run = pair.on.along or (1.0, 0.0)
    across = (-run[1], run[0])
    wide = [max(on) - min(on) for on in ([_on(p, u) for p in places] for u in (run, across))]
    way = run if wide[0] >= wide[1] else across
    return way, tuple(sorted(pair.things, key=lambda thing: _on(thing.at or (0, 0), way)))


def _spread(pair: Belonging) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Gaps between the middles of a set, and its distances from the ends of what it is over."""
    row = in_row(pair)
    if row is None:
        return (), ()
    way, things = row
    at = [_on(thing.at or (0, 0), way) for thing in things]
    gaps = tuple(b - a for a, b in pairwise(at))
    if not pair.on.outline:
        return gaps, ()
    low, high = _reach(pair.on, way)
    return gaps, (at[0] - low, high - at[-1])


# --- chains -------------------------------------------------------------------------------------


def chains(space: Space, needs: Needs) -> tuple[Chain, ...]:
    """Every chain of things that are centered on each other.

    >>> from roomwright.fit.model import Light, Piece, Room
    >>> walls_ = ((0, 0), (162, 0), (162, 150), (0, 150))
    >>> table = Piece("T1", "dining table", "dining table", 84, 42, 30, 81, 84, room="101")
    >>> box = Light("C1", "chandelier box", 81, 75, "T1", "101")
    >>> dining = Space((Room("101", "Dining", walls_),), walls_, pieces=(table,), lights=(box,))
    >>> (chain,) = chains(dining, Needs({"light.center_tolerance": 0.25}))
    >>> chain.verdict.text, chain.links[0].moves, chain.links[0].cheaper
    ('off by 9"', ((9.0, 'north'),), 'T1')
    """
    return chained(belongings(space), needs.get(TOLERANCE) or 0.0, closed=space.closed)


def chained(
    pairs: Sequence[Belonging], tolerance: float, *, closed: bool = True
) -> tuple[Chain, ...]:
    """The chains of some belongings, each from a thing at its end to its anchor."""
    links = [link_of(pair, tolerance, closed=closed) for pair in pairs]
    by_id = {id_: link for link in links for id_ in link.ids}
    under = {link.on for link in links}
    made = []
    for link in links:
        if under.intersection(link.ids):
            continue
        run = [link]
        while (after := by_id.get(run[-1].on)) is not None and after not in run:
            run.append(after)
        made.append(_chain(run, tolerance))
    told = {link for chain in made for link in chain.links}
    made += [_chain([link], tolerance) for link in links if link not in told]  # rings
    return tuple(sorted(made, key=lambda chain: (chain.anchor, chain.links[0].ids)))


def _chain(run: Sequence[Link], tolerance: float) -> Chain:
    """A chain, and how far its first thing is from its anchor: small errors add up."""
    anchor, dx, dy = run[-1].on, 0.0, 0.0
    for link in run:
        if link.off is None or link.at is None:
            return Chain(anchor, tuple(run), link.verdict)
        (ax, ay), (bx, by) = link.at
        dx, dy = dx + bx - ax, dy + by - ay
    off = math.hypot(dx, dy)
    return Chain(anchor, tuple(run), _off(off, tolerance), off)
