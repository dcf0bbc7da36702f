"""A storey of the house: every room a place to go in by, with its worst verdict on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape

import shapely

from roomwright import shape
from roomwright.answers.plan_model import Storey, StoreyRoom
from roomwright.drawing import furniture, ink, labels, structure
from roomwright.drawing.dimension import Lettering
from roomwright.drawing.frame import Frame, Margins, bounds, framed
from roomwright.drawing.options import NARROW, Drawing, PlanOptions
from roomwright.drawing.places import Board, Spot
from roomwright.shape import Point

MILD = ("", "fits", "meets")
"""Verdicts that a storey does not speak of."""


def house_plan(
    storey: Storey,
    options: PlanOptions | None = None,
    *,
    link: Callable[[str], str] | None = None,
) -> Drawing:
    """Draw a storey.

    `link` gives the address of a room's page from its id; without it the rooms are not links.
    A room that is blocked is hatched. A name that does not go into its room stands beside the
    house with a line to the room; on a narrow drawing the room shows its number.

    Raises
    ------
    ValueError
        If no room has an outline.
    """
    options = options or PlanOptions()
    drawing = _drawn(storey, options, link)
    if drawing.unplaced:
        aside = _aside(storey, options, drawing.unplaced)
        return _drawn(storey, options, link, aside, numbers=True)
    return drawing


def _aside(storey: Storey, options: PlanOptions, unplaced: Sequence[str]) -> tuple[float, float]:
    """White to leave left and right of the house for the names that need a leader."""
    west, _, east, _ = bounds([room.outline for room in storey.rooms])
    left = right = 0.0
    for room in storey.rooms:
        if room.name in unplaced:
            wide = labels.size_of(_ways(room, options)[-1])[0] + options.text
            xs = [p[0] for p in room.outline]
            if min(xs) - west < east - max(xs):
                left = max(left, wide)
            else:
                right = max(right, wide)
    most = options.width * 0.3
    return min(left, most), min(right, most)


def _drawn(
    storey: Storey,
    options: PlanOptions,
    link: Callable[[str], str] | None,
    aside: tuple[float, float] = (0.0, 0.0),
    *,
    numbers: bool = False,
) -> Drawing:
    rings = [room.outline for room in storey.rooms]
    edge = 0.3 * options.text
    margins = Margins(edge + aside[0], edge, edge + aside[1], edge, 0.15 * options.text)
    leaves = [(leaf.pivot, leaf.shut, leaf.open) for o in storey.openings for leaf in o.leaves]
    box = bounds([*rings, *(solid[0] for solid in storey.walls)])
    frame = framed(box, bounds([*rings, *leaves]), margins, options)
    solids = [[frame.ring(ring) for ring in solid] for solid in storey.walls]
    walls = shapely.MultiPolygon([shapely.Polygon(r[0], r[1:]) for r in solids])
    board = Board(frame.width, frame.height, walls)
    for opening in storey.openings:
        for leaf in opening.leaves:
            board.add_ink((frame.segment((leaf.pivot, leaf.open)),), 0.6)
    for outline in (*(p.outline for p in storey.pieces), *(t.outline for t in storey.things)):
        board.add_ink(map(frame.segment, shape.walls(outline)), 0.4)
    house = shapely.union_all([shapely.Polygon(frame.ring(ring)) for ring in rings])
    rooms: list[str] = []
    unplaced: list[str] = []
    for room in sorted(storey.rooms, key=lambda each: shapely.Polygon(each.outline).area):
        text = _named(room, board, frame, options, house, numbers=numbers)
        if not text:
            unplaced.append(room.name)
        rooms.append(_room(room, frame, text, link))
    return _finished(storey, options, frame, board, rooms, unplaced)


def _state(room: StoreyRoom, size: float, paper: bool) -> tuple[Lettering, ...]:
    if room.word in MILD:
        return ()
    fill = "" if paper else ink.COLORS.get(room.word, "")
    return (Lettering(room.state or room.word, size, False, room.word, fill),)


def _ways(room: StoreyRoom, options: PlanOptions) -> list[labels.Block]:
    """Ways to write a room's label, the fullest first."""
    size = options.text
    state = _state(room, size, options.paper)
    found: list[labels.Block] = []
    for count in (1, 2, 3):
        name = tuple(Lettering(each, size, True) for each in labels.broken(room.name, count))
        if (*name, *state) not in found:
            found.append((*name, *state))
    return [*found, *_numbered(room, options)] if options.width < NARROW else found


def _numbered(room: StoreyRoom, options: PlanOptions) -> list[labels.Block]:
    """Short ways to write a room's label, down to its number alone, the fullest first."""
    size = options.text
    number = Lettering(room.id, size, True)
    state = _state(room, size, options.paper)
    if not state:
        return [(number,)]
    named, marked = (
        Lettering(text, size, True, state[0].mark, state[0].fill) for text in (room.name, room.id)
    )
    return [(named,), (number, *state), (marked,), (number,)]


