"""A room's verdicts in the words of its page, and why each number is what it is."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from roomwright.answers import Answers
from roomwright.answers.rooms import needs, room_fit
from roomwright.commands import Arrange
from roomwright.fit.evaluate import label
from roomwright.fit.kinds import kind_of
from roomwright.fit.model import Finding, Needs, PieceFit, RoomFit, Side, Way, Word
from roomwright.fit.verdicts import fits_with, until
from roomwright.job.entities import Opening, Piece, Reading, Room
from roomwright.lengths import area, tape
from roomwright.web.pages import day, number

Reasons = list[tuple[str, str]]

NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip

RULE = (
    "Clear distance: straight out from the side, over its whole width, to the first thing in the "
    "way at its outermost reach. To spare: what is there less what is wanted."
)
TIGHTEST = (
    "The narrowest gap that every path between the two openings must go through; exact, and never "
    "wider than the openings."
)


@dataclass(frozen=True, slots=True)
class SideRow:
    """One side of a piece, as a line of the list."""

    side: Side
    name: str
    word: str
    state: str
    after: str
    reasons: Reasons


@dataclass(frozen=True, slots=True)
class WayRow:
    """One walk path, as a line of the list."""

    way: Way
    name: str
    word: str
    state: str
    after: str
    reasons: Reasons


@dataclass(frozen=True, slots=True)
class Cure:
    """A move that clears every side: in words, and where to."""

    title: str
    after: str
    button: str
    x: Fraction
    y: Fraction


def verdicts(
    answers: Answers,
    room: Room,
    fit: RoomFit,
    chosen: PieceFit | None,
    *,
    cures: bool = True,
) -> dict[str, Any]:
    """Return what the list beside the plan shows."""
    known = answers.ask(needs, room.id)
    return {
        "title": heading(chosen) if chosen else "",
        "seat_rows": seat_rows(chosen) if chosen else [],
        "sides": [side_row(chosen, s, known, measured(answers, room)) for s in chosen.sides]
        if chosen
        else [],
        "ways": [way_row(answers, way, known) for way in fit.ways],
        "cure": cure(answers, room, chosen) if chosen and cures else None,
        "own": [finding_row(f, known) for f in fit.findings if chosen and chosen.piece.id in f.ids],
        "others": [
            finding_row(f, known) for f in fit.findings if not (chosen and chosen.piece.id in f.ids)
        ],
    }


def seat_rows(chosen: PieceFit) -> list[tuple[str, str]]:
    """Return why so many sit there: the rule, what the other rule counts, what legs change."""
    rows = [("Rule", chosen.seats_rule)]
    rows += [(f"By the {rule}", str(n)) for rule, n in chosen.seats_by if rule != chosen.seats_rule]
    if chosen.seats_note:
        rows.append(("Legs", chosen.seats_note))
    return [*rows, ("Left over along the long side", tape(chosen.spare_length))]


def heading(chosen: PieceFit) -> str:
    """Return what stands over a piece's sides: "Dining table 84 x 42, eight seats"."""
    piece = chosen.piece
    said = piece.name[:1].upper() + piece.name[1:]
    if piece.width is not None and piece.depth is not None:
        round_top = piece.round
        said += f" {tape_plain(piece.width)}"
        said += " round" if round_top else f" × {tape_plain(piece.depth)}"
    if chosen.seats:
        seats = NUMBERS[chosen.seats] if chosen.seats < len(NUMBERS) else str(chosen.seats)
        said += f", {seats} seats"
    return said


def tape_plain(value: float) -> str:
    """Return inches as furniture is named by them: 84, 17 1/2.

    >>> tape_plain(84.0), tape_plain(17.5)
    ('84', '17 1/2')
    """
    return number(Fraction(round(value * 16), 16))


