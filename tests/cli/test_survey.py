"""The command survey: text, JSON, recording readings, and what it refuses."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from roomwright.cli.app import app

ROOT = Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "examples" / "tern-hollow")


def run(*args: str):
    return CliRunner().invoke(app, ["survey", *args])


def test_the_doubtful_reading_its_rivals_and_what_to_tape_next_are_told():
    out = run(DEMO, "108").stdout
    for told in (
        "Living 108, board face", "doubtful, not used",
        "A to C 23'-2 5/8\" is about 6 1/8\" too short: not used.",
        "It could also be one of A to B, B to C, B to D, C to D, D to A.",
        "Next, tape A to C again", "5/8\" longer",
    ):  # fmt: skip
        assert told in out


def test_strict_ends_with_1_where_a_reading_is_doubtful():
    assert run(DEMO, "108", "--strict").exit_code == 1
    assert run(DEMO, "204", "--strict").exit_code == 0
    assert "Nothing has been taped" in run(DEMO, "102").stdout


def test_json():
    found = json.loads(run(DEMO, "101", "--json").stdout)
    assert (found["schema"], found["room"]) == ("roomwright/survey", "101")
    assert [r["id"] for r in found["readings"] if r["suspect"]] == ["101/B-C/1"]


@pytest.fixture
def store(tmp_path) -> str:
    url = str(tmp_path / "houses.db")
    CliRunner().invoke(app, ["load", DEMO, "--store", url], catch_exceptions=False)
    return url


def test_readings_are_recorded_in_a_stored_house(store):
    taken = ("--on", "2027-03-30", "--by", "Ana", "--face", "board", "--store", store)
    done = run(
        "tern-hollow",
        "108",
        "--read",
        "A to C 23 8 3/4",
        "--read",
        "middle to ceiling 107 7/8",
        *taken,
    )
    assert done.exit_code == 0
    assert "2 readings of Living recorded (board face): A to C 23'-8 3/4\"" in done.stdout
    assert "Ceiling" in done.stdout
    found = json.loads(run("tern-hollow", "108", "--json", "--store", store).stdout)
    new = next(r for r in found["readings"] if r["id"] == "108/A-C/2")
    assert (new["on"], new["by"], new["suspect"]) == ("2027-03-30", "Ana", False)
    assert [r["rivals"] for r in found["readings"] if r["suspect"]] == [[]], "now it is sure"


def test_what_is_not_understood_is_refused_and_nothing_recorded(store):
    done = run(
        "tern-hollow", "108", "--read", "A to C 284", "--read", "A to Q 90", "--store", store
    )
    assert done.exit_code == 2
    found = json.loads(run("tern-hollow", "108", "--json", "--store", store).stdout)
    assert len(found["readings"]) == 6
    assert run("tern-hollow", "999", "--store", store).exit_code == 2


def test_a_folder_is_not_written_to():
    done = run(DEMO, "108", "--read", "A to C 284")
    assert done.exit_code == 2
    assert "readings.csv" in done.stderr
