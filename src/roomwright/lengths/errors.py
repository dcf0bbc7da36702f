"""What is said when a length cannot be read."""

from __future__ import annotations

from typing import NoReturn

MAX_TEXT = 200  # characters: longer than any length, short enough to be harmless
EXAMPLE = """15'-3 1/2", 183 1/2 or 4.66 m"""


class LengthError(ValueError):
    """A length that cannot be read; the message says what to type instead.

    `readings` holds the ways the text could be meant, ready to type, when it is ambiguous.
    """

    def __init__(self, message: str, readings: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.readings = readings


def unreadable(text: str, what: str) -> NoReturn:
    """Refuse a word or a sign that no length has."""
    said = text.strip()
    if what in ("x", "\u00d7", "*", "by", ";", ","):
        raise LengthError(f"“{said}” looks like more than one length: give one length here.")
    if what == "e":
        raise LengthError(f"“{said}” has an exponent: write the number out, like {EXAMPLE}.")
    raise LengthError(f"“{what}” in “{said}” is not part of a length: type it like {EXAMPLE}.")


def ambiguous(said: str, readings: tuple[str, ...], shown: str) -> NoReturn:
    """Refuse a text that can be read two ways, and show both."""
    raise LengthError(
        f"“{said.strip()}” can be read two ways: {shown}. Type the one you mean.", readings
    )
