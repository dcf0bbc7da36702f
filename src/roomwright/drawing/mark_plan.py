"""The plan of a mark-out: numbered points, ties or baseline with their lengths, error ellipses.

The room itself is drawn by `plan.room_plan`; this lays the mark-out over it, on the same board,
so that no number stands on another.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely

from roomwright.answers.mark_out_model import MarkOut
from roomwright.answers.plan_model import Plan
from roomwright.drawing import ink
from roomwright.drawing.dimension import Lettering, leader, spots
from roomwright.drawing.frame import Frame
from roomwright.drawing.options import NARROW, Drawing, PlanOptions
from roomwright.drawing.places import Board, Spot
from roomwright.drawing.plan import room_plan
from roomwright.lengths import tape, words
from roomwright.markout.baseline import Baseline
from roomwright.markout.model import Hook
from roomwright.shape import Point, Segment

SHOWN = 1 / 4
"""Error ellipses are drawn if one is larger than this [in]."""

TIMES = (100, 50, 40, 30, 20, 10, 5)
"""By how much ellipses are exaggerated: the most at which none hides its point's neighbors."""

LARGEST = 1.1
"""Size of the largest ellipse's semi-axis as a part of the text size."""

FEW, FEW_ON_PHONE = 9, 6
"""Up to so many points each length stands on its line; past that only in the table."""

AROUND = tuple((math.cos(a * math.pi / 8), math.sin(a * math.pi / 8)) for a in range(16))


@dataclass(frozen=True, slots=True)
class MarkDrawing:
    """A drawing, how many times its error ellipses are exaggerated (0: none drawn), its words."""

    drawing: Drawing
    times: int
    scale: float


def mark_plan(found: MarkOut, options: PlanOptions) -> MarkDrawing:
    """Draw a mark-out.

    Raises
    ------
    ValueError
        If the room has no outline.
    """
    options = replace(options, dims=frozenset(), ways=False, letters=False)
    plan = replace(found.plan, said=_said(found))
    under = room_plan(plan, options)
    layer = _Layer(found, options, under)
    layer.draw()
    body = ink.group(
        [*layer.lines, *layer.texts], class_="mark-out", font_family=ink.FACE, fill="none"
    )
    svg = under.svg[: -len("</svg>")] + body + "</svg>"
    return MarkDrawing(
        replace(
            under, svg=svg, boxes=tuple(layer.board.boxes),
            unplaced=(*under.unplaced, *layer.unplaced),
        ),
        layer.times, under.scale,
    )  # fmt: skip


def _said(found: MarkOut) -> str:
    """The drawing in words."""
    told = [f"{found.title} from above, north up, with {len(found.targets)} points to mark."]
    for each in found.there:
        told.append(f"Point {each.target.id} is the {each.hook.name}.")
    for fix in found.fixes:
        ties = " and ".join(f"{words(t.read)} from the {t.hook.name}" for t in fix.ties)
        told.append(f"Point {fix.target.id}: {ties}.")
    for line in found.baselines:
        for o in line.offsets:
            told.append(
                f"Point {o.target.id}: {words(o.read_along)} along the {line.faces} wall "
                f"from corner {line.start_name}, {words(o.read_off)} off it."
            )
    return " ".join(told)


