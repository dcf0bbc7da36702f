"""Days on which nobody works, or only until noon: one day, a run of days, once or each year."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

LONGEST: Final = 200
"""A longer closing is a slip of the pen [days]."""

_LONGEST_WORDS: Final = 80
_MONTHS: Final = ("january", "february", "march", "april", "may", "june", "july", "august",
                  "september", "october", "november", "december")  # fmt: skip
_DAY = r"(\d{4})-(\d{1,2})-(\d{1,2})"
_OF_YEAR = r"(?:(\d{1,2})-(\d{1,2})|([a-z]{3,9})\.?\s+(\d{1,2}))"
_ONCE = re.compile(rf"{_DAY}(?:\s+to\s+{_DAY})?", re.ASCII)
_YEARLY = re.compile(rf"every\s+{_OF_YEAR}(?:\s+to\s+{_OF_YEAR})?", re.ASCII)
_LEAP: Final = 2028


class ClosingError(ValueError):
    """What is wrong with a closing (the message), and what to `do`."""

    def __init__(self, wrong: str, do: str) -> None:
        super().__init__(f"{wrong}: {do}")
        self.wrong, self.do = wrong, do


@dataclass(frozen=True, slots=True, order=True)
class Closing:
    """A run of days, both ends included; `yearly` where it comes back each year.

    A yearly one keeps the month and day of its two dates only, and may run over New Year.

    Examples
    --------
    >>> shut = Closing.read("every Dec 24 to Jan 1")
    >>> str(shut), len(list(shut.days(2027, 2027)))  # eight in December, one in January
    ('every 12-24 to 01-01', 9)
    >>> str(Closing.read("2027-07-05 to 2027-07-09"))
    '2027-07-05 to 2027-07-09'
    """

    first: date
    last: date
    yearly: bool = False

    @classmethod
    def read(cls, text: str) -> Closing:
        """Return a closing from its words.

        Raises
        ------
        ClosingError
            what is wrong, and what to type
        """
        words = " ".join(text.lower().split())
        if len(words) > _LONGEST_WORDS:
            raise _unread(text)
        plain = re.sub(r" ?(?:\.\.|\u2013|\bto\b) ?", " to ", words)
        if found := _ONCE.fullmatch(plain):
            one, *rest = found.groups()
            first = _day(int(one), int(rest[0]), int(rest[1]), text)
            last = first
            if rest[2]:
                last = _day(int(rest[2]), int(rest[3]), int(rest[4]), text)
            return cls(first, last)._checked(text)
        if found := _YEARLY.fullmatch(plain):
            ends = found.groups()
            first = _of_year(ends[:4], text)
            last = _of_year(ends[4:], text) if any(ends[4:]) else first
            return cls(first, last, yearly=True)._checked(text)
        raise _unread(text)

    def days(self, first: int, last: int) -> Iterator[date]:
        """Yield its days in the years from `first` to `last`."""
        if not self.yearly:
            yield from (d for d in _run(self.first, self.last) if first <= d.year <= last)
            return
        over = (self.last.month, self.last.day) < (self.first.month, self.first.day)
        for year in range(max(first - over, 1), last + 1):
            if year + over > date.max.year:
                return
            ends = _in(year, self.first), _in(year + over, self.last)
            yield from (d for d in _run(*ends) if first <= d.year <= last)

    def _checked(self, text: str) -> Closing:
        length = (self.last - self.first).days + 1
        if self.yearly and length < 1:
            length += 366
        if length < 1:
            raise ClosingError(f"“{text.strip()[:40]}” ends before it begins", "swap the two days")
        if length > LONGEST:
            raise ClosingError(
                f"“{text.strip()[:40]}” is {length} days", f"use at most {LONGEST}, or two"
            )
        return self

    def __str__(self) -> str:
        if self.yearly:
            one, other = (f"{d.month:02}-{d.day:02}" for d in (self.first, self.last))
        else:
            one, other = self.first.isoformat(), self.last.isoformat()
        return ("every " if self.yearly else "") + (one if one == other else f"{one} to {other}")


def _unread(text: str) -> ClosingError:
    return ClosingError(
        f"“{text.strip()[:40]}” is no day or run of days",
        "type 2027-07-05, 2027-07-05 to 2027-07-09, or every 12-24 to 01-01",
    )


def closings(text: str | Iterable[str]) -> tuple[Closing, ...]:
    """Return closings from words with ``;`` or ``,`` between, or from a list.

    >>> [str(c) for c in closings("2027-05-31; every Jul 4")]
    ['2027-05-31', 'every 07-04']
    """
    parts = re.split(r"[;,\n]", text) if isinstance(text, str) else text
    return tuple(dict.fromkeys(Closing.read(part) for part in parts if part.strip()))


def _run(first: date, last: date) -> Iterator[date]:
    for n in range((last - first).days + 1):
        yield first + timedelta(days=n)


def _in(year: int, day: date) -> date:
    """Return a day of the year in a year; Feb 29 is Feb 28 where there is none."""
    try:
        return day.replace(year=year)
    except ValueError:
        return day.replace(year=year, day=28)


def _day(year: int, month: int, day: int, text: str) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise ClosingError(
            f"“{text.strip()[:40]}”: there is no such day", "check the month and the day"
        ) from None


def _of_year(end: tuple[str | None, ...], text: str) -> date:
    number, of, word, worded = end
    if word is not None:
        month = next((n for n, name in enumerate(_MONTHS, 1) if name.startswith(word)), 0)
        return _day(_LEAP, month, int(worded or 0), text)
    return _day(_LEAP, int(number or 0), int(of or 0), text)
