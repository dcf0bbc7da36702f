"""What a survey says, in a builder's words: the same on the page, in print and on the line."""

from __future__ import annotations

import math

from roomwright.answers.survey import Read, RoomSurvey
from roomwright.answers.survey_upright import Edge, Upright
from roomwright.lengths import tape
from roomwright.survey.compare import WallDifference

UNSEEN = 24.0
"""An error that shows only when it is larger than this is as good as unseen [in]."""

LITTLE = 0.25
"""A reading that lowers the worst detectable error by less than this is not asked for [in]."""

OF_ITS_OWN = ("Next, take", "An error of")
"""How the notes begin that `next_said` says in its own way."""

FINE = 1 / 32
"""Smaller differences are not told [in]."""


def noticed(each: Read) -> str:
    """How large an error in a reading would be noticed: 1 3/16", or nobody would notice."""
    if each.taken is None or each.taken.aside:
        return ""
    seen = each.taken.detectable
    return tape(seen, 8) if math.isfinite(seen) and seen <= UNSEEN else "nobody would notice"


def fate(each: Read) -> str:
    """Whether a reading is used, and if not, who says so; by how much it is off is said once."""
    if each.fact.aside:
        return "set aside"
    return "doubtful, not used" if each.suspect else ""


def told_of(this: RoomSurvey) -> list[str]:
    """What the readings tell; what to tape next is a sentence of its own (`next_said`)."""
    found = this.found.notes if this.found is not None else ()
    return [*(note for note in found if not note.startswith(OF_ITS_OWN)), *this.notes]


def plan_said(wall: WallDifference) -> str:
    """A wall, planned against measured."""
    told = f"Wall {wall.wall}: planned {tape(wall.planned)}, taped {tape(wall.measured)}"
    if abs(wall.difference) < FINE:
        return f"{told}, the same."
    how = "longer" if wall.difference > 0 else "shorter"
    by = f"{tape(abs(wall.difference))} {how}"
    return f"{told}, {by}." if wall.sure else f"{told}, {by}: within the tape's error."


def square_said(wall: WallDifference) -> str:
    """How far the corner at a wall's start is from the plan, over the wall's length; "" if none."""
    if abs(wall.turned) <= wall.turned_error or abs(wall.turned_in) < FINE:
        return ""
    how = "opens" if wall.turned > 0 else "closes"
    length = tape(wall.measured)
    return (
        f"Corner {wall.from_} {how} by {tape(abs(wall.turned_in))} over the {length} of its wall."
    )


def heights_said(high: Upright) -> list[str]:
    """What the heights tell, in sentences."""
    found = high.found
    if found is None:
        return [high.trouble] if high.trouble else []
    at = "the middle" if found.low_at == "middle" else f"corner {found.low_at}"
    said = [f"Lowest {tape(found.low)} at {at}, {high.words}."]
    if found.spread >= FINE:
        where = "the middle" if found.high_at == "middle" else f"corner {found.high_at}"
        said.append(f"Highest {tape(found.high)} at {where}: {tape(found.spread)} between them.")
    if found.sag is not None and abs(found.sag) >= FINE:
        how = "lower" if found.sag > 0 else "higher"
        why = ": the ceiling hangs or the floor is crowned" if found.sag > 0 else ""
        said.append(f"The middle is {tape(abs(found.sag))} {how} than the corners{why}.")
    if found.slope is not None and found.slope >= 1 / 64:
        said.append(f"It runs out by {tape(found.slope, 32)} in a foot.")
    return said


def opening_said(each: Edge) -> str:
    """Where an opening is by the tape, against where it is drawn."""
    if each.trouble:
        return f"{each.thing}: {each.trouble}"
    placed = each.placed
    if placed is None:
        return ""
    told = []
    for name, at, drawn in zip(
        ("starts", "ends"), (placed.start, placed.end), each.planned or (0.0, 0.0), strict=True
    ):
        if at is not None:
            told.append(f"{name} {tape(at)} from {each.wall} (drawn {tape(drawn)})")
    text = f"{each.thing} {' and '.join(told)}, give or take {tape(placed.error)}."
    if placed.doubtful and placed.misses is not None:
        text += f" The readings from both corners miss by {tape(placed.misses)}: tape it again."
    return text


def next_said(this: RoomSurvey) -> str:
    """The reading to take next, as one sentence; "" where none would help."""
    found = this.found
    each = found.next_diagonal if found is not None else None
    if found is None or each is None:
        return ""
    taken = {frozenset((t.observation.from_, t.observation.to)) for t in found.readings}
    again = " again" if frozenset((each.from_, each.to)) in taken else ""
    text = f"Next, tape {each.from_} to {each.to}{again}: it should read about {tape(each.length)}."
    before, after = each.detectable_before, each.detectable_after
    if after > UNSEEN:
        return text
    if before <= UNSEEN and before - after < LITTLE:
        return (
            f"Enough is taped: an error of {tape(before, 8)} in any one reading would be noticed. "
            f"{each.from_} to {each.to} again would help most, and little."
        )
    instead = f" instead of {tape(before, 8)}" if before <= UNSEEN else ""
    return f"{text} Then an error of {tape(after, 8)}{instead} would be noticed."
