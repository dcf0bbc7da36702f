"""The survey of a room against a general least squares of its coordinates."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from scipy.optimize import least_squares
from tests.survey.rooms import TAPE, plant, readings, room
from tests.survey.test_network import angles_of

from roomwright.survey import Observation, Survey, adjust, survey
from roomwright.survey.network import network
from roomwright.survey.spoken import parse

Case = tuple[str, str, float | None, Callable[[], object], str, Callable[[], object] | None]


def of_corners(count: int) -> int:
    """The first seed whose room has so many corners."""
    return next(seed for seed in range(1, 1000) if len(room(seed, skewed=False).names) == count)


def general(seed: int, found: list[Observation]) -> Callable[[], object]:
    """The same coordinates by scipy, derivatives by differences, no covariance."""
    built = room(seed, skewed=False)
    net = network(built.names, found, TAPE, angles=angles_of(built))

    def off(p: np.ndarray) -> np.ndarray:
        return (net.model(p.reshape(-1, 2))[0] - net.observed()) * net.weight()

    first = np.array(built.plan).ravel()
    return lambda: least_squares(off, first, method="trf")


def whole(seed: int, found: list[Observation]) -> Callable[[], Survey]:
    built = room(seed, skewed=False)
    return lambda: survey(built.names, found, plan=built.plan)


def alone(seed: int, found: list[Observation]) -> Callable[[], object]:
    built = room(seed, skewed=False)
    start, angles = dict(zip(built.names, built.plan, strict=True)), angles_of(built)
    return lambda: adjust(start, found, angles=angles)


def cases() -> list[Case]:
    made: list[Case] = []
    for count in (4, 8, 12):
        seed = of_corners(count)
        found = readings(room(seed, skewed=False), seed, extra=3)
        where = f"{count} corners, {len(found)} readings, seed {seed}"
        made.append(
            ("one adjustment", where, 5.0, alone(seed, found), "scipy trf", general(seed, found))
        )
        made.append(("survey of a clean room", where, 5.0, whole(seed, found), "", None))
        bad, _, _ = plant(found, seed)
        made.append(("survey, one error planted", where, None, whole(seed, bad), "", None))
    seed = of_corners(12)
    many = [
        replace(o, id=f"{o.id}.{k}")
        for k in range(100)
        for o in readings(room(seed, skewed=False), k, extra=3)
    ]
    made.append(
        ("survey of a clean room", f"12 corners, {len(many)} readings", None, whole(seed, many),
         "", None)
    )  # fmt: skip
    text = "\n".join(["A to B twelve four and three eighths", "b c 12 6 1/2", "A-C 221 1/8"] * 10)
    made.append(("readings understood", "30 lines", 5.0, lambda: parse(text, "ABCD"), "", None))
    return made


CASES = cases()
