"""The command that takes what a search offered: the piece, and what makes way for it."""

from __future__ import annotations

from typing import ClassVar, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    capital,
    edit,
    need,
    take_out,
)
from roomwright.commands.centring import let_go
from roomwright.commands.pieces import next_id
from roomwright.job.entities import Fixed, Id, Length, Number, Piece, Room, Text
from roomwright.job.facts import Change, Facts
from roomwright.job.words import named
from roomwright.lengths import tape


class Slid(BaseModel):
    """A piece that moves to make room: its new center."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    piece: Id
    x: Length
    y: Length


class PutWhatFits(Command):
    """Put a piece where a search found that it fits; in one step with what makes way or slides.

    With `piece`, that one becomes it (its uses and what belongs to it stay); else it is new.
    """

    command_name: ClassVar[str] = "put what fits"

    room: Id
    kind: Text = Field(min_length=1)
    x: Length
    y: Length
    width: Length
    depth: Length
    turn: Number
    height: Length | None = None
    features: Text = ""
    piece: Id | None = None
    away: tuple[Id, ...] = ()
    slid: tuple[Slid, ...] = ()

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for name in ("width", "depth"):
            if getattr(self, name) <= 0:
                raise BadCommandError((name, "0 is no size: more than 0."))
        twice = next((id for id in self.away if self.away.count(id) > 1), None)
        if twice is not None:
            raise BadCommandError(("away", f"{twice} is named twice: name what makes way once."))
        moved = [each.piece for each in self.slid]
        if len(set(moved)) < len(moved) or {*moved, self.piece} & set(self.away):
            raise BadCommandError(("away", "a piece can make way, slide or stay: say one of them."))
        return self

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the room with the piece in it."""
        room = need(facts, Room, self.room, "room")
        changes: list[Change] = []
        said = []
        for id in self.away:
            fixed = facts.find(Fixed, id)
            gone = fixed if fixed is not None else need(facts, Piece, id, "away")
            changes += [take_out(gone), *let_go(facts, gone)]
            said.append(f"{named(gone, gone.kind_name, id)} taken out")
        for each in self.slid:
            piece = need(facts, Piece, each.piece, "slid")
            changes.append(edit(piece, x=each.x, y=each.y))
            said.append(f"{named(piece, 'piece', piece.id)} moved")
        place = {
            "kind": self.kind, "x": self.x, "y": self.y, "width": self.width,
            "depth": self.depth, "turn": self.turn % 360, "features": self.features,
        }  # fmt: skip
        if self.height is not None:
            place["height"] = self.height
        if self.piece is not None:
            old = need(facts, Piece, self.piece, "piece")
            change = edit(old, room=room.id, outline=(), **place)
            now = change.after
        else:
            id = next_id(facts, self.kind)
            now = Piece(id=id, room=room.id, **place)
            change = add(now)
        what = capital(named(now, "piece", now.id if now is not None else ""))
        size = f"{tape(self.width)} by {tape(self.depth)}"
        rest = f"; {', '.join(said)}" if said else ""
        return Work([*changes, change], f"{what}, {size}, put where it fits in {room.id}{rest}.")
