"""Wall sheets as answers: what they say, their code, whether the paper that hangs still holds."""

from collections import defaultdict
from datetime import date, timedelta
from fractions import Fraction

import pytest
from tests.answers.demo_house import WRITTEN, answers, facts

from roomwright import commands
from roomwright.answers import sheet_cautions, sheet_code, sheets
from roomwright.answers.counts import counts
from roomwright.answers.plan_model import WORDS
from roomwright.answers.sheet_model import MEASURE
from roomwright.job.entities import (
    Order,
    Part,
    Piece,
    Posting,
    Reading,
    Receipt,
    Room,
)


@pytest.fixture(scope="module")
def demo():
    return answers()


def hang(sheet, posted=WRITTEN, **values):
    """A posting of a sheet as printed."""
    fields = {"trade": sheet.trade, "revision": sheet.revision, "code": sheet.code}
    return Posting(
        id=f"{sheet.room}/{sheet.trade}/{sheet.revision}", room=sheet.room, posted=posted,
        content=sheet.content, **(fields | values),
    )  # fmt: skip


# --- words of the code ---------------------------------------------------------------------------


def test_code_words_are_short_plain_and_apart():
    words = sheet_code.words()
    assert len(words) == len(set(words)) == 2048
    assert all(3 <= len(w) <= 8 and w.isascii() and w.isalpha() and w.islower() for w in words)
    assert list(words) == sorted(words)
    near = defaultdict(set)  # two words one slip apart share a word with one letter left out
    for word in words:
        for i in range(len(word)):
            near[word[:i] + word[i + 1 :]].add(word)
        near[word].add(word)
    pairs = {(a, b) for same in near.values() for a in same for b in same if a < b}
    assert [(a, b) for a, b in pairs if sheet_code.slip(a, b)] == []


def test_code_words_are_none_that_a_sheet_uses():
    used = {*WORDS, "north", "south", "east", "west", "measure", "wall", "door", "window", "stop",
            "cut", "kitchen", "closet", "hallway", "zero", "half", "inch", "foot", "danger",
            "caution", "sheet", "code", "closed", "left", "right"}  # fmt: skip
    assert not used & set(sheet_code.words())


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("haddock ostrich pea", "haddock-ostrich-pea"),
        (" HADDOCK-ostrich-Pea ", "haddock-ostrich-pea"),
        ("hadock ostrich pea", "haddock-ostrich-pea"),
        ("haddock ostirch pea", "haddock-ostrich-pea"),
        ("haddock ostrich", None),
        ("haddock ostrich pea pea", None),
        ("qqqqq ostrich pea", None),
        ("", None),
    ],
)
def test_codes_are_read_as_people_type_them(typed, read):
    assert sheet_code.read(typed) == read


# --- content and code ----------------------------------------------------------------------------


def test_dining_sheet(demo):
    sheet = demo.ask(sheets.sheet, "101", "")
    assert (sheet.title, sheet.for_whom, sheet.house) == ("Dining 101", "All trades", "Tern Hollow")
    drawn = {row.key: row.drawn for row in sheet.dims}
    assert drawn["T1 east"] == "3'-3\""
    assert drawn["wall A"] == "13'-6\""
    assert (drawn["C1 x"], drawn["C1 y"]) == ("6'-9\"", "6'-3\"")
    assert [(c.who, c.phone) for c in sheet.calls] == [("builder", "555-0140")]
    assert sheet.revision == "A"
    assert [p.plan for p in sheet.parts if p.line == "L008"] == [8]
    assert any("Pendant" in n.text and n.when == "Apr 5" for n in sheet.news)


