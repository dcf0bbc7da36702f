"""The starter's own tables, pruned to what the answers ask for."""

from __future__ import annotations

import csv
from collections.abc import Collection
from functools import lru_cache
from importlib.resources import files
from io import StringIO

Row = dict[str, str]


def rows(name: str, flags: Collection[str]) -> list[Row]:
    """Return the rows of a table whose `only` names no flag that is missing."""
    return [row for row in _table(name) if set(row.get("only", "").split()) <= set(flags)]


@lru_cache
def _table(name: str) -> tuple[Row, ...]:
    text = files(__package__).joinpath("data", f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(StringIO(text)))
