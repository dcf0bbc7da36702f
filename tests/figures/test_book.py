"""The book of figures: nothing without a source, conflicts as choices, overrides that show."""

import math
from fractions import Fraction
from pathlib import Path

import pytest

from roomwright.figures import Figure, FiguresError, load
from roomwright.figures.figure import CHOSEN, STANDINGS
from roomwright.figures.page import written
from roomwright.lengths import parse

BOOK = load()
DEFAULT = "kitchen and bath guidelines"
PAGE = Path(__file__).parents[2] / "docs" / "figures.md"

# keys that other modules ask for by name
WANTED = [
    "dining.rise",
    "dining.edge_past",
    "dining.walk_past",
    "dining.serve",
    "walkway.main",
    "walkway.other",
    "walkway.minimum",
    "door.clear",
    "seat.width",
    "seat.corner",
    "seat.end_min_width",
    "seat.chair_width",
    "seat.chair_depth",
    "seat.chair_use",
    "living.facing",
    "living.sofa_table_min",
    "living.sofa_table_max",
    "living.desk",
    "living.tv",
    "bedroom.side",
    "bedroom.dressing",
    "bedroom.least_side",
    "bedroom.front_of_drawers",
    "bedroom.closet_front",
    "bedroom.circulation",
    "bedroom.crib_side",
    "kitchen.aisle_one",
    "kitchen.aisle_two",
    "kitchen.facing",
    "kitchen.walkway",
    "kitchen.stool_width",
    "kitchen.knee_36",
    "kitchen.table_to_counter",
    "kitchen.dishwasher_stand",
    "bath.toilet_side",
    "bath.toilet_front",
    "bath.toilet_front_good",
    "bath.lavatory_side",
    "bath.lavatory_edge",
    "bath.lavatory_front",
    "bath.tub_front",
    "bath.shower_front",
    "bath.shower_min",
    "laundry.front",
    "stair.riser_max",
    "stair.riser_spread",
    "stair.tread_min",
    "stair.headroom",
    "stair.width",
    "opening.handle",
    "light.center_tolerance",
    "wheelchair.turn",
    "tape.sigma",
    "tape.scale",
    "egress.door_clear",
    "egress.window_area",
    "egress.window_height",
    "egress.window_width",
    "egress.sill_max",
]


def test_every_figure_of_every_layer_has_its_source():
    figures = [f for layer in BOOK.layers.values() for f in layer.values()]
    assert len(figures) > 90
    for f in figures:
        assert all(part.strip() for part in (f.title, f.source, f.section, f.edition)), f.key
        assert f.standing in STANDINGS, f.key
        assert f.value > 0, f.key


@pytest.mark.parametrize("name", BOOK.sets)
def test_every_set_answers_every_key_and_says_from_where(name):
    chosen = BOOK.choose(name)
    assert set(WANTED) <= {f.key for f in chosen} == set(BOOK.keys)
    for f in chosen:
        at = BOOK.chains[name].index(f.set)
        # and it is the first of the chain that has one
        assert not any(f.key in BOOK.layers[earlier] for earlier in BOOK.chains[name][:at])
        assert BOOK.layers[f.set][f.key] is f


def test_conflicting_figures_are_named_choices():
    for key in BOOK.keys:
        choices = BOOK.choices(key)
        assert len({f.set for f in choices}) == len(choices) >= 1
    walk = {f.set: f.value for f in BOOK.choices("dining.walk_past")}
    assert walk == {DEFAULT: 44, "HUD 1973": 38, "common practice": 48, "accessible": 60}
    for name, value in walk.items():
        assert BOOK.choose(name).get("dining.walk_past").value == value


def test_the_code_is_the_need_and_the_guideline_is_advice():
    for name in BOOK.sets:
        need = BOOK.choose(name).get("bath.toilet_front")
        assert (need.value, need.standing, need.set) == (21, "law as adopted", "residential code")
    good = BOOK.choose().get("bath.toilet_front_good")
    assert (good.value, good.standing, good.set) == (30, "guideline", DEFAULT)


def test_no_set_is_below_the_code():
    for name in BOOK.sets:
        for f in BOOK.choose(name):
            code = BOOK.layers["residential code"].get(f.key)
            if code and f.key not in ("stair.riser_max", "stair.riser_spread", "egress.sill_max"):
                assert f.value >= code.value, (name, f.key)


def test_default_and_names_as_people_type_them():
    assert BOOK.default == BOOK.sets[0] == DEFAULT
    assert BOOK.choose("").set == BOOK.choose(" Kitchen and  Bath Guidelines ").set == DEFAULT
    assert load() is BOOK


