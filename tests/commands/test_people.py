"""Choices, change orders and calls by commands, over the demo house."""

from datetime import date

import pytest
from tests.answers.demo_house import facts

from roomwright import commands
from roomwright.answers import Answers
from roomwright.answers.dates import dates
from roomwright.commands import BadCommandError
from roomwright.exchange.folder import read_files
from roomwright.exchange.writer import to_files
from roomwright.job.entities import Activity, Call, ChangeOrder, Choice, Progress
from roomwright.job.rules import check

TABLE = "L007"


def done(state, name, **values):
    """The facts after a command and its sentence."""
    work = commands.parse(name, values).work(state, lambda _: [])
    new = state.changed(work.changes)
    assert check(new, work.changes) == []
    return new, work.sentence


def refused(state, name, **values):
    with pytest.raises(BadCommandError) as no:
        commands.parse(name, values).work(state, lambda _: [])
    return str(no.value)


def finish(state):
    return Answers(state, as_of=date(2027, 3, 29)).ask(dates).finish


def test_a_choice_is_made_decided_and_opened_again():
    state, said = done(facts(), "add choice", what="dining table", lines=TABLE, by="2027-04-02")
    assert said == "Choice C1 for the owner: dining table, by Apr 2, 2027."
    state, said = done(state, "decide", choice="C1", decision="84 x 42 oak", on="2027-03-30")
    assert said == "dining table: 84 x 42 oak, decided Mar 30, 2027."
    state, said = done(state, "decide", choice="C1", decision="")
    assert said == "dining table: open again (was 84 x 42 oak)."
    assert state.get(Choice, "C1").decided is None
    assert "day on which" in refused(state, "decide", choice="C1", decision="oak")
    assert "no line L999" in refused(state, "add choice", what="x", lines="L999")
    assert "years away" in refused(state, "add choice", what="x", by="2072-04-02")
    state, _ = done(state, "remove choice", choice="C1")
    assert state.all(Choice) == ()


def test_ordering_what_is_not_decided_says_so_and_is_not_refused():
    order = {"order": "X1", "lines": [{"line": TABLE}], "placed": "2027-03-29"}
    _, plain = done(facts(), "place order", **order)
    assert "not decided" not in plain
    for held in ({"lines": TABLE}, {"part_class": "F_TABLE"}):
        state, _ = done(facts(), "add choice", what="dining table", **held)
        after, said = done(state, "place order", **order)
        assert said == f"{plain} Ordered though not decided yet: dining table (owner)."
        assert len(after) == len(state) + 1
        state, _ = done(state, "decide", choice="C1", decision="oak", on="2027-03-29")
        assert done(state, "place order", **order)[1] == plain


def test_a_signed_change_order_puts_its_days_into_the_work():
    state, said = done(
        facts(), "add change order", title="Heated floor", price="$1,850", days="2",
        activities="A250 A255", asked_on="2027-03-25",
    )  # fmt: skip
    assert said == "Change order CO-1: Heated floor, $1,850, +2 days."
    assert finish(state) == finish(facts()), "an unsigned change moves nothing"
    assert "before it was asked" in refused(
        state, "agree to change order", change_order="CO-1", by="Ana", on="2027-03-24"
    )
    signed, said = done(state, "agree to change order", change_order="CO-1", by="Ana",
                        on="2027-03-29")  # fmt: skip
    assert said.endswith("signed by Ana on Mar 29, 2027. A250 takes 2 days longer.")
    assert signed.get(ChangeOrder, "CO-1").taken_by == "A250"
    was, now = facts().get(Activity, "A250"), signed.get(Activity, "A250")
    for field in ("days_low", "days_likely", "days_high"):
        assert getattr(now, field) == getattr(was, field) + 2
    assert (finish(facts()), finish(signed)) == (date(2027, 6, 28), date(2027, 6, 30))
    assert "already" in refused(signed, "agree to change order", change_order="CO-1", by="B",
                                on="2027-03-29")  # fmt: skip
    assert "signed paper" in refused(signed, "edit change order", change_order="CO-1", title="x")
    assert "stays" in refused(signed, "remove change order", change_order="CO-1")
    assert done(state, "remove change order", change_order="CO-1")[0].all(ChangeOrder) == ()


def test_days_go_into_what_is_left_of_work_that_has_begun():
    state = facts()
    begun = next(p for p in state.all(Progress) if not p.finished and p.days_left)
    state, _ = done(state, "add change order", title="More", days="3", activities=begun.id)
    state, _ = done(state, "agree to change order", change_order="CO-1", by="A", on="2027-03-29")
    assert state.get(Progress, begun.id).days_left == begun.days_left + 3


