"""The page Days and terms: what holds is said, forms keep and empty it, refusals say why."""

import re

import pytest
from tests.web.conftest import HOUSE

PAGE = f"{HOUSE}/terms"


def do(client, name, /, **fields):
    return client.post(f"{HOUSE}/do/{name}", data={"_back": PAGE, **fields})


def taken(client, name, /, **fields):
    done = do(client, name, **fields)
    assert done.status_code == 303, done.text
    return client.get(done.headers["location"]).text


def form(html, id):
    """The fields of a form as a browser would send them untouched."""
    inside = re.search(rf'<form[^>]*id="{id}".*?</form>', html, re.DOTALL)[0]
    said = {}
    for tag in re.findall(r"<input[^>]*>", inside):
        name, value = (re.search(rf' {a}="([^"]*)"', tag) for a in ("name", "value"))
        if 'type="checkbox"' not in tag or " checked" in tag:
            said[name[1]] = value[1] if value else ""
    for name, text in re.findall(r'<textarea[^>]*name="(\w+)"[^>]*>([^<]*)<', inside):
        said[name] = text
    return said


def test_what_holds_is_said(reading):
    html = reading.get(PAGE).text
    assert "Mon to Fri; off: May 31, Jul 5." in html
    assert "Next off: Mon May 31; Mon Jul 5." in html
    assert "By the house’s days: " in html
    assert "Marlowe Forge" in html
    assert "A day of the house costs <strong>$310</strong>" in html
    assert "Nobody has said. So having a part early costs nothing here" in html
    for other in ("", "/orders", "/today"):
        assert f'href="{PAGE}">Days and terms</a>' in reading.get(HOUSE + other).text


def test_the_house_form_sent_untouched_changes_nothing(client):
    said = form(client.get(PAGE).text, "calendar")
    assert [said[f"work_week.{n}"] for n in range(5)] == ["mon", "tue", "wed", "thu", "fri"]
    assert said["closed"] == "2027-05-31\n2027-07-05"
    done = client.post(f"{HOUSE}/do/set-calendar", data=said)
    assert done.status_code == 303
    assert "done=" not in done.headers["location"]


def test_days_of_the_house_and_of_a_trade(client):
    said = form(client.get(PAGE).text, "calendar")
    html = taken(client, "set-calendar", **{**said, "closed": "2027-07-05", "holidays.3": "eves"})
    assert "May 31" not in re.search(r'<ul class="rows">.*?</ul>', html, re.DOTALL)[0]
    assert "off: Jul 5" in html
    html = taken(client, "set-calendar", calendar="tile", whole="yes", mornings="sat")
    assert "until noon on Sat; and the house’s days off" in html.replace("&#39;", "’")
    said = form(client.get(f"{PAGE}?calendar=Tile").text, "calendar")
    assert (said["calendar"], said["mornings"]) == ("tile", "sat")
    old = dict(said)
    del said["mornings"]
    html = taken(client, "set-calendar", **said)
    assert "tile works by the calendar of the house again" in html
    assert do(client, "set-calendar", **old).status_code == 409  # seen by another meanwhile


def test_terms_of_a_maker_are_kept_and_emptied(client):
    at = f"{PAGE}?maker=Marlowe+Forge"
    said = form(client.get(at).text, "maker")
    html = taken(client, "set-vendor", **{**said, "phone": "555 0199", "claim_days": "5"})
    assert 'href="tel:5550199"' in html
    assert "claimed within 5 days of receipt" in html
    said = form(client.get(at).text, "maker")
    assert said["phone"] == "555 0199"
    assert "phone taken out (was 555 0199)" in taken(client, "set-vendor", **{**said, "phone": ""})


def test_what_a_day_costs_is_kept_and_emptied(client):
    shown = {"shown": "name cost_per_day inspect_days tape_sigma", "name": "Tern Hollow",
             "inspect_days": "5", "tape_sigma": "1/8"}  # fmt: skip
    html = taken(client, "set-house", **shown, cost_per_day="$1,200")
    assert "a day of the house costs $1,200 (was $310)" in html
    assert 'value="1200"' in html
    html = taken(client, "set-house", **shown, cost_per_day="")
    assert "Nobody has said what a day of the house costs" in html
    line = client.get(f"{HOUSE}/orders/L019").text
    assert "Say what a day of the house costs" not in line or f'href="{PAGE}#money"' in line


def test_keeping_of_the_house_then_of_a_line(client):
    said = form(client.get(PAGE).text, "keep")
    html = taken(client, "set-keeping", **{**said, "rate": "8", "receipts_most": "2"})
    assert "What money costs a year 8 %; deliveries in a day at most 2." in html
    page = client.get(f"{PAGE}?of=l019").text
    assert "else 8, as the house says" in page
    assert "receipts_most" not in page.split('id="keep"')[1].split("</form>")[0]
    html = taken(client, "set-keeping", **{**form(page, "keep"), "price": "2,600"})
    assert "price of all its pieces $2,600" in html.lower()
    said = form(client.get(f"{PAGE}?of=L019").text, "keep")
    assert (said["price"], said["line"]) == ("2600", "L019")
    html = taken(client, "set-keeping", **{**said, "price": ""})
    assert "What it costs to keep L019: taken out." in html


def test_steps_of_a_class(client):
    page = client.get(f"{PAGE}?steps=RANGE").text
    assert "no steps: its lead is" in page
    html = taken(client, "set-step", part_class="RANGE", step="make", days_low="5",
                 days_likely="10", days_high="20", note="Ann says", shown="name note",
                 _back=f"{PAGE}?steps=RANGE")  # fmt: skip
    assert "10 working days (5 to 20)" in html
    assert 'value="Ann says"' in html
    html = taken(client, "set-step", part_class="RANGE", step="make", shown="name note")
    assert "Class RANGE, make: taken out." in html


@pytest.mark.parametrize("ask", ["calendar=roofer", "maker=nobody", "of=L9999", "steps=SOFA"])
def test_what_is_not_here_is_said(reading, ask):
    answer = reading.get(f"{PAGE}?{ask}")
    assert answer.status_code == 404
    assert "is called" in answer.text


@pytest.mark.parametrize(
    ("name", "fields", "says"),
    [
        (
            "set-calendar",
            {"calendar": "tile", "whole": "yes", "closed": "someday"},
            "no day or run",
        ),
        ("set-vendor", {"vendor": "Marlowe Forge", "claim_days": "soon"}, "whole number"),
        ("set-house", {"cost_per_day": "lots"}, "no amount of money"),
        ("set-keeping", {"rate": "180"}, "0 to 100"),
        ("set-step", {"part_class": "RANGE", "step": "make", "days_low": "3"}, "likely takes"),
    ],
)
def test_nonsense_is_refused_and_nothing_written(client, name, fields, says):
    before = client.get(f"{HOUSE}/journal").text.count("<li")
    answer = do(client, name, **fields)
    assert answer.status_code == 422
    assert says in answer.text
    assert client.get(f"{HOUSE}/journal").text.count("<li") == before
