"""The page Walk paths: every path, one by itself, and saying how people walk."""

import re


def test_every_path_has_its_row_and_lines(reading):
    html = reading.get("/h/tern-hollow/walk-paths").text
    assert "Bedroom 2 to Hall bath" in html
    assert html.count('class="routes"') == 4  # two storeys, each wide and narrow
    assert "stroke-dasharray" in html


def test_one_path_shows_its_tightest_place(reading):
    html = reading.get("/h/tern-hollow/walk-paths?from_room=201&to_room=204").text
    marks = re.findall(r'class="marks".*?</g>', html, re.DOTALL)
    assert any("2'-4&quot;" in m or "2'-4\"" in m for m in marks)
    assert "All paths again" in html
    assert reading.get("/h/tern-hollow/walk-paths?from_room=zz&to_room=<x>").status_code == 200


def test_the_path_asked_for_stands_first(reading):
    html = reading.get("/h/tern-hollow/walk-paths?from_room=201&to_room=204").text
    rows = re.findall(
        r'<li class="side"( aria-current="true")?>\s*<p><a class="strong"[^>]*>([^<]+)', html
    )
    assert rows[0] == (' aria-current="true"', "Bedroom 2 to Hall bath")
    assert [current for current, _ in rows[1:]] == [""] * (len(rows) - 1)
    plain = reading.get("/h/tern-hollow/walk-paths").text
    others = [n for n in re.findall(r'<a class="strong"[^>]*>([^<]+)', plain) if n != rows[0][1]]
    assert [name for _, name in rows[1:]] == others


def test_json_of_the_api(reading):
    told = reading.get("/api/v1/houses/tern-hollow/walk-paths").json()
    assert told["schema"] == "roomwright/paths"
    assert any(p["from"] == "201" and p["to"] == "204" for p in told["paths"])


def test_the_house_page_leads_there(reading):
    assert "/h/tern-hollow/walk-paths" in reading.get("/h/tern-hollow").text
