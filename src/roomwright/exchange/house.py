"""house.toml: the house itself, and the line on which each of its keys stands."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable
from datetime import date, datetime
from typing import Any

from roomwright.exchange.cells import CellError, near, read, said
from roomwright.exchange.forms import HOUSE
from roomwright.exchange.problems import Problems
from roomwright.exchange.table import key as plain_key
from roomwright.job.entities import House

FILE = HOUSE.file
LARGEST = 256 * 1024
_WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_LONG = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MOST_DAYS_OFF = 2000
MOST_OVERRIDES = 500


def read_house(text: str, problems: Problems) -> tuple[House | None, dict[str, int]]:
    """Return the house, or None after noting what is wrong, and the line of each key."""
    lines = _lines(text)
    raw = _parse(text, problems)
    if raw is None:
        return None, lines
    values: dict[str, Any] = {}
    extra: dict[str, str] = {}
    fine = True
    for spelt, value in raw.items():
        name = plain_key(spelt)
        line = lines.get(spelt, lines.get(name))
        if name not in HOUSE.known:
            if len(spelt) > 80:
                problems.error(FILE, line, "", "a key has over 80 letters", "shorten it")
                fine = False
                continue
            problems.warn(FILE, line, spelt, "unknown key, kept as it is",
                          near(name, HOUSE.known, "nothing reads it"))  # fmt: skip
            extra[spelt] = _plain(value)
            continue
        if name in values:
            problems.error(FILE, line, name, "this key is there twice", "keep one of them")
            fine = False
            continue
        try:
            values[name] = _READ.get(name, _cell)(name, value)
        except CellError as no:
            problems.error(FILE, line, name, str(no), no.do)
            fine = False
    for name, example in (("name", '"Our house"'), ("site_start", "2027-01-18")):
        if name not in {plain_key(spelt) for spelt in raw}:
            problems.error(FILE, None, name, "this key is missing", f"add {name} = {example}")
            fine = False
    if not fine:
        return None, lines
    if len(set(values.get("days_off", ()))) != len(values.get("days_off", ())):
        problems.warn(FILE, lines.get("days_off"), "days_off", "names a day twice", "remove one")
    return House(**values, extra=extra), lines


def _parse(text: str, problems: Problems) -> dict[str, Any] | None:
    if len(text) > LARGEST:
        problems.error(FILE, None, "", "is too long", f"keep it under {LARGEST // 1024} KB")
        return None
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as no:
        what, line, column = str(no), None, ""
        if found := re.search(r"\s*\(at line ([0-9]+), column ([0-9]+)\)$", what):
            what, line, column = what[: found.start()], int(found[1]), f"character {found[2]}"
        elif what.endswith("(at end of document)"):
            what, line = what.removesuffix("(at end of document)").strip(), text.count("\n") + 1
        problems.error(FILE, line, column, f"cannot be read: {what[:1].lower()}{what[1:120]}",
                       'write each line as key = value, with text in "quotes"')  # fmt: skip
    except (RecursionError, ValueError, OverflowError):
        problems.error(FILE, None, "", "holds a value that is nested too deep or too long",
                       "write each line as key = value")  # fmt: skip
    return None


def _lines(text: str) -> dict[str, int]:
    """Return the line of each key; overrides stand under their own names after ``overrides.``."""
    found: dict[str, int] = {}
    table = ""
    for number_, line in enumerate(text.split("\n"), 1):
        if head := re.match(r"\s*\[+\s*([^\]]{1,100})\]", line):
            table = head[1].strip().strip('"') + "."
            found.setdefault(table[:-1], number_)
        elif key := re.match(r"\s*([\w\-.]{1,100}|\"[^\"]{1,100}\"|'[^']{1,100}')\s*=", line):
            found.setdefault(table + key[1].strip("\"'"), number_)
    return found


def _plain(value: Any) -> str:
    if isinstance(value, str):
        return value
    return json.dumps(value, default=str, ensure_ascii=False)


def _text_of(value: Any) -> str:
    """Return a TOML value as the text of a cell."""
    if isinstance(value, (bool, list, dict)):
        raise CellError(f"{said(_plain(value))} is not one value", "write one value")
    if isinstance(value, datetime):
        value = value.date()
    try:
        text = str(value).strip()
    except ValueError:  # more digits than Python turns into text
        raise CellError("has too many digits", "check it") from None
    if not text:
        raise CellError("is empty", "write a value or remove the line")
    return text


def _cell(name: str, value: Any) -> Any:
    return read(HOUSE.column(name), _text_of(value))


def _work_week(name: str, value: Any) -> tuple[str, ...]:
    days = value if isinstance(value, list) else re.split(r"[,;\s]+", _text_of(value))
    found = []
    for one in days:
        word = _text_of(one).lower()
        if word not in (*_WEEK, *_LONG):
            raise CellError(f"{said(word)} is no weekday", near(word, _LONG, "write mon, tue, ..."))
        found.append(word[:3])
    if not found:
        raise CellError("names no day", 'write ["mon", "tue", "wed", "thu", "fri"]')
    return tuple(day for day in _WEEK if day in found)


def _days_off(name: str, value: Any) -> tuple[date, ...]:
    days = value if isinstance(value, list) else [value]
    if len(days) > MOST_DAYS_OFF:
        raise CellError(f"names {len(days)} days", f"keep it under {MOST_DAYS_OFF}")
    return tuple(read(HOUSE.column(name), _text_of(one)) for one in days)


def _overrides(name: str, value: Any) -> dict[str, str]:
    if not isinstance(value, dict):
        raise CellError("is not a table", 'write [overrides] and under it "key" = "value"')
    found: dict[str, str] = {}
    stack: list[tuple[str, Any]] = [("", value)]
    while stack:
        prefix, held = stack.pop()
        for key, one in held.items():
            if isinstance(one, dict):
                stack.append((f"{prefix}{key}.", one))
            else:
                found[f"{prefix}{key}"] = _text_of(one)
        if len(found) + len(stack) > MOST_OVERRIDES:
            raise CellError("names too many figures", f"keep it under {MOST_OVERRIDES}")
    return dict(sorted(found.items()))


def _cost(name: str, value: Any) -> Any:
    return read(HOUSE.column(name), _text_of(value).lstrip("$€£ "))


_READ: dict[str, Callable[[str, Any], Any]] = {
    "work_week": _work_week,
    "days_off": _days_off,
    "overrides": _overrides,
    "cost_per_day": _cost,
}
