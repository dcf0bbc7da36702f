"""Chances of dates that others published, and distributions that are known exactly."""

from __future__ import annotations

import math
from datetime import date
from itertools import pairwise

import numpy as np
import pytest
from scipy import stats

from roomwright.chances import Factor, Quantiles, Spread, Uncertain, simulate
from roomwright.days import Calendar
from roomwright.schedule import Activity, Link, Network

HOUSE = Calendar(date(2027, 3, 1))
FINE = 128
"""Steps of a day: the days drawn are rounded to these."""


def close(got: float, want: float, error: float) -> None:
    """Within four standard errors, and half a step of rounding."""
    assert abs(got - want) <= 4 * error + 0.5 / FINE, (got, want, error)


# Hendrickson and Au

PERT = dict(
    zip(
        "ABCDEFGHI",
        [(3, 4, 5), (2, 3, 5), (6, 8, 10), (5, 7, 8), (6, 9, 14), (10, 12, 14), (2, 2, 4),
         (4, 5, 8), (4, 6, 8)],
        strict=True,
    )
)  # fmt: skip
AFTER = {"C": "A", "D": "A", "E": "B C", "F": "B C", "G": "D E", "H": "D E", "I": "F G"}


def nine(kind: str, samples: int = 100_000):
    net = Network(
        [Activity(i, likely) for i, (_, likely, _) in PERT.items()],
        [Link(p, i) for i, ps in AFTER.items() for p in ps.split()],
    )
    uncertain = [Uncertain(i, Spread(kind, *days)) for i, days in PERT.items()]
    return simulate(net, uncertain, calendar=HOUSE, samples=samples, per_day=FINE)


def test_expected_times_and_variances() -> None:
    """Inputs [P] Hendrickson and Au, table 11-1; te = (a + 4 m + b) / 6 there."""
    want = (4, 3.167, 8, 6.833, 9.333, 12, 2.333, 5.333, 6)
    got = [Spread("pert", *days).mean for days in PERT.values()]
    assert got == pytest.approx(want, abs=5e-4)
    path = [PERT[i] for i in "ACFI"]
    assert sum(Spread("pert", *d).mean for d in path) == 30
    assert sum(((b - a) / 6) ** 2 for a, _, b in path) == pytest.approx(1.4444, abs=5e-5)


def test_pert_is_biased_low() -> None:
    """Inputs and both statements [P] Hendrickson and Au, chapter 11.

    The expected duration of the critical path is about three percent short of that of the
    network, and that path is critical less than half the time. The other figures [C] are of an
    independent simulation of 400,000 samples.
    """
    found = nine("triangular")
    error = 1.734 / math.sqrt(100_000)
    assert abs(found.finish.mean - 30.95) <= 4 * error + 0.005
    assert found.finish.sd == pytest.approx(1.734, rel=0.01)
    assert abs(found.finish.p80 - 32.39) <= 4 * found.finish.p80_se + 0.005
    assert round(100 * (found.finish.mean / 30 - 1)) == 3
    assert found.criticality["F"] < 0.5
    want = dict(zip("ABCDEFGHI", (1, 0, 1, 0, 0.551, 0.449, 0.546, 0.005, 0.995), strict=True))
    for id, share in want.items():
        error = math.sqrt(share * (1 - share) / 100_000)
        # days of whole 128ths tie now and then: both are critical
        assert abs(found.criticality[id] - share) <= 4 * error + 0.003, id


def test_the_same_network_with_betas() -> None:
    """[C] An independent simulation of 400,000 samples: mean 30.54, sd 1.478, P80 31.78."""
    found = nine("pert")
    assert abs(found.finish.mean - 30.54) <= 4 * 1.478 / math.sqrt(100_000) + 0.005
    assert found.finish.sd == pytest.approx(1.478, rel=0.01)
    assert abs(found.finish.p80 - 31.78) <= 4 * found.finish.p80_se + 0.005


# The house of the GAO's guide

GAO = {
    "A1870 drywall": (3, 4, 6),
    "A1880 inspect screws": (1, 1, 2),
    "A1890 tape and mud": (3, 5, 6),
    "A1900 ceiling insulation": (1, 1, 2),
    "A1910 texture": (2, 3, 4),
    "A1920 wall finishes": (2, 3, 4),
    "A1930 tile": (2, 3, 5),
}


def excerpt(luck: str = ""):
    ids = list(GAO)
    net = Network(
        [Activity(i, likely) for i, (_, likely, _) in GAO.items()],
        [Link(a, b) for a, b in pairwise(ids)],
    )
    uncertain = [Uncertain(i, Spread("triangular", *d), luck=luck) for i, d in GAO.items()]
    return simulate(net, uncertain, calendar=HOUSE, samples=100_000, per_day=FINE)


def test_house_excerpt() -> None:
    """Days [P] GAO-16-89G, Schedule Assessment Guide (2015), table 2 of the risk analysis.

    As one chain [C]: modes 20, mean 21, sd 1.269, P50 20.99, P80 22.08, P90 22.65,
    P(T <= 20) = 0.219.
    """
    found = excerpt()
    assert found.deterministic == 20
    close(found.finish.mean, 21, 1.269 / math.sqrt(100_000))
    assert found.finish.sd == pytest.approx(1.269, rel=0.01)
    for got, error, want in (
        (found.finish.p50, found.finish.p50_se, 20.99),
        (found.finish.p80, found.finish.p80_se, 22.08),
        (found.finish.p90, found.finish.p90_se, 22.65),
    ):
        close(got, want, error + 0.0013)  # the figures are rounded to hundredths
    # rounding to steps counts half a step before the day
    close(found.chance_by(20 - 0.5 / FINE), 0.219, math.sqrt(0.219 * 0.781 / 100_000) + 0.0002)
    assert all(share == 1 for share in found.criticality.values())


