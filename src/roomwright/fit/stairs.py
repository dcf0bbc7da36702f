"""Risers of a stair after the floors and the treads are finished.

Stringers are cut for equal risers from subfloor to subfloor. Then floors and treads of other
thicknesses go on: the first riser gains a tread and loses the lower floor, the last gains the
upper floor and loses a tread; those between keep their height.
"""

from dataclasses import dataclass

from roomwright.fit.model import Finding, Flight, Needs, Word
from roomwright.fit.verdicts import EVEN, INSPECTOR, PRACTICE, length, spare_text
from roomwright.lengths import tape


@dataclass(frozen=True, slots=True)
class Risers:
    """Heights of the risers of a finished flight [in]: the first, one between, the last.

    A flight of one or two risers has none `between`.
    """

    first: float
    between: float | None
    last: float

    @property
    def highest(self) -> float:
        """The highest of them [in]."""
        return max(self._all)

    @property
    def spread(self) -> float:
        """Highest less lowest [in]."""
        return self.highest - min(self._all)

    @property
    def _all(self) -> tuple[float, ...]:
        known = (self.first, self.between, self.last)
        return tuple(height for height in known if height is not None)

    @property
    def drop(self) -> float:
        """Lower the whole stringer by this and the first riser equals the last [in]."""
        return (self.first - self.last) / 2


def risers(flight: Flight) -> Risers | None:
    """Heights of the finished risers; None while a floor's build-up is not known.

    >>> risers(Flight("S1", 122, 16, 10, 1, lower=0.75, upper=0.75))
    Risers(first=7.875, between=7.625, last=7.375)
    """
    if flight.lower is None or flight.upper is None:
        return None
    unit = flight.rise / flight.risers
    if flight.risers == 1:
        only = unit - flight.lower + flight.upper
        return Risers(only, None, only)
    between = unit if flight.risers > 2 else None
    return Risers(unit - flight.lower + flight.tread, between, unit + flight.upper - flight.tread)


def _told(name: str, flight: Flight, heights: Risers) -> str:
    """The heights as a sentence begins with them."""
    if flight.risers == 1:
        return f"{name} after finishes: its one riser is {length(heights.first)}"
    first_last = f"first riser {length(heights.first)}, last {length(heights.last)}"
    told = f"{name} after finishes: {first_last}"
    return told if heights.between is None else f"{told}, {length(heights.between)} between"


def check(flight: Flight, needs: Needs) -> tuple[Finding, ...]:
    """What the finished flight misses or meets; the inspector decides, whatever it says."""
    found = [*_risers(flight, needs)]
    found += _least(flight, needs, "stair.tread_min", flight.run, "tread depth")
    found += _least(flight, needs, "stair.headroom", flight.headroom, "headroom, plumb")
    found += _least(flight, needs, "stair.width", flight.width, "width")
    return tuple(found)


def _risers(flight: Flight, needs: Needs) -> list[Finding]:
    name = f"Stair {flight.id}"
    heights = risers(flight)
    if heights is None:
        text = f"{name}: measure the floor build-up below and above it before cutting treads."
        return [Finding("stair riser", Word.MEASURE, text, flight.room, (flight.id,))]
    told = _told(name, flight, heights)
    highest, spread = needs.get("stair.riser_max"), needs.get("stair.riser_spread")
    found = []
    cure = _cure(heights, highest, spread)
    if highest is not None:
        over = heights.highest - highest
        if over > EVEN:
            text = f"{told}; the highest is over {length(highest)} by {length(over)}. {cure}"
            found.append(_short("stair riser", text, flight, "stair.riser_max", over))
        else:
            text = f"{told}; meets {length(highest)}; {INSPECTOR}; {PRACTICE}."
            found.append(Finding("stair riser", Word.MEETS, text, flight.room, (flight.id,)))
    if spread is not None and heights.spread > spread + EVEN:
        over = heights.spread - spread
        text = (
            f"{told}; they differ by {length(heights.spread)}, over {length(spread)} "
            f"by {length(over)}. {cure}"
        )
        found.append(_short("stair spread", text, flight, "stair.riser_spread", over))
    return found


def _cure(heights: Risers, highest: float | None, spread: float | None) -> str:
    """What to do, where moving the stringers alone does it."""
    even = Risers(heights.first - heights.drop, heights.between, heights.last + heights.drop)
    cures = (highest is None or even.highest <= highest + EVEN) and (
        spread is None or even.spread <= spread + EVEN
    )
    if cures and abs(heights.drop) > EVEN:
        verb = "Lower" if heights.drop > 0 else "Raise"
        what = (
            f"{verb} the stringers {length(abs(heights.drop))} before the treads are ordered: "
            f"first and last riser are then {length(even.first)}"
        )
    else:
        what = "Change the floor build-up or the tread before the treads are ordered"
    return f"{what}. The inspector decides; {PRACTICE}."


def _short(kind: str, text: str, flight: Flight, figure: str, by: float) -> Finding:
    return Finding(kind, Word.SHORT, text, flight.room, (flight.id,), by=by, figure=figure)


def _least(
    flight: Flight, needs: Needs, figure: str, have: float | None, what: str
) -> list[Finding]:
    """A length of the flight that must not be less than a figure."""
    wanted = needs.get(figure)
    if wanted is None:
        return []
    kind = f"stair {what.split(',')[0]}"
    if have is None:
        text = f"Stair {flight.id}: measure its {what}."
        return [Finding(kind, Word.MEASURE, text, flight.room, (flight.id,), figure=figure)]
    margin = have - wanted
    if margin < -EVEN:
        text = (
            f"Stair {flight.id}: {what} {tape(have)} is under {tape(wanted)} by {length(-margin)}. "
            f"The inspector decides; {PRACTICE}."
        )
        return [_short(kind, text, flight, figure, -margin)]
    text = (
        f"Stair {flight.id}: {what} {tape(have)} meets {tape(wanted)}, {spare_text(margin)}; "
        f"{INSPECTOR}; {PRACTICE}."
    )
    return [
        Finding(
            kind,
            Word.MEETS,
            text,
            flight.room,
            (flight.id,),
            figure=figure,
            clear=have,
            needs=wanted,
        )
    ]
