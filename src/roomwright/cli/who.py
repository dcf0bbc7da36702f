"""Who is where on the command line: the work of a day or more, with phone numbers."""

from __future__ import annotations

from typing import Any

from roomwright.answers import Answers
from roomwright.answers.who import Here, WhoAnswer, who
from roomwright.cli.subject import Subject
from roomwright.days import show_date
from roomwright.job.entities import Room

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def _ask(answers: Answers, on: str, room: str, days: int) -> tuple[WhoAnswer, str]:
    from datetime import date

    if room:
        answers.facts.get(Room, room)
    first = date.fromisoformat(on) if on else answers.as_of
    return answers.ask(who, first, days), room


def _json(_: Answers, found: tuple[WhoAnswer, str]) -> dict[str, Any]:
    return found[0].as_json(found[1])


def _text(answers: Answers, found: tuple[WhoAnswer, str]) -> None:
    answer, room = found
    names = dict(answer.names)
    for day in answer.days:
        off = "" if day.works else ", a day off"
        where = f", {names[room]} {room}" if room else ""
        print(f"{WEEKDAYS[day.on.weekday()]} {show_date(day.on)}, {day.on.year}{off}{where}")
        here = day.within(room) if room else day.here
        for one in here:
            print(f"  {_line(one, names, room)}")
        if not here:
            print("  nobody")


def _line(one: Here, names: dict[str, str], room: str) -> str:
    """One activity: what, where if no room was asked for, until when, and whom to call."""
    rooms = "" if room else ", ".join(f"{names.get(r, r)} {r}" for r in one.rooms)
    if "all" in one.rooms:
        rooms = "whole house"
    people = "; ".join(f"{name or trade} {phone}".strip() for trade, name, phone in one.people)
    parts = [
        f"{one.activity} {one.name}".strip(), rooms or ("" if room else "no room named"),
        f"until {show_date(one.last_day)}", one.trade or "no trade named", people,
    ]  # fmt: skip
    return ", ".join(filter(None, parts))


SUBJECT = Subject(_ask, _json, _text, lambda _: False)
