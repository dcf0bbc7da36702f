"""Rooms of the demo house as inputs of the fit engine, read straight from its files.

A reader of its own, so that the engine is tested without the store: plain CSV, no checks.
"""

import csv
from fractions import Fraction
from functools import cache
from pathlib import Path

from roomwright import figures
from roomwright.fit.model import Body, Flight, Light, Needs, Piece, Room, Space, Window
from roomwright.fit.spaces import Contents, Door, group_of, space

HOUSE = Path(__file__).parents[2] / "examples" / "tern-hollow"

NEEDS = Needs(
    {
        figure.key: float(figure.value)
        for figure in figures.load().choose("kitchen and bath guidelines")
    }
)
"""The demo's figures: it names the set "kitchen and bath guidelines"."""


def rows(name):
    with (HOUSE / f"{name}.csv").open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def number(text):
    return float(sum(Fraction(part) for part in text.split())) if text else None


def points(text):
    return tuple(tuple(float(n) for n in pair.split()) for pair in text.split(","))


def point(text):
    return points(text)[0] if text else None


@cache
def doors():
    return tuple(
        Door(
            r["opening"],
            r["from_room"],
            r["to_room"],
            r["kind"],
            (number(r["ax"]), number(r["ay"])),
            (number(r["bx"]), number(r["by"])),
            number(r["width"]),
            number(r["height"]),
            point(r["hinge"]),
            r["swings_into"] or None,
        )
        for r in rows("openings")
    )


@cache
def rooms():
    return {
        r["room"]: Room(
            r["room"], r["name"], points(r["outline"]), number(r["ceiling"]), r["floor"]
        )
        for r in rows("rooms")
    }


@cache
def contents(group):
    build_up = {r["floor"]: number(r["build_up"]) for r in rows("floors")}
    return Contents(
        windows=tuple(
            Window(
                r["window"],
                (number(r["ax"]), number(r["ay"])),
                (number(r["bx"]), number(r["by"])),
                number(r["height"]),
                number(r["sill"]),
                r["type"],
                r["room"],
            )
            for r in rows("windows")
            if r["room"] in group
        ),
        fixed=tuple(
            Body(r["fixed"], r["name"], r["name"], "fixed", points(r["outline"]), room=r["room"])
            for r in rows("fixed")
            if r["room"] in group
        ),
        pieces=tuple(
            Piece(
                r["piece"],
                r["kind"],
                r["kind"],
                number(r["width"]),
                number(r["depth"]),
                number(r["height"]),
                number(r["x"]),
                number(r["y"]),
                number(r["turn"]) or 0.0,
                r["room"],
            )
            for r in rows("pieces")
            if r["room"] in group
        ),
        lights=tuple(
            Light(r["light"], r["kind"], number(r["x"]), number(r["y"]), r["centred_on"], r["room"])
            for r in rows("lights")
            if r["room"] in group
        ),
        flights=tuple(
            Flight(
                r["stair"],
                number(r["rise_subfloor_to_subfloor"]),
                int(r["risers"]),
                number(r["run"]),
                number(r["tread_thickness"]),
                number(r["width"]),
                number(r["headroom_plumb"]),
                build_up[rooms()[r["from_room"]].floor],
                build_up[rooms()[r["to_room"]].floor],
                r["from_room"],
            )
            for r in rows("stairs")
            if r["from_room"] in group
        ),
    )


@cache
def demo_space(room: str) -> Space:
    group = group_of(room, doors())
    return space(
        [rooms()[each] for each in group],
        doors(),
        contents(group),
        names={each.id: each.name for each in rooms().values()},
    )