def side_row(chosen: PieceFit, side: Side, known: Needs, taped: str) -> SideRow:
    """Return a side as a line."""
    verdict = side.verdict
    reasons: Reasons = []
    if side.clear is not None:
        to = f" to the {side.binding}" if side.binding else ""
        reasons.append(("There", f"{tape(side.clear)}{to}. {taped}"))
    if side.needs is not None and side.figure:
        reasons.append(("Wanted", known.source.get(side.figure, tape(side.needs))))
    use = "your own word on it" if side.overridden else side.why
    if side.use:
        reasons.append(("Use", f"people {side.use}" + (f": {use}" if use else "")))
    reasons.append(("Rule", RULE))
    if verdict is not None and verdict.word in (Word.FITS, Word.TIGHT):
        reasons.append(("Fits", f"means {tape(known.spare)} or more to spare; tight is less"))
    word = verdict.word.value if verdict else ""
    state, after = _split(verdict)
    turn = until(verdict, side.binding) if verdict is not None else ""
    if turn and verdict is not None and verdict.word is not Word.SHORT:
        after = f"{after}: {turn}"
    elif verdict is not None and (more := fits_with(verdict)).endswith("fits"):
        after = f"{after}; {more}" if after else more
    return SideRow(side, label(chosen.piece, side).capitalize(), word, state, after, reasons)


def _split(verdict: Any) -> tuple[str, str]:
    """Return a verdict's first words, large, and the rest of it."""
    if verdict is None:
        return "nothing asked", ""
    if verdict.word is Word.SHORT and verdict.by is not None:
        text = verdict.text.removeprefix("short ")
        mark = text.find('"')
        if mark > 0:
            return f"short {text[: mark + 1]}", text[mark + 1 :].strip(" ;,")
    word = verdict.word.value
    return word, verdict.text.removeprefix(word).strip(" ,:")


def way_row(answers: Answers, way: Way, known: Needs) -> WayRow:
    """Return a walk path as a line."""
    ends = f"{beyond(answers, way.from_)} to {beyond(answers, way.to)}"
    reasons: Reasons = [
        ("There", f"{tape(way.tightest)} between {way.between[0]} and {way.between[1]}"
                  if any(way.between) else tape(way.tightest)),
    ]  # fmt: skip
    if way.figure:
        reasons.append(("Wanted", known.source.get(way.figure, "")))
    reasons.append(("Rule", TIGHTEST))
    reasons.append(("Openings", f"{way.from_} and {way.to}"))
    state, after = _split(way.verdict)
    turn = until(way.verdict)
    if turn and way.verdict.word is not Word.SHORT:
        after = f"{after}: {turn}" if after else turn
    elif (more := fits_with(way.verdict)).endswith("fits"):
        after = f"{after}; {more}" if after else more
    return WayRow(way, ends, way.verdict.word.value, state, after, reasons)


def beyond(answers: Answers, opening: str) -> str:
    """Return what a builder calls an end of a path: the rooms that the opening joins."""
    fact = answers.facts.find(Opening, opening)
    if fact is None:
        return opening
    names = []
    for id in (fact.from_room, fact.to_room):
        room = answers.facts.find(Room, id)
        names.append(room.name or room.id if room else "outside")
    return " / ".join(dict.fromkeys(names))


@dataclass(frozen=True, slots=True)
class FindingRow:
    """Something found, as a line of the list."""

    finding: Finding
    word: str
    reasons: Reasons


def finding_row(finding: Finding, known: Needs) -> FindingRow:
    """Return a finding as a line."""
    reasons: Reasons = []
    if finding.clear is not None:
        reasons.append(("There", tape(finding.clear)))
    if finding.figure:
        reasons.append(("Wanted", known.source.get(finding.figure, finding.figure)))
    if finding.ids:
        reasons.append(("About", ", ".join(finding.ids)))
    return FindingRow(finding, finding.severity.value, reasons)


