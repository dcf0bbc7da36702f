"""Counts of the demo house equal its answer key, and every planted fault is named."""

from datetime import date, timedelta

import pytest

from roomwright.answers import counts, dates
from roomwright.answers.engine import Answers
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path


@pytest.fixture(scope="module")
def answers():
    return Answers(read_folder(example_path("tern-hollow")).facts, as_of=date(2027, 3, 29))


@pytest.fixture(scope="module")
def demo(answers):
    return answers.ask(counts.counts)


def test_totals_of_the_answer_key(demo):
    total = demo.totals
    assert (total.lines, total.pieces) == (268, 489)
    assert (total.class_companion_rows, total.line_companion_rows) == (364, 1041)
    assert total.companion_parts == 1684
    assert (total.ordered_lines, total.received_lines) == (158, 83)


def test_every_planted_fault_and_what_else_is_wrong(demo):
    found = [(d.kind, d.room, d.line, d.by, d.plan, d.ordered, d.received)
             for d in demo.disagreements]  # fmt: skip
    assert found == [
        ("short", "102", "L266", 2, 52, 50, 0),  # pulls
        ("short", "204", "L156", 1, 2, 1, 0),  # towel bars of the hall bath
        ("short", "209", "L229", 1, 2, 2, 1),  # fans of the primary bath
        ("left out", "204", "L151", 1, 1, 0, 0),  # downlight of the hall bath
        ("wrong hand", "107", "L073", 1, 1, 1, 1),  # mudroom door
        ("wrong size", "108", "L094", 1, 1, 1, 0),  # the sectional is drawn without its long leg
        ("damaged", "204", "L140", 1, 1, 1, 1),  # hall tub
        ("void", "209", "L218", 1, 1, 1, 0),  # shower glass
    ]


def test_a_builder_knows_what_to_do(demo):
    said = {d.line: (d.text, d.do) for d in demo.disagreements}
    assert said["L073"][0] == (
        "ordered right hand, but D3 is left hand: pushed from 102 into 107, its hinges are at "
        "your left (north end)"
    )
    assert said["L266"] == ("50 of 52 ordered", "order 2 more from Marlowe Forge")
    assert "apron scratched, claim open" in said["L140"][0]
    assert said["L140"][1].startswith("settle it with Quillwater (PO-155)")
    assert said["L218"][1] == "take PO-165 back with Tamsin Glass, and order it after A120"


def test_every_drawn_door_and_piece_finds_its_line(demo):
    doors = {f"D{i}" for i in range(1, 17)}
    assert doors <= demo.bought_as.keys()
    assert demo.bought_as["D3"] == "L073"
    assert demo.bought_as["K1"] == "L019"
    assert len(demo.bought_as) == 16 + 27


def test_three_conditions_wait_for_an_answer(demo):
    assert [q.when for q in demo.questions] == [
        "over 60 in wide", "per 48 in of rod", "exhaust over 400 cfm",
    ]  # fmt: skip
    assert demo.questions[2].hint == "Line L020 says 600 cfm: over 400, so it looks needed."


def test_days_it_threatens_are_those_of_ordering_again_today(answers, demo):
    days = {d.line: d.move_in_days for d in demo.disagreements}
    door = next(a for a in answers.ask(dates.dates).activities if a.id == "A225")
    again = date(2027, 3, 29) + timedelta(weeks=8)
    late = answers.ask(dates.calendar).number(again) - door.dates.early_start
    assert days["L073"] == late - door.dates.total_float == 24
    assert days["L094"] is None


def test_json(demo):
    plain = counts.as_json(demo)
    assert plain["totals"]["companion_parts"] == 1684
    assert plain["disagreements"][0]["part"].startswith("Cabinet pulls")
    assert set(plain) == {"disagreements", "questions", "totals"}
