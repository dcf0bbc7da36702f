"""The marks an SVG is made of, as strings. Numbers are short, text is escaped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from roomwright.shape import Point

INK = "#15212B"
HAIR = "#C9D1D4"
WASH = "#F3F6F5"
ACCENT = "#0B5563"
GREY = "#5A6A72"
COLORS = {"blocked": "#B3400E", "short": "#B3400E", "tight": "#8A5A00", "measure": "#8A5A00"}
FACE = "Overpass, sans-serif"


def n(value: float) -> str:
    """A coordinate to a hundredth, with no zeros behind it.

    >>> n(3.0), n(-0.001), n(2.506)
    ('3', '0', '2.51')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def attrs(values: dict[str, object]) -> str:
    """Attributes in the order given; None leaves one out, `_` stands for a dash."""
    return "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in values.items()
        if value is not None
    )


def _value(value: object) -> str:
    return n(value) if isinstance(value, float) else escape(clean(str(value)))


def clean(text: str) -> str:
    """The text without the characters that no XML document may hold.

    >>> clean("a" + chr(0) + "b")
    'ab'
    """
    if text.isprintable():
        return text
    return "".join(
        c
        for c in text
        if c in "\t\n\r" or "\x20" <= c <= "\ud7ff" or "\ue000" <= c <= "\ufffd" or c > "\uffff"
    )


def group(content: Iterable[str], **values: object) -> str:
    """A group, or nothing if it would be empty."""
    inside = "".join(content)
    return f"<g{attrs(values)}>{inside}</g>" if inside else ""


def path(d: str, **values: object) -> str:
    """A path."""
    return f'<path d="{d}"{attrs(values)}/>'


def line(a: Point, b: Point, **values: object) -> str:
    """A straight line."""
    return path(f"M{n(a[0])} {n(a[1])}L{n(b[0])} {n(b[1])}", **values)


def ring(points: Sequence[Point]) -> str:
    """Path data of a closed ring."""
    return "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points) + "Z"


def rect(x0: float, y0: float, x1: float, y1: float, **values: object) -> str:
    """A rectangle from corner to corner."""
    return (
        f'<rect x="{n(x0)}" y="{n(y0)}" width="{n(x1 - x0)}" height="{n(y1 - y0)}"{attrs(values)}/>'
    )


def circle(c: Point, r: float, **values: object) -> str:
    """A circle."""
    return f'<circle cx="{n(c[0])}" cy="{n(c[1])}" r="{n(r)}"{attrs(values)}/>'


def text(at: Point, words: str, **values: object) -> str:
    """A line of text, its baseline at `at`."""
    return (
        f'<text x="{n(at[0])}" y="{n(at[1])}"{attrs(values)}>{escape(clean(words), False)}</text>'
    )


def turned(at: Point, words: str, **values: object) -> str:
    """A line of text that reads from the right: its baseline runs up the page."""
    return (
        f'<text transform="translate({n(at[0])} {n(at[1])}) rotate(-90)"{attrs(values)}>'
        f"{escape(clean(words), False)}</text>"
    )


def hatch(id: str, gap: float, stroke: str, width: float, *, down: bool = False) -> str:
    """A pattern of slanted lines, `gap` apart."""
    return (
        f'<pattern id="{escape(id)}" width="{n(gap)}" height="{n(gap)}" '
        f'patternUnits="userSpaceOnUse" patternTransform="rotate({-45 if down else 45})">'
        f'<path d="M{n(gap / 2)} 0V{n(gap)}" stroke="{stroke}" stroke-width="{n(width)}"/>'
        "</pattern>"
    )


def document(
    width: float, height: float, content: Iterable[str], *, title: str, said: str, **values: object
) -> str:
    """The whole SVG, with its title and what it shows in words for a screen reader."""
    base = str(values.get("id", "drawing"))
    role = values.pop("role", "img")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {n(width)} {n(height)}" '
        f'width="{n(width)}" height="{n(height)}" role="{role}" '
        f'aria-labelledby="{escape(base)}-title" aria-describedby="{escape(base)}-said"'
        f"{attrs(values)}>"
        f'<title id="{escape(base)}-title">{escape(clean(title), False)}</title>'
        f'<desc id="{escape(base)}-said">{escape(clean(said), False)}</desc>'
        f"{''.join(content)}</svg>"
    )
