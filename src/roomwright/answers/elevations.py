"""The walls of a room from inside, and what heights decide there: eyes, escape, glass."""

from __future__ import annotations

from dataclasses import dataclass, replace

from roomwright.answers.engine import Ask, query
from roomwright.answers.rooms import figures_in_force, joined, needs, space_of
from roomwright.answers.sheet_cautions import ENDING
from roomwright.days import show_date
from roomwright.fit.escape import Escape, escapes, findings
from roomwright.fit.glazing import Question, questions
from roomwright.fit.ground import Ground
from roomwright.fit.model import Finding
from roomwright.fit.sight import Eye, Sight, eyes, sights
from roomwright.fit.wall_views import WallView, wall_views
from roomwright.fit.windows import covered, slept_in
from roomwright.job.entities import House, Room, Window
from roomwright.lengths import tape


@dataclass(frozen=True, slots=True)
class Height:
    """One thing's bottom and top over the finished floor and against the datum line [in].

    `high` is None while it is not known; `usual` says that it is only what is usual.
    """

    id: str
    name: str
    walls: str
    low: float
    high: float | None
    usual: bool = False


@dataclass(frozen=True, slots=True)
class RoomWalls:
    """Every wall of one room from inside, and what heights decide.

    `datum` is the level line that heights are also told from [in over the floor]. `cautions` are
    findings that can hurt; `unmeasured` names what has no height yet; `rests_on` says what
    the numbers lean on; `cited` has the source of each figure used.
    """

    room: str
    name: str
    house: str
    ceiling: float | None
    datum: float | None
    walls: tuple[WallView, ...]
    eyes: tuple[Eye, ...] = ()
    heights: tuple[Height, ...] = ()
    sights: tuple[Sight, ...] = ()
    escapes: tuple[Escape, ...] = ()
    cautions: tuple[Finding, ...] = ()
    questions: tuple[Question, ...] = ()
    unmeasured: tuple[str, ...] = ()
    rests_on: tuple[str, ...] = ()
    cited: tuple[tuple[str, str], ...] = ()
    ending: str = ENDING

    @property
    def title(self) -> str:
        """The room as its papers name it."""
        return f"{self.name} {self.room}" if self.name != self.room else self.room


@query("walls of a room")
def room_walls(ask: Ask, room: str) -> RoomWalls:
    """Every wall of a room from inside, with what a seated and a standing eye sees.

    Raises
    ------
    MissingFactError
        If there is no such room.
    """
    fact = ask.fact(Room, room)
    try:
        space = ask(space_of, ask(joined, room))
    except ValueError:
        space = ask(space_of, (room,))
    ground, wanted = Ground(space), ask(needs, room)
    this = space.room(room)
    views = wall_views(ground, this, wanted)
    seen = tuple(each for each in sights(ground, wanted) if each.room == room)
    over = tuple(f for f in covered(ground, wanted) if f.room == room)
    told = {f.ids for f in over}
    seen = tuple(
        s
        for s in seen
        if not (s.kind in ("counter", "top") and s.over[0] < 0 and s.ids[::-1] in told)
    )
    house = ask.find(House, "house")
    found = RoomWalls(
        room=room,
        name=fact.name or room,
        house=house.name if house else "",
        ceiling=this.ceiling,
        datum=wanted.get("height.datum"),
        walls=views,
        eyes=eyes(ground, wanted),
        heights=_heights(views),
        sights=seen,
        escapes=tuple(e for e in escapes(ground, wanted) if e.room == room),
        cautions=(*over, *(f for f in findings(ground, wanted) if f.room == room)),
        questions=tuple(q for q in questions(ground, wanted) if q.room == room),
        unmeasured=_unmeasured(ask, room, views, slept_in(ground, this)),
        rests_on=_rests_on(fact),
    )
    chosen = ask(figures_in_force, room)
    cited = ((key, chosen.get(key).cite()) for key in _used(found))
    return replace(found, cited=tuple(cited))


def _heights(views: tuple[WallView, ...]) -> tuple[Height, ...]:
    """Each thing once, with the walls that show it near, in order of windows, openings, things."""
    found: dict[str, Height] = {}
    order = {"window": 0, "opening": 1, "fixed": 2, "piece": 3}
    things = [(order[s.what], s.id, s, view.letter) for view in views for s in view.things]
    for _, id_, seen, wall in sorted(things, key=lambda t: (t[0], t[1], t[3])):
        shown = "" if seen.far else wall
        was = found.get(id_)
        if was is None:
            found[id_] = Height(id_, seen.name, shown, seen.low, seen.high, seen.usual)
        elif shown and shown not in was.walls.split(", "):
            walls_ = f"{was.walls}, {shown}" if was.walls else shown
            found[id_] = Height(id_, was.name, walls_, was.low, was.high, was.usual)
    return tuple(found.values())


def _unmeasured(ask: Ask, room: str, views: tuple[WallView, ...], slept: bool) -> tuple[str, ...]:
    told = []
    windows = ask.where(Window, "room", room)
    for window in windows:
        lacks = [n for n, v in (("height", window.height), ("sill", window.sill)) if v is None]
        if lacks:
            told.append(f"Window {window.id}: measure its {' and its '.join(lacks)}.")
    if slept and not windows:
        told.append(
            "People sleep here and no window is on record: measure its windows, then its escape "
            "is looked at."
        )
    ceiling = all(not view.ceiling for view in views)
    if ceiling:
        told.append("Measure the height of the ceiling.")
    unknown = {s.id: s for view in views for s in view.things if s.high is None or s.usual}
    for id_, seen in sorted(unknown.items()):
        if seen.usual:
            told.append(
                f"The {seen.name} {id_}: {tape(seen.high or 0)} is the usual height; measure its "
                "top."
            )
        else:
            told.append(f"The {seen.name} {id_}: measure its top.")
    return tuple(told)


def _rests_on(fact: Room) -> tuple[str, ...]:
    told = ["Heights are over the finished floor; seen from inside, left is left."]
    if fact.measured_on is not None:
        by = f" by {fact.measured_by}" if fact.measured_by else ""
        told.append(f"Outline measured {show_date(fact.measured_on)}{by}.")
    else:
        told.append("The outline is as drawn, not taped: measure.")
    return tuple(told)


def _used(found: RoomWalls) -> list[str]:
    """The keys of the figures that the answer rests on."""
    keys = {key for each in found.sights for key in each.figures}
    keys |= {key for each in found.questions for key in each.figures}
    keys |= {"height.datum"} if found.datum is not None else set()
    if found.escapes:
        keys |= {"egress.window_area", "egress.window_area_grade", "egress.window_height",
                 "egress.window_width", "egress.sill_max"}  # fmt: skip
    return sorted(keys)
