"""The command that starts a house of one's own from ten plain answers."""

from __future__ import annotations

from datetime import date
from typing import ClassVar

from roomwright.commands.base import BadCommandError, Command, Past, Work, add
from roomwright.job.entities import Activity, House, PartClass, Room
from roomwright.job.facts import Facts


class StartHouse(Command):
    """Start a house from the answers to the ten questions: rooms, classes and a typical network."""

    command_name: ClassVar[str] = "start house"

    answers: dict[str, str]
    today: date | None = None
    """The day from which "in 16 weeks" counts; the clock's if left out."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house that the starter makes of the answers."""
        # only here: no other command needs the starter's files
        from roomwright import starter
        from roomwright.exchange.folder import FolderError, read_files

        if len(facts):
            raise BadCommandError(("", "this house is started already."))
        try:
            files = starter.build(dict(self.answers), self.today)
            made = read_files({name: text.encode() for name, text in files.items()}).facts
        except FolderError as no:
            raise BadCommandError(*(("", str(p)) for p in no.problems)) from no
        except ValueError as no:
            raise BadCommandError(("answers", str(no))) from no
        counts = [
            f"{len(made.ids(kind))} {word}"
            for kind, word in ((Room, "rooms"), (Activity, "activities"), (PartClass, "classes"))
        ]
        name = made.get(House, "house").name
        return Work([add(fact) for fact in made], f"{name} started: {', '.join(counts)}.")
