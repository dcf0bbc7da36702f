"""Health checks of dates: what was recorded, holds, promises, float, and the path test.

References
----------
.. [1] GAO-16-89G, Schedule Assessment Guide (2015): date constraints, total float, critical path.
.. [2] Defense Contract Management Agency, 14-point schedule assessment (public): hard constraints
   at most 5 % of what is left, critical path test, critical path length index 0.95 or more.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from roomwright.days import (
    TICKS_A_DAY,
    Calendar,
    HorizonError,
    Number,
    show_date,
    show_days,
)
from roomwright.schedule.finding import Finding
from roomwright.schedule.network import Network, Progress
from roomwright.schedule.paths import run_of
from roomwright.schedule.result import Schedule
from roomwright.schedule.sequence import out_of_sequence

MANY_DATES: Final = 0.05
"""Share of the work left with dates of its own from which it is too many [2]_."""
LEAST_INDEX: Final = 0.95
"""Critical path length index under which a promise is in doubt [2]_."""
HIGH_FLOAT: Final = 0.3
"""Share of the days left from which float is high [our own figure for a finish phase]."""
LONGER: Final = 100
"""Days by which the path test lengthens critical work [2]_."""
ENOUGH: Final = 90
"""Days by which the end must then move at least [our own figure: lags may take up a weekend]."""


@dataclass(frozen=True, slots=True)
class Constraint:
    """Dates and a hold on an activity, with the reason if somebody wrote one."""

    not_before: date | None = None
    promised_by: date | None = None
    hold: str = ""
    hold_until: date | None = None
    reason: str = ""


def soonest(constraints: Mapping[str, Constraint], calendar: Calendar) -> dict[str, Number]:
    """Return the working-day numbers before which held activities may not start."""
    days = {
        id: [d for d in (c.not_before, c.hold_until) if d is not None]
        for id, c in constraints.items()
    }
    return {id: max(0, calendar.number(max(held))) for id, held in days.items() if held}


def recorded(
    network: Network,
    calendar: Calendar,
    as_of: date | None,
    progress: Mapping[str, Progress],
) -> Iterator[Finding]:
    """Yield what is wrong or missing in what was recorded, and what was done out of sequence."""
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
    for one in out_of_sequence(network, calendar, progress):
        yield Finding(
            "out of sequence",
            "look",
            (one.before, one.after),
            one.text,
            "Correct the dates, or the link if it is not really needed. "
            "If the order matters (drying, inspection), look at the work itself.",
        )


def held_by_dates(
    network: Network, constraints: Mapping[str, Constraint], found: Schedule
) -> Iterator[Finding]:
    """Yield holds that are open or over, and dates that stand in the place of links."""
    as_of = found.as_of
    left = [a for a in network if found[a.id].state != "done"]
    dated = [a for a in left if (c := constraints.get(a.id)) and (c.not_before or c.promised_by)]
    for activity in left:
        held = constraints.get(activity.id, Constraint())
        why = f" ({held.hold.strip()})" if held.hold.strip() else ""
        if held.hold_until is None and why:
            yield Finding(
                "open hold",
                "look",
                (activity.id,),
                f"{activity.title} is on hold{why}, and nobody knows until when: the dates are as "
                f"if it went on {show_date(as_of)}. It has "
                f"{show_days(found[activity.id].total_float)} to spare.",
                "Ask who can lift it, and record the day on which it may go on.",
            )
        elif held.hold_until is not None and held.hold_until <= as_of:
            yield Finding(
                "hold over",
                "look",
                (activity.id,),
                f"{activity.title} was on hold{why} until {show_date(held.hold_until, as_of)}.",
                "Record that it goes on, or until when it is held now.",
            )
        if held.not_before is None or found[activity.id].state == "started":
            continue
        begins = show_date(held.not_before, as_of)
        if activity.days == 0:
            yield Finding(
                "date for a delivery",
                "look",
                (activity.id,),
                f"{activity.title} takes no days and may not come before {begins}: a date stands "
                "where work is.",
                "Put ordering, making and shipping into the network: a date hides a late delivery.",
            )
        elif not held.reason.strip():
            yield Finding(
                "date without reason",
                "look",
                (activity.id,),
                f"{activity.title} may not start before {begins}, and nobody said why.",
                "Write why in its note, or tie it to what it waits for.",
            )
    if len(dated) > max(1, MANY_DATES * len(left)):
        yield Finding(
            "many dates",
            "note",
            tuple(a.id for a in dated),
            f"Of {len(left)} activities left {len(dated)} have dates of their own; over "
            f"{round(MANY_DATES * 100)} % is much.",
            "Tie what can be tied: dates do not move when the work before them does.",
        )


def of_dates(
    network: Network, found: Schedule, constraints: Mapping[str, Constraint]
) -> Iterator[Finding]:
    """Yield what the dates themselves say: broken promises, high float, ends that do not move."""
    for id, held in constraints.items():
        if held.promised_by is None or found[id].state == "done":
            continue
        last, spare = found.last_day(id), found[id].promise_float
        if last > held.promised_by and spare is not None:
            chain = _driving_chain(found, id)
            over = found.calendar.between(held.promised_by, last)
            yield Finding(
                "promise broken",
                "look",
                chain,
                f"{network[id].title} is promised by {show_date(held.promised_by, found.as_of)} "
                f"and ends {show_date(last, found.as_of)}, {show_days(max(over, 0.5))} over."
                + (f" What holds it: {' > '.join(chain)}." if len(chain) > 1 else ""),
                "Shorten something on this chain, or tell whom it was promised to.",
            )
    yield from _length_index(network, found, constraints)
    yield from _high_float(network, found)
    yield from _path_test(network, found, constraints)


def _driving_chain(found: Schedule, id: str) -> tuple[str, ...]:
    """Return what drives one, back to what is done or can begin: the first driver of each."""
    chain = [id]
    while found[chain[0]].driven_by and found[chain[0]].state == "to do":
        other = found[chain[0]].driven_by[0]
        if found[other].state == "done":
            break
        chain.insert(0, other)
    return tuple(chain)


def _length_index(
    network: Network, found: Schedule, constraints: Mapping[str, Constraint]
) -> Iterator[Finding]:
    """Yield where (days left + float against the promise) / days left is low [2]_."""
    now = max(0, found.calendar.number(found.as_of))
    for id, held in constraints.items():
        if held.promised_by is None or found[id].state == "done":
            continue
        left = found[id].early_finish - now
        spare = found[id].promise_float
        if left <= 0 or spare is None or (left + spare) / left >= LEAST_INDEX:
            continue
        yield Finding(
            "length index",
            "note",
            (id,),
            f"{network[id].title} has {show_days(left)} to go and "
            f"{show_days(max(0, left + spare))} until it is promised: an index of "
            f"{max(0, left + spare) / left:.2f}, under {LEAST_INDEX}.",
            "This much is rarely made up by pushing: change the plan or the promise.",
        )


def _high_float(network: Network, found: Schedule) -> Iterator[Finding]:
    left = found.working_days - max(0, found.calendar.number(found.as_of))
    much = HIGH_FLOAT * left
    high = tuple(
        d.id for d in found.dates.values() if d.state == "to do" and d.total_float > much > 0
    )
    if high and len(high) < len(network):
        yield Finding(
            "high float",
            "note",
            high,
            f"Nothing would move if these {len(high)} activities slipped over "
            f"{round(HIGH_FLOAT * 100)} % of the days left: {_some(high)}.",
            "See whether something that waits for them was left out.",
        )


def _pushing(network: Network, found: Schedule) -> set[str]:
    """Return activities that, if they took longer, would move the end by as much.

    No link holds their finish, and it is the end, or sets the start of another such one.
    """
    solid = {
        one.id for one, before in zip(network, network.before, strict=True)
        if found[one.id].state == "to do" and one.calendar is None
        and all(tie.into_start for tie in before)
    }  # fmt: skip
    pushing = {id for id in solid if found[id].early_finish == found.working_days}
    for i in reversed(network.order):
        if network.activities[i].id in pushing:
            pushing |= solid & {
                d.id for d in found[network.activities[i].id].drivers
                if d.kind == "finish to start" and d.lag_counts == "working"
            }  # fmt: skip
    return pushing


def _moved(
    network: Network,
    found: Schedule,
    held: Mapping[str, Number],
    i: int,
    days: int,
) -> float | None:
    """Return by how much the end moves where one takes so many days longer."""
    run = run_of(network, found.calendar, found.as_of, found.recorded)
    run.left[i] += days * TICKS_A_DAY
    try:
        run.forward(held)
        return run.ends_at() - found.working_days
    except HorizonError:
        return None


def _some(ids: tuple[str, ...]) -> str:
    return ", ".join(ids[:6]) + (f" and {len(ids) - 6} more" if len(ids) > 6 else "")


def _path_test(
    network: Network, found: Schedule, constraints: Mapping[str, Constraint]
) -> Iterator[Finding]:
    """Yield critical work that could take much longer and hardly move the end.

    The dates then do not hang on the links: a date holds the end, or a link is the wrong way
    round (the finish of one holds the start of another).
    """
    if not any(not t.into_start or t.from_start for ties in network.before for t in ties) and not (
        soonest(constraints, found.calendar)
    ):
        return  # finish to start only: what is critical moves the end
    pushing, held = _pushing(network, found), soonest(constraints, found.calendar)
    for id in found.critical:
        one, i = found[id], network.index[id]
        if id in pushing:
            continue
        if one.state == "done" or network.lasts[i] == 0 or network.activities[i].calendar:
            continue
        shorter = _moved(network, found, held, i, 1)
        if shorter is not None and shorter < 0:
            yield Finding(
                "path test",
                "look",
                (id,),
                f"{network[id].title} is critical, but if it took a day longer the end would come "
                f"{show_days(-shorter)} sooner: its finish is held and its start holds others.",
                "Turn the link: tie what follows to the finish, or split the work.",
            )
            continue
        moved = _moved(network, found, held, i, LONGER)
        if moved is not None and moved < ENOUGH:
            yield Finding(
                "path test",
                "look",
                (id,),
                f"{network[id].title} is critical, but if it took {LONGER} days longer the end "
                f"would move by {show_days(round(2 * moved) / 2)} only.",
                "See what else holds the end: a date, or a link from a start or into a finish.",
            )
