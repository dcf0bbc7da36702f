"""What people write into notes, as far as a program may take their word: sizes and damage."""

from __future__ import annotations

import re
from dataclasses import dataclass

from roomwright import lengths

_NUMBER = r"[0-9]{1,3}(?:[ -][0-9]{1,2}/[0-9]{1,2}|\.[0-9]{1,3})?"
_SIZES = re.compile(
    rf"({_NUMBER})\s*(w|wide|d|deep|h|high)?\s*(?:x|by|×)\s*({_NUMBER})\s*(w|wide|d|deep|h|high)?"
    rf"(?:\s*(?:x|by|×)\s*({_NUMBER}))?(\s*ft\b)?",
    re.IGNORECASE,
)
_ONE = re.compile(rf"({_NUMBER})\s*(w|wide|d|deep)\b", re.IGNORECASE)
_DAMAGE = re.compile(
    r"\b(damag\w*|scratch\w*|crack\w*|broke\w*|dent(?:s|ed)?|chip(?:s|ped)?|crush\w*|torn|bent|"
    r"warp(?:ed|s)?|stain(?:s|ed)?|leak\w*|defect\w*|faulty|claim\w*|reject\w*|refus\w*|"
    r"wrong\w*|missing)\b",
    re.IGNORECASE,
)
_DENIED = re.compile(r"\b(?:no|not|without|nothing|never)\s+(?:\w+\s+){0,2}$", re.IGNORECASE)
_SETTLED = re.compile(
    r"\b(?:replaced|repaired|claim (?:settled|closed)|exchanged)\b", re.IGNORECASE
)
_OTHER = re.compile(r"\b(?:substitut\w*|instead of|in place of|equivalent)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Size:
    """A size that a note names [in]; what it does not name is None."""

    width: float | None = None
    depth: float | None = None
    height: float | None = None
    text: str = ""


def segments(note: str) -> list[str]:
    """Return the parts of a note between commas and semicolons.

    >>> segments("media 72 x 18; bookcase 36 x 12 x 78")
    ['media 72 x 18', 'bookcase 36 x 12 x 78']
    """
    return [part.strip() for part in re.split(r"[,;]", note) if part.strip()]


def size_said(text: str, *, door: bool = False) -> Size | None:
    """Return the size in one part of a note, or None; a door's is width and height.

    >>> size_said("sideboard 60 x 18 x 34").depth, size_said("24 x 80 RH", door=True).height
    (18.0, 80.0)
    >>> size_said("30 deep").depth, size_said("9 x 12 ft")
    (30.0, None)
    """
    found = _SIZES.search(text)
    if found:
        if found[6]:
            return None  # a rug in feet: no size of a piece on the plan
        values = [_inches(found[1]), _inches(found[3])]
        marks = [(found[2] or "").lower()[:1], (found[4] or "").lower()[:1]]
        third = _inches(found[5]) if found[5] else None
        shown = found[0].strip()
        if "h" in marks or door:
            high = values[marks.index("h")] if "h" in marks else values[1]
            wide = values[1 - marks.index("h")] if "h" in marks else values[0]
            return Size(wide, None, high, shown)
        if marks[0] == "d" or marks[1] == "w":
            values.reverse()
        return Size(values[0], values[1], third, shown)
    one = _ONE.search(text)
    if one:
        value = _inches(one[1])
        if one[2].lower().startswith("w"):
            return Size(width=value, text=one[0])
        return Size(depth=value, text=one[0])
    if door and (bare := re.match(rf"\s*({_NUMBER})\b", text)):
        return Size(width=_inches(bare[1]), text=bare[1])
    return None


def _inches(text: str) -> float:
    whole, _, part = re.sub(r"-", " ", text).partition(" ")
    return float(lengths.parse(whole)) + (float(lengths.parse(part)) if part else 0.0)


def damage_said(note: str) -> bool:
    """Return whether a note says that something came damaged or is not what was ordered.

    >>> damage_said("apron scratched, claim open"), damage_said("opened, no damage")
    (True, False)
    >>> damage_said("scratched, replaced on Mar 2")
    False
    """
    if _SETTLED.search(note):
        return False
    return any(not _DENIED.search(note[: found.start()]) for found in _DAMAGE.finditer(note))


def substitute_said(note: str) -> bool:
    """Return whether a note says that something else comes in its place.

    >>> substitute_said("nickel substituted for one of three")
    True
    """
    return bool(_OTHER.search(note))


def brief(name: str) -> str:
    """Return the first words of an activity's name, where a sentence has no room for all of it.

    >>> brief("Rough HVAC: ducts, boots"), brief("Baseboard + shoe on hard floors")
    ('Rough HVAC', 'Baseboard + shoe on hard floors')
    """
    return re.split(r"[,:;(]", name, maxsplit=1)[0].strip() or name


def words(text: str) -> set[str]:
    """Return the plain words of a text: lower case, the s of a plural taken off.

    >>> sorted(words("two Nightstands 26 w, dresser"))
    ['dresser', 'nightstand', 'two', 'w']
    """
    found = re.findall(r"[a-z]+(?:-[a-z]+)*", text.lower())
    return {w[:-1] if len(w) > 3 and w.endswith("s") and not w.endswith("ss") else w for w in found}
