"""Choices, change orders and calls in the browser, and their papers."""

import io

import pytest
from pypdf import PdfReader
from tests.web.conftest import HOUSE

from roomwright.job.entities import Call, ChangeOrder, Choice


def do(client, name, **fields):
    """Post a form; the page that it goes back to."""
    answer = client.post(f"{HOUSE}/do/{name}", data={"_nonce": "n", "_back": HOUSE, **fields})
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def words(answer):
    """The text of a PDF, on one line."""
    assert answer.headers["content-type"] == "application/pdf"
    pages = PdfReader(io.BytesIO(answer.content)).pages
    return " ".join(" ".join(p.extract_text() for p in pages).split())


@pytest.fixture
def asked(client):
    do(client, "add-choice", what="dining table", lines="L007",
       options="84 x 42 oak, $4,200; 72 round, $3,100")  # fmt: skip
    do(client, "add-choice", what="grout", who="builder", activity="A250")
    return client


def test_the_owners_page_says_by_when_why_then_and_what_late_costs(asked):
    page = asked.get(f"{HOUSE}/choices").text
    assert "Was due Wed Feb 10: decide today" in page
    assert "it can take 16 weeks to make and ship" in page
    assert "moves you in 18 days later, $5,580" in page, "as the answer key has it"
    assert "84 x 42 oak: $4,200" in page
    assert "grout" not in page.partition("<datalist")[0].lower()
    assert "<svg" in page, "the room's plan stands beside it"
    assert "Grout" in asked.get(f"{HOUSE}/choices?who=builder").text
    assert "Grout" in asked.get(f"{HOUSE}/choices?who=").text


def test_a_choice_is_decided_and_opened_again(asked, store):
    do(asked, "decide", choice="C1", decision="84 x 42 oak", on="2027-03-29")
    assert "84 x 42 oak, decided Mar 29" in asked.get(f"{HOUSE}/choices").text
    do(asked, "decide", choice="C1", _nonce="m")
    assert store.facts("tern-hollow").get(Choice, "C1").decided is None


def test_the_owners_paper(asked):
    said = words(asked.get(f"{HOUSE}/choices.pdf"))
    for part in ("What to decide", "Dining table", "Was due Wed Feb 10", "18 days later", "$5,580",
                 "my answer"):  # fmt: skip
        assert part in said
    assert asked.get(f"{HOUSE}/choices.pdf").content == asked.get(f"{HOUSE}/choices.pdf").content


def test_a_house_without_choices_has_the_page_too(reading):
    assert "Nothing is left to decide." in reading.get(f"{HOUSE}/choices").text
    assert "Nothing is left to decide." in words(reading.get(f"{HOUSE}/choices.pdf"))
    assert "0 change orders" not in reading.get(f"{HOUSE}/change-orders").text


def test_a_change_order_is_written_printed_and_signed(client, store):
    do(client, "add-change-order", title="Glass shower wall", price="1850", days="2",
       activities="A250 A130", lines="L249", asked_by="owner", asked_on="2027-03-25",
       reason="they saw one")  # fmt: skip
    page = client.get(f"{HOUSE}/change-orders/CO-1").text
    assert "The last day of work is Jun 30, 2 days later than Jun 28, which costs $620." in page
    assert "Glass: two people" in page
    assert "Follow local code and licensed practice." in page
    said = words(client.get(f"{HOUSE}/change-orders/CO-1.pdf"))
    for part in ("Change order CO-1", "$1,850", "Jun 30, 2 days later", "they saw one", "signature",
                 "Follow local code and licensed practice"):  # fmt: skip
        assert part in said
    assert "The paper is signed" in page
    do(client, "agree-to-change-order", change_order="CO-1", by="Ana", on="2027-03-29")
    page = client.get(f"{HOUSE}/change-orders/CO-1").text
    assert "Jun 30, 2 days later than Jun 28" in page, (
        "what it does is told after it was signed too"
    )
    assert "by Ana, Mar 29" in page
    assert "The paper is signed" not in page
    assert store.facts("tern-hollow").get(ChangeOrder, "CO-1").agreed_by == "Ana"
    assert "done Jun 30" in client.get(f"{HOUSE}/today").text.replace('<b class="number">', "")


def test_an_unknown_change_order_is_not_here(reading):
    assert reading.get(f"{HOUSE}/change-orders/CO-9").status_code == 404
    assert reading.get(f"{HOUSE}/change-orders/CO-9.pdf").status_code == 404


def test_calls_are_listed_recorded_and_gone(client, store):
    page = client.get(f"{HOUSE}/calls").text
    assert "555-0145" in page
    assert "Confirm Thu Apr 1" in page
    assert "promised Apr 29" in page, "cabinets are not here"
    said = words(client.get(f"{HOUSE}/calls.pdf"))
    assert "Oskar & Rye Millwork" in said
    assert "they said" in said
    before = page.count("Record the call")
    do(client, "call-made", activity="A165", visit="2027-04-01", on="2027-03-29")
    assert client.get(f"{HOUSE}/calls").text.count("Record the call") == before - 1
    assert store.facts("tern-hollow").get(Call, "K1").said == "confirmed"


def test_an_order_of_what_is_not_decided_warns_and_is_taken(asked):
    page = asked.get(f"{HOUSE}/orders/L007").text
    assert "not decided yet" in page
    assert "dining table: the owner decides" in page
    at = do(asked, "place-order", order="X-1", placed="2027-03-29", **{"lines.0.line": "L007"})
    assert "Ordered though not decided yet: dining table (owner)." in asked.get(at).text
    do(asked, "decide", choice="C1", decision="oak", on="2027-03-29")
    assert "not decided yet" not in asked.get(f"{HOUSE}/orders/L007").text


def test_today_tells_of_calls_and_choices(asked):
    page = asked.get(f"{HOUSE}/today").text
    assert "4 calls to make, 3 of them overdue" in page
    assert "Not decided by the last safe day: dining table" in page


def test_words_of_a_person_are_words_on_paper_too(client):
    hostile = '#let x = 1 *bold* $x$ <script>alert(1)</script> "quoted" \\ @a // /* _u_'
    do(client, "add-choice", what=hostile[:200], lines="L007", note=hostile,
       options="; ".join([hostile[:60]] * 30))  # fmt: skip
    do(client, "add-change-order", title=hostile[:200], what=hostile * 20, reason=hostile)
    do(client, "call-made", activity="A165", visit="2027-04-01", on="2027-03-20", note=hostile)
    for page in ("choices", "change-orders", "change-orders/CO-1", "calls"):
        assert "<script>alert" not in client.get(f"{HOUSE}/{page}").text
    for paper in ("choices.pdf", "change-orders/CO-1.pdf", "calls.pdf"):
        said = words(client.get(f"{HOUSE}/{paper}"))
        if paper != "calls.pdf":
            assert "#let x = 1 *bold* $x$" in said
    assert "and 18 more" in words(client.get(f"{HOUSE}/choices.pdf"))


def test_programs_read_them_too(asked):
    at = "/api/v1/houses/tern-hollow"
    (table, *_) = asked.get(f"{at}/choices").json()["choices"]
    assert (table["what"], table["last_safe_day"]) == ("dining table", "2027-02-10")
    assert asked.get(f"{at}/calls").json()["calls"][0]["phone"] == "555-0145"
    assert asked.get(f"{at}/change-orders").json()["change_orders"] == []
    assert asked.get(f"{at}/change-orders/CO-1").status_code == 404
