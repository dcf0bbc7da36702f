"""Counts of the demo house against a database that joins the same files by its own means.

The independent means is SQLite: joins and sums over the CSV files as they stand.
"""

import csv
import sqlite3
from datetime import date

import pytest

from roomwright.answers import counts
from roomwright.answers.engine import Answers
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path

FOLDER = example_path("tern-hollow")


@pytest.fixture(scope="module")
def db():
    base = sqlite3.connect(":memory:")
    for name in ("parts", "companions", "orders", "receipts", "progress", "classes"):
        with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
            head, *rows = csv.reader(stream)
        typed = (f'"{h}"{" numeric" * (h in ("qty", "per_item"))}' for h in head)
        base.execute(f"create table {name} ({', '.join(typed)})")
        marks = ",".join("?" * len(head))
        base.executemany(f"insert into {name} values ({marks})", rows)  # noqa: S608 - our own
    yield base
    base.close()


@pytest.fixture(scope="module")
def found():
    return Answers(read_folder(FOLDER).facts, as_of=date(2027, 3, 29)).ask(counts.counts)


def one(db, sql):
    return db.execute(sql).fetchone()[0]


KIT = "from parts p join companions c using (class)"


def test_totals(db, found):
    total = found.totals
    assert total.pieces == one(db, "select sum(qty) from parts")
    assert total.line_companion_rows == one(db, f"select count(*) {KIT}")
    counted = f"select sum(p.qty * c.per_item) {KIT} where c.\"when\" = '' and c.kind = "
    assert total.companion_parts == one(db, f"{counted}'part'")
    assert total.companion_work == one(db, f"{counted}'work'")
    assert total.ordered_pieces == one(db, "select sum(qty) from orders")
    assert total.received_pieces == one(db, "select sum(qty) from receipts")
    assert total.received_lines == one(db, "select count(distinct line) from receipts")
    by_who = dict(db.execute(
        f"select c.brought_by, sum(p.qty * c.per_item) {KIT} "
        "where c.\"when\" = '' and c.kind = 'part' group by 1"))  # fmt: skip
    assert total.parts_by_who == by_who


def lines(found, kind):
    return {(d.line, d.by) for d in found.disagreements if d.kind == kind}


def test_short(db, found):
    few = db.execute(
        "select p.line, p.qty - sum(o.qty) from parts p join orders o using (line) "
        "group by p.line having sum(o.qty) < p.qty").fetchall()  # fmt: skip
    late = db.execute(
        "select o.line, o.qty - coalesce((select sum(r.qty) from receipts r where r.line = o.line "
        'and r."order" = o."order"), 0) as gap from orders o '
        "where o.promised < '2027-03-29' and gap > 0").fetchall()  # fmt: skip
    assert lines(found, "short") == {*few, *late}


def test_left_out(db, found):
    rows = db.execute(
        "select p.line, p.qty from parts p join classes c using (class) "
        "where p.line not in (select line from orders) and ("
        "  c.needed_by in (select activity from progress where finished <> '')"
        "  or (c.order_after = '' and 2 * (select count(distinct q.line) from parts q "
        "    join orders o using (line) where q.class = p.class) > "
        "    (select count(*) from parts q where q.class = p.class)))").fetchall()  # fmt: skip
    assert lines(found, "left out") == set(rows)


def test_void(db, found):
    rows = db.execute(
        "select o.line, o.qty from orders o join parts p using (line) "
        "join classes c using (class) left join progress g on g.activity = c.order_after "
        "where c.order_after <> '' and "
        "(g.finished is null or g.finished = '' or o.placed < g.finished)").fetchall()  # fmt: skip
    assert lines(found, "void") == set(rows)
