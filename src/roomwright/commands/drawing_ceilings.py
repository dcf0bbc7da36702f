"""Commands on sloped ceilings: a slope over a wall, by its height there and its rise."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import ClassVar

from pydantic import Field

from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, need, take_out
from roomwright.commands.drawing_joins import sound
from roomwright.commands.drawing_walls import index
from roomwright.commands.in_wall import in_wall, on_wall
from roomwright.commands.said import Said
from roomwright.job.entities import Id, Length, Point, Room, Slope, Text
from roomwright.job.fact import as_number
from roomwright.job.facts import Facts
from roomwright.lengths import tape

STEEPEST = 48
"""A ceiling that rises more than this in 12 is a wall [in.]; only a guard against a slip."""


class AddSlope(Command):
    """Slope the ceiling up from a wall: its height there, and its rise in 12 or how far it runs.

    From one end of the wall to the other, unless a distance from a corner and a width say which
    part: a dormer is left out by two slopes, one on each side of it.
    """

    command_name: ClassVar[str] = "add slope"

    room: Id
    wall: str = Field(min_length=1, max_length=2)
    low: Said
    """The ceiling's height over the floor at the wall."""
    pitch: Text = ""
    """Inches of rise in 12 of run: ``8`` or ``8 in 12``."""
    reach: Said | None = None
    """Instead: how far from the wall it meets the room's flat ceiling."""
    from_corner: str = Field(default="", max_length=200)
    width: Said | None = None
    slope: Id | None = None
    """Its id; the next free one if not given."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house with the slope."""
        room = need(facts, Room, self.room, "room")
        taken = set(facts.ids(Slope))
        if self.slope in taken:
            raise BadCommandError(("slope", f"there is a slope {self.slope} already."))
        free = next(id for n in range(1, len(taken) + 2) if (id := f"SL{n}") not in taken)
        a, b = line_of(room, self.wall, self.from_corner, self.width)
        if not self.pitch and self.reach is None:
            raise BadCommandError(
                ("pitch", "say how much it rises in 12, or how far from the wall it is level.")
            )
        made = Slope(
            id=self.slope or free, room=room.id, a=a, b=b, low=self.low,
            pitch=_rise(room, self.low, self.pitch, self.reach),
        )  # fmt: skip
        _under_ceiling(room, made)
        sound(facts, [add(made)], "wall")
        return Work(
            [add(made)],
            f"The ceiling of {room.name or room.id} slopes up from wall {self.wall.upper()}: "
            f"{told(room, made)}.",
        )


class EditSlope(Command):
    """Change a sloped ceiling; what is left out stays."""

    command_name: ClassVar[str] = "edit slope"

    slope: Id
    low: Said | None = None
    pitch: Text = ""
    reach: Said | None = None
    wall: str = Field(default="", max_length=2)
    from_corner: str = Field(default="", max_length=200)
    width: Said | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the slope as said."""
        was = need(facts, Slope, self.slope, "slope")
        room = need(facts, Room, was.room, "slope")
        values: dict[str, object] = {}
        if self.wall or self.from_corner or self.width is not None:
            wall, from_corner, wide = in_wall(room, was.a, was.b)
            if self.wall and self.wall.upper() != wall and not self.from_corner:
                values["a"], values["b"] = line_of(room, self.wall, "", self.width)
            else:
                values["a"], values["b"] = line_of(
                    room, self.wall or wall, self.from_corner or from_corner, self.width or wide
                )
        low = was.low if self.low is None else self.low
        values["low"] = low
        if self.pitch or self.reach is not None:
            values["pitch"] = _rise(room, low, self.pitch, self.reach)
        change = edit(was, **values)
        if not isinstance(change.after, Slope):
            raise TypeError("a slope was asked for")
        if change.after == was:
            return Work([], f"Slope {was.id} is so already.")
        _under_ceiling(room, change.after)
        sound(facts, [change], "wall")
        said = f"{told(room, change.after)} (was {told(room, was)})"
        return Work([change], f"Slope {was.id} of {room.name or room.id}: {said}.")


class RemoveSlope(Command):
    """Take a slope away: the ceiling is flat there."""

    command_name: ClassVar[str] = "remove slope"

    slope: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house without it."""
        was = need(facts, Slope, self.slope, "slope")
        return Work([take_out(was)], f"Slope {was.id} of {was.room} taken away.")


