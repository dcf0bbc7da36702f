"""The levelled plan of a house: who clashes, what it costs, whom to call, and how sure that is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Final

from roomwright import crews as levelling
from roomwright import schedule
from roomwright.answers import dates
from roomwright.answers.calendars import known
from roomwright.answers.crew_limits import SUPPOSED, CrewLimits, crew_limits
from roomwright.answers.engine import Ask, query
from roomwright.answers.whole_network import Whole, whole
from roomwright.crews import Choice, Clash, Effort, Levelled, Limit
from roomwright.days import show_date, show_days
from roomwright.job.entities import Activity, Booking, Contact, Id
from roomwright.trades import key_of, named

QUICK: Final = 1.5
"""Work that a page waits for, in CP-SAT's deterministic time: about a second a question."""

LONG: Final = 60.0
"""Work of a search that somebody asks for and may stop."""

ONE_MORE: Final = 6
"""So many limits at most are asked what one more of them would save."""


class StoppedError(RuntimeError):
    """A search was stopped; `found` is the best so far."""

    def __init__(self, found: CrewsAnswer) -> None:
        self.found = found
        super().__init__("the search was stopped")


@dataclass(frozen=True, slots=True)
class PlacedWork:
    """An activity in the plan, and where the plain dates had it."""

    id: str
    name: str
    trades: tuple[str, ...]
    rooms: tuple[str, ...]
    place: levelling.Placed
    plain_first: date
    booked: date | None
    days: float

    @property
    def later(self) -> bool:
        """Whether it starts on a later day than the plain dates say."""
        return self.place.first_day > self.plain_first


@dataclass(frozen=True, slots=True)
class CallFirst:
    """A booking to change: whom to call, from which day to which."""

    activity: str
    name: str
    trade: str
    who: str
    phone: str
    booked: date
    now: date


@dataclass(frozen=True, slots=True)
class LimitRow:
    """A limit that the plan reckons with.

    `saves` is what the house would gain if it did not hold [working days], None where nobody
    asked; `proved` whether that is sure.
    """

    limit: Limit
    supposed: bool
    holds: tuple[str, ...]
    saves: float | None
    proved: bool


@dataclass(frozen=True, slots=True)
class CrewsAnswer:
    """The levelled plan.

    `choices` are the ways to answer a slip, where bookings have to change: the soonest end first,
    then fewer calls. `clashes` are those of the plain dates, which the plan resolves;
    `costs_in_time` is what the limits would cost if every part were here when it is needed
    [working days], or at most where that is not proved (`in_time_proved`).
    """

    as_of: date
    plan: Levelled
    plain_days: float
    costs_in_time: float
    in_time_proved: bool
    work: tuple[PlacedWork, ...]
    clashes: tuple[Clash, ...]
    limits: tuple[LimitRow, ...]
    calls: tuple[CallFirst, ...]
    choices: tuple[Choice, ...]
    names: Mapping[str, str]
    notes: tuple[str, ...]
    later: int | None

    @property
    def costs(self) -> float:
        """Working days that crews, rooms and the days on which crews come cost the house.

        By the soonest end: what a plan takes longer to change fewer bookings is `plan.later`.
        """
        return self.plan.soonest - self.plain_days

    @property
    def text(self) -> str:
        """What the limits cost, and how sure that is, in a sentence."""
        plan = self.plan
        done = show_date(plan.finish, self.as_of)
        if self.costs > 0:
            cost = f"Crews and rooms cost the house {show_days(self.costs)}"
        else:
            cost = "Crews and rooms cost the house no day"
        if plan.later > 0:
            first = show_date(plan.calendar.last_worked(plan.soonest), self.as_of)
            cost += (f": done {first} at the soonest, as parts come now. This plan is done {done}, "
                     f"{show_days(plan.later)} later, to change fewer bookings.")  # fmt: skip
        else:
            cost += f": done {done} as parts come now."
        if plan.proved and plan.later > 0:
            return f"{cost} Proved: none is done sooner, and none in that time changes fewer."
        if plan.proved:
            return f"{cost} Proved: no plan does better."
        step = next(s for s in plan.steps if not s.proved)
        return f"{cost} Not proved: {step.text}."

    def clash_text(self, clash: Clash) -> str:
        """Return a clash in a sentence."""
        who = " and ".join(self.names.get(a, a) for a in clash.activities)
        when = show_date(clash.first_day, self.as_of)
        if clash.last_day != clash.first_day:
            when += f" to {show_date(clash.last_day, self.as_of)}"
        return f"{clash.limit}: {who}, {when}"


