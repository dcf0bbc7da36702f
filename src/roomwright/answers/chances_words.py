"""Chances as a person is told them: whole days, no chance that is quite 0 or 100 %, no cents."""

from __future__ import annotations

from roomwright.supply.waiting import Estimate


def days(count: float) -> str:
    """Return days as a person is told them: whole ones.

    >>> days(0.2), days(1.2), days(8.9), days(-3)
    ('under a day', '1 day', '9 days', '-3 days')
    """
    if 0 < count < 0.5:
        return "under a day"
    return f"{count:.0f} day{'' if round(count) == 1 else 's'}"


def percent(share: float) -> str:
    """Return a chance in words: nothing simulated is quite impossible or certain.

    >>> percent(0.454), percent(0.0004), percent(0.9996)
    ('45 %', 'under 1 %', 'over 99 %')
    """
    if 0 < share < 0.01:
        return "under 1 %"
    return "over 99 %" if 0.99 < share < 1 else f"{share:.0%}".replace("%", " %")


def money(one: Estimate) -> str:
    """Return money without cents.

    >>> money(Estimate(1234.5, 2.0))
    '1,234'
    """
    return f"{one.value:,.0f}"