class _Layer:
    """What is laid over the plan."""

    def __init__(self, found: MarkOut, options: PlanOptions, under: Drawing) -> None:
        self.found, self.options = found, options
        self.text = options.text
        self.frame = Frame(under.scale, under.left, under.top, under.width, under.height)
        self.board = Board(under.width, under.height, _solid(found.plan, self.frame))
        self.board.boxes += under.boxes
        self.lines: list[str] = []
        self.texts: list[str] = []
        self.unplaced: list[str] = []
        self.ink = "#000" if options.paper else ink.INK
        self.accent = "#000" if options.paper else ink.ACCENT
        self.thin = 0.7 if options.paper else 1.3
        self.times = 0
        self.held: set[str] = set()
        many = FEW_ON_PHONE if options.width < NARROW else FEW
        self.lettered = len(found.targets) <= many

    def draw(self) -> None:
        """Figures, ellipses and lines first, then numbers, then lengths."""
        self._figures()
        self._ellipses()
        ties = [
            (self.frame.segment((t.hook.at, f.target.at)), tape(t.read))
            for f in self.found.fixes
            for t in f.ties
        ]
        for segment, _ in ties:
            self._line(segment)
        self.board.add_ink([segment for segment, _ in ties], 1.2)
        for line in self.found.baselines:
            self._baseline(line)
        self._points()
        for hook in self.found.hooks:
            self._hook(hook)
        for segment, text in sorted(ties, key=lambda e: math.dist(*e[0])) if self.lettered else ():
            self._length(segment, text)

    def _line(self, segment: Segment, dash: bool = False) -> None:
        self.lines.append(
            ink.line(
                *segment,
                stroke=self.accent,
                stroke_width=self.thin,
                stroke_dasharray="5 3" if dash else None,
            )
        )

    def _figures(self) -> None:
        at = {t.id: t.at for t in self.found.targets}
        for figure in self.found.figures:
            if figure.radius > 0:
                c = self.frame.at(at[figure.corners[0]])
                r = figure.radius * self.frame.scale
                self.lines.append(
                    ink.circle(c, r, stroke=self.ink, stroke_width=self.thin, fill="none",
                               stroke_dasharray="2 3")
                )  # fmt: skip
            elif not figure.closed:
                run = [self.frame.at(at[id_]) for id_ in figure.corners]
                for segment in pairwise(run):
                    self.lines.append(
                        ink.line(*segment, stroke=self.ink, stroke_width=self.thin,
                                 stroke_dasharray="2 3")
                    )  # fmt: skip

    def _ellipses(self) -> None:
        found = self.found.ellipses
        if self.found.worst <= SHOWN:
            return
        largest = self.found.worst * self.frame.scale
        self.times = next((t for t in TIMES if t * largest <= LARGEST * self.text), TIMES[-1])
        for each in self.found.targets:
            e = found.get(each.id)
            if e is None:
                continue
            x, y = self.frame.at(each.at)
            k = self.times * self.frame.scale
            self.lines.append(
                f'<ellipse cx="{ink.n(x)}" cy="{ink.n(y)}" rx="{ink.n(e.major * k)}" '
                f'ry="{ink.n(e.minor * k)}" transform="rotate({ink.n(-e.turn)} {ink.n(x)} '
                f'{ink.n(y)})" fill="none" stroke="{self.ink}" stroke-width="{ink.n(self.thin)}" '
                f'class="ellipse" data-point="{each.id}"/>'
            )

    def _points(self) -> None:
        marked = self.found.ellipses
        size, arm = self.text * 0.95, 0.42 * self.text
        for each in self.found.targets:
            x, y = c = self.frame.at(each.at)
            cross = f"M{ink.n(x - arm)} {ink.n(y)}H{ink.n(x + arm)}"
            cross += f"M{ink.n(x)} {ink.n(y - arm)}V{ink.n(y + arm)}"
            self.lines.append(ink.path(cross, stroke=self.ink, stroke_width=2.2 * self.thin))
            number = each.id if each.id in marked else f"{each.id} not marked"
            badge = Lettering(number, size, True)
            spot = self._beside(f"point {each.id}", c, badge, 0.35 * self.text)
            if spot is not None:
                self.texts.append(
                    ink.group(
                        [badge.draw(spot.box, frame=self.ink)], fill=self.ink, data_point=each.id
                    )
                )

    def _hook(self, hook: Hook) -> None:
        if hook.id in self.held:
            return
        self.held.add(hook.id)
        c = self.frame.at(hook.at)
        r = 0.32 * self.text
        self.lines.append(
            ink.circle(c, r, fill="#fff", stroke=self.ink, stroke_width=2.6 * self.thin)
        )
        name = Lettering(short(hook), 0.85 * self.text, True)
        spot = self._beside(f"hook {hook.id}", c, name, 0.6 * self.text)
        if spot is not None:
            self.texts.append(ink.group([name.draw(spot.box)], fill=self.ink, data_hook=hook.id))

    def _beside(self, name: str, c: Point, text: Lettering, gap: float) -> Spot | None:
        """A place next to a point, else the nearest free one with a line to it."""
        w, h = text.wide, text.high
        tried = []
        for ring in (1.0, 1.9, 3.0):
            for dx, dy in AROUND:
                at = (c[0] + dx * (w / 2 + gap * ring), c[1] + dy * (h / 2 + gap * ring))
                tried.append(Spot(text.box(at), (), 4.0 * ring))
        spot = self.board.place(name, tried) or self.board.lead(name, c, (w, h))
        if spot is None:
            self.unplaced.append(name)
        elif spot.leader:
            self.lines.append(leader(spot.leader, self.thin, self.ink))
        return spot

    def _baseline(self, line: Baseline) -> None:
        a, u, n = line.start, line.direction, line.inward
        far = max((o.along for o in line.offsets), default=0.0)
        end = (a[0] + far * u[0], a[1] + far * u[1])
        self.lines.append(
            ink.line(*self.frame.segment((a, end)), stroke=self.accent, stroke_width=5 * self.thin)
        )
        self._hook(Hook(line.start_name, f"corner {line.start_name}", a))
        deepest: dict[float, float] = {}
        for o in line.offsets:
            deepest[o.along] = max(deepest.get(o.along, 0.0), o.off)
        feet = {along: (a[0] + along * u[0], a[1] + along * u[1]) for along in deepest}
        for along, off in deepest.items():
            foot = feet[along]
            top = (foot[0] + off * n[0], foot[1] + off * n[1])
            self._line(self.frame.segment((foot, top)), dash=True)
        self._lengths(line, feet)

    def _lengths(self, line: Baseline, feet: dict[float, Point]) -> None:
        """Each length along, beside its foot; each length off, from the foot to its point."""
        n = line.inward
        for along, foot in feet.items():
            if along > 0:
                c = self.frame.at(foot)
                label = Lettering(tape(self.found.tape.read(along)), 0.9 * self.text, True)
                at = (c[0] + n[0] * 1.1 * self.text, c[1] - n[1] * 1.1 * self.text)
                w = label.wide / 2
                shifts = (0.0, w + 3, -w - 3, w / 2, -w / 2)
                tried = [
                    Spot(label.box((at[0] + dx + k * n[0], at[1] + dy - k * n[1])), (), abs(s) + k)
                    for k in (0.0, 0.8 * self.text, 1.6 * self.text)
                    for s in shifts
                    for dx, dy in ((s * line.direction[0], -s * line.direction[1]),)
                ]
                self._put(f"along {along}", label, self.board.place(f"along {along}", tried))
        before = dict(feet)
        for o in sorted(line.offsets, key=lambda o: o.off):
            if o.off > 0 and self.lettered:
                segment = self.frame.segment((before[o.along], o.target.at))
                self._length(segment, f"off {tape(o.read_off)}")  # not from the point before
            before[o.along] = o.target.at

    def _length(self, segment: Segment, text: str) -> None:
        label = Lettering(text, 0.85 * self.text)
        spot = self.board.place(text, _inner(label, segment))
        self._put(text, label, spot)

    def _put(self, name: str, label: Lettering, spot: Spot | None) -> None:
        if spot is None:
            self.unplaced.append(name)
            return
        self.texts.append(ink.group([label.draw(spot.box, spot.turned)], fill=self.ink))


def _inner(label: Lettering, segment: Segment) -> list[Spot]:
    """Places for a length on its line, then beside it; without lines of their own."""
    (ax, ay), (bx, by) = segment
    upright = abs(bx - ax) <= 0.05 * abs(by - ay)
    found = []
    for step, t in enumerate((0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78, 0.14, 0.86)):
        c = (ax + (bx - ax) * t, ay + (by - ay) * t)
        found.append(Spot(label.box(c, upright), (), 2.0 * step, upright))
    found += [Spot(each.box, (), each.cost + 30.0, each.turned) for each in spots(label, [segment])]
    return found


def short(hook: Hook) -> str:
    """A fixed point's name as it stands on the drawing.

    >>> short(Hook("C", "inside corner C, east and north walls", (0, 0)))
    'corner C'
    """
    name = hook.name.split(",")[0].split(" of the ")[0]
    return name.removeprefix("inside ").removeprefix("outside ")


def _solid(plan: Plan, frame: Frame) -> shapely.Geometry | None:
    solids = [
        shapely.Polygon(frame.ring(rings[0]), [frame.ring(hole) for hole in rings[1:]])
        for rings in plan.walls
    ]
    return shapely.MultiPolygon(solids) if solids else None
