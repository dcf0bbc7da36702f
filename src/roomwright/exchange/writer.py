"""Facts as the files of a house folder; reading them again gives the same facts."""

from __future__ import annotations

import csv
import io
import json
import os
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

from roomwright import lengths
from roomwright.exchange import pictures
from roomwright.exchange.cells import ids as split_ids
from roomwright.exchange.columns import Column, Form
from roomwright.exchange.forms import FORMS, HOUSE, TABLES
from roomwright.exchange.problems import FolderError, Problem
from roomwright.job.entities import Fact, House, Opening, Slope, Window
from roomwright.job.facts import Facts


def to_files(facts: Facts) -> dict[str, str]:
    """Return the house folder as file name -> text; kinds that are not there have no file.

    >>> from datetime import date
    >>> files = to_files(Facts([House(name="Ours", site_start=date(2027, 1, 18))]))
    >>> print(files["house.toml"].splitlines()[0])
    name = "Ours"
    """
    files: dict[str, str] = {}
    house = facts.find(House, "house")
    if house is not None:
        files[HOUSE.file] = _house(house)
    for form in TABLES:
        held = facts.all(form.kind)
        if held or form.required:
            files[form.file] = _table(form, held)
    return files


def write_folder(
    facts: Facts,
    path: str | Path,
    *,
    replace: bool = False,
    plans: Mapping[str, bytes] | None = None,
) -> tuple[str, ...]:
    """Write the house folder; return the names of its files.

    `plans` are the pictures of scanned plans by sha256, as the store keeps them.

    Each file is written beside its place and then moved there, so that none is ever half written.

    Raises
    ------
    FolderError
        if files of a house stand there already and `replace` is not set, or they cannot be written
    """
    folder = Path(path)
    files = to_files(facts)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        there = sorted(form.file for form in FORMS if (folder / form.file).exists())
        if there and not replace:
            wrong = f"there is a house in it already ({', '.join(there[:3])})"
            do = "name a new folder, or say that this one is to be replaced"
            raise FolderError([Problem("error", str(folder), None, "", wrong, do)])
        for name, text in files.items():
            beside = folder / f".{name}.new"
            beside.write_text(text, encoding="utf-8", newline="\n")
            os.replace(beside, folder / name)  # noqa: PTH105 - the one call that is atomic
        for name in there:
            if name not in files:
                (folder / name).unlink()
        drawn = pictures.write(folder, facts, plans or {})
    except OSError as no:
        wrong = f"cannot be written ({no.strerror or no})"
        raise FolderError(
            [Problem("error", str(folder), None, "", wrong, "choose another folder")]
        ) from no
    return (*files, *drawn)


# ------------------------------------------------------------------------------------------- tables


def _table(form: Form, facts: Iterable[Fact]) -> str:
    rows = [_row(form, fact) for fact in facts]
    if form.file == "readings.csv":
        _drop_made_ids(rows)
    extra = sorted({name for _, more in rows for name in more})
    used = {name for cells, _ in rows for name, text in cells.items() if text}
    columns = [c.name for c in form.columns if not c.ours or c.name in used]
    columns = [name for name in columns if name not in _GIVEN_OTHERWISE[form.file]]
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([*columns, *extra])
    for cells, more in rows:
        writer.writerow([*(cells.get(n, "") for n in columns), *(more.get(n, "") for n in extra)])
    return out.getvalue()


_GIVEN_OTHERWISE: dict[str, set[str]] = {form.file: set() for form in TABLES} | {
    "rooms.csv": {"width", "depth", "beside"},
    "openings.csv": {"wall", "from_corner"},
}
"""Columns that only a person uses: what they say is a fact in another form."""


def _row(form: Form, fact: Fact) -> tuple[dict[str, str], dict[str, str]]:
    cells = {c.name: _cell(c, getattr(fact, c.fills)) for c in form.columns if c.fills}
    if isinstance(fact, Opening | Window | Slope):
        ends = (*fact.a, *fact.b)
        cells |= {n: lengths.exact(v) for n, v in zip(("ax", "ay", "bx", "by"), ends, strict=True)}
    return cells, {name: _safe(text) for name, text in fact.extra.items()}


