"""Work taken out: what waited through it waits as if it had taken no time; nothing else does."""

import random
from datetime import date

import pytest

from roomwright import commands
from roomwright.answers import Answers
from roomwright.answers.dates import dates
from roomwright.job.entities import Activity, House, Link
from roomwright.job.facts import Change, Facts

HOUSE = House(id="house", name="h", site_start=date(2027, 3, 1),
              work_week=("mon", "tue", "wed", "thu", "fri"))  # fmt: skip
KINDS = ("finish to start", "start to start", "finish to finish", "start to finish")


def link(before, after, kind=KINDS[0], lag=0, counts="working"):
    return Link(id=f"{before} > {after} ({kind})", before=before, after=after, kind=kind,
                lag_days=lag, lag_counts=counts)  # fmt: skip


def house(*links, days=5, ids="AXB"):
    return Facts([HOUSE, *(Activity(id=x, days_likely=days) for x in ids), *links])


def without(facts, id="X"):
    work = commands.parse("remove activity", {"activity": id}).work(facts, lambda _: [])
    return facts.changed(work.changes), work.sentence


def days_of(facts):
    found = Answers(facts, as_of=date(2027, 3, 1)).ask(dates).activities
    return {a.id: (a.first_day, a.last_day) for a in found if a.id != "X"}


def test_a_start_to_start_link_does_not_stand_for_the_wait_that_goes():
    then, said = without(house(link("A", "X"), link("X", "B"), link("A", "B", "start to start")))
    assert "Joined: A → B" in said
    # A takes Mar 1 to 5; B may not begin with it on Mar 1, but the Monday after
    assert days_of(then)["B"][0] == date(2027, 3, 8)


def test_a_way_round_that_overlaps_does_not_stand_for_it_either():
    facts = house(
        link("A", "X"), link("X", "B"), link("A", "C", lag=-5), link("C", "B"), ids="AXBC"
    )
    assert "Joined: A → B" in without(facts)[1]
    facts = house(link("A", "X"), link("X", "B"), link("A", "C"), link("C", "B"), ids="AXBC")
    assert "Joined" not in without(facts)[1]


def test_what_held_only_the_finish_never_holds_what_waited_only_for_the_start():
    facts = house(link("A", "X", "finish to finish"), link("X", "B", "start to start"))
    then, said = without(facts)
    assert list(then.all(Link)) == []
    assert "Not joined: A → B" in said
    assert days_of(then)["B"][0] == date(2027, 3, 1)


@pytest.mark.parametrize("facts", [
    house(link("A", "X", lag=3, counts="elapsed"), link("X", "B", lag=10)),
    house(link("A", "X", lag=12, counts="elapsed"), link("X", "B"), link("A", "B", lag=10)),
])  # fmt: skip
def test_working_and_elapsed_days_are_neither_added_nor_compared(facts):
    with pytest.raises(commands.BadCommandError, match="keep the activity with 0 days"):
        without(facts)


def test_a_lag_of_one_count_beside_none_is_kept_as_it_is():
    then, _ = without(house(link("A", "X", lag=3, counts="elapsed"), link("X", "B")))
    (kept,) = then.all(Link)
    assert (kept.lag_days, kept.lag_counts) == (3, "elapsed")


@pytest.mark.parametrize("seed", range(40))
def test_all_dates_are_those_of_the_work_at_no_days(seed):
    rng = random.Random(seed)
    ids = "ABXCDE"
    links = {}
    for i, before in enumerate(ids):
        for after in ids[i + 1 :]:
            for _ in range(
                rng.choice((0, 1, 1, 2)) if "X" in (before, after) else rng.randint(0, 1)
            ):
                kind = rng.choice(KINDS)
                if before == "X" and kind.startswith("start"):
                    kind = rng.choice(KINDS[::2])  # its start is held by its finish at no days
                made = link(before, after, kind, rng.choice((0, 0, 0, 1, 2)))
                links[made.id] = made
    facts = Facts([HOUSE, *(Activity(id=x, days_likely=rng.randint(1, 6)) for x in ids),
                   *links.values()])  # fmt: skip
    work = facts.get(Activity, "X")
    none = work.model_copy(update={"days_likely": 0})
    at_no_days = facts.changed([Change("activity", "X", work, none)])
    assert days_of(without(facts)[0]) == days_of(at_no_days)
