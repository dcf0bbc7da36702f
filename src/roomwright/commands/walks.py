"""The command on habits of walking: between which uses of rooms people walk much."""

from __future__ import annotations

from typing import ClassVar, Literal

from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, take_out
from roomwright.fit.habits import habits, use_in, uses
from roomwright.job.entities import Id, Room, Text, Walk
from roomwright.job.facts import Facts


class SayWalk(Command):
    """Say how people walk between rooms of two uses; empty gives it back to common practice."""

    command_name: ClassVar[str] = "say how people walk"

    from_use: Id
    to_use: Id
    standing: Literal["main", "other"] | None = None
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the habit as the house has it now."""
        first, second = self._use(facts, "from_use"), self._use(facts, "to_use")
        if first == second:
            raise BadCommandError(("to_use", "people walk from one use to another; name two."))
        held = [
            walk for walk in facts.all(Walk)
            if {_plain(walk.from_use), _plain(walk.to_use)} == {first, second}
        ]  # fmt: skip
        pair = f"From {first} to {second}"
        if self.standing is None:
            usual = next(
                (h.standing for h in habits() if h.pair == frozenset((first, second))), None
            )
            then = f"{usual} by common practice" if usual else "no walk that counts"
            return Work([take_out(walk) for walk in held], f"{pair}: {then} again.")
        said = f"{pair}: {'a main walk' if self.standing == 'main' else 'no main walk'}, {{}}."
        if held:
            change = edit(held[0], standing=self.standing, note=self.note or held[0].note)
            return Work(
                [change, *(take_out(walk) for walk in held[1:])], said.format("on your word")
            )
        walk = Walk(id=f"{first} > {second}"[:80], from_use=first, to_use=second,
                    standing=self.standing, note=self.note)  # fmt: skip
        return Work([add(walk)], said.format("on your word"))

    def _use(self, facts: Facts, field: str) -> str:
        """The use as the program knows it, or as a room of the house says it."""
        said = _plain(getattr(self, field))
        own = {_plain(room.use) for room in facts.all(Room) if room.use}
        if said in uses() or said in own:
            return said
        known = ", ".join((*uses(), *sorted(own - set(uses()) - {""})))
        raise BadCommandError(
            (field, f"no room is used as “{said}” here, and it is no use that is known: {known}.")
        )


def _plain(use: str) -> str:
    return use_in(use) or use.strip().lower()
