"""Commands on links: which activity waits for which, and how."""

from __future__ import annotations

from typing import Any, ClassVar, Literal

from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    edit,
    need,
    take_out,
)
from roomwright.commands.network_sound import Lag, link_id, sound, title
from roomwright.job.entities import Activity, Id, Link, LinkKind, Text
from roomwright.job.facts import Facts
from roomwright.job.words import number

LagCounts = Literal["working", "elapsed"]


class LinkActivities(Command):
    """Let one activity wait for another; a loop is refused with its activities named."""

    command_name: ClassVar[str] = "link"

    before: Id
    after: Id
    kind: LinkKind = "finish to start"
    lag_days: Lag | None = None
    lag_counts: LagCounts = "working"
    reason: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the link."""
        need(facts, Activity, self.before, "before")
        need(facts, Activity, self.after, "after")
        made = a_link(self.before, self.after, self.kind, self.lag_days or 0, self.lag_counts,
                      self.reason)  # fmt: skip
        held = facts.find(Link, made.id)
        if held is not None:
            raise BadCommandError(
                ("after", f"{in_words(facts, held)} already: change that link instead.")
            )
        changes = [add(made)]
        sound(facts, changes, "after")
        return Work(changes, f"{in_words(facts, made)}.")


class EditLink(Command):
    """Change a link: how it holds, its lag, its reason. A field left out stays."""

    command_name: ClassVar[str] = "edit link"

    link: Id
    kind: LinkKind | None = None
    lag_days: Lag | None = None
    lag_counts: LagCounts | None = None
    reason: Text | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the link as said; another kind is another link in its place."""
        held = need(facts, Link, self.link, "link")
        values: dict[str, Any] = {
            f: v for f in ("kind", "lag_days", "lag_counts", "reason")
            if (v := getattr(self, f)) is not None and v != getattr(held, f)
        }  # fmt: skip
        if not values:
            return Work([], f"{in_words(facts, held)}: it is so already.")
        if "kind" not in values:
            return Work([edit(held, **values)], f"{in_words(facts, held, **values)}.")
        id = link_id(held.before, held.after, values["kind"])
        if facts.find(Link, id) is not None:
            raise BadCommandError(("kind", f"there is such a link between the two already: {id}."))
        made = Link.model_validate({**dict(held), **values, "id": id})
        return Work([take_out(held), add(made)], f"{in_words(facts, made)}.")


class Unlink(Command):
    """Take a link out."""

    command_name: ClassVar[str] = "unlink"

    link: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the network without it."""
        held = need(facts, Link, self.link, "link")
        return Work(
            [take_out(held)],
            f"{title(facts, held.after)} no longer waits for {title(facts, held.before)} "
            f"({held.kind}).",
        )


def a_link(before: str, after: str, kind: str, lag_days: Any, lag_counts: str, reason: str) -> Link:
    """Return a link; an activity that would wait for itself is refused."""
    if before == after:
        raise BadCommandError(("after", f"{after} can't wait for itself: choose another activity."))
    return Link.model_validate({
        "id": link_id(before, after, kind), "before": before, "after": after, "kind": kind,
        "lag_days": lag_days, "lag_counts": lag_counts, "reason": reason,
    })  # fmt: skip


HOW = {
    "finish to start": "starts after {} is finished",
    "start to start": "starts after {} has started",
    "finish to finish": "finishes after {} is finished",
    "start to finish": "finishes after {} has started",
}
"""What each kind of link says of the activity that waits."""


def in_words(facts: Facts, link: Link, **values: Any) -> str:
    """Return a link as a sentence without its full stop."""
    return f"{title(facts, link.after)} {waits(link, title(facts, link.before), **values)}"


def waits(link: Link, before: str, **values: Any) -> str:
    """Return how the activity behind a link waits for the one before it, called `before`.

    >>> waits(a_link("A", "B", "finish to start", 2, "elapsed", "curing"), "this")
    'starts after this is finished, 2 elapsed days later (curing)'
    """
    shown = {**dict(link), **values}
    lag = shown["lag_days"]
    wait = ""
    if lag:
        unit = "day" if abs(lag) <= 1 else "days"
        later = "later" if lag > 0 else "earlier"
        wait = f", {number(abs(lag))} {shown['lag_counts']} {unit} {later}"
    why = f" ({shown['reason']})" if shown["reason"] else ""
    return f"{HOW[shown['kind']].format(before)}{wait}{why}"
