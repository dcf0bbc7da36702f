"""What is written reads again as the same facts, and nothing is lost or half written."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.exchange.houses import read

from roomwright.exchange.folder import FolderError, read_files, read_folder
from roomwright.exchange.samples import example_path
from roomwright.exchange.writer import to_files, write_folder
from roomwright.job.entities import (
    Activity,
    Companion,
    Contact,
    FieldMeasure,
    House,
    Link,
    Opening,
    Piece,
    Posting,
    Reading,
    Room,
    WorkCalendar,
)
from roomwright.job.facts import Change, Facts

DEMO = read_folder(example_path("tern-hollow")).facts
F = Fraction


def again(facts):
    return read_files({n: t.encode() for n, t in to_files(facts).items()}).facts


def holds(*facts):
    whole = Facts([HOUSE, ROOM, *facts])
    back = again(whole)
    assert list(back) == list(whole)
    return to_files(whole)


HOUSE = House(name="Ours", site_start=date(2027, 1, 18))
ROOM = Room(
    id="1", level="1", outline=((F(0), F(0)), (F(100), F(0)), (F(100), F(80)), (F(0), F(80)))
)


def test_the_demo_comes_round():
    assert list(again(DEMO)) == list(DEMO)
    assert to_files(again(DEMO)) == to_files(DEMO)


def test_the_small_house_comes_round():
    facts = read().facts
    assert list(again(facts)) == list(facts)


texts = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n\t"), max_size=30
).map(str.strip)
ids = (
    st.text(
        st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp", "Zs", "Cf", "Co", "Cn")),
        min_size=1,
        max_size=12,
    )
    .map(str.strip)
    .filter(lambda t: t and t.isprintable())
)
sizes = st.fractions(min_value=F(1, 64), max_value=2000, max_denominator=128)
places = st.fractions(min_value=-900, max_value=900, max_denominator=127)


@settings(deadline=None)
@given(ids, texts, texts, st.dictionaries(ids.map(lambda t: f"x {t}"), ids, max_size=2))
def test_any_text_comes_round(id, name, phone, extra):
    extra = {k: v for k, v in extra.items() if k.lower() == k and "*" not in k and "-" not in k}
    extra = {k: v for k, v in extra.items() if "_" not in k and len(k.split()) == 2}
    holds(Contact(id=id, name=name, phone=phone, extra=extra))


@settings(deadline=None)
@given(places, places, sizes, st.integers(-359, 359), st.none() | sizes)
def test_any_piece_comes_round(x, y, size, turn, height):
    holds(Piece(id="P", room="1", kind="=desk", x=x, y=y, width=size, depth=size, turn=F(turn),
                height=height, uses={"north": "walk past", "east": "rise"}))  # fmt: skip


@settings(deadline=None)
@given(places, places, sizes.map(lambda s: s + 12), sizes.map(lambda s: s + 12))
def test_any_outline_comes_round(x, y, w, d):
    corners = ((x, y), (x + w, y), (x + w, y + d), (x, y + d))
    whole = Facts([HOUSE, ROOM.model_copy(update={"outline": corners, "ceiling": F(3, 4)})])
    back = again(whole)
    assert list(back) == list(whole)


def test_no_spreadsheet_takes_a_size_for_a_date():
    text = to_files(DEMO)["floors.csv"]
    assert "0 3/4" in text
    assert ",3/4" not in text


@pytest.mark.parametrize("cell", ["=", "=1+1", "-", "+", "@", "#", "'", "''", "'=", "'tis", "-5"])
def test_a_cell_of_ones_own_column_comes_round(cell):
    rows = holds(Contact(id="t1", name="a", extra={"x y": cell}))["contacts.csv"].splitlines()
    assert not rows[1].rpartition(",")[2].startswith(("=", "@", "#"))


def test_no_spreadsheet_takes_a_text_for_a_formula():
    rows = holds(*(Contact(id=f"t{i}", name=name) for i, name in enumerate(
        ["=1+1", "+cmd", "-x", "@sum(a)", "'=x", "'tis", "#1"])))["contacts.csv"]  # fmt: skip
    assert rows.splitlines()[1:] == [
        "t0,'=1+1,", "t1,'+cmd,", "t2,'-x,", "t3,'@sum(a),", "t4,''=x,", "t5,'tis,", "t6,'#1,",
    ]  # fmt: skip
    assert "+1 (555) 0140" in holds(Contact(id="t", phone="+1 (555) 0140"))["contacts.csv"]


def test_lists_of_ids_with_blanks_in_them():
    rooms = [ROOM.model_copy(update={"id": "Great room", "level": "2"}),
             ROOM.model_copy(update={"id": "Den", "level": "3"})]  # fmt: skip
    work = [Activity(id=f"A{i}", days_likely=F(5, 2), rooms=rooms_) for i, rooms_ in enumerate(
        [("all",), ("Great room",), ("Great room", "Den"), ("Den", "1"), ()])]  # fmt: skip
    holds(*rooms, *work)


def test_what_the_program_adds_to_a_folder_comes_round():
    sheet = Posting(
        id="1/tile/A", room="1", trade="tile", revision="A", posted=date(2027, 3, 1),
        taken_down=date(2027, 3, 2), code="red oak", content="{" + "y" * 5000 + "}",
    )  # fmt: skip
    readings = [Reading(id=i, room="1", from_corner="A", to_corner="B", length=F(100))
                for i in ("1/A-B/1", "1/A-B/2", "1/A-B/9", "mine")]  # fmt: skip
    text = holds(sheet, *readings)["readings.csv"]
    assert [line.rsplit(",", 1)[1] for line in text.splitlines()] == [
        "reading", "", "", "1/A-B/9", "mine"]  # fmt: skip
    assert "content" not in to_files(DEMO)["posted.csv"]


def test_long_ids_made_of_cells_come_round():
    kind = read().facts
    part = "p" * 150
    facts = Facts([*kind, *read(companions=f"class,part,when\nDESK,{part},if so\n").facts])
    back = again(facts)
    assert list(back) == list(facts)
    assert max(len(c.id) for c in back.all(Companion)) <= 80


def test_links_openings_and_houses():
    house = House(name='The "old" house\n', site_start=date(2027, 1, 18), cost_per_day=F(621, 2),
                  overrides={"dining.rise": "30 1/2"}, extra={"a key": "x\x7fy", "b": "\\"},
                  days_off=(date(2027, 5, 31),), work_week=("mon", "sat"))  # fmt: skip
    door = Opening(id="D", from_room="out", to_room="1", kind="swing", a=(F(10), F(0)),
                   b=(F(46), F(0)), hinge=(F(10), F(0)), swings_into="1")  # fmt: skip
    work = [Activity(id=i, days_likely=F(1)) for i in "ab"]
    link = Link(id="a > b (finish to start)", before="a", after="b", lag_days=F(-1, 2))
    house = house.model_copy(update={"name": 'The "old" house'})
    facts = Facts([house, ROOM, door, *work, link])
    assert list(again(facts)) == list(facts)


def test_writing_never_overwrites_a_house_unasked(tmp_path):
    names = write_folder(DEMO, tmp_path / "new")
    assert list(read_folder(tmp_path / "new").facts) == list(DEMO)
    assert "house.toml" in names
    with pytest.raises(FolderError, match="there is a house in it already"):
        write_folder(DEMO, tmp_path / "new")
    (tmp_path / "new" / "README.md").write_text("mine", encoding="utf-8")
    small = Facts([HOUSE, ROOM])
    write_folder(small, tmp_path / "new", replace=True)
    assert list(read_folder(tmp_path / "new").facts) == list(small)
    assert sorted(p.name for p in (tmp_path / "new").iterdir()) == [
        "README.md", "house.toml", "rooms.csv"]  # fmt: skip


def test_writing_where_nothing_can_be_written(tmp_path):
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(FolderError, match="cannot be written"):
        write_folder(DEMO, tmp_path / "file")


def test_whatever_a_calendar_or_a_measure_may_hold_comes_round():
    first = date(2027, 1, 4)
    runs = tuple(
        f"{first + timedelta(days=7 * i)} to {first + timedelta(days=7 * i + 1)}"
        for i in range(400)
    )
    ids = tuple(f"A{i} {'x' * 70}" for i in range(100))
    new = [
        WorkCalendar(id="tile", closed=runs, mornings=runs),
        *(Activity(id=id, days_likely=1) for id in ids),
        FieldMeasure(id="class GLASS", part_class="GLASS", after=ids, expires_by=ids),
    ]
    changes = [Change(f.kind_name, f.id, DEMO.find(type(f), f.id), f) for f in new]
    back = again(DEMO.changed(changes))
    for fact in new:
        assert back.find(type(fact), fact.id) == fact
