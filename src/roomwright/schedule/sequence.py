"""Work out of sequence: what has happened did not keep a link. It is shown, never re-ordered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from roomwright.days import Calendar, day_tick, show_date, show_days, ticks
from roomwright.schedule.network import Link, LinkKind, Network, Progress


@dataclass(frozen=True, slots=True)
class OutOfSequence:
    """A link that recorded dates break, and how, in words."""

    before: str
    after: str
    kind: LinkKind
    text: str


def out_of_sequence(
    network: Network, calendar: Calendar, progress: Mapping[str, Progress]
) -> tuple[OutOfSequence, ...]:
    """Return the links that what has happened did not keep, drying times cut short included.

    >>> from datetime import date
    >>> from roomwright.schedule.network import Activity
    >>> hall = Network([Activity("A", 2, "Tape"), Activity("B", 1, "Paint")], [Link("A", "B")])
    >>> told = {"A": Progress(date(2027, 3, 1)), "B": Progress(date(2027, 3, 2))}
    >>> out_of_sequence(hall, Calendar(date(2027, 3, 1)), told)[0].text
    'B Paint started Mar 2, but A Tape has not finished.'
    """
    told = ((link, _broken(link, network, calendar, progress)) for link in network.links)
    return tuple(OutOfSequence(k.before, k.after, k.kind, text) for k, text in told if text)


def _broken(
    link: Link, network: Network, calendar: Calendar, progress: Mapping[str, Progress]
) -> str:
    """Return in words how recorded dates break a link; empty where they keep it."""
    before, after = progress.get(link.before, Progress()), progress.get(link.after, Progress())
    from_start, into_start = link.kind.startswith("start"), link.kind.endswith("start")
    held = after.started or after.finished if into_start else after.finished
    if held is None:
        return ""
    holder = (before.started or before.finished) if from_start else before.finished
    one, two = network[link.before], network[link.after]
    did = f"{two.title} {'started' if into_start else 'finished'} {show_date(held)}"
    verb = "started" if from_start else "finished"
    if holder is None:
        return f"{did}, but {one.title} has not {verb}."
    axis = calendar.axis()
    moment = day_tick(holder) + (0 if from_start or one.days == 0 else 2)
    lag = ticks(link.lag_days)
    if lag and link.lag_counts == "elapsed":
        moment += lag
    elif lag:
        moment = axis.closes(axis.worked(moment) + lag)
    end = day_tick(held) + (0 if into_start or two.days == 0 else 2)
    # Work at a weekend counts from the next working day, so compare on the house calendar.
    if end >= moment or axis.worked(end) >= axis.worked(moment):
        return ""
    wait = f" and {show_days(link.lag_days)} to wait" if lag else ""
    return f"{did}, but {one.title} {verb} {show_date(holder)}{wait}."
