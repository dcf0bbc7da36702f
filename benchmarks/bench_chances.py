"""Chances: the simulation against a graph library in a loop and against numpy without blocks."""

from __future__ import annotations

import random
from datetime import date

import networkx as nx
import numpy as np

from roomwright.chances import Factor, Prepared, Spread, Uncertain, quick_pass, simulate
from roomwright.days import Calendar
from roomwright.schedule import Activity, Link, Network, passes
from roomwright.schedule.network import KINDS

SEED, SAMPLES = 7, 10_000
HOUSE = Calendar(date(2027, 1, 18))
CREW = Calendar(date(2027, 1, 18), frozenset(range(6)), frozenset({date(2027, 2, 8)}))
FACTORS = [Factor(name, 0.1) for name in ("tile", "trim", "vendor")]


def _house(
    count: int, links: int, *, mixed: bool, back: int = 20
) -> tuple[Network, list[Uncertain]]:
    pick = random.Random(SEED)
    pairs: set[tuple[int, int]] = set()
    while len(pairs) < links:
        after = pick.randrange(1, count)
        pairs.add((pick.randrange(max(0, after - back), after), after))
    own = [CREW if mixed and pick.random() < 0.5 else None for _ in range(count)]
    work = [Activity(f"N{i}", pick.randint(1, 9), calendar=c) for i, c in enumerate(own)]
    ties = [Link(f"N{a}", f"N{b}") for a, b in sorted(pairs)]
    if mixed:
        ties = [
            Link(
                k.before,
                k.after,
                pick.choice(KINDS),
                pick.randint(0, 4) / 2 if pick.random() < 0.5 else 0,
                "elapsed" if pick.random() < 0.2 else "working",
            )
            for k in ties
        ]
    uncertain = [
        Uncertain(
            a.id,
            Spread(
                "pert" if mixed and pick.random() < 0.3 else "triangular",
                a.days * 0.7,
                a.days,
                a.days * 1.6,
            ),
            (pick.choice(FACTORS).name,) if mixed else (),
        )
        for a in work
    ]
    return Network(work, ties), uncertain


PLAIN, PLAIN_DAYS = _house(500, 1542, mixed=False)
MIXED, MIXED_DAYS = _house(500, 1542, mixed=True)
LARGE, LARGE_DAYS = _house(5000, 15420, mixed=False, back=200)
READY = Prepared(PLAIN, HOUSE)


def _simulate(net: Network, days: list[Uncertain], factors: list[Factor], **more):
    given = {"samples": SAMPLES, "watch": [net.activities[-1].id], "causes": {}, **more}
    return simulate(net, days, factors, calendar=HOUSE, **given)


GRAPH = nx.DiGraph()
GRAPH.add_nodes_from((u.activity, {"spread": u.spread}) for u in PLAIN_DAYS)
GRAPH.add_edges_from((k.before, k.after, {"lag": float(k.lag_days)}) for k in PLAIN.links)


def _graph_loop(samples: int) -> tuple[float, dict[str, int]]:
    """Both passes and who is critical with a graph library, sample by sample.

    Days stand on the nodes and lags on the edges, which is what such a library is for.
    """
    pick, g = random.Random(SEED), GRAPH
    critical = dict.fromkeys(g, 0)
    order, total = list(nx.topological_sort(g)), 0.0
    for _ in range(samples):
        for node in g:
            s = g.nodes[node]["spread"]
            g.nodes[node]["days"] = pick.triangular(s.low, s.high, s.likely)
        for node in order:
            begin = max(
                (g.nodes[p]["end"] + g.edges[p, node]["lag"] for p in g.predecessors(node)),
                default=0,
            )
            g.nodes[node]["end"] = begin + g.nodes[node]["days"]
        finish = max(g.nodes[node]["end"] for node in g)
        for node in reversed(order):
            late = min(
                (
                    g.nodes[s]["late"] - g.nodes[s]["days"] - g.edges[node, s]["lag"]
                    for s in g.successors(node)
                ),
                default=finish,
            )
            g.nodes[node]["late"] = late
            critical[node] += late - g.nodes[node]["end"] < 1e-9
        total += finish
    return total / samples, critical