def choice_text(found: CrewsAnswer, choice: Choice) -> str:
    """Return a way to answer a slip in a sentence."""
    end = "done as soon as can be" if choice.later <= 0 else f"done {show_days(choice.later)} later"
    who = " and ".join(found.names.get(m.activity, m.activity) for m in choice.moved)
    sure = "" if choice.proved else ", not proved"
    calls = f"change {who}" if who else "keep every booking"
    return f"{calls}: {end}{sure}"


@dataclass(frozen=True, slots=True)
class _Watch:
    tell: Callable[[float, str], None]
    stop: Callable[[], bool]


_WATCH: ContextVar[_Watch | None] = ContextVar("watch of crews", default=None)


@contextmanager
def watched(tell: Callable[[float, str], None], stop: Callable[[], bool]) -> Iterator[None]:
    """Within it, searches of this thread tell how far they are and may be stopped.

    A search that is stopped raises `StoppedError` and is not kept.
    """
    token = _WATCH.set(_Watch(tell, stop))
    try:
        yield
    finally:
        _WATCH.reset(token)


@query("crews")
def crews(ask: Ask, later: int | None = 0, work: float = QUICK) -> CrewsAnswer:
    """Return the levelled plan.

    `later` is by how many working days the end may be later than the soonest to change fewer
    bookings, None for any number; `work` the effort of each question.

    Raises
    ------
    StoppedError
        if it was stopped (`watched`).
    """
    held, base, days = ask(crew_limits), ask(whole), ask(dates.calendar)
    watch = _WATCH.get()
    found = levelling.level(**_asked(ask, held, base, work, watch), later=later)
    unlimited = levelling.level(
        base.network, days, ask.as_of, base.progress, not_before=base.not_before
    )
    activities = {a.id: a for a in ask.all(Activity)}
    booked = {b.id: b.first_day for b in ask.all(Booking)}
    shown = tuple(
        PlacedWork(
            id=one.id,
            name=one.name,
            trades=tuple(named(one.trade, ask(known)).values()),
            rooms=one.rooms,
            place=found[one.id],
            plain_first=unlimited[one.id].first_day,
            booked=booked.get(one.id),
            days=float(one.days_likely),
        )
        for one in sorted(activities.values(), key=lambda a: (found[a.id].from_tick, a.id))
    )
    in_time, sure = _costs_in_time(ask, held, min(work, QUICK))
    waits = found.soonest - unlimited.working_days < in_time
    stopped = watch is not None and watch.stop()
    answer = CrewsAnswer(
        as_of=ask.as_of,
        plan=found,
        costs_in_time=in_time,
        in_time_proved=sure,
        plain_days=unlimited.working_days,
        work=shown,
        clashes=tuple(levelling.clashes(unlimited, held.limits)),
        limits=_rows(ask, held, base, found, work, 0 if stopped else ONE_MORE),
        calls=tuple(_calls(ask, found, activities)),
        choices=levelling.choices(**_asked(ask, held, base, min(work, QUICK), watch))
        if found.moved and not stopped
        else (),
        names={a.id: a.name or a.id for a in activities.values()},
        notes=(
            *held.notes,
            *_supposed(held),
            *_hidden(in_time if waits else 0, sure),
            *_bookings_short(ask, activities),
        ),
        later=later,
    )
    if stopped:
        raise StoppedError(answer)
    return answer


