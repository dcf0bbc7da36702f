"""Rings found in one pass agree with a search from every link, and the pass stays short."""

import random
from collections import defaultdict
from itertools import pairwise

import pytest

from roomwright.job import rings as of_links
from roomwright.job.rings import positions, rings, way


def reached(onward, start):
    """All that waits for one, by walking on until nothing new is met."""
    found, todo = set(), [start]
    while todo:
        for there in onward.get(todo.pop(), ()):
            if there not in found:
                found.add(there)
                todo.append(there)
    return found


@pytest.mark.parametrize("seed", range(200))
def test_rings_are_those_that_a_search_from_each_link_finds(seed):
    rng = random.Random(seed)
    ids = [f"A{i}" for i in range(rng.randint(2, 9))]
    links = [tuple(rng.sample(ids, 2)) for _ in range(rng.randint(1, 14))]
    onward = defaultdict(list)
    for before, after in links:
        onward[before].append(after)
    wanted = [(b, a) for b, a in links if b in reached(onward, a)]
    found = list(rings(onward, links))
    assert [(ring[0], ring[1]) for ring in found] == wanted
    for ring in found:
        assert ring[0] == ring[-1]
        assert all(b in onward[a] for a, b in pairwise(ring))
    placed = positions(onward)
    assert all(placed[b] < placed[a] for b, a in links if a in placed)
    in_none = {x for x in ids if not any(y in reached(onward, y) for y in ids
                                         if y == x or x in reached(onward, y))}  # fmt: skip
    assert set(placed) == in_none & {x for link in links for x in link}


def test_a_network_without_a_ring_is_never_searched(monkeypatch):
    monkeypatch.setattr(of_links, "way", lambda *_: pytest.fail("searched"))
    links = [(f"A{i}", f"A{j}") for i in range(3_000) for j in (i + 1, i + 7)]
    onward = defaultdict(list)
    for before, after in links:
        onward[before].append(after)
    assert list(rings(onward, links)) == []


def test_a_way_is_a_shortest_one():
    onward = {"A": ["B", "C"], "B": ["D"], "C": ["E"], "E": ["D"]}
    assert way(onward, "A", "D") == ["A", "B", "D"]