BEFORE = [[t.other for t in ties] for ties in PLAIN.before]
AFTER = [[t.other for t in ties] for ties in PLAIN.after]
LOW, MODE, HIGH = (
    np.array([getattr(u.spread, n) for u in PLAIN_DAYS]) for n in ("low", "likely", "high")
)


def _numpy() -> tuple[float, np.ndarray]:
    """The same with numpy: whole rows of samples, one operation after the other."""
    days = np.random.default_rng(SEED).triangular(LOW, MODE, HIGH, (SAMPLES, len(LOW))).T.copy()
    end = np.empty_like(days)
    for i in PLAIN.order:
        end[i] = days[i]
        if BEFORE[i]:
            end[i] += end[BEFORE[i]].max(axis=0)
    finish = end.max(axis=0)
    begin = np.empty_like(days)
    critical = np.empty(len(days))
    for i in reversed(PLAIN.order):
        late = begin[AFTER[i]].min(axis=0) if AFTER[i] else finish
        critical[i] = (late - end[i] < 1e-9).mean()
        begin[i] = late - days[i]
    return finish.mean(), critical


_ours, (_theirs, _shares) = _simulate(PLAIN, PLAIN_DAYS, []), _numpy()
assert abs(_ours.finish.mean - _theirs) < 4 * _ours.finish.sd / 50
assert max(abs(_ours.criticality[a.id] - _shares[i]) for i, a in enumerate(PLAIN)) < 0.03
assert quick_pass(READY).finish == passes(PLAIN, HOUSE).working_days

_WHAT = "simulation with criticality, network made ready included"
_500 = f"500 activities, 1,542 links, {SAMPLES:,} samples, seed {SEED}"
CASES = [
    (
        _WHAT,
        f"{_500}: finish to start, independent triangles",
        15.0,
        lambda: _simulate(PLAIN, PLAIN_DAYS, []),
        "networkx in a loop, days and lags on the graph: 20 samples, times 500",
        lambda: _graph_loop(20),
        SAMPLES / 20,
    ),
    (
        _WHAT,
        "the same",
        15.0,
        lambda: _simulate(PLAIN, PLAIN_DAYS, []),
        "numpy, whole rows",
        _numpy,
    ),
    (
        _WHAT,
        f"{_500}: all kinds of links, lags, two calendars, three shared factors, betas",
        40.0,
        lambda: _simulate(MIXED, MIXED_DAYS, FACTORS),
        "our own numpy path, same numbers: 1,250 samples, times 8",
        lambda: _simulate(MIXED, MIXED_DAYS, FACTORS, samples=1250, compiled=False),
        SAMPLES / 1250,
    ),
    (
        _WHAT,
        f"5,000 activities, 15,420 links, {SAMPLES:,} samples: finish to start",
        150.0,
        lambda: _simulate(LARGE, LARGE_DAYS, []),
        "500 activities, times 10",
        lambda: _simulate(PLAIN, PLAIN_DAYS, []),
        10,
    ),
    (
        "the same and the expected days caused by each of 500",
        f"{_500}: finish to start",
        None,
        lambda: _simulate(PLAIN, PLAIN_DAYS, [], causes=None),
        "simulated again without each: 2, times 250",
        lambda: [_simulate(PLAIN, PLAIN_DAYS, [], perfect=[i]) for i in ("N100", "N400")],
        250,
    ),
    (
        "one pass, compiled",
        "500 activities, 1,542 links, made ready",
        0.05,
        lambda: quick_pass(READY),
        "schedule.passes, which also tells who drives whom",
        lambda: passes(PLAIN, HOUSE),
    ),
]
