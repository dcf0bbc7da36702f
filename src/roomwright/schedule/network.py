"""Activities and the links between them: what waits for what, and how.

An activity is contiguous: once begun it runs on its calendar's working days until it is done.
Each of the four links says that one end of an activity may not come before one end of another
plus a lag. In working days of one calendar all four have one normal form [1]_,
``s_after >= s_before + w`` with

================  ==========================
finish to start   w = d_before + lag
start to start    w = lag
finish to finish  w = d_before + lag - d_after
start to finish   w = lag - d_after
================  ==========================

References
----------
.. [1] Bartusch, Moehring, Radermacher (1988), "Scheduling project networks with resource
   constraints and time windows", Annals of Operations Research 16 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Final, Literal, NamedTuple, get_args

from roomwright.days import Calendar, Number, ticks

LinkKind = Literal["finish to start", "start to start", "finish to finish", "start to finish"]
KINDS: Final[tuple[LinkKind, ...]] = get_args(LinkKind)
LagCounts = Literal["working", "elapsed"]


class NetworkError(ValueError):
    """The network contradicts itself; each of `problems` is one plain sentence."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


class CycleError(NetworkError):
    """Activities wait for each other in a ring; `cycles` holds the ids of each ring once round."""

    def __init__(self, cycles: Iterable[tuple[str, ...]], names: Mapping[str, str]) -> None:
        self.cycles = tuple(cycles)
        super().__init__(
            "these wait for each other in a ring, so none can start: "
            + " -> ".join(_named(i, names) for i in (*ring, ring[0]))
            + ". Take one of these links out."
            for ring in self.cycles
        )


@dataclass(frozen=True, slots=True)
class Activity:
    """Work that takes days; 0 days is a milestone.

    Parameters
    ----------
    id : str
    days : int, float or Fraction
        working days [days], whole or half
    name : str
    calendar : Calendar, optional
        the crew's own days; the house calendar where there is none
    off_site : bool
        whether it may go on before the site starts, from the as-of date on: ordering and making
    """

    id: str
    days: Number
    name: str = ""
    calendar: Calendar | None = None
    off_site: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.days <= 2000:
            raise NetworkError([f"{self.title}: {self.days} days: use 0 to 2000 working days"])
        try:
            ticks(self.days)
        except ValueError as wrong:
            raise NetworkError([f"{self.title}: {wrong}"]) from None

    @property
    def title(self) -> str:
        """Id and name, as messages print them."""
        return f"{self.id} {self.name}".strip()


@dataclass(frozen=True, slots=True)
class Link:
    """One activity waits for another.

    Parameters
    ----------
    before, after : str
        activity ids
    kind : str
        which end of `before` holds which end of `after`
    lag_days : int, float or Fraction
        wait between the two ends [days], whole or half; negative is a lead
    lag_counts : str
        ``working`` days of the house calendar, or ``elapsed`` days for what does not stop on
        Saturday
    reason : str
        why there is a lag
    """

    before: str
    after: str
    kind: LinkKind = "finish to start"
    lag_days: Number = 0
    lag_counts: LagCounts = "working"
    reason: str = ""

    def __post_init__(self) -> None:
        where = f"link {self.before} -> {self.after}"
        if self.kind not in KINDS:
            raise NetworkError([f"{where}: no link kind {self.kind!r}: use {', '.join(KINDS)}"])
        if self.lag_counts not in get_args(LagCounts):
            raise NetworkError([f"{where}: lag counts {self.lag_counts!r}: use working or elapsed"])
        if not -1000 <= self.lag_days <= 1000:
            raise NetworkError([f"{where}: a lag of {self.lag_days} days: check it"])
        try:
            ticks(self.lag_days)
        except ValueError as wrong:
            raise NetworkError([f"{where}: lag of {wrong}"]) from None
        if self.before == self.after:
            raise NetworkError([f"{where}: an activity cannot wait for itself"])


