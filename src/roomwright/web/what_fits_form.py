"""The form of "what fits": what may be asked of a room, and the wish that a filled form makes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from roomwright.answers import Answers
from roomwright.answers.own_kinds import own_kinds
from roomwright.answers.rooms import joined, space_of
from roomwright.answers.what_fits import kinds_for
from roomwright.fit.given import Space
from roomwright.fit.search_rules import runs
from roomwright.fit.search_usual import Usual, filled, like_kind, of_kind
from roomwright.fit.search_wanted import Place, Wanted, WantedError, parse
from roomwright.job.entities import Room
from roomwright.lengths import tape
from roomwright.shape import compass, letter, outward

STAYS, GOES, SLIDES = "stays", "goes", "slides"

REACH = "6"
"""How far a piece may slide where nothing is typed [in]."""

FIELDS = frozenset(
    {"wanted", "kind", "width", "depth", "sizes", "place", "turn", "rule", "features", "by", "was"}
)


@dataclass(frozen=True, slots=True)
class PieceChoice:
    """A piece of the room: what it does in the search, and how far it may slide."""

    id: str
    name: str
    does: str
    reach: str


@dataclass(frozen=True, slots=True)
class Choices:
    """What the form offers: kinds (those of the room first), places, pieces; and what is chosen."""

    kinds: tuple[tuple[str, str], ...]
    other_kinds: tuple[tuple[str, str], ...]
    places: tuple[tuple[str, str], ...]
    pieces: tuple[PieceChoice, ...]
    wanted: Wanted
    fields: Mapping[str, str]
    seats: bool


def wanted_of(answers: Answers, room: str, fields: Mapping[str, str]) -> Wanted:
    """Return the wish of a form, or the first that makes sense in the room.

    Raises
    ------
    WantedError
        With what cannot be read.
    """
    if fields.get("wanted"):
        return parse(fields["wanted"])
    fields = _without_old(answers, fields)
    first, rest = answers.ask(kinds_for, room)
    kind = fields.get("kind") or next((k.name for k in (*first, *rest)), "")
    if not kind:
        raise WantedError("say what kind of piece is looked for, such as vanity")
    parts = [kind]
    for name in ("width", "depth", "sizes", "place", "turn", "seats", "features"):
        said = fields.get("rule" if name == "seats" else name, "").strip()
        if said:
            said = said.replace(";", "+") if name == "features" else said.replace("\n", ", ")
            step = fields.get("by", "").strip()
            if name in ("width", "depth") and step and "by" not in said and ".." in said:
                said = f"{said} by {step}"
            parts.append(f"{name}: {said}")
    does = {n.removeprefix("piece."): v for n, v in fields.items() if n.startswith("piece.")}
    if does:
        parts.append("without: " + ", ".join(p for p, v in does.items() if v == GOES))
        slides = [
            f"{p} {fields.get(f'reach.{p}', '').strip() or REACH}"
            for p, v in does.items()
            if v == SLIDES
        ]
        if slides:
            parts.append("slides: " + ", ".join(slides))
    return parse("; ".join(parts))


def _without_old(answers: Answers, fields: Mapping[str, str]) -> Mapping[str, str]:
    """Return the fields without what was usual for the kind that stood there before."""
    was, kind = fields.get("was", ""), fields.get("kind", "")
    if not was or was == kind:
        return fields
    old = _fields(Wanted(was), usual_of(answers, was))
    return {
        name: value
        for name, value in fields.items()
        if not name.startswith(("piece.", "reach.")) and (name == "kind" or old.get(name) != value)
    }


def choices(answers: Answers, room: str, wanted: Wanted, gone: tuple[str, ...]) -> Choices:
    """Return what the form offers, with a wish chosen in it."""
    first, rest = answers.ask(kinds_for, room)
    space: Space = answers.ask(space_of, answers.ask(joined, room))
    slides = {each.piece: each for each in wanted.slides}
    pieces = tuple(
        PieceChoice(
            p.id,
            p.name,
            GOES if p.id in gone else SLIDES if p.id in slides else STAYS,
            slides[p.id].text.removeprefix(p.id).strip() if p.id in slides else REACH,
        )
        for p in space.pieces
        if p.room == room and p.placed
    )
    pieces += tuple(
        PieceChoice(body.id, body.name, GOES, "") for body in space.fixed if body.id in gone
    )
    names = [k.name for k in (*first, *rest)]
    mine = [] if wanted.kind in names else [(wanted.kind, wanted.kind)]
    usual = usual_of(answers, wanted.kind)
    return Choices(
        kinds=(*_named(first), *mine),
        other_kinds=_named(rest),
        places=places(answers, room, space),
        pieces=pieces,
        wanted=wanted,
        fields=_fields(wanted, usual),
        seats="table" in wanted.kind and "coffee" not in wanted.kind,
    )


def usual_of(answers: Answers, kind: str) -> Usual | None:
    """Return what a kind usually is; one of the builder's own is what it is like."""
    return like_kind(answers.ask(own_kinds).named(kind)) or of_kind(kind)


def _named(kinds: tuple[Usual, ...]) -> tuple[tuple[str, str], ...]:
    return tuple((kind.name, kind.shown) for kind in kinds)


def _fields(wanted: Wanted, usual: Usual | None) -> dict[str, str]:
    """Return what stands in the fields; what is usual is shown, so that it can be typed over."""
    try:
        whole = filled(wanted, "", round_top="round" in wanted.kind, like=usual)
    except WantedError:
        whole = wanted
    place = whole.place or Place()
    return {
        "kind": wanted.kind,
        "width": "" if whole.width is None or whole.sizes else whole.width.text,
        "depth": "" if whole.depth is None or whole.sizes else whole.depth.text,
        "sizes": ", ".join(size.text for size in whole.sizes),
        "place": place.text,
        "turn": " ".join(f"{turn:g}" for turn in wanted.turn),
        "rule": wanted.seats,
        "features": wanted.features,
    }


def places(answers: Answers, room: str, space: Space) -> tuple[tuple[str, str], ...]:
    """Return the places that may be asked for, each with what the page calls it."""
    fact = answers.facts.get(Room, room)
    outline = tuple((float(x), float(y)) for x, y in fact.outline)
    found = [("anywhere", "anywhere"), ("against", "against any wall")]
    for wall in runs(outline):
        if wall.length >= 18:
            way = compass(outward(wall.side))
            found.append((f"against {wall.name}", f"against wall {wall.name}, {way}"))
    for window in space.windows:
        if window.room == room:
            found.append((f"centered on {window.id}", f"centered on window {window.id}"))
    for light in space.lights:
        if light.room == room:
            found.append((f"centered on {light.id}", f"centered under the {light.kind} {light.id}"))
    for body in space.fixed:
        if body.room == room:
            found.append((f"centered on {body.id}", f"centered on the {body.name} {body.id}"))
    for piece in space.pieces:
        if piece.room == room and piece.placed:
            x, y, _, _ = piece.where
            found.append((f"centered on {piece.id}", f"centered on the {piece.name} {piece.id}"))
            at = f"{tape(x)}, {tape(y)}"
            found.append((f"at {x:g} {y:g}", f"where the {piece.name} {piece.id} is ({at})"))
    for number, wall in enumerate(runs(outline)):
        if wall.length >= 18:
            name = f"wall {wall.name or letter(number)}"
            found.append((f"centered on {wall.name}", f"centered on {name}"))
    return tuple(dict(found).items())
