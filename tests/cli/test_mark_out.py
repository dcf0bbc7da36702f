"""The command mark-out: text, words, JSON, papers, and what it refuses."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from roomwright.cli.app import app

ROOT = Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "examples" / "tern-hollow")
DOCS = (ROOT / "docs" / "json.md").read_text(encoding="utf-8")


def run(*args):
    return CliRunner().invoke(app, ["mark-out", DEMO, *args], catch_exceptions=False)


def test_text_says_steps_sticks_and_cautions():
    done = run("101")
    assert done.exit_code == 0
    for words in (
        "Dining 101, mark-out", "1. holder: Hold the end of the tape", "Sticks to cut",
        "2 of 3'-8\"", "CAUTION", "Follow local code and licensed practice.",
    ):  # fmt: skip
        assert words in done.stdout


def test_aloud_has_no_marks_of_feet_and_inches_in_its_steps():
    steps = run("101", "--aloud").stdout.split("Sticks to cut")[0].splitlines()[3:]
    assert steps
    assert not any('"' in row for row in steps)


def test_json_fields_are_documented():
    found = json.loads(run("101", "--method", "baseline", "--json").stdout)
    assert found["schema"] == "roomwright/mark-out"
    assert found["marked"] == ["T1"]
    assert found["baselines"][0]["points"][0]["along_in"] == 39

    def names(value):
        if isinstance(value, dict):
            for key, inner in value.items():
                yield key
                yield from names(inner)
        elif isinstance(value, list):
            for inner in value:
                yield from names(inner)

    section = DOCS.split("## mark-out HOUSE ROOM")[1].split("\n## ")[0] + DOCS.split("\n## ")[0]
    ties = json.loads(run("101", "--json").stdout)
    missing = {n for n in (*names(found), *names(ties)) if f"`{n}`" not in section}
    assert missing == set()


def test_papers_are_written(tmp_path):
    sheet, pole = tmp_path / "sheet.pdf", tmp_path / "pole.pdf"
    done = run("101", "--pdf", str(sheet), "--pole", str(pole), "--which", "heights", "--json")
    assert done.exit_code == 0
    json.loads(done.stdout)
    assert sheet.read_bytes().startswith(b"%PDF")
    assert pole.read_bytes().startswith(b"%PDF")


def test_choices():
    found = json.loads(
        run("101", "--piece", "S1", "--with", "clearances", "--standing", "T1", "--json").stdout
    )
    assert found["marked"] == ["S1"]
    assert found["standing"] == ["T1"]


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("999",), "Its rooms: 101"),
        (("101", "--piece", "X9"), "There is no piece X9"),
        (("101", "--method", "laser"), "--method is one of ties, baseline"),
        (("101", "--with", "rugs"), "--with is one of chairs, clearances, lights"),
        (("103", "--pole", "out.pdf"), "There is no story pole 'along' here; there are: heights."),
        (("101", "--pdf", "/nowhere/at/all.pdf"), "no such file or directory"),
    ],
)
def test_bad_input_is_one_message(args, words):
    done = run(*args)
    assert done.exit_code == 2
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_strict_ends_with_1_where_something_cannot_be_marked():
    assert run("101", "--strict").exit_code == 0
    assert run("103", "--strict").exit_code == 1
