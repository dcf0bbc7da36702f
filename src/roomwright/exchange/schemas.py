"""JSON schemas of the files of a house folder, made from the same columns that are read.

A table's schema describes its rows as objects of text, which is what a CSV file holds; the kind of
each value is told by `format` and in words. `docs/schemas/` holds them as written files.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from roomwright import lengths
from roomwright.exchange.columns import Column, Form
from roomwright.exchange.forms import FORMS, HOUSE

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_KIND = {
    "length": 'a length in any notation of the tape; a plain number is inches',
    "number": "a plain number, 7.5 or 7 1/2",
    "count": "a whole number",
    "date": "a date, year-month-day",
    "point": "a point, x y",
    "outline": "corners, x y, x y, ...",
    "hinge": "a point, x y; or a hand, left or right",
    "ids": "ids with blanks between, or all",
    "uses": "side and use, north walk past, east rise",
    "words": "words with ; between",
    "id": "an id",
}  # fmt: skip

_SHORT = {
    "count": "whole number",
    "point": "x y",
    "outline": "x y, x y, ...",
    "hinge": "x y, or a hand",
    "ids": "ids, or all",
    "uses": "side and use",
    "words": "words; words",
}


def schema(form: Form) -> dict[str, Any]:
    """Return the JSON schema of one file."""
    if form is HOUSE:
        return _frame(form, _HOUSE_TYPES, needed=["name", "site_start"])
    row = _frame(form, {}, needed=sorted(form.needed))
    head = {k: row.pop(k) for k in ("$schema", "$id", "title", "description")}
    return {**head, "type": "array", "items": row}


def _frame(form: Form, types: dict[str, dict[str, Any]], needed: list[str]) -> dict[str, Any]:
    return {
        "$schema": DIALECT,
        "$id": f"{form.file}.schema.json",
        "title": form.file,
        "description": form.says,
        "type": "object",
        "properties": {c.name: {**_value(c), **types.get(c.name, {})} for c in form.columns},
        "required": needed,
        "additionalProperties": True,
    }


_HOUSE_TYPES: dict[str, dict[str, Any]] = {
    "work_week": {"type": "array", "items": {"type": "string"}, "minItems": 1},
    "days_off": {"type": "array", "items": {"type": "string", "format": "date"}},
    "cost_per_day": {"type": ["number", "string"]},
    "inspect_days": {"type": "integer", "minimum": 0, "maximum": 60},
    "tape_sigma": {"type": ["number", "string"]},
    "overrides": {"type": "object", "additionalProperties": {"type": ["number", "string"]}},
}


def _value(column: Column) -> dict[str, Any]:
    says = column.says
    if column.kind in _KIND and column.kind not in ("id", "choice"):
        says += f" ({_KIND[column.kind]}{_bounds(column)})"
    found: dict[str, Any] = {"description": says, "type": "string"}
    if column.kind == "date":
        found["format"] = "date"
    if column.choices:
        found["enum"] = list(column.choices) if column.needed else ["", *column.choices]
    found["maxLength"] = column.longest
    if column.needed:
        found["minLength"] = 1
    return found


def _bounds(column: Column) -> str:
    def shown(value: Any) -> str:
        return lengths.inches(value) if column.kind == "length" else str(value)

    said = ""
    if column.over is not None:
        said += f", over {shown(column.over)}"
    if column.least is not None:
        said += f", at least {shown(column.least)}"
    if column.most is not None:
        said += f", at most {shown(column.most)}"
    return said + (", whole or half" if column.halves else "")


def schemas() -> dict[str, str]:
    """Return the schema of every file as text, by the name it has in docs/schemas."""
    return {
        f"{form.file}.schema.json": json.dumps(schema(form), indent=2, ensure_ascii=False) + "\n"
        for form in FORMS
    }


def table(form: Form) -> str:
    """Return the table of a file's columns as it stands in docs/house-folder.md.

    >>> from roomwright.exchange.forms import FLOORS
    >>> print(table(FLOORS).splitlines()[2])
    | `floor` * | id | the finish, as rooms.csv names it |
    """
    head = "key" if form is HOUSE else "column"
    rows = [f"| {head} | what stands in it | meaning |", "|---|---|---|"]
    for c in form.columns:
        needed = " *" if c.needed or (form is HOUSE and c.name in ("name", "site_start")) else ""
        also = f" (also `{'`, `'.join(c.also)}`)" if c.also else ""
        kind = ", ".join(c.choices) if c.choices else _SHORT.get(c.kind, c.kind)
        over = ", over 0" if c.over == 0 else ""
        rows.append(f"| `{c.name}`{needed}{also} | {kind}{over} | {c.says} |")
    return "\n".join(rows) + "\n"


def write_schemas(folder: Path) -> None:
    """Write the schemas into docs/schemas; a test holds them equal to the columns that are read."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in schemas().items():
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write_schemas(Path("docs/schemas"))
