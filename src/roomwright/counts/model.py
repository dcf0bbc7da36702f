"""What the counts are given and what they answer: plain frozen values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Literal

from roomwright.counts.hands import Hand

Kind = Literal[
    "short",
    "left out",
    "over",
    "wrong hand",
    "wrong size",
    "damaged",
    "substituted",
    "void",
    "no line",
    "not drawn",
]
"""How two counts disagree:

* *short*: fewer ordered than the plan says, or fewer came than were ordered and the promise is past
* *left out*: nothing ordered, though most lines of its class are, or the work that needs it is done
* *over*: more ordered than the plan says
* *wrong hand*: a door ordered, or written down, for the other hand than the plan shows
* *wrong size*: what is bought is not the size that is drawn
* *damaged*: it came, and whoever opened it noted damage or that it is not what was ordered
* *substituted*: something else was offered in its place
* *void*: ordered before the measure that it must be made to
* *no line*: a door is drawn that no line of the plan buys
* *not drawn*: a line buys a door that is not drawn
"""

KINDS: tuple[Kind, ...] = Kind.__args__  # type: ignore[attr-defined]


# --- given -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class KitPart:
    """A part or work that goes with each item of a class, and who brings it."""

    part: str
    per_item: Fraction = Fraction(1)
    when: str = ""
    stage: str = "finish"
    brought_by: str = ""
    kind: Literal["part", "work"] = "part"


@dataclass(frozen=True, slots=True)
class Work:
    """The activity that needs a line, and how far it is."""

    id: str
    name: str
    started: date | None = None
    finished: date | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """What must be done before an order is worth anything."""

    id: str
    name: str
    done_on: date | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the plan, with what its class says."""

    id: str
    room: str
    part_class: str
    name: str
    qty: int
    note: str = ""
    work: Work | None = None
    measure: Measure | None = None
    kit: tuple[KitPart, ...] = ()
    bought_by: str = ""


@dataclass(frozen=True, slots=True)
class Ordered:
    """What was ordered of a line on one order."""

    order: str
    line: str
    qty: int
    maker: str = ""
    placed: date | None = None
    promised: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Came:
    """What came of a line on one receipt: the good pieces.

    `damaged` are those that were recorded as of no use and have not been replaced, `damage` what
    was said of them.
    """

    receipt: str
    order: str
    line: str
    qty: int
    on: date | None = None
    note: str = ""
    damaged: int = 0
    damage: str = ""


@dataclass(frozen=True, slots=True)
class Door:
    """A door as drawn: the rooms it joins, its kind, its width and height [in], and its hand."""

    id: str
    rooms: tuple[str, str]
    kind: str
    width: float
    height: float | None = None
    into: str = ""
    hand: Hand | None = None
    hand_text: str = ""

    @property
    def outside(self) -> bool:
        """Whether it leads outdoors."""
        return "out" in self.rooms


@dataclass(frozen=True, slots=True)
class Drawn:
    """A piece as drawn [in]; `line` is the line that buys it, if somebody said so."""

    id: str
    room: str
    kind: str
    width: float | None = None
    depth: float | None = None
    height: float | None = None
    line: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that is counted."""

    lines: tuple[Line, ...] = ()
    ordered: tuple[Ordered, ...] = ()
    came: tuple[Came, ...] = ()
    doors: tuple[Door, ...] = ()
    drawn: tuple[Drawn, ...] = ()
    class_rows: int = 0
    """Rows that say what goes with a class, over all classes."""


# --- answered ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class KitLine:
    """One part of the kit of one line: `qty` is None while its condition is not answered."""

    line: str
    room: str
    part_class: str
    part: str
    qty: Fraction | None
    if_so: Fraction
    when: str
    stage: str
    brought_by: str
    kind: Literal["part", "work"]


@dataclass(frozen=True, slots=True)
class Question:
    """A condition that decides whether a part counts, the lines it is asked of, and a hint."""

    part_class: str
    name: str
    part: str
    when: str
    lines: tuple[str, ...]
    rooms: tuple[str, ...]
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two counts that differ, or a thing that is not what was meant.

    `by` is how many pieces it concerns; `text` says what is so, `do` what to do about it. `owner`
    is who must act, `maker` whom it was bought from; `move_in_days` is None until it is known.
    """

    kind: Kind
    room: str
    line: str
    part_class: str
    part: str
    by: int
    plan: int
    ordered: int
    received: int
    text: str
    do: str
    owner: str = "builder"
    maker: str = ""
    orders: tuple[str, ...] = ()
    receipts: tuple[str, ...] = ()
    move_in_days: float | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """The counts of one line of the plan and the kit that goes with it."""

    line: str
    room: str
    part_class: str
    name: str
    note: str
    plan: int
    ordered: int
    received: int
    kit: tuple[KitLine, ...]
    disagrees: tuple[Kind, ...] = ()


@dataclass(frozen=True, slots=True)
class Totals:
    """Totals over the house. Pieces count each item; parts count what a kit adds to them."""

    lines: int = 0
    pieces: int = 0
    class_companion_rows: int = 0
    line_companion_rows: int = 0
    companion_parts: Fraction = Fraction(0)
    companion_work: Fraction = Fraction(0)
    unanswered: int = 0
    ordered_lines: int = 0
    ordered_pieces: int = 0
    received_lines: int = 0
    received_pieces: int = 0
    parts_by_who: Mapping[str, Fraction] = field(default_factory=dict)
    parts_by_stage: Mapping[str, Fraction] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Counts:
    """All counts of a house."""

    rows: tuple[Row, ...]
    disagreements: tuple[Disagreement, ...]
    questions: tuple[Question, ...]
    totals: Totals
    bought_as: Mapping[str, str] = field(default_factory=dict)
    """Id of a drawn piece or door -> the line that buys it, where one was found."""