def test_readings_stand_beside_what_is_drawn_or_measure(demo):
    """Wall B was once read 3 in. long: both readings show, and it is to be measured again."""
    rows = {row.key: row.taped for row in demo.ask(sheets.sheet, "101", "").dims if row.taped}
    assert rows == {
        "wall A": "A 13'-6 1/8\" board, Mar 25; C 13'-5 7/8\" board, Mar 25",
        "wall B": "B 12'-6 3/8\" or 12'-9 1/4\": measure; D 12'-6\" board, Mar 25",
    }
    assert {
        r.taped for r in demo.ask(sheets.sheet, "102", "").dims if r.key.startswith("wall")
    } == {MEASURE}


@pytest.mark.parametrize("gone", [{"on": None}, {"by": " "}, {"face": ""}])
def test_a_reading_without_date_person_or_face_prints_measure(gone):
    mine = [r for r in facts().where(Reading, "room", "204") if r.kind == "wall"]
    edited = [r.model_copy(update=gone) for r in mine]
    sheet = answers(*edited).ask(sheets.sheet, "204", "")
    assert {row.taped for row in sheet.dims if row.taped} == {MEASURE}


def test_code_is_of_what_people_build():
    """A moved piece, a count and a reading change it; the day, orders and receipts do not."""
    base = answers().ask(sheets.sheet, "101", "").code
    table = facts().get(Piece, "T1")
    moved = table.model_copy(update={"x": table.x - 5})
    fewer = facts().get(Part, "L008").model_copy(update={"qty": 6})
    taped = (
        facts()
        .where(Reading, "room", "101")[0]
        .model_copy(update={"on": date(2027, 3, 26), "length": Fraction(162)})
    )
    others = [answers(each).ask(sheets.sheet, "101", "").code for each in (moved, fewer, taped)]
    assert len({base, *others}) == 4
    same = [
        answers(as_of=WRITTEN + timedelta(days=30)),
        answers(Receipt(id="R999", order="PO-141", line="L003", qty=1, on=WRITTEN)),
        answers(Order(id="PO-999/L007", order="PO-999", line="L007", qty=1, placed=WRITTEN)),
    ]
    assert {each.ask(sheets.sheet, "101", "").code for each in same} == {base}


def test_every_room_has_its_own_code(demo):
    codes = [demo.ask(sheets.sheet, room, "").code for room in facts().ids(Room)]
    assert len(set(codes)) == len(codes)
    assert {code.count("-") for code in codes} == {2}


def test_counts_are_those_of_the_counts_page(demo):
    rows = {row.line: (row.plan, row.ordered, row.received) for row in demo.ask(counts).rows}
    for room in facts().ids(Room):
        for part in demo.ask(sheets.sheet, room, "").parts:
            assert (part.plan, part.ordered, part.received) == rows[part.line], part.line


def test_a_trade_gets_its_own_lines(demo):
    mine = {p.name for p in demo.ask(sheets.sheet, "101", "electrician").parts}
    assert mine == {"Receptacle", "Switch / dimmer", "Pendant / chandelier"}
    sheet = demo.ask(sheets.sheet, "101", "electrician")
    assert [(c.who, c.name) for c in sheet.calls] == [
        ("builder", "site"),
        ("electrician", "Lark Electric"),
    ]


# --- cautions ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("things", "keys"),
    [
        (["Range 30, gas or electric"], ["gas", "power", "heavy"]),
        (["Range receptacle 50 A", "also roughed though gas (electric-ready)"], ["power"]),
        (["Shower glass"], ["glass"]),
        (["Shower valve + trim"], ["hot water"]),
        (["Toilet-paper holder"], []),
        (["stair, first treads"], ["stair"]),
        (["Rug"], []),
    ],
)
def test_cautions_follow_from_what_a_room_gets(things, keys):
    assert [c.key for c in sheet_cautions.cautions(things)] == keys


def test_cautions_name_their_source_and_end_as_they_must():
    assert sheet_cautions.ENDING == "Follow local code and licensed practice."
    for rule in sheet_cautions.RULES:
        assert rule.source.strip()
        assert "approve" not in rule.says.lower()


# --- what hangs ----------------------------------------------------------------------------------