def test_walkways_of_the_default():
    chosen = BOOK.choose()
    main, other, least = (chosen.get(f"walkway.{k}") for k in ("main", "other", "minimum"))
    assert (main.value, main.set) == (36, DEFAULT)
    assert (other.value, other.set) == (30, "common practice")
    assert (least.value, least.set) == (24, "HUD 1973")


def test_override_of_house_and_room():
    house = BOOK.choose("HUD 1973", {"dining.walk_past": "3'-6\"", "seat.width": Fraction(26)})
    was, now = BOOK.choose("HUD 1973").get("dining.walk_past"), house.get("dining.walk_past")
    assert (now.value, now.standing, now.overridden, now.section) == (
        42,
        CHOSEN,
        True,
        "this house",
    )
    assert now.replaces == was
    room = house.override({"dining.walk_past": 40}, where="room 101")
    both = room.get("dining.walk_past")
    assert (both.value, both.replaces) == (40, now)
    assert house.get("dining.walk_past").value == 42  # the house keeps its own
    assert '40"' in both.cite()
    assert "room 101" in both.cite()
    assert '42"' in both.cite()


def test_an_override_of_the_code_says_so():
    low = BOOK.choose("", {"bath.toilet_front": "19 1/2"}).get("bath.toilet_front")
    assert '21"' in low.note
    assert "inspector decides" in low.note
    again = BOOK.choose("", {"bath.toilet_front": 20}).override({"bath.toilet_front": 18}, "room 2")
    assert '21"' in again.get("bath.toilet_front").note
    assert not BOOK.choose("", {"seat.width": 25}).get("seat.width").note


@pytest.mark.parametrize(
    ("set_name", "overrides", "says"),
    [
        ("HUD 1974", {}, "“HUD 1973”"),  # a near miss
        ("nonsense", {}, "known: "),  # no near one: all are named
        ("", {"dining.walkpast": 40}, "“dining.walk_past”"),  # a near key
        ("", {"dining.zzz": 40}, "“dining.rise”"),  # the subject is right
        ("", {"dining.rise": "3 2"}, "two ways"),  # an ambiguous length
        ("", {"dining.rise": -1}, "less than 0"),  # no clearance
        ("", {"dining.rise": math.nan}, "not a length"),
        ("", {"dining.rise": None}, "not a number"),
        ("", {"dining.rise": True}, "not a length"),
        ("", {"egress.window_area": "5' 7"}, "plain number"),  # square feet are no length
        ("", {"egress.window_area": "1e999999999"}, "plain number"),  # hostile
        ("", {"egress.window_area": "1/0"}, "divides by zero"),
        ("", {"dining.rise": "x", "seat.width": "y"}, "seat.width"),  # all errors at once
        ("", {7: 1}, "no figure “7”"),
    ],
)
def test_what_is_refused(set_name, overrides, says):
    with pytest.raises(FiguresError) as caught:
        BOOK.choose(set_name, overrides)
    assert says in str(caught.value)


def test_unknown_names():
    with pytest.raises(FiguresError, match=r"dining\.rise"):
        BOOK.choose().get("dining.rice")
    with pytest.raises(FiguresError, match=r"dining\.rise"):
        BOOK.choices("dining.rice")
    with pytest.raises(FiguresError, match="handbook"):
        BOOK.seat_table("hand book")
    with pytest.raises(FiguresError, match="computed"):
        BOOK.seat_table("24 in. rule").seats(84)


def test_seat_rules_are_named_and_disagree():
    assert BOOK.seat_sets == ("24 in. rule", "handbook")
    handbook = BOOK.seat_table("handbook")
    assert [handbook.seats(n) for n in ("53", "54", "6'-7", 84, 103, 104, 200)] == [
        *(0, 4, 6, 6, 6, 8, 10)
    ]
    assert handbook.seats(83, recommended=True) == 4
    assert "Time-Saver" in handbook.cite()
    assert "common practice" in BOOK.seat_table("24 in. rule").cite()


def test_a_figure_reads_as_a_builder_reads_it():
    get = BOOK.choose().get
    assert get("stair.riser_max").shown() == '7 3/4"'
    assert get("egress.window_area").shown() == "5.7 sq ft"
    assert get("tape.scale").shown() == "0.0005 per in"
    assert isinstance(get("tape.scale"), Figure)
    assert get("seat.width").cite() == (
        '24" table edge that one person takes: common practice of the trade, '
        "no published source (common practice)"
    )
    for f in BOOK.choose():
        if f.unit == "in":
            assert parse(f.shown()) == f.value


def test_the_docs_page_is_the_data():
    page = PAGE.read_text(encoding="utf-8")
    assert page == written(page, BOOK), "run: python -m roomwright.figures.page docs/figures.md"
