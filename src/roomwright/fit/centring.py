"""How far off the middle things are: each pair, and the chains that pairs make.

Lights over tables and islands, hoods over ranges, mirrors and sconces, faucets on bowls on drains,
sinks under windows. What hangs or stands at a wall counts along the wall only.
"""

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import shapely

from roomwright.fit.centring_cure import Node, cure_of
from roomwright.fit.centring_pairs import Belonging, belongings
from roomwright.fit.centring_table import Cost, cost
from roomwright.fit.centring_things import Thing, on, reach, shape_of
from roomwright.fit.model import Chain, Link, Needs, Shift, Space, Verdict, Word
from roomwright.fit.verdicts import EVEN, length
from roomwright.shape import Point, compass

CENTERED = Verdict(Word.FITS, "centered")
TOLERANCE = "light.center_tolerance"
"""The figure that all of it is held against."""

RING = "each is centered on the other"

LEAST = 1 / 32
"""A part of a move that is smaller than this is not worth telling [in]."""

HELD = Cost(99, "")
"""What a thing takes that must stay where it is."""


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
    part = on(way, along)
    return part * along[0], part * along[1]


# --- a pair -------------------------------------------------------------------------------------


def axis_of(pair: Belonging) -> Point | None:
    """The direction that alone counts; None where both do."""
    thing, other = pair.things[0], pair.on
    if pair.along:
        return other.along
    if thing.what == "light" or other.along is None or not thing.outline or not other.outline:
        return None
    if shapely.intersects(shape_of(thing), shape_of(other)):
        return None
    across = (-other.along[1], other.along[0])
    beside, before = (_clear_of(thing, other, way) for way in (other.along, across))
    return across if beside and not before else other.along


def _clear_of(thing: Thing, other: Thing, way: Point) -> bool:
    """Whether two things do not overlap in a direction."""
    mine, theirs = reach(thing.outline, way), reach(other.outline, way)
    return mine[1] <= theirs[0] or mine[0] >= theirs[1]


def link_of(pair: Belonging, tolerance: float) -> Link:
    """A thing, or a set of them, against what it should be centered on."""
    target = pair.on
    made = Link(
        tuple(thing.id for thing in pair.things), target.id, named(pair.things), _on_name(pair),
        pair.taken, CENTERED, room=pair.things[0].room,
    )  # fmt: skip
    places = [thing.at for thing in pair.things if thing.at is not None]
    aim = target.at if pair.spot is None else target.spots[pair.spot]
    if not target.what and target.name:
        return replace(made, verdict=Verdict(Word.MEASURE, "measure: " + RING))
    if aim is None or len(places) < len(pair.things):
        what = made.on_name if aim is None else made.name
        return replace(made, verdict=Verdict(Word.MEASURE, f"measure: {what} has no place yet"))
    at = (sum(x for x, _ in places) / len(places), sum(y for _, y in places) / len(places))
    axis = axis_of(pair)
    dx, dy = aim[0] - at[0], aim[1] - at[1]
    dx, dy = (dx, dy) if axis is None else _part((dx, dy), axis)
    there = (at[0] + dx, at[1] + dy)
    off = math.hypot(dx, dy)
    gaps, ends = spread(pair)
    return replace(
        made,
        verdict=_off(off, tolerance),
        off=off,
        moves=moves(at, there, axis, LEAST),
        at=(at, there),
        gaps=gaps,
        ends=ends,
    )


def _off(by: float, tolerance: float) -> Verdict:
    if by <= tolerance + EVEN:
        return CENTERED
    return Verdict(Word.SHORT, f"off by {length(by)}", by)


def _on_name(pair: Belonging) -> str:
    target = pair.on
    name = f"{target.name} {target.id}".strip()
    if pair.spot is None or target.at is None:
        return name
    x, y = target.spots[pair.spot]
    dx, dy = x - target.at[0], y - target.at[1]
    which = compass((dx, dy)) if math.hypot(dx, dy) > EVEN else "middle"
    return f"{which} bowl of the {name}"


def named(things: Sequence[Thing]) -> str:
    """What a builder calls a thing or a set of them: "pendant boxes C2 to C4"."""
    name = things[0].name or things[0].what
    if len(things) == 1:
        return f"{name} {things[0].id}"
    plural = f"{name}es" if name.endswith(("x", "s", "ch", "sh")) else f"{name}s"
    word = "and" if len(things) == 2 else "to"
    return f"{plural} {things[0].id} {word} {things[-1].id}"


# --- a set --------------------------------------------------------------------------------------


def in_row(pair: Belonging) -> tuple[Point, tuple[Thing, ...]] | None:
    """The direction of a set's row, along or across what it is on, and its things in order."""
    places = [thing.at for thing in pair.things if thing.at is not None]
    if len(places) < 2 or len(places) < len(pair.things):
        return None
    run = pair.on.along or (1.0, 0.0)
    across = (-run[1], run[0])
    rows = ([on(p, u) for p in places] for u in (run, across))
    wide = [max(row) - min(row) for row in rows]
    way = run if pair.along or wide[0] >= wide[1] else across
    return way, tuple(sorted(pair.things, key=lambda thing: on(thing.at or (0, 0), way)))


