"""Work from a spreadsheet on its page: looked at, mapped, refused by cell, taken whole."""

import html as escaped
import io
import re

import openpyxl
import pytest
from tests.web.conftest import HOUSE
from tests.web.test_pages import Links

from roomwright.job.entities import Activity, Link

AT = f"{HOUSE}/import-work"


def workbook(*rows) -> bytes:
    made = openpyxl.Workbook()
    made.active.title = "Plan"
    for row in rows:
        made.active.append(row)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


HEAD = ("No", "Task", "Duration", "Who", "Room", "Waits for")
GOOD = workbook(HEAD, ("X1", "Oil the stair", 1, "painter", "101", "A175"),
                ("X2", "Wax the stair", "1/2", "painter", "101", "X1"))  # fmt: skip


def send(client, body, name="plan.xlsx"):
    return client.post(AT, files={"file": (name, body)})


def carried(page: str) -> dict[str, str]:
    """What the form of the page would send again."""
    fields = {}
    for tag in re.findall(r"<input[^>]*>", page):
        held = dict(re.findall(r'(\w+)="([^"]*)"', tag))
        if held.get("type") != "radio" and "name" in held:
            fields[held["name"]] = escaped.unescape(held.get("value", ""))
    for name, inside in re.findall(r'<select[^>]*name="([^"]+)">(.*?)</select>', page, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', inside)
        fields[name] = chosen[1] if chosen else ""
    return fields


def test_the_page_opens(reading):
    found = Links(reading.get(AT).text)
    assert not found.inline


def test_a_sheet_is_looked_at_and_then_taken(client, store):
    before = store.facts("tern-hollow").sequence
    page = send(client, GOOD).text
    assert "2 activities, 2 links" in page
    assert store.facts("tern-hollow").sequence == before
    assert not Links(page).inline
    done = client.post(AT, files={}, data={**carried(page), "do": "take"})
    assert done.status_code == 303, done.text
    facts = store.facts("tern-hollow")
    assert facts.sequence == before + 1
    assert facts.get(Activity, "X1").name == "Oil the stair"
    assert facts.find(Link, "A175 > X1 (finish to start)") is not None
    again = client.post(AT, data={**carried(page), "do": "take"})
    assert again.status_code in (200, 303)
    assert store.facts("tern-hollow").sequence == before + 1


def test_errors_stand_by_their_cells_and_nothing_is_stored(client, store):
    before = store.facts("tern-hollow").sequence
    bad = workbook(HEAD, ("X1", "Oil", "many", "", "999"), ("X2", "Wax", 1, "", "999"))
    page = send(client, bad).text
    for cell in ("Plan!C2", "Plan!E3"):
        assert cell in page
    page = send(client, workbook(HEAD, ("X2", "Wax", 1), ("A175", "There already", 1))).text
    assert "Plan!A3" in page
    client.post(AT, data={**carried(page), "do": "take"})
    assert store.facts("tern-hollow").sequence == before


def test_what_is_here_is_changed_only_if_that_is_said(client, store):
    page = send(client, workbook(HEAD, ("A175", "Set it", 5))).text
    assert "is here already" in page
    page = client.post(AT, data={**carried(page), "clash": "change"}).text
    assert "1 changed" in page
    client.post(AT, data={**carried(page), "clash": "change", "do": "take"})
    held = store.facts("tern-hollow").get(Activity, "A175")
    assert (held.name, held.days_likely, held.trade) == ("Set it", 5, "cabinet")


def test_a_ring_in_the_sheet_is_named(client):
    page = send(
        client, workbook(HEAD, ("X1", "Oil", 1, "", "", "X2"), ("X2", "Wax", 1, "", "", "X1"))
    )
    assert "X1 Oil" in page.text
    assert "ring" in page.text


def test_columns_named_by_hand_hold(client):
    page = send(client, workbook(("a", "b"), ("Oil", 1))).text
    fields = carried(page)
    fields |= {"use.0": "activities", "col.0.0": "name", "col.0.1": "days_likely"}
    assert "1 activity, 0 links" in client.post(AT, data=fields).text


def test_bent_pages_and_files_are_refused_in_words(client):
    assert client.post(AT, data={"cells": '{"file":1}'}).status_code == 422
    assert "Choose a file" in client.post(AT, data={"x": "1"}).text
    assert "Not read" in send(client, b"PK\x03\x04 no").text
    assert client.post(AT, files={"file": ("x.xlsx", b"0" * 6_000_000)}).status_code == 413


@pytest.mark.parametrize("cells", [
    '{"file":"a","sheets":[{"name":"a","rows":[],"notes":[],"bad":[[1e999,1,"a","b","c"]]}]}',
    '{"file":"a","sheets":[{"name":"a","rows":[],"notes":[],"bad":[[-1,1,"a","b","c"]]}]}',
    '{"file":"\\ud800","sheets":[]}',
    '{"file":"a","sheets":[{"name":"a","rows":[["\\ud800"]],"notes":[],"bad":[]}]}',
    '{"file":"a","sheets":' + "[" * 50_000 + "]" * 50_000 + "}",
    '{"file":"a","sheets":[{"name":"a","rows":"ab","notes":[],"bad":[]}]}',
])  # fmt: skip
def test_cells_bent_on_their_way_are_refused_in_words(client, cells):
    said = client.post(AT, data={"cells": cells, "use.0": "activities"})
    assert said.status_code == 422
    assert "The page is broken" in said.text


def test_cells_that_grew_on_their_way_are_refused(client):
    row = '["x"],' * 3_001
    cells = '{"file":"a","sheets":[{"name":"a","rows":[' + row[:-1] + '],"notes":[],"bad":[]}]}'
    assert "more than 3000 rows" in client.post(AT, data={"cells": cells}).text


def test_what_is_shown_can_be_taken_whatever_its_letters_weigh(client, store):
    """Letters of two bytes: over a megabyte of cells is shown, and then taken."""
    rows = "".join(f"Z{i},{'ñ' * 400},1\n" for i in range(1_400))
    page = send(client, f"id,name,days\n{rows}".encode(), "a.csv").text
    assert "1400 activities" in page.replace(",", "")
    fields = carried(page)
    assert len(fields["cells"].encode()) > 1_048_576
    done = client.post(AT, files={"x": ("", b"")}, data={**fields, "do": "take"})
    assert done.status_code == 303, done.text[:500]
    assert store.facts("tern-hollow").get(Activity, "Z7").name == "ñ" * 400
    wide = "".join(f"Z{i},{'ñ' * 900},1\n" for i in range(1_400))
    assert "too long for one page" in send(client, f"id,name,days\n{wide}".encode(), "a.csv").text
