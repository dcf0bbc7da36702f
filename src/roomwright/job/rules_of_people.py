"""Rules of choices, change orders and calls. The reader of folders holds the same."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from roomwright.job.entities import Call, ChangeOrder, Choice
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts
from roomwright.job.rules_of_supply import Fault
from roomwright.job.words import day, named


def faults(facts: Facts) -> Iterator[Fault]:
    """Yield all that is wrong with what people decide, agree and say."""
    for choice in facts.all(Choice):
        yield from of_choice(choice)
    for change in facts.all(ChangeOrder):
        yield from of_change(change)
    for call in facts.all(Call):
        yield from of_call(call)


def of_choice(choice: Choice) -> Iterator[Fault]:
    """What was decided has its day, and the other way round."""
    if not choice.what.strip():
        yield Fault("choice", choice.id, "what", "does not say what is to be chosen", "say it")
    if choice.decided and not choice.decision.strip():
        yield Fault("choice", choice.id, "decision", f"was decided on {day(choice.decided)}, but "
                    "not what", "say what was decided, or clear the day")  # fmt: skip
    if choice.decision.strip() and not choice.decided:
        yield Fault("choice", choice.id, "decided", "says what was decided, but not when",
                    "give the day, or clear the decision")  # fmt: skip


def of_change(change: ChangeOrder) -> Iterator[Fault]:
    """A signature is a name and a day, after it was asked for; days belong to some work."""
    kind, id = "change_order", change.id
    if not change.title.strip():
        yield Fault(kind, id, "title", "has no title", "say the change in a few words")
    if change.agreed_on and not change.agreed_by.strip():
        yield Fault(kind, id, "agreed_by", f"was signed on {day(change.agreed_on)}, but not by "
                    "whom", "give the name, or clear the day")  # fmt: skip
    if change.agreed_by.strip() and not change.agreed_on:
        yield Fault(kind, id, "agreed_on", "has a name under it, but no day",
                    "give the day, or clear the name")  # fmt: skip
    if change.asked_on and change.agreed_on and change.agreed_on < change.asked_on:
        yield Fault(kind, id, "agreed_on", f"was signed on {day(change.agreed_on)}, before it was "
                    f"asked for on {day(change.asked_on)}",
                    "correct one of the two dates")  # fmt: skip
    if change.days and not change.activities:
        yield Fault(kind, id, "activities", f"says {change.days} days, but no work that takes them",
                    "name the activity, or 0 days")  # fmt: skip
    if change.taken_by and change.taken_by not in change.activities:
        yield Fault(kind, id, "taken_by", f"has its days in {change.taken_by}, which it does not "
                    "touch", "name one of its activities, or nothing")  # fmt: skip


def of_call(call: Call) -> Iterator[Fault]:
    """Only who can't come on the day says another."""
    if call.day and call.said != "another day":
        yield Fault("call", call.id, "day", "names another day, but says “" + call.said + "”",
                    "say another day, or clear it")  # fmt: skip


def people_make_sense(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Choices, change orders and calls say what they must."""
    for c in changes:
        f = c.after
        found: Iterator[Fault]
        if isinstance(f, Choice):
            found = of_choice(f)
        elif isinstance(f, ChangeOrder):
            found = of_change(f)
        elif isinstance(f, Call):
            found = of_call(f)
        else:
            continue
        for each in found:
            message = f"{named(f, c.kind, c.id)} {each.wrong}: {each.do}."
            yield Problem(c.kind, c.id, each.field, message)


people_rules = (people_make_sense,)
