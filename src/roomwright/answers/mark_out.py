"""Mark-out: how a room's layout goes onto its floor full size, with tape, chalk and a brush."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields, replace

from roomwright.answers.engine import Ask, query
from roomwright.answers.mark_out_floor import built_in, floor_of
from roomwright.answers.mark_out_model import Asked, Choice, MarkOut
from roomwright.answers.mark_out_points import Points, of_pieces
from roomwright.answers.mark_out_poles import along_and_off, heights
from roomwright.answers.mark_out_words import cautions, rests_on, troubles
from roomwright.answers.plan_model import Plan
from roomwright.answers.plans import plan
from roomwright.answers.rooms import figures_in_force, needs, room_fit
from roomwright.fit.model import PieceFit, RoomFit
from roomwright.job.entities import Fixed, House, Room
from roomwright.markout.baseline import Baseline, by_baseline
from roomwright.markout.checks import Check, checks
from roomwright.markout.error import Covariance
from roomwright.markout.model import (
    MOST_POINTS,
    Floor,
    Habits,
    MarkoutError,
    Obstacle,
    Tape,
    Target,
)
from roomwright.markout.order import stands
from roomwright.markout.reach import Reach
from roomwright.markout.steps import (
    baseline_steps,
    check_steps,
    drawing_steps,
    there_steps,
    tie_steps,
)
from roomwright.markout.sticks import Stick, Wanted, sticks
from roomwright.markout.ties import There, TieFix, at_hooks, by_ties

FLAT = 30.0
"""Ties that cross flatter than this double the tape's error: a wall may serve better [deg]."""


@query("mark out")
def mark_out(ask: Ask, room: str, asked: Asked) -> MarkOut:
    """How to mark pieces of a room out; with none named, those that matter most.

    Raises
    ------
    MissingFactError
        If there is no such room.
    MarkoutError
        If the room has no usable outline, a named piece is not in it, or too much is asked.
    """
    fact, fit, drawn = ask.fact(Room, room), ask(room_fit, room), ask(plan, room)
    house = ask.find(House, "house")
    choices = _choices(fit, asked)
    chosen = [p for p, c in zip(fit.pieces, choices, strict=True) if c.chosen and not c.hinder]
    points = of_pieces(chosen, drawn.boxes, asked.extras)
    if len(points.targets) > MOST_POINTS:
        raise MarkoutError(
            f"That is more than {MOST_POINTS} points: mark fewer pieces at a time, name them."
        )
    tape, habits = ask(tape_of, room), ask(habits_of, room)
    under = float(ask(figures_in_force, room).get("markout.under").value)
    standing = _standing(fit, choices)
    floor = floor_of(drawn, ask.where(Fixed, "room", room), standing, under)
    reach = Reach(floor)
    free = [t for t in points.targets if reach.on_floor(t.at)]
    there, rest = at_hooks(free, reach, tape)
    fixes, lines, missed = _measured(asked, rest, reach, tape, habits)
    errors = _errors(there, fixes, lines)
    to_tape = _checks(points, errors, tape)
    order = stands(fixes)
    return MarkOut(
        room=room,
        name=fact.name or room,
        house=house.name if house else "",
        asked=asked,
        choices=choices,
        plan=_shown(drawn, floor, choices),
        floor=floor,
        tape=tape,
        targets=tuple(points.targets),
        figures=tuple(points.figures),
        there=there,
        fixes=fixes,
        baselines=lines,
        missed=missed,
        stands=order,
        checks=to_tape,
        steps=tuple(
            (head, steps)
            for head, steps in (
                ("Where they are already", there_steps(there, tape)),
                ("From fixed points", tie_steps(order, fixes, tape)),
                ("From a wall", baseline_steps(lines, tape)),
                ("Draw", drawing_steps(points.figures, set(errors), tape)),
                ("Check before you trust it", check_steps(to_tape, tape)),
            )
            if steps
        ),
        sticks=_sticks(ask, room, fit, chosen),
        poles=(*along_and_off(free, lines, reach, tape, habits), *heights(ask, room, fit)),
        troubles=(*troubles(choices, points, missed, reach), *points.notes),
        cautions=cautions(drawn, asked),
        rests_on=rests_on(ask(figures_in_force, room), house, fact),
    )


@query("tape")
def tape_of(ask: Ask, room: str) -> Tape:
    """The tape as the house and its figures say that it errs."""
    house, figures = ask.find(House, "house"), ask(figures_in_force, room)
    sigma = house.tape_sigma if house is not None else figures.get("tape.sigma").value
    scale, longest = (float(figures.get(f"tape.{k}").value) for k in ("scale", "longest"))
    return Tape(sigma=float(sigma), scale=scale, longest=longest)


@query("mark-out habits")
def habits_of(ask: Ask, room: str) -> Habits:
    """What is taken as fit to measure by, from the figures in force."""
    figures = ask(figures_in_force, room)
    return Habits(**{f.name: float(figures.get(f"markout.{f.name}").value) for f in fields(Habits)})


# --- which pieces --------------------------------------------------------------------------------


