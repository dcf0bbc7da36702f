"""choices, calls, change-orders and feed on the command line, told in docs/json.md."""

import json
from datetime import date
from pathlib import Path

import pytest
from tests.answers.demo_house import FOLDER, facts
from typer.testing import CliRunner

from roomwright import commands
from roomwright.cli.app import app
from roomwright.exchange.writer import write_folder

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "json.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> str:
    """The demo with choices and change orders in it."""
    state = facts()
    for name, values in (
        ("add choice", {"what": "dining table", "lines": "L007", "options": "oak, $4,200; walnut"}),
        ("add choice", {"what": "grout", "who": "builder", "activity": "A250"}),
        ("decide", {"choice": "C2", "decision": "gray", "on": "2027-03-29"}),
        ("add change order", {"title": "Heated floor", "price": "1850", "days": "2",
                              "activities": "A250", "lines": "L007"}),
    ):  # fmt: skip
        state = state.changed(commands.parse(name, values).changes(state))
    made = tmp_path_factory.mktemp("house") / "tern-hollow"
    write_folder(state, made)
    return str(made)


def run(*args, status=0):
    done = CliRunner().invoke(app, list(args), catch_exceptions=False)
    assert done.exit_code == status, done.output
    return done.stdout


def test_choices(folder):
    said = run("choices", folder)
    assert "C1 Dining table (owner): Was due Wed Feb 10: decide today" in said
    assert "late: Mar 29, today: moves you in 18 days later, $5,580." in " ".join(said.split())
    assert "C2 Grout: gray, decided Mar 29" in said
    assert "Grout" not in run("choices", folder, "--who", "owner")
    run("choices", folder, "--strict", status=1)


def test_calls(folder):
    said = run("calls", folder)
    assert "- cabinet, Oskar & Rye Millwork, 555-0145: weeks ahead" in said
    run("calls", folder, "--strict", status=1)


def test_change_orders(folder, tmp_path):
    said = " ".join(run("change-orders", folder).split())
    assert "CO-1 Heated floor: not signed" in said
    assert "The last day of work is Jun 30, 2 days later than Jun 28, which costs $620." in said
    paper = tmp_path / "one.pdf"
    run("change-orders", folder, "CO-1", "--pdf", str(paper))
    assert paper.read_bytes().startswith(b"%PDF")
    assert "No change orders." in run("change-orders", str(FOLDER))


@pytest.mark.parametrize("command", ["choices", "calls", "change-orders"])
def test_every_field_of_the_json_is_told(folder, command):
    found = json.loads(run(command, folder, "--json"))
    assert found["schema"] == f"roomwright/{command}"
    section = PAGE.partition(f"## {command} HOUSE")[2].partition("\n## ")[0]

    def fields(value):
        if isinstance(value, dict):
            for key, inner in value.items():
                yield key
                yield from fields(inner)
        elif isinstance(value, list):
            for inner in value:
                yield from fields(inner)

    own = {k: v for k, v in found.items() if k not in ("schema", "version", "house", "as_of")}
    missing = {f for f in fields(own) if f"`{f}`" not in section}
    assert not missing


def test_papers(folder, tmp_path):
    for command in ("choices", "calls"):
        target = tmp_path / f"{command}.pdf"
        run(command, folder, "--pdf", str(target))
        assert target.read_bytes().startswith(b"%PDF")


def test_the_feed_of_a_folder_is_stamped_with_its_day(folder, tmp_path):
    target = tmp_path / "house.ics"
    run("feed", folder, "--out", str(target))
    stream = target.read_bytes()
    assert stream.startswith(b"BEGIN:VCALENDAR\r\n")
    assert b"DTSTAMP:20270329T000000Z" in stream
    run("feed", folder, "--out", str(tmp_path / "again.ics"))
    assert (tmp_path / "again.ics").read_bytes() == stream


def test_the_feed_of_a_stored_house_has_an_address(folder, tmp_path):
    store = f"sqlite:///{tmp_path / 'houses.db'}"
    run("load", folder, "--store", store)
    first = run("feed", "tern-hollow", "--address", "--store", store)
    assert first.startswith("http://127.0.0.1:8484/feed/")
    assert run("feed", "tern-hollow", "--address", "--store", store) == first
    assert run("feed", "tern-hollow", "--renew", "--store", store) != first
    target = tmp_path / "stored.ics"
    day = date(2027, 3, 29).isoformat()
    run("feed", "tern-hollow", "--out", str(target), "--as-of", day, "--store", store)
    assert b"SEQUENCE:0" in target.read_bytes()
