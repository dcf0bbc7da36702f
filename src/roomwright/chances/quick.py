"""One pass with one duration each: what-if at the speed of a key stroke."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from roomwright.chances.draws import MOST
from roomwright.chances.engine import engine
from roomwright.chances.graph import FIRST, Ints, Prepared
from roomwright.days import Calendar, Number
from roomwright.schedule.network import Network, NetworkError, Progress


@dataclass(frozen=True, slots=True)
class QuickDates:
    """Early and late dates [working-day numbers] and total float [own days], by activity id."""

    finish_steps: int
    _at: Prepared = field(repr=False)
    _home: Ints = field(repr=False)
    _late: Ints = field(repr=False)
    _float: Ints = field(repr=False)

    @property
    def finish(self) -> float:
        """The finish number of the whole."""
        return float(self._at.days(np.array([self.finish_steps], np.int32))[0])

    def early(self, id: str) -> tuple[float, float]:
        """Return early start and finish."""
        return self._pair(self._home, id)

    def late(self, id: str) -> tuple[float, float]:
        """Return late start and finish, of work that is not finished."""
        return self._pair(self._late, id)

    def total_float(self, id: str) -> float:
        """Return the days to spare, of work that is not finished."""
        return int(self._float[self._at.place[id]]) / self._at.per_day

    def _pair(self, rows: Ints, id: str) -> tuple[float, float]:
        p = self._at.place[id]
        start, finish = self._at.days(rows[2 * p : 2 * p + 2])
        return float(start), float(finish)


def quick_pass(
    network: Network | Prepared,
    calendar: Calendar | None = None,
    as_of: date | None = None,
    progress: Mapping[str, Progress] | None = None,
    *,
    not_before: Mapping[str, Number] | None = None,
    lasting: Mapping[str, Number] | None = None,
    compiled: bool | None = None,
) -> QuickDates:
    """Return early and late dates by the code of the simulation.

    It equals `roomwright.schedule.passes`, without free float and who drives whom. Prepare a
    network once (`Prepared`) and ask it often.

    Parameters
    ----------
    network : Network or Prepared
    calendar, as_of, progress, not_before
        as `roomwright.schedule.passes` takes them; not for a prepared network, which has them
    lasting : mapping of activity id to days, optional
        other days for some that are not finished: of started work the days left
    compiled : bool, optional
        with or without compiled code

    Examples
    --------
    >>> from roomwright.schedule import Activity, Link
    >>> wall = Network([Activity("board", 5), Activity("coat", 2), Activity("order", 1)],
    ...                [Link("board", "coat", lag_days=1)])
    >>> ready = Prepared(wall, Calendar(date(2027, 3, 1)))
    >>> found = quick_pass(ready)
    >>> found.finish, found.early("coat"), found.total_float("order")
    (8.0, (6.0, 8.0), 7.0)
    >>> quick_pass(ready, lasting={"order": 9.5}).finish
    9.5
    """
    if isinstance(network, Prepared):
        at = network
    elif calendar is None:
        raise TypeError("a network needs its calendar")
    else:
        at = Prepared(network, calendar, as_of, progress, not_before=not_before)
    lasts = at.lasts
    if lasting:
        lasts = lasts.copy()
        for id, days in lasting.items():
            if id not in at.place:
                raise NetworkError([f"no activity {id!r}"])
            if not 0 <= days <= MOST:
                raise NetworkError([f"{id}: {days} days: use 0 to {MOST} working days"])
            lasts[at.place[id]] = round(days * at.per_day)
    by = engine(compiled)
    rows, count = by.work(at, 1), len(at)
    total_float = np.zeros(count, np.int32)
    by.once(at.graph, rows, lasts, total_float)
    home, late = rows[FIRST : FIRST + 2 * count, 0], rows[FIRST + 2 * count :, 0]
    end = int(home.max()) if count else int(at.graph.fit[3])
    return QuickDates(end, at, home, late, total_float)
