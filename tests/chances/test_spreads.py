"""Spreads against scipy, streams against tests of randomness, quantiles against theory."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from roomwright.chances import ChancesError, Factor, Quantiles, Spread
from roomwright.chances.spreads import Z90
from roomwright.chances.streams import key, numbers

CHANCES = np.array([0.0005, 0.01, 0.1, 0.3, 0.5, 0.8, 0.9, 0.99, 0.9995])


def theirs(spread: Spread):
    wide = spread.high - spread.low
    mode = (spread.likely - spread.low) / wide
    if spread.kind == "triangular":
        return stats.triang(mode, spread.low, wide)
    if spread.kind == "pert":
        return stats.beta(1 + 4 * mode, 5 - 4 * mode, spread.low, wide)
    sigma = math.log(spread.high / spread.low) / (2 * Z90)
    return stats.lognorm(sigma, scale=math.sqrt(spread.low * spread.high))


@pytest.mark.parametrize("kind", ["triangular", "pert", "lognormal"])
@pytest.mark.parametrize("days", [(3, 4, 6), (1, 1, 2), (2, 5, 5), (0.5, 10, 60)])
def test_spreads_equal_those_of_a_general_library(kind, days) -> None:
    spread = Spread(kind, *days)
    other = theirs(spread)
    got = [spread.quantile(c) for c in CHANCES]
    assert got == pytest.approx(other.ppf(CHANCES), rel=2e-4, abs=2e-4)
    assert [spread.chance_within(d) for d in got] == pytest.approx(CHANCES, abs=1e-4)
    assert spread.mean == pytest.approx(other.mean())


def test_a_lognormal_by_mean_and_sd() -> None:
    spread = Spread.lognormal(mean=40, sd=8)
    assert spread.mean == pytest.approx(40)
    assert theirs(spread).std() == pytest.approx(8)
    assert spread.quantile(0.1) == pytest.approx(spread.low, rel=1e-5)
    assert spread.quantile(0.9) == pytest.approx(spread.high, rel=1e-5)


def test_no_spread_at_all() -> None:
    for spread in (Spread.fixed(3), Spread("pert", 3, 3, 3), Spread("lognormal", 3, 3, 3)):
        assert spread.mean == pytest.approx(3)
        assert (spread.quantile(0.9), spread.chance_within(2.9)) == (3, 0)
        assert spread.chance_within(3) == 1


@pytest.mark.parametrize(
    ("kind", "days", "words"),
    [
        ("normal", (1, 2, 3), "no kind"),
        ("pert", (2, 1, 3), "in this order"),
        ("pert", (-1, 1, 3), "none negative"),
        ("pert", (1, 2, math.nan), "in this order"),
        ("pert", (1, 2, math.inf), "in this order"),
        ("pert", (1, 2, 2001), "0 to 2000"),
        ("lognormal", (0, 1, 2), "above 0"),
        ("fixed", (1, 1, 2), "give one"),
    ],
)
def test_what_is_no_spread_is_refused(kind, days, words) -> None:
    with pytest.raises(ChancesError, match=words):
        Spread(kind, *days)


def test_other_refusals() -> None:
    with pytest.raises(ChancesError, match="above 0"):
        Spread.lognormal(mean=0, sd=1)
    with pytest.raises(ChancesError, match="use 0 to 2"):
        Factor("f", 2.5)


def test_first_numbers_of_the_hash() -> None:
    """[M] Published first outputs of splitmix64 for the seeds 0 and 1234567."""
    assert [hex(n) for n in numbers(0, 0, 3).tolist()] == [
        "0xe220a8397b1dcdaf", "0x6e789e6aa1b965f4", "0x6c45d188009454f",
    ]  # fmt: skip
    assert numbers(1234567, 0, 3).tolist() == [
        6457827717110365317, 3203168211198807973, 9817491932198370423,
    ]  # fmt: skip


def units(name: str, count: int = 100_000) -> np.ndarray:
    return (numbers(key(2027, name), 0, count) >> np.uint64(32)) / 2.0**32


def test_streams_are_uniform() -> None:
    """Over 200 streams the p values of two tests are themselves uniform."""
    smirnov, squares = [], []
    for i in range(200):
        u = units(f"N{i}", 10_000)
        smirnov.append(stats.kstest(u, "uniform").pvalue)
        squares.append(stats.chisquare(np.histogram(u, 64, (0, 1))[0]).pvalue)
    for found in (smirnov, squares):
        assert stats.kstest(found, "uniform").pvalue > 1e-4


def test_streams_have_nothing_to_do_with_each_other() -> None:
    """Names that differ by one letter, neighbors in a stream, pairs in a square."""
    rows = np.array([units(f"A{i}", 10_000) for i in range(60)])
    close = np.corrcoef(rows)[np.triu_indices(60, 1)]
    assert stats.kstest(close * math.sqrt(10_000), "norm").pvalue > 1e-4
    u, v = units("A100"), units("A101")
    for x, y in ((u, v), (u[:-1], u[1:]), (u[:-7], u[7:])):
        assert abs(np.corrcoef(x, y)[0, 1]) < 4 / math.sqrt(len(x))
        cells = np.histogram2d(x, y, 32, ((0, 1), (0, 1)))[0]
        assert stats.chisquare(cells.ravel()).pvalue > 1e-4


def test_the_low_bits_are_as_good() -> None:
    bits = numbers(key(2027, "A100"), 0, 100_000)
    for shift in (32, 33, 40, 63):
        ones = int(((bits >> np.uint64(shift)) & np.uint64(1)).sum())
        assert abs(ones - 50_000) < 4 * math.sqrt(100_000) / 2


def test_standard_errors_of_quantiles_are_true() -> None:
    """On 300 sets of normal samples the quantile lies within two standard errors in 95 %."""
    random = np.random.default_rng(7)
    for chance, name in ((0.1, "p10"), (0.5, "p50"), (0.8, "p80"), (0.9, "p90")):
        true, inside, errors = stats.norm.ppf(chance), 0, []
        for _ in range(300):
            found = Quantiles.of(random.normal(size=2000))
            error = getattr(found, f"{name}_se")
            errors.append(error)
            inside += abs(getattr(found, name) - true) <= 1.96 * error
        theory = math.sqrt(chance * (1 - chance) / 2000) / stats.norm.pdf(true)
        assert np.mean(errors) == pytest.approx(theory, rel=0.08)
        assert 0.90 < inside / 300 < 0.985


def test_quantiles_of_few_samples() -> None:
    assert Quantiles.of(np.array([3.0])).p80 == 3
    found = Quantiles.of(np.array([1.0, 2, 3, 4, 5, 6, 7, 8, 9, 10]))
    assert (found.p10, found.p50, found.p80, found.p90) == (1, 5, 8, 9)