def spread(pair: Belonging) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Gaps between the middles of a set, and its distances from the ends of what it is over."""
    row = in_row(pair)
    if row is None:
        return (), ()
    way, things = row
    at = [on(thing.at or (0, 0), way) for thing in things]
    gaps = tuple(b - a for a, b in pairwise(at))
    if not pair.on.outline or pair.spot is not None:
        return gaps, ()
    low, high = reach(pair.on.outline, way)
    return gaps, (at[0] - low, high - at[-1])


# --- chains -------------------------------------------------------------------------------------


def chains(space: Space, needs: Needs, *, held: Collection[str] = ()) -> tuple[Chain, ...]:
    """Every chain of things that are centered on each other; none without a figure for it.

    `held` has the ids of pieces that may not be moved.

    >>> from roomwright.fit.model import Light, Piece, Room
    >>> walls_ = ((0, 0), (162, 0), (162, 150), (0, 150))
    >>> table = Piece("T1", "dining table", "dining table", 84, 42, 30, 81, 84, room="101")
    >>> box = Light("C1", "chandelier box", 81, 75, "T1", "101")
    >>> dining = Space((Room("101", "Dining", walls_),), walls_, pieces=(table,), lights=(box,))
    >>> (chain,) = chains(dining, Needs({"light.center_tolerance": 0.25}))
    >>> chain.verdict.text, chain.links[0].moves
    ('off by 9"', ((9.0, 'north'),))
    >>> [(shift.ids, shift.moves) for shift in chain.cure]
    [(('T1',), ((9.0, 'south'),))]
    """
    tolerance = needs.get(TOLERANCE)
    if tolerance is None:
        return ()
    return chained(belongings(space), tolerance, closed=space.closed, held=held)


def chained(
    pairs: Sequence[Belonging],
    tolerance: float,
    *,
    closed: bool = True,
    held: Collection[str] = (),
) -> tuple[Chain, ...]:
    """The chains of some belongings, each from a thing at its end to its anchor."""
    links = [link_of(pair, tolerance) for pair in pairs]
    runs = _runs(pairs)
    made = []
    for anchor in dict.fromkeys(pairs[run[-1]].on.key for run in runs):
        mine = [run for run in runs if pairs[run[-1]].on.key == anchor]
        own = [_chain([links[i] for i in run], tolerance) for run in mine]
        cure: tuple[Shift, ...] = ()
        if any(chain.verdict.word is Word.SHORT or _some_off(chain) for chain in own):
            cure = _cure(pairs, links, mine, tolerance, closed=closed, held=held)
        stay = tuple(sorted({id_ for run in mine for id_ in _ids(pairs, run)} & set(held)))
        made += [replace(chain, cure=cure, held=stay) for chain in own]
    return tuple(sorted(made, key=lambda chain: (chain.anchor, chain.links[0].ids)))


def _runs(pairs: Sequence[Belonging]) -> list[list[int]]:
    """Pairs as chains, each from a thing that nothing is centered on to an anchor."""
    above: dict[tuple[str, str], int] = {}
    for i, pair in enumerate(pairs):
        for thing in pair.things:
            above.setdefault(thing.key, i)
    under = {pair.on.key for pair in pairs}
    runs = []
    for i, pair in enumerate(pairs):
        if under.isdisjoint(thing.key for thing in pair.things):
            run = [i]
            while (after := above.get(pairs[run[-1]].on.key)) is not None:
                run.append(after)
            runs.append(run)
    return runs


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


def _ids(pairs: Sequence[Belonging], run: Sequence[int]) -> Iterator[str]:
    """The pieces of a chain."""
    for i in run:
        yield from (thing.id for thing in (*pairs[i].things, pairs[i].on) if thing.what == "piece")


def _some_off(chain: Chain) -> bool:
    return any(link.verdict.word is Word.SHORT for link in chain.links)


def _cure(
    pairs: Sequence[Belonging],
    links: Sequence[Link],
    runs: Sequence[Sequence[int]],
    tolerance: float,
    *,
    closed: bool,
    held: Collection[str],
) -> tuple[Shift, ...]:
    """What to move so that all of the chains of one anchor hold; none while a place is missing."""
    anchor = pairs[runs[0][-1]].on
    found: dict[int, Point] = {}
    for run in runs:
        x, y = 0.0, 0.0
        for i in reversed(run):
            at = links[i].at
            if at is None:
                return ()
            x, y = x + at[1][0] - at[0][0], y + at[1][1] - at[0][1]
            found[i] = (x, y)

    def price(thing: Thing) -> Cost:
        stays = thing.what == "piece" and thing.id in held
        return HELD if stays else cost(thing.what, thing.name, closed)

    axis = axis_of(pairs[runs[0][-1]])
    name = f"{anchor.name} {anchor.id}"
    nodes = [Node((anchor.id,), name, (0.0, 0.0), axis, price(anchor))]
    for i, way in found.items():
        first = pairs[i].things[0]
        nodes.append(Node(links[i].ids, links[i].name, way, axis_of(pairs[i]), price(first)))
    return cure_of(nodes, tolerance, lambda way, axis: moves((0.0, 0.0), way, axis, LEAST))
