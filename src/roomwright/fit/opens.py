"""Drawers and doors of pieces: the floor they take when open, what stops them, who stands there.

A drawer or a drop door comes straight out over the piece's width; a hinged door turns about a
corner of the front and sweeps a quarter disc. A sloped ceiling stops them only where it is lower
than the piece is high; whether the person before them stands upright is another matter. How far
is the feature's word (``drawers 20``, ``door hinge left 24``) or else the figure of its kind.
Where nobody said which side a door is hinged on, both are tried: it is stopped only if either
way is.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import shapely

from roomwright.fit.clear import Ahead
from roomwright.fit.ground import Ground
from roomwright.fit.headroom import low_ahead, too_low_for
from roomwright.fit.kinds import Opens
from roomwright.fit.model import HEADROOM, Finding, Leaf, Needs, Piece, Word, Zone
from roomwright.fit.swings import AS_GOOD_AS_SQUARE, PLAY, opens_to
from roomwright.fit.verdicts import EVEN, length
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Outline, Segment, compass, extent, outward, sector


@dataclass(frozen=True, slots=True)
class Opened:
    """One thing that opens: how far [in], and the floor it takes; `leaf` if it turns."""

    opens: Opens
    reach: float
    outline: Outline
    hinge: str = ""
    leaf: Leaf | None = None


def opened(piece: Piece, needs: Needs) -> tuple[Opened, ...]:
    """What opens before a placed piece; a door of unknown hand once for each hand.

    >>> range_ = Piece("K1", "range", "range", 30, 28, 36, 100, 14)
    >>> [(o.reach, o.outline) for o in opened(range_, Needs({"open.oven": 20}))]
    [(20.0, ((115.0, 28.0), (115.0, 48.0), (85.0, 48.0), (85.0, 28.0)))]
    """
    told = piece.told
    found: list[Opened] = []
    for opens in piece.sort.opens:
        if opens.said and not (told.hinge or told.reach):
            continue
        how = opens.how
        if told.hinge and how != "out":
            how = "down" if told.hinge == "down" else "hinge"
        if how == "hinge":
            found += _hinged(piece, opens)
        else:
            reach = told.reach or _reach(piece, opens, needs)
            if reach > TOUCH:
                found.append(Opened(opens, float(reach), straight_out(piece.edges["front"], reach)))
    return tuple(found)


def _reach(piece: Piece, opens: Opens, needs: Needs) -> float:
    if opens.reach:
        return needs.get(opens.reach) or 0.0
    return max(0.0, piece.where[3] - (needs.get("open.drawer_less") or 0.0))


def straight_out(edge: Segment, reach: float) -> Outline:
    """The rectangle straight out from a side, anticlockwise, the side first."""
    (ax, ay), (bx, by) = edge
    ox, oy = outward(edge)
    return (
        (ax, ay),
        (ax + reach * ox, ay + reach * oy),
        (bx + reach * ox, by + reach * oy),
        (bx, by),
    )


def _hinged(piece: Piece, opens: Opens) -> Iterator[Opened]:
    """Its leaves: of one hand, of two halves, or of either hand where that is not said."""
    told = piece.told
    left, right = piece.edges["front"]  # left as one faces the front
    out = outward((left, right))
    width = math.dist(left, right)
    wide = min(width, told.reach or (width / 2 if told.hinge == "two" else width))
    hands = ("left", "right") if told.hinge in ("", "two", "down") else (told.hinge,)
    for hand in hands:
        pivot, toward = (left, right) if hand == "left" else (right, left)
        shut = (
            pivot[0] + wide * (toward[0] - pivot[0]) / width,
            pivot[1] + wide * (toward[1] - pivot[1]) / width,
        )
        open_ = (pivot[0] + wide * out[0], pivot[1] + wide * out[1])
        leaf = Leaf(piece.id, piece.id, pivot, shut, open_, piece.room, wide, 0.0)
        either = "" if told.hinge in ("two", hand) else hand
        yield Opened(opens, wide, sector(pivot, shut, open_), either, leaf)


def zones_of(piece: Piece, needs: Needs) -> tuple[Zone, ...]:
    """The floor that its drawers and doors take while open, and the person before it.

    A door of unknown hand takes none: whoever orders it still chooses the side.
    """
    cooks = piece.sort.aisle and bool(piece.sort.needs)
    if not (piece.sort.opens or cooks):
        return ()
    front = piece.edges["front"]
    side, name = compass(outward(front)), f"{piece.name} {piece.id}"
    found: list[Zone] = []
    for each in opened(piece, needs):
        if each.hinge:
            continue
        part = each.opens.part
        found.append(Zone(piece.id, name, side, each.outline, "open", part, piece.room))
        deep = needs.get(each.opens.person) if each.opens.person else None
        if deep is not None and deep > TOUCH and each.leaf is None:
            _, far_a, far_b, _ = each.outline  # who stands before it stands beyond its reach
            spot, before = straight_out((far_a, far_b), deep), f"person before the open {part}"
            found.append(Zone(piece.id, name, side, spot, "before", before, piece.room))
    person = needs.get("open.person") or 0.0
    if cooks and person > TOUCH:
        spot = straight_out(front, person)
        found.append(Zone(piece.id, name, side, spot, "stand", "person", piece.room))
    return tuple(found)


def stopped(ground: Ground, piece: Piece, needs: Needs) -> tuple[Finding, ...]:
    """What keeps a piece's drawers and doors from opening, and people from standing there."""
    if not piece.sort.opens:
        return ()
    found: list[Finding] = []
    turned: list[tuple[Opened, Finding | None]] = []
    for each in opened(piece, needs):
        if each.leaf is None:
            found += _straight(ground, piece, each, needs)
        else:
            turned.append((each, _turned(ground, piece, each)))
    return (*found, *_by_hand(piece, turned))


