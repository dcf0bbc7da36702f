"""Inches, feet and yards against their definition in meters.

[M] National Bureau of Standards, "Refinement of Values for the Yard and the Pound", Federal
    Register doc. 59-5442, June 30, 1959: 1 yard = 0.9144 m, so 1 foot = 0.3048 m and
    1 inch = 2.54 cm, each exactly; from memory.
"""

from fractions import Fraction

import pytest

from roomwright.lengths import parse


@pytest.mark.parametrize(
    ("metric", "inches"),
    [("0.9144 m", 36), ("0.3048 m", 12), ("2.54 cm", 1), ("25.4 mm", 1), ("914.4 mm", 36)],
)
def test_the_definition_holds_exactly(metric, inches):
    assert parse(metric) == inches


@pytest.mark.parametrize(("metric", "meters"), [("4.66 m", "4.66"), ("1200 mm", "1.2")])
def test_a_metric_length_is_its_share_of_a_yard(metric, meters):
    assert parse(metric) == Fraction(meters) / Fraction("0.9144") * 36