def _choices(fit: RoomFit, asked: Asked) -> tuple[Choice, ...]:
    known = {each.piece.id for each in fit.pieces}
    for id_ in (*asked.pieces, *asked.standing):
        if id_ not in known:
            there = ", ".join(sorted(known)) or "none"
            raise MarkoutError(f"There is no piece {id_} in room {fit.room}. Its pieces: {there}.")
    picked = set(asked.pieces) or _default(fit)
    return tuple(
        Choice(
            each.piece.id,
            each.piece.name or each.piece.kind,
            each.piece.id in picked,
            each.piece.id in asked.standing,
            built_in(each.piece.kind),
            _hinder(each),
        )
        for each in fit.pieces
    )


def _hinder(each: PieceFit) -> str:
    """Why a piece can't be marked out, if it can't."""
    piece = each.piece
    if piece.placed:
        return ""
    if piece.x is None or piece.y is None:
        return "has no place yet: put it on the room's plan"
    return "has no size yet: measure it, or give its size on the room's plan"


def _default(fit: RoomFit) -> set[str]:
    """The pieces that people sit at and that are not built in; else the largest piece."""
    placed = [each for each in fit.pieces if each.piece.placed]
    loose = [each for each in placed if not built_in(each.piece.kind)] or placed
    seated = {each.piece.id for each in loose if each.seats}
    if seated or not loose:
        return seated
    return {max(loose, key=lambda e: (e.piece.where[2] * e.piece.where[3], e.piece.id)).piece.id}


def _standing(fit: RoomFit, choices: Sequence[Choice]) -> Iterator[Obstacle]:
    for each, choice in zip(fit.pieces, choices, strict=True):
        if choice.standing and each.piece.placed:
            yield Obstacle(choice.id, choice.name, each.piece.outline)


def _shown(drawn: Plan, floor: Floor, choices: Sequence[Choice]) -> Plan:
    """The plan without what is not asked about: only chosen pieces and those that stand there."""
    kept = {c.id for c in choices if c.chosen or c.standing}
    pieces = tuple(p for p in drawn.pieces if p.id in kept)
    return replace(drawn, dims=(), ways=(), zones=(), pieces=pieces)


# --- how each point is measured ------------------------------------------------------------------


def _measured(
    asked: Asked, free: Sequence[Target], reach: Reach, tape: Tape, habits: Habits
) -> tuple[tuple[TieFix, ...], tuple[Baseline, ...], tuple[Target, ...]]:
    """Points by the method asked for; what it does not reach, by the other.

    Where ties cross so flat that a wall serves better, the thing is measured off the wall.
    """
    if asked.method == "ties":
        fixes, left = by_ties(free, reach, tape, habits)
        flat = _better_off_a_wall(fixes, reach, tape, habits)
        if flat:
            fixes, _ = by_ties(
                [f.target for f in fixes if f.target not in flat], reach, tape, habits
            )
        lines, missed = by_baseline([*left, *flat], reach, tape, habits)
        return fixes, lines, missed
    lines, left = by_baseline(free, reach, tape, habits)
    fixes, missed = by_ties(left, reach, tape, habits)
    return fixes, lines, missed


def _better_off_a_wall(
    fixes: Sequence[TieFix], reach: Reach, tape: Tape, habits: Habits
) -> tuple[Target, ...]:
    """The points of things of which one, by flat ties, is worse by `habits.line_worse`."""
    things = {f.target.of for f in fixes if f.angle < FLAT}
    ties = {f.target: f.ellipse.major for f in fixes if f.target.of in things}
    if not ties:
        return ()
    lines, _ = by_baseline(tuple(ties), reach, tape, habits)
    served = {o.target: o.ellipse.major for line in lines for o in line.offsets}
    better = {t.of for t, error in served.items() if error + habits.line_worse < ties[t]}
    return tuple(t for t in served if t.of in better)


def _errors(
    there: Iterable[There], fixes: Iterable[TieFix], lines: Iterable[Baseline]
) -> dict[str, Covariance]:
    found = {t.target.id: Covariance(0.0, 0.0, 0.0) for t in there}
    found |= {f.target.id: f.covariance for f in fixes}
    return found | {o.target.id: o.covariance for b in lines for o in b.offsets}


def _checks(points: Points, errors: dict[str, Covariance], tape: Tape) -> tuple[Check, ...]:
    targets = {t.id: t for t in points.targets}
    return tuple(c for figure in points.figures for c in checks(figure, targets, errors, tape))


# --- sticks --------------------------------------------------------------------------------------


def _sticks(ask: Ask, room: str, fit: RoomFit, chosen: Sequence[PieceFit]) -> tuple[Stick, ...]:
    source = ask(needs, room).source

    def wanted() -> Iterator[Wanted]:
        for each in chosen:
            name = f"{each.piece.name or each.piece.kind} {each.piece.id}"
            for side in each.sides:
                if side.needs:
                    use = f", people {side.use}" if side.use else ""
                    what = f"{side.side} side of the {name}{use}"
                    yield Wanted(side.needs, side.figure, source.get(side.figure, ""), what)
        for way in fit.ways:
            if way.needs:
                what = f"walk path {way.from_} to {way.to}, at its tightest"
                yield Wanted(way.needs, way.figure, source.get(way.figure, ""), what, at_once=False)

    return sticks(wanted())
