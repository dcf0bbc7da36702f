"""The plan of one room: structure, pieces, walk paths, dimensions and names."""

from __future__ import annotations

import shapely

from roomwright.answers.plan_model import Dim, Plan
from roomwright.drawing import bar, ground, ink, slopes, texts
from roomwright.drawing.frame import Frame, Margins, bounds, framed
from roomwright.drawing.options import Drawing, PlanOptions
from roomwright.drawing.places import Board
from roomwright.drawing.work import Work, away, compass, out_of
from roomwright.shape import Outline

URGENCY = ("blocked", "short", "tight", "measure", "meets", "fits", "")
"""Dimensions are placed in this order: what matters most has the best place."""


def room_plan(plan: Plan, options: PlanOptions | None = None) -> Drawing:
    """Draw a room.

    Raises
    ------
    ValueError
        If the room has no outline.
    """
    options = options or PlanOptions()
    frame = _frame(plan, options)
    work = Work(plan, options, frame, Board(frame.width, frame.height, _solid(plan, frame)))
    under = ground.draw(work)
    strip = ""
    if options.bar:
        top = frame.height - bar.high(options.text)
        pad = 0.5 * options.text
        strip = bar.draw(work.board, frame.scale, options.text, top, pad, frame.width - pad)
    ground.ink_of(work)
    slopes.ink_of(work)
    dims = sorted((d for d in plan.dims if d.kind in options.dims), key=_urgency)
    outside = [d for d in dims if d.kind in ("wall", "opening")]
    within = [d for d in dims if d.kind not in ("wall", "opening")]
    texts.opening_names(work)
    for dim in outside:
        texts.outside_dim(work, dim)
    for dim in within:
        texts.inside_dim(work, dim)
    if options.furniture_names:
        texts.piece_names(work)
        texts.thing_names(work)
    slopes.names(work)
    if options.letters:
        texts.letters(work)
    return _finished(work, under, strip)


def size_of(plan: Plan, options: PlanOptions) -> tuple[float, float]:
    """Width and height that a room's plan would have, without drawing it [units]."""
    frame = _frame(plan, options)
    return frame.width, frame.height


def _frame(plan: Plan, options: PlanOptions) -> Frame:
    box = bounds([plan.outline, *_outer(plan)])
    reach = bounds([plan.outline, *_swings(plan)])
    return framed(box, reach, _margins(plan, options), options)


def _outer(plan: Plan) -> list[Outline]:
    return [rings[0] for rings in plan.walls]


def _swings(plan: Plan) -> list[Outline]:
    """Where leaves reach, those that swing away from this room too."""
    return [(leaf.pivot, leaf.shut, leaf.open) for o in plan.openings for leaf in o.leaves]


def _urgency(dim: Dim) -> tuple[int, int]:
    kinds = ("way", "clear", "center", "box", "wall", "opening")
    return URGENCY.index(dim.word), kinds.index(dim.kind)


def _margins(plan: Plan, options: PlanOptions) -> Margins:
    row = 1.75 * options.text
    rows = dict.fromkeys(("left", "top", "right", "bottom"), 0.5 * options.text)
    named = {compass(away(each)) for each in plan.openings}
    for side in rows:
        rows[side] += row * (side in named)
    for kind in ("opening", "wall"):
        if kind in options.dims:
            mine = [(d.p, d.q) for d in plan.dims if d.kind == kind]
            for side in {compass(out_of(each)) for each in mine}:
                rows[side] += row
    strip = bar.high(options.text) if options.bar else 0.0
    rows["bottom"] += strip
    return Margins(**rows, edge=0.4 * options.text, strip=strip)


def _solid(plan: Plan, frame: Frame) -> shapely.Geometry | None:
    solids = [
        shapely.Polygon(frame.ring(rings[0]), [frame.ring(hole) for hole in rings[1:]])
        for rings in plan.walls
    ]
    return shapely.MultiPolygon(solids) if solids else None


def _finished(work: Work, under: str, strip: str) -> Drawing:
    plan, options, frame = work.plan, work.options, work.frame
    base = options.base
    unit = options.text / 17
    gap = 5.5 if options.paper else 7.0
    shade = "#000" if options.paper else ink.GREY
    bad = "#000" if options.paper else ink.COLORS["short"]
    thin = 0.35 if options.paper else 0.7
    defs = (
        "<defs>"
        + ink.hatch(f"{base}-fixed", gap * (1 if options.paper else unit * 1.1), shade, thin * 0.8)
        + ink.hatch(f"{base}-bad", gap * 0.9, bad, thin * 1.6, down=True)
        + "</defs>"
    )
    body = ink.group(
        [defs, under, *work.lines, *work.texts, strip],
        font_family=ink.FACE,
        color=work.color(),
        stroke_linejoin="miter",
    )
    white = ink.rect(0, 0, frame.width, work.board.height, class_="paper", fill="#fff")
    svg = ink.document(
        frame.width,
        work.board.height,
        [white, body],
        title=f"Plan of {plan.name}",
        said=plan.said or plan.name,
        role="group" if options.interactive else "img",
        id=base,
        class_="plan on-paper" if options.paper else "plan",
        data_room=plan.id,
        data_scale=repr(frame.scale),
        data_left=repr(frame.left),
        data_top=repr(frame.top),
    )
    return Drawing(
        svg,
        frame.width,
        work.board.height,
        frame.scale,
        frame.left,
        frame.top,
        tuple(work.board.boxes),
        tuple(work.unplaced),
    )
