"""Kinds of one's own can be read; what is said of a piece is understood; its outline holds."""

from __future__ import annotations

import difflib
from collections.abc import Iterator

from roomwright.exchange.cells import said
from roomwright.exchange.rules.broken import Broken, Lacks, ring
from roomwright.fit import features, forms, kinds
from roomwright.fit.own_kinds import kind_among, own_kind
from roomwright.job.entities import Piece, PieceKind
from roomwright.job.facts import Facts


def pieces(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """Kinds of one's own make sense; pieces are of a known kind, with features that are known."""
    own: dict[str, kinds.Kind] = {}
    for fact in facts.all(PieceKind):
        try:
            made = own_kind(fact.id, fact.like, fact.also, fact.front, fact.back, fact.left,
                            fact.right, fact.around, fact.note)  # fmt: skip
        except kinds.KindError as error:
            field = _field(fact, str(error))
            cure = (
                "name a kind of the program's own, as in docs/kinds.md, not one of yours"
                if field == "like"
                else "write a length, then what for: 36 open the drawers"
            )
            yield Broken("kind", fact.id, field, "error", str(error), cure)
            continue
        for name in (made.kind.name, *made.also):
            if name in own:
                yield Broken("kind", fact.id, "also", "warning",
                             f"{said(name)} is a name of two kinds of your own",
                             "keep the name with one of them")  # fmt: skip
            own.setdefault(name, made.kind)
    for piece in facts.all(Piece):
        yield from _kind(piece, own)
        yield from _features(piece)
        yield from _outline(piece)


def _field(fact: PieceKind, error: str) -> str:
    """The column that a message is about."""
    for side in ("front", "back", "left", "right", "around"):
        if f", {side}:" in error:
            return side
    return "like" if "is like" in error else "id"


def _kind(piece: Piece, own: dict[str, kinds.Kind]) -> Iterator[Broken]:
    if kind_among(piece.kind, own) is None and not kinds.kind_of(piece.kind).known:
        plain = piece.kind.split(",")[0].strip().lower()
        near = difflib.get_close_matches(plain, [*kinds.table(), *own], n=1, cutoff=0.8)
        if near:
            yield Broken("piece", piece.id, "kind", "warning",
                         f"nothing is known of a {said(piece.kind)}, so only its size counts",
                         f"did you mean {near[0]}?")  # fmt: skip


def _features(piece: Piece) -> Iterator[Broken]:
    for phrase in features.features_of(piece.features).unknown:
        word = phrase.split()[0].lower()
        near = difflib.get_close_matches(word, features.WORDS, n=1, cutoff=0.6)
        if word in features.WORDS:
            do = f"see {word} in docs/kinds.md; say it as in {features.EXAMPLES[word]}"
        elif near:
            do = f"did you mean {near[0]}, as in {features.EXAMPLES[near[0]]}?"
        else:
            do = "leave it for a note, or say it as in legs pedestal; leaf 18 (docs/kinds.md)"
        yield Broken("piece", piece.id, "features", "warning",
                     f"{said(phrase)} is not understood and does not count", do)  # fmt: skip


def _outline(piece: Piece) -> Iterator[Broken]:
    wide = None if piece.width is None else float(piece.width)
    deep = None if piece.depth is None else float(piece.depth)
    if piece.outline:
        wrong = forms.drawn_wrong(ring(piece.outline), wide, deep)
        field = "outline"
    elif wide and deep:
        told = features.features_of(piece.features)
        wrong, field = forms.form(piece.kind, wide, deep, (), told).wrong, "features"
    else:
        return
    if wrong:
        yield Broken("piece", piece.id, field, "warning",
                     f"{wrong}; it is taken as its width by its depth",
                     "the shape is about its own center, back to the south")  # fmt: skip
