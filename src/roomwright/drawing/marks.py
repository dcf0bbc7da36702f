"""The mark that goes with each verdict's word, so that a state never rests on color alone.

Every mark is drawn in a square of side 1 with its middle at 0, 0, and differs from the others in
outline, not only inside: it reads in a photocopy and from a ladder.
"""

from __future__ import annotations

from roomwright.drawing import ink

STROKES = {
    "fits": "M-.4 .02L-.12 .32L.42 -.34",
    "meets": "M-.4 -.06L-.14 .2L.36 -.38M-.4 .42H.4",
    "tight": "M-.3 -.4V.4M.3 -.4V.4M-.08 0H.08",
    "measure": "M-.42 .2V-.2M.42 .2V-.2M-.42 0H.42M-.14 .12V-.12M.14 .12V-.12",
    "short": "M-.42 0H-.1M-.1 -.22L.1 .22M.1 0H.42",
    "blocked": "M-.36 -.36L.36 .36M-.36 .36L.36 -.36",
}
"""A tick; a tick on a line; two posts that nearly touch; a rule; a broken line; a cross."""


def stroke(word: str, x: float, y: float, size: float, **values: object) -> str:
    """The mark of a verdict as part of a drawing, its middle at x, y."""
    if word not in STROKES:
        return ""
    return ink.path(
        STROKES[word],
        transform=f"translate({ink.n(x)} {ink.n(y)}) scale({ink.n(size)})",
        fill="none",
        stroke_width=0.16,
        class_=f"mark {word}",
        **values,
    )


def mark(word: str) -> str:
    """The mark as an SVG of its own, as large as the text it stands in and of its color.

    It is hidden from screen readers: the word beside it says the same.

    >>> mark("fits").startswith('<svg class="mark fits"')
    True
    """
    if word not in STROKES:
        return ""
    return (
        f'<svg class="mark {word}" xmlns="http://www.w3.org/2000/svg" width="0.8em" height="0.8em" '
        'viewBox="-.5 -.5 1 1" aria-hidden="true" focusable="false">'
        f'<path d="{STROKES[word]}" fill="none" stroke="currentColor" stroke-width=".16"/></svg>'
    )