def line_of(room: Room, wall: str, from_corner: str, width: Length | None) -> tuple[Point, Point]:
    """Return the two ends of a slope's line: a whole wall, or a part of it."""
    if not from_corner and width is None:
        i = index(room, wall, "wall")
        return room.outline[i], room.outline[(i + 1) % len(room.outline)]
    if width is None:
        raise BadCommandError(("width", "say how wide that part is, or leave both empty."))
    return on_wall(room, wall, from_corner or "0", width)


def read_pitch(text: str) -> Fraction:
    """Return a rise in 12 from what a builder writes.

    >>> read_pitch("8"), read_pitch("8 1/2 in 12"), read_pitch("8:12"), read_pitch("8/12")
    (Fraction(8, 1), Fraction(17, 2), Fraction(8, 1), Fraction(8, 1))
    """
    found = re.fullmatch(r"(.+?)\s*(?:in|on|over|:|/)\s*12", text.strip(), re.IGNORECASE)
    try:
        return as_number(found[1] if found else text)
    except ValueError as no:
        raise BadCommandError(("pitch", f"{no}, or 8 in 12")) from no


def _rise(room: Room, low: Fraction, pitch: str, reach: Fraction | None) -> Fraction:
    if pitch and reach is not None:
        raise BadCommandError(("reach", "give the rise in 12 or how far it runs, not both."))
    if pitch:
        return read_pitch(pitch)
    if room.ceiling is None:
        raise BadCommandError(
            ("reach", "the room's flat ceiling is not known: say its height first, or the rise "
                      "in 12.")
        )  # fmt: skip
    if reach is None or reach <= 0:
        raise BadCommandError(("reach", "say how far from the wall, more than nothing."))
    exact = (room.ceiling - low) * 12 / reach
    return Fraction(round(exact * 1000), 1000)


def _under_ceiling(room: Room, slope: Slope) -> None:
    """Refuse what is no slope under this room's ceiling."""
    if slope.low < 0:
        raise BadCommandError(("low", "give its height over the floor, 0 or more."))
    if not 0 < slope.pitch <= STEEPEST:
        raise BadCommandError(
            ("pitch", f"a rise of {float(slope.pitch):g} in 12 is none: type one from 1/4 to "
                      f"{STEEPEST}.")
        )  # fmt: skip
    if room.ceiling is not None and slope.low >= room.ceiling:
        raise BadCommandError(
            ("low", f"it begins at {tape(slope.low)}, not under the ceiling at "
                    f"{tape(room.ceiling)}.")
        )  # fmt: skip


def reach_of(room: Room, slope: Slope) -> Fraction | None:
    """Return how far from its line a slope meets the flat ceiling [in]; None if not known."""
    if room.ceiling is None or slope.pitch <= 0:
        return None
    return (room.ceiling - slope.low) * 12 / slope.pitch


def told(room: Room, slope: Slope) -> str:
    r"""Return a slope in words.

    >>> ring = (("0", "0"), ("9", "0"), ("9", "9"))
    >>> attic = Room(id="301", level="3", ceiling="96", outline=ring)
    >>> print(told(attic, Slope(id="SL1", room="301", a=("0", "0"), b=("9", "0"), low="48",
    ...     pitch="9")))
    4'-0" high there, rising 9 in 12, level at 8'-0" after 5'-4"
    """
    said = f"{tape(slope.low)} high there, rising {pitch_said(slope.pitch)} in 12"
    far = reach_of(room, slope)
    if far is None or room.ceiling is None:
        return said
    return f"{said}, level at {tape(room.ceiling)} after {tape(far)}"


def pitch_said(pitch: Fraction) -> str:
    """Return a rise in 12 as it is said: 8, 8.5, to a thousandth."""
    return f"{round(float(pitch), 3):g}" if math.isfinite(float(pitch)) else str(pitch)
