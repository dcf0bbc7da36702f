"""Health checks of a network: what is missing, doubtful or out of order, and what to do about it.

The checks are those of the US Government Accountability Office [1]_, with the numeric limits of
[2]_ where it sets none. No baseline is kept: the network as it stands takes its place. The other
limits are our own for a finish phase, and waits at a shop are long by nature: they give notes only.

References
----------
.. [1] GAO-16-89G, Schedule Assessment Guide (2015): best practices 2 (sequencing), 4 (durations),
   6 (critical path), 7 (float), 9 (updating); its pages on leads, lags, date constraints and
   dangling logic.
.. [2] Defense Contract Management Agency, 14-point schedule assessment (public), as the guide
   and its readers quote it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from typing import Final

from roomwright.days import Calendar, show_date, show_days
from roomwright.schedule.finding import WEIGHTS, Finding
from roomwright.schedule.health_dates import Constraint, held_by_dates, of_dates, recorded, soonest
from roomwright.schedule.network import (
    Activity,
    CycleError,
    Link,
    Network,
    NetworkError,
    Progress,
)
from roomwright.schedule.passes import passes
from roomwright.schedule.result import Schedule

LONG_DAYS: Final = 10
"""Working days from which an activity is called long [our own figure for a finish phase]."""
MERGE: Final = 6
"""So many predecessors make a merge point worth naming [our own figure]."""
FEW_LINKS: Final = 20
"""Under so many links shares say nothing [our own figure]."""
PLAIN_LINKS: Final = 0.9
"""Share of links that should be finish to start [2]_."""
LEAST_DONE: Final = 0.95
"""Work done over work due from which the rest is called behind [2]_ (its execution index)."""
MANY_LAGS: Final = 0.05
"""Share of links with a lag from which it is too many [2]_."""


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
    constraints: Mapping[str, Constraint] | None = None,
    found: Schedule | None = None,
) -> tuple[Finding, ...]:
    """Return the findings about a sound network, the weightiest checks first.

    Parameters
    ----------
    network, calendar, as_of, progress
        as for `passes`
    constraints : mapping of activity id to Constraint, optional
        dates and holds on activities
    found : Schedule, optional
        its dates if they are known; worked out here if not
    """
    told, held = progress or {}, constraints or {}
    begin = soonest(held, calendar)
    if found is None:
        found = passes(
            network,
            calendar,
            as_of,
            told,
            not_before=begin,
            promises={i: c.promised_by for i, c in held.items() if c.promised_by},
        )
    checks: tuple[Callable[[Network], Iterator[Finding]], ...] = (
        _missing_logic,
        _dangling_ends,
        _leads,
        _unexplained_lags,
        _start_to_finish,
        _redundant,
        _long,
        _merges,
        _shares,
    )
    seen = [f for check in checks for f in check(network)]
    seen += recorded(network, calendar, as_of, told)
    seen += held_by_dates(network, held, found)
    seen += of_dates(network, found, held)
    seen += _work_done(network, found, told, passes(network, calendar, not_before=begin))
    return tuple(sorted(seen, key=lambda f: WEIGHTS.index(f.weight)))


def _work_done(
    network: Network, found: Schedule, told: Mapping[str, Progress], plan: Schedule
) -> Iterator[Finding]:
    """Yield where less work is done than should be: done by now / due by now is low [2]_.

    `plan` is the network as it stands, from its first day with nothing recorded: it takes the place
    of a baseline, which nobody keeps here.
    """
    work = [a for a in network if a.days > 0]
    due = [a for a in work if plan.last_day(a.id) < found.as_of]
    done = sum(found[a.id].state == "done" for a in work)
    behind = tuple(a.id for a in due if found[a.id].state != "done")
    if behind and done / len(due) < LEAST_DONE:
        yield Finding(
            "work done",
            "note",
            behind,
            f"{done} activities are done of {len(due)} that would be by "
            f"{show_date(found.as_of)}, had all gone by this network from its first day.",
            "Record what is done; where the work itself is late, look at what drives the end.",
        )


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


def _merges(network: Network) -> Iterator[Finding]:
    for activity, before in zip(network, network.before, strict=True):
        others = {t.other for t in before}
        if len(others) >= MERGE:
            yield Finding(
                "merge point",
                "note",
                (activity.id, *(network.activities[i].id for i in others)),
                f"{activity.title} waits for {len(others)} others, and starts with the last of "
                "them: its chance of starting on its day is small though each is likely in time.",
                "Go by the chances, not by the date; see whether some of them can come earlier.",
            )


def _shares(network: Network) -> Iterator[Finding]:
    """Yield what is true of many links: a few are normal."""
    count = len(network.links)
    if count < FEW_LINKS:
        return
    other = [k for k in network.links if k.kind != "finish to start"]
    if len(other) > (1 - PLAIN_LINKS) * count:
        yield Finding(
            "kinds of link",
            "note",
            _ends(other),
            f"Of {count} links {len(other)} are not finish to start; over "
            f"{round((1 - PLAIN_LINKS) * 100)} % is much.",
            "Where work can be split at a point that can be seen, split it and tie plainly.",
        )
    lags = [k for k in network.links if k.lag_days > 0]
    if len(lags) > MANY_LAGS * count:
        yield Finding(
            "many lags",
            "note",
            _ends(lags),
            f"Of {count} links {len(lags)} have a lag; over {round(MANY_LAGS * 100)} % is much.",
            "Make a wait that can change (drying, a delivery) an activity of its own.",
        )


def _ends(links: Iterable[Link]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(i for k in links for i in (k.before, k.after)))


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
        ranks = [rank[j] for j in direct]
        chains = _longest_chains(network, onward, direct, network.order[min(ranks) : max(ranks)])
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
    network: Network,
    onward: list[dict[int, int]],
    direct: Mapping[int, int],
    between: Iterable[int],
) -> dict[int, tuple[int, int]]:
    """Return (wait, first stop) by activity for the longest chains of two or more links.

    A wait is what the house surely works meanwhile: work by a calendar of its own may be over on
    days on which the house is off, so it counts as none. `between` are the places, in order, that
    a chain may go by.
    """
    reached = {j: (lag, j) for j, lag in direct.items()}
    chains: dict[int, tuple[int, int]] = {}
    for place in between:
        if place not in reached:
            continue
        wait, stop = reached[place]
        own = network.activities[place].calendar is not None
        through = wait + (0 if own else network.lasts[place])
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
