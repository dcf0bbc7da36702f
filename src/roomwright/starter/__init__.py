"""Ten plain questions make a house to begin with: rooms, parts, and the work with its days.

`build` turns answers into the files of a house folder, as text. Everything in them is a starting
point: sizes, days and leads are common practice and guesses, marked as such, to be replaced by what
the tape, the cut sheets and the vendors say. docs/starter.md describes the questions.
"""

from .build import build
from .questions import QUESTIONS, Question, StarterError, settle

__all__ = ["QUESTIONS", "Question", "StarterError", "build", "settle"]
