"""What happened to an order, and how it replaces what a lead chain estimates.

* **Done**: a step is done on a day.
* **Placed**, **Acknowledged**, **Promised**: the latest promise by the day it was given stands as
  it is. The vendor's steps that are left then take no days of their own: the part arrives on the
  promised day, and no inspection allowance is added (methods: a promise is taken as it stands).
  Acclimation, which is physics and no allowance, still counts.
* **Shipped**: what comes before shipping is done, and shipping is under way.
* **Received**, **Damaged**, **Returned**: the part has arrived when as many good pieces are here as
  the line needs. What is damaged or returned is made and shipped anew, from that day, until there
  is a new promise. A claim outside its window is told; windows are given, never assumed.
* Without a promise, making is taken to go as planned since the order was placed or the drawings
  approved; drawings that nobody has recorded as approved are not.
* An order placed on a measure that does not hold is void: it counts as not placed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TypeVar

from roomwright.days import Calendar, Number, show_date
from roomwright.schedule import Activity, Progress
from roomwright.supply.chains import STEPS, ChainError, LeadChain, Step
from roomwright.supply.measure import Standing, measure_stands


@dataclass(frozen=True, slots=True)
class Done:
    """A step was done on a day."""

    on: date
    step: Step


@dataclass(frozen=True, slots=True)
class Placed:
    """The order was placed."""

    on: date


@dataclass(frozen=True, slots=True)
class Acknowledged:
    """The vendor said that he has the order."""

    on: date


@dataclass(frozen=True, slots=True)
class Promised:
    """On a day, the vendor promised it for another day; a later word replaces an earlier one."""

    on: date
    day: date


@dataclass(frozen=True, slots=True)
class Shipped:
    """It left the vendor."""

    on: date


@dataclass(frozen=True, slots=True)
class Received:
    """So many pieces came."""

    on: date
    qty: int


@dataclass(frozen=True, slots=True)
class Damaged:
    """So many of those that came are of no use; `claimed` is the day the vendor was told."""

    on: date
    qty: int
    claimed: date | None = None


@dataclass(frozen=True, slots=True)
class Returned:
    """So many good pieces went back."""

    on: date
    qty: int


Event = Done | Placed | Acknowledged | Promised | Shipped | Received | Damaged | Returned


E = TypeVar("E", bound=Event)


@dataclass(frozen=True, slots=True)
class Followed:
    """A lead chain with what happened to it, for the passes.

    Attributes
    ----------
    chain : LeadChain
        with the days that are left to estimate
    progress : mapping of str to Progress
    not_before : mapping of str to days
        a promise, as a working-day number of the house calendar [days]
    promise : date, optional
        the one that stands
    on_hand : int
        good pieces here
    measure : Standing, optional
    void : bool
        whether the order was placed on a measure that does not hold
    notes : tuple of str
        what the builder should know
    """

    chain: LeadChain
    progress: Mapping[str, Progress]
    not_before: Mapping[str, Number]
    promise: date | None
    on_hand: int
    measure: Standing | None
    void: bool
    notes: tuple[str, ...]


def follow(
    chain: LeadChain,
    events: Iterable[Event],
    house: Calendar,
    as_of: date,
    *,
    qty: int = 1,
    claim_days: int | None = None,
    site: Mapping[str, Progress] | None = None,
) -> Followed:
    """Return a lead chain with what happened in place of what was estimated.

    Parameters
    ----------
    chain : LeadChain
    events : iterable of Event
        in any order; those after the as-of date are refused
    house : Calendar
        the house calendar
    as_of : date
    qty : int
        pieces that the line needs
    claim_days : int, optional
        calendar days after receipt in which damage must be claimed, by the vendor's terms [days]
    site : mapping of str to Progress, optional
        what has happened to the site work: a measure rests on it

    Raises
    ------
    ChainError
        for an event in the future, more pieces damaged or returned than came

    Examples
    --------
    >>> from roomwright.supply.chains import Plan, lead_chain
    >>> house = Calendar(date(2027, 3, 1))
    >>> range_ = lead_chain("L9", "SET", Plan({"make": 40, "ship": 5, "receive": 1}))
    >>> told = follow(range_, [Placed(date(2027, 3, 1)), Promised(date(2027, 3, 3),
    ...     date(2027, 5, 10))], house, date(2027, 3, 8))
    >>> dict(told.not_before), told.progress["L9:order"].finished.isoformat()
    ({'L9:arrive': 50}, '2027-03-01')
    """
    return _Follow(chain, list(events), house, as_of, qty, claim_days, site or {}).all()


class _Follow:
    def __init__(
        self, chain: LeadChain, events: list[Event], house: Calendar, as_of: date, qty: int,
        claim_days: int | None, site: Mapping[str, Progress],
    ) -> None:  # fmt: skip
        self.chain, self.house, self.as_of, self.qty = chain, house, as_of, qty
        # of one day: what came is counted before what of it was bad
        self.events = sorted(events, key=lambda e: (e.on, isinstance(e, Damaged | Returned)))
        self.claim_days, self.site = claim_days, site
        self.done: dict[Step, date] = {}
        self.progress: dict[str, Progress] = {}
        self.not_before: dict[str, Number] = {}
        self.days: dict[Step, Number] = dict(chain.plan.days)
        self.notes: list[str] = []
        self.anew: date | None = None

    def all(self) -> Followed:
        chain = self.chain
        self._check()
        measure, taken = self._measure()
        placed = self._first_word()
        void = placed is not None and measure is not None and (
            not measure.holds or (taken is not None and placed.on < taken)
        )  # fmt: skip
        on_hand = self._count()
        if void and placed is not None:
            self.notes.append(f"void: ordered {self._say(placed.on)} without a measure that holds")
            promise = None
        else:
            promise = self._promise()
        if placed is not None and not void:
            self._ordered(placed.on)
        if on_hand >= self.qty:
            self._arrived()
        elif promise is not None:
            self._promised(promise)
        elif self.anew is not None and not void:
            self.not_before[self._again()] = self.house.number(self.anew)
        for step, on in self.done.items():
            if any(a.id == chain.id(step) for a in chain.activities):
                self.progress[chain.id(step)] = Progress(finished=on)
        activities = tuple(self._with_days(a) for a in chain.activities)
        plan = replace(chain.plan, days=self.days)
        return Followed(
            replace(chain, activities=activities, plan=plan), self.progress, self.not_before,
            promise, on_hand, measure, void, tuple(self.notes),
        )  # fmt: skip

    def _first_word(self) -> Placed | None:
        """Return when it was ordered: who promises or acknowledges has the order."""
        placed = self._last(Placed)
        if placed is not None:
            return placed
        words = [e.on for e in self.events if isinstance(e, Acknowledged | Promised | Shipped)]
        return Placed(min(words)) if words else None

    def _check(self) -> None:
        here = 0
        for event in self.events:
            if event.on > self.as_of:
                raise ChainError(
                    f"{self.chain.line}: {type(event).__name__.lower()} on "
                    f"{self._say(event.on)} lies after {self._say(self.as_of)}: correct the day"
                )
            if isinstance(event, Received | Damaged | Returned):
                if event.qty < 1:
                    raise ChainError(f"{self.chain.line}: {event.qty} pieces: use 1 or more")
                here += event.qty if isinstance(event, Received) else -event.qty
            if here < 0:
                raise ChainError(
                    f"{self.chain.line}: more pieces damaged or returned by "
                    f"{self._say(event.on)} than came: correct the count"
                )

    def _measure(self) -> tuple[Standing | None, date | None]:
        condition = self.chain.plan.condition
        taken = None
        for event in self.events:
            if isinstance(event, Done):
                self.done[event.step] = event.on
                if event.step == "measure":
                    taken = event.on
        if condition is None:
            return None, taken
        if self.site.get(self.chain.installs, Progress()).started is not None and taken:
            return Standing("holds", f"measured {self._say(taken)}, and being installed"), taken
        standing = measure_stands(condition, taken, self.site)
        if taken is not None and not standing.holds:
            del self.done["measure"]
            self.notes.append(standing.text)
        return standing, taken

    def _promise(self) -> date | None:
        """Return the promise that stands: the last given, unless it was used up by what came."""
        promises = [e for e in self.events if isinstance(e, Promised)]
        if not promises or (self.anew is not None and promises[-1].on < self.anew):
            return None
        last = promises[-1]
        if len(promises) > 1 and promises[-2].day != last.day:
            slip = self.house.between(promises[-2].day, last.day)
            way = "later" if slip > 0 else "sooner"
            self.notes.append(
                f"promise moved {abs(slip)} working day{'s' * (abs(slip) != 1)} {way}, from "
                f"{self._say(promises[-2].day)} to {self._say(last.day)}"
            )
        return last.day

    def _count(self) -> int:
        """Return the good pieces here, and note claims; what went bad must come anew."""
        here = 0
        came: date | None = None
        for event in self.events:
            if isinstance(event, Received):
                here, came = here + event.qty, event.on
            elif isinstance(event, Damaged | Returned):
                here -= event.qty
                self.anew = event.on
                if isinstance(event, Damaged) and came is not None:
                    self._claim(event, came)
        if here >= self.qty:
            self.anew = None
        return here

    def _claim(self, damage: Damaged, came: date) -> None:
        if self.claim_days is None:
            if damage.claimed is None:
                self.notes.append(f"{damage.qty} damaged: claim it; the vendor's window is unknown")
            return
        last = came + timedelta(days=min(self.claim_days, (date.max - came).days))
        if damage.claimed is None:
            late = "the window closed" if last < self.as_of else "claim by"
            self.notes.append(f"{damage.qty} damaged, not claimed: {late} {self._say(last)}")
        elif damage.claimed > last:
            self.notes.append(
                f"{damage.qty} damaged, claimed {self._say(damage.claimed)}: after the window "
                f"closed {self._say(last)}"
            )

    def _ordered(self, on: date) -> None:
        chain = self.chain
        self.progress[chain.order] = Progress(finished=on)
        if "decide" in self.days:
            self.done.setdefault("decide", on)
        shipped = self._last(Shipped)
        if shipped is not None and (self.anew is None or shipped.on >= self.anew):
            for step in chain.between():
                if step != "ship":
                    self.done.setdefault(step, shipped.on)
            if "ship" in self.days:
                self.progress[chain.id("ship")] = Progress(started=shipped.on)
        elif self.anew is not None:
            for step in chain.between():
                if step in ("submit", "approve"):  # drawings hold; the piece does not
                    self.done.setdefault(step, on)
                else:
                    self.done.pop(step, None)
        if self.anew is None:
            self._to_plan(on)

    def _to_plan(self, since: date) -> None:
        """Take making and shipping to go as planned since the last thing known, so far."""
        steps = [s for s in self.chain.between() if s not in self.done]
        recorded = [d for s, d in self.done.items() if s in self.chain.between()]
        since = max([since, *(d + timedelta(days=1) for d in recorded)])
        for step in steps:
            id = self.chain.id(step)
            if id in self.progress or self.days[step] == 0:
                continue
            if since > self.as_of:
                return
            self.progress[id] = Progress(started=since)
            calendar = self.chain.plan.vendor or self.house
            end = calendar.last_worked(calendar.number(since) + self.days[step])
            if step != "make" or end >= self.as_of or step == steps[-1]:
                return
            self.done[step] = end
            since = end + timedelta(days=1)

    def _arrived(self) -> None:
        """All is here: the last receipt that made the count is the arrival."""
        last = max(e.on for e in self.events if isinstance(e, Received))
        chain = self.chain
        self.progress.setdefault(chain.order, Progress(finished=last))
        self.progress[chain.arrive] = Progress(finished=last)
        for step in STEPS[: STEPS.index("receive") + 1]:
            if step in self.days and step != "measure":
                self.progress.pop(chain.id(step), None)
                self.done.setdefault(step, last)

    def _promised(self, promise: date) -> None:
        """The promise stands: the vendor's steps take no days of their own, nor does receipt."""
        for step in (*self.chain.between(), "receive"):
            if step in self.days and step not in self.done:
                self.progress.pop(self.chain.id(step), None)
                self.days[step] = 0
        self.not_before[self.chain.arrive] = max(0, self.house.number(promise))

    def _again(self) -> str:
        """Return the activity that what went bad begins with again."""
        left = [s for s in self.chain.between() if s not in ("submit", "approve")]
        return self.chain.id(left[0]) if left else self.chain.arrive

    def _with_days(self, activity: Activity) -> Activity:
        step = activity.id.rpartition(":")[2]
        if step in self.days and activity.days != self.days[step]:
            return replace(activity, days=self.days[step])
        return activity

    def _last(self, kind: type[E]) -> E | None:
        return next((e for e in reversed(self.events) if isinstance(e, kind)), None)

    def _say(self, day: date) -> str:
        return show_date(day, self.as_of)
