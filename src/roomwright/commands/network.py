"""Commands on the network: add, edit and remove activities, many at once if need be."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Annotated, Any, ClassVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    edit,
    edited,
    need,
    take_out,
)
from roomwright.commands.network_joins import joins
from roomwright.commands.network_sound import (
    Days,
    Rooms,
    link_id,
    next_id,
    rooms_are_here,
    sound,
    title,
)
from roomwright.commands.progress import near_the_house
from roomwright.job.entities import KINDS, Activity, Fact, Id, Link, Progress, Text
from roomwright.job.facts import Change, Facts
from roomwright.job.rules import referring
from roomwright.job.words import named, number, value

FIELDS = (
    "name", "days_likely", "days_low", "days_high", "trade", "rooms", "note", "not_before",
    "promised_by", "hold", "hold_until",
)  # fmt: skip
"""Fields of an activity that people edit, in the order in which they are told."""

EMPTY: dict[str, Any] = {"name": "", "trade": "", "rooms": (), "note": "", "hold": ""}
"""What an empty field holds where that is not None."""

MOST = 500
"""So many activities may be changed in one step."""


def _of_fields(value: tuple[str, ...]) -> tuple[str, ...]:
    for field in value:
        if field not in FIELDS:
            raise ValueError(f"{field} is no field of an activity: {', '.join(FIELDS)}")
    return value


Shown = Annotated[Rooms, AfterValidator(_of_fields)]
"""Names of fields, with blanks between them."""


class Edits(BaseModel):
    """What an activity may be given; a field left out stays, an empty one is emptied."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    name: Text | None = None
    days_likely: Days | None = None
    days_low: Days | None = None
    days_high: Days | None = None
    trade: Text | None = None
    rooms: Rooms | None = None
    note: Text | None = None
    not_before: date | None = None
    promised_by: date | None = None
    hold: Text | None = None
    hold_until: date | None = None

    def said(self) -> dict[str, Any]:
        """Return the fields that were said, with their values as facts hold them."""
        found = {}
        for field in self.model_fields_set & set(FIELDS):
            held = getattr(self, field)
            found[field] = EMPTY.get(field) if held is None else held
        return found


def emptied(shown: tuple[str, ...]) -> dict[str, Any]:
    """Return the fields that a form showed, as if all were left empty."""
    return {field: EMPTY.get(field) for field in shown}


class AddActivity(Command):
    """Add work to the network, waiting for some activities and waited for by others."""

    command_name: ClassVar[str] = "add activity"

    activity: Id | None = None
    """Its id; the next free one if not given."""
    name: Text = ""
    days_likely: Days
    days_low: Days | None = None
    days_high: Days | None = None
    trade: Text = ""
    rooms: Rooms = ()
    note: Text = ""
    not_before: date | None = None
    promised_by: date | None = None
    hold: Text = ""
    hold_until: date | None = None
    after: Rooms = ()
    """Activities it waits for, finish to start; as ids with blanks between them."""
    before: Rooms = ()
    """Activities that wait for it."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the activity and its links."""
        id = self.activity or next_id(facts)
        if facts.find(Activity, id) is not None:
            raise BadCommandError(
                ("activity", f"{title(facts, id)} is there already: give this one another id.")
            )
        if not self.name and self.activity is None:
            raise BadCommandError(("name", "say what is done."))
        rooms_are_here(facts, self.rooms, "rooms")
        days_are_near(facts, dict(self), "")
        made = Activity(id=id, **{f: getattr(self, f) for f in FIELDS})
        in_order(made, "")
        changes = [add(made)]
        for field, others in (("after", self.after), ("before", self.before)):
            for other in others:
                need(facts, Activity, other, field)
                pair = (other, id) if field == "after" else (id, other)
                changes.append(add(plain_link(*pair)))
        field = "before" if self.before else "after"
        sound(facts, changes, field)
        waits = f", after {', '.join(self.after)}" if self.after else ""
        holds = f", before {', '.join(self.before)}" if self.before else ""
        return Work(changes, f"{f'{id} {self.name}'.strip()} added, "
                             f"{in_days(made.days_likely)}{waits}{holds}.")  # fmt: skip


class EditActivity(Edits, Command):
    """Change what is said of an activity: its name, days, trade, rooms, note."""

    command_name: ClassVar[str] = "edit activity"

    activity: Id
    shown: Shown = ()
    """Fields that the form showed: what was left empty there is emptied."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the activity as said."""
        said = {**emptied(self.shown), **self.said()}
        change, words = edited_activity(facts, self.activity, said, "")
        if change is None:
            return Work([], f"{title(facts, self.activity)} is so already.")
        return Work([change], f"{title(facts, self.activity)}: {words}.")


class EditedRow(Edits):
    """One activity of many."""

    activity: Id


class EditActivities(Command):
    """Change many activities in one step: all of them, or none."""

    command_name: ClassVar[str] = "edit activities"

    rows: tuple[EditedRow, ...] = Field(min_length=1, max_length=MOST)
    shown: Shown = ()
    """Fields that the form showed of each: what was left empty there is emptied."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return all of them as said; every row that can't be is named at once."""
        wrong: list[tuple[str, str]] = []
        changes: list[Change] = []
        told: list[str] = []
        seen: set[str] = set()
        for i, row in enumerate(self.rows):
            try:
                if row.activity in seen:
                    raise BadCommandError(("activity", f"{row.activity} stands twice."))
                seen.add(row.activity)
                change, words = edited_activity(
                    facts, row.activity, {**emptied(self.shown), **row.said()}, ""
                )
            except BadCommandError as error:
                wrong += [(f"rows.{i}.{field}", what) for field, what in error.problems]
                continue
            if change is not None:
                changes.append(change)
                told.append(f"{row.activity}: {words}")
        if wrong:
            raise BadCommandError(*wrong)
        if not changes:
            return Work([], "All of them are so already.")
        more = f"; and {len(told) - 4} more" if len(told) > 4 else ""
        return Work(changes, f"{len(changes)} changed. {'; '.join(told[:4])}{more}.")


