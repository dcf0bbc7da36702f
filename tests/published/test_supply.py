"""Order-by figures that others state, and learning held to scipy's distributions."""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import pytest
from scipy import integrate, special, stats

from roomwright.supply.calibration import Quote, binomial_interval, calibration
from roomwright.supply.decide import each_of, order_by_at, order_visit, together
from roomwright.supply.learning import Belief, Delivery, Open, with_open
from roomwright.supply.waiting import Costs, best_day

EARLY_10_LATE_190 = Costs(house=190, cash=4, storage=5, damage_chance=0.001, damage=1000)
PLACES = (np.arange(400_000) + 0.5) / 400_000


def test_newsvendor_in_time() -> None:
    """Early 10 a day, late 190, lead normal(40, 8): 53.16 days ahead; lognormal 54.33 [C]."""
    assert EARLY_10_LATE_190.early == pytest.approx(10)
    assert EARLY_10_LATE_190.confidence == pytest.approx(0.95)
    normal = stats.norm(40, 8).ppf(PLACES)
    assert -best_day(0, normal, EARLY_10_LATE_190) == pytest.approx(53.16, abs=0.005)
    s2 = math.log1p((8 / 40) ** 2)
    skew = stats.lognorm(math.sqrt(s2), scale=40 / math.exp(s2 / 2))
    assert (skew.mean(), skew.std()) == pytest.approx((40, 8))
    assert -best_day(0, skew.ppf(PLACES), EARLY_10_LATE_190) == pytest.approx(54.33, abs=0.005)
    whole = order_by_at(0, normal, 0.95)
    assert whole.day == -54  # whole days only, and none too few


def test_parts_of_one_visit() -> None:
    """Ten parts at 95 % each are 59.9 % complete; 98 % a part is 67 % for twenty [C]."""
    assert together(0.95, 10) == pytest.approx(0.599, abs=0.0005)
    assert together(0.98, 20) == pytest.approx(0.67, abs=0.005)
    assert together(each_of(0.9, 7), 7) == pytest.approx(0.9)
    pick = np.random.default_rng(11)
    leads = [pick.lognormal(3.5, 0.2, 40_000) for _ in range(10)]
    visit = order_visit(200, leads, 0.8)
    law = stats.lognorm(0.2, scale=math.exp(3.5))
    exact = math.prod(law.cdf(200 - one.day) for one in visit.of)
    assert abs(visit.confidence - exact) < 4 * visit.error
    assert 0.8 <= exact < math.prod(law.cdf(201 - one.day) for one in visit.of)
    later = math.prod(law.cdf(199 - one.day) for one in visit.of)
    assert later < 0.8 + 4 * visit.error  # a day later is too late


@pytest.mark.parametrize("strength", [0.75, 2, 20, 150])
def test_a_prediction_is_a_student_t(strength: float) -> None:
    """[P] scipy.stats.t at the belief's center, scale and degrees of freedom."""
    belief = Belief.prior(ratio=1.05, spread=0.25, strength=strength)
    law = stats.t(belief.freedom, belief.center, belief.scale)
    for ratio in np.exp(np.linspace(-2, 2, 37)):
        assert belief.chance_by(float(ratio)) == pytest.approx(law.cdf(math.log(ratio)), rel=1e-9)
    for q in (0.01, 0.05, 0.5, 0.8, 0.99):
        assert belief.ratio(q) == pytest.approx(math.exp(law.ppf(q)), rel=1e-7)


@pytest.mark.parametrize(("came", "of"), [(0, 5), (5, 5), (8, 10), (37, 50), (1, 200)])
def test_binomial_interval(came: int, of: int) -> None:
    """[P] scipy.stats.binomtest, exact method."""
    want = stats.binomtest(came, of).proportion_ci(method="exact")
    assert binomial_interval(came, of) == pytest.approx((want.low, want.high), abs=1e-9)


