"""The levelled plan of a house and the weeks ahead, on the demo with crews of its own."""

from datetime import date

import pytest
from tests.answers.a_glass_house import FILES

from roomwright.answers import Answers, sheet_cautions
from roomwright.answers import crews as crews_
from roomwright.answers.crew_limits import crew_limits
from roomwright.answers.crews import crews
from roomwright.answers.crews_json import as_json
from roomwright.answers.dates import calendar
from roomwright.answers.look_ahead import look_ahead
from roomwright.answers.whole_network import whole
from roomwright.crews import Effort, faults
from roomwright.exchange.folder import read_files, read_folder
from roomwright.exchange.samples import example_path
from roomwright.job.entities import Activity, Booking, Crew, Drying, Link
from roomwright.job.facts import Change
from roomwright.supply.cautions import ENDING as SAID

DAY = date(2027, 3, 29)


@pytest.fixture(scope="module")
def plain():
    return Answers(read_folder(example_path("tern-hollow")).facts, as_of=DAY)


def with_facts(answers, *facts):
    held = answers.facts
    return answers.supposing(
        [Change(f.kind_name, f.id, held.fact(f.kind_name, f.id), f) for f in facts]
    )


def edited(answers, id, **values):
    one = answers.facts.get(Activity, id)
    return Activity.model_validate({**dict(one), **values})


def test_the_demo_as_it_is_costs_no_day_and_its_clashes_are_told(plain):
    found = plain.ask(crews)
    base = plain.ask(whole)
    assert found.plan.proved
    assert found.costs == 0
    limits = plain.ask(crew_limits).limits
    assert faults(found.plan, base.network, plain.ask(calendar), base.progress,
                  limits=limits, not_before=base.not_before) == []  # fmt: skip
    said = [found.clash_text(c) for c in found.clashes]
    assert any("one plumber crew" in s for s in said)
    assert any("common practice" in n for n in found.notes)
    assert found.calls == ()


def test_floor_tile_room_by_room_is_more_than_one_setter_can_do(plain):
    """Floor tile split by rooms, all after the layout: one setter goes from room to room."""
    rooms = ("209", "204", "207", "105", "107")
    split = [
        Activity(id=f"A105-{r}", name=f"Floor tile {r}", days_likely=2, trade="tile", rooms=(r,))
        for r in rooms
    ]
    links = [Link(id=f"A090 > {s.id} (finish to start)", before="A090", after=s.id) for s in split]
    held = with_facts(plain, *split, *links, Crew(id="tile", crews=1))
    one = held.ask(crews)
    two = with_facts(held, Crew(id="tile", crews=5)).ask(crews)
    assert one.plan.working_days >= two.plan.working_days
    days = sorted(one.plan[s.id].first_day for s in split)
    assert len(set(days)) == len(days)  # one after the other
    assert any(c.limit == "one tile crew" for c in one.clashes)


def test_an_inspector_s_days_cost_and_are_said(plain):
    tue = with_facts(plain, Crew(id="inspector", days=("tue",)))
    found = tue.ask(crews)
    final = ("A460", "A465", "A470", "A475")
    assert all(found.plan[i].first_day.weekday() == 1 for i in final)
    assert found.costs == 0  # the range is late, and the house waits for it
    assert found.costs_in_time > 0
    assert any("were they here in time" in n for n in found.notes)
    never = with_facts(plain, Crew(id="tile", days=("mon",)), Crew(id="inspector", days=("tue",)))
    assert any("no weekday" in n for n in never.ask(crews).notes)


def test_a_room_stays_closed_while_it_dries(plain):
    held = with_facts(plain, Drying(id="A150", days=3, note="finish"))
    found = held.ask(crews).plan
    ahead = held.ask(look_ahead, date(2027, 4, 5))
    assert any("Keep out of" in c and "(finish)" in c for c in ahead.closed)
    floor = found["A150"]
    for activity in held.facts.all(Activity):
        if activity.id != "A150" and "102" in activity.rooms and activity.days_likely:
            other = found[activity.id]
            assert other.last_day < floor.first_day or (other.first_day - floor.last_day).days > 3


def test_who_is_called_after_a_slip(plain):
    first = plain.ask(crews).plan
    book = [Booking(id=i, first_day=first[i].first_day, said_by="Ann") for i in
            ("A095", "A100", "A105", "A150")]  # fmt: skip
    held = with_facts(plain, *book)
    assert held.ask(crews).calls == ()
    slipped = with_facts(held, edited(held, "A090", days_likely=3, days_high=4))
    found = slipped.ask(crews)
    calls = {c.activity: c for c in found.calls}
    assert "A095" in calls
    assert calls["A095"].phone == "555-0144"
    assert calls["A095"].now > calls["A095"].booked
    assert "A150" in found.plan.kept
    body = as_json(found)
    assert len(found.choices[0].moved) == len(found.calls)
    fewer = [len(c.moved) for c in found.choices]
    later = [c.later for c in found.choices]
    assert fewer == sorted(fewer, reverse=True)
    assert later == sorted(later)
    assert body["choices"][0]["later_days"] == 0
    assert [s["goal"] for s in body["steps"]] == ["end", "bookings changed", "days moved"]


