"""The command that adds a network to begin with, beside what the house has, without collisions."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import ClassVar, Literal

from pydantic import Field

from roomwright import starter
from roomwright.commands.base import BadCommandError, Command, Past, Work, add, need
from roomwright.commands.network import plain_link
from roomwright.commands.network_sound import Rooms, link_id, rooms_are_here, sound
from roomwright.exchange.rows import short_id
from roomwright.fit import habits
from roomwright.job.entities import (
    Activity,
    Companion,
    Link,
    Part,
    PartClass,
    Room,
    Stair,
)
from roomwright.job.facts import Change, Facts
from roomwright.shape import area
from roomwright.starter.networks import Begun, Place, network_for
from roomwright.starter.takeoff import BASIS

KINDS = {
    "pantry": "store", "storage": "store", "closet": "closet", "toilet": "powder",
    "powder": "powder", "bath": "bath", "laundry": "laundry", "mudroom": "laundry",
    "entry": "entry", "hall": "hall", "kitchen": "kitchen", "dining": "dining",
    "living": "living", "study": "study", "bedroom": "bedroom",
}  # fmt: skip
"""What a room is used for -> what the starter calls it."""


class AddStarterWork(Command):
    """Add the work of a kitchen, a bath or a whole finish phase, with its classes and parts.

    Ids get a prefix where they would meet others. Days are scaled to the rooms.
    """

    command_name: ClassVar[str] = "add starter work"

    what: Literal["kitchen", "bath", "whole"]
    rooms: Rooms = ()
    """The rooms that it is for; of a whole finish phase all if none is named."""
    fuel: Literal["electric", "gas"] = "electric"
    shower: Literal["", "yes"] = ""
    """Whether there is a shower with glass."""
    after: Rooms = ()
    """Activities that must be finished before its first work."""
    before: Rooms = ()
    """Activities that wait for its last work."""
    parts: Literal["", "yes", "no"] = "yes"
    """Whether the rooms' parts and their classes are added too."""
    prefix: str = Field(default="", max_length=20)

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the activities, links, classes and parts."""
        places = self._places(facts)
        whole = self.what == "whole" and len(places) == len(facts.ids(Room))
        try:
            begun = network_for(
                self.what, places, fuel=self.fuel, shower=self.shower == "yes", whole_house=whole
            )
        except starter.StarterError as no:
            raise BadCommandError(*no.problems.items()) from None
        if not begun.works:
            raise BadCommandError(("rooms", "no work is known for these rooms."))
        for field, ids in (("after", self.after), ("before", self.before)):
            for id in ids:
                need(facts, Activity, id, field)
        start = self.prefix or free_prefix(facts, begun, "" if whole else f"{places[0].id}-")
        where = "" if whole else ", ".join(self._name(facts, p.id) for p in places[:2])
        changes = [*map(add, activities(begun, start, where)), *map(add, links(begun, start))]
        ends = _ends(begun)
        for before in self.after:
            changes += [add(plain_link(before, start + id)) for id in ends[0]]
        for after in self.before:
            changes += [add(plain_link(start + id, after)) for id in ends[1]]
        lines = 0
        if self.parts != "no":
            bought = list(parts(facts, begun, start))
            lines = sum(isinstance(c.after, Part) for c in bought)
            changes += bought
        self._free(facts, changes)
        sound(facts, changes, "after" if self.after else "before")
        named = where or "the house"
        bits = f", {lines} lines of parts" if lines else ""
        return Work(
            changes,
            f"Work of {'a ' if not whole else 'the '}"
            f"{'whole finish phase' if self.what == 'whole' else self.what} added for {named}: "
            f"{len(begun.works)} activities{bits}. Days are {begun.basis}.",
        )

    def _places(self, facts: Facts) -> list[Place]:
        rooms_are_here(facts, self.rooms, "rooms")
        every = facts.all(Room)
        chosen = [r for r in every if r.id in self.rooms] if self.rooms else []
        if self.what == "whole" and (not self.rooms or "all" in self.rooms):
            chosen = list(every)
        stairs = {s.from_room for s in facts.all(Stair)} | {s.to_room for s in facts.all(Stair)}
        if not chosen:
            raise BadCommandError(("rooms", "name the rooms that it is for."))
        found = []
        for room in chosen:
            kind = kind_of(room)
            if self.what == "kitchen":
                kind = "kitchen"
            elif self.what == "bath" and kind not in ("bath", "primary-bath", "powder"):
                kind = "bath"
            outline = [(float(x), float(y)) for x, y in room.outline]
            found.append(
                Place(room.id, kind, room.floor or "", area(outline) / 144, room.id in stairs)
            )
        return found

    def _free(self, facts: Facts, changes: Iterable[Change]) -> None:
        held = [c for c in changes if facts.fact(c.kind, c.id) is not None]
        if held:
            names = ", ".join(c.id for c in held[:5])
            raise BadCommandError(("prefix", f"{names} are here already: choose another prefix."))

    @staticmethod
    def _name(facts: Facts, id: str) -> str:
        room = facts.find(Room, id)
        return room.name if room is not None and room.name else id


def kind_of(room: Room) -> str:
    """Return what the starter calls a room.

    >>> kind_of(Room(id="201", name="Primary bath", level="2", outline=((0, 0), (9, 0), (9, 9))))
    'primary-bath'
    """
    words = f"{room.use} {room.name}".lower()
    kind = KINDS.get(habits.use_in(room.use) or habits.use_in(room.name), "")
    if "primary" in words:
        return {"bath": "primary-bath", "bedroom": "primary"}.get(kind, kind)
    return kind


def free_prefix(facts: Facts, begun: Begun, wanted: str) -> str:
    """Return a prefix under which no activity and no class is here yet."""
    ids = [*(w.id for w in begun.works)]
    classes = [row["class"] for row in begun.classes]
    number = 1
    while True:
        start = wanted if number == 1 else f"{wanted or 'W'}{number}-"
        if not any(facts.find(Activity, short_id(start + id)) for id in ids) and not any(
            facts.find(PartClass, short_id(start + id)) for id in classes if start
        ):
            return start
        number += 1


def activities(begun: Begun, start: str, where: str) -> list[Activity]:
    """Return the work as facts."""
    return [
        Activity(
            id=short_id(start + w.id), name=f"{w.name}, {where}" if where else w.name,
            days_low=w.low, days_likely=w.likely, days_high=w.high, trade=w.trade, rooms=w.rooms,
            note=w.note,
        )
        for w in begun.works
    ]  # fmt: skip


def links(begun: Begun, start: str) -> list[Link]:
    """Return the links as facts."""
    found = []
    for k in begun.links:
        before, after = short_id(start + k.before), short_id(start + k.after)
        found.append(Link(id=link_id(before, after, "finish to start"), before=before, after=after,
                          lag_days=k.lag, reason=k.reason))  # fmt: skip
    return found


def parts(facts: Facts, begun: Begun, start: str) -> Iterable[Change]:
    """Yield classes, companions and lines; what a room has a line of already is left out."""
    there = {(p.room, _plain(facts, p.part_class)) for p in facts.all(Part)}
    names = {row["class"]: row["name"] for row in begun.classes}
    wanted = [
        line for line in begun.lines
        if (line[0], names[line[1]].casefold()) not in there
    ]  # fmt: skip
    used = {line[1] for line in wanted}
    held = {row["class"] for row in begun.classes if not start
            and facts.find(PartClass, row["class"]) is not None}  # fmt: skip
    for row in begun.classes:
        if row["class"] in used - held:
            yield add(PartClass(
                id=short_id(start + row["class"]), name=row["name"], facts=row["facts"],
                needed_by=short_id(start + row["needed_by"]),
                order_after=short_id(start + row["order_after"]) if row["order_after"] else None,
                lead_weeks_low=Fraction(row["low"]), lead_weeks_high=Fraction(row["high"]),
                basis=BASIS,
            ))  # fmt: skip
    for row in begun.companions:
        if row["class"] in used - held:
            own = short_id(start + row["class"])
            when = f" ({row['when']})" if row["when"] else ""
            by = "builder" if row["brought_by"].isupper() and len(row["brought_by"]) > 4 else ""
            yield add(Companion(
                id=short_id(f"{own}/{row['part']}{when}"), part_class=own, part=row["part"],
                per_item=Fraction(row["per_item"]), when=row["when"], stage=row["stage"],
                brought_by=by or row["brought_by"],
                kind="work" if row["kind"] == "work" else "part",
            ))  # fmt: skip
    number = 1
    for room, part_class, qty, note in wanted:
        while facts.find(Part, f"L{number:03}") is not None:
            number += 1
        yield add(Part(id=f"L{number:03}", room=room, part_class=short_id(start + part_class),
                       qty=qty, note=note))  # fmt: skip
        number += 1


def _plain(facts: Facts, part_class: str) -> str:
    found = facts.find(PartClass, part_class)
    return (found.name if found is not None and found.name else part_class).casefold()


def _ends(begun: Begun) -> tuple[list[str], list[str]]:
    """Return the work that nothing of it comes before, and that nothing of it comes after."""
    after = {k.after for k in begun.links}
    before = {k.before for k in begun.links}
    ids = [w.id for w in begun.works]
    return [i for i in ids if i not in after], [i for i in ids if i not in before]
