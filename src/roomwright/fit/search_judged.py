"""The trials of a table, each place judged by all that it changes, for the faster search."""

from collections.abc import Callable

from roomwright.fit.bounds import Floats
from roomwright.fit.given import Needs, Piece, Space
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_strips import Strips
from roomwright.fit.trial import Paths, Trial, Trials
from roomwright.shape import Outline


class Judged(Trials):
    """A table's `Trials`, each place judged by all that it changes."""

    def __init__(
        self,
        space: Space,
        needs: Needs,
        room: Outline | None = None,
        judged: Callable[[], None] = lambda: None,
    ) -> None:
        super().__init__(space, needs, room, judged)
        self._judge = Judge(space, needs, room)
        self._strips = Strips(self._judge)

    @property
    def effort(self) -> int:
        """Places judged, and the paths to what people go to that were measured at them."""
        return self.judged + self._judge.measured

    def of(self, piece: Piece, paths: Paths | None = None) -> Trial | None:
        """A place judged, given its walk paths or not; None if the table cannot stand there."""
        paths = paths or self.paths(piece)
        return None if paths is None else self._judge.of(piece, paths)

    def most(self, corners: Floats, piece: Piece) -> Floats:
        """The most that margins can be for boxes, by what they take from others and bar."""
        return self._strips.most(corners, piece.sort)
