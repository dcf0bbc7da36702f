"""Published figures and common practice, each with its source, as data and a reader.

A house names a *set* ("kitchen and bath guidelines", "HUD 1973", "common practice", "accessible");
what the set leaves out is filled along a declared chain, and every figure says which set it came
from. One figure can be overridden for a house or a room; the override keeps what it replaced.
docs/figures.md lists every figure.
"""

from .book import Book, load
from .chosen import Figures
from .figure import Figure, FiguresError
from .seats import SeatRow, SeatTable

__all__ = ["Book", "Figure", "Figures", "FiguresError", "SeatRow", "SeatTable", "load"]
