"""What every change of the network must leave standing: no ring, no part measured too late."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator

from roomwright.commands.base import BadCommandError
from roomwright.exchange import cells
from roomwright.exchange.rows import short_id
from roomwright.job.entities import Activity, Id, Link, Number, PartClass, Room
from roomwright.job.facts import Change, Facts
from roomwright.job.rings import positions, rings, way
from roomwright.job.words import number

MOST_DAYS = 2000
"""More working days than this are a slip of the hand [days]."""

MOST_NAMED = 8
"""So many activities of a ring are named; the rest are counted."""


def _days(value: Fraction) -> Fraction:
    if not 0 <= value <= MOST_DAYS:
        raise ValueError(f"{number(value)} days can't be: give 0 to {MOST_DAYS}")
    return _halves(value)


def _lag(value: Fraction) -> Fraction:
    if abs(value) > MOST_DAYS / 2:
        raise ValueError(f"a lag of {number(value)} days can't be: {MOST_DAYS // 2} at most")
    return _halves(value)


def _halves(value: Fraction) -> Fraction:
    if (2 * value).denominator != 1:
        raise ValueError(f"{number(value)} is finer than half a day: use whole or half days")
    return value


def _rooms(value: Any) -> Any:
    return cells.ids(value) if isinstance(value, str) else value


Days = Annotated[Number, AfterValidator(_days)]
"""Working days, whole or half."""

Lag = Annotated[Number, AfterValidator(_lag)]
"""Days between two ends of work, whole or half; less than 0 for an overlap."""

Rooms = Annotated[tuple[Id, ...], BeforeValidator(_rooms)]
"""Ids of rooms, or ``all``; as text with blanks or commas between them."""


def link_id(before: str, after: str, kind: str) -> str:
    """Return the id of a link, as a house folder makes it.

    >>> link_id("A10", "A20", "finish to start")
    'A10 > A20 (finish to start)'
    """
    return short_id(f"{before} > {after} ({kind})")


def title(facts: Facts, id: str) -> str:
    """Return an activity as people call it: its id and its name."""
    found = facts.find(Activity, id)
    return f"{id} {found.name}".strip() if found is not None else id


def rooms_are_here(facts: Facts, rooms: Iterable[str], field: str) -> None:
    """Refuse a room that is not in the house."""
    for room in rooms:
        if room != "all" and facts.find(Room, room) is None:
            here = ", ".join(facts.ids(Room)[:12])
            words = f"There are: {here}." if here else "This house has no rooms yet: leave it out."
            raise BadCommandError((field, f"there is no room {room} here. {words}"))


def sound(facts: Facts, changes: Sequence[Change], field: str) -> None:
    """Refuse changes after which work waits for itself, or a part can't be measured in time.

    Raises
    ------
    BadCommandError
        under `field`, naming the ring by its activities.
    """
    after = facts.changed(changes)
    onward: dict[str, list[str]] = defaultdict(list)
    for link in after.all(Link):
        onward[link.before].append(link.after)
    new = [c.after for c in changes if isinstance(c.after, Link)]
    for ring in rings(onward, [(link.before, link.after) for link in new]):
        raise BadCommandError((field, ring_in_words(after, ring)))
    placed = positions(onward)
    for part in after.all(PartClass):
        if part.order_after and (
            part.order_after == part.needed_by
            or (
                placed.get(part.needed_by, 0) < placed.get(part.order_after, 1)
                and way(onward, part.needed_by, part.order_after)
            )
        ):
            raise BadCommandError(
                (field, f"{part.name or part.id} is ordered after {title(after, part.order_after)} "
                        f"but needed by {title(after, part.needed_by)}, which would then be no "
                        "later: leave the measure before it.")
            )  # fmt: skip


def ring_in_words(facts: Facts, ring: Sequence[str]) -> str:
    """Return the sentence that refuses a loop, with its activities by name."""
    names = [title(facts, id) for id in ring]
    if len(names) > MOST_NAMED:
        left = len(names) - MOST_NAMED
        names = [*names[: MOST_NAMED - 2], f"({left} more)", *names[-2:]]
    return (
        f"these would wait for each other in a ring, so none could start: {' → '.join(names)}. "
        "Leave this link out, or take another of the ring out first."
    )


def free_id(facts: Facts, like: str, taken: Iterable[str] = ()) -> str:
    """Return an activity id that is free, after one it is like: A10 gives A10-2, A10-2 gives A10-3.

    >>> free_id(Facts([Activity(id="A10", days_likely=1)]), "A10")
    'A10-2'
    """
    used = {*facts.ids(Activity), *taken}
    stem, dash, last = like.rpartition("-")
    number_ = int(last) + 1 if dash and last.isdecimal() and len(last) < 4 else 2
    stem = stem if dash and last.isdecimal() and len(last) < 4 else like
    while (made := short_id(f"{stem}-{number_}")) in used:
        number_ += 1
    return made


def next_id(facts: Facts) -> str:
    """Return an id for new work: W1, W2, and so on.

    >>> next_id(Facts([Activity(id="W1", days_likely=1)]))
    'W2'
    """
    used = set(facts.ids(Activity))
    number_ = 1
    while f"W{number_}" in used:
        number_ += 1
    return f"W{number_}"
