"""Plans: a room or a storey as it is to be drawn, from the facts and what fits there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from roomwright import shape
from roomwright.answers import (
    layers,
    plan_build,
    plan_ceilings,
    plan_centers,
    plan_dims,
    plan_walls,
)
from roomwright.answers.engine import Ask, query
from roomwright.answers.plan_model import (
    Box,
    Dim,
    Opening,
    Piece,
    Plan,
    Rise,
    Storey,
    StoreyRoom,
    Thing,
    Window,
    Word,
)
from roomwright.answers.rooms import door, room_fit
from roomwright.fit import model as fit
from roomwright.job import entities
from roomwright.lengths import area, words
from roomwright.shape import Outline, Segment

UPWARD = ("short", "blocked", "measure", "tight")
"""Verdicts that a storey tells of, each as a count; what fits goes without saying."""


@query("plan")
def plan(ask: Ask, room: str) -> Plan:
    """One room as it is to be drawn.

    Raises
    ------
    MissingFactError
        If there is no such room.
    """
    this = ask.fact(entities.Room, room)
    outline = _outline(ask, this)
    recorded = ask(layers.finished, room)
    around = _level(ask, this.level)
    outlines = {each.id: _outline(ask, each) for each in around}
    names = _names(ask, around)
    found = ask(room_fit, room)
    openings = _openings(ask, room, outlines, names)
    windows = _windows(ask, room, outline)
    things = _things(ask, room)
    pieces = tuple(p for each in found.pieces if (p := plan_build.piece(each)) is not None)
    boxes = tuple(
        Box(each.id, each.kind or "ceiling box", float(each.x), float(each.y))
        for each in ask.where(entities.Light, "room", room)
        if each.x is not None and each.y is not None
    )
    solids = [t.outline for t in things] + [p.outline for p in pieces]
    slots = [plan_walls.slot(*each) for each in _gaps(openings, windows)]
    others = [ring for id_, ring in outlines.items() if id_ != room]
    ends = {each.id: each.to_name for each in openings}
    contours, rises = plan_ceilings.sloped(this, outline, ask.where(entities.Slope, "room", room))
    sides = plan_dims.side_dims(found, solids, outline)
    called = {t.id: t.name for t in things} | {p.id: p.name for p in pieces}
    named = plan_dims.finding_dims(found, sides, called)
    walls = plan_dims.wall_dims(recorded)
    dims = (
        *walls,
        *plan_dims.with_ways(found, ends, openings, [*sides, *named], outline),
        *plan_dims.box_dims(boxes, recorded),
        *plan_dims.opening_dims(openings, recorded),
        *plan_centers.center_dims(found),
    )
    return Plan(
        id=room,
        name=this.name or room,
        outline=outline,
        walls=plan_walls.solids([outline], others, slots),
        openings=openings,
        windows=windows,
        things=things,
        pieces=pieces,
        boxes=boxes,
        dims=unique(dims),
        ways=plan_build.ways(found, ends, outline),
        zones=plan_build.zones(found, outline),
        letters=shape.lettered(recorded),
        said=_said(this, outline, openings, found, rises),
        centers=plan_centers.centers(found),
        recorded=recorded,
        contours=contours,
        rises=rises,
    )


@query("storey")
def storey(ask: Ask, level: str) -> Storey:
    """One level of the house with the worst verdict of each room."""
    rooms = _level(ask, level)
    outlines = {each.id: _outline(ask, each) for each in rooms}
    names = _names(ask, rooms)
    seen: dict[str, Opening] = {}
    windows: list[Window] = []
    things: list[Thing] = []
    pieces: list[Piece] = []
    drawn: list[StoreyRoom] = []
    for each in rooms:
        for opening in _openings(ask, each.id, outlines, names):
            seen.setdefault(opening.id, opening)
        windows += _windows(ask, each.id, outlines[each.id])
        things += _things(ask, each.id)
        pieces += (p for f in ask(room_fit, each.id).pieces if (p := plan_build.piece(f)))
        drawn.append(_storey_room(ask, each, outlines[each.id]))
    slots = [plan_walls.slot(*each) for each in _gaps(seen.values(), windows)]
    everything = list(outlines.values())
    told = "; ".join(f"{room.name}: {room.state or 'nothing asked'}" for room in drawn)
    return Storey(
        id=level,
        name=level_name(level),
        rooms=tuple(drawn),
        walls=plan_walls.solids(everything, [], slots),
        openings=tuple(seen.values()),
        windows=tuple(windows),
        things=tuple(things),
        pieces=tuple(pieces),
        lines=plan_walls.unwalled(everything),
        said=f"{level_name(level)} seen from above, north up. {told}.",
    )


@query("levels")
def levels(ask: Ask) -> tuple[str, ...]:
    """The house's levels, the highest first where they are numbers, else as they stand."""
    found = dict.fromkeys(each.level for each in ask.all(entities.Room))
    try:
        return tuple(sorted(found, key=lambda level: -float(level)))
    except ValueError:
        return tuple(found)


