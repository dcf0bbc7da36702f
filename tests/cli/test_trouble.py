"""What goes wrong outside the program: one plain message, status 2, nothing stored changes."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from roomwright.cli.app import app

ROOT = Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "examples" / "tern-hollow")


def refused(*args: str) -> str:
    """Run a command that must end with status 2; return what it says."""
    done = CliRunner().invoke(app, list(args), catch_exceptions=False)
    assert done.exit_code == 2, done.output
    assert done.stdout == ""
    return done.stderr


def program(*args: str, **more: object) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "roomwright.cli", *args],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, **more,
    )  # fmt: skip


BAD_STORES = {
    "mysql://x/y": "SQLite or PostgreSQL",
    "postgresql://nobody@127.0.0.1:1/x": "can't be used",
    "postgresql://nobody@127.0.0.1:port/x": "No store can be opened",
    "://": "No store can be opened",
    "{tmp}/not-a-store.db": "not a store",
    "{tmp}": "can't be used",
    "{tmp}/not-a-store.db/store.db": "can't be made",
}


@pytest.mark.parametrize("store", BAD_STORES)
@pytest.mark.parametrize("command", [("dates", "mill-lane"), ("load", DEMO), ("doctor",)])
def test_a_store_that_cannot_be_used(store, command, tmp_path):
    broken = tmp_path / "not-a-store.db"
    broken.write_text("drawings " * 200)
    if store.startswith("postgresql://nobody@127.0.0.1:1/"):
        pytest.importorskip("psycopg")
    said = refused(*command, "--store", store.format(tmp=tmp_path))
    assert BAD_STORES[store] in said
    assert broken.read_text() == "drawings " * 200


@pytest.mark.parametrize("house", ["", " ", "a\0b", "no-such-house", "/no/such/folder"])
def test_a_house_that_is_not_there(house, tmp_path):
    refused("dates", house, "--store", str(tmp_path / "s.db"))


@pytest.mark.parametrize("day", ["1900-01-01", "2099-01-01", "9999-12-31", "0001-01-01"])
@pytest.mark.parametrize("command", ["dates", "orders", "counts", "today", "check", "sheets"])
def test_a_day_far_from_the_work(command, day):
    assert "too far from 2027-01-18" in refused(command, DEMO, "--as-of", day)


def test_a_load_that_is_refused_leaves_no_house_behind(tmp_path, monkeypatch):
    from roomwright import commands
    from roomwright.job.errors import StoreError

    def fails(*_: object) -> None:
        raise StoreError("no.")

    store = str(tmp_path / "s.db")
    monkeypatch.setattr(commands.Load, "work", fails)
    assert refused("load", DEMO, "--store", store) == "no.\n"
    monkeypatch.undo()
    assert CliRunner().invoke(app, ["load", DEMO, "--store", store]).exit_code == 0


def test_a_folder_that_cannot_be_written(tmp_path):
    (tmp_path / "file").write_text("")
    assert "file" in refused("new", str(tmp_path / "file" / "house"), "--defaults")
    assert "file" in refused("sheets", DEMO, "101", "--out", str(tmp_path / "file"))
    assert "already there" in refused("new", str(tmp_path), "--defaults")
    assert "name" in refused("new", "", "--defaults")


@pytest.mark.parametrize(
    ("answer", "says"),
    [("floors", "question=answer"), ("floors=9", "not one of"), ("flors=2", "did you mean floors")],
)
def test_bad_answers_write_nothing(tmp_path, answer, says):
    assert says in refused("new", str(tmp_path / "x"), "-a", answer)
    assert not (tmp_path / "x").exists()


def test_a_bad_answer_is_asked_again(tmp_path):
    said = "\n".join(["9", "1", *[""] * 9]) + "\n"
    done = CliRunner().invoke(app, ["new", str(tmp_path / "x")], input=said)
    assert done.exit_code == 0, done.output
    assert "not one of 1; 2" in done.stderr
    assert (tmp_path / "x" / "rooms.csv").exists()


@pytest.mark.skipif(os.name == "nt", reason="pipes end otherwise there")
@pytest.mark.parametrize("more", [(), ("--json",)])
def test_a_reader_who_has_enough(more):
    """As `roomwright orders HOUSE | head -1` does; nothing was wrong, so the status is 0."""
    running = program("orders", DEMO, *more)
    assert running.stdout.readline()
    running.stdout.close()
    assert running.stderr.read() == b""
    assert running.wait() == 0
    running.stderr.close()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full disk to write to")
def test_a_full_disk():
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "roomwright.cli", "orders", DEMO, "--json"],
            stdout=full, stderr=subprocess.PIPE, check=False,
        )  # fmt: skip
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr


def test_a_terminal_of_plain_letters():
    running = program("check", DEMO, env={**os.environ, "PYTHONIOENCODING": "ascii"})
    out, error = running.communicate()
    assert running.returncode == 0
    assert error == b""
    assert b'"island receptacles have since moved 14 in"' in out
    out.decode("ascii")
