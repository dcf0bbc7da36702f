"""Networks of distances against the printed answers of two textbooks.

[P] W. Benning, Statistik in Geodäsie, Geoinformation und Bauwesen, 4th ed. 2011: ex. 8-2, p. 256,
    and ex. 8-8, pp. 285-291.
[P] G. Strang and K. Borre, Linear Algebra, Geodesy, and GPS, 1997: ex. 10.1, p. 345.
Both as collected in F. Krumm, Geodetic Network Adjustment Examples, Geodätisches Institut,
Universität Stuttgart, rev. 3.5, 20 January 2020. Standard deviations there are a posteriori (they
carry the variance factor). Meters; the engine takes any unit.
[C] marks what was computed from the printed figures and not printed itself.
"""

import pytest

from roomwright.survey import Observation, Tape, adjust


def taken(sigma, *rows):
    return [Observation(f"{a}-{b}", a, b, d, sigma) for a, b, d in rows]


def test_benning_8_2():
    start = {"1": (0, 1000), "2": (1000, 1000), "3": (0, 0), "4": (1000, 0)}
    seen = taken(0.010, ("1", "3", 1000.02), ("1", "4", 1414.20), ("2", "3", 1414.24),
                 ("2", "4", 999.98), ("3", "4", 1000.00))  # fmt: skip
    done = adjust(start, seen, fixed=frozenset("12"))
    assert done.at("3") == pytest.approx((-0.0096, -0.0226), abs=5e-5)  # [P]
    assert done.at("4") == pytest.approx((999.9930, 0.0174), abs=5e-5)  # [P]
    for name in "34":
        assert done.sd(name, posterior=True) == pytest.approx((0.00901, 0.00637), abs=5e-6)  # [P]
    assert done.residuals * 100 == pytest.approx([0.260, -0.368, -0.368, 0.260, 0.260], abs=5e-4)
    assert done.degrees == 1
    assert done.variance_factor**0.5 * 10 == pytest.approx(6.882, abs=5e-4)  # [P] s0, mm


def test_strang_and_borre_10_1():
    start = {"1": (170.71, 270.71), "2": (100, 100), "3": (241.42, 100), "P": (170.71, 170.71)}
    seen = taken(0.010, ("1", "P", 100.01), ("2", "P", 100.02), ("3", "P", 100.03))
    done = adjust(start, seen, fixed=frozenset("123"))
    assert done.at("P") == pytest.approx((170.7029, 170.7234), abs=5e-5)  # [P]
    x, y = done.at("P")
    assert ((x - 170.71) * 100, (y - 170.71) * 100) == pytest.approx((-0.707, 1.336), abs=5e-4)
    assert done.sd("P", posterior=True) == pytest.approx((0.03303, 0.02335), abs=5e-6)  # [P]
    assert done.residuals == pytest.approx([-0.02336, -0.01652, -0.01651], abs=5e-6)  # [C]
    assert done.variance_factor**0.5 == pytest.approx(3.3029, abs=5e-5)  # [C]: worse than was said


def test_benning_8_8():
    start = {"1": (3000, 2000), "2": (1000, 2000), "3": (3000, 2100), "4": (1000, 2100),
             "5": (2000, 1000), "6": (2000, 2000)}  # fmt: skip
    lengths = (1000.00, 1000.00, 1005.00, 1005.00, 1000.00)
    seen = taken(0.020, *[("6", f"{k}", d) for k, d in enumerate(lengths, 1)])
    done = adjust(start, seen, fixed=frozenset("12345"))
    assert done.at("6") == pytest.approx((2000.0000, 1999.9976), abs=5e-5)  # [P]
    assert done.sd("6", posterior=True) == pytest.approx((0.00504, 0.00996), abs=5e-6)  # [P]
    assert done.residuals == pytest.approx([0, 0, -0.0122, -0.0122, -0.0024], abs=5e-5)  # [C]
    assert done.variance_factor**0.5 == pytest.approx(0.5028, abs=5e-5)  # [C]


def test_the_tape_is_only_a_default():
    """A reading's own sigma counts, not the tape's."""
    start = {"A": (0, 0), "B": (10, 0), "P": (5, 5)}
    seen = taken(0.01, ("A", "P", 7.0), ("B", "P", 7.0))
    fixed = frozenset("AB")
    one, two = adjust(start, seen, fixed=fixed), adjust(start, seen, fixed=fixed, tape=Tape(9.0))
    assert one.sd("P") == two.sd("P")
