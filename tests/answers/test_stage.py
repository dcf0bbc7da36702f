"""Whether the walls are closed, from the schedule."""

from datetime import date

import pytest
from tests.answers import demo_house

from roomwright.answers.rooms import space_of
from roomwright.answers.stage import walls_closed
from roomwright.job.entities import Activity, Progress
from roomwright.job.facts import Change


def supposing(*facts, without=()):
    base = demo_house.answers()
    changes = [Change(f.kind_name, f.id, base.facts.fact(f.kind_name, f.id), f) for f in facts]
    changes += [Change(k, i, base.facts.fact(k, i), None) for k, i in without]
    return base.supposing(changes)


def test_the_demo_has_its_board_hung():
    assert demo_house.answers().ask(walls_closed) is (
        demo_house.facts().find(Progress, "A010") is not None
    )


@pytest.mark.parametrize("name", ["Hang drywall", "Board hanging, level 2", "hang gypsum board"])
def test_board_that_is_not_started_leaves_the_walls_open(name):
    here = supposing(Activity(id="A010", name=name, days_likely=4), without=_progress())
    assert here.ask(walls_closed) is False
    assert here.ask(space_of, ("101",)).closed is False
    started = here.supposing([Change("progress", "A010", None, Progress(
        id="A010", started=date(2027, 1, 19)))])  # fmt: skip
    assert started.ask(walls_closed) is True


def _progress():
    return [("progress", "A010")] if demo_house.facts().find(Progress, "A010") else []


def test_without_such_an_activity_they_count_as_closed():
    here = supposing(Activity(id="A010", name="Hang doors", days_likely=4))
    assert here.ask(walls_closed) is True
