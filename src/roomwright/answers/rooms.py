"""Rooms: what fits, where it is short, where people walk, from the facts of the house."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import cast, get_args

from roomwright import figures
from roomwright.answers import layers
from roomwright.answers.engine import Ask, query
from roomwright.answers.grounds import ground_of
from roomwright.answers.own_kinds import own_kinds
from roomwright.answers.stage import walls_closed
from roomwright.fit import evaluate, model
from roomwright.fit.features import without_features
from roomwright.fit.kinds import Kind
from roomwright.fit.model import Body, Needs, Use, Word
from roomwright.fit.seats import handbook_lengths
from roomwright.fit.spaces import Contents, Door, group_of, space
from roomwright.fit.walks import walks
from roomwright.job import entities
from roomwright.job.entities import House
from roomwright.shape import Outline, Point

NINETY_FIVE = 1.96
"""Standard deviations within which 95 % of readings lie."""

TYPICAL = 100.0
"""A clear distance in a room, for the part of the tape's error that grows with length [in]."""


@query("figures in force")
def figures_in_force(ask: Ask, room: str) -> figures.Figures:
    """The figures a room goes by: the house's set, its overrides, then the room's own.

    With an empty room the house's. An override is written ``dining.rise`` or ``101:dining.rise``.
    """
    house = ask.find(House, "house")
    if house is None:
        return figures.load().choose()
    chosen = figures.load().choose(house.figures)
    mine = {key: value for key, value in house.overrides.items() if ":" not in key}
    chosen = chosen.override(mine)
    own = _own_overrides(house, room)
    return chosen.override(own, where=f"room {room}") if own else chosen


def _own_overrides(house: House | None, room: str) -> dict[str, str]:
    overrides = {} if house is None else house.overrides
    split = ((key.partition(":"), value) for key, value in overrides.items())
    return {key: value for (where, colon, key), value in split if colon and where == room}


@query("needs")
def needs(ask: Ask, room: str) -> Needs:
    """The figures of a room as plain numbers, and the tape's 95 % error."""
    chosen = ask(figures_in_force, room)
    house = ask.find(House, "house")
    sigma = float(house.tape_sigma) if house is not None else 0.125
    sigma += float(chosen.get("tape.scale").value) * TYPICAL
    own = ask(own_kinds)
    handbook = figures.load().seat_rule(chosen.set) == "handbook"
    lengths = handbook_lengths() if handbook else {}
    return Needs(
        figures={**{f.key: float(f.value) for f in chosen}, **lengths, **own.figures},
        tape=NINETY_FIVE * sigma,
        source={**{figure.key: figure.cite() for figure in chosen}, **own.source},
        set_name=chosen.set,
    )


@query("joined rooms")
def joined(ask: Ask, room: str) -> tuple[str, ...]:
    """The rooms that are one space with a room, in the order of their ids."""
    ask.fact(entities.Room, room)
    found = [room]
    for each in found:
        for other in group_of(each, map(door, openings_of(ask, each))):
            if other not in found and ask.find(entities.Room, other) is not None:
                found.append(other)
    return tuple(sorted(found))


@query("space")
def space_of(ask: Ask, group: tuple[str, ...]) -> model.Space:
    """Rooms that are open to each other, and all that stands in them.

    Raises
    ------
    ValueError
        If the rooms do not meet.
    """
    rooms = [room_of(ask, each) for each in group]
    openings = {each.id: each for room in group for each in openings_of(ask, room)}
    behind = {r for o in openings.values() for r in (o.from_room, o.to_room)}
    found = {each: ask.find(entities.Room, each) for each in sorted(behind)}
    names = {id_: fact.name for id_, fact in found.items() if fact is not None and fact.name}
    pieces = [each for room in group for each in ask.where(entities.Piece, "room", room)]
    handle = ask(needs, "").get("opening.handle")
    made = space(
        rooms,
        [door(each) for each in openings.values()],
        _contents(ask, group, pieces),
        names=names,
        overrides=_overrides(pieces),
        handle=1.0 if handle is None else handle,
    )
    from roomwright.answers.house_graph import main  # it takes rooms and openings from here

    return replace(made, main=ask(main), closed=ask(walls_closed))


@query("walk paths")
def paths(
    ask: Ask, group: tuple[str, ...], room: str
) -> tuple[tuple[model.Way, ...], tuple[model.Finding, ...]]:
    """The walk paths of a space, by the figures of a room ("" for the house's)."""
    return walks(ground_of(ask(space_of, group)), ask(needs, room))


@query("room")
def room_fit(ask: Ask, room: str) -> model.RoomFit:
    """All that holds in one room: pieces, walk paths, findings.

    Raises
    ------
    MissingFactError
        If there is no such room.
    """
    group = ask(joined, room)
    own = room if _own_overrides(ask.find(House, "house"), room) else ""
    try:
        whole = ask(space_of, group)
    except ValueError as error:
        if len(group) == 1:
            raise
        alone = ask(space_of, (room,))
        fit = evaluate.room_fit(alone, ask(needs, own), room)
        apart = model.Finding("joined rooms", Word.MEASURE, f"{error}.", room, group)
        return replace(fit, findings=(apart, *fit.findings))
    walked = ask(paths, group, own)
    fit = evaluate.room_fit(whole, ask(needs, own), room, walked)
    return replace(fit, findings=(*fit.findings, *_unmeasured(ask, room)))


