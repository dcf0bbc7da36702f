"""Random houses for the tests: networks of any kind, spreads, progress."""

from __future__ import annotations

import random
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from tests.schedule.random_networks import HOUSE, START, network

from roomwright.chances import Factor, Spread, Uncertain
from roomwright.schedule import Network, Progress

FACTORS = (Factor("tile", 0.2), Factor("weather", 0.5))


@dataclass(frozen=True)
class House:
    network: Network
    uncertain: list[Uncertain]
    as_of: date
    progress: dict[str, Progress]
    not_before: dict[str, float]

    @property
    def settings(self) -> dict[str, Any]:
        return {
            "calendar": HOUSE,
            "as_of": self.as_of,
            "progress": self.progress,
            "not_before": self.not_before,
        }


def house(seed: int, size: tuple[int, int] = (3, 40)) -> House:
    """All kinds of links and lags; two in three with crews, half with elapsed lags and begun."""
    net = network(seed, size=size, elapsed=seed % 2 == 0, crews=seed % 3 != 0)
    begun = seed % 4 > 1
    ids = [a.id for a in net]
    return House(
        net,
        spreads(net, seed),
        START + timedelta(14) if begun else START,
        told(net, seed) if begun else {},
        {ids[0]: 5, ids[-1]: 7.5},
    )


def spreads(net: Network, seed: int) -> list[Uncertain]:
    pick, found = random.Random(seed), []
    for a in net:
        days = float(a.days)
        kind = pick.choice(["fixed", "triangular", "pert", "lognormal"])
        shared = tuple(f.name for f in FACTORS if pick.random() < 0.3)
        luck = pick.choice(["", "", "", "one truck"])
        if pick.random() < 0.2:
            continue
        if kind == "fixed":
            spread = Spread.fixed(days + 1)
        elif kind == "lognormal":
            likely = max(days, 0.5)
            spread = Spread("lognormal", likely * 0.7, likely, likely * 1.8)
        else:
            spread = Spread(kind, days * 0.5, days, days * 2 + 1)
        found.append(Uncertain(a.id, spread, shared, luck))
    return found


def told(net: Network, seed: int) -> dict[str, Progress]:
    pick, found = random.Random(seed), {}
    for a in net:
        if pick.random() < 0.3:
            start = START + timedelta(pick.randint(0, 12))
            if pick.random() < 0.5:
                found[a.id] = Progress(start, start + timedelta(pick.randint(0, 6)))
            else:
                found[a.id] = Progress(start, None, pick.choice([None, 0, 1, 2.5]))
    return found
