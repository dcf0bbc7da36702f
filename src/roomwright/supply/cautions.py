"""Cautions that are due: where the order of the work can hurt someone.

A rule knows work by words of its name or its trade, and parts by words of their class's name, so it
holds for any house. `danger` is the work that brings the danger; the caution is due from when that
work can begin within a week, and until every activity that `safe` names is done. A plan that has
no such activity at all is told so: nobody has planned it.

The program reminds; it never approves. Each caution ends with `ENDING`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from roomwright.days import Calendar, show_date
from roomwright.supply.model import Work

ENDING: Final = "Follow local code and licensed practice."
AHEAD: Final = 5
"""A caution is due when the work it is about can begin within so many working days."""


@dataclass(frozen=True, slots=True)
class Rule:
    """When to say what.

    Attributes
    ----------
    danger : str
        pattern in the name or trade of the work that brings the danger; empty for a danger that is
        there from the first day of any work
    safe : str
        pattern in the name of what must be done to be safe; empty where nothing ends it but the end
        of the work itself
    stays : bool
        whether the danger goes on after that work is done, until `safe` is
    enough : str
        ``all`` of the activities that match `safe` must be done, or ``any`` of them
    only_with : str
        pattern that a class or an activity of the house must match for the rule to hold at all
    says : str
        the caution; `{work}`, `{safe}` and `{when}` are filled in
    unplanned : str
        the caution where no activity matches `safe`
    source : str
    """

    key: str
    danger: str
    says: str
    source: str
    safe: str = ""
    stays: bool = False
    enough: Literal["all", "any"] = "all"
    only_with: str = ""
    unplanned: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution that is due, and which activities it is about.

    They are the work that brings the danger, the earliest first, and then the open steps that end
    it. A danger that is there all along (an open stair) names those steps only.
    """

    key: str
    text: str
    activities: tuple[str, ...]
    source: str


_HEAT: Final = r"\bheat(ing|er)?\b(?<!water heater)|\bfurnace\b|\bboiler\b|\bhvac start"
_GAS: Final = r"\bgas\b|\bpropane\b"
_FUEL: Final = _GAS + r"|\bfurnace\b|\bboiler\b|\bfireplace\b|\bstove\b|\boil\b"
_STAIR: Final = r"\bstairs?\b"
_GUARD: Final = (
    _STAIR + r".*\b(rails?|guards?|balusters?|newels?)\b"
    r"|\b(hand|guard)rails?\b|\bbalusters?\b|\bnewels?\b"
)

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        "heat before gas test",
        danger=_HEAT,
        safe=r"\bgas\b.*\b(test|pressure)|\b(test|pressure)\b.*\bgas\b",
        stays=True,
        only_with=_GAS,
        says="No gas heat before the gas piping is tested: {safe} is not done ({when}). A leak "
        "fills the house.",
        unplanned="No gas heat before the gas piping is tested, and the plan has no such test. "
        "Add it before {work}.",
        source="Fuel gas codes ask for a pressure test before use (NFPA 54, inspection and "
        "testing of piping) [from memory]",
    ),
    Rule(
        "heat before alarm",
        danger=_HEAT,
        safe=r"\bco\b|carbon monoxide",
        stays=True,
        enough="any",
        only_with=_FUEL,
        says="No fuel heat without a carbon monoxide alarm that works: {safe} is not done "
        "({when}).",
        unplanned="No fuel heat without a carbon monoxide alarm that works, and the plan has no "
        "such step. Put one on each floor before {work}.",
        source="Residential code, carbon monoxide alarms (IRC R315) [from memory]",
    ),
    Rule(
        "alarms not yet final",
        danger=_HEAT,
        safe=r"\bsmoke\b.*\balarms?\b|\balarms?\b.*\bsmoke\b",
        stays=True,
        says="While the house is heated and its own smoke and CO alarms are not tested ({safe}, "
        "{when}): keep temporary alarms working on each floor, and test them weekly.",
        unplanned="The plan has no step that tests smoke and CO alarms. Add it, and keep temporary "
        "alarms working on each floor.",
        source="Residential code, smoke and CO alarms (IRC R314, R315) [from memory]",
    ),
    Rule(
        "open stair",
        danger="",
        safe=_GUARD,
        stays=True,
        only_with=_STAIR,
        says="Open stair: {safe} is not done ({when}). Until then keep a temporary rail and guard "
        "on the stair and every open edge, and light on it.",
        unplanned="The house has a stair, and the plan has no step for its rail and guard. Keep a "
        "temporary rail and guard on it, and add the step.",
        source="29 CFR 1926.1052(c), stair rails; residential code, guards (IRC R312) "
        "[from memory]",
    ),
    Rule(
        "dust of tile and stone",
        danger=r"\btile\b|\bstone\b|\bbacker\b|\bcountertop install",
        says="Cutting and grinding for {work}: dry dust of tile, stone and cement harms the lungs. "
        "Cut wet or with a vacuum, and wear a respirator where the table asks for one.",
        source="29 CFR 1926.1153, table 1, respirable crystalline silica [from memory]",
    ),
    Rule(
        "hood and make-up air",
        danger=r"\bhood\b(?! duct)",
        only_with=r"make-?up air",
        says="A strong hood can pull flue gas into the house: after {work}, do not run it until "
        "its make-up air works.",
        source="Residential code, make-up air for kitchen exhaust (IRC M1503) [from memory]",
    ),
    Rule(
        "furniture that tips",
        danger=r"\bfurniture\b",
        says="Strap chests, bookcases and sets to the wall the day they are set ({work}), "
        "children's rooms first.",
        source="16 CFR 1261, clothing storage units; makers' instructions [from memory]",
    ),
)


