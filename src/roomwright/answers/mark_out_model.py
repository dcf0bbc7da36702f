"""What a mark-out says, as plain frozen values: page, paper and command line draw from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from roomwright.answers.plan_model import Plan
from roomwright.answers.sheet_model import Caution
from roomwright.markout.baseline import Baseline
from roomwright.markout.checks import Check
from roomwright.markout.error import Ellipse
from roomwright.markout.model import Figure, Floor, Hook, Tape, Target
from roomwright.markout.order import Stand
from roomwright.markout.pole import Pole
from roomwright.markout.steps import Step
from roomwright.markout.sticks import Stick
from roomwright.markout.ties import There, TieFix

Method = Literal["ties", "baseline"]
Extra = Literal["chairs", "clearances", "lights"]

METHODS: tuple[Method, ...] = ("ties", "baseline")
EXTRAS: tuple[Extra, ...] = ("chairs", "clearances", "lights")


@dataclass(frozen=True, slots=True)
class Choice:
    """A piece of the room that may be marked: whether it is `chosen`, and what hinders if it can't.

    `standing` says that it is in the room now, `built_in` that its kind stays where it is put.
    """

    id: str
    name: str
    chosen: bool
    standing: bool
    built_in: bool
    hinder: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a mark-out is asked for; empty `pieces` leaves the choice to the program."""

    pieces: tuple[str, ...] = ()
    method: Method = "ties"
    extras: tuple[Extra, ...] = ()
    standing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MarkOut:
    """One mark-out, complete.

    `there` are the points that are fixed points themselves, `fixes` those by ties and `baselines`
    those measured off walls; a point that is free floor is in one of them or in `missed`.
    `troubles` say what cannot be marked and why, `rests_on` what the numbers lean on.
    """

    room: str
    name: str
    house: str
    asked: Asked
    choices: tuple[Choice, ...]
    plan: Plan
    floor: Floor
    tape: Tape
    targets: tuple[Target, ...]
    figures: tuple[Figure, ...]
    there: tuple[There, ...]
    fixes: tuple[TieFix, ...]
    baselines: tuple[Baseline, ...]
    missed: tuple[Target, ...]
    stands: tuple[Stand, ...]
    checks: tuple[Check, ...]
    steps: tuple[tuple[str, tuple[Step, ...]], ...]
    sticks: tuple[Stick, ...]
    poles: tuple[Pole, ...]
    troubles: tuple[str, ...]
    cautions: tuple[Caution, ...]
    rests_on: tuple[str, ...]

    @property
    def hooks(self) -> tuple[Hook, ...]:
        """The fixed points on which the tape is held, in order."""
        return tuple(stand.hook for stand in self.stands)

    @property
    def ellipses(self) -> dict[str, Ellipse]:
        """The 95 % ellipse of each marked point by its id."""
        found = {t.target.id: Ellipse(0.0, 0.0, 0.0) for t in self.there}
        found |= {f.target.id: f.ellipse for f in self.fixes}
        return found | {o.target.id: o.ellipse for b in self.baselines for o in b.offsets}

    @property
    def worst(self) -> float:
        """The largest position error of all marked points [in]; 0 where there is none."""
        return max((e.major for e in self.ellipses.values()), default=0.0)

    @property
    def rounding(self) -> float:
        """The most that rounding to the tape's fraction moves a point [in]."""
        moved = [f.rounding for f in self.fixes]
        moved += [o.rounding for b in self.baselines for o in b.offsets]
        return max(moved, default=0.0)

    @property
    def title(self) -> str:
        """The room's name and number."""
        return self.name if self.name == self.room else f"{self.name} {self.room}"
