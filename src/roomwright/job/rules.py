"""Which facts can't stand together. Checked on the result of every write.

Each rule takes the facts as they would be and what has changed, and looks at no more than that
can have broken. `examine` looks at everything.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from typing import get_origin

from roomwright.job.entities import KINDS, Fact, House
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts, reference_targets
from roomwright.job.rules_of_calendars import calendar_rules
from roomwright.job.rules_of_centring import centring_rules
from roomwright.job.rules_of_crews import crew_rules
from roomwright.job.rules_of_people import people_rules
from roomwright.job.rules_of_shape import shape_rules
from roomwright.job.rules_of_supply import supply_rules
from roomwright.job.rules_of_tape import tape_rules
from roomwright.job.rules_of_walking import walking_rules
from roomwright.job.rules_of_work import work_rules
from roomwright.job.words import named

Rule = Callable[[Facts, Sequence[Change]], Iterable[Problem]]


def check(facts: Facts, changes: Sequence[Change]) -> list[Problem]:
    """Return what is wrong with the facts after the changes, given that all was well before."""
    return [problem for rule in RULES for problem in rule(facts, changes)]


def examine(facts: Facts) -> list[Problem]:
    """Return all that is wrong with the facts."""
    return check(facts, [Change(f.kind_name, f.id, None, f) for f in facts])


LISTED = frozenset(
    kind
    for model in KINDS.values()
    for field, kind in model.references.items()
    if get_origin(model.model_fields[field].annotation) is tuple
)
"""Kinds of which several stand in one field, with commas or semicolons between their ids."""


def parts_a_list(kind: str, id: str) -> bool:
    """Whether an id would be read as several where it stands in a list.

    >>> parts_a_list("activity", "A1, A2"), parts_a_list("vendor", "Rye, Inc.")
    (True, False)
    """
    return kind in LISTED and any(mark in id for mark in ",;")


def ids_are_plain(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Ids are printable, without blanks around them; the house's is ``house``."""
    for c in changes:
        if c.after is None:
            continue
        if not c.id.isprintable() or c.id != c.id.strip():
            yield Problem(
                c.kind, c.id, "id",
                f"{c.id!r} can't be the id of {_a(c.kind)}: no blanks around it and printable "
                "characters only.",
            )  # fmt: skip
        if c.before is None and parts_a_list(c.kind, c.id):
            yield Problem(
                c.kind, c.id, "id",
                f"“{c.id}” can't be the id of {_a(c.kind)}: in a list a comma or semicolon parts "
                "one id from the next. Leave it out.",
            )  # fmt: skip
        if c.kind == House.kind_name and c.id != "house":
            yield Problem(c.kind, c.id, "id", "There is one house, and its id is “house”.")


def references_hold(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Each fact referred to is there, and none is taken away while another refers to it."""
    for c in changes:
        if c.after is not None:
            for field, kind, id in reference_targets(c.after):
                if facts.fact(kind, id) is None:
                    yield Problem(
                        c.kind, c.id, field,
                        f"{named(c.after, c.kind, c.id)}: there is no {named(None, kind, id)}"
                        f" ({field.replace('_', ' ')}).",
                    )  # fmt: skip
        elif facts.fact(c.kind, c.id) is None:
            users = list(referring(facts, c.kind, c.id))
            if users:
                names = ", ".join(named(f, f.kind_name, f.id) for f in users[:5])
                more = f" and {len(users) - 5} more" if len(users) > 5 else ""
                yield Problem(
                    c.kind, c.id, "",
                    f"{named(c.before, c.kind, c.id)} is still needed by {names}{more}: "
                    "move or remove those first.",
                )  # fmt: skip


def referring(facts: Facts, kind: str, id: str) -> Iterator[Fact]:
    """Yield the facts that refer to this one, each once."""
    seen: set[tuple[str, str]] = set()
    for model, field in _pointing(kind):
        for fact in facts.where(model, field, id):
            key = (fact.kind_name, fact.id)
            if key not in seen and id not in model.open_ends:
                seen.add(key)
                yield fact


@cache
def _pointing(kind: str) -> tuple[tuple[type[Fact], str], ...]:
    return tuple(
        (model, field)
        for model in KINDS.values()
        for field, target in model.references.items()
        if target == kind
    )


def _a(kind: str) -> str:
    noun = named(None, kind, "").strip()
    return f"an {noun}" if noun[0] in "aeio" else f"a {noun}"


RULES: tuple[Rule, ...] = (
    ids_are_plain,
    references_hold,
    *centring_rules,
    *shape_rules,
    *tape_rules,
    *walking_rules,
    *work_rules,
    *calendar_rules,
    *supply_rules,
    *crew_rules,
    *people_rules,
)
