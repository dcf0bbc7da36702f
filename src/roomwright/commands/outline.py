"""The command that takes a room's outline from the tape."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterator
from datetime import date
from typing import ClassVar

import shapely

from roomwright import shape
from roomwright.answers import Answers, layers
from roomwright.answers.mark_out_floor import built_in
from roomwright.answers.survey import RoomSurvey, survey_of
from roomwright.answers.survey_upright import Edge, edges, upright
from roomwright.commands import outline_moves
from roomwright.commands.base import BadCommandError, Command, Past, Work, edit, need
from roomwright.commands.outline_moves import Moves
from roomwright.job.entities import Fixed, Id, Opening, Piece, Room, Slope, Stair, Text, Window
from roomwright.job.facts import Change, Facts
from roomwright.lengths import tape
from roomwright.shape import Outline, Segment

STICKS_OUT = 1 / 16
"""A piece that reaches farther than this into a wall is named [in]."""


class AcceptOutline(Command):
    """Take a room's outline, and its ceiling if heights were taped, from the tape.

    The outline goes to the nearest 1/16 in. What was drawn before any tape is kept beside it.
    """

    command_name: ClassVar[str] = "accept outline"

    room: Id
    on: date | None = None
    """The day of the tape; the last reading's if not given."""
    by: Text = ""
    """Who taped it; the readings' names if not given."""
    seen: Text = ""
    """The code of the outline that was looked at: another one is refused."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the room as measured, with what belongs to its walls."""
        room = need(facts, Room, self.room, "room")
        answers = Answers(facts, as_of=self.on or date.min)
        this = answers.ask(survey_of, room.id)
        if this.found is None:
            why = this.trouble or "no wall of it has been taped: A to B, and so on round the room."
            raise BadCommandError(("room", why))
        if self.seen and self.seen != code_of(this):
            raise BadCommandError(
                ("seen", "the readings have changed since you looked: look at the outline again.")
            )
        if shape.crossing(outline_moves.ring(this.outline)) is not None:
            raise BadCommandError(("room", "as taped its walls cross: look at the suspects first."))
        changes = list(self._changes(facts, room, this, answers))
        after = facts.changed(changes)
        _apart(after, room.id)
        return Work(changes, sentence_of(facts, after, room, this))

    def _changes(
        self, facts: Facts, room: Room, this: RoomSurvey, answers: Answers
    ) -> Iterator[Change]:
        yield edit(room, **self._of_room(room, this, answers))
        moves = Moves(this.drawn, outline_moves.ring(this.outline))
        taped = dict(_taped(this, answers.ask(edges, room.id)))
        yield from _openings(facts, room, moves, taped)
        for window in facts.where(Window, "room", room.id):
            changed = outline_moves.window(moves, window.a, window.b, taped.get(window.id.upper()))
            if changed is not None:
                yield from _edit(window, changed)
        for slope in facts.where(Slope, "room", room.id):
            ends = outline_moves.plain(slope.a), outline_moves.plain(slope.b)
            gap = shape.nearest_wall(this.drawn, ends)[1]
            moved = outline_moves.window(moves, slope.a, slope.b, None)
            if moved is not None and gap <= outline_moves.AGAINST:
                yield from _edit(slope, moved)
        for fixed in facts.where(Fixed, "room", room.id):
            ring = moves.thing(outline_moves.ring(fixed.outline))
            if ring is not None:
                yield from _edit(fixed, {"outline": tuple(map(outline_moves.marks, ring))})
        for piece in facts.where(Piece, "room", room.id):
            place = outline_moves.piece(moves, piece) if built_in(piece.kind) else None
            if place is not None:
                yield from _edit(piece, place)

    def _of_room(self, room: Room, this: RoomSurvey, answers: Answers) -> dict[str, object]:
        on = self.on or this.on
        if on is None:
            raise BadCommandError(("on", "say on what day it was taped: no reading has a date."))
        changed: dict[str, object] = {
            "outline": this.outline, "face": this.face, "measured_on": on,
            "measured_by": self.by or this.by,
        }  # fmt: skip
        if not room.planned:
            drawn = answers.ask(layers.finished, room.id)
            changed["planned"] = tuple(map(outline_moves.marks, drawn))
        high = answers.ask(upright, room.id)
        if high.trouble:
            raise BadCommandError(("room", high.trouble))
        if high.lowest is not None:
            changed["ceiling"] = high.lowest
        return changed


def code_of(this: RoomSurvey) -> str:
    """Return a short code of a taped outline, for saying which one was looked at."""
    return hashlib.sha256(repr((this.face, this.outline)).encode()).hexdigest()[:12]


def _edit(fact: Opening | Window | Slope | Fixed | Piece, changed: object) -> Iterator[Change]:
    change = edit(fact, **dict(changed))  # type: ignore[call-overload]
    if change.after != change.before:
        yield change


def _openings(
    facts: Facts, room: Room, moves: Moves, taped: dict[str, Segment]
) -> Iterator[Change]:
    """Openings whose ends are given on this room's face, or that were taped in it."""
    found = {
        each.id: each
        for field in ("from_room", "to_room")
        for each in facts.where(Opening, field, room.id)
    }
    for each in found.values():
        ends = taped.get(each.id.upper())
        mine = each.from_room == room.id or each.from_room in each.open_ends
        if mine or ends is not None:
            changed = outline_moves.opening(moves, each, ends)
            if changed is not None:
                yield from _edit(each, changed)


