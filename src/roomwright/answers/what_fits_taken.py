"""The house as it would be with an offered piece in its place, to be drawn."""

from __future__ import annotations

from fractions import Fraction

from roomwright.answers.engine import Answers
from roomwright.fit.search_found import Found, Option
from roomwright.job.entities import Fixed, Piece
from roomwright.job.facts import Change

PART = 64
"""Places of the engine are taken to so many parts of an inch."""


def as_fraction(value: float | None) -> Fraction:
    """Return a length of the engine as facts keep it."""
    return Fraction(value or 0.0).limit_denominator(PART)


def taken(answers: Answers, room: str, found: Found, option: Option) -> Answers:
    """Return the answers with an option taken, and with what makes way or slides for it."""
    facts, top = answers.facts, option.piece
    changes: list[Change] = []
    for id in found.gone:
        gone = facts.find(Piece, id) or facts.find(Fixed, id)
        if gone is not None and id != top.id:
            changes.append(Change(gone.kind_name, id, gone, None))
    for slid in option.slid:
        old = facts.find(Piece, slid.piece)
        if old is not None and old.x is not None and old.y is not None:
            x, y = old.x + as_fraction(slid.dx), old.y + as_fraction(slid.dy)
            changes.append(Change("piece", old.id, old, old.model_copy(update={"x": x, "y": y})))
    now = Piece(
        id=top.id, room=room, kind=top.kind, width=as_fraction(top.width),
        depth=as_fraction(top.depth), x=as_fraction(top.x), y=as_fraction(top.y),
        turn=as_fraction(top.turn), features=top.features,
        height=None if top.height is None else as_fraction(top.height),
    )  # fmt: skip
    changes.append(Change("piece", top.id, facts.find(Piece, top.id), now))
    return answers.supposing(changes)
