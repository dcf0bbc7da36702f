"""Cautions of a room's wall sheet: what in this room can hurt whoever works on it.

Each is asked for by words in the names of what the room gets (classes of parts, pieces, fixed
things). They stand on the sheet from the first day to the last; what is due on a day is for Today.
The sheet ends them with `ENDING`. The program never approves.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from roomwright.answers.sheet_model import Caution
from roomwright.supply.cautions import ENDING

__all__ = ["ENDING", "RULES", "cautions", "still_to_say"]

SAME: Final = {"dust of tile and stone": "dust", "open stair": "stair"}
"""Cautions that are due on a day, and what a sheet says of the same danger."""


@dataclass(frozen=True, slots=True)
class _Rule:
    key: str
    about: str
    """Pattern in the name of a thing in the room."""
    says: str
    source: str
    unless: str = ""
    """Pattern in the same name that takes it out again."""


RULES: Final[tuple[_Rule, ...]] = (
    _Rule(
        "gas",
        r"\bgas\b|propane",
        "Gas: shut it off before you open a joint; test every joint for leaks before you light it. "
        "If you smell gas, leave and call from outside.",
        "NFPA 54, leak checks [from memory]",
        unless=r"ready",
    ),
    _Rule(
        "power",
        r"receptacle|switch|dimmer|light|pendant|chandelier|sconce|\bfan\b|hood|range|dryer|"
        r"dishwasher|disposer|thermostat|alarm|heater|doorbell|microwave|"
        r"\belectric(al|ian)\b|\bpanel directory|\b[ag]fci\b",
        "Power off, locked off, and tested dead before you touch a wire or a box.",
        "29 CFR 1926.416(a), work near electric circuits [from memory]",
    ),
    _Rule(
        "hung overhead",
        r"pendant|chandelier|ceiling fan|\bhood\b|tv wall mount",
        "Hung things: the box or blocking must be rated for the weight; pull on it before you let "
        "go.",
        "NFPA 70, 314.27, outlet boxes that support fixtures [from memory]",
    ),
    _Rule(
        "tall and heavy",
        r"tall cabinet|wall cabinet|bookcase|dresser|media cabinet|sideboard|refrigerator|"
        r"closet system",
        "Tall and wall-hung cases tip: screw them to studs or blocking before you load or leave "
        "them.",
        "16 CFR 1261, stability of clothing storage units, for dressers [from memory]; common "
        "practice for the rest",
    ),
    _Rule(
        "range that tips",
        r"\brange\b.*\banti-?tip|\banti-?tip\b.*\brange\b",
        "A range tips when a load rests on its open door: screw its anti-tip bracket to the "
        "floor or wall, set the leg in it, and try it before you leave.",
        "maker's installation instructions [common practice]",
    ),
    _Rule(
        "heavy",
        r"\btub\b|countertop|vanity top|range(?! hood| recept)|refrigerator|washer(?! box)|"
        r"dryer(?! recept| vent)|fireplace|toilet(?!-| paper)|sectional",
        "Heavy: two people and a dolly, and a clear way before you lift.",
        "common practice",
    ),
    _Rule(
        "glass",
        r"glass|mirror",
        "Glass: two people, gloves, stand it on wood. Wet places and doors take safety glazing "
        "with its mark.",
        "16 CFR 1201, safety standard for architectural glazing [from memory]",
    ),
    _Rule(
        "dust",
        r"\btile\b|countertop|vanity top|stone",
        "Cut tile and stone wet or with a vacuum and wear a respirator: the dry dust harms the "
        "lungs.",
        "29 CFR 1926.1153, respirable crystalline silica [from memory]",
    ),
    _Rule(
        "hot water",
        r"\bshower\b(?! glass| drain| niche| bench| curtain)|\btub\b|lavatory faucet|hand shower",
        "Hot water: set and measure the limit at the valve before anyone bathes.",
        "residential code, IRC P2708, temperature control valves [from memory]",
    ),
    _Rule(
        "stair",
        r"\bstairs?\b",
        "Open stair: keep the temporary rail and the light until the real rail is on.",
        "29 CFR 1926.1052(c), stair rails [from memory]",
    ),
    _Rule(
        "finish fumes",
        r"\bpaint\b|wood plank|wood floor",
        "Finishes: air the room; spread oily rags flat outdoors to dry, for in a heap they "
        "catch fire by themselves.",
        "common practice",
    ),
)


def cautions(things: Iterable[str]) -> tuple[Caution, ...]:
    """The cautions that things named so ask for, each once, in a fixed order.

    >>> [c.key for c in cautions(["Range, 30 in. gas", "Range receptacle 50 A"])]
    ['gas', 'power', 'heavy']
    """
    names = [each.lower() for each in things]
    return tuple(
        Caution(rule.key, rule.says, rule.source)
        for rule in RULES
        if any(
            re.search(rule.about, name) and not (rule.unless and re.search(rule.unless, name))
            for name in names
        )
    )


def still_to_say(things: Iterable[str], due: Iterable[str]) -> tuple[Caution, ...]:
    """Return the cautions of things but for those that cautions which are due (keys) tell already.

    >>> [c.key for c in still_to_say(["Floor tile", "Tub"], ["dust of tile and stone"])]
    ['heavy', 'hot water']
    """
    told = {SAME[key] for key in due if key in SAME}
    return tuple(c for c in cautions(things) if c.key not in told)
