"""A room as taped over the room as drawn: corners, ellipses, readings on their lines, doubts.

The outline as taped is solid, as drawn dashed. Where a corner is to be looked for, 19 times in 20,
is an ellipse, drawn so many times too large that it can be seen (the scale is handed back). Each
reading stands on its line; one that the others contradict is dashed and marked with a word.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from roomwright import shape
from roomwright.answers.survey import Read, RoomSurvey
from roomwright.drawing import dimension, ink, marks, typeface
from roomwright.drawing.dimension import Lettering
from roomwright.drawing.frame import Frame, Margins, bounds, framed
from roomwright.drawing.options import PlanOptions
from roomwright.drawing.places import Board, Spot
from roomwright.lengths import tape, words
from roomwright.shape import Outline, Point, Segment

TIMES = (500, 200, 100, 50, 20, 10, 5, 2, 1)
"""How many times too large an ellipse may be drawn."""

LARGEST = 22.0
"""No ellipse reaches farther than this from its corner [units]."""

LETTER = 15.0
"""Radius of the disc behind a corner's letter [units]."""

MARGIN = 66.0
"""White round the room for letters and wall readings [units]."""

ALONG = (0.28, 0.72, 0.38, 0.62, 0.2, 0.8, 0.5)
"""Where a diagonal's reading may stand on it: off the middle, where diagonals cross."""


@dataclass(frozen=True, slots=True)
class SurveyDrawing:
    """A finished drawing; `times` says how much too large its ellipses are, 0 without any."""

    svg: str
    width: float
    height: float
    times: int


def survey_plan(
    this: RoomSurvey,
    openings: Sequence[tuple[str, Segment]] = (),
    *,
    width: float = 720.0,
    base: str = "tape",
    text: float = 17.0,
) -> SurveyDrawing:
    """Draw a room's survey.

    Parameters
    ----------
    openings
        Openings and windows by id, with their two ends anywhere through the wall [in].
    width
        Of the drawing [units]; it is as high as it needs to be, up to 1.25 times that.
    """
    taped = this.found.outline if this.found is not None else this.drawn
    margin = MARGIN if width > 500 else 0.8 * MARGIN
    options = PlanOptions(width=width, height=1.25 * width, text=text, base=base)
    box = bounds([taped, this.drawn])
    frame = framed(box, box, Margins(margin, margin, margin, margin), options)
    board = Board(frame.width, frame.height)
    under: list[str] = [
        ink.path(ink.ring(frame.ring(taped)), class_="floor", fill=ink.WASH),
        *_drawn(this, frame),
        ink.path(ink.ring(frame.ring(taped)), class_="taped", fill="none", stroke=ink.INK,
                 stroke_width=2.4),
    ]  # fmt: skip
    board.add_ink([frame.segment(wall) for wall in shape.walls(taped)], 3.0)
    times = _times(this, frame)
    over = [*_letters(this.corners, taped, frame, board, text)]
    under += [_gap(id_, ends, taped, frame, board, over, 0.8 * text) for id_, ends in openings]
    under += _ellipses(this, frame, times)
    for line, texts in _lines(this, taped, frame, board, text):
        under.append(line)
        over += texts
    body = ink.group([*under, *over], font_family=ink.FACE, color=ink.INK)
    svg = ink.document(
        frame.width, frame.height, [body], title=f"{this.name} as taped", said=said(this),
        id=base, class_="plan tape", data_room=this.room,
    )  # fmt: skip
    return SurveyDrawing(svg, frame.width, frame.height, times)


def _drawn(this: RoomSurvey, frame: Frame) -> Iterator[str]:
    """What was planned, dashed, where there is something else to compare it with."""
    if this.found is not None and this.planned:
        yield ink.path(
            ink.ring(frame.ring(this.planned)), class_="planned", fill="none", stroke=ink.GREY,
            stroke_width=1.1, stroke_dasharray="3 6",
        )  # fmt: skip


def _times(this: RoomSurvey, frame: Frame) -> int:
    if this.found is None:
        return 0
    largest = max(each.ellipse.a for each in this.found.corners) * frame.scale
    return next((k for k in TIMES if largest * k <= LARGEST), 1)


