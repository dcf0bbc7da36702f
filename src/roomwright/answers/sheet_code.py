"""The short words on a wall sheet, from a hash of what it tells people to build.

Three of 2048 words hold 33 bits: two different contents share a code once in about 8.6 thousand
million. The words are plain English ones of 3 to 8 letters, chosen so that none is another with
one letter changed, added, left out or swapped with its neighbor, and none is a word that a sheet
uses (rooms, verdicts, compass, numbers). The tests hold the list to it.
"""

from __future__ import annotations

import hashlib
from functools import cache
from importlib import resources

COUNT = 3
"""Words in a code."""

BITS = 11
"""Bits that one word holds."""


@cache
def words() -> tuple[str, ...]:
    """The 2048 words, in order."""
    text = resources.files("roomwright.answers").joinpath("code_words.txt").read_text("utf-8")
    found = tuple(text.split())
    if len(found) != 1 << BITS:
        raise ValueError(f"the list of code words has {len(found)} words, not {1 << BITS}")
    return found


def code(content: str) -> str:
    """The code of a sheet's content.

    >>> code("what the sheet tells people to build")
    'rhombus-coyote-bookman'
    """
    digest = int.from_bytes(hashlib.sha256(content.encode("utf-8")).digest())
    first = digest >> (256 - COUNT * BITS)
    mask = (1 << BITS) - 1
    listed = words()
    return "-".join(listed[(first >> (BITS * i)) & mask] for i in reversed(range(COUNT)))


def read(typed: str) -> str | None:
    """A code as somebody typed it off the paper, or None if it cannot be one.

    Case, blanks and dashes do not count, and a slip of one letter in a word is put right where
    only one word of the list can be meant.

    >>> read(" Rhombus coyotte BOOKMAN "), read("heron")
    ('rhombus-coyote-bookman', None)
    """
    parts = typed.lower().replace("-", " ").split()
    if len(parts) != COUNT:
        return None
    found = [_nearest(part) for part in parts]
    return None if None in found else "-".join(filter(None, found))


def _nearest(word: str) -> str | None:
    listed = words()
    if word in listed:
        return word
    near = [each for each in listed if slip(word, each)]
    return near[0] if len(near) == 1 else None


def slip(a: str, b: str) -> bool:
    """Whether two words differ by one letter changed, added, left out, or by two swapped.

    >>> slip("crane", "crate"), slip("lamb", "balm"), slip("trial", "trail")
    (True, False, True)
    """
    if abs(len(a) - len(b)) > 1 or a == b:
        return False
    if len(a) == len(b):
        off = [i for i in range(len(a)) if a[i] != b[i]]
        if len(off) == 1:
            return True
        i, j = off[0], off[-1]
        return len(off) == 2 and j == i + 1 and a[i] == b[j] and a[j] == b[i]
    short, long = sorted((a, b), key=len)
    i = 0
    while i < len(short) and short[i] == long[i]:
        i += 1
    return short[i:] == long[i + 1 :]
