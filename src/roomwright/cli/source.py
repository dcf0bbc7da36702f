"""HOUSE on the command line: a folder is read as it is, a name is looked up in the store."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from roomwright.answers import Answers
from roomwright.answers.as_of import default_as_of, of_folder
from roomwright.cli.trouble import BadInputError
from roomwright.days import YEARS_AFTER, YEARS_BEFORE
from roomwright.job.entities import House
from roomwright.job.facts import Facts

if TYPE_CHECKING:
    from roomwright.exchange.folder import Loaded
    from roomwright.job.store import Store

__all__ = ["BadInputError", "Source", "find", "open_store", "read"]


@dataclass(frozen=True, slots=True)
class Source:
    """The facts of a house and where they came from."""

    name: str
    facts: Facts
    stored: bool

    def answers(self, as_of: date | None, today: date) -> Answers:
        """Return answers for the given day, else for the source's own as-of day."""
        own = default_as_of if self.stored else of_folder
        day = as_of or own(self.facts, today)
        self._within(day)
        return Answers(self.facts, as_of=day)

    def _within(self, day: date) -> None:
        """Refuse a day so far from the start of work that no calendar of the house holds it."""
        house = self.facts.find(House, "house")
        if house is None:
            return
        years = day.year - house.site_start.year
        if not -YEARS_BEFORE < years < YEARS_AFTER:
            raise BadInputError(
                f"{day} is too far from {house.site_start}, when work on {house.name} starts: "
                "name a day with --as-of, like --as-of 2027-03-29"
            )


def find(house: str, store_url: str | None) -> Source:
    """Return the house that HOUSE means.

    A path that holds `house.toml` is a folder; anything else is a name in the store. Warnings of
    a folder go to standard error.

    Raises
    ------
    BadInputError
        the folder is wrong (every problem is listed), or there is no such house.
    """
    if not house.strip() or "\0" in house:
        raise BadInputError("Name a house folder, or a stored house.")
    folder = Path(house)
    if folder.is_dir() or (folder / "house.toml").exists():
        return Source(folder.resolve().name, read(folder).facts, stored=False)
    from roomwright.job.store import UnknownHouseError

    store = open_store(store_url)
    try:
        return Source(house, store.facts(house), stored=True)
    except UnknownHouseError as error:
        raise BadInputError(
            f"{house!r} is neither a folder here nor a stored house. {error}"
        ) from None
    finally:
        store.close()


def open_store(url: str | None) -> Store:
    """Return the store at a URL or path.

    Raises
    ------
    BadInputError
        for a URL that says nothing; a store that cannot be used is a `StoreError`.
    """
    from sqlalchemy.exc import ArgumentError

    from roomwright.job.store import Store

    try:
        return Store(url)
    except (ArgumentError, ValueError) as error:
        raise BadInputError(
            f"No store can be opened at {url or Store.default_url()!r} ({error}): write the path "
            "of a file, sqlite:///path/to/house.db or postgresql://user@host/name"
        ) from None


def read(folder: Path) -> Loaded:
    """Return what a house folder holds; its warnings go to standard error.

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
    return loaded
