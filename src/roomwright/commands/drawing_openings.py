"""Commands on what is in walls: windows, and openings and windows moved, changed or taken out."""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from pydantic import Field

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
from roomwright.commands.drawing_joins import sound
from roomwright.commands.in_wall import clear, in_wall, on_wall
from roomwright.commands.openings import NAMES, AddOpening
from roomwright.commands.said import Said
from roomwright.exchange import place
from roomwright.exchange.changes import was_now
from roomwright.job.entities import Id, Opening, OpeningKind, Point, Room, Text, Window
from roomwright.job.facts import Facts
from roomwright.lengths import tape


class EditOpening(Command):
    """Move an opening along its wall or into another, or change its width, kind, hand or height.

    What is left out stays.
    """

    command_name: ClassVar[str] = "edit opening"

    opening: Id
    wall: str = Field(default="", max_length=2)
    from_corner: str = Field(default="", max_length=200)
    width: Said | None = None
    kind: OpeningKind | None = None
    hand: str = ""
    swings: Literal["", "in", "out"] = ""
    height: Said | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the opening as said: drawn anew in its wall, under its own id."""
        was = need(facts, Opening, self.opening, "opening")
        room = need(facts, Room, inside_of(was), "opening")
        wall, from_corner, wide = in_wall(room, was.a, was.b)
        kind = self.kind or was.kind
        without = facts.changed([take_out(was)])
        given: dict[str, object] = {
            "room": room.id,
            "wall": self.wall or wall,
            "from_corner": self.from_corner or from_corner,
            "width": self.width or was.width or wide,
            "kind": kind,
            "height": self.height or was.height,
        }
        if kind in ("swing", "swing pair"):
            inward = was.swings_into in (None, room.id)
            given["swings"] = self.swings or ("in" if inward else "out")
            given["hand"] = self.hand or _hand(was, room, away=given["swings"] == "out")
        made = AddOpening.model_validate(given).work(without, past).changes[0].after
        if not isinstance(made, Opening):
            raise TypeError("an opening was asked for")
        now = edit(was, **_as_it_was_told(was, made))
        what = f"{NAMES.get(kind, 'opening')} {was.id}"
        if now.after == was:
            return Work([], f"{capital(what)} is so already.")
        sound(facts, [now], "from_corner")
        at = f"wall {str(given['wall']).upper()}, {given['from_corner']} from its corner"
        before = f"{tape(was.width or wide)} in wall {wall}, {from_corner} from its corner"
        if was.kind != kind:
            before = f"a {NAMES.get(was.kind, 'opening')}, {before}"
        return Work([now], f"{capital(what)}: {tape(made.width or wide)} in {at} (was {before}).")


def _as_it_was_told(was: Opening, made: Opening) -> dict[str, object]:
    """The opening drawn anew, its ends in the order of the old one, outdoors first if it was."""
    values = {k: v for k, v in dict(made).items() if k not in ("id", "extra")}
    forward = [float(q - p) for p, q in zip(was.a, was.b, strict=True)]
    now = [float(q - p) for p, q in zip(made.a, made.b, strict=True)]
    if sum(x * y for x, y in zip(forward, now, strict=True)) < 0:
        values |= {"a": made.b, "b": made.a}
    if was.from_room in was.open_ends and made.to_room in was.open_ends:
        values |= {"from_room": made.to_room, "to_room": made.from_room}
    return values


def inside_of(opening: Opening) -> str:
    """Return the room on whose face an opening is told: where it begins, if that is indoors."""
    outdoors = opening.from_room in opening.open_ends
    return opening.to_room if outdoors else opening.from_room


class RemoveOpening(Command):
    """Take an opening out; the wall is whole there."""

    command_name: ClassVar[str] = "remove opening"

    opening: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house without it."""
        was = need(facts, Opening, self.opening, "opening")
        what = NAMES.get(was.kind, "opening")
        said = f"{capital(what)} {was.id} taken out of {was.from_room}."
        return Work([take_out(was), *let_go(facts, was)], said)


