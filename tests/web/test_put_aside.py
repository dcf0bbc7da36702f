"""A house is put aside and brought back in the browser; nothing recorded in it is lost."""

import re

from roomwright.job.entities import Piece

SAME = {"origin": "http://localhost"}


def test_put_aside_and_bring_back(client, store):
    before = list(store.facts("tern-hollow"))
    gone = client.post("/h/tern-hollow/put-aside", headers=SAME)
    assert (gone.status_code, gone.headers["location"]) == (303, "/houses")
    assert client.get("/h/tern-hollow").status_code == 404
    listed = client.get("/houses").text
    assert "Put aside: 1 house" in listed
    number = re.search(r'name="number" value="(\d+)"', listed)[1]
    back = client.post("/houses/bring-back", data={"number": number}, headers=SAME)
    assert (back.status_code, back.headers["location"]) == (303, "/h/tern-hollow")
    assert client.get("/h/tern-hollow").status_code == 200
    assert list(store.facts("tern-hollow")) == before


def test_a_house_whose_address_was_taken_comes_back_beside_it(client, store):
    client.post("/h/tern-hollow/put-aside", headers=SAME)
    store.create("tern-hollow", "Another")
    ((number, _),) = store.removed()
    back = client.post("/houses/bring-back", data={"number": number}, headers=SAME)
    assert back.headers["location"] == "/h/tern-hollow-2"
    assert store.facts("tern-hollow-2").get(Piece, "T1").x == 81


def test_twice_is_told_in_words(client, store):
    client.post("/h/tern-hollow/put-aside", headers=SAME)
    ((number, _),) = store.removed()
    client.post("/houses/bring-back", data={"number": number}, headers=SAME)
    again = client.post("/houses/bring-back", data={"number": number}, headers=SAME)
    assert 400 <= again.status_code < 500
    assert "brought back already" in again.text


def test_another_site_cannot_put_a_house_aside(client, store):
    refused = client.post("/h/tern-hollow/put-aside", headers={"origin": "http://elsewhere.test"})
    assert refused.status_code == 403
    assert [job.id for job in store.jobs()] == ["tern-hollow"]
