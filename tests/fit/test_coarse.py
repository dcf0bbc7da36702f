"""Fixed things of thousands of corners: simpler ones hold them, are told, and end at once."""

import math
from dataclasses import replace

import pytest
import shapely
from tests.fit.demo_rooms import NEEDS
from tests.fit.dining_rooms import box, opening, room

from roomwright.fit.coarse import MOST_CORNERS, fewer, taken
from roomwright.fit.evaluate import room_fit
from roomwright.fit.given import Body
from roomwright.fit.ground import Ground


def wavy(count, cx=120.0, cy=100.0, radius=40.0, waves=40, high=3.0):
    turns = (2 * math.pi * k / count for k in range(count))
    return tuple(
        (cx + (radius + high * math.sin(waves * t)) * math.cos(t),
         cy + (radius + high * math.sin(waves * t)) * math.sin(t))
        for t in turns
    )  # fmt: skip


CROSSED = tuple((math.cos(3 * k) * (50 + k % 7), math.sin(5 * k) * 40) for k in range(3000))
LINE = tuple((k / 100, 50.0) for k in range(3000))
COMB = (
    (0.0, 0.0), (1200.0, 0.0),
    *((1200.0 - k / 2.5, 60.0 if k % 2 else 2.0) for k in range(3000)),
)  # fmt: skip


@pytest.mark.parametrize(
    ("ring", "beyond"),
    [
        (wavy(3000, waves=3), 1.0),
        (wavy(3000), 1.0),
        (wavy(9000, waves=900, high=0.5), 2.0),
        (CROSSED, 1.0),
        (LINE, 1.0),
        (COMB, 40.0),
    ],
)
def test_the_simpler_outline_holds_the_true_one_and_says_how_far_it_strays(ring, beyond):
    simple, stray = fewer(ring)
    assert len(simple) <= MOST_CORNERS
    assert stray <= beyond
    true = shapely.Polygon(ring)
    true = true if true.is_valid else true.convex_hull
    held = shapely.Polygon(simple) if len(simple) > 2 else shapely.LineString(simple)
    assert held.buffer(1e-6).covers(true)


def test_what_has_few_corners_stays_as_it_is():
    body = Body("F1", "column", "column", "fixed", wavy(MOST_CORNERS))
    assert taken([body]) == ((body,), ())


@pytest.mark.parametrize("kind", ["column", "island", "sink", "toilet"])
def test_a_room_with_thousands_of_corners_is_judged_as_with_few(kind):
    doors = [opening("D1", (0, 60), (0, 92)), opening("D2", (240, 60), (240, 92))]
    bodies = [Body(f"C{k}", kind, kind, "fixed", wavy(3000, 70.0 + 100 * k, waves=2),
                   room="R") for k in (0, 1)]  # fmt: skip
    space = room(box(240, 200), doors, fixed=bodies)
    assert all(len(body.outline) <= MOST_CORNERS for body in Ground(space).bodies)
    fit = room_fit(space, NEEDS)
    told = [f.text for f in fit.findings if f.kind == "corners"]
    assert told[0].startswith(f"The {kind} C0 has 3,000 corners; it is taken as one of ")
    assert [t.split(" ")[2] for t in told] == ["C0", "C1"]
    few = replace(space, fixed=tuple(replace(b, outline=b.outline[::10]) for b in bodies))
    was = room_fit(few, NEEDS)
    for one, other in zip(fit.ways, was.ways, strict=True):
        assert one.tightest == pytest.approx(other.tightest, abs=0.5)
