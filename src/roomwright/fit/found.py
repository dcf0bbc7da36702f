"""What the fit engine answers: verdicts, sides, walk paths, findings; the whole is `RoomFit`."""

from dataclasses import dataclass
from enum import StrEnum

from roomwright.fit.given import Local, Piece
from roomwright.shape import Outline, Point, Segment


class Word(StrEnum):
    """A verdict in one word, mildest first (`rank`)."""

    FITS = "fits"
    MEETS = "meets"
    TIGHT = "tight"
    MEASURE = "measure"
    SHORT = "short"
    BLOCKED = "blocked"

    @property
    def rank(self) -> int:
        """Place in the order from fits to blocked."""
        return list(Word).index(self)


@dataclass(frozen=True, slots=True)
class Verdict:
    """A verdict: its `word`, the inches it is short `by` if it is, and `text` to read.

    `steps` says what it turns to once so much is lost there: pairs of inches and word, mildest
    first. `more` is how much more there makes it fit, or meet its figure where a code governs [in];
    None where it does already, or where no number does it.
    """

    word: Word
    text: str
    by: float | None = None
    steps: tuple[tuple[float, Word], ...] = ()
    more: float | None = None

    @property
    def turn(self) -> tuple[float, Word] | None:
        """The least loss that makes the word worse, and that word; None where none is known."""
        worse = [step for step in self.steps if step[1].rank > self.word.rank]
        return min(worse, key=lambda step: (step[0], -step[1].rank), default=None)


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a piece: the clear distance in front of it against what its use needs.

    `side` is the compass word of its outward direction ("around" for a round piece), `at` the
    two ends of the clear distance, `binding` what it ends at, `figure` the key of `needs`.
    A side that needs nothing has `needs`, `margin` and `verdict` None. Where a door's swing
    binds, `shut` and `shut_binding` are the distance and its end while the door is shut.
    """

    side: str
    local: Local
    clear: float | None
    needs: float | None
    margin: float | None
    use: str
    binding: str
    binding_id: str
    at: Segment | None
    figure: str
    verdict: Verdict | None
    overridden: bool = False
    why: str = ""
    shut: float | None = None
    shut_binding: str = ""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two opposite sides together: what is left for both, wherever the piece stands between."""

    sides: tuple[str, str]
    clear: float
    needs: float
    margin: float
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Finding:
    """Something wrong or worth knowing in a room.

    `kind` is a stable word for programs, `text` a sentence for the builder, `by` how far off
    [in] if that is a length, `figure` the key of the figure it is held against, `at` where.
    """

    kind: str
    severity: Word
    text: str
    room: str
    ids: tuple[str, ...] = ()
    by: float | None = None
    figure: str = ""
    at: Segment | None = None
    clear: float | None = None
    needs: float | None = None


@dataclass(frozen=True, slots=True)
class Zone:
    """Floor that something takes while it is used.

    `owner` and `name` say whose it is, `use` is a class of the table `zones.toml` (open, before,
    stand, sit, swing, walk), `what` says it in words ("oven door", "person", "chairs").
    """

    owner: str
    name: str
    side: str
    outline: Outline
    use: str
    what: str
    room: str = ""


@dataclass(frozen=True, slots=True)
class Move:
    """A cure: move a piece to `x, y`, `by` inches `toward` a compass word; all sides then pass."""

    piece: str
    x: float
    y: float
    by: float
    toward: str


@dataclass(frozen=True, slots=True)
class PieceFit:
    """A piece with its verdict (the worst of its sides and findings), seats and sides.

    `seats` follow `seats_rule`; `seats_by` has the count of every named rule, for they disagree,
    `seats_note` what legs changed. `zones` are what it takes while it is used: drawers and
    doors that are open, people before it, its chairs.
    """

    piece: Piece
    verdict: Verdict
    sides: tuple[Side, ...]
    pairs: tuple[Pair, ...] = ()
    seats: int = 0
    chairs: tuple[Outline, ...] = ()
    seats_rule: str = ""
    spare_length: float = 0.0
    findings: tuple[Finding, ...] = ()
    cure: Move | None = None
    seats_by: tuple[tuple[str, int], ...] = ()
    seats_note: str = ""
    zones: tuple[Zone, ...] = ()


@dataclass(frozen=True, slots=True)
class Way:
    """A walk path between two openings and its tightest point from `p` to `q` [in]."""

    from_: str
    to: str
    tightest: float
    p: Point
    q: Point
    needs: float | None
    verdict: Verdict
    figure: str = ""
    points: tuple[Point, ...] = ()
    between: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class GoalPath:
    """The widest path from an opening to a thing.

    Where it is wide enough `width` is what is needed and `enough` says that it may be wider; else
    it is exact to 1/64 in., from below, and `p` and `q` are the ends of the tightest place.
    """

    goal: str
    name: str
    room: str
    from_: str
    width: float
    enough: bool
    needs: float | None
    figure: str
    verdict: Verdict
    p: Point | None = None
    q: Point | None = None
    between: tuple[str, str] = ("", "")
    does: str = ""


@dataclass(frozen=True, slots=True)
class Link:
    """A thing, or a set of them, against what it should be centered on.

    `taken` where nobody said what it belongs to. `off` is how far its middle is from there [in],
    `moves` the way there as (inches, compass word). A set has the `gaps` between its middles and,
    where it hangs over a thing, its distances from that thing's `ends`.
    """

    ids: tuple[str, ...]
    on: str
    name: str
    on_name: str
    taken: bool
    verdict: Verdict
    off: float | None = None
    moves: tuple[tuple[float, str], ...] = ()
    at: Segment | None = None
    gaps: tuple[float, ...] = ()
    ends: tuple[float, ...] = ()
    room: str = ""


@dataclass(frozen=True, slots=True)
class Shift:
    """A thing, or a set of them, to move: the way as (inches, compass word), `how`, in words.

    `by` is the same way as a vector [in].
    """

    ids: tuple[str, ...]
    name: str
    moves: tuple[tuple[float, str], ...]
    by: Point
    how: str


@dataclass(frozen=True, slots=True)
class Chain:
    """Links from a thing at the end to the one that all of them are centered on, the anchor.

    `off` is how far the first is from the anchor [in]: small errors of links add up. `cure` is
    what is cheapest to move now so that all that hangs on this anchor is centered; empty where
    all is, or where something has no place. `held` are pieces that may not be moved for it, for
    that would leave one of them or a walk path short.
    """

    anchor: str
    links: tuple[Link, ...]
    verdict: Verdict
    off: float | None = None
    cure: tuple[Shift, ...] = ()
    held: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RoomFit:
    """All that holds in one room: size, pieces, walk paths, paths to goals, findings."""

    room: str
    area: float
    perimeter: float
    pieces: tuple[PieceFit, ...]
    ways: tuple[Way, ...]
    findings: tuple[Finding, ...]
    goals: tuple[GoalPath, ...] = ()
    chains: tuple[Chain, ...] = ()
