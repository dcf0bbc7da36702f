"""The trades that a piece of work, or a line of parts, names: read in one way everywhere.

Several stand with a stroke, a comma, a semicolon, & or "and" between, and all of them come.
Capitals make no other trade: Tile and tile are one crew with one phone.
"""

from __future__ import annotations

import re
from collections.abc import Container

_BETWEEN = re.compile(r"[/,;&]|\sand\s", re.IGNORECASE)


def key_of(trade: str) -> str:
    """Return by what a trade is known: small letters, one space between words.

    >>> key_of("  Finish   Carpenter")
    'finish carpenter'
    """
    return " ".join(trade.split()).casefold()


def named(text: str, known: Container[str] = ()) -> dict[str, str]:
    """Return the trades that a text names, each once: its key, and how it is written there.

    A text whose key is in `known` is one trade, whatever stands in it.

    >>> named("Tile & plumber; HVAC and tile")
    {'tile': 'Tile', 'plumber': 'plumber', 'hvac': 'HVAC'}
    >>> named("Heating and air", {"heating and air"})
    {'heating and air': 'Heating and air'}
    """
    if key_of(text) in known:
        return {key_of(text): " ".join(text.split())}
    found: dict[str, str] = {}
    for part in _BETWEEN.split(text):
        if key := key_of(part):
            found.setdefault(key, " ".join(part.split()))
    return found


def trades_of(text: str, known: Container[str] = ()) -> tuple[str, ...]:
    """Return the keys of the trades that a text names, as `named`.

    >>> trades_of("Tile / plumber"), trades_of("")
    (('tile', 'plumber'), ())
    """
    return tuple(named(text, known))
