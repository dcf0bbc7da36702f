"""Forms that show what is and take it anew: nobody wipes out what another wrote meanwhile."""

import re
from html import unescape

import pytest
from tests.web.conftest import HOUSE

from roomwright.job.entities import Choice, Crew, Link


def form_of(page, command, **holding):
    """The fields of the form of a command that holds some values, as a browser would send them."""
    for body in re.findall(rf'action="[^"]*/do/{command}"[^>]*>(.*?)</form>', page, re.S):
        fields = {}
        for tag in re.findall(r"<input [^>]*>", body):
            name = re.search(r'\bname="([^"]*)"', tag)
            value = re.search(r'\bvalue="([^"]*)"', tag)
            if name:
                fields[name[1]] = unescape(value[1]) if value else ""
        for name, inner in re.findall(
            r'<select [^>]*name="([^"]*)"[^>]*>(.*?)</select>', body, re.S
        ):
            chosen = re.search(r'<option(?: value="([^"]*)")? selected>([^<]*)', inner)
            first = re.search(r'<option(?: value="([^"]*)")?>([^<]*)', inner)
            found = chosen or first
            fields[name] = (found[1] if found[1] is not None else found[2]) if found else ""
        if all(fields.get(k) == v for k, v in holding.items()):
            return fields
    raise AssertionError(f"no form of {command} holds {holding}")


def send(client, command, **fields):
    return client.post(f"{HOUSE}/do/{command}", data=fields)


def test_two_people_edit_one_choice(client, store):
    send(client, "add-choice", what="Grout color", options="a; b")
    page = client.get(f"{HOUSE}/choices?who=").text
    name = "edit-choice" if "/do/edit-choice" in page else "add-choice"
    first = form_of(page, name, choice="C1")
    second = dict(first)
    assert send(client, name, **{**first, "options": "a; b; c", "_nonce": "1"}).status_code == 303
    late = send(client, name, **{**second, "note": "Ann is away", "_nonce": "2"})
    assert late.status_code == 409
    assert "a; b; c" in late.text, "both values are shown"
    (choice,) = store.facts("tern-hollow").all(Choice)
    assert (choice.options, choice.note) == ("a; b; c", "")


@pytest.mark.parametrize(
    ("page", "command", "holding", "change"),
    [
        ("/network?pick=A175", "edit-link", {}, {"reason": "as agreed"}),
        ("/draw/1?pick=room%3A101", "edit-room", {}, {"name": "Hall of mirrors"}),
    ],
)
def test_a_form_that_is_older_than_the_fact_is_refused(client, page, command, holding, change):
    shown = client.get(f"{HOUSE}{page}")
    assert shown.status_code == 200
    fields = form_of(shown.text, command, **holding)
    assert "_expect" in fields
    assert send(client, command, **{**fields, **change, "_nonce": "1"}).status_code == 303
    other = {name: f"{value} too" for name, value in change.items()}
    assert send(client, command, **{**fields, **other, "_nonce": "2"}).status_code == 409


def test_what_is_emptied_in_the_form_of_a_crew_is_emptied(client, store):
    send(client, "set-crew", trade="tile", crews="2", days="tue thu", wet="yes")
    fields = form_of(client.get(f"{HOUSE}/crews").text, "set-crew", trade="tile")
    assert (fields["crews"], fields["days"], fields["wet"]) == ("2", "tue thu", "yes")
    kept = send(client, "set-crew", **{**fields, "crews": "3", "_nonce": "1"})
    assert kept.status_code == 303
    fields = form_of(client.get(f"{HOUSE}/crews").text, "set-crew", trade="tile")
    emptied = {**fields, "crews": "", "days": "", "wet": "", "_nonce": "2"}
    assert send(client, "set-crew", **emptied).status_code == 303
    crew = store.facts("tern-hollow").get(Crew, "tile")
    assert (crew.crews, crew.days, crew.wet) == (None, (), "")


def test_the_reason_of_a_link_can_be_emptied(client, store):
    link = next(k for k in store.facts("tern-hollow").all(Link) if k.reason)
    page = client.get(f"{HOUSE}/network", params={"pick": link.after}).text
    fields = form_of(page, "edit-link", link=link.id)
    assert fields["reason"] == link.reason
    assert send(client, "edit-link", **{**fields, "reason": "", "_nonce": "1"}).status_code == 303
    assert store.facts("tern-hollow").get(Link, link.id).reason == ""
