"""The doctor sees every way in which the tables can stray from the journal."""

import pytest
from sqlalchemy import text
from tests.job import a_house
from tests.job.test_undo import x

from roomwright.job import doctor
from roomwright.job.errors import StoreError
from roomwright.job.store import Store

STRAY = [
    ("UPDATE facts SET body = replace(body, '84', '82') WHERE id = 'T1'", "T1 is not what the"),
    ("UPDATE facts SET version = 7 WHERE id = 'T1'", "T1 is not what the journal says"),
    ("DELETE FROM facts WHERE id = 'T1'", "T1 is not what the journal says"),
    ("UPDATE facts SET body = NULL WHERE id = 'T1'", "T1 is not what the journal says"),
    ("DELETE FROM fact_references WHERE from_id = 'T1'", "is missing from the table of references"),
    (
        "UPDATE fact_references SET to_id = '7' WHERE from_id = 'T1' AND field = 'room'",
        "left over",
    ),
    ("UPDATE jobs SET sequence = 9", "9 entries were written; the journal has 3"),
    ("DELETE FROM journal WHERE sequence = 2", "The journal jumps from 1 to 3"),
    ("UPDATE journal SET after = replace(after, '70', '71')", "did not leave"),
    ("UPDATE journal SET after = '[' WHERE sequence = 2", "journal can't be read"),
]


@pytest.fixture
def house(store: Store) -> Store:
    a_house.build(store)
    a_house.write(store, x(70), "m1")
    a_house.write(store, x(60), "m2")
    return store


def test_all_is_well(house: Store):
    assert doctor.examine(house) == []
    assert doctor.examine(house, "test-house") == []


@pytest.mark.parametrize(("sql", "said"), STRAY, ids=[s[:45] for s, _ in STRAY])
def test_a_stray_row_is_seen(house: Store, sql, said):
    with house._writing() as connection:
        connection.execute(text(sql))
    found = [str(trouble) for trouble in doctor.examine(house)]
    assert any(said in line for line in found), found
    assert all(line.startswith("test-house: ") for line in found)


def test_about_says_where_and_what(sqlite_store: Store):
    a_house.build(sqlite_store)
    told = doctor.about(sqlite_store)
    assert told.place.endswith("houses.db")
    assert (told.engine, told.tables, told.newest) == ("sqlite", told.newest, told.tables)
    assert told.houses == ("test-house",)


def test_a_damaged_file_is_seen(sqlite_store: Store, tmp_path):
    a_house.build(sqlite_store)
    for i in range(40):
        a_house.write(sqlite_store, x(i), f"m{i}")
    sqlite_store.close()
    path = tmp_path / "houses.db"
    data = bytearray(path.read_bytes())
    for at in range(9 * 4096 + 100, len(data) - 4096, 4096):
        data[at : at + 200] = b"\xaa" * 200
    path.write_bytes(data)
    try:  # which pages are hit depends on their layout: it is seen at once, or by the doctor
        with Store(sqlite_store.url) as again:
            found = [str(t) for t in doctor.examine(again)]
    except StoreError as error:
        found = [str(error)]
    assert any("go back to a backup" in line for line in found), found


def test_a_file_that_is_no_store_is_refused_in_words(tmp_path):
    (tmp_path / "houses.db").write_bytes(b"room,name\n" * 500)
    with pytest.raises(StoreError, match="is not a store"):
        Store(str(tmp_path / "houses.db"))
