"""The feed's secret address: read, counted, renewed; nothing for those who do not have it."""

import re

import pytest
from tests.web.conftest import HOUSE, client_over

from roomwright import commands
from roomwright.job.entities import Progress
from roomwright.job.feeds import feed_of, house_of, renew


def address(client):
    page = client.get(f"{HOUSE}/feed").text
    return re.search(r'value="http://localhost(/feed/[^"]+\.ics)"', page)[1]


def numbers(text):
    """UID -> (first day, sequence)."""
    found = {}
    for part in text.replace("\r\n ", "").split("BEGIN:VEVENT")[1:]:
        day = re.search(r"DTSTART;VALUE=DATE:(\d+)", part)[1]
        found[re.search(r"UID:(\S+)", part)[1]] = day, int(re.search(r"SEQUENCE:(\d+)", part)[1])
    return found


def test_the_feed_is_read_by_its_address(client):
    answer = client.get(address(client))
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    assert answer.text.startswith("BEGIN:VCALENDAR\r\n")
    assert "tern" not in answer.text.lower()
    assert client.get(address(client)).content == answer.content, "the same state, the same bytes"


@pytest.mark.parametrize("wrong", ["x", "a" * 43, "%C3%A9", "..%2f", "a" * 101])
def test_without_the_address_there_is_nothing(client, wrong):
    address(client)
    assert client.get(f"/feed/{wrong}.ics").status_code in (404, 422)


def test_numbers_rise_with_the_day_and_only_with_it(client, store):
    at = address(client)
    before = numbers(client.get(at).text)
    assert {n for _, n in before.values()} == {0}
    longer = commands.DaysLeft(activity=begun(store), days=9)
    commands.run(store, "tern-hollow", longer, who="t")
    after = numbers(client.get(at).text)
    moved = {u for u in before if u in after and before[u][0] != after[u][0]}
    assert moved
    raised = {u for u, (_, n) in after.items() if n == 1}
    assert moved <= raised, "an end that moves raises it too"
    assert raised < set(after), "what did not move keeps its number"
    store.undo("tern-hollow", who="t", command_id="u")
    back = numbers(client.get(at).text)
    assert {u: d for u, (d, _) in back.items()} == {u: d for u, (d, _) in before.items()}
    assert all(back[u][1] == 2 for u in raised), "back again is a change too"


def begun(store):
    facts = store.facts("tern-hollow")
    return next(p.id for p in facts.all(Progress) if p.started and not p.finished)


def test_a_command_that_moves_no_day_raises_nothing(store):
    with client_over(store.url) as client:
        at = address(client)
        first = numbers(client.get(at).text)
        commands.run(store, "tern-hollow", commands.parse("describe", {
            "piece": "T1", "features": "legs pedestal"}), who="t")  # fmt: skip
        assert numbers(client.get(at).text) == first


def test_a_renewed_address_ends_the_old_and_keeps_the_ids(client, store):
    old = address(client)
    before = numbers(client.get(old).text)
    assert client.post(f"{HOUSE}/feed/renew").status_code == 303
    new = address(client)
    assert new != old
    assert client.get(old).status_code == 404
    assert numbers(client.get(new).text) == before


def test_a_house_put_aside_has_no_feed(store):
    info = feed_of(store, "tern-hollow")
    assert house_of(store, info.token) == info
    assert house_of(store, "") is None
    store.remove("tern-hollow")
    assert house_of(store, info.token) is None


def test_the_address_is_in_no_journal(store):
    info = renew(store, "tern-hollow")
    said = "".join(str(e) for e in store.journal("tern-hollow"))
    assert info.token not in said
    assert len(info.token) >= 43, "256 bits"


def test_a_stream_for_another_day_leaves_the_numbers_alone(client, store, capfdbinary):
    from datetime import date

    from roomwright.cli.feed import write

    at = address(client)
    before = numbers(client.get(at).text)
    write("tern-hollow", None, date(2027, 9, 1), store.url)
    assert b"BEGIN:VEVENT" in capfdbinary.readouterr().out
    assert numbers(client.get(at).text) == before
