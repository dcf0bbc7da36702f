"""What fits here: the largest table, what stops a larger one, and seats against room."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from roomwright import commands
from roomwright.answers import Answers
from roomwright.answers.rooms import needs, room_fit
from roomwright.answers.what_fits import what_fits
from roomwright.fit.offers import Offer
from roomwright.job.entities import Piece
from roomwright.lengths import exact, parse, tape
from roomwright.web import room_words, seats_picture
from roomwright.web.desk import AtDesk, AtHouse
from roomwright.web.house_page import house_page
from roomwright.web.room import NARROW, WIDE, drawn, room_of

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Shown:
    """An offer as the page shows it: in words, and the form that puts it there."""

    offer: Offer
    title: str
    word: str
    spare: str
    held: str
    values: dict[str, str]
    here: bool


def shown(offer: Offer, spare: float, piece: Piece | None) -> Shown:
    """Return an offer in words."""
    top = offer.piece
    title = (
        f"{room_words.tape_plain(offer.length)} × {room_words.tape_plain(offer.width)}, "
        f"seats {offer.seats}"
    )
    word = "short" if offer.margin < 0 else "fits" if offer.margin >= spare else "tight"
    by = tape(abs(offer.margin))
    values = {
        name: exact(Fraction(value).limit_denominator(64))
        for name, value in (
            ("x", top.x), ("y", top.y), ("width", top.width), ("depth", top.depth),
            ("turn", top.turn),
        )
        if value is not None
    }  # fmt: skip
    here = piece is not None and all(
        getattr(piece, name) == Fraction(value) for name, value in plain(values).items()
    )
    return Shown(
        offer, title, word, f"short {by}" if offer.margin < 0 else f"{by} to spare",
        held_by(offer), values, here,
    )  # fmt: skip


def held_by(offer: Offer) -> str:
    """Return what an offer is held by: a side or a walk path against its figure."""
    bound = offer.bound
    to = f" to the {bound.thing}" if bound.thing else ""
    return f"{bound.where}: {tape(bound.clear)}{to}, {tape(bound.needs)} wanted"


def plain(values: dict[str, str]) -> dict[str, Fraction]:
    """Return the values of a form as numbers."""
    return {name: parse(value) for name, value in values.items()}


def supposing(answers: Answers, room: str, piece: Piece | None, one: Shown) -> Answers:
    """Return the answers with an offer in place of the table that stands there."""
    facts = answers.facts
    if piece is not None:
        command = commands.parse("arrange", {"piece": piece.id, **one.values})
    else:
        command = commands.parse("add piece", {"room": room, "kind": "dining table", **one.values})
    return answers.supposing(command.changes(facts))


@router.get("/h/{house}/room/{room}/what-fits")
def page_of_what_fits(
    request: Request, at: AtHouse, desk: AtDesk, room: str,
    piece: Annotated[str, Query(max_length=80)] = "",
    seats: Annotated[int, Query(ge=0, le=99)] = 0,
) -> Response:  # fmt: skip
    """Show the best table for a room, its place and what stops it."""
    fact = room_of(at, room)
    found = at.answers.ask(what_fits, room)
    seated = [p for p in at.answers.ask(room_fit, room).pieces if p.seats]
    mine = next((p for p in seated if p.piece.id == piece), seated[0] if seated else None)
    table = at.answers.facts.find(Piece, mine.piece.id) if mine else None
    known = at.answers.ask(needs, room)
    offers = [shown(offer, known.spare, table) for offer in found.front]
    picked = next((o for o in offers if o.offer.seats == seats), None) or next(
        (o for o in offers if o.offer == found.best), offers[0] if offers else None
    )
    plans = {}
    if picked is not None:
        there = supposing(at.answers, room, table, picked)
        plans = {
            "wide": drawn(there, room, WIDE), "narrow": drawn(there, room, NARROW, "small"),
        }  # fmt: skip
    half = found.if_short()
    return house_page(
        request, desk, at, "what_fits.html", here="House", room=fact, found=found, table=table,
        picked=picked, offers=offers, known=known,
        picture=seats_picture.draw(found.front, picked.offer if picked else None, known.spare),
        half=shown(half, known.spare, table) if half else None,
        stops=shown(found.stops, known.spare, table) if found.stops else None, **plans,
    )  # fmt: skip
