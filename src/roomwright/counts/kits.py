"""Kits: what goes with each item of a class, expanded line by line."""

from __future__ import annotations

import re
from collections.abc import Iterable

from roomwright.counts.model import KitLine, Line, Question

_OVER = re.compile(r"\b(over|under|more than|less than)\s+([0-9]{1,6})\s*([a-z]+)", re.IGNORECASE)


def expand(line: Line) -> tuple[KitLine, ...]:
    """Return the kit of one line: a part with a condition has no count until it is answered.

    >>> from fractions import Fraction
    >>> from roomwright.counts.model import KitPart
    >>> door = Line("L1", "201", "DOOR", "Door", 2, kit=(KitPart("hinges", Fraction(3)),))
    >>> expand(door)[0].qty
    Fraction(6, 1)
    """
    return tuple(
        KitLine(
            line.id, line.room, line.part_class, part.part,
            None if part.when else part.per_item * line.qty,
            part.per_item * line.qty,
            part.when, part.stage, part.brought_by, part.kind,
        )
        for part in line.kit
    )  # fmt: skip


def questions(lines: Iterable[Line]) -> tuple[Question, ...]:
    """Return each condition once, with the lines that it is asked of."""
    asked: dict[tuple[str, str, str], list[Line]] = {}
    for line in lines:
        for part in line.kit:
            if part.when:
                asked.setdefault((line.part_class, part.part, part.when), []).append(line)
    return tuple(
        Question(
            part_class, of[0].name, part, when,
            tuple(line.id for line in of),
            tuple(dict.fromkeys(line.room for line in of)),
            " ".join(filter(None, (hint(when, line) for line in of))),
        )
        for (part_class, part, when), of in asked.items()
    )  # fmt: skip


def hint(when: str, line: Line) -> str:
    """Return what a line's own note says to a condition on a number; the builder decides.

    >>> hint("exhaust over 400 cfm", Line("L020", "102", "HOOD", "Hood", 1, "36 chimney, 600 cfm"))
    'Line L020 says 600 cfm: over 400, so it looks needed.'
    """
    asked = _OVER.search(when)
    if asked is None:
        return ""
    way, limit, unit = asked[1].lower(), int(asked[2]), asked[3].lower()
    found = re.search(rf"\b([0-9]{{1,6}})\s*{re.escape(unit)}\b", line.note, re.IGNORECASE)
    if found is None or len(unit) < 2:
        return ""
    value = int(found[1])
    met = value > limit if way in ("over", "more than") else value < limit
    side = "over" if value > limit else "under" if value < limit else "just"
    looks = "so it looks needed" if met else "so it does not look needed"
    return f"Line {line.id} says {value} {found[0].split()[-1]}: {side} {limit}, {looks}."
