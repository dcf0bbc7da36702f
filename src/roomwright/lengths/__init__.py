"""Lengths as people write them, held exactly, printed as a tape reads.

Every length that a person types or reads passes through this package. Inside, a length is a
`fractions.Fraction` of inches. Text that can be read two ways is refused, with both readings shown.
docs/lengths.md describes the notation; `web/static/tape.js` is the twin for the page, held equal by
`tests/vectors/lengths.json`.
"""

from .errors import LengthError
from .grammar import pair, parse
from .printing import area, exact, inches, tape, words

__all__ = ["LengthError", "area", "exact", "inches", "pair", "parse", "tape", "words"]
