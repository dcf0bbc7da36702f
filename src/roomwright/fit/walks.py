"""Walk paths between every two openings of a space, each with its tightest place and a verdict.

A path's own need is the walkway figure: main where a main route through the house runs along it
(`roomwright.fit.house_walks`), else other. A path is never asked to be wider than its openings are.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import shapely

from roomwright.fit.accessible import excepted
from roomwright.fit.bounds import OpeningError
from roomwright.fit.ground import Ground
from roomwright.fit.model import Finding, Needs, Opening, Space, Verdict, Way, Word
from roomwright.fit.routes import Route, route
from roomwright.fit.solids import Solids, solids
from roomwright.fit.uses import Trail
from roomwright.fit.verdicts import EVEN, blocked, judge, length
from roomwright.fit.ways import Touch, tightest
from roomwright.lengths import tape
from roomwright.shape import TOUCH, compass, outward, walls

SMALL = ("closet", "pantry", "bath", "powder", "toilet", "laundry", "storage")
"""Words in the name of a room that a main walkway does not lead to."""


def walks(
    ground: Ground, needs: Needs, room: str | None = None
) -> tuple[tuple[Way, ...], tuple[Finding, ...]]:
    """The walk paths of a space, and what keeps one from being computed.

    With `room`, only the paths of which at least one opening is that room's own. A path runs
    through joined rooms; pushed-in chairs and door swings do not narrow it.
    """
    ways: list[Way] = []
    wrong: list[Finding] = []
    standing = [
        (body.name, body.id, shape)
        for body, shape in zip(ground.bodies, ground.shapes, strict=True)
        if body.what != "swing"
    ]
    shapes = [shape for _, _, shape in standing]
    names = [f"{name} {id_}" for name, id_, _ in standing]
    ready = solids(ground.floor, shapes)
    for a, b in combinations(ground.space.openings, 2):
        if room is not None and room not in (a.room, b.room):
            continue
        try:
            found = _route(ground, shapes, a, b, ready)
        except OpeningError as error:
            text = f"No walk path from {a.id} to {b.id}: {error} Measure the openings again."
            wrong.append(Finding("walk path", Word.MEASURE, text, a.room, (a.id, b.id)))
            continue
        ways.append(excepted(ground, needs, _way(ground, a, b, found, names, needs)))
    return tuple(ways), tuple(wrong)


def _route(
    ground: Ground, shapes: Sequence[shapely.Polygon], a: Opening, b: Opening, ready: Solids
) -> Route:
    """The route between two openings; without a line where rounding leaves none to draw."""
    try:
        return route(ground.floor, shapes, a.segment, b.segment, ready)
    except ArithmeticError:
        return Route((), math.inf, tightest(ground.floor, shapes, a.segment, b.segment))


def trails(ways: Sequence[Way]) -> tuple[Trail, ...]:
    """The lines of walk paths, for the uses of a table's sides."""
    return tuple(Trail(way.from_, way.to, way.points) for way in ways if way.points)


def figure_of(space: Space, a: Opening, b: Opening) -> str:
    """Key of the walkway figure between two openings.

    Main where a main route through the house runs between them; where the house is not known, by
    the names of the rooms behind them.
    """
    if space.main is not None:
        return "walkway.main" if frozenset((a.id, b.id)) in space.main else "walkway.other"
    small = any(word in each.name.lower() for each in (a, b) for word in SMALL)
    return "walkway.other" if small else "walkway.main"


def _way(
    ground: Ground, a: Opening, b: Opening, found: Route, names: Sequence[str], needs: Needs
) -> Way:
    gap = found.gap
    figure = figure_of(ground.space, a, b)
    wanted = needs.get(figure)
    narrow = min(a.width, b.width)
    least = needs.get("walkway.minimum") or 0.0
    if wanted is not None:
        wanted = min(wanted, narrow)
        if narrow < least - EVEN:  # the opening itself is below what a person passes
            wanted, figure = least, "walkway.minimum"
    pair = a, b
    ends = _named(ground, gap.p_on, names, pair), _named(ground, gap.q_on, names, pair)
    if gap.blocked:
        ends = _in_the_way(ground, pair, ends)
    return Way(
        from_=a.id,
        to=b.id,
        tightest=gap.width,
        p=gap.p,
        q=gap.q,
        needs=wanted,
        verdict=verdict(gap.width, wanted, narrow, needs, gap.blocked, ends),
        figure=figure,
        points=found.points,
        between=ends,
    )


def _in_the_way(
    ground: Ground, openings: tuple[Opening, Opening], ends: tuple[str, str]
) -> tuple[str, str]:
    """What shuts a path, where the gap says only which opening is shut: what covers it."""
    if not all("jamb" in end for end in ends):
        return ends
    for opening in openings:
        line = shapely.LineString(opening.segment)
        for body, shape in zip(ground.bodies, ground.shapes, strict=True):
            over = float(shapely.length(shapely.intersection(line, shapely.buffer(shape, TOUCH))))
            if body.what != "swing" and over > opening.width / 2:
                return f"{body.name} {body.id}", ends[1]
    return ends


def verdict(
    width: float,
    wanted: float | None,
    opening: float,
    needs: Needs,
    shut: bool,
    ends: tuple[str, str],
) -> Verdict:
    """The verdict on a path: blocked below the passage minimum, else against the walkway.

    `opening` is the width of the narrower opening [in], `shut` says that there is no way at all.
    """
    least = min(needs.get("walkway.minimum") or 0.0, opening)
    if shut:
        thing = next(
            (end for end in ends if not end.endswith("wall") and "jamb" not in end), ends[0]
        )
        return blocked(f"no way past the {thing}")
    if width < least - EVEN:
        where = f"between {ends[0]} and {ends[1]}"
        return blocked(f"{tape(width)} {where}, {tape(least)} is the least a person passes")
    if wanted is None:
        return Verdict(Word.FITS, f"{tape(width)} to walk")
    if width >= opening - EVEN:
        return _of_opening(opening, needs.get("walkway.minimum") or 0.0)
    found = judge(width, wanted, needs.spare, "for walking through")
    if not needs.get("walkway.minimum"):
        return found
    return replace(found, steps=(*found.steps, (width - least, Word.BLOCKED)))


def _of_opening(opening: float, least: float) -> Verdict:
    """The verdict on a path that nothing but its own opening narrows."""
    if opening >= least - EVEN:
        return Verdict(Word.FITS, "fits, as wide as its opening")
    text = f"short {length(least - opening)}: the opening itself is {tape(opening)} wide"
    return Verdict(Word.SHORT, f"{text}, {tape(least)} is the least to pass", by=least - opening)


def _named(
    ground: Ground, touch: Touch, names: Sequence[str], openings: tuple[Opening, Opening]
) -> str:
    """What an end of a gap lies on, as the builder calls it."""
    if touch.kind == "obstacle":
        return names[touch.index]
    if touch.kind == "jamb":
        return f"jamb of {openings[touch.index].id}"
    if touch.kind == "wall":
        at = touch.index
        for number, ring in enumerate(ground.rings):
            if at < len(ring):
                out = outward(walls(ring)[at])
                out = (-out[0], -out[1]) if number else out
                return f"{compass(out)} wall"
            at -= len(ring)
    return touch.kind
