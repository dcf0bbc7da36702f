"""Nested values in a form: ``openings.0.wall`` becomes a list of dictionaries.

>>> nested({"width": "162", "openings.0.wall": "B", "openings.2.wall": "C"})
{'width': '162', 'openings': [{'wall': 'B'}, {'wall': 'C'}]}
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from roomwright.web.trouble import RefusedError

MOST_DEEP = 4


def nested(fields: Mapping[str, str]) -> dict[str, Any]:
    """Return dotted names as nested values; numbers number a list, gaps in it close."""
    tree: dict[str, Any] = {}
    for name, value in fields.items():
        *path, last = name.split(".")
        if len(path) >= MOST_DEEP:
            raise RefusedError(f"{name[:60]} is no field of this form.")
        at = tree
        for step in path:
            at = at.setdefault(step, {})
            if not isinstance(at, dict):
                raise RefusedError(f"{name[:60]} is no field of this form.")
        if isinstance(at.get(last), dict):
            raise RefusedError(f"{name[:60]} is no field of this form.")
        at[last] = value
    return {name: _lists(value) for name, value in tree.items()}


def _lists(value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    inner = {name: _lists(each) for name, each in value.items()}
    if inner and all(name.isdecimal() and len(name) < 5 for name in inner):
        return [inner[name] for name in sorted(inner, key=int)]
    return inner
