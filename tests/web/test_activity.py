"""An activity's page: what can hurt someone, what its chance rests on, what was done to it."""

from types import SimpleNamespace

import pytest
from tests.answers.demo_house import answers
from tests.web.conftest import HOUSE

from roomwright.job.entities import Activity
from roomwright.web import activity
from roomwright.web.activity import history, rule


@pytest.mark.parametrize(
    ("activity", "words"),
    [
        ("A045", "keep temporary alarms working"),  # the heat itself
        ("A345", "keep temporary alarms working"),  # what ends it
        ("A245", "Open stair"),
        ("A320", "Gas: shut it off"),  # range gas stop
        ("A335", "Power off, locked off"),  # kitchen devices
        ("A340", "Power off, locked off"),
        ("A350", "Power off, locked off"),  # panel directory
        ("A405", "anti-tip bracket"),
        ("A360", "flue gas"),  # the hood, weeks ahead
        ("A505", "Strap chests"),
        ("A095", "dry dust"),
    ],
)
def test_the_page_of_the_work_warns(reading, activity, words):
    shown = reading.get(f"{HOUSE}/work/{activity}").text
    assert words in shown
    assert "Follow local code and licensed practice." in shown


def test_work_that_hurts_nobody_has_no_caution(reading):
    assert "Caution." not in reading.get(f"{HOUSE}/work/A485").text


class _Desk:
    """A desk whose journal has so many entries that change one activity."""

    def __init__(self, many):
        change = SimpleNamespace(kind="progress", before=None, after=SimpleNamespace(id="A1"))
        self.entries = [SimpleNamespace(changes=[change])] * many
        self.store = self

    def last(self, _house, limit):
        return self.entries[:limit]


@pytest.mark.parametrize(
    ("many", "shown", "says"),
    [(0, 0, ""), (40, 40, ""), (41, 40, "The last 40"), (600, 40, "The last 40")],
)
def test_a_history_that_is_cut_says_so(many, shown, says):
    found, said = history(_Desk(many), "h", "A1")
    assert len(found) == shown
    assert said.startswith(says)
    assert bool(said) == bool(says)


def test_a_history_of_a_long_journal_may_have_older_ones():
    found, said = history(_Desk(600), "h", "A2")
    assert found == []
    assert "last 500 entries" in said


def test_a_chance_says_whether_history_stands_behind_it(monkeypatch):
    house = SimpleNamespace(answers=answers())
    tile = house.answers.facts.get(Activity, "A095")
    assert rule(house, tile, 300).endswith("worked through 300 times with the days that were said "
                                           "of each: a guess, not history")  # fmt: skip
    asked = SimpleNamespace(ask=lambda query: query())
    pace = SimpleNamespace(is_history=True, deliveries=12)
    monkeypatch.setattr(activity, "crews", lambda: SimpleNamespace(paces={"tile": pace}))
    monkeypatch.setattr(activity, "known", lambda: ())
    assert rule(SimpleNamespace(answers=asked), tile, 10_000).endswith(
        "10,000 times with the days that were said of each, its own times the pace of tile in its "
        "12 works so far"
    )
