"""Health checks of a network: what is missing, doubtful or out of order, and what to do about it.

The checks are those of the US Government Accountability Office [1]_ that a network without crews
and baselines can answer. It sets few numeric limits; the one here, work longer than ten working
days, is our own for a finish phase, and waits at a shop are long by nature: it is only a note.

References
----------
.. [1] GAO-16-89G, Schedule Assessment Guide (2015): best practices 2 (sequencing), 4 (durations),
   6 (critical path), 9 (updating); and its pages on leads, lags and dangling logic.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from roomwright.days import Calendar, day_tick, show_date, show_days, ticks
from roomwright.schedule.network import (
    Activity,
    CycleError,
    Link,
    Network,
    NetworkError,
    Progress,
)

Weight = Literal["wrong", "look", "note"]
LONG_DAYS: Final = 10
"""Working days from which an activity is called long [our own figure for a finish phase]."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a check found.

    `weight` is ``wrong`` (the dates cannot be right), ``look`` (somebody should decide) or
    ``note`` (harmless, but worth knowing).
    """

    check: str
    weight: Weight
    activities: tuple[str, ...]
    text: str
    do: str


def examine(
    activities: Iterable[Activity],
    links: Iterable[Link],
    calendar: Calendar,
    as_of: date | None = None,
    progress: Mapping[str, Progress] | None = None,
) -> tuple[Finding, ...]:
    """Return the findings about a network that may be broken: rings and dangling links too.

    >>> found = examine([Activity("A", 1), Activity("B", 1)], [Link("A", "B"), Link("B", "A")],
    ...                 Calendar(date(2027, 3, 1)))
    >>> found[0].check, found[0].activities
    ('cycle', ('A', 'B'))
    """
    try:
        network = Network(activities, links)
    except CycleError as wrong:
        return tuple(
            Finding("cycle", "wrong", ring, text, "Take out the link that is not really needed.")
            for ring, text in zip(wrong.cycles, wrong.problems, strict=True)
        )
    except NetworkError as wrong:
        return tuple(
            Finding("reference", "wrong", (), text, "Correct the id.") for text in wrong.problems
        )
    return health(network, calendar, as_of, progress)


def health(
    network: Network,
    calendar: Calendar,
    as_of: date | None = None,
    progress: Mapping[str, Progress] | None = None,
) -> tuple[Finding, ...]:
    """Return the findings about a sound network, the weightiest checks first."""
    checks: tuple[Callable[[Network], Iterator[Finding]], ...] = (
        _missing_logic,
        _dangling_ends,
        _leads,
        _unexplained_lags,
        _start_to_finish,
        _redundant,
        _long,
    )
    found = [f for check in checks for f in check(network)]
    found += _progress_findings(network, calendar, as_of, progress or {})
    order = ("wrong", "look", "note")
    return tuple(sorted(found, key=lambda f: order.index(f.weight)))


def _missing_logic(network: Network) -> Iterator[Finding]:
    first = [i for i, ties in enumerate(network.before) if not ties]
    last = [i for i, ties in enumerate(network.after) if not ties]
    for places, ends, do in (
        (first, "starts without waiting for anything", "Say what must be done before it."),
        (last, "ends without anything waiting for it", "Say what it must be done for."),
    ):
        for i in _beyond_the_one(network, places):
            activity = network.activities[i]
            yield Finding("missing logic", "look", (activity.id,), f"{activity.title} {ends}.", do)


def _beyond_the_one(network: Network, places: list[int]) -> list[int]:
    """Return the places but for one: a network has one beginning and one end, milestones first."""
    if len(places) < 2:
        return []
    one = next((i for i in places if network.activities[i].days == 0), places[0])
    return [i for i in places if i != one]


def _dangling_ends(network: Network) -> Iterator[Finding]:
    for activity, before, after in zip(network, network.before, network.after, strict=True):
        if before and not any(t.into_start for t in before):
            yield Finding(
                "dangling start",
                "look",
                (activity.id,),
                f"Nothing holds the start of {activity.title}: only its finish is tied.",
                "Add what must be done, or begun, before it can start.",
            )
        if after and all(t.from_start for t in after):
            yield Finding(
                "dangling finish",
                "look",
                (activity.id,),
                f"Nothing waits for the finish of {activity.title}: only its start matters.",
                "Add what cannot go on until it is finished.",
            )


def _leads(network: Network) -> Iterator[Finding]:
    for link in network.links:
        if link.lag_days < 0:
            yield Finding(
                "lead",
                "look",
                (link.before, link.after),
                f"{network[link.after].title} may overlap {network[link.before].title} by "
                f"{show_days(-link.lag_days)} ({link.kind}).",
                "Split the first activity where the second can begin, and tie to that part.",
            )


def _unexplained_lags(network: Network) -> Iterator[Finding]:
    for link in network.links:
        if link.lag_days > 0 and not link.reason.strip():
            yield Finding(
                "lag without reason",
                "look",
                (link.before, link.after),
                f"{network[link.after].title} waits {show_days(link.lag_days)} after "
                f"{network[link.before].title}, and nobody said why.",
                "Write the reason (drying, curing, delivery), or make the wait an activity.",
            )


def _start_to_finish(network: Network) -> Iterator[Finding]:
    for link in network.links:
        if link.kind == "start to finish":
            yield Finding(
                "start to finish",
                "look",
                (link.before, link.after),
                f"{network[link.after].title} cannot finish until "
                f"{network[link.before].title} starts.",
                "This is rarely meant. Check whether the two ends are the wrong way round.",
            )


def _redundant(network: Network) -> Iterator[Finding]:
    """Yield finish to start links that a chain of such links already implies."""
    onward = [
        {t.other: t.lag for t in ties if t.into_start and not t.from_start and not t.elapsed}
        for ties in network.after
    ]
    rank = {i: r for r, i in enumerate(network.order)}
    for i, direct in enumerate(onward):
        if len(direct) < 2:
            continue
        chains = _longest_chains(network, onward, direct, min(rank[j] for j in direct))
        for j, lag in direct.items():
            if j in chains and chains[j][0] >= lag:
                one, mid, two = (network.activities[k] for k in (i, chains[j][1], j))
                yield Finding(
                    "redundant link",
                    "note",
                    (one.id, two.id),
                    f"{two.title} waits for {one.title} anyway, by way of {mid.title}.",
                    "The dates are the same without the direct link; keep it only as a reminder.",
                )


def _longest_chains(
    network: Network, onward: list[dict[int, int]], direct: Mapping[int, int], rank: int
) -> dict[int, tuple[int, int]]:
    """Return (wait, first stop) by activity for the longest chains of two or more links."""
    reached = {j: (lag, j) for j, lag in direct.items()}
    chains: dict[int, tuple[int, int]] = {}
    for place in network.order[rank:]:
        if place not in reached:
            continue
        wait, stop = reached[place]
        through = wait + network.lasts[place]
        for j, lag in onward[place].items():
            if j not in chains or through + lag > chains[j][0]:
                chains[j] = (through + lag, stop)
            if j not in reached or through + lag > reached[j][0]:
                reached[j] = (through + lag, stop)
    return chains


def _long(network: Network) -> Iterator[Finding]:
    for activity in network:
        if activity.days > LONG_DAYS:
            yield Finding(
                "long activity",
                "note",
                (activity.id,),
                f"{activity.title} takes {show_days(activity.days)}, more than {LONG_DAYS}.",
                "Split site work where its state can be seen; for a wait at a shop, ask weekly.",
            )


def _progress_findings(
    network: Network,
    calendar: Calendar,
    as_of: date | None,
    progress: Mapping[str, Progress],
) -> Iterator[Finding]:
    for activity in network:
        told = progress.get(activity.id)
        if told is None:
            continue
        if as_of is not None:
            for word, day in (("started", told.started), ("finished", told.finished)):
                if day is not None and day > as_of:
                    yield Finding(
                        "date ahead",
                        "wrong",
                        (activity.id,),
                        f"{activity.title} is recorded as {word} on {show_date(day, as_of)}, "
                        f"after {show_date(as_of)}.",
                        "Record what has happened, not what is planned.",
                    )
        if told.started and not told.finished and told.days_left is None and activity.days:
            yield Finding(
                "days left unknown",
                "look",
                (activity.id,),
                f"{activity.title} has started, and nobody said how many days are left.",
                "Record the days left; until then the plan's days less those gone are used.",
            )
    for link in network.links:
        text = _out_of_sequence(link, network, calendar, progress)
        if text:
            yield Finding(
                "out of sequence",
                "look",
                (link.before, link.after),
                text,
                "Correct the dates, or the link if it is not really needed. "
                "If the order matters (drying, inspection), look at the work itself.",
            )


def _out_of_sequence(
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
