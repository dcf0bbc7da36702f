"""What the builder is told about a survey, in plain words."""

from __future__ import annotations

import math

import shapely

from roomwright.lengths import inches, tape

from .model import Observation, Survey
from .snoop import Verdict

WEAK = 24.0  # an error that only shows when it is larger than this is as good as unseen [in]


def remarks(done: Survey, verdict: Verdict, *, unsure: bool, planned: bool) -> tuple[str, ...]:
    """Sentences: suspects, what the readings cannot tell, and what to take next."""
    said = [*_suspects(done), *_square(done, verdict), *_blind(done)]
    if not shapely.Polygon(done.outline).is_valid:
        said.insert(
            0,
            "So taped, walls of this room cross each other: check the corner letters and the "
            "order of the corners before anything else.",
        )
    if verdict.fit.full:
        said.append(
            "So many readings disagree that no more were set aside: check the corner letters, "
            "and that all were taken to one face."
        )
    if unsure:
        said.append(
            "Another order of corners suits the walls nearly as well: draw the room, or give the "
            "turn at each corner."
        )
    if not planned:
        said.append(
            "Without a plan the corners are taken to run counterclockwise, seen from above."
        )
    return tuple(said)


def _up(length: float) -> str:
    """An error printed to the next quarter inch up, so that it is not promised too small."""
    return inches(math.ceil(4 * length) / 4, 4)


def _suspects(done: Survey) -> list[str]:
    said = []
    by_id = {t.observation.id: t.observation for t in done.readings}
    for t in done.suspects():
        o, how = t.observation, "long" if t.error > 0 else "short"
        off = tape(abs(t.error), 8)
        text = f"{_line(o)} {tape(o.length)} is about {off} too {how}: not used."
        others = sorted({_rival(o, by_id[r]) for r in t.rivals})
        if others:
            what = "It could also be" if len(others) == 1 else "It could also be one of"
            text += f" {what} {', '.join(others)}."
        said.append(text)
    return said


def _line(o: Observation) -> str:
    return f"{o.from_} to {o.to}"


def _rival(bad: Observation, other: Observation) -> str:
    """What else could be wrong; a second reading of the same two corners is named as that."""
    same = {bad.from_, bad.to} == {other.from_, other.to}
    return f"the other reading of it, {tape(other.length)}" if same else _line(other)


def _square(done: Survey, verdict: Verdict) -> list[str]:
    if verdict.how == "square":
        return []
    blamed = {k for n in verdict.other.named for k in (n.reading, *n.rivals)}
    lines = list(dict.fromkeys(_line(done.readings[k].observation) for k in sorted(blamed)))
    said = "The readings agree with each other only in a room that is out of square."
    if not lines:
        return [said]
    one_of = "one of " if len(lines) > len(verdict.other.named) else ""
    return [f"{said} If it is square, doubt {one_of}{', '.join(lines)}."]


def _blind(done: Survey) -> list[str]:
    used = [t for t in done.readings if not t.aside]
    names = [c.name for c in done.corners]
    ring = {frozenset(p) for p in zip(names, [*names[1:], names[0]], strict=True)}
    across = any(frozenset((t.observation.from_, t.observation.to)) not in ring for t in used)
    said = []
    if not across and len(names) > 3:
        said.append("Walls alone cannot name a bad reading: take a diagonal.")
    elif not done.can_name and len(names) > 3:
        said.append("There are too few readings to tell a bad one from every other.")
    blind = list(dict.fromkeys(_line(t.observation) for t in used if t.detectable > WEAK))
    if blind:
        said.append(f"Nobody would notice an error in {', '.join(blind)}: take it twice.")
    worst = max((t.detectable for t in used), default=math.inf)
    if used and worst <= WEAK:
        said.append(f"An error of {_up(worst)} in any one reading would be noticed.")
    if done.next_diagonal is not None:
        d = done.next_diagonal
        taken = {frozenset((t.observation.from_, t.observation.to)) for t in used}
        again = " again" if frozenset((d.from_, d.to)) in taken else ""
        after = (
            f": an error of {_up(d.detectable_after)} would then be noticed"
            if d.detectable_after <= WEAK
            else ""
        )
        said.append(f"Next, take {d.from_} to {d.to}{again} (about {tape(d.length)}){after}.")
    return said