def _ellipses(this: RoomSurvey, frame: Frame, times: int) -> list[str]:
    found = []
    for each in this.found.corners if this.found is not None else ():
        x, y = frame.at((each.x, each.y))
        a, b = (max(v * frame.scale * times, 1.0) for v in (each.ellipse.a, each.ellipse.b))
        found.append(
            f'<ellipse cx="{ink.n(x)}" cy="{ink.n(y)}" rx="{ink.n(a)}" ry="{ink.n(b)}" '
            f'transform="rotate({ink.n(-each.ellipse.angle)} {ink.n(x)} {ink.n(y)})" '
            f'class="ellipse" fill="none" stroke="{ink.ACCENT}" stroke-width="1.6"/>'
        )
    return found


def _letters(
    corners: Sequence[str], ring: Outline, frame: Frame, board: Board, size: float
) -> Iterator[str]:
    """Each corner's letter on a disc outside it."""
    round_ = 1.0 if shape.signed_area(ring) > 0 else -1.0
    count = len(ring)
    for k, name in enumerate(corners):
        x, y = frame.at(ring[k])
        out = [_outward((ring[j], ring[(j + 1) % count]), round_) for j in (k - 1, k)]
        dx, dy = out[0][0] + out[1][0], out[0][1] + out[1][1]
        long = math.hypot(dx, dy) or 1.0
        reach = LETTER + 10
        c = (x + dx / long * reach * 1.2, y - dy / long * reach * 1.2)
        box = (c[0] - LETTER, c[1] - LETTER, c[0] + LETTER, c[1] + LETTER)
        board.take(f"corner {name}", Spot(box))
        yield ink.circle(c, LETTER, fill=ink.INK, class_="corner") + ink.text(
            (c[0], c[1] + typeface.CAP * size / 2), name, font_size=size, font_weight="700",
            text_anchor="middle", fill="#fff",
        )  # fmt: skip


def _outward(wall: Segment, round_: float) -> Point:
    x, y = shape.outward(wall)
    return x * round_, y * round_


def _gap(
    id_: str, ends: Segment, ring: Outline, frame: Frame, board: Board, over: list[str], size: float
) -> str:
    """An opening as a gap in its wall, with its name beside it."""
    shown = shape.through_wall(ends, ring)
    if shown is None:
        return ""
    a, b = frame.segment(shown[1])
    round_ = 1.0 if shape.signed_area(ring) > 0 else -1.0
    dx, dy = _outward(shape.walls(ring)[shown[0]], round_)
    lettering = Lettering(id_, size)
    c = (a[0] + b[0]) / 2 - dx * 15, (a[1] + b[1]) / 2 + dy * 15
    spot = board.place(id_, [Spot(lettering.box(c))])
    if spot is not None:
        over.append(lettering.draw(spot.box, fill=ink.GREY))
    jamb = [((p[0] - dx * 5, p[1] + dy * 5), (p[0] + dx * 5, p[1] - dy * 5)) for p in (a, b)]
    return ink.line(a, b, stroke="#fff", stroke_width=4.0) + "".join(
        ink.line(*each, stroke=ink.INK, stroke_width=1.2) for each in jamb
    )


def _lines(
    this: RoomSurvey, ring: Outline, frame: Frame, board: Board, size: float
) -> Iterator[tuple[str, list[str]]]:
    """The readings between each two corners: their line, and their texts; doubtful ones first."""
    groups: dict[frozenset[str], list[Read]] = {}
    for each in this.of("wall", "diagonal"):
        ends = each.fact.from_corner.strip().upper(), each.fact.to_corner.strip().upper()
        groups.setdefault(frozenset(ends), []).append(each)
    spot_of = dict(zip(this.corners, ring, strict=True))
    ordered = sorted(groups.items(), key=lambda g: not any(r.suspect for r in g[1]))
    for pair, reads in ordered:
        first, second = sorted(pair, key=this.corners.index)
        line = frame.segment((spot_of[first], spot_of[second]))
        is_wall = reads[0].kind == "wall"
        doubtful = [r for r in reads if r.suspect]
        used = [r for r in reads if not r.suspect and not r.fact.aside]
        drawn = _stroke(line, is_wall, bool(doubtful), bool(used))
        texts: list[str] = []
        for lettering in _lettering(doubtful, used, size):
            places = _places(line, is_wall, ring, frame, lettering, (first, second), this.corners)
            spot = board.place(lettering.text, places) or board.lead(
                lettering.text, _middle(line), (lettering.wide, lettering.high)
            )
            if spot is not None:
                texts.append(_text(lettering, spot))
        yield drawn, texts


