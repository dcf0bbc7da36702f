"""A kind of one's own is a line of kinds.csv: it gets its clearances, its figure and its source."""

import shutil
from datetime import date

import pytest

from roomwright.answers.engine import Answers
from roomwright.answers.own_kinds import own_kinds
from roomwright.answers.room_json import as_json
from roomwright.answers.rooms import needs, room_fit
from roomwright.answers.what_fits import kinds_for, what_fits
from roomwright.exchange.folder import read_folder
from roomwright.exchange.problems import FolderError
from roomwright.exchange.rules import pieces
from roomwright.exchange.samples import example_path
from roomwright.fit.search_wanted import Wanted, WantedError
from roomwright.job.facts import Change


@pytest.fixture
def house(tmp_path):
    def with_lines(kind, piece):
        folder = tmp_path / "house"
        shutil.copytree(example_path("tern-hollow"), folder)
        (folder / "kinds.csv").write_text(
            "kind,like,also,front,back,left,right,around,note\n" + kind + "\n", encoding="utf-8"
        )
        pieces = folder / "pieces.csv"
        pieces.write_text(pieces.read_text(encoding="utf-8") + piece + "\n", encoding="utf-8")
        return read_folder(folder)

    return with_lines


def test_a_pottery_wheel_by_a_csv_line_only(house):
    read = house(
        "pottery wheel,,kick wheel,30 sit and throw,,,,12 clean,the maker's leaflet",
        "W1,109,pottery wheel,28,32,34,400,250,0,",
    )
    assert not read.warnings
    answers = Answers(read.facts, as_of=date(2027, 3, 29))
    fit = next(p for p in answers.ask(room_fit, "109").pieces if p.piece.id == "W1")
    by_side = {side.local: side for side in fit.sides}
    assert by_side["front"].needs == 30
    assert by_side["front"].use == "sit and throw"
    assert by_side["left"].needs == 12
    assert all(side.margin == side.clear - side.needs for side in fit.sides)
    told = as_json(answers.ask(room_fit, "109"), answers.ask(needs, "").source)
    cited = told["figures"]["own.pottery wheel.front"]
    assert '30"' in cited
    assert "your own, kinds.csv: the maker's leaflet" in cited
    assert answers.ask(own_kinds).named("Kick wheel, used").name == "pottery wheel"


def test_it_is_like_what_it_says(house):
    read = house(
        "game table,dining table,,,,,,,",
        "W1,109,game table,48,48,30,400,250,0,",
    )
    answers = Answers(read.facts, as_of=date(2027, 3, 29))
    fit = next(p for p in answers.ask(room_fit, "109").pieces if p.piece.id == "W1")
    assert fit.seats == 4
    assert {side.figure for side in fit.sides} <= {
        "dining.rise", "dining.edge_past", "dining.walk_past",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("kiln,,,room to load,,,,,", "begin with a length"),
        ("kiln,furnace of old,,36 load,,,,,", "not known here"),
        ("kiln,kiln,,36 load,,,,,", "name a kind of the program's own"),
        ("kiln,,,1e999 load,,,,,", "begin with a length"),
        ("kiln,,,900 load,,,,,", "at most 240"),
    ],
)
def test_a_line_that_makes_no_sense_is_refused_with_the_reason(house, kind, says):
    with pytest.raises(FolderError, match=f"kinds.csv, line 2.*{says}"):
        house(kind, "")


@pytest.mark.parametrize(
    ("features", "says"),
    [
        ("painted red", "is not understood"),
        ("leg pedestal", "did you mean legs"),
        ("leaf lots", "say it as in leaf 18"),
        ("chaise left 36 x 90", "deeper than the piece"),
    ],
)
def test_features_not_understood_are_named_and_do_no_harm(house, features, says):
    read = house("kiln,,,36 load,,,,,", "")
    assert read.facts
    before = next(p for p in read.facts if p.kind_name == "piece" and p.id == "L1")
    after = before.model_copy(update={"features": features})
    facts = read.facts.changed([Change("piece", "L1", before, after)])
    told = [f"{b.wrong}; {b.do}" for b in pieces(facts, lambda *_: False) if b.id == "L1"]
    assert any(says in each for each in told), told
    assert Answers(facts, as_of=date(2027, 3, 29)).ask(room_fit, "108").pieces


def test_what_fits_takes_the_usual_sizes_of_the_kind_that_it_is_like(house):
    read = house("guest bed,bed,,,,,,,\npottery wheel,,,30 throw,,,,,", "")
    answers = Answers(read.facts, as_of=date(2027, 3, 29))
    found = answers.ask(what_fits, "202", Wanted("guest bed"))
    plain = answers.ask(what_fits, "202", Wanted("bed"))
    assert found.best is not None
    assert found.best.size == plain.best.size
    first, rest = answers.ask(kinds_for, "202")
    own = next(k for k in first if k.name == "guest bed")
    assert [size.name for size in own.sizes][:2] == ["Twin", "Twin XL"]
    assert "pottery wheel" in [k.name for k in rest]
    bath = answers.ask(kinds_for, "204")
    assert "guest bed" not in [k.name for k in (*bath[0], *bath[1])]
    with pytest.raises(WantedError, match="not known here: give its width"):
        answers.ask(what_fits, "109", Wanted("pottery wheel"))


@pytest.mark.parametrize(
    ("room", "kind"),
    [
        ("101", "dining table"), ("102", "island"), ("108", "sofa"), ("109", "desk"),
        ("201", "bed"), ("205", "bed"), ("203", "dresser"), ("204", "vanity"), ("207", "washer"),
    ],
)  # fmt: skip
def test_the_first_kind_offered_follows_what_the_room_is_for(room, kind):
    answers = Answers(read_folder(example_path("tern-hollow")).facts, as_of=date(2027, 3, 29))
    assert answers.ask(kinds_for, room)[0][0].name == kind