@dataclass(frozen=True, slots=True)
class Progress:
    """What has happened to an activity.

    Parameters
    ----------
    started, finished : date, optional
        first and last day worked; a finished milestone has its date in both
    days_left : int, float or Fraction, optional
        working days still needed from the as-of date on; None where nobody has said
    resumes : date, optional
        the day on which work goes on that has begun and stands still
    """

    started: date | None = None
    finished: date | None = None
    days_left: Number | None = None
    resumes: date | None = None

    @property
    def contradiction(self) -> str:
        """What in it cannot be, and what to do; empty where all is well."""
        if self.started and self.finished and self.finished < self.started:
            return (
                f"finished {self.finished.isoformat()} before it started "
                f"{self.started.isoformat()}: correct one of the two"
            )
        if self.finished and self.days_left:
            return "finished, and yet days are left: take out one of the two"
        if self.days_left is not None and self.days_left < 0:
            return f"{self.days_left} days left: use 0 or more"
        if self.days_left is not None and self.started is None:
            return "days left, but no day on which it started: fill in the start"
        return ""


class Tie(NamedTuple):
    """A link in the shape the passes read: the other activity's place, the two ends, the lag."""

    other: int
    from_start: bool
    into_start: bool
    lag: int
    elapsed: bool

    @property
    def kind(self) -> LinkKind:
        """The kind of the link."""
        return KINDS[self.from_start + 2 * (not self.into_start)]


@dataclass(frozen=True, slots=True)
class Network:
    """Activities and links, checked: ids are unique, links lead somewhere, nothing goes in a ring.

    `lasts` holds the durations in ticks; `order` sorts the places of the activities so that each
    comes after those it waits for; `before` and `after` hold the ties of each; `one_clock` says
    that all runs on the house calendar and no lag is elapsed.

    Raises
    ------
    NetworkError
        with all duplicate ids and dangling references at once
    CycleError
        with every ring found, by names

    Examples
    --------
    >>> Network([Activity("A", 2, "Hang doors"), Activity("B", 1, "Paint")],
    ...         [Link("A", "B"), Link("B", "A")])
    Traceback (most recent call last):
    roomwright.schedule.network.CycleError: these wait for each other in a ring, so none can start:
    A Hang doors -> B Paint -> A Hang doors. Take one of these links out.
    """

    activities: tuple[Activity, ...]
    links: tuple[Link, ...]
    index: Mapping[str, int] = field(init=False, repr=False, compare=False)
    lasts: tuple[int, ...] = field(init=False, repr=False, compare=False)
    order: tuple[int, ...] = field(init=False, repr=False, compare=False)
    before: tuple[tuple[Tie, ...], ...] = field(init=False, repr=False, compare=False)
    after: tuple[tuple[Tie, ...], ...] = field(init=False, repr=False, compare=False)
    one_clock: bool = field(init=False, repr=False, compare=False)

    def __init__(self, activities: Iterable[Activity], links: Iterable[Link] = ()) -> None:
        setting = object.__setattr__  # a frozen dataclass fills itself once, here
        setting(self, "activities", tuple(activities))
        setting(self, "links", tuple(links))
        setting(self, "index", {a.id: i for i, a in enumerate(self.activities)})
        setting(self, "lasts", tuple(ticks(a.days) for a in self.activities))
        problems = [*self._duplicates(), *self._dangling()]
        if problems:
            raise NetworkError(problems)
        before: list[list[Tie]] = [[] for _ in self.activities]
        after: list[list[Tie]] = [[] for _ in self.activities]
        for link in self.links:
            i, j = self.index[link.before], self.index[link.after]
            ends = link.kind.startswith("start"), link.kind.endswith("start")
            wait = ticks(link.lag_days), link.lag_counts == "elapsed"
            before[j].append(Tie(i, *ends, *wait))
            after[i].append(Tie(j, *ends, *wait))
        setting(self, "before", tuple(map(tuple, before)))
        setting(self, "after", tuple(map(tuple, after)))
        setting(self, "order", self._sorted())
        own = any(a.calendar is not None for a in self.activities)
        setting(self, "one_clock", not own and not any(t.elapsed for ts in before for t in ts))

    def __getitem__(self, id: str) -> Activity:
        return self.activities[self.index[id]]

    def __iter__(self) -> Iterator[Activity]:
        return iter(self.activities)

    def __len__(self) -> int:
        return len(self.activities)

    def lasting(self, days: Mapping[str, Number]) -> Network:
        """Return the network with other durations for some activities.

        >>> Network([Activity("A200", 9)]).lasting({"A200": 19})["A200"].days
        19
        """
        unknown = [i for i in days if i not in self.index]
        if unknown:
            raise NetworkError(f"no activity {i!r}" for i in unknown)
        return Network(
            (replace(a, days=days[a.id]) if a.id in days else a for a in self.activities),
            self.links,
        )

    def _duplicates(self) -> Iterable[str]:
        seen: set[str] = set()
        for activity in self.activities:
            if activity.id in seen:
                yield f"two activities have the id {activity.id!r}: give one another id"
            seen.add(activity.id)

    def _dangling(self) -> Iterable[str]:
        for link in self.links:
            for id in (link.before, link.after):
                if id not in self.index:
                    yield f"link {link.before} -> {link.after}: there is no activity {id!r}"

    def _sorted(self) -> tuple[int, ...]:
        """Return the places of the activities so that each comes after those it waits for."""
        open_links = [len(ties) for ties in self.before]
        order = [i for i, n in enumerate(open_links) if not n]
        for i in order:
            for tie in self.after[i]:
                open_links[tie.other] -= 1
                if not open_links[tie.other]:
                    order.append(tie.other)
        if len(order) < len(self.activities):
            rings = cycles((k.before, k.after) for k in self.links)
            raise CycleError(rings, {a.id: a.name for a in self.activities})
        return tuple(order)