def _named(
    room: StoreyRoom,
    board: Board,
    frame: Frame,
    options: PlanOptions,
    house: shapely.Geometry,
    *,
    numbers: bool,
) -> str:
    """The room's label where it goes: in the room, else beside the house with a line to it.

    With `numbers`, where neither goes its number stands in the room.
    """
    ways = _ways(room, options)
    ring = frame.ring(room.outline)
    floor = shapely.Polygon(ring)

    def inside(ways: list[labels.Block]) -> Spot | None:
        spots = [s for s in labels.inside(ring, ways) if floor.contains(shapely.box(*s.box))]
        return board.place(room.id, spots)

    spot = inside(ways)
    lines = ways[spot.variant] if spot else ways[min(1, len(ways) - 1)]
    if spot is None:
        middle = floor.representative_point()
        at: Point = (middle.x, middle.y)
        spot = board.lead(room.id, at, labels.size_of(lines), avoid=house)
    if spot is None and numbers:
        ways = _numbered(room, options)
        spot = inside(ways)
        lines = ways[spot.variant] if spot else lines
    if spot is None:
        return ""
    fill = "#000" if options.paper else ink.INK
    thin = 0.6 if options.paper else 1.0
    return labels.draw(lines, spot, fill=fill, plate="#fff", weight=thin, values={"class": "name"})


def _room(room: StoreyRoom, frame: Frame, text: str, link: Callable[[str], str] | None) -> str:
    """What is tapped: the whole floor and the label, wherever it stands.

    Its link is named by a title, not over the head of its own words: a label that differs from
    the words on the screen leaves people who speak to their device without a name to say.
    """
    hit = ink.path(
        ink.ring(frame.ring(room.outline)),
        class_="hit",
        fill="none",
        stroke="none",
        pointer_events="all",
    )
    said = f"{room.name}: {room.said}" if room.said else room.name
    classes = f"room {room.word}".rstrip()
    if link is None:
        return ink.group([hit, text], class_=classes, data_room=room.id)
    values: dict[str, object] = {
        "href": link(room.id),
        "class": classes,
        "data_room": room.id,
    }
    return f"<a{ink.attrs(values)}><title>{escape(said)}</title>{hit}{text}</a>"


def _finished(
    storey: Storey,
    options: PlanOptions,
    frame: Frame,
    board: Board,
    rooms: Sequence[str],
    unplaced: Sequence[str],
) -> Drawing:
    base, paper = options.base, options.paper
    dark = "#000" if paper else ink.INK
    soft = "#000" if paper else "#8C9AA1"
    bad = "#000" if paper else ink.COLORS["blocked"]
    thin = 0.5 if paper else 0.9
    defs = (
        "<defs>"
        + ink.hatch(f"{base}-fixed", 6.0, soft, thin * 0.5)
        + ink.hatch(f"{base}-bad", 7.0, bad, thin * 1.1, down=True)
        + "</defs>"
    )
    floors = [
        ink.path(
            ink.ring(frame.ring(room.outline)),
            class_=f"floor {room.word}".rstrip(),
            fill=f"url(#{base}-bad)" if room.word == "blocked" else "#fff",
        )
        for room in storey.rooms
    ]
    things = [structure.thing(t, frame, soft, thin * 0.6, f"{base}-fixed") for t in storey.things]
    pieces = [_outline(p.outline, frame, p.id) for p in storey.pieces]
    inner = "".join(
        furniture.run(furniture.placed(p, each, frame))
        for p in storey.pieces
        for each in furniture.inner(p.kind, p.width, p.depth)
    )
    soft_pieces = ink.group(
        [*pieces, ink.path(inner, fill="none", stroke_width=thin * 0.5) if inner else ""],
        class_="pieces",
        stroke=soft,
        stroke_width=thin * 0.8,
    )
    dashes = f"{ink.n(4 * thin)} {ink.n(3 * thin)}"
    touching = [
        ink.line(*frame.segment(s), stroke=soft, stroke_width=thin, stroke_dasharray=dashes)
        for s in storey.lines
    ]
    body = ink.group(
        [
            defs,
            *floors,
            *things,
            soft_pieces,
            *touching,
            structure.walls(storey.walls, frame, dark),
            *(structure.window(w, frame, dark, thin * 0.8) for w in storey.windows),
            *(structure.opening(o, frame, dark, thin * 0.8) for o in storey.openings),
            *rooms,
        ],
        font_family=ink.FACE,
        color=dark,
    )
    white = ink.rect(0, 0, frame.width, board.height, class_="paper", fill="#fff")
    linked = any(each.startswith("<a") for each in rooms)
    svg = ink.document(
        frame.width,
        board.height,
        [white, body],
        title=storey.name,
        said=storey.said or storey.name,
        role="group" if linked else "img",
        id=base,
        class_="plan storey on-paper" if paper else "plan storey",
        data_level=storey.id,
        data_scale=repr(frame.scale),
        data_left=repr(frame.left),
        data_top=repr(frame.top),
    )
    return Drawing(
        svg,
        frame.width,
        board.height,
        frame.scale,
        frame.left,
        frame.top,
        tuple(board.boxes),
        tuple(unplaced),
    )


def _outline(outline: Sequence[Point], frame: Frame, id: str) -> str:
    return ink.path(ink.ring(frame.ring(outline)), fill="#fff", data_piece=id)
