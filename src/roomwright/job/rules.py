"""Which facts can't stand together. Checked on the result of every write.

Each rule takes the facts as they would be and what has changed, and looks at no more than that
can have broken. `examine` looks at everything.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache

from roomwright.job.entities import KINDS, Fact, Fixed, House, Light, Piece
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts, reference_targets
from roomwright.job.rules_of_shape import shape_rules
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


def lights_have_their_target(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """What a light is centered on is a piece or a fixed thing that is there."""
    touched = {c.id: c.after for c in changes if isinstance(c.after, Light)}
    gone = {c.id: c.before for c in changes if c.after is None and c.kind in ("piece", "fixed")}
    for light in touched.values():
        id = light.centred_on
        if id and id not in gone and not _thing(facts, id):
            message = f"light {light.id}: there is no piece or fixed thing {id} (centered on)."
            yield Problem("light", light.id, "centred_on", message)
    for id, was in gone.items():
        if not _thing(facts, id):
            for light in facts.where(Light, "centred_on", id):
                what = named(was, was.kind_name if was else "piece", id)
                message = f"{what} is still needed by light {light.id}, which is centered on it."
                yield Problem("light", light.id, "centred_on", message)


def _thing(facts: Facts, id: str) -> bool:
    return facts.find(Piece, id) is not None or facts.find(Fixed, id) is not None


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
    lights_have_their_target,
    *shape_rules,
    *tape_rules,
    *walking_rules,
    *work_rules,
)
