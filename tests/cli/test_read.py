"""The reading commands on the demo house: fields, statuses, folders and stored houses."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from tools import samples
from typer.testing import CliRunner

from roomwright.cli.app import app

ROOT = Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "examples" / "tern-hollow")


def run(*args):
    return CliRunner().invoke(app, list(args), catch_exceptions=False)


def answer(*args):
    done = run(*args, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_dates_fields_and_numbers():
    found = answer("dates", DEMO)
    assert found["working_days"] == 115
    assert found["finish"] == "2027-06-28"
    assert len(found["activities"]) == 102
    wanted = {
        "id", "early_start", "early_finish", "late_start", "late_finish", "total_float",
        "free_float", "critical",
    }  # fmt: skip
    assert all(wanted <= set(a) for a in found["activities"])


def test_fit_fields_and_numbers():
    found = answer("fit", DEMO, "101")
    table = next(p for p in found["pieces"] if p["piece"] == "T1")
    assert table["seats"] == 8
    assert table["verdict"] == "short"
    sides = {s["side"]: (s["clear_in"], s["needs_in"], s["margin_in"]) for s in table["sides"]}
    assert sides == {
        "north": (45, 44, 1), "south": (45, 36, 9), "east": (39, 44, -5), "west": (39, 32, 7),
    }  # fmt: skip
    way = found["ways"][0]
    assert {way["from"], way["to"]} == {"O1", "O4"}
    assert way["tightest_in"] == 39


def test_fit_lists_what_is_centered_on_what():
    (chain,) = answer("fit", DEMO, "101")["chains"]
    assert (chain["anchor"], chain["off_in"], chain["held"]) == ("T1", 9, [])
    assert [(s["ids"], s["moves"]) for s in chain["cure"]] == [
        (["T1"], [{"by_in": 9, "toward": "south"}])
    ]
    told = " ".join(run("fit", DEMO, "101").output.split())
    assert 'chandelier box C1 dining table T1 off by 9"' in told
    assert "pendant boxes C2 to C4 island X5 centered" in " ".join(
        run("fit", DEMO, "102").output.split()
    )


def test_orders_fields():
    found = answer("orders", DEMO)
    wanted = {
        "line", "room", "class", "needed_on", "last_safe_day", "order_by", "state", "late_days",
        "move_in_days",
    }  # fmt: skip
    assert len(found["lines"]) == 268
    assert all(wanted <= set(line) for line in found["lines"])


@pytest.mark.parametrize("command", samples.COMMANDS)
def test_every_answer_says_what_it_is(command):
    found = samples.answer(command)
    assert found["schema"] == f"roomwright/{command}"
    assert found["version"] == 1
    assert found["house"] == "Tern Hollow"
    assert found["as_of"] == "2027-03-29"


@pytest.mark.parametrize("command", samples.COMMANDS)
def test_the_sample_in_the_docs_has_the_fields_of_today(command):
    """Names and nesting; the values are the demo's on the day they were written."""

    def shape(value):
        if isinstance(value, dict):
            return {k: shape(v) for k, v in value.items()}
        return (
            [shape(v) for v in value[:1] if isinstance(v, dict)] if isinstance(value, list) else 0
        )

    written = ROOT / "docs" / "samples" / f"{command}.json"
    found = json.loads(written.read_text(encoding="utf-8"))
    assert found.keys() == samples.answer(command).keys(), "run python -m tools.samples"
    if command in ("dates", "orders", "today", "check", "sheets"):
        assert shape(found) == shape(json.loads(samples.sample(command)))


@pytest.mark.parametrize("command", samples.COMMANDS)
def test_every_field_is_documented(command):
    page = (ROOT / "docs" / "json.md").read_text(encoding="utf-8")
    known = set(re.findall(r"`([a-z][a-z0-9_]*)`", page))

    def names(value, inside=""):
        if isinstance(value, dict):
            for key, below in value.items():
                if inside not in FREE:
                    yield key
                yield from names(below, key)
        elif isinstance(value, list):
            for one in value:
                yield from names(one, inside)

    missing = {n for n in names(samples.answer(command)) if n not in known}
    assert not missing


FREE = {"figures", "seats_by", "parts_by_who", "parts_by_stage"}
"""Fields whose own keys are ids or words of the house."""


def test_as_of_is_taken():
    assert answer("dates", DEMO, "--as-of", "2027-04-05")["as_of"] == "2027-04-05"


@pytest.mark.parametrize("command", ["dates", "orders", "counts", "today", "check"])
def test_text_is_printed_and_strict_ends_with_one(command):
    plain, strict = run(command, DEMO), run(command, DEMO, "--strict")
    assert plain.exit_code == 0
    assert len(plain.stdout) > 200
    assert strict.exit_code == (0 if command == "dates" else 1)


def test_an_unknown_room_names_the_rooms():
    done = run("fit", DEMO, "999")
    assert done.exit_code == 2
    assert "no room '999'" in done.stderr
    assert "206b" in done.stderr


def test_an_unknown_house_is_bad_input(tmp_path):
    done = run("dates", "no-such-house", "--store", f"sqlite:///{tmp_path}/s.db")
    assert done.exit_code == 2
    assert "neither a folder here nor a stored house" in done.stderr


def test_a_wrong_folder_lists_every_problem_and_ends_with_two(tmp_path):
    (tmp_path / "house.toml").write_text('name = "A"\nsite_start = 2027-02-30\n')
    (tmp_path / "rooms.csv").write_text("room,level,outline\n1,1,0 0 9 9\n")
    done = run("check", str(tmp_path))
    assert done.exit_code == 2
    assert "house.toml" in done.stderr
    assert "rooms.csv" in done.stderr


def test_help_is_light():
    code = (
        "import sys; sys.argv = ['roomwright', '--help']\n"
        "from roomwright.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "heavy = {'numpy', 'shapely', 'pydantic', 'sqlalchemy', 'fastapi', 'rich'}\n"
        "sys.exit(repr(heavy & set(sys.modules)) if heavy & set(sys.modules) else 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
