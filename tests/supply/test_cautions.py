"""Cautions come when the work that brings the danger is near, and go when it is safe."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from roomwright.days import Calendar
from roomwright.supply import Work, cautions
from roomwright.supply.cautions import ENDING, RULES

HOUSE = Calendar(date(2027, 1, 18))
AS_OF = date(2027, 3, 29)


def work(name: str, state: str = "to do", days_ahead: int = 0, trade: str = "") -> Work:
    start = AS_OF + timedelta(days_ahead)
    return Work(name, name, trade, state, start, start)  # type: ignore[arg-type]


def keys(*site: Work, classes: tuple[str, ...] = ()) -> set[str]:
    return {c.key for c in cautions(site, classes, HOUSE, AS_OF)}


HEAT = work("Furnace started, temporary heat")


def test_heat_before_the_gas_test() -> None:
    assert "heat before gas test" in keys(HEAT, work("Gas piping pressure test"))
    assert "heat before gas test" not in keys(HEAT, work("Gas piping pressure test", "done"))
    far = work("Furnace started", days_ahead=30)
    assert "heat before gas test" not in keys(far, work("Gas piping pressure test", days_ahead=20))
    running = work("Furnace started", "done", -20)
    assert "heat before gas test" in keys(running, work("Gas piping pressure test"))


def test_a_house_without_gas_needs_no_gas_test() -> None:
    assert "heat before gas test" not in keys(work("Temporary heat on"))
    assert "heat before gas test" in keys(HEAT, classes=("Gas fireplace",))  # nobody planned one


def test_heat_before_a_carbon_monoxide_alarm() -> None:
    assert "heat before alarm" in keys(HEAT, work("Smoke + CO alarms, test"))
    temporary = work("Inspection; temporary CO alarm on", "done", -5)
    found = keys(HEAT, temporary, work("Smoke + CO alarms, test", days_ahead=60))
    assert "heat before alarm" not in found
    assert "alarms not yet final" in found
    assert "heat before alarm" not in keys(work("Water heater set"), classes=("gas",))


def test_an_open_stair() -> None:
    rail = "Stair treads, newels, rail, balusters"
    framed, later = work("Framing", "done", -30), work(rail, days_ahead=60)
    assert "open stair" in keys(framed, later, classes=("Stair finish set",))
    assert "open stair" not in keys(later, classes=("Stair finish set",))  # nobody is there yet
    assert "open stair" not in keys(work(rail, "done", -2), classes=("Stair finish set",))
    assert "open stair" in keys(work("Paint"), classes=("stair",))  # no step for it at all
    assert "open stair" not in keys(work("Panels, light rail, crown"), work("Paint"))


def test_dust_while_it_is_cut() -> None:
    assert "dust of tile and stone" in keys(work("Backer + waterproofing", "started", -2, "tile"))
    assert "dust of tile and stone" in keys(work("Set floor", days_ahead=3, trade="tile/stone"))
    assert "dust of tile and stone" not in keys(work("Floor tile", "done", -9))
    assert "dust of tile and stone" not in keys(work("Floor tile", days_ahead=20))


def test_hood_and_furniture() -> None:
    assert "hood and make-up air" in keys(work("Hood, make-up air interlock"))
    assert "hood and make-up air" not in keys(work("Hood"))
    assert "furniture that tips" in keys(work("Furniture carried in"))


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.key)
def test_every_rule_has_a_source_and_its_words_fill_in(rule) -> None:
    assert rule.source
    filled = rule.says.format(work="W", safe="S", when="planned for Apr 1")
    assert "{" not in filled + rule.unplanned.format(work="W")
    assert bool(rule.unplanned) == bool(rule.safe)


def test_every_caution_ends_alike() -> None:
    site = (HEAT, work("Set floor", trade="tile"), work("Furniture carried in"))
    found = cautions(site, ("Gas range", "stair"), HOUSE, AS_OF)
    assert len(found) >= 5
    assert all(c.text.endswith(ENDING) for c in found)


def test_it_is_about_the_danger_and_about_what_ends_it() -> None:
    """Whoever lights the heat reads of the alarms, not only whoever tests them."""
    begun = work("Temporary heat on", "done", -5)
    held = work("Climate: heat held at 70", days_ahead=3)
    far = work("Heat set back", days_ahead=40)
    alarms = work("Smoke + CO alarms, test", days_ahead=60)
    site = (begun, held, far, alarms)
    found = {c.key: c for c in cautions(site, (), HOUSE, AS_OF)}
    assert found["alarms not yet final"].activities == tuple(
        w.name for w in (begun, held, alarms)
    )  # fmt: skip
    found = {c.key: c for c in cautions(site, (), HOUSE, AS_OF, ahead=None)}
    assert found["alarms not yet final"].activities == tuple(w.name for w in site)


def test_an_open_stair_is_about_its_rail_only() -> None:
    rail = work("Stair rail", days_ahead=60)
    (found,) = cautions([work("Paint"), rail], ("stair",), HOUSE, AS_OF)
    assert found.activities == ("Stair rail",)