def cure(answers: Answers, room: Room, chosen: PieceFit) -> Cure | None:
    """Return the move that clears every side, with what is left there then."""
    move = chosen.cure
    if move is None:
        return None
    x, y = Fraction(move.x).limit_denominator(64), Fraction(move.y).limit_denominator(64)
    change = Arrange.model_validate({"piece": move.piece, "x": x, "y": y})
    there = answers.supposing(change.changes(answers.facts)).ask(room_fit, room.id)
    after = next(p for p in there.pieces if p.piece.id == move.piece)
    short = {s.side for s in chosen.sides if s.margin is not None and s.margin < 0}
    ends = [s for s in after.sides if s.side in short or _opposite(s.side) in short]
    said = ", ".join(f"{tape(s.clear)} {s.side}" for s in ends if s.clear is not None)
    lights = [f.text for f in there.findings if f.kind.startswith("light") and move.piece in f.ids]
    title = f"{spelled(move.by)} {move.toward} clears it"
    return Cure(title, " ".join(filter(None, [f"{said}." if said else "", *lights])),
                f"Move it {tape(move.by)} {move.toward}", x, y)  # fmt: skip


def _opposite(side: str) -> str:
    return {"north": "south", "south": "north", "east": "west", "west": "east"}.get(side, "")


def spelled(inches: float) -> str:
    """Return a short distance as one says it.

    >>> spelled(5.0), spelled(1.0), spelled(2.5)
    ('Five inches', 'One inch', '2 1/2"')
    """
    whole = round(inches)
    if abs(inches - whole) < 1e-9 and 0 < whole < len(NUMBERS):
        return f"{NUMBERS[whole].capitalize()} {'inch' if whole == 1 else 'inches'}"
    return tape(inches)


def measured(answers: Answers, room: Room) -> str:
    """Return what the room's dimensions rest on: face, who and when; or that they are drawn."""
    if room.measured_on is not None:
        by = f" by {_who(room.measured_by)}" if room.measured_by else ""
        return f"Room as taped to the {room.face} face {day(room.measured_on)}{by}."
    readings = [r for r in answers.facts.where(Reading, "room", room.id) if r.on]
    if not readings:
        return f"As drawn to the {room.face} faces; no tape reading of this room is recorded."
    last = max(readings, key=lambda r: r.on)  # type: ignore[arg-type, return-value]
    by = f" by {_who(last.by)}" if last.by else ""
    to = f" to the {last.face} face" if last.face else ""
    return f"As drawn to the {room.face} faces. Room taped {day(last.on)}{by}{to}, not taken over."


def _who(name: str) -> str:
    """Return a person as spoken of: "Pat", "the builder".

    >>> _who("Pat"), _who("builder")
    ('Pat', 'the builder')
    """
    return name if name[:1].isupper() else f"the {name}"


def subtitle(answers: Answers, room: Room, fit: RoomFit) -> str:
    """Return the line under a room's name: its size, its floor area, when it was taped."""
    xs, ys = [p[0] for p in room.outline], [p[1] for p in room.outline]
    size = f"{tape(max(xs) - min(xs))} × {tape(max(ys) - min(ys))}"
    if len(room.outline) > 4:
        size += " at its widest"
    said = [size, area(Fraction(fit.area).limit_denominator(1024))]
    if room.ceiling is not None:
        said.append(f"ceiling {tape(room.ceiling)}")
    return f"{', '.join(said)}. {measured(answers, room)} Measure on site before you cut."


def corner(room: Room) -> tuple[Fraction, Fraction]:
    """Return the room's west and south, from which its page measures."""
    return min(p[0] for p in room.outline), min(p[1] for p in room.outline)


def fields(room: Room, piece: Piece) -> dict[str, str]:
    """Return what stands in the form of a piece's place, as the tape reads it."""
    west, south = corner(room)
    return {
        "west": "" if piece.x is None else tape(piece.x - west, 64),
        "south": "" if piece.y is None else tape(piece.y - south, 64),
        "width": "" if piece.width is None else tape(piece.width, 64),
        "depth": "" if piece.depth is None else tape(piece.depth, 64),
        "turn": number(piece.turn),
    }


def has_seats(piece: Piece) -> bool:
    """Whether people sit at it."""
    return kind_of(piece.kind).seats
