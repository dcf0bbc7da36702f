"""Propagation of the tape's error: by hand, by random draws, and by scipy's least squares."""

import math

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.stats import chi2

from roomwright.markout.error import (
    NINETY_FIVE,
    Covariance,
    crossing,
    ellipse,
    majors,
    of_baseline,
    of_ties,
    skew_of,
)
from roomwright.markout.model import MarkoutError, Tape

TAPE = Tape()
CASES = [
    ((39, 63), (0, 0), (162, 0)),
    ((39, 63), (0, 0), (0, 150)),
    ((123, 105), (162, 150), (162, 80)),
    ((100, 20), (0, 0), (150, 60)),
    ((250, 12), (0, 0), (30, 90)),
]


def matrix(c):
    return np.array([[c.xx, c.xy], [c.xy, c.yy]])


def test_the_95_percent_factor_is_that_of_chi_square():
    assert math.isclose(NINETY_FIVE**2, chi2.ppf(0.95, 2), rel_tol=1e-12)


@pytest.mark.parametrize(("p", "a", "b"), CASES)
def test_covariance_of_two_ties_against_20_000_draws(p, a, b):
    rng = np.random.default_rng(7)
    d, e = math.dist(p, a), math.dist(p, b)
    r = d + TAPE.sd(d) * rng.standard_normal(20_000)
    s = e + TAPE.sd(e) * rng.standard_normal(20_000)
    found = [crossing(a, x, b, y, p) for x, y in zip(r, s, strict=True)]
    assert None not in found
    drawn = np.array(found)
    said = of_ties(p, a, b, TAPE)
    assert np.allclose(np.cov(drawn.T), matrix(said), rtol=0.04, atol=0.04 * said.xx**0.5)
    off = drawn - np.array(p)
    inside = np.einsum("ni,ij,nj->n", off, np.linalg.inv(matrix(said)), off) <= NINETY_FIVE**2
    assert abs(inside.mean() - 0.95) < 0.006  # four standard errors of a share of 20,000


def test_the_draws_would_see_a_wrong_deviation():
    p, a, b = CASES[0]
    rng = np.random.default_rng(7)
    d, e = math.dist(p, a), math.dist(p, b)
    drawn = np.array([
        crossing(a, d + 1.1 * TAPE.sd(d) * x, b, e + 1.1 * TAPE.sd(e) * y, p)
        for x, y in rng.standard_normal((20_000, 2))
    ])  # fmt: skip
    off = drawn - np.array(p)
    inverse = np.linalg.inv(matrix(of_ties(p, a, b, TAPE)))
    inside = np.einsum("ni,ij,nj->n", off, inverse, off) <= NINETY_FIVE**2
    assert abs(inside.mean() - 0.95) > 0.01


def test_covariance_of_a_baseline_against_20_000_draws():
    along, off, skew = 123.0, 105.0, skew_of(72, 96, TAPE)
    rng = np.random.default_rng(3)
    x, y, t = rng.standard_normal((3, 20_000))
    angle, length = skew * t, off + TAPE.sd(off) * y
    drawn = np.stack([
        along + TAPE.sd(along) * x + length * np.sin(angle), length * np.cos(angle)
    ])  # fmt: skip
    said = of_baseline(along, off, (1.0, 0.0), skew, TAPE)
    assert np.allclose(np.cov(drawn), matrix(said), rtol=0.04, atol=0.003)


def test_the_angle_of_a_3_4_5_against_20_000_draws():
    rng = np.random.default_rng(5)
    a, b, c = 72.0, 96.0, 120.0
    da, db, dc = (TAPE.sd(v) * rng.standard_normal(20_000) for v in (a, b, c))
    cosine = ((a + da) ** 2 + (b + db) ** 2 - (c + dc) ** 2) / (2 * (a + da) * (b + db))
    assert math.isclose(np.arccos(cosine).std(), skew_of(a, b, TAPE), rel_tol=0.02)


def test_a_right_angle_by_hand():
    """Ties of 8 and 6 ft that cross square: each direction has its own tie's deviation."""
    c = of_ties((96, 72), (0, 72), (96, 0), TAPE)
    assert math.isclose(c.xx, (0.125 + 0.0005 * 96) ** 2)
    assert math.isclose(c.yy, (0.125 + 0.0005 * 72) ** 2)
    assert abs(c.xy) < 1e-15
    e = ellipse(c)
    assert math.isclose(e.major, NINETY_FIVE * 0.173)
    assert math.isclose(e.minor, NINETY_FIVE * 0.161)


def test_the_ellipse_against_the_eigenvectors():
    rng = np.random.default_rng(11)
    for _ in range(200):
        m = rng.normal(size=(2, 2))
        m = m @ m.T
        e = ellipse(Covariance(m[0, 0], m[0, 1], m[1, 1]))
        values, vectors = np.linalg.eigh(m)
        assert np.isclose(e.major, NINETY_FIVE * math.sqrt(values[1]))
        assert np.isclose(e.minor, NINETY_FIVE * math.sqrt(max(values[0], 0)), atol=1e-6)
        u = math.cos(math.radians(e.turn)), math.sin(math.radians(e.turn))
        assert abs(abs(np.dot(u, vectors[:, 1])) - 1) < 1e-6


def test_the_table_of_majors_agrees_with_each_covariance():
    rng = np.random.default_rng(2)
    points, hooks = rng.uniform(0, 200, (6, 2)), rng.uniform(0, 200, (5, 2))
    table = majors(points, hooks, TAPE)
    for i, p in enumerate(points):
        for j, a in enumerate(hooks):
            for k, b in enumerate(hooks):
                if np.isfinite(table[i, j, k]):
                    one = ellipse(of_ties(tuple(p), tuple(a), tuple(b), TAPE)).major
                    assert math.isclose(one, table[i, j, k], rel_tol=1e-9)
    assert np.isinf(table[:, range(5), range(5)]).all()


@pytest.mark.parametrize(("p", "a", "b"), CASES)
def test_arcs_cross_where_least_squares_puts_them(p, a, b):
    r, s = math.dist(p, a), math.dist(p, b)
    solved = least_squares(
        lambda q: [math.dist(q, a) - r, math.dist(q, b) - s], [p[0] + 2, p[1] - 1], xtol=1e-14
    ).x
    assert math.dist(crossing(a, r, b, s, p), solved) < 1e-6


def test_arcs_that_do_not_meet_cross_nowhere():
    assert crossing((0, 0), 5, (20, 0), 5, (10, 0)) is None
    assert crossing((0, 0), 50, (20, 0), 5, (10, 0)) is None
    assert crossing((0, 0), 5, (0, 0), 5, (5, 0)) is None


def test_ties_in_one_line_are_refused():
    with pytest.raises(MarkoutError, match="one line"):
        of_ties((10, 0), (0, 0), (20, 0), TAPE)
    with pytest.raises(MarkoutError, match="lies on its fixed point"):
        of_ties((0, 0), (0, 0), (20, 0), TAPE)
