"""Commands on a scanned plan under a level: lay it there, set two known points, take it away."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Annotated, ClassVar

from pydantic import Field

from roomwright.answers.sketch import start_of
from roomwright.answers.sketch_run import COMPASS, RunError
from roomwright.commands.base import BadCommandError, Command, Past, Work, edit, need, take_out
from roomwright.job.entities import Backdrop, Id, Length, Number, Point, Room, Text
from roomwright.job.facts import Change, Facts
from roomwright.lengths import tape

APART = 20
"""Two known points are at least so far apart in the picture [px]: nearer ones fix no scale."""

Sha = Annotated[str, Field(pattern="^[0-9a-f]{64}$")]


DEGREES = re.compile(r"-?[0-9]{1,4}(\.[0-9]{1,6})?")
"""A plain number of degrees: no exponent, which would be worked out in full."""


class LayBackdrop(Command):
    """Lay a picture that the store keeps under a level. Two known points must be set anew."""

    command_name: ClassVar[str] = "lay backdrop"

    level: Id
    picture: Sha
    wide: int = Field(ge=1, le=20_000)
    high: int = Field(ge=1, le=20_000)
    file: Text = ""
    page: int = Field(default=1, ge=1, le=10_000)

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the level with its picture."""
        was = facts.find(Backdrop, self.level)
        made = Backdrop(
            id=self.level, picture=self.picture, file=self.file, page=self.page, wide=self.wide,
            high=self.high,
        )  # fmt: skip
        page = f", page {self.page}," if self.page > 1 else ""
        return Work(
            [Change("backdrop", self.level, was, made)],
            f"{self.file or 'A picture'}{page} lies under level {self.level}. Now set two points.",
        )


class SetPoints(Command):
    """Say how far apart two points of the picture are in the house, and which way they run."""

    command_name: ClassVar[str] = "set points"

    level: Id
    ax: Number
    ay: Number
    bx: Number
    by: Number
    """The two points in the picture [px], from its top left."""
    distance: Length
    runs: Text = ""
    """From the first to the second: east, north, 30 (degrees); empty: the nearest of the four."""
    at: Text = ""
    """Where the first lies in the house: 101 B, or a run from 0, 0; empty: 0, 0."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the picture with its scale."""
        was = need(facts, Backdrop, self.level, "level")
        if self.distance <= 0:
            raise BadCommandError(("distance", "a distance is more than nothing."))
        for field, most in (("ax", was.wide), ("ay", was.high), ("bx", was.wide), ("by", was.high)):
            if not 0 <= getattr(self, field) <= most:
                raise BadCommandError((field, f"this lies off the picture: 0 to {most}."))
        dx, dy = float(self.bx - self.ax), float(self.ay - self.by)
        if math.hypot(dx, dy) < APART:
            raise BadCommandError(("bx", "the two points are too near: take two far apart."))
        runs = self._runs(dx, dy)
        at: Point = (Fraction(0), Fraction(0))
        try:
            if self.at:
                at = start_of(self.at, {r.id: r.outline for r in facts.all(Room)})
        except RunError as no:
            raise BadCommandError(("at", str(no))) from no
        change = edit(
            was, a=(self.ax, self.ay), b=(self.bx, self.by), distance=self.distance, runs=runs,
            at=at,
        )  # fmt: skip
        return Work([change], f"The plan under level {was.id} is to scale: its two points are "
                    f"{tape(self.distance)} apart.")  # fmt: skip

    def _runs(self, dx: float, dy: float) -> Fraction:
        text = self.runs.strip().lower()
        if not text:
            return Fraction(round(math.degrees(math.atan2(dy, dx)) / 90) * 90) % 360
        if text in COMPASS:
            return Fraction(COMPASS[text])
        degrees = DEGREES.fullmatch(text.removesuffix("degrees").removesuffix("°").strip())
        if degrees is None:
            raise BadCommandError(
                ("runs", "say east, north, west, south, or degrees counterclockwise from east.")
            )
        return Fraction(degrees[0]) % 360


class ShowBackdrop(Command):
    """Show the picture under a level more or less strongly; 0 hides it."""

    command_name: ClassVar[str] = "show backdrop"

    level: Id
    shows: int = Field(ge=0, le=100)

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the picture so."""
        was = need(facts, Backdrop, self.level, "level")
        if was.shows == self.shows:
            return Work([], "It shows so already.")
        said = f"shows at {self.shows} %" if self.shows else "is hidden"
        return Work([edit(was, shows=self.shows)], f"The plan under level {was.id} {said}.")


class RemoveBackdrop(Command):
    """Take the picture away from under a level; what was drawn over it stays."""

    command_name: ClassVar[str] = "remove backdrop"

    level: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the level without it."""
        was = need(facts, Backdrop, self.level, "level")
        return Work([take_out(was)], f"The plan under level {was.id} is taken away.")