def _stroke(line: Segment, is_wall: bool, doubtful: bool, used: bool) -> str:
    if doubtful:
        return ink.line(*line, stroke=ink.COLORS["short"], stroke_width=3.2,
                        stroke_dasharray="11 7", class_="doubtful")  # fmt: skip
    if is_wall:
        return ""
    dashes = None if used else "2 5"
    return ink.line(*line, stroke=ink.GREY, stroke_width=1.1, stroke_dasharray=dashes)


def _lettering(doubtful: Iterable[Read], used: Iterable[Read], size: float) -> list[Lettering]:
    found = [
        Lettering(f"doubtful {tape(r.fact.length)}", size, True, "short", ink.COLORS["short"])
        for r in doubtful
    ]
    lengths = dict.fromkeys(tape(r.fact.length) for r in used)
    return found + ([Lettering(", ".join(lengths), size)] if lengths else [])


def _places(
    line: Segment, is_wall: bool, ring: Outline, frame: Frame, lettering: Lettering,
    ends: tuple[str, str], corners: Sequence[str],
) -> list[Spot]:  # fmt: skip
    if not is_wall:
        (ax, ay), (bx, by) = line
        at = [(ax + t * (bx - ax), ay + t * (by - ay)) for t in ALONG]
        return [Spot(lettering.box(c), (), 2.0 * k) for k, c in enumerate(at)]
    i, j = corners.index(ends[0]), corners.index(ends[1])
    wall = (ring[i], ring[j]) if j == i + 1 else (ring[j], ring[i])
    round_ = 1.0 if shape.signed_area(ring) > 0 else -1.0
    dx, dy = _outward(wall, round_)
    off = [0.5 * abs(dx) * lettering.high + 0.5 * abs(dy) * lettering.high + 12]
    off += [off[0] + lettering.high + 3, -off[0] - 14]
    shifted = [tuple((p[0] + dx * by, p[1] - dy * by) for p in line) for by in off]
    return [
        Spot(spot.box, (), spot.cost + 6.0 * k, spot.turned)
        for k, each in enumerate(shifted)
        for spot in dimension.spots(lettering, [(each[0], each[1])])
    ]


def _text(lettering: Lettering, spot: Spot) -> str:
    fill = lettering.fill or ink.INK
    if not lettering.mark:
        return lettering.draw(spot.box, spot.turned, fill=fill)
    x0, y0, x1, y1 = spot.box
    half = lettering.size / 2
    if spot.turned:
        inner, at = (x0, y0, x1, y1 - 2 * half), ((x0 + x1) / 2, y1 - half)
    else:
        inner, at = (x0 + 2 * half, y0, x1, y1), (x0 + half, (y0 + y1) / 2)
    plate = ink.rect(*spot.box, class_="plate", fill="#fff", stroke=fill, stroke_width=1.2)
    mark = marks.stroke(lettering.mark, *at, 0.72 * lettering.size, stroke=fill)
    return (
        plate
        + lettering.draw(inner, spot.turned, fill=fill).replace(
            'class="plate"', 'class="plate clear" fill-opacity="0"', 1
        )
        + mark
    )


def _middle(line: Segment) -> Point:
    return (line[0][0] + line[1][0]) / 2, (line[0][1] + line[1][1]) / 2


def said(this: RoomSurvey) -> str:
    """The drawing in words, for those who do not see it."""
    told = [f"{this.name}, corners {', '.join(this.corners)}."]
    for each in this.of("wall", "diagonal"):
        doubt = ", doubtful" if each.suspect else ", set aside" if each.fact.aside else ""
        told.append(f"{each.line} {words(each.fact.length)}{doubt}.")
    return " ".join(told)
