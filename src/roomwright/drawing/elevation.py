"""One wall of a room as one sees it from inside: openings, windows, what stands before it, eyes.

What is nearer covers what is farther; a window's outline goes on dashed over what covers it, so
that a headboard before a sill is seen. All dimensions are black on paper.
"""

from __future__ import annotations

from itertools import pairwise

from roomwright.answers.elevations import RoomWalls
from roomwright.answers.elevations_words import eye_words, said
from roomwright.answers.plan_model import Dim
from roomwright.drawing import dimension, ink, labels
from roomwright.drawing.dimension import Lettering
from roomwright.drawing.frame import Frame
from roomwright.drawing.options import NARROW, Drawing, PlanOptions
from roomwright.drawing.places import Board, Spot
from roomwright.fit.wall_views import Seen, WallView
from roomwright.lengths import tape
from roomwright.shape import Point

PLAIN = 96.0
"""A wall whose ceiling is not known is drawn this high, and open at the top [in]."""

SHORTEST = 6.0
"""Stretches shorter than this between edges get no dimension of their own [in]."""

UNKNOWN = 24.0
"""What has no height yet is drawn this high, dashed [in]."""

LARGEST = 5.0
"""A short wall is not blown up past this many units per inch on a screen."""

Upright = tuple[float, float, float]
"""A height: where along the wall, from, to [in]."""


def top_of(view: WallView) -> float:
    """How high a wall is drawn [in]."""
    heights = [y for _, y in view.ceiling] or [PLAIN]
    return max(*heights, *(s.high or UNKNOWN for s in view.things), 12.0)


def scale_of(found: RoomWalls, options: PlanOptions) -> float:
    """Units per inch at which every wall of a room goes into the width and the height given."""
    if not found.walls:
        return 1.0
    across = options.width - _left(options) - _right(options)
    longest = max(view.length for view in found.walls)
    down = options.height - _above(options) - _below(options)
    highest = max(top_of(view) for view in found.walls)
    scale = min(across / longest, down / highest)
    return max(0.05, scale if options.paper else min(scale, LARGEST))


def _left(options: PlanOptions) -> float:
    return 2.2 * options.text


def _right(options: PlanOptions) -> float:
    return 0.8 * options.text


def _above(options: PlanOptions) -> float:
    return 0.9 * options.text


def _below(options: PlanOptions) -> float:
    return 4.4 * options.text


def elevation(found: RoomWalls, view: WallView, options: PlanOptions) -> Drawing:
    """Draw one wall; every wall of the room comes at the same scale unless options set one."""
    scale = options.scale or scale_of(found, options)
    return _Wall(found, view, options, scale).drawing()


