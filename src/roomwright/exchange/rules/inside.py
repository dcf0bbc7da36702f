"""Rules of this subject: none yet."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.facts import Facts


def inside(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """Nothing yet."""
    yield from ()
