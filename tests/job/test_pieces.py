"""Pieces of an order line: each is lost once, and only good ones are installed."""

import itertools
from datetime import date

import pytest

from roomwright.job.entities import Event, Order, Receipt
from roomwright.job.facts import Facts
from roomwright.job.pieces import told
from roomwright.job.rules_of_supply import of_pieces
from roomwright.job.rules_of_work import lost_of

WORDS = {"c": "", "d": "damaged", "r": "returned", "i": "installed"}


def line(steps):
    """The facts of steps like c2 (two came), d1, r1, i1, a day apart each."""
    facts = [Order(id="O/L", order="O", line="L", qty=9)]
    for n, step in enumerate(steps.split(), 1):
        held = {"id": f"X{n}", "order": "O", "line": "L", "qty": int(step[1:]),
                "on": date(2027, 3, n)}  # fmt: skip
        what = WORDS[step[0]]
        facts.append(Event(what=what, **held) if what else Receipt(**held))
    return Facts(facts)


def wrong(steps):
    found = list(of_pieces(line(steps), "O", "L"))
    return f"{found[0].id}: {found[0].wrong}" if found else ""


@pytest.mark.parametrize(("steps", "lost"), [
    ("c2 d1 r1", 1), ("c2 d1 r2", 2), ("c2 r1", 1), ("c2 d2 r1 c2", 2), ("c1 d1 r1 c1 d1 r1", 2),
    ("c2 i2 d1 c1 i1", 1), ("c2 i1 d1 i1", 1), ("c2 i2 r2", 2),
])  # fmt: skip
def test_what_can_be_so_is_taken_and_each_piece_lost_once(steps, lost):
    assert wrong(steps) == ""
    assert lost_of(line(steps), "O", "L") == lost


@pytest.mark.parametrize(("steps", "said"), [
    ("c2 r2 i2", "X3: 2 of L installed, but only 0 good of order O were here"),
    ("c2 d1 i2", "X3: 2 of L installed, but only 1 good of order O were here"),
    ("c1 d1 r2", "X3: 2 of L returned, but only 1 of order O were here"),
    ("c1 r1 d1", "X3: 1 of L damaged, but only 0 good of order O were here"),
    ("c1 i1 i1", "X3: 1 of L installed, but only 0 good of order O were here"),
    ("i1 c1", "X1: 1 of L installed, but only 0 good of order O were here"),
])  # fmt: skip
def test_what_cannot_be_so_is_refused_with_how_many_there_were(steps, said):
    assert wrong(steps) == said


def test_a_plain_walk_over_single_pieces_agrees():
    """Every run of up to six steps of one piece, against pieces moved one by one between boxes.

    Whether a damaged or returned good piece was one that was in is open: both are tried.
    """
    for steps in itertools.product("cdri", repeat=6):
        boxes = {(0, 0, 0)}  # out of the wall, in the wall, damaged
        fine = True
        for step in steps:
            now = set()
            for free, put, bad in boxes:
                if step == "c":
                    now.add((free + 1, put, bad))
                if step == "i" and free:
                    now.add((free - 1, put + 1, bad))
                if step == "d":
                    now |= {(free - 1, put, bad + 1)} if free else set()
                    now |= {(free, put - 1, bad + 1)} if put else set()
                if step == "r" and bad:
                    now.add((free, put, bad - 1))
                elif step == "r":
                    now |= {(free - 1, put, 0)} if free else set()
                    now |= {(free, put - 1, 0)} if put else set()
            boxes = now
            if not boxes:
                fine = False
                break
        text = " ".join(f"{s}1" for s in steps)
        assert (wrong(text) == "") == fine, text


def test_what_has_no_day_is_given_the_best_of_it():
    came = Receipt(id="R1", order="O", line="L", qty=1)
    harm = Event(id="E1", what="damaged", order="O", line="L", qty=1)
    back = Event(id="E2", what="returned", order="O", line="L", qty=1, on=date(2027, 3, 2))
    found = told([came], [harm, back])
    assert (found.wrong, found.lost) == (None, 1)
