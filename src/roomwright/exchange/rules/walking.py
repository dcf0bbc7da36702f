"""Slopes have a line in their room; habits of walking lead from one use to another."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import Slope, Walk
from roomwright.job.facts import Facts
from roomwright.job.rules_of_walking import faults_of_slope, faults_of_walk

COLUMN = {"a": "ax", "b": "bx"}
"""The column of slopes.csv that a field is typed in."""


def walking(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """What is wrong with sloped ceilings and habits of walking."""
    for slope in facts.all(Slope):
        for field, wrong, do in faults_of_slope(facts, slope):
            yield Broken("slope", slope.id, COLUMN.get(field, field), "error", wrong, do)
    for walk in facts.all(Walk):
        for field, wrong, do in faults_of_walk(walk):
            yield Broken("walk", walk.id, field, "error", wrong, do)
