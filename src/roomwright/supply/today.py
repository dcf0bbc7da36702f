"""What to do today: most days of move-in saved first, what one maker gets said together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from roomwright.days import Calendar, show_date, show_days
from roomwright.supply.model import Finding, Lead, LineState, Need, Work, short
from roomwright.trades import trades_of

Kind = Literal[
    "order", "measure", "chase", "take back", "ask", "left out", "check", "order soon", "work"
]
KINDS: Final[tuple[Kind, ...]] = Kind.__args__  # type: ignore[attr-defined]
"""What a task is, in the order in which equal ones stand:

* *order*: place an order whose day has come
* *chase*: a promise lies after the need: ask for an earlier day
* *take back*: an order is void
* *ask*: a promise has passed and nothing came
* *left out*: the work was done without it: decide
* *check*: look at what came; settle what is damaged or for the wrong hand
* *order soon*: place an order within the week
* *work*: the builder's or the owner's own work that is under way or can begin
"""

AHEAD: Final = 5
"""Orders to be placed within so many working days stand in Today too."""
WORTH: Final = 0.5
"""Less than half a day on average is no reason to stand before other things [days]."""
BUILDER: Final = "builder"
OWNER: Final = "owner"
OURS: Final = frozenset({BUILDER, OWNER})
"""Who the list is for."""


@dataclass(frozen=True, slots=True)
class Wrong:
    """What is not as it was meant with a line: what is so, what to do, and what it may cost.

    `days` is how far move-in slips if it is ordered again today: a guess by its lead time.
    """

    what: str
    text: str
    do: str
    days: float = 0


@dataclass(frozen=True, slots=True)
class Wanted:
    """A line of the plan with its true state, as the list needs it.

    `maker` is who the class was last bought from, where that is known; `bought_by` is who buys it,
    several with a stroke between; nobody named is the builder.
    """

    line: str
    room: str
    name: str
    state: LineState
    need: Need
    lead: Lead
    maker: str = ""
    bought_by: str = ""
    wrong: tuple[Wrong, ...] = ()


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do.

    Attributes
    ----------
    days : float
        days of move-in that it saves, at most; for work, what a day's wait costs [days]
    expected : float, optional
        the same on average over the futures of the house; None where nobody has simulated [days]
    why : tuple of str
        one sentence for each thing in it
    by : date, optional
        for an order, the day to place it; for work, the day it could begin
    needed : date, optional
        the soonest day on which something in it is needed
    guess : bool
        whether the days rest on a lead time and not on a promise
    who : str
        whose it is: ``builder`` or ``owner``
    """

    kind: Kind
    title: str
    days: float
    why: tuple[str, ...]
    lines: tuple[str, ...] = ()
    rooms: tuple[str, ...] = ()
    orders: tuple[str, ...] = ()
    maker: str = ""
    activity: str = ""
    by: date | None = None
    needed: date | None = None
    guess: bool = False
    who: str = BUILDER
    expected: float | None = None


def today(
    lines: Iterable[Wanted], site: Iterable[Work], calendar: Calendar, as_of: date
) -> tuple[Task, ...]:
    """Return the tasks, those that save most days of move-in first.

    Lines that another trade buys and work of other trades are left out. Tasks of one kind for one
    maker are one task, which saves as much as the dearest thing in it. What the owner buys is the
    owner's task, apart from the builder's with the same maker.
    """
    groups: dict[tuple[Kind, str, str], list[tuple[Wanted, Finding]]] = {}
    tasks: list[Task] = []
    for wanted in lines:
        if not is_ours(wanted.bought_by or BUILDER):
            continue
        who = whose(wanted.bought_by)
        for finding in wanted.state.findings:
            kind = _kind(finding, wanted, calendar, as_of)
            if kind is not None:
                maker = finding.maker or wanted.maker
                key = maker if kind != "left out" and maker else f"\0{wanted.name}"
                groups.setdefault((kind, who, key), []).append((wanted, finding))
        if wanted.wrong:
            tasks += [_settle(wanted, wrong, who) for wrong in wanted.wrong]
        elif wanted.state.to_check:
            tasks.append(_check(wanted, who))
    tasks += [_grouped(kind, who, members) for (kind, who, _), members in groups.items()]
    tasks += [_work(work) for work in site if _is_ours_now(work, as_of)]
    return ranked(tasks)


