"""Kinds of pieces of the builder's own (kinds.csv), as the fit engine takes them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from roomwright.answers.engine import Ask, query
from roomwright.fit.kinds import Kind, KindError
from roomwright.fit.own_kinds import OwnKind, kind_among, own_kind
from roomwright.job import entities


@dataclass(frozen=True, slots=True)
class OwnKinds:
    """The builder's kinds by all their names, their figures [in] and what to print beside them."""

    kinds: Mapping[str, Kind] = field(default_factory=dict)
    figures: Mapping[str, float] = field(default_factory=dict)
    source: Mapping[str, str] = field(default_factory=dict)

    def named(self, name: str) -> Kind | None:
        """The kind of the builder's own that a name means; None if it means none."""
        return kind_among(name, self.kinds) if self.kinds else None


def read(fact: entities.PieceKind) -> OwnKind:
    """A row of kinds.csv as a kind.

    Raises
    ------
    KindError
        Where it cannot be read; the message says which kind and side, and what to write.
    """
    return own_kind(
        fact.id,
        fact.like,
        fact.also,
        fact.front,
        fact.back,
        fact.left,
        fact.right,
        fact.around,
        fact.note,
    )


@query("own kinds")
def own_kinds(ask: Ask) -> OwnKinds:
    """All kinds of the builder's own; one that cannot be read is left out (`check` names it)."""
    kinds: dict[str, Kind] = {}
    figures: dict[str, float] = {}
    source: dict[str, str] = {}
    for fact in ask.all(entities.PieceKind):
        try:
            found = read(fact)
        except KindError:
            continue
        for name in (found.kind.name, *found.also):
            kinds.setdefault(name, found.kind)
        figures.update(found.figures)
        source.update(found.source)
    return OwnKinds(kinds, figures, source)
