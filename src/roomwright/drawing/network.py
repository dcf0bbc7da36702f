"""The network drawn: time from left to right by early start, in lanes by trade or by room.

A bar runs from the early start of an activity to its early finish, on working days of the house;
a milestone is a diamond. What is critical is hatched in a heavy frame and says so, what is nearly
so has a dashed frame and its days to spare; what is done has a tick. Lines show what waits for
what: those that set an early start are always there, the rest when asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from roomwright.days import show_date, show_days
from roomwright.drawing import ink, typeface
from roomwright.drawing.lanes import PALE, tick
from roomwright.drawing.network_key import legend
from roomwright.drawing.options import Drawing
from roomwright.drawing.places import Rect

Weight = Literal["critical", "near", ""]
LEAD = 0.7
"""How far a link runs out of a bar before it turns, as a part of the text size."""


@dataclass(frozen=True, slots=True)
class Bar:
    """An activity on the drawing; `start` and `finish` are working-day numbers [days].

    `weight` says whether it is critical or near-critical, `state` is done, started or to do.
    """

    id: str
    name: str
    lane: str
    start: float
    finish: float
    weight: Weight = ""
    spare: float = 0.0
    state: str = "to do"
    said: str = ""
    """What a reader who does not see it is told beside the label."""

    @property
    def label(self) -> str:
        """What stands beside the bar."""
        if self.state == "done":
            return self.name
        if self.weight == "critical":
            return f"{self.name}, critical"
        if self.weight == "near":
            return f"{self.name}, {show_days(self.spare)} to spare"
        return self.name


@dataclass(frozen=True, slots=True)
class Line:
    """A link on the drawing: the ends it joins, and whether it sets the early start."""

    id: str
    before: str
    after: str
    from_start: bool = False
    into_start: bool = True
    driving: bool = False
    critical: bool = False


@dataclass(frozen=True, slots=True)
class Look:
    """How the network is drawn: units a working day, size of text, picked activity, paper."""

    day: float = 18.0
    text: float = 17.0
    pick: str = ""
    paper: bool = False
    base: str = "network"
    widest: float = 30_000.0
    """The drawing is squeezed to be no wider than this [units]."""


@dataclass(slots=True)
class _Board:
    look: Look
    first: float
    scale: float
    at: dict[str, tuple[float, float, float]]
    boxes: list[tuple[str, Rect]]

    def x(self, number: float) -> float:
        return self.look.text + (number - self.first) * self.scale

    def color(self, on_screen: str = ink.INK) -> str:
        return "#000" if self.look.paper else on_screen


def network_picture(
    bars: Sequence[Bar],
    lines: Iterable[Line] = (),
    *,
    weeks: Sequence[tuple[float, date]] = (),
    now: float | None = None,
    look: Look | None = None,
    link: Callable[[str], str] | None = None,
) -> Drawing:
    """Draw the network; lanes stand in the order in which they first appear among the bars.

    Parameters
    ----------
    weeks : sequence of (float, date)
        the working-day number [days] and the date of each Monday to draw
    now : float, optional
        the working-day number of the as-of date
    link : callable, optional
        the address behind an activity, from its id

    Raises
    ------
    ValueError
        if there is no bar

    Examples
    --------
    >>> bars = [Bar("A", "Prime", "painter", 0, 2), Bar("B", "Sand", "floor", 2, 3)]
    >>> made = network_picture(bars, [Line("A > B", "A", "B", driving=True)])
    >>> made.svg.count('data-activity="'), made.svg.count('data-link="')
    (2, 1)
    """
    if not bars:
        raise ValueError("there is nothing to draw: no activity is shown")
    look = look or Look()
    first, last = min(b.start for b in bars), max(b.finish for b in bars)
    scale = min(look.day, look.widest / max(1.0, last - first))
    board = _Board(look, first, scale, {}, [])
    top, drawn, width = 2.0 * look.text, [], 20 * look.text
    heads: list[tuple[str, float]] = []
    for lane, held in _lanes(bars).items():
        heads.append((lane, top))
        placed, high, wide = _lane(board, held, top + 1.7 * look.text, link)
        drawn += placed
        width = max(width, wide)
        top += 1.7 * look.text + high + 0.5 * look.text
    every = [_line(board, one) for one in lines if one.before in board.at and one.after in board.at]
    key, bottom, right = legend(top + look.text, look.text, look.base, board.color)
    width = max(width, right)
    hair, thin = board.color(ink.HAIR), 0.06 * look.text
    rules = [ink.line((0, y), (width, y), stroke=hair, stroke_width=thin) for _, y in heads]
    titles = [_head(board, lane, y) for lane, y in heads]
    axis, dated = _axis(board, weeks, now, (width, top))
    body = [
        _defs(board), axis, *rules, ink.group(every, class_="ties", fill="none"),
        ink.group(drawn, class_="bars"), key, ink.group(titles, class_="heads"), dated,
    ]  # fmt: skip
    height = bottom + 0.5 * look.text
    svg = ink.document(
        width, height,
        [
            ink.rect(0, 0, width, height, class_="paper", fill="#fff"),
            ink.group(body, font_family=ink.FACE, font_size=look.text, fill=board.color(),
                      color=board.color()),
        ],
        title="The network of work", said=f"{len(bars)} activities, earliest first in each lane; "
        "the list beside the drawing says the same in words",
        role="group" if link else "img", id=look.base, class_="network",
    )  # fmt: skip
    return Drawing(svg, width, height, scale, 0.0, 0.0, tuple(board.boxes))


def _lanes(bars: Sequence[Bar]) -> Mapping[str, list[Bar]]:
    found: dict[str, list[Bar]] = {}
    for bar in bars:
        found.setdefault(bar.lane, []).append(bar)
    return found


def _lane(
    board: _Board, bars: Sequence[Bar], top: float, link: Callable[[str], str] | None
) -> tuple[list[str], float, float]:
    """Place the bars of a lane in as few rows as their labels allow; give its height and width."""
    size = board.look.text
    ends: list[float] = []
    drawn: list[str] = []
    for bar in sorted(bars, key=lambda b: (b.start, b.finish, b.id)):
        left, right = board.x(bar.start), board.x(bar.finish)
        after = max(right, left + 0.5 * size) + 0.5 * size
        wide = after + typeface.width(bar.label, size, bar.weight == "critical")
        from_ = left - (0.5 * size if bar.finish == bar.start else 0.0)
        row = next((i for i, end in enumerate(ends) if end + size <= from_), len(ends))
        if row == len(ends):
            ends.append(0.0)
        ends[row] = wide
        mid = top + (row + 0.5) * 1.75 * size
        board.at[bar.id] = (left, right, mid)
        board.boxes.append((bar.label, (after, mid - 0.5 * size, wide, mid + 0.45 * size)))
        drawn.append(_bar(board, bar, mid, after, link))
    return drawn, len(ends) * 1.75 * size, max(ends, default=0.0) + size


def _bar(
    board: _Board, bar: Bar, mid: float, after: float, link: Callable[[str], str] | None
) -> str:
    size, look = board.look.text, board.look
    left, right, _ = board.at[bar.id]
    critical, near = bar.weight == "critical", bar.weight == "near"
    stroke = board.color(ink.ACCENT if bar.id == look.pick else ink.INK)
    fill = f"url(#{look.base}-critical)" if critical and bar.state != "done" else "#fff"
    if bar.state == "done":
        fill = "#fff" if look.paper else PALE
    values = {
        "fill": fill, "stroke": stroke, "class_": "body",
        "stroke_width": (0.15 if critical or bar.id == look.pick else 0.07) * size,
        "stroke_dasharray": f"{ink.n(0.3 * size)} {ink.n(0.2 * size)}" if near else None,
    }  # fmt: skip
    half = 0.42 * size
    if bar.finish <= bar.start:
        ring = [(left - half, mid), (left, mid - half), (left + half, mid), (left, mid + half)]
        body = ink.path(ink.ring(ring), **values)
    else:
        body = ink.rect(left, mid - half, max(right, left + 0.3 * size), mid + half, **values)
        if bar.state == "started":
            middle = (left + right) / 2
            body += ink.rect(left, mid - 0.12 * size, middle, mid + 0.12 * size, fill=stroke)
    if bar.state == "done":
        body += tick((left + max(right, left + 0.3 * size)) / 2, mid, 0.8 * size, stroke)
    words = ink.text(  # its own white edge keeps it readable where links pass behind it
        (after, mid + 0.32 * size), bar.label, font_weight="700" if critical else None,
        fill=board.color(ink.GREY) if bar.state == "done" else None, stroke="#fff",
        stroke_width=0.28 * size, paint_order="stroke", stroke_linejoin="round",
    )  # fmt: skip
    # a finger needs more than the bar: the whole row from bar to label takes the tap
    wide = typeface.width(bar.label, size, critical)
    hit = ink.rect(left - half, mid - 0.85 * size, after + wide, mid + 0.85 * size,
                   fill="none", class_="hit", pointer_events="all")  # fmt: skip
    inside = f"{hit}{body}{words}"
    chosen = "true" if bar.id == look.pick else None
    if link is None:
        return ink.group([inside], data_activity=bar.id, class_=f"bar {bar.weight}".rstrip())
    told = ", ".join(filter(None, (bar.label, bar.said)))
    where = ink.attrs({
        "href": link(bar.id), "aria_label": told, "data_activity": bar.id,
        "class_": f"bar {bar.weight}".rstrip(), "tabindex": "-1", "aria_current": chosen,
    })  # fmt: skip
    return f"<a{where}>{inside}</a>"


def _line(board: _Board, one: Line) -> str:
    """A link: out of one end, down or up, into the other, with an open head."""
    size, look = board.look.text, board.look
    (left, right, y1), (left2, right2, y2) = board.at[one.before], board.at[one.after]
    x1, out = (left, -1.0) if one.from_start else (right, 1.0)
    x2, into = (left2, 1.0) if one.into_start else (right2, -1.0)
    reach = LEAD * size
    a, b = x1 + out * reach * 0.5, x2 - into * reach
    d = f"M{ink.n(x1)} {ink.n(y1)}H{ink.n(a)}"
    if (b - a) * into < 0:
        between = y2 + (-0.87 if y2 > y1 else 0.87) * size
        d += f"V{ink.n(between)}H{ink.n(b)}"
    d += f"V{ink.n(y2)}H{ink.n(x2)}"
    head = 0.25 * size
    d += (
        f"M{ink.n(x2 - into * head * 1.3)} {ink.n(y2 - head)}L{ink.n(x2)} {ink.n(y2)}"
        f"L{ink.n(x2 - into * head * 1.3)} {ink.n(y2 + head)}"
    )
    picked = look.pick in (one.before, one.after) and bool(look.pick)
    heavy = one.critical or picked
    kinds = ["tie", "driving" if one.driving else "other", "critical" if one.critical else "",
             "picked" if picked else ""]  # fmt: skip
    return ink.path(
        d, class_=" ".join(filter(None, kinds)), data_link=one.id, data_before=one.before,
        data_after=one.after, stroke=board.color(ink.ACCENT if picked else ink.INK),
        stroke_width=(0.13 if heavy else 0.05) * size,
    )  # fmt: skip


def _head(board: _Board, lane: str, top: float) -> str:
    size = board.look.text
    wide = typeface.width(lane, size, bold=True)
    box = (0.3 * size, top + 0.5 * size, 0.3 * size + wide, top + 1.4 * size)
    board.boxes.append((lane, box))
    return ink.text(
        (0.3 * size, top + 1.25 * size), lane, font_weight="700", class_="lane", stroke="#fff",
        stroke_width=0.28 * size, paint_order="stroke", stroke_linejoin="round",
    )  # fmt: skip


def _defs(board: _Board) -> str:
    size = board.look.text
    return (
        "<defs>"
        + ink.hatch(f"{board.look.base}-critical", 0.36 * size, board.color(), 0.09 * size)
        + "</defs>"
    )


def _axis(
    board: _Board, weeks: Sequence[tuple[float, date]], now: float | None, end: tuple[float, float]
) -> tuple[str, str]:
    """A line each Monday, as many of them dated as there is room for, and today."""
    size = board.look.text
    top, said = 1.5 * size, -1e9
    width, bottom = end
    drawn: list[str] = []
    dated: list[str] = []
    soft = board.color(ink.HAIR)
    for number, day in weeks:
        x = board.x(number)
        if x < 0:
            continue
        weight = (0.09 if day.day <= 7 else 0.045) * size
        drawn.append(ink.line((x, top), (x, bottom), stroke=soft, stroke_width=weight))
        words = show_date(day)
        wide = typeface.width(words, size)
        if x - wide / 2 > said and x - wide / 2 >= 0:
            dated.append(ink.text((x, 1.1 * size), words, text_anchor="middle",
                                  fill=board.color(ink.GREY)))  # fmt: skip
            said = x + wide / 2 + size
    if now is not None and board.x(now) >= 0:
        x = board.x(now)
        drawn.append(
            ink.line((x, top - 0.3 * size), (x, bottom), class_="now",
                     stroke=board.color(ink.ACCENT), stroke_width=0.12 * size,
                     stroke_dasharray=f"{ink.n(0.4 * size)} {ink.n(0.3 * size)}")
        )  # fmt: skip
    plate = ink.rect(0, 0, width, top, fill="#fff", class_="plate")
    # the dates stand last, so that they can follow a drawing that is scrolled
    return ink.group(drawn, class_="axis"), ink.group([plate, *dated], class_="dates")
