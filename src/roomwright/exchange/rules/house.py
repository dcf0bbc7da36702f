"""The house: its set of figures and its own figures."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright import figures
from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import House
from roomwright.job.facts import Facts


def house(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """The set of figures is one there is; each figure of one's own is one there is, in a room."""
    held = facts.find(House, "house")
    if held is None:
        return
    book = figures.load()
    try:
        chosen = book.choose(held.figures)
    except figures.FiguresError as no:
        yield _told("figures", no, f"use one of: {', '.join(book.sets)}")
        chosen = book.choose()
    for key, value in held.overrides.items():
        room, _, figure = key.rpartition(":")
        where = f"overrides.{key}"
        if room and lacks("room", room):
            yield Broken("house", "house", where, "error", f"there is no room “{room}”",
                         "write the id of a room, a colon, and the figure")  # fmt: skip
        try:
            chosen.override({figure: value})
        except figures.FiguresError as no:
            yield _told(where, no, "docs/figures.md lists every figure with its unit")


def _told(field: str, no: figures.FiguresError, do: str) -> Broken:
    wrong, _, hint = str(no).rstrip(".").partition(": ")
    return Broken("house", "house", field, "error", wrong, hint or do)
