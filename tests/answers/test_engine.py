"""The query engine: kept on exactly what was read, and never on anything else."""

from datetime import date

import pytest

from roomwright.answers.engine import REGISTRY, AnswerLoopError, Answers, query
from roomwright.job.entities import Floor, House, Piece, Room
from roomwright.job.facts import Change, Facts, MissingFactError

CALLS: list[str] = []


@query("test: pieces of a room")
def pieces_of(ask, room):
    CALLS.append(f"pieces {room}")
    return tuple(p.id for p in ask.where(Piece, "room", room))


@query("test: piece width")
def width_of(ask, piece):
    CALLS.append(f"width {piece}")
    return ask.fact(Piece, piece).width


@query("test: widest piece of a room")
def widest(ask, room):
    CALLS.append(f"widest {room}")
    return max((ask(width_of, p) for p in ask(pieces_of, room)), default=None)


@query("test: day")
def day(ask):
    CALLS.append("day")
    return ask.as_of


@query("test: rooms")
def rooms(ask):
    CALLS.append("rooms")
    return len(ask.all(Room))


@query("test: loop")
def loop(ask, n):
    return ask(loop, 1 - n)


@pytest.fixture(autouse=True)
def _no_calls():
    CALLS.clear()


@pytest.fixture
def answers():
    square = ((0, 0), (100, 0), (100, 100), (0, 100))
    facts = Facts(
        [
            House(name="H", site_start=date(2027, 1, 18)),
            Floor(id="tile", build_up="5/8"),
            Room(id="1", level="1", outline=square),
            Room(id="2", level="1", outline=square),
            Piece(id="T1", room="1", kind="dining table", width=84, depth=42, x=10, y=10),
            Piece(id="T2", room="1", kind="dining table", width=60, depth=42, x=10, y=10),
            Piece(id="B1", room="2", kind="bed", width=60, depth=80, x=10, y=10),
        ]
    )
    return Answers(facts, as_of=date(2027, 3, 29))


def change(facts, kind, id, **fields):
    before = facts.find(kind, id)
    after = before.model_copy(update=fields) if fields else None
    return Change(kind.kind_name, id, before, after)


def test_second_asking_computes_nothing(answers):
    assert answers.ask(widest, "1") == 84
    CALLS.clear()
    assert answers.ask(widest, "1") == 84
    assert CALLS == []


def test_a_change_recomputes_only_what_read_it(answers):
    answers.ask(widest, "1")
    answers.ask(widest, "2")
    CALLS.clear()
    later = answers.moved(answers.facts.changed([change(answers.facts, Piece, "T1", width=70)]))
    assert later.ask(widest, "1") == 70
    assert later.ask(widest, "2") == 60
    assert CALLS == ["pieces 1", "width T1", "widest 1"]
    assert answers.ask(widest, "1") == 84, "the state before is still there"


def test_an_equal_answer_below_keeps_the_ones_above(answers):
    answers.ask(widest, "1")
    CALLS.clear()
    later = answers.moved(answers.facts.changed([change(answers.facts, Piece, "T2", turn=90)]))
    assert later.ask(widest, "1") == 84
    assert "widest 1" not in CALLS


def test_a_new_and_a_removed_fact_are_noticed(answers):
    answers.ask(widest, "1")
    new = Piece(id="T3", room="1", kind="dining table", width=120, depth=42)
    later = answers.moved(answers.facts.changed([Change("piece", "T3", None, new)]))
    assert later.ask(widest, "1") == 120
    gone = later.moved(later.facts.changed([Change("piece", "T3", new, None)]))
    assert gone.ask(widest, "1") == 84


def test_supposing_writes_nothing_and_may_branch(answers):
    one = answers.supposing([change(answers.facts, Piece, "T1", width=61)])
    two = answers.supposing([change(answers.facts, Piece, "T1", width=62)])
    assert (one.ask(widest, "1"), two.ask(widest, "1"), answers.ask(widest, "1")) == (61, 62, 84)


def test_the_day_is_a_reading(answers):
    assert answers.ask(day) == date(2027, 3, 29)
    assert answers.moved(answers.facts, as_of=date(2027, 3, 30)).ask(day) == date(2027, 3, 30)


def test_what_depends_on_a_fact(answers):
    answers.ask(widest, "1")
    answers.ask(widest, "2")
    answers.ask(rooms)
    names = {name for name, _ in answers.depends_on(Piece, "B1")}
    assert names == {"test: pieces of a room", "test: piece width", "test: widest piece of a room"}
    assert answers.depends_on(Room, "1") == [("test: rooms", ())]


def test_a_query_that_asks_for_itself_is_refused_with_the_ring(answers):
    with pytest.raises(AnswerLoopError, match=r"loop.*0.*loop.*1.*loop.*0"):
        answers.ask(loop, 0)


def test_a_missing_fact_is_named(answers):
    with pytest.raises(MissingFactError, match="no piece 'X9' in this house"):
        answers.ask(width_of, "X9")


def test_answers_by_name(answers):
    assert answers.answer("test: rooms") == 2
    with pytest.raises(KeyError):
        answers.answer("no such query")
    assert "test: rooms" in REGISTRY


def test_versions_count_changes():
    facts = Facts([Floor(id="tile", build_up="5/8")])
    assert facts.version("floor", "tile") == 1
    assert facts.version("floor", "cork") == 0
    later = facts.changed([change(facts, Floor, "tile", note="thin")])
    assert later.version("floor", "tile") == 2
    gone = later.changed([change(later, Floor, "tile")])
    assert gone.version("floor", "tile") == 0


def test_two_queries_of_one_name_are_refused():
    def other(ask):
        return None

    other.__module__ = "somewhere.else"
    with pytest.raises(ValueError, match="two queries are named 'test: day'"):
        query("test: day")(other)
