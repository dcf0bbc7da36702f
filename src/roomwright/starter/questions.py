"""The ten questions of Start a house, and what an answer may be."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from difflib import get_close_matches
from typing import Literal


class StarterError(ValueError):
    """An answer that does not answer its question; `problems` holds (question, what to do)."""

    def __init__(self, problems: Mapping[str, str]) -> None:
        super().__init__(" ".join(problems.values()))
        self.problems = dict(problems)


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its id, its words, its kind ("choice" or "date"), and its usual answer."""

    id: str
    text: str
    kind: Literal["choice", "date"]
    choices: tuple[str, ...]
    default: str


FLOORS = ("wood plank", "vinyl plank", "tile", "carpet")
BUYS = (
    "builder buys all",
    "owner buys appliances",
    "owner buys appliances, lights and fixtures",
)
QUESTIONS: tuple[Question, ...] = (
    Question("floors", "How many floors?", "choice", ("1", "2"), "2"),
    Question("bedrooms", "How many bedrooms?", "choice", ("2", "3", "4"), "3"),
    Question("full_baths", "How many baths with a tub or shower?", "choice", ("1", "2", "3"), "2"),
    Question("half_baths", "How many half baths (toilet and sink)?", "choice", ("0", "1"), "1"),
    Question("fuel", "Gas or all electric?", "choice", ("gas", "electric"), "electric"),
    Question(
        "living_floor",
        "Which floor in living rooms and halls? (With carpet, the kitchen takes the baths' floor.)",
        "choice",
        FLOORS,
        "wood plank",
    ),
    Question("bedroom_floor", "Which floor in bedrooms?", "choice", FLOORS, "carpet"),
    Question(
        "bath_floor", "Which floor in baths and laundry?", "choice", ("tile", "vinyl plank"), "tile"
    ),
    Question(
        "board_date",
        "On which day do the drywall boards start? (a date, past or to come, or: in 16 weeks)",
        "date",
        (),
        "in 16 weeks",
    ),
    Question(
        "buys", "Who buys what? (Furniture is the owner's.)", "choice", BUYS, "builder buys all"
    ),
)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
LONGEST = 80  # characters of one answer


@dataclass(frozen=True, slots=True)
class Answers:
    """Answers that were read: each a choice, the board date a date."""

    name: str
    floors: int
    bedrooms: int
    full_baths: int
    half_baths: int
    fuel: str
    living_floor: str
    bedroom_floor: str
    bath_floor: str
    board_date: date
    buys: str


def settle(answers: Mapping[str, str], today: date) -> Answers:
    """Read answers; one left out or empty has the usual answer. `name` may name the house.

    Raises
    ------
    StarterError
        with every answer that cannot be read at once.

    >>> settle({"floors": "1", "board_date": "2027-03-01"}, date(2027, 1, 1)).bedrooms
    3
    """
    problems: dict[str, str] = {}
    known = {q.id for q in QUESTIONS} | {"name"}
    for key in answers:
        if key not in known:
            near = get_close_matches(str(key), sorted(known), n=1)
            hint = f"did you mean {near[0]}?" if near else f"there are: {', '.join(sorted(known))}."
            problems[str(key)] = f"There is no question “{str(key)[:LONGEST]}”: {hint}"
    read: dict[str, str | int | date] = {"name": _name(str(answers.get("name", "")))}
    for question in QUESTIONS:
        said = " ".join(str(answers.get(question.id, "")).split())
        try:
            value = _read(question, said or question.default, today)
        except ValueError as no:
            problems[question.id] = str(no)
            continue
        is_count = question.kind == "choice" and question.choices[0].isdigit()
        read[question.id] = int(str(value)) if is_count else value
    if problems:
        raise StarterError(problems)
    return Answers(**read)  # type: ignore[arg-type]  # each was read by its question


def _name(said: str) -> str:
    plain = " ".join("".join(c if c.isprintable() else " " for c in said).split())
    return plain[:LONGEST] or "Our house"


def _read(question: Question, said: str, today: date) -> str | date:
    if len(said) > LONGEST:
        raise ValueError(f"{question.id}: the answer is too long.")
    if question.kind == "date":
        return _day(question, said, today)
    for choice in question.choices:
        if said.casefold() == choice.casefold():
            return choice
    raise ValueError(f"{question.id}: “{said}” is not one of {'; '.join(question.choices)}.")


def _day(question: Question, said: str, today: date) -> date:
    plain = said.lower().replace(",", " ")
    wrong = f"{question.id}: “{said}” is no date; write 2027-03-01, Mar 1 2027 or in 16 weeks."
    try:
        if found := re.fullmatch(r"in ([0-9]{1,3}) weeks?", plain):
            return _working(today + timedelta(weeks=int(found[1])))
        if found := re.fullmatch(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})", plain):
            day = date(int(found[1]), int(found[2]), int(found[3]))
        elif found := re.fullmatch(r"([a-z]{3,9})\.? +([0-9]{1,2}) +([0-9]{4})", plain):
            day = date(int(found[3]), _MONTHS.index(found[1][:3]) + 1, int(found[2]))
        elif found := re.fullmatch(r"([0-9]{1,2})/([0-9]{1,2})/([0-9]{4})", plain):
            day = date(int(found[3]), int(found[1]), int(found[2]))
        else:
            raise ValueError(wrong)
    except (ValueError, OverflowError):
        raise ValueError(wrong) from None
    if abs(day.year - today.year) > 5:
        raise ValueError(f"{question.id}: {day.isoformat()} is years away; check the year.")
    return day


def _working(day: date) -> date:
    return day + timedelta(days=(7 - day.weekday()) % 7 if day.weekday() > 4 else 0)
