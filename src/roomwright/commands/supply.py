"""Commands on supply: vendors, the steps of lead chains, field measures."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any, ClassVar, Literal

from pydantic import Field, field_validator

from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    capital,
    edit,
    need,
    take_out,
)
from roomwright.commands.progress import near_the_house
from roomwright.commands.shown import Shown, differences, emptied
from roomwright.exchange.cells import ids
from roomwright.exchange.rows import short_id
from roomwright.job.entities import (
    Activity,
    Fact,
    FieldMeasure,
    Id,
    LeadStep,
    Number,
    Part,
    PartClass,
    Progress,
    Step,
    Text,
    Vendor,
    measure_told,
    owner_id,
)
from roomwright.job.facts import Change, Facts
from roomwright.job.words import day, number
from roomwright.schedule import Progress as Told
from roomwright.supply.measure import Condition, MeasureError, check_measure

_VENDOR: dict[str, Any] = {"name": "", "phone": "", "claim_days": None, "calendar": "", "note": ""}


class SetVendor(Command):
    """What is known of a vendor; only what is given changes."""

    command_name: ClassVar[str] = "set vendor"

    vendor: Id
    name: Text = ""
    phone: Text = ""
    claim_days: int | None = Field(default=None, ge=0, le=365)
    calendar: str = Field(default="", max_length=80)
    note: Text = ""
    shown: Shown = ()
    """Fields that the form showed: what was left empty there is emptied."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the vendor."""
        given = {f: v for f, v in _given(self).items() if f not in ("vendor", "shown")}
        said = emptied(self.shown, _VENDOR) | given
        held = facts.find(Vendor, self.vendor)
        told = differences(Vendor, held, said)
        if self.shown and not told:
            return Work([], f"Vendor {self.vendor}: so already.")
        change = _set(held, Vendor, self.vendor, said)
        return Work([change], f"Vendor {self.vendor}: {', '.join(told) or 'noted'}.")


class _Owned(Command):
    """A command on something of a class or of one line."""

    part_class: str = Field(default="", max_length=80)
    line: str = Field(default="", max_length=80)

    def owner(self, facts: Facts) -> str:
        """Return ``class X`` or ``line L172``, or refuse in words."""
        if bool(self.part_class) == bool(self.line):
            raise BadCommandError(("line", "name a line of the plan, or a class of parts."))
        if self.line:
            need(facts, Part, self.line, "line")
        else:
            need(facts, PartClass, self.part_class, "part_class")
        return owner_id(self.part_class, self.line)


class SetStep(_Owned):
    """One step of the lead chain of a class, or of one line; without days and skip it goes."""

    command_name: ClassVar[str] = "set step"

    step: Step
    days_low: Number | None = None
    days_likely: Number | None = None
    days_high: Number | None = None
    counts: Literal["working", "elapsed"] = "working"
    order_here: Literal["", "yes"] = ""
    skip: Literal["", "yes"] = ""
    name: Text = ""
    note: Text = ""
    shown: Shown = ()
    """Which of name and note the form showed: left empty there they are emptied."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the step."""
        id = short_id(f"{self.owner(facts)}/{self.step}")
        held = facts.find(LeadStep, id)
        what = f"{capital(owner_id(self.part_class, self.line))}, {self.step}"
        if self.days_likely is None and not self.skip:
            if self.days_low is not None or self.days_high is not None:
                raise BadCommandError(("days_likely", "type the days it likely takes."))
            if held is None:
                raise BadCommandError(("days_likely", "type the days it likely takes; 0 is fine."))
            return Work([take_out(held)], f"{what}: taken out.")
        given = {f: v for f, v in _given(self).items() if f != "shown"}
        said = emptied(self.shown, {"name": "", "note": ""}) | given
        said |= {
            f: getattr(self, f)
            for f in ("days_low", "days_likely", "days_high", "counts", "order_here", "skip")
        }
        change = _set(held, LeadStep, id, said)
        if self.skip:
            return Work([change], f"{what}: this line does without it.")
        low, high, likely = self.days_low, self.days_high, number(self.days_likely or Fraction(0))
        ends = f" ({number(low)} to {number(high)})" if low is not None and high is not None else ""
        return Work([change], f"{what}: {likely} {self.counts} days{ends}.")