def test_house_excerpt_with_one_luck() -> None:
    """[C] Perfectly correlated: the standard deviations add up, 3.16 at most.

    One luck for all is as correlated as triangles of different lean can be: 3.15.
    """
    found = excerpt(luck="one")
    most = sum(sd_of(d) for d in GAO.values())
    assert most == pytest.approx(3.16, abs=0.005)
    chances = (np.arange(200_000) + 0.5) / 200_000
    sums = sum(stats.triang((m - a) / (b - a), a, b - a).ppf(chances) for a, m, b in GAO.values())
    assert found.finish.sd == pytest.approx(float(np.std(sums)), rel=0.01)
    assert found.finish.sd == pytest.approx(3.16, abs=0.04)


def sd_of(days: tuple[float, float, float]) -> float:
    a, m, b = days
    return math.sqrt((a * a + m * m + b * b - a * m - a * b - m * b) / 18)


# Exact distributions


def exact(found: Quantiles, law) -> None:
    """All four quantiles, mean and sd against a distribution, by its own standard errors."""
    count = 100_000
    for chance, got in ((0.1, found.p10), (0.5, found.p50), (0.8, found.p80), (0.9, found.p90)):
        want = law["ppf"](chance)
        density = (law["cdf"](want + 0.01) - law["cdf"](want - 0.01)) / 0.02
        close(got, want, math.sqrt(chance * (1 - chance) / count) / density)
    close(found.mean, law["mean"], law["sd"] / math.sqrt(count))
    assert found.sd == pytest.approx(law["sd"], rel=0.02)


def by_grid(cdf, low: float, high: float) -> dict:
    """Quantiles, mean and sd of a distribution function on a fine grid."""
    x = np.linspace(low, high, 200_001)
    f = cdf(x)
    middle, weight = (x[1:] + x[:-1]) / 2, np.diff(f)
    mean = float((middle * weight).sum())
    return {
        "cdf": lambda d: np.interp(d, x, f),
        "ppf": lambda c: float(np.interp(c, f, x)),
        "mean": mean,
        "sd": math.sqrt(float(((middle - mean) ** 2 * weight).sum())),
    }


ONE, OTHER = (3, 5, 10), (4, 5, 8)


def law(days: tuple[float, float, float]):
    a, m, b = days
    return stats.triang((m - a) / (b - a), a, b - a)


def run(links: list[Link], *uncertain: Uncertain, factors: tuple[Factor, ...] = ()):
    net = Network([Activity(u.activity, u.spread.likely) for u in uncertain], links)
    return simulate(net, uncertain, factors, calendar=HOUSE, samples=100_000, per_day=FINE)


A = Uncertain("A", Spread("triangular", *ONE))
B = Uncertain("B", Spread("triangular", *OTHER))


def test_one_path_of_two_is_a_convolution() -> None:
    nodes, weights = np.polynomial.legendre.leggauss(400)
    c = (nodes + 1) / 2

    def cdf(x):
        later = law(OTHER).ppf(c)
        return (law(ONE).cdf(x[:, None] - later) * weights / 2).sum(axis=1)

    x = np.linspace(7, 18, 4001)
    grid = by_grid(lambda d: np.interp(d, x, cdf(x)), 7, 18)
    exact(run([Link("A", "B")], A, B).finish, grid)


def test_two_paths_side_by_side_are_a_product() -> None:
    found = run([], A, B)
    exact(found.finish, by_grid(lambda x: law(ONE).cdf(x) * law(OTHER).cdf(x), 3, 10))
    x = (np.arange(200_000) + 0.5) / 200_000
    first = float(law(OTHER).cdf(law(ONE).ppf(x)).mean())
    assert abs(found.criticality["A"] - first) <= 4 * math.sqrt(first * (1 - first) / 1e5) + 0.004
    # days caused by A: the end, less the end if A took no more than 5
    held = by_grid(lambda x: np.where(x >= 5, 1, law(ONE).cdf(x)) * law(OTHER).cdf(x), 3, 10)
    whole = by_grid(lambda x: law(ONE).cdf(x) * law(OTHER).cdf(x), 3, 10)
    close(found.expected_days["A"], whole["mean"] - held["mean"], found.expected_days_se["A"])


def test_a_shared_factor_is_lognormal() -> None:
    """A chain of 10 and 20 sure days, all of one trade: 30 times the factor."""
    sure = [Uncertain(i, Spread.fixed(d), ("tile",)) for i, d in (("A", 10), ("B", 20))]
    found = run([Link("A", "B")], *sure, factors=(Factor("tile", 0.2),))
    factor = stats.lognorm(0.2, scale=30 * math.exp(-0.02))
    exact(
        found.finish,
        {"cdf": factor.cdf, "ppf": factor.ppf, "mean": factor.mean(), "sd": factor.std()},
    )


def test_factors_of_their_own_are_apart() -> None:
    sure = [Uncertain(i, Spread.fixed(15), (f,)) for i, f in (("A", "tile"), ("B", "paint"))]
    found = run([Link("A", "B")], *sure, factors=(Factor("tile", 0.2), Factor("paint", 0.2)))
    sd = 15 * math.sqrt(2 * math.expm1(0.04))
    assert found.finish.sd == pytest.approx(sd, rel=0.02)
    close(found.finish.mean, 30, sd / math.sqrt(100_000))


def test_days_ahead_of_a_need() -> None:
    """[C] Early 10 a day, late 190 a day: 95 %. Lognormal of mean 40, sd 8: 54.33 days ahead."""
    assert Spread.lognormal(mean=40, sd=8).quantile(190 / 200) == pytest.approx(54.33, abs=0.005)
