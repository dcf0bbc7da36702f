"""A command: say what a thing should be centered on; and what becomes of it when that goes."""

from __future__ import annotations

from typing import ClassVar

from roomwright.commands.base import BadCommandError, Command, Past, Work, capital, edit
from roomwright.job.entities import Fact, Id, Light, Piece
from roomwright.job.facts import Change, Facts
from roomwright.job.rules_of_centring import target
from roomwright.job.words import named


class CenterOn(Command):
    """Say what a piece or a light should be centered on; nothing, and it is as is usual."""

    command_name: ClassVar[str] = "center on"

    thing: Id
    on: Id | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the thing with what it should be centered on; nothing is moved."""
        fact = facts.find(Piece, self.thing) or facts.find(Light, self.thing)
        if fact is None:
            raise BadCommandError(("thing", f"there is no piece or light {self.thing}."))
        what = capital(named(fact, fact.kind_name, fact.id))
        if (fact.centred_on or None) == self.on:
            return Work([], f"{what} is so already.")
        was = f" (was on {fact.centred_on})" if fact.centred_on else ""
        if self.on is None:
            return Work([edit(fact, centred_on=None)], f"{what}: centered as is usual again{was}.")
        other = target(facts, self.on)
        on = self.on if other is None else named(other, other.kind_name, other.id)
        return Work(
            [edit(fact, centred_on=self.on)], f"{what} should be centered on the {on}{was}."
        )


def let_go(facts: Facts, *gone: Fact) -> list[Change]:
    """Return the changes of what is centered on things that go: it stays, centered on nothing."""
    ids = {fact.id for fact in gone}
    going = {(fact.kind_name, fact.id) for fact in gone}
    after = facts.changed([Change(fact.kind_name, fact.id, fact, None) for fact in gone])
    users: list[Light | Piece] = [*facts.all(Light), *facts.all(Piece)]
    return [
        edit(fact, centred_on=None)
        for fact in users
        if fact.centred_on in ids
        and (fact.kind_name, fact.id) not in going
        and target(after, fact.centred_on or "") is None
    ]