def _asked(
    ask: Ask, held: CrewLimits, base: Whole, work: float, watch: _Watch | None
) -> dict[str, Any]:
    """Return what levelling is asked of this house."""
    return {
        "network": held.network,
        "calendar": ask(dates.calendar),
        "as_of": ask.as_of,
        "progress": base.progress,
        "limits": held.limits,
        "bookings": {b.id: b.first_day for b in ask.all(Booking)},
        "not_before": base.not_before,
        "effort": Effort(work=work),
        "tell": None if watch is None else watch.tell,
        "stopping": None if watch is None else watch.stop,
    }


def _costs_in_time(ask: Ask, held: CrewLimits, work: float) -> tuple[float, bool]:
    """Return what the limits cost the site work alone, where no part comes late; if it is proved.

    Work that may not start before a day does not here either.
    """
    site, days, told = ask(dates.network), ask(dates.calendar), ask(dates.progress)
    soonest = ask(dates.not_before)
    base = levelling.level(site, days, ask.as_of, told, not_before=soonest)
    on_days = schedule.Network(
        (replace(a, calendar=held.network[a.id].calendar) for a in site), site.links
    )
    found = levelling.level(
        on_days, days, ask.as_of, told, limits=held.limits, not_before=soonest,
        effort=Effort(work=work),
    )  # fmt: skip
    return found.soonest - base.working_days, found.steps[0].proved


def _rows(
    ask: Ask, held: CrewLimits, base: Whole, found: Levelled, work: float, most: int
) -> tuple[LimitRow, ...]:
    """Return the limits, those that hold somebody first, with what the house would gain."""
    holds: dict[str, list[str]] = {}
    for placed in found.placed.values():
        for one in placed.held:
            holds.setdefault(one.limit, []).append(placed.id)
    rows: list[LimitRow] = []
    for limit in sorted(held.limits, key=lambda k: (-len(holds.get(k.name, ())), k.name)):
        saves, proved = None, False
        if limit.name in holds and found.costs > 0 and len(rows) < most:
            without = levelling.level(
                held.network, ask(dates.calendar), ask.as_of, base.progress,
                limits=[k for k in held.limits if k is not limit],
                not_before=base.not_before, effort=Effort(work=min(work, QUICK)),
            )  # fmt: skip
            saves = max(0.0, found.soonest - without.soonest)
            proved = without.steps[0].proved and found.steps[0].proved
        supposed = limit.name in held.supposed or limit.name.rpartition(": ")[2] in held.supposed
        rows.append(LimitRow(limit, supposed, tuple(holds.get(limit.name, ())), saves, proved))
    return tuple(rows)


def _calls(ask: Ask, found: Levelled, activities: Mapping[Id, Activity]) -> Iterator[CallFirst]:
    contacts = {key_of(c.id): c for c in ask.all(Contact)}
    for moved in found.moved:
        one = activities[moved.activity]
        trades = named(one.trade, ask(known))
        contact = next((contacts[t] for t in trades if t in contacts), None)
        yield CallFirst(
            activity=one.id,
            name=one.name or one.id,
            trade=one.trade,
            who="" if contact is None else contact.name,
            phone="" if contact is None else contact.phone,
            booked=moved.booked,
            now=moved.now,
        )


def _supposed(held: CrewLimits) -> Iterator[str]:
    if held.supposed:
        yield f"One crew of each trade, and one wet trade a room: {SUPPOSED}."


def _hidden(days: float, sure: bool) -> Iterator[str]:
    if days > 0:
        most = "" if sure else "at most "
        yield ("The house waits for parts: were they here in time, crews and rooms would cost it "
               f"{most}{show_days(days)}.")  # fmt: skip


def _bookings_short(ask: Ask, activities: Mapping[Id, Activity]) -> Iterator[str]:
    """Yield bookings for fewer days than the work takes."""
    for booking in ask.all(Booking):
        one = activities[booking.id]
        if booking.days is not None and booking.days < one.days_likely:
            yield (f"{one.id} {one.name}: booked for {show_days(booking.days)}, and it takes "
                   f"{show_days(one.days_likely)}.")  # fmt: skip