class SetMeasure(_Owned):
    """What a field measure of a class or a line waits for, and what work spoils it; empty: none."""

    command_name: ClassVar[str] = "set measure"

    after: tuple[Id, ...] = Field(default=(), max_length=100)
    expires_by: tuple[Id, ...] = Field(default=(), max_length=100)
    words: Text = ""
    note: Text = ""

    @field_validator("after", "expires_by", mode="before")
    @classmethod
    def _typed(cls, given: Any) -> Any:
        """Take ids as they are typed, with blanks or commas between them."""
        return ids(given) if isinstance(given, str) else given

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the measure with its condition."""
        id = self.owner(facts)
        for field in ("after", "expires_by"):
            for activity in getattr(self, field):
                need(facts, Activity, activity, field)
        held = facts.find(FieldMeasure, id)
        if not (self.after or self.expires_by or self.words):
            if held is None:
                raise BadCommandError(("after", "name the work that must be done before it."))
            if held.on is not None:
                kept = edit(held, after=(), expires_by=(), words="")
                return Work([kept], f"Measure of {id}: waits for nothing of its own.")
            return Work([take_out(held)], f"Measure of {id}: none.")
        said = _given(self)
        said |= {f: getattr(self, f) for f in ("after", "expires_by", "words")}
        waits = f"after {', '.join(self.after)}" if self.after else self.words
        spoiled = f"spoiled by {', '.join(self.expires_by)}" if self.expires_by else ""
        told = "; ".join(filter(None, (waits, spoiled)))
        return Work([_set(held, FieldMeasure, id, said)], f"Measure of {id}: {told}.")


class RecordMeasure(_Owned):
    """A field measure was taken; refused while what it waits for is not done."""

    command_name: ClassVar[str] = "record measure"

    on: date
    by: Text = ""
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the measure with its day."""
        id = self.owner(facts)
        near_the_house(facts, "on", self.on)
        part = facts.find(Part, self.line)
        of = self.part_class or (part.part_class if part else "")
        held = facts.find(FieldMeasure, id)
        told = measure_told(facts.find(FieldMeasure, f"class {of}"), held if self.line else None)
        if told is None:
            self._refuse_unknown(facts, of)
        else:
            _check(facts, told, self.on)
        said: dict[str, Any] = {"on": self.on, "by": self.by}
        if self.note:
            said["note"] = self.note
        said |= {"part_class": self.part_class, "line": self.line}
        again = f" again (was {day(held.on)})" if held is not None and held.on else ""
        by = f" by {self.by}" if self.by else ""
        return Work(
            [_set(held, FieldMeasure, id, said)],
            f"{capital(id)} measured {day(self.on)}{by}{again}.",
        )

    def _refuse_unknown(self, facts: Facts, of: str) -> None:
        """Where an activity of the network is the measure, its finish is the record."""
        part_class = facts.find(PartClass, of)
        first = part_class.order_after if part_class else None
        if first:
            activity = facts.find(Activity, first)
            name = f"{first} {activity.name}".strip() if activity else first
            raise BadCommandError(
                ("line", f"the measure of class {of} is {name}: record that it is finished.")
            )


def _check(facts: Facts, told: FieldMeasure, on: date) -> None:
    """Refuse a measure before it is true, with the names of the work that is not done."""
    names = {i: f"{i} {a.name}".strip() for i in told.after if (a := facts.find(Activity, i))}
    progress = {
        i: Told(p.started, p.finished)
        for i in told.after
        if (p := facts.find(Progress, i)) and p.finished
    }
    try:
        check_measure(Condition(told.after, told.expires_by, told.words), on, progress, names)
    except MeasureError as no:
        raise BadCommandError(("on", str(no))) from None


def _given(command: Command) -> dict[str, Any]:
    """Return the fields that were given, in their order."""
    given = command.model_fields_set
    return {f: getattr(command, f) for f in type(command).model_fields if f in given}


def _set(held: Fact | None, model: type[Fact], id: str, said: dict[str, Any]) -> Change:
    """Return the change that makes or edits a fact."""
    if held is not None:
        return edit(held, **said)
    return add(model.model_validate({"id": id, **said}))