def rows_of(found):
    return {(row.room, row.trade): row for row in found.ask(sheets.sheets)}


def test_sheets_hung_before_contents_were_kept_are_checked_by_eye(demo):
    rows = rows_of(demo)
    assert rows["102", "electrician"].state == "by eye"
    assert sheets.BY_EYE in rows["102", "electrician"].text
    assert "island receptacles have since moved" in rows["102", "electrician"].text
    assert rows["102", ""].state == "not hung"
    assert demo.ask(sheets.sheet, "102", "electrician").revision == "C"
    assert rows["102", "electrician"].revision == "C"  # what its button prints


def test_every_room_is_listed_once_in_walking_order(demo):
    order = demo.ask(sheets.walking_order)
    assert sorted(order) == sorted(facts().ids(Room))
    assert order[:3] == ("103", "101", "102")
    level = [facts().get(Room, room).level for room in order]
    assert level == sorted(level), "one storey is walked before the next"
    assert [r.room for r in demo.ask(sheets.sheets) if not r.trade] == list(order)


def test_a_sheet_holds_until_what_it_says_changes():
    first = answers().ask(sheets.sheet, "101", "")
    hung = hang(first)
    now = answers(hung)
    assert rows_of(now)["101", ""].state == "current"
    assert now.ask(sheets.sheet, "101", "").revision == "A"
    table = facts().get(Piece, "T1")
    after = answers(hung, table.model_copy(update={"x": table.x - 5}))
    row = rows_of(after)["101", ""]
    assert (row.state, row.revision) == ("changed", "B")
    assert "dining table east end to east wall; tightest of walk path Entry to Kitchen: " \
        "3'-3\" is now 3'-8\"" in row.changed  # fmt: skip
    assert any(each.startswith("T1 dining table") and "moved" in each for each in row.changed)
    assert rows_of(after)["102", ""].state == "not hung"


def test_hanging_by_command_keeps_what_was_printed():
    sheet = answers().ask(sheets.sheet, "101", "electrician")
    command = commands.HangSheet(
        room="101", trade="electrician", posted=WRITTEN, revision=sheet.revision,
        code=sheet.code, content=sheet.content,
    )  # fmt: skip
    changes = command.work(facts(), None).changes
    after = answers().supposing(changes)
    row = rows_of(after)["101", "electrician"]
    assert (row.state, row.revision) == ("current", "B")


def test_taken_down_sheets_do_not_hang():
    first = answers().ask(sheets.sheet, "101", "")
    gone = hang(first, taken_down=WRITTEN)
    again = answers(gone)
    assert rows_of(again)["101", ""].state == "not hung"
    assert again.ask(sheets.sheet, "101", "").revision == "B"


@pytest.mark.parametrize("content", ["", "not json", "[]", '{"version": 99}'])
def test_contents_that_cannot_be_compared_tell_no_change(content):
    new = answers().ask(sheets.sheet, "101", "").content
    assert sheets.changes(content, new) == ()


def test_changes_are_said_of_every_part():
    was = answers().ask(sheets.sheet, "204", "")
    tub = facts().get(Piece, "V2")
    part = facts().where(Part, "room", "204")[0]
    now = answers(
        tub.model_copy(update={"x": tub.x + 1}),
        part.model_copy(update={"qty": part.qty + 1}),
        Piece(id="N1", room="204", kind="hamper", width=12, depth=12, x=70, y=300),
    ).ask(sheets.sheet, "204", "")
    told = sheets.changes(was.content, now.content)
    assert any("is now 2" in each for each in told)
    assert any(each.startswith("V2 alcove tub") and each.endswith("has moved") for each in told)
    assert any(each.startswith("N1 hamper") and each.endswith("is new") for each in told)
    back = sheets.changes(now.content, was.content)
    assert any(each.startswith("N1 hamper") and each.endswith("is gone") for each in back)
