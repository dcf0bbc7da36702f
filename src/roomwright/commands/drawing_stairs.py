"""Commands on stairs: a flight from one room up to another, and where it stands on the floor."""

from __future__ import annotations

from fractions import Fraction
from typing import ClassVar, Literal

from pydantic import Field

from roomwright.answers.sketch_place import PlaceError, parse_place
from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, need, take_out
from roomwright.commands.drawing_joins import sound
from roomwright.commands.drawing_things import AddFixed, positive
from roomwright.commands.said import Said
from roomwright.exchange.changes import describe
from roomwright.job.entities import Id, Length, Room, Stair, Text
from roomwright.job.facts import Change, Facts
from roomwright.lengths import tape

RUN = Fraction(10)
"""Run of a tread where a stair that is drawn does not say [in]: IRC R311.7.5.2, its least."""

SIZES = ("width", "rise", "run", "tread_thickness", "headroom")
Ways = Literal["", "east to west", "south to north"]


class AddStair(Command):
    """Put a stair in, from the room at its foot to the room at its head.

    With a `place` its floor is built in at the foot too, as long as its treads, so that it shows
    on the plan and nobody walks through it.
    """

    command_name: ClassVar[str] = "add stair"

    from_room: Id
    to_room: Id
    rise: Said
    """From subfloor to subfloor."""
    risers: int = Field(ge=1, le=60)
    width: Said | None = None
    run: Said | None = None
    tread_thickness: Length | None = None
    headroom: Said | None = None
    place: Text = ""
    """Where it stands in the room at its foot, in words; empty: not drawn."""
    runs: Ways = ""
    """Which way it runs where the place names no wall; along the wall where it does."""
    stair: Id | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house with the stair."""
        foot, head = _rooms(facts, self.from_room, self.to_room)
        positive(self, *SIZES)
        taken = set(facts.ids(Stair))
        id = self.stair or next(i for n in range(1, len(taken) + 2) if (i := f"S{n}") not in taken)
        if id in taken:
            raise BadCommandError(("stair", f"there is a stair {id} already."))
        made = Stair(
            id=id, from_room=foot.id, to_room=head.id, rise=self.rise, risers=self.risers,
            width=self.width, run=self.run, tread_thickness=self.tread_thickness,
            headroom=self.headroom,
        )  # fmt: skip
        changes = [add(made)]
        if self.place:
            changes += self._floor(facts, past)
        sound(facts, changes, "from_room")
        drawn = "" if self.place else " It is not drawn on the plan: no place was said."
        return Work(
            changes,
            f"Stair {id} from {foot.name or foot.id} up to {head.name or head.id}: "
            f"{told(made)}.{drawn}",
        )

    def _floor(self, facts: Facts, past: Past) -> list[Change]:
        """The floor that the flight takes in the room at its foot, as a fixed thing."""
        if self.width is None:
            raise BadCommandError(("width", "this is needed to draw it."))
        try:
            at_wall = bool(parse_place(self.place).wall)
        except PlaceError as no:
            raise BadCommandError(("place", str(no))) from no
        long = (self.run or RUN) * max(1, self.risers - 1)
        size = (self.width, long) if self.runs == "south to north" and not at_wall else (
            long, self.width
        )  # fmt: skip
        built = AddFixed(
            room=self.from_room, name="stair", width=size[0], depth=size[1], place=self.place
        )
        return list(built.work(facts, past).changes)


class EditStair(Command):
    """Change what is known of a stair; what is left out stays."""

    command_name: ClassVar[str] = "edit stair"

    stair: Id
    from_room: Id | None = None
    to_room: Id | None = None
    rise: Said | None = None
    risers: int | None = Field(default=None, ge=1, le=60)
    width: Said | None = None
    run: Said | None = None
    tread_thickness: Length | None = None
    headroom: Said | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the stair as said."""
        was = need(facts, Stair, self.stair, "stair")
        _rooms(facts, self.from_room or was.from_room, self.to_room or was.to_room)
        positive(self, *SIZES)
        values = {
            field: value
            for field in ("from_room", "to_room", "risers", *SIZES)
            if (value := getattr(self, field)) is not None
        }
        change = edit(was, **values)
        if change.after == was:
            return Work([], f"Stair {was.id} is so already.")
        sound(facts, [change], "from_room")
        return Work([change], " ".join(describe([change])).replace("stair", "Stair", 1))


class RemoveStair(Command):
    """Take a stair away; what is built in where it stands stays until it is taken out too."""

    command_name: ClassVar[str] = "remove stair"

    stair: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house without it."""
        was = need(facts, Stair, self.stair, "stair")
        said = f"Stair {was.id} from {was.from_room} to {was.to_room} taken away."
        return Work([take_out(was)], said)


def _rooms(facts: Facts, foot: str, head: str) -> tuple[Room, Room]:
    below, above = need(facts, Room, foot, "from_room"), need(facts, Room, head, "to_room")
    if below.id == above.id:
        raise BadCommandError(("to_room", "name the room at its head, another than at its foot."))
    return below, above


def told(stair: Stair) -> str:
    r"""Return a stair in words.

    >>> print(told(Stair(id="S1", from_room="104", to_room="206", rise="122", risers=16,
    ...     width="36", run="10")))
    16 risers of 7 5/8" up 10'-2", 3'-0" wide, runs of 10"
    """
    said = f"{stair.risers} risers of {tape(stair.rise / stair.risers)} up {tape(stair.rise)}"
    if stair.risers == 1:
        said = f"one riser of {tape(stair.rise)}"
    if stair.width is not None:
        said += f", {tape(stair.width)} wide"
    if stair.run is not None:
        said += f", runs of {tape(stair.run)}"
    return said
