"""Figures against what their sources print. Each row quotes a number and where it stands.

[P] published and read (the code's in quotations only), [CP] common practice, [M] from memory.
"""

import itertools
from fractions import Fraction

import pytest

from roomwright.figures import load

BOOK = load()
GUIDE = "kitchen and bath guidelines"
HUD = "HUD 1973"
CODE = "residential code"
ADA = "accessible"
CP = "common practice"

PRINTED = [
    # Kitchen & Bathroom Planning Guidelines with Access Standards, 2nd ed. 2016 [P]
    (GUIDE, "dining.rise", 32, "guideline 8"),
    (GUIDE, "dining.edge_past", 36, "guideline 8"),
    (GUIDE, "dining.walk_past", 44, "guideline 8"),
    (GUIDE, "door.clear", 32, "guideline 1"),
    (GUIDE, "kitchen.aisle_one", 42, "guideline 6"),
    (GUIDE, "kitchen.aisle_two", 48, "guideline 6"),
    (GUIDE, "kitchen.walkway", 36, "guideline 7"),
    (GUIDE, "kitchen.stool_width", 24, "guideline 9"),
    (GUIDE, "kitchen.knee_30", 18, "guideline 9"),
    (GUIDE, "kitchen.knee_36", 15, "guideline 9"),
    (GUIDE, "kitchen.knee_42", 12, "guideline 9"),
    (GUIDE, "kitchen.dishwasher_stand", 21, "guideline 13"),
    (GUIDE, "bath.toilet_side_good", 18, "bath guideline"),
    (GUIDE, "bath.toilet_front_good", 30, "bath guideline"),
    # HUD, Manual of Acceptable Practices, Vol. 4, 1973 [P]
    (HUD, "dining.rise", 32, "dining"),
    (HUD, "dining.walk_past", 38, "dining"),
    (HUD, "dining.serve", 42, "dining"),
    (HUD, "walkway.minimum", 24, "dining"),
    (HUD, "kitchen.table_to_counter", 48, "dining-kitchen"),
    (HUD, "living.facing", 60, "living"),
    (HUD, "living.circulation", 24, "living"),
    (HUD, "living.desk", 30, "living"),
    (HUD, "walkway.main", 36, "living"),
    (HUD, "living.tv", 60, "living"),
    (HUD, "bedroom.dressing", 42, "bedroom"),
    (HUD, "bedroom.drawers_beside", 6, "bedroom"),
    (HUD, "bedroom.front_of_drawers", 36, "bedroom"),
    (HUD, "bedroom.circulation", 24, "bedroom"),
    (HUD, "bedroom.side", 22, "bedroom"),
    (HUD, "bedroom.least_side", 12, "bedroom"),
    (HUD, "kitchen.facing", 40, "kitchens"),  # Minimum Property Standards, 1980
    # International Residential Code, 2018 numbering, read in quotations [P]
    (CODE, "hall.width", 36, "R311.6"),
    (CODE, "bath.toilet_side", 15, "R307.1"),
    (CODE, "bath.toilet_front", 21, "R307.1"),
    (CODE, "bath.lavatory_edge", 4, "Figure R307.1"),
    (CODE, "bath.fixture_centers", 30, "P2705.1"),
    (CODE, "bath.tub_front", 21, "R307.1"),
    (CODE, "bath.shower_front", 24, "P2705.1"),
    (CODE, "bath.shower_min", 30, "P2708.1"),
    (CODE, "stair.width", 36, "R311.7.1"),
    (CODE, "stair.headroom", 80, "R311.7.2"),
    (CODE, "stair.riser_max", Fraction(31, 4), "R311.7.5.1"),
    (CODE, "stair.riser_spread", Fraction(3, 8), "R311.7.5.1"),
    (CODE, "stair.tread_min", 10, "R311.7.5.2"),
    (CODE, "egress.door_clear", 32, "R311.2"),
    (CODE, "egress.door_height", 78, "R311.2"),
    (CODE, "egress.window_area", Fraction(57, 10), "R310.2"),
    (CODE, "egress.window_area_grade", 5, "R310.2"),
    (CODE, "egress.window_height", 24, "R310.2"),
    (CODE, "egress.window_width", 20, "R310.2"),
    (CODE, "egress.sill_max", 44, "R310.2"),
    # 2010 ADA Standards for Accessible Design [P]
    (ADA, "wheelchair.turn", 60, "304.3.1"),
    (ADA, "wheelchair.floor_width", 30, "305.3"),
    (ADA, "wheelchair.floor_length", 48, "305.3"),
    (ADA, "walkway.main", 36, "403.5.1"),
    (ADA, "walkway.minimum", 32, "403.5.1"),
    (ADA, "door.clear", 32, "404.2.3"),
    (ADA, "bath.toilet_side", 16, "604.2"),
    (ADA, "bath.tub_front", 30, "607.2"),
    (ADA, "bath.shower_min", 36, "608.2.1"),
    (ADA, "bedroom.side", 30, "806.2.3"),
    (ADA, "kitchen.facing", 40, "804.2.1"),
    # common practice [CP]
    (CP, "dining.rise", 36, "none published"),
    (CP, "dining.walk_past", 48, "none published"),
    (CP, "seat.width", 24, "none published"),
    (CP, "seat.corner", 6, "none published"),
    (CP, "seat.end_min_width", 36, "none published"),
]


@pytest.mark.parametrize(("layer", "key", "value", "section"), PRINTED)
def test_figure_is_as_printed(layer, key, value, section):
    figure = BOOK.layers[layer][key]
    assert figure.value == value
    assert section in figure.section


def test_what_is_from_memory_says_so():
    memory = {
        f.key for layer in BOOK.layers.values() for f in layer.values() if f.standing == "memory"
    }
    assert {"bath.lavatory_side_good", "bath.shower_good", "stair.landing"} <= memory
    assert BOOK.layers[ADA]["dining.walk_past"].standing == "memory"


def test_least_escape_window_is_too_small_both_ways():
    """Computed: 20 x 24 in. gives 3.33 sq ft, under 5.7, so both minima together fail [C]."""
    get = BOOK.choose().get
    both = get("egress.window_width").value * get("egress.window_height").value / 144
    assert both == Fraction(10, 3)
    assert both < get("egress.window_area").value


def test_handbook_table_lengths():
    """Time-Saver Standards, dining: 25 in. settings, one person at each end [P]."""
    rows = [(r.seats, r.least, r.recommended) for r in BOOK.seat_table("handbook").rows]
    assert rows == [(4, 54, 60), (6, 79, 84), (8, 104, 109), (10, 129, 132)]
    assert {b[1] - a[1] for a, b in itertools.pairwise(rows)} == {25}
