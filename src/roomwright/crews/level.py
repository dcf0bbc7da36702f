"""Levelling: the plan that keeps links, calendars and limits, ends first, and moves least.

Three questions, one after the other, each with what the ones before it found held fast:

1. How soon can all be done? Nothing is worse here than a plan made by the usual rules of thumb.
2. How few bookings have to be changed for that (or for an end a stated number of days later)?
3. By how few days, all in all, do those move?

Then everything that is not booked goes as early as it may. Each answer says that it is proved, or
what could at most still be gained.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from roomwright.crews.model import Effort, Held, LevelError, Levelled, Limit, Moved, Placed, Step
from roomwright.crews.search import Answer, Search, Stopping
from roomwright.crews.serial import Taken, end_of, heuristic, tidied
from roomwright.crews.stock import Stock, span, stocks
from roomwright.crews.timeline import Timeline
from roomwright.days import TICKS_A_DAY, Calendar, Number, ticks
from roomwright.schedule.network import Network, NetworkError, Progress

Told = Callable[[float, str], None]
"""Told how far a search is (0 to 1) and what it is at."""


def level(
    network: Network,
    calendar: Calendar,
    as_of: date | None = None,
    progress: Mapping[str, Progress] | None = None,
    *,
    limits: Iterable[Limit] = (),
    bookings: Mapping[str, date] | None = None,
    later: Number | None = 0,
    not_before: Mapping[str, Number] | None = None,
    effort: Effort | None = None,
    tell: Told | None = None,
    stopping: Stopping | None = None,
) -> Levelled:
    """Return the plan that keeps all limits, ends first, and changes the fewest bookings.

    Parameters
    ----------
    network, calendar, as_of, progress, not_before
        as `roomwright.schedule.passes` takes them; a crew that comes on some days only has them
        as the calendar of its activities
    limits : iterable of Limit
    bookings : mapping of activity id to date
        the first day that was agreed with a crew
    later : days, optional
        how much later than the soonest end all may be done to change fewer bookings; None for
        any number: then no booking is changed that need not be
    effort : Effort, optional
    tell, stopping : callable, optional
        for a search that somebody waits for

    Raises
    ------
    NetworkError, LevelError
        for ids that are no activities, and limits that cannot be.

    Examples
    --------
    >>> from roomwright.crews.model import Use
    >>> from roomwright.schedule.network import Activity, Link
    >>> baths = Network([Activity("hall", 3), Activity("primary", 4), Activity("glass", 1)],
    ...                 [Link("primary", "glass")])
    >>> tile = Limit("one tile setter", 1, (Use("hall"), Use("primary")))
    >>> found = level(baths, Calendar(date(2027, 3, 1)), limits=[tile])
    >>> found.working_days, found.costs, found["hall"].first_day.isoformat(), found.steps[0].text
    (7.0, 2.0, '2027-03-05', 'end: 7, proved: no plan does better')
    >>> found["hall"].held
    (Held(limit='one tile setter', by=('primary',)),)
    """
    if later is not None and not 0 <= later <= 1000:
        raise LevelError(f"{later} days later: use 0 to 1000")
    line = Timeline(network, calendar, as_of, progress, not_before)
    return Levelling(line, limits, bookings or {}, effort or Effort(), tell, stopping).run(later)


@dataclass(slots=True)
class _Best:
    positions: list[int]
    steps: list[Step]


class Levelling:
    """The questions of one levelling, over one timeline."""

    def __init__(
        self,
        line: Timeline,
        limits: Iterable[Limit],
        bookings: Mapping[str, date],
        effort: Effort,
        tell: Told | None,
        stopping: Stopping | None,
    ) -> None:
        self.line, self.effort = line, effort
        self.earliest = line.earliest()
        self.stocks = stocks(limits, line, self.earliest)
        self.binding = [s for s in self.stocks if s.takes]
        self.plain = end_of(line, self.earliest)
        self._tell, self._stopping = tell, stopping
        self.booked: dict[int, date] = {}
        for id, day in bookings.items():
            if id not in line.network.index:
                raise NetworkError([f"a booking is for {id!r}, which is no activity"])
            if line.states[line.network.index[id]] == "to do":
                self.booked[line.network.index[id]] = day

    def run(self, later: Number | None) -> Levelled:
        """Ask all questions and return the plan."""
        best = self._soonest()
        limit = end_of(self.line, best.positions)
        if self.booked:
            self._fewest(best, limit, None if later is None else ticks(later))
        kept = {i for i in self.booked if self._keeps(i, best.positions)}
        moved = set(self.booked) - kept
        best.positions = self._tidy(best.positions)
        return self._told(best, kept, moved)

    # The questions

    def _soonest(self) -> _Best:
        """Ask how soon all can be done."""
        line = self.line
        self._say(0.0, "a first plan")
        first = heuristic(line, self.binding, self.earliest, self.plain)
        end = end_of(line, first)
        if end == self.plain:  # what the links alone take cannot be beaten
            return _Best(first, [self._end_step(end, end)])
        search = Search(line, self.binding, self.earliest, end, first)
        answer = self._ask(search, search.end(), 0.1, "the soonest end", TICKS_A_DAY)
        if answer is None:  # not even the plan that it was given: too little effort
            return _Best(first, [self._end_step(end, self.plain, self._stops())])
        plan = tidied(line, self.binding, answer.positions)
        found = end_of(line, plan)
        return _Best(plan, [self._end_step(found, min(answer.bound, found), answer.stopped)])

    def _end_step(self, end: int, bound: int, stopped: bool = False) -> Step:
        return Step("end", end / TICKS_A_DAY, bound / TICKS_A_DAY, stopped)

    def calmest(self, positions: Sequence[int]) -> tuple[list[int], bool]:
        """Return a plan that changes the fewest bookings, however long; whether that is proved."""
        best = _Best(list(positions), [])
        self._fewest(best, end_of(self.line, positions), None, near=False)
        return self._tidy(best.positions), best.steps[0].proved

    def with_at_most(self, most: int, calm: Sequence[int]) -> tuple[list[int], int]:
        """Return the plan that ends first with so many bookings changed at most, and its bound.

        `calm` is a plan that changes no more.
        """
        line, limit = self.line, end_of(self.line, calm)
        search = Search(line, self.binding, self.earliest, limit, calm)
        keeps = search.kept({i: line.position_of(i, day) for i, day in self.booked.items()})
        search.model.add(len(keeps) - sum(keeps.values()) <= most)
        answer = self._ask(search, search.end(), 0.9, f"with {most} bookings changed", TICKS_A_DAY)
        if answer is None:
            return list(calm), self.plain
        return self._tidy(answer.positions), answer.bound

    def _tidy(self, positions: Sequence[int]) -> list[int]:
        return tidied(self.line, self.binding, positions, set(self.booked))

    def _fewest(self, best: _Best, end: int, later: int | None, *, near: bool = True) -> None:
        """Ask how few bookings change, and then by how few days."""
        line = self.line
        limit = self._limit(end, later)
        days = {i: line.position_of(i, day) for i, day in self.booked.items()}
        count = self.changed(best.positions)
        if count:
            search = Search(line, self.binding, self.earliest, limit, best.positions)
            keeps = search.kept(days)
            goal = len(keeps) - sum(keeps.values())
            answer = self._ask(search, goal, 0.5, "the fewest bookings to change")
            bound = 0 if answer is None else answer.bound
            stopped = self._stops() if answer is None else answer.stopped
            if answer is not None and answer.value <= count:
                best.positions, count = answer.positions, answer.value
            best.steps.append(Step("bookings changed", count, bound, stopped))
        else:
            best.steps.append(Step("bookings changed", 0, 0))
        if count and near:
            self._nearest(best, limit, days, count)

    def _limit(self, end: int, later: int | None) -> int:
        """Return the last end that is allowed; for any, one by which all bookings could be kept."""
        if later is not None:
            return end + later
        last = (max(self.booked.values()) - self.line.as_of).days
        return end + max(0, last) * TICKS_A_DAY + sum(self.line.lasts[i] for i in self.line.open)

    def _nearest(
        self, best: _Best, limit: int, days: Mapping[int, tuple[int, int]], count: int
    ) -> None:
        line = self.line
        search = Search(line, self.binding, self.earliest, limit, best.positions)
        keeps = search.kept(days)
        search.model.add(len(keeps) - sum(keeps.values()) <= count)
        ways = {i: self._far(i) for i in self.booked}
        total = sum(search.away(i, far) for i, far in ways.items())
        answer = self._ask(search, total, 0.8, "moving them the least")
        value = sum(far(best.positions[i]) for i, far in ways.items())
        if answer is None:
            best.steps.append(Step("days moved", value, 0, self._stops()))
        else:
            best.positions = answer.positions
            best.steps.append(Step("days moved", answer.value, answer.bound, answer.stopped))

    def _far(self, i: int) -> Callable[[int], int]:
        """Return how many working days of the house a position is from the day booked."""
        line, day = self.line, self.booked[i]
        number = int(line.calendar.number(day))

        def far(position: int) -> int:
            now = line.days(i, position)[0]
            return 0 if now == day else max(1, abs(int(line.calendar.number(now)) - number))

        return far

    def _ask(
        self, search: Search, goal: object, share: float, at: str, unit: int = 1
    ) -> Answer | None:
        if self._stops():
            return None
        self._say(share, at)
        return search.least(
            goal, self.effort, lambda v: self._say(share, f"{at}: {v / unit:g} so far"),
            self._stopping,
        )  # fmt: skip

    def _say(self, share: float, at: str) -> None:
        if self._tell is not None:
            self._tell(share, at)

    def _stops(self) -> bool:
        return self._stopping is not None and self._stopping()

    def _keeps(self, i: int, positions: Sequence[int]) -> bool:
        return self.line.days(i, positions[i])[0] == self.booked[i]

    def changed(self, positions: Sequence[int]) -> int:
        """Return how many bookings a plan changes."""
        return sum(not self._keeps(i, positions) for i in self.booked)

    # What is told

    def _told(self, best: _Best, kept: set[int], moved: set[int]) -> Levelled:
        line, ids = self.line, [a.id for a in self.line.network]
        placed = {ids[i]: self._placed(i, best.positions) for i in range(len(ids))}
        changes = [Moved(ids[i], self.booked[i], placed[ids[i]].first_day) for i in moved]
        return Levelled(
            placed=placed,
            calendar=line.calendar,
            as_of=line.as_of,
            working_days=end_of(line, best.positions) / TICKS_A_DAY,
            plain_days=self.plain / TICKS_A_DAY,
            moved=tuple(sorted(changes, key=lambda m: (m.now, m.activity))),
            kept=tuple(ids[i] for i in sorted(kept)),
            steps=tuple(best.steps),
            over=tuple(s.name for s in self.stocks if s.over),
            positions={ids[i]: best.positions[i] for i in line.open},
        )

    def _placed(self, i: int, positions: list[int]) -> Placed:
        line, position = self.line, positions[i]
        first, last = line.days(i, position)
        start = line.run.start[i] if line.states[i] == "done" else line.start(i, position)
        held: tuple[Held, ...] = ()
        waits = 0.0
        if line.states[i] == "to do":
            least = line.held(i, positions)
            if least < position:
                held = self._holders(i, positions)
                waits = (
                    line.home.worked(line.start(i, position))
                    - line.home.worked(line.start(i, least))
                ) / TICKS_A_DAY
        return Placed(
            id=line.network.activities[i].id,
            start=line.number(start),
            finish=line.number(line.end(i, position)),
            first_day=first,
            last_day=last,
            state=line.states[i],
            from_tick=line.tick(start),
            to_tick=line.tick_end(i, position),
            goes_on=line.tick(line.clocks[i].opens(position)) if line.states[i] != "done" else 0,
            held=held,
            waits=waits,
        )

    def _holders(self, i: int, positions: list[int]) -> tuple[Held, ...]:
        """Return the limits that keep an activity from starting half a day sooner, and by whom."""
        return holders(self.line, self.binding, i, positions)


def holders(
    line: Timeline, stocks: Sequence[Stock], i: int, positions: Sequence[int]
) -> tuple[Held, ...]:
    """Return the limits that keep an activity from the position before its own, and by whom."""
    taken = Taken(line, stocks)
    for j in line.open:
        if j != i:
            taken.put(j, positions[j])
    found = []
    for k in taken.blocking(i, positions[i] - 1):
        stock = stocks[k]
        mine = next(t for t in stock.takes if t.place == i)
        first, last = span(line, mine, positions[i] - 1)
        by = []
        for take in stock.takes:
            a, b = span(line, take, positions[take.place])
            if take.place != i and a < last and first < b:
                by.append(line.network.activities[take.place].id)
        found.append(Held(stock.name, tuple(by)))
    return tuple(found)
