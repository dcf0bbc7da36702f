"""Spreadsheets of strangers: what is read, what is said by cell, what is refused unopened."""

import io
import zipfile
from datetime import date

import openpyxl
import pytest

from roomwright.exchange.grids import Grid, SheetError, read_sheets
from roomwright.exchange.work_sheet import Mapped, guess, read_work


def saved(book) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def book(*rows, title="Plan"):
    made = openpyxl.Workbook()
    made.active.title = title
    for row in rows:
        made.active.append(row)
    return made


def read(*grids, known=()):
    return read_work(grids, [guess(g) for g in grids], dict(known))


HEAD = ("Task", "Duration", "Who", "Room", "Waits for")


def test_a_plain_sheet_with_a_title_over_it():
    made = book(("Smith house", None), (), HEAD, ("Prime", 2, "painter", 101, None),
                ("Paint", 1.5, "painter", "101 102", "Prime"))  # fmt: skip
    (grid,) = read_sheets("plan.xlsx", saved(made))
    found = read(grid)
    assert found.errors == []
    assert found.activities == [
        {"activity": "W1", "name": "Prime", "days_likely": "2", "trade": "painter",
         "rooms": ["101"]},
        {"activity": "W2", "name": "Paint", "days_likely": "3/2", "trade": "painter",
         "rooms": ["101", "102"]},
    ]  # fmt: skip
    assert found.links == [{"before": "W1", "after": "W2"}]


def test_every_error_stands_by_its_cell():
    made = book(HEAD, ("Prime", "two", "painter"), ("Paint", 0.3), ("Sand", None), (None, 1),
                ("Oil", 1, "painter", None, "Primer"))  # fmt: skip
    (grid,) = read_sheets("plan.xlsx", saved(made))
    said = {note.cell: note.wrong for note in read(grid).errors}
    assert set(said) == {"Plan!B2", "Plan!B3", "Plan!B4", "Plan!A5", "Plan!E6"}
    assert "“two” is not a number" in said["Plan!B2"]
    assert "half a day" in said["Plan!B3"]


def test_days_of_the_calendar_are_read_and_doubtful_ones_said():
    made = book(("Task", "Days", "Not before", "Due"), ("Prime", 1, date(2027, 4, 5), None),
                ("Paint", 1, "3/4/2027", "2027-05-01"))  # fmt: skip
    (grid,) = read_sheets("plan.xlsx", saved(made))
    found = read(grid)
    assert found.activities[0]["not_before"] == "2027-04-05"
    assert [n.cell for n in found.errors] == ["Plan!C3"]
    assert "two ways" in found.errors[0].wrong


def test_names_that_stand_twice_ask_for_an_id():
    made = book(("Task", "Duration", "Waits for"), ("Paint", 1), ("Paint", 1), ("Oil", 1, "Paint"))
    (grid,) = read_sheets("plan.xlsx", saved(made))
    (note,) = read(grid).errors
    assert note.cell == "Plan!C4"
    assert note.wrong == "2 activities are called “Paint”"
    assert "W1, W2" in note.do


def test_merged_cells_give_their_value_to_each_and_say_so():
    made = book(HEAD, ("Prime", 1, "painter"), ("Paint", 1))
    made.active.merge_cells("C2:C3")
    (grid,) = read_sheets("plan.xlsx", saved(made))
    assert [r["trade"] for r in read(grid).activities] == ["painter", "painter"]
    assert "Plan!C2:C3" in {note.cell for note in grid.notes}


def test_a_formula_without_its_value_is_an_error_where_it_is_read():
    made = book(HEAD, ("Prime", "=1+1", "painter"))
    (grid,) = read_sheets("plan.xlsx", saved(made))
    (note,) = read(grid).errors
    assert (note.cell, note.wrong) == ("Plan!B2", "is a formula that was saved without its value")


def test_a_formula_with_its_value_is_taken_and_said():
    body = saved(book(HEAD, ("Prime", "=1+1", "painter")))
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(body)) as old, zipfile.ZipFile(out, "w") as new:
        for entry in old.infolist():
            data = old.read(entry)
            if entry.filename.endswith("sheet1.xml"):
                assert b"<v></v>" in data or b"<v />" in data or b"<v/>" in data
                for empty in (b"<v></v>", b"<v />", b"<v/>"):
                    data = data.replace(empty, b"<v>2</v>")
            new.writestr(entry, data)
    (grid,) = read_sheets("plan.xlsx", out.getvalue())
    found = read(grid)
    assert found.errors == []
    assert found.activities[0]["days_likely"] == "2"
    assert [n.cell for n in found.notes] == ["Plan!B2"]


