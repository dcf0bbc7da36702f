"""demo, load, new, sheets and doctor on a store of their own."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from roomwright.cli.app import app

ROOT = Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "examples" / "tern-hollow")


@pytest.fixture
def run(tmp_path):
    def run(*args):
        return CliRunner().invoke(
            app, [*args, "--store", f"sqlite:///{tmp_path}/s.db"], catch_exceptions=False
        )

    return run


def test_demo_dates_fall_in_this_week_and_keep_their_weekday(run):
    done = run("demo", "--load-only")
    assert done.exit_code == 0, done.output
    found = json.loads(run("dates", "tern-hollow", "--json").stdout)
    today = datetime.now(UTC).astimezone().date()
    monday = today - timedelta(days=today.weekday())
    assert found["as_of"] == monday.isoformat()
    assert found["working_days"] == 115


def test_demo_again_keeps_what_was_done(run, tmp_path):
    from roomwright import commands
    from roomwright.job.entities import Piece
    from roomwright.job.store import Store

    run("demo", "--load-only")
    store = Store(f"sqlite:///{tmp_path}/s.db")
    commands.run(store, "tern-hollow", commands.Move(piece="T1", dx="-5"), who="test")
    run("demo", "--load-only")
    assert store.facts("tern-hollow").get(Piece, "T1").x == 76
    store.close()


def test_load_twice_says_that_nothing_changed(run):
    assert "1404 added" in run("load", DEMO).stdout
    again = run("load", DEMO)
    assert again.exit_code == 0
    assert "added" not in again.stdout


def test_load_again_says_what_changed(run, tmp_path):
    folder = tmp_path / "tern-hollow"
    folder.mkdir()
    for file in Path(DEMO).iterdir():
        (folder / file.name).write_bytes(file.read_bytes())
    run("load", str(folder))
    text = (folder / "pieces.csv").read_text()
    (folder / "pieces.csv").write_text(
        text.replace("T1,101,dining table,84", "T1,101,dining table,72")
    )
    done = run("load", str(folder))
    assert done.exit_code == 0
    assert "width was 7'-0\", is now 6'-0\"" in done.stdout


def test_a_wrong_folder_changes_nothing(run, tmp_path):
    folder = tmp_path / "tern-hollow"
    folder.mkdir()
    for file in Path(DEMO).iterdir():
        if file.suffix in {".csv", ".toml"}:
            (folder / file.name).write_bytes(file.read_bytes())
    run("load", str(folder))
    text = (folder / "pieces.csv").read_text()
    (folder / "pieces.csv").write_text(text.replace("T1,101", "T1,999"))
    done = run("load", str(folder))
    assert done.exit_code == 2
    assert "pieces.csv" in done.stderr
    assert json.loads(run("fit", "tern-hollow", "101", "--json").stdout)["pieces"]


def test_new_makes_a_house_that_passes_check(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(app, ["new", "fern", "--defaults"], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    checked = CliRunner().invoke(app, ["check", "fern", "--strict"], catch_exceptions=False)
    assert checked.exit_code == 0, checked.output
    again = CliRunner().invoke(app, ["new", "fern", "--defaults"], catch_exceptions=False)
    assert again.exit_code == 2, "a folder that is there is never written over"


def test_new_refuses_an_answer_it_does_not_know(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(app, ["new", "fern", "-a", "heat=coal"], catch_exceptions=False)
    assert done.exit_code == 2
    assert not (tmp_path / "fern").exists()


def test_sheets_writes_one_pdf(tmp_path):
    done = CliRunner().invoke(
        app, ["sheets", DEMO, "101", "--out", str(tmp_path / "out")], catch_exceptions=False
    )
    assert done.exit_code == 0, done.output
    (paper,) = (tmp_path / "out").iterdir()
    assert paper.read_bytes().startswith(b"%PDF-")


def test_doctor_finds_nothing_wrong(run):
    run("demo", "--load-only")
    done = run("doctor", "--json")
    assert done.exit_code == 0
    told = json.loads(done.stdout)
    assert told["houses"] == ["tern-hollow"]
    assert told["troubles"] == []
    page = (ROOT / "docs" / "json.md").read_text(encoding="utf-8").partition("## doctor")[2]
    assert [field for field in told if f"`{field}`" not in page] == []


@pytest.mark.parametrize(
    ("option", "host", "warned"),
    [("--lan", "0.0.0.0", True), ("", "127.0.0.1", False)],  # noqa: S104 - nothing is opened
)
def test_serve_says_when_the_network_is_let_in(run, monkeypatch, option, host, warned):
    opened = {}
    monkeypatch.setattr("roomwright.web.serve.serve", lambda **given: opened.update(given))
    done = run("serve", "--no-browser", *filter(None, [option]))
    assert done.exit_code == 0
    assert opened["host"] == host
    assert ("no password" in done.stdout) is warned


def test_a_stored_house_is_written_out_and_loads_as_the_same_house(run, tmp_path):
    from roomwright.exchange.changes import compare
    from roomwright.job.store import Store

    run("demo", "--load-only")
    out = tmp_path / "out"
    done = run("export", "tern-hollow", str(out))
    assert done.exit_code == 0, done.output
    assert "Loaded again they are the same house" in done.stdout
    assert run("load", str(out), "--name", "Twice").exit_code == 0
    with Store(f"sqlite:///{tmp_path}/s.db") as store:
        assert compare(store.facts("tern-hollow"), store.facts("twice")) == []
    again = CliRunner().invoke(
        app, ["export", "tern-hollow", str(out), "--store", f"sqlite:///{tmp_path}/s.db"]
    )
    assert again.exit_code == 2
    assert "--replace" in again.output
    assert run("export", "tern-hollow", str(out), "--replace").exit_code == 0
    none = CliRunner().invoke(app, ["export", "nobody", "--store", f"sqlite:///{tmp_path}/s.db"])
    assert none.exit_code == 2
    assert "no stored house" in none.output
