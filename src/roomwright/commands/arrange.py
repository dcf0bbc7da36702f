"""The command that sets a piece's place, size and turn in one step: one undo takes it back."""

from __future__ import annotations

from typing import ClassVar, Self

from pydantic import model_validator

from roomwright.commands.base import BadCommandError, Command, Past, Work, capital, edit, need
from roomwright.commands.said import Said
from roomwright.job.entities import Id, Length, Number, Piece
from roomwright.job.facts import Facts
from roomwright.job.words import named, number
from roomwright.lengths import tape

SIZES = ("width", "depth", "height")


class Arrange(Command):
    """Give a piece a place (its center), a size and a turn; what is left out stays."""

    command_name: ClassVar[str] = "arrange"

    piece: Id
    x: Length | None = None
    y: Length | None = None
    width: Said | None = None
    depth: Said | None = None
    height: Said | None = None
    turn: Number | None = None

    @model_validator(mode="after")
    def _something(self) -> Self:
        for name in SIZES:
            value = getattr(self, name)
            if value is not None and value <= 0:
                raise BadCommandError((name, f"{tape(value)} is no size: more than 0."))
        if not self.model_fields_set - {"piece"}:
            raise BadCommandError(("x", "say a place, a size or a turn."))
        return self

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the piece as asked."""
        piece = need(facts, Piece, self.piece, "piece")
        given = {
            name: value
            for name in ("x", "y", *SIZES)
            if (value := getattr(self, name)) is not None and value != getattr(piece, name)
        }
        if self.turn is not None and self.turn % 360 != piece.turn:
            given["turn"] = self.turn % 360
        what = capital(named(piece, "piece", piece.id))
        if not given:
            return Work([], f"{what} stands so already.")
        said = [
            f"{name} {tape(given[name])}" + ("" if was is None else f" (was {tape(was)})")
            for name in SIZES
            if name in given
            for was in [getattr(piece, name)]
        ]
        if "turn" in given:
            said.append(f"turned to {number(given['turn'])}° (was {number(piece.turn)}°)")
        change = edit(piece, **given)
        now = change.after
        if isinstance(now, Piece) and {"x", "y"} & set(given):
            said.append(_place(piece, now))
        return Work([change], f"{what}: {', '.join(said)}.")


def _place(was: Piece, now: Piece) -> str:
    """Return where a piece went, as far as it is known from where."""
    if now.x is None or now.y is None:
        return "without a place"
    there = f"to {tape(now.x)}, {tape(now.y)}"
    if was.x is None or was.y is None:
        return f"put {there}"
    way = [
        f"{tape(abs(by))} {words[by < 0]}"
        for by, words in ((now.x - was.x, ("east", "west")), (now.y - was.y, ("north", "south")))
        if by
    ]
    return f"moved {' and '.join(way)}, {there}"
