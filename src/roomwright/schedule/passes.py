"""Early and late dates, float and what is critical: the forward and the backward pass.

Times are absolute half-day ticks (see `roomwright.days`), so that each activity may have its own
calendar and a lag may count working days of the house or elapsed days. At the edges stand working-
day numbers of the house calendar: 0 is the site start, a finish is the number at the end of work.

How recorded progress is read
-----------------------------
* Finished work stands at its recorded dates and nothing moves it.
* Started work goes on from the as-of date with its days left. A link that holds its start has
  been overtaken and binds no more; one that holds its finish still does.
* Started work that stands still goes on from the day on which it resumes.
* Work not started begins on the as-of date at the soonest, and never before the site start;
  what goes on off the site (`Activity.off_site`) may lie before it.
* A link whose held end has already happened, before it was allowed to, binds nothing any more.
* The float of finished work is what it had left when it was done, by the links it kept.

Where calendars differ
----------------------
Friday evening and Monday morning are one moment of a house that rests at weekends. So a finish is
held, and a lag in working days is counted, on the house calendar; a start without lag follows the
very half day on which the other ended, so a crew that works on Saturday may begin on Saturday; an
elapsed lag is taken to the half day.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from roomwright.days import Calendar, Number
from roomwright.schedule.network import Network, Progress
from roomwright.schedule.one_clock import OneClockRun
from roomwright.schedule.result import Schedule
from roomwright.schedule.run import Run


def passes(
    network: Network,
    calendar: Calendar,
    as_of: date | None = None,
    progress: Mapping[str, Progress] | None = None,
    *,
    not_before: Mapping[str, Number] | None = None,
    promised: date | None = None,
    promises: Mapping[str, date] | None = None,
) -> Schedule:
    """Return early and late dates, float and what is critical.

    Parameters
    ----------
    network : Network
    calendar : Calendar
        the house calendar; its day 0 is the soonest that work of the site starts
    as_of : date, optional
        the morning for which `progress` holds; the site start where none is given
    progress : mapping of activity id to Progress, optional
    not_before : mapping of activity id to working-day number, optional
        a soonest start for some, for asking "what if this comes on that day?" [days]
    promised : date, optional
        the last day worked that was promised: late dates and float count against its end and
        float goes negative where it cannot be kept
    promises : mapping of activity id to date, optional
        the last day by which each was promised to be done: `Dates.promise_float` counts against
        these, its own and those of what waits for it; total float stays as it is

    Raises
    ------
    NetworkError
        for progress that contradicts itself or names no activity
    HorizonError
        for dates so far away that they must be mistakes

    Examples
    --------
    >>> from roomwright.schedule.network import Activity, Link
    >>> wall = Network([Activity("board", 5), Activity("coat", 2), Activity("order", 1)],
    ...                [Link("board", "coat", lag_days=1)])
    >>> found = passes(wall, Calendar(date(2027, 3, 1)))
    >>> found.working_days, found.finish.isoformat(), found["order"].total_float
    (8.0, '2027-03-10', 7.0)
    >>> found.critical
    ('board', 'coat')
    """
    run = OneClockRun if network.one_clock else Run
    day = calendar.start if as_of is None else as_of
    return run(network, calendar, day, progress or {}).schedule(
        not_before or {}, promised, promises
    )
