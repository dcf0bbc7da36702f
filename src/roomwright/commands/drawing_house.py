"""Commands on the house: begin one with nothing in it, and the figures that hold in it."""

from __future__ import annotations

from datetime import date
from typing import ClassVar

from pydantic import Field

from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, need
from roomwright.figures.book import load
from roomwright.figures.figure import FiguresError
from roomwright.job.entities import House, Id, Room, Text
from roomwright.job.facts import Facts


class BeginHouse(Command):
    """Begin a house with a name and nothing drawn."""

    command_name: ClassVar[str] = "begin house"

    name: Text = Field(min_length=1)
    on: date
    """The day from which its calendar counts."""
    figures: Text = House.model_fields["figures"].default

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the empty house."""
        if len(facts):
            raise BadCommandError(("", "this house is begun already."))
        _known_set(self.figures)
        made = House(name=self.name, site_start=self.on, figures=self.figures)
        return Work([add(made)], f"{self.name} begun: nothing is drawn yet.")


class ChooseFigures(Command):
    """Choose the set of figures that holds in this house."""

    command_name: ClassVar[str] = "choose figures"

    figures: Text = Field(min_length=1)

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house under that set."""
        house = need(facts, House, "house", "figures")
        _known_set(self.figures)
        if self.figures == house.figures:
            return Work([], f"The figures are {self.figures} already.")
        return Work(
            [edit(house, figures=self.figures)],
            f"Figures in force: {self.figures} (was {house.figures}).",
        )


class SetFigure(Command):
    """Put a figure of your own over the set's, in the house or in one room; empty: the set's."""

    command_name: ClassVar[str] = "set figure"

    key: Text = Field(min_length=1)
    value: Text = ""
    room: Id | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house with it."""
        house = need(facts, House, "house", "key")
        if self.room is not None:
            need(facts, Room, self.room, "room")
        key = f"{self.room}:{self.key}" if self.room else self.key
        held = {k: v for k, v in house.overrides.items() if k != key}
        where = f" in room {self.room}" if self.room else ""
        if not self.value:
            if key not in house.overrides:
                return Work([], f"{self.key}{where}: the set's figure holds already.")
            return Work(
                [edit(house, overrides=held)],
                f"{self.key}{where}: as the set says (was {house.overrides[key]}).",
            )
        try:
            load().choose(house.figures, {self.key: self.value})
        except (FiguresError, ValueError) as no:
            field = "value" if self.key in load().keys else "key"
            raise BadCommandError((field, str(no))) from no
        held[key] = self.value
        before = house.overrides.get(key)
        was = f" (was {before})" if before is not None else " (was as the set says)"
        return Work(
            [edit(house, overrides=held)], f"{self.key}{where}: {self.value}, your own{was}."
        )


def _known_set(name: str) -> None:
    try:
        load().choose(name)
    except FiguresError as no:
        raise BadCommandError(("figures", str(no))) from no
