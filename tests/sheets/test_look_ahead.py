"""The weeks ahead on paper: landscape letter, black only, as many pages as it takes."""

import io
from datetime import date

import pypdf
import pytest
from tests.drawing.svg import SVG, parse

from roomwright.answers import Answers
from roomwright.answers.look_ahead import look_ahead
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path
from roomwright.sheets import look_ahead as paper

DAY = date(2027, 3, 29)


@pytest.fixture(scope="module")
def answers():
    return Answers(read_folder(example_path("tern-hollow")).facts, as_of=DAY)


@pytest.mark.parametrize("first", [DAY, date(2027, 4, 26), date(2027, 6, 7), date(2028, 3, 1)])
def test_pages_are_letter_across_and_say_follow_local_code(answers, first):
    found = answers.ask(look_ahead, first)
    made = paper.pdf(found, printed="Mar 29, 2027")
    pages = pypdf.PdfReader(io.BytesIO(made)).pages
    assert len(pages) >= 1
    for page in pages:
        assert [float(v) for v in page.mediabox] == [0, 0, 792, 612]
    assert "ollow local code and licensed practice" in pages[-1].extract_text()
    assert made == paper.pdf(found, printed="Mar 29, 2027")


def test_more_weeks_take_more_pages_and_none_is_lost(answers):
    found = answers.ask(look_ahead, DAY, 6)
    grids = list(paper._grids(found))
    for by, rows in (("crew", found.crews), ("room", found.rooms)):
        drawn = [
            row
            for key, _, svg in grids
            if key.startswith(by)
            for row in parse(svg).iter(f"{SVG}g")
            if row.get("class") == "row"
        ]
        assert len(drawn) == len(rows)
        for group, row in zip(drawn, rows, strict=True):
            bars = [g for g in group.iter(f"{SVG}g") if g.get("class") == "bar"]
            names = sorted(next(g.iter(f"{SVG}text")).text.rstrip("… ") for g in bars)
            whole = sorted(bar.name for bar in row.bars)
            assert len(names) == len(whole), row.title
            assert all(name.startswith(said) for said, name in zip(names, whole, strict=True))
            assert all(len(said) >= 3 for said in names)
    assert len(grids) > 2


def test_paper_is_black(answers):
    for _, _, svg in paper._grids(answers.ask(look_ahead, DAY)):
        colors = {w for w in svg.replace('"', " ").split() if w.startswith("#")}
        assert colors <= {"#000", "#fff"}