class RemoveActivity(Command):
    """Take an activity out; what waited through it still waits.

    Each activity before it is joined to each that waited through it, with the lags added up. What
    needs the activity (a class of parts, say) goes to `instead`, or the removal is refused.
    """

    command_name: ClassVar[str] = "remove activity"

    activity: Id
    instead: Id | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the network without it."""
        gone = need(facts, Activity, self.activity, "activity")
        if self.instead == gone.id:
            raise BadCommandError(("instead", "name another activity than the one that goes."))
        if self.instead is not None:
            need(facts, Activity, self.instead, "instead")
        other = list(referring(facts, Activity.kind_name, gone.id))
        progress = [f for f in other if isinstance(f, Progress)]
        links = [f for f in other if isinstance(f, Link)]
        held = [f for f in other if not isinstance(f, Progress | Link)]
        if held and self.instead is None:
            names = ", ".join(named(f, f.kind_name, f.id) for f in held[:5])
            more = f" and {len(held) - 5} more" if len(held) > 5 else ""
            raise BadCommandError(
                ("instead", f"{names}{more} need {title(facts, gone.id)}: name the activity that "
                            "they need instead.")
            )  # fmt: skip
        moved = [_repointed(f, gone.id, self.instead or "") for f in held]
        joined, apart = joins(facts, gone.id, links)
        changes = [*map(take_out, links), *map(take_out, progress), *moved, *joined,
                   take_out(gone)]  # fmt: skip
        sound(facts, changes, "instead" if moved else "activity")
        told = ""
        if joined:
            pairs = ", ".join(f"{k.before} → {k.after}" for c in joined[:5]
                              if isinstance(k := c.after, Link))  # fmt: skip
            more = f" and {len(joined) - 5} more" if len(joined) > 5 else ""
            told = f" Joined: {pairs}{more}."
        if apart:
            more = f" and {len(apart) - 5} more" if len(apart) > 5 else ""
            told += (
                f" Not joined: {', '.join(apart[:5])}{more}; the first held only its finish, and "
                "the other waited only for its start."
            )
        if held:
            told += f" {len(held)} now need {title(facts, self.instead or '')}."
        if progress:
            told += " What was recorded of its work went with it; undo brings it back."
        return Work(changes, f"{title(facts, gone.id)} taken out.{told}")


def _repointed(fact: Fact, was: str, now: str) -> Change:
    """Return the change that lets a fact refer to another activity."""
    values: dict[str, Any] = {}
    for field, kind in KINDS[fact.kind_name].references.items():
        held = getattr(fact, field)
        if kind != Activity.kind_name:
            continue
        if isinstance(held, tuple) and was in held:
            values[field] = tuple(dict.fromkeys(now if one == was else one for one in held))
        elif held == was:
            if field == "id":
                raise BadCommandError(
                    ("activity", f"{named(fact, fact.kind_name, fact.id)} belongs to it: take that "
                                 "out first.")
                )  # fmt: skip
            values[field] = now
    return edit(fact, **values)


def edited_activity(
    facts: Facts, id: str, said: dict[str, Any], prefix: str
) -> tuple[Change | None, str]:
    """Return the change of an activity and its words; no change where it is so already."""
    held = need(facts, Activity, id, f"{prefix}activity")
    if "days_likely" in said and said["days_likely"] is None:
        raise BadCommandError((f"{prefix}days_likely", "working days are needed: 0 or more."))
    rooms_are_here(facts, said.get("rooms", ()), f"{prefix}rooms")
    days_are_near(facts, said, prefix)
    differs = {f: v for f, v in said.items() if v != getattr(held, f)}
    if not differs:
        return None, ""
    in_order(edited(held, **differs), prefix)
    words = ", ".join(
        f"{f.replace('_', ' ')} {value(Activity, f, differs[f])}" for f in FIELDS if f in differs
    )
    return edit(held, **differs), words


def days_are_near(facts: Facts, said: Mapping[str, Any], prefix: str) -> None:
    """Refuse a date that is years away from the house."""
    for field in ("not_before", "promised_by", "hold_until"):
        near_the_house(facts, f"{prefix}{field}", said.get(field))


def in_order(activity: Activity, prefix: str) -> None:
    """Refuse days that do not rise from low over likely to high."""
    low, likely, high = activity.days_low, activity.days_likely, activity.days_high
    if low is not None and low > likely:
        raise BadCommandError(
            (f"{prefix}days_low", f"{number(low)} at best is more than {number(likely)} likely: "
                                  "swap them.")
        )  # fmt: skip
    if high is not None and high < likely:
        raise BadCommandError(
            (f"{prefix}days_high", f"{number(high)} at worst is less than {number(likely)} likely: "
                                   "swap them.")
        )  # fmt: skip


def plain_link(before: str, after: str) -> Link:
    """Return a link finish to start, without a lag."""
    return Link(id=link_id(before, after, "finish to start"), before=before, after=after)


def in_days(days: Fraction) -> str:
    """Return a duration in words: 2 1/2 days, or a milestone."""
    if not days:
        return "a milestone"
    return f"{number(days)} {'day' if days <= 1 else 'days'}"
