"""The plain network against scipy, finite differences and chance."""

import math

import numpy as np
import pytest
from scipy.optimize import least_squares
from tests.survey.rooms import TAPE, readings, room

from roomwright.survey import Observation, SurveyError, adjust
from roomwright.survey.network import network
from roomwright.survey.start import turns_of


def angles_of(built):
    n = len(built.names)
    return [
        (built.names[(k + 1) % n], built.names[k], built.names[k - 1], 180 - t)
        for k, t in enumerate(turns_of(built.plan))
    ]


@pytest.mark.parametrize("seed", range(20))
def test_every_derivative_by_finite_differences(seed):
    built = room(seed)
    net = network(built.names, readings(built, seed), TAPE, angles=angles_of(built))
    xy = built.true
    _, design = net.model(xy)
    step = 1e-4
    for j in range(2 * len(xy)):
        ahead, behind = xy.copy().ravel(), xy.copy().ravel()
        ahead[j] += step
        behind[j] -= step
        slope = (net.model(ahead.reshape(-1, 2))[0] - net.model(behind.reshape(-1, 2))[0]) / (
            2 * step
        )
        assert design[:, j] == pytest.approx(slope, abs=1e-7)


@pytest.mark.parametrize("seed", range(25))
def test_agrees_with_a_general_least_squares(seed):
    """Coordinates and covariance, first corner held and the second on its line."""
    built = room(seed)
    found, angles = readings(built, seed), angles_of(built)
    start = dict(zip(built.names, built.plan, strict=True))
    done = adjust(start, found, angles=angles)
    net = network(built.names, found, TAPE, angles=angles)
    # The other datum: the first point stays, the second moves only along the first wall.
    a, b = done.points[0], done.points[1]
    along = (b - a) / np.hypot(*(b - a))
    n = len(start)

    def place(p):
        return np.vstack([a, a + along * p[0], p[1:].reshape(-1, 2)])

    def off(p):
        return (net.model(place(p))[0] - net.observed()) * net.weight()

    first = np.concatenate([[np.hypot(*(b - a))], done.points[2:].ravel()])
    rng = np.random.default_rng(seed)
    other = least_squares(off, first + rng.normal(0, 1, first.size), method="lm", xtol=1e-14)
    assert place(other.x) == pytest.approx(done.points, abs=1e-5)
    # Its covariance, brought to all coordinates and then to the free datum (S-transformation).
    turn = np.zeros((2 * n, first.size))
    turn[2:4, 0] = along
    turn[4:, 1:] = np.eye(2 * n - 4)
    there = turn @ np.linalg.inv(other.jac.T @ other.jac) @ turn.T
    xy = done.points - done.points.mean(axis=0)
    motions = np.stack(
        [np.tile([1, 0], n), np.tile([0, 1], n), np.stack([-xy[:, 1], xy[:, 0]], 1).ravel()], 1
    )
    project = np.eye(2 * n) - motions @ np.linalg.solve(motions.T @ motions, motions.T)
    expected = project @ there @ project.T
    assert done.covariance == pytest.approx(expected, abs=2e-5 * float(np.abs(expected).max()))


def test_free_datum_moves_nothing_that_a_tape_sees():
    """Redundancy, w and adjusted lengths do not hang on which points are held."""
    built = room(1)
    found, angles = readings(built, 1), angles_of(built)
    start = dict(zip(built.names, built.true, strict=True))
    free = adjust(start, found, angles=angles)
    one = adjust(start, found, angles=angles, fixed=frozenset("C"))
    assert one.at("C") == pytest.approx(tuple(built.true[2]))
    assert one.sd("C") == (0, 0)
    assert free.degrees == one.degrees
    assert one.redundancy == pytest.approx(free.redundancy, abs=1e-9)
    assert one.w == pytest.approx(free.w, abs=1e-5)


@pytest.mark.parametrize("seed", range(20))
def test_redundancy_adds_up(seed):
    built = room(seed)
    start = dict(zip(built.names, built.plan, strict=True))
    done = adjust(start, readings(built, seed), angles=angles_of(built))
    assert done.redundancy.sum() == pytest.approx(done.degrees, abs=1e-6)


def test_w_is_standard_normal_and_the_variance_factor_one():
    """Readings as the tape makes them, no angles: 3.29 is passed 1 in 1000."""
    w, factors = [], []
    for seed in range(400):
        built = room(seed % 40)
        n = len(built.names)
        every = [(i, j) for i in range(n) for j in range(i + 1, n)]
        walls = {(k, k + 1) for k in range(n - 1)} | {(0, n - 1)}
        across = [p for p in every if p not in walls]
        rng = np.random.default_rng([seed, 9])
        found = [
            Observation(o.id, o.from_, o.to, d + rng.normal(0, TAPE.sd(d)), TAPE.sd(d))
            for o in readings(built, seed, across=across)
            for d in [float(np.hypot(*(built.true[built.names.index(o.from_)]
                                       - built.true[built.names.index(o.to)])))]
        ]  # fmt: skip
        done = adjust(dict(zip(built.names, built.true, strict=True)), found)
        w += done.w.tolist()
        factors.append(done.variance_factor)
    w = np.array(w)
    over = int((np.abs(w) > 3.29).sum())
    mean = 0.001 * len(w)
    assert abs(over - mean) < 4 * math.sqrt(mean), f"{over} of {len(w)}"
    assert np.std(w) == pytest.approx(1, abs=0.02)
    assert np.mean(factors) == pytest.approx(1, abs=0.1)


def test_the_detectable_error_is_noticed_four_times_in_five():
    """An error of just that size is over the limit in 80 % of repeats."""
    start = {"A": (0, 0), "B": (162, 0), "C": (162, 150), "D": (0, 150)}
    pairs = ["AB", "BC", "CD", "DA", "AC", "BD"]
    true = [math.dist(start[a], start[b]) for a, b in pairs]
    plain = [Observation(p, *p, d, 0.2) for p, d in zip(pairs, true, strict=True)]
    least = adjust(start, plain).detectable[4]
    rng = np.random.default_rng(3)
    noticed = 0
    for _ in range(800):
        seen = [
            Observation(p, *p, d + rng.normal(0, 0.2) + (least if p == "AC" else 0), 0.2)
            for p, d in zip(pairs, true, strict=True)
        ]
        noticed += abs(adjust(start, seen).w[4]) > 3.29
    assert noticed / 800 == pytest.approx(0.80, abs=0.05)


def test_too_few_readings_name_the_corner():
    start = {"A": (0, 0), "B": (162, 0), "C": (162, 150), "D": (0, 150)}
    seen = [Observation(p, *p, 150) for p in ("AB", "BC", "AC", "DA")]
    with pytest.raises(SurveyError, match=r"D can still move"):
        adjust(start, seen)
    with pytest.raises(SurveyError, match="no corner E"):
        adjust(start, [Observation("1", "A", "E", 5)])
