"""The walk paths of a house as JSON: documented fields, lengths in inches."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from roomwright.answers.room_json import verdict_said
from roomwright.answers.walk_paths import Pinch, WalkPath, WalkPaths
from roomwright.answers.wire import inches


def as_json(found: WalkPaths, cited: Mapping[str, str] | None = None) -> dict[str, Any]:
    """All walk paths, the habits they follow from, and what has none."""
    return {
        "paths": [_path(each) for each in found.paths],
        "habits": [
            {
                "from_use": habit.from_use,
                "to_use": habit.to_use,
                "standing": habit.standing,
                "why": habit.why or None,
                "said": habit.said,
            }
            for habit in found.habits
        ],
        "without": list(found.without),
        "figures": {
            key: (cited or {}).get(key, "") for key in sorted({p.figure for p in found.paths})
        },
    }


def _path(path: WalkPath) -> dict[str, Any]:
    return {
        "from": path.from_room,
        "to": path.to_room,
        "standing": path.habit.standing if path.habit else "main",
        "rooms": list(path.rooms),
        "openings": list(path.openings),
        "length_in": inches(path.length) if math.isfinite(path.length) else None,
        "tightest": None if path.tightest is None else _pinch(path.tightest),
        "needs_in": inches(path.needs),
        "figure": path.figure,
        **verdict_said(path.verdict),
        "lines": [
            {"level": part.level, "points": [[inches(x), inches(y)] for x, y in part.points]}
            for part in path.stretches
        ],
    }


def _pinch(pinch: Pinch) -> dict[str, Any]:
    return {
        "width_in": inches(pinch.width),
        "between": list(pinch.between),
        "room": pinch.room,
        "at": None if pinch.at is None else [[inches(x), inches(y)] for x, y in pinch.at],
    }