def _taped(this: RoomSurvey, along: tuple[Edge, ...]) -> Iterator[tuple[str, Segment]]:
    """Ends of openings and windows on the accepted outline, where both are known."""
    walls = shape.walls(outline_moves.ring(this.outline))
    for each in along:
        placed = each.placed
        if placed is None or placed.doubtful or each.planned is None:
            continue
        wide = each.planned[1] - each.planned[0]
        start, end = placed.start, placed.end
        if start is None and end is not None:
            start = end - wide
        elif end is None and start is not None:
            end = start + wide
        if start is not None and end is not None:
            (ax, ay), (bx, by) = walls[shape.index_of(each.wall)]
            length = math.dist((ax, ay), (bx, by))
            ux, uy = (bx - ax) / length, (by - ay) / length
            yield each.thing, ((ax + ux * start, ay + uy * start), (ax + ux * end, ay + uy * end))


def _apart(facts: Facts, room: str) -> None:
    """Refuse an outline that lies over a neighbor's."""
    this = facts.get(Room, room)
    mine = outline_moves.ring(this.outline)
    for other in facts.where(Room, "level", this.level):
        if other.id == room:
            continue
        size = shape.overlaps(mine, outline_moves.ring(other.outline))
        if size is not None:
            raise BadCommandError((
                "room",
                f"as taped it would reach {tape(size[1])} into {other.name or other.id}, with no "
                f"wall left between them. Tape {other.name or other.id} too and accept it first, "
                "or look at the suspects.",
            ))  # fmt: skip


def thickness_between(facts: Facts, room: str) -> dict[str, float]:
    """Return the thickness of the walls between a room and its neighbors on its level [in]."""
    this = facts.get(Room, room)
    mine = shapely.Polygon(outline_moves.ring(this.outline))
    found = {}
    for other in facts.where(Room, "level", this.level):
        if other.id != room:
            gap = mine.distance(shapely.Polygon(outline_moves.ring(other.outline)))
            if gap <= THICKEST:
                found[other.id] = gap
    return found


THICKEST = 16.0
"""Rooms farther apart than this share no wall [in]."""


def sticking_out(facts: Facts, room: str, outline: Outline) -> list[str]:
    """Return the pieces of a room that would reach into its walls."""
    floor = shapely.Polygon(outline)
    told = []
    for piece in facts.where(Piece, "room", room):
        if None in (piece.x, piece.y, piece.width, piece.depth) or piece.outline:
            continue
        x, y, wide, deep = (float(v or 0) for v in (piece.x, piece.y, piece.width, piece.depth))
        body = shapely.Polygon(shape.rectangle(x, y, wide, deep, float(piece.turn)))
        outside = body.difference(floor)
        if not outside.is_empty:
            corners = shapely.get_coordinates(outside)
            out = max(floor.distance(shapely.Point(p)) for p in corners)
            if out > STICKS_OUT:
                told.append(f"{piece.kind} {piece.id} reaches {tape(out)} into a wall")
    return told


def sentence_of(before: Facts, after: Facts, room: Room, this: RoomSurvey) -> str:
    """Return what was accepted, in words."""
    new = after.get(Room, room.id)
    name = room.name or room.id
    largest = max(this.walls, key=lambda wall: abs(wall.difference), default=None)
    said = [
        f"{name} is now as taped ({this.face} face), to 1/16 in.; that moves no distance between "
        f"corners by more than {tape(this.rounding, 64)}."
    ]
    if largest is not None and abs(largest.difference) >= 1 / 32:
        how = "longer" if largest.difference > 0 else "shorter"
        by = tape(abs(largest.difference))
        said.append(f"Wall {largest.wall} is {by} {how} than planned.")
    left = [f"{each.line} {tape(each.fact.length, 64)}" for each in this.suspects]
    if left:
        said.append(f"Not used, since the others contradict it: {', '.join(left)}.")
    if new.ceiling != room.ceiling and new.ceiling is not None:
        was = f" (was {tape(room.ceiling)})" if room.ceiling is not None else ""
        said.append(f"Its ceiling is {tape(new.ceiling)}, the lowest height taped{was}.")
    before_, after_ = thickness_between(before, room.id), thickness_between(after, room.id)
    for id in sorted(after_):
        was_ = before_.get(id, after_[id])
        if abs(was_ - after_[id]) >= 1 / 16:
            to = after.get(Room, id).name or id
            said.append(f"The wall to {to} is now {tape(after_[id])} thick, drawn {tape(was_)}.")
    finished = Answers(after, as_of=date.min).ask(layers.finished, room.id)
    out = sticking_out(after, room.id, finished)
    had = set(sticking_out(before, room.id, outline_moves.ring(room.outline)))
    fresh = [each for each in out if each not in had]
    if fresh:
        said.append(f"What stands free stays: {'; '.join(fresh)}.")
    stairs = sorted(
        {s.id for field in ("from_room", "to_room") for s in after.where(Stair, field, room.id)}
    )
    if stairs and new.outline != room.outline:
        said.append(
            f"Stair {' and '.join(stairs)} stays as recorded, it does not move with the walls: "
            "measure its width and its headroom again."
        )
    return " ".join(said)
