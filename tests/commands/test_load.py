"""Loading a folder again: its news are taken, what was done here is never lost in silence."""

from datetime import date

import pytest
from tests.job import a_house

from roomwright import commands
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path
from roomwright.job import doctor
from roomwright.job.entities import House, Light, Piece, Room
from roomwright.job.store import Store

FOLDER = {(f.kind_name, f.id): f for f in a_house.FACTS}


@pytest.fixture
def house(sqlite_store: Store) -> Store:
    sqlite_store.create("test-house", "Test house")
    load(sqlite_store, FOLDER)
    return sqlite_store


def load(store, folder, **more):
    command = commands.Load(facts=tuple(folder.values()), folder="house", **more)
    return commands.run(store, "test-house", command, who="Ana")


def do(store, name, **values):
    return commands.run(store, "test-house", commands.parse(name, values), who="Ana")


def folder(*gone, **changed):
    """The folder with some facts gone and some fields of others changed: piece_T1={"x": 70}."""
    made = {k: f for k, f in FOLDER.items() if f"{k[0]}_{k[1]}" not in gone}
    for name, values in changed.items():
        key = tuple(name.split("_", 1))
        made[key] = made[key].model_validate({**dict(made[key]), **values})
    return made


def table(store) -> Piece | None:
    return store.facts("test-house").find(Piece, "T1")


def test_loading_the_same_again_writes_nothing(house: Store):
    done = load(house, FOLDER)
    assert (done.sequence, done.changes, done.kept) == (1, (), ())
    assert done.sentence == "Loaded house: nothing has changed."


def test_what_changed_in_the_folder_is_taken(house: Store):
    new = folder("receipt_R1", piece_T1={"x": 70})
    new["piece", "P9"] = Piece(id="P9", room="101", kind="bed")
    done = load(house, new)
    assert done.sentence == "Loaded house: 1 added, 1 changed, 1 removed."
    assert table(house).x == 70


def test_what_was_moved_here_stays_moved(house: Store):
    do(house, "move", piece="T1", x=60)
    done = load(house, FOLDER)
    assert done.changes == ()
    assert done.kept == (
        "dining table T1 stays as it is here: x 5'-0\", in the folder 6'-9\" "
        "(the folder has not changed it).",
    )
    assert table(house).x == 60


def test_fields_go_each_their_own_way(house: Store):
    do(house, "move", piece="T1", x=60)
    done = load(house, folder(piece_T1={"width": 96}))
    assert (table(house).x, table(house).width) == (60, 96)
    assert done.kept == ()


def test_a_field_that_both_changed_stays_and_is_named(house: Store):
    do(house, "move", piece="T1", x=60)
    both = folder(piece_T1={"x": 70, "depth": 40})
    done = load(house, both)
    assert (table(house).x, table(house).depth) == (60, 40)
    assert done.kept == (
        "dining table T1 stays as it is here: x 5'-0\", in the folder 5'-10\" "
        "(changed here and in the folder).",
    )
    assert load(house, both).changes == (), "asked again, nothing new happens"
    assert table(house).x == 60


def test_the_folder_can_be_preferred(house: Store):
    do(house, "move", piece="T1", x=60)
    done = load(house, folder(piece_T1={"x": 70}), clash="folder")
    assert (table(house).x, done.kept) == (70, ())


def test_after_a_clash_the_folder_counts_as_read(house: Store):
    """The folder said 70 and was not followed; when it says 75, that is its news."""
    do(house, "move", piece="T1", x=60)
    load(house, folder(piece_T1={"x": 70, "depth": 40}))
    do(house, "move", piece="T1", x=70)
    done = load(house, folder(piece_T1={"x": 75, "depth": 40}))
    assert (table(house).x, done.kept) == (75, ())


def test_what_was_made_here_stays(house: Store):
    do(house, "add piece", room="101", kind="bed", piece="B1")
    done = load(house, FOLDER)
    assert (done.changes, done.kept) == ((), ())
    assert house.facts("test-house").get(Piece, "B1")


def test_made_here_and_in_the_folder_stays_as_here_and_is_named(house: Store):
    do(house, "add piece", room="101", kind="bed", piece="B1", width=60, x=40, y=40)
    new = {**FOLDER, ("piece", "B1"): Piece(id="B1", room="101", kind="bed", width=80)}
    done = load(house, new)
    assert house.facts("test-house").get(Piece, "B1").width == 60
    assert "width 5'-0\", in the folder 6'-8\"" in done.kept[0]
    load(house, new, clash="folder")
    assert house.facts("test-house").get(Piece, "B1").width == 80