def cycles(pairs: Iterable[tuple[str, str]]) -> list[tuple[str, ...]]:
    """Return rings among (before, after) pairs: a shortest one through each knot, no two sharing.

    >>> cycles([("A", "B"), ("B", "C"), ("C", "A"), ("C", "D")])
    [('A', 'B', 'C')]
    """
    onward: dict[str, list[str]] = {}
    for one, other in pairs:
        onward.setdefault(one, []).append(other)
        onward.setdefault(other, [])
    found: list[tuple[str, ...]] = []
    used: set[str] = set()
    onward = _knots(onward)
    for start in onward:
        ring = None if start in used else _ring_through(start, onward, used)
        if ring:
            found.append(ring)
            used.update(ring)
    return found


def _knots(onward: Mapping[str, list[str]]) -> dict[str, list[str]]:
    """Return what is left without all that nothing leads to, or that leads nowhere.

    Again and again: what is on no ring, nor between two, is gone.
    """
    left = dict(onward)
    for _ in range(2):  # from the beginnings on, then, the other way round, from the ends
        open_links = dict.fromkeys(left, 0)
        for others in left.values():
            for other in others:
                open_links[other] += 1
        gone = [one for one, n in open_links.items() if not n]
        for one in gone:
            for other in left[one]:
                open_links[other] -= 1
                if not open_links[other]:
                    gone.append(other)
        out = set(gone)
        back: dict[str, list[str]] = {one: [] for one in left if one not in out}
        for one in back:
            for other in left[one]:
                back[other].append(one)
        left = back
    return left


def _ring_through(
    start: str, onward: Mapping[str, list[str]], used: set[str]
) -> tuple[str, ...] | None:
    came_from: dict[str, str] = {}
    front = [start]
    while front:
        reached: list[str] = []
        for here in front:
            for there in onward[here]:
                if there == start:
                    ring = [here]
                    while ring[-1] != start:
                        ring.append(came_from[ring[-1]])
                    return tuple(reversed(ring))
                if there not in came_from and there not in used:
                    came_from[there] = here
                    reached.append(there)
        front = reached
    return None


def _named(id: str, names: Mapping[str, str]) -> str:
    return f"{id} {names.get(id, '')}".strip()
