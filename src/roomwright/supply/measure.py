"""Field measures: when one may be taken, and whether one that was taken still holds.

A thing that is made to a measure is worth nothing if the measure was taken too soon or if later
work changed what was measured. So a measure has a *condition*, work that must be done before it is
true (tile grouted, casing on, bases set), and a list of work that *touches* what was measured.

Days are whole: work that touches and was worked on after the day of the measure spoils it, and so
does such work on that same day, since nobody can say which came first. Work of the condition may be
finished on the day of the measure.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from roomwright.days import show_date
from roomwright.schedule import Progress

Stand = Literal["can't be taken yet", "to take", "holds", "expired"]


class MeasureError(ValueError):
    """A measure is recorded that cannot be true yet; the message says what must be done first."""


@dataclass(frozen=True, slots=True)
class Condition:
    """What makes a measure true, and what spoils it.

    Attributes
    ----------
    after : tuple of str
        activities that must be done before the measure
    spoiled_by : tuple of str
        activities that change what is measured if they come after it
    words : str
        the condition as the builder says it: "tile grouted"
    """

    after: tuple[str, ...]
    spoiled_by: tuple[str, ...] = ()
    words: str = ""


@dataclass(frozen=True, slots=True)
class Standing:
    """Whether a measure holds, why, and the activities that decide it."""

    stand: Stand
    text: str
    activities: tuple[str, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether one may order by it."""
        return self.stand == "holds"


def check_measure(
    condition: Condition,
    on: date,
    progress: Mapping[str, Progress],
    names: Mapping[str, str] | None = None,
) -> None:
    """Refuse a measure that was taken before it could be true.

    Raises
    ------
    MeasureError
        naming every activity of the condition that was not done by that day

    Examples
    --------
    >>> glass = Condition(("TILE",), words="tile grouted")
    >>> check_measure(glass, date(2027, 5, 3), {}, {"TILE": "Tile shower"})
    Traceback (most recent call last):
    roomwright.supply.measure.MeasureError: measured May 3, but Tile shower is not done. It must be
    measured with tile grouted: measure again after that.
    """
    told = names or {}
    wrong = []
    for id in condition.after:
        done = progress.get(id, Progress()).finished
        if done is None:
            wrong.append(f"{told.get(id, id)} is not done")
        elif done > on:
            wrong.append(f"{told.get(id, id)} was done {show_date(done, on)}")
    if wrong:
        must = f"It must be measured with {condition.words}: m" if condition.words else "M"
        raise MeasureError(
            f"measured {show_date(on)}, but {' and '.join(wrong)}. {must}easure again after that."
        )


def measure_stands(
    condition: Condition,
    taken: date | None,
    progress: Mapping[str, Progress],
    names: Mapping[str, str] | None = None,
) -> Standing:
    """Return whether a measure can be taken, must be, holds, or has expired.

    Parameters
    ----------
    condition : Condition
    taken : date, optional
        day of the latest measure
    progress : mapping of str to Progress
        what has happened to each activity
    names : mapping of str to str, optional
        names of activities, for the text

    Examples
    --------
    >>> glass = Condition(("TILE",), spoiled_by=("CURB",))
    >>> done = {"TILE": Progress(finished=date(2027, 4, 30))}
    >>> measure_stands(glass, date(2027, 5, 3), done).stand
    'holds'
    >>> later = {**done, "CURB": Progress(started=date(2027, 5, 4))}
    >>> measure_stands(glass, date(2027, 5, 3), later, {"CURB": "Stone curb"}).text
    'measured May 3, but Stone curb was worked on since: measure again'
    """
    told = names or {}
    undone = tuple(i for i in condition.after if progress.get(i, Progress()).finished is None)
    if taken is None:
        if undone:
            return Standing(
                "can't be taken yet", f"first: {_named(undone, told)}", activities=undone
            )
        return Standing("to take", "measure now: all that it waits for is done")
    try:
        check_measure(condition, taken, progress, told)
    except MeasureError as wrong:
        late = tuple(
            i
            for i in condition.after
            if (f := progress.get(i, Progress()).finished) is None or f > taken
        )
        return Standing("expired", str(wrong), late)
    spoiled = tuple(i for i in condition.spoiled_by if _since(i, taken, condition, progress))
    if spoiled:
        was = "was" if len(spoiled) == 1 else "were"
        text = f"measured {show_date(taken)}, but {_named(spoiled, told)} {was} worked on since"
        return Standing("expired", f"{text}: measure again", spoiled)
    return Standing("holds", f"measured {show_date(taken)}")


def _since(id: str, taken: date, condition: Condition, progress: Mapping[str, Progress]) -> bool:
    told = progress.get(id, Progress())
    if told.started is None and told.finished is None:
        return False
    same_day_is_fine = id in condition.after
    if told.finished is None:  # under way: it is being changed
        return True
    return told.finished > taken or (told.finished == taken and not same_day_is_fine)


def _named(ids: Iterable[str], names: Mapping[str, str]) -> str:
    return " and ".join(names.get(i, i) for i in ids)
