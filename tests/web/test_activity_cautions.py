"""What can hurt someone stands on the page of the work where it happens."""

import pytest

from .conftest import HOUSE


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
