"""What a light or a piece is centered on is there, and nothing is centered on itself in a ring."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from roomwright.job.entities import Fact, Fixed, Light, Opening, Piece, Window
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts
from roomwright.job.words import named

Fault = tuple[str, str]
"""What is wrong, what to do."""

TARGETS: tuple[type[Fact], ...] = (Piece, Light, Fixed, Window, Opening)
"""What something may be centered on; where two share an id, the first that has it is meant."""

ANY = "piece, fixed thing, window, light or opening"


def target(facts: Facts, id: str) -> Fact | None:
    """The thing that an id means to what is centered on it."""
    for kind in TARGETS:
        found = facts.find(kind, id)
        if found is not None:
            return found
    return None


def ring_from(facts: Facts, fact: Light | Piece) -> tuple[str, ...]:
    """The ids of a ring of things that are centered on each other, from a thing of it.

    Empty where following what it is centered on does not lead back to it.
    """
    ids = [fact.id]
    at: Fact | None = fact
    while isinstance(at, Light | Piece) and at.centred_on:
        if at.centred_on == fact.id and target(facts, fact.id) == fact:
            return (*ids, fact.id)
        if at.centred_on in ids:
            return ()
        ids.append(at.centred_on)
        at = target(facts, at.centred_on)
    return ()


def fault_of(facts: Facts, fact: Light | Piece) -> Fault | None:
    """What is wrong with what a thing is centered on."""
    if not fact.centred_on:
        return None
    if target(facts, fact.centred_on) is None:
        return f"there is no {ANY} {fact.centred_on}", "name one that is there"
    ring = ring_from(facts, fact)
    if ring:
        return (
            f"things are centered on each other in a ring: {' > '.join(ring)}",
            "leave it empty for the one that the others are centered on",
        )
    return None


def centred_on_what_is_there(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Each thing that something is centered on is there, and no ring is made."""
    for change in changes:
        fact = change.after
        if isinstance(fact, Light | Piece):
            fault = fault_of(facts, fact)
            if fault is not None:
                message = f"{named(fact, fact.kind_name, fact.id)}: {fault[0]} (centered on)."
                yield Problem(fact.kind_name, fact.id, "centred_on", message)
    kinds = {kind.kind_name for kind in TARGETS}
    gone = {c.id: c.before for c in changes if c.after is None and c.kind in kinds}
    for id, was in gone.items():
        if target(facts, id) is None and was is not None:
            yield from _still_needed(facts, was)


def _still_needed(facts: Facts, was: Fact) -> Iterator[Problem]:
    what = named(was, was.kind_name, was.id)
    users: list[Light | Piece] = [
        *facts.where(Light, "centred_on", was.id),
        *facts.where(Piece, "centred_on", was.id),
    ]
    for user in users:
        who = named(user, user.kind_name, user.id)
        message = f"{what} is still needed by {who}, which is centered on it."
        yield Problem(user.kind_name, user.id, "centred_on", message)


centring_rules: tuple[Callable[[Facts, Sequence[Change]], Iterable[Problem]], ...] = (
    centred_on_what_is_there,
)