def _drop_made_ids(rows: list[tuple[dict[str, str], dict[str, str]]]) -> None:
    """Leave out the ids of readings that their rows are given anyway, in this order."""
    seen: Counter[str] = Counter()
    for cells, _ in rows:
        stem = f"{cells['room']}/{cells['from']}-{cells['to']}"
        if cells["reading"] == f"{stem}/{seen[stem] + 1}":
            seen[stem] += 1
            cells["reading"] = ""


def _cell(column: Column, value: Any) -> str:
    if value is None or value == "" or value == () or value == {}:
        return ""
    match column.kind:
        case "length":
            return _length(value)
        case "number" | "count":
            return plain_number(Fraction(value))
        case "date":
            return str(value.isoformat())
        case "outline":
            return ", ".join(_point(p) for p in value)
        case "point" | "hinge":
            return _point(value)
        case "ids":
            return _ids(value)
        case "words":
            return _safe("; ".join(value))
        case "uses":
            return ", ".join(f"{side} {use}" for side, use in sorted(value.items()))
        case _:
            return _safe(str(value))


def _length(value: Fraction) -> str:
    """Return a length that no spreadsheet takes for a date: 3/4 is written 0 3/4."""
    text = lengths.exact(value)
    if not re.fullmatch(r"[0-9]{1,2}/[0-9]{1,2}", text):
        return text
    whole, part = divmod(value, 1)
    return f"{whole} {part}"


def _point(point: tuple[Fraction, Fraction]) -> str:
    """Return x and y; with a minus in it, as decimals: -3 1/2 -4 could be read two ways."""
    if min(point) >= 0:
        return " ".join(lengths.exact(v) for v in point)
    return " ".join(plain_number(v) for v in point)


def _ids(value: tuple[str, ...]) -> str:
    text = " ".join(value)
    return text if split_ids(text) == value else ", ".join(value) + "," * (len(value) == 1)


def plain_number(value: Fraction) -> str:
    """Return a number as a spreadsheet reads it, exactly.

    >>> plain_number(Fraction(15, 2)), plain_number(Fraction(1, 3))
    ('7.5', '1/3')
    """
    if value.denominator == 1:
        return str(value.numerator)
    under = value.denominator
    for prime in (2, 5):
        while under % prime == 0:
            under //= prime
    text = f"{float(value):.9f}".rstrip("0")
    return text if under == 1 and Fraction(text) == value else str(value)


def _safe(text: str) -> str:
    """Return text that no spreadsheet takes for a formula, and no reader for a comment."""
    risky = text[:1] in "=@#" or (text[:1] in "+-" and not re.fullmatch(r"[+-][0-9 ()./-]*", text))
    escaped = text[:1] == "'" and text[1:2] in tuple("=+-@#'")
    return f"'{text}" if text and (risky or escaped) else text


# -------------------------------------------------------------------------------------------- house


def _house(house: House) -> str:
    """Return house.toml."""
    lines = [
        f"name = {_toml(house.name)}",
        f"site_start = {house.site_start.isoformat()}",
        f"work_week = [{', '.join(map(_toml, house.work_week))}]",
    ]
    if house.days_off:
        lines.append(f"days_off = [{', '.join(d.isoformat() for d in house.days_off)}]")
    if house.written_as_of is not None:
        lines.append(f"written_as_of = {house.written_as_of.isoformat()}")
    if house.cost_per_day is not None:
        lines.append(f"cost_per_day = {_toml(plain_number(house.cost_per_day))}")
    lines += [
        f"inspect_days = {house.inspect_days}",
        f"tape_sigma = {_toml(lengths.exact(house.tape_sigma))}",
        f"figures = {_toml(house.figures)}",
        *(f"{_toml(key)} = {_toml(value)}" for key, value in sorted(house.extra.items())),
    ]
    if house.overrides:
        lines += ["", "[overrides]"]
        lines += [f"{_toml(k)} = {_toml(v)}" for k, v in sorted(house.overrides.items())]
    return "\n".join(lines) + "\n"


def _toml(text: str) -> str:
    """Return a basic string of TOML: JSON's is one, once a delete character is escaped too."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
