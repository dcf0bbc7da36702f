"""Walk paths of a house: routes on its storeys, each with its tightest place, and the habits."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.responses import Response

from roomwright.answers.plans import level_name, levels, storey
from roomwright.answers.rooms import needs
from roomwright.answers.walk_paths import Pinch, WalkPath, WalkPaths, room_name, walk_paths
from roomwright.drawing.options import PlanOptions
from roomwright.drawing.route_lines import Line, Mark, with_routes
from roomwright.drawing.storey import house_plan
from roomwright.fit.habits import uses
from roomwright.fit.model import Word
from roomwright.job.entities import Room
from roomwright.lengths import tape
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.room import NARROW, WIDE

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Drawn:
    """A storey with walk paths on it, for a large screen and for a phone."""

    name: str
    wide: str
    narrow: str


@dataclass(frozen=True, slots=True)
class Shown:
    """A walk path as a row of the page."""

    path: WalkPath
    from_name: str
    to_name: str
    address: str
    where: str
    why: list[tuple[str, str]]
    here: bool


def where(pinch: Pinch, names: dict[str, str]) -> str:
    """Return what a tightest place is, in words."""
    first, second = pinch.between
    if first == second and first.startswith("jamb of "):
        return f"at opening {first.removeprefix('jamb of ')}"
    if first == second:
        return f"at {first.removeprefix('side of ')}"
    return f"between {first} and {second}, {names.get(pinch.room, pinch.room)}"


@router.get("/h/{house}/walk-paths")
def page_of_walk_paths(
    request: Request, at: AtHouse, desk: AtDesk, from_room: str = "", to_room: str = ""
) -> Response:
    """Who walks where; one path by itself with `?from_room=` and `?to_room=`."""
    found = at.answers.ask(walk_paths)
    facts = at.answers.facts.all(Room)
    names = {each.id: each.name or each.id for each in facts}
    chosen = next(
        (p for p in found.paths if (p.from_room, p.to_room) == (from_room, to_room)), None
    )
    ordered = sorted(found.paths, key=lambda path: path is not chosen)  # what was asked for first
    rows = [_row(at, path, names, path is chosen) for path in ordered]
    return house_page(
        request, desk, at, "walk_paths.html", here="House",
        storeys=drawn_storeys(at, found, chosen), rows=rows, chosen=chosen, found=found,
        uses=sorted({*uses(), *(r.use.lower() for r in facts if r.use)}), names=names,
    )  # fmt: skip


def _row(at: HouseAt, path: WalkPath, names: dict[str, str], here: bool) -> Shown:
    query = f"?from_room={quote(path.from_room)}&to_room={quote(path.to_room)}"
    figure = at.answers.ask(needs, "").source.get(path.figure, path.figure)
    facts = at.answers.facts.all(Room)
    said = [
        ("Through", ", ".join(names.get(room, room) for room in path.rooms)),
        ("Openings", ", ".join(path.openings) or "open to each other"),
        ("Length", tape(round(path.length), 1)),
        ("Needs", "" if path.needs is None else f"{tape(path.needs)} ({figure})"),
    ]
    if path.habit is not None:
        source = "the builder's own word" if path.habit.said else "common practice"
        why = f"{path.habit.why}; " if path.habit.why else ""
        said.append(("Why", f"{why}{path.habit.standing} walk, {source}"))
    told = "" if path.tightest is None else where(path.tightest, names)
    return Shown(
        path, room_name(facts, path.from_room), room_name(facts, path.to_room),
        f"{at.at}/walk-paths{query}#plan", told, said, here,
    )  # fmt: skip


def drawn_storeys(at: HouseAt, found: WalkPaths, chosen: WalkPath | None) -> list[Drawn]:
    """Return each storey with the paths on it; the one chosen strong, and alone in its width."""
    made = []
    for number, level in enumerate(at.answers.ask(levels)):
        lines = [
            Line(part.points, path.habit is None or path.habit.standing == "main", path is chosen)
            for path in found.paths
            for part in path.stretches
            if part.level == level
        ]
        marks = _marks(found, chosen, level)
        pictures = []
        for width, base in ((WIDE, "walked"), (NARROW, "small-walked")):
            options = PlanOptions(width=width, height=2.0 * width, base=f"{base}{number}")
            plan = house_plan(
                at.answers.ask(storey, level), options,
                link=lambda room: f"{at.at}/room/{quote(room)}",
            )  # fmt: skip
            pictures.append(with_routes(plan, lines, marks).svg)
        made.append(Drawn(level_name(level), *pictures))
    return made


def _marks(found: WalkPaths, chosen: WalkPath | None, level: str) -> list[Mark]:
    """The tightest place of the path chosen; else those of all that are tight, short or blocked."""
    wanted = [chosen] if chosen else [p for p in found.paths if p.verdict.word is not Word.FITS]
    marks: dict[tuple[object, float], Mark] = {}
    for path in wanted:
        pinch = path.tightest
        if pinch is not None and pinch.at is not None and pinch.level == level:
            mark = Mark(pinch.at, pinch.width, path.verdict.word.value)
            marks.setdefault((pinch.at, round(pinch.width, 3)), mark)
    return list(marks.values())
