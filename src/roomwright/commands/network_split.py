"""The command that splits an activity: in two, or by its rooms. Its links are kept."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Any, ClassVar, Literal

from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, need, take_out
from roomwright.commands.network import in_days, plain_link
from roomwright.commands.network_sound import Days, free_id, link_id, sound, title
from roomwright.commands.network_split_facts import shared_out
from roomwright.job.entities import Activity, Id, Link, Progress, Room, Text
from roomwright.job.facts import Change, Facts
from roomwright.job.words import day, number
from roomwright.shape import area

MOST_PARTS = 40
HALF = Fraction(1, 2)


class SplitActivity(Command):
    """Split an activity in two, or into a part for each of its rooms.

    One part after another: what held its start holds the first part, what waited for its finish
    waits for the last. Side by side: each part has all the links of the whole.
    """

    command_name: ClassVar[str] = "split activity"

    activity: Id
    by: Literal["two", "rooms"] = "two"
    days: Days | None = None
    """Days of the first of two; half of them, in whole or half days, if not given."""
    name: Text = ""
    """What the second of two is called; as the first if not given."""
    order: Literal["one after another", "side by side"] = "one after another"

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the parts, and the links of the whole on them."""
        whole = need(facts, Activity, self.activity, "activity")
        told = facts.find(Progress, whole.id)
        if told is not None and told.finished:
            raise BadCommandError(
                ("activity", f"{title(facts, whole.id)} was finished on {day(told.finished)}: "
                             "there is nothing to split.")
            )  # fmt: skip
        if self.order == "side by side" and told is not None and told.started:
            raise BadCommandError(
                (
                    "order",
                    f"{title(facts, whole.id)} has started: its parts come one after another.",
                )
            )
        parts = (
            self._halves(facts, whole) if self.by == "two" else by_rooms(facts, whole, self._in_row)
        )
        first, rest = parts[0], parts[1:]
        changes: list[Change] = [Change(whole.kind_name, whole.id, whole, first), *map(add, rest)]
        ids = [p.id for p in parts]
        changes += in_a_row(facts, ids) if self._in_row else beside(facts, ids)
        shared, told_more = shared_out(facts, parts, self._in_row, self.by == "rooms")
        changes += shared
        if told is not None and told.days_left is not None:
            left = max(HALF, told.days_left - sum(p.days_likely for p in rest))
            changes.append(edit(told, days_left=left))
        sound(facts, changes, "activity")
        words = ", ".join(f"{p.id} ({in_days(p.days_likely)})" for p in parts[:6])
        more = f" and {len(parts) - 6} more" if len(parts) > 6 else ""
        total = sum((p.days_likely for p in parts), Fraction(0))
        grew = (
            f" Together {number(total)} days, for half a day is the least a part takes."
            if total > whole.days_likely else ""
        )  # fmt: skip
        return Work(changes, f"{title(facts, whole.id)} split, {self.order}: {words}{more}.{grew}"
                             f"{told_more}")  # fmt: skip

    @property
    def _in_row(self) -> bool:
        return self.order == "one after another"

    def _halves(self, facts: Facts, whole: Activity) -> list[Activity]:
        if whole.days_likely <= HALF:
            raise BadCommandError(
                ("activity", f"{title(facts, whole.id)} takes {in_days(whole.days_likely)}: too "
                             "little to split in two.")
            )  # fmt: skip
        first = self.days
        if first is None:
            first = Fraction((whole.days_likely * 2 + 1) // 2, 2)
        if not 0 < first < whole.days_likely:
            raise BadCommandError(
                ("days", f"the first part takes more than 0 and less than "
                         f"{number(whole.days_likely)} days.")
            )  # fmt: skip
        second = whole.days_likely - first
        made = parts_of(whole, [first, second], [free_id(facts, whole.id)], self._in_row)
        name = self.name or (f"{whole.name}, second part" if whole.name else "")
        return [made[0], made[1].model_copy(update={"name": name})]


def by_rooms(facts: Facts, whole: Activity, in_row: bool) -> list[Activity]:
    """Return a part for each room, its days in proportion to the floor."""
    every = facts.ids(Room) if whole.rooms == ("all",) else whole.rooms
    rooms = [facts.find(Room, id) for id in every if id != "all"]
    known = [r for r in rooms if r is not None]
    if not 2 <= len(known) <= MOST_PARTS:
        raise BadCommandError(
            ("by", f"{title(facts, whole.id)} names {len(known)} rooms: name 2 to {MOST_PARTS}.")
        )
    if not whole.days_likely:
        raise BadCommandError(("activity", f"{title(facts, whole.id)} is a milestone."))
    floors = [area([(float(x), float(y)) for x, y in room.outline]) for room in known]
    days = shares(whole.days_likely, floors)
    ids: list[str] = []
    for _ in known[1:]:
        ids.append(free_id(facts, ids[-1] if ids else whole.id, ids))
    made = parts_of(whole, days, ids, in_row)
    return [
        part.model_copy(update={
            "rooms": (room.id,),
            "name": f"{whole.name}, {room.name or room.id}" if whole.name else "",
        })
        for part, room in zip(made, known, strict=True)
    ]  # fmt: skip


def shares(days: Fraction, weights: Sequence[float]) -> list[Fraction]:
    """Return days split by weights in half days, none less than half a day.

    >>> [float(d) for d in shares(Fraction(5), [200.0, 100.0, 100.0])]
    [2.5, 1.5, 1.0]
    """
    total = sum(weights)
    fair = [float(days) * 2 * (w / total if total else 1 / len(weights)) for w in weights]
    halves = [1] * len(fair)
    for _ in range(int(days * 2) - len(fair)):
        least = max(range(len(fair)), key=lambda i: fair[i] - halves[i])
        halves[least] += 1
    return [Fraction(h, 2) for h in halves]


def parts_of(
    whole: Activity, days: Sequence[Fraction], ids: Sequence[str], in_row: bool
) -> list[Activity]:
    """Return parts with these days; the first keeps the id of the whole.

    Low and high go in proportion, to half days.
    """
    found = []
    for i, (id, likely) in enumerate(zip([whole.id, *ids], days, strict=True)):
        values: dict[str, Any] = {**dict(whole), "id": id, "days_likely": likely}
        for field in ("days_low", "days_high"):
            held = getattr(whole, field)
            if held is not None:
                part = Fraction(round(held * likely / whole.days_likely * 2), 2)
                low = field == "days_low"
                values[field] = min(part, likely) if low else max(part, likely)
        if in_row:  # a wait or a hold is the first part's, a promise the last's
            if i > 0:
                values |= {"not_before": None, "hold": "", "hold_until": None}
            if i < len(days) - 1:
                values["promised_by"] = None
        found.append(Activity.model_validate(values))
    return found


def in_a_row(facts: Facts, ids: Sequence[str]) -> list[Change]:
    """Return the links of parts that follow one another: those on the finish go to the last."""
    first, last = ids[0], ids[-1]
    changes: list[Change] = []
    for link in facts.where(Link, "after", first):
        if link.kind.endswith("finish"):
            changes += _moved(link, after=last)
    for link in facts.where(Link, "before", first):
        if link.kind.startswith("finish"):
            changes += _moved(link, before=last)
    return changes + [add(plain_link(a, b)) for a, b in pairwise(ids)]


def beside(facts: Facts, ids: Sequence[str]) -> list[Change]:
    """Return the links of parts that go on side by side: each has those of the whole."""
    changes: list[Change] = []
    for id in ids[1:]:
        for link in facts.where(Link, "after", ids[0]):
            changes += _moved(link, copy=True, after=id)
        for link in facts.where(Link, "before", ids[0]):
            changes += _moved(link, copy=True, before=id)
    return changes


def _moved(link: Link, *, copy: bool = False, **ends: str) -> list[Change]:
    values = {**dict(link), **ends}
    made = Link.model_validate(
        {**values, "id": link_id(values["before"], values["after"], link.kind)}
    )
    return [add(made)] if copy else [take_out(link), add(made)]
