"""From ten answers to the files of a house folder."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from io import StringIO

from roomwright.lengths import exact

from . import takeoff
from .one_floor import one_floor
from .plan import CASED_HEIGHT, CEILING, DOOR_HEIGHT, Fixed, Plan, Room
from .questions import Answers, settle
from .two_floors import STAIR, two_floors
from .work import Link, Start, back_from, network

Table = tuple[Sequence[str], Iterable[Sequence[object]]]
BUILD_UP = {"wood plank": "3/4", "vinyl plank": "5/16", "tile": "5/8", "carpet": "3/4"}
RISE, RISERS, RUN = "109 1/2", 15, 10
"""8 ft ceiling and a floor of 13 1/2: 15 risers of 7.3, under the code's 7 3/4 (R311.7.5.1)."""
_WET = ("powder", "bath", "primary-bath")


def build(answers: Mapping[str, str], today: date | None = None) -> dict[str, str]:
    """Return the files of a house folder, by name.

    Parameters
    ----------
    answers : Mapping[str, str]
        question id to answer, as `QUESTIONS` lists them, and `name` for the house; what is left
        out has its usual answer
    today : date, optional
        the day from which "in 16 weeks" counts and up to which work before the boards is taken as
        done; the clock's if left out

    Raises
    ------
    StarterError
        with every answer that cannot be read

    Examples
    --------
    >>> files = build({"name": "Mill Lane", "floors": "1", "board_date": "2027-03-01"})
    >>> files["rooms.csv"].splitlines()[1]
    '101,Living,1,204,192,,96,wood plank'
    """
    today = today or date.today()  # noqa: DTZ011  (a site goes by its own wall clock)
    a = settle(answers, today)
    plan = one_floor(a) if a.floors == 1 else two_floors(a)
    flags = takeoff.flags_of(plan, a)
    activities, links = network(flags)
    start = back_from(a.board_date, activities, links, today)
    begun = {b.activity for b in start.begun}
    lines = takeoff.lines(plan, a, flags, begun)
    tables = _plan_tables(plan, a, lines) | _work_tables(plan, a, activities, links)
    tables |= _part_tables(a, flags, lines)
    if start.begun:
        tables["progress.csv"] = (
            ("activity", "started", "finished", "days_left"),
            [(b.activity, b.started, b.finished or "", "" if b.finished else b.days_left)
             for b in start.begun],
        )  # fmt: skip
    trades = sorted({r["trade"] for r in activities})
    tables["contacts.csv"] = (("trade", "name", "phone"), [(t, "", "") for t in trades])
    files = {"house.toml": _house(a, start, today)}
    return files | {name: _csv(*table) for name, table in tables.items()}


def _house(a: Answers, start: Start, today: date) -> str:
    name = a.name.replace("\\", "\\\\").replace('"', '\\"')
    moved = "" if start.boards == a.board_date else f" ({a.board_date} is not worked)"
    as_of = (
        f"written_as_of = {today}     # progress.csv: work before the boards, taken as planned\n"
        if start.begun
        else ""
    )
    off = ",\n".join(f"  {d}" for d in start.days_off)
    return f"""\
# A house to begin with. Sizes, days and lead times are guesses from common practice: replace each
# with what the tape, the cut sheets and the vendors say. Lengths in inches or as on a tape.
name = "{name}"
site_start = {start.site_start}   # so that boards start on {start.boards}{moved}
work_week = ["mon", "tue", "wed", "thu", "fri"]
# New Year, Memorial Day, July 4, Labor Day, Thanksgiving and the day after, Christmas
days_off = [
{off},
]
{as_of}inspect_days = 5                 # working days to receive, open and check what comes
tape_sigma = "1/8"               # one standard deviation of a tape reading
figures = "kitchen and bath guidelines"
"""


