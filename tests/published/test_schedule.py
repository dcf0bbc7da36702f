"""Schedules that others published, and one worked by two independent methods."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

from roomwright.days import Calendar
from roomwright.schedule import Activity, Link, Network, Schedule, passes

HOUSE = Calendar(date(2027, 3, 1))


def chain_of(days: dict[str, float], after: dict[str, str]) -> Network:
    return Network(
        [Activity(i, d) for i, d in days.items()],
        [Link(p, i) for i, ps in after.items() for p in ps.split()],
    )


def assert_rows(found: Schedule, rows: str) -> None:
    """Rows read: id, early start, early finish, late start, late finish, total float, free."""
    for row in rows.split("|"):
        id, *want = row.split()
        one = found[id]
        got = (one.early_start, one.early_finish, one.late_start, one.late_finish)
        got += (one.total_float, one.free_float)
        assert list(got[: len(want)]) == [float(w) for w in want], id


def test_activity_on_arrow_example() -> None:
    """Published early and late times and slack.

    [P] Taylor, Introduction to Management Science, chapter 8, problem 1: T = 20, path 1-3-4-5-6.
    """
    days = {"1-2": 7, "1-3": 10, "2-4": 6, "3-4": 5, "3-5": 4, "4-5": 3, "5-6": 2}
    links = [
        Link(one, two) for one in days for two in days if one.split("-")[1] == two.split("-")[0]
    ]
    found = passes(Network([Activity(i, d) for i, d in days.items()], links), HOUSE)
    assert found.working_days == 20
    assert found.critical == ("1-3", "3-4", "4-5", "5-6")
    assert_rows(
        found,
        "1-2 0 7 2 9 2 | 1-3 0 10 0 10 0 | 2-4 7 13 9 15 2 | 3-4 10 15 10 15 0 |"
        "3-5 10 14 14 18 4 | 4-5 15 18 15 18 0 | 5-6 18 20 18 20 0",
    )


def test_nine_activities() -> None:
    """Inputs and the critical path A-C-F-I.

    [P] Hendrickson and Au, Project Management for Construction, table 10-1, path in chapter 11.
    The other rows [C] follow from the inputs and were checked by a linear program.
    """
    days = dict(zip("ABCDEFGHI", (4, 3, 8, 7, 9, 12, 2, 5, 6), strict=True))
    after = {"C": "A", "D": "A", "E": "B C", "F": "B C", "G": "D E", "H": "D E", "I": "F G"}
    found = passes(chain_of(days, after), HOUSE)
    assert found.working_days == 30
    assert found.critical == ("A", "C", "F", "I")
    assert_rows(
        found,
        "A 0 4 0 4 0 0 | B 0 3 9 12 9 9 | C 4 12 4 12 0 0 | D 4 11 15 22 11 10 |"
        "E 12 21 13 22 1 0 | F 12 24 12 24 0 0 | G 21 23 22 24 1 1 | H 21 26 25 30 4 4 |"
        "I 24 30 24 30 0 0",
    )


def test_all_four_kinds_of_link() -> None:
    """[C] A case with every kind and lags, worked by two independent methods: T = 19."""
    net = Network(
        [Activity(i, d) for i, d in zip("ABCDEF", (5, 6, 4, 8, 3, 2), strict=True)],
        [
            Link("A", "B", "finish to start", 2),
            Link("A", "C", "start to start", 3),
            Link("B", "D", "finish to finish", 4),
            Link("C", "D", "start to start", 2),
            Link("C", "E", "finish to start", -1),
            Link("D", "F"),
            Link("E", "F", "start to finish", 9),
        ],
    )
    found = passes(net, HOUSE)
    assert found.working_days == 19
    assert found.critical == ("A", "B", "D", "F")
    assert_rows(
        found,
        "A 0 5 0 5 0 0 | B 7 13 7 13 0 0 | C 3 7 7 11 4 0 | D 9 17 9 17 0 0 |"
        "E 6 9 10 13 4 4 | F 17 19 17 19 0 0",
    )


def test_house_excerpt_of_a_federal_guide() -> None:
    """[P] GAO, Schedule Assessment Guide, house excerpt: the modes of table 2 in a row."""
    modes = {"A1870": 4, "A1880": 1, "A1890": 5, "A1900": 1, "A1910": 3, "A1920": 3, "A1930": 3}
    ids = list(modes)
    after = {b: a for a, b in pairwise(ids)}
    found = passes(chain_of(modes, after), HOUSE)
    assert found.working_days == 20
    assert found.critical == tuple(ids)
