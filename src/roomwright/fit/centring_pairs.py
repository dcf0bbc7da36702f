"""What belongs in the middle of what: as said, or as is usual for things of their kind.

Several things of a set over one thing are taken together: their middle must sit on its center.
Things that are usual on each side of another, as sconces, count only where both hang. On a vanity
with several bowls each thing belongs to a bowl, or a set to the middle of them all.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import shapely

from roomwright.fit.centring_table import Belongs, belongs
from roomwright.fit.centring_things import Thing, at_wall, before, on, reach, shape_of, things_of
from roomwright.fit.model import Space
from roomwright.fit.verdicts import EVEN

Key = tuple[str, str]
Shapes = dict[Key, shapely.Geometry]


@dataclass(frozen=True, slots=True)
class Belonging:
    """Things that should be centered on another.

    `taken` where nobody said so, `along` where only the way along `on` counts. `spot` is that bowl
    of `on` that is meant, its number from one end.
    """

    things: tuple[Thing, ...]
    on: Thing
    rule: Belongs | None
    taken: bool
    along: bool = False
    spot: int | None = None


def belongings(space: Space) -> tuple[Belonging, ...]:
    """Each thing, or set of them, with what it should be centered on.

    No thing leads back to itself: where that was said the thing it is on has no place, and where
    nobody said it, it is left out.
    """
    things = things_of(space)
    groups: dict[tuple[Key, str], list[Belonging]] = {}
    for found in (*_said(things, space), *_taken(things, space)):
        first = found.things[0]
        word = f"a {first.what} {first.id}"
        if found.rule is not None and found.rule.set:
            word = first.word + " beside" * (len(found.things) > 1)
        elif first.what == "light":
            word = "light"
        groups.setdefault((found.on.key, word), []).append(found)
    return tuple(part for group in groups.values() for part in _by_bowls(_together(group)))


def _together(group: Sequence[Belonging]) -> Belonging:
    things = {thing.key: thing for each in group for thing in each.things}
    return replace(
        group[0],
        things=tuple(thing for _, thing in sorted(things.items())),
        taken=all(each.taken for each in group),
    )


# --- as said ------------------------------------------------------------------------------------


def _said(things: Sequence[Thing], space: Space) -> Iterator[Belonging]:
    meant = {thing.id: thing for thing in things}
    leads: dict[Key, Key] = {}
    for thing in things:
        if not thing.on:
            continue
        target = meant.get(thing.on)
        if target is None:
            target = Thing(thing.on, "", "", None)
        elif _leads_to(leads, target.key, thing.key):
            target = Thing(target.id, target.name, "", None)
        leads[thing.key] = target.key
        rule = next((rule for rule in belongs(thing.word) if target.word in rule.on), None)
        yield Belonging((thing,), target, rule, False, _counts_along(thing, target, rule, space))


def _leads_to(leads: dict[Key, Key], at: Key, goal: Key) -> bool:
    """Whether following what things are centered on leads from one to another."""
    while at != goal and at in leads:
        at = leads[at]
    return at == goal


def _counts_along(thing: Thing, target: Thing, rule: Belongs | None, space: Space) -> bool:
    if target.along is None:
        return False
    if target.what in ("window", "opening"):
        return True
    if rule is None:  # a range said to stand under its hood: as the hood over the range
        rule = next((rule for rule in belongs(target.word) if thing.word in rule.on), None)
        thing, target = (target, thing) if rule is not None else (thing, target)
    if rule is not None:
        return rule.along == "always" or (rule.along == "wall" and at_wall(target, space))
    return thing.what == "light" and at_wall(thing, space) and at_wall(target, space)


# --- as is usual --------------------------------------------------------------------------------


def _taken(things: Sequence[Thing], space: Space) -> Iterator[Belonging]:
    meant = {thing.id: thing for thing in things}
    leads = {thing.key: meant[thing.on].key for thing in things if thing.on in meant}
    free = [thing for thing in things if not thing.on and thing.at is not None and thing.word]
    placed = [thing for thing in things if thing.at is not None]
    shapes = {thing.key: shape_of(thing) for thing in placed if thing.word}
    held: set[Key] = set()
    for word in dict.fromkeys(thing.word for thing in free):
        for rule in belongs(word):
            mine = [thing for thing in free if thing.word == word and thing.key not in held]
            others = [other for other in placed if other.word in rule.on]
            pairs = [
                pair
                for pair in _near(mine, others, rule.near, shapes)
                if _may(pair[0], pair[1], rule) and not _leads_to(leads, pair[1].key, pair[0].key)
            ]
            for few, other in _each_side(pairs) if rule.sides else _nearest(pairs):
                held.update(thing.key for thing in few)
                leads.update((thing.key, other.key) for thing in few)
                along = _counts_along(few[0], other, rule, space)
                yield Belonging(few, other, rule, True, along)


Near = tuple[Thing, Thing, float]
"""A thing, another, and how far they are apart in plan [in]."""


def _near(
    things: Sequence[Thing], others: Sequence[Thing], near: float, shapes: Shapes
) -> Iterator[Near]:
    """What lies near enough to what."""
    if not things or not others:
        return
    mine = [shapes[thing.key] for thing in things]
    theirs = [shapes[other.key] for other in others]
    found = shapely.STRtree(theirs).query(mine, "dwithin", near + EVEN)
    for i, k in sorted(zip(*found.tolist(), strict=True)):
        yield things[i], others[k], float(shapely.distance(mine[i], theirs[k]))


def _may(thing: Thing, other: Thing, rule: Belongs) -> bool:
    """Whether one thing may be taken to belong to another, as far as rooms and windows go."""
    if other.key == thing.key or not before(thing, other):
        return False
    return not rule.near or not thing.room or not other.room or thing.room == other.room


def _nearest(pairs: Sequence[Near]) -> Iterator[tuple[tuple[Thing, ...], Thing]]:
    """Each thing with the nearest of what it may belong to."""
    for key in dict.fromkeys(thing.key for thing, _, _ in pairs):
        mine = [pair for pair in pairs if pair[0].key == key]
        thing, other, _ = min(mine, key=lambda pair: (pair[2], _far(pair), pair[1].id))
        yield (thing,), other


def _far(pair: Near) -> float:
    thing, other, _ = pair
    return math.dist(thing.at or (0, 0), other.at or (0, 0))


def _each_side(pairs: Sequence[Near]) -> Iterator[tuple[tuple[Thing, ...], Thing]]:
    """What hangs over a thing, and the nearest on each side of it where both are there."""
    over: set[Key] = set()
    sides: list[tuple[Thing, Thing, float]] = []
    for thing, other, _ in pairs:
        if other.along is None or thing.at is None:
            continue
        low, high = reach(other.outline, other.along)
        by = on(thing.at, other.along)
        if low <= by <= high:
            over.add(thing.key)
            yield (thing,), other
        else:
            sides.append((thing, other, by - high if by > high else by - low))
    for key in dict.fromkeys(other.key for _, other, _ in sides):
        mine = [each for each in sides if each[1].key == key and each[0].key not in over]
        left = max((each for each in mine if each[2] < 0), key=lambda each: each[2], default=None)
        right = min((each for each in mine if each[2] > 0), key=lambda each: each[2], default=None)
        if left is not None and right is not None:
            yield (left[0], right[0]), left[1]


# --- bowls --------------------------------------------------------------------------------------


def _by_bowls(group: Belonging) -> Iterator[Belonging]:
    """A set on a thing with several bowls, bowl by bowl where that is what is meant."""
    target, things = group.on, group.things
    way, bowls = target.along, target.spots
    if not bowls or way is None or any(thing.at is None for thing in things):
        yield group
        return
    row = sorted(things, key=lambda thing: (on(thing.at or (0, 0), way), thing.key))
    if all(thing.outline for thing in things):
        low, high = reach(target.outline, way)
        if any(2 * _wide(thing, way) > high - low for thing in things):
            yield group
            return
        order = sorted(range(len(bowls)), key=lambda k: on(bowls[k], way))
        at = {
            thing.key: order[i] if len(row) == len(bowls) else _nearest_bowl(thing, bowls)
            for i, thing in enumerate(row)
        }
    elif len(row) == 2 * len(bowls):
        order = sorted(range(len(bowls)), key=lambda k: on(bowls[k], way))
        at = {thing.key: order[i // 2] for i, thing in enumerate(row)}
    else:
        yield _at_bowl_or_middle(group)
        return
    for spot in dict.fromkeys(at.values()):
        mine = tuple(thing for thing in things if at[thing.key] == spot)
        yield replace(group, things=mine, spot=spot)


def _wide(thing: Thing, way: tuple[float, float]) -> float:
    low, high = reach(thing.outline, way)
    return high - low


def _nearest_bowl(thing: Thing, bowls: Sequence[tuple[float, float]]) -> int:
    return min(range(len(bowls)), key=lambda k: math.dist(bowls[k], thing.at or (0, 0)))


def _at_bowl_or_middle(group: Belonging) -> Belonging:
    """Lights: their middle belongs to a bowl or to the middle of the whole, what is nearer."""
    target = group.on
    way = target.along or (1.0, 0.0)
    at = sum(on(thing.at or (0, 0), way) for thing in group.things) / len(group.things)
    best = min(range(len(target.spots)), key=lambda k: abs(on(target.spots[k], way) - at))
    if abs(on(target.spots[best], way) - at) < abs(on(target.at or (0, 0), way) - at):
        return replace(group, spot=best)
    return group
