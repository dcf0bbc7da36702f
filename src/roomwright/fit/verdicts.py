"""Verdicts in the words a builder reads: fits, tight, short by n, blocked, measure, meets.

*fits* leaves at least the larger of 2 in. and the tape's 95 % error; *tight* leaves less, down to
nothing; *short* works but is below the figure, which is named. Where a code governs there is no
plain *fits*: the figure is met and the inspector decides.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from roomwright.fit.model import Verdict, Word
from roomwright.lengths import tape

EVEN = 1e-6
"""Margins this close to nothing are nothing: float rounding, far below any tape [in]."""

FINE = (Word.FITS, Word.MEETS)

INSPECTOR = "the inspector decides"
PRACTICE = "follow local code and licensed practice"


def spare_text(margin: float) -> str:
    """A margin as read aloud.

    >>> spare_text(7), spare_text(0)
    ('7" to spare', 'nothing to spare')
    """
    return "nothing to spare" if margin <= EVEN else f"{length(margin)} to spare"


def length(value: float) -> str:
    """A length to 1/16 in., or finer where that would print as nothing.

    >>> length(1.5), length(0.02), length(0.003)
    ('1 1/2"', '1/64"', 'less than 1/64"')
    """
    for per_inch in (16, 64):
        told = tape(value, per_inch)
        if told != '0"' or abs(value) <= EVEN:
            return told
    return 'less than 1/64"'


def measure(why: str) -> Verdict:
    """The verdict while something is not known yet."""
    return Verdict(Word.MEASURE, f"measure: {why}")


def blocked(why: str) -> Verdict:
    """The verdict where something cannot open, pass, or escape."""
    return Verdict(Word.BLOCKED, f"blocked: {why}")


def judge(
    clear: float | None,
    needs: float,
    spare: float,
    purpose: str,
    *,
    governed: bool = False,
) -> Verdict:
    r"""Compare a clear distance with what is needed there.

    Parameters
    ----------
    clear, needs, spare
        The clear distance, the figure, and what must be left for a plain *fits* [in].
    purpose
        What the room is for, with its preposition: "for walking behind someone seated".
    governed
        Whether a code governs: then never a plain *fits*.

    >>> judge(39, 44, 2, "for walking behind someone seated").text
    'short 5" for walking behind someone seated'
    >>> judge(45, 44, 2, "for walking behind someone seated").word.value
    'tight'
    >>> judge(30, 21, 2, "in front of the toilet", governed=True).text
    'meets 1\'-9" in front of the toilet, 9" to spare; the inspector decides'
    """
    if clear is None:
        return measure(f"the clear distance {purpose} is not known")
    margin = clear - needs
    if margin < -EVEN:
        tail = f"; {INSPECTOR}" if governed else ""
        more = -margin if governed else spare - margin
        return Verdict(Word.SHORT, f"short {length(-margin)} {purpose}{tail}", -margin, more=more)
    left = spare_text(margin)
    lost = ((max(0.0, margin), Word.SHORT),)
    if governed:
        text = f"meets {tape(needs)} {purpose}, {left}; {INSPECTOR}"
        return Verdict(Word.MEETS, text, steps=lost)
    if margin < spare - EVEN:
        return Verdict(Word.TIGHT, f"tight, {left}", steps=lost, more=spare - margin)
    return Verdict(
        Word.FITS, f"fits, {left}", steps=((max(0.0, margin - spare), Word.TIGHT), *lost)
    )


def worst(verdicts: Iterable[Verdict | None], nothing: str = "nothing is asked of it") -> Verdict:
    """The gravest of several verdicts; of equals the one that is short by most.

    >>> worst([judge(50, 44, 2, "x"), None, judge(39, 44, 2, "for walking past")]).text
    'short 5" for walking past'
    """
    known = [verdict for verdict in verdicts if verdict is not None]
    if not known:
        return Verdict(Word.FITS, f"fits: {nothing}")
    gravest = max(known, key=lambda verdict: (verdict.word.rank, verdict.by or 0.0))
    worse = [s for v in known for s in v.steps if s[1].rank > gravest.word.rank]
    steps = tuple(sorted(worse, key=lambda s: (s[0], -s[1].rank)))
    return replace(gravest, steps=steps, more=_most([v for v in known if v.word not in FINE]))


def _most(lacking: Sequence[Verdict]) -> float | None:
    """What makes all of them fit, each having so much more; None where a number does not do it."""
    wanted = [verdict.more for verdict in lacking if verdict.more is not None]
    return max(wanted) if wanted and len(wanted) == len(lacking) else None


def fits_with(verdict: Verdict) -> str:
    """What more makes it fit, in words; nothing where it does or no number is known.

    >>> fits_with(judge(39, 44, 2, "x")), fits_with(judge(19.5, 21, 2, "x", governed=True))
    ('7" more and it fits', '1 1/2" more meets the figure')
    """
    if verdict.more is None:
        return ""
    more = tape(math.ceil(verdict.more * 16 - EVEN) / 16)
    governed = verdict.by is not None and verdict.more <= verdict.by + EVEN
    return f"{more} more meets the figure" if governed else f"{more} more and it fits"


def until(verdict: Verdict, ends_at: str = "") -> str:
    r"""The number that turns a verdict, in words; nothing where none is known.

    `ends_at` is what the clear distance ends at. What may be lost is rounded down to 1/16 in.,
    what is missing rounded up, so that the sentence is never too kind.

    >>> until(judge(53, 44, 2, "for walking past"), "north wall")
    'fits until the north wall is 7" short'
    >>> until(judge(45, 44, 2, "for walking past"), "sideboard S1")
    'tight until the sideboard S1 stands 1" nearer; 1" more and it fits'
    >>> until(judge(39, 44, 2, "for walking past"))
    'short until there is 5" more; 7" more and it fits'
    """
    told, more = _turning(verdict, ends_at), fits_with(verdict)
    if told and more.endswith("fits"):
        return f"{told}; {more}"
    return told


def _turning(verdict: Verdict, ends_at: str) -> str:
    """What turns it to a worse word; for what is short, to a better one."""
    word = verdict.word.value
    if verdict.word is Word.SHORT and verdict.by is not None:
        return f"{word} until there is {tape(math.ceil(verdict.by * 16 - EVEN) / 16)} more"
    turn = verdict.turn
    if turn is None:
        return ""
    loss = math.floor(turn[0] * 16 + EVEN) / 16
    if not loss:
        return f"{word}, and not {tape(1 / 16)} less"
    if ends_at.endswith("wall"):
        return f"{word} until the {ends_at} is {tape(loss)} short"
    if ends_at:
        return f"{word} until the {ends_at} stands {tape(loss)} nearer"
    return f"{word} until {tape(loss)} is lost"
