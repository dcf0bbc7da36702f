"""When to order: the plain policy, and when a thing comes if it is ordered on a day.

Everything is taken in working days of the house calendar, a week of lead time being as many days
as the house works in a week. Backwards from the day of need go, in this order, the reserve, the
days to receive and inspect, and the lead at its high end:

    order by = need - lead - inspect days - min(ten working days, half the lead)

The reserve is what a second try would need. Half a lead counts whole days only. These allowances
plan an order; a promise that a maker has given is taken as it stands, without them. [Common
practice of small builders; no published source.]
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Final

from roomwright.days import Calendar, Number

FINEST: Final = 10_000
"""A float is read as the nearest fraction with at most this denominator: 1.6 is 8/5."""
MOST_RESERVE: Final = 10
"""The reserve is at most so many working days."""


def lead_days(weeks: Number, calendar: Calendar) -> int:
    """Return a lead time in working days; a broken day counts whole.

    >>> house = Calendar(date(2027, 1, 18))
    >>> lead_days(14, house), lead_days(Fraction(1, 2), house)
    (70, 3)

    Eight days are eight, also as 1.6 weeks:

    >>> lead_days(1.6, house)
    8
    """
    exact = Fraction(weeks).limit_denominator(FINEST) * Fraction(calendar.days_a_week)
    return -int(-exact // 1)


def weeks_words(weeks: Number) -> str:
    """Return a number of weeks as it is said: halves and quarters as such, else to a tenth.

    >>> [weeks_words(w) for w in (16, Fraction(5, 2), 1.6, Fraction(48, 35), 0.25)]
    ['16', '2 1/2', '1.6', '1.4', '1/4']
    """
    exact = Fraction(weeks).limit_denominator(FINEST)
    if exact.denominator not in (1, 2, 4):
        return f"{float(round(exact, 1)):g}"
    whole, rest = divmod(exact, 1)
    return " ".join(str(n) for n in (whole, rest) if n) or "0"


def reserve_days(lead: int) -> int:
    """Return the working days kept in reserve for a lead in working days.

    >>> [reserve_days(lead) for lead in (0, 5, 15, 20, 80)]
    [0, 2, 7, 10, 10]
    """
    return min(MOST_RESERVE, lead // 2)


def order_by(need: date, lead_weeks_high: Number, inspect_days: int, calendar: Calendar) -> date:
    """Return the last day on which to place an order, by the plain policy.

    Parameters
    ----------
    need : date
        first day of the work that needs it
    lead_weeks_high : int, float or Fraction
        the long end of the lead time [weeks]
    inspect_days : int
        working days to receive, open and check [days]
    calendar : Calendar
        the house calendar

    Examples
    --------
    A range hood that takes up to 14 weeks and is needed on May 27:

    >>> house = Calendar(date(2027, 1, 18))
    >>> order_by(date(2027, 5, 27), 14, 5, house).isoformat()
    '2027-01-28'
    """
    lead = lead_days(lead_weeks_high, calendar)
    return calendar.add(need, -lead - inspect_days - reserve_days(lead))


def arrives(ordered: date, lead_weeks: Number, calendar: Calendar) -> date:
    """Return the day a thing comes if ordered on a day and it takes so many weeks.

    >>> arrives(date(2027, 3, 29), 16, Calendar(date(2027, 1, 18))).isoformat()
    '2027-07-19'
    """
    return calendar.add(ordered, lead_days(lead_weeks, calendar))
