"""What is refused before a room is computed: readings that are none, or that cannot close."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
import shapely

from roomwright.lengths import inches

from .model import Array, Observation, SurveyError

MOST_CORNERS = 120
MOST_READINGS = 5_000
NO_WALL = 1 / 16  # [in]
LONGEST = 1e5  # [in] a mile and a half: beyond it a reading is a slip


def corners_of(corners: Sequence[str]) -> tuple[str, ...]:
    """The corners of a room in order, or SurveyError."""
    names = tuple(corners)
    if len(names) < 3:
        raise SurveyError(f"A room has three corners or more; this one has {len(names)}.")
    if len(names) > MOST_CORNERS:
        raise SurveyError(
            f"{len(names)} corners are too many for one room (the limit is {MOST_CORNERS}): "
            "split it where it narrows."
        )
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        raise SurveyError(f"Corner {', '.join(twice)} is named twice: give each its own letter.")
    return names


def plan_of(names: Sequence[str], plan: Array) -> None:
    """Refuse a plan on which no room stands: corners on each other, walls that cross."""
    apart = np.hypot(*(np.roll(plan, -1, axis=0) - plan).T)
    if float(apart.min()) < NO_WALL:
        k = int(apart.argmin())
        raise SurveyError(
            f"On the plan corners {names[k]} and {names[(k + 1) % len(names)]} lie on each other: "
            "take one out."
        )
    if not shapely.Polygon(plan).is_valid:
        raise SurveyError("The plan's walls cross each other: mend its outline first.")


def readings_of(names: Sequence[str], observations: Sequence[Observation]) -> None:
    """Refuse a reading that is none: no such corner, no length, an id used twice."""
    if len(observations) > MOST_READINGS:
        raise SurveyError(
            f"{len(observations)} readings are too many for one room: at most {MOST_READINGS}."
        )
    known, seen = set(names), set()
    for o in observations:
        for end in (o.from_, o.to):
            if end not in known:
                raise SurveyError(
                    f"Reading {o.id} names corner {end}, but the room has {', '.join(names)}."
                )
        if o.from_ == o.to:
            raise SurveyError(f"Reading {o.id} runs from {o.from_} to itself: give two corners.")
        if not math.isfinite(o.length) or not 0 < o.length <= LONGEST:
            raise SurveyError(
                f"Reading {o.id} ({o.line()}) is {_said(o.length)}: a length is more than 0 "
                "and less than a mile. Take it again or delete it."
            )
        if o.sigma is not None and not (math.isfinite(o.sigma) and o.sigma > 0):
            raise SurveyError(f"Reading {o.id} ({o.line()}) needs a sigma of more than 0.")
        if o.id in seen:
            raise SurveyError(f"Two readings are called {o.id}: give each its own id.")
        seen.add(o.id)


def _said(length: float) -> str:
    return inches(length) if math.isfinite(length) and abs(length) < LONGEST else f"{length}"


def by_wall(
    names: Sequence[str], observations: Sequence[Observation]
) -> Mapping[frozenset[str], list[float]]:
    """Readings in use of each pair of corners [in]."""
    found: dict[frozenset[str], list[float]] = {}
    for o in observations:
        if not o.set_aside:
            found.setdefault(frozenset((o.from_, o.to)), []).append(o.length)
    return found


def closes(names: Sequence[str], observations: Sequence[Observation]) -> None:
    """Refuse walls that cannot meet: one longer than all the others together."""
    taken = by_wall(names, observations)
    pairs = [(a, b) for a, b in zip(names, [*names[1:], names[0]], strict=True)]
    walls = [taken.get(frozenset(pair)) for pair in pairs]
    if any(not wall for wall in walls):
        return  # a wall that was not taped may be as long as it takes
    shortest = [min(wall) for wall in walls if wall]
    longest = [max(wall) for wall in walls if wall]
    for k, pair in enumerate(pairs):
        others = sum(longest) - longest[k]
        if shortest[k] >= others:
            raise SurveyError(
                f"The walls cannot close: {pair[0]}-{pair[1]} is {inches(shortest[k])} and all the "
                f"others together only {inches(others)}. Take {pair[0]}-{pair[1]} again, and look "
                "for feet typed as inches in the others."
            )