def _posterior_below(belief: Belief, waits: list[float], ratios: list[float]) -> list[float]:
    """P(next ratio <= r | the open ones are above), integrated over log s and m far and wide."""
    log_s = np.linspace(math.log(0.005), math.log(30), 1201)[:, None]
    m = np.sinh(np.linspace(-6, 6, 2401))[None, :] / 20  # dense near 0, out to 10 either way
    s = np.exp(log_s)
    precision = stats.gamma.logpdf(s**-2, belief.shape, scale=1 / belief.rate) - 2 * log_s
    weight = precision + stats.norm.logpdf(m, belief.center, s / math.sqrt(belief.strength))
    for w in waits:
        weight = weight + special.log_ndtr((m - w) / s)
    weight = np.exp(weight - weight.max())

    def total(values: np.ndarray) -> float:
        return float(integrate.trapezoid(integrate.trapezoid(values, m[0], axis=1), log_s[:, 0]))

    below = [total(weight * special.ndtr((math.log(r) - m) / s)) for r in ratios]
    return [one / total(weight) for one in below]


@pytest.mark.parametrize(
    ("came", "waits"),
    [
        ([], [Open(20, 30)]),
        ([], [Open(20, 80)]),
        ([Delivery(20, 22), Delivery(30, 30), Delivery(10, 14)], [Open(20, 26), Open(40, 38)]),
        ([Delivery(20, 20 + i % 3) for i in range(20)], [Open(20, 40)]),
    ],
)
def test_open_orders_by_numerical_integration(came: list[Delivery], waits: list[Open]) -> None:
    """[P] The censored likelihood with scipy's densities, integrated by its trapezoids."""
    belief = Belief.prior(1.05, 0.25, 4).after(came)
    seen = with_open(belief, waits)
    logs = [math.log(o.so_far / o.promised) for o in waits]
    ratios = [0.9, 1.1, 1.5, 2.5]
    want = _posterior_below(belief, logs, ratios)
    assert [seen.chance_by(r) for r in ratios] == pytest.approx(want, abs=0.002)


@pytest.mark.parametrize("waits", [[], [Open(20, 30)]])
def test_no_ratio_is_above_all_deliveries(waits: list[Open]) -> None:
    """The log ratio has no bounds: all stay below infinity only, and none below 0."""
    belief = with_open(Belief.prior(1.05, 0.25, 4), waits)
    assert (belief.ratio(0.0), belief.ratio(1.0)) == (0.0, math.inf)
    assert 0 < belief.ratio(0.001) < belief.ratio(0.999) < math.inf


def test_the_prediction_is_what_the_model_draws() -> None:
    """[C] Student-t prediction against drawing spread, center and the next delivery in turn."""
    belief = Belief.prior(1.1, 0.3, 5).after([Delivery(10, 12), Delivery(20, 19), Delivery(30, 44)])
    pick = np.random.default_rng(5)
    n = 400_000
    s = 1 / np.sqrt(pick.gamma(belief.shape, 1 / belief.rate, n))
    y = pick.normal(pick.normal(belief.center, s / math.sqrt(belief.strength)), s)
    for q in (0.1, 0.5, 0.8, 0.95):
        below = float(np.mean(y <= math.log(belief.ratio(q))))
        assert abs(below - q) < 4 * math.sqrt(q * (1 - q) / n)


def test_learning_finds_a_known_vendor_and_is_calibrated() -> None:
    """[C] Invented vendors of a known law: P80s come true about 80 % of the time."""
    pick = np.random.default_rng(17)
    prior = Belief.prior(1.05, 0.25, 4)
    quotes = []
    for _ in range(400):
        s = 1 / math.sqrt(pick.gamma(prior.shape, 1 / prior.rate))
        m = pick.normal(prior.center, s / math.sqrt(prior.strength))
        ratios = np.exp(pick.normal(m, s, 6))
        belief = prior.after(Delivery(10, float(10 * r)) for r in ratios[:5])
        quotes.append(Quote(10 * belief.ratio(0.8), float(10 * ratios[5])))
    found = calibration(quotes, 0.8)
    assert found.low < 0.8 < found.high
    assert found.verdict == "as sure as it said"
    normal = NormalDist()
    assert normal.inv_cdf(0.8) < stats.t.ppf(0.8, prior.freedom)  # few deliveries widen it
