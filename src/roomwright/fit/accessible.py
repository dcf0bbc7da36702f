"""The accessible set: what a wheelchair needs in a room, section by section of the standard.

Only where the house chose the set *accessible*. The 2010 ADA Standards bind public places; in a
private house they are a voluntary guide, so nothing here approves and each finding names its
section. What is met is told of turning only; else what is short. Doors stand in `access_doors`.

References
----------
2010 ADA Standards for Accessible Design, US Department of Justice: 304.3 turning space, 305.3 clear
floor, 403.5.1 route, 604.2 and 604.3 toilet, 804.2 kitchens.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace

import shapely

from roomwright.fit.access_doors import doors
from roomwright.fit.aisles import aisles
from roomwright.fit.found import Finding, Verdict, Way, Word
from roomwright.fit.given import LOCALS, Needs, Piece, Room
from roomwright.fit.ground import Ground
from roomwright.fit.habits import use_of
from roomwright.fit.turning_circle import Rect, largest_circle, places, t_turn
from roomwright.fit.verdicts import EVEN, PRACTICE, length
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Outline, Segment, middle, outward, walls

SET = "accessible"
"""The set of figures under which these checks are made."""

NO_TURN = ("closet", "pantry", "storage", "hall", "garage")
"""Uses of rooms that need no turning space of their own here."""

CLEAR_FLOOR = ("range", "refrigerator", "dishwasher", "washer", "vanity", "vanity double")
"""Kinds before which a wheelchair stands."""

HEAD_ON = ("vanity", "vanity double")
"""Kinds that a wheelchair comes up to straight on (606.2)."""

ALONGSIDE = ("refrigerator",)
"""Kinds that a wheelchair comes up to alongside, its middle at most 24 in. off (804.6.6)."""

SHORT_RUN = 24.0
"""Length over which a route may narrow to 32 in. [in] (403.5.1, exception)."""

APART = 48.0
"""Two such lengths nearer together than this are one (403.5.1, exception)."""

RUN_PLAY = 0.25
"""A run is known to this [in]."""

ADA = "2010 ADA Standards"


def free_floor(ground: Ground, but: str = "") -> shapely.Geometry:
    """The floor less all that stands on it; doors may swing into it (304.4). `but` is left out."""
    standing = [
        shape
        for body, shape in zip(ground.bodies, ground.shapes, strict=True)
        if body.what != "swing" and body.id != but
    ]
    return shapely.difference(ground.floor, shapely.union_all(standing))


def check(ground: Ground, needs: Needs, room: Room, ways: Iterable[Way]) -> tuple[Finding, ...]:
    """All that the accessible set asks of a room; nothing under another set."""
    if needs.set_name != SET:
        return ()
    pieces = [piece for piece in ground.pieces if piece.room in (room.id, "")]
    return (
        *turning(ground, needs, room),
        *clear_floors(ground, needs, pieces),
        *doors(ground, needs, room, free_floor(ground)),
        *(found for piece in pieces if piece.sort.name == "toilet"
          for found in toilet(ground, needs, piece)),
        *(kitchen(ground, needs) if use_of(room) == "kitchen" else ()),
        *narrow_runs(ground, needs, room, ways),
    )  # fmt: skip


def told(section: str, word: Word, text: str, room: str, ids: tuple[str, ...] = (),
         **more: object) -> Finding:  # fmt: skip
    """A finding of the accessible set, with its section and the caution."""
    end = f" ({ADA}, {section}); {PRACTICE}."
    return Finding(f"access {section}", word, text + end, room, ids, **more)  # type: ignore[arg-type]


def turning(ground: Ground, needs: Needs, room: Room) -> Iterator[Finding]:
    """Room to turn: the largest circle and its center; if it is too small, the T (304.3)."""
    wanted = needs.get("wheelchair.turn")
    if wanted is None or use_of(room) in NO_TURN:
        return
    floor, within = free_floor(ground), shapely.Polygon(room.outline)
    circle = largest_circle(floor, within)
    if circle is None:
        return
    across, center = circle
    told_at = math.floor(min(across, wanted) * 16 + EVEN) / 16 if across < wanted else across
    said = f"Room {room.id}: the largest circle to turn in is {tape(told_at)}"
    at = (center, center)
    if across >= wanted - EVEN:
        text = f"{said}, {tape(wanted)} wanted: met"
        yield told("304.3.1", Word.MEETS, text, room.id, at=at, figure="wheelchair.turn",
                   clear=across, needs=wanted)  # fmt: skip
        return
    found = t_turn(floor, within, room.outline)
    if found is not None:
        text = f"{said}, but a T of 60 by 60 with arms 36 wide fits: met"
        yield told("304.3.2", Word.MEETS, text, room.id, at=(found[0], found[0]),
                   figure="wheelchair.turn", clear=across, needs=wanted)  # fmt: skip
        return
    text = f"{said}, {tape(wanted)} wanted: short {length(wanted - across)}, and no T fits either"
    yield told("304.3.1", Word.SHORT, text, room.id, at=at, figure="wheelchair.turn",
               by=wanted - across, clear=across, needs=wanted)  # fmt: skip


def clear_floors(ground: Ground, needs: Needs, pieces: Iterable[Piece]) -> Iterator[Finding]:
    """A clear floor of 30 by 48 in. before each fixture, straight on or alongside (305.3)."""
    short, long = needs.get("wheelchair.floor_width"), needs.get("wheelchair.floor_length")
    if short is None or long is None:
        return
    floor = free_floor(ground)
    for piece in pieces:
        if piece.sort.name not in CLEAR_FLOOR:
            continue
        front = piece.edges["front"]
        ahead, along = _lack(floor, front, short, long), _lack(floor, front, long, short)
        lacks = min(ahead, along)
        if lacks <= TOUCH:
            yield from _one_way(piece, ahead, along, short, long)
            continue
        text = (
            f"No clear floor of {tape(short)} by {tape(long)} before the {piece.name} {piece.id}: "
            f"short {length(lacks)} either way round"
        )
        yield told("305.3", Word.SHORT, text, piece.room, (piece.id,), by=lacks,
                   figure="wheelchair.floor_length")  # fmt: skip


def _one_way(
    piece: Piece, ahead: float, along: float, short: float, long: float
) -> Iterator[Finding]:
    """Where the clear floor lies the other way round than the standard asks of this fixture."""
    kind = piece.sort.name
    if kind in HEAD_ON and ahead > TOUCH:
        text = (
            f"The {piece.name} {piece.id} has its clear floor alongside only; straight on, "
            f"{tape(long)} deep, it is short {length(ahead)} unless knees find that under it (306)"
        )
        yield told("606.2", Word.SHORT, text, piece.room, (piece.id,), by=ahead,
                   figure="wheelchair.floor_length")  # fmt: skip
    if kind in ALONGSIDE and along > TOUCH:
        text = (
            f"The {piece.name} {piece.id} has its clear floor straight on only; alongside, "
            f"{tape(long)} wide and {tape(short)} deep, it is short {length(along)}"
        )
        yield told("804.6.6", Word.SHORT, text, piece.room, (piece.id,), by=along,
                   figure="wheelchair.floor_width")  # fmt: skip


def _lack(floor: shapely.Geometry, front: Segment, width: float, depth: float) -> float:
    """How much deeper the floor would have to be for a rectangle that covers the middle of a front.

    The rectangle may be pushed sideways as far as it still covers that middle.
    """
    (mx, my), (ox, oy) = middle(front), outward(front)
    turn = math.degrees(math.atan2(oy, ox)) - 90
    reach = width / 2 - EVEN
    line = shapely.LineString(
        [(mx - k * reach * oy, my + k * reach * ox) for k in (-1, 1)]
    )  # along the front

    def fits(deep: float) -> bool:
        rect: Rect = (-width / 2, 0.0, width / 2, deep)
        return bool(shapely.intersects(places(floor, [rect], turn), line))

    if fits(depth):
        return 0.0
    low, high = 0.0, depth
    while high - low > 1 / 32:
        deep = (low + high) / 2
        low, high = (deep, high) if fits(deep) else (low, deep)
    return depth - low


def toilet(ground: Ground, needs: Needs, piece: Piece) -> Iterator[Finding]:
    """Its center 16 to 18 in. from a side wall, and a clear floor of 60 by 56 (604.2, 604.3)."""
    least, most = needs.get("bath.toilet_side"), needs.get("bath.toilet_side_most")
    wide, deep = needs.get("bath.toilet_clear_width"), needs.get("bath.toilet_clear_depth")
    if least is None or most is None or wide is None or deep is None:
        return
    _, _, width, _ = piece.where
    own = ground.owners(ids=(piece.id,))
    edges = dict(zip(LOCALS, walls(piece.box), strict=True))
    off: dict[str, float] = {}
    for side in ("left", "right"):
        ahead = ground.ahead(edges[side], own)
        if ahead is not None and ahead.owner < len(ground.rings):
            off[side] = ahead.clear + width / 2
    if not off:
        yield told("604.2", Word.MEASURE, f"The {piece.name} {piece.id} has no wall beside it",
                   piece.room, (piece.id,))  # fmt: skip
        return
    lacks = {side: max(least - v, v - most, 0.0) for side, v in off.items()}
    side = min(lacks, key=lambda each: lacks[each])
    if lacks[side] > EVEN:
        text = (
            f"The center of the {piece.name} {piece.id} is {tape(off[side])} from the side wall, "
            f"{tape(least)} to {tape(most)} wanted: off by {length(lacks[side])}"
        )
        yield told("604.2", Word.SHORT, text, piece.room, (piece.id,), by=lacks[side],
                   figure="bath.toilet_side", clear=off[side], needs=least)  # fmt: skip
    rear = ground.ahead(edges["back"], own)
    behind = rear.clear if rear is not None and rear.owner < len(ground.rings) else 0.0
    floor = free_floor(ground, but=piece.id)
    fits = [_beside_toilet(floor, piece, each, off[each], behind, wide, deep) for each in off]
    lack = min(fits)
    if lack > TOUCH:
        text = (
            f"The clear floor at the {piece.name} {piece.id}, {tape(wide)} from the side wall by "
            f"{tape(deep)} from the wall behind, is short {length(lack)}"
        )
        yield told("604.3.1", Word.SHORT, text, piece.room, (piece.id,), by=lack,
                   figure="bath.toilet_clear_width")  # fmt: skip


def _beside_toilet(
    floor: shapely.Geometry, piece: Piece, side: str, off: float, behind: float, wide: float,
    deep: float,
) -> float:  # fmt: skip
    """What the clear floor lacks in width or in depth, whichever is less to find."""
    x, y, _, depth = piece.where
    turn = math.radians(piece.turn)
    cos, sin = math.cos(turn), math.sin(turn)
    right = 1.0 if side == "left" else -1.0  # local x grows to the left as one faces the front
    to_wall = off if side == "left" else -off

    def fits(w: float, d: float) -> bool:
        ends = sorted((to_wall, to_wall - right * w))
        south, north = -depth / 2 - behind, -depth / 2 - behind + d
        corners = [(ends[0], south), (ends[1], south), (ends[1], north), (ends[0], north)]
        ring: Outline = tuple((x + u * cos - v * sin, y + u * sin + v * cos) for u, v in corners)
        inner = shapely.buffer(shapely.Polygon(ring), -TOUCH, join_style="mitre")
        return bool(shapely.covers(floor, inner))

    def lack(least: float, full: float, wider: bool) -> float:
        low, high = 0.0, full
        if not (fits(least, deep) if wider else fits(wide, least)):
            return math.inf
        while high - low > 1 / 32:
            mid = (low + high) / 2
            good = fits(mid, deep) if wider else fits(wide, mid)
            low, high = (mid, high) if good else (low, mid)
        return full - low

    if fits(wide, deep):
        return 0.0
    found = min(lack(1.0, wide, True), lack(1.0, deep, False))
    return found if math.isfinite(found) else max(wide, deep)


def kitchen(ground: Ground, needs: Needs) -> Iterator[Finding]:
    """Between counters that face: 40 to pass through, 60 where one end is shut (804.2)."""
    through, shut = needs.get("kitchen.facing"), needs.get("kitchen.u_shape")
    if through is None or shut is None:
        return
    shapes = dict(zip((body.id for body in ground.bodies), ground.shapes, strict=True))
    floor = free_floor(ground)
    for aisle in aisles(ground, needs):
        first, second = (shapes[id_] for id_ in aisle.ids)
        dead = open_ends(floor, first, second) < 2
        wanted, section = (shut, "804.2.2") if dead else (through, "804.2.1")
        clear = aisle.clear or 0.0
        if clear >= wanted - EVEN:
            continue
        text = (
            f"Between {aisle.ids[0]} and {aisle.ids[1]}: {tape(clear)}, {tape(wanted)} wanted"
            f"{' where one end is shut' if dead else ''}: short {length(wanted - clear)}"
        )
        yield told(section, Word.SHORT, text, aisle.room, aisle.ids, by=wanted - clear,
                   figure="kitchen.u_shape" if dead else "kitchen.facing", at=aisle.at,
                   clear=clear, needs=wanted)  # fmt: skip


def open_ends(floor: shapely.Geometry, first: shapely.Polygon, second: shapely.Polygon) -> int:
    """By how many ends one gets out from between two things that face each other."""
    both = shapely.union(first, second)
    between = shapely.difference(shapely.convex_hull(both), both)
    lane = max(shapely.get_parts(between), key=lambda part: part.area)
    mouths = shapely.difference(shapely.boundary(lane), shapely.buffer(both, TOUCH))
    merged = shapely.line_merge(mouths) if mouths.geom_type != "LineString" else mouths
    count = 0
    for mouth in shapely.get_parts(merged):
        if shapely.length(mouth) <= TOUCH:
            continue
        out = shapely.difference(shapely.buffer(mouth, 2.0, cap_style="flat"), lane)
        count += shapely.area(shapely.intersection(out, floor)) > shapely.length(mouth)
    return count


def narrow_runs(ground: Ground, needs: Needs, room: Room, ways: Iterable[Way]) -> Iterator[Finding]:
    """Where a route under 36 in. stays so for more than 24 in. of its length (403.5.1)."""
    full = needs.get("walkway.main")
    mine = {o.id for o in ground.space.openings if o.room == room.id}
    for way in ways:
        run = run_of(ground, needs, way) if {way.from_, way.to} & mine else None
        if full is None or run is None or run <= SHORT_RUN + RUN_PLAY:
            continue
        text = (
            f"The walk path from {way.from_} to {way.to} is {tape(way.tightest)} wide for about "
            f"{length(round(run))}; under {tape(full)} it may be for {tape(SHORT_RUN)} at most"
        )
        yield told("403.5.1", Word.SHORT, text, room.id, (way.from_, way.to),
                   by=full - way.tightest, figure="walkway.main", at=(way.p, way.q),
                   clear=way.tightest, needs=full)  # fmt: skip


def excepted(ground: Ground, needs: Needs, way: Way) -> Way:
    """A way with its verdict by the exception: 32 in. do for no more than 24 in. (403.5.1)."""
    least = needs.get("walkway.minimum")
    if needs.set_name != SET or least is None or way.verdict.word is not Word.SHORT:
        return way
    run = run_of(ground, needs, way)
    if run is None or run > SHORT_RUN + RUN_PLAY:
        return way
    text = f"meets {tape(least)} for no more than {tape(SHORT_RUN)} of its length (403.5.1)"
    lost = ((way.tightest - least, Word.BLOCKED),)
    return replace(way, verdict=Verdict(Word.MEETS, text, steps=lost))


def run_of(ground: Ground, needs: Needs, way: Way) -> float | None:
    """How long a way is narrower than the full width [in]; None where it is not, or is shut."""
    full, least = needs.get("walkway.main"), needs.get("walkway.minimum")
    if full is None or least is None or all("jamb" in end for end in way.between):
        return None
    if not least - EVEN <= way.tightest < full - EVEN:
        return None
    solid = shapely.union_all(
        [ground.floor.boundary]
        + [s for b, s in zip(ground.bodies, ground.shapes, strict=True) if b.what != "swing"]
    )
    return _run(ground.floor, solid, way, full)


def _run(floor: shapely.Polygon, solid: shapely.Geometry, way: Way, full: float) -> float:
    """How long a way is narrower than `full` about its tightest place [in].

    That is what of its line no full body covers, and what it covers past the mouths of a lane.
    Lanes that lie nearer together than 48 in. are one.
    """
    if len(way.points) < 2:
        return math.inf
    line, half = shapely.LineString(way.points), full / 2
    room = shapely.difference(floor, shapely.buffer(solid, half, quad_segs=64))
    covered = shapely.buffer(room, half + EVEN, quad_segs=64)
    ends = sorted(
        sorted(float(shapely.line_locate_point(line, shapely.Point(at))) for at in (p.coords[0],
               p.coords[-1]))
        for p in shapely.get_parts(shapely.difference(line, covered)).tolist()
        if shapely.length(p) > 0
    )  # fmt: skip
    if not ends:
        return 0.0
    past = half - math.sqrt(max(0.0, half**2 - (way.tightest / 2) ** 2))
    lanes: list[tuple[float, float]] = []
    for low, high in ends:
        start = low - past if low > EVEN else low
        end = high + past if high < shapely.length(line) - EVEN else high
        if lanes and start - lanes[-1][1] < APART:
            start, end = lanes.pop()[0], end
        lanes.append((start, end))
    at = float(shapely.line_locate_point(line, shapely.Point(middle((way.p, way.q)))))
    low, high = min(lanes, key=lambda lane: max(lane[0] - at, at - lane[1]))
    return high - low