def test_days_do_not_go_below_none_nor_into_work_that_is_done():
    over = next(p for p in facts().all(Progress) if p.finished)
    state, _ = done(facts(), "add change order", title="Less", days="-40", activities="A250")
    agree = {"change_order": "CO-1", "by": "A", "on": "2027-03-29"}
    assert "less than none" in refused(state, "agree to change order", **agree)
    state, _ = done(facts(), "add change order", title="Late", days="4", activities=over.id)
    state, said = done(state, "agree to change order", **agree)
    assert said.endswith("signed by A on Mar 29, 2027.")
    assert state.get(Activity, over.id) == facts().get(Activity, over.id)
    assert state.get(ChangeOrder, "CO-1").taken_by is None


def test_who_takes_the_days_is_named():
    """The first of its activities is done, so the next takes them, and it is that which is told."""
    over = next(p for p in facts().all(Progress) if p.finished)
    state, _ = done(facts(), "add change order", title="Late", days="4",
                    activities=f"{over.id} A250")  # fmt: skip
    state, said = done(state, "agree to change order", change_order="CO-1", by="A", on="2027-03-29")
    assert said.endswith("A250 takes 4 days longer.")
    assert state.get(ChangeOrder, "CO-1").taken_by == "A250"


def test_calls_are_kept():
    state, said = done(facts(), "call made", activity="A250", visit="2027-05-03", on="2027-04-19")
    assert said == "Called Apr 19, 2027: trim confirmed May 3, 2027."
    assert state.all(Call)[0].id == "K1"
    _, said = done(state, "call made", activity="A250", visit="2027-05-03", on="2027-04-19",
                   said="another day", day="2027-05-05")  # fmt: skip
    assert "can't come on May 3, 2027; May 5, 2027 they can" in said
    assert "another day" in refused(state, "call made", activity="A250", visit="2027-05-03",
                                    on="2027-04-19", day="2027-05-05")  # fmt: skip


def test_a_folder_takes_what_the_commands_make():
    state, _ = done(facts(), "add choice", what="table", lines=f"{TABLE} L249", options="a, $1; b")
    state, _ = done(state, "add change order", title="More", price="-12.5", days="1",
                    activities="A250")  # fmt: skip
    state, _ = done(state, "agree to change order", change_order="CO-1", by="A", on="2027-03-29")
    state, _ = done(state, "call made", activity="A250", visit="2027-05-03", on="2027-03-29")
    files = {name: text.encode() for name, text in to_files(state).items()}
    assert list(read_files(files).facts) == list(state)


def test_an_id_that_is_taken_is_refused_and_nothing_is_wiped():
    state, _ = done(facts(), "add choice", what="tile", choice="C1", options="a; b", note="n")
    assert "C1 is there already, tile" in refused(state, "add choice", what="knobs", choice="C1")
    state, _ = done(state, "add change order", title="More", reason="why")
    said = refused(state, "add change order", title="Less", change_order="CO-1")
    assert "CO-1 is there already, More" in said


def test_what_is_asked_is_changed_field_by_field():
    state, _ = done(facts(), "add choice", what="tile", options="a; b", note="n", lines=TABLE)
    state, said = done(state, "edit choice", choice="C1", note="ask Ann")
    assert said == "Choice C1, tile: changed."
    state, _ = done(state, "edit choice", choice="C1", what="wall tile", shown="what options by")
    held = state.get(Choice, "C1")
    assert (held.what, held.options, held.note, held.lines) == (
        "wall tile",
        "",
        "ask Ann",
        (TABLE,),
    )
    assert done(state, "edit choice", choice="C1", note="ask Ann")[1].endswith("it is so already.")
    assert "say what" in refused(state, "edit choice", choice="C1", shown="what")
    assert "lime is none of" in refused(state, "edit choice", choice="C1", shown="lime")
    assert refused(state, "edit choice", choice="C9", what="x")


def test_a_paper_is_changed_field_by_field_until_it_is_signed():
    state, _ = done(facts(), "add change order", title="More", days="3", activities="A250",
                    price="40")  # fmt: skip
    state, _ = done(state, "edit change order", change_order="CO-1", price="50")
    held = state.get(ChangeOrder, "CO-1")
    assert (held.title, held.days, str(held.price)) == ("More", 3, "50.00")
    assert "takes the days" in refused(
        state, "edit change order", change_order="CO-1", shown="activities"
    )
    state, _ = done(state, "agree to change order", change_order="CO-1", by="Ana", on="2027-03-29")
    assert "signed paper" in refused(state, "edit change order", change_order="CO-1", title="x")
