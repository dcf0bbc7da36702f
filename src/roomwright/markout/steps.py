"""The list to read aloud: who stands where, holds what, and marks what, one line a step.

Two people: the *holder* keeps the end of the tape on a point, the *marker* reads it and chalks.
Each step stands twice: as printed, with lengths as a tape reads, and as read aloud (`spoken`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from roomwright.lengths import tape as printed
from roomwright.markout.baseline import Baseline, Offset
from roomwright.markout.checks import Check
from roomwright.markout.model import Figure, Tape, Target
from roomwright.markout.order import Stand
from roomwright.markout.spoken import gap, spoken
from roomwright.markout.ties import There, TieFix

Who = Literal["holder", "marker", "both"]


@dataclass(frozen=True, slots=True)
class Step:
    """One step: who does it, its words as printed and as read aloud, the points that it makes."""

    who: Who
    text: str
    aloud: str
    points: tuple[str, ...] = ()


class _Writer:
    """Writes each step both ways."""

    def __init__(self, tape: Tape) -> None:
        self._per_inch = tape.fraction
        self.steps: list[Step] = []

    def add(self, who: Who, form: str, points: Iterable[str] = (), **said: str | float) -> None:
        """A step in a form whose places are filled with words, or lengths [in] said either way."""

        def put(value: str | float, name: str, aloud: bool) -> str:
            if isinstance(value, str):
                return value
            if not aloud:
                return printed(value, self._per_inch)
            return (gap if name == "within" else spoken)(value, self._per_inch)

        text, aloud = (
            form.format(**{name: put(value, name, spoken_) for name, value in said.items()})
            for spoken_ in (False, True)
        )
        self.steps.append(Step(who, text, aloud, tuple(points)))


def there_steps(there: Sequence[There], tape: Tape) -> tuple[Step, ...]:
    """Steps for points that are fixed points themselves: only a number beside them."""
    out = _Writer(tape)
    for each in there:
        out.add(
            "marker",
            "The {hook} is {name}: nothing to measure. Chalk {id} beside it.",
            (each.target.id,),
            hook=each.hook.name,
            name=_named(each.target),
            id=each.target.id,
        )
    return tuple(out.steps)


def tie_steps(stands: Sequence[Stand], fixes: Sequence[TieFix], tape: Tape) -> tuple[Step, ...]:
    """Steps for points by ties: all arcs from one fixed point, then from the next."""
    out, fix_of = _Writer(tape), {f.target.id: f for f in fixes}
    for stand in stands:
        out.add("holder", "Hold the end of the tape on the {hook}.", hook=stand.hook.name)
        for arc in stand.arcs:
            target = arc.target
            if arc.crosses:
                out.add(
                    "marker",
                    "At {at} cross the arc for {id}: that is {name}{side}. Chalk {id} beside it.",
                    (target.id,),
                    at=arc.read,
                    id=target.id,
                    name=_named(target),
                    side=_side(fix_of[target.id]),
                )
            else:
                out.add(
                    "marker",
                    "At {at} strike an arc about where {id} will be, {name}.",
                    at=arc.read,
                    id=target.id,
                    name=_named(target),
                )
    return tuple(out.steps)


def _side(fix: TieFix) -> str:
    """On which side of the two fixed points the point lies, where both would be on the floor."""
    if not fix.twin:
        return ""
    ends = " to the ".join(t.hook.name for t in fix.ties)
    return f", on the {fix.side} side of the line from the {ends}"


def _named(target: Target) -> str:
    return f"the {target.name}" + (f" of the {target.of}" if target.of else "")


def baseline_steps(lines: Sequence[Baseline], tape: Tape) -> tuple[Step, ...]:
    """Steps for points by baseline: the marks along the wall, the square, each point off it."""
    out = _Writer(tape)
    for line in lines:
        wall, corner = f"{line.faces} wall ({line.wall})", line.start_name
        out.add(
            "holder",
            "Hold the end of the tape in corner {corner}, along the {wall}.",
            corner=corner,
            wall=wall,
        )
        for read, group in _feet(line.offsets):
            out.add(
                "marker",
                "From corner {corner} along the {wall} {along}, mark, for {ids}.",
                corner=corner,
                wall=wall,
                along=read,
                ids=_ids(group),
            )
        if (square := line.square) is not None:
            out.add(
                "both",
                "Square a line: from corner {corner} mark the heel at {heel} and the toe at {toe} "
                "on the {wall}. From the heel pull {off} into the room and swing it until its end "
                "is {across} from the toe. Snap that line: it is square to the wall. Every line "
                "off the wall keeps its distance from it.",
                corner=corner,
                wall=wall,
                heel=square.heel,
                toe=square.toe,
                off=square.off,
                across=square.across,
            )
        for each in line.offsets:
            out.add(
                "both",
                "From the mark for {id} square off the {wall} {off}: that is {name}. Chalk {id} "
                "beside it.",
                (each.target.id,),
                id=each.target.id,
                wall=wall,
                off=each.read_off,
                name=_named(each.target),
            )
    return tuple(out.steps)


def _feet(offsets: Sequence[Offset]) -> list[tuple[float, list[Offset]]]:
    found: dict[float, list[Offset]] = {}
    for each in offsets:
        found.setdefault(each.read_along, []).append(each)
    return sorted(found.items())


def _ids(group: Sequence[Offset]) -> str:
    ids = [each.target.id for each in group]
    return " and ".join([", ".join(ids[:-1]), ids[-1]] if len(ids) > 1 else ids)


def drawing_steps(figures: Sequence[Figure], marked: set[str], tape: Tape) -> tuple[Step, ...]:
    """Steps that join the points: lines snapped, circles struck with a string."""
    out = _Writer(tape)
    for figure in figures:
        here = [id_ for id_ in figure.corners if id_ in marked]
        if figure.radius > 0 and here:
            out.add(
                "both",
                "Hold a string on {id} and strike the circle of the {name}, {radius} from {id}.",
                id=here[0],
                name=figure.name,
                radius=figure.radius,
            )
        elif len(here) > 1:
            ring = [*here, here[0]] if figure.closed and len(here) > 2 else here
            form = "Snap chalk lines {ring}: the {name}."
            out.add("both", form, ring=" to ".join(ring), name=figure.name)
    return tuple(out.steps)


def check_steps(checks: Sequence[Check], tape: Tape) -> tuple[Step, ...]:
    """Steps that tape what was marked: each side and diagonal."""
    out = _Writer(tape)
    for each in checks:
        out.add(
            "both",
            "Check {first} to {second}, a {kind}: {read}, within {within}.",
            (each.first.id, each.second.id),
            first=each.first.id,
            second=each.second.id,
            kind=each.kind,
            read=each.read,
            within=each.within,
        )
    return tuple(out.steps)
