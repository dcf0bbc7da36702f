"""A table with its leaf in: the same place, longer by what all leaves together add."""

import re
from dataclasses import replace

from roomwright.fit.model import Piece


def grown(piece: Piece) -> Piece | None:
    """The table with its leaves in; None if it has none, or its size is not known.

    It grows along its longer side (its width where both are equal), to both sides alike. A round
    top becomes one with round ends and straight sides.

    >>> table = Piece("T1", "round table", "table", 48, 48, 30, 0, 0, features="leaf 18")
    >>> longer = grown(table)
    >>> longer.width, longer.depth, longer.form.name, longer.features
    (66.0, 48, 'racetrack', 'shape racetrack')
    """
    leaf = piece.told.leaf if piece.features else 0.0
    if not leaf or piece.width is None or piece.depth is None or piece.drawn:
        return None
    rest = [
        plain
        for phrase in re.split(r"[;\n]", piece.features)
        if (plain := phrase.strip()) and plain.split()[0].lower() not in ("leaf", "leaves")
    ]
    width, depth = piece.width, piece.width if piece.round else piece.depth
    if piece.round:
        rest = [each for each in rest if not each.lower().startswith("shape")]
        rest.append("shape racetrack")
    if width >= depth:
        width += leaf
    else:
        depth += leaf
    return replace(piece, width=width, depth=depth, features="; ".join(rest))
