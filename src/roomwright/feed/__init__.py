"""The days of a house as a calendar that phones can follow (iCalendar, RFC 5545)."""

from roomwright.feed.events import Event, events
from roomwright.feed.ics import calendar

__all__ = ["Event", "calendar", "events"]
