"""One place of any piece judged exactly, with all that it changes.

More than a table's `Trials`: the piece's own sides, walk paths that it narrows, the sides of other
pieces that it leaves less room, aisles, spacing, and the play it has between what stands on
either hand. What bars it (another thing, a door, a ceiling, an escape) is no place at all.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import shapely

from roomwright.fit import evaluate
from roomwright.fit.clear import Ahead
from roomwright.fit.evaluate import label
from roomwright.fit.found import Finding, GoalPath, Side, Word
from roomwright.fit.given import HEADROOM, LOCALS, Local, Needs, Piece, Space
from roomwright.fit.goals import each_goal_path, goal_paths
from roomwright.fit.goals_kept import SURE, SURELY, Kept
from roomwright.fit.ground import Ground
from roomwright.fit.headroom import low_ahead
from roomwright.fit.sides import sides
from roomwright.fit.spacing import spacing
from roomwright.fit.trial import Bound, Paths, Trial, Trials
from roomwright.fit.uses import Trail
from roomwright.shape import Outline, Segment, walls

EVEN = 1e-6

STANDING = "stand"
"""Use of the play between what stands on either hand of a piece."""

_BINDING = frozenset({"aisle", "zones", "spacing", "fixture centers"})
"""Kinds of findings with a length that hold a piece; a light, say, can follow it instead."""


@dataclass(frozen=True, slots=True)
class _Before:
    """What held without the piece: margins of other pieces' sides, what was found, the goals."""

    margins: dict[tuple[str, Local], float]
    found: frozenset[tuple[str, tuple[str, ...]]]
    goals: dict[str, GoalPath]


