"""Crews: levelled plans of the demo, proved, against the plain dates that know no crews."""

from __future__ import annotations

from datetime import date

from roomwright.answers import Answers
from roomwright.answers.crews import crews
from roomwright.answers.dates import calendar
from roomwright.answers.look_ahead import look_ahead
from roomwright.answers.whole_network import whole
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path
from roomwright.job.entities import Activity, Booking
from roomwright.job.facts import Change
from roomwright.schedule import passes
from roomwright.sheets import look_ahead as paper

DAY = date(2027, 3, 29)
UNTIL = date(2027, 7, 1)
FACTS = read_folder(example_path("tern-hollow")).facts
DEMO = Answers(FACTS, as_of=DAY)
WHOLE = DEMO.ask(whole)
PLAN = DEMO.ask(crews).plan


def _fresh(answers: Answers) -> Answers:
    """Answers that know the whole network and nothing of crews."""
    made = Answers(answers.facts, as_of=DAY)
    made.ask(whole)
    return made


def _booked() -> Answers:
    """The demo with everything until July booked, and the wall tile three days longer."""
    work = [a for a in FACTS.all(Activity) if a.days_likely and PLAN[a.id].state == "to do"]
    days = {a.id: PLAN[a.id].first_day for a in work}
    held = FACTS.get(Activity, "A095")
    longer = Activity.model_validate({**dict(held), "days_likely": 8, "days_high": 9})
    return DEMO.supposing(
        [Change("activity", "A095", held, longer)]
        + [
            Change("booking", id, None, Booking(id=id, first_day=day))
            for id, day in days.items()
            if day < UNTIL
        ]
    )


SLIPPED = _booked()
BOOKED = len(SLIPPED.facts.all(Booking))
assert SLIPPED.ask(crews).plan.proved


def _plain() -> object:
    return passes(WHOLE.network, DEMO.ask(calendar), DAY, WHOLE.progress,
                  not_before=WHOLE.not_before)  # fmt: skip


_SIZE = f"demo, {len(WHOLE.network)} activities"
CASES = [
    (
        "leveled plan, clashes, limits",
        _SIZE,
        1000.0,
        lambda: _fresh(DEMO).ask(crews),
        "the plain passes",
        _plain,
    ),
    (
        "after a slip: fewest bookings changed, proved; choices",
        f"{_SIZE}, {BOOKED} bookings",
        5000.0,
        lambda: _fresh(SLIPPED).ask(crews),
        "",
        None,
    ),
    (
        "weeks ahead for the wall as PDF",
        "demo, 3 weeks",
        500.0,
        lambda: paper.pdf(DEMO.ask(look_ahead, DAY), printed="Mar 29, 2027"),
        "",
        None,
    ),
]
