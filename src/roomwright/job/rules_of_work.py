"""Rules of days, links, orders and receipts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction
from itertools import pairwise

from roomwright.job.entities import (
    Activity,
    Companion,
    Event,
    Link,
    Order,
    PartClass,
    Posting,
    Progress,
    Receipt,
)
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts
from roomwright.job.pieces import told
from roomwright.job.rings import rings
from roomwright.job.words import day, number


def days_make_sense(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Durations and lead times are not negative, and low is not above high."""
    for c in changes:
        f = c.after
        if isinstance(f, Activity):
            yield from _in_order(
                c, f"activity {f.id}", "days", (f.days_low, f.days_likely, f.days_high),
                ("days_low", "days_likely", "days_high"),
            )  # fmt: skip
        elif isinstance(f, PartClass):
            yield from _in_order(
                c, f"class {f.id}", "weeks", (f.lead_weeks_low, f.lead_weeks_high),
                ("lead_weeks_low", "lead_weeks_high"),
            )  # fmt: skip
        elif isinstance(f, Companion) and f.per_item < 0:
            message = f"companion part {f.part}: {number(f.per_item)} of it can't go with one item."
            yield Problem(c.kind, c.id, "per_item", message)


MOST_DAYS, MOST_LAG = 2000, 1000
"""What one activity may take, and one link may wait [working days]; the schedule takes no more."""


def days_are_halves(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Work is booked by the day and the half day, and none takes years."""
    for c in changes:
        f = c.after
        if isinstance(f, Activity):
            what = f"activity {f.id}"
            fields = {k: getattr(f, k) for k in ("days_low", "days_likely", "days_high")}
        elif isinstance(f, Progress):
            what, fields = f"days left of {f.id}", {"days_left": f.days_left}
        elif isinstance(f, Link):
            what, fields = f"link {f.before} -> {f.after}", {"lag_days": f.lag_days}
        else:
            continue
        most = MOST_LAG if isinstance(f, Link) else MOST_DAYS
        for field, v in fields.items():
            if v is not None and v.denominator > 2:
                said = f"{what}: {number(v)} days is finer than half a day: use whole or half days."
                yield Problem(c.kind, c.id, field, said)
            elif v is not None and abs(v) > most:
                yield Problem(
                    c.kind, c.id, field, f"{what}: {number(v)} days: give {most} at most."
                )


def _in_order(
    c: Change, what: str, unit: str, values: Sequence[Fraction | None], fields: Sequence[str]
) -> Iterator[Problem]:
    known = [(f, v) for f, v in zip(fields, values, strict=True) if v is not None]
    for field, v in known:
        if v < 0:
            yield Problem(c.kind, c.id, field, f"{what}: {number(v)} {unit} is less than none.")
    for (low, a), (high, b) in pairwise(known):
        if a > b:
            message = (
                f"{what}: {low.replace('_', ' ')} ({number(a)}) is more than "
                f"{high.replace('_', ' ')} ({number(b)}). Swap them."
            )
            yield Problem(c.kind, c.id, low, message)


def progress_makes_sense(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Nothing is finished before it started, or finished with days left."""
    for c in changes:
        f = c.after
        if not isinstance(f, Progress):
            continue
        if f.started and f.finished and f.finished < f.started:
            yield Problem(
                c.kind, c.id, "finished",
                f"{f.id} can't be finished on {day(f.finished)}: it started on {day(f.started)}.",
            )  # fmt: skip
        if f.days_left is not None and f.days_left < 0:
            yield Problem(c.kind, c.id, "days_left", f"{f.id} can't have fewer than 0 days left.")
        if f.finished and f.days_left:
            yield Problem(
                c.kind, c.id, "days_left",
                f"{f.id} was finished on {day(f.finished)}, so it can't have "
                f"{number(f.days_left)} days left.",
            )  # fmt: skip


def dates_in_order(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """A promise is not before its order, a sheet not taken down before it was hung."""
    for c in changes:
        f = c.after
        if isinstance(f, Order):
            pair: tuple[date | None, date | None] = (f.placed, f.promised)
            said, field = "is promised for {1}, before it was placed on {0}", "promised"
        elif isinstance(f, Posting):
            pair = (f.posted, f.taken_down)
            said, field = "was taken down on {1}, before it was hung on {0}", "taken_down"
        else:
            continue
        first, then = pair
        if first and then and then < first:
            what = "order line" if isinstance(f, Order) else "wall sheet"
            yield Problem(
                c.kind, c.id, field, f"{what} {c.id} {said.format(day(first), day(then))}."
            )


def receipts_within_orders(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """What came against an order line was ordered on it, and is no more than was ordered."""
    pairs: dict[tuple[str, str], None] = {}
    for c in changes:
        for f in (c.before, c.after):
            if isinstance(f, Order | Receipt | Event):
                pairs[f.order, f.line] = None
    for order, line in pairs:
        receipts = [r for r in facts.where(Receipt, "line", line) if r.order == order]
        if not receipts:
            continue
        orders = [o for o in facts.where(Order, "line", line) if o.order == order]
        last = receipts[-1]
        ordered, came = sum(o.qty for o in orders), sum(r.qty for r in receipts)
        came -= lost_of(facts, order, line)
        if not orders:
            yield Problem(
                "receipt", last.id, "order",
                f"receipt {last.id} is for line {line} on order {order}, which has no such line. "
                "Check the order's number and the line, or place the order first.",
            )  # fmt: skip
        elif came > ordered:
            ids = " and ".join(r.id for r in receipts)
            yield Problem(
                "receipt", last.id, "qty",
                f"line {line} on order {order}: {came} received ({ids}) but {ordered} ordered. "
                "Change the order if it was for more, or correct the receipt.",
            )  # fmt: skip
        placed = min((o.placed for o in orders if o.placed), default=None)
        for r in receipts:
            if placed and r.on and r.on < placed:
                yield Problem(
                    "receipt", r.id, "on",
                    f"receipt {r.id} came on {day(r.on)}, before order {order} was placed on "
                    f"{day(placed)}.",
                )  # fmt: skip


def lost_of(facts: Facts, order: str, line: str) -> int:
    """Return how many pieces of an order line were damaged or sent back: they come again."""
    events = [e for e in facts.where(Event, "line", line) if e.order == order]
    return told((r for r in facts.where(Receipt, "line", line) if r.order == order), events).lost


def no_link_cycles(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """No activity waits for itself, however long the way round. The message prints the cycle."""
    new = [c.after for c in changes if isinstance(c.after, Link)]
    if not new:
        return
    after: dict[str, list[str]] = defaultdict(list)
    for link in facts.all(Link):
        after[link.before].append(link.after)
    said: set[frozenset[str]] = set()
    ids = {(link.before, link.after): link.id for link in reversed(new)}
    for ring in rings(after, [(link.before, link.after) for link in new]):
        if frozenset(ring) not in said:
            said.add(frozenset(ring))
            yield Problem(
                "link", ids[ring[0], ring[1]], "after",
                "these activities wait for each other in a ring: "
                f"{' > '.join(ring)}. Take one link out.",
            )  # fmt: skip


work_rules = (
    days_make_sense,
    days_are_halves,
    progress_makes_sense,
    dates_in_order,
    receipts_within_orders,
    no_link_cycles,
)
