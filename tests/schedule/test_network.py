"""A network refuses what contradicts itself, in words that name it."""

from __future__ import annotations

import pytest

from roomwright.schedule import Activity, CycleError, Link, Network, NetworkError, cycles

A, B, C = Activity("A", 2, "Hang doors"), Activity("B", 1, "Paint"), Activity("C", 1.5)


def test_a_ring_is_printed_with_names() -> None:
    links = [Link("A", "B"), Link("B", "C", "start to start"), Link("C", "A", "finish to finish")]
    with pytest.raises(CycleError, match="A Hang doors -> B Paint -> C -> A Hang doors") as caught:
        Network([A, B, C], links)
    assert caught.value.cycles == (("A", "B", "C"),)


def test_every_knot_is_reported_once() -> None:
    pairs = [("a", "b"), ("b", "a"), ("b", "c"), ("c", "d"), ("d", "c"), ("d", "e"), ("e", "f")]
    assert cycles(pairs) == [("a", "b"), ("c", "d")]


def test_the_shortest_ring_is_shown() -> None:
    pairs = [("a", "b"), ("b", "c"), ("c", "d"), ("d", "a"), ("c", "a")]
    assert cycles(pairs) == [("a", "b", "c")]


def test_no_ring() -> None:
    assert cycles([("a", "b"), ("a", "c"), ("b", "c")]) == []


def test_a_long_ring_needs_no_deep_stack() -> None:
    count = 5000
    ring = cycles((str(i), str((i + 1) % count)) for i in range(count))
    assert len(ring[0]) == count


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Link("A", "A"), "cannot wait for itself"),
        (lambda: Link("A", "B", "FS"), "no link kind 'FS': use finish to start"),
        (lambda: Link("A", "B", lag_counts="days"), "use working or elapsed"),
        (lambda: Link("A", "B", lag_days=1.3), "whole or half days"),
        (lambda: Link("A", "B", lag_days=10**7), "check it"),
        (lambda: Activity("A", -1, "Hang"), "A Hang: -1 days: use 0 to 2000"),
        (lambda: Activity("A", float("nan")), "use 0 to 2000"),
        (lambda: Activity("A", 0.25), "whole or half days"),
    ],
)
def test_bad_values(make, words: str) -> None:
    with pytest.raises(NetworkError, match=words):
        make()


def test_all_dangling_and_duplicate_ids_at_once() -> None:
    with pytest.raises(NetworkError) as caught:
        Network([A, A, B], [Link("A", "X"), Link("Y", "B")])
    assert len(caught.value.problems) == 3
    assert "there is no activity 'X'" in str(caught.value)


def test_lasting_changes_only_what_it_names() -> None:
    net = Network([A, B], [Link("A", "B")]).lasting({"A": 7})
    assert (net["A"].days, net["B"].days) == (7, 1)
    with pytest.raises(NetworkError, match="no activity 'Q'"):
        net.lasting({"Q": 1})