class _Wall:
    """A wall at work: the frame, the board of texts, the parts drawn so far."""

    def __init__(
        self, found: RoomWalls, view: WallView, options: PlanOptions, scale: float
    ) -> None:
        self.found, self.view, self.options = found, view, options
        self.text = options.text
        self.high = top_of(view)
        left, above = _left(options), _above(options)
        height = above + self.high * scale + _below(options)
        self.frame = Frame(scale, -left / scale, self.high + above / scale, options.width, height)
        self.board = Board(options.width, height)
        self.ink = "#000" if options.paper else ink.INK
        self.accent = "#000" if options.paper else ink.ACCENT
        self.soft = "#000" if options.paper else ink.GREY
        self.thin = 0.6 if options.paper else 1.1
        self.lines: list[str] = []
        self.texts: list[str] = []
        self.unplaced: list[str] = []

    # --- parts ------------------------------------------------------------------------------

    def drawing(self) -> Drawing:
        self.shell()
        for seen in self.view.things:
            if seen.what not in ("window", "opening"):
                self.thing(seen)
        for seen in self.view.things:
            if seen.what == "window" and self.is_covered(seen):
                self.box(seen, dashed=True, fill="none")
        self.widths()
        self.heights()
        self.names()
        self.levels()
        return self.finished()

    def shell(self) -> None:
        """The floor line, the ends of the wall, its ceiling, then openings and windows."""
        at, length = self.frame.at, self.view.length
        heavy = 3.2 * self.thin
        ceiling = self.view.ceiling
        outline = [at((0, 0)), at((length, 0))]
        if ceiling:
            outline += [at(p) for p in reversed(ceiling)]
            ring = ink.ring(outline)
            self.lines.append(
                ink.path(ring, fill="#fff", stroke=self.ink, stroke_width=1.8 * self.thin)
            )
        else:
            for x in (0.0, length):
                self.lines.append(
                    ink.line(at((x, 0)), at((x, self.high)), stroke_width=1.8 * self.thin,
                             stroke_dasharray="6 5")
                )  # fmt: skip
        over = 0.5 * self.text / self.frame.scale
        self.lines.append(
            ink.line(at((-over, 0)), at((length + over, 0)), stroke_width=heavy, class_="floor")
        )
        edges = [(at((0, 0)), at((length, 0)))]
        edges += [(at(p), at(q)) for p, q in pairwise(ceiling)]
        edges += [(at((x, 0)), at((x, self.high))) for x in (0.0, length)]
        self.board.add_ink(edges, 4.0)
        for seen in self.view.things:
            if seen.what in ("window", "opening"):
                self.box(seen, fill="#fff")
                if seen.what == "window":
                    self.glass(seen)

    def box(self, seen: Seen, *, fill: str, dashed: bool = False) -> None:
        """The outline of a thing; its top is open while its height is not known."""
        at = self.frame.at
        dash = "5 4" if dashed or seen.usual or seen.far else None
        weight = (1.5 if seen.what in ("window", "opening") else 1.2) * self.thin
        high = seen.high
        (x0, y0), (x1, y1) = at((seen.left, seen.low)), at((seen.right, high or UNKNOWN))
        d = f"M{ink.n(x0)} {ink.n(y1)}V{ink.n(y0)}H{ink.n(x1)}V{ink.n(y1)}"
        if high is not None:
            d += "Z"
        self.lines.append(
            ink.path(
                d, fill=fill if high is not None else "none", stroke=self.ink, stroke_width=weight,
                stroke_dasharray=dash if high is not None else "3 4",
                class_=f"seen {seen.what}", data_id=seen.id,
            )
        )  # fmt: skip
        corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        self.board.add_ink([*pairwise(corners), (corners[-1], corners[0])], 2.0)

    def glass(self, seen: Seen) -> None:
        """A window's sash inside its frame."""
        inset = min(2.0, (seen.right - seen.left) / 8)
        at = self.frame.at
        (x0, y0) = at((seen.left + inset, seen.low + inset))
        (x1, y1) = at((seen.right - inset, (seen.high or 0) - inset))
        self.lines.append(
            ink.rect(x0, y1, x1, y0, fill="none", stroke=self.ink, stroke_width=0.7 * self.thin)
        )

    def thing(self, seen: Seen) -> None:
        if seen.far:
            self.box(seen, fill="none")
            return
        tint = "#fff" if self.options.paper or seen.what == "fixed" else "#E4EDEE"
        self.box(seen, fill=tint)

    def is_covered(self, window: Seen) -> bool:
        return any(
            s.what not in ("window", "opening")
            and not s.far
            and s.left < window.right
            and window.left < s.right
            and (s.high or 0) > window.low
            for s in self.view.things
        )

    # --- dimensions -------------------------------------------------------------------------

    def dim(self, key: str, places: list[tuple[Point, Point]], what: str) -> None:
        p, q = places[0]
        length = max(abs(q[0] - p[0]), abs(q[1] - p[1]))
        segments = [self.frame.segment(each) for each in places]
        self.drawn_dim(Dim(key, "opening", p, q, tape(length), what), segments)

    def drawn_dim(self, dim: Dim, segments: list[tuple[Point, Point]]) -> None:
        lettering = Lettering(dim.text, self.text * 0.94)
        spot = self.board.place(dim.key, dimension.spots(lettering, segments))
        if spot is None:
            a, b = segments[0]
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            size = (lettering.wide, lettering.high)
            spot = self.board.lead(dim.key, middle, size, (segments[0],)) or self.board.below(
                dim.key, middle, size, (segments[0],)
            )
        under, over = dimension.draw(
            dim, lettering, spot, stroke=self.ink, weight=self.thin * 0.8, frame=""
        )
        self.lines.append(under)
        self.texts.append(over)

    def widths(self) -> None:
        """Under the floor: the edges of windows and openings from corner to corner, then it all."""
        length = self.view.length
        edges = {0.0, length}
        for seen in self.view.things:
            if seen.what in ("window", "opening"):
                edges |= {max(0.0, seen.left), min(length, seen.right)}
        marks = sorted(edges)
        row = 1.55 * self.text / self.frame.scale
        at = self.frame.at
        for k, (x0, x1) in enumerate(pairwise(marks)):
            if x1 - x0 < SHORTEST or len(marks) == 2:
                continue
            rows = [((x0, -row * n), (x1, -row * n)) for n in (0.75, 1.6)]
            self.dim(f"{self.view.letter} along {k}", rows, "along the wall")
        if len(marks) > 2:
            for x in marks:
                a, b = at((x, -0.15 * row)), at((x, -1.0 * row))
                self.lines.append(ink.line(a, b, stroke_width=0.5 * self.thin))
        deep = 2.45 if len(marks) > 2 else 0.75
        whole = [((0.0, -row * deep), (length, -row * deep))]
        self.dim(f"{self.view.letter} whole", whole, "corner to corner")

    def heights(self) -> None:
        """Upright: the ceiling at the left end, then sill and head of each window and opening."""
        view, unit = self.view, self.text / self.frame.scale
        if view.ceiling:
            for k, (x, at_wall) in enumerate(self._ceilings()):
                name = f"{view.letter} ceiling {k}"
                self.dim(name, [((at_wall, 0.0), (at_wall, x))], "floor to ceiling")
        for seen in view.things:
            if seen.what not in ("window", "opening") or seen.high is None:
                continue
            shares = (0.5, 0.25, 0.75, 0.1, 0.9)
            xs = [seen.left + t * (seen.right - seen.left) for t in shares]
            beside = [seen.left - unit, seen.right + unit]
            if seen.low > 0:
                self.upright(f"{seen.id} sill", [(x, 0.0, seen.low) for x in [*xs, *beside]])
            self.upright(f"{seen.id} height", [(x, seen.low, seen.high) for x in [*xs, *beside]])

    def _ceilings(self) -> list[tuple[float, float]]:
        """Heights of the ceiling worth a dimension, each with where it is drawn."""
        line, off = self.view.ceiling, 1.1 * self.text / self.frame.scale
        first, last = line[0], line[-1]
        found = [(first[1], first[0] - off)]
        if abs(last[1] - first[1]) > 0.5:
            found.append((last[1], last[0] - off))
        found += [
            (y, x) for x, y in line[1:-1] if all(abs(y - h) > 0.5 for h, _ in found)
        ]  # fmt: skip
        return found

    def upright(self, key: str, places: list[Upright]) -> None:
        inside = [p for p in places if 0 <= p[0] <= self.view.length]
        segments = [((x, low), (x, high)) for x, low, high in inside or places]
        self.dim(key, segments, "height")

    # --- names and levels -------------------------------------------------------------------

    def names(self) -> None:
        narrow = self.options.width < NARROW
        for seen in sorted(self.view.things, key=lambda s: (s.far, s.right - s.left)):
            high = seen.high if seen.high is not None else UNKNOWN
            ring = [
                self.frame.at(p)
                for p in (
                    (seen.left, seen.low), (seen.right, seen.low), (seen.right, high),
                    (seen.left, high),
                )
            ]  # fmt: skip
            lines = [f"{seen.name} {seen.id}"]
            if seen.what in ("fixed", "piece"):
                if seen.high is None:
                    lines.append("height: measure")
                else:
                    lines.append(f"{tape(seen.high)}{' usual' if seen.usual else ''}")
            ways = labels.wordings(lines, self.text * 0.88)
            short = labels.block([seen.id], self.text * 0.88)
            ways = [*ways, short] if narrow or seen.what in ("window", "opening") else ways
            spots = list(labels.inside(ring, ways))
            mid = ((ring[0][0] + ring[1][0]) / 2, ring[2][1] + 2)
            placed = labels.put(self.board, f"name {seen.id}", ways, spots, mid)
            if placed is None:
                self.unplaced.append(seen.name)
                continue
            self.texts.append(
                labels.draw(*placed, fill=self.ink, plate="#fff", weight=self.thin,
                            values={"class_": "label", "data_id": seen.id})
            )  # fmt: skip

    def levels(self) -> None:
        """The datum and the lines of the eyes, dashed across the wall, each with its name."""
        for eye in self.found.eyes:
            for height in (eye.low, eye.high):
                self.level(height, "9 4 2 4", self.accent)
            self.label(eye_words(eye), ((eye.low + eye.high) / 2, eye.low, eye.high), self.accent)
        datum = self.found.datum
        if datum is not None:
            self.level(datum, "14 4", self.soft)
            self.label(f"datum {tape(datum)}", (datum,), self.soft)

    def level(self, height: float, dash: str, color: str) -> None:
        if height > self.high:
            return
        a, b = self.frame.at((0.0, height)), self.frame.at((self.view.length, height))
        self.lines.append(
            ink.line(a, b, stroke=color, stroke_width=0.9 * self.thin, stroke_dasharray=dash,
                     class_="level")
        )  # fmt: skip

    def label(self, words: str, heights: tuple[float, ...], color: str) -> None:
        if heights[0] > self.high:
            return
        lettering = Lettering(words, self.text * 0.82)
        x0, x1 = self.frame.at((0.0, 0.0))[0], self.frame.at((self.view.length, 0.0))[0]
        w = lettering.wide
        spots = []
        for k, height in enumerate(heights):
            y = self.frame.at((0.0, height))[1]
            step = max(8.0, (x1 - x0 - w) / 14)
            x = x1 - w / 2 - 3
            while x >= x0 + w / 2 + 3:
                spots.append(Spot(lettering.box((x, y)), (), 6.0 * k + 0.02 * (x1 - x)))
                x -= step
        spot = self.board.place(words, spots)
        if spot is None:
            at = self.frame.at((self.view.length, heights[0]))
            spot = self.board.lead(words, at, (lettering.wide, lettering.high))
        if spot is None:
            self.unplaced.append(words)
            return
        lead = [dimension.leader(spot.leader, self.thin, color)] if spot.leader else []
        self.texts.append(
            ink.group([*lead, lettering.draw(spot.box)], fill=color, class_="level-name")
        )

    def finished(self) -> Drawing:
        view, options = self.view, self.options
        height = self.board.height
        texts = ink.group(self.texts, font_family=ink.FACE, fill=self.ink)
        body = ink.group(self.lines, fill="none", stroke=self.ink, stroke_linejoin="miter") + texts
        white = ink.rect(0, 0, options.width, height, class_="paper", fill="#fff")
        svg = ink.document(
            options.width, height, [white, body],
            title=f"Wall {view.letter} of {self.found.title}, {view.side}",
            said=said(self.found, view), id=f"{options.base}-{view.letter}",
            class_="plan on-paper" if options.paper else "plan",
        )  # fmt: skip
        return Drawing(
            svg, options.width, height, self.frame.scale, self.frame.left, self.frame.top,
            tuple(self.board.boxes), tuple(self.unplaced),
        )  # fmt: skip