def test_links_on_a_sheet_of_their_own_may_lead_to_what_is_here():
    made = book(("id", "Task", "Days"), ("P1", "Prime", 1))
    made.create_sheet("Links")
    for row in (("before", "after", "kind", "lag", "reason"),
                ("K20", "P1", "start to start", 2, "drying"), ("P1", "K99")):  # fmt: skip
        made["Links"].append(row)
    grids = read_sheets("plan.xlsx", saved(made))
    found = read(*grids, known={"K20": "Set cabinets"}.items())
    assert found.links == [{"before": "K20", "after": "P1", "kind": "start to start",
                            "lag_days": "2", "reason": "drying"}]  # fmt: skip
    assert [n.cell for n in found.errors] == ["Links!B3"]


def test_comma_separated_text_with_semicolons_and_a_formula():
    body = "Task;Days\nPrime;1,5\nPaint;=1+1\n".encode("utf-8-sig")
    (grid,) = read_sheets("C:\\x\\my plan.csv", body)
    found = read(grid)
    assert grid.name == "my plan"
    assert found.activities[0]["days_likely"] == "3/2"
    assert [n.cell for n in found.errors] == ["my plan!B3"]


def test_a_line_break_in_a_cell_parts_what_it_holds():
    text = b"id,name,days,after\n1,lay tile,2,\n2,grout,1,1\n12,paint,1,\n"
    text += b'3,"hang\ndoors",1,"1\n2"\n4,trim,1,"hang\r\ndoors"\n'
    (grid,) = read_sheets("a.csv", text)
    found = read(grid)
    assert found.errors == []
    assert [a["name"] for a in found.activities] == ["lay tile", "grout", "paint", "hang doors",
                                                     "trim"]  # fmt: skip
    pairs = {(k["before"], k["after"]) for k in found.links}
    assert pairs == {("1", "2"), ("1", "3"), ("2", "3"), ("3", "4")}


def test_a_line_break_in_a_workbook_parts_names_likewise():
    made = book(HEAD, ("Lay tile", 1), ("Hang doors", 1),
                ("Oil", 1, None, None, "Lay tile\nHang  doors"))  # fmt: skip
    (grid,) = read_sheets("plan.xlsx", saved(made))
    assert [(k["before"], k["after"]) for k in read(grid).links] == [("W1", "W3"), ("W2", "W3")]


def test_a_quote_that_is_never_closed_swallows_nothing():
    with pytest.raises(SheetError, match="line 3 or after"):
        read_sheets("a.csv", b'name,days\nPrime,1\n"Paint,1\nOil,2\n')
    (grid,) = read_sheets("a.csv", b'name,days\n3/4" board,1\nOil,2')
    assert grid.rows == (("name", "days"), ('3/4" board', "1"), ("Oil", "2"))


def test_a_made_id_is_never_one_that_a_later_row_has():
    (grid,) = read_sheets("a.csv", b"id,name,days\n,first,1\nW1,second,1\n,third,1\n")
    found = read(grid)
    assert found.errors == []
    assert [a["activity"] for a in found.activities] == ["W2", "W1", "W3"]


def test_work_that_is_here_by_name_is_said():
    (grid,) = read_sheets("a.csv", b"id,name,days\n,prime,2\nW1,Prime,1\n,Oil,1\n")
    found = read(grid, known=[("W1", "Prime")])
    (note,) = found.notes
    assert (note.cell, found.errors) == ("a!B2", [])
    assert "as W1: this adds it once more, as W2" in note.wrong


