"""A level as it is being drawn: to scale, everything on it a link that can be chosen.

The drawing says in its data how it lies over the house (scale, left, top), so that the page can
turn a touch into inches.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from html import escape

from roomwright.answers.sketch_level import Level, Thing
from roomwright.drawing import ink, slopes
from roomwright.drawing.draft_labels import SMALL, Labels, named
from roomwright.drawing.frame import Frame
from roomwright.shape import Outline

EMPTY = ((0.0, 0.0), (360.0, 240.0))
"""What a level with nothing on it shows [in]."""

WALL = 9.0
"""Weight of a wall on the drawing: its face is its inner edge [units]; only a look."""

TALL, FLAT = 1.2, 0.7
"""A drawing's height at most, as part of its width: on a phone, and on a large screen."""

FEET = (40, 20, 10, 5, 4, 2, 1)


def framed(level: Level, width: float, extra: Outline = ()) -> Frame:
    """Return the frame of a level: all that is on it, with room round it for more."""
    points = [p for thing in level.things for p in (*thing.path, *thing.swing)] + list(extra)
    if level.under is not None and level.under.shows:
        points += level.under.corners
    if not points:
        points = list(EMPTY)
    west, south = min(p[0] for p in points), min(p[1] for p in points)
    east, north = max(p[0] for p in points), max(p[1] for p in points)
    pad = max(24.0, 0.08 * max(east - west, north - south))
    west, south, east, north = west - pad, south - pad, east + pad, north + pad
    high = TALL * width if width < SMALL else FLAT * width
    scale = min(width / (east - west), high / (north - south), 6.0)
    spare = (width / scale - (east - west)) / 2
    return Frame(scale, west - spare, north, width, (north - south) * scale)


def draft(
    level: Level,
    width: float,
    *,
    link: Callable[[str, str], str],
    picture: str = "",
    chosen: tuple[str, str] = ("", ""),
    tried: Outline = (),
    base: str = "draft",
) -> str:
    """Return the drawing of a level.

    Parameters
    ----------
    link
        Gives the address that chooses a thing from its kind and id.
    picture
        The address of the picture under it.
    chosen
        Kind and id of what is chosen.
    tried
        A chain that is being typed [in].
    """
    frame = framed(level, width, tried)
    order = {"room": 0, "fixed": 1, "opening": 2, "window": 3, "piece": 4, "light": 5, "sketch": 6}
    things = sorted(level.things, key=lambda t: order[t.kind])
    parts = [_under(level, frame, picture), f'<g class="grid">{_grid(frame)}</g>']
    bar, taken = _bar(frame)
    put = Labels(things, frame, taken)
    room = next((t for t in things if (t.kind, t.id) == chosen and t.kind == "room"), None)
    walls = put.walls(room) if room is not None else ""
    names = [put.room(t) for t in things if t.kind == "room"]
    called = named(things, put)
    parts += [
        _thing(t, frame, link, (t.kind, t.id) == chosen, called.get((t.kind, t.id), ""))
        for t in things
    ]
    parts.append(slopes.drawn(level.contours, level.rises, frame, 14, 1.0, ink.GREY))
    parts += [walls, *names]
    parts.append(f'<g class="tried" data-tried>{_chain(frame, tried)}</g>')
    parts.append(bar)
    rooms = [t.name for t in things if t.kind == "room"]
    said = f"{len(rooms)} rooms: {', '.join(rooms[:12])}." if rooms else "Nothing is drawn yet."
    return ink.document(
        frame.width, frame.height, parts, title=f"Level {level.id} as drawn", said=said, id=base,
        role="group", data_scale=f"{frame.scale:.6f}", data_left=f"{frame.left:.6f}",
        data_top=f"{frame.top:.6f}", font_family=ink.FACE, font_size=17, color=ink.INK,
        tabindex="-1",
    )  # fmt: skip


def _under(level: Level, frame: Frame, picture: str) -> str:
    it = level.under
    if it is None or not picture:
        return ""
    a, b, c, d, e, f = it.matrix
    k = frame.scale
    x, y = frame.at((e, f))
    matrix = " ".join(f"{v:.8f}" for v in (k * a, -k * b, k * c, -k * d, x, y))
    hidden = ' visibility="hidden"' if not it.shows else ""
    return (
        f'<image href="{escape(picture)}" width="{it.wide}" height="{it.high}" '
        f'transform="matrix({matrix})" opacity="{it.shows / 100:.2f}" '
        f'data-under="{_plain(it.matrix)}"{hidden} aria-label="the scanned plan"/>'
    )


def _plain(values: tuple[float, ...]) -> str:
    return " ".join(f"{v:.9g}" for v in values)


def _grid(frame: Frame) -> str:
    step = 12.0 if frame.scale * 12 >= 14 else 60.0 if frame.scale * 60 >= 14 else 240.0
    lines = []
    east, south = frame.left + frame.width / frame.scale, frame.top - frame.height / frame.scale
    for k in range(math.ceil(frame.left / step), math.floor(east / step) + 1):
        x = (k * step - frame.left) * frame.scale
        lines.append(f"M{ink.n(x)} 0V{ink.n(frame.height)}")
    for k in range(math.ceil(south / step), math.floor(frame.top / step) + 1):
        y = (frame.top - k * step) * frame.scale
        lines.append(f"M0 {ink.n(y)}H{ink.n(frame.width)}")
    return ink.path("".join(lines), stroke=ink.HAIR, stroke_width=0.5, fill="none")