def test_what_was_taken_away_here_stays_away(house: Store):
    do(house, "remove piece", piece="T1")
    done = load(house, FOLDER)
    assert table(house) is None
    assert "dining table T1 stays out: it was taken away here" in done.kept[1]
    done = load(house, folder(piece_T1={"x": 70}))
    assert table(house) is None
    assert any("changed in the folder" in line for line in done.kept)


def test_gone_from_the_folder_but_changed_here_stays(house: Store):
    do(house, "move", piece="T1", x=60)
    done = load(house, folder("piece_T1", "light_C1"))
    assert table(house).x == 60
    assert done.kept == ("dining table T1 stays: it was changed here (gone from the folder).",)
    assert house.facts("test-house").find(Light, "C1") is None


def test_gone_from_the_folder_but_needed_here_stays(house: Store):
    """A bed was put into the kitchen here; the folder drops the kitchen."""
    do(house, "add piece", room="102", kind="bed", piece="B1")
    done = load(house, folder("room_102", "opening_O1"))
    assert house.facts("test-house").find(Room, "102")
    assert done.kept == ("room 102 stays: bed B1 still needs it.",)
    assert doctor.examine(house) == []


def test_a_wrong_merge_changes_nothing(house: Store):
    """Each half may stand, the two together may not: nothing is written."""
    do(house, "receive", order="PO-1", line="L1", qty=1, on="2027-02-03")
    fewer = folder(**{"order_PO-1/L1": {"qty": 1}})
    with pytest.raises(commands.base.StoreError, match=r"2 received .* but 1 ordered"):
        load(house, fewer)
    assert house.facts("test-house").sequence == 2


def test_a_kind_whose_file_is_not_there_is_left_alone(house: Store):
    """Not removed, not named as kept, and the folder's last word on it is remembered."""
    do(house, "move", piece="T1", x=60)
    kinds = frozenset(kind for kind, _ in FOLDER) - {"piece", "light", "receipt"}
    before = list(house.facts("test-house"))
    partly = {k: f for k, f in FOLDER.items() if k[0] in kinds}
    done = load(house, partly, kinds=kinds)
    assert (done.changes, done.kept) == ((), ())
    assert list(house.facts("test-house")) == before
    # the file is back, and T1 gone from it: what was moved here stays, the receipt goes
    again = kinds | {"piece", "light", "receipt"}
    done = load(house, folder("piece_T1", "receipt_R1"), kinds=again)
    assert [(c.kind, c.id, c.after) for c in done.changes] == [("receipt", "R1", None)]
    assert table(house).x == 60


def test_an_empty_file_takes_its_facts_away(house: Store):
    kinds = frozenset(kind for kind, _ in FOLDER)
    done = load(house, {k: f for k, f in FOLDER.items() if k[0] != "receipt"}, kinds=kinds)
    assert {c.kind for c in done.changes} == {"receipt"}


def test_a_load_can_be_undone_and_done_again(house: Store):
    load(house, folder(piece_T1={"x": 70}))
    house.undo("test-house", who="Ana", command_id="u1")
    assert table(house).x == 81
    assert load(house, folder(piece_T1={"x": 70})).sentence == "Loaded house: 1 changed."
    assert table(house).x == 70


def test_the_house_itself_merges_too(house: Store):
    done = load(house, folder(house_house={"written_as_of": date(2027, 3, 1)}))
    assert [c.kind for c in done.changes] == ["house"]
    assert house.facts("test-house").get(House, "house").written_as_of == date(2027, 3, 1)


def test_the_demo_loads_whole_on_either_database(store: Store):
    facts = read_folder(example_path("tern-hollow")).facts
    store.create("tern-hollow", "Tern Hollow")
    command = commands.Load(facts=tuple(facts), folder="tern-hollow")
    done = commands.run(store, "tern-hollow", command, who="Ana", command_id="load-1")
    assert done.sentence == f"Loaded tern-hollow: {len(facts)} added."
    assert list(store.facts("tern-hollow")) == list(facts)
    assert commands.run(store, "tern-hollow", command, who="Ana", command_id="load-1").repeated
    assert doctor.examine(store) == []
