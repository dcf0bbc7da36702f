"""Chances as a person is told them: whole days, no chance that is quite 0 or 100 %, no cents."""

from __future__ import annotations

from roomwright.supply.waiting import Estimate, Wait


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


def waits(wait: Wait, day_costs: float | None) -> str:
    """Return what a wait does, as told by its verdict; in days alone where a day has no cost.

    >>> late, early = Estimate(2.0, 0.1), Estimate(0.0, 0.0)
    >>> waits(Wait(Estimate(600.0, 9.0), late, late, late), 300)
    'costs 2 days of move-in, 600'
    >>> waits(Wait(Estimate(-200.0, 1.0), early, early, early), 300)
    'saves 200'
    >>> waits(Wait(Estimate(6.0, 9.0), late, late, late), 300)
    'makes no clear difference'
    >>> waits(Wait(early, late, late, early), None), waits(Wait(early, early, early, early), 300)
    ('costs 2 days of move-in', 'costs nothing')
    """
    shown = wait.days if day_costs is None else wait.money
    if not shown.value and not shown.error:
        return "costs nothing"
    if not shown.clear:
        return "makes no clear difference"
    if shown.value < 0:
        late = f", though it costs {days(wait.days.value)} of move-in" if wait.days.clear else ""
        return f"saves {-shown.value:,.0f}{late}"
    told = f"costs {days(wait.days.value)} of move-in"
    return told if day_costs is None else f"{told}, {money(shown)}"


def worth(sooner: Wait, day_costs: float | None) -> str:
    """Return what having it sooner is worth: nothing, where early costs more than it saves.

    >>> days_, none = Estimate(2.0, 0.1), Estimate(0.0, 0.0)
    >>> worth(Wait(Estimate(600.0, 9.0), days_, days_, days_), 300)
    '2 days of move-in, 600'
    >>> worth(Wait(Estimate(-20.0, 1.0), none, none, none), 300)
    'nothing: early costs 20 more than it saves'
    >>> worth(Wait(Estimate(6.0, 9.0), days_, days_, days_), 300)
    'nothing that the futures tell for sure'
    """
    shown = sooner.days if day_costs is None else sooner.money
    if not shown.value and not shown.error:
        return "nothing"
    if not shown.clear:
        return "nothing that the futures tell for sure"
    if shown.value < 0:
        return f"nothing: early costs {-shown.value:,.0f} more than it saves"
    told = f"{days(sooner.days.value)} of move-in"
    return told if day_costs is None else f"{told}, {money(shown)}"
