"""What the page of the network shows: the activities asked for, their drawing, their links."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from urllib.parse import quote, urlencode

from roomwright import schedule
from roomwright.answers.dates import ActivityDates, calendar, dates
from roomwright.drawing.network import Bar, Line, Look, Weight, network_picture
from roomwright.job.entities import Link, Room
from roomwright.web.desk import HouseAt
from roomwright.web.pages import counted, day, working_days

NEAR = float(schedule.NEAR)
"""So little to spare is nearly critical [working days]; our own choice, as in the health checks."""

LANES = ("trade", "room")
SHOWS = ("all", "to do", "critical")
WHOLE_HOUSE, SEVERAL, NOWHERE = "Whole house", "Several rooms", "No room named"


@dataclass(frozen=True, slots=True)
class Asked:
    """The question of the address: which activities, in which lanes, which one is picked."""

    room: str = ""
    trade: str = ""
    show: str = "all"
    lanes: str = "trade"
    links: str = "driving"
    pick: str = ""

    def at(self, base: str, **other: str) -> str:
        """Return the address of the page with this question, some of it changed."""
        asked = {f: getattr(self, f) for f in self.__slots__} | other
        usual = Asked()
        said = {f: v for f, v in asked.items() if v and v != getattr(usual, f)}
        return f"{base}/network{'?' if said else ''}{urlencode(said)}"


@dataclass(frozen=True, slots=True)
class Group:
    """The activities of a lane."""

    name: str
    rows: tuple[ActivityDates, ...]


def weight(row: ActivityDates) -> Weight:
    """Return whether an activity is critical or near-critical."""
    if row.dates.critical:
        return "critical"
    return "near" if row.dates.state != "done" and row.dates.total_float <= NEAR else ""


def shown(rows: Sequence[ActivityDates], asked: Asked) -> list[ActivityDates]:
    """Return the activities that are asked for."""
    return [
        row
        for row in rows
        if (not asked.room or asked.room in row.rooms or "all" in row.rooms)
        and (not asked.trade or asked.trade == row.trade)
        and (asked.show != "to do" or row.dates.state != "done")
        and (asked.show != "critical" or weight(row))
    ]


def lane_of(row: ActivityDates, lanes: str, names: dict[str, str]) -> str:
    """Return the lane that an activity stands in."""
    if lanes == "trade":
        return row.trade or "No trade named"
    if "all" in row.rooms:
        return WHOLE_HOUSE
    if len(row.rooms) == 1:
        return f"{names.get(row.rooms[0], '')} {row.rooms[0]}".strip()
    return SEVERAL if row.rooms else NOWHERE


def groups(rows: Sequence[ActivityDates], asked: Asked, names: dict[str, str]) -> list[Group]:
    """Return the activities by lane, lanes in the order of their first work."""
    found: dict[str, list[ActivityDates]] = {}
    for row in rows:
        found.setdefault(lane_of(row, asked.lanes, names), []).append(row)
    return [Group(name, tuple(held)) for name, held in found.items()]


def said(row: ActivityDates, reference: date) -> str:
    """Return what a reader who does not see the drawing is told of an activity."""
    days = day(row.first_day, reference)
    if row.last_day != row.first_day:
        days += f" to {day(row.last_day, reference)}"
    return f"{row.id}, {row.trade or 'no trade'}, {days}, {row.dates.state}"


def picture(at: HouseAt, rows: Sequence[ActivityDates], asked: Asked) -> str:
    """Return the drawing of these activities; empty where there are none."""
    if not rows:
        return ""
    facts, cal = at.answers.facts, at.answers.ask(calendar)
    names = {r.id: r.name for r in facts.all(Room)}
    by_id = {row.id: row for row in at.answers.ask(dates).activities}
    bars = [
        Bar(
            row.id, row.name or row.id, lane_of(row, asked.lanes, names), row.dates.early_start,
            row.dates.early_finish, weight(row), row.dates.total_float, row.dates.state,
            said(row, at.as_of),
        )
        for row in rows
    ]  # fmt: skip
    shown_ids = {row.id for row in rows}
    lines = []
    for k in facts.all(Link):
        if not {k.before, k.after} <= shown_ids:
            continue
        before, after = by_id[k.before], by_id[k.after]
        drives = k.before in after.dates.driven_by
        lines.append(Line(
            k.id, k.before, k.after, k.kind.startswith("start"), k.kind.endswith("start"), drives,
            drives and before.dates.critical and after.dates.critical,
        ))  # fmt: skip
    first = min(min(row.first_day for row in rows), at.as_of)
    last = max(row.last_day for row in rows)
    monday = first - timedelta(days=first.weekday())
    weeks = []
    while monday <= last + timedelta(days=7):
        weeks.append((float(cal.number(monday)), monday))
        monday += timedelta(days=7)
    drawn = network_picture(
        bars, lines, weeks=weeks, now=float(cal.number(at.as_of)), look=Look(pick=asked.pick),
        link=lambda id: f"{asked.at(at.at, pick=id)}#picked",
    )  # fmt: skip
    return drawn.svg


def summary(rows: Sequence[ActivityDates]) -> str:
    """Return how many activities are shown and how tight they are."""
    critical = sum(weight(r) == "critical" and r.dates.state != "done" for r in rows)
    near = sum(weight(r) == "near" for r in rows)
    return (
        f"{counted(len(rows), 'activity', 'activities')}; still to do: {critical} critical, "
        f"{near} nearly so ({working_days(NEAR)} to spare or less)"
    )


def work_page(at: HouseAt, id: str) -> str:
    """Return the address of an activity's own page."""
    return f"{at.at}/work/{quote(id, safe='')}"
