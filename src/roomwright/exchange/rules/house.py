"""The house: its set of figures and its own figures."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright import lengths
from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import House
from roomwright.job.facts import Facts


def house(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """The set of figures is one there is; each figure of one's own is one there is, in a room."""
    held = facts.find(House, "house")
    if held is None:
        return
    for key, value in held.overrides.items():
        room, _, figure = key.rpartition(":")
        where = f"overrides.{key}"
        if not figure.strip():
            yield Broken("house", "house", where, "error", f"“{key}” names no figure",
                         "write the figure's name, or room:figure")  # fmt: skip
        if room and lacks("room", room):
            yield Broken("house", "house", where, "error", f"there is no room “{room}”",
                         "write the id of a room, a colon, and the figure")  # fmt: skip
        try:
            lengths.parse(value)
        except lengths.LengthError as no:
            yield Broken("house", "house", where, "error", str(no), "write one length or number")