class Judge:
    """Judges places of one piece in a space without it.

    Parameters
    ----------
    space
        The space without the piece and without what makes way for it.
    needs
        Figures in force.
    room
        Outline that the piece must stay in.
    asked
        Called before each place that is judged; may raise to stop.
    """

    def __init__(
        self,
        space: Space,
        needs: Needs,
        room: Outline | None = None,
        asked: Callable[[], None] = lambda: None,
    ) -> None:
        self.trials = Trials(space, needs, room, asked)
        self.measured = 0
        """Paths to what people go to that were measured: each takes as long as a place."""
        self.space, self.needs = space, needs
        self.ground = self.trials.ground
        self._room = shapely.buffer(shapely.Polygon(room or space.outline), EVEN)
        shapely.prepare(self._room)
        self._others = [p for p in self.ground.pieces if not p.sort.loose]
        self._before = self._without()
        self._kept = Kept(self.ground, needs, self._before.goals)

    def _without(self) -> _Before:
        trails = [Trail(p.a.id, p.b.id, p.route.points) for p in self.trials.pairs]
        margins = {
            (other.id, side.local): side.margin
            for other in self._others
            for side in sides(self.ground, other, self.needs, trails)
            if side.margin is not None
        }
        found = evaluate.findings(self.ground, self.needs)
        reached = {path.goal: path for path in goal_paths(self.ground, self.needs)}
        return _Before(margins, frozenset((f.kind, f.ids) for f in found), reached)

    def solid(self, piece: Piece) -> tuple[int, ...]:
        """Numbers of the bodies that the piece cannot stand in: not what begins above it."""
        if piece.sort.loose:
            return ()
        top = HEADROOM if piece.height is None else piece.height
        return tuple(
            number
            for number, body in enumerate(self.ground.bodies)
            if body.what == "swing" or (body.what != "slope" and body.low < top)
        )

    def paths(self, piece: Piece) -> Paths | None:
        """The walk paths with the piece in its place."""
        if piece.sort.loose:
            return Paths((), ())
        return self.trials.paths(piece)

    def of(
        self, piece: Piece, paths: Paths | None = None, least: float = -math.inf
    ) -> Trial | None:
        """The piece in its place with what holds it.

        None if it cannot stand there, if its own sides have not `least` to spare, or, where that
        is about 0 or more, if it leaves a way to what people go to short.
        """
        if paths is None:
            paths = self.paths(piece)
        if paths is None or not shapely.covers(self._room, shapely.Polygon(piece.outline)):
            return None
        ground = self.ground.with_piece(piece)
        if piece.sort.loose:
            return self._trial(piece, (), [self._edge_of_room(piece)])
        if least > -math.inf:
            own = sides(ground, piece, self.needs, paths.trails)
            if any(side.margin is not None and side.margin < least for side in own):
                return None
        common = evaluate.findings(ground, self.needs)
        fit = evaluate.piece_fit(ground, piece, self.needs, paths.trails, common)
        found = [*self._new(piece, common), *fit.findings]
        if any(each.severity is Word.BLOCKED for each in found):
            return None
        bounds = [self._side(piece, side) for side in fit.sides if side.margin is not None]
        bounds += paths.bounds
        bounds += self._of_others(ground, paths)
        bounds += self._of_findings(piece, found)
        for other in self._others:
            if other.sort.near:
                bounds += self._of_findings(piece, spacing(ground, other, self.needs))
        bounds += self._play(ground, piece)
        if least > -math.inf and min(b.margin for b in bounds) < least - EVEN:
            return self._trial(piece, fit.sides, bounds)  # beaten already: goals cost time
        narrowed = None
        if least > -SURELY:
            narrowed = self._kept.narrowed(ground, piece)
            if narrowed is None:
                return None
        reached = self._of_goals(ground, narrowed)
        return None if reached is None else self._trial(piece, fit.sides, [*bounds, *reached])

    def _trial(self, piece: Piece, own: tuple[Side, ...], bounds: list[Bound]) -> Trial:
        return Trial(piece, own, tuple(sorted(bounds, key=lambda bound: bound.margin)))

    def _new(self, piece: Piece, found: Sequence[Finding]) -> Iterator[Finding]:
        """Findings that the piece makes."""
        for each in found:
            if piece.id in each.ids or (each.kind, each.ids) not in self._before.found:
                yield each

    def _side(self, piece: Piece, side: Side) -> Bound:
        return Bound(
            where=label(piece, side),
            thing=side.binding,
            use=side.use,
            clear=math.inf if side.clear is None else side.clear,
            needs=side.needs or 0.0,
            figure=side.figure,
            at=side.at,
        )

    def _of_others(self, ground: Ground, paths: Paths) -> Iterator[Bound]:
        """Sides of other pieces that have less to spare than without this one."""
        for other in self._others:
            if not other.sort.needs and not other.sort.seats:
                continue
            for side in sides(ground, other, self.needs, paths.trails):
                was = self._before.margins.get((other.id, side.local), math.inf)
                if side.margin is None or side.margin >= was - EVEN:
                    continue
                of = self._side(other, side)
                yield Bound(
                    f"{of.where} of the {other.name} {other.id}", of.thing, of.use, of.clear,
                    of.needs, of.figure, of.at,
                )  # fmt: skip

    def _of_goals(self, ground: Ground, only: frozenset[str] | None) -> list[Bound] | None:
        """Paths to what people go to that are narrower than without this piece; None if shut.

        `only` are the things gone to that are to be measured, None for all.
        """
        bounds: list[Bound] = []
        if only is not None and not only:
            return bounds
        for path in each_goal_path(ground, self.needs, only=only):
            self.measured += 1
            was = self._before.goals.get(path.goal)
            if path.verdict.word is Word.BLOCKED:
                if was is None or was.verdict.word is not Word.BLOCKED:
                    return None
                continue
            if path.enough or path.needs is None:
                continue
            if was is not None and not was.enough and path.width >= was.width - SURE:
                continue
            ends = None if path.p is None or path.q is None else (path.p, path.q)
            between = " and ".join(filter(None, path.between))
            where = f"way to {path.does} the {path.name}" if path.does else f"way to {path.name}"
            bounds.append(Bound(where, between, "walk", path.width, path.needs, path.figure, ends))
        return bounds

    def _of_findings(self, piece: Piece, found: Sequence[Finding]) -> Iterator[Bound]:
        """Findings that name the piece: aisles, spacing, zones of use that overlap."""
        for each in found:
            if piece.id not in each.ids or each.kind not in _BINDING:
                continue
            clear, needs = each.clear, each.needs
            if each.kind == "spacing" and each.severity is Word.TIGHT:  # too far off
                if each.ids[0] != piece.id:  # the other one can follow
                    continue
                clear, needs = needs, clear
            elif (clear is None or needs is None) and each.severity is Word.SHORT:
                clear, needs = 0.0, each.by
            if clear is None or needs is None:
                continue
            others = " and ".join(self._named(i) for i in each.ids if i != piece.id)
            yield Bound(each.kind, others, each.kind, clear, needs, each.figure, each.at)

    def _named(self, id_: str) -> str:
        for body in self.ground.bodies:
            if body.id == id_:
                return f"{body.name} {id_}"
        return id_

    def _play(self, ground: Ground, piece: Piece) -> list[Bound]:
        """What a piece has left to move sideways, and to and fro, before it meets something.

        Under a sloped ceiling that is until its top meets it, where its height is known.
        """
        skip = (*ground.owners(ids=(piece.id,)), *ground.swings, *ground.owners(what="slope"))

        def met(edge: Segment) -> tuple[str, Ahead] | None:
            ahead = ground.ahead(edge, skip)
            slope, low = low_ahead(ground, piece, edge)
            if low is not None and (ahead is None or low.clear < ahead.clear):
                return f"slope {slope}", low
            return None if ahead is None else (ground.name_of(ahead)[0], ahead)

        ends = [met(edge) for edge in walls(piece.box)]
        bounds = []
        for one, other in ((1, 3), (0, 2)):
            first, second = ends[one], ends[other]
            if first is None or second is None:
                continue
            bounds.append(
                Bound(
                    f"{LOCALS[one]} and {LOCALS[other]} together", f"{first[0]} and {second[0]}",
                    STANDING, first[1].clear + second[1].clear, 0.0, "",
                    (first[1].q, second[1].q),
                )
            )  # fmt: skip
        return bounds

    def _edge_of_room(self, piece: Piece) -> Bound:
        """A rug: from its edge to the nearest wall."""
        top = shapely.Polygon(piece.outline)
        line = shapely.shortest_line(top, self.ground.floor.exterior)
        (px, py), (qx, qy) = shapely.get_coordinates(line).tolist()
        clear = math.dist((px, py), (qx, qy))
        return Bound("edge", "wall", STANDING, clear, 0.0, "", ((px, py), (qx, qy)))
