"""Tape readings to the room as it is: outline, error ellipses, suspects, what to take next."""

from .model import (
    Corner,
    Diagonal,
    Ellipse,
    Observation,
    Survey,
    SurveyError,
    Taken,
    Tape,
)
from .network import Adjusted, adjust
from .room import survey

__all__ = [
    "Adjusted",
    "Corner",
    "Diagonal",
    "Ellipse",
    "Observation",
    "Survey",
    "SurveyError",
    "Taken",
    "Tape",
    "adjust",
    "survey",
]
