"""Commands on wall sheets: hang one, take one down. What hangs is kept as it was printed."""

from __future__ import annotations

from datetime import date
from typing import ClassVar

from pydantic import Field

from roomwright import shape
from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, need
from roomwright.commands.progress import near_the_house
from roomwright.exchange.rows import short_id
from roomwright.job.entities import Id, Posting, Room, Text
from roomwright.job.facts import Facts
from roomwright.job.words import day

Trade = str


class HangSheet(Command):
    """Record that a sheet hangs in a room. One of that trade that hung there comes down."""

    command_name: ClassVar[str] = "hang sheet"

    room: Id
    trade: Trade = Field(default="", max_length=40)
    posted: date
    revision: str = Field(default="", max_length=20)
    """The next letter if not given."""
    code: Text = ""
    content: str = Field(default="", max_length=2_000_000)
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the sheet, and the one that it replaces taken down."""
        need(facts, Room, self.room, "room")
        near_the_house(facts, "posted", self.posted)
        mine = [p for p in facts.where(Posting, "room", self.room) if p.trade == self.trade]
        revision = self.revision or next_revision([p.revision for p in mine])
        id = posting_id(self.room, self.trade, revision)
        if facts.find(Posting, id) is not None:
            raise BadCommandError(
                ("revision", f"revision {revision} was hung here already; the next is "
                             f"{next_revision([p.revision for p in mine])}.")
            )  # fmt: skip
        hanging = [p for p in mine if p.taken_down is None]
        for p in hanging:
            if p.posted and self.posted < p.posted:
                raise BadCommandError(
                    ("posted", f"revision {p.revision} was hung on {day(p.posted)}, after "
                               f"{day(self.posted)}.")
                )  # fmt: skip
        sheet = Posting(
            id=id, room=self.room, trade=self.trade, revision=revision, posted=self.posted,
            code=self.code, content=self.content, note=self.note,
        )  # fmt: skip
        sentence = f"Sheet {revision} hung in {self.room}{_for(self.trade)} on {day(self.posted)}"
        if hanging:
            sentence += f"; {' and '.join(p.revision for p in hanging)} taken down"
        down = [edit(p, taken_down=self.posted) for p in hanging]
        return Work([*down, add(sheet)], f"{sentence}.")


class TakeDownSheet(Command):
    """Record that a sheet was taken down; the one that hangs there if no revision is given."""

    command_name: ClassVar[str] = "take down sheet"

    room: Id
    trade: Trade = Field(default="", max_length=40)
    on: date
    revision: str = Field(default="", max_length=20)

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the sheet taken down."""
        near_the_house(facts, "on", self.on)
        hanging = [
            p
            for p in facts.where(Posting, "room", self.room)
            if p.trade == self.trade and p.taken_down is None and self.revision in ("", p.revision)
        ]
        if not hanging:
            which = f"sheet {self.revision}" if self.revision else "sheet"
            raise BadCommandError(("room", f"no {which}{_for(self.trade)} hangs in {self.room}."))
        for p in hanging:
            if p.posted and self.on < p.posted:
                raise BadCommandError(
                    ("on", f"it was hung on {day(p.posted)}, after {day(self.on)}.")
                )
        names = " and ".join(p.revision for p in hanging)
        return Work(
            [edit(p, taken_down=self.on) for p in hanging],
            f"Sheet {names} in {self.room}{_for(self.trade)} taken down on {day(self.on)}.",
        )


def posting_id(room: str, trade: str, revision: str) -> str:
    """Return the id of a wall sheet.

    >>> posting_id("101", "electrician", "B")
    '101/electrician/B'
    """
    return short_id(f"{room}/{trade}/{revision}")


def next_revision(used: list[str]) -> str:
    """Return the next revision's letter after those used.

    >>> next_revision([]), next_revision(["A", "B", "draft"]), next_revision(["Z"])
    ('A', 'C', 'AA')
    """
    numbers = [
        shape.index_of(r)
        for r in used
        if r.isascii() and r.isupper() and r.isalpha() and len(r) < 3
    ]
    return shape.letter(max(numbers, default=-1) + 1)


def _for(trade: str) -> str:
    return f" for the {trade}" if trade else ""
