"""The command that takes activities and links from a spreadsheet: all of them, or none."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field

from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, need
from roomwright.commands.network import EMPTY, Edits, edited_activity, in_order
from roomwright.commands.network_links import LagCounts, a_link
from roomwright.commands.network_sound import Days, Lag, rooms_are_here, sound, title
from roomwright.job.entities import Activity, Id, Link, LinkKind, Text
from roomwright.job.facts import Change, Facts

MOST = 3_000


class ImportedActivity(Edits):
    """One activity of a sheet; a field without a column stays as it is here."""

    activity: Id
    days_likely: Days


class ImportedLink(BaseModel):
    """One link of a sheet."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    before: Id
    after: Id
    kind: LinkKind = "finish to start"
    lag_days: Lag | None = None
    lag_counts: LagCounts = "working"
    reason: Text = ""


class ImportWork(Command):
    """Take activities and links in one step.

    Ids that are here already are refused, or with ``clash="change"`` changed where the sheet says
    otherwise; nothing is ever taken away.
    """

    command_name: ClassVar[str] = "import work"

    activities: tuple[ImportedActivity, ...] = Field(default=(), max_length=MOST)
    links: tuple[ImportedLink, ...] = Field(default=(), max_length=2 * MOST)
    clash: Literal["refuse", "change"] = "refuse"
    source: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the activities and links, or every one that can't be."""
        if not self.activities and not self.links:
            raise BadCommandError(("activities", "there is nothing to take."))
        wrong: list[tuple[str, str]] = []
        changes: list[Change] = []
        seen: set[str] = set()
        for i, row in enumerate(self.activities):
            try:
                if row.activity in seen:
                    raise BadCommandError(("activity", f"{row.activity} stands twice."))
                seen.add(row.activity)
                changes += self._activity(facts, row)
            except BadCommandError as error:
                wrong += [(f"activities.{i}.{field}", what) for field, what in error.problems]
        added = sum(c.before is None for c in changes)
        changed = len(changes) - added
        after = facts.changed(changes)
        links: dict[str, Change] = {}
        for i, one in enumerate(self.links):
            try:
                change = self._link(after, one)
            except BadCommandError as error:
                wrong += [(f"links.{i}.{field}", what) for field, what in error.problems]
                continue
            if change is not None and links.setdefault(change.id, change).after != change.after:
                wrong.append((f"links.{i}.after", f"{change.id} stands twice, with other lags."))
        if wrong:
            raise BadCommandError(*wrong)
        changes += links.values()
        sound(facts, changes, "links")
        if not changes:
            return Work([], "All of it is here already.")
        parts = [f"{added} activities added" if added != 1 else "1 activity added"]
        parts += [f"{changed} changed"] * bool(changed) + [f"{len(links)} links"] * bool(links)
        from_ = f" from {self.source}" if self.source else ""
        return Work(changes, f"Taken{from_}: {', '.join(parts)}.")

    def _activity(self, facts: Facts, row: ImportedActivity) -> list[Change]:
        held = facts.find(Activity, row.activity)
        if held is None:
            rooms_are_here(facts, row.rooms or (), "rooms")
            values = {**EMPTY, **row.said()}
            made = Activity.model_validate({"id": row.activity, **values})
            in_order(made, "")
            return [add(made)]
        if self.clash == "refuse":
            raise BadCommandError(
                ("activity", f"{title(facts, row.activity)} is here already: give it another id, "
                             "or choose that the sheet changes what is here.")
            )  # fmt: skip
        change, _ = edited_activity(facts, row.activity, row.said(), "")
        return [] if change is None else [change]

    def _link(self, facts: Facts, one: ImportedLink) -> Change | None:
        need(facts, Activity, one.before, "before")
        need(facts, Activity, one.after, "after")
        made = a_link(
            one.before, one.after, one.kind, one.lag_days or 0, one.lag_counts, one.reason
        )
        held = facts.find(Link, made.id)
        if held is None:
            return add(made)
        if held == made:
            return None
        if self.clash == "refuse":
            raise BadCommandError(
                ("after", f"{made.id} is here already, with another lag or reason: choose that the "
                          "sheet changes what is here.")
            )  # fmt: skip
        return edit(held, lag_days=made.lag_days, lag_counts=made.lag_counts, reason=made.reason)