def ranked(tasks: Iterable[Task]) -> tuple[Task, ...]:
    """Return tasks, those first that save most days: on average, where that is known.

    >>> likely = Task("order", "Order: Range", 36, (), expected=8.9)
    >>> sure = Task("chase", "Chase: Cabinets", 5, (), expected=9.2)
    >>> [t.title for t in ranked([likely, sure])]
    ['Chase: Cabinets', 'Order: Range']
    """
    return tuple(sorted(tasks, key=_order))


def _order(task: Task) -> tuple[float, int, date, str]:
    rank = task.days if task.expected is None else task.expected
    if rank < WORTH:
        rank = 0
    return -rank, KINDS.index(task.kind), task.by or task.needed or date.max, task.title


def _kind(finding: Finding, wanted: Wanted, calendar: Calendar, as_of: date) -> Kind | None:
    if finding.state == "due" and wanted.state.order_by is not None:
        soon = calendar.between(as_of, wanted.state.order_by) <= AHEAD
        return "order soon" if soon else None
    kinds: dict[str, Kind] = {
        "due": "order",  # no order-by date: nobody knows how long it takes
        "order now": "order",
        "late": "chase",
        "promise passed": "ask",
        "void": "take back",
        "left out": "left out",
    }
    return kinds.get(finding.state)


def _grouped(kind: Kind, who: str, members: list[tuple[Wanted, Finding]]) -> Task:
    maker = members[0][1].maker or members[0][0].maker
    dearest = max(members, key=lambda m: m[1].move_in_days)[1]
    by = None
    if kind in ("order", "order soon"):
        by = min((w.state.order_by for w, _ in members if w.state.order_by), default=None)
    return Task(
        kind=kind,
        title=f"{told(who, _say(kind, maker))}: {_names(members)}",
        days=dearest.move_in_days,
        why=_whys(members),
        lines=tuple(w.line for w, _ in members),
        rooms=tuple(dict.fromkeys(w.room for w, _ in members)),
        orders=tuple(dict.fromkeys(f.order for _, f in members if f.order)),
        maker=maker,
        by=by,
        needed=min(w.need.on for w, _ in members),
        guess=dearest.guess,
        who=who,
    )


def told(who: str, say: str) -> str:
    """Return what to do, by whom: what names nobody is the builder's."""
    return say if who == BUILDER else f"{who.capitalize()} to {say[:1].lower()}{say[1:]}"


def _say(kind: Kind, maker: str) -> str:
    """Return what to do, before the colon."""
    of, who = (f" from {maker}", maker) if maker else ("", "the maker")
    words: dict[Kind, str] = {
        "order": f"Order{of}",
        "order soon": f"Order this week{of}",
        "chase": f"Chase {who}",
        "ask": f"Ask {who} for a new day",
        "take back": f"Take back the order{of}",
        "measure": "Measure",
        "left out": "Decide what was left out",
    }
    return words[kind]


def _names(members: list[tuple[Wanted, Finding]]) -> str:
    """Return what it is about, with how many of each where there is more than one."""
    counts: dict[str, int] = {}
    for wanted, finding in members:
        counts[wanted.name] = counts.get(wanted.name, 0) + finding.qty
    names = [name if n == 1 else f"{name} ({n})" for name, n in counts.items()]
    return ", ".join(names) if len(names) <= 4 else (
        f"{', '.join(names[:3])} and {len(names) - 3} more"
    )  # fmt: skip


