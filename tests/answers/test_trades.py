"""However a trade is written, it is one crew, with its calendar, its phone and its luck."""

from datetime import date, timedelta

import pytest
from tests.answers.a_glass_house import FILES, glass_house

from roomwright.answers import calendars
from roomwright.answers import crew_history as history
from roomwright.answers.crew_limits import crew_limits
from roomwright.answers.look_ahead import look_ahead
from roomwright.answers.rooms import figures_in_force
from roomwright.answers.visits import visits
from roomwright.answers.who import who
from roomwright.answers.whole_network import whole
from roomwright.commands import parse
from roomwright.exchange.folder import FolderError
from roomwright.job.entities import Crew

DAY = date(2027, 3, 1)
WORK = (
    "activity,name,days_likely,trade,rooms\nTILE,Tile shower,10,Tile,1\nCURB,Stone curb,1,tile,1\n"
    'GLASS,Set glass,1,glazier,1\nFLOOR,Lay oak,5,"{}",1\nDONE,Move in,0,,1\n'
)
SAID = {
    "calendars": "calendar,work_week\ntile,mon; tue\n",
    "contacts": "trade,name,phone\ntile,Bo,555-0101\nplumber,Al,555-0102\n",
}
WRITTEN = ("tile/plumber", "Tile & Plumber", "tile, plumber", "TILE;plumber", "tile and plumber")


@pytest.mark.parametrize("text", WRITTEN)
def test_two_trades_however_they_are_written(text):
    house = glass_house(DAY, activities=WORK.format(text), **SAID)
    assert house.ask(calendars.of_trade, text).work_week == {0, 1}
    uses = {lim.name: [u.activity for u in lim.uses] for lim in house.ask(crew_limits).limits}
    tile = next(held for name, held in uses.items() if name.lower() == "one tile crew")
    assert sorted(tile) == ["CURB", "FLOOR", "TILE"]
    assert sorted(uses["Bath: one wet trade"]) == ["CURB", "FLOOR", "TILE"]
    (day,) = house.ask(who, DAY, 1).days
    called = {one.activity: [(n, p) for _, n, p in one.people] for one in day.here}
    assert called["FLOOR"] == [("Bo", "555-0101"), ("Al", "555-0102")]
    assert called["TILE"] == [("Bo", "555-0101")]
    floor = next(u for u in house.ask(whole).uncertain if u.activity == "FLOOR")
    assert floor.factors == ("trade tile", "trade plumber")
    assert {v.trade.lower() for v in house.ask(visits)} == {"tile", "plumber", "glazier"}
    crews = {row.title.lower(): row.under for row in house.ask(look_ahead, DAY, 8).crews}
    assert crews["tile"] == "Bo 555-0101"
    assert len(crews) == len(house.ask(look_ahead, DAY, 8).crews)


def test_a_name_with_and_that_somebody_goes_by_is_one_trade():
    said = {"contacts": "trade,name,phone\nheating and air,Cy,555-0103\n"}
    house = glass_house(DAY, activities=WORK.format("Heating and Air"), **said)
    names = {lim.name for lim in house.ask(crew_limits).limits}
    assert "one Heating and Air crew" in names
    (day,) = house.ask(who, DAY, 1).days
    assert {n for one in day.here for _, n, _ in one.people} == {"Cy"}


def over(first, days, last, crew=""):
    """Twelve works of six planned days, each begun on `first` of its fortnight."""
    work = "".join(f"W{i},work,{days},Glazier,1\n" for i in range(12))
    told = "activity,started,finished\n" + "".join(
        f"W{i},{first + timedelta(days=14 * i)},{last + timedelta(days=14 * i)}\n"
        for i in range(12)
    )
    said = {"calendars": crew} if crew.startswith("cal") else {"crews": crew} if crew else {}
    return glass_house(activities=FILES["activities.csv"] + work, progress=told, **said)


TUESDAY, THURSDAY = date(2026, 6, 2), date(2026, 6, 11)


@pytest.mark.parametrize(
    "crew", ["calendar,work_week\nglazier,tue; wed; thu\n", "trade,days\nglazier,tue wed thu\n"]
)
def test_a_crew_of_three_days_a_week_that_keeps_its_plan_learns_no_delay(crew):
    found = over(TUESDAY, 6, THURSDAY, crew).ask(history.crews)  # Tue Wed Thu, Tue Wed Thu
    assert {(w.planned, w.took) for w in found.works} == {(6, 6)}
    assert found.pace(["glazier"]) == pytest.approx(1)
    plain = over(TUESDAY, 6, THURSDAY).ask(history.crews)  # by the house's week it is 8 days
    assert {w.took for w in plain.works} == {8}
    # the middle of the belief: the log of 8 / 6, twelve times, against a prior at 1 of some weight
    weight = float(glass_house().ask(figures_in_force, "").get("chance.promise_strength").value)
    assert plain.pace(["glazier"]) == pytest.approx((8 / 6) ** (12 / (12 + weight)))


def test_what_was_sure_rests_only_on_works_that_were_over_by_then():
    """Each work's belief, by a plain loop over all that ended before it began."""
    house = over(date(2026, 6, 1), 4, date(2026, 6, 18))  # each runs into the next
    found, guess = house.ask(history.crews), house.ask(history.guess_of)
    for one in found.works:
        then = [w for w in found.works if w.finished < one.started]
        belief = guess.after([history.Delivery(w.planned, w.took) for w in then])
        pace = belief.ratio(0.5) if len(then) >= 10 else 1
        low, likely, high = 0.8 * 4, 4.0, 1.5 * 4
        # the 80 % point of a triangle, from its right side
        at = high - (0.2 * (high - low) * (high - likely)) ** 0.5
        assert one.sure == -int(-(at * pace - 1e-9) // 1)
    last = found.works[-1]
    assert sum(w.finished < last.started for w in found.works) == 10
    assert last.sure > found.works[0].sure


def test_a_trade_is_told_once():
    with pytest.raises(FolderError, match="Tile again"):
        glass_house(crews="trade,crews\nTile,1\ntile,2\n")
    held = glass_house(crews="trade,crews,wet\nTile,1,yes\n").facts
    (change,) = parse("set crew", {"trade": "tile", "crews": 2}).changes(held)
    assert change.after == Crew(id="Tile", crews=2, wet="yes")
