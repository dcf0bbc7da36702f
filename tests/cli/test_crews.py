"""The command `crews`: words, JSON, sheet, and what is refused."""

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from roomwright.cli.app import app

ROOT = Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "examples" / "tern-hollow")
DAY = ("--as-of", "2027-03-29")


def run(*args):
    return CliRunner().invoke(app, ["crews", DEMO, *DAY, *args], catch_exceptions=False)


def test_words_and_sheet(tmp_path):
    sheet = tmp_path / "ahead.pdf"
    done = run("--pdf", str(sheet), "--from", "2027-04-05")
    assert done.exit_code == 0
    assert "Proved: no plan does better" in done.stdout
    assert "Weeks ahead, Apr 5 to Apr 23, 2027" in done.stdout
    assert done.stdout.rstrip().endswith("ollow local code and licensed practice.")
    assert sheet.read_bytes().startswith(b"%PDF")


def keys(value):
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from keys(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys(inner)


def test_every_field_is_in_the_docs():
    found = json.loads(run("--json").stdout)
    assert found["schema"] == "roomwright/crews"
    page = (ROOT / "docs" / "json.md").read_text(encoding="utf-8")
    section = page.partition("## crews HOUSE")[2].partition("\n## ")[0]
    told = set(re.findall(r"`([a-z_]+)`", section)) | {"schema", "version", "house", "as_of"}
    assert set(keys(found)) <= told


@pytest.mark.parametrize("later", ["-1", "soon", "1001"])
def test_days_later_that_cannot_be(later):
    done = run(f"--later={later}")
    assert done.exit_code == 2
    assert "any" in done.stderr


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "2300-05-01"])
def test_weeks_that_are_years_away(day):
    done = run("--from", day)
    assert done.exit_code == 2
    assert "check the year" in done.stderr
    assert "Traceback" not in done.stderr