def _whys(members: list[tuple[Wanted, Finding]]) -> tuple[str, ...]:
    """Return one sentence for all things in the same state, the dearest first."""
    about: dict[str, list[str]] = {}
    for wanted, finding in sorted(members, key=lambda m: -m[1].move_in_days):
        names = about.setdefault(_why(wanted, finding), [])
        if wanted.name not in names:
            names.append(wanted.name)
    return tuple(f"{', '.join(names)}: {text}" for text, names in about.items())


def _why(wanted: Wanted, finding: Finding) -> str:
    """Return the state in words, what it holds up and what there is to spare."""
    need = wanted.need
    if not finding.late_days or need.state == "done":
        return finding.text
    spare = f"{finding.text}; {short(need.name)} has {show_days(need.spare)} to spare"
    if finding.move_in_days:
        return f"{spare}, so move-in slips {show_days(finding.move_in_days)}"
    return spare


def _check(wanted: Wanted, who: str) -> Task:
    return Task(
        kind="check",
        title=f"{told(who, 'Look at what came')}: {wanted.name}, room {wanted.room}",
        days=0,
        why=tuple(f"{wanted.name}: {note}" for note in wanted.state.to_check),
        lines=(wanted.line,),
        rooms=(wanted.room,),
        needed=wanted.need.on,
        who=who,
    )


def _settle(wanted: Wanted, wrong: Wrong, who: str) -> Task:
    return Task(
        kind="check",
        title=f"{told(who, f'Settle {wrong.what}')}: {wanted.name}, room {wanted.room}",
        days=wrong.days,
        why=(f"{wanted.name}: {wrong.text}", f"To do: {wrong.do}"),
        lines=(wanted.line,),
        rooms=(wanted.room,),
        needed=wanted.need.on,
        guess=wrong.days > 0,
        who=who,
    )


def _is_ours_now(work: Work, as_of: date) -> bool:
    return work.state != "done" and work.start <= as_of and is_ours(work.trade)


def is_ours(trade: str) -> bool:
    """Return whether a trade, or one of several that are named, is builder or owner.

    >>> is_ours("tile/builder/owner"), is_ours("plumber"), is_ours("")
    (True, False, False)
    """
    return not OURS.isdisjoint(trades_of(trade))


def whose(trade: str) -> str:
    """Return whether what is the builder's or the owner's is the one's or the other's.

    >>> whose("Owner"), whose("tile/builder/owner"), whose("")
    ('owner', 'builder', 'builder')
    """
    named = trades_of(trade)
    return OWNER if OWNER in named and BUILDER not in named else BUILDER


def _work(work: Work) -> Task:
    doing = "Under way" if work.state == "started" else "Can begin"
    return Task(
        kind="work",
        title=f"{work.name or work.activity}",
        days=max(0, 1 - work.spare),
        why=(
            f"{doing}, {show_days(work.left)} left, {show_days(work.spare)} to spare"
            + (": each day it waits is a day of move-in" if work.spare <= 0 else ""),
        ),
        activity=work.activity,
        by=work.start,
        who=whose(work.trade),
    )


def days_in_words(task: Task, reference: date) -> str:
    """Return what a task saves, for a face: "36 days of move-in (a guess)".

    >>> days_in_words(Task("order", "Order: Range", 36, (), guess=True), date(2027, 3, 29))
    '36 days of move-in (a guess)'
    >>> days_in_words(Task("chase", "Chase", 5, (), expected=8.6), date(2027, 3, 29))
    'about 9 days of move-in'
    """
    guess = " (a guess)" if task.guess else ""
    if task.expected is not None and round(task.expected) >= 1:
        return f"about {show_days(round(task.expected))} of move-in{guess}"
    if task.expected is not None and task.days > 0:
        return f"under a day of move-in{guess}"
    if task.days <= 0:
        return f"by {show_date(task.by, reference)}" if task.by and "order" in task.kind else ""
    return f"{show_days(task.days)} of move-in{guess}"
