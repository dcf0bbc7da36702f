"""Zones by use: what people and open doors take of the floor, and which uses may share it.

Every piece takes floor while it is used: a drawer that is out, an oven door that is down, the
person before it, the chairs at a table. Two zones may overlap only where their uses can; the table
`zones.toml` says which, and is data. A zone here is what is taken at one moment, smaller than
the room that a side needs (`sides`): so a pair that collides is in each other's way for certain.
"""

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

import numpy as np
import shapely

from roomwright.fit import opens, stools
from roomwright.fit.ground import Ground
from roomwright.fit.model import Finding, Local, Needs, Piece, Word, Zone
from roomwright.fit.seats import seats_of
from roomwright.fit.verdicts import length
from roomwright.shape import TOUCH, compass, extent, outward

USES = ("open", "before", "stand", "sit", "swing", "walk")


class ZoneError(ValueError):
    """A table of uses that cannot be read; the message says which rule and why."""


@dataclass(frozen=True, slots=True)
class Rule:
    """Whether two uses may share floor: `word` is may, tight or short; `says` and `cure` why."""

    word: str
    says: str = ""
    cure: str = ""
    figure: str = ""


MAY = Rule("may")


def read(text: str) -> dict[frozenset[str], Rule]:
    r"""Rules by their pair of uses, from the text of a table in the form of `zones.toml`.

    Raises
    ------
    ZoneError
        Where a use or a word is not known, a rule says nothing, or a pair stands twice.

    Examples
    --------
    >>> rule = "[[rule]]\nfirst = 'walk'\nsecond = 'open'\nword = 'may'"
    >>> read(rule)[frozenset({"open", "walk"})].word
    'may'
    """
    try:
        rows = tomllib.loads(text).get("rule", [])
    except tomllib.TOMLDecodeError as error:
        raise ZoneError(f"the table of uses cannot be read: {error}") from error
    found: dict[frozenset[str], Rule] = {}
    for number, row in enumerate(rows, 1):
        pair = frozenset((str(row.get("first")), str(row.get("second"))))
        if not pair <= set(USES):
            raise ZoneError(f"rule {number}: uses are {', '.join(USES)}, not {sorted(pair)}")
        if pair in found:
            raise ZoneError(f"rule {number}: {' and '.join(sorted(pair))} stand twice in the table")
        rule = Rule(
            str(row.get("word")),
            str(row.get("says", "")),
            str(row.get("cure", "")),
            str(row.get("figure", "")),
        )
        if rule.word not in ("may", "tight", "short"):
            raise ZoneError(f"rule {number}: the word is may, tight or short, not {rule.word!r}")
        if rule.word != "may" and not rule.says:
            raise ZoneError(f"rule {number}: says what, if two uses may not share floor")
        found[pair] = rule
    return found


@lru_cache(maxsize=1)
def table() -> dict[frozenset[str], Rule]:
    """The rules that ship with the program."""
    return read(resources.files("roomwright.fit").joinpath("zones.toml").read_text("utf-8"))


def rule_for(first: str, second: str) -> Rule:
    """Whether two uses may share floor; a pair that no rule names may.

    >>> rule_for("walk", "open").word, rule_for("sit", "open").word
    ('may', 'short')
    """
    return table().get(frozenset((first, second)), MAY)


def zones_of(piece: Piece, needs: Needs) -> tuple[Zone, ...]:
    """All that a placed piece takes of the floor while it is used."""
    return (*opens.zones_of(piece, needs), *_sitting(piece, needs))


def _sitting(piece: Piece, needs: Needs) -> Iterator[Zone]:
    """The floor of people who sit at a table, or on stools at one side of something."""
    deep = needs.get("seat.chair_use") or 0.0
    if deep <= TOUCH:
        return
    name = f"{piece.name} {piece.id}"
    if not piece.sort.seats:
        yield from (stools.zone(row, deep) for row in stools.rows_of(piece))
        return
    count = seats_of(piece, needs)
    if count is None or not count.total:
        return
    if not piece.straight:
        ring = shapely.buffer(shapely.Polygon(piece.outline), deep, quad_segs=8)
        outline = tuple(map(tuple, shapely.get_coordinates(ring.exterior).tolist()[:-1]))
        yield Zone(piece.id, name, "around", outline, "sit", "chairs", piece.room)
        return
    _, _, width, depth = piece.where
    long = ("back", "front") if width >= depth else ("left", "right")
    bench = needs.get("dining.bench") or deep
    for local in piece.edges:
        if count.along if local in long else count.end:
            seat = local in piece.benches
            yield _side_zone(piece, local, bench if seat else deep, name, "bench" if seat else (
                "chairs"))  # fmt: skip