def _unmeasured(ask: Ask, room: str) -> Iterator[model.Finding]:
    """What is recorded of a room but cannot be checked until it is measured."""
    for window in ask.where(entities.Window, "room", room):
        missing = [
            name
            for name, value in (("height", window.height), ("sill", window.sill))
            if value is None
        ]
        if missing:
            text = f"Window {window.id}: measure its {' and its '.join(missing)}, then what stands "
            text += "before it is checked."
            yield model.Finding("window", Word.MEASURE, text, room, (window.id,))
    for light in ask.where(entities.Light, "room", room):
        if light.centred_on and (light.x is None or light.y is None):
            text = f"The {light.kind or 'ceiling box'} {light.id} should hang over "
            text += f"{light.centred_on}: measure where it is."
            yield model.Finding("light", Word.MEASURE, text, room, (light.id, light.centred_on))


# --- from facts to what the engine takes --------------------------------------------------------


def openings_of(ask: Ask, room: str) -> list[entities.Opening]:
    """All openings of a room, each once."""
    found = {
        each.id: each
        for field in ("from_room", "to_room")
        for each in ask.where(entities.Opening, field, room)
    }
    return [found[id_] for id_ in sorted(found)]


def door(each: entities.Opening) -> Door:
    """An opening as recorded, as the fit engine takes it."""
    return Door(
        id=each.id,
        from_room=each.from_room,
        to_room=each.to_room,
        kind=each.kind,
        a=_point(each.a),
        b=_point(each.b),
        width=_number(each.width),
        height=_number(each.height),
        hinge=None if each.hinge is None else _point(each.hinge),
        swings_into=each.swings_into,
    )


def _number(value: Fraction | None) -> float | None:
    return None if value is None else float(value)


def _point(point: entities.Point) -> Point:
    return float(point[0]), float(point[1])


def _ring(outline: entities.Outline) -> Outline:
    return tuple(map(_point, outline))


def room_of(ask: Ask, room: str) -> model.Room:
    """A room as the fit engine takes it, between its finished faces."""
    fact = ask.fact(entities.Room, room)
    return model.Room(
        fact.id,
        fact.name or fact.id,
        ask(layers.finished, room),
        _number(ask(layers.ceiling, room).height),
        fact.floor or "",
        fact.use,
    )


def _overrides(pieces: Iterable[entities.Piece]) -> Mapping[tuple[str, str], Use]:
    return {
        (piece.id, side): cast(Use, use)
        for piece in pieces
        for side, use in piece.uses.items()
        if use in get_args(Use)
    }


def _contents(ask: Ask, group: tuple[str, ...], pieces: Iterable[entities.Piece]) -> Contents:
    lights = [each for room in group for each in ask.where(entities.Light, "room", room)]
    own = ask(own_kinds)
    return Contents(
        windows=tuple(
            model.Window(
                each.id,
                *layers.seen(ask, room, (_point(each.a), _point(each.b))),
                float(each.height),
                float(each.sill),
                each.type,
                room,
                _number(each.clear_width),
                _number(each.clear_height),
            )
            for room in group
            for each in ask.where(entities.Window, "room", room)
            if each.height is not None and each.sill is not None
        ),
        fixed=tuple(
            Body(
                each.id,
                without_features(each.name) or each.id,
                each.name,
                "fixed",
                _ring(each.outline),
                low=float(each.low or 0),
                high=math.inf if each.high is None else float(each.high),
                owner=each.id,
                room=room,
                own=own.named(each.name),
            )
            for room in group
            for each in ask.where(entities.Fixed, "room", room)
        ),
        pieces=tuple(piece(each, own.named(each.kind)) for each in pieces),
        lights=tuple(
            model.Light(
                each.id,
                each.kind or "ceiling box",
                float(each.x),
                float(each.y),
                each.centred_on or "",
                each.room,
            )
            for each in lights
            if each.x is not None and each.y is not None
        ),
        flights=tuple(
            _flight(ask, each)
            for room in group
            for each in ask.where(entities.Stair, "from_room", room)
        ),
        slopes=tuple(
            model.Slope(
                each.id,
                _point(each.a),
                _point(each.b),
                float(each.low),
                float(each.pitch),
                room,
            )
            for room in group
            for each in ask.where(entities.Slope, "room", room)
        ),
    )


def piece(fact: entities.Piece, own: Kind | None = None) -> model.Piece:
    """A piece as recorded, as the fit engine takes it; `own` is its kind if it is the builder's."""
    return model.Piece(
        id=fact.id,
        kind=fact.kind,
        name=fact.kind,
        width=_number(fact.width),
        depth=_number(fact.depth),
        height=_number(fact.height),
        x=_number(fact.x),
        y=_number(fact.y),
        turn=float(fact.turn),
        room=fact.room,
        drawn=_ring(fact.outline),
        features=fact.features,
        centred_on=fact.centred_on or "",
        own=own,
    )


def _flight(ask: Ask, stair: entities.Stair) -> model.Flight:
    def build_up(room: str) -> float | None:
        fact = ask.find(entities.Room, room)
        floor = ask.find(entities.Floor, fact.floor) if fact is not None and fact.floor else None
        return None if floor is None else float(floor.build_up)

    known = stair.tread_thickness is not None
    return model.Flight(
        id=stair.id,
        rise=float(stair.rise),
        risers=stair.risers,
        run=_number(stair.run),
        tread=float(stair.tread_thickness or 0),
        width=_number(stair.width),
        headroom=_number(stair.headroom),
        lower=build_up(stair.from_room) if known else None,
        upper=build_up(stair.to_room) if known else None,
        room=stair.from_room,
    )
