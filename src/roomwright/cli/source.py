"""HOUSE on the command line: a folder is read as it is, a name is looked up in the store."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from roomwright.answers import Answers
from roomwright.answers.as_of import default_as_of, of_folder
from roomwright.job.facts import Facts


class BadInputError(Exception):
    """Input we cannot work with; its text says what and what to do. Ends with status 2."""


@dataclass(frozen=True, slots=True)
class Source:
    """The facts of a house and where they came from."""

    name: str
    facts: Facts
    stored: bool

    def answers(self, as_of: date | None, today: date) -> Answers:
        """Return answers for the given day, else for the source's own as-of day."""
        own = default_as_of if self.stored else of_folder
        return Answers(self.facts, as_of=as_of or own(self.facts, today))


def find(house: str, store_url: str | None) -> Source:
    """Return the house that HOUSE means.

    A path that holds `house.toml` is a folder; anything else is a name in the store. Warnings of
    a folder go to standard error.

    Raises
    ------
    BadInputError
        the folder is wrong (every problem is listed), or there is no such house.
    """
    folder = Path(house)
    if folder.is_dir() or (folder / "house.toml").exists():
        return Source(folder.resolve().name, read(folder), stored=False)
    from roomwright.job.store import Store, UnknownHouseError

    store = Store(store_url)
    try:
        return Source(house, store.facts(house), stored=True)
    except UnknownHouseError as error:
        raise BadInputError(
            f"{house!r} is neither a folder here nor a stored house. {error}"
        ) from None
    finally:
        store.close()


def read(folder: Path) -> Facts:
    """Return the facts of a house folder; its warnings go to standard error.

    Raises
    ------
    BadInputError
        with every problem of every file.
    """
    from roomwright.exchange.folder import FolderError, read_folder

    try:
        loaded = read_folder(folder)
    except FolderError as error:
        lines = "\n".join(str(p) for p in error.problems)
        raise BadInputError(f"{folder} was not read:\n{lines}") from None
    for warning in loaded.warnings:
        print(warning, file=sys.stderr)
    return loaded.facts
