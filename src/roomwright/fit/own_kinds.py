"""Kinds of one's own: data a builder writes in `kinds.csv`, made into kinds of the engine.

A kind says what it is *like*, and the room that its sides need: "36 open the drawers". What it does
not say it takes from the kind that it is like. Its figures are its own, each under a key of its
own (``own.pottery wheel.front``), so that an answer shows them with their source.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from roomwright.fit.kinds import SHAPES, Kind, KindError, Need, kind_of
from roomwright.lengths import LengthError, inches, parse

SOURCE = "your own, kinds.csv"
MOST = 240.0
"""Nothing needs more room before it than this [in]; a larger number is a slip of the pen."""

_SAID = re.compile(r"\s*(?P<length>[\d'\"’”′″½¼¾⅛⅜⅝⅞ ./-]*\d[\d'\"’”′″½¼¾⅛⅜⅝⅞ ./-]*"
                   r"(?:\s*(?:ft|in|cm|mm|m)\b\.?)?)(?!\w)\s*(?P<use>.*)")  # fmt: skip


@dataclass(frozen=True, slots=True)
class OwnKind:
    """A kind of one's own with its figures [in] and, for each, what to print beside it."""

    kind: Kind
    figures: Mapping[str, float] = field(default_factory=dict)
    source: Mapping[str, str] = field(default_factory=dict)
    also: tuple[str, ...] = ()


def own_kind(
    name: str,
    like: str = "",
    also: str = "",
    front: str = "",
    back: str = "",
    left: str = "",
    right: str = "",
    around: str = "",
    note: str = "",
) -> OwnKind:
    """A kind as a row of `kinds.csv` tells it.

    Parameters
    ----------
    name, like, also
        Its name, the known kind that it is like ("" for none), its other names with commas.
    front, back, left, right, around
        The room that a side needs and what for: ``36 open the drawers``; `around` for all four.
    note
        Where the figures come from.

    Raises
    ------
    KindError
        Where it has no name, is like nothing known, or a side has no length that makes sense.

    Examples
    --------
    >>> wheel = own_kind("Pottery wheel", front="30 sit and throw", around="18 clean")
    >>> [(need.sides, need.use, wheel.figures[need.figure]) for need in wheel.kind.needs]
    [(('front',), 'sit and throw', 30.0), (('back', 'left', 'right'), 'clean', 18.0)]
    """
    plain = " ".join(name.lower().split())
    if not plain:
        raise KindError("a kind of your own has no name")
    base = Kind(plain, own=True)
    if like.strip():
        found = kind_of(like)
        if not found.known:
            raise KindError(f"the kind {plain!r} is like {like!r}, which is not known here")
        base = replace(found, name=plain, own=True, like=" ".join(like.lower().split()))
    said = {"front": front, "back": back, "left": left, "right": right}
    told: list[tuple[tuple[str, ...], str, str]]
    told = [((side,), text, side) for side, text in said.items() if text.strip()]
    if around.strip():
        rest = tuple(side for side, text in said.items() if not text.strip())
        told.append((rest, around, "around"))
    figures: dict[str, float] = {}
    source: dict[str, str] = {}
    needs: list[Need] = []
    for sides, text, word in told:
        value, use = _read(plain, word, text)
        key = f"own.{plain}.{word}"
        figures[key] = value
        where = f"{SOURCE}{': ' + note if note.strip() else ''}"
        source[key] = f"{inches(value)} for a {plain}, {word} ({use}): {where}"
        if sides:
            ignore = frozenset(
                kind for need in base.needs if set(need.sides) & set(sides) for kind in need.ignore
            )
            needs.append(Need(sides=sides, figure=key, use=use, purpose=f"to {use}", ignore=ignore))
    mine = {side for need in needs for side in need.sides}
    kept = tuple(
        replace(need, sides=left_over)
        for need in base.needs
        if (left_over := tuple(side for side in need.sides if side not in mine))
    )
    others = tuple(" ".join(each.lower().split()) for each in also.split(",") if each.strip())
    return OwnKind(replace(base, needs=(*needs, *kept)), figures, source, others)


def _read(kind: str, side: str, text: str) -> tuple[float, str]:
    """The length and the use in "36 open the drawers"."""
    match = _SAID.fullmatch(text)
    if match is None:
        raise KindError(
            f"the kind {kind!r}, {side}: begin with a length, as in 36 open the drawers, "
            f"not {text.strip()[:40]!r}"
        )
    try:
        value = float(parse(match["length"].strip()))
    except LengthError as error:
        raise KindError(f"the kind {kind!r}, {side}: {error}") from error
    if not 0 < value <= MOST:
        raise KindError(f"the kind {kind!r}, {side}: give more than 0 and at most {MOST:g} in.")
    return value, " ".join(match["use"].split()).removeprefix("to ") or "use it"


def kind_among(name: str, own: Mapping[str, Kind]) -> Kind | None:
    """The kind of one's own that a name means, by the longest name that it begins with.

    >>> wheel = own_kind("pottery wheel", front="30 sit and throw").kind
    >>> kind_among("Pottery wheel, left-handed", {"pottery wheel": wheel}) is wheel
    True
    >>> kind_among("potting bench", {"pottery wheel": wheel}) is None
    True
    """
    words = name.split(",")[0].lower().split()
    for start in (0, 1) if words and words[0] in SHAPES else (0,):
        for count in range(len(words), start, -1):
            found = own.get(" ".join(words[start:count]))
            if found is not None:
                return found
    return None
