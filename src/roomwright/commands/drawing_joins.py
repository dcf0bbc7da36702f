"""What rooms and walls do to the openings between them.

An opening that loses the room behind it leads out; one that led out leads to the room that is
drawn against its wall.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from roomwright import shape
from roomwright.commands.base import BadCommandError, edited
from roomwright.exchange import rules
from roomwright.job.entities import Opening, Room
from roomwright.job.facts import Change, Facts

THICKEST = 24
"""A room farther behind a wall than this is not what an opening in it leads to [in]."""


def joined(facts: Facts, changes: Sequence[Change], field: str) -> tuple[list[Change], str]:
    """Return the changes with each opening that lost the room behind it leading out, and words.

    Raises
    ------
    BadCommandError
        on `field`, if something else would lie where it can't: an opening off its own wall.
    """
    made = list(changes)
    loose: list[str] = []
    had = _errors(facts)

    def fresh(now: Sequence[Change]) -> list[rules.Broken]:
        return [b for key, b in _errors(facts.changed(now)).items() if key not in had]

    wrong = fresh(made)
    for id in dict.fromkeys(b.id for b in wrong if b.kind == "opening"):
        for other in _leading_out(facts.changed(made).get(Opening, id)):
            tried = _put(facts, made, other)
            if not any(b.id == id and b.kind == "opening" for b in fresh(tried)):
                made = tried
                loose.append(id)
                break
    if loose:
        wrong = fresh(made)
    _refuse(wrong, field)
    if not loose:
        return made, ""
    names = " and ".join(loose)
    return made, f" {names} no longer {'leads' if len(loose) == 1 else 'lead'} to another room."


def met(facts: Facts, changes: Sequence[Change], room: str) -> tuple[list[Change], str]:
    """Return the changes with each opening that led out and now meets a new room leading to it.

    Parameters
    ----------
    room
        The room that the changes bring; words say which openings lead to it now.
    """
    made = list(changes)
    after = facts.changed(made)
    new = after.get(Room, room)
    had = _errors(after)
    ways: list[str] = []
    for opening in after.all(Opening):
        inside = _inside(after, opening)
        if inside is None or inside.id == new.id or behind(after, inside, opening) != new:
            continue
        tried = _put(facts, made, hung(_leading_to(opening, new.id), new))
        if _errors(facts.changed(tried)).keys() <= had.keys():
            made = tried
            ways.append(opening.id)
    if not ways:
        return made, ""
    verb = "leads" if len(ways) == 1 else "lead"
    return made, f" {' and '.join(ways)} {verb} to {new.name or new.id} now, no longer outside."


def behind(facts: Facts, room: Room, opening: Opening) -> Room | None:
    """Return the room behind an opening's wall, on the same storey; None outdoors."""
    ends = (float(opening.a[0]), float(opening.a[1])), (float(opening.b[0]), float(opening.b[1]))
    ring = shape.anticlockwise([(float(x), float(y)) for x, y in room.outline])
    east, north = shape.outward(shape.walls(ring)[shape.nearest_wall(ring, ends)[0]])
    x, y = shape.middle(ends)
    others = [o for o in facts.where(Room, "level", room.level) if o.id != room.id]
    for far in range(1, THICKEST + 1):
        spot = (x + east * far, y + north * far)
        for other in others:
            if shape.inside(spot, [(float(px), float(py)) for px, py in other.outline]):
                return other
    return None


def hung(opening: Opening, beyond: Room) -> Opening:
    """Return a door that swings into the room beyond its wall hinged on that room's face.

    A leaf lies flush with the face of the room that it swings into (common practice of
    carpenters); an opening's ends stand on the face of the room that it is told from.
    """
    if opening.hinge is None or opening.swings_into != beyond.id:
        return opening
    x, y = (float(v) for v in opening.hinge)
    ring = shape.anticlockwise([(float(p[0]), float(p[1])) for p in beyond.outline])
    wall = min(shape.walls(ring), key=lambda w: shape.distance_to((x, y), w))
    off = shape.distance_to((x, y), wall)
    if not 0 < off <= THICKEST:
        return opening
    east, north = shape.outward(wall)
    to = (x - off * east, y - off * north)
    moved = tuple(Fraction(round(v * 64), 64) for v in to)
    return edited(opening, hinge=moved)


def _inside(facts: Facts, opening: Opening) -> Room | None:
    """The one room of an opening that leads out; None where it joins two."""
    ends = [id for id in (opening.from_room, opening.to_room) if id not in opening.open_ends]
    return facts.find(Room, ends[0]) if len(ends) == 1 else None


def _leading_to(opening: Opening, room: str) -> Opening:
    """The opening with a room where it led out."""
    values = {
        field: room
        for field in ("from_room", "to_room", "swings_into")
        if getattr(opening, field) in opening.open_ends
    }
    return edited(opening, **values)


def sound(facts: Facts, changes: Sequence[Change], field: str) -> None:
    """Refuse changes after which something lies where it can't.

    Raises
    ------
    BadCommandError
        on `field`.
    """
    had = _errors(facts)
    _refuse([b for key, b in _errors(facts.changed(changes)).items() if key not in had], field)


def _errors(facts: Facts) -> dict[tuple[str, str, str], rules.Broken]:
    return {(b.kind, b.id, b.field): b for b in rules.broken(facts) if b.severity == "error"}


def _refuse(wrong: Sequence[rules.Broken], field: str) -> None:
    if wrong:
        first = wrong[0]
        raise BadCommandError((field, f"then {first.wrong}: {first.do}, or take it out first."))


def _leading_out(opening: Opening) -> Iterator[Opening]:
    """The opening in the wall of the one room or of the other, leading out."""
    for inside, beyond in (
        (opening.from_room, opening.to_room),
        (opening.to_room, opening.from_room),
    ):
        if inside in opening.open_ends:
            continue
        swings = "out" if opening.swings_into == beyond else opening.swings_into
        yield edited(opening, from_room=inside, to_room="out", swings_into=swings)


def _put(facts: Facts, changes: list[Change], fact: Opening) -> list[Change]:
    rest = [c for c in changes if (c.kind, c.id) != ("opening", fact.id)]
    return [*rest, Change("opening", fact.id, facts.find(Opening, fact.id), fact)]
