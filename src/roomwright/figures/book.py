"""Every figure the program knows, read from the package's own data files."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from importlib.resources import files
from typing import Any

from roomwright.lengths import parse

from .chosen import Figures
from .figure import STANDINGS, UNITS, Figure, FiguresError, near, value_of
from .seats import SeatRow, SeatTable

_LAYERS = ("kitchen-and-bath", "hud-1973", "common-practice", "accessible", "residential-code")


@dataclass(frozen=True, slots=True)
class Book:
    """All sets of figures.

    Attributes
    ----------
    sets : tuple of str
        The sets a house may choose, the default first.
    seat_sets : tuple of str
        The named seat rules.
    edition : str
        A hash of the data: it changes when any figure does.
    """

    sets: tuple[str, ...]
    seat_sets: tuple[str, ...]
    edition: str
    keys: tuple[str, ...] = field(repr=False)
    layers: Mapping[str, Mapping[str, Figure]] = field(repr=False)
    chains: Mapping[str, tuple[str, ...]] = field(repr=False)
    seat_tables: Mapping[str, SeatTable] = field(repr=False)
    seat_rules: Mapping[str, str] = field(default_factory=dict, repr=False)

    @property
    def default(self) -> str:
        """The set of a house that names none."""
        return self.sets[0]

    def choose(
        self,
        set_name: str = "",
        overrides: Mapping[str, Fraction | float | str] | None = None,
    ) -> Figures:
        """The figures of a named set ("" is the default), with a house's overrides.

        Each key is answered by the first set of the chain that has it, and says which.
        FiguresError for an unknown set, key or value.

        >>> chosen = load().choose("common practice", {"seat.width": "26"})
        >>> [(f.shown(), f.standing) for f in map(chosen.get, ("dining.rise", "seat.width"))]
        [('36"', 'common practice'), ('26"', 'chosen by the builder')]
        """
        name = " ".join(str(set_name).split()) or self.default
        known = {s.casefold(): s for s in self.sets}
        if name.casefold() not in known:
            raise FiguresError(f"There is no set of figures “{name}”: {near(name, self.sets)}")
        name = known[name.casefold()]
        found: dict[str, Figure] = {}
        for key in self.keys:
            for layer in self.chains[name]:
                if key in self.layers[layer]:
                    found[key] = self.layers[layer][key]
                    break
        return Figures(name, found).override(overrides or {})

    def choices(self, key: str) -> tuple[Figure, ...]:
        """Every named figure for a key: where sources disagree, the builder chooses.

        >>> [(f.shown(), f.set) for f in load().choices("dining.walk_past")][:2]
        [('44"', 'kitchen and bath guidelines'), ('38"', 'HUD 1973')]
        """
        if key not in self.keys:
            raise FiguresError(f"There is no figure “{key}”: {near(key, self.keys)}")
        return tuple(layer[key] for layer in self.layers.values() if key in layer)

    def seat_rule(self, set_name: str) -> str:
        """The seat rule that a set counts by; the first of `seat_sets` unless it names another.

        >>> load().seat_rule("HUD 1973"), load().seat_rule("common practice")
        ('handbook', '24 in. rule')
        """
        return self.seat_rules.get(set_name, self.seat_sets[0])

    def seat_table(self, name: str) -> SeatTable:
        """A named seat rule; FiguresError names the near ones.

        >>> [(row.seats, int(row.least)) for row in load().seat_table("handbook").rows]
        [(4, 54), (6, 79), (8, 104), (10, 129)]
        """
        try:
            return self.seat_tables[name]
        except (KeyError, TypeError):
            message = f"There is no seat rule “{name}”: {near(name, self.seat_tables)}"
            raise FiguresError(message) from None


@lru_cache(maxsize=1)
def load() -> Book:
    """Read the package's figures; kept after the first call.

    >>> load().sets
    ('kitchen and bath guidelines', 'HUD 1973', 'common practice', 'accessible')
    """
    raw = {p.name: p.read_bytes() for p in sorted(_files(), key=lambda p: str(p.name))}
    data = {name.removesuffix(".toml"): tomllib.loads(b.decode()) for name, b in raw.items()}
    digest = hashlib.sha256(b"".join(raw.values())).hexdigest()[:12]
    about: dict[str, tuple[str, str]] = {k: (u, t) for k, (u, t) in data["keys"]["keys"].items()}
    layers = {}
    for name in _LAYERS:
        layer = _layer(data[name], about)
        layers[data[name]["name"]] = layer
    chains = {k: tuple(v) for k, v in data["sets"]["chains"].items()}
    for name, chain in chains.items():
        missing = set(about).difference(*(layers[c] for c in chain))
        if missing:
            raise FiguresError(f"The set “{name}” has no answer for {', '.join(sorted(missing))}.")
    default = data["sets"]["default"]
    seats = {name: _seats(name, rule) for name, rule in data["seats"]["rules"].items()}
    return Book(
        sets=(default, *(name for name in chains if name != default)),
        seat_sets=tuple(seats),
        edition=digest,
        keys=tuple(about),
        layers=layers,
        chains=chains,
        seat_tables=seats,
        seat_rules=data["sets"].get("seats", {}),
    )


def _files() -> list[Any]:
    folder = files(__package__).joinpath("data")
    return [p for p in folder.iterdir() if p.name.endswith(".toml")]


def _layer(data: Mapping[str, Any], about: Mapping[str, tuple[str, str]]) -> dict[str, Figure]:
    layer: dict[str, Figure] = {}
    for key, entry in data["figures"].items():
        if key not in about:
            raise FiguresError(f"{data['name']}: “{key}” is not listed in keys.toml.")
        unit, title = about[key]
        said = {**data["source"], **entry}
        if unit not in UNITS or said["standing"] not in STANDINGS:
            raise FiguresError(f"{data['name']}: “{key}” has an unknown unit or standing.")
        layer[key] = Figure(
            key=key,
            value=value_of(key, unit, said["value"]),
            unit=unit,
            title=title,
            source=said.get("source", data["source"]["title"]),
            section=said["section"],
            edition=said["edition"],
            standing=said["standing"],
            set=data["name"],
            note=said.get("note", ""),
        )
    return layer


def _seats(name: str, rule: Mapping[str, Any]) -> SeatTable:
    rows = tuple(SeatRow(int(n), parse(a), parse(b)) for n, a, b in rule.get("rows", []))
    said = {k: rule.get(k, "") for k in ("title", "source", "section", "edition")}
    return SeatTable(
        name=name, standing=rule["standing"], note=rule.get("note", ""), rows=rows, **said
    )
