"""The table of kinds: it can be read, every figure exists, bad tables are refused."""

import pytest
from tests.fit.demo_rooms import NEEDS, rows

from roomwright.fit.kinds import KindError, kind_of, read, table
from roomwright.fit.model import Piece


def test_every_figure_of_every_kind_exists():
    for kind in table().values():
        for need in kind.needs:
            assert NEEDS.get(need.figure) is not None, (kind.name, need.figure)
        for near in kind.near:
            for key in filter(None, (near.least, near.most)):
                assert NEEDS.get(key) is not None, (kind.name, key)
            assert all(kind_of(name).known for name in near.to)


def test_every_kind_of_the_demo_is_known():
    assert all(kind_of(row["kind"]).known for row in rows("pieces"))
    assert all(kind_of(row["name"]).known for row in rows("fixed"))


def test_purposes_follow_on_from_short():
    for kind in table().values():
        for need in kind.needs:
            assert need.purpose.split()[0] in ("for", "in", "from", "where")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[kind]]\nalso = ['x']", "number 1 has no name"),
        ("[[kind]]\nname = 'a'\n[[kind]]\nname = 'A'", "'a' stands twice"),
        ("[[kind]]\nname = 'a'\nalso = ['a']", "'a' stands twice"),
        ("[[kind]]\nname = 'a'\nbowls = 'many'", "the kind 'a'"),
        (
            "[[kind]]\nname = 'a'\n[[kind.need]]\nsides = ['top']\nfigure = 'f'\nuse = 'u'\n"
            "purpose = 'for it'",
            "sides are",
        ),
        (
            "[[kind]]\nname = 'a'\n[[kind.need]]\nsides = ['front']\nuse = 'u'\npurpose = 'for it'",
            "figure",
        ),
        (
            "[[kind]]\nname = 'a'\n[[kind.need]]\nsides = ['front']\nfigure = 'f'\nuse = 'u'\n"
            "purpose = 'for it'\ntake = 'some'",
            "each, best or rest",
        ),
        ("[[kind]\n", "cannot be read"),
    ],
)
def test_bad_tables_are_refused_with_the_reason(text, says):
    with pytest.raises(KindError, match=says):
        read(text)


def test_a_new_kind_needs_no_code():
    kinds = read(
        "[[kind]]\nname = 'piano'\n[[kind.need]]\nsides = ['front']\nfigure = 'living.desk'\n"
        "use = 'play'\npurpose = 'for the bench'\n"
    )
    assert kinds["piano"].needs[0].use == "play"


@pytest.mark.parametrize(
    ("said", "name"),
    [  # what builders write for one and the same thing
        ("Queen bed", "bed king"),
        ("Full bed", "bed full"),
        ("fridge", "refrigerator"),
        ("couch", "sofa"),
        ("kitchen island", "island"),
        ("Round dining table", "dining table"),
        ("square dining table", "dining table"),
        ("round coffee table", "coffee table"),
        ("soaking tub", "freestanding tub"),
    ],
)
def test_other_words_for_a_known_thing(said, name):
    assert kind_of(said).name == name


def test_what_hangs_over_a_thing_is_not_that_thing():
    assert kind_of("range hood").loose
    assert kind_of("table lamp").loose
    assert not kind_of("table lamp").seats


@pytest.mark.parametrize(
    ("kind", "is_round"),
    [
        ("round dining table", True),
        ("Round Dining Table", True),
        ("dining table, round", True),
        ("wrap-around sofa", False),
        ("dining table", False),
    ],
)
def test_a_round_piece_is_known_by_the_word_anywhere(kind, is_round):
    assert Piece("T1", kind, kind, 48, 48).round is is_round