class AddWindow(Command):
    """Put a window into a room's wall, by the wall's letter and the distance from its corner."""

    command_name: ClassVar[str] = "add window"

    room: Id
    wall: str = Field(min_length=1, max_length=2)
    from_corner: str = Field(min_length=1, max_length=200)
    width: Said
    height: Said | None = None
    sill: Said | None = None
    type: Text = ""
    window: Id | None = None
    """Its id; the next free one if not given."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house with the window."""
        room = need(facts, Room, self.room, "room")
        taken = set(facts.ids(Window))
        free = next(id for n in range(1, len(taken) + 2) if (id := f"W{n}") not in taken)
        if self.window in taken:
            raise BadCommandError(("window", f"there is a window {self.window} already."))
        a, b = on_wall(room, self.wall, self.from_corner, self.width)
        made = Window(
            id=self.window or free, room=room.id, a=a, b=b, height=self.height, sill=self.sill,
            type=self.type,
        )  # fmt: skip
        clear(facts, room, made.id, a, b)
        sound(facts, [add(made)], "from_corner")
        return Work(
            [add(made)],
            f"Window {made.id}, {tape(self.width)}, put into wall {self.wall.upper()} of "
            f"{room.name or room.id}.",
        )


def _opens_within(window: Window) -> None:
    """Refuse a clear opening that is larger than its window."""
    wide = math.dist([float(v) for v in window.a], [float(v) for v in window.b])
    if window.clear_width is not None and float(window.clear_width) > wide + 1 / 64:
        text = f"window {window.id} is {tape(wide)} wide: its clear opening can't be wider."
        raise BadCommandError(("clear_width", text))
    high = window.height
    if window.clear_height is not None and high is not None and window.clear_height > high:
        text = f"window {window.id} is {tape(high)} high: its clear opening can't be higher."
        raise BadCommandError(("clear_height", text))


class EditWindow(Command):
    """Move a window, or change its width, height, sill, type or clear opening; the rest stays."""

    command_name: ClassVar[str] = "edit window"

    window: Id
    wall: str = Field(default="", max_length=2)
    from_corner: str = Field(default="", max_length=200)
    width: Said | None = None
    height: Said | None = None
    sill: Said | None = None
    type: Text | None = None
    clear_width: Said | None = None
    clear_height: Said | None = None
    """Its clear opening, open: off the cut sheet or taped."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the window as said."""
        was = need(facts, Window, self.window, "window")
        room = need(facts, Room, was.room, "window")
        values: dict[str, object] = {
            field: value
            for field in ("height", "sill", "type", "clear_width", "clear_height")
            if (value := getattr(self, field)) is not None
        }
        if self.wall or self.from_corner or self.width is not None:
            wall, from_corner, wide = in_wall(room, was.a, was.b)
            a, b = on_wall(
                room, self.wall or wall, self.from_corner or from_corner, self.width or wide
            )
            clear(facts, room, was.id, a, b)
            values |= {"a": a, "b": b}
        change = edit(was, **values)
        sound(facts, [change], "from_corner")
        if change.after == was:
            return Work([], f"Window {was.id} is so already.")
        if isinstance(change.after, Window):
            _opens_within(change.after)
        said = was_now(was, change.after) if change.after is not None else ""
        return Work([change], f"Window {was.id} of {room.name or room.id}: {said}.")


class RemoveWindow(Command):
    """Take a window out."""

    command_name: ClassVar[str] = "remove window"

    window: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house without it."""
        was = need(facts, Window, self.window, "window")
        said = f"Window {was.id} taken out of {was.room}."
        return Work([take_out(was), *let_go(facts, was)], said)


def _hand(was: Opening, room: Room, *, away: bool) -> str:
    """The hand of a door as it hangs; left where that is not known."""
    if was.hinge is None:
        return "left"
    hinged = place.hinge_of("left", was.a, was.b, room.outline, away=away)
    near = min(
        (was.a, was.b), key=lambda end: math.dist(_plain(end), _plain(was.hinge or was.a))
    )  # the end that it hangs on
    return "left" if hinged == near else "right"


def _plain(p: Point) -> tuple[float, float]:
    return float(p[0]), float(p[1])
