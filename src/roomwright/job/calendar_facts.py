"""Facts of time: who works on which days."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar, Final, Literal

from pydantic import field_validator

from roomwright.days import Closing, Rota, holiday_sets, weekday
from roomwright.job.fact import Fact, Text

WEEK: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MOST: Final = 400
"""So many closings in one calendar are none that a person wrote."""
LONGEST: Final = MOST * len("2027-12-24 to 2028-01-01; ")
"""So long is the text of as many closings as a calendar may have."""


class WorkCalendar(Fact):
    """The days on which a trade, a maker or the house works.

    Its id is the trade as activities name it, the maker as orders name it, or ``house``. The
    house's adds to the work week and days off of the house itself.
    """

    kind_name = "calendar"
    sets: ClassVar[frozenset[str]] = frozenset(holiday_sets())

    work_week: tuple[str, ...] = ()
    """Weekdays worked; empty is the house's week, or Monday to Friday."""
    mornings: tuple[str, ...] = ()
    """What is worked until noon only: weekdays, days, runs of days."""
    holidays: tuple[str, ...] = ()
    """Holiday sets that are kept."""
    closed: tuple[str, ...] = ()
    """Days and runs of days off, once or each year."""
    follows_house: Literal["yes", "no"] = "yes"
    """Whether the house's days off are theirs as well."""
    note: Text = ""

    @field_validator("work_week", mode="before")
    @classmethod
    def _weekdays(cls, given: Any) -> tuple[str, ...]:
        numbers = {weekday(each) for each in _several(given)}
        return tuple(name for n, name in enumerate(WEEK) if n in numbers)

    @field_validator("mornings", mode="before")
    @classmethod
    def _mornings(cls, given: Any) -> tuple[str, ...]:
        said = [_weekday_or_closing(each) for each in _several(given)]
        return tuple(dict.fromkeys(said))

    @field_validator("closed", mode="before")
    @classmethod
    def _closed(cls, given: Any) -> tuple[str, ...]:
        return tuple(dict.fromkeys(str(Closing.read(each)) for each in _several(given)))

    @field_validator("holidays", mode="before")
    @classmethod
    def _sets(cls, given: Any) -> tuple[str, ...]:
        kept = tuple(dict.fromkeys(" ".join(each.lower().split()) for each in _several(given)))
        for each in kept:
            if each not in cls.sets:
                known = ", ".join(sorted(cls.sets))
                raise ValueError(f"there is no holiday set “{each[:40]}”: use {known}")
        return kept

    @property
    def rota(self) -> Rota:
        """When they work, without what they follow of the house."""
        week = self.work_week or WEEK[:5]
        halves = [each for each in self.mornings if each in WEEK]
        return Rota(
            frozenset(map(weekday, week)) | frozenset(map(weekday, halves)),
            frozenset(map(weekday, halves)),
            self.holidays,
            tuple(map(Closing.read, self.closed)),
            tuple(Closing.read(each) for each in self.mornings if each not in WEEK),
        )


def _several(given: Any) -> Iterator[str]:
    """Yield the words of a list, or of a text with ``;`` or ``,`` between."""
    parts = (
        given.replace(";", ",").replace("\n", ",").split(",") if isinstance(given, str) else given
    )
    if not isinstance(parts, list | tuple) or not all(isinstance(p, str) for p in parts):
        raise ValueError("write words with ; between")
    if len(parts) > MOST:
        raise ValueError(f"{len(parts)} are more than anybody writes: use at most {MOST}")
    yield from (part.strip() for part in parts if part.strip())


def _weekday_or_closing(text: str) -> str:
    try:
        return WEEK[weekday(text)]
    except ValueError:
        return str(Closing.read(text))