def _thing(
    thing: Thing, frame: Frame, link: Callable[[str, str], str], chosen: bool, label: str
) -> str:  # fmt: skip
    drawn = {
        "room": _room, "fixed": _solid, "piece": _solid, "opening": _opening, "window": _window,
        "light": _light, "sketch": _sketch,
    }[thing.kind](thing, frame)  # fmt: skip
    x, y = thing.at
    ends = ""
    if thing.wall:
        ends = f' data-wall="{_plain((*thing.wall[0], *thing.wall[1]))}"'
        ends += f' data-from="{thing.along:.6f}"'
    name = thing.name if thing.id in thing.name else f"{thing.name} {thing.id}"
    return (
        f'<a href="{escape(link(thing.kind, thing.id))}" class="thing {thing.kind}'
        f'{" held" if chosen else ""}" draggable="false" data-kind="{thing.kind}" '
        f'data-id="{escape(ink.clean(thing.id))}" data-x="{x:.6f}" data-y="{y:.6f}" '
        f'data-room="{escape(ink.clean(thing.room))}"{ends} aria-label="{escape(ink.clean(name))}"'
        f"{' aria-current=' + chr(34) + 'true' + chr(34) if chosen else ''}>{drawn}{label}</a>"
    )


def _room(thing: Thing, frame: Frame) -> str:
    return ink.path(ink.ring(frame.ring(thing.path)), class_="body", fill=ink.WASH,
                    fill_opacity="0.6", stroke=ink.INK, stroke_width=3)  # fmt: skip


def _solid(thing: Thing, frame: Frame) -> str:
    ring = frame.ring(thing.path)
    fill = "#E4EDEE" if thing.kind == "piece" else "#fff"
    return ink.path(ink.ring(ring), class_="body", fill=fill, stroke=ink.INK,
                    stroke_width=1.5 if thing.kind == "piece" else 2)  # fmt: skip


def _opening(thing: Thing, frame: Frame) -> str:
    swing = ""
    if thing.swing:
        swing = ink.path(ink.ring(frame.ring(thing.swing)), fill="none", stroke=ink.GREY,
                         stroke_width=1, stroke_dasharray="4 4")  # fmt: skip
    return swing + _gap(thing, frame, "#fff", 7.0)


def _window(thing: Thing, frame: Frame) -> str:
    a, b = frame.at(thing.path[0]), frame.at(thing.path[1])
    return _gap(thing, frame, "#fff", 7.0) + ink.line(a, b, stroke=ink.ACCENT, stroke_width=2)


def _gap(thing: Thing, frame: Frame, fill: str, weight: float) -> str:
    a, b = frame.at(thing.path[0]), frame.at(thing.path[1])
    touch = ink.line(a, b, stroke="transparent", stroke_width=26)
    edge = ink.line(a, b, class_="body", stroke=ink.INK, stroke_width=weight + 3)
    return touch + edge + ink.line(a, b, stroke=fill, stroke_width=weight)


def _light(thing: Thing, frame: Frame) -> str:
    x, y = frame.at(thing.at)
    cross = ink.path(f"M{ink.n(x - 6)} {ink.n(y)}h12M{ink.n(x)} {ink.n(y - 6)}v12",
                     stroke=ink.INK, stroke_width=1.5)  # fmt: skip
    return ink.circle((x, y), 14, fill="transparent") + ink.circle(
        (x, y), 7, class_="body", fill="#fff", stroke=ink.INK, stroke_width=1.5
    ) + cross  # fmt: skip


def _sketch(thing: Thing, frame: Frame) -> str:
    return _chain(frame, thing.path)


def _chain(frame: Frame, points: Outline) -> str:
    if len(points) < 1:
        return ""
    at = frame.ring(points)
    line = ink.path("M" + "L".join(f"{ink.n(x)} {ink.n(y)}" for x, y in at), class_="body",
                    fill="none", stroke=ink.ACCENT, stroke_width=2.5,
                    stroke_dasharray="8 5")  # fmt: skip
    return line + "".join(ink.circle(p, 4, fill=ink.ACCENT) for p in at)


def _bar(frame: Frame) -> tuple[str, tuple[float, float, float, float]]:
    """The scale bar, and the part of the drawing that it takes."""
    feet = next((f for f in FEET if f * 12 * frame.scale <= frame.width * 0.4), 1)
    long, y = feet * 12 * frame.scale, frame.height - 10
    line = ink.path(f"M8 {ink.n(y - 5)}v5h{ink.n(long)}v-5", fill="none", stroke=ink.INK,
                    stroke_width=1.5)  # fmt: skip
    words = ink.text((8 + long + 8, y), f"{feet} ft", font_size=14, fill=ink.INK)
    return ink.group([line, words], class_="scale-bar"), (8, y - 14, long + 60, y + 4)
