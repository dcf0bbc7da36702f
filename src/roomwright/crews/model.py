"""What levelling takes and gives: limits, bookings, effort; where work stands, what is proved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from roomwright.days import Calendar, Number, show_days
from roomwright.schedule.result import State


class LevelError(ValueError):
    """Limits or bookings that cannot be; each of `problems` is one plain sentence."""

    def __init__(self, *problems: str) -> None:
        self.problems = problems
        super().__init__("\n".join(problems))


@dataclass(frozen=True, slots=True)
class Use:
    """An activity takes part of a limit while it lasts, and so many elapsed days after it.

    `after` is for what dries: nobody goes into the room meanwhile [elapsed days].
    """

    activity: str
    amount: int = 1
    after: Number = 0


@dataclass(frozen=True, slots=True)
class Limit:
    """At no time may more than `most` be in use: crews of a trade, work that shares a room.

    Raises
    ------
    LevelError
        where one use alone is more than there is, or two are of one activity.
    """

    name: str
    most: int
    uses: tuple[Use, ...]

    def __post_init__(self) -> None:
        for use in self.uses:
            if not 0 < use.amount <= self.most or use.after < 0:
                raise LevelError(
                    f"{self.name}: {use.activity} takes {use.amount} of {self.most}: use 1 to "
                    f"{self.most}, and 0 days or more after it"
                )
        if len({use.activity for use in self.uses}) < len(self.uses):
            raise LevelError(f"{self.name}: an activity stands in it twice")


@dataclass(frozen=True, slots=True)
class Effort:
    """How long a search may go on.

    Parameters
    ----------
    work : float
        of each step of the search, in CP-SAT's deterministic time, so that the same question gets
        the same answer on any machine; one is about a second
    seconds : float, optional
        of the clock, on top of it: an answer that it cuts short may differ from run to run
    workers : int
        threads; more than one finds more, but not the same twice
    """

    work: float = 4.0
    seconds: float | None = None
    workers: int = 1


@dataclass(frozen=True, slots=True)
class Step:
    """One question of the search: the value found, and what no plan can be better than."""

    goal: Literal["end", "bookings changed", "days moved"]
    value: float
    bound: float
    stopped: bool = False

    @property
    def proved(self) -> bool:
        """Whether nothing better exists."""
        return self.bound >= self.value

    @property
    def text(self) -> str:
        """The value and its proof, or its gap, in words.

        >>> Step("end", 85, 83.5).text
        'end: 85, not proved: none is better than 83.5, so at most 1 1/2 days are left to gain'
        >>> Step("bookings changed", 2, 2).text
        'bookings changed: 2, proved: no plan does better'
        """
        if self.proved:
            return f"{self.goal}: {self.value:g}, proved: no plan does better"
        gap = self.value - self.bound
        left = f"{gap:g} bookings" if self.goal == "bookings changed" else show_days(gap)
        was = "; the search was stopped" if self.stopped else ""
        return (
            f"{self.goal}: {self.value:g}, not proved: none is better than {self.bound:g}, so "
            f"at most {left} are left to gain{was}"
        )


@dataclass(frozen=True, slots=True)
class Held:
    """Why work starts no sooner: a limit, and those that take it until then."""

    limit: str
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Placed:
    """Where work stands in a plan: working-day numbers of the house, and days.

    `from_tick`, `to_tick` and `goes_on` are half days of the almanac: where it begins and ends,
    and from where on it is worked still, for work that has begun. `held` names the limits that
    keep it later than its links would; `waits` the working days that this costs it.
    """

    id: str
    start: float
    finish: float
    first_day: date
    last_day: date
    state: State
    from_tick: int
    to_tick: int
    goes_on: int
    held: tuple[Held, ...] = ()
    waits: float = 0.0


@dataclass(frozen=True, slots=True)
class Moved:
    """A booking that the plan changes: the day that was said, and the day it is now."""

    activity: str
    booked: date
    now: date


@dataclass(frozen=True, slots=True)
class Levelled:
    """A plan that keeps links, calendars and limits.

    Attributes
    ----------
    placed : mapping of activity id to Placed
    working_days : float
        number of the end of all work on the house calendar
    plain_days : float
        the same where no limit binds: what the passes alone say
    moved : tuple of Moved
        bookings that are changed, the soonest new day first
    steps : tuple of Step
        what was asked of the search, in order, each with its proof or gap
    over : tuple of str
        limits that work which has begun exceeds already
    """

    placed: Mapping[str, Placed]
    calendar: Calendar
    as_of: date
    working_days: float
    plain_days: float
    moved: tuple[Moved, ...] = ()
    kept: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    over: tuple[str, ...] = ()
    positions: Mapping[str, int] = field(default_factory=dict, repr=False, compare=False)

    def __getitem__(self, id: str) -> Placed:
        return self.placed[id]

    @property
    def finish(self) -> date:
        """The last day worked, as the passes say it."""
        worked = (p.last_day for p in self.placed.values() if p.to_tick > p.from_tick)
        return max([self.calendar.last_worked(self.working_days), *worked])

    @property
    def costs(self) -> float:
        """Working days that the limits cost the house, by the soonest end that was found."""
        return self.soonest - self.plain_days

    @property
    def soonest(self) -> float:
        """Number of the soonest end that was found; bookings may be kept for a later one."""
        return next((s.value for s in self.steps if s.goal == "end"), self.working_days)

    @property
    def later(self) -> float:
        """Working days by which the plan ends after the soonest, to change fewer bookings."""
        return max(0.0, self.working_days - self.soonest)

    @property
    def proved(self) -> bool:
        """Whether every step of the search is proved."""
        return all(step.proved for step in self.steps)