def test_weeks_ahead_by_crew_and_by_room(plain):
    found = plain.ask(look_ahead, DAY)
    assert (found.first, found.last) == (DAY, date(2027, 4, 16))
    assert len(found.days) == 15
    tile = next(r for r in found.crews if r.key == "tile")
    assert tile.under == "Plover Tile 555-0144"
    assert [b.activity for b in tile.bars][:3] == ["A080", "A085", "A090"]
    bath = next(r for r in found.rooms if "204" in r.key.split())
    assert {b.activity for b in bath.bars} >= {"A100", "A105"}
    assert found.cautions
    assert found.as_json()["cautions"][-1].endswith("ollow local code and licensed practice.")
    later = plain.ask(look_ahead, date(2027, 4, 26))
    assert any(one.trade for one in later.lacking)


def test_a_stopped_search_gives_the_best_so_far(plain):
    fresh = Answers(plain.facts, as_of=DAY)
    said = []
    with (
        crews_.watched(lambda share, at: said.append(at), lambda: True),
        pytest.raises(crews_.StoppedError) as stopped,
    ):
        fresh.ask(crews)
    assert stopped.value.found.plan.working_days >= plain.ask(crews).plan.plain_days
    assert said


def test_a_house_without_work():
    files = read_folder(example_path("tern-hollow")).facts
    bare = files.changed([Change(f.kind_name, f.id, f, None) for f in files
                          if f.kind_name not in ("house", "room", "floor")])  # fmt: skip
    found = Answers(bare, as_of=DAY).ask(crews)
    assert found.work == ()
    assert found.costs == 0


def small(works, **texts):
    """A house of tile works of so many days, each in a room of its own, and nothing else."""
    rows = "".join(f"{id},Tile {id},{days},tile,,{soonest}\n" for id, days, soonest in works)
    files = {
        "house.toml": FILES["house.toml"],
        "rooms.csv": FILES["rooms.csv"],
        "activities.csv": "activity,name,days_likely,trade,rooms,not_before\n"
        + rows + "DONE,Move in,0,,,\n",
        "links.csv": "before,after\n" + "".join(f"{id},DONE\n" for id, *_ in works),
        **{f"{name}.csv": text for name, text in texts.items()},
    }  # fmt: skip
    read = read_files({name: text.encode() for name, text in files.items()})
    return Answers(read.facts, as_of=date(2027, 3, 1))


def test_a_later_end_for_a_booking_is_no_cost_of_crews():
    """Three works of 2 days, one setter: 6 days, done Mon Mar 8. C is booked for Mar 15 and 16."""
    house = small(
        [("A", 2, ""), ("B", 2, ""), ("C", 2, "")], bookings="activity,first_day\nC,2027-03-15\n"
    )
    for later in (0, None):
        found = house.ask(crews, later)
        assert (found.plain_days, found.plan.soonest, found.costs) == (2, 6, 4)
        (row,) = [r for r in found.limits if r.holds]
        assert (row.saves, row.proved) == (4, True)
        assert "cost the house 4 days: done Mar 8" in found.text
    assert (found.plan.finish, found.plan.later, found.calls) == (date(2027, 3, 16), 6, ())
    assert "done Mar 16, 6 days later, to change fewer bookings" in found.text
    assert "no plan does better" not in found.text
    told = as_json(found)
    assert (told["working_days"], told["soonest_days"], told["later_days"]) == (12, 6, 6)
    assert "no plan does better" in house.ask(crews).text


def test_a_house_without_parts_waits_for_none():
    """B may not start before May 3: then the setter is free, and nothing is late."""
    found = small([("A", 5, ""), ("B", 5, "2027-05-03")]).ask(crews)
    assert (found.costs, found.costs_in_time, found.in_time_proved) == (0, 0, True)
    assert not [note for note in found.notes if "parts" in note]
    both = small([("A", 5, "2027-05-03"), ("B", 5, "2027-05-03")]).ask(crews)
    assert (both.costs, both.costs_in_time) == (5, 5)
    assert not [note for note in both.notes if "parts" in note]


def test_what_is_not_proved_is_at_most(monkeypatch):
    """With no effort at all nothing is proved, and what the limits cost is told as at most."""
    works = [(id, days, "") for id, days in zip("ABCDEFG", (3, 5, 2, 7, 4, 6, 1), strict=True)]
    monkeypatch.setattr(crews_, "Effort", lambda work: Effort(work=1e-9))
    found = small(works).ask(crews)
    assert (found.costs_in_time, found.in_time_proved) == (21, False)
    assert as_json(found)["costs_in_time_proved"] is False


def test_a_danger_is_told_once(plain):
    """The tile is cut in these weeks: one caution says it, and one ending stands in the program."""
    told = plain.ask(look_ahead, DAY).cautions
    assert len([words for words in told if "respirator" in words]) == 1
    assert len([words for words in told if "tair" in words]) == 1
    assert sheet_cautions.ENDING is SAID
