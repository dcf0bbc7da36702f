"""``chances`` and ``orders --line`` on the demo: fields, words, refusals."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from roomwright.answers import joint_orders
from roomwright.cli.app import app

ROOT = Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "examples" / "tern-hollow")
FEW = ("--samples", "300")


def run(*args: str) -> str:
    done = CliRunner().invoke(app, list(args), catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.output


def test_the_end_and_the_date_to_promise() -> None:
    found = json.loads(run("chances", DEMO, *FEW, "--confidence", "90", "--json"))
    assert found["schema"] == "roomwright/chances"
    assert found["plan"] == "2027-06-28"
    assert found["promise"] == found["end"]["p90"]
    assert found["plan"] < found["end_if_parts_in_time"]["p80"] < found["end"]["p80"]
    assert {r["class"] for r in found["lines"][:7]} >= {"CABB", "RANGE", "HOOD"}


def test_one_line() -> None:
    found = json.loads(run("chances", DEMO, *FEW, "--line", "L019", "--json"))
    assert [r["line"] for r in found["lines"]] == ["L019"]
    (rests,) = found["lines"][0]["rests_on"]
    assert (rests["low"], rests["likely"], rests["high"]) == (20, 40, 80)


def test_words_are_whole_days_and_say_what_is_a_guess() -> None:
    text = run("chances", DEMO, *FEW)
    assert "80 % sure by" not in text.split("\n")[0] or "Jun 28" in text
    assert "a guess, not history" in text.replace("\n", " ")
    assert not re.search(r"\d\.\d+ days?", text)
    decided = run("orders", DEMO, "--line", "L019", *FEW)
    assert "A week's wait costs" in decided
    assert "too late to be 80 % sure" in decided
    assert not re.search(r"\d\.\d+ days?", decided)


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--confidence", "100"), "from 1 to 99"),
        (("--confidence", "much"), "from 1 to 99"),
        (("--samples", "3"), "from 100 to 200,000"),
    ],
)
def test_nonsense_is_refused_in_words(args: tuple[str, ...], says: str) -> None:
    done = CliRunner().invoke(app, ["chances", DEMO, *args])
    assert done.exit_code == 2
    assert says in done.output


def test_a_line_that_is_here_has_nothing_to_decide() -> None:
    done = CliRunner().invoke(app, ["orders", DEMO, "--line", "L217", *FEW])
    assert done.exit_code == 0
    assert "Nothing to decide: line L217 is on hand" in done.output
    assert "- Feb 1: 1 ordered from Marlowe Forge, promised Feb 22 (PO-102)" in done.output
    done = CliRunner().invoke(app, ["orders", DEMO, "--line", "L999", *FEW])
    assert done.exit_code == 2
    assert "no line L999" in done.output


def test_every_field_of_a_decision_is_described() -> None:
    page = (ROOT / "docs" / "json.md").read_text(encoding="utf-8")
    known = set(re.findall(r"`([a-z_0-9]+)`", page))

    def names(value: object) -> set[str]:
        if isinstance(value, dict):
            return set(value) | {n for v in value.values() for n in names(v)}
        if isinstance(value, list):
            return {n for v in value for n in names(v)}
        return set()

    for line in ("L019", "L011"):
        told = json.loads(run("orders", DEMO, "--line", line, *FEW, "--json"))
        assert names(told) <= known | {"schema", "version", "house", "as_of"}


def test_all_lines_together_ask_for_limits() -> None:
    done = CliRunner().invoke(app, ["orders", DEMO, "--together"])
    assert done.exit_code == 2
    assert "gives no limits" in done.output


def test_all_lines_together_under_limits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(joint_orders, "FUTURES", 200)
    house = tmp_path / "house"
    shutil.copytree(DEMO, house)
    (house / "keeping.csv").write_text("keeping,storage,room_most\nhouse,20,900\n")
    page = (ROOT / "docs" / "json.md").read_text(encoding="utf-8")
    found = json.loads(run("orders", str(house), "--together", "--json"))
    assert found["schema"] == "roomwright/order-plan"
    assert found["status"] == "proved"
    assert "L019" in {o["line"] for o in found["orders"]}
    assert all(f"`{name}`" in page for name in (*found, *found["orders"][0]))
    assert "Each on its own best day." in run("orders", str(house), "--together")


def test_a_week_is_told_by_its_verdict(tmp_path: Path) -> None:
    """Storing it costs 40 a working day: five days less of it are 200 saved, no days are lost."""
    house = tmp_path / "house"
    shutil.copytree(DEMO, house)
    (house / "keeping.csv").write_text("keeping,line,storage\nline L001,L001,200\n")
    text = run("orders", str(house), "--line", "L001", *FEW).replace("\n", " ")
    (told,) = re.findall(r"A week's wait (.*?)\.", text)
    found = json.loads(run("orders", str(house), "--line", "L001", *FEW, "--json"))["wait_a_week"]
    assert found["verdict"] == "wait"
    assert found["money"]["mean"] < 0
    assert told.startswith(f"saves {-found['money']['mean']:,.0f}")
