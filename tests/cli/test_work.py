"""dates --on and import-work: who is where, and work out of a sheet."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from roomwright.cli.app import app

DEMO = str(Path(__file__).resolve().parents[2] / "examples" / "tern-hollow")


def run(*args):
    return CliRunner().invoke(app, list(args), catch_exceptions=False)


def test_who_is_in_a_room_on_a_day():
    done = run("dates", DEMO, "--on", "2027-04-15", "--room", "101")
    assert "Thu Apr 15, 2027, Dining 101" in done.stdout
    assert "A150 Lay wood plank" in done.stdout
    assert "555-0149" in done.stdout
    assert run("dates", DEMO, "--on", "2027-04-15", "--room", "999").exit_code == 2


def test_json_says_the_same_by_day():
    found = json.loads(run("dates", DEMO, "--on", "2027-04-16", "--days", "2", "--json").stdout)
    assert found["schema"] == "roomwright/who"
    assert [(d["on"], d["works"]) for d in found["days"]] == [
        ("2027-04-16", True), ("2027-04-17", False),
    ]  # fmt: skip
    assert found["days"][1]["activities"] == []
    assert {"activity", "people", "rooms", "last_day"} <= set(found["days"][0]["activities"][0])


@pytest.fixture
def stored(tmp_path):
    store = f"sqlite:///{tmp_path}/s.db"
    assert run("load", DEMO, "--store", store).exit_code == 0

    def runs(*args):
        return run(*args, "--store", store)

    return runs


def test_a_sheet_is_shown_and_stored_only_when_said(stored, tmp_path):
    sheet = tmp_path / "more.csv"
    sheet.write_text("Task,Length,Waits for\nOil the stair,2,A175\nWax it,1,Oil the stair\n")
    done = stored("import-work", "tern-hollow", str(sheet))
    assert done.exit_code == 2  # no column is named days yet
    column = ("--column", "B=days_likely")
    names = ("--column", "A=name", "--column", "C=after")
    done = stored("import-work", "tern-hollow", str(sheet), *column, *names)
    assert done.exit_code == 0, done.output
    assert "2 activities added, 2 links" in done.stdout
    assert "Nothing was stored yet" in done.stdout
    done = stored("import-work", "tern-hollow", str(sheet), *column, *names, "--keep")
    assert "Taken from more.csv" in done.stdout
    found = json.loads(stored("dates", "tern-hollow", "--json").stdout)
    assert len(found["activities"]) == 104


def test_errors_name_their_cells(stored, tmp_path):
    sheet = tmp_path / "more.csv"
    sheet.write_text("Task,Days,Room\nOil,x,\nWax,1,999\n")
    done = stored("import-work", "tern-hollow", str(sheet))
    assert (done.exit_code, "more!B2" in done.stderr) == (2, True)
    sheet.write_text("Task,Days,Room\nWax,1,999\n")
    assert (
        "more!C2: there is no room “999”" in stored("import-work", "tern-hollow", str(sheet)).stderr
    )
    assert stored("import-work", "tern-hollow", str(sheet), "--column", "B=days").exit_code == 2
