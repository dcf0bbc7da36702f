"""A body of an old shape is lifted when it is read, step by step; a newer one is refused."""

import json
from fractions import Fraction
from typing import ClassVar

import pytest
from sqlalchemy import text
from tests.job import a_house

from roomwright.job import bodies, doctor
from roomwright.job.entities import KINDS, Piece
from roomwright.job.errors import NewerStoreError, StoreError
from roomwright.job.store import Store


class WiderPiece(Piece):
    """A pretend third shape of a piece: shape 1 said `w`, shape 2 `wide`, in feet."""

    shape: ClassVar[int] = 3


LIFTS = {
    ("piece", 1): lambda b: {**{k: v for k, v in b.items() if k != "w"}, "wide": b["w"]},
    ("piece", 2): lambda b: {
        **{k: v for k, v in b.items() if k != "wide"},
        "width": f"{b['wide']}'",
    },
}
OLD = {"id": "T1", "room": "101", "kind": "table", "w": "7"}


@pytest.mark.parametrize(
    ("shape", "body"),
    [(1, OLD), (2, {**OLD, "wide": "7", "w": None}), (3, {**OLD, "width": "84", "w": None})],
)
def test_each_old_shape_reads_as_today(shape, body):
    body = {k: v for k, v in body.items() if v is not None}
    piece = bodies.lifted("piece", shape, body, kinds={"piece": WiderPiece}, lifts=LIFTS)
    assert (piece.width, piece.id) == (Fraction(84), "T1")
    assert body["id"] == "T1", "the stored body is left alone"


def test_a_store_of_old_bodies_opens_and_the_doctor_is_content(store: Store, monkeypatch):
    a_house.build(store)
    monkeypatch.setitem(KINDS, "piece", WiderPiece)
    monkeypatch.setitem(bodies.LIFTS, ("piece", 1), lambda b: {**b, "kind": b["kind"].upper()})
    monkeypatch.setitem(bodies.LIFTS, ("piece", 2), lambda b: b)
    with Store(store.url) as newer:
        assert newer.facts("test-house").fact("piece", "T1").kind == "DINING TABLE"
        assert doctor.examine(newer) == []
        (entry,) = newer.journal("test-house")
        assert [c.after.kind for c in entry.changes if c.kind == "piece"] == ["DINING TABLE"]


def test_a_newer_shape_is_refused_in_words():
    with pytest.raises(NewerStoreError, match="newer Roomwright"):
        bodies.lifted("piece", Piece.shape + 1, OLD)
    with pytest.raises(NewerStoreError, match="newer Roomwright"):
        bodies.lifted("hologram", 1, OLD)


def test_a_body_that_cannot_be_read_says_which():
    with pytest.raises(StoreError, match="piece “T1” in the store can't be read"):
        bodies.lifted("piece", Piece.shape, OLD)


def test_every_lift_leads_to_todays_shape():
    for kind, model in KINDS.items():
        for step in range(1, model.shape):
            assert (kind, step) in bodies.LIFTS, f"{kind}: no way from shape {step}"


def test_a_body_says_everything(store: Store):
    """Nothing hangs on a default of today: the whole fact is written."""
    a_house.build(store)
    with store.reading() as connection:
        body = connection.execute(text("SELECT body FROM facts WHERE id = 'T1'")).scalar()
    assert set(json.loads(body)) == set(Piece.model_fields)