def _by_hand(piece: Piece, turned: list[tuple[Opened, Finding | None]]) -> list[Finding]:
    """Findings of hinged doors; of a door of unknown hand only where no hand is free."""
    wrong = [finding for _, finding in turned if finding is not None]
    if not any(each.hinge for each, _ in turned):
        return wrong
    free = [each.hinge for each, finding in turned if finding is None]
    if len(free) == len(turned):
        return []
    if free:
        text = f"Order the {piece.name} {piece.id} with its door hinged on the {free[0]}: {{}}"
        why = f"on the other side it {wrong[0].text.split(' and ', 1)[-1]}"
        ids = wrong[0].ids
        return [Finding("door hand", Word.FITS, text.format(why), piece.room, ids)]
    return [replace(wrong[0], text=f"{wrong[0].text} Hinged on either side it is stopped.")]


def _turned(ground: Ground, piece: Piece, each: Opened) -> Finding | None:
    """What stops a leaf before it is as good as square; None if nothing does."""
    assert each.leaf is not None  # noqa: S101 - only leaves come here
    disc = shapely.Polygon(each.outline)
    worst: tuple[float, str, str] | None = None
    met = zip(ground.bodies, ground.shapes, strict=True)
    solids = [(body, solid) for body, solid in met if body.what not in ("swing", "slope")]
    solids += [(low, shapely.Polygon(low.outline)) for low in too_low_for(ground, piece)]
    for body, solid in solids:
        if body.owner == piece.id or body.id == piece.id:
            continue
        if body.low >= (piece.height or HEADROOM) or not shapely.intersects(disc, solid):
            continue
        shared = shapely.intersection(disc, solid)
        if extent(shared, PLAY) is not None:
            worst = _worse(worst, opens_to(each.leaf, shared), f"{body.name} {body.id}", body.id)
    roomy = shapely.buffer(ground.floor, PLAY)
    if not shapely.covers(roomy, disc):
        beyond = shapely.difference(disc, roomy)
        if extent(beyond, TOUCH) is not None:
            worst = _worse(worst, opens_to(each.leaf, beyond), "wall", "")
    if worst is None or worst[0] >= AS_GOOD_AS_SQUARE:
        return None
    degrees, name, id_ = worst
    how = f"opens only {round(degrees)} of 90 degrees" if degrees >= 0.5 else "can't open at all"
    text = (
        f"The {each.opens.part} of the {piece.name} {piece.id} hits the {name} and {how}: "
        "hinge it on its other side, or move one of them."
    )
    ids = tuple(filter(None, (piece.id, id_)))
    return Finding("stopped", Word.BLOCKED, text, piece.room, ids)


def _worse(
    was: tuple[float, str, str] | None, degrees: float, name: str, id_: str
) -> tuple[float, str, str]:
    return (degrees, name, id_) if was is None or degrees < was[0] else was


def _straight(ground: Ground, piece: Piece, each: Opened, needs: Needs) -> Iterator[Finding]:
    """A drawer or a drop door against what stands before it, then the person there."""
    own = (*ground.owners(ids=(piece.id,)), *ground.swings)
    ahead = ground.ahead(piece.edges["front"], (*own, *ground.owners(what="slope")))
    slope, met = low_ahead(ground, piece, piece.edges["front"])
    under = met is not None and (ahead is None or met.clear < ahead.clear)
    ahead = met if under else ahead
    clear = math.inf if ahead is None else ahead.clear
    part = f"{each.opens.part} of the {piece.name} {piece.id}"
    if ahead is not None and clear < each.reach - EVEN:
        name, id_ = (f"slope {slope}", slope) if under else ground.name_of(ahead)
        drawer = each.opens.how == "out"
        comes = f"comes out {tape(clear)} of {tape(each.reach)}"
        if clear <= TOUCH:
            comes = "can't open at all"
        text = f"The {part} meets the {name} and {comes}: move one of them."
        yield Finding(
            "stopped",
            Word.SHORT if drawer and clear > TOUCH else Word.BLOCKED,
            text,
            piece.room,
            tuple(filter(None, (piece.id, id_))),
            by=each.reach - clear,
            figure=each.opens.reach,
            at=(ahead.p, ahead.q),
            clear=clear,
            needs=each.reach,
        )
        return
    wanted = needs.get(each.opens.person) if each.opens.person else None
    short = wanted is not None and clear - each.reach < wanted - EVEN
    if short and ahead is not None and wanted is not None and not under:
        yield _person(ground, piece, each, ahead, wanted)
    elif not each.opens.beside:
        yield from _upright(ground, piece, each, needs)
    beside = needs.get(each.opens.beside) if each.opens.beside else None
    if beside is not None:
        yield from _beside(ground, piece, each, beside, own)


