"""The figures that one house, or one room of it, goes by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from .figure import CHOSEN, Figure, FiguresError, near, value_of


@dataclass(frozen=True, slots=True)
class Figures:
    """Every figure of a chosen set, overrides laid over it. Made by `Book.choose`."""

    set: str
    by_key: Mapping[str, Figure] = field(repr=False)

    def get(self, key: str) -> Figure:
        """The figure under a key; FiguresError names the near ones.

        >>> from roomwright.figures import load
        >>> figure = load().choose("kitchen and bath guidelines").get("bath.toilet_front")
        >>> figure.shown(), figure.standing, figure.set
        ('21"', 'law as adopted', 'residential code')
        """
        try:
            return self.by_key[key]
        except (KeyError, TypeError):
            raise FiguresError(f"There is no figure “{key}”: {near(key, self.by_key)}") from None

    def __iter__(self) -> Iterator[Figure]:
        return iter(self.by_key.values())

    def override(
        self, mapping: Mapping[str, Fraction | float | str], where: str = "this house"
    ) -> Figures:
        """The same figures with some replaced by the builder's own.

        Parameters
        ----------
        mapping : Mapping[str, Fraction | float | str]
            Key to value, as a length in any notation or a number in the figure's unit.
        where : str
            What it holds for ("this house", "room 101"); shown in the citation.

        Raises
        ------
        FiguresError
            An unknown key, or a value that is no length; nothing is replaced then.

        Examples
        --------
        >>> from roomwright.figures import load
        >>> house = load().choose("kitchen and bath guidelines")
        >>> room = house.override({"dining.walk_past": "3'-6"}, where="room 101")
        >>> room.get("dining.walk_past").shown(), house.get("dining.walk_past").shown()
        ('42"', '44"')
        """
        if not mapping:
            return self
        laid = dict(self.by_key)
        wrong: list[str] = []
        for key, given in mapping.items():
            try:
                laid[key] = _overridden(self.get(key), given, where)
            except FiguresError as error:
                wrong.append(str(error))
        if wrong:
            raise FiguresError(" ".join(wrong))
        return Figures(self.set, laid)


def _overridden(was: Figure, given: object, where: str) -> Figure:
    value = value_of(was.key, was.unit, given)
    published = was
    while published.replaces:
        published = published.replaces
    note = ""
    if published.standing == "law as adopted" and value != published.value:
        note = (
            f"the code's figure is {published.shown()} ({published.section}); "
            "the inspector decides, follow local code"
        )
    return replace(
        was,
        value=value,
        source=CHOSEN,
        section=where,
        edition=published.edition,
        standing=CHOSEN,
        note=note,
        overridden=True,
        replaces=was,
    )