def _csv(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(rows)
    return out.getvalue()


def _plan_tables(plan: Plan, a: Answers, lines: Sequence[takeoff.Line]) -> dict[str, Table]:
    rooms = [
        (r.id, r.name, r.level, exact(r.width), exact(r.depth), r.beside, exact(CEILING),
         takeoff.floor_of(r, a))
        for r in plan.rooms.values()
    ]  # fmt: skip
    ways = [
        (w.id, w.room, w.to, w.kind, w.wall, f"{w.corner} {exact(w.off)}", exact(w.width),
         exact(CASED_HEIGHT if w.kind == "cased" else DOOR_HEIGHT), w.hand, w.into)
        for w in plan.ways
    ]  # fmt: skip
    line_of = {(x.room, x.part_class): x.id for x in lines}
    pieces = [
        (f"{p.room}-{p.kind.split()[-1]}", p.room, p.kind, exact(p.width), exact(p.depth),
         exact(p.height), exact(p.x), exact(p.y), p.turn, line_of.get((p.room, p.line_of), ""))
        for p in plan.pieces
    ]  # fmt: skip
    table = next(p for p in plan.pieces if p.kind == "dining table")
    light = (
        "C1",
        table.room,
        "chandelier box",
        exact(table.x),
        exact(table.y),
        f"{table.room}-table",
    )
    fixed = [(f"X{i}", f.room, f.name, _outline(f), f.note) for i, f in enumerate(plan.fixed, 1)]
    used = sorted({takeoff.floor_of(r, a) for r in plan.rooms.values()})
    floors = [(f, BUILD_UP[f], "over the subfloor [common practice]") for f in used]
    tables: dict[str, Table] = {
        "rooms.csv": (
            ("room", "name", "level", "width", "depth", "beside", "ceiling", "floor"), rooms),
        "openings.csv": (
            ("opening", "from_room", "to_room", "kind", "wall", "from_corner", "width", "height",
             "hand", "swings_into"), ways),
        "fixed.csv": (("fixed", "room", "name", "outline", "note"), fixed),
        "pieces.csv": (
            ("piece", "room", "kind", "width", "depth", "height", "x", "y", "turn", "line"),
            pieces),
        "lights.csv": (("light", "room", "kind", "x", "y", "centred_on"), [light]),
        "floors.csv": (("floor", "build_up", "note"), floors),
    }  # fmt: skip
    if plan.stair:
        # treads as thick as the floor at both ends: every riser stays equal
        tread = BUILD_UP[a.living_floor]
        row = ("S1", *plan.stair, exact(STAIR[0]), RISE, RISERS, RUN, tread, "82")
        tables["stairs.csv"] = (
            ("stair", "from_room", "to_room", "width", "rise_subfloor_to_subfloor", "risers", "run",
             "tread_thickness", "headroom_plumb"), [row])  # fmt: skip
    return tables


def _outline(f: Fixed) -> str:
    corners = ((0, 0), (f.width, 0), (f.width, f.depth), (0, f.depth))
    return ", ".join(f"{exact(f.x + dx)} {exact(f.y + dy)}" for dx, dy in corners)


def _work_tables(
    plan: Plan, a: Answers, activities: Sequence[Mapping[str, str]], links: Sequence[Link]
) -> dict[str, Table]:
    rooms = list(plan.rooms.values())
    rows = [
        (r["activity"], r["name"], r["low"], r["likely"], r["high"], r["trade"],
         _where(r["where"], rooms, plan, a), r["note"])
        for r in activities
    ]  # fmt: skip
    return {
        "activities.csv": (
            ("activity", "name", "days_low", "days_likely", "days_high", "trade", "rooms", "note"),
            rows,
        ),
        "links.csv": (
            ("before", "after", "kind", "lag_days", "reason"),
            [(k.before, k.after, "finish to start", k.lag, k.reason) for k in links],
        ),
    }


def _where(where: str, rooms: Sequence[Room], plan: Plan, a: Answers) -> str:
    """Return the ids of the rooms that a word of the work table means."""
    if where == "all":
        return "all"
    by_floor = {"tiled": "tile", "wooded": "wood plank", "vinyled": "vinyl plank",
                "carpeted": "carpet"}  # fmt: skip
    kinds = {
        "bath": ("bath", "primary-bath"), "wet": _WET, "washing": _WET, "toilets": _WET,
        "closets": ("closet", "store", "bedroom"),
        "windowed": ("living", "dining", "study", "bedroom", "primary"),
    }  # fmt: skip
    found: set[str] = set()
    for word in where.split():
        if word == "stair" and plan.stair:
            found |= set(plan.stair)
        elif word in by_floor:
            found |= {r.id for r in rooms if takeoff.floor_of(r, a) == by_floor[word]}
        else:
            found |= {r.id for r in rooms if r.kind in kinds.get(word, (word,))}
    return " ".join(r.id for r in rooms if r.id in found)


def _part_tables(a: Answers, flags: set[str], lines: Sequence[takeoff.Line]) -> dict[str, Table]:
    used = {line.part_class for line in lines}
    return {
        "classes.csv": (
            ("class", "name", "facts_on_the_cut_sheet", "needed_by", "order_after",
             "lead_weeks_low", "lead_weeks_high", "basis"),
            [(c["class"], c["name"], c["facts"], c["needed_by"], c["order_after"], c["low"],
              c["high"], takeoff.BASIS) for c in takeoff.classes(flags, used)],
        ),
        "companions.csv": (
            ("class", "part", "per_item", "when", "stage", "brought_by", "kind"),
            [(c["class"], c["part"], c["per_item"], c["when"], c["stage"], c["brought_by"],
              c["kind"]) for c in takeoff.companions(a, flags, used)],
        ),
        "parts.csv": (
            ("line", "room", "class", "qty", "bought_by", "note"),
            [(x.id, x.room, x.part_class, x.qty, x.bought_by, x.note) for x in lines],
        ),
    }  # fmt: skip
