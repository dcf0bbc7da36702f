"""What a changed wall does to the openings in it: some no longer lead to the room they led to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from roomwright.commands.base import BadCommandError, edited
from roomwright.exchange import rules
from roomwright.job.entities import Opening
from roomwright.job.facts import Change, Facts


def joined(facts: Facts, changes: Sequence[Change], field: str) -> tuple[list[Change], str]:
    """Return the changes with each opening that lost the room behind it leading out, and words.

    Raises
    ------
    BadCommandError
        on `field`, if something else would lie where it can't: an opening off its own wall.
    """
    made = list(changes)
    loose: list[str] = []
    had = _errors(facts)

    def fresh(now: Sequence[Change]) -> list[rules.Broken]:
        return [b for key, b in _errors(facts.changed(now)).items() if key not in had]

    wrong = fresh(made)
    for id in dict.fromkeys(b.id for b in wrong if b.kind == "opening"):
        for other in _leading_out(facts.changed(made).get(Opening, id)):
            tried = _put(facts, made, other)
            if not any(b.id == id and b.kind == "opening" for b in fresh(tried)):
                made = tried
                loose.append(id)
                break
    if loose:
        wrong = fresh(made)
    _refuse(wrong, field)
    if not loose:
        return made, ""
    names = " and ".join(loose)
    return made, f" {names} no longer {'leads' if len(loose) == 1 else 'lead'} to another room."


def sound(facts: Facts, changes: Sequence[Change], field: str) -> None:
    """Refuse changes after which something lies where it can't.

    Raises
    ------
    BadCommandError
        on `field`.
    """
    had = _errors(facts)
    _refuse([b for key, b in _errors(facts.changed(changes)).items() if key not in had], field)


def _errors(facts: Facts) -> dict[tuple[str, str, str], rules.Broken]:
    return {(b.kind, b.id, b.field): b for b in rules.broken(facts) if b.severity == "error"}


def _refuse(wrong: Sequence[rules.Broken], field: str) -> None:
    if wrong:
        first = wrong[0]
        raise BadCommandError((field, f"then {first.wrong}: {first.do}, or take it out first."))


def _leading_out(opening: Opening) -> Iterator[Opening]:
    """The opening in the wall of the one room or of the other, leading out."""
    for inside, beyond in (
        (opening.from_room, opening.to_room),
        (opening.to_room, opening.from_room),
    ):
        if inside in opening.open_ends:
            continue
        swings = "out" if opening.swings_into == beyond else opening.swings_into
        yield edited(opening, from_room=inside, to_room="out", swings_into=swings)


def _put(facts: Facts, changes: list[Change], fact: Opening) -> list[Change]:
    rest = [c for c in changes if (c.kind, c.id) != ("opening", fact.id)]
    return [*rest, Change("opening", fact.id, facts.find(Opening, fact.id), fact)]
