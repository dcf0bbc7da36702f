"""Dates, orders and Today: the passes against a loop over a general graph library."""

from __future__ import annotations

import random
from datetime import date
from pathlib import Path

import networkx as nx

from roomwright.answers import Answers
from roomwright.answers.dates import calendar, dates, network, progress
from roomwright.answers.orders import orders
from roomwright.answers.today import today
from roomwright.exchange.folder import read_folder
from roomwright.schedule import Activity, Link, Network, health, passes

FACTS = read_folder(Path(__file__).resolve().parents[1] / "examples" / "tern-hollow").facts
AS_OF = date(2027, 3, 29)
SEED = 7


def _cold() -> Answers:
    return Answers(FACTS, as_of=AS_OF)


_demo = _cold()
NET, DAYS, TOLD = _demo.ask(network), _demo.ask(calendar), _demo.ask(progress)


def _random(count: int, links: int) -> Network:
    pick = random.Random(SEED)
    pairs: set[tuple[int, int]] = set()
    while len(pairs) < links:
        after = pick.randrange(1, count)
        pairs.add((pick.randrange(max(0, after - 20), after), after))
    return Network(
        [Activity(f"N{i}", pick.randint(1, 9)) for i in range(count)],
        [Link(f"N{a}", f"N{b}") for a, b in sorted(pairs)],
    )


BIG = _random(500, 1500)


def _graph(net: Network) -> nx.DiGraph:
    graph = nx.DiGraph()
    for activity in net:
        graph.add_node(activity.id, days=float(activity.days))
    for link in net.links:
        graph.add_edge(link.before, link.after, lag=float(link.lag_days))
    return graph


def _loop(graph: nx.DiGraph) -> float:
    """The same numbers, finish to start only, by the library's views: what one would write first.

    No calendar, no progress, no dates: it is given less to do.
    """
    days = nx.get_node_attributes(graph, "days")
    order = list(nx.topological_sort(graph))
    early: dict[str, float] = {}
    drivers: dict[str, list[str]] = {}
    for node in order:
        reach = {
            p: early[p] + days[p] + graph.edges[p, node]["lag"] for p in graph.predecessors(node)
        }
        early[node] = max(reach.values(), default=0)
        drivers[node] = [p for p, t in reach.items() if t == early[node]]
    finish = max(early[n] + days[n] for n in order)
    late: dict[str, float] = {}
    free: dict[str, float] = {}
    for node in reversed(order):
        onward = [(s, graph.edges[node, s]["lag"]) for s in graph.successors(node)]
        late[node] = min((late[s] - lag for s, lag in onward), default=finish) - days[node]
        free[node] = min((early[s] - lag for s, lag in onward), default=finish) - (
            early[node] + days[node]
        )
    spare = {n: late[n] - early[n] for n in order}
    return finish if min(spare.values()) == 0 and min(free.values()) >= 0 else 0


DEMO_GRAPH, BIG_GRAPH = _graph(NET), _graph(BIG)
assert _loop(DEMO_GRAPH) == passes(NET, DAYS).working_days
assert _loop(BIG_GRAPH) == passes(BIG, DAYS).working_days

_LOOP = "networkx, both passes in a loop (no calendar, no progress)"
_HOUSE = "Tern Hollow, 102 activities, 166 links"
CASES = [
    (
        "early and late dates, float, critical",
        f"{_HOUSE}, progress",
        1.0,
        lambda: passes(NET, DAYS, AS_OF, TOLD),
        _LOOP,
        lambda: _loop(DEMO_GRAPH),
    ),
    (
        "early and late dates, float, critical",
        f"random, 500 activities, 1,500 links, seed {SEED}",
        None,
        lambda: passes(BIG, DAYS),
        _LOOP,
        lambda: _loop(BIG_GRAPH),
    ),
    ("health checks", _HOUSE, None, lambda: health(NET, DAYS, AS_OF, TOLD), "", None),
    ("dates from cold facts", _HOUSE, 300.0, lambda: _cold().ask(dates), "", None),
    (
        "orders from cold facts",
        "Tern Hollow, 268 lines",
        300.0,
        lambda: _cold().ask(orders),
        "",
        None,
    ),
    ("Today from cold facts", "Tern Hollow", 300.0, lambda: _cold().ask(today), "", None),
]
