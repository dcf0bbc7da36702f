"""The piece in hand: what holds for one piece of a room while it is moved about.

The same engine and the same figures as the whole room's answer, less what nobody looks at during
the move: the other pieces' own sides and findings, and the search for a cure. A test holds both
equal.
"""

from __future__ import annotations

from dataclasses import dataclass

from roomwright import shape
from roomwright.answers import layers, plan_build, rooms
from roomwright.answers.engine import Ask, query
from roomwright.answers.grounds import ground_of
from roomwright.answers.plan_model import Dim, Way, Zone
from roomwright.fit import accessible, evaluate, goals, model, stools
from roomwright.fit.evaluate import label
from roomwright.fit.walks import trails
from roomwright.job.entities import House, Room
from roomwright.lengths import tape
from roomwright.shape import Outline


@dataclass(frozen=True, slots=True)
class InHand:
    """What holds for one piece, and what of it is drawn: short floor, walk paths, clear distances.

    `fit` has this piece alone, without a cure; of the findings, all but what neighbors alone make.
    """

    fit: model.RoomFit
    zones: tuple[Zone, ...]
    ways: tuple[Way, ...]
    dims: tuple[Dim, ...]


@query("in hand")
def in_hand(ask: Ask, room: str, piece: str) -> InHand:
    """Return what holds for one piece of a room where it stands.

    Raises
    ------
    MissingFactError
        If there is no such room.
    KeyError
        If the piece is not in that room.
    ValueError
        If the rooms that are open to each other do not meet.
    """
    ask.fact(Room, room)
    group = ask(rooms.joined, room)
    house = ask.find(House, "house")
    overrides = house.overrides if house is not None else {}
    own = room if any(key.startswith(f"{room}:") for key in overrides) else ""
    space, needs = ask(rooms.space_of, group), ask(rooms.needs, own)
    ground = ground_of(space)
    ways, wrong = ask(rooms.paths, group, own)
    lines = trails(ways)
    found_here = evaluate.findings(ground, needs)
    common = (*wrong, *found_here, *stools.findings(ground, needs, lines))
    held = next((p for p in space.pieces if p.id == piece and p.room in (room, "")), None)
    if held is None:
        raise KeyError(piece)
    one = evaluate.piece_fit(ground, held, needs, lines, common)
    here = {opening.id for opening in space.openings if opening.room == room}
    mine = tuple(w for w in ways if here & {w.from_, w.to})
    found = dict.fromkeys(f for f in (*common, *one.findings) if f.room in (room, ""))
    reached = goals.goal_paths(ground, needs, room)
    found |= dict.fromkeys(goals.told(reached))
    found |= dict.fromkeys(accessible.check(ground, needs, space.room(room), mine))
    outline: Outline = shape.anticlockwise(ask(layers.finished, room))
    fit = model.RoomFit(
        room=room,
        area=shape.area(outline),
        perimeter=shape.perimeter(outline),
        pieces=(one,),
        ways=mine,
        findings=tuple(sorted(found, key=lambda f: (-f.severity.rank, f.kind, f.ids))),
        goals=reached,
    )
    return InHand(
        fit, plan_build.zones(fit, outline), plan_build.ways(fit, {}, outline), _dims(one)
    )


def _dims(one: model.PieceFit) -> tuple[Dim, ...]:
    return tuple(
        Dim(
            key=f"{one.piece.id} {side.side}",
            kind="clear",
            p=side.at[0],
            q=side.at[1],
            text=tape(side.clear),
            what=f"{one.piece.name} {label(one.piece, side)} to {side.binding}",
            word=plan_build.word_of(side.verdict),
            piece=one.piece.id,
            side=side.side,
        )
        for side in one.sides
        if side.at is not None and side.clear is not None and side.needs is not None
    )