def test_blanks_and_misspelt_words_cost_no_time(monkeypatch):
    looked = []
    monkeypatch.setattr("roomwright.exchange.cells.near",
                        lambda text, words, do: looked.append(len(words)) or do)  # fmt: skip
    rows = [f"A{i},lay the floor {i},1," for i in range(500)]
    rows += [f'B{k},x,1,"{",".join(f"floor q{i}" for i in range(100))}"' for k in range(40)]
    (grid,) = read_sheets("a.csv", "\n".join(["id,name,days,after", *rows]).encode())
    found = read(grid)
    assert len(found.errors) == 200
    assert 0 < sum(looked) <= 20_000

    wide = "\n".join(["name,days", *(f"x{i},1{' ' * 1980}days" for i in range(400))])
    (grid,) = read_sheets("a.csv", wide.encode())
    assert {a["days_likely"] for a in read(grid).activities} == {"1"}


def test_columns_may_be_named_by_the_person():
    grid = Grid("S", (("x", "y"), ("Prime", "2")))
    assert guess(grid).use == ""
    how = Mapped("activities", 0, {0: "name", 1: "days_likely"})
    assert read_work([grid], [how], {}).activities[0]["name"] == "Prime"
    (note,) = read_work([grid], [Mapped("activities", 0, {0: "name"})], {}).errors
    assert "working days" in note.wrong


def bent(change) -> bytes:
    """A workbook with one of its parts changed by hand."""
    out = io.BytesIO()
    plain = io.BytesIO(saved(book(HEAD, ("Prime", 1))))
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            new.writestr(entry.filename, change(entry.filename, old.read(entry)))
    return out.getvalue()


def in_sheet(old: bytes, put: bytes):
    return lambda name, data: data.replace(old, put) if name.endswith("sheet1.xml") else data


def merged(attributes: bytes) -> bytes:
    area = b"</sheetData><mergeCells><mergeCell " + attributes + b"/></mergeCells>"
    return bent(in_sheet(b"</sheetData>", area))


def linked(ref: bytes) -> bytes:
    area = b'</sheetData><hyperlinks><hyperlink ref="' + ref + b'" location="A1"/></hyperlinks>'
    return bent(in_sheet(b"</sheetData>", area))


