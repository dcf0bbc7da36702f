"""What fits, told to the owner on one page: what was tried, why this one and not the next.

No word of the trade that an owner has not met, no sign for what can be said.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from roomwright.answers import what_fits_words as words
from roomwright.answers.engine import Answers
from roomwright.answers.rooms import needs
from roomwright.answers.sheet_cautions import ENDING
from roomwright.fit.search_found import Found, Option
from roomwright.fit.search_judge import STANDING
from roomwright.fit.trial import WALKING
from roomwright.fit.verdicts import length
from roomwright.job.entities import House, Room
from roomwright.lengths import tape

DO = {
    "rise": "to push a chair back and get up",
    "edge past": "to squeeze past someone who sits",
    "walk past": "to walk behind someone who sits",
    WALKING: "to walk through",
    "aisle": "to work there",
    "work aisle": "to work there",
    "spacing": "between the two",
    "sit": "to sit",
}
"""What a use is, as an owner would say it."""


@dataclass(frozen=True, slots=True)
class Tried:
    """A size that was tried: what it is, how it fares, and in a word."""

    size: str
    seats: str
    fares: str
    word: str
    this: bool


@dataclass(frozen=True, slots=True)
class Told:
    """The owner's page in words."""

    title: str
    house: str
    lead: str
    why: tuple[str, ...]
    tried: tuple[Tried, ...]
    seats: str
    smaller: tuple[str, ...]
    sources: tuple[str, ...]
    ending: str


def told(answers: Answers, room: str, found: Found) -> Told:
    """Return the owner's page of an answer."""
    fact = answers.facts.get(Room, room)
    house = answers.facts.find(House, "house")
    kind = found.wanted.kind.split(",")[0]
    known = answers.ask(needs, room)
    shown = [o for o in (found.best, found.stops, *found.front) if o is not None]
    figures = dict.fromkeys(o.bound.figure for o in shown if o.bound.figure)
    return Told(
        title=f"{fact.name or room}: {kind}",
        house=house.name if house is not None else "",
        lead=_lead(found, kind),
        why=tuple(_why(found, kind)),
        tried=tuple(_tried(found, known.spare)),
        seats=_seats(found),
        smaller=tuple(f"{words.limit(each)[:1].upper()}{words.limit(each)[1:]}." for each in (
            w for w in found.walls if not w.open_ended)),
        sources=tuple(known.source[key] for key in figures if key in known.source),
        ending=f"The program never approves: {ENDING}",
    )  # fmt: skip


def _lead(found: Found, kind: str) -> str:
    best = found.best
    if best is None:
        return f"No {kind} that was tried fits this room with the space that people need around it."
    seats = f" It seats {best.seats}." if best.seats else ""
    stands = f" It stands {best.where}." if best.where.startswith(("against", "centered")) else ""
    return f"The one to take: {words.size(best)}.{seats}{stands} {_leaves(best)}"


def _leaves(option: Option) -> str:
    """Return what is left over, in a sentence."""
    bound = option.bound
    if bound.use == STANDING:
        return f"Tightest: {words.held(option)}."
    do = DO.get(bound.use, f"to {bound.use}")
    if option.margin < -1e-6:
        return (
            f"That leaves {tape(bound.clear)} at the {bound.where}, where {tape(bound.needs)} is "
            f"needed {do}: {length(-option.margin)} too little."
        )
    left = "nothing" if option.margin < 1e-6 else length(option.margin)
    return (
        f"Its tightest place is the {bound.where}: {tape(bound.clear)}, where {tape(bound.needs)} "
        f"is needed {do}. That leaves {left} to spare."
    )


def _why(found: Found, kind: str) -> Iterator[str]:
    best, stops = found.best, found.stops
    if best is not None:
        most = "It seats the most people" if best.seats else "It is the largest"
        yield f"Why this one: {most} of all that were tried that leave the space people need."
    if stops is not None:
        more = f" for {stops.seats} people" if stops.seats else ""
        yield f"Why not the next one: {words.size(stops)}{more}. {_leaves(stops)}"
    elif found.no_larger:
        yield f"Why none larger: {found.no_larger}."
    if found.leaf_in:
        yield found.leaf_in
    if best is not None and best.slid:
        yield f"For it {words.slid(best)}."
    if best is not None and found.others:
        other = found.others[0]
        yield f"Another way: {words.size(other)}, {other.where} ({words.cost(other)})."
    if not found.proved:
        yield "Not every place could be looked at closely; a better one is not ruled out."


def _tried(found: Found, spare: float) -> Iterator[Tried]:
    for option in found.front:
        best = found.best
        yield Tried(
            words.size(option),
            str(option.seats) if option.seats else "",
            _leaves(option) if option.margin < -1e-6 else words.spare(option),
            words.word(option, spare),
            best is not None and option.size == best.size,
        )


def _seats(found: Found) -> str:
    best = found.best
    if best is None or not best.by_rules:
        return ""
    rules = "; ".join(f"{count} by the rule “{rule}”" for rule, count in best.by_rules)
    return (
        f"How many sit there depends on how they are counted: {rules}. This page counts by "
        f"“{found.seats_rule}”."
    )