def _side_zone(piece: Piece, local: Local, deep: float, name: str, what: str) -> Zone:
    edge = piece.edges[local]
    outline = opens.straight_out(edge, deep)
    return Zone(piece.id, name, compass(outward(edge)), outline, "sit", what, piece.room)


def zones(ground: Ground, needs: Needs) -> tuple[Zone, ...]:
    """All zones of a ground: of its pieces, and the swings of its doors."""
    swings = [
        Zone(leaf.opening, f"door {leaf.opening}", "", leaf.outline, "swing", "swing", leaf.into)
        for leaf in ground.space.leaves
    ]
    deep = needs.get("seat.chair_use") or 0.0
    bars = [stools.zone(row, deep) for row in stools.fixed_rows(ground)] if deep else []
    return (*(z for piece in ground.pieces for z in zones_of(piece, needs)), *bars, *swings)


def collisions(ground: Ground, needs: Needs) -> tuple[Finding, ...]:
    """Every two zones of different owners that share floor and may not."""
    return clashes(zones(ground, needs))


def clashes(found: Sequence[Zone]) -> tuple[Finding, ...]:
    """The same for zones given; each pair of owners and uses is told once, where it is deepest.

    >>> before = ((0, 0), (30, 0), (30, 18), (0, 18)), ((20, 8), (50, 8), (50, 26), (20, 26))
    >>> a = Zone("K1", "range K1", "east", before[0], "stand", "person")
    >>> b = Zone("K2", "cooktop K2", "north", before[1], "stand", "person")
    >>> [(f.severity.value, f.by) for f in clashes([a, b])]
    [('tight', 10.0)]
    """
    if len(found) < 2:
        return ()
    shapes = [shapely.Polygon(zone.outline) for zone in found]
    box = shapely.bounds(np.array(shapes, dtype=object))
    worst: dict[tuple[frozenset[str], frozenset[str]], Finding] = {}
    for i, first in enumerate(found):
        near = np.flatnonzero(
            (box[i + 1 :, 0] < box[i, 2]) & (box[i, 0] < box[i + 1 :, 2])
            & (box[i + 1 :, 1] < box[i, 3]) & (box[i, 1] < box[i + 1 :, 3])
        )  # fmt: skip
        for j in (near + i + 1).tolist():
            second = found[j]
            rule = rule_for(first.use, second.use)
            if first.owner == second.owner or rule.word == "may":
                continue
            shared = shapely.intersection(shapes[i], shapes[j])
            size = extent(shared, TOUCH)
            if size is None:
                continue
            made = _clash(first, second, rule, size[1])
            key = frozenset((first.owner, second.owner)), frozenset((first.use, second.use))
            held = worst.get(key)
            if held is None or (made.by or 0.0) > (held.by or 0.0):
                worst[key] = made
    return tuple(worst.values())


def _clash(first: Zone, second: Zone, rule: Rule, deep: float) -> Finding:
    both = f"The {_called(first)} and the {_called(second)}"
    text = f"{both} {rule.says}: they overlap by {length(deep)}. {rule.cure}".strip()
    return Finding(
        "zones",
        Word(rule.word),
        text,
        first.room or second.room,
        (first.owner, second.owner),
        by=deep,
        figure=rule.figure,
    )


def _called(zone: Zone) -> str:
    """What a zone is called: "oven door of the range K1", "person at the range K1"."""
    if zone.use == "swing":
        return f"swing of {zone.name}"
    return f"{zone.what} {'of' if zone.use == 'open' else 'at'} the {zone.name}"