def cautions(
    work: Iterable[Work],
    classes: Iterable[str],
    calendar: Calendar,
    as_of: date,
    rules: Iterable[Rule] = RULES,
    ahead: int | None = AHEAD,
) -> tuple[Caution, ...]:
    """Return the cautions that are due on a day.

    Parameters
    ----------
    work : iterable of Work
        the activities with their state and dates
    classes : iterable of str
        names of what is built in: they tell gas from electric, and whether there is a stair
    calendar : Calendar
    as_of : date
    ahead : int, optional
        working days within which the dangerous work can begin; None for whenever that is

    Examples
    --------
    >>> house = Calendar(date(2027, 1, 18))
    >>> site = [Work("S1", "Stair treads, rail, balusters", "trim", "to do",
    ...              start=date(2027, 4, 15), last_day=date(2027, 4, 20))]
    >>> print(cautions(site, ["Stair finish set"], house, date(2027, 4, 12))[0].text)
    Open stair: Stair treads, rail, balusters is not done (planned for Apr 20). Until then keep a
    temporary rail and guard on the stair and every open edge, and light on it. Follow local code
    and licensed practice.
    """
    site, words = list(work), list(classes)
    words += [w.name for w in site]
    found = (_due(rule, site, words, calendar, as_of, ahead) for rule in rules)
    return tuple(c for c in found if c is not None)


def _due(
    rule: Rule,
    site: list[Work],
    words: list[str],
    calendar: Calendar,
    as_of: date,
    ahead: int | None,
) -> Caution | None:
    if rule.only_with and not any(_matches(rule.only_with, w) for w in words):
        return None
    safe = [w for w in site if rule.safe and _matches(rule.safe, w.name)]
    danger = [
        w
        for w in site
        if _matches(rule.danger, w.name, w.trade)
        and (w.state != "done" or rule.stays)
        and (ahead is None or calendar.between(as_of, w.start) <= ahead)
    ]
    if not danger:
        return None
    open_steps = [w for w in safe if w.state != "done"]
    if safe and (not open_steps or (rule.enough == "any" and len(open_steps) < len(safe))):
        return None
    if rule.safe and not safe and not rule.unplanned:
        return None
    first = min(danger, key=lambda w: (w.state == "done", w.start))
    about = [] if rule.safe and not rule.danger and open_steps else sorted(danger, key=_begins)
    if open_steps:
        last = max(open_steps, key=lambda w: w.last_day)
        when = f"planned for {show_date(last.last_day, as_of)}"
        text = rule.says.format(work=first.name, safe=last.name, when=when)
        about += [w for w in sorted(open_steps, key=_begins) if w not in about]
    else:
        says = rule.unplanned if rule.safe else rule.says
        text = says.format(work=first.name)
    return Caution(rule.key, f"{text} {ENDING}", tuple(w.activity for w in about), rule.source)


def _begins(work: Work) -> tuple[date, str]:
    return work.start, work.activity


def _matches(pattern: str, *texts: str) -> bool:
    return any(re.search(pattern, text, re.IGNORECASE) for text in texts)