def renamed(change) -> bytes:
    """A workbook whose sheet is a part with an unusual name, bent as `change` says."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(saved(book(HEAD, ("Prime", 1))))) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for entry in old.infolist():
            data = old.read(entry)
            if entry.filename.endswith("sheet1.xml"):
                data = change(data)
            if entry.filename in ("xl/_rels/workbook.xml.rels", "[Content_Types].xml"):
                data = data.replace(b"sheet1.xml", b"sheet1.dat")
            new.writestr(entry.filename.replace("sheet1.xml", "sheet1.dat"), data)
    return out.getvalue()


def prefixed(prefix: bytes, cells: int) -> bytes:
    space = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    p = prefix + b":"
    row = b"<%sc><%sv>1</%sv></%sc>" % (p, p, p, p) * cells
    sheet = b'<%sworksheet xmlns:%s="%s"><%ssheetData><%srow>%s</%srow></%ssheetData></%sworksheet>'
    made = sheet % (p, prefix, space, p, p, row, p, p, p)
    return bent(lambda name, data: made if name.endswith("sheet1.xml") else data)


MERGED = b'</sheetData><mergeCells><mergeCell ref="A1:Z20000"/></mergeCells>'
BOMB = b"<!DOCTYPE a [<!ENTITY b 'bbbb'>]>"
HOSTILE = {
    "zip bomb": bent(lambda n, d: b" " * 60_000_000 if n.endswith("theme1.xml") else d),
    "entities": bent(in_sheet(b"<worksheet", BOMB + b"<worksheet")),
    "whole sheet merged": merged(b'ref="A1:XFD1048576"'),
    "merged, spelt otherwise": merged(b" a='1' ref = 'A1:XFD9999'"),
    "merged, past a bracket": merged(b'a=">" ref="A1:XFD9999"'),
    "merged, in characters": merged(b'ref="&#65;1:XFD9999"'),
    "cells without end": bent(in_sheet(b"<sheetData>", b"<sheetData>" + b"<c/>" * 300_000)),
    "broken xml": bent(in_sheet(b"</sheetData>", b"")),
    "merged, far after blanks": merged(b" " * 300 + b'ref="A1:Z20000"'),
    "merged, in a part of another name": renamed(lambda d: d.replace(b"</sheetData>", MERGED)),
    "entities in a part of another name": renamed(
        lambda d: d.replace(b"<worksheet", BOMB + b"<worksheet")
    ),
    "cells of another prefix": prefixed(b"x_y", 300_000),
    "cells by another name": bent(
        in_sheet(b"<sheetData>", b"<sheetData><row>" + b"<k><v>1</v></k>" * 300_000 + b"</row>")
    ),
    "nested without end": bent(in_sheet(b"<sheetData>", b"<a>" * 5_000 + b"<sheetData>")),
    "elements without end": bent(in_sheet(b"<sheetData>", b"<sheetData>" + b"<a/>" * 1_100_000)),
    "in another coding": bent(
        lambda n, d: d.decode().encode("utf-32") if n.endswith("sheet1.xml") else d
    ),
    "checks of cells without end": bent(
        in_sheet(
            b"<sheetData>",
            b'<dataValidations><dataValidation sqref="'
            + b"A1 " * 60_000
            + b'"/></dataValidations><sheetData>',
        )
    ),
    "entities in utf-16": bent(
        lambda n, d: (BOMB + b"<a/>").decode().encode("utf-16") if n.endswith("app.xml") else d
    ),
    "far to the right": bent(in_sheet(b'r="A2"', b'r="XFD2"')),
    "no zip": b"PK\x03\x04" + b"x" * 200,
    "old workbook": b"\xd0\xcf\x11\xe0" + b"x" * 600,
    "pdf": b"%PDF-1.7 ...",
    "too large": b"PK\x03\x04" + b"x" * 5_000_000,
    "a row far below": bent(in_sheet(b'r="A2"', b'r="A999999"')),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_built_to_harm_is_refused(name):
    with pytest.raises(SheetError):
        read_sheets("x.xlsx", HOSTILE[name])


def test_links_over_whole_sheets_cost_nothing_for_no_link_is_opened():
    for ref in (b"A1:Z20000", b"A1:XFD1048576"):
        (grid,) = read_sheets("x.xlsx", linked(ref))
        assert grid.rows == (HEAD, ("Prime", "1"))


def test_what_a_sheet_says_of_its_size_is_not_believed():
    said = bent(in_sheet(b'<dimension ref="A1:E2"', b'<dimension ref="A1:XFD1048576"'))
    assert said != saved(book(HEAD, ("Prime", 1)))
    (grid,) = read_sheets("x.xlsx", said)
    assert grid.rows == (HEAD, ("Prime", "1"))


def test_a_sheet_in_a_part_of_another_name_or_prefix_is_read_like_any():
    assert read_sheets("x.xlsx", renamed(lambda d: d))[0].rows == (HEAD, ("Prime", "1"))
    assert read_sheets("x.xlsx", prefixed(b"x_y", 3))[0].rows == (("1", "1", "1"),)


def test_a_part_in_utf_16_beside_the_sheets_is_no_harm():
    body = bent(lambda n, d: "<a>&#233;</a>".encode("utf-16") if n.endswith("app.xml") else d)
    assert read_sheets("x.xlsx", body)[0].rows == (HEAD, ("Prime", "1"))


def test_rows_out_of_order_are_refused_not_dropped():
    out = bent(lambda n, d: d.replace(b'<row r="1"', b'<row r="3"') if "sheet1" in n else d)
    with pytest.raises(SheetError, match="out of order"):
        read_sheets("x.xlsx", out)


def test_more_sheets_than_are_read_are_said():
    made = book(HEAD)
    for i in range(25):
        made.create_sheet(f"S{i}").append(HEAD)
    with pytest.raises(SheetError, match="26 sheets: 20 at most"):
        read_sheets("x.xlsx", saved(made))
    for sheet in made.worksheets[20:]:
        sheet.sheet_state = "hidden"
    assert len(read_sheets("x.xlsx", saved(made))) == 20


@pytest.mark.parametrize("seed", range(30))
def test_bytes_bent_at_random_never_fail_otherwise(seed):
    import random

    rng = random.Random(seed)
    body = bytearray(saved(book(HEAD, ("Prime", 1))))
    for _ in range(rng.randint(1, 30)):
        body[rng.randrange(len(body))] = rng.randrange(256)
    try:
        grids = read_sheets("x.xlsx", bytes(body))
    except SheetError:
        return
    read(*grids)