def _person(ground: Ground, piece: Piece, each: Opened, ahead: Ahead, wanted: float) -> Finding:
    left = ahead.clear - each.reach
    name, id_ = ground.name_of(ahead)
    text = (
        f"With the {each.opens.part} of the {piece.name} {piece.id} open "
        f"({tape(each.reach)} out), {tape(left)} is left to the {name} for the person before it, "
        f"{tape(wanted)} wanted: short {length(wanted - left)}."
    )
    return Finding(
        "standing",
        Word.SHORT,
        text,
        piece.room,
        tuple(filter(None, (piece.id, id_))),
        by=wanted - left,
        figure=each.opens.person,
        at=(ahead.p, ahead.q),
        clear=left,
        needs=wanted,
    )


def _upright(ground: Ground, piece: Piece, each: Opened, needs: Needs) -> Iterator[Finding]:
    """How much of the floor of the person before it lies under a slope too low to stand."""
    figure = each.opens.person or "open.person"
    wanted = needs.get(figure)
    if wanted is None or wanted <= TOUCH:
        return
    _, (px, py), (qx, qy), _ = each.outline  # the far edge of what is open
    ox, oy = outward(piece.edges["front"])
    spot = shapely.Polygon(straight_out(((px, py), (qx, qy)), wanted))
    worst: tuple[float, str] | None = None
    for body, shape in zip(ground.bodies, ground.shapes, strict=True):
        if body.what != "slope" or not shapely.intersects(spot, shape):
            continue
        shared = shapely.intersection(spot, shape)
        if extent(shared, TOUCH) is None:
            continue
        off = [(x - px) * ox + (y - py) * oy for x, y in shapely.get_coordinates(shared).tolist()]
        if worst is None or max(off) - min(off) > worst[0]:
            worst = max(off) - min(off), body.id
    if worst is None or worst[0] <= EVEN:
        return
    by, id_ = worst
    text = (
        f"The {each.opens.part} of the {piece.name} {piece.id} opens ({tape(each.reach)} out), "
        f"but the person before it can't stand upright: the slope {id_} is lower than "
        f"{tape(HEADROOM)} over {tape(by)} of the {tape(wanted)} wanted."
    )
    yield Finding(
        "standing",
        Word.SHORT,
        text,
        piece.room,
        (piece.id, id_),
        by=by,
        figure=figure,
        clear=wanted - by,
        needs=wanted,
    )


def _beside(
    ground: Ground, piece: Piece, each: Opened, wanted: float, own: tuple[int, ...]
) -> Iterator[Finding]:
    """Room for a person at one side of an open door, whichever side has more."""
    a, b, c, d = each.outline
    best: Ahead | None = None
    for edge in ((a, b), (c, d)):
        ahead = ground.ahead(edge, own)
        if ahead is None:
            return
        best = ahead if best is None or ahead.clear > best.clear else best
    if best is None or best.clear >= wanted - EVEN:
        return
    text = (
        f"Beside the open {each.opens.part} of the {piece.name} {piece.id} {tape(best.clear)} is "
        f"left to stand, {tape(wanted)} wanted at one side: short {length(wanted - best.clear)}."
    )
    yield Finding(
        "standing",
        Word.SHORT,
        text,
        piece.room,
        (piece.id,),
        by=wanted - best.clear,
        figure=each.opens.beside,
        at=(best.p, best.q),
        clear=best.clear,
        needs=wanted,
    )


def behind(ground: Ground, piece: Piece) -> tuple[Finding, ...]:
    """Where the vent or the hoses behind a piece have no room."""
    wanted = piece.told.behind if piece.features else 0.0
    if wanted <= 0:
        return ()
    ahead = ground.ahead(piece.edges["back"], ground.owners(ids=(piece.id,)))
    if ahead is None or ahead.clear >= wanted - EVEN:
        return ()
    what = "vent" if piece.told.vent >= wanted else "hoses"
    name, id_ = ground.name_of(ahead)
    text = (
        f"{tape(ahead.clear)} between the {piece.name} {piece.id} and the {name} behind it, "
        f"{tape(wanted)} wanted for its {what}: short {length(wanted - ahead.clear)}. Pull it "
        "forward; a vent that is crushed can catch fire: follow local code and licensed practice."
    )
    ids = tuple(filter(None, (piece.id, id_)))
    at = (ahead.p, ahead.q)
    return (
        Finding(
            "behind", Word.SHORT, text, piece.room, ids, by=wanted - ahead.clear, at=at,
            clear=ahead.clear, needs=wanted,
        ),
    )  # fmt: skip
