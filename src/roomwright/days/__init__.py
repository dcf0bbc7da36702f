"""Days: working days of a calendar, half-day ticks, holidays by rule, closings."""

from roomwright.days.calendar import (
    TICKS_A_DAY,
    YEARS_AFTER,
    YEARS_BEFORE,
    Axis,
    Calendar,
    HorizonError,
    Number,
    day_tick,
    show_date,
    show_days,
    tick_date,
    ticks,
    weekday,
)
from roomwright.days.closings import Closing, ClosingError, closings
from roomwright.days.holidays import Holiday, HolidaySet, holiday_sets, holidays
from roomwright.days.rota import Rota

__all__ = [
    "TICKS_A_DAY",
    "YEARS_AFTER",
    "YEARS_BEFORE",
    "Axis",
    "Calendar",
    "Closing",
    "ClosingError",
    "Holiday",
    "HolidaySet",
    "HorizonError",
    "Number",
    "Rota",
    "closings",
    "day_tick",
    "holiday_sets",
    "holidays",
    "show_date",
    "show_days",
    "tick_date",
    "ticks",
    "weekday",
]
