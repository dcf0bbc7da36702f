"""A command: say what tells a piece from others of its kind."""

from __future__ import annotations

import difflib
from typing import ClassVar

from roomwright.commands.base import BadCommandError, Command, Past, Work, capital, edit, need
from roomwright.fit.features import EXAMPLES, WORDS, features_of
from roomwright.fit.forms import form
from roomwright.job.entities import Id, Piece, Text
from roomwright.job.facts import Facts
from roomwright.job.words import named


class Describe(Command):
    """Say what tells a piece from others of its kind: legs pedestal; leaf 18. Empty: nothing."""

    command_name: ClassVar[str] = "describe"

    piece: Id
    features: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the piece with its features; what is not understood is refused, not kept."""
        piece = need(facts, Piece, self.piece, "piece")
        told = features_of(self.features)
        if told.unknown:
            shown = " or ".join(f"“{each}”" for each in told.unknown) + " is not understood"
            heads = (each.split()[0].lower() for each in told.unknown)
            near = [w for head in heads for w in difflib.get_close_matches(head, WORDS, 1, 0.6)]
            says = ", ".join(EXAMPLES[word] for word in near or ("legs", "leaf", "hinge", "seat"))
            raise BadCommandError(
                (
                    "features",
                    f"{shown}. Say it as in: {says}.",
                )
            )
        if piece.width and piece.depth and not piece.outline:
            made = form(piece.kind, float(piece.width), float(piece.depth), (), told)
            if made.wrong:
                raise BadCommandError(("features", f"{capital(made.wrong)}."))
        what = capital(named(piece, "piece", piece.id))
        plain = "; ".join(p for part in self.features.split(";") if (p := " ".join(part.split())))
        if plain == piece.features:
            return Work([], f"{what} is described so already.")
        was = f" (was {piece.features})" if piece.features else ""
        said = f"{what}: {plain}{was}." if plain else f"{what}: nothing more is said of it{was}."
        return Work([edit(piece, features=plain)], said)