def level_name(level: str) -> str:
    """What a builder calls a level.

    >>> level_name("1"), level_name("2"), level_name("Attic")
    ('Downstairs', 'Upstairs', 'Attic')
    """
    known = {"0": "Basement", "1": "Downstairs", "2": "Upstairs", "3": "Third floor"}
    return known.get(level, level)


def unique(dims: Iterable[Dim]) -> tuple[Dim, ...]:
    """The first dimension of each key."""
    found: dict[str, Dim] = {}
    for each in dims:
        found.setdefault(each.key, each)
    return tuple(found.values())


# --- parts ---------------------------------------------------------------------------------------


def _outline(ask: Ask, room: entities.Room) -> Outline:
    return shape.anticlockwise(ask(layers.finished, room.id))


def _level(ask: Ask, level: str) -> tuple[entities.Room, ...]:
    return ask.where(entities.Room, "level", level)


def _names(ask: Ask, rooms: Sequence[entities.Room]) -> Mapping[str, str]:
    return {each.id: each.name or each.id for each in rooms}


def _openings(
    ask: Ask, room: str, outlines: Mapping[str, Outline], names: Mapping[str, str]
) -> tuple[Opening, ...]:
    facts = {
        each.id: each
        for field in ("from_room", "to_room")
        for each in ask.where(entities.Opening, field, room)
    }
    near = [plan_build.opening(door(each), room, outlines, names) for each in facts.values()]
    return tuple(each for each in near if each is not None)


def _windows(ask: Ask, room: str, outline: Outline) -> tuple[Window, ...]:
    return tuple(
        plan_build.window(
            each.id,
            (float(each.a[0]), float(each.a[1])),
            (float(each.b[0]), float(each.b[1])),
            outline,
        )
        for each in ask.where(entities.Window, "room", room)
    )


def _gaps(openings: Iterable[Opening], windows: Iterable[Window]) -> list[tuple[Segment, Segment]]:
    """Both faces of all that is cut out of the walls."""
    return [(o.near, o.far) for o in openings] + [(w.near, w.far) for w in windows]


def _things(ask: Ask, room: str) -> tuple[Thing, ...]:
    stairs = ask.where(entities.Stair, "from_room", room)
    run = float(stairs[0].run) if stairs and stairs[0].run else None
    return tuple(
        plan_build.thing(each.id, each.name, shape.anticlockwise(_ring(each.outline)), run)
        for each in ask.where(entities.Fixed, "room", room)
    )


def _ring(outline: entities.Outline) -> Outline:
    return tuple((float(x), float(y)) for x, y in outline)


def _storey_room(ask: Ask, room: entities.Room, outline: Outline) -> StoreyRoom:
    found = ask(room_fit, room.id)
    counts = tally(found)
    word = plan_build.worst(counts)
    state = f"{counts[word]} {word}" if word in UPWARD else word
    said = ", ".join(f"{n} {each}" for each, n in counts.items()) or "nothing asked"
    return StoreyRoom(room.id, room.name or room.id, outline, word, state, said)


def tally(found: fit.RoomFit) -> dict[Word, int]:
    """How many pieces, walk paths and findings of a room have each verdict, the gravest first."""
    told = [plan_build.word_of(each.verdict) for each in found.pieces]
    told += [plan_build.word_of(each.verdict) for each in found.ways]
    about = {each.piece.id for each in found.pieces}
    told += [
        plan_build.word_of(fit.Verdict(each.severity, ""))
        for each in found.findings
        if not about.intersection(each.ids)
    ]
    grave = sorted(set(told) - {""}, key=fit_rank, reverse=True)
    return {word: told.count(word) for word in grave}


def fit_rank(word: Word) -> int:
    """A verdict word's place from mild to grave."""
    return list(fit.Word).index(fit.Word(word))


def _said(
    room: entities.Room, outline: Outline, openings: Sequence[Opening], found: fit.RoomFit,
    rises: Sequence[Rise],
) -> str:  # fmt: skip
    """The plan in words, for those who do not see it."""
    wide = max(p[0] for p in outline) - min(p[0] for p in outline)
    deep = max(p[1] for p in outline) - min(p[1] for p in outline)
    told = [
        f"{room.name or room.id}, {words(wide)} east to west, {words(deep)} south to north, "
        f"{area(found.area)}, seen from above with north up."
    ]
    if openings:
        told.append("Openings: " + ", ".join(f"{o.id} to {o.to_name}" for o in openings) + ".")
    told += [f"Sloped {each.text}." for each in rises]
    told += [f"{f.piece.name or f.piece.kind}: {f.verdict.text}." for f in found.pieces]
    told += [
        f"Walk path {w.from_} to {w.to}: tightest {words(w.tightest)}, {w.verdict.text}."
        for w in found.ways
    ]
    return " ".join(told)
