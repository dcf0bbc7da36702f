"""Tape readings run between what is there; the layers of a room's walls leave a room."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright.exchange.rules.broken import Broken, Lacks, ring
from roomwright.exchange.rules.outlines import is_simple
from roomwright.job.entities import Reading, Room
from roomwright.job.facts import Facts
from roomwright.job.rules_of_tape import faults_of_reading, faults_of_walls


def readings(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """Corners, openings and windows that a tape ran to are those of the room."""
    for reading in facts.all(Reading):
        for field, wrong, do in faults_of_reading(facts, reading):
            yield Broken("reading", reading.id, field, "error", wrong, do)


def layers(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """A wall runs between two corners that follow each other; its layers leave a room."""
    for room in facts.all(Room):
        if is_simple(ring(room.outline)):
            for wall, (field, wrong, do) in faults_of_walls(facts, room):
                yield Broken("wall", wall.id, field, "error", wrong, do)
