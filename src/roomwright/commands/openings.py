"""Putting a door or a cased opening into the wall of a room that stands already."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field

from roomwright.commands.base import BadCommandError, Command, Past, Work, add, capital, need
from roomwright.commands.drawing_joins import behind, hung, sound
from roomwright.commands.in_wall import clear
from roomwright.commands.rooms import OpeningInWall, opening_in
from roomwright.commands.said import Said
from roomwright.exchange.cells import CellError
from roomwright.job.entities import Id, Opening, OpeningKind, Room
from roomwright.job.facts import Facts
from roomwright.lengths import tape

NAMES = {"swing": "door", "swing pair": "pair of doors", "pocket": "pocket door",
         "slide": "sliding door", "bifold": "bifold", "cased": "cased opening"}  # fmt: skip


class AddOpening(Command):
    """Put an opening into a room's wall, by the wall's letter and the distance from its corner.

    It leads to the room that stands behind the wall there, else out.
    """

    command_name: ClassVar[str] = "add opening"

    room: Id
    wall: str = Field(min_length=1, max_length=2)
    from_corner: str = Field(min_length=1, max_length=200)
    width: Said
    hand: str = ""
    """For a door that swings: told from the side on which you push, hinges at your left, left."""
    swings: Literal["in", "out"] = "in"
    kind: OpeningKind = "swing"
    height: Said | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house with the opening."""
        room = need(facts, Room, self.room, "room")
        taken = {id.lstrip("DO") for id in facts.ids(Opening)}
        number = next(n for n in range(1, len(taken) + 2) if str(n) not in taken)
        asked = self.model_dump(exclude={"room"})
        try:
            made = opening_in(room, OpeningInWall(**asked), number)
        except CellError as no:
            raise BadCommandError(("from_corner", f"{no}: {no.do}.")) from no
        beyond = behind(facts, room, made)
        if beyond is not None:
            into = beyond.id if made.swings_into == "out" else made.swings_into
            made = made.model_copy(update={"to_room": beyond.id, "swings_into": into})
            made = hung(made, beyond)
        clear(facts, room, made.id, made.a, made.b)
        sound(facts, [add(made)], "from_corner")
        what = NAMES.get(self.kind, "opening")
        to = f"to {beyond.name or beyond.id}" if beyond else "to the outside"
        return Work(
            [add(made)],
            f"{capital(what)} {made.id}, {tape(self.width)}, put into wall "
            f"{self.wall.upper()} of {room.name or room.id}, {to}.",
        )
